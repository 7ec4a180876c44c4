"""Photographs: in their own proportions, never larger than their pixels allow, captions that lose nothing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from buildbook.dossier.model import Picture, PictureGrid, PicturePair, Run, Text
from buildbook.render.jpeg import jpeg_size
from buildbook.render.pdf import words
from buildbook.render.pdf.flow import Flow
from buildbook.render.pdf.pen import Pen
from buildbook.render.pdf.rows import HAIRLINE, Cell, Look, Row
from buildbook.render.pdf.setter import Setter, spans
from buildbook.render.pdf.structure import Node
from buildbook.render.pdf.style import GUTTER, LEAST_DPI, SMALL, SMALL_INK, SMALL_STRONG, UNIT
from buildbook.render.pdf.typeset import clamped

Edge = Literal["print", "small"]
Rendition = Callable[[str, Edge], Path]
_MOST_CAPTION_LINES = 6
_SMALLER = 0.82  # and all of a page this much, so that one more stands on it
_SMALLEST = 0.72  # a picture may be made this much smaller rather than leave the foot of a page empty


@dataclass(frozen=True, slots=True)
class Image:
    """A rendition to place: its name in the file, where it is, and its pixels."""

    name: str
    path: Path
    width: int
    height: int

    @property
    def most(self) -> float:
        """The largest width in points its pixels allow."""
        return self.width * 72.0 / LEAST_DPI

    def within(self, width: float, height: float) -> tuple[float, float]:
        """Size in points: as large as fits the box, in its own proportion, within its pixels."""
        scale = min(width / self.width, height / self.height, 72.0 / LEAST_DPI)
        return self.width * scale, self.height * scale


class Library:
    """Renditions by asset, each looked at once."""

    def __init__(self, rendition: Rendition) -> None:
        self._rendition = rendition
        self._known: dict[tuple[str, Edge], Image] = {}

    def image(self, picture: Picture, edge: Edge) -> Image:
        """The rendition of a picture. Raises BuildbookError where it is not an RGB or grey JPEG."""
        key = (picture.asset, edge)
        if key not in self._known:
            path = self._rendition(*key)
            width, height, _ = jpeg_size(path, picture.label or picture.asset[:12])
            self._known[key] = Image(f"Im{picture.asset[:24]}{edge[0]}", path, width, height)
        return self._known[key]


@dataclass(frozen=True, slots=True)
class Frame:
    """A picture in a row of pictures: its image, the cell it stands in, its caption lines and structure."""

    image: Image
    picture: Picture
    x: float
    width: float
    heading: Cell | None
    caption: tuple[Cell, ...]
    node: Node
    narrower: Callable[[float], tuple[Cell, ...]]  # the caption set to a width, where it still is whole


class PictureRow(Flow):
    """Pictures side by side, each no higher than `depth`, captions below, hung from one line."""

    def __init__(
        self, frames: Sequence[Frame], depth: float, *, equal: bool = False, foot: Cell | None = None
    ) -> None:
        self.frames = tuple(frames)
        self.equal = equal
        self.foot = foot  # a caption of all of them, below their own
        if equal:
            depth = min([depth, *(frame.image.within(frame.width, depth)[1] for frame in frames)])
        self.depth = depth
        self._placed = [self._place(frame) for frame in self.frames]

    def _place(self, frame: Frame) -> tuple[float, tuple[Cell, ...]]:
        """How far a picture stands inwards, and its caption. Two that are narrower than their columns meet at the
        gutter, so that the pair stands in the middle, each caption as wide as its picture.
        """
        width, _height = frame.image.within(frame.width, self.depth)
        if not self.equal or width > frame.width - 1:
            return 0.0, frame.caption
        caption = frame.narrower(width)
        widest = max((line.width for cell in caption for line in cell.lines), default=0.0)
        inward = frame.width - width if frame is self.frames[0] else 0.0
        room = min(inward, max(0.0, frame.width - widest))
        return inward, tuple(replace(cell, x=cell.x + room) for cell in caption)

    def _sizes(self) -> list[tuple[float, float]]:
        return [frame.image.within(frame.width, self.depth) for frame in self.frames]

    def _heading(self) -> float:
        return max((frame.heading.height + UNIT for frame in self.frames if frame.heading), default=0.0)

    def _captions(self) -> float:
        return max((sum(cell.height for cell in caption) for _inward, caption in self._placed), default=0.0)

    def height(self) -> float:
        captions = self._captions()
        foot = self.foot.height + UNIT if self.foot else 0.0
        return self._heading() + max(h for _, h in self._sizes()) + (captions + 1.5 * UNIT if captions else 0.0) + foot

    def fit(self, room: float) -> Flow | None:
        sizes = self._sizes()
        tallest = max(h for _, h in sizes)
        wanted = tallest - (self.height() - room)
        return self._lower(wanted) if wanted >= tallest * _SMALLEST and tallest > 120 else None

    def spare(self) -> float:
        tallest = max(h for _, h in self._sizes())
        return tallest * (1 - _SMALLER) if tallest > 120 else 0.0

    def _lower(self, depth: float) -> Flow:
        made = PictureRow(self.frames, max(depth, 8.0), equal=self.equal, foot=self.foot)
        made.anchor, made.before, made.keep_next = self.anchor, self.before, self.keep_next
        made.whole, made.new_page = self.whole, self.new_page
        return made

    def squeeze(self, room: float) -> Flow:
        return self._lower(max(h for _, h in self._sizes()) - (self.height() - room))

    def draw(self, pen: Pen, x: float, y: float) -> None:
        heading = self._heading()
        sizes = self._sizes()
        tallest = max(h for _, h in sizes)
        for frame, (width, height), (inward, caption) in zip(self.frames, sizes, self._placed, strict=True):
            left = x + frame.x
            pen.anchor(frame.picture.anchor, left, y)
            if frame.heading:
                cell = frame.heading
                pen.lines(cell.lines, x + cell.x + inward, y, cell.width, cell.align, cell.node)
            top = y + heading
            pen.image(frame.image.name, frame.image.path, left + inward, top, width, height, frame.node)
            below = y + heading + tallest + 1.5 * UNIT
            for cell in caption:
                below = pen.lines(cell.lines, x + cell.x, below, cell.width, cell.align, cell.node)
        if self.foot:
            captions = self._captions()
            below = y + heading + tallest + (captions + 1.5 * UNIT if captions else 0.0) + UNIT
            left = min(self._placed[0][0], max(0.0, self.foot.width - max(line.width for line in self.foot.lines)))
            pen.lines(self.foot.lines, x + left, below, self.foot.width, "left", self.foot.node)


class Pictures:
    """Sets the picture blocks."""

    def __init__(self, setter: Setter, library: Library) -> None:
        self._setter = setter
        self._library = library

    def single(self, picture: Picture, parent: Node) -> list[Flow]:
        """One picture, at most the width of the measure and half the page high."""
        setter = self._setter
        image = self._library.image(picture, "print")
        depth = setter.sheet.depth * 0.53
        frame, more = self._frame(picture, image, 0.0, setter.measure, None, parent, setter.text_width)
        return [_spaced(PictureRow([frame], depth), 4 * UNIT), *more]

    def pair(self, pair: PicturePair, parent: Node) -> list[Flow]:
        """Before and after side by side at one height, the caption below both."""
        setter = self._setter
        width = (setter.measure - GUTTER) / 2
        frames: list[Frame] = []
        more: list[Flow] = []
        for index, (picture, word) in enumerate(((pair.before, words.BEFORE), (pair.after, words.AFTER))):
            x = index * (width + GUTTER)
            image = self._library.image(picture, "print")
            frame, rest = self._frame(picture, image, x, width, word, parent, width)
            frames.append(frame)
            more += rest
        said = None
        if pair.caption:
            lines = setter.lines(SMALL_INK, pair.caption, setter.measure)
            said = Cell(lines, 0, setter.measure, parent.add("P"))
        inside = said if said and len(said.lines) <= _MOST_CAPTION_LINES and not more else None
        row: Flow = _spaced(PictureRow(frames, setter.sheet.depth * 0.42, equal=True, foot=inside), 4 * UNIT)
        flows = [row, *more]
        if said and not inside:
            flows[-1].keep_next = True
            flows.append(Row([said], setter.measure, Look(top=UNIT)))
        return flows

    def grid(self, grid: PictureGrid, parent: Node) -> list[Flow]:
        """Rows of pictures."""
        setter = self._setter
        across = max(1, min(grid.across, 6))
        edge: Edge = "small" if grid.small else "print"
        width = (setter.measure - (across - 1) * GUTTER) / across
        depth = width * 0.75 if across > 1 else setter.sheet.depth * 0.46
        flows: list[Flow] = []
        for start in range(0, len(grid.pictures), across):
            frames: list[Frame] = []
            more: list[Flow] = []
            for index, picture in enumerate(grid.pictures[start : start + across]):
                image = self._library.image(picture, edge)
                x = index * (width + GUTTER)
                frame, rest = self._frame(picture, image, x, width, None, parent, width)
                frames.append(frame)
                more += rest
            flows += [_spaced(PictureRow(frames, depth), (3 if start else 4) * UNIT), *more]
        return flows

    def _frame(
        self, picture: Picture, image: Image, x: float, width: float, word: str | None, parent: Node, measure: float
    ) -> tuple[Frame, list[Flow]]:
        setter = self._setter
        group = parent.add("Div")  # caption and links beside the figure, where they are read, not inside it
        heading = None
        if word is not None:
            text = setter.plain(SMALL_STRONG, word, measure)
            heading = Cell(text, x, measure, group.add("P"))
        figure = group.add("Figure", alt=picture.alt or picture.label or words.NO_PICTURE)
        caption: tuple[Cell, ...] = ()
        more: list[Flow] = []
        runs: Text = picture.caption
        label = (Run(picture.label, "strong"),) if picture.label else ()
        text_runs = (*label, Run("  "), *runs) if label and runs else (*label, *runs)
        if text_runs:
            node = group.add("Caption")
            caption, rest = self._caption(text_runs, x, measure, node)
            if rest:
                more.append(self._whole_caption(text_runs, node))

        def narrower(least: float) -> tuple[Cell, ...]:
            if not caption or more:
                return caption
            made, rest = self._caption(text_runs, x, least, node)
            return caption if rest else made

        return Frame(image, picture, x, width, heading, caption, figure, narrower), more

    def _caption(self, runs: Text, x: float, width: float, node: Node) -> tuple[tuple[Cell, ...], bool]:
        """A caption in at most six lines, and whether some of it is left off; what is cut is read where it is whole."""
        set_ = clamped(self._setter.fonts, spans(SMALL, runs), width, SMALL.pitch, _MOST_CAPTION_LINES)
        return (Cell(set_.lines, x, width, None if set_.rest else node),), set_.rest

    def _whole_caption(self, runs: Text, node: Node) -> Flow:
        setter = self._setter
        lines = setter.lines(SMALL_INK, runs, setter.measure)
        row = Row([Cell(lines, 0, setter.measure, node)], setter.measure, Look(top=UNIT, bottom=UNIT, above=HAIRLINE))
        row.before = UNIT
        return row


def _spaced(row: PictureRow, before: float) -> PictureRow:
    row.before = before
    return row
