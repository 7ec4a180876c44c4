"""Was the instrument in calibration on the day of the reading.

A reading on the due date counts, the day after does not (PRAC, stated here). A reading taken out of calibration is
kept and shown, and is no evidence for a pass (PRAC).
"""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from .faults import TradeError


class CalibrationState(StrEnum):
    """What is known about the instrument on the day."""

    IN = "in calibration"
    OUT = "out of calibration"
    BEFORE = "read before the calibration on record"
    UNKNOWN = "calibration not recorded"


@dataclass(frozen=True, slots=True)
class CalibrationCheck:
    """State on the day, the due date where one can be found, and whether the reading counts as evidence."""

    state: CalibrationState
    due: date | None

    @property
    def counts(self) -> bool:
        """Whether a reading of that day counts as evidence for a pass."""
        return self.state is CalibrationState.IN


def add_months(day: date, months: int) -> date:
    """``day`` plus ``months``; a day the month does not have becomes its last (31 January + 1 -> 28 February)."""
    index = day.year * 12 + day.month - 1 + months
    year, month = divmod(index, 12)
    if not date.min.year <= year <= date.max.year:
        raise TradeError(f"{day} plus {months} months is no date.", "Write the interval in months, as 12.")
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def due_date(last: date, interval_months: int) -> date:
    """The last day the calibration of ``last`` is good for. Raises TradeError for an interval below a month."""
    if interval_months < 1:
        raise TradeError(f"An interval of {interval_months} months cannot be.", "Write at least 1.")
    return add_months(last, interval_months)


def calibration_on(day: date, last: date | None, interval_months: int | None) -> CalibrationCheck:
    """Whether an instrument calibrated on ``last``, for ``interval_months``, was in calibration on ``day``."""
    if last is None or interval_months is None:
        return CalibrationCheck(CalibrationState.UNKNOWN, None)
    due = due_date(last, interval_months)
    if day < last:
        return CalibrationCheck(CalibrationState.BEFORE, due)
    return CalibrationCheck(CalibrationState.IN if day <= due else CalibrationState.OUT, due)
