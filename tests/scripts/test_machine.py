"""Which browser the tests get, on machines of several kinds."""

import shutil

import pytest
from workshop import machine
from workshop.console import Failure
from workshop.places import HERE


@pytest.fixture
def bare(monkeypatch):
    """A machine with no browser and no simulator, where nothing can be installed; it returns what was tried."""
    tried = []

    def run(_, command, *, failure, **rest):
        tried.append(" ".join(str(part) for part in command))
        raise Failure(failure)

    monkeypatch.delenv("HANDBOOK_CHROMIUM", raising=False)
    monkeypatch.setattr(machine, "run", run)
    monkeypatch.setattr(shutil, "which", lambda name: None)
    monkeypatch.setattr(machine, "_may_use_apt", lambda: False)
    machine._apt_update.cache_clear()
    return tried


def test_an_installed_browser_is_taken(bare, monkeypatch):
    monkeypatch.setattr(shutil, "which", {"google-chrome": "/opt/google-chrome"}.get)
    assert machine.ensure_browser(HERE) == "/opt/google-chrome"
    assert bare == []


def test_a_named_browser_comes_first(bare, monkeypatch, tmp_path):
    chosen = tmp_path / "mine"
    chosen.touch(0o755)
    monkeypatch.setattr(shutil, "which", {"chromium": "/usr/bin/chromium"}.get)
    monkeypatch.setenv("HANDBOOK_CHROMIUM", str(chosen))
    assert machine.ensure_browser(HERE) == str(chosen)


def test_a_named_browser_that_is_not_there(bare, monkeypatch):
    monkeypatch.setenv("HANDBOOK_CHROMIUM", "/no/such")
    with pytest.raises(Failure, match=r"HANDBOOK_CHROMIUM names /no/such"):
        machine.ensure_browser(HERE)


def test_without_debian_the_driver_brings_one(bare, monkeypatch):
    with pytest.raises(Failure, match=r"No Chromium or Chrome.*apt install chromium"):
        machine.ensure_browser(HERE)
    (only,) = bare
    assert only.endswith("-m playwright install chromium")


def test_on_debian_it_is_installed_first_and_trouble_there_is_told(bare, monkeypatch, capsys):
    monkeypatch.setattr(machine, "_may_use_apt", lambda: True)
    with pytest.raises(Failure):
        machine.ensure_browser(HERE)
    assert [each.split()[0] for each in bare] == ["apt-get", "apt-get", str(HERE.python)]
    assert "The Debian package chromium could not be installed" in capsys.readouterr().err


def test_a_browser_from_debian_is_used(bare, monkeypatch):
    found = {}

    def run(_, command, **rest):
        bare.append(command)
        if "install" in command:
            found["chromium"] = "/usr/bin/chromium"

    monkeypatch.setattr(machine, "run", run)
    monkeypatch.setattr(machine, "_may_use_apt", lambda: True)
    monkeypatch.setattr(shutil, "which", lambda name: found.get(name))
    assert machine.ensure_browser(HERE) == "/usr/bin/chromium"
    assert [command[2] for command in bare] == ["update", "install"]


def test_the_lightest_browser_is_driven(bare, monkeypatch):
    assert machine.driven_browser() == ""
    found = {"chromium": "/usr/bin/chromium"}
    monkeypatch.setattr(shutil, "which", found.get)
    assert machine.driven_browser() == "/usr/bin/chromium"
    found["chromium-headless-shell"] = "/usr/bin/chromium-headless-shell"
    assert machine.driven_browser() == "/usr/bin/chromium-headless-shell"
    monkeypatch.setenv("HANDBOOK_CHROMIUM", "/mine")
    assert machine.driven_browser() == "/mine"


def test_a_missing_program_stops_nothing(bare, monkeypatch, capsys):
    machine.offer_programs(HERE)
    assert bare == []
    monkeypatch.setattr(machine, "_may_use_apt", lambda: True)
    machine.offer_programs(HERE)
    # The lists of packages are fetched once, whatever comes of it.
    assert bare[0] == "apt-get --quiet update"
    assert [command.split()[-1] for command in bare[1:]] == list(machine.OFFERED.values())
    told = capsys.readouterr().err
    for package in ("ngspice", "firefox-esr", "webkit2gtk-driver", "xvfb"):
        assert f"The Debian package {package} could not be installed" in told
