"""Firefox and WebKit: the page answers in the same words as this Python, from a server, a kept copy and a disk."""

import json
from pathlib import Path

from calc.browser import answer, flat
from calc.calculators import CALCULATORS
from tests.browser.test_disk import archive, unpacked  # noqa: F401 (fixtures)
from tests.browser.test_offline import KEEP, Host

SITE = Path(__file__).resolve().parents[2] / "site"


def answers_live(engine, address):
    """Open a form, type a value, and wait for the words this Python has for it."""
    engine.open(address)
    engine.evaluate(
        "(() => { const input = document.querySelector('#standby-standby_power'); input.value = '7 W';"
        " input.dispatchEvent(new Event('input', { bubbles: true })); })()"
    )
    start = CALCULATORS["standby"].shown()
    told = json.loads(answer(json.dumps({"calculator": "standby", "id": "standby", "values": {**start, "standby_power": "7 W"}, "start": start})))
    sentence = told["slots"]["answer"].removeprefix('<p class="sentence">').removesuffix("</p>")
    engine.wait(f"document.querySelector('#standby .sentence').innerHTML.replaceAll('&nbsp;', '\\u00a0') === {json.dumps(sentence)}")
    engine.wait("location.hash === '#standby?standby_power=7+W'")


def test_a_form_answers(engine, site_url):
    answers_live(engine, f"{site_url}calculators/standby.html")


def test_the_kept_copy_answers_with_the_server_stopped(engine):
    host = Host(SITE)
    try:
        engine.goto(f"{host.address}offline.html")
        button = f"[...document.querySelectorAll('#offline button')].find((each) => each.textContent === {json.dumps(KEEP)})"
        engine.wait(button)
        engine.evaluate(f"{button}.click()")
        engine.wait("document.querySelector('#offline [data-part=words]').textContent.includes('needs no network')")
        engine.evaluate("navigator.serviceWorker.ready.then(() => true)")
    finally:
        host.stop()
    answers_live(engine, f"{host.address}calculators/standby.html")
    engine.goto(f"{host.address}safety/index.html")
    engine.wait("document.querySelector('h1').textContent === 'Stop lines'")


def test_the_unpacked_archive_answers_from_disk(engine, unpacked):  # noqa: F811
    answers_live(engine, f"{unpacked.as_uri()}/calculators/standby.html")


def test_the_same_words_as_this_python(engine, site_url):
    """Every calculator's example, and one refusal each."""
    engine.open(f"{site_url}calculators/standby.html")
    requests = []
    for id, calculator in CALCULATORS.items():
        start = flat(calculator.shown())
        for values in (start, {**start, next(iter(start)): "12 <b>"}):
            requests.append(json.dumps({"calculator": id, "id": id, "values": values, "start": start}))
    told = engine.evaluate(f"Promise.all({json.dumps(requests)}.map((each) => Handbook.python.ask(each)))")
    assert [json.loads(one) for one in told] == [json.loads(answer(one)) for one in requests]


def test_a_bad_entry_stands_at_its_field(engine, site_url):
    engine.open(f"{site_url}calculators/supply-path.html#supply-path?power_ac=12+A")
    engine.wait("document.querySelector('#supply-path-power_ac-error').textContent.includes('is a current')")
    assert engine.evaluate("document.querySelector('#supply-path-power_ac').value") == "12 A"
    assert engine.evaluate("document.querySelector('#supply-path-power_ac').getAttribute('aria-invalid')") == "true"


def test_nothing_is_asked_of_another_host(engine, site_url):
    engine.open(f"{site_url}cases/camp-kitchen.html")
    asked = engine.evaluate("performance.getEntriesByType('resource').map((each) => each.name)")
    assert asked and all(name.startswith((site_url, f"blob:{site_url}")) for name in asked if not name.startswith("data:"))
