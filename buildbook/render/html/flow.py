"""A section's blocks as the page lays them out: what belongs together is one node, what is long stands behind a fold"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from buildbook.dossier.blocks import flat
from buildbook.dossier.drawing import Path
from buildbook.dossier.model import (
    Block,
    CautionBox,
    Claim,
    Counters,
    Dossier,
    Figure,
    Heading,
    NewPage,
    Picture,
    PictureGrid,
    PicturePair,
    PlaceEntry,
    Section,
    Table,
    Text,
)

MAP = "plan-condition"  # the figure that the map of the page stands for
_FOLD = 12  # rows; a longer dense table stands behind a fold
_SORT = 4  # rows; a shorter table needs no sorting

Kind = Literal[
    "heading", "paragraph", "claims", "bullets", "facts", "counters", "table", "pictures", "pairs", "chart", "sketch",
    "cautions", "code", "seal", "map",
]  # fmt: skip
_PLAIN: dict[str, Kind] = {
    "Paragraph": "paragraph", "Bullets": "bullets", "KeyValues": "facts", "Code": "code",
    "SealMark": "seal", "Heading": "heading", "Counters": "counters",
}  # fmt: skip
_TOGETHER: dict[str, Kind] = {"Claim": "claims", "PicturePair": "pairs", "CautionBox": "cautions"}


@dataclass(slots=True)
class Node:
    """One piece of the page. blocks: one, or several of a kind that follow each other; of facts also the sketch that
    stands beside them. rank: of a heading, 3 or 4.

    fold: shown when asked for. sorts: whether its columns can be sorted.
    """

    kind: Kind
    blocks: list[Block] = field(default_factory=list)
    rank: int = 0
    fold: bool = False
    sorts: bool = False

    @property
    def block(self) -> Block:
        return self.blocks[0]


@dataclass(frozen=True, slots=True)
class Part:
    """A section: its nodes, and its sub-sections as the contents name them."""

    anchor: str
    number: str
    title: str
    nodes: tuple[Node, ...]
    subs: tuple[Heading, ...]
    searches: bool  # a register of rows that can be searched


def part_of(section: Section, *, hoisted: bool, mapped: bool) -> Part:
    """hoisted: the counters stand at the top of the page already; mapped: the page has a map of the vehicle."""
    nodes = list(_nodes(flat(section.blocks), hoisted, mapped))
    subs = tuple(n.block for n in nodes if isinstance(n.block, Heading) and n.block.level == 2)
    tables = [n for n in nodes if n.kind == "table" and not n.fold]
    searches = sum(n.sorts for n in tables) > 0 and all(n.kind in ("table", "heading", "paragraph") for n in nodes)
    return Part(section.anchor, section.number, section.title, tuple(nodes), subs, searches)


def _nodes(blocks: Iterable[Block], hoisted: bool, mapped: bool) -> Iterable[Node]:
    last: Node | None = None
    drawn, depth = False, 2
    for block in blocks:
        node: Node | None = None
        match block:
            case NewPage():
                continue
            case Counters() if hoisted:
                continue
            case Heading():
                depth = min(block.level + 1, depth + 1)
                drawn = drawn and block.level > 2
                node = Node("heading", [block], rank=depth)
            case Claim() | PicturePair() | CautionBox():
                joined = _TOGETHER[type(block).__name__]
                if last and last.kind == joined:
                    last.blocks.append(block)
                    continue
                node = Node(joined, [block])
            case Picture() | PictureGrid():
                node = Node("pictures", [block])
            case Figure():
                drawn = drawn or bool(block.caption)
                if last and last.kind == "facts" and not block.caption and len(last.blocks) == 1:
                    last.blocks.append(block)
                    continue
                kind: Kind = "map" if mapped and block.anchor == MAP else "chart" if block.caption else "sketch"
                node = Node(kind, [block])
            case Table():
                if not block.columns:
                    continue
                long = block.dense and len(block.rows) > _FOLD
                sorts = len(block.rows) >= _SORT and not any(row.group for row in block.rows)
                node = Node("table", [block], fold=drawn or long, sorts=sorts)
            case _:
                node = Node(_PLAIN[type(block).__name__], [block])
        yield node
        last = node


def told_first(dossier: Dossier) -> str:
    """Anchor of the place that the map shows before one is chosen: of those drawn, the one with most to tell."""
    plan = dossier.plan
    drawn = {item.link for item in plan.items if isinstance(item, Path)} if plan else set()
    places = [place for place in dossier.places if place.anchor in drawn] or list(dossier.places)

    def told(place: PlaceEntry) -> tuple[bool, int]:
        said = (place.observations, place.steps, place.parts, place.readings, place.photos)
        return bool(place.observations), sum(map(len, said))

    return max(places, key=told).anchor if places else ""


def plain(text: Text) -> str:
    """A text without its links and tones."""
    return "".join(run.text for run in text)
