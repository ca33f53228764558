"""Everyday appliances: the table behind a choice, and those that must never be left without a fallback."""

import re
from functools import cache

from calc import tables
from calc.calculators.form import Choice

OWN = "other"

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
        case.find("medical", "caution", "Test a whole night at home before relying on it, keep the fallback in reach, and ask the clinician what a break of an hour means.")
