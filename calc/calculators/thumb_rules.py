"""The rules of thumb, each beside the calculation that replaces it.

A rule is data: what is said, over which quantity it is set against the calculation, and
two functions, the rule and the calculation, from the reader's own figures (`v`) and a
place on that quantity's range (`x`) to the same quantity. `work` writes both down as
lines of working, the last of them `says` and `right`.
"""

import math
from dataclasses import dataclass
from functools import cache
from typing import Callable

from calc import tables
from calc.calculators import losses
from calc.physics import bank, battery, charging, circuit, conductor, fault, inverter, load, use, waveform

HOUR = 3600.0
DAY = 24 * HOUR
VOLTS_NOMINAL = 12.0
RATE_TIME = 20 * HOUR
PEUKERT_SOURCE = "peukert"
DAY_ENERGY = 380 * HOUR  # J: the AC energy of a light user's day; common practice
DAY_LOAD = 50.0  # W: what that user runs at a time; common practice
RULE_DROP = 0.03  # the cable rule's drop
COOKING = 700.0  # W, the label of the microwave rule
MOTOR = 300.0  # VA, running, of the starting rule
START = 10.0  # A on 230 V, of the starting-amps rule
START_VOLTS = 230.0
PANEL = 200.0  # W, of the panel rule
CHARGER = 40.0  # A, of the generator rule, at 14.2 V and 87 %; common practice
CHARGER_VOLTS, CHARGER_EFFICIENCY = 14.2, 0.87
BRICK_EFFICIENCY, CONVERTER_EFFICIENCY = 0.88, 0.92  # AC adaptor and DC adaptor; common practice
DISTORTION_TOLD = 0.25  # the one figure that is told
TAPER = HOUR  # time constant of a lead-acid battery's taper, the ampere-hour law
ROW, ROW_RESISTANCE, ROW_CURRENT = 4, 0.003, 150.0  # batteries side by side, of the take-off rule
KETTLE = 2000.0  # W, of the kettle rule
KETTLE_EFFICIENCY = 0.85  # common practice
BREAKER = 10.0  # A, type B


@dataclass(frozen=True)
class Rule:
    """One rule of thumb.

    Attributes
    ----------
    words, instead : str
        What is said, and the calculation that replaces it, in words.
    over, unit, low, high, typical : str
        The quantity it is judged over, with its usual range and place, as typed.
    about, shown : str
        What rule and calculation both give, and its unit.
    says, right : callable
        The rule and the calculation, of (v, x); None where there is nothing to compute.
    work : callable
        Writes the lines of working, of (case, x).
    points : bool
        The error is a difference in points, since both are percentages.
    lesson : str
        What goes wrong where the rule is off.
    """

    words: str
    instead: str
    over: str
    unit: str
    low: str
    high: str
    typical: str
    about: str
    shown: str
    says: Callable
    right: Callable
    work: Callable
    lesson: str
    points: bool = False


def _path(v):
    return v.battery_resistance + v.cable_resistance + v.joint_resistance


def _dc(v, power_ac, power_factor=1.0):
    return losses.power_dc(v, power_ac, power_factor)


def _current(v, power_ac, power_factor=1.0):
    """Through battery, cable and joints; None where there is no operating point."""
    try:
        return circuit.current_constant_power(_dc(v, power_ac, power_factor), v.voltage_open_circuit, _path(v), 0.0)
    except ValueError:
        return None


def _curve():
    table = tables.load("rest_voltage_lead_acid_bci")
    return table.column("voltage"), table.column("state_of_charge")


def _charge_at(voltage):
    """State of charge at a rest voltage; None outside the table."""
    try:
        return battery.state_of_charge_at_rest(voltage, *_curve())
    except ValueError:
        return None


@cache
def trip_b():
    """Times its rating at which a type B breaker must trip at once."""
    return next(row["high"] for row in tables.load("breaker_iec_60898").values if row["curve"] == "B")


def _says(case, formula, inputs, value, unit):
    case.step("y_rule", "what the rule says", formula, inputs, value, unit, "practice")


def _right(case, formula, inputs, value, unit, source):
    case.step("y_right", "what the calculation says", formula, inputs, value, unit, source)


def _work_current(case, power_ac, power_factor=1.0):
    """The constant-power current, down to its last line."""
    v = case.values
    losses.explain(case)
    power = _dc(v, power_ac, power_factor)
    losses.explain_power_dc(case, power_ac, power_factor, power)
    parts = {"R_battery": (v.battery_resistance, "mΩ"), "R_cable": (v.cable_resistance, "mΩ"), "R_joints": (v.joint_resistance, "mΩ")}
    case.step("R", "whole path", "R_battery + R_cable + R_joints", parts, _path(v), "mΩ", "ohm")
    _right(case, "2*P_dc/(V_oc + sqrt(V_oc**2 - 4*R*P_dc))",
           {"P_dc": (power, "W"), "V_oc": (v.voltage_open_circuit, "V"), "R": (_path(v), "mΩ")}, _current(v, power_ac, power_factor), "A", "ohm")  # fmt: skip


# Current, fuse, start


def _work_amps(case, x):
    _says(case, "P/U", {"P": (x, "W"), "U": (10.0, "V")}, x / 10.0, "A")
    _work_current(case, x)


def _fuse(v, x):
    power = _dc(v, x)
    return 1.25 * circuit.current_rms(power / v.cut_out, v.ripple)


def _work_fuse(case, x):
    v = case.values
    _says(case, "P/V_n", {"P": (x, "W"), "V_n": (VOLTS_NOMINAL, "V")}, x / VOLTS_NOMINAL, "A")
    losses.explain(case)
    losses.explain_power_dc(case, x, 1.0, _dc(v, x))
    _right(case, "f*P_dc/V_co*sqrt(1 + r**2/2)", {"f": (1.25, ""), "P_dc": (_dc(v, x), "W"), "V_co": (v.cut_out, "V"), "r": (v.ripple, "")}, _fuse(v, x), "A", "ripple")


def _work_surge(case, x):
    _says(case, "f*S", {"f": (2.0, ""), "S": (MOTOR, "VA")}, 2 * MOTOR, "VA")
    _right(case, "k*S", {"k": (x, ""), "S": (MOTOR, "VA")}, load.starting_apparent_power(MOTOR, x), "VA", "arithmetic")


def _work_start_amps(case, x):
    _says(case, "I_ac*V_ac/V_n", {"I_ac": (START, "A"), "V_ac": (START_VOLTS, "V"), "V_n": (VOLTS_NOMINAL, "V")}, START * START_VOLTS / VOLTS_NOMINAL, "A")
    _work_current(case, START * START_VOLTS * x, x)


# Energy


def _runtime(v, x):
    current = _current(v, x)
    if current is None:
        return None
    return v.depth_limit * battery.time_peukert(current, v.battery_capacity, RATE_TIME, v.peukert)


def _work_runtime(case, x):
    v = case.values
    capacity = {"C": (v.battery_capacity, "Ah")}
    _says(case, "C*V_n/P", {**capacity, "V_n": (VOLTS_NOMINAL, "V"), "P": (x, "W")}, v.battery_capacity * VOLTS_NOMINAL / x, "h")
    losses.explain(case)
    losses.explain_power_dc(case, x, 1.0, _dc(v, x))
    current = _current(v, x)
    case.step("I", "current", "2*P_dc/(V_oc + sqrt(V_oc**2 - 4*R*P_dc))",
              {"P_dc": (_dc(v, x), "W"), "V_oc": (v.voltage_open_circuit, "V"), "R": (_path(v), "mΩ")}, current, "A", "ohm")  # fmt: skip
    rate = {"I": (current, "A"), "H": (RATE_TIME, "h"), **capacity}
    if current * RATE_TIME <= v.battery_capacity:  # slower than the rated hours: no more than the rated charge
        _right(case, "d*C/I", {"d": (v.depth_limit, "%"), **capacity, "I": (current, "A")}, _runtime(v, x), "h", "arithmetic")
    else:
        _right(case, "d*H*(C/(I*H))**k", {"d": (v.depth_limit, "%"), **rate, "k": (v.peukert, "")}, _runtime(v, x), "h", PEUKERT_SOURCE)


def _work_flat(case, x):
    _says(case, "P/eta", {"P": (x, "W"), "eta": (0.9, "%")}, x / 0.9, "W")
    _work_dc(case, x)


def _work_full_load(case, x):
    v = case.values
    _says(case, "P/eta_full", {"P": (x, "W"), "eta_full": (_full(v), "%")}, x / _full(v), "W")
    _work_dc(case, x)


def _full(v):
    """Efficiency at the rating, from the loss terms, so that points count as well."""
    return inverter.efficiency(v.rating, _dc(v, v.rating))


def _work_dc(case, x):
    v = case.values
    losses.explain(case)
    a, b = losses.terms(v)
    _right(case, "P_0 + a*P + b*P**2/P_r", {"P_0": (v.standby_power, "W"), "a": (a, ""), "P": (x, "W"), "b": (b, ""), "P_r": (v.rating, "W")}, _dc(v, x), "W", "loss-model")


def _work_idle(case, x):
    _says(case, "f*Q_n", {"f": (0.0, ""), "Q_n": (HOUR, "Ah")}, 0.0, "Ah")
    _right(case, "P_0/V*t_day", {"P_0": (x, "W"), "V": (case.values.voltage_open_circuit, "V"), "t_day": (DAY, "h")}, _idle(case.values, x), "Ah", "arithmetic")


def _idle(v, x):
    return battery.charge_over_time(x, v.voltage_open_circuit, DAY)


def _day(v, x):
    """Energy of a light user's day on an inverter of rating x that is never switched off, its standby in proportion to the form's."""
    a, b = losses.terms(v)
    standby = v.standby_power * x / v.rating
    time = DAY_ENERGY / DAY_LOAD
    return inverter.power_dc(DAY_LOAD, 1.0, x, standby, a, b) * time + standby * (DAY - time)


def _work_bigger(case, x):
    v = case.values
    a, b = losses.terms(v)
    _says(case, "E", {"E": (_day(v, 300.0), "Wh")}, _day(v, 300.0), "Wh")
    losses.explain(case)
    standby, load_, time = {"P_0": (v.standby_power, "W"), "S_r": (v.rating, "VA")}, {"P": (DAY_LOAD, "W")}, {"t": (DAY_ENERGY / DAY_LOAD, "h")}
    _right(case, "P_0*S_x/S_r*t_day + (a*P + b*P**2/S_x)*t", {**standby, "t_day": (DAY, "h"), "a": (a, ""), **load_, "b": (b, ""), "S_x": (x, "VA"), **time}, _day(v, x), "Wh", "loss-model")


def _work_dc_supply(case, x):
    v = case.values
    _says(case, "f", {"f": (1.15, "")}, 1.15, "")
    losses.explain(case)
    drawn = _dc(v, x / BRICK_EFFICIENCY)
    a, b = losses.terms(v)
    case.step("P_via", "through the inverter", "P_0 + a*P/eta_brick + b*(P/eta_brick)**2/P_r",
              {"P_0": (v.standby_power, "W"), "a": (a, ""), "P": (x, "W"), "eta_brick": (BRICK_EFFICIENCY, "%"), "b": (b, ""), "P_r": (v.rating, "W")}, drawn, "W", "loss-model")  # fmt: skip
    _right(case, "P_via*eta_dc/P", {"P_via": (drawn, "W"), "eta_dc": (CONVERTER_EFFICIENCY, "%"), "P": (x, "W")}, drawn * CONVERTER_EFFICIENCY / x, "", "arithmetic")


def _boil(x):
    """Energy to boil a volume of water from 15 °C."""
    return use.energy_to_heat_water(x, use.DENSITY_WATER, use.SPECIFIC_HEAT_WATER, 15.0, 100.0, KETTLE_EFFICIENCY)


def _kettle(v, x):
    return _boil(x) * _dc(v, v.rating) / v.rating / v.voltage_open_circuit


def _work_kettle(case, x):
    v = case.values
    _says(case, "P*t/V_n", {"P": (KETTLE, "W"), "t": (HOUR, "h"), "V_n": (VOLTS_NOMINAL, "V")}, KETTLE * HOUR / VOLTS_NOMINAL, "Ah")
    energy = _boil(x)
    case.step("E", "energy of the water", "L*rho*c*(T_2 - T_1)/eta",
              {"L": (x, "L"), "rho": (use.DENSITY_WATER, "kg/m³"), "c": (use.SPECIFIC_HEAT_WATER, "J/kg/K"), "T_2": (100.0, "°C"), "T_1": (15.0, "°C"), "eta": (KETTLE_EFFICIENCY, "%")}, energy, "Wh", "arithmetic")  # fmt: skip
    _right(case, "E/(eta_full*V)", {"E": (energy, "Wh"), "eta_full": (_full(v), "%"), "V": (v.voltage_open_circuit, "V")}, _kettle(v, x), "Ah", "arithmetic")


def _work_microwave(case, x):
    _says(case, "P_cook", {"P_cook": (COOKING, "W")}, COOKING, "W")
    _right(case, "P_cook/eta", {"P_cook": (COOKING, "W"), "eta": (x, "%")}, load.power_input_from_cooking(COOKING, x), "W", "arithmetic")


# Cable and battery


def _drop(v, x):
    return RULE_DROP * VOLTS_NOMINAL + conductor.voltage_drop(x, v.battery_resistance + v.joint_resistance)


def _work_drop(case, x):
    v = case.values
    rule = {"s": (RULE_DROP, "%"), "V_n": (VOLTS_NOMINAL, "V")}
    _says(case, "s*V_n", rule, RULE_DROP * VOLTS_NOMINAL, "V")
    _right(case, "s*V_n + I*(R_battery + R_joints)", {**rule, "I": (x, "A"), "R_battery": (v.battery_resistance, "mΩ"), "R_joints": (v.joint_resistance, "mΩ")}, _drop(v, x), "V", "ohm")


def _work_ripple(case, x):
    wire = {"I": (100.0, "A"), "R_cable": (case.values.cable_resistance, "mΩ")}
    _says(case, "I**2*R_cable", wire, conductor.heat(100.0, case.values.cable_resistance), "W")
    _right(case, "I**2*(1 + r**2/2)*R_cable", {**wire, "r": (x, "")}, conductor.heat(circuit.current_rms(100.0, x), case.values.cable_resistance), "W", "ripple")


def _half(v, x):
    return _charge_at(battery.voltage_unloaded(12.2, x, v.battery_resistance))


def _work_half(case, x):
    _says(case, "q", {"q": (0.5, "%")}, 0.5, "%")
    rest = battery.voltage_unloaded(12.2, x, case.values.battery_resistance)
    case.step("V_oc", "rest voltage behind the reading", "V + I*R_battery", {"V": (12.2, "V"), "I": (x, "A"), "R_battery": (case.values.battery_resistance, "mΩ")}, rest, "V", "ohm")
    _work_table(case, rest)


def _work_table(case, rest):
    """A reading between two rows of the rest-voltage table."""
    voltages, charges = _curve()
    place = next(index for index in range(1, len(voltages)) if rest <= voltages[index])
    _right(case, "q_1 + (q_2 - q_1)*(V_oc - V_1)/(V_2 - V_1)",
           {"q_1": (charges[place - 1], "%"), "q_2": (charges[place], "%"), "V_oc": (rest, "V"), "V_1": (voltages[place - 1], "V"), "V_2": (voltages[place], "V")}, _charge_at(rest), "%", "bci")  # fmt: skip


def _stop_at_eleven(v, x):
    return _charge_at(battery.voltage_unloaded(11.0, x, _path(v)))


def _work_stop(case, x):
    _says(case, "q", {"q": (0.0, "%")}, 0.0, "%")
    rest = battery.voltage_unloaded(11.0, x, _path(case.values))
    case.step("V_oc", "rest voltage behind it", "V + I*R", {"V": (11.0, "V"), "I": (x, "A"), "R": (_path(case.values), "mΩ")}, rest, "V", "ohm")
    _work_table(case, rest)


def _label(v, x):
    return battery.time_peukert(x, v.battery_capacity, RATE_TIME, v.peukert) * x


def _work_label(case, x):
    v = case.values
    capacity = {"C": (v.battery_capacity, "Ah")}
    _says(case, "C", capacity, v.battery_capacity, "Ah")
    if x * RATE_TIME <= v.battery_capacity:
        _right(case, "C", capacity, _label(v, x), "Ah", "arithmetic")
    else:
        _right(case, "I*H*(C/(I*H))**k", {"I": (x, "A"), "H": (RATE_TIME, "h"), **capacity, "k": (v.peukert, "")}, _label(v, x), "Ah", PEUKERT_SOURCE)


def _take_off(v, x):
    return bank.currents_ladder([ROW_RESISTANCE] * ROW, [v.voltage_open_circuit] * ROW, [x] * (ROW - 1), ROW_CURRENT, False)[0]


def _work_take_off(case, x):
    _says(case, "I/n", {"I": (ROW_CURRENT, "A"), "n": (float(ROW), "")}, ROW_CURRENT / ROW, "A")
    # Currents of equal batteries, from the far end: 1, 1 + u, (1 + u)² + u … with u = 2·r/R.
    u = 2 * x / ROW_RESISTANCE
    case.step("u", "both links over a battery", "2*r_link/R_battery", {"r_link": (x, "mΩ"), "R_battery": (ROW_RESISTANCE, "mΩ")}, u, "", "kirchhoff")
    _right(case, "I*(1 + 6*u + 5*u**2 + u**3)/(4 + 10*u + 6*u**2 + u**3)", {"I": (ROW_CURRENT, "A"), "u": (u, "")}, _take_off(case.values, x), "A", "kirchhoff")


# Putting it back


def _work_panel(case, x):
    v = case.values
    _says(case, "P*t_5", {"P": (PANEL, "W"), "t_5": (5 * HOUR, "h")}, PANEL * 5 * HOUR, "Wh")
    _right(case, "P*t_sun*k", {"P": (PANEL, "W"), "t_sun": (x, "h"), "k": (v.derate, "")}, charging.solar_energy(PANEL, x, v.derate), "Wh", "sand87")


def _charge_hours(v, x):
    """From half full to x, at a fifth of the capacity; amp-hours stand where the taper has energy."""
    missing, left, rate = 0.5 * v.battery_capacity, (1 - x) * v.battery_capacity, v.battery_capacity / 5 / HOUR
    return charging.bulk_time(missing, left, rate, TAPER) + charging.tail_time(missing, left, rate, TAPER)


def _work_charge_hours(case, x):
    v = case.values
    rate = {"I": (v.battery_capacity / 5 / HOUR, "A")}
    reach = {"C": (v.battery_capacity, "Ah"), "q": (x, "%"), "q_0": (0.5, "%")}
    _says(case, "C*(q - q_0)/I", {**reach, **rate}, (x - 0.5) * 5 * HOUR, "h")
    if 1 - x >= 0.2:
        _right(case, "C*(q - q_0)/I", {**reach, **rate}, _charge_hours(v, x), "h", "arithmetic")
        return
    capacity, full, left = {"C": reach["C"]}, {"q_full": (1.0, "%")}, (1 - x) * v.battery_capacity
    case.step("C_left", "still missing at the end", "C*(q_full - q)", {**capacity, **full, "q": (x, "%")}, left, "Ah", "arithmetic")
    _right(case, "C*(q_full - q_0)/I - tau + tau*log(I*tau/C_left)",
           {**capacity, **full, "q_0": (0.5, "%"), **rate, "tau": (TAPER, "h"), "C_left": (left, "Ah")}, _charge_hours(v, x), "h", "practice")  # fmt: skip


def _generator(v, x):
    return charging.apparent_power(charging.supply_power(CHARGER, CHARGER_VOLTS, CHARGER_EFFICIENCY), x)


def _work_generator(case, x):
    output = {"V": (CHARGER_VOLTS, "V"), "I": (CHARGER, "A")}
    _says(case, "V*I", output, CHARGER_VOLTS * CHARGER, "VA")
    _right(case, "V*I/(eta*PF)", {**output, "eta": (CHARGER_EFFICIENCY, "%"), "PF": (x, "")}, _generator(case.values, x), "VA", "arithmetic")


# The output


def _distortion(v, x):
    return waveform.distortion_total(waveform.voltage_rms(1.0, x), waveform.harmonic_peak(1.0, x, 1) / 2**0.5)


def _work_distortion(case, x):
    _says(case, "f", {"f": (DISTORTION_TOLD, "%")}, DISTORTION_TOLD, "%")
    share = waveform.voltage_rms(1.0, x) / (waveform.harmonic_peak(1.0, x, 1) / 2**0.5)
    case.step("k", "heating value over fundamental", "sqrt(theta/theta_half)*pi/(2*sqrt(2)*sin(theta/2))", {"theta": (x, "deg"), "theta_half": (math.pi, "deg"), "pi": (math.pi, "")}, share, "", "fourier")
    _right(case, "sqrt(k**2 - 1)", {"k": (share, "")}, _distortion(case.values, x), "%", "fourier")


def _shown(x):
    return waveform.reading_average_responding(waveform.voltage_mean_rectified(waveform.voltage_peak(230.0, x), x))


def _work_meter(case, x):
    _says(case, "pi/(2*sqrt(2))*V_rms*sqrt(theta/theta_half)", {"pi": (math.pi, ""), "V_rms": (230.0, "V"), "theta": (x, "deg"), "theta_half": (math.pi, "deg")}, _shown(x), "V")
    _right(case, "V_rms", {"V_rms": (230.0, "V")}, 230.0, "V", "meter-scale")


def _work_breaker(case, x):
    v = case.values
    _says(case, "m*I_n", {"m": (trip_b(), ""), "I_n": (BREAKER, "A")}, trip_b() * BREAKER, "A")
    _right(case, "x*S_r/V_ac", {"x": (v.limit_multiple, ""), "S_r": (x, "VA"), "V_ac": (230.0, "V")}, fault.current_limit(x, v.limit_multiple, 230.0), "A", "practice")


RULES = {
    "amps-by-ten": Rule(
        "12 V amps are the watts divided by ten", "I = 2·P_dc/(V_oc + √(V_oc² − 4·R·P_dc)), P_dc with standby and loss", "AC load", "W", "50 W", "2000 W", "1000 W", "current", "A",
        lambda v, x: x / 10.0, _current, _work_amps, "Small loads draw more than it says, since standby is left out; large ones draw more as the voltage falls, down to where nothing holds."),
    "ah-times-twelve": Rule(
        "Runtime is amp-hours times twelve over watts", "usable charge at that rate over the current: t = d·H·(C/(I·H))^k", "AC load", "W", "20 W", "1000 W", "75 W", "runtime", "h",
        lambda v, x: v.battery_capacity * VOLTS_NOMINAL / x, _runtime, _work_runtime, "It forgets standby at small loads, the rate at large ones, and the half you do not use at any."),
    "flat-90": Rule(
        "An inverter is 90 % efficient", "P_dc = P_0 + a·P + b·P²/P_r, over the day", "AC load", "W", "10 W", "2000 W", "60 W", "DC power", "W",
        lambda v, x: x / 0.9, lambda v, x: _dc(v, x), _work_flat, "True in the middle of the range. Most of the day is spent at the bottom of it."),
    "full-load-figure": Rule(
        "The efficiency on the sheet is the one to reckon with", "the curve, at the load there is", "AC load", "W", "10 W", "1000 W", "50 W", "DC power", "W",
        lambda v, x: x / _full(v), lambda v, x: _dc(v, x), _work_full_load, "The sheet's figure is taken at a load you seldom have."),
    "idle-is-nothing": Rule(
        "What it draws at idle is negligible", "Q = P_0/V·24 h", "standby power", "W", "6 W", "40 W", "20 W", "charge a day", "Ah",
        lambda v, x: 0.0, _idle, _work_idle, "It runs all day and all night: a fifth of a usual battery is common."),
    "bigger-is-safer": Rule(
        "A bigger inverter is a safe margin that costs nothing", "the same day with the larger unit's standby, in proportion to its rating", "rating", "VA", "300 VA", "3000 VA", "2000 VA", "energy of a light day", "Wh",
        lambda v, x: _day(v, 300.0), _day, _work_bigger, "Standby grows with the size, and is paid whether or not the size is used."),
    "three-per-cent": Rule(
        "3 % of cable drop and all is well", "cable, battery and joints together, against the cut-out", "DC current", "A", "20 A", "200 A", "100 A", "voltage lost", "V",
        lambda v, x: RULE_DROP * VOLTS_NOMINAL, _drop, _work_drop, "The battery and the joints take more than the cable: the margin above the cut-out is what counts."),
    "wire-at-ampacity": Rule(
        "A cable at its rated amps is warm enough to be right", "I_rms = I·√(1 + r²/2)", "ripple", "", "0", "1", "0.8", "heat in the cable", "W",
        lambda v, x: conductor.heat(100.0, v.cable_resistance), lambda v, x: conductor.heat(circuit.current_rms(100.0, x), v.cable_resistance), _work_ripple,
        "The clamp shows the mean; the copper is heated by the pulses as well."),
    "fuse-by-twelve": Rule(
        "The fuse is the watts divided by twelve", "1.25·P_dc/V_co·√(1 + r²/2), and never above the cable", "AC load", "W", "300 W", "2000 W", "1000 W", "fuse rating", "A",
        lambda v, x: x / VOLTS_NOMINAL, _fuse, _work_fuse, "The current is largest at the cut-out, and the fuse feels the pulses: too small a fuse opens on a good day's load. The cable still sets its upper limit."),
    "surge-double": Rule(
        "The surge is twice the running power", "locked-rotor current times voltage", "ratio of starting to running current", "", "1", "8", "5", "starting apparent power", "VA",
        lambda v, x: 2 * MOTOR, lambda v, x: load.starting_apparent_power(MOTOR, x), _work_surge, "A fixed-speed compressor takes 4 to 6 times, a variable-speed one hardly more than its running current."),
    "start-amps-by-volts": Rule(
        "A start of 10 A at 230 V is 192 A at 12 V", "S·PF through the loss curve and the path", "power factor at the start", "", "0.5", "0.8", "0.6", "DC current", "A",
        lambda v, x: START * START_VOLTS / VOLTS_NOMINAL, lambda v, x: _current(v, START * START_VOLTS * x, x), _work_start_amps, "The battery gives watts, not volt-amperes. At a better power factor the sagging voltage takes that back."),
    "microwave-label": Rule(
        "A microwave takes what its label says", "P = P_cook/η", "efficiency of the oven", "%", "55 %", "70 %", "62 %", "input power", "W",
        lambda v, x: COOKING, lambda v, x: load.power_input_from_cooking(COOKING, x), _work_microwave, "The label is the cooking power. The socket gives half as much again, and more."),
    "half-at-12.2": Rule(
        "12.2 V is half full", "V_oc = V + I·R, then the table, after hours of rest", "current while it is read", "A", "0 A", "30 A", "10 A", "state of charge", "%",
        lambda v, x: 0.5, _half, _work_half, "Ten amps through the battery's own resistance are worth several points; a charge an hour ago, many more.", points=True),
    "stop-at-11": Rule(
        "At 11 V it is empty", "V_oc = V + I·R: the charge left depends on the current", "DC current", "A", "90 A", "170 A", "120 A", "charge left", "%",
        lambda v, x: 0.0, _stop_at_eleven, _work_stop, "At a large current it stops with charge left; at a few amps 11 V is far past empty, below the end of the table.", points=True),
    "label-ah": Rule(
        "A lead-acid battery holds what its label says", "C·(I_n/I)^(k − 1)", "DC current", "A", "5 A", "100 A", "40 A", "capacity", "Ah",
        lambda v, x: v.battery_capacity, _label, _work_label, "The label is for twenty hours. Faster, it gives less; some of the rest comes back after a pause."),
    "same-end": Rule(
        "Batteries side by side share, wherever the cables are", "the ladder of batteries and links", "resistance of one link", "mΩ", "0.05 mΩ", "1 mΩ", "0.3 mΩ", "current of the first of four", "A",
        lambda v, x: ROW_CURRENT / ROW, _take_off, _work_take_off, "With both cables at one end the first battery works hardest and dies first."),
    "panel-times-five": Rule(
        "A panel yields its watts times five", "E = P·peak-sun hours·yield", "time of peak sun", "h", "1 h", "6.5 h", "3 h", "energy a day", "Wh",
        lambda v, x: PANEL * 5 * HOUR, lambda v, x: charging.solar_energy(PANEL, x, v.derate), _work_panel, "Five hours without loss is a summer that no panel has seen."),
    "charge-hours": Rule(
        "Hours to charge are amp-hours over amps", "bulk at full current, then a tail that does not shrink", "charge it ends at", "%", "80 %", "98 %", "95 %", "charging time", "h",
        lambda v, x: (x - 0.5) * 5 * HOUR, _charge_hours, _work_charge_hours, "A lead-acid battery takes less and less towards the end, whatever the charger could give."),
    "generator-watts": Rule(
        "A generator has to give the charger's watts", "S = V·I/(η·PF)", "power factor of the charger", "", "0.6", "0.98", "0.7", "rating of the generator", "VA",
        lambda v, x: CHARGER_VOLTS * CHARGER, _generator, _work_generator, "Efficiency and power factor nearly double it; a small generator gives up."),
    "dc-saves-little": Rule(
        "A DC supply saves 10 to 20 %", "energy through the inverter over energy direct", "power of the appliance", "W", "5 W", "200 W", "45 W", "energy through the inverter over direct", "",
        lambda v, x: 1.15, lambda v, x: _dc(v, x / BRICK_EFFICIENCY) * CONVERTER_EFFICIENCY / x, _work_dc_supply, "That is the loss at a good load. Where the appliance alone keeps the inverter on, standby comes on top."),
    "kettle-kills": Rule(
        "A 2 kW kettle takes a battery's 170 Ah", "E = m·c·ΔT/η", "amount of water", "L", "0.25 L", "2 L", "1 L", "charge", "Ah",
        lambda v, x: KETTLE * HOUR / VOLTS_NOMINAL, _kettle, _work_kettle, "It runs for minutes. What it fails on is the current, not the charge."),
    "one-thd": Rule(
        "The distortion of a modified wave is 25 %", "THD = √((V_rms/V_1)² − 1), by the conduction angle", "conduction angle", "deg", "72 deg", "180 deg", "120 deg", "distortion", "%",
        lambda v, x: DISTORTION_TOLD, _distortion, _work_distortion, "It is never below 29\u00a0%, and where the peak follows the battery it moves as the battery does.", points=True),
    "volts-on-any-meter": Rule(
        "The meter shows the voltage there is", "a true-RMS meter; or reading = 1.1107·V_rms·√(θ/180°)", "conduction angle", "deg", "90 deg", "180 deg", "120 deg", "voltage", "V",
        lambda v, x: _shown(x), lambda v, x: 230.0, _work_meter, "Good inverters have been sent back for it."),
    "breaker-protects": Rule(
        "A breaker protects the AC side", "x·S_r/V against 5·I_n for a type B", "rating of the inverter", "VA", "500 VA", "6000 VA", "2000 VA", "fault current", "A",
        lambda v, x: trip_b() * BREAKER, lambda v, x: fault.current_limit(x, v.limit_multiple, 230.0), _work_breaker, "The inverter limits its current long before the breaker's magnet moves: protection is a licensed design."),
}  # fmt: skip
"""Every rule of thumb, by its id."""
