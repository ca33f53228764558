"""The papers say what the run says, and leave blanks for what is measured."""

import re
from html.parser import HTMLParser

import pytest

from calc.plan import papers, steps
from calc.render import paper, words
from tests.calc.plan.plans import NAMES, plan_of

RUNS = {name: steps.run(plan_of(name)) for name in NAMES}


def block(one, heading):
    return next(each for each in one.blocks if each.heading == heading)


@pytest.mark.parametrize("name", NAMES)
def test_three_papers_from_one_run(name):
    three = papers.papers(RUNS[name])
    assert [(one.id, one.size) for one in three] == [("recommendation", "A4"), ("hand-over", "A5"), ("baseline", "A5")]
    assert all(one.subtitle == RUNS[name].plan["who"]["title"] for one in three)
    assert all(each.items for one in three for each in one.blocks)


@pytest.mark.parametrize("name", NAMES)
def test_every_stop_and_every_caution_is_on_the_sheet(name):
    run, sheet = RUNS[name], "\n".join(paper.lines(papers.recommendation(RUNS[name])))
    flat = re.sub(r"\s+", " ", sheet)
    for part in run.parts.values():
        for one in part.result.findings if part.result else ():
            if one.level != "note":
                assert re.sub(r"\s+", " ", one.text) in flat
    assert not any(one.level == "stop" for part in run.parts.values() if part.result for one in part.result.findings) or "Settle these first" in sheet
    assert sheet.index("Settle these first") < sheet.index("What it comes to"), "stops stand before the numbers"


@pytest.mark.parametrize("name", NAMES)
def test_the_sheet_names_what_it_will_not_do_what_is_licensed_and_what_is_assumed(name):
    sheet = papers.recommendation(RUNS[name])
    assert len(block(sheet, "What it will not do").items) >= 4
    assert any("changeover" in one.lower() or "neutral" in one for one in block(sheet, "Work for a licensed person").items)
    assert len(block(sheet, "Taken for granted").items) > 20
    assert [row[0] for row in block(sheet, "Agreed").items if row[1] is None] == ["Date", "Prepared by", "Accepted by"]


def test_ranges_are_the_results_own():
    run = RUNS["longstay-motorhome"]
    said = "\n".join(paper.lines(papers.recommendation(run)))
    output = run.result("loads").output("energy_total")
    assert f"{words.output_value(output)}  |  {words.output_range(output)}" in said


def test_allowed_combinations():
    lines = papers.together(RUNS["longstay-motorhome"])
    assert lines[0] == "On the inverter at once: fridge, television; and one of: microwave or induction hob."
    assert "1380" in lines[1] and "breathing machine, lights" in lines[2]
    assert "It does not run microwave and induction hob at the same time." in papers.will_not(RUNS["longstay-motorhome"])


def test_what_is_too_much_is_not_allowed():
    run = steps.run(plan_of("longstay-motorhome", inverter={"rating": "1000 VA", "standby_power": ""}))
    assert papers.together(run) == ["Not all of it: together 1510\u00a0VA are asked for, above the inverter's 1000 VA. Settle first what waits for what."]


def test_a_bad_week_s_limits_and_what_to_switch_off():
    said = " ".join(papers.will_not(RUNS["weekend-caravan"]))
    assert "In a bad week it does not meet 580\u00a0Wh" in said and "Switch off, in this order: laptop." in said
    assert "In a bad week" not in " ".join(papers.will_not(RUNS["remote-hut"]))


def test_the_bill_in_trade_terms():
    bill = {part: (count, ask) for part, count, ask in block(papers.recommendation(RUNS["longstay-motorhome"]), "Bill of materials").items}
    assert bill["Inverter"] == ("1", "2000 VA continuous, surge of at least 2500\u00a0VA for 0.3 s, for a battery of 24 V, 120 V 60 Hz, sine, standby not above 20 W")
    assert bill["Battery"][0] == "10" and "12 V 100\u00a0Ah" in bill["Battery"][1] and "2 in series, 5 side by side" in bill["Battery"][1]
    assert bill["String fuse with holder"][0] == "5" and bill["Battery links"][0] == "18"
    assert bill["Main fuse with holder"][1].startswith("175 A, at least 29.2\u00a0V DC, breaking at least 32000\u00a0A")
    assert bill["Battery cable"][1].startswith("1/0 AWG (53.5\u00a0mm²)") and {"DC isolator", "Converter to 12 V", "Solar controller", "DC-DC charger", "Charger", "Generator", "Carbon monoxide alarm"} <= bill.keys()


def test_nothing_is_billed_that_is_not_settled():
    """Without a rule for heat there is no cable, and no fuse, on the bill."""
    run = steps.run(plan_of("weekend-caravan", dc={"rule": "", "voltage_nominal": "12 V"}))
    parts = [part for part, *_ in block(papers.recommendation(run), "Bill of materials").items]
    assert "Battery" in parts and "Battery cable" not in parts and "Main fuse with holder" not in parts
    no_fuse = steps.run(plan_of("weekend-caravan", dc={"voltage_nominal": "12 V"}, inverter={"rating": "3 kVA"}))
    assert no_fuse.value("cable", "verdict") == "none-fits"
    parts = [part for part, *_ in block(papers.recommendation(no_fuse), "Bill of materials").items]
    assert "Main fuse with holder" not in parts and "DC isolator" not in parts


def test_what_each_load_takes():
    rows = {row[0]: row[1:] for row in block(papers.handover(RUNS["longstay-motorhome"]), "What each takes").items}
    assert rows["induction hob"] == ("1200\u00a0W", "640\u00a0Wh", "27\u00a0Ah")  # 642 Wh over 24 V
    assert rows["the inverter's standby"] == ("20 W", "480\u00a0Wh", "20\u00a0Ah")
    assert "breathing machine (must always run)" in rows


def test_the_baseline_card_has_blanks_and_keeps_what_was_measured():
    card = papers.baseline(RUNS["longstay-motorhome"])
    measured = {row[0]: row[-1] for row in block(card, "Measured at the hand-over").items}
    assert set(measured.values()) == {None} and {"Standby power", "Battery's resistance", "Cables and joints, both ways"} <= measured.keys()
    run = steps.run(plan_of("longstay-motorhome", baseline={"standby_power": "18.5 W", "battery_resistance": "3.1 mΩ", "date": "2 May"}))
    measured = {row[0]: row[-1] for row in block(papers.baseline(run), "Measured at the hand-over").items}
    assert measured["Standby power"] == "18.5 W" and measured["Battery's resistance"] == "3.1 mΩ" and measured["Cables and joints, both ways"] is None


def test_settings_are_those_of_the_chemistry():
    rows = {row[0]: row[1] for row in block(papers.baseline(RUNS["remote-hut"]), "Settings as left").items}
    assert rows["Charging voltage"] == "56.8\u00a0V" and rows["No charging below"] == "0 °C"  # 16 cells of 3.55 V


@pytest.mark.parametrize("level", ["no-fallback", "with-fallback"])
def test_a_medical_device_is_on_every_sheet(level):
    run = steps.run(plan_of("weekend-caravan", who={"medical": level}))
    assert "the fallback stays at hand" in " ".join(papers.will_not(run))


class Balanced(HTMLParser):
    """Every tag is closed, in order."""

    def __init__(self):
        super().__init__()
        self.open, self.blanks = [], 0

    def handle_starttag(self, tag, attributes):
        self.open.append(tag)
        self.blanks += ("class", "blank") in attributes

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


@pytest.mark.parametrize("name", NAMES)
def test_papers_as_html_are_whole_and_show_their_blanks(name):
    for one in papers.papers(RUNS[name]):
        found = Balanced()
        found.feed(str(paper.sheet(one)))
        assert found.open == [] and found.blanks > 0 or one.id == "hand-over"
        assert "None" not in str(paper.sheet(one)) and "Output(" not in str(paper.sheet(one))


def test_script_in_a_plan_is_shown_as_text():
    bad = "<script>alert(1)</script>"
    plan = plan_of("weekend-caravan", who={"title": bad, "customer": bad, "never": bad}, notes=bad, baseline={"settings": bad, "date": bad})
    plan["loads"][3] = {**plan["loads"][3], "name": bad}
    told = "".join(str(paper.sheet(one)) for one in papers.papers(steps.run(plan)))
    assert "<script" not in told and "&lt;script&gt;" in told


def test_an_empty_plan_has_papers_too():
    from calc.plan import document

    assert len(papers.papers(steps.run(document.blank()))) == 3
