"""The fields of a calculator, and how typed text becomes values with their ranges.

A field declares everything a person may ask about it: its unit, its limits, what is
assumed when it is left out, how well a typed value is known, and what stands in for
"I don't know". Reading collects every problem at once, so that nobody mends a form one
error at a time.
"""

from dataclasses import dataclass, field
from functools import cached_property
from types import SimpleNamespace

from calc.errors import FieldProblem, InputProblems
from calc.result import Understood
from calc.units import Reading, UnitProblem, read_number, read_quantity, restate_quantity, to_si

UNKNOWN = "unknown"
"""What is typed, or ticked, for "I don't know"."""


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

    @property
    def shown(self):
        """Text the form starts with on the page."""
        return self.example if self.example is not None else self.default or ""

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
                raise FieldProblem(self.name, f"enter {_lower(self.label)}")
            how = "default" if self.default else "blank"
            text = self.default
        elif text.strip() == self.default:
            how = "default"
        if not text:
            return None, "blank", ""
        if text.strip().lower() == UNKNOWN:
            if self.unknown is None:
                raise FieldProblem(self.name, f"this has to be known: enter {_lower(self.label)}")
            return self._unknown, "unknown", self.unknown.basis
        try:
            reading = self._parse(text)
        except UnitProblem as problem:
            raise FieldProblem(self.name, str(problem)) from None
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
    others is tried, and the field named in `varies_with` moves along. The rest as in Field.
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

    @property
    def shown(self):
        """Value the form starts with on the page."""
        return self.example if self.example is not None else self.default or ""

    def read(self, text):
        """Turn typed text into (value, how, basis); raises FieldProblem."""
        typed = text.strip()
        if not typed:
            if self.default is None:
                raise FieldProblem(self.name, f"choose {_lower(self.label)}: {self._offer()}")
            return self.default, "default", ""
        if typed.lower() == UNKNOWN and self.unknown:
            return self.unknown, "unknown", ""
        folded = typed.lower().replace("_", "-").replace(" ", "-")
        folded = {"y": "yes", "true": "yes", "1": "yes", "n": "no", "false": "no", "0": "no"}.get(folded, folded)
        for value, words in self.choices.items():
            if folded == value.lower() or typed.lower() == words.lower():
                return value, "default" if value == self.default else "given", ""
        raise FieldProblem(self.name, f'"{typed[:40]}" is not one of the answers: choose {self._offer()}')

    def _offer(self):
        return ", ".join(self.choices)


@dataclass(frozen=True)
class Points(Field):
    """Pairs such as "10 %:80 %, 50 %:91 %": shares of the rating (or watts) with an efficiency."""

    def read(self, text):
        """Turn typed text into (pairs, how, basis); a load is (value, is_share)."""
        if not text.strip():
            return None, "blank", ""
        pairs = []
        for part in text.replace(";", ",").split(","):
            load, colon, efficiency = part.partition(":")
            if not colon:
                raise FieldProblem(self.name, f'"{part.strip()[:40]}" is not a pair: enter load:efficiency, for example 10%:80%, 50%:91%, 100%:89%')
            try:
                share = load.strip().endswith("%")
                pairs.append(((read_quantity(load, "%" if share else "W").likely, share), read_quantity(efficiency, "%").likely))
            except UnitProblem as problem:
                raise FieldProblem(self.name, f'in "{part.strip()[:40]}": {problem}') from None
        return tuple(pairs), "given", ""


@dataclass(frozen=True)
class Inputs:
    """Typed text, read: likely values, the ends of their ranges, and how each was understood."""

    values: SimpleNamespace
    ends: dict  # name: (low, high)
    understood: tuple

    def uses(self, name):
        """Whether this answer calls for a field."""
        return any(one.name == name and one.used for one in self.understood)


def read_inputs(fields, alternatives, typed):
    """Read everything a person typed.

    Parameters
    ----------
    fields : tuple of Field, Choice or Points
        In the order of the form.
    alternatives : tuple
        Groups of sets of field names, of which one set is used: the set that was typed,
        or the first.
    typed : dict of str
        Field name to text; a missing name or an empty text is a field left out.

    Returns
    -------
    Inputs
        Values in SI units.

    Raises
    ------
    InputProblems
        With every problem found.
    """
    known = {one.name for one in fields}
    problems = [FieldProblem(name, f"there is no such field here: the fields are {', '.join(one.name for one in fields)}") for name in typed if name not in known]
    by_name = {one.name: one for one in fields}
    unused, clashes = _unused(by_name, alternatives, typed)
    problems += clashes
    values, ends, understood = {}, {}, []
    for one in fields:
        text = "" if one.name in unused else str(typed.get(one.name, ""))
        try:
            reading, how, basis = (None, "blank", "") if one.name in unused else one.read(text)
        except FieldProblem as problem:
            problems.append(problem)
            continue
        likely, low, high, display = reading, None, None, ""
        if isinstance(reading, Reading):
            likely, low, high = reading
        elif isinstance(one, Choice):
            display = one.choices.get(reading, "")
        elif reading is not None:
            display = text.strip()
        values[one.name] = likely
        if low is not None and high > low:
            ends[one.name] = (low, high)
        understood.append(Understood(one.name, one.label, one.unit, likely, low, high, how, basis, display))
    if problems:
        raise InputProblems(problems)
    return Inputs(SimpleNamespace(**values), ends, tuple(understood))


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
    text = str(typed.get(one.name, "")).strip()
    return bool(text) and text != one.shown and text != (one.default or "")


def _lower(label):
    """A label inside a sentence: its first letter small unless it is an abbreviation."""
    return label if label[:2].isupper() else label[:1].lower() + label[1:]
