"""parallel-bank: against the nodes of the whole network solved by numpy, and sums by hand."""

import random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.errors import FieldProblem, InputProblems
from calc.physics import bank
from tests.calc import typed
from tests.calc.cases import answer, levels, shown, value


def nodal(resistances, voltages, links, current, take_off):
    """Every node of both rails, and the posts, as unknowns; each battery a current source beside a conductance."""
    count = len(resistances)
    nodes = 2 * count + (2 if take_off == "posts" else 0)
    matrix, right = np.zeros((nodes, nodes)), np.zeros(nodes)

    def joins(a, b, resistance):
        for one, other in ((a, b), (b, a)):
            matrix[one, one] += 1 / resistance
            matrix[one, other] -= 1 / resistance

    for j in range(count):
        joins(j, count + j, resistances[j])
        right[j] += voltages[j] / resistances[j]
        right[count + j] -= voltages[j] / resistances[j]
    if take_off == "posts":
        plus, minus = 2 * count, 2 * count + 1
        for j in range(count):
            joins(j, plus, links[0])
            joins(count + j, minus, links[0])
    else:
        plus, minus = 0, 2 * count - 1 if take_off == "diagonal" else count
        for j in range(count - 1):
            joins(j, j + 1, links[j])
            joins(count + j, count + j + 1, links[j])
    right[plus] -= current
    right[minus] += current
    matrix[minus], right[minus] = 0, 0  # the minus take-off is the reference
    matrix[minus, minus] = 1
    potential = np.linalg.solve(matrix, right)
    return [(voltages[j] - (potential[j] - potential[count + j])) / resistances[j] for j in range(count)]


def _banks(number):
    chance = random.Random(7)
    for _ in range(number):
        count = chance.randint(2, 8)
        alike = chance.random() < 0.3
        volts = 12.8
        yield (
            [chance.uniform(0.001, 0.02) for _ in range(count)],
            [volts if alike else volts + chance.uniform(-0.3, 0.3) for _ in range(count)],
            [chance.uniform(0.00005, 0.003) for _ in range(count - 1)],
            chance.uniform(-200, 200),
        )


BANKS = list(_banks(30))


@pytest.mark.parametrize(("resistances", "voltages", "links", "current"), BANKS)
@pytest.mark.parametrize("take_off", ["same-end", "diagonal", "posts"])
def test_currents_are_those_of_the_whole_network(resistances, voltages, links, current, take_off):
    if take_off == "posts":
        found = bank.currents_posts(resistances, voltages, links[0], current)
    else:
        found = bank.currents_ladder(resistances, voltages, links, current, float(take_off == "diagonal"))
    assert found == pytest.approx(nodal(resistances, voltages, links, current, take_off), rel=1e-7, abs=1e-7)


def currents(result, count):
    return [value(result, f"current_{place}") for place in range(1, count + 1)]


@pytest.mark.parametrize("take_off", ["same-end", "diagonal", "posts"])
def test_the_calculator_answers_with_the_same_currents(take_off):
    result = answer("parallel-bank", battery_resistances="3, 4, 3.5, 6 mΩ", link_resistance="0.4 mΩ", current="120 A", take_off=take_off, battery_scatter="10 %")
    expected = nodal([0.0033, 0.004, 0.0035, 0.006], [0.0] * 4, [0.0004] * 3, 120.0, take_off)
    assert currents(result, 4) == pytest.approx(expected, rel=1e-9)
    assert value(result, "worst_ratio") == pytest.approx(max(expected) / min(expected), rel=1e-9)
    assert value(result, "current_5") is None


@pytest.mark.parametrize(("take_off", "whole"), [("same-end", [58, 39, 29, 24]), ("diagonal", [41, 34, 34, 41])])
def test_four_alike_as_the_trade_has_them(take_off, whole):
    result = answer("parallel-bank", count="4", battery_resistances="3 mΩ", link_resistance="0.3 mΩ", current="150 A", take_off=take_off)
    assert currents(result, 4) == pytest.approx(whole, abs=0.5)


def test_poor_links_spoil_even_the_diagonal():
    """With 1 mΩ links 83 / 38 / 18 / 11 A from one end, and 47 / 28 across."""
    same = answer("parallel-bank", count="4", link_resistance="1 mΩ")
    assert currents(same, 4) == pytest.approx([83, 38, 18, 11], abs=0.5)
    across = answer("parallel-bank", count="4", link_resistance="1 mΩ", take_off="diagonal")
    assert currents(across, 4) == pytest.approx([47, 28, 28, 47], abs=0.5)


def test_at_common_posts_by_hand():
    """3, 3 and 6 mΩ without leads share 100 A as 2 : 2 : 1."""
    result = answer("parallel-bank", battery_resistances="3, 3, 6 mΩ", link_resistance="0 mΩ", current="100 A", take_off="posts", battery_scatter="0 %")
    assert currents(result, 3) == pytest.approx([40, 40, 20])


def test_voltages_apart_drive_a_current_by_hand():
    """0.4 V apart through 3 mΩ + 3 mΩ and no leads: 66.7 A with nothing running, and a stop."""
    result = answer("parallel-bank", voltages="12.8; 12.4 V", battery_resistances="3 mΩ", link_resistance="0 mΩ", take_off="posts", current="0 A", battery_scatter="0 %")
    assert value(result, "current_idle_largest") == pytest.approx(0.4 / 0.006)
    assert currents(result, 2) == pytest.approx([0.4 / 0.006, -0.4 / 0.006])
    assert levels(result)["voltages-apart"] == "stop"
    assert value(result, "worst_ratio") is None and value(result, "verdict") == "against"


def test_the_most_from_the_bank_is_where_the_first_reaches_its_limit():
    result = answer("parallel-bank", count="4", link_resistance="0.3 mΩ", current="150 A", battery_current_limit="100 A", battery_scatter="0 %")
    again = answer("parallel-bank", count="4", link_resistance="0.3 mΩ", current=f"{value(result, 'bank_current_usable')} A", battery_scatter="0 %")
    assert value(again, "current_largest") == pytest.approx(100)


BATTERIES = st.integers(2, 8)


@typed.few
@given(BATTERIES, st.floats(1, 10), st.floats(0.05, 2), st.floats(5, 300), st.sampled_from(["same-end", "diagonal", "posts"]))
def test_the_shares_add_up_to_the_whole(count, own, link, current, take_off):
    result = answer("parallel-bank", count=str(count), battery_resistances=f"{own:.3f} mΩ", link_resistance=f"{link:.3f} mΩ", current=f"{current:.2f} A", take_off=take_off)
    assert sum(currents(result, count)) == pytest.approx(float(f"{current:.2f}"), rel=1e-9)


@typed.few
@given(st.integers(3, 8), st.floats(1, 10), st.floats(0.05, 2))
def test_alike_batteries_share_better_across_and_best_at_posts(count, own, link):
    ratios = []
    for take_off in ("posts", "diagonal", "same-end"):
        result = answer("parallel-bank", count=str(count), battery_resistances=f"{own:.3f} mΩ", link_resistance=f"{link:.3f} mΩ", take_off=take_off, battery_scatter="0 %")
        ratios.append(value(result, "worst_ratio"))
        if take_off != "same-end":
            assert currents(result, count) == pytest.approx(currents(result, count)[::-1], rel=1e-9), "symmetric"
    assert ratios[0] == pytest.approx(1) and ratios[0] <= ratios[1] <= ratios[2]


@typed.few
@given(st.integers(2, 8), st.tuples(st.floats(0.05, 3), st.floats(0.05, 3)).map(sorted))
def test_poorer_links_never_share_better(count, links):
    ratios = [value(answer("parallel-bank", count=str(count), link_resistance=f"{link:.4f} mΩ", battery_scatter="0 %"), "worst_ratio") for link in links]
    assert ratios[0] <= ratios[1] * (1 + 1e-9)


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("3 mΩ", (0.003,)), ("3, 3, 6 mΩ", (0.003, 0.003, 0.006)), ("3,3,6", (0.003, 0.003, 0.006)), ("3; 4,5; 6 mΩ", (0.003, 0.0045, 0.006)),
        ("0.003 Ω, 6 mΩ", (0.003, 0.006)), ("2,5 mΩ", (0.0025,)), ("3 mohm, 4 mohm", (0.003, 0.004)), ("3000 µΩ; 3", (0.003, 0.003)),
    ],
)  # fmt: skip
def test_a_list_of_resistances_as_people_write_it(text, read):
    found = answer("parallel-bank", battery_resistances=text).input("battery_resistances").value
    assert found == pytest.approx(read)


@pytest.mark.parametrize(
    ("field", "typed_in", "names"),
    [
        ("battery_resistances", {"battery_resistances": "3; x; 6 km"}, ["second", "third"]),
        ("battery_resistances", {"battery_resistances": "3, -3, 6 mΩ"}, ["second"]),
        ("battery_resistances", {"battery_resistances": "3, , 6 mΩ"}, ["second"]),
        ("battery_resistances", {"battery_resistances": "3 ± 1, 3 mΩ"}, ["first", "range"]),
        ("battery_resistances", {"battery_resistances": "3, 3 mΩ", "count": "4"}, ["2 values for 4"]),
        ("battery_resistances", {"battery_resistances": ", ".join(["3"] * 9)}, ["9 batteries"]),
        ("battery_resistances", {"battery_resistances": "0"}, ["between"]),
        ("count", {"count": "2.5"}, ["whole number"]),
        ("count", {"count": "1"}, ["between"]),
        ("count", {"count": "20"}, ["between"]),
        ("voltages", {"voltages": "12.7, 25.4 V"}, ["never be joined"]),
        ("voltages", {"voltages": "12.7, 12.6 A"}, ["second", "a voltage"]),
        ("take_off", {"take_off": "middle"}, ["choose"]),
        ("current", {"current": "150 W"}, ["a current"]),
    ],
)
def test_what_cannot_be_used_names_its_field_and_each_wrong_item(field, typed_in, names):
    with pytest.raises((InputProblems, FieldProblem)) as caught:
        run(CALCULATORS["parallel-bank"], typed_in)
    problems = getattr(caught.value, "problems", (caught.value,))
    assert [problem.field for problem in problems] == [field]
    assert all(name in problems[0].text for name in names), problems[0].text


def test_an_item_that_is_right_is_not_named():
    with pytest.raises(InputProblems) as caught:
        run(CALCULATORS["parallel-bank"], {"battery_resistances": "3; x; 6 mΩ"})
    assert "first" not in caught.value.problems[0].text and "third" not in caught.value.problems[0].text


@pytest.mark.parametrize("case", ["unfused", "old and new", "lithium and lead"])
def test_a_bank_that_must_not_be_used_says_so_first(case):
    result = answer("parallel-bank", case)
    assert result.findings[0].level == "stop" and value(result, "verdict") == "not-to-be-used"


def test_share_of_the_hardest_worked_by_hand():
    """57.81 of 150 A is 38.5 %."""
    assert shown(answer("parallel-bank", count="4", link_resistance="0.3 mΩ"), "share_largest") == pytest.approx(38.54, abs=0.01)
