"""The forms as a reader uses them, in a real browser: typing, errors, the address, no script at all."""

import re
import tomllib
from pathlib import Path

import pytest
from playwright.sync_api import expect

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.calculators.form import Field, settled
from calc.errors import FieldProblem, InputProblems
from tests.browser.conftest import NEVER_IDLE
from tests.browser.waiting import until

ROOT = Path(__file__).resolve().parents[2]
READY = "[data-state=ready]"


@pytest.fixture
def live(quick_page):
    """Opens a page of the site and waits until it answers."""

    def opened(address):
        quick_page.goto(address)
        expect(quick_page.locator(READY).first).to_be_attached()
        return quick_page

    return opened


@pytest.fixture(scope="module")
def standing(lasting):
    """Pages that already answer, by their calculator: for tests that differ only in what is typed."""
    pages = {}

    def opened(id):
        if id not in pages:
            pages[id] = lasting.context.new_page()
            pages[id].goto(f"calculators/{id}.html")
            pages[id].wait_for_selector(READY, timeout=30_000)
        return pages[id]

    return opened


@pytest.fixture
def at_example(standing, lasting, request):
    """Gives a calculator's page, its form back at the example."""

    def opened(id):
        page = standing(id)
        page.click(".calculator button[type=reset]")
        calculator = CALCULATORS[id]
        expect(sentence(page, id)).to_have_text(run(calculator, calculator.shown()).answer)
        until(page, "!location.hash")
        return page

    with lasting.during(request):
        yield opened


@pytest.fixture
def supply_path(at_example):
    return at_example("supply-path")


def sentence(page, id="supply-path"):
    return page.locator(f"#{id} .sentence")


def another_value(calculator):
    """The first quantity of a form, and a text that is a little more, or less, than the example's."""
    for field in sorted((one for one in calculator.fields if isinstance(one, Field)), key=lambda one: one.more):
        if not re.fullmatch(r"[\d.]+\s*[^\d,:;-]*", field.shown):
            continue
        number, unit = re.match(r"([\d.]+)(.*)", field.shown).groups()
        for factor in (0.9, 1.1):
            text = f"{float(number) * factor:.4g}{unit}"
            try:
                return field.name, text, run(calculator, {**calculator.shown(), field.name: text})
            except (InputProblems, FieldProblem):
                continue
    raise AssertionError(f"{calculator.id} has no quantity to change")


@pytest.mark.parametrize("id", CALCULATORS)
def test_typing_recomputes_without_a_button(live, id):
    page = live(f"calculators/{id}.html")
    name, text, expected = another_value(CALCULATORS[id])
    before = page.locator(f"#{id}").inner_html()
    if not page.locator(f"[id='{id}-{name}']").is_visible():
        page.locator(f"#{id}-more > summary").click()
    page.fill(f"[id='{id}-{name}']", text)
    expect(page.locator(f"#{id} [data-live]")).to_contain_text("Live")
    expect(sentence(page, id)).to_have_text(expected.answer)
    page.wait_for_url(re.compile(rf"#{id}\?(.*&)?{name}="))
    assert page.locator(f"#{id}").inner_html() != before
    assert page.locator(f"#{id} svg.figure").count() == len(expected.figures) >= 1


def test_the_status_says_live(page):
    page.goto("calculators/standby.html")
    expect(page.locator("[data-live]")).to_contain_text("Live")


def test_the_answer_stands_before_any_script(browser, base_url):
    context = browser.new_context(base_url=base_url, java_script_enabled=False)
    page = context.new_page()
    page.goto("calculators/supply-path.html")
    calculator = CALCULATORS["supply-path"]
    expect(sentence(page)).to_have_text(run(calculator, calculator.shown()).answer)
    expect(page.locator("svg.figure")).to_be_visible()
    context.close()


def test_i_do_not_know_widens_the_range(supply_path):
    page = supply_path
    page.locator("[name='battery_resistance.unknown']").check()
    calculator = CALCULATORS["supply-path"]
    expect(sentence(page)).to_have_text(run(calculator, {**calculator.shown(), "battery_resistance": "unknown"}).answer)
    expect(page.locator(".assumed")).to_contain_text("Battery resistance: 9\u00a0mΩ (4 to 20\u00a0mΩ)")
    page.fill("[name=battery_resistance]", "5")
    expect(page.locator("[name='battery_resistance.unknown']")).not_to_be_checked()
    expect(sentence(page)).to_have_text(run(calculator, {**calculator.shown(), "battery_resistance": "5"}).answer)


BAD = [
    ("power_ac", "12 A", 'this needs a power; "12 A" is a current'),
    ("power_ac", "lots", "has no number to start with"),
    ("power_ac", "-5 W", "must be above 0 W"),
    ("power_ac", "0", "must be above 0 W"),
    ("power_ac", "nan", "is not a quantity"),
    ("power_ac", "inf W", "is not a quantity"),
    ("power_ac", "1e9 W", "must be above 0 W and up to"),
    ("power_ac", "1,200", "can be read as 1200 or as 1.200"),
    ("battery_resistance", "0", "must be between 0.05 mΩ"),
    ("cut_out", "13 V", "must lie below the battery's 12.6 V at rest"),
    ("area", "6 mm", "is a width"),
    ("area", "30", "enter 25 mm² or 35 mm²"),
    ("area", "<img src=x onerror=alert(1)>", "has no number to start with"),
]


@pytest.mark.parametrize("name, text, words", BAD)
def test_bad_input_is_named_at_the_field_and_stays(supply_path, name, text, words):
    page = supply_path
    page.fill("#supply-path-joint_resistance", "2.25")
    field = page.locator(f"#supply-path-{name}")
    field.fill(text)
    error = page.locator(f"#supply-path-{name}-error")
    expect(error).to_contain_text(words, ignore_case=True)
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#supply-path .error-summary li")).to_have_count(1)
    assert field.input_value() == text
    assert page.locator("#supply-path-joint_resistance").input_value() == "2.25"
    expect(page.locator("#supply-path .result")).to_be_hidden()
    field.fill("")
    expect(field).not_to_have_attribute("aria-invalid", "true")
    expect(page.locator("#supply-path .result")).to_be_visible()


@pytest.mark.parametrize("text, plain", [("1200,5 W", "1200.5 W"), (" 1 200 W ", "1200 W"), ("1'200", "1200 W"), ("1.2 kW", "1200 W"), ("1200w", "1200 W")])
def test_numbers_as_people_write_them(supply_path, text, plain):
    page = supply_path
    page.fill("#supply-path-power_ac", text)
    calculator = CALCULATORS["supply-path"]
    expect(sentence(page)).to_have_text(run(calculator, {**calculator.shown(), "power_ac": plain}).answer)


def test_no_operating_point_is_a_stop_before_the_answer(supply_path):
    page = supply_path
    page.fill("#supply-path-battery_resistance", "60")
    stop = page.locator("#supply-path .finding.stop")
    expect(stop).to_contain_text("no operating point")
    expect(sentence(page)).to_contain_text("It collapses")
    above = page.evaluate("() => document.querySelector('.finding.stop').getBoundingClientRect().top < document.querySelector('.sentence').getBoundingClientRect().top")
    assert above


def test_the_address_holds_the_inputs(live, page):
    live("calculators/supply-path.html")
    page.fill("#supply-path-power_ac", "1700 W")
    page.locator("[name='joint_resistance.unknown']").check()
    page.wait_for_url(re.compile(r"#supply-path\?.*joint_resistance=unknown"))
    told = sentence(page).inner_text()
    address = page.url
    page.goto("about:blank")
    page.goto(address)
    expect(page.locator("#supply-path-power_ac")).to_have_value("1700 W")
    expect(page.locator("[name='joint_resistance.unknown']")).to_be_checked()
    expect(sentence(page)).to_have_text(told)


def test_back_to_the_example_empties_the_address(at_example):
    page = at_example("standby")
    page.fill("#standby-standby_power", "33 W")
    page.wait_for_url(re.compile("standby_power=33"))
    page.click(".calculator button[type=reset]")
    calculator = CALCULATORS["standby"]
    expect(sentence(page, "standby")).to_have_text(run(calculator, calculator.shown()).answer)
    until(page, "!location.hash")


def test_a_script_in_the_address_is_shown_as_text(live):
    page = live("calculators/standby.html#standby?standby_power=%3Cscript%3Ewindow.hurt%3D1%3C%2Fscript%3E&no_such_field=%3Cb%3E")
    expect(page.locator("#standby-standby_power")).to_have_value("<script>window.hurt=1</script>")
    expect(page.locator("#standby-standby_power-error")).to_contain_text("<script>window.hurt=1</script>")
    assert page.evaluate("() => window.hurt") is None


def test_a_broken_address_is_harmless(live):
    page = live("calculators/standby.html#standby?%E0%A4%A&&&&=?&standby?&&dc-cable?area=35")
    expect(sentence(page, "standby")).to_contain_text("Left on")


def test_several_forms_on_one_page_keep_apart(live):
    page = live("cases/camp-kitchen.html")
    before = sentence(page, "camp-kitchen-cable-as-sold").inner_text()
    page.fill("#camp-kitchen-as-found-power_ac", "600 W")
    page.wait_for_url(re.compile(r"#camp-kitchen-as-found\?power_ac=600"))
    expect(sentence(page, "camp-kitchen-as-found")).to_contain_text("It holds")
    assert sentence(page, "camp-kitchen-cable-as-sold").inner_text() == before
    page.fill("#camp-kitchen-cable-as-sold-length_one_way", "3 m")
    page.wait_for_url(re.compile("as-found.*&&camp-kitchen-cable-as-sold"))
    expect(sentence(page, "camp-kitchen-cable-as-sold")).not_to_have_text(before)
    told = sentence(page, "camp-kitchen-cable-as-sold").inner_text()
    page.reload()
    expect(sentence(page, "camp-kitchen-cable-as-sold")).to_have_text(told)
    expect(page.locator("#camp-kitchen-as-found-power_ac")).to_have_value("600 W")


def test_an_overruled_field_says_so(supply_path):
    page = supply_path
    page.locator("#supply-path-more > summary").click()
    page.fill("#supply-path-cable_resistance", "2")
    expect(page.locator(".field:has(#supply-path-area)")).to_have_attribute("data-unused", "")
    page.fill("#supply-path-area", "50 mm²")
    expect(page.locator("#supply-path-cable_resistance-error, #supply-path-area-error").filter(has_text="say the same thing")).to_have_count(1)


def test_an_open_fold_stays_open_while_typing(at_example):
    page = at_example("standby")
    page.locator("#standby-working > summary").click()
    page.fill("#standby-standby_power", "17 W")
    expect(sentence(page, "standby")).to_contain_text("Left on")
    expect(page.locator("#standby-working math").first).to_be_visible()
    expect(page.locator("#standby-working")).to_contain_text("17\u00a0W")


def test_fast_typing_ends_with_the_last_value(live):
    page = live("calculators/conversion-loss.html")
    page.locator("#conversion-loss-power_ac").fill("")
    page.locator("#conversion-loss-power_ac").press_sequentially("1111", delay=1)
    expect(sentence(page, "conversion-loss")).to_contain_text("1111\u00a0W of AC")


def test_keyboard_alone_is_enough(live):
    """From the first field: tab to the next, open the fold, type, and read the answer."""
    page = live("calculators/standby.html")
    page.focus("#standby-standby_power")
    page.keyboard.press("Control+A")
    page.keyboard.type("9 W")
    expect(sentence(page, "standby")).to_contain_text(run(CALCULATORS["standby"], {**CALCULATORS["standby"].shown(), "standby_power": "9 W"}).answer)
    seen = []
    for _ in range(40):
        page.keyboard.press("Tab")
        seen.append(page.evaluate("() => document.activeElement.id || document.activeElement.name || document.activeElement.parentElement.id"))
        if seen[-1] == "standby-more":
            break
    assert "standby-hours_on" in seen and "standby-battery_capacity" in seen and seen[-1] == "standby-more"
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("() => document.activeElement.id") == "standby-standby_current"
    outline = page.evaluate("() => getComputedStyle(document.activeElement).outlineStyle")
    assert outline == "solid"


def test_the_summary_leads_to_the_field(at_example):
    page = at_example("standby")
    page.fill("#standby-standby_power", "?")
    page.locator(".error-summary a").click()
    assert page.evaluate("() => document.activeElement.id") == "standby-standby_power"


@pytest.fixture
def still_page(page):
    """For what is as the build wrote it: Python never comes."""
    page.add_init_script(NEVER_IDLE)
    return page


def test_targets_are_large_enough_for_a_thumb(still_page):
    page = still_page
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto("calculators/dc-cable.html")
    small = page.evaluate(
        """() => [...document.querySelectorAll('.calculator :is(input[type=text], select, button, summary, .unknown)')]
            .filter((each) => each.offsetParent && each.getBoundingClientRect().height < 48).map((each) => each.outerHTML.slice(0, 80))"""
    )
    assert small == []


def test_paper_shows_the_answer_and_the_working_without_the_form(still_page):
    page = still_page
    page.goto("calculators/standby.html")
    page.emulate_media(media="print")
    expect(page.locator(".sentence")).to_be_visible()
    expect(page.locator("#standby-standby_power")).to_be_hidden()
    expect(page.locator("#standby-working math").first).to_be_visible()


def test_paper_says_of_which_version_and_day_it_is_and_where_it_comes_from(fresh_page):
    # A clock is set for all pages of a profile.
    page = fresh_page
    page.add_init_script(NEVER_IDLE)
    page.clock.set_fixed_time("2026-02-03T12:00:00")
    page.goto("calculators/standby.html#standby?standby_power=33+W")
    line = page.locator(".printed")
    expect(line).to_be_hidden()
    page.emulate_media(media="print")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    expect(line).to_be_visible()
    version = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["version"]
    expect(line).to_have_text(f"Inverter field handbook {version}, printed on 3 February 2026. {page.url}")
    assert page.url.endswith("#standby?standby_power=33+W")


HOME, AWAY = "230-v-50-hz", "120-v-60-hz"


def in_region(id, region, **typed):
    """What a form says that follows a region."""
    calculator = CALCULATORS[id]
    shown = {one.name: settled(one, {"region": region}).shown for one in calculator.fields}
    return run(calculator, {**shown, "region": region, **typed}).answer


def test_the_region_is_chosen_once_for_all_forms(live, page):
    live("calculators/dc-cable.html")
    page.select_option("#dc-cable-region", AWAY)
    expect(sentence(page, "dc-cable")).to_have_text(in_region("dc-cable", AWAY))
    live("calculators/supply-path.html")
    expect(sentence(page)).to_have_text(in_region("supply-path", AWAY))
    expect(page.locator("#supply-path-region")).to_have_value(AWAY)
    expect(page.locator("#supply-path-area")).to_have_value("2 AWG")
    expect(page.locator("#supply-path .assumed")).to_contain_text("Cable cross-section: 2 AWG")
    page.click(".calculator button[type=reset]")
    expect(sentence(page)).to_have_text(in_region("supply-path", AWAY))
    expect(page.locator("#supply-path-region")).to_have_value(AWAY)


def test_what_a_reader_typed_survives_the_region(live):
    page = live("calculators/fault-current.html")
    page.locator("#fault-current-voltage_ac").fill("")
    page.locator("#fault-current-voltage_ac").press_sequentially("230 V")  # what stood there before
    page.select_option("#fault-current-region", AWAY)
    expect(page.locator("#fault-current-breaker_rating")).to_have_value("15 A")
    expect(sentence(page, "fault-current")).to_have_text(in_region("fault-current", AWAY, voltage_ac="230 V"))
    expect(page.locator("#fault-current-voltage_ac")).to_have_value("230 V")
    page.select_option("#fault-current-region", HOME)
    expect(page.locator("#fault-current-breaker_rating")).to_have_value("10 A")
    expect(sentence(page, "fault-current")).to_have_text(in_region("fault-current", HOME))


def test_an_address_carries_its_region_to_a_device_with_another(live, page):
    live("calculators/fault-current.html")
    page.select_option("#fault-current-region", AWAY)
    expect(sentence(page, "fault-current")).to_have_text(in_region("fault-current", AWAY))
    page.goto("about:blank")
    live(f"calculators/fault-current.html#fault-current?rating=3+kVA&region={HOME}")
    expect(sentence(page, "fault-current")).to_have_text(in_region("fault-current", HOME, rating="3 kVA"))
    page.goto("about:blank")
    live("calculators/fault-current.html")
    expect(sentence(page, "fault-current")).to_have_text(in_region("fault-current", AWAY))  # somebody else's address changes nothing on the device


def test_a_case_told_on_a_page_keeps_its_region(live, page):
    live("calculators/dc-cable.html")
    page.select_option("#dc-cable-region", AWAY)
    expect(sentence(page, "dc-cable")).to_have_text(in_region("dc-cable", AWAY))
    live("cases/camp-kitchen.html")
    page.wait_for_timeout(300)
    expect(page.locator("#camp-kitchen-as-found-region")).to_have_value(HOME)


def test_a_broken_memory_of_choices_is_harmless(live, page):
    page.goto("calculators/fault-current.html")
    for broken in ("{", "5", "null", '{"region": "elsewhere"}', '{"region": ["x"], "__proto__": 1}'):
        page.evaluate("(text) => localStorage.setItem('handbook.kept', text)", broken)
        page.reload()
        page.wait_for_selector(READY, timeout=30_000)
        page.fill("#fault-current-rating", "3 kVA")
        expect(sentence(page, "fault-current")).to_have_text(in_region("fault-current", HOME, rating="3 kVA"))
        page.click(".calculator button[type=reset]")
        expect(sentence(page, "fault-current")).to_have_text(in_region("fault-current", HOME))
