"""Synthetic photos of printed marker cards, from a seed: each turned, tilted, blurred, shaded, noisy, saved at JPEG 50.

The cards are the pages of the program's own PDF, drawn by poppler; the camera is a model of this module. What is not
modelled: folds, gloss, stains, motion blur.
"""

from __future__ import annotations

import io
import math
import random
import subprocess
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from buildbook.dossier.cards import CardSet
from buildbook.render.pdf.cards import render_cards

FRAME = (2000, 1500)
QUALITY = 50
MOMENT = datetime(2026, 3, 2, 10, 5, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Shot:
    """A photo's bytes, the code that is in it, and how it was taken, for the report."""

    data: bytes
    code: str
    how: str


def card_pages(cards: CardSet) -> list[Image.Image]:
    """The cards as poppler draws them, one to a half sheet, at 200 dots an inch."""
    with tempfile.TemporaryDirectory() as place:
        pdf = Path(place) / "cards.pdf"
        render_cards(cards, pdf, four=False)
        subprocess.run(["pdftoppm", "-r", "200", "-png", pdf, f"{place}/card"], check=True)
        return [Image.open(p).convert("RGB").copy() for p in sorted(Path(place).glob("card-*.png"))]


def shots(cards: CardSet, pages: Sequence[Image.Image], count: int, seed: int) -> Iterator[Shot]:
    """`count` shots of the cards in turn; the same seed gives the same pictures."""
    chance = random.Random(seed)
    for number in range(count):
        index = number % len(pages)
        data, how = _shot(pages[index], chance)
        yield Shot(data, cards.faces[index].code, how)


def _shot(page: Image.Image, chance: random.Random) -> tuple[bytes, str]:
    width = chance.uniform(0.14, 0.55) * FRAME[0]  # of the card, in the frame
    angle = chance.uniform(0, 360)
    tilt = chance.uniform(0, 0.25)
    blur = chance.uniform(0.3, 3.2)
    shade = chance.uniform(0.25, 0.8)
    light = chance.uniform(0.55, 1.15)
    image = _bench(chance)
    corners = _corners(page.size, width, angle, tilt, chance)
    mask = Image.new("L", page.size, 255)
    how = _coefficients(corners, page.size)
    warped = page.transform(FRAME, Image.Transform.PERSPECTIVE, how, Image.Resampling.BICUBIC)
    hole = mask.transform(FRAME, Image.Transform.PERSPECTIVE, how, Image.Resampling.BICUBIC)
    image.paste(warped, (0, 0), hole)
    image = ImageChops.multiply(image, _shadow(chance, shade))
    image = image.point(lambda v: min(255, round(v * light)))
    image = image.filter(ImageFilter.GaussianBlur(blur))
    grain = Image.frombytes("L", FRAME, chance.randbytes(FRAME[0] * FRAME[1])).convert("RGB")
    image = Image.blend(image, grain, 0.05)
    out = io.BytesIO()
    image.save(out, "JPEG", quality=QUALITY)
    said = f"width {width:.0f} px, turned {angle:.0f}°, tilt {tilt:.2f}, blur {blur:.1f} px, shade {shade:.2f}, light {light:.2f}"
    return out.getvalue(), said


def _bench(chance: random.Random) -> Image.Image:
    """A workbench: patches of dull colour."""
    small = Image.new("RGB", (40, 30))
    small.putdata([tuple(chance.randrange(50, 170) for _ in range(3)) for _ in range(1200)])  # type: ignore[arg-type]
    return small.resize(FRAME, Image.Resampling.BICUBIC)


def _corners(
    size: tuple[int, int], width: float, angle: float, tilt: float, chance: random.Random
) -> list[tuple[float, float]]:
    """Where the card's corners fall in the frame: turned about its middle, each then moved by the tilt."""
    scale = width / size[0]
    w, h = size[0] * scale, size[1] * scale
    turn = math.radians(angle)
    reach = math.hypot(w, h) / 2
    x = chance.uniform(min(reach, FRAME[0] / 2), max(FRAME[0] - reach, FRAME[0] / 2))
    y = chance.uniform(min(reach, FRAME[1] / 2), max(FRAME[1] - reach, FRAME[1] / 2))
    found = []
    for dx, dy in ((-w / 2, -h / 2), (w / 2, -h / 2), (w / 2, h / 2), (-w / 2, h / 2)):
        dx, dy = dx * (1 - chance.uniform(0, tilt)), dy * (1 - chance.uniform(0, tilt))
        found.append((x + dx * math.cos(turn) - dy * math.sin(turn), y + dx * math.sin(turn) + dy * math.cos(turn)))
    return found


def _coefficients(corners: Sequence[tuple[float, float]], size: tuple[int, int]) -> tuple[float, ...]:
    """The eight numbers of the projective map from the frame back to the card, by Gauss's elimination."""
    source = [(0, 0), (size[0], 0), (size[0], size[1]), (0, size[1])]
    rows = []
    for (x, y), (u, v) in zip(corners, source, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y, u])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y, v])
    for column in range(8):
        pivot = max(range(column, 8), key=lambda r: abs(rows[r][column]))
        rows[column], rows[pivot] = rows[pivot], rows[column]
        lead = rows[column][column]
        rows[column] = [value / lead for value in rows[column]]
        for row in range(8):
            if row != column:
                factor = rows[row][column]
                rows[row] = [a - factor * b for a, b in zip(rows[row], rows[column], strict=True)]
    return tuple(row[8] for row in rows)


def _shadow(chance: random.Random, shade: float) -> Image.Image:
    """Somebody stands in the light: one soft-edged dark side across the picture."""
    level = round(255 * shade)
    image = Image.new("L", (FRAME[0] // 8, FRAME[1] // 8), 255)
    w, h = image.size
    edge = chance.uniform(0.2, 0.8) * w
    lean = chance.uniform(-0.4, 0.4) * w
    ImageDraw.Draw(image).polygon([(0, 0), (edge + lean, 0), (edge - lean, h), (0, h)], fill=level)
    soft = image.filter(ImageFilter.GaussianBlur(chance.uniform(1, 12)))
    return soft.resize(FRAME, Image.Resampling.BICUBIC).convert("RGB")
