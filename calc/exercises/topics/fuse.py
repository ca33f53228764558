"""Lesson 8: what a fuse protects, how large, how strong, and where."""

import math

from calc import tables
from calc.exercises.draws import Redraw
from calc.exercises.items import Check, Choice, Fact, Faults, Line, Mistake, Number, Option, given, work
from calc.exercises.templates import template
from calc.exercises.topics.common import INVERTERS, inverter_facts, power_dc, say, typed, work_power_dc
from calc.physics import circuit, fault, fuse

LOADING = 0.8  # of its rating: what a fuse carries for hours; common practice
BREAKING = (1000.0, 2000.0, 5000.0, 10000.0, 20000.0)
"""Breaking capacities as fuses are sold with, A: common practice."""


def ratings():
    """The ratings that fuses are sold in, A."""
    return [row["rating"] for row in tables.load("fuse_ratings").values]


def _worst(draw):
    rating, standby = draw.one(INVERTERS[2:])
    times = 1 if rating < 2000 else draw.one((1, 2))
    return rating, standby, 12.0 * times, draw.one((10.5, 10.8, 11.0)) * times


@template("worst-current", "The worst current")
def worst_current(draw, level):
    rating, standby, label, cut_out = _worst(draw)
    ripple = draw.one((0.6, 0.8, 1.0))
    taken = power_dc(rating, rating, standby) if level == 3 else draw.amount("W", 600, 1100, 1700, 2200, 3300)
    current = circuit.current_constant_power(taken, cut_out, 0.0, 0.0)
    rms = circuit.current_rms(current, ripple)
    steps = [
        *([work_power_dc(rating, rating, standby)] if level == 3 else []),
        work("I", "current at the cut-out", "P_dc/V_co", current, "A", P_dc=(taken, "W"), V_co=(cut_out, "V")),
    ]
    if level > 1:
        steps.append(work("I_rms", "current that heats", "I*sqrt(1 + r**2/2)", rms, "A", "ripple", I=(current, "A"), r=(ripple, "")))
    heats = circuit.current_rms(1.0, ripple) if level > 1 else 1.0
    mistakes = [Mistake(taken / label * heats, f"That is with the {say(label, 'V')} of the label. The current is largest just above the cut-out.")]
    if level > 1:
        mistakes += [
            Mistake(current, "That is the average. Cable and fuse feel the root of the mean square."),
            Mistake(taken / label, "That is watts over the label's volts: neither the cut-out nor the ripple is in it."),
        ]
    else:
        mistakes.append(Mistake(taken / (label * 1.15), "That is with a battery on charge. The worst is the lowest voltage."))
    if level == 3:
        mistakes.append(Mistake(rating / cut_out * heats, "That leaves out the inverter's losses."))
    return Number(
        story="What cable and fuse must carry for hours.",
        facts=(
            *(inverter_facts(rating, standby) if level == 3 else (given("Power into the inverter, at most", taken, "W"),)),
            given("Nominal voltage", label, "V"),
            given("Cut-out", cut_out, "V"),
            *([given("Ripple r", ripple, "")] if level > 1 else []),
        ),
        question={
            1: "What is the largest current on average, in A?",
            2: "What is the largest current that heats, in A? I_rms = I·√(1 + r²/2).",
            3: "At full rating, what is the largest current that heats, in A?",
        }[level],
        value=current if level == 1 else rms,
        unit="A",
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="Watts over twelve is the current on a good day. The fuse must carry the bad one.",
        hints=(
            "At which voltage is the current of a given power largest?",
            "Power over the cut-out's voltage" + (", then times √(1 + r²/2)." if level > 1 else "."),
        ),
    )


@template("which-fuse", "Which fuse?")
def which_fuse(draw, level):
    rating, standby, label, cut_out = _worst(draw)
    ripple = draw.one((0.6, 0.8, 1.0))
    taken = round(power_dc(rating, rating, standby))
    current = taken / cut_out
    needed = fuse.rating_needed(circuit.current_rms(current, ripple), LOADING, 1.0)
    sizes = ratings()
    right = next((size for size in sizes if size >= needed), None)
    if right is None or needed > 0.97 * right:
        raise Redraw
    place = sizes.index(right)
    cable = float(
        draw.one(
            [amps for amps in (90, 115, 140, 176, 210, 260, 320, 400, 480, 600) if right <= amps < (sizes[place + 1] if place + 1 < len(sizes) else math.inf)]
            or [0]
        )
    )
    if not cable:
        raise Redraw

    def size(amps):
        return next((one for one in sizes if one >= amps), None)

    wrong = {
        size(taken / label): "That is watts over the label's volts. At the cut-out, with the ripple, it opens while all is well.",
        size(current): "That carries the average with nothing to spare. It ages and opens for no reason.",
        sizes[place + 1] if place + 1 < len(sizes) else None: f"That is more than the cable may carry, {say(cable, 'A')}: the cable would burn first.",
        size(rating / label): "That leaves out losses, cut-out and ripple.",
    }
    found = [(amps, why) for amps, why in wrong.items() if amps and amps != right]
    if len(found) < 2:
        raise Redraw
    kept = found[:2] if level == 1 else found[:3]
    return Choice(
        story="A fuse protects the cable. It must carry the worst current with a quarter to spare, and be no larger than the cable may carry.",
        facts=(
            given("Power into the inverter, at most", taken, "W"),
            given("Nominal voltage", label, "V"),
            given("Cut-out", cut_out, "V"),
            given("Ripple r", ripple, ""),
            given("The cable may carry", cable, "A"),
            Fact("Sizes", ", ".join(f"{one:g}" for one in sizes if 0.35 * right <= one <= 2.1 * right) + " A"),
        ),
        question="Which size?",
        options=tuple(
            draw.shuffled(
                [
                    Option(say(right, "A"), f"It is the smallest above {say(round(needed), 'A')}, and the cable stands it.", True, right),
                    *(Option(say(amps, "A"), why, value=amps) for amps, why in kept),
                ]
            )
        ),
        working=(
            work("I", "current at the cut-out", "P_dc/V_co", current, "A", P_dc=(taken, "W"), V_co=(cut_out, "V")),
            work("I_n", "rating needed", "1.25*I*sqrt(1 + r**2/2)", needed, "A", "practice", I=(current, "A"), r=(ripple, "")),
        ),
        why="If no size fits between the two, the cable is too thin, or the system voltage too low. A fuse is never taken larger instead.",
        hints=("Power over the cut-out's volts, times √(1 + r²/2), times 1.25.",),
    )


@template("short-circuit", "Into a dead short")
def short_circuit(draw, level):
    voltage = draw.amount("V", 12.8, 13.2, 25.6)
    resistance = draw.one((2.5, 3, 4, 5, 6)) * 1e-3
    strings = 1 if level < 3 else draw.one((2, 3, 4))
    path = 0.0 if level == 1 else draw.one((0.4, 0.6, 0.8, 1.2)) * 1e-3
    value = fault.current_prospective(voltage, resistance, strings, path)
    if value > 18000:
        raise Redraw
    symbols = {"V": (voltage, "V"), "R_b": (resistance, "mΩ"), **({"n": (strings, "")} if strings > 1 else {}), **({"R_c": (path, "mΩ")} if path else {})}
    inside = "R_b/n" if strings > 1 else "R_b"
    mistakes = [Mistake(value / 1000, "That divides by milliohms as if they were ohms.")]
    if path:
        mistakes.append(Mistake(fault.current_prospective(voltage, resistance, strings, 0.0), "That is a short on the posts. The cable up to it counts."))
    if strings > 1:
        mistakes += [
            Mistake(fault.current_prospective(voltage, resistance, 1, path), "That is one battery. All of them feed the short."),
            Mistake(voltage / (resistance * strings + path), "Side by side, resistances are divided, not added."),
        ]
    if level == 1:
        mistakes.append(Mistake(voltage / resistance / 2, "That halves it. In a dead short nothing but the battery's own resistance limits the current."))
    return Number(
        story="A spanner falls across the busbars." if path else "A spanner falls across the posts of a battery.",
        facts=(
            given("Battery voltage", voltage, "V"),
            given("Resistance of one battery, first milliseconds", resistance, "mΩ"),
            *([Fact("Batteries side by side", str(strings))] if strings > 1 else []),
            *([given("Cable from the battery to the short, both ways", path, "mΩ")] if path else []),
        ),
        question="What current flows into it, in A?" + (" Use I = V/R." if level == 1 else ""),
        value=value,
        unit="A",
        mistakes=tuple(mistakes),
        working=(
            work(
                "I",
                "current into the short",
                f"V/({inside} + R_c)" if path else f"V/({inside})" if strings > 1 else "V/R_b",
                value,
                "A",
                "short-circuit",
                **symbols,
            ),
        ),
        why="A fuse must not only open at this current: it must be able to break it. Keep metal away from the posts.",
        hints=("Nothing but resistance limits it.", "Volts over milliohms are thousands of amps."),
    )


@template("break-it", "Can the fuse break it?")
def break_it(draw, level):
    voltage, resistance = draw.amount("V", 13.2, 26.4), draw.one((2.5, 3, 4, 5, 6, 8)) * 1e-3
    strings = draw.one((1, 2)) if level == 1 else draw.one((2, 3, 4))
    current = fault.current_prospective(voltage, resistance, strings, 0.0)
    right = next((one for one in BREAKING if one >= current), None)
    if right is None or current > 0.95 * right or right == BREAKING[0]:
        raise Redraw
    one = fault.current_prospective(voltage, resistance, 1, 0.0)
    below = [each for each in BREAKING if each < current]
    options = [Option(say(right, "kA"), f"It breaks the {say(round(current, -2), 'kA')} that can flow.", True)]
    for each in reversed(below):
        why = (
            f"That is enough for one battery, {say(round(one, -2), 'kA')}. All of them feed the short."
            if each >= one
            else f"Up to {say(round(current, -2), 'kA')} can flow: this one may burst and keep burning."
        )
        options.append(Option(say(each, "kA"), why))
    if right < BREAKING[-1]:
        above = BREAKING[BREAKING.index(right) + 1]
        options.append(Option(say(above, "kA"), "It does it, but the question is the smallest that does."))
    return Choice(
        story="A fuse sits right at the battery.",
        facts=(
            given("Battery voltage, on charge", voltage, "V"),
            given("Resistance of one battery, first milliseconds", resistance, "mΩ"),
            Fact("Batteries side by side", str(strings)),
        ),
        question="Which is the smallest breaking capacity that is enough?",
        options=tuple(draw.shuffled([options[0], *draw.some(options[1:], min(2 if level == 1 else 3, len(options) - 1))])),
        working=(
            work("I", "current into a dead short", "V/(R_b/n)", current, "A", "short-circuit", V=(voltage, "V"), R_b=(resistance, "mΩ"), n=(strings, "")),
        ),
        why="Amps and volts of a fuse are not all: ask what it can break, and at what direct voltage.",
        hints=("Side by side, the resistance is divided by the number of batteries.",),
    )


@template("breaker", "Will the breaker see the fault?")
def breaker(draw, level):
    rating, multiple, mains = draw.amount("VA", 600, 1000, 1500, 2000, 3000), draw.one((1.5, 2.0, 2.5)), draw.one((230.0, 120.0))
    size, curve = float(draw.one((6, 10, 16))), draw.one([(row["curve"], row["low"], row["high"]) for row in tables.load("breaker_iec_60898").values][:2])
    limit = fault.current_limit(rating, multiple, mains)
    if level == 1:
        value, unit, question = limit, "A", "What is the most it gives into a short, in A?"
        facts = (given("Rating", rating, "VA"), Fact("It limits its current to", f"{multiple:g} times that"), given("Output", mains, "V"))
        steps = [work("I", "most it gives", "x*S/V", limit, "A", "inverter-limit", x=(multiple, ""), S=(rating, "VA"), V=(mains, "V"))]
        mistakes = [
            Mistake(limit / multiple, "That is its rated current. Into a short it gives somewhat more, but not much."),
            Mistake(multiple * rating / 12.0, "That is on the battery's side. The breaker stands on the mains side."),
        ]
    else:
        trips = size * (curve[2] if level == 2 else curve[1])
        value, unit = fault.rating_for_current(trips, multiple, mains), "VA"
        certain = "for certain" if level == 2 else "under the best of circumstances"
        question = f"How large must the inverter be for the breaker to trip at once, {certain}, in VA?"
        facts = (
            Fact("Breaker", f"type {curve[0]}, {say(size, 'A')}"),
            Fact(f"Type {curve[0]} trips at once between", f"{curve[1]:g} and {curve[2]:g} times that"),
            Fact("The inverter limits its current to", f"{multiple:g} times its rating"),
            given("Output", mains, "V"),
        )
        steps = [
            work("I_trip", "current it needs", "k*I_n", trips, "A", "iec60898", k=(curve[2] if level == 2 else curve[1], ""), I_n=(size, "A")),
            work("S", "inverter that gives it", "I_trip*V/x", value, "VA", "inverter-limit", I_trip=(trips, "A"), V=(mains, "V"), x=(multiple, "")),
        ]
        other = curve[1] if level == 2 else curve[2]
        mistakes = [
            Mistake(
                fault.rating_for_current(size * other, multiple, mains),
                "That is the other end of the band: only above its upper end is it certain, below its lower end it never trips at once.",
            ),
            Mistake(fault.rating_for_current(size, multiple, mains), "At its rated current a breaker does not trip at all."),
            Mistake(value * multiple, "That leaves out that it gives somewhat more than its rating for a moment."),
        ]
    return Number(
        story="An inverter limits its own current.",
        facts=facts,
        question=question,
        value=value,
        unit=unit,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="On an inverter a breaker may not see a short as a short. Protection there is licensed design, not a sum.",
        hints=("Its largest current is the multiple of its rated current.", "Rated current is volt-amps over volts."),
        check=(
            Check("fault-current", {"rating": typed(rating, "VA"), "current_limit_multiple": f"{multiple:g}", "voltage_ac": typed(mains, "V")}, "current_limit")
            if level == 1
            else None
        ),
    )


_RULES = (
    (
        "Main fuse",
        "{fuse} A, close to the battery's positive post",
        "{fuse} A, at the inverter, at the far end of the cable",
        "It protects the cable only where the current comes from: at the battery.",
    ),
    (
        "Voltage of the fuse",
        "for {volts} V direct and above the charging voltage",
        "for {volts} V alternating",
        "A fuse for alternating current may not break direct current: the arc does not go out by itself.",
    ),
    ("Cable", "may carry {cable} A", "may carry {thin} A", "The fuse is larger than what the cable may carry: the cable burns first."),
    (
        "Breaking capacity",
        "{large} kA, for {short} kA into a short",
        "{small} kA, for {short} kA into a short",
        "It cannot break the current that may flow: it may burst.",
    ),
    (
        "Spare",
        "a fuse of the same kind and size in the glove box",
        "a larger fuse in the glove box, in case it opens again",
        "A fuse that opens again has a reason. A larger one takes the protection away.",
    ),
    (
        "Branch cable, 0.4 m long, to the lamps",
        "a fuse of its own where it leaves the busbar",
        "no fuse, because it is so short",
        "A short cable burns as well: the battery gives it thousands of amps.",
    ),
    ("Lugs", "crimped, nuts tightened to the given torque", "pushed on, held by their springs", "At these currents a springy joint heats up and lets go."),
    (
        "Isolator",
        "in the positive, within reach, for direct current",
        "none: the inverter's own switch is used",
        "An inverter that is off is still connected. Only an isolator parts it from the battery.",
    ),
)


@template("fuse-sheet", "Find the error: fuse and cable")
def fuse_sheet(draw, level):
    rating = draw.one((150, 175, 200, 250, 300))
    numbers = {
        "fuse": rating,
        "volts": draw.one((32, 58)),
        "cable": draw.one([amps for amps in (176, 210, 260, 320, 400) if amps >= rating]),
        "thin": draw.one([amps for amps in (90, 115, 140) if amps < rating]),
        "short": draw.one((4, 6, 8)),
        "large": draw.one((10, 20)),
        "small": draw.one((1, 2)),
    }
    rules = draw.some(_RULES, 5 + level)
    wrong = draw.some(range(len(rules)), level + 1)
    lines = [
        Line(f"{name}: {(bad if place in wrong else good).format(**numbers)}.", why if place in wrong else "")
        for place, (name, good, bad, why) in enumerate(rules)
    ]
    return Faults(
        story=f"A colleague's note on the direct-current side, with a main fuse of {rating} A.",
        question="Which lines are wrong?",
        lines=tuple(lines),
        why="A fuse protects the cable, from the battery's end, at its voltage, up to the largest current that can flow.",
        hints=("Where does the current come from, what may the cable carry, and what can flow into a short?",),
    )


TEMPLATES = (worst_current, which_fuse, short_circuit, break_it, breaker, fuse_sheet)
