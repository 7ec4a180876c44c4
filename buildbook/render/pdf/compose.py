"""A dossier's sections as flows, in reading order, with the structure they belong to."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

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
    NewPage,
    Paragraph,
    Picture,
    PictureGrid,
    PicturePair,
    SealMark,
    Section,
    Table,
    Together,
)
from buildbook.render.pdf import blocks, figures
from buildbook.render.pdf.flow import Flow
from buildbook.render.pdf.pictures import Library, Pictures
from buildbook.render.pdf.setter import Setter
from buildbook.render.pdf.signing import SignatureBlock
from buildbook.render.pdf.stacks import Beside
from buildbook.render.pdf.structure import Node
from buildbook.render.pdf.style import GUTTER, UNIT
from buildbook.render.pdf.tables import table_flows

_SHORT = 90.0  # points: six lines of running text
_MARGIN_DRAWING = 130.0  # points: wider or higher, a drawing stands in a row of its own
_SHOWN = (Bullets, Claim, Figure, KeyValues, Picture, PictureGrid, PicturePair, Table, Together)


@dataclass(frozen=True, slots=True)
class Entry:
    """A heading as it stands in the contents and the bookmarks."""

    level: int
    number: str
    text: str
    anchor: str


@dataclass(slots=True)
class Composer:
    """Turns blocks into flows; collects the entries of the contents on the way."""

    setter: Setter
    library: Library
    entries: list[Entry] = field(default_factory=list)
    _depth: int = 0
    _turn: bool = False
    _before: Block | None = None

    def section(self, section: Section, document: Node) -> list[Flow]:
        """A section with its opening."""
        node = document.add("Sect")
        opening = Heading(level=1, text=section.title, anchor=section.anchor, number=section.number)
        flows = self.block(opening, node)
        flows[0].new_page = section.new_page
        for index, block in enumerate(section.blocks):
            made = self.block(block, node)
            if made and _introduces(section.blocks, index) and made[-1].height() <= _SHORT:
                made[-1].keep_next = True
            if index == 0 and made:  # the opening has its own space below
                made[0].before = min(made[0].before, 2 * UNIT)
            flows += made
        flows[0].before = 12 * UNIT
        flows[0].extent = sum(flow.before + flow.height() for flow in flows)
        if any(flow.new_page for flow in flows[1:]):  # a section with page breaks of its own only shares by need
            flows[0].extent = float("inf")
        return flows

    def block(self, block: Block, node: Node) -> list[Flow]:
        """One block. The first flow after a NewPage begins a page."""
        if isinstance(block, NewPage):
            self._turn = True
            return []
        kids = len(node.kids)
        flows = self._flows(block, node)
        self._before = block
        if flows and isinstance(block, Figure | Claim):
            flows[0].place = node, tuple(kid for kid in node.kids[kids:] if isinstance(kid, Node))
            for flow in flows:
                flow.floats, flow.passes = isinstance(block, Figure), isinstance(block, Claim)
        if flows and self._turn:
            flows[0].new_page = True
            self._turn = False
        return flows

    def _flows(self, block: Block, node: Node) -> list[Flow]:
        setter = self.setter
        pictures = Pictures(setter, self.library)
        match block:
            case Heading():
                return self._heading(block, node)
            case Paragraph():
                return blocks.paragraph(setter, block, node)
            case Claim():
                made = blocks.claim(setter, block, node)
                made[0].before = 0.0 if isinstance(self._before, Claim) else 2 * UNIT
                return made
            case Bullets():
                return blocks.bullets(setter, block, node)
            case KeyValues():
                return blocks.key_values(setter, block, node) if block.rows else []
            case Counters():
                return blocks.counters(setter, block, node)
            case CautionBox():
                return blocks.caution(setter, block, node)
            case Code():
                return blocks.code(setter, block, node)
            case Table():
                return self._table(block, node) if block.columns else []
            case Picture():
                return pictures.single(block, node)
            case PicturePair():
                return pictures.pair(block, node)
            case PictureGrid():
                return pictures.grid(block, node)
            case Figure():
                return figures.figure(setter, block, node)
            case SealMark():
                return figures.seal_mark(setter, block, node)
            case Together():
                return self._together(block, node)
        raise TypeError(f"unknown block {type(block).__name__}")

    def _table(self, block: Table, node: Node) -> list[Flow]:
        flows = table_flows(self.setter, block, node)
        if not block.field:
            return flows
        form = node.add("Form", alt=block.field)
        whole = SignatureBlock(flows, self.setter.measure, block.field, form)
        if whole.height() <= self.setter.sheet.depth:
            return [whole]
        return [SignatureBlock(flows[:1], self.setter.measure, block.field, form), *flows[1:]]

    def _heading(self, block: Heading, node: Node) -> list[Flow]:
        if block.level < 3:
            self.entries.append(Entry(block.level, block.number, block.text, block.anchor))
        self._depth = min(block.level, self._depth + 1)  # structure levels never skip one
        return blocks.heading(self.setter, block, node, f"H{self._depth}")

    def _together(self, block: Together, node: Node) -> list[Flow]:
        flows: list[Flow] = []
        inner = list(block.blocks)
        while inner:
            first, *rest = inner
            if isinstance(first, KeyValues) and rest and isinstance(rest[0], Figure) and first.rows:
                beside = self._beside(first, rest[0], node)
                if beside is not None:
                    flows.append(beside)
                    self._before = rest[0]
                    inner = rest[1:]
                    continue
            flows += self.block(first, node)
            inner = rest
        return together(flows)

    def _beside(self, facts: KeyValues, shown: Figure, node: Node) -> Flow | None:
        """Facts with a small drawing that needs no caption in the margin beside them; None where it would not fit."""
        setter = self.setter
        drawing = shown.drawing
        if shown.caption or not 0 < drawing.width <= _MARGIN_DRAWING or not 0 < drawing.height <= _MARGIN_DRAWING:
            return None
        x = setter.measure - drawing.width
        left = blocks.key_values(setter, facts, node, x - 2 * GUTTER)
        (figure,) = figures.figure(setter, shown, node)
        made = Beside(left, figure, x)
        made.before = left[0].before
        return made


def _introduces(blocks: Sequence[Block], index: int) -> bool:
    """Whether a block is a text between its heading and what it introduces: alone with the heading it says nothing."""
    block, rest = blocks[index], blocks[index + 1 :]
    after_heading = index == 0 or isinstance(blocks[index - 1], Heading)
    return isinstance(block, Paragraph) and after_heading and bool(rest) and isinstance(rest[0], _SHOWN)


def together(flows: Sequence[Flow]) -> list[Flow]:
    """Bind flows: they are parted only if they do not fit on one page."""
    for flow in flows:
        flow.whole = True
    for flow in flows[:-1]:
        flow.keep_next = True
    return list(flows)


def sections(
    composer: Composer, dossier: Dossier, document: Node, progress: Callable[[int, int, str], None] | None = None
) -> list[Flow]:
    """All sections."""
    flows: list[Flow] = []
    done, total = 0, sum(len(section.blocks) for section in dossier.sections)
    for section in dossier.sections:
        flows += composer.section(section, document)
        done += len(section.blocks)
        if progress is not None:
            progress(done, total, "layout")
    return flows
