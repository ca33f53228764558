"""The in-page Python in a real browser: it answers, and every way it can fail has a name and words."""

import gzip
import http.server
import io
import json
import shutil
import threading
import zipfile
from pathlib import Path

import pytest
from workshop.places import HERE, Places

POLICY = "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; img-src data:; worker-src blob:"
PAGE = """<!doctype html><html lang="en"><head><title>Little</title><link rel="icon" href="data:,">
<meta http-equiv="Content-Security-Policy" content="{policy}"></head><body>
<div id="python-runtime" hidden data-worker="../runtime/{worker}" data-wasm="../runtime/{wasm}"
 data-snapshot="../runtime/{snapshot}" data-stdlib="../runtime/{stdlib}"></div><script src="../python.js"></script></body></html>"""

# Asks and tells how it went.
ASK = """async (request) => {
    const { python } = Handbook;
    const states = [];
    python.onchange(() => states.push(python.state));
    const outcome = await python.ask(JSON.stringify(request)).then(
        (text) => ({ response: JSON.parse(text) }),
        ({ message, reason, trace }) => ({ message, reason, trace }),
    );
    return { ...outcome, states, python: JSON.parse(JSON.stringify(python)) };
}"""
SQUARE = {"side": 2}


class Folder:
    """What the browser is served: one page a level down, so that relative addresses are put to the test."""

    def __init__(self, path: Path, runtime: Path):
        self.path = path
        shutil.copytree(runtime, path / "runtime")
        shutil.copy(HERE.root / "docs/assets/js/python.js", path)
        self.manifest = json.loads((path / "runtime/manifest.json").read_text())
        self.write_page(POLICY)

    def write_page(self, policy: str) -> None:
        page = self.path / "pages/page.html"
        page.parent.mkdir(exist_ok=True)
        page.write_text(PAGE.format(policy=policy, **self.manifest))

    def file(self, kind: str) -> Path:
        return self.path / "runtime" / self.manifest[kind]

    def on_disk(self, kind: str) -> Path:
        return self.path / "runtime/disk" / f"{self.manifest[kind]}.js"


@pytest.fixture
def folder(built, tmp_path):
    return Folder(tmp_path / "served", Places(built.root).runtime)


@pytest.fixture
def base_url(folder, serve_folder):
    with serve_folder(folder.path) as server:
        yield server.address


@pytest.fixture
def page(fresh_page):
    """In a profile of its own: what one test breaks must not come back from the next one's cache."""
    return fresh_page


@pytest.fixture(scope="module")
def untouched(built, tmp_path_factory):
    """For the tests that break nothing, or only for their own page."""
    return Folder(tmp_path_factory.mktemp("untouched") / "served", Places(built.root).runtime)


@pytest.fixture(scope="module")
def site_url(untouched, serve_folder):
    with serve_folder(untouched.path) as server:
        yield server.address


@pytest.fixture
def shared_page(lasting, request):
    """A tab in a profile that these tests share, which spares half of what a first visit costs."""
    page = lasting.context.new_page()
    with lasting.during(request):
        yield page
        page.close()


def asked(page, request):
    page.goto("pages/page.html")
    return page.evaluate(ASK, request)


def assert_failed(outcome, reason, *words):
    """The named reason stands in the state and in the rejected promise, and its words name what matters."""
    python = outcome["python"]
    assert (python["state"], python["reason"], outcome["reason"]) == ("failed", reason, reason)
    assert outcome["states"] == ["loading", "failed"]
    assert outcome["message"] == python["detail"]
    for word in words:
        assert word in python["detail"]


def test_it_answers(shared_page):
    outcome = asked(shared_page, SQUARE)
    assert outcome["response"] == {"area": 576.0, "text": "&lt;b&gt;"}
    assert outcome["states"] == ["loading", "ready"]
    facts = outcome["python"]["facts"]
    assert facts["python"].startswith("3.14.")
    assert 0 < facts["milliseconds"] < 15_000
    assert facts["setback"] is None
    assert facts["steps"].keys() == {"machine", "snapshot", "restore"}
    assert 0 < outcome["python"]["spent"] < 15_000


def test_nothing_is_loaded_before_it_is_wanted(shared_page):
    requests = []
    shared_page.on("request", lambda request: requests.append(request.url))
    shared_page.goto("pages/page.html")
    assert shared_page.evaluate("Handbook.python.state") == "idle"
    assert not [url for url in requests if "/runtime/" in url]


def test_questions_asked_while_it_loads_each_get_their_own_answer(shared_page):
    shared_page.goto("pages/page.html")
    responses = shared_page.evaluate("""() => {
        Handbook.python.start();
        Handbook.python.start();
        return Promise.all([1, 2, 3].map((side) => Handbook.python.ask(JSON.stringify({ side }))));
    }""")
    assert [json.loads(each)["area"] for each in responses] == [144.0, 576.0, 1296.0]


def test_a_python_exception_rejects_that_question_only(shared_page, built):
    outcome = asked(shared_page, {"raise": "on purpose"})
    assert (outcome["reason"], outcome["message"]) == ("answer", "ValueError: on purpose")
    source = (built.root / "calc/browser.py").read_text()
    line = source.split("raise ValueError")[0].count("\n") + 1
    assert f'File "calc/browser.py", line {line}, in answer' in outcome["trace"]
    assert outcome["python"]["state"] == "ready"
    assert shared_page.evaluate(ASK, SQUARE)["response"]["area"] == 576.0


def test_the_worker_has_no_way_out(shared_page):
    ways = ["fetch", "XMLHttpRequest", "WebSocket", "WebTransport", "EventSource", "importScripts", "Worker", "caches"]
    # A name that is there shows that the question can tell.
    assert asked(shared_page, {"ways_out": [*ways, "postMessage"]})["response"] == ["postMessage"]


class Listener(http.server.BaseHTTPRequestHandler):
    def do_GET(self):
        self.server.heard.append(self.path)
        self.send_response(200)
        self.send_header("Access-Control-Allow-Origin", "*")
        self.end_headers()

    def log_message(self, *_):
        pass


@pytest.fixture
def other_host():
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), Listener) as server:
        server.heard = []
        threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True).start()
        yield server
        server.shutdown()


@pytest.mark.expects_trouble(r"another origin: .*/heard")
def test_nothing_in_the_worker_reaches_another_host(shared_page, other_host):
    address = f"http://127.0.0.1:{other_host.server_port}"
    # A page that is allowed to gets through, so silence means something.
    shared_page.goto(f"{address}/heard")
    tried = asked(shared_page, {"reach": f"{address}/reached"})["response"]
    assert len(tried) == 9 and "went off" not in tried.values(), tried
    shared_page.wait_for_timeout(300)
    assert "/heard" in other_host.heard and "/reached" not in other_host.heard


def test_files_that_a_host_inflated_on_the_way_are_taken_as_they_are(page, folder):
    for kind in ("wasm", "snapshot"):
        folder.file(kind).write_bytes(gzip.decompress(folder.file(kind).read_bytes()))
    assert asked(page, SQUARE)["response"]["area"] == 576.0


@pytest.mark.parametrize("kind", ["wasm", "snapshot"])
def test_a_wrong_type_does_not_matter(shared_page, untouched, kind):
    shared_page.route(f"**/{untouched.manifest[kind]}", lambda route: route.fulfill(path=untouched.file(kind), content_type="text/html"))
    outcome = asked(shared_page, SQUARE)
    assert outcome["response"]["area"] == 576.0
    assert outcome["python"]["facts"]["setback"] is None


@pytest.mark.expects_trouble(r"console: .*404")
@pytest.mark.parametrize("kind", ["worker", "wasm"])
def test_a_missing_file(page, folder, kind):
    folder.file(kind).unlink()
    assert_failed(asked(page, SQUARE), "download", folder.manifest[kind], "404")


@pytest.mark.expects_trouble(r"failed: .*wasm\.gz", r"console: .*ERR_FAILED")
def test_a_broken_connection(shared_page, untouched):
    shared_page.route("**/*.wasm.gz", lambda route: route.abort())
    assert_failed(asked(shared_page, SQUARE), "download", untouched.manifest["wasm"])


@pytest.mark.parametrize("kind", ["worker", "wasm"])
def test_a_page_in_place_of_a_file(page, folder, kind):
    folder.file(kind).write_text("<!DOCTYPE html><title>Sign in</title>")
    assert_failed(asked(page, SQUARE), "corrupt", folder.manifest[kind], "<!DOCTYPE html>")


def cut_short(file):
    content = file.read_bytes()
    file.write_bytes(content[: len(content) // 2])


def test_a_machine_cut_short(page, folder):
    cut_short(folder.file("wasm"))
    assert_failed(asked(page, SQUARE), "corrupt", folder.manifest["wasm"], "not all there")


def test_something_else_in_the_machines_place(page, folder):
    folder.file("wasm").write_bytes(gzip.compress(b"something else"))
    assert_failed(asked(page, SQUARE), "corrupt", folder.manifest["wasm"], "something else")


def test_a_machine_of_another_version(page, folder):
    machine = gzip.decompress(folder.file("wasm").read_bytes())
    folder.file("wasm").write_bytes(gzip.compress(machine + b"\0", 1))
    assert_failed(asked(page, SQUARE), "corrupt", str(len(machine)), str(len(machine) + 1))


def test_a_machine_that_this_browser_cannot_run(page, folder):
    machine = gzip.decompress(folder.file("wasm").read_bytes())
    folder.file("wasm").write_bytes(gzip.compress(machine[:8] + bytes(len(machine) - 8), 1))
    assert_failed(asked(page, SQUARE), "old-browser", folder.manifest["wasm"])


# ---- the snapshot: whatever is wrong with it, the library does the same, only later ----


def assert_answered_without_snapshot(outcome, reason, *words):
    assert outcome["response"]["area"] == 576.0
    facts = outcome["python"]["facts"]
    assert facts["setback"]["reason"] == reason
    for word in words:
        assert word in facts["setback"]["detail"]
    assert {"library", "start", "import"} <= facts["steps"].keys()


def rewritten(file, change):
    file.write_bytes(gzip.compress(change(gzip.decompress(file.read_bytes())), 1))


@pytest.mark.expects_trouble(r"console: .*404")
def test_a_missing_snapshot(page, folder):
    folder.file("snapshot").unlink()
    assert_answered_without_snapshot(asked(page, SQUARE), "download", folder.manifest["snapshot"], "404")


def test_a_snapshot_with_one_bit_wrong(page, folder):
    content = bytearray(folder.file("snapshot").read_bytes())
    content[len(content) // 2] ^= 1
    folder.file("snapshot").write_bytes(content)
    assert_answered_without_snapshot(asked(page, SQUARE), "corrupt", folder.manifest["snapshot"], "cannot be unpacked")


def test_a_snapshot_of_other_length(page, folder):
    rewritten(folder.file("snapshot"), lambda content: content[:-1000])
    assert_answered_without_snapshot(asked(page, SQUARE), "corrupt", "bytes instead of")


def test_a_snapshot_of_another_version(page, folder):
    rewritten(folder.file("snapshot"), lambda content: content.replace(b'"library":"', b'"library":"X', 1).replace(*header_length(content), 1))
    assert_answered_without_snapshot(asked(page, SQUARE), "another-version", folder.manifest["snapshot"], "library")


def header_length(content):
    """The four bytes that hold it, and the four for a header longer by one."""
    length = int.from_bytes(content[4:8], "little")
    return content[:8], content[:4] + (length + 1).to_bytes(4, "little")


def test_a_snapshot_that_comes_to_nothing(page, folder):
    """Zeroes in place of Python's memory."""

    def emptied(content):
        end_of_header = 8 + int.from_bytes(content[4:8], "little")
        header = json.loads(content[8:end_of_header])
        start = end_of_header + header["filesLength"]
        return content[:start] + bytes(len(content) - start)

    rewritten(folder.file("snapshot"), emptied)
    assert_answered_without_snapshot(asked(page, SQUARE), "restore")


@pytest.mark.expects_trouble(r"console: .*404")
def test_neither_snapshot_nor_library(page, folder):
    folder.file("snapshot").unlink()
    folder.file("stdlib").unlink()
    assert_failed(asked(page, SQUARE), "download", folder.manifest["stdlib"], "404")


@pytest.mark.expects_trouble(r"console: .*404")
def test_a_library_cut_short(page, folder):
    folder.file("snapshot").unlink()
    cut_short(folder.file("stdlib"))
    assert_failed(asked(page, SQUARE), "corrupt", folder.manifest["stdlib"], "not all there")


def test_no_two_readers_draw_the_same_random_numbers(shared_page):
    first, second = (asked(shared_page, {"random": True})["response"] for _ in range(2))
    assert first[0] != second[0] and first[1] != second[1]


def test_what_calc_reads_late_is_there(shared_page, built):
    outcome = asked(shared_page, {"read": "tables/units.txt"})
    assert outcome["response"] == (built.root / "calc/tables/units.txt").read_text()
    assert outcome["python"]["facts"]["setback"] is None


@pytest.mark.expects_trouble(r"console: .*404")
def test_python_that_cannot_start(page, folder):
    """Without the calculators there is nothing to import."""
    folder.file("snapshot").unlink()
    whole = zipfile.ZipFile(io.BytesIO(gzip.decompress(folder.file("stdlib").read_bytes())))
    rest = io.BytesIO()
    with zipfile.ZipFile(rest, "w") as archive:
        for name in whole.namelist():
            if name != "calc/browser.pyc":
                archive.writestr(name, whole.read(name))
    folder.file("stdlib").write_bytes(gzip.compress(rest.getvalue()))
    assert_failed(asked(page, SQUARE), "start", "calc.browser")


@pytest.mark.expects_trouble(r"console: Aborted", r"console: RuntimeError: unreachable", r"console: .*fatal error")
def test_an_interpreter_that_dies_is_not_asked_again(shared_page):
    outcome = asked(shared_page, {"abort": True})
    assert outcome["reason"] == "answer"
    shared_page.wait_for_function("Handbook.python.state === 'failed'")
    assert shared_page.evaluate("Handbook.python.reason") == "crashed"
    assert shared_page.evaluate(ASK, SQUARE)["reason"] == "crashed"


def test_a_browser_without_webassembly(shared_page):
    shared_page.add_init_script("delete window.WebAssembly")
    assert_failed(asked(shared_page, SQUARE), "no-webassembly")


def test_a_browser_without_workers(shared_page):
    shared_page.add_init_script("delete window.Worker")
    assert_failed(asked(shared_page, SQUARE), "no-worker")


@pytest.mark.expects_trouble(r"console: .*worker-src")
def test_a_policy_that_forbids_workers(page, folder):
    folder.write_page(POLICY.replace("worker-src blob:", "worker-src 'none'"))
    assert_failed(asked(page, SQUARE), "no-worker")


def test_a_worker_that_says_nothing_is_given_up(page, folder):
    folder.file("worker").write_text("self.importScripts = undefined;")
    page.clock.install()
    page.goto("pages/page.html")
    page.evaluate("() => { window.asked = Handbook.python.ask('{}').catch((error) => error.reason); }")
    page.wait_for_load_state("networkidle")
    # The clock goes on meanwhile, and a busy machine takes its time.
    page.clock.fast_forward(10_000)
    assert page.evaluate("Handbook.python.state") == "loading"
    page.clock.fast_forward(5_000)
    assert page.evaluate("window.asked") == "timeout"
    assert page.evaluate("Handbook.python.detail").startswith("nothing was heard for 15 s")


def test_the_first_cause_stays(page, folder):
    folder.file("worker").write_text(
        "self.importScripts = undefined; postMessage({type: 'failed', reason: 'corrupt', detail: 'first'});"
        "postMessage({type: 'failed', reason: 'start', detail: 'second'}); postMessage({type: 'ready'});"
    )
    outcome = asked(page, SQUARE)
    assert_failed(outcome, "corrupt", "first")
    page.wait_for_timeout(100)
    assert page.evaluate("[Handbook.python.state, Handbook.python.detail]") == ["failed", "first"]


@pytest.mark.expects_trouble(r"failed: .*worker", r"console: .*ERR_FAILED")
def test_what_follows_the_first_cause_does_not_replace_it(page):
    held = []
    page.route("**/worker-*.js", lambda route: held.append(route))
    page.clock.install()
    page.goto("pages/page.html")
    page.evaluate("() => { window.asked = Handbook.python.ask('{}').catch((error) => error.reason); }")
    page.clock.fast_forward(15_100)
    assert page.evaluate("window.asked") == "timeout"
    (route,) = held
    with page.expect_console_message():
        route.abort()
    assert page.evaluate("Handbook.python.reason") == "timeout"


# ---- a page opened from disk ----

FROM_DISK = r"another origin: (file:|blob:null/)"


def asked_from_disk(page, folder, request):
    page.goto((folder.path / "pages/page.html").as_uri())
    return page.evaluate(ASK, request)


@pytest.mark.expects_trouble(FROM_DISK)
def test_a_page_opened_from_disk_answers(shared_page, untouched):
    outcome = asked_from_disk(shared_page, untouched, SQUARE)
    assert outcome["response"] == {"area": 576.0, "text": "&lt;b&gt;"}
    assert outcome["python"]["facts"]["setback"] is None
    assert shared_page.locator("script[src*=disk]").count() == 0


@pytest.mark.expects_trouble(FROM_DISK)
def test_from_disk_nothing_is_loaded_before_it_is_wanted(shared_page, untouched):
    requests = []
    shared_page.on("request", lambda request: requests.append(request.url))
    shared_page.goto((untouched.path / "pages/page.html").as_uri())
    assert not [url for url in requests if "/runtime/" in url]


@pytest.mark.expects_trouble(FROM_DISK, r"ERR_FILE_NOT_FOUND")
@pytest.mark.parametrize("kind", ["worker", "wasm"])
def test_a_file_missing_on_disk(page, folder, kind):
    folder.on_disk(kind).unlink()
    assert_failed(asked_from_disk(page, folder, SQUARE), "download", folder.manifest[kind], "not there")


@pytest.mark.expects_trouble(FROM_DISK, r"uncaught: .*SyntaxError|Invalid or unexpected token")
@pytest.mark.parametrize("kind", ["worker", "wasm"])
def test_a_file_cut_short_on_disk(page, folder, kind):
    cut_short(folder.on_disk(kind))
    assert_failed(asked_from_disk(page, folder, SQUARE), "corrupt", folder.manifest[kind], "not all there")


@pytest.mark.expects_trouble(FROM_DISK)
@pytest.mark.parametrize("kind", ["worker", "wasm"])
def test_a_file_damaged_on_disk(page, folder, kind):
    script = folder.on_disk(kind).read_text()
    folder.on_disk(kind).write_text(script.replace('", "', '", "!', 1))
    assert_failed(asked_from_disk(page, folder, SQUARE), "corrupt", folder.manifest[kind])


@pytest.mark.expects_trouble(FROM_DISK, r"ERR_FILE_NOT_FOUND")
def test_a_snapshot_missing_on_disk(page, folder):
    folder.on_disk("snapshot").unlink()
    assert_answered_without_snapshot(asked_from_disk(page, folder, SQUARE), "download", folder.manifest["snapshot"])
