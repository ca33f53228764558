"""The worked cases hang together: what a later step is given is what an earlier step has found."""

import json
import tomllib
from pathlib import Path

import pytest

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from tests.site.chapters import CASES, DOCS, source

FILES = {page: tomllib.loads((DOCS / page).with_suffix(".toml").read_text("utf-8")) for page in CASES if (DOCS / page).with_suffix(".toml").exists()}
CARRIED = [(page, name, field, where) for page, cases in FILES.items() for name, case in cases.items() for field, where in case.get("carried", {}).items()]

# A figure is carried on as people write it down, in three digits.
ROUNDED = 0.01


def result(page, name):
    case = FILES[page][name]
    return run(CALCULATORS[case["calculator"]], case["values"])


def test_there_are_six_cases_and_each_has_its_figures():
    assert len(FILES) >= 6 and set(FILES) == set(CASES) - {"cases/index.md"}
    assert len({page for page, *_ in CARRIED}) >= 5


@pytest.mark.parametrize("page, name, field, where", CARRIED)
def test_a_figure_carried_on_is_the_one_found_before(page, name, field, where):
    before, output = where.split()
    given, found = result(page, name).input(field).value, result(page, before).output(output).value
    assert given == pytest.approx(found, rel=ROUNDED)


@pytest.mark.parametrize("page", FILES)
def test_every_case_is_used_in_its_page(page):
    stem = page.removeprefix("cases/").removesuffix(".md")
    unused = [name for name in FILES[page] if f"{stem}/{name} " not in source(page) + " "]
    assert unused == []


def test_a_plan_to_start_from_does_not_share_a_cases_name():
    """They are other jobs with other figures."""
    titles = [json.loads(path.read_text("utf-8"))["who"]["title"] for path in (DOCS / "plans").glob("*.json")]
    cases = [source(page).splitlines()[0].removeprefix("# ").lower() for page in FILES]
    assert len(titles) >= 4
    assert not [title for title in titles if title.lower().replace(" ", "-") in {Path(page).stem for page in FILES} or any(title.lower() in case for case in cases)]


def test_both_halves_of_the_year_and_of_the_world_and_both_mains_are_there():
    typed = [case["values"] for cases in FILES.values() for case in cases.values()]
    places = {values["place"] for values in typed if "place" in values}
    assert {"hobart", "christchurch"} & places and {"aberdeen", "seville", "denver"} & places
    assert {"may", "jul", "dec", "feb"} <= {values["month"] for values in typed if "month" in values}
    assert {"120 V"} <= {values.get("voltage_ac") for values in typed}
