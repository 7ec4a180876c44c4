"""Rules of time: the order of dates, and everything inside the dates it belongs to."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.records.finding import Raised
from buildbook.records.job import Job, Reading
from buildbook.records.said import day as on_day
from buildbook.records.said import said, word
from buildbook.records.words import Decision, ReadingStage
from buildbook.rules.grades import (
    NOTE_AT_HANDOVER,
    ONLY_AT_HANDOVER,
    QUERY,
    QUERY_LATER,
    STOP,
    STOP_AT_HANDOVER,
)
from buildbook.rules.moments import (
    LOOKING,
    Span,
    backwards,
    day,
    in_future,
    job_span,
    past_dates,
    shown,
    step_span,
    surely_after,
    working_days,
    zone_of,
)
from buildbook.rules.rule import Rule, rule

_SENSE = "Good sense; common practice, no source"


@rule(
    "time.no-received",
    asks="Is the day the vehicle came in recorded?",
    why="Without it nothing can be shown to lie within the job.",
    fix="Write received = 2026-03-02 under [job] in job.toml.",
    source=_SENSE, **STOP,
)  # fmt: skip
def no_received(job: Job) -> Iterator[Raised]:
    if job.lacks("received"):
        yield Raised("time.no-received", job.place.at("received"), said("The day the vehicle came in is not recorded."))


@rule(
    "time.no-handover",
    asks="Is the day of handover recorded?",
    why="Aftercare counts from it, and a later reader must see until when the record speaks.",
    fix="Write handover = 2026-03-20 under [job] in job.toml.",
    source=_SENSE, **ONLY_AT_HANDOVER,
)  # fmt: skip
def no_handover(job: Job) -> Iterator[Raised]:
    if job.lacks("handover"):
        yield Raised("time.no-handover", job.place.at("handover"), said("The day of handover is not recorded."))


@rule(
    "time.handover-before-received",
    asks="Does the handover follow the day the vehicle came in?",
    why="One of the two dates is wrong, and every other date is judged by them.",
    fix="Correct received or handover in job.toml.",
    source=_SENSE, **STOP,
)  # fmt: skip
def handover_before_received(job: Job) -> Iterator[Raised]:
    if job.received and job.handover and job.handover < job.received:
        yield Raised(
            "time.handover-before-received", job.place.at("handover"),
            said(
                "The handover of {handover} lies before the day the vehicle came in, {received}.",
                handover=on_day(job.handover), received=on_day(job.received),
            ),
        )  # fmt: skip


@rule(
    "time.handover-ahead",
    asks="Has the day of handover come?",
    why="A dossier issued before it states a handover that has not happened yet.",
    fix="Issue again on the day, or correct handover in job.toml.",
    source=_SENSE, **NOTE_AT_HANDOVER,
)  # fmt: skip
def handover_ahead(job: Job) -> Iterator[Raised]:
    if job.handover is not None and in_future(job, job.handover):
        yield Raised(
            "time.handover-ahead", job.place.at("handover"),
            said(
                "The handover is on {handover}; this check is of {day}.",
                handover=on_day(job.handover), day=on_day(job.as_of),
            ),
        )  # fmt: skip


@rule(
    "time.future",
    asks="Does everything recorded as done lie before the day of the check?",
    why="What has not happened yet cannot be evidence.",
    fix="Correct the date. A mistyped year is the usual cause.",
    source=_SENSE, **STOP_AT_HANDOVER,
)  # fmt: skip
def future(job: Job) -> Iterator[Raised]:
    tz = zone_of(job)
    for dated in past_dates(job):
        if in_future(job, dated.when):
            yield Raised(
                "time.future", dated.place,
                said(
                    "{what}: {when} lies after {day}, the day of this check.",
                    what=dated.what, when=shown(dated.when, tz), day=on_day(job.as_of),
                ),
            )  # fmt: skip


@rule(
    "time.step-not-started",
    asks="Does each step say when it was started?",
    why="Work without a date proves nothing, and photos and readings cannot be matched to it.",
    fix="Write started = 2026-03-04T09:00 in the step's step.toml, or take the folder of a step never done away.",
    source=_SENSE, **ONLY_AT_HANDOVER,
)  # fmt: skip
def step_not_started(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        if step.lacks("started"):
            yield Raised(
                "time.step-not-started", step.place.at("started"), said("Step {step} has no start.", step=step.id)
            )


@rule(
    "time.step-not-finished",
    asks="Is each step that was started finished at handover?",
    why="A step left open at handover is work nobody closed.",
    fix="Write finished = 2026-03-04T15:00 in the step's step.toml; what was left undone goes to [[open_items]].",
    source=_SENSE, **ONLY_AT_HANDOVER,
)  # fmt: skip
def step_not_finished(job: Job) -> Iterator[Raised]:
    tz = zone_of(job)
    for step in job.steps:
        if step.lacks("finished") and step.started is not None:
            yield Raised(
                "time.step-not-finished", step.place.at("finished"),
                said("Step {step}, started {started}, has no end.", step=step.id, started=shown(step.started, tz)),
            )  # fmt: skip


@rule(
    "time.step-ends-before-start",
    asks="Does each step end after it starts?",
    why="One of the two dates is wrong.",
    fix="Correct started or finished in step.toml.",
    source=_SENSE, **STOP_AT_HANDOVER,
)  # fmt: skip
def step_ends_before_start(job: Job) -> Iterator[Raised]:
    tz = zone_of(job)
    for step in job.steps:
        if step.started and step.finished and backwards(step, tz):
            yield Raised(
                "time.step-ends-before-start", step.place.at("finished"),
                said(
                    "Step {step} ends {finished}, before its start {started}.",
                    step=step.id, finished=shown(step.finished, tz), started=shown(step.started, tz),
                ),
            )  # fmt: skip


@rule(
    "time.step-outside-job",
    asks="Does each step lie between the day received and the day of handover?",
    why="Work dated when the vehicle was not here was not done here then.",
    fix="Correct the step's dates, or received and handover in job.toml.",
    source=_SENSE, **STOP_AT_HANDOVER,
)  # fmt: skip
def step_outside_job(job: Job) -> Iterator[Raised]:
    span, tz = job_span(job), zone_of(job)
    if span is None:
        return
    for step in job.steps:
        if backwards(step, tz):
            continue
        for name, when in (("started", step.started), ("finished", step.finished)):
            if when is not None and not in_future(job, when) and not span.holds(when, tz):
                says = _outside(step.id, name == "started", shown(when, tz), str(span))
                yield Raised("time.step-outside-job", step.place.at(name), says)


def _outside(step: str, started: bool, when: str, span: str) -> str:
    if started:
        return said("Step {step}: started {when} lies outside the job, {span}.", step=step, when=when, span=span)
    return said("Step {step}: finished {when} lies outside the job, {span}.", step=step, when=when, span=span)


@rule(
    "time.part-outside-step",
    asks="Was each part fitted within the dates of the step it names?",
    why="The step's photos and people vouch for the part only if it was fitted then.",
    fix="Correct fitted_on, the step named in parts.csv, or the step's dates.",
    source=_SENSE, **STOP_AT_HANDOVER,
)  # fmt: skip
def part_outside_step(job: Job) -> Iterator[Raised]:
    tz = zone_of(job)
    for part in job.parts:
        step = job.step(part.step) if part.step else None
        span = step_span(job, step) if step else None
        if step is None or span is None or part.fitted_on is None or in_future(job, part.fitted_on):
            continue
        if not span.holds(part.fitted_on, tz):
            yield Raised(
                "time.part-outside-step", part.place.at("fitted_on"),
                said(
                    "{part} was fitted on {day}; step {step} ran {span}.",
                    part=part.id, day=on_day(part.fitted_on), step=step.id, span=str(span),
                ),
            )  # fmt: skip


@rule(
    "time.work-before-approval",
    asks="Did work start on or after the day of the first approval it names?",
    why="An approval given afterwards is not consent to the work.",
    fix="Correct the date of the approval or of the step, or name the approval that came first.",
    source="Common practice, no source; consumer law of the place may ask more", **STOP_AT_HANDOVER,
)  # fmt: skip
def work_before_approval(job: Job) -> Iterator[Raised]:
    tz = zone_of(job)
    for step in job.steps:
        if step.operation in LOOKING or step.started is None or step_span(job, step) is None:
            continue
        named = (job.approvals_by_id.get(ref) for ref in step.approvals)
        given = [(a.on, a.id) for a in named if a and a.on and a.decision is not Decision.DECLINED]
        if not given:
            continue
        first, name = min(given)
        if day(step.started, tz) < first and not in_future(job, first):
            yield Raised(
                "time.work-before-approval", step.place.at("started"),
                said(
                    "Step {step} started {started}, before approval {approval} of {day}.",
                    step=step.id, started=shown(step.started, tz), approval=name, day=on_day(first),
                ),
            )  # fmt: skip


@rule(
    "time.approval-after-handover",
    asks="Are approvals dated no later than the handover?",
    why="What was agreed after the vehicle left was not agreed while it could still be undone.",
    fix="Correct the date of the approval in approvals.csv.",
    source=_SENSE, **QUERY_LATER,
)  # fmt: skip
def approval_after_handover(job: Job) -> Iterator[Raised]:
    span = job_span(job)
    for approval in job.approvals:
        if span and job.handover and approval.on and approval.on > job.handover and not in_future(job, approval.on):
            yield Raised(
                "time.approval-after-handover", approval.place.at("date"),
                said(
                    "Approval {approval} of {day} lies after the handover of {handover}.",
                    approval=approval.id, day=on_day(approval.on), handover=on_day(job.handover),
                ),
            )  # fmt: skip


@rule(
    "time.receipt-after-handover",
    asks="Are receipts dated no later than the handover?",
    why="A part bought after the vehicle left was not fitted in this job.",
    fix="Correct the date in receipts.csv, or say in the part line why the receipt came later.",
    source=_SENSE, **QUERY_LATER,
)  # fmt: skip
def receipt_after_handover(job: Job) -> Iterator[Raised]:
    span = job_span(job)
    for receipt in job.receipts:
        if span and job.handover and receipt.on and receipt.on > job.handover and not in_future(job, receipt.on):
            yield Raised(
                "time.receipt-after-handover", receipt.place.at("date"),
                said(
                    "Receipt {receipt} of {day} is later than the handover of {handover}.",
                    receipt=receipt.number or receipt.document, day=on_day(receipt.on),
                    handover=on_day(job.handover),
                ),
            )  # fmt: skip


@rule(
    "time.material-expired",
    asks="Was each material used up to its expiry date?",
    why="Paint, primer and adhesive past their date may not cure; the maker no longer answers for them.",
    fix="Correct expires or steps in materials.csv. If it was used so, say in the step who decided it and why.",
    source="Makers' data sheets; common practice, no source", **QUERY,
)  # fmt: skip
def material_expired(job: Job) -> Iterator[Raised]:
    for material in job.materials:
        for ref in material.steps:
            step = job.step(ref)
            span = step_span(job, step) if step else None
            if step and span and material.expires and span.first > material.expires:
                yield Raised(
                    "time.material-expired", material.place.at("expires"),
                    said(
                        "{material} expired on {expires}; step {step}, which used it, began {began}.",
                        material=material.id, expires=on_day(material.expires), step=step.id,
                        began=on_day(span.first),
                    ),
                )  # fmt: skip


def reading_window(job: Job, reading: Reading, work: Span | None) -> tuple[Span, str] | None:
    """The days on which a reading of its stage can have been taken, and what sets them; None where nothing does.

    work: the job's working days.
    """
    whole = job_span(job)
    if reading.stage is ReadingStage.INTAKE:
        if whole is None:
            return None
        last = work.first if work and whole.first <= work.first else whole.last
        return Span(whole.first, last), said("from the day received to the start of the work")
    if reading.stage is ReadingStage.HANDOVER:
        if whole is None:
            return None
        first = work.last if work and work.last <= whole.last else whole.first
        return Span(first, whole.last), said("from the end of the work to the handover")
    step = job.step(reading.step) if reading.step else None
    span = step_span(job, step) if step else None
    return (span, said("during step {step}", step=step.id)) if step and span else None


@rule(
    "time.reading-outside-stage",
    asks="Was each reading taken in the time its stage and step stand for?",
    why="A value on arrival read after the work, or a value after read before it, proves the wrong thing.",
    fix="Correct the date, the stage or the step of the row in readings.csv.",
    source=_SENSE, **STOP_AT_HANDOVER,
)  # fmt: skip
def reading_outside_stage(job: Job) -> Iterator[Raised]:
    tz, work = zone_of(job), working_days(job)
    for reading in job.readings:
        if reading.on is None or reading.stage is None or in_future(job, reading.on):
            continue
        window = reading_window(job, reading, work)
        if window is not None and not window[0].holds(reading.on, tz):
            yield Raised(
                "time.reading-outside-stage", reading.place.at("on"),
                said(
                    "Reading {reading} ({stage}) is of {when}; expected {span}, {why}.",
                    reading=reading.id or reading.kind, stage=word(reading.stage), when=shown(reading.on, tz),
                    span=str(window[0]), why=window[1],
                ),
            )  # fmt: skip


@rule(
    "time.after-reading-first",
    asks="At one point, was the reading before taken first?",
    why="Swapped stages turn a loss into a gain.",
    fix="Swap the stages of the two rows, or correct their dates, in readings.csv.",
    source=_SENSE, **STOP_AT_HANDOVER,
)  # fmt: skip
def after_reading_first(job: Job) -> Iterator[Raised]:
    tz = zone_of(job)
    befores: dict[tuple[str, ...], Reading] = {}
    for reading in job.readings:
        if reading.stage is ReadingStage.BEFORE and reading.step:
            befores.setdefault((reading.step, reading.zone, reading.point, reading.kind), reading)
    for reading in job.readings:
        if reading.stage is not ReadingStage.AFTER or reading.on is None or in_future(job, reading.on):
            continue
        before = befores.get((reading.step, reading.zone, reading.point, reading.kind))
        if before is None or before.on is None or in_future(job, before.on):
            continue
        windows = (reading_window(job, reading, None), reading_window(job, before, None))
        sound = all(w is None or w[0].holds(r.on, tz) for w, r in zip(windows, (reading, before), strict=True) if r.on)
        if sound and surely_after(before.on, reading.on, tz):
            says = said(
                "Reading {reading} (after) is of {when}, earlier than {before} before the work, {earlier}.",
                reading=reading.id or reading.kind, when=shown(reading.on, tz),
                before=before.id or said("the one"), earlier=shown(before.on, tz),
            )  # fmt: skip
            yield Raised("time.after-reading-first", reading.place.at("on"), says)


TIME: tuple[Rule, ...] = (
    no_received, no_handover, handover_before_received, handover_ahead, future, step_not_started, step_not_finished,
    step_ends_before_start, step_outside_job, part_outside_step, work_before_approval, approval_after_handover,
    receipt_after_handover, material_expired, reading_outside_stage, after_reading_first,
)  # fmt: skip
