"""Half a CPU, as the kernel grants it.

A driver's throttling slows only the thread of the page, not its workers; a quota of a
control group holds for every process in it.
"""

import contextlib
import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from .console import Failure

GROUPS = Path("/sys/fs/cgroup")
# Microseconds of CPU in every ten milliseconds.
PERIOD, QUOTA = 10_000, 5_000


@contextlib.contextmanager
def half_a_cpu() -> Iterator[Callable[[], None]]:
    """A function with which a process joins a group that gets half a CPU; Failure where none can be made."""
    name = f"handbook-{os.getpid()}"
    first_version = GROUPS / "cpu"
    group = (first_version if first_version.is_dir() else GROUPS) / name
    try:
        group.mkdir()
    except OSError as error:
        raise Failure(f"no CPU quota can be set here ({error.strerror})") from None
    try:
        _limit(group, first_version.is_dir())
        yield lambda: (group / "cgroup.procs").write_text(str(os.getpid()))
    except OSError as error:
        raise Failure(f"no CPU quota can be set here ({error.strerror})") from None
    finally:
        _remove(group)


def _limit(group: Path, first_version: bool) -> None:
    if first_version:
        (group / "cpu.cfs_period_us").write_text(str(PERIOD))
        (group / "cpu.cfs_quota_us").write_text(str(QUOTA))
    else:
        (group / "cpu.max").write_text(f"{QUOTA} {PERIOD}")


def _remove(group: Path) -> None:
    """The kernel keeps a group until the last of its processes is gone, a moment after it has ended."""
    for _ in range(50):
        try:
            group.rmdir()
            return
        except OSError:
            time.sleep(0.1)
