"""The exceptions made of verdicts on several readings together: shown with who accepted them, when and why."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from buildbook.records.finding import Raised
from buildbook.records.job import Job
from buildbook.rules.grades import NOTE
from buildbook.rules.readings_compared import charging_badly, flat, leaking, uneven_cylinders, uneven_sides
from buildbook.rules.readings_cure import undercured
from buildbook.rules.readings_film import too_little, too_thin_left
from buildbook.rules.readings_law import ozone_left, thick_air, wet_fluids, worn_linings, worn_tyres
from buildbook.rules.readings_odd import varying_discs
from buildbook.rules.readings_paint import near_dew_point, taken_off
from buildbook.rules.rule import Rule, rule
from buildbook.rules.together import Find, Outside, accepted, said_of_accepted

FINDS: tuple[Find, ...] = (
    taken_off, near_dew_point, varying_discs, too_little, too_thin_left, undercured, uneven_sides, uneven_cylinders,
    leaking, flat, charging_badly, worn_tyres, worn_linings, wet_fluids, ozone_left, thick_air,
)  # fmt: skip


def outside_together(job: Job) -> tuple[Outside, ...]:
    """Every verdict on several readings that lies outside what is asked, accepted or not."""
    return tuple(chain.from_iterable(find(job) for find in FINDS))


@rule(
    "readings.exception-accepted",
    asks="Which verdicts on several readings lie outside what is asked, and were accepted?",
    why="An exception is shown with who accepted it, when and why; it never disappears.",
    fix="Nothing need be done.",
    settled=True, **NOTE,
)  # fmt: skip
def exception_accepted(job: Job) -> Iterator[Raised]:
    for found in outside_together(job):
        by = accepted(job, found)
        if by is not None:
            yield Raised("readings.exception-accepted", by[0].place.at("exception"), said_of_accepted(job, found))


READINGS_ACCEPTED: tuple[Rule, ...] = (exception_accepted,)
