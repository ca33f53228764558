"""How a plan runs: what fills what, what is kept, and what waits."""

import copy
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.calculators import CALCULATORS, appliances
from calc.plan import document, edit, fill, papers, sections, state, steps
from calc.plan.overrides import FIELDS_OF, PARTS
from calc.render import desk
from tests.calc import typed
from tests.calc.plan.plans import NAMES, plan_of, with_load


@pytest.mark.parametrize("name", NAMES)
def test_every_part_of_the_four_plans_answers_or_says_why_not(name):
    run = steps.run(plan_of(name))
    assert list(run.parts) == list(PARTS) and run.problems == ()
    for part in run.parts.values():
        assert part.result or part.idle, (part.name, part.needs)
        assert part.needs == part.problems == ()


def test_eight_steps_hold_every_part_once():
    assert len(steps.STEPS) == 8
    assert sorted(part for step in steps.STEPS for part in step.parts) == sorted(PARTS)
    assert fill.FILL.keys() == fill.NEEDED.keys() == PARTS.keys() == steps.TITLES.keys()


def test_whatever_is_filled_is_a_field_of_its_calculator():
    for part, places in fill.FILL.items():
        assert places.keys() <= {one.name for one in CALCULATORS[PARTS[part]].fields}, part
        assert fill.NEEDED[part] <= places.keys()


def test_a_step_takes_its_values_from_the_steps_before():
    run = steps.run(plan_of("weekend-caravan"))
    given_energy = run.result("battery").input("energy_per_day")
    assert given_energy.value == pytest.approx(run.value("loads", "energy_total"), rel=1e-3)
    assert run.part("battery").origin("energy_per_day") == fill.Origin("step", "loads")
    assert run.part("battery").origin("unit_capacity") == fill.Origin("plan", "battery.unit_capacity")
    assert run.part("battery").origin("ageing") is None, "the calculator's own assumption"
    assert run.result("path").input("area").value == run.choices["area"].value
    assert run.result("recharge").input("capacity").value == run.choices["capacity"].value


def test_an_override_is_kept_and_marked_and_goes_before_everything():
    plan = plan_of("weekend-caravan", overrides={"battery": {"energy_per_day": "2 kWh", "ageing": "1"}})
    run = steps.run(plan)
    assert run.result("battery").input("energy_per_day").value == 2000 * 3600
    assert run.part("battery").origin("energy_per_day") == fill.Origin("override", "overrides.battery.energy_per_day")
    assert run.result("recharge").input("energy").value == pytest.approx(run.value("loads", "energy_total"), rel=1e-3), "in that part alone"
    assert run.choices["capacity"].value / 3600 == 500  # 2000·2/12/0.8·1.1 = 458 Ah
    assert plan["overrides"]["battery"]["energy_per_day"] == "2 kWh"


def test_what_the_shop_settles_is_kept_and_used():
    plan = plan_of("weekend-caravan", inverter={"rating": "2 kVA"}, battery={"capacity": "200 Ah"}, dc={"area": "95 mm²", "voltage_nominal": "12 V"})
    run = steps.run(plan)
    assert [run.choices[name].given for name in ("rating", "capacity", "area", "voltage")] == [True] * 4
    assert run.value("size", "rating_chosen") == 1500, "what the loads alone would ask for still stands there"
    assert run.result("fuse").input("area").value == pytest.approx(95e-6)
    assert run.result("bad-week").input("capacity").value == 200 * 3600
    assert "battery-small" in [one.code for one in run.findings]


def test_i_do_not_know_gives_way_to_a_step_before_but_not_to_nothing():
    plan = plan_of("weekend-caravan", inverter={"rating": "unknown", "standby_power": "unknown"}, dc={"joint_resistance": "unknown"})
    run = steps.run(plan)
    assert run.choices["rating"].value == 1500 and run.part("loads").origin("standby_power").kind == "step"
    assert run.result("path").input("joint_resistance").how == "unknown"


def test_a_step_that_lacks_something_says_what_and_the_others_go_on():
    run = steps.run(plan_of("weekend-caravan", dc={"rule": ""}))
    assert run.part("cable").result is None and run.part("voltage").result is None
    assert run.part("voltage").needs == ("dc.rule: enter whose rule for heat",)
    assert any("dc.voltage_nominal" in words for words in run.part("battery").needs)
    assert run.result("loads") and run.result("size") and run.result("joining") and run.result("heat")
    with_voltage = steps.run(plan_of("weekend-caravan", dc={"rule": "", "voltage_nominal": "12 V"}))
    assert with_voltage.result("battery") and with_voltage.result("recharge") and with_voltage.result("bad-week")
    assert with_voltage.part("fuse").result is None


def test_a_rule_without_a_table_gives_no_cable_and_no_fuse():
    run = steps.run(plan_of("boat-cold-bank", dc={"rule": "iso-13297-boats"}))
    assert "area" not in run.choices and "fuse" not in run.choices
    assert [one.code for one in run.result("cable").findings if one.level == "stop"] == ["size-not-held"]
    assert run.result("battery") and run.result("recharge")


def test_an_empty_plan_runs_and_asks():
    run = steps.run(document.blank())
    assert all(part.result is None for part in run.parts.values() if part.name != "joining")
    assert run.part("loads").needs and run.problems == ()


def test_a_plan_without_an_inverter_still_sizes_its_battery():
    plan = plan_of("boat-cold-bank")
    plan["loads"] = [load for load in plan["loads"] if load.get("supply") == "dc"]
    run = steps.run(plan)
    assert run.part("size").idle == run.part("fuse").idle == "Nothing runs through an inverter."
    assert run.value("loads", "energy_total") == pytest.approx(394 * 3600)
    assert run.choices["capacity"].value == 200 * 3600  # 394/12/0.5·1.38·1.25·1.1 = 125 Ah
    assert run.value("bad-week", "energy_use_per_day") == pytest.approx(394 * 3600), "no standby where there is no inverter"


def test_a_problem_stands_at_its_place_in_the_plan():
    plan = plan_of("weekend-caravan", battery={"unit_voltage": "5 V"})
    plan["loads"][3] = {**plan["loads"][3], "quantity": "1.5"}
    problems = {one.field: one.text for one in steps.run(plan).problems}
    assert problems["loads[3].quantity"] == "enter a whole number"
    problems = {one.field: one.text for one in steps.run(plan_of("weekend-caravan", battery={"unit_voltage": "5 V"})).problems}
    assert "do not add up" in problems["battery.unit_voltage"]
    problems = {one.field: one.text for one in steps.run(plan_of("weekend-caravan", overrides={"recharge": {"voltage_charge": "60 V"}})).problems}
    assert "does not charge a battery of 12" in problems["overrides.recharge.voltage_charge"]


def test_a_cut_out_of_another_voltage_is_said_and_left_aside():
    run = steps.run(plan_of("longstay-motorhome", inverter={"cut_out": "10.5 V"}))
    assert "cut-out-odd" in [one.code for one in run.findings]
    assert run.result("path").input("cut_out").value == pytest.approx(21)


def test_a_cable_is_named_as_it_is_sold_there():
    """The motorhome's fuse asks for 1/0 AWG, 53.5 mm², where 1 AWG, 42.4 mm², stands drop and heat."""
    area = steps.run(plan_of("longstay-motorhome")).choices["area"]
    assert area.words == "1/0 AWG (53.5 mm²)" and area.reason.startswith("1 AWG (42.4\u00a0mm²) stands")
    assert steps.run(plan_of("boat-cold-bank")).choices["area"].words == "70 mm²"


def test_a_stepped_wave_stops_a_load_it_is_dangerous_for():
    plan = with_load(plan_of("boat-cold-bank", inverter={"shape": "three-level"}), name="blanket", power="60 W", appliance="electric-blanket-single")
    found = {one.code: one for one in steps.run(plan).findings}
    assert found["wave-electric-blanket"].level == "stop" and found["wave-electric-blanket"].text.startswith("Blanket: ")
    assert not [one for one in steps.run(with_load(plan_of("boat-cold-bank"), name="blanket", power="60 W", appliance="electric-blanket-single")).findings if one.code.startswith("wave")]


def test_running_a_plan_changes_nothing_in_it():
    plan = plan_of("remote-hut")
    before = copy.deepcopy(plan)
    steps.run(plan)
    assert plan == before


def test_the_same_plan_gives_the_same_answers():
    first, second = steps.run(plan_of("remote-hut")), steps.run(plan_of("remote-hut"))
    assert all(first.part(name).result is second.part(name).result for name in PARTS), "and without computing them again"


def test_more_strings_where_the_current_is_above_the_protection():
    """2000 W of kettle: (42 + a·2060 + b·2067²/3000 + 130)/10 V = 241 A against 100 A a battery: three."""
    plan = plan_of("weekend-caravan", dc={"voltage_nominal": "12 V"}, season={"days": "1"})
    before = steps.run(plan)
    assert before.choices["capacity"].value == 200 * 3600 and before.choices["capacity"].binding == "energy"
    after = steps.run(with_load(plan, name="kettle", power="2000 W", hours_per_day="0.1 h", group="breakfast"))
    assert after.choices["capacity"].value == 300 * 3600 and after.choices["capacity"].binding == "current"
    assert "the kettle's 241" in after.choices["capacity"].reason and "100\u00a0A of one protected battery" in after.choices["capacity"].reason
    assert "battery-limit" not in [one.code for one in after.result("battery").findings], "with three the stop is gone"


def test_more_strings_where_the_voltage_falls_too_far():
    """AGM at half charge, 12.24 V, one of 7.5 mΩ and 2.7 mΩ of cable and joints: 98 A leave 11.2 V; two leave 11.6 V."""
    changes = {"season": {"days": "0.2"}, "inverter": {"cut_out": "11.5 V"}}
    plan = plan_of("boat-cold-bank", battery={"battery_current_limit": "500 A"}, **changes)
    run = steps.run(plan)
    assert run.choices["capacity"].binding == "voltage" and run.choices["capacity"].value == 200 * 3600
    assert run.value("path", "verdict") == "holds" and "11.2" in run.choices["capacity"].reason
    one_less = steps.run(plan_of("boat-cold-bank", battery={"battery_current_limit": "500 A", "capacity": "100 Ah"}, **changes))
    assert one_less.value("path", "verdict") == "trips"


loads = st.fixed_dictionaries(
    {
        "name": st.sampled_from(["kettle", "fridge", "lamp", "saw"]),
        "power": st.integers(1, 2500).map(lambda watts: f"{watts} W"),
        "hours_per_day": st.sampled_from(["0.05 h", "0.5 h", "2 h", "8 h", "24 h"]),
        "supply": st.sampled_from(["ac", "dc"]),
        "power_factor": st.sampled_from(["1", "0.9", "0.6"]),
        "starting_factor": st.sampled_from(["1", "1", "3", "6"]),
    }
)


@typed.many
@given(
    st.lists(loads, min_size=1, max_size=4), loads, st.sampled_from(["12 V", "24 V", "48 V"]),
    st.sampled_from([{"chemistry": "lithium-iron-phosphate", "battery_current_limit": "100 A"}, {"chemistry": "lithium-iron-phosphate"}, {"chemistry": "agm"}, {"chemistry": "flooded", "unit_capacity": "225 Ah", "unit_voltage": "6 V"}]),
    st.booleans(),
)  # fmt: skip
def test_adding_a_load_never_shrinks_the_battery(some, one_more, voltage, battery, together):
    """For one inverter: a larger inverter may be the better one for the same loads, which is another question."""
    plan = document.blank()
    plan["dc"] = {"voltage_nominal": voltage, "rule": "bs-7671-flexible"}
    plan["battery"], plan["inverter"] = dict(battery), {"rating": "15 kVA", "standby_power": "60 W"}
    plan["loads"] = [{"id": f"load-{place}", **load} for place, load in enumerate(some)]
    if together and one_more["supply"] == "ac":
        plan["loads"] = [{**load, "group": "one"} if load["supply"] == "ac" else load for load in plan["loads"]]
        one_more = {**one_more, "group": "one"}
    before, after = steps.run(plan), steps.run(with_load(plan, **one_more))
    if "capacity" in before.choices:
        assert after.choices["capacity"].value >= before.choices["capacity"].value


def test_a_change_that_reaches_little_recomputes_little():
    plan = plan_of("longstay-motorhome")
    steps.run(plan)
    before = state._answer.cache_info().misses
    steps.run(plan_of("longstay-motorhome", installation={"supply_current": "12 A"}))
    assert state._answer.cache_info().misses - before == 1, "the arrangement alone"


def test_overrides_name_every_field_but_the_loads_and_the_region():
    for part, calculator in PARTS.items():
        assert set(FIELDS_OF[part]) == {one.name for one in CALCULATORS[calculator].fields} - ({"loads", "region"} if part == "loads" else {"region"})


def test_where_no_size_fits_nothing_is_made_up():
    """22 kW of saws: no inverter of the list carries them, and the loads say so through the stop of the list."""
    run = steps.run(with_load(plan_of("weekend-caravan"), name="saw", power="11 kW", quantity="2"))
    assert "rating" not in run.choices and "fuse" not in run.choices
    assert "none-fits" in [one.code for one in run.result("size").findings] and "above-rating" in [one.code for one in run.result("loads").findings]
    assert any("inverter.rating" in words for words in run.part("joining").needs)
    assert papers.papers(run)


ODD = ["0", "1", "unknown", "12 V", "24 V", "50 %", "99 %", "300 m", "9 ± 2", "5 W", "20 kW", "6 mm", "2 AWG", "-5", "1e9", "x", "1, 2", "all", "100 Ah", "5000 Ah"]


@st.composite
def odd_plans(draw):
    """A plan with a few entries of another kind, or with a load from anywhere."""
    plan = plan_of(draw(st.sampled_from(NAMES)))
    for _ in range(draw(st.integers(1, 4))):
        section = draw(st.sampled_from(sections.SECTIONS))
        one = draw(st.sampled_from(section.fields))
        answers = [value for value in getattr(one, "choices", {}) if value]
        plan[section.name] = {**plan[section.name], one.name: draw(st.sampled_from(answers or ODD))}
    if draw(st.booleans()):
        plan = edit.add_load(plan, draw(st.sampled_from(list(appliances.table()))))
    return plan


@typed.few
@given(odd_plans())
def test_whatever_is_typed_there_is_an_answer(plan):
    text = document.to_text(document.read(plan))
    for asked in (*({"do": "step", "step": one.id, "before": text, "form": True} for one in steps.STEPS), {"do": "papers"}, {"do": "road", "form": "tonight"}, {"do": "road", "form": "measure"}):
        json.dumps(desk.reply({**asked, "plan": text}), allow_nan=False)
