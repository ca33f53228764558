"""A plan's loads as a day by the hour, and the sun of a good and a bad week."""

import json
import math
from functools import lru_cache

from calc.calculators import load_list
from calc.calculators.form import read_inputs
from calc.errors import InputProblems
from calc.physics import load
from calc.plan import sections
from calc.units import format_number

STARTS = {"morning": 7.0, "day": 11.0, "evening": 18.0, "night": 22.0}  # hours from midnight
BAD_WEEK = (1.0, 0.5, 0.3, 0.25, 0.35, 0.7, 1.0)  # share of the month's mean sun, day by day; common practice
DAY = 1440  # minutes


@lru_cache(maxsize=64)
def read_loads(rows):
    """The loads as the load list reads them, or None where one cannot be read.

    Parameters
    ----------
    rows : str
        JSON of the load list's rows.

    Returns
    -------
    tuple of SimpleNamespace or None
        In the order of the plan.
    """
    try:
        return read_inputs((load_list.LOADS,), (), {"loads": json.loads(rows)}).values.loads
    except InputProblems:
        return None


def rows(plan):
    """The loads as the load list takes them.

    Parameters
    ----------
    plan : dict
        A plan.

    Returns
    -------
    str
        JSON of a list of rows.
    """
    return json.dumps([{name: load[name] for name in sections.LOAD_LIST_COLUMNS if name in load} for load in plan["loads"]])


def power_of(row):
    """Power one load takes while it is on.

    Parameters
    ----------
    row : SimpleNamespace
        A load as read.

    Returns
    -------
    float
        [W], all of them together.
    """
    power = row.power
    if row.power_is == "cooking":
        power = load.power_input_from_cooking(power, load_list.COOKING_EFFICIENCY)
    return row.quantity * power


def schedule(plan, read, supply):
    """The loads of one supply by the hour, as the trip reads them.

    Loads that never run together follow one another, since they would otherwise be on at
    the same time of day.

    Parameters
    ----------
    plan : dict
        A plan.
    read : tuple of SimpleNamespace
        Its loads, read.
    supply : str
        "ac" or "dc".

    Returns
    -------
    str
        For example "18:00-18:12: 1200 W, 0:00-24:00: 18 W must"; "" for none.
    """
    items, ends = [], {}
    for typed, row in zip(plan["loads"], read):
        hours = row.hours_per_day / 3600.0
        if row.supply != supply or hours <= 0:
            continue
        start = STARTS[sections.WHEN.read(typed.get("when", ""))[0]]
        if row.group:
            key = (row.group.lower(), start)
            start = ends.get(key, start)
            ends[key] = start + hours
        must = " must" if sections.MUST.read(typed.get("must", ""))[0] == "yes" else ""
        minutes = max(math.ceil(hours * 60 - 1e-6), 1)  # whole ones, at the power that keeps the energy
        items.append(f"{_span(start, minutes)}: {format_number(power_of(row) * row.duty * hours * 60 / minutes, 4)} W{must}")
    return ", ".join(items)


def _span(start, minutes):
    """From-to, around midnight where it must."""
    if minutes >= DAY:
        return "0-24"
    first = round(start * 60) % DAY
    last = (first + minutes) % DAY or DAY
    return f"{first // 60}:{first % 60:02d}-{last // 60}:{last % 60:02d}"


def sun_of_bad_week(mean):
    """Sun hours of a run of dull days, from the month's mean.

    Parameters
    ----------
    mean : float
        Peak-sun time of a mean day, [s].

    Returns
    -------
    str
        One figure a day.
    """
    return ", ".join(format_number(mean / 3600.0 * share, 3) for share in BAD_WEEK)
