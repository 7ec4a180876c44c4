"""The steps of a job: their folders, step.toml, and the photos whose place says step, stage and zone."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import tzinfo
from fnmatch import fnmatchcase
from pathlib import Path

from buildbook.load.build import build
from buildbook.load.refused import listed, meant, shown
from buildbook.load.toml_file import Document, read_toml
from buildbook.load.values import normal_zone
from buildbook.photos import Surveyed
from buildbook.records.finding import Raised
from buildbook.records.job import Caption, Cure, Pair, Recoat, Step
from buildbook.records.photo import Photo
from buildbook.records.place import Place
from buildbook.records.said import said, sentences
from buildbook.records.words import Stage
from buildbook.records.zones import near_names, zone

_NAME = re.compile(r"(?P<number>[0-9]{1,6})-\S.*")
_STAGES = {stage.value: stage for stage in Stage}
NOTES = frozenset({"about.txt", "readme.txt", "readme.md"})  # notes that lie in folders and claim nothing


def is_note(path: str) -> bool:
    """Whether a file only explains the folder it lies in."""
    return path.rpartition("/")[2].casefold() in NOTES


def read_steps(
    root: Path, files: Iterable[str], folders: Iterable[str], times: tzinfo, raised: list[Raised]
) -> tuple[Step, ...]:
    """A Step for each folder directly under steps/, in the order of their names' bytes."""
    there = set(files)
    names = [f.removeprefix("steps/") for f in folders if f.startswith("steps/") and f.count("/") == 1]
    numbers: dict[int, str] = {}
    made = []
    for name in names:
        number = _number(name, numbers, raised)
        file = f"steps/{name}/step.toml"
        if file in there:
            document = read_toml(root, file, "step")
            raised += document.raised
        else:
            document = Document(file, {}, frozenset(), (), readable=False)
            says = said("The step {step} has no step.toml: nobody can tell what was done.", step=name)
            raised.append(Raised("load.no-step-file", Place(file), says))
        made.append(_step(document, name, number, times, raised))
    return tuple(made)


def _number(name: str, seen: dict[int, str], raised: list[Raised]) -> int | None:
    found = _NAME.fullmatch(name)
    place = Place(f"steps/{name}")
    if found is None:
        says = said(
            "The folder {folder} is not named number-name (040-front-brakes): it has no place in the order.",
            folder=shown(name),
        )
        raised.append(Raised("load.step-folder-name", place, says))
        return None
    number = int(found["number"])
    if number in seen:
        says = said(
            "Its number {number} is that of {step} too: a table that names step {number} could mean either.",
            number=number,
            step=seen[number],
        )
        raised.append(Raised("load.step-folder-name", place, says))
    seen.setdefault(number, name)
    return number


def _step(document: Document, name: str, number: int | None, times: tzinfo, raised: list[Raised]) -> Step:
    place = Place(document.file)

    def items(key: str) -> Iterable[tuple[Place, Mapping[str, object], frozenset[str] | None]]:
        for n, values in enumerate(document.data.get(key, ())):
            yield Place(document.file, key=f"{key}.{n + 1}"), values, document.bad_at(key, n)

    cure = Place(document.file, key="cure"), document.data.get("cure", {}), document.bad_at("cure")
    given = "cure" in document.data or cure[2] is None
    return build(
        Step,
        place,
        document.data,
        document.bad_at(),
        times,
        raised,
        id=name,
        number=number,
        pairs=tuple(build(Pair, p, v, b, times, raised) for p, v, b in items("pairs")),
        captions=tuple(build(Caption, p, v, b, times, raised) for p, v, b in items("captions")),
        cure=build(Cure, *cure, times, raised) if given and document.readable else None,
        recoats=tuple(build(Recoat, p, v, b, times, raised) for p, v, b in items("recoats")),
    )


def step_photos(
    files: Iterable[str], steps: Iterable[Step], surveyed: Mapping[str, Surveyed], raised: list[Raised]
) -> list[Photo]:
    """The photos under steps/, each with what its place and its caption say of it."""
    by_name = {step.id: step for step in steps}
    photos: list[Photo] = []
    unknown: dict[str, list[str]] = defaultdict(list)
    for path in files:
        if not path.startswith("steps/") or is_note(path):
            continue
        _, name, *rest = path.split("/")
        step = by_name.get(name)
        if step is None:
            raised.append(Raised("load.stray-file", Place(path), said("It lies in steps/ but in no step's folder.")))
            continue
        if rest == ["step.toml"]:
            continue
        stage = _STAGES.get(rest[0].casefold()) if len(rest) > 1 else None
        found = surveyed.get(path)
        picture = found is not None and found.facts is not None
        if stage is None or len(rest) > 3:
            says = said(
                "It does not lie in before/, during/ or after/, or in one zone's folder there: when was it taken?"
            )
            raised.append(Raised("load.photo-outside-stage", Place(path), says))
        elif not picture and found is not None and not found.unread:
            says = said("It lies among the photos but is no picture: it is sealed, but the dossier cannot show it.")
            raised.append(Raised("load.stray-file", Place(path), says))
        zone_name = ""
        if stage is not None and len(rest) == 3:
            zone_name = normal_zone(rest[1])
            if zone(zone_name) is None:
                unknown["/".join(path.split("/")[:-1])].append(path)
                zone_name = ""
        if found is None or found.facts is None or found.unread:
            continue
        text, captioned = _caption(step, "/".join(rest))
        photos.append(
            Photo(
                path=path,
                size=found.entry.size,
                sha256=found.entry.sha256,
                step=step.id,
                stage=stage,
                zone=zone_name or captioned,
                caption=text,
                facts=found.facts,
            )
        )
    for folder, lying in unknown.items():
        written = folder.rpartition("/")[2]
        near = near_names(written.casefold())
        strange = said(
            "{folder} is not a zone, so the photos in it have none ({n}).", folder=shown(written), n=len(lying)
        )
        hint = meant(listed(near)) if near else ""
        raised.append(Raised("load.unknown-zone-folder", Place(folder), sentences(strange, hint)))
    return photos


def _caption(step: Step, path: str) -> tuple[str, str]:
    """Caption and zone of a photo: of the first entries of step.toml that name it and say so."""
    text = zone_name = ""
    for caption in step.captions:
        pattern = caption.file.removeprefix("./")
        if pattern == path or fnmatchcase(path, pattern):
            text = text or caption.text
            zone_name = zone_name or caption.zone
    return text, zone_name
