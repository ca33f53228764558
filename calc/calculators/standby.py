"""standby: what does leaving it on cost?

An inverter that is on draws power with nothing plugged in, day and night. The answer is
that draw in amp-hours and in days of battery.
"""

from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Field, Unknown
from calc.errors import FieldProblem
from calc.physics import battery, charging, inverter
from calc.result import Axis, Figure, Mark, Series
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

DAY = 86400.0
SHARE_TO_QUESTION = 0.20  # of the battery a day: worth a second thought; common practice

_DRAW = Unknown("20 W", "6 W", "40 W", "common practice: 6 to 40 W over the usual sizes")

FIELDS = (
    Field("standby_power", "Standby power, on with nothing plugged in", "W", default="20 W", minimum="0.01 W", maximum="500 W",
          tolerance="10 %", basis="common practice: units differ by about 10 %", unknown=_DRAW,
          hint="Specification sheet: no-load or idle consumption. Better: measured."),
    Field("hours_on", "Hours a day it is on", "h", default="24 h", minimum="0 h", maximum="24 h", above_minimum=True,
          unknown=Unknown("24 h", "10 h", "24 h", "common practice: left on")),
    Field("battery_capacity", "Battery capacity", "Ah", default="100 Ah", minimum="1 Ah", maximum="5000 Ah",
          tolerance="10 %", basis="common practice: capacity falls with age", hint="Rated, at the voltage below.",
          unknown=Unknown("100 Ah", "80 Ah", "200 Ah", "common practice: one or two batteries")),
    Field("voltage_dc", "Battery voltage", "V", default="12.8 V", minimum="6 V", maximum="64 V",
          tolerance="3 %", basis="common practice: between charged and half empty",
          unknown=Unknown("12.8 V", "12 V", "13.6 V", "common practice: a 12 V battery, from low to on charge")),
    Field("standby_current", "Standby current, if measured", "A", minimum="0 A", maximum="50 A", above_minimum=True,
          tolerance="10 %", basis="common practice: a clamp meter's offset counts at small currents", hint="In place of the power.", more=True),
    Field("search_power", "Power while searching for a load", "W", minimum="0 W", maximum="100 W",
          hint="Leave blank where it has no search mode, or it is off.", more=True),
    Field("wake_fraction", "Share of the time something wakes it", "", default="0.25", minimum="0", maximum="1",
          unknown=Unknown("0.5", "0.1", "1", "common practice: a clock display keeps it awake all day"), more=True),
    Field("hours_needed", "Hours a day it is really needed", "h", default="3 h", minimum="0 h", maximum="24 h", more=True),
    Field("depth_limit", "Share of the battery you are willing to use", "%", default="50 %", minimum="1 %", maximum="100 %",
          hint="Often 50 % for lead-acid, 80 to 90 % for lithium.", more=True,
          unknown=Unknown("50 %", "30 %", "80 %", "common practice: from careful lead-acid to lithium")),
    Field("sun_hours", "Peak-sun hours a day", "h", default="4 h", minimum="0.1 h", maximum="12 h",
          unknown=Unknown("3 h", "1 h", "5 h", "common practice: from a dull winter to a clear spring"), more=True),
    Field("derate", "Panel yield after all losses", "", default="0.65", minimum="0.1", maximum="1",
          tolerance="12 %", basis="common practice: 0.6 to 0.75 of rated power times sun-hours", more=True,
          unknown=Unknown("0.65", "0.5", "0.75", "common practice")),
    Field("other_standby_power", "Another inverter's standby power", "W", minimum="0 W", maximum="500 W", above_minimum=True,
          tolerance="10 %", basis="common practice", hint="To compare, for example a small one that stays on.", more=True),
    Field("other_hours_on", "Another inverter's hours a day", "h", default="24 h", minimum="0 h", maximum="24 h", more=True),
)  # fmt: skip

ANSWERS = (
    Answer("charge_per_day", "Charge lost a day", "Ah", main=True, per_day=True),
    Answer("energy_per_day", "Energy lost a day", "Wh", main=True, per_day=True),
    Answer("battery_share_per_day", "Share of the battery a day", "%", main=True),
    Answer("days_to_depth_limit", "Days until your limit, nothing else running", "day", main=True),
    Answer("days_to_empty", "Days until empty, nothing else running", "day"),
    Answer("current", "Current drawn while it is on", "A"),
    Answer("power_average", "Power drawn while it is on", "W"),
    Answer("panel_power", "Solar panel that only feeds it", "W"),
    Answer("saving_off", "Saved a day by switching it off when idle", "Ah", per_day=True),
    Answer("saving_other", "Saved a day by the other inverter", "Ah", per_day=True),
)


def _check(v):
    awake = _awake_power(v)
    if v.search_power is not None and v.search_power > awake:
        raise FieldProblem("search_power", f"cannot be above the {say(awake, 'W')} it draws when awake")
    if v.hours_needed > v.hours_on:
        raise FieldProblem("hours_needed", f"cannot be more than the {restate(v.hours_on, 'h')} it is on")


def _awake_power(v):
    return v.standby_power if v.standby_power is not None else v.standby_current * v.voltage_dc


def _average_power(v):
    awake = _awake_power(v)
    # A range's end may fall below the search power; searching never costs more than being awake.
    search = awake if v.search_power is None else min(v.search_power, awake)
    return inverter.idle_power_average(awake, search, v.wake_fraction)


def _evaluate(v):
    power = _average_power(v)
    charge = battery.charge_over_time(power, v.voltage_dc, v.hours_on)
    share = charge / v.battery_capacity
    other = None
    if v.other_standby_power is not None:
        other = charge - battery.charge_over_time(v.other_standby_power, v.voltage_dc, v.other_hours_on)
    return {
        "power_average": power,
        "current": power / v.voltage_dc,
        "charge_per_day": charge,
        "energy_per_day": power * v.hours_on,
        "battery_share_per_day": share,
        "days_to_empty": DAY / share if share else None,
        "days_to_depth_limit": DAY * v.depth_limit / share if share else None,
        "panel_power": charging.panel_power_for_energy(power * v.hours_on, v.sun_hours, v.derate),
        "saving_off": battery.charge_over_time(power, v.voltage_dc, max(v.hours_on - v.hours_needed, 0.0)),
        "saving_other": other,
    }


def _explain(case):
    _work(case)
    v, o = case.values, case.outputs
    if not o.charge_per_day:
        case.answer = "Asleep all the time and drawing nothing, it costs nothing: measure whether that is so."
        return
    days = say(o.days_to_depth_limit, "day", 2).replace("day", "days")
    case.answer = (
        f"Left on, it takes {say(o.charge_per_day, 'Ah', 2)} a day: {say(o.battery_share_per_day, '%', 2)} of the battery, "
        f"and {restate(v.depth_limit, '%')} is gone in {days} with nothing plugged in."
    )
    if o.battery_share_per_day > SHARE_TO_QUESTION:
        case.find("share-large", "caution", f"More than a fifth of the battery a day goes to nothing: switch it off when idle, which saves {say(o.saving_off, 'Ah', 2)} a day. Or keep a small inverter for small things.")
    if o.saving_other is not None:
        less = "less" if o.saving_other >= 0 else "more"
        case.find("other-inverter", "note", f"The other inverter takes {say(abs(o.saving_other), 'Ah', 2)} a day {less}.")
    if v.search_power is not None:
        case.find("search-limits", "note", "Search mode has two holes: a clock of a few watts keeps the inverter awake, and a small charger below its threshold never wakes it.")
    case.find("off-may-not-be-off", "note", "Off at the switch may still draw a little, and the inverter stays live: for storage, open the battery isolator.")
    if v.standby_current is not None:
        case.find("clamp-offset", "note", "Clamp meters are off by up to an amp near zero: loop the cable through the clamp several times and divide, or read a shunt.")


def _work(case):
    v, o = case.values, case.outputs
    if v.standby_power is None:
        case.step("P_0", "standby power", "I_0*V", {"I_0": (v.standby_current, "A"), "V": (v.voltage_dc, "V")}, _awake_power(v), "W", "arithmetic")
    if v.search_power is not None:
        case.step("P", "mean power", "P_search + w*(P_0 - P_search)", {"P_search": (v.search_power, "W"), "w": (v.wake_fraction, ""), "P_0": (_awake_power(v), "W")}, o.power_average, "W", "arithmetic")
    name = "P" if v.search_power is not None else "P_0"
    power = {name: (o.power_average, "W")}
    hours = {"t_on": (v.hours_on, "h")}
    case.step("I", "current", f"{name}/V", {**power, "V": (v.voltage_dc, "V")}, o.current, "A", "arithmetic")
    case.step("Q", "charge a day", "I*t_on", {"I": (o.current, "A"), **hours}, o.charge_per_day, "Ah", "arithmetic")
    case.step("E", "energy a day", f"{name}*t_on", {**power, **hours}, o.energy_per_day, "Wh", "arithmetic")
    case.step("q", "share of the battery a day", "Q/C", {"Q": (o.charge_per_day, "Ah"), "C": (v.battery_capacity, "Ah")}, o.battery_share_per_day, "%", "arithmetic")
    if o.days_to_depth_limit is not None:
        case.step("t_limit", "time until your limit", "d/q*t_day", {"d": (v.depth_limit, "%"), "q": (o.battery_share_per_day, "%"), "t_day": (DAY, "day")}, o.days_to_depth_limit, "day", "arithmetic")
    case.step("P_panel", "panel that only feeds it", "E/(t_sun*k)", {"E": (o.energy_per_day, "Wh"), "t_sun": (v.sun_hours, "h"), "k": (v.derate, "")}, o.panel_power, "W", "sand87")


def _draw(case):
    v, o = case.values, case.outputs
    hours = range(0, 25, 2)

    def line(power):
        return tuple((hour, battery.charge_over_time(power, v.voltage_dc, hour * 3600.0) / 3600.0) for hour in hours)

    series = [Series("on all the time, awake", line(_awake_power(v)))]
    if v.search_power is not None:
        series.append(Series("with search mode", line(_average_power(v)), dash="dashed"))
    if v.other_standby_power is not None:
        series.append(Series("the other inverter", line(v.other_standby_power), dash="dotted"))
    top = max(y for one in series for _, y in one.points) or 1.0
    mark = Mark(say(o.charge_per_day, "Ah", 2), v.hours_on / 3600.0, o.charge_per_day / 3600.0)
    return [Figure(
        "Charge lost to standby against hours on",
        "Charge taken from the battery in a day, against the hours the inverter is left on with nothing plugged in.",
        Axis("hours on a day", "h", 0, 24), Axis("charge", "Ah", 0, 1.15 * top), tuple(series), (), (mark,),
    )]  # fmt: skip


CALCULATOR = Calculator(
    id="standby",
    title="What does leaving it on cost?",
    question="What does an inverter that is left on take from the battery, with nothing plugged in?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
    alternatives=((("standby_power",), ("standby_current",)),),
)
