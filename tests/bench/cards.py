"""How many of 200 synthetic shots of marker cards are read: `python tests/bench/cards.py [--write] [--count N]`.

Prints the share and the shots that were not read; --write puts the figure into docs/benchmarks.md.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from bench.card_shots import FRAME, MOMENT, QUALITY, Shot, card_pages, shots
from factory import job, step

from buildbook.dossier.cards import CardSet, card_set
from buildbook.photos.picture import decode
from buildbook.records.place import Place

SEED = 20261125
COUNT = 200
PAGE = Path(__file__).resolve().parents[2] / "docs" / "benchmarks.md"
_BEGIN, _END = "<!-- cards: begin -->", "<!-- cards: end -->"


def sample() -> CardSet:
    """Cards of six steps, with and without a zone: their codes differ in length."""
    zones = ((), ("bonnet",), ("door-front-left",), ("brake-front-right",), ("carpets", "dashboard"), ("whole",))
    steps = tuple(
        step(id=f"{n:02d}0-work", number=n * 10, title=f"Work on {' and '.join(z) or 'the car'}", zones=z,
             place=Place(f"steps/{n:02d}0-work/step.toml"))
        for n, z in enumerate(zones, 1)
    )  # fmt: skip
    return card_set(job(number="2026-014", steps=steps), MOMENT)


def read(taken: Sequence[Shot]) -> tuple[int, list[Shot], int]:
    """(shots read, shots not read, codes read that are in no shot)."""
    missed, wrong, good = [], 0, 0
    for shot in taken:
        codes = decode(shot.data, cards=True).facts.cards or ()
        wrong += sum(code != shot.code for code in codes)
        if shot.code in codes:
            good += 1
        else:
            missed.append(shot)
    return good, missed, wrong


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--write", action="store_true")
    options.add_argument("--count", type=int, default=COUNT)
    given = options.parse_args()
    cards = sample()
    good, missed, wrong = read(list(shots(cards, card_pages(cards), given.count, SEED)))
    share = f"{good} of {given.count} shots read ({good / given.count:.1%}), {wrong} misread"
    print(share)
    for shot in missed:
        print("  not read:", shot.how)
    if given.write:
        write(share, given.count)


def write(share: str, count: int) -> None:
    """Put the section into the page, in place of the last one."""
    text = (
        f"{_BEGIN}\n## Marker cards\n\n"
        f"`python tests/bench/cards.py --write` (seed {SEED}): {share}. Each of the {count} shots is a card of the "
        f"program's own PDF in a frame of {FRAME[0]} x {FRAME[1]} pixels, 14 to 55 % of its width wide, turned by any "
        "angle, tilted (each corner drawn in by up to 25 %), blurred (Gauss, 0.3 to 3.2 pixels), half in shadow (down "
        f"to a quarter of the light), under- or overexposed, with grain, saved at JPEG quality {QUALITY}. Not read were "
        "small cards out of focus. The shots are synthetic: folds, gloss and motion blur are not in them.\n"
        f"{_END}\n"
    )
    page = PAGE.read_text("utf-8") if PAGE.exists() else "# Benchmarks\n"
    if _BEGIN in page:
        page = re.sub(f"{re.escape(_BEGIN)}.*?{re.escape(_END)}\n", lambda _: text, page, flags=re.DOTALL)
    else:
        page = f"{page.rstrip()}\n\n{text}"
    PAGE.write_text(page, "utf-8")


if __name__ == "__main__":
    main()
