"""What a calculator answers with, before anyone renders it.

A Result is plain data: an answer in one sentence, the inputs as understood, outputs with
their ranges, findings, the working, a figure and the sources used.
"""

from dataclasses import dataclass, field

LEVELS = ("stop", "caution", "note")
"""Levels of a finding, gravest first."""


@dataclass(frozen=True)
class Understood:
    """One input as it was understood; values in SI units (°C for temperatures)."""

    name: str
    label: str
    unit: str
    value: float | str | None
    low: float | None
    high: float | None
    how: str  # "given", "default", "unknown" or "blank"
    basis: str  # what the range or the assumption rests on, "" where there is none
    display: str = ""  # a choice in words
    used: bool = True  # False where this answer did not call for it
    american: bool = False  # said with AWG first and with feet beside metres
    typed: str = ""  # the text as typed, where its unit is of another kind of measure than `unit`


@dataclass(frozen=True)
class Output:
    """One answer with its range; values in SI units, None where there is none to give."""

    name: str
    label: str
    unit: str
    value: float | str | None
    low: float | str | None = None
    high: float | str | None = None
    mover: str = ""  # label of the input that moves it most
    main: bool = False  # shown large, beside the answer
    display: str = ""  # words that replace the number, for a choice or a size
    per_day: bool = False  # an amount of every day: `--json` says so in the unit
    quiet: bool = False  # left out of the lists where there is no value
    figures: int = 3  # significant figures shown
    american: bool = False  # said with AWG first and with feet beside metres
    display_ends: tuple = ()  # words for low and high, where `display` stands for a number


@dataclass(frozen=True)
class Finding:
    """Something the reader must know."""

    code: str
    level: str
    text: str


@dataclass(frozen=True)
class Step:
    """One line of working.

    `formula` is an expression in Python's syntax over the names in `inputs`; it is shown
    as mathematics, and a test evaluates what is shown.
    """

    symbol: str
    label: str
    formula: str
    inputs: dict  # name: (SI value, unit shown)
    value: float
    unit: str
    source: str
    clause: str = ""


@dataclass(frozen=True)
class Axis:
    """One axis of a figure. `ticks` names positions (numbers) where words replace numbers."""

    label: str
    unit: str
    low: float
    high: float
    ticks: tuple = ()  # pairs of (position, words)


@dataclass(frozen=True)
class Series:
    """One line of a figure, or one row of bars, in display units; `dash` keeps it apart without colour."""

    name: str
    points: tuple
    dash: str = "solid"  # solid, dashed, dotted
    markers: bool = False
    bars: bool = False  # from the axis's zero, or its low end, up to each point


@dataclass(frozen=True)
class Level:
    """A horizontal limit across the figure."""

    name: str
    y: float


@dataclass(frozen=True)
class Mark:
    """A point that answers the question, with its words."""

    name: str
    x: float
    y: float


@dataclass(frozen=True)
class Figure:
    """A picture as data: drawn alike at build, live and on paper."""

    title: str
    description: str
    x: Axis
    y: Axis
    series: tuple
    levels: tuple = ()
    marks: tuple = ()


@dataclass(frozen=True)
class Result:
    """Everything one calculator has to say about one set of inputs."""

    calculator: str
    title: str
    answer: str
    inputs: tuple
    outputs: tuple
    findings: tuple
    working: tuple
    figures: tuple
    sources: tuple = field(default=())

    def output(self, name):
        """The output of that name."""
        return next(output for output in self.outputs if output.name == name)

    def input(self, name):
        """The input of that name."""
        return next(given for given in self.inputs if given.name == name)
