"""`./scripts/print`: the books of the handbook as PDF."""

import argparse
import sys
import time
import tomllib
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from . import library
from .failure import PrintFailure

ROOT = Path(__file__).parents[2]


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="print", description="Print the books of the handbook as PDF.")
    parser.add_argument("book", nargs="*", help=f"only these: {', '.join(library.BOOKS)}")
    parser.add_argument("--into", type=Path, default=ROOT / "build" / "print", metavar="FOLDER", help="where the files go (build/print)")
    parser.add_argument("--browser", default="", help=argparse.SUPPRESS)  # empty for the one the driver has brought
    options = parser.parse_args(arguments)
    unknown = [name for name in options.book if name not in library.BOOKS]
    if unknown:
        parser.error(f"there is no book {', '.join(unknown)}: choose {', '.join(library.BOOKS)}")
    options.into.mkdir(parents=True, exist_ok=True)
    version = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["version"]
    begun = time.monotonic()
    failed = False
    # The longest first, so that the others fit beside it.
    with ProcessPoolExecutor(max_workers=2) as workers:
        jobs = {name: workers.submit(library.make, name, ROOT, options.into, version, options.browser or None) for name in options.book or library.BOOKS}
        for name, job in jobs.items():
            try:
                path, count = job.result()
                print(f"{path}: {count} pages")
            except PrintFailure as failure:
                failed = True
                print(failure, file=sys.stderr)
    print(f"Printed in {time.monotonic() - begun:.0f} s")
    return 1 if failed else 0


sys.exit(main(sys.argv[1:]))
