"""Decision trees: one TOML file, drawn as a flow and written as a numbered list.

    title = "Dead output"
    start = "light"

    [steps.light]
    ask = "Is a light on at the inverter?"
    how = "Look at its panel, and at the remote one."
    yes = "overload"
    no = "isolator"            # or: answers = [["words", "ID"], …]

    [steps.isolator]
    do = "Close the isolator."
    level = "caution"          # stop, caution or note
    see = "calculators/measure.md"

A step that cannot be reached, an id that does not exist, a loop, an end without `do`: each
is reported with file and step.
"""

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from calc.render.markup import Markup
from scripts.drawings.board import LINE, WIDTH
from scripts.drawings.lettering import wrap

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "docs" / "road" / "trees"
LEVELS = {"stop": "Stop", "caution": "Caution", "note": "Note"}
KEYS = {"ask", "how", "yes", "no", "answers", "do", "level", "see"}


class TreeProblem(ValueError):
    """A tree that cannot be followed."""


@dataclass(frozen=True)
class Step:
    """A question with its answers, or an end."""

    id: str
    ask: str = ""
    how: str = ""
    answers: tuple = ()  # pairs of words and the id they lead to
    do: str = ""
    level: str = "note"
    see: str = ""


@dataclass(frozen=True)
class Tree:
    """A whole tree; `order` holds the questions in the order in which they are numbered."""

    name: str
    title: str
    start: str
    steps: dict
    chains: tuple  # questions that stand below one another, one tuple for each part of the drawing

    @property
    def order(self):
        """Ids of the questions; the first is number 1."""
        return [id for chain in self.chains for id in chain]


def names():
    """Every tree's name."""
    return sorted(path.stem for path in FOLDER.glob("*.toml"))


@cache
def load(path):
    """A tree from its file, checked.

    Parameters
    ----------
    path : Path
        A TOML file.

    Returns
    -------
    Tree
        Ready to be drawn.

    Raises
    ------
    TreeProblem
        Where it cannot be followed; names the file and the step.
    """
    where = path.relative_to(ROOT) if path.is_relative_to(ROOT) else path.name
    try:
        told = tomllib.loads(path.read_text("utf-8"))
    except tomllib.TOMLDecodeError as problem:
        raise TreeProblem(f"{where}: {problem}") from None
    for key in ("title", "start", "steps"):
        if not told.get(key):
            raise TreeProblem(f'{where}: "{key}" is missing')
    try:
        steps = {id: _step(id, step) for id, step in told["steps"].items()}
        _follow(steps, told["start"], ())
        _reached(steps, told["start"])
    except TreeProblem as problem:
        raise TreeProblem(f"{where}: {problem}") from None
    return Tree(path.stem, told["title"], told["start"], steps, _chains(steps, told["start"]))


def _step(id, told):
    if unknown := set(told) - KEYS:
        raise TreeProblem(f'steps.{id}: there is no "{min(unknown)}"')
    answers = [(word, told[word]) for word in ("yes", "no") if word in told]
    if "answers" in told:
        answers += [tuple(pair) for pair in told["answers"]]
    if "ask" in told and "do" in told:
        raise TreeProblem(f"steps.{id}: it has both ask and do")
    if "ask" in told and len(answers) < 2:
        raise TreeProblem(f"steps.{id}: a question needs two answers at least")
    if "ask" not in told and not told.get("do"):
        raise TreeProblem(f"steps.{id}: it has neither ask nor do")
    if "do" in told and answers:
        raise TreeProblem(f"steps.{id}: an end leads nowhere, but it has answers")
    if told.get("level", "note") not in LEVELS:
        raise TreeProblem(f'steps.{id}: level is "{told["level"]}", not one of {", ".join(LEVELS)}')
    if "see" in told and not (ROOT / "docs" / told["see"].partition("#")[0]).is_file():
        raise TreeProblem(f"steps.{id}: see: there is no page docs/{told['see']}")
    return Step(id, told.get("ask", ""), told.get("how", ""), tuple(answers), told.get("do", ""), told.get("level", "note"), told.get("see", ""))


def _follow(steps, id, above):
    if id not in steps:
        raise TreeProblem(f'steps.{above[-1]}: it leads to "{id}", which does not exist' if above else f'start: "{id}" does not exist')
    if id in above:
        raise TreeProblem(f"steps.{id}: it leads back to itself by way of {' → '.join((*above[above.index(id):], id))}")
    for _, target in steps[id].answers:
        _follow(steps, target, (*above, id))


def _reached(steps, start):
    reached, waiting = set(), [start]
    while waiting:
        id = waiting.pop()
        reached.add(id)
        waiting += [target for _, target in steps[id].answers]
    if lost := [id for id in steps if id not in reached]:
        raise TreeProblem(f"steps.{lost[0]}: nothing leads to it")
    if steps[start].do:
        raise TreeProblem("start: it is an end, not a question")


def _chains(steps, start):
    """Questions below one another: each goes on with its last answer that is a question not placed yet."""
    placed, chains, waiting = set(), [], [start]
    while waiting:
        id = waiting.pop(0)
        if id in placed:
            continue
        chain = []
        while id:
            chain.append(id)
            placed.add(id)
            further = [target for _, target in steps[id].answers if steps[target].ask and target not in placed]
            id = further.pop() if further else None
            waiting += further
        chains.append(tuple(chain))
    return tuple(chains)


# ---- as a list ----


def listed(tree, id, address):
    """The tree in words: every question with its answers, and where each leads.

    Parameters
    ----------
    tree : Tree
        What to write.
    id : str
        Prefix that keeps ids apart on a page.
    address : callable
        From the path of a page to its address.

    Returns
    -------
    Markup
        A numbered list.
    """
    numbers = {step: number for number, step in enumerate(tree.order, 1)}

    def answer(words, target):
        step = tree.steps[target]
        if step.ask:
            return Markup('<li><strong>{}:</strong> go to <a href="#{}-{}">question {}</a>.</li>').format(_capital(words), id, target, numbers[target])
        grave = Markup("<strong>{}.</strong> ").format(LEVELS[step.level]) if step.level != "note" else ""
        see = Markup(' See <a href="{}">{}</a>').format(address(step.see), _heading(step.see)) if step.see else ""
        return Markup("<li><strong>{}:</strong> {}{}{}</li>").format(_capital(words), grave, step.do, see)

    def item(step):
        how = Markup("<br>{}").format(step.how) if step.how else ""
        return Markup('<li id="{}-{}">{}{}<ul>{}</ul></li>').format(id, step.id, step.ask, how, Markup("").join(answer(*pair) for pair in step.answers))

    return Markup('<ol class="tree">{}</ol>').format(Markup("").join(item(tree.steps[step]) for step in tree.order))


def _heading(page):
    """A page's own heading, with a full stop where it has no mark of its own."""
    text = (ROOT / "docs" / page.partition("#")[0]).read_text("utf-8")
    heading = re.search(r"^# (.+)", text, re.MULTILINE)[1]
    return heading if heading.endswith(("?", ".")) else f"{heading}."


def _capital(words):
    return words[:1].upper() + words[1:]


# ---- as a drawing ----

LEFT, QUESTION, GAP, END = 2, 150, 34, 132
"""Where the column of questions begins, its width, the gap for the answers, and the width of an end."""
PAD = 6
FULL = 680
"""No part is longer: a page of A5. What does not fit any more starts a new part."""
STYLES = {"stop": "stop", "caution": "caution", "note": "thin-box"}
"""Classes of an end's frame: stroke and dash say the level besides its word."""


def draw(tree, id):
    """The tree as a flow from top to bottom, questions on the left, ends on the right.

    Parameters
    ----------
    tree : Tree
        What to draw.
    id : str
        Prefix that keeps ids apart on a page.

    Returns
    -------
    Markup
        One SVG element for each part; what leads to another part ends in its number.
    """
    numbers = {step: number for number, step in enumerate(tree.order, 1)}
    parts = _parts(tree, numbers)
    return Markup("").join(_part(tree, numbers, f"{id}-{place}", flow, chain, place, len(parts)) for place, (flow, chain) in enumerate(parts, 1))


def _parts(tree, numbers):
    """Flows with the questions in each; a long chain goes on in a further part, so that each fits a small page."""
    parts = []
    for chain in tree.chains:
        here = []
        for step in chain:
            if here and _flow(tree, numbers, [*here, step]).y > FULL:
                parts.append((_flow(tree, numbers, here), here))
                here = []
            here.append(step)
        parts.append((_flow(tree, numbers, here), here))
    return parts


def _flow(tree, numbers, here):
    """One part, drawn: its last question names the next by number, where the tree goes on."""
    flow = _Flow(tree, numbers)
    for step, following in zip(here, (*here[1:], None)):
        flow.question(tree.steps[step], following)
    return flow


def _part(tree, numbers, id, flow, chain, place, count):
    which = f", part {place} of {count}" if count > 1 else ""
    return Markup(
        '<svg class="figure circuit" viewBox="0 0 {w} {h}" role="img" aria-labelledby="{id}-title" aria-describedby="{id}-desc">'
        '<title id="{id}-title">{title}{which}</title><desc id="{id}-desc">{desc}</desc>'
        '<g class="ink" fill="none" stroke="currentColor">{strokes}</g>{words}</svg>'
    ).format(
        w=WIDTH, h=round(flow.y), id=id, title=tree.title, which=which, desc=_in_words(tree, chain, numbers),
        strokes=Markup("".join(flow.strokes)), words=Markup("").join(flow.words),
    )  # fmt: skip


def _in_words(tree, chain, numbers):
    said = []
    for id in chain:
        step = tree.steps[id]
        ways = "; ".join(f"{words}: " + (f"question {numbers[target]}" if tree.steps[target].ask else _end_in_words(tree.steps[target])) for words, target in step.answers)
        said.append(f"Question {numbers[id]}: {step.ask} {_capital(ways)}.")
    return "A flow of questions, the same as the numbered list beside it. " + " ".join(said)


def _end_in_words(step):
    return (f"{LEVELS[step.level]}. " if step.level != "note" else "") + re.sub(r"\.$", "", step.do)


class _Flow:
    """Draws one part from the top down."""

    def __init__(self, tree, numbers):
        self.tree, self.numbers = tree, numbers
        self.y, self.strokes, self.words = 4.0, [], []

    def question(self, step, following):
        """A question's box with what its answers lead to on the right, and the way down to the next."""
        lines, top = wrap(f"{self.numbers[step.id]}. {step.ask}", QUESTION - 2 * PAD), self.y
        self._box(LEFT, top, QUESTION, lines, "box")
        height, y = len(lines) * LINE + 2 * PAD, top
        for words, target in step.answers:
            if target != following:
                y += self._aside(top, y, words, target) + 8
        floor = max(top + height, y - 8)
        self.y = floor + 6
        if following:
            # As far down as the answer's words need, and as the ends on the right reach.
            said = next(words for words, target in step.answers if target == following)
            below = wrap(said, WIDTH - 40)
            end = max(floor + 10, top + height + 14 + LINE * len(below))
            x = LEFT + 18
            self.strokes.append(f'<path d="M{x} {top + height:g}V{end:g}M{x - 4} {end - 7:g}l4 7l4 -7"/>')
            for row, line in enumerate(below):
                self._say(x + 10, end - 2 - LINE * (len(below) - 1 - row) - 4, line, "strong")
            self.y = end + 1

    def _aside(self, top, y, words, target):
        """What an answer leads to that is not the next question, in a box on the right; returns its height."""
        step, short = self.tree.steps[target], len(words) <= 3
        # A short answer stands on its arrow, a long one in the box.
        strong = [] if short else wrap(f"{_capital(words)}:", END - 2 * PAD, strong=True)
        if not step.ask and step.level != "note":
            strong.append(LEVELS[step.level].upper())
        plain = wrap(f"Go to question {self.numbers[target]}." if step.ask else step.do, END - 2 * PAD)
        x, along = LEFT + QUESTION + GAP, y + 22
        if y > top:  # a branch off the first answer's arrow
            self.strokes.append(f'<path d="M{LEFT + QUESTION + 8} {top + 22:g}V{along:g}"/>')
        start = LEFT + QUESTION + (8 if y > top else 0)
        self.strokes.append(f'<path d="M{start} {along:g}H{x}M{x - 7} {along - 4:g}l7 4l-7 4"/>')
        if short:
            self._say(x - 9, along - 7, words, "strong", "end")
        return self._box(x, y, END, strong + plain, "frame" if step.ask else STYLES[step.level], len(strong))

    def _box(self, x, y, width, lines, style, strong=0):
        """A box around lines, the first few of them bold; returns its height."""
        height = len(lines) * LINE + 2 * PAD
        self.strokes.append(f'<rect class="{style}" x="{x}" y="{y:g}" width="{width}" height="{height}"/>')
        for row, line in enumerate(lines):
            self._say(x + PAD, y + PAD + 11 + LINE * row, line, "strong" if row < strong else "tick")
        return height

    def _say(self, x, y, line, kind="tick", anchor="start"):
        self.words.append(Markup('<text class="{}" x="{}" y="{}" text-anchor="{}">{}</text>').format(kind, f"{x:g}", f"{y:g}", anchor, line))
