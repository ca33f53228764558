"""The verification pages: every published check value beside what calc makes of it.

Read from the same files as the tests, by the same code, so that pages and tests cannot drift.
"""

from itertools import groupby

from calc.render.markup import Markup

from tests.calc import published

PAGES = {"battery": ("battery", "charging", "chemistry", "sun_hours")}
"""Files of tests/checks by page; what is named nowhere stands on the page "rest", so that none is lost."""


def page(which):
    """The check values of one page, one table a topic.

    Parameters
    ----------
    which : str
        A key of `PAGES`, or "rest".

    Returns
    -------
    Markup
        Counts, then a table for each of the page's files.
    """
    rows = [row for row in published.load() if _is_on(row["file"].removesuffix(".toml"), which)]
    known = {}
    for row in rows:
        known[row["known"]] = known.get(row["known"], 0) + 1
    counts = ", ".join(f"{count} {how}" for how, count in sorted(known.items(), key=lambda pair: -pair[1]))
    tables = Markup("").join(_table(published.title(file), list(of_file)) for file, of_file in groupby(rows, key=lambda row: row["file"]))
    return Markup("<p>{} checks on this page: {}.</p>{}").format(len(rows), counts, tables)


def count():
    """How many check values there are.

    Returns
    -------
    int
        The number of rows.
    """
    return len(published.load())


def _is_on(file, which):
    return file in PAGES[which] if which != "rest" else not any(file in files for files in PAGES.values())


def _table(title, rows):
    groups = Markup("").join(_group(list(of_group)) for _, of_group in groupby(rows, key=_what_they_share))
    return Markup(
        '<h2>{}</h2><div class="scroll checks"><table><thead><tr><th scope="col">Check</th><th scope="col">Published</th>'
        '<th scope="col">Ours</th><th scope="col">Difference</th></tr></thead>{}</table></div>'
    ).format(title, groups)


def _what_they_share(row):
    """Lines beside each other with the same words and source stand under one heading."""
    return row["id"].split("/")[0], row["what"], row["source"], row["clause"], row["known"], row.get("note", "")


def _group(rows):
    _, what, source, clause, known, note = _what_they_share(rows[0])
    told = ". ".join(part for part in (what, f"{source}{', ' + clause if clause else ''} ({known})", note) if part)
    return Markup('<tbody><tr><th colspan="4" scope="rowgroup">{}</th></tr>{}</tbody>').format(told, Markup("").join(map(_row, rows)))


def _row(row):
    found = published.in_unit_of(row["value"], published.compute(row))
    value, _ = published.number_and_unit(row["value"])
    difference = found - value
    name = row["id"].split("/")[1]
    # What is left of a float after the arithmetic is no difference.
    if abs(difference) <= 1e-9 * max(abs(value), 1e-300):
        return Markup("<tr><td>{}</td><td>{}</td><td>the same</td><td></td></tr>").format(name, row["value"])
    relative = f"{100 * difference / abs(value):.2g} %" if value else f"{difference:.2g}"
    return Markup("<tr><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>").format(name, row["value"], f"{found:.6g}".replace("-", "−"), relative.replace("-", "−"))
