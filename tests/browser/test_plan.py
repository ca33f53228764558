"""The worksheet of a whole job as a shop uses it: every change is told, nothing is lost."""

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from playwright.sync_api import expect

from calc.plan import document, link, road, steps
from tests.browser.axe import MENU, check
from tests.browser.waiting import until

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "plans"

PLAN = "plan/index.html"


def opened(page, address=PLAN):
    page.goto(address)
    page.wait_for_selector("#worksheet[data-state=ready]", timeout=30_000)
    return page


@pytest.fixture
def plan(quick_page):
    return opened(quick_page)


def power(page, load):
    return page.locator(f"[id='plan-loads.{load}.power']")


def settled(page, label):
    return page.locator("#worksheet .numbers div", has=page.locator(f"dt:text-is('{label}')")).first.locator("dd")


def kept(page):
    """Every plan on the device: its text by its name."""
    records = page.evaluate("Object.entries(localStorage).filter(([key]) => key.startsWith('handbook-plan:')).map(([, text]) => JSON.parse(text))")
    return [(record["name"], document.from_text(record["text"]), record["waiting"]) for record in records]


def saved(page):
    expect(page.locator("[data-part=saved]")).to_have_text("Saved on this device.")
    until(page, "Object.entries(localStorage).filter(([key]) => key.startsWith('handbook-plan:')).every(([, text]) => !JSON.parse(text).waiting.length)")


def turn(page, number):
    page.locator("#plan-steps > summary").click()
    page.locator("#plan-steps button").nth(number - 1).click()
    expect(page.locator("#worksheet h2")).to_contain_text(f"{number} ")


def test_a_change_is_computed_through_and_told_with_its_reason(plan):
    before = settled(plan, "Inverter").text_content()
    power(plan, "toaster").fill("1800 W")
    expect(settled(plan, "Inverter")).not_to_have_text(before)
    told = plan.locator("#plan-changes")
    expect(told.locator("summary")).to_contain_text(f"Inverter {before.split()[0]} →")
    told.locator("summary").click()
    expect(told).to_contain_text("fails: what runs needs")
    told.locator("summary").click()
    saved(plan)
    [(_, text, _)] = kept(plan)
    now = steps.run(text)
    assert settled(plan, "Inverter").text_content() == now.choices["rating"].words
    turn(plan, 2)
    expect(plan.locator("[data-plan-part=size] .sentence")).to_have_text(now.result("size").answer)


def test_it_is_there_at_the_next_visit_and_undo_goes_back(plan):
    power(plan, "toaster").fill("1000 W")
    saved(plan)
    opened(plan)
    expect(power(plan, "toaster")).to_have_value("1000 W")
    power(plan, "toaster").fill("1200 W")
    saved(plan)
    plan.click("[data-action=undo]")
    expect(power(plan, "toaster")).to_have_value("1000 W")
    saved(plan)
    assert kept(plan)[0][1]["loads"][4]["power"] == "1000 W"
    expect(plan.locator("[data-action=undo]")).to_be_disabled()


def test_loads_are_added_from_the_table_moved_kept_apart_and_removed(plan):
    plan.select_option("#plan-add", "kettle")
    plan.click("[data-action=add]")
    expect(power(plan, "kettle")).to_have_value("2000 W")
    plan.locator("#plan-kettle-more > summary").click()
    plan.select_option("#plan-apart-kettle", "toaster")
    expect(plan.locator("#plan-kettle-more")).to_contain_text("Either this or toaster.")
    plan.click("#plan-kettle-more [data-action=up]")
    saved(plan)
    [(_, text, _)] = kept(plan)
    assert [one["id"] for one in text["loads"]][-2:] == ["kettle", "toaster"]
    assert text["loads"][-1]["group"] == text["loads"][-2]["group"]
    assert steps.run(text).value("loads", "power_running") < 3000
    plan.click("#plan-kettle-more [data-action=remove]")
    expect(power(plan, "kettle")).to_have_count(0)
    saved(plan)
    assert "group" not in kept(plan)[0][1]["loads"][-1]


def test_what_cannot_be_used_is_said_at_its_place_and_stays(plan):
    power(plan, "toaster").fill("12 A")
    expect(plan.locator("[data-slot='error-loads.toaster.power']")).to_contain_text('needs a power; "12 A" is a current')
    assert power(plan, "toaster").get_attribute("aria-invalid") == "true"
    saved(plan)
    opened(plan)
    expect(power(plan, "toaster")).to_have_value("12 A")
    power(plan, "toaster").fill("900 W")
    expect(plan.locator("[data-slot='error-loads.toaster.power']")).to_be_empty()


def test_a_step_before_can_be_typed_over_and_followed_again(plan):
    turn(plan, 2)
    plan.locator("#plan-inverter-over > summary").click()
    over = plan.locator("[id='plan-overrides.size.apparent_power_running']")
    expect(plan.locator("[data-slot='note-overrides.size.apparent_power_running']")).to_contain_text("from “The day's energy and what runs together”")
    over.fill("2500 VA")
    expect(settled(plan, "Inverter")).to_have_text("3000 VA")
    saved(plan)
    assert kept(plan)[0][1]["overrides"] == {"size": {"apparent_power_running": "2500 VA"}}
    over.fill("")
    expect(settled(plan, "Inverter")).to_have_text("1500 VA")


def test_turning_the_step_at_once_loses_no_change(plan):
    for number in range(1, 8):
        plan.locator("#plan-who\\.title, [id='plan-inverter.hours_on']").first.fill(f"{number} h") if number < 3 else None
        plan.locator(".turn button").last.click()
        expect(plan.locator("#worksheet h2")).to_contain_text(f"{number + 1} ")
    saved(plan)
    [(_, text, _)] = kept(plan)
    assert text["who"]["title"] == "1 h" and text["inverter"]["hours_on"] == "2 h"


def test_a_file_comes_back_as_it_went(plan, tmp_path):
    power(plan, "toaster").fill("1111 W")
    saved(plan)
    plan.locator("#plan-more > summary").click()
    with plan.expect_download() as download:
        plan.click("[data-action=export]")
    assert download.value.suggested_filename == "caravan-with-a-toaster.json"
    download.value.save_as(tmp_path / "one.json")
    plan.set_input_files("[data-action=import]", tmp_path / "one.json")
    until(plan, "Object.keys(localStorage).filter((key) => key.startsWith('handbook-plan:')).length === 2")
    saved(plan)
    (_, first, _), (_, second, _) = kept(plan)
    assert first == second == document.from_text((tmp_path / "one.json").read_text("utf-8"))
    assert first["loads"][4]["power"] == "1111 W"


def test_a_link_comes_back_as_it_went(plan, context_of):
    power(plan, "toaster").fill("1234 W")
    saved(plan)
    [(_, text, _)] = kept(plan)
    other = context_of()
    opened(other, f"{PLAN}#plan={link.to_link(text)}")
    expect(power(other, "toaster")).to_have_value("1234 W")
    assert "#" not in other.url
    saved(other)
    assert kept(other)[0][1] == text


@pytest.fixture
def context_of(browser, base_url):
    """Pages of further devices."""
    contexts = []

    def page():
        contexts.append(browser.new_context(base_url=base_url))
        return contexts[-1].new_page()

    yield page
    for context in contexts:
        context.close()


def files():
    good = json.loads(document.to_text(document.blank()))
    return {
        "empty": ("", "is empty"),
        "cut-short": (json.dumps(good)[:-8], "cut short"),
        "newer": (json.dumps({**good, "version": 99}), "version 99"),
        "something-else": ('{"kind": "recipe"}', "this file is something else"),
        "wrong-inside": (json.dumps({**good, "loads": [{"id": "a", "power": 90}]}), "loads[0].power"),
        "script": (json.dumps({**good, "<script>alert(1)</script>": 1}), "<script>alert(1)</script>"),
    }


@pytest.fixture(scope="module")
def standing(lasting):
    """One plan for the tests that do not mind what was typed into it before."""
    return opened(lasting.context.new_page())


@pytest.fixture
def standing_plan(standing, lasting, request):
    with lasting.during(request):
        yield standing


def emptied(page, *parts):
    """What the test before was told is not taken for what this one is."""
    for part in parts:
        page.locator(f"[data-part={part}]").evaluate("(element) => element.replaceChildren()")


@pytest.mark.parametrize("name", files())
def test_a_file_that_cannot_be_used_says_where_and_changes_nothing(standing_plan, name, tmp_path):
    plan = standing_plan
    text, words = files()[name]
    # Another figure for each: nothing is left from the file before.
    typed = f"{990 + list(files()).index(name)} W"
    power(plan, "toaster").fill(typed)
    until(plan, f"Object.values(localStorage).some((text) => text.includes('{typed}'))")
    saved(plan)
    before = kept(plan)
    assert before[0][1]["loads"][4]["power"] == typed
    emptied(plan, "notice")
    notice = plan.locator("[data-part=notice]")
    (tmp_path / f"{name}.json").write_text(text, "utf-8")
    plan.set_input_files("[data-action=import]", tmp_path / f"{name}.json")
    expect(notice).to_contain_text(words)
    expect(notice).to_contain_text("Nothing was changed.")
    assert kept(plan) == before
    expect(power(plan, "toaster")).to_have_value(typed)


def test_a_link_cut_short_says_so(page):
    whole = link.to_link(document.from_text(FOLDER.joinpath("remote-hut.json").read_text("utf-8")))
    opened(page, f"{PLAN}#plan={whole[:-20]}")
    expect(page.locator("[data-part=notice]")).to_contain_text("was cut short")
    assert kept(page) == []


def test_full_storage_is_said_and_the_plan_stays_on_the_page(page):
    page.add_init_script("Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };")
    opened(page)
    power(page, "toaster").fill("1500 W")
    expect(page.locator("[data-part=saved]")).to_contain_text("Not saved: the browser refused (its storage is full). Save the plan as a file")
    expect(settled(page, "Inverter")).not_to_have_text("1500 VA")
    page.locator("#plan-more > summary").click()
    with page.expect_download() as download:
        page.click("[data-action=export]")
    assert document.from_text(download.value.path().read_text("utf-8"))["loads"][4]["power"] == "1500 W"


def test_another_window_shows_what_was_changed_here(plan):
    power(plan, "toaster").fill("700 W")
    saved(plan)
    other = opened(plan.context.new_page())
    expect(power(other, "toaster")).to_have_value("700 W")
    power(plan, "toaster").fill("750 W")
    saved(plan)
    expect(power(other, "toaster")).to_have_value("750 W")
    power(other, "laptop").fill("80 W")
    expect(power(plan, "laptop")).to_have_value("80 W")
    assert len(kept(plan)) == 1


def test_two_windows_changing_at_once_keep_both(plan):
    """The other window's news does not reach this one before it saves."""
    power(plan, "toaster").fill("700 W")
    saved(plan)
    key = plan.evaluate("Object.keys(localStorage).find((key) => key.startsWith('handbook-plan:'))")
    theirs = kept(plan)[0][1]
    theirs["loads"][4]["power"] = "333 W"
    record = json.dumps({"text": document.to_text(theirs), "name": "theirs", "waiting": []})
    plan.evaluate(f"localStorage.setItem({json.dumps(key)}, {json.dumps(record)})")
    power(plan, "laptop").fill("81 W")
    expect(plan.locator("[data-part=notice]")).to_contain_text("Both are kept")
    saved(plan)
    found = {text["loads"][4]["power"]: text["loads"][3]["power"] for _, text, _ in kept(plan)}
    assert found == {"333 W": "60 W", "700 W": "81 W"}


@pytest.mark.expects_trouble(r"python-worker|worker")
def test_without_python_what_is_typed_waits_for_the_next_visit(page):
    page.route(re.compile("assets/runtime/.*worker"), lambda route: route.abort())
    page.goto(PLAN)
    page.wait_for_selector("#worksheet[data-state=failed]", timeout=30_000)
    power(page, "toaster").fill("1600 W")
    expect(page.locator("[data-live]")).to_contain_text("is kept on this device")
    assert kept(page)[0][2] == [{"do": "set", "path": "loads.toaster.power", "text": "1600 W"}]
    page.unroute_all()
    opened(page)
    expect(power(page, "toaster")).to_have_value("1600 W")
    saved(page)
    assert kept(page)[0][1]["loads"][4]["power"] == "1600 W"


def test_examples_become_plans_of_ones_own_and_go_again(plan):
    plan.locator("#plan-more > summary").click()
    plan.click("[data-action=example]:text-is('Hut of a walking club')")
    saved(plan)
    assert [name for name, *_ in kept(plan)] == ["Hut of a walking club"]
    plan.click("[data-action=delete]")
    assert len(kept(plan)) == 1
    plan.click("[data-action=delete]")
    expect(plan.locator("[data-part=notice]")).to_contain_text("“Hut of a walking club” was removed")
    assert kept(plan) == []


def test_from_the_first_question_to_an_answer_by_keyboard_alone(plan):
    plan.locator("[data-action=new]").focus()
    plan.keyboard.press("Enter")
    expect(plan.locator("#worksheet")).to_contain_text("Nothing is settled yet")
    plan.locator("#plan-add").focus()
    plan.keyboard.type("kettle")
    plan.keyboard.press("Tab")
    plan.keyboard.press("Enter")
    expect(power(plan, "kettle")).to_have_value("2000 W")
    for _ in range(60):
        plan.keyboard.press("Tab")
        if plan.evaluate("document.activeElement.textContent").startswith("Next:"):
            break
    plan.keyboard.press("Enter")
    expect(plan.locator("#worksheet h2")).to_have_text("2 The inverter")
    expect(plan.locator("[data-plan-part=size] .sentence")).to_contain_text("Take")


def test_the_shops_own_list_is_run_through_the_plans_days(plan):
    plan.click("#plan-units [data-action=demo]")
    table = plan.locator("table.shortlist")
    expect(table).to_be_visible()
    expect(plan.locator("[data-part=screened]")).to_contain_text("units:")
    smallest = table.locator("tr.smallest")
    expect(smallest).to_have_count(1)
    expect(smallest).to_contain_text("passes, the smallest that does")
    expect(table.locator("tr.fails").first).to_contain_text(re.compile(r"[a-z]{3}"))
    first = table.locator("tbody tr th").first.text_content()
    plan.select_option("#plan-order", "price")
    expect(table.locator("tbody tr th").first).not_to_have_text(first)
    prices = [float(text) for text in table.locator("tbody tr:not(.fails) td:last-child").all_text_contents() if text]
    assert prices == sorted(prices) and len(prices) > 1
    power(plan, "toaster").fill("900 W")
    expect(plan.locator("[data-part=screened]")).to_contain_text("The plan has changed")
    expect(table).to_have_count(0)
    plan.click("[data-part=screened] button")
    expect(table).to_be_visible()


def catalogues():
    head = "unit,rating_va,standby_w,voltage_dc_v\n"
    return {
        "missing-column": ("unit,rating_va\nA,1000\n", "has no column"),
        "formula": (head + "A,=1+1,10,12\n", "is a formula"),
        "semicolons": ("\ufeffunit;rating_va;standby_w;voltage_dc_v;price\nA;2000;10,5;12;300,5\n", "1 units:"),
        "units-in-cells": (head + "A,2000 VA,10 W,12 V\n", "1 units:"),
        "script": (head + "<img src=x onerror=alert(1)>,2000,10,12\n", "1 units:"),
        "nothing": ("", "is empty"),
    }


@pytest.mark.parametrize("name", catalogues())
def test_a_list_is_read_as_far_as_it_can_be_and_says_the_rest(standing_plan, name, tmp_path):
    plan = standing_plan
    text, words = catalogues()[name]
    emptied(plan, "screened", "units")
    (tmp_path / "units.csv").write_text(text, "utf-8")
    plan.set_input_files("[data-action=catalogue]", tmp_path / "units.csv")
    expect(plan.locator("#plan-units")).to_contain_text(words)
    if name == "script":
        expect(plan.locator("table.shortlist")).to_contain_text("<img src=x onerror=alert(1)>")


@pytest.mark.skipif(not shutil.which("pdftotext"), reason="poppler's pdftotext is not installed")
@pytest.mark.parametrize(("name", "size"), [("recommendation", "A4"), ("hand-over", "A5"), ("baseline", "A5")])
def test_a_paper_is_written_printed_alone_and_saved(standing_plan, name, size, tmp_path):
    plan = standing_plan
    emptied(plan, "printed")
    plan.evaluate("delete document.documentElement.dataset.printing")
    plan.click(f"[data-paper={name}]")
    expect(plan.locator(f"article[data-paper={name}]")).to_contain_text("Caravan with a toaster")
    expect(plan.locator("[data-part=printed]")).to_contain_text(f"laid out for {size}")
    with plan.expect_download() as download:
        plan.click("[data-action=paper-file]")
    assert download.value.suggested_filename == f"caravan-with-a-toaster-{name}.txt"
    assert "Caravan with a toaster" in download.value.path().read_text("utf-8")
    printing = plan.evaluate("(() => { let seen; window.print = () => { seen = document.documentElement.dataset.printing; }; document.querySelector('[data-action=print]').click(); return seen; })()")
    assert printing == size.lower()
    plan.evaluate(f"document.documentElement.dataset.printing = '{size.lower()}'")
    plan.pdf(path=tmp_path / "paper.pdf", prefer_css_page_size=True)
    told = subprocess.run(["pdftotext", "-layout", tmp_path / "paper.pdf", "-"], capture_output=True, text=True, check=True).stdout
    assert "Caravan with a toaster" in told and "Read a catalogue" not in told and "What must run\n" not in told.split("Caravan with a toaster")[0]
    facts = subprocess.run(["pdfinfo", tmp_path / "paper.pdf"], capture_output=True, text=True, check=True).stdout
    assert f"({size})" in facts


def test_the_call_from_the_road_starts_from_this_plan(plan):
    plan.click("[data-form=tonight]")
    plan.wait_for_url(re.compile("calculators/tonight.html"))
    plan.wait_for_selector("[data-state=ready]", timeout=30_000)
    start = road.start(steps.run(document.from_text(FOLDER.joinpath("weekend-caravan.json").read_text("utf-8"))), "tonight")
    for name, text in start.items():
        if text != "unknown":
            expect(plan.locator(f"[id='tonight-{name}']")).to_have_value(text)


SAME_AT_EVERY_STEP = ["#plan-units", "#plan-papers"]


def test_every_step_keeps_the_rules_and_the_width_of_a_phone(quick_page):
    """Everything unfolded, a change told and the tables there."""
    page = quick_page
    page.emulate_media(reduced_motion="reduce")
    opened(page)
    power(page, "toaster").fill("1800 W")
    page.click("#plan-units [data-action=demo]")
    page.locator("table.shortlist").wait_for()
    page.click("[data-paper=recommendation]")
    page.locator("article.paper").wait_for()
    for step in steps.STEPS:
        page.evaluate("(id) => document.querySelector(`#plan-steps button[data-step=${id}]`).click()", step.id)
        expect(page.locator("#worksheet h2")).to_contain_text(step.title)
        page.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true; })")
        page.set_viewport_size({"width": 1280, "height": 6000})
        assert check(page, without=[MENU] if step is steps.STEPS[0] else [MENU, *SAME_AT_EVERY_STEP])["told"] == [], step.id
        page.set_viewport_size({"width": 360, "height": 740})
        assert page.evaluate("document.documentElement.scrollWidth") <= 360, step.id
