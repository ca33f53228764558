"""The printed books, as PDF readers see them."""

import re
import subprocess
import sys
import unicodedata
from collections import Counter
from pathlib import Path

import lxml.html
import pikepdf
import pytest
from printing import library
from printing.book import A4, A5
from printing.pages import menu
from pypdf import PdfReader
from workshop.machine import driven_browser

from calc.exercises import sets
from calc.render import exercises

ROOT = Path(__file__).resolve().parents[2]
MOST_PAGES = {"field-guide-a5": 64}
PAPER = {"a4": (595.3, 841.9), "a5": (419.5, 595.3)}
COLOUR = re.compile(rb"(?<![\d.])([\d.]+) ([\d.]+) ([\d.]+) (?:rg|RG)\b")
SMALLEST = 6.95
DARKEST = 0.35
"""Of what is printed as grey, 0 for black, the lightest that stands out 7:1 on white paper (WCAG 2.2, relative luminance)."""


def entries(items):
    for item in items:
        yield item
        yield from entries(item.children)


def outline(document):
    with document.open_outline() as found:
        return list(entries(found.root))


@pytest.fixture(scope="module")
def numbers(handbook):
    return {page.objgen: number for number, page in enumerate(handbook.pages, 1)}


@pytest.fixture(scope="module")
def texts(shelf) -> list[str]:
    """The words of every page of the handbook, in the order of the file."""
    done = subprocess.run(["pdftotext", "-raw", shelf / "handbook-a4.pdf", "-"], capture_output=True, text=True, check=True)
    return done.stdout.split("\f")[:-1]


def flat(words: str) -> str:
    """Without spaces, and with the letters of a ligature apart."""
    return "".join(unicodedata.normalize("NFKC", words).split())


def test_what_is_printed_is_said(shelf):
    said = (shelf / "said.txt").read_text("utf-8")
    for name in library.BOOKS:
        assert re.search(rf"{name}\.pdf: \d+ pages", said)


def test_every_sheet_has_its_size_and_a_book_its_most_pages(book):
    name = Path(book.filename).stem
    width, height = PAPER[name[-2:]]
    assert {(round(float(page.mediabox[2])), round(float(page.mediabox[3]))) for page in book.pages} <= {
        (round(width) + across, round(height) + down) for across in (-1, 0, 1) for down in (-1, 0, 1)
    }
    assert len(book.pages) <= MOST_PAGES.get(name, 1000)


@pytest.fixture(scope="module")
def chapters(shelf) -> dict[str, str]:
    """The numbered title of every chapter, and the title alone."""
    document = lxml.html.fromstring((shelf / "handbook-a4.html").read_text("utf-8"))
    titles = [" ".join(heading.text_content().split()) for heading in document.cssselect("section.chapter > h2")]
    assert [title.split()[0] for title in titles] == [str(number) for number in range(1, len(menu(ROOT)) + 1)]
    return {title: title.partition(" ")[2] for title in titles}


def test_each_sheet_is_one_page(shelf):
    """A blank form or a card that spills over would show as one more page."""
    for name, address in (("forms-a4", "forms/index.html"), ("forms-a5", "forms/index.html"), ("cards-a5", "reference/cards.html")):
        sheets = lxml.html.fromstring((ROOT / "site" / address).read_text("utf-8")).cssselect(".form-sheet")
        with pikepdf.open(shelf / f"{name}.pdf") as document:
            assert len(document.pages) == len(sheets) > 0, name


def test_the_blanks_of_the_forms_are_there(shelf):
    """Every row that is to be filled in has its words on paper, and a line around its blank."""
    for name in ("forms-a4", "forms-a5"):
        words = flat(subprocess.run(["pdftotext", "-raw", shelf / f"{name}.pdf", "-"], capture_output=True, text=True, check=True).stdout)
        for form in lxml.html.fromstring((ROOT / "site/forms/index.html").read_text("utf-8")).cssselect(".form-sheet"):
            for row in form.cssselect("tbody tr"):
                assert flat(row[0].text_content()) in words, (name, form.get("id"))
            assert "____" in form.text_content() or form.cssselect("tbody td:empty, tbody td")
        with pikepdf.open(shelf / f"{name}.pdf") as document:
            for page in document.pages:
                lines = sum(str(operator) in ("re", "l") for _, operator in pikepdf.parse_content_stream(page))
                assert lines > 20, name


def test_every_heading_of_the_site_is_in_the_outline(handbook, chapters):
    wanted = Counter()
    for _, source in menu(ROOT):
        document = lxml.html.fromstring((ROOT / "site" / source).with_suffix(".html").read_text("utf-8"))
        for heading in document.find(".//article").iter("h1", "h2", "h3", "h4"):
            if heading.text_content().strip() and not any(one.tag == "form" or {"plan-bar", "offline"} & set(one.classes) for one in heading.iterancestors()):
                wanted[flat(heading.text_content())] += 1
    found = Counter(flat(chapters.get(entry.title, entry.title)) for entry in outline(handbook))
    assert dict(wanted - found) == {}


def test_no_heading_stands_alone_at_the_foot(shelf):
    """Below the top of a heading there is room for it and for a line of what it heads."""
    for name, margin, least in (("handbook-a4", A4.bottom, 30), ("field-guide-a5", A5.bottom, 26)):
        with pikepdf.open(shelf / f"{name}.pdf") as document:
            for entry in outline(document):
                assert float(entry.destination[3]) - margin / 25.4 * 72 > least, (name, entry.title)


def test_the_contents_say_the_real_pages(handbook, chapters, numbers, texts):
    """A number in the contents is the page on which the outline, made by the browser, has that chapter."""
    pages = {entry.title: numbers[entry.destination[0].objgen] for entry in outline(handbook) if entry.title in chapters}
    assert pages.keys() == chapters.keys()
    first = min(pages.values())
    contents = flat(" ".join(texts[1 : first - 1]))
    for title, page in pages.items():
        assert f"{flat(title)}{page}" in contents, title
        assert flat(title) in flat(texts[page - 1]), title


def test_a_reference_says_the_page_it_leads_to(shelf, handbook, numbers):
    """Every link inside the book that is printed as a number leads to that page."""
    reader = PdfReader(shelf / "handbook-a4.pdf")
    document = lxml.html.fromstring((shelf / "handbook-a4.html").read_text("utf-8"))
    said = {place.get("href")[1:]: int(place.text) for place in document.cssselect("a.page-of")}
    real = {name: reader.get_destination_page_number(place) + 1 for name, place in reader.named_destinations.items()}
    assert len(said) > 1000
    assert {name: number for name, number in said.items() if real.get(name, real.get(f"/{name}")) != number} == {}


def test_links_are_live(handbook):
    """A press on a line of the contents, a reference or a number leads somewhere in the book."""
    links = [note for page in handbook.pages for note in page.get("/Annots", []) if note.Subtype == "/Link"]
    assert len(links) > 2000
    assert all("/Dest" in link or "/A" in link for link in links)


def test_the_index_names_pages_that_hold_the_word(shelf, texts):
    document = lxml.html.fromstring((shelf / "handbook-a4.html").read_text("utf-8"))
    looked = 0
    for line in document.cssselect(".index p.places"):
        term = line.text.split(" (")[0].split(",")[0].strip()
        for place in line.cssselect("a.page-of")[:4]:
            # A long paragraph may run on to the next page, and a term has a short form too.
            page = int(place.text)
            if flat(term).casefold() in flat(" ".join(texts[page - 1 : page + 1])).casefold():
                looked += 1
    assert looked > 300


def test_words_come_in_the_order_they_are_read(texts):
    """A chapter's answer comes before its sections, and a table's title before its rows."""
    page = next(words for words in texts if "Whatsizeofcable,whatfuse" in flat(words) and "Inshort" in flat(words))
    assert flat(page).index("Inshort") < flat(page).index("Whatsizeofcabledo")


def test_every_letter_is_in_the_file(book):
    fonts = {}
    for page in book.pages:
        for font in page.resources.get("/Font", {}).values():
            fonts[font.objgen] = font
    assert fonts
    for font in fonts.values():
        if font.Subtype == "/Type3":
            continue
        inner = font.DescendantFonts[0] if "/DescendantFonts" in font else font
        assert any(key in inner.FontDescriptor for key in ("/FontFile", "/FontFile2", "/FontFile3")), font.BaseFont


def test_it_says_what_it_is(book):
    assert book.Root.Lang == "en-GB"
    assert book.Root.MarkInfo.Marked
    assert "/StructTreeRoot" in book.Root
    assert book.Root.ViewerPreferences.DisplayDocTitle
    with book.open_metadata() as metadata:
        assert metadata["dc:title"] == str(book.docinfo["/Title"]) != ""
        assert metadata["dc:language"] == {"en-GB"} or metadata["dc:language"] == ["en-GB"]


def test_every_picture_has_words(book):
    """Each figure of the structure tree has an alternative text. Chromium leaves heads and page numbers untagged; they hold nothing else."""
    todo, figures = [book.Root.StructTreeRoot], 0
    while todo:
        element = todo.pop()
        if element.get("/S") == "/Figure":
            figures += 1
            assert str(element.get("/Alt", "")).strip(), "a picture without words"
        kids = element.get("/K", [])
        todo += [kid for kid in (kids if isinstance(kids, pikepdf.Array) else [kids]) if isinstance(kid, pikepdf.Dictionary)]
    if "handbook" in str(book.filename):
        assert figures > 100


def test_nothing_depends_on_colour(book):
    """Every ink is a grey: red, green and blue are alike."""
    for number, page in enumerate(book.pages, 1):
        streams = page.Contents if isinstance(page.Contents, pikepdf.Array) else [page.Contents]
        for red, green, blue in {match for stream in streams for match in COLOUR.findall(stream.read_bytes())}:
            assert float(red) == pytest.approx(float(green), abs=0.02) == pytest.approx(float(blue), abs=0.02), f"page {number}"


def test_words_are_dark_enough(shelf):
    """Of the field guide: at least 7:1 against white, which is a grey of a third and darker."""
    with pikepdf.open(shelf / "field-guide-a5.pdf") as document:
        for number, page in enumerate(document.pages, 1):
            shade, saved = 0.0, []
            for operands, operator in pikepdf.parse_content_stream(page):
                match str(operator):
                    case "q":
                        saved.append(shade)
                    case "Q":
                        shade = saved.pop()
                    case "rg" | "g":
                        shade = float(operands[0])
                    case "Tj" | "TJ":
                        # White is what keeps a name clear of the lines behind it.
                        assert shade <= DARKEST or shade == 1, f"page {number}"


@pytest.mark.parametrize("name", library.BOOKS)
def test_every_word_is_on_its_sheet(shelf, name):
    boxes = subprocess.run(["pdftotext", "-bbox", shelf / f"{name}.pdf", "-"], capture_output=True, text=True, check=True).stdout
    width = height = words = 0
    for page, *box in re.findall(r'<(page|word)(?: width| xMin)="([\d.-]+)" (?:height|yMin)="([\d.-]+)"(?: xMax="([\d.-]+)" yMax="([\d.-]+)")?', boxes):
        if page == "page":
            width, height = map(float, box[:2])
            continue
        left, top, right, bottom = map(float, box)
        assert 0 < left < right < width and 0 < top < bottom < height
        words += 1
    assert words > 500


def test_words_are_large_enough(shelf):
    """Of the field guide, every third page: letters of 7 pt and more."""
    reader = PdfReader(shelf / "field-guide-a5.pdf")
    for number, page in list(enumerate(reader.pages, 1))[::3]:
        faults = []

        def look(words, matrix, place, font, size, faults=faults):
            if not words.strip():
                return
            height = abs(size * place[3] * matrix[3])
            if height < SMALLEST:
                faults.append(f"{height:.1f} pt: {words[:40]!r}")

        page.extract_text(visitor_text=look)
        assert faults == [], f"page {number}"


def test_a_set_of_exercises_is_a_sheet_and_a_key(tmp_path):
    """A seed of any text; the sheet asks, and only the key answers."""
    command = [sys.executable, "-m", "printing", "--browser", driven_browser(), "--into", tmp_path, "--exercises", "--topic", "fuse", "--seed", "Größe 7/é", "--count", "4", "--level", "2"]
    done = subprocess.run(command, cwd=ROOT / "scripts", capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    order = sets.order("Größe 7/é", ["fuse"], 2, 4)
    texts = {}
    for kind in ("sheet", "key"):
        (file,) = tmp_path.glob(f"*-{kind}.pdf")
        texts[kind] = flat(subprocess.run(["pdftotext", "-raw", file, "-"], capture_output=True, text=True, check=True).stdout)
        assert flat(exercises.ordered(order)) in texts[kind]
    for one in sets.make(order):
        assert all(flat(one.item.question.split("?")[0].split("_")[0]) in words for words in texts.values())
    assert "Whatotheranswersgiveaway" in texts["key"] and "Whatotheranswersgiveaway" not in texts["sheet"]
    assert "Name" in texts["sheet"]


@pytest.mark.parametrize(
    "arguments, line",
    [
        (["--exercises", "--topic", "fuses"], '--topic: there is no topic "fuses"'),
        (["--exercises", "--level", "9"], "--level: enter a whole number from 1 to 3"),
        (["no-such-book"], "there is no book no-such-book: choose handbook-a4"),
        (["--exercises", "cards-a5"], "--exercises prints a sheet and its key, no book"),
    ],
)
def test_what_cannot_be_printed_is_said(arguments, line):
    done = subprocess.run([sys.executable, "-m", "printing", *arguments], cwd=ROOT / "scripts", capture_output=True, text=True, timeout=60)
    assert done.returncode == 2
    assert line in done.stderr
