"""A browser without a window that prints a book, and what it is asked before: whether all of it fits."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pikepdf
from playwright.sync_api import Browser, sync_playwright

from .book import Book
from .failure import PrintFailure

OPTIONS = ("--no-sandbox", "--disable-background-networking")
MOST_PRINTINGS = 5
PIXELS_PER_MILLIMETRE = 96 / 25.4

# A block that is wider than its sheet is cut without a word, so it is measured on the page before it is printed.
# A table or picture that would fit on one sheet is kept whole; only what is longer is let break, between rows.
MEASURE = """tall => {
  const name = element => {
    const chapter = element.closest("section[id]");
    const near = element.closest("[id]");
    return `${chapter ? chapter.id : "front matter"}: ${element.tagName.toLowerCase()} ${near ? "#" + near.id : ""} "${element.textContent.trim().slice(0, 40)}"`;
  };
  const wrong = [];
  const right = document.documentElement.clientWidth;
  for (const element of document.body.querySelectorAll("*")) {
    if (element.closest("svg") && element.tagName !== "svg") continue;
    if (element.closest("math") && element.tagName !== "math") continue;
    const box = element.getBoundingClientRect();
    if (box.width && (box.right > right + 1.5 || box.left < -1.5)) wrong.push(`${name(element)} is ${Math.round(box.right - right)} px too wide`);
    else if (/^(TD|TH)$/.test(element.tagName) && element.scrollWidth > element.clientWidth + 1.5) wrong.push(`${name(element)} does not fit its cell`);
  }
  for (const block of document.querySelectorAll("table, figure, .form-sheet, .pocket-sheet, .finding, .admonition, blockquote")) {
    const height = block.getBoundingClientRect().height;
    if (height <= tall - 2) block.dataset.whole = "";
    else if (block.matches(".form-sheet, .pocket-sheet, figure:not(.tree)")) wrong.push(`${name(block)} is ${Math.round(height - tall)} px too tall for its sheet`);
  }
  return wrong;
}"""


@contextmanager
def press(program: str | None) -> Iterator[Browser]:
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=program, args=list(OPTIONS))
        try:
            yield browser
        finally:
            browser.close()


def printed(browser: Browser, book: Book, folder: Path) -> Path:
    """Print a book until its page numbers are those of the pages; returns the file.

    Raises
    ------
    PrintFailure
        If a block does not fit its sheet, or the numbers do not settle.
    """
    source, target = folder / f"{book.name}.html", folder / f"{book.name}.pdf"
    width, height = (round(side * PIXELS_PER_MILLIMETRE) for side in (book.format.text_width, book.format.text_height))
    for printing in range(MOST_PRINTINGS):
        source.write_text(book.text(), "utf-8")
        page = browser.new_page(viewport={"width": width, "height": height})
        try:
            page.emulate_media(media="print")
            page.goto(source.as_uri())
            if wrong := page.evaluate(MEASURE, height):
                raise PrintFailure("\n".join(f"{book.name}: {one}" for one in wrong))
            # The first printing of a book only tells where everything is; tags and outline cost half of its time.
            last = printing > 0 or not book.numbers
            # The sheet's size is in the style too; rules for wide and narrow paper go by this one.
            page.pdf(
                path=target, width=f"{book.format.width}mm", height=f"{book.format.height}mm",
                prefer_css_page_size=True, print_background=True, tagged=last, outline=last,
            )  # fmt: skip
        finally:
            page.close()
        if not book.numbered(places(target)) and last:
            return target
    raise PrintFailure(f"{book.name}: the page numbers did not settle in {MOST_PRINTINGS} printings")


def places(path: Path) -> dict[str, int]:
    """The page that each place a link leads to stands on, counted from 1."""
    with pikepdf.open(path) as document:
        numbers = {page.objgen: number for number, page in enumerate(document.pages, 1)}
        found = {}
        if "/Dests" in document.Root:
            for name, place in document.Root.Dests.items():
                found[str(name)[1:]] = numbers[place[0].objgen]
        if "/Names" in document.Root and "/Dests" in document.Root.Names:
            for name, place in pikepdf.NameTree(document.Root.Names.Dests).items():
                found[str(name)] = numbers[place[0].objgen]
        return found
