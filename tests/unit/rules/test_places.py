"""Findings point at keys and columns a person can write; test_bad_jobs.py holds that for every rule."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import factory as f
from places import written

from buildbook.records.place import Place
from buildbook.rules import RULES
from buildbook.rules.money import currency_unknown


def test_what_is_no_key_is_told_from_one() -> None:
    assert written(Place("job.toml", key="job.currency"))
    assert not written(Place("job.toml", key="job.job.currency"))
    assert not written(Place("job.toml", key="odometer.reading_in"))
    assert written(Place("steps/010-x/step.toml", key="recoats.2.began"))
    assert not written(Place("readings.csv", 3, "value_text"))


def test_the_currency_and_the_odometer_by_the_keys_a_person_writes() -> None:
    (found,) = currency_unknown.check(f.job(currency="XXQ"))  # type: ignore[misc]
    assert str(found.place) == "job.toml, key job.currency"
    empty = replace(f.job().odometer, reading_in=None, reading_out=None, unit="")
    places = {str(r.place) for rule in RULES if rule.check for r in rule.check(f.job(odometer=empty)) if "odometer" in r.code}
    assert places == {"job.toml, key odometer.in", "job.toml, key odometer.out"}
    falling = replace(f.job().odometer, reading_out=61000)
    (fell,) = [r for rule in RULES if rule.check for r in rule.check(f.job(odometer=falling, handover=date(2026, 3, 20)))
               if r.code == "identity.odometer-falls"]  # fmt: skip
    assert str(fell.place) == "job.toml, key odometer.out"
