"""inverter-size: derating, choice and standby by hand; no credit in the cold."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.errors import FieldProblem, InputProblems
from tests.calc import typed
from tests.calc.cases import answer, levels, shown, value

PLAIN = {"power_running": "1000 W", "apparent_power_running": "1000 VA", "margin": "0 %", "loss_per_kelvin": "2 %", "surge_multiple": "2", "standby_share": "1 %"}


def test_heat_height_and_margin_by_hand():
    """10 °C above 40 °C at 2 % a degree leave 0.8; 1500 m above 1000 m at 1 % for 100 m leave 0.85: 1000·1.25/(0.8·0.85)."""
    result = answer("inverter-size", {**PLAIN, "margin": "25 %", "ambient": "50 °C", "altitude": "2500 m"})
    assert shown(result, "rating_required") == pytest.approx(1838.2353)
    assert value(result, "derating") == pytest.approx(0.68)
    assert shown(result, "rating_chosen") == 2000
    assert value(result, "load_fraction") == pytest.approx(0.5)


def test_where_nothing_of_the_rating_is_left_by_hand():
    """At 4 % a degree above 20 °C: 0.6 at 30 °C, nothing at 45 °C and above."""
    texts = {**PLAIN, "temperature_rated": "20 ± 0 °C", "loss_per_kelvin": "4 ± 0 %"}
    result = answer("inverter-size", {**texts, "ambient": "30 ± 20 °C"})
    assert value(result, "derating") == pytest.approx(0.6)
    assert shown(result, "rating_required") == pytest.approx(1000 / 0.6)
    assert result.output("rating_required").high is None and result.output("derating").low is None and result.output("derating").high == 1
    with pytest.raises(FieldProblem, match=r"at 60\s°C nothing is left of the rating: enter a cooler place") as raised:
        answer("inverter-size", {**texts, "ambient": "60 °C"})
    assert raised.value.field == "ambient"


def test_apparent_power_from_the_power_factor_by_hand():
    result = answer("inverter-size", power_running="600 W", power_factor="0.6", margin="10 %")
    assert shown(result, "rating_required") == pytest.approx(1100)


def test_the_start_decides_by_hand():
    """1500 VA and a tenth are 1650 VA: at twice the rating that takes 825 VA, and 1000 VA is the next size."""
    result = answer("inverter-size", "the start decides", surge_multiple="2", margin="10 %")
    assert shown(result, "surge_required") == pytest.approx(1650)
    assert shown(result, "rating_for_surge") == pytest.approx(825)
    assert shown(result, "rating_chosen") == 1000
    assert "surge of 1650" in result.output("next_down_fails").value and "runs" not in result.output("next_down_fails").value


def test_the_power_of_a_start_by_hand():
    """A start of 1500 W at a power factor of 0.6 is 2500 VA; one of 2000 VA at 0.6 is 1200 W."""
    by_power = answer("inverter-size", {**PLAIN, "power_starting": "1500 W", "power_factor_starting": "0.6"})
    assert shown(by_power, "surge_required") == pytest.approx(2500) and shown(by_power, "surge_required_power") == pytest.approx(1500)
    by_apparent = answer("inverter-size", {**PLAIN, "apparent_power_starting": "2000 VA", "power_factor_starting": "0.6"})
    assert shown(by_apparent, "surge_required_power") == pytest.approx(1200)


@pytest.mark.parametrize(("surge_time", "multiple"), [("0.2 s", 1), ("0.5 s", 2), ("5 s", 2), ("", 2)])
def test_a_peak_counts_only_if_it_lasts_as_long_as_the_start(surge_time, multiple):
    result = answer("inverter-size", {**PLAIN, "apparent_power_starting": "3000 VA", "starting_time": "0.5 s", "surge_time": surge_time})
    assert shown(result, "rating_for_surge") == pytest.approx(3000 / multiple)
    assert ("surge-too-short" in levels(result)) == (multiple == 1)


def test_what_the_next_size_costs_by_hand():
    """From 1000 to 1500 VA at 1 % of the rating: 5 W more for 10 h is 50 Wh."""
    result = answer("inverter-size", PLAIN, hours_on="10 h")
    assert shown(result, "standby_next_up") == pytest.approx(50)
    assert shown(result, "standby_per_day") == pytest.approx(100)
    assert (shown(result, "next_down"), shown(result, "rating_chosen"), shown(result, "next_up")) == (600, 1000, 1500)


def test_a_size_that_just_carries_it_is_enough():
    assert shown(answer("inverter-size", PLAIN, sizes="999, 1000, 1001"), "rating_chosen") == 1000


def test_battery_current_by_hand():
    assert value(answer("inverter-size", power_running="1000 W", efficiency_full="80 %", voltage_dc="12.5 V"), "current_dc") == pytest.approx(100)


def test_none_fits_stops_and_shows_no_size():
    result = answer("inverter-size", "none fits")
    assert levels(result)["none-fits"] == "stop"
    assert value(result, "rating_chosen") is None and value(result, "load_fraction") is None
    assert "1000" in result.answer and "Take" not in result.answer


def test_the_first_size_has_none_below_and_the_last_none_above():
    result = answer("inverter-size", "the smallest fits")
    assert value(result, "next_down") is value(result, "next_down_fails") is value(result, "next_up") is value(result, "standby_next_up") is None


def test_200_amps_at_12_volts_are_questioned_and_at_24_not():
    assert levels(answer("inverter-size", "a lot at 12 V"))["current-high"] == "caution"
    assert "current-high" not in levels(answer("inverter-size", "24 V"))


@pytest.mark.parametrize(
    ("field", "texts"),
    [
        ("power_running", {"power_running": "12 A"}),
        ("power_running", {"power_running": "-5 W"}),
        ("apparent_power_running", {"power_running": "1000 W", "apparent_power_running": "900 VA"}),
        ("apparent_power_starting", {"apparent_power_starting": "900 VA", "power_starting": "1000 W"}),
        ("power_factor", {"power_factor": "1.2"}),
        ("ambient", {"ambient": "80 °C"}),
        ("surge_multiple", {"surge_multiple": "0.5"}),
        ("margin", {"margin": "-10 %"}),
        ("altitude", {"altitude": "9000 m"}),
        ("sizes", {"sizes": "300, huge"}),
        ("sizes", {"sizes": "5 VA"}),
        ("hours_on", {"hours_on": "25 h"}),
    ],
)
def test_bad_input_names_its_field(field, texts):
    with pytest.raises((InputProblems, FieldProblem)) as caught:
        answer("inverter-size", texts)
    assert [problem.field for problem in getattr(caught.value, "problems", (caught.value,))] == [field]


temperatures = st.floats(-40, 60)


@typed.few
@given(temperatures, temperatures, st.floats(0, 5000), st.floats(0, 5000))
def test_hotter_and_higher_never_need_less_and_cold_gives_no_credit(warm, cool, high, low):
    def needed(ambient, altitude):
        return value(answer("inverter-size", {**PLAIN, "ambient": f"{ambient:.4f} °C", "altitude": f"{altitude:.4f} m"}), "rating_required")

    (cool, warm), (low, high) = sorted((cool, warm)), sorted((low, high))
    assert 1000 <= needed(cool, low) <= needed(warm, high)
    if warm <= 40 and high <= 1000:
        assert needed(cool, low) == needed(warm, high) == 1000


@typed.few
@given(typed.valid("inverter-size"))
def test_the_size_taken_is_the_smallest_that_does_both(texts):
    result = typed.answered("inverter-size", texts)
    if result is None:
        return
    needed = max(value(result, "rating_required"), value(result, "rating_for_surge"))
    enough = [size for size in result.input("sizes").value if size >= needed * (1 - 1e-9)]
    assert value(result, "rating_chosen") == (min(enough) if enough else None)
    assert bool(enough) != (levels(result).get("none-fits") == "stop")
    if enough:  # what runs never exceeds the plate, derated
        assert value(result, "load_fraction") <= value(result, "derating") * (1 + 1e-9)
