"""ac-or-dc: the two ways by hand, with the loss terms a = 1.05 and b = 0.06."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.errors import FieldProblem, InputProblems
from tests.calc import typed
from tests.calc.cases import answer, levels, shown, value

# Efficiency of 20 W + 1.05·P + 0.06·P²/2000 W at 10 % and 100 %, and of 6 W + 1.05·P + 0.06·P²/300 W.
LARGE = {"rating": "2000 VA", "standby_power": "20 W", "points": f"200 W:{100 * 200 / 231.2!r}%, 2000 W:{100 * 2000 / 2240!r}%", "power_factor": "1"}
SMALL = {"rating": "300 VA", "standby_power": "6 W", "points": f"30 W:{100 * 30 / 37.68!r}%, 300 W:{100 * 300 / 339!r}%", "power_factor": "1"}
LAPTOP = {"power": "45 W", "hours_per_day": "4 h", "adaptor_efficiency_ac": "90 %", "adaptor_efficiency_dc": "90 %"}


def test_alone_by_hand():
    """50 W at the socket: 20 + 52.5 + 0.075 W for 4 h is 290.3 Wh; 45/0.9·4 h is 200 Wh."""
    result = answer("ac-or-dc", {**LARGE, **LAPTOP})
    assert value(result, "power_ac") == pytest.approx(50)
    assert value(result, "power_dc_via_ac") == pytest.approx(72.575)
    assert shown(result, "energy_via_ac") == pytest.approx(290.3)
    assert shown(result, "energy_via_dc") == pytest.approx(200)
    assert value(result, "ratio") == pytest.approx(1.4515)
    assert shown(result, "saving") == pytest.approx(90.3)
    assert shown(result, "standby_part") == pytest.approx(80)
    assert shown(answer("ac-or-dc", {**LARGE, **LAPTOP, "voltage_dc": "12 V"}), "saving_charge") == pytest.approx(7.525)


def test_left_on_all_day_by_hand():
    """Twenty hours more of 20 W are 400 Wh more."""
    result = answer("ac-or-dc", {**LARGE, **LAPTOP, "hours_inverter_on": "24 h"})
    assert shown(result, "energy_via_ac") == pytest.approx(690.3)
    assert shown(result, "standby_part") == pytest.approx(480)


def test_beside_others_by_hand():
    """Beside 100 W it adds 52.5 W and 0.06·(150² − 100²)/2000 = 0.375 W: 211.5 Wh in 4 h, and no standby."""
    result = answer("ac-or-dc", {**LARGE, **LAPTOP, "standby_carried": "shared", "power_other": "100 W"})
    assert shown(result, "energy_via_ac") == pytest.approx(211.5)
    assert value(result, "standby_part") == 0


@pytest.mark.parametrize(
    ("inverter", "watts", "hours", "adaptor_ac", "adaptor_dc", "via_ac", "via_dc"),
    [
        (LARGE, 45, 4, 88, 92, 295, 196),
        (SMALL, 45, 4, 88, 92, 237, 196),
        (LARGE, 10, 8, 85, 92, 259, 87),
        (SMALL, 10, 8, 85, 92, 139, 87),
        (LARGE, 6, 24, 80, 90, 669, 160),
    ],
)
def test_worked_figures_of_the_trade_with_the_same_loss_terms(inverter, watts, hours, adaptor_ac, adaptor_dc, via_ac, via_dc):
    """A laptop, a breathing machine and a router; the trade does not state its adaptors, so to 6 %."""
    typed_in = {**inverter, "power": f"{watts} W", "hours_per_day": f"{hours} h", "adaptor_efficiency_ac": f"{adaptor_ac} %", "adaptor_efficiency_dc": f"{adaptor_dc} %"}
    result = answer("ac-or-dc", typed_in)
    assert shown(result, "energy_via_ac") == pytest.approx(via_ac, rel=0.06)
    assert shown(result, "energy_via_dc") == pytest.approx(via_dc, rel=0.01)


def test_not_knowing_who_keeps_it_on_spans_both():
    result = answer("ac-or-dc", {**LARGE, **LAPTOP, "standby_carried": "unknown"})
    both = [answer("ac-or-dc", {**LARGE, **LAPTOP, "standby_carried": who}) for who in ("alone", "shared")]
    energy = result.output("energy_via_ac")
    assert energy.value == value(both[0], "energy_via_ac")
    assert energy.low <= value(both[1], "energy_via_ac") * (1 + 1e-9)
    assert energy.mover == "Who keeps the inverter on"


def test_a_saving_may_be_a_cost():
    result = answer("ac-or-dc", "the adaptor costs")
    assert value(result, "saving") < 0 and "costs" in result.answer and value(result, "ratio") < 1


def test_health_on_one_supply_stops():
    assert levels(answer("ac-or-dc", medical="no-fallback"))["no-fallback"] == "stop"
    assert "no-fallback" not in levels(answer("ac-or-dc", medical="fallback"))


@pytest.mark.parametrize(
    ("field", "texts"),
    [
        ("power", {"power": "45 V"}),
        ("power", {"power": "0 W"}),
        ("hours_per_day", {"hours_per_day": "30 h"}),
        ("hours_inverter_on", {"hours_per_day": "4 h", "hours_inverter_on": "2 h"}),
        ("adaptor_efficiency_ac", {"adaptor_efficiency_ac": "120 %"}),
        ("adaptor_efficiency_dc", {"adaptor_efficiency_dc": "0 %"}),
        ("power_factor", {"power_factor": "1.5"}),
        ("rating", {"power": "900 W", "rating": "600 VA", "standby_power": "8 W"}),
        ("standby_carried", {"standby_carried": "nobody"}),
        ("points", {"points": "10%:80%"}),
    ],
)
def test_bad_input_names_its_field(field, texts):
    with pytest.raises((InputProblems, FieldProblem)) as caught:
        answer("ac-or-dc", texts)
    assert [problem.field for problem in getattr(caught.value, "problems", (caught.value,))] == [field]


@typed.few
@given(st.floats(1, 200), st.floats(1, 200), st.floats(0.5, 24))
def test_the_smaller_the_load_the_worse_the_ratio(one, other, hours):
    small, large = sorted((one, other))
    ratio = [value(answer("ac-or-dc", {**LARGE, "power": f"{watts} W", "hours_per_day": f"{hours} h"}), "ratio") for watts in (small, large)]
    assert ratio[0] >= ratio[1] * (1 - 1e-9)


@typed.few
@given(st.floats(1, 200), st.floats(0.5, 24))
def test_standby_is_never_charged_twice(watts, hours):
    """Alone is dearer than shared by the standby, less what a load beside others adds in conduction."""
    texts = {**LARGE, "power": f"{watts} W", "hours_per_day": f"{hours} h", "power_other": "0 W"}
    alone, shared = (value(answer("ac-or-dc", {**texts, "standby_carried": who}), "energy_via_ac") for who in ("alone", "shared"))
    assert alone - shared == pytest.approx(20 * hours * 3600)
