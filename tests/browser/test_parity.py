"""The page's Python gives the same words as this one: the same requests, the same responses."""

import json

import pytest

from calc.browser import answer, flat
from calc.calculators import CALCULATORS
from calc.exercises.catalogue import TOPICS

REQUESTS = [
    *({"calculator": id, "id": id, "values": flat(calculator.shown())} for id, calculator in CALCULATORS.items()),
    {"calculator": "supply-path", "id": "x", "values": {}},
    {"calculator": "supply-path", "id": "x", "values": {"voltage_open_circuit": "51.2", "power_ac": "1999", "cut_out": "44", "ripple": "0.3 to 0.9"}},
    {"calculator": "supply-path", "id": "x", "values": {"battery_resistance": "80", "cable_resistance": "1e-3", "chemistry": "lithium-iron-phosphate"}},
    {"calculator": "supply-path", "id": "x", "values": {"power_ac": "3000 W", "load_duration": "0.3", "cut_out_delay": "2", "lock_out": "8,5", "recovery": "12"}},
    {"calculator": "supply-path", "id": "x", "values": {"power_ac": "12 <b>", "area": "6 mm", "cut_out": "ä", "no_such": "1"}},
    {"calculator": "dc-cable", "id": "x", "values": {}},
    {"calculator": "dc-cable", "id": "x", "values": {"rule": "us-boats-33-cfr-183", "insulation": "105", "engine_space": "yes", "conductor": "awg", "current_dc": "177"}},
    {"calculator": "dc-cable", "id": "x", "values": {"rule": "iso-13297-boats"}},
    {"calculator": "dc-cable", "id": "x", "values": {"rule": "bs-7671-rubber", "current_dc": "900", "length_one_way.unknown": "on"}},
    {"calculator": "standby", "id": "x", "values": {"standby_current": "1.7 ± 0.3 A", "search_power": "3", "wake_fraction": "33%", "other_standby_power": "6"}},
    {"calculator": "conversion-loss", "id": "x", "values": {"points": "10%:80%, 50%:91%, 100%:89%", "power_ac": "77", "power_factor": "0.7"}},
    {"calculator": "conversion-loss", "id": "x", "values": {"power_ac": "0"}},
    {"calculator": "conversion-loss", "id": "x", "values": {"efficiency_peak": "99 %", "standby_power": "80"}},
]  # fmt: skip
for request in REQUESTS:
    request["start"] = {"power_ac": "1000 W"}

EXERCISES = [
    *({"do": "exercises", "action": "set", "seed": "Ä 2026-07 🚐", "topics": [id], "level": 1 + place % 3, "count": len(topic.templates), "key": True} for place, (id, topic) in enumerate(TOPICS.items())),
    {"do": "exercises", "action": "mark", "seed": "2026-07", "topics": ["fuse"], "level": 1, "count": 1, "number": 1, "answer": "b"},
    {"do": "exercises", "action": "results", "seed": "2026-07", "who": "Ä", "count": 12, "answers": [{"number": 1, "answer": "1/0"}, {"number": 2, "answer": "1,5 kW"}]},
    {"do": "exercises", "action": "view", "files": [{"name": "a", "text": "{"}]},
]
"""A set of every topic with all its templates, keys and all; an answer, a file, a view."""


@pytest.fixture(scope="module")
def asked(browser, site_url):
    """All requests asked in one page, in one go."""
    context = browser.new_context(base_url=site_url)
    page = context.new_page()
    page.goto("calculators/standby.html")
    found = page.evaluate(
        "(requests) => Promise.all(requests.map((each) => Handbook.python.ask(each)))",
        [json.dumps(request) for request in REQUESTS + EXERCISES],
    )
    context.close()
    return found


@pytest.mark.parametrize("number", range(len(REQUESTS)))
def test_same_words_natively_and_in_the_page(asked, number):
    ours = json.loads(answer(json.dumps(REQUESTS[number])))
    assert json.loads(asked[number]) == ours
    assert ours["slots"]["answer"]


def test_same_exercises_natively_and_in_the_page(asked):
    for request, found in zip(EXERCISES, asked[len(REQUESTS) :], strict=True):
        assert json.loads(found) == json.loads(answer(json.dumps(request))), request


def test_the_requests_cover_answers_and_refusals():
    usable = [json.loads(answer(json.dumps(request)))["usable"] for request in REQUESTS]
    assert usable.count(True) >= 10 and usable.count(False) >= 3
