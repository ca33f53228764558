"""Lesson 7: the shape of the output: meters, peaks, motors, and what each appliance goes by."""

import math

from calc.exercises.draws import Redraw
from calc.exercises.items import Check, Choice, Mistake, Number, Option, given, work
from calc.exercises.templates import template
from calc.exercises.topics.common import say, typed
from calc.physics import waveform

PI = (math.pi, "")


def _wave(draw):
    """Share of the time that a three-level wave is on, its angle, heating value and peak, to whole volts."""
    share, rms = draw.one((0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 0.8)), draw.one((230.0, 120.0))
    angle = share * math.pi
    peak = float(round(waveform.voltage_peak(rms, angle)))
    return share, angle, waveform.voltage_rms(peak, angle), peak


def _reading(peak, angle):
    return waveform.reading_average_responding(waveform.voltage_mean_rectified(peak, angle))


def _work_reading(peak, share):
    return work("V", "what it shows", "pi/(2*sqrt(2))*d*V_p", _reading(peak, share * math.pi), "V", "meter-scale", pi=PI, d=(share, ""), V_p=(peak, "V"))


def _work_rms(peak, share):
    return work("V_rms", "true heating value", "V_p*sqrt(d)", waveform.voltage_rms(peak, share * math.pi), "V", "fourier", V_p=(peak, "V"), d=(share, ""))


@template("averaging-meter", "What the cheap meter shows")
def averaging_meter(draw, level):
    share, angle, rms, peak = _wave(draw)
    reading = _reading(peak, angle)
    facts = (given("Peak V_p", peak, "V"), given("On for this share d of the time", share, ""))
    if level < 3:
        value, unit, question = (
            reading,
            "V",
            "What does a meter show that measures the average and is scaled for a sine?" + (" Use V = 1.11·d·V_p." if level == 1 else ""),
        )
        steps = [_work_reading(peak, share)]
        mistakes = [
            Mistake(rms, "That is the true heating value. This meter cannot know it."),
            Mistake(peak / math.sqrt(2), "That is for a sine of this peak."),
            Mistake(share * peak, "That is the average. The meter's scale turns the average of a sine into its heating value: times 1.11."),
        ]
        check = Check(
            "waveform", {"shape": "three-level", "voltage_peak": typed(peak, "V"), "conduction_angle": typed(angle, "deg")}, "meter_reading_average_responding"
        )
    else:
        value, unit, question = 1 - reading / rms, "%", "By how many per cent does a meter that measures the average read too low?"
        steps = [_work_reading(peak, share), _work_rms(peak, share), work("e", "too low by", "1 - V/V_rms", value, "%", V=(reading, "V"), V_rms=(rms, "V"))]
        mistakes = [
            Mistake(1 - share, "That is the share of the time it is off."),
            Mistake(rms / reading - 1, "That is a share of the reading. Say it of the true value."),
            Mistake(1 - share * peak / rms, "That leaves out the meter's scale, 1.11."),
        ]
        check = None
        if not 0.03 < value < 0.4:
            raise Redraw
    return Number(
        story="An inverter gives a stepped wave: on one way, nothing, on the other way, nothing.",
        facts=facts,
        question=question,
        value=value,
        unit=unit,
        tolerance=0.02 if level < 3 else 0.05,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="A low reading on a stepped wave may be the meter. Ask which kind it is before you blame the inverter.",
        hints=("The average of it is d·V_p.", "The meter multiplies an average by π/(2·√2), which is 1.11."),
        check=check,
    )


@template("true-rms", "What it is really worth")
def true_rms(draw, level):
    share, angle, rms, peak = _wave(draw)
    reading = float(round(_reading(peak, angle)))
    if level < 3:
        value, facts, steps = rms, (given("Peak V_p", peak, "V"), given("On for this share d of the time", share, "")), [_work_rms(peak, share)]
        mistakes = [
            Mistake(peak / math.sqrt(2), "That is for a sine of this peak."),
            Mistake(share * peak, "That is the average. What heats is the root of the mean square."),
            Mistake(_reading(peak, angle), "That is what an averaging meter shows."),
        ]
    else:
        average = waveform.voltage_mean_rectified(reading, math.pi) / waveform.reading_average_responding(1.0)
        value = average / math.sqrt(share)
        facts = (given("Reading of a meter that measures the average", reading, "V"), given("On for this share d of the time", share, ""))
        steps = [
            work("V_p", "peak", "V*2*sqrt(2)/(pi*d)", average / share, "V", "meter-scale", V=(reading, "V"), pi=PI, d=(share, "")),
            _work_rms(average / share, share),
        ]
        mistakes = [
            Mistake(reading, "That is the reading of the wrong kind of meter."),
            Mistake(reading / share, "That is neither peak nor heating value: the scale of 1.11 and the root are missing."),
            Mistake(average, "That is the average."),
        ]
    return Number(
        story="A customer wants to bring the inverter back: “it gives too little”." if level == 3 else "An inverter gives a stepped wave.",
        facts=facts,
        question="What is its true heating value, in V?" + (" Use V_rms = V_p·√d." if level == 1 else ""),
        value=value,
        unit="V",
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="Heaters go by the heating value, rectifiers by the peak, motors by the fundamental: three numbers, one wave.",
        hints=(
            ("Heating value: peak times the root of the share it is on.",)
            if level < 3
            else ("The reading is 1.11 times the average; the average is d·V_p.", "Then V_rms = V_p·√d.")
        ),
        check=(
            Check("waveform", {"shape": "three-level", "voltage_peak": typed(peak, "V"), "conduction_angle": typed(angle, "deg")}, "voltage_rms")
            if level < 3
            else None
        ),
    )


@template("for-the-motor", "What the motor feels")
def for_the_motor(draw, level):
    share, angle, rms, peak = _wave(draw)
    fundamental = waveform.harmonic_peak(peak, angle, 1) / math.sqrt(2)
    label = 230.0 if rms > 200 else 120.0
    step = work("V_1", "fundamental", "4*V_p/(pi*sqrt(2))*sin(theta/2)", fundamental, "V", "fourier", V_p=(peak, "V"), pi=PI, theta=(angle, "deg"))
    facts = (given("Peak V_p", peak, "V"), given("On for this angle θ of each half wave of 180°", angle, "deg"))
    if level == 1:
        value, unit, question = fundamental, "V", "How large is its fundamental, which the motor works on, in V? Use V_1 = 4·V_p/(π·√2)·sin(θ/2)."
        steps, mistakes = [step], [
            Mistake(rms, "That is the heating value. The harmonics in it do not turn the motor."),
            Mistake(fundamental * math.sqrt(2), "That is its crest. Divide by √2."),
            Mistake(peak / math.sqrt(2), "That is for a sine of this peak."),
        ]
    elif level == 2:
        value, unit, question = (
            (fundamental / label) ** 2,
            "%",
            f"A motor's starting torque follows the square of the fundamental. What share of its torque on a sine of {say(label, 'V')} is left, in %? V_1 = 4·V_p/(π·√2)·sin(θ/2).",
        )
        steps = [step, work("m", "torque left", "(V_1/V)**2", value, "%", V_1=(fundamental, "V"), V=(label, "V"))]
        mistakes = [
            Mistake(fundamental / label, "That is the share of the voltage. Torque follows its square."),
            Mistake((rms / label) ** 2, "That takes the heating value. Only the fundamental turns the motor."),
            Mistake((peak / math.sqrt(2) / label) ** 2, "That is for a sine of this peak."),
        ]
    else:
        value, unit, question = (
            waveform.distortion_total(rms, fundamental),
            "%",
            "How large is its total harmonic distortion, in %? V_rms = V_p·√(θ/180°), V_1 = 4·V_p/(π·√2)·sin(θ/2).",
        )
        steps = [
            step,
            work("V_rms", "heating value", "V_p*sqrt(theta/pi)", rms, "V", "fourier", V_p=(peak, "V"), theta=(angle, ""), pi=PI),
            work("THD", "distortion", "sqrt((V_rms/V_1)**2 - 1)", value, "%", "fourier", V_rms=(rms, "V"), V_1=(fundamental, "V")),
        ]
        mistakes = [
            Mistake(rms / fundamental - 1, "Voltages add by their squares, not as they are."),
            Mistake((rms / fundamental) ** 2 - 1, "The root is missing."),
            Mistake(1 - fundamental / rms, "That is a difference over the whole. Distortion is the harmonics over the fundamental."),
        ]
    return Number(
        story="A pump is to run on a stepped wave.",
        facts=facts,
        question=question,
        value=value,
        unit=unit,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        tolerance=0.02 if level < 3 else 0.03,
        why="A motor starts worse and runs hotter on a stepped wave: less fundamental, and harmonics that only heat.",
        hints=("First the fundamental.", "sin(θ/2): half of the angle."),
    )


@template("returned-inverter", "“It gives only so many volts”")
def returned_inverter(draw, level):
    share, angle, rms, peak = _wave(draw)
    if share > 0.7:
        raise Redraw
    reading, label = round(_reading(peak, angle)), round(rms)
    options = (
        Option(
            f"Ask which kind of meter it is: one that measures the average shows {reading} V where the true value is {label} V.",
            "On this wave the reading fits a sound inverter.",
            True,
        ),
        Option("Take it back: it is faulty.", f"It gives {label} V. On this wave an averaging meter reads low."),
        Option("Turn the inverter's output up until the meter shows the label's voltage.", "Then it gives far too much, and never open an inverter."),
        Option(f"It is worn: it has lost {label - reading} V. Sell a larger one.", "A larger one of the same kind shows the same."),
    )
    return Choice(
        story=f"A customer brings back an inverter with a stepped wave: “my meter shows {reading} V, and the label says {label} V”.",
        facts=(given("Peak", peak, "V"), given("On for this share of the time", share, "")),
        question="What do you do first?",
        options=tuple(draw.shuffled([options[0], *draw.some(options[1:], 2 if level == 1 else 3)])),
        working=(_work_reading(peak, share), _work_rms(peak, share)),
        why="Then confirm with a meter that shows the true value. An inverter is never opened.",
        hints=("What does an averaging meter make of a wave that is off for part of the time?",),
    )


_RISKS = (
    ("small plug-in charger of a torch, without a transformer", "Its capacitor passes current at each step of the wave; its resistor burns."),
    ("lamp dimmer", "It cuts a sine. Steps confuse and heat it."),
    ("fan with a speed regulator", "Regulator and motor both want a sine: it hums, heats, or stops."),
    ("fridge with an ordinary compressor", "The motor starts worse and runs hotter: less fundamental, and harmonics that only heat."),
    ("water pump with a mains motor", "The motor starts worse and runs hotter: less fundamental, and harmonics that only heat."),
)
_FINE = (
    ("electric blanket without a regulator", "A heating wire goes by the heating value."),
    ("laptop on its own adaptor", "Its supply takes the peak and makes direct current of it: usually fine."),
    ("toaster", "A heating wire goes by the heating value."),
    ("phone charger with a switching supply", "Its supply takes the peak and makes direct current of it: usually fine."),
    ("lamp with a plain filament", "A filament goes by the heating value."),
    ("kettle", "A heating wire goes by the heating value."),
)


@template("at-risk", "Which one is at risk?")
def at_risk(draw, level):
    risk, why = draw.one(_RISKS)
    fine = draw.some(_FINE, 2 if level == 1 else 3)
    return Choice(
        story="An inverter gives a stepped wave.",
        question="Which of these would you not connect to it without asking further?",
        options=tuple(draw.shuffled([Option(risk.capitalize(), why, True), *(Option(name.capitalize(), because) for name, because in fine)])),
        why="“Sensitive electronics” is the wrong line. Ask what stands first in the appliance: a heater, a rectifier, a capacitor or a motor.",
        hints=("What stands first in it: heater, rectifier, capacitor, motor?",),
    )


@template("the-peak", "What the rectifier sees")
def the_peak(draw, level):
    share, angle, _, _ = _wave(draw)
    label = draw.one((100.0, 115.0, 120.0, 127.0, 220.0, 230.0, 240.0))
    sine = math.sqrt(2) * label
    if level == 1:
        value, facts, question = sine, (given("Sine, heating value", label, "V"),), "What is the peak of this sine, in V?"
        steps = [work("V_p", "peak of a sine", "V*sqrt(2)", value, "V", V=(label, "V"))]
        mistakes = [
            Mistake(label, "That is the heating value. A sine's peak is higher."),
            Mistake(2 * label, "That is twice. A sine's peak is √2 times its heating value."),
            Mistake(label / math.sqrt(2), "That divides by √2."),
        ]
        unit = "V"
    else:
        stepped = waveform.voltage_peak(label, angle)
        steps = [work("V_p", "peak of the stepped wave", "V/sqrt(d)", stepped, "V", "fourier", V=(label, "V"), d=(share, ""))]
        facts, value, unit, question = (
            (given("Stepped wave, heating value", label, "V"), given("On for this share d of the time", share, "")),
            stepped,
            "V",
            "What is the peak of this stepped wave, in V?",
        )
        mistakes = [
            Mistake(sine, "That is the peak of a sine."),
            Mistake(label / share, "The root is missing: V_rms = V_p·√d."),
            Mistake(label * math.sqrt(share), "That multiplies. The peak is above the heating value."),
        ]
        if level == 3:
            value, unit, question = (
                stepped / sine,
                "%",
                "What share of a sine's peak does a rectifier get from this stepped wave of the same heating value, in %?",
            )
            steps += [
                work("V_s", "peak of a sine", "V*sqrt(2)", sine, "V", V=(label, "V")),
                work("q", "share", "V_p/V_s", value, "%", V_p=(stepped, "V"), V_s=(sine, "V")),
            ]
            mistakes = [
                Mistake(1.0, "Only where it is on for half of the time."),
                Mistake(sine / stepped, "That is the other way round."),
                Mistake(stepped / label, "That is over the heating value. Compare peak with peak."),
            ]
    return Number(
        story="A microwave oven and every plug-in supply charge from the peak.",
        facts=facts,
        question=question,
        value=value,
        unit=unit,
        mistakes=tuple(mistakes),
        working=tuple(steps),
        why="Two waves of one heating value may differ in peak by a fifth: one oven cooks, the other idles.",
        hints=("A sine's peak is √2 times its heating value." if level == 1 else "Heating value is peak times the root of the share it is on.",),
    )


TEMPLATES = (averaging_meter, true_rms, for_the_motor, returned_inverter, at_risk, the_peak)
