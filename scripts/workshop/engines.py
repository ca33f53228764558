"""Browsers without a driver: each is started with an address, and its page reports back.

A page tells what it found by going to `told?` and a JSON text on the server that is
waiting for it, so nothing has to be installed to steer a browser. That also works from a
page opened from disk and under the site's policy, which has no say in where a page goes.
More than fits into an address is sent by POST.
"""

import contextlib
import json
import os
import queue
import shutil
import signal
import socket
import subprocess
import tempfile
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import unquote

from .console import Failure, say
from .machine import installed_browser, installed_firefox, installed_webkit
from .server import TYPES, SiteHandler, SiteServer


@dataclass(frozen=True)
class Engine:
    """A browser engine. `options` start it without a window; PROFILE in them is a folder of its own."""

    name: str
    program: str
    options: tuple[str, ...]
    # Laid into the profile before it starts: content by name.
    files: Mapping[str, str] = field(default_factory=dict)
    environment: Mapping[str, str] = field(default_factory=dict)
    # Whether it draws a window all the same, for which it gets a screen that nobody sees.
    needs_screen: bool = False

    def command(self, profile: Path, address: str) -> list[str]:
        return [self.program, *(option.replace("PROFILE", str(profile)) for option in self.options), address]


CHROMIUM_OPTIONS = (
    "--headless",
    "--user-data-dir=PROFILE",
    # Otherwise it ends as soon as the page is there.
    "--remote-debugging-port=0",
    # As root there is no sandbox to start in; the rest keeps it from calling home.
    "--no-sandbox",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)

FIREFOX_OPTIONS = ("--headless", "--no-remote", "--profile", "PROFILE")
# No page of its own at the start, and no calling home.
FIREFOX_PREFERENCES = {
    "app.update.auto": False,
    "browser.aboutwelcome.enabled": False,
    "browser.safebrowsing.update.enabled": False,
    "browser.shell.checkDefaultBrowser": False,
    "browser.startup.homepage_override.mstone": "ignore",
    "browser.startup.page": 0,
    "datareporting.policy.dataSubmissionEnabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "toolkit.telemetry.enabled": False,
}
FIREFOX_ENVIRONMENT = {"MOZ_DISABLE_CONTENT_SANDBOX": "1"}

# For root its sandbox does not start.
WEBKIT_ENVIRONMENT = {"WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS": "1"} if os.geteuid() == 0 else {}
SCREEN = "Xvfb"


def preferences(wanted: Mapping[str, object]) -> str:
    """Firefox's user.js."""
    return "".join(f"user_pref({json.dumps(name)}, {json.dumps(value)});\n" for name, value in wanted.items())


def present() -> list[Engine]:
    """The engines that this machine has and can start."""
    engines = []
    if program := os.environ.get("HANDBOOK_CHROMIUM") or installed_browser():
        engines.append(Engine("Chromium", program, CHROMIUM_OPTIONS))
    if program := installed_firefox():
        engines.append(Engine("Firefox", program, FIREFOX_OPTIONS, {"user.js": preferences(FIREFOX_PREFERENCES)}, FIREFOX_ENVIRONMENT))
    if program := installed_webkit():
        if shutil.which(SCREEN):
            engines.append(Engine("WebKit", program, (), {}, WEBKIT_ENVIRONMENT, needs_screen=True))
        else:
            say(f"WebKit is left out: it needs {SCREEN} to draw on (on Debian: apt install xvfb)")
    return engines


def chosen(names: Sequence[str] | None) -> list[Engine]:
    """Those of the present engines that are named, or all."""
    here = present()
    missing = {name.lower() for name in names or ()} - {engine.name.lower() for engine in here}
    if missing or not here:
        raise Failure(f"{', '.join(sorted(missing)) or 'A browser'} is not installed here: on Debian, apt install chromium")
    return [engine for engine in here if not names or engine.name.lower() in {name.lower() for name in names}]


@contextlib.contextmanager
def fresh_profile() -> Iterator[Path]:
    with tempfile.TemporaryDirectory(prefix="handbook-profile-", ignore_cleanup_errors=True) as folder:
        yield Path(folder)


@contextlib.contextmanager
def opened(
    engine: Engine, address: str, joins: Callable[[], None] | None = None, profile: Path | None = None
) -> Iterator[subprocess.Popen]:
    """The browser with one page; gone afterwards, with all its processes. Without `profile` it starts with a fresh one.

    `joins` is called in the new process before the browser starts in it.
    """
    with contextlib.ExitStack() as stack:
        profile = profile or stack.enter_context(fresh_profile())
        folder = str(profile)
        for name, content in engine.files.items():
            (profile / name).write_text(content, "utf-8")
        environment = {**os.environ, "HOME": folder, "XDG_CACHE_HOME": folder, "XDG_DATA_HOME": folder, **engine.environment}
        if engine.needs_screen:
            environment["DISPLAY"] = stack.enter_context(screen())
        with open(profile / "output.txt", "wb") as output:
            try:
                process = subprocess.Popen(
                    engine.command(profile, address),
                    env=environment,
                    stdin=subprocess.DEVNULL,
                    stdout=output,
                    stderr=output,
                    start_new_session=True,
                    preexec_fn=joins,
                )
            except OSError as error:
                raise Failure(f"{engine.program} cannot be started: {error.strerror}") from error
        try:
            yield process
        finally:
            _end(process)


@contextlib.contextmanager
def screen() -> Iterator[str]:
    """A screen that nobody sees, by its name: the first that is free."""
    read_end, write_end = os.pipe()
    process = subprocess.Popen(
        [SCREEN, "-displayfd", str(write_end), "-screen", "0", "1280x900x24", "-nolisten", "tcp"],
        pass_fds=[write_end],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    os.close(write_end)
    try:
        with os.fdopen(read_end) as answer:
            # Where it cannot start it says nothing: then no browser draws on it either.
            yield f":{answer.readline().strip()}"
    finally:
        _end(process)


def _end(process: subprocess.Popen) -> None:
    for how in (signal.SIGTERM, signal.SIGKILL):
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, how)
        with contextlib.suppress(subprocess.TimeoutExpired):
            process.wait(3)


class ListeningHandler(SiteHandler):
    server: "ListeningServer"

    def do_GET(self) -> None:
        path, _, query = self.path.partition("?")
        name = unquote(path).lstrip("/")
        if name == "told":
            self.server.reports.put(json.loads(unquote(query)))
            self._send_on(self.server.then)
            return
        self.server.requested.append(name)
        if name in self.server.extra:
            self._send_bytes(Path(name).suffix, self.server.extra[name])
        else:
            super().do_GET()

    def do_POST(self) -> None:
        text = self.rfile.read(int(self.headers["Content-Length"]))
        self.server.reports.put(json.loads(text))
        self._send_on("")

    def _send_on(self, address: str) -> None:
        # Without an address the page stays where it is.
        self.send_response(303 if address else 204)
        if address:
            self.send_header("Location", address)
        self.send_header("Content-Length", "0")
        self.end_headers()

    def _send_bytes(self, suffix: str, content: bytes) -> None:
        self.send_response(200)
        self.send_header("Content-Type", TYPES[suffix])
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)


class ListeningServer(SiteServer):
    """Serves one folder, `extra` contents by path, and hears what pages report."""

    handler = ListeningHandler

    def __init__(self, folder: Path, extra: Mapping[str, bytes]):
        super().__init__(folder, "127.0.0.1", 0)
        self.extra = dict(extra)
        self.reports: queue.Queue[dict] = queue.Queue()
        self.requested: list[str] = []
        self.connections: list[socket.socket] = []
        # Where a page that has reported goes next; empty for nowhere.
        self.then = ""

    def get_request(self) -> tuple[socket.socket, object]:
        connection, address = super().get_request()
        self.connections.append(connection)
        return connection, address

    def server_close(self) -> None:
        """Not only deaf to new connections: what a browser has kept open ends too."""
        super().server_close()
        for connection in self.connections:
            with contextlib.suppress(OSError):
                connection.shutdown(socket.SHUT_RDWR)

    def report(self, patience: float) -> dict:
        """The next report; TimeoutError if none comes."""
        try:
            return self.reports.get(timeout=patience)
        except queue.Empty:
            raise TimeoutError from None


@contextlib.contextmanager
def listening(folder: Path, extra: Mapping[str, bytes]) -> Iterator[ListeningServer]:
    with ListeningServer(folder, extra) as server:
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
        thread.start()
        try:
            yield server
        finally:
            server.shutdown()
            thread.join()
