"""A shop's CSV file: what can be read is kept, and the rest is named with row and column."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.plan import catalogue
from tests.calc.plan.plans import FOLDER

DEMO = (FOLDER.parent / "plan" / "demo-catalogue.csv").read_text("utf-8")
HEAD = "unit,rating_va,standby_w,voltage_dc_v"
ROW = "One,1500,13,12"


def read(*rows, head=HEAD, end="\n"):
    return catalogue.read(end.join([head, *rows]) + end)


def notes(found):
    return [(note.row, note.column, note.kept) for note in found.notes]


def test_the_demo_catalogue_is_read_whole():
    found = catalogue.read(DEMO)
    assert len(found.units) == 24 and found.notes == ()
    first = found.units[0]
    assert (first.name, first.rating, first.surge_time, first.efficiency_full, first.mass, first.price, first.wave) == ("A-300 sine 12", 300, 2, 0.86, 1.6, 190, "sine")
    assert {unit.voltage_dc for unit in found.units} == {12, 24, 48} and {unit.voltage_ac for unit in found.units} == {230, 120}


def test_its_headings_are_those_documented():
    assert DEMO.splitlines()[0].split(",") == [heading for heading, *_ in catalogue.documentation()]
    assert all(unit == "" or heading.endswith(ending) for heading, _, unit, _, _ in catalogue.documentation()
               for ending in [{"VA": "_va", "W": "_w", "s": "_s", "%": "_percent", "V": "_v", "Hz": "_hz", "A": "_a", "kg": "_kg"}.get(unit, "")])  # fmt: skip


def test_the_documented_examples_are_read():
    documented = catalogue.documentation()
    found = catalogue.read(",".join(heading for heading, *_ in documented) + "\n" + ",".join(example for *_, example in documented) + "\n")
    assert len(found.units) == 1 and found.notes == ()


def test_units_in_cells_are_understood():
    (unit,) = read("One,1.5 kVA,13 W,12 V").units
    assert (unit.rating, unit.standby, unit.voltage_dc) == (1500, 13, 12)


def test_a_wrong_unit_in_a_cell_is_named_with_row_and_column():
    found = read(ROW, "Two,1500 A,13,12", "Three,900,12 V,12", "Four,900,9,12")
    assert [unit.name for unit in found.units] == ["One", "Four"]
    assert notes(found) == [(3, "rating_va", False), (4, "standby_w", False)]
    assert str(found.notes[1]) == 'row 4, column standby_w: this needs a power; "12 V" is a voltage; the unit was left out'


def test_a_bad_cell_that_is_not_needed_costs_only_itself():
    found = read("One,1500,13,12,heavy,1 200", head=HEAD + ",mass_kg,price")
    (unit,) = found.units
    assert unit.mass is None and unit.price == 1200 and notes(found) == [(2, "mass_kg", True)]


def test_semicolons_with_decimal_commas():
    found = catalogue.read("unit;rating_va;standby_w;voltage_dc_v;mass_kg;price\nOne;1500;6,5;12;4,125;1.299,00\n")
    (unit,) = found.units
    assert (unit.standby, unit.mass) == (6.5, 4.125)
    assert unit.price is None or unit.price == 1299


def test_tabs_too():
    assert [unit.rating for unit in catalogue.read("unit\trating_va\tstandby_w\tvoltage_dc_v\nOne\t1500\t13\t12\n").units] == [1500]


def test_a_byte_order_mark_capitals_and_spaces_in_headings():
    found = catalogue.read("\ufeffUnit, Rating VA ,STANDBY-W,voltage_dc_v\r\nOne,1500,13,12\r\n")
    assert len(found.units) == 1 and found.notes == ()


def test_missing_columns_are_all_named():
    found = catalogue.read("unit,price\nOne,300\n")
    assert not found.usable
    (note,) = found.notes
    assert note.row == 1 and "rating_va, standby_w, voltage_dc_v" in note.text


def test_a_column_of_somebody_else_is_left_aside():
    found = read("One,1500,13,12,red", head=HEAD + ",colour")
    assert len(found.units) == 1 and notes(found) == [(1, "colour", True)]


@pytest.mark.parametrize("name", ["=1+1", "@sum", "+cmd", "-2", '"=HYPERLINK(""x"")"'])
def test_a_name_that_begins_like_a_formula_is_kept_as_text_and_said(name):
    found = read(f"{name},1500,13,12")
    assert len(found.units) == 1 and notes(found) == [(2, "unit", True)] and "plain text" in found.notes[0].text


@pytest.mark.parametrize("cell", ["=1+1", "=A1", "@A1"])
def test_a_formula_in_place_of_a_number_is_refused(cell):
    found = read(f"One,{cell},13,12", ROW.replace("One", "Two"))
    assert [unit.name for unit in found.units] == ["Two"] and "is a formula" in found.notes[0].text


def test_quotes_and_commas_inside_them():
    found = read('"One, with ""charger""",1500,13,12', '"Two\nlines",900,9,12')
    assert [unit.name for unit in found.units] == ['One, with "charger"', "Two lines"]


@pytest.mark.parametrize("row", ['"One,1500,13,12', 'One,"15"00,13,12'])
def test_a_quote_that_is_not_closed_ends_the_reading_there(row):
    found = read(ROW, row, "Three,900,9,12")
    assert [unit.name for unit in found.units] == ["One"] and found.notes[0].row == 3 and "quotation mark" in found.notes[0].text


def test_empty_rows_are_left_out_and_said():
    found = read(ROW, "", ",,,", "Two,900,9,12")
    assert [unit.row for unit in found.units] == [2, 5] and "1 more are empty" in found.notes[-1].text and found.notes[-1].row == 3


def test_a_short_row_and_a_long_one():
    found = read("One,1500,13", "Two,900,9,12,,extra")
    assert [unit.name for unit in found.units] == ["Two"]
    assert notes(found) == [(2, "voltage_dc_v", False), (3, "", True)] and "is empty" in found.notes[0].text


def test_ten_thousand_rows_are_cut_and_said():
    found = read(*(f"U{count},1500,13,12" for count in range(10_000)))
    assert len(found.units) == catalogue.ROWS_MOST
    assert found.notes[0].row == 2002 and "8000 rows were left out" in found.notes[0].text


def test_the_same_name_twice_is_said():
    assert notes(read(ROW, ROW)) == [(3, "unit", True)]


def test_numbers_that_contradict_each_other_leave_the_unit_out():
    found = read("One,1500,400,12,,", "Two,1500,13,12,95,90", head=HEAD + ",efficiency_full_percent,efficiency_peak_percent")
    assert found.units == () and notes(found) == [(2, "standby_w", False), (3, "efficiency_peak_percent", False)]


def test_what_a_sheet_does_not_say_is_marked():
    (unit,) = read(ROW).units
    assert unit.assumed == ("efficiency_full_percent", "efficiency_peak_percent") and unit.surge is None and unit.wave == ""


@pytest.mark.parametrize("text", ["", " \n", "\ufeff", "hello", "{}", "\x00\x01", "a;b\n" * 3])
def test_what_is_no_catalogue_is_explained(text):
    found = catalogue.read(text)
    assert not found.usable and found.notes and all(str(note) for note in found.notes)


@given(st.text(max_size=300))
def test_no_text_breaks_it(text):
    for one in (text, f"{HEAD}\n{text}", f"{HEAD}\n{ROW}\n{text}"):
        found = catalogue.read(one)
        assert isinstance(found.units, tuple) and all(str(note) for note in found.notes)


def test_a_damaged_file_keeps_what_can_be_read():
    """Any one cell of the demo catalogue spoilt: never more than that unit is lost."""
    lines = DEMO.splitlines()
    pick = random.Random(1)
    for _ in range(60):
        row, cells = pick.randrange(1, len(lines)), None
        cells = lines[row].split(",")
        cells[pick.randrange(1, len(cells))] = pick.choice(["?", "=1", "12 apples", "-5", "1e99"])
        found = catalogue.read("\n".join([*lines[:row], ",".join(cells), *lines[row + 1 :]]))
        assert len(found.units) >= 23 and len(found.notes) == 1 and found.notes[0].row == row + 1
