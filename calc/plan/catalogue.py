"""A shop's own catalogue of inverters, from a CSV file with columns of our own.

What can be read is kept; what cannot is named with its row and column. Rows are counted as a
spreadsheet counts them, the headings being row 1.
"""

import csv
import io
import re
from dataclasses import dataclass
from types import SimpleNamespace

from calc.calculators import losses
from calc.calculators.form import Choice, Field
from calc.errors import FieldProblem
from calc.units import printable

ROWS_MOST = 2000  # units read at most; the rest is said to be left out
CHARACTERS_MOST = 4_000_000
CELL_MOST = 120  # characters
FORMULA = ("=", "@")  # what a spreadsheet would compute; + and − begin numbers too


@dataclass(frozen=True)
class Column:
    """One column: its heading with the unit in it, and how its cells are read."""

    name: str
    label: str
    field: object
    required: bool = False
    example: str = ""


def _number(name, label, unit, low, high, required=False, example=""):
    field = Field(name, label, unit, default=None, minimum=low, maximum=high, exact=True)
    return Column(name, label, field, required, example)


WAVES = {"sine": "sine", "three-level": "three levels, sold as modified or quasi sine", "square": "square"}
COLUMNS = (
    Column("unit", "Name of the unit", None, True, "A-1500 sine"),
    _number("rating_va", "Continuous rating", "VA", "20 VA", "50 kVA", True, "1500"),
    _number("surge_va", "Surge", "VA", "20 VA", "200 kVA", example="3000"),
    _number("surge_s", "How long the surge lasts", "s", "0.001 s", "3600 s", example="2"),
    _number("standby_w", "Standby, on with nothing plugged in", "W", "0 W", "500 W", True, "14"),
    _number("efficiency_full_percent", "Efficiency at full load", "%", "40 %", "99.5 %", example="89"),
    _number("efficiency_peak_percent", "Best efficiency at any load", "%", "40 %", "99.5 %", example="93"),
    _number("voltage_dc_v", "Battery voltage it is made for", "V", "6 V", "60 V", True, "12"),
    _number("cut_out_v", "Low-voltage cut-out", "V", "5 V", "60 V", example="10.5"),
    _number("voltage_ac_v", "Output voltage", "V", "90 V", "260 V", example="230"),
    _number("frequency_hz", "Output frequency", "Hz", "45 Hz", "65 Hz", example="50"),
    Column("wave", "Shape of its output", Choice("wave", "Shape of its output", WAVES, default=""), False, "sine"),
    Column("changeover", "Has a changeover of its own", Choice("changeover", "Has a changeover", {"no": "no", "yes": "yes"}, default=""), False, "no"),
    _number("charger_a", "Charger's output, where it has one", "A", "0 A", "500 A", example="0"),
    _number("mass_kg", "Mass", "kg", "0.05 kg", "500 kg", example="4.2"),
    _number("price", "Price, in the shop's money", "", "0", "1e6", example="600"),
)
"""In the order of the documentation."""

BY_NAME = {column.name: column for column in COLUMNS}
REQUIRED = tuple(column.name for column in COLUMNS if column.required)
OF_LOSSES = {"rating": "rating_va", "standby_power": "standby_w", "efficiency_full": "efficiency_full_percent", "efficiency_peak": "efficiency_peak_percent"}


@dataclass(frozen=True)
class Note:
    """Something about a cell or a row: what is wrong, and whether the unit was kept."""

    row: int
    column: str
    text: str
    kept: bool

    def __str__(self):
        place = f"row {self.row}" + (f", column {self.column}" if self.column else "") if self.row else "the file"
        return f"{place}: {self.text}"


@dataclass(frozen=True)
class Unit:
    """One unit, in SI units; None for what its row does not say."""

    row: int
    name: str
    rating: float
    surge: float | None
    surge_time: float | None
    standby: float
    efficiency_full: float
    efficiency_peak: float
    voltage_dc: float
    cut_out: float | None
    voltage_ac: float | None
    frequency: float | None
    wave: str
    changeover: str
    charger: float | None
    mass: float | None
    price: float | None
    assumed: tuple  # columns in whose place something common was taken


@dataclass(frozen=True)
class Catalogue:
    """The units that could be read, and everything to be said about the rest."""

    units: tuple
    notes: tuple

    @property
    def usable(self):
        """Whether there is any unit."""
        return bool(self.units)


def read(text):
    """Read a catalogue.

    Parameters
    ----------
    text : str
        CSV with commas, semicolons or tabs; with semicolons, decimal commas.

    Returns
    -------
    Catalogue
        Never raises for what is in the file.
    """
    text = printable(text).removeprefix("\ufeff").replace("\x00", "")
    if len(text) > CHARACTERS_MOST:
        return Catalogue((), (Note(0, "", f"is {len(text)} characters long: {CHARACTERS_MOST} are read at most", False),))
    if not text.strip():
        return Catalogue((), (Note(0, "", f"is empty: it needs a row of headings, with at least {', '.join(REQUIRED)}", False),))
    mark = _delimiter(text)
    rows, notes = _rows(text, mark)
    names, wrong = _headings(rows[0] if rows else [])
    notes += wrong
    if any(not note.kept for note in notes if note.row == 1):
        return Catalogue((), tuple(notes))
    units, found = _units(rows[1:], names, mark)
    return Catalogue(tuple(units), tuple(notes + found))


def _delimiter(text):
    """The sign between cells, from the row of headings."""
    first = text.lstrip().partition("\n")[0]
    return max(",;\t", key=first.count)


def _rows(text, mark):
    """Rows of cells, as far as quotes allow."""
    rows, notes = [], []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    try:
        for row in reader:
            rows.append(row)
            if len(rows) > ROWS_MOST + 1:
                left = max(text.count("\n") + (not text.endswith("\n")) - len(rows) + 1, 1)
                notes.append(Note(len(rows), "", f"{ROWS_MOST} units are read at most: from here on {left} rows were left out", False))
                return rows[:-1], notes
    except csv.Error:
        notes.append(Note(len(rows) + 1, "", "has a quotation mark that is not closed, or one in the middle of a cell: from here on nothing was read", False))
    return rows, notes


def _headings(cells):
    """Column of each cell, None where it is not ours; and what is wrong."""
    names = [re.sub(r"[\s-]+", "_", cell.strip().lower()) for cell in cells]
    notes = []
    for place, name in enumerate(names):
        if name not in BY_NAME:
            if name:
                notes.append(Note(1, name[:40], f"is not a column of ours and was left aside: the columns are {', '.join(BY_NAME)}", True))
            names[place] = None
        elif name in names[:place]:
            notes.append(Note(1, name, "stands twice: the first is used", True))
            names[place] = None
    missing = [name for name in REQUIRED if name not in names]
    if missing:
        notes.append(Note(1, "", f"has no column {', '.join(missing)}: add it, with the unit in its heading as here", False))
    return names, notes


def _units(rows, names, mark):
    units, notes, empty, seen = [], [], [], {}
    for number, cells in enumerate(rows, 2):
        if not any(cell.strip() for cell in cells):
            empty.append(number)
            continue
        if len([cell for cell in cells[len(names) :] if cell.strip()]):
            notes.append(Note(number, "", f"has more cells than headings: what stands behind the {len(names)}th was left aside", True))
        unit = _unit(number, {name: cell for name, cell in zip(names, cells) if name}, mark, notes)
        if unit is None:
            continue
        if unit.name in seen:
            notes.append(Note(number, "unit", f"“{unit.name}” is in row {seen[unit.name]} already: both were kept", True))
        seen.setdefault(unit.name, number)
        units.append(unit)
    if empty:
        notes.append(Note(empty[0], "", "is empty and was left out" if len(empty) == 1 else f"and {len(empty) - 1} more are empty and were left out", True))
    return units, notes


def _unit(number, cells, mark, notes):
    """One unit, or None where something it cannot do without is missing."""
    values, lost = {}, False
    for column in COLUMNS:
        try:
            values[column.name] = _cell(column, cells.get(column.name, ""), mark, number, notes)
        except FieldProblem as problem:
            values[column.name] = None
            lost = lost or column.required
            consequence = "the unit was left out" if column.required else "the cell was left aside"
            notes.append(Note(number, column.name, f"{problem.text}; {consequence}", not column.required))
    if lost:
        return None
    return _checked(number, values, notes)


def _cell(column, text, mark, number, notes):
    text = " ".join(text.split())
    if len(text) > CELL_MOST:
        raise FieldProblem(column.name, f"is longer than {CELL_MOST} characters")
    if not text:
        if column.required:
            raise FieldProblem(column.name, f"is empty: enter {column.label[:1].lower()}{column.label[1:]}")
        return None
    if column.field is None:
        if text.startswith((*FORMULA, "+", "-")):
            notes.append(Note(number, column.name, f"“{text[:20]}” begins like a formula: it was kept as plain text", True))
        return text
    if text.startswith(FORMULA):
        raise FieldProblem(column.name, f"“{text[:20]}” is a formula: save the table with its values")
    if column.name == "price":
        text = re.sub(r"^[^\d\s.,+-]{1,4}\s*|\s*[^\d\s.,]{1,4}$", "", text)
    if mark == ";" and text.count(",") == 1 and "." not in text:
        text = text.replace(",", ".")
    reading = column.field.read(text)[0]
    return reading if isinstance(reading, str) else reading.likely


def _checked(number, values, notes):
    """A unit whose losses hold together."""
    assumed = []
    for name, field in (("efficiency_full_percent", losses.EFFICIENCY_FULL), ("efficiency_peak_percent", losses.EFFICIENCY_PEAK)):
        if values[name] is None:
            values[name] = field.read("unknown")[0].likely
            assumed.append(name)
    if "efficiency_peak_percent" in assumed:
        values["efficiency_peak_percent"] = max(values["efficiency_peak_percent"], values["efficiency_full_percent"])
    elif "efficiency_full_percent" in assumed:
        values["efficiency_full_percent"] = min(values["efficiency_full_percent"], values["efficiency_peak_percent"])
    try:
        losses.check(SimpleNamespace(points=None, **{name: values[column] for name, column in OF_LOSSES.items()}))
    except FieldProblem as problem:
        notes.append(Note(number, OF_LOSSES.get(problem.field, ""), f"{problem.text}; the unit was left out", False))
        return None
    return Unit(
        number, values["unit"], values["rating_va"], values["surge_va"], values["surge_s"], values["standby_w"], values["efficiency_full_percent"],
        values["efficiency_peak_percent"], values["voltage_dc_v"], values["cut_out_v"], values["voltage_ac_v"], values["frequency_hz"], values["wave"] or "",
        values["changeover"] or "", values["charger_a"], values["mass_kg"], values["price"], tuple(assumed),
    )  # fmt: skip


def documentation():
    """The columns for the page that explains them.

    Returns
    -------
    list of tuple
        (heading, label, unit, whether it must be there, example).
    """
    return [(column.name, column.label, column.field.unit if column.field else "", column.required, column.example) for column in COLUMNS]
