"""A ranked shortlist as HTML, as lines for a terminal and as JSON data.

table     HTML
lines     text
as_data   the object of `--json`
"""

import textwrap

from calc import __version__
from calc.plan.fill import typed
from calc.render import text, words
from calc.render.markup import Markup
from calc.units import format_quantity as say
from calc.units import capitalised, from_si

HEAD = ("Unit", "Verdict", "Energy a day", "Lowest voltage at the worst start", "Lowest charge in a bad week", "Beyond the smallest", "Mass", "Price")


def table(verdicts):
    """A ranked shortlist as HTML.

    Parameters
    ----------
    verdicts : list of Verdict
        In order.

    Returns
    -------
    Markup
        A table; those that fail with the reason in words.
    """
    rows = Markup("").join(map(_verdict, verdicts))
    return Markup('<div class="scroll"><table class="shortlist"><thead><tr>{}</tr></thead><tbody>{}</tbody></table></div>').format(
        Markup("").join(Markup('<th scope="col">{}</th>').format(one) for one in HEAD), rows
    )


def cells(one):
    """A verdict in words, cell by cell.

    Parameters
    ----------
    one : Verdict
        In its ranking.

    Returns
    -------
    tuple of str
        As the headings of `table`; "" where there is nothing to give.
    """
    said = "passes, the smallest that does" if one.smallest else "passes" if one.passes else " ".join(one.reasons)
    over = "" if one.charge_over_smallest is None or one.smallest else f"{say(one.charge_over_smallest, 'Ah', 2) if round(one.charge_over_smallest) else '0 Ah'} a day"
    return (
        one.unit.name, " ".join((said + ("." if one.passes else ""), *one.notes)) if one.notes else said,
        _said(one.energy_per_day, "Wh"), _said(one.voltage_lowest, "V"), _said(one.charge_lowest, "%", 2), over,
        typed(one.unit.mass, "kg") if one.unit.mass is not None else "", typed(one.unit.price, "") if one.unit.price is not None else "",
    )  # fmt: skip


def _said(value, unit, figures=3):
    return "" if value is None else words.quantity(value, unit, figures)


def _verdict(one):
    name, *rest = cells(one)
    kind = "smallest" if one.smallest else "passes" if one.passes else "fails"
    return Markup('<tr class="{}"><th scope="row">{}</th>{}</tr>').format(kind, name, Markup("").join(Markup("<td>{}</td>").format(cell) for cell in rest))


def lines(verdicts, notes):
    """A ranked shortlist for a terminal.

    Parameters
    ----------
    verdicts : list of Verdict
        In order.
    notes : sequence of Note
        What the catalogue's rows left to say.

    Returns
    -------
    list of str
        Those that pass, then those that fail, then the notes.
    """
    told = []
    for one in verdicts:
        name, verdict, *rest = cells(one)
        numbers = "; ".join(f"{label[:1].lower()}{label[1:]} {said}" for label, said in zip(HEAD[2:], rest) if said)
        told += textwrap.wrap(f"{name}: {verdict.removesuffix('.')}." + (f" {capitalised(numbers)}." if one.passes else ""), text.WIDTH, subsequent_indent="  ")
    return told + ["", *(f"Catalogue, {note}" for note in notes)] if notes else told


def as_data(verdicts, notes):
    """The object that `--json` prints.

    Parameters
    ----------
    verdicts : list of Verdict
        In order.
    notes : sequence of Note
        What the catalogue's rows left to say.

    Returns
    -------
    dict
        calculator, version, outputs, units in order, notes.
    """
    smallest = next((one.unit.name for one in verdicts if one.smallest), None)
    passing = sum(one.passes for one in verdicts)
    return {
        "calculator": "shortlist",
        "version": __version__,
        "outputs": {"smallest": {"value": smallest, "unit": "", "low": None, "high": None}, "passing": {"value": passing, "unit": "", "low": None, "high": None}},
        "findings": [],
        "units": [
            {
                "unit": one.unit.name, "row": one.unit.row, "passes": one.passes, "smallest": one.smallest, "reasons": list(one.reasons), "notes": list(one.notes),
                "energy_per_day": _of(one.energy_per_day, "Wh"), "voltage_lowest": _of(one.voltage_lowest, "V"), "charge_lowest": _of(one.charge_lowest, "%"),
                "energy_unmet": _of(one.energy_unmet, "Wh"), "charge_over_smallest": _of(one.charge_over_smallest, "Ah"), "mass": one.unit.mass, "price": one.unit.price,
            }
            for one in verdicts
        ],
        "notes": [{"row": note.row, "column": note.column, "text": note.text, "kept": note.kept} for note in notes],
    }  # fmt: skip


def _of(value, unit):
    return None if value is None else {"value": from_si(value, unit), "unit": unit}
