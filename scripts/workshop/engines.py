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
import signal
import subprocess
import tempfile
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import unquote

from .console import Failure
from .machine import installed_browser
from .server import TYPES, SiteHandler, SiteServer


@dataclass(frozen=True)
class Engine:
    """A browser engine. `options` start it without a window; PROFILE in them is a folder of its own."""

    name: str
    program: str
    options: tuple[str, ...]

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


def present() -> list[Engine]:
    """The engines that this machine has."""
    program = os.environ.get("HANDBOOK_CHROMIUM") or installed_browser()
    return [Engine("Chromium", program, CHROMIUM_OPTIONS)] if program else []


def chosen(names: Sequence[str] | None) -> list[Engine]:
    """Those of the present engines that are named, or all."""
    here = present()
    missing = {name.lower() for name in names or ()} - {engine.name.lower() for engine in here}
    if missing or not here:
        raise Failure(f"{', '.join(sorted(missing)) or 'A browser'} is not installed here: on Debian, apt install chromium")
    return [engine for engine in here if not names or engine.name.lower() in {name.lower() for name in names}]


@contextlib.contextmanager
def opened(engine: Engine, address: str, joins: Callable[[], None] | None = None) -> Iterator[None]:
    """The browser with one page, in a fresh profile; gone afterwards, with all its processes.

    `joins` is called in the new process before the browser starts in it.
    """
    with tempfile.TemporaryDirectory(prefix="handbook-profile-", ignore_cleanup_errors=True) as folder:
        profile = Path(folder)
        with open(profile / "output.txt", "wb") as output:
            try:
                process = subprocess.Popen(
                    engine.command(profile, address),
                    env={**os.environ, "HOME": folder},
                    stdin=subprocess.DEVNULL,
                    stdout=output,
                    stderr=output,
                    start_new_session=True,
                    preexec_fn=joins,
                )
            except OSError as error:
                raise Failure(f"{engine.program} cannot be started: {error.strerror}") from error
        try:
            yield
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
        # Where a page that has reported goes next; empty for nowhere.
        self.then = ""

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
