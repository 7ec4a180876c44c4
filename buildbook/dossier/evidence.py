"""The numbers of the evidence: each photo, reading, document and record gets one label and one anchor, made first.

Photos P001 … in path order, readings R001 … in row order, documents D01 … in path order; approvals, part lines and
observations keep their own id; steps are S010 after their folder. A label that would read like another's number
gets its kind in front ("part P001"), so that no label stands for two things.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from buildbook.dossier.model import Ref, Run, Text, text
from buildbook.dossier.wording import _, together
from buildbook.records.job import Approval, Instrument, Job, Material, Observation, Part, Person, Reading, Step
from buildbook.records.photo import FileEntry, Photo

_PLAIN = re.compile(r"[A-Za-z0-9._-]")
_NUMBERED = re.compile(r"[PRDS]\d+")


def anchor_id(prefix: str, name: str) -> str:
    """An anchor for a name: letters, digits, `.`, `_` and `-` as they are, others as their code point in hex."""
    safe = "".join(c if _PLAIN.match(c) else f"~{ord(c):x}" for c in name)
    return f"{prefix}-{safe}"


class _Anchors:
    """Hands out anchors, each once: a second one of the same name gets a number behind it."""

    def __init__(self) -> None:
        self._used: set[str] = set()

    def take(self, prefix: str, name: str) -> str:
        wanted = anchor_id(prefix, name)
        made, n = wanted, 1
        while made in self._used:
            n += 1
            made = f"{wanted}~{n}"
        self._used.add(made)
        return made


@dataclass(frozen=True)
class Registry:
    """Every record with its Ref, in the record's order, and the ways to find one by what tables write."""

    photos: tuple[tuple[Photo, Ref], ...]
    readings: tuple[tuple[Reading, Ref], ...]
    documents: tuple[tuple[FileEntry, Ref], ...]
    approvals: tuple[tuple[Approval, Ref], ...]
    parts: tuple[tuple[Part, Ref], ...]
    observations: tuple[tuple[Observation, Ref], ...]
    steps: tuple[tuple[Step, Ref], ...]
    materials: tuple[tuple[Material, Ref], ...]
    instruments: tuple[tuple[Instrument, Ref], ...]
    people: tuple[tuple[Person, Ref], ...]
    _files: dict[str, Ref] = field(default_factory=dict)
    _by_id: dict[tuple[str, str], Ref] = field(default_factory=dict)

    def file(self, path: str) -> Ref | None:
        """The photo or document of that path."""
        return self._files.get(path)

    def approval(self, name: str) -> Ref | None:
        return self._by_id.get(("approval", name))

    def part(self, name: str) -> Ref | None:
        return self._by_id.get(("part", name))

    def observation(self, name: str) -> Ref | None:
        return self._by_id.get(("obs", name))

    def step(self, name: str) -> Ref | None:
        """By the folder's name, or by its number with or without leading zeros."""
        found = self._by_id.get(("step", name))
        if found is None and name.isascii() and name.isdigit():
            found = self._by_id.get(("step", str(int(name))))
        return found

    def instrument(self, name: str) -> Ref | None:
        return self._by_id.get(("instrument", name))

    def material(self, name: str) -> Ref | None:
        return self._by_id.get(("material", name))

    def any(self, name: str) -> Ref | None:
        """What a table may mean by a bare reference: a part line, an approval, a step, a file."""
        return self.part(name) or self.approval(name) or self.step(name) or self.file(name)


def _numbered(items: Iterable[str], letter: str, prefix: str, least: int) -> list[Ref]:
    names = list(items)
    width = max(least, len(str(len(names))))
    return [Ref(f"{letter}{n:0{width}d}", f"{prefix}-{n}") for n, _name in enumerate(names, 1)]


def _own(kind: str, word: str, names: Sequence[str], anchors: _Anchors, taken: set[str]) -> list[Ref]:
    """Refs for records that carry their own id; one without an id is called by its place in the table."""
    refs = []
    for n, name in enumerate(names, 1):
        label = name or f"{word} {n}"
        if label in taken or _NUMBERED.fullmatch(label):
            label = f"{word} {label}"
        refs.append(Ref(label, anchors.take(kind, name or f"no-id-{n}")))
    taken.update(r.label for r in refs)
    return refs


def build_registry(job: Job) -> Registry:
    """Labels and anchors for everything the dossier can point at."""
    photos = sorted(job.photos, key=lambda p: p.path.encode("utf-8", "surrogatepass"))
    documents = sorted(job.documents, key=lambda f: f.path.encode("utf-8", "surrogatepass"))
    photo_refs = _numbered((p.path for p in photos), "P", "photo", 3)
    document_refs = _numbered((d.path for d in documents), "D", "doc", 2)
    reading_refs = _numbered((r.id for r in job.readings), "R", "reading", 3)
    anchors, taken = _Anchors(), {r.label for r in (*photo_refs, *document_refs, *reading_refs)}
    step_refs = [
        Ref(f"S{s.number:03d}" if s.number is not None else s.id, anchors.take("step", s.id)) for s in job.steps
    ]
    taken |= {r.label for r in step_refs}
    kinds: dict[str, tuple[list[str], list[Ref]]] = {}
    for kind, word, names in (
        ("approval", _("approval"), [a.id for a in job.approvals]),
        ("part", _("part"), [p.id for p in job.parts]),
        ("obs", _("observation"), [o.id for o in job.observations]),
        ("material", _("material"), [m.id for m in job.materials]),
        ("instrument", _("instrument"), [i.id for i in job.instruments]),
        ("person", _("person"), [p.id for p in job.people]),
    ):
        kinds[kind] = (names, _own(kind, word, names, anchors, taken))
    by_id: dict[tuple[str, str], Ref] = {}
    for kind, (names, refs) in kinds.items():
        for name, ref in zip(names, refs, strict=True):
            if name:
                by_id.setdefault((kind, name), ref)
    for step, ref in zip(job.steps, step_refs, strict=True):
        by_id.setdefault(("step", step.id), ref)
    for step, ref in zip(job.steps, step_refs, strict=True):
        if step.number is not None:
            by_id.setdefault(("step", str(step.number)), ref)
    files = {d.path: r for d, r in zip(documents, document_refs, strict=True)}
    files |= {p.path: r for p, r in zip(photos, photo_refs, strict=True)}
    return Registry(
        photos=tuple(zip(photos, photo_refs, strict=True)),
        readings=tuple(zip(job.readings, reading_refs, strict=True)),
        documents=tuple(zip(documents, document_refs, strict=True)),
        approvals=tuple(zip(job.approvals, kinds["approval"][1], strict=True)),
        parts=tuple(zip(job.parts, kinds["part"][1], strict=True)),
        observations=tuple(zip(job.observations, kinds["obs"][1], strict=True)),
        steps=tuple(zip(job.steps, step_refs, strict=True)),
        materials=tuple(zip(job.materials, kinds["material"][1], strict=True)),
        instruments=tuple(zip(job.instruments, kinds["instrument"][1], strict=True)),
        people=tuple(zip(job.people, kinds["person"][1], strict=True)),
        _files=files,
        _by_id=by_id,
    )


def links(refs: Iterable[Ref | None]) -> Text:
    """Links one after the other; what was not found is left out."""
    return together([text(r) for r in refs if r is not None])


def named_files(registry: Registry, paths: Iterable[str]) -> Text:
    """Links to files; one that is not on file is printed by name and said to be missing."""
    return together([_named(registry.file(path), path) for path in paths if path])


def named(ref: Ref | None, name: str) -> Text:
    """A link to a record, or the name as written and that it is not on record; nothing for an empty name."""
    if not name:
        return ()
    return text(ref) if ref else text(name, Run(_(" (not on record)"), "quiet"))


def _named(ref: Ref | None, path: str) -> Text:
    return text(ref) if ref else text(path, Run(_(" (not on file)"), "quiet"))


def capped(refs: Sequence[Ref], rest: str, most: int = 12) -> tuple[Ref, ...]:
    """At most `most` refs; the others are counted in one that leads to the section `rest`."""
    if len(refs) <= most:
        return tuple(refs)
    more = len(refs) - (most - 1)
    return (*refs[: most - 1], Ref(_("and {n} more").format(n=more), rest))
