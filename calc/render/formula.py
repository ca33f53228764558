"""Formulas as a person reads them: plain text and MathML, with symbols or with numbers.

A formula is an expression in Python's syntax; it is read with Python's own parser, so the
formula shown, the formula checked and its precedence are one and the same.
"""

import ast
from functools import lru_cache

from markupsafe import escape

from calc.render.markup import Markup

from calc.units import restate_quantity

_GREEK = {"alpha": "α", "beta": "β", "gamma": "γ", "eta": "η", "rho": "ρ", "theta": "θ", "tau": "τ", "pi": "π", "DeltaT": "ΔT", "Delta": "Δ"}
_SIGNS = {ast.Add: " + ", ast.Sub: " − ", ast.Mult: "·", ast.Div: "/"}
_ROOTS = {"sqrt": "√", "cbrt": "∛"}
_RANK = {ast.Add: 1, ast.Sub: 1, ast.Mult: 2, ast.Div: 2, ast.USub: 3, ast.Pow: 4}


@lru_cache(maxsize=256)
def parse(formula):
    """The syntax tree of a formula.

    Parameters
    ----------
    formula : str
        Expression in Python's syntax.

    Returns
    -------
    ast.expr
        Its tree.
    """
    return ast.parse(formula, mode="eval").body


def to_text(formula, numbers=None):
    """A formula as one line of text.

    Parameters
    ----------
    formula : str
        Expression in Python's syntax.
    numbers : dict of str, optional
        Words to put in place of each name.

    Returns
    -------
    str
        For example "V_oc − I·R".
    """
    return _text(parse(formula), numbers)


def _text(node, numbers):
    if isinstance(node, ast.Constant):
        return f"{node.value:g}"
    if isinstance(node, ast.Name):
        return numbers[node.id] if numbers else symbol_text(node.id)
    if isinstance(node, ast.Call):
        return f"{_ROOTS.get(node.func.id, node.func.id)}({', '.join(_text(argument, numbers) for argument in node.args)})"
    if isinstance(node, ast.UnaryOp):
        return "−" + _grouped_text(node.operand, _RANK[ast.USub], numbers)
    kind = type(node.op)
    if kind is ast.Pow:
        base = _grouped_text(node.left, _RANK[kind], numbers)
        if numbers and isinstance(node.left, ast.Name) and not base.startswith("("):
            base = f"({base})"
        return base + _power(node.right, numbers)
    right_rank = _RANK[kind] + (kind in (ast.Sub, ast.Div))
    sign = " × " if numbers and kind is ast.Mult else " / " if numbers and kind is ast.Div else _SIGNS[kind]
    return _grouped_text(node.left, _RANK[kind], numbers) + sign + _grouped_text(node.right, right_rank, numbers)


def _power(node, numbers):
    if isinstance(node, ast.Constant):
        return {2: "²", 3: "³"}[node.value]
    return "^" + (_text(node, numbers) if isinstance(node, ast.Name) else f"({_text(node, numbers)})")


def _grouped_text(node, rank, numbers):
    text = _text(node, numbers)
    negative_number = numbers and isinstance(node, ast.Name) and text.startswith("−")
    return f"({text})" if _rank(node) < rank or negative_number else text


def _rank(node):
    return _RANK[type(node.op)] if isinstance(node, (ast.BinOp, ast.UnaryOp)) else 9


def symbol_text(name):
    """A symbol in text: "eta_full" → "η_full"."""
    head, _, index = name.partition("_")
    return _GREEK.get(head, head) + (f"_{index}" if index else "")


@lru_cache(maxsize=512)
def to_mathml(symbol, formula):
    """An equation as MathML, which browsers draw without help.

    Parameters
    ----------
    symbol : str
        Name on the left.
    formula : str
        Expression in Python's syntax.

    Returns
    -------
    Markup
        A `math` element.
    """
    return Markup('<math displaystyle="true"><mrow>{}<mo>=</mo>{}</mrow></math>').format(symbol_mathml(symbol), _mathml(parse(formula)))


def _mathml(node):
    if isinstance(node, ast.Constant):
        return Markup("<mn>{}</mn>").format(f"{node.value:g}")
    if isinstance(node, ast.Name):
        return symbol_mathml(node.id)
    if isinstance(node, ast.Call):
        return _call_mathml(node)
    if isinstance(node, ast.UnaryOp):
        return Markup("<mrow><mo>−</mo>{}</mrow>").format(_grouped_mathml(node.operand, _RANK[ast.USub]))
    kind = type(node.op)
    if kind is ast.Div:
        return Markup("<mfrac><mrow>{}</mrow><mrow>{}</mrow></mfrac>").format(_mathml(node.left), _mathml(node.right))
    if kind is ast.Pow:
        return Markup("<msup><mrow>{}</mrow>{}</msup>").format(_grouped_mathml(node.left, _RANK[kind]), _mathml(node.right))
    right_rank = _RANK[kind] + (kind is ast.Sub)
    sign = Markup("<mo>{}</mo>").format(_SIGNS[kind].strip())
    return Markup("<mrow>{}{}{}</mrow>").format(_grouped_mathml(node.left, _RANK[kind]), sign, _grouped_mathml(node.right, right_rank))


def _call_mathml(node):
    """A root is drawn as one; any other function is its name and its arguments in brackets."""
    inside = Markup("<mo>,</mo>").join(map(_mathml, node.args))
    if node.func.id == "sqrt":
        return Markup("<msqrt>{}</msqrt>").format(inside)
    if node.func.id == "cbrt":
        return Markup("<mroot><mrow>{}</mrow><mn>3</mn></mroot>").format(inside)
    return Markup("<mrow><mi>{}</mi><mo>(</mo>{}<mo>)</mo></mrow>").format(node.func.id, inside)


def _grouped_mathml(node, rank):
    inner = _mathml(node)
    fraction = isinstance(node, ast.BinOp) and isinstance(node.op, ast.Div)
    if _rank(node) < rank or (fraction and rank == _RANK[ast.Pow]):
        return Markup("<mrow><mo>(</mo>{}<mo>)</mo></mrow>").format(inner)
    return inner


@lru_cache(maxsize=256)
def symbol_mathml(name):
    """A symbol in MathML, its index as a subscript."""
    head, _, index = name.partition("_")
    main = Markup("<mi>{}</mi>").format(escape(_GREEK.get(head, head)))
    return Markup("<msub>{}<mtext>{}</mtext></msub>").format(main, index.replace("_", " ")) if index else main


def number(value, unit):
    """A number of the working with its unit, to five figures: enough to check it by hand.

    Parameters
    ----------
    value : float
        In SI units (°C for temperatures).
    unit : str
        Display unit.

    Returns
    -------
    str
        Number and unit.
    """
    return restate_quantity(value, unit)


def substituted(step):
    """A step's formula with its numbers in place of the symbols, as text.

    Parameters
    ----------
    step : Step
        One line of working.

    Returns
    -------
    str
        For example "12.6 V − 94.4 A × 9.977 mΩ".
    """
    return to_text(step.formula, {name: number(value, unit) for name, (value, unit) in step.inputs.items()})
