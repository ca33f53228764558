"""What a page asks for: unknown pieces end the build and name the page."""

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest
from mkdocs.exceptions import PluginError

from scripts import mkdocs_hook
from scripts.drawings import trees

ROOT = Path(__file__).resolve().parents[2]


def words_of_a_small_handbook(tmp_path):
    (tmp_path / "docs" / "cases").mkdir(parents=True)
    (tmp_path / "docs" / "cases" / "one.toml").write_text(
        '[good]\ncalculator = "standby"\n[good.values]\nstandby_power = "10 W"\n'
        '[bad]\ncalculator = "standby"\n[bad.values]\nstandby_power = "ten"\n',
        "utf-8",
    )
    (tmp_path / "docs" / "road" / "trees").mkdir(parents=True)
    (tmp_path / "docs" / "road" / "trees" / "lost.toml").write_text('title = "Lost"\nstart = "one"\n[steps.one]\nask = "On?"\nyes = "two"\nno = "two"\n', "utf-8")
    (tmp_path / "docs" / "road" / "trees" / "good.toml").write_text(
        'title = "Good"\nstart = "one"\n[steps.one]\nask = "On?"\nyes = "two"\nno = "two"\n[steps.two]\ndo = "Wait."\nsee = "road/there.md"\n', "utf-8"
    )
    (tmp_path / "docs" / "road" / "there.md").write_text("# There\n\nYes.\n", "utf-8")
    return tmp_path


@pytest.fixture
def small(tmp_path):
    """The words of a small handbook."""
    return words_of_a_small_handbook(tmp_path)


def that_can_be_built(small):
    """The same with the real hook and the real calculators."""
    for folder in ("calc", "scripts", "tests"):
        shutil.copytree(ROOT / folder, small / folder, ignore=shutil.ignore_patterns("__pycache__"))
    (small / "build" / "runtime").mkdir(parents=True)
    shutil.copy(ROOT / "build" / "runtime" / "manifest.json", small / "build" / "runtime")
    (small / "mkdocs.yml").write_text("site_name: small\ntheme: mkdocs\nuse_directory_urls: false\nhooks: [scripts/mkdocs_hook.py]\nplugins: []\n", "utf-8")
    return small


def build(handbook, page):
    (handbook / "docs" / "index.md").write_text(page, "utf-8")
    return subprocess.run([sys.executable, "-m", "mkdocs", "build", "--strict"], cwd=handbook, capture_output=True, text=True)


PAGES = {
    "pieces": (
        "# One\n\nTakes <!-- handbook: value one/good charge_per_day --> of <!-- handbook: input one/good battery_capacity -->.\n\n"
        "<!-- handbook: calculator standby one/good -->\n\n<!-- handbook: figure one/good -->\n"
    ),
    "cells": (
        "# One\n\nFrom <!-- handbook: cell freezing_lead_acid freezing_point 25 --> with <!-- handbook: cell rest_voltage_lead_acid_bci voltage 75 -->"
        " to <!-- handbook: cell breaker_iec_60898 high B -->.\n"
    ),
    "asked": "# One\n\n<!-- handbook: asked -->\n",
    "drilled": "# One\n\n<!-- handbook: exercises cut-out-margin lesson-06 3 1 -->\n\n<!-- handbook: exercises all lesson-06 2 2 -->\n\n<!-- handbook: exercises cut-out-margin lesson-06 3 1 -->\n",
    "drawn": "# One\n\n" + "<!-- handbook: drawing plug-in -->\n\n<!-- handbook: tree good -->\n\n" * 2,
}


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """All of them in one small handbook, built once: what became of a page, by its name."""
    handbook = that_can_be_built(words_of_a_small_handbook(tmp_path_factory.mktemp("handbook")))
    asked(
        handbook,
        (7, "is it far", "safety/here.md", "Is it, then?"),
        (2, "Where is there?", "road/there.md", "There"),
        (7, "How far is it?", "road/there.md", "There"),
    )
    for name, page in PAGES.items():
        (handbook / "docs" / f"{name}.md").write_text(page, "utf-8")
    done = build(handbook, "# First\n")
    assert done.returncode == 0, done.stderr
    return lambda name: (handbook / "site" / f"{name}.html").read_text("utf-8")


@pytest.fixture
def complaint(small, monkeypatch):
    """What the hook says about a page of the small handbook; a build for each would take a second."""
    monkeypatch.setattr(mkdocs_hook, "ROOT", small)
    monkeypatch.setattr(trees, "ROOT", small)
    monkeypatch.setattr(trees, "FOLDER", small / "docs" / "road" / "trees")
    page = SimpleNamespace(file=SimpleNamespace(src_uri="index.md"))
    config = SimpleNamespace(extra={"pieces": {}})

    def complaint(text):
        with pytest.raises(PluginError) as told:
            mkdocs_hook.on_page_markdown(text, page, config, files=None)
        return str(told.value)

    for kept in (mkdocs_hook._case_file, trees.load):
        kept.cache_clear()
    yield complaint
    for kept in (mkdocs_hook._case_file, trees.load):
        kept.cache_clear()


def test_pieces_are_written(written):
    page = written("pieces")
    # 10 W for 24 h at 12.8 V is 18.75 Ah.
    assert re.search(r"Takes 18\.\d+\s?Ah of 100\s?Ah\.", page.replace("\u00a0", " "))
    assert 'value="10 W"' in page and page.count("<svg") == 2
    assert 'id="python-runtime"' in page


@pytest.mark.parametrize(
    "piece, words",
    [
        ("calculator no-such", 'there is no calculator "no-such"'),
        ("value one/good no_such", 'standby has no output "no_such"'),
        ("value one/good current sideways", '"sideways" is not low, high, likely or range'),
        ("input one/good no_such", 'standby has no field "no_such"'),
        ("value one/none current", 'docs/cases/one.toml has no table "none"'),
        ("value two/good current", "there is no file docs/cases/two.toml"),
        ("value one/bad current", 'case one/bad: standby_power: "ten" has no number'),
        ("calculator dc-cable one/good", "case one/good is for standby, not for dc-cable"),
        ("finding one/good no-such", 'case one/good has no finding "no-such"'),
        ("table no_such", 'there is no table "no_such"'),
        ("picture one/good", 'there is no piece "picture"'),
        ("value", 'the piece "value" does not take 0 arguments'),
        ("cell no_such low B", 'there is no table "no_such"'),
        ("cell breaker_iec_60898 middle B", 'the table breaker_iec_60898 has no column "middle"'),
        ("cell breaker_iec_60898 low E", 'the table breaker_iec_60898 has 0 rows "E"'),
        ("drawing no-such", 'there is no drawing "no-such"'),
        ("drawings pretty", '"pretty" is not circuits or curves'),
        ("tree no-such", 'there is no tree "no-such"'),
        ("tree lost", 'docs/road/trees/lost.toml: steps.one: it leads to "two", which does not exist'),
        ("cards pretty", '"pretty" is not contents'),
        ("exercises fuses lesson-08 5 1", 'topics: there is no topic "fuses"'),
        ("exercises fuse lesson-08 5 4", "level: enter a whole number from 1 to 3"),
        ("exercises fuse lesson-08", 'the piece "exercises" does not take 2 arguments'),
        ("count sheep", '"sheep" cannot be counted'),
    ],
)
def test_an_unknown_piece_is_named_with_its_page(complaint, piece, words):
    assert complaint(f"# One\n\n<!-- handbook: {piece} -->\n").startswith(f"index.md: {words}")


def test_it_ends_the_build(small):
    done = build(that_can_be_built(small), "# One\n\n<!-- handbook: calculator no-such -->\n")
    assert done.returncode != 0
    assert 'index.md: there is no calculator "no-such"' in " ".join(done.stderr.split())


def test_a_cell_is_one_figure_of_a_table(written):
    assert "From −16\u00a0°C with 12.45\u00a0V to 5." in written("cells")


def asked(handbook, *questions):
    """Put these questions into the small handbook: number, words, page and heading of each."""
    keys = ("number", "asked", "page", "heading")
    tables = ["[[question]]\n" + "\n".join(f"{key} = {json.dumps(value)}" for key, value in zip(keys, one)) for one in questions]
    (handbook / "docs" / "questions.toml").write_text("\n\n".join(tables), "utf-8")
    (handbook / "docs" / "safety").mkdir()
    (handbook / "docs" / "safety" / "here.md").write_text("# Here\n\n## Is it, then?\n\nNo.\n", "utf-8")


def test_exercises_stand_with_their_keys_folded_and_their_ids_apart(written):
    page = written("drilled")
    assert page.count("<summary>Answer and working</summary>") == 8 and page.count("Seed lesson-06") == 3
    ids = re.findall(r'\sid="(exercise-[^"]+)"', page)
    assert len(ids) == len(set(ids)) == 24 and "<form" not in page.split("Seed lesson-06")[0].split("<section")[1]


def test_what_people_ask_is_listed_once_with_every_answer(written):
    page = written("asked")
    assert '<a href="road/there.html#there">Where is there?</a>' in page
    assert '<a href="safety/here.html#is-it-then">Is it far</a>; also in <a href="road/there.html#there">There</a>' in page
    assert "How far is it?" not in page and "Choose" not in page
    assert page.index("On the road</h2>") < page.index("There</h3>") < page.index("Safety</h2>") < page.index("Here</h3>")
    for name, anchor in (("road/there", "there"), ("safety/here", "is-it-then")):
        assert f'id="{anchor}"' in written(name)


@pytest.mark.parametrize(
    "page, heading, words",
    [
        ("road/nowhere.md", "There", "docs/questions.toml: there is no page docs/road/nowhere.md"),
        ("road/there.md", "Elsewhere", 'docs/questions.toml, question 3: road/there.md has no heading "Elsewhere"'),
        ("index.md", "One", "docs/questions.toml, question 3: index.md is in none of understand"),
    ],
)
def test_a_question_without_its_answer_is_named(complaint, small, page, heading, words):
    asked(small, (3, "Is it?", page, heading))
    (small / "docs" / "index.md").write_text("# One\n", "utf-8")
    assert complaint("# One\n\n<!-- handbook: asked -->\n").startswith(f"index.md: {words}")


def test_drawings_and_trees_keep_their_ids_apart(written):
    page = written("drawn")
    ids = re.findall(r' id="([^"]+)"', page)
    assert len(ids) == len(set(ids))
    assert page.count("<svg") == 4 and 'id="drawing-plug-in-2-title"' in page and 'id="tree-good-2-one"' in page
    assert page.count('<a href="road/there.html">There.</a>') == 4 and "page:" not in page


def test_a_comment_left_open_is_noticed(complaint):
    assert "not closed" in complaint("# One\n\n<!-- handbook: value one/good current\n")


def test_without_the_runtime_the_build_says_what_to_do(small, monkeypatch):
    monkeypatch.setattr(mkdocs_hook, "ROOT", small)
    with pytest.raises(PluginError, match=r"^build/runtime/manifest\.json is missing: build the site with \./scripts/build$"):
        mkdocs_hook.on_config(SimpleNamespace(extra={}))
