"""What the pages ask for, what paper and terminal show: strings in, strings out, nothing typed comes back as markup."""

import json
import re
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

from calc import __main__, browser
from calc.exercises import sets
from calc.exercises.catalogue import TEMPLATES, TOPICS
from calc.exercises.templates import LEVELS
from calc.render import exercises
from tests.calc.exercises.test_results import right

SET = {"seed": "2026-07", "topics": [], "level": 2, "count": 12}
ORDER = sets.order(*SET.values())


def ask(action, **more):
    return json.loads(browser.answer(json.dumps({"do": "exercises", "action": action, **more})))


def test_topics_in_the_order_of_the_lessons():
    told = ask("topics")["topics"]
    assert [one["id"] for one in told] == list(TOPICS) and [one["lesson"] for one in told] == list(range(1, 13)) and all(one["title"] for one in told)


def test_a_set_is_answered_number_by_number():
    told = ask("set", **SET, id="here")
    assert told["errors"] == [] and len(told["items"]) == 12 and told["marks"] == sum(one["marks"] for one in told["items"])
    for one, made in zip(told["items"], sets.make(ORDER)):
        assert (one["number"], one["template"], one["topic"]) == (made.number, made.template.id, made.topic)
        assert f'id="here-{one["number"]}"' in one["html"] and 'name="answer"' in one["html"] and 'data-slot="marked"' in one["html"] and "<details" not in one["html"]
        found = ask("mark", **SET, number=one["number"], answer=right(made), hints=0)
        assert found["errors"] == [] and found["of"] == one["marks"] and "Answer and working" in found["html"]
        assert (found["verdict"], found["marks"]) == ("right", one["marks"]) and "verdict right" in found["html"]
        assert ask("mark", **SET, number=one["number"], answer=right(made), hints=1)["marks"] == one["marks"] - 1
        hint = ask("hint", **SET, number=one["number"], which=one["hints"])
        assert hint["left"] == 0 and hint["html"].startswith("<li>") and ask("hint", **SET, number=one["number"], which=one["hints"] + 1)["errors"][0]["path"] == "which"


def closed(html):
    """HTML as XML: void elements closed, attributes with values, one root."""
    return "<root>" + re.sub(r"<input([^>]*)>", r"<input\1/>", html).replace(" novalidate", "").replace(" open>", ">").replace(" data-search-exclude>", ">") + "</root>"


@pytest.mark.parametrize("template", TEMPLATES)
def test_every_template_in_every_form(template):
    """No style and no script, which the pages' policy forbids; labels for every control; nothing escaped twice."""
    topic, made = TEMPLATES[template]
    for level in LEVELS:
        one = next(each for each in sets.make(sets.order("forms", [topic], level, 30)) if each.template is made)
        for html in (str(exercises.item(one, "x")), str(exercises.item(one, "x", form=False, key=True)), str(exercises.solution(one))):
            assert not re.search(r"\sstyle=|<script|<style|\son\w+=|&amp;(lt|gt|amp|quot|#)", html)
            ids = re.findall(r'\sid="([^"]+)"', html)
            assert len(ids) == len(set(ids)) and set(re.findall(r'\bfor="([^"]+)"', html)) <= set(ids)
            assert {each for text in re.findall(r'aria-(?:describedby|labelledby)="([^"]+)"', html) for each in text.split()} <= set(ids)
            ElementTree.fromstring(closed(html))


def test_both_sheets_say_what_they_are_of_and_only_the_key_has_answers():
    sheet, key = str(exercises.sheet(ORDER)), str(exercises.sheet(ORDER, key=True))
    for each in (sheet, key):
        assert "Seed 2026-07" in each and "all topics" in each and "level 2" in each and "12 exercises" in each and "handbook 0." in each
        assert each.count('<section class="exercise"') == 12 and each.startswith('<article class="exercise-sheet"')
    assert 'class="write"' in sheet and 'class="blank"' in sheet and "working" not in sheet and "Answer" not in sheet
    assert 'class="write"' not in key and key.count('<p class="answer">') == 12 and '<ol class="working">' in key
    assert str(exercises.sheet(sets.order("<b>&", ["fuse"], 1, 1))).count("&lt;b&gt;&amp;") == 1


def test_a_page_without_a_script_has_question_and_key():
    html = str(exercises.folded(ORDER, "fold"))
    assert html.count("<summary>Answer and working</summary>") == 12 and "<form" not in html and "data-search-exclude" in html


@pytest.mark.parametrize(("answer", "words"), [("", "Enter"), ("1/0", "not a unit known here"), ("12 <b>", "not a unit known here"), ("5 kg", "is a mass")])
def test_an_answer_that_cannot_be_read_comes_back_in_words(answer, words):
    told = ask("mark", **{**SET, "topics": ["energy-and-standby"]}, number=next(one["number"] for one in ask("set", **{**SET, "topics": ["energy-and-standby"]})["items"] if one["kind"] == "number"), answer=answer)
    assert set(told) == {"errors"} and told["errors"][0]["path"] == "answer" and words in told["errors"][0]["text"]


def test_what_cannot_be_used_of_a_request_is_said():
    assert [one["path"] for one in ask("set", seed=" ", topics=["x"], level=7, count=0)["errors"]] == ["seed", "topics", "level", "count"]
    for number in (0, 13, "1", None):
        assert ask("mark", **SET, number=number, answer="a")["errors"][0]["path"] == "number"
    with pytest.raises(KeyError):
        ask("nothing")


def answered(who, skip=()):
    answers = [{"number": one.number, "answer": right(one), "seconds": 12} for one in sets.make(TEST) if one.number not in skip]
    return ask("results", seed=TEST.seed, topics=list(TEST.topics), level=TEST.level, count=TEST.count, who=who, date="2026-07-31", timed=True, answers=answers)


TEST = sets.order("test", ["fuse", "stop-lines"], 1, 6)


def test_a_test_ends_in_a_file_and_in_every_key():
    told = answered("Ann <b>", skip=(4,))
    assert told["errors"] == [] and told["name"] == "results-ann--b--2026-07-31.json" and len(told["items"]) == 6
    assert told["marks"] == told["of"] - told["items"][3]["of"] and "No answer" in told["items"][3]["html"] and all("Answer and working" in one["html"] for one in told["items"])
    assert json.loads(told["text"])["who"] == "Ann <b>"
    assert ask("results", **SET, who="x" * 90)["errors"][0]["path"] == "who"
    assert ask("results", **SET)["name"] == "results.json" and ask("results", **SET)["marks"] == 0


def test_the_trainers_view_reads_what_it_can_and_says_the_rest():
    good, other = answered("Ann <b>")["text"], answered("Ben", skip=(1, 2))["text"]
    told = ask("view", files=[{"name": "both.json", "text": good + other}, {"name": "again.json", "text": good}, {"name": "holiday.json", "text": '{"a": 1}'}, {"name": "<i>", "text": other.replace('"marks": 0', '"marks": 2').replace("Ben", "Cem")}])
    assert told["read"] == 3 and len(told["notes"]) == 3
    assert [note.split(":")[0] for note in told["notes"]] == ["again.json", "holiday.json", "<i>"] and "count once" in told["notes"][0] and "marked otherwise" in told["notes"][2]
    assert "Ann &lt;b&gt;" in told["html"] and "<b>" not in told["html"] and "&lt;i&gt;" in told["html"] and "<svg" in told["html"] and "8 Fuse" in told["html"]
    assert ask("view", files=[{"name": "", "text": ""}])["read"] == 0 and "<table" not in ask("view", files=[{"name": "", "text": ""}])["html"] and ask("view", files=[])["html"] == ""


# ---- at a terminal ----


def command(capsys, *arguments):
    status = __main__.main(["exercise", *arguments])
    return status, *capsys.readouterr()


def test_the_terminal_prints_a_set_and_its_key(capsys):
    status, sheet, _ = command(capsys, "cut-out-margin", "--seed", "7", "--level", "2", "--count", "3")
    assert status == 0 and sheet == "\n".join(exercises.lines(sets.order("7", ["cut-out-margin"], 2, 3))) + "\n" and "Answer:" not in sheet and sheet.count(" marks)") == 3
    status, key, _ = command(capsys, "cut-out-margin", "--seed", "7", "--level", "2", "--count", "3", "--key")
    assert status == 0 and key.count("Answer:") == 3 and all(line in key for line in sheet.splitlines())
    assert command(capsys, "all", "--seed", "7", "--count", "12")[0] == 0


def test_every_topic_at_a_terminal_keeps_to_the_width(capsys):
    for topic in TOPICS:
        _, told, _ = command(capsys, topic, "--seed", "wide", "--count", "8", "--level", "3", "--key")
        assert max(len(line) for line in told.splitlines() if not line.startswith("    =") and " = " not in line) <= 100, topic


def test_the_list_of_topics(capsys):
    status, told, _ = command(capsys, "list")
    assert status == 0 and [line.split()[0] for line in told.splitlines()] == list(TOPICS)


@pytest.mark.parametrize(("arguments", "words"), [
    (("fuses", "--seed", "1"), 'there is no topic "fuses"'), (("fuse",), "seed: enter any word"), (("fuse", "--seed", "1", "--level", "4"), "level: enter a whole number from 1 to 3"), (("fuse", "--seed", "1", "--count", "many"), "count: enter a whole number"),
])  # fmt: skip
def test_what_cannot_be_used_is_one_line_and_status_2(capsys, arguments, words):
    status, out, problem = command(capsys, *arguments)
    assert status == 2 and out == "" and problem.count("\n") == 1 and words in problem


def test_pages_that_do_not_practise_do_not_load_it():
    """What `warm_up` loads is what every page carries."""
    told = "import sys\nfrom calc import browser\nbrowser.warm_up()\nprint([name for name in sys.modules if 'exercises' in name or 'practice' in name])"
    done = subprocess.run([sys.executable, "-c", told], cwd=Path(__file__).parents[3], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"
