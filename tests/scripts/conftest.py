"""A project small enough to be built again and again: the real scripts, with two pages and one calculator."""

import os
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

# Does what a test asks of it.
BROWSER_MODULE = '''
import json
import os
import pkgutil

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
    if "ways_out" in wanted:
        import js

        return json.dumps([way for way in wanted["ways_out"] if getattr(js, way, None) is not None])
    area = registry.Quantity(wanted["side"], "foot") ** 2
    return json.dumps({"area": area.to("inch ** 2").magnitude, "text": str(markupsafe.escape("<b>"))})


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
def built(tmp_path_factory: pytest.TempPathFactory) -> Project:
    """The little project, built once with the packages that are already installed."""
    project = Project(tmp_path_factory.mktemp("project"))
    for file in (*ROOT.glob("*.lock"), *ROOT.glob("package*.json"), ROOT / "pyproject.toml"):
        shutil.copy(file, project.root)
    shutil.copytree(ROOT / "scripts", project.root / "scripts", ignore=shutil.ignore_patterns("__pycache__"))
    for name in (".venv", "node_modules"):
        (project.root / name).symlink_to(ROOT / name)
    project.write("calc/__init__.py", "")
    project.write("calc/browser.py", BROWSER_MODULE)
    project.write("calc/__main__.py", "raise SystemExit('only for a terminal')\n")
    project.write("calc/tables/units.txt", "inch = [length]\nfoot = 12 * inch\n")
    project.write("docs/index.md", "# First page\n")
    project.write("docs/other.md", "# Second page\n")
    project.write(
        "mkdocs.yml", "site_name: Little\nuse_directory_urls: false\ntheme:\n  name: material\n  font: false\n"
    )
    done = project.run("build")
    assert done.returncode == 0, done.stderr
    return project


@pytest.fixture
def project(built: Project, tmp_path: Path) -> Project:
    """A copy of the built little project that a test may change."""
    copy = tmp_path / "a projéct"
    shutil.copytree(built.root, copy, symlinks=True)
    return Project(copy)
