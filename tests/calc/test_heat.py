"""heat: the box, the air and the hydrogen, against balances worked by hand and against Faraday's law."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.errors import FieldProblem, InputProblems
from calc.physics import gas, heat
from tests.calc import typed
from tests.calc.cases import answer, levels, shown, value

# Standby 20 W, a = 1.05, b = 0.06 for 2000 VA: the two efficiencies that belong to them.
INVERTER = {"rating": "2000 VA", "standby_power": "20 W", "efficiency_full": f"{100 * 2000 / 2240!r} %", "efficiency_peak": f"{100 / (1.05 + 2 * 0.0006**0.5)!r} %"}
COOL = {"power_ac": "100 W", "battery": "flooded", "charge": "boost", "battery_capacity": "200 Ah", "voltage_nominal": "12 V"}


def test_loss_rise_and_air_by_hand():
    """1500 W: 20 + 1575 + 67.5 − 1500 = 162.5 W; over 5 W/K 32.5 K; 162.5/(1206·10) m³/s is 48.5 m³/h."""
    result = answer("heat", **INVERTER, power_ac="1500 W", heat_transfer="5", box_area="1 m²", ambient="20 °C", rise_wanted="10 K")
    assert value(result, "loss_heat") == pytest.approx(162.5)
    assert value(result, "temperature_rise") == pytest.approx(32.5)
    assert shown(result, "temperature_inside") == pytest.approx(52.5)
    assert shown(result, "airflow_for_rise") == pytest.approx(48.507, abs=1e-3)


def test_a_box_settles_where_its_differential_equation_does():
    """C·dT/dt = P − h·A·T with a heat capacity of 2 kJ/K, after twenty time constants."""
    settled = solve_ivp(lambda t, rise: (162.5 - 5.4 * rise) / 2000, (0, 20 * 2000 / 5.4), [0.0], rtol=1e-10, atol=1e-10).y[0, -1]
    assert heat.rise_in_closed_box(162.5, 1.0, 5.4) == pytest.approx(settled, rel=1e-6)


def test_air_carries_what_it_warms_up_by():
    """49 m³/h of 1.2 kg/m³ is 16.33 g/s; at 1005 J/(kg·K) 162 W warm it by 9.87 K."""
    assert heat.rise_with_airflow(162.0, 49 / 3600, heat.HEAT_CAPACITY_OF_AIR) == pytest.approx(162 / (49 / 3600 * 1.2 * 1005), rel=1e-9)
    result = answer("heat", loss="162 W", airflow="49 m³/h", box_area="1 m²", heat_transfer="5.4")
    carried = 49 / 3600 * 1.2 * 1005 + 5.4 * 1.0  # W/K by the air, and through the walls beside it
    assert value(result, "temperature_rise") == pytest.approx(162 / carried, rel=1e-9)


def test_a_fan_never_makes_it_hotter_than_no_fan():
    """0.1 m³/h beside the walls is next to nothing: the closed box's 31 K, not thousands."""
    closed, fan = (value(answer("heat", loss="166 W", **texts), "temperature_rise") for texts in ({}, {"airflow": "0.1 m³/h"}))
    assert closed == pytest.approx(166 / 5.4) and 0.99 * closed < fan < closed


@pytest.mark.parametrize(("ambient", "stops"), [("15 °C", False), ("49 °C", True)])
def test_a_battery_that_would_cook_stops_the_reader(ambient, stops):
    """166 W in a square metre: 31 K. Lithium iron phosphate is charged up to 45 °C and used up to 55 °C."""
    assert ("battery-too-hot" in levels(answer("heat", loss="150 W", ambient=ambient, battery="lithium-iron-phosphate"))) == stops


def test_what_to_do_about_a_battery_too_hot_is_a_sentence():
    text = next(one.text for one in answer("heat", loss="150 W", ambient="49 °C", battery="lithium-iron-phosphate").findings if one.code == "battery-too-hot")
    assert text.split(". ")[-1] == "Give each a space of its own, or fit a fan that blows the warm air out."


def test_the_airflow_that_holds_a_rise_gives_that_rise():
    """The air alone: with the walls beside it the rise is a little less than wanted."""
    wanted = shown(answer("heat", loss="120 W", rise_wanted="7 K"), "airflow_for_rise")
    assert heat.rise_with_airflow(120.0, wanted / 3600, heat.HEAT_CAPACITY_OF_AIR) == pytest.approx(7)
    assert value(answer("heat", loss="120 W", airflow=f"{wanted!r} m³/h"), "temperature_rise") < 7


def test_derating_by_hand():
    """45 °C and 162.5 W over 5 W/K: 77.5 °C, 37.5 K too much, at 2 % a quarter left."""
    result = answer("heat", **INVERTER, power_ac="1500 W", heat_transfer="5", box_area="1 m²", ambient="45 °C", rated_to="40 °C", loss_per_degree="2 %")
    assert value(result, "derating") == pytest.approx(0.25)
    assert value(result, "rating_derated") == pytest.approx(500)
    assert levels(result)["shuts-down"] == "caution"
    cold = answer("heat", **INVERTER, power_ac="100 W", ambient="-10 °C")
    assert value(cold, "derating") == 1.0 and value(cold, "rating_derated") == 2000


def test_heat_takes_as_much_of_a_rating_here_as_where_its_size_is_asked():
    here = answer("heat", power_ac="1000 W", ambient="30 °C")
    hot = f"{value(here, 'temperature_inside')!r} °C"
    assert 0.5 < value(here, "derating") < 1
    assert value(answer("inverter-size", ambient=hot), "derating") == pytest.approx(value(here, "derating"))


def test_the_hydrogen_airflow_dilutes_to_under_one_per_cent():
    """Faraday's hydrogen at 20 °C over the standard's air: 0.42 l·1.07 in 50 l, well below the 4 % that burns."""
    warm = gas.hydrogen_per_charge(gas.FARADAY, gas.MOLAR_VOLUME * 293.15 / 273.15)
    assert warm / gas.AIR_PER_CHARGE == pytest.approx(0.00898, abs=2e-5)


def test_hydrogen_by_hand():
    """200 Ah flooded on boost: 4 A of gas, six cells, 0.05 m³/Ah: 1.2 m³/h and 33.6 cm²; ∛24000 = 28.845, times 28.8 mm."""
    result = answer("heat", **COOL)
    assert value(result, "gas_current") == pytest.approx(4)
    assert shown(result, "airflow_hydrogen") == pytest.approx(1.2)
    assert shown(result, "opening_needed") == pytest.approx(33.6)
    assert value(result, "spark_distance") == pytest.approx(0.83073, abs=1e-5)


def test_two_batteries_in_series_gas_twice_as_much_but_not_from_one_place():
    one, two = answer("heat", **COOL), answer("heat", **{**COOL, "voltage_nominal": "24 V"})
    assert value(two, "airflow_hydrogen") == pytest.approx(2 * value(one, "airflow_hydrogen"))
    assert value(two, "spark_distance") == pytest.approx(value(one, "spark_distance"))


def test_equalising_counts_the_chargers_own_current():
    result = answer("heat", **{**COOL, "charge": "equalise", "charge_current": "15 A"})
    assert value(result, "gas_current") == 15
    assert shown(result, "airflow_hydrogen") == pytest.approx(0.05 * 6 * 15)


@pytest.mark.parametrize("battery", ["none", "lithium-iron-phosphate"])
def test_only_lead_gasses(battery):
    result = answer("heat", battery=battery, power_ac="100 W")
    assert [value(result, name) for name in ("gas_current", "airflow_hydrogen", "opening_needed", "spark_distance")] == [None] * 4
    assert "hydrogen" not in result.answer and "ventilation-not-checked" not in levels(result)


@pytest.mark.parametrize(
    ("texts", "code"),
    [
        ({"opening": "33 cm²"}, "opening-too-small"), ({"airflow": "1.1 m³/h", "power_ac": "10 W"}, "airflow-too-small"), ({"spark_source_distance": "0.8 m"}, "spark-source-near"),
        ({"place": "sleeping-space"}, "battery-where-people-sleep"), ({"place": "petrol-or-gas-space", "ignition_protected": "no"}, "petrol-or-gas"),
    ],
)  # fmt: skip
def test_what_must_stop_the_reader_does(texts, code):
    result = answer("heat", **{**COOL, **texts})
    assert levels(result)[code] == "stop" and result.findings[0].level == "stop"


@pytest.mark.parametrize("texts", [{"opening": "34 cm²"}, {"airflow": "100 m³/h"}, {"spark_source_distance": "0.84 m"}, {"place": "petrol-or-gas-space", "ignition_protected": "yes"}])
def test_what_is_met_does_not(texts):
    assert "stop" not in levels(answer("heat", **{**COOL, **texts})).values()


def test_an_engine_space_stops_without_a_battery_as_well():
    assert levels(answer("heat", place="petrol-or-gas-space"))["petrol-or-gas"] == "stop"


@pytest.mark.parametrize(
    ("texts", "field"),
    [
        ({"power_ac": "-5 W"}, "power_ac"), ({"box_area": "0"}, "box_area"), ({"box_area": "1 m"}, "box_area"), ({"airflow": "0"}, "airflow"), ({"airflow": "20 m/s"}, "airflow"),
        ({"ambient": "200 °C"}, "ambient"), ({"loss": "10 W", "power_ac": "300 W"}, "loss"), ({"battery": "nickel"}, "battery"),
        ({"loss_per_degree": "50 %"}, "loss_per_degree"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_said_at_its_field(texts, field):
    with pytest.raises(InputProblems) as caught:
        run(CALCULATORS["heat"], texts)
    assert field in [problem.field for problem in caught.value.problems]


@pytest.mark.parametrize(
    ("texts", "field"),
    [
        ({"power_ac": "2500 W"}, "power_ac"), ({"power_ac": "1500 W", "power_factor": "0.5"}, "power_ac"), ({"efficiency_full": "92 %", "efficiency_peak": "90 %"}, "efficiency_peak"),
        ({"battery": "flooded", "charge": "equalise"}, "charge_current"), ({"battery": "flooded", "voltage_nominal": "12.8 V"}, "voltage_nominal"),
    ],
)  # fmt: skip
def test_what_contradicts_itself_is_said_at_its_field(texts, field):
    with pytest.raises(FieldProblem) as caught:
        run(CALCULATORS["heat"], texts)
    assert caught.value.field == field


@typed.few
@given(st.floats(1, 500), st.floats(0.2, 4), st.floats(1.05, 3))
def test_more_heat_or_less_box_is_hotter(loss, area, more):
    base = heat.rise_in_closed_box(loss, area, 5.4)
    assert heat.rise_in_closed_box(loss * more, area, 5.4) > base > heat.rise_in_closed_box(loss, area * more, 5.4)


@typed.few
@given(st.floats(10, 1000), st.floats(1.05, 4))
def test_a_bigger_battery_needs_more_air_and_more_distance(capacity, more):
    small, large = (answer("heat", **{**COOL, "battery_capacity": f"{size!r} Ah"}) for size in (capacity, capacity * more))
    for name in ("airflow_hydrogen", "opening_needed", "spark_distance"):
        assert value(large, name) > value(small, name)
    assert value(large, "spark_distance") / value(small, "spark_distance") == pytest.approx(more ** (1 / 3))


@typed.few
@given(st.floats(-20, 60).map(lambda degrees: round(degrees, 2)), st.floats(0.5, 20))
def test_a_hotter_place_never_leaves_more_of_the_rating(ambient, hotter):
    shares = [value(answer("heat", power_ac="300 W", ambient=f"{min(place, 70)!r} °C"), "derating") or 0.0 for place in (ambient, ambient + hotter)]
    assert shares[1] <= shares[0] <= 1
