"""Sheets that are printed one to a page: each fits a page of A5, a form one of A4 too, in letters that can be read; one opened by its link prints alone."""

import re

import pytest

from tests.browser.conftest import NEVER_IDLE

# Room between the margins, in millimetres; what the browser calls a pixel is a ninety-sixth of an inch.
ROOM = {"A5": (123, 188), "A4": (185, 275)}
LINE = 9  # of it for the line with the version and the day
PIXELS = 96 / 25.4
PAGES = {"forms/index.html": ("A5", "A4"), "road/charts.html": ("A5",), "road/pocket.html": ("A5",), "reference/cards.html": ("A5",)}
MEASURE = """() => [...document.querySelectorAll(".form-sheet, .pocket-sheet")].map((sheet) => {
    const points = (kind) => Math.min(...[...sheet.querySelectorAll(kind)].map((each) => parseFloat(getComputedStyle(each).fontSize) * 0.75));
    const wide = [...sheet.querySelectorAll("table, svg")].some((each) => each.getBoundingClientRect().right > sheet.getBoundingClientRect().right + 1);
    return { id: sheet.id || sheet.querySelector("h2").id, width: sheet.clientWidth, height: sheet.getBoundingClientRect().height, wide,
        cells: points("td"), body: points("p:not(.standing)"), least: points("p"), rows: Math.min(...[...sheet.querySelectorAll("td")].map((each) => each.getBoundingClientRect().height)) };
})"""


def measured(page, address, paper):
    wide, high = (millimetres * PIXELS for millimetres in ROOM[paper])
    page.set_viewport_size({"width": round(wide), "height": round(high)})
    page.emulate_media(media="print")
    page.goto(address)
    return page.evaluate(MEASURE)


@pytest.mark.parametrize("address", PAGES)
def test_each_sheet_fits_its_page_in_letters_that_can_be_read(page, site_url, address):
    page.add_init_script(NEVER_IDLE)
    for paper in PAGES[address]:
        wide, high = (millimetres * PIXELS for millimetres in ROOM[paper])
        found = measured(page, site_url + address, paper)
        assert len(found) >= 8
        assert {(sheet["id"], sheet["width"]) for sheet in found if abs(sheet["width"] - wide) > 2} == set(), "measured at another width than it prints at"
        assert {sheet["id"]: round(sheet["height"] / PIXELS) for sheet in found if sheet["height"] > high - LINE * PIXELS or sheet["wide"]} == {}, paper
        assert {sheet["id"]: (sheet["cells"], sheet["body"], sheet["least"]) for sheet in found if min(sheet["cells"], sheet["least"]) < 7 or sheet["body"] < 9} == {}, paper
        if address == "forms/index.html":
            assert {sheet["id"]: sheet["rows"] / PIXELS for sheet in found if sheet["rows"] < 7.9 * PIXELS} == {}, "no room to write"


def test_a_sheet_opened_by_its_link_prints_alone_and_the_page_prints_all(page, site_url):
    page.add_init_script(NEVER_IDLE)
    for format in ("A5", "A4"):
        page.goto(f"{site_url}forms/index.html#form-load-list")
        assert pages(page.pdf(format=format)) == 1
        page.goto("about:blank")
        page.goto(f"{site_url}forms/index.html")
        sheets = page.locator(".form-sheet").count()
        assert sheets + 1 <= pages(page.pdf(format=format)) <= sheets + 2, "the list before them, and perhaps the line of the version behind"


def pages(pdf):
    return len(re.findall(rb"/Type\s*/Page\b", pdf))
