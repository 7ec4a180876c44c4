"""Each rule of time: the fault raises its code alone at its place; edges belong to the permitted side."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any
from zoneinfo import ZoneInfo

import factory as f
import pytest

from buildbook.records.finding import Raised
from buildbook.records.job import Job
from buildbook.records.words import Decision, Operation, ReadingStage
from buildbook.rules.moments import surely_after
from buildbook.rules.time import TIME

BERLIN = ZoneInfo("Europe/Berlin")


def raised(job: Job) -> list[Raised]:
    return [found for rule in TIME if rule.check is not None for found in rule.check(job)]


def only(job: Job, code: str) -> Raised:
    found = raised(job)
    assert f.codes(found) == [code], [(r.code, r.says) for r in found]
    return found[0]


def with_step(**changes: Any) -> Job:
    return f.job(steps=(f.step(**changes),))


def test_a_sound_job_raises_nothing() -> None:
    job = f.job(steps=(f.step(),), parts=(f.part(),), materials=(f.material(expires=date(2026, 3, 3)),), readings=(f.reading(),))
    assert raised(job) == []


def test_head() -> None:
    assert only(f.job(received=None), "time.no-received").place.key == "job.received"
    assert only(f.job(handover=None), "time.no-handover").place.key == "job.handover"
    assert raised(f.job(received=None, handover=None, bad=frozenset({"received", "handover"}))) == []
    assert only(f.job(handover=date(2026, 3, 1), steps=(f.step(),)), "time.handover-before-received")
    assert raised(f.job(handover=date(2026, 3, 2))) == []
    assert only(f.job(handover=date(2026, 3, 21)), "time.handover-ahead")


def test_the_future_is_said_once_and_by_nothing_else() -> None:
    late = date(2026, 3, 21)
    places = [
        (f.job(received=late, handover=None, bad=frozenset({"handover"})), "job.received"),
        (f.job(instruments=(f.instrument(calibrated_on=late),)), "instruments.1.calibrated_on"),
        (f.job(steps=(f.step(finished=late),)), "finished"),
        (f.job(parts=(f.part(fitted_on=late),), steps=(f.step(),)), "fitted_on"),
        (f.job(approvals=(f.approval(on=late),)), "date"),
        (f.job(receipts=(f.receipt(on=late),)), "date"),
        (f.job(readings=(f.reading(on=datetime(2026, 3, 21, 0, 5)),)), "on"),
    ]
    for job, name in places:
        place = only(job, "time.future").place
        assert name in (place.key, place.column)


def test_what_lies_ahead_by_its_nature_may() -> None:
    ahead = date(2027, 1, 1)
    assert raised(f.job(materials=(f.material(expires=ahead),), steps=(f.step(),))) == []


def test_the_day_of_the_check_is_a_day_of_the_jobs_own_zone() -> None:
    """23:30 UTC on 20 March is 00:30 on 21 March in Berlin (UTC+1 before 29 March 2026)."""
    late = datetime(2026, 3, 20, 23, 30, tzinfo=UTC)
    assert only(f.job(readings=(f.reading(on=late, stage=ReadingStage.HANDOVER),)), "time.future")
    assert raised(f.job(timezone="UTC", readings=(f.reading(on=late, stage=ReadingStage.HANDOVER),))) == []


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"started": None}, "time.step-not-started"),
        ({"finished": None}, "time.step-not-finished"),
        ({"finished": date(2026, 3, 2)}, "time.step-ends-before-start"),
        ({"finished": datetime(2026, 3, 2, 23, 59)}, "time.step-ends-before-start"),
        ({"started": datetime(2026, 3, 4, 9), "finished": datetime(2026, 3, 4, 8, 59)}, "time.step-ends-before-start"),
        ({"started": date(2026, 3, 1)}, "time.step-outside-job"),
        ({"started": date(2026, 3, 3), "finished": None, "bad": frozenset({"finished"})}, None),
        ({"started": date(2026, 3, 4), "finished": datetime(2026, 3, 4, 0, 0)}, None),
        ({"started": datetime(2026, 3, 4, 9), "finished": datetime(2026, 3, 4, 9)}, None),
        ({"started": date(2026, 3, 2), "finished": date(2026, 3, 20)}, None),
    ],
)
def test_steps(change: dict[str, Any], code: str | None) -> None:
    assert f.codes(raised(with_step(**change))) == ([code] if code else [])


def test_after_handover_but_not_in_the_future() -> None:
    left = {"handover": date(2026, 3, 10)}
    assert only(f.job(steps=(f.step(finished=date(2026, 3, 11)),), **left), "time.step-outside-job").place.key == "finished"
    assert only(f.job(approvals=(f.approval(on=date(2026, 3, 11)),), **left), "time.approval-after-handover")
    assert only(f.job(receipts=(f.receipt(on=date(2026, 3, 11)),), **left), "time.receipt-after-handover")


@pytest.mark.parametrize(("day", "code"), [(2, ["time.part-outside-step"]), (3, []), (4, []), (5, ["time.part-outside-step"])])
def test_parts_are_fitted_within_their_step(day: int, code: list[str]) -> None:
    assert f.codes(raised(f.job(steps=(f.step(),), parts=(f.part(step="10", fitted_on=date(2026, 3, day)),)))) == code


@pytest.mark.parametrize(
    ("operation", "decision", "day", "code"),
    [
        (Operation.POLISH, Decision.APPROVED, 4, ["time.work-before-approval"]),
        (Operation.POLISH, Decision.APPROVED, 3, []),
        (Operation.INSPECT, Decision.APPROVED, 4, []),
        (Operation.POLISH, Decision.DECLINED, 4, []),
    ],
)
def test_work_follows_its_approval(operation: Operation, decision: Decision, day: int, code: list[str]) -> None:
    approval = f.approval(on=date(2026, 3, day), decision=decision)
    assert f.codes(raised(f.job(steps=(f.step(operation=operation),), approvals=(approval,)))) == code


def test_the_first_of_several_approvals_decides() -> None:
    approvals = (f.approval(id="A2", on=date(2026, 3, 9)), f.approval(on=date(2026, 3, 2)))
    assert raised(f.job(approvals=approvals, steps=(f.step(approvals=("A2", "A1")),))) == []


@pytest.mark.parametrize(("expires", "code"), [(date(2026, 3, 2), ["time.material-expired"]), (date(2026, 3, 3), [])])
def test_material(expires: date, code: list[str]) -> None:
    assert f.codes(raised(f.job(steps=(f.step(),), materials=(f.material(expires=expires),)))) == code


@pytest.mark.parametrize(
    ("stage", "days"),
    [
        (ReadingStage.INTAKE, (2, 3)), (ReadingStage.BEFORE, (3, 4)), (ReadingStage.DURING, (3, 4)),
        (ReadingStage.AFTER, (3, 4)), (ReadingStage.HANDOVER, (4, 20)),
    ],
)  # fmt: skip
def test_readings_lie_in_the_time_of_their_stage(stage: ReadingStage, days: tuple[int, int]) -> None:
    """Received on the 2nd, polished on the 3rd and 4th, handed over on the 20th."""
    step = "" if stage in (ReadingStage.INTAKE, ReadingStage.HANDOVER) else "010"
    held = [d for d in range(1, 21) if not raised(f.job(steps=(f.step(),), readings=(f.reading(stage=stage, step=step, on=date(2026, 3, d)),)))]
    assert (held[0], held[-1]) == days
    assert held == list(range(days[0], days[1] + 1))


def test_swapped_stages_at_one_point() -> None:
    before = f.reading(stage=ReadingStage.BEFORE, step="010", on=datetime(2026, 3, 4, 9))
    after = f.reading(stage=ReadingStage.AFTER, step="010", on=datetime(2026, 3, 3, 9), place=f.row("readings.csv", 3))
    assert only(f.job(steps=(f.step(),), readings=(before, after)), "time.after-reading-first").place.row == 3
    other = f.reading(stage=ReadingStage.AFTER, step="010", point="2", on=datetime(2026, 3, 3, 9))
    assert raised(f.job(steps=(f.step(),), readings=(before, other))) == []


def test_a_bare_day_is_given_the_benefit_of_the_doubt() -> None:
    day = date(2026, 3, 4)
    noon = datetime(2026, 3, 4, 12)
    assert not surely_after(day, noon, BERLIN)
    assert not surely_after(noon, day, BERLIN)
    assert surely_after(date(2026, 3, 5), noon, BERLIN)


def test_the_hour_that_comes_twice_is_told_apart_by_its_offset() -> None:
    """On 2026-10-25 Berlin goes back from 03:00 (+02:00) to 02:00 (+01:00): 02:30 exists twice, an hour apart."""
    first = datetime(2026, 10, 25, 2, 30, tzinfo=timezone(timedelta(hours=2)))
    second = datetime(2026, 10, 25, 2, 30, tzinfo=timezone(timedelta(hours=1)))
    assert surely_after(second, first, BERLIN)
    assert not surely_after(first, second, BERLIN)


def test_the_ends_of_the_calendar_do_no_harm() -> None:
    job = f.job(received=date.min, as_of=date.max, handover=date.max, steps=(f.step(started=date.min, finished=date.max),))
    assert "time.step-ends-before-start" not in f.codes(raised(job))
