"""What the browser leaves out of a PDF: its metadata as XMP, its language, and how a reader opens it."""

from collections.abc import Iterable, Iterator
from pathlib import Path

import pikepdf

from .book import Book, words_of
from .failure import PrintFailure


def finish(path: Path, book: Book, version: str) -> int:
    """Complete a printed file; returns how many pages it has."""
    with pikepdf.open(path, allow_overwriting_input=True) as document:
        with document.open_metadata(set_pikepdf_as_editor=False) as metadata:
            metadata["dc:title"] = book.title
            metadata["dc:language"] = ["en-GB"]
            metadata["dc:description"] = "Estimates with stated ranges; not an installation instruction."
            metadata["pdf:Producer"] = f"Inverter field handbook {version}"
        _name_outline(document, book)
        document.Root.Lang = pikepdf.String("en-GB")
        document.Root.ViewerPreferences = pikepdf.Dictionary(DisplayDocTitle=True)
        document.Root.PageMode = pikepdf.Name.UseOutlines if book.numbers else pikepdf.Name.UseNone
        document.save(path, object_stream_mode=pikepdf.ObjectStreamMode.generate)
        return len(document.pages)


def _name_outline(document: pikepdf.Pdf, book: Book) -> None:
    """Give every entry of the outline the words of its heading: the browser says twice what begins a page."""
    headings = [words_of(one) for one in book.document.iter("h1", "h2", "h3", "h4", "h5", "h6")]
    with document.open_outline() as outline:
        entries = list(_in_order(outline.root))
        if len(entries) != len(headings):
            raise PrintFailure(f"{book.name}: the outline has {len(entries)} entries for {len(headings)} headings")
        for entry, words in zip(entries, headings, strict=True):
            if not entry.title.startswith(words.split()[0]):
                raise PrintFailure(f'{book.name}: the outline has "{entry.title}" in the place of "{words}"')
            entry.title = words


def _in_order(entries: Iterable[pikepdf.OutlineItem]) -> Iterator[pikepdf.OutlineItem]:
    for entry in entries:
        yield entry
        yield from _in_order(entry.children)
