"""The copy on the device: whole or not at all, with the server really stopped.

A driver's emulated lack of network does not reach a service worker, so every cut here is a server
that closes its sockets.
"""

import gzip
import hashlib
import json
import re
import shutil
import socket
import threading
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Error, expect
from workshop.publish import LIST, is_compressed_copy, write_offline_list
from workshop.server import SiteHandler, SiteServer

from tests.browser.waiting import until

SITE = Path(__file__).resolve().parents[2] / "site"
PAGES = sorted(file.relative_to(SITE).as_posix() for file in SITE.rglob("*.html"))
PANEL = "offline.html"
# One of every folder, and those that the tests name.
FEW = sorted(set({page.rpartition("/")[0]: page for page in reversed(PAGES)}.values()) | {"index.html", PANEL, "404.html", "calculators/standby.html", "road/index.html"})
KEEP, REMOVE, GO_ON = "Keep it on this device", "Remove the offline copy", "Go on with the download"
LOOK, USE = "Look for a newer version", "Use the newer version now"


class Handler(SiteHandler):
    """Notes what is asked, and hangs up once it has answered often enough."""

    def send_header(self, name, value):
        super().send_header(name, value)
        if self.server.host.inflating and name == "Content-Type" and self.path.split("?")[0].endswith(".gz"):
            super().send_header("Content-Encoding", "gzip")

    def parse_request(self):
        if not super().parse_request():
            return False
        host = self.server.host
        with host.lock:
            host.asked.append(self.path)
            host.left -= 1
            if host.left >= 0:
                return True
        raise ConnectionAbortedError

    def setup(self):
        super().setup()
        self.server.host.sockets.append(self.connection)


class Host:
    """A server that can be stopped, started again at the same address, and told to break off."""

    def __init__(self, folder):
        self.folder, self.port, self.server, self.inflating = folder, 0, None, False
        self.lock, self.asked, self.sockets = threading.Lock(), [], []
        self.start()

    def start(self, answers=10**6):
        self.left = answers
        self.server = SiteServer(self.folder, "127.0.0.1", self.port)
        self.server.host, self.server.RequestHandlerClass = self, Handler
        self.port = self.server.server_port
        self.address = self.server.address
        self.thread = threading.Thread(target=self.server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
        self.thread.start()

    def stop(self):
        self.server.shutdown()
        self.server.server_close()
        self.thread.join()
        for each in self.sockets:
            try:
                each.shutdown(socket.SHUT_RDWR)
            except OSError:
                pass
        self.sockets.clear()


def copied(folder):
    """The built site without the compressed copies, so that what is on the disk is what is sent."""
    shutil.copytree(SITE, folder, copy_function=shutil.copyfile)
    for file in list(folder.rglob("*.gz")):
        if is_compressed_copy(file):
            file.unlink()
    return folder


@pytest.fixture
def folder(tmp_path, request):
    """The built site, to be changed.

    Unless a test asks for the whole site, it has a few of the pages, and stand-ins for Python's files: both travel faster.
    """
    folder = copied(tmp_path / "site")
    if getattr(request, "param", "") != "whole":
        for page in set(PAGES) - set(FEW):
            (folder / page).unlink()
        for file in (folder / "assets/runtime").glob("*.gz"):
            file.write_bytes(gzip.compress(file.name.encode(), mtime=0))
        write_offline_list(folder)
    return folder


@pytest.fixture
def host(folder):
    host = Host(folder)
    yield host
    host.stop()


@contextmanager
def reading(browser, host):
    """A page in a fresh profile. Failing requests are the point here; uncaught errors are not."""
    context = browser.new_context(base_url=host.address)
    uncaught = []
    context.on("weberror", lambda error: uncaught.append(str(error.error)))
    yield context.new_page()
    context.close()
    assert uncaught == []


@pytest.fixture
def reader(browser, host):
    with reading(browser, host) as page:
        yield page


@pytest.fixture(scope="module")
def kept(browser, tmp_path_factory):
    """A page whose browser keeps the whole site, with the server stopped; its folder, and what the bar showed meanwhile."""
    folder = copied(tmp_path_factory.mktemp("whole") / "site")
    host = Host(folder)
    with reading(browser, host) as page:
        page.goto(PANEL)
        expect(words(page)).to_contain_text("Keeping it takes")
        page.evaluate("""() => {
            window.seen = [];
            new MutationObserver(() => seen.push(document.querySelector("#offline-bar").value / document.querySelector("#offline-bar").max))
                .observe(document.querySelector("[data-part=megabytes]"), { childList: true });
        }""")
        keep(page)
        seen = page.evaluate("seen")
        expect(page.locator("[data-part=progress]")).to_be_hidden()
        host.stop()
        yield page, folder, seen


def second_edition(folder):
    """Change every page, the search and a script's name, as a new version would."""
    for page in folder.rglob("*.html"):
        text = page.read_text("utf-8").replace("<head>", '<head><meta name="edition" content="second">')
        page.write_text(re.sub(r"assets/js/forms\.[0-9a-f]+\.js", "assets/js/forms.00000000000000aa.js", text), "utf-8")
    (forms,) = (folder / "assets/js").glob("forms.*.js")
    forms.rename(forms.with_name("forms.00000000000000aa.js"))
    index = folder / "search/search_index.json"
    index.write_text(index.read_text("utf-8") + " ", "utf-8")
    write_offline_list(folder)


def words(page):
    return page.locator("#offline [data-part=words]")


def press(page, name):
    page.get_by_role("button", name=name).click()


def keep(page):
    if not page.url.endswith(PANEL):
        page.goto(PANEL)
    press(page, KEEP)
    expect(words(page)).to_contain_text("needs no network", timeout=30_000)
    page.evaluate("async () => (await navigator.serviceWorker.ready).active.state")


def listed(folder):
    return json.loads((folder / LIST).read_text("utf-8"))


def kept_files(page):
    """How many files each version in the browser's storage holds."""
    return page.evaluate("""async () => {
        const found = {};
        for (const name of await caches.keys()) found[name.split(" ").pop()] = (await (await caches.open(name)).keys()).length;
        delete found.record;
        return found;
    }""")


def edition(page):
    return page.evaluate("document.querySelector('meta[name=edition]')?.content ?? 'first'")


def editions(page):
    """Of every page as the copy gives it, at a stroke."""
    return page.evaluate("""async (addresses) => Object.fromEntries(await Promise.all(addresses.map(async (address) => {
        const text = await (await fetch(address)).text();
        const edition = new DOMParser().parseFromString(text, "text/html").querySelector("meta[name=edition]");
        return [address, edition ? edition.content : "first"];
    })))""", FEW)


def is_unreachable(page, address):
    """Not served from any copy. (The error page of a failed visit would outlast the next one.)"""
    other = page.context.new_page()
    try:
        other.goto(address)
    except Error as error:
        return "net::ERR_" in str(error)
    finally:
        other.close()
    return False


def test_everything_works_with_the_server_stopped(kept):
    reader, folder, _ = kept
    assert kept_files(reader) == {listed(folder)["version"]: len(listed(folder)["files"])}
    failed = []
    reader.context.on("requestfailed", lambda request: failed.append((request.url, request.failure)))
    for address in ["", "?h=cable", *FEW]:
        assert reader.goto(address).ok, address
        assert reader.evaluate("document.styleSheets.length") >= 3
    # Every file, and so every page, comes from the copy as the site has it.
    digest = """(files) => Promise.all(files.map(async (file) => {
        const answer = await fetch(file).catch(() => Response.error());
        const digest = await crypto.subtle.digest("SHA-256", await answer.arrayBuffer());
        return [answer.status, [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("")];
    }))"""
    names = [name for name, *_ in listed(folder)["files"]]
    assert set(PAGES) <= set(names)
    right = {name: [200, hashlib.sha256((folder / name).read_bytes()).hexdigest()] for name in names}
    found = dict(zip(names, reader.evaluate(digest, [f"/{name}" for name in names])))
    assert [name for name in names if found[name] != right[name]] == []
    assert [each for each in failed if each[1] != "net::ERR_ABORTED" and LIST not in each[0]] == []


def test_forms_and_search_answer_with_the_server_stopped(kept):
    reader, *_ = kept
    reader.goto("calculators/standby.html")
    reader.fill("#standby-standby_power", "33 W")
    expect(reader.locator("[data-live]")).to_contain_text("Live", timeout=30_000)
    reader.wait_for_url(re.compile("standby_power=33"))
    reader.keyboard.press("Escape")
    reader.goto("index.html")
    reader.get_by_role("textbox", name="Search").press_sequentially("fuse")
    expect(reader.locator(".md-search-result__link").first).to_be_attached()
    assert reader.goto("no-such-page.html").status == 404


def test_nothing_is_downloaded_unless_asked_for(reader, host):
    reader.goto("index.html")
    reader.goto(PANEL)
    expect(words(reader)).to_contain_text(re.compile(r"Keeping it takes about \d+\.\d\sMB of data and \d+\.\d\sMB of room"))
    assert not [path for path in host.asked if "fresh=" in path and LIST not in path]
    assert reader.evaluate("async () => (await navigator.serviceWorker.getRegistrations()).length") == 0
    assert reader.evaluate("() => caches.keys()") == []


def test_a_cut_in_the_middle_keeps_what_came_and_serves_nothing_of_it(reader, host, folder):
    files = listed(folder)["files"]
    reader.goto(PANEL)
    expect(words(reader)).to_contain_text("Keeping it takes")
    host.left = len(files) // 2
    press(reader, KEEP)
    expect(words(reader)).to_contain_text("The network broke off")
    expect(words(reader)).to_contain_text("Reading goes on with the network")
    host.stop()
    (held,) = kept_files(reader).values()
    assert 0 < held < len(files)
    assert is_unreachable(reader, "index.html")

    host.asked.clear()
    host.start()
    press(reader, GO_ON)
    expect(words(reader)).to_contain_text("needs no network", timeout=30_000)
    fetched = [path for path in host.asked if "fresh=" in path and LIST not in path]
    assert len(fetched) == len(files) - held
    host.stop()
    assert reader.goto("index.html").ok
    host.start()


def test_the_download_shows_how_far_it_is(kept):
    *_, seen = kept
    assert len(seen) > 20 and seen == sorted(seen) and 0 <= seen[0] < 0.2 and seen[-1] == 1


def test_the_first_version_serves_until_the_reader_takes_the_whole_second(reader, host, folder):
    keep(reader)
    second_edition(folder)
    host.asked.clear()
    host.left = 6
    press(reader, LOOK)
    expect(words(reader)).to_contain_text("goes on serving")
    host.stop()
    for address in ("index.html", "calculators/standby.html", "offline.html"):
        assert reader.goto(address).ok
        assert edition(reader) == "first"

    host.start()
    reader.goto(PANEL)
    expect(words(reader)).to_contain_text("A newer version is here too, whole and checked", timeout=30_000)
    assert edition(reader) == "first", "the server has the second edition, and still the first is read"
    assert not [path for path in host.asked if "/runtime/" in path], "what did not change is not fetched again"
    reader.goto("index.html")
    assert edition(reader) == "first"
    expect(reader.locator(".offline-news")).to_contain_text("A newer version of the handbook is on this device")
    press(reader, "Use it now")
    reader.wait_for_selector("meta[name=edition]", state="attached")
    host.stop()
    assert reader.goto("index.html").ok
    assert editions(reader) == dict.fromkeys(FEW, "second")
    host.start()


def test_a_page_opened_before_the_switch_still_gets_its_own_files(reader, host, folder):
    (forms,) = (folder / "assets/js").glob("forms.*.js")
    keep(reader)
    second_edition(folder)
    press(reader, LOOK)
    expect(words(reader)).to_contain_text("whole and checked", timeout=30_000)
    older = reader.context.new_page()
    older.goto("index.html")
    press(reader, USE)
    reader.wait_for_selector("meta[name=edition]", state="attached")
    host.stop()
    ask = "async (path) => (await fetch(path)).ok"
    assert edition(older) == "first"
    assert older.evaluate(ask, f"assets/js/{forms.name}")
    assert older.evaluate(ask, "assets/js/forms.00000000000000aa.js")
    host.start()


def test_a_server_that_changes_during_the_download_is_noticed(reader, host, folder):
    reader.goto(PANEL)
    expect(words(reader)).to_contain_text("Keeping it takes")
    page = folder / "road/index.html"
    before = page.read_bytes()
    page.write_bytes(before.replace(b"battery", b"Battery"))
    press(reader, KEEP)
    expect(words(reader)).to_contain_text("road/index.html is not the file the list names", timeout=30_000)
    expect(words(reader)).to_contain_text("Reading goes on with the network")
    host.stop()
    assert is_unreachable(reader, "index.html")
    host.start()
    page.write_bytes(before)
    press(reader, GO_ON)
    expect(words(reader)).to_contain_text("needs no network", timeout=30_000)


def test_a_file_that_came_wrong_is_fetched_again_only_when_asked(reader, host, folder):
    keep(reader)
    second_edition(folder)
    page = folder / "road/index.html"
    right = page.read_bytes()
    page.write_bytes(right + b"<!-- added on the way -->")
    press(reader, LOOK)
    expect(words(reader)).to_contain_text("road/index.html is not the file the list names", timeout=30_000)
    host.asked.clear()
    for address in ("index.html", PANEL):
        reader.goto(address)
        # It has looked at the list, and what it would do next takes no time.
        until(reader, "performance.getEntriesByType('resource').some(({ name }) => name.includes('offline-files.json'))")
        reader.wait_for_timeout(300)
    expect(words(reader)).to_contain_text("road/index.html is not the file the list names")
    assert [path for path in host.asked if "fresh=" in path and LIST not in path] == []
    page.write_bytes(right)
    press(reader, GO_ON)
    expect(words(reader)).to_contain_text("whole and checked", timeout=30_000)


@pytest.mark.parametrize("folder", ["whole"], indirect=True)
def test_a_host_that_inflates_compressed_files_on_the_way_will_do(reader, host):
    host.inflating = True
    keep(reader)
    host.stop()
    reader.goto("calculators/standby.html")
    expect(reader.locator("[data-live]")).to_contain_text("Live", timeout=30_000)
    host.start()


@pytest.mark.parametrize("damage", [b"", b"short", b"<html>another page</html>"])
def test_a_damaged_file_never_becomes_part_of_a_copy(reader, host, folder, damage):
    picture = folder / "assets/icons/icon-512.png"
    picture.write_bytes(damage)
    reader.goto(PANEL)
    press(reader, KEEP)
    expect(words(reader)).to_contain_text(f"{picture.name} is not the file the list names ({len(damage)} bytes)", timeout=30_000)
    assert reader.evaluate("async () => (await (await caches.open((await caches.keys()).find((name) => /record/.test(name)))).keys()).length") == 1
    host.stop()
    assert is_unreachable(reader, "index.html")
    host.start()


def test_a_full_device_has_its_words_and_reading_goes_on(reader, host, folder):
    reader.goto(PANEL)
    expect(words(reader)).to_contain_text("Keeping it takes")
    session = reader.context.new_cdp_session(reader)
    quota = {"origin": host.address.rstrip("/")}
    session.send("Storage.overrideQuotaForOrigin", {**quota, "quotaSize": 500_000})
    press(reader, KEEP)
    expect(words(reader)).to_contain_text("There is no room on this device", timeout=30_000)
    expect(words(reader)).to_contain_text(re.compile(r"The handbook needs \d+\.\d\sMB\. Reading goes on with the network\."))
    assert reader.goto("road/index.html").ok
    host.stop()
    assert is_unreachable(reader, "road/index.html")
    host.start()
    reader.goto(PANEL)
    session.send("Storage.overrideQuotaForOrigin", quota)
    expect(words(reader)).to_contain_text(re.compile("no room|needs no network"), timeout=30_000)
    if reader.get_by_role("button", name=GO_ON).count():
        press(reader, GO_ON)
    expect(words(reader)).to_contain_text("needs no network", timeout=30_000)


def test_a_full_device_keeps_the_version_it_has(reader, host, folder):
    keep(reader)
    second_edition(folder)
    session = reader.context.new_cdp_session(reader)
    session.send("Storage.overrideQuotaForOrigin", {"origin": host.address.rstrip("/"), "quotaSize": 3_000_000})
    press(reader, LOOK)
    expect(words(reader)).to_contain_text("There is no room on this device", timeout=30_000)
    expect(words(reader)).to_contain_text(re.compile(r"Version [0-9a-f]{8} goes on serving"))
    host.stop()
    assert reader.goto("index.html").ok
    assert editions(reader) == dict.fromkeys(FEW, "first")
    host.start()


REFUSALS = {
    "Object.defineProperty(Navigator.prototype, 'serviceWorker', { get: () => undefined })": "This browser does not keep sites",
    "Object.defineProperty(window, 'isSecureContext', { get: () => false })": "only if it comes by https",
    "CacheStorage.prototype.has = CacheStorage.prototype.open = async () => { throw new DOMException('Storage is off', 'SecurityError'); }":
        "the browser refused it (Storage is off)",
    "ServiceWorkerContainer.prototype.register = async () => { throw new TypeError('Workers are off'); }":
        "This browser refused to keep the handbook (Workers are off)",
}


@pytest.mark.parametrize("refusal, told", REFUSALS.items())
def test_a_browser_that_refuses_has_its_words(reader, refusal, told):
    reader.add_init_script(refusal)
    reader.goto(PANEL)
    expect(words(reader)).not_to_contain_text("switched off")
    if reader.get_by_role("button", name=KEEP).count():
        press(reader, KEEP)
    expect(words(reader)).to_contain_text(told)
    expect(words(reader)).to_contain_text(re.compile("Reading goes on|cannot be kept"))
    assert reader.goto("calculators/standby.html").ok
    expect(reader.locator(".sentence")).to_be_visible()


def test_removing_it_leaves_nothing(reader, host):
    keep(reader)
    press(reader, REMOVE)
    expect(words(reader)).to_contain_text("Removed")
    assert reader.evaluate("() => caches.keys()") == []
    assert reader.evaluate("async () => (await navigator.serviceWorker.getRegistrations()).length") == 0
    assert reader.goto("index.html").ok
    host.stop()
    assert is_unreachable(reader, "index.html")
    host.start()
    keep(reader)


def test_removing_it_stops_a_download(reader, host):
    reader.goto(PANEL)
    expect(words(reader)).to_contain_text("Keeping it takes")
    # The last files wait, so that the download is still at work when it is told to stop.
    gate = threading.Event()
    plain, seen = Handler.parse_request, []

    def slow(handler):
        if len(seen) > 10:
            gate.wait(10)
        seen.append(1)
        return plain(handler)

    Handler.parse_request = slow
    try:
        press(reader, KEEP)
        expect(reader.locator("[data-part=progress]")).to_be_visible()
        press(reader, REMOVE)
        # The second as soon as the download has let go.
        expect(words(reader)).to_contain_text(re.compile("Being removed|Removed"))
    finally:
        gate.set()
        Handler.parse_request = plain
    expect(words(reader)).to_contain_text("Removed.", timeout=30_000)
    assert reader.evaluate("() => caches.keys()") == []


def test_two_windows_do_not_download_twice(reader, host, folder):
    reader.goto(PANEL)
    expect(words(reader)).to_contain_text("Keeping it takes")
    other = reader.context.new_page()
    other.goto(PANEL)
    reader.evaluate("() => { navigator.locks.request(`handbook / download`, () => new Promise((free) => { window.free = free; })); }")
    press(other, KEEP)
    expect(words(other)).to_contain_text("Another window is at work")
    reader.evaluate("() => window.free()")
    press(other, "Look again")
    expect(words(other)).to_contain_text("needs no network", timeout=30_000)
    files = [path for path in host.asked if "fresh=" in path and LIST not in path]
    assert len(files) == len(listed(folder)["files"])


def test_it_can_be_installed(reader):
    keep(reader)
    session = reader.context.new_cdp_session(reader)
    manifest = session.send("Page.getAppManifest")
    assert manifest["url"].endswith("handbook.webmanifest") and manifest["errors"] == []
    told = json.loads(manifest["data"])
    for icon in told["icons"]:
        drawn = reader.evaluate("async (src) => { const image = new Image(); image.src = src; await image.decode(); return image.naturalWidth; }", icon["src"])
        assert icon["sizes"] in (f"{drawn}x{drawn}", "any")
    errors = session.send("Page.getInstallabilityErrors")["installabilityErrors"]
    # A fresh profile of a test counts as a private window, in which nothing can be installed.
    assert [each["errorId"] for each in errors if each["errorId"] != "in-incognito"] == []


def test_another_handbook_on_the_same_host_is_left_alone(browser, tmp_path, folder):
    """Two copies in two folders of one host share its storage but not each other's."""
    root = tmp_path / "two"
    for name in ("a", "b"):
        shutil.copytree(folder, root / name)
    host = Host(root)
    context = browser.new_context(base_url=host.address)
    page = context.new_page()
    page.goto("b/offline.html")
    page.get_by_role("button", name=KEEP).click()
    expect(words(page)).to_contain_text("needs no network", timeout=30_000)
    page.goto("a/offline.html")
    page.get_by_role("button", name=KEEP).click()
    expect(words(page)).to_contain_text("needs no network", timeout=30_000)
    press(page, REMOVE)
    expect(words(page)).to_contain_text("Removed")
    host.stop()
    assert page.goto("b/index.html").ok
    context.close()
