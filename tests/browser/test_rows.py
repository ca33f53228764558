"""A form with a list: adding, removing, errors of one row, the address, back to the example."""

import re

import pytest
from playwright.sync_api import expect

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run

LOAD_LIST = CALCULATORS["load-list"]


@pytest.fixture
def loads(quick_page):
    quick_page.goto("calculators/load-list.html")
    expect(quick_page.locator("[data-state=ready]")).to_be_attached()
    return quick_page


def sentence(page):
    return page.locator("#load-list .sentence")


def test_add_and_remove_a_load(loads):
    page = loads
    shown = LOAD_LIST.shown()
    page.click("[data-action=add-row]")
    assert page.evaluate("() => document.activeElement.name") == "loads.5.name"
    page.keyboard.type("iron")
    page.fill("[name='loads.5.power']", "900 W")
    more = {"name": "iron", "power": "900 W"}
    expect(sentence(page)).to_have_text(run(LOAD_LIST, {**shown, "loads": [*shown["loads"], more]}).answer)
    page.locator("[data-row='0'] summary").click()
    page.locator("[data-row='0'] [data-action=remove-row]").click()
    expect(sentence(page)).to_have_text(run(LOAD_LIST, {**shown, "loads": [*shown["loads"][1:], more]}).answer)


def test_an_error_stands_at_its_row_and_in_the_summary(loads):
    page = loads
    page.fill("[name='loads.2.power']", "9 A")
    expect(page.locator("#load-list-loads\\.2\\.power-error")).to_contain_text("this needs a power", ignore_case=True)
    expect(page.locator(".error-summary li")).to_have_text(re.compile("Load 3, Power: this needs a power"))
    page.locator(".error-summary a").click()
    assert page.evaluate("() => document.activeElement.name") == "loads.2.power"


def test_the_address_holds_all_rows(loads):
    page = loads
    page.locator("[data-row='1'] summary").click()
    page.locator("[data-row='1'] [data-action=remove-row]").click()
    page.click("[data-action=add-row]")
    page.keyboard.type("<b>iron</b>")
    page.fill("[name='loads.5.power']", "950 W")
    page.wait_for_url(re.compile(r"loads\.5\.power=950"))
    told = sentence(page).inner_text()
    address = page.url
    page.goto("about:blank")
    page.goto(address)
    expect(page.locator("[name='loads.5.name']")).to_have_value("<b>iron</b>")
    expect(page.locator("[data-row]")).to_have_count(5)
    expect(sentence(page)).to_have_text(told)


def test_back_to_the_example_restores_the_rows(loads):
    page = loads
    page.locator("[data-row='0'] summary").click()
    page.locator("[data-row='0'] [data-action=remove-row]").click()
    expect(page.locator("[data-row]")).to_have_count(4)
    page.click(".calculator button[type=reset]")
    expect(page.locator("[data-row]")).to_have_count(5)
    expect(sentence(page)).to_have_text(run(LOAD_LIST, LOAD_LIST.shown()).answer)


def test_no_rows_at_all_says_what_to_do(loads):
    page = loads
    for _ in range(5):
        row = page.locator("[data-row]").first
        row.locator("summary").click()
        row.locator("[data-action=remove-row]").click()
    expect(page.locator("[data-slot=error-loads]")).to_contain_text("at least one load")


def test_an_appliance_is_chosen_from_the_table(loads):
    """Its figures stand in for the cells left blank, and what is typed wins."""
    page = loads
    page.click("[data-action=add-row]")
    page.select_option("[data-into='loads.5.name']", "fridge, small household")
    expect(page.locator("[name='loads.5.name']")).to_have_value("fridge, small household")
    shown = LOAD_LIST.shown()
    fridge = {"name": "fridge, small household"}
    expect(sentence(page)).to_have_text(run(LOAD_LIST, {**shown, "loads": [*shown["loads"], fridge]}).answer)
    blanks = page.locator("[data-slot='blanks-loads.5']")
    expect(blanks).to_contain_text("the appliance table (common practice")
    expect(blanks).to_contain_text("power 80\u00a0W (60\u00a0W to 110\u00a0W)")
    page.fill("[name='loads.5.power']", "95 W")
    expect(sentence(page)).to_have_text(run(LOAD_LIST, {**shown, "loads": [*shown["loads"], {**fridge, "power": "95 W"}]}).answer)
    expect(blanks).not_to_contain_text("80\u00a0W")
    page.fill("[name='loads.5.power']", "5 A")
    expect(page.locator("#load-list-loads\\.5\\.power-error")).to_contain_text("this needs a power", ignore_case=True)


def test_the_table_is_chosen_from_by_keyboard(loads):
    page = loads
    page.click("[data-action=add-row]")
    page.keyboard.press("Tab")
    assert page.evaluate("() => document.activeElement.dataset.into") == "loads.5.name"
    assert page.evaluate("() => document.activeElement.getAttribute('aria-label')") == "Name from the list"
    page.keyboard.type("toaster")
    expect(page.locator("[name='loads.5.name']")).to_have_value("toaster")
    page.wait_for_url(re.compile(r"loads\.5\.name=toaster"))


def test_the_list_is_large_enough_for_a_thumb(loads):
    page = loads
    page.set_viewport_size({"width": 360, "height": 740})
    small = page.evaluate("() => [...document.querySelectorAll('select.offers')].filter((each) => each.offsetParent && each.getBoundingClientRect().height < 48).length")
    assert small == 0 and page.evaluate("() => document.documentElement.scrollWidth") <= 360
