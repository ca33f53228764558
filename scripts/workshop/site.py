"""Building `site/`, and knowing when that is not needed."""

import re
import shutil
from functools import partial
from pathlib import Path

from .console import say
from .icons import write_icons
from .node import ensure_pyodide, find_node
from .packages import SITE_LOCK, ensure_packages
from .places import Places
from .programs import last_line, run
from .publish import finish
from .runtime import ensure_runtime
from .stamps import ensure_folder, fingerprint

INPUTS = (
    "CHANGELOG.md",
    "calc",
    "docs",
    "mkdocs.yml",
    "package-lock.json",
    "pyproject.toml",
    "requirements-node.lock",
    "requirements.lock",
    "scripts",
    "tests/calc/published.py",
    "tests/checks",
)


def ensure_site(places: Places) -> None:
    """Set up and build, unless the site was built from exactly what is here and is whole."""
    ensure_folder(places.site, places.build, fingerprint(places.root, INPUTS), partial(_make, places))


def _make(places: Places, output: Path) -> None:
    ensure_packages(places, SITE_LOCK)
    node = find_node(places)
    ensure_pyodide(places, node)
    ensure_runtime(places, node)
    say("Building the pages")
    make_pages(places, output)
    if measured := measure_reading_age(places, output):
        say(last_line(measured))
    _leave_out_what_no_page_uses(output)
    runtime = output / "assets" / "runtime"
    shutil.copytree(places.runtime, runtime, ignore=shutil.ignore_patterns("manifest.json", "disk"), dirs_exist_ok=True)
    write_icons(output / "assets" / "icons")
    # Last of all, because it is about everything that is there.
    finish(places, output)


def make_pages(places: Places, output: Path) -> None:
    """Have every page written into the folder `output`."""
    run(
        places,
        [places.python, "-m", "mkdocs", "build", "--strict", "--site-dir", output],
        name="mkdocs",
        failure="The pages could not be built",
        explain=_first_complaint,
        # The theme announces its plans for later versions at every build; that is not news about this site.
        env={"NO_MKDOCS_2_WARNING": "true"},
    )


def measure_reading_age(places: Places, output: Path) -> str:
    """How old a reader of each chapter has to be, the median last."""
    return run(
        places,
        # The library that counts says at every start that it wants a newer one of its own.
        [places.python, "-W", "ignore:pkg_resources is deprecated", "-m", "scripts.reading_age", output],
        name="reading-age",
        failure="The reading age of the chapters could not be measured",
    )


def _first_complaint(output: str) -> str:
    complaints = re.findall(r"^(?:WARNING|ERROR|CRITICAL) +- +(.+)", output, re.MULTILINE)
    if not complaints:
        return last_line(output)
    more = f", and {len(complaints) - 1} more" if len(complaints) > 1 else ""
    return complaints[0][:400] + more


def _leave_out_what_no_page_uses(site: Path) -> None:
    """The theme brings source maps and stemmers for other languages: over 2 MB nobody opens.

    The map of the site is empty, because the handbook does not know its own address.
    """
    for source_map in site.glob("assets/**/*.map"):
        source_map.unlink()
    shutil.rmtree(site / "assets/javascripts/lunr", ignore_errors=True)
    for site_map in site.glob("sitemap.xml*"):
        site_map.unlink()
