"""The decision trees as data: each question leads on, each way ends, each text fits its box."""

import textwrap
import tomllib
from pathlib import Path

import pytest

DOCS = Path(__file__).resolve().parents[2] / "docs"
TREES = {path.stem: tomllib.loads(path.read_text("utf-8")) for path in sorted((DOCS / "road" / "trees").glob("*.toml"))}
BOX_WIDTH, BOX_LINES = 30, 3


def ways_on(step):
    """The steps that one step can lead to."""
    if "answers" in step:
        return [target for _, target in step["answers"]]
    return [step[answer] for answer in ("yes", "no") if answer in step]


def walks(steps, id, so_far=()):
    """Every way from a step to an end, as tuples of ids; a loop is an error."""
    assert id not in so_far, f"{id} comes back to itself: {so_far}"
    on = ways_on(steps[id])
    if not on:
        return [(*so_far, id)]
    return [walk for target in on for walk in walks(steps, target, (*so_far, id))]


def test_the_six_complaints_have_a_tree():
    assert set(TREES) == {"dead-output", "alarm-under-load", "all-dc-dead", "small-things-only", "tingle", "smell"}


@pytest.mark.parametrize("name", TREES)
def test_every_step_is_reached_and_every_way_ends(name):
    tree = TREES[name]
    found = walks(tree["steps"], tree["start"])
    assert {id for walk in found for id in walk} == set(tree["steps"])
    assert all("do" in tree["steps"][walk[-1]] for walk in found)


@pytest.mark.parametrize("name", TREES)
def test_a_step_asks_or_ends_and_holds_nothing_else(name):
    for id, step in TREES[name]["steps"].items():
        if "ask" in step:
            ways = {"answers"} if "answers" in step else {"yes", "no"}
            assert set(step) - {"how"} == {"ask"} | ways, id
        else:
            assert {"do"} <= set(step) <= {"do", "level", "see"}, id
            assert step.get("level", "note") in ("stop", "caution", "note"), id


@pytest.mark.parametrize("name", TREES)
def test_texts_fit_their_boxes(name):
    for id, step in TREES[name]["steps"].items():
        for text in (step.get("ask"), step.get("do")):
            assert text is None or len(textwrap.wrap(text, BOX_WIDTH)) <= BOX_LINES, (id, text)
        for words, _ in step.get("answers", []):
            assert len(textwrap.wrap(words, BOX_WIDTH)) == 1, (id, words)


@pytest.mark.parametrize("name", TREES)
def test_a_tree_starts_with_what_can_hurt(name):
    """The first question is about danger, and one of its answers ends in a stop."""
    tree = TREES[name]
    ends = [tree["steps"][target] for target in ways_on(tree["steps"][tree["start"]])]
    assert any(end.get("level") == "stop" for end in ends)


@pytest.mark.parametrize("name", TREES)
def test_pages_it_refers_to_exist(name):
    for id, step in TREES[name]["steps"].items():
        assert "see" not in step or (DOCS / step["see"]).is_file(), (id, step["see"])
