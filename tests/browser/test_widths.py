"""On a phone every table is read without moving it sideways, and no page is wider than its screen."""

from pathlib import Path

import pytest

SITE = Path(__file__).resolve().parents[2] / "site"
PAGES = sorted(file.relative_to(SITE).as_posix() for file in SITE.rglob("*.html"))

# Formulas of the working do not break, and the data of a drawing is the drawing in numbers: both may be moved.
WIDE = """() => [...document.querySelectorAll(".md-typeset__scrollwrap, .scroll")]
    .filter((each) => each.checkVisibility() && each.scrollWidth > each.clientWidth + 1 && !each.querySelector("math") && !each.closest("[id$=-data]"))
    .map((each) => `${each.scrollWidth} > ${each.clientWidth}: ${each.textContent.trim().slice(0, 60)}`)"""


@pytest.fixture(scope="module")
def phone(browser, site_url):
    context = browser.new_context(base_url=site_url, viewport={"width": 360, "height": 740}, reduced_motion="reduce")
    # The pages are complete without Python, and nothing moves while they are measured.
    context.route("**/assets/runtime/*", lambda route: None)
    yield context.new_page()
    context.close()


@pytest.mark.parametrize("address", PAGES)
def test_nothing_is_wider_than_a_phone(phone, address):
    phone.goto(address)
    phone.evaluate("() => document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    assert phone.evaluate("document.documentElement.scrollWidth") <= 360
    assert phone.evaluate(WIDE) == []


def test_a_table_that_is_too_wide_is_noticed(phone):
    phone.goto("index.html")
    phone.evaluate("() => document.querySelector('h1').insertAdjacentHTML('afterend', '<div class=scroll><table><tr><td>' + 'wide'.repeat(60) + '</td></tr></table></div>')")
    assert len(phone.evaluate(WIDE)) == 1
