"""The region preset: what it sets, what it leaves alone, and how the form and the terminal carry it."""

import json

import pytest

from calc import browser, tables
from calc.__main__ import main
from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.calculators.form import Choice, Field, settled
from calc.calculators.regions import REGION, presets
from calc.errors import FieldProblem, InputProblems
from calc.render import html, text, words

HOME, AWAY = "230-v-50-hz", "120-v-60-hz"
DEPENDING = [id for id, ask in CALCULATORS.items() if any(one.name == "region" for one in ask.fields)]


def as_shown(id, region):
    """What a form holds once it follows a region."""
    fields = CALCULATORS[id].fields
    return {**{one.name: settled(one, {"region": region}).shown for one in fields}, "region": region}


def ask(id, values=None, **more):
    """One request of the page: the example as it starts, with something typed."""
    start = browser.flat(CALCULATORS[id].shown())
    request = {"calculator": id, "id": id, "values": {**start, **(values or {})}, "start": start, **more}
    return json.loads(browser.answer(json.dumps(request)))


def test_the_presets_are_those_of_the_table():
    """230 V, 50 Hz, mm² and metres; 120 V, 60 Hz, AWG and feet beside them."""
    assert list(REGION.choices) == list(presets()) == [HOME, AWAY]
    assert (presets()[HOME].voltage, presets()[HOME].frequency, presets()[HOME].awg, presets()[HOME].feet) == (230, 50, False, False)
    assert (presets()[AWAY].voltage, presets()[AWAY].frequency, presets()[AWAY].awg, presets()[AWAY].feet) == (120, 60, True, True)
    assert {row["preset"] for row in tables.load("regions").rows} == set(presets())


@pytest.mark.parametrize("id", CALCULATORS)
def test_a_form_has_the_choice_where_anything_on_it_goes_by_the_region(id):
    """A mains voltage, a kind or a size of cable, a length: nothing of that stands on a form without it, and rules of heat never go by it."""
    ask = CALCULATORS[id]
    concerned = {one.name for one in ask.fields if isinstance(one, Field | Choice) and (one.by == "region" or one.unit == "m" or one.name in ("conductor", "voltage_ac", "frequency"))}
    concerned |= {one.name for one in ask.answers if one.unit == "m"}
    assert bool(concerned) == (id in DEPENDING), concerned
    for one in ask.fields:
        if one.name in ("conductor", "voltage_ac") or (one.unit == "mm²" and one.default):
            assert one.by == "region", one.name
        if one.name == "rule" and id != "rule-of-thumb":
            assert not one.by and not one.default


def test_the_rule_is_never_guessed():
    for id in ("dc-cable", "bus-voltage"):
        with pytest.raises(InputProblems) as caught:
            run(CALCULATORS[id], {"region": AWAY})
        assert [problem.field for problem in caught.value.problems] == ["rule"]
    assert run(CALCULATORS["fuse"], {"region": AWAY, "cable_ampacity": "200 A"}).input("rule").value is None


@pytest.mark.parametrize("id", DEPENDING)
@pytest.mark.parametrize("region", [HOME, AWAY])
def test_every_example_answers_in_every_region(id, region):
    result = run(CALCULATORS[id], as_shown(id, region))
    assert result.answer.endswith(".") and text.sheet(result) and html.details(result, "x")


@pytest.mark.parametrize("id", DEPENDING)
def test_the_first_preset_is_what_a_form_without_the_choice_gives(id):
    """The pages are built with it."""
    shown = CALCULATORS[id].shown()
    assert shown["region"] == HOME
    assert run(CALCULATORS[id], shown).answer == run(CALCULATORS[id], {name: typed for name, typed in shown.items() if name != "region"}).answer


def test_what_follows_from_the_region_is_listed_as_assumed():
    result = run(CALCULATORS["fault-current"], {"region": AWAY})
    assert (result.input("voltage_ac").value, result.input("voltage_ac").how) == (120, "default")
    assert "Output voltage: 120\u00a0V" in html.details(result, "x")
    home = run(CALCULATORS["fault-current"], {})
    assert "Mains and cable as in: 230 V, 50 Hz" in html.details(home, "x"), "the region itself is assumed too"
    assert "cable in AWG" in text.sheet(result)


def test_what_was_typed_stays():
    result = run(CALCULATORS["fault-current"], {"region": AWAY, "voltage_ac": "230 V"})
    assert (result.input("voltage_ac").value, result.input("voltage_ac").how) == (230, "given")


def test_a_fault_at_half_the_voltage_is_twice_the_current():
    """2000 VA times 2 over 120 V is 33.3 A, over 230 V 17.4 A; and the letters of IEC 60898 are not North America's."""
    home, away = (run(CALCULATORS["fault-current"], {"region": region, "current_limit_multiple": "2", "breaker_rating": "10 A"}) for region in (HOME, AWAY))
    assert home.output("current_limit").value == pytest.approx(4000 / 230) and away.output("current_limit").value == pytest.approx(4000 / 120)
    assert "curve-of-iec" in {finding.code for finding in away.findings} - {finding.code for finding in home.findings}


def test_sizes_and_lengths_are_said_as_in_the_region():
    typed = {"rule": "bs-7671-flexible", "length_one_way": "3 m"}
    home, away = (run(CALCULATORS["dc-cable"], {**typed, "region": region}) for region in (HOME, AWAY))
    assert "mm²" in home.answer and "AWG" not in home.answer and "ft" not in home.answer
    assert "AWG (" in away.answer and "3\u00a0m (9.8\u00a0ft)" in away.answer
    assert " AWG (" in words.output_value(away.output("area_chosen"))
    assert "ft)" in words.output_value(away.output("length_one_way_max")) and "ft)" in words.output_range(away.output("length_one_way_max"))
    assert words.input_likely(away.input("length_one_way")) == "3\u00a0m (9.84\u00a0ft)"
    assert "ft" not in words.output_value(home.output("length_one_way_max"))


@pytest.mark.parametrize(("typed", "region", "said"), [("35 mm²", HOME, "35\u00a0mm²"), ("35 mm²", AWAY, "35\u00a0mm² (next up 1 AWG)"), ("2 AWG", AWAY, "2 AWG (33.6\u00a0mm²)"), ("120 mm²", AWAY, "120\u00a0mm² (above 4/0 AWG)")])
def test_how_a_size_is_said(typed, region, said):
    assert words.input_likely(run(CALCULATORS["supply-path"], {"area": typed, "region": region}).input("area")) == said


def test_a_cable_of_the_other_series_keeps_its_own_resistance():
    """35 mm² of class 5 is 0.554 Ω/km at 20 °C (IEC 60228, Table 3), 2 m out and back 2.216 mΩ, also where AWG is usual."""
    for region in (HOME, AWAY):
        result = run(CALCULATORS["supply-path"], {"area": "35 mm²", "length_one_way": "2 m", "conductor_temperature": "20 °C", "region": region, "power_dc": "500 W"})
        drop = result.output("drop_cable").value / result.output("current_dc").value
        assert drop == pytest.approx(0.554e-3 * 4, rel=1e-9)
        assert "iec60228" in {source.id for source in result.sources}


def test_the_frequency_goes_by_the_region():
    result = run(CALCULATORS["waveform"], {"shape": "sine", "region": AWAY, "frequency": "50 Hz"})
    assert result.output("voltage_rms").value == pytest.approx(120)
    assert "frequency" in {finding.code for finding in result.findings} and "made for 120\u00a0V, 60\u00a0Hz" in result.answer
    at_home = run(CALCULATORS["waveform"], {"shape": "sine", "region": AWAY})
    assert "frequency" not in {finding.code for finding in at_home.findings} and at_home.output("verdict").value == "fine"


def test_a_sine_of_the_other_mains_is_not_called_right():
    """120 V on an appliance made for 230 V: a perfect wave, and still no supply for it."""
    result = run(CALCULATORS["waveform"], {"shape": "sine", "voltage_rms": "120 V", "appliance": "motor"})
    assert result.output("verdict").value == "poor" and "voltage-off" in {finding.code for finding in result.findings}
    assert "made for 230\u00a0V, 50\u00a0Hz" in result.answer


def test_a_region_nobody_knows_is_named():
    with pytest.raises(InputProblems) as caught:
        run(CALCULATORS["waveform"], {"region": "elsewhere"})
    assert [problem.field for problem in caught.value.problems] == ["region"]


@pytest.mark.parametrize("id", DEPENDING)
def test_the_page_follows_a_choice_kept_on_the_device(id):
    told = ask(id, kept={"region": AWAY})
    assert told["usable"] and told["fill"]["region"] == AWAY
    assert told["slots"]["answer"] == str(html.answer(run(CALCULATORS[id], as_shown(id, AWAY))))
    for name, filled in told["fill"].items():
        assert filled == as_shown(id, AWAY)[name] != CALCULATORS[id].shown()[name]
    again = ask(id, told["fill"], kept={"region": AWAY})
    assert again["slots"]["answer"] == told["slots"]["answer"], "once filled, nothing changes"


def test_nothing_is_filled_where_nothing_is_kept():
    for id in CALCULATORS:
        assert ask(id)["fill"] == {}


def test_what_a_reader_filled_in_is_never_overwritten():
    """Also where it is what the form started with, or what the other region has."""
    for typed in ("230 V", "120 V", "110 V", ""):
        told = ask("fault-current", {"voltage_ac": typed}, own=["voltage_ac"], kept={"region": AWAY})
        assert "voltage_ac" not in told["fill"] and told["fill"]["region"] == AWAY
    told = ask("supply-path", {"area": "50 mm²"}, own=["area", "battery_resistance.unknown"], kept={"region": AWAY})
    assert told["usable"] and "area" not in told["fill"] and told["fill"]["conductor"] == "awg"


def test_a_region_chosen_here_overrules_the_kept_one():
    told = ask("fault-current", {"region": HOME}, own=["region"], kept={"region": AWAY})
    assert told["fill"] == {} and "17.4" in told["slots"]["answer"]


def test_a_form_that_tells_a_case_keeps_its_own_values():
    """Its cable and current stand in the prose around it."""
    start = {**browser.flat(CALCULATORS["supply-path"].shown()), "area": "25 mm²"}
    request = {"calculator": "supply-path", "id": "x", "values": {**start, "region": AWAY}, "start": start, "own": ["region"]}
    told = json.loads(browser.answer(json.dumps(request)))
    assert told["usable"] and "area" not in told["fill"]
    shown = CALCULATORS["supply-path"].shown()
    example, case = (html.calculator(CALCULATORS["supply-path"], run(CALCULATORS["supply-path"], typed), typed, "x") for typed in (shown, {**shown, "area": "25 mm²"}))
    assert "data-keep" in example and "data-keep" not in case


def test_the_address_names_the_region_where_it_matters():
    assert ask("fault-current")["share"] == ""
    assert ask("fault-current", {"rating": "3 kVA"}, own=["rating"])["share"] == f"rating=3+kVA&region={HOME}", "another device may keep another"
    assert ask("fault-current", kept={"region": AWAY})["share"] == f"region={AWAY}"
    told = ask("fault-current", {"voltage_ac": "230 V", "region": AWAY}, own=["voltage_ac", "region"])
    assert told["share"] == f"voltage_ac=230+V&region={AWAY}"


@pytest.mark.parametrize("kept", [{"region": "elsewhere"}, {"region": 5}, {"region": ["x"]}, {"rule": "bs-7671-rubber"}])
def test_a_kept_choice_that_makes_no_sense_is_left_aside(kept):
    assert ask("dc-cable", kept=kept)["fill"] == {}


def test_the_terminal_takes_the_region_once_for_all(capsys):
    assert main(["run", "fault-current", "--region", AWAY, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["inputs"]["voltage_ac"]["value"] == 120
    assert main(["run", "fault-current", "--region", AWAY, f"region={HOME}", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["inputs"]["voltage_ac"]["value"] == 230
    assert main(["run", "standby", "--region", AWAY]) == 0, "a question the region has no say in"
    capsys.readouterr()
    with pytest.raises(SystemExit) as refused:
        main(["run", "fault-current", "--region", "elsewhere"])
    assert refused.value.code == 2 and AWAY in capsys.readouterr().err


def test_show_names_the_region_and_what_follows(capsys):
    assert main(["show", "supply-path"]) == 0
    told = capsys.readouterr().out
    assert f"region: Mains and cable as in; else {HOME}" in told and f"{AWAY}: 120 V, 60 Hz" in told
    assert f"area [mm²]: Cable cross-section; else 35 mm², 2 AWG with region={AWAY}" in told


def test_two_ways_of_saying_the_same_go_by_the_region_too():
    """The AWG example of the form is no second answer beside a measured resistance."""
    result = run(CALCULATORS["supply-path"], {**as_shown("supply-path", AWAY), "cable_resistance": "2 mΩ"})
    assert result.input("area").how == "blank"
    with pytest.raises((InputProblems, FieldProblem)):
        run(CALCULATORS["supply-path"], {**as_shown("supply-path", AWAY), "cable_resistance": "2 mΩ", "area": "4 AWG"})
