"""runtime: against a differential equation solved by scipy, closed forms, and hours by hand."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from calc import tables
from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.errors import FieldProblem, InputProblems
from calc.physics import battery, discharge
from tests.calc import typed
from tests.calc.cases import answer, levels, shown, value

KNOWN = {"age": "100 %", "temperature": "26.7 °C", "cut_out": "10.5 V", "path_resistance": "4 mΩ", "battery_resistance": "6 mΩ"}
CURVES = {"flooded": "rest_voltage_lead_acid_bci", "lithium-iron-phosphate": "rest_voltage_lfp_pybamm"}


def integrated(chemistry, power, capacity, hours, exponent, resistance, floor, cut_out):
    """Hours until the floor or the cut-out: dQ/dt = -I·w with I from a bracketed root, by scipy alone."""
    table = tables.load(CURVES[chemistry])
    states, volts = table.column("state_of_charge"), table.column("voltage")

    def current(state):
        rest = np.interp(state, states, volts)
        return brentq(lambda i: rest * i - resistance * i * i - power, 0.0, rest / (2 * resistance), xtol=1e-12)

    def fall(_, state):
        drawn = current(state[0])
        return [-drawn * max(drawn * hours / capacity, 1.0) ** (exponent - 1) / (capacity * 3600)]

    def cuts_out(_, state):
        return np.interp(state[0], states, volts) - current(state[0]) * resistance - cut_out

    def at_floor(_, state):
        return state[0] - floor

    cuts_out.terminal = at_floor.terminal = True
    solved = solve_ivp(fall, (0, 400 * 3600), [1.0], events=[cuts_out, at_floor], rtol=1e-8, atol=1e-10, max_step=100 * 3600 / power)
    return solved.t[-1] / 3600


@pytest.mark.parametrize(
    ("chemistry", "power", "capacity", "exponent", "depth"),
    [("flooded", 60, 100, 1.2, 50), ("flooded", 400, 100, 1.3, 80), ("flooded", 1000, 200, 1.15, 60), ("lithium-iron-phosphate", 500, 100, 1.0, 80), ("lithium-iron-phosphate", 1200, 150, 1.0, 90)],
)
def test_hours_are_those_of_the_differential_equation(chemistry, power, capacity, exponent, depth):
    """24 steps of equal charge against an adaptive solver: within half a per cent."""
    result = answer("runtime", **KNOWN, chemistry=chemistry, power_dc=f"{power} W", capacity=f"{capacity} Ah", peukert=f"{exponent}", depth_limit=f"{depth} %")
    expected = integrated(chemistry, power, capacity, 20.0, exponent, 0.010, 1 - depth / 100, 10.5)
    assert shown(result, "runtime") == pytest.approx(expected, rel=5e-3)


def test_the_stepped_form_is_peukerts_law_at_a_constant_current():
    """Without resistance and at one voltage a constant power is a constant current: t = d·H·(C/(I·H))^k, by hand 4.353 h."""
    flat = [12.0, 12.0000001], [0.0, 1.0]
    time, charge = discharge.discharge_constant_power(120.0, 100 * 3600.0, 20 * 3600.0, 1.2, 1e-12, *flat, 1.0, 0.5)
    assert time / 3600 == pytest.approx(0.5 * 20 * (100 / (10 * 20)) ** 1.2, rel=1e-6)
    assert charge / 3600 == pytest.approx(43.53, abs=0.005)


def test_constant_power_behind_a_resistance_by_closed_form():
    """12.8 V, 10 mΩ, 1000 W: 83.583 A, so 100 Ah last 1.1964 h, where 1280 Wh promises 1.28 h."""
    flat = [12.8, 12.8000001], [0.0, 1.0]
    time, _ = discharge.discharge_constant_power(1000.0, 100 * 3600.0, 3600.0, 1.0, 0.01, *flat, 1.0, 0.0)
    assert time / 3600 == pytest.approx(1.1964, abs=5e-5)


@pytest.mark.parametrize("state", [0.1, 0.33, 0.5, 0.77, 0.99])
def test_the_two_directions_of_the_table_agree(state):
    for name in CURVES.values():
        curve = tables.load(name).column("voltage"), tables.load(name).column("state_of_charge")
        assert battery.state_of_charge_at_rest(battery.voltage_at_rest(state, *curve), *curve) == pytest.approx(state, rel=1e-9)


def test_the_voltage_ends_it_where_a_solver_meets_the_cut_out():
    """1000 W through 10 mΩ at 10.5 V: V_oc = 10.5 + 1000/10.5·0.010 = 11.452 V is below the table, so it is energy; at 1600 W, 12.024 V."""
    by_energy = answer("runtime", **KNOWN, chemistry="flooded", power_dc="1000 W", depth_limit="100 %")
    assert value(by_energy, "ends_by") == "energy" and value(by_energy, "state_of_charge_end") == 0
    by_voltage = answer("runtime", **KNOWN, chemistry="flooded", power_dc="1600 W", depth_limit="100 %")
    assert value(by_voltage, "ends_by") == "voltage"
    assert value(by_voltage, "voltage_end") == pytest.approx(10.5, abs=1e-9)
    # 10.5 + 1600/10.5·0.010 = 12.0238 V lies 0.1338 V into the 0.17 V between 0 and 25 %.
    assert value(by_voltage, "state_of_charge_end") == pytest.approx(0.25 * 0.13381 / 0.17, abs=1e-4)


def test_a_current_limit_ends_it_by_hand():
    """1280 W at 101.5 A is 12.6108 V at the end of 3 mΩ, so 12.9153 V at rest: 35.4 % on the lithium table."""
    result = answer("runtime", "the limit ends it")
    assert value(result, "ends_by") == "current"
    assert value(result, "current_end") == pytest.approx(101.5, rel=1e-9)
    assert value(result, "state_of_charge_end") == pytest.approx(0.30 + 0.10 * (12.6108 + 0.3045 - 12.814) / 0.188, abs=1e-3)


def test_orders_of_magnitude_of_the_trade():
    """20 W behind a 2000 W inverter on a 100 Ah AGM to half: about 16 h; 1500 W: minutes; lithium at 500 W: about 2 h."""
    same = {"age": "100 %", "temperature": "26.7 °C", "battery_resistance": "6 mΩ"}
    assert shown(answer("runtime", **same, chemistry="agm", power_ac="20 W"), "runtime") == pytest.approx(16, rel=0.1)
    assert shown(answer("runtime", **same, chemistry="agm", power_ac="1500 W"), "runtime") == pytest.approx(0.2, rel=0.25)
    assert shown(answer("runtime", **same, chemistry="lithium-iron-phosphate", power_ac="500 W", depth_limit="90 %"), "runtime") == pytest.approx(2.1, rel=0.1)


def test_the_label_promises_amp_hours_times_volts_over_watts():
    assert shown(answer("runtime", power_ac="75 W", capacity="100 Ah"), "runtime_label") == pytest.approx(16)


def test_peukert_is_not_for_lithium():
    slow, fast = (answer("runtime", **KNOWN, chemistry="lithium-iron-phosphate", power_dc="800 W", peukert=k) for k in ("1", "1.3"))
    assert value(slow, "runtime") == value(fast, "runtime")
    assert not any(step.source == "peukert" for step in fast.working)


def test_cold_is_not_taken_off_lithium_without_a_table_and_it_is_said():
    warm, cold = (answer("runtime", **{**KNOWN, "temperature": t}, chemistry="lithium-iron-phosphate", power_dc="200 W") for t in ("25 °C", "0 °C"))
    assert value(warm, "runtime") == value(cold, "runtime")
    assert "cold-not-held" in levels(cold) and "cold-not-held" not in levels(warm)


@pytest.mark.parametrize(("temperature", "stops"), [("-21 °C", True), ("-19 °C", False)])
def test_below_the_coldest_discharge_the_answer_begins_with_the_stop(temperature, stops):
    """Lithium iron phosphate is discharged down to -20 °C."""
    result = answer("runtime", **{**KNOWN, "temperature": temperature}, chemistry="lithium-iron-phosphate", power_dc="200 W")
    assert result.answer.startswith("Do not discharge it") == stops
    assert (levels(result).get("too-cold") == "stop") == stops
    assert ("charge-too-cold" in levels(result)) != stops, "it says that it may be discharged"


LOADS = st.sampled_from([{"power_dc": "40 W"}, {"power_dc": "300 W"}, {"power_ac": "60 W"}, {"power_ac": "700 W"}])
KINDS = st.sampled_from(["flooded", "agm", "gel", "lead-acid", "lithium-iron-phosphate"])


def longer_or_same(field, worse, better, **fixed):
    """The runtime with the worse text is not above the one with the better."""
    results = [typed.answered("runtime", {**fixed, field: text}) for text in (worse, better)]
    assert None not in results
    hours = [value(result, "runtime") for result in results]
    assert hours[0] <= hours[1] * (1 + 1e-9) + 1e-9


@typed.few
@given(KINDS, LOADS, st.tuples(st.floats(-6, 60), st.floats(-6, 60)).map(sorted))
def test_colder_never_runs_longer(chemistry, load, temperatures):
    longer_or_same("temperature", *(f"{t:.2f} °C" for t in temperatures), chemistry=chemistry, **load)


@typed.few
@given(KINDS, LOADS, st.tuples(st.floats(26.7, 60), st.floats(26.7, 60)))
def test_heat_earns_no_credit(chemistry, load, temperatures):
    first, second = (value(answer("runtime", chemistry=chemistry, temperature=f"{t:.2f} °C", **load), "runtime") for t in temperatures)
    assert first == second


@typed.few
@given(KINDS, LOADS, st.tuples(st.floats(30, 100), st.floats(30, 100)).map(sorted))
def test_an_older_battery_never_runs_longer(chemistry, load, shares):
    longer_or_same("age", *(f"{share:.2f} %" for share in shares), chemistry=chemistry, **load)


@typed.few
@given(st.sampled_from(["flooded", "agm", "gel"]), LOADS, st.tuples(st.floats(1, 1.6), st.floats(1, 1.6)).map(sorted))
def test_a_larger_exponent_never_runs_longer(chemistry, load, exponents):
    longer_or_same("peukert", *(f"{k:.4f}" for k in reversed(exponents)), chemistry=chemistry, **load)


@typed.few
@given(KINDS, st.tuples(st.floats(5, 1900), st.floats(5, 1900)).map(sorted))
def test_more_power_never_runs_longer(chemistry, powers):
    longer_or_same("power_dc", *(f"{power:.2f} W" for power in reversed(powers)), chemistry=chemistry)


@typed.few
@given(KINDS, LOADS, st.floats(1, 20))
def test_never_more_than_the_rated_capacity(chemistry, load, hours):
    result = answer("runtime", chemistry=chemistry, rate_hours=f"{hours:.2f} h", depth_limit="100 %", capacity="100 Ah", age="100 %", temperature="40 °C", **load)
    assert shown(result, "charge") <= 100 * (1 + 1e-9)


@pytest.mark.parametrize(
    ("field", "typed_in"),
    [
        ("cut_out", {"cut_out": "15 V"}),
        ("cut_out", {"voltage_nominal": "24 V", "cut_out": "29 V"}),
        ("voltage_nominal", {"voltage_nominal": "18 V"}),
        ("power_ac", {"power_ac": "2500 W"}),
        ("power_ac", {"power_ac": "1500 W", "power_factor": "0.6"}),
        ("power_ac", {"power_ac": "0 W", "standby_power": "0 W"}),
        ("efficiency_peak", {"efficiency_peak": "80 %"}),
        ("depth_limit", {"depth_limit": "120 %"}),
        ("temperature", {"temperature": "-20 °C", "chemistry": "flooded"}),
        ("temperature", {"temperature": "-5 ± 5 °C", "chemistry": "agm"}),
        ("chemistry", {"chemistry": "lithium ion"}),
        ("peukert", {"peukert": "0.9"}),
        ("capacity", {"capacity": "100 Wh"}),
        ("capacity", {"capacity": "-100 Ah"}),
        ("state_of_charge", {"state_of_charge": "0 %"}),
        ("age", {"age": "140 %"}),
        ("power_dc", {"power_ac": "100 W", "power_dc": "120 W"}),
    ],
)
def test_what_cannot_be_used_names_its_field(field, typed_in):
    with pytest.raises((InputProblems, FieldProblem)) as caught:
        run(CALCULATORS["runtime"], typed_in)
    problems = getattr(caught.value, "problems", (caught.value,))
    assert [problem.field for problem in problems] == [field]
    assert problems[0].text


def test_what_stops_the_reader_is_named_in_the_answer():
    assert answer("runtime", "it does not start").answer.startswith("Not at all")
    assert "100 A limit" in answer("runtime", "above the limit at once").answer.replace("\u00a0", " ")
    assert value(answer("runtime", "it collapses"), "runtime") == 0


def test_what_is_not_known_goes_by_the_kind_of_battery():
    """The exponent of an AGM is 1.05 to 1.15 by the table, that of a flooded one 1.15 to 1.35."""
    for kind, ends in (("agm", (1.05, 1.10, 1.15)), ("flooded", (1.15, 1.20, 1.35))):
        given_back = answer("runtime", chemistry=kind).input("peukert")
        assert (given_back.low, given_back.value, given_back.high) == ends and given_back.how == "unknown"
    assert answer("runtime", chemistry="lithium-iron-phosphate").input("depth_limit").value == 0.8
    assert answer("runtime", chemistry="gel").input("depth_limit").value == 0.5
