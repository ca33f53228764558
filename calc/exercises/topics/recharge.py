"""Lesson 9: putting it back: charger, generator, sun, engine, and the bad week."""

import math

from calc.exercises.draws import Redraw
from calc.exercises.items import Check, Choice, Estimate, Fact, Mistake, Number, Option, given, work
from calc.exercises.templates import template
from calc.exercises.topics.common import HOUR, say, typed
from calc.physics import charging, conductor, shore


@template("generator-hours", "Hours of the generator")
def generator_hours(draw, level):
    energy, voltage = draw.amount("Wh", 600, 800, 1000, 1500, 2000), draw.one((13.6, 14.2, 14.4))
    current, efficiency = float(draw.one((20, 25, 40, 60))), draw.one((0.9, 0.93, 0.95))
    share = 1.0 if level == 1 else efficiency
    power = voltage * current * share
    taper = HOUR
    if level == 3:
        left = charging.taper_start(power, taper) * math.exp(-draw.one((0.6, 0.9, 1.2, 1.5)))
        bulk, tail = (find(energy, left, power, taper) for find in (charging.bulk_time, charging.tail_time))
        value = bulk + tail
        if bulk < HOUR / 2 or tail < HOUR / 4:
            raise Redraw
        steps = [
            work("P", "power stored", "V*I*eta", power, "W", V=(voltage, "V"), I=(current, "A"), eta=(efficiency, "%")),
            work("E_t", "energy still missing when the taper begins", "P*tau", power * taper, "Wh", "ampere-hour-law", P=(power, "W"), tau=(taper, "h")),
            work("t_b", "time at full current", "(E - E_t)/P", bulk, "h", E=(energy, "Wh"), E_t=(power * taper, "Wh"), P=(power, "W")),
            work("t", "with the tail", "t_b + t_t", value, "h", t_b=(bulk, "h"), t_t=(tail, "h")),
        ]
        facts = (given("Time constant τ of the taper", taper, "h"), given("Tail, until it is full enough", tail, "h"))
        mistakes = [
            Mistake(energy / power, "That is full current to the end. Lead-acid takes less and less of it."),
            Mistake(energy / power + tail, "The tail begins before the end of that: take its energy off the time at full current."),
            Mistake(bulk, "The tail comes after that."),
        ]
    else:
        value, facts = energy / power, ()
        steps = [
            work(
                "t",
                "time",
                "E/(V*I*eta)" if level == 2 else "E/(V*I)",
                value,
                "h",
                E=(energy, "Wh"),
                V=(voltage, "V"),
                I=(current, "A"),
                **({"eta": (efficiency, "%")} if level == 2 else {}),
            )
        ]
        mistakes = [
            Mistake(energy / (12.0 * current * share), "That is with the twelve volts of the label. A charger works at more."),
            Mistake(energy / (2000.0 * share), "The generator's watts do not count: the charger passes on no more than its own amps."),
        ]
        if level == 2:
            mistakes.append(Mistake(energy / (voltage * current), "Not all that goes in comes out: divide by the battery's efficiency."))
            mistakes.append(Mistake(energy / (voltage * current) * efficiency, "That multiplies by the efficiency. More must go in than is to come out."))
    kind = "lead-acid" if level == 3 else "lithium"
    return Number(
        story=f"A generator of {say(2000.0, 'W')} feeds a charger, to put back what was taken from a {kind} battery.",
        facts=(
            given("To put back", energy, "Wh"),
            given("Charger's output", current, "A"),
            given("Voltage while it charges", voltage, "V"),
            *([given("Battery, energy out over energy in", efficiency, "%")] if level > 1 else []),
            *facts,
        ),
        question="For how many hours must it run?" + (" From the taper on, P·τ is still missing." if level == 3 else ""),
        value=value,
        unit="h",
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="The charger decides the hours, not the generator. Do the bulk with the engine, the tail with the sun. A generator runs outside, far from any opening.",
        hints=(
            "What does the charger put in, in watts?",
            "Energy over watts; take the battery's efficiency into account." if level > 1 else "Energy over watts.",
        ),
    )


@template("generator-size", "Which generator for this charger?")
def generator_size(draw, level):
    current, voltage = float(draw.one((20, 30, 40, 60))), draw.one((13.8, 14.2, 14.4))
    efficiency, factor = draw.one((0.82, 0.85, 0.87, 0.9)), draw.one((0.6, 0.65, 0.7, 0.75))
    power = charging.supply_power(current, voltage, efficiency)
    apparent = charging.apparent_power(power, factor)
    steps = [work("P", "power the charger draws", "V*I/eta", power, "W", V=(voltage, "V"), I=(current, "A"), eta=(efficiency, "%"))]
    facts = [given("Charger's output", current, "A"), given("Voltage while it charges", voltage, "V"), given("Charger's efficiency", efficiency, "%")]
    out = voltage * current
    if level == 1:
        value, unit, question = power, "W", "How many watts does it draw from the generator? Use P = V·I/η."
        mistakes = [
            Mistake(out, "That is what it gives. It draws more than that."),
            Mistake(out * efficiency, "That multiplies by the efficiency."),
            Mistake(12.0 * current / efficiency, "That is with the twelve volts of the label."),
        ]
    elif level == 2:
        facts.append(given("Its power factor", factor, ""))
        value, unit, question = apparent, "VA", "How many volt-amps must the generator carry?"
        steps.append(work("S", "apparent power", "P/PF", apparent, "VA", P=(power, "W"), PF=(factor, "")))
        mistakes = [
            Mistake(power, "Those are watts. A generator is limited by its current, so by volt-amps."),
            Mistake(out, "That is what the charger gives."),
            Mistake(power * factor, "That multiplies by the power factor. Volt-amps are more than watts."),
            Mistake(out / factor, "That leaves out the charger's own losses."),
        ]
    else:
        supply = draw.amount("VA", 500, 600, 700, 800)
        value, unit, question = shore.charger_current(supply, voltage, efficiency, factor), "A", "What charging current does this generator allow, in A?"
        facts = [given("Generator", supply, "VA"), *facts[1:], given("Its power factor", factor, "")]
        steps = [work("I", "current it allows", "S*eta*PF/V", value, "A", S=(supply, "VA"), eta=(efficiency, "%"), PF=(factor, ""), V=(voltage, "V"))]
        mistakes = [
            Mistake(supply / voltage, "That is volt-amps over volts: efficiency and power factor are missing."),
            Mistake(supply * efficiency / voltage, "That takes the volt-amps for watts."),
            Mistake(supply * factor / voltage, "That leaves out the charger's own losses."),
        ]
    return Number(
        story="A charger without correction of its power factor runs on a small generator.",
        facts=tuple(facts),
        question=question,
        value=value,
        unit=unit,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="A charger's watts look small on a generator's label; its volt-amps do not.",
        hints=("What it draws is what it gives over its efficiency.", "Volt-amps are watts over the power factor."),
        check=(
            Check(
                "recharge",
                {
                    "mains": "generator",
                    "charger_current": typed(current, "A"),
                    "voltage_charge": typed(voltage, "V"),
                    "charger_efficiency": typed(efficiency, "%"),
                    "charger_power_factor": typed(factor, ""),
                },
                "generator_apparent_power",
            )
            if level == 2
            else None
        ),
    )


@template("panel-watts", "How many panel watts?")
def panel_watts(draw, level):
    sun, derate = draw.one((1.5, 2.5, 3.0, 4.0, 5.0)) * HOUR, draw.one((0.6, 0.65, 0.7))
    if level == 1:
        panel = draw.amount("W", 200, 300, 400, 600)
        value, unit, question = charging.solar_energy(panel, sun, derate), "Wh", "How much energy does it bring in a day, in Wh? Use E = P·t·k."
        facts = (given("Panels, rated", panel, "W"), given("Peak-sun hours a day", sun, "h"), given("Yield k after all losses", derate, ""))
        steps = [work("E", "energy a day", "P*t_sun*k", value, "Wh", "sand87", P=(panel, "W"), t_sun=(sun, "h"), k=(derate, ""))]
        mistakes = [
            Mistake(panel * 5 * HOUR, "That is “watts times five”. The place and the month say how many hours, and losses come off."),
            Mistake(panel * sun, "That is at the rated power. Heat, dirt, wire and controller take their share."),
        ]
        check = Check("recharge", {"panel_power": typed(panel, "W"), "sun_hours": typed(sun, "h"), "derate": typed(derate, "")}, "energy_solar")
    else:
        use, beside, check = draw.amount("Wh", 500, 700, 900, 1200, 1600), draw.amount("Wh", 100, 200, 300) if level == 3 else 0.0, None
        value, unit, question = charging.panel_power_for_energy(use - beside, sun, derate), "W", "What rated panel power covers it, in W?"
        facts = (
            given("Energy a day, from the battery", use, "Wh"),
            *([given("Brought by driving, each day", beside, "Wh")] if beside else []),
            given("Peak-sun hours a day, in the worst month", sun, "h"),
            given("Yield k after all losses", derate, ""),
        )
        steps = [
            work(
                "P",
                "rated power",
                "(E - E_d)/(t_sun*k)" if beside else "E/(t_sun*k)",
                value,
                "W",
                "sand87",
                E=(use, "Wh"),
                **({"E_d": (beside, "Wh")} if beside else {}),
                t_sun=(sun, "h"),
                k=(derate, ""),
            )
        ]
        mistakes = [
            Mistake((use - beside) / (5 * HOUR), "That is “watts times five”. In this month there are not five hours, and losses come off."),
            Mistake((use - beside) / sun, "That is at the rated power, without any loss."),
            Mistake((use - beside) * derate / sun, "That multiplies by the yield. Losses ask for more panel."),
        ]
        if beside:
            mistakes.append(Mistake(use / (sun * derate), "Driving brings a part of it."))
    return Number(
        story="Panels lie flat on a roof.",
        facts=facts,
        question=question,
        value=value,
        unit=unit,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="Size for the worst month of the trip, not for the label and not for the year.",
        hints=("Peak-sun hours times rated power, less the losses.", "For the panel: divide the energy by hours and yield."),
        check=check,
    )


@template("bad-week", "The bad week")
def bad_week(draw, level):
    use, panel, derate = draw.amount("Wh", 700, 900, 1100, 1400), draw.amount("W", 300, 400, 600), 0.7
    hours = [draw.one((0.8, 1.0, 1.2, 1.5, 2.0)) for _ in range(2 + level)]
    suns = sum(hours)
    brought = charging.solar_energy(panel, suns * HOUR, derate)
    need = len(hours) * use
    usable = draw.amount("Wh", 900, 1200, 1600, 2000)
    value, question = need - brought, "How much must the battery hold, ready to use, to get through these days, in Wh?"
    if max(hours) * HOUR * panel * derate > 0.9 * use or value < 0.2 * need:
        raise Redraw
    steps = [
        work("E_sun", "what the sun brings in all", "P*t_sun*k", brought, "Wh", "sand87", P=(panel, "W"), t_sun=(suns * HOUR, "h"), k=(derate, "")),
        work("E", "what is missing", "N*E_day - E_sun", value, "Wh", N=(len(hours), ""), E_day=(use, "Wh"), E_sun=(brought, "Wh")),
    ]
    off = 0.0
    if level == 3:
        value, question, off = value - usable, "It starts full. How much energy is missing in the end, in Wh?", usable
        if value < 0.1 * usable:
            raise Redraw
        steps.append(work("E_unmet", "beyond what the battery has", "E - E_b", value, "Wh", E=(value + usable, "Wh"), E_b=(usable, "Wh")))
    mistakes = [
        Mistake(need - off, "The sun brings something, even then."),
        Mistake(need - panel * suns * HOUR - off, "That is the panels at their rated power. Losses come off."),
        Mistake(use - brought / len(hours), "That is one day of it, on average."),
        Mistake(
            need - charging.solar_energy(panel, len(hours) * 4 * HOUR, derate) - off,
            "That is with four hours of sun a day: the average of the year does not help this week.",
        ),
    ]
    if off:
        mistakes.append(Mistake(value + off, "That is what the days are short of. The battery covers a part of it."))
    return Number(
        story="Grey days follow one another. On none of them does the sun bring what is used.",
        facts=(
            given("Use a day, from the battery", use, "Wh"),
            given("Panels, rated", panel, "W"),
            given("Yield k after all losses", derate, ""),
            Fact("Peak-sun hours, day by day", ", ".join(f"{each:g}" for each in hours)),
            *([given("Battery, ready to use when full", usable, "Wh")] if level == 3 else []),
        ),
        question=question,
        value=value,
        unit="Wh",
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="Averages balance; weeks do not. Size for the worst run of days, or say what stays off.",
        hints=("Add the sun hours of all the days, then the energy of the sun.", "Use of all the days, less what the sun brings."),
    )


@template("while-driving", "What driving brings")
def while_driving(draw, level):
    alternator, rest = draw.one((14.0, 14.2, 14.4)), draw.one((12.6, 12.8, 13.0))
    battery, others = draw.one((6, 8, 10)) * 1e-3, draw.one((8, 10, 12)) * 1e-3
    metre, length = draw.one((1.353, 2.135, 3.69)) * 1e-3, draw.amount("m", 3, 4, 5)
    cable = conductor.resistance_loop(metre, length, 0.0, 0.0)
    total = battery + others + cable
    if level < 3:
        path = cable if level == 2 else None
        value, unit, question = (
            charging.split_current(alternator, rest, total),
            "A",
            "What current flows at first, in A?" + (" Use I = (V_alt − V_oc)/R." if level == 1 else ""),
        )
        facts = (
            given("Alternator, running", alternator, "V"),
            given("Battery at rest", rest, "V"),
            *(
                (given("Resistance of battery, cable and joints", total, "mΩ"),)
                if path is None
                else (
                    given("Resistance of the battery", battery, "mΩ"),
                    given("Relay, fuses and joints", others, "mΩ"),
                    given("A metre of cable, warm", metre, "mΩ"),
                    given("Cable, one way", length, "m"),
                )
            ),
        )
        steps = [work("I", "current at first", "(V_alt - V_oc)/R", value, "A", "ohm", V_alt=(alternator, "V"), V_oc=(rest, "V"), R=(total, "mΩ"))]
        mistakes = [
            Mistake(alternator / total, "What drives the current is the difference of the two voltages."),
            Mistake(rest / total, "What drives the current is the difference of the two voltages."),
        ]
        if path is not None:
            steps.insert(
                0,
                work(
                    "R",
                    "resistance of the whole loop",
                    "R_b + R_j + 2*L*R_m",
                    total,
                    "mΩ",
                    "ohm",
                    R_b=(battery, "mΩ"),
                    R_j=(others, "mΩ"),
                    L=(length, "m"),
                    R_m=(metre, "mΩ/m"),
                ),
            )
            mistakes += [
                Mistake(charging.split_current(alternator, rest, total - cable / 2), "That is the one-way length. The current comes back, too."),
                Mistake(charging.split_current(alternator, rest, cable), "That counts the cable alone."),
            ]
        if value > 150:
            raise Redraw
    else:
        current, voltage, efficiency = float(draw.one((20, 30, 40))), draw.one((13.6, 14.2)), draw.one((0.85, 0.9))
        engine_side = draw.one((13.2, 13.6, 13.8))
        value, unit, question = (
            charging.supply_power(current, voltage, efficiency) / (engine_side),
            "A",
            "A DC-DC unit charges the battery. What current does it draw from the engine's side, in A?",
        )
        facts = (
            given("Its output", current, "A"),
            given("Voltage at its output", voltage, "V"),
            given("Its efficiency", efficiency, "%"),
            given("Voltage on the engine's side", engine_side, "V"),
        )
        steps = [
            work("I_in", "current it draws", "I*V/(eta*V_in)", value, "A", I=(current, "A"), V=(voltage, "V"), eta=(efficiency, "%"), V_in=(engine_side, "V"))
        ]
        mistakes = [
            Mistake(current, "That is its output. It draws more than it gives."),
            Mistake(value * efficiency, "That leaves out its losses."),
            Mistake(value * efficiency * efficiency, "That multiplies by the efficiency. What it draws is what it gives divided by it."),
        ]
    return Number(
        story="The battery charges while the engine runs." if level == 3 else "A plain relay joins the starter battery and the battery of the living space.",
        facts=facts,
        question=question,
        value=value,
        unit=unit,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="The current of a plain connection falls as the battery fills: an hour's drive does not fill it. A fuse belongs at both ends of that cable.",
        hints=(
            "What drives the current?",
            "Watts in are watts out over the efficiency." if level == 3 else "Volts of difference over the resistance of all of the loop.",
        ),
    )


@template("own-charger", "A charger on its own inverter")
def own_charger(draw, level):
    current, voltage, hours = float(draw.one((10, 15, 20, 25, 40))), draw.one((13.6, 14.2)), draw.one((2, 5, 8, 10))
    charger, inverter = draw.one((0.84, 0.87, 0.9)), draw.one((0.86, 0.88, 0.9))
    power = current * voltage
    lost = -charging.power_gained(power, charger, inverter)
    drawn = power / (charger * inverter)
    steps = [
        work(
            "P_in",
            "what the inverter draws for it",
            "V*I/(eta_c*eta_i)",
            drawn,
            "W",
            V=(voltage, "V"),
            I=(current, "A"),
            eta_c=(charger, "%"),
            eta_i=(inverter, "%"),
        ),
        work("P", "lost", "P_in - V*I", lost, "W", P_in=(drawn, "W"), V=(voltage, "V"), I=(current, "A")),
    ]
    value, unit, question, times = lost, "W", "What does the battery lose, in W?", 1.0
    if level == 1:
        value, question = drawn, "What does the inverter draw from the battery for it, in W?"
        mistakes = [
            Mistake(power, "That is what comes back. More is drawn for it."),
            Mistake(power / charger, "That leaves out the inverter's losses."),
            Mistake(power * charger * inverter, "That multiplies by the efficiencies. Divide by both."),
        ]
    else:
        if level == 3:
            value, unit, question, times = lost * hours * HOUR / voltage, "Ah", "What has the battery lost after this time, in Ah?", hours * HOUR / voltage
            steps.append(work("Q", "charge lost", "P*t/V", value, "Ah", P=(lost, "W"), t=(hours * HOUR, "h"), V=(voltage, "V")))
        mistakes = [
            Mistake(drawn * times, "That is what is drawn. A part of it comes back."),
            Mistake((power / charger - power) * times, "That leaves out the inverter's losses."),
            Mistake((power / inverter - power) * times, "That leaves out the charger's losses."),
            Mistake(power * times, "That is what comes back."),
        ]
    return Number(
        story="The battery charger was left plugged into a socket that the inverter feeds.",
        facts=(
            given("Charger's output", current, "A"),
            given("Voltage at its output", voltage, "V"),
            given("Charger's efficiency", charger, "%"),
            given("Inverter's efficiency at this load", inverter, "%"),
            *([given("For", hours * HOUR, "h")] if level == 3 else []),
        ),
        question=question,
        value=value,
        unit=unit,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="A battery cannot charge itself. Look for this when a battery empties “for no reason”.",
        hints=("Each of the two takes its share: divide by both efficiencies.", "What is lost is what is drawn less what comes back."),
    )


_ADVICE = (
    (
        "A lithium iron phosphate battery stands at −5 °C in the morning, and the sun rises on the panels.",
        "Do not charge it before it is above freezing: warm it first, or let its protection keep the charger off.",
        (
            ("Charge it gently: a few amps do no harm below freezing.", "Below freezing it is not charged at normal rates: the damage does not show."),
            ("Charge it as ever: cold only slows it down.", "That is true of giving, not of taking charge."),
            ("Charge it faster, so that it warms up.", "That does the damage sooner."),
        ),
    ),
    (
        "A customer asks for a larger generator, “so that the battery is full sooner”.",
        "Ask for the charger's amps: the generator only has to carry it. A larger charger may help, if the battery allows it.",
        (
            ("Sell the larger one: more watts charge faster.", "The charger passes on no more than its own amps."),
            ("Run it through the night, at low speed.", "The last tenth takes hours at a few amps: leave it to the sun."),
            ("Charge from two chargers and never mind the battery.", "The battery has a largest charging current of its own."),
        ),
    ),
    (
        "It rains, and the customer wants to run the generator in the awning.",
        "Never: outside, far from any opening, with an alarm for carbon monoxide where people sleep.",
        (
            ("With the flap open, for an hour at most.", "Carbon monoxide kills in less, and it drifts in."),
            ("In the awning, if it has a new exhaust.", "Any engine makes carbon monoxide."),
            ("Under the van, where it stays dry.", "The gas rises into the van."),
        ),
    ),
    (
        "An old lead-acid charger is to charge a new lithium battery.",
        "Only if its voltages fit what the battery's sheet allows, and without an equalising stage; else change the charger.",
        (
            ("Use it: volts are volts.", "An equalising stage, or a wrong float, may trip or harm it."),
            ("Use it, and switch the battery's protection off.", "Protection is never bypassed."),
            ("Use it with a lamp in series.", "That changes the current, not the voltage it ends at."),
        ),
    ),
)


@template("what-to-say", "What do you say?")
def what_to_say(draw, level):
    story, right, wrong = draw.one(_ADVICE)
    return Choice(
        story=story,
        question="What do you say?",
        options=tuple(draw.shuffled([Option(right, "", True), *(Option(*each) for each in draw.some(wrong, 2 if level == 1 else 3))])),
        why="A customer hears the amps and forgets the rule: say the rule first.",
        hints=("What can go wrong that nobody sees?",),
    )


@template("guess-panel", "Guess first: sun and use")
def guess_panel(draw, level):
    use, sun, derate = draw.amount("Wh", 450, 650, 850, 1250, 1700), draw.one((1.5, 2.5, 3.5, 4.5)) * HOUR, 0.65
    value = charging.panel_power_for_energy(use, sun, derate)
    return Estimate(
        story="Do not compute. What would you put on the roof, and within which range?",
        facts=(
            given("Energy a day, from the battery", use, "Wh"),
            given("Peak-sun hours a day, in the worst month", sun, "h"),
            *([given("Yield after all losses", derate, "")] if level < 3 else []),
        ),
        question="About what rated panel power covers it" + (", with a yield of about two thirds, in W?" if level == 3 else ", in W?"),
        value=value,
        unit="W",
        working=(work("P", "rated power", "E/(t_sun*k)", value, "W", "sand87", E=(use, "Wh"), t_sun=(sun, "h"), k=(derate, "")),),
        why="A panel watt brings two thirds of a watt-hour for each hour of full sun.",
        hints=("A panel watt brings about two thirds of a watt-hour for each hour of full sun.",),
    )


TEMPLATES = (generator_hours, generator_size, panel_watts, bad_week, while_driving, own_charger, what_to_say, guess_panel)
