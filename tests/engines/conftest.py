"""The browsers of the tests here."""

import pytest

from tests.engines import drivers

MISSING = drivers.missing()


@pytest.fixture(
    scope="session",
    params=[pytest.param(name, marks=pytest.mark.skipif(name in MISSING, reason=MISSING.get(name, ""))) for name in drivers.ENGINES],
)
def engine(request):
    """One browser of each engine for all tests here; each test has a server, and so an origin, of its own or leaves nothing behind."""
    browser = drivers.ENGINES[request.param]()
    yield browser
    browser.close()
    assert browser.trouble == []
