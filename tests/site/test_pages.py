"""The built pages: complete without a script, nothing from another host, every link leads somewhere."""

import functools
import re
import tomllib
from html import unescape
from html.parser import HTMLParser
from pathlib import Path

import pytest

from calc import tables
from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.render import html
from calc.units import format_quantity
from tests.calc import published

ROOT = Path(__file__).resolve().parents[2]
SITE = ROOT / "site"
PAGES = sorted(path.relative_to(SITE).as_posix() for path in SITE.rglob("*.html"))

# Elements that are closed by their own tag alone.
VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}


class Reader(HTMLParser):
    """Collects what the tests ask about one page."""

    def __init__(self):
        super().__init__()
        self.ids, self.links, self.loads, self.styled, self.text, self.described = [], [], [], [], [], []
        # Of the links those in the page's own words, not in the menus around them.
        self.told = []
        self._skipping = self._article = 0

    def handle_starttag(self, tag, attributes):
        found = dict(attributes)
        if "id" in found:
            self.ids.append(found["id"])
        if tag == "a" and found.get("href"):
            self.links.append(found["href"])
            if self._article:
                self.told.append(found["href"])
        for name in ("src", "data-worker", "data-wasm", "data-stdlib"):
            if found.get(name):
                self.loads.append(found[name])
        if tag == "link" and found.get("rel") not in ("next", "prev", "canonical"):
            self.loads.append(found["href"])
        if "style" in found:
            self.styled.append(tag)
        self.described += (found.get("aria-describedby") or found.get("aria-labelledby") or "").split()
        if tag in ("script", "style"):
            self._skipping += 1
        self._article += tag == "article"

    def handle_endtag(self, tag):
        if tag in ("script", "style"):
            self._skipping -= 1
        self._article -= tag == "article"

    def handle_data(self, data):
        if not self._skipping:
            self.text.append(data)


@functools.cache
def read(page):
    reader = Reader()
    reader.feed((SITE / page).read_text("utf-8"))
    return reader


def test_there_are_pages():
    assert {"index.html", "cases/camp-kitchen.html", "404.html"} <= set(PAGES)
    assert {f"calculators/{id}.html" for id in CALCULATORS} <= set(PAGES)


@pytest.mark.parametrize("page", PAGES)
def test_nothing_comes_from_another_host(page):
    for address in read(page).loads:
        assert not re.match(r"(?:[a-z]+:)?//", address), address


@pytest.mark.parametrize("page", [page for page in PAGES if page != "404.html"])
def test_links_and_files_exist(page):
    reader = read(page)
    for address in reader.links + reader.loads:
        if re.match(r"[a-z]+:", address):
            continue
        path, _, anchor = address.partition("#")
        target = (SITE / page).parent / path if path else SITE / page
        if target.is_dir():
            target /= "index.html"
        assert target.is_file(), address
        if anchor and target.suffix == ".html":
            assert anchor in read(target.relative_to(SITE)).ids, address


def test_every_page_is_two_steps_from_the_first_by_links_in_the_text():
    """A reader who never opens a menu gets to every answer."""
    steps, waiting = {"index.html": 0}, ["index.html"]
    for page in waiting:
        for address in read(page).told:
            path = address.partition("#")[0]
            if not path.endswith(".html") or re.match(r"[a-z]+:", address):
                continue
            target = (SITE / page).parent.joinpath(path).resolve().relative_to(SITE).as_posix()
            if target not in steps:
                steps[target] = steps[page] + 1
                waiting.append(target)
    assert set(steps) == set(PAGES) - {"404.html"}
    assert max(steps.values()) == 2


@pytest.mark.parametrize("page", PAGES)
def test_ids_are_unique_and_descriptions_point_somewhere(page):
    reader = read(page)
    assert len(reader.ids) == len(set(reader.ids)), [id for id in reader.ids if reader.ids.count(id) > 1]
    assert set(reader.described) <= set(reader.ids)


@pytest.mark.parametrize("page", PAGES)
def test_no_style_attribute_in_our_own_markup(page):
    assert read(page).styled == []


@pytest.mark.parametrize("id", CALCULATORS)
def test_a_calculators_page_is_complete_without_a_script(id):
    """Answer, ranges, working, findings and sources of the example stand in the page as built."""
    calculator = CALCULATORS[id]
    result = run(calculator, calculator.shown())
    content = (SITE / "calculators" / f"{id}.html").read_text("utf-8")
    for piece in (html.stops(result), html.answer(result), html.numbers(result), html.details(result, id)):
        assert str(piece) in content
    text = "".join(read(f"calculators/{id}.html").text)
    assert result.answer in text
    for field in calculator.fields:
        assert field.label in text
    for finding in result.findings:
        assert finding.text in text


def test_every_piece_was_replaced():
    for page in PAGES:
        content = (SITE / page).read_text("utf-8")
        assert "handbook:" not in content and 'class="piece"' not in content, page


def test_the_case_is_told_with_computed_numbers_only():
    """In the case's own prose a number with a unit comes from a calculation, save the name of a battery's class."""
    prose = re.sub(r"<!--.*?-->", "", (ROOT / "docs" / "cases" / "camp-kitchen.md").read_text("utf-8"), flags=re.DOTALL)
    typed = re.findall(r"\d[\d.,]*\s*(?:V|A|W|Ah|Wh|mΩ|mm²|m|h|%|VA|°C)\b", prose)
    assert set(typed) == {"12 V"}


def test_the_cases_numbers_stand_in_its_page():
    text = " ".join("".join(read("cases/camp-kitchen.html").text).split())
    cases = tomllib.loads((ROOT / "docs" / "cases" / "camp-kitchen.toml").read_text("utf-8"))
    assert {case["calculator"] for case in cases.values()} == {"supply-path", "dc-cable", "fuse", "standby", "conversion-loss"}
    for name in ("as-found", "thicker-cable", "second-battery", "cable-they-have", "cable-as-sold", "fuse-as-sold", "left-on", "coffee"):
        answer = run(CALCULATORS[cases[name]["calculator"]], cases[name]["values"]).answer
        assert " ".join(answer.split()) in text, name


def test_every_check_value_stands_on_one_of_the_verification_pages():
    pages = [unescape((SITE / "reference" / f"{name}.html").read_text("utf-8")) for name in ("verification", "verification-battery")]
    checks = published.load()
    assert sum(int(re.search(r"<p>(\d+) checks on this page", page)[1]) for page in pages) == len(checks)
    for title in map(published.title, {row["file"] for row in checks}):
        assert sum(f"<h2>{title}</h2>" in page for page in pages) == 1, title


def test_every_table_stands_in_the_reference_with_every_row():
    text = "".join(path.read_text("utf-8") for path in (SITE / "reference").glob("*.html"))
    for name in tables.names():
        assert str(html.data_table(tables.load(name))) in text, name


def test_a_figure_is_the_same_in_the_page_and_as_drawn():
    result = run(CALCULATORS["standby"], CALCULATORS["standby"].shown())
    drawn = str(html.figures(result, "standby"))
    assert drawn in (SITE / "calculators" / "standby.html").read_text("utf-8")
    for word in ("<title", "<desc", "role=\"img\"", "<table>"):
        assert word in drawn
    assert format_quantity(result.output("charge_per_day").value, "Ah", 2) in drawn
