"""What all records share."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from buildbook.records.place import Place

When = date | datetime  # a day, or an instant with its offset


@dataclass(frozen=True, kw_only=True)
class Record:
    """Base: the place of the record and the fields that were given but unreadable."""

    place: Place
    bad: frozenset[str] = frozenset()

    def lacks(self, field_name: str) -> bool:
        """True if the field was not given at all (a given but unreadable one has its own finding)."""
        value = getattr(self, field_name)
        return (value is None or value in ("", ())) and field_name not in self.bad
