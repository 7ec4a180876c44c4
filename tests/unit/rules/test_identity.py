"""Rules of identity, and of the odometer."""

from dataclasses import replace
from typing import Any

import pytest
from asking import codes_of, raised_by
from factory import document, job, key

from buildbook.records.job import HistoryEntry, Job, Odometer, Vehicle
from buildbook.records.words import Basis, Body
from buildbook.rules import identity, odometer


def vehicle(**changes: Any) -> Job:
    given: dict[str, Any] = {
        "place": key("vehicle"), "marque": "Arvane", "model": "Tourer", "body": Body.ESTATE, "built": 1988,
        "chassis_number": "AT22-0041207", "engine_number": "E1", "market": "europe",
    }  # fmt: skip
    return job(vehicle=Vehicle(**(given | changes)))


def counter(**changes: Any) -> Odometer:
    given: dict[str, Any] = {"place": key("odometer"), "reading_in": 61200, "reading_out": 61204, "unit": "km"}
    return Odometer(**(given | changes))


def past(on: str, reading: int | None, **changes: Any) -> HistoryEntry:
    given: dict[str, Any] = {"place": key("history.1"), "on": on, "what": "Sold", "basis": Basis.OWNER, "odometer": reading}
    return HistoryEntry(**(given | changes))


# 49 CFR 565.15, Table V (PUB-A): the regulation's own example; the second has one digit changed (DER).
REGULATION = "1G4AH59H45G118341"
ALTERED = "1G4AH59H55G118341"


@pytest.mark.parametrize(
    ("number", "market", "built", "expected"),
    [
        (REGULATION, "north-america", 2005, []),
        (ALTERED, "north-america", 2005, ["identity.check-digit"]),
        (ALTERED, "europe", 2005, []),
        (ALTERED, "japan", 2005, []),
        (ALTERED, "", 2005, []),
        (ALTERED, "north-america", 1979, []),
        (ALTERED, "north-america", None, []),
        ("QX12-0034567", "north-america", 1988, ["identity.not-17"]),
        ("QX12-0034567", "japan", 1988, []),
        ("QX12-0034567", "europe", 1962, []),
        ("1G4AH59H45G11834O", "europe", 2005, ["identity.forbidden-letter"]),
        ("1G4AH59H45G11834I", "north-america", 2005, ["identity.forbidden-letter"]),
        ("1G4AH59H45G11834Q", "europe", 1972, []),
        ("1G4AH59H45G1183.1", "europe", 2005, ["identity.odd-character"]),
        ("", "north-america", 2005, []),
    ],
)
def test_numbers(number: str, market: str, built: int | None, expected: list[str]) -> None:
    it = vehicle(chassis_number=number, market=market, built=built)
    rules = (identity.forbidden_letter, identity.odd_character, identity.check_digit, identity.not_17)
    assert codes_of(rules, it) == expected


def test_check_digit_says_got_and_expected() -> None:
    (raised,) = raised_by(identity.check_digit, vehicle(chassis_number=ALTERED, market="north-america", built=2005))
    assert "got 5" in raised.says
    assert "expected 4" in raised.says
    assert str(raised.place) == "job.toml, key vehicle.chassis_number"


def test_a_number_given_but_unreadable_is_not_asked_for_again() -> None:
    it = vehicle(chassis_number="", engine_number="", body=None, bad=frozenset({"chassis_number", "engine_number", "body"}))
    rules = (identity.no_chassis_number, identity.no_engine_number, identity.no_body, identity.no_chassis_photo)
    assert not codes_of(rules, it)


def test_photo_missing_names_the_nearest_file() -> None:
    it = vehicle(chassis_number_photo="documents/chasis.jpg")
    it = replace(it, files=(document("documents/chassis.jpg"),))
    (raised,) = raised_by(identity.photo_missing, it)
    assert "documents/chasis.jpg" in raised.says
    assert "nearest: documents/chassis.jpg" in raised.says
    there = replace(it, vehicle=replace(it.vehicle, chassis_number_photo="documents/chassis.jpg"))
    assert not codes_of(identity.photo_missing, there)


def test_history_with_a_document_names_one_that_is_there() -> None:
    entry = past("1998", None, basis=Basis.DOCUMENT)
    rule = identity.history_no_document
    assert codes_of(rule, job(history=(entry,))) == ["identity.history-no-document"]
    named = replace(entry, document="documents/bill.pdf")
    assert codes_of(rule, job(history=(named,))) == ["identity.history-no-document"]
    assert not codes_of(rule, job(history=(named,), files=(document("documents/bill.pdf"),)))


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, []),
        ({"reading_out": 61200}, []),
        ({"reading_out": 61199}, ["identity.odometer-falls"]),
        ({"reading_out": 61199, "statement": "replaced at 61,200 km"}, []),
        ({"reading_out": 61700}, []),
        ({"reading_out": 61701}, ["identity.odometer-far"]),
        # 500 km are 310.7 miles: 1 mi = 1.609344 km exactly.
        ({"reading_out": 61510, "unit": "mi"}, []),
        ({"reading_out": 61511, "unit": "mi"}, ["identity.odometer-far"]),
        # 61,200 x 1.609344 = 98,492; one finding, not three.
        ({"reading_out": 98492}, ["identity.odometer-ratio"]),
        ({"reading_out": 38028}, ["identity.odometer-ratio"]),
        ({"reading_in": None}, ["identity.no-odometer-in"]),
        ({"reading_in": None, "bad": frozenset({"reading_in"})}, []),
        ({"reading_out": None}, ["identity.no-odometer-out"]),
        ({"unit": ""}, ["identity.odometer-unit"]),
        ({"digits": 5}, []),
        ({"digits": 4}, ["identity.odometer-digits"] * 2),
        ({"reading_in": None, "reading_out": None, "unit": "", "statement": "not working"}, []),
    ],
)
def test_odometer(change: dict[str, Any], expected: list[str]) -> None:
    it = job(odometer=counter(**change))
    assert codes_of(odometer.ODOMETER, it) == expected


@pytest.mark.parametrize(
    ("history", "expected"),
    [
        ((past("1998", 48900),), []),
        ((past("1998", 71900),), ["identity.history-falls"]),
        # Order of the file does not matter, the dates do.
        ((past("2010", 55000), past("1998-06", 48900)), []),
        ((past("2010", 48900), past("1998-06-30", 55000)), ["identity.history-falls"]),
        ((past("long ago", 99000),), []),
        # 38,028 x 1.609344 = 61,200.
        ((past("2025", 38028),), ["identity.odometer-ratio"]),
    ],
)
def test_course_of_history(history: tuple[HistoryEntry, ...], expected: list[str]) -> None:
    it = job(history=history, odometer=counter())
    assert codes_of(odometer.ODOMETER, it) == expected


def test_a_statement_explains_the_course() -> None:
    it = job(history=(past("1998", 71900),), odometer=counter(statement="rolled over in 2004"))
    assert not codes_of(odometer.history_falls, it)
