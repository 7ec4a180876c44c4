"""Renders the demo photographs. `python frames.py OUT [NAME ...]`; finished frames are skipped, so it can be stopped and started.

Needs bpy (Blender as a Python module), numpy, scipy, pillow; not part of the base install. The same script and seed
give the same picture. A scene is built once and photographed from each of its places.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import base as b
import bpy
import car
import room
from views import EYES

View = tuple[object, ...]


@dataclass(frozen=True)
class Scene:
    """build: makes everything but the camera. shots: (path under steps/ without .jpg, arguments of base.camera)."""

    name: str
    build: Callable[[], None]
    shots: list[tuple[str, View]]
    samples: int = 12
    exposure: float = 0.0
    upright: bool = False
    share: float = 1.0


def _whole(before: bool) -> Callable[[], None]:
    def build() -> None:
        car.car(car.State(before), None)
        room.hall(daylight=True)

    return build


def scenes() -> list[Scene]:
    out = [
        Scene("whole-before", _whole(True), [(f"010-intake/before/whole/{n}", v) for n, v in EYES.items()], 8),
        Scene("whole-after", _whole(False), [(f"130-handover/after/whole/{n}", v) for n, v in EYES.items()], 16),
    ]
    import closeups

    return out + closeups.scenes()


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("out", type=Path)
    ask.add_argument("names", nargs="*")
    ask.add_argument("--long", type=int, default=1800, help="long edge in pixels")
    ask.add_argument("--samples", type=float, default=1.0, help="times the samples of the scene")
    ask.add_argument("--threads", type=int, default=2)
    opt = ask.parse_args()
    for sc in scenes():
        todo = [(p, v) for p, v in sc.shots if (not opt.names or any(n in p or n == sc.name for n in opt.names)) and not (opt.out / f"{p}.png").exists()]
        if not todo:
            continue
        size = (opt.long, opt.long * 3 // 4)
        b.start(max(2, round(sc.samples * opt.samples)), size[::-1] if sc.upright else size, opt.threads, sc.exposure)
        bpy.context.scene.render.use_persistent_data = True
        sc.build()
        for p, v in todo:
            t = time.time()
            b.camera(*v)  # type: ignore[arg-type]
            part = opt.out / f"{p}.part.png"
            part.parent.mkdir(parents=True, exist_ok=True)
            bpy.context.scene.render.filepath = str(part)
            bpy.ops.render.render(write_still=True)
            part.rename(opt.out / f"{p}.png")
            print(f"{time.time() - t:6.1f} s  {p}", flush=True)


if __name__ == "__main__":
    main()
