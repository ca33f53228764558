"""The one module the page calls: strings in, strings out.

The page hands over what was typed and puts back what it is given; it knows no field, no
unit and no formula.
"""

import json
from urllib.parse import urlencode

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.calculators.form import UNKNOWN, Choice, settled
from calc.errors import FieldProblem, InputProblems
from calc.render import html
from calc.units import printable


def answer(request):
    """Answer one request of the page.

    Parameters
    ----------
    request : str
        JSON: `calculator`, `id` (the prefix of its ids on the page), `values`, field name to
        text, and `start`, the values the form started with; a ticked "I don't know" comes as
        `NAME.unknown`. It may hold `own`, the names of fields the reader or an address filled
        in, and `kept`, choices made for all forms.

    Returns
    -------
    str
        For a plan, where the request has `do`, see `calc.render.desk`; for exercises `calc.render.practice`. Else
        JSON: `slots` (name to HTML), `invalid` (names of fields with a problem), `unused`
        (names of fields that another one overrules), `usable` (whether there is an answer),
        `share` (the inputs that differ from the start, for the address) and `fill` (texts of
        fields that nobody filled in and that go by a choice made for all forms).

    Raises
    ------
    KeyError
        For a calculator that does not exist.
    """
    asked = json.loads(request)
    if asked.get("do") == "exercises":
        from calc.render import practice

        return json.dumps(practice.reply(asked))
    if "do" in asked:
        from calc.render import desk  # a fifth of the import, and only the worksheet needs it

        return json.dumps(desk.reply(asked))
    calculator = CALCULATORS[asked["calculator"]]
    texts, start = _without_ticks(asked["values"]), _without_ticks(asked["start"])
    own = {name.removesuffix(".unknown") for name in asked.get("own", ())}
    fill = _kept(calculator, own, asked.get("kept", {}))
    fill |= {name: text for name, text in _followed(calculator, {**texts, **fill}, start).items() if name not in own}
    fill = {name: text for name, text in fill.items() if text != texts.get(name)}
    texts |= fill
    share = urlencode(_shared(calculator, texts, start))
    typed = _nested(texts)
    try:
        result = run(calculator, typed)
    except (InputProblems, FieldProblem) as problem:
        problems = getattr(problem, "problems", (problem,))
        return json.dumps(
            {
                "slots": html.error_slots(calculator, problems, asked["id"]),
                "invalid": [one.field for one in problems],
                "unused": [],
                "usable": False,
                "share": share,
                "fill": fill,
            }
        )
    return json.dumps(
        {
            "slots": html.slots(result, asked["id"]),
            "invalid": [],
            "unused": html.overruled(result, typed),
            "usable": True,
            "share": share,
            "fill": fill,
        }
    )


def _without_ticks(values):
    """Fold a ticked "I don't know" into its field."""
    ticked = {name.removesuffix(".unknown") for name in values if name.endswith(".unknown")}
    return {printable(name): UNKNOWN if name in ticked else printable(text) for name, text in values.items() if not name.endswith(".unknown")}


def _kept(calculator, own, kept):
    """Choices made for all forms that this one has and leaves to them."""
    choices = (one for one in calculator.fields if isinstance(one, Choice) and one.kept and one.name not in own)
    return {one.name: kept[one.name] for one in choices if kept.get(one.name) in list(one.choices)}


def _followed(calculator, texts, start):
    """What fields that go by another choice would hold by now had nobody filled them in; not those of a form that started with a case of its own."""
    return {
        one.name: settled(one, texts).shown
        for one in calculator.fields
        if getattr(one, "by", "") and one.name in start and start[one.name] == settled(one, start).shown
    }


def _shared(calculator, texts, start):
    """What an address has to name: whatever was changed, and with it the choices others may have made otherwise."""
    kept = [one.name for one in calculator.fields if isinstance(one, Choice) and one.kept and one.name in texts]
    changed = _changed(texts, {**start, **_followed(calculator, texts, start)})
    if changed:
        changed = {**{name: text for name, text in changed.items() if name not in kept}, **{name: texts[name] for name in kept}}
    return changed


def _changed(texts, start):
    """Texts that differ from the start; rows all together, since some may have gone."""

    def rows_of(values, name):
        return {key: text for key, text in values.items() if key.startswith(f"{name}.")}

    changed = {}
    for name, text in texts.items():
        if "." in name:
            name_of_rows = name.split(".")[0]
            if rows_of(texts, name_of_rows) != rows_of(start, name_of_rows):
                changed[name] = text
        elif text != start.get(name):
            changed[name] = text
    return changed


def _nested(texts):
    """Texts with rows gathered: `loads.0.power` becomes `loads` → "0" → `power`."""
    typed = {}
    for name, text in texts.items():
        if "." not in name:
            typed[name] = text
            continue
        rows, index, column = name.split(".")
        typed.setdefault(rows, {}).setdefault(index, {})[column] = text
    return typed


def flat(typed):
    """The inverse of gathering: rows spread into names of their own, as a form sends them.

    Parameters
    ----------
    typed : dict
        Field name to text, rows as a list of dicts.

    Returns
    -------
    dict of str
        Name to text.
    """
    texts = {}
    for name, text in typed.items():
        if isinstance(text, str):
            texts[name] = text
            continue
        for index, row in enumerate(text):
            texts |= {f"{name}.{index}.{column}": words for column, words in row.items()}
    return texts


def warm_up():
    """Run every calculator once, one that fails, and an empty plan, so that all is loaded before anyone asks; only exercises are left until then."""
    for calculator in CALCULATORS.values():
        shown = flat(calculator.shown())
        refused = {**shown, next(iter(shown)): "12 <b>"}
        for values in (shown, refused):
            answer(json.dumps({"calculator": calculator.id, "id": "warm-up", "values": values, "start": shown}))
    from calc.plan import steps

    for step in steps.STEPS:
        answer(json.dumps({"do": "step", "plan": "", "step": step.id, "form": True}))
