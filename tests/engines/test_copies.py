"""Firefox and WebKit: a newer version of the kept copy, its removal; search from disk, and a plan."""

from calc.plan import document, steps
from tests.browser.test_offline import KEEP, LOOK, REMOVE, USE, folder, host, second_edition  # noqa: F401 (fixtures)
from tests.engines.test_faults import press, wait_for_panel

EDITION = "document.querySelector('meta[name=edition]')?.content ?? 'first'"


def test_a_newer_version_cut_short_then_whole_then_taken_and_removed(engine, host, folder):  # noqa: F811
    engine.goto(f"{host.address}offline.html")
    press(engine, KEEP)
    wait_for_panel(engine, "needs no network")
    second_edition(folder)
    host.left = 6
    press(engine, LOOK)
    wait_for_panel(engine, "goes on serving")
    host.stop()
    engine.goto(f"{host.address}index.html")
    assert engine.evaluate(EDITION) == "first"

    host.start()
    engine.goto(f"{host.address}offline.html")
    wait_for_panel(engine, "A newer version is here too, whole and checked")
    assert engine.evaluate(EDITION) == "first"
    press(engine, USE)
    engine.wait(f"({EDITION}) === 'second'")
    host.stop()
    engine.goto(f"{host.address}safety/index.html")
    assert engine.evaluate(EDITION) == "second"

    host.start()
    engine.goto(f"{host.address}offline.html")
    press(engine, REMOVE)
    wait_for_panel(engine, "Removed")
    assert engine.evaluate("caches.keys()") == []
    assert engine.evaluate("navigator.serviceWorker.getRegistrations().then((found) => found.length)") == 0
    # Firefox notes on its console what could not be had while the server was stopped.
    engine.trouble[:] = [line for line in engine.trouble if "A ServiceWorker intercepted the request" not in line]


def test_the_search_answers_from_disk(engine, unpacked):
    engine.goto(f"{unpacked.as_uri()}/road/index.html")
    engine.evaluate("document.querySelector('[data-md-component=search-query]').focus()")
    engine.evaluate(
        "(() => { const field = document.querySelector('[data-md-component=search-query]'); field.value = 'fuse';"
        " field.dispatchEvent(new Event('input', { bubbles: true })); field.dispatchEvent(new Event('keyup', { bubbles: true })); })()"
    )
    engine.wait("document.querySelector('.md-search-result__link')")
    assert engine.evaluate("document.querySelector('.md-search-result__link').href").startswith(unpacked.as_uri())


def test_a_plan_is_worked_on_and_kept(engine, site_url):
    plan = f"{site_url}plan/index.html"
    ready = "document.querySelector('#worksheet[data-state=ready]')"
    toaster = "document.getElementById('plan-loads.toaster.power')"
    stored = "Object.entries(localStorage).filter(([key]) => key.startsWith('handbook-plan:')).map(([, text]) => JSON.parse(text))"
    engine.goto(plan)
    engine.wait(ready)
    engine.evaluate(f"(() => {{ {toaster}.value = '1800 W'; {toaster}.dispatchEvent(new Event('input', {{ bubbles: true }})); }})()")
    engine.wait(f"document.querySelector('#plan-changes')?.textContent.includes('→') && {stored}.some(({{ text, waiting }}) => text.includes('1800 W') && !waiting.length)")
    (record,) = [one for one in engine.evaluate(stored) if "1800 W" in one["text"]]
    now = steps.run(document.from_text(record["text"]))
    told = engine.evaluate("[...document.querySelectorAll('#worksheet .numbers div')].map((each) => each.textContent.trim())")
    assert any(line.startswith("Inverter") and now.choices["rating"].words in line for line in told)
    # On another page, where nothing has to be computed again first.
    engine.goto(f"{site_url}offline.html")
    assert record in engine.evaluate(stored)
    engine.evaluate("localStorage.clear()")
