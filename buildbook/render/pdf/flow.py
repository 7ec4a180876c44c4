"""Pages from flows: what follows what, where a page ends, what stays together. Heights only; nothing is drawn here.

A flow is a rectangle of fixed width. It may be cut at a height (text and rows), made smaller (pictures), or neither.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from buildbook.render.pdf.pen import Pen
    from buildbook.render.pdf.structure import Node

SLACK = 0.01
_LEFT_EMPTY = 0.2  # what would leave more than this of a page empty lets text go before it
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
    floats: bool = False  # a figure that may stand a little later than it is named, the text after it going on
    passes: bool = False  # text that may stand before such a figure
    place: tuple[Node, tuple[Node, ...]] | None = None  # of the first flow of a block: its structure, and its parent

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

    def spare(self) -> float:
        """Points of its height it may give up together with others on its page, so that one more finds room."""
        return 0.0

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

    def close_up(self, chunk: Sequence[Flow]) -> bool:
        """Place a chunk that has no room by making the pictures of the page and its own a little smaller, all alike."""
        flows = [put.flow for put in self.pages[-1]] + list(chunk)
        over = sum(flow.before + flow.height() for flow in flows) - flows[0].before - self.depth
        spare = sum(flow.spare() for flow in flows)
        if not 0 < over <= spare:
            return False
        made: list[Flow] = []
        for flow in flows:
            smaller = flow.fit(flow.height() - over * flow.spare() / spare) if flow.spare() else None
            made.append(smaller or flow)
        if sum(flow.before + flow.height() for flow in made) - made[0].before > self.depth + SLACK:
            return False
        self.pages[-1], self.y = [], 0.0
        for flow in made:
            self._place(flow)
        return True

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
    chunks = list(_chunks(flows))
    for index in range(len(chunks)):
        if not pages.fresh and _wanted(chunks[index], area.depth) > pages.room > _LEFT_EMPTY * area.depth:
            _float(chunks, index, pages.room)
        chunk = chunks[index]
        first = chunk[0]
        if first.new_page and not pages.fresh and not _shares(first, pages):
            pages.turn(first)
        elif not pages.fresh and _wanted(chunk, area.depth) > pages.room + SLACK:
            if pages.close_up(chunk):
                continue
            smaller = _shrunk(chunk, pages.room)
            if smaller is None:
                pages.turn(first)
            else:
                chunk = smaller
        for flow in chunk:
            pages.put(flow)
    return pages.pages


def _float(chunks: list[list[Flow]], index: int, room: float) -> None:
    """Move the text after figures that have no room here before them, as far as it fits: chunks and structure."""
    figures: list[list[Flow]] = []
    passed: list[list[Flow]] = []
    for chunk in chunks[index:]:
        needs = sum(flow.before + flow.height() for flow in chunk)
        if all(flow.floats for flow in chunk):
            figures.append(chunk)
        elif figures and needs <= room and all(flow.passes for flow in chunk):
            passed.append(chunk)
            room -= needs
        else:
            break
    if not passed:
        return
    chunks[index : index + len(figures) + len(passed)] = [*passed, *figures]
    places = [[chunk[0].place for chunk in part if chunk[0].place] for part in (figures, passed)]
    if all(places) and len({id(parent) for part in places for parent, _nodes in part}) == 1:
        parent, nodes = places[1][-1]
        moved = [node for _parent, own in places[0] for node in own]
        kids = [kid for kid in parent.kids if kid not in moved]
        at = kids.index(nodes[-1]) + 1
        parent.kids[:] = [*kids[:at], *moved, *kids[at:]]


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
