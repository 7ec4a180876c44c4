"""What the loader asks of the JSON Schemas: which property holds what. Finding and reading them: buildbook.schemas."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from buildbook.schemas import NAMES, folder, schema

__all__ = ["NAMES", "TABLES", "about", "folder", "kind_of", "part_at", "resolved", "schema"]

TABLES: tuple[str, ...] = ("condition", "approvals", "parts", "receipts", "materials", "readings")

Part = Mapping[str, Any]
"""A property's schema, as it stands in the schema file."""


def about(table: str) -> str:
    """What a table holds, as the end of a sentence: from its schema's description."""
    return str(schema(table)["description"]).split(". ")[0].split(": ", 1)[1]


def kind_of(part: Part) -> str:
    """What a property holds: the name it refers to in `$defs`, "word" for a word list, else its JSON type."""
    reference = part.get("$ref")
    if isinstance(reference, str):
        return reference.rpartition("/")[2]
    if "enum" in part:
        return "word"
    if "anyOf" in part:
        return "words"  # one word of a list, or several in brackets
    found = part.get("type", "any")
    return found if isinstance(found, str) else "any"


def resolved(name: str, part: Part) -> Part:
    """A property with what it refers to in its schema's `$defs` written out."""
    reference = part.get("$ref")
    if not isinstance(reference, str):
        return part
    found: Part = schema(name)["$defs"][reference.rpartition("/")[2]]
    return {**found, **{k: v for k, v in part.items() if k != "$ref"}}


def part_at(name: str, path: Sequence[str | int]) -> Part:
    """The schema of the value at a path of a document, {} where the schema knows nothing of it."""
    part: Part = schema(name)
    for step in path:
        inner = resolved(name, part)
        if isinstance(step, int):
            ways = (inner, *inner.get("anyOf", ()))
            part = next((way["items"] for way in ways if "items" in way), {})
        else:
            other = inner.get("additionalProperties")
            part = inner.get("properties", {}).get(step, other if isinstance(other, Mapping) else {})
    return part
