"""dc-cable: drop and heat by hand, whose rule it is, and what must stop the reader."""

import pytest

from calc.calculators import CALCULATORS
from tests.calc.cases import answer, levels, value

FLEXIBLE = {"rule": "bs-7671-flexible", "ripple": "0"}
BOAT = {"rule": "us-boats-33-cfr-183", "insulation": "105 °C", "terminal_temperature": "105 °C", "ripple": "0"}


def cable(typed=FLEXIBLE, **more):
    """A flexible cable by BS 7671, or by another rule."""
    return answer("dc-cable", typed, **more)


def test_the_drop_by_hand():
    """120 A over 2 m one way of 35 mm² class 5 (0.554 Ω/km): warm by 60 K·(120/200)², R and drop follow."""
    result = cable(area="35 mm²", terminal_temperature="90 °C")
    temperature = 30 + 60 * (120 / 200) ** 2
    resistance = 0.554e-3 * (1 + 0.00393 * (temperature - 20)) * 4
    assert value(result, "conductor_temperature") == pytest.approx(temperature)
    assert value(result, "resistance_loop") == pytest.approx(resistance)
    assert value(result, "voltage_drop") == pytest.approx(120 * resistance)
    assert value(result, "drop") == pytest.approx(120 * resistance / 12)
    assert value(result, "loss") == pytest.approx(120**2 * resistance)
    assert value(result, "length_one_way_max") == pytest.approx(2 * 0.03 / (120 * resistance / 12))


@pytest.mark.parametrize(("area", "milliohm"), [("10", 4.27), ("16", 2.71), ("25", 1.74), ("35", 1.24), ("50", 0.86), ("70", 0.61), ("95", 0.46)])
def test_loop_resistance_per_metre_at_50_degrees(area, milliohm):
    """Through the supply path, where the temperature is a field."""
    result = answer("supply-path", area=f"{area} mm²", length_one_way="1 m", conductor_temperature="50 °C")
    assert 1000 * value(result, "cable_resistance_loop") == pytest.approx(milliohm, abs=0.0051)


def test_there_and_back_is_twice_one_way():
    assert value(cable(length_one_way="4 m", area="50 mm²"), "resistance_loop") == pytest.approx(2 * value(cable(length_one_way="2 m", area="50 mm²"), "resistance_loop"))


def test_ripple_heats_but_does_not_drop():
    """1.15 times the current and 1.32 times the heat at 0.8; the mean drop only follows the warmer copper."""
    smooth, rippled = cable(area="70 mm²", ripple="0"), cable(area="70 mm²", ripple="0.8")
    assert value(rippled, "current_rms") / value(smooth, "current_rms") == pytest.approx(1.149, abs=5e-4)
    assert value(rippled, "current_dc") == value(smooth, "current_dc")
    warmer = value(rippled, "resistance_loop") / value(smooth, "resistance_loop")
    assert 1 < warmer < 1.05
    assert value(rippled, "loss") / value(smooth, "loss") == pytest.approx(1.32 * warmer)
    assert value(rippled, "voltage_drop") / value(smooth, "voltage_drop") == pytest.approx(warmer)


def test_the_worst_current_is_at_the_lowest_voltage():
    """2000 W of DC at 10.5 V is 190 A, at 12 V 167 A: sizing by 12 V is an eighth too little."""
    result = cable(power_ac="1780 W", voltage_min="10.5 V", efficiency_full="89 %", efficiency_peak="91 %")
    assert value(result, "current_dc") == pytest.approx(2000 / 10.5, rel=0.01)


@pytest.mark.parametrize(
    ("current", "length", "drop_decides"), [("120 A", "6 m", True), ("138 A", "0.5 m", False)], ids=["a long run", "a short run"]
)
def test_the_thicker_of_the_two_answers_wins(current, length, drop_decides):
    result = cable(current_dc=current, length_one_way=length)
    drop, heat, chosen = (value(result, f"area_{name}") for name in ("for_drop", "for_heat", "chosen"))
    assert chosen == max(drop, heat, value(result, "area_for_fuse"))
    assert (drop > heat) == drop_decides
    assert ("the drop decides" in result.answer) == drop_decides


def test_a_size_that_cannot_be_fused_is_not_given():
    """182 A of heating current ask for 228 A, so a 250 A fuse; 50 mm² carries 250·√(45/60) = 217 A, 70 mm² 310·√(45/60) = 268 A."""
    texts = {"rule": "bs-7671-flexible", "power_ac": "1500 W", "voltage_min": "10.5 V", "length_one_way": "2 m"}
    result = answer("dc-cable", texts)
    assert value(result, "area_for_heat") == value(result, "area_for_drop") == pytest.approx(50e-6)
    assert value(result, "area_chosen") == value(result, "area_for_fuse") == pytest.approx(70e-6)
    assert value(result, "rating_wanted") == 250 and "250\u00a0A fuse decides" in result.answer
    assert value(result, "ampacity") == pytest.approx(310 * (45 / 60) ** 0.5)
    own = answer("dc-cable", texts, area="50 mm²")
    assert value(own, "verdict") == "no-fuse" and levels(own)["no-fuse-fits"] == "stop"


@pytest.mark.parametrize("current", ["20 A", "60 A", "100 A", "120 A", "150 A", "190 A", "230 A"])
@pytest.mark.parametrize("rule", ["bs-7671-flexible", "bs-7671-clipped", "us-boats-33-cfr-183"])
def test_the_size_given_is_one_the_fuse_calculator_agrees_to(current, rule):
    size = value(answer("dc-cable", rule=rule, current_dc=current), "area_chosen")
    if size is not None:
        fused = answer("fuse", rule=rule, current_max=current, area=f"{size * 1e6:.6g} mm²")
        assert value(fused, "verdict") == "fits"


def test_where_no_fuse_reaches_no_size_is_given():
    """900 A and ripple ask for more than the largest rating held, 800 A."""
    result = answer("dc-cable", "no fuse carries it")
    assert value(result, "area_chosen") is None and value(result, "area_for_fuse") is None
    assert levels(result)["no-fuse-carries"] == "stop" and "no single fuse" in result.answer


METRIC = [f"{size} mm²" for size in (1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120)]
AWG = [f"{size} AWG" for size in (14, 12, 10, 8, 6, 4, 3, 2, 1, "1/0", "2/0", "3/0", "4/0")]


@pytest.mark.parametrize(
    ("texts", "sizes"),
    [
        ({**BOAT, "current_dc": "90 A", "length_one_way": "0.5 m"}, METRIC),
        ({**BOAT, "current_dc": "60 A", "length_one_way": "4 m"}, METRIC),
        ({**BOAT, "current_dc": "150 A", "conductor": "awg"}, AWG),
    ],
    ids=["heat decides", "drop decides", "AWG"],
)
def test_the_size_given_is_the_smallest_that_does(texts, sizes):
    """Each size checked as one's own: every size up to the one given fails, that one and all above fit."""
    chosen = value(cable(texts), "area_chosen")
    for size in sizes:
        result = cable(texts, area=size)
        fits = result.input("area").value > 0.999 * chosen
        assert (value(result, "verdict") == "fits") == fits, size


def test_the_longest_run_and_the_largest_current_are_limits():
    """At the limit it still fits; one per cent beyond it does not."""
    texts = {**FLEXIBLE, "area": "50 mm²", "current_dc": "100 A", "length_one_way": "2 m"}
    longest, largest = (value(cable(texts), name) for name in ("length_one_way_max", "current_max"))
    assert value(cable(texts, length_one_way=f"{0.999 * longest} m"), "verdict") == "fits"
    assert value(cable(texts, length_one_way=f"{1.01 * longest} m"), "verdict") == "drops-too-much"
    assert value(cable(texts, current_dc=f"{0.999 * largest} A"), "verdict") == "fits"
    assert value(cable(texts, current_dc=f"{1.01 * largest} A"), "verdict") != "fits"


def test_at_its_ampacity_a_conductor_is_as_warm_as_its_parts_stand():
    """Lugs of 75 °C on a 90 °C cable: at the current allowed the copper is at 75 °C."""
    allowed = value(cable(area="35 mm²"), "ampacity")
    assert allowed == pytest.approx(200 * (45 / 60) ** 0.5)
    assert value(cable(area="35 mm²", current_dc=f"{allowed!r} A"), "conductor_temperature") == pytest.approx(75)


@pytest.mark.parametrize(("ambient", "left"), [("30 °C", 1), ("50 °C", 0.816), ("60 °C", 0.707), ("80 °C", 0.408)])
def test_a_warm_place_takes_its_share(ambient, left):
    assert value(cable(area="35 mm²", terminal_temperature="90 °C", ambient=ambient, current_dc="10 A"), "ampacity") == pytest.approx(200 * left, rel=1e-3)


@pytest.mark.parametrize(("insulation", "share"), [("75 °C", 25 / 45), ("90 °C", 40 / 60), ("125 °C", 75 / 95)])
def test_an_engine_space_counts_as_50_degrees(insulation, share):
    """33 CFR 183.425 note 1; only its 105 °C factor was read, the others follow the square law."""
    texts = {**BOAT, "insulation": insulation, "terminal_temperature": "125 °C", "area": "35 mm²", "current_dc": "50 A"}
    outside, inside = cable(texts), cable(texts, engine_space="yes")
    assert value(inside, "ampacity") / value(outside, "ampacity") == pytest.approx(share**0.5)
    assert value(inside, "conductor_temperature") - value(outside, "conductor_temperature") == pytest.approx(20)


def test_a_cold_place_gives_no_credit():
    assert value(cable(area="35 mm²", ambient="-10 °C"), "ampacity") == value(cable(area="35 mm²", ambient="30 °C"), "ampacity")


def test_bundles_count_from_50_volts_in_the_us_rule():
    one, four = (value(cable(BOAT, area="35 mm²", current_dc="10 A", voltage_nominal="60 V", bundle=count), "ampacity") for count in ("2", "4"))
    assert four / one == pytest.approx(0.6)
    low = value(cable(BOAT, area="35 mm²", current_dc="10 A", voltage_nominal="48 V", bundle="4"), "ampacity")
    assert low == one and "bundle-below-50" in levels(cable(BOAT, bundle="4"))


def test_a_rule_is_never_assumed():
    """Whose ampacity it is differs by country: the same 35 mm² may carry 140 to 210 A."""
    rule = next(field for field in CALCULATORS["dc-cable"].fields if field.name == "rule")
    assert rule.default is None


@pytest.mark.parametrize("case", ["a table not held", "a bundle without factors"])
def test_a_table_not_read_gives_no_size(case):
    """No chosen size, only what to ask."""
    result = answer("dc-cable", case)
    assert value(result, "verdict") == "no-size" and levels(result)["size-not-held"] == "stop"
    assert all(value(result, name) is None for name in ("area_chosen", "area_for_heat", "area_chosen_metric", "area_chosen_awg", "ampacity"))
    assert value(result, "area_for_drop") is not None
    assert "Ask" in result.findings[0].text or "ask" in result.findings[0].text


@pytest.mark.parametrize(("case", "verdict", "code"), [("it overheats", "too-hot", "conductor-too-hot"), ("nothing fits", "none-fits", "none-fits")])
def test_what_overheats_stops_the_reader(case, verdict, code):
    result = answer("dc-cable", case)
    assert value(result, "verdict") == verdict and result.findings[0].code == code and result.findings[0].level == "stop"
    assert result.answer.startswith("No")


def test_a_cable_that_loses_too_much_is_said_so():
    result = answer("dc-cable", "it drops too much")
    assert value(result, "verdict") == "drops-too-much" and result.answer.startswith("No: ") and "more than 3" in result.answer


def test_a_cable_that_fits_only_with_luck_is_not_praised():
    """One's own cable at the edge of its current: with the inputs at their bad end it overheats, and that is said."""
    result = cable(area="35 mm²", current_dc="118 A", length_one_way="0.5 m")
    assert value(result, "verdict") == "fits" and 1.25 * 1.05 * 118 > 150, "the next fuse up, 175 A, is above what 35 mm² carries"
    assert "caution" in {finding.level for finding in result.findings}


def test_more_than_200_amps_at_12_volts_is_questioned():
    assert levels(cable(current_dc="210 A"))["current-high"] == "caution"
    assert "current-high" not in levels(cable(current_dc="190 A"))
    assert "current-high" not in levels(cable(current_dc="210 A", voltage_nominal="24 V"))


def test_metric_and_awg_sizes_stand_beside_each_other():
    metric, awg = cable(BOAT), cable(BOAT, conductor="awg")
    assert value(metric, "area_chosen") == value(metric, "area_chosen_metric") == pytest.approx(value(awg, "area_chosen_metric"))
    assert value(awg, "area_chosen") == value(awg, "area_chosen_awg") == pytest.approx(value(metric, "area_chosen_awg"))


def test_a_stated_conductor_limits_what_unmarked_cable_may_do():
    """Unmarked insulation counts as 60 °C."""
    result = answer("dc-cable", "nothing known")
    assert result.input("insulation").value == 60
    assert value(result, "conductor_temperature") <= 60
