"""Blank forms and cards: what stands on each, in the words of the papers and with the figures of the calculators."""

import re
from html import unescape

import pytest

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.plan import document, papers, steps
from calc.render import words
from scripts import cards
from tests.site.chapters import DOCS, SITE

FORMS = ("needs-interview", "load-list", "specification", "specification-limits", "baseline", "two-load", "pieces", "hand-over")


def plain(html):
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).replace("’", "'").split())


def sheets(page, kind):
    """Each sheet of a page: its id, and its HTML."""
    content = (SITE / page).read_text("utf-8")
    return dict(re.findall(rf'<(?:div|section) class="[^"]*\bform-sheet\b[^"]*" id="({kind}-[\w-]+)"(.*?)(?=<(?:div|section) class="[^"]*form-sheet|</article>)', content, re.DOTALL))


def test_each_form_has_blanks_a_check_and_the_standing_line():
    found = sheets("forms/index.html", "form")
    assert list(found) == [f"form-{name}" for name in FORMS]
    for name, sheet in found.items():
        text = plain(sheet)
        assert papers.STANDING in text, name
        assert re.search(r"\b(Check|Stop):", text), name
        assert len(re.findall(r"<tr>", sheet)) >= 8, name
    for name in ("needs-interview", "specification-limits", "two-load", "pieces", "hand-over"):
        assert "Stop:" in plain(found[f"form-{name}"]), name


def test_the_blank_forms_speak_as_the_filled_in_papers():
    result = steps.run(document.from_text((DOCS / "plans" / "weekend-caravan.json").read_text("utf-8")))
    found = {name: plain(sheet) for name, sheet in sheets("forms/index.html", "form").items()}
    _, handover, baseline = papers.papers(result)
    for block in baseline.blocks[:2]:
        for row in block.items:
            assert row[0] in found["form-baseline"], row[0]
    assert "half as much again is a change worth finding" in found["form-baseline"]
    assert "start one" in found["form-hand-over"] and "wait five minutes" in " ".join(next(block for block in handover.blocks if block.heading == "To start and to stop").items)
    headings = ("What may run together", "What it will not do", "Work for a licensed person", "Taken for granted", "What to expect", "Agreed", "Prepared by", "Accepted by")
    recommendation = papers.recommendation(result)
    assert set(headings) <= {block.heading for block in recommendation.blocks} | {row[0] for row in recommendation.blocks[-1].items}
    assert [heading for heading in headings if heading.lower() not in found["form-specification-limits"].lower()] == []


@pytest.fixture(scope="module")
def card_sheets():
    return sheets("reference/cards.html", "card")


def test_there_is_a_card_a_calculator_with_its_question_its_answer_and_a_caution(card_sheets):
    assert list(card_sheets) == [f"card-{id}" for id in CALCULATORS]
    for id, calculator in CALCULATORS.items():
        result, text = run(calculator, calculator.shown()), plain(card_sheets[f"card-{id}"])
        assert calculator.question in text and " ".join(result.answer.split()) in text and papers.STANDING in text, id
        assert re.search(r"\b(Stop|Caution|Note)\. \w", text), id


def test_a_cards_formulas_are_those_of_the_working_with_a_word_for_every_symbol(card_sheets):
    known = cards.load()
    for id, calculator in CALCULATORS.items():
        working = {step.symbol: step for step in run(calculator, calculator.shown()).working}
        shown = [working[symbol] for symbol in known[id]["formulas"]]
        rows = re.findall(r"<li><math>.*?</math> (.*?): (.*?)</li>", card_sheets[f"card-{id}"], re.DOTALL)
        assert 1 <= len(shown) <= 3 and len(rows) == len({name for step in shown for name in (step.symbol, *step.inputs)}), id
        assert all(word.strip() and figure.strip() for word, figure in rows), id
        assert card_sheets[f"card-{id}"].count('<math displaystyle="true">') == len(shown)


def test_what_a_card_tells_is_used():
    """No word or caution that nothing on its card needs."""
    for id, about in cards.load().items():
        if id == "words":
            continue
        working = {step.symbol: step for step in run(CALCULATORS[id], CALCULATORS[id].shown()).working}
        needed = {name for symbol in about["formulas"] for name in working[symbol].inputs}
        assert set(about.get("words", {})) <= needed, id


@pytest.mark.parametrize("id, row, column, typed, output", [
    ("standby", 3, 0, {"standby_power": "20 W"}, "charge_per_day"),
    ("conversion-loss", 7, 1, {"power_ac": "2000 W"}, "efficiency"),
    ("supply-path", 4, 2, {"power_ac": "1500 W", "battery_resistance": "9 mΩ"}, "voltage_inverter"),
    ("dc-cable", 2, 3, {"current_dc": "60 A", "length_one_way": "5 m", "rule": "bs-7671-clipped"}, "area_chosen"),
])  # fmt: skip
def test_a_cards_table_has_what_the_calculator_answers_there(card_sheets, id, row, column, typed, output):
    calculator = CALCULATORS[id]
    table = card_sheets[f"card-{id}"].split("<caption>")[1]
    cells = [re.findall(r"<td>(.*?)</td>", line) for line in re.findall(r"<tr>(.*?)</tr>", table.split("<tbody>")[1], re.DOTALL)]
    assert unescape(cells[row][column]) == words.output_value(run(calculator, {**calculator.shown(), **typed}).output(output))
