"""The contract of each calculator: ids, fields, answers and their units, as the handbook's list of calculators has them."""

import ast
from pathlib import Path

import pytest

import calc
from calc.calculators import CALCULATORS
from calc.calculators.calculator import Calculator
from calc.calculators.form import Choice, Points
from calc.result import LEVELS
from calc.sources import SOURCES
from calc.units import read_quantity
from tests.calc.cases import CASES, EVERY, FOUND, answer, levels

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
}  # fmt: skip
"""Answer and its unit in --json."""


@pytest.mark.parametrize(("calculator", "name", "unit"), [(calculator, name, unit) for calculator, fields in FIELDS.items() for name, unit in fields.items()])
def test_every_field_is_there_and_a_bare_number_has_its_unit(calculator, name, unit):
    field = next(field for field in CALCULATORS[calculator].fields if field.name == name)
    if unit is None:
        assert isinstance(field, (Choice, Points))
    else:
        assert read_quantity("1", field.unit) == read_quantity(f"1 {unit}", field.unit)


@pytest.mark.parametrize(("calculator", "name", "unit"), [(calculator, name, unit) for calculator, outputs in OUTPUTS.items() for name, unit in outputs.items()])
def test_every_answer_is_there_in_its_unit(calculator, name, unit):
    declared = next(one for one in CALCULATORS[calculator].answers if one.name == name)
    assert declared.unit == unit


def test_every_calculator_has_its_cases():
    """A calculator without cases here would not be tested at all."""
    assert CASES.keys() == FOUND.keys() == CALCULATORS.keys()


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
    assert text[0].isalnum() and text.endswith(".")


def test_every_finding_in_the_source_is_brought_out():
    shared = {"losses": ["supply-path", "dc-cable", "conversion-loss"]}
    for module, code, level in findings_in_the_source():
        for calculator in shared.get(module, [module.replace("_", "-")]):
            assert FOUND[calculator][code][0] == level, f"{calculator}: {code}"
    declared = {(module.replace("_", "-"), code) for module, code, _ in findings_in_the_source()}
    reached = {(calculator, code) for calculator, codes in FOUND.items() for code in codes if code != "loss-points"}
    assert reached <= declared


@pytest.mark.parametrize(("calculator", "case"), EVERY)
def test_findings_stand_gravest_first(calculator, case):
    ranks = [LEVELS.index(finding.level) for finding in answer(calculator, case).findings]
    assert ranks == sorted(ranks)


@pytest.mark.parametrize(("calculator", "case"), EVERY)
def test_an_answer_is_a_sentence_with_its_sources(calculator, case):
    result = answer(calculator, case)
    assert result.answer[0].isalnum() and result.answer.endswith(".")
    assert "None" not in result.answer and "nan" not in result.answer
    assert {step.source for step in result.working} == {source.id for source in result.sources} <= SOURCES.keys()
    assert [one.name for one in result.outputs] == [one.name for one in CALCULATORS[calculator].answers]
