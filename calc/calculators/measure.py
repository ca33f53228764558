"""measure: what is wrong with it?

Readings of a multimeter and a clamp, with the accuracy of both carried through: the
battery's resistance from two loads, every piece of the path from the millivolts across it,
standby, rest voltage. What stands above what a sound part takes is ranked by the volts it
costs, and what the readings leave open is said.
"""

import math
import re
from bisect import bisect_right
from dataclasses import replace

from calc.calculators import chemistry
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Accuracy, Field, Points, Unknown
from calc.errors import FieldProblem
from calc.physics import battery, measure
from calc.result import Axis, Figure, Level, Mark, Series
from calc.units import UnitProblem, capitalised, read_quantity
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

PIECE_RESISTANCE_GOOD = 0.2e-3  # Ω a sound joint, fuse or isolator stays below; common practice
PIECE_RESISTANCE_SUSPECT = 0.5e-3  # Ω; common practice
PIECE_VOLTAGE_SUSPECT = 0.050  # V; common practice
PIECE_HEAT_STOP = 10.0  # W in one piece; common practice
TWIN_RATIO = 2.0  # a piece this many times its like is suspect; common practice
WORN_RATIO = 2.0  # a battery this many times the resistance of a new one is worn, cold or empty; common practice
BASELINE_RATIO = 1.5  # this many times its own baseline, a part has changed; common practice
STANDBY_HIGH = 40.0  # W; common practice for the usual sizes
CHARGE_LOW = 0.5  # state of charge below which an empty battery explains a low voltage; common practice
ERROR_COARSE = 0.15  # a resistance known no better than this tells little
ERROR_WANTED = 0.05
UNMEASURED = 0.05  # V along the path that no reading accounts for; common practice
VOLTAGE_OPEN = 3.0  # V across a piece that is open, or all but; common practice
CURRENT_STEP_LEAST = 5.0  # A: below it the clamp's drift decides, not the battery; common practice
CABLE_WORDS = re.compile(r"\b(cable|lead|wire)\b", re.IGNORECASE)


class Pieces(Points):
    """Pieces with the voltage across each, such as "lug 40 mV, fuse 25 mV"."""

    def read(self, text):
        """Turn typed text into (pairs of name and voltage, how, basis); raises FieldProblem."""
        if not text.strip():
            return None, "blank", ""
        return tuple(self._piece(part.strip()) for part in re.split(r"[,;\n](?=\s*\D)", text.strip().strip(",;"))), "given", ""

    def _piece(self, part):
        found = re.fullmatch(r"(?P<name>.*[^\W\d].*?)[\s:=]+(?P<reading>[-−+]?[.\d][\d.,]*\s*[^\d\s]*)", part)
        if not found:
            raise FieldProblem(self.name, f'"{part[:40]}" is not a piece with its reading: enter a name and millivolts, for example lug 40 mV, fuse 25 mV')
        try:
            volts = read_quantity(found["reading"], "mV").likely
        except UnitProblem as problem:
            raise FieldProblem(self.name, f'in "{part[:40]}": {problem}') from None
        if not 0 <= volts <= 60:
            raise FieldProblem(self.name, f'"{part[:40]}": a piece takes between 0 and 60 V; swap the probes if the reading is negative')
        return found["name"].strip(" :="), volts


FIELDS = (
    Field("voltage_1", "Volts at the battery posts, small load", "V", example="12.62 V", minimum="3 V", maximum="64 V",
          hint="Two-load test: read volts and amps, switch a large load on at the appliance, read again within half a minute."),
    Field("current_1", "Amps then, small load", "A", example="3 A", minimum="0 A", maximum="1000 A", hint="DC clamp on a battery cable, set to zero first."),
    Field("voltage_2", "Volts at the battery posts, large load", "V", example="12.05 V", minimum="3 V", maximum="64 V", hint="Not within an hour of charging flooded cells."),
    Field("current_2", "Amps then, large load", "A", example="98 A", minimum="0 A", maximum="1000 A", hint="60 to 100 A if that is safe."),
    Pieces("pieces", "Millivolts across each piece, under load", default="", example="positive lug 12 mV, fuse 30 mV, isolator 60 mV, negative lug 10 mV",
           hint="A name and a reading each. Post to lug, lug to lug, fuse, isolator, the negative side too."),
    Field("current_pieces", "Amps while you read them", "A", minimum="0.1 A", maximum="1000 A", hint="Left blank: the large load."),
    Field("standby_reading", "Clamp, inverter on, nothing plugged in", "A", example="1.6 A", minimum="0 A", maximum="100 A", hint="All AC unplugged, clamp set to zero beside the cable."),
    Field("turns", "Turns of the cable through the clamp", "", default="1", minimum="1", maximum="20", hint="Five turns and a fifth of the clamp's offset."),
    Field("voltage_rest", "Rest voltage", "V", minimum="3 V", maximum="64 V", hint="No load, no charge, for 4 hours or more (lithium: 1 or 2)."),
    replace(chemistry.CHEMISTRY, more=True),
    Field("capacity", "Capacity of the bank", "Ah", default="100 Ah", minimum="5 Ah", maximum="5000 Ah",
          unknown=Unknown("200 Ah", "100 Ah", "400 Ah", "common practice: what vehicles and boats carry"), more=True),
    Field("voltage_inverter", "Volts at the inverter's terminals, large load", "V", minimum="3 V", maximum="64 V", hint="At the same large load as above.", more=True),
    Field("voltage_standby", "Volts while on standby", "V", default="12.5 V", minimum="3 V", maximum="64 V", more=True,
          unknown=Unknown("12.5 V", "12 V", "13.6 V", "common practice: a 12 V battery, from low to on charge")),
    Accuracy("meter_accuracy", "Meter's accuracy, of the reading", "%", default="0.5 %", minimum="0 %", maximum="10 %", basis="common practice for a hand meter", more=True,
             unknown=Unknown("1 %", "0.5 %", "2 %", "common practice: hand-held meters")),
    Accuracy("meter_resolution", "Meter's last digit on its volts range", "mV", default="10 mV", minimum="0 mV", maximum="1000 mV", basis="common practice: 10 mV on a 20 V range", more=True,
             unknown=Unknown("10 mV", "1 mV", "100 mV", "common practice: the last digit of a hand-held meter")),
    Accuracy("millivolt_resolution", "Meter's last digit on its millivolt range", "mV", default="0.1 mV", minimum="0 mV", maximum="100 mV", basis="common practice", more=True,
             unknown=Unknown("0.1 mV", "0.1 mV", "1 mV", "common practice: the last digit of the millivolt range")),
    Accuracy("clamp_accuracy", "Clamp's accuracy, of the reading", "%", default="3 %", minimum="0 %", maximum="20 %", basis="common practice for a DC clamp", more=True,
             unknown=Unknown("3 %", "2 %", "5 %", "common practice: clamps for direct current")),
    Accuracy("clamp_offset", "Clamp's offset or drift", "A", default="1 A", minimum="0 A", maximum="20 A", basis="common practice: 0.3 to 1 A", more=True,
             unknown=Unknown("1 A", "0.5 A", "2 A", "common practice: clamps for direct current, zeroed before")),
    Field("baseline_battery", "Baseline card: battery", "mΩ", minimum="0.05 mΩ", maximum="1000 mΩ", hint="From the handover, measured in the same way.", more=True),
    Field("baseline_cable", "Baseline card: cables and joints", "mΩ", minimum="0.05 mΩ", maximum="1000 mΩ", hint="All pieces of the path together.", more=True),
    Field("baseline_standby", "Baseline card: standby", "W", minimum="0.1 W", maximum="500 W", more=True),
)  # fmt: skip

CAUSES = {
    "empty": "the battery is empty",
    "battery": "the battery's own resistance",
    "joint": "a joint, fuse or isolator",
    "cable": "the cables and joints together",
    "unmeasured": "a piece not measured yet",
    "standby": "standby",
    "none": "nothing measured here",
}

ANSWERS = (
    Answer("cause", "First to look at", choices=CAUSES, main=True),
    Answer("battery_resistance", "Battery resistance", "mΩ", main=True),
    Answer("worst_resistance", "Worst piece's resistance", "mΩ", main=True),
    Answer("worst_heat", "Heat in the worst piece", "W", main=True),
    Answer("standby_power", "Standby power", "W", main=True),
    Answer("voltage_without_load", "Voltage the two loads point back to", "V", quiet=True),
    Answer("drop_battery", "Lost inside the battery at the large load", "V", quiet=True),
    Answer("worst_piece", "Worst piece", quiet=True),
    Answer("pieces_voltage", "Across all pieces", "mV", quiet=True),
    Answer("pieces_resistance", "All pieces together", "mΩ", quiet=True),
    Answer("pieces_heat", "Heat in all pieces", "W", quiet=True),
    Answer("path_resistance", "Path from posts to inverter", "mΩ", quiet=True),
    Answer("drop_unexplained", "Drop along the path no piece accounts for", "V", quiet=True),
    Answer("standby_current", "Standby current", "A", quiet=True),
    Answer("state_of_charge", "State of charge by the rest voltage", "%", quiet=True, least=lambda v: 0.0, most=lambda v: 1.0),
    Answer("battery_change", "Battery against its baseline", "%", quiet=True),
    Answer("cable_change", "Cables and joints against their baseline", "%", quiet=True),
    Answer("standby_change", "Standby against its baseline", "%", quiet=True),
)


def _check(v):
    _check_two_loads(v)
    if v.pieces is not None and _current_of_pieces(v) is None:
        raise FieldProblem("current_pieces", "enter the amps while the millivolts were read: millivolts alone tell nothing")
    if v.turns != int(v.turns):
        raise FieldProblem("turns", "enter a whole number of turns")
    if v.voltage_inverter is not None:
        if v.voltage_2 is None or v.current_2 is None:
            raise FieldProblem("voltage_2", "enter volts and amps at the posts under the same load: the path is the difference")
        if v.voltage_inverter > v.voltage_2:
            raise FieldProblem("voltage_inverter", f"cannot lie above the {restate(v.voltage_2, 'V')} at the posts while current flows: check the two readings")
    if not any((v.voltage_1 is not None, v.pieces is not None, v.standby_reading is not None, v.voltage_rest is not None)):
        raise FieldProblem("voltage_1", "enter at least one reading: two loads, millivolts across a piece, standby, or the rest voltage")


def _check_two_loads(v):
    names = ("voltage_1", "current_1", "voltage_2", "current_2")
    given = [name for name in names if getattr(v, name) is not None]
    if "voltage_1" in given or "current_1" in given:
        for name in names:
            if name not in given:
                raise FieldProblem(name, "a two-load test has four readings, volts and amps twice: enter this one too, or empty the small load's two")
        if v.current_2 <= v.current_1:
            raise FieldProblem("current_2", f"the second load must be larger than {restate(v.current_1, 'A')}: swap the two")
        if v.voltage_2 >= v.voltage_1:
            raise FieldProblem("voltage_2", f"must lie below {restate(v.voltage_1, 'V')}: under the larger load a battery sags, unless something charges it")


def _current_of_pieces(v):
    return v.current_pieces if v.current_pieces is not None else v.current_2 or None


def _evaluate(v):
    out = dict.fromkeys(answer.name for answer in ANSWERS)
    if v.voltage_1 is not None:
        out |= _two_loads(v)
    if v.pieces:
        out |= _pieces(v)
    if v.voltage_inverter is not None:
        out |= _path(v, out)
    if v.standby_reading is not None:
        out |= _standby(v)
    if v.voltage_rest is not None:
        out["state_of_charge"] = _charge(v)
    out["cause"] = next(iter(_ranked(v, out)), "none")
    return out


def _two_loads(v):
    # Half a digit for either voltage makes d/√2 for their difference; the gain is common to both.
    step = (v.voltage_1 - v.voltage_2) * (1 + v.meter_accuracy) + v.meter_resolution * 0.5**0.5
    current = (v.current_2 - v.current_1) * (1 + v.clamp_accuracy) + v.clamp_offset
    if step <= 0 or current <= 0:
        return {}
    resistance = measure.resistance_two_loads(step, current)
    return {
        "battery_resistance": resistance,
        "voltage_without_load": measure.voltage_without_load(v.voltage_1 * (1 + v.meter_accuracy), v.current_1, resistance),
        "drop_battery": v.current_2 * resistance,
        "battery_change": None if v.baseline_battery is None else resistance / v.baseline_battery - 1,
    }


def _amps(v, reading):
    """A clamp's reading with its error."""
    return reading * (1 + v.clamp_accuracy) + v.clamp_offset


def _pieces(v):
    current = _amps(v, _current_of_pieces(v))
    if current <= 0:
        return {}
    name, worst = max(v.pieces, key=lambda piece: piece[1])
    if _open(name, worst):  # what is across it is the battery's voltage, and tells no resistance
        return {"worst_piece": f"{name}, open"}
    digits = v.millivolt_resolution / 2
    across = worst * (1 + v.meter_accuracy) + digits
    total = max(sum(volts for _, volts in v.pieces) * (1 + v.meter_accuracy) + digits * math.sqrt(len(v.pieces)), 0.0)
    resistance = measure.resistance_piece(total, current)
    return {
        "worst_piece": name,
        "worst_resistance": max(measure.resistance_piece(across, current), 0.0),
        "worst_heat": max(measure.heat_piece(across, current), 0.0),
        "pieces_voltage": total,
        "pieces_resistance": resistance,
        "pieces_heat": measure.heat_piece(total, current),
        "cable_change": None if v.baseline_cable is None else resistance / v.baseline_cable - 1,
    }


def _path(v, out):
    """Posts to inverter: two voltages subtracted, so known far less well than millivolts across a piece."""
    drop = max((v.voltage_2 - v.voltage_inverter) * (1 + v.meter_accuracy) + v.meter_resolution * 0.5**0.5, 0.0)
    current = _amps(v, v.current_2)
    accounted = None if not v.pieces else sum(volts for _, volts in v.pieces) * v.current_2 / _current_of_pieces(v)
    found = {"drop_unexplained": None if accounted is None else drop - accounted}
    if current <= 0:
        return found
    resistance = measure.resistance_piece(drop, current)
    change = {} if v.baseline_cable is None else {"cable_change": resistance / v.baseline_cable - 1}
    return found | {"path_resistance": resistance} | change


def _standby(v):
    current = max(measure.current_through_turns(_amps(v, v.standby_reading), v.turns), 0.0)
    power = measure.power_from_clamp(v.voltage_standby * (1 + v.meter_accuracy), current)
    return {"standby_current": current, "standby_power": power, "standby_change": None if v.baseline_standby is None else power / v.baseline_standby - 1}


def _blocks(v):
    return chemistry.blocks(v.voltage_rest if v.voltage_rest is not None else v.voltage_1)


def _charge(v):
    volts, charges = chemistry.rest_curve(v.chemistry)
    reading = v.voltage_rest * (1 + v.meter_accuracy) + v.meter_resolution / 2
    return battery.state_of_charge_at_rest(min(max(reading / _blocks(v), volts[0]), volts[-1]), volts, charges)


def _ranked(v, out):
    """Causes out of order, by the volts each costs above a sound part; standby, which costs none, comes last."""
    found = {}
    if out["state_of_charge"] is not None and out["state_of_charge"] < CHARGE_LOW:
        volts, _ = chemistry.rest_curve(v.chemistry)
        found["empty"] = volts[-1] * _blocks(v) - v.voltage_rest
    stepped = v.voltage_1 is not None and v.current_2 - v.current_1 >= CURRENT_STEP_LEAST
    if stepped and out["battery_resistance"] is not None and out["battery_resistance"] > _battery_limit(v):
        found["battery"] = v.current_2 * (out["battery_resistance"] - _battery_sound(v))
    if suspects := _suspects(v):
        found["joint"] = sum(volts - PIECE_RESISTANCE_GOOD * _current_of_pieces(v) for _, volts, _ in suspects)
    path = out["path_resistance"] if out["path_resistance"] is not None else out["pieces_resistance"]
    if v.baseline_cable is not None and path is not None and path > BASELINE_RATIO * v.baseline_cable:
        rest = (path - v.baseline_cable) * (v.current_2 or _current_of_pieces(v)) - found.get("joint", 0.0)
        if rest > 0:
            found["cable"] = rest
    if (out["drop_unexplained"] or 0.0) > UNMEASURED:
        found["unmeasured"] = out["drop_unexplained"]
    ranked = sorted(found, key=found.get, reverse=True)
    power, limit = out["standby_power"], STANDBY_HIGH if v.baseline_standby is None else BASELINE_RATIO * v.baseline_standby
    return ranked + ["standby"] if power is not None and power > limit else ranked


def _battery_sound(v):
    """Resistance of this battery in good order: its baseline, or that of a new one of its kind and size."""
    if v.baseline_battery is not None:
        return v.baseline_battery
    return chemistry.resistance_new(v.chemistry, v.voltage_1, v.capacity)


def _battery_limit(v):
    return _battery_sound(v) * (WORN_RATIO if v.baseline_battery is None else BASELINE_RATIO)


def _suspects(v):
    """Pieces out of order, worst first: name, volts, and why."""
    current = _current_of_pieces(v)
    found = [(name, volts, _why_suspect(v, name, volts, current)) for name, volts in v.pieces or ()]
    return sorted((one for one in found if one[2]), key=lambda one: -one[1])


def _why_suspect(v, name, volts, current):
    if CABLE_WORDS.search(name):  # copper in length, not a joint: judged with the whole path
        return ""
    heat, resistance = measure.heat_piece(volts, current), measure.resistance_piece(volts, current)
    if _open(name, volts):
        return "it is open"
    if heat > PIECE_HEAT_STOP:
        return f"above {PIECE_HEAT_STOP:.0f}\u00a0W"
    if volts > PIECE_VOLTAGE_SUSPECT:
        return f"above {restate(PIECE_VOLTAGE_SUSPECT, 'mV')}"
    if resistance > PIECE_RESISTANCE_SUSPECT:
        return f"above {restate(PIECE_RESISTANCE_SUSPECT, 'mΩ')}"
    like = [other for called, other in v.pieces if _kind(called) == _kind(name) and other < volts]
    if like and volts > TWIN_RATIO * min(like) and resistance > PIECE_RESISTANCE_GOOD:
        return "more than twice its like"
    return ""


def _open(name, volts):
    """Whether a piece is open: fuse, joint or isolator, but not a length of cable."""
    return volts > VOLTAGE_OPEN and not CABLE_WORDS.search(name)


def _kind(name):
    """The last word of a piece's name: two lugs are alike, whatever side they are on."""
    return name.split()[-1].lower().rstrip("s0123456789")


def _explain(case):
    _work(case)
    _judge(case)
    for cause in _ranked(case.values, vars(case.outputs)):
        _TELL[cause](case)
    _advise(case)


def _size(case, name):
    """How far off an instrument was said to be."""
    return case.inputs.ends.get(name, (0.0, 0.0))[1]


def _work(case):
    v, o = case.values, case.outputs
    if o.battery_resistance is not None:
        readings = {"V_1": (v.voltage_1, "V"), "V_2": (v.voltage_2, "V"), "I_2": (v.current_2, "A"), "I_1": (v.current_1, "A")}
        case.step("R_battery", "battery, from two loads", "(V_1 - V_2)/(I_2 - I_1)", readings, o.battery_resistance, "mΩ", "ohm")
        _work_error(case)
        case.step("V_0", "voltage without load", "V_1 + I_1*R_battery", {"V_1": (v.voltage_1, "V"), "I_1": (v.current_1, "A"), "R_battery": (o.battery_resistance, "mΩ")}, o.voltage_without_load, "V", "ohm")
    for number, (name, volts) in enumerate(v.pieces or (), 1):
        if _open(name, volts):
            continue
        parts = {f"U_{number}": (volts, "mV"), "I": (_current_of_pieces(v), "A")}
        case.step(f"R_{number}", name, f"U_{number}/I", parts, measure.resistance_piece(volts, _current_of_pieces(v)), "mΩ", "ohm")
        case.step(f"P_{number}", f"{name}, heat", f"U_{number}*I", parts, measure.heat_piece(volts, _current_of_pieces(v)), "W", "ohm")
    if o.path_resistance is not None:
        case.step("R_path", "posts to inverter", "(V_2 - V_inv)/I_2", {"V_2": (v.voltage_2, "V"), "V_inv": (v.voltage_inverter, "V"), "I_2": (v.current_2, "A")}, o.path_resistance, "mΩ", "ohm")
    if o.state_of_charge is not None:
        _work_charge(case)
    if o.standby_power is not None:
        case.step("P_0", "standby power", "V_on*I_read/N", {"V_on": (v.voltage_standby, "V"), "I_read": (v.standby_reading, "A"), "N": (v.turns, "")}, o.standby_power, "W", "ohm")


def _work_charge(case):
    v, o = case.values, case.outputs
    volts, charges = chemistry.rest_curve(v.chemistry)
    reading = v.voltage_rest / _blocks(v)
    source = "pybamm" if v.chemistry == chemistry.LITHIUM else "bci"
    case.step("V_12", "rest voltage of one 12 V battery", "V_rest/n", {"V_rest": (v.voltage_rest, "V"), "n": (float(_blocks(v)), "")}, reading, "V", source)
    if not volts[0] < reading < volts[-1]:
        return
    place = bisect_right(volts, reading)
    row = {"V_low": (volts[place - 1], "V"), "V_high": (volts[place], "V"), "s_low": (charges[place - 1], "%"), "s_high": (charges[place], "%"), "V_12": (reading, "V")}
    case.step("s", "charge, between two rows of the table", "s_low + (s_high - s_low)*(V_12 - V_low)/(V_high - V_low)", row, o.state_of_charge, "%", source)


def _work_error(case):
    v = case.values
    gain = math.hypot(_size(case, "meter_accuracy"), _size(case, "clamp_accuracy"))
    step, current = v.voltage_1 - v.voltage_2, v.current_2 - v.current_1
    digit, drift = _size(case, "meter_resolution"), _size(case, "clamp_offset")
    error = measure.error_two_loads(step, current, digit, gain, drift)
    parts = {"d": (digit, "mV"), "V_1": (v.voltage_1, "V"), "V_2": (v.voltage_2, "V"), "g_meter": (_size(case, "meter_accuracy"), "%"), "g_clamp": (_size(case, "clamp_accuracy"), "%"),
             "o": (drift, "A"), "I_2": (v.current_2, "A"), "I_1": (v.current_1, "A")}  # fmt: skip
    case.step("e", "how well that is known, either way", "sqrt((d/(V_1 - V_2))**2/2 + g_meter**2 + g_clamp**2 + (o/(I_2 - I_1))**2)", parts, error, "%", "gum", "5.1.2")
    if error > ERROR_COARSE:
        better = f" A step of {say(measure.current_step_needed(measure.resistance_two_loads(step, current), digit, gain, drift, ERROR_WANTED), 'A', 2)} would know it to 5 %." if gain < ERROR_WANTED else ""
        case.find("step-small", "caution", f"The battery's resistance is known to {say(error, '%', 2)} only: the second load is too small for these instruments.{better}")


def _judge(case):
    v, o = case.values, case.outputs
    ranked = _ranked(v, vars(o))
    said = [_SAY[cause](case) for cause in ranked]
    if not said:
        case.answer = f"Nothing measured here is out of order. {_measured(case)}"
        return
    case.answer = f"First look at {said[0]}." + (f" Then at {said[1]}." if len(said) > 1 else "")


def _measured(case):
    o = case.outputs
    words = []
    if o.battery_resistance is not None:
        words.append(f"the battery has {say(o.battery_resistance, 'mΩ', 2)}")
    if o.worst_resistance is not None:
        words.append(f"the worst piece, {o.worst_piece}, has {say(o.worst_resistance, 'mΩ', 2)}")
    if o.standby_power is not None:
        words.append(f"standby takes {say(o.standby_power, 'W', 2)}")
    if o.state_of_charge is not None:
        words.append(f"it rests at about {say(o.state_of_charge, '%', 2)} of its charge")
    return f"{capitalised(', '.join(words))}." if words else "The readings are too coarse to tell more."


def _say_joint(case):
    name, volts, _ = _suspects(case.values)[0]
    current = _current_of_pieces(case.values)
    if volts > VOLTAGE_OPEN:
        return f"the {name}: {say(volts, 'V')} across it means it is open"
    return f"the {name}: {say(volts, 'mV', 2)} at {restate(current, 'A')} is {say(measure.resistance_piece(volts, current), 'mΩ', 2)} and {say(measure.heat_piece(volts, current), 'W', 2)}"


def _say_battery(case):
    return f"the battery itself: {say(case.outputs.battery_resistance, 'mΩ', 2)}, where {say(_battery_sound(case.values), 'mΩ', 2)} is sound"


_SAY = {
    "empty": lambda case: f"the charge: {restate(case.values.voltage_rest, 'V')} at rest is about {say(case.outputs.state_of_charge, '%', 1)}",
    "battery": _say_battery,
    "joint": _say_joint,
    "cable": lambda case: f"the cables and joints: {say(_path_resistance(case), 'mΩ', 2)}, where the card has {restate(case.values.baseline_cable, 'mΩ')}",
    "unmeasured": lambda case: f"a piece not measured yet: {say(case.outputs.drop_unexplained, 'V', 2)} of the drop lies in none of those listed",
    "standby": lambda case: f"standby: {say(case.outputs.standby_power, 'W', 2)}",
}


def _path_resistance(case):
    o = case.outputs
    return o.path_resistance if o.path_resistance is not None else o.pieces_resistance


def _tell_empty(case):
    v = case.values
    volts, _ = chemistry.rest_curve(v.chemistry)
    first = "Settle that" if _below_limit(v) else "Charge it"
    case.find("cause-empty", "caution", f"Evidence for an empty battery: it rests {say(volts[-1] * _blocks(v) - v.voltage_rest, 'V', 2)} below full. {first} before you blame anything else.")


def _tell_battery(case):
    v, o = case.values, case.outputs
    against = "its baseline card" if v.baseline_battery is not None else "a new one of its kind and size"
    case.find(
        "cause-battery", "caution",
        f"Evidence for the battery: {say(o.battery_resistance / _battery_sound(v), '', 2)} times {against}, {say(o.drop_battery, 'V', 2)} lost inside it at {restate(v.current_2, 'A')}. "
        "Age, cold, a low charge or one bad battery of several: clamp each one under load.",
    )  # fmt: skip


def _tell_joint(case):
    v, current = case.values, _current_of_pieces(case.values)
    listed = "; ".join(
        f"{name} {say(volts, 'V')}, {why}" if volts > VOLTAGE_OPEN
        else f"{name} {say(volts, 'mV', 2) if volts < 1 else say(volts, 'V')}, {why}, {say(measure.resistance_piece(volts, current), 'mΩ', 2)}, {say(measure.heat_piece(volts, current), 'W', 2)}"
        for name, volts, why in _suspects(v)
    )
    blown = " An open fuse is replaced by the same rating, after the cause is found." if any(volts > VOLTAGE_OPEN for _, volts, _ in _suspects(v)) else ""
    case.find("cause-joint", "caution", f"Evidence for a poor joint: {listed}. Switch off, isolate, let it cool, clean and remake it. Do not tighten anything with the load on.{blown}")


def _tell_cable(case):
    v, found = case.values, _path_resistance(case)
    case.find("cause-cable", "caution", f"Evidence for the path: {say(found / v.baseline_cable, '', 2)} times its baseline card. Measure piece by piece, on millivolts, until the step is found.")


def _tell_unmeasured(case):
    case.find("cause-unmeasured", "caution", f"Evidence for a piece not measured: posts to inverter lose {say(case.outputs.drop_unexplained, 'V', 2)} more than the pieces listed. Go along the path on millivolts, the negative side and the cable's length too.")


def _tell_standby(case):
    v = case.values
    against = f"the card has {restate(v.baseline_standby, 'W')}" if v.baseline_standby is not None else f"{restate(STANDBY_HIGH, 'W')} is high for the usual sizes"
    case.find("cause-standby", "caution", f"Evidence for standby: {say(case.outputs.standby_power, 'W', 2)}, and {against}. It empties a battery overnight; it does not explain a drop-out under load.")


_TELL = {"empty": _tell_empty, "battery": _tell_battery, "joint": _tell_joint, "cable": _tell_cable, "unmeasured": _tell_unmeasured, "standby": _tell_standby}


def _advise(case):
    v, o = case.values, case.outputs
    _stop(case)
    if v.standby_reading is not None and _size(case, "clamp_offset") / v.turns > 0.3 * v.standby_reading / v.turns:
        case.find("clamp-offset", "caution", "The clamp's offset is a large part of this standby reading. Wind the cable through it five or ten times and divide, or read a shunt.")
    if v.voltage_rest is not None and v.chemistry == chemistry.LITHIUM:
        case.find("rest-voltage-flat", "note", "A lithium iron phosphate battery's rest voltage is nearly flat: what it says of the charge is a shape, not a reading.")
    if o.path_resistance is not None:
        case.find("two-voltages", "note", "Posts to inverter is the difference of two voltages, known far less well than millivolts across each piece.")
    if missing := _missing(v):
        case.find("not-explained", "note", f"These readings do not explain everything. {' '.join(missing)}")
    if v.voltage_1 is not None:
        case.find("not-for-faults", "note", "A resistance read over half a minute is too high for a fault current: do not choose a fuse's breaking capacity by it.")
    case.find("meter-limits", "caution", "Low-voltage side only: never meter fixed 120 or 230 V wiring, never open an inverter, never bridge a fuse. No rings, insulated tools, and no multimeter's 10 A range in series with an inverter.")


def _stop(case):
    v = case.values
    current = _current_of_pieces(v)
    hot = [name for name, volts in v.pieces or () if not CABLE_WORDS.search(name) and measure.heat_piece(volts, current) > PIECE_HEAT_STOP]
    if hot:
        case.find("piece-hot", "stop", f"More than {PIECE_HEAT_STOP:.0f} W in one piece ({', '.join(hot)}): it can char and burn. Switch off at the appliance, isolate, let it cool, and remake it before any more load.")
    if v.voltage_rest is not None and _below_limit(v):
        case.find("below-limit", "stop", f"It rests below {restate(chemistry.facts(v.chemistry).voltage_discharge_min, 'V')} a cell. Do not charge or use it before its maker or a specialist has said how. A lithium battery taken this low can burn when charged; a lead one may be frozen or have a dead cell.")


def _below_limit(v):
    """Whether it rests lower than this kind of battery may ever be taken."""
    return v.voltage_rest < chemistry.facts(v.chemistry).voltage_discharge_min * chemistry.cells(v.chemistry, v.voltage_rest)


def _missing(v):
    """What the readings leave open, and what to read for it, as sentences."""
    open_questions = []
    if v.voltage_1 is None:
        open_questions.append("For the battery's resistance, read two loads.")
    if v.pieces is None:
        open_questions.append("For joints, fuse and isolator, read millivolts across each.")
    if v.voltage_inverter is None:
        open_questions.append("For what is lost between the pieces, read the volts at the inverter under the same load.")
    if v.voltage_rest is None:
        open_questions.append("For the charge, read a rest voltage.")
    return open_questions


def _draw(case):
    v, o = case.values, case.outputs
    figures = []
    if o.voltage_without_load is not None:
        figures.append(_draw_loads(v, o))
    if v.pieces:
        figures.append(_draw_pieces(v))
    if v.voltage_rest is not None:
        figures.append(_draw_rest(v, o))
    if not figures:
        figures.append(_draw_standby(v, o))
    return figures


def _draw_loads(v, o):
    points = ((0.0, o.voltage_without_load), (v.current_1, v.voltage_1), (v.current_2, v.voltage_2))
    depth = o.voltage_without_load - v.voltage_2
    return Figure(
        "Two loads, one straight line", "Volts at the posts over amps; the slope is the battery's resistance.",
        Axis("current", "A", 0, 1.15 * v.current_2), Axis("voltage", "V", v.voltage_2 - 0.4 * depth, o.voltage_without_load + 0.2 * depth),
        (Series("at the posts", points[0 if v.current_1 else 1 :], markers=True),), (), (Mark(say(o.battery_resistance, "mΩ"), v.current_2, v.voltage_2),),
    )  # fmt: skip


def _draw_pieces(v):
    bars = tuple((float(place), volts * 1e3) for place, (_, volts) in enumerate(v.pieces, 1))
    short = len(v.pieces) <= 4 and all(len(name) <= 12 for name, _ in v.pieces)
    ticks = tuple((float(place), name if short else str(place)) for place, (name, _) in enumerate(v.pieces, 1))
    listed = ", ".join(f"{place} {name}" for place, (name, _) in enumerate(v.pieces, 1))
    suspect = PIECE_VOLTAGE_SUSPECT * 1e3
    return Figure(
        "Millivolts across each piece", f"At {restate(_current_of_pieces(v), 'A')}: {listed}.",
        Axis("" if short else "piece", "in the order entered", 0.4, len(bars) + 0.6, ticks), Axis("voltage", "mV", 0, 1.2 * max(suspect, *(volts for _, volts in bars))),
        (Series("across it", bars, bars=True),), (Level(f"suspect {restate(PIECE_VOLTAGE_SUSPECT, 'mV')}", suspect),),
    )  # fmt: skip


def _draw_rest(v, o):
    volts, charges = chemistry.rest_curve(v.chemistry)
    points = tuple((charge * 100, one * _blocks(v)) for one, charge in zip(volts, charges))
    low, high = min(points[0][1], v.voltage_rest), max(points[-1][1], v.voltage_rest)
    return Figure(
        "Rest voltage and charge", "Rest voltage of this kind of battery over its state of charge, with the reading.",
        Axis("state of charge", "%", 0, 100), Axis("voltage", "V", low - 0.1 * (high - low), high + 0.1 * (high - low)),
        (Series("at rest", points),), (), (Mark(restate(v.voltage_rest, "V"), o.state_of_charge * 100, v.voltage_rest),),
    )  # fmt: skip


def _draw_standby(v, o):
    bars = [(0.0, o.standby_power)] + ([(1.0, v.baseline_standby)] if v.baseline_standby is not None else [])
    return Figure(
        "Standby", "Standby power as measured, beside the baseline card's where there is one.",
        Axis("", "", -0.5, 1.5, ((0.0, "now"), (1.0, "card"))), Axis("power", "W", 0, 1.3 * max(STANDBY_HIGH, *(watts for _, watts in bars))),
        (Series("standby", tuple(bars), bars=True),), (Level(f"high {restate(STANDBY_HIGH, 'W')}", STANDBY_HIGH),),
    )  # fmt: skip


CALCULATOR = Calculator(
    id="measure",
    title="What is wrong with it?",
    question="Which part of the battery side is at fault, by what a meter and a clamp show?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
)
