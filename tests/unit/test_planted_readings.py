"""Faults planted into the demo job's readings, limits and instruments: each is found, and where it lies.

The photos are surveyed once; each fault then reads the changed folder and asks every rule that looks at no picture.
docs/benchmarks.md states the count, and a test holds it to the table.
"""

from __future__ import annotations

import csv
import re
import shutil
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from jobs.planted_readings import FAULTS, READINGS, Fault

from buildbook.load import load_job
from buildbook.photos import Library, Surveyed
from buildbook.records.finding import Raised
from buildbook.rules import RULES

CHECKS = [rule.check for rule in RULES if rule.check is not None and not rule.code.startswith("photos.")]
ROOT = Path(__file__).parents[2]
HANDOVER = date(2026, 4, 24)


class Once:
    """A library that surveys each path once."""

    def __init__(self, library: Library) -> None:
        self.library = library
        self.known: dict[str, Surveyed] = {}

    def survey(self, root: Path, paths: Any, **more: Any) -> dict[str, Surveyed]:
        new = [path for path in paths if path not in self.known]
        if new:
            self.known.update(self.library.survey(root, new, **more))
        return {path: self.known[path] for path in paths}


class Copy:
    """A copy of the demo job that takes one fault at a time."""

    def __init__(self, root: Path, library: Once) -> None:
        self.root = root
        self.library = library

    def found(self) -> set[Raised]:
        loaded = load_job(self.root, HANDOVER, library=self.library)  # type: ignore[arg-type]
        return {*loaded.raised, *(raised for check in CHECKS for raised in check(loaded.job))}

    def with_fault(self, fault: Fault) -> set[Raised]:
        path = self.root / (fault.file or READINGS)
        kept = path.read_bytes()
        path.write_bytes(changed(kept.decode("utf-8"), fault).encode("utf-8"))
        try:
            return self.found()
        finally:
            path.write_bytes(kept)


def changed(before: str, fault: Fault) -> str:
    """The file's text with the fault in it. Fails where the fault no longer fits, or changes nothing."""
    if not fault.row:
        assert before.count(fault.old) == 1, f"{fault.old!r} stands {before.count(fault.old)} times"
        return before.replace(fault.old, fault.new)
    header, *rows = csv.reader(before.splitlines())
    (row,) = [r for r in rows if r[0] == fault.row]
    assert row[header.index(fault.column)] != fault.new
    row[header.index(fault.column)] = fault.new
    lines: list[str] = []
    csv.writer(_Lines(lines), lineterminator="\n").writerows([header, *rows])
    return "".join(lines)


class _Lines:
    def __init__(self, lines: list[str]) -> None:
        self.lines = lines

    def write(self, text: str) -> None:
        self.lines.append(text)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory, library: Library) -> Copy:
    root = tmp_path_factory.mktemp("demo") / "job"
    shutil.copytree(ROOT / "demo_job", root)
    return Copy(root, Once(library))


@pytest.fixture(scope="module")
def sound(demo: Copy) -> set[Raised]:
    return demo.found()


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_a_planted_fault_is_found_where_it_lies(fault: Fault, demo: Copy, sound: set[Raised]) -> None:
    new = demo.with_fault(fault) - sound
    here = [f for f in new if f.place == fault.at]
    assert fault.code in {f.code for f in here}, "\n".join(f"{f.code} {f.place}: {f.says}" for f in new) or "nothing new"


def test_the_unchanged_job_raises_none_of_it(sound: set[Raised], demo: Copy) -> None:
    assert {(f.code, f.place) for f in sound}.isdisjoint((fault.code, fault.at) for fault in FAULTS)
    assert demo.found() == sound  # and each fault was taken out again


def test_there_are_enough_faults_of_enough_sorts() -> None:
    assert len({(f.row, f.column, f.file, f.old, f.new) for f in FAULTS}) == len(FAULTS) >= 36
    assert len({f.sort for f in FAULTS}) >= 20


def test_the_count_is_reported() -> None:
    text = (ROOT / "docs" / "benchmarks.md").read_text("utf-8")
    found = re.search(r"(\d+) of (\d+) planted\s+faults in readings", text)
    assert found is not None
    assert found.groups() == (str(len(FAULTS)), str(len(FAULTS)))
