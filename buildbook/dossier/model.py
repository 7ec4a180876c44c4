"""The neutral dossier: sections of blocks. Renderers read this and nothing else: no record, no clock, no disk
beyond the renditions they are handed.

All strings are plain text, never markup: renderers escape them. Text made of parts is a tuple of `Run`s.
Every claim carries its evidence as `Ref`s; a claim with none says so in print.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from buildbook.dossier.drawing import Drawing

Tone = Literal["plain", "strong", "quiet", "good", "warn", "bad"]


@dataclass(frozen=True, slots=True)
class Ref:
    """A link to evidence. label: short number as printed ("P012", "R034", "D03"). target: anchor id."""

    label: str
    target: str


@dataclass(frozen=True, slots=True)
class Run:
    """A piece of text in one tone; with a target it is a link to that anchor."""

    text: str
    tone: Tone = "plain"
    target: str = ""


Text = tuple[Run, ...]


def text(*parts: str | Run | Ref) -> Text:
    """Text from strings, runs and refs (a ref becomes a link run)."""
    made: list[Run] = []
    for part in parts:
        if isinstance(part, Ref):
            made.append(Run(part.label, "quiet", part.target))
        elif isinstance(part, Run):
            made.append(part)
        elif part:
            made.append(Run(part))
    return tuple(made)


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """level 1 opens a section (also a bookmark), 2 a sub-section (bookmark), 3 a small heading. number: as printed."""

    level: Literal[1, 2, 3]
    text: str
    anchor: str
    number: str = ""
    eyebrow: str = ""  # a small line above: dates, step number


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    """Running text. lead: larger opening text. quiet: small print."""

    text: Text
    style: Literal["body", "lead", "quiet"] = "body"
    anchor: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """A statement and the evidence behind it. No evidence is printed as "no evidence on file"."""

    text: Text
    evidence: tuple[Ref, ...]
    stated_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bullets:
    """A list of short texts."""

    items: tuple[Text, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyValues:
    """Facts as label and value, in one or two columns."""

    rows: tuple[tuple[str, Text], ...]
    columns: Literal[1, 2] = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Counter:
    """One figure of the summary: its number, what it counts and where to find it."""

    value: str
    label: str
    target: str
    tone: Tone = "plain"


@dataclass(frozen=True, slots=True, kw_only=True)
class Counters:
    items: tuple[Counter, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """title; width: relative weight; align; nowrap: for codes and figures that must not break; mono: for hashes."""

    title: str
    width: float = 1.0
    align: Literal["left", "right", "centre"] = "left"
    nowrap: bool = False
    mono: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRow:
    cells: tuple[Text, ...]
    anchor: str = ""
    group: bool = False  # a sub-heading row: the first cell spans the table
    keys: tuple[str, ...] = ()  # what a cell sorts by where its text would not do: a plain number, an ISO date


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table; the header repeats on each page it runs over. caption: also its accessible name.

    field: over the table lies the field for the document's signature; what that says to a screen reader.
    """

    columns: tuple[Column, ...]
    rows: tuple[TableRow, ...]
    caption: str
    dense: bool = False  # smaller type for long indexes
    field: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A photo to place. asset: sha256 of the original; the renderer is handed a rendition for it.

    width, height: pixels of the turned original (for the proportion; the rendition may be smaller).
    """

    asset: str
    width: int
    height: int
    alt: str
    caption: Text
    anchor: str = ""  # where links to this photo lead
    label: str = ""  # its number, "P012"


@dataclass(frozen=True, slots=True, kw_only=True)
class PicturePair:
    """Before and after of the same view, side by side in equal size."""

    before: Picture
    after: Picture
    caption: Text


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureGrid:
    """Pictures in rows. across: how many side by side at most. small: contact sheet."""

    pictures: tuple[Picture, ...]
    across: int = 3
    small: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A vector drawing with its caption."""

    drawing: Drawing
    caption: Text
    anchor: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionBox:
    """A caution with its source and the deference to maker and law."""

    title: str
    text: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Code:
    """Lines to be typed on a computer, in a fixed-width face."""

    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SealMark:
    """The whole seal with its QR code, for the last page. payload: what the QR code holds."""

    seal: str
    payload: str
    text: Text


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """Blocks that should not be parted by a page break if they fit on one page."""

    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NewPage:
    """Starts a page; only where a section must open on its own."""


Block = (
    Heading | Paragraph | Claim | Bullets | KeyValues | Counters | Table | Picture | PicturePair | PictureGrid
    | Figure | CautionBox | Code | SealMark | Together | NewPage
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One part of the dossier; opens with a level 1 heading made from number and title."""

    anchor: str
    number: str
    title: str
    blocks: tuple[Block, ...]
    new_page: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """The first page. picture: the car as it left, if there is one."""

    vehicle: str  # marque and model
    subtitle: str  # year, body, colour
    facts: tuple[tuple[str, str], ...]
    workshop: str
    workshop_address: str
    picture: Picture | None = None
    statement: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoEntry:
    """A photo that can be shown, with what is known of it and what it is evidence for; for a medium that can be
    leafed through. asset, width, height, alt, label: as in Picture. target: the anchor where it is seen best.
    taken: as printed, "" if not known.
    """

    label: str
    target: str
    asset: str
    width: int
    height: int
    alt: str
    path: str
    caption: str
    zone: str
    stage: str
    taken: str
    camera: str
    used: tuple[Ref, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceItem:
    """One record that speaks of a place: its number as a link, and what it says."""

    ref: Text
    says: Text


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceEntry:
    """A zone of the vehicle and everything that speaks of it. anchor: its own; heading: where section 3 treats it."""

    anchor: str
    title: str
    heading: str
    observations: tuple[PlaceItem, ...]
    steps: tuple[PlaceItem, ...]
    parts: tuple[PlaceItem, ...]
    readings: tuple[PlaceItem, ...]
    photos: tuple[Ref, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Dossier:
    """The whole document. issue: 0 for a draft. paper: "A4" or "Letter". language: BCP 47.

    photos, places, plan: the same evidence, ordered for leafing through; nothing in them that the sections lack.
    """

    title: str
    job_number: str
    issue: int
    issued_on: date
    draft: bool
    seal: str
    previous_seal: str
    language: str
    paper: str
    author: str
    subject: str
    cover: Cover
    sections: tuple[Section, ...]
    assets: tuple[str, ...] = field(default=())  # every asset placed, in order of first use, no repeats
    photos: tuple[PhotoEntry, ...] = ()  # in the order of their numbers
    places: tuple[PlaceEntry, ...] = ()
    plan: Drawing | None = None  # the plan of the vehicle; each place drawn on it leads to its PlaceEntry

    @property
    def short_seal(self) -> str:
        """The first 16 hex digits in groups of four, as printed on each page."""
        return " ".join(self.seal[i : i + 4] for i in range(0, 16, 4))
