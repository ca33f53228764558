"""Lesson 3: the energy of a day, and what standby takes of it."""

from calc.exercises.draws import Redraw
from calc.exercises.items import Check, Estimate, Fact, Mistake, Number, given, work
from calc.exercises.templates import template
from calc.exercises.topics.common import DAY, HOUR, INVERTERS, LOSSES, inverter_facts, nominal, power_dc, say, typed, work_power_dc
from calc.physics import battery, inverter, use


@template("standby-charge", "The cost of being ready")
def standby_charge(draw, level):
    power = draw.amount("W", 6, 8, 10, 12, 15, 18, 20, 25, 30, 35)
    voltage = draw.amount("V", 12.8, 12.8, 13.2, 25.6, 51.2)
    hours = 24 if level == 1 else draw.one((9, 10, 14, 16, 20))
    days = draw.one((2, 3, 5, 7)) if level == 3 else 1
    time = days * hours * HOUR
    charge = battery.charge_over_time(power, voltage, time)
    low = nominal(voltage)
    facts = (given("Standby power", power, "W"), given("Left on", hours * HOUR, "h"), given("Battery voltage", voltage, "V"))
    mistakes = (
        Mistake(battery.charge_over_time(power, low, time), f"That is with the {say(low, 'V')} of the label; the battery stands at {say(voltage, 'V')}."),
        Mistake(power * time, "Those are watt-hours. Divide by the battery's voltage to get amp-hours."),
        Mistake(power / voltage * HOUR, "That is the current, or one hour of it. It runs on for all the hours."),
        Mistake(charge / days, "That is one day of it."),
    )
    return Number(
        story=f"An inverter is left on with nothing plugged in{f', for {days} days' if days > 1 else ''}.",
        facts=facts,
        question=f"How much charge does it take from the battery in {f'the {days} days' if days > 1 else 'that time'}, in Ah?"
        + (" Use Q = P·t/V." if level == 1 else ""),
        value=charge,
        unit="Ah",
        mistakes=mistakes,
        working=(
            work("I", "current", "P_0/V", power / voltage, "A", P_0=(power, "W"), V=(voltage, "V")),
            (
                work(
                    "Q",
                    f"charge taken{f', over {days} days' if days > 1 else ''}",
                    "I*t*N",
                    charge,
                    "Ah",
                    I=(power / voltage, "A"),
                    t=(hours * HOUR, "h"),
                    N=(days, ""),
                )
                if days > 1
                else work("Q", "charge taken", "I*t", charge, "Ah", I=(power / voltage, "A"), t=(hours * HOUR, "h"))
            ),
        ),
        why="A few watts count because they never stop. Ask of every inverter: what does it draw with nothing plugged in?",
        hints=("First find the current: power over the battery's own voltage.", "Then multiply by all the hours it is on."),
        check=(
            Check("standby", {"standby_power": typed(power, "W"), "hours_on": typed(hours * HOUR, "h"), "voltage_dc": typed(voltage, "V")}, "charge_per_day")
            if days == 1
            else None
        ),
    )


@template("standby-days", "Days until the limit")
def standby_days(draw, level):
    power = draw.amount("W", 8, 10, 12, 15, 18, 20, 25, 30)
    voltage = draw.amount("V", 12.8, 25.6)
    capacity = draw.amount("Ah", 80, 100, 120, 150, 200, 280)
    depth = 1.0 if level == 1 else draw.one((0.5, 0.8, 0.6))
    hours = 24 if level < 3 else draw.one((10, 12, 16))
    charge = battery.charge_over_time(power, voltage, hours * HOUR)
    days = depth * capacity / charge
    if not 0.8 < days < 25:
        raise Redraw
    low = nominal(voltage)
    limit = "the battery is empty" if depth == 1 else f"{say(depth, '%')} of it is used"
    mistakes = [
        Mistake(
            capacity * depth * low / (power * hours * HOUR) * DAY, f"That is with the {say(low, 'V')} of the label; the battery stands at {say(voltage, 'V')}."
        ),
        Mistake(depth * capacity / power, "Those are amp-hours divided by watts. Find the current first, or the watt-hours of the battery."),
    ]
    if depth < 1:
        mistakes.append(Mistake(days * DAY / depth, f"That empties the battery. Only {say(depth, '%')} of it may be used."))
    if hours < 24:
        mistakes.append(Mistake(days * DAY * hours / 24, f"That is with the inverter on all day. It is on for {hours} hours."))
    return Number(
        story="A van is parked with its inverter left on and nothing else running.",
        facts=(
            given("Standby power", power, "W"),
            given("Left on each day", hours * HOUR, "h"),
            given("Battery", capacity, "Ah"),
            given("Battery voltage", voltage, "V"),
            *([given("Share of it that may be used", depth, "%")] if depth < 1 else []),
        ),
        question=f"After how many days is it that {limit}?" + (" Find the charge of one day first." if level == 1 else ""),
        value=days * DAY,
        unit="day",
        mistakes=tuple(mistakes),
        working=(
            work("Q", "charge a day", "P_0/V*t_on", charge, "Ah", P_0=(power, "W"), V=(voltage, "V"), t_on=(hours * HOUR, "h")),
            work("t", "days until the limit", "d*C/Q*t_day", days * DAY, "day", d=(depth, "%"), C=(capacity, "Ah"), Q=(charge, "Ah"), t_day=(DAY, "day")),
        ),
        why="Say standby in days of battery: the customer has no picture of ten watts, but has one of Friday.",
        hints=("Charge a day is current times the hours it is on.", "Share allowed times capacity, divided by the charge of one day."),
        check=Check(
            "standby",
            {
                "standby_power": typed(power, "W"),
                "hours_on": typed(hours * HOUR, "h"),
                "voltage_dc": typed(voltage, "V"),
                "battery_capacity": typed(capacity, "Ah"),
                "depth_limit": typed(depth, "%"),
            },
            "days_to_depth_limit",
        ),
    )


@template("part-load", "A small load on a large inverter")
def part_load(draw, level):
    rating, standby = draw.one(INVERTERS[1:])
    load = draw.amount("W", 20, 30, 40, 50, 60, 75, 90, 120)
    hours = draw.one((2, 3, 4, 5, 6, 8))
    always_on = level == 3
    power = power_dc(load, rating, standby)
    energy = use.energy_via_inverter(power, hours * HOUR, standby, 24 * HOUR if always_on else hours * HOUR)
    mistakes = (
        Mistake(load * hours * HOUR / 0.9, "That is the flat 90 %. At a small load, standby is the larger part of the loss."),
        Mistake(load * hours * HOUR, "That is what the appliance gets. The inverter's own draw comes on top."),
        Mistake((power - standby) * hours * HOUR, "You left out the standby power. It is drawn while the load runs, too."),
        (
            Mistake(power * hours * HOUR, "The inverter stays on for the rest of the day: add its standby.")
            if always_on
            else Mistake(power * hours * HOUR + standby * (24 - hours) * HOUR, "That is with the inverter on all day. It is on only while the load runs.")
        ),
    )
    steps = [
        work_power_dc(load, rating, standby),
        work("E", "energy while it runs", "P_dc*t", power * hours * HOUR, "Wh", P_dc=(power, "W"), t=(hours * HOUR, "h")),
    ]
    if always_on:
        steps.append(
            work(
                "E_day",
                "energy of the day",
                "E + P_0*t_rest",
                energy,
                "Wh",
                E=(power * hours * HOUR, "Wh"),
                P_0=(standby, "W"),
                t_rest=((24 - hours) * HOUR, "h"),
            )
        )
    return Number(
        story=f"One load of {say(load, 'W')} runs for {hours} hours a day on an inverter of {say(rating, 'W')}. "
        + ("The inverter stays on for the whole day." if always_on else "The inverter is switched on for it and off again."),
        facts=(given("Load", load, "W"), given("Hours a day", hours * HOUR, "h"), *inverter_facts(rating, standby)),
        question="How much energy does that take from the battery in a day, in Wh?" + (" Use P_dc = P_0 + a·P + b·P²/P_r." if level == 1 else ""),
        value=energy,
        unit="Wh",
        mistakes=mistakes,
        working=tuple(steps),
        why="The efficiency on the sheet belongs to a large load. For small ones, count standby in watts.",
        hints=(
            "Power from the battery: P_dc = P_0 + a·P + b·P²/P_r.",
            "Multiply by the hours. Where the inverter stays on, its standby runs through the rest of the day.",
        ),
    )


@template("ac-or-dc", "Through the inverter, or straight from the battery")
def ac_or_dc(draw, level):
    rating, standby = draw.one(INVERTERS[1:])
    name, loads = draw.one(
        (("breathing aid without its humidifier", (8, 10, 12)), ("router", (5, 6, 8)), ("laptop", (30, 45, 60)), ("small screen", (15, 20, 25)))
    )
    load = draw.amount("W", *loads)
    hours = draw.one((4, 6, 8, 10))
    days = 1 if level == 1 else draw.one((2, 3, 4))
    voltage = draw.amount("V", 12.8, 12.6)
    brick, adaptor = draw.one(((0.88, 0.9), (0.85, 0.92), (0.9, 0.92)))
    via_ac = use.energy_via_inverter(power_dc(load / brick, rating, standby), hours * HOUR, standby, hours * HOUR)
    via_dc = use.energy_direct(load, adaptor, hours * HOUR)
    saved = (via_ac - via_dc) * days
    value, unit = (saved / voltage, "Ah") if level == 3 else (saved, "Wh")
    power = via_ac / (hours * HOUR)
    steps = [
        work(
            "P_dc",
            "power through the inverter",
            "P_0 + a*P/eta_ac + b*(P/eta_ac)**2/P_r",
            power,
            "W",
            "loss-model",
            P_0=(standby, "W"),
            a=(LOSSES[0], ""),
            P=(load, "W"),
            eta_ac=(brick, "%"),
            b=(LOSSES[1], ""),
            P_r=(rating, "W"),
        ),
        work("P_direct", "power straight from the battery", "P/eta_dc", load / adaptor, "W", P=(load, "W"), eta_dc=(adaptor, "%")),
        work("E", "energy saved", "(P_dc - P_direct)*t*N", saved, "Wh", P_dc=(power, "W"), P_direct=(load / adaptor, "W"), t=(hours * HOUR, "h"), N=(days, "")),
    ]
    per = voltage if level == 3 else 1.0
    if level == 3:
        steps.append(work("Q", "charge saved", "E/V", value, "Ah", E=(saved, "Wh"), V=(voltage, "V")))
    mistakes = [
        Mistake((via_ac - standby * hours * HOUR - via_dc) * days / per, "You left out the standby power, which is most of it here."),
        Mistake(via_ac * days / per, "That is the whole of it through the inverter. Take off what the direct way needs."),
        Mistake(via_dc * days / per, "That is what the direct way needs. The saving is the difference."),
    ]
    if days > 1:
        mistakes.append(Mistake(saved / days / per, "That is one night of it."))
    if level == 3:
        mistakes.append(Mistake(saved, "Those are watt-hours. Divide by the battery's voltage."))
    return Number(
        story=f"A {name} runs {hours} hours a night on mains power from an inverter that is on for it alone. A direct adaptor would do as well.",
        facts=(
            given("Power the device takes", load, "W"),
            given("Hours a night", hours * HOUR, "h"),
            Fact("Nights", str(days)),
            *inverter_facts(rating, standby),
            given("Mains adaptor, efficiency", brick, "%"),
            given("Direct adaptor, efficiency", adaptor, "%"),
            *([given("Battery voltage", voltage, "V")] if level == 3 else []),
        ),
        question=f"What does the direct adaptor save, in {unit}?" + (" P_dc = P_0 + a·P + b·P²/P_r, with P at the socket." if level == 1 else ""),
        value=value,
        unit=unit,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="A small load that runs for hours belongs on direct current. For a breathing aid, keep a fallback and ask the clinician.",
        hints=(
            "At the socket the mains adaptor takes P divided by its efficiency.",
            "Straight from the battery: P divided by the direct adaptor's efficiency, times the hours.",
        ),
    )


@template("search-mode", "What search mode saves")
def search_mode(draw, level):
    standby = draw.amount("W", 12, 15, 18, 20, 25, 30)
    search = draw.amount("W", 1, 1.5, 2, 3)
    share = draw.one((0.1, 0.2, 0.25, 0.4, 0.5))
    mean = inverter.idle_power_average(standby, search, share)
    steps = [work("P", "average power", "P_search + w*(P_0 - P_search)", mean, "W", P_search=(search, "W"), w=(share, "%"), P_0=(standby, "W"))]
    value, unit, per = mean, "W", 1.0
    if level == 2:
        value, unit, per = mean * DAY, "Wh", DAY
        steps.append(work("E", "energy a day", "P*t", value, "Wh", P=(mean, "W"), t=(DAY, "h")))
    if level == 3:
        value, unit, per = (standby - mean) * DAY, "Wh", DAY
        steps.append(work("E", "energy saved a day", "(P_0 - P)*t", value, "Wh", P_0=(standby, "W"), P=(mean, "W"), t=(DAY, "h")))
    wrong = (
        (search, "That counts the search power alone. Something wakes the inverter for part of the time."),
        (standby * share, "You left out what it draws while it searches."),
        (search + share * standby, "While it is awake it does not search as well: it draws one or the other."),
    )
    mistakes = tuple(Mistake((standby - power if level == 3 else power) * per, why) for power, why in wrong)
    return Number(
        story="An inverter searches for a load and stays awake while it finds one, such as a clock display or a charger.",
        facts=(
            given("Power awake, nothing else on", standby, "W"),
            given("Power while searching", search, "W"),
            given("Awake for this share of the time", share, "%"),
        ),
        question={
            1: "What does it draw on average, in W?",
            2: "What does it take from the battery in a day, in Wh?",
            3: "What does search mode save in a day against staying awake, in Wh?",
        }[level],
        value=value,
        unit=unit,
        mistakes=mistakes,
        working=tuple(steps),
        why="Quote the average, never the search figure alone: a display of a few watts keeps an inverter awake all day.",
        hints=(
            "The average is one power for part of the time and the other for the rest.",
            "P_search + w·(P_0 − P_search), then times 24 hours where a day is asked.",
        ),
        check=(
            Check(
                "standby",
                {"standby_power": typed(standby, "W"), "search_power": typed(search, "W"), "wake_fraction": typed(share, "%"), "hours_on": "24 h"},
                "power_average",
            )
            if level == 1
            else None
        ),
    )


@template("guess-standby", "Guess first: a night of standby")
def guess_standby(draw, level):
    power = draw.amount("W", 7, 9, 13, 17, 22, 28)
    voltage = draw.amount("V", 12.8, 25.6)
    hours = draw.one((9, 10, 11, 13)) if level == 1 else draw.one((24, 38, 60))
    charge = battery.charge_over_time(power, voltage, hours * HOUR)
    return Estimate(
        story="Do not compute. Say a number you would give on the phone, and the range you would stand by.",
        facts=(given("Standby power", power, "W"), given("Left on", hours * HOUR, "h"), given("Battery voltage", voltage, "V")),
        question="About how many amp-hours does it take?",
        value=charge,
        unit="Ah",
        working=(work("Q", "charge taken", "P_0/V*t", charge, "Ah", P_0=(power, "W"), V=(voltage, "V"), t=(hours * HOUR, "h")),),
        why="Ten watts at 12.8 V are a little under an amp: hours and amp-hours are then nearly the same number.",
        hints=("Ten watts at 12 V are a bit less than one amp; at 24 V, half of that.",),
    )


TEMPLATES = (standby_charge, standby_days, part_load, ac_or_dc, search_mode, guess_standby)
