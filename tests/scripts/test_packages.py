"""`.venv` repairs itself: the installers are played, everything else is real."""

import importlib.util
import shutil
import sys

import pytest
from workshop import packages
from workshop.console import Failure
from workshop.packages import SITE_LOCK, TEST_LOCK, ensure_packages
from workshop.places import Places


class Installers:
    """Plays `python -m venv` and `pip install`: writes files, remembers what it did, can break off halfway."""

    def __init__(self):
        self.done = []
        self.breaks_off = False

    def __call__(self, places, command, **_):
        if "venv" in command:
            self.done.append("venv")
            (places.venv / "bin").mkdir(parents=True)
            places.python.symlink_to(sys.executable)
            (places.venv / "lib/site-packages").mkdir(parents=True)
        else:
            lock = command[-1].name
            self.done.append(lock)
            package = places.venv / "lib/site-packages" / lock.removesuffix(".lock")
            package.mkdir(exist_ok=True)
            (package / "half.py").write_text("half")
            if self.breaks_off:
                raise Failure("broken off")
            (package / "rest.py").write_text("rest")

    def since_last(self):
        done, self.done = self.done, []
        return done


@pytest.fixture
def places(tmp_path):
    (tmp_path / SITE_LOCK).write_text("a==1")
    (tmp_path / TEST_LOCK).write_text("a==1\nb==2")
    return Places(tmp_path)


@pytest.fixture
def installers(places, monkeypatch):
    """With a first set-up behind them."""
    installers = Installers()
    monkeypatch.setattr(packages, "run", installers)
    ensure_packages(places, SITE_LOCK)
    assert installers.since_last() == ["venv", SITE_LOCK]
    return installers


def test_nothing_is_installed_twice(places, installers):
    ensure_packages(places, SITE_LOCK)
    assert installers.since_last() == []


def test_the_tests_packages_are_added(places, installers):
    ensure_packages(places, TEST_LOCK)
    assert installers.since_last() == [TEST_LOCK]
    ensure_packages(places, SITE_LOCK)
    ensure_packages(places, TEST_LOCK)
    assert installers.since_last() == []


@pytest.mark.parametrize(
    "damage",
    [
        lambda places: (places.root / SITE_LOCK).write_text("a==2"),
        lambda places: (places.venv / "lib/site-packages/requirements/rest.py").unlink(),
        lambda places: (places.venv / "lib/site-packages/requirements/rest.py").write_text(""),
        lambda places: places.python.unlink(),
        lambda places: (places.python.unlink(), places.python.symlink_to("/nowhere/python")),
        lambda places: shutil.rmtree(places.venv),
        lambda places: shutil.rmtree(places.venv / "lib"),
        lambda places: (places.venv / f"{SITE_LOCK}.stamp").unlink(),
        lambda places: (places.venv / "unfinished").touch(),
    ],
    ids=[
        "lock changed",
        "file removed",
        "file emptied",
        "no interpreter",
        "interpreter went away",
        "all removed",
        "packages removed",
        "stamp removed",
        "cut off",
    ],
)
def test_whatever_is_damaged_is_made_afresh(places, installers, damage):
    damage(places)
    ensure_packages(places, SITE_LOCK)
    assert installers.since_last() == ["venv", SITE_LOCK]
    ensure_packages(places, SITE_LOCK)
    assert installers.since_last() == []


def test_installing_that_breaks_off_is_not_taken_for_done(places, installers):
    installers.breaks_off = True
    with pytest.raises(Failure):
        ensure_packages(places, TEST_LOCK)
    installers.breaks_off = False
    installers.since_last()
    ensure_packages(places, SITE_LOCK)
    ensure_packages(places, TEST_LOCK)
    assert installers.since_last() == ["venv", SITE_LOCK, TEST_LOCK]


def test_a_package_someone_added_by_hand_is_left_alone(places, installers):
    (places.venv / "lib/site-packages/tool.py").write_text("a tool")
    ensure_packages(places, SITE_LOCK)
    assert installers.since_last() == []


def test_a_linked_environment_is_replaced_not_emptied(places, installers, tmp_path_factory):
    elsewhere = tmp_path_factory.mktemp("elsewhere") / "venv"
    places.venv.rename(elsewhere)
    (elsewhere / "unfinished").touch()
    places.venv.symlink_to(elsewhere)
    ensure_packages(places, SITE_LOCK)
    assert (elsewhere / "unfinished").exists()
    assert places.venv.is_dir() and not places.venv.is_symlink()


def test_a_missing_lock_file_is_named(places, installers):
    (places.root / SITE_LOCK).unlink()
    with pytest.raises(Failure, match=f"^{SITE_LOCK} is missing"):
        ensure_packages(places, SITE_LOCK)


@pytest.mark.parametrize("missing", ["venv", "ensurepip"])
def test_a_python_without_venv_is_named(places, installers, monkeypatch, missing):
    shutil.rmtree(places.venv)
    real = importlib.util.find_spec
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None if name == missing else real(name))
    with pytest.raises(Failure, match=r"venv module is missing.*apt install python3-venv"):
        ensure_packages(places, SITE_LOCK)
