"""A real browser for the tests, and the built site served to it.

A page fails its test on any console error, uncaught error, failed request or
request to another origin. A test that provokes some on purpose names them:

    @pytest.mark.expects_trouble(r"404", r"python-.*gz")

Each pattern must then be met, and nothing else may go wrong.
"""

import fcntl
import os
import re
import shutil
import threading
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import pytest
from hypothesis import settings
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Request, expect, sync_playwright
from workshop.machine import driven_browser
from workshop.server import SiteServer

SITE = Path(__file__).resolve().parents[1] / "site"

# How long an example takes says something of the machine, not of the code.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")

# Several browsers share the processors here, and the driver's own five seconds pass quickly.
expect.set_options(timeout=20_000)


@contextmanager
def serving(folder: Path) -> Iterator[SiteServer]:
    """The project's own server for `folder`, on a free port, in a thread."""
    with SiteServer(folder, "127.0.0.1", 0) as server:
        # The interval is how long shutting down may take.
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
        thread.start()
        yield server
        server.shutdown()
        thread.join()


@pytest.fixture(scope="session")
def made_once(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str, Callable[[Path], None]], Path]:
    """A folder that all processes which share the tests share: the first to come has it made, the others wait."""
    own = tmp_path_factory.getbasetemp()
    shared = own.parent if "PYTEST_XDIST_WORKER" in os.environ else own

    def made_once(name: str, make: Callable[[Path], None]) -> Path:
        folder, whole = shared / name, shared / f"{name}.whole"
        with open(shared / f"{name}.lock", "w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            if not whole.exists():
                shutil.rmtree(folder, ignore_errors=True)
                make(folder)
                whole.touch()
        return folder

    return made_once


@pytest.fixture(scope="session")
def serve_folder() -> Callable[[Path], AbstractContextManager[SiteServer]]:
    return serving


@pytest.fixture(scope="session")
def site_url() -> Iterator[str]:
    """The address of the built site, ending in a slash."""
    assert (SITE / "index.html").is_file(), "the site is not built: run ./scripts/build"
    with serving(SITE) as server:
        yield server.address


# As root a browser has no sandbox to start in, and it must not call home from here.
FLAGS = ["--no-sandbox", "--disable-background-networking", "--disable-component-update", "--disable-sync"]
# No page of a test lasts long enough to win back what optimising its scripts takes.
PLAIN_SCRIPTS = "--js-flags=--no-turbofan --no-maglev"


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=driven_browser() or None, args=[*FLAGS, PLAIN_SCRIPTS])
        yield browser
        browser.close()


class Trouble:
    """What goes wrong in the pages of a browser context, one line each."""

    def __init__(self, context: BrowserContext, origin: str):
        self.lines: list[str] = []
        # A blob of a page opened from disk has no origin.
        self.own = (origin, "blob:null/" if origin.startswith("file:") else f"blob:{origin}", "data:")
        context.on("console", self._hear)
        context.on("weberror", lambda error: self.lines.append(f"uncaught: {error.error}"))
        context.on("request", self._check_origin)
        context.on("requestfailed", self._check_failure)

    def _hear(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self.lines.append(f"console: {message.text} ({message.location['url']})")

    def _check_origin(self, request: Request) -> None:
        if not request.url.startswith(self.own):
            self.lines.append(f"another origin: {request.url}")

    def _check_failure(self, request: Request) -> None:
        # A page that is left or closed breaks off what it was loading.
        if request.failure != "net::ERR_ABORTED":
            self.lines.append(f"failed: {request.url} {request.failure}")

    def against(self, patterns: tuple[str, ...]) -> list[str]:
        """What no pattern expects, and the patterns that nothing met."""
        unexpected = [line for line in self.lines if not any(re.search(pattern, line) for pattern in patterns)]
        missing = [pattern for pattern in patterns if not any(re.search(pattern, line) for line in self.lines)]
        return unexpected + [f"expected, but not met: {pattern}" for pattern in missing]


class Watched:
    """A browser context whose trouble each test answers for."""

    def __init__(self, browser: Browser, base_url: str):
        self.context = browser.new_context(base_url=base_url)
        self.trouble = Trouble(self.context, base_url)

    @contextmanager
    def during(self, request: pytest.FixtureRequest) -> Iterator[None]:
        """Fails the test of `request` on what goes wrong meanwhile."""
        marker = request.node.get_closest_marker("expects_trouble")
        self.trouble.lines.clear()
        yield
        found = self.trouble.against(marker.args if marker else ())
        assert not found, "the page had trouble:\n" + "\n".join(found)


@pytest.fixture(scope="session")
def warm(browser: Browser, site_url: str) -> Iterator[Watched]:
    """One profile for many tests: what it has fetched and compiled stays, which halves the work of a page."""
    watched = Watched(browser, site_url)
    # A tab that stays keeps the window open; opening a window is as much work as a page.
    watched.context.new_page()
    yield watched
    watched.context.close()


@pytest.fixture
def page(warm: Watched, site_url: str, request: pytest.FixtureRequest) -> Iterator[Page]:
    """A new tab with nothing stored on the device; `page.goto("index.html")` opens that page of the site.

    Routes and scripts put into it go with it. What a test puts into the context itself would stay.
    """
    page = warm.context.new_page()
    session = warm.context.new_cdp_session(page)
    session.send("Storage.clearDataForOrigin", {"origin": site_url.rstrip("/"), "storageTypes": "all"})
    session.detach()
    with warm.during(request):
        yield page
        for each in warm.context.pages[1:]:
            each.close()


@pytest.fixture(scope="module")
def lasting(browser: Browser, site_url: str) -> Iterator[Watched]:
    """A profile for the tests of one module that share a page."""
    watched = Watched(browser, site_url)
    yield watched
    watched.context.close()


@pytest.fixture
def base_url(site_url: str) -> str:
    """What `fresh_page` sees; a test module may serve it something else."""
    return site_url


@pytest.fixture
def fresh_page(browser: Browser, base_url: str, request: pytest.FixtureRequest) -> Iterator[Page]:
    """A page in a fresh profile."""
    watched = Watched(browser, base_url)
    with watched.during(request):
        yield watched.context.new_page()
        watched.context.close()
