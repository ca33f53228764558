"""What the person at the terminal reads."""

import sys


class Failure(Exception):
    """Something foreseeable went wrong. The text is the one line that says what, and what to do."""


def say(message: str) -> None:
    """Print a progress line at once, apart from a command's own output."""
    print(message, file=sys.stderr, flush=True)
