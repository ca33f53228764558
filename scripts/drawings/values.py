"""Numbers in drawings: from the calculators' own examples, in words."""

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.render import words


def answered(id, **typed):
    """A calculator's result for its example, with some fields typed otherwise.

    Parameters
    ----------
    id : str
        The calculator.
    **typed : str
        Fields.

    Returns
    -------
    Result
        Its answer.
    """
    calculator = CALCULATORS[id]
    return run(calculator, {**calculator.shown(), **typed})


def said(result, output, figures=3):
    """One output in words, such as "11.3 V"."""
    found = result.output(output)
    return words.quantity(found.value, found.unit, figures)
