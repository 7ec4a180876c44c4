"""A job as an edition shows it: pure functions of the record. What follows from them is the same in every form: pages,
record.json, web pages.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from decimal import Decimal
from typing import Any

from buildbook.editions.private import MARK, people_numbers, private_redactor, prose_redactor
from buildbook.editions.redact import Redactor, fold
from buildbook.editions.table import Edition, Group, withheld_fields, withholds
from buildbook.records.changes import Changes
from buildbook.records.finding import Finding
from buildbook.records.job import Job
from buildbook.records.photo import Looks, Photo, PhotoFacts
from buildbook.records.place import Place
from buildbook.records.said import Sayable, reworded


@dataclass(frozen=True, slots=True)
class Words:
    """What is printed in place of what is withheld."""

    mark: str = MARK
    client: str = "the client"
    photo: str = "withheld from this edition"


# Fields that name files, hold numbers or are codes: no amounts and no initials are looked for in them.
_CODES = frozenset((
    "path", "document", "receipt", "file", "before", "after", "photo_in", "photo_out", "certificate", "data_sheet",
    "chassis_number_photo", "engine_number_photo", "photos", "step", "steps", "sha256", "chassis_number",
    "engine_number", "gearbox_number", "part_number", "number", "batch", "serial", "paint_code", "value_text",
    "unit", "marque", "model", "camera",
))  # fmt: skip
_PEOPLE = frozenset({"done_by", "checked_by", "stated_by", "by"})
_AS_THEY_ARE = frozenset({"workshop", "as_of", "issued", "elsewhere"})  # whose work it is stays in every edition
_WORDS = Words()


def withhold(job: Job, edition: Edition, photos: frozenset[str] = frozenset(), words: Words = _WORDS) -> Job:
    """The job without what the edition withholds.

    photos: paths of pictures that are not shown. Every text that people wrote is searched for what is private; names,
    numbers and references keep their form, so that tables still refer to each other.
    """
    if edition is Edition.OWNER:
        return job
    rewriter = _Rewriter.of(job, edition, words)
    blank = withheld_fields(edition)
    made: dict[str, Any] = {}
    for item in fields(job):
        value = getattr(job, item.name)
        if item.name in _AS_THEY_ARE:
            continue
        if item.name in blank:
            value = _blanked(value, blank[item.name], words)
        made[item.name] = rewriter.value(value, item.name)
    made["approvals"] = tuple(
        replace(now, given_by=_giver(job, was.given_by, edition, words))
        for was, now in zip(job.approvals, made["approvals"], strict=True)
    )
    if withholds(edition, Group.PEOPLE):
        numbers = [f"T{n}" for n, _ in enumerate(job.people, 1)]
        made["people"] = tuple(
            replace(now, id=number if was.id else "", name=number)
            for was, now, number in zip(job.people, made["people"], numbers, strict=True)
        )
    made["photos"] = tuple(_photo(p, edition, photos, words) for p in made["photos"])
    made["editions"] = replace(job.editions, private=(), withhold_photos=None)
    if withholds(edition, Group.PHOTO_DATA):
        made["cameras"], made["photos"] = _bodies(job, made["cameras"], made["photos"])
    return replace(job, **made)


def withhold_findings(findings: Sequence[Finding], job: Job, edition: Edition, words: Words = _WORDS) -> list[Finding]:
    """Findings as an edition tells them. job: as it was read. What one says about a withheld field is withheld."""
    if edition is Edition.OWNER:
        return list(findings)
    rewriter = _Rewriter.of(job, edition, words)
    return [
        replace(
            rewriter.value(finding, ""),
            says=words.mark if _quotes(finding, edition) else rewriter.text(finding.says, prose=True),
        )
        for finding in findings
    ]


def withhold_changes(changes: Changes | None, job: Job, edition: Edition, words: Words = _WORDS) -> Changes | None:
    """What changed since the issue before, as an edition tells it. job: as it was read."""
    if changes is None or edition is Edition.OWNER:
        return changes
    hidden = withheld_fields(edition).get("parts", frozenset())
    parts = []
    for part in changes.parts:
        left = tuple(f for f in part.fields if f.name not in hidden)
        if left or not part.fields:
            parts.append(replace(part, fields=left))
    rewritten: Changes = _Rewriter.of(job, edition, words).value(replace(changes, parts=tuple(parts)), "")
    return rewritten


def telling_names(job: Job, edition: Edition) -> list[tuple[str, str]]:
    """(file, private word in its name): names stand in the manifest of every edition, so none may tell."""
    redactor = private_redactor(job, edition)
    found = []
    for path in (job.number, *(f.path for f in job.files)):
        shown = redactor(path)
        if shown != path:
            found.append((path, _difference(path, shown)))
    return found


def _difference(path: str, shown: str) -> str:
    start = next((n for n, (a, b) in enumerate(zip(path, shown, strict=False)) if a != b), 0)
    return path[start : start + 40]


@dataclass(frozen=True)
class _Rewriter:
    """Rewrites every text in a record."""

    private: Redactor
    prose: Redactor
    people: Mapping[str, str]
    paths: frozenset[str]

    @staticmethod
    def of(job: Job, edition: Edition, words: Words) -> _Rewriter:
        people = people_numbers(job) if withholds(edition, Group.PEOPLE) else {}
        paths = {f.path for f in job.files} | {s.id for s in job.steps} | {job.number}
        private, prose = private_redactor(job, edition, words.mark), prose_redactor(job, edition, words.mark)
        return _Rewriter(private, prose, people, frozenset(paths))

    def text(self, text: str, *, prose: bool) -> str:
        if text in self.paths:
            return text
        return reworded(text, self.prose if prose else self.private)

    def value(self, value: Any, name: str) -> Any:
        """A value of a record with its texts rewritten; name: of its field."""
        if type(value) is str or isinstance(value, Sayable):
            if name in _PEOPLE and value in self.people:
                return self.people[value]
            return self.text(value, prose=name not in _CODES)
        if isinstance(value, tuple | list | frozenset):
            return type(value)(self.value(v, name) for v in value)
        if isinstance(value, dict):
            return {self.value(k, name): self.value(v, name) for k, v in value.items()}
        if isinstance(value, Looks):
            return value
        if isinstance(value, Place):
            return self._fields(value, lambda text: self.text(text, prose=False))
        if is_dataclass(value) and not isinstance(value, type):
            made = {f.name: self.value(getattr(value, f.name), f.name) for f in fields(value)}
            changed = {k: v for k, v in made.items() if v is not getattr(value, k)}
            return replace(value, **changed) if changed else value
        return value

    def _fields(self, value: Any, rewrite: Callable[[str], str]) -> Any:
        made = {f.name: rewrite(v) for f in fields(value) if isinstance(v := getattr(value, f.name), str)}
        return replace(value, **made)


def _blanked(value: Any, names: frozenset[str], words: Words) -> Any:
    """A record, or each of several, with these fields withheld: texts become the mark, amounts nothing."""
    if isinstance(value, tuple):
        return tuple(_blanked(v, names, words) for v in value)
    made: dict[str, Any] = {}
    for name in names:
        was = getattr(value, name)
        if name == "currency" or isinstance(was, Decimal | None):
            made[name] = "" if isinstance(was, str) else None
        elif isinstance(was, str):
            made[name] = words.mark if was else ""
        elif isinstance(was, tuple):
            made[name] = ()
    return replace(value, **made)


def _giver(job: Job, giver: str, edition: Edition, words: Words) -> str:
    """Who gave an approval: the client as such, one of the workshop by number, anybody else withheld."""
    if not withholds(edition, Group.CLIENT_NAME) or not giver:
        return prose_redactor(job, edition, words.mark)(giver)
    if fold(giver.strip()) in (fold(job.client.name.strip()), "client", "the client", fold(words.client)):
        return words.client
    for n, person in enumerate(job.people, 1):
        if giver in (person.id, person.name):
            return f"T{n}"
    return words.mark


def _photo(photo: Photo, edition: Edition, hidden: frozenset[str], words: Words) -> Photo:
    facts = replace(photo.facts, gps_time=None)
    if photo.path in hidden:
        facts = PhotoFacts(
            format=facts.format, width=facts.width, height=facts.height, taken=facts.taken, camera=facts.camera,
            offset_known=facts.offset_known, taken_problem=facts.taken_problem, has_exif=facts.has_exif,
            has_gps=facts.has_gps, serial=facts.serial, problem=words.photo,
        )  # fmt: skip
    if withholds(edition, Group.PHOTO_DATA):
        facts = replace(facts, software="")
    return replace(photo, facts=facts)


def _bodies(job: Job, cameras: Any, photos: Any) -> tuple[Any, Any]:
    """Serial numbers of cameras become "body 1", "body 2": clocks still belong to the camera they belonged to."""
    serials = {c.serial for c in job.cameras} | {p.facts.serial for p in job.photos}
    number = {serial: f"body {n}" for n, serial in enumerate(sorted(serials - {""}), 1)} | {"": ""}
    return (
        tuple(replace(now, serial=number[was.serial]) for was, now in zip(job.cameras, cameras, strict=True)),
        tuple(
            replace(now, facts=replace(now.facts, serial=number[was.facts.serial]))
            for was, now in zip(job.photos, photos, strict=True)
        ),
    )


def _quotes(finding: Finding, edition: Edition) -> bool:
    """True if a finding is about a field that the edition withholds: what it says then quotes or computes with it."""
    if withholds(edition, Group.MONEY) and finding.code.startswith("money."):
        return True
    where = finding.place
    file = where.file.rpartition("/")[2].partition(".")[0]
    keys = (where.key or "").split(".")
    record = keys[0] if keys[0] and where.column is None else file
    names = {where.column or "", keys[-1]}
    hidden = withheld_fields(edition)
    written: Iterable[str] = hidden.get(record, frozenset())
    return any(name in names for name in written if name)
