"""Lesson 1: power, energy, charge, current, and the difference between W and VA."""

from calc.exercises.draws import Redraw
from calc.exercises.items import Check, Choice, Mistake, Number, Option, given, work
from calc.exercises.templates import template
from calc.exercises.topics.common import HOUR, INVERTERS, LOSSES, inverter_facts, inverter_typed, nominal, say, typed
from calc.physics import battery, circuit, inverter, load


@template("amps-from-watts", "Amps from watts")
def amps_from_watts(draw, level):
    power = draw.amount("W", 60, 90, 150, 240, 400, 600, 850, 1200)
    voltage = draw.amount("V", 12.8, 13.2, 25.6, 51.2)
    efficiency = draw.one((0.8, 0.85, 0.88)) if level > 1 else 1.0
    hours = draw.one((0.5, 1.5, 2, 3)) if level == 3 else None
    taken = power / efficiency
    current = circuit.current_constant_power(taken, voltage, 0.0, 0.0)
    value, unit, times = (battery.charge_over_time(taken, voltage, hours * HOUR), "Ah", hours * HOUR) if hours else (current, "A", 1.0)
    label = nominal(voltage)
    steps = [
        (
            work("I", "current", "P/(eta*V)", current, "A", P=(power, "W"), eta=(efficiency, "%"), V=(voltage, "V"))
            if level > 1
            else work("I", "current", "P/V", current, "A", P=(power, "W"), V=(voltage, "V"))
        )
    ]
    if hours:
        steps.append(work("Q", "charge taken", "I*t", value, "Ah", I=(current, "A"), t=(times, "h")))
    mistakes = [
        Mistake(taken / label * times, f"That is with the {say(label, 'V')} of the label. Use the voltage the battery really has: {say(voltage, 'V')}."),
        (
            Mistake(power / voltage * times, "That is what the appliance gets. The inverter takes more than it gives.")
            if level > 1
            else Mistake(power * voltage, "That is volts times watts. Amps are watts divided by volts.")
        ),
        Mistake(power * efficiency / voltage * times, "That multiplies by the efficiency. What goes in is what comes out divided by it."),
    ]
    if hours:
        mistakes.append(Mistake(current * HOUR, "That is the current. Times the hours, it is a charge."))
    return Number(
        story="A load runs on an inverter." if level > 1 else "A load runs straight from the battery.",
        facts=(
            given("Power of the load", power, "W"),
            given("Battery voltage while it runs", voltage, "V"),
            *([given("Efficiency of the inverter at this load", efficiency, "%")] if level > 1 else []),
            *([given("It runs for", times, "h")] if hours else []),
        ),
        question=("How much charge does it take from the battery, in Ah?" if hours else "What current does the battery give, in A?")
        + (" Use I = P/V." if level == 1 else ""),
        value=value,
        unit=unit,
        mistakes=tuple(mistakes[: 2 if level == 1 else 4]),
        working=tuple(steps),
        why="The label of a battery is a name. Its voltage while it works is what amps are reckoned from.",
        hints=(
            "Watts are volts times amps.",
            "What goes into an inverter is what comes out divided by its efficiency." if level > 1 else "Divide the watts by the volts the battery has now.",
        ),
    )


@template("volt-amps", "Watts or volt-amps")
def volt_amps(draw, level):
    name, powers, factors = draw.one(
        (
            ("water pump", (300, 360, 450), (0.6, 0.65, 0.7)),
            ("compressor", (250, 400, 550), (0.65, 0.7, 0.75)),
            ("power tool", (600, 800, 1000), (0.75, 0.8, 0.85)),
        )
    )
    power, factor = draw.amount("W", *powers), draw.one(factors)
    apparent = load.apparent_power(power, factor)
    check = None
    if level == 1:
        facts, question, value, unit = (
            (given("Real power", power, "W"), given("Power factor", factor, "")),
            "How many volt-amps must the inverter deliver? Use S = P/PF.",
            apparent,
            "VA",
        )
        mistakes = (
            Mistake(power, "Those are the watts. An inverter's output is limited by current, which follows the volt-amps."),
            Mistake(power * factor, "That multiplies by the power factor. Volt-amps are never fewer than watts."),
        )
        steps = (work("S", "apparent power", "P/PF", apparent, "VA", P=(power, "W"), PF=(factor, "")),)
    elif level == 2:
        mains, current = draw.amount("V", 230, 120), draw.amount("A", 1.6, 2.5, 3.4, 4.2)
        value, unit, question = mains * current * factor, "W", "How many watts does it really take?"
        facts = (given("Voltage on its plate", mains, "V"), given("Current on its plate", current, "A"), given("Power factor", factor, ""))
        mistakes = (
            Mistake(mains * current, "Volts times amps are volt-amps. The power factor makes watts of them."),
            Mistake(mains * current / factor, "That divides by the power factor. Watts are never more than volt-amps."),
        )
        steps = (work("P", "real power", "V*I*PF", value, "W", V=(mains, "V"), I=(current, "A"), PF=(factor, "")),)
    else:
        rating, standby = INVERTERS[4]
        apparent = round(apparent)
        power = apparent * factor
        value, unit, question = (
            inverter.power_dc(power, factor, rating, standby, *LOSSES),
            "W",
            "How many watts does the inverter take from the battery? P_dc = P_0 + a·P + b·S²/S_r.",
        )
        facts = (given("Apparent power on its plate", apparent, "VA"), given("Power factor", factor, ""), *inverter_facts(rating, standby, "VA"))
        mistakes = (
            Mistake(
                inverter.power_dc(apparent, 1.0, rating, standby, *LOSSES),
                "That takes the volt-amps for watts. The battery gives the watts, and a little more for the larger current.",
            ),
            Mistake(power, "That is what the load takes. The inverter's losses come on top."),
            Mistake(value - standby, "You left out the standby power."),
        )
        steps = (
            work("P", "real power", "S*PF", power, "W", S=(apparent, "VA"), PF=(factor, "")),
            work(
                "P_dc",
                "power from the battery",
                "P_0 + a*P + b*S**2/S_r",
                value,
                "W",
                "loss-model",
                P_0=(standby, "W"),
                a=(LOSSES[0], ""),
                P=(power, "W"),
                b=(LOSSES[1], ""),
                S=(apparent, "VA"),
                S_r=(rating, "VA"),
            ),
        )
        check = Check("conversion-loss", {"power_ac": typed(power, "W"), "power_factor": typed(factor, ""), **inverter_typed(rating, standby)}, "power_dc")
    return Number(
        story=f"A customer wants to run a {name} on an inverter.",
        facts=facts,
        question=question,
        value=value,
        unit=unit,
        mistakes=mistakes,
        working=steps,
        why="The inverter must carry the volt-amps; the battery gives the watts. Ask for both.",
        hints=("Watts are volt-amps times the power factor.", "Volt-amps are the larger of the two, always."),
        check=check,
    )


@template("minutes-to-watt-hours", "From minutes to watt-hours")
def minutes_to_watt_hours(draw, level):
    name, powers, minutes = draw.one(
        (
            ("kettle", (1000, 1200, 1500), (4, 6, 8)),
            ("toaster", (800, 900), (3, 4, 6)),
            ("hair dryer", (1000, 1200), (6, 8, 10)),
            ("hob plate", (1200, 1400), (15, 20, 25)),
            ("microwave oven", (1050, 1150, 1250), (5, 8, 12)),
        )
    )
    power, time = draw.amount("W", *powers), draw.one(minutes) * 60.0
    duty = draw.one((0.3, 0.5, 0.8)) if level > 1 and name in ("hob plate", "microwave oven") else 1.0
    uses = 1 if level == 1 else draw.one((2, 3, 4))
    voltage = draw.amount("V", 12.8, 25.6)
    energy = load.energy_of_use(power, duty, time, uses)
    value, unit, per = (energy / voltage, "Ah", voltage) if level == 3 else (energy, "Wh", 1.0)
    steps = [work("E", "energy of a day", "n*P*d*t", energy, "Wh", n=(uses, ""), P=(power, "W"), d=(duty, "%"), t=(time, "min"))]
    if level == 3:
        steps.append(work("Q", "charge at the battery's voltage, before any loss", "E/V", value, "Ah", E=(energy, "Wh"), V=(voltage, "V")))
    mistakes = [
        Mistake(energy * 60 / per, "That counts the minutes as hours. Divide by 60."),
        Mistake(energy * 0.6 / per, "That writes the minutes behind the point: 6 minutes are 0.1 h, not 0.06 h."),
    ]
    if duty < 1:
        mistakes.append(Mistake(energy / duty / per, "It is at full power for part of the time only."))
    if uses > 1:
        mistakes.append(Mistake(energy / uses / per, "That is one use of it."))
    if level == 3:
        mistakes.append(Mistake(energy, "Those are watt-hours: divide by the battery's voltage."))
    return Number(
        story=f"A {name} is used {'once' if uses == 1 else f'{uses} times'} a day.",
        facts=(
            given("Power it takes while on", power, "W"),
            given("Minutes each time", time, "min"),
            *([given("At full power for this share of the time", duty, "%")] if duty < 1 else []),
            *([given("Battery voltage", voltage, "V")] if level == 3 else []),
        ),
        question=(
            "How much energy is that at the socket in a day, in Wh?"
            if level < 3
            else "How much charge is that in a day, in Ah, before the losses of the inverter?"
        ),
        value=value,
        unit=unit,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="Hot things are large powers for short times. Their energy is small; their current is not.",
        hints=("Energy is power times hours.", "An hour has 60 minutes: divide the minutes by 60."),
    )


@template("most-energy", "Which battery holds most?")
def most_energy(draw, level):
    batteries = [
        (charge, volts)
        for volts, charges in ((12.8, (100, 150, 200, 280)), (25.6, (60, 80, 100, 120)), (51.2, (30, 40, 50, 75)))
        for charge in draw.some(charges, 2 if level > 1 else 1)
    ]
    held = sorted(((charge * volts, charge, volts) for charge, volts in draw.some(batteries, 3 if level == 1 else 4)), reverse=True)
    best = held[0]
    most_charge = max(held, key=lambda one: one[1])

    def why(energy, charge, volts):
        tempting = (
            "It has the most amp-hours, but at a lower voltage"
            if (energy, charge, volts) == most_charge
            else "It has the highest voltage" if volts == max(one[2] for one in held) else "It looks like more"
        )
        return f"{tempting}: {say(charge * HOUR, 'Ah')} at {say(volts, 'V')} are {say(energy * HOUR, 'Wh')}."

    if most_charge == best or best[0] < 1.05 * held[1][0]:
        raise Redraw
    options = [
        Option(
            f"{say(charge * HOUR, 'Ah')} at {say(volts, 'V')}",
            f"It holds {say(energy * HOUR, 'Wh')}." if (energy, charge, volts) == best else why(energy, charge, volts),
            (energy, charge, volts) == best,
        )
        for energy, charge, volts in held
    ]
    return Choice(
        question="Which of these batteries holds the most energy?",
        options=tuple(draw.shuffled(options)),
        working=(work("E", "energy of the largest", "C*V", best[0] * HOUR, "Wh", C=(best[1] * HOUR, "Ah"), V=(best[2], "V")),),
        why="Amp-hours mean nothing without a voltage. Compare watt-hours.",
        hints=("Energy is charge times voltage.",),
    )


_QUANTITIES = {
    "power": "a power, in W",
    "energy": "an energy, in Wh",
    "charge": "a charge, in Ah",
    "current": "a current, in A",
    "apparent": "an apparent power, in VA",
    "voltage": "a voltage, in V",
}
_SAYINGS = (
    ("What must be put back tomorrow for all that ran today.", "energy", ("power", "current", "apparent"), "What runs for a time adds up to an energy."),
    (
        "What decides how thick the cable to the inverter must be.",
        "current",
        ("energy", "charge", "voltage"),
        "Cable carries amps: they heat it and cost it volts.",
    ),
    ("What warms the water in the kettle at this moment.", "power", ("energy", "charge", "voltage"), "How fast energy flows, now, is a power."),
    ("What the label of a battery gives, with a number of hours.", "charge", ("power", "current", "apparent"), "Amps times hours are a charge."),
    (
        "What limits the output of an inverter, whatever the power factor is.",
        "apparent",
        ("energy", "charge", "voltage"),
        "Its parts carry a current, and the voltage is fixed: volt-amps.",
    ),
    ("What a clamp around one cable shows.", "current", ("power", "energy", "voltage"), "A clamp sees amps alone."),
    ("What a fridge's label gives for a year.", "energy", ("power", "current", "voltage"), "kWh a year are an energy."),
    (
        "What falls at the inverter when a kettle starts, and rises again when it stops.",
        "voltage",
        ("energy", "charge", "apparent"),
        "The current through the resistance of the path costs volts.",
    ),
)
_WRONG = {
    "power": "A power says how fast, at one moment.",
    "energy": "An energy is a power times a time.",
    "charge": "A charge is amps times hours.",
    "current": "A current is what flows at one moment.",
    "apparent": "Volt-amps are volts times amps on the mains side.",
    "voltage": "A voltage is what drives the current.",
}


@template("what-is-it", "What kind of quantity is it?")
def what_is_it(draw, level):
    saying, right, others, why = draw.one(_SAYINGS)
    options = [Option(_QUANTITIES[right], why, True), *(Option(_QUANTITIES[one], _WRONG[one]) for one in others[: 2 if level == 1 else 3])]
    return Choice(
        question=f"{saying} What kind of quantity is that?",
        options=tuple(draw.shuffled(options)),
        why="Half of all misunderstandings are one word for another: ask which is meant.",
        hints=("Is it a moment or a time?",),
    )


TEMPLATES = (amps_from_watts, volt_amps, minutes_to_watt_hours, most_energy, what_is_it)
