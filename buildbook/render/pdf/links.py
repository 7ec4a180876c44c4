"""Anchors and the links to them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from functools import cache

from buildbook.dossier.drawing import Label, Path
from buildbook.dossier.model import Counter, Dossier, Ref, Run


@cache
def _names(kind: type) -> tuple[str, ...] | None:
    """Names of a record's fields; None for what is no record."""
    return tuple(one.name for one in fields(kind)) if is_dataclass(kind) else None


def _walk(root: object) -> Iterator[object]:
    """Everything within, outer before inner and in order; by a stack, since a large dossier has a million of them."""
    waiting = [root]
    while waiting:
        value = waiting.pop()
        if isinstance(value, tuple | list):
            waiting.extend(reversed(value))
            continue
        yield value
        names = _names(type(value))  # type: ignore[arg-type]  # a type can be hashed
        if names:
            waiting.extend([getattr(value, name) for name in reversed(names)])


def texts(dossier: Dossier) -> Iterator[str]:
    """Every string of a dossier."""
    return (value for value in _walk(dossier) if isinstance(value, str))


def anchors(dossier: Dossier) -> frozenset[str]:
    """Every place a link may lead to."""
    places = (value for value in _walk(dossier) if not isinstance(value, Label))  # a label's `anchor` is its alignment
    return frozenset(str(getattr(value, "anchor", "")) for value in places) - {""}


def targets(dossier: Dossier) -> tuple[str, ...]:
    """Every anchor some text, counter or shape leads to, in order of first use."""
    found: dict[str, None] = {}
    for value in _walk(dossier):
        if isinstance(value, Run | Ref | Counter) and value.target:
            found.setdefault(value.target)
        elif isinstance(value, Path) and value.link:
            found.setdefault(value.link)
    return tuple(found)


def dangling_targets(dossier: Dossier) -> tuple[str, ...]:
    """Targets no anchor answers; their text is printed without a link."""
    there = anchors(dossier)
    return tuple(target for target in targets(dossier) if target not in there)
