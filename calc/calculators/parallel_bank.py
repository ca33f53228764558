"""parallel-bank: do my batteries share?

Batteries side by side share a current by resistance, their own and that of the links
between them. Where both cables leave at one end, the near battery does most of the work.
"""

import re

from calc.calculators import chemistry
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Choice, Field, Unknown
from calc.errors import FieldProblem
from calc.physics import bank
from calc.result import Axis, Figure, Level, Series
from calc.units import UnitProblem, read_quantity
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

MOST = 8  # batteries
COUNT_ASSUMED = 4
RATIO_TO_QUESTION = 1.3  # largest current over smallest; common practice
RATIO_BAD = 2.0  # likewise
VOLTAGES_APART = 0.1  # V between batteries about to be joined, for each 12 V; common practice
NUMBERS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")


class Several(Field):
    """One value for all batteries, or a list with one for each: "3 mΩ", or "3, 3, 6 mΩ"."""

    def read(self, text):
        """Turn typed text into (values, how, basis); raises FieldProblem naming each wrong item."""
        how = "default" if not text.strip() or text.strip() == self.default else "given"
        text = text.strip() or self.default
        if not text:
            return None, "blank", ""
        parts = _parts(text)
        # "3, 3, 6 mΩ": the unit of the last holds for those without one.
        unit = re.sub(r"^[\d\s.,'’+\-−]*", "", parts[-1])
        found, wrong = [], []
        for place, part in enumerate(parts):
            try:
                found.append(self._item(part if re.search(r"[^\d\s.,'’+\-−]", part) else f"{part} {unit}".strip()))
            except UnitProblem as problem:
                name = NUMBERS[place] if place < len(NUMBERS) else f"{place + 1}th"
                wrong.append(f"the {name}: {problem}" if len(parts) > 1 else str(problem))
        if wrong:
            raise FieldProblem(self.name, "; ".join(wrong))
        return tuple(found), how, ""

    def _item(self, part):
        reading = read_quantity(part, self.unit)
        if reading.low is not None:
            raise UnitProblem(f'"{part[:40]}" is a range: enter one number for each')
        low, high = self._limits
        if not low <= reading.likely <= high:
            raise UnitProblem(f'must be between {restate(low, self.unit)} and {restate(high, self.unit)}, "{part[:40]}" is not')
        return reading.likely


def _parts(text):
    """The items of a list: parted by semicolons, by commas with a space, or by several commas."""
    if ";" in text or "\n" in text:
        parts = re.split(r"[;\n]", text)
    elif re.search(r",\s", text) or text.count(",") > 1:
        parts = text.split(",")
    else:
        parts = [text]
    return [part.strip() for part in parts]
RESIDUE = 1e-9  # A: less is what solving for equal voltages leaves over

FIELDS = (
    Field("count", "Batteries, or strings, side by side", "", minimum="2", maximum=str(MOST), example="4",
          hint="Left blank: as many as in the list below, or four."),
    Several("battery_resistances", "Resistance of each, with its own terminals", "mΩ", default="3 mΩ", minimum="0.05 mΩ", maximum="1000 mΩ",
            hint="One value for all, or a list from the plus cable on: 3, 3, 6 mΩ."),
    Field(
        "link_resistance", "Resistance of one link or lead", "mΩ", default="unknown", example="0.3 mΩ", minimum="0 mΩ", maximum="100 mΩ",
        tolerance="30 %", basis="common practice: the lugs differ more than the copper",
        unknown=Unknown("0.3 mΩ", "0.15 mΩ", "1 mΩ", "common practice: a short thick link with good lugs, to a thin or poor one"),
        hint="One link of one rail: the cable with its two lugs.",
    ),
    Field(
        "current", "Current taken from the bank", "A", default="150 A", minimum="-2000 A", maximum="2000 A",
        tolerance="10 %", basis="common practice: the inverter's current moves with the load",
        hint="Negative while charging.",
        unknown=Unknown("100 A", "30 A", "200 A", "common practice: an inverter of 1 to 2 kW at 12 V"),
    ),
    Choice(
        "take_off", "Where the two main cables leave",
        {"same-end": "both at one end", "diagonal": "plus at one end, minus at the other", "posts": "each battery has its own leads to common posts"},
        default="same-end",
    ),
    Choice("strings_fused", "A fuse for each battery or string", {"yes": "yes, at each battery", "no": "no", "unknown": "not known"}, default="unknown"),
    Choice("alike", "Same kind, size and age", {"yes": "yes, all alike and joined from new", "ages": "no, old and new", "kinds": "no, different kinds"}, default="yes"),
    Field(
        "battery_scatter", "Battery nearest the plus cable, against its figure", "%", default="unknown", minimum="-50 %", maximum="100 %",
        unknown=Unknown("0 %", "-15 %", "15 %", "common practice: resistances of one kind and age differ by some 15 %"), more=True,
        hint="Stands for how unlike the batteries are: no two are the same.",
    ),
    Several("voltages", "Rest voltage of each, if they differ", "V", minimum="2 V", maximum="64 V",
            hint="Measured apart, before they are joined: 12.7, 12.7, 12.5 V.", more=True),
    Field("battery_current_limit", "Current limit of one battery", "A", minimum="0 A", maximum="2000 A", above_minimum=True,
          hint="Of its protection, on a lithium battery's label.", more=True),
)  # fmt: skip

VERDICTS = {
    "shares": "they share",
    "uneven": "they share unevenly",
    "poor": "they do not share",
    "against": "some work against the others",
    "not-to-be-used": "not to be used like this",
}

ANSWERS = (
    Answer("verdict", "Verdict", choices=VERDICTS, main=True),
    Answer("current_largest", "Largest battery current", "A", main=True),
    Answer("current_smallest", "Smallest battery current", "A", main=True),
    Answer("worst_ratio", "Largest over smallest", "", main=True),
    Answer("share_largest", "Share of the hardest worked", "%", main=True),
    Answer("share_even", "Share if all were equal", "%"),
    *(Answer(f"current_{place}", f"Current of the {NUMBERS[place - 1]} battery", "A", quiet=True) for place in range(1, MOST + 1)),
    Answer("bank_current_usable", "Most from the bank before one passes its limit", "A", quiet=True),
    Answer("current_idle_largest", "Largest current between them with nothing running", "A", quiet=True),
)


def _count(v):
    if v.count is not None:
        return round(v.count)
    listed = max(len(v.battery_resistances), len(v.voltages or ()))
    return listed if listed > 1 else COUNT_ASSUMED


def _check(v):
    count = _count(v)
    if v.count is not None and abs(v.count - count) > 1e-9:
        raise FieldProblem("count", "must be a whole number: how many batteries stand side by side")
    for name in ("battery_resistances", "voltages"):
        given = getattr(v, name)
        if given and len(given) not in (1, count):
            raise FieldProblem(name, f"lists {len(given)} values for {count} batteries: enter one for all, or one for each")
    if count > MOST:
        raise FieldProblem("battery_resistances", f"lists {count} batteries: {MOST} side by side is the most here, and more than should be")
    if v.voltages and max(v.voltages) > 1.5 * min(v.voltages):
        raise FieldProblem("voltages", f"{restate(max(v.voltages), 'V')} and {restate(min(v.voltages), 'V')} are not batteries of one voltage: they must never be joined")


def _each(v):
    """Resistances and rest voltages, one for each battery."""
    count = _count(v)
    resistances = list(v.battery_resistances) * (count if len(v.battery_resistances) == 1 else 1)
    resistances[0] *= 1 + v.battery_scatter
    voltages = list(v.voltages or (0.0,))
    return resistances, voltages * (count if len(voltages) == 1 else 1)


def _currents(v, current):
    resistances, voltages = _each(v)
    if v.take_off == "posts":
        return bank.currents_posts(resistances, voltages, v.link_resistance, current)
    return bank.currents_ladder(resistances, voltages, [v.link_resistance] * (len(resistances) - 1), current, float(v.take_off == "diagonal"))


def _evaluate(v):
    currents = _currents(v, v.current)
    sizes = [abs(one) for one in currents]
    same_way = all(one * v.current > 0 for one in currents)
    idle = max(abs(one) for one in _currents(v, 0.0)) if v.voltages else None
    if idle is not None and idle < RESIDUE:
        idle = 0.0
    ratio = max(sizes) / min(sizes) if same_way else None
    out = {
        "verdict": "not-to-be-used" if v.alike != "yes" or v.strings_fused == "no" else _verdict(ratio),
        "current_largest": max(sizes),
        "current_smallest": min(sizes),
        "worst_ratio": ratio,
        "share_largest": max(sizes) / abs(v.current) if v.current else None,
        "share_even": 1 / len(currents),
        "bank_current_usable": None if v.battery_current_limit is None or not v.current or v.voltages else v.battery_current_limit * abs(v.current) / max(sizes),
        "current_idle_largest": idle,
    }
    return out | {f"current_{place}": currents[place - 1] if place <= len(currents) else None for place in range(1, MOST + 1)}


def _verdict(ratio):
    if ratio is None:
        return "against"
    return "shares" if ratio <= RATIO_TO_QUESTION else "uneven" if ratio <= RATIO_BAD else "poor"


def _explain(case):
    v, o = case.values, case.outputs
    currents = _currents(v, v.current)
    _work(case, currents)
    listed = " / ".join(say(one, "A", 2).removesuffix("\u00a0A") for one in currents)
    if o.worst_ratio is None:
        case.answer = f"They work against each other: {listed} A, from the plus cable on."
    else:
        ratio, share = say(o.worst_ratio, "", 2), say(o.share_largest, "%", 2)
        hardest = "Each carries as much as the next" if ratio == "1.0" else f"The hardest worked carries {ratio} times the least"
        case.answer = f"{VERDICTS[_verdict(o.worst_ratio)].capitalize()}: {listed} A, from the plus cable on. {hardest}, {share} of the whole."
    if min(currents) < 0:
        case.answer += " Minus means that a battery is being charged."
    if v.alike in ("kinds", "ages"):
        case.answer = f"Do not join them. {case.answer}"
    _stops(case)
    _advise(case, currents)


def _work(case, currents):
    """Kirchhoff's laws: each battery's current from its neighbour's, and their sum."""
    v, o = case.values, case.outputs
    resistances, voltages = _each(v)
    total = {"I": (v.current, "A")}
    if v.take_off == "posts":
        ways = [1 / (own + 2 * v.link_resistance) for own in resistances]
        posts = (sum(volts * way for volts, way in zip(voltages, ways)) - v.current) / sum(ways)
        for place, one in enumerate(currents, 1):
            case.step(f"I_{place}", f"{NUMBERS[place - 1]} battery", f"(E_{place} - V)/(R_{place} + 2*r)",
                      {f"E_{place}": (voltages[place - 1], "V"), "V": (posts, "V"), f"R_{place}": (resistances[place - 1], "mΩ"), "r": (v.link_resistance, "mΩ")},
                      one, "A", "kirchhoff", "V at the posts, such that the currents add up")  # fmt: skip
    else:
        _work_ladder(case, currents, resistances, voltages)
    names = " + ".join(f"I_{place}" for place in range(1, len(currents) + 1))
    case.step("I_sum", "together, the current taken", names, {f"I_{place}": (one, "A") for place, one in enumerate(currents, 1)}, total["I"][0], "A", "kirchhoff")
    if o.worst_ratio is not None:
        case.step("q", "largest over smallest", "I_most/I_least", {"I_most": (o.current_largest, "A"), "I_least": (o.current_smallest, "A")}, o.worst_ratio, "", "arithmetic")


def _work_ladder(case, currents, resistances, voltages):
    v = case.values
    count = len(currents)
    for place in range(count - 1, 0, -1):
        beyond = sum(currents[place:])
        names = {f"R_{place}": (resistances[place - 1], "mΩ"), f"R_{place + 1}": (resistances[place], "mΩ"), f"I_{place + 1}": (currents[place], "A"),
                 "r": (v.link_resistance, "mΩ"), f"S_{place}": (beyond, "A")}  # fmt: skip
        formula = f"(R_{place + 1}*I_{place + 1} + 2*r*S_{place}"
        if v.take_off == "diagonal":
            names["I"] = (v.current, "A")
            formula = f"(R_{place + 1}*I_{place + 1} + r*(2*S_{place} - I)"
        if v.voltages:
            names |= {f"E_{place}": (voltages[place - 1], "V"), f"E_{place + 1}": (voltages[place], "V")}
            formula += f" + E_{place} - E_{place + 1}"
        words = f"{NUMBERS[place - 1]} battery; S is what the batteries beyond it give"
        case.step(f"I_{place}", words, f"{formula})/R_{place}", names, currents[place - 1], "A", "kirchhoff")


def _stops(case):
    v, o = case.values, case.outputs
    if v.strings_fused == "no":
        case.find("strings-unfused", "stop", "These batteries stand side by side without a fuse each. A fault inside one is fed by all the others through its own lead, and the main fuse never sees it. Fuse each at its post before the bank is used.")
    if v.alike == "kinds":
        case.find("kinds-mixed", "stop", "Different kinds are never joined side by side. Lithium and lead-acid rest, charge and stop at different voltages, and one drives current through the other.")
    if v.alike == "ages":
        case.find("ages-mixed", "stop", "Old and new are not joined: the old one drags the new one down, and the new one carries the load. Replace all of them together.")
    if v.battery_current_limit is not None and (case.high("current_largest") or o.current_largest) > v.battery_current_limit:
        if o.current_largest > v.battery_current_limit:
            case.find("battery-limit", "stop", f"One battery would carry {say(o.current_largest, 'A', 2)}, more than its {restate(v.battery_current_limit, 'A')} limit. Its protection opens, its share falls on the others, and they open after it.")
        else:
            case.find("battery-limit-near", "caution", f"With what is uncertain at its bad end one battery passes its {restate(v.battery_current_limit, 'A')} limit; then the others follow.")
    if v.voltages and max(v.voltages) - min(v.voltages) > VOLTAGES_APART * chemistry.blocks(max(v.voltages)):
        case.find("voltages-apart", "stop", f"They rest {say(max(v.voltages) - min(v.voltages), 'V', 2)} apart: joined now, up to {say(o.current_idle_largest, 'A', 2)} flows between them at once. Charge each on its own until they agree.")


def _advise(case, currents):
    v, o = case.values, case.outputs
    if v.strings_fused == "unknown":
        case.find("strings-fuses-unknown", "caution", "Find out whether each battery has its own fuse: a fault inside one is fed by the others, and the main fuse never sees it.")
    if o.worst_ratio is not None and o.worst_ratio > RATIO_TO_QUESTION:
        case.find("uneven", "caution", _remedy(v, o))
    if v.count is None and len(v.battery_resistances) == 1 and len(v.voltages or (0,)) == 1:
        case.find("count-assumed", "note", f"{COUNT_ASSUMED} batteries were taken, since no number and no list was given.")
    if len(currents) > 4:
        case.find("many", "caution", "More than four side by side are hard to keep alike: larger batteries, or a higher voltage.")
    case.find("evens-out", "note", f"This is the start of a {'charge' if v.current < 0 else 'discharge'}. As the hard-worked ones {'fill' if v.current < 0 else 'empty'}, the others catch up; over years the hard-worked ones still age first.")
    case.find("lithium-and-lead", "note", "Never lithium with lead-acid, old with new, or large with small. Charge them to the same voltage, apart, before they are joined.")
    case.find("clamp-each", "note", "To see it, put a DC clamp on each battery's own lead while a steady load runs.")


def _remedy(v, o):
    if v.take_off == "same-end":
        other = o.current_largest / o.current_smallest
        moved = _ratio_of(v, "diagonal")
        return f"Move one main cable to the other end: the ratio falls from {say(other, '', 2)} to {say(moved, '', 2)}. Shorter, thicker links or leads of one length to common posts help more."
    if v.take_off == "diagonal":
        return "The links are poor for this current: clean and thicken them, or give each battery leads of one length to common posts."
    return "With equal leads only the batteries differ: one is older, colder, emptier or has a poor joint. Find out which before it is used hard."


def _ratio_of(v, take_off):
    changed = type(v)(**{**vars(v), "take_off": take_off})
    sizes = [abs(one) for one in _currents(changed, v.current)]
    return max(sizes) / min(sizes)


def _draw(case):
    v, o = case.values, case.outputs
    currents = _currents(v, v.current)
    places = tuple((place, NUMBERS[place - 1] if len(currents) < 5 else str(place)) for place in range(1, len(currents) + 1))
    points = tuple((place, one) for (place, _), one in zip(places, currents))
    even = v.current / len(currents)
    low, high = min([0.0, *currents]), max([0.0, *currents])
    return [Figure(
        "Current of each battery",
        "Current each battery gives, from the one at the plus cable on, with the even share as a line.",
        Axis("", "", 0.4, len(currents) + 0.6, places), Axis("current", "A", 1.2 * low, max(1.2 * high, 1.2 * low + 1.0)),
        (Series("current of each", points, bars=True),), (Level(f"even share {say(even, 'A', 3)}", even),),
    )]  # fmt: skip


CALCULATOR = Calculator(
    id="parallel-bank",
    title="Do my batteries share?",
    question="How do batteries side by side share the current, and does one of them do most of the work?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
)
