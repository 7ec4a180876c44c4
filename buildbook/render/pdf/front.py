"""The cover and the contents."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from buildbook.dossier.model import Cover, Dossier
from buildbook.render.pdf import words
from buildbook.render.pdf.compose import Entry
from buildbook.render.pdf.flow import SLACK, Area, Flow, Put, paginate
from buildbook.render.pdf.pen import Pen
from buildbook.render.pdf.pictures import Library
from buildbook.render.pdf.rows import HAIRLINE, Cell, Look, Row
from buildbook.render.pdf.setter import Setter
from buildbook.render.pdf.structure import Node
from buildbook.render.pdf.style import (
    BAD,
    BODY,
    BODY_STRONG,
    GUTTER,
    HEAD_1,
    INK,
    LEAD,
    QUIET,
    SMALL,
    TABLE,
    TITLE,
    UNIT,
    Face,
    Type,
)
from buildbook.render.pdf.typeset import Line, Span, lines_of

_TITLE_SIZES = (TITLE, Type("display", 26.0, 32.5), Type("display", 15.0, 19.5), BODY)
_FOOT = 20 * UNIT
_LEAST_PICTURE = 160.0  # points


class CoverPicture(Flow):
    """The cover's picture, across the whole sheet from its top edge where its pixels and shape allow."""

    def __init__(self, setter: Setter, library: Library, cover: Cover, parent: Node) -> None:
        assert cover.picture is not None
        self.picture = cover.picture
        self.node = parent.add("Figure", alt=cover.picture.alt or cover.vehicle)
        sheet = setter.sheet
        self.sheet = sheet
        self.image = library.image(cover.picture, "print")
        width, height = self.image.within(sheet.width, sheet.height * 0.6)
        self.bleeds = width > sheet.width - 0.5
        if not self.bleeds:
            width, height = self.image.within(sheet.measure, sheet.height * 0.5)
        self.width, self.picture_height = width, height

    def leave(self, room: float) -> None:
        """Be no higher in the type area than `room`, in its own proportion, where room is enough for a picture."""
        if self.height() <= room or room < _LEAST_PICTURE:
            return
        self.bleeds = False
        self.width, self.picture_height = self.image.within(self.sheet.measure, room)

    def height(self) -> float:
        return self.picture_height - (self.sheet.top if self.bleeds else 0.0)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        left, top = (0.0, 0.0) if self.bleeds else (x, y)
        pen.anchor(self.picture.anchor, left, top)
        pen.image(self.image.name, self.image.path, left, top, self.width, self.picture_height, self.node)


def cover_flows(setter: Setter, library: Library, dossier: Dossier, node: Node, depth: float) -> list[Flow]:
    """The cover: picture, car, facts, on a page of that depth; the picture gives way. Long texts run on to a second
    page rather than be cut.
    """
    cover = dossier.cover
    flows: list[Flow] = []
    if cover.picture is not None:
        flows.append(CoverPicture(setter, library, cover, node))
    measure = setter.measure
    lines = _title_lines(setter, cover.vehicle)
    name = Row([Cell(lines, 0, measure, node.add("P"))], measure)
    name.before = 8 * UNIT
    if cover.picture is None:
        name.look = Look(top=40 * UNIT)
    flows.append(name)
    if cover.subtitle:
        subtitle = Row([Cell(setter.plain(LEAD, cover.subtitle, measure), 0, measure, node.add("P"))], measure)
        subtitle.before = UNIT
        flows.append(subtitle)
    if cover.statement:
        width = setter.text_width
        said = Row([Cell(setter.plain(BODY, cover.statement, width), 0, width, node.add("P"))], width)
        said.before = 3 * UNIT
        flows.append(said)
    flows += _facts(setter, cover.facts, node)
    if isinstance(flows[0], CoverPicture):
        rest = sum(flow.before + flow.height() for flow in flows[1:])
        flows[0].leave(depth - rest - SLACK)
    return flows


def _title_lines(setter: Setter, text: str) -> tuple[Line, ...]:
    """The car's name: as large as keeps it on two lines."""
    for type_ in _TITLE_SIZES:
        lines = setter.plain(type_, text, setter.measure)
        if len(lines) <= 2:
            return lines
    return lines


def _facts(setter: Setter, facts: Sequence[tuple[str, str]], node: Node) -> list[Flow]:
    """Facts three across: label small above, value below."""
    across = 3
    width = (setter.measure - (across - 1) * GUTTER) / across
    flows: list[Flow] = []
    for start in range(0, len(facts), across):
        cells: list[Cell] = []
        for index, (label, value) in enumerate(facts[start : start + across]):
            spans = [
                Span(label + "\n", SMALL.face, SMALL.size, SMALL.colour),
                Span(value, BODY_STRONG.face, BODY_STRONG.size, INK),
            ]
            lines = lines_of(setter.fonts, spans, width, BODY.pitch)
            labels = [replace(line, pitch=SMALL.pitch) for line in lines[:1]]
            cells.append(Cell((*labels, *lines[1:]), index * (width + GUTTER), width, node.add("P")))
        row = Row(cells, setter.measure, Look(top=1.5 * UNIT, bottom=1.5 * UNIT, above=HAIRLINE))
        row.before = 0 if start else 5 * UNIT
        flows.append(row)
    return flows


def cover_foot(setter: Setter, dossier: Dossier, node: Node) -> Flow:
    """Who made it, which issue, which seal: at the foot of the cover."""
    cover = dossier.cover
    half = (setter.measure - GUTTER) / 2
    right = half + GUTTER
    who = [
        Span(cover.workshop, BODY_STRONG.face, BODY.size, INK),
        Span("\n" + cover.workshop_address, SMALL.face, SMALL.size, SMALL.colour),
    ]
    issue = words.DRAFT_LINE if dossier.draft else words.issue(dossier.issue)
    what = [
        Span(issue, "strong", BODY.size, BAD if dossier.draft else INK),
        Span(f" · {words.day(dossier.issued_on)}", "text", BODY.size, INK),
        Span("\n" + words.job(dossier.job_number), SMALL.face, SMALL.size, SMALL.colour),
    ]
    fonts = setter.fonts
    seal = [Span(f"{words.SEAL} ", SMALL.face, SMALL.size, QUIET), Span(dossier.short_seal, "mono", 7.0, INK)]
    if dossier.previous_seal:
        held = dossier.previous_seal
        short = " ".join(held[index : index + 4] for index in range(0, 16, 4))
        seal += [Span(f"\n{words.PREVIOUS} ", SMALL.face, SMALL.size, QUIET), Span(short, "mono", 7.0, QUIET)]
    cells = [
        Cell(lines_of(fonts, who, half, 11.375), 0, half, node.add("P")),
        Cell((*lines_of(fonts, what, half, 11.375), *lines_of(fonts, seal, half, 9.75)), right, half, node.add("P")),
    ]
    return Row(cells, setter.measure, Look(top=2 * UNIT, above=(1.4, INK)))


class ContentsRow(Row):
    """An entry with its page number, known only when all pages are."""

    def __init__(
        self, cells: Sequence[Cell], width: float, look: Look, setter: Setter, entry: Entry, node: Node
    ) -> None:
        super().__init__(cells, width, look)
        self.setter, self.entry, self.node = setter, entry, node
        self.pages: dict[str, int] = {}

    def _part(self, cells: list[Cell]) -> Row:
        made = ContentsRow(cells, self.width, self.look, self.setter, self.entry, self.node)
        made.pages = self.pages
        return made

    def draw(self, pen: Pen, x: float, y: float) -> None:
        super().draw(pen, x, y)
        page = self.pages.get(self.entry.anchor)
        if page is None or not self.cells[0].lines:
            return
        size = self.cells[0].lines[0].size
        face: Face = "strong" if self.entry.level == 1 else "text"
        spans = [Span(str(page), face, min(size, BODY.size), INK, self.entry.anchor, shows=False)]
        lines = lines_of(self.setter.fonts, spans, 40, self.cells[0].lines[0].pitch)
        pen.lines(lines, x + self.width - 40, y + self.look.top, 40, "right", self.node)


def contents_pages(setter: Setter, entries: Sequence[Entry], pages: dict[str, int], document: Node) -> list[list[Put]]:
    """The contents: sections with a rule above, their parts below, page numbers at the right edge. What does not fit
    one page is set in two columns; what does not fit these loses the parts of its longest sections, which the bookmarks
    still name. pages: filled in later, read when the contents are drawn.
    """
    sheet = setter.sheet
    node = document.add("TOC")
    title = Row([Cell(setter.plain(HEAD_1, words.CONTENTS, setter.measure), 0, setter.measure, node.add("Caption"))],
                setter.measure, Look(top=2 * UNIT, bottom=4 * UNIT, above=(1.4, INK)))  # fmt: skip
    below = title.height() + 2 * UNIT
    width = setter.measure

    def laid_out(shown: Sequence[Entry], root: Node) -> list[list[Put]]:
        return paginate(_entries(setter, shown, root, pages, width), Area(sheet.depth - below))

    columns = laid_out(entries, Node("TOC"))
    if len(columns) > 1:
        width = (setter.measure - 2 * GUTTER) / 2
        while len(laid_out(entries, Node("TOC"))) > 2 and any(e.level > 1 for e in entries):
            entries = _without_longest(entries)
    columns = laid_out(entries, node)
    made: list[list[Put]] = []
    for index, column in enumerate(columns):
        if index % 2 == 0 or width == setter.measure:
            made.append([Put(title, 0.0)] if not made else [])
        x = (index % 2) * (width + 2 * GUTTER) if len(columns) > 1 else 0.0
        made[-1] += [Put(put.flow, put.y + (below if len(made) == 1 else 0.0), x) for put in column]
    return made or [[Put(title, 0.0)]]


def _without_longest(entries: Sequence[Entry]) -> list[Entry]:
    """The entries without the parts of the section that has most of them."""
    section, counts = -1, dict[int, int]()
    owner: list[int] = []
    for entry in entries:
        section += entry.level == 1
        owner.append(section)
        counts[section] = counts.get(section, 0) + (entry.level > 1)
    longest = max(counts, key=lambda s: (counts[s], -s))
    return [e for e, s in zip(entries, owner, strict=True) if e.level == 1 or s != longest]


def _entries(
    setter: Setter, entries: Sequence[Entry], root: Node, pages: dict[str, int], measure: float
) -> list[Flow]:
    inner: Node | None = None  # the list of parts of the section at hand
    flows: list[Flow] = []
    number_width = setter.sheet.columns(1)
    width = measure - number_width - 40
    for entry in entries:
        top = entry.level == 1
        item = (root if top or inner is None else inner).add("TOCI")
        label, title, page = item.add("Lbl"), item.add("Reference"), item.add("Reference")
        if top:
            inner = item.add("TOC")
        type_ = BODY_STRONG if top else TABLE
        said = [Span(entry.text, type_.face, type_.size, INK, entry.anchor, shows=False)]
        cells = [Cell(lines_of(setter.fonts, said, width, type_.pitch), number_width, width, title)]
        if entry.number:
            number = [Span(entry.number, type_.face, type_.size, QUIET)]
            numbered = lines_of(setter.fonts, number, number_width - 4, type_.pitch)
            cells.insert(0, Cell(numbered, 0, number_width - 4, label))
        part = Look(top=0.25 * UNIT, bottom=0.25 * UNIT)
        look = Look(top=UNIT, bottom=0.5 * UNIT, above=HAIRLINE) if top else part
        row = ContentsRow(cells, measure, look, setter, entry, page)
        row.pages = pages
        row.before = 2 * UNIT if top else 0
        row.keep_next = top
        flows.append(row)
    if flows:
        flows[-1].keep_next = False
    return flows
