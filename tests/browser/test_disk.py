"""The archive, unpacked where paths are awkward and opened from disk, with no server at all."""

import re
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from playwright.sync_api import expect
from workshop.bundle import make_bundle
from workshop.places import Places

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.exercises import sets

from tests.browser.conftest import NEVER_IDLE

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def archive(tmp_path_factory):
    """Packed from the built site, but not where a reader's own archive may lie."""
    root = tmp_path_factory.mktemp("packing")
    (root / "build").mkdir()
    (root / "site").symlink_to(ROOT / "site")
    (root / "build/runtime").symlink_to(ROOT / "build/runtime")
    (root / "pyproject.toml").symlink_to(ROOT / "pyproject.toml")
    return make_bundle(Places(root))


@pytest.fixture(scope="module")
def unpacked(archive, tmp_path_factory):
    folder = tmp_path_factory.mktemp("stick") / "für unterwegs & so #1"
    with zipfile.ZipFile(archive) as opened:
        opened.extractall(folder)
    (top,) = folder.iterdir()
    assert top.name == archive.stem
    return top


@pytest.fixture
def base_url(unpacked):
    """What the pages of these tests may load from: the folder, and nothing above it."""
    return unpacked.as_uri() + "/"


@pytest.fixture
def disk(fresh_page, base_url):
    """Opens a page of the folder; the test fails on any error and on any request beyond the folder."""
    return lambda address: fresh_page.goto(base_url + address) and fresh_page


def test_packing_again_gives_the_same_bytes(archive):
    first = archive.read_bytes()
    archive.unlink()
    assert make_bundle(Places(archive.parents[1])).read_bytes() == first


def test_it_holds_one_folder_and_no_compressed_copies(archive):
    names = zipfile.ZipFile(archive).namelist()
    assert {name.split("/")[0] for name in names} == {archive.stem}
    assert f"{archive.stem}/index.html" in names
    assert not [name for name in names if re.search(r"\.(html|css|js|json)\.gz$", name)]
    assert all(name.isascii() for name in names)


def test_it_can_be_unpacked_by_other_programs(archive, tmp_path):
    done = subprocess.run([sys.executable, "-m", "zipfile", "-t", archive], capture_output=True, text=True)
    assert (done.returncode, "Done testing" in done.stdout) == (0, True)


def test_a_page_of_each_section_opens(disk, fresh_page, unpacked):
    """All pages are the same files as on a server, where each is visited; here it is how deep they lie that counts."""
    # Python has its own tests below: here it never comes.
    fresh_page.add_init_script(NEVER_IDLE)
    # Only a server shows 404.html, and it is written for the top of one.
    pages = [file for file in sorted(unpacked.rglob("*.html")) if file.name != "404.html"]
    for file in {page.parent: page for page in pages}.values():
        page = disk(file.relative_to(unpacked).as_posix())
        assert page.evaluate("document.styleSheets.length") >= 3
        expect(page.locator("h1")).to_be_visible()


def test_links_lead_from_page_to_page(disk):
    page = disk("index.html")
    page.get_by_role("link", name="I am on the road").click()
    expect(page.locator("h1")).to_have_text("I am on the road")
    page.get_by_role("link", name="Will it hold up, or drop out?").first.click()
    expect(page.locator(".sentence")).to_be_visible()


def test_search_finds_and_leads_there(disk):
    page = disk("road/index.html")
    page.get_by_role("textbox", name="Search").press_sequentially("fuse")
    page.locator(".md-search-result__link").first.click()
    page.wait_for_url(re.compile(r"\?h=fuse"))
    expect(page.locator("mark").first).to_be_visible()


def test_a_form_answers_live(disk):
    page = disk("calculators/standby.html")
    page.fill("#standby-standby_power", "33 W")
    expect(page.locator("[data-live]")).to_contain_text("Live", timeout=30_000)
    calculator = CALCULATORS["standby"]
    expect(page.locator(".sentence")).to_have_text(run(calculator, {**calculator.shown(), "standby_power": "33 W"}).answer)


def test_the_palette_is_kept(disk):
    page = disk("index.html")
    page.locator("label[for=__palette_1]").click()
    page = disk("train/index.html")
    assert page.evaluate("document.body.dataset.mdColorScheme") == "slate"


def test_a_worker_of_the_page_itself_still_starts(disk):
    """Search puts something in the place of workers, for its own alone."""
    page = disk("index.html")
    told = page.evaluate("""() => new Promise((resolve) => {
        const worker = new Worker(URL.createObjectURL(new Blob(["postMessage('here')"])));
        worker.onmessage = ({ data }) => resolve(data);
    })""")
    assert told == "here"


def test_printing_shows_the_answer(disk):
    page = disk("calculators/standby.html")
    page.emulate_media(media="print")
    expect(page.locator(".sentence")).to_be_visible()
    assert page.pdf().startswith(b"%PDF")


def test_the_panel_says_that_it_is_all_here(disk):
    page = disk("offline.html")
    expect(page.locator("#offline")).to_contain_text("opened from a disk")
    assert page.locator("#offline button").count() == 0


def test_the_region_is_kept_from_form_to_form(disk):
    page = disk("calculators/fault-current.html")
    page.wait_for_selector("[data-state=ready]", timeout=30_000)
    page.select_option("#fault-current-region", "120-v-60-hz")
    expect(page.locator("#fault-current-voltage_ac")).to_have_value("120 V")
    page = disk("calculators/supply-path.html")
    page.wait_for_selector("[data-state=ready]", timeout=30_000)
    expect(page.locator("#supply-path-area")).to_have_value("2 AWG")


def test_a_plan_is_worked_on_from_disk(disk):
    """Saved in the browser, with its papers, from a folder with no server."""
    page = disk("plan/index.html")
    page.wait_for_selector("#worksheet[data-state=ready]", timeout=60_000)
    page.locator("[id='plan-loads.toaster.power']").fill("1800 W")
    expect(page.locator("#plan-changes summary")).to_contain_text("Inverter")
    expect(page.locator("[data-part=saved]")).to_have_text("Saved on this device.")
    page.click("[data-paper=baseline]")
    expect(page.locator("article[data-paper=baseline]")).to_contain_text("Caravan with a toaster")
    page.reload()
    expect(page.locator("[id='plan-loads.toaster.power']")).to_have_value("1800 W", timeout=60_000)


def test_exercises_are_done_from_disk_and_their_file_is_read(disk):
    """A trainee's file comes back: made on one page, read on the trainer's, with no server."""
    page = disk("train/practice.html#seed=2026-07&topics=fuse&level=1&count=2")
    asked = sets.order("2026-07", ["fuse"], 1, 2)
    item = page.locator("#exercise-1")
    expect(item.locator(".question")).to_contain_text(sets.make(asked)[0].item.question.split("_")[0], timeout=60_000)
    control = item.locator("input").first
    control.check() if control.get_attribute("type") in ("radio", "checkbox") else control.fill("1 A")
    item.locator("[data-action=mark]").click()
    expect(item.locator(".verdict")).to_be_visible()
    page.click("[data-action=finish]")
    page.locator("#practice-who").fill("Trainee 7")
    with page.expect_download() as saving:
        page.click("[data-action=save]")
    file = saving.value.path()
    page = disk("train/results.html")
    page.wait_for_selector("#trainer[data-state=ready]", timeout=60_000)
    page.set_input_files("[data-action=open]", file)
    expect(page.locator("[data-part=view]")).to_contain_text("Trainee 7")
