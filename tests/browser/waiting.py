"""Waiting in pages that allow no text to be run as a script, which the driver's own waiting does."""

import time


def until(page, expression, seconds=30):
    """Return once `expression` is true in the page, or as a function here; it is asked again and again from here."""
    ask = expression if callable(expression) else lambda: page.evaluate(expression)
    end = time.monotonic() + seconds
    while not ask():
        assert time.monotonic() < end, f"still not so after {seconds} s: {expression}"
        page.wait_for_timeout(50)
