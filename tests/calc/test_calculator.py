"""How ranges are made: each input moved on its own, the shifts combined as independent ones."""

import math

import pytest

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.errors import InputProblems
from calc.units import from_si
from tests.calc.cases import answer, value

STANDBY = {"standby_power": "20 ± 2 W", "voltage_dc": "12 V ± 3 %", "battery_capacity": "100 ± 10 Ah", "hours_on": "24 ± 0 h", "hours_needed": "0 h"}


def test_shifts_of_a_positive_output_are_combined_as_ratios():
    """Root of the sum of squares (JCGM 100, 5.1.2), upward and downward apart: Q = P/V·t, share = Q/C."""
    output = answer("standby", STANDBY).output("battery_share_per_day")
    up = [math.log(22 / 20), math.log(1 / 0.97), math.log(100 / 90)]
    down = [math.log(18 / 20), math.log(1 / 1.03), math.log(100 / 110)]
    assert output.high / output.value == pytest.approx(math.exp(math.hypot(*up)), rel=1e-9)
    assert output.low / output.value == pytest.approx(math.exp(-math.hypot(*down)), rel=1e-9)


def test_shifts_of_an_output_that_may_be_negative_are_combined_as_differences():
    """What the other inverter saves: 24 h·(20 − 22 W)/12 V with each power 10 % uncertain."""
    texts = {**STANDBY, "voltage_dc": "12 ± 0 V", "other_standby_power": "22 ± 2.2 W", "other_hours_on": "24 ± 0 h"}
    output = answer("standby", texts).output("saving_other")
    by_hand = math.hypot(2 * 24 / 12, 2.2 * 24 / 12)
    low, likely, high = (from_si(end, output.unit) for end in (output.low, output.value, output.high))
    assert (low, likely, high) == pytest.approx((-4 - by_hand, -4, -4 + by_hand), rel=1e-9)


def test_the_input_that_moves_it_most_is_named():
    outputs = answer("standby", STANDBY).outputs
    movers = {one.name: one.mover for one in outputs}
    assert movers["battery_share_per_day"] == "Battery capacity"
    assert movers["energy_per_day"] == "Standby power, on with nothing plugged in"


def test_an_input_known_exactly_makes_no_range():
    exact = {name: text.split(" ±")[0] + " ± 0 " + unit for (name, text), unit in zip(STANDBY.items(), ("W", "V", "Ah", "h", "h"), strict=True)}
    for output in answer("standby", {**exact, "hours_needed": "0 ± 0 h", "derate": "0.65 ± 0"}).outputs:
        assert output.low == output.value == output.high and output.mover == ""


def test_a_size_has_the_sizes_seen_for_its_range():
    """120 A takes 35 mm², 150 A still does, 190 A asks for 70 mm²: no size in between is invented."""
    texts = {"rule": "bs-7671-flexible", "ripple": "0", "ambient": "30 ± 0 °C", "length_one_way": "1 ± 0 m"}
    sizes = {current: value(answer("dc-cable", texts, current_dc=f"{current} ± 0 A"), "area_chosen") for current in (100, 145, 190)}
    output = answer("dc-cable", texts, current_dc="100 to 190 A").output("area_chosen")
    assert (output.low, output.value, output.high) == (sizes[100], sizes[145], sizes[190])


def test_where_one_end_has_no_answer_the_range_is_open():
    """Five times the resistance collapses: no voltage at that end, so no low end is given."""
    texts = {"power_ac": "900 W", "cable_resistance": "1 mΩ", "joint_resistance": "1 mΩ", "ripple": "0", "cut_out_senses": "mean"}
    output = answer("supply-path", texts, battery_resistance="10 to 50 mΩ").output("voltage_inverter")
    assert output.low is None and output.high is not None


def test_where_the_other_end_is_what_is_likely_the_range_is_open_towards_the_collapse():
    """With ripple it collapses, without it holds, and without is the likely case: the low end is the open one."""
    texts = {"battery_resistance": "20 ± 0 mΩ", "cable_resistance": "1 mΩ", "joint_resistance": "1 mΩ", "power_dc": "1500 ± 0 W"}
    assert value(answer("supply-path", texts, cut_out_senses="trough", ripple="0.8 ± 0"), "voltage_inverter") is None
    output = answer("supply-path", texts).output("voltage_inverter")
    assert output.value is not None and output.low is None


def test_a_bound_that_cannot_be_passed_is_not_passed():
    result = answer("supply-path", rating="1200 VA", battery_resistance="6 ± 3 mΩ")
    assert result.output("power_ac_max").high <= 1200


def test_a_range_of_positive_outputs_never_reaches_below_nothing():
    for calculator, texts in (("standby", {"standby_power": "10 ± 9.9 W"}), ("conversion-loss", {"power_ac": "1000 ± 990 W"})):
        for output in answer(calculator, texts).outputs:
            if isinstance(output.value, float) and output.value > 0 and output.low is not None:
                assert output.low > 0, output.name


def test_what_the_cut_out_looks_at_moves_together_with_the_ripple():
    """Not known: from the mean without ripple to the trough with all of it."""
    unknown = answer("supply-path", battery_resistance="6 ± 0 mΩ")
    worst = answer("supply-path", battery_resistance="6 ± 0 mΩ", cut_out_senses="trough", ripple="0.8 ± 0")
    assert unknown.output("margin").low <= value(worst, "margin")
    assert any("ripple" in one.mover.lower() and "cut-out" in one.mover for one in unknown.outputs)


def test_an_input_the_answer_does_not_call_for_is_not_used():
    """With the cable's resistance measured, its length says nothing."""
    result = answer("supply-path", cable_resistance="2 mΩ")
    assert not result.input("length_one_way").used and not result.input("area").used and result.input("cable_resistance").used
    assert all("length" not in one.mover.lower() for one in result.outputs)


def test_ranges_come_from_what_was_typed_or_from_what_is_taken_for_granted():
    result = answer("supply-path", power_ac="1000 W", battery_resistance="unknown", voltage_open_circuit="12.6 ± 0.2 V")
    power, resistance, rest = (result.input(name) for name in ("power_ac", "battery_resistance", "voltage_open_circuit"))
    assert (power.low, power.high) == pytest.approx((950, 1050)) and power.basis
    assert (resistance.low, resistance.high) == pytest.approx((0.004, 0.020)) and resistance.how == "unknown"
    assert (rest.low, rest.high) == pytest.approx((12.4, 12.8)) and rest.basis == "as stated"


def test_problems_are_raised_together():
    with pytest.raises(InputProblems) as raised:
        run(CALCULATORS["standby"], {"standby_power": "x", "hours_on": "y"})
    assert [problem.field for problem in raised.value.problems] == ["standby_power", "hours_on"]
