"""`python -m calc`, as a person or a script meets it: what it prints, and how it ends."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

import calc
from calc.__main__ import main
from calc.calculators import CALCULATORS
from calc.calculators.form import Choice, Points
from calc.plan.jobs import JOBS
from tests.calc.cases import CASES
from tests.calc.test_form import BAD

ROOT = Path(calc.__file__).parents[1]


def in_a_process(*arguments, given=""):
    """One run of its own process: most of it is spent on starting, so only what a process has of its own is tested so."""
    return subprocess.run(
        [sys.executable, "-m", "calc", *arguments], cwd=ROOT, input=given, capture_output=True, encoding="utf-8", env={**os.environ, "PYTHONIOENCODING": "utf-8"}, timeout=30
    )


@pytest.fixture
def run(capsys):
    """The same within this process."""

    def run(*arguments):
        ended = main(list(arguments))
        told = capsys.readouterr()
        return subprocess.CompletedProcess(arguments, ended, told.out, told.err)

    return run


def refused(done):
    """The lines of a request that cannot be used."""
    assert done.returncode == 2 and done.stdout == ""
    assert "Traceback" not in done.stderr
    return done.stderr.splitlines()


def test_list_names_every_calculator_and_its_question(run):
    done = run("list")
    assert done.returncode == 0 and done.stderr == ""
    assert [line.split()[0] for line in done.stdout.splitlines()] == [*CALCULATORS, *JOBS]
    assert all(line.endswith("?") for line in done.stdout.splitlines())


@pytest.mark.parametrize("calculator", CALCULATORS)
def test_show_names_every_field_and_answer(calculator, capsys):
    assert main(["show", calculator]) == 0
    shown = capsys.readouterr().out
    for one in (*CALCULATORS[calculator].fields, *CALCULATORS[calculator].answers):
        unit = re.escape(f" [{one.unit}]") if one.unit else ""
        assert re.search(rf"^  {one.name}{unit}: {re.escape(one.label)}", shown, re.MULTILINE)


def example_of(calculator, field):
    """A text for a field, from its own declaration."""
    if isinstance(field, Choice):
        return next(iter(field.choices))
    if isinstance(field, Points):
        return "10%:86%, 100%:89%"
    return {"recovery": "12 V", "lock_out": "9 V", "search_power": "2 W"}.get(field.name) or field.shown or f"{field.minimum or '0'} to {field.maximum}"


@pytest.mark.parametrize("calculator", CASES)
def test_every_field_that_is_shown_is_accepted_by_run(calculator, capsys):
    """One field at a time: whatever else is said of it, it is a field."""
    main(["show", calculator])
    shown = re.findall(r"^  ([a-z0-9_]+)(?: \[.+\])?: ", capsys.readouterr().out.split("\nAnswers")[0], re.MULTILINE)
    fields = {field.name: field for field in CALCULATORS[calculator].fields}
    assert shown == list(fields)
    for name in shown:
        more = {"dc-cable": ["rule=bs-7671-flexible"]}.get(calculator, [])
        ended = main(["run", calculator, *more, f"{name}={example_of(calculator, fields[name])}"])
        told = capsys.readouterr()
        assert ended in (0, 2) and "there is no such field" not in told.err
        assert ended == 0 or told.err.strip()


def test_a_sheet_gives_the_answer_first(run):
    done = run("run", "supply-path", "power_ac=1200 W")
    assert done.returncode == 0 and done.stderr == ""
    lines = done.stdout.splitlines()
    assert lines[0] == "Will it hold up, or drop out?"
    headings = [lines.index(heading) for heading in ("Answers", "Inputs", "Working", "Sources")]
    assert headings == sorted(headings)
    assert any("It should hold" in line or "It drops out" in line for line in lines[: headings[0]])
    assert max(map(len, lines)) <= 130


def test_stops_come_before_the_answer(run):
    done = run("run", "supply-path", "power_ac=1900 W", "battery_resistance=30 mΩ")
    assert done.returncode == 0
    assert done.stdout.index("Stop: ") < done.stdout.index("It collapses")


def test_json_is_the_object_that_is_promised(run):
    done = run("run", "dc-cable", "rule=bs-7671-flexible", "current_dc=110A", "length_one_way=2.2 m", "--json")
    assert done.returncode == 0 and done.stderr == ""
    data = json.loads(done.stdout)
    assert data["calculator"] == "dc-cable" and data["version"] == calc.__version__
    assert {"calculator", "version", "inputs", "outputs", "findings", "working", "sources"} <= data.keys()
    assert [*data["outputs"]] == [one.name for one in CALCULATORS["dc-cable"].answers]
    for output in data["outputs"].values():
        assert {"value", "unit", "low", "high"} <= output.keys()
    assert data["outputs"]["area_chosen"]["unit"] == "mm²" and data["outputs"]["area_chosen"]["value"] == pytest.approx(50)
    assert data["outputs"]["voltage_drop"]["low"] <= data["outputs"]["voltage_drop"]["value"] <= data["outputs"]["voltage_drop"]["high"]
    assert data["inputs"]["length_one_way"] == {"value": 2.2, "unit": "m", "low": pytest.approx(2.09), "high": pytest.approx(2.31), "how": "given"}
    assert data["inputs"]["ambient"]["how"] == "default"
    assert all(finding.keys() == {"code", "level", "text"} for finding in data["findings"])
    assert all({"symbol", "formula", "inputs", "value", "unit", "source"} <= step.keys() for step in data["working"])
    assert all({"id", "title", "known"} <= source.keys() for source in data["sources"])


@pytest.mark.parametrize("calculator", CASES)
def test_json_holds_no_number_that_is_not_one(calculator, capsys):
    for case, texts in CASES[calculator].items():
        assert main(["run", calculator, *(f"{name}={text}" for name, text in texts.items()), "--json"]) == 0, case

        def no_constant(name, case=case):
            raise AssertionError(f"{name} is not JSON, in the case {case!r}")

        json.loads(capsys.readouterr().out, parse_constant=no_constant)


def test_units_are_those_shown_wherever_a_number_is(run):
    """Values of --json are in the unit beside them: 2.5 m, not 2500 mm; 3 %, not 0.03."""
    data = json.loads(run("run", "dc-cable", "rule=bs-7671-flexible", "drop_limit=4 %", "ambient=35 °C", "--json").stdout)
    assert data["inputs"]["drop_limit"]["value"] == pytest.approx(4) and data["inputs"]["ambient"]["value"] == pytest.approx(35)


def test_values_come_from_a_file_and_from_standard_input(run, tmp_path):
    values = {"standby_power": "12 W", "voltage_dc": 12, "hours_on": 10.0}
    file = tmp_path / "values.json"
    file.write_text(json.dumps(values), "utf-8")
    expected = run("run", "standby", "standby_power=12 W", "voltage_dc=12", "hours_on=10", "--json").stdout
    assert json.loads(run("run", "standby", "--input", str(file), "--json").stdout)["outputs"] == json.loads(expected)["outputs"]
    assert json.loads(in_a_process("run", "standby", "--input", "-", "--json", given=json.dumps(values)).stdout)["outputs"] == json.loads(expected)["outputs"]


def test_what_is_typed_counts_above_what_the_file_says(run, tmp_path):
    file = tmp_path / "values.json"
    file.write_text('\ufeff{"standby_power": "12 W"}', "utf-8")
    data = json.loads(run("run", "standby", "--input", str(file), "standby_power=30 W", "--json").stdout)
    assert data["inputs"]["standby_power"]["value"] == pytest.approx(30)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("", "is not JSON"),
        ("{", "is not JSON"),
        ("[1, 2]", "one object"),
        ('"text"', "one object"),
        ('{"standby_power": null}', "one object"),
        ('{"standby_power": {"a": 1}}', "one object"),
        ('{"standby_power": NaN}', "standby_power: "),
        ('{"standby_power": 1e999}', "standby_power: "),
        ('{"standby_power": "12 V"}', 'standby_power: this needs a power; "12 V" is a voltage'),
        ('{"standby_power": true}', "standby_power: "),
        ('{"standby_power": ' + "9" * 5000 + "}", "standby_power|is not JSON|too"),
        ("[" * 100000, "is not JSON|too deep"),
    ],
)
def test_a_file_that_cannot_be_used_is_explained(content, words, tmp_path, capsys):
    file = tmp_path / "values.json"
    file.write_text(content, "utf-8")
    assert main(["run", "standby", "--input", str(file)]) == 2
    told = capsys.readouterr()
    assert told.out == "" and re.search(words, told.err) and len(told.err.splitlines()) == 1


def test_a_file_that_cannot_be_read_is_explained(run, tmp_path):
    (line,) = refused(run("run", "standby", "--input", str(tmp_path / "nothing.json")))
    assert "nothing.json: cannot be read" in line
    (line,) = refused(run("run", "standby", "--input", str(tmp_path)))
    assert "cannot be read" in line
    (tmp_path / "binary").write_bytes(b"\xff\xfe\x00{")
    (line,) = refused(run("run", "standby", "--input", str(tmp_path / "binary")))
    assert "not UTF-8" in line


@pytest.mark.parametrize(("calculator", "texts", "field", "words"), BAD)
def test_bad_input_ends_in_one_line_per_field(calculator, texts, field, words, capsys):
    if calculator == "dc-cable":
        texts = {"rule": "bs-7671-flexible", **texts}
    assert main(["run", calculator, *(f"{name}={text}" for name, text in texts.items())]) == 2
    told = capsys.readouterr()
    (line,) = told.err.splitlines()
    assert told.out == "" and line.startswith(f"{field}: ") and words in line


def test_bad_input_in_a_process_of_its_own():
    lines = refused(in_a_process("run", "dc-cable", "length_one_way=12 A", "current_dc=1e9 A", "area=6 mm", "speed=3", "--json"))
    assert [line.split(":")[0] for line in lines] == ["speed", "current_dc", "length_one_way", "rule", "area"]
    assert 'length_one_way: this needs a length; "12 A" is a current' in lines


def test_bytes_that_are_no_text_are_explained():
    done = subprocess.run([sys.executable, "-m", "calc", "run", "standby", b"standby_power=\xff\xfe"], cwd=ROOT, capture_output=True, timeout=30)
    assert done.returncode == 2 and b"Traceback" not in done.stderr and done.stderr.startswith(b"standby_power: ")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((), "list|show|run"),
        (("run",), "ID"),
        (("run", "kettle"), 'there is no calculator "kettle": choose '),
        (("show", "kettle"), 'there is no calculator "kettle": choose '),
        (("run", "standby", "12 W"), '"12 W" is not a field: write field=value'),
        (("run", "standby", "=12 W"), "there is no such field"),
        (("run", "standby", "--loud"), "--loud"),
        (("sing",), "sing"),
    ],
)
def test_a_command_that_cannot_be_used_is_explained(arguments, words, capsys):
    try:
        ended = main(list(arguments))
    except SystemExit as left:
        ended = left.code
    told = capsys.readouterr()
    assert ended == 2 and told.out == "" and words in told.err


@pytest.mark.skipif(os.name != "posix", reason="pipes are closed by a shell of this kind only on POSIX systems")
@pytest.mark.parametrize("arguments", [("run", "supply-path", "--json"), ("list",)], ids=["more than a buffer holds", "less"])
def test_a_reader_that_leaves_early_is_no_error(arguments):
    """Nobody reads: no message, and no exit status of an error."""
    reader, writer = os.pipe()
    os.close(reader)
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}  # what is short then waits in a buffer to the end
    try:
        done = subprocess.run([sys.executable, "-m", "calc", *arguments], cwd=ROOT, env=environment, stdout=writer, stderr=subprocess.PIPE, timeout=30)
    finally:
        os.close(writer)
    assert done.stderr == b"" and done.returncode == 0


def test_a_terminal_that_knows_no_greek_still_gets_its_answer():
    """A console or a file in an old 8-bit encoding has no Ω: it is written some other way, not dropped with a traceback."""
    done = subprocess.run([sys.executable, "-m", "calc", "run", "supply-path"], cwd=ROOT, capture_output=True, env={**os.environ, "PYTHONIOENCODING": "latin-1"}, timeout=30)
    assert done.returncode == 0 and b"Traceback" not in done.stderr and b"It should hold" in done.stdout
