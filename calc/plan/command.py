"""The whole-plan questions at the command line: what they take beside a plan, and the plan run."""

from calc.calculators.form import Choice
from calc.errors import FieldProblem, InputProblems
from calc.plan import catalogue, document, sections, shortlist, steps

PAPERS = ("recommendation", "hand-over", "baseline")
OPTIONS = {
    "system-plan": {"paper": ("Print one paper in place of the steps", PAPERS)},
    "shortlist": {"catalogue": ("A CSV file of units", ()), "by": ("Ranked by", tuple(shortlist.RANKINGS))},
}
"""By question: what may be asked for beside the plan's own entries, and the answers there are."""


def shown(job):
    """What a question takes and answers, in lines.

    Parameters
    ----------
    job : Job
        The question.

    Returns
    -------
    list of str
        As `show` prints it for a calculator.
    """
    lines = [f"{job.id}: {job.question}", "", "The plan comes as a JSON file by --input; section.name=value beside it counts above what the file says.", "", "Fields (name [unit of a bare number])"]
    lines += [f"  region: {sections.REGION.label}; one of {', '.join(sections.REGION.choices)}"]
    for section in sections.SECTIONS:
        lines += [f"  {section.name}: {section.label}, with", *(_field(one) for one in section.fields)]
    lines += ["  loads: What must run; a list, each load with an id of its own and", *(_field(one) for one in sections.LOAD_FIELDS)]
    lines += ["  overrides: for each part (below) an object of that calculator's fields, typed over what the steps fill in", "  notes: The shop's own notes", "", "Steps and their parts"]
    lines += [f"  {step.title}: {', '.join(step.parts)}" for step in steps.STEPS]
    lines += ["", "Beside the plan"]
    lines += [f"  {name}: {label}" + (f"; one of {', '.join(offered)}" if offered else "") for name, (label, offered) in OPTIONS[job.id].items()]
    if job.id == "shortlist":
        lines += ["", "Columns of the catalogue", *(f"  {column.name}: {column.label}{', must be there' if column.required else ''}; for example {column.example}" for column in catalogue.COLUMNS)]
    return lines


def _field(one):
    unit = f" [{one.unit}]" if one.unit else ""
    answers = f"; one of {', '.join(value for value in one.choices if value)}" if isinstance(one, Choice) else ""
    return f"      {one.name}{unit}: {one.label}{answers}"


def plan_of(content, entries):
    """A plan and its run, for the command line.

    Parameters
    ----------
    content : str
        The plan's JSON.
    entries : list of str
        Entries as section.name=value.

    Returns
    -------
    Run
        The plan, run.

    Raises
    ------
    InputProblems
        With the path of each.
    """
    plan = _changed(document.from_text(content) if content.strip() else document.blank(), entries)
    problems = document.check(plan)
    run = None if problems else steps.run(plan)
    if problems or run.problems:
        raise InputProblems(problems or run.problems)
    return run


def options(job, pairs):
    """What is asked for beside the plan's own entries.

    Parameters
    ----------
    job : Job
        The question.
    pairs : list of str
        name=value, as typed.

    Returns
    -------
    tuple
        (a dict of the job's options, the pairs left for the plan).

    Raises
    ------
    InputProblems
        For an answer that is none.
    """
    chosen, entries = {name: "" for name in OPTIONS[job.id]}, []
    for pair in pairs:
        name, equals, text = pair.partition("=")
        if name.strip() not in chosen or not equals:
            entries.append(pair)
            continue
        offered = OPTIONS[job.id][name.strip()][1]
        if offered and text.strip() not in offered:
            raise InputProblems([FieldProblem(name.strip(), f'"{text.strip()[:40]}" is not one of the answers: choose {", ".join(offered)}')])
        chosen[name.strip()] = text.strip()
    return chosen, entries


def _changed(plan, pairs):
    """The plan with the entries typed beside it."""
    for pair in pairs:
        path, equals, text = pair.partition("=")
        section, _, name = path.strip().partition(".")
        known = section in sections.BY_NAME and any(one.name == name for one in sections.BY_NAME[section].fields)
        if equals and known:
            plan[section] = {**plan[section], name: text}
        elif equals and path.strip() in ("region", "notes"):
            plan[path.strip()] = text
        else:
            raise InputProblems([FieldProblem(path.strip()[:40], "there is no such entry of a plan: write section.name=value, for example battery.capacity=200Ah")])
    return document.read(plan)
