"""fault-current: the inverter's limit against the breaker's band, and where the tools are put down."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.errors import FieldProblem, InputProblems
from tests.calc import typed
from tests.calc.cases import answer, levels, value

TWICE = {"current_limit_multiple": "2"}


@pytest.mark.parametrize(
    ("rating", "verdict"),
    [("5750 VA", "trips"), ("5740 VA", "may-not"), ("3450 VA", "may-not"), ("3440 VA", "will-not"), ("1000 VA", "will-not")],
)
def test_a_b10_at_twice_the_rating(rating, verdict):
    """30 A and 50 A at 230 V and twice: 3450 VA and 5750 VA are the edges."""
    result = answer("fault-current", TWICE, rating=rating)
    assert value(result, "verdict") == verdict


@pytest.mark.parametrize(("curve", "low", "high"), [("B", 48, 80), ("C", 80, 160), ("D", 160, 320)])
def test_the_band_of_a_16_amp_breaker(curve, low, high):
    result = answer("fault-current", curve=curve, breaker_rating="16 A")
    assert (value(result, "trip_current_low"), value(result, "trip_current_high")) == (low, high)


def test_a_curve_not_known_counts_as_the_hardest_to_trip():
    unknown, worst = answer("fault-current", curve="unknown"), answer("fault-current", curve="D")
    assert value(unknown, "trip_current_high") == value(worst, "trip_current_high")
    assert unknown.output("trip_current_high").low == 50 and unknown.output("trip_current_high").high == 200


def test_not_tripping_is_a_stop_and_defers_to_a_licensed_design():
    for texts, code in (({"rating": "1000 VA"}, "will-not-clear"), ({**TWICE, "rating": "4000 VA"}, "may-not-clear")):
        result = answer("fault-current", texts)
        assert levels(result)[code] == "stop"
        assert "licensed design" in next(finding.text for finding in result.findings if finding.code == code)


def test_will_not_means_not_magnetically():
    """10.4 A into a B6 is 174 % of its rating, which trips it by heat within the hour; 8.7 A into a B10 never need."""
    slow = answer("fault-current", TWICE, rating="1200 VA", breaker_rating="6 A")
    assert "up to an hour" in slow.findings[0].text and value(slow, "current_share") == pytest.approx(1.739, abs=0.001)
    never = answer("fault-current", TWICE, rating="1000 VA")
    assert "need not trip at all" in never.findings[0].text


@pytest.mark.parametrize(
    ("output", "appliances", "level"),
    [("floating", "1", None), ("floating", "2", "stop"), ("bonded", "5", None), ("unknown", "1", None), ("unknown", "2", "caution")],
)
def test_a_floating_output_feeds_one_appliance(output, appliances, level):
    found = levels(answer("fault-current", output=output, appliances=appliances))
    assert found.get("floating-shared", found.get("output-unknown")) == level


@typed.few
@given(typed.valid("fault-current"), st.floats(100, 20000), st.floats(1, 5))
def test_a_larger_inverter_never_trips_less(texts, rating, times):
    rank = {"will-not": 0, "may-not": 1, "trips": 2}
    first, second = (typed.answered("fault-current", {**texts, "rating": f"{watts:.2f} VA"}) for watts in (rating, rating * times))
    if first and second:
        assert rank[value(second, "verdict")] >= rank[value(first, "verdict")]
        assert value(second, "current_limit") >= value(first, "current_limit")


@typed.few
@given(typed.valid("fault-current"))
def test_the_inverter_named_is_the_edge(texts):
    """A hair above it trips, a hair below it need not."""
    result = typed.answered("fault-current", texts)
    if result is None or not 20 < value(result, "rating_to_trip") < 90e3:
        return
    edge = value(result, "rating_to_trip")
    assert value(answer("fault-current", {**texts, "rating": f"{edge * 1.0001!r} VA"}), "verdict") == "trips"
    assert value(answer("fault-current", {**texts, "rating": f"{edge * 0.9999!r} VA"}), "verdict") != "trips"


@pytest.mark.parametrize(
    ("texts", "field"),
    [({"rating": "20 A"}, "rating"), ({"curve": "K"}, "curve"), ({"breaker_rating": "0 A"}, "breaker_rating"), ({"voltage_ac": "12 V"}, "voltage_ac"),
     ({"current_limit_multiple": "0.5"}, "current_limit_multiple"), ({"appliances": "1.5"}, "appliances")],
)  # fmt: skip
def test_what_cannot_be_used_names_its_field(texts, field):
    with pytest.raises((InputProblems, FieldProblem)) as found:
        run(CALCULATORS["fault-current"], texts)
    assert field in [one.field for one in getattr(found.value, "problems", (found.value,))]
