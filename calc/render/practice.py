"""What the pages for practice, test and trainer ask for: a request as data in, an answer as data out.

A request has `action`, and what a set is made from: `seed`, `topics`, `level`, `count`. Nothing is kept here
between two requests. What cannot be used comes back as `errors`, a list of path and words.

topics    every topic: id, lesson, title
set       the exercises as HTML
mark      one answer → verdict, marks, HTML
hint      one hint
results   the answers → the document to save
view      several documents → the trainer's view
"""

from calc.errors import FieldProblem, InputProblems
from calc.exercises import marking, results, sets
from calc.exercises.catalogue import TOPICS
from calc.render import exercises
from calc.units import printable


def reply(asked):
    """Answer one request.

    Parameters
    ----------
    asked : dict
        The request.

    Returns
    -------
    dict
        The answer; `errors` is empty where all could be used.

    Raises
    ------
    KeyError
        For an `action` that does not exist.
    """
    try:
        return {"errors": [], **ACTIONS[asked["action"]](asked)}
    except InputProblems as problems:
        return {"errors": [{"path": one.field, "text": one.text} for one in problems.problems]}
    except FieldProblem as problem:
        return {"errors": [{"path": problem.field, "text": exercises.refused(problem)}]}


def _topics(asked):
    return {"topics": [{"id": one.id, "lesson": one.lesson, "title": one.title} for one in TOPICS.values()]}


def _order(asked):
    return sets.order(asked.get("seed", ""), asked.get("topics", ()), asked.get("level", 1), asked.get("count", 10))


def _one(asked):
    order, number = _order(asked), asked["number"]
    if not (isinstance(number, int) and 1 <= number <= order.count):
        raise FieldProblem("number", f"there is no exercise {number}: the set has {order.count}")
    return sets.at(order, number)


def _set(asked):
    """`id` keeps ids apart on the page; with `key` each exercise has its key behind a fold."""
    order = _order(asked)
    made = sets.make(order)
    id = asked.get("id", "exercise")
    items = [
        {
            "number": one.number, "template": one.template.id, "topic": one.topic, "kind": type(one.item).__name__.lower(), "marks": one.marks, "hints": len(one.item.hints),
            "html": str(exercises.item(one, id, key=bool(asked.get("key")))),
        }
        for one in made
    ]  # fmt: skip
    return {
        "seed": order.seed,
        "topics": list(order.topics),
        "level": order.level,
        "count": order.count,
        "marks": sum(one.marks for one in made),
        "title": exercises.ordered(order),
        "items": items,
    }


def _mark(asked):
    exercise = _one(asked)
    found = marking.mark(exercise, asked.get("answer", ""), asked.get("hints", 0))
    return {"verdict": found.verdict, "marks": found.marks, "of": found.of, "html": str(exercises.marked(exercise, found))}


def _hint(asked):
    """`which` from 1."""
    exercise, which = _one(asked), asked.get("which", 1)
    if not (isinstance(which, int) and 1 <= which <= len(exercise.item.hints)):
        raise FieldProblem("which", "there is no further hint")
    return {"html": str(exercises.hint(exercise, which)), "left": len(exercise.item.hints) - which}


def _results(asked):
    """`who`, `date`, `timed` and `answers`, each {number, answer, hints, seconds}."""
    answers = tuple(
        results.Answer(one["number"], printable(str(one.get("answer", ""))), int(one.get("hints", 0)), one.get("seconds")) for one in asked.get("answers", ())
    )
    text = results.document(results.Results(printable(asked.get("who", "")), asked.get("date", ""), _order(asked), bool(asked.get("timed")), answers))
    found = results.marked(results.read(text))
    return {
        "text": text, "name": _file_name(asked), "marks": sum(one.marks for one in found), "of": sum(one.exercise.marks for one in found),
        "items": [
            {"number": one.exercise.number, "marks": one.marks, "of": one.exercise.marks, "html": str(_after(one))}
            for one in found
        ],
    }  # fmt: skip


def _after(one):
    """What a test shows of an exercise once it is over."""
    return exercises.marked(one.exercise, one.marked) if one.marked else exercises.unanswered(one.exercise)


def _file_name(asked):
    words = "-".join(part for part in (str(asked.get("who", "")), str(asked.get("date", ""))) if part)
    kept = "".join(letter if letter.isalnum() else "-" for letter in words.lower()).strip("-")
    return f"results-{kept}.json" if kept else "results.json"


def _view(asked):
    """`files`, each {name, text}; several documents may stand in one pasted text, one after the other."""
    read, notes, seen = [], [], set()
    for name, text in (
        (printable(file.get("name", "")) or "what was pasted", part) for file in asked.get("files", ()) for part in results.parts(printable(file["text"]))
    ):
        if text in seen:
            notes.append(f"{name}: the same results stand here twice and count once")
            continue
        seen.add(text)
        try:
            one = results.read(text)
        except InputProblems as problems:
            notes += [f"{name}: {' '.join(part for part in (problem.field, problem.text) if part)}" for problem in problems.problems]
            continue
        read.append(one)
        notes += [f"{name}: {words}" for words in results.differences(one, results.marked(one))]
    return {"html": str(exercises.trainer(results.summary(read), notes)), "notes": notes, "read": len(read)}


ACTIONS = {"topics": _topics, "set": _set, "mark": _mark, "hint": _hint, "results": _results, "view": _view}
