"""A plan's loads by the hour, and what to switch off."""

import pytest

from calc.calculators.schedule import Schedule
from calc.plan import shed, steps, week
from tests.calc.plan.plans import NAMES, plan_of, with_load


def by_the_hour(plan, supply="ac"):
    return week.schedule(plan, week.read_loads(week.rows(plan)), supply)


def test_loads_stand_at_their_time_of_day():
    assert by_the_hour(plan_of("weekend-caravan")) == "18:00-21:00: 60.00 W, 7:00-7:06: 850.0 W"
    assert by_the_hour(plan_of("weekend-caravan"), "dc") == "0-24: 20.00 W must, 18:00-22:00: 20.00 W must, 7:00-7:12: 60.00 W"


def test_what_never_runs_together_follows_one_another():
    plan = with_load(plan_of("weekend-caravan"), power="1200 W", hours_per_day="0.2 h", group="Breakfast", when="morning")
    assert "7:00-7:06: 850.0 W" in by_the_hour(plan) and "7:06-7:18: 1200 W" in by_the_hour(plan)


def test_a_night_runs_past_midnight():
    plan = with_load(plan_of("weekend-caravan"), power="30 W", hours_per_day="8 h", when="night")
    assert "22:00-6:00: 30.00 W" in by_the_hour(plan)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("supply", ["ac", "dc"])
def test_the_day_by_the_hour_holds_the_day_s_energy(name, supply):
    plan = plan_of(name)
    read = week.read_loads(week.rows(plan))
    energy = sum(week.power_of(row) * row.duty * row.hours_per_day for row in read if row.supply == supply)
    items = Schedule("loads", "", "W", default="").read(by_the_hour(plan, supply))[0] or ()
    assert sum(power * ((end - start) % 86400 or 86400) for start, end, power, _ in items) == pytest.approx(energy, rel=1e-3)


def test_a_use_of_half_a_minute_keeps_its_energy():
    plan = with_load(plan_of("weekend-caravan"), power="600 W", hours_per_day="30 s")
    assert "18:00-18:01: 300.0 W" in by_the_hour(plan)


def test_the_bad_week_has_a_run_of_dull_days():
    hours = [float(one) for one in week.sun_of_bad_week(4 * 3600.0).split(", ")]
    assert len(hours) == 7 and max(hours) == 4 and min(hours) == 1 and hours[1:5] == sorted(hours[1:4], reverse=True) + [1.4]


def test_nothing_is_shed_where_all_is_met():
    assert shed.order(steps.run(plan_of("remote-hut"))) == []


def test_what_is_shed_is_never_a_must_have_and_the_largest_goes_first():
    plan = plan_of("longstay-motorhome", charging={"panel_power": "200 W", "driving": "none", "mains": "none"})
    run = steps.run(plan)
    order = shed.order(run)
    assert order[0].name == "the inverter, while nothing on it is used"
    saved = [one.energy_per_day for one in order[1:]]
    assert saved == sorted(saved, reverse=True) and order[1].name == "induction hob"
    assert not {"fridge", "breathing machine", "lights"} & {one.name for one in order}
    assert order[-1].energy_unmet <= run.value("bad-week", "energy_unmet")


def test_shedding_stops_where_the_week_holds():
    order = shed.order(steps.run(plan_of("weekend-caravan")))
    assert [one.name for one in order] == ["laptop"] and order[-1].energy_unmet < 3600
