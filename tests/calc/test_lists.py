"""Short lists in one field: every wrong item is named, and only those."""

import pytest

from calc.calculators.lists import Sizes, Uses
from calc.errors import FieldProblem

SIZES = Sizes("sizes", "Sizes", "VA", default="300, 600", minimum="20 VA", maximum="50 kVA")
USES = Uses("uses", "Uses")


@pytest.mark.parametrize(
    ("text", "sizes"),
    [("1000, 300, 600", (300, 600, 1000)), ("300 VA; 1,5 kVA; 2kW", (300, 1500, 2000)), ("600, 600", (600,)), ("", (300, 600)), (" , ,", (300, 600)), ("1e3", (1000,))],
)
def test_sizes_come_rising_and_once(text, sizes):
    assert SIZES.read(text)[0] == pytest.approx(sizes)


def test_every_wrong_size_is_named_and_no_right_one():
    with pytest.raises(FieldProblem) as caught:
        SIZES.read("300, 12 A, 600, huge, 5, 1000")
    assert caught.value.field == "sizes"
    assert all(f'"{item}"' in caught.value.text for item in ("12 A", "huge", "5"))
    assert not any(f'"{item}"' in caught.value.text for item in ("300", "600", "1000"))


@pytest.mark.parametrize(
    ("text", "uses"),
    [
        ("tv 60 W 3 h", [("tv", 60, 10800)]),
        ("tv 60W 3h, old heater 1 kW for 30 min", [("tv", 60, 10800), ("old heater", 1000, 1800)]),
        ("pump 0,5 kW 1,5 h; lamp 5 W 90 min", [("pump", 500, 5400), ("lamp", 5, 5400)]),
    ],
)
def test_uses_are_read(text, uses):
    found, how, _ = USES.read(text)
    assert how == "given" and [(name, pytest.approx(power), pytest.approx(time)) for name, power, time, _ in found] == uses


@pytest.mark.parametrize(
    ("text", "turns"),
    [
        ("tv 60 W 3 h, lamp 5 W 2 h", {"tv": "", "lamp": ""}),
        ("kettle 1 kW 5 min or toaster 900 W 4 min, tv 60 W 3 h", {"kettle": "or 1", "toaster": "or 1", "tv": ""}),
        ("a 1 W 1 h or b 2 W 1 h; c 3 W 1 h OR d 4 W 1 h", {"a": "or 1", "b": "or 1", "c": "or 2", "d": "or 2"}),
        ("heater 500 W 30 min in turn, oven 1 kW 10 min later, tv 60 W 3 h", {"heater": "wish", "oven": "wish", "tv": ""}),
        ("kettle 1 kW 5 min or toaster 900 W 4 min in turn", {"kettle": "wish", "toaster": "wish"}),
        ("floor heater 500 W 30 min", {"floor heater": ""}),
    ],
)
def test_whose_turn_it_is_is_read(text, turns):
    assert {use.name: use.turn for use in USES.read(text)[0]} == turns


def test_a_list_left_out_is_blank():
    assert USES.read("  ") == (None, "blank", "")


@pytest.mark.parametrize("item", ["tv", "60 W 3 h", "tv 60 W", "tv 3 h 60 W", "tv 60 V 3 h", "tv 60 W 3 m", "tv 0 W 3 h", "tv 60 W 900 h", "tv 90 kW 1 h", "tv 60 W 1,200 h"])
def test_a_wrong_use_is_named_and_its_neighbours_are_not(item):
    with pytest.raises(FieldProblem) as caught:
        USES.read(f"lamp 5 W 2 h; {item}; fan 20 W 8 h")
    assert caught.value.field == "uses" and f'"{item}"' in caught.value.text
    assert "lamp" not in caught.value.text and "fan" not in caught.value.text


def test_a_long_list_is_refused():
    with pytest.raises(FieldProblem, match="41 items"):
        SIZES.read(", ".join(["300"] * 41))
