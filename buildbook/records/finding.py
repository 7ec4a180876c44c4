"""Findings: what the check says about the record. (What is seen on the car is an observation.)"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from buildbook.records.place import Place


class Gate(StrEnum):
    """How complete the record must be by now."""

    INTAKE = "intake"
    PROGRESS = "progress"
    HANDOVER = "handover"


class Grade(StrEnum):
    """stop: no handover with this. query: a person must look. note: worth knowing."""

    STOP = "stop"
    QUERY = "query"
    NOTE = "note"

    @property
    def rank(self) -> int:
        """0 for the gravest."""
        return tuple(Grade).index(self)


@dataclass(frozen=True, slots=True)
class Raised:
    """What a loader or a rule raises: a code, a place and a sentence. The gate's profile adds the grade.

    photos: paths of further photos it speaks of, to be shown beside the one at `place`.
    """

    code: str
    place: Place
    says: str
    photos: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Finding:
    """A graded finding, with its remedy and the source of the rule.

    photos: as raised. settled: nothing need be done about it.
    """

    code: str
    grade: Grade
    place: Place
    says: str
    fix: str
    source: str
    photos: tuple[str, ...] = ()
    settled: bool = False
