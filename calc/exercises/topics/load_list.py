"""Lesson 2: what must run, what it takes, and which of it runs together."""

from calc.exercises.draws import Redraw
from calc.exercises.items import Check, Choice, Estimate, Fact, Faults, Line, Mistake, Number, Option, given, work
from calc.exercises.templates import template
from calc.exercises.topics.common import HOUR, INVERTERS, inverter_facts, power_dc, say, typed, work_power_dc
from calc.physics import circuit, load
from calc.units import capitalised

HEATERS = (
    ("kettle", (1000, 1200, 1500)),
    ("toaster", (800, 900)),
    ("hair dryer", (1000, 1200)),
    ("coffee machine", (1000, 1300, 1400)),
    ("hob plate", (1200, 1400)),
)
SMALL = (("laptop", (45, 60)), ("screen", (30, 40, 60)), ("lamps", (15, 20, 30)), ("router", (8, 10)), ("game console", (90, 120)), ("blanket", (60, 90)))
MOTORS = (
    ("fridge", (80, 90, 110), (5, 6), 0.65),
    ("water pump", (300, 400), (4, 5), 0.7),
    ("vacuum cleaner", (500, 700), (2.5, 3), 0.9),
    ("compressor", (350, 500), (5, 6), 0.7),
)
SIZES = (300.0, 600.0, 1000.0, 1500.0, 2000.0, 2500.0, 3000.0, 4000.0, 5000.0)
"""Ratings as they are sold, VA: common practice."""


@template("label-trap", "The label of a microwave oven")
def label_trap(draw, level):
    cooking = draw.amount("W", 600, 700, 800, 900)
    efficiency = draw.one((0.55, 0.58, 0.62, 0.65))
    power = load.power_input_from_cooking(cooking, efficiency)
    rating, standby = draw.one(INVERTERS[3:])
    voltage = draw.amount("V", 12.2, 12.4, 12.6)
    steps = [work("P", "power at the socket", "P_cook/eta", power, "W", P_cook=(cooking, "W"), eta=(efficiency, "%"))]
    facts = [given("On the label", cooking, "W"), given("Cooking power over input", efficiency, "%")]
    label = "That takes the label for the input. It is the power that reaches the food."
    if level == 1:
        value, unit, question = power, "W", "What does it take from the socket, in W?"
        mistakes = [
            Mistake(cooking, label),
            Mistake(cooking * 2, "That is the rule of doubling. It overshoots here."),
            Mistake(cooking * efficiency, "That multiplies by the efficiency. What goes in is more than what comes out."),
        ]
    else:
        facts += inverter_facts(rating, standby)
        taken = power_dc(power, rating, standby)
        steps.append(work_power_dc(power, rating, standby))
        value, unit, question, per = taken, "W", "What does the inverter take from the battery while it cooks, in W?", 1.0
        if level == 3:
            facts.append(given("At the battery under this load", voltage, "V"))
            per, value, unit, question = (
                voltage,
                circuit.current_constant_power(taken, voltage, 0.0, 0.0),
                "A",
                "What current does the battery give while it cooks, in A?",
            )
            steps.append(work("I", "current", "P_dc/V", value, "A", P_dc=(taken, "W"), V=(voltage, "V")))
        mistakes = [
            Mistake(power_dc(cooking, rating, standby) / per, label),
            Mistake(power / per, "That leaves out the inverter's own losses."),
            Mistake(cooking / per, f"{label} The inverter's losses are missing too."),
            Mistake(power_dc(2 * cooking, rating, standby) / per, "That is the rule of doubling. It overshoots here."),
        ]
    return Number(
        story=f"“My microwave is only {say(cooking, 'W')}, so your inverter will laugh at it.”",
        facts=tuple(facts),
        question=question,
        value=value,
        unit=unit,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="Watts on a microwave oven are cooking watts. Read the input off the type plate, or measure it.",
        hints=("The label gives what reaches the food.", "Input is cooking power divided by the efficiency; the inverter's losses come on top."),
    )


def _drawn_loads(draw, heaters, small):
    """Names and powers of appliances, heaters first."""
    return [(name, draw.amount("W", *powers)) for name, powers in (*draw.some(HEATERS, heaters), *draw.some(SMALL, small))]


@template("worst-combination", "What runs together")
def worst_combination(draw, level):
    loads = _drawn_loads(draw, 2 if level < 3 else 3, 2 if level == 1 else 3)
    heaters = [one for one in loads if one[0] in dict(HEATERS)]
    others = loads[len(heaters) :]
    direct = ("water pump on 12 V", draw.amount("W", 60, 90)) if level == 3 else None
    hottest = max(power for _, power in heaters)
    value = hottest + sum(power for _, power in others)
    everything = sum(power for _, power in loads)
    group = ", ".join(name for name, _ in heaters)
    mistakes = [
        Mistake(everything, f"That adds every appliance. The customer agreed to one of these at a time: {group}."),
        Mistake(hottest, "That is the largest alone. The small ones run beside it."),
        Mistake(value - hottest + min(power for _, power in heaters), f"That takes the smallest of these: {group}. The worst case takes the largest."),
    ]
    if direct:
        mistakes.append(Mistake(value + direct[1], f"The {direct[0]} does not run on the inverter."))
    rows = [{"name": name, "power": typed(power, "W"), "group": "one of them" if (name, power) in heaters else "", "supply": "ac"} for name, power in loads]
    symbols = {f"P_{place}": (power, "W") for place, power in enumerate([hottest, *(power for _, power in others)], 1)}
    return Number(
        story=f"Only one of these is ever on: {group}. All the others may run at any time.",
        facts=tuple(given(capitalised(name), power, "W") for name, power in [*loads, *([direct] if direct else [])]),
        question="What is the most the inverter must carry at once, in W?",
        value=value,
        unit="W",
        mistakes=tuple(mistakes),
        working=(work("P", "the largest of the group and all the others", " + ".join(symbols), value, "W", **symbols),),
        why="Agree with the customer what runs together, write it down, and size for that: not for all of it, and not for the largest alone.",
        hints=("From the group take the largest only.",),
        check=Check("load-list", {"loads": rows}, "power_running"),
    )


@template("worst-start", "The worst start")
def worst_start(draw, level):
    name, powers, factors, power_factor = draw.one(MOTORS)
    power, factor = draw.amount("W", *powers), draw.one(factors)
    apparent = power if level == 1 else round(load.apparent_power(power, power_factor))
    others = [(each, draw.amount("W", *watts)) for each, watts in draw.some(SMALL, level)]
    beside = sum(watts for _, watts in others)
    start = load.starting_apparent_power(apparent, factor)
    value = start + beside
    mistakes = [
        Mistake(2 * apparent + beside, "That is “double it”. This motor's own factor is given."),
        Mistake(start, "That is the start alone. The others are running already."),
        Mistake(apparent + beside, "That is everything running. The start is what trips it."),
        Mistake(start + apparent + beside, "That counts the motor twice: while it starts, it does not run as well."),
        Mistake(factor * (apparent + beside), "That multiplies all of it. Only the motor starts."),
    ]
    if level > 1:
        mistakes.insert(
            0, Mistake(load.starting_apparent_power(power, factor) + beside, "That takes the motor's watts. A start is a current: take its volt-amps.")
        )
    motor = (
        (given(f"{capitalised(name)}, running", apparent, "VA"),)
        if level < 3
        else (given(f"{capitalised(name)}, real power", power, "W"), given("Its power factor", power_factor, ""))
    )
    if level == 3:
        apparent = load.apparent_power(power, power_factor)
        start = load.starting_apparent_power(apparent, factor)
        value = start + beside
    symbols = {f"S_{place}": (watts, "VA") for place, (_, watts) in enumerate(others, 1)}
    steps = [
        work("S_start", "while it starts", "k*S", start, "VA", k=(factor, ""), S=(apparent, "VA")),
        work("S_all", "with the others running", " + ".join(["S_start", *symbols]), value, "VA", S_start=(start, "VA"), **symbols),
    ]
    if level == 3:
        steps.insert(0, work("S", "running", "P/PF", apparent, "VA", P=(power, "W"), PF=(power_factor, "")))
    return Number(
        story=f"A {name} starts while other things run. Add volt-amps to volt-amps: that errs on the safe side.",
        facts=(*motor, Fact("It starts with", f"{factor:g} times that"), *(given(f"{capitalised(each)}, running", watts, "VA") for each, watts in others)),
        question="What must the inverter give for a moment, in VA?",
        value=value,
        unit="VA",
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="A surge on a box counts only if it lasts as long as the start, and if the battery and its cable can deliver it.",
        hints=("While a motor starts, it takes its running volt-amps times its factor.", "All the others go on running."),
    )


@template("which-rating", "Which size of inverter?")
def which_rating(draw, level):
    name, powers, _, factor = draw.one(MOTORS[1:])
    power = draw.amount("W", *powers)
    loads = _drawn_loads(draw, 2, 2)
    heaters, others = loads[:2], sum(watts for _, watts in loads[2:])
    hottest = max(watts for _, watts in heaters)
    apparent = load.apparent_power(power, factor)
    needed = hottest + others + apparent
    everything = sum(watts for _, watts in loads) + apparent

    def size(demand):
        return next((one for one in SIZES if one >= demand), None)

    right = size(needed)
    wrong = {
        size(everything): "That adds both heaters. Only one of them is on at a time, and a larger inverter draws more day and night.",
        size(hottest + others + power): "That adds watts. The motor's volt-amps are more, and they are what the inverter must carry.",
        size(hottest): "That is for the largest alone. The others run beside it.",
        size(2 * needed): "That is twice what is needed: it costs standby every hour of the year.",
    }
    found = [(one, why) for one, why in wrong.items() if one and one != right]
    together = load.apparent_power_of_sum(hottest + others + power, load.reactive_power(power, apparent))
    if right is None or len(found) < 2 or needed > 0.97 * right or size(together) != right:  # whichever way volt-amps are added
        raise Redraw
    options = [
        Option(say(right, "VA"), f"It carries the {say(round(needed), 'VA')} that can run together, and is no larger than it must be.", True, right),
        *(Option(say(one, "VA"), why, value=one) for one, why in found[: 2 if level == 1 else 3]),
    ]
    return Choice(
        story=f"Only one of these is ever on: {heaters[0][0]}, {heaters[1][0]}. All the others may run at any time, and no start is worse than that.",
        facts=(*(given(capitalised(each), watts, "W") for each, watts in loads), given(capitalised(name), power, "W"), given("Its power factor", factor, "")),
        question="Which is the smallest size that carries it?",
        options=tuple(draw.shuffled(options)),
        working=(
            work("S", f"volt-amps of the {name}", "P/PF", apparent, "VA", P=(power, "W"), PF=(factor, "")),
            work("S_all", "together", "P_1 + P_2 + S", needed, "VA", P_1=(hottest, "W"), P_2=(others, "W"), S=(apparent, "VA")),
        ),
        why="No bigger than it must be: the next size draws more with nothing plugged in.",
        hints=("One heater, all the small ones, and the motor in volt-amps.",),
    )


@template("day-sheet", "Find the error: the energy of a day")
def day_sheet(draw, level):
    count = level + 1
    loads = [(name, draw.amount("W", *powers), draw.one((4, 6, 10, 15)) / 60) for name, powers in draw.some(HEATERS, 3)]
    loads += [(name, draw.amount("W", *powers), draw.one((2, 3, 5, 6))) for name, powers in draw.some(SMALL, 3)]
    wrong = draw.some(range(len(loads)), count)
    lines = []
    for place, (name, power, hours) in enumerate(loads):
        time = f"{say(hours * HOUR, 'h')}" if hours >= 1 else f"{say(hours * HOUR, 'min')}"
        energy = load.energy_of_use(power, 1.0, hours * HOUR, 1)
        shown, why = energy, ""
        if place in wrong:
            if hours < 1:
                shown, why = (
                    load.energy_of_use(power, 1.0, 0.6 * hours * HOUR, 1),
                    f"The minutes were written behind the point. {time} are {hours:.2g} h, so it is {say(round(energy / HOUR) * HOUR, 'Wh')}.",
                )
                if draw.below(2):
                    shown, why = (
                        load.energy_of_use(power, 1.0, HOUR, 1),
                        f"That is a whole hour of it. In {time} it is {say(round(energy / HOUR) * HOUR, 'Wh')}.",
                    )
            else:
                shown, why = (load.energy_of_use(power, 1.0, HOUR, 1), f"Those are the watts, written down as watt-hours. In {time} it is {say(energy, 'Wh')}.")
                if draw.below(2):
                    shown, why = energy * 10, f"A decimal place too many: it is {say(energy, 'Wh')}."
            if abs(shown - energy) < 0.15 * energy:
                raise Redraw
        lines.append(Line(f"{capitalised(name)}: {say(power, 'W')} for {time} = {say(round(shown / HOUR) * HOUR, 'Wh')}", why))
    return Faults(
        story="A colleague wrote this day's energy at the socket, in whole watt-hours.",
        question="Which lines are wrong?",
        lines=tuple(draw.shuffled(lines)),
        why="Say each line aloud: so many watts for so long. A toaster is a hundred watt-hours, not a thousand.",
        hints=("Two thirds of an hour are 40 minutes; 6 minutes are a tenth of an hour.",),
    )


@template("guess-day", "Guess first: a day of appliances")
def guess_day(draw, level):
    loads = [(name, draw.amount("W", *powers), draw.one((5, 10, 15)) / 60) for name, powers in draw.some(HEATERS, 1)]
    loads += [(name, draw.amount("W", *powers), draw.one((2, 3, 4))) for name, powers in draw.some(SMALL, 1 + level)]
    energies = [load.energy_of_use(power, 1.0, hours * HOUR, 1) for _, power, hours in loads]
    symbols = {f"E_{place}": (energy, "Wh") for place, energy in enumerate(energies, 1)}
    return Estimate(
        story="Do not compute. Look at the list and say a number with a range.",
        facts=tuple(Fact(capitalised(name), f"{say(power, 'W')}, {say(hours * HOUR, 'h' if hours >= 1 else 'min')}") for name, power, hours in loads),
        question="About how much energy is that at the socket in a day, in Wh?",
        value=sum(energies),
        unit="Wh",
        working=(
            *(
                work(symbol, name, "P*t", energy, "Wh", P=(power, "W"), t=(hours * HOUR, "h"))
                for (symbol, (energy, _)), (name, power, hours) in zip(symbols.items(), loads)
            ),
            work("E", "energy of the day", " + ".join(symbols), sum(energies), "Wh", **symbols),
        ),
        why="A guess before the sum finds the slip after it.",
        hints=("Ten minutes are a sixth of an hour.",),
    )


TEMPLATES = (label_trap, worst_combination, worst_start, which_rating, day_sheet, guess_day)
