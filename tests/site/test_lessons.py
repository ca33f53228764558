"""The lessons can be run from their page, the role-plays have two sides that agree, and no number in them is typed by hand."""

import re
import tomllib

import pytest

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from tests.site.chapters import DOCS, sections, source
from tests.site.test_cases import ROUNDED
from tests.site.test_numbers_by_hand import prose, typed_by_hand

TOPICS = (
    "words-and-units load-list energy-and-standby batteries cable-and-joints cut-out-margin waveform fuse recharge stop-lines diagnosis specification-sheet"
).split()
LESSONS = {f"train/lesson-{number:02}.md": topic for number, topic in enumerate(TOPICS, 1)}
PAGES = sorted(path.relative_to(DOCS).as_posix() for path in (DOCS / "train").glob("*.md"))
PARTS = ["Aim", "Plan", "On the bench", "The talk in brief", "Demonstration", "Exercises", "Wrong answers and what they reveal", "Handout"]
MINUTES = 45

# In the trainer's side; the customer's side has the first three.
TOLD_TO_THE_CUSTOMER = ["Opening line.", "What you know.", "Say only when asked."]
TOLD_TO_THE_TRAINER = [
    "It opens with:",
    "Hidden facts.",
    "Good questions.",
    "Numbers a good answer reaches.",
    "Safety stop that must appear.",
    "How to mark.",
]

COMPUTED = re.compile(r"<!--\s*handbook:\s*(?:value|answer|finding|calculator)\b")
FILES = {stem: tomllib.loads((DOCS / "cases" / f"{stem}.toml").read_text("utf-8")) for stem in [*(page[6:-3] for page in LESSONS), "role-plays"]}


def parts(page):
    """A lesson's parts by name; a handout is named for its topic besides."""
    return {heading.partition(":")[0]: text for heading, text in sections(page)}


def sheets(page):
    """The sheets of a page, each from its heading to its end."""
    return re.findall(r'^<div class="form-sheet[^"]*" markdown>\n+## (.+?)\n(.*?)^</div>$', source(page), re.MULTILINE | re.DOTALL)


def rows(text):
    """The cells of a table's rows, without its head."""
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in re.findall(r"^\|.*\|$", text, re.MULTILINE) if not line.startswith("|---")][1:]


def result(stem, name):
    case = FILES[stem][name]
    return run(CALCULATORS[case["calculator"]], case["values"])


def test_there_are_twelve_lessons_with_their_parts_in_order():
    assert [page for page in PAGES if "/lesson-" in page] == list(LESSONS)
    assert {page: list(parts(page)) for page in LESSONS} == dict.fromkeys(LESSONS, PARTS)


def test_every_plan_takes_three_quarters_of_an_hour():
    planned = {page: sum(int(minutes) for minutes, _ in rows(parts(page)["Plan"])) for page in LESSONS}
    assert planned == dict.fromkeys(LESSONS, MINUTES)


def test_every_lesson_has_the_exercises_of_its_topic_and_of_no_other():
    for page, topic in LESSONS.items():
        text = parts(page)["Exercises"]
        assert re.findall(r"<!-- handbook: exercises (\S+) (\S+) ", source(page)) == [(topic, page[6:-3])], page
        assert re.findall(r"^    \./scripts/print --exercises --topic (\S+) --seed \S+ --count \d+ --level [123]$", text, re.MULTILINE) == [topic], page
        assert f"](page:train/practice.html#topic={topic})" in text, page


def test_every_bench_has_its_cautions_and_the_common_rules():
    for page in LESSONS:
        bench = parts(page)["On the bench"]
        assert re.search(r'^!!! (?:danger "Stop"|warning "Caution")$', bench, re.MULTILINE), page
        assert "(index.md#bench-rules)" in bench or page == "train/lesson-10.md", page
    rules = dict(sections("train/index.md"))["Bench rules"]
    for word in ("Extra-low voltage", "fuse in every lead", "No mains part is opened", "Licensed work stays closed"):
        assert word in rules


def test_readings_and_wrong_answers_are_computed():
    for page in LESSONS:
        found = parts(page)
        assert len(COMPUTED.findall(found["Demonstration"])) >= 3, page
        wrong = rows(found["Wrong answers and what they reveal"])
        assert len(wrong) >= 4 and all(len(row) == 3 and all(row) for row in wrong), page
        assert sum(bool(COMPUTED.search(row[2])) for row in wrong) >= 2, page


def test_every_handout_is_one_sheet_with_blanks_three_lines_and_a_stop():
    for page in LESSONS:
        ((heading, text),) = sheets(page)
        assert heading.startswith("Handout: "), page
        assert "&nbsp;" in text, page
        assert re.findall(r"^(\d)\. ", text, re.MULTILINE) == ["1", "2", "3"], page
        assert re.search(r"\*\*Stop:\*\*|^\| Stop \|", text, re.MULTILINE), page
        assert re.search(r"local law decides|licensed person decides", text, re.IGNORECASE), page


def test_the_first_page_leads_to_everything():
    links = re.findall(r"\]\(([\w-]+\.md)\)", source("train/index.md"))
    assert set(links) == {page.removeprefix("train/") for page in PAGES} - {"index.md"}
    table = [re.findall(r"\]\((lesson-\d\d\.md)\)", row[0]) for row in rows(source("train/index.md"))[: len(LESSONS)]]
    assert table == [[page.removeprefix("train/")] for page in LESSONS]


def test_the_role_plays_have_two_sides_that_agree():
    found = sheets("train/role-plays.md")
    assert len(found) == 2 * len(LESSONS)
    for number, ((customer, told), (trainer, hidden)) in enumerate(zip(found[::2], found[1::2], strict=True), 1):
        title = f"{number} " + customer.removeprefix(f"{number} ").removesuffix(": the customer")
        assert (customer, trainer) == (f"{title}: the customer", f"{title}: the trainer")
        assert re.findall(r"\*\*(.+?)\*\*", told) == TOLD_TO_THE_CUSTOMER, title
        assert re.findall(r"\*\*(.+?)\*\*", hidden) == TOLD_TO_THE_TRAINER, title
        line = re.search(r'\*\*Opening line\.\*\* (".+")', told)[1]
        assert f"**It opens with:** {line}" in hidden, title
        assert COMPUTED.search(hidden.split("**Numbers a good answer reaches.**")[1].split("**Safety stop")[0]), title
        assert len(re.search(r"\*\*Safety stop that must appear\.\*\* (.+)", hidden)[1].split()) >= 8, title
        assert f"(lesson-{number:02}.md)" in hidden, title
        assert "role-plays.md#" + re.sub(r"[^\w]+", "-", customer.lower()).strip("-") in parts(f"train/lesson-{number:02}.md")["Plan"], title


def test_the_assessment_marks_ten_points_and_the_form_has_the_same():
    explained = [row[0] for row in rows(dict(sections("train/assessment.md"))["What the marks mean"]) if re.match(r"\d+ [A-Z]", row[0])]
    (form, text), (certificate, _) = sheets("train/assessment.md")
    marked = [row[0] for row in rows(text) if re.match(r"\d+ [A-Z]", row[0])]
    assert (form, certificate) == ("Assessment form", "Certificate of completion")
    assert [point.removesuffix(" (must be 3)") for point in marked] == explained and len(explained) == 10
    assert marked[7] == "8 Stop lines (must be 3)" and "30, passed with 24" in text and "Safety fail, any one: not passed" in text


def test_no_number_with_a_unit_is_typed_by_hand():
    assert {page: found for page in PAGES if (found := typed_by_hand(prose(page)))} == {}


def test_every_case_is_used_and_a_figure_carried_on_is_the_one_found_before():
    for stem, cases in FILES.items():
        text = source(f"train/{stem}.md") + source("train/index.md")
        assert [name for name in cases if not re.search(rf"{stem}/{name}\s", text)] == [], stem
        for name, case in cases.items():
            for field, where in case.get("carried", {}).items():
                before, output = where.split()
                assert result(stem, name).input(field).value == pytest.approx(result(stem, before).output(output).value, rel=ROUNDED), (stem, name, field)
    assert sum(len(case.get("carried", {})) for case in FILES["lesson-12"].values()) >= 5


def test_the_bench_of_the_key_lesson_shows_what_it_is_for():
    """By hand, with copper of IEC 60228 class 5 at 25 °C: 2.5 mm² has 7.98 Ω/km at 20 °C."""
    long = {watts: result("lesson-06", f"long-{watts}") for watts in (60, 100, 160)}
    assert {watts: one.output("verdict").value for watts, one in long.items()} == {60: "holds", 100: "holds", 160: "trips"}
    assert long[160].output("margin").high < 0, "it drops out at the good end of every input too"
    assert all(result("lesson-06", f"short-{watts}").output("margin").low > 1 for watts in (60, 100, 160))
    resistance = 0.012 + 0.008 + 2 * 8 * 7.98e-3 * (1 + 0.00393 * 5)
    assert long[60].output("power_dc_max").value == pytest.approx(10.5 * (12.6 - 10.5) / resistance, rel=0.005)
    power = long[100].output("power_dc").value
    assert long[100].output("voltage_inverter").value == pytest.approx((12.6 + (12.6**2 - 4 * resistance * power) ** 0.5) / 2, rel=0.002)
    assert result("lesson-06", "one-way").output("verdict").value == "holds", "the usual mistake says that it holds"
