"""Three shapes of one effective voltage, and the harmonics in them."""

import math

from calc.physics import waveform
from calc.render.words import quantity
from calc.result import Axis, Figure, Series
from scripts.drawings.registry import drawing

VOLTAGE = 230.0  # effective, V: the nominal mains
PERIOD = 20.0  # of 50 Hz, ms
STEPPED = 2 * math.pi / 3  # conduction angle at which the third harmonic vanishes
ORDERS = (1, 3, 5, 7, 9, 11, 13)


def _flat(angle):
    """Corners of one period of a wave that is flat for `angle` in the middle of each half cycle."""
    peak = waveform.voltage_peak(VOLTAGE, angle)
    rest = (math.pi - angle) / 2 / (2 * math.pi) * PERIOD  # from a zero to the step, ms
    corners = []
    for start, sign in ((0.0, 1), (PERIOD / 2, -1)):
        end = start + PERIOD / 2
        corners += [(start, 0.0), (start + rest, 0.0), (start + rest, sign * peak), (end - rest, sign * peak), (end - rest, 0.0), (end, 0.0)]
    return tuple((round(time, 4), round(volts, 2)) for time, volts in dict.fromkeys(corners))


def _sine():
    peak = VOLTAGE * 2**0.5
    return tuple((PERIOD * place / 48, round(peak * math.sin(2 * math.pi * place / 48), 2)) for place in range(49))


@drawing(
    "three-waves",
    "Three waves of the same heating value",
    "Voltage over one period of 50 Hz for three outputs that are all 230 V effective. The sine rises and falls smoothly to a peak of {sine}. "
    "The stepped wave stands at zero, jumps to {stepped}, stays flat, and drops to zero again, in either direction. The square wave jumps between plus and minus {square} without a rest at zero.",
    "All three heat a kettle alike. Peak, edges and harmonics differ, and those decide for everything else. The stepped wave is drawn with the step width at which its third harmonic vanishes.",
)
def three_waves():
    peaks = {"sine": VOLTAGE * 2**0.5, "stepped": waveform.voltage_peak(VOLTAGE, STEPPED), "square": waveform.voltage_peak(VOLTAGE, math.pi)}
    said = {name: quantity(peak, "V") for name, peak in peaks.items()}
    lines = (("sine", _sine(), "solid"), ("stepped", _flat(STEPPED), "dashed"), ("square", _flat(math.pi), "dotted"))
    figure = Figure("", "", Axis("time", "ms", 0, PERIOD), Axis("voltage", "V", -400, 400), tuple(Series(f"{name}, peak {said[name]}", points, dash) for name, points, dash in lines))
    return figure, said


@drawing(
    "three-spectra",
    "The harmonics of three waves",
    "Bars for the fundamental and the odd harmonics up to the thirteenth, each as a percentage of its own fundamental. A sine has the fundamental alone. "
    "A stepped wave of this step width has no third and no ninth harmonic; its fifth is {fifth} and its total distortion {stepped}. A square wave has a third of {third} and a total distortion of {square}.",
    "The same fundamental, and what comes with it: motors and transformers turn harmonics into heat. A stepped wave of another step width has other harmonics.",
)
def three_spectra():
    waves = (("sine", None, "solid"), ("stepped", STEPPED, "dashed"), ("square", math.pi, "dotted"))
    series = tuple(Series(name, tuple((place, _share(angle, order)) for place, order in enumerate(ORDERS, 1)), dash, bars=True) for name, angle, dash in waves)
    ticks = tuple((place, str(order)) for place, order in enumerate(ORDERS, 1))
    values = {"fifth": quantity(waveform.harmonic_share(STEPPED, 5), "%"), "third": quantity(waveform.harmonic_share(math.pi, 3), "%"), "stepped": _distortion(STEPPED), "square": _distortion(math.pi)}
    return Figure("", "", Axis("order of the harmonic", "", 0, len(ORDERS) + 1, ticks), Axis("share of the fundamental", "%", 0, 100), series), values


def _share(angle, order):
    """Percent of the fundamental; no angle is a sine."""
    if angle is None:
        return 100.0 if order == 1 else 0.0
    return round(100 * waveform.harmonic_share(angle, order), 2)


def _distortion(angle):
    fundamental = waveform.harmonic_peak(1.0, angle, 1) / 2**0.5
    return quantity(waveform.distortion_total(waveform.voltage_rms(1.0, angle), fundamental), "%")
