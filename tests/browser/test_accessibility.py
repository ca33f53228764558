"""Every page against the rules of axe-core, up to the strictest level of contrast, light and dark; and targets for a thumb."""

from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGES = sorted(file.relative_to(ROOT / "site").as_posix() for file in (ROOT / "site").rglob("*.html"))
AXE = ROOT / "node_modules/axe-core/axe.min.js"

# color-contrast-enhanced is 7:1, the strictest level, which axe-core leaves off unless asked. It passes over
# what is below 4.5:1, which is the other rule's.
COLOURS = ["color-contrast", "color-contrast-enhanced", "link-in-text-block"]
CHECK = """async (only) => {
    // Of what passes it need not tell where.
    const { violations, passes } = await axe.run(document, { resultTypes: ["violations"], ...(only ? { runOnly: only } : { rules: {
        "color-contrast-enhanced": { enabled: true }, "target-size": { enabled: true }, "identical-links-same-purpose": { enabled: true },
    } }) });
    const told = violations.flatMap(({ id, nodes }) => nodes.map(({ target, failureSummary }) => `${id}: ${target} ${failureSummary}`));
    return { told, checked: passes.map(({ id }) => id) };
}"""


@pytest.fixture(scope="module")
def checked_page(browser, site_url):
    """One page for all; the policy is set aside, because it would refuse the checker's script too."""
    context = browser.new_context(base_url=site_url, bypass_csp=True, reduced_motion="reduce")
    # The theme remembers the scheme it showed last.
    context.add_init_script("localStorage.clear()")
    # Python never comes: the pages are complete without it, and nothing changes while they are checked.
    context.route("**/assets/runtime/*", lambda route: None)
    yield context.new_page()
    context.close()


def show(page, address, scheme):
    page.emulate_media(color_scheme=scheme)
    page.goto(address)
    assert page.evaluate("document.body.dataset.mdColorScheme") == {"light": "default", "dark": "slate"}[scheme]


@pytest.mark.parametrize("address", PAGES)
def test_no_rule_is_broken(checked_page, address):
    page = checked_page
    # High enough for the whole menu: what it would scroll out of sight counts as covered.
    page.set_viewport_size({"width": 1280, "height": 3000})
    show(page, address, "light")
    # What is folded away is read by somebody too.
    page.evaluate("() => document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    page.add_script_tag(path=AXE)
    light = page.evaluate(CHECK)
    # The dark page differs by its colours alone.
    page.evaluate("document.getElementById('__palette_1').click()")
    assert page.evaluate("document.body.dataset.mdColorScheme") == "slate"
    dark = page.evaluate(CHECK, COLOURS)
    assert {"light": light["told"], "dark": dark["told"]} == {"light": [], "dark": []}
    assert {"color-contrast-enhanced", "document-title", "region"} <= set(light["checked"])
    assert "color-contrast-enhanced" in dark["checked"]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_search_results_break_no_rule(checked_page, scheme):
    checked_page.set_viewport_size({"width": 1280, "height": 800})
    show(checked_page, "index.html", scheme)
    checked_page.get_by_role("textbox", name="Search").press_sequentially("cable fuse")
    checked_page.locator(".md-search-result__link").first.wait_for()
    checked_page.add_script_tag(path=AXE)
    assert checked_page.evaluate(CHECK)["told"] == []


def test_it_notices_what_it_is_for(checked_page):
    """Were the checker broken, everything above would pass."""
    show(checked_page, "index.html", "light")
    checked_page.evaluate("""() => document.querySelector("h1").insertAdjacentHTML("afterend",
        "<p style='color: #666; background: #fff'>Grey on white</p><img src='assets/icon.svg'>")""")
    checked_page.add_script_tag(path=AXE)
    told = " ".join(checked_page.evaluate(CHECK)["told"])
    assert "color-contrast-enhanced" in told and "image-alt" in told


def test_it_notices_what_is_too_faint_in_the_dark(checked_page):
    """The same grey is legible on white and not on the dark ground, once that is pressed for."""
    show(checked_page, "index.html", "light")
    checked_page.evaluate("""() => document.querySelector("h1").insertAdjacentHTML("afterend", "<p id='faint' style='color: #555'>Grey</p>")""")
    checked_page.add_script_tag(path=AXE)
    assert "#faint" not in " ".join(checked_page.evaluate(CHECK, COLOURS)["told"])
    checked_page.evaluate("document.getElementById('__palette_1').click()")
    assert "#faint" in " ".join(checked_page.evaluate(CHECK, COLOURS)["told"])


# Links inside a sentence are exempt everywhere; a thumb cannot be given more than the line.
SMALL = """() => [...document.querySelectorAll("button, summary, select, input:not([type=checkbox], [type=radio]), label[for^=__], nav a, .md-footer__link")]
    .filter((each) => each.checkVisibility({ opacityProperty: true, visibilityProperty: true }) && getComputedStyle(each).pointerEvents !== "none"
        && !each.matches("[class$=overlay], .md-sidebar--secondary .md-nav__title"))
    .map((each) => [each.getBoundingClientRect(), each])
    .filter(([{ width, height, right, left }]) => width && height && right > 0 && left < innerWidth && (height < 48 || width < 48))
    .map(([{ width, height }, each]) => `${Math.round(width)} x ${Math.round(height)} ${each.outerHTML.slice(0, 90)}`)"""


@pytest.mark.parametrize("address", ["index.html", "calculators/supply-path.html", "offline.html"])
def test_targets_are_large_enough_for_a_thumb(checked_page, address):
    page = checked_page
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(address)
    assert page.evaluate(SMALL) == []
    page.locator("header label[for=__drawer]").click()
    page.wait_for_timeout(400)
    assert page.evaluate(SMALL) == []
    page.goto(address)
    page.locator(".md-header__button[for=__search]").click()
    page.keyboard.type("fuse")
    page.wait_for_timeout(400)
    assert page.evaluate(SMALL) == []
    page.set_viewport_size({"width": 1280, "height": 800})
    page.goto(address)
    assert page.evaluate(SMALL) == []


def test_what_is_too_wide_can_be_scrolled_with_the_keyboard_and_what_is_not_is_no_stop(checked_page):
    """Tables fit a phone; long formulas of the working do not."""
    page = checked_page
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto("calculators/tonight.html")
    page.evaluate("() => document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    focusable = "() => [...document.querySelectorAll('.md-typeset__scrollwrap, .scroll')].filter((each) => each.tabIndex === 0).length"
    wide = "() => [...document.querySelectorAll('.md-typeset__scrollwrap, .scroll')].filter((each) => each.scrollWidth > each.clientWidth).length"
    page.wait_for_function(f"({focusable})() > 0 && ({focusable})() === ({wide})()")
    narrow = page.evaluate(focusable)
    page.set_viewport_size({"width": 1280, "height": 740})
    page.wait_for_function(f"({focusable})() < {narrow} && ({focusable})() === ({wide})()")
