"""A real browser for the tests, and the built site served to it.

A page fails its test on any console error, uncaught error, failed request or
request to another origin. A test that provokes some on purpose names them:

    @pytest.mark.expects_trouble(r"404", r"python-.*gz")

Each pattern must then be met, and nothing else may go wrong.
"""

import os
import re
import threading
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Request, expect, sync_playwright
from workshop.machine import installed_browser
from workshop.server import SiteServer

SITE = Path(__file__).resolve().parents[1] / "site"

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
def serve_folder() -> Callable[[Path], AbstractContextManager[SiteServer]]:
    return serving


@pytest.fixture(scope="session")
def site_url() -> Iterator[str]:
    """The address of the built site, ending in a slash."""
    assert (SITE / "index.html").is_file(), "the site is not built: run ./scripts/build"
    with serving(SITE) as server:
        yield server.address


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    # As root a browser has no sandbox to start in, and it must not call home from here.
    flags = ["--no-sandbox", "--disable-background-networking", "--disable-component-update", "--disable-sync"]
    path = os.environ.get("HANDBOOK_CHROMIUM") or installed_browser() or None
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path, headless=True, args=flags)
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


@pytest.fixture
def base_url(site_url: str) -> str:
    """What `page` sees; a test module may serve it something else."""
    return site_url


@pytest.fixture
def page(browser: Browser, base_url: str, request: pytest.FixtureRequest) -> Iterator[Page]:
    """A page in a fresh profile; `page.goto("index.html")` opens that page of the site."""
    marker = request.node.get_closest_marker("expects_trouble")
    context = browser.new_context(base_url=base_url)
    trouble = Trouble(context, base_url)
    yield context.new_page()
    context.close()
    found = trouble.against(marker.args if marker else ())
    assert not found, "the page had trouble:\n" + "\n".join(found)
