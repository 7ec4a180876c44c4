"""Work kept for a job: done once for each of its records, and never another's answer."""

from __future__ import annotations

import pickle
from dataclasses import replace

import factory as f

from buildbook.records.job import Job, Step
from buildbook.rules.once import once

asked: list[str] = []


@once
def title(job: Job, step: Step) -> str:
    asked.append(step.id)
    return f"{job.number} {step.title}"


def test_the_same_question_is_worked_out_once() -> None:
    asked.clear()
    job = f.job(steps=(f.step(id="010-wash"), f.step(id="020-polish")))
    assert [title(job, step) for step in job.steps * 3] == [f"{job.number} {s.title}" for s in job.steps * 3]
    assert asked == ["010-wash", "020-polish"]


def test_another_job_or_an_equal_step_of_another_title_has_its_own_answer() -> None:
    job = f.job()
    step = f.step(title="Wash")
    first = title(job, step)
    assert title(replace(job, number="other"), step) == "other Wash"
    for n in range(1000):  # those before are gone by now; none may lend its answer
        assert title(job, replace(step, title=str(n))) == f"{job.number} {n}"
    assert title(job, step) == first


def test_a_job_that_went_through_another_process_still_answers_for_itself() -> None:
    job = f.job(steps=(f.step(title="Wash"),))
    title(job, job.steps[0])
    again = pickle.loads(pickle.dumps(job))
    assert title(again, replace(again.steps[0], title="Polish")) == f"{job.number} Polish"
