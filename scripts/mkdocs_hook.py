"""Writes the calculators' words into the pages while the site is built.

A page asks for a piece with a comment, `<!-- handbook: PIECE … -->`:

calculator ID [CASE]      a live form, starting with the calculator's example or with a case
example CASE              answer, picture and working of a case, without a form
figure CASE               its pictures alone
answer CASE               its sentence
value CASE OUTPUT         one number; `low`, `high` or `range` may follow
input CASE FIELD          one input, as typed in the case
finding CASE CODE         the text of one finding
drawing NAME              a drawing of scripts/drawings, with its caption
drawings circuits|curves  every drawing of the kind, by topic; circuits has the sketches too
tree NAME                 a decision tree of docs/road/trees, as a picture and as a numbered list
table NAME                a published table
cell TABLE COLUMN ROW     one figure of a published table; ROW is the text of its first column, with " / "
                          and the second column's behind it where that is not enough
worksheet NAME            the worksheet of a whole job, starting with the invented plan docs/plans/NAME.json
units | papers | road     what follows its steps
columns                   the columns of a catalogue
cards                     one card a calculator, of docs/cards.toml; cards contents has a link to each
standing                  the line that stands on every paper
exercises TOPIC SEED COUNT LEVEL  a set of exercises, keys folded; TOPIC may be `all`
practice | results        where exercises are done, and where a trainer reads what came of them
questions                 every calculator by group, with a link
asked                     the questions of docs/questions.toml, by chapter, each with a link to its answer
sources                   the bibliography
verification battery|rest  published check values beside ours: on batteries, sun and charging; on all else
count calculators|tables|drawings|checks  how many there are

A case is `FILE/NAME`: the table NAME of `docs/cases/FILE.toml`, which names its
calculator and what is typed; `example/ID` is a calculator's own example. Anything unknown
ends the build with the page's name.
"""

import json
import re
import sys
import tomllib
from collections import Counter
from functools import cache
from pathlib import Path

from markdown.extensions.toc import slugify
from mkdocs.exceptions import PluginError
from mkdocs.utils import get_relative_url

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from calc import tables  # noqa: E402
from calc.calculators import CALCULATORS, GROUPS  # noqa: E402
from calc.calculators.calculator import run  # noqa: E402
from calc.errors import FieldProblem, InputProblems  # noqa: E402
from calc.exercises import sets  # noqa: E402
from calc.plan import document, papers, steps  # noqa: E402
from calc.render import exercises, html, words, worksheet  # noqa: E402
from calc.sources import SOURCES  # noqa: E402
from calc.render.markup import Markup  # noqa: E402
from scripts import cards, drawings, practice_pages, verification  # noqa: E402
from scripts.drawings import trees  # noqa: E402

PIECE = re.compile(r"<!--\s*handbook:\s*(.*?)\s*-->", re.DOTALL)
SEE = re.compile(r'href="page:([^"]+)"')
ASKS_PYTHON = ('data-calculator="', 'id="worksheet"', 'id="practice"', 'id="trainer"')
HOLDER = '<div class="piece" data-piece="{}"></div>'


class UnknownPiece(ValueError):
    """A page asks for something that does not exist."""


def on_config(config):
    """Find the runtime's files, which the build has laid out before."""
    manifest = ROOT / "build" / "runtime" / "manifest.json"
    if not manifest.exists():
        raise PluginError(f"{manifest.relative_to(ROOT)} is missing: build the site with ./scripts/build")
    config.extra["runtime"] = json.loads(manifest.read_text("utf-8"))
    config.extra["pieces"] = {}
    _case_file.cache_clear()
    trees.load.cache_clear()


def on_page_markdown(markdown, page, config, files):
    """Put words in their place, and a holder where a block will stand."""
    blocks = []
    _standing.clear()

    def replaced(match):
        name, *arguments = match[1].split()
        try:
            piece = _piece(name, arguments)
        except UnknownPiece as problem:
            raise PluginError(f"{page.file.src_uri}: {problem}") from None
        if name not in BLOCKS:
            return piece
        blocks.append(piece)
        return HOLDER.format(len(blocks) - 1)

    text = PIECE.sub(replaced, markdown)
    if "<!-- handbook" in text:
        raise PluginError(f"{page.file.src_uri}: a handbook comment is not closed")
    config.extra["pieces"][page.file.src_uri] = blocks
    return text


def on_page_content(content, page, config, files):
    """Fill the holders; a page with a form also says where the runtime lies."""
    blocks = config.extra["pieces"].pop(page.file.src_uri)
    for number, block in enumerate(blocks):
        content = content.replace(HOLDER.format(number), str(block), 1)
    content = SEE.sub(lambda match: f'href="{get_relative_url(match[1], page.url)}"', content)
    if not any(sign in content for sign in ASKS_PYTHON):
        return content
    runtime = config.extra["runtime"]
    places = " ".join(
        f'data-{name}="{get_relative_url("assets/runtime/" + runtime[name], page.url)}"' for name in ("worker", "wasm", "snapshot", "stdlib")
    )
    return f'{content}\n<div id="python-runtime" hidden {places}></div>'


def _piece(name, arguments):
    make = BLOCKS.get(name) or INLINE.get(name)
    if make is None:
        raise UnknownPiece(f'there is no piece "{name}": use {", ".join([*BLOCKS, *INLINE])}')
    try:
        return make(*arguments)
    except TypeError:
        raise UnknownPiece(f'the piece "{name}" does not take {len(arguments)} arguments') from None


@cache
def _case_file(name):
    path = ROOT / "docs" / "cases" / f"{name}.toml"
    if not path.exists():
        raise UnknownPiece(f"there is no file docs/cases/{name}.toml")
    return tomllib.loads(path.read_text("utf-8"))


def _case(name):
    """A case's calculator, what is typed in it, and its result."""
    file, _, part = name.partition("/")
    if file == "example":
        calculator = _calculator(part)
        typed = calculator.shown()
    elif (case := _case_file(file).get(part)) is not None:
        calculator = _calculator(case["calculator"])
        typed = case.get("values", {})
    else:
        raise UnknownPiece(f'docs/cases/{file}.toml has no table "{part}"')
    try:
        return calculator, typed, run(calculator, typed)
    except (InputProblems, FieldProblem) as problem:
        raise UnknownPiece(f"case {name}: {problem}") from None


def _calculator(id):
    if id not in CALCULATORS:
        raise UnknownPiece(f'there is no calculator "{id}": use {", ".join(CALCULATORS)}')
    return CALCULATORS[id]


def _calculator_piece(id, case=None):
    calculator, typed = _calculator(id), {}
    if case is not None:
        of_case, typed, _ = _case(case)
        if of_case is not calculator:
            raise UnknownPiece(f"case {case} is for {of_case.id}, not for {id}")
    shown = {**calculator.shown(), **typed}
    return html.calculator(calculator, run(calculator, shown), shown, _id(case or id))


def _id(name):
    return name.replace("/", "-")


def _value(case, output, which="likely"):
    calculator, _, result = _case(case)
    if output not in {answer.name for answer in calculator.answers}:
        raise UnknownPiece(f'{calculator.id} has no output "{output}"')
    found = result.output(output)
    if which == "range":
        return words.output_range(found)
    ends = {"low": found.low, "high": found.high, "likely": found.value}
    if which not in ends:
        raise UnknownPiece(f'"{which}" is not low, high, likely or range')
    if which == "likely" or isinstance(ends[which], str):
        return words.output_value(found)
    if found.display_ends:
        return found.display_ends[which == "high"]
    return words.quantity(ends[which], found.unit, found.figures)


def _input(case, field):
    calculator, _, result = _case(case)
    if field not in {one.name for one in calculator.fields}:
        raise UnknownPiece(f'{calculator.id} has no field "{field}"')
    return words.input_likely(result.input(field))


def _finding(case, code):
    _, _, result = _case(case)
    for finding in result.findings:
        if finding.code == code:
            return finding.text
    raise UnknownPiece(f'case {case} has no finding "{code}"')


_standing = Counter()
"""How often each drawing and tree stands on the page so far, so that their ids stay apart."""


def _id_on_page(name):
    _standing[name] += 1
    return name if _standing[name] == 1 else f"{name}-{_standing[name]}"


def _drawing(name):
    if name not in drawings.names():
        raise UnknownPiece(f'there is no drawing "{name}": use {", ".join(drawings.names())}')
    return drawings.draw(name, _id_on_page(f"drawing-{name}"))


def _drawings(kind):
    """Every drawing of a kind by topic; each can be linked to by its name."""
    if kind not in ("circuits", "curves"):
        raise UnknownPiece(f'"{kind}" is not circuits or curves')
    return Markup("").join(
        Markup("<h3>{}</h3>{}").format(topic, Markup("").join(Markup('<div id="{}">{}</div>').format(name, _drawing(name)) for name in names))
        for topic, names in drawings.by_topic(kind == "curves").items()
    )


def _tree(name):
    path = trees.FOLDER / f"{name}.toml"
    if not path.exists():
        raise UnknownPiece(f'there is no tree "{name}": use {", ".join(trees.names())}')
    try:
        tree = trees.load(path)
    except trees.TreeProblem as problem:
        raise UnknownPiece(str(problem)) from None
    id = _id_on_page(f"tree-{name}")
    return Markup('<figure class="drawing tree" data-search-exclude="">{}<figcaption>{}, as a picture; the list has the same in words.</figcaption></figure>{}').format(
        trees.draw(tree, f"{id}-picture"), tree.title, trees.listed(tree, id, lambda page: "page:" + page.replace(".md", ".html"))
    )


def _table(name):
    if name not in tables.names():
        raise UnknownPiece(f'there is no table "{name}": use {", ".join(tables.names())}')
    return html.data_table(tables.load(name))


def _cell(name, column, *row):
    if name not in tables.names():
        raise UnknownPiece(f'there is no table "{name}": use {", ".join(tables.names())}')
    table, wanted = tables.load(name), " ".join(row).split(" / ")
    if column not in table.columns:
        raise UnknownPiece(f'the table {name} has no column "{column}": use {", ".join(table.columns)}')
    found = [number for number, printed in enumerate(table.rows) if list(printed.values())[: len(wanted)] == wanted]
    if len(found) != 1:
        raise UnknownPiece(f'the table {name} has {len(found)} rows "{" ".join(row)}"')
    text, unit = table.rows[found[0]][column], table.columns[column].unit
    return text if unit in ("text", "-", "count", "AWG") else f"{text.replace('-', '−')}\u00a0{unit}"


def _questions():
    """Every question by group; only for a page in the folder of the calculators."""
    return html.questions({name: [module.CALCULATOR for module in modules] for name, modules in GROUPS.items()})


ASKED_IN = {"understand": "Understand", "calculators": "Calculate", "choose": "Choose", "road": "On the road", "safety": "Safety"}
"""The folders whose pages answer what people ask, in the order of the menu."""


def _asked():
    """What people ask, by folder and page, each number once: where several pages answer it, the others stand behind."""
    by_number = {}
    for question in tomllib.loads((ROOT / "docs" / "questions.toml").read_text("utf-8"))["question"]:
        by_number.setdefault(question["number"], []).append(question)
    by_page = {}
    for _, (first, *others) in sorted(by_number.items()):
        also = "".join(f"; also in {_answer_link(other, _headings(other['page'])[0])}" for other in others)
        by_page.setdefault(first["page"], []).append(f"- {_answer_link(first, first['asked'][0].upper() + first['asked'][1:])}{also}")
    parts = []
    for folder, title in ASKED_IN.items():
        pages = [f"### {_headings(page)[0]}\n\n" + "\n".join(asked) for page, asked in by_page.items() if page.startswith(f"{folder}/")]
        parts += [f"## {title}", *pages] if pages else []
    return "\n\n".join(parts)


def _answer_link(question, words):
    page, heading = question["page"], question["heading"]
    if page.partition("/")[0] not in ASKED_IN:
        raise UnknownPiece(f"docs/questions.toml, question {question['number']}: {page} is in none of {', '.join(ASKED_IN)}")
    if heading not in _headings(page):
        raise UnknownPiece(f'docs/questions.toml, question {question["number"]}: {page} has no heading "{heading}"')
    return f"[{words}](page:{page.removesuffix('.md')}.html#{slugify(heading, '-')})"


def _headings(page):
    path = ROOT / "docs" / page
    if not path.exists():
        raise UnknownPiece(f"docs/questions.toml: there is no page docs/{page}")
    return re.findall(r"^#{1,4} (.+?) *$", path.read_text("utf-8"), re.MULTILINE)


def _worksheet(name):
    texts = {path.stem: path.read_text("utf-8") for path in sorted((ROOT / "docs" / "plans").glob("*.json"))}
    if name not in texts:
        raise UnknownPiece(f'there is no plan "{name}": use {", ".join(texts)}')
    plans = {stem: document.from_text(text) for stem, text in texts.items()}
    return worksheet.page(steps.run(plans[name]), steps.STEPS[0].id, {worksheet.name_of(plan): texts[stem] for stem, plan in plans.items()})


def _units():
    return worksheet.units((ROOT / "docs" / "plan" / "demo-catalogue.csv").read_text("utf-8"))


def _cards(part="all"):
    if part not in ("all", "contents"):
        raise UnknownPiece(f'"{part}" is not contents')
    try:
        return cards.contents() if part == "contents" else cards.page()
    except KeyError as problem:
        raise UnknownPiece(f"docs/cards.toml, or the working it speaks of, has no {problem}") from None


def _exercises(topic, seed, count, level):
    try:
        asked = sets.order(seed, () if topic == "all" else (topic,), level, count)
    except InputProblems as problems:
        raise UnknownPiece("; ".join(map(str, problems.problems))) from None
    return exercises.folded(asked, _id_on_page(f"exercise-{topic}"))


def _sources():
    return html.bibliography(SOURCES.values())


def _verification(which):
    if which not in {*verification.PAGES, "rest"}:
        raise UnknownPiece(f'"{which}" is no page of check values: use {", ".join([*verification.PAGES, "rest"])}')
    return verification.page(which)


def _count(what):
    counts = {"calculators": lambda: len(CALCULATORS), "tables": lambda: len(tables.names()), "drawings": lambda: len(drawings.names()), "checks": verification.count}
    if what not in counts:
        raise UnknownPiece(f'"{what}" cannot be counted')
    return str(counts[what]())


BLOCKS = {
    "calculator": _calculator_piece,
    "example": lambda case: html.example(_case(case)[2], _id(case)),
    "figure": lambda case: html.figures(_case(case)[2], _id(case)),
    "drawing": _drawing,
    "drawings": _drawings,
    "tree": _tree,
    "table": _table,
    "questions": _questions,
    "cards": _cards,
    "exercises": _exercises,
    "sources": _sources,
    "worksheet": _worksheet,
    "units": _units,
    "papers": lambda: worksheet.papers(),
    "road": lambda: worksheet.road(),
    "columns": lambda: worksheet.columns(),
    "practice": lambda: practice_pages.practice(),
    "results": lambda: practice_pages.results(),
    "verification": _verification,
}
INLINE = {
    "answer": lambda case: _case(case)[2].answer,
    "value": _value,
    "input": _input,
    "finding": _finding,
    "cell": _cell,
    "count": _count,
    "asked": _asked,
    "standing": lambda: papers.STANDING,
}
