"""Rules of text: whatever people write must be printable as they wrote it, or be refused by name."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from functools import lru_cache

from buildbook.records.finding import Raised
from buildbook.records.job import Job, Record
from buildbook.records.languages import LANGUAGES, spoken
from buildbook.records.place import Place
from buildbook.records.said import row, said, word
from buildbook.records.script import MOST_MARKS, describe, script_of, stacked_marks, unprintable
from buildbook.rules.grades import NOTE, QUERY, QUERY_LATER, STOP
from buildbook.rules.rule import Rule, rule
from buildbook.rules.understood import SameJob

LONGEST = 4000  # characters; more than a printed page of prose
# UTF-8 read as Windows-1252: a capital A with circumflex or tilde before a sign that never follows it in a word.
_MISREAD = re.compile(
    "[\u00c2\u00c3][\u0080-\u00bf\u20ac\u201a\u0192\u201e\u2026\u2020\u2021\u02c6\u2030\u2122]|\u00e2\u20ac"
)
_PLACEHOLDER = re.compile(r"(?:todo|tbc|tbd|tba|fixme|xxx+|\?+|\.\.\.|…|lorem ipsum.*)[.!:]?", re.IGNORECASE)
# Field names that stand under another name in the file.
_COLUMNS = {
    "on": "date", "value_text": "value", "expanded_uncertainty": "uncertainty",
    "reading_in": "in", "reading_out": "out",
}  # fmt: skip
_OWN_NAME = frozenset({"Reading", "HistoryEntry"})  # there `on` is written `on`


@dataclass(frozen=True, slots=True)
class Written:
    """One text of the record and where it stands."""

    place: Place
    text: str


def _named(record: Record, name: str) -> str:
    if name == "on" and type(record).__name__ in _OWN_NAME:
        return name
    return _COLUMNS.get(name, name)


def _texts(value: object, place: Place) -> Iterator[Written]:
    """Texts in a value: itself, or those in lists and tables within it."""
    if isinstance(value, str):
        if type(value) is str and value:
            yield Written(place, value)
    elif isinstance(value, Record):
        for item in fields(value):
            if item.name not in ("place", "bad"):
                yield from _texts(getattr(value, item.name), value.place.at(_named(value, item.name)))
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _texts(inner, place.at(str(key)))
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from _texts(inner, place)


def written(job: Job) -> tuple[Written, ...]:
    """Every text people wrote, and every file name once. Texts that only repeat a file's path are left out."""
    return _written(SameJob(job))


@lru_cache(maxsize=4)
def _written(same: SameJob) -> tuple[Written, ...]:
    paths = {f.path for f in same.job.files}
    texts = [found for found in _all(same.job) if found.text not in paths]
    return (*texts, *(Written(Place(path), path) for path in sorted(paths)))


def _all(job: Job) -> Iterator[Written]:
    for item in fields(job):
        # Files and photos are not written by hand; earlier issues are written by the program.
        if item.name in ("place", "bad", "files", "photos", "documents", "inbox", "issued", "as_of"):
            continue
        value = getattr(job, item.name)
        head = Place(job.place.file)
        if item.name == "custom_kinds":
            for number, table in enumerate(value, 1):
                yield from _texts(table, head.at(f"kinds.{number}"))
        elif item.name == "settings":
            yield from _texts(value, head.at("settings"))
        else:
            yield from _texts(value, head.at(f"job.{item.name}"))


def _listed(characters: list[str]) -> str:
    first = characters[0]
    named = describe(first)
    if script := script_of(first):
        named = said("{character} ({script})", character=named, script=word(script))
    return said("{some} and {n} more", some=named, n=len(characters) - 1) if len(characters) > 1 else named


@rule(
    "text.unprintable",
    asks="Can each character be printed as it was written?",
    why="A dossier with boxes in place of a name is worse than one that asks for another spelling.",
    fix="Write it in Latin, Greek, Cyrillic, Chinese, Japanese, Korean or Thai letters, without pictograms; a name of "
    "a file: rename the file. Keep a paper in the original script in documents/.",
    source="Character maps of the fonts the dossier is set in", **STOP,
)  # fmt: skip
def not_printable(job: Job) -> Iterator[Raised]:
    for found in written(job):
        bad = unprintable(found.text)
        if bad:
            yield Raised("text.unprintable", found.place, said("This cannot be printed: {what}.", what=_listed(bad)))


@rule(
    "text.stacked-marks",
    asks="Does no letter carry more marks than a script uses?",
    why="A pile of marks prints over the lines above and below.",
    fix="Type the text again; Vietnamese and Greek need no more than three marks on a letter.",
    source="Common practice, no source", **STOP,
)  # fmt: skip
def marks(job: Job) -> Iterator[Raised]:
    for found in written(job):
        if (most := stacked_marks(found.text)) > MOST_MARKS and not unprintable(found.text):
            says = said("A letter carries {most} marks; expected at most {allowed}.", most=most, allowed=MOST_MARKS)
            yield Raised("text.stacked-marks", found.place, says)


@rule(
    "text.damaged",
    asks="Was the text read in its own encoding?",
    why="Names come out as letters nobody wrote, and are printed so.",
    fix="Type the text again, and save the table as CSV in UTF-8.",
    source="UTF-8 read as Windows-1252; common practice, no source", **QUERY,
)  # fmt: skip
def damaged(job: Job) -> Iterator[Raised]:
    for found in written(job):
        if hit := _MISREAD.search(found.text):
            says = said('"{text}" looks like a letter read in the wrong encoding.', text=hit[0])
            yield Raised("text.damaged", found.place, says)


@rule(
    "text.placeholder",
    asks="Is nothing left to be filled in?",
    why="A dossier that says TODO says that nobody read it.",
    fix="Write what is meant, or leave the field empty.",
    source="Common practice, no source", **QUERY_LATER,
)  # fmt: skip
def placeholder(job: Job) -> Iterator[Raised]:
    for found in written(job):
        if _PLACEHOLDER.fullmatch(found.text.strip()):
            yield Raised("text.placeholder", found.place, said('The text is "{text}".', text=found.text.strip()[:40]))


@rule(
    "text.too-long",
    asks="Does each text fit its place?",
    why="A field longer than a page is not read; it belongs into a paper of its own.",
    fix="Shorten it, and put the long form into documents/.",
    source="Common practice, no source", **NOTE,
)  # fmt: skip
def too_long(job: Job) -> Iterator[Raised]:
    for found in written(job):
        if len(found.text) > LONGEST:
            says = said("{n} characters; expected at most {allowed}.", n=len(found.text), allowed=LONGEST)
            yield Raised("text.too-long", found.place, says)


@rule(
    "text.language-unknown",
    asks="Are there words for the language the dossier is asked for in?",
    why="Its fixed text is printed in English otherwise; what people wrote stays as written in either case.",
    fix="Write one of the languages known, under language in job.toml; a region after it (en-GB) chooses how dates and "
    "numbers are written.",
    source="BCP 47, tags of languages; the catalogues of this program", **QUERY,
)  # fmt: skip
def language_unknown(job: Job) -> Iterator[Raised]:
    if job.language.strip() and not spoken(job.language):
        known = row(said("{tag} ({language})", tag=tag, language=word(name)) for tag, name in LANGUAGES.items())
        says = said(
            'There are no words for the language "{language}"; known: {known}. English is used instead.',
            language=job.language.strip(), known=known,
        )  # fmt: skip
        yield Raised("text.language-unknown", Place(job.place.file, key="job.language"), says)


TEXT: tuple[Rule, ...] = (not_printable, marks, damaged, placeholder, too_long, language_unknown)
