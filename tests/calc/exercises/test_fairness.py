"""No exercise is impossible or ambiguous: a thousand seeds of every template, a few of them as typed.

A test a template; a failure names level and seed.
"""

import math
import re

import pytest

from calc.exercises import marking
from calc.exercises.catalogue import TEMPLATES, TOPICS
from calc.exercises.items import Choice, Estimate, Faults, Number
from calc.exercises.templates import LEVELS, exercise
from calc.units import format_number, from_si

SEEDS = 1000
TYPED_EVERY = 25
OTHER_UNITS = {
    "A": ("mA", "kA"), "V": ("mV", "kV"), "W": ("kW", "mW"), "VA": ("kVA",), "Ah": ("mAh", "kAh"), "Wh": ("kWh",), "h": ("min", "day", "s"), "day": ("h", "min"),
    "mΩ": ("Ω", "µΩ"), "%": (),
}  # fmt: skip
BROKEN = re.compile(r"nan|None|\binf\b|[{}]|\d\.\d{4,}|\b[Aa] (?=[aeio][a-z])|  |\.\.|“[^”]*$")


def made(id, seeds):
    topic, template = TEMPLATES[id]
    for seed in seeds:
        level = LEVELS[seed % len(LEVELS)]
        yield exercise(topic, template, f"seed {seed}", level, 1 + seed % 20)


def texts(item):
    yield from (item.story, item.question, item.why, *item.hints, *(fact.words for fact in item.facts))
    yield from (one.why for one in getattr(item, "mistakes", ()))
    yield from (words for one in (*getattr(item, "options", ()), *getattr(item, "lines", ())) for words in (one.text, one.why))


def written(value, unit):
    """A value as people write it down, to five figures."""
    return f"{format_number(from_si(value, unit), 5)} {unit}"


@pytest.mark.parametrize("id", TEMPLATES)
def test_a_thousand_seeds(id):
    kinds = set()
    for one in made(id, range(SEEDS)):
        item, where = one.item, f"level {one.level}, {one.seed}"
        kinds.add(type(item))
        assert one.marks >= 1 and item.hints and item.question.endswith((".", "?")), where
        for text in texts(item):
            assert not BROKEN.search(text), f"{where}: {text}"
        if isinstance(item, Number):
            assert math.isfinite(item.value) and item.value > 0 and item.mistakes and 0.001 <= item.tolerance <= 0.05, where
            for mistake in item.mistakes:
                assert not item.matches(mistake.value, item.value) and not item.matches(item.value, mistake.value), f"{where}: {mistake.why}"
        elif isinstance(item, Choice):
            assert 3 <= len(item.options) <= len(marking.LETTERS) and [option.right for option in item.options].count(True) == 1, where
            assert len({option.text for option in item.options}) == len(item.options), where
            assert all(option.why for option in item.options if not option.right), where
            numbers = [option.value for option in item.options if option.value is not None]
            assert all(abs(one - other) > 0.005 * one for place, one in enumerate(numbers) for other in numbers[:place]), where
        elif isinstance(item, Faults):
            assert 0 < one.marks < len(item.lines) and len({line.text for line in item.lines}) == len(item.lines), where
        else:
            assert isinstance(item, Estimate) and math.isfinite(item.value) and item.value > 0, where
    assert len(kinds) == 1


@pytest.mark.parametrize("id", TEMPLATES)
def test_the_key_is_marked_right_and_a_mistake_wrong(id):
    """As typed, in every unit the page takes."""
    for one in made(id, range(0, SEEDS, TYPED_EVERY)):
        item, where = one.item, f"level {one.level}, {one.seed}"

        def verdict(answer):
            found = marking.mark(one, answer)
            assert 0 <= found.marks <= found.of == one.marks and (found.marks == found.of) == (found.verdict == marking.RIGHT), f"{where}: {answer}"
            return found.verdict

        if isinstance(item, Number):
            for unit in (item.unit, *OTHER_UNITS[item.unit]):
                assert verdict(written(item.value, unit)) == marking.RIGHT, f"{where}: {written(item.value, unit)}"
            assert verdict(format_number(from_si(item.value, item.unit), 5)) == marking.RIGHT, where
            assert verdict(format_number(from_si(item.value, item.unit), 3)) == marking.RIGHT, f"{where}: rounded as people say it"
            for mistake in item.mistakes:
                found = marking.mark(one, written(mistake.value, item.unit))
                assert found.verdict == marking.WRONG and found.marks == 0 and any(each.why in found.words for each in item.mistakes), f"{where}: {mistake.why}"
            edge = 1 + 2 * item.tolerance
            assert verdict(written(item.value * edge, item.unit)) != marking.RIGHT, where
        elif isinstance(item, Choice):
            for letter, option in zip(marking.LETTERS, item.options):
                assert (verdict(letter) == marking.RIGHT) == option.right, where
        elif isinstance(item, Faults):
            wrong = [number for number, line in enumerate(item.lines, 1) if line.why]
            assert verdict(", ".join(map(str, wrong))) == marking.RIGHT, where
            spare = next(number for number in range(1, len(item.lines) + 1) if number not in wrong)
            assert verdict(f"{spare} {wrong[0]}") == marking.WRONG, where
            assert len(wrong) == 1 or verdict(str(wrong[0])) == marking.NEARLY, where
        else:
            value = from_si(item.value, item.unit)
            assert verdict(f"{0.8 * value:.6g} to {1.2 * value:.6g} {item.unit}") == marking.RIGHT, where
            assert verdict(f"{0.1 * value:.6g} to {1.9 * value:.6g} {item.unit}") == marking.NEARLY, where
            assert verdict(f"{3 * value:.6g} to {4 * value:.6g} {item.unit}") == marking.WRONG, where


def test_forty_templates_over_twelve_topics():
    assert len(TOPICS) == 12 and len(TEMPLATES) >= 40 and sum(len(topic.templates) for topic in TOPICS.values()) == len(TEMPLATES)
    assert [topic.lesson for topic in TOPICS.values()] == list(range(1, 13))
    kinds = {type(one.item) for id in TEMPLATES for one in made(id, [0])}
    assert kinds == {Number, Choice, Faults, Estimate}
    for topic in TOPICS.values():
        assert len(topic.templates) >= 3 and all(re.fullmatch(r"[a-z]+(-[a-z]+)*", one.id) for one in topic.templates)


@pytest.mark.parametrize("id", TEMPLATES)
def test_seeds_and_levels_differ(id):
    """Another seed gives other exercises, or this would be one exercise forty times."""
    asked = {(one.item.story, one.item.question, *(fact.words for fact in one.item.facts), *sorted(option.text for option in getattr(one.item, "options", ())), *(line.text for line in getattr(one.item, "lines", ()))) for one in made(id, range(0, 90, 3))}
    assert len(asked) >= (4 if id in ("what-to-say", "what-first", "what-changes", "what-a-voltage-says", "which-voltage") else 6)
