"""A docstring is a contract: it names what the function takes and gives, in what unit."""

import ast
import doctest
import inspect
import re
import textwrap

import pytest

import calc.physics
from tests.calc import docstrings
from tests.calc.docstrings import PHYSICS

MODULES = docstrings.modules()
PUBLIC = {f"{module.__name__}.{name}": thing for module in MODULES for name, thing in docstrings.public(module).items()}
METHODS = {
    f"{place}.{name}": method
    for place, thing in PUBLIC.items()
    if inspect.isclass(thing)
    for name, method in vars(thing).items()
    if not name.startswith("_") and (inspect.isfunction(method) or isinstance(method, property))
}


def by_id(things):
    return pytest.mark.parametrize("thing", things.values(), ids=things)


@by_id({module.__name__: module for module in MODULES} | PUBLIC | METHODS)
def test_everything_public_has_a_docstring(thing):
    opening = docstrings.read(thing).opening
    assert re.match(r"\S.*[.:?]", opening, re.DOTALL), "a docstring opens with a sentence"


@by_id(PUBLIC)
def test_sections_stand_in_their_order(thing):
    order = docstrings.read(thing).order
    assert [section for section in docstrings.SECTIONS if section in order] == list(order)


@by_id({place: thing for place, thing in PUBLIC.items() if inspect.isroutine(thing) and docstrings.read(thing).sections})
def test_parameters_are_those_of_the_signature(thing):
    """`a, b : float` names two."""
    named = [name for entry in docstrings.read(thing).entries("Parameters") for name in entry.name.split(", ")]
    assert named == list(inspect.signature(thing).parameters)


@by_id(PHYSICS)
def test_a_formula_has_every_section(thing):
    order = docstrings.read(thing).order
    assert [section for section in order if section != "Raises"] == ["Parameters", "Returns", "Notes", "References", "Examples"]


@by_id(PHYSICS)
def test_a_formula_opens_with_a_sentence_and_its_equation(thing):
    sentence, _, equation = docstrings.read(thing).opening.partition("\n\n")
    assert re.fullmatch(r"[A-Z].*\.", sentence, re.DOTALL)
    assert re.search(r"[=√Σ]", equation), "the equation follows the sentence"


@by_id(PHYSICS)
def test_every_value_of_a_formula_ends_with_its_unit(thing):
    entries = docstrings.read(thing).entries("Parameters") + docstrings.read(thing).entries("Returns")
    assert [entry.name for entry in entries if entry.unit is None] == []
    assert all(entry.type for entry in entries)


@by_id(PHYSICS)
def test_a_formula_says_what_it_raises(thing):
    tree = ast.parse(textwrap.dedent(inspect.getsource(thing)))
    raised = {node.exc.func.id for node in ast.walk(tree) if isinstance(node, ast.Raise)}
    assert raised == {entry.name for entry in docstrings.read(thing).entries("Raises")}


@by_id({module.__name__: module for module in docstrings.modules(calc.physics)[1:]})
def test_a_physics_module_lists_its_formulas(thing):
    listed = re.findall(r"^([a-z_]+(?:, [a-z_]+)*)  +\S", thing.__doc__, re.MULTILINE)
    assert sorted(name for line in listed for name in line.split(", ")) == sorted(docstrings.public(thing))


def test_the_physics_package_lists_its_modules():
    listed = re.findall(r"^([a-z_]+)  +\S", calc.physics.__doc__, re.MULTILINE)
    assert sorted(listed) == sorted(module.__name__.rpartition(".")[2] for module in docstrings.modules(calc.physics)[1:])


@by_id({module.__name__: module for module in MODULES})
def test_examples_are_true(thing):
    finder, runner = doctest.DocTestFinder(exclude_empty=True), doctest.DocTestRunner()
    for example in finder.find(thing):
        runner.run(example)
    assert runner.summarize(verbose=False).failed == 0


@by_id(PHYSICS)
def test_every_formula_has_an_example(thing):
    assert doctest.DocTestParser().get_examples(thing.__doc__)


def test_a_formula_is_pure():
    """No formula reads a file, keeps state or leaves a trace: its module holds functions and constants only."""
    for module in docstrings.modules(calc.physics)[1:]:
        allowed = (ast.FunctionDef, ast.Assign, ast.Expr, ast.Import, ast.ImportFrom)
        body = ast.parse(inspect.getsource(module)).body
        assert all(isinstance(node, allowed) for node in body)
        assert not any(isinstance(node, (ast.Global, ast.Nonlocal)) for node in ast.walk(ast.Module(body, [])))


def a_lying_formula(power, voltage):
    """Current.

    I = P/V.

    Parameters
    ----------
    voltage : float
        [V]
    power : float
        Power drawn

    Returns
    -------
    current : float
        [A]
    """


def test_a_lying_docstring_is_caught():
    read = docstrings.read(a_lying_formula)
    assert [entry.name for entry in read.entries("Parameters")] == ["voltage", "power"] != list(inspect.signature(a_lying_formula).parameters)
    assert [entry.unit for entry in read.entries("Parameters")] == ["V", None]
    assert read.order == ("Parameters", "Returns")
