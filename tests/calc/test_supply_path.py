"""supply-path: worked cases by hand, and what must stop the reader."""

import math

import pytest

from calc.errors import FieldProblem, InputProblems
from tests.calc.cases import answer, levels, value

SMOOTH = {"ripple": "0", "cut_out_senses": "mean", "cable_resistance": "1 mΩ", "joint_resistance": "1 mΩ"}


def path(**more):
    """A path whose cable and joints are 2 mΩ together."""
    return answer("supply-path", SMOOTH, **more)


def test_the_working_point_by_hand():
    """51.2 V, 12 mΩ, 5 kW: 50 V and 100 A come out whole."""
    result = path(voltage_open_circuit="51.2 V", battery_resistance="10 mΩ", power_dc="5 kW", cut_out="42 V", rating="6 kVA")
    assert value(result, "voltage_inverter") == pytest.approx(50, rel=1e-12)
    assert value(result, "current_dc") == pytest.approx(100, rel=1e-12)
    assert value(result, "margin") == pytest.approx(8, rel=1e-12)
    assert [value(result, f"drop_{part}") for part in ("battery", "cable", "joints")] == pytest.approx([1.0, 0.1, 0.1])
    assert [value(result, f"heat_{part}") for part in ("battery", "cable", "joints")] == pytest.approx([100, 10, 10])
    assert value(result, "verdict") == "holds"


def test_the_pieces_add_up():
    result = answer("supply-path", "stated ranges")
    drops = sum(value(result, f"drop_{part}") for part in ("battery", "cable", "joints"))
    heats = sum(value(result, f"heat_{part}") for part in ("battery", "cable", "joints"))
    rest = result.input("voltage_open_circuit").value
    assert rest - drops == pytest.approx(value(result, "voltage_inverter"))
    assert rest * value(result, "current_dc") == pytest.approx(value(result, "power_dc") + heats)


@pytest.mark.parametrize(
    ("limit", "senses", "ripple", "most"), [("11 V", "mean", "0", 1467), ("11 V", "mean", "0.8", 1415), ("11 V", "trough", "0.8", 839), ("10.5 V", "mean", "0", 1983)]
)
def test_the_largest_power_before_the_cut_out(limit, senses, ripple, most):
    """12.2 V behind 9 mΩ; V_co·(V_oc − V_co)/R without ripple."""
    result = path(voltage_open_circuit="12.2 V", battery_resistance="7 mΩ", cut_out=limit, cut_out_senses=senses, ripple=ripple)
    assert value(result, "power_dc_max") == pytest.approx(most, abs=0.6)


def test_at_the_largest_power_the_margin_is_gone():
    """The answer fed back as the load: what the cut-out sees lies on the cut-out."""
    for senses, ripple in (("mean", "0"), ("mean", "0.5"), ("trough", "0.5")):
        texts = {"voltage_open_circuit": "12.4 V", "battery_resistance": "9 mΩ", "cut_out_senses": senses, "ripple": ripple}
        most = value(path(**texts), "power_dc_max")
        assert value(path(**texts, power_dc=f"{most!r} W"), "margin") == pytest.approx(0, abs=1e-9)


def test_the_largest_ac_power_draws_the_largest_dc_power():
    texts = {"battery_resistance": "9 mΩ", "voltage_open_circuit": "12.2 V", "cut_out": "11 V", "power_ac": "500 W"}
    first = path(**texts)
    again = path(**{**texts, "power_ac": f"{value(first, 'power_ac_max')!r} W"})
    assert value(again, "power_dc") == pytest.approx(value(first, "power_dc_max"), rel=1e-9)


def test_the_rest_voltage_at_which_it_starts_to_trip_fed_back():
    texts = {"battery_resistance": "9 mΩ", "power_ac": "700 W"}
    trips = value(path(**texts), "voltage_open_circuit_trip")
    assert value(path(**texts, voltage_open_circuit=f"{trips!r} V"), "margin") == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("current", "resistance", "volts", "share"), [(2, 10, 10.5, None), (150, 10, 12.0, 0.16), (100, 20, 12.5, 0.81)], ids=["flat before it trips", "about a sixth left", "four fifths left"]
)
def test_what_a_10_5_volt_cut_out_leaves_in_the_battery(current, resistance, volts, share):
    """A cut-out guards no battery: at a small load it lets one run flat, at a large one it trips a full one."""
    result = path(battery_resistance=f"{resistance - 2} mΩ", power_dc=f"{10.5 * current} W", voltage_open_circuit="12.9 V")
    assert value(result, "voltage_open_circuit_trip") == pytest.approx(volts, abs=0.03)
    charge = value(result, "state_of_charge_trip")
    assert charge is None if share is None else charge == pytest.approx(share, abs=0.01)


def test_24_volts_is_two_batteries_in_the_rest_voltage_table():
    twelve = path(battery_resistance="8 mΩ", voltage_open_circuit="12.6 V", cut_out="11 V", power_dc="1300 W")
    twice = answer("supply-path", SMOOTH, battery_resistance="16 mΩ", cable_resistance="2 mΩ", joint_resistance="2 mΩ", voltage_open_circuit="25.2 V", cut_out="22 V", power_dc="2600 W", rating="4 kVA")
    assert value(twice, "state_of_charge_trip") == pytest.approx(value(twelve, "state_of_charge_trip"), rel=1e-9)
    assert 0 < value(twelve, "state_of_charge_trip") < 1


@pytest.mark.parametrize(("voltage", "percent"), [("12", 3.5), ("24", 0.85), ("48", 0.21)])
def test_twice_the_voltage_is_a_quarter_of_the_percent(voltage, percent):
    """2000 W over 2 m one way of 35 mm²."""
    rest = 1.05 * float(voltage)
    result = answer("supply-path", ripple="0", battery_resistance="1 mΩ", joint_resistance="0", voltage_open_circuit=f"{rest} V", power_dc="2000 W", area="35 mm²", length_one_way="2 m", conductor_temperature="50 °C", cut_out=f"{0.8 * float(voltage)} V")
    assert 100 * value(result, "drop_cable") / rest == pytest.approx(percent, rel=0.08)


def test_a_protected_battery_sets_the_largest_power():
    """100 A from a 13.2 V battery carries some 1.1 to 1.2 kW of AC whatever the inverter."""
    result = answer("supply-path", "within the battery's limit")
    assert 1050 < value(result, "power_ac_max") < 1250
    assert value(result, "power_dc_max") <= 100 * 13.2


def test_the_largest_ac_power_is_never_above_the_rating():
    result = answer("supply-path", battery_resistance="1 mΩ", joint_resistance="0.2 mΩ", rating="1000 VA", power_ac="300 W", power_factor="0.8")
    output = result.output("power_ac_max")
    assert output.value == pytest.approx(800) and output.high <= 800 * (1 + 1e-9)


@pytest.mark.parametrize(
    ("case", "verdict", "code"), [("drops out", "trips", "below-cut-out"), ("collapses", "collapses", "no-operating-point"), ("above the battery's limit", "over-limit", "battery-limit")]
)
def test_what_cannot_hold_stops_the_reader(case, verdict, code):
    result = answer("supply-path", case)
    assert value(result, "verdict") == verdict
    assert levels(result)[code] == "stop" and result.findings[0].code == code
    assert "The most it carries before that is" in result.answer


@pytest.mark.parametrize("case", ["small load", "lithium", "within the battery's limit"])
def test_what_holds_does_not_stop_the_reader(case):
    result = answer("supply-path", case if case != "small load" else "a small load")
    assert value(result, "verdict") == "holds" and "stop" not in levels(result).values()


def test_a_trough_below_the_cut_out_stops_even_where_the_mean_is_above():
    texts = {"battery_resistance": "7 mΩ", "voltage_open_circuit": "12.2 V", "power_dc": "1000 W", "cut_out": "11 V", "ripple": "0.8"}
    assert value(path(**texts), "verdict") == "holds"
    troubled = path(**texts, cut_out_senses="trough")
    assert value(troubled, "verdict") == "trips" and levels(troubled)["below-cut-out"] == "stop"


def test_what_the_cut_out_looks_at_is_asked_where_it_decides():
    result = answer("supply-path", "defaults")
    (finding,) = [finding for finding in result.findings if finding.code == "may-trip"]
    assert "mean or trough" in finding.text
    assert result.output("margin").low < 0 < result.output("margin").value


def test_a_short_start_is_judged_by_the_lock_out():
    """0.5 s against a delay of 3 s: the 9 V lock-out counts; 5 s: the cut-out does."""
    short, long = answer("supply-path", "a start that rides through"), answer("supply-path", "a start longer than the delay")
    assert value(short, "margin") - value(long, "margin") == pytest.approx(1.5)


def test_no_operating_point_has_no_numbers_to_show():
    result = answer("supply-path", "collapses")
    assert all(value(result, name) is None for name in ("voltage_inverter", "current_dc", "margin", "drop_cable", "heat_joints"))
    assert value(result, "power_dc_max") > 0


def test_a_dc_power_above_what_the_rating_draws_is_no_plain_answer():
    """Continuous power above the rating is never shown as an answer: 4 kW of DC on a 1 kVA inverter."""
    texts = {**SMOOTH, "joint_resistance": "0", "battery_resistance": "1 mΩ", "voltage_open_circuit": "25.6 V", "cut_out": "21 V", "rating": "1000 VA"}
    try:
        result = answer("supply-path", texts, power_dc="4000 W")
    except (FieldProblem, InputProblems) as raised:
        assert [problem.field for problem in getattr(raised, "problems", (raised,))] == ["power_dc"]
    else:
        assert {"stop", "caution"} & set(levels(result).values())


def test_the_words_for_a_trip_outside_the_table_are_true():
    """A trip voltage above a full battery, and one below an empty one, are two different things."""
    above = answer("supply-path", "collapses")
    below = answer("supply-path", "trips only when empty")
    text = {id(result): next(finding.text for finding in result.findings if finding.code == "trip-outside-table") for result in (above, below)}
    assert value(above, "voltage_open_circuit_trip") > 12.65 and "even with a full battery" in text[id(above)]
    assert value(below, "voltage_open_circuit_trip") < 11.89 and "empty" in text[id(below)]


@pytest.mark.parametrize(("rest", "cut_out"), [("6.3 V", "6 V"), ("38 V", "36 V")])
def test_a_battery_of_another_voltage_is_not_read_off_a_12_volt_table(rest, cut_out):
    """6 V and 36 V are no whole number of 12 V batteries: three of them, or half of one."""
    result = path(battery_resistance="3 mΩ", voltage_open_circuit=rest, cut_out=cut_out, power_dc="300 W")
    table = 12.65 * float(rest.split()[0]) / 12.6
    trips = value(result, "voltage_open_circuit_trip")
    for finding in result.findings:
        if finding.code == "trip-outside-table":
            assert ("even with a full battery" in finding.text) == (trips > table), finding.text
            assert ("empty" in finding.text) == (trips < table * 11.89 / 12.65), finding.text


def test_the_figure_shows_the_answer():
    result = answer("supply-path", "mean seen, no ripple")
    (figure,) = [figure for figure in getattr(result, "figures", (getattr(result, "figure", None),)) if figure]
    mean = next(series for series in figure.series if series.name == "mean")
    assert mean.points[0][1] == pytest.approx(12.6) and mean.points[-1][1] == pytest.approx(value(result, "voltage_inverter"))
    assert figure.levels[0].y == pytest.approx(10.5)
    heights = [y for series in figure.series for _, y in series.points] + [level.y for level in figure.levels]
    assert all(figure.y.low <= y <= figure.y.high and math.isfinite(y) for y in heights)


def test_most_of_the_drop_is_more_than_half():
    """3, 2.48 and 1.5 mΩ: the battery's part is the largest, but 43 per cent."""
    spread = answer("supply-path", battery_resistance="3 mΩ", cable_resistance="2.48 mΩ", joint_resistance="1.5 mΩ")
    assert "the battery takes the largest part of the drop, 43\u00a0%" in spread.answer
    assert "the battery takes most of the drop" in answer("supply-path", battery_resistance="6 mΩ", cable_resistance="2.48 mΩ", joint_resistance="1.5 mΩ").answer


def test_a_limit_that_may_be_passed_is_named_and_not_the_margin():
    """About 92 A likely, 97 A with 5 % more power: above the 95 A of the battery, with volts to spare."""
    result = answer("supply-path", power_ac="1000 W", battery_resistance="3 ± 0 mΩ", cable_resistance="1 ± 0 mΩ", ripple="0 ± 0", cut_out_senses="mean", battery_current_limit="95 A")
    (said,) = [one.text for one in result.findings if one.code == "may-trip"]
    assert value(result, "verdict") == "holds" and "95\u00a0A limit" in said and "margin" not in said
    assert result.answer.startswith("It should hold") and answer("supply-path", "a small load").answer.startswith("It holds")


def test_what_holds_is_never_above_the_most_that_holds():
    """A start of 1900 W from 1000 VA: what battery and cable carry counts, not the continuous rating."""
    result = answer("supply-path", rating="1000 VA", power_ac="1900 W", load_duration="0.5 s", battery_resistance="2 mΩ", ripple="0", cut_out_senses="mean")
    assert value(result, "verdict") == "holds" and value(result, "power_ac_max") >= 1900
    assert value(answer("supply-path", rating="1000 VA", power_ac="900 W", battery_resistance="2 mΩ"), "power_ac_max") <= 1000
