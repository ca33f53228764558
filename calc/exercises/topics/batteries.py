"""Lesson 4: capacity, rate, voltage, resistance, and the limit of a battery's own protection."""

from calc.exercises.draws import Redraw, rounded
from calc.exercises.items import Check, Choice, Estimate, Fact, Mistake, Number, Option, given, work
from calc.exercises.templates import template
from calc.exercises.topics.common import HOUR, INVERTERS, inverter_facts, power_ac, power_dc, say, typed, work_power_ac, work_power_dc
from calc.physics import battery, circuit, conductor, measure

RATED_TIME = 20 * HOUR


def two_readings(draw, large=(60, 75, 90, 98, 110)):
    """What a meter and a clamp show at two loads: voltages to 10 mV, currents to 1 A."""
    rest = draw.one((12.4, 12.5, 12.6, 12.64, 12.7))
    resistance = draw.one((4, 5, 6, 7.5, 9, 12, 15, 20)) * 1e-3
    light, heavy = float(draw.one((2, 3, 4, 5))), float(draw.one(large))
    readings = [rounded(circuit.voltage_mean(rest, resistance, current), 0.01) for current in (light, heavy)]
    if readings[1] < 10.8 or readings[0] - readings[1] < 0.3:
        raise Redraw
    return readings[0], light, readings[1], heavy


@template("battery-resistance", "Two loads, one resistance")
def battery_resistance(draw, level):
    voltage_1, current_1, voltage_2, current_2 = two_readings(draw)
    step = round(voltage_1 - voltage_2, 2)
    resistance = measure.resistance_two_loads(step, current_2 - current_1)
    steps = [
        work(
            "R",
            "resistance",
            "(V_1 - V_2)/(I_2 - I_1)",
            resistance,
            "mΩ",
            "ohm",
            V_1=(voltage_1, "V"),
            V_2=(voltage_2, "V"),
            I_2=(current_2, "A"),
            I_1=(current_1, "A"),
        )
    ]
    facts = [Fact("Light load", f"{say(voltage_1, 'V')} at {say(current_1, 'A')}"), Fact("Heavy load", f"{say(voltage_2, 'V')} at {say(current_2, 'A')}")]
    value, unit, question, tolerance = resistance, "mΩ", "What is the battery's resistance, in mΩ?", 0.02
    mistakes = [
        Mistake(voltage_2 / current_2, "That is the voltage divided by the current, the resistance of the load. Take the differences of both."),
        Mistake(step / (current_1 + current_2), "That adds the currents. The step is their difference."),
        Mistake(step / current_2, "That leaves out the light load. It was not nothing."),
    ]
    if level == 2:
        value, unit, question = conductor.heat(current_2, resistance), "W", "How much heat does the heavy load make inside the battery, in W?"
        steps.append(work("P", "heat in the battery", "I_2**2*R", value, "W", "ohm", I_2=(current_2, "A"), R=(resistance, "mΩ")))
        mistakes = [
            Mistake(voltage_2 * current_2, "That is all the battery gives. Only what its own resistance takes is heat in it."),
            Mistake(current_2 * resistance, "Those are the volts it loses. Times the current, they are watts."),
            Mistake(step * current_1, "That is with the small current."),
            Mistake(
                conductor.heat(current_2, step / (current_1 + current_2)), "The resistance is off: that adds the currents, and the step is their difference."
            ),
        ]
    if level == 3:
        further = float(draw.one((130, 140, 150)))
        value, unit, question, tolerance = (
            circuit.voltage_mean(voltage_1 + current_1 * resistance, resistance, further),
            "V",
            f"What would the meter at the battery show at {say(further, 'A')}, in V?",
            0.005,
        )
        rest = measure.voltage_without_load(voltage_1, current_1, resistance)
        if value < 10.5:
            raise Redraw
        steps += [
            work("V_oc", "without any load", "V_1 + I_1*R", rest, "V", "ohm", V_1=(voltage_1, "V"), I_1=(current_1, "A"), R=(resistance, "mΩ")),
            work("V", "at the larger current", "V_oc - I*R", value, "V", "ohm", V_oc=(rest, "V"), I=(further, "A"), R=(resistance, "mΩ")),
        ]
        mistakes = [
            Mistake(voltage_2 - further * resistance, "That takes the whole drop off the reading at the heavy load. Start from the voltage without load."),
            Mistake(voltage_2, "That is the reading at the smaller load: more amps, more drop."),
            Mistake(rest - 2 * further * resistance, "The drop at the battery counts once. Both ways is for cable."),
        ]
    return Number(
        story="A meter stands on the battery's posts and a clamp round its cable. A heater is switched on; within half a minute the second pair is read.",
        facts=tuple(facts),
        question=question + (" Use R = (V_1 − V_2)/(I_2 − I_1)." if level == 1 else ""),
        value=value,
        unit=unit,
        tolerance=tolerance,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="Two pairs of readings say more than any voltage at rest. Use a large load: a small step drowns in the meter's last digit.",
        hints=(
            "How much did the voltage fall, and by how many amps did the current rise?",
            "Resistance is one divided by the other; millivolts over amps are milliohms.",
        ),
        check=(
            Check(
                "measure",
                {
                    "voltage_1": typed(voltage_1, "V"),
                    "current_1": typed(current_1, "A"),
                    "voltage_2": typed(voltage_2, "V"),
                    "current_2": typed(current_2, "A"),
                },
                "battery_resistance",
            )
            if level == 1
            else None
        ),
    )


@template("days-of-capacity", "Amp-hours for so many days")
def days_of_capacity(draw, level):
    energy = draw.amount("Wh", 400, 600, 800, 1100, 1500, 2000)
    days, depth, voltage = draw.one((1, 2, 3)), draw.one((0.5, 0.8)), draw.one((12.0, 24.0))
    cold, age = (draw.one((1.11, 1.19, 1.3)) if level == 3 else 1.0), (1.25 if level > 1 else 1.0)
    plain = battery.capacity_uncorrected(energy, days, voltage, depth)
    value = battery.capacity_required(plain, cold, age, 1.0)
    steps = [work("C_u", "before any factor", "E*N/(V*d)", plain, "Ah", E=(energy, "Wh"), N=(days, ""), V=(voltage, "V"), d=(depth, "%"))]
    factors = {**({"F_a": (age, "")} if age > 1 else {}), **({"F_T": (cold, "")} if cold > 1 else {})}
    if factors:
        steps.append(work("C", "to buy", "*".join(["C_u", *factors]), value, "Ah", "practice", C_u=(plain, "Ah"), **factors))
    mistakes = [
        Mistake(value * depth, f"That plans to empty it. Only {say(depth, '%')} of it may be used: divide by that."),
        Mistake(value * depth * depth, "That multiplies by the share that may be used. Divide by it."),
    ]
    if days > 1:
        mistakes.append(Mistake(value / days, "That is one day of it."))
    if level > 1:
        mistakes += [
            Mistake(plain, "That leaves out age, and cold where it is given. The battery must still do it in its last winter."),
            Mistake(plain / (age * cold), "That divides by the factors. Age and cold ask for more battery."),
        ]
    return Number(
        story="The battery must carry a number of days without any charging.",
        facts=(
            given("Energy a day, from the battery", energy, "Wh"),
            Fact("Days", str(days)),
            given("Nominal voltage", voltage, "V"),
            given("Share of the battery that may be used", depth, "%"),
            *([given("Factor for age", age, "")] if age > 1 else []),
            *([given("Factor for cold", cold, "")] if cold > 1 else []),
        ),
        question="What capacity is needed, in Ah?" + (" Use C = E·N/(V·d)." if level == 1 else ""),
        value=value,
        unit="Ah",
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="Factors for cold and age are above one and multiply what must be bought. Heat earns no credit.",
        hints=("Watt-hours over volts are amp-hours.", "Divide by the share that may be used; then multiply by the factors."),
    )


@template("at-this-rate", "Amp-hours at this rate")
def at_this_rate(draw, level):
    capacity = draw.amount("Ah", 80, 100, 110, 150, 200)
    peukert = draw.one((1.1, 1.15, 1.2, 1.25))
    current = draw.one((20.0, 25.0, 40.0, 50.0, 60.0, 80.0))
    time = battery.time_peukert(current, capacity, RATED_TIME, peukert)
    if not 0.4 < time / HOUR < 6:
        raise Redraw
    flat = capacity / current
    step = work("t", "time until empty", "H*(C/(I*H))**k", time, "h", "peukert", H=(RATED_TIME, "h"), C=(capacity, "Ah"), I=(current, "A"), k=(peukert, ""))
    if level == 1:
        value, unit, question, steps = time, "h", "For how many hours does a full one give this current until it is empty? Use t = H·(C/(I·H))^k.", (step,)
        mistakes = [Mistake(flat, "That is amp-hours over amps. It holds at the twenty-hour rate only.")]
    elif level == 2:
        value, unit, question = (
            current * time,
            "Ah",
            "How much charge does a full one give at this current until it is empty, in Ah? It lasts t = H·(C/(I·H))^k.",
        )
        steps = (step, work("Q", "charge it gives", "I*t", value, "Ah", I=(current, "A"), t=(time, "h")))
        mistakes = [
            Mistake(capacity, "That is the label. It holds at the twenty-hour rate only."),
            Mistake(capacity * (RATED_TIME * current / capacity) ** (peukert - 1), "A fast discharge gives less than the label, not more."),
        ]
    else:
        value, unit, question = time / 2, "h", "For how many hours does a full one give this current until half of what it can give at this rate is used?"
        steps = (step, work("t_half", "time until half", "t/2", value, "h", t=(time, "h")))
        mistakes = [Mistake(flat / 2, "That takes half of the label. At this rate it never gives the label."), Mistake(time, "That empties it.")]
    mistakes.append(
        Mistake(battery.time_peukert(current, capacity, RATED_TIME, 1 / peukert) * (current if unit == "Ah" else 1.0), "That has the exponent upside down.")
    )
    return Number(
        story="A lead-acid battery feeds a steady load.",
        facts=(
            given("Capacity C, at twenty hours", capacity, "Ah"),
            given("Rated time H", RATED_TIME, "h"),
            given("Exponent k, from its sheet", peukert, ""),
            given("Current I", current, "A"),
        ),
        question=question,
        value=value,
        unit=unit,
        mistakes=tuple(mistakes),
        working=steps,
        why="The amp-hours of lead-acid shrink as the amps grow. Those of lithium hardly do.",
        hints=("First C/(I·H), a number below one; then to the power of k.", "Times twenty hours."),
    )


@template("protection-limit", "The battery's own limit")
def protection_limit(draw, level):
    limit = draw.amount("A", 80, 100, 120, 150)
    rating, standby = draw.one([one for one in INVERTERS if one[0] >= 1500])
    rest, resistance = draw.one((13.0, 13.1, 13.2)), draw.one((6, 8, 9, 12)) * 1e-3
    voltage = draw.amount("V", 12.4, 12.6, 12.8) if level < 3 else circuit.voltage_mean(rest, resistance, limit)
    taken = voltage * limit
    value = taken if level == 1 else power_ac(taken, rating, standby)
    if value > 0.95 * rating:
        raise Redraw
    steps = [work("P_dc", "power at the limit", "V*I_max", taken, "W", V=(voltage, "V"), I_max=(limit, "A"))]
    if level == 3:
        steps.insert(
            0, work("V", "at the inverter at that current", "V_oc - I_max*R", voltage, "V", "ohm", V_oc=(rest, "V"), I_max=(limit, "A"), R=(resistance, "mΩ"))
        )
    if level > 1:
        steps.append(work_power_ac(taken, rating, standby))
    volts = (
        (given("At the inverter at that current", voltage, "V"),)
        if level < 3
        else (given("Battery without load", rest, "V"), given("Resistance of battery and path", resistance, "mΩ"))
    )
    facts = (
        given("Its protection opens above", limit, "A"),
        *volts,
        *(inverter_facts(rating, standby) if level > 1 else (given("Rating of the inverter", rating, "W"),)),
    )
    mistakes = [
        Mistake(rating, "That is the inverter's rating. The battery opens long before."),
        (
            Mistake(taken, "That is what the battery gives. The inverter's losses come off.")
            if level > 1
            else Mistake(limit * 12.0 * 0.9, "That is with twelve volts and ninety per cent. The question is what the battery gives.")
        ),
        Mistake(limit * 12.0, "That is with the twelve volts of the label."),
    ]
    if level == 3:
        mistakes.append(Mistake(power_ac(rest * limit, rating, standby), "That is with the voltage at rest. At this current it is lower."))
    return Number(
        story="“I have a lithium battery and a big inverter.” The battery's own protection opens above a current.",
        facts=facts,
        question=(
            "How much can the battery give the inverter, in W?" if level == 1 else "What is the largest load, in W? P_dc = P_0 + a·P + b·P²/P_r, solved for P."
        ),
        value=value,
        unit="W",
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="The smallest of three limits counts: the inverter's rating, the cut-out, and the battery's own protection.",
        hints=("Volts times amps, at the limit.", "What the inverter gives is less than it takes."),
    )


@template("running-time", "How long will it run?")
def running_time(draw, level):
    capacity, voltage = draw.amount("Ah", 100, 150, 200, 280), 12.8
    share = draw.one((0.8, 0.9))
    load = draw.amount("W", 20, 35, 60, 100, 150, 250, 400)
    rating, standby = draw.one(INVERTERS[2:])
    if load > rating / 2:
        raise Redraw
    taken = load if level == 1 else power_dc(load, rating, standby)
    usable = capacity * voltage * share
    beside = draw.amount("W", 20, 40) if level == 3 else 0.0
    value = usable / (taken + beside)
    steps = [work("E", "usable energy", "C*V*d", usable, "Wh", C=(capacity, "Ah"), V=(voltage, "V"), d=(share, "%"))]
    if level > 1:
        steps.append(work_power_dc(load, rating, standby))
    total = {"P_dc": (taken, "W"), **({"P_2": (beside, "W")} if beside else {})}
    steps.append(work("t", "time", f"E/({' + '.join(total)})" if beside else "E/P_dc", value, "h", E=(usable, "Wh"), **total))
    mistakes = [Mistake(capacity * voltage / (taken + beside), f"That empties it. Only {say(share, '%')} of it is to be used.")]
    if level > 1:
        mistakes += [
            Mistake(capacity * 12.0 / (load + beside), "That is amp-hours times twelve over watts: no losses, no standby, and nothing left in the battery."),
            Mistake(usable / (load + beside), "That leaves out what the inverter takes for itself."),
            Mistake(usable / (load / 0.9 + beside), "That is the flat 90 %. At a small load standby is the larger loss."),
        ]
    else:
        mistakes.append(Mistake(capacity / taken, "That is amp-hours over watts. Make watt-hours of the battery first."))
    if beside:
        mistakes.append(Mistake(usable / taken, "The direct loads draw on it as well."))
    return Number(
        story=(
            "A lithium battery, charged full, feeds one load."
            if level == 1
            else "A lithium battery, charged full, feeds one load through an inverter that is on for it."
        ),
        facts=(
            given("Capacity", capacity, "Ah"),
            given("Voltage while it gives", voltage, "V"),
            given("Share of it to be used", share, "%"),
            given("Load, straight from the battery" if level == 1 else "Load at the socket", load, "W"),
            *(inverter_facts(rating, standby) if level > 1 else ()),
            *([given("Lamps and pump, straight from the battery", beside, "W")] if beside else []),
        ),
        question="For how many hours?",
        value=value,
        unit="h",
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="Divide usable watt-hours by the watts the battery really gives. Say it with a range: the load is a guess.",
        hints=("Usable energy is amp-hours times volts times the share.", "Divide by what the battery gives: the inverter's draw, and all else that is on."),
    )


_READINGS = (
    (
        "A lead-acid battery shows 13.4 V while the charger is on. “So it is full.”",
        "Nothing yet: that is the charger's voltage. Let it rest for hours, then read.",
        (
            "It is full: 13.4 V is above any rest voltage.",
            "It is half full: take off one volt for the charger.",
            "The meter is wrong: lead-acid never shows that much.",
        ),
        (
            "That reads the charger. Behind it the battery may be half empty.",
            "No fixed amount can be taken off: it depends on current and charge.",
            "It does, whenever a charger pushes.",
        ),
    ),
    (
        "A lithium iron phosphate battery shows 13.2 V after an hour at rest.",
        "Hardly anything: anywhere over a wide middle it shows much the same. Count the amp-hours.",
        ("It is about 90 % full.", "It is full: 13.2 V is more than the 12.8 V of the label.", "It is nearly empty: a full one shows 14.4 V."),
        (
            "Lead-acid can be read so, roughly. This kind is nearly flat between a fifth and four fifths.",
            "The label's voltage is a name, not a state.",
            "That is the charging voltage. At rest even a full one shows far less.",
        ),
    ),
    (
        "A lead-acid battery shows 11.9 V while it gives 60 A to an inverter. “It is empty.”",
        "Not so: part of that is the drop of the current in the battery. Reckon V + I·R, or read it at rest.",
        (
            "It is empty: 11.9 V is the end of the table.",
            "It is three quarters full: add half a volt under load.",
            "It is broken: it must show 12 V under load.",
        ),
        (
            "The table is for a battery at rest, hours after charge and load.",
            "No fixed amount can be added: it depends on current and resistance.",
            "A sound one may show this at such a current.",
        ),
    ),
    (
        "A lead-acid battery shows 12.9 V ten minutes after the charger was switched off.",
        "Little: the surface still holds charge. Wait some hours, or read under a small load later.",
        (
            "It is full, with a little to spare.",
            "It is over-full: switch loads on at once.",
            "It is at three quarters: take off the charge of the surface, 0.2 V.",
        ),
        (
            "Surface charge lifts the reading; it may be far from full.",
            "A rest voltage a little high does no harm.",
            "How much the surface adds is not known, so nothing can be taken off.",
        ),
    ),
    (
        "A lead-acid battery has rested all night with nothing on and shows 12.2 V.",
        "About half full, give or take some ten points: that is what a rest voltage is good for.",
        ("Full enough: it is above 12 V.", "Empty: below 12.5 V nothing is left.", "Nothing: no voltage says anything."),
        (
            "Twelve volts at rest is nearly empty for this kind.",
            "At 12.5 V it is still well over half.",
            "After hours at rest, with nothing on, it does say something.",
        ),
    ),
)


@template("what-a-voltage-says", "What does this voltage say?")
def what_a_voltage_says(draw, level):
    story, right, others, whys = draw.one(_READINGS)
    kept = draw.some(list(zip(others, whys)), 2 if level == 1 else 3)
    return Choice(
        story=story,
        question="What does this reading say?",
        options=tuple(draw.shuffled([Option(right, "", True), *(Option(text, why) for text, why in kept)])),
        why="A voltage says how full a battery is only at rest, hours after charge and load; of lithium iron phosphate not even then.",
        hints=("Was it at rest, without charge and load, for hours?",),
    )


@template("guess-running-time", "Guess first: how long will it run?")
def guess_running_time(draw, level):
    capacity = draw.amount("Ah", 100, 120, 200, 280)
    load, (rating, standby) = draw.amount("W", 30, 50, 75, 120, 200), draw.one(INVERTERS[2:5])
    share, voltage = 0.9, 12.8
    taken, usable = power_dc(load, rating, standby), capacity * voltage * share
    return Estimate(
        story="Do not compute. What would you say on the phone, and with what range?",
        facts=(
            given("Lithium battery", capacity, "Ah"),
            given("Its voltage", voltage, "V"),
            given("Share of it to be used", share, "%"),
            given("Load at the socket", load, "W"),
            given("Standby of the inverter", standby, "W"),
        ),
        question="About how many hours does it run?",
        value=usable / taken,
        unit="h",
        working=(
            work("E", "usable energy", "C*V*d", usable, "Wh", C=(capacity, "Ah"), V=(voltage, "V"), d=(share, "%")),
            work_power_dc(load, rating, standby),
            work("t", "time", "E/P_dc", usable / taken, "h", E=(usable, "Wh"), P_dc=(taken, "W")),
        ),
        why="Round the battery to a thousand watt-hours for each hundred amp-hours at 12 V, and add the standby to the load.",
        hints=("A hundred amp-hours at 12.8 V are a little over a thousand watt-hours.",),
    )


TEMPLATES = (battery_resistance, days_of_capacity, at_this_rate, protection_limit, running_time, what_a_voltage_says, guess_running_time)
