"""Rewrite the bad folders under tests/jobs/bad: `python tests/jobs/plant.py [CODE ...]` (none named: all of them).

Each bad folder is the good minimal job with one fault, and raises exactly the code it is named after at the handover
gate. The faults stand in tables of code -> edit, one table an area group.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from jobs.plant_a import PLANTS as PLANTS_A
from jobs.plant_b import PLANTS as PLANTS_B
from jobs.plant_c import PLANTS as PLANTS_C
from jobs.plant_cards import PLANTS as PLANTS_CARDS
from jobs.plant_issued import PLANTS as PLANTS_ISSUED
from jobs.plant_load import PLANTS as PLANTS_LOAD
from jobs.plant_photos import PLANTS as PLANTS_PHOTOS
from jobs.plant_register import PLANTS as PLANTS_REGISTER
from jobs.planting import BAD, Edit, plant

PLANTS: dict[str, Edit] = {
    **PLANTS_LOAD, **PLANTS_A, **PLANTS_B, **PLANTS_C, **PLANTS_CARDS, **PLANTS_PHOTOS, **PLANTS_REGISTER,
    **PLANTS_ISSUED,
}  # fmt: skip


def main(codes: list[str]) -> None:
    unknown = sorted(set(codes) - set(PLANTS))
    if unknown:
        raise SystemExit(f"No fault to plant for: {', '.join(unknown)}")
    for code in codes or sorted(PLANTS):
        plant(code, PLANTS[code])
    print(f"{len(codes or PLANTS)} bad folders written under {BAD.relative_to(BAD.parents[2])}")


if __name__ == "__main__":
    main(sys.argv[1:])
