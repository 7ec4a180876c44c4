"""Earlier papers of the invented cars as pictures that look scanned: typed forms with stamps, a little askew."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from draw3d import F, fbm
from draw_looks import font
from PIL import Image, ImageDraw, ImageFilter

INK, BLUE_INK, RED_INK = (38, 36, 44), (36, 52, 128), (150, 34, 40)


@dataclass(frozen=True)
class Form:
    """A printed form filled in by typewriter. stamp: (text, x, y, colour) in hundredths of the page."""

    title: str
    under: str
    rows: Sequence[tuple[str, str]]
    stamps: Sequence[tuple[str, float, float, tuple[int, int, int]]] = ()
    signed: str = ""
    seed: int = 1
    paper: tuple[int, int, int] = (233, 222, 192)


def draw(form: Form, size: tuple[int, int] = (1240, 1600)) -> Image.Image:
    """The scan."""
    w, h = size
    page = Image.new("RGB", size, form.paper)
    d = ImageDraw.Draw(page)
    rng = np.random.default_rng(form.seed)
    d.text((w / 2, 130), form.title, INK, font=font(58, 650), anchor="mm")
    d.text((w / 2, 200), form.under, INK, font=font(30, 400), anchor="mm")
    d.line([(90, 245), (w - 90, 245)], INK, 4)
    y = 310
    for label, value in form.rows:
        d.text((100, y), label, INK, font=font(26, 400), anchor="ls")
        x = 470.0
        for c in value:  # a typewriter: even steps, uneven strikes
            tone = int(rng.integers(0, 40))
            d.text((x, y - 4 + rng.normal(0, 1.2)), c, (40 + tone, 38 + tone, 52 + tone), font=font(34, 520), anchor="ls")
            x += 20.5
        d.line([(460, y + 10), (w - 100, y + 10)], (150, 140, 120), 2)
        y += 82
    for text, px, py, tone in form.stamps:
        stamp = Image.new("RGBA", (460, 460), (0, 0, 0, 0))
        s = ImageDraw.Draw(stamp)
        s.ellipse((30, 30, 430, 430), outline=(*tone, 200), width=8)
        s.ellipse((62, 62, 398, 398), outline=(*tone, 200), width=3)
        for k, line in enumerate(text.split("\n")):
            s.text((230, 230 + (k - (text.count("\n")) / 2) * 50), line, (*tone, 210), font=font(36, 650), anchor="mm")
        worn = np.asarray(stamp, dtype=F).copy()
        yy, xx = np.mgrid[0:460, 0:460].astype(F)
        worn[..., 3] *= np.clip(fbm(xx / 22, yy / 22, 4, form.seed) * 2.2 - 0.35, 0, 1)
        turned = Image.fromarray(worn.astype(np.uint8)).rotate(float(rng.normal(0, 14)), Image.Resampling.BICUBIC)
        page.paste(turned, (int(px * w) - 230, int(py * h) - 230), turned)
    if form.signed:
        d.line([(700, h - 190), (w - 100, h - 190)], INK, 2)
        x, points = 720.0, []
        for k in range(140):
            points.append((x + k * 2.6, h - 215 + 26 * np.sin(k * 0.55 + form.seed) * np.exp(-k / 160) + 8 * np.sin(k * 0.17)))
        d.line(points, BLUE_INK, 4, joint="curve")
        d.text((705, h - 160), form.signed, INK, font=font(24, 400), anchor="ls")
    yy, xx = np.mgrid[0:h, 0:w].astype(F)
    a = np.asarray(page, dtype=F)
    stain = 0.90 + 0.14 * fbm(xx / 260, yy / 260, 5, form.seed + 3)
    fold = 1 - 0.10 * np.exp(-(((yy - h / 2) / 5) ** 2)) - 0.06 * np.exp(-(((xx - w / 2) / 6) ** 2))
    edge = 1 - 0.25 * np.exp(-np.minimum.reduce([xx, yy, w - xx, h - yy]) / 26)
    a = a * (stain * fold * edge)[..., None] + rng.normal(0, 2.2, (h, w, 1))
    page = Image.fromarray(np.clip(a, 0, 255).astype(np.uint8)).filter(ImageFilter.GaussianBlur(0.7))
    return page.rotate(float(rng.normal(0, 0.7)), Image.Resampling.BICUBIC, fillcolor=(58, 58, 60))


def write(form: Form, path: Path, size: tuple[int, int] = (1240, 1600)) -> None:
    out = io.BytesIO()
    draw(form, size).save(out, "JPEG", quality=72, optimize=True)
    path.write_bytes(out.getvalue())


REGISTRATION = Form(
    "VEHICLE REGISTRATION", "Harbour district of Ellerhaven  ·  second copy",
    (("Registration", "QX-417-T"), ("Make and type", "TALMERE 1900 TOURER"), ("Body", "Estate, five doors"), ("Chassis number", "TE19-0047213"),
     ("Engine number", "19B-031188"), ("Colour", "blue (TB-41)"), ("First registered", "14 June 1972"), ("Keeper until 1974", "Harbour Pilots' Society"),
     ("Keeper from", "3 May 1974"), ("Name", "ΝΙΚΟΣ ΠΑΠΑΔΑΚΗΣ"), ("Occupation", "engineer"), ("Fee", "12.50")),
    (("ELLERHAVEN\n3 MAY 1974\nDISTRICT", 0.24, 0.84, BLUE_INK),), "for the district office", 1974,
)  # fmt: skip
SERVICE_BOOK = Form(
    "SERVICE RECORD", "Talmere 1900  ·  page 23",
    (("Date", "5 September 1988"), ("Odometer", "61 240 km"), ("Work", "timing chain, water pump"), ("", "coolant, oil and filter"), ("Parts", "Talmere genuine"),
     ("Next service at", "71 000 km"), ("Remarks", "brakes: pads half worn")),
    (("GARAGE\nSÃO BRÁS\n5 SET 1988", 0.28, 0.66, RED_INK),), "mechanic", 1988, (226, 224, 206),
)  # fmt: skip


def write_demo(job: Path) -> None:
    """The demo job's earlier papers."""
    write(REGISTRATION, job / "documents" / "registration-1974.jpg")
    write(SERVICE_BOOK, job / "documents" / "service-book-1988.jpg")
