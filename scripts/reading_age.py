"""Measures how old a reader has to be for each chapter, on the built pages.

The age is the Flesch-Kincaid grade and five, as a grade counts school years from the sixth birthday.
It knows only the length of words and of sentences, and counts a word of the trade as any other. Syllables
are counted where a word may be hyphenated, which misses some: the age comes out up to about a year too low.

    python -m scripts.reading_age SITE

prints one chapter a line and the median last, which is the line that the build shows.
"""

import sys
from html.parser import HTMLParser
from pathlib import Path
from statistics import median

import textstat

FOLDERS = ("understand", "choose", "road", "safety", "cases")
GRADE_TO_AGE = 5

# Prose stands in these; what stands in a form, a table or a drawing is not read as sentences.
BLOCKS = {"p", "li", "dd", "blockquote"}
SKIPPED = {"table", "figure", "form", "details", "section", "svg", "nav", "script", "style", "button"}
VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}


class Prose(HTMLParser):
    """The paragraphs and list items of a page's article, and the class each has."""

    def __init__(self):
        super().__init__()
        self.blocks = []
        self._article = self._skipped = 0
        self._open = []

    def handle_starttag(self, tag, attributes):
        if tag in VOID:
            return
        self._article += tag == "article"
        self._skipped += tag in SKIPPED
        if tag in BLOCKS and self._reads():
            self._open.append([tag, dict(attributes).get("class") or "", ""])

    def handle_endtag(self, tag):
        if tag in VOID:
            return
        if tag in BLOCKS and self._open and self._open[-1][0] == tag and self._reads():
            _, of_class, text = self._open.pop()
            if text.strip():
                self.blocks.append((of_class, " ".join(text.split())))
        self._article -= tag == "article"
        self._skipped -= tag in SKIPPED

    def handle_data(self, data):
        if self._open and self._reads():
            self._open[-1][2] += data

    def _reads(self):
        return self._article and not self._skipped


def blocks(page):
    """What a page says in prose.

    Parameters
    ----------
    page : Path
        A built page.

    Returns
    -------
    list of (str, str)
        The class and the text of each paragraph and list item, in order.
    """
    reader = Prose()
    reader.feed(page.read_text("utf-8"))
    return reader.blocks


def age(texts):
    """The reading age of some texts.

    Parameters
    ----------
    texts : list of str
        Paragraphs; one that does not end like a sentence is taken as one.

    Returns
    -------
    float
        Years.
    """
    ended = (text if text[-1] in ".!?:" else f"{text}." for text in texts)
    return textstat.flesch_kincaid_grade(" ".join(ended)) + GRADE_TO_AGE


def chapters(site):
    """The reading age of every chapter.

    Parameters
    ----------
    site : Path
        The folder of the built site.

    Returns
    -------
    dict of str to float
        Years, by the page's path.
    """
    pages = sorted(page for folder in FOLDERS for page in (site / folder).glob("*.html"))
    return {page.relative_to(site).as_posix(): age([text for _, text in blocks(page)]) for page in pages}


def main(site):
    found = chapters(Path(site))
    if not found:
        return
    for page, years in sorted(found.items(), key=lambda pair: -pair[1]):
        print(f"{years:5.1f}  {page}")
    print(f"Reading age: {median(found.values()):.1f} years in the middle of {len(found)} chapters, at most {max(found.values()):.1f}")


if __name__ == "__main__":
    main(sys.argv[1])
