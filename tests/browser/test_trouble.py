"""When the in-page Python cannot start or has to take the slower way, the page says so in words and can still be read."""

import re

import pytest
from playwright.sync_api import expect

from calc.calculators import CALCULATORS
from tests.browser.waiting import until

PAGE = "calculators/standby.html"
CANNOT = "Not live: the answer shown is for the example. Reason:"
SLOWER = "It took the slower way to start:"


def words(page):
    return page.locator("#standby [data-live]")


def assert_still_readable(page):
    """The answer written in when the page was built is there, and so is the next page."""
    expect(page.locator("#standby .sentence")).to_contain_text("Left on")
    page.get_by_role("link", name="What does it take to make my watts?").first.click()
    expect(page.locator("h1")).to_be_visible()


def cut(route):
    response = route.fetch()
    route.fulfill(status=200, body=response.body()[:100_000], content_type="application/octet-stream")


def gone(route):
    route.fulfill(status=404, body="")


def a_page_instead(route):
    route.fulfill(status=200, body="<!doctype html><title>Sign in</title>", content_type="text/html")


@pytest.mark.parametrize("file", ["worker-*.js", "python-*.wasm.gz"])
@pytest.mark.parametrize(
    ("fault", "reason"),
    [
        pytest.param(gone, "the server answered 404", marks=pytest.mark.expects_trouble(r"console: .*404")),
        (a_page_instead, "is something else"),
    ],
    ids=["missing", "a page instead"],
)
def test_what_it_cannot_do_without(page, file, fault, reason):
    page.route(f"**/assets/runtime/{file}", fault)
    page.goto(PAGE)
    expect(words(page)).to_contain_text(CANNOT)
    expect(words(page)).to_contain_text(reason)
    expect(words(page)).to_contain_text(re.compile(file.split("*")[0] + "[0-9a-f]{16}"))
    assert_still_readable(page)


@pytest.mark.parametrize(
    ("fault", "reason"),
    [
        pytest.param(gone, "the server answered 404", marks=pytest.mark.expects_trouble(r"console: .*404")),
        (a_page_instead, "is something else"),
        (cut, "not all there"),
    ],
    ids=["missing", "a page instead", "cut short"],
)
def test_without_the_snapshot_it_answers_the_slower_way(page, fault, reason):
    page.route("**/assets/runtime/python-*.snapshot.gz", fault)
    page.goto(PAGE)
    expect(words(page)).to_contain_text(SLOWER, timeout=30_000)
    expect(words(page)).to_contain_text(reason)
    page.fill("#standby-standby_power", "33 W")
    page.wait_for_url(re.compile("standby_power=33"))
    assert_still_readable(page)


def test_a_machine_cut_short(page):
    page.route("**/assets/runtime/python-*.wasm.gz", cut)
    page.goto(PAGE)
    expect(words(page)).to_contain_text(f"{CANNOT} python-")
    expect(words(page)).to_contain_text("not all there")
    assert_still_readable(page)


@pytest.mark.parametrize(("missing", "reason"), [("WebAssembly", "no WebAssembly"), ("Worker", "no web workers")])
def test_a_browser_that_lacks_something(page, missing, reason):
    # Between the theme's script, whose search has its worker by then, and the page's own, which are deferred.
    page.add_init_script(f"document.addEventListener('readystatechange', () => {{ delete window.{missing}; }}, {{ once: true }});")
    page.goto(PAGE)
    expect(words(page)).to_contain_text(f"{CANNOT} this browser has {reason}")
    assert_still_readable(page)


def test_an_exception_in_python_is_told_and_the_next_question_answered(page):
    page.goto(PAGE)
    page.wait_for_selector("[data-state=ready]", timeout=30_000)
    told = page.evaluate("""Handbook.python.ask('{"calculator": "none"}').catch(({ reason, message }) => [reason, message])""")
    assert told == ["answer", "KeyError: 'none'"]
    page.fill("#standby-standby_power", "33 W")
    page.wait_for_url(re.compile("standby_power=33"))


def test_what_is_typed_while_it_starts_is_answered_once_it_can(page):
    held = []
    page.route("**/assets/runtime/python-*.wasm.gz", lambda route: held.append(route))
    page.goto(PAGE)
    page.fill("#standby-standby_power", "33 W")
    expect(words(page)).to_contain_text("Getting ready")
    expect(page.locator("#standby .sentence")).to_contain_text("Left on")
    # A timing entry would tell it too, but not every time where a file came from the profile's cache.
    until(page, lambda: held)
    held[0].continue_()
    page.wait_for_url(re.compile("standby_power=33"), timeout=30_000)
    assert CALCULATORS["standby"].shown()["standby_power"] != "33 W"
