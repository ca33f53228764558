"""The working shown is the working done.

What a reader sees, the formula with its symbols, the same with numbers, and the value, is
read back from the displayed text and worked out again with pint: value and unit must come
out. The slack is what the display's own rounding allows: each displayed input moved by
half of its fifth figure, and the value's own half figure.
"""

import ast
import dataclasses
import random
import xml.etree.ElementTree as ElementTree

import pint
import pytest
from hypothesis import given

from calc.render import formula
from tests.calc import typed
from tests.calc.cases import CASES, EVERY, answer, in_every_case
from tests.calc.displayed import FUNCTIONS, as_python, check, evaluate


@in_every_case
def test_every_displayed_line_works_out(calculator, case):
    result = answer(calculator, case)
    assert result.working or case in ("nothing at all", "an open fuse")
    for step in result.working:
        check(step)


@pytest.mark.parametrize("calculator", CASES)
def test_every_displayed_line_works_out_for_anything_typed(calculator):
    lines = []

    @typed.few
    @given(typed.valid(calculator))
    def works_out(texts):
        result = typed.answered(calculator, texts)
        for step in result.working if result else ():
            check(step)
            lines.append(step)

    works_out()
    assert len(lines) > 30


STEPS = {f"{calculator} {step.symbol}": step for calculator, cases in CASES.items() for step in answer(calculator, next(iter(cases))).working}


@pytest.mark.parametrize("step", STEPS.values(), ids=STEPS)
def test_a_tampered_line_is_caught(step):
    """A value one per cent off, another formula, another unit: none may pass."""
    check(step)
    with pytest.raises(AssertionError):
        check(dataclasses.replace(step, value=step.value * 1.01))
    with pytest.raises(AssertionError):
        check(dataclasses.replace(step, formula=f"{step.formula} + 0.01*({step.formula})"))
    with pytest.raises(AssertionError):
        check(dataclasses.replace(step, unit="cd"))
    name, (number, shown) = next((name, pair) for name, pair in step.inputs.items() if pair[0])
    with pytest.raises((AssertionError, pint.DimensionalityError, ValueError)):
        check(dataclasses.replace(step, inputs={**step.inputs, name: (number, "cd")}))


MEANING = {
    "supply-path": {"R_cable": "cable_resistance_loop", "R": "resistance_total", "P_dc": "power_dc", "I": "current_dc", "V": "voltage_inverter",
                    "V_trough": "voltage_trough", "M": "margin", "P_max": "power_dc_max"},
    "dc-cable": {"I": "current_dc", "I_rms": "current_rms", "R": "resistance_loop", "U": "voltage_drop", "u": "drop", "P_loss": "loss",
                 "L_max": "length_one_way_max", "I_allowed": "ampacity", "T": "conductor_temperature"},
    "standby": {"P": "power_average", "I": "current", "Q": "charge_per_day", "E": "energy_per_day", "q": "battery_share_per_day",
                "t_limit": "days_to_depth_limit", "P_panel": "panel_power"},
    "conversion-loss": {"P_dc": "power_dc", "eta": "efficiency", "P_loss": "loss", "I": "current_dc", "P_best": "best_load"},
    "battery-size": {"I": "current_dc", "C_u": "capacity_uncorrected", "F_T": "temperature_factor", "C": "capacity_required", "C_bank": "capacity_chosen",
                     "E_bank": "energy_nominal", "m": "mass", "I_charge": "charge_current_max", "E_life": "energy_throughput"},
    "runtime": {"P_dc": "power_dc", "C_e": "capacity_left", "Q": "charge", "t": "runtime", "E": "energy_usable"},
    "charge-state": {"R_b": "battery_resistance_used", "U_I": "drop", "U_l": "lingering", "U_T": "temperature_shift", "V_rest": "voltage_rest",
                     "V_12": "voltage_table", "s": "state_of_charge", "V_stop": "stop_voltage"},
    "parallel-bank": {"I_1": "current_1", "I_2": "current_2", "I_3": "current_3", "q": "worst_ratio"},
    "waveform": {"theta": "conduction_angle", "V_p": "voltage_peak", "V_rms": "voltage_rms", "V_1": "voltage_fundamental", "THD": "thd",
                 "V_shown": "meter_reading_average_responding", "M": "motor_torque", "k": "dropper_current_ratio", "P_R": "dropper_heat"},
    "changeover": {"I_allowed": "current_allowed", "I_other": "current_other", "S_charger": "apparent_power_charger", "I_charger": "current_charger",
                   "I_spare": "current_spare", "I_max": "charger_current_max", "I_limit": "current_limit"},
    "heat": {"P_loss": "loss_heat", "DeltaT": "temperature_rise", "Q_rise": "airflow_for_rise", "k": "derating", "I_gas": "gas_current",
             "Q_gas": "airflow_hydrogen", "A_gas": "opening_needed", "d_spark": "spark_distance"},
    "rule-of-thumb": {"e": "error_typical"},
    "fuse": {"I_rms": "current_rms", "I_need": "rating_needed", "I_allowed": "ampacity", "I_most": "prospective_fault_current_max", "I_least": "prospective_fault_current_min",
             "k": "adiabatic_k", "t_stand": "time_withstand", "E_stand": "energy_withstand"},
    "bus-voltage": {"P_dc": "power_dc", "I_12": "current_dc_12", "I_24": "current_dc_24", "I_48": "current_dc_48", "P_conv": "converter_loss"},
    "fault-current": {"I_limit": "current_limit", "I_may": "trip_current_low", "I_must": "trip_current_high", "S_need": "rating_to_trip"},
    "measure": {"R_battery": "battery_resistance", "V_0": "voltage_without_load", "P_0": "standby_power"},
    "inverter-size": {"S_r": "rating_required", "S_surge": "surge_required", "S_x": "rating_for_surge", "q": "load_fraction", "E_up": "standby_next_up", "I": "current_dc"},
    "ac-or-dc": {"P": "power_ac", "P_dc": "power_dc_via_ac", "E_ac": "energy_via_ac", "E_dc": "energy_via_dc", "x": "ratio", "E_saved": "saving", "Q_saved": "saving_charge"},
    "appliance-cost": {"E": "energy_per_use", "Q": "charge_per_use", "E_usable": "energy_usable_found", "q": "battery_share", "I": "current_dc", "I_limit": "current_limit",
                       "t_sun": "sun_hours_back", "t_drive": "driving_hours_back", "m": "gas_mass", "t": "time_per_use"},
    "recharge": {"E_sun": "energy_solar", "V_cold": "voltage_string_cold", "R_cable": "resistance_loop", "E_drive": "energy_driving", "E_mains": "energy_mains", "I_alt": "current_alternator",
                 "P_ac": "charger_power", "S": "generator_apparent_power", "P_net": "power_own_inverter", "t_bulk": "hours_bulk", "t_tail": "hours_tail", "t": "hours_mains", "E_balance": "balance"},
    "trip": {"E_sun": "energy_solar", "q_end": "state_of_charge_end", "E_unmet": "energy_unmet"},
    "tonight": {"E_low": "energy_left_low", "E_wish": "energy_wish", "E_all": "energy_planned", "E_spare": "energy_spare", "I": "current_dc", "V": "voltage_inverter"},
}  # fmt: skip
"""Which output a line of working stands for."""


@in_every_case
def test_a_line_of_working_ends_in_the_output_it_stands_for(calculator, case):
    result = answer(calculator, case)
    for step in result.working:
        if name := MEANING[calculator].get(step.symbol):
            output = result.output(name)
            assert step.value == pytest.approx(output.value, rel=1e-9, abs=1e-12), f"{step.symbol} is not {name}"


def test_every_meaning_is_met():
    """A symbol that is renamed would drop out of the test above in silence."""
    for calculator, meaning in MEANING.items():
        seen = {step.symbol for place, case in EVERY if place == calculator for step in answer(calculator, case).working}
        assert meaning.keys() <= seen


@in_every_case
def test_lines_hand_their_values_on(calculator, case):
    """Where a line uses a symbol an earlier line worked out, it uses that value."""
    worked_out = {}
    for step in answer(calculator, case).working:
        for name, (value, _) in step.inputs.items():
            assert value == pytest.approx(worked_out.get(name, value), rel=1e-12, abs=1e-300)
        worked_out[step.symbol] = step.value


OPERATORS = {"+": "+", "−": "-", "·": "*", "=": "==", "(": "(", ")": ")"}


def from_mathml(node):
    """MathML in Python's syntax, read as the eye reads it: only fractions, roots and brackets group."""
    inside = [from_mathml(child) for child in node]
    match node.tag:
        case "math" | "mrow":
            return "".join(inside)
        case "mo":
            return OPERATORS[node.text]
        case "mn" | "mi":
            return node.text
        case "mtext":
            return node.text.replace(" ", "_")
        case "msub":
            return "_".join(inside)
        case "mfrac":
            return f"(({inside[0]})/({inside[1]}))"
        case "msqrt":
            return f"sqrt({''.join(inside)})"
        case "mroot":
            return f"cbrt({inside[0]})"
        case "msup":
            return f"{inside[0]}**({inside[1]})"
    raise AssertionError(f"{node.tag} has no place here")


@in_every_case
def test_the_drawn_formula_is_the_formula(calculator, case):
    """MathML is well-formed, holds the same names, and gives the same value as the text."""
    chance = random.Random(4)
    for step in answer(calculator, case).working:
        drawn = from_mathml(ElementTree.fromstring(str(formula.to_mathml(step.symbol, step.formula))))
        left, right = drawn.split("==")
        names = {node.id for node in ast.walk(ast.parse(step.formula)) if isinstance(node, ast.Name)} - FUNCTIONS.keys()
        assert left == formula.symbol_text(step.symbol)
        assert {node.id for node in ast.walk(ast.parse(right)) if isinstance(node, ast.Name)} - FUNCTIONS.keys() == {formula.symbol_text(name) for name in names}
        values = {name: chance.uniform(0.5, 2.0) for name in names}
        expected = evaluate(step.formula, values)
        assert evaluate(right, {formula.symbol_text(name): value for name, value in values.items()}) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    "expression", ["a - (b - c)", "a/(b*c)", "a/(b/c)", "(a + b)*c", "(a/b)**2", "(a + b)**2", "a - b*(c + a)", "-a*b", "-(a + b)", "sqrt(a + b)*c", "a*(b/c)", "(a - b) - c", "(a/b)**(c - 1)", "a*b**c"]
)
def test_brackets_stand_where_they_must(expression):
    """In text, with numbers, and drawn."""
    values = {"a": 2.0, "b": 3.0, "c": 5.0}
    expected = evaluate(expression, values)
    assert evaluate(as_python(formula.to_text(expression)), values) == pytest.approx(expected)
    assert evaluate(as_python(formula.to_text(expression, {name: f"{value:g}" for name, value in values.items()})), {}) == pytest.approx(expected)
    drawn = from_mathml(ElementTree.fromstring(str(formula.to_mathml("x", expression)))).split("==")[1]
    assert evaluate(drawn, values) == pytest.approx(expected)


def test_a_negative_number_keeps_its_sign():
    numbers = {"a": "−2", "b": "3"}
    for expression in ("a**2", "b - a", "b*a", "b + a"):
        expected = evaluate(expression, {"a": -2.0, "b": 3.0})
        assert evaluate(as_python(formula.to_text(expression, numbers)), {}) == pytest.approx(expected)
