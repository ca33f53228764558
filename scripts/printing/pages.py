"""The pages of the built site as trees: each article, in the order of the menu, made ready for paper."""

import copy
import re
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from posixpath import dirname, join, normpath

import lxml.html
import yaml

from .failure import PrintFailure

DROPPED = (
    "script", "form", "button", "template", ".live", ".offline", ".offline-news", ".actions", ".headerlink", ".drawing details",
    "input", "select", "textarea", "#trainer", ".plan-bar", ".steps", ".turns", ".notice:empty", ".error-summary", "#python-runtime", "[hidden]", "[data-screen-only]",
)  # fmt: skip
"""What only works on a screen. A curve's points would fill pages; the curve itself stays."""

ID_REFERENCES = ("for", "aria-labelledby", "aria-describedby", "headers", "aria-controls")
HEADINGS = ("h1", "h2", "h3", "h4", "h5")
LOCAL_REFERENCE = re.compile(r"url\(#([^)]+)\)")
SCHEME = re.compile(r"[a-z][a-z0-9+.-]*:")


@dataclass
class Page:
    """One page of the site: where it stands in the menu, its address below the site, and its article."""

    part: str
    address: str
    article: lxml.html.HtmlElement

    @cached_property
    def key(self) -> str:
        """A name that starts every id of this page, so that pages can stand in one document."""
        return self.address.removesuffix(".html").replace("/", "-")

    @property
    def title(self) -> str:
        return self.article.find(".//h1").text_content().strip()


def menu(root: Path) -> list[tuple[str, str]]:
    """Part and source file of every page, in the order of the menu."""
    found: list[tuple[str, str]] = []

    def walk(entry, part):
        if isinstance(entry, str):
            found.append((part, entry))
        elif isinstance(entry, list):
            for one in entry:
                walk(one, part)
        else:
            for title, below in entry.items():
                walk(below, part or (title if isinstance(below, list) else ""))

    text = (root / "mkdocs.yml").read_text("utf-8")
    for entry in yaml.safe_load(text)["nav"]:
        walk(entry, "")
    return found


def read_pages(root: Path, site: Path) -> list[Page]:
    """Every page of the menu, with only what paper can show."""
    pages = []
    for part, source in menu(root):
        address = source.removesuffix(".md") + ".html"
        path = site / address
        if not path.exists():
            raise PrintFailure(f"{address} is not in {site.name}/: build the site and run this again")
        document = lxml.html.fromstring(path.read_text("utf-8"))
        article = document.find(".//article")
        if article is None:
            raise PrintFailure(f"{address} has no article")
        pages.append(Page(part, address, for_paper(article)))
    return pages


def for_paper(article: lxml.html.HtmlElement) -> lxml.html.HtmlElement:
    """Take out what only works on a screen, and open what is folded."""
    article.tail = None
    for selector in DROPPED:
        for element in article.cssselect(selector):
            element.drop_tree()
    for fold in article.iter("details"):
        fold.tag = "div"
        fold.set("class", f"{fold.get('class', '')} fold".strip())
    for title in article.iter("summary"):
        title.tag = "p"
        title.set("class", "fold-title")
    return article


def joined(page: Page, addresses: dict[str, str]) -> lxml.html.HtmlElement:
    """The article of a page with ids and links as they must be in one document.

    Parameters
    ----------
    page : Page
    addresses : dict
        Address to key of every page that is in the document. Links to others lose their link and keep their words.

    Returns
    -------
    HtmlElement
        A copy: the same page may stand in several books.
    """
    article = copy.deepcopy(page.article)
    article.tag = "section"
    for element in article.iter():
        if not isinstance(element.tag, str):
            continue
        if own := element.get("id"):
            element.set("id", f"{page.key}--{own}")
        for name in ID_REFERENCES:
            if value := element.get(name):
                element.set(name, " ".join(f"{page.key}--{one}" for one in value.split()))
        for name, value in element.attrib.items():
            if "url(#" in value:
                element.set(name, LOCAL_REFERENCE.sub(rf"url(#{page.key}--\1)", value))
        if element.tag in HEADINGS:
            element.tag = f"h{int(element.tag[1]) + 1}"
    for link in list(article.iter("a")):
        if href := link.get("href"):
            _relinked(link, href, page, addresses)
    article.set("id", page.key)
    return article


def _relinked(link, href, page, addresses):
    if SCHEME.match(href):
        return
    path, _, fragment = href.partition("#")
    address = normpath(join(dirname(page.address), path.partition("?")[0])) if path else page.address
    if address not in addresses:
        del link.attrib["href"]
        return
    # What follows the sign "#" may be the inputs of a form, which is no place on its page.
    place = f"{addresses[address]}--{fragment}" if fragment and "=" not in fragment else addresses[address]
    link.set("href", f"#{place}")
