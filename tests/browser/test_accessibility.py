"""The search's answers against the rules of axe-core, targets for a thumb, and what is scrolled with the keyboard."""

import pytest

from tests.browser.axe import check
from tests.browser.conftest import NEVER_IDLE
from tests.browser.waiting import until


@pytest.fixture(scope="module")
def checked_page(browser, site_url):
    """One page for all."""
    context = browser.new_context(base_url=site_url, reduced_motion="reduce")
    # The theme remembers the scheme it showed last.
    context.add_init_script("localStorage.clear()")
    # Python never comes: the pages are complete without it, and nothing changes while they are checked.
    context.add_init_script(NEVER_IDLE)
    yield context.new_page()
    context.close()


def show(page, address, scheme):
    page.emulate_media(color_scheme=scheme)
    page.goto(address)
    assert page.evaluate("document.body.dataset.mdColorScheme") == {"light": "default", "dark": "slate"}[scheme]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_search_results_break_no_rule(checked_page, scheme):
    checked_page.set_viewport_size({"width": 1280, "height": 800})
    show(checked_page, "index.html", scheme)
    checked_page.get_by_role("textbox", name="Search").press_sequentially("cable fuse")
    checked_page.locator(".md-search-result__link").first.wait_for()
    assert check(checked_page)["told"] == []


# Links inside a sentence are exempt everywhere; a thumb cannot be given more than the line.
SMALL = """() => [...document.querySelectorAll("button, summary, select, input:not([type=checkbox], [type=radio]), label[for^=__], nav a, .md-footer__link")]
    .filter((each) => each.checkVisibility({ opacityProperty: true, visibilityProperty: true }) && getComputedStyle(each).pointerEvents !== "none"
        && !each.matches("[class$=overlay], .md-sidebar--secondary .md-nav__title"))
    .map((each) => [each.getBoundingClientRect(), each])
    .filter(([{ width, height, right, left }]) => width && height && right > 0 && left < innerWidth && (height < 48 || width < 48))
    .map(([{ width, height }, each]) => `${Math.round(width)} x ${Math.round(height)} ${each.outerHTML.slice(0, 90)}`)"""


@pytest.mark.parametrize("address", ["index.html", "calculators/supply-path.html", "offline.html"])
def test_targets_are_large_enough_for_a_thumb(checked_page, address):
    page = checked_page
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(address)
    assert page.evaluate(SMALL) == []
    page.locator("header label[for=__drawer]").click()
    page.wait_for_timeout(400)
    assert page.evaluate(SMALL) == []
    page.goto(address)
    page.locator(".md-header__button[for=__search]").click()
    page.keyboard.type("fuse")
    page.wait_for_timeout(400)
    assert page.evaluate(SMALL) == []
    page.set_viewport_size({"width": 1280, "height": 800})
    page.goto(address)
    assert page.evaluate(SMALL) == []


def test_what_is_too_wide_can_be_scrolled_with_the_keyboard_and_what_is_not_is_no_stop(checked_page):
    """Tables fit a phone; long formulas of the working do not."""
    page = checked_page
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto("calculators/tonight.html")
    page.evaluate("() => document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    focusable = "() => [...document.querySelectorAll('.md-typeset__scrollwrap, .scroll')].filter((each) => each.tabIndex === 0).length"
    wide = "() => [...document.querySelectorAll('.md-typeset__scrollwrap, .scroll')].filter((each) => each.scrollWidth > each.clientWidth).length"
    until(page, f"({focusable})() > 0 && ({focusable})() === ({wide})()")
    narrow = page.evaluate(focusable)
    page.set_viewport_size({"width": 1280, "height": 740})
    until(page, f"({focusable})() < {narrow} && ({focusable})() === ({wide})()")
