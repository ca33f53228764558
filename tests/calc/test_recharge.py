"""recharge: sun, engine and charger by hand and by general-purpose libraries, and what must stop the reader."""

import math
import re

import numpy as np
import pandas as pd
import pvlib
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from calc import tables
from calc.calculators import chemistry
from calc.calculators.calculator import run
from calc.calculators.recharge import CALCULATOR, PLACES
from calc.errors import FieldProblem, InputProblems
from calc.physics import charging, sun
from calc.render import html
from tests.calc.test_working import check
from tests.calc.typed import few

HOUR, DAY = 3600.0, 86400.0
PLAIN = {"driving": "none", "mains": "none", "chemistry": "agm", "capacity": "200 Ah"}
CHARGED = {**PLAIN, "mains": "generator", "charger_current": "40 A", "generator_place": "away", "co_alarm": "yes"}
SPLIT = {**PLAIN, "driving": "split", "fused_both_ends": "yes"}


def answer(**typed):
    return run(CALCULATOR, typed)


def value(result, name):
    return result.output(name).value


def levels(result):
    return {one.code: one.level for one in result.findings}


def refused(**typed):
    with pytest.raises((InputProblems, FieldProblem)) as caught:
        answer(**typed)
    problems = getattr(caught.value, "problems", (caught.value,))
    return {problem.field for problem in problems}


# The sun


@pytest.mark.parametrize(("ambient", "irradiance", "noct"), [(25, 1000, 45), (35, 600, 47), (-5, 300, 43)])
def test_the_cell_temperature_is_that_of_pvlib(ambient, irradiance, noct):
    ours = sun.cell_temperature(ambient, irradiance, noct - sun.AMBIENT_NOCT, sun.IRRADIANCE_NOCT)
    assert ours == pytest.approx(float(pvlib.temperature.ross(irradiance, ambient, noct=noct)), rel=1e-12)


@pytest.mark.parametrize(("mount", "model"), [("open-rack", "open_rack_glass_polymer"), ("close", "close_mount_glass_glass"), ("bonded", "insulated_back_glass_polymer")])
def test_the_mounting_table_is_that_of_pvlib(mount, model):
    row = next(row for row in tables.load("panel_mounting").values if row["mount"] == mount)
    found = pvlib.temperature.sapm_cell(1000.0, 25.0, 1.0, **pvlib.temperature.TEMPERATURE_MODEL_PARAMETERS["sapm"][model])
    assert row["cell_temperature"] == pytest.approx(found, abs=0.06)  # held to 0.1 °C


@pytest.mark.parametrize(("latitude", "day_of_year"), [(-33.9, 172), (-33.9, 355), (51.5, 80), (57.2, 355), (4.7, 200), (0.0, 20)])
def test_declination_and_daylight_are_those_of_pvlib(latitude, day_of_year):
    """pvlib's Spencer series and its geometric sunrise; ours is good to half a degree and a few minutes."""
    declination = sun.declination(day_of_year)
    assert declination == pytest.approx(float(pvlib.solarposition.declination_spencer71(day_of_year)), abs=math.radians(0.6))
    times = pd.DatetimeIndex([pd.Timestamp("2023-01-01", tz="UTC") + pd.Timedelta(days=day_of_year - 1)])
    equation = pvlib.solarposition.equation_of_time_spencer71(day_of_year)
    rise, fall, _ = pvlib.solarposition.sun_rise_set_transit_geometric(times, latitude, 0.0, pvlib.solarposition.declination_spencer71(day_of_year), equation)
    length = float((fall[0] - rise[0]).total_seconds())
    assert sun.daylight(math.radians(latitude), declination, DAY) == pytest.approx(length, abs=420)


@pytest.mark.parametrize(("latitude", "day_of_year"), [(-33.9, 17), (60.3, 162), (25.8, 288), (-12.5, 105)])
def test_the_sun_above_the_air_is_pvlib_integrated_over_a_day(latitude, day_of_year):
    """Extraterrestrial radiation times the sine of the sun's height, added up minute by minute; our declination is good to half a degree."""
    times = pd.date_range(pd.Timestamp("2023-01-01", tz="UTC") + pd.Timedelta(days=day_of_year - 1), periods=1440, freq="1min")
    height = pvlib.solarposition.get_solarposition(times, latitude, 0.0)["elevation"].to_numpy()
    total = float(np.sum(np.clip(np.sin(np.radians(height)), 0, None)) * 60 * pvlib.irradiance.get_extra_radiation(day_of_year))
    ours = sun.sun_time_above_air(math.radians(latitude), sun.declination(day_of_year), day_of_year, DAY) * 1000
    assert ours == pytest.approx(total, rel=0.02)


def test_polar_night_and_midnight_sun():
    assert sun.daylight(math.radians(75), math.radians(-23), DAY) == 0.0
    assert sun.daylight(math.radians(75), math.radians(23), DAY) == pytest.approx(DAY)
    assert sun.sun_time_above_air(math.radians(75), math.radians(-23), 355, DAY) == pytest.approx(0.0, abs=1e-6)


def test_typical_months_lie_below_the_clear_sky_and_that_below_the_air():
    clear = {row["place"]: row for row in tables.load("sun_hours_clear_sky").values}
    for row in tables.load("sun_hours_typical_year").values:
        if row["plane"] == "flat" and row["place"] in clear:
            assert all(row[month] < clear[row["place"]][month] for month in list(row)[4:])
    middle = (17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344)
    for row in clear.values():
        above = [sun.sun_time_above_air(row["latitude"], sun.declination(day), day, DAY) for day in middle]
        assert all(0 < seen < outside for seen, outside in zip(list(row.values())[2:], above, strict=True))


def test_every_place_has_its_sun():
    held = {row["place"] for name in ("sun_hours_typical_year", "sun_hours_clear_sky") for row in tables.load(name).values}
    assert PLACES.keys() - {"none"} == held


@pytest.mark.parametrize("name", ["sun_hours_typical_year", "sun_hours_clear_sky"])
def test_a_place_is_called_the_same_in_its_table_and_in_the_form(name):
    shown = str(html.data_table(tables.load(name)))
    assert all(f">{PLACES[row['place']]}" in shown for row in tables.load(name).values)


def test_a_place_and_month_are_read_from_the_table():
    """Sydney in June, flat 2.18 h and tilted 3.02 h; its clear sky is not used."""
    flat, tilted = answer(place="sydney", month="jun"), answer(place="sydney", month="jun", plane="latitude")
    assert value(flat, "sun_hours_used") == pytest.approx(2.18 * HOUR)
    assert value(tilted, "sun_hours_used") == pytest.approx(3.02 * HOUR)
    assert "clear-sky-only" not in levels(flat)


def test_where_only_the_clear_sky_is_held_a_share_of_it_counts():
    result = answer(place="perth", month="jan", clearness="0.8")
    assert value(result, "sun_hours_used") == pytest.approx(0.8 * 8.72 * HOUR)
    assert levels(result)["clear-sky-only"] == "caution"


def test_the_days_heat_loss_is_the_integral_over_the_day():
    """Half a sine of 5.2 h over 11 h: ∫G·(1 + γ·(T_a + c·G - 25)) over ∫G, by scipy."""
    peak = 1000 * math.pi / 2 * 5.2 / 11
    bright = lambda hour: peak * math.sin(math.pi * hour / 11)  # noqa: E731
    rise = 49.5 / 1000
    weighed, _ = quad(lambda hour: bright(hour) * (1 - 0.004 * (30 + rise * bright(hour) - 25)), 0, 11)
    plain, _ = quad(bright, 0, 11)
    irradiance = sun.irradiance_effective(5.2, 11.0, 1000.0)
    ours = sun.temperature_yield(-0.004, sun.cell_temperature(30.0, irradiance, 49.5, 1000.0) - 25)
    assert ours == pytest.approx(weighed / plain, rel=1e-9)


def test_one_loss_is_counted_once():
    """A whole derate ends at the posts: the battery's own loss moves the balance and nothing else."""
    good, poor = (answer(**PLAIN, panel_power="300 W", sun_hours="4 h", derate="0.65", battery_efficiency=eta) for eta in ("0.95", "0.7"))
    assert value(good, "energy_solar") == value(poor, "energy_solar") == pytest.approx(300 * 4 * 0.65 * HOUR)
    # 780 Wh at the posts: 0.95·780 - 800 = -59 Wh, 0.7·780 - 800 = -254 Wh.
    assert value(good, "balance") == pytest.approx(-59 * HOUR)
    assert value(poor, "balance") == pytest.approx(-254 * HOUR)


def test_parts_and_a_whole_derate_are_not_both_used():
    assert refused(derate="0.65", ambient="35 °C") == {"ambient"} or refused(derate="0.65", ambient="35 °C") == {"derate"}


# A cold string


def test_a_cold_string_by_hand():
    """Two panels of 24 V, -0.3 %/K, -10 °C: 2·24·(1 + 0.003·35) = 53.04 V."""
    cold = {"panel_voltage_open_circuit": "24 V", "panels_in_series": "2", "voltage_coefficient": "-0.3 %", "temperature_coldest": "-10 °C"}
    high, near, far = (answer(**PLAIN, **cold, controller_voltage_limit=limit) for limit in ("50 V", "54 V", "75 V"))
    assert value(high, "voltage_string_cold") == pytest.approx(53.04)
    assert levels(high)["string-too-high"] == "stop"
    assert levels(near)["string-near-limit"] == "caution"
    assert not {"string-too-high", "string-near-limit"} & levels(far).keys()


def test_an_unknown_coefficient_is_looked_at_from_its_bad_end():
    """-0.33 % gives 53.5 V, but -0.4 % gives 54.7 V: 54.5 V is too close."""
    result = answer(**PLAIN, panel_voltage_open_circuit="24 V", panels_in_series="2", controller_voltage_limit="54.5 V")
    assert value(result, "voltage_string_cold") == pytest.approx(48 * (1 + 0.0033 * 35))
    assert levels(result)["string-near-limit"] == "caution"


# The taper


@given(missing=st.floats(50, 2000), left=st.floats(5, 1500), power=st.floats(20, 2000), tau=st.floats(0.1, 3))
@few
def test_bulk_and_tail_are_the_integral_of_the_rate(missing, left, power, tau):
    """t = ∫dE/min(P, E/τ) from what is left to what is missing, by scipy, cut where the rate bends."""
    left = min(left, 0.95 * missing)
    cuts = sorted({left, missing, min(max(power * tau, left), missing)})
    exact = sum(quad(lambda energy: 1 / min(power, energy / tau), low, high)[0] for low, high in zip(cuts, cuts[1:]))
    ours = charging.bulk_time(missing, left, power, tau) + charging.tail_time(missing, left, power, tau)
    assert ours == pytest.approx(exact, rel=1e-6)
    assert charging.energy_returned(missing, power, tau, ours) == pytest.approx(missing - left, rel=1e-9)


@given(power=st.floats(100, 900), factor=st.floats(1.1, 4))
@few
def test_a_larger_charger_shortens_the_bulk_and_never_the_tail(power, factor):
    small, large = (charging.tail_time(900.0, 60.0, one, 1.0) for one in (power, factor * power))
    assert large >= small
    assert charging.bulk_time(900.0, 60.0, factor * power, 1.0) <= charging.bulk_time(900.0, 60.0, power, 1.0)
    total = [charging.bulk_time(900.0, 60.0, one, 1.0) + charging.tail_time(900.0, 60.0, one, 1.0) for one in (power, factor * power)]
    assert total[1] <= total[0]


def test_the_tail_does_not_shrink_with_the_use():
    """300 or 800 Wh taken: the same hours of tail, as both begin above where the taper does."""
    tails = [value(answer(**{**CHARGED, "charger_current": "15 A"}, energy=energy, battery_efficiency="0.75", taper_time="1 h"), "hours_tail") for energy in ("300 Wh", "800 Wh")]
    assert tails[0] == tails[1] > 0


def test_hours_of_charger_against_the_trades_table():
    """1000 Wh with 40 A from a bank of 200 Ah; a trade table's order of magnitude, not a reference:
    lithium 1.9 h; lead 2.3 h to 90 % and 3.5 h to 98 %."""
    lithium = answer(energy="1000 Wh", chemistry=chemistry.LITHIUM, capacity="200 Ah", mains="mains", charger_current="40 A", charge_to="98 %", battery_efficiency="0.94")
    lead = {"energy": "1000 Wh", "chemistry": "agm", "capacity": "200 Ah", "mains": "mains", "charger_current": "40 A", "battery_efficiency": "0.8"}
    assert value(lithium, "hours_mains") == pytest.approx(1.9 * HOUR, rel=0.1)
    assert value(answer(**lead, charge_to="90 %"), "hours_mains") == pytest.approx(2.3 * HOUR, rel=0.25)
    assert value(answer(**lead, charge_to="98 %"), "hours_mains") == pytest.approx(3.5 * HOUR, rel=0.2)


# Driving


def test_a_dc_dc_unit_by_hand():
    """30 A at 14.2 V and 0.8 into a battery far from its taper: 340.8 W stored, 426 W at the posts; 30·14.2/(0.9·14.2) = 33.3 A drawn."""
    result = answer(**{**PLAIN, "driving": "dc-dc"}, voltage_charge="14.2 V", battery_efficiency="0.8", taper_time="0.5 h", energy="900 Wh", driving_hours="1 h", dcdc_current="30 A")
    assert value(result, "energy_driving") == pytest.approx(426 * HOUR)
    assert value(result, "current_alternator") == pytest.approx(30 / 0.9)
    assert value(result, "current_driving") == value(result, "current_driving_end") == pytest.approx(30.0)


@pytest.mark.parametrize("kind", ["agm", chemistry.LITHIUM])
@pytest.mark.parametrize("hours", [0.5, 1, 3])
def test_a_split_connection_is_that_of_an_ode_solver(kind, hours):
    """The same circuit in numpy and scipy: rest voltage from the table, Ohm's law, the ampere-hour law."""
    efficiency, tau, full, path, own = 0.8, 1.0 if kind == "agm" else 0.1, 200 * (12.0 if kind == "agm" else 12.8), 0.0235, 0.006
    voltages, states = chemistry.rest_curve(kind)

    def rate(_, missing):
        rest = np.interp(1 - missing[0] / full, states, voltages)
        current = max(14.2 - rest, 0.0) / (path + own)
        return [-min(efficiency * current * (14.2 - current * path), missing[0] / tau)]

    exact = 1200.0 - solve_ivp(rate, (0, hours), [1200.0], rtol=1e-8, atol=1e-6, max_step=0.01).y[0, -1]
    grid = [float(np.interp(place / 20, states, voltages)) for place in range(21)]
    ours = charging.split_energy(1200.0, full, 14.2, path + own, path, 1e9, efficiency, tau, grid, float(hours))
    assert ours == pytest.approx(exact, rel=0.005)
    if ours < 1100.0:
        assert charging.split_time(1200.0, 1200.0 - exact, full, 14.2, path + own, path, 1e9, efficiency, tau, grid) == pytest.approx(hours, rel=0.01)


def test_the_current_of_a_split_connection_fades():
    result = answer(**SPLIT, driving_hours="2 h")
    assert value(result, "current_driving") > value(result, "current_driving_end") > 0
    assert {"current-fades", "fuel-saving-alternator"} <= levels(result).keys()


def test_a_thin_cable_charges_less_than_a_thick_one():
    thin, thick = (value(answer(**SPLIT, area=area), "energy_driving") for area in ("6 mm²", "35 mm²"))
    assert thin < thick


def test_a_loop_of_ten_metres_of_16_mm2_by_hand():
    """1.21 Ω/km · (1 + 0.00393·30) · 10 m = 13.527 mΩ."""
    assert value(answer(**SPLIT, length_one_way="5 m", area="16 mm²"), "resistance_loop") == pytest.approx(0.013527, rel=1e-4)


def test_lithium_on_an_old_alternator():
    result = answer(**{**SPLIT, "chemistry": chemistry.LITHIUM}, alternator_current_idle="30 A")
    assert levels(result)["lithium-on-alternator"] == levels(result)["alternator-overloaded"] == "caution"
    assert "alternator-overloaded" not in levels(answer(**SPLIT, alternator_current_idle="300 A"))


@pytest.mark.parametrize("amp_hours", [20, 60])
def test_how_long_lithium_asks_for_its_current_is_computed(amp_hours):
    result = answer(**{**SPLIT, "chemistry": chemistry.LITHIUM, "energy": f"{12.8 * amp_hours} Wh"})
    text = next(one.text for one in result.findings if one.code == "lithium-on-alternator")
    amps, number, unit = re.search(r"takes up to (\d+)\u00a0A for the ([\d.]+)\u00a0(h|min) until it is charged", text).groups()
    assert float(amps) == pytest.approx(value(result, "current_driving"), abs=0.5)
    assert float(number) * {"h": HOUR, "min": 60}[unit] == pytest.approx(value(result, "hours_driving"), rel=0.05)


@pytest.mark.parametrize("texts", [{"temperature": "-1 °C"}, {"battery_signs": "damaged"}])
def test_what_must_not_be_charged_is_said_before_any_number(texts):
    assert answer(**{**PLAIN, "chemistry": chemistry.LITHIUM, **texts}).answer.startswith("Do not charge it")


def test_an_alternator_too_low_never_fills_the_battery():
    """Lithium rests at 13.26 V at 95 %: 12.9 V never gets there."""
    result = answer(**{**SPLIT, "chemistry": chemistry.LITHIUM, "alternator_voltage": "12.9 V"})
    assert value(result, "hours_driving") is None
    assert levels(result)["never-full"] == "caution"
    assert "for as long as you drive" in next(one.text for one in result.findings if one.code == "lithium-on-alternator")


# The charger


def test_a_charger_from_the_batterys_own_inverter_always_loses():
    for efficiency in ("60 %", "87 %", "99 %"):
        result = answer(**CHARGED, charger_efficiency=efficiency)
        assert value(result, "power_own_inverter") < 0
        assert levels(result)["own-inverter"] == "note"


def test_what_is_put_back_is_never_more_than_is_missing():
    result = answer(**{**CHARGED, "driving": "dc-dc"}, energy="100 Wh", driving_hours="10 h", mains_hours="10 h", battery_efficiency="0.8")
    assert 0.8 * (value(result, "energy_driving") + value(result, "energy_mains")) <= 100 * HOUR * (1 + 1e-9)


# What must stop the reader, and what is only said


@pytest.mark.parametrize(
    ("code", "level", "typed"),
    [
        ("battery-damaged", "stop", {"battery_signs": "damaged"}),
        ("lithium-cold", "stop", {"chemistry": chemistry.LITHIUM, "temperature": "-1 °C"}),
        ("lithium-cool", "caution", {"chemistry": chemistry.LITHIUM, "temperature": "5 °C"}),
        ("lead-frozen", "stop", {**PLAIN, "energy": "2300 Wh", "temperature": "-12 °C"}),
        ("voltage-too-high", "stop", {"chemistry": chemistry.LITHIUM, "voltage_charge": "15.5 V"}),
        ("string-too-high", "stop", {"panel_voltage_open_circuit": "45 V", "panels_in_series": "3", "controller_voltage_limit": "100 V"}),
        ("fused-one-end", "stop", {**SPLIT, "fused_both_ends": "no"}),
        ("carbon-monoxide", "stop", {**CHARGED, "generator_place": "near"}),
        ("carbon-monoxide", "stop", {**CHARGED, "co_alarm": "no"}),
        ("fuses-unsaid", "caution", {**SPLIT, "fused_both_ends": "unsaid"}),
        ("generator-outside", "caution", {**CHARGED, "co_alarm": "unsaid"}),
        ("generator-too-small", "caution", {**CHARGED, "generator_rating": "700 VA"}),
        ("current-too-large", "caution", {**CHARGED, "capacity": "80 Ah"}),
        ("falls-short", "caution", {**PLAIN, "panel_power": "50 W"}),
        ("may-fall-short", "caution", {**PLAIN, "panel_power": "300 W", "sun_hours": "5 h"}),
        ("average-day", "note", PLAIN),
        ("tail-is-long", "note", CHARGED),
        ("fixed-wiring", "note", {**CHARGED, "mains": "mains"}),
    ],
)
def test_every_finding_at_its_level(code, level, typed):
    assert levels(answer(**typed)).get(code) == level


def test_a_safe_answer_has_no_stop():
    for typed in (PLAIN, CHARGED, SPLIT, {"chemistry": chemistry.LITHIUM, "temperature": "0 °C"}, {**PLAIN, "temperature": "-9 °C", "energy": "2300 Wh"}):
        assert "stop" not in levels(answer(**typed)).values()


# What cannot be used


@pytest.mark.parametrize(
    ("fields", "typed"),
    [
        ({"energy"}, {"energy": "5 kWh", "capacity": "100 Ah"}),
        ({"energy"}, {"energy": "-3 Wh"}),
        ({"energy"}, {"energy": "40 A"}),
        ({"place"}, {"month": "jan"}),
        ({"place"}, {"place": "atlantis"}),
        ({"place"}, {"sun_hours": "5 h", "place": "sydney"}),
        ({"charger_power_factor"}, {**CHARGED, "charger_power_factor": "1.1"}),
        ({"derate"}, {"derate": "1.2"}),
        ({"area"}, {**SPLIT, "area": "17 mm²"}),
        ({"area"}, {**SPLIT, "area": "6 mm"}),
        ({"voltage_charge"}, {"voltage_charge": "28 V"}),
        ({"voltage_nominal"}, {"voltage_nominal": "17 V"}),
        ({"alternator_voltage"}, {**SPLIT, "voltage_nominal": "24 V", "alternator_voltage": "14.2 V"}),
        ({"controller_voltage_limit"}, {"panel_voltage_open_circuit": "22 V"}),
        ({"panel_voltage_open_circuit"}, {"controller_voltage_limit": "100 V"}),
        ({"panels_in_series"}, {"panels_in_series": "1.5"}),
        ({"temperature_coefficient"}, {"temperature_coefficient": "0.4 %"}),
        ({"sun_hours", "panel_power"}, {"sun_hours": "25 h", "panel_power": "lots"}),
    ],
)
def test_what_cannot_be_used_names_its_field(fields, typed):
    assert refused(**typed) == fields


# Facts that hold everywhere


@given(panel=st.floats(0, 2000), more=st.floats(1, 500), hours=st.floats(0.1, 12))
@few
def test_more_panel_brings_more_in_proportion(panel, more, hours):
    typed = {**PLAIN, "sun_hours": f"{hours:.4f} h"}
    small, large = (value(answer(**typed, panel_power=f"{power:.4f} W"), "energy_solar") for power in (panel, panel + more))
    assert large > small


@given(cool=st.floats(-20, 40), warmer=st.floats(0.5, 15))
@few
def test_heat_only_takes(cool, warmer):
    cold, hot = (value(answer(**PLAIN, ambient=f"{air:.3f} °C"), "energy_solar") for air in (cool, cool + warmer))
    assert hot < cold


@pytest.mark.parametrize(
    "typed",
    [{}, CALCULATOR.shown(), CHARGED, SPLIT, {**SPLIT, "chemistry": chemistry.LITHIUM}, {"place": "perth", "month": "jan"}, {"place": "london", "noct": "46 °C"}, {"derate": "0.65"},
     {**CHARGED, "energy": "60 Wh"}, {**CHARGED, "energy": "200 Wh", "mains_hours": "5 h"}, {**CHARGED, "charge_to": "60 %"}, {**CHARGED, "driving": "dc-dc", "driving_hours": "6 h"},
     {"panel_voltage_open_circuit": "22 V", "controller_voltage_limit": "100 V"}, {**SPLIT, "energy": "40 Wh"}],
)  # fmt: skip
def test_every_line_of_working_works_out(typed):
    result = answer(**typed)
    assert len(result.working) >= 2
    for step in result.working:
        check(step)


def test_working_hands_its_values_on():
    result = answer(**{**CALCULATOR.shown(), "mains_hours": "4 h"})
    worked_out = {}
    for step in result.working:
        for name, (amount, _) in step.inputs.items():
            assert amount == pytest.approx(worked_out.get(name, amount), rel=1e-12)
        worked_out[step.symbol] = step.value
    for symbol, name in {"E_sun": "energy_solar", "E_drive": "energy_driving", "E_mains": "energy_mains", "E_balance": "balance", "t": "hours_mains", "S": "generator_apparent_power"}.items():
        assert worked_out[symbol] == pytest.approx(value(result, name), rel=1e-12)


def test_the_sentence_says_what_it_counts_to():
    """A little taken from a large bank leaves it above 95 %: no hours, and said so; more of it, hours to 95 %."""
    small = answer(energy="100 Wh", capacity="400 Ah", chemistry="agm", mains="mains", sun_hours="0 h")
    assert value(small, "hours_mains") == 0 and "leaves the battery above 95\u00a0%" in small.answer
    assert "to have it at 95\u00a0% again" in answer(energy="800 Wh", capacity="100 Ah", chemistry="agm", mains="mains", sun_hours="0 h").answer


def test_a_hair_s_breadth_is_even():
    """Twelve hours of charger give back all but the taper's last hundredths of a watt-hour."""
    result = answer(energy="500 Wh", capacity="100 Ah", chemistry="agm", mains="mains", mains_hours="12 h", sun_hours="0 h", panel_power="0 W")
    assert -0.005 * 500 * 3600 < value(result, "balance") < 0
    assert "falls-short" not in [one.code for one in result.findings] and "as much as is used comes back" in result.answer


def test_a_string_above_the_limit_is_said_with_figures_that_show_it():
    """22.35 V · 4 · (1 + 0.0033·35) = 99.7 V... against a limit of 99.7 V: the two must not read alike."""
    result = answer(panel_voltage_open_circuit="22.42 V", panels_in_series="4", controller_voltage_limit="100 V", voltage_coefficient="-0.33 %", temperature_coldest="-10 °C")
    cold = 4 * 22.42 * (1 + 0.0033 * 35)
    assert 100 < cold < 100.05
    (said,) = [one.text for one in result.findings if one.code == "string-too-high"]
    assert "gives 100.0\u00a0V" in said and "above the controller's 100\u00a0V" in said
