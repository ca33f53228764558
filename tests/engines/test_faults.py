"""Firefox and WebKit: whatever goes wrong has its words, and the page can still be read.

Each test has a server of its own, and so an origin of its own: nothing in a cache hides the fault.
"""

import contextlib
import json
import re
import threading
from pathlib import Path

import pytest
from workshop.server import SiteHandler, SiteServer

from tests.browser.test_offline import GO_ON, KEEP, Host
from tests.engines.test_engines import answers_live

SITE = Path(__file__).resolve().parents[2] / "site"
PAGE = "calculators/standby.html"
CANNOT = "Not live: the answer shown is for the example. Reason:"
SLOWER = "It took the slower way to start:"


@pytest.fixture(autouse=True)
def nothing_else_goes_wrong(engine):
    """Firefox notes on its console that a stream broke, also where a script deals with it."""
    yield
    unexpected = [line for line in engine.trouble if not line.startswith("Failed to read data from the ReadableStream")]
    engine.trouble.clear()
    assert unexpected == []


class FaultyHandler(SiteHandler):
    """Serves the site, but what `server.faults` has a pattern for comes as its function makes it."""

    def do_GET(self):
        path = self.path.split("?")[0]
        for pattern, fault in self.server.faults.items():
            if re.search(pattern, path):
                file = self.server.site / path.lstrip("/")
                status, kind, content = fault(file.read_bytes() if file.is_file() else b"")
                self.send_response(status)
                self.send_header("Content-Type", kind)
                self.send_header("Content-Length", str(len(content)))
                self.end_headers()
                self.wfile.write(content)
                return
        super().do_GET()


@contextlib.contextmanager
def serving(faults):
    with SiteServer(SITE, "127.0.0.1", 0) as server:
        server.RequestHandlerClass, server.faults = FaultyHandler, faults
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
        thread.start()
        yield server.address
        server.shutdown()
        thread.join()


def cut_short(content):
    return 200, "application/gzip", content[:100_000]


def a_page_instead(content):
    return 200, "text/html", b"<!doctype html><title>Sign in</title>"


def with_the_wrong_type(content):
    return 200, "text/html; charset=utf-8", content


def damaged(content):
    middle = len(content) // 2
    return 200, "application/gzip", content[:middle] + bytes(1000) + content[middle + 1000 :]


def lacking(script):
    """Faults that run one more script at the start of each page."""
    begun = f"document.addEventListener('readystatechange', () => {{ {script} }}, {{ once: true }});"
    return {
        r"/sabotage\.js$": lambda content: (200, "text/javascript", begun.encode()),
        r"\.html$": lambda content: (200, "text/html", content.replace(b"<head>", b'<head><script src="/sabotage.js"></script>', 1)),
    }


def wait_for_words(engine, *words):
    told = "document.querySelector('#standby [data-live]').textContent"
    engine.wait(" && ".join(f"{told}.includes({json.dumps(each)})" for each in words))


def assert_still_readable(engine):
    """The answer written in when the page was built is there."""
    assert "Left on" in engine.evaluate("document.querySelector('#standby .sentence').textContent")


@pytest.mark.parametrize(
    ("fault", "words"),
    [(cut_short, "not all there"), (a_page_instead, "is something else")],
)
def test_without_the_machine_the_answers_of_the_build_stay(engine, fault, words):
    with serving({r"\.wasm\.gz$": fault}) as address:
        engine.goto(address + PAGE)
        wait_for_words(engine, CANNOT, "python-", words)
        assert_still_readable(engine)


def test_without_the_snapshot_it_answers_the_slower_way_whatever_types_the_files_have(engine):
    with serving({r"\.snapshot\.gz$": damaged, r"/runtime/.*\.gz$": with_the_wrong_type}) as address:
        answers_live(engine, address + PAGE)
        wait_for_words(engine, SLOWER, "damaged")


def test_a_browser_that_lacks_something(engine):
    with serving(lacking("delete window.WebAssembly;")) as address:
        engine.goto(address + PAGE)
        wait_for_words(engine, CANNOT, "this browser has no WebAssembly")
        assert_still_readable(engine)


def press(engine, name):
    button = f"[...document.querySelectorAll('#offline button')].find((each) => each.textContent === {json.dumps(name)})"
    engine.wait(button)
    engine.evaluate(f"{button}.click()")


def wait_for_panel(engine, words):
    engine.wait(f"document.querySelector('#offline [data-part=words]').textContent.includes({json.dumps(words)})")


@pytest.mark.parametrize(
    "script",
    [
        "Cache.prototype.put = async () => { throw new DOMException('Quota exceeded', 'QuotaExceededError'); };",
        "CacheStorage.prototype.open = async () => { throw new DOMException('The operation is insecure', 'SecurityError'); };",
    ],
    ids=["full", "refused"],
)
def test_storage_that_is_full_or_refused(engine, script):
    with serving(lacking(script)) as address:
        engine.goto(f"{address}offline.html")
        press(engine, KEEP)
        wait_for_panel(engine, "There is no room on this device, or the browser refused it")
        wait_for_panel(engine, "Reading goes on with the network.")
        engine.goto(address + PAGE)
        assert_still_readable(engine)


def test_a_download_cut_in_the_middle_goes_on_and_the_copy_answers_with_the_server_stopped(engine):
    host = Host(SITE)
    try:
        engine.goto(f"{host.address}offline.html")
        host.left = 20
        press(engine, KEEP)
        wait_for_panel(engine, "The network broke off")
        wait_for_panel(engine, "Reading goes on with the network.")
        host.left = 10**6
        press(engine, GO_ON)
        wait_for_panel(engine, "needs no network")
        engine.evaluate("navigator.serviceWorker.ready.then(() => true)")
    finally:
        host.stop()
    answers_live(engine, host.address + PAGE)
    engine.goto(f"{host.address}safety/index.html")
    engine.wait("document.querySelector('h1').textContent === 'Stop lines'")
