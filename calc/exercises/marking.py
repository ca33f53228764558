"""What was typed → right, nearly or wrong, the mistake behind it, and marks.

An answer is one text: a quantity, the letter of an option, the numbers of lines, or a guess with
its range. What cannot be read is said in the style of the forms, and costs nothing.
"""

import re
from dataclasses import dataclass

from calc.errors import FieldProblem
from calc.exercises.items import Choice, Estimate, Faults, Number, said
from calc.units import UnitProblem, printable, read_quantity, unit_sign

RIGHT, NEARLY, WRONG = "right", "nearly", "wrong"
NEARLY_WITHIN = 3  # tolerances
CLOSE, FAIRLY_CLOSE = 0.1, 0.3  # of the value: what a guess is marked by
WIDEST = 3.0  # high over low: a wider range says nothing
LETTERS = "abcdefgh"


@dataclass(frozen=True)
class Marked:
    """What came of an answer: `read` is how it was understood, `words` what there is to say."""

    verdict: str
    marks: int
    of: int
    read: str
    words: str


def mark(exercise, answer, hints=0):
    """Mark an answer.

    Parameters
    ----------
    exercise : Exercise
        What was asked.
    answer : str
        As typed.
    hints : int
        How many were used; each costs a mark.

    Returns
    -------
    Marked
        Verdict, marks and words.

    Raises
    ------
    FieldProblem
        Of the field "answer", when it cannot be read.
    """
    kind = next(kind for kind in _KINDS if isinstance(exercise.item, kind))
    verdict, marks, read, words = _KINDS[kind](exercise, printable(str(answer)))
    cost = min(max(int(hints), 0), len(exercise.item.hints))
    return Marked(verdict, max(marks - cost, 0), exercise.marks, read, words)


def _number(exercise, answer):
    item = exercise.item
    value = _quantity(answer, item.unit)
    read, right = said(value, item.unit, 4), said(item.value, item.unit)
    if item.matches(value, item.value):
        return RIGHT, exercise.marks, read, f"The answer is {right}."
    for mistake in item.mistakes:
        if item.matches(value, mistake.value):
            return WRONG, 0, read, f"{mistake.why} The answer is {right}."
    off = abs(value - item.value) / item.value
    if off <= NEARLY_WITHIN * item.tolerance:
        return (
            NEARLY,
            exercise.marks // 2,
            read,
            f"Nearly: the answer is {right}, and yours is {off:.1%} off. Did you round on the way?".replace("%", "\u00a0%"),
        )
    return WRONG, 0, read, f"The answer is {right}.{_slip(value / item.value)}"


def _slip(ratio):
    """The commonest slip of all, where an answer is off by a power of ten or of sixty."""
    for factor, words in ((1000.0, "a prefix, such as milli or kilo"), (10.0, "a decimal place"), (60.0, "minutes for hours")):
        if any(abs(ratio * each - 1) < 0.02 for each in (factor, 1 / factor)):
            return f" Yours is off by {factor:g}: look for {words}."
    return ""


def _quantity(answer, unit):
    try:
        reading = read_quantity(answer, unit)
    except UnitProblem as problem:
        raise FieldProblem("answer", str(problem)) from None
    if reading.low is not None:
        raise FieldProblem("answer", "this needs one value: enter it without a range")
    if unit == "VA" and re.search(r"(?<!\w)[kKmM]?[wW]\s*$|watts?\s*$", answer):
        raise FieldProblem("answer", f'this needs apparent power in VA; "{answer.strip()[:40]}" is real power: divide it by the power factor')
    return reading.likely


def _choice(exercise, answer):
    options = exercise.item.options
    letters = LETTERS[: len(options)]
    letter = answer.strip().lower().rstrip(".)")
    if len(letter) != 1 or letter not in letters:
        raise FieldProblem("answer", f"choose one: enter a letter from {letters[0]} to {letters[-1]}")
    chosen = options[letters.index(letter)]
    if chosen.right:
        return RIGHT, exercise.marks, letter, chosen.why
    right = next(option for option in options if option.right)
    return WRONG, 0, letter, f"{chosen.why} The answer is {letters[options.index(right)]}. {right.why}".strip()


def _faults(exercise, answer):
    lines = exercise.item.lines
    numbers = [part for part in re.split(r"[\s,;]+", answer.strip()) if part]
    if not numbers:
        raise FieldProblem("answer", "tick the lines that are wrong: there is at least one")
    if not all(part.isascii() and part.isdigit() and len(part) < 4 and 1 <= int(part) <= len(lines) for part in numbers):
        raise FieldProblem("answer", f"enter the numbers of the wrong lines, from 1 to {len(lines)}, for example 2, 5")
    ticked = {int(part) for part in numbers}
    wrong = {number for number, line in enumerate(lines, 1) if line.why}
    found, blamed, missed = sorted(wrong & ticked), sorted(ticked - wrong), sorted(wrong - ticked)
    marks = max(len(found) - len(blamed), 0)
    words = [f"Found: {_listed(found)}." if found else "None of the faults found."]
    words += [f"Missed: {_listed(missed)}."] if missed else []
    words += [f"Nothing is wrong with {_listed(blamed)}: a mark off for each."] if blamed else []
    verdict = RIGHT if ticked == wrong else NEARLY if marks else WRONG
    return verdict, marks, ", ".join(map(str, sorted(ticked))), " ".join(words)


def _listed(numbers):
    *first, last = map(str, numbers)
    return f"lines {', '.join(first)} and {last}" if first else f"line {last}"


def _estimate(exercise, answer):
    item = exercise.item
    try:
        likely, low, high = read_quantity(answer, item.unit)
    except UnitProblem as problem:
        raise FieldProblem("answer", str(problem)) from None
    sign = unit_sign(item.unit)
    if low is None or not 0 < low < high:
        raise FieldProblem("answer", f"enter a guess with its range, above nothing, for example 30 ± 10 {sign} or 20 to 40 {sign}")
    off = abs(likely - item.value) / item.value
    closeness = 2 if off <= CLOSE else 1 if off <= FAIRLY_CLOSE else 0
    holds, wide = low <= item.value <= high, high / low > WIDEST
    marks = closeness + (holds and not wide)
    words = [f"It is {said(item.value, item.unit)}; your middle is {off:.0%} off.".replace("%", "\u00a0%")]
    if wide:
        words.append(f"Your range is too wide to be of use: its top is {high / low:.1f} times its bottom, and {WIDEST:g} times is the most that counts.")
    else:
        words.append("Your range holds it." if holds else "Your range does not hold it: a wider one would have been honest.")
    verdict = RIGHT if marks == exercise.marks else NEARLY if marks else WRONG
    return verdict, marks, f"{said(low, item.unit)} to {said(high, item.unit)}", " ".join(words)


_KINDS = {Number: _number, Choice: _choice, Faults: _faults, Estimate: _estimate}
