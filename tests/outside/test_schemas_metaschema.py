"""The schemas against the standard that defines them.

Sources: JSON Schema draft 2020-12, Core and Validation (json-schema.org/specification), whose metaschema ships with
the jsonschema package; ISO 8601 and RFC 3339 section 5.6 for dates (the examples of section 5.8); RFC 8259 section 4
(names of an object should be unique) and section 6 (no NaN). The metaschema is applied twice: by the package's own
check and as a plain document.
"""

import json

import pytest
from jsonschema import Draft202012Validator
from jsonschema_specifications import REGISTRY

from buildbook.load.values import to_when
from buildbook.schemas import NAMES, folder, schema, validator

METASCHEMA = "https://json-schema.org/draft/2020-12/schema"


def strictly(pairs):
    made = dict(pairs)
    assert len(made) == len(pairs), f"a name stands twice among {[name for name, _ in pairs]}"
    return made


def refuse(text):
    raise AssertionError(f"{text} is no JSON")


@pytest.mark.parametrize("name", NAMES)
def test_each_schema_is_strict_json(name):
    text = (folder() / f"{name}.schema.json").read_text(encoding="utf-8")
    found = json.loads(text, object_pairs_hook=strictly, parse_constant=refuse)
    assert found["$schema"] == METASCHEMA


@pytest.mark.parametrize("name", NAMES)
def test_each_schema_is_valid_against_the_metaschema(name):
    Draft202012Validator.check_schema(schema(name))
    metaschema = REGISTRY.contents(METASCHEMA)
    check = Draft202012Validator(metaschema, registry=REGISTRY)
    assert [e.message for e in check.iter_errors(schema(name))] == []


def test_the_metaschema_really_refuses():
    broken = {**schema("parts"), "required": "id"}
    check = Draft202012Validator(REGISTRY.contents(METASCHEMA), registry=REGISTRY)
    assert not check.is_valid(broken)


@pytest.mark.parametrize("name", NAMES)
def test_every_keyword_is_one_of_the_draft_or_marked_as_ours(name):
    known = set()
    for vocabulary in ("core", "applicator", "validation", "meta-data", "format-annotation", "unevaluated", "content"):
        known |= set(REGISTRY.contents(f"https://json-schema.org/draft/2020-12/meta/{vocabulary}")["properties"])

    def walk(part, where):
        if isinstance(part, list):
            for n, inner in enumerate(part):
                walk(inner, f"{where}/{n}")
        elif isinstance(part, dict):
            for keyword, inner in part.items():
                assert keyword in known or keyword.startswith("x-"), f"{where}/{keyword}"
                if keyword in ("properties", "$defs"):
                    for field, deeper in inner.items():
                        walk(deeper, f"{where}/{keyword}/{field}")
                elif keyword in ("items", "anyOf", "additionalProperties"):
                    walk(inner, f"{where}/{keyword}")

    walk(schema(name), name)


@pytest.mark.parametrize("name", NAMES)
def test_every_reference_leads_somewhere_in_its_own_file(name):
    text = json.dumps(schema(name))
    targets = {part.split('"')[0] for part in text.split('"$ref": "')[1:]}
    assert all(target.startswith("#/$defs/") for target in targets)
    assert {target.removeprefix("#/$defs/") for target in targets} == set(schema(name).get("$defs", {}))


def reading(on):
    return {"stage": "after", "kind": "film_thickness", "value": "1", "on": on}


# RFC 3339, section 5.8, except that this record takes no leap second and no year before 1850.
RFC_3339 = {
    "1985-04-12T23:20:50.52Z": True,
    "1996-12-19T16:39:57-08:00": True,
    "1937-01-01T12:00:27.87+00:20": True,
    "2024-02-29": True,
    "2023-02-29": False,  # no leap year: Gregorian rule, RFC 3339 appendix C
    "1900-02-29": False,
    "2000-02-29": True,
    "2024-05-01T10:00:00+25:00": False,  # time-hour is 00 to 23
    "2024-13-01": False,
    "2024-05-01T24:00:00Z": False,
    "20240501": False,  # ISO 8601 basic format, which RFC 3339 leaves out
    "2024-W18-3": False,
    "24-05-01": False,
}


@pytest.mark.parametrize(("text", "good"), RFC_3339.items())
def test_dates_and_instants(text, good):
    assert validator("readings").is_valid(reading(text)) is good
    if good:
        from datetime import UTC

        assert to_when(text, UTC) is not None
