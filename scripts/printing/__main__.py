"""`./scripts/print`: the books of the handbook, or a sheet of exercises and its key, as PDF."""

import argparse
import sys
import time
import tomllib
from concurrent.futures import ProcessPoolExecutor
from datetime import date
from functools import partial
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from calc.errors import InputProblems  # noqa: E402
from calc.exercises.sets import order  # noqa: E402

from . import exercises, library  # noqa: E402
from .failure import PrintFailure  # noqa: E402


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="print", description="Print the books of the handbook as PDF, or a sheet of exercises and its key.")
    parser.add_argument("book", nargs="*", help=f"only these: {', '.join(library.BOOKS)}")
    parser.add_argument("--into", type=Path, default=ROOT / "build" / "print", metavar="FOLDER", help="where the files go (build/print)")
    parser.add_argument("--exercises", action="store_true", help="print a sheet of exercises and its key instead")
    parser.add_argument("--topic", action="append", default=[], help="of this topic; may be given again; all where none is given")
    parser.add_argument("--seed", default=f"{date.today():%Y-%m-%d}", help="any text: the same one gives the same exercises (the date)")
    parser.add_argument("--count", default="10", help="how many exercises (10)")
    parser.add_argument("--level", default="1", help="how hard, 1 to 3 (1)")
    parser.add_argument("--browser", default="", help=argparse.SUPPRESS)  # empty for the one the driver has brought
    options = parser.parse_args(arguments)
    unknown = [name for name in options.book if name not in library.BOOKS]
    if unknown:
        parser.error(f"there is no book {', '.join(unknown)}: choose {', '.join(library.BOOKS)}")
    version = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["version"]
    if options.exercises:
        if options.book:
            parser.error("--exercises prints a sheet and its key, no book")
        try:
            asked = order(options.seed, options.topic, options.level, options.count)
        except InputProblems as problems:
            print("\n".join(f"--{str(one).replace('topics:', 'topic:', 1)}" for one in problems.problems), file=sys.stderr)
            return 2
        jobs = {f"{kind} of exercises": partial(exercises.make, asked, kind == "key") for kind in ("sheet", "key")}
    else:
        jobs = {name: partial(library.make, name) for name in options.book or library.BOOKS}
    return _print(jobs, options.into, version, options.browser or None)


def _print(jobs: dict, folder: Path, version: str, browser: str | None) -> int:
    folder.mkdir(parents=True, exist_ok=True)
    begun = time.monotonic()
    failed = False
    # The longest is the first, so that the others fit beside it.
    with ProcessPoolExecutor(max_workers=2) as workers:
        for job in [workers.submit(make, ROOT, folder, version, browser) for make in jobs.values()]:
            try:
                path, count = job.result()
                print(f"{path}: {count} page{'s' if count > 1 else ''}")
            except PrintFailure as failure:
                failed = True
                print(failure, file=sys.stderr)
    print(f"Printed in {time.monotonic() - begun:.0f} s")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
