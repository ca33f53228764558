"""Programs of the machine that the tests use: browsers, and a circuit simulator to compare with."""

import os
import shutil
from contextlib import suppress
from functools import cache
from pathlib import Path

from .console import Failure, say
from .places import Places
from .programs import download_cause, run

HEADLESS_SHELL = "chromium-headless-shell"
OFFERED = {
    HEADLESS_SHELL: "chromium-headless-shell",
    "ngspice": "ngspice",
    "firefox-esr": "firefox-esr",
    "WebKitWebDriver": "webkit2gtk-driver",
    "Xvfb": "xvfb",
    "pdftotext": "poppler-utils",
}
"""Program looked for, and the Debian package that brings it."""

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")


def installed_browser() -> str:
    """The path of a Chromium or Chrome on the PATH, or nothing."""
    return next((path for name in BROWSERS if (path := shutil.which(name))), "")


def driven_browser() -> str:
    """The path of the browser that prints and that most tests drive, or nothing: the one that is named, or the lightest.

    The shell is Chromium without what it would draw around a page, which spares a fifth of the time.
    """
    return os.environ.get("HANDBOOK_CHROMIUM") or shutil.which(HEADLESS_SHELL) or installed_browser()


def installed_firefox() -> str:
    """The path of a Firefox, or nothing."""
    return shutil.which("firefox-esr") or shutil.which("firefox") or ""


def installed_webkit() -> str:
    """The path of the small browser that comes with WebKitGTK, which is on no PATH; or nothing."""
    return next((str(path) for path in sorted(Path("/usr").glob("lib*/*/webkit2gtk-4*/MiniBrowser"))), "")


def ensure_browser(places: Places) -> str:
    """The path of a Chromium or Chrome; empty if the driver has brought its own."""
    chosen = os.environ.get("HANDBOOK_CHROMIUM")
    if chosen:
        if not os.access(chosen, os.X_OK):
            raise Failure(f"HANDBOOK_CHROMIUM names {chosen}, which cannot be run: unset it or name a browser")
        return chosen
    found = installed_browser()
    if not found and _may_use_apt():
        _apt_install(places, "chromium")
        found = installed_browser()
    if found:
        return found
    say("Downloading a browser")
    run(
        places,
        [places.python, "-m", "playwright", "install", "chromium"],
        name="browser",
        failure="No Chromium or Chrome is installed (on Debian: apt install chromium), and none could be downloaded",
        explain=download_cause,
    )
    return ""


def offer_programs(places: Places) -> None:
    """Install what more tests can use where that is easy; a test says so when its program is missing."""
    for program, package in OFFERED.items():
        if not shutil.which(program) and _may_use_apt():
            _apt_install(places, package)


def _may_use_apt() -> bool:
    return os.geteuid() == 0 and Path("/etc/debian_version").exists() and shutil.which("apt-get") is not None


def _apt_install(places: Places, package: str) -> None:
    """Try to install a Debian package. Each caller has something to fall back on."""
    say(f"Installing {package} for the tests")
    _apt_update(places)
    try:
        _apt(places, f"apt-{package}", f"The Debian package {package} could not be installed", "install", "--yes", "--no-install-recommends", package)
    except Failure as problem:
        say(str(problem))


@cache
def _apt_update(places: Places) -> None:
    """Once is enough. Where it fails, the lists of last time may still do; if not, each package says so."""
    with suppress(Failure):
        _apt(places, "apt-update", "The list of Debian packages could not be brought up to date", "update")


def _apt(places: Places, name: str, failure: str, *command: str) -> None:
    run(
        places,
        ["apt-get", "--quiet", *command],
        name=name,
        failure=failure,
        explain=download_cause,
        env={"DEBIAN_FRONTEND": "noninteractive"},
    )
