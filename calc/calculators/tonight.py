"""tonight: can I run this for so long tonight?

The energy is judged by the low end of what may be left, after tomorrow's must-haves and the
inverter's standby; the current by the voltage at the inverter and the battery's limit, for
the most that is on at one time: loads that run in turn are never added up. Where it fails, things go off one after the other until it holds, or nothing is left to go off.
"""

import re
from dataclasses import replace
from functools import cache
from typing import NamedTuple

from calc.calculators import appliances, chemistry, lists, losses
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Choice, Field, Unknown
from calc.errors import FieldProblem
from calc.physics import battery, circuit, inverter, use
from calc.result import Axis, Figure, Level, Series
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

MARGIN = 0.3  # V above the cut-out, for each 12 V; common practice
CUT_OUT = 10.5  # V for each 12 V; common practice
DOUBT = 0.10  # of a state of charge read from a counter; common practice
ABOVE_TABLE = 0.5  # V for each 12 V: so far above a full battery's rest voltage only a charger takes it
INVERTER = "the inverter when nothing on it is left to do"

# What goes off first, and what never goes off. Words of a load's name, in this order.
NEVER = r"alarm|monoxide|\bco\b|cpap|breath|oxygen|nebuli|medic|insulin|phone|radio|router|modem|satellite|communic|beacon"
ORDER = (
    ("heating", r"heat|kettle|toast|oven|microwave|grill|fry|hob|hotplate|cook|coffee|espresso|iron|dryer|boiler|blanket|kitchen|straighten|curl"),
    ("inverter", r"^the inverter"),
    ("cold", r"freez|fridge|cool|\bice\b|air.?con|\bac\b"),
    ("screens", r"tv|tele|screen|monitor|projector|console|computer|laptop|tablet|stereo|disc"),
    ("pumps", r"pump"),
)

FIELDS = (
    Field("power", "What you want to run", "W", default="800 W", minimum="1 W", maximum="20 kW",
          tolerance="5 %", basis="common practice: type plates are good to about 5 %", hint="What it takes from the socket; for a microwave the input."),
    Field("minutes", "For how many minutes", "min", default="15 min", minimum="0.1 min", maximum="1440 min",
          tolerance="10 %", basis="common practice"),
    Field("state_of_charge", "State of charge now", "%", default="80 %", minimum="0 %", maximum="100 %", hint="From a counting monitor.",
          unknown=Unknown("50 %", "20 %", "80 %", "common practice: measure the rest voltage instead")),
    Field("voltage_rest", "Or rest voltage", "V", minimum="6 V", maximum="62 V",
          hint="Nothing running, no charger, for an hour or more. In place of the state of charge."),
    replace(chemistry.CHEMISTRY, example=chemistry.LITHIUM),
    Field("capacity", "Battery capacity", "Ah", default="100 Ah", minimum="1 Ah", maximum="5000 Ah", hint="Rated, at the voltage below.",
          unknown=Unknown("100 Ah", "80 Ah", "120 Ah", "common practice: one battery")),
    Field("must_haves", "Must-haves until it is charged again", "Wh", default="100 Wh", minimum="0 Wh", maximum="100 kWh",
          tolerance="15 %", basis="common practice: habits differ from day to day", hint="Fridge, pump, lights, telephone, medical: from the battery.",
          unknown=Unknown("300 Wh", "100 Wh", "600 Wh", "common practice: lights, a pump and a fridge for a night")),
    Field("hours_on", "Hours the inverter stays on until then", "h", default="2 h", minimum="0 h", maximum="72 h", hint="Its standby comes on top.",
          unknown=Unknown("10 h", "2 h", "14 h", "common practice: an evening to a night")),
    lists.Uses("sheddable", "What else is planned, and could go off", "", example="tv 60 W 3 h, heater 500 W 30 min", hint="Name, power, time, for example tv 60 W 3 h, heater 500 W 30 min. Taken as on together with the wish; write in turn behind one that waits for it, and or between two that never run together."),
    Field("power_other", "Must-haves on the inverter at that moment", "W", default="0 W", minimum="0 W", maximum="20 kW", more=True),
    Choice("inverter_needed", "The must-haves need the inverter on", {"yes": "yes", "no": "no, they run on DC"}, default="yes", more=True),
    Field("state_of_charge_doubt", "How far below that it may be", "%", minimum="0 %", maximum="60 %",
          hint="Left blank: 10 points for a counter, and for a rest voltage what its table leaves open.", more=True),
    Field("voltage_nominal", "Nominal voltage", "V", default="12 V", minimum="6 V", maximum="60 V", more=True),
    replace(chemistry.DEPTH_LIMIT, more=True),
    Field("health", "Capacity left of the rated one", "%", default="unknown", minimum="20 %", maximum="110 %",
          unknown=Unknown("90 %", "70 %", "100 %", "common practice: from new to due for replacement"), more=True),
    chemistry.RESISTANCE,
    chemistry.RESISTANCE_RISE,
    Field("path_resistance", "Cable, joints and fuse, both ways", "mΩ", default="unknown", minimum="0 mΩ", maximum="1000 mΩ",
          unknown=Unknown("3.5 mΩ", "1.5 mΩ", "8 mΩ", "common practice: 2 m of cable, good to poor joints"), more=True),
    Field("cut_out", "Inverter's low-voltage cut-out", "V", minimum="5 V", maximum="60 V", hint="Left blank: 10.5 V for each 12 V.", more=True),
    Field("battery_current_limit", "Current limit of the battery", "A", minimum="1 A", maximum="3000 A",
          hint="On a protected battery's label, continuous. Left blank: usual for its kind.", more=True),
    losses.POWER_FACTOR,
    replace(losses.RATING, more=True),
    *losses.FIELDS[1:],
    appliances.MEDICAL,
)  # fmt: skip

VERDICTS = {
    "yes": "yes",
    "yes-if": "yes, if something goes off",
    "no-energy": "no, because of energy",
    "no-current": "no, because of current",
    "no-both": "no, because of energy and of current",
    "not-alone": "not with somebody's health on this supply alone",
}

ANSWERS = (
    Answer("verdict", "Verdict", choices=VERDICTS, main=True),
    Answer("energy_left_low", "Left in the battery, the low figure", "Wh", main=True),
    Answer("energy_wish", "What the wish takes", "Wh", main=True),
    Answer("energy_spare", "To spare after all that is planned", "Wh", main=True, signed=True),
    Answer("current_dc", "Battery current, with the most that is on together", "A", main=True),
    Answer("voltage_inverter", "Voltage at the inverter then", "V", main=True),
    Answer("shed", "What has to go off, in order"),
    Answer("energy_spare_all_off", "To spare with all off that may go off", "Wh", signed=True),
    Answer("minutes_possible", "How long the wish could run, all else off", "min"),
    Answer("power_possible", "Largest wish the current allows, all else off", "W", most=lambda v: v.rating * v.power_factor),
    Answer("energy_left", "Left in the battery, likely", "Wh"),
    Answer("energy_planned", "All that is planned, the wish included", "Wh"),
    Answer("current_limit", "Limit of the battery's current", "A"),
    Answer("voltage_needed", "Voltage the inverter should keep", "V"),
    Answer("state_of_charge_likely", "State of charge, likely", "%", least=lambda v: 0.0, most=lambda v: 1.0),
    Answer("state_of_charge_low", "State of charge, the low figure", "%", least=lambda v: 0.0, most=lambda v: 1.0),
    Answer("voltage_open_circuit", "Rest voltage behind it", "V"),
)


def _blocks(v):
    return chemistry.blocks(v.voltage_nominal)


def _voltage(v):
    return chemistry.cells(v.chemistry, v.voltage_nominal) * chemistry.facts(v.chemistry).voltage_cell


def _cut_out(v):
    return v.cut_out if v.cut_out is not None else CUT_OUT * _blocks(v)


def _check(v):
    losses.check(v)
    if v.power / v.power_factor > v.rating * (1 + 1e-9):
        raise FieldProblem("power", f"{say(v.power / v.power_factor, 'VA')} is above the inverter's {restate(v.rating, 'VA')}: no state of the battery helps; enter less, or a larger rating")
    if v.voltage_rest is not None:
        full = chemistry.rest_curve(v.chemistry)[0][-1] * _blocks(v)
        if v.voltage_rest > full + ABOVE_TABLE * _blocks(v):
            raise FieldProblem("voltage_rest", f"{restate(v.voltage_rest, 'V')} is no rest voltage of such a battery: take the charger off, wait, and read again, or check the nominal voltage")
        if v.voltage_rest < 0.6 * _voltage(v):
            raise FieldProblem("voltage_rest", f"{restate(v.voltage_rest, 'V')} does not belong to a battery of {restate(v.voltage_nominal, 'V')}: correct one of the two")
        if _cut_out(v) >= v.voltage_rest:
            raise FieldProblem("cut_out", f"{restate(_cut_out(v), 'V')} is not below the rest voltage: the inverter would not start")
    if _cut_out(v) > 1.05 * _voltage(v):
        raise FieldProblem("cut_out", f"{restate(_cut_out(v), 'V')} is above a battery of {restate(v.voltage_nominal, 'V')}: correct one of the two")
    for load in v.sheddable or ():
        if re.search(NEVER, load.name, re.IGNORECASE):
            raise FieldProblem("sheddable", f'"{load.name}" must not go off: alarms, communications and medical things belong under must-haves')


def _state(v, voltage):
    """State of charge behind a 12 V battery's rest voltage; beyond the table it is full or empty."""
    voltages, states = chemistry.rest_curve(v.chemistry)
    return battery.state_of_charge_at_rest(min(max(voltage, voltages[0]), voltages[-1]), voltages, states)


def _charge(v):
    """State of charge, how far below that it may be, and the rest voltage at that low figure."""
    if v.voltage_rest is None:
        likely = v.state_of_charge
        low = max(likely - DOUBT, 0.0)
    else:
        likely = _state(v, v.voltage_rest / _blocks(v))
        low = _state(v, v.voltage_rest / _blocks(v) - chemistry.facts(v.chemistry).rest_voltage_spread)
    if v.state_of_charge_doubt is not None:
        low = max(likely - v.state_of_charge_doubt, 0.0)
    rest = v.voltage_rest if v.voltage_rest is not None else battery.voltage_at_rest(low, *chemistry.rest_curve(v.chemistry)) * _blocks(v)
    return likely, likely - low, rest


def _added(v, power_ac, power_factor, time):
    """Energy a load adds while the inverter's standby is counted apart."""
    return use.energy_beside_others(losses.power_dc(v, power_ac, power_factor), v.standby_power, time)


@cache
def _class(name):
    """Place in the order of going off; what is not known goes after the screens."""
    for place, (_, pattern) in enumerate(ORDER):
        if re.search(pattern, name, re.IGNORECASE):
            return place
    return len(ORDER) - 1.5


class _Load(NamedTuple):
    """A load that could go off, with the energy it adds."""

    name: str
    power: float
    time: float
    turn: str
    energy: float


def _plan(v):
    """Loads that could go off, in the order in which they go."""
    items = [_Load(*load, _added(v, load.power, 1.0, load.time)) for load in v.sheddable or ()]
    if v.inverter_needed == "no" and v.hours_on > v.minutes and v.standby_power:
        items.append(_Load(INVERTER, 0.0, 0.0, "", 0.0))
    return sorted(items, key=lambda load: (_class(load.name), -load.energy))


def _wish(v):
    return _added(v, v.power, v.power_factor, v.minutes)


def _hours(v, kept):
    """How long the inverter is on with these loads kept; without INVERTER among them it goes off in between."""
    turns = {lists.WISH: v.minutes}
    for place, load in enumerate(kept):
        turn = load.turn or place  # one that waits for no other has a turn of its own
        turns[turn] = turns.get(turn, 0.0) + load.time
    longest = max(turns.values())
    left_on = v.inverter_needed == "yes" or any(load.name == INVERTER for load in kept)
    return max(v.hours_on, longest) if left_on else longest


def _energy(v, kept, wish):
    """All that is planned with these loads kept."""
    return v.must_haves + v.standby_power * _hours(v, kept) + wish + sum(load.energy for load in kept)


class _Moment(NamedTuple):
    """What is on at one time, whose turn it is, and what that does to battery and inverter."""

    beside: float  # W, everything but the one whose turn it is
    power: float  # W, of that one
    power_factor: float
    drawing: tuple  # loads that could go off
    power_dc: float
    current: float | None
    voltage: float | None
    holds: bool


def _moment(v, kept, rest, resistance):
    """The time at which most is asked of the battery, with these loads kept."""
    largest = {}
    for place, load in enumerate(kept):
        turn = load.turn or place
        if turn != lists.WISH and load.power > (largest[turn].power if turn in largest else 0.0):
            largest[turn] = load
    beside = tuple(largest.values())
    turns = [_at(v, beside, v.power, v.power_factor, (), rest, resistance)]
    turns += [_at(v, beside, load.power, 1.0, (load,), rest, resistance) for load in kept if load.turn == lists.WISH]
    return max(turns, key=lambda moment: (not moment.holds, moment.power_dc))


def _at(v, beside, power, power_factor, own, rest, resistance):
    others = v.power_other + sum(load.power for load in beside)
    apparent = power / power_factor + others
    power_dc = losses.power_dc(v, power + others, (power + others) / apparent)
    drawing = (*beside, *own)
    try:
        current = circuit.current_constant_power(power_dc, rest, resistance, 0.0)
    except ValueError:
        return _Moment(others, power, power_factor, drawing, power_dc, None, None, False)
    voltage = circuit.voltage_mean(rest, resistance, current)
    holds = voltage >= _needed(v) and current <= _limit(v) and apparent <= v.rating * (1 + 1e-9)
    return _Moment(others, power, power_factor, drawing, power_dc, current, voltage, holds)


def _needed(v):
    return _cut_out(v) + MARGIN * _blocks(v)


def _limit(v):
    if v.battery_current_limit is not None:
        return v.battery_current_limit
    return chemistry.facts(v.chemistry).discharge_rate_max * v.capacity


def _resistance(v):
    return chemistry.resistance(v, v.voltage_nominal, v.capacity) + v.path_resistance


def _shed(v, plan, wish, left, rest):
    """Switch off one thing after the other until energy and current hold: what stays, what went, whether they hold."""
    kept, off, resistance = plan, [], _resistance(v)
    while True:
        enough = _energy(v, kept, wish) <= left
        moment = _moment(v, kept, rest, resistance)
        # Where the energy suffices, only what draws current at that moment is any help.
        going = None if enough and moment.holds else next((load for load in kept if load in moment.drawing or not enough), None)
        if going is None:
            return kept, off, enough, moment
        off.append(going)
        kept = [load for load in kept if load is not going]


def _power_possible(v, rest):
    """The largest wish that battery and path carry with everything else that may go off switched off."""
    resistance = _resistance(v)
    current = min(_limit(v), max(circuit.current_at_voltage(rest, _needed(v), resistance, 0.0), 0.0)) if resistance else _limit(v)
    a, b = losses.terms(v)
    power_dc = circuit.power_at_current(rest, resistance, current, 0.0)
    if power_dc <= v.standby_power:
        return 0.0
    power = inverter.power_ac_from_dc(power_dc, v.power_factor, v.rating, v.standby_power, a, b)
    return max(min(power, v.rating * v.power_factor) - v.power_other, 0.0)


def _evaluate(v):
    likely, doubt, rest = _charge(v)
    floor, nominal = 1.0 - v.depth_limit, _voltage(v)
    left = use.energy_left(v.capacity, nominal, v.health, likely, doubt, floor)
    plan, wish = _plan(v), _wish(v)
    planned, least = _energy(v, plan, wish), _energy(v, [], wish)
    _, off, enough, moment = _shed(v, plan, wish, left, rest)
    refused = "no-both" if not enough and not moment.holds else "no-current" if enough else "no-energy"
    granted = "not-alone" if v.medical == "no-fallback" else "yes-if" if off else "yes"
    return {
        "verdict": granted if enough and moment.holds else refused,
        "energy_left_low": left,
        "energy_wish": wish,
        "energy_spare": left - planned,
        "current_dc": moment.current,
        "voltage_inverter": moment.voltage,
        "shed": ", ".join(load.name for load in off) if off else None,
        "energy_spare_all_off": left - least,
        "minutes_possible": max(left - least + wish, 0.0) / wish * v.minutes,
        "power_possible": _power_possible(v, rest),
        "energy_left": use.energy_left(v.capacity, nominal, v.health, likely, 0.0, floor),
        "energy_planned": planned,
        "current_limit": _limit(v),
        "voltage_needed": _needed(v),
        "state_of_charge_likely": likely,
        "state_of_charge_low": likely - doubt,
        "voltage_open_circuit": rest,
    }


def _explain(case):
    _work(case)
    v, o = case.values, case.outputs
    wish = f"{restate(v.power, 'W')} for {restate(v.minutes, 'min')}"
    case.answer = {
        "yes": f"Yes: {wish} takes {say(o.energy_wish, 'Wh', 2)}, and {say(o.energy_spare, 'Wh', 2)} is left over even at the low figure.",
        "yes-if": f"Yes, {wish}, if these go off or stay off: {o.shed}.",
        "no-energy": f"No, because of energy: all that is planned takes {say(o.energy_planned, 'Wh', 2)}, and the battery may have only {say(o.energy_left_low, 'Wh', 2)} to give. {_most(v, o)}",
        "no-current": f"No, because of current: {_against(o)}. The energy alone would do.",
        "no-both": f"No, because of energy and of current: {say(o.energy_planned, 'Wh', 2)} is planned against {say(o.energy_left_low, 'Wh', 2)}, and {_against(o)}.",
        "not-alone": f"Not on this supply alone: somebody's health hangs on it. Arrange a fallback first; by energy and current {wish} would do{f', with these off: {o.shed}' if o.shed else ''}.",
    }[o.verdict]
    if "current" in o.verdict and o.power_possible > 0:
        case.answer += f" It carries about {say(o.power_possible, 'W', 2)}."
    _stop(case)
    _warn(case)
    _note(case)


def _most(v, o):
    if o.minutes_possible < 60.0:
        return "Nothing is left for the wish."
    lead = "With all else off, about" if v.sheddable else "About"
    return f"{lead} {say(o.minutes_possible, 'min', 2)} of it would do."


def _against(o):
    """What the current fails at."""
    if o.current_dc is None:
        return "battery and cable cannot deliver it at any voltage"
    if o.current_dc > o.current_limit:
        return f"{say(o.current_dc, 'A', 2)} is above the battery's {say(o.current_limit, 'A', 2)}"
    if o.voltage_inverter < o.voltage_needed:
        return f"the inverter would see {say(o.voltage_inverter, 'V')}, below the {say(o.voltage_needed, 'V')} it should keep"
    return "it is more than the inverter's rating together with the must-haves"


def _work(case):
    v, o = case.values, case.outputs
    likely, doubt, rest = _charge(v)
    if o.energy_left_low > 0:
        case.step("E_low", "left, the low figure", "C*V_n*h*(z - z_doubt - z_floor)",
                  {"C": (v.capacity, "Ah"), "V_n": (_voltage(v), "V"), "h": (v.health, "%"), "z": (likely, "%"), "z_doubt": (doubt, "%"), "z_floor": (1.0 - v.depth_limit, "%")},
                  o.energy_left_low, "Wh", "arithmetic")  # fmt: skip
    losses.explain(case)
    losses.explain_power_dc(case, v.power, v.power_factor, losses.power_dc(v, v.power, v.power_factor))
    standby = {"P_0": (v.standby_power, "W")}
    drawn = {"P_dc": (losses.power_dc(v, v.power, v.power_factor), "W")}
    case.step("E_wish", "what the wish takes", "(P_dc - P_0)*t", {**drawn, **standby, "t": (v.minutes, "min")}, o.energy_wish, "Wh", "arithmetic")
    plan = _plan(v)
    others = sum(load.energy for load in plan)
    on = _hours(v, plan)
    case.step("E_all", "all that is planned", "E_must + P_0*t_on + E_wish + E_others",
              {"E_must": (v.must_haves, "Wh"), **standby, "t_on": (on, "h"), "E_wish": (o.energy_wish, "Wh"), "E_others": (others, "Wh")}, o.energy_planned, "Wh", "arithmetic")  # fmt: skip
    case.step("E_spare", "to spare", "E_low - E_all", {"E_low": (o.energy_left_low, "Wh"), "E_all": (o.energy_planned, "Wh")}, o.energy_spare, "Wh", "arithmetic")
    _work_current(case, rest)


def _work_current(case, rest):
    v, o = case.values, case.outputs
    _, _, _, moment = _shed(v, _plan(v), o.energy_wish, o.energy_left_low, rest)
    chemistry.explain_resistance(case, v.voltage_nominal, v.capacity, chemistry.resistance(v, v.voltage_nominal, v.capacity))
    a, b = losses.terms(v)
    together = {"P_together": (moment.power_dc, "W")}
    case.step("P_together", "from the battery, with the most that is on together", "P_0 + a*(P + P_beside) + b*(P/PF + P_beside)**2/S_r",
              {"P_0": (v.standby_power, "W"), "a": (a, ""), "P": (moment.power, "W"), "P_beside": (moment.beside, "W"), "b": (b, ""), "PF": (moment.power_factor, ""), "S_r": (v.rating, "VA")},
              moment.power_dc, "W", "loss-model")  # fmt: skip
    path = {"R_b": (chemistry.resistance(v, v.voltage_nominal, v.capacity), "mΩ"), "R_path": (v.path_resistance, "mΩ")}
    case.step("R", "battery and path", "R_b + R_path", path, _resistance(v), "mΩ", "ohm")
    if moment.current is None:
        return
    loop = {"V_oc": (rest, "V"), "R": (_resistance(v), "mΩ")}
    case.step("I", "battery current", "2*P_together/(V_oc + sqrt(V_oc**2 - 4*R*P_together))", {**together, **loop}, moment.current, "A", "ohm")
    case.step("V", "voltage at the inverter", "V_oc - I*R", {**loop, "I": (moment.current, "A")}, moment.voltage, "V", "ohm")


def _stop(case):
    v, o = case.values, case.outputs
    appliances.find_medical(case)
    if o.current_dc is None:
        case.find("no-operating-point", "stop", "Battery, cable and joints cannot pass that power on at any voltage. Do not try it.")
        return
    if o.current_dc > o.current_limit:
        whose = "its protection opens and everything goes dark" if v.battery_current_limit is not None else "that is the usual limit of its kind; ask for its own"
        case.find("battery-limit", "stop", f"{say(o.current_dc, 'A', 2)} is above the battery's {say(o.current_limit, 'A', 2)}: {whose}.")
    if o.voltage_inverter < _cut_out(v):
        case.find("below-cut-out", "stop", f"The inverter would see {say(o.voltage_inverter, 'V')}, below its {restate(_cut_out(v), 'V')} cut-out: it switches off under this load.")
    elif o.voltage_inverter < o.voltage_needed:
        case.find("close-to-cut-out", "caution", f"The inverter would see {say(o.voltage_inverter, 'V')}, within {restate(MARGIN * _blocks(v), 'V')} of its cut-out: too close for a battery that empties meanwhile.")


def _warn(case):
    v, o = case.values, case.outputs
    if o.energy_left_low == 0:
        case.find("nothing-to-give", "caution", f"At the low figure of {say(o.state_of_charge_low, '%', 2)} the battery has nothing to give above your floor: charge it first.")
    elif not o.verdict.startswith("no-"):
        too_much = case.low("voltage_inverter") is None or case.low("voltage_inverter") < o.voltage_needed or case.high("current_dc") > o.current_limit
        if too_much or case.unfavourable("energy_spare").verdict.startswith("no-"):
            case.find("may-fail", "caution", "With everything uncertain at its bad end the answer is no: watch the voltage, and stop early.")
    if v.voltage_rest is not None and v.chemistry == chemistry.LITHIUM:
        case.find("rest-voltage-flat", "caution", "The rest voltage of lithium iron phosphate says little between full and nearly empty: a counter knows better.")
    if v.chemistry in chemistry.LEAD and o.current_dc and o.current_dc > chemistry.facts(v.chemistry).discharge_rate * v.capacity:
        case.find("lead-rate", "caution", "At so large a current a lead-acid battery gives less than this counts with, until it has rested.")


def _note(case):
    v, o = case.values, case.outputs
    case.find("low-figure", "note", f"This is judged by the low figure, a state of charge of {say(o.state_of_charge_low, '%', 2)}, not by the likely {say(o.state_of_charge_likely, '%', 2)}. The must-haves come first.")
    plan = _plan(v)
    if plan:
        total, words = 0.0, []
        for place in range(1, len(plan) + 1):
            saved = _energy(v, plan[place - 1 :], o.energy_wish) - _energy(v, plan[place:], o.energy_wish)
            total += saved
            words.append(f"{plan[place - 1].name}, {say(saved, 'Wh', 2)}")
        together = f" Together they save {say(total, 'Wh', 2)}." if len(words) > 1 else ""
        case.find("shed-order", "note", f"They go off in this order, with what each saves: {'; '.join(words)}.{together}")
    case.find("never-shed", "note", "Never switch off a carbon monoxide alarm, anything medical, or the means to call for help.")


def _draw(case):
    v, o = case.values, case.outputs
    others = sum(load.energy for load in _plan(v))
    parts = (("must", v.must_haves), ("idle", o.energy_planned - v.must_haves - o.energy_wish - others), ("others", others), ("wish", o.energy_wish))
    total, bars, ticks = 0.0, [], []
    for place, (name, energy) in enumerate(parts, 1):
        total += energy / 3600.0
        bars.append((place, total))
        ticks.append((place, name))
    low = o.energy_left_low / 3600.0
    return [Figure(
        "What is planned, added up, against what is left",
        "Running total of must-haves, the inverter's standby, what else is planned and the wish, against the low figure of what the battery has to give.",
        Axis("", "", 0.3, 4.7, tuple(ticks)), Axis("energy", "Wh", 0, 1.2 * max(total, low) or 1.0),
        (Series("running total", tuple(bars), bars=True),), (Level(f"left, at least {say(o.energy_left_low, 'Wh', 2)}", low),),
    )]  # fmt: skip


CALCULATOR = Calculator(
    id="tonight",
    title="Can I run this for so long tonight?",
    question="Does the battery hold what I want to run tonight, after tomorrow's must-haves, and does it stand the current?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
    alternatives=((("state_of_charge",), ("voltage_rest",)),),
)
