"""The snapshot: it belongs to one machine and one library, tells nothing of who built it, and comes back to life."""

import gzip
import hashlib
import json
import shutil

import pytest
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
    # The worker compares each with its own.
    expected = {part: told[part] for part in ("wasm", "library")}
    assert f'"set":{json.dumps(expected, separators=(",", ":"))}' in (runtime / manifest["worker"]).read_text("utf-8")


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
def heavy(built, made_once):
    """The little project with 30 MB more in its memory than a machine has at first."""

    def make(folder):
        calc = folder / "calc"
        shutil.copytree(built.root / "calc", calc, ignore=shutil.ignore_patterns("__pycache__"))
        with (calc / "browser.py").open("a") as module:
            module.write(BALLAST)
        pack(Places(built.root), NODE, calc, folder / "served/runtime")

    return made_once("heavy", make) / "served"


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


def test_another_calc_makes_another_set(runtime, heavy):
    first, other = (json.loads((folder / "manifest.json").read_text()) for folder in (runtime, heavy / "runtime"))
    # The worker and the snapshot hold the name of the library they belong to; the machine is the same.
    assert {kind for kind in first if first[kind] != other[kind]} == {"worker", "snapshot", "stdlib"}


@pytest.mark.parametrize("engine", [engine for engine in present() if engine.name != "Chromium"], ids=lambda engine: engine.name)
def test_more_memory_than_a_machine_starts_with_in_other_engines(engine, heavy):
    try_in([engine], HERE, heavy / "runtime")


def test_more_memory_than_a_machine_starts_with(fresh_page, heavy):
    assert header(heavy / "runtime")["memoryLength"] > MEMORY_AT_FIRST
    fresh_page.goto("page.html")
    assert json.loads(fresh_page.evaluate("""Handbook.python.ask('{"side": 2}')"""))["area"] == 576.0
    assert fresh_page.evaluate("Handbook.python.facts.setback") is None


def test_the_handbooks_own_snapshot_is_small_enough():
    manifest = json.loads((HERE.runtime / "manifest.json").read_text())
    assert (HERE.runtime / manifest["snapshot"]).stat().st_size <= 4_500_000
