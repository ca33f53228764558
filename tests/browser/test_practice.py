"""Practice, a test and the trainer's view as a class uses them: marked as Python marks, nothing typed is lost."""

import json
import re
from urllib.parse import parse_qsl, urlencode

import pytest
from playwright.sync_api import expect

from calc.browser import answer
from calc.errors import FieldProblem
from calc.exercises import marking, results, sets
from calc.exercises.catalogue import TOPICS
from calc.exercises.items import Choice, Estimate, Faults, Number, said
from calc.render import exercises
from tests.browser.axe import MENU, check
from tests.browser.conftest import STAND_IN
from tests.browser.waiting import until

PRACTICE, VIEW = "train/practice.html", "train/results.html"
ODD = '🔋 <b>"7"</b> & \'é\''
LEVEL, COUNT = 2, 12


def in_one_line(words):
    """Words with the feet of their symbols where the page has them: I_rms is shown as I with a low rms."""
    return re.sub(r"([A-Za-z])_([A-Za-z0-9]+)", r"\1\2", words)


def with_every_kind():
    """A set of an odd seed in which each kind of exercise stands, and one of them has a hint."""
    for number in range(200):
        order = sets.order(f"{ODD} {number}", (), LEVEL, COUNT)
        made = sets.make(order)
        if {type(one.item) for one in made} == {Number, Choice, Faults, Estimate} and len(hinted(made)) > 1:
            return order, made
    raise AssertionError("no seed gives every kind")


def hinted(made):
    return [one for one in made if isinstance(one.item, Number) and one.item.hints]


ORDER, MADE = with_every_kind()


def first(kind):
    return next(one for one in MADE if isinstance(one.item, kind))


def right(exercise):
    item = exercise.item
    if isinstance(item, Number):
        return said(item.value, item.unit, 6).replace("\u00a0", " ").replace("\u202f", "")
    if isinstance(item, Choice):
        return marking.LETTERS[[option.right for option in item.options].index(True)]
    if isinstance(item, Faults):
        return ",".join(str(number) for number, line in enumerate(item.lines, 1) if line.why)
    return f"{said(0.9 * item.value, item.unit)} to {said(1.1 * item.value, item.unit)}"


def address(order=ORDER, **more):
    return f"{PRACTICE}#{urlencode({'seed': order.seed, 'level': order.level, 'count': order.count, **more})}"


def item(page, exercise):
    return page.locator(f"#exercise-{exercise.number}")


def shown(page, stage, view="list"):
    """Every exercise below the other, so that the driver reaches each."""
    page.wait_for_selector(f"#practice[data-stage={stage}][data-state=ready]")
    if page.locator("#practice").get_attribute("data-view") != view:
        page.click("[data-action=view]")
    return page


def opened(page, to, stage="running", view="list"):
    # The same page with another address would not be loaded again.
    page.goto("about:blank")
    page.goto(to)
    return shown(page, stage, view)


def other_window(page):
    other = page.context.new_page()
    other.expose_function("answerNatively", answer)
    other.add_init_script(STAND_IN)
    return other


def enter(page, exercise, typed):
    place = item(page, exercise)
    if isinstance(exercise.item, (Number, Estimate)):
        place.locator("input").fill(typed)
        return
    for value in typed.split(","):
        place.locator(f"input[value='{value}']").check()


def kept(page):
    return page.evaluate("Object.entries(localStorage).filter(([key]) => key.startsWith('handbook-practice:')).map(([, text]) => JSON.parse(text))")


def total(page):
    return page.locator("[data-part=total]")


def test_right_and_wrong_answers_hints_and_what_cannot_be_read(quick_page):
    page = quick_page
    page.goto(PRACTICE)
    page.wait_for_selector("#practice[data-state=ready]")
    offered = page.locator("#practice-seed").input_value()
    page.click("[data-action=fresh]")
    assert re.fullmatch("[a-z2-9]{6}", offered) and page.locator("#practice-seed").input_value() != offered
    page.fill("#practice-seed", f"  {ORDER.seed} ")
    page.select_option("#practice-level", str(LEVEL))
    page.fill("#practice-count", str(COUNT))
    page.keyboard.press("Enter")
    shown(page, "running")
    expect(page.locator("[data-part=title]")).to_have_text(exercises.ordered(ORDER))
    for one in MADE:
        expect(item(page, one).locator(".question")).to_have_text(in_one_line(one.item.question))

    # Each costs nothing, says why, and the reader stands where it is typed.
    number, other = hinted(MADE)[:2]
    place = item(page, number)
    for text in ("", "1/0", "12 zz", "<b>3</b>", "5 A" if number.item.unit != "A" else "5 V"):
        with pytest.raises(FieldProblem) as problem:
            marking.mark(number, text)
        place.locator("input").fill(text)
        place.locator("input").press("Enter")
        expect(place.locator("[data-slot=error]"), text).to_have_text(exercises.refused(problem.value))
        expect(place.locator("input"), text).to_be_focused()
        assert place.locator("input").get_attribute("aria-invalid") == "true"
    assert place.locator(".marked").inner_text() == "" and kept(page)[0]["marked"] == []

    # A hint costs a mark; a comma is read; the reader is led to what came of it.
    place.locator("[data-action=hint]").click()
    expect(place.locator(".hints li")).to_have_text(in_one_line(number.item.hints[0]))
    comma = right(number).replace(".", ",")
    enter(page, number, comma)
    place.locator("[data-action=mark]").click()
    hinted_mark = marking.mark(number, comma, 1)
    assert (hinted_mark.verdict, hinted_mark.marks) == ("right", number.marks - 1)
    expect(place.locator(".verdict")).to_contain_text(f"{hinted_mark.marks} of {number.marks} marks")
    expect(place.locator(".marked")).to_be_focused()
    expect(place.locator("input")).not_to_be_editable()

    found = [(number, hinted_mark)]
    for one, text in [(first(kind), right(first(kind))) for kind in (Choice, Faults, Estimate)] + [(other, said(17 * other.item.value, other.item.unit))]:
        enter(page, one, text)
        item(page, one).locator("[data-action=mark]").click()
        found.append((one, marking.mark(one, text)))
        expect(item(page, one).locator(".verdict")).to_have_class(f"verdict {found[-1][1].verdict}")
    assert [each.verdict for _, each in found] == [*["right"] * 4, "wrong"]
    told = f"5 of {COUNT} done: {sum(each.marks for _, each in found)} of {sum(each.of for _, each in found)} marks."
    expect(total(page)).to_have_text(told)

    # All of it is there after a reload, also what is half typed, and counts once.
    half = next(one for one in MADE if isinstance(one.item, (Number, Estimate)) and all(one is not each for each, _ in found))
    enter(page, half, "3.14 and <i>")
    before = [item(page, one).locator(".marked").inner_html() for one in MADE]
    page.reload()
    shown(page, "running")
    expect(total(page)).to_have_text(told)
    assert [item(page, one).locator(".marked").inner_html() for one in MADE] == before
    expect(item(page, half).locator("input")).to_have_value("3.14 and <i>")
    expect(place.locator(".hints li")).to_have_text(in_one_line(number.item.hints[0]))
    by_topic = {}
    for one, each in found:
        before = by_topic.get(one.topic, (0, 0, 0, 0))
        by_topic[one.topic] = tuple(map(sum, zip(before, (each.verdict == "right", 1, each.marks, each.of))))
    for topic in TOPICS:
        cells = page.locator(f"[data-topic={topic}] td").all_text_contents()
        counted = by_topic.get(topic)
        assert cells == (["{} of {}".format(*counted[:2]), "{} of {}".format(*counted[2:])] if counted else ["not yet", ""]), topic


def test_a_test_from_its_link_to_the_trainers_table(quick_page, tmp_path):
    page = quick_page
    opened(page, address(mode="test", minutes=20), "waiting", "one")
    expect(page.locator("[data-part=rules]")).to_contain_text("20 minutes")
    expect(page.locator("[data-part=items]")).to_be_hidden()
    assert kept(page) == []

    # By the keyboard alone: start, answer, on to the next.
    page.locator("[data-action=start]").press("Enter")
    expect(item(page, MADE[0]).locator("h3")).to_be_focused()
    skipped, unread = MADE[-1], first(Number)
    for one in MADE[:-1]:
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.name") == "answer", one.number
        if isinstance(one.item, (Choice, Faults)):
            page.keyboard.press("Space")
            page.locator("[data-action=next]").press("Enter")
        else:
            page.keyboard.type("1/0" if one is unread else right(one))
            page.keyboard.press("Enter")
        expect(item(page, MADE[one.number]).locator("h3")).to_be_focused()
    expect(page.locator("[data-part=clock]")).to_have_text(re.compile("^(20:00|19:\\d\\d) left$"))
    page.click("[data-action=clock]")
    expect(page.locator("[data-part=clock]")).to_be_hidden()
    expect(total(page)).to_have_text(f"{COUNT - 1} of {COUNT} answered.")
    expect(item(page, unread).locator("[data-slot=error]")).not_to_be_empty()
    assert "".join(page.locator("[data-part=items] :is(.marked, .hints)").all_text_contents()) == ""

    page.reload()
    shown(page, "running")
    expect(total(page)).to_have_text(f"{COUNT - 1} of {COUNT} answered.")
    expect(page.locator("[data-part=items] [data-action]:visible")).to_have_count(0)
    assert "".join(page.locator("[data-part=items] :is(.marked, .hints)").all_text_contents()) == ""
    [record] = kept(page)
    answers = tuple(results.Answer(int(one), typed) for one, typed in record["answers"].items())
    marked = results.marked(results.Results("", "", ORDER, True, answers))
    marks, of = sum(one.marks for one in marked), sum(one.marks for one in MADE)
    assert 0 < marks < of

    # An answer that is missing is asked for once.
    page.click("[data-action=end]")
    expect(page.locator("[data-part=question]")).to_contain_text(f"no answer: {skipped.number}.")
    expect(page.locator("[data-action=go-on]")).to_be_focused()
    page.click("[data-action=end-now]")
    expect(page.locator("[data-part=finish-heading]")).to_have_text(f"Result: {marks} of {of} marks.")
    expect(page.locator("[data-part=finish-heading]")).to_be_focused()
    for one in marked:
        expect(item(page, one.exercise).locator(".verdict")).to_contain_text(f"{one.marks} of {one.exercise.marks}")
        expect(item(page, one.exercise).locator("details.key")).to_have_count(1)

    who = "Ines <img src=x onerror=alert(1)>"
    page.fill("#practice-who", who)
    with page.expect_download() as download:
        page.click("[data-action=save]")
    file = tmp_path / download.value.suggested_filename
    download.value.save_as(file)
    text = file.read_text("utf-8")
    read = results.read(text)
    assert (read.who, read.order, read.timed) == (who, ORDER, True)
    assert [one.marks for one in read.answers] == [one.marks for one in marked]
    page.reload()
    shown(page, "ended")
    expect(page.locator("[data-part=finish-heading]")).to_have_text(f"Result: {marks} of {of} marks.")
    # Who opens the link in another window may be the next trainee: no key is shown.
    opened(other_window(page), address(mode="test", minutes=20), "waiting", "list").close()

    # The trainer's view: one good, one edited, one of another kind, one pasted.
    edited = json.loads(text)
    edited["who"], edited["answers"][MADE.index(unread)]["marks"] = "Bo", 3
    (tmp_path / "edited.json").write_text(json.dumps(edited), "utf-8")
    (tmp_path / "shopping.json").write_text('{"kind": "list"}', "utf-8")
    page.goto(VIEW)
    page.wait_for_selector("#trainer[data-state=ready]")
    page.click("[data-action=paste]")
    expect(page.locator("[data-part=read]")).to_contain_text("Nothing is pasted yet")
    page.set_input_files("[data-action=open]", [file, tmp_path / "edited.json", tmp_path / "shopping.json"])
    expect(page.locator("[data-part=read]")).to_have_text("Results read: 2. 2 notes stand below.")
    expect(page.locator("[data-part=read]")).to_be_focused()
    view = page.locator("[data-part=view]")
    files = [{"name": name, "text": (tmp_path / name).read_text("utf-8")} for name in (file.name, "edited.json", "shopping.json")]
    notes = json.loads(answer(json.dumps({"do": "exercises", "action": "view", "files": files})))["notes"]
    assert [note.split(":")[0] for note in notes] == ["edited.json", "shopping.json"] and f"exercise {unread.number} " in notes[0]
    assert view.locator("ul.notes li").all_text_contents() == notes
    rows = view.locator("table.people tbody tr")
    assert [row.split()[0] for row in rows.all_text_contents()] == [f"Bo{marks}", "Ines"]
    expect(rows.last).to_contain_text(f"{who}{marks} of {of}")
    expect(view.locator("svg.figure")).to_be_visible()
    page.fill("#trainer-pasted", text.replace(json.dumps(who), '"Cy"') + "\n" + text)
    page.click("[data-action=paste]")
    expect(rows).to_have_count(3)
    expect(view.locator("ul.notes li")).to_have_count(3)
    expect(page.locator("#trainer-pasted")).to_have_value("")
    page.click("[data-action=clear]")
    expect(view).to_be_empty()
    assert "Cy" not in json.dumps(page.evaluate("({ ...localStorage })"))


def test_when_the_time_is_up_the_fields_close_and_what_stands_counts(quick_page):
    page = quick_page
    opened(page, address(mode="test", minutes=20), "waiting")
    page.click("[data-action=start]")
    number = first(Number)
    enter(page, number, right(number))
    until(page, "Object.keys(localStorage).some((key) => key.startsWith('handbook-practice:'))")
    # As if it had begun so much earlier that two seconds are left.
    page.evaluate("""() => {
      const key = Object.keys(localStorage).find((each) => each.startsWith("handbook-practice:"));
      const record = JSON.parse(localStorage[key]);
      localStorage[key] = JSON.stringify({ ...record, began: Date.now() - 20 * 60000 + 2000 });
    }""")
    page.reload()
    shown(page, "running")
    expect(page.locator("[data-part=notice]")).to_contain_text("The time is up")
    expect(item(page, number).locator("input")).to_have_value(right(number))
    expect(item(page, number).locator("input")).not_to_be_editable()
    expect(page.locator("[data-part=items] input:enabled:not([readonly])")).to_have_count(0)
    # Who types on all the same is too late.
    item(page, number).locator("input").evaluate("(field) => { field.value = 'late'; field.dispatchEvent(new Event('input', { bubbles: true })); }")
    expect(item(page, number).locator("input")).to_have_value(right(number))
    assert kept(page)[0]["answers"] == {str(number.number): right(number)}
    page.click("[data-action=end]")
    expect(item(page, number).locator(".verdict")).to_have_class("verdict right")
    expect(page.locator("[data-part=finish-heading]")).to_contain_text(f"{number.marks} of ")


def test_an_address_opens_its_set_names_its_topic_or_says_what_is_wrong(quick_page):
    page = quick_page
    order = sets.order("2026-07", ["batteries", "energy-and-standby"], 3, 4)
    opened(page, address(order, topics=",".join(order.topics)))
    assert page.locator("[data-part=items] .question").all_text_contents() == [in_one_line(one.item.question) for one in sets.make(order)]
    expect(page.locator("[data-part=title]")).to_have_text(exercises.ordered(order))
    # The page's own address is the line that a trainer sends.
    told = dict(parse_qsl(page.url.partition("#")[2]))
    assert sets.order(told["seed"], told["topics"].split(","), told["level"], told["count"]) == order and "mode" not in told

    # On paper: no control and no answer, all exercises, room for a name.
    enter(page, next(one for one in sets.make(order) if isinstance(one.item, (Number, Estimate))), "8")
    page.click("[data-action=view]")
    page.emulate_media(media="print")
    for hidden in ("button", ".bar", ".kept", "h1", ".marked", ".hints"):
        assert not any(each.is_visible() for each in page.locator(f"article {hidden}").all()), hidden
    for visible in ("[data-part=title]", "#practice .blanks", *(f"#exercise-{number} .question" for number in (1, 4))):
        assert page.locator(visible).is_visible(), visible
    colours = page.locator("[data-part=items] input[type=text]").evaluate_all("(all) => all.map((each) => getComputedStyle(each).color)")
    assert set(colours) == {"rgba(0, 0, 0, 0)"}
    page.emulate_media(media="screen")

    page.evaluate("window.location.hash = '#topic=waveform'")
    expect(page.locator("[name=topics]:checked")).to_have_count(1)
    expect(page.locator("#practice-topics summary")).to_have_text(f"Topics: {TOPICS['waveform'].lesson} {TOPICS['waveform'].title}")
    assert page.locator("[name=topics]:checked").get_attribute("value") == "waveform"

    page.goto("about:blank")
    page.goto(f"{PRACTICE}#seed=%20&level=9&count=0&topics=<b>,batteries&mode=test&minutes=1/0")
    summary = page.locator("[data-part=errors]")
    expect(summary).to_be_focused()
    expect(summary.locator("a")).to_have_text([re.compile(f"^{label}: ") for label in ("Seed", "Topics", "Level", "How many", "Minutes")])
    expect(summary).to_contain_text('"<b>"')
    for name in ("seed", "topics", "level", "count", "minutes"):
        expect(page.locator(f"[data-slot=error-{name}]")).not_to_be_empty()
    summary.locator("a").nth(3).click()
    expect(page.locator("#practice-count")).to_be_focused()


def test_two_windows_keep_the_answers_of_both_and_forgetting_asks_first(quick_page):
    page = quick_page
    one, two, three = [each for each in MADE if isinstance(each.item, (Number, Estimate))][:3]
    opened(page, address())
    enter(page, one, "1 A")
    other = opened(other_window(page), address())
    expect(item(other, one).locator("input")).to_have_value("1 A")
    enter(other, two, "2 A")
    expect(item(page, two).locator("input")).to_have_value("2 A")
    enter(page, one, "3 A")
    expect(item(other, one).locator("input")).to_have_value("3 A")
    other.close()
    # A third one's news does not come before this one writes.
    page.evaluate("""(number) => {
      const key = Object.keys(localStorage).find((each) => each.startsWith("handbook-practice:"));
      const record = JSON.parse(localStorage[key]);
      record.answers[number] = "4 A";
      localStorage[key] = JSON.stringify(record);
    }""", three.number)
    enter(page, one, "5 A")
    [record] = kept(page)
    assert record["answers"] == {str(one.number): "5 A", str(two.number): "2 A", str(three.number): "4 A"}

    page.locator("#practice-sets > summary").click()
    page.click("[data-action=choose]")
    page.locator("#practice-sets [data-action=open]").click()
    expect(item(page, two).locator("input")).to_have_value("2 A")
    page.locator("#practice-progress > summary").click()
    page.click("[data-action=forget]")
    page.click("[data-action=keep]")
    assert len(kept(page)) == 1
    page.click("[data-action=forget]")
    page.click("[data-action=forget-now]")
    expect(page.locator("[data-part=forgotten]")).to_contain_text("Nothing of yours")
    assert [key for key in page.evaluate("Object.keys(localStorage)") if key.startswith("handbook-practice") and not key.endswith("view")] == []


def test_full_storage_is_said_and_the_results_can_still_be_taken(quick_page):
    page = quick_page
    page.add_init_script("""Storage.prototype.setItem = () => { throw new DOMException("full", "QuotaExceededError"); };
      Object.defineProperty(navigator, "clipboard", { value: { writeText: () => Promise.reject(new Error("no")) } });""")
    page.goto(address())
    shown(page, "running", "one")
    number = first(Number)
    page.click("[data-action=finish]")
    for _ in range(COUNT + 1 - number.number):
        page.click("[data-action=back]")
    enter(page, number, right(number))
    expect(page.locator("[data-part=saved]")).to_contain_text("Not kept: the browser refused (its storage is full)")
    item(page, number).locator("[data-action=mark]").click()
    expect(total(page)).to_have_text(f"1 of {COUNT} done: {number.marks} of {number.marks} marks.")
    page.click("[data-action=finish]")
    page.fill("#practice-who", "Cy")
    page.click("[data-action=copy]")
    expect(page.locator("#practice-by-hand")).to_be_focused()
    read = results.read(page.locator("#practice-by-hand").input_value())
    assert read.who == "Cy" and [one.answer for one in read.answers if one.answer] == [right(number)]


@pytest.mark.expects_trouble(r"worker")
def test_without_python_there_is_a_set_to_read_and_the_reason(page):
    page.route(re.compile("assets/runtime/.*worker"), lambda route: route.abort())
    page.goto(PRACTICE)
    page.wait_for_selector("#practice[data-state=failed]", timeout=30_000)
    expect(page.locator("[data-live]")).to_contain_text("Reason: ")
    expect(page.locator("[data-part=to-read] .exercise").first).to_be_visible()
    page.click("[data-part=order] [type=submit]")
    expect(page.locator("[data-part=errors]")).to_contain_text("Not computed: ")


def test_a_set_a_result_and_a_class_keep_the_rules_and_the_width_of_a_phone(quick_page):
    page = quick_page
    page.emulate_media(reduced_motion="reduce")
    opened(page, address(mode="test"), "waiting")
    kept_to_the_rules(page, "waiting")
    page.click("[data-action=start]")
    for one in MADE[:4]:
        enter(page, one, right(one))
    enter(page, first(Number), "1/0")
    page.locator("[data-part=heading]").click()
    expect(item(page, first(Number)).locator("[data-slot=error]")).not_to_be_empty()
    kept_to_the_rules(page, "running")
    page.click("[data-action=end]")
    page.click("[data-action=end-now]")
    expect(page.locator("[data-part=items] details.key")).to_have_count(COUNT)
    kept_to_the_rules(page, "ended")
    page.fill("#practice-who", "A name as long as names can be, since somebody has one like it, and so on and on")
    page.evaluate("Object.defineProperty(navigator, 'clipboard', { value: { writeText: () => Promise.reject(new Error('no')) } })")
    page.click("[data-action=copy]")
    expect(page.locator("#practice-by-hand")).to_be_visible()
    text = page.locator("#practice-by-hand").input_value()
    page.goto(VIEW)
    page.wait_for_selector("#trainer[data-state=ready]")
    page.fill("#trainer-pasted", text + "{}")
    page.click("[data-action=paste]")
    expect(page.locator("table.people")).to_be_visible()
    kept_to_the_rules(page, "trainer's view")


def kept_to_the_rules(page, what):
    page.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    page.set_viewport_size({"width": 1280, "height": 6000})
    assert check(page, without=[MENU])["told"] == [], what
    page.set_viewport_size({"width": 360, "height": 740})
    assert page.evaluate("document.documentElement.scrollWidth") <= 360, what
    pressed = page.locator("#practice :is(button, .tick, summary, input[type=text]):visible").all()
    low = [each.text_content() or each.get_attribute("id") for each in pressed if each.bounding_box()["height"] < 47.9]
    assert low == [], what
