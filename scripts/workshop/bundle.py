"""The handbook as one archive that is opened from disk, with no server."""

import json
import tomllib
import zipfile
from pathlib import Path

from .console import say
from .places import Places
from .publish import is_compressed_copy
from .stamps import inventory

# The oldest date an archive can hold: the same site gives the same bytes.
DATE = (1980, 1, 1, 0, 0, 0)
READABLE_FILE = 0o100644 << 16
# Compressing them again gains nothing.
PACKED = {".gz", ".png"}


def make_bundle(places: Places) -> Path:
    """Write `build/handbook-VERSION.zip` and return its path."""
    name = f"handbook-{_version(places)}"
    target = places.build / f"{name}.zip"
    say(f"Packing {target.relative_to(places.root)}")
    unfinished = target.with_name(f"{target.name}.new")
    with zipfile.ZipFile(unfinished, "w") as archive:
        for path, content in sorted({**_site(places.site), **_search(places.site), **_runtime(places.runtime)}.items()):
            entry = zipfile.ZipInfo(f"{name}/{path}", DATE)
            entry.external_attr = READABLE_FILE
            entry.compress_type = zipfile.ZIP_STORED if Path(path).suffix in PACKED else zipfile.ZIP_DEFLATED
            archive.writestr(entry, content, compresslevel=9)
    unfinished.replace(target)
    return target


def _version(places: Places) -> str:
    return tomllib.loads((places.root / "pyproject.toml").read_text("utf-8"))["project"]["version"]


def _site(site: Path) -> dict[str, bytes]:
    return {name: (site / name).read_bytes() for name in inventory(site) if not is_compressed_copy(site / name)}


def _search(site: Path) -> dict[str, bytes]:
    """The search's index and worker as scripts, the only form in which a page opened from disk may load them."""
    (worker,) = (site / "assets/javascripts/workers").glob("search.*.js")
    index = json.loads((site / "search/search_index.json").read_text("utf-8"))
    source = worker.read_text("utf-8")
    return {
        "search/search_index.js": f"var __index = {json.dumps(index)};\n".encode(),
        "search/search_worker.js": f"(window.Handbook = window.Handbook || {{}}).searchWorker = {json.dumps(source)};\n".encode(),
    }


def _runtime(runtime: Path) -> dict[str, bytes]:
    """The in-page Python as scripts, for the same reason."""
    disk = runtime / "disk"
    return {f"assets/runtime/disk/{name}": (disk / name).read_bytes() for name in inventory(disk)} if disk.is_dir() else {}
