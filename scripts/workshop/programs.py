"""Running other programs so that a failure is one line, with the rest in a log."""

import os
import re
import subprocess
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from .console import Failure
from .places import Places

# Tried in this order: a failed download also ends in messages that sound like something else.
DOWNLOAD_CAUSES = (
    (
        r"no space left on device|\bENOSPC\b",
        "the disk is full: free about 2 GB and run this again",
    ),
    (
        r"do not match the hashes|\bEINTEGRITY\b",
        "a downloaded package is not the one the lock file names: run this again, "
        "and if it stays so do not trust where the packages come from",
    ),
    (
        r"name resolution|failed to establish a new connection|connection (timed out|refused)|read timed out"
        r"|network is unreachable|could not resolve|failed to fetch"
        r"|\b(ENOTFOUND|EAI_AGAIN|ECONNREFUSED|ECONNRESET|ETIMEDOUT|ENETUNREACH)\b",
        "the package source cannot be reached: check the network and run this again",
    ),
    (
        r"permission denied|\b(EACCES|EPERM)\b",
        "a file may not be written: check who owns this folder and run this again",
    ),
)


def last_line(output: str) -> str:
    """The last thing a program printed, which for most says why it failed."""
    lines = [line.strip() for line in output.splitlines() if line.strip()]
    return lines[-1][:300] if lines else "it printed nothing"


def download_cause(output: str) -> str:
    """Why a program that downloads and installs failed."""
    for pattern, cause in DOWNLOAD_CAUSES:
        if re.search(pattern, output, re.IGNORECASE):
            return cause
    return last_line(output)


def run(
    places: Places,
    command: Sequence[str | Path],
    *,
    name: str,
    failure: str,
    explain: Callable[[str], str] = last_line,
    env: Mapping[str, str] | None = None,
) -> str:
    """Run `command` in the project's folder and return what it printed.

    The output goes to the log called `name` as well. When the program fails,
    `failure` and the cause that `explain` reads from the output become one line.
    """
    try:
        done = subprocess.run(
            [str(part) for part in command],
            cwd=places.root,
            env={**os.environ, **(env or {})},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            errors="replace",
            # Only the set-up's lock is inheritable.
            close_fds=False,
        )
    except OSError as error:
        raise Failure(f"{failure}: {command[0]} cannot be started ({error.strerror})") from error
    places.log.mkdir(parents=True, exist_ok=True)
    log = places.log / f"{name}.log"
    log.write_text(done.stdout, encoding="utf-8")
    if done.returncode:
        raise Failure(f"{failure}: {explain(done.stdout)} (all it printed: {log.relative_to(places.root)})")
    return done.stdout
