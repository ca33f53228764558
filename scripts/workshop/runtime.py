"""The files of the in-page Python: made by the Node.js programs of `scripts/runtime`.

Two steps, kept apart because the first is slow and seldom needed: compiling
the standard library and the packages that `calc` uses, and then picking what
`calc` really imports and putting it together with `calc` itself.
"""

from functools import partial
from pathlib import Path

from .console import say
from .engines import present
from .node import Node
from .places import Places
from .programs import run
from .stamps import ensure_folder, fingerprint
from .trial import try_in

# What the first step depends on; the rest of scripts/runtime belongs to the second.
PREPARED_FROM = (
    "package-lock.json",
    "requirements.lock",
    "scripts/runtime/compiling.py",
    "scripts/runtime/files.mjs",
    "scripts/runtime/prepare.mjs",
    "scripts/runtime/prepare.py",
    "scripts/runtime/python.mjs",
)
MADE_FROM = ("package-lock.json", "requirements.lock", "scripts/runtime", "calc")


def ensure_runtime(places: Places, node: Node) -> None:
    """Make `build/runtime` anew if anything it comes from has changed."""
    ensure_folder(places.runtime, places.build, fingerprint(places.root, MADE_FROM), partial(_make, places, node))


def _make(places: Places, node: Node, output: Path) -> None:
    make_runtime(places, node, output)
    try_in(present(), places, output)


def make_runtime(places: Places, node: Node, output: Path) -> None:
    """Fill the folder `output`."""
    key = fingerprint(places.root, PREPARED_FROM)
    ensure_folder(places.prepared, places.build, key, partial(_prepare, places, node))
    say("Packing the calculators for the page")
    program = places.root / "scripts/runtime/pack.mjs"
    run(
        places,
        [node.node, program, places.node_modules, places.prepared, places.root / "calc", output],
        name="runtime-pack",
        failure="The calculators could not be packed for the page",
    )


def _prepare(places: Places, node: Node, output: Path) -> None:
    say("Compiling the standard library for the page (only when it or the packages change)")
    program = places.root / "scripts/runtime/prepare.mjs"
    site_packages = next((places.venv / "lib").glob("python3.*/site-packages"))
    run(
        places,
        [node.node, program, places.node_modules, site_packages, output],
        name="runtime-prepare",
        failure="The standard library could not be compiled for the page",
    )
