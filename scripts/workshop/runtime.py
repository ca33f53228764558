"""The files of the in-page Python: made by the Node.js programs of `scripts/runtime`, then compressed and named.

Two steps, kept apart because the first is slow and seldom needed: compiling
the standard library and the packages that `calc` uses, and then picking what
`calc` really imports and putting it together with `calc` itself.
"""

import base64
import hashlib
import json
import re
import shutil
import tempfile
from functools import partial
from pathlib import Path

from .console import say
from .engines import present
from .node import Node
from .places import Places
from .programs import last_line, run
from .publish import compress
from .stamps import ensure_folder, fingerprint
from .trial import try_in

# What the first step depends on; the rest of scripts/runtime belongs to the second.
PREPARED_FROM = (
    "package-lock.json",
    "requirements.lock",
    "scripts/compress.py",
    "scripts/runtime/compiling.py",
    "scripts/runtime/prepare.mjs",
    "scripts/runtime/prepare.py",
    "scripts/runtime/python.mjs",
    "scripts/runtime/trimmed.mjs",
)
MADE_FROM = ("package-lock.json", "requirements.lock", "scripts/compress.py", "scripts/runtime", "calc")

MACHINE = "python.wasm"
# What pack.mjs makes, by the names under which the page's element tells the addresses.
PACKED = {"worker": "worker.js", "snapshot": "python.snapshot", "stdlib": "python.zip"}


def ensure_runtime(places: Places, node: Node) -> None:
    """Make `build/runtime` anew if anything it comes from has changed."""
    ensure_folder(places.runtime, places.build, fingerprint(places.root, MADE_FROM), partial(_make, places, node))


def _make(places: Places, node: Node, output: Path) -> None:
    make_runtime(places, node, output)
    try_in(present(), places, output)


def make_runtime(places: Places, node: Node, output: Path) -> None:
    """Fill the folder `output`."""
    key = fingerprint(places.root, PREPARED_FROM)
    ensure_folder(places.prepared, places.build, key, partial(prepare, places, node))
    say("Packing the calculators for the page")
    pack(places, node, places.root / "calc", output)


def prepare(places: Places, node: Node, output: Path) -> None:
    """Everything that changes only with the interpreter and the packages."""
    say("Compiling the standard library for the page (only when it or the packages change)")
    program = places.root / "scripts/runtime/prepare.mjs"
    site_packages = next((places.venv / "lib").glob("python3.*/site-packages"))
    run(
        places,
        [node.node, program, places.node_modules / "pyodide", site_packages, output],
        name="runtime-prepare",
        failure="The standard library could not be compiled for the page",
    )
    shutil.copyfile(output / "interpreter/pyodide.asm.wasm", output / MACHINE)
    compress(places, output, [MACHINE])


def pack(places: Places, node: Node, calc: Path, output: Path) -> None:
    """The whole set of files for the folder `calc`, and their manifest."""
    with tempfile.TemporaryDirectory(prefix="handbook-pack-") as folder:
        plain = Path(folder)
        run(
            places,
            [node.node, places.root / "scripts/runtime/pack.mjs", places.prepared, calc, plain],
            name="runtime-pack",
            failure="The calculators could not be packed for the page",
            explain=_complaint_of_python,
        )
        compress(places, plain, PACKED.values())
        manifest = {
            "version": json.loads((places.node_modules / "pyodide/package.json").read_text("utf-8"))["version"],
            "worker": _named(plain / PACKED["worker"], output),
            "wasm": _named(places.prepared / f"{MACHINE}.gz", output),
            **{kind: _named(plain / f"{PACKED[kind]}.gz", output) for kind in ("snapshot", "stdlib")},
        }
    (output / "manifest.json").write_text(f"{json.dumps(manifest, indent=2)}\n", "utf-8")


def _complaint_of_python(output: str) -> str:
    """The interpreter adds advice to some errors, which would be the last line."""
    complaints = re.findall(r"^\w*(?:Error|Exception)\b.*", output, re.MULTILINE)
    return complaints[-1] if complaints else last_line(output)


def _named(file: Path, output: Path) -> str:
    """Put a file into `output`, with the hash of its content in its name, and return that name.

    A page opened from disk may read nothing but scripts, so it is there as a script too:
    disk/NAME.js hands the page NAME and its gzip as base64.
    """
    content = file.read_bytes()
    stem, _, kind = file.name.partition(".")
    name = f"{stem}-{hashlib.sha256(content).hexdigest()[:16]}.{kind}"
    (output / "disk").mkdir(parents=True, exist_ok=True)
    (output / name).write_bytes(content)
    packed = content if file.suffix == ".gz" else file.with_name(f"{file.name}.gz").read_bytes()
    script = f"Handbook.python.take({json.dumps(name)}, {json.dumps(base64.b64encode(packed).decode())});\n"
    (output / "disk" / f"{name}.js").write_text(script, "utf-8")
    return name
