"""Lesson 12: the whole enquiry, down to a sheet that says what it will and will not do."""

import math

from calc.exercises.draws import Redraw
from calc.exercises.items import Choice, Estimate, Fact, Faults, Line, Mistake, Number, Option, given, work
from calc.exercises.templates import template
from calc.exercises.topics.common import COPPER_COEFFICIENT, DAY, HOUR, INVERTERS, power_dc, say
from calc.physics import battery, charging, conductor, load
from calc.units import format_quantity

COMFORTABLE = 150.0  # A: above it, move up a system voltage; common practice


def _whole(value, unit):
    return format_quantity(value, unit, 3)


def _lines(draw):
    """Lines of a sheet: each its words, what is right in it, what a real mistake makes of it, and why; every line can be checked by itself."""
    cooking, oven = draw.amount("W", 600, 700, 800), draw.one((0.55, 0.6, 0.65))
    power, (rating, standby) = draw.amount("W", 900, 1150, 1300, 1450), draw.one(INVERTERS[3:])
    taken, cut_out = round(power_dc(power, rating, standby)), draw.one((10.5, 10.8))
    length, metre = draw.amount("m", 1.5, 2, 2.5), draw.one((0.304, 0.432, 0.619)) * 1e-3
    loop, current = conductor.resistance_loop(metre, length, 0.0, COPPER_COEFFICIENT), float(draw.one((90, 110, 130)))
    idle, energy, days = draw.amount("W", 10, 15, 20), draw.amount("Wh", 600, 900, 1200), draw.one((2, 3))
    sun, derate = draw.one((2.0, 2.5, 3.0)) * HOUR, 0.65
    charger, factor = float(draw.one((30, 40, 50))), draw.one((0.6, 0.7))
    input_power, drawn = load.power_input_from_cooking(cooking, oven), charging.supply_power(charger, 14.2, 0.87)
    depth = battery.capacity_uncorrected(energy, days, 12.0, 0.5)
    return (
        (
            f"Microwave oven of {say(cooking, 'W')} cooking power, {say(oven, '%')} of its input",
            _whole(input_power, "W") + " at the socket",
            say(cooking, "W") + " at the socket",
            "That is what reaches the food. The input is more.",
        ),
        (
            f"{say(power, 'W')} at the socket, with P_dc = {standby:g} + 1.05·P + 0.06·P²/{rating:g}",
            _whole(taken, "W") + " from the battery",
            _whole(power, "W") + " from the battery",
            "The inverter's own losses come on top.",
        ),
        (
            f"{say(taken, 'W')} into the inverter, largest current, cut-out {say(cut_out, 'V')}",
            _whole(taken / cut_out, "A"),
            _whole(taken / 12.0, "A"),
            "That is with the label's voltage. The current is largest just above the cut-out.",
        ),
        (
            f"Cable {say(length, 'm')} one way, {say(metre, 'mΩ')} a metre",
            f"{_whole(loop, 'mΩ')} in all",
            f"{_whole(loop / 2, 'mΩ')} in all",
            "That is the one-way length. The current comes back, too.",
        ),
        (
            f"Lug of {say(0.8e-3, 'mΩ')} at {say(current, 'A')}",
            f"{_whole(conductor.heat(current, 0.8e-3), 'W')} of heat",
            f"{format_quantity(current * 0.8e-3, 'W', 2)} of heat",
            "Those are its volts. Times the current they are watts.",
        ),
        (
            f"Standby {say(idle, 'W')}, all day, at {say(12.8, 'V')}",
            f"{_whole(battery.charge_over_time(idle, 12.8, DAY), 'Ah')} a day",
            f"{_whole(battery.charge_over_time(idle, 12.8, HOUR), 'Ah')} a day",
            "That is one hour of it. It runs day and night.",
        ),
        (
            f"Lead-acid battery for {say(energy, 'Wh')} a day, {days} days, half of it used, 12 V",
            _whole(depth, "Ah"),
            _whole(depth / 2, "Ah"),
            "That empties it. Only half of it is to be used.",
        ),
        (
            f"Panels for {say(energy, 'Wh')} a day, {say(sun, 'h')} of full sun, yield {derate:g}",
            _whole(charging.panel_power_for_energy(energy, sun, derate), "W"),
            _whole(energy / (5 * HOUR), "W"),
            "That is “watts times five”. The hours are fewer, and losses come off.",
        ),
        (
            f"Generator for a charger that draws {say(round(drawn), 'W')}, power factor {factor:g}",
            _whole(charging.apparent_power(round(drawn), factor), "VA"),
            _whole(round(drawn), "VA"),
            "Those are watts. Divide by the power factor.",
        ),
        ("Main fuse", "at the battery", "at the inverter", "It protects the cable only where the current comes from."),
        ("Sockets in the walls", "by a licensed person", "by the owner, with the power off", "Fixed mains wiring is licensed work."),
        (
            "What it will not do",
            "kettle and microwave oven at once",
            "left blank: it looks bad",
            "A sheet without limits is a promise without end. Write down what it will not do.",
        ),
    )


@template("wrong-sheet", "Find the error: a specification sheet")
def wrong_sheet(draw, level):
    rows = draw.some(_lines(draw), 4 + 2 * level)
    wrong = draw.some(range(len(rows)), 2 * level)
    if any(right == bad for _, right, bad, _ in rows):
        raise Redraw
    return Faults(
        story="A sheet is to go out today. Every line can be checked by itself.",
        question="Which lines are wrong?",
        lines=tuple(
            Line(f"{words}: {bad if place in wrong else right}", f"{why} It must be {right}." if place in wrong else "")
            for place, (words, right, bad, why) in enumerate(rows)
        ),
        why="Check each line against what stands in it: input or output, one way or both, label or cut-out, watts or volt-amps.",
        hints=("Input or output? One way or both? Label or cut-out? Watts or volt-amps?", "Who may do it, and where does it sit?"),
    )


@template("which-voltage", "12, 24 or 48 volts?")
def which_voltage(draw, level):
    rating, standby = draw.one([(800.0, 10.0), (1200.0, 13.0), (2000.0, 20.0), (2500.0, 25.0), (4000.0, 35.0), (5000.0, 40.0)])
    taken = round(power_dc(rating, rating, standby))
    currents = {volts: taken / (10.5 / 12.0 * volts) for volts in (12, 24, 48)}
    right = next(volts for volts, current in currents.items() if current <= COMFORTABLE)
    if any(abs(current - COMFORTABLE) < 8 for current in currents.values()):
        raise Redraw

    def why(volts):
        current = _whole(currents[volts], "A")
        if volts == right:
            return f"At its cut-out it draws {current}."
        return (
            f"At its cut-out it draws {current}: thick cable, large fuse, little margin."
            if volts < right
            else f"It does, at {current}; but a lower one does, too, and its lamps and pump need no converter."
        )

    return Choice(
        story=f"All else on board runs on 12 V. Above {say(COMFORTABLE, 'A')}, just above the cut-out, we move up.",
        facts=(given("Power into the inverter, at full rating", taken, "W"), Fact("Cut-outs", "10.5 V, 21 V and 42 V")),
        question="Which is the lowest system voltage that does it?",
        options=tuple(Option(f"{volts} V", why(volts), volts == right) for volts in currents),
        working=(work("I", "largest current", "P_dc/V_co", currents[right], "A", P_dc=(taken, "W"), V_co=(10.5 / 12.0 * right, "V")),),
        why="It is the most expensive early mistake: cable, fuses, chargers and converters all follow.",
        hints=("Power over the cut-out's voltage.",),
    )


@template("whole-day", "From the list to the battery")
def whole_day(draw, level):
    used = draw.amount("Wh", 300, 450, 600, 800)
    standby, hours = draw.amount("W", 8, 12, 15, 20), 24 if level == 1 else draw.one((8, 10, 12))
    direct = draw.amount("Wh", 150, 250, 400) if level > 1 else 0.0
    days, depth, voltage = draw.one((2, 3)), draw.one((0.5, 0.8)), draw.one((12.0, 24.0))
    losses = draw.one((1.1, 1.12)) if level == 3 else 1.0
    energy = used * losses + standby * hours * HOUR + direct
    value = battery.capacity_uncorrected(energy, days, voltage, depth)
    symbols = {
        "E_ac": (used, "Wh"),
        **({"k": (losses, "")} if level == 3 else {}),
        "P_0": (standby, "W"),
        "t_on": (hours * HOUR, "h"),
        **({"E_dc": (direct, "Wh")} if direct else {}),
    }
    steps = (
        work(
            "E",
            "energy of a day, from the battery",
            ("k*E_ac" if level == 3 else "E_ac") + " + P_0*t_on" + (" + E_dc" if direct else ""),
            energy,
            "Wh",
            **symbols,
        ),
        work("C", "capacity", "E*N/(V*d)", value, "Ah", E=(energy, "Wh"), N=(days, ""), V=(voltage, "V"), d=(depth, "%")),
    )

    def capacity(each):
        return battery.capacity_uncorrected(each, days, voltage, depth)

    mistakes = [
        Mistake(capacity(energy - standby * hours * HOUR), "You left out the standby."),
        Mistake(value * depth, f"That empties it. Only {say(depth, '%')} of it is to be used."),
        Mistake(value / days, "That is one day of it."),
    ]
    if hours < 24:
        mistakes.append(Mistake(capacity(energy + standby * (24 - hours) * HOUR), f"That is standby all day. It is on for {hours} hours."))
    if direct:
        mistakes.append(Mistake(capacity(energy - direct), "The loads on direct current draw on it, too."))
    if level == 3:
        mistakes.append(Mistake(capacity(energy - used * (losses - 1)), "The inverter takes more than it gives."))
    return Number(
        story="From a day's use to a battery that carries it without any charging, before factors for age and cold.",
        facts=(
            given("At the sockets, a day" if level == 3 else "Through the inverter, a day, its losses under load included", used, "Wh"),
            *([given("For each watt-hour at the sockets, without standby, the battery gives, in watt-hours", losses, "")] if level == 3 else []),
            given("Standby", standby, "W"),
            given("Inverter on, each day", hours * HOUR, "h"),
            *([given("Lamps, pump and fridge on direct current, a day", direct, "Wh")] if direct else []),
            Fact("Days", str(days)),
            given("Share of the battery that may be used", depth, "%"),
            given("Nominal voltage", voltage, "V"),
        ),
        question="What capacity is that, in Ah?",
        value=value,
        unit="Ah",
        mistakes=tuple(mistakes),
        working=steps,
        why="Each step feeds the next: change one, and all that follows changes. Then state it with a range.",
        hints=("First the energy of a day, standby and direct loads with it.", "Times the days, over the voltage and the share that may be used."),
    )


@template("say-it", "Which sentence goes on the sheet?")
def say_it(draw, level):
    likely = draw.one((6, 8, 10, 14))
    low, high = math.floor(0.75 * likely), math.ceil(1.25 * likely)
    watts = draw.one((60, 75, 100, 150))
    right = Option(
        f"About {likely} hours at {watts} W, between {low} and {high}; less in the cold; not with the kettle on top.",
        "A number, its range, its condition, and what it will not do.",
        True,
    )
    wrong = (
        Option(f"{likely} hours at {watts} W.", "Without a range it is a promise. The first cold night breaks it."),
        Option(f"Up to {high + 2} hours.", "“Up to” is the best case. The customer plans by it."),
        Option("Enough for a normal evening.", "Whose? Without a number nobody can check it."),
        Option(f"{likely * 1.07:.2f} hours at {watts} W.", "Three figures are not knowledge: the load alone is a guess."),
    )
    return Choice(
        story="The customer asks how long the evening's things will run.",
        question="Which sentence goes on the sheet?",
        options=tuple(draw.shuffled([right, *draw.some(wrong, 2 if level == 1 else 3)])),
        why="A range with every number, the conditions it holds under, and what it will not do.",
        hints=("What could the customer hold you to?",),
    )


_CHANGES = (
    (
        "The customer adds a hob plate of 1200 W, used beside everything else.",
        "Worst combination, inverter, cable, fuse, battery and recharge: all from there on",
        (
            ("The inverter alone", "Its current passes cable and fuse, and its energy comes from the battery."),
            ("The battery alone", "It is the largest load: inverter, cable and fuse come first."),
            ("Nothing: it is on for a short time only", "The current does not ask for how long."),
        ),
    ),
    (
        "The inverter moves from half a metre to three metres from the battery.",
        "Cable, volts lost and margin; the fuse stays at the battery",
        (
            ("The fuse moves with it, to the inverter", "The fuse protects the cable: it stays at the battery."),
            ("Only the length on the drawing", "Six more metres of copper there and back take volts."),
            ("The battery must be larger", "Its energy hardly changes. It is volts that are missing."),
        ),
    ),
    (
        "The customer will use it in winter, at freezing point, not in summer.",
        "Battery for the cold, panels for the sun of that month, charging rules below freezing",
        (
            ("The inverter must be larger", "Cold does it good. The battery suffers."),
            ("Nothing: electricity does not feel the cold", "Batteries and sun do."),
            ("Only the panels", "The battery holds less, and lithium must not be charged frozen."),
        ),
    ),
    (
        "The customer will leave the inverter on day and night, for a fridge.",
        "The day's energy by its standby; then battery and recharge",
        (
            ("Nothing: the fridge is small", "The inverter's own draw runs day and night."),
            ("Cable and fuse", "The current does not change. The hours do."),
            ("The size of the inverter, upwards", "A larger one draws more. A small one for the fridge alone may be better."),
        ),
    ),
)


@template("what-changes", "What changes on the sheet?")
def what_changes(draw, level):
    story, right, wrong = draw.one(_CHANGES)
    return Choice(
        story=story,
        question="What must be worked out anew?",
        options=tuple(draw.shuffled([Option(right, "", True), *(Option(*each) for each in draw.some(wrong, 2 if level == 1 else 3))])),
        why="Each step feeds the next: go down the list from the first that changes.",
        hints=("Does it change watts, hours, volts or place?",),
    )


@template("guess-battery", "Guess first: how much battery?")
def guess_battery(draw, level):
    used, standby, days, depth = draw.amount("Wh", 450, 700, 950, 1300), draw.amount("W", 9, 13, 18), draw.one((1, 2, 3)), draw.one((0.5, 0.8))
    voltage = 12.0 if level == 1 else draw.one((12.0, 24.0))
    energy = used + standby * DAY
    value = battery.capacity_uncorrected(energy, days, voltage, depth)
    return Estimate(
        story="Do not compute. The customer wants to know whether it fits under the seat.",
        facts=(
            given("Through the inverter, a day", used, "Wh"),
            given("Standby, day and night", standby, "W"),
            Fact("Days", str(days)),
            given("Share of the battery that may be used", depth, "%"),
            given("Nominal voltage", voltage, "V"),
        ),
        question="About how many amp-hours are needed, before factors for age and cold?",
        value=value,
        unit="Ah",
        working=(
            work("E", "energy of a day", "E_1 + P_0*t", energy, "Wh", E_1=(used, "Wh"), P_0=(standby, "W"), t=(DAY, "h")),
            work("C", "capacity", "E*N/(V*d)", value, "Ah", E=(energy, "Wh"), N=(days, ""), V=(voltage, "V"), d=(depth, "%")),
        ),
        why="At 12 V a thousand watt-hours are some eighty amp-hours; twice that where only half may be used.",
        hints=("A thousand watt-hours at 12 V are about eighty amp-hours.",),
    )


TEMPLATES = (wrong_sheet, which_voltage, whole_day, say_it, what_changes, guess_battery)
