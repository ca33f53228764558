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


def of_each(things):
    """One test for all of them, in which a failure names its own: most take less time than it is to be a test."""

    def of_all(test):
        def whole():
            for place, thing in things.items():
                try:
                    test(thing)
                except Exception as problem:
                    problem.add_note(f"in {place}")
                    raise

        whole.__doc__ = test.__doc__
        return whole

    return of_all


@of_each({module.__name__: module for module in MODULES} | PUBLIC | METHODS)
def test_everything_public_has_a_docstring(thing):
    opening = docstrings.read(thing).opening
    assert re.match(r"\S.*[.:?]", opening, re.DOTALL), "a docstring opens with a sentence"


@of_each(PUBLIC)
def test_sections_stand_in_their_order(thing):
    order = docstrings.read(thing).order
    assert [section for section in docstrings.SECTIONS if section in order] == list(order)


@of_each({place: thing for place, thing in PUBLIC.items() if inspect.isroutine(thing) and docstrings.read(thing).sections})
def test_parameters_are_those_of_the_signature(thing):
    """`a, b : float` names two."""
    named = [name for entry in docstrings.read(thing).entries("Parameters") for name in entry.name.split(", ")]
    assert named == list(inspect.signature(thing).parameters)


@of_each(PHYSICS)
def test_a_formula_has_every_section(thing):
    order = docstrings.read(thing).order
    assert [section for section in order if section != "Raises"] == ["Parameters", "Returns", "Notes", "References", "Examples"]


@of_each(PHYSICS)
def test_a_formula_opens_with_a_sentence_and_its_equation(thing):
    sentence, _, equation = docstrings.read(thing).opening.partition("\n\n")
    assert re.fullmatch(r"[A-Z].*\.", sentence, re.DOTALL)
    assert re.search(r"[=√Σ]", equation), "the equation follows the sentence"


@of_each(PHYSICS)
def test_every_value_of_a_formula_ends_with_its_unit(thing):
    entries = docstrings.read(thing).entries("Parameters") + docstrings.read(thing).entries("Returns")
    assert [entry.name for entry in entries if entry.unit is None] == []
    assert all(entry.type for entry in entries)


@of_each(PHYSICS)
def test_a_formula_says_what_it_raises(thing):
    tree = ast.parse(textwrap.dedent(inspect.getsource(thing)))
    raised = {node.exc.func.id for node in ast.walk(tree) if isinstance(node, ast.Raise)}
    assert raised == {entry.name for entry in docstrings.read(thing).entries("Raises")}


@of_each({module.__name__: module for module in docstrings.modules(calc.physics)[1:]})
def test_a_physics_module_lists_its_formulas(thing):
    listed = re.findall(r"^([a-z_]+(?:, [a-z_]+)*)  +\S", thing.__doc__, re.MULTILINE)
    assert sorted(name for line in listed for name in line.split(", ")) == sorted(docstrings.public(thing))


def test_the_physics_package_lists_its_modules():
    listed = re.findall(r"^([a-z_]+)  +\S", calc.physics.__doc__, re.MULTILINE)
    assert sorted(listed) == sorted(module.__name__.rpartition(".")[2] for module in docstrings.modules(calc.physics)[1:])


@pytest.mark.parametrize("thing", MODULES, ids=lambda module: module.__name__)
def test_examples_are_true(thing):
    finder, runner = doctest.DocTestFinder(exclude_empty=True), doctest.DocTestRunner()
    for example in finder.find(thing):
        runner.run(example)
    assert runner.summarize(verbose=False).failed == 0


@of_each(PHYSICS)
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
