"""Exercises as HTML and as text: on the screen, on paper, at a terminal.

item      one exercise, with or without a form, with or without its key
marked    what came of an answer
refused   an answer that cannot be read
solution  the key of one exercise: answer, marks, working, why
folded    a set for a page without a script, keys behind folds
sheet     a set for paper, or its key
lines     the same as text
trainer   what a class still needs: table, picture and notes
"""

import re
import textwrap

import markupsafe

from calc import __version__
from calc.exercises import marking, results
from calc.exercises.catalogue import TOPICS
from calc.exercises.items import Choice, Estimate, Faults, Number, said
from calc.exercises.sets import make
from calc.render import html, svg, text
from calc.render.markup import Markup
from calc.units import restate_quantity, unit_sign

LETTERS = marking.LETTERS
STANDING = "Invented cases for practice; not an installation instruction. Local law and a licensed person decide."
HOW_AN_ESTIMATE_COUNTS = (
    "Two marks for a middle within 10 %, one within 30 %; one more for a range that holds the value, its top at most three times its bottom."
)
ROWS_FOR_WORKING = 3
VERDICTS = {marking.RIGHT: "Right", marking.NEARLY: "Nearly", marking.WRONG: "Wrong"}


SUBSCRIPT = re.compile(r"([A-Za-z])_([A-Za-z0-9]+)")


def _signs(words):
    """Words with symbols such as V_oc as formulas show them."""
    return Markup(SUBSCRIPT.sub(r"<i>\1</i><sub>\2</sub>", str(markupsafe.escape(words))))


def _count(number, one):
    return f"{number} {one}" if number == 1 else f"{number} {one}s"


def wanted(exercise, typed=True):
    """What an answer must look like, in words.

    Parameters
    ----------
    exercise : Exercise
        What is asked.
    typed : bool
        Whether it will be typed, and not written.

    Returns
    -------
    str
        A sentence or two.
    """
    item = exercise.item
    if isinstance(item, Number):
        bare = f"A bare number is in {unit_sign(item.unit)}{'s' * (item.unit == 'day')}; other units of its kind count too. " if item.unit and typed else ""
        return f"{bare}Within {restate_quantity(item.tolerance, '%')} counts as right."
    if isinstance(item, Estimate):
        return f"A range, such as 20 to 40 {unit_sign(item.unit)}, or a guess with its range, such as 30 ± 10 {unit_sign(item.unit)}. {HOW_AN_ESTIMATE_COUNTS}"
    if isinstance(item, Faults):
        return "One mark for each fault; one off for each line ticked that is right."
    return ""


def item(exercise, id, form=True, key=False):
    """One exercise.

    Parameters
    ----------
    exercise : Exercise
        What is asked.
    id : str
        Prefix that keeps ids apart on a page.
    form : bool
        Whether it can be answered in the page; else its options stand as a list.
    key : bool
        Whether its key stands behind a fold.

    Returns
    -------
    Markup
        A section.
    """
    here = f"{id}-{exercise.number}"
    inner = _form(exercise, here) if form else _asked(exercise)
    fold = Markup('<details class="key" id="{}-key"><summary>Answer and working</summary>{}</details>').format(here, solution(exercise)) if key else ""
    return Markup(
        '<section class="exercise" id="{here}" data-exercise="{number}" data-template="{template}" aria-labelledby="{here}-title">{head}{body}{inner}{fold}</section>'
    ).format(here=here, number=exercise.number, template=exercise.template.id, head=_head(exercise, here), body=_body(exercise), inner=inner, fold=fold)


def _head(exercise, here):
    return Markup('<h3 id="{}-title">{}. {} <span class="marks">{}</span></h3>').format(
        here, exercise.number, exercise.template.title, _count(exercise.marks, "mark")
    )


def _body(exercise):
    asked = exercise.item
    story = Markup('<p class="story">{}</p>').format(_signs(asked.story)) if asked.story else ""
    facts = Markup("").join(Markup("<div><dt>{}</dt><dd>{}</dd></div>").format(_signs(fact.label), fact.words) for fact in asked.facts)
    return Markup('{}{}<p class="question">{}</p>').format(story, Markup('<dl class="numbers facts">{}</dl>').format(facts) if facts else "", _signs(asked.question))


def _asked(exercise):
    """Options or lines to read, where there is nothing to type into."""
    asked = exercise.item
    if isinstance(asked, Choice):
        return Markup('<ol class="options" type="a">{}</ol>').format(Markup("").join(Markup("<li>{}</li>").format(one.text) for one in asked.options))
    if isinstance(asked, Faults):
        return Markup('<ol class="options">{}</ol><p class="hint">{}</p>').format(
            Markup("").join(Markup("<li>{}</li>").format(one.text) for one in asked.lines), wanted(exercise)
        )
    return Markup('<p class="hint">{}</p>').format(wanted(exercise, typed=False))


def _form(exercise, here):
    hints = exercise.item.hints
    hint = Markup('<button type="button" data-action="hint" data-hints="{}">A hint, for a mark</button>').format(len(hints)) if hints else ""
    return Markup(
        '<form novalidate autocomplete="off">{control}<p class="actions"><button type="submit" data-action="mark">Mark it</button>{hint}</p></form>'
        '<ol class="hints" data-slot="hints"></ol><div class="marked" data-slot="marked" role="status"></div>'
    ).format(control=_control(exercise, here), hint=hint)


def _control(exercise, here):
    asked = exercise.item
    if isinstance(asked, Choice):
        return _ticks("radio", here, "Choose one", "", [(letter, f"{letter}. {one.text}") for letter, one in zip(LETTERS, asked.options)])
    if isinstance(asked, Faults):
        return _ticks(
            "checkbox",
            here,
            "Tick every line that is wrong",
            wanted(exercise),
            [(str(number), f"{number}. {one.text}") for number, one in enumerate(asked.lines, 1)],
        )
    label = "Your range" if isinstance(asked, Estimate) else "Your answer"
    return Markup(
        '<div class="field"><label for="{here}-answer">{label}{unit}</label><p class="hint" id="{here}-answer-hint">{wanted}</p>'
        '<p class="error" id="{here}-answer-error" data-slot="error"></p>'
        '<input id="{here}-answer" name="answer" type="text" inputmode="{mode}" aria-describedby="{here}-answer-hint {here}-answer-error"></div>'
    ).format(
        here=here,
        label=label,
        unit=f" ({unit_sign(asked.unit)})" if asked.unit else "",
        wanted=wanted(exercise),
        mode="text" if isinstance(asked, Estimate) else "decimal",
    )


def _ticks(kind, here, legend, hint, rows):
    boxes = Markup("").join(
        Markup('<label class="tick"><input type="{}" name="answer" value="{}"> <span>{}</span></label>').format(kind, value, words) for value, words in rows
    )
    said = Markup('<p class="hint" id="{}-answer-hint">{}</p>').format(here, hint) if hint else ""
    described = f"{here}-answer-hint {here}-answer-error" if hint else f"{here}-answer-error"
    return Markup(
        '<fieldset class="ticks" aria-describedby="{}"><legend>{}</legend>{}<p class="error" id="{}-answer-error" data-slot="error"></p>{}</fieldset>'
    ).format(described, legend, said, here, boxes)


def hint(exercise, which):
    """One hint.

    Parameters
    ----------
    exercise : Exercise
        What is asked.
    which : int
        Which one, from 1.

    Returns
    -------
    Markup
        An item of a list.
    """
    return Markup("<li>{}</li>").format(_signs(exercise.item.hints[which - 1]))


def marked(exercise, found):
    """What came of an answer, with the key.

    Parameters
    ----------
    exercise : Exercise
        What was asked.
    found : Marked
        What came of it.

    Returns
    -------
    Markup
        Verdict, words, marks and the key behind a fold.
    """
    here = f"marked-{exercise.number}"
    return Markup(
        '<div class="verdict {verdict}"><p><strong>{title}. {marks} of {of}.</strong> Understood: {read}. {words}</p></div>'
        '<details class="key" id="{here}"{open}><summary>Answer and working</summary>{key}</details>'
    ).format(
        verdict=found.verdict, title=VERDICTS[found.verdict], marks=found.marks, of=_count(found.of, "mark"), read=found.read, words=found.words, here=here,
        open="" if found.verdict == marking.RIGHT else Markup(" open"), key=solution(exercise),
    )  # fmt: skip


def unanswered(exercise):
    """What is shown, once a test is over, of an exercise without an answer that can be read.

    Parameters
    ----------
    exercise : Exercise
        What was asked.

    Returns
    -------
    Markup
        That it brings nothing, and the key behind a fold.
    """
    return Markup(
        '<div class="verdict wrong"><p><strong>No answer. 0 of {}.</strong></p></div><details class="key" id="marked-{}" open><summary>Answer and working</summary>{}</details>'
    ).format(_count(exercise.marks, "mark"), exercise.number, solution(exercise))


def refused(problem):
    """An answer that cannot be read, said at its field.

    Parameters
    ----------
    problem : FieldProblem
        What is wrong.

    Returns
    -------
    str
        A sentence.
    """
    return problem.text[:1].upper() + problem.text[1:] + ("" if problem.text.endswith((".", "?")) else ".")


def solution(exercise):
    """The key of one exercise.

    Parameters
    ----------
    exercise : Exercise
        What was asked.

    Returns
    -------
    Markup
        Answer, marks, working, common mistakes and what to remember.
    """
    asked = exercise.item
    working = html.working(asked.working) if asked.working else ""
    why = Markup("<p>{}</p>").format(_signs(asked.why)) if asked.why else ""
    return Markup('<p class="answer"><strong>{}</strong> {}</p>{}{}{}').format(_answer(asked), _marks(exercise), working, _mistakes(asked), why)


def _answer(asked):
    if isinstance(asked, Choice):
        letter, right = next((letter, one) for letter, one in zip(LETTERS, asked.options) if one.right)
        return f"{letter}. {right.text}" + ("" if right.text.endswith((".", "?", "!")) else ".")
    if isinstance(asked, Faults):
        return f"Wrong: {', '.join(str(number) for number, line in enumerate(asked.lines, 1) if line.why)}."
    return f"{said(asked.value, asked.unit)}."


def _marks(exercise):
    asked, most = exercise.item, _count(exercise.marks, "mark")
    if isinstance(asked, Number):
        near, wide = (restate_quantity(asked.tolerance * times, "%") for times in (1, marking.NEARLY_WITHIN))
        return f"{most} within {near}; {exercise.marks // 2} within {wide}."
    if isinstance(asked, Choice):
        return f"{most}."
    return f"{most}. {wanted(exercise)}" if isinstance(asked, Faults) else f"{most}. {HOW_AN_ESTIMATE_COUNTS}"


def _mistakes(asked):
    """What wrong answers give away: (its words, why) of each."""
    rows = Markup("").join(Markup("<li><strong>{}</strong>: {}</li>").format(words, _signs(why)) for words, why in _wrong(asked))
    title = "What is wrong" if isinstance(asked, Faults) else "What other answers give away"
    return Markup('<p>{}</p><ul class="mistakes">{}</ul>').format(title, rows) if rows else ""


def _wrong(asked):
    if isinstance(asked, Number):
        whys = {}  # two mistakes may come to the same figure
        for one in asked.mistakes:
            whys.setdefault(said(one.value, asked.unit), []).append(one.why)
        return [(words, " ".join(one)) for words, one in whys.items()]
    if isinstance(asked, Choice):
        return [(letter, one.why) for letter, one in zip(LETTERS, asked.options) if one.why]
    if isinstance(asked, Faults):
        return [(f"Line {number}", line.why) for number, line in enumerate(asked.lines, 1) if line.why]
    return []


def ordered(order):
    """What a set was asked for by, in words.

    Parameters
    ----------
    order : Order
        The set.

    Returns
    -------
    str
        Seed, topics, level, count and version.
    """
    topics = "all topics" if len(order.topics) == len(TOPICS) else ", ".join(TOPICS[id].title.lower() for id in order.topics)
    return f"Seed {order.seed} · {topics} · level {order.level} · {_count(order.count, 'exercise')} · handbook {__version__}"


def folded(order, id):
    """A set for a page without a script: each exercise with its key behind a fold.

    Parameters
    ----------
    order : Order
        The set.
    id : str
        Prefix that keeps ids apart on a page.

    Returns
    -------
    Markup
        One block.
    """
    items = Markup("").join(item(one, id, form=False, key=True) for one in make(order))
    return Markup('<div class="exercises" data-search-exclude>{}<p class="standing">{}. {}</p></div>').format(items, ordered(order), STANDING)


def sheet(order, key=False):
    """A set for paper.

    Parameters
    ----------
    order : Order
        The set.
    key : bool
        Whether it is the trainer's key rather than the trainee's sheet.

    Returns
    -------
    Markup
        An article; the sheet has room to write.
    """
    exercises = make(order)
    total = sum(one.marks for one in exercises)
    blanks = (
        ""
        if key
        else Markup(
            '<p class="blanks">Name <span class="blank"></span> Date <span class="blank"></span> Marks <span class="blank short"></span> of {}</p>'
        ).format(total)
    )
    items = Markup("").join(_paper(one, key) for one in exercises)
    title = "Exercises: the key" if key else "Exercises"
    return Markup(
        '<article class="exercise-sheet" data-sheet="{}"><header><h2>{}</h2><p>{} · {}</p>{}</header>{}<footer><p class="standing">{}</p></footer></article>'
    ).format("key" if key else "exercises", title, ordered(order), _count(total, "mark"), blanks, items, STANDING)


def _paper(exercise, key):
    here = f"{'key' if key else 'sheet'}-{exercise.number}"
    if key:
        inner = solution(exercise)
    else:
        rows = Markup("").join([Markup('<p class="write"></p>')] * (ROWS_FOR_WORKING if isinstance(exercise.item, Number) else 1))
        inner = Markup("{}{}").format(_asked(exercise), rows)
    body = Markup('<p class="question">{}</p>').format(exercise.item.question) if key else _body(exercise)
    return Markup('<section class="exercise" aria-labelledby="{}-title">{}{}{}</section>').format(here, _head(exercise, here), body, inner)


def lines(order, key=False):
    """A set as text.

    Parameters
    ----------
    order : Order
        The set.
    key : bool
        Whether the keys are wanted too.

    Returns
    -------
    list of str
        Lines of at most 88 characters, where words allow.
    """
    exercises = make(order)
    told = [*textwrap.wrap(f"{ordered(order)} · {_count(sum(one.marks for one in exercises), 'mark')}", text.WIDTH)]
    for one in exercises:
        told += ["", *_text(one), *(["", *_text_key(one)] if key else [])]
    return [*told, "", *textwrap.wrap(STANDING, text.WIDTH)]


def _wrapped(words, lead="", hang=""):
    return textwrap.wrap(words, text.WIDTH, initial_indent=lead, subsequent_indent=hang or " " * len(lead))


def _text(exercise):
    asked = exercise.item
    title = f"{exercise.number}. {exercise.template.title} ({_count(exercise.marks, 'mark')})"
    yield from (title, "-" * len(title))
    if asked.story:
        yield from _wrapped(asked.story)
    wide = max((len(fact.label) for fact in asked.facts), default=0)
    for fact in asked.facts:
        yield f"  {fact.label:<{wide}}  {fact.words}"
    yield from _wrapped(asked.question)
    if isinstance(asked, Choice):
        rows = [(letter, one.text) for letter, one in zip(LETTERS, asked.options)]
    else:
        rows = [(str(number), one.text) for number, one in enumerate(asked.lines, 1)] if isinstance(asked, Faults) else []
    for sign, words in rows:
        yield from _wrapped(words, f"  {sign}. ")
    yield from _wrapped(wanted(exercise, typed=False))


def _text_key(exercise):
    asked = exercise.item
    yield from _wrapped(f"Answer: {_answer(asked)} {_marks(exercise)}")
    for step in asked.working:
        yield from text.working(step)
    for words, why in _wrong(asked):
        yield from _wrapped(f"{words}: {why}", "  - ", "    ")
    if asked.why:
        yield from _wrapped(asked.why)


def trainer(people, notes):
    """What a class still needs.

    Parameters
    ----------
    people : list of Person
        From the results that could be read.
    notes : list of str
        What was said of the files.

    Returns
    -------
    Markup
        Notes, table and picture.
    """
    told = Markup('<ul class="notes">{}</ul>').format(Markup("").join(Markup("<li>{}</li>").format(note) for note in notes)) if notes else Markup("")
    if not people:
        return told
    drawn = results.figure(people)
    picture = Markup('<figure class="drawing">{}<figcaption>{}</figcaption></figure>').format(svg.draw(drawn, "class"), drawn.title)
    return Markup("{}{}{}{}").format(told, _people(people), _topics(people), picture)


def _people(people):
    rows = Markup("").join(
        Markup('<tr><th scope="row">{}</th><td>{} of {}</td><td>{}</td><td>{}</td></tr>').format(
            person.who, *person.total, _lessons(person.lessons), "; ".join(person.mistakes) or "nothing"
        )
        for person in people
    )
    return Markup(
        '<div class="scroll"><table class="people"><caption>Who needs which lesson</caption><thead><tr><th scope="col">Name</th><th scope="col">Marks</th>'
        '<th scope="col">Lessons to do, weakest first</th><th scope="col">What went wrong</th></tr></thead><tbody>{}</tbody></table></div>'
    ).format(rows)


def _lessons(topics):
    return "; ".join(f"{TOPICS[id].lesson} {TOPICS[id].title}" for id in topics) or "none of those asked"


def _topics(people):
    asked = [topic for topic in TOPICS.values() if any(topic.id in person.topics for person in people)]
    head = Markup("").join(Markup('<th scope="col">{}</th>').format(person.who) for person in people)
    rows = Markup("").join(
        Markup('<tr><th scope="row">{} {}</th>{}</tr>').format(
            topic.lesson,
            topic.title,
            Markup("").join(
                Markup("<td>{}</td>").format("{} of {}".format(*person.topics[topic.id]) if topic.id in person.topics else "not asked") for person in people
            ),
        )
        for topic in asked
    )
    return Markup(
        '<div class="scroll"><table class="topics"><caption>Marks by lesson</caption><thead><tr><th scope="col">Lesson</th>{}</tr></thead><tbody>{}</tbody></table></div>'
    ).format(head, rows)
