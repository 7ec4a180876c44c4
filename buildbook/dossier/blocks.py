"""Walking through the blocks of a dossier: its pictures, its anchors, its links, its words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from buildbook.dossier.drawing import Label, Path
from buildbook.dossier.model import (
    Block,
    Bullets,
    CautionBox,
    Claim,
    Code,
    Counters,
    Dossier,
    Figure,
    Heading,
    KeyValues,
    Paragraph,
    Picture,
    PictureGrid,
    PicturePair,
    SealMark,
    Section,
    Table,
    Text,
    Together,
)


def flat(blocks: Iterable[Block]) -> Iterator[Block]:
    """Every block in order; `Together` is opened and not itself given."""
    for block in blocks:
        if isinstance(block, Together):
            yield from flat(block.blocks)
        else:
            yield block


def pictures_of(block: Block) -> tuple[Picture, ...]:
    """The pictures one block places."""
    if isinstance(block, Picture):
        return (block,)
    if isinstance(block, PicturePair):
        return (block.before, block.after)
    if isinstance(block, PictureGrid):
        return block.pictures
    return ()


def with_pictures(block: Block, change: Callable[[Picture, bool], Picture]) -> Block:
    """The block with each of its pictures changed, in reading order. The second argument: True on contact sheets."""
    if isinstance(block, Together):
        return replace(block, blocks=tuple(with_pictures(b, change) for b in block.blocks))
    if isinstance(block, Picture):
        return change(block, False)
    if isinstance(block, PicturePair):
        return replace(block, before=change(block.before, False), after=change(block.after, False))
    if isinstance(block, PictureGrid):
        return replace(block, pictures=tuple(change(p, block.small) for p in block.pictures))
    return block


def texts_of(block: Block) -> Iterator[Text]:
    """The texts of one block that may hold links."""
    if isinstance(block, Paragraph | Claim):
        yield block.text
    elif isinstance(block, Bullets):
        yield from block.items
    elif isinstance(block, KeyValues):
        for _label, value in block.rows:
            yield value
    elif isinstance(block, Table):
        for row in block.rows:
            yield from row.cells
    elif isinstance(block, PicturePair | Figure):
        yield block.caption
    elif isinstance(block, SealMark):
        yield block.text
    for picture in pictures_of(block):
        yield picture.caption


def anchors_of(dossier: Dossier) -> list[str]:
    """Every anchor set, in order, repeats included."""
    found: list[str] = []
    for section in dossier.sections:
        found.append(section.anchor)
        for block in flat(section.blocks):
            if isinstance(block, Heading | Paragraph | Figure):
                found.append(block.anchor)
            if isinstance(block, Table):
                found.extend(row.anchor for row in block.rows)
            found.extend(p.anchor for p in pictures_of(block))
    return [a for a in found if a]


def links_of(dossier: Dossier) -> list[str]:
    """Every anchor that is linked to, in order, repeats included."""
    found: list[str] = []
    for section in dossier.sections:
        for block in flat(section.blocks):
            for words in texts_of(block):
                found.extend(run.target for run in words)
            if isinstance(block, Claim):
                found.extend(ref.target for ref in block.evidence)
            if isinstance(block, Counters):
                found.extend(counter.target for counter in block.items)
            if isinstance(block, Figure):
                found.extend(item.link for item in block.drawing.items if isinstance(item, Path))
    return [t for t in found if t]


def words_of(dossier: Dossier) -> str:
    """All the text the dossier prints, a line for each piece; what is in it can be found by a plain search."""
    cover = dossier.cover
    pieces = [dossier.title, cover.vehicle, cover.subtitle, cover.workshop, cover.workshop_address, cover.statement]
    pieces += [f"{label}: {value}" for label, value in cover.facts]
    for section in dossier.sections:
        pieces.append(f"{section.number} {section.title}")
        for block in flat(section.blocks):
            pieces.extend(_words(block))
    return "\n".join(pieces)


def _words(block: Block) -> Iterator[str]:
    if isinstance(block, Heading):
        yield from (block.eyebrow, f"{block.number} {block.text}")
    elif isinstance(block, CautionBox):
        yield from (block.title, block.text, block.source)
    elif isinstance(block, Code):
        yield from block.lines
    elif isinstance(block, Counters):
        for counter in block.items:
            yield f"{counter.value} {counter.label}"
    elif isinstance(block, KeyValues):
        yield from (label for label, _value in block.rows)
    elif isinstance(block, Table):
        yield block.caption
        yield from (column.title for column in block.columns)
    elif isinstance(block, SealMark):
        yield from (block.seal, block.payload)
    elif isinstance(block, Figure):
        yield block.drawing.alt
        yield from (item.text for item in block.drawing.items if isinstance(item, Label))
    elif isinstance(block, Claim):
        yield from (ref.label for ref in block.evidence)
    for words in texts_of(block):
        yield "".join(run.text for run in words)
    for picture in pictures_of(block):
        yield picture.label


def placed_assets(cover: Picture | None, sections: Iterable[Section]) -> tuple[str, ...]:
    """Every asset in order of first use, once."""
    found = [cover.asset] if cover else []
    for section in sections:
        for block in flat(section.blocks):
            found.extend(p.asset for p in pictures_of(block))
    return tuple(dict.fromkeys(found))
