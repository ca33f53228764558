"""A trainee's answers as a document of our own, and what a class still needs.

document  a set and its answers → the text that is saved
parts     a pasted text → the documents that stand in it, one after the other
read      such a text → Results, or what is wrong with it, each with its place
marked    Results marked again from the seed: what a file says of its own marks is never trusted
summary   many of them → per person and topic what was right, and the lesson to do
"""

import json
import re
from dataclasses import dataclass

from calc import __version__
from calc.errors import FieldProblem, InputProblems
from calc.exercises import marking, sets
from calc.exercises.catalogue import TOPICS
from calc.result import Axis, Figure, Level, Series
from calc.units import printable

KIND = "inverter-field-handbook-results"
VERSION = 1
CHARACTERS_MOST = 200_000
NAME_MOST, ANSWER_MOST = 80, 200  # characters
ENOUGH = 0.7
"""Share of the marks from which a topic counts as learned: our choice."""
EVERY_MARK = ("stop-lines",)
"""Topics in which nothing may be missed."""
_MEMBERS = ("kind", "version", "handbook", "who", "date", "seed", "topics", "level", "count", "timed", "answers", "marks", "of")
_OF_AN_ANSWER = ("number", "template", "answer", "hints", "seconds", "marks")


@dataclass(frozen=True)
class Answer:
    """One answer as typed; "" for none."""

    number: int
    answer: str = ""
    hints: int = 0
    seconds: int | None = None
    marks: int | None = None  # as the file says
    template: str = ""  # as the file says


@dataclass(frozen=True)
class Results:
    """What a trainee hands in."""

    who: str
    date: str
    order: sets.Order
    timed: bool
    answers: tuple
    handbook: str = __version__


@dataclass(frozen=True)
class MarkedAnswer:
    """One answer marked here; `marked` is None where there is no answer that can be read."""

    exercise: object
    answer: Answer
    marked: object

    @property
    def marks(self):
        """What it brings."""
        return self.marked.marks if self.marked else 0


def marked(results):
    """Mark a trainee's answers again, from the seed.

    Parameters
    ----------
    results : Results
        As read.

    Returns
    -------
    list of MarkedAnswer
        Every exercise of the set, also those without an answer.
    """
    given = {one.number: one for one in results.answers}
    found = []
    for each in sets.make(results.order):
        answer = given.get(each.number, Answer(each.number))
        try:
            found.append(MarkedAnswer(each, answer, marking.mark(each, answer.answer, answer.hints) if answer.answer.strip() else None))
        except FieldProblem:
            found.append(MarkedAnswer(each, answer, None))
    return found


def differences(results, found):
    """Where a file's own marks are not those given here.

    Parameters
    ----------
    results : Results
        As read.
    found : list of MarkedAnswer
        The same marked again.

    Returns
    -------
    list of str
        One sentence for each kind of difference; empty where the file agrees.
    """
    other = [one.exercise.number for one in found if one.answer.template and one.answer.template != one.exercise.template.id]
    if other:
        return [
            f"{_listed(other)} not what this version of the handbook ({__version__}) gives for the seed: the file is of version {results.handbook or 'unknown'}, or was edited"
        ]
    changed = [one.exercise.number for one in found if one.answer.marks is not None and one.answer.marks != one.marks]
    return [f"{_listed(changed)} marked otherwise in the file than here: it was edited, or is of another version; the marks shown are ours"] if changed else []


def _listed(numbers):
    return f"exercise {numbers[0]} is" if len(numbers) == 1 else f"exercises {', '.join(map(str, numbers))} are"


def document(results):
    """The text that is saved.

    Parameters
    ----------
    results : Results
        A set and its answers.

    Returns
    -------
    str
        JSON, one line an answer.
    """
    found = marked(results)
    order = results.order
    answers = [
        {
            "number": one.exercise.number,
            "template": one.exercise.template.id,
            "answer": one.answer.answer,
            "hints": one.answer.hints,
            "seconds": one.answer.seconds,
            "marks": one.marks,
        }
        for one in found
    ]
    head = {
        "kind": KIND, "version": VERSION, "handbook": __version__, "who": results.who, "date": results.date, "seed": order.seed, "topics": list(order.topics),
        "level": order.level, "count": order.count, "timed": results.timed, "marks": sum(one.marks for one in found), "of": sum(one.exercise.marks for one in found),
    }  # fmt: skip
    lines = [f"  {json.dumps(name)}: {json.dumps(value, ensure_ascii=False)}," for name, value in head.items()]
    rows = ",\n".join(f"    {json.dumps(row, ensure_ascii=False)}" for row in answers)
    return "{\n" + "\n".join(lines) + f'\n  "answers": [\n{rows}\n  ]\n}}\n'


def parts(text):
    """The documents of a pasted text, which may hold several.

    Parameters
    ----------
    text : str
        One or more JSON objects, one after the other.

    Returns
    -------
    list of str
        The text of each; what is no JSON comes last, as it is.
    """
    found, rest, decoder = [], text.removeprefix("\ufeff").strip(), json.JSONDecoder()
    while rest:
        try:
            _, end = decoder.raw_decode(rest)
        except (ValueError, RecursionError):
            return [*found, rest]
        found.append(rest[:end])
        rest = rest[end:].lstrip(" \n\r\t,\ufeff")
    return found or [text]


def read(text):
    """Read a results document.

    Parameters
    ----------
    text : str
        JSON.

    Returns
    -------
    Results
        Checked.

    Raises
    ------
    InputProblems
        With every place that is wrong; "" for the whole.
    """
    if len(text) > CHARACTERS_MOST:
        _refuse(f"is {len(text)} characters long: results have at most {CHARACTERS_MOST}")
    if not text.strip():
        _refuse("is empty: choose a file that was saved from a practice or a test")
    try:
        data = json.loads(text.removeprefix("\ufeff"))
    except json.JSONDecodeError as error:
        cut = error.pos >= len(text.rstrip()) - 1 or error.msg.startswith("Unterminated")
        _refuse(
            f"ends in the middle (line {error.lineno}): the file was cut short; save it again"
            if cut
            else f"is not a file of results: {error.msg} in line {error.lineno}, column {error.colno}"
        )
    except (RecursionError, ValueError):
        _refuse("is not a file of results: it is nested too deep, or a number has too many digits")
    if not isinstance(data, dict) or data.get("kind") != KIND:
        _refuse(f'is not a file of results from this handbook: its "kind" is not "{KIND}"')
    if data.get("version") != VERSION:
        _refuse(f"is of version {_said(data.get('version'))} of the format: this handbook reads version {VERSION}", "version")
    return _results(data)


def _refuse(text, path=""):
    raise InputProblems([FieldProblem(path, text)])


def _said(value):
    return printable(json.dumps(value, ensure_ascii=False))[:40]


def _results(data):
    problems = [FieldProblem(printable(name)[:40], "is not part of a file of results") for name in data if name not in _MEMBERS]
    who, date, handbook = (" ".join(_text(data, name, NAME_MOST, problems).split()) for name in ("who", "date", "handbook"))
    if date and not re.fullmatch(r"\d{4}-\d{2}-\d{2}", date, re.ASCII):
        problems.append(FieldProblem("date", f"is {_said(date)}: it must be like 2026-07-31"))
    if not isinstance(data.get("timed", False), bool):
        problems.append(FieldProblem("timed", "must be true or false"))
    order, topics = None, data.get("topics")
    if not isinstance(topics, list) or not topics or not all(isinstance(one, str) for one in topics):
        problems.append(FieldProblem("topics", "must be a list of topics"))
    elif not isinstance(data.get("seed"), str):
        problems.append(FieldProblem("seed", "must be a text"))
    else:
        try:
            order = sets.order(data["seed"], topics, data.get("level"), data.get("count"))
        except InputProblems as found:
            problems += found.problems
    answers = _answers(data.get("answers"), order, problems)
    if problems:
        raise InputProblems(problems)
    return Results(who, date, order, data.get("timed", False), answers, handbook)


def _text(data, name, most, problems, path=""):
    value = data.get(name, "")
    if not isinstance(value, str) or len(value) > most:
        problems.append(FieldProblem(f"{path}{name}", f"must be a text of at most {most} characters"))
        return ""
    return printable(value)


def _answers(rows, order, problems):
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        problems.append(FieldProblem("answers", "must be a list of answers"))
        return ()
    found, seen, most = [], set(), order.count if order else sets.COUNT_MOST
    for place, row in enumerate(rows):
        path = f"answers[{place}]"
        problems += [FieldProblem(f"{path}.{printable(name)[:40]}", "is not part of an answer") for name in row if name not in _OF_AN_ANSWER]
        number = _count(row, "number", 1, most, path, problems)
        if number in seen:
            problems.append(FieldProblem(f"{path}.number", f"stands twice: {number}"))
        seen.add(number)
        answer, template = (_text(row, name, ANSWER_MOST, problems, f"{path}.") for name in ("answer", "template"))
        hints = _count(row, "hints", 0, 9, path, problems, 0)
        seconds = _count(row, "seconds", 0, 10**6, path, problems, None)
        found.append(Answer(number, answer, hints, seconds, _count(row, "marks", 0, 99, path, problems, None), template))
    return tuple(found)


_NEEDED = object()


def _count(row, name, least, most, path, problems, default=_NEEDED):
    value = row.get(name)
    if value is None and default is not _NEEDED:
        return default
    if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
        problems.append(FieldProblem(f"{path}.{name}", f"is {_said(value)}: it must be a whole number from {least} to {most}"))
        return default if default is not _NEEDED else None
    return value


@dataclass(frozen=True)
class Person:
    """One trainee: marks and the most of each topic, and the topics to do again."""

    who: str
    topics: dict  # id: (marks, of)
    mistakes: tuple  # template titles of what went wrong
    files: int

    @property
    def total(self):
        """Marks and the most of all topics."""
        return tuple(map(sum, zip(*self.topics.values())))

    @property
    def lessons(self):
        """Topics below enough, weakest first."""
        weak = [(marks / of, id) for id, (marks, of) in self.topics.items() if marks < (of if id in EVERY_MARK else ENOUGH * of)]
        return [id for _, id in sorted(weak, key=lambda pair: (pair[0], list(TOPICS).index(pair[1])))]


def summary(all_results):
    """What each person and the class still need.

    Parameters
    ----------
    all_results : list of Results
        As read; several of one person count together.

    Returns
    -------
    list of Person
        By name.
    """
    people = {}
    for results in all_results:
        people.setdefault(results.who or "no name", []).append(results)
    found = []
    for who in sorted(people, key=str.casefold):
        topics, mistakes = {}, {}
        for one in (each for results in people[who] for each in marked(results)):
            marks, of = topics.get(one.exercise.topic, (0, 0))
            topics[one.exercise.topic] = (marks + one.marks, of + one.exercise.marks)
            if one.marks < one.exercise.marks:
                mistakes[one.exercise.template.title] = None
        found.append(Person(who, {id: topics[id] for id in TOPICS if id in topics}, tuple(mistakes), len(people[who])))
    return found


def figure(people):
    """The share of the marks that the class has in each topic.

    Parameters
    ----------
    people : list of Person
        At least one.

    Returns
    -------
    Figure
        A bar for each topic that was asked, by the number of its lesson.
    """
    bars = []
    for topic in TOPICS.values():
        asked = [person.topics[topic.id] for person in people if topic.id in person.topics]
        if asked:
            bars.append((topic.lesson, 100 * sum(marks for marks, _ in asked) / sum(of for _, of in asked)))
    ticks = tuple((topic.lesson, str(topic.lesson)) for topic in TOPICS.values())
    return Figure(
        "Marks by lesson, all together",
        "The share of the marks that all of them together have in each lesson that was asked, with the line from which it counts as learned.",
        Axis("lesson", "", 0, len(TOPICS) + 1, ticks), Axis("share of the marks", "%", 0, 100),
        (Series("marks", tuple(bars), bars=True),), (Level("learned", 100 * ENOUGH),),
    )  # fmt: skip
