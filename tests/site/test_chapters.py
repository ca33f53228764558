"""Every chapter opens with its answer, closes with what to try and what to remember, and fits one sitting."""

import re
from statistics import median

import pytest

from scripts import reading_age
from tests.site.chapters import CASES, CHAPTERS, COMMENT, SITE, built, list_items, sections, sentences, source

# Pages in the chapters' folders that are not read from the top, and why.
EXCEPTIONS = {
    "road/pocket.md": "tables to print and carry, one to a page",
    "road/trees.md": "six decision trees written out: a reader follows one of them, a line at a time",
    "choose/myths.md": "a list to look a rule up in: each entry stands alone, with its range and its error",
}
FORMED = [page for page in CHAPTERS if page not in EXCEPTIONS]

# One sitting, in words of prose: tables, drawings and forms are not counted, computed sentences are.
FEWEST_WORDS, MOST_WORDS = 500, 1300

# A reader of about 14. The measure comes out up to a year too low, so the middle lies a year below.
MEDIAN_AGE, HIGHEST_AGE = 13, 14


def prose(page):
    return [text for _, text in reading_age.blocks(built(page))]


def test_there_are_chapters_and_the_exceptions_are_few():
    assert {"safety/index.md", "choose/index.md", "road/index.md"} <= set(FORMED)
    assert len(EXCEPTIONS) <= 3 and all(EXCEPTIONS.values())


@pytest.mark.parametrize("page", FORMED)
def test_a_chapter_opens_with_its_answer_in_three_sentences(page):
    opening = reading_age.blocks(built(page))[0]
    assert opening[0] == "in-short", f"the first paragraph is: {opening[1][:80]}"
    found = sentences(opening[1])
    assert len(found) == 3, found


@pytest.mark.parametrize("page", FORMED)
def test_a_chapter_closes_with_what_to_try_and_three_things_to_remember(page):
    found = sections(page)
    assert [heading for heading, _ in found][-2:] == ["Try it", "Remember"]
    (_, to_try), (_, to_remember) = found[-2:]
    linked = re.findall(r"^[-*] +.*?\]\((?:\.\./)?calculators/[\w-]+\.md", to_try, re.MULTILINE)
    assert linked and len(linked) == len(list_items(to_try)), "every item of Try it links to a calculator"
    assert len(list_items(to_remember)) == 3


@pytest.mark.parametrize("page", FORMED)
def test_a_chapter_fits_one_sitting(page):
    words = sum(len(text.split()) for text in prose(page))
    assert FEWEST_WORDS <= words <= MOST_WORDS


@pytest.mark.parametrize("page", [*CHAPTERS, *CASES])
def test_nothing_is_left_for_later(page):
    left = [comment for comment in COMMENT.findall(source(page)) if not re.match(r"<!--\s*handbook:", comment)]
    assert left == []


@pytest.mark.parametrize("page", [page for page in CASES if page != "cases/index.md"])
def test_a_case_says_what_goes_wrong_when_a_step_is_skipped(page):
    skipped = dict(sections(page)).get("What goes wrong when a step is skipped", "")
    pieces = re.findall(r"<!--\s*handbook:\s*(?:value|answer|finding)\b", skipped)
    assert len(pieces) >= 3, "computed, not asserted"


def test_a_reader_of_about_fourteen_can_read_it():
    ages = reading_age.chapters(SITE)
    assert set(ages) >= {built(page).relative_to(SITE).as_posix() for page in FORMED}
    assert median(ages.values()) <= MEDIAN_AGE
    assert {page: years for page, years in ages.items() if years > HIGHEST_AGE} == {}


def test_the_measure_tells_easy_from_hard():
    easy = ["The fuse sits at the battery. It keeps the wire safe. Take it out first."]
    hard = ["Notwithstanding the aforementioned considerations regarding residual-current protection, manufacturers' documentation habitually necessitates interpretation."]
    assert reading_age.age(easy) < 9 < 20 < reading_age.age(hard)
