"""How a calculator runs: read, evaluate, vary each input, explain.

Ranges: each input with a range is moved to either end on its own, and the shifts of an
output are combined as independent ones, by the root of the sum of squares (JCGM 100,
5.1.2), upward and downward apart. Outputs that stay positive are combined as ratios, so
that a range never reaches below zero. Outputs that only take standard sizes span the
sizes seen.
"""

import math
from dataclasses import dataclass, field, replace
from types import SimpleNamespace
from typing import Callable

from calc.calculators.form import Choice, inside, moved, read_inputs
from calc.calculators.regions import said_in_awg
from calc.result import LEVELS, Finding, Output, Result, Step
from calc.sources import SOURCES


TIMES = ("s", "min", "h", "day")
"""Units of what no range takes below nothing."""


@dataclass(frozen=True)
class Answer:
    """One output a calculator declares.

    `stepped` ones take standard sizes only; `per_day` ones are an amount of every day; `least` and `most` give, from the input values,
    bounds the output cannot pass, for example an inverter's rating. A `quiet` one stays out
    of the lists where there is nothing to give, for example the current of a fifth battery.
    `figures` is how many significant figures are shown. A `signed` one is a difference that
    may lie on either side of nothing: its range is never combined as ratios. `ends` gives
    low, high and what moves it itself, from the input values, the likely outputs and every
    output's span, where combining shifts would mislead. `said` puts a value of it into words, from the
    input values, where number and unit do not.
    """

    name: str
    label: str
    unit: str = ""
    main: bool = False
    stepped: bool = False
    choices: dict = field(default_factory=dict)
    least: Callable | None = None
    most: Callable | None = None
    per_day: bool = False
    quiet: bool = False
    figures: int = 3
    signed: bool = False
    ends: Callable | None = None
    said: Callable | None = None


@dataclass(frozen=True)
class Calculator:
    """One question a person asks.

    `evaluate` turns a namespace of SI values into a dict of outputs; it is called once
    for each end of each range, so it does nothing else. `check` raises FieldProblem for
    values that contradict each other. `explain` fills a Case with the answer, the findings
    and the working; `draw` returns the figures.
    """

    id: str
    title: str
    question: str
    fields: tuple
    answers: tuple
    evaluate: Callable
    check: Callable
    explain: Callable
    draw: Callable
    alternatives: tuple = ()

    def shown(self):
        """The texts the form starts with: the example."""
        return {one.name: one.shown for one in self.fields}


class Case:
    """One run: what `explain` and `draw` see, and where they write."""

    def __init__(self, calculator, inputs, outputs, spans):
        self.calculator = calculator
        self.inputs = inputs
        self.values = inputs.values
        self.outputs = SimpleNamespace(**outputs)
        self.spans = spans
        self.answer = ""
        self.findings = []
        self.working = []
        self.cited = []

    def find(self, code, level, text):
        """Add a finding."""
        self.findings.append(Finding(code, level, text))

    def step(self, symbol, label, formula, inputs, value, unit, source, clause=""):
        """Add a line of working."""
        self.working.append(Step(symbol, label, formula, inputs, value, unit, source, clause))

    def cite(self, *sources):
        """Name sources of what is said in words, beside those of the working."""
        self.cited += sources

    def understood(self, name):
        """How one input was understood."""
        return next(one for one in self.inputs.understood if one.name == name)

    def low(self, name):
        """Low end of an output, or None."""
        return self.spans[name][0]

    def high(self, name):
        """High end of an output, or None."""
        return self.spans[name][1]

    def unfavourable(self, name, wanted="high"):
        """All outputs with every uncertain input at the end that is worst for one output.

        Parameters
        ----------
        name : str
            The output to be kept high, or low.
        wanted : str
            "high" or "low": which way is good.

        Returns
        -------
        SimpleNamespace
            The outputs there.
        """
        sign = 1 if wanted == "high" else -1

        def quality(end):
            value = self.calculator.evaluate(moved(self.values, end))[name]
            return -math.inf if value is None else sign * value

        changes = {}
        for _, ends in _variations(self.calculator, self.inputs):
            changes.update(min(ends, key=quality))
        return SimpleNamespace(**self.calculator.evaluate(moved(self.values, changes)))


def run(calculator, typed):
    """Answer one question.

    Parameters
    ----------
    calculator : Calculator
        The question.
    typed : dict of str
        Field name to text, as typed.

    Returns
    -------
    Result
        The answer with its ranges, findings, working and figure.

    Raises
    ------
    InputProblems
        When any input cannot be used.
    """
    inputs = read_inputs(calculator.fields, calculator.alternatives, typed)
    calculator.check(inputs.values)
    watched = _Watched(inputs.values)
    outputs = calculator.evaluate(watched)
    inputs = _only_used(inputs, watched.asked | {one.by for one in calculator.fields if one.name in watched.asked and getattr(one, "by", "")})
    spans = _spans(calculator, inputs, outputs)
    case = Case(calculator, inputs, outputs, spans)
    calculator.explain(case)
    american = said_in_awg(inputs.values)
    return Result(
        calculator=calculator.id,
        title=calculator.title,
        answer=case.answer,
        inputs=tuple(replace(one, american=american) for one in inputs.understood) if american else inputs.understood,
        outputs=tuple(_output(answer, inputs.values, outputs[answer.name], *spans[answer.name], american) for answer in calculator.answers),
        findings=tuple(sorted(case.findings, key=lambda finding: LEVELS.index(finding.level))),
        working=tuple(case.working),
        figures=tuple(calculator.draw(case)),
        sources=_sources(case),
    )


class _Watched:
    """Input values that note which of them were asked for."""

    def __init__(self, values):
        self._values = values
        self.asked = set()

    def __getattr__(self, name):
        self.asked.add(name)
        return getattr(self._values, name)


def _only_used(inputs, asked):
    """Inputs without the ranges and assumptions of fields this answer did not call for."""
    return replace(
        inputs,
        ends={name: span for name, span in inputs.ends.items() if name.split(".")[0] in asked},
        understood=tuple(replace(one, used=one.name.split(".")[0] in asked) for one in inputs.understood),
    )


def _output(answer, v, value, low, high, mover, american):
    display = answer.choices.get(value, "") if isinstance(value, str) else ""
    words = ()
    if answer.said and value is not None:
        display, *words = (None if end is None else answer.said(v, end) for end in (value, low, high))
    return Output(answer.name, answer.label, answer.unit, value, low, high, mover, answer.main, display, answer.per_day, answer.quiet, answer.figures, american, tuple(words))


def _sources(case):
    """Sources of the working and of what is said in words, each once, in the order they are first used."""
    ids = dict.fromkeys([*(step.source for step in case.working), *case.cited])
    return tuple(SOURCES[id] for id in ids)


def _variations(calculator, inputs):
    """Every uncertain input: its label, and the values to try for its low and its high end."""
    together, variations = set(), []
    for one in calculator.fields:
        if not isinstance(one, Choice) or not one.unknown or not inputs.uses(one.name) or getattr(inputs.values, one.name) != one.unknown:
            continue
        ends = [{one.name: value} for value in one.choices if value != one.unknown]
        label = one.label
        partner = one.varies_with
        if partner in inputs.ends:
            together.add(partner)
            label = f"{inputs.labels[partner]} and {inside(label)}"
            ends = [{**end, partner: value} for end, value in zip(ends, inputs.ends[partner])]
        variations.append((label, (ends[0], ends[-1])))
    for name, (low, high) in inputs.ends.items():
        if name not in together:
            variations.append((inputs.labels[name], ({name: low}, {name: high})))
    return variations


def _spans(calculator, inputs, outputs):
    """Low, high and what moves it most, for every output."""
    shifted = [
        (label, [calculator.evaluate(moved(inputs.values, end)) for end in ends])
        for label, ends in _variations(calculator, inputs)
    ]
    spans = {
        answer.name: _bounded(
            _span(answer, outputs[answer.name], [(label, [end[answer.name] for end in pair]) for label, pair in shifted]),
            answer.least(inputs.values) if answer.least else 0.0 if answer.unit in TIMES and not answer.signed else None,
            answer.most and answer.most(inputs.values),
        )
        for answer in calculator.answers
    }
    return spans | {
        answer.name: answer.ends(inputs.values, outputs, spans)
        for answer in calculator.answers
        if answer.ends and outputs[answer.name] is not None
    }


def _bounded(span, least, most):
    low, high, mover = span
    return low if least is None or low is None else max(low, least), high if most is None or high is None else min(high, most), mover


def _span(answer, likely, shifted):
    """Combine the shifts of one output."""
    if likely is None or isinstance(likely, str):
        return None, None, ""
    seen = [(label, [value for value in pair if value is not None]) for label, pair in shifted]
    widths = [(max(likely, *values) - min(likely, *values) if len(values) == 2 else math.inf, label) for label, values in seen]
    width, mover = max(widths, default=(0.0, ""), key=lambda pair: pair[0])
    if not width:
        return likely, likely, ""
    if answer.stepped:
        every = [likely, *(value for _, values in seen for value in values)]
        missing_above = any(len(values) < 2 for _, values in seen)
        return min(every), None if missing_above else max(every), mover
    every = [value for _, values in seen for value in values]
    as_ratio = not answer.signed and likely > 0 and all(value > 0 for value in every)
    down = up = 0.0
    open_low = open_high = False
    for _, values in seen:
        shifts = [math.log(value / likely) if as_ratio else value - likely for value in values]
        down = math.hypot(down, min([0.0, *shifts]))
        up = math.hypot(up, max([0.0, *shifts]))
        if len(values) < 2:  # nothing to compute at one end: that side is open
            open_low = open_low or not values or values[0] >= likely
            open_high = open_high or not values or values[0] <= likely
    low, high = (likely * math.exp(-down), likely * math.exp(up)) if as_ratio else (likely - down, likely + up)
    return None if open_low else low, None if open_high else high, mover
