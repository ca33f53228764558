"""What the worksheet page asks for: a request as data in, an answer as data out.

A request names what is to be done (`do`); a plan travels as its text. Whatever cannot be
used comes back as `errors`, a list of path and words, and nothing else is changed.

open        text or link → plan
run         plan, the plan before → steps, what was settled on, changes
edit        plan, an operation → plan
link        plan → text for a link
papers      plan → the three papers
road        plan, form, values → measure or tonight
shortlist   plan, catalogue → one more stretch of the way, ranked so far
"""

from calc.calculators import CALCULATORS
from calc.errors import InputProblems
from calc.plan import catalogue, changes, document, edit, link, papers, road, shed, shortlist, steps
from calc.render import html, paper
from calc.render import plan as plan_html
from calc.render import shortlist as shortlist_html
from calc.units import format_quantity as say


def reply(asked):
    """Answer one request.

    Parameters
    ----------
    asked : dict
        The request.

    Returns
    -------
    dict
        The answer; `errors` is empty where all could be used.

    Raises
    ------
    KeyError
        For a `do` that does not exist.
    """
    try:
        return {"errors": [], **DO[asked["do"]](asked)}
    except InputProblems as problems:
        return {"errors": [{"path": one.field, "text": one.text} for one in problems.problems]}


def _open(asked):
    plan = link.from_link(asked["link"]) if "link" in asked else document.from_text(asked["text"])
    return {"plan": document.to_text(plan), "title": plan["who"].get("title", "")}


def _run(asked):
    plan = document.from_text(asked["plan"])
    now = steps.run(plan)
    shown = asked.get("show", [step.id for step in steps.STEPS])
    problems = [*document.check(plan), *now.problems]
    answer = {
        "steps": {step.id: str(plan_html.step(now, step.id, f"{asked.get('id', 'plan')}-{step.id}")) for step in steps.STEPS if step.id in shown},
        "settled": [{"name": one.name, "label": one.label, "words": one.words, "given": one.given, "reason": one.reason} for one in now.choices.values()],
        "findings": str(plan_html.findings(now)),
        "problems": [{"path": path, "text": text} for path, text in dict((one.field, one.text) for one in reversed(problems)).items()],
        "waiting": {part.name: list(part.needs) for part in now.parts.values() if part.needs},
        "filled": {part.name: _filled(part) for part in now.parts.values()},
        "shed": [{"name": one.name, "saves": say(one.energy_per_day, "Wh", 2), "lowest": say(one.charge_lowest, "%", 2), "unmet": say(one.energy_unmet, "Wh", 2)} for one in shed.order(now)],
        "changes": "",
    }
    if asked.get("before"):
        found = changes.compare(steps.run(document.from_text(asked["before"])), now)
        answer["changes"] = str(plan_html.changes(found))
        answer["edits"] = [{"path": one.path, "label": one.label, "before": one.before, "after": one.after} for one in found.edits]
    return answer


def _filled(part):
    """Every field's text and where it came from, for forms that show it."""
    return {name: {"text": text, "from": part.origins[name].kind, "place": part.origins[name].place} for name, text in part.texts.items() if name != "loads"}


def _edit(asked):
    plan, change = document.from_text(asked["plan"]), asked["change"]
    operation = {"put": edit.put, "add": edit.add_load, "remove": edit.remove_load, "move": edit.move_load, "never-together": edit.never_together}[change["name"]]
    return {"plan": document.to_text(operation(plan, *change["values"]))}


def _link(asked):
    return {"link": link.to_link(document.from_text(asked["plan"]))}


def _papers(asked):
    now = steps.run(document.from_text(asked["plan"]))
    return {"papers": {one.id: {"title": one.title, "size": one.size, "html": str(paper.sheet(one)), "text": "\n".join(paper.lines(one)) + "\n"} for one in papers.papers(now)}}


def _road(asked):
    """A form that starts with the plan's own values; with `values` the slots of its answer."""
    now, form, id = steps.run(document.from_text(asked["plan"])), asked["form"], asked.get("id", asked["form"])
    calculator = CALCULATORS[road.FORMS[form]]
    start = road.start(now, form)
    result, problems = road.ask(now, form, asked.get("values", {}))
    slots = html.slots(result, id) if result else html.error_slots(calculator, problems, id)
    return {"start": start, "slots": slots, "invalid": [one.field for one in problems]}


_on_the_way = {}
"""The shortlist that is being made: its key, what was read, and the verdicts so far."""


def _shortlist(asked):
    """One more stretch: the page asks again until `done` is `total`."""
    key = (asked["plan"], asked["catalogue"])
    if _on_the_way.get("key") != key:
        now = steps.run(document.from_text(asked["plan"]))
        found = catalogue.read(asked["catalogue"])
        _on_the_way.clear()
        _on_the_way.update(key=key, run=now, catalogue=found, days=shortlist.prepare(now), verdicts=[])
    units, verdicts = _on_the_way["catalogue"].units, _on_the_way["verdicts"]
    first = len(verdicts)
    verdicts += [shortlist.judge(_on_the_way["days"], unit) for unit in units[first : first + shortlist.CHUNK]]
    ranked = shortlist.ranked(verdicts, asked.get("by", "energy"), _on_the_way["days"].voltage)
    return {
        "done": len(verdicts), "total": len(units), "table": str(shortlist_html.table(ranked)) if len(verdicts) == len(units) else "",
        "notes": [{"text": str(note), "kept": note.kept} for note in _on_the_way["catalogue"].notes],
    }  # fmt: skip


DO = {"open": _open, "run": _run, "edit": _edit, "link": _link, "papers": _papers, "road": _road, "shortlist": _shortlist}
