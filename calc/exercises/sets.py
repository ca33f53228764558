"""So many exercises from a seed, spread over topics.

What stands at a place of a set follows from the seed, the topics, the level and the place alone:
a longer set begins as a shorter one does, and one exercise can be made without the others.
"""

from dataclasses import dataclass

from calc.errors import FieldProblem, InputProblems
from calc.exercises.catalogue import TOPICS
from calc.exercises.draws import Draws
from calc.exercises.templates import LEVELS, exercise
from calc.units import printable

COUNT_MOST = 60
SEED_MOST = 200  # characters


@dataclass(frozen=True)
class Order:
    """What a set is asked for by."""

    seed: str
    topics: tuple
    level: int
    count: int


def order(seed, topics, level, count):
    """Check what a set is asked for by.

    Parameters
    ----------
    seed : str
        Any text that is not blank.
    topics : iterable of str
        Ids of topics; none for all.
    level, count : int or str
        1 to 3, and how many exercises.

    Returns
    -------
    Order
        Checked; topics in the order of the lessons, each once.

    Raises
    ------
    InputProblems
        With each field that cannot be used.
    """
    problems = []
    seed = " ".join(printable(str(seed)).split())
    if not seed:
        problems.append(FieldProblem("seed", "enter any word or number, for example 2026-07: the same one gives the same exercises"))
    elif len(seed) > SEED_MOST:
        problems.append(FieldProblem("seed", f"is {len(seed)} characters long: enter at most {SEED_MOST}"))
    wanted = list(topics)
    problems += [FieldProblem("topics", f'there is no topic "{printable(str(one))[:40]}": choose {", ".join(TOPICS)}') for one in wanted if one not in TOPICS]
    level = _whole("level", level, 1, LEVELS[-1], problems)
    count = _whole("count", count, 1, COUNT_MOST, problems)
    if problems:
        raise InputProblems(problems)
    return Order(seed, tuple(id for id in TOPICS if id in wanted or not wanted), level, count)


def _whole(name, value, least, most, problems):
    text = str(value).strip()
    if isinstance(value, bool) or not (text.isascii() and text.isdigit() and len(text) < 9 and least <= int(text) <= most):
        problems.append(FieldProblem(name, f"enter a whole number from {least} to {most}"))
        return None
    return int(text)


def at(asked, number):
    """The exercise at a place of a set.

    Parameters
    ----------
    asked : Order
        The set.
    number : int
        Its place, from 1.

    Returns
    -------
    Exercise
        The same as in the whole set.
    """
    round_, place = divmod(number - 1, len(asked.topics))
    topic = TOPICS[asked.topics[place]]
    turn, which = divmod(round_, len(topic.templates))
    drawn = Draws("order", topic.id, asked.seed, str(asked.level), str(turn)).shuffled(topic.templates)
    return exercise(topic.id, drawn[which], asked.seed, asked.level, number)


def make(asked):
    """A whole set.

    Parameters
    ----------
    asked : Order
        The set.

    Returns
    -------
    list of Exercise
        In order.
    """
    return [at(asked, number) for number in range(1, asked.count + 1)]
