"""A plan run through the calculators, in order.

run     plan → Run: every part's Result, what was settled on and why
STEPS   the eight steps a reader sees, and the parts in each

Each part is one calculator, filled from the plan and from the parts before. A part that
lacks something says what, and the others go on. Answers are kept by their inputs, so that a
change recomputes only what it reaches.
"""

import math
from dataclasses import dataclass

from calc.calculators import CALCULATORS
from calc.calculators.cable import size_name
from calc.calculators.form import UNKNOWN
from calc.errors import FieldProblem
from calc.plan import week
from calc.plan.fill import FILL, fill, typed
from calc.plan.judge import judge
from calc.plan.overrides import PARTS
from calc.plan.state import Part, Run, answer
from calc.units import format_quantity as say

STRINGS_MOST = 12  # side by side; more is no answer, whatever the sum says
RATING_TO_ASK = 20e3  # VA, only while it is not yet known what runs together


@dataclass(frozen=True)
class Step:
    """One step of the worksheet."""

    id: str
    title: str
    parts: tuple
    sections: tuple  # of the document, that belong to it


STEPS = (
    Step("loads", "What must run", ("loads",), ("who", "season", "loads")),
    Step("inverter", "The inverter", ("size", "conversion", "standby"), ("inverter",)),
    Step("voltage", "The battery's voltage", ("voltage",), ("dc",)),
    Step("battery", "The battery", ("battery",), ("battery",)),
    Step("cable", "Cable and fuse", ("cable", "fuse"), ("dc",)),
    Step("path", "Does it hold up", ("path", "start"), ()),
    Step("charging", "Getting it back, week by week", ("recharge", "bad-week", "good-week"), ("charging", "season")),
    Step("joining", "Joining it to the rest", ("joining", "breaker", "heat"), ("installation",)),
)  # fmt: skip
"""In the order in which a person goes through them."""

TITLES = {
    "loads": "The day's energy and what runs together",
    "size": "Size of the inverter",
    "conversion": "What the battery gives for it",
    "standby": "Standby",
    "voltage": "Battery voltage",
    "battery": "Size of the battery",
    "cable": "Cable",
    "fuse": "Fuse",
    "path": "With everything that runs together",
    "start": "At the worst start",
    "recharge": "A mean day in the darkest month",
    "bad-week": "A bad week",
    "good-week": "A good week",
    "joining": "Arrangement",
    "breaker": "Breaker on the AC side",
    "heat": "Heat and air",
}
"""Words for each part."""


def run(plan):
    """Run a plan.

    Parameters
    ----------
    plan : dict
        A plan, as the document module reads it.

    Returns
    -------
    Run
        Everything there is to say about it.
    """
    this = Run(plan, loads=week.read_loads(week.rows(plan)) if plan["loads"] else None)
    _settle_rating(this)
    _settle_voltage(this)
    _compute(this, "conversion")
    _settle_battery(this)
    for part in ("recharge", "standby", "bad-week", "good-week", "joining", "breaker", "heat"):
        _compute(this, part)
    judge(this)
    this.parts = {part: this.parts[part] for part in PARTS}
    return this


def _compute(this, part):
    """Run one part and keep how it went."""
    this.parts[part] = _part(this, part)
    return this.parts[part].result


def _part(this, part):
    texts, origins, missing = fill(this, part)
    if (idle := _idle(this, part)) and part not in this.plan["overrides"]:
        return Part(part, TITLES[part], texts, origins, idle=idle)
    if missing:
        return Part(part, TITLES[part], texts, origins, needs=tuple(_need(part, name) for name in missing))
    result, problems = answer(PARTS[part], texts)
    if result is not None:
        return Part(part, TITLES[part], texts, origins, result)
    placed = [_placed(part, origins, problem) for problem in problems]
    return Part(
        part, TITLES[part], texts, origins,
        problems=tuple(problem for problem, mine in placed if mine), needs=tuple(problem.text for problem, mine in placed if not mine),
    )  # fmt: skip


OF_INVERTER = ("size", "conversion", "standby", "voltage", "cable", "fuse", "path", "start", "joining", "breaker", "heat")


def _idle(this, part):
    """Why a part has nothing to answer in this plan, or nothing."""
    if part in OF_INVERTER and not this.through:
        return "Nothing runs through an inverter."
    if part == "start" and (running := this.value("loads", "apparent_power_running")) and this.value("loads", "apparent_power_starting") <= running * (1 + 1e-9):
        return "Nothing takes more at its start than while it runs."
    return ""


def _need(part, name):
    """What a part waits for: the plan's own entry, or a part before."""
    first = FILL[part][name][0]
    label = next(one.label for one in CALCULATORS[PARTS[part]].fields if one.name == name)
    if hasattr(first, "section"):
        return f"{first.section}.{first.name}: enter {label[:1].lower()}{label[1:]}"
    if first.part == "plan":
        return f"{name}: enter {label[:1].lower()}{label[1:]}"
    before, entry = WAITS.get(first.part, (first.part, ""))
    return f"{label}: it comes from “{TITLES[before]}”, which has no answer yet" + (f"; or enter {entry}" if entry else "")


WAITS = {
    "rating": ("size", "inverter.rating"), "standby": ("size", "inverter.standby_power"), "voltage": ("voltage", "dc.voltage_nominal"), "area": ("cable", "dc.area"),
    **dict.fromkeys(("capacity", "string_capacity", "strings"), ("battery", "battery.capacity")),
}  # fmt: skip
"""What is settled on: the part it comes from, and the plan's entry that would do instead."""


def _placed(part, origins, problem):
    """A calculator's problem at its place in the plan, and whether it is the plan's to mend."""
    name, *rest = problem.field.split(".")
    if part == "loads" and name == "loads":
        path = f"loads[{rest[0]}].{rest[1]}" if len(rest) == 2 else "loads"
        return FieldProblem(path, problem.text), True
    origin = origins.get(name)
    if origin is not None and origin.kind in ("plan", "override"):
        return FieldProblem(origin.place, problem.text), True
    own = next((place for place in FILL[part].get(name, ()) if hasattr(place, "section")), None)
    if own is not None and origin is None:
        return FieldProblem(f"{own.section}.{own.name}", problem.text), True
    label = next((one.label for one in CALCULATORS[PARTS[part]].fields if one.name == name), name)
    return FieldProblem(name, f"{label}: {problem.text}"), False


def _settle_rating(this):
    """The rating: typed, or the size the loads ask for; then the loads through it."""
    own = this.own_value("inverter", "rating")
    # What runs together does not hang on the inverter, so any that is large enough will do to find it.
    this.choose("rating", "Inverter", RATING_TO_ASK if own is None else own, "VA", own is not None, "given", "as entered")
    if own is not None:
        _settle_standby(this)
    if _compute(this, "loads") is None or own is not None:
        _compute(this, "size")
        if own is None:
            del this.choices["rating"]
        return
    del this.choices["rating"]
    if _from_size(this):
        _settle_standby(this)
    _compute(this, "loads")  # once more, through that inverter, or through the calculator's own where there is none


def _from_size(this):
    """The size the calculator takes, and what decides it; whether there is one."""
    size = _compute(this, "size")
    if size is None or size.output("rating_chosen").value is None:
        return False
    start = size.output("rating_for_surge").value > size.output("rating_required").value
    why = size.output("next_down_fails").value
    reason = f"{typed(size.output('next_down').value, 'VA')} fails: {why}" if why else "the smallest size carries it"
    this.choose("rating", "Inverter", size.output("rating_chosen").value, "VA", False, "start" if start else "running", reason)
    return True


def _settle_standby(this):
    """Standby as typed, or the usual share of the rating."""
    own = this.own_value("inverter", "standby_power")
    if own is not None and this.plan["inverter"]["standby_power"].strip().lower() != UNKNOWN:
        this.choose("standby", "Standby", own, "W", True, "given", "as entered")
        return
    share = next(one for one in CALCULATORS["inverter-size"].fields if one.name == "standby_share").read("unknown")[0].likely
    rating = this.choices["rating"].value
    this.choose("standby", "Standby", float(f"{share * rating:.2g}"), "W", False, "share", "usual share of the rating")


def _settle_voltage(this):
    typed_in = this.own_value("dc", "voltage_nominal")
    bus = _compute(this, "voltage")
    if typed_in is not None:
        this.choose("voltage", "Battery voltage", typed_in, "V", True, "given", "as entered")
    elif bus is not None and (chosen := bus.output("choice").value) in ("12", "24", "48"):
        this.choose("voltage", "Battery voltage", float(chosen), "V", False, "current", bus.answer)
    if "voltage" in this.choices and "rating" in this.choices:
        _compute(this, "size")  # once more, for the current at this voltage


def _settle_battery(this):
    """The battery, and the cable, fuse and voltage that go with it."""
    _by_energy(this)
    _by_current(this)
    _settle_cable(this)
    _paths(this)
    if this.own_value("battery", "capacity") is None:
        _by_voltage(this)
    _compute(this, "fuse")


def _by_energy(this):
    result = _compute(this, "battery")
    if result is None:
        return
    v = {name: result.output(name).value for name in ("capacity_required", "capacity_chosen")}
    energy, days = result.input("energy_per_day").value, result.input("days").value
    reason = f"{say(energy, 'Wh')} a day for {typed(days, '')} {'day' if days == 1 else 'days'} asks for {say(v['capacity_required'], 'Ah')}"
    _bank(this, result, "energy", reason)


def _bank(this, result, binding, reason):
    """Keep the bank of a Result, or the one that was typed."""
    unit = result.input("unit_capacity").value
    own = this.own_value("battery", "capacity")
    capacity = own if own is not None else result.output("capacity_chosen").value
    strings = float(result.output("strings_parallel").value) if own is None else max(1.0, float(round(own / unit)))
    given = own is not None
    this.choose("capacity", "Battery", capacity, "Ah", given, "given" if given else binding, "as entered" if given else reason)
    this.choose("strings", "Strings side by side", strings, "", given, "given" if given else binding, reason)
    this.choose("string_capacity", "Capacity of one string", capacity / strings, "Ah", given, "given" if given else binding, reason)


def _by_current(this):
    """More strings where the largest steady current is above what the bank gives."""
    result = this.result("battery")
    if result is None or this.own_value("battery", "capacity") is not None:
        return
    drawn, most = result.output("power_dc_max_current").value, result.output("discharge_current_max").value
    if drawn is None or drawn <= most * (1 + 1e-9):
        return
    strings = result.output("strings_parallel").value
    each = most / strings
    this.strings_least = max(strings, min(math.ceil(drawn / each * (1 - 1e-9)), STRINGS_MOST))
    one = "one protected battery" if this.own_value("battery", "battery_current_limit") else "one such battery"
    reason = f"{_largest(this)} {say(drawn, 'A', 3)}, with the battery low, exceeds the {say(each, 'A', 3)} of {one}"
    if (more := _compute(this, "battery")) is not None:
        _bank(this, more, "current", reason if strings == 1 else f"{reason} and the {say(most, 'A', 3)} of {strings}")


def _largest(this):
    """The load that draws most, by name, and what it shares the current with."""
    rows = [row for row in this.loads or () if row.supply == "ac"]
    if not rows:
        return "the DC side's"
    largest = max(rows, key=week.power_of)
    alone = week.power_of(largest) >= 0.9 * (this.value("loads", "power_running") or 0.0)
    return f"the {largest.name}'s" if alone else f"what runs together ({largest.name} most of it) draws"


def _settle_cable(this):
    """The cable as typed, or the one that drop, heat and its fuse ask for."""
    area = this.own_value("dc", "area")
    if area is not None:
        this.choose("area", "Cable", area, "mm²", True, "given", "as entered")
        _compute(this, "cable")
    else:
        _settle_area(this)


def _paths(this):
    """The voltage at the inverter, for the bank as it stands; whether it holds."""
    for part in ("path", "start"):
        _compute(this, part)
    return all(this.value(part, "verdict") in ("holds", None) for part in ("path", "start"))


def _settle_area(this):
    """The cable for drop and heat, or the thicker one its fuse asks for."""
    first = _compute(this, "cable")
    size = first and first.output("area_chosen").value
    if not size:
        return
    drop, heat, behind = (first.output(f"area_for_{name}").value or 0.0 for name in ("drop", "heat", "fuse"))
    binding = "heat" if heat > drop else "drop"
    this.choose("area", "Cable", size, "mm²", False, binding, f"{'what it may carry' if binding == 'heat' else 'the voltage drop'} decides at {this.full_load(first)}")
    if behind > max(drop, heat):
        _for_fuse(this, first, size, max(drop, heat), first)
    # The fuse may be asked for more than the cable was: one that stands in the heat, say.
    fuse = _compute(this, "fuse")
    wanted = fuse and fuse.output("verdict").value == "none-fits" and fuse.output("area_for_rating").value
    if wanted and wanted > size:
        _for_fuse(this, first, wanted, size, fuse)
    _compute(this, "cable")


def _for_fuse(this, first, area, thinner, asks):
    """The cable its fuse asks for, where a thinner one would do without."""
    rating = say(asks.output("rating_wanted").value, "A")
    this.choose("area", "Cable", area, "mm²", False, "fuse", f"{size_name(thinner)} stands drop and heat, but not behind the {rating} fuse for {this.full_load(first)}")


def _by_voltage(this):
    """More strings where the voltage falls too far: up to twice as many, beyond which something else is wrong."""
    if this.result("battery") is None or _paths(this):
        return
    fails = next(this.result(part) for part in ("path", "start") if this.value(part, "verdict") not in ("holds", None))
    strings = int(this.choices["strings"].value)
    for more in range(strings + 1, min(2 * strings, STRINGS_MOST) + 1):
        this.strings_least = more
        result = _compute(this, "battery")
        _bank(this, result, "voltage", f"with {typed(strings, '')} {'string' if strings == 1 else 'strings side by side'}: {fails.answer}")
        if _paths(this):
            return
