"""TOML files of the job folder, as plain data in the form the schemas ask for."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path
from typing import Any

from buildbook.load.check import document_faults
from buildbook.load.disk import TOML_BYTES, as_text, read_bytes
from buildbook.load.refused import Refused
from buildbook.load.schemas import kind_of, part_at, resolved
from buildbook.load.values import check_characters, check_damage, normal, tidy
from buildbook.marking import N_
from buildbook.records.finding import Raised
from buildbook.records.place import Place
from buildbook.records.said import said, said_of

KeyPath = tuple[str | int, ...]

# How tomllib ends its messages.
_AT = re.compile(r"(?P<what>.*) \(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)", re.DOTALL)

# What tomllib finds, its first letter small.
_FAULTS = (
    N_("invalid statement"), N_("expected newline or end of document after a statement"), N_("invalid value"),
    N_("cannot overwrite a value"), N_("cannot declare {what} twice"), N_("cannot redefine namespace {what}"),
    N_("cannot mutate immutable namespace {what}"), N_("expected ']' at the end of a table declaration"),
    N_("expected ']]' at the end of an array declaration"), N_("expected '=' after a key in a key/value pair"),
    N_("invalid initial character for a key part"), N_("unclosed array"), N_("unclosed inline table"),
    N_("duplicate inline table key {what}"), N_("unescaped '\\' in a string"), N_("unterminated string"),
    N_("illegal character {what}"), N_("found invalid character {what}"), N_("invalid date or datetime"),
    N_("invalid hex value"), N_("escaped character is not a Unicode scalar value"), N_("expected {what}"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Document:
    """A TOML file as read: `data` holds what could be; `bad` the paths of what could not.

    data: {} where the file as a whole is unreadable (readable False).
    """

    file: str
    data: Mapping[str, Any]
    bad: frozenset[KeyPath]
    raised: tuple[Raised, ...]
    readable: bool = True

    def bad_at(self, *path: str | int) -> frozenset[str] | None:
        """Names of the keys of the table at `path` that are unreadable; None if the table as a whole is."""
        if not self.readable or any(path[:n] in self.bad for n in range(1, len(path) + 1)):
            return None
        depth = len(path)
        return frozenset(str(b[depth]) for b in self.bad if len(b) > depth and b[:depth] == path)


def read_toml(root: Path, file: str, name: str) -> Document:
    """Read and validate a TOML file against the schema `name`. Never raises: see Document.raised."""
    try:
        written = parse(as_text(read_bytes(root, file, TOML_BYTES)))
    except Refused as refused:
        return Document(file, {}, frozenset(), (refused.at(Place(file)),), readable=False)
    raised: list[Raised] = []
    bad: set[KeyPath] = set()
    data = _plain(written, name, (), file, raised, bad)
    for fault in document_faults(name, data):
        if _inside(fault.path, bad):
            continue
        raised.append(Raised(fault.code, Place(file, key=dotted(fault.path)), fault.says))
        bad.add(fault.path)
    return Document(file, _without(data, bad), frozenset(bad), tuple(raised))


def parse(text: str) -> dict[str, Any]:
    """TOML text as data, numbers with a point as Decimal. Raises Refused (load.not-toml)."""
    try:
        return tomllib.loads(text.replace("\r\n", "\n").replace("\r", "\n"), parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        raise Refused("load.not-toml", _syntax(str(error))) from error
    except RecursionError as error:
        raise Refused("load.not-toml", said("Its brackets are nested too deep to be read.")) from error
    except (ValueError, ArithmeticError) as error:  # numbers and dates beyond all bounds
        raise Refused(
            "load.not-toml", said("It holds a number or date that cannot be read ({why}).", why=str(error))
        ) from error


def _syntax(message: str) -> str:
    found = _AT.fullmatch(message)
    if found is None:
        return said("It is not TOML: {fault}.", fault=message)
    fault = _in_words(found["what"][:1].lower() + found["what"][1:])
    if found["line"]:
        return said(
            "It is not TOML at line {line}, column {column}: {fault}.",
            line=found["line"], column=found["column"], fault=fault,
        )  # fmt: skip
    return said("It is not TOML at the end of the file: {fault}.", fault=fault)


def _in_words(fault: str) -> str:
    """What the parser says, as a sentence that can be said in another language; as it is, where it is a new one."""
    for template in _FAULTS:
        before, _, after = template.partition("{what}")
        if template == fault:
            return said_of(template)
        if "{what}" in template and fault.startswith(before) and fault.endswith(after):
            return said_of(template, what=fault[len(before) : len(fault) - len(after)])
    return fault


def dotted(path: KeyPath) -> str:
    """A path as places show it: items of lists counted from 1."""
    return ".".join(str(p + 1) if isinstance(p, int) else p for p in path)


def _inside(path: KeyPath, bad: set[KeyPath]) -> bool:
    return any(path[:n] in bad for n in range(1, len(path) + 1))


def _plain(value: Any, name: str, path: KeyPath, file: str, raised: list[Raised], bad: set[KeyPath]) -> Any:
    """Parsed TOML in the schemas' form: dates as ISO text, blank texts left out, words and paths in their dress."""
    if isinstance(value, Mapping):
        made = {}
        for key, inner in value.items():
            plain = _plain(inner, name, (*path, key), file, raised, bad)
            if plain is not None:
                made[key] = plain
        return made
    if isinstance(value, list):
        items = [_plain(inner, name, (*path, n), file, raised, bad) for n, inner in enumerate(value)]
        if kind_of(part_at(name, path)) in ("texts", "words", "zones"):
            items = [item for item in items if item is not None]
        return ["" if item is None else item for item in items] or None
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, Decimal) and not value.is_finite():
        return str(value)
    if not isinstance(value, str):
        return value
    part = part_at(name, path)
    kind = kind_of(part)
    text = tidy(value)
    if not text:
        return "" if path and path[0] == "kinds" else None  # a kind without a unit says so
    try:
        check_characters(text)
        check_damage(text, kind)
    except Refused as refused:
        raised.append(refused.at(Place(file, key=dotted(path))))
        bad.add(path)
        return None
    whole = resolved(name, part)
    if kind == "words":
        return [normal(text, kind, whole["anyOf"][-1].get("enum", ()))]
    if kind == "texts":
        return [text]
    if kind == "zones":
        return [normal(text, "zone")]
    return normal(text, kind, whole.get("enum", ()))


def _without(data: Any, bad: set[KeyPath], path: KeyPath = ()) -> Any:
    """The data without its bad leaves. Items of lists keep their number: a bad one becomes an empty table or goes."""
    if isinstance(data, Mapping):
        return {k: _without(v, bad, (*path, k)) for k, v in data.items() if (*path, k) not in bad}
    if isinstance(data, list):
        kept = ((n, v) for n, v in enumerate(data) if isinstance(v, Mapping) or (*path, n) not in bad)
        return [_without(v, bad, (*path, n)) for n, v in kept]
    return data
