"""Every page, in one visit each: under its policy, as wide as its screen, and by the rules of axe-core."""

import re
from pathlib import Path

import pytest

from tests.browser import axe
from tests.browser.axe import MENU, check, check_colours
from tests.browser.conftest import NEVER_IDLE
from tests.browser.waiting import until

SITE = Path(__file__).resolve().parents[2] / "site"
PAGES = sorted(file.relative_to(SITE).as_posix() for file in SITE.rglob("*.html"))
# Axe takes its time with all that is there. The menu is the same on the other pages of a section, and the
# later rows of a table are made like its first: they are taken away before it looks.
WITH_MENU = {min(page for page in PAGES if Path(page).parent == section) for section in {Path(page).parent for page in PAGES}}
AGAIN = "tbody tr:nth-child(n + 12)"
POLICY = re.compile(
    r"default-src 'self'; script-src 'self' 'wasm-unsafe-eval'(?: 'sha256-[A-Za-z0-9+/]{43}=')+; style-src 'self'; "
    r"img-src 'self' data:; worker-src 'self' blob:; connect-src 'self'; object-src 'none'; base-uri 'none'; form-action 'none'"
)
# Formulas of the working do not break, and the data of a drawing is the drawing in numbers: both may be moved.
MOVED = """() => [...document.querySelectorAll(".md-typeset__scrollwrap, .scroll")]
    .filter((each) => each.checkVisibility() && each.scrollWidth > each.clientWidth + 1 && !each.querySelector("math") && !each.closest("[id$=-data]"))
    .map((each) => `${each.scrollWidth} > ${each.clientWidth}: ${each.textContent.trim().slice(0, 60)}`)"""
A5 = 446
"""Pixels between the margins of the smallest paper."""
# High enough for the whole menu: what it would scroll out of sight counts as covered.
DESK = {"width": 1280, "height": 3000}


@pytest.fixture(scope="module")
def one_page(one_page):
    """Python never comes: the pages are complete without it, and nothing changes while they are checked."""
    one_page.emulate_media(reduced_motion="reduce")
    one_page.add_init_script(NEVER_IDLE)
    return one_page


@pytest.mark.parametrize("address", PAGES)
def test_it_keeps_to_its_policy_its_screen_and_the_rules(watched, address):
    page = watched
    page.set_viewport_size(DESK)
    page.goto(address)
    assert_held_to_its_policy(page)
    # What is folded away is read by somebody too.
    page.evaluate("() => document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    assert_as_wide_as_its_screen(page)
    page.set_viewport_size(DESK)
    again = AGAIN if address in WITH_MENU else f"{AGAIN}, {MENU}"
    page.evaluate("(again) => document.querySelectorAll(again).forEach((each) => each.remove())", again)
    assert_no_rule_is_broken(page)


def assert_held_to_its_policy(page):
    assert POLICY.fullmatch(page.locator("meta[http-equiv=Content-Security-Policy]").get_attribute("content"))
    before = page.evaluate("() => [...document.head.children].slice(0, 2).map((each) => each.outerHTML.slice(0, 22))")
    assert before == ['<meta charset="utf-8">', '<meta http-equiv="Cont'], "what comes before a policy is not held to it"
    # The index of the theme's search is the last to come.
    until(page, "performance.getEntriesByType('resource').some(({ name }) => name.endsWith('search_index.json'))")
    assert page.evaluate("violations") == []


def assert_as_wide_as_its_screen(page):
    for width in (1280, 768, 360):
        page.set_viewport_size({"width": width, "height": 740})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert page.evaluate(MOVED) == [], width
    # What is wider than its paper would be printed smaller, or cut.
    page.emulate_media(media="print")
    page.set_viewport_size({"width": A5, "height": 740})
    assert page.evaluate("document.documentElement.scrollWidth") <= A5
    page.emulate_media(media="screen")


def assert_no_rule_is_broken(page):
    assert page.evaluate("document.body.dataset.mdColorScheme") == "default"
    light = check(page)
    # The dark page differs by its colours alone.
    page.evaluate("document.getElementById('__palette_1').click()")
    assert page.evaluate("document.body.dataset.mdColorScheme") == "slate"
    dark = check_colours(page)
    assert {"light": light["told"], "dark": dark["told"]} == {"light": [], "dark": []}
    assert {"document-title", "region"} <= set(light["checked"])


# Were a checker broken, everything above would pass.


def spoil(page, html):
    page.goto("index.html")
    page.evaluate("(html) => document.querySelector('h1').insertAdjacentHTML('afterend', html)", html)


def test_a_table_that_is_too_wide_is_noticed(watched):
    watched.set_viewport_size({"width": 360, "height": 740})
    spoil(watched, f"<div class=scroll><table><tr><td>{'wide' * 60}</td></tr></table></div>")
    assert len(watched.evaluate(MOVED)) == 1


def test_a_page_that_is_too_wide_is_noticed(watched):
    watched.goto("index.html")
    watched.evaluate("document.querySelector('h1').style.width = '1400px'")
    with pytest.raises(AssertionError):
        assert_as_wide_as_its_screen(watched)


def test_a_broken_rule_is_noticed(watched):
    spoil(watched, "<img src='assets/icon.svg'>")
    assert "image-alt" in " ".join(check(watched)["told"])


def test_of_every_look_a_text_is_judged(watched, monkeypatch):
    monkeypatch.setattr(axe, "judged", set())
    watched.set_viewport_size(DESK)
    watched.goto("index.html")
    watched.evaluate("() => document.querySelectorAll('*').forEach((each) => each.style.setProperty('color', '#888', 'important'))")
    looks = axe.new_looks(watched, [])
    told = check_colours(watched)["told"]
    assert len(looks) > 15
    # The one left is the field of the search: it is empty.
    assert len(told) == len(looks) - 1


@pytest.mark.parametrize("grey, light, dark", [("#555", False, True), ("#666", True, True), ("#aaa", True, False), ("#ddd", True, False)])
def test_what_is_too_faint_is_noticed(watched, grey, light, dark):
    """On white below 7:1, little or far; and on the dark ground, where another grey is too faint."""
    spoil(watched, "<p id='faint'>Grey</p>")
    watched.evaluate("(grey) => { document.getElementById('faint').style.color = grey; }", grey)
    told_in_light = " ".join(check_colours(watched)["told"])
    watched.evaluate("document.getElementById('__palette_1').click()")
    told_in_dark = " ".join(check_colours(watched)["told"])
    assert ("#faint" in told_in_light, "#faint" in told_in_dark) == (light, dark)
