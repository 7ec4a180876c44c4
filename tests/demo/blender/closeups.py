"""Which close-ups there are: scene, cameras and frames."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import close_chassis as ch
import close_paint as pa
import close_trim as tr

if TYPE_CHECKING:
    from frames import Scene

STAGE = {True: "before", False: "after"}


def scenes() -> list[Scene]:
    from frames import Scene

    out: list[Scene] = []

    def pair(step: str, zone: str, stem: str, build: Callable[[bool], Any], view: tuple[Any, ...], samples: int = 7, exposure: float = 0.0) -> None:
        for before in (True, False):
            out.append(Scene(f"{stem}-{STAGE[before]}", lambda before=before: build(before), [(f"{step}/{STAGE[before]}/{zone}/{stem}", view)], samples, exposure))

    def one(path: str, build: Callable[[], Any], view: tuple[Any, ...], samples: int = 7, exposure: float = 0.0, upright: bool = False) -> None:
        out.append(Scene(path.replace("/", "-"), build, [(path, view)], samples, exposure, upright))

    pair("030-underside-dry-ice", "underside-front", "floor", ch.floor_pan, ((-0.62, 0.42, -0.92), (-0.18, 0.0, 0.0), 30, 5.6), 7)
    pair("030-underside-dry-ice", "underside-rear", "axle", ch.axle, ((-0.95, 0.95, -0.40), (-0.02, 0.24, 0.06), 40, 4.0), 7)
    d = "040-front-brakes"
    for before in (True, False):
        s = STAGE[before]
        out.append(Scene(f"brake-left-{s}", lambda before=before: ch.corner(before), [
            (f"{d}/{s}/brake-front-left/disc", ((-0.10, 0.62, 0.16), (0.015, 0.0, 0.0), 52, 4.0)),
            (f"{d}/{s}/brake-front-left/caliper", ((0.30, 0.25, 0.20), (0.100, 0.01, 0.012), 56, 4.0))], 7))  # fmt: skip
        out.append(Scene(f"brake-right-{s}", lambda before=before: ch.corner(before, True), [
            (f"{d}/{s}/brake-front-right/disc", ((-0.22, -0.58, 0.10), (-0.02, 0.0, 0.005), 54, 4.0))], 7))  # fmt: skip
    one(f"{d}/during/brake-front-left/old-and-new", ch.brakes_side_by_side, ((0.03, 0.62, 0.52), (0.0, -0.035, 0.0), 47, 8.0))
    pair("050-fuel-hoses", "fuel-system", "hose", ch.fuel_hose, ((0.07, 0.46, 0.17), (0.085, 0.0, 0.012), 44, 5.6), exposure=0.6)
    one("050-fuel-hoses/during/fuel-system/old-and-new", ch.hoses_side_by_side, ((0.0, 0.36, 0.36), (0, 0.0, 0.0), 40, 5.6))
    t = "120-interior"
    pair("100-seals", "seals", "door-seal", tr.door_seal, ((0.24, 0.46, 0.30), (0.02, 0.0, 0.02), 50, 4.0))
    one("100-seals/during/seals/old-and-new", tr.seals_side_by_side, ((0.0, 0.85, 0.75), (0, 0.0, 0.0), 58, 8.0))
    pair(t, "seat-front-left", "cushion", tr.cushion, ((0.62, 0.50, 0.62), (0.0, 0.0, 0.05), 44, 4.0))
    pair(t, "carpets", "footwell", tr.footwell, ((-0.62, 0.22, 0.56), (0.06, 0.02, 0.02), 40, 5.6), exposure=0.5)
    pair(t, "dashboard", "top", tr.dash_top, ((-0.42, -0.02, 0.36), (-0.03, -0.19, 0.0), 46, 5.6), exposure=0.5)
    one("010-intake/before/bulkhead/chassis-number", lambda: tr.stamped("TE19-0047213", True), ((0.02, -0.30, 0.06), (0.0, 0.0, 0.0), 78, 5.6))
    one("010-intake/before/engine/engine-number", lambda: tr.stamped("19B-031188", False), ((-0.05, -0.26, 0.09), (0.0, 0.0, 0.0), 74, 5.6))
    one("010-intake/before/instruments/odometer", lambda: tr.dial("84312", True), ((0.008, -0.22, 0.045), (0.0, 0.0, -0.004), 58, 4.0))
    one("130-handover/after/instruments/odometer", lambda: tr.dial("84327", False), ((-0.012, -0.23, 0.035), (0.0, 0.0, -0.004), 58, 4.0))
    one("020-dismantle-trim/during/bumper-front/removed", tr.bumper_off, ((1.35, 0.75, 1.15), (0.0, -0.02, 0.02), 36, 8.0))
    one("110-wheels-tyres/before/tyre-front-left/tread", lambda: tr.tread(True), ((0.70, 0.50, 0.42), (0.12, 0.0, 0.38), 58, 4.0))
    one("110-wheels-tyres/after/tyre-front-left/tread", lambda: tr.tread(False), ((0.70, 0.50, 0.42), (0.12, 0.0, 0.38), 58, 4.0))
    return out + pa.scenes()
