"""The whole-plan questions at the command line."""

import json

import pytest

import calc
from calc.__main__ import main
from calc.plan import sections, shortlist
from calc.plan.jobs import JOBS
from tests.calc.plan.plans import FOLDER, NAMES, text_of

DEMO = str(FOLDER.parent / "plan" / "demo-catalogue.csv")


def run(capsys, *arguments):
    ended = main(list(arguments))
    told = capsys.readouterr()
    return ended, told.out, told.err


def file_of(name):
    return str(FOLDER / f"{name}.json")


@pytest.mark.parametrize("name", NAMES)
def test_a_plan_s_sheet_has_stops_first_and_eight_steps(name, capsys):
    ended, out, err = run(capsys, "run", "system-plan", "--input", file_of(name))
    assert ended == 0 and err == ""
    assert out.index("Stop (") < out.index("Settled on") < out.index("1. What must run") < out.index("8. Joining it to the rest")
    assert max(map(len, out.splitlines())) <= 88


@pytest.mark.parametrize("name", NAMES)
def test_json_is_the_object_that_is_promised(name, capsys):
    ended, out, _ = run(capsys, "run", "system-plan", "--input", file_of(name), "--json")

    def no_constant(word):
        raise AssertionError(f"{word} is not JSON")

    data = json.loads(out, parse_constant=no_constant)
    assert ended == 0 and data["calculator"] == "system-plan" and data["version"] == calc.__version__
    assert {"inputs", "outputs", "findings", "working", "sources", "steps"} <= data.keys()
    assert all({"value", "unit", "low", "high"} <= one.keys() for one in data["outputs"].values())
    assert data["outputs"]["capacity"]["unit"] == "Ah" and data["outputs"]["energy"]["low"] < data["outputs"]["energy"]["value"] < data["outputs"]["energy"]["high"]
    levels = [one["level"] for one in data["findings"]]
    assert levels == sorted(levels, key=["stop", "caution", "note"].index)
    assert len(data["steps"]) == 8 and len({one["id"] for one in data["sources"]}) == len(data["sources"])
    assert {one["part"] for one in data["working"]} >= {"loads", "battery", "cable", "fuse"}
    filled = next(part for step in data["steps"] for part in step["parts"] if part["name"] == "battery")["texts"]
    assert filled["energy_per_day"]["from"] == "step" and filled["unit_capacity"] == {"text": json.loads(text_of(name))["battery"]["unit_capacity"], "from": "plan", "place": "battery.unit_capacity"}


def test_entries_beside_the_file_go_before_it(capsys):
    _, out, _ = run(capsys, "run", "system-plan", "--input", file_of("remote-hut"), "battery.capacity=600 Ah", "region=230-v-50-hz", "--json")
    data = json.loads(out)
    assert data["outputs"]["capacity"] == {"value": 600, "unit": "Ah", "low": None, "high": None, "given": True, "reason": "as entered"}


def test_from_standard_input(capsys, monkeypatch):
    import io

    monkeypatch.setattr("sys.stdin", io.StringIO(text_of("boat-cold-bank")))
    assert run(capsys, "run", "system-plan", "--input", "-")[0] == 0


@pytest.mark.parametrize("paper", ["recommendation", "hand-over", "baseline"])
def test_a_paper(paper, capsys):
    ended, out, _ = run(capsys, "run", "system-plan", "--input", file_of("weekend-caravan"), f"paper={paper}")
    assert ended == 0 and out.splitlines()[0].lower().startswith(paper) and out.splitlines()[2] == "Caravan with a toaster"


def test_problems_are_one_line_each_with_their_place(tmp_path, capsys):
    data = json.loads(text_of("weekend-caravan"))
    data["loads"][2]["power"], data["battery"]["capacity"] = "12 V", "much"
    (tmp_path / "plan.json").write_text(json.dumps(data), "utf-8")
    ended, out, err = run(capsys, "run", "system-plan", "--input", str(tmp_path / "plan.json"))
    assert (ended, out) == (2, "")
    assert [line.split(": ")[0] for line in err.splitlines()] == ["battery.capacity", "loads[2].power"]
    assert 'loads[2].power: this needs a power; "12 V" is a voltage' in err


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ('{"kind": "inverter-field-handbook-plan", "version": 2}', "version: this plan is of version 2"),
        ('{"kind": "inverter-field-handbook-plan", "version": 1, "loads": [{"id": "a", "power": 3}]}', "loads[0].power: must be a text, not the number 3"),
        ("{", "plan.json: ends in the middle"),
        ("[]", "plan.json: is not a plan"),
        ('{"kind": "inverter-field-handbook-plan", "version": 1}', "loads: enter at least one load"),
    ],
)
def test_a_file_that_cannot_be_used_is_explained(content, words, tmp_path, capsys):
    (tmp_path / "plan.json").write_text(content, "utf-8")
    ended, out, err = run(capsys, "run", "system-plan", "--input", str(tmp_path / "plan.json"))
    assert (ended, out) == (2, "") and words in err and "Traceback" not in err


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("battery.colour=red",), "battery.colour: there is no such entry of a plan"),
        (("hello",), "hello: there is no such entry of a plan"),
        (("paper=novel",), 'paper: "novel" is not one of the answers'),
        (("battery.capacity=12 V",), "battery.capacity: this needs a charge"),
    ],
)
def test_an_entry_that_is_none_is_explained(arguments, words, capsys):
    ended, out, err = run(capsys, "run", "system-plan", "--input", file_of("remote-hut"), *arguments)
    assert (ended, out) == (2, "") and words in err


@pytest.mark.parametrize("job", JOBS)
def test_show_names_sections_fields_and_what_stands_beside(job, capsys):
    ended, out, _ = run(capsys, "show", job)
    assert ended == 0 and JOBS[job].question in out
    for section in sections.SECTIONS:
        assert f"  {section.name}: {section.label}" in out and all(f"      {one.name}" in out for one in section.fields)
    assert ("paper:" in out) == (job == "system-plan") and ("rating_va: Continuous rating, must be there" in out) == (job == "shortlist")


@pytest.mark.parametrize("by", shortlist.RANKINGS)
def test_a_shortlist(by, capsys):
    ended, out, err = run(capsys, "run", "shortlist", "--input", file_of("remote-hut"), f"catalogue={DEMO}", f"by={by}")
    assert ended == 0 and err == "" and "passes, the smallest that does" in out
    assert "It is made for a battery of 12 V" in out


def test_a_shortlist_as_json(capsys):
    _, out, _ = run(capsys, "run", "shortlist", "--input", file_of("remote-hut"), f"catalogue={DEMO}", "--json")
    data = json.loads(out)
    assert data["calculator"] == "shortlist" and data["outputs"]["smallest"]["value"] == "D-4000 with charger 48"
    assert len(data["units"]) == 24 and data["units"][0]["passes"] and data["units"][0]["energy_per_day"]["unit"] == "Wh"


def test_a_catalogue_that_cannot_be_used_is_explained(tmp_path, capsys):
    (tmp_path / "units.csv").write_text("unit;price\nOne;3\n", "utf-8")
    for name, words in ((str(tmp_path / "units.csv"), "has no column rating_va"), (str(tmp_path / "nothing.csv"), "cannot be read"), ("", "catalogue: enter the CSV file")):
        ended, out, err = run(capsys, "run", "shortlist", "--input", file_of("remote-hut"), f"catalogue={name}")
        assert (ended, out) == (2, "") and words in err


@pytest.mark.parametrize("loads", ["loads=18-22: 100 W", "loads_dc=0-24: 20 W"])
def test_a_trip_with_loads_on_one_supply_alone_is_shown(loads, capsys):
    """A plan may have nothing on the other supply: that blank is left out of the inputs."""
    ended, out, _ = run(capsys, "run", "trip", loads)
    assert ended == 0 and "It lasts the day" in out
