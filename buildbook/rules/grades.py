"""The usual profiles of grades over the three gates, to be spread into `rule(...)`."""

from __future__ import annotations

from typing import Final, TypedDict

from buildbook.records.finding import Grade


class Grades(TypedDict):
    """A rule's grade at each gate; None where it is not asked yet."""

    intake: Grade | None
    progress: Grade | None
    handover: Grade | None


def _grades(intake: Grade | None, progress: Grade | None, handover: Grade | None) -> Grades:
    return {"intake": intake, "progress": progress, "handover": handover}


STOP: Final = _grades(Grade.STOP, Grade.STOP, Grade.STOP)
# Can still be put right while the car is here; not after.
STOP_AT_HANDOVER: Final = _grades(Grade.QUERY, Grade.QUERY, Grade.STOP)
# Complete only when the work is: nothing to ask on arrival.
COMPLETE_BY_HANDOVER: Final = _grades(None, Grade.QUERY, Grade.STOP)
ONLY_AT_HANDOVER: Final = _grades(None, None, Grade.STOP)
QUERY: Final = _grades(Grade.QUERY, Grade.QUERY, Grade.QUERY)
QUERY_LATER: Final = _grades(None, Grade.QUERY, Grade.QUERY)
QUERY_AT_HANDOVER: Final = _grades(None, Grade.NOTE, Grade.QUERY)
QUERY_ONLY_AT_HANDOVER: Final = _grades(None, None, Grade.QUERY)
NOTE: Final = _grades(Grade.NOTE, Grade.NOTE, Grade.NOTE)
NOTE_AT_HANDOVER: Final = _grades(None, None, Grade.NOTE)
