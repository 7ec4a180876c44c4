"""Brakes and tyres against makers' manuals and regulations."""

from datetime import date
from decimal import Decimal

import pytest

from buildbook.trade.brakes import (
    LINING_LIMITS,
    fluid_grade,
    judge_disc,
    judge_fluid,
    judge_lining,
    judge_thickness_variation,
    may_mix,
    thickness_variation,
)
from buildbook.trade.tyres import age_on, judge_tread, parse_date_code
from buildbook.trade.units import convert

D = Decimal
# OWN readings against the limits of one maker's manual (PUB-B): least 26.0, variation 0.015 mm
DISC = [D(part) for part in ["26.42", "26.43", "26.42", "26.41", "26.42", "26.43", "26.42", "26.42"]]


def test_disc_above_its_minimum_fails_on_variation() -> None:
    assert judge_disc(DISC, D("26.0")).word == "pass"
    assert judge_disc(DISC, D("26.0")).value == D("26.41")
    assert thickness_variation(DISC) == D("0.02")
    assert judge_thickness_variation(DISC, D("0.015")).word == "fail"


def test_variation_on_its_limit_is_no_float_trap() -> None:
    # In binary 26.43 - 26.41 is not 0.02, and 26.10 - 26.08 is more: a float would fail a disc on its limit
    assert 26.43 - 26.41 != 0.02
    assert 26.10 - 26.08 > 0.02
    assert judge_thickness_variation(DISC, D("0.02")).word == "pass"
    above = [D("26.10"), D("26.08"), D("26.09"), D("26.09")]
    assert judge_thickness_variation(above, D("0.02")).word == "pass"


def test_lining_limits() -> None:
    # 49 CFR 570.59(c): 1/32 in over fastener, 1/16 in over shoe (PUB-A) = 0.794 / 1.588 mm (DER)
    in_mm = {limit.code: convert(limit.least, limit.unit, "mm") for limit in LINING_LIMITS}
    assert round(in_mm["us-riveted"], 3) == D("0.794")
    assert round(in_mm["us-bonded"], 3) == D("1.588")
    # UK MOT: below 1.5 mm at any point fails, exactly 1.5 passes (PUB-C)
    assert judge_lining([D("4.0"), D("1.5")], in_mm["gb"]).word == "pass"
    assert judge_lining([D("4.0"), D("1.49")], in_mm["gb"]).word == "fail"


@pytest.mark.parametrize(
    ("grade", "dry", "wet"),
    # FMVSS 116 S5.1.1 and S5.1.2, °F as printed (PUB-C; DOT 4 wet 311 °F PUB-A)
    [("DOT 3", 401, 284), ("DOT 4", 446, 311), ("DOT 5", 500, 356), ("DOT 5.1", 500, 356)],
)
def test_fluid_table(grade: str, dry: int, wet: int) -> None:
    found = fluid_grade(grade)
    assert convert(found.dry, "°C", "°F") == dry
    assert convert(found.wet, "°C", "°F") == wet


def test_fluid_in_service() -> None:
    # 168 °C: above the wet minimum of DOT 4 (155), below that of DOT 5.1 (180)
    assert judge_fluid(D(168), "DOT 4").word == "pass"
    assert judge_fluid(D(168), "DOT 5.1").word == "fail"


def test_silicone_and_glycol_do_not_mix() -> None:
    # DOT 5 is silicone, DOT 5.1 is not (PUB-C)
    assert not may_mix("DOT 5", "DOT 4")
    assert not may_mix("DOT 5.1", "DOT 5")
    assert may_mix("DOT 4", "DOT 5.1")


def test_tread_in_two_jurisdictions() -> None:
    # 2/32 in = 1.5875 mm (DER; 49 CFR 570.9 MEM, a state rule with the same figure PUB-A); EU and GB 1.6 mm
    readings = [D("4.0"), D("1.59"), D("5.2")]
    assert judge_tread(readings, "US").word == "pass"
    assert judge_tread(readings, "EU").word == "fail"
    assert judge_tread(readings, "GB").word == "fail"
    assert judge_tread([D("1.6")], "EU").word == "pass"
    assert judge_tread([D("1.5875")], "US").word == "pass"
    assert judge_tread([D("1.5874")], "US").word == "fail"


def test_four_digit_date_codes() -> None:
    # An owner's manual: 0301 is the 3rd week of 2001, and week 01 the first full week (PUB-B), which makes it
    # start on Sunday 2001-01-21, while ISO week 3 starts on 2001-01-15 (DER): both lie in the range
    found = parse_date_code("0301")
    assert (found.week, found.years) == (3, (2001,))
    assert (found.earliest, found.latest) == (date(2001, 1, 15), date(2001, 1, 27))
    later = parse_date_code("3623")  # week 36 of 2023 (PUB-C)
    assert (later.week, later.years) == (36, (2023,))


def test_three_digit_date_code_never_gives_one_year() -> None:
    # 031 is the 3rd week of 1981 or 1991 (PUB-B, an owner's manual); changed July 2000 (64 FR 36807, PUB-A)
    found = parse_date_code("031")
    assert (found.week, found.years, found.certain) == (3, (1981, 1991), False)
    assert parse_date_code("031", oldest_year=1971).years == (1971, 1981, 1991)
    assert parse_date_code("200").years == (1980, 1990, 2000)
    assert parse_date_code("450").years == (1980, 1990)
    age = age_on(found, date(2026, 6, 1))
    assert (age.youngest, age.oldest) == (35, 45)
