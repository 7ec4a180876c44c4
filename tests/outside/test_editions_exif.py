"""No position in any file of a resale edition, by ExifTool, which reads more forms of it than we do."""

from __future__ import annotations

import json
import shutil
import subprocess
from datetime import date
from pathlib import Path

import piexif
import pytest
from PIL import Image

from buildbook.compile import compile_job
from buildbook.editions import Edition
from buildbook.photos import Library

MINIMAL = Path(__file__).parents[1] / "jobs" / "good" / "minimal"

pytestmark = pytest.mark.skipif(shutil.which("exiftool") is None, reason="exiftool is not installed")


def positions(folder: Path) -> list[str]:
    """Files below a folder in which ExifTool finds any GPS tag, embedded data of PDF files included."""
    said = subprocess.run(
        ["exiftool", "-json", "-r", "-ee", "-G1", "-a", "-GPS:all", "-XMP:GPS*", "-Composite:GPS*", "-ext", "*", str(folder)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    return [one["SourceFile"] for one in json.loads(said.stdout or "[]") if len(one) > 1]


def test_no_position_in_the_resale_edition(tmp_path: Path) -> None:
    job = tmp_path / "job"
    shutil.copytree(MINIMAL, job)
    step = next(p for p in (job / "steps").iterdir())
    photo = next(step.rglob("*.jpg"))
    exif = piexif.load(str(photo))
    exif["GPS"] = {
        piexif.GPSIFD.GPSLatitudeRef: b"N", piexif.GPSIFD.GPSLatitude: ((51, 1), (30, 1), (0, 1)),
        piexif.GPSIFD.GPSLongitudeRef: b"W", piexif.GPSIFD.GPSLongitude: ((0, 1), (7, 1), (0, 1)),
    }  # fmt: skip
    image = Image.open(photo)
    image.load()
    image.save(photo, quality=90, exif=piexif.dump(exif))
    assert positions(job)  # so that the search is known to find it
    made = compile_job(job, tmp_path / "out", date(2026, 4, 1), editions=[Edition.RESALE], library=Library(tmp_path / "c"))
    (resale,) = made.editions
    assert positions(made.folder)  # the owner's archive holds the original
    assert positions(resale) == []
    inside = resale / "archive" / "data" / "job"
    assert not (inside / photo.relative_to(job)).exists()
    assert list(inside.rglob("*.jpg"))  # the others went in
