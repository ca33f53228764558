"""The last steps of a site: the list of what a device keeps, and compressed copies for hosts that use them."""

import base64
import gzip
import hashlib
import json
from pathlib import Path

from .stamps import inventory

LIST = "offline-files.json"
# A browser fetches the script that serves the copy by itself, and the list names itself not.
NOT_KEPT = {LIST, "sw.js"}

COMPRESSIBLE = {".css", ".html", ".js", ".json", ".svg", ".txt", ".webmanifest", ".xml"}


def write_offline_list(site: Path) -> None:
    """Name every file of the site with its length and hash; the version is the hash of them all."""
    files, travels = [], 0
    for name in sorted(inventory(site)):
        if name in NOT_KEPT:
            continue
        content = (site / name).read_bytes()
        files.append([name, *_marks(content)])
        if name.endswith(".gz"):
            # Some hosts inflate such files on the way.
            files[-1] += _marks(gzip.decompress(content))
        travels += len(compressed(content)) if Path(name).suffix in COMPRESSIBLE else len(content)
    version = hashlib.sha256(json.dumps(files).encode()).hexdigest()[:16]
    record = {"version": version, "bytes": sum(length for _, length, *_ in files), "download": travels, "files": files}
    (site / LIST).write_text(json.dumps(record, separators=(",", ":")), encoding="utf-8")


def _marks(content: bytes) -> tuple[int, str]:
    return len(content), base64.b64encode(hashlib.sha256(content).digest()).decode()


def write_compressed_copies(site: Path) -> None:
    """Lay FILE.gz beside each FILE that becomes smaller by it."""
    for name in sorted(inventory(site)):
        file = site / name
        if file.suffix not in COMPRESSIBLE:
            continue
        content = file.read_bytes()
        small = compressed(content)
        if len(small) < len(content):
            file.with_name(f"{file.name}.gz").write_bytes(small)


def is_compressed_copy(file: Path) -> bool:
    return file.suffix == ".gz" and file.with_suffix("").exists()


def compressed(content: bytes) -> bytes:
    # No time in it: the same content gives the same bytes.
    return gzip.compress(content, 9, mtime=0)
