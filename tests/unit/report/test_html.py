"""The manager's page: each finding once, under its step and person, and user text as text."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner

from buildbook.cli import commands
from buildbook.load import load_job
from buildbook.records.finding import Finding, Gate, Grade
from buildbook.records.place import Place
from buildbook.report.html import PHOTOS_OF_ONE, findings_html
from buildbook.report.worklist import Cell, worklist

DEMO = Path(__file__).parents[3] / "demo_job"


def _finding(place: Place, says: str = "Something.") -> Finding:
    return Finding(code="a.b", grade=Grade.STOP, place=place, says=says, fix="Mend it.", source="")


def test_page(library):
    job = load_job(DEMO, date(2026, 4, 24), library=library).job
    photo = next(p for p in job.photos if p.step and p.shown)
    reading = next(r for r in job.readings if r.by and r.step and r.instrument)
    found = [
        _finding(Place("job.toml", key="job.number"), "<script>alert(1)</script>\u202e"),
        _finding(Place(photo.path)),
        _finding(reading.place.at("value")),
    ]
    sections = worklist(job, found)
    assert sorted(i.finding.place for s in sections for h in s.shares for r in h.remedies for i in r.items) == sorted(f.place for f in found)
    assert sections[0].title == ""
    by_place = {i.finding.place: (s, h, i) for s in sections for h in s.shares for r in h.remedies for i in r.items}
    section, _, item = by_place[found[1].place]
    assert section.title.startswith(photo.step[:3])
    assert [p.sha256 for p in item.photos] == [photo.sha256]
    section, share, item = by_place[found[2].place]
    assert section.title
    assert job.people_by_id[reading.by].name in share.who
    assert Cell("instrument", reading.instrument, False) in item.cells
    assert Cell("value", reading.value_text, True) in item.cells
    page = findings_html(job, Gate.HANDOVER, found, lambda sha: library.rendition(sha, "small").read_bytes())
    assert "<script" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt;\\u202e" in page
    assert page.count('type="checkbox"') == 3
    assert page.count("data:image/jpeg;base64,") == 1
    assert not re.search(r'(?:src|href)="(?!data:|#s)', page)


def test_stops_stand_first_and_a_remedy_is_said_once(library):
    job = load_job(DEMO, date(2026, 4, 24), library=library).job
    job = replace(job, readings=tuple(r for r in job.readings if r.step == job.readings[-1].step)[:4])
    last, first = sorted(job.people, key=lambda p: p.name, reverse=True)[:2]
    job = replace(job, readings=tuple(replace(r, by=last.id if n else first.id) for n, r in enumerate(job.readings)))
    other, *same = job.readings
    found = [
        Finding("a.note", Grade.NOTE, same[0].place, "Worth knowing.", "Nothing to do.", "", settled=True),
        Finding("a.query", Grade.QUERY, other.place, "Look.", "Look at it.", ""),
        *(Finding("a.stop", Grade.STOP, r.place, "Bad.", "Mend it in the table.", "") for r in same),
    ]
    (section,) = worklist(job, found)
    assert [s.who for s in section.shares] == [f"{p.name} ({p.id})" for p in (last, first)]
    assert [(r.grade, len(r.items)) for r in section.shares[0].remedies] == [(Grade.STOP, 3), (Grade.NOTE, 1)]
    page = findings_html(job, Gate.HANDOVER, found, lambda sha: library.rendition(sha, "small").read_bytes())
    assert page.count("Mend it in the table.") == 1
    assert page.count('type="checkbox"') == 4  # none for the note that asks for nothing
    assert page.index("Mend it in the table.") < page.index("Look at it.")


def test_materials_stand_under_their_step_and_photos_of_a_row_are_shown(library):
    job = load_job(DEMO, date(2026, 4, 24), library=library).job
    material = next(m for m in job.materials if m.steps)
    part = next(p for p in job.parts if p.photos)
    under, shown = worklist(job, [_finding(material.place.at("expires"))]), worklist(job, [_finding(part.place)])
    step = min(s.number for s in job.steps if s.id in material.steps or str(s.number).zfill(3) in material.steps)
    assert under[0].title.startswith(f"{step:03d}")
    item = shown[0].shares[0].remedies[0].items[0]
    assert [p.path for p in item.photos] == list(part.photos)


@pytest.mark.parametrize("many", [PHOTOS_OF_ONE - 1, PHOTOS_OF_ONE, PHOTOS_OF_ONE + 1, PHOTOS_OF_ONE + 5])
def test_of_many_photos_the_first_are_shown_and_the_rest_counted(library, many):
    job = load_job(DEMO, date(2026, 4, 24), library=library).job
    part = next(p for p in job.parts if p.photos)
    paths = tuple(job.photos_by_path)[:many]
    job = replace(job, parts=tuple(replace(p, photos=paths) if p is part else p for p in job.parts))
    found = [_finding(part.place)]
    (section,) = worklist(job, found)
    assert [p.path for p in section.shares[0].remedies[0].items[0].photos] == list(paths)
    asked: list[str] = []

    def small(digest):
        asked.append(digest)
        return b"\xff\xd8"

    page = findings_html(job, Gate.HANDOVER, found, small)
    shown = min(many, PHOTOS_OF_ONE)
    assert asked == [job.photos_by_path[path].sha256 for path in paths[:shown]]
    assert page.count("data:image/jpeg;base64,") == shown
    captions = re.findall(r"<figcaption>(.*?)</figcaption>", page)
    assert captions == list(paths[:shown])
    assert re.findall(r"<p>and (\d+) more</p>", page) == ([str(many - shown)] if many > shown else [])


def test_times_are_those_of_the_job(library):
    job = load_job(DEMO, date(2026, 4, 24), library=library).job
    reading = next(r for r in job.readings if isinstance(r.on, datetime) and r.on.tzinfo)
    for zone, hour in (("Asia/Tokyo", 9), ("UTC", 0)):
        there = replace(job, timezone=zone, readings=(replace(reading, on=datetime(2026, 3, 2, tzinfo=UTC)),))
        (section,) = worklist(there, [_finding(reading.place)])
        cells = {c.column: c.value for c in section.shares[0].remedies[0].items[0].cells}
        assert cells["on"] == f"2026-03-02 {hour:02d}:00"


def test_out_is_written_outside_the_job_only(tmp_path, library):
    base = ["check", str(DEMO), "--as-of", "2026-04-24", "--cache", str(library.cache_dir), "--format", "html", "--out"]
    out = tmp_path / "page.html"
    CliRunner().invoke(commands.cli, [*base, str(out)], catch_exceptions=False)
    assert out.read_text("utf-8").startswith("<!doctype html>")
    result = CliRunner().invoke(commands.cli, [*base, str(DEMO / "page.html")])
    assert result.exception is not None
    assert not (DEMO / "page.html").exists()
