"""measure: the meter's and clamp's accuracy carried through, and causes ranked by their evidence."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import linregress

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.calculators.measure import Pieces
from calc.errors import FieldProblem, InputProblems
from calc.physics import measure
from tests.calc import typed
from tests.calc.cases import answer, levels, value

LOADS = {"voltage_1": "12.62 V", "current_1": "3 A", "voltage_2": "12.05 V", "current_2": "98 A"}


def half_width(output):
    """Half of an output's range over its likely value."""
    return (output.high - output.low) / 2 / output.value


def test_the_two_load_test_by_hand():
    """0.57 V over 95 A is 6.0 mΩ; 3 A back is 12.638 V; 98 A lose 0.588 V inside."""
    result = answer("measure", LOADS)
    assert value(result, "battery_resistance") == pytest.approx(6.0e-3)
    assert value(result, "voltage_without_load") == pytest.approx(12.638)
    assert value(result, "drop_battery") == pytest.approx(0.588)


def test_two_loads_are_a_straight_line():
    """scipy's regression through the two points has the same slope and intercept."""
    line = linregress([3, 98], [12.62, 12.05])
    result = answer("measure", LOADS)
    assert value(result, "battery_resistance") == pytest.approx(-line.slope)
    assert value(result, "voltage_without_load") == pytest.approx(line.intercept)


@pytest.mark.parametrize(("step", "by_hand"), [(10, 0.15), (30, 0.05), (90, 0.03)])
def test_a_bigger_load_tells_more(step, by_hand):
    """6 mΩ with a 10 mV meter and a 3 % ± 1 A clamp: about ±15 % at 10 A, ±5 % at 30 A, ±3 % at 90 A."""
    texts = {"voltage_1": "12.62 V", "current_1": "2 A", "voltage_2": f"{12.62 - 0.006 * step!r} V", "current_2": f"{2 + step} A", "meter_accuracy": "0 %"}
    result = answer("measure", texts)
    assert half_width(result.output("battery_resistance")) == pytest.approx(by_hand, rel=0.25)


@pytest.mark.parametrize("step", [20, 40, 95])
def test_the_range_is_what_chance_makes_of_the_readings(step):
    """A million readings with numpy: independent normal errors, each instrument's figure as one standard deviation."""
    chance = np.random.default_rng(7)
    count = 1_000_000
    volts = [12.62, 12.62 - 0.006 * step]
    gain_meter, gain_clamp, drift = (size * chance.standard_normal(count) for size in (0.005, 0.03, 1.0))
    digits = 0.005 * chance.standard_normal((2, count))  # half a digit on each voltage
    read = [volt * (1 + gain_meter) + digit for volt, digit in zip(volts, digits)]
    resistances = (read[0] - read[1]) / (step * (1 + gain_clamp) + drift)
    texts = {"voltage_1": f"{volts[0]} V", "current_1": "3 A", "voltage_2": f"{volts[1]!r} V", "current_2": f"{3 + step} A"}
    output = answer("measure", texts).output("battery_resistance")
    low, high = np.percentile(resistances, [15.865, 84.135])
    assert output.value == pytest.approx(np.median(resistances), rel=0.005)
    assert output.high - output.low == pytest.approx(high - low, rel=0.05)
    assert measure.error_two_loads(0.006 * step, step, 0.01, math.hypot(0.005, 0.03), 1.0) == pytest.approx((high - low) / 2 / 0.006, rel=0.05)


def test_the_step_named_knows_it_to_what_is_wanted():
    current = measure.current_step_needed(0.006, 0.01, 0.0304, 1.0, 0.05)
    assert measure.error_two_loads(0.006 * current, current, 0.01, 0.0304, 1.0) == pytest.approx(0.05)
    small = answer("measure", "a small step")
    assert levels(small)["step-small"] == "caution" and "A step of 39\u00a0A" in next(one.text for one in small.findings if one.code == "step-small")


def test_a_range_is_open_where_the_drift_could_be_the_whole_step():
    """0.5 A of step and 1 A of drift: no end above, and no battery accused."""
    result = answer("measure", "a step within the clamp's drift")
    output = result.output("battery_resistance")
    assert None in (output.low, output.high)
    assert value(result, "cause") == "none" and "step-small" in levels(result)


def test_millivolts_are_known_better_than_a_difference_of_volts():
    """2 mΩ at 90 A: ±3 % across the piece, ±5 % and more as a difference even with one meter."""
    piece = answer("measure", pieces="joint 180 mV", current_pieces="90 A")
    assert half_width(piece.output("pieces_resistance")) == pytest.approx(0.033, abs=0.004)
    path = answer("measure", LOADS, voltage_inverter="11.87 V")
    assert half_width(path.output("path_resistance")) > half_width(piece.output("pieces_resistance"))


def test_turns_divide_the_offset():
    """1.6 A: ±1 A is ±13 W in one turn, ±2.6 W in five."""
    one, five = answer("measure", standby_reading="1.6 A"), answer("measure", standby_reading="8 A", turns="5")
    assert value(one, "standby_power") == value(five, "standby_power") == pytest.approx(20.0)
    assert (one.output("standby_power").high - 20) == pytest.approx(12.5, abs=0.2)
    assert (five.output("standby_power").high - 20) == pytest.approx(2.6, abs=0.1)
    assert levels(one)["clamp-offset"] == "caution" and "clamp-offset" not in levels(five)


def test_a_perfect_meter_leaves_no_range():
    output = answer("measure", "a perfect meter").output("battery_resistance")
    assert output.low == output.value == output.high


def test_every_piece_has_its_resistance_and_heat():
    """By hand at 98 A: 12, 30, 60 and 10 mV are 0.122, 0.306, 0.612 and 0.102 mΩ, and 1.18, 2.94, 5.88 and 0.98 W."""
    steps = {step.symbol: step.value for step in answer("measure", "the example").working}
    assert [1e3 * steps[f"R_{n}"] for n in (1, 2, 3, 4)] == pytest.approx([0.122, 0.306, 0.612, 0.102], abs=5e-4)
    assert [steps[f"P_{n}"] for n in (1, 2, 3, 4)] == pytest.approx([1.18, 2.94, 5.88, 0.98], abs=5e-3)


@pytest.mark.parametrize(
    ("pieces", "suspect"),
    [
        ("lug 60 mV", True),  # above 50 mV
        ("lug 49 mV", False),  # 0.49 mΩ, 4.9 W
        ("lug 45 mV, other lug 12 mV", True),  # more than twice its like
        ("lug 18 mV, other lug 5 mV", False),  # more than twice, but sound
        ("lug 45 mV, fuse 12 mV", False),  # not its like
        ("negative cable 120 mV", False),  # copper in length is no joint
    ],
)
def test_what_makes_a_joint_suspect(pieces, suspect):
    result = answer("measure", pieces=pieces, current_pieces="100 A")
    assert ("cause-joint" in levels(result)) == suspect
    assert (value(result, "cause") == "joint") == suspect


@pytest.mark.parametrize(("pieces", "hot"), [("lug 90 mV", False), ("lug 180 mV", True), ("cable 400 mV", False)])
def test_ten_watts_in_one_piece_stop_the_reader(pieces, hot):
    """100 A: 90 mV are 9 W, 180 mV are 18 W."""
    result = answer("measure", pieces=pieces, current_pieces="100 A")
    assert (levels(result).get("piece-hot") == "stop") == hot


def test_causes_are_ranked_by_the_volts_they_cost():
    """At 98 A a battery of 16 mΩ against 6 mΩ costs 1.0 V, a lug at 150 mV 0.13 V; then the other way round."""
    worn = answer("measure", LOADS, voltage_2="11.1 V", baseline_battery="6 mΩ", pieces="lug 150 mV")
    assert value(worn, "cause") == "battery" and worn.answer.index("battery itself") < worn.answer.index("the lug")
    order = [finding.code for finding in worn.findings if finding.code.startswith("cause-")]
    assert order == ["cause-battery", "cause-joint"]
    loose = answer("measure", LOADS, baseline_battery="3.9 mΩ", pieces="lug 700 mV")
    assert value(loose, "cause") == "joint" and "Then at the battery itself" in loose.answer


def test_the_baseline_card_is_what_counts():
    """6 mΩ is sound for 100 Ah of lead-acid, and a change where the card has 3.5 mΩ."""
    assert value(answer("measure", LOADS), "cause") == "none"
    changed = answer("measure", LOADS, baseline_battery="3.5 mΩ")
    assert value(changed, "cause") == "battery"
    assert value(changed, "battery_change") == pytest.approx(6 / 3.5 - 1)
    path = answer("measure", LOADS, voltage_inverter="11.68 V", baseline_cable="3.6 mΩ")
    assert value(path, "cable_change") == pytest.approx(0.37 / 98 / 3.6e-3 - 1) and value(path, "cause") == "none"
    standby = answer("measure", standby_reading="8 A", turns="5", baseline_standby="10 W")
    assert value(standby, "standby_change") == pytest.approx(1.0) and value(standby, "cause") == "standby"


def test_what_no_piece_accounts_for():
    """12.05 to 11.68 V is 0.37 V; 110 mV in three pieces leave 0.26 V."""
    result = answer("measure", "a piece not measured")
    assert value(result, "drop_unexplained") == pytest.approx(0.26)
    assert value(result, "cause") == "unmeasured"


def test_an_open_fuse_is_open_and_no_resistance():
    """12.4 V across it is the battery's voltage; a cable that loses as much is long and thin."""
    result = answer("measure", pieces="fuse 12.4 V, lug 1 mV", current_pieces="2 A")
    assert value(result, "worst_piece") == "fuse, open" and "it is open" in result.answer
    assert [value(result, name) for name in ("worst_resistance", "worst_heat", "pieces_resistance", "pieces_heat")] == [None] * 4
    assert {step.label for step in result.working} == {"lug", "lug, heat"}
    cable = answer("measure", pieces="cable 3.5 V", current_pieces="20 A")
    assert value(cable, "worst_piece") == "cable" and value(cable, "worst_resistance") == pytest.approx(3.5 / 20)


def test_it_says_what_the_readings_leave_open():
    text = next(finding.text for finding in answer("measure", standby_reading="1 A").findings if finding.code == "not-explained")
    assert all(words in text for words in ("two loads", "millivolts across each", "volts at the inverter", "rest voltage"))
    whole = answer("measure", LOADS, voltage_inverter="11.9 V", pieces="lug 100 mV", voltage_rest="12.7 V")
    assert "not-explained" not in levels(whole)


def test_mains_wiring_is_never_metered():
    result = answer("measure", standby_reading="1 A")
    assert "never meter fixed 120 or 230 V wiring" in next(finding.text for finding in result.findings if finding.code == "meter-limits")
    with pytest.raises(InputProblems):
        run(CALCULATORS["measure"], {"voltage_rest": "230 V"})


def test_a_battery_that_must_not_be_charged_is_nowhere_said_to_be_charged():
    below = {finding.code: finding.text for finding in answer("measure", "lithium below its limit").findings}
    assert "Do not charge" in below["below-limit"] and "Charge it" not in below["cause-empty"]
    assert "Charge it" in next(finding.text for finding in answer("measure", "empty").findings if finding.code == "cause-empty")


def test_a_lithium_battery_below_its_limit_stops_the_reader():
    """2.5 V a cell is 10 V."""
    lithium = {"chemistry": "lithium-iron-phosphate"}
    assert levels(answer("measure", lithium, voltage_rest="9.9 V"))["below-limit"] == "stop"
    assert "below-limit" not in levels(answer("measure", lithium, voltage_rest="10.1 V"))


@typed.few
@given(typed.valid("measure"), st.floats(0.1, 10), st.floats(1, 3))
def test_a_worse_clamp_never_narrows_a_range(texts, percent, times):
    first, second = (typed.answered("measure", {**texts, "clamp_accuracy": f"{one:.4f} %"}) for one in (percent, min(percent * times, 19)))
    for name in ("battery_resistance", "pieces_resistance", "standby_power") if first and second and percent * times <= 19 else ():
        one, other = first.output(name), second.output(name)
        if None not in (one.low, one.high, other.low, other.high):
            assert other.high - other.low >= (one.high - one.low) * (1 - 1e-9)


@typed.few
@given(typed.valid("measure", pieces="lug 12 mV, fuse 30 mV, isolator 60 mV"))
def test_pieces_add_up(texts):
    """In volts, and the worst is never more than the whole."""
    if result := typed.answered("measure", texts):
        assert value(result, "pieces_voltage") == pytest.approx(0.102)
        assert value(result, "worst_piece") == "isolator"
        assert value(result, "worst_resistance") <= value(result, "pieces_resistance")


@pytest.mark.parametrize(
    ("text", "pairs"),
    [
        ("lug 40 mV, fuse 25 mV, isolator 60 mV", [("lug", 0.040), ("fuse", 0.025), ("isolator", 0.060)]),
        ("lug 40, fuse 25", [("lug", 0.040), ("fuse", 0.025)]),
        ("lug: 40 mV; fuse = 0.025 V", [("lug", 0.040), ("fuse", 0.025)]),
        ("lug 2 12 mV", [("lug 2", 0.012)]),
        ("lug 12,5 mV, fuse 25 mV", [("lug", 0.0125), ("fuse", 0.025)]),
        ("lug 40 mV,", [("lug", 0.040)]),
        ("lug 40 mV\nfuse 25 mV", [("lug", 0.040), ("fuse", 0.025)]),
    ],
)
def test_a_list_is_read_as_people_write_it(text, pairs):
    found, how, _ = Pieces("pieces", "Pieces").read(text)
    assert how == "given" and [name for name, _ in found] == [name for name, _ in pairs]
    assert [volts for _, volts in found] == pytest.approx([volts for _, volts in pairs])


@pytest.mark.parametrize(
    ("texts", "field", "told"),
    [
        ({}, "voltage_1", "at least one reading"),
        ({"voltage_1": "12.6 V"}, "current_1", "four readings"),
        ({**LOADS, "current_2": ""}, "current_2", "four readings"),
        ({**LOADS, "current_2": "2 A"}, "current_2", "larger"),
        ({**LOADS, "voltage_2": "12.7 V"}, "voltage_2", "below"),
        ({**LOADS, "voltage_inverter": "12.2 V"}, "voltage_inverter", "above"),
        ({"voltage_inverter": "12 V", "voltage_rest": "12.6 V"}, "voltage_2", "same load"),
        ({"pieces": "lug 40 mV"}, "current_pieces", "amps"),
        ({"pieces": "lug 40 mV, fuse", "current_pieces": "90 A"}, "pieces", '"fuse"'),
        ({"pieces": "lug 40 mV, fuse 3 A, isolator 60 mV", "current_pieces": "90 A"}, "pieces", '"fuse 3 A"'),
        ({"pieces": "40 mV", "current_pieces": "90 A"}, "pieces", '"40 mV"'),
        ({"pieces": "lug -40 mV", "current_pieces": "90 A"}, "pieces", "swap the probes"),
        ({"pieces": "lug 90 V", "current_pieces": "90 A"}, "pieces", '"lug 90 V"'),
        ({"standby_reading": "8 A", "turns": "2.5"}, "turns", "whole number"),
        ({"standby_reading": "8 W"}, "standby_reading", "a current"),
        ({**LOADS, "clamp_accuracy": "3 ± 1 %"}, "clamp_accuracy", "one figure"),
        ({**LOADS, "clamp_accuracy": "-3 %"}, "clamp_accuracy", "between"),
    ],
)
def test_what_cannot_be_used_names_its_field(texts, field, told):
    with pytest.raises((InputProblems, FieldProblem)) as found:
        run(CALCULATORS["measure"], texts)
    problems = {one.field: one.text for one in getattr(found.value, "problems", (found.value,))}
    assert told in problems[field]
