"""ac-or-dc: through the inverter, or straight from the battery?

Through the inverter a small thing pays twice for its watts, and may pay for the inverter's
standby as well. Who carries the standby decides most, so it is a field.
"""

from calc.calculators import appliances, losses
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Choice, Field, Unknown
from calc.errors import FieldProblem
from calc.physics import use
from calc.result import Axis, Figure, Mark, Series
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

RATIO_TO_SWITCH = 1.5  # from here the adaptor is worth its trouble; common practice

FIELDS = (
    Field("power", "Power of the appliance itself", "W", default="45 W", minimum="0.1 W", maximum="2000 W",
          tolerance="10 %", basis="common practice: type plates and habits",
          hint="Behind its adaptor: volts times amps on the small plug.",
          unknown=Unknown("45 W", "20 W", "90 W", "common practice: laptops and screens")),
    Field("hours_per_day", "Hours a day it runs", "h", default="4 h", minimum="0.01 h", maximum="24 h",
          tolerance="10 %", basis="common practice: habits differ from day to day"),
    Choice("standby_carried", "Who keeps the inverter on",
           {"alone": "this appliance alone", "shared": "others do anyway", "unknown": "not known"},
           default="alone", unknown="unknown", hint="Alone, it carries the whole standby. Beside others, only what it adds."),
    Field("hours_inverter_on", "Hours a day the inverter is on for it", "h", minimum="0 h", maximum="24 h",
          hint="Left blank: only while it runs. 24 h where it is left on."),
    losses.RATING,
    losses.STANDBY_POWER,
    *losses.FIELDS[2:],
    Field("adaptor_efficiency_ac", "Efficiency of its mains adaptor", "%", default="unknown", minimum="20 %", maximum="100 %",
          unknown=Unknown("87 %", "78 %", "92 %", "common practice: the smallest are the worst"), hint="100 % where it has none.", more=True),
    Field("adaptor_efficiency_dc", "Efficiency of its DC adaptor", "%", default="unknown", minimum="20 %", maximum="100 %",
          unknown=Unknown("91 %", "85 %", "95 %", "common practice for a vehicle adaptor"), hint="100 % where it takes the battery's voltage as it is.", more=True),
    Field("power_other", "AC power of what else runs then", "W", default="100 W", minimum="0 W", maximum="20 kW",
          hint="Used where others keep the inverter on.", more=True,
          unknown=Unknown("100 W", "5 W", "500 W", "common practice: from a lamp to a fridge and a screen")),
    Field("power_factor", "Power factor of its mains adaptor", "", default="0.6", minimum="0.1", maximum="1", more=True,
          unknown=Unknown("0.6", "0.5", "0.95", "common practice for a small adaptor")),
    Field("voltage_dc", "Battery voltage", "V", default="12.8 V", minimum="6 V", maximum="64 V",
          tolerance="3 %", basis="common practice: between charged and half empty", more=True,
          unknown=Unknown("12.8 V", "12 V", "13.6 V", "common practice: a 12 V battery, from low to on charge")),
    appliances.MEDICAL,
)  # fmt: skip

ANSWERS = (
    Answer("energy_via_ac", "Through the inverter, a day", "Wh", main=True, per_day=True),
    Answer("energy_via_dc", "Straight from the battery, a day", "Wh", main=True, per_day=True),
    Answer("ratio", "The first over the second", main=True),
    Answer("saving", "Saved a day by the DC adaptor", "Wh", main=True, signed=True, per_day=True),
    Answer("saving_charge", "The same as charge", "Ah", signed=True, per_day=True),
    Answer("power_ac", "Power at the socket", "W"),
    Answer("power_dc_via_ac", "Power from the battery while it runs, through the inverter", "W"),
    Answer("power_dc_direct", "Power from the battery while it runs, straight", "W"),
    Answer("standby_part", "Standby in the first figure, a day", "Wh", per_day=True),
)


def _check(v):
    losses.check(v)
    if v.hours_inverter_on is not None and v.hours_inverter_on < v.hours_per_day * (1 - 1e-9):
        raise FieldProblem("hours_inverter_on", f"cannot be less than the {restate(v.hours_per_day, 'h')} the appliance runs")
    apparent = v.power / v.adaptor_efficiency_ac / v.power_factor + (v.power_other if v.standby_carried == "shared" else 0.0)
    if apparent > v.rating * (1 + 1e-9):
        raise FieldProblem("rating", f"the load of {say(apparent, 'VA')} is above this: enter a larger rating, or a smaller load")


def _time_on(v):
    return max(v.hours_inverter_on or 0.0, v.hours_per_day)  # the ends of two ranges may cross


def _beside(v, power_ac):
    """DC power with the appliance beside the others, and for the others alone, at unity power factor."""
    together = v.power_other + power_ac
    apparent = v.power_other + power_ac / v.power_factor  # an upper bound: the volt-amps added up
    return losses.power_dc(v, together, together / apparent), losses.power_dc(v, v.power_other, 1.0)


def _evaluate(v):
    power_ac = v.power / v.adaptor_efficiency_ac
    time = v.hours_per_day
    alone = losses.power_dc(v, power_ac, v.power_factor)
    standby = 0.0
    if v.standby_carried == "shared":
        together, without = _beside(v, power_ac)
        drawn = together - without
        via_ac = use.energy_beside_others(together, without, time)
    else:
        drawn = alone
        via_ac = use.energy_via_inverter(alone, time, v.standby_power, _time_on(v))
        standby = v.standby_power * _time_on(v)
    via_dc = use.energy_direct(v.power, v.adaptor_efficiency_dc, time)
    return {
        "energy_via_ac": via_ac,
        "energy_via_dc": via_dc,
        "ratio": via_ac / via_dc,
        "saving": via_ac - via_dc,
        "saving_charge": (via_ac - via_dc) / v.voltage_dc,
        "power_ac": power_ac,
        "power_dc_via_ac": drawn,
        "power_dc_direct": v.power / v.adaptor_efficiency_dc,
        "standby_part": standby,
    }


def _explain(case):
    _work(case)
    v, o = case.values, case.outputs
    way = "saves" if o.saving >= 0 else "costs"
    case.answer = (
        f"Through the inverter it takes {say(o.energy_via_ac, 'Wh')} a day, straight from the battery {say(o.energy_via_dc, 'Wh')}: "
        f"{say(o.ratio, '', 2)} times as much. The DC adaptor {way} {say(abs(o.saving), 'Wh', 2)}, or {say(abs(o.saving_charge), 'Ah', 2)}, a day."
    )
    appliances.find_medical(case)
    if o.ratio >= RATIO_TO_SWITCH and o.standby_part > 0.5 * o.saving:
        case.find("standby-decides", "caution", f"{say(o.standby_part, 'Wh', 2)} of that is standby, not the appliance. With the adaptor the inverter can be off.")
    if v.standby_carried == "unknown":
        case.find("standby-asked", "caution", "Ask who keeps the inverter on: that moves the answer more than any efficiency. Here the appliance carries it alone; the range holds the other case.")
    if v.standby_carried == "shared":
        case.find("standby-shared", "note", "The standby is left to the others. Once the last of them has its own DC supply, the inverter can go off: then ask again with \"alone\".")
    case.find("adaptor-match", "note", "A DC adaptor has to match the appliance's volts, amps, plug and polarity. It also has to stand the battery's highest charging voltage: 15 V and more on a 12 V system. Give its lead a fuse of its own.")


def _work(case):
    v, o = case.values, case.outputs
    losses.explain(case)
    own = {"P_own": (v.power, "W")}
    case.step("P", "power at the socket", "P_own/eta_ac", {**own, "eta_ac": (v.adaptor_efficiency_ac, "%")}, o.power_ac, "W", "arithmetic")
    time = {"t": (v.hours_per_day, "h")}
    if v.standby_carried == "shared":
        _work_shared(case, time)
    else:
        losses.explain_power_dc(case, o.power_ac, v.power_factor, o.power_dc_via_ac)
        case.step("E_ac", "energy through the inverter", "P_dc*t + P_0*(t_on - t)",
                  {"P_dc": (o.power_dc_via_ac, "W"), **time, "P_0": (v.standby_power, "W"), "t_on": (_time_on(v), "h")}, o.energy_via_ac, "Wh", "arithmetic")  # fmt: skip
    case.step("E_dc", "energy straight from the battery", "P_own/eta_dc*t", {**own, "eta_dc": (v.adaptor_efficiency_dc, "%"), **time}, o.energy_via_dc, "Wh", "arithmetic")
    both = {"E_ac": (o.energy_via_ac, "Wh"), "E_dc": (o.energy_via_dc, "Wh")}
    case.step("x", "ratio", "E_ac/E_dc", both, o.ratio, "", "arithmetic")
    case.step("E_saved", "saved a day", "E_ac - E_dc", both, o.saving, "Wh", "arithmetic")
    case.step("Q_saved", "the same as charge", "E_saved/V", {"E_saved": (o.saving, "Wh"), "V": (v.voltage_dc, "V")}, o.saving_charge, "Ah", "arithmetic")


def _work_shared(case, time):
    v, o = case.values, case.outputs
    a, b = losses.terms(v)
    together, without = _beside(v, o.power_ac)
    model = {"P_0": (v.standby_power, "W"), "a": (a, ""), "b": (b, ""), "S_r": (v.rating, "VA"), "P_others": (v.power_other, "W")}
    case.step("P_with", "from the battery with it", "P_0 + a*(P_others + P) + b*(P_others + P/PF)**2/S_r",
              {**model, "P": (o.power_ac, "W"), "PF": (v.power_factor, "")}, together, "W", "loss-model")  # fmt: skip
    case.step("P_without", "from the battery without it", "P_0 + a*P_others + b*P_others**2/S_r", model, without, "W", "loss-model")
    case.step("E_ac", "energy it adds", "(P_with - P_without)*t", {"P_with": (together, "W"), "P_without": (without, "W"), **time}, o.energy_via_ac, "Wh", "arithmetic")


def _draw(case):
    v, o = case.values, case.outputs
    hours = range(0, 25, 2)
    left_on = (v.hours_inverter_on or 0.0) if o.standby_part else 0.0

    def via_inverter(hour):
        return (o.power_dc_via_ac * hour * 3600 + v.standby_power * max(left_on - hour * 3600, 0.0)) / 3600

    inverter = tuple((hour, via_inverter(hour)) for hour in hours)
    straight = tuple((hour, o.power_dc_direct * hour) for hour in hours)
    top = max(inverter[-1][1], straight[-1][1])
    return [Figure(
        "Energy from the battery against hours of use",
        "Energy a day through the inverter and straight from the battery, against the hours the appliance runs.",
        Axis("hours of use a day", "h", 0, 24), Axis("energy", "Wh", 0, 1.1 * top),
        (Series("through the inverter", inverter), Series("straight from the battery", straight, dash="dashed")), (),
        (Mark(say(o.energy_via_ac, "Wh", 2), v.hours_per_day / 3600, o.energy_via_ac / 3600),),
    )]  # fmt: skip


CALCULATOR = Calculator(
    id="ac-or-dc",
    title="Through the inverter, or straight from the battery?",
    question="What does an appliance take from the battery through the inverter, and what through its own DC adaptor?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
)
