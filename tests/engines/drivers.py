"""Firefox and WebKit, driven as far as these tests need: open a page, run a line of script, wait.

Firefox speaks WebDriver BiDi by itself, so a web socket is enough; WebKit is driven by
selenium, on a screen of its own.
"""

import base64
import contextlib
import json
import os
import re
import shutil
import subprocess
import tempfile
import time
from pathlib import Path

from selenium import webdriver
from selenium.webdriver.webkitgtk.options import Options
from selenium.webdriver.webkitgtk.service import Service
from websocket import create_connection
from workshop.engines import FIREFOX_ENVIRONMENT, FIREFOX_OPTIONS, FIREFOX_PREFERENCES, SCREEN, WEBKIT_ENVIRONMENT, preferences, screen
from workshop.machine import installed_firefox, installed_webkit

PATIENCE = 60.0  # seconds for anything a page is asked to do
FIREFOX = installed_firefox()
WEBKIT_DRIVER = shutil.which("WebKitWebDriver")
WEBKIT_BROWSER = installed_webkit()


def missing():
    """Why an engine's tests cannot run, by engine; nothing for one that can."""
    reasons = {}
    if not FIREFOX:
        reasons["firefox"] = "firefox-esr is not installed"
    if not (WEBKIT_DRIVER and WEBKIT_BROWSER and shutil.which(SCREEN)):
        reasons["webkit"] = "webkit2gtk-driver or xvfb is not installed"
    return reasons


class Browser:
    """What both engines can do."""

    def wait(self, condition, seconds=PATIENCE):
        """Wait until a line of script is true; the page's own words are told where it never is."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            if self.evaluate(f"Boolean({condition})"):
                return
            time.sleep(0.05)
        told = self.evaluate("document.querySelector('[data-live]')?.textContent ?? document.title")
        raise AssertionError(f"not within {seconds} s: {condition}; the page says: {told}")

    def open(self, url):
        """Open a page and wait until its Python answers."""
        self.goto(url)
        self.wait("document.querySelector('[data-state=ready]')")

    def open_once(self, url):
        """The same, but nothing where it stands open already: what was typed there stays."""
        if not self.evaluate(f"location.href.split('#')[0] === {json.dumps(url)} && Boolean(document.querySelector('[data-state=ready]'))"):
            self.open(url)


class Firefox(Browser):
    """Firefox without a window, over WebDriver BiDi."""

    name = "firefox"

    def __init__(self):
        self._profile = tempfile.TemporaryDirectory(prefix="handbook-firefox-")
        # When idle it would fetch a page's `next`, and complain where the server was stopped meanwhile.
        wanted = {**FIREFOX_PREFERENCES, "remote.active-protocols": 1, "network.prefetch-next": False}
        Path(self._profile.name, "user.js").write_text(preferences(wanted), "utf-8")
        options = [option.replace("PROFILE", self._profile.name) for option in FIREFOX_OPTIONS]
        self._process = subprocess.Popen(
            [FIREFOX, *options, "--remote-debugging-port", "0"],
            stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, env={**os.environ, "HOME": self._profile.name, **FIREFOX_ENVIRONMENT},
        )  # fmt: skip
        self._last = 0
        self.trouble = []
        self._socket = create_connection(f"{self._address()}/session", timeout=PATIENCE, suppress_origin=True)
        self._send("session.new", {"capabilities": {}})
        self._send("session.subscribe", {"events": ["log.entryAdded"]})
        self._page = self._send("browsingContext.getTree", {})["contexts"][0]["context"]

    def _address(self):
        for line in self._process.stderr:
            if found := re.search(r"WebDriver BiDi listening on (ws://\S+)", line):
                return found[1]
        raise AssertionError("Firefox ended before it listened")

    def _send(self, method, parameters):
        self._last += 1
        self._socket.send(json.dumps({"id": self._last, "method": method, "params": parameters}))
        while True:
            message = json.loads(self._socket.recv())
            if message.get("method") == "log.entryAdded" and message["params"]["level"] == "error":
                self.trouble.append(message["params"]["text"])
            if message.get("id") == self._last:
                assert message["type"] == "success", message
                return message["result"]

    def goto(self, url):
        """Open a page and wait until it is loaded."""
        self._send("browsingContext.navigate", {"context": self._page, "url": url, "wait": "complete"})

    def evaluate(self, script):
        """The value of a line of script; a promise is awaited."""
        wrapped = f"(async () => JSON.stringify((await ({script})) ?? null))()"
        done = self._send("script.evaluate", {"expression": wrapped, "target": {"context": self._page}, "awaitPromise": True})
        assert done["type"] == "success", done["exceptionDetails"]["text"]
        return json.loads(done["result"]["value"])

    def printed(self):
        """The page as a PDF."""
        return base64.b64decode(self._send("browsingContext.print", {"context": self._page})["data"])

    def close(self):
        """End the browser this object started."""
        with contextlib.suppress(Exception):
            self._socket.close()
        self._process.terminate()
        try:
            self._process.wait(10)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        self._process.stderr.close()
        with contextlib.suppress(OSError):  # its last writes may still come in
            self._profile.cleanup()


class WebKit(Browser):
    """WebKitGTK's small browser on a screen of its own."""

    name = "webkit"

    def __init__(self):
        self._rest = contextlib.ExitStack()
        display = self._rest.enter_context(screen())
        self._home = tempfile.TemporaryDirectory(prefix="handbook-webkit-")
        home = self._home.name
        environment = {**os.environ, "DISPLAY": display, "HOME": home, "XDG_DATA_HOME": home, "XDG_CACHE_HOME": home, **WEBKIT_ENVIRONMENT}
        # No page of a test lasts long enough to win back what optimising its machine takes.
        environment["JSC_useOMGJIT"] = "0"
        options = Options()
        options.binary_location = WEBKIT_BROWSER
        options.add_argument("--automation")
        self._driver = webdriver.WebKitGTK(options=options, service=Service(WEBKIT_DRIVER, env=environment))
        self._driver.set_script_timeout(PATIENCE)
        self._driver.set_page_load_timeout(PATIENCE)
        self.trouble = []

    def goto(self, url):
        """Open a page and wait until it is loaded."""
        self._driver.get(url)

    def evaluate(self, script):
        """The value of a line of script; a promise is awaited."""
        wrapped = (
            f"const done = arguments[0]; (async () => JSON.stringify((await ({script})) ?? null))()"
            ".then((text) => done([text]), (error) => done([null, String(error)]));"
        )
        text, *error = self._driver.execute_async_script(wrapped)
        assert not error, error
        return json.loads(text)

    def close(self):
        """End the browser and the screen this object started."""
        with contextlib.suppress(Exception):
            self._driver.quit()
        self._rest.close()
        with contextlib.suppress(OSError):
            self._home.cleanup()


ENGINES = {"firefox": Firefox, "webkit": WebKit}
