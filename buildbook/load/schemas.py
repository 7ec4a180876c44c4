"""The JSON Schemas (draft 2020-12) of the record, found in an editable and in an installed copy."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

TABLES: tuple[str, ...] = ("condition", "approvals", "parts", "receipts", "materials", "readings")
NAMES: tuple[str, ...] = ("job", "step", *TABLES, "issue", "record", "findings")

_PACKAGE = Path(__file__).resolve().parent.parent


def folder() -> Path:
    """The folder that holds the schemas: inside the package once installed, beside it in a checkout."""
    installed = _PACKAGE / "_schemas"
    return installed if installed.is_dir() else _PACKAGE.parent / "schemas"


@cache
def _read(name: str) -> Mapping[str, Any]:
    if name not in NAMES:
        raise KeyError(f"no schema is called {name!r}; there are: {', '.join(NAMES)}")
    found: dict[str, Any] = json.loads((folder() / f"{name}.schema.json").read_text(encoding="utf-8"))
    return found


def schema(name: str) -> dict[str, Any]:
    """The schema of that name (one of NAMES). Raises KeyError for any other name. Do not change it: it is shared."""
    return dict(_read(name))


def kind_of(part: Mapping[str, Any]) -> str:
    """What a property holds: the name it refers to in `$defs`, "word" for a word list, else its JSON type."""
    reference = part.get("$ref")
    if isinstance(reference, str):
        return reference.rpartition("/")[2]
    if "enum" in part:
        return "word"
    found = part.get("type", "any")
    return found if isinstance(found, str) else "any"
