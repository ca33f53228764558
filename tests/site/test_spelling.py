"""British spelling, by a dictionary: what it does not know is a term of the trade in words.txt, or wrong."""

import re
from functools import cache
from pathlib import Path

import pytest
from hunspell import Hunspell

from tests.site.chapters import DOCS, ROOT, SITE, built

TERMS = Path(__file__).parent / "words.txt"

# Not read: titles, keys and place names as their sources print them.
AS_PRINTED = {"reference/sources.md", "reference/tables.md", "reference/verification.md", "reference/verification-battery.md"}
PAGES = sorted({path.relative_to(DOCS).as_posix() for path in DOCS.rglob("*.md")} - AS_PRINTED)

# Words, with their inner apostrophes; a symbol or a unit with a digit, a dot or a slash in it is none.
WORD = re.compile(r"(?<![\w./@-])[^\W\d_]{2,}(?:['’][^\W\d_]+)*(?![\w./@]*[\d_/@])")
SHOUTED = re.compile(r"[A-ZΩ]{2,}s?")


@cache
def dictionary():
    return Hunspell("index", hunspell_data_dir=str(ROOT / "node_modules" / "dictionary-en-gb"))


@cache
def terms():
    return {line for line in TERMS.read_text("utf-8").splitlines() if line and not line.startswith("#")}


@cache
def is_known(word):
    word = word.replace("’", "'")
    bare = word.removesuffix("'s").removesuffix("'")
    return bool(SHOUTED.fullmatch(bare)) or not {bare, bare.lower()}.isdisjoint(terms()) or any(dictionary().spell(one) for one in (word, bare))


def text(page):
    """What the page says: its article without code, formulas and what stands only in a drawing."""
    article = re.search(r"<article.*?</article>", page.read_text("utf-8"), re.DOTALL)[0]
    article = re.sub(r"<(script|style|code|pre|svg|math|sub|dt class=\"symbol\")\b.*?</\1>", " ", article, flags=re.DOTALL)
    article = re.sub(r"<[^>]+>", " ", article)
    # A long label of a figure's axis is cut short, and half a word is no word.
    article = re.sub(r"\w+…", " ", article)
    return without_powers(re.sub(r"&[a-z]+;|&#\d+;", " ", article))


def without_powers(words):
    """mm² as mm2, which is no word."""
    return words.translate(str.maketrans("²³", "23"))


def unknown(words):
    return sorted({word for word in WORD.findall(words) if not is_known(word)})


@pytest.mark.parametrize("page", PAGES)
def test_every_word_is_british_or_a_term_of_the_trade(page):
    assert unknown(text(built(page))) == []


def test_american_and_wrong_spellings_are_seen():
    wrong = "color center aluminum batery recieve"
    assert unknown(wrong) == sorted(wrong.split())


def test_british_spellings_and_names_pass():
    assert unknown(without_powers("colour centre aluminium metre battery's ABYC RCDs ISO 13297 mm² 12 V")) == []


def test_the_terms_are_in_order_once_and_needed():
    listed = [line for line in TERMS.read_text("utf-8").splitlines() if line and not line.startswith("#")]
    assert listed == sorted(set(listed), key=str.lower)
    assert [word for word in listed if dictionary().spell(word)] == [], "the dictionary has these itself"
