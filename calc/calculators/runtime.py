"""runtime: how long will it run?

The battery is followed from full to where something ends it: the share one is willing to
use, the cut-out under load, or the limit of a protected battery.
"""

from dataclasses import replace

from calc.calculators import chemistry, losses
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Field, Unknown
from calc.errors import FieldProblem
from calc.physics import battery, circuit, discharge
from calc.result import Axis, Figure, Level, Mark, Series
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

CUT_OUT_12 = 10.5  # V for each 12 V, where the cut-out is left out; common practice
STANDBY_TO_QUESTION = 0.4  # of the power drawn; common practice

FIELDS = (
    Field(
        "power_ac", "Power of what is switched on", "W", default="60 W", minimum="0 W", maximum="60 kW",
        tolerance="5 %", basis="common practice: type plates are good to about 5 %",
        unknown=Unknown("75 W", "60 W", "110 W", "common practice: a quiet evening"),
        hint="AC side. A mean, if it comes and goes; 0 for the inverter alone.",
    ),
    chemistry.CAPACITY,
    replace(chemistry.CHEMISTRY, example="agm"),
    chemistry.DEPTH_LIMIT,
    losses.RATING,
    replace(losses.STANDBY_POWER, more=False),
    replace(chemistry.VOLTAGE_NOMINAL, more=True),
    Field(
        "power_dc", "Power on the DC side, if known", "W", minimum="0 W", maximum="60 kW", above_minimum=True,
        tolerance="5 %", basis="common practice for volts times a clamp meter's amps", hint="In place of the AC power and the inverter.", more=True,
    ),
    Field(
        "state_of_charge", "State of charge at the start", "%", default="100 %", minimum="1 %", maximum="100 %",
        unknown=Unknown("90 %", "75 %", "100 %", "common practice: charged most of the day"),
        hint="From a battery monitor, or from the rest voltage.", more=True,
    ),
    Field(
        "age", "What age has left of its capacity", "%", default="unknown", minimum="20 %", maximum="100 %",
        unknown=Unknown("90 %", "80 %", "100 %", "common practice: new to due for replacement"), more=True,
    ),
    chemistry.TEMPERATURE,
    chemistry.RATE_HOURS,
    chemistry.PEUKERT,
    chemistry.RESISTANCE,
    chemistry.RESISTANCE_RISE,
    Field(
        "path_resistance", "Cable, both ways, fuse and joints", "mΩ", default="unknown", minimum="0 mΩ", maximum="1000 mΩ",
        tolerance="20 %", basis="common practice",
        unknown=Unknown("4 mΩ", "1.5 mΩ", "8 mΩ", "common practice: a short thick run to a long thin one"), more=True,
    ),
    Field("cut_out", "Inverter's low-voltage cut-out", "V", minimum="5 V", maximum="60 V",
          hint="Left blank: 10.5 V for each 12 V of battery.", more=True),
    Field("battery_current_limit", "Current limit of a protected battery", "A", minimum="0 A", maximum="2000 A", above_minimum=True,
          hint="Continuous discharge limit on a lithium battery's label, all strings together.", more=True),
    losses.POWER_FACTOR,
    *losses.FIELDS[2:],
)  # fmt: skip

ENDS = {
    "energy": "the share you are willing to use is used",
    "voltage": "the cut-out acts under load",
    "current": "the battery's current limit is reached",
    "never-starts": "it does not start",
}

ANSWERS = (
    Answer("runtime", "It runs for", "h", main=True, least=lambda v: 0.0),
    Answer("ends_by", "What ends it", choices=ENDS, main=True),
    Answer("energy_usable", "Energy the inverter gets", "Wh", main=True, least=lambda v: 0.0),
    Answer("current_dc", "DC current, mean over the time", "A", main=True),
    Answer("state_of_charge_end", "State of charge at the end", "%", least=lambda v: 0.0, most=lambda v: 1.0),
    Answer("voltage_end", "Voltage at the inverter at the end", "V"),
    Answer("voltage_end_battery", "Voltage at the battery at the end", "V"),
    Answer("current_end", "DC current at the end", "A"),
    Answer("energy_ac", "Energy the appliances get", "Wh", least=lambda v: 0.0),
    Answer("charge", "Charge drawn", "Ah", least=lambda v: 0.0),
    Answer("capacity_left", "Capacity that age and cold leave, at the rated hours", "Ah"),
    Answer("power_dc", "Power from the DC side", "W"),
    Answer("runtime_label", "By the label: amp-hours times volts over watts", "h"),
)


def _check(v):
    chemistry.check_nominal("voltage_nominal", v.voltage_nominal)
    full = chemistry.rest_curve(v.chemistry)[0][-1] * chemistry.blocks(v.voltage_nominal)
    if v.cut_out is not None and v.cut_out >= full:
        raise FieldProblem("cut_out", f"must lie below the {say(full, 'V')} of this battery full and at rest: the inverter would never start")
    if v.power_dc is not None:
        return
    losses.check(v)
    if v.power_ac / v.power_factor > v.rating * (1 + 1e-9):
        raise FieldProblem("power_ac", f"{say(v.power_ac / v.power_factor, 'VA')} is above the inverter's {restate(v.rating, 'VA')} continuous: enter less, or a larger rating")
    if v.power_ac == 0 and v.standby_power == 0:
        raise FieldProblem("power_ac", "nothing draws any power: enter the power, or the inverter's standby")


def _power(v):
    return v.power_dc if v.power_dc is not None else losses.power_dc(v, v.power_ac, v.power_factor)


def _cut_out(v):
    return v.cut_out if v.cut_out is not None else CUT_OUT_12 * chemistry.blocks(v.voltage_nominal)


def _curve(v):
    """Rest voltages of the whole bank and the states of charge beside them."""
    voltages, states = chemistry.rest_curve(v.chemistry)
    count = chemistry.blocks(v.voltage_nominal)
    return [count * voltage for voltage in voltages], states


def _resistances(v):
    own = chemistry.resistance(v, v.voltage_nominal, v.capacity)
    return own, own + v.path_resistance


def _capacity(v):
    return battery.capacity_left(v.capacity, v.age, chemistry.temperature_factor(v.chemistry, v.temperature))


def _exponent(v):
    return 1.0 if v.chemistry == chemistry.LITHIUM else v.peukert


def _state_at_end(v, power, resistance, curve):
    """State of charge at which it ends, and what ends it."""
    # Below half of the rest voltage there is no operating point, whatever the cut-out.
    lowest = max(_cut_out(v), (resistance * power) ** 0.5)
    ends = [(1.0 - v.depth_limit, "energy"), (discharge.state_of_charge_at_limit(power, lowest, resistance, *curve), "voltage")]
    if v.battery_current_limit is not None:
        # At constant power a current limit is a voltage: below P/I the current is above I.
        at_limit = max(power / v.battery_current_limit, (resistance * power) ** 0.5)
        ends.append((discharge.state_of_charge_at_limit(power, at_limit, resistance, *curve), "current"))
    return max(ends, key=lambda end: end[0])  # energy first, where two meet


def _evaluate(v):
    power = _power(v)
    own, resistance = _resistances(v)
    curve = _curve(v)
    capacity = _capacity(v)
    end, ends_by = _state_at_end(v, power, resistance, curve)
    out = {
        "capacity_left": capacity,
        "power_dc": power,
        "runtime_label": v.capacity * v.voltage_nominal / (power if v.power_dc is not None or not v.power_ac else v.power_ac),
    }
    if end >= v.state_of_charge:
        return out | dict.fromkeys(answer.name for answer in ANSWERS if answer.name not in out) | {
            "ends_by": "never-starts", "runtime": 0.0, "energy_usable": 0.0, "energy_ac": 0.0, "charge": 0.0,
            "state_of_charge_end": v.state_of_charge,
        }  # fmt: skip
    time, charge = discharge.discharge_constant_power(power, capacity, v.rate_hours, _exponent(v), resistance, *curve, v.state_of_charge, end)
    rest = battery.voltage_at_rest(end, *curve)
    current = circuit.current_constant_power(power, rest, resistance, 0.0)
    return out | {
        "runtime": time,
        "ends_by": ends_by,
        "energy_usable": power * time,
        "current_dc": charge / time,
        "state_of_charge_end": end,
        "voltage_end": circuit.voltage_mean(rest, resistance, current),
        "voltage_end_battery": circuit.voltage_mean(rest, own, current),
        "current_end": current,
        "energy_ac": None if v.power_dc is not None else v.power_ac * time,
        "charge": charge,
    }


def _explain(case):
    _work(case)
    _judge(case)
    _advise(case)


def _work(case):
    v, o = case.values, case.outputs
    if v.power_dc is None:
        losses.explain(case)
        losses.explain_power_dc(case, v.power_ac, v.power_factor, o.power_dc)
    factor = chemistry.temperature_factor(v.chemistry, v.temperature)
    chemistry.explain_temperature_factor(case, factor)
    case.step("C_e", "capacity that age and cold leave", "C*a_left/F_T", {"C": (v.capacity, "Ah"), "a_left": (v.age, "%"), "F_T": (factor, "")}, o.capacity_left, "Ah", "ieee485", "turned round")
    own, resistance = _resistances(v)
    chemistry.explain_resistance(case, v.voltage_nominal, v.capacity, own)
    case.step("R", "battery and path", "R_b + R_path", {"R_b": (own, "mΩ"), "R_path": (v.path_resistance, "mΩ")}, resistance, "mΩ", "ohm")
    if o.current_dc is None:
        return
    _work_start(case, resistance)
    used = v.state_of_charge - o.state_of_charge_end
    weight = used * o.capacity_left / o.charge
    case.step("Q", f"charge drawn, with the mean rate factor over {discharge.STEPS} steps", "(s_0 - s_end)*C_e/w",
              {"s_0": (v.state_of_charge, "%"), "s_end": (o.state_of_charge_end, "%"), "C_e": (o.capacity_left, "Ah"), "w": (weight, "")},
              o.charge, "Ah", "peukert" if _exponent(v) > 1 else "arithmetic")  # fmt: skip
    case.step("t", f"time, with the mean current over {discharge.STEPS} steps", "Q/I_mean", {"Q": (o.charge, "Ah"), "I_mean": (o.current_dc, "A")}, o.runtime, "h", "arithmetic")
    case.step("E", "energy the inverter gets", "P_dc*t", {"P_dc": (o.power_dc, "W"), "t": (o.runtime, "h")}, o.energy_usable, "Wh", "arithmetic")


def _work_start(case, resistance):
    """The first moment, and the moment the voltage ends it."""
    v, o = case.values, case.outputs
    rest = battery.voltage_at_rest(v.state_of_charge, *_curve(v))
    current = circuit.current_constant_power(o.power_dc, rest, resistance, 0.0)
    case.step("I_0", "current at the start", "2*P_dc/(V_oc + sqrt(V_oc**2 - 4*R*P_dc))",
              {"P_dc": (o.power_dc, "W"), "V_oc": (rest, "V"), "R": (resistance, "mΩ")}, current, "A", "ohm")  # fmt: skip
    factor = battery.rate_factor(current, o.capacity_left, v.rate_hours, _exponent(v))
    if factor > 1:
        case.step("w_0", "rate factor at the start", "(I_0*H/C_e)**(k - 1)",
                  {"I_0": (current, "A"), "H": (v.rate_hours, "h"), "C_e": (o.capacity_left, "Ah"), "k": (v.peukert, "")}, factor, "", "peukert")  # fmt: skip
    if o.ends_by == "voltage" and o.voltage_end - _cut_out(v) < 1e-6:
        ending = battery.voltage_at_rest(o.state_of_charge_end, *_curve(v))
        case.step("V_end", "rest voltage at which the cut-out acts", "V_co + R*P_dc/V_co",
                  {"V_co": (_cut_out(v), "V"), "R": (resistance, "mΩ"), "P_dc": (o.power_dc, "W")}, ending, "V", "ohm")  # fmt: skip


def _time(value):
    """A time as one says it."""
    return say(value, "min", 2) if value < 3600 else say(value, "h", 2) if value < 72 * 3600 else say(value, "day", 2).replace("day", "days")


def _judge(case):
    v, o = case.values, case.outputs
    load = f"{restate(v.power_ac, 'W')}" if v.power_dc is None else f"{restate(v.power_dc, 'W')} on the DC side"
    if o.ends_by == "never-starts":
        _stop_at_once(case, load)
        return
    low, high = case.low("runtime"), case.high("runtime")
    span = f" ({_time(low)} to {_time(high)})" if low and high and high > 1.05 * low else ""
    runs = "With nothing plugged in it runs" if load == restate(0.0, "W") else f"It runs {load}"
    case.answer = f"{runs} for {_time(o.runtime)}{span}, {_ending(case)}."
    if v.temperature < chemistry.facts(v.chemistry).discharge_temperature_min:
        case.answer = f"Do not discharge it at this temperature. {case.answer}"


def _ending(case):
    v, o = case.values, case.outputs
    left = say(o.state_of_charge_end, "%", 2)
    if o.ends_by == "energy":
        return f"until {restate(v.depth_limit, '%')} of the battery is used" if v.depth_limit < 1 else "until the battery is empty"
    if o.ends_by == "voltage":
        return f"then the inverter sees {say(o.voltage_end, 'V')} and cuts out with {left} still in the battery"
    return f"then the current passes the battery's {restate(v.battery_current_limit, 'A')} limit with {left} left"


def _stop_at_once(case, load):
    v, o = case.values, case.outputs
    _, resistance = _resistances(v)
    end, ends_by = _state_at_end(v, o.power_dc, resistance, _curve(v))
    if ends_by == "energy":
        case.answer = f"Not at all: at {restate(v.state_of_charge, '%')} the battery is already below the {restate(v.depth_limit, '%')} you are willing to use."
        case.find("already-down", "caution", "There is nothing left to use: charge it first.")
    elif ends_by == "current":
        case.answer = f"Not at all: {load} draws more than the battery's {restate(v.battery_current_limit, 'A')} limit from the start."
        case.find("battery-limit", "stop", "The current is above the battery's own limit: its protection opens and everything on it goes dark.")
    else:
        case.answer = f"Not at all: {load} takes the inverter below {restate(_cut_out(v), 'V')} at once."
        case.find("below-cut-out", "stop", f"{load} takes the inverter below its cut-out, or past what battery and cable can deliver, at {restate(v.state_of_charge, '%')} charge.")


def _advise(case):
    v, o = case.values, case.outputs
    kind = chemistry.facts(v.chemistry)
    _advise_lithium(case, kind)
    if v.temperature < kind.discharge_temperature_min:
        case.find("too-cold", "stop", f"Below {restate(kind.discharge_temperature_min, '°C')} {chemistry.WORDS[v.chemistry]} is not to be discharged.")
    if o.current_end is not None and o.current_end > kind.discharge_rate_max * v.capacity:
        case.find("rate-high", "caution", f"{say(o.current_end, 'A')} is more than the {say(kind.discharge_rate_max * v.capacity, 'A')} that {chemistry.WORDS[v.chemistry]} of this size usually stands (from memory): ask its maker.")
    if o.ends_by == "voltage":
        case.find("voltage-first", "caution", "The voltage ends it, not the energy: a thicker cable, better joints or a second battery side by side lets more of the charge out.")
    if case.low("runtime") == 0 and o.ends_by != "never-starts":
        case.find("may-not-start", "caution", "With one of the uncertain inputs at its bad end it does not start at all.")
    if v.depth_limit > kind.depth_limit:
        case.find("deep", "caution", f"{restate(v.depth_limit, '%')} is deeper than the usual {restate(kind.depth_limit, '%')} for {chemistry.WORDS[v.chemistry]}. It costs cycles, and at that depth a cold or tired battery ends early.")
    if v.power_dc is None and v.standby_power > STANDBY_TO_QUESTION * o.power_dc:
        case.find("standby-share", "caution", f"The inverter itself takes {say(v.standby_power, 'W', 2)} of the {say(o.power_dc, 'W', 2)} drawn. A smaller inverter, or the appliance's own DC supply, runs longer.")
    if o.runtime > 0 and o.runtime_label > 1.1 * o.runtime:
        case.find("label-promises", "note", f"Amp-hours times volts divided by watts promises {_time(o.runtime_label)}, {say(o.runtime_label / o.runtime, '', 2)} times as long.")
    if _exponent(v) > 1 and o.charge and o.capacity_left * (v.state_of_charge - o.state_of_charge_end) > 1.02 * o.charge:
        case.find("rests", "note", "Fast discharge leaves charge in a lead-acid battery. A load that comes and goes gets part of it back in the rests, so it runs longer than this.")
    if v.cut_out is None:
        case.find("cut-out-assumed", "note", f"The cut-out was taken as {say(_cut_out(v), 'V')}: 10.5 V for each 12 V of battery.")
    case.find("cut-out-no-guard", "note", "The cut-out guards the inverter, not the battery: stop by time or by a battery monitor at a small load.")


def _advise_lithium(case, kind):
    v = case.values
    if v.chemistry != chemistry.LITHIUM:
        return
    least = kind.voltage_discharge_min * chemistry.cells(v.chemistry, v.voltage_nominal)
    if _cut_out(v) < least and v.depth_limit > kind.depth_limit:
        case.find("lithium-too-deep", "stop", f"This cut-out lets the cells fall below {restate(kind.voltage_discharge_min, 'V')}: set it above {say(least, 'V')}. A cell that has been lower must not be charged again before it is checked.")
    if kind.discharge_temperature_min <= v.temperature < kind.charge_temperature_min:
        case.find("charge-too-cold", "caution", "It may be discharged at this temperature, but must not be charged below 0 °C: warm it first.")
    if v.temperature < chemistry.CHARGE_REDUCED_BELOW:
        case.find("cold-not-held", "note", "No table of what cold takes from lithium iron phosphate is held: none is taken off here, and some is lost.")


def _draw(case):
    v, o = case.values, case.outputs
    _, resistance = _resistances(v)
    curve = _curve(v)
    if o.current_dc is None:
        return []
    parts, points, hours = 8, [], 0.0
    step = (v.state_of_charge - o.state_of_charge_end) / parts
    for place in range(parts + 1):
        state = max(v.state_of_charge - place * step, o.state_of_charge_end)
        if place:
            time, _ = discharge.discharge_constant_power(o.power_dc, o.capacity_left, v.rate_hours, _exponent(v), resistance, *curve, state + step, state)
            hours += time / 3600
        rest = battery.voltage_at_rest(state, *curve)
        current = circuit.current_constant_power(o.power_dc, rest, resistance, 0.0)
        points.append((hours, rest, circuit.voltage_mean(rest, resistance, current)))
    cut_out = _cut_out(v)
    top, low = points[0][1], min(cut_out, points[-1][2])
    return [Figure(
        "Voltage while it runs",
        "Voltage at the inverter under this load, and the rest voltage behind it, from the start to the end.",
        Axis("time", "h", 0, points[-1][0]), Axis("voltage", "V", low - 0.15 * (top - low), top + 0.1 * (top - low)),
        (Series("at the inverter, under load", tuple((time, under) for time, _, under in points)),
         Series("the battery without load", tuple((time, rest) for time, rest, _ in points), dash="dashed")),
        (Level(f"cut-out {say(cut_out, 'V')}", cut_out),), (Mark(say(o.voltage_end, "V"), points[-1][0], points[-1][2]),),
    )]  # fmt: skip


CALCULATOR = Calculator(
    id="runtime",
    title="How long will it run?",
    question="How long does this battery run this load through the inverter, and what ends it?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
    alternatives=((("power_ac",), ("power_dc",)),),
)
