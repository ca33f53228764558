"""Noticing what has changed and what is no longer whole."""

import os

import pytest
from workshop.console import Failure
from workshop.places import HERE
from workshop.site import INPUTS
from workshop.stamps import Stamp, ensure_folder, fingerprint


@pytest.fixture
def tree(tmp_path):
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs/page.md").write_text("words")
    (tmp_path / "mkdocs.yml").write_text("site_name: x")
    return tmp_path


NAMES = ("docs", "mkdocs.yml", "absent")


@pytest.mark.parametrize(
    "change",
    [
        lambda root: (root / "docs/page.md").write_text("sword"),
        lambda root: (root / "docs/page.md").rename(root / "docs/other.md"),
        lambda root: (root / "docs/new.md").write_text(""),
        lambda root: (root / "docs/page.md").unlink(),
        lambda root: (root / "mkdocs.yml").unlink(),
        lambda root: (root / "absent").write_text(""),
    ],
    ids=["edited", "renamed", "added", "removed", "file removed", "file added"],
)
def test_a_fingerprint_tells_every_change(tree, change):
    before = fingerprint(tree, NAMES)
    change(tree)
    assert fingerprint(tree, NAMES) != before


def test_a_fingerprint_is_of_contents_only(tree):
    before = fingerprint(tree, NAMES)
    os.utime(tree / "docs/page.md", (1, 1))
    (tree / "docs/__pycache__").mkdir()
    (tree / "docs/__pycache__/page.pyc").write_bytes(b"litter")
    (tree / "elsewhere").write_text("not asked about")
    assert fingerprint(tree, NAMES) == before


def test_the_site_s_inputs_are_real():
    """A mistyped name would count as missing for ever."""
    assert [name for name in INPUTS if not (HERE.root / name).exists()] == []


def test_a_stamp_vouches_for_its_key_only(tree):
    stamp = Stamp(tree / "docs.stamp", tree / "docs")
    assert not stamp.is_current("one")
    stamp.write("one")
    assert stamp.is_current("one")
    assert not stamp.is_current("two")


@pytest.mark.parametrize(
    "damage",
    [
        lambda root: (root / "docs/page.md").unlink(),
        lambda root: (root / "docs/page.md").write_text("wor"),
        lambda root: (root / "docs").rename(root / "gone"),
        lambda root: (root / "docs.stamp").write_text('{"key": "one", "fi'),
        lambda root: (root / "docs.stamp").write_text("[]"),
        lambda root: (root / "docs.stamp").write_text(""),
    ],
    ids=["file removed", "file cut short", "folder removed", "stamp cut short", "stamp odd", "stamp empty"],
)
def test_a_stamp_notices_damage(tree, damage):
    stamp = Stamp(tree / "docs.stamp", tree / "docs")
    stamp.write("one")
    damage(tree)
    assert not stamp.is_current("one")


def test_a_stamp_does_not_mind_more_files(tree):
    stamp = Stamp(tree / "docs.stamp", tree / "docs")
    stamp.write("one")
    (tree / "docs/extra.md").write_text("more")
    assert stamp.is_current("one")


class Maker:
    """Fills a folder with one file, or breaks off in the middle."""

    def __init__(self):
        self.text = "first"
        self.breaks_off = False
        self.times = 0

    def __call__(self, folder):
        self.times += 1
        folder.mkdir()
        (folder / "file").write_text(self.text)
        if self.breaks_off:
            raise Failure("broken off")


def test_a_folder_is_made_once_and_again_when_its_key_changes(tmp_path):
    make, folder = Maker(), tmp_path / "made"
    ensure_folder(folder, tmp_path, "one", make)
    ensure_folder(folder, tmp_path, "one", make)
    assert make.times == 1
    make.text = "second"
    ensure_folder(folder, tmp_path, "two", make)
    assert (make.times, (folder / "file").read_text()) == (2, "second")
    assert {file.name for file in tmp_path.iterdir()} == {"made", "made.stamp"}


def test_a_cut_just_before_the_stamp_is_noticed_even_when_the_key_comes_back(tmp_path, monkeypatch):
    make, folder = Maker(), tmp_path / "made"
    ensure_folder(folder, tmp_path, "one", make)
    # As long as the first text, so that sizes do not tell.
    make.text = "other"
    with monkeypatch.context() as cut:
        cut.setattr(Stamp, "write", lambda *_: (_ for _ in ()).throw(KeyboardInterrupt))
        with pytest.raises(KeyboardInterrupt):
            ensure_folder(folder, tmp_path, "two", make)
    make.text = "first"
    ensure_folder(folder, tmp_path, "one", make)
    assert (folder / "file").read_text() == "first"


def test_making_that_breaks_off_leaves_the_old_folder_and_is_done_again(tmp_path):
    make, folder = Maker(), tmp_path / "made"
    ensure_folder(folder, tmp_path, "one", make)
    make.breaks_off, make.text = True, "second"
    with pytest.raises(Failure):
        ensure_folder(folder, tmp_path, "two", make)
    assert (folder / "file").read_text() == "first"
    make.breaks_off = False
    ensure_folder(folder, tmp_path, "two", make)
    assert (folder / "file").read_text() == "second"
