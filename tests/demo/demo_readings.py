"""The measured series of the demo job, written to readings.csv: invented values, drawn once with a fixed seed.

The committed CSV is the record; this script only spares typing it.
"""

from __future__ import annotations

import csv
import random
from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path

FIELDS = (
    "id", "stage", "step", "zone", "point", "kind", "value", "unit", "detail", "instrument", "by", "on",
    "uncertainty", "limit_min", "limit_max", "limit_source", "exception", "approval",
)  # fmt: skip
PANELS = {
    "bonnet": 105, "roof": 113, "tailgate": 118, "wing-front-left": 120, "wing-front-right": 122,
    "wing-rear-left": 121, "wing-rear-right": 239, "door-front-left": 124, "door-front-right": 123,
    "door-rear-left": 121, "door-rear-right": 126, "sill-left": 132, "sill-right": 130,
}  # fmt: skip
CORNERS = ("front-left", "front-right", "rear-left", "rear-right")


class Sheet:
    """Rows in the order they were measured; the clock of each block moves on by itself."""

    def __init__(self, seed: int) -> None:
        self.rows: list[dict[str, str]] = []
        self.chance = random.Random(seed)
        self.now = datetime.min
        self.fixed: dict[str, str] = {}

    def block(self, start: str, **fixed: str) -> None:
        self.now, self.fixed = datetime.fromisoformat(start), fixed

    def add(self, value: str | float | Decimal, minutes: int = 1, **more: str) -> None:
        row = dict.fromkeys(FIELDS, "") | self.fixed | more
        row |= {"id": f"R{len(self.rows) + 1:03d}", "value": str(value), "on": self.now.isoformat(timespec="minutes")}
        self.rows.append(row)
        self.now += timedelta(minutes=minutes)

    def near(self, middle: float, spread: float, step: str = "0.1") -> Decimal:
        return Decimal(str(self.chance.gauss(middle, spread))).quantize(Decimal(step))

    def write(self, path: Path) -> None:
        with path.open("w", encoding="utf-8", newline="") as out:
            table = csv.DictWriter(out, FIELDS, lineterminator="\n")
            table.writeheader()
            table.writerows(self.rows)


def intake(s: Sheet) -> None:
    at = {"stage": "intake", "step": "010"}
    s.block("2026-03-02T09:40", **at, zone="instruments", kind="odometer", unit="km", by="MO")
    s.add("84312")
    s.block("2026-03-02T10:05", **at, zone="battery", kind="battery_voltage", unit="V", instrument="MM-1", by="JB", uncertainty="0.02")
    s.add("12.71", detail="workshop's battery, fitted for the move", point="terminals")
    s.block("2026-03-03T09:00", **at, kind="film_thickness", unit="µm", instrument="PTG-1", by="AS", uncertainty="2.5")
    for zone, middle in PANELS.items():
        for point in "123":
            s.add(s.near(middle, 7 if zone == "wing-rear-right" else 2.4), zone=zone, point=point)
    s.block("2026-03-03T13:30", **at, kind="panel_gap", unit="mm", instrument="GAP-1", by="AS", uncertainty="0.2")
    for zone, point, value in GAPS:
        more = {"exception": HINGES, "approval": "A-10"} if zone == "tailgate" and point == "left, middle" else {}
        s.add(value, zone=zone, point=point, **more)
    s.block("2026-03-03T15:20", **at, zone="engine", kind="charging_voltage", unit="V", instrument="MM-1", by="JB", uncertainty="0.02")
    s.add("14.08", minutes=20, point="at 2000/min, lamps on")
    s.block("2026-03-03T15:50", **at, zone="engine", kind="compression", unit="bar", instrument="CG-1", by="JB")
    for cylinder, value in zip("1234", ("10.6", "10.8", "10.5", "10.7"), strict=True):
        s.add(value, minutes=4, point=f"cylinder {cylinder}", detail="warm, throttle open")
    s.block("2026-03-04T09:15", **at, kind="tyre_tread", unit="mm", instrument="TDG-1", by="JB", uncertainty="0.1")
    for corner, (a, b, c) in zip(CORNERS, ((3.1, 3.4, 2.9), (3.2, 3.3, 3.0), (4.1, 4.4, 4.2), (4.0, 4.3, 4.1)), strict=True):
        for point, value in (("inner", a), ("middle", b), ("outer", c)):
            s.add(value, zone=f"tyre-{corner}", point=point)
    s.block("2026-03-04T09:40", **at, kind="tyre_date_code", by="JB")
    for corner in (*CORNERS, "spare"):
        s.add("2309" if corner == "spare" else "2209", zone=f"tyre-{corner}")


HINGES = "Hinges never moved since 1972, paint on their bolts unbroken; client wants them left"
GAPS = (
    ("bonnet", "left, middle", "4.4"), ("bonnet", "right, middle", "4.6"), ("door-front-left", "rear edge", "4.2"),
    ("door-front-right", "rear edge", "4.5"), ("tailgate", "left, middle", "6.1"), ("tailgate", "right, middle", "4.4"),
)  # fmt: skip


def underside(s: Sheet) -> None:
    grade = {"step": "030", "kind": "rust_ri", "by": "TK"}
    s.block("2026-03-11T09:10", **grade, stage="before")
    s.add("1", zone="underside-front")
    s.add("2", zone="underside-rear", point="spring plate")
    s.block("2026-03-11T10:00", stage="during", step="030", zone="underside-front", kind="carbon_dioxide", unit="ppm",
            instrument="CDM-1", by="AS", uncertainty="60", point="breathing zone, gates open")
    for value in ("640", "1180", "1420", "1260", "980"):
        s.add(value, minutes=25)
    s.block("2026-03-13T14:00", **grade, stage="after")
    s.add("0", zone="underside-front")
    s.add("0", zone="underside-rear", point="spring plate")


def brakes(s: Sheet) -> None:
    disc = {"step": "040", "kind": "disc_thickness", "unit": "mm", "instrument": "MIC-1", "by": "TK", "uncertainty": "0.004"}
    s.block("2026-03-16T09:30", **disc, stage="before")
    for side, middle in (("left", 10.18), ("right", 10.22)):
        for point in range(1, 9):
            s.add(s.near(middle, 0.016, "0.001"), zone=f"brake-front-{side}", point=str(point), detail="10 mm in from the edge")
    runout = {"step": "040", "kind": "disc_runout", "unit": "mm", "instrument": "DTI-1", "by": "TK", "uncertainty": "0.02"}
    s.block("2026-03-16T10:15", **runout, stage="before")
    s.add("0.14", zone="brake-front-left", point="10 mm in from the edge")
    s.add("0.17", zone="brake-front-right", point="10 mm in from the edge")
    pads = {"step": "040", "kind": "pad_lining", "unit": "mm", "instrument": "CAL-1", "by": "TK", "uncertainty": "0.1"}
    s.block("2026-03-16T10:40", **pads, stage="before")
    for side, inner, outer in (("left", "2.1", "2.6"), ("right", "2.3", "2.7")):
        s.add(inner, zone=f"brake-front-{side}", point="inner pad")
        s.add(outer, zone=f"brake-front-{side}", point="outer pad")
    fluid = {"step": "040", "zone": "brake-hydraulics", "kind": "brake_fluid_boiling_point", "unit": "°C", "detail": "DOT 4",
             "instrument": "BFT-1", "by": "TK", "uncertainty": "3"}
    s.block("2026-03-16T11:00", **fluid, stage="before")
    s.add("142", point="reservoir")
    s.block("2026-03-17T13:00", **disc, stage="after")
    for side, middle in (("left", 12.702), ("right", 12.698)):
        for point in range(1, 9):
            s.add(s.near(middle, 0.0016, "0.001"), zone=f"brake-front-{side}", point=str(point), detail="10 mm in from the edge")
    s.block("2026-03-17T13:40", **runout, stage="after")
    s.add("0.04", zone="brake-front-left", point="10 mm in from the edge")
    s.add("0.09", zone="brake-front-right", point="10 mm in from the edge", detail="the better of two positions on the hub")
    s.block("2026-03-17T14:10", **pads, stage="after")
    for side in ("left", "right"):
        s.add("10.2" if side == "left" else "10.1", zone=f"brake-front-{side}", point="inner pad")
        s.add("10.2", zone=f"brake-front-{side}", point="outer pad")
    s.block("2026-03-17T14:30", stage="after", step="040", kind="tightening_torque", unit="N·m", detail="M10 8.8", instrument="TQ-1",
            by="TK", uncertainty="1.5", limit_min="45", limit_max="55", limit_source="Talmere 1900 workshop manual, section 12: 50 N·m")
    for side in ("left", "right"):
        for bolt, value in (("upper", "50"), ("lower", "51")):
            s.add(value, zone=f"brake-front-{side}", point=f"caliper bolt, {bolt}")
    s.block("2026-03-18T16:10", **fluid, stage="after")
    s.add("256", point="reservoir")


def paint(s: Sheet) -> None:
    colour = {"step": "060", "kind": "colour_lab", "instrument": "COL-1", "by": "SM", "point": "reference", "detail": "D65/10°"}
    s.block("2026-03-23T08:40", **colour, stage="before")
    s.add("27.94 -3.02 -27.10", zone="door-front-left")
    s.add("31.62 -3.41 -22.85", zone="bonnet", point="centre")
    s.add("30.08 -3.22 -24.71", zone="wing-front-left", point="centre")
    for start, coat in (("2026-03-24T09:10", "epoxy primer"), ("2026-03-25T09:20", "surfacer"), ("2026-03-26T09:05", "base coat"),
                        ("2026-03-26T10:10", "clear coat, first coat")):
        climate = {"stage": "during", "step": "060", "zone": "bonnet", "point": f"before {coat}", "by": "SM"}
        s.block(start, **climate, kind="air_temperature", unit="°C", instrument="TH-1", uncertainty="0.4")
        s.add(s.near(21.5, 0.5))
        s.block(start, **climate, kind="relative_humidity", unit="%RH", instrument="TH-1", uncertainty="2.5")
        s.add(s.near(54, 2, "1"))
        s.block(start, **climate, kind="surface_temperature", unit="°C", instrument="IRT-1", uncertainty="0.8")
        s.add(s.near(20.4, 0.4))
    s.block("2026-03-26T11:00", stage="during", step="060", zone="bonnet", kind="metal_temperature", unit="°C", instrument="IRT-1",
            by="SM", uncertainty="0.8", point="centre", detail="booth bake")
    for value in ("24", "41", "55", "61", "62", "62", "63", "62", "62", "61", "48"):
        s.add(value, minutes=5)
    film = {"stage": "after", "step": "060", "kind": "film_thickness", "unit": "µm", "instrument": "PTG-1", "by": "SM",
            "uncertainty": "2.5", "limit_min": "120", "limit_max": "220",
            "limit_source": "sum of the data sheets' films, 120 µm nominal, at most 220 µm"}
    s.block("2026-03-27T09:30", **film)
    for zone, middle, points in (("bonnet", 143.0, "12345"), ("wing-front-left", 147.0, "12345")):
        for point in points:
            s.add(s.near(middle, 3), zone=zone, point=point)
    s.block("2026-03-27T10:10", **colour, stage="after")
    s.add("27.91 -3.04 -27.06", zone="door-front-left")
    s.add("27.55 -3.18 -27.46", zone="bonnet", point="centre")
    s.add("27.62 -3.12 -27.49", zone="wing-front-left", point="centre")


POLISHED = {"door-front-left": ("12345", 124.2, 3.4), "roof": ("12345", 113.0, 3.9), "tailgate": ("12345", 118.3, 3.1)}
GLOSS = {  # 20° before, 60° before, 20° after, 60° after
    "door-front-left": (38.0, 61.0, 84.5, 91.2), "roof": (16.0, 42.0, 80.6, 88.4), "tailgate": (33.0, 57.5, 83.2, 90.3),
}  # fmt: skip


def polishing(s: Sheet) -> None:
    film = {"step": "070", "kind": "film_thickness", "unit": "µm", "instrument": "PTG-1", "by": "AS", "uncertainty": "2.5"}
    before = {(z, p): s.near(middle, 1.2) for z, (points, middle, _) in POLISHED.items() for p in points}
    s.block("2026-03-30T09:00", **film, stage="before")
    for (zone, point), value in before.items():
        s.add(value, zone=zone, point=f"marked {point}")
    _gloss(s, "2026-03-30T10:00", "before", 0)
    s.block("2026-04-02T13:00", **film, stage="after")
    for (zone, point), value in before.items():
        s.add(value - s.near(POLISHED[zone][2], 0.35), zone=zone, point=f"marked {point}")
    _gloss(s, "2026-04-02T14:00", "after", 2)


def _gloss(s: Sheet, start: str, stage: str, column: int) -> None:
    s.block(start, stage=stage, step="070", unit="GU", instrument="GLM-1", by="AS", uncertainty="0.9")
    for zone, values in GLOSS.items():
        for kind, middle in zip(("gloss_20", "gloss_60"), values[column : column + 2], strict=True):
            for point in "123":
                s.add(s.near(middle, 0.8), zone=zone, point=f"marked {point}", kind=kind)


def seals_and_wheels(s: Sheet) -> None:
    seal = {"step": "100", "zone": "seals", "kind": "seal_height", "unit": "mm", "instrument": "CAL-1", "by": "TK", "uncertainty": "0.3"}
    doors = ("left front", "right front", "left rear", "right rear")
    s.block("2026-04-10T09:00", **seal, stage="before")
    for door, value in zip(doors, ("6.2", "6.8", "7.4", "7.1"), strict=True):
        s.add(value, point=f"{door} door, middle of sill")
    limit = {"limit_min": "9", "limit_source": "workshop's own limit: below 9 mm it no longer touches all round"}
    s.block("2026-04-13T14:00", **seal, **limit, stage="after")
    for door, value in zip(doors, ("11.8", "11.9", "11.7", "11.9"), strict=True):
        s.add(value, point=f"{door} door, middle of sill")
    s.block("2026-04-15T11:00", stage="after", step="110", kind="tyre_tread", unit="mm", instrument="TDG-1", by="JB", uncertainty="0.1")
    for corner in CORNERS:
        for point in ("inner", "middle", "outer"):
            s.add(s.near(7.9, 0.06), zone=f"tyre-{corner}", point=point)
    s.block("2026-04-15T11:30", stage="after", step="110", kind="tyre_date_code", by="JB")
    for corner in CORNERS:
        s.add("0426", zone=f"tyre-{corner}")
    s.block("2026-04-16T14:00", stage="after", step="110", kind="tightening_torque", unit="N·m", detail="M12 10.9", instrument="TQ-1",
            by="JB", uncertainty="2")
    for corner in CORNERS:
        for bolt in "1234":
            s.add(s.chance.choice(("89", "90", "90", "91")), zone=f"wheel-{corner}", point=f"bolt {bolt}")


def leaving(s: Sheet) -> None:
    s.block("2026-04-21T12:05", stage="after", step="120", zone="rear-seat", kind="ozone", unit="ppm", instrument="OZ-1", by="AS",
            uncertainty="0.01", detail="two hours after the generator was switched off")
    for value in ("0.04", "0.02", "0.02"):
        s.add(value, minutes=15)
    at = {"stage": "handover", "step": "130"}
    s.block("2026-04-22T10:00", **at, zone="engine", kind="compression", unit="bar", instrument="CG-2", by="JB", uncertainty="0.2")
    for cylinder, value in zip("1234", ("10.8", "10.9", "10.6", "10.8"), strict=True):
        s.add(value, minutes=4, point=f"cylinder {cylinder}", detail="warm, throttle open")
    s.block("2026-04-22T10:40", **at, zone="engine", kind="charging_voltage", unit="V", instrument="MM-1", by="JB", uncertainty="0.02")
    s.add("14.11", point="at 2000/min, lamps on")
    s.block("2026-04-23T09:00", **at, zone="battery", kind="battery_voltage", unit="V", instrument="MM-1", by="JB", uncertainty="0.02")
    s.add("12.66", point="terminals", detail="at rest, twelve hours")
    s.block("2026-04-23T09:30", **at, kind="panel_gap", unit="mm", instrument="GAP-1", by="JB", uncertainty="0.2")
    for zone, point, value in GAPS:
        more = {"exception": HINGES, "approval": "A-10"} if zone == "tailgate" and point == "left, middle" else {}
        s.add({"4.4": "4.4", "4.6": "4.5"}.get(value, value), zone=zone, point=point, **more)
    s.block("2026-04-24T10:30", **at, zone="instruments", kind="odometer", unit="km", by="MO")
    s.add("84327")


def write_readings(job: Path) -> int:
    """Write JOB/readings.csv; the number of rows."""
    sheet = Sheet(47213)
    for part in (intake, underside, brakes, paint, polishing, seals_and_wheels, leaving):
        part(sheet)
    sheet.write(job / "readings.csv")
    return len(sheet.rows)
