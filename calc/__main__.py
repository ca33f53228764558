"""The command line: `python -m calc list`, `show ID`, `run ID field=value …`, `exercise TOPIC --seed N`.

Exit status: 0 for an answer, 2 for a request that cannot be used, with one line per field
on standard error.
"""

import argparse
import json
import os
import sys

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.calculators.form import Choice, Rows
from calc.calculators.regions import REGION
from calc.errors import FieldProblem, InputProblems
from calc.plan import catalogue, command, papers, shortlist
from calc.plan.jobs import JOBS
from calc.render import paper, text
from calc.render import plan as plan_sheet
from calc.render import shortlist as shortlist_sheet
from calc.units import printable

USAGE_ERROR = 2


def main(arguments=None):
    """Run the command line.

    Parameters
    ----------
    arguments : list of str, optional
        Arguments; those of the process by default.

    Returns
    -------
    int
        Exit status.
    """
    parser = argparse.ArgumentParser(prog="python -m calc", description="The inverter field handbook's calculators at a terminal.")
    commands = parser.add_subparsers(dest="command", required=True, metavar="list|show|run|exercise")
    commands.add_parser("list", help="every calculator and its question")
    show = commands.add_parser("show", help="the fields and answers of one calculator")
    show.add_argument("calculator", metavar="ID")
    answer = commands.add_parser("run", help="answer one question", description="Values are typed as people write them: 120A, \"2.5 m\", 2,5m, \"35 mm2\", \"2 AWG\", \"9 ± 2 mΩ\", unknown.")
    answer.add_argument("calculator", metavar="ID")
    answer.add_argument("values", nargs="*", metavar="field=value")
    answer.add_argument("--input", metavar="FILE", help="a JSON file of field names and values; - for standard input")
    answer.add_argument("--region", metavar="REGION", choices=REGION.choices, help=f"what is assumed for mains and cable: {' or '.join(REGION.choices)}; never whose rule applies")
    answer.add_argument("--json", action="store_true", help="print one JSON object instead of a sheet")
    exercise = commands.add_parser("exercise", help="training exercises from a seed", description="The same seed gives the same exercises everywhere. The topic `list` lists them, `all` takes every one in turn.")
    exercise.add_argument("topic", metavar="TOPIC")
    exercise.add_argument("--seed", help="any text")
    exercise.add_argument("--level", default="1", help="1, 2 or 3")
    exercise.add_argument("--count", default="1", help="how many")
    exercise.add_argument("--key", action="store_true", help="print answers, working and marks too")
    for stream in (sys.stdout, sys.stderr):  # a terminal without these signs shows "?" in their place
        stream.reconfigure(errors="replace")
    options, rest = parser.parse_known_args(arguments)
    if any(word.startswith("-") for word in rest) or (rest and options.command != "run"):
        parser.error(f"cannot use {' '.join(rest)}")
    if rest:  # values may stand on either side of the options
        options.values += rest
    try:
        ended = {"list": _list, "show": _show, "run": _run, "exercise": _exercise}[options.command](options)
        sys.stdout.flush()
        return ended
    except _Refused as refused:
        print(refused, file=sys.stderr)
        return USAGE_ERROR
    except BrokenPipeError:  # the reader of a pipe, such as head, has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # what is left over goes there when Python ends
        return 0


class _Refused(Exception):
    """A request that cannot be used, in lines for standard error."""


def _find(id):
    if id not in CALCULATORS:
        raise _Refused(f'there is no calculator "{id}": choose {", ".join((*CALCULATORS, *JOBS))}')
    return CALCULATORS[id]


def _list(options):
    wide = max(map(len, CALCULATORS))
    for calculator in (*CALCULATORS.values(), *JOBS.values()):
        print(f"{calculator.id:<{wide}}  {calculator.question}")
    return 0


def _show(options):
    if options.calculator in JOBS:
        print("\n".join(command.shown(JOBS[options.calculator])))
        return 0
    calculator = _find(options.calculator)
    print(f"{calculator.id}: {calculator.question}\n\nFields (name [unit of a bare number], what is assumed when left out)")
    for one in calculator.fields:
        if isinstance(one, Rows):
            print(f"  {one.name}: {one.label}; a JSON list, each {one.one} with")
            for column in one.columns:
                _show_field(column, "      ")
        else:
            _show_field(one, "  ")
    print("\nAnswers (name [unit])")
    for one in calculator.answers:
        print(f"  {one.name}{f' [{one.unit}]' if one.unit else ''}: {one.label}")
    return 0


def _show_field(one, lead):
    print(f"{lead}{one.name}{f' [{one.unit}]' if one.unit else ''}: {one.label}; {_default_words(one)}")
    if isinstance(one, Choice):
        for value, words in one.choices.items():
            print(f"{lead}    {value}: {words}")
    elif one.unknown is not None:
        print(f"{lead}    unknown: {one.unknown.likely} ({one.unknown.low} to {one.unknown.high}), {one.unknown.basis}")


def _default_words(one):
    if one.default is None:
        return "must be given"
    words = f"else {one.default}" if one.default else "may be left out"
    others = [f"{variant.default} with {one.by}={answer}" for answer, variant in getattr(one, "variants", {}).items() if variant.default != one.default]
    return f"{words}, {', '.join(others)}" if others else words


def _run_job(options):
    """A question about a whole plan, which comes from a file."""
    content = _content(options.input) if options.input else ""
    try:
        beside, entries = command.options(JOBS[options.calculator], [printable(pair) for pair in options.values])
        answer = command.plan_of(content, entries)
        print(_shortlist(options, beside, answer) if options.calculator == "shortlist" else _plan(options, beside, answer))
    except InputProblems as problems:
        name = options.input or "--input"
        raise _Refused("\n".join(str(one) if one.field else f"{name}: {one.text}" for one in problems.problems)) from None
    return 0


def _plan(options, beside, answer):
    if beside["paper"]:
        chosen = next(one for one in papers.papers(answer) if one.id == beside["paper"])
        return "\n".join(paper.lines(chosen))
    return json.dumps(plan_sheet.as_data(answer), ensure_ascii=False, indent=2) if options.json else plan_sheet.sheet(answer)


def _shortlist(options, beside, answer):
    if not beside["catalogue"]:
        raise InputProblems([FieldProblem("catalogue", "enter the CSV file of the units, as catalogue=FILE")])
    found = catalogue.read(_content(beside["catalogue"]))
    if not found.usable:
        raise _Refused("\n".join(f"{beside['catalogue']}: {note}" for note in found.notes))
    verdicts = shortlist.whole(answer, found.units, beside["by"] or "energy")
    data = shortlist_sheet.as_data(verdicts, found.notes)
    return json.dumps(data, ensure_ascii=False, indent=2) if options.json else "\n".join(shortlist_sheet.lines(verdicts, found.notes))


def _run(options):
    if options.calculator in JOBS:
        return _run_job(options)
    calculator = _find(options.calculator)
    typed = _from_file(options.input) if options.input else {}
    if options.region and any(one.name == REGION.name for one in calculator.fields):
        typed.setdefault(REGION.name, options.region)
    for pair in options.values:
        name, equals, value = pair.partition("=")
        if not equals:
            raise _Refused(f'"{pair}" is not a field: write field=value, for example {calculator.fields[0].name}="{calculator.fields[0].shown}"')
        typed[printable(name.strip())] = printable(value)
    try:
        result = run(calculator, typed)
    except InputProblems as problems:
        raise _Refused("\n".join(map(str, problems.problems))) from None
    except FieldProblem as problem:
        raise _Refused(str(problem)) from None
    print(json.dumps(text.as_data(result), ensure_ascii=False, indent=2) if options.json else text.sheet(result))
    return 0


def _exercise(options):
    from calc.exercises.catalogue import TOPICS
    from calc.exercises.sets import order
    from calc.render import exercises

    if options.topic == "list":
        wide = max(map(len, TOPICS))
        for topic in TOPICS.values():
            print(f"{topic.id:<{wide}}  {topic.lesson:>2}  {topic.title}")
        return 0
    if options.topic not in (*TOPICS, "all"):
        raise _Refused(f'there is no topic "{options.topic}": choose list, all, {", ".join(TOPICS)}')
    try:
        asked = order(options.seed or "", () if options.topic == "all" else (options.topic,), options.level, options.count)
    except InputProblems as problems:
        raise _Refused("\n".join(map(str, problems.problems))) from None
    print("\n".join(exercises.lines(asked, options.key)))
    return 0


def _content(name):
    try:
        return sys.stdin.read() if name == "-" else open(name, encoding="utf-8-sig").read()
    except (OSError, UnicodeDecodeError) as error:
        raise _Refused(f"{name}: cannot be read: {getattr(error, 'strerror', None) or 'it is not UTF-8 text'}") from None


def _from_file(name):
    content = _content(name)
    try:
        values = json.loads(content)
    except json.JSONDecodeError as error:
        raise _Refused(f"{name}: is not JSON: {error.msg} in line {error.lineno}, column {error.colno}") from None
    except (RecursionError, ValueError):
        raise _Refused(f"{name}: is not JSON this can read: it is nested too deep, or a number has too many digits") from None
    if not isinstance(values, dict) or not all(isinstance(value, (str, int, float, list)) for value in values.values()):
        raise _Refused(f'{name}: must hold one object of field names and values, for example {{"power_ac": "1200 W"}}')
    return {field: value if isinstance(value, list) else str(value) for field, value in values.items()}


if __name__ == "__main__":
    sys.exit(main())
