"""Anchors and the links to them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass

from buildbook.dossier.drawing import Label, Path
from buildbook.dossier.model import Counter, Dossier, Ref, Run


def _walk(value: object) -> Iterator[object]:
    if isinstance(value, tuple | list):
        for item in value:
            yield from _walk(item)
    elif is_dataclass(value) and not isinstance(value, type):
        yield value
        for one in fields(value):
            yield from _walk(getattr(value, one.name))
    else:
        yield value


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
