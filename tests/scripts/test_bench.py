"""The bench: what it asks, how it reckons and how it tells it. What it measures is not tested: that is its business."""

import json
import os
import subprocess
from pathlib import Path

import pytest
from workshop import bench, quota
from workshop.console import Failure
from workshop.engines import present
from workshop.places import HERE

from calc.browser import flat
from calc.calculators import CALCULATORS

FIRST = {
    "ours": {"cold": [500, 700, 600], "warm": [300, 310, 290]},
    "bare": {"cold": [2400, 2400, 2400], "warm": [1500, 1500, 1400]},
    "page": {"cold": [900, 960, 970], "warm": [600, 700, 750]},
    "offline": {"cold": [840, 850, 830], "warm": [600, 610, 590]},
    "library": [1200, 1200, 1300],
    "disk": [700, 720, 710],
    "stall": [12, 48, 20],
    "steps": [{"until begun": 10, "machine": 200}, {"until begun": 12, "machine": 220}],
}
FOUND = {
    "runs": 3,
    "engines": {
        "Some": {
            "first_answer": FIRST,
            "half_a_cpu": "not measured: no CPU quota can be set here (Permission denied)",
            "bytes": {"pages": {"files": 1, "bytes": 40_000, "compressed": 9_000}},
            "recompute": {"standby": {"inPython": list(range(1, 101)), "roundTrip": list(range(2, 102))}},
        }
    },
    "native": {"import": [200.0, 210.0, 190.0], "answers": {"standby": [1.0] * 100}},
    "build_seconds": {"runtime": 9.04, "pages": 3.3},
}


def test_the_table_tells_medians_and_ratios():
    lines = [" ".join(line.split()) for line in bench.table(FOUND).splitlines()]
    assert "empty page, cold 600 2400 0.25" in lines
    assert "empty page, warm 300 1500 0.20" in lines
    assert "empty page, cold, without snapshot 1200 2400 0.50" in lines
    assert "page of the handbook, cold 960 2400 0.40" in lines
    assert "page of the handbook, warm 700 1500 0.47" in lines
    assert "page of the handbook, from disk, cold 710 2400 0.30" in lines
    assert "Of the first line, ms (machine and snapshot come side by side): until begun 11, machine 210" in lines
    assert "under half a CPU: not measured: no CPU quota can be set here (Permission denied)" in lines
    assert "from the offline copy, cold 840 2400 0.35" in lines
    assert "from the offline copy, warm 600 1500 0.40" in lines
    assert "The handbook's page stood still for at most 48 ms (median 20)" in lines
    assert "standby 50.5 95.0 51.5 96.0 1.0 1.0" in lines
    assert "pages 1 40 9" in lines
    assert "calc is imported in 200 ms natively" in lines


def test_under_half_a_cpu_both_are_told():
    slowed = {"steps": [], "ours": {"cold": [2000], "warm": [1000]}, "bare": {"cold": [8000], "warm": [8000]}, "offline": {"cold": [3000], "warm": [2400]}}
    found = {**FOUND, "engines": {"Some": {**FOUND["engines"]["Some"], "half_a_cpu": slowed}}}
    lines = [" ".join(line.split()) for line in bench.table(found).splitlines()]
    assert "empty page, cold, half a CPU 2000 8000 0.25" in lines
    assert "from the offline copy, cold, half a CPU 3000 8000 0.38" in lines
    assert "from the offline copy, warm, half a CPU 2400 8000 0.30" in lines


def test_what_was_not_measured_of_the_offline_copy_is_told_with_its_reason():
    first = {**FIRST, "offline": "not measured: Some did not answer: refused"}
    found = {**FOUND, "engines": {"Some": {**FOUND["engines"]["Some"], "first_answer": first}}}
    assert "  from the offline copy: not measured: Some did not answer: refused" in bench.table(found).splitlines()


@pytest.mark.parametrize("engine", present()[:1], ids=lambda engine: engine.name)
def test_the_kept_copy_is_measured_with_the_server_stopped(engine):
    """Once: how long it takes is the bench's business, that it answers is not."""
    measuring = bench.Bench.__new__(bench.Bench)
    measuring.places, measuring.scripts = HERE, HERE.root / "scripts/benchmark"
    start = flat(CALCULATORS["standby"].shown())
    measuring.asks = {"requests": {"standby": {"asked": [json.dumps({"calculator": "standby", "id": "standby", "values": start, "start": start})]}}}
    found = {"cold": [], "warm": []}
    with measuring.kept(engine) as kept:
        measuring._kept_visits(engine, kept, found)
    assert kept.problem == ""
    assert found["cold"][0] > 0 and found["warm"][0] > 0


@pytest.mark.skipif(not present(), reason="no browser is installed that needs no driver")
def test_a_browser_that_keeps_nothing_is_told_with_its_words(monkeypatch):
    measuring = bench.Bench.__new__(bench.Bench)
    measuring.places, measuring.scripts = HERE, HERE.root / "scripts/benchmark"
    measuring.asks = {"requests": {"standby": {"asked": ["{}"]}}}
    script = measuring._script
    refusing = b"CacheStorage.prototype.open = async () => { throw new DOMException('Storage is off', 'SecurityError'); };\n"
    monkeypatch.setattr(measuring, "_script", lambda name: (refusing if name == "keep.js" else b"") + script(name))
    found = {"cold": [], "warm": []}
    with measuring.kept(present()[0]) as kept:
        measuring._kept_visits(present()[0], kept, found)
    assert "did not answer: There is no room on this device, or the browser refused it (Storage is off)" in kept.problem
    assert found == {"cold": [], "warm": []}


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("assets/runtime/python-0123456789abcdef.wasm.gz", "runtime: python.wasm.gz"),
        ("assets/runtime/worker-0123456789abcdef.js", "runtime: worker.js"),
        ("search/search_index.json", "search index"),
        ("calculators/standby.html", "pages"),
        ("assets/js/forms.0123456789abcdef.js", "scripts"),
        ("assets/icon.svg", "other"),
    ],
)
def test_files_are_told_by_kind(name, kind):
    assert bench._kind(name) == kind


def test_what_is_asked_changes_one_field_each_time(tmp_path, monkeypatch):
    program = (HERE.root / "scripts/benchmark/asks.py").read_text().replace("ASKED = 200", "ASKED = 5").replace("WARMING = 20", "WARMING = 2")
    program = program.replace("Path(__file__).resolve().parents[2]", f"Path({str(HERE.root)!r})")
    (tmp_path / "asks.py").write_text(program)
    subprocess.run([HERE.python, tmp_path / "asks.py", tmp_path / "asks.json"], check=True)
    found = json.loads((tmp_path / "asks.json").read_text())
    assert found["requests"].keys() == found["native"].keys() == {*CALCULATORS, "worksheet"}
    for id, each in found["requests"].items():
        requests = [json.loads(text) for text in each["warming"] + each["asked"]]
        assert (len(each["warming"]), len(each["asked"]), len(found["native"][id])) == (2, 5, 5)
        assert len({json.dumps(request) for request in requests}) == len(requests)
        if id == "worksheet":
            assert all(request["edit"]["path"].endswith(".power") for request in requests)
            continue
        for request in requests:
            assert len([name for name, text in request["values"].items() if text != request["start"][name]]) == 1


def test_a_process_that_joins_is_held_to_half_a_cpu():
    try:
        with quota.half_a_cpu() as joins:
            program = "import time\nwhile time.process_time() < 0.5: pass\nprint(open('/proc/self/cgroup').read())"
            before = os.times().elapsed
            done = subprocess.run([HERE.python, "-c", program], preexec_fn=joins, capture_output=True, text=True, check=True)
            assert os.times().elapsed - before > 0.9
            assert f"handbook-{os.getpid()}" in done.stdout
    except Failure as problem:
        assert "no CPU quota can be set here" in str(problem)
    assert not list(Path("/sys/fs/cgroup").glob(f"**/handbook-{os.getpid()}"))


def test_where_no_quota_can_be_set_it_says_so(tmp_path, monkeypatch):
    monkeypatch.setattr(quota, "GROUPS", tmp_path / "missing")
    with pytest.raises(Failure, match="no CPU quota can be set here"), quota.half_a_cpu():
        pass
