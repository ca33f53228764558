"""load-list: combinations, starts, and the day's energy, against sums worked by hand."""

import json
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.calculators import CALCULATORS, appliances
from calc.calculators.calculator import run
from calc.errors import FieldProblem, InputProblems
from calc.render import svg
from calc.units import from_si

LOAD_LIST = CALCULATORS["load-list"]
# Standby 20 W, a = 1.05, b = 0.06 for 2000 VA: the two efficiencies that belong to them.
# Full load 2000/(20 + 2100 + 120) = 89.2857 %; peak 1/(1.05 + 2·√(0.01·0.06)) = 90.9996 %.
INVERTER = {"rating": "2000 VA", "standby_power": "20 W", "efficiency_full": f"{100 * 2000 / 2240!r} %", "efficiency_peak": f"{100 / (1.05 + 2 * 0.0006**0.5)!r} %"}


def answer(loads, **more):
    return run(LOAD_LIST, {**INVERTER, "loads": loads, **more})


def value(result, name):
    output = result.output(name)
    return output.value if isinstance(output.value, str) else from_si(output.value, output.unit)


def row(name, power, **more):
    return {"name": name, "power": power, **more}


def test_kettle_or_microwave_counts_once():
    """1200 W or 700/0.62 = 1129 W, and a lamp of 60 W: 1260 W, not 2389 W."""
    loads = [
        row("kettle", "1200 W", group="hot"),
        row("microwave", "700 W", power_is="cooking", group="Hot"),
        row("lamp", "60 W"),
    ]
    assert value(answer(loads), "power_running") == pytest.approx(1260)
    apart = [{**load, "group": ""} for load in loads]
    assert value(answer(apart), "power_running") == pytest.approx(1260 + 700 / 0.62)


def test_watts_and_volt_amps_may_choose_different_members_of_a_group():
    """Pump 500 W at 0.5 is 1000 VA; heater 800 W at 1 is 800 VA."""
    result = answer([row("pump", "500 W", power_factor="0.5", group="x"), row("heater", "800 W", group="x")])
    assert value(result, "power_running") == pytest.approx(800)
    assert value(result, "apparent_power_running") == pytest.approx(1000)


def test_the_worst_start_comes_on_top_of_the_rest_of_its_combination():
    """Fridge 90 W at 0.6 is 150 VA; five times that is 750 VA, with the kettle's 1200 VA running: 1950 VA.
    The kettle itself does not start: 1200 + 150 VA."""
    result = answer([row("kettle", "1200 W"), row("fridge", "90 W", power_factor="0.6", starting_factor="5")])
    assert value(result, "apparent_power_starting") == pytest.approx(1950)
    assert value(result, "power_starting") == pytest.approx(1200 + 750 * 0.65)
    assert value(result, "starts") == "fridge"


def test_a_start_excludes_its_own_group_and_one_of_several_starts_at_a_time():
    """Two pumps of 200 VA: one starts at 5 × 200 while the other runs; the heater of its group is off."""
    loads = [
        row("pump", "120 W", power_factor="0.6", starting_factor="5", quantity="2", group="water"),
        row("heater", "900 W", group="water"),
    ]
    assert value(answer(loads), "apparent_power_starting") == pytest.approx(200 + 1000)


def test_a_known_starting_power_is_used_at_a_motors_power_factor():
    """600 W at 0.65 is 923 VA."""
    result = answer([row("saw", "300 W", power_factor="0.7", starting_power="600 W")])
    assert value(result, "power_starting") == pytest.approx(600)
    assert value(result, "apparent_power_starting") == pytest.approx(600 / 0.65)


def test_the_days_energy():
    """45 W for 4 h: 4·(1.05·45 + 0.06·45²/2000) = 189.243 Wh; DC lights 4·5·5 = 100 Wh; standby 480 Wh."""
    result = answer([row("laptop", "45 W", hours_per_day="4 h", power_factor="1"), row("lights", "5 W", quantity="4", hours_per_day="5 h", supply="dc")])
    assert value(result, "energy_ac") == pytest.approx(180)
    assert value(result, "energy_dc") == pytest.approx(100)
    assert value(result, "energy_standby") == pytest.approx(480)
    assert value(result, "energy_total") == pytest.approx(189.243 + 100 + 480)
    assert value(result, "energy_loss") == pytest.approx(9.243)
    assert value(result, "largest") == "laptop"


def test_a_fridge_draws_for_its_duty():
    """90 W at 35 % for 24 h is 756 Wh."""
    assert value(answer([row("fridge", "90 W", hours_per_day="24 h", duty="0.35")]), "energy_ac") == pytest.approx(756)


def test_without_ac_loads_there_is_no_standby():
    result = answer([row("lights", "20 W", supply="dc", hours_per_day="5 h")], inverter_hours="0")
    assert value(result, "energy_total") == pytest.approx(100)
    assert value(result, "power_running") == 0 and value(result, "starts") == "none"


def test_every_row_takes_part_in_the_range():
    """Two equal loads, each ± 10 %: the sum is ± 10 %/√2, and a named row moves it."""
    result = answer([row("one", "500 W"), row("two", "500 W")])
    total = result.output("power_running")
    assert total.high - total.value == pytest.approx(1000 * 0.1 / 2**0.5, rel=0.02)
    assert total.mover in ("one: power", "two: power")


FINDINGS = {
    "above-rating": ("stop", [row("kettle", "1800 W"), row("iron", "1000 W")]),
    "standby-large": ("caution", [row("phone", "5 W")]),
    "shares": ("note", [row("lamp", "5 W")]),
    "cooking-power": ("note", [row("microwave", "700 W", power_is="cooking")]),
    "start-stalls": ("note", [row("pump", "200 W", starting_factor="4")]),
    "sum-of-volt-amps": ("note", [row("lamp", "5 W")]),
    "two-combinations": ("note", [row("kettle", "1200 W", group="hot"), row("pump", "1000 W", group="hot", power_factor="0.6")]),
}


@pytest.mark.parametrize("code", FINDINGS)
def test_findings(code):
    level, loads = FINDINGS[code]
    (found,) = [finding for finding in answer(loads).findings if finding.code == code]
    assert found.level == level and not found.text[0].islower()


def test_findings_stay_away():
    codes = {finding.code for finding in answer([row("heater", "1000 W", hours_per_day="5 h")]).findings}
    assert codes == {"sum-of-volt-amps", "shares"}


def test_the_shares_of_the_day_add_up_and_are_the_energies():
    """Lights 100 Wh, a heater on DC 300 Wh: a quarter and three quarters of 400 Wh."""
    result = answer([row("lights", "20 W", supply="dc", hours_per_day="5 h"), row("pad", "100 W", supply="dc", hours_per_day="3 h")])
    (text,) = [finding.text for finding in result.findings if finding.code == "shares"]
    assert text.replace("\u00a0", " ") == "Of the day's energy: 75 % pad; 25 % lights."


BAD = [
    ([], "loads", "enter at least one load"),
    ([row("", "100 W")], "loads.0.name", "enter name"),
    ([row("x", "")], "loads.0.power", "enter power"),
    ([row("x", "5 A")], "loads.0.power", 'this needs a power; "5 A" is a current'),
    ([row("a", "5 W"), row("x", "5 W", power_factor="1.2")], "loads.1.power_factor", "must be between 0.1 and 1"),
    ([row("x", "5 W", duty="0")], "loads.0.duty", "must be above 0"),
    ([row("x", "5 W", hours_per_day="25 h")], "loads.0.hours_per_day", "must be between 0"),
    ([row("x", "5 W", supply="gas")], "loads.0.supply", "choose ac, dc"),
    ([row("x", "5 W", watts="5")], "loads.0.watts", "no such field in a load"),
    ([row("x" * 81, "5 W")], "loads.0.name", "longer than 80"),
    ([row("x", "5 W")] * 101, "loads", "101 rows: 100 are read at most"),
    ("[{", "loads", "is not a JSON list"),
    ("[5]", "loads", "must be a list"),
]


@pytest.mark.parametrize("loads, field, words", BAD)
def test_bad_rows_are_named(loads, field, words):
    with pytest.raises(InputProblems) as caught:
        answer(loads)
    assert [problem.field for problem in caught.value.problems] == [field]
    assert words in caught.value.problems[0].text.replace("\u00a0", " ")


CONTRADICTIONS = [
    ([row("x", "5 W", quantity="1.5")], {}, "loads.0.quantity"),
    ([row("x", "5 W", supply="dc", group="g")], {}, "loads.0.group"),
    ([row("y", "1 W"), row("x", "50 W", starting_power="20 W")], {}, "loads.1.starting_power"),
    ([row("x", "5 W")], {"inverter_hours": "0"}, "inverter_hours"),
]


@pytest.mark.parametrize("loads, more, field", CONTRADICTIONS)
def test_contradictions_are_named(loads, more, field):
    with pytest.raises(FieldProblem) as caught:
        answer(loads, **more)
    assert caught.value.field == field


def test_every_row_has_its_own_error():
    with pytest.raises(InputProblems) as caught:
        answer([row("", "5 A"), row("ok", "5 W"), row("x", "-5 W")])
    assert [problem.field for problem in caught.value.problems] == ["loads.0.name", "loads.0.power", "loads.2.power"]


def test_at_the_terminal(tmp_path):
    """Rows from a file, and one line for each field that cannot be used."""
    file = tmp_path / "van.json"
    file.write_text(json.dumps({"loads": [row("kettle", "1200 W")], "inverter_hours": 2}), "utf-8")
    done = subprocess.run([sys.executable, "-m", "calc", "run", "load-list", "--input", file, "--json"], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["outputs"]["energy_standby"]["value"] == pytest.approx(40)
    file.write_text(json.dumps({"loads": [row("kettle", "12 V"), row("", "5")]}), "utf-8")
    done = subprocess.run([sys.executable, "-m", "calc", "run", "load-list", "--input", file], capture_output=True, text=True)
    assert done.returncode == 2 and done.stdout == ""
    assert [line.split(":")[0] for line in done.stderr.splitlines()] == ["loads.0.power", "loads.1.name"]


POWERS = st.floats(5, 1500).map(lambda power: f"{power:.1f} W")
LOADS = st.lists(
    st.fixed_dictionaries({"name": st.just("x"), "power": POWERS, "power_factor": st.sampled_from(["1", "0.6"]), "group": st.sampled_from(["", "a", "b"]), "starting_factor": st.sampled_from(["1", "4"])}),
    min_size=1,
    max_size=6,
)


@given(LOADS, POWERS, st.sampled_from(["", "a"]))
def test_another_load_never_asks_for_less(loads, power, group):
    before, after = answer(loads), answer([*loads, row("more", power, group=group)])
    for name in ("energy_total", "power_running", "apparent_power_running", "apparent_power_starting"):
        assert value(after, name) >= value(before, name) * (1 - 1e-12), name
    assert value(after, "power_starting") > 0


@given(LOADS)
def test_a_start_is_never_below_running(loads):
    result = answer(loads)
    assert value(result, "apparent_power_starting") >= value(result, "apparent_power_running") * (1 - 1e-12) or any(load["group"] for load in loads)
    assert value(result, "apparent_power_running") >= value(result, "power_running") * (1 - 1e-12)


# Appliances of the table


def assumed(result, index=0):
    return result.input(f"loads.{index}.assumed").value.replace("\u00a0", " ")


def test_a_row_that_only_names_an_appliance_takes_its_figures_from_the_table():
    """Kettle of the table: 2000 W (1500 to 3000), a litre in 3.5 min: 116.7 Wh; no start of its own."""
    result = answer([{"name": "kettle"}])
    assert value(result, "energy_ac") == pytest.approx(2000 * 3.5 / 60)
    assert value(result, "power_running") == pytest.approx(2000)
    assert (from_si(result.output("power_running").low, "W"), from_si(result.output("power_running").high, "W")) == (pytest.approx(1500), pytest.approx(3000))
    assert assumed(result).startswith("from the appliance table (common practice; one use a day: 1 litre boiled from 15 °C): power 2000 W (1500 W to 3000 W), hours a day 0.0583 h")
    assert result.input("loads.0.assumed").how == "default", "it is listed with what is taken for granted"
    assert "practice" in {source.id for source in result.sources}


def test_a_fridge_of_the_table_cycles_and_starts():
    """80 W at 0.65 is 123 VA, six times that 738 VA; 670 Wh a day over 80 W · 24 h is a share of 0.349; by its code letters a motor starts at 3.8/5 to 5.8/5 of that."""
    result = answer([{"name": "Fridge, small household"}])
    assert value(result, "energy_ac") == pytest.approx(670, rel=1e-4)
    assert value(result, "apparent_power_starting") == pytest.approx(80 / 0.65 * 6)
    high = answer([{"name": "fridge, small household", "power": "80 ± 0 W"}]).output("apparent_power_starting").high
    assert from_si(high, "VA") == pytest.approx(80 / 0.65 * 6 * 5.8 / 5)


def test_the_rush_of_a_capacitor_is_no_start():
    """A laptop's five times its current lasts 5 ms, a quarter of a cycle."""
    assert value(answer([{"name": "laptop"}]), "apparent_power_starting") == pytest.approx(50 / 0.6)


def test_an_appliance_for_dc_is_straight_from_the_battery_unless_said_otherwise():
    assert value(answer([{"name": "fan, 12 V"}], inverter_hours="0"), "energy_dc") == pytest.approx(48)
    assert value(answer([{"name": "fan, 12 V", "supply": "ac"}]), "energy_dc") == 0


def test_what_was_typed_wins():
    """The reader's own measurement of the power and the hours; the rest still from the table."""
    result = answer([{"name": "fridge, small household", "power": "95 W", "hours_per_day": "12 h"}])
    assert value(result, "energy_ac") == pytest.approx(95 * 12 * 670 / (80 * 24), rel=1e-4)
    assert "power 80" not in assumed(result) and "power factor 0.65" in assumed(result)
    assert result.input("loads.0").display == "Power 95 W; Hours a day 12 h"
    whole = {"power": "95 W", "hours_per_day": "12 h", "quantity": "1", "supply": "ac", "power_is": "input", "duty": "1", "power_factor": "1", "starting_factor": "1"}
    assert not any(one.name == "loads.0.assumed" for one in answer([{"name": "kettle", **whole}]).inputs)


def test_a_name_of_one_s_own_takes_what_is_usual_and_says_so():
    result = answer([row("lights", "20 W")])
    assert value(result, "energy_ac") == pytest.approx(20)
    assert assumed(result).startswith("as usual: hours a day 1 h (0.8 h to 1.2 h), how many 1")


@pytest.mark.parametrize(
    ("load", "words"),
    [
        ({"name": "fridge"}, "enter power, or a name of the appliance table: fridge, 12 V compressor; "),
        ({"name": "somebody's machine"}, "enter power"),
        ({"name": "microwave oven of 700 W cooking power", "power_is": "cooking"}, "enter power"),
    ],
)
def test_a_name_the_table_does_not_have_is_no_guess(load, words):
    with pytest.raises(InputProblems) as caught:
        answer([{"name": "kettle"}, load])
    assert [problem.field for problem in caught.value.problems] == ["loads.1.power"]
    assert caught.value.problems[0].text.replace("\u00a0", " ").startswith(words)


@pytest.mark.parametrize("key", appliances.table())
def test_every_appliance_of_the_table_makes_a_row(key):
    row_of = appliances.table()[key]
    result = answer([{"name": row_of["name"]}], rating="10 kVA", standby_power="20 W", efficiency_full="90 %", efficiency_peak="92 %")
    used = value(result, "energy_ac") + value(result, "energy_dc")
    assert used == pytest.approx(from_si(min(row_of["task_energy"], row_of["power_typical"] * row_of["task_time"]), "Wh"), rel=1e-3)
    if row_of["source"] != "practice":
        assert row_of["source"] in {source.id for source in result.sources}


def test_named_appliances_at_the_terminal(tmp_path):
    file = tmp_path / "van.json"
    file.write_text(json.dumps({"loads": [{"name": "kettle"}, {"name": "laptop", "power": "60 W"}]}), "utf-8")
    done = subprocess.run([sys.executable, "-m", "calc", "run", "load-list", "--input", file], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert "kettle, left blank" in done.stdout and "from the appliance table" in done.stdout
    told = json.loads(subprocess.run([sys.executable, "-m", "calc", "run", "load-list", "--input", file, "--json"], capture_output=True, text=True).stdout)
    assert "appliance table" in told["inputs"]["loads.0.assumed"]["value"]


def test_where_nothing_starts_hard_no_start_is_named():
    """A heater and a lamp take at their start what they take while they run."""
    result = answer([row("heater", "500 W"), row("lamp", "20 W")])
    assert value(result, "starts") == "none" and value(result, "apparent_power_starting") == value(result, "apparent_power_running") == 520
    assert "worst start" not in result.answer


def test_watts_and_volt_amps_of_different_loads_are_said_to_be():
    """Most watts: the kettle's 1200; most volt-amps: the pump's 1000/0.6 = 1667. One or the other runs."""
    result = answer([row("kettle", "1200 W", group="hot"), row("pump", "1000 W", group="hot", power_factor="0.6")])
    assert (value(result, "power_running"), round(value(result, "apparent_power_running"))) == (1200, 1667)
    (said,) = [one.text for one in result.findings if one.code == "two-combinations"]
    assert "kettle has the most watts and pump the most volt-amps" in said


def test_a_figures_table_has_whole_names_where_its_drawing_has_no_room():
    """Five loads and standby: six bars have room for about twelve letters each."""
    names = [f"{place} quite a long name" for place in ("first", "second", "third", "fourth", "fifth")]
    (figure,) = answer([row(name, "50 W") for name in names]).figures
    drawn, listed = svg.draw(figure, "x"), svg.table(figure)
    assert all(name in listed and name not in drawn for name in names) and "…" not in listed
    assert drawn.count("…") == len(names)
