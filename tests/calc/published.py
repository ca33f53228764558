"""The published check values of tests/checks: read, computed, compared.

Quantities are read with pint's own registry, not with calc's, so that calc's unit
definitions are checked along with its formulas.
"""

import importlib
import re
import tomllib
from decimal import Decimal
from pathlib import Path

import pint

from calc import tables
from calc.calculators import CALCULATORS
from calc.calculators.calculator import run

FOLDER = Path(__file__).resolve().parents[1] / "checks"
UNITS = pint.UnitRegistry()


def load():
    """Every row of every file, with its group's keys filled in."""
    rows = []
    for file in sorted(FOLDER.glob("*.toml")):
        for group in tomllib.loads(file.read_text("utf-8"))["group"]:
            common = {key: value for key, value in group.items() if key != "checks"}
            for check in group["checks"]:
                row = common | check | {"id": f"{group['id']}/{check['id']}", "file": file.name}
                for key in ("arguments", "fields"):
                    row[key] = common.get("shared", {}) | check.get(key, common.get(key, {}))
                rows.append(row)
    return rows


def title(file):
    """The title of one file of check values."""
    return tomllib.loads((FOLDER / file).read_text("utf-8"))["title"]


def in_unit_of(text, value):
    """An SI value in the unit of a printed one: ("0.554 Ω/km", 0.000554) → 0.554."""
    _, unit = number_and_unit(text)
    return float(value) / float(UNITS.Quantity(1.0, unit).to_base_units().magnitude)


def number_and_unit(text):
    """ "0.554 Ω/km" → (0.554, Ω/km)."""
    number, _, unit = text.partition(" ")
    return float(number), UNITS.Unit(unit)


def in_si(text):
    """ "0.554 Ω/km" → 0.000554."""
    number, unit = number_and_unit(text)
    return float(UNITS.Quantity(number, unit).to_base_units().magnitude)


def half_digit(text):
    """Half of the last printed digit, in SI units: "0.554 Ω/km" → 0.0000005."""
    number, unit = text.partition(" ")[::2]
    half = Decimal(5).scaleb(Decimal(number).as_tuple().exponent - 1)
    return float(UNITS.Quantity(float(half), UNITS.Unit(unit)).to_base_units().magnitude)


def expected(row):
    """The published value, shifted by the departure the row owns up to, and its tolerance."""
    value = in_si(row["value"])
    shift = slack = 0.0
    if departs := row.get("departs"):
        relative = departs.endswith(" %")
        shift, slack = in_si(departs), half_digit(departs)
        if relative:
            shift, slack = shift * value, slack * abs(value)
    tolerance = {"rounding": half_digit(row["value"]), "exact": 1e-12 * abs(value)}.get(row["tolerance"])
    if tolerance is None:
        tolerance = in_si(row["tolerance"])
    return value + shift, tolerance + slack


def agrees(row, found):
    """Whether a computed value stands where the row says it does."""
    value, tolerance = expected(row)
    return abs(found - value) <= tolerance * (1 + 1e-9) + 1e-15 * abs(value)


def compute(row):
    """What calc makes of the same question, in SI units."""
    if "table" in row:
        return _cell(tables.load(row["table"]), row["where"], row["column"])
    if "calculator" in row:
        return run(CALCULATORS[row["calculator"]], row["fields"]).output(row["output"]).value
    if "constant" in row:
        constant = _find(row["constant"])
        return dict(constant)[row["at"]] if "at" in row else constant
    result = _find(row["function"])(**{name: _argument(name, value) for name, value in row["arguments"].items()})
    return getattr(result, row["result"]) if "result" in row else result


def _cell(table, where, column):
    """The one cell whose row holds the given printed values."""
    matches = [
        value[column]
        for printed, value in zip(table.rows, table.values, strict=True)
        if all(_same(printed[name], wanted) for name, wanted in where.items())
    ]
    (cell,) = matches
    return cell


def _same(printed, wanted):
    return float(printed) == wanted if isinstance(wanted, (int, float)) else printed == wanted


def _find(dotted):
    module, _, name = dotted.rpartition(".")
    return getattr(importlib.import_module(module), name)


def _argument(name, value):
    if isinstance(value, list):
        return [_argument(name, one) for one in value]
    if name != "text" and isinstance(value, str) and re.match(r"[-+]?\d", value):
        return in_si(value)
    return value
