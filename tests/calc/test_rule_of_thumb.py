"""rule-of-thumb: each rule against a second calculation, written out here without calc's physics."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.calculators.thumb_rules import RULES
from calc.errors import FieldProblem, InputProblems
from calc.render import words
from calc.units import from_si, read_quantity
from tests.calc import typed
from tests.calc.cases import answer, levels, value

# Standby 20 W, a = 1.05, b = 0.06 for 2000 VA, on 12.6 V behind 6 + 2 + 1.5 = 9.5 mΩ.
FIGURES = {
    "rating": "2000 VA", "standby_power": "20 W", "efficiency_full": f"{100 * 2000 / 2240!r} %", "efficiency_peak": f"{100 / (1.05 + 2 * 0.0006**0.5)!r} %",
    "voltage_open_circuit": "12.6 V", "battery_resistance": "6 mΩ", "cable_resistance": "2 mΩ", "joint_resistance": "1.5 mΩ", "battery_capacity": "100 Ah",
    "peukert": "1.2", "depth_limit": "50 %", "cut_out": "10.5 V", "ripple": "0.8", "derate": "0.65", "limit_multiple": "2",
}  # fmt: skip
BCI = ([11.89, 12.06, 12.24, 12.45, 12.65], [0, 25, 50, 75, 100])


def dc(power, apparent=None):
    return 20 + 1.05 * power + 0.06 * (apparent or power) ** 2 / 2000


def current(power, apparent=None):
    """A solver's root of V·I − R·I² = P, below the summit."""
    return brentq(lambda i: 12.6 * i - 9.5e-3 * i**2 - dc(power, apparent), 0, 12.6 / (2 * 9.5e-3), xtol=1e-12)


def first_of_four(link):
    """Kirchhoff's equations of four batteries and three pairs of links, solved by numpy.

    Taken off at battery 1: from one battery to the next, the drop of all beyond in both links.
    """
    equations = np.zeros((4, 4))
    for place in range(3):
        equations[place, place], equations[place, place + 1] = -3.0, 3.0  # mΩ
        equations[place, place + 1 :] += 2 * link
    equations[3] = 1
    return np.linalg.solve(equations, [0, 0, 0, 150])[0]


def charge_hours(target):
    """From half full at 20 A into 100 Ah, at most the amp-hours still missing: stepped by the second."""
    missing, hours = 50.0, 0.0
    while missing > 100 - target:
        missing -= min(20.0, missing) / 3600
        hours += 1 / 3600
    return hours


EXPECTED = {
    "amps-by-ten": (1000, 100, current(1000)),
    "ah-times-twelve": (75, 100 * 12 / 75, 0.5 * 20 * (100 / (current(75) * 20)) ** 1.2),
    "flat-90": (60, 60 / 0.9, dc(60)),
    "full-load-figure": (50, 50 * 2240 / 2000, dc(50)),
    "idle-is-nothing": (20, 0, 20 * 24 / 12.6),
    "bigger-is-safer": (2000, 3 * 24 + 1.05 * 380 + 0.06 * 50**2 / 300 * 7.6, 20 * 24 + 1.05 * 380 + 0.06 * 50**2 / 2000 * 7.6),
    "three-per-cent": (100, 0.36, 0.36 + 100 * 7.5e-3),
    "wire-at-ampacity": (0.8, 100**2 * 2e-3, 100**2 * 2e-3 * 1.32),
    "fuse-by-twelve": (1000, 1000 / 12, 1.25 * dc(1000) / 10.5 * math.sqrt(1.32)),
    "surge-double": (5, 600, 1500),
    "start-amps-by-volts": (0.6, 2300 / 12, current(2300 * 0.6, 2300)),
    "microwave-label": (62, 700, 700 / 0.62),
    "half-at-12.2": (10, 50, np.interp(12.2 + 10 * 6e-3, *BCI)),
    "stop-at-11": (120, 0, np.interp(11 + 120 * 9.5e-3, *BCI)),
    "label-ah": (40, 100, 40 * 20 * (100 / (40 * 20)) ** 1.2),
    "same-end": (0.3, 37.5, first_of_four(0.3)),
    "panel-times-five": (3, 1000, 200 * 3 * 0.65),
    "charge-hours": (95, 45 / 20, charge_hours(95)),
    "generator-watts": (0.7, 14.2 * 40, 14.2 * 40 / 0.87 / 0.7),
    "dc-saves-little": (45, 1.15, dc(45 / 0.88) / (45 / 0.92)),
    "kettle-kills": (1, 2000 / 12, 4188 * 0.999 * 85 / 0.85 * (2240 / 2000) / 3600 / 12.6),
    "one-thd": (120, 25, 100 * math.sqrt(math.pi**2 / 9 - 1)),
    "volts-on-any-meter": (120, 230 * math.pi / math.sqrt(8) * math.sqrt(2 / 3), 230),
    "breaker-protects": (2000, 50, 2 * 2000 / 230),
}
"""Rule → (where it is mostly used, what it says there, what is right there), in the units shown."""


def test_every_rule_is_worked_out_here():
    assert EXPECTED.keys() == RULES.keys() and len(RULES) >= 12


@pytest.mark.parametrize("id", RULES)
def test_a_rule_and_what_is_right_where_it_is_mostly_used(id):
    rule, (place, says, right) = RULES[id], EXPECTED[id]
    result = answer("rule-of-thumb", rule=id, **FIGURES)
    values = {step.symbol: from_si(step.value, step.unit) for step in result.working}
    assert from_si(read_quantity(rule.typical, rule.unit).likely, rule.unit) == pytest.approx(place)
    assert values["y_rule"] == pytest.approx(says, rel=1e-5)
    assert values["y_right"] == pytest.approx(right, rel=2e-3 if id == "charge-hours" else 1e-5)
    error = (says - right) / 100 if rule.points else says / right - 1
    assert value(result, "error_typical") == pytest.approx(error, abs=2e-3 if id == "charge-hours" else 2e-5)
    assert value(result, "error_low") <= value(result, "error_typical") + 1e-9
    assert value(result, "error_typical") <= value(result, "error_high") + 1e-9


@pytest.mark.parametrize(
    ("id", "lowest", "highest"),
    [
        ("one-thd", 0.25 - math.sqrt(0.4 * math.pi**2 / 8 / math.sin(math.pi / 5) ** 2 - 1), 0.25 - 0.2896), ("volts-on-any-meter", math.pi / 4 - 1, math.pi / math.sqrt(8) - 1), ("surge-double", -0.75, 1.0), ("wire-at-ampacity", 1 / 1.5 - 1, 0.0),
        ("microwave-label", -0.45, -0.30), ("panel-times-five", 5 / 6.5 / 0.65 - 1, 5 / 0.65 - 1), ("generator-watts", 0.6 * 0.87 - 1, 0.98 * 0.87 - 1), ("breaker-protects", 50 * 230 / 12000 - 1, 50 * 230 / 1000 - 1),
    ],
)  # fmt: skip
def test_errors_at_the_ends_of_the_usual_range_by_hand(id, lowest, highest):
    result = answer("rule-of-thumb", rule=id, **FIGURES)
    tolerance = 1e-4 if id == "one-thd" else 1e-6
    assert value(result, "error_low") == pytest.approx(lowest, abs=tolerance)
    assert value(result, "error_high") == pytest.approx(highest, abs=tolerance)


def test_a_range_of_ones_own_is_used():
    result = answer("rule-of-thumb", rule="microwave-label", range_low="60 %", range_high="65 %")
    assert (value(result, "error_low"), value(result, "error_high")) == pytest.approx((-0.40, -0.35))
    axis = result.figures[0].x
    assert (axis.low, axis.high) == pytest.approx((60, 65))


def test_a_range_past_the_collapse_says_so_and_counts_the_rest():
    """20 + 2 + 1.5 mΩ: 12.6²/4R = 1689 W of DC, about 1.5 kW of AC."""
    result = answer("rule-of-thumb", rule="amps-by-ten", battery_resistance="20 mΩ")
    assert levels(result)["no-answer-there"] == "caution"
    assert value(result, "error_low") is not None


def test_the_formula_that_replaces_it_is_given():
    for id, rule in RULES.items():
        result = answer("rule-of-thumb", rule=id)
        assert value(result, "formula") == rule.instead
        assert rule.instead in next(one.text for one in result.findings if one.code == "instead")


@pytest.mark.parametrize(
    ("texts", "field"),
    [
        ({"rule": "my-uncle-says"}, "rule"), ({"rule": "flat-90", "range_low": "3 h"}, "range_low"), ({"rule": "microwave-label", "range_high": "120 %"}, "range_high"),
        ({"rule": "one-thd", "range_high": "200 deg"}, "range_high"), ({"rule": "generator-watts", "range_high": "1.1"}, "range_high"), ({"rule": "flat-90", "range_low": "-5 W"}, "range_low"),
        ({"rule": "panel-times-five", "range_low": "3 W"}, "range_low"), ({"voltage_open_circuit": "24 V"}, "voltage_open_circuit"), ({"depth_limit": "120 %"}, "depth_limit"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_said_at_its_field(texts, field):
    with pytest.raises(InputProblems) as caught:
        run(CALCULATORS["rule-of-thumb"], texts)
    assert field in [problem.field for problem in caught.value.problems]


@pytest.mark.parametrize(
    ("texts", "field"),
    [
        ({"rule": "flat-90", "range_low": "500 W", "range_high": "100 W"}, "range_low"), ({"rule": "flat-90", "range_high": "5 W"}, "range_high"),
        ({"rule": "flat-90", "range_high": "3000 W"}, "range_high"), ({"rule": "flat-90", "rating": "1000 VA", "standby_power": "8 W"}, "rating"),
        ({"cut_out": "12 V", "voltage_open_circuit": "11.9 V"}, "cut_out"), ({"efficiency_full": "92 %", "efficiency_peak": "90 %"}, "efficiency_peak"),
        ({"rule": "stop-at-11", "range_low": "9 A", "range_high": "40 A"}, "range_low"),
    ],
)  # fmt: skip
def test_what_contradicts_itself_is_said_at_its_field(texts, field):
    with pytest.raises(FieldProblem) as caught:
        run(CALCULATORS["rule-of-thumb"], texts)
    assert caught.value.field == field


@typed.few
@given(st.floats(1.1, 2))
def test_a_wider_range_never_makes_a_rule_look_better(wider):
    """The error falls as the sun-hours rise, so the ends of the range hold the extremes."""
    narrow = answer("rule-of-thumb", rule="panel-times-five", range_low="2 h", range_high="4 h")
    wide = answer("rule-of-thumb", rule="panel-times-five", range_low=f"{2 / wider!r} h", range_high=f"{4 * wider!r} h")
    assert value(wide, "error_low") <= value(narrow, "error_low") and value(wide, "error_high") >= value(narrow, "error_high")


def test_a_bigger_unit_idles_in_proportion_to_the_one_in_the_form():
    """40 W at 2000 VA is 6 W at 300 VA; with a = 1.05 and b = 0.06 from two points."""
    points = ", ".join(f"{load} W:{100 * load / (40 + 1.05 * load + 0.06 * load**2 / 2000)!r} %" for load in (200, 2000))
    result = answer("rule-of-thumb", rule="bigger-is-safer", rating="2000 VA", standby_power="40 W", points=points)
    values = {step.symbol: from_si(step.value, step.unit) for step in result.working}
    assert values["y_rule"] == pytest.approx(6 * 24 + 1.05 * 380 + 0.06 * 50**2 / 300 * 7.6)
    assert values["y_right"] == pytest.approx(40 * 24 + 1.05 * 380 + 0.06 * 50**2 / 2000 * 7.6)


@typed.few
@given(st.floats(5, 40), st.floats(1.05, 2))
def test_more_standby_makes_the_flat_rule_worse(standby, more):
    errors = [value(answer("rule-of-thumb", rule="flat-90", standby_power=f"{watts!r} W", efficiency_full="85 %", efficiency_peak="86 %"), "error_typical") for watts in (standby, standby * more)]
    assert errors[1] < errors[0]


def test_an_error_says_its_sign_and_points_are_no_per_cent():
    """A rule told as 25 % where 31.1 % is right at 120° is 6.1 points off, not 6.1 %; and too much has a plus."""
    told = answer("rule-of-thumb", rule=next(id for id, one in RULES.items() if one.points))
    assert words.output_value(told.output("error_typical")).endswith("\u00a0points")
    assert words.output_value(told.output("error_typical"))[0] in "+−"
    high = answer("rule-of-thumb", rule="flat-90").output("error_high")
    assert high.value > 0 and words.output_value(high).startswith("+") and words.output_value(high).endswith("\u00a0%")


def test_both_ends_of_an_errors_range_have_their_sign_and_the_unit_once():
    high = answer("rule-of-thumb", rule="amps-by-ten").output("error_high")
    low, _, rest = words.output_range(high).partition(" to ")
    assert 0 < high.low < high.high and low[0] == rest[0] == "+" and not low.endswith("%") and rest.endswith("\u00a0%")
    points = words.output_range(answer("rule-of-thumb", rule="half-at-12.2").output("error_low"))
    assert points.count("−") == 2 and points.count("points") == 1


def test_a_range_that_shows_no_width_is_left_out():
    """1500 % either way: two figures do not part its ends."""
    narrow = answer("rule-of-thumb", rule="kettle-kills").output("error_typical")
    assert narrow.low < narrow.high and words.output_range(narrow) == ""
