"""Numbers in drawings: from the calculators' own examples, in words or over a range."""

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.calculators.form import moved, read_inputs
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


def model(id, **typed):
    """A calculator's likely outputs over its own inputs, without words and ranges: quick enough for a curve.

    Parameters
    ----------
    id : str
        The calculator.
    **typed : str
        Fields; the others stand as in its example.

    Returns
    -------
    callable
        Takes fields to move, in SI units, and returns the outputs by name.
    """
    calculator = CALCULATORS[id]
    values = read_inputs(calculator.fields, calculator.alternatives, {**calculator.shown(), **typed}).values
    return lambda **changes: calculator.evaluate(moved(values, changes))


def said(result, output, figures=3):
    """One output in words, such as "11.3 V"."""
    found = result.output(output)
    return words.quantity(found.value, found.unit, figures)
