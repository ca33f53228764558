"""Lesson 5: direct current in cable and joints: volts lost, heat, ripple."""

from calc.exercises.draws import Redraw, rounded
from calc.exercises.items import Choice, Estimate, Fact, Mistake, Number, Option, given, work
from calc.exercises.templates import template
from calc.exercises.topics.common import COPPER_COEFFICIENT, copper_sizes, say
from calc.physics import circuit, conductor, measure
from calc.units import to_si

WARM = 30.0  # K above 20 °C: copper at 50 °C
LEAST, MOST = to_si(10, "mm²"), to_si(95, "mm²")
DENSEST = 6e6  # A/m²: no exercise asks for more of a cable, near what flexible copper of these sizes may carry


def _cables():
    return [(area, resistance) for area, resistance in copper_sizes() if LEAST <= area <= MOST]


def _size(area):
    return say(area, "mm²")


def _per_metre(resistance, warm=True):
    """Resistance of a metre as a table prints it."""
    return rounded(resistance * (1 + COPPER_COEFFICIENT * WARM if warm else 1.0) * 1e3, 0.001) * 1e-3


@template("loop-resistance", "There and back")
def loop_resistance(draw, level):
    area, cold = draw.one(_cables())
    length = draw.amount("m", 0.8, 1.2, 1.5, 2, 2.5, 3, 4)
    current = float(draw.one((60, 80, 100, 120, 150)))
    if current > DENSEST * area:
        raise Redraw
    metre = _per_metre(cold, warm=level == 1)
    rise = 0.0 if level == 1 else WARM
    loop = conductor.resistance_loop(metre, length, rise, COPPER_COEFFICIENT)
    if level == 1:
        steps = [work("R", "resistance there and back", "2*L*R_m", loop, "mΩ", "iec60228", L=(length, "m"), R_m=(metre, "mΩ/m"))]
    else:
        steps = [
            work(
                "R",
                "resistance there and back, warm",
                "2*L*R_m*(1 + alpha*DeltaT)",
                loop,
                "mΩ",
                "iec60228",
                L=(length, "m"),
                R_m=(metre, "mΩ/m"),
                alpha=(COPPER_COEFFICIENT, ""),
                DeltaT=(rise, ""),
            )
        ]
    value, unit, question, per = loop, "mΩ", "What is the resistance of the whole cable, in mΩ?", 1.0
    if level == 3:
        value, unit, question, per = conductor.voltage_drop(current, loop), "V", "How many volts does it lose?", current
        steps.append(work("U", "volts lost", "I*R", value, "V", "ohm", I=(current, "A"), R=(loop, "mΩ")))
    mistakes = [Mistake(loop / 2 * per, "That is the one-way length. The current comes back, too.")]
    if level > 1:
        mistakes.append(
            Mistake(conductor.resistance_loop(metre, length, 0.0, COPPER_COEFFICIENT) * per, "That is cold copper. At 50 °C it has about an eighth more.")
        )
    mistakes.append(Mistake(metre * per, "That is one metre of it."))
    if level == 3:
        mistakes.append(Mistake(current**2 * loop, "That is the heat in watts. The volts are I·R."))
    warm = "a metre, warm" if level == 1 else "a metre at 20 °C"
    return Number(
        story=f"The inverter stands {say(length, 'm')} from the battery, measured along the cable." + (" The copper is at 50 °C." if level > 1 else ""),
        facts=(
            given("Cross-section", area, "mm²"),
            given(f"Resistance of {warm}", metre, "mΩ"),
            given("Length one way", length, "m"),
            *([Fact("Copper, for each degree above 20 °C", f"{say(COPPER_COEFFICIENT, '%')} more")] if level > 1 else []),
            *([given("Current", current, "A")] if level == 3 else []),
        ),
        question=question + (" Use R = 2·L·R_m." if level == 1 else ""),
        value=value,
        unit=unit,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="A tape measure gives one way. The current goes there and back.",
        hints=(
            "How many metres of copper does the current pass?",
            "Twice the length, times the resistance of a metre" + (", times 1 + α·ΔT." if level > 1 else "."),
        ),
    )


@template("path-resistance", "The path between two meters")
def path_resistance(draw, level):
    current = float(draw.one((80, 90, 98, 110, 120)))
    path = draw.one((1.5, 2.2, 2.8, 3.8, 4.5, 5.5)) * 1e-3
    at_battery = draw.one((12.05, 12.12, 11.94, 12.2, 12.31))
    at_inverter = rounded(circuit.voltage_mean(at_battery, path, current), 0.01)
    drop = round(at_battery - at_inverter, 2)
    resistance = measure.resistance_piece(drop, current)
    facts = [given("At the battery's posts", at_battery, "V"), given("At the inverter's terminals", at_inverter, "V"), given("Current", current, "A")]
    steps = [work("R", "resistance of the path", "(V_1 - V_2)/I", resistance, "mΩ", "ohm", V_1=(at_battery, "V"), V_2=(at_inverter, "V"), I=(current, "A"))]
    if level == 1:
        value, unit, question = resistance, "mΩ", "What is the resistance of cable, fuse and joints together, in mΩ?"
        mistakes = [
            Mistake(at_inverter / current, "That is the inverter's volts over the amps. What the path takes is the difference of the two readings."),
            Mistake(resistance / 2, "The two readings hold both ways already: do not halve it."),
            Mistake(resistance * 2, "The two readings hold both ways already: do not double it."),
        ]
    elif level == 2:
        value, unit, question = measure.heat_piece(drop, current), "W", "How much heat do cable, fuse and joints make together, in W?"
        steps.append(work("P", "heat in the path", "I**2*R", value, "W", "ohm", I=(current, "A"), R=(resistance, "mΩ")))
        mistakes = [
            Mistake(at_inverter * current, "That is what reaches the inverter. The heat is what is lost on the way."),
            Mistake(current * resistance, "Those are the volts lost. Times the current they are watts."),
            Mistake(2 * value, "The two readings hold both ways already."),
        ]
    else:
        millivolts = to_si(draw.one((60, 90, 120, 150)), "mV")
        if millivolts > 0.7 * drop:
            raise Redraw
        rest = drop - millivolts
        value, unit, question = (
            measure.resistance_piece(rest, current),
            "mΩ",
            "One joint is cleaned until it takes nothing. What resistance is left in the path, in mΩ?",
        )
        facts.append(given("Across that joint alone", millivolts, "mV"))
        steps.append(work("R_rest", "what is left", "R - U/I", value, "mΩ", "ohm", R=(resistance, "mΩ"), U=(millivolts, "mV"), I=(current, "A")))
        mistakes = [
            Mistake(resistance, "That is the path as it was."),
            Mistake(measure.resistance_piece(millivolts, current), "That is the joint alone."),
            Mistake(resistance + measure.resistance_piece(millivolts, current), "Cleaning takes resistance away."),
        ]
    return Number(
        story="The same load runs while two readings are taken, one after the other.",
        facts=tuple(facts),
        question=question,
        value=value,
        unit=unit,
        tolerance=0.03,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="The path is part of the system: measure it at hand-over, and write it on the card.",
        hints=("What does the path take? The difference of the two readings.", "Volts over amps are ohms; volts times amps are watts."),
    )


@template("joint-heat", "Heat in a joint")
def joint_heat(draw, level):
    resistance, current, ripple = to_si(draw.one((0.4, 0.6, 0.8, 1.0, 1.5)), "mΩ"), float(draw.one((90, 120, 150, 180))), draw.one((0.6, 0.8, 1.0))
    voltage = conductor.voltage_drop(current, resistance)
    if level == 1:
        facts, value = (given("Resistance of the joint", resistance, "mΩ"), given("Current", current, "A")), conductor.heat(current, resistance)
        steps = [work("P", "heat in the joint", "I**2*R", value, "W", "ohm", I=(current, "A"), R=(resistance, "mΩ"))]
    elif level == 2:
        millivolts = rounded(voltage, 0.001)
        facts, value = (given("Across the joint", millivolts, "mV"), given("Current", current, "A")), measure.heat_piece(millivolts, current)
        voltage = millivolts
        steps = [work("P", "heat in the joint", "U*I", value, "W", "ohm", U=(millivolts, "mV"), I=(current, "A"))]
    else:
        rms = circuit.current_rms(current, ripple)
        facts, value = (
            given("Resistance of the joint", resistance, "mΩ"),
            given("Current by the clamp, on average", current, "A"),
            given("Ripple r", ripple, ""),
        ), conductor.heat(rms, resistance)
        steps = [
            work("I_rms", "current that heats", "I*sqrt(1 + r**2/2)", rms, "A", "ripple", I=(current, "A"), r=(ripple, "")),
            work("P", "heat in the joint", "I_rms**2*R", value, "W", "ohm", I_rms=(rms, "A"), R=(resistance, "mΩ")),
        ]
    mistakes = [
        Mistake(voltage, "Those are the volts it takes, not watts. Multiply by the current once more."),
        Mistake(12.0 * current, "That is all the power that passes. Only what the joint takes is heat."),
    ]
    if level == 3:
        mistakes.insert(
            0, Mistake(conductor.heat(current, resistance), "That is with the average of the clamp. The pulsing current heats more: I_rms = I·√(1 + r²/2).")
        )
    else:
        mistakes.append(Mistake(2 * value, "A joint is passed once. Both ways is for the cable."))
    return Number(
        story="One lug of the inverter's cable was crimped badly.",
        facts=facts,
        question="How much heat does it make, in W?" + (" Use P = I²·R." if level == 1 else ""),
        value=value,
        unit="W",
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="A thousandth of an ohm in one lug makes as much heat as a soldering iron, at a spot where nobody looks.",
        hints=("Volts across it times amps through it are watts.", "I²·R, with the current that heats."),
    )


@template("percent-lost", "Per cent on the way")
def percent_lost(draw, level):
    power = draw.amount("W", 600, 1000, 1500, 2000)
    area, cold = draw.one(_cables())
    length, voltage = draw.amount("m", 1, 1.5, 2, 3), draw.one((12.0, 24.0, 48.0) if level > 1 else (12.0, 24.0))
    metre = _per_metre(cold)
    current = circuit.current_constant_power(power, voltage, 0.0, 0.0)
    loop = conductor.resistance_loop(metre, length, 0.0, COPPER_COEFFICIENT)
    share = conductor.voltage_drop(current, loop) / voltage
    if current > DENSEST * area or not 0.004 < share < 0.12:
        raise Redraw
    value, question = share, "What share of the voltage does the cable take, in %?"
    steps = [
        work("I", "current", "P/V", current, "A", P=(power, "W"), V=(voltage, "V")),
        work("R", "resistance there and back", "2*L*R_m", loop, "mΩ", "iec60228", L=(length, "m"), R_m=(metre, "mΩ/m")),
        work("u", "share lost", "I*R/V", share, "%", "ohm", I=(current, "A"), R=(loop, "mΩ"), V=(voltage, "V")),
    ]
    other = voltage * 2
    if level == 3:
        value, question = (
            share / 4,
            f"The same load is moved to {say(other, 'V')}, on the same cable. What share of the voltage does the cable take then, in %?",
        )
        steps.append(work("u_2", f"the same at {say(other, 'V')}", "u*(V/V_2)**2", value, "%", "ohm", u=(share, "%"), V=(voltage, "V"), V_2=(other, "V")))
    mistakes = [
        Mistake(value / 2, "That is the one-way length. The current comes back, too."),
        Mistake(conductor.voltage_drop(current, loop) / 100, "Those are the volts, written as per cent. Divide by the voltage of the system."),
    ]
    if level == 3:
        mistakes += [
            Mistake(share / 2, "Twice the voltage halves the volts lost, and they are a share of twice as many: a quarter."),
            Mistake(share, "Twice the voltage makes half the current."),
        ]
    return Number(
        story="A cable feeds an inverter. Reckon with the nominal voltage here.",
        facts=(
            given("Power into the inverter", power, "W"),
            given("System voltage", voltage, "V"),
            given("Cross-section", area, "mm²"),
            given("Resistance of a metre, warm", metre, "mΩ"),
            given("Length one way", length, "m"),
        ),
        question=question,
        value=value,
        unit="%",
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="Twice the system voltage: half the amps, half the volts lost, a quarter of the per cent.",
        hints=("First the current, then the resistance there and back.", "Volts lost over system volts."),
    )


@template("which-cable", "Which cable for this drop?")
def which_cable(draw, level):
    current = float(draw.one((60, 80, 100, 125, 150, 180)))
    length, voltage, limit = draw.amount("m", 1, 1.5, 2, 2.5, 3), draw.one((12.0, 24.0)), draw.one((0.02, 0.03))
    cables = [(area, _per_metre(cold)) for area, cold in _cables()]

    def smallest(metres, allowed):
        return next((area for area, metre in cables if current * metres * metre <= allowed), None)

    allowed = limit * voltage
    right = smallest(2 * length, allowed)
    wrong = {
        smallest(length, allowed): "That is for the one-way length. The current comes back, too.",
        smallest(2 * length, 0.1 * voltage): "That allows ten per cent. The question says less.",
        smallest(2 * length, limit * 2 * voltage): "That takes the per cent of twice the voltage.",
    }
    if right is None or current > DENSEST * right:
        raise Redraw
    place = [area for area, _ in cables].index(right)
    wrong.setdefault(cables[place - 1][0] if place else None, "It loses a little too much.")
    wrong.setdefault(cables[place + 1][0] if place + 1 < len(cables) else None, "It holds the limit, but the next thinner one does as well.")
    found = [(area, why) for area, why in wrong.items() if area and area != right]
    if len(found) < 2:
        raise Redraw
    metre = dict(cables)[right]
    least = allowed / (2 * length * current)
    if min(abs(each - least) for _, each in cables) < 0.03 * least:
        raise Redraw
    return Choice(
        story="For the volts lost alone; heat and fuse are checked apart.",
        facts=(
            given("Current", current, "A"),
            given("Length one way", length, "m"),
            given("System voltage", voltage, "V"),
            given("Most that may be lost", limit, "%"),
            *(given(f"A metre of {_size(area)}, warm", each, "mΩ") for area, each in cables),
        ),
        question="Which is the thinnest that holds the limit?",
        options=tuple(
            draw.shuffled(
                [
                    Option(_size(right), f"It loses {say(rounded(2 * length * metre * current, 0.01), 'V')} of the {say(allowed, 'V')} allowed.", True),
                    *(Option(_size(area), why) for area, why in found[: 2 if level == 1 else 3]),
                ]
            )
        ),
        working=(
            work("R_m", "most that a metre may have", "u*V/(2*L*I)", least, "mΩ/m", "ohm", u=(limit, "%"), V=(voltage, "V"), L=(length, "m"), I=(current, "A")),
        ),
        why="The largest of three answers counts: volts lost, heat, and what the fuse must protect.",
        hints=("Volts allowed over amps, over twice the metres, is what a metre may have.",),
    )


@template("ripple-current", "What the clamp does not show")
def ripple_current(draw, level):
    current, ripple = float(draw.one((80, 100, 120, 150, 180))), draw.one((0.7, 0.8, 0.9, 1.0))
    rms = circuit.current_rms(current, ripple)
    steps = [work("I_rms", "current that heats", "I*sqrt(1 + r**2/2)", rms, "A", "ripple", I=(current, "A"), r=(ripple, ""))]
    facts = [given("Current by the clamp, on average", current, "A"), given("Ripple r", ripple, "")]
    if level == 1:
        value, unit, question, mistakes = (
            rms,
            "A",
            "Which steady current would heat the cable as much, in A?",
            [Mistake(current, "That is the average the clamp shows. The pulses heat more.")],
        )
        mistakes.append(Mistake(current * (1 + ripple), "That is the crest of the pulses, not their heating value."))
        mistakes.append(Mistake(current * (1 + ripple**2 / 2), "The root is missing: that is by how much the heat grows."))
    else:
        resistance = to_si(draw.one((1.5, 2, 2.5, 3)), "mΩ")
        facts.append(given("Resistance of the cable, there and back", resistance, "mΩ"))
        heat, steady = conductor.heat(rms, resistance), conductor.heat(current, resistance)
        steps.append(work("P", "heat in the cable", "I_rms**2*R", heat, "W", "ohm", I_rms=(rms, "A"), R=(resistance, "mΩ")))
        value, unit, question = heat, "W", "How much heat does the cable make, in W?"
        mistakes = [
            Mistake(steady, "That is with the average of the clamp. The pulses heat more."),
            Mistake(2 * heat, "The resistance given is there and back already."),
            Mistake(conductor.heat(current * (1 + ripple), resistance), "That is the crest of the pulses."),
        ]
        if level == 3:
            value, question = heat - steady, "How much more heat does the cable make than a steady current of the same average, in W?"
            steps.append(work("P_more", "more than steady", "P - I**2*R", value, "W", "ohm", P=(heat, "W"), I=(current, "A"), R=(resistance, "mΩ")))
            mistakes = [
                Mistake(heat, "That is all of its heat. The question is how much more."),
                Mistake(steady * (1 + ripple) ** 2 - steady, "That is with the crest of the pulses."),
                Mistake(conductor.heat(rms - current, resistance), "Squares do not subtract so: take the difference of the two heats."),
            ]
    return Number(
        story="A single-phase inverter draws its current in pulses, at twice the mains frequency.",
        facts=tuple(facts),
        question=question + (" Use I_rms = I·√(1 + r²/2)." if level < 3 else ""),
        value=value,
        unit=unit,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="A clamp on direct current shows the average. Cable and fuse feel the root of the mean square.",
        hints=("I_rms = I·√(1 + r²/2).", "Heat follows the square of that."),
    )


@template("guess-drop", "Guess first: volts on the way")
def guess_drop(draw, level):
    area, cold = draw.one([one for one in _cables() if one[0] <= to_si(50, "mm²")])
    length, current, metre = draw.amount("m", 1, 2, 3, 4), float(draw.one((50, 80, 120, 160))), _per_metre(cold)
    loop = conductor.resistance_loop(metre, length, 0.0, COPPER_COEFFICIENT)
    drop = conductor.voltage_drop(current, loop)
    if current > DENSEST * area or not 0.08 < drop < 2.5:
        raise Redraw
    return Estimate(
        story="Do not compute. How bad is this cable?",
        facts=(
            given("Cross-section", area, "mm²"),
            given("Length one way", length, "m"),
            given("Current", current, "A"),
            *([given("Resistance of a metre, warm", metre, "mΩ")] if level == 1 else []),
        ),
        question="About how many volts does it lose?",
        value=drop,
        unit="V",
        working=(
            work("R", "resistance there and back", "2*L*R_m", loop, "mΩ", "iec60228", L=(length, "m"), R_m=(metre, "mΩ/m")),
            work("U", "volts lost", "I*R", drop, "V", "ohm", I=(current, "A"), R=(loop, "mΩ")),
        ),
        why="Copper of 20 mm² has about a milliohm a metre, warm. Half the section, twice the ohms.",
        hints=("Copper of 20 mm² has about a milliohm a metre; count both ways.",),
    )


TEMPLATES = (loop_resistance, path_resistance, joint_heat, percent_lost, which_cable, ripple_current, guess_drop)
