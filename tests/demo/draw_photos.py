"""Draws the pictures of the demo job, with the EXIF data two cameras would have written.

Run: `python tests/demo/make_demo.py --photos` (or `draw_photos.py NAME...` for pictures whose path holds NAME).
The same seed gives the same picture. Needs numpy, pillow, piexif, fontpkg-noto-sans. The committed files are what counts.
"""

from __future__ import annotations

import io
import sys
import zlib
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import datetime, timedelta
from multiprocessing import get_context
from pathlib import Path
from zoneinfo import ZoneInfo

import draw_cabin as cabin
import draw_parts as parts
import draw_surfaces as surfaces
import numpy as np
import piexif
from draw_camera import render
from draw_car import VIEWS, Look
from draw_parts import Scene
from PIL import Image, ImageFilter

Draw = Callable[[], Scene]


@dataclass(frozen=True, slots=True)
class Camera:
    """What a camera writes. ahead: its clock's error in seconds."""

    make: str
    model: str
    offset: bool
    ahead: int = 0
    gps: bool = False


PHONE = Camera("Norrsken", "N2 Phone", offset=True, gps=True)
COMPACT = Camera("Belmar", "C-40", offset=False, ahead=3600)
TURNED = {1: None, 3: Image.Transpose.ROTATE_180, 6: Image.Transpose.ROTATE_90, 8: Image.Transpose.ROTATE_270}


@dataclass(frozen=True, slots=True)
class Frame:
    """One picture of a job: where it lies, what it shows, when and how it was taken."""

    path: str
    draw: Draw
    when: datetime
    camera: Camera = PHONE
    orientation: int = 1
    place: tuple[float, float] | None = None
    size: tuple[int, int] = (1600, 1200)
    quality: int = 80
    timezone: str = "Europe/Lisbon"
    most: int = 0  # bytes; 0 = no bound


def _degrees(value: float) -> tuple[tuple[int, int], ...]:
    value = abs(value)
    minutes = (value % 1) * 60
    return (int(value), 1), (int(minutes), 1), (round((minutes % 1) * 6000), 100)


def exif_of(frame: Frame) -> bytes:
    """The EXIF block."""
    true = frame.when.replace(tzinfo=ZoneInfo(frame.timezone))
    shown = true + timedelta(seconds=frame.camera.ahead)
    text = shown.strftime("%Y:%m:%d %H:%M:%S")
    seed = zlib.crc32(frame.path.encode())
    first = {piexif.ImageIFD.Make: frame.camera.make, piexif.ImageIFD.Model: frame.camera.model, piexif.ImageIFD.Orientation: frame.orientation, piexif.ImageIFD.DateTime: text}
    more: dict[int, object] = {piexif.ExifIFD.DateTimeOriginal: text, piexif.ExifIFD.SubSecTimeOriginal: f"{seed % 1000:03d}"}
    if frame.camera.offset:
        offset = shown.strftime("%z")
        more[piexif.ExifIFD.OffsetTimeOriginal] = f"{offset[:3]}:{offset[3:]}"
    blocks: dict[str, object] = {"0th": first, "Exif": more}
    if frame.place:
        north, east = frame.place
        blocks["GPS"] = {
            piexif.GPSIFD.GPSLatitudeRef: "N" if north >= 0 else "S", piexif.GPSIFD.GPSLatitude: _degrees(north),
            piexif.GPSIFD.GPSLongitudeRef: "E" if east >= 0 else "W", piexif.GPSIFD.GPSLongitude: _degrees(east),
        }  # fmt: skip
    return bytes(piexif.dump(blocks))


def take(frame: Frame) -> Image.Image:
    """The picture as seen; no two are taken from quite the same place."""
    seed = zlib.crc32(frame.path.encode())
    scene = frame.draw()
    rng = np.random.default_rng(seed)
    shot = scene.shot
    far = float(np.linalg.norm(np.array(shot.eye) - np.array(shot.at)))
    shot.eye = tuple(np.array(shot.eye) + rng.normal(0, 0.012 * far, 3))
    shot.at = tuple(np.array(shot.at) + rng.normal(0, 0.006 * far, 3))
    shot.warm = float(rng.normal(0.01, 0.012))
    if frame.size[0] < frame.size[1]:
        shot.wide *= 0.8
    shot.size = frame.size
    return render(shot, scene.meshes, scene.room, seed)


def save(root: Path, frame: Frame) -> int:
    """Draw and write one picture; its size in bytes."""
    seen = take(frame)
    turned = TURNED[frame.orientation]
    out = io.BytesIO()
    stored = seen if turned is None else seen.transpose(turned)
    stored.save(out, "JPEG", quality=frame.quality, subsampling=2, optimize=True, exif=exif_of(frame))
    for quality in range(frame.quality - 6, 12, -6):  # a grainy subject: coarser until it fits
        if not frame.most or len(out.getvalue()) <= frame.most:
            break
        soft = stored.filter(ImageFilter.GaussianBlur((frame.quality - quality) / 16))
        out = io.BytesIO()
        soft.save(out, "JPEG", quality=quality, subsampling=2, optimize=True, exif=exif_of(frame))
    path = root / frame.path
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(out.getvalue())
    return len(out.getvalue())


_FRAMES: list[tuple[Path, Frame]] = []


def _save_nth(n: int) -> tuple[str, int]:
    root, frame = _FRAMES[n]
    return frame.path, save(root, frame)


def draw_all(root: Path, frames: Sequence[Frame], only: Sequence[str] = ()) -> None:
    """Write the pictures, two at a time."""
    _FRAMES[:] = [(root, f) for f in frames if not only or any(name in f.path for name in only)]
    with ProcessPoolExecutor(2, mp_context=get_context("fork")) as pool:
        for path, size in pool.map(_save_nth, range(len(_FRAMES))):
            print(f"{size / 1024:6.0f} KB  {path}", flush=True)


def _demo_scenes() -> list[tuple[str, str, Camera, list[tuple[str, Draw]]]]:
    """(folder, time of the first picture, camera, pictures)."""
    p, s, c = parts, surfaces, cabin
    old, new = Look(True), Look(False)
    half = Look(True, bonnet="primer")
    return [
        ("010-intake/before/whole", "2026-03-02T10:20", COMPACT, [(v, lambda v=v: s.whole(v, old)) for v in VIEWS]),
        ("010-intake/before/bulkhead", "2026-03-02T11:02", PHONE, [("chassis-number", lambda: c.stamped("TE19-0047213", "bulkhead"))]),
        ("010-intake/before/engine", "2026-03-02T11:06", PHONE, [("engine-number", lambda: c.stamped("19B-031188", "block"))]),
        ("010-intake/before/instruments", "2026-03-02T09:42", PHONE, [("odometer", lambda: c.odometer("84312", maker="TALMERE"))]),
        ("010-intake/before/bonnet", "2026-03-03T09:01", PHONE, [("gauge", lambda: s.gauge("102.8", True))]),
        ("020-dismantle-trim/before/brightwork", "2026-03-09T09:05", PHONE, [("badge", lambda: s.badge(True))]),
        ("020-dismantle-trim/during/bumper-front", "2026-03-09T14:20", PHONE, [("removed", p.bumper_off)]),
        ("020-dismantle-trim/after/brightwork", "2026-03-10T16:10", PHONE, [("badge", lambda: s.badge(False))]),
        ("030-underside-dry-ice/before/underside-front", "2026-03-11T08:40", PHONE, [("floor", lambda: p.floor_pan(True))]),
        ("030-underside-dry-ice/before/underside-rear", "2026-03-11T08:44", PHONE, [("axle", lambda: p.axle(True))]),
        ("030-underside-dry-ice/after/underside-front", "2026-03-13T15:10", PHONE, [("floor", lambda: p.floor_pan(False))]),
        ("030-underside-dry-ice/after/underside-rear", "2026-03-13T15:16", PHONE, [("axle", lambda: p.axle(False))]),
        ("040-front-brakes/before/brake-front-left", "2026-03-16T08:50", COMPACT, [("disc", lambda: p.brake(True)), ("caliper", lambda: p.brake(True, close=True))]),
        ("040-front-brakes/before/brake-front-right", "2026-03-16T09:00", COMPACT, [("disc", lambda: p.brake(True, right=True))]),
        ("040-front-brakes/during/brake-front-left", "2026-03-17T10:15", COMPACT, [("old-and-new", p.brakes_old_and_new)]),
        ("040-front-brakes/after/brake-front-left", "2026-03-18T15:30", COMPACT, [("disc", lambda: p.brake(False)), ("caliper", lambda: p.brake(False, close=True))]),
        ("040-front-brakes/after/brake-front-right", "2026-03-18T15:40", COMPACT, [("disc", lambda: p.brake(False, right=True))]),
        ("050-fuel-hoses/before/fuel-system", "2026-03-19T09:00", PHONE, [("hose", lambda: p.fuel_hose(True))]),
        ("050-fuel-hoses/during/fuel-system", "2026-03-19T11:25", PHONE, [("old-and-new", p.hoses_old_and_new)]),
        ("050-fuel-hoses/after/fuel-system", "2026-03-19T15:50", PHONE, [("hose", lambda: p.fuel_hose(False))]),
        ("060-paint-bonnet-wing/before/bonnet", "2026-03-23T08:20", COMPACT, [("chips", lambda: s.chips(True))]),
        ("060-paint-bonnet-wing/before/wing-front-left", "2026-03-23T08:24", COMPACT, [("edge", lambda: s.on_car(old, (2.3, 2.3, 0.95), (1.2, 0.75, 0.5), 30))]),
        ("060-paint-bonnet-wing/during/bonnet", "2026-03-25T15:30", COMPACT, [
            ("primer", lambda: s.on_car(half, (3.3, 1.5, 1.9), (1.35, 0.1, 0.75), 42)),
            ("masked", lambda: s.on_car(Look(True, bonnet="masked"), (3.6, 2.2, 1.9), (1.2, 0.2, 0.75), 42))]),
        ("060-paint-bonnet-wing/after/bonnet", "2026-03-27T14:10", COMPACT, [("chips", lambda: s.chips(False))]),
        ("060-paint-bonnet-wing/after/wing-front-left", "2026-03-27T14:15", COMPACT, [("edge", lambda: s.on_car(new, (2.3, 2.3, 0.95), (1.2, 0.75, 0.5), 30))]),
        ("070-paint-correction/before/door-front-left", "2026-03-30T08:50", COMPACT, [("swirls", lambda: s.swirls(True))]),
        ("070-paint-correction/before/roof", "2026-03-30T08:54", COMPACT, [("oxidation", lambda: s.oxidation(True))]),
        ("070-paint-correction/before/tailgate", "2026-03-30T08:58", COMPACT, [("reflection", lambda: s.reflection(True))]),
        ("070-paint-correction/during/door-front-left", "2026-04-02T13:03", COMPACT, [("gauge", lambda: s.gauge("121.9", False))]),
        ("070-paint-correction/after/door-front-left", "2026-04-02T15:20", COMPACT, [("swirls", lambda: s.swirls(False))]),
        ("070-paint-correction/after/roof", "2026-04-02T15:24", COMPACT, [("oxidation", lambda: s.oxidation(False))]),
        ("070-paint-correction/after/tailgate", "2026-04-02T15:28", COMPACT, [("reflection", lambda: s.reflection(False))]),
        ("080-ceramic-coating/during/roof", "2026-04-07T11:05", PHONE, [("wipe", s.wiping)]),
        ("080-ceramic-coating/after/bonnet", "2026-04-08T16:40", PHONE, [("beading", s.beading)]),
        ("090-headlamps/before/lamp-front-left", "2026-04-09T08:45", COMPACT, [("lens", lambda: p.lamp(True))]),
        ("090-headlamps/before/lamp-front-right", "2026-04-09T08:47", COMPACT, [("lens", lambda: p.lamp(True, right=True))]),
        ("090-headlamps/after/lamp-front-left", "2026-04-09T16:20", COMPACT, [("lens", lambda: p.lamp(False))]),
        ("090-headlamps/after/lamp-front-right", "2026-04-09T16:22", COMPACT, [("lens", lambda: p.lamp(False, right=True))]),
        ("100-seals/before/seals", "2026-04-10T08:45", PHONE, [("door-seal", lambda: c.seal(True))]),
        ("100-seals/during/seals", "2026-04-10T10:30", PHONE, [("old-and-new", c.seals_old_and_new)]),
        ("100-seals/after/seals", "2026-04-13T14:40", PHONE, [("door-seal", lambda: c.seal(False))]),
        ("110-wheels-tyres/before/wheel-front-left", "2026-04-14T08:20", PHONE, [("rim", lambda: p.rim(True))]),
        ("110-wheels-tyres/before/wheel-rear-right", "2026-04-14T08:25", PHONE, [("rim", lambda: p.rim(True, rear=True))]),
        ("110-wheels-tyres/before/tyre-front-left", "2026-04-14T08:30", PHONE, [("tread", lambda: p.tread(True))]),
        ("110-wheels-tyres/during/wheel-front-left", "2026-04-16T14:02", PHONE, [("torque", p.torque)]),
        ("110-wheels-tyres/after/wheel-front-left", "2026-04-16T15:30", PHONE, [("rim", lambda: p.rim(False))]),
        ("110-wheels-tyres/after/wheel-rear-right", "2026-04-16T15:34", PHONE, [("rim", lambda: p.rim(False, rear=True))]),
        ("110-wheels-tyres/after/tyre-front-left", "2026-04-15T11:40", PHONE, [("tread", lambda: p.tread(False))]),
        ("120-interior/before/seat-front-left", "2026-04-17T08:50", PHONE, [("cushion", lambda: c.cushion(True))]),
        ("120-interior/before/carpets", "2026-04-17T08:54", PHONE, [("footwell", lambda: c.footwell(True))]),
        ("120-interior/before/dashboard", "2026-04-17T08:58", PHONE, [("top", lambda: c.dash(True))]),
        ("120-interior/after/seat-front-left", "2026-04-20T16:10", PHONE, [("cushion", lambda: c.cushion(False))]),
        ("120-interior/after/carpets", "2026-04-20T16:14", PHONE, [("footwell", lambda: c.footwell(False))]),
        ("120-interior/after/dashboard", "2026-04-20T16:18", PHONE, [("top", lambda: c.dash(False))]),
        ("130-handover/after/whole", "2026-04-23T11:10", COMPACT, [(v, lambda v=v: s.whole(v, new)) for v in VIEWS]),
        ("130-handover/after/instruments", "2026-04-24T10:31", PHONE, [("odometer", lambda: c.odometer("84327", maker="TALMERE"))]),
    ]  # fmt: skip


PORTRAIT = ("010-intake/before/bonnet/gauge",)
SIDEWAYS = {"090-headlamps": 3, "120-interior/before/carpets": 6, "120-interior/after/carpets": 8, "050-fuel-hoses/during": 6}
AT_SEA = (39.3388, -11.6712)  # an invented place: open water


def demo_frames() -> list[Frame]:
    """Every picture of the demo job."""
    frames = []
    for folder, start, camera, pictures in _demo_scenes():
        when = datetime.fromisoformat(start)
        for k, (stem, draw) in enumerate(pictures):
            path = f"steps/{folder}/{stem}.jpg"
            tall = any(name in path for name in PORTRAIT)
            orientation = 6 if tall else next((o for name, o in SIDEWAYS.items() if name in path), 1)
            place = AT_SEA if camera.gps and stem in ("odometer", "chassis-number", "floor") else None
            frames.append(Frame(path, draw, when + timedelta(minutes=3 * k, seconds=17 * k + 5), camera, orientation, place, (1200, 1600) if tall else (1600, 1200)))
    return frames


def draw_demo(job: Path, only: Sequence[str] = ()) -> None:
    draw_all(job, demo_frames(), only)


if __name__ == "__main__":
    draw_demo(Path(__file__).resolve().parents[2] / "demo_job", sys.argv[1:])
