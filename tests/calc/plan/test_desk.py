"""What the worksheet page asks for: strings in, strings out, and nothing typed comes back as markup."""

import json
import re

import pytest
from markupsafe import escape

from calc import browser
from calc.plan import document, sections, steps
from calc.render import worksheet
from tests.calc.plan.plans import FOLDER, NAMES, plan_of, text_of

DEMO = (FOLDER.parent / "plan" / "demo-catalogue.csv").read_text("utf-8")


def ask(do, **more):
    return json.loads(browser.answer(json.dumps({"do": do, **more})))


def step(plan="", step="loads", **more):
    return ask("step", plan=plan, step=step, **more)


@pytest.mark.parametrize("name", NAMES)
def test_a_plan_is_opened_shared_and_opened_again(name):
    opened = step(file=text_of(name), form=True)
    assert opened["errors"] == [] and opened["name"] == plan_of(name)["who"]["title"] and opened["invalid"] == []
    assert opened["form"] and "changes" not in opened["slots"]
    assert step(link=opened["link"])["plan"] == opened["plan"] == document.to_text(plan_of(name))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("each", [one.id for one in steps.STEPS])
def test_every_step_has_the_answers_of_its_parts(name, each):
    told, run = step(file=text_of(name), step=each, form=True), steps.run(plan_of(name))
    for part in next(one for one in steps.STEPS if one.id == each).parts:
        said = run.part(part).idle or (run.result(part) and run.result(part).answer)
        assert said and str(escape(said)) in told["slots"]["answers"]


def test_a_change_comes_back_with_its_reasons():
    plan = step(file=text_of("weekend-caravan"))["plan"]
    for path, text in (("dc.voltage_nominal", "12 V"), ("season.days", "1")):
        plan = step(plan=plan, edit={"do": "set", "path": path, "text": text})["plan"]
    more = step(plan=plan, edit={"do": "add", "appliance": "kettle"})["plan"]
    told = step(plan=more, before=plan, edit={"do": "apart", "id": "kettle", "other": "toaster"}, step="battery")
    assert "Battery 200 → 300 Ah at 12 V: the kettle&#39;s" in told["slots"]["changes"]
    assert "<dd>300 Ah</dd>" in told["slots"]["standing"]


@pytest.mark.parametrize(
    ("asked", "path", "words"),
    [
        ({"file": text_of("remote-hut")[:300]}, "", "ends in the middle"),
        ({"link": "1.5.00000000."}, "link", "cut short"),
        ({"plan": text_of("remote-hut"), "edit": {"do": "set", "path": "speed", "text": "3"}}, "speed", "there is no such entry of a plan"),
        ({"plan": text_of("remote-hut"), "edit": {"do": "sing"}}, "do", 'there is no change "sing"'),
        ({"plan": text_of("remote-hut"), "edit": {"do": "remove", "id": "nobody"}}, "loads.nobody", "no such load"),
    ],
)
def test_what_cannot_be_read_is_an_error_and_gives_no_plan(asked, path, words):
    told = step(**asked)
    assert list(told) == ["errors"] and told["errors"][0]["path"] == path and words in told["errors"][0]["text"]


def test_a_value_that_cannot_be_used_is_a_problem_and_the_rest_goes_on():
    plan = document.to_text(plan_of("remote-hut", charging={"panel_power": "12 V"}))
    told = step(plan=plan, step="charging", form=True)
    assert told["errors"] == [] and told["invalid"] == ["charging.panel_power"]
    assert "this needs a power" in told["slots"]["error-charging.panel_power"].lower() and 'value="12 V"' in told["form"]
    assert "Get 500" in step(plan=plan, step="battery")["slots"]["answers"]


def test_a_problem_of_a_load_stands_at_its_own_field():
    plan = document.to_text(plan_of("remote-hut"))
    id = plan_of("remote-hut")["loads"][1]["id"]
    told = step(plan=plan, edit={"do": "set", "path": f"loads.{id}.power", "text": "12 A"})
    assert told["invalid"] == [f"loads.{id}.power"] and f"error-loads.{id}.power" in told["slots"]


def test_what_is_left_open_says_what_stands_there_instead():
    told = step(plan=text_of("weekend-caravan"), step="inverter")["slots"]
    assert told["note-inverter.rating"].startswith("Taken: 1500 VA, ")
    assert "from “The day" in told["note-overrides.size.power_running"]
    plan = step(plan=text_of("weekend-caravan"), edit={"do": "set", "path": "overrides.size.power_running", "text": "1 kW"}, step="inverter")
    assert plan["slots"]["note-overrides.size.power_running"] == ""


def test_what_is_still_needed_is_said_by_its_label():
    plan = step(edit={"do": "add", "appliance": "kettle"})["plan"]
    needed = step(plan=plan, step="battery")["slots"]["answers"]
    assert "or enter “Nominal voltage of the battery” under “The battery&#39;s voltage”" in needed
    assert "Enter whose rule for heat" in step(plan=plan, step="voltage")["slots"]["answers"]
    assert "<li>Enter what must run</li>" in step()["slots"]["answers"]
    for each in steps.STEPS:
        assert not re.search(r"[a-z]+\.[a-z_]+(: |$|<)", step(plan=plan, step=each.id)["slots"]["answers"].replace("</", " </")), each.id


def test_every_entry_of_the_document_has_a_field_in_one_step():
    shown = [path for first, rest in worksheet.FIELDS_OF_STEP.values() for path in (*first, *rest)]
    entries = {f"{section.name}.{one.name}" for section in sections.SECTIONS for one in section.fields} | {"region", "notes"}
    assert sorted(shown) == sorted(entries)
    columns = {*worksheet.ROW_OPEN, *worksheet.ROW_MORE, "group", "appliance"}
    assert columns == {one.name for one in sections.LOAD_FIELDS}, "group is the choice of who runs by turns, appliance is where a load came from"


def test_the_shortlist_comes_in_stretches_and_is_ranked_at_its_end():
    plan = step(file=text_of("remote-hut"))["plan"]
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


def test_the_call_from_the_road_starts_from_the_plan():
    assert ask("road", plan=text_of("boat-cold-bank"), form="tonight")["start"]["capacity"] == "300 Ah"
    assert ask("road", plan=text_of("boat-cold-bank"), form="measure")["start"]["chemistry"]


def test_a_request_for_something_else_is_an_error_of_the_page():
    with pytest.raises(KeyError):
        ask("sing")


def test_script_in_a_plan_and_in_a_catalogue_is_shown_as_text():
    bad = "<img src=x onerror=alert(1)>"
    plan = plan_of("remote-hut", who={"title": bad})
    plan["loads"][2] = {**plan["loads"][2], "name": bad}
    text = document.to_text(plan)
    told = step(plan=text, before=text_of("remote-hut"), form=True)
    shown = [*told["slots"].values(), told["form"], *(one["html"] for one in ask("papers", plan=text)["papers"].values())]
    shown.append(ask("shortlist", plan=text, catalogue=f"{DEMO.splitlines()[0]}\n{bad},{DEMO.splitlines()[-1].partition(',')[2]}\n")["table"])
    assert "&lt;img" in "".join(shown) and "<img" not in "".join(shown)
