"""The contract of each calculator: ids, fields, answers and their units, as the handbook's list of calculators has them."""

import ast
import re
from pathlib import Path

import pytest

import calc
from calc.calculators import CALCULATORS
from calc.calculators.calculator import Calculator, run
from calc.calculators.form import Choice, Points
from calc.calculators.load_list import LOADS
from calc.calculators.schedule import Daily, Schedule
from calc.render import text as sheet
from calc.result import LEVELS
from calc.sources import SOURCES
from calc.units import read_quantity
from tests.calc.cases import CASES, FOUND, answer, in_every_case, levels

FIELDS = {
    "supply-path": {
        "voltage_open_circuit": "V", "battery_resistance": "mΩ", "cable_resistance": "mΩ", "area": "mm²", "length_one_way": "m", "joint_resistance": "mΩ",
        "power_ac": "W", "power_dc": "W", "rating": "VA", "standby_power": "W", "efficiency_full": "%", "efficiency_peak": "%", "points": None,
        "cut_out": "V", "cut_out_senses": None, "cut_out_delay": "s", "recovery": "V", "battery_current_limit": "A", "ripple": "",
    },
    "dc-cable": {
        "current_dc": "A", "power_ac": "W", "rating": "VA", "standby_power": "W", "efficiency_full": "%", "efficiency_peak": "%", "points": None, "voltage_min": "V",
        "length_one_way": "m", "voltage_nominal": "V", "drop_limit": "%", "insulation": "°C", "ambient": "°C", "engine_space": None, "bundle": "", "rule": None,
        "terminal_temperature": "°C", "conductor": None, "ripple": "", "area": "mm²",
    },
    "standby": {
        "standby_power": "W", "standby_current": "A", "voltage_dc": "V", "hours_on": "h/day", "search_power": "W", "wake_fraction": "", "battery_capacity": "Ah",
        "other_standby_power": "W", "other_hours_on": "h/day",
    },
    "conversion-loss": {
        "rating": "W", "standby_power": "W", "efficiency_full": "%", "efficiency_peak": "%", "points": None, "power_ac": "W", "voltage_dc": "V",
    },
    "battery-size": {
        "energy_per_day": "Wh/day", "days": "", "voltage_nominal": "V", "chemistry": None, "depth_limit": "%", "temperature": "°C", "ageing": "", "design_margin": "",
        "unit_voltage": "V", "unit_capacity": "Ah",
    },
    "runtime": {
        "power_ac": "W", "power_dc": "W", "rating": "VA", "standby_power": "W", "efficiency_full": "%", "efficiency_peak": "%", "points": None, "capacity": "Ah",
        "rate_hours": "h", "chemistry": None, "peukert": "", "temperature": "°C", "depth_limit": "%", "age": "%",
    },
    "charge-state": {
        "voltage": "V", "chemistry": None, "current": "A", "battery_resistance": "mΩ", "rested": "h", "meter_accuracy": "%", "temperature": "°C",
    },
    "parallel-bank": {"count": "", "battery_resistances": "mΩ", "link_resistance": "mΩ", "current": "A", "take_off": None},
    "inverter-size": {
        "power_running": "W", "apparent_power_running": "VA", "power_starting": "W", "apparent_power_starting": "VA", "ambient": "°C", "altitude": "m", "margin": "%",
    },
    "ac-or-dc": {
        "power": "W", "hours_per_day": "h/day", "adaptor_efficiency_ac": "%", "adaptor_efficiency_dc": "%", "standby_carried": None, "rating": "VA", "standby_power": "W",
        "efficiency_full": "%", "efficiency_peak": "%", "points": None,
    },
    "appliance-cost": {"power": "W", "minutes": "min", "uses_per_day": "", "energy_usable": "Wh", "capacity": "Ah", "chemistry": None, "panel_power": "W", "water": "L"},
    "tonight": {"state_of_charge": "%", "voltage_rest": "V", "capacity": "Ah", "chemistry": None, "must_haves": "Wh", "standby_power": "W", "hours_on": "h", "power": "W", "minutes": "min"},
    "fuse": {
        "current_max": "A", "cable_ampacity": "A", "battery_resistance": "mΩ", "chemistry": None, "capacity": "Ah", "voltage_dc": "V", "distance": "m", "surge_current": "A", "surge_time": "s",
        "area": "mm²", "insulation": "°C", "fuse_rule": None,
    },
    "bus-voltage": {"power_ac": "W", "length_one_way": "m", "power_12v": "W", "rule": None},
    "fault-current": {"rating": "VA", "current_limit_multiple": "", "voltage_ac": "V", "breaker_rating": "A", "curve": None},
    "load-list": {"rating": "VA", "standby_power": "W", "inverter_hours": "h", "efficiency_full": "%", "efficiency_peak": "%", "points": None},
    "waveform": {"shape": None, "voltage_rms": "V", "voltage_peak": "V", "conduction_angle": "deg", "frequency": "Hz", "appliance": None},
    "changeover": {
        "outlets": None, "shore_power": None, "generator": None, "budget": None, "fixed_wiring": None, "supply_current": "A", "charger_current": "A",
    },
    "heat": {"loss": "W", "box_area": "m²", "airflow": "m³/h", "ambient": "°C", "charge_current": "A", "battery": None},
    "recharge": {
        "energy": "Wh/day", "panel_power": "W", "sun_hours": "h", "place": None, "month": None, "derate": "", "driving": None, "dcdc_current": "A", "driving_hours": "h", "area": "mm²", "length_one_way": "m",
        "mains": None, "charger_current": "A", "charger_efficiency": "%", "charger_power_factor": "", "chemistry": None,
    },
    "trip": {
        "loads": None, "loads_dc": None, "rating": "VA", "standby_power": "W", "capacity": "Ah", "chemistry": None, "sun_hours": None, "panel_power": "W", "days": "", "step": "min",
        "driving_current": "A", "charger_current": "A",
    },
    "rule-of-thumb": {"rule": None},
    "measure": {
        "voltage_1": "V", "current_1": "A", "voltage_2": "V", "current_2": "A", "pieces": None, "standby_reading": "A", "turns": "", "meter_accuracy": "%", "clamp_accuracy": "%",
        "baseline_battery": "mΩ", "baseline_cable": "mΩ", "baseline_standby": "W",
    },
}  # fmt: skip
"""Field and the unit a bare number has; None for a choice or a list."""

OUTPUTS = {
    "supply-path": {
        "voltage_inverter": "V", "current_dc": "A", "margin": "V", "power_dc_max": "W", "power_ac_max": "W", "drop_battery": "V", "drop_cable": "V", "drop_joints": "V",
        "heat_battery": "W", "heat_cable": "W", "heat_joints": "W", "verdict": "", "state_of_charge_trip": "%",
    },
    "dc-cable": {
        "area_for_drop": "mm²", "area_for_heat": "mm²", "area_chosen": "mm²", "voltage_drop": "V", "drop": "%", "resistance_loop": "mΩ", "loss": "W",
        "conductor_temperature": "°C", "length_one_way_max": "m", "current_max": "A",
    },
    "standby": {
        "current": "A", "charge_per_day": "Ah/day", "energy_per_day": "Wh/day", "battery_share_per_day": "%", "days_to_empty": "day", "panel_power": "W",
        "saving_other": "Ah/day", "saving_off": "Ah/day",
    },
    "conversion-loss": {
        "power_dc": "W", "efficiency": "%", "current_dc": "A", "loss": "W", "best_load": "W", "efficiency_euro": "%", "efficiency_cec": "%",
    },
    "battery-size": {
        "capacity_required": "Ah", "strings_parallel": "", "units_series": "", "capacity_chosen": "Ah", "energy_nominal": "Wh", "mass": "kg",
        "discharge_current_max": "A", "charge_current_max": "A", "cycles_life": "", "energy_throughput": "kWh",
    },
    "runtime": {"runtime": "h", "energy_usable": "Wh", "current_dc": "A", "voltage_end": "V", "ends_by": ""},
    "charge-state": {"state_of_charge": "%", "verdict": "", "stop_voltage": "V"},
    "parallel-bank": {"current_1": "A", "current_8": "A", "worst_ratio": ""},
    "inverter-size": {
        "rating_required": "VA", "rating_chosen": "VA", "surge_required": "VA", "surge_required_power": "W", "load_fraction": "%", "next_down_fails": "", "standby_next_up": "Wh/day",
    },
    "ac-or-dc": {"energy_via_ac": "Wh/day", "energy_via_dc": "Wh/day", "ratio": "", "saving": "Wh/day"},
    "appliance-cost": {
        "energy_per_use": "Wh", "charge_per_use": "Ah", "current_dc": "A", "battery_share": "%", "sun_hours_back": "h", "driving_hours_back": "h", "gas_mass": "g",
        "verdict_energy": "", "verdict_current": "",
    },
    "tonight": {"verdict": "", "shed": "", "energy_left_low": "Wh", "current_dc": "A", "voltage_inverter": "V"},
    "fuse": {
        "rating": "A", "voltage_rating_min": "V", "prospective_fault_current_max": "A", "prospective_fault_current_min": "A", "interrupt_rating_min": "A", "surge": "", "area_min": "mm²",
        "distance_max": "m",
    },
    "bus-voltage": {
        "choice": "", **{f"{name}_{volts}": unit for volts in (12, 24, 48) for name, unit in (("current_dc", "A"), ("area", "mm²"), ("drop", "%"), ("loss", "W"), ("fuse", "A"), ("power_ac_max", "W"))},
    },
    "fault-current": {"current_limit": "A", "trip_current_low": "A", "trip_current_high": "A", "verdict": ""},
    "load-list": {
        "energy_ac": "Wh/day", "energy_dc": "Wh/day", "energy_standby": "Wh/day", "energy_total": "Wh/day", "power_running": "W", "apparent_power_running": "VA",
        "power_starting": "W", "apparent_power_starting": "VA", "largest_share": "%",
    },
    "waveform": {
        "voltage_rms": "V", "voltage_peak": "V", "voltage_fundamental": "V", "crest_factor": "", "form_factor": "", "thd": "%", "harmonic_3": "%", "harmonic_25": "%",
        "meter_reading_average_responding": "V", "verdict": "", "harmonic_voltage_factor": "", "harmonic_voltage_factor_without_triplens": "",
    },
    "changeover": {"arrangement": "", "current_spare": "A"},
    "heat": {"temperature_rise": "K", "airflow_for_rise": "m³/h", "derating": "%", "airflow_hydrogen": "m³/h", "opening_needed": "cm²", "spark_distance": "m"},
    "recharge": {
        "energy_solar": "Wh/day", "energy_driving": "Wh/day", "energy_mains": "Wh/day", "balance": "Wh/day", "hours_mains": "h", "hours_bulk": "h", "hours_tail": "h", "generator_apparent_power": "VA",
    },
    "trip": {
        "state_of_charge_lowest": "%", "hours_below_floor": "h", "energy_unmet": "Wh", "energy_unmet_must": "Wh", "voltage_lowest": "V", "days_until_empty": "day",
        "energy_unmet_off_when_idle": "Wh", "energy_unmet_more_panel": "Wh", "energy_unmet_smaller_inverter": "Wh",
    },
    "rule-of-thumb": {"error_typical": "%"},
    "measure": {"battery_resistance": "mΩ", "worst_resistance": "mΩ", "worst_heat": "W", "standby_power": "W", "cause": ""},
}  # fmt: skip
"""Answer and its unit in --json."""


@pytest.mark.parametrize(("calculator", "name", "unit"), [(calculator, name, unit) for calculator, fields in FIELDS.items() for name, unit in fields.items()])
def test_every_field_is_there_and_a_bare_number_has_its_unit(calculator, name, unit):
    field = next(field for field in CALCULATORS[calculator].fields if field.name == name)
    if unit is None:
        assert isinstance(field, (Choice, Points, Daily, Schedule))
    else:
        assert read_quantity("1", field.unit) == read_quantity(f"1 {unit}", field.unit)


def test_the_contract_names_every_calculator():
    assert FIELDS.keys() == OUTPUTS.keys() == CALCULATORS.keys()


def test_a_row_of_the_load_list_has_its_columns():
    units = {"name": "", "supply": "", "power": "W", "power_factor": "", "starting_factor": "", "starting_power": "W", "quantity": "", "hours_per_day": "h", "duty": "", "group": ""}
    assert {one.name: one.unit for one in LOADS.columns if one.name in units} == units


@pytest.mark.parametrize(("calculator", "name", "unit"), [(calculator, name, unit) for calculator, outputs in OUTPUTS.items() for name, unit in outputs.items()])
def test_every_answer_is_there_in_its_unit(calculator, name, unit):
    told = sheet.as_data(run(CALCULATORS[calculator], CALCULATORS[calculator].shown()))
    assert told["outputs"][name]["unit"] == unit


def test_every_calculator_has_a_test_of_its_own():
    """Named after its id; a calculator without one would hardly be tested at all."""
    tested = {file.stem for file in Path(__file__).parent.glob("test_*.py")}
    assert {f"test_{id.replace('-', '_')}" for id in CALCULATORS} <= tested
    assert CASES.keys() == FOUND.keys() <= CALCULATORS.keys()


def test_ids_are_those_they_are_kept_under():
    assert all(isinstance(one, Calculator) and one.id == id for id, one in CALCULATORS.items())


@pytest.mark.parametrize("calculator", CALCULATORS)
def test_names_are_unique_and_words_are_there(calculator):
    ask = CALCULATORS[calculator]
    for names in ([field.name for field in ask.fields], [one.name for one in ask.answers]):
        assert len(names) == len(set(names))
    assert ask.title.endswith("?") and ask.question.endswith("?")
    assert all(one.label and not one.label.endswith(".") for one in (*ask.fields, *ask.answers))
    assert 3 <= len([one for one in ask.answers if one.main]) <= 6
    assert {name for group in ask.alternatives for way in group for name in way} <= {field.name for field in ask.fields}


def findings_in_the_source():
    """Every code and level a calculator can find, read from its calls of `find`."""
    for file in sorted((Path(calc.__file__).parent / "calculators").glob("*.py")):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "find" and len(node.args) == 3:
                code, level, _ = node.args
                yield file.stem, code.value, level.value


@pytest.mark.parametrize(("calculator", "code", "level", "case"), [(calculator, code, *found) for calculator, codes in FOUND.items() for code, found in codes.items()])
def test_every_finding_is_brought_out_at_its_level(calculator, code, level, case):
    result = answer(calculator, case)
    assert levels(result).get(code) == level
    (text,) = [finding.text for finding in result.findings if finding.code == code]
    assert text[0].isalnum() and not text[0].islower() and text.endswith(".")


def test_every_finding_in_the_source_is_brought_out():
    written = set(findings_in_the_source())
    sources = {calculator: {(code, level) for module, code, level in written if module == calculator.replace("-", "_")} for calculator in FOUND}
    shared = {(code, level) for module, code, level in written if module in ("losses", "appliances")}
    for calculator, codes in FOUND.items():
        brought_out = {(code, level) for code, (level, _) in codes.items()}
        assert sources[calculator] <= brought_out <= sources[calculator] | shared
    assert shared == {("loss-points", "note"), ("no-fallback", "stop"), ("medical", "caution")}


@in_every_case
def test_findings_stand_gravest_first(calculator, case):
    ranks = [LEVELS.index(finding.level) for finding in answer(calculator, case).findings]
    assert ranks == sorted(ranks)


@in_every_case
def test_an_answer_is_a_sentence_with_its_sources(calculator, case):
    result = answer(calculator, case)
    assert result.answer[0].isalnum() and result.answer.endswith(".")
    assert "None" not in result.answer and "nan" not in result.answer
    assert {step.source for step in result.working} <= {source.id for source in result.sources} <= SOURCES.keys()
    assert [one.name for one in result.outputs] == [one.name for one in CALCULATORS[calculator].answers]


LONGEST = 25  # words of a sentence
RANGE = re.compile(r"\((?:none|−?[\d.]+)\S*(?:\s[^\s()]+)? to [^()]*\)")


@in_every_case
def test_no_sentence_is_too_long_to_be_said(calculator, case):
    """Items of a list parted by semicolons count apart, and a range in brackets with its likely value."""
    result = answer(calculator, case)
    for text in (result.answer, *(finding.text for finding in result.findings)):
        for sentence in re.split(r"[.?!;](?=\s)", RANGE.sub("", text)):
            assert len(re.findall(r"\S*\w\S*|%", sentence)) <= LONGEST, sentence
