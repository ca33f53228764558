"""conversion-loss: what does it take to make my watts?

Efficiency is a curve, not a number: standby rules a small load and conduction a large one.
"""

from dataclasses import replace

from calc.calculators import losses
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Field, Unknown
from calc.errors import FieldProblem
from calc.physics import inverter
from calc.result import Axis, Figure, Level, Mark, Series
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

FLAT_RULE = 0.90  # the flat efficiency that the curve is set against; common practice
LOAD_SMALL = 0.05  # of the rating: below it standby is most of the loss

FIELDS = (
    Field("power_ac", "Power of what is switched on", "W", default="60 W", minimum="0 W", maximum="20 kW",
          tolerance="5 %", basis="common practice: type plates are good to about 5 %",
          unknown=Unknown("60 W", "20 W", "200 W", "common practice: small things in the evening"), hint="AC side, real watts."),
    losses.RATING,
    *(replace(one, more=False) for one in losses.FIELDS[1:4]),
    Field("voltage_dc", "Battery voltage under this load", "V", default="12.5 V", minimum="6 V", maximum="64 V",
          tolerance="3 %", basis="common practice: between charged and half empty",
          unknown=Unknown("12.5 V", "11.5 V", "13.5 V", "common practice: a 12 V battery, from loaded to on charge")),
    losses.POWER_FACTOR,
    losses.POINTS,
)  # fmt: skip

ANSWERS = (
    Answer("power_dc", "Power from the battery", "W", main=True),
    Answer("efficiency", "Efficiency at this load", "%", main=True),
    Answer("loss", "Lost as heat", "W", main=True),
    Answer("current_dc", "DC current", "A", main=True),
    Answer("best_load", "Load with the best efficiency", "W"),
    Answer("efficiency_best", "Efficiency there", "%"),
    Answer("efficiency_euro", "European weighted efficiency", "%"),
    Answer("efficiency_cec", "CEC weighted efficiency", "%"),
)


def _check(v):
    losses.check(v)
    if v.power_ac / v.power_factor > v.rating * (1 + 1e-9):
        raise FieldProblem("power_ac", f"{say(v.power_ac / v.power_factor, 'VA')} is above the inverter's {restate(v.rating, 'VA')} continuous: enter less, or a larger rating")


def _evaluate(v):
    a, b = losses.terms(v)
    power = losses.power_dc(v, v.power_ac, v.power_factor)
    best = inverter.best_load(v.standby_power, v.rating, b)
    at_best = inverter.power_dc(best, 1.0, v.rating, v.standby_power, a, b)
    return {
        "power_dc": power,
        "efficiency": inverter.efficiency(v.power_ac, power) if power else None,
        "loss": power - v.power_ac,
        "current_dc": power / v.voltage_dc,
        "best_load": best,
        "efficiency_best": inverter.efficiency(best, at_best) if at_best else None,
        "efficiency_euro": inverter.efficiency_weighted(inverter.EURO_WEIGHTS, v.rating, v.standby_power, a, b),
        "efficiency_cec": inverter.efficiency_weighted(inverter.CEC_WEIGHTS, v.rating, v.standby_power, a, b),
    }


def _explain(case):
    v, o = case.values, case.outputs
    case.cite("en50530", "cec")  # the weights of the two weighted efficiencies
    losses.explain(case)
    losses.explain_power_dc(case, v.power_ac, v.power_factor, o.power_dc)
    drawn = {"P_dc": (o.power_dc, "W")}
    load = {"P": (v.power_ac, "W")}
    if o.efficiency is not None:
        case.step("eta", "efficiency", "P/P_dc", {**load, **drawn}, o.efficiency, "%", "arithmetic")
    case.step("P_loss", "lost as heat", "P_dc - P", {**drawn, **load}, o.loss, "W", "arithmetic")
    case.step("I", "DC current", "P_dc/V", {**drawn, "V": (v.voltage_dc, "V")}, o.current_dc, "A", "arithmetic")
    _, b = losses.terms(v)
    if o.best_load < v.rating and b:
        case.step("P_best", "load with the best efficiency", "sqrt(P_0*P_r/b)", {"P_0": (v.standby_power, "W"), "P_r": (v.rating, "W"), "b": (b, "")}, o.best_load, "W", "loss-model")
    _judge(case)


def _judge(case):
    v, o = case.values, case.outputs
    if v.power_ac == 0:
        case.answer = f"With nothing plugged in the battery still gives {say(o.power_dc, 'W', 2)}: all of it is lost."
    else:
        case.answer = (
            f"{restate(v.power_ac, 'W')} of AC takes {say(o.power_dc, 'W')} from the battery, {say(o.current_dc, 'A', 2)}: "
            f"{say(o.efficiency, '%', 2)} efficient, {say(o.loss, 'W', 2)} lost as heat."
        )
    if 0 < v.power_ac < LOAD_SMALL * v.rating and o.efficiency < FLAT_RULE:
        share = v.standby_power / o.loss
        case.find("load-small", "caution", f"The load is small for this inverter: standby is {say(share, '%', 2)} of the loss. A smaller inverter, or the appliance's own DC supply, takes less.")
    if v.power_factor < 1:
        case.find("power-factor", "note", f"At this power factor the inverter carries {say(v.power_ac / v.power_factor, 'VA')}: the extra current is lost as heat, though it does no work.")
    case.find("weights-are-solar", "note", "The European and CEC figures describe inverters on solar panels. In a vehicle that idles most of the day, standby decides.")


def _draw(case):
    v, o = case.values, case.outputs
    a, b = losses.terms(v)
    shares = [0.002, 0.005, 0.01, 0.015, 0.02, 0.03, 0.04, 0.05, 0.075, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0]
    curve = tuple(
        (share * v.rating, 100 * inverter.efficiency(share * v.rating, inverter.power_dc(share * v.rating, 1.0, v.rating, v.standby_power, a, b)))
        for share in shares
    )
    marks = (Mark(say(o.efficiency, "%", 2), v.power_ac, 100 * o.efficiency),) if o.efficiency is not None else ()
    return [Figure(
        "Efficiency against load",
        "Efficiency of the inverter over its range at unity power factor, with the load asked about and the flat rule of thumb.",
        Axis("AC load", "W", 0, v.rating), Axis("efficiency", "%", 0, 100),
        (Series("this inverter", curve),), (Level("the flat 90 % rule", 100 * FLAT_RULE),), marks,
    )]  # fmt: skip


CALCULATOR = Calculator(
    id="conversion-loss",
    title="What does it take to make my watts?",
    question="What does the battery give up for the watts an appliance uses, and how efficient is that?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
)
