"""The formulas against general-purpose solvers that know nothing of them.

scipy and numpy solve, fit, minimise and integrate what calc has in closed form; pvlib
holds the PVWatts inverter; ngspice, where it is installed, solves the circuit itself.
"""

import math
import random
import re
import shutil
import subprocess

import numpy as np
import pvlib
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq, minimize_scalar

from calc.physics import circuit, inverter

NGSPICE = shutil.which("ngspice")


def _supply_paths(count):
    """Random sources with a load they can carry: open-circuit voltage, resistance, ripple, power."""
    chance = random.Random(1)
    for _ in range(count):
        voltage = chance.choice([12.2, 12.8, 25.6, 51.2]) * chance.uniform(0.9, 1.1)
        resistance = 10 ** chance.uniform(-3.5, -1)
        ripple = chance.choice([0.0, chance.uniform(0, 1.4)])
        most = voltage**2 / (4 * resistance * (1 + ripple**2 / 2))
        yield voltage, resistance, ripple, most * chance.uniform(0.001, 0.98)


PATHS = list(_supply_paths(40))
path = pytest.mark.parametrize(("voltage", "resistance", "ripple", "power"), PATHS)


@path
def test_the_constant_power_current_is_the_root_a_solver_brackets(voltage, resistance, ripple, power):
    """brentq finds I in V·I - R·I²·(1 + r²/2) = P below the summit of that parabola."""
    heating = resistance * (1 + ripple**2 / 2)
    root = brentq(lambda i: voltage * i - heating * i**2 - power, 0.0, voltage / (2 * heating), xtol=1e-12, rtol=1e-14)
    assert circuit.current_constant_power(power, voltage, resistance, ripple) == pytest.approx(root, rel=1e-10)


@path
def test_the_collapse_is_the_summit_a_minimiser_finds(voltage, resistance, ripple, power):
    heating = resistance * (1 + ripple**2 / 2)
    top = minimize_scalar(lambda i: heating * i**2 - voltage * i, bounds=(0.0, voltage / resistance), method="bounded", options={"xatol": 1e-9})
    collapse = circuit.power_collapse(voltage, resistance, ripple)
    assert collapse == pytest.approx(-top.fun, rel=1e-9)
    circuit.current_constant_power(collapse * (1 - 1e-9), voltage, resistance, ripple)
    with pytest.raises(ValueError, match="no operating point"):
        circuit.current_constant_power(collapse * (1 + 1e-9), voltage, resistance, ripple)


@path
@pytest.mark.parametrize("trough_sensed", [False, True])
def test_the_limit_is_met_where_a_solver_meets_it(voltage, resistance, ripple, power, trough_sensed):
    """brentq raises the current until the sensed voltage falls to nine tenths."""
    swing = 1 + ripple if trough_sensed else 1.0
    root = brentq(lambda i: voltage - i * resistance * swing - 0.9 * voltage, 0.0, voltage / resistance, xtol=1e-12, rtol=1e-14)
    found = circuit.current_at_voltage(voltage, 0.9 * voltage, resistance, ripple if trough_sensed else 0.0)
    assert found == pytest.approx(root, rel=1e-10)


def _trips():
    """Paths with the sensed voltage they settle at, where that is a voltage at all."""
    for voltage, resistance, ripple, power in PATHS:
        heating = resistance * (1 + ripple**2 / 2)
        current = (voltage - math.sqrt(voltage**2 - 4 * heating * power)) / (2 * heating)
        for swing in {1.0, 1 + ripple}:
            if (limit := voltage - current * resistance * swing) > 0:
                yield voltage, resistance, ripple, power, swing, limit


@pytest.mark.parametrize(("voltage", "resistance", "ripple", "power", "swing", "limit"), list(_trips()))
def test_the_rest_voltage_that_just_trips_is_where_a_solver_meets_the_limit(voltage, resistance, ripple, power, swing, limit):
    """brentq lowers the rest voltage, down to the collapse, until the sensed voltage meets the limit."""
    heating = resistance * (1 + ripple**2 / 2)

    def excess(rest):
        drawn = 2 * power / (rest + math.sqrt(max(rest**2 - 4 * heating * power, 0.0)))
        return rest - drawn * resistance * swing - limit

    root = brentq(excess, 2 * math.sqrt(heating * power), 100 * voltage, xtol=1e-12, rtol=1e-14)
    assert root == pytest.approx(voltage, rel=1e-6)
    assert circuit.voltage_open_circuit_at_limit(power, limit, resistance, ripple, swing - 1) == pytest.approx(root, rel=1e-6)


@pytest.mark.skipif(NGSPICE is None, reason="ngspice, a circuit simulator, is not installed")
def test_a_circuit_simulator_settles_at_the_same_voltages(tmp_path):
    """A source of current P/V behind a resistor. With ngspice's own reltol of 1e-3 it stops too early."""
    smooth = [(voltage, resistance, power) for voltage, resistance, _, power in PATHS if power < 0.9 * voltage**2 / (4 * resistance)][:20]
    lines = ["* constant-power loads behind resistance"]
    for k, (voltage, resistance, power) in enumerate(smooth):
        lines += [f"V{k} a{k} 0 {voltage!r}", f"R{k} a{k} b{k} {resistance!r}", f"B{k} b{k} 0 I={power!r}/V(b{k})", f".nodeset V(b{k})={voltage!r}"]
    nodes = " ".join(f"v(b{k})" for k in range(len(smooth)))
    lines += [".options reltol=1e-10 abstol=1e-12 vntol=1e-12", ".control", "set numdgt=12", "op", f"print {nodes}", "quit", ".endc", ".end"]
    deck = tmp_path / "loads.cir"
    deck.write_text("\n".join(lines) + "\n", "ascii")
    printed = subprocess.run([NGSPICE, "-b", deck], capture_output=True, text=True, timeout=30).stdout
    settled = {int(k): float(volts) for k, volts in re.findall(r"v\(b(\d+)\) = (\S+)", printed)}
    assert len(settled) == len(smooth) >= 10
    for k, (voltage, resistance, power) in enumerate(smooth):
        current = circuit.current_constant_power(power, voltage, resistance, 0.0)
        assert circuit.voltage_mean(voltage, resistance, current) == pytest.approx(settled[k], rel=1e-8)


@pytest.mark.parametrize("ripple", [0.0, 0.3, 0.8, 1.0, 1.4])
def test_the_heating_current_is_the_root_mean_square_integrated(ripple):
    mean_square, _ = quad(lambda angle: (100.0 * (1 + ripple * math.sin(angle))) ** 2, 0, 2 * math.pi)
    assert circuit.current_rms(100.0, ripple) == pytest.approx(math.sqrt(mean_square / (2 * math.pi)), rel=1e-12)


@path
def test_the_power_balance_and_the_trough_hold_over_a_cycle(voltage, resistance, ripple, power):
    """Voltage and current sampled over one cycle of the ripple: their mean product is the power asked for."""
    mean_current = circuit.current_constant_power(power, voltage, resistance, ripple)
    current = mean_current * (1 + ripple * np.sin(np.linspace(0, 2 * np.pi, 4000, endpoint=False)))
    volts = voltage - resistance * current
    assert np.mean(volts * current) == pytest.approx(power, rel=1e-9)
    assert np.mean(volts) == pytest.approx(circuit.voltage_mean(voltage, resistance, mean_current), rel=1e-12)
    assert np.min(volts) == pytest.approx(circuit.voltage_trough(voltage, resistance, mean_current, ripple), rel=1e-9)
    assert np.mean(current**2) * resistance == pytest.approx(circuit.resistance_for_heat(resistance, ripple) * mean_current**2, rel=1e-12)


def _inverters(count):
    """Random inverters: rating, standby, a, b."""
    chance = random.Random(2)
    for _ in range(count):
        rating = chance.uniform(150, 8000)
        yield rating, rating * 10 ** chance.uniform(-3, -1.5), chance.uniform(1.0, 1.15), 10 ** chance.uniform(-2.5, -0.7)


INVERTERS = list(_inverters(25))
model = pytest.mark.parametrize(("rating", "standby", "a", "b"), INVERTERS)


@model
def test_the_loss_terms_are_those_of_a_least_squares_fit(rating, standby, a, b):
    """numpy.polyfit and lstsq on 1/η - P_0/P = a + b·P/P_r, with points that do not lie on one curve."""
    chance = np.random.default_rng(3)
    loads = rating * np.array([0.05, 0.1, 0.3, 0.6, 1.0])
    efficiencies = loads / (standby + a * loads + b * loads**2 / rating) * chance.uniform(0.98, 1.0, 5)
    heights = 1 / efficiencies - standby / loads
    found = inverter.loss_terms_from_points(standby, rating, list(loads), list(efficiencies))
    slope, offset = np.polyfit(loads / rating, heights, 1)
    solved, *_ = np.linalg.lstsq(np.stack([np.ones(5), loads / rating], axis=1), heights, rcond=None)
    assert found == pytest.approx((offset, slope), rel=1e-9)
    assert found == pytest.approx(tuple(solved), rel=1e-9)


@model
def test_the_best_load_is_where_a_minimiser_finds_the_peak(rating, standby, a, b):
    def loss(load):
        return (standby + a * load + b * load**2 / rating) / load

    peak = minimize_scalar(loss, bounds=(1e-6 * rating, rating), method="bounded", options={"xatol": 1e-9 * rating})
    best = inverter.best_load(standby, rating, b)
    assert best == pytest.approx(peak.x, rel=1e-3)
    assert inverter.power_dc(best, 1.0, rating, standby, a, b) / best == pytest.approx(peak.fun, rel=1e-9)


@model
def test_the_loss_terms_from_two_efficiencies_meet_both(rating, standby, a, b):
    """Full-load and peak efficiency taken off a curve by a minimiser give the curve back."""
    if standby > b * rating:
        b = 1.5 * standby / rating  # a curve that peaks below its rating

    def efficiency(load):
        return load / (standby + a * load + b * load**2 / rating)

    peak = minimize_scalar(lambda load: -efficiency(load), bounds=(1e-6 * rating, rating), method="bounded", options={"xatol": 1e-10 * rating})
    found = inverter.loss_terms_from_two(standby, rating, efficiency(rating), -peak.fun)
    assert found == pytest.approx((a, b), rel=1e-4)


@model
def test_the_standby_two_efficiencies_leave_room_for_is_where_a_solver_reaches_one(rating, standby, a, b):
    full, peak = 0.86, 0.86 + 0.1 * b
    root = brentq(lambda draw: inverter.loss_terms_from_two(draw, rating, full, peak)[0] - 1, 0.0, rating, xtol=1e-9)
    assert inverter.standby_power_max(rating, full, peak) == pytest.approx(root, rel=1e-8)


@model
@pytest.mark.parametrize("power_factor", [1.0, 0.6])
def test_the_ac_load_behind_a_dc_power_is_the_root_a_solver_brackets(rating, standby, a, b, power_factor):
    asked = standby + 0.9 * rating
    root = brentq(lambda load: standby + a * load + b * (load / power_factor) ** 2 / rating - asked, 0.0, 2 * rating, xtol=1e-9)
    assert inverter.power_ac_from_dc(asked, power_factor, rating, standby, a, b) == pytest.approx(root, rel=1e-9)
    assert inverter.power_ac_from_dc(0.5 * standby, power_factor, rating, standby, a, b) == 0


SHARES = np.array([0.05, 0.10, 0.20, 0.30, 0.50, 0.75, 1.00])


def _pvwatts(rating_dc, power_dc):
    """AC power of pvlib's PVWatts inverter, nominal efficiency 0.9637, not clipped below full DC power."""
    return pvlib.inverter.pvwatts(power_dc, rating_dc, eta_inv_nom=0.9637)


def test_the_weights_give_the_published_averages_of_the_pvwatts_curve():
    """95.792 % and 96.290 %, with the loads taken as shares of the DC rating."""
    for weights, published in ((inverter.EURO_WEIGHTS, 0.95792), (inverter.CEC_WEIGHTS, 0.96290)):
        shares, parts = np.array(weights).T
        assert parts.sum() == pytest.approx(1, abs=1e-12)
        assert parts @ (_pvwatts(1000.0, 1000.0 * shares) / (1000.0 * shares)) == pytest.approx(published, abs=5e-6)


def _pvwatts_terms():
    """Standby, a and b of the PVWatts curve per watt of AC rating, from seven points of it."""
    rating_dc = 1000.0 / 0.9637
    standby = brentq(lambda power: 0.9858 * power / rating_dc - 0.0162 * (power / rating_dc) ** 2 - 0.0059, 0.0, rating_dc)
    loads = _pvwatts(rating_dc, SHARES * rating_dc)
    return standby, *inverter.loss_terms_from_points(standby, 1000.0, list(loads), list(loads / (SHARES * rating_dc)))


def test_the_loss_model_follows_pvlibs_pvwatts_inverter():
    """Within 0.01 percentage points from 5 % of the rating up.

    They cannot agree exactly: PVWatts takes its losses off the DC power, the handbook
    adds them to the AC power, and the one quadratic is not quite the other's inverse.
    """
    standby, a, b = _pvwatts_terms()
    assert (standby, a, b) == pytest.approx((6.211, 1.01453, 0.016862), rel=1e-4)
    rating_dc = 1000.0 / 0.9637
    for power in np.linspace(0.05, 1.0, 40) * rating_dc:
        load = float(_pvwatts(rating_dc, power))
        modelled = inverter.efficiency(load, inverter.power_dc(load, 1.0, 1000.0, standby, a, b))
        assert modelled == pytest.approx(load / power, abs=1e-4)


def test_the_pvwatts_curve_peaks_where_it_is_published_to():
    """96.625 % at √(0.0059/0.0162) = 0.6035 of the DC rating; the fit has the same top within 0.01 points."""
    standby, a, b = _pvwatts_terms()
    best = inverter.best_load(standby, 1000.0, b)
    top = inverter.efficiency(best, inverter.power_dc(best, 1.0, 1000.0, standby, a, b))
    assert _pvwatts(1000.0, 603.5) / 603.5 == pytest.approx(0.96625, abs=5e-6)
    assert top == pytest.approx(0.96625, abs=1e-4)
    assert best / top / (1000.0 / 0.9637) == pytest.approx(0.6035, abs=0.005)
