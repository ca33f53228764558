"""Waiting in pages that allow no text to be run as a script, which the driver's own waiting does."""

import time


def until(page, expression, seconds=30):
    """Return once `expression` is true in the page; it is asked for again and again from here."""
    end = time.monotonic() + seconds
    while not page.evaluate(expression):
        assert time.monotonic() < end, f"still not so after {seconds} s: {expression}"
        page.wait_for_timeout(50)
