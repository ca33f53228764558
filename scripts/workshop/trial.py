"""Trying the in-page Python in the browsers of this machine before a site is made of it."""

import contextlib
import json
import time
from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from .console import Failure, say
from .engines import Engine, listening, opened
from .places import Places

# Under half a CPU a browser needs ten seconds for all of it.
PATIENCE = 60

PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Trial</title></head><body>
<div id="python-runtime" hidden data-worker="{worker}" data-wasm="{wasm}" data-snapshot="{snapshot}" data-stdlib="{stdlib}"></div>
<script src="python.js"></script><script src="trial.js"></script></body></html>"""

# What is asked makes Python raise an exception or answer; either way it is alive.
SCRIPT = """Handbook.python.ask("{}").catch(() => {}).then(() => {
  const { state, detail, facts } = Handbook.python;
  location.replace(`told?${encodeURIComponent(JSON.stringify({ state, detail, setback: facts && facts.setback }))}`);
});"""


def try_in(engines: Sequence[Engine], places: Places, runtime: Path) -> None:
    """Fail unless the snapshot in `runtime` comes back to life in each of `engines` that starts at all."""
    if not engines:
        return
    say(f"Trying the in-page Python in {', '.join(engine.name for engine in engines)}")
    manifest = json.loads((runtime / "manifest.json").read_text("utf-8"))
    extra = {
        "trial.html": PAGE.format(**manifest).encode(),
        "trial.js": SCRIPT.encode(),
        "python.js": (places.root / "docs/assets/js/python.js").read_bytes(),
    }
    # All at once: most of the time each waits for something.
    with ThreadPoolExecutor(len(engines)) as pool:
        for engine, found in zip(engines, pool.map(lambda engine: _found(engine, runtime, extra), engines), strict=True):
            if found:
                _judge(engine, found)
            else:
                say(f"{engine.name} is left out: it ends before it opens a page ({engine.program})")


def _found(engine: Engine, runtime: Path, extra: Mapping[str, bytes]) -> dict | None:
    """What the page in it reports; nothing for a browser that does not come so far as to ask for the page."""
    with listening(runtime, extra) as server, opened(engine, f"{server.address}trial.html") as process:
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            with contextlib.suppress(TimeoutError):
                return server.report(min(PATIENCE, 0.5))
            if process.poll() is not None and not server.requested:
                return None
    raise Failure(
        f"{engine.name} ({engine.program}) reported nothing within {PATIENCE} s: mend or remove it, since the "
        "snapshot is tried in every browser that is there"
    )


def _judge(engine: Engine, found: dict) -> None:
    if found["state"] != "ready":
        raise Failure(f"The in-page Python does not start in {engine.name}: {found['detail']}")
    if found["setback"]:
        raise Failure(f"The snapshot does not come back to life in {engine.name}: {found['setback']['detail']}")
