"""What a page asks for: unknown pieces end the build and name the page."""

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def handbook(tmp_path):
    """A small handbook of its own, with the real hook and the real calculators."""
    for folder in ("calc", "scripts", "tests"):
        shutil.copytree(ROOT / folder, tmp_path / folder, ignore=shutil.ignore_patterns("__pycache__"))
    (tmp_path / "build" / "runtime").mkdir(parents=True)
    shutil.copy(ROOT / "build" / "runtime" / "manifest.json", tmp_path / "build" / "runtime")
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
    (tmp_path / "mkdocs.yml").write_text("site_name: small\ntheme: mkdocs\nuse_directory_urls: false\nhooks: [scripts/mkdocs_hook.py]\nplugins: []\n", "utf-8")
    return tmp_path


def build(handbook, page):
    (handbook / "docs" / "index.md").write_text(page, "utf-8")
    return subprocess.run([sys.executable, "-m", "mkdocs", "build", "--strict"], cwd=handbook, capture_output=True, text=True)


def test_pieces_are_written(handbook):
    page = (
        "# One\n\nTakes <!-- handbook: value one/good charge_per_day --> of <!-- handbook: input one/good battery_capacity -->.\n\n"
        "<!-- handbook: calculator standby one/good -->\n\n<!-- handbook: figure one/good -->\n"
    )
    done = build(handbook, page)
    assert done.returncode == 0, done.stderr
    written = (handbook / "site" / "index.html").read_text("utf-8")
    # 10 W for 24 h at 12.8 V is 18.75 Ah.
    assert re.search(r"Takes 18\.\d+\s?Ah of 100\s?Ah\.", written.replace("\u00a0", " "))
    assert 'value="10 W"' in written and written.count("<svg") == 2
    assert 'id="python-runtime"' in written


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
        ("count sheep", '"sheep" cannot be counted'),
    ],
)
def test_an_unknown_piece_ends_the_build(handbook, piece, words):
    done = build(handbook, f"# One\n\n<!-- handbook: {piece} -->\n")
    assert done.returncode != 0
    assert f"index.md: {words}" in " ".join(done.stderr.split())


def test_a_cell_is_one_figure_of_a_table(handbook):
    done = build(handbook, "# One\n\nFrom <!-- handbook: cell freezing_lead_acid freezing_point 25 --> with <!-- handbook: cell rest_voltage_lead_acid_bci voltage 75 --> to <!-- handbook: cell breaker_iec_60898 high B -->.\n")
    assert done.returncode == 0, done.stderr
    assert "From −16\u00a0°C with 12.45\u00a0V to 5." in (handbook / "site" / "index.html").read_text("utf-8")


def test_drawings_and_trees_keep_their_ids_apart(handbook):
    twice = "<!-- handbook: drawing plug-in -->\n\n<!-- handbook: tree good -->\n\n" * 2
    done = build(handbook, f"# One\n\n{twice}")
    assert done.returncode == 0, done.stderr
    written = (handbook / "site" / "index.html").read_text("utf-8")
    ids = re.findall(r' id="([^"]+)"', written)
    assert len(ids) == len(set(ids))
    assert written.count("<svg") == 4 and 'id="drawing-plug-in-2-title"' in written and 'id="tree-good-2-one"' in written
    assert written.count('<a href="road/there.html">There.</a>') == 4 and "page:" not in written


def test_a_comment_left_open_ends_the_build(handbook):
    done = build(handbook, "# One\n\n<!-- handbook: value one/good current\n")
    assert done.returncode != 0 and "not closed" in done.stderr


def test_without_the_runtime_the_build_says_what_to_do(handbook):
    (handbook / "build" / "runtime" / "manifest.json").unlink()
    done = build(handbook, "# One\n")
    assert done.returncode != 0 and "./scripts/build" in done.stderr
