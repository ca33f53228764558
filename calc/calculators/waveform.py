"""waveform: what does this output shape do to my appliance?

Heating value, peak, mean and harmonics of one wave are four different things, and each
kind of appliance goes by another of them. The answer is what the appliance goes by, and
what follows.
"""

import math
from dataclasses import dataclass, replace
from typing import Callable

from calc import tables
from calc.calculators import regions
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Choice, Field, Unknown
from calc.errors import FieldProblem
from calc.physics import waveform
from calc.result import Axis, Figure, Series
from calc.units import format_quantity as say
from calc.units import capitalised, read_number
from calc.units import restate_quantity as restate

ORDERS = range(3, 26, 2)  # harmonics that are listed and drawn
MOTOR_ORDERS = range(3, 100, 2)  # what lies beyond changes the harmonic voltage factor by less than 0.001
SINGLE_PHASE_LIMIT = 0.02  # harmonic voltage factor; IEC 60034-1, from memory
DISTORTION_OF_A_SUPPLY = 0.08  # EN 50160, to the 40th
PEAK_LEAST, PEAK_MOST = 0.8, 1.1  # of a sine's, within which switch-mode supplies usually work; common practice
FLUX_MOST = 1.02  # of a sine's, above which a transformer's core saturates; common practice

KINDS = {
    "fine": "runs as it should", "usually": "usually runs", "poor": "runs poorly", "depends": "depends on what is inside it", "no": "is not to be connected",
}  # fmt: skip
"""Verdicts, as the answer says them of the appliance."""

class Angle(Field):
    """An angle in degrees, or a percentage of the half cycle."""

    def _parse(self, text):
        share = text.strip().removesuffix("%")
        if share == text.strip():
            return super()._parse(text)
        return super()._parse(f"{1.8 * read_number(share)} deg")


@dataclass(frozen=True)
class Appliance:
    """One kind of appliance: what it goes by, and how it fares on a wave that is not a sine.

    `name` and `because` make the answer's sentence; `level` is that of its finding; `judge` turns the outputs into one of `KINDS`;
    `advice` is the finding's text, with the outputs put in.
    """

    words: str
    name: str
    because: Callable
    level: str
    judge: Callable
    advice: Callable


def _percent(share):
    return say(share, "%", 2)


def _rectifier(o):
    return (
        f"Its supply charges a capacitor to the peak: {say(o['voltage_peak'], 'V')} here, {_percent(o['peak_share'])} of a sine's. "
        "Wide-range supplies do not mind; one made for a single voltage may drop out on a low peak. A hum, or a plug that warms, says stop."
    )


def _dropper(o):
    return (
        "a capacitor in series holds back a sine but lets every step through. Its current is "
        f"{say(o['dropper_current_ratio'], '')} times the sine's, and its resistor turns {say(o['dropper_heat'], 'W', 2)} to heat "
        f"instead of {say(o['dropper_heat_sine'], 'W', 2)}. It burns, though a meter shows the right voltage."
    )


def _motor(o):
    return (
        f"It turns by the fundamental, {say(o['voltage_fundamental'], 'V')}: {_percent(o['motor_torque'])} of its starting torque. The harmonics turn nothing and add "
        f"{_percent(o['motor_harmonic_heat'])} to its copper heat at the very least. Feel it after ten minutes; if it hums and does not start, switch off at once."
    )


def _transformer(o):
    return (
        f"The flux in its core follows the mean of the wave: {_percent(o['flux_share'])} of what it is made for. "
        + ("Above 100 % the core saturates, hums and heats: use it on a sine only." if o["flux_share"] > FLUX_MOST else "It will buzz; what it feeds gets less wherever a rectifier follows the peak.")
    )


def _microwave(o):
    return (
        f"Its high voltage is charged from the peak, {_percent(o['peak_share'])} of a sine's. The cooking power moves further than that, down or up. "
        "Where the peak follows the battery, it falls as the battery does. Its transformer buzzes, and its clock may run wrong."
    )


def _always(verdict):
    return lambda o: verdict


APPLIANCES = {
    "heater": Appliance(
        "heater, kettle, iron, filament lamp", "A heater",
        lambda o: f"it goes by the {say(o['voltage_rms'], 'V')} of heating value",
        "note", _always("fine"),
        lambda o: "It goes by the RMS voltage alone: with that right, it heats as on a sine. Its switch or thermostat may hold electronics that do not.",
    ),
    "rectifier": Appliance(
        "laptop, phone charger, television: a switch-mode supply", "A switch-mode supply",
        lambda o: f"it charges to a peak of {say(o['voltage_peak'], 'V')}, {_percent(o['peak_share'])} of a sine's",
        "note", lambda o: "usually" if PEAK_LEAST <= o["peak_share"] <= PEAK_MOST else "poor",
        _rectifier,
    ),
    "capacitor-dropper": Appliance(
        "small charger, night light or timer without a transformer", "A charger without a transformer",
        lambda o: f"its capacitor passes {say(o['dropper_current_ratio'], '', 2)} times the current",
        "stop", _always("no"),
        lambda o: f"Do not connect it: {_dropper(o)}",
    ),
    "led-lamp": Appliance(
        "LED lamp on mains voltage", "How an LED lamp fares",
        lambda o: f"a capacitor in it would pass {say(o['dropper_current_ratio'], '', 2)} times the current",
        "caution", _always("depends"),
        lambda o: f"In the cheap ones {_dropper(o)} One with a switch-mode driver inside does not mind; the lamp does not say which it is.",
    ),
    "unattended-charger": Appliance(
        "charger left alone: cordless tool, shaver, torch", "A charger left alone",
        lambda o: f"a capacitor in it would pass {say(o['dropper_current_ratio'], '', 2)} times the current",
        "stop", _always("no"),
        lambda o: f"Do not leave a charger alone on this wave. From outside you cannot see how it is built. In many of them {_dropper(o)}",
    ),
    "electric-blanket": Appliance(
        "electric blanket or pad with a controller", "An electric blanket",
        lambda o: "its controller can stay fully on",
        "stop", _always("no"),
        lambda o: "Do not use it. Its controller takes its timing and its supply from the wave, and on steps it can stay fully on under someone asleep.",
    ),
    "motor": Appliance(
        "motor: fan, pump, fridge or freezer compressor", "A motor",
        lambda o: f"it turns by a fundamental of {say(o['voltage_fundamental'], 'V')}, and {_percent(o['thd'])} of distortion only heats it",
        "caution", _always("poor"),
        _motor,
    ),
    "universal-motor": Appliance(
        "drill, blender, vacuum cleaner: a motor with brushes", "A motor with brushes",
        lambda o: f"it goes by the {say(o['voltage_rms'], 'V')} of heating value",
        "note", _always("usually"),
        lambda o: "A motor with brushes goes by the RMS voltage and runs. An electronic speed control in front of it does not: see dimmers.",
    ),
    "transformer": Appliance(
        "supply or charger with a heavy transformer", "A transformer",
        lambda o: f"its core carries {_percent(o['flux_share'])} of the flux it is made for",
        "caution", lambda o: "poor" if o["flux_share"] > FLUX_MOST else "usually",
        _transformer,
    ),
    "microwave": Appliance(
        "microwave oven", "A microwave oven",
        lambda o: f"its high voltage is charged from a peak {_percent(o['peak_share'])} of a sine's",
        "caution", _always("poor"),
        _microwave,
    ),
    "dimmer": Appliance(
        "dimmer or electronic speed control", "A dimmer or speed control",
        lambda o: "it fires at the steps, not where it is told",
        "stop", _always("no"),
        lambda o: "Do not use it on this wave. A triac fires at the steps instead of where it is told: full on, flicker or nothing, and a current it is not made for.",
    ),
    "audio": Appliance(
        "radio, hi-fi, instrument amplifier", "A radio",
        lambda o: f"{_percent(o['thd'])} of distortion reaches it as a buzz",
        "note", _always("usually"),
        lambda o: f"It plays, with a buzz: {_percent(o['thd'])} of harmonics reach it through its supply and through the air.",
    ),
    "medical": Appliance(
        "medical device", "A medical device",
        lambda o: "its maker has not said that it may",
        "stop", _always("no"),
        lambda o: "Ask the maker and the clinician first. Not on this wave unless the maker says so in writing.",
    ),
    "unknown": Appliance(
        "not known", "How an unknown appliance fares",
        lambda o: f"there are {say(o['voltage_rms'], 'V')} of heating value, but a peak of {say(o['voltage_peak'], 'V')} and {_percent(o['thd'])} of distortion",
        "caution", _always("depends"),
        lambda o: "What stands first behind its plug decides, and it is not known. Ask what is inside; until then count it among those that need a sine.",
    ),
}  # fmt: skip

FIELDS = (
    Choice("shape", "Shape of the inverter's output",
           {"sine": "sine", "three-level": "three levels, sold as modified or quasi sine", "square": "square"}, default="three-level",
           hint="On the specification sheet. Modified, quasi or simulated sine are all three levels."),
    Choice("appliance", "Kind of appliance", {key: kind.words for key, kind in APPLIANCES.items()}, default="unknown", example="motor", hint="What stands first behind its plug decides."),
    replace(regions.REGION, label="The appliance is made for", choices={id: words.split(", cable")[0] for id, words in regions.REGION.choices.items()}),
    Angle("conduction_angle", "Conduction angle, the part of each half cycle that is not at zero", "deg", default="unknown", minimum="1 deg", maximum="180 deg",
          unknown=Unknown("130 deg", "90 deg", "144 deg", "common practice: the output is on for 50 to 80 % of each half cycle"),
          hint="In degrees, or as a percentage of the half cycle. Three levels only; seldom on a sheet."),
    Field("voltage_rms", "Output voltage, true RMS", "V", minimum="1 V", maximum="300 V",
          tolerance="2 %", basis="common practice: what inverters hold", hint="Left blank: what the appliance is made for."),
    Field("voltage_peak", "Peak voltage, if measured", "V", minimum="1 V", maximum="500 V",
          tolerance="3 %", basis="common practice for an oscilloscope or a peak meter", hint="In place of the RMS voltage.", more=True),
    Field("meter_reading", "Reading of a meter that is not true-RMS", "V", minimum="1 V", maximum="400 V",
          tolerance="2 %", basis="common practice: accuracy of a hand-held meter", hint="In place of the conduction angle: with the true RMS voltage it gives it away.", more=True),
    Field("frequency", "Output frequency", "Hz", minimum="40 Hz", maximum="70 Hz", hint="Left blank: what the appliance is made for.", more=True),
    Field("rise_time", "Rise time of an edge", "µs", default="unknown", minimum="0.1 µs", maximum="1 ms",
          unknown=Unknown("20 µs", "2 µs", "200 µs", "common practice: switching stages without an output filter"), hint="From the foot to the top of a step.", more=True),
    Field("capacitance", "Capacitor of a dropper supply", "µF", default="0.47 µF", minimum="0.01 µF", maximum="10 µF",
          tolerance="20 %", basis="common practice for such capacitors", more=True),
    Field("series_resistance", "Its series resistor", "Ω", default="100 Ω", minimum="1 Ω", maximum="1000 Ω",
          tolerance="10 %", basis="common practice for such resistors", more=True),
    Field("locked_rotor_multiple", "Motor's locked-rotor current over its rated current", "", default="unknown", minimum="2", maximum="10",
          unknown=Unknown("5", "3.8", "6", "NEMA MG 1 code letters of single-phase motors"), more=True),
    Choice("fallback", "Medical device: another supply at hand if this one fails", {"yes": "yes, tried out", "no": "no", "unknown": "not known"}, default="unknown", more=True),
)  # fmt: skip


_DROPPERS = ("capacitor-dropper", "led-lamp", "unattended-charger", "unknown")
_MOTORS = ("motor", "unknown")
SHOWN_FOR = {
    "peak_share": ("rectifier", "microwave", "unknown"), "flux_share": ("transformer", "microwave", "unknown"),
    **dict.fromkeys(("dropper_current_ratio", "dropper_heat", "dropper_heat_sine"), _DROPPERS),
    **dict.fromkeys(("motor_torque", "motor_harmonic_heat", "harmonic_voltage_factor", "harmonic_voltage_factor_without_triplens"), _MOTORS),
}  # fmt: skip
"""Answers that say something about some kinds of appliance only."""

ANSWERS = (
    Answer("verdict", "The appliance", main=True, choices=KINDS),
    Answer("thd", "Distortion, every harmonic in it", "%", main=True),
    Answer("voltage_peak", "Peak voltage", "V", main=True),
    Answer("meter_reading_average_responding", "Shown by a meter that is not true-RMS", "V", main=True),
    Answer("voltage_rms", "Heating value, true RMS", "V"),
    Answer("voltage_fundamental", "Fundamental, RMS", "V"),
    Answer("conduction_angle", "Conduction angle", "deg"),
    Answer("crest_factor", "Crest factor"),
    Answer("form_factor", "Form factor"),
    Answer("thd_to_40", "Distortion to the 40th harmonic", "%"),
    Answer("thd_to_50", "Distortion to the 50th harmonic", "%"),
    Answer("peak_share", "Peak against that of the sine it is made for", "%", quiet=True),
    Answer("flux_share", "Flux of a transformer against the sine's", "%", quiet=True),
    Answer("dropper_current_ratio", "Current of a capacitor dropper against the sine's", quiet=True),
    Answer("dropper_heat", "Heat in its series resistor", "W", quiet=True),
    Answer("dropper_heat_sine", "The same on a sine", "W", quiet=True),
    Answer("motor_torque", "Starting torque of a motor against the sine's", "%", quiet=True),
    Answer("motor_harmonic_heat", "Copper heat the harmonics add in a motor", "%", quiet=True),
    Answer("harmonic_voltage_factor", "Harmonic voltage factor, every odd order", quiet=True),
    Answer("harmonic_voltage_factor_without_triplens", "Harmonic voltage factor, without orders divisible by three", quiet=True),
    *(Answer(f"harmonic_{order}", f"Harmonic {order}, of the fundamental", "%", least=lambda v: 0.0) for order in ORDERS),
)


def _check(v):
    if v.meter_reading is None:
        return
    if v.shape != "three-level":
        raise FieldProblem("meter_reading", "the conduction angle is only asked for with three levels: leave this blank")
    angle = _angle(v)
    if angle > math.pi * (1 + 1e-9):
        raise FieldProblem("meter_reading", f"no three-level wave shows more than {say(_highest_reading(v), 'V')} there: a higher reading means another shape, or another voltage")


def _nominal(v):
    return regions.presets()[v.region].voltage


def _frequency(v):
    return v.frequency if v.frequency is not None else regions.presets()[v.region].frequency


def _given_rms(v):
    return v.voltage_rms if v.voltage_rms is not None else _nominal(v)


def _highest_reading(v):
    """What an average-responding meter shows for a square wave of this voltage."""
    return waveform.reading_average_responding(v.voltage_peak if v.voltage_peak is not None else _given_rms(v))


def _angle(v):
    """Conduction angle: π for a square, as typed, or from the two meters; a range's end may pass π."""
    if v.shape == "square":
        return math.pi
    if v.meter_reading is None:
        return v.conduction_angle
    if v.voltage_peak is not None:  # the reading is in proportion to the angle
        return math.pi * v.meter_reading / _highest_reading(v)
    return waveform.conduction_angle_from_readings(v.meter_reading, _given_rms(v))


def _evaluate(v):
    wave = _sine(v) if v.shape == "sine" else _steps(v)
    sine_peak = 2**0.5 * _nominal(v)
    wave["peak_share"] = wave["voltage_peak"] / sine_peak
    wave["flux_share"] = wave["meter_reading_average_responding"] / _nominal(v) * regions.presets()[v.region].frequency / _frequency(v)
    wave["motor_torque"] = (wave["voltage_fundamental"] / _nominal(v)) ** 2
    wave["verdict"] = _verdict(v, wave)
    return wave | {name: None for name, kinds in SHOWN_FOR.items() if v.appliance not in kinds}


def _verdict(v, wave):
    if v.appliance == "medical" and v.fallback != "yes":
        return "no"
    if v.shape == "sine":
        return "poor" if _voltage_off(v, wave["voltage_rms"]) else "depends" if _frequency_off(v) else "fine"
    return APPLIANCES[v.appliance].judge(wave)


def _voltage_off(v, rms):
    return not 0.9 <= rms / _nominal(v) <= 1.1


def _frequency_off(v):
    return abs(_frequency(v) / regions.presets()[v.region].frequency - 1) > 0.01


def _sine(v):
    peak = v.voltage_peak if v.voltage_peak is not None else 2**0.5 * _given_rms(v)
    rms = peak / 2**0.5
    nothing = dict.fromkeys((f"harmonic_{order}" for order in ORDERS), 0.0)
    current = waveform.dropper_current_rms_sine(v.capacitance, v.series_resistance, rms, _frequency(v))
    heat = current**2 * v.series_resistance
    return nothing | {
        "voltage_rms": rms, "voltage_peak": peak, "voltage_fundamental": rms, "conduction_angle": None, "crest_factor": 2**0.5,
        "form_factor": math.pi / 8**0.5, "thd": 0.0, "thd_to_40": 0.0, "thd_to_50": 0.0, "meter_reading_average_responding": rms,
        "dropper_current_ratio": 1.0, "dropper_heat": heat, "dropper_heat_sine": heat,
        "motor_harmonic_heat": 0.0, "harmonic_voltage_factor": 0.0, "harmonic_voltage_factor_without_triplens": 0.0,
    }  # fmt: skip


def _steps(v):
    angle = min(_angle(v), math.pi)
    peak = v.voltage_peak if v.voltage_peak is not None else waveform.voltage_peak(_given_rms(v), angle)
    rms = waveform.voltage_rms(peak, angle) if v.voltage_peak is not None else _given_rms(v)
    mean = waveform.voltage_mean_rectified(peak, angle)
    fundamental = waveform.harmonic_peak(peak, angle, 1) / 2**0.5
    harmonics = [(order, waveform.harmonic_share(angle, order)) for order in MOTOR_ORDERS]
    return {f"harmonic_{order}": share for order, share in harmonics[: len(ORDERS)]} | _dropper_outputs(v, rms, peak) | {
        "voltage_rms": rms,
        "voltage_peak": peak,
        "voltage_fundamental": fundamental,
        "conduction_angle": angle,
        "crest_factor": waveform.crest_factor(peak, rms),
        "form_factor": waveform.form_factor(rms, mean),
        "thd": waveform.distortion_total(rms, fundamental),
        "thd_to_40": waveform.distortion_to_order(harmonics[:19]),
        "thd_to_50": waveform.distortion_to_order(harmonics[:24]),
        "meter_reading_average_responding": waveform.reading_average_responding(mean),
        "motor_harmonic_heat": waveform.motor_harmonic_heat(harmonics, v.locked_rotor_multiple),
        "harmonic_voltage_factor": waveform.harmonic_voltage_factor(harmonics),
        "harmonic_voltage_factor_without_triplens": waveform.harmonic_voltage_factor([pair for pair in harmonics if pair[0] % 3]),
    }  # fmt: skip


def _edges(v, peak):
    """Height and number of the edges in a cycle: a square wave leaps from one peak to the other."""
    return (2 * peak, 2) if v.shape == "square" else (peak, 4)


def _dropper_outputs(v, rms, peak):
    height, count = _edges(v, peak)
    steps = waveform.dropper_current_rms(v.capacitance, v.series_resistance, height, count, _frequency(v), v.rise_time)
    sine = waveform.dropper_current_rms_sine(v.capacitance, v.series_resistance, rms, _frequency(v))
    return {"dropper_current_ratio": steps / sine, "dropper_heat": steps**2 * v.series_resistance, "dropper_heat_sine": sine**2 * v.series_resistance}


def _explain(case):
    v, o = case.values, case.outputs
    kind = APPLIANCES[v.appliance]
    if v.shape == "sine":
        _work_sine(case)
        what = f"a peak of {say(o.voltage_peak, 'V')} and no harmonics to speak of"
        made_for = f"{restate(_nominal(v), 'V')}, {restate(regions.presets()[v.region].frequency, 'Hz')}"
        case.answer = (
            f"A sine of {say(o.voltage_rms, 'V')} at {restate(_frequency(v), 'Hz')} has {what}, but the appliance is made for {made_for}."
            if _voltage_off(v, o.voltage_rms) or _frequency_off(v)
            else f"A sine of {say(o.voltage_rms, 'V')} is what appliances are made for: {what}."
        )
        case.find("sine-sheet", "note", "No inverter's sine is perfect: its sheet gives the distortion, commonly 1 to 5 %, and at which load.")
    else:
        _work_steps(case)
        shape = "square" if v.shape == "square" else "three-level"
        wave, because = f"on this {shape} wave", kind.because(vars(o))
        if o.verdict == "depends":
            case.answer = f"{kind.name} {wave} {KINDS[o.verdict]}. {capitalised(because)}."
        else:
            case.answer = f"{kind.name} {KINDS[o.verdict]} {wave}: {because}."
        _advise_appliance(case, kind.level, kind.advice(vars(o)))
        _advise(case)
    _advise_mains(case)
    if v.appliance == "medical":
        _advise_medical(case)


def _advise_appliance(case, level, text):
    if level == "stop":
        case.find("not-on-this-wave", "stop", text)
    elif level == "caution":
        case.find("poor-on-this-wave", "caution", text)
    else:
        case.find("on-this-wave", "note", text)


def _advise(case):
    v, o = case.values, case.outputs
    if v.appliance == "motor":
        case.cite("mg1", "iec60034-1")
        case.find(
            "no-derating-table", "note",
            f"The harmonic voltage factor is {say(o.harmonic_voltage_factor, '', 2)} with every odd order, {say(o.harmonic_voltage_factor_without_triplens, '', 2)} without those divisible by three, "
            f"which only a three-phase motor may leave out. The limit for a single-phase motor is {SINGLE_PHASE_LIMIT} (IEC 60034-1, from memory). It lies outside every published derating table, so no derating is given here.",
        )  # fmt: skip
    if o.meter_reading_average_responding < 0.97 * o.voltage_rms or o.meter_reading_average_responding > 1.03 * o.voltage_rms:
        case.find("meter", "note", f"A meter that does not say true RMS shows {say(o.meter_reading_average_responding, 'V')} for these {say(o.voltage_rms, 'V')}: that is the meter, not a fault of the inverter.")
    case.find("thd-orders", "note", f"Distortion is {_percent(o.thd)} with every harmonic, {say(o.thd_to_40, '%')} to the 40th as an instrument shows it. A public supply stays within {_percent(DISTORTION_OF_A_SUPPLY)} to the 40th (EN 50160).")
    if case.understood("conduction_angle").how in ("unknown", "default") and v.shape == "three-level":
        case.find("angle-assumed", "note", f"The conduction angle is not known: {say(o.conduction_angle, 'deg')} stands for it. A true-RMS meter and one that is not give it away together: enter both readings.")
    if v.shape == "three-level" and v.voltage_peak is None:
        case.find("peak-follows-battery", "note", "In simple units the peak follows the battery, and the conduction angle makes up for it. Ask for both at the highest and the lowest battery voltage.")


def _advise_mains(case):
    v, o = case.values, case.outputs
    if _frequency_off(v):
        case.find("frequency", "caution", f"{restate(_frequency(v), 'Hz')} is not the {restate(regions.presets()[v.region].frequency, 'Hz')} the appliance is made for: motors and clocks run at another speed, transformers saturate where it is lower.")
    if _voltage_off(v, o.voltage_rms):
        case.find("voltage-off", "caution", f"{say(o.voltage_rms, 'V')} lies more than a tenth from the {restate(_nominal(v), 'V')} the appliance is made for.")


def _advise_medical(case):
    if case.values.fallback == "yes":
        case.find("medical-fallback", "caution", "A medical device needs a supply at hand that does not hang on this inverter, tried out for a whole night, and the clinician's word.")
    else:
        case.find("medical-no-fallback", "stop", "A medical device with no other supply at hand is not to depend on an inverter, whatever its wave. Ask the clinician, and try the fallback out first.")


def _work_sine(case):
    v, o = case.values, case.outputs
    if v.voltage_peak is None:
        case.step("V_p", "peak", "sqrt(2)*V_rms", {"V_rms": (o.voltage_rms, "V")}, o.voltage_peak, "V", "fourier")
    else:
        case.step("V_rms", "heating value", "V_p/sqrt(2)", {"V_p": (o.voltage_peak, "V")}, o.voltage_rms, "V", "fourier")


def _work_steps(case):
    v, o = case.values, case.outputs
    pi, half = {"pi": (math.pi, "")}, {"theta_half": (math.pi, "deg")}
    rms, peak, angle = {"V_rms": (o.voltage_rms, "V")}, {"V_p": (o.voltage_peak, "V")}, {"theta": (o.conduction_angle, "deg")}
    if v.meter_reading is not None and v.voltage_peak is None:
        case.step("theta", "conduction angle from the two meters", "8/pi*(V_meter/V_rms)**2", {**pi, "V_meter": (v.meter_reading, "V"), **rms}, o.conduction_angle, "deg", "meter-scale")
    if v.voltage_peak is None:
        case.step("V_p", "peak", "V_rms/sqrt(theta/theta_half)", {**rms, **angle, **half}, o.voltage_peak, "V", "fourier")
    else:
        if v.meter_reading is not None:
            case.step("theta", "conduction angle from meter and peak", "2*sqrt(2)*V_meter/V_p", {"V_meter": (v.meter_reading, "V"), **peak}, o.conduction_angle, "deg", "meter-scale")
        case.step("V_rms", "heating value", "V_p*sqrt(theta/theta_half)", {**peak, **angle, **half}, o.voltage_rms, "V", "fourier")
    mean = waveform.voltage_mean_rectified(o.voltage_peak, o.conduction_angle)
    case.step("V_1", "fundamental, RMS", "4*V_p/(sqrt(2)*pi)*sin(theta/2)", {**peak, **pi, **angle}, o.voltage_fundamental, "V", "fourier")
    case.step("THD", "distortion, every harmonic in it", "sqrt((V_rms/V_1)**2 - 1)", {**rms, "V_1": (o.voltage_fundamental, "V")}, o.thd, "%", "fourier")
    case.step("V_mean", "rectified mean", "V_p*theta/theta_half", {**peak, **angle, **half}, mean, "V", "fourier")
    case.step("V_shown", "shown by a meter that is not true-RMS", "pi/(2*sqrt(2))*V_mean", {**pi, "V_mean": (mean, "V")}, o.meter_reading_average_responding, "V", "meter-scale")
    if v.appliance == "motor":
        case.step("M", "starting torque against the sine's", "(V_1/V_n)**2", {"V_1": (o.voltage_fundamental, "V"), "V_n": (_nominal(v), "V")}, o.motor_torque, "%", "arithmetic")
    if v.appliance in _DROPPERS and v.appliance != "unknown":
        _work_dropper(case)


def _work_dropper(case):
    v, o = case.values, case.outputs
    height, count = _edges(v, o.voltage_peak)
    parts = {"R": (v.series_resistance, "Ω"), "C": (v.capacitance, "µF")}
    constant = v.series_resistance * v.capacitance
    sine = (o.dropper_heat_sine / v.series_resistance) ** 0.5
    steps = sine * o.dropper_current_ratio
    case.step("tau", "time constant of the dropper", "R*C", parts, constant, "µs", "rc-edge")
    case.step(
        "I", "its current on this wave", "C*V_edge/t_r*sqrt(N*f*(t_r - tau*(1 - exp(-t_r/tau))))",
        {"C": parts["C"], "V_edge": (height, "V"), "t_r": (v.rise_time, "µs"), "N": (float(count), ""), "f": (_frequency(v), "Hz"), "tau": (constant, "µs")},
        steps, "mA", "rc-edge",
    )  # fmt: skip
    case.step("I_sine", "its current on a sine", "V_rms/sqrt(R**2 + 1/(2*pi*f*C)**2)",
              {"V_rms": (o.voltage_rms, "V"), **parts, "pi": (math.pi, ""), "f": (_frequency(v), "Hz")}, sine, "mA", "ohm")  # fmt: skip
    case.step("k", "times the sine's", "I/I_sine", {"I": (steps, "mA"), "I_sine": (sine, "mA")}, o.dropper_current_ratio, "", "arithmetic")
    case.step("P_R", "heat in the series resistor", "I**2*R", {"I": (steps, "mA"), "R": parts["R"]}, o.dropper_heat, "W", "ohm")


def _draw(case):
    return [_draw_wave(case), _draw_spectrum(case)]


def _swing(cycles):
    """A sine after a number of cycles; nothing where it crosses zero, not the crumb that π leaves there, and no "-0"."""
    return round(math.sin(2 * math.pi * cycles), 9) + 0.0


def _draw_wave(case):
    v, o = case.values, case.outputs
    period = 1000.0 / _frequency(v)
    places = [part / 20 for part in range(21)]
    sine = tuple((period * place, 2**0.5 * _nominal(v) * _swing(place)) for place in places)
    made_for = Series(f"the sine it is made for, {restate(_nominal(v), 'V')}", sine, dash="dashed")
    if v.shape == "sine":
        wave = Series("this wave", tuple((period * place, o.voltage_peak * _swing(place)) for place in places))
        series = (wave, made_for)
    else:
        first = 2**0.5 * o.voltage_fundamental
        fundamental = tuple((period * place, first * _swing(place)) for place in places)
        series = (Series("this wave", _corners(o.voltage_peak, o.conduction_angle, period)), made_for, Series("its fundamental", fundamental, dash="dotted"))
    top = 1.15 * max(y for one in series for _, y in one.points)
    return Figure(
        "One cycle of the output", "The voltage over one cycle: this wave, the sine the appliance is made for, and the fundamental that turns a motor.",
        Axis("time", "ms", 0, period), Axis("voltage", "V", -top, top), series,
    )  # fmt: skip


def _corners(peak, angle, period):
    """The wave's corners; the edges lean by a thousandth of a cycle so that each place has one value."""
    lean = period / 1000
    on = angle / (2 * math.pi) * period
    points = [(0.0, 0.0)]
    for middle, height in ((period / 4, peak), (3 * period / 4, -peak)):
        start, end = middle - on / 2, middle + on / 2
        points += [(max(start - lean, 0.0), 0.0), (start + lean, height), (end - lean, height), (min(end + lean, period), 0.0)]
    points.append((period, 0.0))
    return tuple(dict(sorted(points)).items())


def _draw_spectrum(case):
    o = vars(case.outputs)
    limits = tables.load("harmonics_en_50160")
    bars = tuple((float(order), 100 * o[f"harmonic_{order}"]) for order in ORDERS)
    allowed = tuple((row["order"], 100 * row["limit"]) for row in limits.values)
    top = max(10.0, 1.15 * max(height for _, height in bars))
    return Figure(
        "Harmonics to the 25th", "Each odd harmonic as a share of the fundamental, beside what a public supply may carry.",
        Axis("order", "", 1, 27, tuple((order, str(order)) for order in ORDERS)), Axis("of the fundamental", "%", 0, top),
        (Series("this wave", bars, bars=True), Series("most on a public supply (EN 50160)", allowed, dash="dashed", bars=True)),
    )  # fmt: skip


CALCULATOR = Calculator(
    id="waveform",
    title="What does this output shape do to my appliance?",
    question="What does the shape of an inverter's output do to an appliance, and by which of its properties?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
    alternatives=((("voltage_rms",), ("voltage_peak",)), (("conduction_angle",), ("meter_reading",))),
)
