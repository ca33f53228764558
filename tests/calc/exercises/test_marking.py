"""What people type: commas, other units, nothing, nonsense. Each is read or said, and nothing breaks."""

import pytest

from calc.errors import FieldProblem
from calc.exercises import marking
from calc.exercises.catalogue import TEMPLATES
from calc.exercises.items import Choice, Estimate, Faults, Line, Mistake, Number, Option
from calc.exercises.templates import Exercise, Template

TOLERANT = Template("made-here", "Made here", None)


def asked(item, level=2):
    return Exercise("words-and-units", TOLERANT, "seed", level, 1, item)


CHARGE = asked(Number(question="?", value=33.75 * 3600, unit="Ah", mistakes=(Mistake(36.0 * 3600, "That is with twelve volts."),), hints=("one", "two")))
APPARENT = asked(Number(question="?", value=600.0, unit="VA", mistakes=(Mistake(360.0, "Those are the watts."),)))
CHOICE = asked(Choice(question="?", options=(Option("one", "Too few."), Option("two", "Just so.", True), Option("three", "Too many.")), hints=("one",)))
SHEET = asked(Faults(question="?", lines=(Line("a"), Line("b", "wrong"), Line("c"), Line("d", "wrong"))))
GUESS = asked(Estimate(question="?", value=30.0 * 3600, unit="Ah"))


@pytest.mark.parametrize("typed", ["33.75", "33,75", "33.8 Ah", "33,8Ah", " 33.8  ah ", "33800 mAh", "0.0338 kAh", "3.38e1", "33.1", "34.4 Ah"])
def test_a_right_answer_as_people_write_it(typed):
    found = marking.mark(CHARGE, typed)
    assert (found.verdict, found.marks, found.of) == ("right", 3, 3)


@pytest.mark.parametrize(("typed", "verdict", "marks", "words"), [
    ("36 Ah", "wrong", 0, "That is with twelve volts. The answer is 33.8"), ("35", "nearly", 1, "off"), ("32.2", "nearly", 1, "off"), ("50", "wrong", 0, "The answer is"), ("33750", "wrong", 0, "milli"),
    ("3.375", "wrong", 0, "decimal place"), ("2025", "wrong", 0, "minutes for hours"), ("-33.75", "wrong", 0, "The answer is"), ("0", "wrong", 0, "The answer is"),
])  # fmt: skip
def test_a_wrong_answer_says_what_it_was(typed, verdict, marks, words):
    found = marking.mark(CHARGE, typed)
    assert (found.verdict, found.marks) == (verdict, marks) and words in found.words.replace("\u00a0", " ")


@pytest.mark.parametrize(("exercise", "typed", "words"), [
    (CHARGE, "", "enter a charge"), (CHARGE, "   ", "enter a charge"), (CHARGE, "1/0", "not a unit known here"), (CHARGE, "12 V", "is a voltage"), (CHARGE, "abc", "no number"), (CHARGE, "<b>", "no number"),
    (CHARGE, "1,234", "can be read as"), (CHARGE, "30 to 40", "one value"), (CHARGE, "nan", "not a quantity"), (CHARGE, "1e999", "too large"), (CHARGE, "\ud800", "no number"), (CHARGE, "33 Wh", "is an energy"),
    (APPARENT, "600 W", "apparent power"), (APPARENT, "0.6 kW", "apparent power"), (APPARENT, "600 watts", "apparent power"),
    (CHOICE, "", "choose one"), (CHOICE, "d", "from a to c"), (CHOICE, "ab", "from a to c"), (CHOICE, "2", "from a to c"),
    (SHEET, "", "tick"), (SHEET, "5", "from 1 to 4"), (SHEET, "0", "from 1 to 4"), (SHEET, "2 and 4", "numbers"), (SHEET, "-2", "numbers"), (SHEET, "²", "numbers"), (SHEET, "9999999999", "numbers"),
    (GUESS, "30", "with its range"), (GUESS, "", "enter a charge"), (GUESS, "-5 to 60 Ah", "range"), (GUESS, "0 to 60", "above nothing"), (GUESS, "30 to 20", "swap"), (GUESS, "30 ± 40", "above nothing"), (GUESS, "20 to 40 V", "voltage"),
])  # fmt: skip
def test_what_cannot_be_read_is_said_and_costs_nothing(exercise, typed, words):
    with pytest.raises(FieldProblem) as problem:
        marking.mark(exercise, typed)
    assert problem.value.field == "answer" and words in problem.value.text


@pytest.mark.parametrize(("typed", "marks"), [("600", 3), ("600 VA", 3), ("0.6 kVA", 3), ("360 VA", 0)])
def test_volt_amps_are_taken_as_such(typed, marks):
    assert marking.mark(APPARENT, typed).marks == marks


@pytest.mark.parametrize(("typed", "verdict", "words"), [("b", "right", "Just so."), ("B", "right", ""), ("b.", "right", ""), ("b)", "right", ""), ("a", "wrong", "Too few. The answer is b. Just so."), ("c", "wrong", "Too many.")])
def test_a_choice(typed, verdict, words):
    found = marking.mark(CHOICE, typed)
    assert found.verdict == verdict and words in found.words


@pytest.mark.parametrize(("typed", "marks", "verdict", "words"), [
    ("2,4", 2, "right", "Found: lines 2 and 4."), ("4 2", 2, "right", ""), ("2", 1, "nearly", "Missed: line 4."), ("2,4,1", 1, "nearly", "Nothing is wrong with line 1"), ("1,2,3,4", 0, "wrong", "lines 1 and 3"),
    ("1", 0, "wrong", "None of the faults"), ("2,2,2", 1, "nearly", ""),
])  # fmt: skip
def test_a_sheet_with_faults(typed, marks, verdict, words):
    found = marking.mark(SHEET, typed)
    assert (found.marks, found.verdict) == (marks, verdict) and words in found.words


@pytest.mark.parametrize(("typed", "marks", "words"), [
    ("25 to 35", 3, "holds it"), ("30 ± 5 Ah", 3, ""), ("30 ± 16 %", 3, ""), ("20 to 30 Ah", 2, "holds it"), ("31 to 33", 2, "does not hold"), ("24 to 29", 1, "does not hold"), ("5 to 55", 2, "too wide"),
    ("50 to 100", 0, "does not hold"), ("1 to 100", 0, "too wide"),
])  # fmt: skip
def test_a_guess_is_marked_by_closeness_and_by_its_range(typed, marks, words):
    found = marking.mark(GUESS, typed)
    assert found.marks == marks and words in found.words


def test_each_hint_costs_a_mark_and_none_goes_below_nothing():
    assert [marking.mark(CHARGE, "33.8", hints).marks for hints in (0, 1, 2, 9, -1)] == [3, 2, 1, 1, 3]
    assert [marking.mark(CHOICE, "b", hints).marks for hints in (0, 1)] == [2, 1]
    assert marking.mark(CHARGE, "50", 2).marks == 0


def test_no_two_templates_have_one_title():
    """The trainer's view names what went wrong by them."""
    assert len(TEMPLATES) == len({template.title for _, template in TEMPLATES.values()})
