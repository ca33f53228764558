"""./scripts/build and ./scripts/serve on a little project: what they do again, and what they leave alone."""

import re
import signal
import subprocess
import urllib.request
import zipfile

from workshop.places import Places
from workshop.stamps import inventory
from workshop.turns import one_at_a_time


def test_nothing_is_done_when_nothing_changed(project):
    done = project.run("build")
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


def test_a_changed_page_is_built_without_packing_python_again(project):
    project.write("docs/other.md", "# Second page, mended\n")
    done = project.run("build")
    assert done.returncode == 0
    assert done.stderr.splitlines() == ["Building the pages"]
    assert "mended" in (project.root / "site/other.html").read_text(encoding="utf-8")


def test_a_file_missing_from_the_site_is_noticed_and_building_again_gives_the_same_bytes(project, built):
    (project.root / "site/other.html").unlink()
    done = project.run("build")
    assert (done.returncode, done.stderr.splitlines()) == (0, ["Building the pages"])
    first, again = ({name: (root / name).read_bytes() for name in inventory(root)} for root in (built.root / "site", project.root / "site"))
    assert first.keys() == again.keys()
    assert [name for name in first if first[name] != again[name]] == []


def test_the_bundle_is_made_from_the_site_and_named_after_the_version(project):
    done = project.run("build", "--bundle")
    assert done.returncode == 0, done.stderr
    archive = project.root / "build/handbook-0.1.0.zip"
    assert done.stdout.strip() == str(archive)
    names = zipfile.ZipFile(archive).namelist()
    assert {"handbook-0.1.0/index.html", "handbook-0.1.0/search/search_index.js"} <= set(names)


def test_a_broken_link_fails_in_one_line_and_leaves_the_old_site(project):
    before = (project.root / "site/index.html").read_bytes()
    project.write("docs/index.md", "# First page\n[gone](gone.md)\n")
    done = project.run("build")
    assert done.returncode == 1
    assert done.stderr.splitlines()[0] == "Building the pages"
    (line,) = done.stderr.splitlines()[1:]
    assert "gone.md" in line and "build/log/mkdocs.log" in line
    assert (project.root / "site/index.html").read_bytes() == before


def test_a_changed_calculator_is_packed_from_the_compiled_library_and_ends_the_build_in_one_line_if_it_cannot_run(project):
    """Also one that the page's own module does not import."""
    before = inventory(project.root / "build/runtime")
    project.write("calc/extra.py", "import turtle\n")
    done = project.run("build")
    assert done.returncode == 1
    assert done.stderr.splitlines()[0] == "Packing the calculators for the page"
    (line,) = done.stderr.splitlines()[1:]
    assert "No module named 'turtle'" in line
    assert inventory(project.root / "build/runtime") == before


def test_the_theme_s_unused_files_are_left_out(built):
    site = built.root / "site"
    assert list(site.glob("assets/javascripts/*.js")), "the theme's own script is there"
    assert not list(site.rglob("*.map"))
    assert not (site / "assets/javascripts/lunr").exists()


def test_a_second_run_waits_for_the_first(project):
    with one_at_a_time(Places(project.root)):
        second = subprocess.Popen([project.root / "scripts/build"], stderr=subprocess.PIPE, text=True)
        assert "waiting" in second.stderr.readline()
        assert second.poll() is None
    _, rest = second.communicate(timeout=60)
    assert (second.returncode, rest) == (0, "")


def test_serve_answers_at_the_address_it_prints_and_ends_quietly(project):
    server = subprocess.Popen(
        [project.root / "scripts/serve", "--port", "0"],
        cwd="/",
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        address = re.search(r"http://127\.0\.0\.1:\d+/", server.stdout.readline())[0]
        with urllib.request.urlopen(f"{address}other.html") as answer:
            assert b"Second page" in answer.read()
        server.send_signal(signal.SIGINT)
        _, errors = server.communicate(timeout=10)
    finally:
        server.kill()
    assert (server.returncode, errors) == (0, "")
