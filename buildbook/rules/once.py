"""Work on a job that many rules ask for, done once for each job."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TypeVar, TypeVarTuple, cast

from buildbook.records.job import Job

Asked = TypeVarTuple("Asked")
Found = TypeVar("Found")


def once(work: Callable[[Job, *Asked], Found]) -> Callable[[Job, *Asked], Found]:
    """Keep what a pure function of a job and some of its records finds, for as long as the job lives.

    Records are told apart by identity, which costs nothing however large they are; each is held with its answer, so
    that no other can come to stand for it.
    """
    name = f"{work.__module__}.{work.__qualname__}"

    @wraps(work)
    def kept(job: Job, *asked: *Asked) -> Found:
        given = cast(tuple[object, ...], asked)
        key = (name, *map(id, given))
        held = job.worked_out.get(key)
        if held is None or any(one is not other for one, other in zip(held[0], given, strict=True)):
            held = job.worked_out[key] = (given, work(job, *asked))
        found: Found = held[1]
        return found

    return kept
