"""The fields of a calculator, and how typed text becomes values with their ranges.

A field declares everything a person may ask about it: its unit, its limits, what is
assumed when it is left out, how well a typed value is known, and what stands in for
"I don't know". Reading collects every problem at once, so that nobody mends a form one
error at a time.
"""

import json
from dataclasses import dataclass, field
from functools import cached_property
from types import SimpleNamespace
from typing import Callable, NamedTuple

from calc.errors import FieldProblem, InputProblems
from calc.result import Understood
from calc.units import Reading, UnitProblem, foreign_unit, from_si, read_number, read_quantity, restate_quantity, to_si

UNKNOWN = "unknown"
"""What is typed, or ticked, for "I don't know"."""

ASSUMED = "assumed"
"""Name, behind that of a row, of what its blank cells stand for."""

LONG_LIST = 20
"""More answers than this are not all named in an error."""


@dataclass(frozen=True)
class Unknown:
    """What stands in when a person does not know: likely, low and high as typed, and why."""

    likely: str
    low: str
    high: str
    basis: str


@dataclass(frozen=True)
class Field:
    """One quantity a person can type.

    Attributes
    ----------
    name, label, hint : str
        Contract name, words of the form, and where to find the value.
    unit : str
        Unit of a bare number; "" for a plain number.
    default : str or None
        Text used when the field is left out; "" leaves it blank, None requires it.
    example : str or None
        Text of the example on the page, where it differs from the default.
    minimum, maximum : str
        Limits as typed; `above_minimum` excludes the minimum itself.
    tolerance, basis : str
        How far a value typed without a range may be off, and what says so.
    unknown : Unknown or None
        Stands in for "I don't know".
    more : bool
        Stands behind "more about your system".
    exact : bool
        One value, no range: a size that is made or not.
    by, variants : str, dict
        Name of an earlier choice, and for each of its answers the field to read in place
        of this one: what stands in for "I don't know" about a battery goes by its chemistry,
        the mains voltage by the region.
    offers : callable or None
        Gives names to choose from beside it: group to names.

    Notes
    -----
    A kind of field that adds nothing but its own reading is a plain subclass: made a dataclass
    again, each would put its own copy of all these methods into the page's memory.
    """

    name: str
    label: str
    unit: str = ""
    hint: str = ""
    default: str | None = ""
    example: str | None = None
    minimum: str = "0"
    maximum: str = ""
    above_minimum: bool = False
    tolerance: str = ""
    basis: str = ""
    unknown: Unknown | None = None
    more: bool = False
    exact: bool = False
    by: str = ""
    variants: dict = field(default_factory=dict)
    offers: Callable | None = None

    @property
    def shown(self):
        """Text the form starts with on the page."""
        return self.example if self.example is not None else self.default or ""

    def settled(self, values):
        """This field, once the choice it goes by has been read."""
        return self.variants.get(values.get(self.by), self)

    @cached_property
    def _limits(self):
        return tuple(read_quantity(text, self.unit).likely if text else None for text in (self.minimum, self.maximum))

    @cached_property
    def _unknown(self):
        return Reading(*(read_quantity(text, self.unit).likely for text in (self.unknown.likely, self.unknown.low, self.unknown.high)))

    def read(self, text):
        """Turn typed text into (Reading, how, basis); raises FieldProblem."""
        how = "given"
        if not text.strip():
            if self.default is None:
                raise FieldProblem(self.name, f"enter {inside(self.label)}")
            how = "default" if self.default else "blank"
            text = self.default
        elif text.strip() == self.default:
            how = "default"
        if not text:
            return None, "blank", ""
        if text.strip().lower() == UNKNOWN:
            if self.unknown is None:
                raise FieldProblem(self.name, f"this has to be known: enter {inside(self.label)}")
            return self._unknown, "unknown", self.unknown.basis
        try:
            reading = self._parse(text)
        except UnitProblem as problem:
            raise FieldProblem(self.name, str(problem)) from None
        if self.exact and reading.low is not None:
            raise FieldProblem(self.name, "enter one value here, not a range")
        self._check_limits(text, reading)
        if reading.low is None:
            return self._with_tolerance(reading), how, self.basis
        return reading, how, "as stated"

    def _parse(self, text):
        return read_quantity(text, self.unit)

    def _check_limits(self, text, reading):
        low, high = self._limits
        worst_low, worst_high = (reading.likely if end is None else end for end in reading[1:])
        too_low = low is not None and (worst_low < low or (self.above_minimum and worst_low <= low))
        if not too_low and (high is None or worst_high <= high * (1 + 1e-12)):
            return
        least = "above " if self.above_minimum else ""
        limits = [restate_quantity(end, self.unit) if end is not None else "" for end in (low, high)]
        if high is None:
            wanted = f"{least or 'at least '}{limits[0]}"
        elif self.above_minimum:
            wanted = f"above {limits[0]} and up to {limits[1]}"
        else:
            wanted = f"between {limits[0]} and {limits[1]}"
        raise FieldProblem(self.name, f'must be {wanted}, "{text.strip()[:40]}" is not')

    def _with_tolerance(self, reading):
        if not self.tolerance:
            return reading
        if self.tolerance.endswith("%") and self.unit != "%":
            delta = abs(reading.likely) * read_number(self.tolerance[:-1]) / 100
        else:
            delta = to_si(read_number(self.tolerance.split()[0]), "" if self.unit == "°C" else self.unit)
        low, high = self._limits
        ends = reading.likely - delta, reading.likely + delta
        return Reading(
            reading.likely,
            ends[0] if low is None else max(ends[0], min(low, reading.likely)),
            ends[1] if high is None else min(ends[1], max(high, reading.likely)),
        )


@dataclass(frozen=True)
class Choice:
    """One of a few named answers.

    `choices` maps each value to its words. Where the answer is not known, each of the
    others is tried, and the field named in `varies_with` moves along. A `kept` one is made
    once for all forms: the device remembers it, and it is read before the fields that go by
    it. The rest as in Field.
    """

    name: str
    label: str
    choices: dict = field(default_factory=dict)
    hint: str = ""
    default: str | None = ""
    example: str | None = None
    unknown: str = ""  # the choice that means "I don't know"
    more: bool = False
    unit: str = ""
    varies_with: str = ""
    kept: bool = False
    by: str = ""
    variants: dict = field(default_factory=dict)

    @property
    def shown(self):
        """Value the form starts with on the page."""
        return self.example if self.example is not None else self.default or ""

    def settled(self, values):
        """This field, once the choice it goes by has been read."""
        return self.variants.get(values.get(self.by), self)

    def read(self, text):
        """Turn typed text into (value, how, basis); raises FieldProblem."""
        typed = text.strip()
        if not typed:
            if self.default is None:
                raise FieldProblem(self.name, f"choose {inside(self.label)}: {self._offer()}")
            return self.default, "default", ""
        if typed.lower() == UNKNOWN and self.unknown:
            return self.unknown, "unknown", ""
        folded = typed.lower().replace("_", "-").replace(" ", "-")
        folded = {"y": "yes", "true": "yes", "1": "yes", "n": "no", "false": "no", "0": "no"}.get(folded, folded)
        for value, words in self.choices.items():
            if folded == value.lower() or typed.lower() == words.lower():
                return value, "default" if value == self.default else "given", ""
        raise FieldProblem(self.name, f'"{typed[:40]}" is not one of the answers: choose {self._offer(folded)}')

    def _offer(self, typed=""):
        """The answers; of a long list those that begin like what was typed, or its first few."""
        if len(self.choices) <= LONG_LIST:
            return ", ".join(self.choices)
        near = [value for value in self.choices if typed and value.startswith(typed[:3])] or list(self.choices)
        return f"{', '.join(near[:LONG_LIST])}; there are {len(self.choices)} in all"


class Points(Field):
    """Pairs such as "10 %:86 %, 50 %:91 %": shares of the rating (or watts) with an efficiency."""

    def read(self, text):
        """Turn typed text into (pairs, how, basis); a load is (value, is_share)."""
        if not text.strip():
            return None, "blank", ""
        pairs = []
        for part in text.replace(";", ",").split(","):
            load, colon, efficiency = part.partition(":")
            if not colon:
                raise FieldProblem(self.name, f'"{part.strip()[:40]}" is not a pair: enter load:efficiency, for example 10%:86%, 50%:91%, 100%:89%')
            try:
                share = load.strip().endswith("%")
                pairs.append(((read_quantity(load, "%" if share else "W").likely, share), read_quantity(efficiency, "%").likely))
            except UnitProblem as problem:
                raise FieldProblem(self.name, f'in "{part.strip()[:40]}": {problem}') from None
        return tuple(pairs), "given", ""


class Accuracy(Field):
    """How far off an instrument may be: for a typed 3 % the likely error is none, the range 3 % either way."""

    def read(self, text):
        """Turn typed text into (Reading of the error, how, basis); raises FieldProblem."""
        reading, how, basis = super().read(text)
        if reading is None:
            return reading, how, basis
        if how != "unknown" and reading.low is not None:
            raise FieldProblem(self.name, "enter one figure: how far off either way")
        size = reading.likely if reading.high is None else reading.high
        return Reading(0.0, -size, size), how, basis or "as stated"


class Text(Field):
    """A few words of the reader's own, such as a name."""

    def read(self, text):
        """Turn typed text into (words, how, basis); raises FieldProblem."""
        words = " ".join(text.split())
        if not words and self.default is None:
            raise FieldProblem(self.name, f"enter {inside(self.label)}")
        if len(words) > 80:
            raise FieldProblem(self.name, "is longer than 80 characters: shorten it")
        return words or self.default, "given" if words else "default", ""


class Known(NamedTuple):
    """What is known about a row by its name.

    Attributes
    ----------
    source : str
        Where it is known from, in words.
    columns : dict
        Name of a column to the field that is read in place of it: what a blank cell stands for.
    instead : str
        What may be entered in place of a cell that is missing.
    """

    source: str = ""
    columns: dict = {}
    instead: str = ""


@dataclass(frozen=True)
class Rows:
    """A list of like things, each with the same few fields.

    Attributes
    ----------
    name, label, hint : str
        Contract name, words of the form, and what belongs in the list.
    one : str
        What one row is called, for example "load".
    columns : tuple of Field, Choice or Text
        The fields of a row; the first names the row.
    example : tuple of dict
        Rows of the example, column name to text.
    most : int
        How many rows are read at most.
    known : callable or None
        Typed row → Known: what its blank cells stand for.
    feeds : tuple of str
        Columns that this may fill; on the page they start blank.
    """

    name: str
    label: str
    one: str
    columns: tuple
    example: tuple = ()
    hint: str = ""
    most: int = 100
    more: bool = False
    unit: str = ""
    default: tuple = ()
    known: Callable | None = None
    feeds: tuple = ()

    @property
    def shown(self):
        """Rows the form starts with on the page."""
        return [dict(row) for row in self.example]

    def read(self, typed):
        """Turn typed rows into a list of (index, row); raises FieldProblem."""
        if isinstance(typed, str):
            try:
                typed = json.loads(typed) if typed.strip() else []
            except json.JSONDecodeError as error:
                raise FieldProblem(self.name, f"is not a JSON list: {error.msg} at character {error.pos + 1}") from None
        rows = list(typed.items()) if isinstance(typed, dict) else list(enumerate(typed)) if isinstance(typed, list) else None
        if rows is None or not all(isinstance(row, dict) for _, row in rows):
            raise FieldProblem(self.name, f"must be a list with an object of field names and values for each {self.one}")
        if not rows:
            raise FieldProblem(self.name, f"enter at least one {self.one}")
        if len(rows) > self.most:
            raise FieldProblem(self.name, f"holds {len(rows)} rows: {self.most} are read at most")
        return rows


@dataclass(frozen=True)
class Inputs:
    """Typed text, read: likely values, the ends of their ranges, and how each was understood.

    A field of a row goes by the name `ROWS.INDEX.COLUMN`, for example `loads.0.power`.
    """

    values: SimpleNamespace
    ends: dict  # name: (low, high)
    understood: tuple
    labels: dict  # name: words

    def uses(self, name):
        """Whether this answer calls for a field."""
        return any(one.name == name and one.used for one in self.understood)


def settled(one, values):
    """A field, once the choice it goes by is known.

    Parameters
    ----------
    one : Field, Choice, Text or Rows
        The field as declared.
    values : dict
        Name of a choice to its answer.

    Returns
    -------
    Field, Choice, Text or Rows
        The variant for that answer, or the field itself.
    """
    return one.settled(values) if isinstance(one, (Field, Choice)) else one


def moved(values, changes):
    """Values with some of them changed.

    Parameters
    ----------
    values : SimpleNamespace
        Likely values.
    changes : dict
        Name to value; names of row fields as in Inputs.

    Returns
    -------
    SimpleNamespace
        A copy.
    """
    changed = vars(values).copy()
    for name, value in changes.items():
        if "." not in name:
            changed[name] = value
            continue
        rows, index, column = name.split(".")
        changed[rows] = tuple(
            SimpleNamespace(**{**vars(row), column: value}) if row.index == index else row for row in changed[rows]
        )
    return SimpleNamespace(**changed)


def read_inputs(fields, alternatives, typed):
    """Read everything a person typed.

    Parameters
    ----------
    fields : tuple of Field, Choice, Points, Text or Rows
        In the order of the form.
    alternatives : tuple
        Groups of sets of field names, of which one set is used: the set that was typed,
        or the first.
    typed : dict
        Field name to text; a missing name or an empty text is a field left out. Rows are a
        list of such dicts, a dict of them by index, or their JSON.

    Returns
    -------
    Inputs
        Values in SI units.

    Raises
    ------
    InputProblems
        With every problem found.
    """
    reader = _Reader()
    names = [one.name for one in fields]
    for name in typed:
        if name not in names:
            reader.problems.append(FieldProblem(name, f"there is no such field here: the fields are {', '.join(names)}"))
    kept = [one for one in fields if isinstance(one, Choice) and one.kept]
    for one in kept:
        reader.read_field(one, str(typed.get(one.name, "")), False)
    by_name = {one.name: settled(one, reader.values) for one in fields}
    unused, clashes = _unused(by_name, alternatives, typed)
    reader.problems += clashes
    for one in fields:
        if one in kept:
            continue
        if isinstance(one, Rows):
            reader.read_rows(one, typed.get(one.name, []))
        else:
            reader.read_field(one, "" if one.name in unused else str(typed.get(one.name, "")), one.name in unused)
    if reader.problems:
        raise InputProblems(reader.problems)
    return Inputs(SimpleNamespace(**reader.values), reader.ends, tuple(reader.understood), reader.labels)


class _Reader:
    """Reads field after field and keeps what it finds, problems too."""

    def __init__(self):
        self.values, self.ends, self.understood, self.labels, self.problems = {}, {}, [], {}, []

    def read_field(self, one, text, unused):
        found = self._read(one, text, unused, one.name)
        if found is not None:
            self.values[one.name] = found.value
            self.understood.append(found)

    def read_rows(self, rows, typed):
        try:
            given = rows.read(typed)
        except FieldProblem as problem:
            self.problems.append(problem)
            return
        self.values[rows.name] = tuple(self._row(rows, str(index), row) for index, row in given)

    def _row(self, rows, index, typed):
        columns = {one.name: one for one in rows.columns}
        for name in typed:
            if name not in columns:
                self.problems.append(FieldProblem(f"{rows.name}.{index}.{name}", f"there is no such field in a {rows.one}: the fields are {', '.join(columns)}"))
        known = rows.known(typed) if rows.known else Known()
        found = [self._cell(known, one, str(typed.get(one.name, "")), f"{rows.name}.{index}.{one.name}") for one in rows.columns]
        values = {one.name: each.value if each else None for one, each in zip(rows.columns, found)}
        title = str(values[rows.columns[0].name])
        for one in rows.columns:
            self.labels[f"{rows.name}.{index}.{one.name}"] = f"{title}: {inside(one.label)}"
        told = [f"{one.label} {str(typed[one.name]).strip()}" for one in rows.columns[1:] if str(typed.get(one.name, "")).strip()]
        self.understood.append(Understood(f"{rows.name}.{index}", title, "", title, None, None, "given", "", "; ".join(told) or "all assumed"))
        assumed = _assumed(known, [(one, each) for one, each in zip(rows.columns, found) if each and not str(typed.get(one.name, "")).strip()])
        if assumed:
            self.understood.append(Understood(f"{rows.name}.{index}.{ASSUMED}", f"{title}, left blank", "", assumed, None, None, "default", known.source, assumed))
        return SimpleNamespace(index=index, **values)

    def _cell(self, known, one, text, name):
        """Read one cell of a row; a missing one may be named by what is known instead."""
        found = self._read(known.columns.get(one.name, one), text, False, name)
        if found is None and known.instead and not text.strip():
            self.problems[-1] = FieldProblem(name, f"{self.problems[-1].text}, or {known.instead}")
        return found

    def _read(self, one, text, unused, name):
        """Read one field; its problem, if any, is kept under the name it has on the form."""
        self.labels[name] = one.label
        try:
            asked = settled(one, self.values)
            reading, how, basis = (None, "blank", "") if unused else asked.read(text)
        except FieldProblem as problem:
            self.problems.append(FieldProblem(name, problem.text))
            return None
        likely, low, high, display = reading, None, None, ""
        if isinstance(reading, Reading):
            likely, low, high = reading
        elif isinstance(one, Choice):
            display = one.choices.get(reading, "")
        elif reading is not None:
            display = text.strip() or asked.default
        if low is not None and high > low:
            self.ends[name] = (low, high)
        typed = text.strip() if how == "given" and isinstance(reading, Reading) and foreign_unit(text, one.unit) else ""
        return Understood(name, one.label, one.unit, likely, low, high, how, basis, display, typed=typed)


def _assumed(known, cells):
    """What a row's blank cells stand for, in words: first what is known of it, then what is usual."""
    from_known = [_cell_words(one, each) for one, each in cells if one.name in known.columns and each.value not in (None, "")]
    usual = [_cell_words(one, each) for one, each in cells if one.name not in known.columns and each.value not in (None, "")]
    lead = [f"from {known.source}: {', '.join(from_known)}"] if from_known else []
    return "; ".join([*lead, *([f"as usual: {', '.join(usual)}"] if usual else [])])


def _cell_words(one, each):
    if each.display:
        return f"{inside(one.label)} ({each.display})"
    span = f" ({_brief(each.low, one.unit)} to {_brief(each.high, one.unit)})" if each.low is not None and each.low < each.high else ""
    return f"{inside(one.label)} {_brief(each.value, one.unit)}{span}"


def _brief(value, unit):
    """A quantity to three figures, without trailing zeros."""
    return restate_quantity(to_si(float(f"{from_si(value, unit):.3g}"), unit), unit)


def _unused(by_name, alternatives, typed):
    """Fields that step back because another way of saying the same was typed."""
    unused, clashes = set(), []
    for group in alternatives:
        said = [names for names in group if any(_differs(by_name[name], typed) for name in names)]
        if len(said) > 1:
            first = next(name for name in said[0] if _differs(by_name[name], typed))
            second = next(name for name in said[1] if _differs(by_name[name], typed))
            clashes.append(FieldProblem(second, f"this and {first} say the same thing in two ways: empty one of them"))
        used = said[0] if said else group[0]
        unused |= {name for names in group if names is not used for name in names if name not in used}
    return unused, clashes


def _differs(one, typed):
    """Whether a field was filled in by hand: the example's own text does not count."""
    text = str(typed.get(one.name, "")).strip()
    return bool(text) and text != one.shown and text != (one.default or "")


def inside(label):
    """A label inside a sentence: its first letter small unless it is an abbreviation.

    Parameters
    ----------
    label : str
        Words of a form, for example "AC power" or "Cable length".

    Returns
    -------
    str
        For example "AC power" or "cable length".
    """
    return label if label[:2].isupper() else label[:1].lower() + label[1:]
