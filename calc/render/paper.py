"""The papers of a plan as HTML and as text.

sheet   a paper as HTML, laid out by the style sheet for its size
lines   a paper as text
"""

import textwrap

from calc.render import text, words
from calc.render.markup import Markup
from calc.result import Output, Understood

BLANK = "." * 20


def sheet(paper):
    """A paper as HTML.

    Parameters
    ----------
    paper : Paper
        From the plan.

    Returns
    -------
    Markup
        One article; blanks are empty cells of the class "blank".
    """
    subtitle = Markup("<p>{}</p>").format(paper.subtitle) if paper.subtitle else Markup("")
    return Markup('<article class="paper {}" data-paper="{}"><header><h2>{}</h2>{}</header>{}</article>').format(
        paper.size.lower(), paper.id, paper.title, subtitle, Markup("").join(map(_block, paper.blocks))
    )


def _block(block):
    heading = Markup("<h3>{}</h3>").format(block.heading) if block.heading else Markup("")
    inner = {"text": _paragraphs, "list": _list, "table": _table}[block.kind](block)
    return Markup("<section{}>{}{}</section>").format(Markup(' class="{}"').format(block.level) if block.level else Markup(""), heading, inner)


def _paragraphs(block):
    return Markup("").join(Markup("<p>{}</p>").format(_words(item)) for item in block.items)


def _list(block):
    return Markup("<ul>{}</ul>").format(Markup("").join(Markup("<li>{}</li>").format(_words(item)) for item in block.items))


def _table(block):
    head = Markup("")
    if block.head:
        head = Markup("<thead><tr>{}</tr></thead>").format(Markup("").join(Markup('<th scope="col">{}</th>').format(one) if one else Markup("<td></td>") for one in block.head))
    return Markup('<div class="scroll"><table>{}<tbody>{}</tbody></table></div>').format(head, Markup("").join(map(_row, block.items)))


def _row(cells):
    first, *rest = _cells(cells)
    data = Markup("").join(Markup('<td class="blank"></td>') if cell is None else Markup("<td>{}</td>").format(cell) for cell in rest)
    return Markup('<tr><th scope="row">{}</th>{}</tr>').format(first, data)


def _cells(cells):
    """Cells in words: of an output twice in a row its value and then its range."""
    said, before = [], None
    for cell in cells:
        said.append(words.output_range(cell) if isinstance(cell, Output) and cell is before else None if cell is None else _words(cell))
        before = cell
    return said


def _words(item):
    """A sentence, an output with its range, or an input as understood."""
    if isinstance(item, Output):
        return words.output_value(item)
    if isinstance(item, Understood):
        return words.input_value(item)
    if isinstance(item, tuple):
        label, given = item
        return f"{label}: {words.input_value(given)}" + (f" ({given.basis})" if given.basis else "")
    return item


def lines(paper):
    """A paper as text.

    Parameters
    ----------
    paper : Paper
        From the plan.

    Returns
    -------
    list of str
        Lines; blanks are rows of points.
    """
    told = [paper.title, "=" * len(paper.title), *([paper.subtitle] if paper.subtitle else [])]
    for block in paper.blocks:
        told += ["", *([block.heading, "-" * len(block.heading)] if block.heading else [])]
        for item in block.items:
            cells = [BLANK if cell is None else cell for cell in _cells(item)] if block.kind == "table" else [_words(item)]
            lead = "- " if block.kind == "list" else ""
            told += textwrap.wrap(lead + "  |  ".join(cell for cell in cells if cell), text.WIDTH, subsequent_indent="  ") or [""]
    return told
