"""The frame of the pages: the policy names exactly the scripts that stand in the page, and the build stops where it cannot."""

import base64
import hashlib
import re
from html.parser import HTMLParser
from pathlib import Path
from types import SimpleNamespace

import pytest
import shell_hook
from mkdocs.exceptions import PluginError

SITE = Path(__file__).resolve().parents[2] / "site"
PAGES = sorted(SITE.rglob("*.html"))


class Scripts(HTMLParser):
    """The texts of the scripts that would run."""

    def __init__(self):
        super().__init__()
        self.texts, self._inside = [], False

    def handle_starttag(self, tag, attributes):
        self._inside = tag == "script" and not {"src", "type"} & dict(attributes).keys()
        if self._inside:
            self.texts.append("")

    def handle_endtag(self, tag):
        self._inside = False

    def handle_data(self, data):
        if self._inside:
            self.texts[-1] += data


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(SITE).as_posix())
def test_the_policy_allows_the_page_s_own_scripts_and_no_others(page):
    text = page.read_text("utf-8")
    scripts = Scripts()
    scripts.feed(text)
    wanted = {base64.b64encode(hashlib.sha256(each.encode()).digest()).decode() for each in scripts.texts}
    assert 3 <= len(wanted) <= 4
    assert set(re.findall(r"'sha256-([^']+)'", text)) == wanted
    assert text.count("Content-Security-Policy") == 1
    for loose in ("'unsafe-inline'", "'unsafe-eval'", "https:", "*"):
        assert loose not in re.search(r'Content-Security-Policy" content="([^"]+)"', text)[1]


def files(*names):
    return [SimpleNamespace(src_uri=name, dest_uri=name, content_bytes=name.encode()) for name in names]


def config(*scripts):
    return SimpleNamespace(extra_css=["assets/css/a.css"], extra_javascript=list(scripts), extra={})


def test_names_change_with_the_content_alone():
    names = []
    for content in (b"one", b"two", b"one"):
        found = files("assets/css/a.css", shell_hook.SEARCH, "assets/icon.svg", "index.md")
        found[0].content_bytes = content
        settings = config(SimpleNamespace(path=shell_hook.SEARCH, defer=True))
        shell_hook.on_files(found, settings)
        assert settings.extra_css == [found[0].dest_uri]
        assert settings.extra_javascript[0].path == settings.extra["search_script"] == found[1].dest_uri
        assert [each.dest_uri for each in found[2:]] == ["assets/icon.svg", "index.md"]
        names.append(found[0].dest_uri)
    assert names[0] == names[2] != names[1]
    assert re.fullmatch(r"assets/css/a\.[0-9a-f]{16}\.css", names[0])


@pytest.mark.parametrize("script", ["assets/js/a.js", SimpleNamespace(path="assets/js/a.js", defer=False)])
def test_a_script_that_pages_would_wait_for_ends_the_build(script):
    with pytest.raises(PluginError, match="must be deferred"):
        shell_hook.on_files(files(shell_hook.SEARCH, "assets/js/a.js"), config(script))


PAGE = '<head><meta charset="utf-8"></head><div data-md-component="search" role="dialog"></div><article></article><script src="../assets/javascripts/bundle.1.min.js"></script><script src="../assets/js/forms.1.js" defer></script>'


@pytest.mark.parametrize("part", ['<meta charset="utf-8">', ' role="dialog"', "</article>", "bundle.", "forms.1.js"])
def test_a_theme_that_looks_different_ends_the_build_and_names_the_page(part):
    scripts = [SimpleNamespace(path="assets/js/forms.1.js")]
    settings = SimpleNamespace(site_name="Little", extra={"search_script": "assets/js/search.js", "version": "0.1.0"}, extra_javascript=scripts)
    page = SimpleNamespace(file=SimpleNamespace(src_uri="road/index.md"))
    finished = shell_hook.on_post_page(PAGE, page, settings)
    assert finished.count("Content-Security-Policy") == 1
    assert "forms.1.js" not in finished, "a page without a form"
    form = '<form data-calculator="one"></form>'
    assert "forms.1.js" in shell_hook.on_post_page(PAGE.replace("<article>", f"<article>{form}"), page, settings)
    with pytest.raises(PluginError, match=r"^road/index\.md: .*read what changed$"):
        shell_hook.on_post_page(PAGE.replace(part, ""), page, settings)
