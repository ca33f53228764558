"""In chapters, cases and the pages of the forms a number with a unit comes from a calculation or a table, save the few that are listed."""

import re
import tomllib
from pathlib import Path

import pytest

from calc.calculators import bus_voltage, measure
from tests.site.chapters import CASES, CHAPTERS, COMMENT, FORMS, sentences, source

LISTED = tomllib.loads((Path(__file__).parent / "numbers_allowed.toml").read_text("utf-8"))
ALLOWED = LISTED["allowed"]
# On the page of one form only.
ON_A_FORM = LISTED["form"]

UNITS = (
    "µs ms s min h hours? minutes? seconds? days? weeks? years? mm² mm2 mm cm² m² m³ cm km m ft feet inch(?:es)? in(?=[.,;:)]) mg kg g L litres?"
    " AWG mV kV V mA kA A Ah mAh mΩ Ω mW kW W VA kVA Wh kWh MJ J Hz kHz K °C °F degrees? deg % per cent lumens? ppm"
    " volts? amps? watts? amp-hours? watt-hours? ohms? milliohms? millivolts?"
).split()
WITH_UNIT = re.compile(rf"(?<![\w.,/#-])\d[\d.,]*(?:\s*(?:-|–|to|or|and)\s*\d[\d.,]*)*[\s\u00a0-]?(?:{'|'.join(UNITS)})(?![\w/])")


def prose(page):
    """What was typed by hand: without pieces, code and the targets of links."""
    text = COMMENT.sub("\ufffc", source(page))
    text = re.sub(r"```.*?```|`[^`]*`", "", text, flags=re.DOTALL)
    return " ".join(re.sub(r"\]\([^)]*\)", "]", text).split())


def is_allowed(found, sentence):
    for one in ALLOWED:
        if found == one["text"] and (not one.get("beside") or any(word in sentence for word in one["beside"])):
            return True
    return False


def typed_by_hand(text):
    return [(match[0], sentence) for sentence in sentences(text) for match in WITH_UNIT.finditer(sentence) if not is_allowed(match[0], sentence)]


@pytest.mark.parametrize("page", [*CHAPTERS, *CASES])
def test_no_number_with_a_unit_is_typed_by_hand(page):
    assert typed_by_hand(prose(page)) == []


@pytest.mark.parametrize("page", FORMS)
def test_the_page_of_a_form_types_none_but_its_marks(page):
    """What people say wrongly stands in quotation marks, and is no result."""
    marks = {one["text"] for one in ON_A_FORM if one["page"] == page}
    found = {number for number, _ in typed_by_hand(re.sub(r'"[^"]*"', "\ufffc", prose(page)))}
    assert found == marks


def test_marks_are_those_of_the_calculators():
    text = " ".join(source("calculators/bus-voltage.md").split())
    assert f"{bus_voltage.CURRENT_TO_QUESTION:.0f} A for hours and {bus_voltage.AREA_TO_QUESTION * 1e6:.0f} mm² of cable" in text
    text = " ".join(source("calculators/measure.md").split())
    assert f"above {measure.PIECE_VOLTAGE_SUSPECT * 1e3:.0f} mV, above {measure.PIECE_RESISTANCE_SUSPECT * 1e3:g} mΩ" in text
    assert f"above {measure.PIECE_HEAT_STOP:.0f} W" in text


def test_what_is_allowed_says_why():
    for one in ON_A_FORM:
        assert set(one) == {"page", "text", "reason"} and len(one["reason"].split()) >= 3
    for one in ALLOWED:
        assert set(one) <= {"text", "reason", "beside"} and len(one["reason"].split()) >= 3


@pytest.mark.parametrize("text", ["It takes 40 A.", "about 3.5 minutes", "a 100 Ah battery", "loses 3 % of it", "16 mm² cable", "from 2 to 5 m", "a 40-minute drive", "35mm²", "30 mA is little"])
def test_a_typed_number_is_seen(text):
    assert typed_by_hand(text)


@pytest.mark.parametrize("text", ["on a 12 V battery", "three batteries", "4 in a row of them", "IEC 60898 says so", "A residual-current device of 30 mA (IEC 61008-1) trips.", "step 2 and 3"])
def test_what_is_no_quantity_or_is_allowed_passes(text):
    assert typed_by_hand(text) == []
