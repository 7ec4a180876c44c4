"""The manager's page: each finding once, under its step and person, and user text as text."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

from click.testing import CliRunner

from buildbook.cli import commands
from buildbook.load import load_job
from buildbook.photos import Library
from buildbook.records.finding import Finding, Gate, Grade
from buildbook.records.place import Place
from buildbook.report.html import findings_html
from buildbook.report.worklist import worklist

DEMO = Path(__file__).parents[3] / "demo_job"


def _finding(place: Place, says: str = "Something.") -> Finding:
    return Finding(code="a.b", grade=Grade.STOP, place=place, says=says, fix="Mend it.", source="")


def test_page(tmp_path):
    library = Library(tmp_path / "cache")
    job = load_job(DEMO, date(2026, 4, 24), library=library).job
    photo = next(p for p in job.photos if p.step and p.shown)
    reading = next(r for r in job.readings if r.by and r.step and r.instrument)
    found = [
        _finding(Place("job.toml", key="job.number"), "<script>alert(1)</script>\u202e"),
        _finding(Place(photo.path)),
        _finding(reading.place.at("value")),
    ]
    sections = worklist(job, found)
    assert sorted(i.finding.place for s in sections for h in s.shares for i in h.items) == sorted(f.place for f in found)
    assert sections[0].title == ""
    by_place = {i.finding.place: (s, h, i) for s in sections for h in s.shares for i in h.items}
    section, _, item = by_place[found[1].place]
    assert section.title.startswith(photo.step)
    assert item.photo == photo.sha256
    section, share, item = by_place[found[2].place]
    assert section.title
    assert job.people_by_id[reading.by].name in share.who
    assert ("instrument", reading.instrument) in item.cells
    assert ("value", reading.value_text) in item.cells
    page = findings_html(job, Gate.HANDOVER, found, lambda sha: library.rendition(sha, "small").read_bytes())
    assert "<script" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt;\\u202e" in page
    assert page.count('type="checkbox"') == 3
    assert page.count("data:image/jpeg;base64,") == 1
    assert not re.search(r'(?:src|href)="(?!data:)', page)


def test_out_is_written_outside_the_job_only(tmp_path):
    base = ["check", str(DEMO), "--as-of", "2026-04-24", "--cache", str(tmp_path / "c"), "--format", "html", "--out"]
    out = tmp_path / "page.html"
    CliRunner().invoke(commands.cli, [*base, str(out)], catch_exceptions=False)
    assert out.read_text("utf-8").startswith("<!doctype html>")
    result = CliRunner().invoke(commands.cli, [*base, str(DEMO / "page.html")])
    assert result.exception is not None
    assert not (DEMO / "page.html").exists()
