"""One card a calculator, a page of A5 each: the question, the formula, a table to read off, the example, a caution.

`docs/cards.toml` says what a card shows; every word and figure on it comes from the calculator.
"""

import tomllib
from pathlib import Path

from calc.calculators import CALCULATORS, GROUPS
from calc.calculators.calculator import run
from calc.calculators.form import ASSUMED, Choice
from calc.plan.papers import STANDING
from calc.render import formula, words
from calc.render.markup import Markup

FILE = Path(__file__).resolve().parent.parent / "docs" / "cards.toml"
RANGE = " range"


def load():
    """What the cards show: the calculator's id to its card, and under "words" what symbols mean on all of them."""
    return tomllib.loads(FILE.read_text("utf-8"))


def contents():
    """A link to each card, by what its question is about.

    Returns
    -------
    Markup
        Headings and lists.
    """
    return Markup('<div class="card-list">{}</div>').format(Markup("").join(
        Markup("<div><h3>{}</h3><ul>{}</ul></div>").format(
            group, Markup("").join(Markup('<li><a href="#card-{}">{}</a></li>').format(module.CALCULATOR.id, module.CALCULATOR.title) for module in modules)
        )
        for group, modules in GROUPS.items()
    ))


def page():
    """Every card, in the handbook's order.

    Returns
    -------
    Markup
        A section each, with the id "card-" and the calculator's.
    """
    known = load()
    return Markup("").join(card(calculator, known[id], known["words"]) for id, calculator in CALCULATORS.items())


def card(calculator, about, common):
    """One card.

    Parameters
    ----------
    calculator : Calculator
        Its question.
    about : dict
        Its entry of the file.
    common : dict
        Words for symbols that are the same on all cards.

    Returns
    -------
    Markup
        A section.
    """
    result = run(calculator, calculator.shown())
    return Markup(
        '<section class="card form-sheet" id="card-{id}" aria-labelledby="card-{id}-title" data-search-exclude>'
        '<h2 id="card-{id}-title">{title}</h2><p>{question} <strong>Take it</strong> {when}</p>'
        "{formulas}{table}"
        '<p class="worked"><strong>Example.</strong> {inputs}. <strong>Answer:</strong> {answer}</p>'
        '<p class="caution"><strong>{level}.</strong> {caution}</p><p class="standing">{standing}</p></section>'
    ).format(
        id=calculator.id, title=calculator.title, question=calculator.question, when=about["when"][:1].lower() + about["when"][1:],
        formulas=_formulas(result, about, common), table=_table(calculator, about), inputs=_inputs(calculator, result, about), answer=result.answer,
        standing=STANDING, **_caution(result, about["caution"]),
    )  # fmt: skip


def _caution(result, caution):
    found = next((one for one in result.findings if one.code == caution), None)
    return {"level": words.LEVEL_WORDS[found.level], "caution": found.text} if found else {"level": words.LEVEL_WORDS["caution"], "caution": caution}


def _formulas(result, about, common):
    """The lines of the working, and what each symbol in them means and is in the example."""
    working = {step.symbol: step for step in result.working}
    steps = [working[symbol] for symbol in about["formulas"]]
    labels = {symbol: step.label for symbol, step in working.items()} | common | about.get("words", {})
    meant = {step.symbol: (step.label, step.value, step.unit) for step in steps}
    for step in steps:
        for name, (value, unit) in step.inputs.items():
            meant.setdefault(name, (labels[name], value, unit))
    listed = Markup("").join(
        Markup("<li><math>{}</math> {}: {}</li>").format(formula.symbol_mathml(name), label, formula.number(value, unit)) for name, (label, value, unit) in meant.items()
    )
    return Markup('<div class="formulas">{}</div><ul class="symbols">{}</ul>').format(Markup("").join(formula.to_mathml(step.symbol, step.formula) for step in steps), listed)


def _inputs(calculator, result, about):
    """What the example was asked with."""
    told = about.get("inputs", [one.name for one in calculator.fields if not one.more and one.name != "region"])
    given = [one for one in result.inputs if one.name.split(".")[0] in told and not one.name.endswith(f".{ASSUMED}") and words.counts(one)]
    text = "; ".join(f"{one.label}: {words.input_likely(one)}" for one in given)
    return text[:1].upper() + text[1:]


def _table(calculator, about):
    """Outputs over an input, or one output over two."""
    typed = {**calculator.shown(), **about.get("typed", {})}
    ((side, values),) = about["vary"].items()
    ((top, tops),) = about.get("across", {"": [""]}).items()
    shown = [(show.removesuffix(RANGE), show.endswith(RANGE)) for show in about["show"]]
    answers = {one.name: one for one in calculator.answers}
    cells = {(value, other): run(calculator, {**typed, side: value, **({top: other} if top else {})}) for value in values for other in tops}
    if top:
        name = shown[0][0]
        title = f"{answers[name].label}, by {_label(calculator, side)} and, along the top, {_label(calculator, top)}"
        heads = [_as_said(cells[values[0], other], top) for other in tops]
    else:
        title = f"By {_label(calculator, side)}"
        heads = [answers[name].label + ", range" * ranged for name, ranged in shown]
    rows = Markup("").join(
        Markup('<tr><th scope="row">{}</th>{}</tr>').format(
            _as_said(cells[value, tops[0]], side),
            Markup("").join(Markup("<td>{}</td>").format(_cell(cells[value, other].output(name), ranged)) for other in tops for name, ranged in shown),
        )
        for value in values
    )
    return Markup('<table><caption>{}. {}</caption><thead><tr><td></td>{}</tr></thead><tbody>{}</tbody></table>').format(
        title, _basis(calculator, about), Markup("").join(Markup('<th scope="col">{}</th>').format(head) for head in heads), rows
    )


def _cell(output, ranged):
    return words.output_range(output) or "–" if ranged else words.output_value(output)


def _field(calculator, name):
    return next(one for one in calculator.fields if one.name == name)


def _label(calculator, name):
    label = _field(calculator, name).label
    return label if label[1:2].isupper() else label[:1].lower() + label[1:]


def _as_said(result, name):
    return words.input_likely(result.input(name))


def _basis(calculator, about):
    """What the table rests on besides its own inputs."""
    typed = {name: text for name, text in about.get("typed", {}).items() if name not in about["vary"] and name not in about.get("across", {})}
    said = [f"{_label(calculator, name)} {_field(calculator, name).choices[text] if isinstance(_field(calculator, name), Choice) else text}" for name, text in typed.items()]
    return f"Else as in the example, but {', '.join(said)}." if said else "Else as in the example."
