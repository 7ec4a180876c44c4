"""Faults of cameras' clocks, seen by marker cards and by GPS time."""

from __future__ import annotations

from datetime import UTC, datetime

from jobs.card_pictures import card_image, shot
from jobs.pictures import picture
from jobs.planting import OTHER_STEP, Edit, Folder, both
from PIL import Image

from buildbook.records.card import Card
from buildbook.records.words import Stage

JOB = "Q-014"
AFTER = f"{OTHER_STEP}/after/grille.jpg"


def located_in_time(gps: datetime) -> Edit:
    """The photo after, with the GPS time of its moment."""

    def edit(folder: Folder) -> None:
        path = folder.path(AFTER)
        picture(path, "Grille, clean", None)
        shot(path, Image.open(path).copy(), datetime(2026, 3, 5, 10, 50), gps=gps, quality=40)

    return edit


def card(name: str, taken: datetime, made: datetime, *, clock: bool = False) -> Edit:
    """A filed photo of a card. taken: by the camera's clock, in Berlin. made: UTC; printed then, or shown then."""

    def edit(folder: Folder) -> None:
        given = Card(job=JOB, made=made) if clock else Card(job=JOB, step=20, stage=Stage.BEFORE, made=made)
        shot(folder.path(f"documents/cards/{name}"), card_image(given, (1280, 960)), taken, camera="Ostra K4")

    return edit


PLANTS: dict[str, Edit] = {
    # 10:50 in Berlin is 09:50 UTC in winter: a fix at 03:50 puts the clock 6 hours out, more than any summer time
    "photos.gps-time-differs": located_in_time(datetime(2026, 3, 5, 3, 50, tzinfo=UTC)),
    "photos.clock-unsteady": both(
        card("clock-1.jpg", datetime(2026, 3, 3, 9, 0, 5), datetime(2026, 3, 3, 8, 0, 0, tzinfo=UTC), clock=True),
        card("clock-2.jpg", datetime(2026, 3, 5, 10, 0, 5), datetime(2026, 3, 5, 8, 0, 0, tzinfo=UTC), clock=True),
    ),
    "photos.card-not-yet-printed": card(
        "card.jpg", datetime(2026, 3, 5, 7, 0), datetime(2026, 3, 5, 9, 30, tzinfo=UTC)
    ),
}  # fmt: skip
