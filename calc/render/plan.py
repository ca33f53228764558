"""A plan that was run, for the terminal and as JSON data.

sheet      every step: answer, stops and cautions, what was settled on
as_data    the object of `--json`
"""

import textwrap

from calc import __version__
from calc.calculators import CALCULATORS
from calc.plan.overrides import PARTS
from calc.plan.steps import STEPS, TITLES
from calc.render import text, words
from calc.units import from_si

TITLE = "The whole recommendation"
STANDING = "Estimates with stated ranges; not an installation instruction. Local law and a licensed person decide."


def sheet(run):
    """The whole run in lines for a terminal.

    Parameters
    ----------
    run : Run
        A plan that was run.

    Returns
    -------
    str
        Lines of at most 88 characters, where words allow.
    """
    title = run.plan["who"].get("title") or TITLE
    lines = [title, "=" * len(title), ""]
    lines += [line for part, one in _findings(run) if one.level == "stop" for line in _wrapped(f"Stop ({_title(part)}): ", one.text)]
    lines += ["", "Settled on"]
    lines += [line for one in run.choices.values() if one.name in SETTLED for line in _wrapped(f"  {one.label}: ", f"{one.words}; {one.reason}")]
    for number, step in enumerate(STEPS, 1):
        lines += ["", f"{number}. {step.title}"]
        lines += [line for name in step.parts for line in _part_lines(run.part(name))]
    lines += ["", *textwrap.wrap(STANDING, text.WIDTH)]
    return "\n".join(lines)


SETTLED = ("rating", "standby", "voltage", "capacity", "area", "fuse")


def _title(part):
    return "the plan as a whole" if part == "plan" else TITLES[part].lower()


def _wrapped(lead, words_):
    return textwrap.wrap(words_, text.WIDTH, initial_indent=lead, subsequent_indent=" " * (len(lead) - len(lead.lstrip()) + 2))


def _part_lines(part):
    if part.result is None:
        waits = part.idle or "; ".join((*part.needs, *(str(problem) for problem in part.problems)))
        return _wrapped(f"   {part.title}: ", waits)
    lines = _wrapped(f"   {part.title}: ", part.result.answer)
    return lines + [line for one in part.result.findings if one.level == "caution" for line in _wrapped("     Caution: ", one.text)]


def _findings(run):
    """(part, finding) of the whole plan, gravest first."""
    found = [("plan", one) for one in run.findings]
    found += [(part.name, one) for part in run.parts.values() if part.result for one in part.result.findings]
    return [pair for level in words.LEVEL_WORDS for pair in found if pair[1].level == level]


def as_data(run):
    """The object that `--json` prints.

    Parameters
    ----------
    run : Run
        A plan that was run.

    Returns
    -------
    dict
        calculator, version, inputs, outputs, findings, working, sources, and beside them the steps.
    """
    results = {part.name: text.as_data(part.result) for part in run.parts.values() if part.result}
    return {
        "calculator": "system-plan",
        "version": __version__,
        "inputs": run.plan,
        "outputs": {one.name: _output(run, one) for one in run.choices.values()},
        "findings": [{"code": one.code, "level": one.level, "text": one.text, "part": part} for part, one in _findings(run)],
        "working": [{"part": name, **line} for name, data in results.items() for line in data["working"]],
        "sources": list({one["id"]: one for data in results.values() for one in data["sources"]}.values()),
        "steps": [{"id": step.id, "title": step.title, "parts": [_part_data(run.part(name), results.get(name)) for name in step.parts]} for step in STEPS],
        "problems": [{"path": one.field, "text": one.text} for one in run.problems],
    }


RANGES = {"energy": ("loads", "energy_total"), "rating": ("size", "rating_chosen"), "lowest": ("bad-week", "state_of_charge_lowest"),
          "unmet": ("bad-week", "energy_unmet"), "balance": ("recharge", "balance"), "capacity": ("battery", "capacity_chosen"), "fuse": ("fuse", "rating")}  # fmt: skip
"""Where the range of what was settled on comes from; a value that was typed has none."""


def _output(run, choice):
    low = high = None
    if choice.name in RANGES and not choice.given:
        part, name = RANGES[choice.name]
        output = run.result(part).output(name)
        low, high = output.low, output.high
    unit = choice.unit
    return {
        "value": from_si(choice.value, unit), "unit": unit, "low": None if low is None else from_si(low, unit), "high": None if high is None else from_si(high, unit),
        "given": choice.given, "reason": choice.reason,
    }  # fmt: skip


def _part_data(part, data):
    told = {"name": part.name, "title": part.title, "calculator": PARTS[part.name], "idle": part.idle, "needs": list(part.needs)}
    told["problems"] = [{"path": one.field, "text": one.text} for one in part.problems]
    told["texts"] = {name: {"text": given, "from": part.origins[name].kind, "place": part.origins[name].place} for name, given in part.texts.items()}
    return told | ({"answer": data["answer"], "outputs": data["outputs"]} if data else {})
