"""Single faults on the photos of the demo job: each is found at its file, under its code; the job as it is shows none.

The copies share one folder name, so that what has not been changed need not be read again.
"""

from __future__ import annotations

import io
import os
import shutil
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from pathlib import Path

import piexif
import pytest
from jobs.plant_photos import Change, blur, light, turned, window
from jobs.planting import MINIMAL
from PIL import Image, ImageOps

from buildbook.load import load_job, read_other_job
from buildbook.photos import Library
from buildbook.records.finding import Gate
from buildbook.rules import check_job

DEMO = Path(__file__).parents[2] / "demo_job"
HANDOVER = date(2026, 4, 24)
OLD_NS = 1_700_000_000 * 10**9

BADGE, BADGE_AFTER = (f"steps/020-dismantle-trim/{s}/brightwork/badge.jpg" for s in ("before", "after"))
FLOOR = "steps/030-underside-dry-ice/before/underside-front/floor.jpg"
DISC, DISC_AFTER = (f"steps/040-front-brakes/{s}/brake-front-left/disc.jpg" for s in ("before", "after"))
HOSE, HOSE_AFTER = (f"steps/050-fuel-hoses/{s}/fuel-system/hose.jpg" for s in ("before", "after"))
HOSES = "steps/050-fuel-hoses/during/fuel-system/old-and-new.jpg"
ROOF, ROOF_AFTER = (f"steps/070-paint-correction/{s}/roof/oxidation.jpg" for s in ("before", "after"))
WIPE = "steps/080-ceramic-coating/during/roof/wipe.jpg"
SEAL, SEAL_AFTER = (f"steps/100-seals/{s}/seals/door-seal.jpg" for s in ("before", "after"))
RIM, OTHER_RIM = (f"steps/110-wheels-tyres/after/{w}/rim.jpg" for w in ("wheel-front-left", "wheel-rear-right"))
SEAT_AFTER, DASH = "steps/120-interior/after/seat-front-left/cushion.jpg", "steps/120-interior/before/dashboard/top.jpg"

Edit = Callable[[Path], None]


def write(job: Path, name: str, data: bytes) -> None:
    """Put new bytes in a place of their own: the copy shares its files with the next one."""
    target = job / name
    target.unlink(missing_ok=True)
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_bytes(data)


def same(image: Image.Image) -> Image.Image:
    return image


def made(
    target: str,
    source: str = "",
    change: Change = same,
    *,
    taken: str = "as the target's",
    exif: bool = True,
    form: str = "JPEG",
    root: Path | None = None,
    **main: str,
) -> Edit:
    """Write `target` from the picture in `source` (default: itself).

    taken: EXIF time, "as the source's", "as the target's" or a shift of that in days. main: EXIF tags to set.
    """

    def edit(job: Path) -> None:
        origin = (root or job) / (source or target)
        with Image.open(origin) as opened:
            image = change(ImageOps.exif_transpose(opened).convert("RGB"))
        tags = piexif.load(str(origin if taken == "as the source's" or not (job / target).exists() else job / target))
        tags["0th"][piexif.ImageIFD.Orientation] = 1
        if taken.removeprefix("-").isdigit():
            was = datetime.strptime(tags["Exif"][piexif.ExifIFD.DateTimeOriginal].decode(), "%Y:%m:%d %H:%M:%S")
            moved = (was + timedelta(days=int(taken))).strftime("%Y:%m:%d %H:%M:%S")
            tags["Exif"][piexif.ExifIFD.DateTimeOriginal] = tags["0th"][piexif.ImageIFD.DateTime] = moved
        elif not taken.startswith("as the"):
            tags["Exif"][piexif.ExifIFD.DateTimeOriginal] = taken
            tags["0th"].pop(piexif.ImageIFD.DateTime, None)
        for name, value in main.items():
            tags["0th"][getattr(piexif.ImageIFD, name)] = value
        out = io.BytesIO()
        image.save(out, form, quality=82, **({"exif": piexif.dump(tags)} if exif else {}))
        write(job, target, out.getvalue())

    return edit


def copied(source: str, target: str, root: Path | None = None) -> Edit:
    return lambda job: write(job, target, ((root or job) / source).read_bytes())


def moved(source: str, target: str) -> Edit:
    def edit(job: Path) -> None:
        (job / target).parent.mkdir(parents=True, exist_ok=True)
        (job / source).rename(job / target)

    return edit


def swapped(one: str, other: str) -> Edit:
    def edit(job: Path) -> None:
        first, second = (job / one).read_bytes(), (job / other).read_bytes()
        write(job, one, second)
        write(job, other, first)

    return edit


def bytes_of(name: str, change: Callable[[bytes], bytes]) -> Edit:
    return lambda job: write(job, name, change((job / name).read_bytes()))


def sized(width: int, height: int) -> Change:
    return lambda image: image.resize((width, height))


@dataclass(frozen=True)
class Fault:
    """edit: what is changed. code, at: the finding that must name it, and its file."""

    edit: Edit
    code: str
    at: str


GRILLE = "steps/020-grille/before/grille.jpg"  # in the other job
VIEW = "steps/010-intake/during/view.jpg"
FAULTS: dict[str, Fault] = {
    "before and after swapped": Fault(swapped(BADGE, BADGE_AFTER), "photos.after-before-before", BADGE_AFTER),
    "one file for both states": Fault(copied(DISC, DISC_AFTER), "photos.before-is-after", DISC_AFTER),
    "saved again, without its data": Fault(made(DISC_AFTER, DISC, exif=False), "photos.before-is-after", DISC_AFTER),
    "saved again, smaller": Fault(made(DISC_AFTER, DISC, sized(1100, 825), taken="as the source's"), "photos.before-is-after", DISC_AFTER),
    "saved again, darker": Fault(made(HOSE_AFTER, HOSE, light(0.85), exif=False), "photos.before-is-after", HOSE_AFTER),
    "saved again, dated as the result": Fault(made(DISC_AFTER, DISC), "photos.same-shot", DISC_AFTER),
    "filed under a second step": Fault(copied(HOSE, "steps/100-seals/during/seals/hose.jpg"), "photos.duplicate", HOSE),
    "saved again under a second step": Fault(
        made("steps/100-seals/during/seals/floor.jpg", FLOOR, taken="30"), "photos.saved-again", "steps/100-seals/during/seals/floor.jpg"
    ),
    "of another job": Fault(copied(GRILLE, VIEW, MINIMAL), "photos.of-another-job", VIEW),
    "of another job, saved again": Fault(made(VIEW, GRILLE, light(0.95), taken="-2", root=MINIMAL), "photos.of-another-job", VIEW),
    "of another job, mirrored": Fault(made(VIEW, GRILLE, ImageOps.mirror, taken="-2", root=MINIMAL), "photos.of-another-job", VIEW),
    "of another job, turned": Fault(made(VIEW, GRILLE, turned(90), taken="-2", root=MINIMAL), "photos.of-another-job", VIEW),
    "turned, without data of a camera": Fault(made(HOSES, ROOF, turned(270), exif=False), "photos.turned", HOSES),
    "upside down": Fault(made(SEAT_AFTER, ROOF, turned(180)), "photos.turned", SEAT_AFTER),
    "clock off by a day": Fault(made(HOSES, taken="1"), "photos.outside-step", HOSES),
    "without data of a camera": Fault(made(WIPE, exif=False), "photos.no-camera-data", WIPE),
    "a screenshot": Fault(made(WIPE.replace(".jpg", ".png"), WIPE, exif=False, form="PNG"), "photos.no-camera-data", WIPE.replace(".jpg", ".png")),
    "written again by an editor": Fault(made(ROOF_AFTER, DateTime="2026:04:03 21:14:00", Software="Retouch 3"), "photos.edited", ROOF_AFTER),
    "written by other software": Fault(made(ROOF_AFTER, Software="Retouch 3"), "photos.edited", ROOF_AFTER),
    "cut out of the photo before": Fault(made(ROOF_AFTER, ROOF, window(0.1, 0.05, 0.8)), "photos.cropped", ROOF_AFTER),
    "cut out, with its old date": Fault(made(SEAL_AFTER, SEAL, window(0.12, 0.14, 0.7), taken="as the source's"), "photos.cropped", SEAL_AFTER),
    "the left wheel for the right": Fault(made(OTHER_RIM, RIM, ImageOps.mirror), "photos.mirrored", OTHER_RIM),
    "names that differ in capitals": Fault(made(DASH.replace("top", "Top"), DASH, light(0.9)), "load.name-collision", DASH.replace("top", "Top")),
    "no photo after": Fault(lambda job: shutil.rmtree(job / "steps/050-fuel-hoses/after"), "photos.none-after", "steps/050-fuel-hoses/step.toml"),
    "cut short": Fault(bytes_of(SEAT_AFTER, lambda data: data[: len(data) // 2]), "photos.unreadable", SEAT_AFTER),
    "empty": Fault(bytes_of(SEAT_AFTER, lambda _: b""), "photos.unreadable", SEAT_AFTER),
    "no picture by content": Fault(bytes_of(SEAT_AFTER, lambda _: b"see the other folder\n"), "photos.unreadable", SEAT_AFTER),
    "named for another format": Fault(made(SEAT_AFTER, form="WEBP"), "photos.wrong-format-name", SEAT_AFTER),
    "too small": Fault(made(SEAT_AFTER, change=sized(640, 480)), "photos.too-small", SEAT_AFTER),
    "dark": Fault(made(SEAT_AFTER, change=light(0.08)), "photos.too-dark", SEAT_AFTER),
    "burnt out": Fault(made(SEAT_AFTER, change=lambda image: image.point(lambda v: min(255, v * 4 + 60))), "photos.burnt-out", SEAT_AFTER),
    "blurred": Fault(made(SEAT_AFTER, change=blur(0.008)), "photos.blurred", SEAT_AFTER),
    "dated ahead": Fault(made(SEAT_AFTER, taken="2027:04:20 16:10:00"), "photos.absurd-time", SEAT_AFTER),
    "clock never set": Fault(made(SEAT_AFTER, taken="1980:01:01 00:00:12"), "photos.absurd-time", SEAT_AFTER),
    "no date at all in its place": Fault(made(SEAT_AFTER, taken="2026:13:41 99:00:00"), "photos.absurd-time", SEAT_AFTER),
    "left in the inbox": Fault(made("inbox/late.jpg", DASH, light(0.9)), "photos.inbox-not-empty", "inbox"),
    "beside the stages": Fault(moved(WIPE, "steps/080-ceramic-coating/wipe.jpg"), "load.photo-outside-stage", "steps/080-ceramic-coating/wipe.jpg"),
    "in the folder of another zone": Fault(
        moved(HOSES, HOSES.replace("fuel-system", "roof")), "photos.zone-not-in-step", HOSES.replace("fuel-system", "roof")
    ),
}


@dataclass(frozen=True)
class Bench:
    """original: a copy of the demo job. job: where the copies with a fault stand, one after the other."""

    original: Path
    job: Path
    library: Library

    def findings(self, against: Path | None = None) -> set[tuple[str, str]]:
        loaded = load_job(self.job, HANDOVER, library=self.library)
        elsewhere = (read_other_job(against, library=self.library),) if against else ()
        job = replace(loaded.job, elsewhere=elsewhere)
        return {(f.code, f.place.file) for f in check_job(job, loaded.raised, Gate.HANDOVER)}

    def renew(self) -> None:
        if self.job.exists():
            shutil.rmtree(self.job)
        shutil.copytree(self.original, self.job, copy_function=os.link)


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    root = tmp_path_factory.mktemp("planted")
    original = Path(shutil.copytree(DEMO, root / "original"))
    for path in original.rglob("*"):
        os.utime(path, ns=(OLD_NS, OLD_NS))
    return Bench(original, root / "job", Library(root / "cache"))


@pytest.fixture(scope="module")
def clean(bench: Bench) -> set[tuple[str, str]]:
    """What the job as it is raises, compared with the other job too."""
    bench.renew()
    return bench.findings(MINIMAL)


@pytest.fixture
def job(bench: Bench, clean: set[tuple[str, str]]) -> Path:
    bench.renew()
    return bench.job


def test_the_job_as_it_is_shows_none(clean: set[tuple[str, str]]) -> None:
    assert not {code for code, _ in clean} & {fault.code for fault in FAULTS.values()}


@pytest.mark.parametrize("name", FAULTS)
def test_fault(name: str, job: Path, bench: Bench, clean: set[tuple[str, str]]) -> None:
    fault = FAULTS[name]
    fault.edit(job)
    found = bench.findings(MINIMAL)
    assert (fault.code, fault.at) in found - clean, sorted(found - clean)
