"""A job with photos dropped into its inbox, as small files of a few cameras."""

from __future__ import annotations

import hashlib
import os
import random
import shutil
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from jobs.card_pictures import card_image, shot
from PIL import Image

from buildbook.records.card import Card
from buildbook.records.words import Stage

GOOD = Path(__file__).parents[2] / "jobs" / "good" / "minimal"
OLD_NS = 1_700_000_000 * 10**9
CLOCK = datetime(2026, 3, 5, 9, 0)  # in Berlin; step 020-grille is the one open on that day
Drop = Callable[[Path], dict[str, str]]


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def tree(root: Path) -> dict[str, str]:
    """Path -> SHA-256 of every file of the job but its temporary copies."""
    return {
        p.relative_to(root).as_posix(): digest(p)
        for p in root.rglob("*")
        if p.is_file() and not p.name.startswith("._filing-")
    }


def noise(seed: int, size: tuple[int, int] = (96, 72)) -> Image.Image:
    """A picture unlike any other."""
    return Image.frombytes("RGB", size, random.Random(seed).randbytes(size[0] * size[1] * 3))


@pytest.fixture
def job(tmp_path: Path) -> Path:
    root = tmp_path / "job"
    shutil.copytree(GOOD, root)
    (root / "inbox").mkdir(exist_ok=True)
    return root


@pytest.fixture
def drop() -> Drop:
    return drop_photos


def drop_photos(root: Path) -> dict[str, str]:
    """Two cameras, four cards, twenty photos, one of them under a name that is taken. SHA-256 -> where it belongs."""
    wanted: dict[str, str] = {}
    for camera, folder, minutes in (("Lumet P1", "", 0), ("Ostra K4", "bo/", 7)):
        at = CLOCK + timedelta(minutes=minutes)
        number = 0
        for step, stage, zone in ((20, Stage.BEFORE, ""), (20, Stage.AFTER, "grille")):
            number += 1
            card = Card(job="Q-014", step=step, stage=stage, zone=zone, made=datetime(2026, 3, 1, tzinfo=UTC))
            path = root / "inbox" / f"{folder}IMG_{number:04d}.jpg"
            shot(path, card_image(card, (480, 360)), at + timedelta(minutes=number), camera=camera)
            wanted[digest(path)] = f"documents/cards/{folder}"
            for _ in range(5):
                number += 1
                path = root / "inbox" / f"{folder}IMG_{number:04d}.jpg"
                shot(path, noise(number + 1000 * minutes), at + timedelta(minutes=number), camera=camera)
                wanted[digest(path)] = f"steps/020-grille/{stage.value}/{zone + '/' if zone else ''}"
    for path in (root / "inbox").rglob("*.jpg"):
        os.utime(path, ns=(OLD_NS, OLD_NS))
    return wanted
