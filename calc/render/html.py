"""Forms and Results as HTML: the build writes them into the page, the page renews them live.

calculator   a whole calculator: answer, form, result
slots        the pieces of one answer, for a page that is already there
example      a worked example without a form
data_table   a published table
bibliography every source
questions    every calculator with a link
"""

import re

from calc.render.markup import Markup

from calc.calculators.form import ASSUMED, UNKNOWN, Choice, Field, Rows
from calc.calculators.recharge import PLACES
from calc.render import formula, svg, words
from calc.result import LEVELS
from calc.sources import SOURCES
from calc.units import unit_sign

_STANDING = "Estimates with stated ranges; not an installation instruction. Local law and a licensed person decide."


def calculator(calculator, result, typed, id):
    """A calculator as it stands in the page, complete before any script runs.

    Parameters
    ----------
    calculator : Calculator
        The question.
    result : Result
        Its answer to `typed`.
    typed : dict of str
        Texts the form starts with.
    id : str
        Prefix that keeps ids apart on a page.

    Returns
    -------
    Markup
        One section.
    """
    unused = overruled(result, typed)
    # A form that tells a case keeps the region it is told in.
    follows = typed == calculator.shown()
    fields = {one.more: Markup("") for one in calculator.fields}
    for one in calculator.fields:
        if isinstance(one, Rows):
            fields[one.more] += _rows(one, typed.get(one.name, ()), id, _blanks(result))
        else:
            fields[one.more] += field(one, one.name, typed.get(one.name, ""), id, one.name in unused, follows)
    return Markup(
        '<section class="calculator" id="{id}" data-calculator="{calculator}" aria-label="{title}" data-search-exclude>'
        '<div data-slot="stops">{stops}</div>'
        '<div class="answer" data-slot="answer" role="status">{answer}</div>'
        '<div class="numbers-slot" data-slot="numbers">{numbers}</div>'
        '<form novalidate autocomplete="off">'
        '<div class="fields">{first}</div>'
        '<details class="more" id="{id}-more"><summary>More about your system</summary><div class="fields">{rest}</div></details>'
        '<div class="error-summary" data-slot="errors"></div>'
        '<p class="actions"><button type="reset">Back to the example</button>'
        '<button type="button" data-action="copy-address">Copy the address of this answer</button></p>'
        '<p class="live" data-live role="status">The answer shown is for the values in the form.</p>'
        "</form>"
        '<div class="result" data-slot="result">{result}</div>'
        "</section>"
    ).format(id=id, calculator=calculator.id, title=calculator.title, stops=stops(result), answer=answer(result), numbers=numbers(result), first=fields[False], rest=fields[True], result=details(result, id))


def overruled(result, typed):
    """Names of fields that hold a text but stepped back, because another field says the same.

    Parameters
    ----------
    result : Result
        One answered question.
    typed : dict of str
        Texts in the form.

    Returns
    -------
    list of str
        Field names.
    """
    return [given.name for given in result.inputs if given.how == "blank" and str(typed.get(given.name, "")).strip()]


def slots(result, id):
    """The pieces of an answer that change with the inputs.

    Parameters
    ----------
    result : Result
        One answered question.
    id : str
        Prefix of the calculator on the page.

    Returns
    -------
    dict of str
        Slot name to HTML.
    """
    return {
        "stops": str(stops(result)),
        "answer": str(answer(result)),
        "numbers": str(numbers(result)),
        "result": str(details(result, id)),
        **{f"blanks-{row}": str(Markup("{}").format(words)) for row, words in _blanks(result).items()},
    }


def _blanks(result):
    """What the blank cells of each row stand for: name of the row, such as "loads.0", to words."""
    assumed = {given.name.removesuffix(f".{ASSUMED}"): given.value for given in result.inputs if given.name.endswith(f".{ASSUMED}")}
    return {given.name: f"Left blank: {assumed[given.name]}." if given.name in assumed else "" for given in result.inputs if given.name.count(".") == 1}


def error_slots(calculator, problems, id):
    """The pieces that say what cannot be used, at each field and in a summary.

    Parameters
    ----------
    calculator : Calculator
        The question.
    problems : sequence of FieldProblem
        Everything that is wrong.
    id : str
        Prefix of the calculator on the page.

    Returns
    -------
    dict of str
        Slot name to HTML.
    """
    lines = Markup("").join(
        Markup('<li><a href="#{}-{}" data-field="{}">{}</a>: {}</li>').format(id, problem.field, problem.field, label, problem.text)
        if (label := _label(calculator, problem.field))
        else Markup("<li>{}: {}</li>").format(problem.field, problem.text)
        for problem in problems
    )
    count = "One entry" if len(problems) == 1 else f"{len(problems)} entries"
    found = {"stops": "", "errors": str(Markup("<p><strong>{} cannot be used</strong></p><ul>{}</ul>").format(count, lines))}
    found["answer"] = str(Markup('<p class="sentence">No answer yet: {} in the form cannot be used.</p>').format(count.lower()))
    for problem in reversed(problems):
        found[f"error-{problem.field}"] = str(Markup("{}").format(_sentence(problem.text)))
    return found


def _label(calculator, name):
    """Words for a field, or for a field of a row; "" for a name that is neither."""
    first, *rest = name.split(".")
    one = next((one for one in calculator.fields if one.name == first), None)
    if one is None or not rest:
        return one.label if one else ""
    column = next((column for column in one.columns if column.name == rest[-1]), None) if isinstance(one, Rows) else None
    return f"{one.one.capitalize()} {int(rest[0]) + 1}, {column.label}" if column and rest[0].isdigit() else ""


def _sentence(text):
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "?")) else ".")


def _rows(rows, typed, id, blanks):
    """A list of like things: rows, a template for one more, and the buttons for both."""
    written = Markup("").join(_row(rows, str(index), row, id, blanks.get(f"{rows.name}.{index}", "")) for index, row in enumerate(typed))
    return Markup(
        '<fieldset class="rows" data-rows="{name}"><legend>{label}</legend>{hint}<p class="error" data-slot="error-{name}"></p>'
        '<div data-rows-list>{written}</div><template>{template}</template>'
        '<button type="button" data-action="add-row">Add a {one}</button></fieldset>'
    ).format(
        name=rows.name, label=rows.label, hint=Markup('<p class="hint">{}</p>').format(rows.hint) if rows.hint else "",
        written=written, template=_row(rows, "ROW", {}, id, ""), one=rows.one,
    )  # fmt: skip


def _row(rows, index, typed, id, blanks):
    fields = {one.more: Markup("") for one in rows.columns}
    for one in rows.columns:
        text = typed.get(one.name, "" if one.name in rows.feeds else one.default or "")
        fields[one.more] += field(one, f"{rows.name}.{index}.{one.name}", str(text), id, False)
    remove = Markup('<button type="button" data-action="remove-row">Remove this {}</button>').format(rows.one)
    rest = remove
    if fields.get(True):
        rest = Markup('<details class="more" id="{}-{}.{}-more"><summary>More about this {}</summary><div class="fields">{}</div>{}</details>').format(
            id, rows.name, index, rows.one, fields[True], remove
        )
    return Markup('<div class="row" data-row="{index}"><div class="fields">{first}</div><p class="hint" data-slot="blanks-{name}.{index}">{blanks}</p>{rest}</div>').format(
        index=index, first=fields[False], name=rows.name, blanks=blanks, rest=rest
    )


def field(one, name, text, id, unused=False, follows=False, below=Markup("")):
    """One field of a form: label, hint, place for an error, control, and what stands below it.

    Parameters
    ----------
    one : Field or Choice
        The declaration.
    name : str
        Name of the control, under which its text is sent.
    text : str
        What it starts with.
    id : str
        Prefix that keeps ids apart on a page.
    unused : bool
        Whether another field overrules it.
    follows : bool
        Whether a choice made for all forms may set it.
    below : Markup
        Put under the control.

    Returns
    -------
    Markup
        One block.
    """
    label = f"{one.label} ({unit_sign(one.unit)})" if one.unit else one.label
    here = f"{id}-{name}"
    control = _select(one, name, text, here, follows) if isinstance(one, Choice) else _input(one, name, text, here)
    if isinstance(one, Field) and one.offers:
        control += _offers(one, name)
    return Markup(
        '<div class="field"{unused}><label for="{here}">{label}</label>{hint}'
        '<p class="error" id="{here}-error" data-slot="error-{name}"></p>{control}{below}</div>'
    ).format(here=here, label=label, name=name, control=control, below=below, unused=Markup(" data-unused") if unused else "",
             hint=Markup('<p class="hint" id="{}-hint">{}</p>').format(here, one.hint) if one.hint else "")  # fmt: skip


def _described(one, here):
    return f"{here}-hint {here}-error" if one.hint else f"{here}-error"


def _input(one, name, text, here):
    unknown = text == UNKNOWN
    box = Markup("")
    if one.unknown is not None:
        box = Markup('<label class="unknown"><input type="checkbox" name="{}.unknown"{}> I don’t know</label>').format(
            name, Markup(" checked") if unknown else ""
        )
    # A field that reads its own kind of text, a list say, needs all the keys.
    own_text = type(one).read is not Field.read
    mode = "decimal" if not own_text and (one.unit != "" or one.name in ("ripple", "power_factor")) else "text"
    return Markup('<input id="{}" name="{}" type="text" inputmode="{}" value="{}" aria-describedby="{}">{}').format(
        here, name, mode, "" if unknown else text, _described(one, here), box
    )


def _offers(one, name):
    """Names to choose from beside a field for one: the name chosen is put into the field."""
    options = Markup("").join(
        Markup('<optgroup label="{}">{}</optgroup>').format(group, Markup("").join(Markup("<option>{}</option>").format(each) for each in names))
        for group, names in one.offers().items()
    )
    return Markup('<select class="offers" data-into="{}" aria-label="{} from the list"><option value="">or choose…</option>{}</select>').format(name, one.label, options)


def _select(one, name, text, here, follows):
    options = Markup("").join(
        Markup('<option value="{}"{}>{}</option>').format(value, Markup(" selected") if value == text else "", label)
        for value, label in one.choices.items()
    )
    if one.default and not text:
        options = Markup('<option value="">as usual for it</option>') + options
    if one.default is None or one.default == "" and "" not in one.choices:
        options = Markup('<option value="">{}</option>').format("choose…" if one.default is None else "left open") + options
    keep = Markup(" data-keep") if one.kept and follows else ""
    return Markup('<select id="{}" name="{}" aria-describedby="{}"{}>{}</select>').format(here, name, _described(one, here), keep, options)


def stops(result):
    """What must stop the reader, before any number.

    Parameters
    ----------
    result : Result
        One answered question.

    Returns
    -------
    Markup
        Findings of level stop; empty where there is none.
    """
    return Markup("").join(_finding(one) for one in result.findings if one.level == "stop")


def answer(result):
    """The sentence to say over the phone.

    Parameters
    ----------
    result : Result
        One answered question.

    Returns
    -------
    Markup
        A paragraph.
    """
    return Markup('<p class="sentence">{}</p>').format(result.answer)


def numbers(result):
    """The main numbers, likely value and range.

    Parameters
    ----------
    result : Result
        One answered question.

    Returns
    -------
    Markup
        A list of terms and values.
    """
    main = [output for output in result.outputs if output.main and output.value is not None and not isinstance(output.value, str)]
    return Markup('<dl class="numbers">{}</dl>').format(Markup("").join(_number(output) for output in main))


def _number(output):
    span = words.output_range(output)
    return Markup("<div><dt>{}</dt><dd>{}{}</dd></div>").format(
        output.label, words.output_value(output), Markup(' <span class="range">{}</span>').format(span) if span else ""
    )


def details(result, id):
    """Everything below the form: findings, picture, ranges, working, inputs, sources.

    Parameters
    ----------
    result : Result
        One answered question.
    id : str
        Prefix that keeps ids apart on a page.

    Returns
    -------
    Markup
        The pieces in reading order.
    """
    return Markup("").join([findings(result.findings, LEVELS[1:]), figures(result, id), folds(result, id)])


def findings(found, levels=LEVELS):
    """Findings of some levels, gravest first.

    Parameters
    ----------
    found : iterable of Finding
        What the reader must know.
    levels : tuple of str
        Those that are wanted.

    Returns
    -------
    Markup
        One block.
    """
    return Markup('<div class="findings">{}</div>').format(Markup("").join(_finding(one) for level in levels for one in found if one.level == level))


def folds(result, id):
    """What was assumed, and behind folds the ranges, the working, the inputs and the sources.

    Parameters
    ----------
    result : Result
        One answered question.
    id : str
        Prefix that keeps ids apart on a page.

    Returns
    -------
    Markup
        The pieces in reading order.
    """
    return Markup("").join(
        [
            _assumed(result),
            _more(id, "ranges", "Every number, its range and what moves it most", _ranges(result)),
            _more(id, "working", "The working, line by line", working(result.working)),
            _more(id, "inputs", "The inputs as understood", _inputs(result)),
            _more(id, "sources", "Sources", _sources(result)),
            Markup('<p class="standing">{}</p>').format(_STANDING),
        ]
    )


def figures(result, id):
    """The pictures, each with its data as a table.

    Parameters
    ----------
    result : Result
        One answered question.
    id : str
        Prefix that keeps ids apart on a page.

    Returns
    -------
    Markup
        A `figure` element for each.
    """
    return Markup("").join(_figure(picture, f"{id}-figure-{number}") for number, picture in enumerate(result.figures, 1))


def _figure(picture, id):
    return Markup('<figure class="drawing" data-search-exclude>{}<figcaption>{}</figcaption>{}</figure>').format(
        svg.draw(picture, id), picture.title, _more(id, "data", "The figure’s data", svg.table(picture))
    )


def _more(id, name, title, inner):
    return Markup('<details id="{}-{}"><summary>{}</summary>{}</details>').format(id, name, title, Markup('<div class="scroll">{}</div>').format(inner))


def _finding(one):
    return Markup('<div class="finding {}" data-finding="{}"><p><strong>{}.</strong> {}</p></div>').format(
        one.level, one.code, words.LEVEL_WORDS[one.level], one.text
    )


def _assumed(result):
    """What was taken for granted, in plain view."""
    lines = [
        Markup("<li>{}: {}{}</li>").format(given.label, words.input_value(given), f" ({given.basis})" if given.basis and given.how == "unknown" else "")
        for given in result.inputs
        if given.how in ("default", "unknown") and words.counts(given)
    ]
    if not lines:
        return Markup("")
    return Markup('<div class="assumed"><p><strong>Taken for granted</strong></p><ul>{}</ul></div>').format(Markup("").join(lines))


def _ranges(result):
    rows = Markup("").join(
        Markup('<tr><th scope="row">{}</th><td>{}</td><td>{}</td><td>{}</td></tr>').format(
            output.label, words.output_value(output), words.output_range(output), output.mover if words.output_range(output) else ""
        )
        for output in result.outputs
        if not (output.quiet and output.value is None)
    )
    return Markup(
        '<table><thead><tr><th scope="col">Answer</th><th scope="col">Likely</th><th scope="col">Low to high</th>'
        '<th scope="col">Moved most by</th></tr></thead><tbody>{}</tbody></table>'
    ).format(rows)


def working(steps):
    """Lines of working, each as a formula, with its numbers, and its value.

    Parameters
    ----------
    steps : iterable of Step
        In order.

    Returns
    -------
    Markup
        A list.
    """
    return Markup('<ol class="working">{}</ol>').format(Markup("").join(map(_step, steps)))


def _step(step):
    source = SOURCES[step.source]
    clause = f", {step.clause}" if step.clause else ""
    return Markup(
        '<li><span class="step-label">{}</span>{}<span class="step-numbers">= {}</span>'
        '<span class="step-value">= <strong>{}</strong></span><span class="step-source">{}{}</span></li>'
    ).format(step.label, formula.to_mathml(step.symbol, step.formula), formula.substituted(step), formula.number(step.value, step.unit), source.title, clause)


def _inputs(result):
    rows = Markup("").join(
        Markup('<tr><th scope="row">{}</th><td>{}</td><td>{}</td></tr>').format(
            given.label, words.input_value(given), "; ".join(part for part in (words.HOW_WORDS[given.how], given.basis) if part)
        )
        for given in result.inputs
        if words.counts(given)
    )
    return Markup(
        '<table><thead><tr><th scope="col">Input</th><th scope="col">Value and range</th><th scope="col">How known</th></tr></thead>'
        "<tbody>{}</tbody></table>"
    ).format(rows)


def _sources(result):
    return Markup("<ul>{}</ul>").format(Markup("").join(Markup("<li>{}</li>").format(words.source_line(one)) for one in result.sources))


def example(result, id):
    """A worked example: answer, findings, picture and working, without a form.

    Parameters
    ----------
    result : Result
        One answered question.
    id : str
        Prefix that keeps ids apart on a page.

    Returns
    -------
    Markup
        One section.
    """
    rest = Markup("").join(_finding(one) for one in result.findings if one.level == "caution")
    return Markup('<section class="example" data-search-exclude>{}{}{}{}{}{}</section>').format(
        stops(result), answer(result), numbers(result), rest, figures(result, id), _more(id, "working", "The working, line by line", working(result.working))
    )


def questions(groups):
    """Every question, by group, with a link to its page beside the page this stands in.

    Parameters
    ----------
    groups : dict
        Name of a group to its calculators.

    Returns
    -------
    Markup
        A heading and a list for each group.
    """
    return Markup("").join(
        Markup("<h2>{}</h2><dl class=\"questions\">{}</dl>").format(
            name,
            Markup("").join(
                Markup('<dt><a href="{}.html">{}</a></dt><dd>{}</dd>').format(one.id, one.title, one.question) for one in calculators
            ),
        )
        for name, calculators in groups.items()
    )


def bibliography(sources):
    """Every source with its edition, kind and how its figures are known.

    Parameters
    ----------
    sources : iterable of Source
        The entries.

    Returns
    -------
    Markup
        A table.
    """
    rows = Markup("").join(
        Markup('<tr><th scope="row">{}</th><td>{}</td><td>{}</td><td>{}</td></tr>').format(one.title, one.edition, one.kind, one.known)
        for one in sources
    )
    return Markup(
        '<div class="scroll"><table><thead><tr><th scope="col">Source</th><th scope="col">Edition</th><th scope="col">Kind</th>'
        '<th scope="col">How known here</th></tr></thead><tbody>{}</tbody></table></div>'
    ).format(rows)


NARROW = 4
"""How many columns a phone shows side by side."""


def data_table(table):
    """A published table with units, sources and how it is known.

    Parameters
    ----------
    table : Table
        From calc.tables.

    Returns
    -------
    Markup
        Table and note.
    """
    head, body = _cards(table) if table.shown else _cells(table)
    kind = " cards" if table.shown else " stacked" if len(table.columns) > NARROW else ""
    used = dict.fromkeys((column.source, column.known) for column in table.columns.values())
    sources = "; ".join(f"{SOURCES[source].title} ({known})" for source, known in used)
    return Markup(
        '<div class="data-table{}"><div class="scroll"><table><caption>{}</caption><thead><tr>{}</tr></thead>{}</table></div>'
        "<p>{}</p><p>Source: {}.</p></div>"
    ).format(kind, table.title, head, body, table.note, sources)


def _headings(labels):
    return Markup(" ").join(Markup('<th scope="col">{}</th>').format(label) for label in labels)


def _cells(table):
    """Headings and rows of a table as it is; the spaces keep the search from taking a row for one word.

    On a phone each row of a wide one is a list, in which each cell tells its column.
    """
    labels = [f"{column.label}, {unit_sign(column.unit)}" if column.unit not in ("text", "-", "count", "AWG") else column.label for column in table.columns.values()]
    if len(labels) <= NARROW:
        cells = [Markup("<td>{}</td>")] * len(labels)
    else:
        cells = [Markup('<td data-label="{}">{{}}</td>').format(label) for label in labels]
    rows = (Markup("<tr>{}</tr> ").format(Markup(" ").join(cell.format(_signed(row[name])) for cell, name in zip(cells, table.columns, strict=True))) for row in table.rows)
    return _headings(labels), Markup("<tbody>{}</tbody>").format(Markup("").join(rows))


def _signed(cell):
    """A cell with a real minus sign before its numbers: "-20" → "−20"."""
    return re.sub(r"(?<!\w)-(?=\d)", "−", str(cell))


def _band(name, columns):
    return Markup('<tr class="group"><th scope="rowgroup" colspan="{}">{}</th></tr>').format(columns, name.capitalize()) if name else ""


def _cards(table):
    """Headings and rows of a wide table, its columns joined into few; on a phone each row is a short paragraph."""
    (_, first, _), *rest = table.shown
    groups = {}
    for row in table.rows:
        if "place" in row:
            row = {**row, "place": PLACES[row["place"]]}
        cells = Markup(" ").join(Markup("<td>{}</td>").format("" if (said := text.format_map(row)) == omit else _signed(said)) for _, text, omit in rest)
        groups.setdefault(row.get(table.group, ""), []).append(Markup('<tr><th scope="row">{}</th> {}</tr> ').format(_signed(first.format_map(row)), cells))
    bodies = (Markup("<tbody>{}{}</tbody>").format(_band(name, len(table.shown)), Markup("").join(rows)) for name, rows in groups.items())
    return _headings(label for label, *_ in table.shown), Markup("").join(bodies)
