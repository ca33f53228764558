"""How much travels: a page with all it loads, the search's index, and the whole copy for a device."""

import gzip
import json
import re
from pathlib import Path

import pytest

SITE = Path(__file__).resolve().parents[2] / "site"
PAGES = sorted(path.relative_to(SITE).as_posix() for path in SITE.rglob("*.html"))

PAGE = 120_000
SEARCH_INDEX = 200_000
WHOLE = 11_000_000


def travels(file):
    """What a host that sends the compressed copy sends."""
    copy = file.with_name(f"{file.name}.gz")
    return copy.stat().st_size if copy.exists() else file.stat().st_size


@pytest.mark.parametrize("page", PAGES)
def test_a_page_with_its_styles_and_scripts(page):
    text = (SITE / page).read_text("utf-8")
    folder = SITE if page == "404.html" else (SITE / page).parent
    loads = re.findall(r'<(?:script src|link rel="stylesheet" href)="/?([^"]+)"', text)
    assert len(loads) >= 7
    files = [SITE / page, *((folder / each).resolve() for each in loads)]
    assert sum(map(travels, files)) <= PAGE, {file.name: travels(file) for file in files}


def test_the_search_index():
    assert travels(SITE / "search/search_index.json") <= SEARCH_INDEX


def test_the_whole_copy_for_a_device():
    told = json.loads((SITE / "offline-files.json").read_text("utf-8"))
    total = sum(travels(SITE / name) for name, *_ in told["files"])
    assert total <= WHOLE
    assert abs(told["download"] - total) < 100 * len(told["files"]), "what the panel says is what travels"


def test_compressed_copies_are_those_of_their_files():
    copies = [file for file in SITE.rglob("*.gz") if file.with_suffix("").exists()]
    assert len(copies) >= len(PAGES)
    for copy in copies:
        assert gzip.decompress(copy.read_bytes()) == copy.with_suffix("").read_bytes()


def test_own_styles_and_scripts_are_named_by_their_content():
    for file in [*(SITE / "assets/css").glob("*.css"), *(SITE / "assets/js").glob("*.js")]:
        assert re.fullmatch(r"[a-z-]+\.[0-9a-f]{16}\.(css|js)", file.name), file.name


def test_no_page_waits_for_a_script_of_ours():
    for page in PAGES:
        text = (SITE / page).read_text("utf-8")
        head, body = text.split("</head>")
        assert not re.search(r"<script[^>]+src=", head), page
        own = re.findall(r'<script src="[^"]*assets/js/([a-z-]+)\.[^>]*>', body)
        deferred = re.findall(r'<script src="[^"]*assets/js/([a-z-]+)\.[^>]* defer>', body)
        # This one belongs before the theme's own, at the end of the page.
        assert set(own) - set(deferred) == {"search"}
        assert body.index("assets/js/search") > body.index("</footer>"), page
