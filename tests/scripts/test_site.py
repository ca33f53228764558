"""The built site in a browser, as far as the in-page Python goes."""

from workshop.places import HERE

from tests.browser.waiting import until


def test_every_page_that_asks_for_python_gets_it(page):
    """The pages lie at several depths, so the addresses they give differ."""
    pages = [file for file in sorted(HERE.site.rglob("*.html")) if 'id="python-runtime"' in file.read_text("utf-8")]
    by_depth = {len(file.parts): file.relative_to(HERE.site) for file in pages}
    assert by_depth
    for each in by_depth.values():
        page.goto(each.as_posix())
        page.evaluate("Handbook.python.start()")
        until(page, "['ready', 'failed'].includes(Handbook.python.state)")
        assert page.evaluate("Handbook.python.detail") is None
        assert page.evaluate("Handbook.python.state") == "ready"
