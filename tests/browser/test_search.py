"""The search starts when a reader turns to it, and only then."""

from playwright.sync_api import expect

FIRST = ".md-search-result__link"


def started(page):
    return any("/workers/search." in worker.url for worker in page.workers)


def test_a_page_that_is_only_read_starts_no_search(page):
    page.goto("calculators/standby.html")
    page.wait_for_selector("[data-state=ready]", timeout=30_000)
    assert not started(page)


def test_it_starts_when_its_field_is_turned_to(page):
    page.goto("index.html")
    page.keyboard.press("/")
    page.keyboard.type("fuse")
    expect(page.locator(FIRST).first).to_be_attached()
    assert started(page)


def test_an_address_with_a_question_is_answered(page):
    page.goto("index.html?q=fuse")
    expect(page.locator(FIRST).first).to_be_attached()


def test_on_a_phone_it_starts_with_its_button(page):
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto("index.html")
    page.locator(".md-header__button[for=__search]").click()
    page.keyboard.type("fuse")
    expect(page.locator(FIRST).first).to_be_attached()
