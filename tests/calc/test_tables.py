"""Tables as data: every number has a label, a unit, a source and a way it is known.

What the numbers are is checked in tests/checks; here it is that they are complete, and
run the way physics makes them run.
"""

import csv
import itertools
import tomllib
from importlib import resources

import pint
import pytest

from calc import tables
from calc.sources import SOURCES
from tests.calc.test_published import KNOWN

FOLDER = resources.files("calc.tables")
UNITS = pint.UnitRegistry()
PLAIN = {"text", "-", "count", "AWG"}
every_table = pytest.mark.parametrize("name", tables.names())


def test_every_csv_has_its_toml_and_the_other_way_round():
    stems = {ending: {file.name.removesuffix(ending) for file in FOLDER.iterdir() if file.name.endswith(ending)} for ending in (".csv", ".toml")}
    assert stems[".csv"] == stems[".toml"] == set(tables.names()) != set()


@every_table
def test_every_column_says_what_it_holds(name):
    about = tomllib.loads(FOLDER.joinpath(f"{name}.toml").read_text("utf-8"))
    header = next(csv.reader(FOLDER.joinpath(f"{name}.csv").read_text("utf-8").splitlines()))
    assert list(about["columns"]) == header
    assert about["title"] and about["note"]
    for column in about["columns"].values():
        assert column["label"] and column["source"] in SOURCES and column["known"] in KNOWN
        assert column["unit"] in PLAIN or UNITS.Unit(column["unit"]) is not None


@every_table
def test_every_row_is_complete(name):
    rows = list(csv.reader(FOLDER.joinpath(f"{name}.csv").read_text("utf-8").splitlines()))
    assert len(rows) > 1
    assert all(len(row) == len(rows[0]) and all(cell.strip() == cell != "" for cell in row) for row in rows)
    keys = {"copper_iec_60228": 1, "ampacity_33_cfr_183_425": 2, "ampacity_bs_7671": 3, "sun_hours_typical_year": 2, "fuse_time_gates": 3, "adiabatic_k": 3}.get(name, 1)
    assert len({tuple(row[:keys]) for row in rows}) == len(rows), "no row stands twice"


@every_table
def test_values_are_si_numbers(name):
    table = tables.load(name)
    for printed, value in zip(table.rows, table.values, strict=True):
        for column, about in table.columns.items():
            if about.unit in ("-", "count"):
                assert value[column] == float(printed[column])
            elif about.unit == "°C":
                assert value[column] == float(printed[column])
            elif about.unit not in PLAIN:
                expected = UNITS.Quantity(float(printed[column]), about.unit).to_base_units().magnitude
                assert value[column] == pytest.approx(expected, rel=1e-12)


def test_every_source_says_how_it_is_known():
    kinds = {"standard", "law", "handbook", "dataset", "physics", "common practice", "memory"}
    for id, source in SOURCES.items():
        assert source.id == id and source.title and source.kind in kinds
        assert source.known in KNOWN or source.known.startswith("from memory, ")


def rising(values):
    return all(a < b for a, b in itertools.pairwise(values))


def test_copper_resistance_falls_with_the_cross_section():
    table = tables.load("copper_iec_60228")
    assert rising(table.column("area"))
    for kind in ("class_2", "class_5"):
        assert rising([-value for value in table.column(kind)])


def test_flexible_copper_resists_more_than_stranded_but_for_one_size():
    """At 50 mm² IEC 60228 has 0.386 Ω/km for class 5 and 0.387 for class 2."""
    table = tables.load("copper_iec_60228")
    lower = [row["area"] for row in table.rows if float(row["class_5"]) <= float(row["class_2"])]
    assert lower == ["50"]


def test_no_copper_beats_pure_copper_of_its_area():
    """The greatest resistance allowed lies 5 to 16 % above ρ/A, by size and class."""
    for row in tables.load("copper_iec_60228").values:
        pure = 1 / 58e6 / row["area"]
        assert 1.04 * pure < row["class_2"] < 1.13 * pure
        assert 1.10 * pure < row["class_5"] < 1.16 * pure


def test_current_rises_with_size_and_insulation():
    table = tables.load("ampacity_33_cfr_183_425")
    cells = {(row["awg"], row["insulation"]): float(row["current"]) for row in table.rows}
    sizes, insulations = list(dict.fromkeys(size for size, _ in cells)), list(dict.fromkeys(insulation for _, insulation in cells))
    assert tuple(sizes) == tables.AWG_SIZES and len(cells) == len(sizes) * len(insulations) == 105
    for insulation in insulations:
        assert rising([cells[size, insulation] for size in sizes[1:]])
        assert cells["18", insulation] <= cells["16", insulation]
    for size in sizes:
        row = [cells[size, insulation] for insulation in insulations]
        assert row == sorted(row)


def test_british_currents_rise_with_size_and_fall_from_surface_to_conduit():
    table = tables.load("ampacity_bs_7671")
    cells = {}
    for row in table.values:
        cells.setdefault(row["table"], {})[row["area"]] = row["current"]
    assert all(rising(areas) and rising(areas.values()) for areas in cells.values())
    clipped, conduit = cells["4E1A method C"], cells["4E1A method B"]
    assert clipped.keys() == conduit.keys() and all(conduit[area] < clipped[area] for area in clipped)
    assert all(cells["4F1A"][area] < cells["4F2A"][area] for area in cells["4F1A"])


def test_the_bundle_factor_falls():
    table = tables.load("bundle_33_cfr_183_425")
    assert rising(table.column("conductors_from")) and rising([-factor for factor in table.column("factor")])


@pytest.mark.parametrize("name", ["rest_voltage_lead_acid_bci", "rest_voltage_lfp_pybamm"])
def test_rest_voltage_rises_from_empty_to_full(name):
    table = tables.load(name)
    charge = table.column("state_of_charge")
    assert rising(table.column("voltage")) and rising(charge) and (charge[0], charge[-1]) == (0, 1)


def test_awg_sizes_thicken_by_the_series_ratio():
    """Three AWG numbers double the area, 92^(6/39) = 2.005: ASTM B258."""
    areas = dict(zip(tables.AWG_SIZES, map(tables.awg_area_of, tables.AWG_SIZES), strict=True))
    assert rising(areas.values())
    for thin, thick in (("4", "1"), ("3", "1/0"), ("2", "2/0"), ("1", "3/0"), ("1/0", "4/0")):
        assert areas[thick] / areas[thin] == pytest.approx(92 ** (6 / 39), rel=1e-12)
