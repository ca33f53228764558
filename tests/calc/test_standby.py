"""standby: amp-hours and days by hand."""

import pytest

from tests.calc.cases import answer, levels, shown, value


@pytest.mark.parametrize(("watts", "amp_hours"), [(6, 11), (10, 19), (20, 38), (30, 56)])
def test_what_a_day_of_standby_takes_at_12_8_volts(watts, amp_hours):
    result = answer("standby", standby_power=f"{watts} W", voltage_dc="12.8 V", hours_on="24 h")
    assert shown(result, "charge_per_day") == pytest.approx(amp_hours, abs=0.5)
    assert shown(result, "energy_per_day") == pytest.approx(24 * watts)
    assert value(result, "current") == pytest.approx(watts / 12.8)


def test_shares_and_days_by_hand():
    """12 W at 12 V is 1 A: 10 Ah in ten hours, a tenth of 100 Ah, ten days to empty, five to half."""
    result = answer("standby", standby_power="12 W", voltage_dc="12 V", hours_on="10 h", battery_capacity="100 Ah", depth_limit="50 %", hours_needed="4 h")
    assert shown(result, "charge_per_day") == pytest.approx(10)
    assert value(result, "battery_share_per_day") == pytest.approx(0.1)
    assert shown(result, "days_to_empty") == pytest.approx(10)
    assert shown(result, "days_to_depth_limit") == pytest.approx(5)
    assert shown(result, "saving_off") == pytest.approx(6)


def test_search_mode_by_hand():
    """20 W awake a quarter of the time, 2 W searching: 6.5 W."""
    result = answer("standby", standby_power="20 W", search_power="2 W", wake_fraction="0.25")
    assert value(result, "power_average") == pytest.approx(6.5)


def test_current_stands_in_for_power():
    by_power, by_current = answer("standby", standby_power="12 W", voltage_dc="12 V"), answer("standby", standby_current="1 A", voltage_dc="12 V")
    for name in ("charge_per_day", "energy_per_day", "current", "power_average"):
        assert value(by_current, name) == pytest.approx(value(by_power, name))


def test_another_inverter_by_hand():
    """20 W against 5 W all day at 12 V: 40 Ah against 10 Ah."""
    result = answer("standby", standby_power="20 W", other_standby_power="5 W", voltage_dc="12 V")
    assert shown(result, "saving_other") == pytest.approx(30)
    assert "less" in next(finding.text for finding in result.findings if finding.code == "other-inverter")
    worse = answer("standby", standby_power="5 W", other_standby_power="20 W", voltage_dc="12 V")
    assert shown(worse, "saving_other") == pytest.approx(-30)
    assert "more" in next(finding.text for finding in worse.findings if finding.code == "other-inverter")


def test_the_panel_that_only_feeds_it_by_hand():
    """480 Wh a day over four sun-hours at 0.6: 200 W of panel."""
    result = answer("standby", standby_power="20 W", sun_hours="4 h", derate="0.6")
    assert value(result, "panel_power") == pytest.approx(200)


def test_a_fifth_of_the_battery_a_day_is_questioned():
    assert "share-large" in levels(answer("standby", standby_power="11 W", battery_capacity="100 Ah"))
    assert "share-large" not in levels(answer("standby", standby_power="10 W", battery_capacity="100 Ah"))


def test_less_battery_lasts_less_long():
    days = [value(answer("standby", battery_capacity=f"{capacity} Ah"), "days_to_empty") for capacity in (100, 200, 400)]
    assert days[1] == pytest.approx(2 * days[0]) and days[2] == pytest.approx(4 * days[0])


def test_what_moves_it_most_is_named():
    result = answer("standby", standby_power="unknown")
    output = result.output("charge_per_day")
    assert output.mover == "Standby power, on with nothing plugged in"
    assert output.low < 0.4 * output.value and output.high > 1.9 * output.value
