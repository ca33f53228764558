"""A plan goes into a link and comes out again, or says what became of it on the way."""

import base64
import re
import zlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.errors import InputProblems
from calc.plan import document, link
from tests.calc import typed
from tests.calc.plan.plans import NAMES, plan_of
from tests.calc.plan.test_document import plans


def refusal(text):
    """Why a link is refused."""
    with pytest.raises(InputProblems) as refused:
        link.from_link(text)
    (problem,) = refused.value.problems
    assert problem.field == "link"
    return problem.text


@pytest.mark.parametrize("name", NAMES)
def test_the_four_plans_come_back_from_their_links(name):
    text = link.to_link(plan_of(name))
    assert link.from_link(text) == plan_of(name)
    assert re.fullmatch(r"[A-Za-z0-9._~-]+", text), "characters an address leaves alone"
    assert len(text) < 2000, "short enough for any mail program"


@typed.many
@given(plans())
def test_any_plan_comes_back_from_its_link(plan):
    assert link.from_link(link.to_link(plan)) == plan


@typed.many
@given(plans(), st.data())
def test_a_link_cut_short_is_named_as_such_wherever_it_was_cut(plan, data):
    text = link.to_link(plan)
    kept = data.draw(st.integers(0, len(text) - 1))
    words = refusal(text[:kept])
    assert "cut short" in words if text[:kept].count(".") == 3 else "cut off" in words


def test_a_link_cut_short_says_how_much_arrived():
    text = link.to_link(plan_of("remote-hut"))
    assert re.search(r"was cut short: \d+ of \d+ characters arrived", refusal(text[:-40]))


@typed.many
@given(st.data())
def test_a_changed_character_never_gives_another_plan(data):
    plan = plan_of("boat-cold-bank")
    text = link.to_link(plan)
    place = data.draw(st.integers(text.rindex(".") + 1, len(text) - 1))
    other = data.draw(st.sampled_from("ABCDabcd0123-_").filter(lambda letter: letter != text[place]))
    changed = text[:place] + other + text[place + 1 :]
    try:
        assert link.from_link(changed) == plan, "the spare bits of the last character carry nothing"
    except InputProblems as problems:
        assert "was changed on its way" in problems.problems[0].text


def made(raw, count=None, checksum=None, form=link.FORM):
    """A link with any content."""
    packed = zlib.compressobj(9, wbits=-15)
    body = base64.urlsafe_b64encode(packed.compress(raw) + packed.flush()).rstrip(b"=").decode()
    return f"{form}.{len(body) if count is None else count}.{zlib.crc32(raw) if checksum is None else checksum:08x}.{body}"


def test_a_bomb_is_not_unpacked():
    bomb = made(b" " * 40_000_000)
    assert len(bomb) < link.CHARACTERS_MOST
    assert "unpacks to more than a plan holds" in refusal(bomb)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "is not the link of a plan"),
        ("hello", "is not the link of a plan"),
        ("1.5.00000000.", "was cut short: 0 of 5"),
        ("1.2.00000000.abcd", "has something added at its end"),
        ("1.4.00000000.abcd", "was changed on its way"),
        ("a" * 70_000, "characters long"),
        (made(b"{}", form="2"), 'is of form "2"'),
        (made(b"{}", checksum=1), "its checksum is wrong"),
    ],
)
def test_what_is_no_link_is_explained(text, words):
    assert words in refusal(text)


def test_what_is_in_it_is_read_like_a_file():
    newer = document.compact(plan_of("remote-hut")).replace('"version":1', '"version":7')
    with pytest.raises(InputProblems) as refused:
        link.from_link(made(newer.encode()))
    assert refused.value.problems[0].field == "version"


def test_line_breaks_of_a_mail_program_do_no_harm():
    text = link.to_link(plan_of("remote-hut"))
    assert link.from_link("\n".join(text[place : place + 70] for place in range(0, len(text), 70))) == plan_of("remote-hut")
