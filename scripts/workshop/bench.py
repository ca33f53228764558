"""Measures the site against a page that takes the interpreter as it comes, on this machine and in one run."""

import json
import re
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from .console import Failure, say
from .engines import Engine, ListeningServer, fresh_profile, listening, opened
from .node import find_node
from .places import Places
from .programs import run
from .publish import LIST, size_on_the_way, write_offline_list
from .quota import half_a_cpu
from .runtime import make_runtime
from .site import make_pages

# The page whose first live answer is timed, and the question put to it.
PAGE = "calculators/standby.html"
PANEL = "offline.html"
QUESTION = "standby"
PATIENCE = 120
# Milliseconds, longer than a browser takes to come to rest once its window is there. Under half a CPU all of
# them together have a quarter of what two cores give; what they do for themselves would be measured otherwise.
SETTLING = 1500
SETTLING_SLOWED = 4 * SETTLING

WAITING = "<!doctype html><title>Waiting</title><script>setTimeout(() => location.replace({address}), {milliseconds})</script>"
ICON = '<link rel="icon" href="data:,">'
BARE = f'<!doctype html><title>Bare</title>{ICON}<script src="bare.js"></script>'
EMPTY = f"""<!doctype html><title>Empty</title>{ICON}
<div id="python-runtime" data-worker="{{worker}}" data-wasm="{{wasm}}" data-snapshot="{{snapshot}}" data-stdlib="{{stdlib}}"></div>
<script src="python.js"></script><script src="{{script}}"></script>"""


class NotKept(Exception):
    """The browser does not keep the handbook; the words tell why."""


@dataclass(frozen=True)
class Kept:
    """A browser's profile with the handbook in it, `page` of which reports to `hearing`; or the `problem` with that."""

    profile: Path
    hearing: ListeningServer
    page: str
    problem: str = ""


class Bench:
    """One run: `found` is what goes into the JSON file."""

    settling = SETTLING

    def __init__(self, places: Places, runs: int):
        self.places = places
        self.runs = runs
        self.scripts = places.root / "scripts/benchmark"
        self.found: dict = {"runs": runs}
        self.asks = self._asks()

    def _asks(self) -> dict:
        say("Choosing what to ask of each calculator")
        with tempfile.TemporaryDirectory() as folder:
            output = Path(folder) / "asks.json"
            run(
                self.places,
                [self.places.python, self.scripts / "asks.py", output],
                name="bench-asks",
                failure="The calculators could not be asked",
            )
            return json.loads(output.read_text("utf-8"))

    # ---- first live answer ----

    def first_answers(self, engine: Engine, kept: "Kept") -> dict:
        """Milliseconds from going to the page until the first answer, all of them, by what was measured.

        Python alone on an empty page, ours and the bare one, each in a worker; then ours on a page of the
        handbook with all that is on it: from the server, from disk and from the copy the browser keeps.
        In turns, so that whatever else the machine does meanwhile slows all of them alike.
        """
        found = _nothing_yet("ours", "bare", "page", "offline") | {"library": [], "disk": [], "stall": []}
        for turn in range(self.runs):
            say(f"{engine.name}: first answers, {turn + 1} of {self.runs}")
            for which, serving in (("ours", self._empty), ("bare", self._bare), ("page", self._site)):
                reports = self._two_visits(engine, serving, found[which])
                if which == "ours":
                    found["steps"].append({"until begun": reports[0]["begun"], **reports[0]["facts"]["steps"]})
                if which == "page":
                    found["stall"] += [report["stall"] for report in reports]
            with self._empty(broken="snapshot") as server, opened(engine, f"{server.address}start.html"):
                found["library"].append(self._hear(server, engine)["answered"])
            with self._copy_on_disk() as (folder, server), opened(engine, (folder / "start.html").as_uri()):
                report = self._hear(server, engine)
                found["disk"].append(report["answered"])
                found["stall"].append(report["stall"])
            self._kept_visits(engine, kept, found["offline"])
        return found | {"offline": kept.problem or found["offline"]}

    def slowed(self, engine: Engine, kept: "Kept") -> dict | str:
        """The same on an empty page and from the kept copy under half a CPU, or why that was not measured."""
        found = _nothing_yet("ours", "bare", "offline")
        self.settling = SETTLING_SLOWED
        try:
            with half_a_cpu() as joins:
                for turn in range(self.runs):
                    say(f"{engine.name}: first answers under half a CPU, {turn + 1} of {self.runs}")
                    for which, serving in (("ours", self._empty), ("bare", self._bare)):
                        self._two_visits(engine, serving, found[which], joins)
                    self._kept_visits(engine, kept, found["offline"], joins)
        except Failure as problem:
            return f"not measured: {problem}"
        finally:
            self.settling = SETTLING
        return found | {"offline": kept.problem or found["offline"]}

    @contextmanager
    def kept(self, engine: Engine) -> Iterator["Kept"]:
        """A profile in which the browser keeps the handbook, with the measuring page in it, and the server stopped."""
        say(f"{engine.name}: keeping the handbook")
        with fresh_profile() as profile, listening(self.scripts, {}) as hearing:
            page, problem = "", ""
            try:
                page = self._keep(engine, profile, hearing)
            except NotKept as error:
                problem = f"not measured: {error}"
            yield Kept(profile, hearing, page, problem)

    def _keep(self, engine: Engine, profile: Path, hearing: ListeningServer) -> str:
        """Have the browser keep the site; where the measuring page was."""
        told = quote(f"{hearing.address}told", safe="")
        with tempfile.TemporaryDirectory(prefix="handbook-kept-") as name:
            folder = Path(name) / "site"
            shutil.copytree(self.places.site, folder)
            (folder / "live.js").write_bytes(self._script("live.js"))
            (folder / PAGE).write_bytes(self._measured_page("../live.js", f"{hearing.address}told"))
            (folder / f"{PAGE}.gz").unlink()
            write_offline_list(folder)
            (folder / f"{LIST}.gz").unlink()
            panel = (folder / PANEL).read_text("utf-8").replace("</body>", f'<script defer src="keep.js?told={told}"></script></body>', 1)
            extra = {"keep.html": panel.encode(), "keep.js": self._script("keep.js")}
            with listening(folder, extra) as server, opened(engine, f"{server.address}keep.html", profile=profile):
                try:
                    self._hear(hearing, engine)
                except Failure as problem:
                    raise NotKept(str(problem)) from None
                return f"{server.address}{PAGE}"

    def _kept_visits(self, engine: Engine, kept: "Kept", found: dict, joins: Callable[[], None] | None = None) -> None:
        """Cold is the browser started again, warm the visit after it."""
        if kept.problem:
            return
        kept.hearing.extra["start.html"] = self._waiting(kept.page)
        kept.hearing.then = "/start.html"
        with opened(engine, f"{kept.hearing.address}start.html", joins, kept.profile):
            for visit in ("cold", "warm"):
                found[visit].append(self._hear(kept.hearing, engine)["answered"])

    def _two_visits(self, engine: Engine, serving: Callable, found: dict, joins: Callable[[], None] | None = None) -> list[dict]:
        """One browser, one profile: the first visit is cold, the second warm."""
        with serving() as server:
            server.then = "/start.html"
            with opened(engine, f"{server.address}start.html", joins):
                reports = [self._hear(server, engine), self._hear(server, engine)]
        found["cold"].append(reports[0]["answered"])
        found["warm"].append(reports[1]["answered"])
        return reports

    def _waiting(self, address: str) -> bytes:
        return WAITING.format(address=json.dumps(address), milliseconds=self.settling).encode()

    def _hear(self, server: ListeningServer, engine: Engine) -> dict:
        try:
            report = server.report(PATIENCE)
        except TimeoutError:
            raise Failure(f"{engine.name} reported nothing within {PATIENCE} s") from None
        if "failed" in report:
            raise Failure(f"{engine.name} did not answer: {report['failed']}")
        return report

    @contextmanager
    def _site(self) -> Iterator[ListeningServer]:
        """The site with the measuring page in it."""
        extra = {"start.html": self._waiting(f"/{PAGE}"), "live.js": self._script("live.js"), PAGE: self._measured_page("/live.js", "/told")}
        with listening(self.places.site, extra) as server:
            yield server

    @contextmanager
    def _empty(self, broken: str = "") -> Iterator[ListeningServer]:
        """The in-page Python with nothing around it; `broken` names a file of it that comes empty."""
        extra = {
            "start.html": self._waiting("/empty.html"),
            "empty.html": self._empty_page(f"live.js?{self._parameters('/told')}&amp;start=at-once"),
            "live.js": self._script("live.js"),
            "python.js": self._python_script(),
        }
        if broken:
            extra[self._manifest()[broken]] = b""
        with listening(self.places.runtime, extra) as server:
            yield server

    @contextmanager
    def _bare(self) -> Iterator[ListeningServer]:
        scripts = {name: self._script(name) for name in ("bare.js", "bare-worker.js")}
        with listening(
            self.places.node_modules / "pyodide", {"start.html": self._waiting("/bare.html"), "bare.html": BARE.encode(), **scripts}
        ) as server:
            yield server

    @contextmanager
    def _copy_on_disk(self) -> Iterator[tuple[Path, ListeningServer]]:
        """The site as it is unpacked from the archive, with the measuring page in it."""
        with tempfile.TemporaryDirectory(prefix="handbook-disk-") as name, listening(self.places.site, {}) as server:
            folder = Path(name) / "site"
            shutil.copytree(self.places.site, folder)
            shutil.copytree(self.places.runtime / "disk", folder / "assets/runtime/disk")
            (folder / "live.js").write_bytes(self._script("live.js"))
            (folder / PAGE).write_bytes(self._measured_page("../live.js", f"{server.address}told"))
            (folder / "start.html").write_bytes(self._waiting(PAGE))
            yield folder, server

    def _manifest(self) -> dict:
        return json.loads((self.places.runtime / "manifest.json").read_text("utf-8"))

    def _script(self, name: str) -> bytes:
        return (self.scripts / name).read_bytes()

    def _python_script(self) -> bytes:
        return (self.places.root / "docs/assets/js/python.js").read_bytes()

    def _empty_page(self, script: str) -> bytes:
        return EMPTY.format(**self._manifest(), script=script).encode()

    def _measured_page(self, script: str, told: str) -> bytes:
        """The page as it is, with one more script at its end; its policy allows that."""
        tag = f'<script defer src="{script}?{self._parameters(told)}"></script></body>'
        return (self.places.site / PAGE).read_text("utf-8").replace("</body>", tag, 1).encode()

    def _parameters(self, told: str) -> str:
        request = self.asks["requests"][QUESTION]["asked"][0]
        return f"told={quote(told, safe='')}&amp;request={quote(request, safe='')}"

    # ---- answers to every change ----

    def recompute(self, engine: Engine) -> dict:
        """Milliseconds by calculator: in Python alone, and until the page has the answer."""
        say(f"{engine.name}: {len(self.asks['native'])} calculators, {len(self.asks['requests'][QUESTION]['asked'])} questions each")
        extra = {
            "recompute.html": self._empty_page("recompute.js"),
            "recompute.js": self._script("recompute.js"),
            "python.js": self._python_script(),
            "requests.json": json.dumps(self.asks["requests"]).encode(),
        }
        with listening(self.places.runtime, extra) as server, opened(engine, f"{server.address}recompute.html"):
            return self._hear(server, engine)["found"]

    # ---- what travels, and what it costs to build ----

    def bytes_over_the_wire(self, engine: Engine) -> dict:
        """What a first visit to the page fetches, by kind: as it is, and compressed where a host does that."""
        with self._site() as server, opened(engine, f"{server.address}{PAGE}"):
            self._hear(server, engine)
            fetched = dict.fromkeys(name for name in server.requested if name not in ("live.js", "favicon.ico"))
        kinds: dict[str, dict[str, int]] = {}
        for name in fetched:
            file = self.places.site / name
            kind = kinds.setdefault(_kind(name), {"files": 0, "bytes": 0, "compressed": 0})
            kind["files"] += 1
            kind["bytes"] += file.stat().st_size
            kind["compressed"] += size_on_the_way(file)
        return kinds

    def native_import(self) -> list[float]:
        code = "import time; before = time.perf_counter(); import calc.browser; print((time.perf_counter() - before) * 1000)"
        command = [self.places.python, "-c", code]
        return [
            float(run(self.places, command, name="bench-import", failure="calc could not be imported")) for _ in range(self.runs)
        ]

    def builds(self) -> dict:
        say("Building once more, to time it")
        with tempfile.TemporaryDirectory(prefix="handbook-build-") as folder:
            return {
                "runtime": _seconds(make_runtime, self.places, find_node(self.places), Path(folder) / "runtime"),
                "pages": _seconds(make_pages, self.places, Path(folder) / "site"),
            }


def _of_one(bench: Bench, engine: Engine) -> dict:
    with bench.kept(engine) as kept:
        found = {"first_answer": bench.first_answers(engine, kept), "half_a_cpu": bench.slowed(engine, kept)}
    return found | {"recompute": bench.recompute(engine), "bytes": bench.bytes_over_the_wire(engine)}


def measured(places: Places, engines: Sequence[Engine], runs: int) -> Iterator[dict]:
    """What was found so far, once more after each engine: each takes minutes, and none is lost by the next."""
    bench = Bench(places, runs)
    bench.found["native"] = {"import": bench.native_import(), "answers": bench.asks["native"]}
    bench.found["build_seconds"] = bench.builds()
    bench.found["engines"] = {}
    for engine in engines:
        bench.found["engines"][engine.name] = _of_one(bench, engine)
        yield bench.found


def _nothing_yet(*which: str) -> dict:
    return {"steps": []} | {each: {"cold": [], "warm": []} for each in which}


def _seconds(work: Callable, *arguments: object) -> float:
    before = time.perf_counter()
    work(*arguments)
    return time.perf_counter() - before


def _kind(name: str) -> str:
    if name.startswith("assets/runtime/"):
        return f"runtime: {re.sub('-[0-9a-f]{16}', '', name.rpartition('/')[2])}"
    if name.startswith("search/"):
        return "search index"
    return {".html": "pages", ".css": "styles", ".js": "scripts"}.get(Path(name).suffix, "other")


# ---- the table ----


def table(found: dict) -> str:
    lines = []
    for name, engine in found["engines"].items():
        lines += [f"{name}, medians of {found['runs']}", ""]
        lines += _first_answer_lines(engine)
        lines += _steps_lines(engine["first_answer"])
        lines += _bytes_lines(engine["bytes"])
        lines += _recompute_lines(engine["recompute"], found["native"]["answers"])
    build = found["build_seconds"]
    lines += [
        f"calc is imported in {_middle(found['native']['import']):.0f} ms natively",
        f"Building: runtime {build['runtime']:.1f} s, pages {build['pages']:.1f} s",
    ]
    return "\n".join(lines)


def _first_answer_lines(engine: dict) -> list[str]:
    first, slowed = engine["first_answer"], engine["half_a_cpu"]
    cold, warm = first["bare"]["cold"], first["bare"]["warm"]
    lines = [
        f"{'First live answer, ms':44}{'ours':>8}{'bare':>8}{'ratio':>8}",
        _ratio_line("empty page, cold", first["ours"]["cold"], cold),
        _ratio_line("empty page, warm", first["ours"]["warm"], warm),
        _ratio_line("empty page, cold, without snapshot", first["library"], cold),
        _ratio_line("page of the handbook, cold", first["page"]["cold"], cold),
        _ratio_line("page of the handbook, warm", first["page"]["warm"], warm),
        _ratio_line("page of the handbook, from disk, cold", first["disk"], cold),
        *_offline_lines(first["offline"], first["bare"], ""),
    ]
    if isinstance(slowed, str):
        return [*lines, f"  under half a CPU: {slowed}", ""]
    lines += [_ratio_line(f"empty page, {visit}, half a CPU", slowed["ours"][visit], slowed["bare"][visit]) for visit in ("cold", "warm")]
    return [*lines, *_offline_lines(slowed["offline"], slowed["bare"], ", half a CPU"), ""]


def _offline_lines(kept: dict | str, bare: dict, how: str) -> list[str]:
    if isinstance(kept, str):
        return [f"  from the offline copy{how}: {kept}"]
    return [_ratio_line(f"from the offline copy, {visit}{how}", kept[visit], bare[visit]) for visit in ("cold", "warm")]


def _ratio_line(what: str, ours: list[float], bare: list[float]) -> str:
    return f"  {what:42}{_middle(ours):8.0f}{_middle(bare):8.0f}{_middle(ours) / _middle(bare):8.2f}"


def _steps_lines(first: dict) -> list[str]:
    steps = {step: _middle([each[step] for each in first["steps"]]) for step in first["steps"][0]}
    words = ", ".join(f"{step} {milliseconds:.0f}" for step, milliseconds in steps.items())
    return [
        f"Of the first line, ms (machine and snapshot come side by side): {words}",
        f"The handbook's page stood still for at most {max(first['stall']):.0f} ms (median {_middle(first['stall']):.0f})",
        "",
    ]


def _bytes_lines(kinds: dict) -> list[str]:
    lines = [f"{'A first visit fetches, KB':34}{'files':>8}{'as is':>8}{'gzip':>8}"]
    for kind, sizes in sorted(kinds.items()):
        lines.append(f"  {kind:32}{sizes['files']:8}{sizes['bytes'] / 1000:8.0f}{sizes['compressed'] / 1000:8.0f}")
    return [*lines, ""]


def _recompute_lines(recompute: dict, native: dict) -> list[str]:
    lines = [f"{'An answer, ms':26}{'in Python':>16}{'round trip':>16}{'natively':>16}", f"{'':26}{'p50     p95' :>16}{'p50     p95':>16}{'p50     p95':>16}"]
    for id, spent in recompute.items():
        columns = (spent["inPython"], spent["roundTrip"], native[id])
        lines.append(f"  {id:24}" + "".join(f"{_middle(each):8.1f}{_slow(each):8.1f}" for each in columns))
    return [*lines, ""]


def _middle(values: list[float]) -> float:
    return statistics.median(values)


def _slow(values: list[float]) -> float:
    """What 95 of 100 stay below."""
    return statistics.quantiles(values, n=20, method="inclusive")[-1]
