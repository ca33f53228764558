"""What cannot be used: which field, why, and what to enter instead."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.calculators.form import Choice, Field, Points, inside
from calc.errors import FieldProblem, InputProblems
from calc.render import html, text
from tests.calc import typed
from tests.calc.cases import CASES, answer, in_every_case

# calculator, what is typed, the field that is named, words its message holds
BAD = [
    # another kind of quantity
    ("dc-cable", {"length_one_way": "12 A"}, "length_one_way", 'this needs a length; "12 A" is a current'),
    ("supply-path", {"power_ac": "12 V"}, "power_ac", 'this needs a power; "12 V" is a voltage'),
    ("standby", {"battery_capacity": "1200 Wh"}, "battery_capacity", 'this needs a charge; "1200 Wh" is an energy'),
    ("conversion-loss", {"efficiency_full": "20 W"}, "efficiency_full", 'this needs a percentage; "20 W" is a power'),
    ("dc-cable", {"area": "6 mm"}, "area", "outside diameter"),
    ("supply-path", {"area": "6mm"}, "area", "4.6 mm²"),
    # no number
    ("supply-path", {"power_ac": "lots"}, "power_ac", "enter, for example, 12.5"),
    ("dc-cable", {"current_dc": "twelve"}, "current_dc", "enter, for example, 12.5"),
    ("standby", {"standby_power": "<script>alert(1)</script>"}, "standby_power", "enter, for example"),
    ("dc-cable", {"current_dc": "12 apples"}, "current_dc", '"apples" is not a unit known here: enter a current in A'),
    ("supply-path", {"power_ac": "nan"}, "power_ac", "is not a quantity: enter a number"),
    ("supply-path", {"power_ac": "NaN W"}, "power_ac", "is not a quantity: enter a number"),
    ("dc-cable", {"current_dc": "inf"}, "current_dc", "is not a quantity: enter a number"),
    ("dc-cable", {"current_dc": "-∞ A"}, "current_dc", "enter a number"),
    ("standby", {"hours_on": "1,200"}, "hours_on", "can be read as 1200 or as 1.200"),
    # empty where a value must be given
    ("dc-cable", {"rule": ""}, "rule", "choose whose rule for heat: us-boats-33-cfr-183,"),
    ("dc-cable", {"rule": "  "}, "rule", "choose whose rule for heat"),
    ("dc-cable", {"power_ac": "1200 W"}, "voltage_min", "enter the inverter's cut-out voltage"),
    # negative, and zero where it makes no sense
    ("supply-path", {"power_ac": "-5 W"}, "power_ac", "must be above 0"),
    ("supply-path", {"power_ac": "0"}, "power_ac", "must be above 0"),
    ("dc-cable", {"current_dc": "-120 A"}, "current_dc", "must be between 0.1"),
    ("dc-cable", {"current_dc": "0 A"}, "current_dc", "must be between 0.1"),
    ("dc-cable", {"length_one_way": "0 m"}, "length_one_way", "must be between 0.05"),
    ("standby", {"standby_power": "0 W"}, "standby_power", "500\u00a0W"),
    ("standby", {"battery_capacity": "-100"}, "battery_capacity", "must be between 1"),
    ("conversion-loss", {"power_ac": "−1 W"}, "power_ac", "must be between 0"),
    ("supply-path", {"battery_resistance": "0"}, "battery_resistance", "must be between 0.05"),
    ("supply-path", {"battery_resistance": "3 ± 4 mΩ"}, "battery_resistance", "must be between 0.05"),
    # out of this world
    ("dc-cable", {"current_dc": "1e9 A"}, "current_dc", "must be between 0.1\u00a0A and 2000\u00a0A"),
    ("supply-path", {"power_ac": "1e9"}, "power_ac", "must be above 0\u00a0W and up to 60000\u00a0W"),
    ("standby", {"hours_on": "25 h"}, "hours_on", "up to 24\u00a0h"),
    ("conversion-loss", {"voltage_dc": "230 V"}, "voltage_dc", "must be between 6\u00a0V and 64\u00a0V"),
    ("dc-cable", {"length_one_way": "2 km"}, "length_one_way", "must be between 0.05\u00a0m and 50\u00a0m"),
    ("dc-cable", {"area": "400 mm²"}, "area", "120\u00a0mm²"),
    ("dc-cable", {"area": "50 AWG"}, "area", "enter 40 AWG to 4/0 AWG"),
    # impossible
    ("conversion-loss", {"power_factor": "1.2"}, "power_factor", "must be between 0.1 and 1"),
    ("conversion-loss", {"efficiency_full": "105 %"}, "efficiency_full", "must be between 40\u00a0% and 99.5\u00a0%"),
    ("standby", {"depth_limit": "120 %"}, "depth_limit", "100\u00a0%"),
    ("standby", {"wake_fraction": "1.5"}, "wake_fraction", "must be between 0 and 1"),
    ("dc-cable", {"bundle": "2.5"}, "bundle", "enter a whole number"),
    ("dc-cable", {"area": "37 mm²"}, "area", "enter 35\u00a0mm² or 50\u00a0mm²"),
    # values that contradict each other
    ("supply-path", {"cut_out": "13 V"}, "cut_out", "must lie below the battery's 12.6\u00a0V at rest"),
    ("supply-path", {"cut_out": "12.6 V"}, "cut_out", "must lie below"),
    ("supply-path", {"lock_out": "11 V"}, "lock_out", "must lie below the cut-out at 10.5\u00a0V"),
    ("supply-path", {"recovery": "10 V"}, "recovery", "must lie above the cut-out at 10.5\u00a0V"),
    ("supply-path", {"power_ac": "2100 W"}, "power_ac", "above the inverter's 2000\u00a0VA continuous: enter less"),
    ("supply-path", {"power_ac": "1300 W", "power_factor": "0.6"}, "power_ac", "above the inverter's 2000\u00a0VA continuous"),
    ("supply-path", {"power_ac": "7000 W", "load_duration": "1 s"}, "power_ac", "three times the rating"),
    ("conversion-loss", {"power_ac": "2500 W"}, "power_ac", "above the inverter's 2000\u00a0VA continuous"),
    ("conversion-loss", {"efficiency_full": "92 %", "efficiency_peak": "90 %"}, "efficiency_peak", "cannot lie below the 92\u00a0% at full load"),
    ("conversion-loss", {"standby_power": "90 W"}, "standby_power", "cannot draw more than"),
    ("standby", {"search_power": "30 W"}, "search_power", "cannot be above the 20.0\u00a0W it draws when awake"),
    ("standby", {"hours_on": "2 h"}, "hours_needed", "cannot be more than the 2\u00a0h it is on"),
    ("dc-cable", {"insulation": "60 °C"}, "insulation", "insulation of 90 °C and above"),
    ("dc-cable", {"ambient": "80 °C"}, "ambient", "enter a cooler place, or better parts"),
    ("dc-cable", {"power_ac": "1200 W", "voltage_min": "24 V", "voltage_nominal": "12 V"}, "voltage_min", "12\u00a0V"),
    # the same thing said twice
    ("supply-path", {"power_ac": "700 W", "power_dc": "900 W"}, "power_dc", "this and power_ac say the same thing in two ways: empty one of them"),
    ("supply-path", {"area": "50 mm²", "cable_resistance": "2 mΩ"}, "cable_resistance", "this and area say the same thing"),
    ("dc-cable", {"current_dc": "80 A", "power_ac": "900 W", "voltage_min": "10.5 V"}, "power_ac", "this and current_dc say the same thing"),
    ("standby", {"standby_power": "9 W", "standby_current": "1 A"}, "standby_current", "this and standby_power say the same thing"),
    # the end of a table
    ("dc-cable", {"area": "10 mm²", "current_dc": "20 A"}, "area", "35"),
    # half an answer
    ("dc-cable", {"voltage_min": "10.5 V"}, "power_ac", "enter"),
    # fields and answers that do not exist
    ("standby", {"standby": "9 W"}, "standby", "there is no such field here: the fields are standby_power,"),
    ("dc-cable", {"rule": "my own"}, "rule", '"my own" is not one of the answers: choose us-boats-33-cfr-183,'),
    ("supply-path", {"cut_out_senses": "peak"}, "cut_out_senses", "choose mean, trough, unknown"),
    ("dc-cable", {"rule": "unknown"}, "rule", "choose"),
    ("standby", {"hours_needed": "unknown"}, "hours_needed", "this has to be known: enter hours"),
    # efficiency points
    ("conversion-loss", {"points": "half"}, "points", "enter load:efficiency, for example"),
    ("conversion-loss", {"points": "10%:abc"}, "points", 'in "10%:abc"'),
    ("conversion-loss", {"points": "50%:90%"}, "points", "at least two different loads"),
    ("conversion-loss", {"points": "10%:88%, 10%:89%"}, "points", "at least two different loads"),
    ("conversion-loss", {"points": "10%:80%, 200%:89%"}, "points", "up to 150 % of the rating"),
    ("conversion-loss", {"points": "0%:80%, 100%:89%"}, "points", "above 0"),
    ("conversion-loss", {"points": "10%:99.9%, 100%:89%"}, "points", "between 5 % and 99.5 %"),
    ("conversion-loss", {"points": "10%:60%, 100%:95%"}, "points", "no loss curve"),
]  # fmt: skip


def problems(calculator, texts):
    """Everything that is said about what was typed."""
    if calculator == "dc-cable":
        texts = {"rule": "bs-7671-flexible", **texts}
    with pytest.raises((InputProblems, FieldProblem)) as raised:
        run(CALCULATORS[calculator], texts)
    return getattr(raised.value, "problems", (raised.value,))


@pytest.mark.parametrize(("calculator", "texts", "field", "words"), BAD)
def test_what_cannot_be_used_is_named_and_explained(calculator, texts, field, words):
    (problem,) = problems(calculator, texts)
    assert problem.field == field
    assert words in problem.text


@pytest.mark.parametrize(("calculator", "texts", "field", "words"), BAD)
def test_a_message_says_what_to_enter_and_blames_nobody(calculator, texts, field, words):
    for problem in problems(calculator, texts):
        assert re.search(r"\b(enter|choose|must|needs|write|empty|check|lower|cannot|the fields are|swap)\b", problem.text)
        assert not re.search(r"\b(invalid|please|error|illegal|wrong|failed|None|Traceback)\b", problem.text, re.IGNORECASE)


def test_every_problem_is_reported_at_once_in_the_order_of_the_form():
    found = problems("supply-path", {"ripple": "x", "power_ac": "12 V", "area": "6 mm", "lenght": "2 m", "cut_out": "-1"})
    assert [problem.field for problem in found] == ["lenght", "power_ac", "cut_out", "area", "ripple"]
    assert len(str(InputProblems(found)).split("; ")) >= 5


@pytest.mark.parametrize(
    ("texts", "name", "si"),
    [
        ({"length_one_way": "2,5 m"}, "length_one_way", 2.5),
        ({"length_one_way": "  2.5   m "}, "length_one_way", 2.5),
        ({"current_dc": "1 200 A"}, "current_dc", 1200),
        ({"current_dc": "1'200"}, "current_dc", 1200),
        ({"current_dc": "1\u00a0200 A"}, "current_dc", 1200),
        ({"area": "2 AWG"}, "area", 33.63e-6),
        ({"area": "35 mm2"}, "area", 35e-6),
        ({"drop_limit": "0,03 %"}, None, None),
    ],
)
def test_the_ways_people_type_are_understood(texts, name, si):
    if name is None:  # too small a share, but read for what it is
        assert "0.1\u00a0%" in problems("dc-cable", texts)[0].text
    else:
        assert answer("dc-cable", {"rule": "us-boats-33-cfr-183"}, **texts).input(name).value == pytest.approx(si, rel=1e-3)


@pytest.mark.parametrize("calculator", CASES)
def test_a_field_left_out_is_taken_for_granted_and_said_so(calculator):
    case = next(iter(CASES[calculator]))
    result = answer(calculator, case)
    fields = sorted(CALCULATORS[calculator].fields, key=lambda field: not getattr(field, "kept", False))  # those are read first
    for given_, field in zip(result.inputs, fields, strict=True):
        assert given_.name == field.name and given_.how in ("given", "default", "unknown", "blank")
        if given_.name not in CASES[calculator][case]:
            assumed = "unknown" if field.default == "unknown" and not isinstance(field, Choice) else "default"
            assert given_.how == (assumed if given_.value is not None else "blank")
        if given_.how == "unknown" and not isinstance(field, Choice):
            assert given_.basis and given_.low <= given_.value <= given_.high


@pytest.mark.parametrize("calculator", CASES)
def test_every_unknown_widens_its_field(calculator):
    """ "I don't know" gives a range at least as wide as a typed value's."""
    for field in CALCULATORS[calculator].fields:
        if not isinstance(field, Choice) and field.unknown is not None:
            reading, how, basis = field.read("unknown")
            assert how == "unknown" and basis == field.unknown.basis != ""
            assert reading.low <= reading.likely <= reading.high
            as_typed, _, _ = field.read(field.unknown.likely)
            assert reading.high - reading.low >= (as_typed.high or 0) - (as_typed.low or 0) or reading.low == reading.high


@pytest.mark.parametrize("calculator", CASES)
def test_the_texts_a_form_starts_with_are_answered(calculator):
    assert answer(calculator, CALCULATORS[calculator].shown()).answer


@pytest.mark.parametrize("calculator", CASES)
def test_every_example_a_form_gives_is_accepted(calculator):
    """A hint or a message that shows what to type is held to it, beside the form's own values."""
    for field in CALCULATORS[calculator].fields:
        if field.name == "points":
            for shown in re.findall(r"(?:\d+%:\d+%(?:, )?)+", field.hint):
                assert answer(calculator, CALCULATORS[calculator].shown(), points=shown).answer
    if any(field.name == "points" for field in CALCULATORS[calculator].fields):
        for texts in ({"points": "half"}, {"points": "50%:90%"}):
            message = problems(calculator, {**CALCULATORS[calculator].shown(), **texts, **{"dc-cable": {"power_ac": "900 W", "voltage_min": "10.5 V", "current_dc": ""}, "fuse": {"power_ac": "900 W", "voltage_min": "10.5 V", "current_max": ""}}.get(calculator, {})})[0].text
            for shown in re.findall(r"(?:\d+%:\d+%(?:, )?){2,}", message):
                assert answer(calculator, CALCULATORS[calculator].shown(), points=shown).answer


@pytest.mark.parametrize(
    ("calculator", "texts"),
    [
        ("supply-path", {"area": "35 ± 5 mm²"}),
        ("dc-cable", {"area": "35 ± 5 mm²"}),
        ("dc-cable", {"area": "4 AWG to 4/0 AWG"}),
        ("dc-cable", {"ambient": "72 °C"}),
        ("dc-cable", {"ambient": "50 ± 20 °C", "rule": "us-boats-33-cfr-183", "insulation": "60 °C"}),
        ("dc-cable", {"terminal_temperature": "60 ± 10 °C", "ambient": "55 °C"}),
        ("standby", {"search_power": "0", "wake_fraction": "0"}),
        ("standby", {"search_power": "0", "wake_fraction": "0.1 ± 0.1"}),
        ("standby", {"standby_power": "1e-320 W"}),
        ("conversion-loss", {"power_ac": "1e-320 W"}),
        ("conversion-loss", {"power_ac": "1e-300 W", "standby_power": "0"}),
        ("supply-path", {"power_ac": "1e-300 W"}),
        ("supply-path", {"power_ac": "5 nan"}),
        ("supply-path", {"power_ac": "5²"}),
        ("supply-path", {"load_duration": "1e-300 s"}),
        ("supply-path", {"cable_resistance": "1e-300 mΩ", "joint_resistance": "0"}),
        ("conversion-loss", {"points": "1e308 kW:80%, 10%:80%"}),
        ("conversion-loss", {"points": "1e-300%:80%, 100%:80%"}),
        ("conversion-loss", {"points": "100%:80%, 100.0000000001%:80%"}),
    ],
)  # fmt: skip
def test_legal_and_strange_is_answered_or_refused(calculator, texts):
    check_anything(calculator, {"rule": "bs-7671-flexible", **texts} if calculator == "dc-cable" else texts)


def check_anything(calculator, texts):
    """An answer in finite numbers that can be shown in every form, or problems that name fields."""
    try:
        result = run(CALCULATORS[calculator], texts)
    except (InputProblems, FieldProblem) as raised:
        found = getattr(raised, "problems", (raised,))
        assert all(problem.text for problem in found)
        html.error_slots(CALCULATORS[calculator], found, "here")
        return
    for output in result.outputs:
        assert all(math.isfinite(number) for number in (output.value, output.low, output.high) if isinstance(number, float)), output
    assert result.answer and text.sheet(result) and html.slots(result, "here")
    assert all(finding.text for finding in result.findings)


@pytest.mark.parametrize("calculator", CASES)
def test_any_text_in_any_field_is_answered_or_refused(calculator):
    names = [field.name for field in CALCULATORS[calculator].fields]

    @typed.many
    @given(typed.valid(calculator), st.dictionaries(st.sampled_from(names), typed.anything, min_size=1, max_size=3))
    def holds(texts, strange):
        check_anything(calculator, {**texts, **strange})

    holds()


@in_every_case
def test_the_same_typed_twice_is_answered_the_same(calculator, case):
    assert answer(calculator, case) == answer(calculator, {**CASES[calculator][case]})


KNOWN_BY_READER = {
    "power", "power_running", "power_starting", "apparent_power_running", "apparent_power_starting", "current_dc", "current_max",  # what is asked about
    "minutes", "hours_per_day", "uses_per_day", "quantity", "energy", "days", "hours_needed", "other_hours_on", "driving_hours", "mains_hours", "power_other", "loads", "loads_dc", "sheddable",
    "sun_hours", "driving_start", "mains_start", "sunrise", "sunset", "step", "use_scale", "panel_extra", "water_start", "water_end",
    "rating", "breaker_rating", "breaker", "voltage_nominal", "voltage_dc", "voltage_ac", "unit_voltage", "unit_capacity", "panel_power", "panels_in_series", "area",  # printed on the thing
    "strings", "appliances", "turns", "bundle", "distance", "battery_resistances", "voltage", "altitude",  # counted, measured, asked about
    "margin", "strings_least", "drop_limit", "sizes", "rise_wanted", "charge_to", "capacitance", "series_resistance", "design_margin",  # chosen, not known
}  # fmt: skip
"""Fields a reader is the one to know: counted, chosen, printed on the thing, or the question itself. All others offer "I don't know", or stand blank."""


@pytest.mark.parametrize("calculator", CALCULATORS)
def test_nobody_is_asked_for_what_they_may_not_know(calculator):
    for field in CALCULATORS[calculator].fields:
        if isinstance(field, Field) and field.default and field.unknown is None and not isinstance(field, Points):
            assert field.name in KNOWN_BY_READER, f"{field.name} has no answer to 'I don't know'"


REFUSED = {("appliance-cost", "power_factor"), ("bus-voltage", "insulation"), ("dc-cable", "insulation"), ("fuse", "insulation")}
"""Where what is assumed contradicts the rest of the example: a kettle above the rating, unmarked cable and a rule for 90 °C insulation."""


@pytest.mark.parametrize("calculator", CALCULATORS)
def test_not_knowing_any_one_thing_is_answered(calculator):
    ask = CALCULATORS[calculator]
    shown = ask.shown()
    others = {name: [other for group in ask.alternatives for way in group if name in {each for one in group for each in one} and name not in way for other in way] for name in shown}
    for field in ask.fields:
        if isinstance(field, Field) and field.unknown is not None:
            texts = {**shown, field.name: "unknown", **dict.fromkeys(others[field.name], "")}
            try:
                result = run(ask, texts)
            except FieldProblem:
                assert (calculator, field.name) in REFUSED
                continue
            assert field.default == "unknown" or result.input(field.name).how == "unknown", field.name
            assert (calculator, field.name) not in REFUSED


@pytest.mark.parametrize(("label", "said"), [("AC power, in place of the current", "AC power, in place of the current"), ("Cable length", "cable length"), ("LED lamp", "LED lamp"), ("", "")])
def test_a_label_inside_a_sentence_keeps_its_abbreviations(label, said):
    assert inside(label) == said


def test_a_sheet_names_what_moves_an_answer_most_in_plain_words():
    """Not "aC power"; other labels begin small."""
    shown = text.sheet(answer("dc-cable", {"rule": "bs-7671-flexible", "power_ac": "1200 W", "voltage_min": "10.5 V", "area": "70 mm²", "length_one_way": "2 ± 0 m"}))
    flat = " ".join(shown.split())
    assert "most from: AC power" in flat and "aC power" not in flat
    assert "most from: temperature around the cable" in flat


def test_a_size_at_the_start_of_a_sentence_keeps_its_letters():
    result = answer("dc-cable", {"rule": "us-boats-33-cfr-183", "conductor": "awg", "area": "2 AWG", "length_one_way": "6 m", "current_dc": "80 A"})
    assert result.output("verdict").value == "drops-too-much" and " AWG (" in result.answer and "awg" not in result.answer
