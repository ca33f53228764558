"""The browsers of the tests here, and the archive that they open."""

import zipfile
from pathlib import Path

import pytest
from workshop.bundle import make_bundle
from workshop.places import Places

from tests.engines import drivers

ROOT = Path(__file__).resolve().parents[2]

MISSING = drivers.missing()


@pytest.fixture(
    scope="session",
    params=[pytest.param(name, marks=pytest.mark.skipif(name in MISSING, reason=MISSING.get(name, ""))) for name in drivers.ENGINES],
)
def engine(request):
    """One browser of each engine for all tests here; each test has a server, and so an origin, of its own or leaves nothing behind."""
    browser = drivers.ENGINES[request.param]()
    yield browser
    browser.close()
    assert browser.trouble == []


@pytest.fixture(scope="session")
def unpacked(tmp_path_factory):
    """The archive of the built site, where paths are awkward; tests/browser/test_disk.py looks into it."""
    root = tmp_path_factory.mktemp("packing")
    (root / "build").mkdir()
    for name in ("site", "build/runtime", "pyproject.toml"):
        (root / name).symlink_to(ROOT / name)
    folder = tmp_path_factory.mktemp("stick") / "für unterwegs & so #1"
    with zipfile.ZipFile(make_bundle(Places(root))) as archive:
        archive.extractall(folder)
    (top,) = folder.iterdir()
    return top
