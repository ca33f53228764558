"""The commands, and how they end."""

import argparse
import errno
import json
import os
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress

from .bench import measured, table
from .bundle import make_bundle
from .console import Failure, say
from .engines import chosen
from .locks import make_locks
from .machine import driven_browser, ensure_browser, offer_programs
from .packages import SITE_LOCK, TEST_LOCK, ensure_packages
from .places import HERE
from .server import SiteServer, check_free
from .site import ensure_site
from .turns import one_at_a_time

ALL_TESTS = ("--numprocesses=auto", "--dist=worksteal")
"""All tests are shared among the processors; a few chosen ones start sooner, and can be debugged, in one process."""


def serve(arguments: Sequence[str]) -> int:
    parser = argparse.ArgumentParser(
        prog="serve", description="Set up, build the site if anything changed, and serve it."
    )
    parser.add_argument("--port", type=_port, default=8000, help="where to listen (8000)")
    parser.add_argument("--host", default="127.0.0.1", help="on which address (127.0.0.1, this machine only)")
    options = parser.parse_args(arguments)
    check_free(options.host, options.port)
    with one_at_a_time(HERE):
        ensure_site(HERE)
    with SiteServer(HERE.site, options.host, options.port) as server:
        print(f"The handbook is at {server.address} (Ctrl-C ends it)", flush=True)
        with suppress(KeyboardInterrupt):
            server.serve_forever()
    return 0


def build(arguments: Sequence[str]) -> int:
    parser = argparse.ArgumentParser(
        prog="build", description="Set up and build the site into site/ if anything changed."
    )
    parser.add_argument("--bundle", action="store_true", help="also make build/handbook-VERSION.zip, to be opened from disk")
    options = parser.parse_args(arguments)
    with one_at_a_time(HERE):
        ensure_site(HERE)
        if options.bundle:
            print(make_bundle(HERE))
    return 0


def test(arguments: Sequence[str]) -> int:
    """Set up what the tests need, build the site, and become pytest."""
    with one_at_a_time(HERE):
        ensure_packages(HERE, SITE_LOCK)
        ensure_packages(HERE, TEST_LOCK)
        ensure_browser(HERE)
        offer_programs(HERE)
        ensure_site(HERE)
    say("Running the tests")
    os.chdir(HERE.root)
    # The tests start Python many times over: whoever wants no compiled modules about would wait for each again.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    os.execv(HERE.python, [str(HERE.python), "-m", "pytest", *(arguments or ALL_TESTS)])


def bench(arguments: Sequence[str]) -> int:
    parser = argparse.ArgumentParser(
        prog="bench", description="Measure the site against a bare interpreter in the browsers that are here."
    )
    parser.add_argument("--runs", type=int, default=5, help="how many of each, of which the median counts (5)")
    parser.add_argument("--engine", action="append", help="only in this browser; may be given again")
    options = parser.parse_args(arguments)
    with one_at_a_time(HERE):
        ensure_site(HERE)
    found = None
    try:
        for found in measured(HERE, chosen(options.engine), options.runs):
            (HERE.build / "bench.json").write_text(json.dumps(found, indent=1), encoding="utf-8")
    finally:
        if found:
            print(table(found))
    return 0


def print_books(arguments: Sequence[str]) -> int:
    """Set up what printing needs, build the site, and become the printer."""
    with one_at_a_time(HERE):
        ensure_packages(HERE, SITE_LOCK)
        ensure_packages(HERE, TEST_LOCK)
        browser = ensure_browser(HERE) and driven_browser()
        ensure_site(HERE)
    os.chdir(HERE.root / "scripts")
    os.execv(HERE.python, [str(HERE.python), "-m", "printing", "--browser", browser, *arguments])


def lock(arguments: Sequence[str]) -> int:
    with one_at_a_time(HERE):
        make_locks(HERE, arguments)
    return 0


COMMANDS: dict[str, Callable[[Sequence[str]], int]] = {
    "serve": serve,
    "build": build,
    "print": print_books,
    "test": test,
    "bench": bench,
    "lock": lock,
}


def main(arguments: Sequence[str]) -> int:
    if not arguments or arguments[0] not in COMMANDS:
        say(f"Name one of these commands: {', '.join(COMMANDS)}")
        return 2
    try:
        return COMMANDS[arguments[0]](arguments[1:])
    except Failure as failure:
        say(str(failure))
    except OSError as error:
        say(_what_the_machine_refused(error))
    except KeyboardInterrupt:
        # The terminal shows ^C where the cursor stands.
        print(file=sys.stderr)
        return 130
    return 1


def _what_the_machine_refused(error: OSError) -> str:
    where = f" ({error.filename})" if error.filename else ""
    if error.errno == errno.ENOSPC:
        return f"The disk is full{where}: free about 2 GB and run this again"
    return f"The machine refused: {error.strerror}{where}; mend that and run this again"


def _port(text: str) -> int:
    if not text.isascii() or not text.isdigit() or not 0 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"a port is a whole number from 0 to 65535, not {text!r}")
    return int(text)
