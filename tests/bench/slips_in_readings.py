"""How many slips of the pen in the demo job's readings are found: every number, every slip, one at a time.

`python tests/bench/slips_in_readings.py` takes a few minutes and prints the table in docs/benchmarks.md. The faults
planted by hand (tests/jobs/planted_readings.py) were chosen; these are not.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory

from buildbook.load import load_job
from buildbook.photos import Library
from buildbook.records.finding import Raised
from buildbook.records.job import Job, Reading
from buildbook.rules.readings import READINGS
from buildbook.rules.time import TIME
from buildbook.trade.kinds import KINDS

DEMO = Path(__file__).parents[2] / "demo_job"
CHECKS = [rule.check for rule in (*READINGS, *TIME) if rule.check is not None]
UNITS = {kind.name: kind.units for kind in KINDS}


def raised(job: Job) -> set[Raised]:
    return {found for check in CHECKS for found in check(job)}


def slips(reading: Reading) -> Iterator[tuple[str, Reading]]:
    """Each slip of one reading: the sort, and the reading with it."""
    value, text = reading.value, reading.value_text
    if value is None or not value:
        return

    def other(number: Decimal) -> Reading:
        return replace(reading, value=number, value_text=f"{number:f}")

    for at in range(len(text) - 1):
        one, two = text[at], text[at + 1]
        if one.isdigit() and two.isdigit() and one != two:
            yield "two neighbouring digits swapped", other(Decimal(text[:at] + two + one + text[at + 2 :]))
    yield "decimal point moved", other(value * 10)
    yield "decimal point moved", other(value / 10)
    yield "sign", other(-value)
    for unit in UNITS.get(reading.kind, ()):
        if unit != reading.unit:
            yield "another unit of the quantity", replace(reading, unit=unit)
    if reading.unit:
        yield "no unit", replace(reading, unit="")


def main() -> None:
    with TemporaryDirectory() as cache:
        job = load_job(DEMO, date(2026, 4, 24), library=Library(Path(cache))).job
    sound = raised(job)
    counts: dict[str, list[int]] = defaultdict(lambda: [0, 0, 0])
    for n, reading in enumerate(job.readings):
        for sort, slipped in slips(reading):
            new = raised(replace(job, readings=(*job.readings[:n], slipped, *job.readings[n + 1 :]))) - sound
            count = counts[sort]
            count[0] += 1
            count[1] += bool(new)
            count[2] += any(found.place.row == reading.place.row for found in new)
    print("| slip | made | found | at its row |\n|---|---|---|---|")
    for sort, (made, found, there) in counts.items():
        print(f"| {sort} | {made} | {found} ({100 * found / made:.0f} %) | {there} ({100 * there / made:.0f} %) |")


if __name__ == "__main__":
    main()
