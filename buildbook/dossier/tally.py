"""The counts the summary prints: each is the length of something another section lists."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from buildbook.dossier.formats import as_day
from buildbook.dossier.grouping import items_of
from buildbook.dossier.outside import found_outside, left_outside
from buildbook.dossier.view import View
from buildbook.records.words import Outcome


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    observations: int
    corrected: int
    accepted: int
    unsettled: int
    steps: int
    first_day: date | None
    last_day: date | None
    workers: int
    replaced: int
    with_receipt: int
    refurbished: int
    kept: int
    readings: int
    within: int
    outside: int  # during or after the work
    found_outside: int  # as the vehicle came in, or before the work
    unjudged: int
    uncounted: int
    exceptions: int
    open_items: int
    approvals: int


def tally(view: View) -> Tally:
    job, items = view.job, items_of(view)
    outcomes = [o.outcome for o in job.observations]
    days = [d for s in job.steps for w in (s.started, s.finished) if (d := as_day(w, view.formats)) is not None]
    replaced = [p for p in job.parts if p.replaced]
    # A value taken with an instrument out of calibration is shown, but counted on neither side.
    counting = [v for v in view.verdicts if v.counts]
    return Tally(
        observations=len(outcomes),
        corrected=outcomes.count(Outcome.CORRECTED),
        accepted=outcomes.count(Outcome.ACCEPTED),
        unsettled=outcomes.count(None),
        steps=len(job.steps),
        first_day=min(days, default=None),
        last_day=max(days, default=None),
        workers=len({who for s in job.steps for who in (*s.done_by, *s.checked_by)}),
        replaced=len(replaced),
        with_receipt=sum(1 for p in replaced if view.evidence.file(p.receipt)),
        refurbished=sum(1 for p in job.parts if p.refurbished),
        kept=sum(1 for p in job.parts if p.kept),
        readings=len(job.readings),
        within=sum(1 for v in counting if v.within),
        outside=len(left_outside(items)),
        found_outside=len(found_outside(items)),
        unjudged=sum(1 for v in counting if not v.judged),
        uncounted=sum(1 for v in view.verdicts if not v.counts and not v.outside),
        exceptions=sum(1 for r in job.readings if r.exception),
        open_items=len(job.open_items),
        approvals=len(job.approvals),
    )
