"""The Python packages, in `.venv`, exactly as the lock files name them."""

import hashlib
import importlib.util
import shutil
import subprocess
import sys
from pathlib import Path

from .console import Failure, say
from .places import Places
from .programs import download_cause, run
from .stamps import Stamp

SITE_LOCK = "requirements.lock"
TEST_LOCK = "requirements-test.lock"
NODE_LOCK = "requirements-node.lock"

WHAT = {
    SITE_LOCK: "the Python packages that build the site",
    TEST_LOCK: "the Python packages that printing and the tests need",
    NODE_LOCK: "Node.js, because node 20 or newer with npm is not on the PATH",
}


def ensure_packages(places: Places, lock: str) -> None:
    """Install the packages of one lock file, unless they are there and whole."""
    if not _is_sound(places):
        _make_venv(places)
    if not _stamp(places, lock).exists():
        _install(places, lock)


def _is_sound(places: Places) -> bool:
    """Whether everything recorded in `.venv` is still as recorded and wanted."""
    if _version(places) is None or _unfinished(places).exists():
        return False
    recorded = [lock for lock in WHAT if _stamp(places, lock).exists()]
    return bool(recorded) and all(_stamp(places, lock).is_current(_key(places, lock)) for lock in recorded)


def _make_venv(places: Places) -> None:
    say("Making a fresh Python environment in .venv")
    if importlib.util.find_spec("venv") is None or importlib.util.find_spec("ensurepip") is None:
        raise Failure(
            f"Python's venv module is missing for {sys.executable}: "
            "install it (on Debian: apt install python3-venv) and run this again"
        )
    if places.venv.is_symlink():
        places.venv.unlink()
    elif places.venv.exists():
        shutil.rmtree(places.venv)
    run(
        places,
        [sys.executable, "-m", "venv", places.venv],
        name="venv",
        failure="The Python environment could not be made",
    )


def _install(places: Places, lock: str) -> None:
    say(f"Installing {WHAT[lock]}")
    _unfinished(places).touch()
    command = [places.python, "-m", "pip", "install", "--disable-pip-version-check", "--no-input", "--quiet"]
    run(
        places,
        [*command, "--no-deps", "--require-hashes", "--requirement", places.root / lock],
        name=f"pip-{lock.removesuffix('.lock')}",
        failure=f"The packages of {lock} could not be installed",
        explain=download_cause,
    )
    _stamp(places, lock).write(_key(places, lock))
    _unfinished(places).unlink()


def _key(places: Places, lock: str) -> str:
    try:
        content = (places.root / lock).read_bytes()
    except FileNotFoundError as error:
        raise Failure(f"{lock} is missing: restore it from the repository and run this again") from error
    return f"{_version(places)} {hashlib.sha256(content).hexdigest()}"


def _version(places: Places) -> str | None:
    """The version of the Python in `.venv`, or None if that does not start."""
    try:
        answer = subprocess.run(
            [places.python, "-I", "-c", "import sys; print(sys.version)"], capture_output=True, text=True, check=True
        )
    except (OSError, subprocess.CalledProcessError):
        return None
    return answer.stdout.strip()


def _stamp(places: Places, lock: str) -> Stamp:
    return Stamp(places.venv / f"{lock}.stamp", places.venv / "lib")


def _unfinished(places: Places) -> Path:
    """A mark that stands while packages are being installed, so that a cut is noticed."""
    return places.venv / "unfinished"
