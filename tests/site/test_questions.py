"""Every question people ask is answered somewhere, and the search finds it in their own words."""

import json
import re
import tomllib
from functools import cache

import pytest
from lunr.builder import Builder
from lunr.pipeline import Pipeline
from lunr.stop_word_filter import stop_word_filter

from tests.site.chapters import DOCS, SITE, built

QUESTIONS = tomllib.loads((DOCS / "questions.toml").read_text("utf-8"))["question"]

# The trade's catalogue: 58 numbered questions, and seven that are asked besides.
CATALOGUE = set(range(1, 59)) | {59, 60, 61, 62, 63, 64, 65}
FIRST_PAGE = 5


def named(question):
    return f"{question['number']}-{question['page']}"


class Search:
    """What the site's search shows: its own index, weighted, cut into words and ranked as its worker does it.

    Where two pages are nearly equal, the real one may put them the other way round.
    """

    def __init__(self, content):
        self.documents = {each["location"]: each for each in content["docs"]}
        builder = Builder()
        builder.ref("location")
        for name, options in content["config"]["fields"].items():
            builder.field(name, boost=options["boost"])
        # Of the usual three steps the worker keeps those that the index names, and looks for beginnings of words.
        assert content["config"]["pipeline"] == ["stopWordFilter"]
        builder.pipeline = Pipeline()
        builder.pipeline.add(stop_word_filter)
        for each in content["docs"]:
            text = re.sub(r"<[^>]+>", " ", each["text"])
            builder.add({"location": each["location"], "title": each["title"], "text": text, "tags": each.get("tags")}, {"boost": each.get("boost", 1)})
        self.index = builder.build()

    def pages(self, typed):
        """The pages found, best first."""
        words = [word.strip(".'’") for word in re.findall(r"[\w'’.]+", typed.lower())]
        scores = {}
        for hit in self.index.search(" ".join(f"{word}*" for word in words)):
            found = hit["match_data"].metadata.keys()
            # A small word that is not found does not count as missed.
            matched = {word: any(term.startswith(word) for term in found) for word in words}
            counted = [is_found for word, is_found in matched.items() if is_found or stop_word_filter(word)]
            page, _, section = hit["ref"].partition("#")
            score = hit["score"] * (1 + ((not section) + sum(counted) / len(counted)) ** 2)
            scores[page] = max(score, scores.get(page, 0))
        return sorted(scores, key=lambda page: -scores[page])


@cache
def search():
    return Search(json.loads((SITE / "search" / "search_index.json").read_text("utf-8")))


def test_every_question_of_the_catalogue_has_a_page():
    asked = {question["number"] for question in QUESTIONS}
    assert asked == CATALOGUE, f"missing: {sorted(CATALOGUE - asked)}; unknown: {sorted(asked - CATALOGUE)}"


def test_an_entry_is_complete():
    for question in QUESTIONS:
        assert set(question) == {"number", "asked", "page", "heading"}, question
        assert len(question["asked"].split()) >= 3, question


@pytest.mark.parametrize("question", QUESTIONS, ids=named)
def test_the_answer_stands_where_the_entry_says(question):
    page = built(question["page"])
    assert page.is_file(), question["page"]
    headings = [" ".join(re.sub(r"<[^>]+>", "", heading).split()) for heading in re.findall(r"<h[1-4][^>]*>(.*?)</h[1-4]>", page.read_text("utf-8"), re.DOTALL)]
    assert question["heading"] in headings


@pytest.mark.parametrize("question", QUESTIONS, ids=named)
def test_the_search_finds_the_page_in_the_readers_own_words(question):
    wanted = built(question["page"]).relative_to(SITE).as_posix()
    assert wanted in search().pages(question["asked"])[:FIRST_PAGE]


def test_below_half_leads_near_the_top_to_where_it_is_answered():
    assert "understand/batteries.html" in search().pages("Must I never take a lead-acid battery below half?")[:3]


@pytest.mark.parametrize("beginning", "abcdefghijklmnopqrstuvwxyz0123456789")
def test_the_search_stands_every_beginning(beginning):
    """Many long figures make the library of the search take one word for another, and then it finds nothing at all.

    Hence no drawings and no check values in the index, and spaces between the cells of tables.
    """
    assert search().index.search(f"{beginning}*")


def test_the_search_does_not_find_everything_everywhere():
    assert search().pages("carbon monoxide alarm") != search().pages("shaver charger burned")
    assert search().pages("xylophone") == []
