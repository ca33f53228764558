"""Everyday appliances: the table behind a choice, and those that must never be left without a fallback."""

import re
from functools import cache

from calc import tables
from calc.calculators.form import Choice

OWN = "other"
START_LEAST = 0.02  # s, one cycle: a shorter rush only charges capacitors and is no start for an inverter; common practice
START_SPREAD = 3.8 / 5, 5.8 / 5  # single-phase motors by their code letters, over the 5 the table has for them; NEMA MG 1
MOTOR_START = 3.0  # times the running current: from here it is a motor that starts
DAY = 86400.0  # s
LIKE = 5  # names that are offered where a word stands for several

MEDICAL = Choice(
    "medical", "Somebody's health depends on it",
    {"no": "no", "fallback": "yes, and there is something else if it fails", "no-fallback": "yes, and there is nothing else"},
    default="no", hint="A breathing machine, an oxygen concentrator, a cooler for medicine.", more=True,
)  # fmt: skip


@cache
def table():
    """Every appliance of the table by a short key, in SI units.

    Returns
    -------
    dict
        Key, for example "rice-cooker", to a row.
    """
    return {_key(row["name"]): row for row in tables.load("appliances").values}


def _key(name):
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")


def choices():
    """The appliances as choices, the reader's own first.

    Returns
    -------
    dict
        Key to words.
    """
    names = sorted(((row["name"], key) for key, row in table().items()), key=lambda pair: pair[0].lower())
    return {OWN: "another: enter its power below", **{key: name for name, key in names}}


@cache
def by_kind():
    """The names of the table by kind, for a list to choose from.

    Returns
    -------
    dict of tuple
        Kind to names, both in the order of the table.
    """
    kinds = {}
    for row in table().values():
        kinds.setdefault(row["kind"], []).append(row["name"])
    return {kind: tuple(names) for kind, names in kinds.items()}


def key_of(name):
    """The key of an appliance by its name.

    Parameters
    ----------
    name : str
        As typed.

    Returns
    -------
    str or None
        None where the table has no such name.
    """
    key = _key(name)
    return key if key in table() else None


def like(name):
    """Names of the table that have a word for their own.

    Parameters
    ----------
    name : str
        As typed, for example "fridge".

    Returns
    -------
    list of str
        At most a handful.
    """
    word = _key(name)
    return [row["name"] for key, row in table().items() if word and word in key.split("-")][:LIKE]


def usual(key):
    """What the table has for a load that is only named: one use a day, by its usual power.

    Parameters
    ----------
    key : str
        Of the appliance.

    Returns
    -------
    dict
        Name of a quantity to (unit, likely, low, high), in SI units.
    """
    row = table()[key]
    time, power = row["task_time"], row["power_typical"]
    share = min(row["task_energy"] / (power * time), 1.0)
    start = row["starting_factor"] if row["starting_time"] >= START_LEAST else 1.0
    motor = start >= MOTOR_START
    return {
        "power": ("W", power, row["power_low"], row["power_high"]),
        "hours_per_day": ("h", time, time if time >= DAY else 0.5 * time, min(2 * time, DAY)),
        "duty": ("", share, share, share),
        "power_factor": ("", row["power_factor"], row["power_factor"], row["power_factor"]),
        "starting_factor": ("", start, *((share * start for share in START_SPREAD) if motor else (start, start))),
    }


def find_medical(case):
    """Stop where somebody's health hangs on the one supply.

    Parameters
    ----------
    case : Case
        The run; reads its field `medical`.
    """
    if case.values.medical == "no-fallback":
        case.find("no-fallback", "stop", "Never let somebody's health hang on one inverter and one battery. Arrange a fallback with the clinician first, and test a whole night with it.")
    elif case.values.medical == "fallback":
        case.find("medical", "caution", "Test a whole night at home before relying on it, and keep the fallback in reach. Ask the clinician what a break of an hour means.")
