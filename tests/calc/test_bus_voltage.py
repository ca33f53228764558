"""bus-voltage: three voltages side by side, each as the other calculators have it, and the choice."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc import tables
from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.errors import FieldProblem, InputProblems
from calc.physics import circuit
from tests.calc import typed
from tests.calc.cases import answer, levels, value

FLEXIBLE = {"rule": "bs-7671-flexible", "ripple": "0", "battery_resistance": "4 mΩ", "joint_resistance": "1.5 mΩ", "voltage_rest": "12.4 V"}
AREAS = tables.load("copper_iec_60228").column("area")


def test_the_currents_by_hand():
    """At the cut-out: the DC power over 10.5, 21 and 42 V."""
    result = answer("bus-voltage", FLEXIBLE)
    for volts, limit in ((12, 10.5), (24, 21.0), (48, 42.0)):
        assert value(result, f"current_dc_{volts}") == pytest.approx(value(result, "power_dc") / limit)


@pytest.mark.parametrize("volts", [12, 24, 48])
def test_each_cable_is_dc_cable_s_answer(volts):
    """The same current, run and rule give the same size, for drop, heat and fuse."""
    result = answer("bus-voltage", FLEXIBLE)
    current, area = value(result, f"current_dc_{volts}"), value(result, f"area_{volts}")
    same = {"rule": "bs-7671-flexible", "ripple": "0", "current_dc": f"{current!r} A", "voltage_nominal": f"{volts} V"}
    alone, used = answer("dc-cable", same), answer("dc-cable", same, area=f"{area * 1e6:.4g} mm²")
    assert area == value(alone, "area_chosen")
    assert value(result, f"drop_{volts}") == pytest.approx(value(used, "drop"))
    assert value(result, f"loss_{volts}") == pytest.approx(value(used, "loss"))
    rating = value(result, f"fuse_{volts}")
    assert 1.25 * current <= rating <= value(used, "ampacity")
    thinner = [one for one in AREAS if 35e-6 <= one < area]  # the rule's table starts at 35 mm²
    if thinner:
        refused = answer("dc-cable", same, area=f"{thinner[-1] * 1e6:.4g} mm²")
        assert value(refused, "verdict") != "fits" or value(refused, "ampacity") < rating, "one size down fails for drop, heat or fuse"


@pytest.mark.parametrize("volts", [12, 24, 48])
def test_the_largest_power_is_supply_path_s(volts):
    """The same batteries in series: resistance times the square, rest voltage and cut-out in proportion."""
    result = answer("bus-voltage", FLEXIBLE, power_ac="900 W")
    series = volts // 12
    loop = value(result, f"drop_{volts}") * volts / value(result, f"current_dc_{volts}")
    path = answer(
        "supply-path", voltage_open_circuit=f"{12.4 * series} V", battery_resistance=f"{4 * series**2} mΩ", joint_resistance="1.5 mΩ", cable_resistance=f"{loop * 1e3!r} mΩ",
        cut_out=f"{10.5 * series} V", cut_out_senses="mean", ripple="0", rating="3000 VA", power_ac="900 W",
    )  # fmt: skip
    assert value(result, f"power_ac_max_{volts}") == pytest.approx(value(path, "power_ac_max"), rel=1e-6)


def test_percent_lost_falls_with_the_square_of_the_voltage():
    """2000 W over 2 m of 35 mm² at 50 °C: 3.5, 0.85 and 0.21 % at 12, 24 and 48 V, from the constant-power current."""
    loop = 1.24e-3 * 2
    shares = []
    for volts in (12.8, 25.6, 51.2):
        current = circuit.current_constant_power(2200.0, volts, loop, 0.0)
        shares.append(100 * current * loop / volts)
    assert shares == pytest.approx([3.5, 0.85, 0.21], rel=0.05)


def test_the_choice_is_the_lowest_voltage_with_nothing_against_it():
    """200 A continuous and 70 mm² are the marks: 600 W stays at 12 V, 2000 W goes to 24 V, 5000 W to 48 V."""
    assert value(answer("bus-voltage", "12 V is enough"), "choice") == "12"
    assert value(answer("bus-voltage", FLEXIBLE), "choice") == "24"
    assert value(answer("bus-voltage", "48 V"), "choice") == "48"


def test_a_weak_battery_decides_too():
    """With 40 mΩ no voltage carries 2000 W: the batteries in series lose the same share."""
    result = answer("bus-voltage", "too weak a battery")
    assert value(result, "choice") == "none" and levels(result)["none-fits"] == "stop"


def test_the_price_of_a_higher_voltage_is_the_converter():
    """120 W of 12 V things: 10 A, and 120 W·(1/0.9 − 1) = 13.3 W while they run."""
    result = answer("bus-voltage", FLEXIBLE, power_12v="120 W")
    assert value(result, "converter_current") == pytest.approx(10.0)
    assert value(result, "converter_loss") == pytest.approx(120 / 9)
    assert "converter of 10\u00a0A" in result.answer
    assert value(answer("bus-voltage", FLEXIBLE, power_12v="0 W"), "converter_current") is None


def test_no_size_without_a_table():
    for texts in ({"rule": "iso-13297-boats"}, {"rule": "bs-7671-flexible", "bundle": "4"}):
        result = answer("bus-voltage", texts)
        assert value(result, "choice") == "no-size" and levels(result)["size-not-held"] == "stop"
        assert all(value(result, f"{name}_{volts}") is None for name in ("area", "fuse", "drop") for volts in (12, 24, 48))


@typed.few
@given(typed.valid("bus-voltage"))
def test_a_higher_voltage_never_needs_more(texts):
    """Less current, never a thicker cable or a larger fuse, and never less power before the cut-out.

    Within one kind of conductor; 50 V and more would count bundles, so 48 V stays below it.
    """
    result = typed.answered("bus-voltage", texts)
    if result is None:
        return
    for name, falls in (("current_dc", True), ("area", True), ("fuse", True), ("power_ac_max", False)):
        found = [value(result, f"{name}_{volts}") for volts in (12, 24, 48)]
        found = [math.inf if falls else 0.0] * found.count(None) + [one for one in found if one is not None]
        assert all((b <= a * (1 + 1e-9)) if falls else (b >= a * (1 - 1e-6)) for a, b in zip(found, found[1:])), f"{name}: {found}"


@typed.few
@given(typed.valid("bus-voltage"), st.floats(50, 1500), st.floats(1, 2))
def test_more_power_never_chooses_a_lower_voltage(texts, power, times):
    texts = {**texts, "rating": "5000 VA", "standby_power": "10 W"}
    first, second = (typed.answered("bus-voltage", {**texts, "power_ac": f"{watts:.2f} W"}) for watts in (power, power * times))
    rank = {"12": 1, "24": 2, "48": 3, "none": 4, "no-size": 0}
    if first and second:
        assert rank[value(second, "choice")] >= rank[value(first, "choice")]


@pytest.mark.parametrize(
    ("texts", "field"),
    [
        ({}, "rule"),
        ({"rule": "bs-7671-flexible", "power_ac": "4000 W"}, "power_ac"),
        ({"rule": "bs-7671-flexible", "power_ac": "2900 W", "power_factor": "0.5"}, "power_ac"),
        ({"rule": "bs-7671-flexible", "voltage_rest": "11.2 V", "cut_out": "11.5 V"}, "voltage_rest"),
        ({"rule": "bs-7671-flexible", "efficiency_peak": "80 %"}, "efficiency_peak"),
        ({"rule": "bs-7671-flexible", "converter_efficiency": "120 %"}, "converter_efficiency"),
        ({"rule": "bs-7671-flexible", "ambient": "90 °C"}, "ambient"),
        ({"rule": "bs-7671-flexible", "length_one_way": "2 V"}, "length_one_way"),
    ],
)
def test_what_cannot_be_used_names_its_field(texts, field):
    with pytest.raises((InputProblems, FieldProblem)) as found:
        run(CALCULATORS["bus-voltage"], texts)
    assert field in [one.field for one in getattr(found.value, "problems", (found.value,))]
