"""tonight: the sum by hand, the operating point by another solver, and what goes off in which order."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from calc.errors import FieldProblem, InputProblems
from tests.calc import typed
from tests.calc.cases import answer, levels, shown, value
from tests.calc.cases_loads import EVENING
from tests.calc.test_appliance_cost import inverter

HAND = {**EVENING, **inverter(2000), "health": "100 %", "depth_limit": "80 %", "sheddable": ""}


def shed_order(result):
    text = next(finding.text for finding in result.findings if finding.code == "shed-order")
    return [part.rpartition(", ")[0] for part in text.split(": ", 1)[1].partition(". Together")[0].split("; ")]


def test_the_sum_by_hand():
    """100 Ah · 12.8 V · (0.80 − 0.10 − 0.20) = 640 Wh. Must-haves 100, 2 h of 20 W 40, and 1.05·800 + 19.2 W for a quarter of an hour 214.8 Wh."""
    result = answer("tonight", HAND)
    assert shown(result, "energy_left_low") == pytest.approx(640)
    assert shown(result, "energy_left") == pytest.approx(768)
    assert shown(result, "energy_wish") == pytest.approx(214.8)
    assert shown(result, "energy_planned") == pytest.approx(354.8)
    assert shown(result, "energy_spare") == pytest.approx(285.2)
    assert value(result, "verdict") == "yes"


def test_how_long_it_could_run_by_hand():
    """With 500 Wh of must-haves and 40 Wh of standby, 100 Wh remain for 859.2 W."""
    result = answer("tonight", HAND, must_haves="500 Wh")
    assert value(result, "verdict") == "no-energy"
    assert value(result, "minutes_possible") == pytest.approx(100 / 859.2 * 3600)


def test_standby_runs_at_least_as_long_as_the_wish():
    result = answer("tonight", HAND, hours_on="0 h", minutes="60 min", power="100 W")
    assert shown(result, "energy_planned") == pytest.approx(100 + 20 + 105 + 0.3)


@pytest.mark.parametrize(("power", "battery", "path"), [("300 W", "5 mΩ", "2 mΩ"), ("800 W", "8 mΩ", "4 mΩ"), ("1500 W", "3 mΩ", "3 mΩ"), ("1100 W", "12 mΩ", "0 mΩ")])
def test_the_operating_point_against_a_root_finder(power, battery, path):
    result = answer("tonight", HAND, power=power, battery_resistance=battery, path_resistance=path)
    watts, rest = float(power[:-2]), value(result, "voltage_open_circuit")
    power_dc = 20 + 1.05 * watts + 0.06 * watts**2 / 2000
    resistance = (float(battery[:-3]) + float(path[:-3])) / 1000
    voltage = brentq(lambda volts: (rest - volts) / resistance * volts - power_dc, rest / 2, rest, xtol=1e-12)
    assert value(result, "voltage_inverter") == pytest.approx(voltage, rel=1e-9)
    assert value(result, "current_dc") == pytest.approx(power_dc / voltage, rel=1e-9)


def test_the_largest_wish_just_holds():
    asked = answer("tonight", HAND, power="1800 W", minutes="1 min")
    assert value(asked, "verdict") == "no-current"
    watts = value(asked, "power_possible")
    assert value(answer("tonight", HAND, power=f"{watts - 1} W", minutes="1 min"), "verdict") == "yes"
    assert value(answer("tonight", HAND, power=f"{watts + 1} W", minutes="1 min"), "verdict") == "no-current"


def test_two_loads_by_hand_and_the_heater_goes_first():
    """Heater 500 W: 1.05·500 + 7.5 W for half an hour, 266.25 Wh. tv 60 W: 63.108 W for 3 h, and the standby runs 3 h instead of 2."""
    result = answer("tonight", HAND, sheddable="tv 60 W 3 h, heater 500 W 30 min")
    assert shown(result, "energy_planned") == pytest.approx(100 + 60 + 214.8 + 189.324 + 266.25)
    assert (value(result, "verdict"), value(result, "shed")) == ("yes-if", "heater")
    assert shown(result, "energy_spare_all_off") == pytest.approx(285.2)


def test_the_order_in_which_things_go_off():
    """Heat, the inverter, the cold, screens, what is not known, pumps; within each the largest first."""
    plan = "pump 60 W 1 h, tv 60 W 3 h, sewing machine 90 W 1 h, laptop 50 W 1 h, freezer 80 W 3 h, heater 300 W 30 min, kettle 1000 W 15 min"
    result = answer("tonight", HAND, sheddable=plan, inverter_needed="no", hours_on="20 h", power="100 W", state_of_charge="40 %")
    assert shed_order(result) == ["kettle", "heater", "the inverter when nothing on it is left to do", "freezer", "tv", "laptop", "sewing machine", "pump"]


def test_the_inverter_stays_on_where_the_must_haves_need_it():
    texts = {**HAND, "hours_on": "24 h"}
    assert value(answer("tonight", texts), "verdict") == "no-energy"
    off = answer("tonight", texts, inverter_needed="no")
    assert (value(off, "verdict"), value(off, "shed")) == ("yes-if", "the inverter when nothing on it is left to do")
    assert shown(off, "energy_spare_all_off") == pytest.approx(640 - 100 - 5 - 214.8)


def test_a_current_is_not_helped_by_saving_energy():
    """The heater beside it is too much current; the inverter's standby is none of it."""
    assert value(answer("tonight", "the current is too much beside the heater"), "shed") == "heater"
    assert value(answer("tonight", HAND, battery_current_limit="30 A", inverter_needed="no", hours_on="10 h"), "shed") is None


LARGE = {**HAND, "capacity": "400 Ah", "battery_resistance": "1 mΩ", "path_resistance": "1 mΩ"}


def dc(watts):
    """What the inverter of HAND draws, by hand: 20 W + 1.05·P + 0.06·P²/2000."""
    return 20 + 1.05 * watts + 0.06 * watts**2 / 2000


def drawn(result):
    return value(result, "current_dc") * value(result, "voltage_inverter")


def test_loads_that_are_never_on_together_are_not_added_up():
    """800 W of wish beside a kettle of 1000 W or a toaster of 900 W: 1800 W at most, not 2700 W, which is above the rating.
    Energy counts both: 1080 W and 969.3 W for six minutes each."""
    either = answer("tonight", LARGE, sheddable="kettle 1000 W 6 min or toaster 900 W 6 min")
    assert value(either, "verdict") == "yes"
    assert drawn(either) == pytest.approx(dc(1800), rel=1e-9)
    assert shown(either, "energy_planned") == pytest.approx(100 + 40 + 214.8 + 108 + 96.93)
    both = answer("tonight", LARGE, sheddable="kettle 1000 W 6 min, toaster 900 W 6 min")
    assert (value(both, "verdict"), value(both, "shed")) == ("yes-if", "kettle")
    assert drawn(both) == pytest.approx(dc(1700), rel=1e-9), "what stays on: the toaster"


def test_a_load_in_turn_waits_for_the_wish():
    """A heater of 1500 W alone is more than the wish's 800 W: the worst moment is its own, never 2300 W."""
    result = answer("tonight", LARGE, sheddable="heater 1500 W 10 min in turn, tv 60 W 3 h")
    assert value(result, "verdict") == "yes"
    assert drawn(result) == pytest.approx(dc(1560), rel=1e-9)
    smaller = answer("tonight", LARGE, sheddable="heater 500 W 10 min later, tv 60 W 3 h")
    assert drawn(smaller) == pytest.approx(dc(860), rel=1e-9), "then the wish's moment is the worst"


def test_what_runs_in_turn_keeps_the_inverter_on_for_longer():
    """No hours beside: 15 min of wish and 30 min in turn are 45 min of 20 W, together 30 min."""
    texts = {**LARGE, "hours_on": "0 h"}
    turn, together = (answer("tonight", texts, sheddable=f"heater 500 W 30 min{when}") for when in (" in turn", ""))
    assert shown(turn, "energy_planned") == pytest.approx(100 + 15 + 214.8 + 266.25)
    assert shown(together, "energy_planned") == pytest.approx(100 + 10 + 214.8 + 266.25)


def test_only_what_draws_at_the_worst_moment_goes_off_for_the_current():
    """At most 75 A: wish and tv are 945 W from the battery, 73 A at 13 V; with the kettle 1278 W, 99 A. The oven waits and is no part of it."""
    result = answer("tonight", LARGE, battery_current_limit="75 A", sheddable="tv 60 W 3 h, oven 700 W 5 min in turn, kettle 300 W 6 min")
    assert (value(result, "verdict"), value(result, "shed")) == ("yes-if", "kettle")


def test_turns_are_combined_as_the_load_list_does():
    """The same loads in both: 1000 W or 900 W beside 800 W and a lamp of 60 W run as 1860 W at most."""
    rows = [{"name": "a", "power": "800 W"}, {"name": "b", "power": "1000 W", "group": "hot"}, {"name": "c", "power": "900 W", "group": "hot"}, {"name": "d", "power": "60 W"}]
    listed = answer("load-list", {**inverter(2000), "loads": rows})
    tonight = answer("tonight", LARGE, sheddable="b 1000 W 6 min or c 900 W 6 min, d 60 W 1 h")
    assert drawn(tonight) == pytest.approx(dc(value(listed, "power_running")), rel=1e-9)


@pytest.mark.parametrize("more", [{}, {"sheddable": "heater 700 W 1 h"}])
def test_no_yes_where_health_hangs_on_it(more):
    result = answer("tonight", HAND, **more, medical="no-fallback")
    assert value(result, "verdict") == "not-alone"
    assert not result.answer.lower().startswith("yes") and result.answer.startswith("Not on this supply alone")
    assert value(answer("tonight", HAND, **more), "verdict").startswith("yes")
    refused = answer("tonight", HAND, must_haves="500 Wh", medical="no-fallback")
    assert value(refused, "verdict") == "no-energy"


@pytest.mark.parametrize("name", ["CO alarm", "carbon monoxide alarm", "CPAP", "breathing machine", "oxygen", "phone", "router", "satellite terminal", "two-way radio", "medicine cooler"])
def test_some_things_are_never_switched_off(name):
    with pytest.raises(FieldProblem, match="must not go off") as caught:
        answer("tonight", EVENING, sheddable=f"tv 60 W 3 h, {name} 5 W 8 h")
    assert caught.value.field == "sheddable" and name in caught.value.text and "tv" not in caught.value.text


@pytest.mark.parametrize(
    ("voltage", "chemistry", "likely", "low"),
    [
        ("12.24 V", "agm", 0.50, 0.25 + 0.25 * (12.09 - 12.06) / 0.18),  # 0.15 V lower: 12.09, between 12.06 (25 %) and 12.24 (50 %)
        ("12.65 V", "flooded", 1.00, 0.75 + 0.25 * (12.60 - 12.45) / 0.20),
        ("12.90 V", "gel", 1.00, 1.00),  # 12.75 V is still above the table's full
        ("13.088 V", "lithium-iron-phosphate", 0.70, 0.30 + 0.10 * (12.988 - 12.814) / 0.188),
    ],
)
def test_a_rest_voltage_gives_a_likely_and_a_low_figure_by_hand(voltage, chemistry, likely, low):
    result = answer("tonight", chemistry=chemistry, voltage_rest=voltage, power="100 W")
    assert value(result, "state_of_charge_likely") == pytest.approx(likely, abs=1e-6)
    assert value(result, "state_of_charge_low") == pytest.approx(low, abs=1e-6)


def test_the_low_figure_decides():
    """640 Wh likely at no doubt and 550 Wh planned: ten points of doubt, 128 Wh, turn the answer."""
    sure = {**HAND, "state_of_charge": "70 %", "must_haves": "295 Wh", "state_of_charge_doubt": "0 %"}
    assert value(answer("tonight", sure), "verdict") == "yes"
    assert value(answer("tonight", sure, state_of_charge_doubt="10 %"), "verdict") == "no-energy"
    assert value(answer("tonight", sure, state_of_charge_doubt=""), "verdict") == "no-energy"


def test_the_three_ways_a_current_fails():
    assert levels(answer("tonight", "no, current"))["battery-limit"] == "stop"
    assert levels(answer("tonight", "below the cut-out"))["below-cut-out"] == "stop"
    assert levels(answer("tonight", "no operating point"))["no-operating-point"] == "stop"
    close = answer("tonight", "close to the cut-out")
    assert 10.5 < value(close, "voltage_inverter") < 10.8 and value(close, "verdict") == "no-current"


def test_must_haves_on_the_inverter_count_against_its_rating():
    result = answer("tonight", "more than the rating")
    assert value(result, "verdict") == "no-current" and "rating" in result.answer


def test_health_on_one_supply_stops():
    assert levels(answer("tonight", EVENING, medical="no-fallback"))["no-fallback"] == "stop"
    assert "no-fallback" not in levels(answer("tonight", EVENING, medical="fallback"))


@pytest.mark.parametrize(
    ("field", "texts"),
    [
        ("power", {"power": "800 V"}),
        ("power", {"power": "3000 W"}),
        ("minutes", {"minutes": "0 min"}),
        ("state_of_charge", {"state_of_charge": "130 %"}),
        ("voltage_rest", {"voltage_rest": "12.5 V", "state_of_charge": "50 %"}),
        ("voltage_rest", {"voltage_rest": "14.4 V", "chemistry": "agm"}),
        ("voltage_rest", {"voltage_rest": "12.5 V", "voltage_nominal": "24 V"}),
        ("cut_out", {"voltage_rest": "12 V", "cut_out": "12.1 V", "chemistry": "agm"}),
        ("cut_out", {"cut_out": "21 V"}),
        ("capacity", {"capacity": "100 Wh"}),
        ("must_haves", {"must_haves": "-5 Wh"}),
        ("sheddable", {"sheddable": "tv for a while"}),
        ("power_factor", {"power_factor": "1.1"}),
        ("depth_limit", {"depth_limit": "120 %"}),
        ("medical", {"medical": "perhaps"}),
    ],
)
def test_bad_input_names_its_field(field, texts):
    with pytest.raises((InputProblems, FieldProblem)) as caught:
        answer("tonight", texts)
    assert [problem.field for problem in getattr(caught.value, "problems", (caught.value,))] == [field]


@typed.few
@given(typed.valid("tonight"))
def test_a_yes_is_one(texts):
    result = typed.answered("tonight", texts)
    if result is None:
        return
    verdict = value(result, "verdict")
    if verdict.startswith("yes"):
        assert value(result, "current_dc") <= value(result, "current_limit")
        assert value(result, "voltage_inverter") >= value(result, "voltage_needed")
        assert value(result, "energy_spare_all_off") >= -1e-6
    if verdict == "yes":
        assert value(result, "energy_spare") >= -1e-6 and value(result, "shed") is None
    if verdict in ("no-energy", "no-both"):
        assert value(result, "energy_spare_all_off") < 0
    stops = {code for code, level in levels(result).items() if level == "stop"}
    assert not (stops and result.answer.startswith("Yes"))
    assert not (stops & {"battery-limit", "below-cut-out", "no-operating-point"} and "current" not in verdict and verdict != "no-both")


RANK = {"yes": 3, "yes-if": 2, "no-energy": 1, "no-current": 1, "no-both": 0}


@typed.few
@given(st.floats(20, 100), st.floats(20, 100), st.floats(0, 400), st.floats(0, 400))
def test_a_fuller_battery_and_fewer_must_haves_never_make_it_worse(full, empty, few, many):
    (empty, full), (few, many) = sorted((empty, full)), sorted((few, many))
    texts = {**EVENING, "sheddable": "tv 60 W 3 h, heater 300 W 30 min"}
    worse, better = (answer("tonight", texts, state_of_charge=f"{charge:.4f} %", must_haves=f"{needed:.4f} Wh") for charge, needed in ((empty, many), (full, few)))
    assert RANK[value(worse, "verdict")] <= RANK[value(better, "verdict")]
    assert value(worse, "energy_spare") <= value(better, "energy_spare") + 1e-6
