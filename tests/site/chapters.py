"""Which pages are chapters, and how the tests read them."""

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
DOCS = ROOT / "docs"
SITE = ROOT / "site"

FOLDERS = ("understand", "choose", "road", "safety")
CHAPTERS = sorted(path.relative_to(DOCS).as_posix() for folder in FOLDERS for path in (DOCS / folder).rglob("*.md"))
FORMS = sorted(path.relative_to(DOCS).as_posix() for path in (DOCS / "calculators").glob("*.md"))
CASES = sorted(path.relative_to(DOCS).as_posix() for path in (DOCS / "cases").glob("*.md"))

COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)
SENTENCE_END = re.compile(r"(?<=[.!?])[\"”’)]*\s+(?=[\"“‘(]?[A-Z0-9])")


def source(page):
    return (DOCS / page).read_text("utf-8")


def built(page):
    return SITE / re.sub(r"\.md$", ".html", page)


def sentences(text):
    return [part for part in SENTENCE_END.split(text.strip()) if part]


def sections(page):
    """The text below each heading of the second level, in order."""
    parts = re.split(r"^## +(.+?) *(?:\{.*\})? *$", source(page), flags=re.MULTILINE)
    return list(zip(parts[1::2], parts[2::2], strict=True))


def list_items(text):
    return re.findall(r"^[-*] +(?=\S)", text, re.MULTILINE)
