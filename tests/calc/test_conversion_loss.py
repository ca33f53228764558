"""conversion-loss: the curve by hand."""

import pytest

from tests.calc.cases import answer, levels, value

# The inverter with P_0 = 20 W, a = 1.05, b = 0.06 at 2000 W, from its full-load and best efficiency.
MODEL = {"rating": "2000 VA", "standby_power": "20 W", "efficiency_full": f"{100 * 2000 / 2240!r} %", "efficiency_peak": f"{100 / (1.05 + 2 * 0.0006**0.5)!r} %"}


@pytest.mark.parametrize(("load", "percent"), [(10, 33), (20, 49), (50, 69), (100, 80), (200, 87), (500, 90.5), (1000, 91), (2000, 89)])
def test_the_curve_of_the_handbooks_model_inverter(load, percent):
    result = answer("conversion-loss", MODEL, power_ac=f"{load} W")
    assert value(result, "power_dc") == pytest.approx(20 + 1.05 * load + 0.06 * load**2 / 2000, rel=1e-9)
    assert 100 * value(result, "efficiency") == pytest.approx(percent, abs=0.55)
    assert value(result, "loss") == pytest.approx(value(result, "power_dc") - load)


def test_the_best_load_by_hand():
    """√(20·2000/0.06) = 816.5 W."""
    result = answer("conversion-loss", MODEL)
    assert value(result, "best_load") == pytest.approx(816.5, abs=0.05)
    assert value(result, "efficiency_best") == pytest.approx(1 / (1.05 + 2 * 0.0006**0.5), rel=1e-9)


def test_the_two_efficiencies_come_back():
    texts = {"efficiency_full": "88 %", "efficiency_peak": "92 %", "standby_power": "12 W", "rating": "1500 VA"}
    assert value(answer("conversion-loss", texts, power_ac="1500 W"), "efficiency") == pytest.approx(0.88, rel=1e-12)
    assert value(answer("conversion-loss", texts), "efficiency_best") == pytest.approx(0.92, rel=1e-12)


def test_two_points_on_the_model_give_the_model():
    points = f"10%:{100 * 200 / 231.2!r}%, 100%:{100 * 2000 / 2240!r}%"
    result = answer("conversion-loss", rating="2000 VA", standby_power="20 W", points=points, power_ac="1000 W")
    assert value(result, "power_dc") == pytest.approx(1100, rel=1e-9)


def test_points_in_watts_and_in_shares_are_the_same_points():
    shares = answer("conversion-loss", points="10%:86%, 50%:91%, 100%:89%")
    watts = answer("conversion-loss", points="200 W:86%, 1 kW:91%, 2000 W:89%")
    assert value(watts, "power_dc") == pytest.approx(value(shares, "power_dc"), rel=1e-12)


def test_the_extra_current_of_a_poor_power_factor_is_lost():
    """The quadratic loss follows VA: 1/0.6² as much at power factor 0.6."""
    one, other = (value(answer("conversion-loss", MODEL, power_ac="600 W", power_factor=factor), "loss") for factor in ("1", "0.6"))
    assert other - one == pytest.approx(0.06 * 600**2 / 2000 * (1 / 0.36 - 1), rel=1e-9)


def test_a_pump_of_600_volt_amperes_at_power_factor_0_6():
    """360 W of work takes 400 to 410 W from the battery."""
    assert 400 < value(answer("conversion-loss", MODEL, power_ac="360 W", power_factor="0.6"), "power_dc") < 410


def test_with_nothing_plugged_in_all_of_it_is_lost():
    result = answer("conversion-loss", "nothing plugged in")
    assert value(result, "power_dc") == value(result, "loss") == 20 and value(result, "efficiency") == 0
    assert "all of it is lost" in result.answer


def test_current_follows_voltage():
    assert value(answer("conversion-loss", MODEL, power_ac="1000 W", voltage_dc="12.5 V"), "current_dc") == pytest.approx(1100 / 12.5)


def test_a_small_load_is_questioned_where_standby_rules():
    assert "load-small" in levels(answer("conversion-loss", MODEL, power_ac="50 W"))
    assert "load-small" not in levels(answer("conversion-loss", MODEL, power_ac="200 W"))


def test_without_standby_the_smallest_load_is_the_most_efficient():
    result = answer("conversion-loss", "no standby")
    assert value(result, "best_load") == 0


def test_the_weighted_efficiencies_lie_between_worst_and_best():
    result = answer("conversion-loss", MODEL)
    for name in ("efficiency_euro", "efficiency_cec"):
        assert value(answer("conversion-loss", MODEL, power_ac="100 W"), "efficiency") < value(result, name) < value(result, "efficiency_best")
