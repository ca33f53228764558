"""One book: chapters in order, numbered, with contents, lists, an index of terms, and the places of its page numbers."""

import re
from collections import Counter, defaultdict
from dataclasses import dataclass
from datetime import date

from lxml import html
from lxml.html import HtmlElement, builder

from .pages import Page, joined

UNKNOWN_PAGE = "000"
"""Stands for a page number until the first printing has told it; as wide as most of them are."""
WORDS = "reference-words"
"""The key of the page whose terms the index lists."""
MOST_PLACES = 8
OFTEN = 5
"""A section that so many chapters have, such as "Try it", is not in the contents."""
READ = ("p", "li", "dd", "td", "figcaption", "caption", *(f"h{level}" for level in range(2, 7)))
SMALL_WORDS = 2


@dataclass(frozen=True)
class Format:
    """A sheet of paper and what goes around the text, in millimetres: `inner` is where it is bound."""

    name: str
    width: float
    height: float
    top: float
    bottom: float
    inner: float
    outer: float
    text_size: float  # of body text, in points

    @property
    def text_width(self) -> float:
        return self.width - self.inner - self.outer

    @property
    def text_height(self) -> float:
        return self.height - self.top - self.bottom


A4 = Format("A4", 210, 297, 20, 20, 24, 18, 10)
A5 = Format("A5", 148, 210, 11, 11, 15, 8, 9)
# Loose sheets have no head, and are as the site's own style sheet prints them.
A4_SHEET = Format("A4", 210, 297, 11, 11, 16, 9, 10)
A5_SHEET = Format("A5", 148, 210, 11, 11, 16, 9, 9)


@dataclass
class Book:
    """What is printed into one file. `document` is complete but for page numbers."""

    name: str
    title: str
    format: Format
    document: HtmlElement
    numbers: bool = False  # whether it says the pages of places, which only a first printing tells

    def numbered(self, pages: dict[str, int]) -> bool:
        """Write page numbers in; True if any of them changed."""
        changed = False
        for line in self.document.cssselect("p.places"):
            changed |= _places(line, pages)
        for place in self.document.cssselect("a.page-of"):
            number = str(pages[place.get("href")[1:]])
            changed |= place.text != number
            place.text = number
        return changed

    def text(self) -> str:
        return "<!doctype html>\n" + html.tostring(self.document, encoding="unicode")


def bound(name: str, title: str, format: Format, pages: list[Page], version: str, style: str, *, sections: bool, index: bool, run_on: bool = False, without_sections: tuple[str, ...] = (), without_blocks: tuple[str, ...] = ()) -> Book:
    """Put pages together into a book with a cover, contents, lists and, where wanted, an index.

    Parameters
    ----------
    sections : bool
        Whether the contents name the sections of chapters too.
    index : bool
        Whether there are lists of tables and figures and an index.
    run_on : bool
        Whether only parts, not chapters, begin on a fresh page, under a head that names the part.
    without_sections, without_blocks : tuple of str
        What is left out: sections by their headings, other blocks by selectors.
    """
    addresses = {page.address: page.key for page in pages}
    chapters, heads, contents, tables, figures = [], [], [], [], []
    headings = Counter(words_of(one) for page in pages for one in page.article.iter("h2"))
    part = None
    for number, page in enumerate(pages, 1):
        chapter = joined(page, addresses)
        begins = not run_on or page.part != part
        if begins:
            sheet = f"c{number}"
        chapter.set("class", f"md-typeset chapter {'' if begins else 'run-on '}{sheet}")
        _leave_out(chapter, without_sections, without_blocks)
        if page.part != part and page.part:
            heading = builder.H1(page.part, id=f"part-{number}")
            heading.set("class", "part")
            chapter.insert(0, heading)
            contents.append(("part", f"part-{number}", page.part))
        part = page.part
        title_of_page = chapter.find(".//h2")
        title_of_page.set("id", title_of_page.get("id") or f"{page.key}--title")
        if begins:
            heads.append((sheet, page.part if run_on else words_of(title_of_page)))
        contents.append(("chapter", title_of_page.get("id"), f"{number}  {title_of_page.text_content().strip()}"))
        if sections:
            contents += [("section", one.get("id"), words_of(one)) for one in chapter.iter("h3") if one.get("id") and headings[words_of(one)] < OFTEN]
        tables += _captioned(chapter, number)
        figures += _figured(chapter, number)
        _referred(chapter, page.key)
        title_of_page.insert(0, _span("number", f"{number}", f"  {title_of_page.text or ''}"))
        title_of_page.text = None
        chapters.append(chapter)

    front = [_cover(title, version), _list("Contents", contents)]
    back = []
    if index:
        front += [_list("Tables", [("line", *one) for one in tables]), _list("Figures", [("line", *one) for one in figures])]
        back = [_index(chapters)]
        heads.append(("back", "Index"))
    body = builder.BODY(*front, *chapters, *back)
    return Book(name, title, format, _document(title, format, body, f"{style}\n{_sheets(format, heads, title)}"), numbers=True)


def sheets(name: str, title: str, format: Format, blocks: list[HtmlElement], style: str) -> Book:
    """A book of loose sheets, one block each, without contents."""
    body = builder.BODY(*(builder.DIV(block, **{"class": "md-typeset"}) for block in blocks))
    return Book(name, title, format, _document(title, format, body, f"{style}\n{_sheets(format, [], title)}"))


def _document(title: str, format: Format, body: HtmlElement, style: str) -> HtmlElement:
    # The site's style sheet asks for its light scheme by these.
    body.set("data-md-color-scheme", "default")
    body.set("data-md-color-primary", "custom")
    body.set("class", format.name.lower())
    return builder.HTML(builder.HEAD(builder.META(charset="utf-8"), builder.TITLE(title), builder.STYLE(style)), body, lang="en-GB")


def _sheets(format: Format, heads: list[tuple[str, str]], title: str) -> str:
    """The sheet's size and margins, and for each chapter a head that names it."""
    edges = f"margin: {format.top}mm {format.outer}mm {format.bottom}mm {format.inner}mm"
    mirrored = f"margin: {format.top}mm {format.inner}mm {format.bottom}mm {format.outer}mm"
    count = 'content: counter(page) " of " counter(pages)'
    small = "font: 7.5pt 'Source Sans 3'"
    rules = [
        f":root {{ font-size: {format.text_size / 0.85:.3f}pt; --text-height: {format.text_height}mm; }}",
        f"@page {{ size: {format.width}mm {format.height}mm; {small}; }}",
        f"@page :right {{ {edges}; @bottom-right {{ {count}; {small}; }} }}",
        f"@page :left {{ {mirrored}; @bottom-left {{ {count}; {small}; }} @bottom-right {{ content: none; }} }}",
        "@page cover { @bottom-right { content: none; } @bottom-left { content: none; } }",
    ]
    for name, words in heads:
        rules.append(
            f".{name} {{ page: {name}; }} @page {name}:right {{ @top-right {{ content: {_quoted(words)}; {small}; }} }} "
            f"@page {name}:left {{ @top-left {{ content: {_quoted(words)}; {small}; }} @top-right {{ content: {_quoted(title)}; {small}; }} }}"
        )
    return "\n".join(rules)


def _quoted(words: str) -> str:
    return '"' + words.replace("\\", r"\\").replace('"', r"\"") + '"'


def _span(name: str, words: str, tail: str = "") -> HtmlElement:
    span = builder.SPAN(words)
    span.set("class", name)
    span.tail = tail
    return span


def _cover(title: str, version: str) -> HtmlElement:
    day = date.today()
    cover = builder.SECTION(
        builder.P("Inverter field handbook", **{"class": "series"}),
        builder.P(title, **{"class": "title"}),
        builder.P(f"Version {version}, printed on {day.day} {day:%B %Y}", **{"class": "edition"}),
        builder.P("Estimates with stated ranges; not an installation instruction. Local law and a licensed person decide.", **{"class": "standing-line"}),
    )
    cover.set("class", "cover")
    return cover


def _place(id: str) -> HtmlElement:
    place = builder.A(UNKNOWN_PAGE, href=f"#{id}")
    place.set("class", "page-of")
    return place


def _list(title: str, lines: list[tuple[str, str, str]]) -> HtmlElement:
    """A list of places with their pages."""
    section = builder.SECTION(builder.H1(title, id=f"list-{title.lower()}"))
    section.set("class", "md-typeset contents")
    for kind, id, words in lines:
        line = builder.P(builder.A(words, href=f"#{id}"), _place(id))
        line.set("class", kind)
        section.append(line)
    return section


def _leave_out(chapter: HtmlElement, sections: tuple[str, ...], blocks: tuple[str, ...]) -> None:
    for block in [one for selector in blocks for one in chapter.cssselect(selector)]:
        block.drop_tree()
    for heading in [one for one in chapter.iter("h3") if words_of(one) in sections]:
        for one in heading.itersiblings():
            if one.tag == "h3":
                break
            one.drop_tree()
        heading.drop_tree()


def _captioned(chapter: HtmlElement, number: int) -> list[tuple[str, str]]:
    """Number the tables of a chapter; a table without a title of its own takes that of its section."""
    found, titles = [], Counter()
    heading = ""
    for element in chapter.iter("h2", "h3", "h4", "h5", "p", "table"):
        if element.tag == "p" and element.get("class") != "fold-title":
            continue
        if element.tag != "table":
            heading = words_of(element)
            continue
        if any("form-sheet" in (one.get("class") or "") for one in element.iterancestors()):
            continue
        caption = element.find("caption")
        if caption is None:
            caption = builder.CAPTION(heading)
            element.insert(0, caption)
        title = words_of(caption)
        titles[title] += 1
        if titles[title] > 1:
            title = f"{title} ({titles[title]})"
            caption.append(_span("again", f" ({titles[words_of(caption)]})"))
        name = f"Table {number}.{len(found) + 1}"
        caption.insert(0, _span("number", name, f"  {caption.text or ''}"))
        caption.text = None
        element.set("id", element.get("id") or f"table-{number}-{len(found) + 1}")
        found.append((element.get("id"), f"{name}  {title}"))
    return found


def _figured(chapter: HtmlElement, number: int) -> list[tuple[str, str]]:
    found = []
    for figure in chapter.iter("figure"):
        caption = figure.find("figcaption")
        if caption is None:
            continue
        # The caption explains, in sentences; the picture's own title is shorter.
        title = words_of(figure.find(".//title")) if figure.find(".//title") is not None else words_of(caption)
        name = f"Figure {number}.{len(found) + 1}"
        caption.insert(0, _span("number", name, f"  {caption.text or ''}"))
        caption.text = None
        # The drawing in it is the picture that has words for who cannot see it; a picture around a picture would have none.
        figure.set("role", "group")
        figure.set("id", figure.get("id") or f"figure-{number}-{len(found) + 1}")
        found.append((figure.get("id"), f"{name}  {title}"))
    return found


def _referred(chapter: HtmlElement, key: str) -> None:
    """Give every link to another chapter the page it leads to; a heading stays as the outline has it."""
    for link in list(chapter.iter("a")):
        href = link.get("href", "")
        inside_heading = next(link.iterancestors("h2", "h3", "h4", "h5", "h6"), None) is not None
        if href.startswith("#") and href[1:].partition("--")[0] != key and not inside_heading:
            reference = builder.SPAN("\u00a0(p.\u00a0", _place(href[1:]))
            reference[-1].tail = ")"
            reference.set("class", "reference")
            link.addnext(reference)
            reference.tail, link.tail = link.tail, None


def words_of(element: HtmlElement) -> str:
    return " ".join(element.text_content().split())


# ---- the index ----


def _index(chapters: list[HtmlElement]) -> HtmlElement:
    """Every term of the words' page with the places where chapters speak of it most; where it is explained, in bold."""
    words = next(chapter for chapter in chapters if chapter.get("id") == WORDS)
    explained = {}
    for term in words.iter("dt"):
        term.set("id", term.get("id") or f"term-{len(explained)}")
        explained[words_of(term)] = term.get("id")
    names = {name.casefold(): term for term in explained for name in _names(term)}
    pattern = re.compile(rf"\b({'|'.join(sorted(map(re.escape, names), key=len, reverse=True))})(?:s|es)?\b", re.IGNORECASE)
    spoken: dict[str, dict[str, list]] = defaultdict(dict)  # term: chapter: [how often, first place]
    count = 0
    for chapter in chapters:
        if chapter is words:
            continue
        for block in chapter.iter(*READ):
            for match in pattern.finditer(block.text_content()):
                term = names[match[1].casefold()]
                if chapter.get("id") in spoken[term]:
                    spoken[term][chapter.get("id")][0] += 1
                    continue
                if not block.get("id"):
                    count += 1
                    block.set("id", f"place-{count}")
                spoken[term][chapter.get("id")] = [1, block.get("id")]
    section = builder.SECTION(builder.H1("Index", id="list-index"))
    section.set("class", "md-typeset index back")
    for term in sorted(explained, key=str.casefold):
        places = sorted(spoken[term].values(), key=lambda place: -place[0])[:MOST_PLACES]
        line = builder.P(f"{term}  ", builder.B(_place(explained[term])), *(_place(id) for _, id in places))
        line.set("class", "places")
        section.append(line)
    return section


def _names(term: str) -> list[str]:
    """The names a term goes by: "Alternating current (AC)" also as AC."""
    name, _, short = term.partition(" (")
    names = [one.strip() for one in name.split(",")[:1]]
    short = short.rstrip(")")
    if short.isupper() and len(short) > 1:
        names.append(short)
    return [one for one in names if len(one) > SMALL_WORDS or one.isupper()]


def _places(line: HtmlElement, pages: dict[str, int]) -> bool:
    """Put the places of a line of the index in the order of their pages, each page once."""
    bold, rest = line.find("b"), [one for one in line.findall("a")]
    seen, changed = {pages[bold.find("a").get("href")[1:]]}, False
    for place in rest:
        line.remove(place)
    for place in sorted(rest, key=lambda place: pages[place.get("href")[1:]]):
        place.tail = None
        number = pages[place.get("href")[1:]]
        if number in seen:
            changed = True
            continue
        seen.add(number)
        line[-1].tail = ", "
        line.append(place)
    return changed
