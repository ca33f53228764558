"""waveform: closed forms against a Fourier transform, a minimiser and a circuit simulator."""

import math
import re
import shutil
import subprocess

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq, minimize_scalar
from scipy.special import zeta

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.calculators.waveform import APPLIANCES
from calc.errors import FieldProblem, InputProblems
from calc.physics import waveform
from tests.calc import typed
from tests.calc.cases import answer, levels, shown, value

NGSPICE = shutil.which("ngspice")
ANGLES = [5, 18, 36, 60, 72, 90, 100, 108, 120, 130, 133.562, 144, 160, 175, 180]
POINTS = 720_000


def sampled(degrees):
    """One cycle of a three-level wave of 1 V, sampled in the middle of each step."""
    phase = (np.arange(POINTS) + 0.5) / POINTS * 360
    half = degrees / 2
    return np.where(abs(phase - 90) < half, 1.0, 0.0) - np.where(abs(phase - 270) < half, 1.0, 0.0)


@pytest.mark.parametrize("degrees", ANGLES)
def test_a_fourier_transform_finds_the_same_wave(degrees):
    wave = sampled(degrees)
    amplitudes = 2 * abs(np.fft.rfft(wave))[:100] / POINTS
    angle = math.radians(degrees)
    rms = math.sqrt(np.mean(wave**2))
    assert waveform.voltage_rms(1.0, angle) == pytest.approx(rms, abs=1e-5)
    assert waveform.voltage_mean_rectified(1.0, angle) == pytest.approx(np.mean(abs(wave)), abs=1e-5)
    for order in range(1, 100, 2):
        assert abs(waveform.harmonic_peak(1.0, angle, order)) == pytest.approx(amplitudes[order], abs=1e-5)
        assert waveform.harmonic_share(angle, order) == pytest.approx(amplitudes[order] / amplitudes[1], abs=1e-3)
    assert max(amplitudes[2::2]) < 1e-9, "no even orders"
    first = amplitudes[1] / math.sqrt(2)
    assert waveform.distortion_total(rms, first) == pytest.approx(math.sqrt(rms**2 - first**2) / first, rel=1e-9)
    assert value(answer("waveform", conduction_angle=f"{degrees} deg"), "thd") == pytest.approx(math.sqrt(rms**2 - first**2) / first, abs=1e-4)


def test_the_least_distortion_is_where_a_minimiser_finds_it():
    def distortion(angle):
        return waveform.distortion_total(waveform.voltage_rms(1.0, angle), waveform.harmonic_peak(1.0, angle, 1) / 2**0.5)

    found = minimize_scalar(distortion, bounds=(1.0, 3.0), method="bounded", options={"xatol": 1e-10})
    root = brentq(lambda angle: math.tan(angle / 2) - angle, 2.0, 2.8)
    assert math.degrees(found.x) == pytest.approx(math.degrees(root), abs=1e-4)
    assert math.degrees(root) == pytest.approx(133.56347, abs=1e-5)
    assert found.fun == pytest.approx(0.28963571, abs=1e-8)


def test_the_sum_of_all_harmonics_is_the_whole_distortion():
    """Parseval: what the orders to 20 001 lack, about 1/(2·n) of the wave's square, is the rest."""
    for degrees in (72, 120, 180):
        angle = math.radians(degrees)
        whole = waveform.distortion_total(waveform.voltage_rms(1.0, angle), waveform.harmonic_peak(1.0, angle, 1) / 2**0.5)
        parts = waveform.distortion_to_order([(order, waveform.harmonic_share(angle, order)) for order in range(3, 20_002, 2)])
        assert parts < whole and parts == pytest.approx(whole, abs=2e-4)


def test_truncated_distortion_is_said_apart():
    """100°: 40.98 % in all, 38.85 % to the 25th."""
    result = answer("waveform", conduction_angle="100 deg")
    to_25 = math.sqrt(sum(value(result, f"harmonic_{order}") ** 2 for order in range(3, 26, 2)))
    assert to_25 == pytest.approx(0.3885, abs=5e-5)
    assert value(result, "thd") == pytest.approx(0.4098, abs=5e-5)
    assert to_25 < value(result, "thd_to_40") < value(result, "thd_to_50") < value(result, "thd")


def test_the_harmonic_voltage_factor_as_an_infinite_sum():
    """A square has V_n/V_1 = 1/n: Σ 1/n³ over odd n is 7/8·ζ(3), those divisible by three 1/27 of it."""
    every = 7 / 8 * zeta(3) - 1
    result = answer("waveform", shape="square", appliance="motor")
    assert value(result, "harmonic_voltage_factor") == pytest.approx(math.sqrt(every), abs=2e-4)
    without = 7 / 8 * zeta(3) * (1 - 1 / 27) - 1
    assert value(result, "harmonic_voltage_factor_without_triplens") == pytest.approx(math.sqrt(without), abs=2e-4)


def test_the_heat_of_harmonics_in_a_motor_as_an_infinite_sum():
    """k²·Σ 1/n⁴ over odd n from 3: 25·(π⁴/96 − 1) = 0.367 for a square or 90°."""
    expected = 25 * (math.pi**4 / 96 - 1)
    for shape in ({"shape": "square"}, {"conduction_angle": "90 deg"}):
        assert value(answer("waveform", appliance="motor", locked_rotor_multiple="5", **shape), "motor_harmonic_heat") == pytest.approx(expected, rel=1e-4)


def test_torque_follows_the_square_of_the_fundamental():
    """8/π² = 0.8106 at 90°; at the mains' own voltage a sine has it all."""
    assert value(answer("waveform", conduction_angle="90 deg"), "motor_torque") == pytest.approx(8 / math.pi**2, rel=1e-9)
    assert value(answer("waveform", shape="sine"), "motor_torque") == pytest.approx(1)


DROPPER = {"capacitance": 0.47e-6, "resistance": 100.0, "frequency": 50.0}


def test_a_dropper_with_slow_edges_meets_its_closed_form():
    """Edges much longer than R·C: (V_p/V_rms)/π·√(T/t_r) times the sine's 2π·f·C·V_rms."""
    rms, peak, rise = 230.0, 325.0, 5e-3
    found = waveform.dropper_current_rms(0.47e-6, 1e-3, peak, 4, 50.0, rise)
    assert found == pytest.approx(peak / rms / math.pi * math.sqrt(0.02 / rise) * 2 * math.pi * 50 * 0.47e-6 * rms, rel=1e-6)


def test_a_dropper_with_fast_edges_meets_its_closed_form():
    """Edges much shorter than R·C: V_p·√(2·C·f/R), and 2·C·V_p²·f of heat whatever R is."""
    for resistance in (50.0, 100.0, 470.0):
        found = waveform.dropper_current_rms(0.47e-6, resistance, 325.0, 4, 50.0, 1e-9)
        assert found == pytest.approx(325.0 * math.sqrt(2 * 0.47e-6 * 50 / resistance), rel=1e-4)
        assert found**2 * resistance == pytest.approx(2 * 0.47e-6 * 325**2 * 50, rel=1e-4)


@pytest.mark.parametrize("rise", [2e-6, 20e-6, 47e-6, 200e-6])
def test_a_dropper_is_what_its_differential_equation_gives(rise):
    """One edge of ΔV: R·C·di/dt = C·ΔV/t_r − i while it rises, i decaying after it."""
    constant, slope = DROPPER["capacitance"] * DROPPER["resistance"], DROPPER["capacitance"] * 300.0 / rise
    risen = solve_ivp(lambda t, i: (slope - i) / constant, (0, rise), [0.0], rtol=1e-10, atol=1e-14, dense_output=True)
    during, _ = quad(lambda t: risen.sol(t)[0] ** 2, 0, rise, epsabs=1e-16)
    after = risen.y[0, -1] ** 2 * constant / 2
    assert waveform.dropper_current_rms(**DROPPER, edge_voltage=300.0, edges_per_cycle=4, rise_time=rise) == pytest.approx(math.sqrt(4 * 50.0 * (during + after)), rel=1e-6)


def test_a_square_has_half_the_edges_of_twice_the_height():
    """Two edges of 2·V_p carry √2 times the current of four of V_p."""
    steps = waveform.dropper_current_rms(**DROPPER, edge_voltage=230.0, edges_per_cycle=4, rise_time=1e-5)
    square = waveform.dropper_current_rms(**DROPPER, edge_voltage=460.0, edges_per_cycle=2, rise_time=1e-5)
    assert square == pytest.approx(math.sqrt(2) * steps)
    result = answer("waveform", shape="square", rise_time="10 µs", appliance="capacitor-dropper")
    assert value(result, "dropper_heat") == pytest.approx(square**2 * 100)


@pytest.mark.skipif(NGSPICE is None, reason="ngspice, a circuit simulator, is not installed")
def test_a_circuit_simulator_finds_the_same_rms_and_the_same_dropper_current(tmp_path):
    """A 90° wave of 325.27 V with edges of 20 µs, as two sources in series, onto 0.47 µF and 100 Ω."""
    peak, rise, on = 325.269, 20e-6, 5e-3
    lines = [
        "* a three-level wave on a capacitor dropper",
        f"V1 a 0 PULSE(0 {peak} 2.5m {rise} {rise} {on - rise} 20m)",
        f"V2 w a PULSE(0 {-peak} 12.5m {rise} {rise} {on - rise} 20m)",
        "C1 w c 0.47u", "R1 c 0 100",
        ".options reltol=1e-6", ".control", "tran 0.5u 60m 20m 0.5u",
        "meas tran wave rms v(w) from=20m to=60m", "meas tran drop rms v(c) from=20m to=60m", "quit", ".endc", ".end",
    ]  # fmt: skip
    deck = tmp_path / "dropper.cir"
    deck.write_text("\n".join(lines) + "\n", "ascii")
    printed = subprocess.run([NGSPICE, "-b", deck], capture_output=True, text=True, timeout=60).stdout
    measured = {name: float(number) for name, number in re.findall(r"^(wave|drop)\s+=\s+(\S+)", printed, re.MULTILINE)}
    assert measured["wave"] == pytest.approx(waveform.voltage_rms(peak, math.pi / 2), rel=2e-3)  # the edges lean
    expected = waveform.dropper_current_rms(**DROPPER, edge_voltage=peak, edges_per_cycle=4, rise_time=rise)
    assert measured["drop"] / 100 == pytest.approx(expected, rel=1e-3)


def test_a_rectifier_goes_by_the_peak():
    """90° has a sine's peak, a square 1/√2 of it."""
    assert value(answer("waveform", conduction_angle="90 deg"), "peak_share") == pytest.approx(1)
    assert value(answer("waveform", shape="square"), "peak_share") == pytest.approx(1 / math.sqrt(2))
    assert value(answer("waveform", conduction_angle="90 deg", appliance="rectifier"), "verdict") == "usually"
    assert value(answer("waveform", shape="square", appliance="rectifier"), "verdict") == "poor"


def test_a_transformer_goes_by_the_mean():
    """A square of 230 V has 1.1107 times a sine's mean: the core saturates. At half the frequency, twice that."""
    square = answer("waveform", shape="square", appliance="transformer")
    assert value(square, "flux_share") == pytest.approx(math.pi / math.sqrt(8))
    assert value(square, "verdict") == "poor"
    assert value(answer("waveform", shape="sine", region="120-v-60-hz", frequency="50 Hz"), "flux_share") == pytest.approx(1.2)


@pytest.mark.parametrize(("region", "volts", "hertz"), [("230-v-50-hz", 230, 50), ("120-v-60-hz", 120, 60)])
def test_a_region_gives_voltage_and_frequency(region, volts, hertz):
    result = answer("waveform", region=region, conduction_angle="90 deg")
    assert value(result, "voltage_rms") == volts
    assert value(result, "voltage_peak") == pytest.approx(volts * math.sqrt(2))
    time = result.figures[0].x
    assert time.high == pytest.approx(1000 / hertz)


def test_a_percentage_of_the_half_cycle_is_an_angle_too():
    assert shown(answer("waveform", conduction_angle="50 %"), "conduction_angle") == pytest.approx(90)
    assert shown(answer("waveform", conduction_angle="1.5708 rad"), "conduction_angle") == pytest.approx(90, abs=1e-3)


def test_two_meters_give_the_conduction_angle_away():
    """230 V true, 208.58 V on the other: (208.58/255.45)²·180° = 120°."""
    assert shown(answer("waveform", voltage_rms="230 V", meter_reading="208.58 V"), "conduction_angle") == pytest.approx(120, abs=0.02)
    assert shown(answer("waveform", voltage_peak="281.69 V", meter_reading="208.58 V"), "conduction_angle") == pytest.approx(120, abs=0.02)


@pytest.mark.parametrize("appliance", ["capacitor-dropper", "unattended-charger", "electric-blanket", "dimmer"])
@pytest.mark.parametrize("shape", ["three-level", "square"])
def test_what_burns_on_steps_stops_the_reader(appliance, shape):
    result = answer("waveform", appliance=appliance, shape=shape)
    assert levels(result)["not-on-this-wave"] == "stop" and result.findings[0].level == "stop"
    assert value(result, "verdict") == "no"
    assert not {"stop", "caution"} & set(levels(answer("waveform", appliance=appliance, shape="sine")).values())


@pytest.mark.parametrize("appliance", APPLIANCES)
@pytest.mark.parametrize("shape", ["three-level", "square"])
def test_what_is_not_to_be_connected_is_a_stop_and_nothing_else_is(appliance, shape):
    result = answer("waveform", appliance=appliance, shape=shape, fallback="yes")
    assert (value(result, "verdict") == "no") == ("stop" in levels(result).values())


def test_a_medical_device_without_a_fallback_stops_the_reader_on_any_wave():
    for shape in ("sine", "three-level", "square"):
        for fallback in ("no", "unknown"):
            assert levels(answer("waveform", appliance="medical", shape=shape, fallback=fallback))["medical-no-fallback"] == "stop"
    assert "stop" not in levels(answer("waveform", appliance="medical", shape="sine", fallback="yes")).values()


@pytest.mark.parametrize("appliance", APPLIANCES)
def test_a_sine_is_what_every_appliance_is_made_for(appliance):
    assert value(answer("waveform", appliance=appliance, shape="sine", fallback="yes"), "verdict") == "fine"


def test_no_derating_number_where_no_table_reaches():
    result = answer("waveform", appliance="motor")
    text = next(one.text for one in result.findings if one.code == "no-derating-table")
    assert "no derating is given" in text and "0.02" in text and "from memory" in text
    assert not any("derat" in output.name for output in result.outputs)


@pytest.mark.parametrize(
    ("texts", "field"),
    [
        ({"conduction_angle": "0 deg"}, "conduction_angle"), ({"conduction_angle": "181 deg"}, "conduction_angle"), ({"conduction_angle": "-20 deg"}, "conduction_angle"),
        ({"conduction_angle": "101 %"}, "conduction_angle"), ({"conduction_angle": "120 V"}, "conduction_angle"), ({"conduction_angle": "%"}, "conduction_angle"),
        ({"voltage_rms": "0"}, "voltage_rms"), ({"voltage_rms": "230 V", "voltage_peak": "300 V"}, "voltage_peak"), ({"frequency": "500 Hz"}, "frequency"),
        ({"shape": "triangle"}, "shape"), ({"appliance": "spaceship"}, "appliance"), ({"conduction_angle": "100 deg", "meter_reading": "200 V"}, "meter_reading"),
        ({"capacitance": "470 V"}, "capacitance"), ({"locked_rotor_multiple": "1"}, "locked_rotor_multiple"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_said_at_its_field(texts, field):
    with pytest.raises(InputProblems) as caught:
        run(CALCULATORS["waveform"], texts)
    assert field in [problem.field for problem in caught.value.problems]


@pytest.mark.parametrize("texts", [{"shape": "square", "meter_reading": "200 V"}, {"voltage_rms": "230 V", "meter_reading": "256 V"}, {"voltage_peak": "300 V", "meter_reading": "334 V"}])
def test_a_reading_that_no_three_level_wave_has_is_refused(texts):
    with pytest.raises(FieldProblem) as caught:
        run(CALCULATORS["waveform"], texts)
    assert caught.value.field == "meter_reading"


@typed.few
@given(st.floats(5, 179), st.floats(0.1, 1))
def test_a_longer_conduction_angle_lowers_the_peak_and_raises_the_reading(degrees, more):
    narrow, wide = math.radians(degrees), math.radians(degrees + more)
    assert waveform.voltage_peak(230.0, wide) < waveform.voltage_peak(230.0, narrow)
    shown_at = [waveform.reading_average_responding(waveform.voltage_mean_rectified(waveform.voltage_peak(230.0, angle), angle)) for angle in (narrow, wide)]
    assert shown_at[0] < shown_at[1]
    assert waveform.conduction_angle_from_readings(shown_at[0], 230.0) == pytest.approx(narrow, rel=1e-9)


@typed.few
@given(st.floats(1e-7, 1e-3), st.floats(1.01, 10), st.floats(10, 1000))
def test_a_slower_edge_spares_the_dropper(rise, slower, resistance):
    currents = [waveform.dropper_current_rms(0.47e-6, resistance, 325.0, 4, 50.0, time) for time in (rise, rise * slower)]
    assert currents[1] < currents[0] <= 325.0 * math.sqrt(2 * 0.47e-6 * 50 / resistance) * (1 + 1e-9)


@typed.few
@given(st.floats(5, 180))
def test_distortion_is_never_below_its_least(degrees):
    angle = math.radians(degrees)
    assert waveform.distortion_total(waveform.voltage_rms(1.0, angle), waveform.harmonic_peak(1.0, angle, 1) / 2**0.5) >= 0.289635


def test_both_pictures_show_what_was_computed():
    result = answer("waveform", conduction_angle="120 deg", appliance="motor")
    wave, spectrum = result.figures
    assert max(y for _, y in wave.series[0].points) == pytest.approx(value(result, "voltage_peak"))
    assert max(y for _, y in wave.series[2].points) == pytest.approx(math.sqrt(2) * value(result, "voltage_fundamental"))
    bars = dict(spectrum.series[0].points)
    assert bars[5.0] == pytest.approx(20) and bars[3.0] == pytest.approx(0, abs=1e-9) and set(bars) == set(range(3, 26, 2))
    assert spectrum.series[0].bars and dict(spectrum.series[1].points)[3] == pytest.approx(5)


@pytest.mark.parametrize("order", [3, 9, 15, 21])
def test_a_harmonic_that_is_not_there_is_nothing(order):
    """sin(n·60°) is nothing for every third order at a conduction angle of 120°."""
    assert value(answer("waveform", conduction_angle="120 deg"), f"harmonic_{order}") == 0
