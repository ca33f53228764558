"""What the page calls: strings in, strings out, and nothing typed comes back as markup."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc import browser
from calc.calculators import CALCULATORS
from tests.calc import typed
from tests.calc.cases import CASES


def ask(calculator, values):
    """One request of the page, from the example as it starts."""
    shown = CALCULATORS[calculator].shown()
    return json.loads(browser.answer(json.dumps({"calculator": calculator, "id": "here", "values": {**shown, **values}, "start": shown})))


@pytest.mark.parametrize("calculator", CASES)
def test_the_example_is_answered(calculator):
    told = ask(calculator, {})
    assert told["usable"] and told["invalid"] == [] and told["share"] == ""
    assert told["slots"]["answer"] and told["slots"]["result"] and not told["slots"].get("errors")


@pytest.mark.parametrize("calculator", CASES)
def test_a_problem_stands_at_its_field_and_in_the_summary(calculator):
    name = CALCULATORS[calculator].fields[0].name
    told = ask(calculator, {name: "12 apples"})
    assert not told["usable"] and told["invalid"] == [name]
    assert "apples" in told["slots"][f"error-{name}"] and "apples" in told["slots"]["errors"]
    assert "result" not in told["slots"], "what was answered before stays as it was"


def test_script_in_a_field_is_shown_as_text():
    name = "standby_power"
    told = ask("standby", {name: "<script>alert(1)</script>", "<img src=x>": "1"})
    shown = "".join(told["slots"].values())
    assert "<script" not in shown and "<img" not in shown and "&lt;script&gt;" in shown


def test_script_in_an_answer_is_shown_as_text():
    """Text that is accepted may be repeated too: efficiency points."""
    told = ask("conversion-loss", {"points": "10%:86%, 100%:89%"})
    assert told["usable"] and "10%:86%, 100%:89%" in told["slots"]["result"]


def test_a_ticked_box_says_not_known():
    told = ask("supply-path", {"battery_resistance": "3 mΩ", "battery_resistance.unknown": "on"})
    assert told["usable"] and "battery_resistance=unknown" in told["share"]
    assert "4 to 20" in told["slots"]["result"]


def test_the_address_holds_only_what_was_changed():
    assert ask("standby", {"standby_power": "9 W", "hours_on": "24 h"})["share"] == "standby_power=9+W"


@pytest.mark.parametrize("calculator", CASES)
def test_any_text_gives_the_page_something_to_show(calculator):
    names = [field.name for field in CALCULATORS[calculator].fields]

    @typed.few
    @given(st.dictionaries(st.sampled_from(names), typed.anything, min_size=1, max_size=3))
    def holds(strange):
        told = ask(calculator, strange)
        assert told["usable"] or told["invalid"]
        assert "<script" not in "".join(told["slots"].values())

    holds()


def test_warming_up_leaves_no_trace():
    assert browser.warm_up() is None
