"""Node.js, and the in-page interpreter from its npm package."""

import hashlib
import os
import re
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

from .console import Failure, say
from .packages import NODE_LOCK, ensure_packages
from .places import Places
from .programs import download_cause, run
from .stamps import Stamp

OLDEST = 20
# npm would otherwise try for over a minute before it says that there is no network.
PATIENCE = ("--fetch-retry-mintimeout=1000", "--fetch-retry-maxtimeout=5000")


@dataclass(frozen=True)
class Node:
    node: Path
    npm: Path

    @property
    def env(self) -> dict[str, str]:
        """npm starts the first `node` on the PATH, which must be this one."""
        return {"PATH": f"{self.node.parent}{os.pathsep}{os.environ.get('PATH', os.defpath)}"}


def find_node(places: Places) -> Node:
    """The machine's own Node.js if it will do, else one installed into `.venv`."""
    node, npm = shutil.which("node"), shutil.which("npm")
    if node and npm and _major(node) >= OLDEST:
        return Node(Path(node), Path(npm))
    ensure_packages(places, NODE_LOCK)
    return Node(places.venv / "bin" / "node", places.venv / "bin" / "npm")


def ensure_pyodide(places: Places, node: Node) -> None:
    """Install what package-lock.json names into `node_modules`, unless it is there and whole."""
    key = _key(places)
    # npm empties the folder before it installs, so the stamp goes with what it vouches for.
    stamp = Stamp(places.node_modules / "handbook.stamp", places.node_modules)
    if stamp.is_current(key):
        return
    say("Installing the in-page Python interpreter")
    run(
        places,
        [node.npm, "ci", "--ignore-scripts", "--no-audit", "--no-fund", *PATIENCE],
        name="npm",
        failure="The in-page Python interpreter could not be installed",
        explain=download_cause,
        env=node.env,
    )
    stamp.write(key)


def _key(places: Places) -> str:
    try:
        return hashlib.sha256((places.root / "package-lock.json").read_bytes()).hexdigest()
    except FileNotFoundError as error:
        raise Failure("package-lock.json is missing: restore it from the repository and run this again") from error


def _major(node: str) -> int:
    try:
        answer = subprocess.run([node, "--version"], capture_output=True, text=True)
    except OSError:
        return 0
    version = re.match(r"v(\d+)\.", answer.stdout)
    return int(version[1]) if version else 0
