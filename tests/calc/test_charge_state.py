"""charge-state: bands and stop voltages by hand; the table read by numpy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc import tables
from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.errors import FieldProblem, InputProblems
from calc.physics import battery
from tests.calc import typed
from tests.calc.cases import answer, levels, value

RESTED = {"chemistry": "flooded", "rested": "1000 h", "came_before": "load", "temperature": "26.7 °C ± 0", "current": "0 A", "voltage_at_once": "0 V", "rest_offset": "0 V"}
"""A reading with nothing to take off: the table alone."""


@pytest.mark.parametrize("voltage", [11.89, 12.0, 12.06, 12.2, 12.3, 12.45, 12.6, 12.65])
def test_at_rest_it_is_the_table_as_numpy_reads_it(voltage):
    table = tables.load("rest_voltage_lead_acid_bci")
    expected = np.interp(voltage, table.column("voltage"), table.column("state_of_charge"))
    assert value(answer("charge-state", **RESTED, voltage=f"{voltage} V"), "state_of_charge") == pytest.approx(expected, abs=1e-9)


def test_the_band_of_a_pocket_meter():
    """±0.6 % of 12.24 V is ±73 mV: 75 to 50 % spans 0.21 V and 50 to 25 % 0.18 V, so +8.7 and -10.2 points."""
    result = answer("charge-state", **RESTED, voltage="12.24 V", meter_accuracy="0.6 %")
    output = result.output("state_of_charge")
    assert output.value == pytest.approx(0.50)
    assert (output.low, output.high) == pytest.approx((0.50 - 0.25 * 0.07344 / 0.18, 0.50 + 0.25 * 0.07344 / 0.21), abs=1e-6)
    assert output.mover == "Voltage at the posts"


def test_a_stated_range_goes_before_the_meter():
    output = answer("charge-state", **RESTED, voltage="12.24 ± 0.01 V", meter_accuracy="5 %").output("state_of_charge")
    assert output.low == pytest.approx(0.50 - 0.25 * 0.01 / 0.18, abs=1e-6)


def test_a_current_through_the_resistance_by_hand():
    """30 A through 9 mΩ is 0.27 V: 11.97 V under load is 12.24 V at rest, half full."""
    asked = {**RESTED, "current": "30 A", "battery_resistance": "9 mΩ"}
    result = answer("charge-state", **asked, voltage="11.97 V")
    assert value(result, "state_of_charge") == pytest.approx(0.50, abs=1e-9)
    assert value(result, "drop") == pytest.approx(0.27)
    # Ten amps are 0.09 V, about 11 points of the 0.8 V between empty and full.
    ten = answer("charge-state", **{**asked, "current": "10 A"}, voltage="12.24 V")
    assert value(ten, "state_of_charge") - 0.50 == pytest.approx(0.11, abs=0.01)


@pytest.mark.parametrize(("current", "volts"), [(2, 12.22), (30, 11.97), (100, 11.34), (150, 10.89)])
def test_the_stop_voltage_goes_by_the_current(current, volts):
    """12.24 V - I·9 mΩ."""
    result = answer("charge-state", **{**RESTED, "current": f"{current} A", "battery_resistance": "9 mΩ"}, voltage="12 V", depth_limit="50 %")
    assert value(result, "stop_voltage") == pytest.approx(volts, abs=0.005)


def test_a_reading_below_the_stop_voltage_is_said_to_be_past_it():
    """Half of the table's charge is 12.24 V: at 12.0 V the limit lies behind, at 12.4 V ahead."""
    past, ahead = (answer("charge-state", **RESTED, voltage=volts, depth_limit="50 %").answer for volts in ("12.0 V", "12.4 V"))
    assert "past the 50\u00a0%" in past and "stop at" not in past
    assert "stop at 12.24\u00a0V" in ahead and "past" not in ahead


def test_a_battery_that_may_be_frozen_is_nowhere_said_to_be_charged():
    """11.6 V at rest lies below the table; at -20 °C its acid may be frozen."""
    def below(temperature):
        return {one.code: one.text for one in answer("charge-state", **{**RESTED, "temperature": temperature}, voltage="11.6 V").findings}

    assert "may-be-frozen" in below("-20 °C") and "charge it now" not in below("-20 °C")["below-table"]
    assert "may-be-frozen" not in below("20 °C") and "charge it now" in below("20 °C")["below-table"]


def test_temperature_moves_a_rest_voltage_by_a_fifth_of_a_millivolt_a_cell():
    """20 K colder than the table: 6 cells · 0.2 mV/K · 20 K = 24 mV lower at the same charge."""
    result = answer("charge-state", **{**RESTED, "temperature": "6.7 °C"}, voltage="12.216 V")
    assert value(result, "temperature_shift") == pytest.approx(-0.024)
    assert value(result, "state_of_charge") == pytest.approx(0.50, abs=1e-9)


def test_surface_charge_by_hand():
    """0.4 V straight after charging, halved in one hour and a fifth of it left after four."""
    asked = {**RESTED, "came_before": "charge", "voltage_at_once": "0.4 V"}
    for hours, left in ((0, 0.4), (1, 0.2), (4, 0.08)):
        assert value(answer("charge-state", **{**asked, "rested": f"{hours} h"}, voltage="12.6 V"), "lingering") == pytest.approx(left)
    after_load = answer("charge-state", **{**asked, "came_before": "load", "rested": "1 h"}, voltage="12.1 V")
    assert value(after_load, "lingering") == pytest.approx(-0.1)


def test_24_and_48_volts_read_as_two_and_four_times_12():
    for count, text in ((2, "24.48 V"), (4, "48.96 V")):
        result = answer("charge-state", **RESTED, voltage=text)
        assert value(result, "state_of_charge") == pytest.approx(0.50, abs=1e-9)
        assert value(result, "stop_voltage_rest") == pytest.approx(count * 12.24)


def test_readings_that_contradict_each_other_give_no_state_and_no_stop_voltage():
    """12.4 V at 150 A through 20 mΩ would rest at 15.4 V, above any lead-acid battery's float voltage of 13.5 V."""
    result = answer("charge-state", "readings that contradict each other")
    assert value(result, "state_of_charge") is None and value(result, "verdict") == "contradicts"
    assert value(result, "stop_voltage") is None and value(result, "stop_voltage_rest") is not None
    assert result.answer.startswith("Neither the charge nor where to stop can be told")
    assert "15.4\u00a0V at rest" in result.answer and "%" not in result.answer and "stop at" not in result.answer
    assert value(answer("charge-state", **{**RESTED, "current": "30 A", "battery_resistance": "20 mΩ"}, voltage="12.4 V"), "state_of_charge") == 1


def test_lithium_under_load_leaves_the_plateau_open():
    """13 V at 60 A through 8 mΩ: rested it lies anywhere from the 13 V read, 57 % or less, to nearly full."""
    result = answer("charge-state", chemistry="lithium-iron-phosphate", voltage="13 V", current="60 A", battery_resistance="8 mΩ")
    output = result.output("state_of_charge")
    table = tables.load("rest_voltage_lfp_pybamm")
    assert output.low < np.interp(13.0, table.column("voltage"), table.column("state_of_charge")) and output.high > 0.95
    assert value(result, "verdict") == "nothing"


def test_an_empty_battery_is_not_said_to_be_perhaps_full():
    """11.6 V at 5 A lies below the table with every meter error: its band ends at empty."""
    result = answer("charge-state", chemistry="agm", voltage="11.6 V", current="5 A")
    assert result.output("state_of_charge").high == 0 and "100" not in result.answer


def test_the_flat_part_of_lithium_is_no_reading():
    """13.06 V ± 78 mV and a table good to 0.1 V: tens of points either way."""
    result = answer("charge-state", "lithium, flat")
    output = result.output("state_of_charge")
    assert value(result, "verdict") == "nothing" and "says next to nothing" in result.answer
    assert output.high - output.low > 0.4
    assert levels(result)["flat"] == "caution"


def test_a_charging_battery_has_no_reading_at_all():
    result = answer("charge-state", "being charged")
    assert value(result, "state_of_charge") is None and value(result, "verdict") == "nothing"


def test_what_the_reading_is_worth():
    assert value(answer("charge-state", **RESTED, voltage="12.3 V"), "verdict") == "reads"
    assert value(answer("charge-state", "just charged"), "verdict") in ("rough", "nothing")
    assert value(answer("charge-state", **{**RESTED, "current": "40 A", "battery_resistance": "9 mΩ"}, voltage="12 V"), "verdict") == "rough"
    assert value(answer("charge-state", **{**RESTED, "meter_accuracy": "5 %"}, voltage="12.3 V"), "verdict") == "nothing"


@pytest.mark.parametrize(
    ("typed_in", "code"),
    [
        ({"voltage": "9.9 V", "chemistry": "lithium-iron-phosphate"}, "too-deep"),
        ({"voltage": "19.8 V", "voltage_nominal": "24 V", "chemistry": "lithium-iron-phosphate"}, "too-deep"),
        ({"voltage": "14.8 V", "chemistry": "lithium-iron-phosphate", "current": "-5 A"}, "over-voltage"),
        ({"voltage": "14.7 V", "chemistry": "gel", "current": "-5 A"}, "over-voltage"),
        ({"voltage": "13.5 V", "chemistry": "lithium-iron-phosphate", "current": "-1 A", "temperature": "-1 °C"}, "charge-too-cold"),
        ({"voltage": "12.0 V", "chemistry": "flooded", "temperature": "-20 °C"}, "may-be-frozen"),
        ({"voltage": "14 V", "chemistry": "agm", "temperature": "-12 °C", "current": "-5 A"}, "may-be-frozen"),
    ],
)
def test_what_must_stop_the_reader_does(typed_in, code):
    assert levels(answer("charge-state", typed_in))[code] == "stop"


@pytest.mark.parametrize(
    ("typed_in", "code"),
    [
        ({"voltage": "10.1 V", "chemistry": "lithium-iron-phosphate"}, "too-deep"),
        ({"voltage": "14.6 V", "chemistry": "lithium-iron-phosphate", "current": "-5 A"}, "over-voltage"),
        ({"voltage": "16.0 V", "chemistry": "flooded", "current": "-5 A"}, "over-voltage"),
        ({"voltage": "13.5 V", "chemistry": "lithium-iron-phosphate", "current": "1 A", "temperature": "-1 °C"}, "charge-too-cold"),
        ({"voltage": "12.6 V", "chemistry": "flooded", "temperature": "-20 °C", "rested": "24 h", "came_before": "load"}, "may-be-frozen"),
        ({"voltage": "12.0 V", "chemistry": "flooded", "temperature": "0 °C"}, "may-be-frozen"),
    ],
)
def test_what_need_not_stop_the_reader_does_not(typed_in, code):
    assert code not in levels(answer("charge-state", typed_in))


@typed.few
@given(st.sampled_from(["flooded", "agm", "gel", "lithium-iron-phosphate"]), st.tuples(st.floats(10.5, 14), st.floats(10.5, 14)).map(sorted))
def test_a_higher_voltage_is_never_less_charge(chemistry, voltages):
    low, high = (value(answer("charge-state", chemistry=chemistry, voltage=f"{volts:.3f} V"), "state_of_charge") for volts in voltages)
    assert 0 <= low <= high <= 1


@typed.few
@given(typed.valid("charge-state"))
def test_the_band_holds_the_likely_value_and_stays_within_empty_and_full(texts):
    result = typed.answered("charge-state", texts)
    if result is None or value(result, "state_of_charge") is None:
        return
    output = result.output("state_of_charge")
    assert 0 <= (output.low or 0) <= output.value + 1e-9 and output.value - 1e-9 <= (1 if output.high is None else output.high) <= 1


@typed.few
@given(st.tuples(st.floats(0, 200), st.floats(0, 200)).map(sorted))
def test_a_larger_current_never_raises_the_stop_voltage(currents):
    small, large = (value(answer("charge-state", voltage="10.5 V", current=f"{current:.2f} A"), "stop_voltage") for current in currents)
    assert large <= small + 1e-12


def test_a_longer_rest_leaves_less():
    left = [battery.voltage_lingering(0.4, hours * 3600.0, 3600.0) for hours in (0, 1, 2, 8, 24)]
    assert left == sorted(left, reverse=True) and left[0] == 0.4 and left[-1] < 0.02


@pytest.mark.parametrize(
    ("field", "typed_in"),
    [
        ("voltage", {"voltage": "80 V"}),
        ("voltage", {"voltage": "12 A"}),
        ("voltage", {"voltage": "12.4 V", "voltage_nominal": "48 V"}),
        ("voltage_nominal", {"voltage_nominal": "18 V"}),
        ("meter_accuracy", {"meter_accuracy": "-1 %"}),
        ("meter_accuracy", {"meter_accuracy": "20 %"}),
        ("rested", {"rested": "-2 h"}),
        ("chemistry", {"chemistry": "alkaline"}),
        ("temperature", {"temperature": "-50 °C"}),
        ("came_before", {"came_before": "sun"}),
    ],
)
def test_what_cannot_be_used_names_its_field(field, typed_in):
    with pytest.raises((InputProblems, FieldProblem)) as caught:
        run(CALCULATORS["charge-state"], typed_in)
    problems = getattr(caught.value, "problems", (caught.value,))
    assert [problem.field for problem in problems] == [field]
