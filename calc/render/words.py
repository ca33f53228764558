"""Words shared by every form of a Result: quantities, ranges, inputs and outputs."""

import math

from calc.calculators.cable import size_name
from calc.units import format_quantity, format_range, from_si, restate_quantity

NONE = "none"
NO_BREAK = "\u00a0"
LEVEL_WORDS = {"stop": "Stop", "caution": "Caution", "note": "Note"}
HOW_WORDS = {"given": "", "default": "assumed", "unknown": "not known, assumed", "blank": "left out"}


def output_value(output):
    """An output's likely value in words.

    Parameters
    ----------
    output : Output
        One answer.

    Returns
    -------
    str
        For example "11.7 V", "35 mm²" or "holds".
    """
    if output.display or isinstance(output.value, str):
        return output.display or output.value
    return quantity(output.value, output.unit, output.figures, output.american)


def output_range(output):
    """An output's range in words, "" where it has none.

    Parameters
    ----------
    output : Output
        One answer.

    Returns
    -------
    str
        For example "11.5 to 11.8 V".
    """
    if output.value is None or isinstance(output.value, str) or output.low == output.high == output.value:
        return ""
    if output.display_ends:
        low, high = (end or NONE for end in output.display_ends)
        return "" if low == high else f"{low.removesuffix(NO_BREAK + high.partition(NO_BREAK)[2])} to {high}"
    if output.unit == "mm²":
        return f"{quantity(output.low, output.unit, american=output.american)} to {quantity(output.high, output.unit, american=output.american)}"
    likely = abs(from_si(output.value, output.unit)) or 1.0
    span = format_range(output.low, output.high, output.unit, 10.0 ** (math.floor(math.log10(likely)) + 1 - output.figures))
    if output.american and output.unit == "m" and None not in (output.low, output.high):
        feet = abs(from_si(output.value, "ft")) or 1.0
        span += f" ({format_range(output.low, output.high, 'ft', 10.0 ** (math.floor(math.log10(feet)) - 1))})"
    return span + "s" if output.unit == "day" else span


def quantity(value, unit, figures=3, american=False):
    """A quantity in words.

    Parameters
    ----------
    value : float or None
        In SI units (°C for temperatures).
    unit : str
        Display unit.
    figures : int
        Significant figures.
    american : bool
        Whether AWG stands first, and feet beside metres.

    Returns
    -------
    str
        For example "11.7 V", "35 mm²", "none".
    """
    if value is None:
        return NONE
    if isinstance(value, int):  # a count
        return str(value)
    if unit == "mm²":
        return size_name(value, american)
    words = format_quantity(value, unit, figures)
    if american and unit == "m":
        return f"{words} ({format_quantity(value, 'ft', figures)})"
    return words + "s" if unit == "day" and not words.startswith("1.00") else words


def input_likely(given):
    """An input as understood, without its range.

    Parameters
    ----------
    given : Understood
        One input.

    Returns
    -------
    str
        For example "6 mΩ".
    """
    if given.value is None:
        return NONE
    if given.display or isinstance(given.value, str):
        return given.display or given.value
    if given.unit == "mm²":
        return size_name(given.value, given.american)
    if given.typed:
        return f"{given.typed} ({format_quantity(given.value, given.unit)})"
    beside = f" ({format_quantity(given.value, 'ft', 3)})" if given.american and given.unit == "m" else ""
    return restate_quantity(given.value, given.unit) + beside


def input_value(given):
    """An input as understood, with its range.

    Parameters
    ----------
    given : Understood
        One input.

    Returns
    -------
    str
        For example "6 mΩ (4.8 to 7.2 mΩ)".
    """
    likely = input_likely(given)
    if given.low is None or given.low == given.high:
        return likely
    if given.value == 0 and given.low == -given.high:  # an instrument's error
        return f"± {restate_quantity(given.high, given.unit)}"
    spread = from_si(given.high, given.unit) - from_si(given.low, given.unit)
    span = format_range(given.low, given.high, given.unit, 10.0 ** (math.floor(math.log10(spread)) - 1))
    return f"{likely} ({span})"


def counts(given):
    """Whether an input belongs in the list: one left blank or not called for does not.

    Parameters
    ----------
    given : Understood
        One input.

    Returns
    -------
    bool
        True where it has a value that was used or typed.
    """
    return given.how != "blank" and given.value is not None and (given.used or given.how == "given")


def source_line(source):
    """One line of the bibliography.

    Parameters
    ----------
    source : Source
        One entry.

    Returns
    -------
    str
        Title, edition, and how the figures are known.
    """
    edition = f" ({source.edition})" if source.edition else ""
    return f"{source.title}{edition}: {source.known}"
