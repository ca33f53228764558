"""Facts that hold whatever is typed: which way an answer may move, and where its range lies."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.calculators import CALCULATORS
from calc.calculators.form import read_inputs
from calc.errors import FieldProblem, InputProblems
from calc.physics import battery, circuit, conductor, inverter
from calc.units import from_si
from tests.calc import typed
from tests.calc.cases import CASES, answer, in_every_case, value

SAME = 1 + 1e-9
"""Room for the last bits of a float."""


def compare(calculator, texts, field, first, second, **worse):
    """Two answers that differ in one field, output by output; nothing where either is refused or has no number."""
    one, other = (typed.answered(calculator, {**texts, field: text}) for text in (first, second))
    if one is None or other is None:
        return
    for name, holds in worse.items():
        before, after = value(one, name), value(other, name)
        if before is not None and after is not None:
            assert holds(before, after), f"{name} goes from {before} to {after} when {field} goes from {first} to {second}"


def not_less(before, after):
    return after >= before - abs(before) * (SAME - 1)


def not_more(before, after):
    return after <= before + abs(before) * (SAME - 1)


def pairs(low, high):
    """Two numbers, the smaller first."""
    return st.tuples(st.floats(low, high), st.floats(low, high)).map(sorted)


@typed.few
@given(typed.valid("dc-cable", area="70 mm²"), pairs(0.1, 20))
def test_a_longer_cable_never_drops_less(texts, lengths):
    first, second = (f"{length:.3f} m" for length in lengths)
    compare("dc-cable", texts, "length_one_way", first, second, voltage_drop=not_less, drop=not_less, resistance_loop=not_less, loss=not_less, area_for_drop=not_less)


@typed.few
@given(typed.valid("supply-path", area="35 mm²"), pairs(0.1, 20))
def test_a_longer_cable_never_raises_the_voltage_at_the_inverter(texts, lengths):
    first, second = (f"{length:.3f} m" for length in lengths)
    compare(
        "supply-path", texts, "length_one_way", first, second,
        voltage_inverter=not_more, voltage_trough=not_more, power_dc_max=not_more, drop_cable=not_less, voltage_open_circuit_trip=not_less,
    )  # fmt: skip


SERIES = {"class-5": ["35 mm²", "50 mm²", "70 mm²", "95 mm²", "120 mm²"], "class-2": ["35 mm²", "50 mm²", "70 mm²", "95 mm²"], "awg": ["4 AWG", "2 AWG", "1 AWG", "1/0 AWG", "2/0 AWG", "4/0 AWG"]}


@pytest.mark.parametrize("kind", SERIES)
def test_a_thicker_cable_never_drops_more(kind):
    """Within one kind of conductor. Across kinds a bigger name may hold less copper: 50 mm² and 1/0 AWG."""

    @typed.few
    @given(typed.valid("dc-cable", conductor=kind), st.lists(st.sampled_from(range(len(SERIES[kind]))), min_size=2, max_size=2).map(sorted))
    def holds(texts, places):
        first, second = (SERIES[kind][place] for place in places)
        compare(
            "dc-cable", texts, "area", first, second,
            voltage_drop=not_more, loss=not_more, conductor_temperature=not_more, ampacity=not_less, length_one_way_max=not_less,
        )  # fmt: skip

    holds()


def size(result, name):
    """A size, where none fits counting as larger than all."""
    return math.inf if value(result, name) is None else value(result, name)


@typed.few
@given(typed.valid("dc-cable"), pairs(-20, 70))
def test_a_hotter_place_never_asks_for_a_thinner_cable(texts, temperatures):
    results = [typed.answered("dc-cable", {**texts, "ambient": f"{temperature:.2f} °C"}) for temperature in temperatures]
    if None not in results:
        for name in ("area_for_heat", "area_for_drop", "area_chosen"):
            assert size(results[0], name) <= size(results[1], name)


def test_a_hotter_engine_space_never_carries_more():
    """33 CFR takes 0.85 at 50 °C, a little more than the square law; past 50 °C it may not come back."""
    hot, hotter = (
        answer("dc-cable", rule="us-boats-33-cfr-183", area="2 AWG", insulation="105 °C", terminal_temperature="105 °C", engine_space="yes", current_dc="10 A", ambient=ambient)
        for ambient in ("50 ± 0 °C", "50.2 ± 0 °C")
    )
    assert value(hotter, "ampacity") <= value(hot, "ampacity")


@typed.few
@given(typed.valid("dc-cable"), pairs(5, 600))
def test_more_current_never_asks_for_a_thinner_cable(texts, currents):
    texts = {name: text for name, text in texts.items() if name not in ("power_ac", "voltage_min")}
    results = [typed.answered("dc-cable", {**texts, "current_dc": f"{current:.2f} A"}) for current in currents]
    if None not in results:
        for name in ("area_for_heat", "area_for_drop", "area_chosen"):
            assert size(results[0], name) <= size(results[1], name)


@typed.few
@given(typed.valid("supply-path"), pairs(0.5, 40))
def test_more_resistance_never_carries_more(texts, resistances):
    first, second = (f"{resistance:.4f} mΩ" for resistance in resistances)
    for field in ("battery_resistance", "joint_resistance"):
        compare("supply-path", texts, field, first, second, power_dc_max=not_more, power_ac_max=not_more, voltage_inverter=not_more, margin=not_more)


@typed.few
@given(typed.valid("supply-path"), pairs(0, 1.4))
def test_ripple_never_raises_the_trough(texts, ripples):
    first, second = (f"{ripple:.4f}" for ripple in ripples)
    texts = {**texts, "cut_out_senses": "trough"}
    compare("supply-path", texts, "ripple", first, second, voltage_trough=not_more, voltage_inverter=not_more, power_dc_max=not_more, current_rms=not_less)


@typed.few
@given(typed.valid("supply-path"), pairs(9, 11.9))
def test_a_lower_cut_out_never_carries_less(texts, voltages):
    texts = {name: text for name, text in texts.items() if name not in ("lock_out", "recovery")}
    first, second = (f"{voltage:.3f} V" for voltage in voltages)
    compare("supply-path", texts, "cut_out", first, second, power_dc_max=not_more, power_ac_max=not_more, margin=not_more)


@typed.few
@given(typed.valid("standby", standby_power="9 W"), pairs(0.5, 60))
def test_a_bigger_standby_never_takes_less(texts, powers):
    first, second = (f"{power:.3f} W" for power in powers)
    compare("standby", texts, "standby_power", first, second, charge_per_day=not_less, energy_per_day=not_less, panel_power=not_less, days_to_empty=not_more)


@typed.few
@given(typed.valid("conversion-loss"), pairs(1, 1500))
def test_more_load_never_takes_less(texts, powers):
    first, second = (f"{power:.3f} W" for power in powers)
    compare("conversion-loss", texts, "power_ac", first, second, power_dc=not_less, loss=not_less, current_dc=not_less)


@typed.few
@given(typed.valid("conversion-loss"))
def test_no_inverter_makes_power(texts):
    result = typed.answered("conversion-loss", texts)
    for name in ("efficiency", "efficiency_best", "efficiency_euro", "efficiency_cec") if result else ():
        output = result.output(name)
        assert output.value is None or (0 <= output.value < 1 and (output.high is None or output.high <= 1))
    if result:
        assert value(result, "loss") >= 0 and value(result, "power_dc") >= 0


def check_order(result):
    for output in result.outputs:
        if output.value is None or isinstance(output.value, str):
            assert output.low is output.high is None
            continue
        low, high = (output.value if end is None else end for end in (output.low, output.high))
        for number in (low, output.value, high):
            assert isinstance(number, (int, float)) and math.isfinite(number), f"{output.name} is {number}"  # a count is an int
        room = 1e-9 * abs(output.value)
        assert low - room <= output.value <= high + room, f"{output.name}: {output.low} ≤ {output.value} ≤ {output.high}"
        assert output.mover or low == high, f"{output.name} has a range and nothing that moves it"


@pytest.mark.parametrize("calculator", CASES)
def test_low_likely_and_high_stand_in_their_order(calculator):
    @typed.many
    @given(typed.valid(calculator))
    def stand(texts):
        if result := typed.answered(calculator, texts):
            check_order(result)

    stand()


@in_every_case
def test_low_likely_and_high_stand_in_their_order_in_every_case(calculator, case):
    check_order(answer(calculator, case))


def likely(calculator, texts):
    """The outputs without their ranges and words; None where what is typed is refused."""
    ask = CALCULATORS[calculator]
    try:
        inputs = read_inputs(ask.fields, ask.alternatives, texts)
        ask.check(inputs.values)
        return ask.evaluate(inputs.values)
    except (InputProblems, FieldProblem):
        return None


@in_every_case
def test_a_range_holds_what_each_input_alone_can_do(calculator, case):
    """Each uncertain input typed as exact at either end: no output may leave its range."""
    texts, whole = CASES[calculator][case], answer(calculator, case)
    for one in whole.inputs:
        if one.low is None or one.low == one.high or not one.used:
            continue
        for end in (one.low, one.high):
            moved = likely(calculator, {**texts, one.name: f"{from_si(end, one.unit)!r} ± 0 {one.unit}"})
            if moved is None:  # an end of one range may contradict another input; it is not an answer then
                continue
            for output in whole.outputs:
                found = moved[output.name]
                if isinstance(found, float) and isinstance(output.value, float):
                    room = 1e-6 * max(abs(found), abs(output.value))
                    assert output.low is None or output.low - room <= found, f"{output.name} falls to {found} with {one.name} at {end}, below {output.low}"
                    assert output.high is None or found <= output.high + room, f"{output.name} rises to {found} with {one.name} at {end}, above {output.high}"


positive = st.floats(0.01, 100)


@typed.few
@given(st.floats(6, 60), st.floats(1e-4, 0.1), st.floats(0, 1.5), st.floats(0.01, 0.99))
def test_the_formulas_of_the_supply_path_undo_each_other(voltage, resistance, ripple, share):
    power = share * circuit.power_collapse(voltage, resistance, ripple)
    current = circuit.current_constant_power(power, voltage, resistance, ripple)
    assert circuit.power_at_current(voltage, resistance, current, ripple) == pytest.approx(power, rel=1e-9)
    mean = circuit.voltage_mean(voltage, resistance, current)
    assert circuit.current_at_voltage(voltage, mean, resistance, 0.0) == pytest.approx(current, rel=1e-6)
    assert circuit.voltage_trough(voltage, resistance, current, ripple) <= mean < voltage


@typed.few
@given(positive, positive, st.floats(1, 200))
def test_the_formulas_of_a_warm_conductor_undo_each_other(current, rating, rise):
    allowed = conductor.conductor_temperature(0.0, rise, current, rating)
    assert conductor.current_for_temperature(allowed, rise, rating) == pytest.approx(current, rel=1e-9)


@typed.few
@given(st.floats(100, 8000), st.floats(0, 30), st.floats(1, 1.2), st.floats(0, 0.3), st.floats(0.3, 1), st.floats(0.01, 1))
def test_the_formulas_of_an_inverter_undo_each_other(rating, standby, a, b, power_factor, share):
    drawn = inverter.power_dc(share * rating, power_factor, rating, standby, a, b)
    assert inverter.power_ac_from_dc(drawn, power_factor, rating, standby, a, b) == pytest.approx(share * rating, rel=1e-9)


@typed.few
@given(st.floats(11.89, 12.65))
def test_a_rest_voltage_outside_the_table_has_no_state_of_charge(voltage):
    table = [11.89, 12.06, 12.24, 12.45, 12.65]
    charge = battery.state_of_charge_at_rest(voltage, table, [0.0, 0.25, 0.5, 0.75, 1.0])
    assert 0 <= charge <= 1
    for outside in (11.88, 12.66):
        with pytest.raises(ValueError, match="outside the table"):
            battery.state_of_charge_at_rest(outside, table, [0.0, 0.25, 0.5, 0.75, 1.0])
