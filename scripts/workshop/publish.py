"""The last steps of a site: the list of what a device keeps, and compressed copies for hosts that use them."""

import base64
import gzip
import hashlib
import json
from collections.abc import Iterable
from pathlib import Path

from .places import Places
from .programs import run
from .stamps import inventory

LIST = "offline-files.json"
# A browser fetches the script that serves the copy by itself, and the list names itself not.
NOT_KEPT = {LIST, "sw.js"}

COMPRESSIBLE = {".css", ".html", ".js", ".json", ".svg", ".txt", ".webmanifest", ".xml"}


def finish(places: Places, site: Path) -> None:
    """Both, for a site that is otherwise complete."""
    compress(places, site, (name for name in sorted(inventory(site)) if Path(name).suffix in COMPRESSIBLE))
    write_offline_list(site)
    compress(places, site, [LIST])


def compress(places: Places, folder: Path, names: Iterable[str]) -> None:
    """Lay NAME.gz beside each of these files that becomes smaller by it."""
    run(
        places,
        [places.python, places.root / "scripts/compress.py", folder, *names],
        name="compress",
        failure="The files could not be compressed",
    )


def write_offline_list(site: Path) -> None:
    """Name every file of the site with its length and hash; the version is the hash of them all."""
    files, travels = [], 0
    for name in sorted(inventory(site)):
        if name in NOT_KEPT or is_compressed_copy(site / name):
            continue
        content = (site / name).read_bytes()
        files.append([name, *_marks(content)])
        if name.endswith(".gz"):
            # Some hosts inflate such files on the way.
            files[-1] += _marks(gzip.decompress(content))
        travels += size_on_the_way(site / name)
    version = hashlib.sha256(json.dumps(files).encode()).hexdigest()[:16]
    record = {"version": version, "bytes": sum(length for _, length, *_ in files), "download": travels, "files": files}
    (site / LIST).write_text(json.dumps(record, separators=(",", ":")), encoding="utf-8")


def _marks(content: bytes) -> tuple[int, str]:
    return len(content), base64.b64encode(hashlib.sha256(content).digest()).decode()


def size_on_the_way(file: Path) -> int:
    """How many bytes travel where a host sends the compressed copies."""
    copy = file.with_name(f"{file.name}.gz")
    return (copy if copy.exists() else file).stat().st_size


def is_compressed_copy(file: Path) -> bool:
    return file.suffix == ".gz" and file.with_suffix("").exists()
