"""charge-state: what does this voltage tell me?

A voltage is a state of charge only at rest. What the current, the last charge, the
temperature and the meter do to it is taken off, and what cannot be taken off widens the
band; for lithium iron phosphate it often says next to nothing, and then that is the answer.
"""

import math
from dataclasses import replace

from calc import tables
from calc.calculators import chemistry
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Choice, Field, Unknown
from calc.errors import FieldProblem
from calc.physics import battery
from calc.result import Axis, Figure, Mark, Series
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

COEFFICIENT = 0.2e-3  # V/K a lead-acid cell: ΔS/2F, computed
TEMPERATURE_OF_TABLE = 26.7  # °C, of the BCI table
HALVING = {"lead": 3600.0, "lithium": 1200.0}  # s of rest that halve what lingers; common practice
LOAD_SHARE = 0.5  # of what a charge leaves, what a load leaves; common practice
# For each 12 V: drop and lingering volts above which a reading is only rough; common practice.
DROP_TO_QUESTION = 0.15
LINGER_TO_QUESTION = 0.05
DROP_UNCERTAIN = 0.2  # of the drop through a resistance: it rises as a battery empties, cools and ages; common practice
BAND_ROUGH, BAND_NOTHING = 0.25, 0.35  # of the whole charge, across what the voltage leaves open


class Metered(Field):
    """A voltage as read on a meter: its tolerance is the accuracy typed for that meter."""

    def settled(self, values):
        """This field, once the meter's accuracy has been read."""
        accuracy = values.get("meter_accuracy")
        return self if accuracy is None else replace(self, tolerance=f"{100 * accuracy:.6f} %", basis="the meter's accuracy")


def _lingering(kind):
    lead = kind.chemistry != chemistry.LITHIUM
    likely, high = ("0.2 V", "0.4 V") if lead else ("0.05 V", "0.2 V")
    return Unknown(likely, "0 V", high, f"common practice for {chemistry.WORDS[kind.chemistry]}")


SEALED = ("agm", "gel", "lead-acid")  # rest above the table of flooded batteries, if at all away from it


def _offset(kind):
    spread = restate(kind.rest_voltage_spread, "V")
    if kind.chemistry in SEALED:
        return Unknown("0.05 V", "0 V", spread, "common practice: sealed batteries rest higher")
    return Unknown("0 V", f"-{spread}", spread, "common practice: batteries differ from any table")


FIELDS = (
    Field(
        "meter_accuracy", "Accuracy of the meter", "%", default="0.6 %", minimum="0 %", maximum="10 %",
        unknown=Unknown("1 %", "1 %", "1 %", "common practice: a cheap or old meter"),
        hint="0.5 % and one digit is usual for a pocket meter: 0.6 %.", more=True,
    ),
    Metered(
        "voltage", "Voltage at the posts", "V", default="12.4 V", minimum="4 V", maximum="68 V",
        hint="On the battery itself, not at the inverter or a socket. For a 6 V battery enter twice the reading.",
    ),
    replace(chemistry.CHEMISTRY, example="agm"),
    Field(
        "current", "Current out of the battery", "A", default="0 A", minimum="-1000 A", maximum="1000 A",
        tolerance="10 %", basis="common practice: a clamp meter",
        unknown=Unknown("1 A", "0 A", "5 A", "common practice: small things that are never off"),
        hint="While reading. A charging current is negative, for example -8 A.",
    ),
    Field(
        "rested", "Hours since it was charged or loaded", "h", default="4 h", minimum="0 h", maximum="1000 h",
        unknown=Unknown("2 h", "0 h", "8 h", "common practice: overnight at best"), hint="Driving and sun on a panel are charging.",
    ),
    Choice(
        "came_before", "What came before the rest", {"charge": "charging", "load": "a load", "unknown": "not known"},
        default="unknown", unknown="unknown", hint="A charge leaves the voltage too high, a load too low.",
    ),
    chemistry.changed(chemistry.DEPTH_LIMIT, more=True),
    replace(chemistry.VOLTAGE_NOMINAL, default="", more=True, hint="12, 24, 36 or 48 V. Left blank: from the reading."),
    chemistry.changed(chemistry.TEMPERATURE, default="20 °C", minimum="-40 °C", hint=""),
    replace(chemistry.CAPACITY, more=True, hint="For the battery's resistance, where that is not measured."),
    chemistry.RESISTANCE,
    chemistry.RESISTANCE_RISE,
    chemistry.by_chemistry(
        Field("voltage_at_once", "What a charge leaves in the voltage at once, for each 12 V", "V", default="unknown", minimum="0 V", maximum="2 V",
              hint="Surface charge; half of it, downward, after a load.", more=True), _lingering,
    ),
    chemistry.by_chemistry(
        Field("rest_offset", "Rest voltage above the table, for each 12 V", "V", default="unknown", minimum="-0.5 V", maximum="0.5 V",
              hint="Your battery full and rested, less the table's top.", more=True), _offset,
    ),
)  # fmt: skip

VERDICTS = {
    "reads": "it means something",
    "rough": "it is a rough guide",
    "nothing": "it says next to nothing",
    "contradicts": "the readings contradict each other",
}



def _state_ends(v, outputs, spans):
    """The ends of the rest voltage behind the reading, each read from the table: the table bends, so shifts of the state do not add up."""
    low, high, mover = spans["voltage_table"]
    # Past either end of the table the state itself moves with nothing, but the voltage does.
    return _state(v.chemistry, low - _drop_open(v, outputs["voltage_table"], outputs["drop"])), _state(v.chemistry, high), spans["state_of_charge"][-1] or mover


def _stop_ends(v, outputs, spans):
    """The ends of the stop voltage, from those of rest voltage and drop: an end at which the readings contradict each other has none of its own."""
    (rest_low, rest_high, _), drop = spans["stop_voltage_rest"], [max(end, 0.0) for end in (*spans["drop"][:2], outputs["drop"])]
    rest, stop = outputs["stop_voltage_rest"], outputs["stop_voltage"]
    return stop - math.hypot(rest - rest_low, drop[1] - drop[2]), stop + math.hypot(rest_high - rest, drop[2] - drop[0]), spans["stop_voltage"][-1]


ANSWERS = (
    Answer("state_of_charge", "State of charge", "%", main=True, least=lambda v: 0.0, most=lambda v: 1.0, ends=_state_ends),
    Answer("verdict", "What the reading is worth", choices=VERDICTS, main=True),
    Answer("stop_voltage", "Stop at this voltage, at this current", "V", figures=4, main=True, ends=_stop_ends),
    Answer("stop_voltage_rest", "Rest voltage to stop at", "V", figures=4),
    Answer("voltage_rest", "Rest voltage behind the reading", "V", figures=4),
    Answer("voltage_table", "The same for a 12 V battery, as the table has it", "V", figures=4),
    Answer("drop", "Drop through the battery's resistance", "V"),
    Answer("lingering", "Left in the voltage by what came before", "V"),
    Answer("temperature_shift", "Moved by the temperature", "V"),
    Answer("battery_resistance_used", "Resistance of the battery", "mΩ"),
    Answer("meter_error", "What the meter may be off", "V"),
)


def _check(v):
    if v.voltage_nominal is None:
        return
    chemistry.check_nominal("voltage_nominal", v.voltage_nominal)
    if not 0.5 < v.voltage / v.voltage_nominal < 1.5:
        raise FieldProblem("voltage", f"{restate(v.voltage, 'V')} cannot be a battery of {restate(v.voltage_nominal, 'V')}: check which of the two is meant")


def _rest_most(v):
    """Highest voltage such a battery rests at once a load has taken its surface charge: that at which it is held full."""
    return chemistry.facts(v.chemistry).voltage_float * _cells(v)


def _contradicts(v, drop):
    """Whether current and resistance lift the reading above any rest voltage, though what the resistance may be off is granted."""
    return drop / _count(v) > DROP_TO_QUESTION and v.voltage + (1 - DROP_UNCERTAIN) * drop > _rest_most(v)


def _nominal(v):
    return v.voltage_nominal if v.voltage_nominal is not None else 12.0 * chemistry.blocks(v.voltage)


def _count(v):
    """How many 12 V batteries in series it is."""
    return chemistry.blocks(_nominal(v))


def _cells(v):
    return chemistry.cells(v.chemistry, _nominal(v))


def _lingers(v):
    """Volts still left in the whole battery by what came before; after no one knows what, the mean of both."""
    family = "lithium" if v.chemistry == chemistry.LITHIUM else "lead"
    sign = {"charge": 1.0, "load": -LOAD_SHARE, "unknown": (1.0 - LOAD_SHARE) / 2}[v.came_before]
    return battery.voltage_lingering(sign * v.voltage_at_once * _count(v), v.rested, HALVING[family])


def _shift(v):
    """Volts by which the temperature moves the whole battery's rest voltage; none is held for lithium."""
    if v.chemistry == chemistry.LITHIUM:
        return 0.0
    cells = _cells(v)
    return -battery.voltage_at_reference(0.0, cells, COEFFICIENT, v.temperature - TEMPERATURE_OF_TABLE)


def _state(chemistry_name, voltage):
    """State of charge behind a 12 V battery's rest voltage; beyond the table it is full or empty."""
    voltages, states = chemistry.rest_curve(chemistry_name)
    return battery.state_of_charge_at_rest(min(max(voltage, voltages[0]), voltages[-1]), voltages, states)


def _band(v, voltage, drop):
    """Width of charge that meter, table, lingering and drop leave open around a 12 V battery's rest voltage."""
    table = chemistry.facts(v.chemistry).rest_voltage_spread * (0.5 if v.chemistry in SEALED else 1.0)
    parts = v.meter_accuracy * voltage, table, 0.5 * abs(_lingers(v)) / _count(v), DROP_UNCERTAIN * drop / _count(v)
    spread = sum(part * part for part in parts) ** 0.5
    return _state(v.chemistry, voltage + spread) - _state(v.chemistry, voltage - spread - _drop_open(v, voltage, drop))


def _drop_open(v, voltage, drop):
    """How much of the drop for each 12 V may be none: under load only the reading itself is sure to lie below the rest voltage.

    It matters where the voltage says little (lithium), or where more than full comes out.
    """
    share = drop / _count(v)
    top = chemistry.rest_curve(v.chemistry)[0][-1]
    return share if share > DROP_TO_QUESTION and (v.chemistry == chemistry.LITHIUM or voltage > top) else 0.0


def _evaluate(v):
    count = _count(v)
    resistance = chemistry.resistance(v, _nominal(v), v.capacity)
    lingering, shift = _lingers(v), _shift(v)
    rest = battery.voltage_unloaded(v.voltage, v.current, resistance) - lingering
    at_table = (rest - shift) / count - v.rest_offset
    stop_rest = battery.voltage_at_rest(1.0 - v.depth_limit, *chemistry.rest_curve(v.chemistry))
    stop_rest = (stop_rest + v.rest_offset) * count + shift
    contradicts = _contradicts(v, v.current * resistance)
    return {
        "state_of_charge": None if v.current < 0 or contradicts else _state(v.chemistry, at_table),
        "verdict": _verdict(v, at_table, resistance, count),
        "stop_voltage": None if contradicts else stop_rest - max(v.current, 0.0) * resistance,
        "stop_voltage_rest": stop_rest,
        "voltage_rest": rest,
        "voltage_table": at_table,
        "drop": v.current * resistance,
        "lingering": lingering,
        "temperature_shift": shift,
        "battery_resistance_used": resistance,
        "meter_error": v.meter_accuracy * v.voltage,
    }


def _verdict(v, at_table, resistance, count):
    if _contradicts(v, v.current * resistance):
        return "contradicts"
    band = _band(v, at_table, v.current * resistance)
    if v.current < 0 or band > BAND_NOTHING:
        return "nothing"
    unsettled = abs(_lingers(v)) / count > LINGER_TO_QUESTION or v.current * resistance / count > DROP_TO_QUESTION
    return "rough" if unsettled or band > BAND_ROUGH else "reads"


def _explain(case):
    _work(case)
    _judge(case)
    _stop(case)
    _advise(case)


def _work(case):
    v, o = case.values, case.outputs
    count = float(_count(v))
    chemistry.explain_resistance(case, _nominal(v), v.capacity, o.battery_resistance_used)
    parts = {"V": (v.voltage, "V")}
    if v.current:
        case.step("U_I", "drop through the battery's resistance", "I*R_b", {"I": (v.current, "A"), "R_b": (o.battery_resistance_used, "mΩ")}, o.drop, "V", "ohm")
        parts["U_I"] = (o.drop, "V")
    if o.lingering:
        family = "lithium" if v.chemistry == chemistry.LITHIUM else "lead"
        at_once = o.lingering * (HALVING[family] + v.rested) / HALVING[family]
        case.step("U_l", "left by what came before", "U_0*tau/(tau + t)",
                  {"U_0": (at_once, "V"), "tau": (HALVING[family], "h"), "t": (v.rested, "h")}, o.lingering, "V", "practice")  # fmt: skip
        parts["U_l"] = (o.lingering, "V")
    if o.temperature_shift:
        cells = float(_cells(v))
        case.step("U_T", "moved by the temperature", "n_cells*beta*(T - T_table)",
                  {"n_cells": (cells, ""), "beta": (COEFFICIENT, "mV/K"), "T": (v.temperature, "°C"), "T_table": (TEMPERATURE_OF_TABLE, "°C")}, o.temperature_shift, "V", "entropy")  # fmt: skip
    formula = "V" + (" + U_I" if "U_I" in parts else "") + (" - U_l" if "U_l" in parts else "")
    case.step("V_rest", "rest voltage behind the reading", formula, parts, o.voltage_rest, "V", "ohm")
    moved = {"U_T": (o.temperature_shift, "V")} if o.temperature_shift else {}
    case.step("V_12", "for 12 V, as the table has it", "(V_rest - U_T)/n - U_off" if moved else "V_rest/n - U_off",
              {"V_rest": (o.voltage_rest, "V"), **moved, "n": (count, ""), "U_off": (v.rest_offset, "V")}, o.voltage_table, "V", "arithmetic")  # fmt: skip
    _work_state(case)
    if o.stop_voltage is None:
        return
    case.step("V_stop", "stop at", "V_stop_rest - I_out*R_b",
              {"V_stop_rest": (o.stop_voltage_rest, "V"), "I_out": (max(v.current, 0.0), "A"), "R_b": (o.battery_resistance_used, "mΩ")}, o.stop_voltage, "V", "ohm")  # fmt: skip


def _work_state(case):
    """The two rows of the table it lies between."""
    v, o = case.values, case.outputs
    voltages, states = chemistry.rest_curve(v.chemistry)
    if o.state_of_charge is None or not voltages[0] <= o.voltage_table <= voltages[-1]:
        return
    place = next(place for place in range(1, len(voltages)) if o.voltage_table <= voltages[place])
    source = "pybamm" if v.chemistry == chemistry.LITHIUM else "bci"
    case.step("s", "between two rows of the table", "s_1 + (s_2 - s_1)*(V_12 - V_1)/(V_2 - V_1)",
              {"s_1": (states[place - 1], "%"), "s_2": (states[place], "%"), "V_12": (o.voltage_table, "V"), "V_1": (voltages[place - 1], "V"), "V_2": (voltages[place], "V")},
              o.state_of_charge, "%", source)  # fmt: skip


def _judge(case):
    v, o = case.values, case.outputs
    if o.verdict == "contradicts":
        case.answer = (f"Neither the charge nor where to stop can be told, because the readings contradict each other. {say(v.voltage, 'V', 4)} at {restate(v.current, 'A')} through {say(o.battery_resistance_used, 'mΩ')} "
                       f"would be {say(v.voltage + o.drop, 'V')} at rest, and no such battery rests above {say(_rest_most(v), 'V')}.")  # fmt: skip
        case.find("readings-contradict", "caution", "Check voltage, current and the battery's resistance; or switch the load off, wait and read again.")
        return
    if o.state_of_charge is None:
        case.answer = "This voltage says next to nothing: the battery is being charged, and the charger holds it up. Read it hours after, with nothing running, or count amp-hours."
        return
    likely = f"{100 * o.state_of_charge:.0f}\u00a0%"
    low, high = (round(100 * end("state_of_charge")) for end in (case.low, case.high))
    band = f"between {low} and {high}\u00a0%" if low < high else "at the end of the table"
    if o.verdict == "nothing":
        why = "it hardly moves here" if v.chemistry == chemistry.LITHIUM else "too much stands between it and the charge"
        case.answer = f"This voltage says next to nothing: {why}. The charge may be anywhere {band}; count amp-hours instead."
    elif o.verdict == "rough":
        case.answer = f"Roughly {likely} full, {band}. Treat it as a guide."
    else:
        case.answer = f"About {likely} full, {band}."
    case.answer += _stop_words(case)


def _stop_words(case):
    v, o = case.values, case.outputs
    if o.stop_voltage <= 0:
        return ""
    at = f"at {restate(v.current, 'A')}" if v.current else "at rest"
    stop = f"{say(o.stop_voltage, 'V', 4)} {at}"
    if v.voltage < o.stop_voltage and o.verdict != "nothing":
        return f" That is past the {restate(v.depth_limit, '%')} you are willing to use, which ends at {stop}."
    return f" To use no more than {restate(v.depth_limit, '%')}, stop at {stop}."


def _stop(case):
    """What must not be charged, or not go on."""
    v = case.values
    kind = chemistry.facts(v.chemistry)
    cell = v.voltage / _cells(v)
    lithium = v.chemistry == chemistry.LITHIUM
    if lithium and cell < kind.voltage_discharge_min and v.current <= 0:
        case.find("too-deep", "stop", f"Below {restate(kind.voltage_discharge_min, 'V')} a cell: do not charge it. Have it checked by its maker or dealer first; charged as it is, it may burn later.")
    if lithium and cell < kind.voltage_discharge_min and v.current > 0:
        case.find("too-deep", "stop", f"Below {restate(kind.voltage_discharge_min, 'V')} a cell under load: switch the load off now.")
    if cell > kind.voltage_charge_max * 1.005:
        case.find("over-voltage", "stop", f"{say(v.voltage, 'V', 4)} is above the {say(kind.voltage_charge_max * _cells(v), 'V', 4)} this kind of battery ever sees: stop the charger, keep away, let it cool.")
    if lithium and v.current < 0 and v.temperature < kind.charge_temperature_min:
        case.find("charge-too-cold", "stop", "Lithium iron phosphate is being charged below 0 °C: stop the charger and warm the battery first.")
    # While it is charged the voltage says nothing: it may be empty.
    least = 0.0 if case.outputs.state_of_charge is None else case.low("state_of_charge")
    if not lithium and v.temperature <= _freezing(least):
        case.find("may-be-frozen", "stop", "At the charge it may have and this temperature the acid may be frozen. Do not charge it: thaw it in a ventilated place and look for cracks first.")


def _freezing(state_of_charge):
    table = tables.load("freezing_lead_acid")
    # The same straight lines as the rest voltage: a falling column beside a rising one.
    return battery.voltage_at_rest(state_of_charge, table.column("freezing_point"), table.column("state_of_charge"))


def _advise(case):
    v, o = case.values, case.outputs
    count = _count(v)
    voltages, _ = chemistry.rest_curve(v.chemistry)
    if v.current < 0:
        case.find("charging", "caution", "A high voltage with the charger on is no full battery: the chart is for rest only.")
    elif o.drop / count > DROP_TO_QUESTION:
        case.find("under-load", "caution", f"The load takes {say(o.drop, 'V', 2)} off the reading, and the resistance behind that is uncertain: switch it off and read again.")
    if abs(o.lingering) / count > LINGER_TO_QUESTION:
        family, hours = ("lead-acid", "4 to 12 hours") if v.chemistry != chemistry.LITHIUM else ("lithium", "an hour or two")
        case.find("not-rested", "caution", f"It has not rested: {family} needs {hours} with no charge and no load.")
    if v.chemistry == chemistry.LITHIUM:
        case.find("flat", "caution", "A lithium iron phosphate battery's voltage is nearly flat from a third to nine tenths full, and its table is a model's. A battery monitor that counts amp-hours is the only good gauge.")
    if o.voltage_table > voltages[-1] and o.verdict != "contradicts":
        case.find("above-table", "note", "It lies above the table's full battery: surface charge, a charger still on, or a battery that rests higher than the table.")
    if o.voltage_table < voltages[0]:
        charge = "" if any(one.level == "stop" for one in case.findings) else ": charge it now"
        spoilt = "" if v.chemistry == chemistry.LITHIUM else " Lead-acid left like this is spoilt within days."
        case.find("below-table", "caution", f"It lies below the table's empty battery{charge}.{spoilt}")
    if v.chemistry in SEALED:
        case.find("table-is-flooded", "note", "The table is that of flooded batteries. Sealed ones rest up to 0.15 V higher, which the band allows for.")
    if v.chemistry != chemistry.LITHIUM:
        case.find("no-hydrometer-correction", "note", "Temperature moves the rest voltage of a 12 V battery by a millivolt or so for each degree. The correction printed for hydrometers is for the acid's density, not for a voltmeter.")


def _draw(case):
    v, o = case.values, case.outputs
    voltages, states = chemistry.rest_curve(v.chemistry)
    points = tuple((100 * state, voltage) for voltage, state in zip(voltages, states) if voltage > 11)
    shown = min(max(o.voltage_table, points[0][1]), points[-1][1])
    series, marks = [Series("table", points, markers=True)], ()
    if o.state_of_charge is not None:
        ends = (100 * case.low("state_of_charge"), shown), (100 * case.high("state_of_charge"), shown)
        series.append(Series("what the reading leaves open", ends, dash="dashed"))
        marks = (Mark(f"{100 * o.state_of_charge:.0f}\u00a0%", 100 * o.state_of_charge, shown),)
    return [Figure(
        "Rest voltage against state of charge",
        "The rest-voltage table of a 12 V battery of this kind, and the states of charge the reading leaves open, at the rest voltage behind it.",
        Axis("state of charge", "%", 0, 100), Axis("voltage at rest", "V", points[0][1] - 0.1, points[-1][1] + 0.1), tuple(series), (), marks,
    )]  # fmt: skip


CALCULATOR = Calculator(
    id="charge-state",
    title="What does this voltage tell me?",
    question="How full is the battery behind this voltage, and is the reading worth anything?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
)
