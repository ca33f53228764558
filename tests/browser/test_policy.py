"""The security policy: it lets the handbook work, and nothing else."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.waiting import until


@pytest.mark.parametrize("address", ["calculators/standby.html", "cases/camp-kitchen.html"])
def test_python_answers_under_the_policy(watched, address):
    """On a page with one form and on one with several; every other page has its own visit elsewhere."""
    watched.goto(address)
    watched.wait_for_selector("[data-state=ready]", timeout=30_000)
    assert watched.evaluate("violations") == []


def test_search_and_palette_work_under_the_policy(watched):
    watched.goto("reference/tables.html")
    watched.locator("label[for=__palette_1]").click()
    assert watched.evaluate("document.body.dataset.mdColorScheme") == "slate"
    watched.reload()
    assert watched.evaluate("document.body.dataset.mdColorScheme") == "slate"
    watched.get_by_role("textbox", name="Search").press_sequentially("fuse")
    watched.locator(".md-search-result__link").first.click()
    watched.wait_for_url(re.compile(r"\?h=fuse"))
    expect(watched.locator("mark").first).to_be_visible()
    assert watched.evaluate("violations") == []


# What is put into the page, and what the policy says about it.
INJECTED = {
    "<img src=x: onerror='window.hurt = 1'>": "script-src-attr inline",
    "<a id=pressed onclick='window.hurt = 1'>x</a>": "script-src-attr inline",
    "<p style='color: red'>x</p>": "style-src-attr inline",
    "<style>body { display: none }</style>": "style-src-elem inline",
    "<svg><style>body { display: none }</style></svg>": "style-src-elem inline",
    "<iframe src='https://example.org/'></iframe>": "frame-src https://example.org",
    "<img src='https://example.org/x.png'>": "img-src https://example.org/x.png",
    "<object data='data:text/html,x'></object>": "object-src data",
}


@pytest.mark.expects_trouble("Content Security Policy|Refused|violates|another origin|failed: .* csp$")
@pytest.mark.parametrize("html, violation", INJECTED.items())
def test_injected_markup_is_refused(watched, html, violation):
    watched.goto("index.html")
    watched.evaluate("(html) => document.body.insertAdjacentHTML('beforeend', html)", html)
    watched.evaluate("() => document.querySelector('#pressed')?.click()")
    until(watched, "violations.length > 0")
    assert violation in watched.evaluate("violations")
    assert watched.evaluate("() => window.hurt") is None
    assert watched.evaluate("() => getComputedStyle(document.body).display") != "none"


# What a script that got in might try, were it to run.
TRIED = {
    "() => { const script = document.createElement('script'); script.textContent = 'window.hurt = 1'; document.head.append(script); }":
        "script-src-elem inline",
    "() => { const script = document.createElement('script'); script.src = 'https://example.org/x.js'; document.head.append(script); }":
        "script-src-elem https://example.org/x.js",
    "() => { const script = document.createElement('script'); script.src = 'data:text/javascript,window.hurt=1'; document.head.append(script); }":
        "script-src-elem data",
    "() => { setTimeout('window.hurt = 1'); }": "script-src eval",
    "() => { fetch('https://example.org/').catch(() => {}); }": "connect-src https://example.org/",
    "() => { navigator.sendBeacon('https://example.org/', 'x'); }": "connect-src https://example.org/",
    "() => { const form = document.createElement('form'); form.action = 'https://example.org/'; document.body.append(form); form.submit(); }":
        "form-action https://example.org/?",
    "() => { const base = document.createElement('base'); base.href = 'https://example.org/'; document.head.append(base); }":
        "base-uri https://example.org/",
}


@pytest.mark.expects_trouble("Content Security Policy|Refused|violates|another origin|failed: .* csp$")
@pytest.mark.parametrize("attempt, violation", TRIED.items())
def test_a_script_that_got_in_gets_no_further(watched, attempt, violation):
    watched.goto("index.html")
    watched.evaluate(attempt)
    until(watched, "violations.length > 0")
    assert violation in watched.evaluate("violations")
    assert watched.evaluate("() => window.hurt") is None
    assert watched.url.endswith("/index.html")


def test_a_worker_from_a_blob_is_held_to_the_policy(watched):
    watched.goto("index.html")
    told = watched.evaluate("""() => new Promise((resolve) => {
        const source = `let told = [];
            try { eval("1"); told.push("eval"); } catch { told.push("no eval"); }
            fetch("https://example.org/").then(() => told.push("fetch"), () => told.push("no fetch")).then(() => postMessage(told));`;
        const worker = new Worker(URL.createObjectURL(new Blob([source])));
        worker.onmessage = ({ data }) => resolve(data);
    })""")
    assert told == ["no eval", "no fetch"]
