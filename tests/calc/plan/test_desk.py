"""What the worksheet page asks for: strings in, strings out, and nothing typed comes back as markup."""

import json
import time

import pytest

from calc import browser
from calc.plan import document, steps
from tests.calc.plan.plans import FOLDER, NAMES, plan_of, text_of

DEMO = (FOLDER.parent / "plan" / "demo-catalogue.csv").read_text("utf-8")


def ask(do, **more):
    return json.loads(browser.plan(json.dumps({"do": do, **more})))


@pytest.mark.parametrize("name", NAMES)
def test_a_plan_is_opened_run_shared_and_opened_again(name):
    opened = ask("open", text=text_of(name))
    assert opened["errors"] == [] and opened["title"] == plan_of(name)["who"]["title"]
    told = ask("run", plan=opened["plan"])
    assert told["errors"] == [] and list(told["steps"]) == [step.id for step in steps.STEPS] and all(told["steps"].values())
    assert told["problems"] == [] and told["waiting"] == {} and told["changes"] == ""
    shared = ask("link", plan=opened["plan"])
    assert ask("open", link=shared["link"])["plan"] == opened["plan"]


def test_a_change_comes_back_with_its_reasons():
    plan = ask("open", text=text_of("weekend-caravan"))["plan"]
    plan = ask("edit", plan=plan, change={"name": "put", "values": ["dc.voltage_nominal", "12 V"]})["plan"]
    plan = ask("edit", plan=plan, change={"name": "put", "values": ["season.days", "1"]})["plan"]
    more = ask("edit", plan=plan, change={"name": "add", "values": ["kettle"]})["plan"]
    more = ask("edit", plan=more, change={"name": "never-together", "values": [["toaster", "kettle"]]})["plan"]
    told = ask("run", plan=more, before=plan, show=["battery"])
    assert list(told["steps"]) == ["battery"]
    assert "Battery 200 → 300 Ah at 12 V: the kettle&#39;s" in told["changes"] and told["edits"][0]["label"] == "kettle"
    assert {one["name"]: one["words"] for one in told["settled"]}["capacity"] == "300 Ah"
    assert told["filled"]["battery"]["energy_per_day"]["from"] == "step"


def test_what_cannot_be_read_is_an_error_and_gives_no_plan():
    told = ask("open", text=text_of("remote-hut")[:300])
    assert list(told) == ["errors"] and "ends in the middle" in told["errors"][0]["text"]
    told = ask("open", link="1.5.00000000.")
    assert told["errors"][0]["path"] == "link" and "cut short" in told["errors"][0]["text"]
    told = ask("edit", plan=text_of("remote-hut"), change={"name": "put", "values": ["speed", "3"]})
    assert told["errors"] == [{"path": "speed", "text": "there is no such entry of a plan"}]


def test_a_value_that_cannot_be_used_is_a_problem_and_the_rest_goes_on():
    plan = document.to_text(plan_of("remote-hut", charging={"panel_power": "12 V"}))
    told = ask("run", plan=plan)
    assert told["errors"] == [] and [one["path"] for one in told["problems"]] == ["charging.panel_power"]
    assert "Get 500" in told["steps"]["battery"] and "charging.panel_power" in told["steps"]["charging"]


def test_the_shortlist_comes_in_stretches_and_is_ranked_at_its_end():
    plan = ask("open", text=text_of("remote-hut"))["plan"]
    head, *rows = DEMO.splitlines()
    catalogue = "\n".join([head, *rows * 3]) + "\n"
    reports = []
    while not reports or reports[-1]["done"] < reports[-1]["total"]:
        reports.append(ask("shortlist", plan=plan, catalogue=catalogue, by="price"))
    assert [one["done"] for one in reports] == [25, 50, 72] and [bool(one["table"]) for one in reports] == [False, False, True]
    assert reports[-1]["table"].index("D-4000") < reports[-1]["table"].index("F-6000") and len(reports[-1]["notes"]) == 48
    again = ask("shortlist", plan=plan, catalogue=catalogue, by="energy")
    assert again["done"] == again["total"], "another order asks for no new work"


def test_a_catalogue_that_cannot_be_used_says_so_at_once():
    told = ask("shortlist", plan=text_of("remote-hut"), catalogue="unit;price\nOne;3\n")
    assert told["total"] == 0 and "has no column" in told["notes"][0]["text"]


def test_the_papers_come_as_html_and_as_text():
    told = ask("papers", plan=text_of("boat-cold-bank"))["papers"]
    assert list(told) == ["recommendation", "hand-over", "baseline"]
    assert told["baseline"]["size"] == "A5" and told["baseline"]["html"].startswith("<article") and told["baseline"]["text"].startswith("Baseline card")


def test_the_call_from_the_road():
    told = ask("road", plan=text_of("boat-cold-bank"), form="tonight", values={"power": "100 W", "state_of_charge": "95 %"})
    assert told["start"]["capacity"] == "300 Ah" and told["invalid"] == [] and told["slots"]["answer"]
    told = ask("road", plan=text_of("boat-cold-bank"), form="measure", values={"voltage_rest": "12 A"})
    assert told["invalid"] == ["voltage_rest"] and "result" not in told["slots"]


def test_a_request_for_something_else_is_an_error_of_the_page():
    with pytest.raises(KeyError):
        ask("sing")


def test_script_in_a_plan_and_in_a_catalogue_is_shown_as_text():
    bad = "<img src=x onerror=alert(1)>"
    plan = plan_of("remote-hut", who={"title": bad})
    plan["loads"][2] = {**plan["loads"][2], "name": bad}
    text = document.to_text(plan)
    told = ask("run", plan=text, before=text_of("remote-hut"))
    shown = [*told["steps"].values(), told["changes"], told["findings"], *(one["html"] for one in ask("papers", plan=text)["papers"].values())]
    shown.append(ask("shortlist", plan=text, catalogue=f"{DEMO.splitlines()[0]}\n{bad},{DEMO.splitlines()[-1].partition(',')[2]}\n")["table"])
    assert "&lt;img" in "".join(shown) and "<img" not in "".join(shown)


def test_an_answer_is_quick():
    """With its HTML; Python in the page takes about four times as long."""
    before, after = document.to_text(plan_of("longstay-motorhome")), document.to_text(plan_of("longstay-motorhome", season={"days": "3"}))
    ask("run", plan=before)
    start = time.process_time()
    ask("run", plan=after, before=before, show=["battery"])
    assert time.process_time() - start < 0.060
