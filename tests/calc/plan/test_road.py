"""The call from the road: the plan's own battery and loads, and its baseline card."""

import pytest

from calc.calculators import CALCULATORS
from calc.plan import road, steps
from tests.calc.plan.plans import NAMES, plan_of, with_load

BASELINE = {"standby_power": "21 W", "battery_resistance": "2.0 mΩ", "cable_resistance": "2.4 mΩ"}


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("form", road.FORMS)
def test_a_form_starts_with_fields_of_its_calculator(name, form):
    start = road.start(steps.run(plan_of(name)), form)
    assert start.keys() <= {one.name for one in CALCULATORS[road.FORMS[form]].fields} and all(start.values())


@pytest.mark.parametrize("name", NAMES)
def test_tonight_answers_for_each_plan(name):
    result, problems = road.ask(steps.run(plan_of(name)), "tonight", {"power": "300 W", "minutes": "10 min", "state_of_charge": "90 %"})
    assert result is not None, problems


def test_tonight_knows_the_plan_s_must_haves_and_what_may_go_off():
    start = road.start(steps.run(plan_of("longstay-motorhome")), "tonight")
    # breathing machine 320 Wh, lights 120 Wh, fridge 1037.5 Wh through the inverter
    assert start["must_haves"] == "1478 Wh" and start["power_other"] == "120 W" and start["inverter_needed"] == "yes"
    assert start["sheddable"] == "microwave 1129 W 0.2 h, induction hob 1200 W 0.5 h, television 60 W 3 h"
    assert start["capacity"] == "500 Ah" and start["voltage_nominal"] == "24 V" and start["medical"] == "fallback" and start["rating"] == "2000 VA"


def test_what_never_goes_off_is_a_must_have_whatever_the_plan_says():
    run = steps.run(with_load(plan_of("weekend-caravan"), name="router, satellite", power="20 W", hours_per_day="10 h"))
    start = road.start(run, "tonight")
    assert "router" not in start["sheddable"] and road.ask(run, "tonight", {})[0] is not None


def test_what_is_typed_goes_over_what_the_plan_says():
    result, _ = road.ask(steps.run(plan_of("weekend-caravan")), "tonight", {"capacity": "100 Ah"})
    assert result.input("capacity").value == 100 * 3600


def test_today_s_readings_against_the_baseline():
    run = steps.run(plan_of("weekend-caravan", baseline=BASELINE))
    readings = {"voltage_1": "13.20 V", "current_1": "2 A", "voltage_2": "12.72 V", "current_2": "82 A", "standby_reading": "1.7 A"}
    result, _ = road.ask(run, "measure", readings)
    assert result.output("battery_resistance").value == pytest.approx(0.48 / 80)  # 6.0 mΩ
    assert result.output("battery_change").value == pytest.approx(6.0 / 2.0 - 1, rel=1e-3)  # three times its baseline: 200 % more
    assert result.output("cause").value == "battery"


def test_without_a_baseline_it_still_measures():
    result, _ = road.ask(steps.run(plan_of("boat-cold-bank")), "measure", {"voltage_rest": "12.1 V"})
    assert result is not None and result.output("battery_change").value is None


def test_a_reading_that_cannot_be_used_is_named():
    result, problems = road.ask(steps.run(plan_of("boat-cold-bank")), "measure", {"voltage_rest": "12 A"})
    assert result is None and [one.field for one in problems] == ["voltage_rest"]


def test_a_measured_baseline_is_used_tonight():
    start = road.start(steps.run(plan_of("weekend-caravan", baseline=BASELINE)), "tonight")
    assert start["battery_resistance"] == "2.0 mΩ" and start["path_resistance"] == "2.4 mΩ"
