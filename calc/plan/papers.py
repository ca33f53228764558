"""The papers of a plan, from one run: recommendation sheet, hand-over card, baseline card.

Each is plain data: blocks with a heading and paragraphs, list items or table rows. Blanks for
what is measured or signed are rows whose last cell is None.
"""

from dataclasses import dataclass

from calc.calculators import chemistry
from calc.calculators.changeover import QUESTIONS
from calc.plan import materials, shed, week
from calc.plan.fill import typed
from calc.plan.sections import REGION, field_at
from calc.plan.steps import TITLES
from calc.units import format_quantity as say

ASSUMED_PARTS = ("loads", "size", "battery", "cable", "fuse", "path", "recharge", "heat")
STANDING = "Estimates with stated ranges; not an installation instruction. Local law and a licensed person decide."


@dataclass(frozen=True)
class Block:
    """A piece of a paper: items of a kind "text", "list" or "table"; a level marks what must be seen first."""

    heading: str
    kind: str
    items: tuple
    head: tuple = ()
    level: str = ""


@dataclass(frozen=True)
class Paper:
    """One paper."""

    id: str
    title: str
    subtitle: str
    blocks: tuple
    size: str  # A4 or A5, what it is laid out for


def papers(run):
    """All three papers.

    Parameters
    ----------
    run : Run
        A plan that was run.

    Returns
    -------
    tuple of Paper
        In the order in which they are used.
    """
    return recommendation(run), handover(run), baseline(run)


def _paper(run, id, title, size, blocks):
    return Paper(id, title, run.plan["who"].get("title", ""), tuple(block for block in blocks if block is not None and block.items), size)


def recommendation(run):
    """The recommendation sheet.

    Parameters
    ----------
    run : Run
        A plan that was run.

    Returns
    -------
    Paper
        For A4.
    """
    stops = tuple(f"{_part(name)}: {one.text}" for name, one in _findings(run, "stop"))
    cautions = tuple(dict.fromkeys(one.text for _, one in _findings(run, "caution")))
    return _paper(run, "recommendation", "Recommendation", "A4", (
        Block("For", "table", tuple(_brief(run))),
        Block("Settle these first", "list", stops, level="stop"),
        Block("What it comes to", "table", tuple(_settled(run)), ("", "Size", "Because")),
        Block("What may run together", "list", tuple(together(run))),
        Block("What to expect", "table", tuple(_expect(run)), ("", "Likely", "Low to high", "Moved most by")),
        Block("What it will not do", "list", tuple(will_not(run)), level="caution"),
        Block("Bill of materials", "table", tuple(materials.bill(run)), ("Part", "How many", "What to ask for")),
        Block("Work for a licensed person", "list", tuple(licensed(run)), level="caution"),
        Block("Cautions", "list", cautions, level="caution"),
        Block("Taken for granted", "list", tuple(_assumed(run))),
        Block("Notes of the shop", "text", tuple(line for line in run.plan["notes"].splitlines() if line.strip())),
        Block("", "text", (STANDING,)),
        Block("Agreed", "table", (("Date", None), ("Prepared by", None), ("Accepted by", None))),
    ))  # fmt: skip


def _part(name):
    return "The plan" if name == "plan" else TITLES[name]


def _findings(run, level):
    found = [("plan", one) for one in run.findings]
    found += [(part.name, one) for part in run.parts.values() if part.result for one in part.result.findings]
    return [pair for pair in found if pair[1].level == level]


def _brief(run):
    """The interview, as far as it was written down."""
    from_section = {**run.plan["who"], **run.plan["season"]}
    names = (("customer", "Who"), ("vehicle", "Where it goes in"), ("use", "Use"), ("must", "Must work"), ("never", "Must never happen"), ("installer", "Installed by"))
    yield from ((label, from_section[name]) for name, label in names if from_section.get(name))
    for name in ("place", "month", "days", "temperature"):
        if from_section.get(name):
            yield _label("season", name), _in_words("season", name, from_section[name])
    yield "Mains voltage", _region_words(run)


def _label(section, name):
    return field_at(section, name).label


def _in_words(section, name, text):
    """A choice in its words; anything else as it was typed."""
    return getattr(field_at(section, name), "choices", {}).get(text, text)


def _region_words(run):
    return REGION.choices[run.region]


def _settled(run):
    for name in ("rating", "standby", "voltage", "capacity", "area", "fuse"):
        one = run.choices.get(name)
        if one is not None:
            yield one.label, one.words, one.reason
    if run.result("joining") is not None:
        yield "Arrangement", run.result("joining").output("arrangement").display, ""


def together(run):
    """Which loads may be on at the same time.

    Parameters
    ----------
    run : Run
        A plan that was run.

    Returns
    -------
    list of str
        Sentences; empty while the loads have no answer.
    """
    rows = [row for row in run.loads or () if row.supply == "ac"]
    if not rows or run.result("loads") is None:
        return []
    alone, groups = [row.name for row in rows if not row.group], {}
    for row in rows:
        if row.group:
            groups.setdefault(row.group.lower(), []).append(row.name)
    parts = [", ".join(alone)] if alone else []
    parts += [f"one of: {' or '.join(names)}" if len(names) > 1 else names[0] for names in groups.values()]
    lines = [f"On the inverter at once: {'; and '.join(parts)}."]
    rating, asked = run.choices.get("rating"), run.value("loads", "apparent_power_running")
    if rating is not None and asked > rating.value * (1 + 1e-9):
        return [f"Not all of it: together {say(asked, 'VA')} are asked for, above the inverter's {rating.words}. Settle first what waits for what."]
    lines.append(f"Together that is at most {say(run.value('loads', 'power_running'), 'W')}, {say(run.value('loads', 'apparent_power_running'), 'VA')}.")
    direct = [row.name for row in run.loads if row.supply == "dc"]
    if direct:
        lines.append(f"Straight from the battery, always: {', '.join(direct)}.")
    return lines


def will_not(run):
    """What the system does not do, so that nobody expects it.

    Parameters
    ----------
    run : Run
        A plan that was run.

    Returns
    -------
    list of str
        Sentences.
    """
    lines, rating = [], run.choices.get("rating")
    if rating is not None and run.through:
        lines.append(f"It does not carry more than {rating.words} at once, and less in the heat.")
    groups = {}
    for row in run.loads or ():
        if row.group:
            groups.setdefault(row.group.lower(), []).append(row.name)
    lines += [f"It does not run {' and '.join(names)} at the same time." for names in groups.values() if len(names) > 1]
    battery = run.result("battery")
    if battery is not None:
        lines.append(f"It does not last more than {typed(battery.input('days').value, '')} days of such use without charge.")
    lines += _bad_week(run)
    kind = chemistry.facts(run.chemistry)
    lines.append(f"Its battery must not be charged below {typed(kind.charge_temperature_min, '°C')}.")
    if run.plan["who"].get("medical", "no") != "no":
        lines.append("It is not the only supply of a medical device: the fallback stays at hand.")
    lines.append("It does not feed an inlet, a wall outlet or the grid, and no second source is ever joined to it except through its changeover.")
    return lines


def _bad_week(run):
    result = run.result("bad-week")
    if result is None:
        return []
    unmet = result.output("energy_unmet").value
    if unmet < 3600.0:
        return []
    off = ", then ".join(one.name for one in shed.order(run))
    return [f"In a bad week it does not meet {say(unmet, 'Wh', 2)} of the need. Switch off, in this order: {off}." if off else f"In a bad week it does not meet {say(unmet, 'Wh', 2)} of the need."]


EXPECTED = (
    ("loads", "energy_total"), ("loads", "power_running"), ("battery", "capacity_required"), ("path", "voltage_inverter"), ("path", "margin"), ("start", "margin"),
    ("recharge", "balance"), ("bad-week", "state_of_charge_lowest"), ("good-week", "state_of_charge_lowest"), ("heat", "temperature_inside"),
)  # fmt: skip


def _expect(run):
    """Outputs with their ranges, as (label, Output) for the renderer's own words."""
    for part, name in EXPECTED:
        if run.result(part) is not None and run.value(part, name) is not None:
            output = run.result(part).output(name)
            label = f"{output.label}, {TITLES[part][:1].lower()}{TITLES[part][1:]}" if part in ("path", "start", "bad-week", "good-week") else output.label
            yield label, output, output, output.mover


def licensed(run):
    """What only a licensed person may do here, and what to ask them.

    Parameters
    ----------
    run : Run
        A plan that was run.

    Returns
    -------
    list of str
        Sentences.
    """
    result = run.result("joining")
    if result is None:
        return []
    arrangement = result.output("arrangement")
    lines = [] if arrangement.value.startswith("plug-in") else [f"To be built: {arrangement.display}."]
    lines += ["Anything in fixed mains wiring, the link of neutral to earth, the residual-current device and the breakers."]
    return lines + list(QUESTIONS)


def _assumed(run):
    """Everything the answers rest on that nobody has said."""
    seen = {}
    for name in ASSUMED_PARTS:
        result = run.result(name)
        for given in result.inputs if result is not None else ():
            if given.how in ("default", "unknown") and given.used and given.name not in run.part(name).origins and given.value is not None:
                seen.setdefault(given.label, (given.label, given))
    return seen.values()


def handover(run):
    """The hand-over card, for the glove box.

    Parameters
    ----------
    run : Run
        A plan that was run.

    Returns
    -------
    Paper
        For A5.
    """
    return _paper(run, "hand-over", "Hand-over card", "A5", (
        Block("Your system", "table", tuple((label, size) for label, size, _ in _settled(run))),
        Block("May run together", "list", tuple(together(run))),
        Block("What each takes", "table", tuple(_tasks(run)), ("", "Power", "Energy a day", "Charge a day")),
        Block("To start and to stop", "list", (
            "Start: isolator on, then the inverter, then one appliance after the other, motors alone and first.",
            "Stop: appliances off, then the inverter; for storage the isolator too.",
            "It beeps or stops: take loads off, wait five minutes, start one. It stops again: read the volts at the battery and at the inverter under load, and call.",
        )),
        Block("In a bad week, switch off in this order", "list", tuple(f"{one.name}: saves {say(one.energy_per_day, 'Wh', 2)} a day" for one in shed.order(run))),
        Block("Never", "list", (*will_not(run)[-2:], "Never a larger fuse, never a bridge over one, never a cover over the inverter.", *_never_fuel(run)), level="caution"),
        Block("A tingle, a hot smell, hissing, swelling", "list", (
            "A tingle from metal: stop, touch nothing else, unplug the supply, have it tested by a licensed person.",
            "A hot smell, hissing or a swollen battery: everybody out, isolate only if it is safe, let air in, call the fire service.",
        ), level="stop"),
        Block("", "text", (STANDING,)),
    ))  # fmt: skip


def _never_fuel(run):
    if run.own_choice("charging", "mains") == "generator" or run.plan["installation"].get("generator", "none") != "none":
        return ("Never a generator near a door, a window, a vent or an awning, and never without a working carbon monoxide alarm where people sleep.",)
    return ()


def _tasks(run):
    voltage = run.choices.get("voltage")
    for _, row, energy, must in shed.energies(run):
        charge = say(energy / voltage.value, "Ah", 2) if voltage else ""
        yield row.name + (" (must always run)" if must else ""), say(week.power_of(row), "W", 2), say(energy, "Wh", 2), charge
    if run.value("loads", "energy_standby") and "standby" in run.choices:
        energy = run.value("loads", "energy_standby")
        yield "the inverter's standby", run.choices["standby"].words, say(energy, "Wh", 2), say(energy / voltage.value, "Ah", 2) if voltage else ""


def baseline(run):
    """The baseline card: what is expected, and blanks for what is measured.

    Parameters
    ----------
    run : Run
        A plan that was run.

    Returns
    -------
    Paper
        For A5.
    """
    card = run.plan["baseline"]
    return _paper(run, "baseline", "Baseline card", "A5", (
        Block("Measured at the hand-over", "table", tuple(_measured(run, card)), ("", "Expected", "Measured")),
        Block("Settings as left", "table", tuple(_settings(run, card)), ("", "Usual for this battery", "Set to")),
        Block("Circumstances", "table", (("Date", "", card.get("date")), ("State of charge", "", None), ("Battery's temperature", "", None), ("Measured by", "", None))),
        Block("How", "list", (
            "Battery: read volts and amps with a small load, then with a large one within half a minute; the difference in volts over the difference in amps.",
            "Cables and joints: millivolts across each piece under the large load over the amps, all pieces added up.",
            "Standby: everything unplugged, the inverter on, clamp set to zero first; volts times amps.",
            "Compare in the same way next year: half as much again is a change worth finding.",
        )),
        Block("", "text", (STANDING,)),
    ))  # fmt: skip


def _measured(run, card):
    standby, path = run.choices.get("standby"), run.result("path")
    if standby is not None:
        yield "Standby power", standby.words, card.get("standby_power")
    if path is not None:
        yield "Battery's resistance", path.input("battery_resistance"), card.get("battery_resistance")
        together_ = path.output("cable_resistance_loop").value + path.input("joint_resistance").value
        yield "Cables and joints, both ways", say(together_, "mΩ"), card.get("cable_resistance")
        yield "Volts at the inverter with everything on that runs together", path.output("voltage_inverter"), None
        yield "Amps then", path.output("current_dc"), None
    yield "Volts at the battery, charged and rested", "", None


def _settings(run, card):
    kind, cells = chemistry.facts(run.chemistry), run.blocks and chemistry.cells(run.chemistry, run.choices["voltage"].value)
    cut_out = run.result("path")
    if cut_out is not None:
        yield "Inverter's low-voltage cut-out", typed(cut_out.input("cut_out").value, "V"), None
    if cells:
        yield "Charging voltage", say(cells * kind.voltage_charge, "V"), None
        yield "Float voltage", say(cells * kind.voltage_float, "V"), None
    if run.value("battery", "charge_current_max"):
        yield "Largest charging current", say(run.value("battery", "charge_current_max"), "A", 2), None
    yield "No charging below", typed(kind.charge_temperature_min, "°C"), None
    yield "Other settings", "", card.get("settings")

