"""Precision and recall of likeness and of the hint on blur, on pictures made from the demo job; and the time for 5,000.

    python tests/bench/likeness.py [--seed 1] [--write docs/benchmarks.md]

Labelled alike: each photo against itself saved again (quality 30, half the size, darker, brighter, more contrast), seen
in a mirror, turned, cut out. Labelled different: each photo against each other one, and against the next of a burst: the same
picture moved and turned a little, as a hand does, with the light a little changed.
"""

from __future__ import annotations

import argparse
import io
import random
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import combinations
from pathlib import Path

from flips import write_section
from PIL import Image, ImageEnhance, ImageFilter, ImageOps
from pillow_heif import register_heif_opener

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import factory
from asking import raised_by

from buildbook.photos import cutouts, likeness, miniature
from buildbook.photos.looks import difference_hash, measure
from buildbook.photos.picture import decode
from buildbook.records.photo import Photo, PhotoFacts
from buildbook.rules.photos_likeness import cropped, mirrored, saved_again
from buildbook.rules.photos_likeness import turned as turned_rule
from buildbook.rules.photos_quality import blurred

DEMO = Path(__file__).resolve().parents[2] / "demo_job" / "steps"
ZONES = ("bonnet", "roof", "tailgate", "door-front-left", "door-front-right", "wheel-front-left", "carpets", "dashboard")
Change = Callable[[Image.Image], Image.Image]


@dataclass
class Score:
    """Of one label: how many there were, how many were said to be so."""

    made: int = 0
    found: int = 0

    def add(self, found: bool) -> None:
        self.made += 1
        self.found += found


@dataclass
class Scores:
    by_label: dict[str, Score] = field(default_factory=lambda: defaultdict(Score))

    def lines(self) -> Iterator[str]:
        for label, score in self.by_label.items():
            yield f"| {label} | {score.made:,} | {score.found:,} ({score.found / score.made:.1%}) |"


def facts(image: Image.Image, quality: int = 85) -> PhotoFacts:
    """What a survey finds in the picture saved as JPEG."""
    out = io.BytesIO()
    image.save(out, "JPEG", quality=quality)
    return decode(out.getvalue()).facts


def burst(chance: random.Random) -> Change:
    """The next shot by hand: up to 2 % aside, half a degree turned, up to 2 % nearer, 4 % lighter or darker."""
    angle, near, light = chance.uniform(-0.5, 0.5), chance.uniform(0.95, 0.97), chance.uniform(0.96, 1.04)
    x, y = chance.uniform(0.0, 1 - near), chance.uniform(0.0, 1 - near)

    def shoot(image: Image.Image) -> Image.Image:
        width, height = image.size
        turned = image.rotate(angle, Image.Resampling.BICUBIC)
        box = (x * width, y * height, (x + near) * width, (y + near) * height)
        return ImageEnhance.Brightness(turned.resize(image.size, Image.Resampling.BICUBIC, box=box)).enhance(light)

    return shoot


def window(side: float, chance: random.Random) -> Change:
    x, y = chance.uniform(0, 1 - side), chance.uniform(0, 1 - side)
    return lambda i: i.crop(tuple(round(v) for v in (x * i.width, y * i.height, (x + side) * i.width, (y + side) * i.height)))


SAVED: dict[str, tuple[Change, int]] = {
    "saved again, quality 30": (lambda i: i, 30),
    "half the size, quality 70": (lambda i: i.reduce(2), 70),
    "15 % darker": (lambda i: ImageEnhance.Brightness(i).enhance(0.85), 85),
    "15 % brighter": (lambda i: ImageEnhance.Brightness(i).enhance(1.15), 85),
    "20 % more contrast": (lambda i: ImageEnhance.Contrast(i).enhance(1.2), 85),
}


def pictures() -> list[Path]:
    """The demo job's photos, HEIC too (the extra `heic`)."""
    register_heif_opener()
    return sorted(path for path in DEMO.rglob("*") if path.suffix in (".jpg", ".heic"))


def alike(one: PhotoFacts, other: PhotoFacts) -> bool:
    return likeness.alike([(one, other)])[0]


def mirror_images(one: PhotoFacts, other: PhotoFacts) -> bool:
    return any(likeness.mirrored_among([one], [other]))


def turned_images(one: PhotoFacts, other: PhotoFacts) -> bool:
    return any(likeness.turned_among([one], [other]))


def any_likeness(one: PhotoFacts, other: PhotoFacts) -> bool:
    return (
        alike(one, other) or mirror_images(one, other) or turned_images(one, other)
        or cutouts.cut_from(one, other) is not None or cutouts.cut_from(other, one) is not None
    )  # fmt: skip


def labelled(seed: int) -> tuple[Scores, Scores, Scores]:
    """(one picture, different, blurred) over the demo job's photos."""
    chance, chance_of_turns = random.Random(seed), random.Random(seed)
    one_picture, different, blur = Scores(), Scores(), Scores()
    originals: list[PhotoFacts] = []
    for path in pictures():
        with Image.open(path) as opened:
            image = ImageOps.exif_transpose(opened).convert("RGB")
        original = decode(path.read_bytes()).facts
        for label, (change, quality) in SAVED.items():
            one_picture.by_label[label].add(alike(facts(change(image), quality), original))
        one_picture.by_label["mirrored"].add(mirror_images(facts(ImageOps.mirror(image)), original))
        turned = facts(image.rotate(chance_of_turns.choice((90, 180, 270)), expand=True))
        one_picture.by_label["turned by a quarter or half"].add(turned_images(turned, original))
        for side in (0.85, 0.8, 0.7, 0.6, 0.5):
            cut = facts(window(side, chance)(image))
            one_picture.by_label[f"cut out, {side:.0%} of the width"].add(cutouts.cut_from(cut, original) is not None)
        for _ in range(3):
            different.by_label["the next shot of a burst"].add(any_likeness(facts(burst(chance)(image)), original))
        for share in (0.0, 0.25, 0.4, 0.6, 0.8, 1.0):
            seen = facts(image.filter(ImageFilter.GaussianBlur(share / 100 * image.width)))
            photo = Photo(path="steps/a/b.jpg", size=1, sha256="0", step="a", facts=seen)
            label = f"radius {share} % of the width" if share else "as taken"
            blur.by_label[label].add(bool(raised_by(blurred, factory.job(photos=(photo,)))))
        originals.append(original)
    for one, other in combinations(originals, 2):
        different.by_label["two photos of the job"].add(any_likeness(one, other))
    return one_picture, different, blur


def many(count: int, seed: int, standing: bool = False) -> tuple[Photo, ...]:
    """Photos with the facts of windows cut at random from the demo job's, over 25 steps of eight zones. standing: half
    of them, as some hold their telephone.
    """
    chance = random.Random(seed)
    sources = []
    for path in pictures():
        with Image.open(path) as opened:
            sources.append(ImageOps.exif_transpose(opened).convert("RGB").reduce(2))
    start, photos = datetime(2026, 3, 2, 8), []
    for number in range(count):
        source, side = chance.choice(sources), chance.uniform(0.5, 1)
        size = (300, 400) if standing and number % 2 else (400, 300)
        small = window(side, chance)(source).resize(size, Image.Resampling.BILINEAR)
        step, stage = f"{10 * (number % 25):03d}-work", ("before", "during", "after")[number // 25 % 3]
        seen = PhotoFacts(
            format="JPEG", width=10 * size[0], height=10 * size[1], taken=start + timedelta(minutes=number), camera="P1", has_exif=True,
            dhash=difference_hash(small), looks=measure(small),
        )  # fmt: skip
        zone = ZONES[number // 75 % len(ZONES)]
        photos.append(factory.photo(f"steps/{step}/{stage}/{zone}/{number}.jpg", seen, sha256=factory.sha(str(number)), step=step, zone=zone))
    return tuple(photos)


def timed(count: int, seed: int) -> dict[str, float]:
    """Seconds of processor time, of one core, that likeness takes for `count` photos; the best of three. Facts are at hand."""
    steps = tuple(factory.step(id=f"{10 * n:03d}-work", number=10 * n) for n in range(25))
    lying, mixed = (factory.job(steps=steps, photos=many(count, seed, standing)) for standing in (False, True))
    taken = {}
    for name, rules, job in (
        ("all pairs: saved again", [saved_again], lying), ("all pairs: mirrored", [mirrored], lying),
        ("all pairs: turned, half of them upright", [turned_rule], mixed), ("before against after: cut out", [cropped], lying),
    ):  # fmt: skip
        runs = []
        for _ in range(3):
            for kept in (miniature.miniature, cutouts._window_bits):
                kept.cache_clear()
            began = time.process_time()
            raised_by(rules, job)
            runs.append(time.process_time() - began)
        taken[name] = min(runs)
    return taken


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--photos", type=int, default=5000)
    parser.add_argument("--write", type=Path, help="put the figures into this page, under a heading of their own")
    given = parser.parse_args()
    seconds = timed(given.photos, given.seed)
    alike, different, blur = labelled(given.seed)
    true = sum(s.found for s in alike.by_label.values())
    made = sum(s.made for s in alike.by_label.values())
    false = sum(s.found for s in different.by_label.values())
    text = "\n".join([
        f"`python tests/bench/likeness.py --seed {given.seed}`: pictures made from the demo job's photos; which are alike is known.",
        "", "| alike | made | found |", "|---|---|---|", *alike.lines(),
        "", "| different | made | said to be alike |", "|---|---|---|", *different.lines(),
        "", f"- Precision {true / (true + false):.1%}, recall {true / made:.1%} over all of them.",
        "- Cut-outs are looked for between photos before and after, down to about half the width, if they keep the picture's shape.",
        "", "| blur (Gaussian) | photos | asked about |", "|---|---|---|", *blur.lines(),
        "", "Heavier blur leaves nothing to tell a picture from a plain panel by, and is passed over.",
        "", f"Processor time of one core for {given.photos:,} photos, facts at hand: "
        + "; ".join(f"{name} {value:.2f} s" for name, value in seconds.items()) + f" ({sum(seconds.values()):.2f} s in all).",
    ])  # fmt: skip
    print(text)
    if given.write:
        write_section(given.write, "Likeness of photos", text.splitlines())


if __name__ == "__main__":
    main()
