"""The plan document's JSON Schema (draft 2020-12), from the same declaration it is read by."""

import json

from calc.calculators import CALCULATORS
from calc.calculators.form import Choice
from calc.plan import document, sections
from calc.plan.overrides import FIELDS_OF, PARTS

ADDRESS = "https://json-schema.org/draft/2020-12/schema"


def schema():
    """The schema.

    Returns
    -------
    dict
        JSON data.
    """
    members = {
        "kind": {"const": document.KIND, "description": "Says that this is a plan."},
        "version": {"const": document.VERSION, "description": "Version of this form."},
        "region": _of_field(sections.REGION),
        **{section.name: {"description": section.label, **_object({one.name: _of_field(one) for one in section.fields})} for section in sections.SECTIONS},
        "loads": {"description": "What must run. Each id stands once.", "type": "array", "maxItems": sections.LOADS_MOST, "items": _load()},
        "overrides": {"description": "Values typed over those that the steps fill in, by part.", **_object({part: _object(_fields(part)) for part in PARTS})},
        "notes": {"description": "The shop's own notes.", "type": "string", "maxLength": sections.NOTES_MOST},
    }
    ordered = {name: members[name] for name in document.ORDER}
    return {"$schema": ADDRESS, "title": "Plan of the inverter field handbook", "description": "Values are texts as people type them, with their unit.",
            "required": ["kind", "version"], **_object(ordered)}  # fmt: skip


def to_text():
    """The schema as it is published.

    Returns
    -------
    str
        JSON with a line break at its end.
    """
    return json.dumps(schema(), ensure_ascii=False, indent=1) + "\n"


def _object(members):
    return {"type": "object", "additionalProperties": False, "properties": members}


def _load():
    id = {"description": "A short id of its own that stays.", "type": "string", "pattern": f"^{document.ID.pattern}$"}
    return {"required": ["id"], **_object({"id": id, **{one.name: _of_field(one) for one in sections.LOAD_FIELDS}})}


def _fields(part):
    by_name = {one.name: one for one in CALCULATORS[PARTS[part]].fields}
    return {name: _of_field(by_name[name]) for name in FIELDS_OF[part]}


def _of_field(one):
    """A text; what it means, its unit, and the answers of a choice in words."""
    about = f"{one.label} [{one.unit}]" if one.unit else one.label
    if isinstance(one, Choice):
        about += f"; one of {', '.join(value for value in one.choices if value)}"
    return {"description": about, "type": "string", "maxLength": sections.TEXT_MOST}
