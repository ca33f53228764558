"""Which books there are and what stands in each."""

import base64
from collections.abc import Callable
from pathlib import Path

from .book import A4, A4_SHEET, A5, A5_SHEET, Book, bound, sheets
from .failure import PrintFailure
from .finish import finish
from .pages import Page, read_pages
from .press import press, printed

FONTS = {
    "Source Sans 3": {
        ("400", "normal"): "source-sans/WOFF2/TTF/SourceSans3-Regular.ttf.woff2",
        ("400", "italic"): "source-sans/WOFF2/TTF/SourceSans3-It.ttf.woff2",
        ("600 700", "normal"): "source-sans/WOFF2/TTF/SourceSans3-Semibold.ttf.woff2",
    },
    "STIX Two Math": {("400", "normal"): "@fontsource/stix-two-math/files/stix-two-math-latin-400-normal.woff2"},
}
"""The same letters on every machine, so that the same pages come out."""


def _handbook(pages: list[Page], version: str, style: str) -> Book:
    return bound("handbook-a4", "Inverter field handbook", A4, pages, version, style, sections=True, index=True)


CARDS_FOR_THE_ROAD = ("supply-path", "tonight", "measure")
"""What a traveller asks and no chart or table of the guide answers; all of them are in the book of cards."""


def _field_guide(pages: list[Page], version: str, style: str) -> Book:
    chosen = [page for page in pages if page.part in ("On the road", "Safety") or page.address == "reference/cards.html"]
    others = ".card" + "".join(f":not([id$=card-{id}])" for id in CARDS_FOR_THE_ROAD)
    return bound(
        "field-guide-a5", "Field guide", A5, chosen, version, style, sections=False, index=False, run_on=True,
        # What leads to forms on a screen; a tree's list has the same as its picture, and all cards are in a book of their own.
        without_sections=("Try it", "Remember", "Where to go"), without_blocks=("figure.tree", ".card-list", "[id$=sheet-waves]", others),
    )  # fmt: skip


def _sheets_of(name, title, format, chosen) -> Callable[[list[Page], str, str], Book]:
    def make(pages: list[Page], version: str, style: str) -> Book:
        blocks = [block for page in pages if page.address.startswith(chosen) for block in page.article.cssselect(".form-sheet")]
        if not blocks:
            raise PrintFailure(f"{name}: no page of {chosen} has a sheet")
        return sheets(name, title, format, blocks, style)

    return make


BOOKS: dict[str, Callable[[list[Page], str, str], Book]] = {
    "handbook-a4": _handbook,
    "field-guide-a5": _field_guide,
    "forms-a4": _sheets_of("forms-a4", "Forms", A4_SHEET, "forms/"),
    "forms-a5": _sheets_of("forms-a5", "Forms", A5_SHEET, "forms/"),
    "cards-a5": _sheets_of("cards-a5", "Cards", A5_SHEET, "reference/cards"),
    "training-a5": _sheets_of("training-a5", "Training", A5_SHEET, "train/"),
}


def make(name: str, root: Path, folder: Path, version: str, program: str | None) -> tuple[Path, int]:
    """Print one book; returns its file and how many pages it has."""
    return finished(BOOKS[name](read_pages(root, root / "site"), version, style(root)), folder, version, program)


def finished(book: Book, folder: Path, version: str, program: str | None) -> tuple[Path, int]:
    """Print what is put together; returns the file and how many pages it has."""
    with press(program) as browser:
        path = printed(browser, book, folder)
    return path, finish(path, book, version)


def style(root: Path) -> str:
    """The letters and the style sheets of a book."""
    faces = []
    for family, files in FONTS.items():
        for (weight, slope), file in files.items():
            path = root / "node_modules" / file
            if not path.exists():
                raise PrintFailure(f"node_modules/{file} is missing: run ./scripts/build and then this again")
            data = base64.b64encode(path.read_bytes()).decode()
            faces.append(f"@font-face {{ font-family: '{family}'; font-weight: {weight}; font-style: {slope}; src: url(data:font/woff2;base64,{data}); }}")
    css = root / "docs/assets/css/handbook.css"
    return "\n".join([*faces, css.read_text("utf-8"), Path(__file__).with_name("book.css").read_text("utf-8")])
