"""What the worksheet page asks for: a request as data in, an answer as data out.

A request names what is to be done (`do`); a plan travels as its text. Whatever cannot be
used comes back as `errors`, a list of path and words, and nothing else is changed.

step        plan, a change of it or a text in its place → plan, one step, what changed, a link
papers      plan → the three papers
road        plan, form → the texts that measure or tonight starts with
shortlist   plan, catalogue → one more stretch of the way, ranked so far
"""

from functools import lru_cache

from calc.errors import InputProblems
from calc.plan import catalogue, changes, document, edit, link, papers, road, shortlist, steps
from calc.render import paper, worksheet
from calc.render import shortlist as shortlist_html


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


def _step(asked):
    """A plan, changed or brought, and one step of it.

    `plan` is its text, "" for a blank one; `edit` a change of it; `file` or `link` a text that
    takes its place. `step` is the one that is open, `before` the text that changes are told
    against, `form` whether the step's fields are wanted too.
    """
    if "file" in asked:
        plan = document.from_text(asked["file"])
    elif "link" in asked:
        plan = link.from_link(asked["link"])
    else:
        plan = document.from_text(asked["plan"]) if asked["plan"] else document.blank()
    if "edit" in asked:
        plan = edit.apply(plan, asked["edit"])
    text = document.to_text(plan)
    now = _run_of(text)
    told = changes.compare(_run_of(asked["before"]), now) if asked.get("before") else None
    found = {
        "plan": text, "name": worksheet.name_of(plan), "link": link.to_link(plan),
        "slots": {name: str(slot) for name, slot in worksheet.slots(now, asked["step"], told).items()}, "invalid": worksheet.invalid(now),
    }  # fmt: skip
    return found | {"form": str(worksheet.form(now, asked["step"]))} if asked.get("form") else found


@lru_cache(maxsize=4)
def _run_of(text):
    """The last few plans computed: the one before is asked for again at each change."""
    return steps.run(document.from_text(text))


def _papers(asked):
    now = _run_of(asked["plan"])
    return {"papers": {one.id: {"title": one.title, "size": one.size, "html": str(paper.sheet(one)), "text": "\n".join(paper.lines(one)) + "\n"} for one in papers.papers(now)}}


def _road(asked):
    return {"start": road.start(_run_of(asked["plan"]), asked["form"])}


_on_the_way = {}
"""The shortlist that is being made: its key, what was read, and the verdicts so far."""


def _shortlist(asked):
    """One more stretch: the page asks again until `done` is `total`."""
    key = (asked["plan"], asked["catalogue"])
    if _on_the_way.get("key") != key:
        now = _run_of(asked["plan"])
        found = catalogue.read(asked["catalogue"])
        _on_the_way.clear()
        _on_the_way.update(key=key, run=now, catalogue=found, days=shortlist.prepare(now), verdicts=[])
    units, verdicts = _on_the_way["catalogue"].units, _on_the_way["verdicts"]
    first = len(verdicts)
    verdicts += [shortlist.judge(_on_the_way["days"], unit) for unit in units[first : first + shortlist.CHUNK]]
    ranked = shortlist.ranked(verdicts, asked.get("by", "energy"), _on_the_way["days"].voltage)
    passing = sum(one.passes for one in verdicts)
    return {
        "summary": f"{len(units)} units: {passing} pass, {len(units) - passing} do not.",
        "done": len(verdicts), "total": len(units), "table": str(shortlist_html.table(ranked)) if len(verdicts) == len(units) else "",
        "notes": [{"text": str(note), "kept": note.kept} for note in _on_the_way["catalogue"].notes],
    }  # fmt: skip


DO = {"step": _step, "papers": _papers, "road": _road, "shortlist": _shortlist}
