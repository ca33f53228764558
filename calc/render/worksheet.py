"""The whole job on one page: a plan, step by step, as HTML.

page   the whole worksheet, complete before any script runs
units, papers, road   what follows the steps
form   the fields of one step
slots  the pieces of one step that change with the plan

Names of controls are the paths of `calc.plan.edit`: "season.days", "loads.kettle.power".
"""

import re
from dataclasses import replace
from functools import cache

from calc.calculators import CALCULATORS, appliances
from calc.plan import catalogue, document, sections, shed, shortlist
from calc.plan.fill import FILL, Own
from calc.plan.overrides import PARTS
from calc.plan.steps import STEPS, TITLES
from calc.render import html, words
from calc.render.markup import Markup
from calc.units import capitalised

PREFIX = "plan"
FIELDS_OF_STEP = {
    "loads": (("who.title", "region", "season.place", "season.month"), ("who.customer", "who.vehicle", "who.use", "who.must", "who.never", "who.installer", "who.medical", "who.budget", "season.month_best", "notes")),
    "inverter": (("inverter.rating", "inverter.hours_on", "inverter.standby_power", "inverter.cut_out"), (
        "inverter.shape", "inverter.efficiency_full", "inverter.efficiency_peak", "inverter.points", "inverter.surge_multiple", "inverter.surge_time", "season.ambient", "season.altitude",
    )),
    "voltage": (("dc.voltage_nominal", "dc.length_one_way", "dc.rule"), ("dc.power_12v",)),
    "battery": (("battery.chemistry", "season.days", "battery.unit_capacity", "battery.battery_current_limit"), (
        "battery.capacity", "battery.depth_limit", "battery.unit_voltage", "battery.series_limit", "season.temperature", "battery.charged_cold",
    )),
    "cable": (("dc.area", "dc.drop_limit"), ("dc.conductor", "dc.insulation", "dc.terminal_temperature", "dc.ambient", "dc.engine_space", "battery.string_fuses")),
    "path": (("battery.battery_resistance", "dc.joint_resistance"), ("inverter.cut_out_senses", "inverter.cut_out_delay", "inverter.lock_out", "inverter.ripple")),
    "charging": (("charging.panel_power", "charging.driving", "charging.driving_hours", "charging.mains"), (
        "season.sun_hours", "season.air_outside", "season.sun_bad_week", "season.sun_good_week", "charging.mount", "charging.dcdc_current", "charging.driving_days", "charging.alternator_current_idle",
        "charging.fused_both_ends", "charging.charger_current", "charging.mains_hours", "charging.mains_days", "charging.charger_power_factor", "charging.generator_rating",
        "charging.generator_place", "charging.co_alarm",
    )),
    "joining": (("installation.outlets", "installation.shore_power", "installation.generator", "installation.fixed_wiring"), (
        "installation.intention", "installation.supply_current", "installation.power_other", "installation.origin", "installation.output_link", "installation.breaker_rating",
        "installation.breaker_curve", "installation.inverter_place", "installation.box_area", "installation.airflow", "installation.battery_beside",
        "baseline.date", "baseline.standby_power", "baseline.battery_resistance", "baseline.cable_resistance", "baseline.settings",
    )),
}  # fmt: skip
"""The plan's own fields by step: those that stand open, and those behind "more"."""

ROW_OPEN = ("name", "power", "hours_per_day", "quantity")
ROW_MORE = ("supply", "when", "must", "power_is", "duty", "power_factor", "starting_factor", "starting_power", "starting_time", "note")
STANDING = ("rating", "voltage", "capacity", "area", "fuse", "energy", "lowest")
"""What the plan has settled on, shown on top at every step."""

LONG = ("notes", "baseline.settings")
"""Texts that may have several lines."""

PAPERS = {"recommendation": "Recommendation", "hand-over": "Hand-over card", "baseline": "Baseline card"}

NOTES = sections.Words("notes", "The shop's own notes")


def page(run, step, examples):
    """The worksheet as it stands in the page.

    Parameters
    ----------
    run : Run
        The plan it starts with, computed.
    step : str
        Id of the step that is open.
    examples : dict
        Name of an invented plan to its text.

    Returns
    -------
    Markup
        One section.
    """
    offered = Markup("").join(Markup('<button type="button" data-action="example" data-text="{}">{}</button>').format(text, name) for name, text in examples.items())
    here = slots(run, step)
    return Markup(
        '<section class="calculator worksheet" id="worksheet" data-step="{step}" data-text="{text}" aria-label="The plan" data-search-exclude>'
        '<div class="plan-bar"><div class="field"><label for="plan-choice">Plan</label><select id="plan-choice"><option>{title}</option></select></div>'
        '<p class="saved" data-part="saved" role="status">An invented example. What you change is saved on this device.</p>'
        '<p class="actions"><button type="button" data-action="undo" disabled>Undo</button>'
        '<button type="button" data-action="new">New plan</button></p>'
        '<details class="more" id="plan-more"><summary>Examples, files and links</summary>'
        '<p class="hint">Start from an invented example; it becomes a plan of your own:</p><p class="actions">{offered}</p>'
        '<p class="hint">A file or a link carries the whole plan. Nothing is sent anywhere: the link holds the plan behind its #.</p>'
        '<p class="actions"><button type="button" data-action="export">Save as a file</button>'
        '<label class="file">Read a file <input type="file" accept=".json,application/json" data-action="import"></label>'
        '<button type="button" data-action="link">Copy a link</button>'
        '<button type="button" data-action="delete">Remove this plan</button></p></details></div>'
        '<div class="notice" data-part="notice" role="alert"></div>'
        '<div data-slot="standing">{standing}</div>'
        '<div data-slot="stops">{stops}</div>'
        '<nav aria-label="Steps of the plan" data-slot="nav">{nav}</nav>'
        '<h2 tabindex="-1" data-slot="title">{title_of_step}</h2>'
        '<div class="answers" data-slot="answers">{answers}</div>'
        '<form novalidate autocomplete="off" data-part="form">{form}</form>'
        '<p class="live" data-live role="status">The answers shown are for the example.</p>'
        '<div class="turns"><div class="changes" data-slot="changes" role="status"></div><div class="turn" data-slot="turns">{turns}</div></div>'
        "</section>"
    ).format(step=step, text=document.to_text(run.plan), title=name_of(run.plan), offered=offered, standing=here["standing"], stops=here["stops"], nav=here["nav"], title_of_step=here["title"],
             answers=here["answers"], form=form(run, step), turns=here["turns"])  # fmt: skip


def units(catalogue):
    """The shop's own catalogue against the plan; empty until Python answers.

    Parameters
    ----------
    catalogue : str
        CSV of the invented catalogue.

    Returns
    -------
    Markup
        One section.
    """
    orders = Markup("").join(Markup('<option value="{}">{}</option>').format(key, label) for key, label in shortlist.RANKINGS.items())
    return Markup(
        '<section class="calculator worksheet" id="plan-units" aria-label="Units against the plan" data-search-exclude>'
        '<p class="actions"><label class="file">Read a catalogue <input type="file" accept=".csv,text/csv" data-action="catalogue"></label>'
        '<button type="button" data-action="demo" data-text="{catalogue}">Try the invented one</button></p>'
        '<div class="field"><label for="plan-order">Best first</label><select id="plan-order">{orders}</select></div>'
        '<div data-part="screening" hidden><progress id="plan-progress" max="1" value="0" aria-label="Units computed"></progress></div>'
        '<p class="live" data-part="screened" role="status">Each unit is run through the days of the plan above.</p>'
        '<div data-part="units"></div><ul data-part="rows"></ul></section>'
    ).format(catalogue=catalogue, orders=orders)


def papers():
    """Where the papers are asked for and shown.

    Returns
    -------
    Markup
        One section.
    """
    offered = Markup("").join(Markup('<button type="button" data-action="paper" data-paper="{}">{}</button>').format(id, title) for id, title in PAPERS.items())
    return Markup(
        '<section class="calculator worksheet" id="plan-papers" aria-label="The papers" data-search-exclude><p class="actions">{}</p>'
        '<p class="live" data-part="printed" role="status">Written from the plan above, anew at every press.</p><div data-part="paper"></div>'
        '<p class="actions" data-part="paper-actions" hidden><button type="button" data-action="print">Print it</button>'
        '<button type="button" data-action="paper-file">Save it as a text</button></p></section>'
    ).format(offered)


def road():
    """The two forms a call starts from, filled from the plan.

    Returns
    -------
    Markup
        One section.
    """
    return Markup(
        '<section class="calculator worksheet" id="plan-road" aria-label="The call from the road" data-search-exclude>'
        '<p class="actions"><button type="button" data-action="road" data-form="measure">Today’s readings against the baseline card</button>'
        '<button type="button" data-action="road" data-form="tonight">Can this run tonight, on this battery?</button></p></section>'
    )


def name_of(plan):
    """What a plan is called.

    Parameters
    ----------
    plan : dict
        A plan.

    Returns
    -------
    str
        Its name, or words for one without.
    """
    return plan["who"].get("title", "").strip() or "A plan without a name"


def slots(run, step, changes=None):
    """The pieces of the page that change with the plan.

    Parameters
    ----------
    run : Run
        The plan, computed.
    step : str
        Id of the step that is open.
    changes : Changes or None
        What the last change brought.

    Returns
    -------
    dict of Markup
        Slot name to HTML.
    """
    here = _step(step)
    found = {
        "standing": _standing(run),
        "stops": _stops(run),
        "nav": _nav(run, step),
        "title": Markup("{} {}").format(STEPS.index(here) + 1, here.title),
        "answers": Markup("").join(_part(run, name) for name in here.parts) + (_shed(run) if "bad-week" in here.parts else ""),
        "turns": _turns(step),
    }
    if changes is not None:
        found["changes"] = _changes(changes)
    for path, _ in _fields(run, step):
        found[f"note-{path}"] = _note(run, path)
    for problem in run.problems:
        found[f"error-{_control(run, problem.field)}"] = Markup("{}").format(capitalised(problem.text))
    return found


def invalid(run):
    """Names of the controls whose text cannot be used.

    Parameters
    ----------
    run : Run
        The plan, computed.

    Returns
    -------
    list of str
        Paths as the controls are named.
    """
    return [_control(run, problem.field) for problem in run.problems]


def _control(run, path):
    """A place in the document as the name of its control: loads go by their id."""
    if not path.startswith("loads["):
        return path
    place, _, column = path.removeprefix("loads[").partition("].")
    return f"loads.{run.plan['loads'][int(place)]['id']}.{column}"


def _step(id):
    return next(step for step in STEPS if step.id == id)


def _fields(run, step):
    """Every field of a step but those of the loads: (path, declaration)."""
    first, rest = FIELDS_OF_STEP[step]
    for path in (*first, *rest):
        yield path, _declared(path)
    for part in _step(step).parts:
        for name in FILL[part]:
            if _from_before(run, part, name):
                yield f"overrides.{part}.{name}", _field_of(part, name)


def _declared(path):
    section, _, name = path.rpartition(".")
    if path == "notes":
        return NOTES
    return sections.REGION if path == "region" else sections.field_at(section, name)


def _field_of(part, name):
    return next(one for one in CALCULATORS[PARTS[part]].fields if one.name == name)


def _from_before(run, part, name):
    """Whether a step before hands this value over, or the reader took it in hand; lists of loads are not typed over."""
    origin = run.part(part).origin(name)
    if origin is None or name in ("loads", "loads_dc", "strings_least"):
        return False
    return origin.kind == "override" or origin.kind == "step" and not any(isinstance(place, Own) for place in FILL[part][name])


def _standing(run):
    """What the plan has settled on."""
    settled = [chosen for name in STANDING if (chosen := run.choices.get(name))]
    if not settled:
        return Markup('<p class="hint">Nothing is settled yet: add what must run.</p>')
    return Markup('<dl class="numbers">{}</dl><details id="plan-why"><summary>Why these</summary><ul>{}</ul></details>').format(
        Markup("").join(Markup("<div><dt>{}</dt><dd>{}</dd></div>").format(one.label, _settled(one)) for one in settled),
        Markup("").join(Markup("<li><strong>{} {}</strong>: {}</li>").format(one.label, _settled(one), one.reason) for one in settled if one.reason),
    )


def _settled(chosen):
    """A size as it is sold; anything computed to three figures."""
    return words.quantity(chosen.value, chosen.unit) if chosen.name in ("energy", "lowest") else chosen.words


def _stops(run):
    """Every stop of the plan behind one line, whichever step is open, and what concerns the plan as a whole."""
    found = {}
    for part in run.parts.values():
        for one in part.result.findings if part.result else ():
            if one.level == "stop":
                found.setdefault((one.code, one.text), (_step_of(part.name), one))
    own = html.findings(run.findings)
    if not found:
        return own
    count = "One line" if len(found) == 1 else f"{len(found)} lines"
    lines = Markup("").join(Markup("<li><strong>{}</strong>: {}</li>").format(step.title, one.text) for step, one in found.values())
    return Markup('<details class="stop-lines" id="plan-stops"><summary>Stop: {} of this plan must be settled first</summary><ul>{}</ul></details>{}').format(count, lines, own)


def _step_of(part):
    return next(step for step in STEPS if part in step.parts)


def _nav(run, step):
    items = Markup("").join(
        Markup('<li><button type="button" data-action="step" data-step="{}"{}>{}<span class="state">{}</span></button></li>').format(
            one.id, Markup(' aria-current="step"') if one.id == step else "", one.title, _state(run, one)
        )
        for one in STEPS
    )
    return Markup('<details class="steps" id="plan-steps"><summary>Step {} of {}: go to another</summary><ol>{}</ol></details>').format(STEPS.index(_step(step)) + 1, len(STEPS), items)


def _state(run, step):
    """Where a step stands, in a word or two."""
    parts = [run.part(name) for name in step.parts]
    levels = {one.level for part in parts if part.result for one in part.result.findings}
    if any(part.problems for part in parts):
        return "has an entry that cannot be used"
    if all(part.needs for part in parts if not part.idle) and not all(part.idle for part in parts):
        return "waits"
    return "stop" if "stop" in levels else "caution" if "caution" in levels else "answered"


def _part(run, name):
    part = run.part(name)
    if part.idle:
        inner = Markup('<p class="hint">{}</p>').format(part.idle)
    elif part.result is None:
        lacks = [*(problem.text for problem in part.problems), *part.needs]
        inner = Markup('<p class="sentence">No answer yet.</p><ul>{}</ul>').format(Markup("").join(Markup("<li>{}</li>").format(_plain(text)) for text in lacks))
    else:
        result, id = part.result, f"{PREFIX}-{name}"
        inner = Markup('{}<p class="sentence">{}</p>{}{}{}<details id="{}-fold"><summary>Working, ranges and sources</summary>{}</details>').format(
            html.stops(result), result.answer, html.numbers(result), html.findings(result.findings, ("caution", "note")), html.figures(result, id), id, html.folds(result, id)
        )
    return Markup('<section class="part" data-plan-part="{}"><h3>{}</h3>{}</section>').format(name, TITLES[name], inner)


def _shed(run):
    """What to switch off in a bad week, until it holds."""
    order = shed.order(run)
    if not order:
        return Markup("")
    rows = Markup("").join(
        Markup('<tr><th scope="row">{}</th><td>{}</td><td>{}</td><td>{}</td></tr>').format(
            one.name, words.quantity(one.energy_per_day, "Wh", 2), words.quantity(one.charge_lowest, "%", 2), words.quantity(one.energy_unmet, "Wh", 2)
        )
        for one in order
    )
    return Markup(
        '<section class="part"><h3>What to switch off in a bad week, in this order</h3><div class="scroll"><table><thead><tr><th scope="col">Off</th>'
        '<th scope="col">Saves a day</th><th scope="col">Battery then at its lowest</th><th scope="col">Then not met</th></tr></thead><tbody>{}</tbody></table></div></section>'
    ).format(rows)


def _plain(text):
    """A need in the worksheet's own words: entries by their labels, not by their paths."""
    text = _PATH_FIRST.sub("", text)
    found = _PATH_LAST.search(text)
    if found:
        path = found[1]
        step = next(one for one in STEPS if path in (*FIELDS_OF_STEP[one.id][0], *FIELDS_OF_STEP[one.id][1]))
        text = f"{text[:found.start()]}enter “{_declared(path).label}” under “{step.title}”"
    return text[:1].upper() + text[1:]


_PATH_FIRST = re.compile(r"^[a-z_]+(\.[a-z_]+)?: ")
_PATH_LAST = re.compile(r"enter ([a-z]+\.[a-z_]+)$")


def _turns(step):
    place = [one.id for one in STEPS].index(step)
    before, after = STEPS[place - 1] if place else None, STEPS[place + 1] if place + 1 < len(STEPS) else None
    return Markup("{}{}").format(
        Markup('<button type="button" data-action="step" data-step="{}">Back</button>').format(before.id) if before else "",
        Markup('<button type="button" data-action="step" data-step="{}">Next: {}</button>').format(after.id, after.title)
        if after
        else Markup('<button type="button" data-action="papers">To the papers</button>'),
    )


def _changes(changes):
    """What the last edit changed, in one line; behind it, why."""
    edits = "; ".join(_edit(one) for one in changes.edits)
    if not edits:
        return Markup("")
    lines = [Markup("<li>{}</li>").format(one.words) for one in changes.changes]
    lines += [Markup("<li><strong>{}</strong>: {}</li>").format(words.LEVEL_WORDS[one.level], one.text) for _, one in changes.raised]
    lines += [Markup("<li>Settled: {}</li>").format(one.text) for _, one in changes.settled]
    if not lines:
        return Markup("<p>{}: nothing else changes.</p>").format(edits)
    first = changes.changes[0].bare if changes.changes else "the cautions"
    more = f" and {len(lines) - 1} more" if len(lines) > 1 else ""
    return Markup('<details id="plan-changes"><summary>Changed: {}{}. Why?</summary><p>After {}:</p><ul>{}</ul></details>').format(first, more, edits, Markup("").join(lines))


def _edit(one):
    if not one.before:
        return f"{one.label}: {one.after}"
    return f"{one.label}: {one.before} → {one.after or 'left open'}"


def form(run, step):
    """The fields of one step.

    Parameters
    ----------
    run : Run
        The plan, computed.
    step : str
        Id of the step.

    Returns
    -------
    Markup
        What stands inside the form.
    """
    first, rest = FIELDS_OF_STEP[step]
    loads = _loads(run) if step == "loads" else Markup("")
    return Markup('<div class="fields">{}</div>{}<details class="more" id="plan-{}-more"><summary>More about this step</summary><div class="fields">{}</div></details>{}').format(
        _block(run, first), loads, step, _block(run, rest), _overrides(run, step)
    )


def _block(run, paths):
    return Markup("").join(_field(run, path, _declared(path)) for path in paths)


def _field(run, path, one):
    if path in LONG:
        return Markup(
            '<div class="field long"><label for="{0}-{1}">{2}</label><p class="error" id="{0}-{1}-error" data-slot="error-{1}"></p>'
            '<textarea id="{0}-{1}" name="{1}" rows="4" aria-describedby="{0}-{1}-error">{3}</textarea></div>'
        ).format(PREFIX, path, one.label, _text(run.plan, path))
    note = Markup('<p class="stands-in" data-slot="note-{}">{}</p>').format(path, _note(run, path))
    return html.field(one, path, _text(run.plan, path), PREFIX, below=note)


def _text(plan, path):
    section, _, name = path.rpartition(".")
    if not section:
        return plan[name] or (sections.REGION.default if name == "region" else "")
    if section.startswith("overrides."):
        return plan["overrides"].get(section.removeprefix("overrides."), {}).get(name, "")
    return plan[section].get(name, "")


@cache
def _goes_to():
    """For every entry of the plan, the parts and fields it goes to."""
    found = {}
    for part, places in FILL.items():
        for name, sources in places.items():
            for one in sources:
                if isinstance(one, Own):
                    found.setdefault(f"{one.section}.{one.name}", []).append((part, name))
    return found


def _note(run, path):
    """What stands where nothing is typed, and where it comes from."""
    if path.startswith("overrides."):
        _, part, name = path.split(".")
        return _taken(run.part(part), name) if not _text(run.plan, path) else Markup("")
    if _text(run.plan, path).strip():
        return Markup("")
    for part, name in _goes_to().get(path, ()):
        if taken := _taken(run.parts[part], name):
            return taken
    if path == "inverter.rating" and "rating" in run.choices:
        return Markup("Taken: {}, {}").format(run.choices["rating"].words, run.choices["rating"].reason)
    return Markup("")


def _taken(part, name):
    if part.result is None:
        return Markup("")
    given = part.result.input(name)
    if given.value is None or not given.used:
        return Markup("")
    origin = part.origin(name)
    source = f"from “{TITLES[origin.place]}”" if origin and origin.place in TITLES else "from the steps before" if origin else "assumed"
    return Markup("Taken: {}, {}").format(words.input_likely(given), source)


def _overrides(run, step):
    """What the steps before handed over, each of which can be typed over."""
    found = [(path, one) for path, one in _fields(run, step) if path.startswith("overrides.")]
    if not found:
        return Markup("")
    inner = Markup("").join(_field(run, path, one) for path, one in found)
    return Markup(
        '<details class="more" id="plan-{}-over"><summary>What other steps filled in</summary>'
        '<p class="hint">Leave these open to follow the other steps. What you type here stays, whatever changes there.</p><div class="fields">{}</div></details>'
    ).format(step, inner)


def _loads(run):
    rows = Markup("").join(_load(run, load) for load in run.plan["loads"])
    return Markup(
        '<fieldset class="rows"><legend>What must run</legend><p class="hint">The watts that go in, not what comes out.</p>'
        '<p class="error" data-slot="error-loads"></p>{rows}'
        '<div class="field add"><label for="plan-add">Add a load</label><select id="plan-add" data-action="appliance">{options}</select>'
        '<button type="button" data-action="add">Add it</button></div></fieldset>'
    ).format(rows=rows, options=_appliances())


@cache
def _appliances():
    """The appliance table as a choice, by kind."""
    kinds = {}
    for key, row in appliances.table().items():
        kinds.setdefault(row["kind"], []).append((row["name"], key))
    groups = Markup("").join(
        Markup('<optgroup label="{}">{}</optgroup>').format(kind.capitalize(), Markup("").join(Markup('<option value="{}">{}</option>').format(key, name) for name, key in sorted(names)))
        for kind, names in kinds.items()
    )
    return Markup('<option value="">something else</option>') + groups


def _load(run, load):
    id, name = load["id"], load.get("name", "") or "this load"

    def fields(names):
        return Markup("").join(html.field(_column(each), f"loads.{id}.{each}", load.get(each) or _column(each).default or "", PREFIX) for each in names)

    others = [(one["id"], one.get("name", one["id"])) for one in run.plan["loads"] if one["id"] != id and one.get("supply", "ac") == "ac"]
    apart = [one for one in run.plan["loads"] if load.get("group") and one is not load and one.get("group") == load["group"]]
    chosen = apart[0]["id"] if apart else ""
    options = Markup('<option value="">may run together with all</option>') + Markup("").join(
        Markup('<option value="{}"{}>{}</option>').format(key, Markup(" selected") if key == chosen else "", words) for key, words in others
    )
    never = Markup(
        '<div class="field"><label for="plan-apart-{id}">Never together with</label><p class="hint">{who}</p><select id="plan-apart-{id}" data-action="apart" data-load="{id}">{options}</select></div>'
    ).format(id=id, options=options, who=f"Either this or {' or '.join(one.get('name', one['id']) for one in apart)}." if apart else "One or the other, by turns.")
    return Markup(
        '<div class="row" data-load="{id}"><div class="fields">{open}</div>'
        '<details class="more" id="plan-{id}-more"><summary>More about {name}</summary><div class="fields">{never}{more}</div>'
        '<p class="actions"><button type="button" data-action="up" data-load="{id}">Move up</button><button type="button" data-action="down" data-load="{id}">Move down</button>'
        '<button type="button" data-action="remove" data-load="{id}">Remove {name}</button></p></details></div>'
    ).format(id=id, name=name, open=fields(ROW_OPEN), more=fields(ROW_MORE), never=never if load.get("supply", "ac") == "ac" else "")


@cache
def _column(name):
    one = next(one for one in sections.LOAD_FIELDS if one.name == name)
    return replace(one, offers=None) if name == "name" else one  # the table is offered once, under the list


def columns():
    """What a catalogue's columns are, for the page that says how to write one.

    Returns
    -------
    Markup
        A table.
    """
    rows = Markup("").join(
        Markup('<tr><th scope="row"><code>{}</code></th><td>{}{}</td><td>{}</td><td>{}</td></tr>').format(
            one.name, one.label, _unit_of(one), "yes" if one.required else "no", one.example
        )
        for one in catalogue.COLUMNS
    )
    return Markup(
        '<div class="scroll"><table><thead><tr><th scope="col">Column</th><th scope="col">What it holds</th><th scope="col">Needed</th>'
        '<th scope="col">Example</th></tr></thead><tbody>{}</tbody></table></div>'
    ).format(rows)


def _unit_of(column):
    return f", in {column.field.unit}" if getattr(column.field, "unit", "") else ""
