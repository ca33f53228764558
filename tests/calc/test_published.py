"""Every published check value of tests/checks, and the promises of the format."""

import copy

import pytest

from calc import tables
from tests.calc import published

CHECKS = published.load()
GROUPS = {}
for one in CHECKS:
    GROUPS.setdefault(one["id"].partition("/")[0], []).append(one)
KNOWN = {"found", "derived", "computed", "common practice", "from memory"}
KINDS = {"function", "constant", "table", "calculator"}


@pytest.mark.parametrize("group", GROUPS)
def test_calc_agrees_with_the_published_values(group):
    wrong = []
    for row in GROUPS[group]:
        found = published.compute(row)
        value, tolerance = published.expected(row)
        if not published.agrees(row, found):
            wrong.append(f"{row['id']}, {row['what']}: {found!r}, published {row['value']} ({value!r} ± {tolerance!r} in SI units)")
    assert wrong == []


@pytest.mark.parametrize("group", GROUPS)
def test_a_value_just_outside_the_tolerance_is_refused(group):
    for row in GROUPS[group]:
        value, tolerance = published.expected(row)
        outside = 1.01 * tolerance + 1e-12 * abs(value)
        assert published.agrees(row, value), row["id"]
        assert not published.agrees(row, value + outside), row["id"]
        assert not published.agrees(row, value - outside), row["id"]


@pytest.mark.parametrize("group", GROUPS)
def test_a_row_says_where_it_comes_from(group):
    for row in GROUPS[group]:
        for key in ("what", "source", "known", "value", "tolerance", "why"):
            assert row.get(key), f"{row['id']} has no {key}"
        assert "clause" in row, row["id"]
        assert row["known"] in KNOWN, row["id"]
        assert len(KINDS & row.keys()) == 1, row["id"]
        assert row.get("note") or "departs" not in row, f"{row['id']}: a disagreement is put in words"


@pytest.mark.parametrize("row", [row for row in CHECKS if "departs" in row], ids=lambda row: row["id"])
def test_a_departure_is_needed(row):
    """Without it the row would fail: a disagreement that is gone must leave the file."""
    plain = copy.copy(row)
    del plain["departs"]
    assert not published.agrees(plain, published.compute(row))


def test_ids_are_unique():
    ids = [row["id"] for row in CHECKS]
    assert len(ids) == len(set(ids))


def test_the_rows_are_all_there():
    """A file that is not read, or read in part, would pass silently."""
    assert len(CHECKS) >= 250
    assert {row["file"] for row in CHECKS} == {file.name for file in published.FOLDER.glob("*.toml")}


def test_every_row_of_every_table_is_checked():
    """Each number a table hands out stands in tests/checks too, typed there on its own.

    Where a table says of each row how it is known, nothing published stands against a row,
    or a column, of common practice.
    """
    for name in tables.names():
        table = tables.load(name)
        by_row = "known" in table.columns
        rows = [row for row in table.rows if not (by_row and row["known"] == "common practice")]
        numbers = [column for column, about in table.columns.items() if about.unit != "text" and not (by_row and about.known == "common practice")]
        checked = {(row["column"], *sorted(map(str, row["where"].items()))) for row in CHECKS if row.get("table") == name}
        columns = {column for column, *_ in checked if not by_row or column in numbers}
        keys = {key for row in CHECKS if row.get("table") == name for key in row["where"]}
        assert columns | keys >= set(numbers), f"{name}: no check reads {set(numbers) - columns - keys}"
        complete = [one for one in checked if one[0] in columns]
        assert len(complete) >= len(rows) * len(columns), f"{name}: {len(complete)} checks for {len(rows)} rows"
