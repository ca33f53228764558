"""What the build tries in every browser that is there, and how it ends when that goes wrong.

What passes is tried in test_snapshot.py.
"""

import json
import shutil

import pytest
from workshop import engines, trial
from workshop.console import Failure
from workshop.engines import Engine, listening, opened
from workshop.places import Places

HERE = engines.present()
needs_a_browser = pytest.mark.skipif(not HERE, reason="no browser is installed that needs no driver")


@needs_a_browser
def test_a_snapshot_that_restores_only_outside_a_browser_stops_the_build(built, tmp_path):
    runtime = tmp_path / "runtime"
    shutil.copytree(Places(built.root).runtime, runtime)
    worker = runtime / json.loads((runtime / "manifest.json").read_text())["worker"]
    sound = worker.read_text("utf-8")
    worker.write_text(sound.replace("  memory.fill(0", '  throw new Error("not here");\n  memory.fill(0'), "utf-8")
    with pytest.raises(Failure, match=f"^The snapshot does not come back to life in {HERE[0].name}: not here$"):
        trial.try_in(HERE[:1], Places(built.root), runtime)


def test_a_browser_that_cannot_be_started_is_named(built):
    places = Places(built.root)
    with pytest.raises(Failure, match="/no/such/browser cannot be started"):
        trial.try_in([Engine("None", "/no/such/browser", ())], places, places.runtime)


def test_a_browser_that_reports_nothing_is_named(built, monkeypatch):
    monkeypatch.setattr(trial, "PATIENCE", 0.1)
    places = Places(built.root)
    with pytest.raises(Failure, match=r"Mute \(sh\) reported nothing within 0\.1 s"):
        trial.try_in([Engine("Mute", "sh", ("-c", "exec sleep 60", "mute"))], places, places.runtime)


def test_a_browser_that_ends_before_it_opens_a_page_is_named_and_left_out(built, capsys):
    places = Places(built.root)
    trial.try_in([Engine("Brief", "false", ())], places, places.runtime)
    assert "Brief is left out: it ends before it opens a page (false)" in capsys.readouterr().err


def test_without_a_screen_webkit_is_named_and_left_out(monkeypatch, capsys):
    monkeypatch.setattr(engines, "installed_webkit", lambda: "/no/such/MiniBrowser")
    monkeypatch.setattr(engines, "SCREEN", "no-such-screen")
    assert "WebKit" not in [engine.name for engine in engines.present()]
    assert "WebKit is left out: it needs no-such-screen" in capsys.readouterr().err


@needs_a_browser
def test_a_page_reports_and_is_sent_on(tmp_path):
    """Twice: the second visit is what the first report leads to."""
    page = b"<!doctype html><title>x</title><script>location.replace('told?' + encodeURIComponent(JSON.stringify({ at: 'h\xc3\xa9re' })))</script>"
    with listening(tmp_path, {"page.html": page}) as server:
        server.then = "/page.html"
        with opened(HERE[0], f"{server.address}page.html"):
            assert [server.report(30), server.report(30)] == [{"at": "hére"}] * 2


def test_engines_are_chosen_by_name(monkeypatch):
    first, second = Engine("First", "a", ()), Engine("Second", "b", ())
    monkeypatch.setattr(engines, "present", lambda: [first, second])
    assert engines.chosen(None) == [first, second]
    assert engines.chosen(["second"]) == [second]
    with pytest.raises(Failure, match="third is not installed here"):
        engines.chosen(["third"])
