"""Who may import whom: read from the source, so that an import inside a function counts too."""

import ast
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

LAYERS = [
    {"units", "errors", "sources", "tables"},
    {"physics"},
    {"result"},
    {"calculators"},
    {"plan", "exercises"},
    {"render"},
    {"browser", "__main__"},
]
"""Each may import those before it; tables may import units; physics only mathematics and itself."""

OTHERS = {"units": {"pint"}, "render": {"markupsafe"}}
"""Packages beyond the standard library, and the only place each is used."""

FILES = {file.relative_to(ROOT).with_suffix("").as_posix().replace("/", ".").removesuffix(".__init__"): file for file in sorted((ROOT / "calc").rglob("*.py"))}


def piece(module):
    """ "calc.physics.circuit" → "physics"; the package itself is ""."""
    return module.split(".")[1] if "." in module else ""


def imports(module, source):
    """Every module a source imports, names of modules imported from a package included."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module}: imports inside calc are written out in full"
            for alias in node.names:
                whole = f"{node.module}.{alias.name}"
                yield whole if whole in FILES else node.module


def layer(module):
    return next((rank for rank, layer in enumerate(LAYERS) if piece(module) in layer), None)


def broken_rules(module, source):
    """What a module imports and may not."""
    for name in imports(module, source):
        top = name.split(".")[0]
        if top == "calc":
            ours, theirs = piece(module), piece(name)
            higher = theirs and layer(name) > layer(module)
            beside = theirs and layer(name) == layer(module) and theirs != ours and (ours, theirs) != ("tables", "units")
            impure = ours == "physics" and theirs != "physics"
            if higher or beside or impure:
                yield name
        elif top not in sys.stdlib_module_names and top not in OTHERS.get(piece(module), ()):
            yield name
        elif piece(module) == "physics" and top != "math":
            yield name


@pytest.mark.parametrize("module", FILES)
def test_imports_run_one_way(module):
    assert list(broken_rules(module, FILES[module].read_text("utf-8"))) == []


@pytest.mark.parametrize("module", FILES)
def test_every_module_has_its_layer(module):
    assert piece(module) == "" or layer(module) is not None


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("calc.physics.circuit", "import pint"),
        ("calc.physics.circuit", "from calc import units"),
        ("calc.physics.circuit", "from calc.units import to_si"),
        ("calc.physics.circuit", "import json"),
        ("calc.units", "from calc import tables"),
        ("calc.result", "from calc.calculators.form import Field"),
        ("calc.calculators.standby", "def late():\n    from calc.render import html"),
        ("calc.exercises.sets", "from calc.render import exercises"),
        ("calc.exercises.sets", "from calc.plan import document"),
        ("calc.plan.papers", "from calc.exercises import sets"),
        ("calc.render.html", "from calc.browser import answer"),
        ("calc.browser", "import js"),
        ("calc.browser", "from pyodide.ffi import to_js"),
        ("calc.render.html", "import mkdocs"),
        ("calc.__main__", "from playwright.sync_api import Page"),
        ("calc.calculators.standby", "import numpy"),
    ],
)
def test_a_wrong_import_is_caught(module, source):
    assert list(broken_rules(module, source)) != []


def test_no_circle_within_a_layer():
    """Modules of one layer may use each other, but not in a circle."""
    graph = {module: {name for name in imports(module, file.read_text("utf-8")) if name in FILES and name != module} for module, file in FILES.items()}
    done = set()
    while ready := {module for module in graph if module not in done and graph[module] <= done}:
        done |= ready
    assert graph.keys() - done == set()
