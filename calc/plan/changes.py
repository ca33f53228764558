"""What changed between two runs of a plan, and why.

The reasons are those the later run itself settled by: the constraint that binds there, with
its numbers. What was edited in the plan stands beside them.
"""

from dataclasses import dataclass

from calc.plan import sections

SHOWN = ("rating", "voltage", "capacity", "area", "fuse", "standby", "energy", "balance", "lowest", "unmet")
"""What is settled on and worth telling, what is bought first."""
CLOSE = 0.005  # relative: a smaller change is not told


@dataclass(frozen=True)
class Edit:
    """One difference between the two documents."""

    path: str
    label: str
    before: str
    after: str


@dataclass(frozen=True)
class Change:
    """One thing the plan settles on, before and after, and what decided it."""

    name: str
    label: str
    before: str
    after: str
    reason: str

    @property
    def words(self):
        """One sentence for the list."""
        return self.bare + (f": {self.reason}" if self.reason else "")

    @property
    def bare(self):
        """The same without its reason."""
        unit = self.after.partition(" ")[2]
        before = self.before.removesuffix(f" {unit}") or "not settled"
        return f"{self.label} {before} → {self.after or 'not settled'}"


@dataclass(frozen=True)
class Changes:
    """Everything that differs between two runs."""

    edits: tuple
    changes: tuple
    raised: tuple  # (part, Finding) that came
    settled: tuple  # (part, Finding) that went


def compare(before, after):
    """Compare two runs.

    Parameters
    ----------
    before, after : Run
        The earlier and the later.

    Returns
    -------
    Changes
        In the order of the steps.
    """
    old, new = _findings(before), _findings(after)
    return Changes(
        tuple(_edits(before.plan, after.plan)),
        tuple(_changes(before, after)),
        tuple(found for key, found in new.items() if key not in old),
        tuple(found for key, found in old.items() if key not in new),
    )


def _findings(run):
    """Stops and cautions by part and code; the numbers in them may change."""
    found = {(part.name, one.code): (part.name, one) for part in run.parts.values() if part.result for one in part.result.findings if one.level != "note"}
    return found | {("plan", one.code): ("plan", one) for one in run.findings}


def _changes(before, after):
    for name in SHOWN:
        old, new = before.choices.get(name), after.choices.get(name)
        if old is None and new is None or old and new and _close(old.value, new.value):
            continue
        which = new or old
        reason = new.reason if new else _lack(after, name)
        yield Change(name, which.label, _said(before, old), _said(after, new), reason)


def _said(run, choice):
    """The value in words; amp-hours with the volts they are at, where those are not the same."""
    if choice is None:
        return ""
    voltage = run.choices.get("voltage")
    return f"{choice.words} at {voltage.words}" if choice.unit == "Ah" and voltage else choice.words


def _close(old, new):
    return abs(old - new) <= CLOSE * max(abs(old), abs(new))


PART_OF = {"energy": "loads", "rating": "size", "voltage": "voltage", "capacity": "battery", "area": "cable", "fuse": "fuse", "balance": "recharge", "lowest": "bad-week", "unmet": "bad-week"}


def _lack(run, name):
    """Why something is settled no more: what its part says, or waits for."""
    part = run.parts[PART_OF.get(name, "size")]
    if part.result is not None:
        return part.result.answer
    return (*part.needs, *(str(problem) for problem in part.problems), part.idle)[0]


def _edits(before, after):
    for name, label in (("region", sections.REGION.label), ("notes", "Notes")):
        if before[name] != after[name]:
            yield Edit(name, label, before[name], after[name])
    for section in sections.SECTIONS:
        for one in section.fields:
            old, new = before[section.name].get(one.name, ""), after[section.name].get(one.name, "")
            if old != new:
                yield Edit(f"{section.name}.{one.name}", one.label, old, new)
    yield from _edits_of_loads(before["loads"], after["loads"])
    for part in sorted(before["overrides"].keys() | after["overrides"].keys()):
        old, new = before["overrides"].get(part, {}), after["overrides"].get(part, {})
        for name in sorted(old.keys() | new.keys()):
            if old.get(name, "") != new.get(name, ""):
                yield Edit(f"overrides.{part}.{name}", name.replace("_", " "), old.get(name, ""), new.get(name, ""))


def _edits_of_loads(before, after):
    """By id: loads that came, went or changed, and a new order."""
    old, new = {load["id"]: load for load in before}, {load["id"]: load for load in after}
    for id, load in old.items():
        if id not in new:
            yield Edit(f"loads.{id}", load.get("name", id), load.get("power", ""), "taken off")
    for id, load in new.items():
        if id not in old:
            yield Edit(f"loads.{id}", load.get("name", id), "", f"added, {load.get('power', 'no power yet')}")
            continue
        for one in sections.LOAD_FIELDS:
            if old[id].get(one.name, "") != load.get(one.name, ""):
                yield Edit(f"loads.{id}.{one.name}", f"{load.get('name', id)}: {one.label[:1].lower()}{one.label[1:]}", old[id].get(one.name, ""), load.get(one.name, ""))
    kept = [id for id in new if id in old]
    if kept != [id for id in old if id in new]:
        yield Edit("loads", "Order of the loads", "", "changed")
