"""Changes to a plan, one at a time; each gives a new plan and leaves the old one as it was.

apply          a change as the worksheet sends it
put            a value
add_load, remove_load, move_load, never_together   the list of loads
"""

import re

from calc.calculators import appliances
from calc.errors import FieldProblem, InputProblems
from calc.plan import document, sections
from calc.plan.fill import typed

HOUR = 3600.0  # s
THERMOSTAT = 0.95  # share of its power above which an appliance counts as always on while it is on
SUPPLIES = {"either": "ac"}  # an appliance made for both starts on the inverter


def apply(plan, change):
    """Make one change.

    Parameters
    ----------
    plan : dict
        A plan.
    change : dict
        `do` and what that takes: "set" (`path`, `text`), "add" (`appliance`), "remove" (`id`),
        "move" (`id`, `by` so many places) or "apart" (`id`, `other`; "" ends it).

    Returns
    -------
    dict
        The new plan.

    Raises
    ------
    InputProblems
        For what is not there, or what a plan cannot hold.
    """
    do = change.get("do")
    if do == "set":
        return put(plan, change["path"], change["text"])
    if do == "add":
        return add_load(plan, change["appliance"])
    if do == "remove":
        return remove_load(plan, change["id"])
    if do == "move":
        return move_load(plan, change["id"], _place(plan, change["id"]) + int(change["by"]))
    if do == "apart":
        return never_together(plan, [change["id"], *([change["other"]] if change["other"] else [])])
    _refuse("do", f'there is no change "{str(do)[:40]}" of a plan')


def put(plan, path, text):
    """Type a value.

    Parameters
    ----------
    plan : dict
        A plan.
    path : str
        "battery.capacity", "region", "notes", "loads.ID.power" or "overrides.PART.FIELD".
    text : str
        What was typed; blank takes it away.

    Returns
    -------
    dict
        The new plan.

    Raises
    ------
    InputProblems
        For a path that is none, or a text a plan cannot hold.
    """
    first, *rest = path.split(".")
    changed = dict(plan)
    if not rest and first in ("region", "notes"):
        changed[first] = text
    elif first == "loads" and len(rest) == 2:
        _place(plan, rest[0])
        changed["loads"] = [{**load, rest[1]: text} if load["id"] == rest[0] else load for load in plan["loads"]]
    elif first == "overrides" and len(rest) == 2:
        changed["overrides"] = {**plan["overrides"], rest[0]: {**plan["overrides"].get(rest[0], {}), rest[1]: text}}
    elif first in sections.BY_NAME and len(rest) == 1:
        changed[first] = {**plan[first], rest[0]: text}
    else:
        _refuse(path, "there is no such entry of a plan")
    return document.read(changed)


def _refuse(path, words):
    raise InputProblems([FieldProblem(path, words)])


def _place(plan, id):
    """Where a load stands."""
    place = next((place for place, load in enumerate(plan["loads"]) if load["id"] == id), None)
    if place is None:
        _refuse(f"loads.{id}", "there is no such load in this plan")
    return place


def add_load(plan, appliance=""):
    """Add a load at the end, from the appliance table or blank.

    Parameters
    ----------
    plan : dict
        A plan.
    appliance : str
        Key of the appliance table, or "".

    Returns
    -------
    dict
        The new plan.

    Raises
    ------
    InputProblems
        For a key that is none, or a load too many.
    """
    load = _of_table(appliance) if appliance else {"name": "new load"}
    stem = re.sub(r"[^a-z0-9]+", "-", (appliance or "load").lower()).strip("-")[:24] or "load"
    taken = {one["id"] for one in plan["loads"]}
    id = next(name for name in (stem, *(f"{stem}-{count}" for count in range(2, len(taken) + 3))) if name not in taken)
    return document.read({**plan, "loads": [*plan["loads"], {"id": id, **load}]})


def _of_table(key):
    """What the appliance table says of one use a day, as a person would type it."""
    row = appliances.table().get(key)
    if row is None:
        _refuse("appliance", f"there is no “{key[:40]}” in the appliance table")
    usual = {name: likely for name, (_, likely, *_) in appliances.usual(key).items()}
    load = {
        "name": row["name"].split(",")[0][:80], "power": typed(usual["power"], "W"), "supply": SUPPLIES.get(row["supply"], row["supply"]), "appliance": key,
        "hours_per_day": typed(usual["hours_per_day"], "h" if usual["hours_per_day"] >= HOUR else "min"),
    }  # fmt: skip
    if usual["duty"] < THERMOSTAT:
        load["duty"] = f"{usual['duty']:.2g}"
    if load["supply"] == "dc":
        return load
    if usual["power_factor"] < 1:
        load["power_factor"] = typed(usual["power_factor"], "")
    if usual["starting_factor"] > 1:
        load |= {"starting_factor": typed(usual["starting_factor"], ""), "starting_time": typed(row["starting_time"], "s")}
    return load


def remove_load(plan, id):
    """Take a load off.

    Parameters
    ----------
    plan : dict
        A plan.
    id : str
        Its id.

    Returns
    -------
    dict
        The new plan.

    Raises
    ------
    InputProblems
        For an id that is none.
    """
    gone = plan["loads"][_place(plan, id)]
    return _ungrouped({**plan, "loads": [load for load in plan["loads"] if load is not gone]}, gone.get("group"))


def _ungrouped(plan, word):
    """The plan, with a word that only one load has left taken from it."""
    left = [load for load in plan["loads"] if word and load.get("group") == word]
    if len(left) != 1:
        return plan
    return {**plan, "loads": [{name: text for name, text in load.items() if name != "group"} if load is left[0] else load for load in plan["loads"]]}


def move_load(plan, id, place):
    """Put a load at another place of the list.

    Parameters
    ----------
    plan : dict
        A plan.
    id : str
        Its id.
    place : int
        Counted from 0; beyond the ends counts as the end.

    Returns
    -------
    dict
        The new plan.

    Raises
    ------
    InputProblems
        For an id that is none.
    """
    load = plan["loads"][_place(plan, id)]
    rest = [one for one in plan["loads"] if one is not load]
    place = min(max(place, 0), len(rest))
    return {**plan, "loads": [*rest[:place], load, *rest[place:]]}


def never_together(plan, ids):
    """Say that of these loads only one runs at a time.

    Parameters
    ----------
    plan : dict
        A plan.
    ids : list of str
        Two or more; one alone is set free again.

    Returns
    -------
    dict
        The new plan.

    Raises
    ------
    InputProblems
        For an id that is none.
    """
    chosen = [plan["loads"][_place(plan, id)] for id in ids]
    if len(chosen) == 1:
        return _ungrouped(put(plan, f"loads.{ids[0]}.group", ""), chosen[0].get("group"))
    taken = {load.get("group", "") for load in plan["loads"]}
    kept = [load["group"] for load in chosen if load.get("group")]
    word = kept[0] if kept else next(name for name in (f"either {count}" for count in range(1, len(taken) + 2)) if name not in taken)
    return {**plan, "loads": [{**load, "group": word} if load["id"] in ids else load for load in plan["loads"]]}
