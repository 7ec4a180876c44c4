"""Tyres: tread depth against a jurisdiction's limit, and the age a date code allows.

Local law decides; the limits here are data with their sources. Tread is judged by the lowest reading.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum

from buildbook.marking import N_
from buildbook.records.said import said

from .decision import Decision, judge
from .faults import TradeError
from .statistics import checked
from .units import convert

DEFER = "The law of the place where the car is used decides; it may ask more."


@dataclass(frozen=True, slots=True)
class TreadLimit:
    """A least tread depth in the unit the rule prints, with how it is to be measured and where it comes from."""

    code: str
    title: str
    least: Decimal
    unit: str
    how: str
    source: str

    @property
    def least_mm(self) -> Decimal:
        """The limit in mm, exactly."""
        return convert(self.least, self.unit, "mm")


JURISDICTIONS: tuple[TreadLimit, ...] = (
    TreadLimit("EU", "European Union, cars", Decimal("1.6"), "mm", "main grooves",
               N_("Directive 89/459/EEC, title and recitals [PUB-A]; figure [PUB-C]")),
    TreadLimit("GB", "Great Britain, cars", Decimal("1.6"), "mm",
               "central three-quarters of the breadth, whole circumference",
               N_("police information service, question 405 [PUB-A]")),
    TreadLimit("US", "United States, cars", Decimal(2), "1/32 in", "two grooves at three equally spaced places",
               N_("49 CFR 570.9 [MEM]; a state rule with the same figure [PUB-A]; many states ask their own")),
)  # fmt: skip


def tread_limit(code: str) -> TreadLimit:
    """The limit of a jurisdiction. Raises TradeError naming those there are."""
    for limit in JURISDICTIONS:
        if limit.code == code.strip().upper():
            return limit
    raise TradeError(
        f"There is no tread limit for {code!r} here.",
        f"Choose one of {', '.join(limit.code for limit in JURISDICTIONS)}, or state the limit and its source.",
    )


def judge_tread(
    readings_mm: Iterable[Decimal],
    jurisdiction: str | TreadLimit,
    *,
    expanded_uncertainty: Decimal | None = None,
) -> Decision:
    """The lowest reading (mm) against the jurisdiction's limit; the mean is never used."""
    limit = jurisdiction if isinstance(jurisdiction, TreadLimit) else tread_limit(jurisdiction)
    return judge(
        checked(readings_mm, "tread readings")[0],
        lower=limit.least_mm,
        expanded_uncertainty=expanded_uncertainty,
    )


@dataclass(frozen=True, slots=True)
class DateCode:
    """A date code: its week, the years it can stand for, and the first and last day it can mean."""

    written: str
    week: int
    years: tuple[int, ...]
    earliest: date
    latest: date

    @property
    def certain(self) -> bool:
        """Whether only one year fits."""
        return len(self.years) == 1


def _week_days(year: int, week: int) -> tuple[date, date]:
    """First and last day week ``week`` can mean: counted by ISO 8601, or from the first full week (Sunday).

    An owner's manual says week 01 is the first full week (PUB-B); codes in use do not say. Both are kept.
    """
    by_iso = date.fromisocalendar(year, 1, 1) + timedelta(weeks=week - 1)
    new_year = date(year, 1, 1)
    first_sunday = new_year + timedelta(days=6 - new_year.weekday())
    by_full_week = first_sunday + timedelta(weeks=week - 1)
    return min(by_iso, by_full_week), max(by_iso, by_full_week) + timedelta(days=6)


def parse_date_code(code: str, *, oldest_year: int = 1980) -> DateCode:
    """``"0301"`` (week 03 of 2001), or the three digits in use before July 2000: ``"031"`` (1981 or 1991).

    Three digits never give one year. ``oldest_year`` bounds their candidates; the source names the 1980s and
    1990s, a workshop that keeps a period tyre may pass 1971. Four digits stand for 2000 to 2099. Raises
    TradeError for other lengths, letters, week 00 or above 53.
    """
    plain = re.sub(r"\s", "", code)
    if not re.fullmatch(r"[0-9]{3,4}", plain):
        raise TradeError(
            said("{code} is not a tyre date code.", code=repr(code)),
            said("Write the last three or four digits as moulded, as 0301."),
        )
    week = int(plain[:2])
    if not 1 <= week <= 53:
        raise TradeError(
            said("{code} stands for week {week}, which no year has.", code=repr(code), week=f"{week:02d}"),
            said("Write week then year, as moulded, with leading zeros: 0301."),
        )
    if len(plain) == 4:
        years: tuple[int, ...] = (2000 + int(plain[2:]),)
    else:
        digit = int(plain[2])
        # Three digits ran into the first half of 2000 (rule change 64 FR 36807, PUB-A).
        decades = [year for year in (1970, 1980, 1990) if year + digit >= oldest_year]
        years = tuple(decade + digit for decade in decades)
        if digit == 0 and week <= 27:
            years += (2000,)
        if len(years) < 2:
            raise TradeError(
                said("{code} has no two candidate years from {year} on.", code=repr(code), year=oldest_year),
                said("Write an earlier oldest year."),
            )
    return DateCode(plain, week, years, _week_days(years[0], week)[0], _week_days(years[-1], week)[1])


def _whole_years(start: date, end: date) -> int:
    return end.year - start.year - ((end.month, end.day) < (start.month, start.day))


@dataclass(frozen=True, slots=True)
class AgeRange:
    """Age in whole years on a day: at least ``youngest``, at most ``oldest``."""

    youngest: int
    oldest: int


def age_on(code: DateCode, day: date) -> AgeRange:
    """The tyre's age on ``day``, as a range. Raises TradeError where the code lies wholly after that day."""
    if code.earliest > day:
        raise TradeError(
            f"Date code {code.written} means {code.earliest} or later, after {day}.",
            "Read the code again; it is week then year.",
        )
    return AgeRange(max(0, _whole_years(code.latest, day)), _whole_years(code.earliest, day))


class AgeWord(StrEnum):
    """How an age range stands to an age."""

    UNDER = "under"
    MAY_BE_OVER = "may be over"
    OVER = "over"


#: Advice of a manufacturers' association of 2001 (PUB-C): unused tyres over 6 years not fitted; all out at 10.
ADVISED_BEFORE_FITTING = 6
ADVISED_AT_MOST = 10


def age_word(age: AgeRange, years: int = ADVISED_AT_MOST) -> AgeWord:
    """Whether a tyre is under, over, or perhaps over an age in whole years. Advice, not law."""
    if age.youngest >= years:
        return AgeWord.OVER
    return AgeWord.MAY_BE_OVER if age.oldest >= years else AgeWord.UNDER
