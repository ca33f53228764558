"""Edits of a plan, one at a time; the plan before stays as it was."""

import copy

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.calculators import appliances
from calc.errors import InputProblems
from calc.plan import document, edit, steps
from tests.calc.plan.plans import plan_of

PLAN = plan_of("weekend-caravan")


@pytest.mark.parametrize(
    ("path", "text", "found"),
    [
        ("battery.capacity", "200 Ah", lambda plan: plan["battery"]["capacity"]),
        ("region", "120-v-60-hz", lambda plan: plan["region"]),
        ("notes", "a\nb", lambda plan: plan["notes"]),
        ("loads.laptop.power", "12 apples", lambda plan: plan["loads"][3]["power"]),
        ("overrides.battery.ageing", "1", lambda plan: plan["overrides"]["battery"]["ageing"]),
    ],
)
def test_a_value_is_put_where_it_belongs(path, text, found):
    before = copy.deepcopy(PLAN)
    assert found(edit.put(PLAN, path, text)) == text
    assert PLAN == before


def test_a_blank_takes_an_entry_away():
    assert "chemistry" not in edit.put(PLAN, "battery.chemistry", " ")["battery"]
    assert edit.put(edit.put(PLAN, "overrides.battery.ageing", "1"), "overrides.battery.ageing", "")["overrides"] == {}


@pytest.mark.parametrize("path", ["speed", "battery", "battery.colour", "loads.nothing.power", "loads.laptop.colour", "loads.laptop", "overrides.battery", "overrides.battery.colour", "kind", ""])
def test_a_path_that_is_none_is_refused(path):
    with pytest.raises(InputProblems):
        edit.put(PLAN, path, "1")


# One of each kind: of its supply, of what stands behind its plug, and whether it starts high.
KINDS = {(row["supply"], row["waveform_class"], row["starting_factor"] > 1): key for key, row in appliances.table().items()}


@pytest.mark.parametrize("key", KINDS.values())
def test_an_appliance_of_the_table_makes_a_load_that_runs(key):
    plan = edit.add_load(PLAN, key)
    assert document.check(plan) == [] and document.from_text(document.to_text(plan)) == plan
    load, row = plan["loads"][-1], appliances.table()[key]
    assert load["appliance"] == key and load["supply"] in ("ac", "dc")
    run = steps.run({**plan, "loads": [load]})
    assert run.result("loads") is not None
    energy = run.value("loads", "energy_ac") + run.value("loads", "energy_dc")
    assert energy == pytest.approx(row["task_energy"], rel=0.08), "one use a day, as the table has it"


def test_an_appliance_twice_gets_two_ids():
    plan = edit.add_load(edit.add_load(PLAN, "kettle"), "kettle")
    assert [load["id"] for load in plan["loads"][-2:]] == ["kettle", "kettle-2"]


def test_the_list_ends_somewhere():
    plan = PLAN
    with pytest.raises(InputProblems, match="40 are read at most"):
        for _ in range(50):
            plan = edit.add_load(plan)
    assert len(plan["loads"]) == 40


def test_a_load_of_no_table_is_refused():
    with pytest.raises(InputProblems, match="appliance table"):
        edit.add_load(PLAN, "perpetual motion")


@given(st.integers(-3, 9), st.sampled_from([load["id"] for load in PLAN["loads"]]))
def test_moving_a_load_loses_none(place, id):
    moved = edit.move_load(PLAN, id, place)
    assert sorted(load["id"] for load in moved["loads"]) == sorted(load["id"] for load in PLAN["loads"])
    assert moved["loads"][min(max(place, 0), 4)]["id"] == id
    assert [load["id"] for load in moved["loads"] if load["id"] != id] == [load["id"] for load in PLAN["loads"] if load["id"] != id]


def test_kettle_or_microwave():
    plan = edit.add_load(edit.add_load(PLAN, "kettle"), "microwave-oven-by-its-input-power")
    first, second = (load["id"] for load in plan["loads"][-2:])
    both = steps.run(plan).value("loads", "power_running")
    either = edit.never_together(plan, [first, second])
    assert steps.run(either).value("loads", "power_running") == pytest.approx(both - 1000), "the smaller of the two goes"
    assert steps.run(edit.never_together(either, [first])).value("loads", "power_running") == pytest.approx(both)


def test_whoever_is_left_alone_with_a_word_loses_it():
    plan = edit.never_together(edit.add_load(PLAN, "kettle"), ["kettle", "laptop"])
    for alone in (edit.remove_load(plan, "kettle"), edit.never_together(plan, ["laptop"])):
        assert {load["id"] for load in alone["loads"] if "group" in load} == {"toaster"}, "the toaster's word is another"


def test_a_third_joins_the_two_and_another_pair_stays_apart():
    plan = edit.never_together(edit.add_load(PLAN, "kettle"), ["kettle", "toaster"])
    assert plan["loads"][-1]["group"] == "breakfast", "the word that was there"
    plan = edit.never_together(edit.add_load(plan, "hotplate"), ["hotplate", "laptop"])
    words = {load["id"]: load.get("group") for load in plan["loads"]}
    assert words["hotplate"] == words["laptop"] == "either 1" != words["kettle"]
