"""What changed, and why: the reasons are the numbers the later run settled by."""

import pytest

from calc.plan import changes, document, edit, steps
from tests.calc.plan.plans import NAMES, plan_of, with_load

KETTLE = {"name": "kettle", "power": "2000 W", "hours_per_day": "0.1 h", "group": "breakfast"}


def compared(before, after):
    found = changes.compare(steps.run(before), steps.run(after))
    return found, {one.name: one for one in found.changes}


@pytest.mark.parametrize("name", NAMES)
def test_nothing_changed_tells_nothing(name):
    found, by_name = compared(plan_of(name), plan_of(name))
    assert found == changes.Changes((), (), (), ()) and by_name == {}


def test_a_kettle_on_one_protected_battery():
    """200 Ah hold a day's energy; the kettle's current asks for a third battery, and the list says so."""
    plan = plan_of("weekend-caravan", dc={"voltage_nominal": "12 V"}, season={"days": "1"})
    found, by_name = compared(plan, with_load(plan, **KETTLE))
    battery = by_name["capacity"]
    assert (battery.before, battery.after) == ("200 Ah at 12 V", "300 Ah at 12 V")
    assert battery.words.startswith("Battery 200 → 300 Ah at 12 V: the kettle's 241") and "exceeds the 100\u00a0A of one protected battery" in battery.words
    assert by_name["rating"].words == "Inverter 1500 → 3000 VA: 2000 VA fails: what runs needs 2270\u00a0VA"
    assert [(one.label, one.before, one.after) for one in found.edits] == [("kettle", "", "added, 2000 W")]


def test_the_reason_is_the_constraint_that_binds_not_the_edit():
    """The same edit, another constraint: with batteries of 500 A it is the energy that decides."""
    plan = plan_of("weekend-caravan", dc={"voltage_nominal": "12 V"}, season={"days": "1"}, battery={"battery_current_limit": "500 A"})
    _, by_name = compared(plan, with_load(plan, **{**KETTLE, "hours_per_day": "1 h"}))
    assert "for 1 day asks for" in by_name["capacity"].reason and "exceeds" not in by_name["capacity"].reason


def test_what_decides_the_cable_is_said():
    plan = plan_of("longstay-motorhome")
    _, by_name = compared(plan, plan_of("longstay-motorhome", dc={"length_one_way": "12 m"}))
    assert "voltage drop decides" in by_name["area"].reason and "2000 VA" in by_name["area"].reason


def test_a_higher_voltage_says_what_was_wrong_with_the_lower():
    plan = plan_of("weekend-caravan")
    _, by_name = compared(plan, with_load(plan, **KETTLE))
    assert by_name["voltage"].after == "24 V" and "At 12 V" in by_name["voltage"].reason
    assert by_name["capacity"].before == "300 Ah at 12 V" and by_name["capacity"].after.endswith("at 24 V"), "amp-hours of two voltages are not compared bare"


def test_what_is_settled_no_more_says_why():
    plan = plan_of("boat-cold-bank")
    _, by_name = compared(plan, plan_of("boat-cold-bank", dc={"rule": ""}))
    assert by_name["fuse"].after == "" and "dc.rule" in by_name["fuse"].reason + by_name["area"].reason
    assert "not settled" in by_name["area"].words
    _, back = compared(plan_of("boat-cold-bank", dc={"rule": ""}), plan)
    assert back["area"].words.startswith("Cable not settled → 70 mm²: ")


def test_stops_and_cautions_that_come_and_go_are_told():
    plan = plan_of("weekend-caravan")
    found, _ = compared(plan, plan_of("weekend-caravan", battery={"string_fuses": "yes"}))
    assert ("fuse", "strings-unfused") in [(part, one.code) for part, one in found.settled] and found.raised == ()
    found, _ = compared(plan, plan_of("weekend-caravan", season={"temperature": "-5 °C"}))
    assert ("battery", "charge-too-cold", "stop") in [(part, one.code, one.level) for part, one in found.raised]


def test_edits_of_loads_go_by_their_ids():
    plan = plan_of("weekend-caravan")
    after = edit.put(edit.move_load(edit.remove_load(plan, "pump"), "toaster", 0), "loads.laptop.power", "70 W")
    found, _ = compared(plan, after)
    assert {(one.path, one.before, one.after) for one in found.edits} == {("loads.pump", "60 W", "taken off"), ("loads.laptop.power", "60 W", "70 W"), ("loads", "", "changed")}


def test_an_edit_of_any_other_entry_is_told():
    plan = plan_of("weekend-caravan")
    after = {**plan, "notes": "new", "region": "120-v-60-hz", "overrides": {"battery": {"ageing": "1"}}}
    after["season"] = {**plan["season"], "days": "3"}
    found, _ = compared(plan, document.read(after))
    assert [one.path for one in found.edits] == ["region", "notes", "season.days", "overrides.battery.ageing"]
