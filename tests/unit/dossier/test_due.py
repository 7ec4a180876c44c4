"""Dates and distances after handover, worked out by hand beside each."""

from __future__ import annotations

from datetime import date

import factory
import pytest

from buildbook.dossier.due import due_list
from buildbook.records.job import Aftercare, Odometer
from buildbook.records.words import MaterialKind, Operation, ReadingStage


def of_kind(job, kind):
    return [d for d in due_list(job) if d.kind == kind]


def wheels(**changes):
    return factory.step(id="110-wheels", number=110, zones=("wheel-front-left",), operation=Operation.REFURBISH, **changes)


def test_wheel_nuts_after_50_km_overdue_after_100():
    # Source: a tyre maker's page, check after 50 km or 30 miles (PUB-B, collected 2026-11); overdue at twice: PRAC.
    (due,) = of_kind(factory.job(steps=(wheels(),)), "wheel-nuts")
    assert (due.at, due.overdue_at) == (61254, 61304)
    assert due.records == (("step", "110-wheels"),)


def test_wheel_nuts_in_miles():
    meter = Odometer(place=factory.key("odometer"), reading_in=100, reading_out=120, unit="mi")
    (due,) = of_kind(factory.job(steps=(wheels(),), odometer=meter), "wheel-nuts")
    assert (due.at, due.overdue_at) == (150, 180)


def test_looking_at_a_wheel_opens_nothing():
    looked = factory.step(zones=("wheel-front-left",), operation=Operation.INSPECT)
    assert of_kind(factory.job(steps=(looked,)), "wheel-nuts") == []


def test_a_torque_on_a_wheel_opens_the_check_whatever_the_step_was_for():
    torque = factory.reading(kind="tightening_torque", zone="wheel-rear-left", step="10", value="90", unit="N·m",
                             stage=ReadingStage.AFTER)  # fmt: skip
    (due,) = of_kind(factory.job(steps=(factory.step(),), readings=(torque,)), "wheel-nuts")
    assert due.records == (("step", "010-polish"),)


def test_without_an_odometer_the_check_is_due_at_an_unknown_reading():
    meter = Odometer(place=factory.key("odometer"))
    (due,) = of_kind(factory.job(steps=(wheels(),), odometer=meter), "wheel-nuts")
    assert due.at is None
    assert due.overdue_at is None


@pytest.mark.parametrize(("zone", "found"), [("brake-front-left", 1), ("brake-hydraulics", 0), ("bonnet", 0)])
def test_bedding_in_follows_from_parts_of_the_wheel_brakes(zone, found):
    assert len(of_kind(factory.job(parts=(factory.part(zone=zone),)), "bedding-in")) == found


def test_coating_dry_after_two_days_cured_after_fourteen():
    # Secondary page: keep dry 24 to 48 hours, cure 7 to 14 days (PUB-C, collected 2026-11). The step ends 4 March.
    material = factory.material(kind=MaterialKind.COATING)
    (due,) = of_kind(factory.job(steps=(factory.step(),), materials=(material,)), "coating-cure")
    assert (due.on, due.until) == (date(2026, 3, 6), date(2026, 3, 18))


def test_brake_fluid_between_one_and_two_years():
    # Secondary page: change every one to two years (PUB-C, collected 2026-11).
    step = factory.step(zones=("brake-hydraulics",), finished=date(2024, 2, 29))
    fluid = factory.material(kind=MaterialKind.FLUID)
    (due,) = of_kind(factory.job(steps=(step,), materials=(fluid,)), "brake-fluid")
    assert (due.on, due.until) == (date(2025, 2, 28), date(2026, 2, 28))


def test_a_fluid_elsewhere_is_no_brake_fluid():
    assert of_kind(factory.job(steps=(factory.step(),), materials=(factory.material(kind=MaterialKind.FLUID),)), "brake-fluid") == []


def test_tyre_ten_years_from_its_date_code():
    # 49 CFR 574.5 (PUB-A): week then year; 3623 is week 36 of 2023, which begins on 4 September 2023 by ISO 8601 and
    # on 3 September counted from the first Sunday; both weeks end by 10 September.
    code = factory.reading(kind="tyre_date_code", value=None, value_text="3623", unit="", zone="tyre-front-left")
    (due,) = of_kind(factory.job(readings=(code,)), "tyre-age")
    assert due.on == date(2033, 9, 3)
    assert due.until == date(2033, 9, 10)


def test_tyres_of_one_code_stand_together():
    codes = tuple(
        factory.reading(kind="tyre_date_code", value=None, value_text=text, unit="", zone=zone)
        for zone, text in (("tyre-front-left", "2209"), ("tyre-front-right", "3623"), ("tyre-front-left", "3623"))
    )
    (due,) = of_kind(factory.job(readings=codes), "tyre-age")  # 2209 was read again later, as 3623
    assert due.zones == ("tyre-front-left", "tyre-front-right")


def test_a_date_code_that_cannot_be_read_gives_no_date():
    code = factory.reading(kind="tyre_date_code", value=None, value_text="worn off", unit="", zone="tyre-front-left")
    (due,) = of_kind(factory.job(readings=(code,)), "tyre-age")
    assert due.on is None


def test_own_entries_count_from_handover():
    entries = (
        Aftercare(place=factory.key("aftercare.1"), what="Wax", due_days=90),
        Aftercare(place=factory.key("aftercare.2"), what="Oil", due_distance=1000),
        Aftercare(place=factory.key("aftercare.3"), what="Look", due_on=date(2027, 1, 1), due_days=3),
    )
    wax, oil, look = of_kind(factory.job(aftercare=entries), "recorded")
    assert wax.on == date(2026, 6, 18)  # 20 March + 90 days
    assert oil.at == 62204
    assert look.on == date(2027, 1, 1)  # the stated day goes before the count
