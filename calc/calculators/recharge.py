"""recharge: how do I get it back?

Sun, engine and mains, each by what really limits it: the sun by place, month and heat; a
plain split connection by its resistance; a charger by its amps; and lead-acid by how little
it takes when it is nearly full. One efficiency of the battery, energy out over energy in,
is counted once, behind everything that reaches its posts.
"""

import math
from dataclasses import replace
from functools import cache

from calc import tables
from calc.calculators import cable, chemistry, regions
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Choice, Field, Unknown
from calc.errors import FieldProblem
from calc.physics import battery, charging, conductor, sun
from calc.result import Axis, Figure, Level, Series
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

DAY = 86400.0
GRID = 20  # steps of the rest-voltage curve a split connection is followed on
INVERTER_TYPICAL = 0.90  # of an inverter that feeds the charger of its own battery; common practice
EVEN = 0.005  # of the day's use: a balance nearer to nothing than this is even
NEAR_LIMIT = 0.95  # of a controller's voltage limit: too close; common practice
MONTHS = {
    "jan": "January", "feb": "February", "mar": "March", "apr": "April", "may": "May", "jun": "June",
    "jul": "July", "aug": "August", "sep": "September", "oct": "October", "nov": "November", "dec": "December",
}  # fmt: skip
MIDDLE_OF = dict(zip(MONTHS, (17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344)))  # day of the year
PLACES = {
    "none": "choose a place", "sydney": "Sydney", "melbourne": "Melbourne", "brisbane": "Brisbane", "perth": "Perth", "adelaide": "Adelaide",
    "hobart": "Hobart", "darwin": "Darwin", "alice-springs": "Alice Springs", "auckland": "Auckland", "wellington": "Wellington",
    "christchurch": "Christchurch", "london": "London", "aberdeen": "Aberdeen", "helsinki": "Helsinki", "oslo": "Oslo", "berlin": "Berlin",
    "madrid": "Madrid", "granada": "Granada", "seville": "Seville", "lisbon": "Lisbon", "athens": "Athens", "tokyo": "Tokyo area",
    "antananarivo": "Antananarivo", "bogota": "Bogotá", "miami": "Miami", "greensboro": "Greensboro", "new-york": "New York",
    "pittsburgh": "Pittsburgh", "chicago": "Chicago", "denver": "Denver", "tucson": "Tucson", "port-angeles": "Port Angeles", "sand-point": "Sand Point, Alaska",
}  # fmt: skip
MOUNTS = {"open-rack": "on an open rack", "close": "close above a roof, with some air behind", "bonded": "bonded to the roof, no air behind"}

FIELDS = (
    Field("energy", "Energy taken from the battery a day", "Wh", default="800 Wh", minimum="1 Wh", maximum="100 kWh",
          tolerance="10 %", basis="common practice: habits differ from day to day",
          unknown=Unknown("800 Wh", "400 Wh", "1500 Wh", "common practice: a van with a fridge"), hint="From the load list, the inverter's standby included."),
    replace(chemistry.CHEMISTRY, example="agm"),
    chemistry.CAPACITY,
    Field("panel_power", "Solar panels, rated power together", "W", default="200 W", minimum="0 W", maximum="20 kW"),
    Field("sun_hours", "Peak-sun hours a day", "h", default="4 h", minimum="0 h", maximum="14 h",
          unknown=Unknown("3 h", "1 h", "5 h", "common practice: from a dull winter to a clear spring"), hint="Or choose a place and a month instead."),
    Choice("place", "Place", PLACES, default="none"),
    Choice("month", "Month", MONTHS, default="jun"),
    Choice("driving", "Charging while driving", {"none": "none", "dc-dc": "through a DC-DC unit", "split": "through a plain split connection, relay or isolator"},
           default="none", example="dc-dc"),
    Field("driving_hours", "Hours of driving a day", "h", default="1 h", minimum="0 h", maximum="24 h"),
    Choice("mains", "Mains or generator", {"none": "none", "mains": "mains supply", "generator": "generator"}, default="none", example="generator"),
    Field("charger_current", "Charger's output", "A", default="20 A", minimum="0 A", maximum="500 A", above_minimum=True, hint="DC amps on the charger's label.",
          unknown=Unknown("20 A", "10 A", "40 A", "common practice for chargers in vehicles")),
    Field("mains_hours", "Hours of mains or generator a day", "h", default="1 h", minimum="0 h", maximum="24 h"),
    replace(chemistry.VOLTAGE_NOMINAL, more=True),
    Choice("plane", "The panels lie", {"flat": "flat", "latitude": "tilted at the latitude, facing the equator"}, default="flat", more=True),
    Field("clearness", "Real sun over clear-sky sun", "", default="unknown", minimum="0.05", maximum="1", more=True,
          unknown=Unknown("0.7", "0.5", "0.85", "common practice: places with a typical-year file lie in this band"),
          hint="Used where only the clear sky is held for a place."),
    Field("ambient", "Air temperature by day", "°C", default="25 °C", minimum="-40 °C", maximum="55 °C",
          tolerance="8 °C", basis="common practice: a day's course", more=True,
          unknown=Unknown("25 °C", "10 °C", "35 °C", "common practice: a cool to a hot day")),
    Choice("mount", "The panels are", MOUNTS, default="close", more=True),
    Field("noct", "Nominal operating cell temperature", "°C", minimum="30 °C", maximum="70 °C", hint="From the panel's sheet, in place of how it is mounted.", more=True),
    Field("temperature_coefficient", "Temperature coefficient of the power", "%", default="-0.4 %", minimum="-0.7 %", maximum="0 %",
          hint="For each °C, from the panel's sheet.", more=True,
          unknown=Unknown("-0.4 %", "-0.5 %", "-0.3 %", "common practice for crystalline silicon")),
    Field("yield_cool", "Yield but for heat: dirt, wire, mismatch, controller", "", default="0.8", minimum="0.1", maximum="1",
          tolerance="12 %", basis="common practice: 0.7 to 0.9 up to the battery's posts", more=True,
          unknown=Unknown("0.8", "0.7", "0.9", "common practice: dirt, wire, mismatch and controller")),
    Field("derate", "Panel yield all in, heat too", "", minimum="0.1", maximum="1", tolerance="12 %", basis="common practice: 0.6 to 0.75 of rated power times sun-hours",
          hint="In place of the parts above. Not the battery's own loss: that is counted apart.", more=True),
    chemistry.by_chemistry(
        Field("battery_efficiency", "Energy out of the battery over energy in", "", default="unknown", minimum="0.3", maximum="1", more=True),
        lambda kind: Unknown(f"{kind.efficiency_energy:g}", f"{kind.efficiency_energy - (0.03 if kind.peukert is None else 0.05):g}",
                             f"{kind.efficiency_energy + (0.03 if kind.peukert is None else 0.1):g}", f"usual for {chemistry.WORDS[kind.chemistry]}"),
    ),
    chemistry.by_chemistry(
        Field("taper_time", "Time constant of the charge taper", "h", default="unknown", minimum="0.01 h", maximum="10 h",
              hint="One hour is the ampere-hour law of lead-acid charging.", more=True),
        lambda kind: Unknown("0.1 h", "0.05 h", "0.2 h", "common practice: lithium takes full current nearly to the end") if kind.peukert is None
        else Unknown("1 h", "0.8 h", "2 h", "ampere-hour law: amps at most the amp-hours missing; old batteries are slower"),
    ),
    Field("charge_to", "Charged to", "%", default="95 %", minimum="50 %", maximum="99.5 %", hint="The last few per cent of lead-acid take hours.", more=True),
    Field("voltage_charge", "Voltage while charging", "V", minimum="10 V", maximum="64 V", hint="Left blank: usual for its kind.", more=True),
    Field("temperature", "Battery temperature while it charges", "°C", default="20 °C", minimum="-60 °C", maximum="60 °C", hint="At its coldest.", more=True,
          unknown=Unknown("20 °C", "5 °C", "30 °C", "common practice: indoors in use; a frosty place has to be measured")),
    Field("dcdc_current", "Output of the DC-DC unit", "A", default="30 A", minimum="0 A", maximum="300 A", above_minimum=True, more=True,
          unknown=Unknown("30 A", "20 A", "50 A", "common practice for DC-DC units")),
    Field("dcdc_efficiency", "Efficiency of the DC-DC unit", "%", default="90 %", minimum="50 %", maximum="99 %", more=True,
          unknown=Unknown("90 %", "85 %", "95 %", "common practice for DC-DC units")),
    Field("alternator_voltage", "Alternator's voltage, warm and running", "V", minimum="12 V", maximum="60 V", tolerance="1 %", basis="common practice",
          hint="Left blank: 14.2 V for each 12 V of the vehicle.", more=True),
    Field("alternator_current_idle", "Alternator's rating, hot and idling", "A", minimum="1 A", maximum="1000 A",
          hint="Ask for it: often half of what the label says.", more=True),
    replace(cable.LENGTH_ONE_WAY, default="5 m", label="Cable from alternator to battery, one way", hint="Along the route; the way back is added here.", more=True),
    cable.area(Field("area", "Its cross-section", "mm²", default="16 mm²", minimum="0.5 mm²", maximum="120 mm²", hint="In mm² or AWG; a width in mm is something else.", more=True,
          unknown=Unknown("16 mm²", "6 mm²", "25 mm²", "common practice: what split connections are wired in")), "6 AWG"),
    cable.CONDUCTOR,
    regions.REGION,
    Field("joint_resistance", "Joints, fuses, relay and ways back", "mΩ", default="10 mΩ", minimum="0 mΩ", maximum="1000 mΩ",
          tolerance="30 %", basis="common practice: 5 to 15 mΩ", more=True,
          unknown=Unknown("10 mΩ", "5 mΩ", "20 mΩ", "common practice: good to poor")),
    chemistry.RESISTANCE,
    chemistry.RESISTANCE_RISE,
    Choice("fused_both_ends", "Fuses on the cable between the two batteries", {"unsaid": "not said", "yes": "at both ends", "no": "at one end or none"}, default="unsaid", more=True),
    Field("charger_efficiency", "Charger's efficiency", "%", default="87 %", minimum="40 %", maximum="99 %",
          unknown=Unknown("87 %", "80 %", "92 %", "common practice"), more=True),
    Field("charger_power_factor", "Charger's power factor", "", default="unknown", example="0.7", minimum="0.3", maximum="1",
          unknown=Unknown("0.7", "0.6", "0.98", "common practice: 0.6 without correction, 0.98 with it"), more=True),
    Field("generator_rating", "Generator's continuous rating", "VA", minimum="100 VA", maximum="50 kVA", more=True),
    Choice("generator_place", "The generator stands", {"unsaid": "not said", "away": "outside, far from any opening", "near": "near a door, window, vent or awning, or inside"}, default="unsaid", more=True),
    Choice("co_alarm", "A carbon monoxide alarm where people sleep", {"unsaid": "not said", "yes": "yes", "no": "no"}, default="unsaid", more=True),
    Field("panel_voltage_open_circuit", "Open-circuit voltage of one panel", "V", minimum="1 V", maximum="200 V", hint="To check a cold string against the controller.", more=True),
    Choice("battery_signs", "The battery looks, sounds and feels", {"sound": "as it should", "damaged": "swollen, hot, hissing or smelling"}, default="sound", more=True),
    Field("panels_in_series", "Panels in series", "", default="1", minimum="1", maximum="30", more=True),
    Field("voltage_coefficient", "Temperature coefficient of that voltage", "%", default="unknown", minimum="-0.6 %", maximum="0 %", more=True,
          unknown=Unknown("-0.33 %", "-0.4 %", "-0.25 %", "common practice for crystalline silicon; its far end is that of NEC Table 690.7, from memory"), hint="For each °C, from the panel's sheet."),
    Field("temperature_coldest", "Coldest morning", "°C", default="-10 °C", minimum="-60 °C", maximum="30 °C", more=True,
          unknown=Unknown("-10 °C", "-20 °C", "0 °C", "common practice: frosty nights")),
    Field("controller_voltage_limit", "Controller's highest panel voltage", "V", minimum="1 V", maximum="1500 V", more=True),
)  # fmt: skip

ANSWERS = (
    Answer("balance", "Balance of a day, what can be used again less what is used", "Wh", main=True, per_day=True),
    Answer("energy_solar", "From the sun a day, at the battery's posts", "Wh", main=True, per_day=True, least=lambda v: 0.0),
    Answer("energy_driving", "From driving a day, at the posts", "Wh", main=True, per_day=True, least=lambda v: 0.0),
    Answer("energy_mains", "From mains or generator a day, at the posts", "Wh", main=True, per_day=True, least=lambda v: 0.0),
    Answer("hours_mains", "Hours of charger after a day's use, until it is charged as far as wanted", "h", main=True, quiet=True),
    Answer("generator_apparent_power", "A generator must carry for the charger", "VA", main=True, quiet=True),
    Answer("hours_bulk", "Hours of it at full current", "h", quiet=True),
    Answer("hours_tail", "Hours of it in the tail", "h", quiet=True),
    Answer("hours_driving", "Hours of driving after a day's use, until it is charged as far as wanted", "h", quiet=True),
    Answer("days_sun", "Days of such sun to put a day's use back", "day"),
    Answer("sun_hours_used", "Peak-sun hours a day", "h"),
    Answer("panel_yield", "Panel yield up to the posts", ""),
    Answer("cell_temperature", "Cell temperature, weighted by the energy", "°C", quiet=True),
    Answer("current_driving", "Current into the battery when driving starts", "A", quiet=True, least=lambda v: 0.0),
    Answer("current_driving_end", "Current at the end of the drive", "A", quiet=True, least=lambda v: 0.0),
    Answer("current_alternator", "Current the alternator gives for it", "A", quiet=True),
    Answer("resistance_loop", "Cable from the alternator, both ways", "mΩ", quiet=True),
    Answer("charger_power", "Power the charger draws", "W", quiet=True),
    Answer("power_own_inverter", "Net power if this charger runs from the battery's own inverter", "W", quiet=True),
    Answer("voltage_string_cold", "Open-circuit voltage of the string, coldest morning", "V", quiet=True),
)


def _check(v):
    chemistry.check_nominal("voltage_nominal", v.voltage_nominal)
    full = _energy_full(v)
    if v.energy > full:
        raise FieldProblem("energy", f"is more than the {say(full, 'Wh')} the battery holds: enter less, or a larger battery")
    if v.place == "none":
        raise FieldProblem("place", "choose a place, or enter the peak-sun hours")
    if v.driving == "split":
        cable.check_area("area", v.area, v.conductor)
    voltage = _voltage_charge(v)
    if not 0.9 < voltage / (12.8 * chemistry.blocks(v.voltage_nominal)) < 1.35:
        raise FieldProblem("voltage_charge", f"{say(voltage, 'V')} does not charge a battery of {restate(v.voltage_nominal, 'V')}")
    if v.alternator_voltage is not None and not 0.95 < v.alternator_voltage / (13.5 * chemistry.blocks(v.voltage_nominal)) < 1.2 and v.driving == "split":
        raise FieldProblem("alternator_voltage", f"{restate(v.alternator_voltage, 'V')} does not charge a battery of {restate(v.voltage_nominal, 'V')} through a plain connection: a DC-DC unit is needed")
    if (v.panel_voltage_open_circuit is None) != (v.controller_voltage_limit is None):
        name = "panel_voltage_open_circuit" if v.panel_voltage_open_circuit is None else "controller_voltage_limit"
        raise FieldProblem(name, "the check of a cold string needs both the panel's open-circuit voltage and the controller's limit")
    if v.panels_in_series % 1:
        raise FieldProblem("panels_in_series", "enter a whole number of panels")


def _energy_full(v):
    kind = chemistry.facts(v.chemistry)
    return v.capacity * kind.voltage_cell * chemistry.cells(v.chemistry, v.voltage_nominal)


def _voltage_charge(v):
    if v.voltage_charge is not None:
        return v.voltage_charge
    return chemistry.facts(v.chemistry).voltage_charge * chemistry.cells(v.chemistry, v.voltage_nominal)


def _alternator_voltage(v):
    return v.alternator_voltage if v.alternator_voltage is not None else 14.2 * chemistry.blocks(v.voltage_nominal)


@cache
def _sun_of(place, plane):
    """Peak-sun time by month from a typical year; None where no such file is held."""
    rows = tables.load("sun_hours_typical_year").values
    return next((row for row in rows if (row["place"], row["plane"]) == (place, plane)), None)


@cache
def _clear_sky_of(place):
    return next((row for row in tables.load("sun_hours_clear_sky").values if row["place"] == place), None)


def _sun_time(v):
    """Peak-sun time of a day: as typed, of a typical year, or of a clear sky with a share of it."""
    if v.place is None:
        return v.sun_hours
    row = _sun_of(v.place, v.plane)
    return row[v.month] if row else _clear_sky_of(v.place)[v.month] * v.clearness


def _daylight(v):
    """Sunrise to sunset: of the place and month, or half a day."""
    if v.place is None:
        return DAY / 2
    latitude = (_sun_of(v.place, "flat") or _clear_sky_of(v.place))["latitude"]
    return max(sun.daylight(latitude, sun.declination(MIDDLE_OF[v.month]), DAY), 3600.0)


@cache
def _rise(mount):
    """Rise of the cells above the air at the rated irradiance."""
    row = next(row for row in tables.load("panel_mounting").values if row["mount"] == mount)
    return row["cell_temperature"] - sun.TEMPERATURE_RATED


def _cells(v, sun_time):
    """Effective irradiance, cell temperature and yield of a panel."""
    if v.derate is not None:
        return None, None, v.derate
    irradiance = sun.irradiance_effective(sun_time, _daylight(v), sun.IRRADIANCE_RATED)
    if v.noct is not None:
        temperature = sun.cell_temperature(v.ambient, irradiance, v.noct - sun.AMBIENT_NOCT, sun.IRRADIANCE_NOCT)
    else:
        temperature = sun.cell_temperature(v.ambient, irradiance, _rise(v.mount), sun.IRRADIANCE_RATED)
    return irradiance, temperature, v.yield_cool * sun.temperature_yield(v.temperature_coefficient, temperature - sun.TEMPERATURE_RATED)


@cache
def _rest_curve(kind, count):
    voltages, states = chemistry.rest_curve(kind)
    return [count * battery.voltage_at_rest(place / GRID, voltages, states) for place in range(GRID + 1)]


def _loop(v):
    per_length = cable.resistance_per_length(v.area, v.conductor)
    return conductor.resistance_loop(per_length, v.length_one_way, 30.0, conductor.TEMPERATURE_COEFFICIENT_COPPER)


def _evaluate(v):
    sun_time = _sun_time(v)
    _, temperature, share = _cells(v, sun_time)
    solar = charging.solar_energy(v.panel_power, sun_time, share)
    missing, left = v.energy, (1 - v.charge_to) * _energy_full(v)
    cold = None
    if v.panel_voltage_open_circuit is not None:
        cold = sun.voltage_cold(v.panel_voltage_open_circuit, v.panels_in_series, v.voltage_coefficient, v.temperature_coldest - sun.TEMPERATURE_RATED)
    out = {
        "energy_solar": solar, "sun_hours_used": sun_time, "panel_yield": share, "cell_temperature": temperature,
        "days_sun": missing / (solar * v.battery_efficiency) * DAY if solar else None, "voltage_string_cold": cold,
    }  # fmt: skip
    out |= _drive(v, missing, left)
    out |= _charge(v, missing - out["returned_driving"], missing, left)
    out["balance"] = v.battery_efficiency * solar + out["returned_driving"] + out["returned_mains"] - v.energy
    return out


def _drive(v, missing, left):
    """What driving puts back, from the day's use on."""
    none = dict.fromkeys(("current_driving", "current_driving_end", "current_alternator", "resistance_loop", "hours_driving"))
    if v.driving == "none":
        return none | {"energy_driving": 0.0, "returned_driving": 0.0}
    if v.driving == "dc-dc":
        volts = _voltage_charge(v)
        stored = v.dcdc_current * volts * v.battery_efficiency
        returned = charging.energy_returned(missing, stored, v.taper_time, v.driving_hours)
        last = min(stored, (missing - returned) / v.taper_time) / (volts * v.battery_efficiency)
        return none | {
            "energy_driving": returned / v.battery_efficiency, "returned_driving": returned,
            "current_driving": min(stored, missing / v.taper_time) / (volts * v.battery_efficiency), "current_driving_end": last,
            "current_alternator": charging.supply_power(v.dcdc_current, volts, v.dcdc_efficiency) / _alternator_voltage(v),
            "hours_driving": _hours(missing, left, stored, v.taper_time),
        }  # fmt: skip
    loop = _loop(v)
    path = loop + v.joint_resistance
    resistance = path + chemistry.resistance(v, v.voltage_nominal, v.capacity)
    most = chemistry.facts(v.chemistry).charge_rate_max * v.capacity * 10  # nothing but resistance limits a plain connection
    course = _energy_full(v), _alternator_voltage(v), resistance, path, most, v.battery_efficiency, v.taper_time, _rest_curve(v.chemistry, chemistry.blocks(v.voltage_nominal))
    _, first = charging.split_rate(missing, *course)
    returned = charging.split_energy(missing, *course, v.driving_hours)
    _, last = charging.split_rate(missing - returned, *course)
    try:
        hours = charging.split_time(missing, left, *course)
    except ValueError:
        hours = None
    return {
        "energy_driving": returned / v.battery_efficiency, "returned_driving": returned, "current_driving": first, "current_driving_end": last,
        "current_alternator": first, "resistance_loop": loop, "hours_driving": hours,
    }  # fmt: skip


def _hours(missing, left, stored, time_constant):
    return charging.bulk_time(missing, left, stored, time_constant) + charging.tail_time(missing, left, stored, time_constant)


def _charge(v, missing_now, missing, left):
    """What a charger puts back after the drive, and how long it would take for the whole day's use."""
    if v.mains == "none":
        names = ("hours_mains", "hours_bulk", "hours_tail", "charger_power", "generator_apparent_power", "power_own_inverter")
        return dict.fromkeys(names) | {"energy_mains": 0.0, "returned_mains": 0.0}
    volts = _voltage_charge(v)
    stored = v.charger_current * volts * v.battery_efficiency
    bulk, tail = charging.bulk_time(missing, left, stored, v.taper_time), charging.tail_time(missing, left, stored, v.taper_time)
    returned = charging.energy_returned(missing_now, stored, v.taper_time, v.mains_hours) if missing_now > 0 else 0.0
    power = charging.supply_power(v.charger_current, volts, v.charger_efficiency)
    return {
        "energy_mains": returned / v.battery_efficiency, "returned_mains": returned, "hours_mains": bulk + tail, "hours_bulk": bulk, "hours_tail": tail,
        "charger_power": power, "generator_apparent_power": charging.apparent_power(power, v.charger_power_factor),
        "power_own_inverter": charging.power_gained(v.charger_current * volts, v.charger_efficiency, INVERTER_TYPICAL),
    }  # fmt: skip


NOT_CHARGED = ("battery-damaged", "lithium-cold", "lead-frozen", "voltage-too-high")
"""Findings that forbid what the answer counts on."""


def _explain(case):
    _work_sun(case)
    _work_drive(case)
    _work_charge(case)
    _work_balance(case)
    _judge(case)
    _warn(case)
    if any(one.code in NOT_CHARGED for one in case.findings):
        case.answer = f"Do not charge it as it is now. {case.answer}"
    _advise_sun(case)
    _advise_drive(case)
    _advise_charge(case)


def _work_sun(case):
    v, o = case.values, case.outputs
    hours = {"t_sun": (o.sun_hours_used, "h")}
    if v.place is not None and not _sun_of(v.place, v.plane):
        clear = _clear_sky_of(v.place)[v.month]
        case.step("t_sun", f"peak-sun hours in {PLACES[v.place]}, {MONTHS[v.month]}", "t_clear*c", {"t_clear": (clear, "h"), "c": (v.clearness, "")}, o.sun_hours_used, "h", "clear-sky", "and common practice")
    if v.derate is None:
        if v.place is not None:
            case.cite("fao56")  # the length of the day
        irradiance, temperature, share = _cells(v, o.sun_hours_used)
        rated = {"G_r": (sun.IRRADIANCE_RATED, "W/m²")}
        case.step("G", "irradiance that weighs the heat", "G_r*pi**2*t_sun/(8*t_day)", {**rated, "pi": (math.pi, ""), **hours, "t_day": (_daylight(v), "h")}, irradiance, "W/m²", "arithmetic", "half a sine from sunrise to sunset")
        air = {"T_a": (v.ambient, "°C"), "G": (irradiance, "W/m²")}
        if v.noct is not None:
            case.step("T_c", "cell temperature", "T_a + (T_noct - T_20)*G/G_noct", {**air, "T_noct": (v.noct, "°C"), "T_20": (sun.AMBIENT_NOCT, "°C"), "G_noct": (sun.IRRADIANCE_NOCT, "W/m²")}, temperature, "°C", "ross")
        else:
            case.step("T_c", "cell temperature", "T_a + (T_full - T_25)*G/G_r", {**air, "T_full": (_rise(v.mount) + sun.TEMPERATURE_RATED, "°C"), "T_25": (sun.TEMPERATURE_RATED, "°C"), **rated}, temperature, "°C", "sapm", MOUNTS[v.mount])
        case.step("k", "panel yield up to the posts", "k_cool*(1 + gamma*(T_c - T_25))", {"k_cool": (v.yield_cool, ""), "gamma": (v.temperature_coefficient, "1/K"), "T_c": (temperature, "°C"), "T_25": (sun.TEMPERATURE_RATED, "°C")}, share, "", "iec60891")
    case.step("E_sun", "from the sun, at the posts", "P_panel*t_sun*k", {"P_panel": (v.panel_power, "W"), **hours, "k": (o.panel_yield, "")}, o.energy_solar, "Wh", "sand87")
    if o.voltage_string_cold is not None:
        case.step("V_cold", "open-circuit voltage of the cold string", "n_s*V_panel*(1 + beta*(T_cold - T_25))",
                  {"n_s": (v.panels_in_series, ""), "V_panel": (v.panel_voltage_open_circuit, "V"), "beta": (v.voltage_coefficient, "1/K"), "T_cold": (v.temperature_coldest, "°C"), "T_25": (sun.TEMPERATURE_RATED, "°C")},
                  o.voltage_string_cold, "V", "iec60891")  # fmt: skip


def _work_drive(case):
    v, o = case.values, case.outputs
    if v.driving == "none":
        return
    battery_share = {"eta_b": (v.battery_efficiency, "")}
    if v.driving == "dc-dc":
        volts = _voltage_charge(v)
        unit = {"I_dc": (v.dcdc_current, "A"), "V_ch": (volts, "V")}
        case.step("I_alt", "current from the alternator, the drop on the way to the unit left out", "V_ch*I_dc/(eta_dc*V_alt)", {**unit, "eta_dc": (v.dcdc_efficiency, "%"), "V_alt": (_alternator_voltage(v), "V")}, o.current_alternator, "A", "arithmetic")
        _work_returned(case, "d", "driving", {**unit, **battery_share}, "I_dc*V_ch*eta_b", v.dcdc_current * volts * v.battery_efficiency, v.energy, "E_use", v.driving_hours, o.returned_driving)
        source = "ampere-hour-law"
    else:
        per_length = cable.resistance_per_length(v.area, v.conductor)
        case.step("R_cable", "cable both ways, at 50 °C", "R_20*(1 + alpha_20*DeltaT)*2*L", {"R_20": (per_length, "mΩ/m"), "alpha_20": (conductor.TEMPERATURE_COEFFICIENT_COPPER, "1/K"), "DeltaT": (30.0, "K"), "L": (v.length_one_way, "m")},
                  o.resistance_loop, "mΩ", *cable.source_for(case, v.area, v.conductor))  # fmt: skip
        own = chemistry.resistance(v, v.voltage_nominal, v.capacity)
        chemistry.explain_resistance(case, v.voltage_nominal, v.capacity, own)
        total = o.resistance_loop + v.joint_resistance + own
        case.step("R", "everything between", "R_cable + R_j + R_b", {"R_cable": (o.resistance_loop, "mΩ"), "R_j": (v.joint_resistance, "mΩ"), "R_b": (own, "mΩ")}, total, "mΩ", "ohm")
        rest = _rest_now(v)
        # Where something else limits the current, or the battery stands above the alternator, this is not the sum.
        if _alternator_voltage(v) > rest and abs(charging.split_current(_alternator_voltage(v), rest, total) - o.current_driving) < 1e-9 * (1 + o.current_driving):
            case.step("I_0", "current when driving starts; it falls as the battery fills", "(V_alt - V_oc)/R", {"V_alt": (_alternator_voltage(v), "V"), "V_oc": (rest, "V"), "R": (total, "mΩ")}, o.current_driving, "A", "ohm")
        source = "ohm"
    case.step("E_drive", "from driving, at the posts" + (f"; E_d was followed in {charging.SPLIT_STEPS} steps as the current falls" if v.driving == "split" else ""), "E_d/eta_b",
              {"E_d": (o.returned_driving, "Wh"), **battery_share}, o.energy_driving, "Wh", source)  # fmt: skip


def _rest_now(v):
    """Rest voltage of the battery with the day's use taken out."""
    curve = _rest_curve(v.chemistry, chemistry.blocks(v.voltage_nominal))
    place = (1 - v.energy / _energy_full(v)) * GRID
    low = min(int(place), GRID - 1)
    return curve[low] + (curve[low + 1] - curve[low]) * (place - low)


def _work_returned(case, index, words, inputs, formula, stored, missing, name, time, returned):
    """Power stored, where the taper starts, and what a time puts back."""
    v = case.values
    power, taper = {f"P_{index}": (stored, "W")}, {"tau": (v.taper_time, "h")}
    case.step(f"P_{index}", f"stored while {words} charges in full", formula, inputs, stored, "W", "arithmetic")
    start = charging.taper_start(stored, v.taper_time)
    bulk = max(missing - start, 0.0) / stored
    if time <= bulk:
        case.step(f"E_{index}", f"put back by {words}, all in bulk", f"P_{index}*t_{index}", {**power, f"t_{index}": (time, "h")}, returned, "Wh", "arithmetic")
        return
    if missing > start:
        case.step(f"E_t{index}", "still missing when it begins to taper", f"P_{index}*tau", {**power, **taper}, start, "Wh", "ampere-hour-law")
        case.step(f"t_b{index}", "time until then", f"({name} - E_t{index})/P_{index}", {name: (missing, "Wh"), f"E_t{index}": (start, "Wh"), **power}, bulk, "h", "arithmetic")
        case.step(f"E_{index}", f"put back by {words}, taper and all", f"{name} - E_t{index}*exp(-(t_{index} - t_b{index})/tau)",
                  {name: (missing, "Wh"), f"E_t{index}": (start, "Wh"), f"t_{index}": (time, "h"), f"t_b{index}": (bulk, "h"), **taper}, returned, "Wh", "ampere-hour-law")  # fmt: skip
        return
    case.step(f"E_{index}", f"put back by {words}, all in the taper", f"{name} - {name}*exp(-t_{index}/tau)", {name: (missing, "Wh"), f"t_{index}": (time, "h"), **taper}, returned, "Wh", "ampere-hour-law")


def _work_charge(case):
    v, o = case.values, case.outputs
    if v.mains == "none":
        return
    volts, missing = _voltage_charge(v), v.energy
    unit = {"I_c": (v.charger_current, "A"), "V_ch": (volts, "V")}
    stored = v.charger_current * volts * v.battery_efficiency
    still = missing - o.returned_driving
    if still < missing:
        case.step("E_still", "still missing after the drive", "E_use - E_d", {"E_use": (missing, "Wh"), "E_d": (o.returned_driving, "Wh")}, still, "Wh", "arithmetic")
    if still > 0:
        _work_returned(case, "c", "the charger", {**unit, "eta_b": (v.battery_efficiency, "")}, "I_c*V_ch*eta_b", stored, still, "E_still" if still < missing else "E_use", v.mains_hours, o.returned_mains)
        case.step("E_mains", "from the charger, at the posts", "E_c/eta_b", {"E_c": (o.returned_mains, "Wh"), "eta_b": (v.battery_efficiency, "")}, o.energy_mains, "Wh", "arithmetic")
    _work_hours(case, stored)
    case.step("P_ac", "power the charger draws", "V_ch*I_c/eta_c", {**unit, "eta_c": (v.charger_efficiency, "%")}, o.charger_power, "W", "arithmetic")
    case.step("S", "apparent power behind it", "P_ac/PF", {"P_ac": (o.charger_power, "W"), "PF": (v.charger_power_factor, "")}, o.generator_apparent_power, "VA", "arithmetic")
    case.step("P_net", "net, if it ran from the battery's own inverter", "V_ch*I_c*(1 - 1/(eta_c*eta_i))", {**unit, "eta_c": (v.charger_efficiency, "%"), "eta_i": (INVERTER_TYPICAL, "")}, o.power_own_inverter, "W", "arithmetic", "inverter of 90 %, common practice")


def _work_hours(case, stored):
    """Hours of charger for the whole day's use, without driving before it."""
    v, o = case.values, case.outputs
    left = (1 - v.charge_to) * _energy_full(v)
    power, taper = {"P_c": (stored, "W")}, {"tau": (v.taper_time, "h")}
    case.step("E_left", "left to charge at the end", "E_full*(1 - q)", {"E_full": (_energy_full(v), "Wh"), "q": (v.charge_to, "%")}, left, "Wh", "arithmetic")
    ends = {"E_use": (v.energy, "Wh"), "E_left": (left, "Wh")}
    start = charging.taper_start(stored, v.taper_time)
    if o.hours_bulk:
        end = "E_left" if left >= start else "P_c*tau"
        inputs = {"E_use": ends["E_use"], **power} | ({"E_left": ends["E_left"]} if left >= start else taper)
        case.step("t_bulk", "hours at full current", f"(E_use - {end})/P_c", inputs, o.hours_bulk, "h", "ampere-hour-law")
    if o.hours_tail:
        inside = "E_use/E_left" if v.energy <= start else "P_c*tau/E_left"
        inputs = {**taper, "E_left": ends["E_left"]} | ({"E_use": ends["E_use"]} if v.energy <= start else power)
        case.step("t_tail", "hours of the tail, whatever the charger", f"tau*log({inside})", inputs, o.hours_tail, "h", "ampere-hour-law")
    if o.hours_bulk and o.hours_tail:
        case.step("t", "hours of charger", "t_bulk + t_tail", {"t_bulk": (o.hours_bulk, "h"), "t_tail": (o.hours_tail, "h")}, o.hours_mains, "h", "arithmetic")


def _work_balance(case):
    v, o = case.values, case.outputs
    parts = {"eta_b": (v.battery_efficiency, ""), "E_sun": (o.energy_solar, "Wh"), "E_use": (v.energy, "Wh")}
    formula = "eta_b*E_sun"
    for name, one, value in (("E_d", v.driving, o.returned_driving), ("E_c", v.mains, o.returned_mains)):
        if one != "none":
            formula += f" + {name}"
            parts[name] = (value, "Wh")
    case.step("E_balance", "balance of a day; the battery's own loss is taken off here, once", f"{formula} - E_use", parts, o.balance, "Wh", "arithmetic")


def _judge(case):
    v, o = case.values, case.outputs
    brings = [f"the sun brings {say(o.energy_solar, 'Wh', 2)}"]
    if v.driving != "none":
        brings.append(f"driving {say(o.energy_driving, 'Wh', 2)}")
    if v.mains != "none":
        brings.append(f"the {'generator' if v.mains == 'generator' else 'mains'} {say(o.energy_mains, 'Wh', 2)}")
    listed = brings[0] if len(brings) == 1 else f"{', '.join(brings[:-1])} and {brings[-1]}"
    over = f"{say(abs(o.balance), 'Wh', 2)} a day {'is to spare' if o.balance >= 0 else 'is missing'}"
    if abs(o.balance) <= EVEN * v.energy:
        over = "as much as is used comes back"
    case.answer = f"Against {say(v.energy, 'Wh')} of use a day, {listed} to the battery. After the battery's own loss, {over}."
    if o.hours_mains:
        case.answer += f" The charger alone takes {_time(o.hours_mains)} to have it at {restate(v.charge_to, '%')} again."
    elif o.hours_mains == 0:
        case.answer += f" The day's use leaves the battery above {restate(v.charge_to, '%')}, so by that measure it takes no charging."


def _time(value):
    """A time as one says it."""
    return say(value, "h", 2) if value >= 3600 else say(max(value, 60.0), "min", 2)


def _warn(case):
    """What must stop the reader."""
    v, o = case.values, case.outputs
    kind = chemistry.facts(v.chemistry)
    lithium = v.chemistry == chemistry.LITHIUM
    if v.battery_signs == "damaged":
        case.find("battery-damaged", "stop", "A battery that is swollen, hot, hissing or smells is not charged and not used. Take off charge and load at a distance, let air in, keep away, and have it looked at.")
    if lithium and v.temperature < kind.charge_temperature_min:
        case.find("lithium-cold", "stop", f"A lithium iron phosphate battery must not be charged below {restate(kind.charge_temperature_min, '°C')}: it is harmed for good, and it does not show. Warm the battery first.")
    elif lithium and v.temperature < chemistry.CHARGE_REDUCED_BELOW:
        case.find("lithium-cool", "caution", "Below 10 °C lithium iron phosphate takes only a reduced current: keep to what the battery's maker allows.")
    if not lithium and v.temperature <= (freezing := _freezing_point(1 - v.energy / _energy_full(v))):
        case.find("lead-frozen", "stop", f"At this state of charge the acid freezes at about {say(freezing, '°C', 2)}: a frozen battery must not be charged, it can burst. Thaw it in a warm place and have it tested.")
    highest = kind.voltage_charge_max * chemistry.cells(v.chemistry, v.voltage_nominal)
    if _voltage_charge(v) > highest * (1 + 1e-9):
        case.find("voltage-too-high", "stop", f"{say(_voltage_charge(v), 'V')} is above the {say(highest, 'V')} that {chemistry.WORDS[v.chemistry]} may see. A charger set for another kind of battery, or one that equalises, must not be used on it.")
    if o.voltage_string_cold is not None:
        _warn_string(case)
    if v.driving != "none" and v.fused_both_ends == "no":
        case.find("fused-one-end", "stop", "A cable between two batteries is fed from both ends: without a fuse at each end a chafe burns it, whichever end is fused.")
    if v.mains == "generator" and (v.generator_place == "near" or v.co_alarm == "no"):
        case.find("carbon-monoxide", "stop", "A generator kills by carbon monoxide, and by its exhaust drifting in. Do not run it near an opening or under an awning, nor without a working alarm where people sleep.")


def _warn_string(case):
    v, o = case.values, case.outputs
    worst = case.high("voltage_string_cold")
    limit = restate(v.controller_voltage_limit, "V")
    if o.voltage_string_cold > v.controller_voltage_limit:
        case.find("string-too-high", "stop", f"On the coldest morning this string gives {_apart(o.voltage_string_cold, v.controller_voltage_limit)}, above the controller's {limit}: that destroys it at first light. Put fewer panels in series, or take another controller.")
    elif (worst or 0.0) > v.controller_voltage_limit or o.voltage_string_cold > NEAR_LIMIT * v.controller_voltage_limit:
        case.find("string-near-limit", "caution", f"On the coldest morning this string comes to {say(o.voltage_string_cold, 'V')}, up to {say(worst, 'V')}, of the controller's {limit}: too close. Take the coefficient from the panel's sheet, and leave a margin.")


def _apart(value, limit):
    """A voltage with as many figures as it takes to look other than a limit."""
    return next((words for words in (say(value, "V", figures) for figures in (3, 4, 5)) if words != restate(limit, "V")), say(value, "V", 6))


def _freezing_point(state):
    """Freezing point at a state of charge, by straight lines between the rows of the table."""
    table = tables.load("freezing_lead_acid")
    return battery.voltage_at_rest(state, table.column("freezing_point"), table.column("state_of_charge"))


def _advise_sun(case):
    v, o = case.values, case.outputs
    if o.balance < -EVEN * v.energy:
        case.find("falls-short", "caution", f"It falls short by {say(-o.balance, 'Wh', 2)} a day: the battery runs down. Use less, or bring more.")
    elif (case.low("balance") or 0.0) < -EVEN * v.energy:
        case.find("may-fall-short", "caution", f"With the uncertain inputs at their bad ends it may fall short by {say(-case.low('balance'), 'Wh', 2)} a day.")
    if v.place is not None and not _sun_of(v.place, v.plane):
        flat = " and for a flat panel only" if v.plane != "flat" else ""
        case.find("clear-sky-only", "caution", f"For this place only the clear sky is held{flat}; a share of it stands in for clouds. Look up the real monthly sun.")
    if v.panel_power:
        case.find("average-day", "note", "This is an average day. A run of dull days is another question: see whether it lasts the trip.")


def _advise_drive(case):
    v, o = case.values, case.outputs
    if v.driving == "none":
        return
    if v.fused_both_ends == "unsaid":
        case.find("fuses-unsaid", "caution", "The cable between the two batteries is fed from both ends: it needs a fuse at each end, sized for the cable.")
    if v.alternator_current_idle is not None and o.current_alternator > v.alternator_current_idle:
        case.find("alternator-overloaded", "caution", f"{say(o.current_alternator, 'A', 2)} is above the {restate(v.alternator_current_idle, 'A')} the alternator gives hot and idling: it overheats, slowly and unseen. Limit the current.")
    if v.driving == "split":
        case.find("current-fades", "note", f"The current starts at {say(o.current_driving, 'A', 2)} and is {say(o.current_driving_end, 'A', 2)} after {restate(v.driving_hours, 'h')}. Resistance alone limits it, and a longer or thinner cable means less.")
        if v.chemistry == chemistry.LITHIUM:
            takes = f"up to {say(o.current_driving, 'A', 2)}" if o.current_driving else "all it is given"
            lasts = "as long as you drive" if o.hours_driving is None else f"the {_time(o.hours_driving)} until it is charged"
            case.find("lithium-on-alternator", "caution", f"Lithium takes {takes} for {lasts}, which an older alternator does not stand at low speed. Ask for its rating hot and idling, or use a DC-DC unit that limits the current. If the battery's protection opens while charging, the voltage surge can destroy the alternator.")
        if o.hours_driving is None:
            case.find("never-full", "caution", f"At {restate(_alternator_voltage(v), 'V')} a plain connection never charges this battery to {restate(v.charge_to, '%')}.")
    else:
        case.find("unit-input", "note", "The unit makes up for what the cable to it loses by drawing more. Each tenth of the alternator's voltage lost on the way adds a ninth to the current given here.")
    case.find("fuel-saving-alternator", "note", "An alternator that lowers its voltage to save fuel charges little through a plain connection, and a DC-DC unit must be made for it. The battery's own voltage rises while it charges, so these currents are on the high side.")


def _advise_charge(case):
    v, o = case.values, case.outputs
    most = chemistry.facts(v.chemistry).charge_rate_max * v.capacity
    for mode, current, what in ((v.mains != "none", v.charger_current, "charger"), (v.driving == "dc-dc", v.dcdc_current, "DC-DC unit")):
        if mode and current > most * (1 + 1e-9):
            case.find("current-too-large", "caution", f"The {what}'s {restate(current, 'A')} is more than the {say(most, 'A', 2)} usual at most for this battery: set it lower, or ask the battery's maker.")
            break
    if v.mains == "none":
        return
    if o.hours_tail and o.hours_tail > 0.3 * o.hours_mains:
        case.find("tail-is-long", "note", f"{say(o.hours_tail, 'h', 2)} of it is the tail, where the battery takes little whatever the charger. Do the bulk with the {v.mains}, and let the sun finish.")
    case.find("own-inverter", "note", f"Never from the battery's own inverter: {say(v.charger_current * _voltage_charge(v), 'W', 2)} in costs {say(v.charger_current * _voltage_charge(v) - o.power_own_inverter, 'W', 2)} out. Check that the charger's socket is not fed by it.")
    if v.mains == "mains":
        case.find("fixed-wiring", "note", "An inlet and anything in the vehicle's fixed mains wiring is for a licensed person.")
        return
    if "unsaid" in (v.generator_place, v.co_alarm):
        case.find("generator-outside", "caution", "A generator kills by carbon monoxide: run it outside, far from doors, windows, vents and awnings, with a working alarm where people sleep.")
    if v.generator_rating is not None and o.generator_apparent_power > v.generator_rating:
        case.find("generator-too-small", "caution", f"The charger takes {say(o.generator_apparent_power, 'VA', 2)}, more than the generator's {restate(v.generator_rating, 'VA')}: its watts are not the measure. Take a charger with a corrected power factor, or fewer amps.")


def _draw(case):
    figures = [_draw_day(case)]
    return figures if case.values.mains == "none" else [*figures, _draw_charge(case)]


def _draw_day(case):
    v, o = case.values, case.outputs
    rows = (("sun", v.battery_efficiency * o.energy_solar), ("driving", o.returned_driving), ("mains" if v.mains != "generator" else "generator", o.returned_mains))
    bars = tuple((place, energy / 3600) for place, (_, energy) in enumerate(rows, 1))
    use = v.energy / 3600
    return Figure(
        "What comes back in a day",
        "Energy that sun, driving and mains put back for use again in a day, the battery's own loss taken off, against the day's use.",
        Axis("", "", 0, 4, tuple((place, name) for place, (name, _) in enumerate(rows, 1))), Axis("energy for use", "Wh", 0, 1.2 * max(use, *(energy for _, energy in bars))),
        (Series("put back", bars, bars=True),), (Level(f"used a day {say(v.energy, 'Wh', 2)}", use),),
    )  # fmt: skip


def _draw_charge(case):
    """State of charge against hours of charger, as it is and with twice the amps."""
    v, o = case.values, case.outputs
    full = _energy_full(v)
    end = max(1.25 * o.hours_mains, 3600.0)

    def course(amps):
        stored = amps * _voltage_charge(v) * v.battery_efficiency
        return tuple((round(end * place / 24 / 3600, 3), round(100 * (1 - (v.energy - charging.energy_returned(v.energy, stored, v.taper_time, end * place / 24)) / full), 2)) for place in range(25))

    low = 100 * (1 - v.energy / full)
    return Figure(
        "State of charge against hours of charger",
        "The battery filling from the day's use on, with this charger and with one of twice the amps: the tail at the end does not shrink.",
        Axis("time", "h", 0, end / 3600), Axis("state of charge", "%", max(low - 5, 0), 100),
        (Series(f"this charger, {restate(v.charger_current, 'A')}", course(v.charger_current)), Series("twice the amps", course(2 * v.charger_current), dash="dashed")),
        (Level(f"charged to {restate(v.charge_to, '%')}", 100 * v.charge_to),),
    )  # fmt: skip


CALCULATOR = Calculator(
    id="recharge",
    title="How do I get it back?",
    question="What do the sun, the engine and a charger put back into the battery in a day, and how long does it take?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
    alternatives=(
        (("sun_hours",), ("place", "month", "plane", "clearness")),
        (("ambient", "mount", "noct", "temperature_coefficient", "yield_cool"), ("derate",)),
    ),
)
