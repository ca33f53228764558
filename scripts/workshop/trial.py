"""Trying the in-page Python in the browsers of this machine before a site is made of it."""

import json
from collections.abc import Iterable
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


def try_in(engines: Iterable[Engine], places: Places, runtime: Path) -> None:
    """Fail unless the snapshot in `runtime` comes back to life in each of `engines`."""
    manifest = json.loads((runtime / "manifest.json").read_text("utf-8"))
    extra = {
        "trial.html": PAGE.format(**manifest).encode(),
        "trial.js": SCRIPT.encode(),
        "python.js": (places.root / "docs/assets/js/python.js").read_bytes(),
    }
    for engine in engines:
        say(f"Trying the in-page Python in {engine.name}")
        with listening(runtime, extra) as server, opened(engine, f"{server.address}trial.html"):
            try:
                found = server.report(PATIENCE)
            except TimeoutError:
                raise Failure(
                    f"{engine.name} ({engine.program}) reported nothing within {PATIENCE} s: mend or remove it, since the "
                    "snapshot is tried in every browser that is there"
                ) from None
        _judge(engine, found)


def _judge(engine: Engine, found: dict) -> None:
    if found["state"] != "ready":
        raise Failure(f"The in-page Python does not start in {engine.name}: {found['detail']}")
    if found["setback"]:
        raise Failure(f"The snapshot does not come back to life in {engine.name}: {found['setback']['detail']}")
