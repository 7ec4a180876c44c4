"""Writes the papers and pictures of the two smaller good jobs; their tables and TOML are typed by hand.

`python tests/demo/make_small_jobs.py [--photos]`
"""

from __future__ import annotations

import argparse
import csv
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import openpyxl
from demo_papers import Bill, paper, write_bills
from draw_photos import Camera, Draw, Frame, draw_all

GOOD = Path(__file__).resolve().parents[1] / "jobs" / "good"
PHONE = Camera("Norrsken", "N2 Phone", offset=True)
COMPACT = Camera("Belmar", "C-20", offset=False)


def motorcycle_papers(job: Path) -> None:
    """Receipts and letters of the motorcycle job. Latin names in the PDFs: their base fonts hold no Japanese."""
    with (job / "parts.csv").open(encoding="utf-8", newline="") as text:
        rows = list(csv.DictReader(text))
    bills = (
        Bill("documents/receipt-shiomi-0412.pdf", "Shiomi Parts", "Shiomizaki 1-4", "0412", "2026-05-09", (("Fork oil, batch 0093127", "1800"), ("Brake fluid, batch B4-2602", "950")), "10", "Consumption tax"),
        Bill("documents/receipt-kazehaya-887.pdf", "Kazehaya Chain", "Kazehaya 7-20", "887", "2026-05-15", (("Chain grease, batch CG-118", "700"),), "10", "Consumption tax"),
    )
    write_bills(job, bills, rows, "JPY")
    paper(job / "documents/order.pdf", "Order M26-031", (
        "11 May 2026", "", "A1. Fork seals, front brake, chain and sprockets; look over, photographs and road test.",
        "A3. Leave the dent in the tank.", "", "Odometer on arrival: 23 418 km.", "", "Ko Haruno"))  # fmt: skip
    paper(job / "documents/call-note.pdf", "Note of a telephone call", (
        "14 May 2026, 16:40, noted by Edda Mork", "", "A2. Mr Haruno agrees to a riveted chain link and a new axle nut.",
        "A4. He does not want new stanchions."))  # fmt: skip


def van_papers(job: Path) -> None:
    """Receipt and letters of the van job."""
    sheet = openpyxl.load_workbook(job / "parts.xlsx").active
    assert sheet is not None
    head, *body = sheet.iter_rows(values_only=True)
    rows = [{str(k): "" if v is None else f"{v:.2f}" if k in ("price", "total") else str(v) for k, v in zip(head, row, strict=True)} for row in body]
    bill = Bill("documents/receipt-harrow-falls-20417.pdf", "Harrow Falls Auto Supply", "Route 9, Harrow Falls", "20417", "2026-06-02", (("Brake fluid DOT 3, lot 0026118", "8.40"), ("Brake wash, lot BW-771", "11.20")), "7.5", "Sales tax")
    write_bills(job, (bill,), rows, "USD", ";")
    paper(job / "documents/order.pdf", "Order 0417-B", (
        "1 June 2026", "", "A1. Look over, fuel lines, rear brakes, road test.", "A3. Leave the left sill as it is.", "",
        "Odometer on arrival: 48,211 miles.", "", "for Boulangerie Étoile du Nord"))  # fmt: skip
    paper(job / "documents/email-2026-06-08.pdf", "E-mail of 8 June 2026", (
        "To: Atelier Lavoie & fils", "", "A2. Yes, please do both sides, with new springs.", "", "for Boulangerie Étoile du Nord"))  # fmt: skip


def _frames(rows: list[tuple[str, str, Camera, Draw]], timezone: str) -> list[Frame]:
    return [
        Frame(f"steps/{path}.jpg", draw, datetime.fromisoformat(when) + timedelta(seconds=7 + k), camera, size=(1600, 1200), quality=38, timezone=timezone, most=60_000)
        for k, (path, when, camera, draw) in enumerate(rows)
    ]  # fmt: skip


def motorcycle_frames() -> list[Frame]:
    """Fourteen pictures."""
    import draw_others as o

    def on_both(folder: str, when: str, old: bool) -> list[tuple[str, str, Camera, Draw]]:
        return [(f"{folder}/whole/{side}", f"{when}:{m}", COMPACT, lambda side=side: o.whole_motorcycle(side, old)) for side, m in (("left", "20"), ("right", "22"))]

    return _frames([
        *on_both("010-intake/before", "2026-05-11T09", True),
        ("010-intake/before/frame/frame-number", "2026-05-11T09:30", PHONE, lambda: o.stamped("VH350-1104427", "bare")),
        ("010-intake/before/engine/engine-number", "2026-05-11T09:33", PHONE, lambda: o.stamped("VH350E-1104611", "block")),
        ("010-intake/before/instruments/odometer", "2026-05-11T09:12", PHONE, lambda: o.odometer("23418")),
        ("020-fork/before/fork/seal", "2026-05-12T09:10", COMPACT, lambda: o.fork(True)),
        ("020-fork/after/fork/seal", "2026-05-13T15:30", COMPACT, lambda: o.fork(False)),
        ("030-front-brake/before/brake-front/disc", "2026-05-14T09:15", PHONE, lambda: o.brake(True)),
        ("030-front-brake/after/brake-front/disc", "2026-05-15T14:40", PHONE, lambda: o.brake(False)),
        ("040-chain/before/chain/run", "2026-05-18T09:15", PHONE, lambda: o.chain(True)),
        ("040-chain/during/chain/old-and-new", "2026-05-18T13:00", PHONE, o.chains_old_and_new),
        ("040-chain/after/chain/run", "2026-05-18T16:30", PHONE, lambda: o.chain(False)),
        *on_both("050-handover/after", "2026-05-21T15", False),
        ("050-handover/after/instruments/odometer", "2026-05-22T10:41", PHONE, lambda: o.odometer("23436")),
    ], "Asia/Tokyo")  # fmt: skip


def van_frames() -> list[Frame]:
    """Twelve pictures."""
    import draw_others as o

    return _frames([
        ("010-intake/before/whole/front-left", "2026-06-01T08:45", PHONE, lambda: o.whole_van("front-left", True)),
        ("010-intake/before/whole/rear-right", "2026-06-01T08:47", PHONE, lambda: o.whole_van("rear-right", True)),
        ("010-intake/before/bulkhead/chassis-number", "2026-06-01T08:52", PHONE, lambda: o.stamped("C10V6-118207", "bare")),
        ("010-intake/before/engine/engine-number", "2026-06-01T08:55", PHONE, lambda: o.stamped("F0661184", "block")),
        ("010-intake/before/instruments/odometer", "2026-06-01T08:41", PHONE, lambda: o.odometer("48211", "mph", "CORVANE")),
        ("020-fuel-lines/before/fuel-system/hose", "2026-06-03T08:30", PHONE, lambda: o.fuel_hose(True)),
        ("020-fuel-lines/during/fuel-system/old-and-new", "2026-06-03T11:30", PHONE, o.hoses_old_and_new),
        ("020-fuel-lines/after/fuel-system/hose", "2026-06-03T15:20", PHONE, lambda: o.fuel_hose(False)),
        ("030-rear-brakes/before/brake-rear-left/drum", "2026-06-08T08:40", PHONE, lambda: o.drum_brake(True)),
        ("030-rear-brakes/after/brake-rear-left/drum", "2026-06-09T14:10", PHONE, lambda: o.drum_brake(False)),
        ("040-handover/after/whole/front-left", "2026-06-11T14:00", PHONE, lambda: o.whole_van("front-left", False)),
        ("040-handover/after/whole/rear-right", "2026-06-11T14:02", PHONE, lambda: o.whole_van("rear-right", False)),
        ("040-handover/after/instruments/odometer", "2026-06-12T09:31", PHONE, lambda: o.odometer("48219", "mph", "CORVANE")),
    ], "America/Toronto")  # fmt: skip


JOBS: dict[str, tuple[Callable[[Path], None], Callable[[], list[Frame]]]] = {
    "motorcycle": (motorcycle_papers, motorcycle_frames), "van": (van_papers, van_frames),
}  # fmt: skip


def main() -> None:
    """Write what is generated."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--photos", action="store_true", help="draw the pictures too (takes minutes)")
    options.add_argument("--only", nargs="*", default=(), help="only pictures whose path holds one of these")
    options.add_argument("--under", type=Path, default=GOOD, help="folder that holds the two job folders")
    chosen = options.parse_args()
    for name, (papers, frames) in JOBS.items():
        papers(chosen.under / name)
        if chosen.photos:
            draw_all(chosen.under / name, frames(), chosen.only)


if __name__ == "__main__":
    main()
