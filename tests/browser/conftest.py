"""Pages that several modules here use: one whose breaches of its policy are counted, one whose Python is the one that runs the tests."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Page

from calc.browser import answer
from tests.conftest import Watched

# In the place of python.js and its worker, with the same manners. Put in before any script of the page: python.js
# still comes, but its own goes unheard. To answer for the file instead would keep the browser from caching any.
STAND_IN = """{
const standIn = (() => {
  const callbacks = [];
  const python = { state: "idle", reason: null, detail: null, facts: null, spent: 0, start, ask, onchange: (each) => callbacks.push(each) };
  function change(values) {
    Object.assign(python, values);
    for (const callback of callbacks) callback(python);
  }
  function start() {
    if (python.state !== "idle") return;
    change({ state: "loading" });
    setTimeout(() => change({ state: "ready", facts: { setback: null } }));
  }
  async function ask(text) {
    start();
    return answerNatively(text);
  }
  return python;
})();
window.Handbook = Object.defineProperty({}, "python", { get: () => standIn, set() {}, enumerable: true });
}"""

# What the pages' scripts wait for before they start Python.
NEVER_IDLE = "window.requestIdleCallback = () => 0;"


WATCH = """
window.violations = [];
document.addEventListener("securitypolicyviolation", (event) => violations.push(`${event.effectiveDirective} ${event.blockedURI}`));
"""


@pytest.fixture(scope="module")
def one_page(lasting: Watched) -> Page:
    """One for all tests of a module: a window of its own for each would take twice the time."""
    page = lasting.context.new_page()
    page.add_init_script(WATCH)
    return page


@pytest.fixture
def watched(lasting: Watched, one_page: Page, request: pytest.FixtureRequest) -> Iterator[Page]:
    """It also fails the test on any error in the console and on any request to another host."""
    with lasting.during(request):
        yield one_page
        # The theme remembers the scheme it showed last.
        one_page.evaluate("localStorage.clear()")
        # What it is still loading is its own trouble, not the next page's.
        one_page.goto("about:blank")


@pytest.fixture
def quick_page(page: Page) -> Iterator[Page]:
    """A page that asks this Python, for what the page's own scripts make of the answers.

    That the page's Python gives the same answers is shown elsewhere; here its start would be most of the time.
    """
    page.expose_function("answerNatively", answer)
    page.add_init_script(STAND_IN)
    return page
