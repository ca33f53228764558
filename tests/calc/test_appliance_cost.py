"""appliance-cost: energy and current by hand, with the loss terms a = 1.05 and b = 0.06."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.errors import FieldProblem, InputProblems
from tests.calc import typed
from tests.calc.cases import answer, levels, shown, value


def inverter(rating, standby=20):
    """An inverter that draws standby + 1.05·P + 0.06·P²/rating, by its efficiency at two loads."""
    points = [(load, 100 * load / (standby + 1.05 * load + 0.06 * load**2 / rating)) for load in (0.1 * rating, rating)]
    return {"rating": f"{rating} VA", "standby_power": f"{standby} W", "points": ", ".join(f"{load:g} W:{eta!r}%" for load, eta in points)}


BATTERY = {"chemistry": "lithium-iron-phosphate", "capacity": "100 Ah", "depth_limit": "80 %"}
KETTLE = {**BATTERY, **inverter(3000), "appliance": "kettle", "power": "2000 W", "water": "1 L", "water_start": "15 °C", "efficiency_heating": "85 %"}


def test_a_litre_of_water_by_hand():
    """0.999 kg · 4.188 kJ/(kg·K) · 85 K = 355.63 kJ; over 0.85 and 2000 W: 209.2 s. 20 + 2100 + 80 W from the battery for that long."""
    result = answer("appliance-cost", KETTLE)
    assert value(result, "time_per_use") == pytest.approx(209.19, abs=0.01)
    assert shown(result, "energy_per_use") == pytest.approx(2200 * 209.19 / 3600, rel=1e-4)
    assert shown(result, "charge_per_use") == pytest.approx(127.84 / 12.8, rel=1e-3)
    assert value(result, "current_dc") == pytest.approx(2200 / 12.8)
    assert value(result, "battery_share") == pytest.approx(127.84 / (100 * 12.8 * 0.8), rel=1e-3)


def test_a_slower_kettle_takes_the_same_energy_at_less_current():
    """The heat in the water is the same; what differs is the inverter's loss on the way."""
    fast, slow = answer("appliance-cost", KETTLE), answer("appliance-cost", {**KETTLE, "power": "1000 W"})
    assert value(slow, "energy_per_use") == pytest.approx(value(fast, "energy_per_use"), rel=0.02)
    assert value(slow, "current_dc") < 0.5 * value(fast, "current_dc")
    assert value(slow, "time_per_use") == pytest.approx(2 * value(fast, "time_per_use"))


@pytest.mark.parametrize(
    ("watts", "minutes", "rating", "watt_hours", "kilowatts"),
    [(1400, 1.5, 2000, 39, 1.55), (1150, 5, 2000, 104, 1.25), (900, 3, 2000, 49, 0.99), (1200, 10, 2000, 220, 1.3), (1200, 20, 2000, 441, 1.3), (150, 1440, 2000, 4280, 0.178)],
)
def test_worked_figures_of_the_trade_with_the_same_loss_terms(watts, minutes, rating, watt_hours, kilowatts):
    """Pod machine, microwave oven, toaster, hair dryer, hob, absorption fridge: to the rounding of their powers."""
    result = answer("appliance-cost", {**BATTERY, **inverter(rating), "appliance": "other", "power": f"{watts} W", "minutes": f"{minutes} min", "voltage_under_load": "12.8 V"})
    assert shown(result, "energy_per_use") == pytest.approx(watt_hours, rel=0.02)
    assert value(result, "current_dc") * 12.8 == pytest.approx(1000 * kilowatts, rel=0.02)


def test_a_thermostat_draws_part_of_the_time_by_hand():
    """100 W for half of 10 h beside 20 W of standby: 1.05·100 + 0.3 W for 5 h, and 20 W for 10 h."""
    result = answer("appliance-cost", {**BATTERY, **inverter(2000), "appliance": "other", "power": "100 W", "minutes": "600 min", "duty": "0.5"})
    assert shown(result, "energy_per_use") == pytest.approx(105.3 * 5 + 20 * 10)


def test_a_household_fridge_on_an_inverter_left_on_for_it():
    """1.1 kWh a day at the socket is about 1635 Wh from the battery, 480 of them standby."""
    result = answer("appliance-cost", {**BATTERY, **inverter(2000), "appliance": "fridge-freezer-household", "power_factor": "1"})
    assert shown(result, "energy_per_use") == pytest.approx(1635, rel=0.01)


def test_straight_from_the_battery_no_inverter_has_a_part():
    """The table's fridge: 45 W, 380 Wh a day, and nothing else."""
    result = answer("appliance-cost", "a fridge on DC")
    assert shown(result, "energy_per_use") == pytest.approx(380)
    assert value(result, "current_dc") == pytest.approx(45 / 12)
    assert not any(step.symbol in ("a", "b", "P_dc") for step in result.working)
    by_choice = answer("appliance-cost", {"appliance": "laptop", "supply": "dc", "power": "60 W", "minutes": "60 min"})
    assert shown(by_choice, "energy_per_use") == pytest.approx(60)


def test_a_laptop_costs_what_the_comparison_of_ac_with_dc_says_once_its_adaptor_is_counted():
    """45 W behind an adaptor of 90 % are 50 W at the socket."""
    laptop = {"power_factor": "0.6", "rating": "2000 VA", "standby_power": "20 W"}
    here = answer("appliance-cost", {**laptop, "appliance": "laptop", "power": "50 W", "minutes": "240 min"})
    there = answer("ac-or-dc", {**laptop, "power": "45 W", "adaptor_efficiency_ac": "90 %", "hours_per_day": "4 h", "standby_carried": "alone"})
    assert value(here, "energy_per_use") == pytest.approx(value(there, "energy_via_ac"))
    assert "adaptor-counted" in levels(here) and "adaptor-counted" not in levels(answer("appliance-cost", appliance="kettle"))


def test_what_puts_it_back_by_hand():
    """60 Wh over 100 W · 0.6; over 10 A · 14.2 V · 0.94 for lithium."""
    result = answer("appliance-cost", {**BATTERY, "appliance": "other", "supply": "dc", "power": "60 W", "minutes": "60 min", "panel_power": "100 W", "derate": "0.6", "driving_current": "10 A"})
    assert shown(result, "sun_hours_back") == pytest.approx(1)
    assert shown(result, "driving_hours_back") == pytest.approx(60 / (10 * 14.2 * 0.94))


def test_gas_for_the_same_heat_by_hand():
    """355.63 kJ in the pot, half of 46.34 MJ/kg: 15.35 g of propane; butane has 45.72."""
    propane = answer("appliance-cost", {**KETTLE, "efficiency_burner": "50 %"})
    assert shown(propane, "gas_mass") == pytest.approx(15.35, abs=0.01)
    butane = answer("appliance-cost", {**KETTLE, "efficiency_burner": "50 %", "gas": "butane"})
    assert value(butane, "gas_mass") / value(propane, "gas_mass") == pytest.approx(46.34 / 45.72)


@pytest.mark.parametrize(("appliance", "gas"), [("kettle", True), ("heater-portable", True), ("toaster", True), ("laptop", False), ("blender", False), ("clothes-iron", False), ("hair-dryer", False), ("fuel-fired-air-heater-its-12-v-supply", False)])
def test_a_flame_stands_in_for_heat_only(appliance, gas):
    assert (value(answer("appliance-cost", appliance=appliance), "gas_mass") is not None) == gas


@pytest.mark.parametrize(("place", "watts"), [("-1", 800), ("0", 1000), ("1", 1400), ("0.5", 1200), ("-0.5", 900)])
def test_the_table_gives_the_power_and_its_range(place, watts):
    """A toaster: 800, 1000, 1400 W."""
    assert value(answer("appliance-cost", appliance="toaster", of_its_kind=place), "power_ac") == pytest.approx(watts)


def test_the_range_of_the_table_is_the_range_of_the_power():
    power = answer("appliance-cost", appliance="toaster").output("power_ac")
    assert (power.low, power.value, power.high) == pytest.approx((800, 1000, 1400))


@pytest.mark.parametrize(("uses", "verdict", "code"), [(2, "yes", None), (3, "costly", "large-part"), (10, "costly", "large-part"), (11, "no", "more-than-battery")])
def test_the_verdict_by_energy(uses, verdict, code):
    """60 Wh of 600 Wh a use: up to a quarter of the battery a day passes, more than all of it does not."""
    result = answer("appliance-cost", appliance="other", supply="dc", power="60 W", minutes="60 min", energy_usable="600 Wh", uses_per_day=str(uses))
    assert value(result, "verdict_energy") == verdict
    found = {"large-part", "more-than-battery"} & levels(result).keys()
    assert found == ({code} if code else set())


@pytest.mark.parametrize(("watts", "verdict"), [(900, "yes"), (1000, "close"), (1200, "close"), (1201, "no")])
def test_the_verdict_by_current(watts, verdict):
    """A limit of 100 A at 12 V: 80 A is 960 W."""
    result = answer("appliance-cost", appliance="other", supply="dc", power=f"{watts} W", minutes="6 min", battery_current_limit="100 A", voltage_under_load="12 V")
    assert value(result, "verdict_current") == verdict
    assert (levels(result).get("battery-limit") == "stop") == (verdict == "no")


def test_energy_and_current_are_judged_apart():
    kettle, fridge = answer("appliance-cost", {**KETTLE, "capacity": "100 Ah"}), answer("appliance-cost", "an absorption fridge")
    assert (value(kettle, "verdict_energy"), value(kettle, "verdict_current")) == ("yes", "no")
    assert (value(fridge, "verdict_energy"), value(fridge, "verdict_current")) == ("no", "yes")


@pytest.mark.parametrize(("chemistry", "per_amp_hour"), [("flooded", 0.5), ("agm", 1.0), ("lithium-iron-phosphate", 1.0)])
def test_the_limit_goes_by_the_kind_where_the_label_is_not_known(chemistry, per_amp_hour):
    assert value(answer("appliance-cost", chemistry=chemistry, capacity="120 Ah"), "current_limit") == pytest.approx(120 * per_amp_hour)


def test_no_limit_is_made_up_where_only_the_energy_is_known():
    result = answer("appliance-cost", "energy known")
    assert value(result, "current_limit") is None and value(result, "verdict_current") == "unknown"


@pytest.mark.parametrize(
    ("field", "texts"),
    [
        ("appliance", {"appliance": "kettel"}),
        ("power", {"appliance": "other"}),
        ("minutes", {"appliance": "other", "power": "60 W"}),
        ("power", {"power": "8 A"}),
        ("minutes", {"minutes": "0"}),
        ("water", {"water": "2 kg"}),
        ("water", {"water": "1 L", "minutes": "5 min"}),
        ("water_end", {"water": "1 L", "water_start": "60 °C", "water_end": "50 °C"}),
        ("water_end", {"water": "1 L", "water_end": "120 °C"}),
        ("rating", {"rating": "1000 VA", "standby_power": "10 W"}),
        ("voltage_under_load", {"voltage_under_load": "25 V"}),
        ("depth_limit", {"depth_limit": "120 %"}),
        ("duty", {"duty": "1.5"}),
        ("of_its_kind", {"of_its_kind": "2"}),
        ("efficiency_burner", {"efficiency_burner": "150 %"}),
        ("energy_usable", {"capacity": "120 Ah", "energy_usable": "600 Wh"}),
    ],
)
def test_bad_input_names_its_field(field, texts):
    with pytest.raises((InputProblems, FieldProblem)) as caught:
        answer("appliance-cost", texts)
    assert [problem.field for problem in getattr(caught.value, "problems", (caught.value,))] == [field]


def test_a_long_list_of_answers_is_not_thrown_at_the_reader():
    with pytest.raises(InputProblems) as caught:
        answer("appliance-cost", appliance="kettel")
    assert "kettle-travel-size" in str(caught.value) and len(str(caught.value)) < 200


@typed.few
@given(st.floats(10, 1900), st.floats(10, 1900), st.floats(1, 300), st.floats(1, 300))
def test_more_watts_and_more_minutes_take_more(watts, other_watts, minutes, other_minutes):
    (watts, other_watts), (minutes, other_minutes) = sorted((watts, other_watts)), sorted((minutes, other_minutes))
    less, more = (answer("appliance-cost", appliance="other", power=f"{p:.4f} W", minutes=f"{t:.4f} min") for p, t in ((watts, minutes), (other_watts, other_minutes)))
    for name in ("energy_per_use", "current_dc", "battery_share", "sun_hours_back", "driving_hours_back"):
        assert value(less, name) <= value(more, name) * (1 + 1e-12)


def test_no_plain_yes_where_health_hangs_on_it():
    result = answer("appliance-cost", {"appliance": "laptop", "medical": "no-fallback"})
    assert levels(result)["no-fallback"] == "stop" and result.answer.startswith("Not on this supply alone")
