"""rule-of-thumb: how wrong is the rule I was taught?

A rule from the list is set against the calculation that replaces it, over the range it is
used over: how far off it is at its best, at its worst, and where it is mostly used.
"""

import math
from dataclasses import replace
from functools import cache

from calc.calculators import losses
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Choice, Field, Unknown
from calc.calculators.thumb_rules import RULES
from calc.errors import FieldProblem
from calc.result import Axis, Figure, Level, Mark, Series
from calc.units import format_quantity as say
from calc.units import capitalised, from_si, read_quantity
from calc.units import restate_quantity as restate

PLACES = 15  # places along the range at which rule and calculation are compared
SPACE = "\u00a0"
GOOD = 0.05  # an error below which a rule of thumb may be called good


class RangeEnd(Field):
    """One end of the range; what quantity it is goes by the rule."""

    def read(self, text):
        """Turn typed text into (value, how, basis), without a range of its own."""
        reading, how, _ = super().read(text)
        return (reading and reading.likely), how, ""


def _end(name, label):
    plain = RangeEnd(name, label, minimum="0", maximum="5000", hint="Left blank: the usual range.")
    return replace(plain, by="rule", variants={id: replace(plain, unit=rule.unit, **_limits(rule)) for id, rule in RULES.items()})


def _limits(rule):
    """A tenth of the usual range to ten times it, and never past what can be."""
    low, high = read_quantity(rule.low, rule.unit).likely, read_quantity(rule.high, rule.unit).likely
    ceiling = {"%": 1.0, "deg": math.pi}.get(rule.unit, 1.0 if rule.over.startswith(("power factor", "ripple")) else 10 * high)
    return {"minimum": restate(low / 10, rule.unit), "maximum": restate(min(10 * high, ceiling), rule.unit)}


FIELDS = (
    Choice("rule", "The rule", {id: rule.words for id, rule in RULES.items()}, default="flat-90"),
    _end("range_low", "Used from"),
    _end("range_high", "Used up to"),
    Field("voltage_open_circuit", "Battery voltage at rest", "V", default="12.6 V", minimum="11.5 V", maximum="14 V",
          tolerance="0.1 V", basis="common practice: a meter and a battery not quite rested", hint="A 12 V battery: these are rules for 12 V.", more=True,
          unknown=Unknown("12.6 V", "12.2 V", "12.8 V", "common practice: a 12 V battery between half and full")),
    Field("battery_resistance", "Battery resistance", "mΩ", default="6 mΩ", minimum="0.5 mΩ", maximum="50 mΩ",
          tolerance="20 %", basis="common practice: it rises as a battery empties, cools and ages",
          unknown=Unknown("9 mΩ", "4 mΩ", "20 mΩ", "common practice: one 100 Ah 12 V lead-acid battery, new to old"), more=True),
    Field("cable_resistance", "Cable resistance, both ways", "mΩ", default="2 mΩ", minimum="0.1 mΩ", maximum="50 mΩ", more=True,
          unknown=Unknown("2 mΩ", "1 mΩ", "5 mΩ", "common practice: 2 m of 16 to 70 mm²")),
    Field("joint_resistance", "Joints, fuse and isolator together", "mΩ", default="1.5 mΩ", minimum="0 mΩ", maximum="50 mΩ", more=True,
          unknown=Unknown("1.5 mΩ", "0.5 mΩ", "4 mΩ", "common practice: fuse, isolator and eight lugs, good to poor")),
    Field("battery_capacity", "Battery capacity, lead-acid, on the label", "Ah", default="100 Ah", minimum="10 Ah", maximum="2000 Ah", more=True,
          unknown=Unknown("100 Ah", "80 Ah", "200 Ah", "common practice: one or two batteries")),
    Field("peukert", "Its Peukert exponent", "", default="unknown", minimum="1", maximum="1.6",
          unknown=Unknown("1.15", "1.05", "1.3", "common practice: lead-acid of any kind"), more=True),
    Field("depth_limit", "Share of it you use", "%", default="50 %", minimum="1 %", maximum="100 %", more=True,
          unknown=Unknown("50 %", "30 %", "80 %", "common practice: from careful lead-acid to lithium")),
    Field("cut_out", "Inverter's low-voltage cut-out", "V", default="10.5 V", minimum="9 V", maximum="12 V", more=True,
          unknown=Unknown("10.5 V", "10 V", "11 V", "common practice for 12 V inverters")),
    Field("ripple", "Ripple of the DC current", "", default="unknown", minimum="0", maximum="1.5",
          unknown=Unknown("0.4", "0", "0.8", "common practice: from a smoothed input to a simple one"), more=True),
    Field("derate", "Panel yield after all losses", "", default="0.65", minimum="0.1", maximum="1",
          tolerance="12 %", basis="common practice: 0.6 to 0.75 of rated power times sun-hours", more=True,
          unknown=Unknown("0.65", "0.5", "0.75", "common practice")),
    Field("limit_multiple", "Inverter's current limit over its rated current", "", default="unknown", minimum="1", maximum="4",
          unknown=Unknown("2", "1.5", "2.5", "common practice"), more=True),
    replace(losses.RATING, more=True),
    *losses.FIELDS[1:],
)  # fmt: skip



def _error_words(v, error):
    return _off(RULES[v.rule], error)


ANSWERS = (
    Answer("error_typical", "Error where it is mostly used", "%", main=True, signed=True, said=_error_words),
    Answer("error_low", "Lowest error over the range", "%", main=True, signed=True, said=_error_words),
    Answer("error_high", "Highest error over the range", "%", main=True, signed=True, said=_error_words),
    Answer("rule_value", "Rule, where it is mostly used", main=True),
    Answer("model_value", "Calculation, at the same place", main=True),
    Answer("formula", "What replaces it"),
)


@cache
def _usual(id):
    """Usual low and high end and typical place of a rule, in SI units."""
    rule = RULES[id]
    return tuple(read_quantity(text, rule.unit).likely for text in (rule.low, rule.high, rule.typical))


def _ends(v):
    low, high, _ = _usual(v.rule)
    return low if v.range_low is None else v.range_low, high if v.range_high is None else v.range_high


def _typical(v):
    """The usual place, or the middle where the range leaves it out."""
    low, high = _ends(v)
    usual = _usual(v.rule)[2]
    return usual if low <= usual <= high else (low + high) / 2


def _check(v):
    losses.check(v)
    low, high = _ends(v)
    rule = RULES[v.rule]
    if low >= high:
        raise FieldProblem("range_low" if v.range_low is not None else "range_high", f"the range must rise: its ends are {restate(low, rule.unit)} and {restate(high, rule.unit)}")
    if v.cut_out >= v.voltage_open_circuit:
        raise FieldProblem("cut_out", f"must lie below the battery's {restate(v.voltage_open_circuit, 'V')} at rest")
    if rule.over == "AC load" and high > v.rating * (1 + 1e-9):
        raise FieldProblem("range_high" if v.range_high is not None else "rating", f"{restate(high, 'W')} is above the inverter's {restate(v.rating, 'VA')} continuous: end the range lower, or enter a larger rating")
    if all(rule.right(v, x) is None for x in _places(low, high, PLACES)):
        raise FieldProblem("range_low" if v.range_low is not None else "rule", f"nothing to compute anywhere from {restate(low, rule.unit)} to {restate(high, rule.unit)}: the battery holds none of it, or the table ends before")


def _places(low, high, count):
    """Evenly spaced, or by equal ratios where the range spans more than ten to one."""
    if low > 0 and high / low > 10:
        return [low * (high / low) ** (part / (count - 1)) for part in range(count)]
    return [low + (high - low) * part / (count - 1) for part in range(count)]


def _error(rule, says, right):
    if right is None:
        return None
    error = says - right if rule.points else says / right - 1
    return error if abs(error) > 1e-12 else 0.0  # what rounding leaves of a rule that is right


def _evaluate(v):
    rule = RULES[v.rule]
    low, high = _ends(v)
    x = _typical(v)
    errors = [_error(rule, rule.says(v, place), rule.right(v, place)) for place in (*_places(low, high, PLACES), x)]
    errors = [one for one in errors if one is not None]
    says, right = rule.says(v, x), rule.right(v, x)
    return {
        "error_typical": _error(rule, says, right),
        "error_low": min(errors) if errors else None,
        "error_high": max(errors) if errors else None,
        "rule_value": say(says, rule.shown),
        "model_value": "nothing: it does not hold" if right is None else say(right, rule.shown),
        "formula": rule.instead,
    }


def _explain(case):
    v, o = case.values, case.outputs
    rule = RULES[v.rule]
    x = _typical(v)
    low, high = _ends(v)
    if o.error_typical is not None:
        rule.work(case, x)
        _work_error(case, rule, x)
    span = f"{restate(low, rule.unit)} to {restate(high, rule.unit)}"
    least, most = _off(rule, o.error_low), _off(rule, o.error_high)
    off = least if abs(o.error_high - o.error_low) < 0.0005 else f"{least.partition(SPACE)[0]} to {most}"
    holds = "it is right" if least == most == _off(rule, 0.0) else f"it is off by {off}"
    right = f"where {o.model_value} is right" if o.error_typical is not None else "where nothing holds"
    case.answer = f'The rule "{rule.words}" says {o.rule_value} {right}. That is the {rule.about} where the {rule.over} is {restate(x, rule.unit)}. From {span} {holds}.'
    case.find("instead", "note", f"In its place: {rule.instead}.")
    case.find("lesson", "note", rule.lesson)
    _judge(case, rule, low, high)


def _work_error(case, rule, x):
    v, o = case.values, case.outputs
    pair = {"y_rule": (rule.says(v, x), rule.shown), "y_right": (rule.right(v, x), rule.shown)}
    if rule.points:
        case.step("e", "error in points", "y_rule - y_right", pair, o.error_typical, "%", "arithmetic")
    else:
        case.step("e", "error of the rule", "y_rule/y_right - 1", pair, o.error_typical, "%", "arithmetic")


def _off(rule, error):
    """An error with its sign, in per cent of the right value or in points."""
    sign = "" if abs(error) < 0.0005 else "+" if error > 0 else "−"
    size = say(abs(error), "%", 2) if sign else "0\u00a0%"
    return sign + (size.removesuffix("%") + "points" if rule.points else size)


def _judge(case, rule, low, high):
    v, o = case.values, case.outputs
    missing = [x for x in _places(low, high, 41) if rule.right(v, x) is None]
    if missing:
        where = "from" if missing[-1] >= high * (1 - 1e-9) else "up to"
        edge = missing[0] if where == "from" else missing[-1]
        case.find("no-answer-there", "caution", f"There is no comparison {where} about {say(edge, rule.unit, 2)}: the voltage collapses there, or the rest-voltage table has ended.")
    if max(abs(o.error_low), abs(o.error_high)) <= GOOD:
        case.find("good-rule", "note", f"Over this range it is good to {say(GOOD, '%', 1)}: keep it, and know where it ends.")
    if v.rule == "fuse-by-twelve":
        case.find("fuse-and-cable", "caution", "This is the current a fuse must carry, not the fuse. The fuse is never above what the cable may carry, and breaks the battery's fault current at its highest voltage.")
    if v.rule == "breaker-protects":
        case.find("licensed-design", "caution", "Protection on the inverter's output is for a licensed person, with an instrument.")


def _draw(case):
    return [_draw_both(case), _draw_error(case)]


def _draw_both(case):
    v = case.values
    rule = RULES[v.rule]
    lines = [_line(v, name, function, dash) for name, function, dash in (("the rule", rule.says, "dashed"), ("the calculation", rule.right, "solid"))]
    heights = [y for line in lines for _, y in line.points]
    least = min(0.0, *heights)
    top = max(heights) + 0.15 * ((max(heights) - least) or 1.0)
    x = _typical(v)
    right = rule.right(v, x)
    marks = (Mark(say(right, rule.shown), from_si(x, rule.unit), from_si(right, rule.shown)),) if right is not None else ()
    return Figure(
        f"{capitalised(rule.about)}: the rule against the calculation", f"What the rule gives and what the calculation gives, over {rule.over}.",
        _across(v), Axis(rule.about, rule.shown, least, top), tuple(lines), (), marks,
    )  # fmt: skip


def _line(v, name, function, dash="solid"):
    rule = RULES[v.rule]
    values = [(x, function(v, x)) for x in _places(*_ends(v), 13)]
    return Series(name, tuple((from_si(x, rule.unit), from_si(y, rule.shown)) for x, y in values if y is not None), dash=dash)


def _across(v):
    rule = RULES[v.rule]
    low, high = (from_si(end, rule.unit) for end in _ends(v))
    return Axis(rule.over, rule.unit, low, high)


def _draw_error(case):
    v = case.values
    rule = RULES[v.rule]
    errors = [(x, _error(rule, rule.says(v, x), rule.right(v, x))) for x in _places(*_ends(v), 13)]
    points = tuple((from_si(x, rule.unit), 100 * error) for x, error in errors if error is not None)
    low, high = min(0.0, *(y for _, y in points)), max(0.0, *(y for _, y in points))
    room = max(0.1 * (high - low), 1.0)
    unit = "points" if rule.points else "%"
    return Figure(
        "Error of the rule", f"How far the rule is off over {rule.over}: below the line it gives too little, above it too much.",
        _across(v), Axis("error", unit, low - room, high + room), (Series("error", points),), (Level("right", 0.0),),
    )  # fmt: skip


CALCULATOR = Calculator(
    id="rule-of-thumb",
    title="How wrong is the rule I was taught?",
    question="How far off is a rule of thumb over the range it is used over, and what replaces it?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
)
