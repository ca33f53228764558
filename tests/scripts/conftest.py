"""A project small enough to be built again and again: the real scripts, with two pages and one calculator."""

import os
import shutil
import subprocess
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from workshop.places import Places
from workshop.runtime import PREPARED_FROM
from workshop.stamps import Stamp, fingerprint

ROOT = Path(__file__).resolve().parents[2]

# Does what a test asks of it.
BROWSER_MODULE = '''
import json
import os
import pkgutil
import random
import uuid

import markupsafe
import pint

registry = pint.UnitRegistry(None)
for line in pkgutil.get_data("calc", "tables/units.txt").decode().splitlines():
    registry.define(line)


def answer(request):
    """A docstring, which the page does not need."""
    wanted = json.loads(request)
    if "raise" in wanted:
        raise ValueError(wanted["raise"])
    if "abort" in wanted:
        os.abort()
    if "random" in wanted:
        return json.dumps([random.random(), uuid.uuid4().hex])
    if "read" in wanted:
        return json.dumps(pkgutil.get_data("calc", wanted["read"]).decode())
    if "reach" in wanted:
        return json.dumps(reach(wanted["reach"]))
    if "ways_out" in wanted:
        import js

        return json.dumps([way for way in wanted["ways_out"] if getattr(js, way, None) is not None])
    area = registry.Quantity(wanted["side"], "foot") ** 2
    return json.dumps({"area": area.to("inch ** 2").magnitude, "text": str(markupsafe.escape("<b>"))})


def reach(address):
    """Try every way to `address` that a worker might have; what becomes of each."""
    import js
    import pyodide.code

    ways = {
        "fetch": lambda: js.fetch(address),
        "XMLHttpRequest": lambda: get(js.XMLHttpRequest.new(), address),
        "WebSocket": lambda: js.WebSocket.new(address.replace("http", "ws")),
        "EventSource": lambda: js.EventSource.new(address),
        "importScripts": lambda: js.importScripts(address),
        "import": lambda: pyodide.code.run_js(f"import('{address}')"),
        "Worker": lambda: js.Worker.new(address),
        "caches": lambda: js.caches.open("x").then(lambda cache: cache.add(address)),
        "inherited": lambda: js.Reflect.apply(inherited(js.self, "fetch"), js.self, js.Array.of(address)),
    }
    found = {}
    for name, way in ways.items():
        try:
            way()
            found[name] = "went off"
        except Exception as error:
            found[name] = type(error).__name__
    return found


def inherited(thing, name):
    import js

    while getattr(thing, name, None) is None:
        thing = js.Object.getPrototypeOf(thing)
    return getattr(thing, name)


def get(request, address):
    request.open("GET", address)
    request.send()


def warm_up():
    answer('{"side": 1}')
'''


@dataclass(frozen=True)
class Project:
    root: Path

    def run(self, command: str, *arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [self.root / "scripts" / command, *arguments],
            cwd="/",
            env={**os.environ, **environment},
            capture_output=True,
            text=True,
            timeout=120,
        )

    def write(self, name: str, text: str) -> None:
        file = self.root / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")


@pytest.fixture(scope="session")
def built(made_once: Callable[[str, Callable[[Path], None]], Path]) -> Project:
    """The little project, built with the packages that are already installed, and left as it is."""
    return Project(made_once("project", lambda root: build(Project(root))))


def build(project: Project) -> None:
    project.root.mkdir()
    for file in (*ROOT.glob("*.lock"), *ROOT.glob("package*.json"), ROOT / "pyproject.toml"):
        shutil.copy(file, project.root)
    shutil.copytree(ROOT / "scripts", project.root / "scripts", ignore=shutil.ignore_patterns("__pycache__"))
    # What costs most of a build and has tests of its own: the last bytes of compression, and the browsers.
    replace(project.root / "scripts/compress.py", "LEVEL = 12", "LEVEL = 1")
    with open(project.root / "scripts/workshop/engines.py", "a", encoding="utf-8") as engines:
        engines.write('\n\ndef present():\n    return [Engine("Brief", "false", ())]\n')
    for name in (".venv", "node_modules"):
        (project.root / name).symlink_to(ROOT / name)
    project.write("calc/__init__.py", "")
    project.write("calc/browser.py", BROWSER_MODULE)
    project.write("calc/__main__.py", "raise SystemExit('only for a terminal')\n")
    project.write("calc/tables/units.txt", "inch = [length]\nfoot = 12 * inch\n")
    # The build tries the runtime with it.
    project.write("docs/assets/js/python.js", (ROOT / "docs/assets/js/python.js").read_text("utf-8"))
    project.write("docs/index.md", "# First page\n")
    project.write("docs/other.md", "# Second page\n")
    project.write(
        "mkdocs.yml", "site_name: Little\nuse_directory_urls: false\ntheme:\n  name: material\n  font: false\n"
    )
    # It has the packages of the handbook itself, so what was compiled of them for the page is the same.
    places = Places(project.root)
    shutil.copytree(ROOT / "build/prepared", places.prepared)
    Stamp(places.build / "prepared.stamp", places.prepared).write(fingerprint(places.root, PREPARED_FROM))
    done = project.run("build")
    assert done.returncode == 0, done.stderr
    assert done.stderr.splitlines() == [
        "Packing the calculators for the page",
        "Trying the in-page Python in Brief",
        "Brief is left out: it ends before it opens a page (false)",
        "Building the pages",
    ]


def replace(file: Path, old: str, new: str) -> None:
    text = file.read_text("utf-8")
    assert text.count(old) == 1, f"{file} has changed: {old}"
    file.write_text(text.replace(old, new), "utf-8")


@pytest.fixture
def project(built: Project, tmp_path: Path) -> Project:
    """A copy of the built little project that a test may change."""
    copy = tmp_path / "a projéct"
    shutil.copytree(built.root, copy, symlinks=True)
    return Project(copy)
