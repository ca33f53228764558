"""The verification page: every published check value beside what calc makes of it.

Read from the same files as the tests, by the same code, so that page and tests cannot drift.
"""

from markupsafe import Markup

from calc.units import format_number
from tests.calc import published


def page():
    """All check values, one table a topic.

    Returns
    -------
    Markup
        Counts, then a table for each file of tests/checks.
    """
    rows = published.load()
    known = {}
    for row in rows:
        known[row["known"]] = known.get(row["known"], 0) + 1
    counts = ", ".join(f"{count} {how}" for how, count in sorted(known.items(), key=lambda pair: -pair[1]))
    files = dict.fromkeys(row["file"] for row in rows)
    tables = Markup("").join(_table(published.title(file), [row for row in rows if row["file"] == file]) for file in files)
    return Markup("<p>{} checks: {}.</p>{}").format(len(rows), counts, tables)


def count():
    """How many check values there are.

    Returns
    -------
    int
        The number of rows.
    """
    return len(published.load())


def _table(title, rows):
    return Markup(
        '<h2 id="{}">{}</h2><div class="scroll"><table class="checks"><thead><tr><th scope="col">What</th><th scope="col">Published</th>'
        '<th scope="col">Ours</th><th scope="col">Difference</th><th scope="col">Source and how known</th></tr></thead><tbody>{}</tbody></table></div>'
    ).format(rows[0]["file"].removesuffix(".toml"), title, Markup("").join(map(_row, rows)))


def _row(row):
    found = published.in_unit_of(row["value"], published.compute(row))
    value, _ = published.number_and_unit(row["value"])
    difference = found - value
    # What is left of a float after the arithmetic is no difference.
    shown = "none" if abs(difference) <= 1e-9 * max(abs(value), 1e-300) else _relative(difference, value)
    clause = f", {row['clause']}" if row["clause"] else ""
    note = Markup("<br><em>{}</em>").format(row["note"]) if row.get("note") else ""
    what = row["what"] if row["id"].split("/")[1] in row["what"] else f"{row['what']}: {row['id'].split('/')[1]}"
    return Markup('<tr id="{}"><th scope="row">{}</th><td>{}</td><td>{}</td><td>{}</td><td>{}{} ({}){}</td></tr>').format(
        row["id"].replace("/", "-"), what, row["value"], f"{found:.6g}".replace("-", "−"), shown, row["source"], clause, row["known"], note
    )


def _relative(difference, value):
    if not value:
        return format_number(difference, 2)
    return f"{format_number(100 * difference / abs(value), 2)}\u00a0%"
