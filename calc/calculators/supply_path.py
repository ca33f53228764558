"""supply-path: will it hold up, or drop out?

The inverter draws constant power through the battery, the cable and the joints; as the
voltage falls the current rises. The answer is the voltage it settles at, and how far that
lies above the cut-out.
"""

from dataclasses import replace

from calc import tables
from calc.calculators import cable, losses, regions
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Choice, Field, Unknown
from calc.errors import FieldProblem
from calc.physics import battery, circuit, conductor, inverter
from calc.result import Axis, Figure, Level, Mark, Series
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

REST_TABLES = {"lead-acid": "rest_voltage_lead_acid_bci", "lithium-iron-phosphate": "rest_voltage_lfp_pybamm"}
CURRENT_TO_QUESTION = 200.0  # A continuous at 12 V: a higher voltage is the better answer; common practice
START_MOST = 3.0  # of the continuous rating: no inverter is taken to start more; common practice
JOINT_DROP_GOOD = 0.050  # V across all joints together before they deserve a look; common practice
JOINT_HEAT_GOOD = 10.0  # W, likewise

FIELDS = (
    Field(
        "voltage_open_circuit", "Battery voltage at rest", "V", default="12.6 V", minimum="6 V", maximum="64 V",
        tolerance="0.05 V", basis="common practice: a meter and a battery not quite rested",
        unknown=Unknown("12.4 V", "12.0 V", "12.8 V", "common practice: a 12 V battery between half and full"),
        hint="At the posts, nothing running, no charger, after an hour or more.",
    ),
    Field(
        "battery_resistance", "Battery resistance", "mΩ", default="unknown", example="6 mΩ", minimum="0.05 mΩ", maximum="1000 mΩ",
        tolerance="20 %", basis="common practice: it rises as a battery empties, cools and ages",
        unknown=Unknown("9 mΩ", "4 mΩ", "20 mΩ", "common practice: one 100 Ah 12 V lead-acid battery, new to old"),
        hint="From a two-load test: difference in volts over difference in amps.",
    ),
    Field(
        "power_ac", "Power of what is switched on", "W", default="1000 W", minimum="0 W", maximum="60 kW", above_minimum=True,
        tolerance="5 %", basis="common practice: type plates are good to about 5 %",
        unknown=Unknown("1000 W", "700 W", "1500 W", "common practice: one heating appliance"),
        hint="Sum of the type plates; for a microwave the input, not the cooking power.",
    ),
    Field(
        "cut_out", "Inverter's low-voltage cut-out", "V", default="10.5 V", minimum="5 V", maximum="60 V",
        unknown=Unknown("10.5 V", "10 V", "11 V", "common practice for 12 V inverters"),
        hint="In the inverter's manual or settings.",
    ),
    cable.area(
        Field(
            "area", "Cable cross-section", "mm²", default="35 mm²", minimum="0.5 mm²", maximum="120 mm²", exact=True,
            hint="Printed on the cable, in mm² or AWG. A width in mm is something else.",
            unknown=Unknown("35 mm²", "16 mm²", "50 mm²", "common practice: what is found behind inverters of 1 to 2 kW"),
        ),
        "2 AWG",
    ),
    cable.LENGTH_ONE_WAY,
    Field(
        "joint_resistance", "Joints, fuse and isolator together", "mΩ", default="unknown", example="1.5 mΩ", minimum="0 mΩ", maximum="1000 mΩ",
        tolerance="20 %", basis="common practice",
        unknown=Unknown("1.5 mΩ", "0.5 mΩ", "4 mΩ", "common practice: fuse, isolator and eight lugs, good to poor"),
        hint="Millivolts across each piece over the amps, added up.",
    ),
    regions.REGION,
    Field(
        "cable_resistance", "Cable resistance, both ways, if measured", "mΩ", minimum="0 mΩ", maximum="1000 mΩ", above_minimum=True,
        tolerance="5 %", basis="common practice for a millivolt reading at a known current",
        hint="In place of cross-section and length.", more=True,
    ),
    Field(
        "power_dc", "Power on the DC side, if known", "W", minimum="0 W", maximum="60 kW", above_minimum=True,
        tolerance="5 %", basis="common practice for volts times a clamp meter's amps", hint="In place of the AC power.", more=True,
    ),
    losses.POWER_FACTOR,
    replace(losses.RATING, more=True),
    *losses.FIELDS[1:],
    Choice(
        "cut_out_senses", "What the cut-out looks at",
        {"mean": "the mean voltage", "trough": "the trough of the ripple", "unknown": "not known"},
        default="unknown", unknown="unknown", varies_with="ripple",
        hint="Ask the maker; it changes the answer more than anything else.", more=True,
    ),
    Field(
        "ripple", "Ripple of the DC current", "", default="unknown", minimum="0", maximum="1.5",
        unknown=Unknown("0", "0", "0.8", "common practice: 0 for a smoothed input, 0.8 for a simple one"),
        hint="Amplitude over mean: 0 is smooth, 1 swings from nothing to double.", more=True,
    ),
    Field("load_duration", "How long the load lasts, if only a start", "s", minimum="0 s", maximum="3600 s", above_minimum=True,
          hint="Leave blank for a load that stays on.", more=True),
    Field("cut_out_delay", "Cut-out delay", "s", minimum="0 s", maximum="600 s", hint="How long the voltage must stay low before it acts.", more=True),
    Field("lock_out", "Instant lock-out voltage", "V", minimum="3 V", maximum="60 V", hint="Lower limit that acts without delay.", more=True),
    Field("recovery", "Recovery voltage", "V", minimum="5 V", maximum="64 V", hint="Where the inverter starts again after a cut-out.", more=True),
    Field("battery_current_limit", "Current limit of a protected battery", "A", minimum="0 A", maximum="2000 A", above_minimum=True,
          hint="Continuous discharge limit on a lithium battery's label.", more=True),
    Choice("chemistry", "Battery chemistry", {"lead-acid": "lead-acid", "lithium-iron-phosphate": "lithium iron phosphate"},
           default="lead-acid", more=True),
    cable.CONDUCTOR,
    Field("conductor_temperature", "Temperature of the conductor", "°C", default="50 °C", minimum="-40 °C", maximum="125 °C",
          tolerance="20 °C", basis="common practice: warm under load", more=True,
          unknown=Unknown("50 °C", "20 °C", "80 °C", "common practice: cool to hot under load")),
)  # fmt: skip

VERDICTS = {
    "holds": "holds",
    "trips": "the cut-out acts",
    "over-limit": "the battery's protection opens",
    "collapses": "no operating point",
}

ANSWERS = (
    Answer("verdict", "Verdict", choices=VERDICTS, main=True),
    Answer("voltage_inverter", "Voltage at the inverter, mean", "V", main=True),
    Answer("margin", "Margin above the cut-out", "V", main=True),
    Answer("current_dc", "DC current, mean", "A", main=True),
    Answer("power_ac_max", "Most AC power before it drops out", "W", main=True, most=lambda v: _cap(v)),
    Answer("power_dc_max", "Most DC power before it drops out", "W"),
    Answer("power_dc", "DC power drawn", "W"),
    Answer("voltage_trough", "Voltage in the ripple's trough", "V"),
    Answer("current_rms", "DC current, heating value", "A"),
    Answer("resistance_total", "Resistance of the whole path", "mΩ"),
    Answer("cable_resistance_loop", "Cable resistance, both ways", "mΩ"),
    Answer("drop_battery", "Drop inside the battery", "V"),
    Answer("drop_cable", "Drop along the cable", "V"),
    Answer("drop_joints", "Drop across the joints", "V"),
    Answer("heat_battery", "Heat inside the battery", "W"),
    Answer("heat_cable", "Heat along the cable", "W"),
    Answer("heat_joints", "Heat in the joints", "W"),
    Answer("voltage_open_circuit_trip", "Rest voltage at which it starts to trip", "V"),
    Answer("state_of_charge_trip", "State of charge at which it starts to trip", "%", least=lambda v: 0.0, most=lambda v: 1.0),
)


def _check(v):
    if v.cut_out >= v.voltage_open_circuit:
        raise FieldProblem("cut_out", f"must lie below the battery's {restate(v.voltage_open_circuit, 'V')} at rest: the inverter would never start")
    if v.lock_out is not None and v.lock_out > v.cut_out:
        raise FieldProblem("lock_out", f"must lie below the cut-out at {restate(v.cut_out, 'V')}")
    if v.recovery is not None and v.recovery < v.cut_out:
        raise FieldProblem("recovery", f"must lie above the cut-out at {restate(v.cut_out, 'V')}")
    cable.check_area("area", v.area, v.conductor)
    losses.check(v)
    if v.power_ac is None:
        _check_power_dc(v)
        return
    apparent = v.power_ac / v.power_factor
    if v.load_duration is None and apparent > v.rating * (1 + 1e-9):
        raise FieldProblem(
            "power_ac",
            f"{say(apparent, 'VA')} is above the inverter's {restate(v.rating, 'VA')} continuous: enter less, "
            "a larger rating, or how long a start lasts",
        )
    if apparent > START_MOST * v.rating:
        raise FieldProblem("power_ac", f"{say(apparent, 'VA')} is more than three times the rating: enter less, or a larger rating")


def _check_power_dc(v):
    most = losses.power_dc(v, v.rating * v.power_factor, v.power_factor)
    if v.load_duration is None and v.power_dc > most * (1 + 1e-9):
        raise FieldProblem(
            "power_dc",
            f"an inverter of {restate(v.rating, 'VA')} draws {say(most, 'W')} at its continuous rating: enter less, "
            "a larger rating, or how long a start lasts",
        )


def _cap(v):
    """Most real power the inverter itself gives: its continuous rating, or for a start what a surge may reach."""
    return v.rating * v.power_factor * (1.0 if v.load_duration is None else START_MOST)


def _cable_resistance(v):
    if v.cable_resistance is not None:
        return v.cable_resistance
    per_length = cable.resistance_per_length(v.area, v.conductor)
    return conductor.resistance_loop(per_length, v.length_one_way, v.conductor_temperature - 20.0, conductor.TEMPERATURE_COEFFICIENT_COPPER)


def _limit(v):
    """The voltage that ends it: a start shorter than the delay is judged by the lock-out."""
    rides_through = v.load_duration is not None and v.cut_out_delay is not None and v.load_duration < v.cut_out_delay
    return v.lock_out if rides_through and v.lock_out is not None else v.cut_out


def _evaluate(v):
    r_cable = _cable_resistance(v)
    r_total = v.battery_resistance + r_cable + v.joint_resistance
    power_dc = v.power_dc if v.power_dc is not None else losses.power_dc(v, v.power_ac, v.power_factor)
    sensed = v.ripple if v.cut_out_senses == "trough" else 0.0
    out = {"power_dc": power_dc, "resistance_total": r_total, "cable_resistance_loop": r_cable}
    out |= _largest(v, r_total, sensed)
    out |= _empty(v, power_dc, r_total, sensed)
    try:
        current = circuit.current_constant_power(power_dc, v.voltage_open_circuit, r_total, v.ripple)
    except ValueError:
        missing = [answer.name for answer in ANSWERS if answer.name not in out]
        return out | dict.fromkeys(missing) | {"verdict": "collapses"}
    heating = circuit.current_rms(current, v.ripple)
    mean = circuit.voltage_mean(v.voltage_open_circuit, r_total, current)
    trough = circuit.voltage_trough(v.voltage_open_circuit, r_total, current, v.ripple)
    margin = (trough if sensed else mean) - _limit(v)
    over = v.battery_current_limit is not None and current > v.battery_current_limit
    return out | {
        "verdict": "over-limit" if over else "holds" if margin >= 0 else "trips",
        "voltage_inverter": mean,
        "voltage_trough": trough,
        "margin": margin,
        "current_dc": current,
        "current_rms": heating,
        "drop_battery": conductor.voltage_drop(current, v.battery_resistance),
        "drop_cable": conductor.voltage_drop(current, r_cable),
        "drop_joints": conductor.voltage_drop(current, v.joint_resistance),
        "heat_battery": conductor.heat(heating, v.battery_resistance),
        "heat_cable": conductor.heat(heating, r_cable),
        "heat_joints": conductor.heat(heating, v.joint_resistance),
    }


def _largest(v, r_total, sensed):
    """The largest power before the cut-out, the battery's protection or the collapse."""
    current = max(circuit.current_at_voltage(v.voltage_open_circuit, _limit(v), r_total, sensed), 0.0)
    summit = circuit.current_at_collapse(v.voltage_open_circuit, r_total, v.ripple)
    current = min(current, summit, v.battery_current_limit or summit)
    power = circuit.power_at_current(v.voltage_open_circuit, r_total, current, v.ripple)
    a, b = losses.terms(v)
    power_ac = inverter.power_ac_from_dc(power, v.power_factor, v.rating, v.standby_power, a, b)
    return {"power_dc_max": power, "power_ac_max": min(power_ac, _cap(v))}


def _empty(v, power_dc, r_total, sensed):
    """Rest voltage, and state of charge, at which this load starts to trip."""
    try:
        voltage = circuit.voltage_open_circuit_at_limit(power_dc, _limit(v), r_total, v.ripple, sensed)
    except ValueError:
        return {"voltage_open_circuit_trip": None, "state_of_charge_trip": None}
    table = tables.load(REST_TABLES[v.chemistry])
    try:
        charge = battery.state_of_charge_at_rest(voltage / _blocks(v), table.column("voltage"), table.column("state_of_charge"))
    except ValueError:
        charge = None
    return {"voltage_open_circuit_trip": voltage, "state_of_charge_trip": charge}


def _blocks(v):
    """How many 12 V batteries stand in series; half of one is a 6 V battery."""
    return next(count for count, below in ((0.5, 9), (1, 17), (2, 34), (3, 45), (4, 1e9)) if v.voltage_open_circuit < below)


def _explain(case):
    worst = case.unfavourable("margin") if case.outputs.verdict == "holds" else None
    _work(case)
    _judge(case, worst)
    _advise(case, worst)


def _work(case):
    v, o = case.values, case.outputs
    if v.cable_resistance is None:
        source, clause = cable.source_for(case, v.area, v.conductor)
        case.step(
            "R_cable", f"cable of {cable.said(v.area, v)}, both ways, warm", "R_20*(1 + alpha_20*(T - T_20))*2*L",
            {"R_20": (cable.resistance_per_length(v.area, v.conductor), "Ω/km"), "alpha_20": (conductor.TEMPERATURE_COEFFICIENT_COPPER, "1/K"),
             "T": (v.conductor_temperature, "°C"), "T_20": (20.0, "°C"), "L": (v.length_one_way, "m")},
            o.cable_resistance_loop, "mΩ", source, clause,
        )  # fmt: skip
    parts = {"R_battery": (v.battery_resistance, "mΩ"), "R_cable": (o.cable_resistance_loop, "mΩ"), "R_joints": (v.joint_resistance, "mΩ")}
    case.step("R", "whole path", "R_battery + R_cable + R_joints", parts, o.resistance_total, "mΩ", "ohm")
    losses.explain(case)
    if v.power_dc is None:
        losses.explain_power_dc(case, v.power_ac, v.power_factor, o.power_dc)
    path = {"V_oc": (v.voltage_open_circuit, "V"), "R": (o.resistance_total, "mΩ"), "r": (v.ripple, "")}
    if o.current_dc is not None:
        case.step("I", "mean current", "2*P_dc/(V_oc + sqrt(V_oc**2 - 4*R*(1 + r**2/2)*P_dc))", {"P_dc": (o.power_dc, "W"), **path}, o.current_dc, "A", "ohm")
        case.step("V", "mean voltage at the inverter", "V_oc - I*R", {"V_oc": path["V_oc"], "I": (o.current_dc, "A"), "R": path["R"]}, o.voltage_inverter, "V", "ohm")
        case.step("V_trough", "voltage in the trough", "V_oc - I*R*(1 + r)", {**path, "I": (o.current_dc, "A")}, o.voltage_trough, "V", "ripple")
        seen, name = (o.voltage_trough, "V_trough") if v.cut_out_senses == "trough" else (o.voltage_inverter, "V")
        case.step("M", "margin", f"{name} - V_limit", {name: (seen, "V"), "V_limit": (_limit(v), "V")}, o.margin, "V", "ohm")
    sensed = v.ripple if v.cut_out_senses == "trough" else 0.0
    at_limit = circuit.current_at_voltage(v.voltage_open_circuit, _limit(v), o.resistance_total, sensed)
    case.step("I_limit", "current that reaches the limit", "(V_oc - V_limit)/(R*(1 + s))",
              {"V_oc": path["V_oc"], "V_limit": (_limit(v), "V"), "R": path["R"], "s": (sensed, "")}, at_limit, "A", "ohm")  # fmt: skip
    if v.battery_current_limit is not None:
        return
    reach, name = at_limit, "I_limit"
    summit = circuit.current_at_collapse(v.voltage_open_circuit, o.resistance_total, v.ripple)
    if at_limit > summit:
        reach, name = summit, "I_collapse"
        case.step("I_collapse", "current beyond which the power falls again", "V_oc/(2*R*(1 + r**2/2))", path, summit, "A", "ohm")
    case.step("P_max", "DC power at that current", f"V_oc*{name} - R*(1 + r**2/2)*{name}**2",
              {**path, name: (reach, "A")}, circuit.power_at_current(v.voltage_open_circuit, o.resistance_total, reach, v.ripple), "W", "ohm")  # fmt: skip


def _judge(case, worst):
    """The sentence, and what stops the reader."""
    v, o = case.values, case.outputs
    load = f"{restate(v.power_ac, 'W')}" if v.power_ac is not None else f"{restate(v.power_dc, 'W')} on the DC side"
    most = f"The most it carries before that is {say(o.power_ac_max, 'W', 2)}."
    limit = "lock-out" if _limit(v) != v.cut_out else "cut-out"
    if o.verdict == "collapses":
        case.answer = f"It collapses: this path cannot deliver {load} at any voltage. {most}"
        case.find("no-operating-point", "stop", f"There is no operating point: {load} is more than battery, cable and joints can pass on. Do not try it.")
        return
    part, drop = max(("battery", o.drop_battery), ("cable", o.drop_cable), ("joints", o.drop_joints), key=lambda pair: pair[1])
    whole = o.drop_battery + o.drop_cable + o.drop_joints
    share = "most of the drop" if drop > 0.5 * whole else f"the largest part of the drop, {say(drop / whole, '%', 2)}"
    takes = f"the {part} {'take' if part == 'joints' else 'takes'} {share}"
    if o.verdict == "over-limit":
        case.answer = f"The battery switches itself off: {say(o.current_dc, 'A', 2)} is above its {restate(v.battery_current_limit, 'A')} limit. {most}"
        case.find("battery-limit", "stop", "The current is above the battery's own limit: its protection opens and everything on it goes dark.")
        return
    seen = o.voltage_trough if v.cut_out_senses == "trough" else o.voltage_inverter
    where = "at the inverter in the ripple's trough" if v.cut_out_senses == "trough" else "at the inverter"
    side = "above" if o.margin >= 0 else "below"
    verb = "It drops out" if o.margin < 0 else "It holds" if worst.verdict == "holds" else "It should hold"
    case.answer = f"{verb}: {say(seen, 'V')} {where}, {say(abs(o.margin), 'V', 2)} {side} its {limit}; {takes}."
    if o.margin < 0:
        case.answer += f" {most}"
        case.find("below-cut-out", "stop", f"{load} takes the inverter below its {limit}: it will switch off under this load.")
        _after_trip(case)


def _after_trip(case):
    v = case.values
    if v.recovery is None:
        return
    if v.voltage_open_circuit > v.recovery:
        case.find("hunting", "caution", f"After the cut-out the battery rises above the {restate(v.recovery, 'V')} recovery voltage: the inverter starts again, and trips again.")
    else:
        case.find("stays-off", "caution", f"After the cut-out it stays off until the battery is charged above {restate(v.recovery, 'V')}.")


def _advise(case, worst):
    v, o = case.values, case.outputs
    _advise_unfavourable(case, worst)
    if o.current_dc is not None and _blocks(v) == 1 and v.load_duration is None and o.current_dc > CURRENT_TO_QUESTION:
        case.find("current-high", "caution", f"{say(o.current_dc, 'A', 2)} continuous at 12 V is a lot for cable, joints and fuse: 24 or 48 V halves or quarters it.")
    if o.drop_joints is not None and (o.drop_joints > JOINT_DROP_GOOD and o.heat_joints > JOINT_HEAT_GOOD):
        case.find(
            "joints-warm", "caution",
            f"The joints, fuse and isolator take {say(o.drop_joints, 'V', 2)} and turn {say(o.heat_joints, 'W', 2)} into heat. "
            "Put a millivolt meter across each under load: above 50 mV or 10 W in one piece, switch off, isolate and remake it.",
        )  # fmt: skip
    if v.load_duration is not None:
        _advise_start(case)
    if v.chemistry != "lead-acid":
        case.find("rest-voltage-flat", "note", "A lithium iron phosphate battery's rest voltage is nearly flat: the state of charge given here is a shape, not a reading.")
    if o.state_of_charge_trip is None and o.voltage_open_circuit_trip is not None:
        full = tables.load(REST_TABLES[v.chemistry]).column("voltage")[-1] * _blocks(v)
        when = "even with a full battery" if o.voltage_open_circuit_trip > full else "only below the end of the rest-voltage table: the battery is empty before the cut-out acts"
        case.find("trip-outside-table", "note", f"This load trips the inverter {when}.")
    case.find("cut-out-no-guard", "note", "The cut-out guards the inverter, not the battery: at a small load it lets a battery run flat.")
    case.find("fuse", "note", "Each battery cable needs a fuse at the battery, rated for the cable and able to break the battery's fault current.")


def _advise_unfavourable(case, worst):
    v = case.values
    if worst is None or worst.verdict == "holds":
        return
    if worst.margin is None:
        tells = "the path cannot pass this power on"
    elif worst.verdict == "over-limit":
        case.find("may-trip", "caution", f"With everything that is uncertain at its bad end, {say(worst.current_dc, 'A')} flow, above the battery's {restate(v.battery_current_limit, 'A')} limit: its protection may open.")
        return
    else:
        tells = f"the margin is {say(worst.margin, 'V', 2)}"
    unknown_sensing = " Ask what the cut-out looks at, mean or trough, first." if v.cut_out_senses == "unknown" else ""
    case.find("may-trip", "caution", f"With everything that is uncertain at its bad end, {tells}: it may drop out.{unknown_sensing}")


def _advise_start(case):
    v = case.values
    if v.cut_out_delay is None or v.lock_out is None:
        case.find("start-limits-unknown", "note", "A start is over in a second or so. If you know the cut-out's delay and the instant lock-out voltage, enter them: a short dip may be allowed.")
    elif v.load_duration < v.cut_out_delay:
        case.find("start-rides-through", "note", f"The start is shorter than the {restate(v.cut_out_delay, 's')} delay, so it is judged by the lock-out at {restate(v.lock_out, 'V')}.")
    if v.power_ac is not None and v.power_ac / v.power_factor > v.rating:
        case.find("above-rating", "caution", "This start is above the continuous rating: the inverter's own surge rating, in VA and seconds, has to cover it as well. The most AC power given here is what battery, cable and joints carry.")


def _draw(case):
    v, o = case.values, case.outputs
    ticks = ((0, "at rest"), (1, "posts"), (2, "cable's end"), (3, "inverter"))
    top = v.voltage_open_circuit
    limit = _limit(v)
    series = []
    if o.current_dc is not None:
        order = (0.0, o.drop_battery, o.drop_cable, o.drop_joints)
        steps = [top - sum(order[: place + 1]) for place in range(4)]
        series.append(Series("mean", tuple(enumerate(steps)), markers=True))
        ripple = v.ripple or (0.8 if case.understood("ripple").how == "unknown" else 0.0)
        if ripple:
            name = "trough" if v.ripple else "trough, if the ripple is 0.8"
            series.append(Series(name, tuple((place, top - (top - volts) * (1 + ripple)) for place, volts in enumerate(steps)), dash="dashed"))
    lowest = min([limit, *(y for one in series for _, y in one.points)])
    marks = (Mark(say(o.voltage_inverter, "V"), 3, o.voltage_inverter),) if series else ()
    span = top - lowest
    return [Figure(
        "Voltage along the supply path",
        "Voltage from the battery at rest, past its posts and the cable to the inverter, with the limit that ends it.",
        Axis("", "", 0, 3, ticks), Axis("voltage", "V", lowest - 0.25 * span, top + 0.1 * span),
        tuple(series), (Level(f"limit {say(limit, 'V')}", limit),), marks,
    )]  # fmt: skip


CALCULATOR = Calculator(
    id="supply-path",
    title="Will it hold up, or drop out?",
    question="Will the battery, the cable and the joints hold the inverter above its cut-out under this load?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
    alternatives=((("power_ac",), ("power_dc",)), (("area", "length_one_way"), ("cable_resistance",))),
)
