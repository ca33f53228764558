"""What an exercise is: plain data, no rendering.

Number    a value to find and type with its unit
Choice    one of several, all but one of them real mistakes
Faults    a sheet of lines, some of them wrong
Estimate  a guess with a range, before anything is computed
"""

from dataclasses import dataclass

from calc.result import Step
from calc.units import format_quantity, restate_quantity

TOLERANCE = 0.02


@dataclass(frozen=True)
class Fact:
    """One thing that is given: its name and its words."""

    label: str
    words: str


@dataclass(frozen=True)
class Mistake:
    """A wrong value that people really come to, in SI units, and what is wrong with it."""

    value: float
    why: str


@dataclass(frozen=True)
class Option:
    """One answer to choose; `value` where it is a number, `why` it tempts and is wrong, or is right."""

    text: str
    why: str
    right: bool = False
    value: float | None = None


@dataclass(frozen=True)
class Line:
    """One line of a sheet; `why` says what is wrong with it, and is empty where nothing is."""

    text: str
    why: str = ""


@dataclass(frozen=True)
class Check:
    """How a calculator answers the same question: its fields as typed, and the output to compare."""

    calculator: str
    typed: dict
    output: str


@dataclass(frozen=True, kw_only=True)
class Item:
    """What every kind of exercise has."""

    story: str = ""
    facts: tuple = ()
    question: str
    working: tuple = ()
    why: str = ""  # what to remember
    hints: tuple = ()
    check: Check | None = None


@dataclass(frozen=True, kw_only=True)
class Number(Item):
    """A value to find, in SI units; `unit` is the one of a bare number."""

    value: float
    unit: str
    tolerance: float = TOLERANCE
    mistakes: tuple = ()

    def matches(self, value, of):
        """Whether a value agrees with another one within the tolerance."""
        return abs(value - of) <= self.tolerance * abs(of) * (1 + 1e-9)


@dataclass(frozen=True, kw_only=True)
class Choice(Item):
    """One of several options."""

    options: tuple


@dataclass(frozen=True, kw_only=True)
class Faults(Item):
    """Lines to tick where they are wrong."""

    lines: tuple


@dataclass(frozen=True, kw_only=True)
class Estimate(Item):
    """A value to guess with a range, in SI units."""

    value: float
    unit: str


def said(value, unit, figures=3):
    """A value as an answer is said: "33.8 Ah", "12.3 days".

    Parameters
    ----------
    value : float
        In SI units.
    unit : str
        Unit shown.
    figures : int
        Significant figures.

    Returns
    -------
    str
        Number and unit.
    """
    return format_quantity(value, unit, figures) + ("s" if unit == "day" else "")


def given(label, value, unit):
    """A fact that is a quantity, as it is calculated with.

    Parameters
    ----------
    label : str
        Its name.
    value : float
        In SI units.
    unit : str
        Unit shown.

    Returns
    -------
    Fact
        Name and words.
    """
    return Fact(label, restate_quantity(value, unit))


def work(symbol, label, formula, value, unit, source="arithmetic", **inputs):
    """One line of working.

    Parameters
    ----------
    symbol, label : str
        What is found, as a symbol and in words.
    formula : str
        Expression in Python's syntax over the names of `inputs`.
    value : float
        What it gives, in SI units.
    unit, source : str
        Unit shown; id of the source.
    inputs : tuple of (float, str)
        Value in SI units and unit shown, by symbol.

    Returns
    -------
    Step
        The line.
    """
    return Step(symbol, label, formula, inputs, value, unit, source)
