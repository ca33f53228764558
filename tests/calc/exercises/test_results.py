"""Results are a file of our own: read with care, marked again, and never trusted."""

import json

import pytest

from calc import __version__
from calc.errors import InputProblems
from calc.exercises import results, sets
from calc.exercises.items import Choice, Faults, Number, said
from calc.exercises.marking import LETTERS
from calc.units import from_si

ORDER = sets.order("2026-07", ["fuse", "stop-lines"], 2, 6)


def right(one):
    item = one.item
    if isinstance(item, Number):
        return said(item.value, item.unit, 5)
    if isinstance(item, Choice):
        return LETTERS[[option.right for option in item.options].index(True)]
    if isinstance(item, Faults):
        return ",".join(str(number) for number, line in enumerate(item.lines, 1) if line.why)
    value = from_si(item.value, item.unit)
    return f"{0.8 * value:.6g} to {1.2 * value:.6g} {item.unit}"


def handed_in(who="Trainee A", order=ORDER, skip=(), hints=0):
    answers = tuple(results.Answer(one.number, right(one), hints, 40) for one in sets.make(order) if one.number not in skip)
    return results.Results(who, "2026-07-31", order, True, answers)


def text(**more):
    return results.document(handed_in(**more))


def test_what_is_saved_is_read_again():
    data = json.loads(text(skip=(2,)))
    assert (data["kind"], data["version"], data["handbook"], data["who"], data["date"], data["seed"], data["timed"]) == (results.KIND, 1, __version__, "Trainee A", "2026-07-31", "2026-07", True)
    assert [row["number"] for row in data["answers"]] == [1, 2, 3, 4, 5, 6] and data["answers"][1]["answer"] == "" and data["answers"][1]["marks"] == 0
    read = results.read(text(skip=(2,)))
    found = results.marked(read)
    assert results.differences(read, found) == [] and results.document(read) == text(skip=(2,))
    assert sum(one.marks for one in found) == data["marks"] == data["of"] - found[1].exercise.marks


def test_edited_marks_are_told_and_not_taken():
    edited = text(skip=(1, 3)).replace('"marks": 0', '"marks": 3')
    read = results.read(edited)
    found = results.marked(read)
    (note,) = results.differences(read, found)
    assert note.startswith("exercises 1, 3 are marked otherwise") and [found[0].marks, found[2].marks] == [0, 0]
    assert sum(one.marks for one in found) < json.loads(edited)["of"]


def test_another_seed_in_the_file_is_told_by_its_exercises():
    read = results.read(text().replace('"seed": "2026-07"', '"seed": "2026-08"'))
    notes = results.differences(read, results.marked(read))
    assert len(notes) == 1 and ("not what this version" in notes[0] or "marked otherwise" in notes[0])
    renamed = results.read(text().replace('"template": "', '"template": "x-').replace(f'"handbook": "{__version__}"', '"handbook": "9.9"'))
    (note,) = results.differences(renamed, results.marked(renamed))
    assert "exercises 1, 2, 3, 4, 5, 6 are not what this version" in note and "9.9" in note


def test_hints_count_again_and_no_more_than_there_are():
    read = results.read(text(hints=9))
    found = results.marked(read)
    assert [one.marks for one in found] == [max(one.exercise.marks - len(one.exercise.item.hints), 0) for one in found]


def test_an_answer_that_cannot_be_read_brings_nothing():
    answers = (results.Answer(1, "1/0"), results.Answer(2, "<b>"), results.Answer(3, ""))
    found = results.marked(results.Results("", "", ORDER, False, answers))
    assert [one.marks for one in found] == [0] * 6 and all(one.marked is None for one in found)


def refused(content):
    with pytest.raises(InputProblems) as problems:
        results.read(content)
    return {one.field: one.text for one in problems.value.problems}


def changed(**members):
    data = json.loads(text())
    return json.dumps({name: value for name, value in {**data, **members}.items() if value is not ...})


def row(**members):
    return changed(answers=[{"number": 1, "answer": "b", **members}])


@pytest.mark.parametrize(("content", "path", "words"), [
    ("", "", "is empty"), ("  \n", "", "is empty"), ("[]", "", "not a file of results"), ("{}", "", "kind"), ('{"kind": "inverter-field-handbook-plan", "version": 1}', "", "kind"), ("12 <b>", "", "not a file of results"),
    ("x" * 200_001, "", "200001 characters"), ("[" * 100_000, "", ""), ('{"kind": NaN', "", "cut short"),
    (changed(version=2), "version", "version 2"), (changed(version=...), "version", "null"), (changed(seed=""), "seed", "enter any word"), (changed(seed=7), "seed", "text"), (changed(topics=[]), "topics", "list of topics"),
    (changed(topics=["fuse", 3]), "topics", "list"), (changed(topics=["nothing"]), "topics", "no topic"), (changed(level=9), "level", "from 1 to 3"), (changed(count=10**9), "count", "from 1 to 60"),
    (changed(who="x" * 81), "who", "at most 80"), (changed(who=["a"]), "who", "text"), (changed(date="yesterday"), "date", "2026-07-31"), (changed(timed="yes"), "timed", "true or false"), (changed(extra=1), "extra", "not part"),
    (changed(answers={}), "answers", "list"), (changed(answers=["b"]), "answers", "list"), (changed(answers=...), "answers", "list"),
    (row(number=7), "answers[0].number", "from 1 to 6"), (row(number="1"), "answers[0].number", "whole number"), (row(hints=-1), "answers[0].hints", "from 0"), (row(hints=True), "answers[0].hints", "whole"),
    (row(seconds=1.5), "answers[0].seconds", "whole"), (row(marks=10**9), "answers[0].marks", "from 0"), (row(answer=5), "answers[0].answer", "text"), (row(answer="x" * 201), "answers[0].answer", "at most 200"), (row(template=None), "answers[0].template", "text"),
    (row(note="hi"), "answers[0].note", "not part"), (changed(answers=[{"number": 2, "answer": "a"}, {"number": 2, "answer": "b"}]), "answers[1].number", "twice"),
])  # fmt: skip
def test_a_file_from_elsewhere_or_edited_is_said_with_its_place(content, path, words):
    found = refused(content)
    assert path in found or path == "", found
    assert any(words in text for text in found.values()), found


def test_a_file_cut_short_is_told_so():
    assert "cut short" in refused(text()[:300])[""]


def test_several_documents_in_one_pasted_text():
    both = f"\ufeff{text()}\n\n{text(who='Trainee B')}"
    assert [results.read(one).who for one in results.parts(both)] == ["Trainee A", "Trainee B"]
    assert results.parts("no json") == ["no json"] and results.parts(text() + "rest")[1:] == ["rest"] and results.parts("") == [""]


def test_who_needs_which_lesson():
    wide = sets.order("2026-07", [], 1, 24)
    learned, weak = handed_in("Ann", wide), results.Results("ben", "", wide, False, ())
    ann, ben = results.summary([weak, learned])
    assert (ann.who, ben.who) == ("Ann", "ben") and ann.lessons == [] and ann.total[0] == ann.total[1] and ann.mistakes == ()
    assert ben.lessons == list(ben.topics) and ben.total[0] == 0 and len(ben.mistakes) >= 12
    twice = results.summary([learned, handed_in("Ann", ORDER)])
    assert len(twice) == 1 and twice[0].files == 2 and twice[0].total[1] == ann.total[1] + sum(one.marks for one in sets.make(ORDER))


def test_one_missed_stop_sends_back_to_that_lesson():
    stops = [one.number for one in sets.make(sets.order("s", ["stop-lines"], 1, 8))]
    (person,) = results.summary([handed_in(order=sets.order("s", ["stop-lines"], 1, 8), skip=stops[:1])])
    assert person.total[0] >= 0.8 * person.total[1] and person.lessons == ["stop-lines"]


def test_the_picture_has_a_bar_for_each_topic_asked():
    drawn = results.figure(results.summary([handed_in(skip=(1,))]))
    (bars,) = drawn.series
    assert [place for place, _ in bars.points] == [8, 10] and bars.points[1][1] == 100 and 0 < bars.points[0][1] < 100
