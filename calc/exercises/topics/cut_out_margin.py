"""Lesson 6: the voltage at the inverter, its cut-out, and what lies between."""

from calc.exercises.draws import Redraw
from calc.exercises.items import Check, Choice, Estimate, Mistake, Number, Option, given, work
from calc.exercises.templates import numbered, template
from calc.exercises.topics.common import INVERTERS, inverter_facts, power_ac, power_dc, say, typed, work_power_ac, work_power_dc
from calc.physics import circuit
from calc.units import format_quantity


def _path(draw):
    """Battery at rest, resistances of battery, cable and joints, and the cut-out of a 12 V system."""
    rest = draw.one((12.3, 12.4, 12.5, 12.6, 12.7, 13.1, 13.2))
    pieces = tuple(draw.one(each) * 1e-3 for each in ((4, 5, 6, 8, 10, 12), (1.2, 1.5, 2, 2.6, 3.2), (0.4, 0.6, 0.9, 1.5)))
    return rest, pieces, draw.one((10.5, 10.8, 11.0))


def _pieces_facts(pieces):
    return tuple(given(f"Resistance of {name}", value, "mΩ") for name, value in zip(("the battery", "the cable, both ways", "fuse and joints"), pieces))


def _work_loop(pieces):
    battery, cable, joints = pieces
    return work("R", "resistance of the whole loop", "R_b + R_c + R_j", sum(pieces), "mΩ", "ohm", R_b=(battery, "mΩ"), R_c=(cable, "mΩ"), R_j=(joints, "mΩ"))


def largest(rest, cut_out, resistance):
    """Largest power before the cut-out: at its voltage, the current that brings it there."""
    return cut_out * circuit.current_at_voltage(rest, cut_out, resistance, 0.0)


def _work_largest(rest, cut_out, resistance):
    return work(
        "P_max",
        "largest power before the cut-out",
        "V_co*(V_oc - V_co)/R",
        largest(rest, cut_out, resistance),
        "W",
        "ohm",
        V_co=(cut_out, "V"),
        V_oc=(rest, "V"),
        R=(resistance, "mΩ"),
    )


def _typed_path(rest, pieces, cut_out):
    battery, cable, joints = pieces
    return {
        "voltage_open_circuit": typed(rest, "V"),
        "battery_resistance": typed(battery, "mΩ"),
        "cable_resistance": typed(cable, "mΩ"),
        "joint_resistance": typed(joints, "mΩ"),
        "cut_out": typed(cut_out, "V"),
        "ripple": "0",
        "cut_out_senses": "mean",
    }


@template("largest-power", "The most before it drops out")
def largest_power(draw, level):
    rest, pieces, cut_out = _path(draw)
    resistance = sum(pieces)
    rating, standby = draw.one(INVERTERS[3:])
    most = largest(rest, cut_out, resistance)
    value, unit_question = most, "What is the largest power that it can draw before it drops out, in W?"
    steps = [*([_work_loop(pieces)] if level > 1 else []), _work_largest(rest, cut_out, resistance)]
    mistakes = [
        Mistake(
            rest * (rest - cut_out) / resistance,
            "That takes the current at the cut-out times the voltage at rest. The inverter has only the cut-out's voltage then.",
        ),
        Mistake(rest * rest / (4 * resistance), "That is where the loop gives its most. The cut-out acts long before."),
    ]
    if level > 1:
        mistakes += [
            Mistake(largest(rest, cut_out, pieces[1]), "That counts the cable alone. The battery takes the larger part."),
            Mistake(largest(rest, cut_out, pieces[0]), "That counts the battery alone. Cable and joints stand in the way too."),
        ]
    if level == 3:
        value, unit_question = min(power_ac(most, rating, standby), rating), "What is the largest load it can run, in W?"
        steps.append(work_power_ac(most, rating, standby))
        if value == rating:
            raise Redraw
        mistakes = [
            Mistake(most, "That is what the battery side gives. The inverter's losses come off."),
            *(Mistake(power_ac(one.value, rating, standby), one.why) for one in mistakes),
            Mistake(rating, "That is the inverter's rating. The path does not give as much."),
        ]
    return Number(
        story="An inverter switches off when the voltage at its terminals falls to the cut-out.",
        facts=(
            given("Battery without load V_oc", rest, "V"),
            given("Cut-out V_co", cut_out, "V"),
            *(_pieces_facts(pieces) if level > 1 else (given("Resistance R of battery, cable and joints", resistance, "mΩ"),)),
            *(inverter_facts(rating, standby) if level == 3 else ()),
        ),
        question=unit_question + {1: " Use P = V_co·(V_oc − V_co)/R.", 2: "", 3: " P_dc = P_0 + a·P + b·P²/P_r, solved for P."}[level],
        value=value,
        unit="W",
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="This number, not the one on the box, says what the customer can run tonight.",
        hints=("What current brings the inverter down to its cut-out? (V_oc − V_co)/R.", "Times the voltage it has then: the cut-out's."),
        check=Check("supply-path", {**_typed_path(rest, pieces, cut_out), "power_dc": "100 W"}, "power_dc_max") if level < 3 else None,
    )


@template("volts-under-load", "Volts at the inverter")
def volts_under_load(draw, level):
    rest, pieces, cut_out = _path(draw)
    resistance = sum(pieces)
    rating, standby = draw.one(INVERTERS[3:])
    load = draw.amount("W", 600, 800, 1000, 1200)
    taken = load if level < 3 else power_dc(load, rating, standby)
    if level == 1:
        current = float(draw.one((60, 80, 100, 120)))
    elif 4 * resistance * taken < 0.9 * rest**2:
        current = circuit.current_constant_power(taken, rest, resistance, 0.0)
    else:
        raise Redraw
    value = circuit.voltage_mean(rest, resistance, current)
    if value < cut_out:
        raise Redraw
    if level == 1:
        steps = [_work_loop(pieces), work("V", "at the inverter", "V_oc - I*R", value, "V", "ohm", V_oc=(rest, "V"), I=(current, "A"), R=(resistance, "mΩ"))]
    else:
        steps = [
            _work_loop(pieces),
            *([work_power_dc(load, rating, standby)] if level == 3 else []),
            work("V", "at the inverter", "(V_oc + sqrt(V_oc**2 - 4*R*P_dc))/2", value, "V", "ohm", V_oc=(rest, "V"), R=(resistance, "mΩ"), P_dc=(taken, "W")),
        ]
    simple = circuit.voltage_mean(rest, resistance, taken / rest)
    mistakes = [
        Mistake(circuit.voltage_mean(rest, pieces[1], current), "That counts the cable alone. The battery takes the larger part."),
        Mistake(circuit.voltage_mean(rest, pieces[0], current), "That counts the battery alone. Cable and joints stand in the way too."),
        Mistake(circuit.voltage_mean(rest, resistance + pieces[1], current), "The cable's resistance is there and back already: do not double it."),
        Mistake(rest, "That is the battery without load."),
    ]
    if level > 1:
        mistakes.insert(0, Mistake(simple, "That takes the current from the voltage at rest. As the voltage falls, the inverter draws more."))
    if level == 3:
        mistakes.append(
            Mistake(
                circuit.voltage_mean(rest, resistance, circuit.current_constant_power(load, rest, resistance, 0.0)), "That leaves out the inverter's losses."
            )
        )
    first = given("Current", current, "A") if level == 1 else given("Power into the inverter", taken, "W") if level == 2 else given("Load", load, "W")
    return Number(
        story="A meter is held to the inverter's own terminals while it works.",
        facts=(given("Battery without load V_oc", rest, "V"), *_pieces_facts(pieces), first, *(inverter_facts(rating, standby) if level == 3 else ())),
        question="What does it show, in V?" + {1: " Use V = V_oc − I·R.", 2: " V = (V_oc + √(V_oc² − 4·R·P))/2.", 3: ""}[level],
        value=value,
        unit="V",
        tolerance=0.005,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="The inverter sees its own terminals under load, not the battery at rest.",
        hints=(
            "Add the three resistances.",
            "An inverter draws a power: as its voltage falls, its current rises." if level > 1 else "Amps times milliohms are millivolts.",
        ),
        check=Check("supply-path", {**_typed_path(rest, pieces, cut_out), "power_dc": typed(taken, "W")}, "voltage_inverter") if level == 2 else None,
    )


@template("margin", "The margin")
def margin(draw, level):
    rest, pieces, cut_out = _path(draw)
    resistance = sum(pieces)
    current = float(draw.one((50, 60, 75, 90, 110)))
    running = circuit.voltage_mean(rest, resistance, current)
    start = float(draw.one((1.4, 1.6, 2.0))) if level == 3 else 1.0
    at_start = circuit.voltage_mean(rest, resistance, current * start)
    value = at_start - cut_out
    if value < 0.25:
        raise Redraw
    steps = [_work_loop(pieces)] if level > 1 else []
    current_said = {"I": (current, "A")} if start == 1 else {"k": (start, ""), "I": (current, "A")}
    steps.append(
        work(
            "m",
            "margin",
            "V_oc - k*I*R - V_co" if start > 1 else "V_oc - I*R - V_co",
            value,
            "V",
            "ohm",
            V_oc=(rest, "V"),
            **current_said,
            R=(resistance, "mΩ"),
            V_co=(cut_out, "V"),
        )
    )
    mistakes = [
        Mistake(rest - cut_out, "That is the margin at rest. It must hold under load."),
        Mistake(at_start, "That is the voltage at the inverter. The margin is what is left above the cut-out."),
    ]
    if level > 1:
        mistakes.append(
            Mistake(circuit.voltage_mean(rest, pieces[1], current * start) - cut_out, "That counts the cable alone. The battery takes the larger part.")
        )
    if level == 3:
        mistakes.append(Mistake(running - cut_out, "That is while it runs. The start draws more."))
    return Number(
        story="A fridge starts while the lamps are on." if level == 3 else "A steady load runs on the inverter.",
        facts=(
            given("Battery without load", rest, "V"),
            *(_pieces_facts(pieces) if level > 1 else (given("Resistance of battery, cable and joints", resistance, "mΩ"),)),
            given("Cut-out", cut_out, "V"),
            given("Current while all runs", current, "A"),
            *([given("At the start, times that", start, "")] if level == 3 else []),
        ),
        question="How many volts lie between the inverter and its cut-out" + (" at the start?" if level == 3 else "?"),
        value=value,
        unit="V",
        tolerance=0.03,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="Say the margin in volts, and what it was measured at: “half a volt, with the kettle on”.",
        hints=("First the voltage at the inverter: V_oc − I·R.", "Then take off the cut-out."),
    )


@template("does-it-hold", "Does it hold?")
def does_it_hold(draw, level):
    rest, pieces, cut_out = _path(draw)
    resistance = sum(pieces)
    taken = draw.amount("W", 700, 900, 1100, 1300, 1500, 1800)
    if 4 * resistance * taken > 0.97 * rest**2:
        raise Redraw

    def at_inverter(ohms):
        return circuit.voltage_mean(rest, ohms, circuit.current_constant_power(taken, rest, ohms, 0.0))

    voltage = at_inverter(resistance)
    if abs(voltage - cut_out) < 0.12:
        raise Redraw

    def said(volts):
        return f"It {'holds' if volts > cut_out else 'drops out'}: {format_quantity(volts, 'V', 4)} at the inverter."

    wrong = (
        (at_inverter(pieces[1] + pieces[2]), "That leaves out the battery, which takes the larger part."),
        (rest, "That is the battery without load."),
        (
            circuit.voltage_mean(rest, resistance, taken / rest),
            "That takes the current from the voltage at rest. As the voltage falls, the inverter draws more.",
        ),
        (at_inverter(pieces[0]), "That leaves out cable and joints."),
    )
    options = numbered(
        draw,
        voltage,
        f"{format_quantity(abs(voltage - cut_out), 'V', 2)} {'above' if voltage > cut_out else 'below'} the cut-out.",
        [Mistake(value, why) for value, why in wrong],
        "V",
        0.007,
        said,
    )
    return Choice(
        story="The inverter draws a power, not a current.",
        facts=(
            given("Battery without load V_oc", rest, "V"),
            *_pieces_facts(pieces),
            given("Cut-out", cut_out, "V"),
            given("Power into the inverter", taken, "W"),
        ),
        question="Does it hold?",
        options=options,
        working=(
            _work_loop(pieces),
            work("V", "at the inverter", "(V_oc + sqrt(V_oc**2 - 4*R*P))/2", voltage, "V", "ohm", V_oc=(rest, "V"), R=(resistance, "mΩ"), P=(taken, "W")),
        ),
        why="Below the cut-out, the inverter is not faulty: it does what it is set to do.",
        hints=("V = (V_oc + √(V_oc² − 4·R·P))/2, with all of the loop.",),
        check=Check("supply-path", {**_typed_path(rest, pieces, cut_out), "power_dc": typed(taken, "W")}, "voltage_inverter"),
    )


@template("stop-voltage", "When to stop")
def stop_voltage(draw, level):
    times = 1 if level < 3 else draw.one((2, 4))
    rest = draw.one((12.2, 12.3)) * times
    resistance = draw.one((6, 9, 12, 15)) * 1e-3 * (1 if level < 3 else times)
    current = float(draw.one((10, 20, 30, 60, 80, 100)))
    value = circuit.voltage_mean(rest, resistance, current)
    if rest - value < 0.012 * rest:
        raise Redraw
    mistakes = [
        Mistake(rest, "That is the voltage at rest. Under load it is lower at the same state."),
        Mistake(rest + current * resistance, "A load pulls the voltage down, not up."),
        Mistake(10.5 * times, "That is a common cut-out. At a small current it lets the battery run flat."),
    ]
    if level == 3:
        mistakes.append(
            Mistake(
                times * circuit.voltage_mean(rest / times, resistance, current),
                f"That multiplies the whole by {times}. The resistance given is that of the whole battery already.",
            )
        )
    return Number(
        story="The owner wants to stop with half of a lead-acid battery left, and reads the meter while a load runs.",
        facts=(given("Half full, at rest", rest, "V"), given("Resistance of the battery, up to the meter", resistance, "mΩ"), given("Current", current, "A")),
        question="At what reading must the owner stop, in V?" + (" Use V = V_rest − I·R." if level == 1 else ""),
        value=value,
        unit="V",
        tolerance=0.005,
        mistakes=tuple(mistakes),
        working=(work("V_stop", "reading to stop at", "V_rest - I*R", value, "V", "ohm", V_rest=(rest, "V"), I=(current, "A"), R=(resistance, "mΩ")),),
        why="There is no one voltage to stop at: it goes with the current.",
        hints=("How far does this current pull the voltage down?",),
    )


@template("what-is-left", "What is left when it drops out")
def what_is_left(draw, level):
    _, pieces, cut_out = _path(draw)
    resistance = sum(pieces)
    if level == 1:
        current = float(draw.one((30, 60, 90, 120)))
    else:
        taken = draw.amount("W", 400, 700, 1000, 1300)
        current = taken / cut_out
    value = circuit.voltage_mean(cut_out, resistance, -current) if level == 1 else circuit.voltage_open_circuit_at_limit(taken, cut_out, resistance, 0.0, 0.0)
    load = given("Current at that moment", current, "A") if level == 1 else given("Power into the inverter", taken, "W")
    steps = [
        *([] if level == 1 else [_work_loop(pieces)] if level == 3 else []),
        *([] if level == 1 else [work("I", "current at the cut-out", "P/V_co", current, "A", P=(taken, "W"), V_co=(cut_out, "V"))]),
        work("V_oc", "battery without load", "V_co + I*R", value, "V", "ohm", V_co=(cut_out, "V"), I=(current, "A"), R=(resistance, "mΩ")),
    ]
    mistakes = [
        Mistake(cut_out, "That is the cut-out. As soon as the load is gone, the battery stands higher."),
        Mistake(cut_out - current * resistance, "The load pulled the voltage down: without it the battery stands higher."),
    ]
    if level == 3:
        mistakes.append(Mistake(circuit.voltage_mean(cut_out, pieces[1], -current), "That counts the cable alone."))
    return Number(
        story="The inverter has just dropped out under load. The owner reads the battery right after, before it recovers further.",
        facts=(
            given("Cut-out", cut_out, "V"),
            *(_pieces_facts(pieces) if level == 3 else (given("Resistance of battery, cable and joints", resistance, "mΩ"),)),
            load,
        ),
        question="What would the battery show with the load gone, by these figures, in V?",
        value=value,
        unit="V",
        tolerance=0.005,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="A cut-out does not measure charge. At a large current it stops early; at a small one it lets a battery run flat.",
        hints=("At the cut-out the current pulled the voltage down by I·R.", "Add that to the cut-out."),
    )


@template("which-repair", "Which change helps most?")
def which_repair(draw, level):
    rest, _, cut_out = _path(draw)
    pieces = battery, cable, joints = tuple(draw.one(each) * 1e-3 for each in ((4, 5, 6, 8, 12), (1.5, 2.6, 4.4, 6.5, 9), (0.4, 0.9, 2.2, 3.5, 5)))
    before = largest(rest, cut_out, sum(pieces))
    if not 600 < before < 1900:
        raise Redraw
    changes = (
        ("A second battery like it beside the first", (battery / 2, cable, joints)),
        ("Cable of twice the cross-section", (battery, cable / 2, joints)),
        ("Joints cleaned until they take nothing", (battery, cable, 0.0)),
        ("An inverter of twice the rating, on the same cable", pieces),
    )
    gains = sorted(((largest(rest, cut_out, sum(after)), text) for text, after in changes), reverse=True)
    if gains[0][0] < 1.05 * gains[1][0]:
        raise Redraw
    kept = [gains[0], *draw.some(gains[1:], 2 if level == 1 else 3)]
    options = [
        Option(
            text,
            (
                f"Up to {say(round(most), 'W')} before the cut-out, from {say(round(before), 'W')}."
                if most > before
                else "The path is the limit, not the inverter: nothing is gained."
            ),
            (most, text) == gains[0],
        )
        for most, text in kept
    ]
    best = dict(changes)[gains[0][1]]
    return Choice(
        story="The inverter drops out under the kettle. One thing may be changed.",
        facts=(given("Battery without load", rest, "V"), *_pieces_facts(pieces), given("Cut-out", cut_out, "V")),
        question="Which change lets it draw the most before the cut-out?",
        options=tuple(draw.shuffled(options)),
        working=(
            _work_loop(pieces),
            _work_largest(rest, cut_out, sum(pieces)),
            work(
                "P_new",
                "largest power after the change",
                "V_co*(V_oc - V_co)/R_new",
                gains[0][0],
                "W",
                "ohm",
                V_co=(cut_out, "V"),
                V_oc=(rest, "V"),
                R_new=(sum(best), "mΩ"),
            ),
        ),
        why="Take from the largest resistance. A bigger inverter on the same path drops out at the same power.",
        hints=("What does each change take off the sum of the resistances?",),
    )


@template("guess-largest", "Guess first: what will it run?")
def guess_largest(draw, level):
    rest, pieces, cut_out = _path(draw)
    resistance = sum(pieces)
    most = largest(rest, cut_out, resistance)
    return Estimate(
        story="Do not compute. A customer stands before you; what would you promise, with what range?",
        facts=(
            given("Battery without load", rest, "V"),
            given("Cut-out", cut_out, "V"),
            *(_pieces_facts(pieces) if level > 1 else (given("Resistance of battery, cable and joints", resistance, "mΩ"),)),
        ),
        question="About how many watts can it draw before it drops out?",
        value=most,
        unit="W",
        working=(*([_work_loop(pieces)] if level > 1 else []), _work_largest(rest, cut_out, resistance)),
        why="Volts of room over milliohms is hundreds of amps: one and a half volts over ten milliohms are 150 A.",
        hints=("Volts of room over milliohms: thousands of amps for each volt over one milliohm.",),
    )


TEMPLATES = (largest_power, volts_under_load, margin, does_it_hold, stop_voltage, what_is_left, which_repair, guess_largest)
