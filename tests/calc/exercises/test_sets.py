"""A seed of any text gives the same exercises, spread over the topics asked for."""

from collections import Counter

import pytest

from calc.errors import InputProblems
from calc.exercises import sets
from calc.exercises.catalogue import TOPICS
from calc.exercises.draws import Draws, fingerprint, rounded
from calc.exercises.items import Number


def refused(*asked):
    with pytest.raises(InputProblems) as problems:
        sets.order(*asked)
    return {one.field: one.text for one in problems.value.problems}


@pytest.mark.parametrize("seed", ["2026-07", "a", "Ä ö ü", "‮right to left", "🚐🔋", "<script>", "0", "\ud800", "x" * 200, "' or 1=1 --", "{}"])
def test_a_seed_is_any_text(seed):
    asked = sets.order(seed, [], 2, 12)
    made = sets.make(asked)
    assert made == sets.make(sets.order(seed, [], "2", "12")) and len(made) == 12
    assert {one.topic for one in made} == set(TOPICS)


def test_blanks_around_a_seed_do_not_count_and_letters_do():
    assert sets.order("  class\u00a0 of\tJuly ", [], 1, 1).seed == "class of July"
    assert sets.make(sets.order("July ", [], 1, 5)) == sets.make(sets.order("July", [], 1, 5))
    assert sets.make(sets.order("july", [], 1, 5)) != sets.make(sets.order("July", [], 1, 5))


def test_a_longer_set_begins_as_the_shorter_one_and_a_place_can_be_asked_for_alone():
    asked = sets.order("here", ["fuse", "batteries"], 3, 20)
    made = sets.make(asked)
    assert made[:7] == sets.make(sets.order("here", ["batteries", "fuse", "fuse"], 3, 7))
    assert [sets.at(asked, number) for number in (1, 13, 20)] == [made[0], made[12], made[19]]


def test_a_set_is_spread_over_topics_and_over_templates():
    made = sets.make(sets.order("spread", [], 1, 60))
    assert set(Counter(one.topic for one in made).values()) == {5}
    alone = sets.make(sets.order("spread", ["cut-out-margin"], 2, 16))
    counted = Counter(one.template.id for one in alone)
    assert set(counted.values()) == {2} and len(counted) == len(TOPICS["cut-out-margin"].templates)
    assert alone[0].item != alone[8].item or alone[0].template != alone[8].template


def test_levels_are_different_exercises():
    first, second, third = (sets.make(sets.order("levels", ["recharge"], level, 8)) for level in (1, 2, 3))
    asked = [{(one.item.question, *(fact.label for fact in one.item.facts)): one.template.id for one in made if isinstance(one.item, Number)} for made in (first, second, third)]
    assert all(len(each) >= 5 for each in asked)
    assert {asked[0][same] for same in asked[0].keys() & asked[1].keys()} <= {"bad-week"} and {asked[1][same] for same in asked[1].keys() & asked[2].keys()} == set()
    assert sum(one.marks for one in first) < sum(one.marks for one in second) < sum(one.marks for one in third)


@pytest.mark.parametrize(("asked", "field", "words"), [
    (("", [], 1, 1), "seed", "enter any word"), ((" \n ", [], 1, 1), "seed", "enter any word"), (("x" * 201, [], 1, 1), "seed", "201 characters"),
    (("s", ["fuses"], 1, 1), "topics", 'no topic "fuses"'), (("s", [], 0, 1), "level", "from 1 to 3"), (("s", [], 4, 1), "level", "from 1 to 3"), (("s", [], "x", 1), "level", "whole number"),
    (("s", [], "²", 1), "level", "whole number"), (("s", [], 1, 0), "count", "from 1 to 60"), (("s", [], 1, 61), "count", "from 1 to 60"), (("s", [], 1, True), "count", "whole number"), (("s", [], 1.5, 1), "level", "whole number"),
    (("s", [], None, 1), "level", "whole number"), (("s", [], 1, "9" * 5000), "count", "whole number"),
])  # fmt: skip
def test_what_cannot_be_asked_for_is_said(asked, field, words):
    assert words in refused(*asked)[field]


def test_everything_wrong_is_said_at_once():
    assert set(refused("", ["no", "nor"], 9, "many")) == {"seed", "topics", "level", "count"}


def test_draws_are_those_of_the_published_algorithms():
    """FNV-1a of 64 bits by its published test values; SplitMix64 by those of its reference code from the state 1234567."""
    assert [fingerprint(text) for text in ("", "a", "foobar")] == [0xCBF29CE484222325, 0xAF63DC4C8601EC8C, 0x85944171F73967E8]
    draws = Draws()
    draws._state = 1234567
    assert [draws.below(2**64) for _ in range(3)] == [6457827717110365317, 3203168211198807973, 9817491932198370423]


def test_draws_are_spread_evenly():
    draws = Draws("even")
    counted = Counter(draws.one("abcdef") for _ in range(6000))
    assert all(850 < count < 1150 for count in counted.values())
    assert all(sorted(draws.shuffled("abcd")) == list("abcd") and len(set(draws.some(range(9), 4))) == 4 for _ in range(50))
    first = Counter(draws.shuffled("abc")[0] for _ in range(3000))
    assert all(850 < count < 1150 for count in first.values())


def test_an_instrument_shows_whole_steps():
    assert (rounded(12.0449, 0.01), rounded(12.046, 0.01), rounded(0.0312, 0.001)) == (12.04, 12.05, 0.031)
