"""A catalogue through a plan's own days."""

import time

import pytest

from calc.calculators import trip
from calc.calculators.calculator import run as run_calculator
from calc.errors import InputProblems
from calc.plan import catalogue, shortlist, steps
from tests.calc.plan.plans import FOLDER, NAMES, plan_of

DEMO = catalogue.read((FOLDER.parent / "plan" / "demo-catalogue.csv").read_text("utf-8")).units
HEAD = "unit,rating_va,surge_va,surge_s,standby_w,efficiency_full_percent,efficiency_peak_percent,voltage_dc_v,cut_out_v,voltage_ac_v,frequency_hz,wave,mass_kg,price"


def units(*rows):
    found = catalogue.read("\n".join([HEAD, *rows]))
    assert found.notes == ()
    return found.units


def verdicts(name, some=DEMO, by="energy", **changes):
    return shortlist.whole(steps.run(plan_of(name, **changes)), some, by)


@pytest.mark.parametrize("name", NAMES)
def test_each_unit_passes_or_says_why_not(name):
    found = verdicts(name)
    assert len(found) == 24 and {one.unit.name for one in found} == {unit.name for unit in DEMO}
    assert all(one.passes != bool(one.reasons) for one in found)
    assert any(one.passes for one in found) and sum(one.smallest for one in found) == 1
    assert [one.passes for one in found] == sorted((one.passes for one in found), reverse=True), "those that pass come first"


@pytest.mark.parametrize("name", NAMES)
def test_the_smallest_that_passes_is_marked_and_the_others_cost_is_against_it(name):
    found = verdicts(name)
    smallest = next(one for one in found if one.smallest)
    assert smallest.unit.rating == min(one.unit.rating for one in found if one.passes) and smallest.charge_over_smallest == 0
    volts = smallest.unit.voltage_dc
    for one in found:
        if one.passes:
            assert one.charge_over_smallest == pytest.approx((one.energy_per_day - smallest.energy_per_day) / volts)


def test_oversizing_costs_amp_hours():
    """The same make-up twice as large: only its standby, 24 h on, is more. 22 W·24 h/24 V = 22 Ah a day."""
    small, large = units("Small,2000,4000,5,20,90,93,24,21,120,60,sine,5,1", "Large,4000,8000,5,42,90,93,24,21,120,60,sine,9,2")
    found = {one.unit.name: one for one in verdicts("longstay-motorhome", (small, large))}
    assert found["Small"].smallest and found["Large"].passes
    assert 18 < found["Large"].charge_over_smallest / 3600 < 22, "less the little its lower conduction loss saves"


def test_the_days_are_the_plan_s_own():
    """The unit that is the plan's inverter gives what the trip itself gives."""
    run = steps.run(plan_of("longstay-motorhome"))
    (unit,) = units("Same,2000,4000,5,20,90,93,24,21,120,60,sine,5,1")
    (one,) = shortlist.whole(run, (unit,))
    result = run_calculator(trip.CALCULATOR, run.part("bad-week").texts)
    assert one.energy_per_day == pytest.approx(result.output("energy_use_per_day").value)
    assert one.charge_lowest == pytest.approx(result.output("state_of_charge_lowest").value)
    assert one.energy_unmet == pytest.approx(result.output("energy_unmet").value)
    assert one.voltage_lowest == pytest.approx(run.value("start", "voltage_inverter"), abs=0.001)


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("X,2000,4000,5,20,90,93,12,10.5,120,60,sine,5,1", "made for a battery of 12 V; this plan's has 24 V"),
        ("X,2000,4000,5,20,90,93,24,21,230,50,sine,5,1", "gives 230 V 50 Hz; the appliances are made for 120 V 60 Hz"),
        ("X,1500,4000,5,15,90,93,24,21,120,60,sine,5,1", "What runs together needs 1840\u00a0VA"),
        ("X,2000,2200,5,20,90,93,24,21,120,60,sine,5,1", "The worst start needs 2470\u00a0VA for a moment; it gives 2200\u00a0VA"),
        ("X,2000,4000,0.1,20,90,93,24,21,120,60,sine,5,1", "The worst start needs 2470\u00a0VA for a moment; it gives 2000\u00a0VA"),
        ("X,2000,4000,5,20,90,93,24,25,120,60,sine,5,1", "its voltage falls to 24.9\u00a0V; it switches off at 25 V"),
    ],
)
def test_the_reason_stands_in_words_for_a_customer(row, words):
    (one,) = verdicts("longstay-motorhome", units(row))
    assert not one.passes and any(words in reason for reason in one.reasons), one.reasons


def test_must_haves_that_go_without_are_a_reason():
    """Without sun and chargers two days' battery is empty on the third: the fridge stands still."""
    changes = {"charging": {"panel_power": "0 W", "driving": "none", "mains": "none"}}
    (one,) = verdicts("longstay-motorhome", units("X,2000,4000,5,20,90,93,24,21,120,60,sine,5,1"), **changes)
    assert not one.passes and "what must always run goes without" in one.reasons[0]


def test_a_stepped_wave_is_refused_for_what_it_is_dangerous_for():
    plan = plan_of("boat-cold-bank")
    plan["loads"][3] = {**plan["loads"][3], "appliance": "electric-blanket-single", "name": "blanket"}
    found = {one.unit.name: one for one in shortlist.whole(steps.run(plan), DEMO)}
    assert not found["B-1500 steps 12"].passes and "dangerous for: blanket" in found["B-1500 steps 12"].reasons[0]
    assert found["A-1500 sine 12"].passes


@pytest.mark.parametrize(
    ("by", "key", "falling"),
    [
        ("energy", lambda one: one.energy_per_day, False), ("price", lambda one: one.unit.price, False), ("mass", lambda one: one.unit.mass, False),
        ("rating", lambda one: one.unit.rating, False), ("voltage", lambda one: one.voltage_lowest, True),
    ],
)  # fmt: skip
def test_ranked_by_what_the_reader_chooses(by, key, falling):
    passing = [key(one) for one in verdicts("weekend-caravan", by=by) if one.passes]
    assert len(passing) > 3 and passing == sorted(passing, reverse=falling)
    assert by in shortlist.RANKINGS


def test_what_is_not_on_the_sheet_ranks_last():
    some = units("Priced,1500,3000,5,13,89,92,12,10.5,230,50,sine,5,900", "Unpriced,1500,3000,5,13,89,92,12,10.5,230,50,sine,5,")
    assert [one.unit.name for one in verdicts("weekend-caravan", tuple(reversed(some)), by="price")] == ["Priced", "Unpriced"]


def test_five_hundred_units_with_progress_are_quick():
    """Python in the page takes about four times as long: 2 s there."""
    run = steps.run(plan_of("remote-hut"))
    (unit,) = units("X,5000,12000,5,40,92,95,48,42,230,50,sine,30,2000")
    start, reports = time.process_time(), []
    for done, total, some in shortlist.screen(run, (unit,) * 500):
        reports.append((done, total, len(some)))
        assert all(one.passes for one in some), "every one of them through all its days"
    assert time.process_time() - start < 0.5
    assert reports[0] == (25, 500, 25) and reports[-1][0] == 500 and len(reports) == 20


def test_a_plan_that_does_not_come_so_far_says_what_it_waits_for():
    with pytest.raises(InputProblems) as refused:
        verdicts("weekend-caravan", dc={"rule": ""})
    assert "dc.rule" in refused.value.problems[0].text


def test_no_units_make_an_empty_list():
    assert verdicts("weekend-caravan", ()) == []
