"""The lock files: every download named by its hash, and by nothing else."""

import json
import re
import tomllib

import pytest
from workshop.places import HERE

LOCKS = ("requirements.lock", "requirements-test.lock", "requirements-node.lock")


def entries(name):
    """Requirement lines and the number of hashes of each."""
    text = (HERE.root / name).read_text().replace("\\\n", " ")
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    return {line.split("--hash")[0].strip(): line.count("--hash=sha256:") for line in lines}


@pytest.mark.parametrize("name", LOCKS)
def test_every_package_has_one_version_and_its_hashes(name):
    found = entries(name)
    assert found
    for requirement, hashes in found.items():
        assert re.match(r"[a-z0-9-]+==\S+( ; .+)?$", requirement)
        assert hashes > 0


@pytest.mark.parametrize("name", [*LOCKS, "package-lock.json", ".npmrc", "pyproject.toml"])
def test_no_file_says_where_packages_come_from(name):
    text = (HERE.root / name).read_text()
    assert "://" not in text
    assert '"resolved"' not in text


def test_the_tests_run_with_the_versions_that_build_the_site():
    assert entries("requirements.lock").items() <= entries("requirements-test.lock").items()


def test_the_interpreter_is_locked_by_its_content():
    packages = json.loads((HERE.root / "package-lock.json").read_text())["packages"]
    asked = json.loads((HERE.root / "package.json").read_text())["dependencies"]
    assert asked == {"pyodide": packages["node_modules/pyodide"]["version"]}
    for name, package in packages.items():
        assert name == "" or package["integrity"].startswith("sha512-")


def test_the_locks_meet_what_the_project_asks_for():
    project = tomllib.loads((HERE.root / "pyproject.toml").read_text())["project"]
    asked = project["dependencies"] + [each for extra in project["optional-dependencies"].values() for each in extra]
    locked = {re.split("==| ;", entry)[0] for entry in entries("requirements-test.lock")}
    assert {re.split("[=<>]", each)[0] for each in asked} <= locked
    pinned = {each for each in asked if "==" in each}
    assert pinned <= entries("requirements-test.lock").keys()
