"""What draws: a thin layer over the canvas that knows pages from the top left, tags what it draws, and notes links.

Everything drawn is either inside a structure element or an artifact (running matter, rules, tints).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas

from buildbook.render.pdf.fonts import FontSet, Shaped, spoken
from buildbook.render.pdf.structure import Area, Content, LinkMark, Node
from buildbook.render.pdf.style import ACCENT, Sheet
from buildbook.render.pdf.typeset import Line, Piece


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on a page (from 0); x, y from the bottom left, in points."""

    page: int
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Link:
    """A link annotation to make: where it is, which anchor it leads to, what it says. field: it is no link but the
    field for the document's signature.
    """

    page: int
    rect: tuple[float, float, float, float]
    target: str
    says: str
    field: bool = False


@dataclass(frozen=True, slots=True)
class Placed:
    """An image placed: asset and rendition, and its size on the page in points."""

    name: str
    path: Path
    page: int
    width: float
    height: float


_LAYOUT = "/Type /Layout"  # rules and tints


class Pen:
    """Draws on the pages of one document. y runs downwards from the top edge of the sheet."""

    def __init__(self, sheet: Sheet, fonts: FontSet, language: str) -> None:
        self.sheet = sheet
        self.fonts = fonts
        self.page = 0
        self.links: list[Link] = []
        self.spots: dict[str, Spot] = {}
        self.images: list[Placed] = []
        self.anchors: frozenset[str] = frozenset()
        self._file = BytesIO()
        initial = fonts.initial()
        pdfmetrics.registerFont(initial)
        self._canvas: Any = Canvas(
            self._file, pagesize=(sheet.width, sheet.height), invariant=1, pageCompression=1,
            initialFontName=initial.fontName, lang=language, pdfVersion=(1, 7),
        )  # fmt: skip
        self._marks = 0
        self._language = language.partition("-")[0].casefold()
        self._artifact = _LAYOUT
        self._fonts_used: tuple[str, float] = ("", 0.0)
        self._link_nodes: dict[tuple[int, int, str], Node] = {}

    # -- pages ---------------------------------------------------------------------------------------------------

    def turn(self) -> None:
        """End this page and begin the next."""
        self._canvas.showPage()
        self.page += 1
        self._marks = 0

    def close(self) -> bytes:
        """The document so far as PDF bytes, without what the finishing adds."""
        self._canvas.save()
        return self._file.getvalue()

    def _put(self, code: str) -> None:
        self._canvas._code.append(code)

    # -- tagging -------------------------------------------------------------------------------------------------

    @contextmanager
    def tagged(self, node: Node | None) -> Iterator[None]:
        """What is drawn inside belongs to `node`, or is an artifact where there is none."""
        if node is None:
            self._put(f"/Artifact <<{self._artifact}>> BDC")
        else:
            content = Content(self.page, self._marks)
            node.kids.append(content)
            self._put(f"/{node.role} <</MCID {self._marks}>> BDC")
            self._marks += 1
        try:
            yield
        finally:
            self._put("EMC")

    @contextmanager
    def running(self, subtype: str = "") -> Iterator[None]:
        """Artifacts drawn inside are running matter (ISO 32000-1, 14.8.2.2): Header, Footer, or of no subtype."""
        edge = {"Header": "/Top", "Footer": "/Bottom"}.get(subtype, "")
        self._artifact = "/Type /Pagination" + (f" /Subtype /{subtype} /Attached [{edge}]" if edge else "")
        try:
            yield
        finally:
            self._artifact = _LAYOUT

    def covers(self, node: Node, x: float, y: float, width: float, height: float) -> None:
        """Note what a figure covers, its top left at x, y: within the page and what was noted before."""
        sheet = self.sheet
        left, right = max(x, 0.0), min(x + width, sheet.width)
        low, high = max(sheet.height - y - height, 0.0), min(sheet.height - y, sheet.height)
        node.area = Area(self.page, left, low, max(right, left), max(high, low))

    def anchor(self, name: str, x: float, y: float) -> None:
        """Links to `name` lead here. The first place of a name counts."""
        if name:
            self.spots.setdefault(name, Spot(self.page, x, self.sheet.height - y))

    def link(self, x: float, y: float, width: float, height: float, target: str, says: str, node: Node) -> None:
        """A link over a rectangle whose top left is x, y; its annotation belongs to `node`."""
        low = self.sheet.height - y - height
        self.links.append(Link(self.page, (x, low, x + width, low + height), target, self.fonts.clean(says)))
        node.kids.append(LinkMark(len(self.links) - 1))

    def field(self, x: float, y: float, width: float, height: float, says: str, node: Node) -> None:
        """The field for the document's signature over a rectangle whose top left is x, y."""
        low = self.sheet.height - y - height
        self.links.append(Link(self.page, (x, low, x + width, low + height), "", self.fonts.clean(says), field=True))
        node.kids.append(LinkMark(len(self.links) - 1))

    def leads(self, target: str) -> bool:
        """Whether a link's anchor exists; text with a link to nowhere is printed as plain text."""
        return target in self.anchors

    # -- shapes (always artifacts unless called inside `tagged`) ---------------------------------------------------

    def rule(self, x: float, y: float, width: float, weight: float, colour: str) -> None:
        """A horizontal rule hung from y."""
        self.fill(x, y, width, weight, colour)

    def fill(self, x: float, y: float, width: float, height: float, colour: str) -> None:
        """A filled rectangle, as an artifact."""
        with self.tagged(None):
            self._put(f"q {rgb(colour)} rg {box(x, self.sheet.height - y - height, width, height)} re f Q")

    def raw(self, code: str) -> None:
        """Content operators as they are, in PDF coordinates; the caller tags and balances them."""
        self._put(code)

    def image(self, name: str, path: Path, x: float, y: float, width: float, height: float, node: Node) -> None:
        """A picture in a box whose top left is x, y. The bytes are put in when the file is finished."""
        self.images.append(Placed(name, path, self.page, width, height))
        low = self.sheet.height - y - height
        self.covers(node, x, y, width, height)
        with self.tagged(node):
            self._put(f"q {num(width)} 0 0 {num(height)} {num(x)} {num(low)} cm /{name} Do Q")

    # -- text ----------------------------------------------------------------------------------------------------

    def line(self, line: Line, x: float, y: float, node: Node | None, part: int = 0) -> None:
        """One line of text; y: top of the line's box. part: tells runs of links of one paragraph apart."""
        base = self.sheet.height - y - (line.pitch + line.size * 0.70) / 2
        at = 0
        pieces = line.pieces
        while at < len(pieces):
            span = pieces[at].span
            end = at
            while end < len(pieces) and pieces[end].span is span:
                end += 1
            group = pieces[at:end]
            leads = bool(span.link) and self.leads(span.link) and node is not None  # no link in an artifact
            inner = self._link_node(node, span, leads)
            with self.tagged(inner):
                colour = ACCENT if leads and span.shows else span.colour
                self._put(f"BT {rgb(colour)} rg 1 0 0 1 {num(x + group[0].x)} {num(base)} Tm")
                self._fonts_used = ("", 0.0)
                for index, piece in enumerate(group):
                    self._write(piece)
                    if piece.gap:
                        follows = group[index + 1].x if index + 1 < len(group) else None
                        self._gap(piece, follows)
                self._put("ET")
            if leads:
                says = self.fonts.clean(span.text).strip() or self.fonts.clean(span.link)
                wide = group[-1].x + group[-1].width - group[0].x
                low = base - 0.25 * span.size
                start = x + group[0].x
                area = (start, low, start + wide, base + 0.85 * span.size)
                self.links.append(Link(self.page, area, span.link, says))
                if inner is not None:
                    inner.kids.append(LinkMark(len(self.links) - 1))
            at = end

    def _link_node(self, node: Node | None, span: Any, leads: bool) -> Node | None:
        if node is None or not leads:
            return node
        key = (id(node), id(span), span.link)
        if key not in self._link_nodes:
            self._link_nodes[key] = node.add("Link", alt="")
        return self._link_nodes[key]

    def _write(self, piece: Piece) -> None:
        for run in piece.runs:
            said = "" if run.text.isascii() else spoken(run.text, piece.span.text)
            marks = f"/Lang ({said})" if said and said != self._language else ""
            if not run.plain:
                marks += f"/ActualText <{(chr(0xFEFF) + run.text).encode('utf-16-be').hex().upper()}>"
            if marks:
                self._put(f"/Span <<{marks}>> BDC")
            self._show(run, piece.span.size)
            if marks:
                self._put("EMC")

    def _gap(self, piece: Piece, follows: float | None) -> None:
        (space,) = self.fonts.shape(piece.span.face, " ")
        self._show(space, piece.span.size)
        if follows is None:
            return
        drawn = piece.x + piece.width + space.width * piece.span.size / 1000
        if abs(drawn - follows) > 0.05:  # a piece was moved; never so on a line set by this package
            raise AssertionError("pieces of a line do not join")

    def _show(self, run: Shaped, size: float) -> None:
        """One run. Kerning and marks are moved by TJ and Ts, so the text stays one string to a reader."""
        doc = self._canvas._doc
        out: list[str] = []
        held: list[str] = []
        subset_now, rise, owed = -1, 0.0, 0.0

        def flush() -> None:
            if held:
                out.append("[" + "".join(held) + "] TJ")
                held.clear()

        for unit in run.units:
            ((subset, code),) = run.font.splitString(chr(unit.code), doc)
            if subset != subset_now or rise != unit.dy:
                flush()
            if subset != subset_now:
                name = run.font.getSubsetInternalName(subset, doc)
                if (name, size) != self._fonts_used:
                    out.append(f"{name} {num(size)} Tf")
                    self._fonts_used = (name, size)
                subset_now = subset
            if rise != unit.dy:
                rise = unit.dy
                out.append(f"{num(rise * size / 1000)} Ts")
            shift = owed + unit.dx
            if abs(shift) >= 0.5:
                held.append(num(-shift))
                shift = 0.0
            held.append(f"<{code.hex()}>")
            owed = shift + unit.advance - unit.nominal - unit.dx
        if abs(owed) >= 0.5:
            held.append(num(-owed))
        flush()
        if rise:
            out.append("0 Ts")
        self._put(" ".join(out).replace("><", ""))

    def lines(self, lines: Sequence[Line], x: float, y: float, width: float, align: str, node: Node | None) -> float:
        """Lines one under the other; returns the y below the last."""
        for line in lines:
            shift = {"right": width - line.width, "centre": (width - line.width) / 2}.get(align, 0.0)
            self.line(line, x + shift, y, node)
            y += line.pitch
        return y


def num(value: float) -> str:
    """A number as PDF wants it: at most three decimals, no exponent, no minus zero."""
    made = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if made in ("-0", "") else made


def box(x: float, y: float, width: float, height: float) -> str:
    """Four numbers."""
    return f"{num(x)} {num(y)} {num(width)} {num(height)}"


def rgb(colour: str) -> str:
    """`#rrggbb` as three numbers from 0 to 1; ink where it is not a colour."""
    try:
        parts = [int(colour[index : index + 2], 16) / 255 for index in (1, 3, 5)]
    except ValueError:
        parts = [0.12, 0.14, 0.16]
    return " ".join(num(part) for part in parts)
