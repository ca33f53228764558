"""The appliance table is plausible, agrees with itself, and is what the calculators think it is."""

import pytest

from calc import tables
from calc.calculators import appliances
from calc.calculators.waveform import APPLIANCES as WAVEFORM_CLASSES
from calc.calculators.regions import REGION
from calc.physics import use

TABLE = tables.load("appliances")
every_row = pytest.mark.parametrize("row", TABLE.values, ids=lambda row: row["name"])


def test_it_is_long_enough_and_every_kind_is_there():
    kinds = {row["kind"] for row in TABLE.rows}
    assert len(TABLE.rows) >= 85
    assert kinds == {"cooking", "cooling", "heating", "lighting", "computing", "communications", "entertainment", "cleaning", "tools", "pumps", "medical", "personal care", "charging", "safety"}
    assert len(appliances.table()) == len(TABLE.rows), "each has a key of its own"


@every_row
def test_figures_stand_in_their_order_and_limits(row):
    assert 0 < row["power_low"] <= row["power_typical"] <= row["power_high"] <= 7 * row["power_typical"]
    assert 0 < row["power_factor"] <= 1
    assert 1 <= row["starting_factor"] <= 15
    assert (row["starting_time"] == 0) == (row["starting_factor"] == 1) and row["starting_time"] <= 120
    assert row["supply"] in ("ac", "dc", "either")
    assert row["waveform_class"] in {*WAVEFORM_CLASSES, "none"}
    assert (row["waveform_class"] == "none") == (row["supply"] == "dc")
    assert row["supply"] != "dc" or row["power_factor"] == 1


@every_row
def test_the_energy_of_a_use_is_power_times_time_or_a_thermostat_s_part_of_it(row):
    """At most power times time, to the two figures it is rounded to; at least a fifth of it."""
    share = row["task_energy"] / (row["power_typical"] * row["task_time"])
    assert 0.2 <= share <= 1.05
    assert share == pytest.approx(1, abs=0.05) or row["task_time"] >= 60 * 2, "nothing cycles within two minutes"


@every_row
def test_a_row_says_where_its_power_comes_from(row):
    assert (row["source"], row["known"]) in {("practice", "common practice"), ("doe-appliances", "found")}


def one(name):
    return next(row for row in TABLE.values if row["name"] == name)


@pytest.mark.parametrize(
    ("name", "litres", "start", "end", "efficiency"),
    [("kettle", 1, 15, 100, 0.85), ("kettle, travel size", 0.5, 15, 100, 0.82), ("water heater, 10 litre", 10, 15, 60, 0.89), ("water heater, household tank", 150, 15, 55, 0.95)],
)
def test_water_is_heated_by_its_heat_capacity(name, litres, start, end, efficiency):
    """4186 J/(kg·K) by hand: one litre from 15 to 100 °C is 98.8 Wh in the water, 116 Wh at the socket of a good kettle."""
    in_the_water = litres * 4186 * (end - start)
    assert one(name)["task_energy"] == pytest.approx(in_the_water / efficiency, rel=0.05)
    assert one(name)["task_energy"] == pytest.approx(use.energy_to_heat_water(litres / 1000, use.DENSITY_WATER, use.SPECIFIC_HEAT_WATER, start, end, efficiency), rel=0.05)


@pytest.mark.parametrize("cooking", [700, 900])
def test_a_microwave_oven_takes_its_cooking_power_over_0_55_to_0_70(cooking):
    row = one(f"microwave oven of {cooking} W cooking power")
    assert row["power_low"] == pytest.approx(cooking / 0.70, rel=0.01)
    assert row["power_high"] == pytest.approx(cooking / 0.55, rel=0.01)
    assert row["power_low"] < row["power_typical"] < row["power_high"]


def test_compressors_start_harder_than_heaters():
    for row in TABLE.values:
        if row["waveform_class"] == "heater":
            assert row["starting_factor"] <= 1.2 or "lamp" in row["name"]
        if "freezer" in row["name"] or row["name"] == "air conditioner, fixed speed":
            assert row["starting_factor"] >= 5


def test_every_choice_is_a_row_or_the_reader_s_own():
    choices = appliances.choices()
    assert choices.keys() == {appliances.OWN, *appliances.table()}
    assert all(appliances.table()[key]["name"] == words for key, words in choices.items() if key != appliances.OWN)


def test_no_name_is_a_brand():
    """Common words begin with a small letter; abbreviations are these."""
    for row in TABLE.rows:
        odd = [word.strip(",()") for word in row["name"].split() if word[:1].isupper() or word[:2].isupper()]
        assert set(odd) <= {"LED", "V", "W", "A", "CPAP", "(CPAP)"}, row["name"]


def test_regions_agree_with_the_waveform_calculator():
    table = tables.load("regions")
    said = {(int(row["voltage"]), int(row["frequency"])) for row in table.rows}
    assert said == {tuple(int(number) for number in key.split("-") if number.isdigit()) for key in REGION.choices}
    for row in table.values:
        assert row["voltage_low"] < row["voltage"] < row["voltage_high"]
        assert row["cable_sizes"] in ("mm²", "AWG")
