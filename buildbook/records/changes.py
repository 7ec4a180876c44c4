"""What changed in a record between two issues, as facts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class Change(StrEnum):
    """How something differs from the earlier issue."""

    ADDED = "added"
    CHANGED = "changed"
    WITHDRAWN = "withdrawn"
    MOVED = "moved"  # the same bytes under another name


@dataclass(frozen=True, slots=True, kw_only=True)
class FileChange:
    """path: now, or as it was if withdrawn. was: the earlier path of a moved file."""

    change: Change
    path: str
    was: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldChange:
    """A field of a part line, as text; "" = not given."""

    name: str
    was: str
    now: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PartChange:
    """A line of the parts register. what: what the part is, from the newer line that there is."""

    change: Change
    id: str
    what: str
    fields: tuple[FieldChange, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """since, since_on: number and date of the earlier issue. problem: why nothing could be compared ("" = it was)."""

    since: int
    since_on: date | None = None
    files: tuple[FileChange, ...] = ()
    parts: tuple[PartChange, ...] = ()
    problem: str = ""
