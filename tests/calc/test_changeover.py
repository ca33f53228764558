"""changeover: the decision by its truth table, the supply's current by hand, and every stop."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.calculators.changeover import ARRANGEMENTS, QUESTIONS, RULES
from calc.errors import FieldProblem, InputProblems
from calc.physics import charging, shore
from tests.calc import typed
from tests.calc.cases import answer, levels, value

OUTLETS, BUDGETS = ("one-appliance", "several-appliances", "fixed-outlets"), ("small", "middle", "large")


def expected(outlets, source, charging, budget):
    """The decision, written out once more as a person would say it."""
    if outlets != "fixed-outlets":
        return "plug-in-and-charger" if source and charging == "yes" else "plug-in"
    if not source:
        return "hard-wired"
    return "inverter-charger" if charging == "yes" and budget != "small" else "changeover"


@pytest.mark.parametrize(("outlets", "shore_power", "generator", "wanted", "budget"), list(itertools.product(OUTLETS, ("yes", "no"), ("none", "portable", "built-in"), ("yes", "no"), BUDGETS)))
def test_every_combination_has_its_arrangement(outlets, shore_power, generator, wanted, budget):
    result = answer("changeover", outlets=outlets, shore_power=shore_power, generator=generator, charging=wanted, budget=budget)
    source = shore_power == "yes" or generator != "none"
    assert value(result, "arrangement") == expected(outlets, source, wanted, budget)
    assert ARRANGEMENTS[value(result, "arrangement")] in result.answer
    if outlets == "fixed-outlets":
        assert levels(result)["fixed-wiring"] == "stop"
        assert ("two-sources" in levels(result)) == source


def test_every_rule_says_why_and_none_is_idle():
    assert {rule.arrangement for rule in RULES} == set(ARRANGEMENTS)
    assert all(len(rule.why) > 60 and rule.why.endswith(".") for rule in RULES)


def test_the_supplys_current_by_hand():
    """14.2 V · 40 A/(0.87 · 0.6) = 1088.1 VA, 4.731 A at 230 V; 920 VA more are 4 A; 80 % of 10 A is 8 A: 0.731 A short."""
    result = answer("changeover", charger_current="40 A", charging_voltage="14.2 V", charger_efficiency="87 %", charger_power_factor="0.6", power_other="920 VA", supply_current="10 A")
    assert value(result, "apparent_power_charger") == pytest.approx(1088.12, abs=0.01)
    assert value(result, "current_charger") == pytest.approx(4.7310, abs=1e-4)
    assert value(result, "current_other") == pytest.approx(4)
    assert value(result, "current_spare") == pytest.approx(-0.7310, abs=1e-4)
    assert levels(result)["supply-short"] == "caution"
    # 4 A · 230 V · 0.87 · 0.6/14.2 V
    assert value(result, "charger_current_max") == pytest.approx(33.82, abs=0.005)


def test_the_largest_charging_current_just_fits():
    texts = {"charger_efficiency": "87 %", "charger_power_factor": "0.7", "power_other": "500 VA"}
    most = value(answer("changeover", **texts), "charger_current_max")
    assert value(answer("changeover", **texts, charger_current=f"{most!r} A"), "current_spare") == pytest.approx(0, abs=1e-9)


def test_nothing_is_left_for_a_charger_on_a_supply_that_is_full():
    result = answer("changeover", supply_current="4 A", power_other="1500 VA")
    assert value(result, "charger_current_max") == 0 and "Even without" in next(one.text for one in result.findings if one.code == "supply-short")


def test_without_another_source_there_is_nothing_to_share():
    result = answer("changeover", shore_power="no", generator="none")
    assert value(result, "current_spare") is None and value(result, "charger_current_max") is None
    assert "supply" not in result.answer


def test_the_breaker_by_hand():
    """2 · 2000 VA/230 V = 17.4 A against five times 10 A; 5750 VA just reach 50 A."""
    short = answer("changeover", outlets="fixed-outlets", limit_multiple="2", rating="2000 VA", breaker="10 A")
    assert value(short, "current_limit") == pytest.approx(17.391, abs=1e-3) and value(short, "current_trip") == 50
    assert levels(short)["breaker-may-not-clear"] == "stop"
    assert "breaker-may-not-clear" not in levels(answer("changeover", outlets="fixed-outlets", limit_multiple="2", rating="5760 VA", breaker="10 A"))


@pytest.mark.parametrize(
    ("texts", "code"),
    [
        ({"plan": "feed-an-outlet"}, "feeding-an-outlet"), ({"plan": "own-wiring", "outlets": "fixed-outlets"}, "own-wiring"), ({"outlets": "fixed-outlets"}, "fixed-wiring"),
        ({"outlets": "fixed-outlets"}, "two-sources"), ({"origin": "abroad"}, "imported"), ({"origin": "unknown"}, "imported"),
        ({"outlets": "several-appliances", "output_link": "floating"}, "floating-output"), ({"outlets": "several-appliances", "output_link": "unknown"}, "floating-output"),
        ({"outlets": "fixed-outlets"}, "breaker-may-not-clear"), ({"generator": "portable", "generator_safe": "no"}, "generator-place"), ({"generator": "built-in"}, "generator-place"),
        ({"medical": "no-fallback"}, "medical-no-fallback"), ({"signs": "tingle"}, "tingle"), ({"signs": "hot-smell"}, "hot-smell"),
    ],
)  # fmt: skip
def test_what_must_stop_the_reader_does(texts, code):
    result = answer("changeover", **texts)
    assert levels(result)[code] == "stop" and result.findings[0].level == "stop"


def test_one_appliance_on_its_own_lead_passes_every_line():
    result = answer("changeover", outlets="one-appliance", shore_power="no", plan="own-outlets", output_link="unknown")
    assert "stop" not in levels(result).values()
    text = next(one.text for one in result.findings if one.code == "one-at-a-time")
    assert "one appliance at a time" in text and "between their cases" in text
    assert "one-at-a-time" not in levels(answer("changeover", outlets="one-appliance", shore_power="no", output_link="bonded"))


def test_the_questions_are_handed_over_in_full():
    result = answer("changeover", outlets="fixed-outlets", plan="licensed")
    text = next(one.text for one in result.findings if one.code == "questions")
    assert all(question in text for question in QUESTIONS) and len(QUESTIONS) >= 6


@pytest.mark.parametrize(
    ("texts", "field"),
    [
        ({"outlets": "everything"}, "outlets"), ({"supply_current": "0"}, "supply_current"), ({"charger_current": "-5 A"}, "charger_current"), ({"charger_power_factor": "1.2"}, "charger_power_factor"),
        ({"charger_efficiency": "120 %"}, "charger_efficiency"), ({"voltage_ac": "12 V"}, "voltage_ac"), ({"power_other": "5 A"}, "power_other"), ({"budget": "42"}, "budget"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_said_at_its_field(texts, field):
    with pytest.raises(InputProblems) as caught:
        run(CALCULATORS["changeover"], texts)
    assert field in [problem.field for problem in caught.value.problems]


def test_an_inverters_own_outlets_do_not_feed_fixed_ones():
    with pytest.raises(FieldProblem) as caught:
        run(CALCULATORS["changeover"], {"outlets": "fixed-outlets", "plan": "own-outlets"})
    assert caught.value.field == "plan"


@typed.few
@given(st.floats(1, 100), st.floats(0.5, 0.95), st.floats(0.4, 1))
def test_charger_current_and_apparent_power_undo_each_other(current, efficiency, power_factor):
    apparent = charging.apparent_power(charging.supply_power(current, 14.2, efficiency), power_factor)
    assert shore.charger_current(apparent, 14.2, efficiency, power_factor) == pytest.approx(current, rel=1e-12)


@typed.few
@given(st.floats(0.4, 0.98), st.floats(0.001, 0.02))
def test_a_better_power_factor_leaves_more_on_the_supply(power_factor, better):
    poor, good = (answer("changeover", charger_power_factor=f"{one!r}") for one in (power_factor, power_factor + better))
    assert value(good, "current_spare") > value(poor, "current_spare")
    assert value(good, "charger_current_max") > value(poor, "charger_current_max")


def test_no_breaker_of_another_continent_is_judged():
    """UL 489 breakers have no type B: what they trip at is asked for, not reckoned."""
    result = answer("changeover", "fixed outlets in North America")
    assert value(result, "current_trip") is None and levels(result)["breaker-curve-unknown"] == "stop"
    assert "type B" not in result.answer + " ".join(one.text for one in result.findings)


def test_findings_can_stand_on_their_own():
    result = answer("changeover", "wiring it oneself")
    assert not any("below" in one.text for one in result.findings)
