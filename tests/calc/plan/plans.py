"""The invented plans, and small ones made from them."""

import copy
from pathlib import Path

from calc.plan import document

FOLDER = Path(__file__).resolve().parents[3] / "docs" / "plans"
NAMES = ("weekend-caravan", "longstay-motorhome", "boat-cold-bank", "remote-hut")


def text_of(name):
    """The file of one plan."""
    return (FOLDER / f"{name}.json").read_text("utf-8")


def plan_of(name, **changes):
    """One plan, with sections changed: `battery={"capacity": "100 Ah"}`."""
    plan = document.from_text(text_of(name))
    for section, texts in changes.items():
        plan[section] = {**plan[section], **texts} if isinstance(texts, dict) else texts
    return plan


def with_load(plan, **load):
    """A plan with one more load."""
    changed = copy.deepcopy(plan)
    changed["loads"].append({"id": "added", "name": "added", **load})
    return changed
