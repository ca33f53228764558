"""Batteries by chemistry: every kind has every figure, and the figures lie the way physics has them."""

import pytest

from calc import tables
from calc.calculators import chemistry
from calc.calculators.form import Field

every_kind = pytest.mark.parametrize("kind", chemistry.WORDS)


@every_kind
def test_every_kind_has_every_figure(kind):
    found = vars(chemistry.facts(kind))
    missing = {name for name, figure in found.items() if figure is None}
    lead_only = {"peukert", "peukert_min", "peukert_max", "current_float", "current_boost"}
    assert missing == (lead_only if kind == chemistry.LITHIUM else set())
    assert len(found) == 28


@every_kind
def test_limits_stand_in_their_order(kind):
    one = chemistry.facts(kind)
    assert one.voltage_discharge_min < one.voltage_cell < one.voltage_float < one.voltage_charge_max
    assert one.voltage_charge <= one.voltage_charge_max
    assert one.charge_temperature_min < one.charge_temperature_max and one.discharge_temperature_min < one.discharge_temperature_max
    assert one.charge_rate < one.charge_rate_max and one.discharge_rate < one.discharge_rate_max
    assert one.efficiency_energy < one.efficiency_coulombic <= 1
    assert one.specific_energy_min < one.specific_energy < one.specific_energy_max
    assert one.cells * one.voltage_cell == pytest.approx(12, rel=0.07)


def test_a_lead_acid_battery_of_unknown_kind_is_taken_at_its_most_delicate():
    """No other kind is charged lower, sees a higher voltage or takes less current; its ranges hold those of all."""
    unknown, others = chemistry.facts("lead-acid"), [chemistry.facts(kind) for kind in ("flooded", "agm", "gel")]
    assert unknown.voltage_charge == min(one.voltage_charge for one in others)
    assert unknown.voltage_charge_max == max(one.voltage_charge_max for one in others)
    assert unknown.charge_rate_max == min(one.charge_rate_max for one in others)
    assert unknown.discharge_rate_max == min(one.discharge_rate_max for one in others)
    assert unknown.efficiency_coulombic == min(one.efficiency_coulombic for one in others)
    assert unknown.peukert_min == min(one.peukert_min for one in others) and unknown.peukert_max == max(one.peukert_max for one in others)
    assert unknown.specific_energy_min == min(one.specific_energy_min for one in others) and unknown.specific_energy_max == max(one.specific_energy_max for one in others)
    assert unknown.current_boost == max(one.current_boost for one in others)


def test_lithium_at_its_limits():
    """3.65 V a cell is 14.6, 29.2 and 58.4 V; 2.5 V a cell is 10 V for 12 V."""
    one = chemistry.facts(chemistry.LITHIUM)
    assert [one.voltage_charge_max * chemistry.cells(chemistry.LITHIUM, volts) for volts in (12, 24, 48)] == pytest.approx([14.6, 29.2, 58.4])
    assert one.voltage_discharge_min * chemistry.cells(chemistry.LITHIUM, 12.8) == 10
    assert (one.charge_temperature_min, one.charge_temperature_max) == (0, 45)


@pytest.mark.parametrize(("voltage", "count"), [(10.5, 1), (12, 1), (14.6, 1), (21, 2), (24, 2), (29.2, 2), (36, 3), (43.8, 3), (48, 4), (51.2, 4), (58.4, 4)])
def test_how_many_batteries_of_12_volts_stand_behind_a_voltage(voltage, count):
    assert chemistry.blocks(voltage) == count


@every_kind
def test_the_rest_curve_is_the_kinds_own(kind):
    voltages, states = chemistry.rest_curve(kind)
    table = tables.load("rest_voltage_lfp_pybamm" if kind == chemistry.LITHIUM else "rest_voltage_lead_acid_bci")
    assert voltages == table.column("voltage") and states == table.column("state_of_charge")


@every_kind
def test_resistance_by_hand(kind):
    """Half at twice the capacity; twice at twice the voltage."""
    one = chemistry.resistance_new(kind, 12.0, 100 * 3600.0)
    assert one == chemistry.facts(kind).resistance_100_ah
    assert chemistry.resistance_new(kind, 12.0, 200 * 3600.0) == pytest.approx(one / 2)
    assert chemistry.resistance_new(kind, 24.0, 100 * 3600.0) == pytest.approx(2 * one)


def test_a_field_that_goes_by_the_kind_reads_its_own_unknown():
    values = {"chemistry": "agm"}
    reading, how, basis = chemistry.PEUKERT.settled(values).read("unknown")
    assert (reading.likely, reading.low, reading.high, how) == (1.10, 1.05, 1.15, "unknown") and "AGM" in basis
    reading, _, _ = chemistry.DEPTH_LIMIT.settled({"chemistry": chemistry.LITHIUM}).read("")
    assert reading.likely == 0.8
    assert chemistry.PEUKERT.settled({}) is chemistry.PEUKERT


def test_a_changed_field_is_changed_in_all_its_variants():
    changed = chemistry.changed(chemistry.TEMPERATURE, default="10 °C")
    assert {changed.default, *(variant.default for variant in changed.variants.values())} == {"10 °C"}
    assert chemistry.TEMPERATURE.default == "20 °C"


def test_variants_are_of_the_same_name_and_unit():
    fields = [one for one in vars(chemistry).values() if isinstance(one, Field) and one.variants]
    assert len(fields) == 3
    for one in fields:
        assert one.by == "chemistry" and set(one.variants) <= set(chemistry.WORDS)
        assert {(variant.name, variant.unit, variant.label) for variant in one.variants.values()} == {(one.name, one.unit, one.label)}
