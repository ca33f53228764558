"""fuse: between current and cable, what it has to break and to clear, and what must stop the reader."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc import tables
from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.calculators.fuse import gate, next_rating
from calc.errors import FieldProblem, InputProblems
from calc.physics import fault, fuse
from calc.units import format_quantity
from tests.calc import typed
from tests.calc.cases import answer, levels, value

BY_HAND = {"cable_ampacity": "250 A", "area": "70 mm²", "current_max": "100 A", "ripple": "0", "length_one_way": "2 m", "battery_resistance": "3 mΩ", "distance": "0.2 m", "joint_resistance": "1 mΩ", "insulation": "90 °C"}
FLEXIBLE = {"rule": "bs-7671-flexible"}


def refused(texts):
    """The fields that are named where a set of texts is refused."""
    with pytest.raises((InputProblems, FieldProblem)) as found:
        run(CALCULATORS["fuse"], texts)
    problems = getattr(found.value, "problems", (found.value,))
    return {one.field: one.text for one in problems}


def test_the_rating_by_hand():
    """100 A smooth × 1.25 = 125 A, a standard size; with a ripple of 0.8 it is 114.9 A × 1.25 = 143.6 A, so 150 A."""
    assert value(answer("fuse", BY_HAND), "rating") == 125
    rippled = answer("fuse", BY_HAND, ripple="0.8")
    assert value(rippled, "rating_needed") == pytest.approx(1.25 * 100 * math.sqrt(1.32))
    assert value(rippled, "rating") == 150


def test_the_fault_currents_by_hand():
    """The most: 13.5 V over 3 mΩ and 0.2 m of cold 70 mm². The least: 10.5 V over twice 3 mΩ, 4 m of the same at 90 °C and 1 mΩ."""
    result = answer("fuse", BY_HAND)
    assert value(result, "prospective_fault_current_max") == pytest.approx(13.5 / (3e-3 + 0.272e-3 * 0.2))
    warm = 0.272e-3 * (1 + 0.00393 * 70) * 4
    assert value(result, "prospective_fault_current_min") == pytest.approx(10.5 / (6e-3 + warm + 1e-3))
    assert value(result, "interrupt_rating_min") == value(result, "prospective_fault_current_max")


def test_batteries_in_series_raise_the_voltage_and_not_the_current():
    """Twice the volts over twice the resistance, the lead before the fuse apart; strings side by side add."""
    at = {volts: value(answer("fuse", FLEXIBLE, voltage_dc=volts, current_max="20 A", distance="0 m"), "prospective_fault_current_max") for volts in ("12 V", "24 V", "48 V")}
    assert at["24 V"] == pytest.approx(at["12 V"]) and at["48 V"] == pytest.approx(at["12 V"])
    three = answer("fuse", FLEXIBLE, strings="3", distance="0 m")
    assert value(three, "prospective_fault_current_max") == pytest.approx(3 * at["12 V"])
    assert value(three, "current_into_string") == pytest.approx(2 * at["12 V"])


def test_a_string_without_a_fuse_is_told_the_most_the_others_can_drive():
    result = answer("fuse", FLEXIBLE, strings="3", string_fuses="no", battery_resistance="2 to 6 mΩ")
    most = result.output("current_into_string").high
    assert most > value(result, "current_into_string")
    (told,) = [finding.text for finding in result.findings if finding.code == "strings-unfused"]
    assert f"up to {format_quantity(most, 'kA', 2)} through its lead" in told


def test_the_ways_to_tell_a_battery_agree():
    """100 Ah of lead-acid at 0.3 Ω·Ah is 3 mΩ, and 13.5 V over it 4500 A."""
    ways = ({"capacity": "100 Ah"}, {"battery_resistance": "3 mΩ"}, {"short_circuit_current": "4500 A"})
    currents = [value(answer("fuse", FLEXIBLE, **way), "prospective_fault_current_max") for way in ways]
    assert currents == pytest.approx([currents[0]] * 3)


@pytest.mark.parametrize(
    ("chemistry", "volts", "out"),
    [("lithium-iron-phosphate", "12 V", ""), ("lithium-iron-phosphate", "24 V", ""), ("lithium-iron-phosphate", "48 V", "32 V or 58 V"), ("flooded", "24 V", "32 V"), ("agm", "24 V", "")],
)
def test_parts_for_too_few_volts_are_out(chemistry, volts, out):
    """58.4 V takes out 58 V parts; a flooded 24 V bank equalises at 32.4 V and takes out 32 V parts."""
    result = answer("fuse", FLEXIBLE, chemistry=chemistry, voltage_dc=volts, current_max="40 A")
    said = [finding.text for finding in result.findings if finding.code == "parts-volts"]
    assert (f"made for {out} are out" in said[0]) if out else not said


def test_a_fuse_never_lies_above_what_the_cable_may_carry():
    """180 A needed and 190 A allowed: 200 A is the next size, and none is given; the boat rule gives it."""
    texts = {**BY_HAND, "cable_ampacity": "190 A", "current_max": "144 A"}
    result = answer("fuse", texts)
    assert value(result, "rating_needed") == pytest.approx(180)
    assert value(result, "rating") is None and levels(result)["no-fuse-fits"] == "stop"
    assert value(result, "rating_wanted") == 200
    boat = answer("fuse", texts, fuse_rule="us-boats-150")
    assert value(boat, "rating") == 200 and value(boat, "rating_max") == pytest.approx(285)
    assert levels(boat)["above-ampacity"] == "caution"


def test_what_to_change_is_a_cable_that_allows_it():
    """The size named, used as one's own cable, takes the fuse."""
    result = answer("fuse", "no fuse fits")
    wanted, area = value(result, "rating_wanted"), value(result, "area_for_rating")
    again = answer("fuse", "no fuse fits", area=f"{area * 1e6:.4g} mm²")
    assert value(again, "rating") == wanted
    assert f"{area * 1e6:.4g}\u00a0mm²" in result.answer


@typed.many
@given(typed.valid("fuse"))
def test_whatever_is_typed_a_rating_lies_between_current_and_cable(texts):
    result = typed.answered("fuse", texts)
    if result is None or value(result, "rating") is None:
        return
    rating = value(result, "rating")
    assert rating >= 1.25 * value(result, "current_rms") * (1 - 1e-9)
    assert rating <= value(result, "rating_max") * (1 + 1e-9)
    if result.input("fuse_rule").value == "cable":
        assert rating <= value(result, "ampacity") * (1 + 1e-9)
    smaller = [one for one in tables.load("fuse_ratings").column("rating") if one < rating]
    assert not smaller or smaller[-1] < value(result, "rating_needed")
    assert result.input("rule").value != "iso-13297-boats", "no rating on a table that is not held"


@typed.few
@given(typed.valid("fuse"), st.floats(5, 300), st.floats(1, 2))
def test_more_current_never_asks_for_a_smaller_fuse(texts, current, times):
    texts = {name: text for name, text in texts.items() if name not in ("power_ac", "voltage_min")}
    first, second = (typed.answered("fuse", {**texts, "current_max": f"{amps:.3f} A"}) for amps in (current, current * times))
    if first and second:
        assert value(second, "rating_needed") >= value(first, "rating_needed") * (1 - 1e-9)


@typed.few
@given(typed.valid("fuse"), st.floats(0.1, 15), st.floats(1, 3))
def test_a_longer_cable_never_clears_better_nor_breaks_less(texts, length, times):
    texts = {**texts, "distance": "0.1 m"}
    first, second = (typed.answered("fuse", {**texts, "length_one_way": f"{metres:.3f} m"}) for metres in (length, length * times))
    if first and second:
        assert value(second, "prospective_fault_current_min") <= value(first, "prospective_fault_current_min") * (1 + 1e-9)
        assert value(second, "prospective_fault_current_max") == value(first, "prospective_fault_current_max")


@typed.few
@given(typed.valid("fuse"))
def test_the_least_fault_lies_below_the_most(texts):
    if result := typed.answered("fuse", texts):
        assert value(result, "prospective_fault_current_min") < value(result, "prospective_fault_current_max") <= value(result, "interrupt_rating_min")


def test_the_adiabatic_check_by_hand():
    """1048 A through 6 mm² at k = 99.9 A·√s/mm²: 4 s need 21 mm², 0.1 s need 3.3 mm²."""
    slow = answer("fuse", "too slow for the cable")
    current = value(slow, "prospective_fault_current_min")
    k = 226e6 * math.sqrt(math.log(394.5 / 324.5))
    assert value(slow, "adiabatic_k") == pytest.approx(k)
    assert value(slow, "area_min") == pytest.approx(current * 2 / k)
    assert levels(slow)["adiabatic-failed"] == "stop"
    quick = answer("fuse", "too slow for the cable", clearing_time="0.1 s")
    assert "adiabatic-failed" not in levels(quick)
    assert value(quick, "time_withstand") == pytest.approx((k * 6e-6 / current) ** 2)


@pytest.mark.parametrize(("insulation", "material", "k"), [("105 °C", "pvc", 88), ("105 °C", "xlpe-epr", 135), ("90 °C", "pvc", 100), ("90 °C", "xlpe-epr", 143), ("60 °C", "rubber", 141)])
def test_k_goes_by_the_starting_temperature(insulation, material, k):
    rule = {"cable_ampacity": "100 A"}
    assert value(answer("fuse", rule, insulation=insulation, material=material), "adiabatic_k") / 1e6 == pytest.approx(k, abs=0.5)


def test_the_adiabatic_factor_is_the_heat_balance_integrated():
    """Small steps of ρ(θ)·J²·dt = Q_c·dθ from 90 to 250 °C, J = 100 A/mm²: k = J·√t."""
    heat, resistivity, density, temperature, time = 3.45e6, 17.241e-9, 100e6, 90.0, 0.0
    while temperature < 250.0:
        step = 0.001
        time += heat * step / (resistivity * (1 + (temperature + step / 2 - 20) / 254.5) * density**2)
        temperature += step
    assert density * math.sqrt(time) == pytest.approx(fuse.adiabatic_factor(90.0, 250.0, 226e6, 234.5), rel=0.002)


def test_let_through_energy_and_area_are_each_other_s_inverse():
    k = 115e6
    assert fuse.area_for_energy(fuse.energy_withstand(16e-6, k), k) == pytest.approx(16e-6)
    result = answer("fuse", BY_HAND, clearing_time="0.05 s", fuse_energy="1000000 A²·s", material="xlpe-epr")
    assert value(result, "area_min") == pytest.approx(1e3 / value(result, "adiabatic_k")), "below 0.1 s the I²t alone counts"


def test_a_time_below_a_tenth_of_a_second_asks_for_the_energy():
    result = answer("fuse", BY_HAND, clearing_time="0.05 s")
    assert value(result, "area_min") is None and levels(result)["clearing-not-known"] == "caution"


@pytest.mark.parametrize(
    ("family", "fitted", "surge", "time", "verdict"),
    [
        ("blade-large", "80 A", "120 A", "1 s", "rides-through"),  # 150 % is within 200 %, which holds 2 s
        ("blade-large", "80 A", "280 A", "0.1 s", "rides-through"),  # 350 % holds 0.2 s
        ("blade-large", "80 A", "280 A", "1 s", "may-open"),  # 0.2 to 7 s
        ("blade-large", "80 A", "280 A", "8 s", "opens"),  # 7 s at most
        ("blade-large", "40 A", "400 A", "0.5 s", "not-known"),  # above the last gate, whose upper end is from memory
        ("blade-regular", "40 A", "64 A", "0.2 s", "rides-through"),  # 160 % holds 0.25 s
        ("blade-regular", "40 A", "52 A", "1 s", "not-known"),  # the 135 % row is from memory
        ("bolt-in", "100 A", "150 A", "0.1 s", "not-known"),  # every row is from memory
        ("unknown", "100 A", "300 A", "0.1 s", "not-known"),
        ("unknown", "100 A", "90 A", "900 s", "rides-through"),  # below its rating
    ],
)
def test_the_surge_is_judged_by_gates_that_were_read(family, fitted, surge, time, verdict):
    texts = {**BY_HAND, "fuse_family": family, "fuse_fitted": fitted, "surge_current": surge, "surge_time": time, "current_max": "20 A"}
    assert value(answer("fuse", texts), "surge") == verdict


def test_nothing_rests_on_a_row_from_memory():
    """Every bolt-in row is from memory: neither surge nor clearing time follows from it."""
    assert {row["known"] for row in tables.load("fuse_time_gates").values if row["family"] == "bolt-in"} == {"from memory"}
    for area in ("35 mm²", "50 mm²", "70 mm²"):
        result = answer("fuse", FLEXIBLE, fuse_family="bolt-in", area=area, surge_current="400 A", surge_time="0.01 s")
        assert value(result, "area_min") is None and value(result, "surge") == "not-known"


def test_gates_are_read_on_the_safe_side():
    assert gate("blade-large", 1.6, "least")["share"] == 2.0
    assert gate("blade-large", 1.6, "most")["share"] == 1.35
    assert gate("blade-large", 6.5, "least") is None and gate("blade-large", 1.2, "most") is None


def test_the_gates_hold_less_and_open_sooner_with_more_current():
    rows = tables.load("fuse_time_gates").values
    for family, bound in itertools.product(("blade-regular", "blade-large", "bolt-in"), ("least", "most")):
        times = [row["time"] for row in rows if (row["family"], row["bound"]) == (family, bound)]
        assert times == sorted(times, reverse=True) and len(times) >= 4
    for low in (row for row in rows if row["bound"] == "least"):
        high = [row["time"] for row in rows if row["bound"] == "most" and (row["family"], row["share"]) == (low["family"], low["share"])]
        assert all(time > low["time"] for time in high)


def test_next_rating_is_the_smallest_that_carries():
    assert [next_rating(amps) for amps in (0.4, 7.5, 7.6, 172.3, 800.0, 801.0)] == [1, 7.5, 10, 175, 800, None]


@pytest.mark.parametrize(
    ("more", "placement"),
    [
        ({}, "right"), ({"fused_at": "none"}, "none"), ({"fused_at": "far-end"}, "far-end"), ({"other_source": "yes"}, "one-end"), ({"other_source": "yes", "fused_at": "both"}, "right"),
        ({"strings": "2"}, "strings"), ({"strings": "2", "string_fuses": "yes"}, "right"), ({"distance": "0.19 m"}, "too-far"), ({"distance": "0.17 m"}, "right"),
        ({"distance": "1.0 m", "sheathed": "yes"}, "right"), ({"distance": "1.02 m", "sheathed": "yes"}, "too-far"),
    ],
)  # fmt: skip
def test_where_the_fuses_sit(more, placement):
    """7 in are 0.178 m, 40 in 1.016 m."""
    result = answer("fuse", FLEXIBLE, **more)
    assert value(result, "placement") == placement
    if placement in ("none", "far-end", "one-end", "strings"):
        assert result.findings[0].level == "stop"


def test_too_far_stops_under_the_boat_rule_only():
    boat = {"rule": "us-boats-33-cfr-183", "insulation": "105 °C"}
    assert levels(answer("fuse", boat, distance="0.5 m"))["fuse-too-far"] == "stop"
    assert levels(answer("fuse", FLEXIBLE, distance="0.5 m"))["fuse-far"] == "caution"


@pytest.mark.parametrize("interrupt", ["2 kA", "4 kA"])
def test_a_fuse_that_breaks_too_little_stops_the_reader(interrupt):
    """100 Ah of lead-acid: 4.4 kA at the fuse."""
    assert levels(answer("fuse", FLEXIBLE, fuse_interrupt=interrupt))["interrupt-low"] == "stop"
    assert "interrupt-low" not in levels(answer("fuse", FLEXIBLE, fuse_interrupt="6 kA"))


def test_breaking_capacity_is_judged_at_the_high_end():
    """3 ± 1 mΩ: likely 4.4 kA, at the most 6.6 kA. A fuse for 5 kA does not do."""
    assert levels(answer("fuse", FLEXIBLE, battery_resistance="3 ± 1 mΩ", fuse_interrupt="5 kA"))["interrupt-low"] == "stop"
    assert "interrupt-low" not in levels(answer("fuse", FLEXIBLE, battery_resistance="3 ± 0 mΩ", fuse_interrupt="5 kA"))


@pytest.mark.parametrize(
    ("texts", "field"),
    [
        ({**FLEXIBLE, "area": "6 mm"}, "area"),
        ({**FLEXIBLE, "area": "37 mm²"}, "area"),
        ({**FLEXIBLE, "area": "16 mm²"}, "area"),
        ({**FLEXIBLE, "current_max": "-5 A"}, "current_max"),
        ({**FLEXIBLE, "current_max": "120 V"}, "current_max"),
        ({**FLEXIBLE, "strings": "2.5"}, "strings"),
        ({**FLEXIBLE, "surge_current": "300 A"}, "surge_time"),
        ({**FLEXIBLE, "surge_time": "1 s"}, "surge_current"),
        ({**FLEXIBLE, "cable_ampacity": "200 A", "rule": "bs-7671-clipped"}, "cable_ampacity"),
        ({**FLEXIBLE, "battery_resistance": "3 mΩ", "capacity": "200 Ah"}, "battery_resistance"),
        ({**FLEXIBLE, "voltage_charge_max": "11 V"}, "voltage_charge_max"),
        ({**FLEXIBLE, "distance": "3 m"}, "distance"),
        ({**FLEXIBLE, "insulation": "180 °C"}, "insulation"),
        ({**FLEXIBLE, "insulation": "60 °C"}, "insulation"),
        ({**FLEXIBLE, "ambient": "80 °C"}, "ambient"),
        ({**FLEXIBLE, "bundle": "2.5"}, "bundle"),
        ({**FLEXIBLE, "power_ac": "1000 W"}, "voltage_min"),
        ({**FLEXIBLE, "voltage_min": "10.5 V"}, "power_ac"),
        ({**FLEXIBLE, "power_ac": "1000 W", "voltage_min": "21 V"}, "voltage_min"),
        ({**FLEXIBLE, "power_ac": "3000 W", "voltage_min": "10.5 V"}, "power_ac"),
        ({"rule": "us-boats-33-cfr-183", "fuse_rule": "us-boats-150", "voltage_dc": "51.2 V"}, "fuse_rule"),
        ({}, "rule"),
    ],
)
def test_what_cannot_be_used_names_its_field(texts, field):
    problems = refused(texts)
    assert field in problems and problems[field]


def test_current_prospective_is_what_a_network_solver_finds():
    """numpy solves the nodes: two strings on a bus, a fault behind 1 mΩ."""
    volts, string, path = 13.5, 4e-3, 1e-3
    conductances = np.array([[2 / string + 1 / path]])
    bus = np.linalg.solve(conductances, np.array([2 * volts / string]))[0]
    assert fault.current_prospective(volts, string, 2, path) == pytest.approx(bus / path)


def test_a_gap_is_said_the_right_way_round():
    """228 A asked for and 217 A allowed; then 215 A asked for, with nothing standard up to 217 A."""
    over, between = (next(one.text for one in answer("fuse", rule="bs-7671-flexible", current_max=f"{amps} A", area="50 mm²").findings if one.code == "no-fuse-fits") for amps in (159, 150))
    assert over.startswith("A fuse that carries the current has 228\u00a0A or more, and the cable allows no more than 217\u00a0A.")
    assert between.startswith("No standard rating lies between the 215\u00a0A asked for and the 217\u00a0A")
