"""Pictures that are thrown onto the car's skin: where it is open, its shut lines, and where it wears. 1 mm a pixel."""

from __future__ import annotations

from pathlib import Path

import form
import numpy as np
from PIL import Image, ImageDraw, ImageFilter

WIDE, HIGH, ACROSS = 4.6, 1.5, 1.8  # metres covered: x from -2.3, z from 0, y from -0.9
K = 1000


class _Sheet:
    """Holes, shut lines and wear of one view."""

    def __init__(self, wide: float, high: float, x0: float, y0: float) -> None:
        self.size = (int(wide * K), int(high * K))
        self.x0, self.y0 = x0, y0
        self.hole, self.line, self.wear = (Image.new("L", self.size) for _ in range(3))

    def at(self, points: object) -> list[tuple[float, float]]:
        return [((x - self.x0) * K, self.size[1] - (y - self.y0) * K) for x, y in np.asarray(points)]

    def cut(self, points: object) -> None:
        ImageDraw.Draw(self.hole).polygon(self.at(points), fill=255)

    def seam(self, points: object, width: int = 7) -> None:
        ImageDraw.Draw(self.line).line(self.at(points), fill=255, width=width, joint="curve")

    def rub(self, points: object, width: int, how: int = 255) -> None:
        ImageDraw.Draw(self.wear).line(self.at(points), fill=how, width=width)

    def save(self, path: Path) -> None:
        """red: hole, green: shut line, blue: height (255 is the skin, lower towards a shut line)."""
        soft = self.line.filter(ImageFilter.GaussianBlur(3.5))
        height = Image.eval(soft, lambda v: 255 - min(255, int(v * 1.3)))
        Image.merge("RGB", (self.hole.filter(ImageFilter.GaussianBlur(0.6)), self.line.filter(ImageFilter.GaussianBlur(0.8)), height)).save(path)
        self.wear.filter(ImageFilter.GaussianBlur(22)).save(path.with_name(path.stem + "-wear.png"))


def _circle(x: float, z: float, r: float, start: float = 0, end: float = 360, n: int = 120) -> list[tuple[float, float]]:
    return [(x + r * np.cos(a), z + r * np.sin(a)) for a in np.radians(np.linspace(start, end, n))]


def write(folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    side = _Sheet(WIDE, HIGH, -2.3, 0.0)
    for w in form.SIDE_WINDOWS:
        side.cut(w)
    for x in form.AXLES:
        side.cut(_circle(x, 0.315, form.ARCH))
        side.cut([(x - form.ARCH, 0), (x + form.ARCH, 0), (x + form.ARCH, 0.315), (x - form.ARCH, 0.315)])
        side.rub(_circle(x, 0.315, form.ARCH + 0.004, 15, 165), 26)
    for line in form.SIDE_LINES:
        side.seam(line)
    side.seam(form.outline([(-1.62, 0.665), (-1.80, 0.665), (-1.80, 0.80), (-1.62, 0.80)], 0.02)[:, :], 4)
    for x in (-0.31, -1.06):  # doors go up beside the windows, to the rail
        side.seam([(x, 0.9), (x, 1.335)], 4)
    side.rub([(1.7, 0.26), (-1.9, 0.26)], 30, 170)
    side.rub([(0.65, 0.30), (-0.8, 0.30)], 22, 130)
    side.save(folder / "side.png")

    front = _Sheet(ACROSS, HIGH, -0.9, 0.0)
    front.cut(form.GRILLE)
    front.cut(form.WINDSCREEN)
    front.seam([(-0.69, 0.79), (0.69, 0.79)], 7)
    front.seam([(-0.8, 0.475), (0.8, 0.475)], 4)
    front.rub([(-0.6, 0.76), (0.6, 0.76)], 20, 120)
    front.save(folder / "front.png")

    rear = _Sheet(ACROSS, HIGH, -0.9, 0.0)
    rear.cut(form.REAR_WINDOW)
    gate = [(-0.60, 0.475), (0.60, 0.475), (0.632, 0.90), (0.612, 1.10), (0.575, 1.338), (-0.575, 1.338), (-0.612, 1.10), (-0.632, 0.90)]
    rear.seam(np.concatenate([form.outline(gate, 0.04), form.outline(gate, 0.04)[:1]]), 6)
    rear.rub([(-0.6, 0.49), (0.6, 0.49)], 22, 170)
    rear.save(folder / "rear.png")

    top = _Sheet(WIDE, ACROSS, -2.3, -0.9)
    inside = form.outline([(0.70, -0.64), (0.70, 0.64), (-2.02, 0.64), (-2.02, -0.64)], 0.1)
    top.cut(inside)
    top.seam([(0.86, 0.62), (2.0, 0.60), (2.06, 0.59)], 7)
    top.seam([(0.86, -0.62), (2.0, -0.60), (2.06, -0.59)], 7)
    top.seam([(0.86, -0.62), (0.86, 0.62)], 7)
    top.save(folder / "top.png")
    swirls().save(folder / "swirl.png")


def swirls(size: int = 1600) -> Image.Image:
    """Wash marks: of all the fine scratches in a panel only those across the light are seen, so they ring its reflection."""
    rng = np.random.default_rng(11)
    im = Image.new("L", (size, size))
    d = ImageDraw.Draw(im)
    for _ in range(5200):
        r = abs(rng.normal(0, 0.22)) * size + 14
        cx, cy = size / 2 + rng.normal(0, 9), size / 2 + rng.normal(0, 9)
        a = rng.uniform(0, 360)
        bright = int(235 * np.exp(-r / (0.20 * size)) * rng.uniform(0.25, 1))
        d.arc((cx - r, cy - r, cx + r, cy + r), a, a + rng.uniform(3, 16) * min(4, 0.16 * size / r), fill=bright, width=int(rng.choice([1, 1, 2])))
    return im


if __name__ == "__main__":
    import sys

    write(Path(sys.argv[1]))
