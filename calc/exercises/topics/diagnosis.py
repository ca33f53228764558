"""Lesson 11: what a meter and a clamp say about a fault."""

from calc.exercises.draws import Redraw, rounded
from calc.exercises.items import Check, Choice, Fact, Faults, Line, Mistake, Number, Option, given, work
from calc.exercises.templates import template
from calc.exercises.topics.common import say, typed
from calc.physics import circuit, measure
from calc.units import format_quantity

SUSPECT = 0.5e-3  # Ω: a joint above it is suspect; common practice


@template("three-points", "Three readings under load")
def three_points(draw, level):
    current, rest = float(draw.one((80, 90, 110, 120))), draw.one((12.5, 12.6, 12.7))
    sound = {"battery": draw.one((4, 5, 6)) * 1e-3, "fuse": draw.one((0.3, 0.4, 0.5)) * 1e-3, "cable": draw.one((1.2, 1.5, 1.8)) * 1e-3}
    bad = draw.one(list(sound))
    pieces = {**sound, bad: sound[bad] + draw.one((5, 7, 9)) * 1e-3}
    posts = rounded(circuit.voltage_mean(rest, pieces["battery"], current), 0.01)
    after_fuse = rounded(posts - pieces["fuse"] * current, 0.01)
    inverter = rounded(after_fuse - pieces["cable"] * current, 0.01)
    if inverter < 9.5:
        raise Redraw
    drops = {"battery": rest - posts, "fuse": posts - after_fuse, "cable": after_fuse - inverter}
    if drops[bad] < 1.5 * max(drop for name, drop in drops.items() if name != bad):
        raise Redraw
    said = {name: format_quantity(drop, "V", 2) for name, drop in drops.items()}
    options = {
        "battery": ("The battery itself: its resistance is high", f"From rest to the posts {said['battery']} are lost."),
        "fuse": ("Fuse, holder or their joints", f"Across them {said['fuse']} are lost."),
        "cable": ("Cable to the inverter, or its lugs", f"From behind the fuse to the inverter {said['cable']} are lost."),
        "inverter": ("The inverter: its cut-out is faulty", "It is fed less than it needs, and does what it is set to do."),
    }
    names = [bad, *draw.some([one for one in options if one != bad], 2 if level == 1 else 3)]
    return Choice(
        story="The inverter beeps under load. Four readings were taken, the last three with the load on.",
        facts=(
            given("Battery at rest, before", rest, "V"),
            given("At the posts", posts, "V"),
            given("Behind the fuse", after_fuse, "V"),
            given("At the inverter", inverter, "V"),
            given("Current", current, "A"),
        ),
        question="Where do you look first?",
        options=tuple(draw.shuffled([Option(*options[name], name == bad) for name in names])),
        working=(
            work(
                "R", "resistance of the worst piece", "U/I", measure.resistance_piece(drops[bad], current), "mΩ", "ohm", U=(drops[bad], "V"), I=(current, "A")
            ),
        ),
        why="Under load, the biggest step is the culprit. At rest, all four readings are the same.",
        hints=("Take the difference from each reading to the next.",),
    )


@template("joint-by-millivolts", "Millivolts across a joint")
def joint_by_millivolts(draw, level):
    current, resistance = float(draw.one((60, 80, 90, 110))), draw.one((0.3, 0.6, 0.9, 1.4, 2.2)) * 1e-3
    voltage = rounded(resistance * current, 0.001)
    twin = rounded(draw.one((0.15, 0.2, 0.25)) * 1e-3 * current, 0.001)
    further = float(draw.one((140, 160, 180)))
    ohms = measure.resistance_piece(voltage, current)
    steps = [work("R", "resistance of the joint", "U/I", ohms, "mΩ", "ohm", U=(voltage, "mV"), I=(current, "A"))]
    facts = [given("Across the joint", voltage, "mV"), given("Current then", current, "A")]
    if level == 1:
        value, unit, question = ohms, "mΩ", "What is its resistance, in mΩ?"
        mistakes = [
            Mistake(ohms / 2, "A joint is passed once: do not halve it."),
            Mistake(ohms * 1000, "Millivolts over amps are milliohms."),
            Mistake(1 / ohms * 1e-6, "That is amps over millivolts."),
        ]
    elif level == 2:
        value, unit, question = measure.heat_piece(further * ohms, further), "W", f"How much heat does it make at {say(further, 'A')}, in W?"
        steps.append(work("P", "heat at the larger current", "I_2**2*R", value, "W", "ohm", I_2=(further, "A"), R=(ohms, "mΩ")))
        mistakes = [
            Mistake(voltage * current, "That is at the current of the reading."),
            Mistake(voltage * further, "At the larger current the millivolts are more, too."),
            Mistake(further * ohms, "Those are volts."),
        ]
    else:
        facts += [given("Across its twin on the other pole", twin, "mV")]
        value, unit, question = ohms - measure.resistance_piece(twin, current), "mΩ", "By how much is it above its twin, in mΩ?"
        steps.append(work("R_more", "above its twin", "R - U_2/I", value, "mΩ", "ohm", R=(ohms, "mΩ"), U_2=(twin, "mV"), I=(current, "A")))
        mistakes = [
            Mistake(ohms, "That is all of it. Its twin has some as well."),
            Mistake(ohms + measure.resistance_piece(twin, current), "That adds the two."),
        ]
        if voltage < 2 * twin:
            raise Redraw
    return Number(
        story="The meter stands on millivolts, across one joint, while the load runs.",
        facts=tuple(facts),
        question=question,
        value=value,
        unit=unit,
        tolerance=0.03,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="Above half a milliohm, or twice its twin, a joint is suspect. Isolate before you touch it: it may be hot.",
        hints=("Millivolts over amps are milliohms.", "Heat is the current squared times the resistance."),
    )


@template("standby-by-clamp", "Standby by clamp")
def standby_by_clamp(draw, level):
    power, voltage, turns = draw.amount("W", 8, 12, 18, 25, 32), draw.one((12.6, 12.8, 13.0)), 1 if level == 1 else draw.one((5, 8, 10))
    reading = rounded(power / voltage * turns, 0.1)
    current = measure.current_through_turns(reading, turns)
    value, unit, question = measure.power_from_clamp(voltage, current), "W", "What is its standby power, in W?"
    steps = [
        work(
            "P_0",
            "standby power",
            "V*I/N" if turns > 1 else "V*I",
            value,
            "W",
            "arithmetic",
            V=(voltage, "V"),
            I=(reading, "A"),
            **({"N": (turns, "")} if turns > 1 else {}),
        )
    ]
    mistakes = [
        Mistake(12.0 * current, "That is with the twelve volts of the label."),
        Mistake(reading, "Those are amps. Times the battery's voltage they are watts."),
    ]
    if turns > 1:
        mistakes += [
            Mistake(voltage * reading, "The cable passes the clamp several times: divide by the turns."),
            Mistake(voltage * reading * turns, "Divide by the turns, do not multiply."),
        ]
    facts = [
        given("Clamp shows", reading, "A"),
        *([Fact("Turns of the cable through it", str(turns))] if turns > 1 else []),
        given("Battery voltage", voltage, "V"),
    ]
    if level == 3:
        card = draw.amount("W", 6, 9, 14, 20)
        value, unit, question = value / card - 1, "%", "By how many per cent is its standby above the card?"
        if not 0.2 < value < 3:
            raise Redraw
        facts.append(given("On the card, from hand-over", card, "W"))
        steps.append(work("e", "above the card", "P_0/P_card - 1", value, "%", P_0=(value * card + card, "W"), P_card=(card, "W")))
        mistakes = [
            Mistake(value + 1, "That is the ratio. Above the card is one less."),
            Mistake(1 - 1 / (value + 1), "That is a share of today's figure. Say it of the card's."),
            Mistake(voltage * reading / card - 1, "The cable passes the clamp several times: divide by the turns."),
        ]
    return Number(
        story="Everything is unplugged, the inverter is on, and the clamp was zeroed before.",
        facts=tuple(facts),
        question=question,
        value=value,
        unit=unit,
        tolerance=0.02 if level < 3 else 0.04,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="A clamp is off by up to an amp near zero: several turns make the reading large and the error small.",
        hints=("The clamp counts each turn.", "Amps times the battery's volts."),
        check=(
            Check("measure", {"standby_reading": typed(reading, "A"), "turns": str(turns), "voltage_standby": typed(voltage, "V")}, "standby_power")
            if level < 3
            else None
        ),
    )


@template("suspect-joints", "Which joints are suspect?")
def suspect_joints(draw, level):
    current = float(draw.one((80, 90, 100, 120)))
    names = (
        "Positive post to lug",
        "Lug to fuse",
        "Fuse and holder",
        "Fuse to isolator",
        "Isolator",
        "Lug at the inverter, positive",
        "Lug at the inverter, negative",
        "Negative post to lug",
    )
    drawn = draw.some(names, 4 + level)
    rows = [name for name in names if name in drawn]
    wrong = draw.some(range(len(rows)), level)
    lines = []
    for place, name in enumerate(rows):
        ohms = draw.one((0.7, 0.9, 1.3, 1.9) if place in wrong else (0.1, 0.15, 0.2, 0.3, 0.35)) * 1e-3
        voltage = rounded(ohms * current, 0.001)
        lines.append(
            Line(
                f"{name}: {say(voltage, 'mV')}",
                f"{format_quantity(measure.resistance_piece(voltage, current), 'mΩ', 2)}: above half a milliohm." if place in wrong else "",
            )
        )
    return Faults(
        story=f"The millivolts across each piece, at {say(current, 'A')}. Above {say(SUSPECT, 'mΩ')} a piece is suspect.",
        question="Which lines are suspect?",
        lines=tuple(lines),
        working=(work("U", "most that a piece may show", "I*R", current * SUSPECT, "mV", "ohm", I=(current, "A"), R=(SUSPECT, "mΩ")),),
        why="Measure across each piece, not from one end to the other: small differences of large readings say nothing.",
        hints=("How many millivolts is half a milliohm at this current?",),
    )


_CAUSES = {
    "empty": ("The battery is empty", "It rests low, and its resistance is as it should be."),
    "weak": ("The battery's resistance is high: old, cold, or one of several is bad", "It rests well, and falls far at its own posts."),
    "path": ("Cable, fuse or joints", "At the posts it holds; between posts and inverter it is lost."),
    "load": ("Nothing: the load is more than this inverter is made for", "At its terminals the voltage is well above the cut-out."),
}


@template("empty-or-weak", "Empty, weak, or badly joined?")
def empty_or_weak(draw, level):
    cause = draw.one(list(_CAUSES))
    current, cut_out = float(draw.one((80, 90, 100))), draw.one((10.5, 10.8, 11.0))
    rest = draw.one((11.5, 11.6, 11.7)) if cause == "empty" else draw.one((12.6, 12.65, 12.7))
    battery = draw.one((18, 20, 22) if cause == "weak" else (5, 6, 7)) * 1e-3
    path = draw.one((14, 16, 18) if cause == "path" else (1.5, 2)) * 1e-3
    posts = rounded(circuit.voltage_mean(rest, battery, current), 0.01)
    inverter = rounded(posts - path * current, 0.01)
    if inverter < cut_out + 0.8 if cause == "load" else inverter >= cut_out:
        raise Redraw
    options = [_CAUSES[cause], *draw.some([text for name, text in _CAUSES.items() if name != cause], 2 if level == 1 else 3)]
    whys = {
        _CAUSES[name][0]: words
        for name, words in (
            ("empty", f"Empty means low at rest; it rests at {say(rest, 'V')}."),
            ("weak", f"At its own posts it loses {format_quantity(rest - posts, 'V', 2)}: see whether that is much."),
            ("path", f"Between posts and inverter {format_quantity(posts - inverter, 'V', 2)} are lost."),
            ("load", f"The voltage at the inverter is {say(inverter, 'V')}."),
        )
    }
    return Choice(
        story="A lead-acid battery feeds an inverter. Under this load it stops; these are the last readings before.",
        facts=(
            given("Battery at rest, before", rest, "V"),
            given("At the posts, under load", posts, "V"),
            given("At the inverter, under load", inverter, "V"),
            given("Current", current, "A"),
            given("Cut-out", cut_out, "V"),
            *([Fact("On the card: battery, path", f"{say(6e-3, 'mΩ')}, {say(2e-3, 'mΩ')}")] if level < 3 else []),
        ),
        question="What is most likely the cause?",
        options=tuple(draw.shuffled([Option(text, why if text == _CAUSES[cause][0] else whys[text], text == _CAUSES[cause][0]) for text, why in options])),
        working=(
            work("R_b", "battery", "(V_0 - V_1)/I", (rest - posts) / current, "mΩ", "ohm", V_0=(rest, "V"), V_1=(posts, "V"), I=(current, "A")),
            work("R_p", "path", "(V_1 - V_2)/I", (posts - inverter) / current, "mΩ", "ohm", V_1=(posts, "V"), V_2=(inverter, "V"), I=(current, "A")),
        ),
        why="Rest voltage tells empty from weak; the posts tell battery from path. Measure both before anything is replaced.",
        hints=("Is it low at rest? Where is most lost under load?",),
    )


@template("against-the-card", "Against the card")
def against_the_card(draw, level):
    card = draw.one((4, 5, 6, 8)) * 1e-3
    growth = draw.one((1.3, 1.5, 1.8, 2.2, 2.6))
    light, heavy = float(draw.one((2, 3, 4))), float(draw.one((60, 80, 95)))
    rest = draw.one((12.5, 12.6))
    readings = [rounded(circuit.voltage_mean(rest, card * growth, current), 0.01) for current in (light, heavy)]
    ohms = measure.resistance_two_loads(round(readings[0] - readings[1], 2), heavy - light)
    change = ohms / card - 1
    if change < 0.15 or (readings[0] - readings[1]) < 0.35:
        raise Redraw
    steps = [
        work(
            "R",
            "resistance now",
            "(V_1 - V_2)/(I_2 - I_1)",
            ohms,
            "mΩ",
            "ohm",
            V_1=(readings[0], "V"),
            V_2=(readings[1], "V"),
            I_2=(heavy, "A"),
            I_1=(light, "A"),
        ),
        work("e", "above the card", "R/R_card - 1", change, "%", R=(ohms, "mΩ"), R_card=(card, "mΩ")),
    ]
    value, unit, question = change, "%", "By how many per cent is the battery's resistance above the card?"
    mistakes = [
        Mistake(change + 1, "That is the ratio. Above the card is one less."),
        Mistake(1 - card / ohms, "That is a share of today's figure. Say it of the card's."),
        Mistake(readings[1] / heavy / card - 1, "Take the differences of both readings, not one reading over its current."),
    ]
    if level == 3:
        load = float(draw.one((120, 140)))
        value, unit, question = load * (ohms - card), "V", f"How much lower does the battery stand at {say(load, 'A')} than it did at hand-over, in V?"
        steps = [steps[0], work("U", "lower than at hand-over", "I*(R - R_card)", value, "V", "ohm", I=(load, "A"), R=(ohms, "mΩ"), R_card=(card, "mΩ"))]
        mistakes = [
            Mistake(load * ohms, "That is all of its drop. Some of it was there at hand-over."),
            Mistake(load * (ohms + card), "The two are not added: one was there before."),
            Mistake(heavy * (ohms - card), "That is at the current of the test."),
        ]
    facts = (
        Fact("Light load", f"{say(readings[0], 'V')} at {say(light, 'A')}"),
        Fact("Heavy load", f"{say(readings[1], 'V')} at {say(heavy, 'A')}"),
        given("Battery, on the card", card, "mΩ"),
    )
    if level == 1:
        facts, value, steps = (
            (given("Battery now", rounded(ohms, 1e-4), "mΩ"), given("Battery, on the card", card, "mΩ")),
            rounded(ohms, 1e-4) / card - 1,
            [work("e", "above the card", "R/R_card - 1", rounded(ohms, 1e-4) / card - 1, "%", R=(rounded(ohms, 1e-4), "mΩ"), R_card=(card, "mΩ"))],
        )
        mistakes = [
            Mistake(value + 1, "That is the ratio. Above the card is one less."),
            Mistake(value / (value + 1), "That is a share of today's figure. Say it of the card's."),
        ]
    return Number(
        story="A year after hand-over, the same two-load test is done again.",
        facts=facts,
        question=question,
        value=value,
        unit=unit,
        tolerance=0.04,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="A figure alone says little. Against the card it says: growing, and how fast.",
        hints=("First its resistance today.", "Then compare it with the card's."),
        check=(
            Check(
                "measure",
                {
                    "voltage_1": typed(readings[0], "V"),
                    "current_1": typed(light, "A"),
                    "voltage_2": typed(readings[1], "V"),
                    "current_2": typed(heavy, "A"),
                    "baseline_battery": typed(card, "mΩ"),
                },
                "battery_change",
            )
            if level == 2
            else None
        ),
    )


_FIRST = (
    (
        "The output is dead, and no lamp of the inverter is lit.",
        "Battery isolator, main fuse and remote plug",
        (
            ("Replace the inverter", "Nothing says yet that it gets any voltage."),
            ("Open the inverter and look for a burnt smell", "An inverter is never opened."),
            ("Reset the breaker by the door", "With no lamp lit, the inverter itself has no supply."),
        ),
    ),
    (
        "The inverter beeps “low battery”, and the battery shows 12.6 V at rest.",
        "Volts at the inverter's own terminals, under load",
        (
            ("Volts at the battery, at rest, with a better meter", "At rest the path shows nothing."),
            ("Replace the battery", "It rests well. The path may be at fault."),
            ("Set the cut-out lower", "That hides a bad joint, and lets it get hotter."),
        ),
    ),
    (
        "All of the 12 V side is dead at once.",
        "Whether the battery's protection opened, or the main fuse: loads off first",
        (
            ("Bridge the battery's protection for a moment", "It opened to prevent harm. It is never bypassed."),
            ("Fit a larger main fuse", "First find why it opened."),
            ("Replace the inverter", "The inverter does not feed the 12 V side."),
        ),
    ),
    (
        "The fridge's start trips the inverter, but only in the morning.",
        "Battery's state and resistance in the cold, and what else is on",
        (
            ("Replace the fridge", "It starts when the battery is warm and full."),
            ("Replace the inverter", "The same surge finds less voltage in the cold."),
            ("Start it several times in a row", "A compressor under pressure starts worse: wait five minutes."),
        ),
    ),
    (
        "The overload lamp is lit.",
        "Loads off, let it cool, then one load at a time",
        (
            ("Hold the reset button down", "It protects itself for a reason."),
            ("Fit a larger DC fuse", "The fuse has nothing to do with an overload of the output."),
            ("Charge the battery", "The lamp says load, not battery."),
        ),
    ),
)


@template("what-first", "What do you look at first?")
def what_first(draw, level):
    story, right, wrong = draw.one(_FIRST)
    return Choice(
        story=story,
        question="What do you look at first?",
        options=tuple(draw.shuffled([Option(right, "", True), *(Option(*each) for each in draw.some(wrong, 2 if level == 1 else 3))])),
        why="Evidence first: measure, then replace. Never open an inverter, never bypass a protection.",
        hints=("What is the cheapest thing that would explain all of it?",),
    )


TEMPLATES = (three_points, joint_by_millivolts, standby_by_clamp, suspect_joints, empty_or_weak, against_the_card, what_first)
