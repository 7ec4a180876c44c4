"""Validation against the JSON Schemas, and its errors as sentences a workshop can act on."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache, lru_cache
from typing import Any

from buildbook.load.refused import listed, meant, shown
from buildbook.load.schemas import TABLES, about, kind_of, part_at, resolved, schema
from buildbook.load.values import date_hint
from buildbook.marking import N_
from buildbook.records.said import either, figure, said, said_of, sentences, word
from buildbook.schemas import surely_valid

Path = tuple[str | int, ...]

_TYPES = {
    "string": N_("text in quotes"),
    "integer": N_("a whole number without quotes"),
    "number": N_("a number without quotes"),
    "boolean": N_("true or false"),
    "array": N_("a list in square brackets"),
    "object": N_("a table of its own"),
}
_PLAIN = N_("{value} is not a number in plain digits, with a point before the decimals.")
# kind -> code, what is said of a value that is not of that kind
_WANTED = {
    "decimal": ("load.bad-number", _PLAIN),
    "number": ("load.bad-number", _PLAIN),
    "grade": ("load.bad-number", N_("{value} is not a grade from 0 to 5 in steps of a half.")),
    "currency": ("load.bad-value", N_("{value} is not a currency by its three-letter code, as EUR.")),
    "file": (
        "load.bad-value",
        N_("{value} is not the path of a file of the job folder, such as documents/receipt.pdf."),
    ),
    "files": ("load.bad-value", N_("{value} is not paths of files of the job folder, separated by |.")),
    "id": ("load.bad-value", N_("{value} is not one short name without | or line breaks.")),
    "list": ("load.bad-value", N_("{value} is not names separated by |.")),
    "year-or-date": (
        "load.bad-date",
        N_("{value} is not a year, a year and month, or a date, as in 1988, 1988-05 or 1988-05-17."),
    ),
}
_ODD_SPACES = re.compile(r"\\u00|\x85")
_DATES = frozenset({"date", "when"})
_SHAPES = frozenset({"pattern", "format", "const", "minItems", "uniqueItems"})  # of what the schema then tells


@dataclass(frozen=True, slots=True)
class Fault:
    """Something in a document that its schema does not allow. path: where; code, says: of the finding."""

    path: Path
    code: str
    says: str


@cache
def _validator(name: str) -> Any:
    from jsonschema import Draft202012Validator

    return Draft202012Validator(schema(name), format_checker=Draft202012Validator.FORMAT_CHECKER)


@cache
def _column_validator(name: str, column: str) -> Any:
    from jsonschema import Draft202012Validator

    part = resolved(name, schema(name)["properties"][column])
    return Draft202012Validator(dict(part), format_checker=Draft202012Validator.FORMAT_CHECKER)


def document_faults(name: str, document: object) -> list[Fault]:
    """What the schema `name` does not allow in a whole document, one fault a place, in document order."""
    if _fits_at_once(name, document):
        return []
    return _distinct(_faults(name, _validator(name).iter_errors(document)))


def _fits_at_once(name: str, document: object) -> bool:
    """Whether a document is known to be valid without asking jsonschema.

    In a schema's pattern, Python counts a few control characters as spaces that the quick validator does not.
    """
    try:
        written = json.dumps(document, ensure_ascii=False, default=str)
    except (TypeError, ValueError, RecursionError):
        return False
    return not _ODD_SPACES.search(written) and surely_valid(name, document)


def row_faults(name: str, cells: Mapping[str, str], bad: Iterable[str] = ()) -> list[Fault]:
    """What the schema `name` does not allow in a row of its table. bad: columns that have their finding already.

    The same as validating the row as a whole (a test holds them equal), but each distinct cell is judged once.
    """
    faults = [fault for column, text in cells.items() for fault in _cell_faults(name, column, text)]
    lacking = [c for c in schema(name).get("required", ()) if c not in cells and c not in bad]
    return _distinct([*faults, *(_missing((), c) for c in lacking)])


@lru_cache(maxsize=100_000)
def _cell_faults(name: str, column: str, text: str) -> tuple[Fault, ...]:
    if text.isprintable() and surely_valid(name, text, column):  # what counts as a space, see below
        return ()
    errors = list(_column_validator(name, column).iter_errors(text))
    return tuple(_fault(name, (column,), error) for error in errors[:1])


def _faults(name: str, errors: Iterable[Any]) -> Iterator[Fault]:
    for error in errors:
        path = tuple(error.absolute_path)
        if error.validator == "required":
            yield from (_missing(path, key) for key in error.validator_value if key not in error.instance)
        elif error.validator == "additionalProperties" and isinstance(error.instance, Mapping):
            known = list(error.schema.get("properties", {}))
            if not known:
                yield Fault(path, "load.wrong-type", said("{value} cannot stand here.", value=shown(error.instance)))
            yield from (_unknown(path, key, known) for key in error.instance if known and key not in known)
        else:
            inner = [e for e in error.context or () if e.relative_path]  # of a list of words: the word itself
            if inner:
                yield from (_fault(name, path + tuple(e.relative_path), e) for e in inner)
            else:
                yield _fault(name, path, error)


def _distinct(faults: Iterable[Fault]) -> list[Fault]:
    """One fault a place and code: a value too many rules refuse is refused once."""
    found: dict[tuple[object, ...], Fault] = {}
    for fault in faults:
        found.setdefault((fault.path, fault.code), fault)
    return list(found.values())


def _missing(path: Path, key: str) -> Fault:
    return Fault((*path, key), "load.missing-field", said("{key} is not given.", key=key))


def _unknown(path: Path, key: str, known: Sequence[str]) -> Fault:
    near = get_close_matches(key, known, n=1, cutoff=0.6)
    hint = meant(near[0]) if near else said("Known here: {names}.", names=listed(list(known), 30))
    says = sentences(said("There is no {key} here, so it is not read.", key=shown(key)), hint)
    return Fault((*path, key), "load.unknown-key", says)


def _fault(name: str, path: Path, error: Any) -> Fault:
    """One error as a sentence. The schema says what the value is; the error only that it does not fit."""
    part = part_at(name, path)
    kind = kind_of(part)
    whole = resolved(name, part)
    value = error.instance
    if kind in _DATES and isinstance(value, str):
        if kind == "date":
            says = said("{value} is not a date.", value=shown(value))
        else:
            says = said("{value} is not a date or a date with a time.", value=shown(value))
        return Fault(path, "load.bad-date", sentences(says, date_hint(value)))
    if error.validator == "type":
        return Fault(path, "load.wrong-type", _not_of_type(value, _wanted_type(whole)))
    words = whole.get("enum") or error.schema.get("enum")
    if words:
        near = get_close_matches(str(value), [str(w) for w in words], n=1, cutoff=0.5)
        strange = said("{value} is none of the words known here.", value=shown(value))
        known = said("Known: {names}.", names=listed(list(map(str, words)), 30))
        return Fault(path, "load.bad-value", sentences(strange, meant(near[0]) if near else "", known))
    if error.validator == "maxLength":
        most = error.validator_value
        return Fault(
            path,
            "load.bad-value",
            said(
                "It is {n} characters long; at most {most} are read.", n=figure(len(value), ","), most=figure(most, ",")
            ),
        )
    if kind in _WANTED:
        code, wanted = _WANTED[kind]
        return Fault(path, code, said_of(wanted, value=shown(value)))
    if error.validator in ("minimum", "maximum"):
        says = said(
            "{value} is not between {least} and {most}.",
            value=shown(value), least=figure(whole.get("minimum", 0), ","), most=figure(whole.get("maximum", 0), ","),
        )  # fmt: skip
        return Fault(path, "load.bad-number", says)
    about = whole.get("description", "")
    strange = said("{value} does not fit.", value=shown(value))
    return Fault(path, "load.bad-value", sentences(strange, word(about) if about else ""))


def quoted() -> Iterator[str]:
    """The texts of the schemas that findings repeat: what tables hold, and what a value of no other name must be."""
    yield from map(about, TABLES)
    for name in ("job", "step", "issue", *TABLES):
        yield from _shaped(name, schema(name))


def _shaped(name: str, part: Mapping[str, Any]) -> Iterator[str]:
    whole = resolved(name, part)
    said_so = kind_of(part) in _WANTED or kind_of(part) in _DATES
    if _SHAPES & whole.keys() and "description" in whole and not said_so:
        yield str(whole["description"])
    for inner in (*whole.get("properties", {}).values(), *([whole["items"]] if "items" in whole else ())):
        yield from _shaped(name, inner)


def _not_of_type(value: object, wanted: str) -> str:
    if isinstance(value, str):
        return said("The text {value} stands here; {wanted} is wanted.", value=shown(value), wanted=wanted)
    if isinstance(value, bool):
        return said("{value} stands here; {wanted} is wanted.", value="true" if value else "false", wanted=wanted)
    if isinstance(value, Mapping):
        return said("A table stands here; {wanted} is wanted.", wanted=wanted)
    if isinstance(value, list):
        return said("A list stands here; {wanted} is wanted.", wanted=wanted)
    return said("The number {value} without quotes stands here; {wanted} is wanted.", value=shown(value), wanted=wanted)


def _wanted_type(part: Mapping[str, Any]) -> str:
    types = part.get("type", "string")
    names = [types] if isinstance(types, str) else list(types)
    return either(word(_TYPES.get(t, t)) for t in names)
