"""Reads a displayed line of working back from its text, and works it out again with pint."""

import ast
import functools
import math
import re

import pint
import pytest

from calc.render import formula

UNITS = pint.UnitRegistry()
FIGURES = 5
NUMBER = r"(?P<number>\d+(?:\.\d+)?)(?:(?:\u00a0|(?=°(?!C)))(?P<unit>[^\s()]+))?"

FUNCTIONS = {"sqrt": lambda x: x**0.5, "cbrt": math.cbrt, "sin": math.sin, "exp": math.exp, "log": math.log, "ln": math.log}


def as_python(text):
    """Displayed mathematics in Python's syntax: "V_oc − I·√(R)²" → "V_oc - I*sqrt(R)**2"."""
    signs = {"−": "-", "·": "*", "×": "*", "√(": "sqrt(", "∛(": "cbrt(", "²": "**2", "³": "**3", "^": "**"}
    for sign, python in signs.items():
        text = text.replace(sign, python)
    return text


def displayed_number(text):
    """ "94.4 A" → (94.4, "A", half of its fifth figure)."""
    found = re.fullmatch(r"(?P<sign>−?)" + NUMBER, text)
    number = float(found["number"])
    half = 0.5 * 10 ** (math.floor(math.log10(number)) - FIGURES + 1) if number else 0.0
    return (-number if found["sign"] else number), found["unit"] or "", half


@functools.cache
def unit(name):
    """A displayed unit in pint; °C counts as kelvin, since every formula here takes differences."""
    return UNITS.Unit({"°C": "kelvin", "": "dimensionless"}.get(name, name))


@functools.cache
def factor(name):
    """What one displayed unit is in SI; a quarter of a million numbers go through it."""
    return float(UNITS.Quantity(1.0, unit(name)).to_base_units().magnitude)


def in_si(number, name):
    return number * factor(name)


@functools.cache
def compiled(expression):
    return compile(expression, "<displayed>", "eval")


def evaluate(expression, names):
    return eval(compiled(expression), FUNCTIONS, names)  # the displayed formula, nothing else


def check(step):
    """Everything a displayed line of working promises; raises AssertionError where it is broken."""
    symbols = formula.to_text(step.formula)
    numbers = {name: displayed_number(formula.number(value, shown)) for name, (value, shown) in step.inputs.items()}
    value, value_unit, value_half = displayed_number(formula.number(step.value, step.unit))

    by_symbol = {formula.symbol_text(name): numbers[name] for name in numbers}
    expression = as_python(symbols)
    assert {node.id for node in ast.walk(ast.parse(expression)) if isinstance(node, ast.Name)} - FUNCTIONS.keys() == set(by_symbol)

    # The value's unit, by dimension.
    found = evaluate(expression, {name: UNITS.Quantity(number, unit(shown)) for name, (number, shown, _) in by_symbol.items()})
    assert UNITS.Quantity(found).is_compatible_with(unit(value_unit)), f"{symbols} is not in {value_unit}"

    # The value, within what rounding for display allows.
    nominal = {name: in_si(number, shown) for name, (number, shown, _) in by_symbol.items()}
    computed = evaluate(expression, nominal)
    slack = in_si(value_half, value_unit)
    for name, (number, shown, half) in by_symbol.items():
        moved = [evaluate(expression, {**nominal, name: in_si(number + way * half, shown)}) for way in (-1, 1)]
        slack += max(abs(end - computed) for end in moved if not isinstance(end, complex))
    assert abs(computed - in_si(value, value_unit)) <= 1.01 * slack + 1e-12 * abs(computed), f"{symbols}: {formula.substituted(step)} is not {value} {value_unit}"

    # The line with numbers is the same formula, with the same numbers.
    plain = re.sub(NUMBER, lambda match: f"({in_si(float(match['number']), match['unit'] or '')!r})", formula.substituted(step))
    assert evaluate(as_python(plain), {}) == pytest.approx(computed, rel=1e-12, abs=1e-300)
