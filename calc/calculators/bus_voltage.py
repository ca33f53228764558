"""bus-voltage: 12, 24 or 48 volts?

The same load, the same run of cable and the same batteries, three ways: what flows, which
cable and fuse it takes, what is lost, and how much the inverter can give before it cuts
out. Then what the higher voltage costs where 12 V things are in place already.
"""

from bisect import bisect_left
from dataclasses import replace
from functools import lru_cache
from types import SimpleNamespace

from calc.calculators import ac_power, ampacity, cable, chemistry, losses, regions
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Field, Unknown
from calc.calculators.fuse import next_rating
from calc.errors import FieldProblem
from calc.physics import circuit, conductor, fuse, inverter
from calc.result import Axis, Figure, Level, Series
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

VOLTAGES = (12, 24, 48)
CURRENT_TO_QUESTION = 200.0  # A continuous: above it the next voltage up is the better answer; common practice
AREA_TO_QUESTION = 70.5e-6  # m²: thicker cable is hard to bend, to crimp and to fit to a stud; common practice

_HERE = {"drop_limit": {"more": True}, "chemistry": {"more": True}, "rating": {"default": "3000 VA"}}
"""What the shared fields have otherwise here."""

FIELDS = (
    Field(
        "power_ac", "Power of what must run for hours", "W", default="2000 W", minimum="0 W", maximum="60 kW", above_minimum=True,
        tolerance="5 %", basis="common practice: type plates are good to about 5 %",
        unknown=Unknown("2000 W", "1000 W", "3000 W", "common practice: one or two heating appliances"),
        hint="The largest load that really runs together.",
    ),
    cable.LENGTH_ONE_WAY,
    ampacity.RULE,
    Field("power_12v", "Things that need 12 V already", "W", default="0 W", example="120 W", minimum="0 W", maximum="5000 W",
          hint="Lights, pump, fridge, radio: the most that runs at once.",
          unknown=Unknown("100 W", "20 W", "300 W", "common practice: lights, pump, fridge and radio")),
    Field(
        "battery_resistance", "Battery resistance, wired for 12 V", "mΩ", default="unknown", example="4 mΩ", minimum="0.05 mΩ", maximum="1000 mΩ",
        tolerance="20 %", basis="common practice: it rises as a battery empties, cools and ages",
        unknown=Unknown("5 mΩ", "2 mΩ", "12 mΩ", "common practice: about 200 Ah at 12 V, new to old"),
        hint="Of the whole bank in parallel. The same batteries in series are reckoned with.",
    ),
    Field("cut_out", "Cut-out of a 12 V inverter", "V", default="10.5 V", minimum="9 V", maximum="12 V", hint="Twice that at 24 V, four times at 48 V.", more=True,
          unknown=Unknown("10.5 V", "10 V", "11 V", "common practice for 12 V inverters")),
    Field("voltage_rest", "Rest voltage of a 12 V battery", "V", default="12.4 V", minimum="11 V", maximum="14 V",
          tolerance="0.2 V", basis="common practice: between half and full", hint="Twice that at 24 V, four times at 48 V.", more=True,
          unknown=Unknown("12.4 V", "12 V", "12.8 V", "common practice: a 12 V battery between half and full")),
    Field("joint_resistance", "Joints, fuse and isolator together", "mΩ", default="1.5 mΩ", minimum="0 mΩ", maximum="1000 mΩ",
          tolerance="50 %", basis="common practice", more=True,
          unknown=Unknown("1.5 mΩ", "0.5 mΩ", "4 mΩ", "common practice: fuse, isolator and eight lugs, good to poor")),
    Field("converter_efficiency", "Efficiency of a converter to 12 V", "%", default="90 %", minimum="50 %", maximum="99 %",
          tolerance="4 %", basis="common practice for DC-DC converters", more=True,
          unknown=Unknown("90 %", "85 %", "95 %", "common practice for DC-DC converters")),
    ampacity.DROP_LIMIT,
    ampacity.INSULATION,
    ampacity.TERMINAL_TEMPERATURE,
    ampacity.AMBIENT,
    ampacity.ENGINE_SPACE,
    ampacity.BUNDLE,
    cable.CONDUCTOR,
    ampacity.RIPPLE,
    chemistry.CHEMISTRY,
    regions.REGION,
    *ac_power.INVERTER,
)  # fmt: skip
FIELDS = tuple(replace(one, **_HERE.get(one.name, {})) for one in FIELDS)

CHOICES = {"12": "12 V", "24": "24 V", "48": "48 V", "none": "none of the three", "no-size": "not decided: no size is given"}

_EACH = (
    ("current_dc", "Largest DC current", "A", False), ("area", "Cable, with its fuse", "mm²", True), ("drop", "Voltage drop of nominal", "%", False),
    ("loss", "Heat along the cable", "W", False), ("fuse", "Fuse", "A", True), ("power_ac_max", "Largest AC power before the cut-out", "W", False),
)  # fmt: skip

ANSWERS = (
    Answer("choice", "Battery voltage", choices=CHOICES, main=True),
    *(
        Answer(f"{name}_{volts}", f"{label} at {volts} V", unit, main=name == "current_dc", stepped=stepped,
               most=(lambda v: v.rating * v.power_factor) if name == "power_ac_max" else None)
        for name, label, unit, stepped in _EACH for volts in VOLTAGES
    ),
    Answer("power_dc", "Power from the DC side", "W"),
    Answer("converter_current", "Converter to 12 V", "A", quiet=True),
    Answer("converter_loss", "Lost in the converter", "W", quiet=True),
)  # fmt: skip


def _check(v):
    ac_power.check_rating(v)
    if v.voltage_rest <= v.cut_out:
        raise FieldProblem("voltage_rest", f"must lie above the cut-out at {restate(v.cut_out, 'V')}: the inverter would never start")
    losses.check(v)
    for volts in VOLTAGES:
        ampacity.check(_run(v, volts))


def _run(v, volts):
    return ampacity.Run(v, voltage_nominal=float(volts))


def _evaluate(v):
    power = losses.power_dc(v, v.power_ac, v.power_factor)
    out = dict.fromkeys(answer.name for answer in ANSWERS) | {"power_dc": power}
    for volts in VOLTAGES:
        out |= {f"{name}_{volts}": value for name, value in _at(v, volts, power).items()}
    out["choice"] = _choice(v, out)
    if v.power_12v > 0:
        out |= {"converter_current": v.power_12v / 12.0, "converter_loss": v.power_12v * (1 / v.converter_efficiency - 1)}
    return out


def _at(v, volts, power):
    """Everything at one voltage: the batteries in series, the cable and fuse for the current at the cut-out."""
    series = volts / 12
    current = power / (v.cut_out * series)
    heating = circuit.current_rms(current, v.ripple)
    out = {"current_dc": current, "power_ac_max": None}
    if not ampacity.size_allowed(v):
        return out
    rating = next_rating(fuse.rating_needed(heating, fuse.LOADING, 1.0))
    area, resistance, drop = _smallest(v, volts, current, heating, rating)
    if area is None:
        return out
    return {
        "current_dc": current,
        "area": area,
        "drop": drop,
        "loss": conductor.heat(heating, resistance),
        "fuse": rating,
        "power_ac_max": _largest(v, series, resistance),
    }


def _smallest(v, volts, current, heating, rating):
    """Smallest size that meets the drop, stands the heat and allows the fuse the current asks for, with its resistance and drop."""
    if rating is None:
        return None, None, None
    place = (v.rule, v.insulation, v.terminal_temperature, v.ambient, v.engine_space, v.bundle, v.conductor, v.length_one_way, v.drop_limit)
    return _smallest_at(place, float(volts), current, heating, rating)


@lru_cache(maxsize=64)
def _smallest_at(place, volts, current, heating, rating):
    """Most uncertain inputs leave the run as it is: each distinct run is searched once."""
    names = ("rule", "insulation", "terminal_temperature", "ambient", "engine_space", "bundle", "conductor", "length_one_way", "drop_limit")
    run = SimpleNamespace(voltage_nominal=volts, **dict(zip(names, place)))
    sizes = [area for area, _ in cable.sizes(run.conductor)]
    carries = bisect_left(sizes, True, key=lambda area: (ampacity.ampacity(run, area)[0] or 0.0) >= max(rating, heating))
    for area in sizes[carries:]:
        _, _, resistance, drop = ampacity.run_of(run, run.conductor, area, current, heating)
        if drop <= run.drop_limit:
            return area, resistance, drop
    return None, None, None


def _largest(v, series, resistance_cable):
    """Largest AC power before the cut-out looks at a mean voltage below it."""
    # The same batteries, in series rather than in parallel: each step multiplies by its square.
    resistance = v.battery_resistance * series**2 + resistance_cable + v.joint_resistance
    rest = v.voltage_rest * series
    current = circuit.current_at_voltage(rest, v.cut_out * series, resistance, 0.0)
    power = circuit.power_at_current(rest, resistance, current, 0.0)
    a, b = losses.terms(v)
    return min(inverter.power_ac_from_dc(power, v.power_factor, v.rating, v.standby_power, a, b), v.rating * v.power_factor)


def _choice(v, out):
    """The lowest voltage at which current, cable, fuse and cut-out are all in order."""
    if not ampacity.size_allowed(v):
        return "no-size"
    good = (str(volts) for volts in VOLTAGES if not _objections(v, out, volts))
    return next(good, "none")


def _objections(v, out, volts):
    """What speaks against a voltage, in words."""
    area, most = out[f"area_{volts}"], out[f"power_ac_max_{volts}"]
    if area is None:
        return ["no cable here carries it with its fuse"]
    words = []
    if out[f"current_dc_{volts}"] > CURRENT_TO_QUESTION:
        words.append(f"{say(out[f'current_dc_{volts}'], 'A')} is a lot for cable, joints and fuse")
    if area > AREA_TO_QUESTION:
        words.append(f"{cable.said(area, v)} cable is hard to fit")
    if most < v.power_ac * (1 - 1e-9):
        words.append(f"it would drop out above {say(most, 'W', 2)}")
    return words


def _explain(case):
    _work(case)
    _judge(case)
    _advise(case)


def _work(case):
    v, o = case.values, case.outputs
    losses.explain(case)
    losses.explain_power_dc(case, v.power_ac, v.power_factor, o.power_dc)
    for volts in VOLTAGES:
        parts = {"P_dc": (o.power_dc, "W"), "n": (volts / 12, ""), "V_cut": (v.cut_out, "V")}
        case.step(f"I_{volts}", f"mean current at the cut-out, {volts} V", "P_dc/(n*V_cut)", parts, getattr(o, f"current_dc_{volts}"), "A", "ohm")
    _work_at(case, 48 if o.choice in ("none", "no-size") else int(o.choice))
    if o.converter_loss is not None:
        case.step("P_conv", "lost in the converter", "P_12*(1/eta_conv - 1)", {"P_12": (v.power_12v, "W"), "eta_conv": (v.converter_efficiency, "%")}, o.converter_loss, "W", "arithmetic")


def _work_at(case, volts):
    """The rest of the way at one voltage: the one chosen, or the highest."""
    v, o = case.values, case.outputs
    at = {name: getattr(o, f"{name}_{volts}") for name, *_ in _EACH}
    if at["area"] is None:
        return
    current, series = at["current_dc"], volts / 12
    heating, resistance = circuit.current_rms(current, v.ripple), at["drop"] * volts / current
    case.step("I_rms", f"heating current at {volts} V", f"I_{volts}*sqrt(1 + r**2/2)", {f"I_{volts}": (current, "A"), "r": (v.ripple, "")}, heating, "A", "ripple")
    case.step("I_need", "fuse rating it asks for", "I_rms/l", {"I_rms": (heating, "A"), "l": (fuse.LOADING, "")}, heating / fuse.LOADING, "A", "practice")
    source, clause = cable.source_for(case, at["area"], v.conductor)
    case.step("u", f"drop along {cable.said(at['area'], v)}, both ways, warm", f"I_{volts}*R_cable/V_nominal",
              {f"I_{volts}": (current, "A"), "R_cable": (resistance, "mΩ"), "V_nominal": (float(volts), "V")}, at["drop"], "%", source, clause)  # fmt: skip
    case.step("P_loss", "heat along it", "I_rms**2*R_cable", {"I_rms": (heating, "A"), "R_cable": (resistance, "mΩ")}, at["loss"], "W", "ohm")
    whole = v.battery_resistance * series**2 + resistance + v.joint_resistance
    case.step("R", "whole path, the batteries in series", "R_battery*n**2 + R_cable + R_joints",
              {"R_battery": (v.battery_resistance, "mΩ"), "n": (series, ""), "R_cable": (resistance, "mΩ"), "R_joints": (v.joint_resistance, "mΩ")}, whole, "mΩ", "ohm")  # fmt: skip
    rest, limit = v.voltage_rest * series, v.cut_out * series
    case.step("P_max", "DC power at the cut-out", "V_limit*(V_rest - V_limit)/R", {"V_limit": (limit, "V"), "V_rest": (rest, "V"), "R": (whole, "mΩ")}, limit * (rest - limit) / whole, "W", "ohm")


def _judge(case):
    v, o = case.values, case.outputs
    load = restate(v.power_ac, "W")
    if o.choice == "no-size":
        case.answer = f"Not decided, because no cable size is given. {load} is {say(o.current_dc_12, 'A')} at 12 V, {say(o.current_dc_24, 'A')} at 24 V and {say(o.current_dc_48, 'A')} at 48 V."
        case.find("size-not-held", "stop", ampacity.why_no_size(v))
        return
    against = {volts: _objections(v, vars(o), volts) for volts in VOLTAGES}
    if o.choice == "none":
        case.answer = f"No voltage of the three is in order: even at 48 V, {against[48][0]}. Move the inverter to the battery, split the load, or take a bigger battery."
        case.find("none-fits", "stop", f"At no voltage here are current, cable, fuse and cut-out all in order: at 48 V, {' and '.join(against[48])}.")
        return
    volts = int(o.choice)
    lower = VOLTAGES[VOLTAGES.index(volts) - 1] if volts > 12 else None
    why = f" At {lower} V, {against[lower][0]}." if lower else ""
    case.answer = (f"{volts} V: {load} then draws {say(getattr(o, f'current_dc_{volts}'), 'A')} at most, over {cable.said(getattr(o, f'area_{volts}'), v)} cable "
                   f"with a {restate(getattr(o, f'fuse_{volts}'), 'A')} fuse.{why}{_price(case, volts)}")  # fmt: skip


def _price(case, volts):
    """What a voltage above 12 V costs, as a sentence."""
    v, o = case.values, case.outputs
    if volts == 12 or o.converter_current is None:
        return ""
    return f" The price of {volts} V is a converter of {say(o.converter_current, 'A', 2)} for the 12 V things, which loses {say(o.converter_loss, 'W', 2)} while they run."


def _advise(case):
    v, o = case.values, case.outputs
    if o.choice in ("none", "no-size"):
        return
    _advise_close(case)
    highest = chemistry.facts(v.chemistry).voltage_charge_max * chemistry.cells(v.chemistry, float(o.choice))
    if o.choice != "12":
        if v.power_12v > 0:
            case.find("converter", "caution", "Feed the 12 V things through a converter from the whole bank. Never tap half of it: one half is then always emptier, and fails early.")
        case.find("same-voltage-everywhere", "note", f"Charger, solar controller, alternator feed and every isolator and fuse must be made for it: the bank is charged at up to {say(highest, 'V')}.")
        case.find("batteries-in-series", "note", "The same batteries serve, in series rather than side by side. They must be alike in kind, size and age, and only as many in series as their maker allows.")
    if o.choice == "48":
        case.find("touch-48", "caution", f"{say(highest, 'V')} can shock through wet or broken skin, and its arc does not go out by itself. Use covered terminals, and DC gear with that rating.")
    if v.chemistry == chemistry.LITHIUM and o.choice != "12":
        case.find("protection-in-series", "caution", "Protected lithium batteries may be put in series only where their maker says so: one that switches off takes the whole voltage across its protection.")
    if ampacity.starts_thick(v, getattr(o, f"area_{o.choice}")):
        case.find("table-starts", "note", ampacity.TABLE_STARTS)
    case.find("fuse", "note", "The fuse given lies between current and cable; its voltage and interrupt rating follow from the battery: see “Which fuse?”.")
    case.find("power-is-the-same", "note", "A higher voltage saves cable, heat in it and margin at the cut-out. It does not make the battery last longer: the watt-hours are the same.")


def _advise_close(case):
    """Each answer at the bad end of its own range."""
    v, o = case.values, case.outputs
    bad = vars(o) | {
        f"current_dc_{o.choice}": case.high(f"current_dc_{o.choice}"),
        f"area_{o.choice}": case.high(f"area_{o.choice}"),  # none where a bad end has no cable
        f"power_ac_max_{o.choice}": case.low(f"power_ac_max_{o.choice}"),
    }
    if o.choice != "48" and (against := _objections(v, bad, int(o.choice))):
        case.find("choice-close", "caution", f"It is close: at the bad end of the range, {against[0]}. The next voltage up has room.")


def _draw(case):
    v, o = case.values, case.outputs
    ticks = tuple((float(place), f"{volts} V") for place, volts in enumerate(VOLTAGES))

    def bars(name):
        found = ((float(place), getattr(o, f"{name}_{volts}")) for place, volts in enumerate(VOLTAGES))
        return tuple((place, value) for place, value in found if value is not None)

    def figure(title, description, label, unit, points, levels=()):
        top = max([value for _, value in points] + [level.y for level in levels], default=1.0)
        return Figure(title, description, Axis("", "", -0.5, 2.5, ticks), Axis(label, unit, 0, 1.15 * top), (Series(label, points, bars=True),), levels)

    figures = [figure(
        "Current at each voltage", "Largest mean DC current at the cut-out, for the same AC load.", "current", "A", bars("current_dc"),
        (Level(f"a lot: {say(CURRENT_TO_QUESTION, 'A')}", CURRENT_TO_QUESTION),),
    )]  # fmt: skip
    if bars("power_ac_max"):
        figures.append(figure(
            "Largest AC power before the cut-out", "The same batteries, side by side for 12 V or in series, with the cable and joints.", "AC power", "W", bars("power_ac_max"),
            (Level(f"needed {restate(v.power_ac, 'W')}", v.power_ac),),
        ))  # fmt: skip
    return figures


CALCULATOR = Calculator(
    id="bus-voltage",
    title="12, 24 or 48 volts?",
    question="Which battery voltage suits this load and this run of cable, and what does the choice cost?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
)
