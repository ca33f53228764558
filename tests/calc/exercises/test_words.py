"""The words of the exercises, over many seeds: British spelling, and no sentence too long to be said."""

import re

from calc.exercises.catalogue import TEMPLATES
from tests.calc.exercises.test_fairness import made, texts
from tests.site.test_spelling import unknown, without_powers

SEEDS = range(12)
LONGEST = 25
SYMBOLS = {"ΔT"}


def words():
    for id in TEMPLATES:
        yield id, TEMPLATES[id][1].title
        for one in made(id, SEEDS):
            yield from ((id, text) for text in (*texts(one.item), *(fact.label for fact in one.item.facts), *(step.label for step in one.item.working)))


def test_every_word_is_british_or_a_term_of_the_trade():
    found = {(id, word) for id, text in set(words()) for word in unknown(without_powers(text)) if word not in SYMBOLS}
    assert not found


def test_no_sentence_is_too_long_to_be_said():
    found = {(id, sentence) for id, text in set(words()) for sentence in re.split(r"[.?!;:](?=\s|$)", text) if len(re.findall(r"\S*\w\S*", sentence)) > LONGEST}
    assert not found
