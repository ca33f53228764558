"""The one module the page calls: strings in, strings out.

The page hands over what was typed and puts back what it is given; it knows no field, no
unit and no formula.
"""

import json
from urllib.parse import urlencode

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.calculators.form import UNKNOWN
from calc.errors import FieldProblem, InputProblems
from calc.render import html


def answer(request):
    """Answer one request of the page.

    Parameters
    ----------
    request : str
        JSON: `calculator`, `id` (the prefix of its ids on the page), `values`, field name to
        text, and `start`, the values the form started with; a ticked "I don't know" comes as
        `NAME.unknown`.

    Returns
    -------
    str
        JSON: `slots` (name to HTML), `invalid` (names of fields with a problem), `unused`
        (names of fields that another one overrules), `usable` (whether there is an answer)
        and `share` (the inputs that differ from the start, for the address).

    Raises
    ------
    KeyError
        For a calculator that does not exist.
    """
    asked = json.loads(request)
    calculator = CALCULATORS[asked["calculator"]]
    typed, start = _typed(asked["values"]), _typed(asked["start"])
    share = urlencode({name: text for name, text in typed.items() if text != start.get(name)})
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
            }
        )
    return json.dumps(
        {
            "slots": html.slots(result, asked["id"]),
            "invalid": [],
            "unused": html.overruled(result, typed),
            "usable": True,
            "share": share,
        }
    )


def _typed(values):
    """Fold a ticked "I don't know" into its field."""
    ticked = {name.removesuffix(".unknown") for name in values if name.endswith(".unknown")}
    return {name: UNKNOWN if name in ticked else text for name, text in values.items() if not name.endswith(".unknown")}


def warm_up():
    """Run every calculator once, and one that fails, so that all is loaded before anyone asks."""
    for calculator in CALCULATORS.values():
        shown = calculator.shown()
        refused = {**shown, calculator.fields[0].name: "12 <b>"}
        for values in (shown, refused):
            answer(json.dumps({"calculator": calculator.id, "id": "warm-up", "values": values, "start": shown}))
