"""The demo job shows what it is meant to show: its size, its cases worth showing, and no stop or query at handover."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from pypdf import PdfReader

from buildbook.load import Loaded, load_job
from buildbook.photos import Library
from buildbook.records.finding import Finding, Gate, Grade
from buildbook.records.words import Stage
from buildbook.rules import check_job

DEMO = Path(__file__).parents[2] / "demo_job"
HANDOVER = date(2026, 4, 24)
VIEWS = ("front", "front-left", "left", "rear-left", "rear", "rear-right", "right", "front-right")


@pytest.fixture(scope="module")
def loaded(library: Library) -> Loaded:
    return load_job(DEMO, HANDOVER, library=library)


@pytest.fixture(scope="module")
def found(loaded: Loaded) -> tuple[Finding, ...]:
    return check_job(loaded.job, loaded.raised, Gate.HANDOVER)


def test_no_stop_and_no_query_at_any_gate(loaded: Loaded) -> None:
    for gate in Gate:
        bad = [f for f in check_job(loaded.job, loaded.raised, gate) if f.grade in (Grade.STOP, Grade.QUERY)]
        assert bad == [], f"{gate}: {bad[:3]}"


def test_notes_are_the_intended_ones(found: tuple[Finding, ...]) -> None:
    assert Counter(f.code for f in found) == {
        "readings.film-thick": 1,
        "readings.conditional-pass": 1,
        "readings.out-of-calibration-repeated": 4,
        "readings.tyre-old": 1,
        "photos.has-location": 1,
    }


def test_the_thick_panel_is_named(found: tuple[Finding, ...]) -> None:
    assert next(f for f in found if f.code == "readings.film-thick").says.startswith("wing-rear-right")


def test_size(loaded: Loaded) -> None:
    job = loaded.job
    assert len(job.steps) >= 13
    assert len(job.parts) >= 30
    assert len(job.readings) >= 140
    assert len({r.stage for r in job.readings}) == 5
    assert len({r.kind for r in job.readings}) >= 16
    assert len(job.observations) >= 16
    assert len(job.approvals) >= 8
    assert len([m for m in job.materials if m.batch]) >= 14
    assert len(job.receipts) >= 8
    assert len([p for p in job.photos if p.step and p.facts.has_exif]) >= 66


def test_parts_are_replaced_refurbished_and_kept_with_reasons(loaded: Loaded) -> None:
    parts = loaded.job.parts
    assert min(sum(p.replaced for p in parts), sum(p.refurbished for p in parts), sum(p.kept for p in parts)) >= 5
    assert [p.id for p in parts if not p.why] == []
    assert [p.id for p in parts if p.replaced and not p.old_part] == []


def test_an_exception_is_approved_and_outside_its_limit(loaded: Loaded) -> None:
    job = loaded.job
    rows = [r for r in job.readings if r.exception]
    assert {r.approval for r in rows} == {"A-10"}
    limit = next(limit for limit in job.limits if limit.kind == "panel_gap")
    assert all(r.value is not None and limit.max is not None and r.value > limit.max for r in rows)


def test_whole_car_from_the_same_eight_places_before_and_after(loaded: Loaded) -> None:
    paths = {p.path for p in loaded.job.photos}
    for view in VIEWS:
        assert f"steps/010-intake/before/whole/{view}.jpg" in paths
        assert f"steps/130-handover/after/whole/{view}.jpg" in paths


def test_close_ups_have_their_pair(loaded: Loaded) -> None:
    by_stage = {
        stage: {(p.step, p.zone, Path(p.path).name) for p in loaded.job.photos if p.stage is stage} for stage in Stage
    }
    assert len(by_stage[Stage.BEFORE] & by_stage[Stage.AFTER]) >= 20


def test_two_cameras_one_writes_its_offset_and_some_pictures_are_turned(loaded: Loaded) -> None:
    facts = [p.facts for p in loaded.job.photos if p.step]
    assert {(f.camera.split()[0], f.offset_known) for f in facts} == {("Norrsken", True), ("Belmar", False)}
    assert {1, 3, 6, 8} <= {f.orientation for f in facts}
    assert 0 < sum(f.has_gps for f in facts) < len(facts) / 2
    assert len({f.dhash for f in facts}) == len(facts)


def test_one_photo_is_heic_read_with_its_time(loaded: Loaded) -> None:
    (photo,) = (p for p in loaded.job.photos if p.facts.format == "HEIF")
    assert photo.path == "steps/060-paint-bonnet-wing/during/bonnet/primer.heic"
    assert photo.facts.has_exif
    assert photo.facts.taken is not None
    assert photo.facts.taken.year == 2026
    assert (photo.facts.width, photo.facts.height) == (1600, 1200)


def _receipts(loaded: Loaded) -> Iterator[tuple[str, str, Decimal]]:
    for receipt in loaded.job.receipts:
        assert receipt.total is not None
        text = "".join(page.extract_text() for page in PdfReader(DEMO / receipt.document).pages)
        yield text, receipt.number, receipt.total


def test_each_receipt_shows_its_number_and_total(loaded: Loaded) -> None:
    for text, number, total in _receipts(loaded):
        assert number in text
        assert str(total) in text


def test_size_on_disk() -> None:
    assert sum(f.stat().st_size for f in DEMO.rglob("*") if f.suffix in (".jpg", ".heic")) < 30_000_000
