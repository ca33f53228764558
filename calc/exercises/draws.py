"""Numbers from a seed: integer arithmetic of our own, so that no version of Python changes an exercise."""

from calc.units import to_si

_BITS = 2**64 - 1


def fingerprint(text):
    """A text as a number of 64 bits (FNV-1a).

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    int
        The same for the same text, everywhere.
    """
    found = 0xCBF29CE484222325
    for byte in text.encode("utf-8", "replace"):
        found = (found ^ byte) * 0x100000001B3 & _BITS
    return found


class Redraw(Exception):
    """What was drawn is impossible or ambiguous: draw again."""


class Draws:
    """A row of draws that follows from some texts (SplitMix64).

    Parameters
    ----------
    parts : str
        What the draws follow from, for example template, seed, level and number.
    """

    def __init__(self, *parts):
        self._state = fingerprint("\x1f".join(parts))

    def below(self, count):
        """A whole number from 0 up to, and without, a count."""
        self._state = self._state + 0x9E3779B97F4A7C15 & _BITS
        mixed = self._state
        mixed = (mixed ^ mixed >> 30) * 0xBF58476D1CE4E5B9 & _BITS
        mixed = (mixed ^ mixed >> 27) * 0x94D049BB133111EB & _BITS
        return (mixed ^ mixed >> 31) % count

    def one(self, options):
        """One of several."""
        return options[self.below(len(options))]

    def some(self, options, count):
        """So many of several, in drawn order, none twice."""
        left = list(options)
        return [left.pop(self.below(len(left))) for _ in range(count)]

    def shuffled(self, options):
        """All of them in drawn order."""
        return self.some(options, len(options))

    def amount(self, unit, *numbers):
        """One of several numbers of a unit, in SI."""
        return to_si(self.one(numbers), unit)


def rounded(value, step):
    """A value as an instrument shows it, in whole steps.

    Parameters
    ----------
    value, step : float
        In one unit.

    Returns
    -------
    float
        The nearest whole number of steps, without the dust of binary fractions.
    """
    return round(round(value / step) * step, 9)
