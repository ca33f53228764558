"""Making the lock files anew from pyproject.toml and package.json."""

import json
import shutil
import sys
from collections.abc import Sequence

from .console import say
from .node import find_node
from .packages import NODE_LOCK, SITE_LOCK, TEST_LOCK
from .places import Places
from .programs import download_cause, run

# One lock serves every machine and every Python from the oldest on; addresses stay out of it.
OPTIONS = ("--universal", "--python-version", "3.11", "--generate-hashes", "--no-annotate", "--quiet")


def make_locks(places: Places, options: Sequence[str]) -> None:
    """Resolve again. `options` go to the resolver; without --upgrade the versions stay as they are."""
    say("Resolving the Python packages")
    venv = places.build / "lock-venv"
    shutil.rmtree(venv, ignore_errors=True)
    run(
        places,
        [sys.executable, "-m", "venv", venv],
        name="lock-venv",
        failure="The resolver's environment could not be made",
    )
    run(
        places,
        [venv / "bin/python", "-m", "pip", "install", "--quiet", "uv"],
        name="lock-uv",
        failure="The resolver could not be installed",
        explain=download_cause,
    )
    compile_ = [venv / "bin/uv", "pip", "compile", *OPTIONS, *options]
    jobs = {
        SITE_LOCK: ["pyproject.toml", "--extra", "site"],
        TEST_LOCK: ["pyproject.toml", "--extra", "site", "--extra", "test", "--constraint", SITE_LOCK],
        NODE_LOCK: ["--group", "node"],
    }
    for lock, what in jobs.items():
        run(
            places,
            [*compile_, *what, "--output-file", lock],
            name=f"lock-{lock.removesuffix('.lock')}",
            failure=f"{lock} could not be made",
            env={"UV_CUSTOM_COMPILE_COMMAND": "./scripts/lock"},
        )
    shutil.rmtree(venv)
    say("Resolving the in-page Python interpreter")
    node = find_node(places)
    run(
        places,
        [node.npm, "install", "--package-lock-only", "--ignore-scripts"],
        name="lock-npm",
        failure="package-lock.json could not be made",
        explain=download_cause,
        env=node.env,
    )
    _leave_out_addresses(places)


def _leave_out_addresses(places: Places) -> None:
    """npm notes where each package asks for money; installing needs no addresses."""
    lock = places.root / "package-lock.json"
    content = json.loads(lock.read_text(encoding="utf-8"))
    for package in content["packages"].values():
        package.pop("funding", None)
    lock.write_text(json.dumps(content, indent=2) + "\n", encoding="utf-8")
