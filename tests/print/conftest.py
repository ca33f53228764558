"""The books, printed once for all tests."""

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pikepdf
import pytest
from printing import library
from workshop.machine import driven_browser

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def shelf(made_once: Callable[[str, Callable[[Path], None]], Path]) -> Path:
    """The folder with every book, and what was said while they were printed."""

    def make(folder: Path) -> None:
        command = [sys.executable, "-m", "printing", "--browser", driven_browser(), "--into", folder]
        done = subprocess.run(command, cwd=ROOT / "scripts", capture_output=True, text=True, timeout=240)
        assert done.returncode == 0, done.stderr
        (folder / "said.txt").write_text(done.stdout, "utf-8")

    return made_once("shelf", make)


@pytest.fixture(scope="session", params=library.BOOKS)
def book(request: pytest.FixtureRequest, shelf: Path) -> pikepdf.Pdf:
    """Each book in turn."""
    with pikepdf.open(shelf / f"{request.param}.pdf") as document:
        yield document


@pytest.fixture(scope="session")
def handbook(shelf: Path) -> pikepdf.Pdf:
    with pikepdf.open(shelf / "handbook-a4.pdf") as document:
        yield document
