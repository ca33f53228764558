"""A template draws an item; what comes out is fair, or is drawn anew.

template     makes a function of (draw, level) a template
exercise     the exercise of a template, a seed, a level and a number
numbered     options from a right value and the values of real mistakes
"""

import math
from dataclasses import dataclass, replace
from typing import Callable

from calc.exercises.draws import Draws, Redraw
from calc.exercises.items import Choice, Estimate, Faults, Item, Number, Option
from calc.exercises.items import said as in_words

LEVELS = (1, 2, 3)
ATTEMPTS = 200
APART = 2.5  # tolerances between the right value and a mistake: neither is taken for the other
OPTIONS = 4
MARKS_CHOICE, MARKS_ESTIMATE = 2, 3


@dataclass(frozen=True)
class Template:
    """One kind of exercise: `make` turns draws and a level into an item."""

    id: str
    title: str
    make: Callable


@dataclass(frozen=True)
class Exercise:
    """One exercise: where it comes from, and the item."""

    topic: str
    template: Template
    seed: str
    level: int
    number: int
    item: Item

    @property
    def marks(self):
        """The most it can bring."""
        if isinstance(self.item, Number):
            return self.level + 1
        if isinstance(self.item, Faults):
            return sum(bool(line.why) for line in self.item.lines)
        return MARKS_ESTIMATE if isinstance(self.item, Estimate) else MARKS_CHOICE


def template(id, title):
    """Make a function a template.

    Parameters
    ----------
    id, title : str
        Its name in files, which never changes, and in words.

    Returns
    -------
    callable
        The decorator.
    """
    return lambda make: Template(id, title, make)


def exercise(topic, template, seed, level, number):
    """The exercise that a seed gives, the same everywhere.

    Parameters
    ----------
    topic : str
        Id of the topic it is asked for.
    template : Template
        Its kind.
    seed : str
        Any text.
    level : int
        1 to 3.
    number : int
        Its place in a set.

    Returns
    -------
    Exercise
        The first fair one drawn.

    Raises
    ------
    RuntimeError
        When a template hardly ever draws a fair one, which is a fault in the template.
    """
    for attempt in range(ATTEMPTS):
        try:
            item = fair(template.make(Draws(template.id, seed, str(level), str(number), str(attempt)), level))
        except Redraw:
            continue
        return Exercise(topic, template, seed, level, number, item)
    raise RuntimeError(f"{template.id}: no fair exercise in {ATTEMPTS} draws")


def fair(item):
    """An item as it may be asked, or Redraw.

    Parameters
    ----------
    item : Item
        As drawn.

    Returns
    -------
    Item
        The same; of a number without those mistakes that cannot be told from the right value.
    """
    if isinstance(item, (Number, Estimate)) and not (math.isfinite(item.value) and item.value > 0):
        raise Redraw
    if isinstance(item, Number):
        kept = tuple(one for one in item.mistakes if one.value > 0 and abs(one.value - item.value) > APART * item.tolerance * abs(item.value))
        if not kept:
            raise Redraw
        return replace(item, mistakes=kept)
    if isinstance(item, Choice):
        if len({option.text for option in item.options}) < len(item.options) or sum(option.right for option in item.options) != 1:
            raise Redraw
    if isinstance(item, Faults) and not any(line.why for line in item.lines):
        raise Redraw
    return item


def numbered(draw, value, why, mistakes, unit, apart=0.05, said=None):
    """Options from a right value and the values of real mistakes, in drawn order.

    Parameters
    ----------
    draw : Draws
        Where the order comes from.
    value : float
        The right value, in SI units.
    why : str
        Why it is right.
    mistakes : iterable of Mistake
        The wrong ones; at least two must differ enough to be offered.
    unit : str
        Unit shown.
    apart : float
        Least difference between two options, as a share of either.
    said : callable, optional
        Turns a value into words where number and unit do not.

    Returns
    -------
    tuple of Option
        At most four.
    """
    said = said or (lambda value: in_words(value, unit))
    taken = [value]
    options = [Option(said(value), why, True, value)]
    for one in mistakes:
        if len(options) < OPTIONS and one.value > 0 and all(abs(one.value - other) > apart * max(one.value, other) for other in taken):
            taken.append(one.value)
            options.append(Option(said(one.value), one.why, value=one.value))
    if len(options) < 3:
        raise Redraw
    return tuple(draw.shuffled(options))
