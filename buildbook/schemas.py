"""The published JSON Schemas (draft 2020-12): where they lie, and what is wrong with a value.

They stand in `schemas/` of the source tree and in `buildbook/_schemas/` of an installed copy.
"""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

NAMES = (
    "job", "step", "condition", "approvals", "parts", "receipts", "materials", "readings", "issue", "record",
    "findings", "register",
)  # fmt: skip


def folder() -> Path:
    """The folder of the schemas. Raises FileNotFoundError if the installation is incomplete."""
    here = Path(__file__).resolve().parent
    for candidate in (here / "_schemas", here.parent / "schemas"):
        if (candidate / "job.schema.json").is_file():
            return candidate
    raise FileNotFoundError("the JSON Schemas are not installed: install buildbook again")


@cache
def schema(name: str) -> dict[str, Any]:
    """One schema by its name, e.g. "parts"."""
    found: dict[str, Any] = json.loads((folder() / f"{name}.schema.json").read_text("utf-8"))
    return found


def is_job_number(text: str) -> bool:
    """True if the job's schema takes it as a job number, which also names a folder."""
    number = schema("job")["properties"]["job"]["properties"]["number"]
    return re.fullmatch(number["pattern"], text) is not None


@cache
def validator(name: str) -> Any:
    """A validator that really checks formats and resolves references between our schemas only."""
    from jsonschema import Draft202012Validator, FormatChecker
    from referencing import Registry, Resource

    found = [Resource.from_contents(schema(n)) for n in NAMES if (folder() / f"{n}.schema.json").is_file()]
    registry: Any = Registry().with_resources([(r.contents["$id"], r) for r in found])
    return Draft202012Validator(schema(name), registry=registry, format_checker=FormatChecker())


@cache
def _quick_validator(name: str, column: str) -> Any:
    """Answers yes or no thirty times as fast; it names no place in our words."""
    import jsonschema_rs

    registry = jsonschema_rs.Registry([(found["$id"], found) for found in map(schema, NAMES)])
    whole = schema(name)
    asked = {"$ref": f"{whole['$id']}#/properties/{column}"} if column else whole
    return jsonschema_rs.Draft202012Validator(asked, registry=registry, validate_formats=True)


def surely_valid(name: str, value: Any, column: str = "") -> bool:
    """Whether a value, or one of a column, fits the schema `name` for all one can quickly tell.

    False where it does not, or where the quick validator cannot take it (lone surrogates, say): ask the other one.
    """
    try:
        return bool(_quick_validator(name, column).is_valid(value))
    except (ValueError, TypeError, OverflowError, RecursionError):
        return False


def problems(name: str, value: Any) -> list[str]:
    """What is wrong with a value, one line each: place in the value and message. Empty if it is valid."""
    if surely_valid(name, value):
        return []
    errors = sorted(validator(name).iter_errors(value), key=lambda e: [str(p) for p in e.absolute_path])
    return [f"{'/'.join(str(p) for p in e.absolute_path) or '(whole)'}: {e.message[:200]}" for e in errors]
