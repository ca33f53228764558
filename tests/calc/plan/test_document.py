"""A plan is kept as typed, and what cannot be used is named with its place."""

import copy
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.errors import InputProblems
from calc.plan import document, sections
from calc.plan.overrides import FIELDS_OF
from tests.calc import typed
from tests.calc.plan.plans import NAMES, plan_of, text_of

HEAD = {"kind": document.KIND, "version": 1}


def refusals(text):
    """The problems of a document that is refused, as (path, words)."""
    with pytest.raises(InputProblems) as refused:
        document.from_text(text if isinstance(text, str) else json.dumps(text))
    return [(one.field, one.text) for one in refused.value.problems]


@pytest.mark.parametrize("name", NAMES)
def test_the_four_plans_hold_nothing_that_cannot_be_read(name):
    assert document.check(plan_of(name)) == []


@pytest.mark.parametrize("name", NAMES)
def test_what_is_exported_and_imported_is_the_same_plan(name):
    plan = plan_of(name)
    text = document.to_text(plan)
    assert document.from_text(text) == plan
    assert document.to_text(document.from_text(text)) == text, "one form only"


def test_texts_come_back_as_they_were_typed():
    typed = " 2,5 m ± 10 cm "
    plan = plan_of("weekend-caravan", dc={"length_one_way": typed, "joint_resistance": "I don't know"})
    again = document.from_text(document.to_text(plan))
    assert again["dc"]["length_one_way"] == typed and again["dc"]["joint_resistance"] == "I don't know"


texts = st.text(st.characters(codec="utf-8"), min_size=1, max_size=60).filter(str.strip)


@st.composite
def plans(draw):
    """Any plan of the right form, whatever its texts say."""
    plan = document.blank()
    plan["region"], plan["notes"] = draw(st.just("") | texts), draw(st.just("") | texts)
    for section in sections.SECTIONS:
        plan[section.name] = draw(st.dictionaries(st.sampled_from([one.name for one in section.fields]), texts, max_size=3))
    ids = draw(st.lists(st.from_regex(document.ID, fullmatch=True), unique=True, max_size=4))
    names = [one.name for one in sections.LOAD_FIELDS]
    plan["loads"] = [{"id": id, **draw(st.dictionaries(st.sampled_from(names), texts, max_size=4))} for id in ids]
    part = draw(st.sampled_from(list(FIELDS_OF)))
    plan["overrides"] = draw(st.just({}) | st.dictionaries(st.just(part), st.dictionaries(st.sampled_from(FIELDS_OF[part]), texts, min_size=1, max_size=2)))
    return plan


@typed.many
@given(plans())
def test_any_plan_survives_the_round_trip(plan):
    assert document.from_text(document.to_text(plan)) == plan
    document.check(plan)  # whatever was typed, it answers


def test_a_newer_version_is_said_and_nothing_is_changed():
    ((path, words),) = refusals({**HEAD, "version": 2, "loads": [{"later": "thing"}]})
    assert path == "version" and "version 2" in words and "update the handbook" in words and "nothing was changed" in words


@pytest.mark.parametrize("version", [0, -1, "1", 1.5, None, True, [1]])
def test_a_version_that_is_none_is_refused(version):
    ((path, words),) = refusals({**HEAD, "version": version})
    assert path == "version" and "must be the number 1" in words


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("share", [0.02, 0.3, 0.5, 0.9, 0.99])
def test_a_file_cut_short_is_named_as_such(name, share):
    text = text_of(name)
    ((path, words),) = refusals(text[: int(len(text.rstrip()) * share)])
    assert path == "" and "ends in the middle" in words and "line " in words


@pytest.mark.parametrize(
    ("change", "path", "words"),
    [
        (lambda plan: plan["loads"][2].update(power=60), "loads[2].power", 'must be a text, not the number 60: put it in quotes, with its unit, for example "90 W"'),
        (lambda plan: plan["loads"][1].update(power=None), "loads[1].power", "must be a text, not null"),
        (lambda plan: plan["loads"][1].update(power=True), "loads[1].power", "must be a text, not true"),
        (lambda plan: plan["loads"][0].update(power={"watts": 3}), "loads[0].power", "must be a text, not an object"),
        (lambda plan: plan["loads"].__setitem__(3, "laptop"), "loads[3]", "must be an object in braces, not a text"),
        (lambda plan: plan.update(loads={"a": 1}), "loads", "must be a list in brackets, not an object"),
        (lambda plan: plan.update(battery=["100 Ah"]), "battery", "must be an object in braces, not a list"),
        (lambda plan: plan["battery"].update(capacity=[100]), "battery.capacity", "must be a text, not a list"),
        (lambda plan: plan["battery"].update(colour="red"), "battery.colour", "there is no such entry: use chemistry, capacity"),
        (lambda plan: plan["loads"][4].update(watts="3 W"), "loads[4].watts", "there is no such entry: use id, name, power"),
        (lambda plan: plan.update(speed="3"), "speed", "there is no such entry"),
        (lambda plan: plan["loads"][0].pop("id"), "loads[0].id", "enter a short id of its own"),
        (lambda plan: plan["loads"][0].update(id="Fridge Nº 1"), "loads[0].id", "enter a short id of its own"),
        (lambda plan: plan["loads"][2].update(id="fridge"), "loads[2].id", '"fridge" is the id of loads[0] already'),
        (lambda plan: plan["who"].update(title="x" * 500), "who.title", "is 500 characters long: 400 are read at most"),
        (lambda plan: plan.update(notes="x" * 5000), "notes", "is 5000 characters long: 4000 are read at most"),
        (lambda plan: plan.update(loads=[{"id": f"a{count}"} for count in range(41)]), "loads", "holds 41 loads: 40 are read at most"),
        (lambda plan: plan.update(overrides={"kettle": {}}), "overrides.kettle", "there is no such entry"),
        (lambda plan: plan.update(overrides={"battery": {"speed": "3"}}), "overrides.battery.speed", "there is no such entry"),
        (lambda plan: plan.update(overrides={"battery": {"ageing": 1.3}}), "overrides.battery.ageing", "must be a text, not the number 1.3"),
        (lambda plan: plan.update(region=230), "region", "must be a text, not the number 230"),
        (lambda plan: plan.update(kind="recipe"), "kind", "this file is something else"),
    ],
)
def test_what_is_wrong_is_named_with_its_place(change, path, words):
    data = json.loads(text_of("weekend-caravan"))
    change(data)
    found = refusals(data)
    assert [one for one, _ in found] == [path] and words in found[0][1]


def test_everything_wrong_is_named_at_once():
    data = json.loads(text_of("weekend-caravan"))
    data["loads"][2]["power"] = 60
    data["battery"]["colour"] = "red"
    data["dc"] = None
    assert {path for path, _ in refusals(data)} == {"loads[2].power", "battery.colour", "dc"}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "is empty"),
        ("   \n", "is empty"),
        ("null", "must be one object in braces, not null"),
        ("[1, 2]", "must be one object in braces, not a list"),
        ('"plan"', "must be one object in braces, not a text"),
        ("<html>", "is not a plan"),
        ('{"kind": NaN}', "is no number"),
        ("[" * 100_000, "nested too deep"),
        ('{"a": ' * 30_000, "nested too deep|ends in the middle"),
        ("9" * 5000, "is not a plan"),
        (" " * 200_001, "characters long"),
        ('{"kind": "x", "kind": "y"}', "stands twice"),
    ],
)
def test_what_is_no_plan_at_all_is_explained(text, words):
    found = refusals(text)
    assert any(one in found[0][1] for one in words.split("|")), found


def test_a_byte_order_mark_and_half_characters_do_no_harm():
    plan = document.from_text("\ufeff" + text_of("remote-hut"))
    assert plan == plan_of("remote-hut")
    odd = document.from_text(json.dumps({**HEAD, "who": {"title": "a\ud800b"}}))
    assert odd["who"]["title"] == "a?b" and document.to_text(odd).encode()


def test_reading_changes_nothing_it_was_given():
    data = json.loads(text_of("remote-hut"))
    data["battery"]["colour"] = "red"
    before = copy.deepcopy(data)
    refusals(data)
    with pytest.raises(InputProblems):
        document.read(data)
    assert data == before


@pytest.mark.parametrize(
    ("section", "name", "text", "path", "words"),
    [
        ("battery", "capacity", "12 V", "battery.capacity", 'this needs a charge; "12 V" is a voltage'),
        ("battery", "depth_limit", "150 %", "battery.depth_limit", "must be between 1\u00a0% and 100\u00a0%"),
        ("season", "days", "-2", "season.days", "must be between 0.1 and 30"),
        ("dc", "rule", "ours", "dc.rule", "is not one of the answers"),
        ("charging", "driving_days", "9999", "charging.driving_days", "is not a day of the trip"),
        ("season", "sun_bad_week", "4, sunny", "season.sun_bad_week", "day 2"),
    ],
)
def test_a_value_that_cannot_be_read_is_named_and_kept(section, name, text, path, words):
    plan = plan_of("weekend-caravan", **{section: {name: text}})
    (problem,) = document.check(plan)
    assert problem.field == path and words in problem.text
    assert document.from_text(document.to_text(plan))[section][name] == text


def test_a_load_that_cannot_be_read_is_named_by_its_place_in_the_list():
    plan = plan_of("weekend-caravan")
    plan["loads"][2] = {**plan["loads"][2], "power": "12 V"}
    (problem,) = document.check(plan)
    assert str(problem) == 'loads[2].power: this needs a power; "12 V" is a voltage'


def test_a_value_is_read_as_for_the_plan_s_kind_of_battery():
    """The table for lead-acid ends at −6.7 °C; lithium is used below it."""
    assert document.check(plan_of("weekend-caravan", season={"temperature": "-15 °C"})) == []
    (problem,) = document.check(plan_of("boat-cold-bank", season={"temperature": "-15 °C"}))
    assert problem.field == "season.temperature"
