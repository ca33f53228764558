"""A Result as a sheet for the terminal and as JSON data.

sheet      answer, findings, outputs, working, inputs, sources
as_data    the object of `--json`
"""

import textwrap

from calc import __version__
from calc.calculators.form import inside
from calc.render import formula, words
from calc.units import from_si

WIDTH = 88


def sheet(result):
    """Answer first, then findings, outputs, inputs, working and sources.

    Parameters
    ----------
    result : Result
        One answered question.

    Returns
    -------
    str
        Lines of at most 88 characters, where words allow.
    """
    parts = [result.title, "=" * len(result.title), ""]
    parts += [line for finding in result.findings if finding.level == "stop" for line in _finding(finding)]
    parts += [*textwrap.wrap(result.answer, WIDTH), ""]
    parts += [line for finding in result.findings if finding.level != "stop" for line in _finding(finding)]
    parts += ["", "Answers", *_outputs(result), "", "Inputs", *_inputs(result), "", "Working"]
    parts += [line for step in result.working for line in working(step)]
    parts += ["", "Sources", *(line for source in result.sources for line in _hanging("- ", words.source_line(source)))]
    parts += ["", *textwrap.wrap("Estimates with stated ranges; not an installation instruction. Local law and a licensed person decide.", WIDTH)]
    return "\n".join(parts)


def _hanging(lead, text):
    return textwrap.wrap(text, WIDTH, initial_indent=lead, subsequent_indent=" " * len(lead))


def _finding(finding):
    return _hanging(f"{words.LEVEL_WORDS[finding.level]}: ", finding.text)


def _outputs(result):
    rows = [(output.label, words.output_value(output), words.output_range(output), output.mover) for output in result.outputs if not (output.quiet and output.value is None)]
    wide = max(len(row[0]) for row in rows)
    lines = []
    for label, value, span, mover in rows:
        tail = f"  {span}" + (f"; most from: {inside(mover)}" if mover else "") if span else ""
        lines += _hanging_columns(f"  {label:<{wide}}  ", f"{value}{tail}")
    return lines


def _inputs(result):
    rows = [(given.label, words.input_value(given), words.HOW_WORDS[given.how]) for given in result.inputs if words.counts(given)]
    wide = max(len(row[0]) for row in rows)
    return [line for label, value, how in rows for line in _hanging_columns(f"  {label:<{wide}}  ", value + (f", {how}" if how else ""))]


def _hanging_columns(lead, text):
    return textwrap.wrap(text, max(WIDTH, len(lead) + 30), initial_indent=lead, subsequent_indent=" " * len(lead)) or [lead]


def working(step):
    """A line of working as three lines of text.

    Parameters
    ----------
    step : Step
        What was computed.

    Returns
    -------
    iterator of str
        The formula, the same with numbers, the value.
    """
    yield f"  {formula.symbol_text(step.symbol)} = {formula.to_text(step.formula)}    ({step.label})"
    yield f"    = {formula.substituted(step)}"
    yield f"    = {formula.number(step.value, step.unit)}"


def as_data(result):
    """The object that `--json` prints; outputs in their display units.

    Parameters
    ----------
    result : Result
        One answered question.

    Returns
    -------
    dict
        calculator, version, answer, inputs, outputs, findings, working, sources.
    """
    return {
        "calculator": result.calculator,
        "version": __version__,
        "answer": result.answer,
        "inputs": {
            given.name: {
                "value": _number(given.value, given.unit), "unit": given.unit,
                "low": _number(given.low, given.unit), "high": _number(given.high, given.unit), "how": given.how,
            }
            for given in result.inputs
        },
        "outputs": {
            output.name: {
                "value": _number(output.value, output.unit), "unit": f"{output.unit}/day" if output.per_day else output.unit,
                "low": _number(output.low, output.unit), "high": _number(output.high, output.unit), "mover": output.mover,
            }
            for output in result.outputs
        },
        "findings": [{"code": one.code, "level": one.level, "text": one.text} for one in result.findings],
        "working": [
            {
                "symbol": step.symbol, "label": step.label, "formula": step.formula,
                "inputs": {name: {"value": from_si(value, unit), "unit": unit} for name, (value, unit) in step.inputs.items()},
                "value": from_si(step.value, step.unit), "unit": step.unit, "source": step.source, "clause": step.clause,
            }
            for step in result.working
        ],
        "sources": [{"id": one.id, "title": one.title, "edition": one.edition, "kind": one.kind, "known": one.known} for one in result.sources],
    }  # fmt: skip


def _number(value, unit):
    if isinstance(value, tuple):
        return [_item(one, unit) for one in value]
    return from_si(value, unit) if isinstance(value, float) else value


def _item(one, unit):
    """One item of a list: a size, a (load, efficiency) pair, or a use."""
    if isinstance(one, float):
        return from_si(one, unit)
    return [part[0] if isinstance(part, tuple) else part for part in one]
