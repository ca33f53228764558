"""The published schema says what the reader does."""

import copy
import json

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.errors import InputProblems
from calc.plan import document, schema
from tests.calc import typed
from tests.calc.plan.plans import FOLDER, NAMES, text_of
from tests.calc.plan.test_document import plans

SCHEMA = schema.schema()
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)


def accepted(data):
    """Whether the reader takes it."""
    try:
        document.read(copy.deepcopy(data))
    except InputProblems:
        return False
    return True


def test_the_schema_is_one_of_its_draft():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_the_published_file_is_this_schema():
    assert (FOLDER.parent / "plan" / "plan.schema.json").read_text("utf-8") == schema.to_text()


@pytest.mark.parametrize("name", NAMES)
def test_the_four_plans_follow_it(name):
    VALIDATOR.validate(json.loads(text_of(name)))


@typed.many
@given(plans())
def test_what_the_reader_writes_follows_it(plan):
    VALIDATOR.validate(json.loads(document.to_text(plan)))


scalars = st.none() | st.booleans() | st.integers(-5, 5) | st.floats(allow_nan=False, width=16) | st.text(max_size=5) | st.just([]) | st.just({}) | st.just("x" * 401)


@typed.many
@given(plans(), st.data())
def test_schema_and_reader_refuse_the_same(plan, data):
    """Any one place of a plan gets something else: both take it, or neither does."""
    whole = json.loads(document.to_text(plan))
    places = [(whole, name) for name in whole] + [(part, name) for part in whole.values() if isinstance(part, dict) for name in part]
    places += [(load, name) for load in whole.get("loads", ()) for name in load if name != "id"]
    holder, name = data.draw(st.sampled_from(places))
    if data.draw(st.booleans()):
        name = data.draw(st.sampled_from(["colour", *(["notes"] if holder is whole else [])]))
    holder[name] = data.draw(scalars)
    assert VALIDATOR.is_valid(whole) == accepted(whole)


def test_every_entry_says_what_it_is():
    def entries(part):
        for one in part.get("properties", {}).values():
            yield one
            yield from entries(one)
            yield from entries(one.get("items", {}))

    assert all(one.get("description") for one in entries(SCHEMA) if one.get("type") != "object")
    assert "Ah" in SCHEMA["properties"]["battery"]["properties"]["capacity"]["description"]
