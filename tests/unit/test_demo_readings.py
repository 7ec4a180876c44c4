"""What the demo job's readings show: many kinds over the stages, each case a reader should meet once, each schedule met."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from buildbook.load import load_job
from buildbook.photos import Library
from buildbook.records.job import Job
from buildbook.records.words import Decision, ReadingStage
from buildbook.rules.judged import all_judged
from buildbook.rules.readings import READINGS
from buildbook.rules.readings_accepted import outside_together
from buildbook.rules.readings_cure import undercured
from buildbook.rules.readings_film import too_little, too_thin_left
from buildbook.rules.readings_paint import polished, removal_limit
from buildbook.trade.calibration import CalibrationState
from buildbook.trade.decision import Word
from buildbook.trade.film import judge_removal

DEMO = Path(__file__).parents[2] / "demo_job"
HANDOVER = date(2026, 4, 24)


@pytest.fixture(scope="module")
def job(library: Library) -> Job:
    return load_job(DEMO, HANDOVER, library=library).job


def test_at_least_fourteen_kinds_over_at_least_three_stages(job: Job) -> None:
    assert len({reading.kind for reading in job.readings}) >= 14
    assert len({reading.stage for reading in job.readings}) >= 3


def test_one_conditional_pass(job: Job) -> None:
    left = [r for r, _, v in all_judged(job) if v.word == Word.CONDITIONAL_PASS and r.stage is ReadingStage.AFTER]
    assert [(r.id, r.kind) for r in left] == [("R119", "disc_runout")]


def test_an_approved_exception_lies_outside_its_limit(job: Job) -> None:
    found = [(r, v) for r, _, v in all_judged(job) if r.exception]
    assert found
    for reading, verdict in found:
        assert verdict.outside
        assert job.approvals_by_id[reading.approval].decision is not Decision.DECLINED


def test_one_instrument_was_out_of_calibration_and_its_readings_do_not_count(job: Job) -> None:
    out = [(r, v) for r, _, v in all_judged(job) if v.calibration.state is CalibrationState.OUT]
    assert {r.instrument for r, _ in out} == {"CG-1"}
    assert len(out) == 4
    assert not any(v.counts_as_evidence for _, v in out)
    again = [r for r, _, v in all_judged(job) if r.kind == "compression" and v.counts_as_evidence]
    assert {r.point for r in again} == {r.point for r, _ in out}


def test_one_panel_shows_signs_of_an_earlier_repair(job: Job) -> None:
    (rule,) = [rule for rule in READINGS if rule.code == "readings.film-thick"]
    assert rule.check is not None
    (found,) = rule.check(job)
    assert found.says.startswith("wing-rear-right")
    assert "consistent with" in found.says
    assert "cannot prove" in found.says


def test_everything_else_that_counts_and_was_left_behind_passes(job: Job) -> None:
    words = Counter(v.word for r, _, v in all_judged(job) if v.judged and r.stage is ReadingStage.AFTER)
    assert set(words) == {Word.PASS, Word.CONDITIONAL_PASS}
    assert outside_together(job) == ()


def test_polishing_took_off_less_than_a_limit_kept_in_the_unit_it_is_quoted_in(job: Job) -> None:
    """0.3 mil is 7.62 µm exactly (1 mil = 25.4 µm)."""
    (limit,) = [limit for limit in job.limits if limit.kind == "film_removal"]
    assert (limit.max, limit.unit) == (Decimal("0.3"), "mil")
    assert "secondary page" in limit.source
    pairs = polished(job)
    assert {pair.zone for pair in pairs} == {"door-front-left", "roof", "tailgate"}
    for pair in pairs:
        most, found = removal_limit(job, pair.zone), pair.removed()
        assert most is not None
        assert found is not None
        assert most[0] == Decimal("7.62")
        assert judge_removal(found.removal, most[0]).word == Word.PASS


def test_the_cure_is_met_at_the_metal_and_not_by_much_more(job: Job) -> None:
    """61 °C or more from 11:15 to 11:50 (held until the next reading): 35 minutes of the 20 asked for."""
    (step,) = [step for step in job.steps if step.cure is not None]
    assert step.id.startswith("060")
    assert step.cure is not None

    def asking(minutes: int) -> Job:
        assert step.cure is not None
        longer = replace(step, cure=replace(step.cure, minutes=Decimal(minutes)))
        return replace(job, steps=tuple(longer if s is step else s for s in job.steps))

    assert list(undercured(asking(35))) == []
    (short,) = undercured(asking(36))
    assert "for 35 min unbroken; expected 36 min" in short.says
    assert len(step.recoats) == 2


def test_fresh_paint_and_what_polishing_left_are_judged(job: Job) -> None:
    """Neither rule is silent for want of something to judge."""
    thicker = replace(job, limits=tuple(replace(x, min=Decimal(200)) if x.kind == "film_nominal" else x for x in job.limits))
    assert {found.says.partition(":")[0] for found in too_little(thicker)} == {"bonnet", "wing-front-left"}
    more = replace(job, settings=job.settings | {"film_remaining_um": 200})
    assert {found.says.partition(":")[0] for found in too_thin_left(more)} == {"door-front-left", "roof", "tailgate"}
