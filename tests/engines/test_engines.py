"""Firefox and WebKit: the page answers in the same words as this Python, from a server and from a disk."""

import json
import shutil
import subprocess

import pytest

from calc.browser import answer, flat
from calc.calculators import CALCULATORS

FORM = "calculators/standby.html"


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


def test_a_form_answers_and_asks_nothing_of_another_host(engine, site_url):
    answers_live(engine, site_url + FORM)
    asked = engine.evaluate("performance.getEntriesByType('resource').map((each) => each.name)")
    assert asked and all(name.startswith((site_url, f"blob:{site_url}")) for name in asked if not name.startswith("data:"))


def test_an_exception_in_python_is_told_and_the_next_question_answered(engine, site_url):
    engine.open_once(site_url + FORM)
    told = engine.evaluate("""Handbook.python.ask('{"calculator": "none"}').catch(({ reason, message }) => [reason, message])""")
    assert told == ["answer", "KeyError: 'none'"]
    assert engine.evaluate("Handbook.python.state") == "ready"


def test_the_same_words_as_this_python(engine, site_url):
    """Every calculator's example, one refusal each, and a set of exercises, which the page loads late."""
    engine.open_once(site_url + FORM)
    requests = []
    for id, calculator in CALCULATORS.items():
        start = flat(calculator.shown())
        for values in (start, {**start, next(iter(start)): "12 <b>"}):
            requests.append(json.dumps({"calculator": id, "id": id, "values": values, "start": start}))
    requests.append(json.dumps({"do": "exercises", "action": "set", "seed": "2026-07", "count": 24, "level": 3, "key": True}))
    told = engine.evaluate(f"Promise.all({json.dumps(requests)}.map((each) => Handbook.python.ask(each)))")
    assert [json.loads(one) for one in told] == [json.loads(answer(one)) for one in requests]


def test_a_bad_entry_stands_at_its_field(engine, site_url):
    engine.open(f"{site_url}calculators/supply-path.html#supply-path?power_ac=12+A")
    engine.wait("document.querySelector('#supply-path-power_ac-error').textContent.includes('is a current')")
    assert engine.evaluate("document.querySelector('#supply-path-power_ac').value") == "12 A"
    assert engine.evaluate("document.querySelector('#supply-path-power_ac').getAttribute('aria-invalid')") == "true"


def test_the_unpacked_archive_answers_from_disk(engine, unpacked):
    answers_live(engine, f"{unpacked.as_uri()}/{FORM}")


@pytest.mark.skipif(not shutil.which("pdftotext"), reason="poppler's pdftotext is not installed")
def test_a_form_prints_from_disk(engine, unpacked, tmp_path):
    if engine.name == "webkit":
        pytest.skip("WebKitGTK's driver has no command to print")
    engine.open_once(f"{unpacked.as_uri()}/{FORM}")
    (tmp_path / "page.pdf").write_bytes(engine.printed())
    told = " ".join(subprocess.run(["pdftotext", tmp_path / "page.pdf", "-"], capture_output=True, text=True, check=True).stdout.split())
    assert " ".join(engine.evaluate("document.querySelector('.sentence').innerText").split()) in told
    assert "Skip to content" not in told
