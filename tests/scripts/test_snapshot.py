"""The snapshot: it belongs to one machine and one library, tells nothing of who built it, and comes back to life."""

import gzip
import hashlib
import json
import shutil

import pytest
from workshop.console import Failure
from workshop.engines import present
from workshop.node import find_node
from workshop.places import HERE, Places
from workshop.runtime import pack
from workshop.trial import try_in

NODE = find_node(HERE)
# What every machine starts with; a page that needs more has to ask for it first.
MEMORY_AT_FIRST = 30 * 2**20


def header(runtime):
    content = snapshot(runtime)
    assert content[:4] == b"HBS1"
    return json.loads(content[8 : 8 + int.from_bytes(content[4:8], "little")])


def snapshot(runtime):
    return gzip.decompress(next(runtime.glob("*.snapshot.gz")).read_bytes())


@pytest.fixture
def runtime(built):
    return Places(built.root).runtime


def test_it_knows_its_machine_and_its_library(runtime):
    told = header(runtime)
    manifest = json.loads((runtime / "manifest.json").read_text())
    for part, kind in (("wasm", "wasm"), ("library", "stdlib")):
        content = gzip.decompress((runtime / manifest[kind]).read_bytes())
        assert told[part] == hashlib.sha256(content).hexdigest()[:16]


def test_it_holds_only_what_python_changed(runtime):
    told = header(runtime)
    (first, _), *_ = told["parts"]
    assert first >= 2**20, "what the machine lays out itself is not in it"
    ends = [end for part in told["parts"] for end in part]
    assert ends == sorted(ends)
    assert sum(end - start for start, end in told["parts"]) < told["memoryLength"] / 2


def test_it_tells_nothing_of_the_machine_that_built_it(built, runtime):
    content = snapshot(runtime)
    for told in (str(built.root), str(HERE.root), "node_modules", "library.zip", "pack.mjs"):
        assert told.encode() not in content


BALLAST = '\nballast = [bytearray(b"ballast " * 125_000) for _ in range(30)]\n'


@pytest.fixture(scope="module")
def heavy(built, tmp_path_factory):
    """The little project with 30 MB more in its memory than a machine has at first."""
    folder = tmp_path_factory.mktemp("heavy")
    calc = folder / "calc"
    shutil.copytree(built.root / "calc", calc, ignore=shutil.ignore_patterns("__pycache__"))
    with (calc / "browser.py").open("a") as module:
        module.write(BALLAST)
    pack(Places(built.root), NODE, calc, folder / "served/runtime")
    return folder / "served"


@pytest.fixture
def base_url(heavy, serve_folder):
    manifest = json.loads((heavy / "runtime/manifest.json").read_text())
    places = " ".join(f'data-{kind}="runtime/{manifest[kind]}"' for kind in ("worker", "wasm", "snapshot", "stdlib"))
    (heavy / "page.html").write_text(
        f'<!doctype html><title>Heavy</title><link rel="icon" href="data:,"><div id="python-runtime" {places}></div><script src="python.js"></script>'
    )
    shutil.copy(HERE.root / "docs/assets/js/python.js", heavy)
    with serve_folder(heavy) as server:
        yield server.address


@pytest.mark.parametrize("engine", present(), ids=lambda engine: engine.name)
def test_more_memory_than_a_machine_starts_with_in_each_engine(engine, heavy):
    try_in([engine], HERE, heavy / "runtime")


def test_more_memory_than_a_machine_starts_with(fresh_page, heavy):
    assert header(heavy / "runtime")["memoryLength"] > MEMORY_AT_FIRST
    fresh_page.goto("page.html")
    assert json.loads(fresh_page.evaluate("""Handbook.python.ask('{"side": 2}')"""))["area"] == 576.0
    assert fresh_page.evaluate("Handbook.python.facts.setback") is None


def test_a_calculator_that_cannot_be_run_stops_the_build(built, tmp_path):
    calc = tmp_path / "calc"
    shutil.copytree(built.root / "calc", calc, ignore=shutil.ignore_patterns("__pycache__"))
    (calc / "extra.py").write_text("import turtle\n")
    with pytest.raises(Failure, match="turtle"):
        pack(Places(built.root), NODE, calc, tmp_path / "output")
    assert not (tmp_path / "output/manifest.json").exists()


def test_the_handbooks_own_snapshot_is_small_enough():
    manifest = json.loads((HERE.runtime / "manifest.json").read_text())
    assert (HERE.runtime / manifest["snapshot"]).stat().st_size <= 4_500_000
