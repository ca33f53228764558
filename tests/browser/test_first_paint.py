"""A page is drawn, with its answer, before any script has arrived."""

from playwright.sync_api import expect

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from tests.browser.waiting import until

PAINTED = "() => performance.getEntriesByName('first-contentful-paint').length"


def test_the_answer_is_drawn_while_every_script_is_still_on_its_way(page):
    held, released = [], []
    page.route("**/*.js", lambda route: route.continue_() if released else held.append(route))
    page.goto("calculators/standby.html", wait_until="commit")
    calculator = CALCULATORS["standby"]
    expect(page.locator(".sentence")).to_have_text(run(calculator, calculator.shown()).answer)
    expect(page.locator(".sentence")).to_be_visible()
    until(page, PAINTED)
    assert held and page.evaluate("document.readyState") == "loading"
    released.append(True)
    for route in held:
        route.continue_()
    page.wait_for_selector("[data-state=ready]", timeout=30_000)
