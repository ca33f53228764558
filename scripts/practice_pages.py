"""The frames of the pages on which one practises and is tested, and on which a trainer sees results.

What stands in them before any script has run; `docs/assets/js/practice.js` does the rest.
"""

from calc.exercises.catalogue import TOPICS
from calc.exercises.results import NAME_MOST
from calc.exercises.sets import COUNT_MOST, SEED_MOST, order
from calc.exercises.templates import LEVELS
from calc.render import exercises
from calc.render.markup import Markup

LEVEL, COUNT = 1, 10
"""What the form starts with."""
READ_SEED, READ_COUNT = "to read", 6
"""The set that a page without a script shows."""
LEVEL_WORDS = {LEVELS[0]: f"{LEVELS[0]}, the easiest", LEVELS[-1]: f"{LEVELS[-1]}, the hardest"}
MINUTES_MOST = 600

_FIELD = Markup(
    '<div class="field{extra}"><label for="practice-{name}">{label}</label><p class="hint" id="practice-{name}-hint">{hint}</p>'
    '<p class="error" id="practice-{name}-error" data-slot="error-{name}"></p>{control}</div>'
)
_TYPED = Markup('<input id="practice-{name}" name="{name}" type="text"{more} aria-describedby="practice-{name}-hint practice-{name}-error">')


def practice():
    """Where sets are ordered, answered and marked.

    Returns
    -------
    Markup
        The order, the set that is being worked on, what is kept on the device, and a set to read without a script.
    """
    return Markup('<section class="calculator practice" id="practice" aria-label="Practise and test" data-search-exclude>{}{}{}{}</section>').format(
        _order(), _set(), _kept(), _to_read()
    )


def _order():
    level = Markup('<select id="practice-level" name="level" aria-describedby="practice-level-hint practice-level-error">{}</select>').format(
        Markup("").join(Markup('<option value="{}"{}>{}</option>').format(one, Markup(" selected") if one == LEVEL else "", LEVEL_WORDS.get(one, one)) for one in LEVELS)
    )
    fields = (
        _FIELD.format(name="level", label="Level", hint="The same topics, with more to see through.", control=level, extra=""),
        _typed("count", "How many", f"A whole number up to {COUNT_MOST}.", Markup(' inputmode="numeric" value="{}"').format(COUNT)),
        _typed("seed", "Seed", "Any word or number. The same seed gives everyone the same exercises.", Markup(' autocomplete="off" maxlength="{}"').format(SEED_MOST)),
        _typed("minutes", "Minutes", "Leave it empty for a test without a clock.", Markup(' inputmode="numeric" data-most="{}"').format(MINUTES_MOST), " minutes"),
    )
    topics = Markup("").join(
        Markup('<label class="tick" id="topic={}"><input type="checkbox" name="topics" value="{}"> <span>{} {}</span></label>').format(one.id, one.id, one.lesson, one.title) for one in TOPICS.values()
    )
    return Markup(
        '<form class="order" data-part="order" novalidate>'
        '<div class="error-summary" data-part="errors" tabindex="-1"></div>'
        '<fieldset class="ticks"><legend>What is it for?</legend>'
        '<label class="tick"><input type="radio" name="mode" value="practise" checked> <span>To practise: marked at once, with hints</span></label>'
        '<label class="tick"><input type="radio" name="mode" value="test"> <span>A test: marked at the end, without hints</span></label></fieldset>'
        '<details class="more" id="practice-topics"><summary><span>Topics: <span data-part="chosen">all</span></span></summary><fieldset class="ticks topics" aria-describedby="practice-topics-error">'
        '<legend>None ticked means all</legend><p class="error" id="practice-topics-error" data-slot="error-topics"></p>{topics}</fieldset></details>'
        '<div class="fields">{fields}</div>'
        '<p class="actions"><button type="submit" class="main">Make the set</button><button type="button" data-action="fresh">Another seed</button></p>'
        '<p class="live" data-live role="status">Making and marking a set needs scripts, and they are switched off here or have not started yet. '
        "The set below can be read without: its answers stand behind the folds.</p></form>"
    ).format(topics=topics, fields=Markup("").join(fields))  # fmt: skip


def _typed(name, label, hint, more, extra=""):
    return _FIELD.format(name=name, label=label, hint=hint, extra=extra, control=_TYPED.format(name=name, more=more))


def _set():
    return Markup(
        '<div data-part="set" hidden>'
        '<h2 data-part="heading" tabindex="-1"></h2><p class="told" data-part="title"></p>'
        '<p class="blanks only-printed">Name <span class="blank"></span> Date <span class="blank"></span> Marks <span class="blank short"></span> of <span data-part="most"></span></p>'
        '<p class="actions tools"><button type="button" data-action="link">Copy the link</button><button type="button" data-action="print">Print the sheet</button>'
        '<button type="button" data-action="view"></button><button type="button" data-action="choose">Another set</button></p>'
        '<div class="waiting" data-part="waiting"><p data-part="rules"></p><p class="actions"><button type="button" class="main" data-action="start">Start the test</button></p></div>'
        '<div data-part="items"></div>'
        '<div class="finish" data-part="finish"><h3 data-part="finish-heading" tabindex="-1"></h3><p data-part="finish-words"></p>'
        '<div class="sure" data-part="question" role="alert" hidden><p data-part="question-words"></p><p class="actions">'
        '<button type="button" data-action="go-on">Go on with it</button><button type="button" data-action="end-now">End it all the same</button></p></div>'
        '<p class="actions" data-part="ending"><button type="button" class="main" data-action="end">End the test and mark it</button></p>'
        '<div data-part="handing"><div class="field"><label for="practice-who">Your name</label><p class="hint" id="practice-who-hint">It goes into the file. Nobody else gets it.</p>'
        '<p class="error" id="practice-who-error" data-slot="error-who"></p>'
        '<input id="practice-who" name="who" type="text" maxlength="{who}" autocomplete="name" aria-describedby="practice-who-hint practice-who-error"></div>'
        '<p class="actions"><button type="button" data-action="save">Save the file for the trainer</button><button type="button" data-action="copy">Copy it as text</button></p>'
        '<p class="hint" data-part="handed" role="status"></p>'
        '<div class="field" data-part="by-hand" hidden><label for="practice-by-hand">The file as text</label><p class="hint">Copy all of it and send it to the trainer.</p>'
        '<textarea id="practice-by-hand" rows="6" readonly></textarea></div></div></div>'
        '<div class="bar" data-part="bar"><p class="notice" data-part="notice" role="alert"></p>'
        '<p class="standing"><span data-part="total" role="status"></span> <span class="saved" data-part="saved"></span></p>'
        '<p class="clock" data-part="timing"><span data-part="clock" role="timer"></span> <button type="button" data-action="clock">Hide the clock</button></p>'
        '<p class="turn" data-part="turn"><button type="button" data-action="back">Back</button><button type="button" data-action="next">Next</button><button type="button" data-action="finish">To the end</button></p></div>'
        "</div>"
    ).format(who=NAME_MOST)  # fmt: skip


def _kept():
    rows = Markup("").join(
        Markup('<tr data-topic="{}"><th scope="row">{} {}</th><td data-part="right">not yet</td><td data-part="marks"></td></tr>').format(one.id, one.lesson, one.title) for one in TOPICS.values()
    )
    return Markup(
        '<div class="kept" data-part="kept" hidden><details class="more" id="practice-sets" data-part="sets-fold"><summary>Sets begun on this device</summary><ul class="sets" data-part="sets"></ul></details>'
        '<details class="more" id="practice-progress"><summary>Your progress on this device</summary><div class="scroll"><table class="progress"><caption>Right answers and marks so far, by topic</caption>'
        '<thead><tr><th scope="col">Topic</th><th scope="col">Right</th><th scope="col">Marks</th></tr></thead><tbody>{}</tbody></table></div>'
        '<p class="actions" data-part="forgetting"><button type="button" data-action="forget">Forget my progress</button></p>'
        '<div class="sure" data-part="forget-question" hidden><p tabindex="-1">This removes your progress and every set with its answers from this device. Files you saved stay.</p>'
        '<p class="actions"><button type="button" data-action="keep">Keep it</button><button type="button" data-action="forget-now">Remove it for good</button></p></div>'
        '<p class="hint" data-part="forgotten" role="status"></p></details></div>'
    ).format(rows)


def _to_read():
    return Markup('<div data-part="to-read"><h2>A set to read</h2>{}</div>').format(exercises.folded(order(READ_SEED, (), LEVEL, READ_COUNT), "read"))


def results():
    """Where a trainer opens the files of a class.

    Returns
    -------
    Markup
        One section; table and picture come from Python.
    """
    return Markup(
        '<section class="calculator practice" id="trainer" aria-label="Results of a class" data-search-exclude>'
        '<p class="actions"><label class="file">Open files <input type="file" multiple accept=".json,.txt,application/json,text/plain" data-action="open"></label>'
        '<button type="button" data-action="clear" disabled>Clear all of it</button></p>'
        '<div class="field"><label for="trainer-pasted">Or paste the text you were sent</label><p class="hint" id="trainer-pasted-hint">Several may stand one after the other.</p>'
        '<textarea id="trainer-pasted" rows="4" spellcheck="false" autocomplete="off" aria-describedby="trainer-pasted-hint"></textarea></div>'
        '<p class="actions"><button type="button" data-action="paste">Add the pasted text</button></p>'
        '<p class="read" data-part="read" role="status" tabindex="-1">Nothing is open yet.</p>'
        '<div class="class" data-part="view"></div>'
        '<p class="live" data-live role="status">Reading results needs scripts, and they are switched off here or have not started yet.</p></section>'
    )
