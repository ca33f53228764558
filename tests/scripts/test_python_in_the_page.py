"""The in-page Python in a real browser: it answers, and every way it can fail has a name and words."""

import gzip
import io
import json
import shutil
import zipfile
from pathlib import Path

import pytest
from workshop.places import HERE, Places

POLICY = "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; img-src data:; worker-src blob:"
PAGE = """<!doctype html><html lang="en"><head><title>Little</title><link rel="icon" href="data:,">
<meta http-equiv="Content-Security-Policy" content="{policy}"></head><body>
<div id="python-runtime" hidden data-worker="../runtime/{worker}" data-wasm="../runtime/{wasm}"
 data-stdlib="../runtime/{stdlib}"></div><script src="../python.js"></script></body></html>"""

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


@pytest.fixture
def folder(built, tmp_path):
    return Folder(tmp_path / "served", Places(built.root).runtime)


@pytest.fixture
def base_url(folder, serve_folder):
    with serve_folder(folder.path) as server:
        yield server.address


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


def test_it_answers(page):
    outcome = asked(page, SQUARE)
    assert outcome["response"] == {"area": 576.0, "text": "&lt;b&gt;"}
    assert outcome["states"] == ["loading", "ready"]
    assert outcome["python"]["facts"]["python"].startswith("3.14.")
    assert 0 < outcome["python"]["facts"]["milliseconds"] < 15_000


def test_nothing_is_loaded_before_it_is_wanted(page):
    requests = []
    page.on("request", lambda request: requests.append(request.url))
    page.goto("pages/page.html")
    assert page.evaluate("Handbook.python.state") == "idle"
    assert not [url for url in requests if "/runtime/" in url]


def test_questions_asked_while_it_loads_each_get_their_own_answer(page):
    page.goto("pages/page.html")
    responses = page.evaluate("""() => {
        Handbook.python.start();
        Handbook.python.start();
        return Promise.all([1, 2, 3].map((side) => Handbook.python.ask(JSON.stringify({ side }))));
    }""")
    assert [json.loads(each)["area"] for each in responses] == [144.0, 576.0, 1296.0]


def test_a_python_exception_rejects_that_question_only(page, built):
    outcome = asked(page, {"raise": "on purpose"})
    assert (outcome["reason"], outcome["message"]) == ("answer", "ValueError: on purpose")
    source = (built.root / "calc/browser.py").read_text()
    line = source.split("raise ValueError")[0].count("\n") + 1
    assert f'File "calc/browser.py", line {line}, in answer' in outcome["trace"]
    assert outcome["python"]["state"] == "ready"
    assert page.evaluate(ASK, SQUARE)["response"]["area"] == 576.0


def test_the_worker_has_no_way_out(page):
    ways = ["fetch", "XMLHttpRequest", "WebSocket", "WebTransport", "EventSource", "importScripts", "Worker"]
    # A name that is there shows that the question can tell.
    assert asked(page, {"ways_out": [*ways, "postMessage"]})["response"] == ["postMessage"]


def test_files_that_a_host_inflated_on_the_way_are_taken_as_they_are(page, folder):
    for kind in ("wasm", "stdlib"):
        folder.file(kind).write_bytes(gzip.decompress(folder.file(kind).read_bytes()))
    assert asked(page, SQUARE)["response"]["area"] == 576.0


IN_THE_CONSOLE = pytest.mark.expects_trouble(r"console: .*404")


# The browser reports what the page itself fetches, not what its worker does.
@pytest.mark.parametrize("kind", [pytest.param("worker", marks=IN_THE_CONSOLE), "wasm", "stdlib"])
def test_a_missing_file(page, folder, kind):
    folder.file(kind).unlink()
    assert_failed(asked(page, SQUARE), "download", folder.manifest[kind], "404")


@pytest.mark.expects_trouble(r"failed: .*wasm\.gz")
def test_a_broken_connection(page, folder):
    page.route("**/*.wasm.gz", lambda route: route.abort())
    assert_failed(asked(page, SQUARE), "download", folder.manifest["wasm"])


@pytest.mark.parametrize("kind", ["worker", "wasm", "stdlib"])
def test_a_page_in_place_of_a_file(page, folder, kind):
    folder.file(kind).write_text("<!DOCTYPE html><title>Sign in</title>")
    assert_failed(asked(page, SQUARE), "corrupt", folder.manifest[kind], "<!DOCTYPE html>")


@pytest.mark.parametrize("kind", ["wasm", "stdlib"])
def test_a_file_cut_short(page, folder, kind):
    content = folder.file(kind).read_bytes()
    folder.file(kind).write_bytes(content[: len(content) // 2])
    assert_failed(asked(page, SQUARE), "corrupt", folder.manifest[kind], "not all there")


@pytest.mark.parametrize("kind", ["wasm", "stdlib"])
def test_another_file_in_its_place(page, folder, kind):
    folder.file(kind).write_bytes(gzip.compress(b"something else"))
    assert_failed(asked(page, SQUARE), "corrupt", folder.manifest[kind], "something else")


def test_a_machine_of_another_version(page, folder):
    machine = gzip.decompress(folder.file("wasm").read_bytes())
    folder.file("wasm").write_bytes(gzip.compress(machine + b"\0", 1))
    assert_failed(asked(page, SQUARE), "corrupt", str(len(machine)), str(len(machine) + 1))


def test_a_machine_that_this_browser_cannot_run(page, folder):
    machine = gzip.decompress(folder.file("wasm").read_bytes())
    folder.file("wasm").write_bytes(gzip.compress(machine[:8] + bytes(len(machine) - 8), 1))
    assert_failed(asked(page, SQUARE), "old-browser", folder.manifest["wasm"])


def test_python_that_cannot_start(page, folder):
    """Without the calculators there is nothing to import."""
    whole = zipfile.ZipFile(io.BytesIO(gzip.decompress(folder.file("stdlib").read_bytes())))
    rest = io.BytesIO()
    with zipfile.ZipFile(rest, "w") as archive:
        for name in whole.namelist():
            if name != "calc/browser.pyc":
                archive.writestr(name, whole.read(name))
    folder.file("stdlib").write_bytes(gzip.compress(rest.getvalue()))
    assert_failed(asked(page, SQUARE), "start", "calc.browser")


@pytest.mark.expects_trouble(r"console: Aborted", r"console: RuntimeError: unreachable", r"console: .*fatal error")
def test_an_interpreter_that_dies_is_not_asked_again(page):
    outcome = asked(page, {"abort": True})
    assert outcome["reason"] == "answer"
    page.wait_for_function("Handbook.python.state === 'failed'")
    assert page.evaluate("Handbook.python.reason") == "crashed"
    assert page.evaluate(ASK, SQUARE)["reason"] == "crashed"


def test_a_browser_without_webassembly(page):
    page.add_init_script("delete window.WebAssembly")
    assert_failed(asked(page, SQUARE), "no-webassembly")


def test_a_browser_without_workers(page):
    page.add_init_script("delete window.Worker")
    assert_failed(asked(page, SQUARE), "no-worker")


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
    page.clock.fast_forward(14_000)
    assert page.evaluate("Handbook.python.state") == "loading"
    page.clock.fast_forward(1_100)
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


@pytest.mark.expects_trouble(r"another origin: file:")
def test_a_page_opened_from_disk(page, folder):
    page.goto((folder.path / "pages/page.html").as_uri())
    assert_failed(page.evaluate(ASK, SQUARE), "file")
