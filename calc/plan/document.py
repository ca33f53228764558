"""The plan document: one JSON text that is saved, exported, imported and shared.

read       JSON data → plan, every problem of its form at once, each with its place
from_text  JSON text → plan
to_text    plan → the text that is saved: fixed order, blanks left out
check      every value as the calculators would read it, one by one
blank      a plan to start from

Values stay as they were typed: reading says what cannot be used, and changes nothing.
"""

import json
import re

from calc.errors import FieldProblem, InputProblems
from calc.plan import sections
from calc.plan.overrides import FIELDS_OF
from calc.units import printable

KIND = "inverter-field-handbook-plan"
VERSION = 1
CHARACTERS_MOST = 200_000  # of a whole document
ID = re.compile(r"[a-z0-9][a-z0-9-]{0,31}")
NUMBERS_WORDS = 'put it in quotes, with its unit, for example "90 W"'

_TOP = ("kind", "version", "region", *(section.name for section in sections.SECTIONS), "loads", "overrides", "notes")
"""Members of the document; the loads stand where the interview ends."""
ORDER = ("kind", "version", "who", "season", "region", "loads", *(section.name for section in sections.SECTIONS[2:]), "overrides", "notes")


def blank():
    """A plan with nothing in it.

    Returns
    -------
    dict
        Every member, empty.
    """
    empty = {section.name: {} for section in sections.SECTIONS}
    whole = {"kind": KIND, "version": VERSION, "region": "", "loads": [], "overrides": {}, "notes": "", **empty}
    return {name: whole[name] for name in ORDER}


def from_text(text):
    """Read a document.

    Parameters
    ----------
    text : str
        JSON.

    Returns
    -------
    dict
        The plan, every member there.

    Raises
    ------
    InputProblems
        With every place that is wrong; the field of each is its path, "" for the whole.
    """
    if len(text) > CHARACTERS_MOST:
        _refuse("", f"is {len(text)} characters long: a plan has at most {CHARACTERS_MOST}")
    if not text.strip():
        _refuse("", "is empty: choose a file that was exported from here")
    twice = []
    try:
        data = json.loads(text.removeprefix("\ufeff"), object_pairs_hook=lambda pairs: _once(pairs, twice), parse_constant=_no_number)
    except json.JSONDecodeError as error:
        _refuse("", _not_json(text, error))
    except (RecursionError, ValueError):
        _refuse("", "is not a plan: it is nested too deep, or holds something that is no number")
    if twice:
        raise InputProblems([FieldProblem("", f'"{name[:40]}" stands twice in one place: keep one of the two') for name in dict.fromkeys(twice)])
    return read(data)


def _refuse(path, text):
    raise InputProblems([FieldProblem(path, text)])


def _once(pairs, twice):
    found = {}
    for name, value in pairs:
        if name in found:
            twice.append(name)
        found[name] = value
    return found


def _no_number(name):
    raise ValueError(name)


def _not_json(text, error):
    place = f"line {error.lineno}, column {error.colno}"
    if error.pos >= len(text.rstrip()) - 1 or error.msg.startswith("Unterminated"):
        return f"ends in the middle ({place}): the file was cut short; export it again, or send it again"
    return f"is not a plan: {error.msg} in {place}"


def read(data):
    """Read the data of a document.

    Parameters
    ----------
    data : object
        What JSON gave.

    Returns
    -------
    dict
        The plan, every member there; texts with lone surrogates taken out.

    Raises
    ------
    InputProblems
        With every place that is wrong.
    """
    if not isinstance(data, dict):
        _refuse("", f"is not a plan: it must be one object in braces, not {_said(data)}")
    if data.get("kind") != KIND:
        _refuse("kind", f'must be "{KIND}": this file is something else')
    version = data.get("version")
    if isinstance(version, int) and not isinstance(version, bool) and version > VERSION:
        _refuse("version", f"this plan is of version {version}, and this handbook reads up to version {VERSION}: update the handbook; nothing was changed")
    if version != VERSION or isinstance(version, bool):
        _refuse("version", f"must be the number {VERSION}, not {_said(version)}")
    reader = _Reader()
    plan = reader.whole(data)
    if reader.problems:
        raise InputProblems(reader.problems)
    return plan


def _said(value):
    """What stands there, as a sentence names it."""
    if value is None or isinstance(value, bool):
        return json.dumps(value)
    if isinstance(value, (int, float)):
        return f"the number {str(value)[:20]}"
    return {str: "a text", list: "a list", dict: "an object"}[type(value)]


class _Reader:
    """Goes through a document and keeps what is wrong with it."""

    def __init__(self):
        self.problems = []

    def wrong(self, path, text):
        self.problems.append(FieldProblem(path, text))

    def whole(self, data):
        self.known(data, "", _TOP)
        plan = blank()
        plan["region"] = self.text(data.get("region", ""), "region", sections.TEXT_MOST)
        plan["notes"] = self.text(data.get("notes", ""), "notes", sections.NOTES_MOST)
        for section in sections.SECTIONS:
            plan[section.name] = self.fields(data.get(section.name, {}), section.name, [one.name for one in section.fields])
        plan["loads"] = self.loads(data.get("loads", []))
        plan["overrides"] = self.overrides(data.get("overrides", {}))
        return plan

    def known(self, members, path, names):
        for name in members:
            if name not in names:
                lead = f"{path}." if path else ""
                self.wrong(f"{lead}{printable(name)[:40]}", f"there is no such entry: use {', '.join(names)}")

    def text(self, value, path, most):
        if not isinstance(value, str):
            hint = NUMBERS_WORDS if isinstance(value, (int, float)) and not isinstance(value, bool) else "enter a text in quotes"
            self.wrong(path, f"must be a text, not {_said(value)}: {hint}")
            return ""
        if len(value) > most:
            self.wrong(path, f"is {len(value)} characters long: {most} are read at most")
            return ""
        return printable(value)

    def fields(self, value, path, names):
        """An object of texts; blank ones are left out."""
        if not isinstance(value, dict):
            self.wrong(path, f"must be an object in braces, not {_said(value)}")
            return {}
        self.known(value, path, names)
        texts = {name: self.text(value[name], f"{path}.{name}", sections.TEXT_MOST) for name in names if name in value}
        return {name: text for name, text in texts.items() if text.strip()}

    def loads(self, value):
        if not isinstance(value, list):
            self.wrong("loads", f"must be a list in brackets, not {_said(value)}")
            return []
        if len(value) > sections.LOADS_MOST:
            self.wrong("loads", f"holds {len(value)} loads: {sections.LOADS_MOST} are read at most")
            return []
        names = ["id", *(one.name for one in sections.LOAD_FIELDS)]
        loads, seen = [], {}
        for place, one in enumerate(value):
            path = f"loads[{place}]"
            load = self.fields(one, path, names)
            if isinstance(one, dict):
                self.id(load.get("id", ""), path, seen)
            loads.append(load)
        return loads

    def id(self, id, path, seen):
        if not ID.fullmatch(id):
            self.wrong(f"{path}.id", "enter a short id of its own, in small letters, digits and hyphens, for example kettle-2")
        elif id in seen:
            self.wrong(f"{path}.id", f'"{id}" is the id of {seen[id]} already: enter another')
        seen.setdefault(id, path)

    def overrides(self, value):
        if not isinstance(value, dict):
            self.wrong("overrides", f"must be an object in braces, not {_said(value)}")
            return {}
        self.known(value, "overrides", list(FIELDS_OF))
        found = {part: self.fields(value[part], f"overrides.{part}", FIELDS_OF[part]) for part in FIELDS_OF if part in value}
        return {part: texts for part, texts in found.items() if texts}


def to_text(plan):
    """The text that is saved: members in their order, blanks left out, one entry a line.

    Parameters
    ----------
    plan : dict
        A plan.

    Returns
    -------
    str
        JSON with a line break at its end; the same plan gives the same text.
    """
    return json.dumps(_bare(plan), ensure_ascii=False, indent=1) + "\n"


def _bare(plan):
    """The plan without what is empty, in the order of the document."""
    bare = {"kind": KIND, "version": VERSION}
    for name in ORDER[2:]:
        if plan[name]:
            bare[name] = plan[name]
    return bare


def compact(plan):
    """The same document without line breaks, for a link.

    Parameters
    ----------
    plan : dict
        A plan.

    Returns
    -------
    str
        JSON.
    """
    return json.dumps(_bare(plan), ensure_ascii=False, separators=(",", ":"))


def check(plan):
    """What cannot be read among the values, each for itself.

    Parameters
    ----------
    plan : dict
        A plan.

    Returns
    -------
    list of FieldProblem
        With the path of each; empty where all can be read.
    """
    problems, battery = [], plan["battery"]
    _try(problems, "region", sections.REGION, plan["region"], battery)
    for section in sections.SECTIONS:
        for one in section.fields:
            _try(problems, f"{section.name}.{one.name}", one, plan[section.name].get(one.name, ""), battery)
    if not plan["loads"]:
        problems.append(FieldProblem("loads", "enter at least one load"))
    for place, load in enumerate(plan["loads"]):
        for one in sections.LOAD_FIELDS:
            _try(problems, f"loads[{place}].{one.name}", one, load.get(one.name, ""), battery)
    return problems


def _try(problems, path, one, text, battery):
    """Read one value and keep its problem."""
    try:
        sections.settled(one, battery).read(text)
    except FieldProblem as problem:
        problems.append(FieldProblem(path, problem.text))
