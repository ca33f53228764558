"""Knowing whether something made earlier is still whole and still wanted.

A stamp is written last, so a job that was cut off leaves none. It holds what
the thing was made from and the size of every file in it, so a changed input,
a missing file and a shortened file are all noticed.
"""

import hashlib
import json
import os
import shutil
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

# Python writes these on its own; they say nothing about what was made.
LITTER = "__pycache__"


def files_below(folder: Path) -> Iterator[os.DirEntry[str]]:
    """Every file below `folder`, in no order."""
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir(follow_symlinks=False):
                if entry.name != LITTER:
                    yield from files_below(Path(entry.path))
            else:
                yield entry


def inventory(folder: Path) -> dict[str, int]:
    """The size of every file below `folder`, by its path from there."""
    start = len(str(folder)) + 1
    return {entry.path[start:]: entry.stat(follow_symlinks=False).st_size for entry in files_below(folder)}


def fingerprint(root: Path, inputs: Iterable[str]) -> str:
    """A hash of the names and contents of the files and folders called `inputs` below `root`.

    A missing one counts too: it hashes differently from an empty one.
    """
    total = hashlib.sha256()
    for name in sorted(inputs):
        path = root / name
        total.update(f"input {name}\0".encode())
        if path.is_dir():
            found = sorted(Path(entry.path) for entry in files_below(path))
        else:
            found = [path] if path.exists() else []
        for file in found:
            content = hashlib.sha256(file.read_bytes()).hexdigest()
            total.update(f"{file.relative_to(root)}\0{content}\0".encode())
    return total.hexdigest()


class Stamp:
    """The record that `folder` was made completely from some key."""

    def __init__(self, file: Path, folder: Path):
        self.file = file
        self.folder = folder

    def exists(self) -> bool:
        return self.file.exists()

    def is_current(self, key: str) -> bool:
        try:
            record = json.loads(self.file.read_text(encoding="utf-8"))
            wanted = record["files"]
            if record["key"] != key:
                return False
            found = inventory(self.folder)
        except (OSError, ValueError, KeyError, TypeError):
            return False
        return all(found.get(name) == size for name, size in wanted.items())

    def remove(self) -> None:
        self.file.unlink(missing_ok=True)

    def write(self, key: str) -> None:
        record = {"key": key, "files": inventory(self.folder)}
        unfinished = self.file.with_name(self.file.name + ".new")
        unfinished.parent.mkdir(parents=True, exist_ok=True)
        unfinished.write_text(json.dumps(record), encoding="utf-8")
        unfinished.replace(self.file)


def ensure_folder(folder: Path, build: Path, key: str, make: Callable[[Path], None]) -> None:
    """Have `make` fill a new folder in place of `folder`, unless that is whole and was made from `key`.

    The old folder stays until the new one is complete.
    """
    stamp = Stamp(build / f"{folder.name}.stamp", folder)
    if stamp.is_current(key):
        return
    stamp.remove()
    fresh, old = build / f"{folder.name}.new", build / f"{folder.name}.old"
    for leftover in (fresh, old):
        if leftover.exists():
            shutil.rmtree(leftover)
    make(fresh)
    if folder.exists():
        folder.rename(old)
    fresh.rename(folder)
    shutil.rmtree(old, ignore_errors=True)
    stamp.write(key)
