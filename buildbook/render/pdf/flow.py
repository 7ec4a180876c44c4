"""Pages from flows: what follows what, where a page ends, what stays together. Heights only; nothing is drawn here.

A flow is a rectangle of fixed width. It may be cut at a height (text and rows), made smaller (pictures), or neither.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from buildbook.render.pdf.pen import Pen

SLACK = 0.01
_NEARLY_EMPTY = 0.36  # filled less than this, a page is gone on with


class Flow:
    """A block to place. before: space above it, left out at the top of a page."""

    before: float = 0.0
    keep_next: bool = False
    new_page: bool = False
    extent: float = 0.0  # of a section's opening: height of the section, if it may open below the one before
    header: Flow | None = None  # repeated when a page begins with this flow
    whole: bool = False  # part of what should not be parted
    anchor: str = ""

    def height(self) -> float:
        """Height in points."""
        raise NotImplementedError

    def least(self) -> float:
        """The least height worth placing at the foot of a page: of a text its first lines, else all of it."""
        return self.height()

    def split(self, room: float) -> tuple[Flow, Flow] | None:
        """Two flows of which the first is no higher than `room`, or None where it cannot be cut there."""
        del room
        return None

    def fit(self, room: float) -> Flow | None:
        """The same at most `room` high, if that still looks right; None where it would not."""
        del room
        return None

    def squeeze(self, room: float) -> Flow:
        """The same at most `room` high, whatever it looks like: the last resort for what is higher than a page."""
        del room
        return self

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw with the top left at x, y."""
        raise NotImplementedError


@dataclass(frozen=True, slots=True)
class Put:
    """A flow on a page; x, y: distance of its top left from the top left of the type area."""

    flow: Flow
    y: float
    x: float = 0.0


@dataclass(frozen=True, slots=True)
class Area:
    """The type area of a page. first: less height on the page a run starts on."""

    depth: float
    first: float | None = None


class _Pages:
    def __init__(self, area: Area) -> None:
        self.area = area
        self.pages: list[list[Put]] = [[]]
        self.y = 0.0

    @property
    def depth(self) -> float:
        return self.area.first if len(self.pages) == 1 and self.area.first is not None else self.area.depth

    @property
    def room(self) -> float:
        return self.depth - self.y

    @property
    def fresh(self) -> bool:
        return not self.pages[-1]

    def turn(self, flow: Flow) -> None:
        self.pages.append([])
        self.y = 0.0
        if flow.header is not None and flow.header is not flow:
            self._place(flow.header)

    def _place(self, flow: Flow) -> None:
        self.y += 0.0 if self.fresh else flow.before
        self.pages[-1].append(Put(flow, self.y))
        self.y += flow.height()

    def put(self, flow: Flow) -> None:
        """Place a flow where it fits, cutting it as often as needed."""
        while True:
            room = self.room - (0.0 if self.fresh else flow.before)
            if flow.height() <= room + SLACK:
                self._place(flow)
                return
            parts = None if flow.whole and flow.height() <= self.area.depth else flow.split(room)
            if parts is not None:
                head, tail = parts
                head.header = tail.header = flow.header
                self._place(head)
                flow = tail
                self.turn(flow)
                continue
            smaller = flow.fit(room)
            if smaller is not None:
                self._place(smaller)
                return
            only_header = len(self.pages[-1]) == 1 and self.pages[-1][0].flow is flow.header
            if self.fresh or only_header:
                self._place(flow.squeeze(room))
                return
            self.turn(flow)


def paginate(flows: Sequence[Flow], area: Area) -> list[list[Put]]:
    """Flows onto pages. Nothing is lost, nothing runs over the area, no heading stays alone at the foot."""
    if not flows:
        return []
    pages = _Pages(area)
    for chunk in _chunks(flows):
        first = chunk[0]
        if first.new_page and not pages.fresh and not _shares(first, pages):
            pages.turn(first)
        elif not pages.fresh and _wanted(chunk, area.depth) > pages.room + SLACK:
            smaller = _shrunk(chunk, pages.room)
            if smaller is None:
                pages.turn(first)
            else:
                chunk = smaller
        for flow in chunk:
            pages.put(flow)
    return pages.pages


def _shares(opening: Flow, pages: _Pages) -> bool:
    """Whether a section may open below the one before: it fits, or the page would be left nearly empty."""
    if not opening.extent:
        return False
    return opening.extent <= pages.room or pages.y < _NEARLY_EMPTY * pages.depth


def _chunks(flows: Sequence[Flow]) -> Iterator[list[Flow]]:
    held: list[Flow] = []
    for flow in flows:
        held.append(flow)
        if not flow.keep_next:
            yield held
            held = []
    if held:
        yield held


def _wanted(chunk: Sequence[Flow], depth: float) -> float:
    """Height a chunk needs at the foot of a page to begin there."""
    total = sum(flow.before + flow.height() for flow in chunk)
    if all(flow.whole for flow in chunk) and total <= depth:
        return total
    wanted = 0.0
    for flow in chunk[:-1]:
        wanted += flow.before + flow.height()
    last = chunk[-1]
    wanted += last.before + last.least()
    return wanted if wanted <= depth else _opening(chunk, depth)


def _opening(chunk: Sequence[Flow], depth: float) -> float:
    """Height wanted of a chunk that is higher than a page: as much as half a page takes, at least its first."""
    wanted = 0.0
    for flow in chunk:
        more = flow.before + flow.least()
        if wanted and wanted + more > depth / 2:
            break
        wanted += more
    return min(wanted, depth)


def _shrunk(chunk: Sequence[Flow], room: float) -> list[Flow] | None:
    """The chunk with one of its flows made smaller so that all of it fits, or None."""
    total = sum(flow.before + flow.height() for flow in chunk)
    for index, flow in enumerate(chunk):
        smaller = flow.fit(room - (total - flow.height()))
        if smaller is not None:
            return [*chunk[:index], smaller, *chunk[index + 1 :]]
    return None
