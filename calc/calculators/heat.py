"""heat: where can it live?

An inverter turns part of what passes through it to heat, and a lead-acid battery turns
part of its charge to hydrogen. The answer is how hot the box gets and what air it needs,
for both.
"""

from dataclasses import replace

from calc.calculators import chemistry, losses, regions
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Choice, Field, Unknown
from calc.errors import FieldProblem
from calc.physics import gas, heat, sizing
from calc.result import Axis, Figure, Level, Mark, Series
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

RATED_TO = 40.0  # °C up to which a continuous rating holds, unless the sheet says otherwise; common practice
BATTERY_WARM = 30.0  # °C at which the box ages a lead-acid battery early; common practice
CELLS_OF_A_12_V_BATTERY = 6

NO_BATTERY = "none"
YES_NO_UNKNOWN = {"yes": "yes", "no": "no", "unknown": "not known"}
CHARGES = {"float": "float: held full", "boost": "boost: absorption, as every charge ends", "equalise": "equalising, or a charger that does not hold its voltage"}

FIELDS = (
    Field("power_ac", "AC power it delivers for hours", "W", default="1500 W", minimum="0 W", maximum="20 kW",
          tolerance="5 %", basis="common practice: type plates are good to about 5 %",
          unknown=Unknown("1000 W", "300 W", "2000 W", "common practice: from an evening to a heating appliance")),
    Field("box_area", "Outside of the box that stands free in air", "m²", default="1 m²", minimum="0.01 m²", maximum="100 m²",
          tolerance="10 %", basis="common practice for a tape measure",
          unknown=Unknown("1 m²", "0.4 m²", "2 m²", "common practice: a locker under a seat or a bed"), hint="Add the sides, in metres; leave out those against insulation."),
    Field("ambient", "Air outside the box", "°C", default="25 °C", minimum="-30 °C", maximum="70 °C",
          unknown=Unknown("25 °C", "10 °C", "45 °C", "common practice: from a cool night to a closed vehicle in the sun")),
    Choice("battery", "Battery in the same space", {NO_BATTERY: "none", **chemistry.WORDS}, default=NO_BATTERY, example="flooded"),
    Choice("place", "Where the box is",
           {"outside-living-space": "a compartment shut off from where people live, vented to the open air", "living-space": "inside where people live by day", "sleeping-space": "where someone sleeps",
            "petrol-or-gas-space": "where petrol vapour or gas can collect"}, default="outside-living-space"),
    regions.REGION,
    Field("loss", "Heat it gives off, if known", "W", minimum="0.1 W", maximum="5 kW",
          tolerance="10 %", basis="common practice", hint="In place of the AC power: DC power less AC power.", more=True),
    Field("airflow", "Airflow of a fan, through the grilles", "m³/h", minimum="0.1 m³/h", maximum="5000 m³/h",
          tolerance="30 %", basis="common practice: against grilles a fan moves less than its label says", hint="Beside what the walls let through. Left blank: no fan.", more=True),
    Field("rise_wanted", "Temperature rise you would accept", "K", default="10 K", minimum="1 K", maximum="50 K", more=True),
    Field("heat_transfer", "Heat through the walls of the box", "W/m²/K", default="unknown", minimum="0.5 W/m²/K", maximum="30 W/m²/K",
          unknown=Unknown("5.4 W/m²/K", "3 W/m²/K", "8 W/m²/K", "common practice: still air inside and outside, from wood to bare metal"), more=True),
    Field("rated_to", "Temperature up to which the full rating holds", "°C", default=f"{RATED_TO:g} °C", minimum="10 °C", maximum="70 °C",
          hint="Specification sheet.", more=True, unknown=losses.RATED_TO),
    Field("loss_per_degree", "Rating lost for each degree above that", "%", default="unknown", minimum="0 %", maximum="10 %",
          unknown=losses.LOSS_PER_DEGREE, hint="From the sheet's derating curve.", more=True),
    Choice("charge", "Charging, at its strongest", CHARGES, default="boost", more=True),
    Field("battery_capacity", "Battery capacity, all strings together", "Ah", default="200 Ah", minimum="1 Ah", maximum="5000 Ah", more=True,
          unknown=Unknown("200 Ah", "100 Ah", "400 Ah", "common practice: what vehicles and boats carry")),
    Field("voltage_nominal", "Battery's nominal voltage", "V", default="12 V", minimum="6 V", maximum="60 V", hint="Two volts a lead-acid cell.", more=True),
    Field("charge_current", "Charger's own current", "A", minimum="0.1 A", maximum="500 A", hint="Needed for equalising.", more=True),
    Field("opening", "Free opening there is, for each of in and out", "cm²", minimum="0 cm²", maximum="10000 cm²", hint="Without grille or mesh. Left blank: not checked.", more=True),
    Field("spark_source_distance", "From the battery's vents to the nearest thing that can spark", "m", minimum="0 m", maximum="20 m",
          hint="Inverter, fuse, isolator, relay, socket. Left blank: not checked.", more=True),
    Choice("ignition_protected", "All electrical gear there is ignition-protected", YES_NO_UNKNOWN, default="unknown", more=True),
    replace(losses.POWER_FACTOR, more=True),
    replace(losses.RATING, more=True),
    *losses.FIELDS[1:],
)  # fmt: skip

ANSWERS = (
    Answer("temperature_inside", "Air inside, once settled", "°C", main=True, signed=True),
    Answer("temperature_rise", "Temperature rise inside", "K", main=True),
    Answer("airflow_for_rise", "Air that holds the rise you accept", "m³/h", main=True),
    Answer("airflow_hydrogen", "Air for the battery's hydrogen", "m³/h", main=True, quiet=True),
    Answer("loss_heat", "Heat given off", "W"),
    Answer("derating", "Share of the rating left at that temperature", "%", most=lambda v: 1.0),
    Answer("rating_derated", "Rating left", "VA", most=lambda v: v.rating),
    Answer("gas_current", "Current that turns to gas", "A", quiet=True),
    Answer("opening_needed", "Free opening without a fan, for each of in and out", "cm²", quiet=True),
    Answer("spark_distance", "Nothing that sparks or glows closer than", "m", quiet=True),
)


def _check(v):
    if v.loss is None:
        losses.check(v)
        if v.power_ac / v.power_factor > v.rating * (1 + 1e-9):
            raise FieldProblem("power_ac", f"{say(v.power_ac / v.power_factor, 'VA')} is above the inverter's {restate(v.rating, 'VA')} continuous: enter less, or a larger rating")
    if not _gasses(v):
        return
    if v.charge == "equalise" and v.charge_current is None:
        raise FieldProblem("charge_current", "while it equalises the charger's own current counts: enter it")
    cells = v.voltage_nominal / 2
    if abs(cells - round(cells)) > 1e-6:
        raise FieldProblem("voltage_nominal", "a lead-acid battery has 2 V a cell: enter 6, 12, 24, 36 or 48 V")


def _gasses(v):
    return v.battery in chemistry.LEAD


def _loss(v):
    return v.loss if v.loss is not None else losses.power_dc(v, v.power_ac, v.power_factor) - v.power_ac


def _rise(v, loss):
    if v.airflow is not None:
        return heat.rise_with_both(loss, v.box_area, v.heat_transfer, v.airflow, heat.HEAT_CAPACITY_OF_AIR)
    return heat.rise_in_closed_box(loss, v.box_area, v.heat_transfer)


def _evaluate(v):
    loss = _loss(v)
    rise = _rise(v, loss)
    inside = v.ambient + rise
    try:
        share = sizing.derating_temperature(inside, v.rated_to, v.loss_per_degree)
    except ValueError:
        share = None  # it shuts down before it gets there
    return _hydrogen(v) | {
        "loss_heat": loss,
        "temperature_rise": rise,
        "temperature_inside": inside,
        "airflow_for_rise": heat.airflow_for_rise(loss, v.rise_wanted, heat.HEAT_CAPACITY_OF_AIR),
        "derating": share,
        "rating_derated": None if share is None else share * v.rating,
    }


def _hydrogen(v):
    if not _gasses(v):
        return dict.fromkeys(("gas_current", "airflow_hydrogen", "opening_needed", "spark_distance"))
    current = _gas_current(v)
    airflow = gas.airflow_for_hydrogen(v.voltage_nominal / 2, current, gas.AIR_PER_CHARGE)
    return {
        "gas_current": current,
        "airflow_hydrogen": airflow,
        "opening_needed": gas.opening_for_airflow(airflow, gas.OPENING_PER_AIRFLOW),
        "spark_distance": gas.spark_distance(min(v.voltage_nominal / 2, CELLS_OF_A_12_V_BATTERY), current, gas.SPARK_DISTANCE_ONE_MILLIAMPERE, 1e-3),
    }


def _gas_current(v):
    if v.charge == "equalise":
        return v.charge_current
    kind = chemistry.facts(v.battery)
    return gas.gas_current(kind.current_float if v.charge == "float" else kind.current_boost, v.battery_capacity)


def _explain(case):
    _work_heat(case)
    v, o = case.values, case.outputs
    means = "with that fan and through the walls" if v.airflow is not None else "in the closed box"
    case.answer = f"It gives off {say(o.loss_heat, 'W')}; {means} the air {'warms' if o.derating is not None else 'would warm'} by {say(o.temperature_rise, 'K', 2)}, to {say(o.temperature_inside, '°C', 2)}"
    if _gasses(v):
        _work_hydrogen(case)
        case.answer += f". The battery needs {say(o.airflow_hydrogen, 'm³/h', 2)} of fresh air, through openings of {say(o.opening_needed, 'cm²', 2)} each, one low and one high."
    else:
        case.answer += f". An airflow of {say(o.airflow_for_rise, 'm³/h', 2)} would hold the rise at {restate(v.rise_wanted, 'K')}."
    _judge_heat(case)
    _judge_place(case)
    if _gasses(v):
        _judge_hydrogen(case)


def _work_heat(case):
    v, o = case.values, case.outputs
    if v.loss is None:
        losses.explain(case)
        power = losses.power_dc(v, v.power_ac, v.power_factor)
        losses.explain_power_dc(case, v.power_ac, v.power_factor, power)
        case.step("P_loss", "heat given off", "P_dc - P", {"P_dc": (power, "W"), "P": (v.power_ac, "W")}, o.loss_heat, "W", "arithmetic")
    loss, air = {"P_loss": (o.loss_heat, "W")}, {"c": (heat.HEAT_CAPACITY_OF_AIR, "J/m³/K")}
    if v.airflow is None:
        case.step("DeltaT", "rise in the closed box", "P_loss/(h*A)", {**loss, "h": (v.heat_transfer, "W/m²/K"), "A": (v.box_area, "m²")}, o.temperature_rise, "K", "cooling")
    else:
        ways = {"h": (v.heat_transfer, "W/m²/K"), "A": (v.box_area, "m²"), **air, "Q": (v.airflow, "m³/h")}
        case.step("DeltaT", "rise with the walls and the air blown through", "P_loss/(h*A + c*Q)", {**loss, **ways}, o.temperature_rise, "K", "cooling")
    case.step("Q_rise", "air that holds the rise you accept", "P_loss/(c*DeltaT_wanted)", {**loss, **air, "DeltaT_wanted": (v.rise_wanted, "K")}, o.airflow_for_rise, "m³/h", "cooling")
    if o.derating is not None and o.derating < 1:
        case.step("k", "share of the rating left", "1 - d*(T_a + DeltaT - T_r)",
                  {"d": (v.loss_per_degree, "1/K"), "T_a": (v.ambient, "°C"), "DeltaT": (o.temperature_rise, "K"), "T_r": (v.rated_to, "°C")}, o.derating, "%", "practice")  # fmt: skip


def _work_hydrogen(case):
    v, o = case.values, case.outputs
    if v.charge != "equalise":
        kind = chemistry.facts(v.battery)
        rate = kind.current_float if v.charge == "float" else kind.current_boost
        case.step("I_gas", "current that turns to gas", "i_gas*C", {"i_gas": (rate, "mA/Ah"), "C": (v.battery_capacity, "Ah")}, o.gas_current, "A", "iec62485")
    current = {"I_gas": (o.gas_current, "A")}
    case.step("Q_gas", "air for the hydrogen", "n*I_gas*q", {"n": (v.voltage_nominal / 2, ""), **current, "q": (gas.AIR_PER_CHARGE, "m³/Ah")}, o.airflow_hydrogen, "m³/h", "ventilation")
    case.step("A_gas", "free opening, for each of in and out", "Q_gas/u", {"Q_gas": (o.airflow_hydrogen, "m³/h"), "u": (1 / gas.OPENING_PER_AIRFLOW, "m/s")}, o.opening_needed, "cm²", "ventilation")
    case.step("d_spark", "distance of anything that sparks", "d_1*cbrt(n_1*I_gas/I_1)",
              {"d_1": (gas.SPARK_DISTANCE_ONE_MILLIAMPERE, "mm"), "n_1": (min(v.voltage_nominal / 2, float(CELLS_OF_A_12_V_BATTERY)), ""), **current, "I_1": (1e-3, "mA")}, o.spark_distance, "mm", "spark-distance")  # fmt: skip


def _judge_heat(case):
    v, o = case.values, case.outputs
    load = v.power_ac / v.power_factor if v.loss is None else None
    if o.derating is None:
        case.find("shuts-down", "caution", "At that temperature nothing of the rating is left: it shuts down before it gets there. Give it air, or a larger box.")
    elif load is not None and load > o.rating_derated * (1 + 1e-9):
        case.find("shuts-down", "caution", f"At that temperature {say(o.rating_derated, 'VA')} of the rating is left, less than the {say(load, 'VA')} asked for: it will limit or shut down. Give it air.")
    elif o.derating < 1:
        case.find("derated", "note", f"At that temperature {say(o.derating, '%', 2)} of the rating is left, {say(o.rating_derated, 'VA')}.")
    worst = case.high("temperature_inside")
    if o.derating == 1 and worst is not None and worst > v.rated_to:
        case.find("may-derate", "note", f"On a hot day, or behind walls that insulate, it may reach {say(worst, '°C', 2)}; above {restate(v.rated_to, '°C')} the rating falls.")
    if v.battery != NO_BATTERY and o.temperature_inside > (most := chemistry.facts(v.battery).charge_temperature_max):
        used = chemistry.facts(v.battery).discharge_temperature_max
        limits = f"be neither charged nor used above {restate(most, '°C')}" if used == most else f"not be charged above {restate(most, '°C')}, nor used above {restate(used, '°C')}"
        case.find("battery-too-hot", "stop", f"{say(o.temperature_inside, '°C', 2)} is more than this kind of battery stands. It must {limits}, and its own sheet may say less. Do not put both in the same space. Give each a space of its own, or fit a fan that blows the warm air out.")
    elif v.battery != NO_BATTERY and o.temperature_inside > BATTERY_WARM:
        case.find("battery-warm", "caution", f"At {say(o.temperature_inside, '°C', 2)} the battery ages early. Give each a space of its own, or fit a fan that blows the warm air out.")
    case.find("keep-clear", "note", "Put nothing on or against it: paper, bedding and clothes on an inverter have smouldered. Air in low, air out high, and the maker's clearances on every side.")


def _judge_place(case):
    v = case.values
    has_battery = v.battery != NO_BATTERY
    if v.place == "sleeping-space" and has_battery:
        case.find("battery-where-people-sleep", "stop", "No battery belongs where people sleep, unless it is boxed, vented to the outside and allowed there by the rules of the country. Gas, heat and smoke reach a sleeper first. Ask a licensed person.")
    if v.place == "petrol-or-gas-space" and v.ignition_protected != "yes":
        case.find("petrol-or-gas", "stop", "No inverter, fuse, relay or battery belongs where petrol vapour or gas can collect, unless every piece is ignition-protected and the local rules allow it. One spark is enough.")
    if v.place == "living-space" and _gasses(v):
        case.find("gas-indoors", "caution", "A lead-acid battery inside needs a box of its own, vented to the open air; some rules do not allow it at all. Ask before it is fixed.")
    if v.battery == chemistry.LITHIUM:
        if v.charge == "equalise":
            case.find("equalise-lithium", "stop", "Never equalise lithium, nor charge it with a profile that does: the voltage is above what its cells stand. Set the charger for lithium first.")
        case.find("lithium-place", "note", "Lithium iron phosphate gives off no hydrogen in use. Where it may stand, boxed how, is a matter of the local rules and the insurer.")


def _judge_hydrogen(case):
    v, o = case.values, case.outputs
    if v.airflow is not None and v.airflow < o.airflow_hydrogen:
        case.find("airflow-too-small", "stop", f"The fan's {restate(v.airflow, 'm³/h')} are below the {say(o.airflow_hydrogen, 'm³/h', 2)} the hydrogen needs. Do not charge there.")
    elif v.airflow is not None:
        case.find("fan-must-run", "caution", "The fan carries the hydrogen off only while it runs. It has to run whenever the battery is charged, and the charger has to stop if it fails.")
    elif v.opening is not None and v.opening < o.opening_needed:
        case.find("opening-too-small", "stop", f"The opening of {restate(v.opening, 'cm²')} is below the {say(o.opening_needed, 'cm²', 2)} needed for each of in and out. Do not charge there until it is opened up.")
    if v.opening is None and v.airflow is None:
        case.find("ventilation-not-checked", "caution", f"Whether this space has its {say(o.opening_needed, 'cm²', 2)} low and {say(o.opening_needed, 'cm²', 2)} high, to the open air, is not known: measure before it is charged there.")
    if v.spark_source_distance is not None and v.spark_source_distance < o.spark_distance:
        case.find("spark-source-near", "stop", f"Something that can spark stands {regions.length(v, v.spark_source_distance)} from the vents, nearer than {say(o.spark_distance, 'm', 2)}{regions.feet(v, o.spark_distance)}. Move it, or part the two with a wall gas cannot pass.")
    elif v.spark_source_distance is None:
        case.find("spark-distance", "caution", f"Inverter, fuse and isolator stay at least {say(o.spark_distance, 'm', 2)}{regions.feet(v, o.spark_distance)} from the battery's vents, measured round corners, or behind a wall gas cannot pass.")
    if v.charge == "equalise":
        case.find("equalising", "note", "While it equalises, all of the charger's current counts as gas: open the space up, no flames, no one asleep in it.")
    case.find("spark-distance-from-memory", "note", "The distance follows EN IEC 62485-2 as remembered, not as read: take the standard's own, or more. A sealed battery on the wrong charger gasses like an open one.")


def _draw(case):
    v, o = case.values, case.outputs
    if v.airflow is not None:
        return [_against_air(case)]
    top = max(2.0 * v.box_area, 0.5)
    places = [top * part / 16 for part in range(2, 17)]
    line = tuple((area, v.ambient + heat.rise_in_closed_box(o.loss_heat, area, v.heat_transfer)) for area in places)
    return [_figure("Air inside a closed box against its area", "Temperature inside once it has settled, against the area of the box that stands free, with the temperature the rating holds up to.",
                    Axis("area", "m²", 0, top), line, v.box_area, case)]  # fmt: skip


def _against_air(case):
    v, o = case.values, case.outputs
    top = 3600 * 2.0 * v.airflow
    places = [top * part / 16 for part in range(2, 17)]
    line = tuple((flow, v.ambient + heat.rise_with_both(o.loss_heat, v.box_area, v.heat_transfer, flow / 3600, heat.HEAT_CAPACITY_OF_AIR)) for flow in places)
    return _figure("Air inside against airflow", "Temperature inside, against the air blown through, with the temperature the rating holds up to.",
                   Axis("airflow", "m³/h", 0, top), line, 3600 * v.airflow, case)  # fmt: skip


def _figure(title, description, x, line, place, case):
    v, o = case.values, case.outputs
    heights = [y for _, y in line] + [v.rated_to, v.ambient]
    low, high = min(heights), max(heights)
    room = max(0.1 * (high - low), 1.0)
    mark = Mark(say(o.temperature_inside, "°C", 2), place, o.temperature_inside)
    return Figure(title, description, x, Axis("air inside", "°C", low - room, high + room), (Series("air inside", line),), (Level(f"full rating up to {restate(v.rated_to, '°C')}", v.rated_to),), (mark,))


CALCULATOR = Calculator(
    id="heat",
    title="Where can it live?",
    question="How hot does the inverter's box get, and what air do it and its battery need?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
    alternatives=((("power_ac",), ("loss",)),),
)
