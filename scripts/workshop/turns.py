"""One set-up at a time."""

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager

from .console import say
from .places import Places


@contextmanager
def one_at_a_time(places: Places) -> Iterator[None]:
    """Hold the project's lock; it goes when the process ends, however that happens.

    Programs started meanwhile hold it too: one that outlives a killed set-up may
    still be writing.
    """
    places.build.mkdir(parents=True, exist_ok=True)
    with open(places.build / "lock", "w") as handle:
        os.set_inheritable(handle.fileno(), True)
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            say("Another set-up is running here; waiting for it to finish")
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
