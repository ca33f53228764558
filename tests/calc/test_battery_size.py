"""battery-size: capacities, banks and masses by hand; the factors against numpy's interpolation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc import tables
from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.errors import FieldProblem, InputProblems
from calc.physics import bank, battery
from tests.calc import typed
from tests.calc.cases import answer, levels, shown, value

PLAIN = {"ageing": "1", "design_margin": "1", "temperature": "40 °C"}


def test_two_days_at_half_by_hand():
    """1200 Wh a day for two days at 12 V and half: 2400/(12·0.5) = 400 Ah, so four of 100 Ah."""
    result = answer("battery-size", **PLAIN, energy_per_day="1200 Wh", days="2", voltage_nominal="12 V", chemistry="agm", depth_limit="50 %", unit_capacity="100 Ah")
    assert shown(result, "capacity_required") == pytest.approx(400)
    assert (value(result, "strings_parallel"), value(result, "units_series"), value(result, "units_total")) == (4, 1, 4)
    assert shown(result, "energy_nominal") == pytest.approx(4800)
    assert value(result, "mass") == pytest.approx(4800 / 40)


def test_ieee_485_form_by_hand():
    """100 Ah uncorrected at 10 °C, 1.25 and 1.10: 100·1.19·1.25·1.10 = 163.625 Ah; lithium has no 1.19: 137.5 Ah."""
    asked = {"energy_per_day": "600 Wh", "days": "1", "depth_limit": "50 %", "temperature": "10 °C", "ageing": "1.25", "design_margin": "1.1"}
    assert shown(answer("battery-size", **asked, chemistry="flooded"), "capacity_required") == pytest.approx(163.625)
    assert shown(answer("battery-size", **asked, chemistry="lithium-iron-phosphate"), "capacity_required") == pytest.approx(137.5)


def test_a_48_volt_bank_of_6_volt_batteries_by_hand():
    """8 in series; 5000·2/(48·0.5)·1.19·1.25·1.1 = 681.77 Ah of 225 Ah: 4 strings, 32 batteries, 900 Ah."""
    result = answer("battery-size", "48 V of 6 V", temperature="10 °C")
    assert shown(result, "capacity_required") == pytest.approx(681.77, abs=0.01)
    assert (value(result, "strings_parallel"), value(result, "units_series"), value(result, "units_total")) == (4, 8, 32)
    assert shown(result, "capacity_chosen") == 900


def test_a_fast_discharge_needs_more_by_peukerts_law():
    """100 Ah in 4 h at half depth is 25 A for 8 h: 25·20·(8/20)^(1/1.2) = 233.0 Ah where 200 would do slowly."""
    asked = {**PLAIN, "energy_per_day": "1200 Wh", "days": "1", "depth_limit": "50 %", "chemistry": "flooded", "peukert": "1.2"}
    assert shown(answer("battery-size", **asked, hours_per_day="4 h"), "capacity_required") == pytest.approx(233.0, abs=0.05)
    assert shown(answer("battery-size", **asked, hours_per_day="24 h"), "capacity_required") == pytest.approx(200)


@pytest.mark.parametrize("exponent", [1.05, 1.2, 1.35])
@pytest.mark.parametrize("hours", [0.5, 3.0, 19.0])
def test_the_capacity_for_a_time_lasts_that_time(exponent, hours):
    """The inverse of Peukert's law, put back into it."""
    capacity = battery.capacity_for_time(30.0, hours * 3600, 20 * 3600.0, exponent)
    assert battery.time_peukert(30.0, capacity, 20 * 3600.0, exponent) == pytest.approx(hours * 3600, rel=1e-12)
    assert (20 * (capacity / 3600 / (30 * 20)) ** exponent) == pytest.approx(hours, rel=1e-9), "t = H·(C/(I·H))^k, written out"


@pytest.mark.parametrize("temperature", [-6.7, -3.2, 0.0, 5.0, 12.3, 20.0, 26.7])
def test_the_temperature_factor_is_numpys_interpolation(temperature):
    table = tables.load("temperature_multiplier_worksheet")
    expected = np.interp(temperature, table.column("temperature"), table.column("multiplier"))
    assert value(answer("battery-size", chemistry="gel", temperature=f"{temperature} °C ± 0"), "temperature_factor") == pytest.approx(expected, rel=1e-12)


def test_the_two_temperature_tables_agree():
    """IEEE 485, remembered and counted from 25 °C, against the worksheets, found and counted from 26.7 °C: within 0.035."""
    ieee, worksheet = tables.load("temperature_factor_ieee_485"), tables.load("temperature_multiplier_worksheet")
    for temperature, factor in zip(ieee.column("temperature"), ieee.column("factor"), strict=True):
        if temperature <= 26.7:
            assert np.interp(temperature, worksheet.column("temperature"), worksheet.column("multiplier")) == pytest.approx(factor, abs=0.035)


def test_a_hair_above_a_whole_number_is_that_number():
    assert bank.strings_needed(400.0 * (1 + 1e-9), 100.0) == 4
    assert bank.strings_needed(400.1, 100.0) == 5
    assert bank.strings_needed(1.0, 100.0) == 1


def test_currents_by_hand():
    """400 Ah of gel takes 0.1 to 0.2 A per Ah: 40 A, at most 80 A; two strings of a 50 A battery give 100 A."""
    gel = answer("battery-size", **PLAIN, chemistry="gel", depth_limit="50 %")
    assert (value(gel, "charge_current_usual"), value(gel, "charge_current_max")) == pytest.approx((40, 80))
    lithium = answer("battery-size", **PLAIN, chemistry="lithium-iron-phosphate", energy_per_day="960 Wh", battery_current_limit="50 A", power_dc_max="900 W")
    assert value(lithium, "discharge_current_max") == 100
    # 900 W at four cells of 2.5 V.
    assert value(lithium, "power_dc_max_current") == pytest.approx(90)
    assert "battery-limit" not in levels(lithium)
    assert levels(answer("battery-size", **PLAIN, chemistry="lithium-iron-phosphate", energy_per_day="960 Wh", battery_current_limit="50 A", power_dc_max="1100 W"))["battery-limit"] == "stop"


def test_life_only_from_the_sheet():
    """500 cycles of half of 4800 Wh, fading to 80 %: 500·0.5·4800·0.9 = 1080 kWh. Without the sheet, none."""
    asked = {**PLAIN, "energy_per_day": "1200 Wh", "chemistry": "agm", "depth_limit": "50 %"}
    assert shown(answer("battery-size", **asked, cycles="500"), "energy_throughput") == pytest.approx(1080)
    without = answer("battery-size", **asked)
    assert value(without, "energy_throughput") is None and "life-not-held" in levels(without)


def test_no_charge_in_the_cold_for_lithium():
    cold = answer("battery-size", "lithium in the cold")
    assert levels(cold)["charge-too-cold"] == "stop" and value(cold, "charge_current_max") == 0
    assert value(answer("battery-size", "lithium in the cold, not charged then"), "charge_current_max") > 0


def test_days_held_are_those_asked_for_where_the_bank_is_exact():
    """Without the design margin a bank of just the required size holds just the days asked for, old and cold."""
    result = answer("battery-size", energy_per_day="600 Wh", days="2", depth_limit="50 %", chemistry="flooded", temperature="10 °C", ageing="1.25", design_margin="1", unit_capacity="297.5 Ah")
    assert value(result, "strings_parallel") == 1
    assert shown(result, "days_held") == pytest.approx(2)


KINDS = st.sampled_from(["flooded", "agm", "gel", "lead-acid", "lithium-iron-phosphate"])


def required(**asked):
    return value(answer("battery-size", **asked), "capacity_required")


@typed.few
@given(KINDS, st.tuples(st.floats(-6.7, 60), st.floats(-6.7, 60)).map(sorted))
def test_colder_never_needs_less_and_heat_earns_no_credit(chemistry, temperatures):
    colder, warmer = (required(chemistry=chemistry, temperature=f"{t:.3f} °C ± 0") for t in temperatures)
    assert colder >= warmer * (1 - 1e-12)
    assert warmer >= required(chemistry=chemistry, temperature="60 °C ± 0") == required(chemistry=chemistry, temperature="26.7 °C ± 0")


@typed.few
@given(KINDS, st.tuples(st.floats(1, 2), st.floats(1, 2)).map(sorted), st.sampled_from(["ageing", "design_margin"]))
def test_a_larger_factor_needs_more_in_proportion(chemistry, factors, name):
    small, large = (required(chemistry=chemistry, **{name: f"{factor:.6f}"}) for factor in factors)
    assert large / small == pytest.approx(float(f"{factors[1]:.6f}") / float(f"{factors[0]:.6f}"), rel=1e-9)


@typed.few
@given(KINDS, st.tuples(st.floats(10, 100), st.floats(10, 100)).map(sorted), st.floats(1, 24))
def test_using_less_of_it_needs_more_of_it(chemistry, depths, hours):
    shallow, deep = (required(chemistry=chemistry, depth_limit=f"{depth:.3f} %", hours_per_day=f"{hours:.2f} h") for depth in depths)
    assert shallow >= deep * (1 - 1e-9)


@typed.few
@given(typed.valid("battery-size"))
def test_the_bank_holds_what_is_required(texts):
    texts.pop("strings_least", None)  # which asks for more than is required
    result = typed.answered("battery-size", texts)
    if result is None:
        return
    assert value(result, "capacity_chosen") >= value(result, "capacity_required") * (1 - 2e-6)
    assert value(result, "capacity_chosen") - value(result, "capacity_required") < result.input("unit_capacity").value


@pytest.mark.parametrize(
    ("field", "typed_in"),
    [
        ("unit_voltage", {"voltage_nominal": "12 V", "unit_voltage": "8 V"}),
        ("unit_voltage", {"voltage_nominal": "12 V", "unit_voltage": "24 V"}),
        ("voltage_nominal", {"voltage_nominal": "30 V"}),
        ("depth_limit", {"depth_limit": "101 %"}),
        ("ageing", {"ageing": "0.8"}),
        ("design_margin", {"design_margin": "0.9"}),
        ("days", {"days": "-1"}),
        ("energy_per_day", {"energy_per_day": "100 Ah"}),
        ("temperature", {"temperature": "-15 °C", "chemistry": "gel"}),
        ("chemistry", {"chemistry": "nickel"}),
        ("hours_per_day", {"hours_per_day": "25 h"}),
        ("specific_energy", {"specific_energy": "40 Wh"}),
    ],
)
def test_what_cannot_be_used_names_its_field(field, typed_in):
    with pytest.raises((InputProblems, FieldProblem)) as caught:
        run(CALCULATORS["battery-size"], typed_in)
    problems = getattr(caught.value, "problems", (caught.value,))
    assert [problem.field for problem in problems] == [field]


def test_the_answer_says_what_to_buy():
    said = answer("battery-size", "48 V of 6 V").answer.replace("\u00a0", " ")
    assert "32 batteries of 6 V, 225 Ah, in 4 strings of 8 in series" in said
    assert "one battery of 12 V, 200 Ah" in answer("battery-size", "one battery").answer.replace("\u00a0", " ")
