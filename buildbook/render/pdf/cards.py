"""Marker cards as PDF: one to a half sheet, or four to a sheet with marks to cut along."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from buildbook import __version__
from buildbook.dossier.cards import CardFace, CardSet
from buildbook.dossier.language import speaking
from buildbook.dossier.wording import _
from buildbook.render.pdf import words
from buildbook.render.pdf.compose import Entry
from buildbook.render.pdf.figures import QrCode
from buildbook.render.pdf.finish import finish
from buildbook.render.pdf.fonts import FontSet, characters_of
from buildbook.render.pdf.metadata import Facts
from buildbook.render.pdf.pen import Pen
from buildbook.render.pdf.structure import Node
from buildbook.render.pdf.style import HAIR, INK, QUIET, WHITE, Sheet, Type, sheet_of
from buildbook.render.pdf.typeset import clamped, fitted, natural_width, spans_of

_MM = 72 / 25.4
_QUIET_CELLS = 4  # light cells around a QR code (ISO/IEC 18004)


@dataclass(frozen=True, slots=True)
class _Box:
    """Where a card lies on its page, in points from the top left."""

    x: float
    y: float
    width: float
    height: float


def render_cards(cards: CardSet, out: Path, *, four: bool = True) -> int:
    """Write the cards to `out`; the number of pages. four: four to a sheet, else one to a half sheet (A5)."""
    with speaking(cards.language):
        return _render(cards, out, four)


def _render(cards: CardSet, out: Path, four: bool) -> int:
    from reportlab import rl_config

    rl_config.useA85 = 0
    full = sheet_of(cards.paper)
    wide, high = full.width, full.height
    sheet = Sheet(wide, high, 0, 0, 0, 0) if four else Sheet(high / 2, wide, 0, 0, 0, 0)
    fonts = FontSet(characters_of([*_texts(cards), *words.fixed()]), cards.language)
    pen = Pen(sheet, fonts, cards.language)
    root = Node("Document")
    entries: list[Entry] = []
    places = _quarters(sheet) if four else [_Box(0, 0, sheet.width, sheet.height)]
    for index, face in enumerate(cards.faces):
        if index and index % len(places) == 0:
            pen.turn()
        if four and index % len(places) == 0:
            _cut_marks(pen)
        box = places[index % len(places)]
        anchor = f"card-{index + 1}"
        pen.anchor(anchor, box.x, box.y)
        entries.append(
            Entry(1, "", " · ".join(p for p in (face.number, face.title, face.stage, face.zone) if p), anchor)
        )
        _draw(pen, fonts, face, box, root.add("Sect"))
    facts = Facts(
        title=_one_line(fonts, cards.title), author=_one_line(fonts, cards.workshop),
        subject=_("Marker cards for photos"),
        language=cards.language or "en", issued_on=cards.printed.date(), creator=f"buildbook {__version__}",
        producer=f"buildbook {__version__}",
    )  # fmt: skip
    shown = [Entry(e.level, e.number, _one_line(fonts, e.text), e.anchor) for e in entries]
    finish(pen.close(), pen, root, shown, (), facts, out)
    return -(-len(cards.faces) // len(places))


def _one_line(fonts: FontSet, text: str) -> str:
    return fonts.clean(text).replace("\n", " ")


def _texts(cards: CardSet) -> Iterable[str]:
    yield from (cards.title, cards.workshop)
    for face in cards.faces:
        yield from (face.job, face.number, face.title, face.stage.upper(), face.stage, face.zone, face.foot)


def _quarters(sheet: Sheet) -> list[_Box]:
    wide, high = sheet.width / 2, sheet.height / 2
    return [_Box(x, y, wide, high) for y in (0.0, high) for x in (0.0, wide)]


def _cut_marks(pen: Pen) -> None:
    """Short hairlines where the two cuts begin, cross and end."""
    wide, high, arm = pen.sheet.width, pen.sheet.height, 6 * _MM
    for y in (0.0, high / 2 - arm / 2, high - arm):
        pen.fill(wide / 2 - 0.25, y, 0.5, arm, QUIET)
    for x in (0.0, wide / 2 - arm / 2, wide - arm):
        pen.fill(x, high / 2 - 0.25, arm, 0.5, QUIET)


def _draw(pen: Pen, fonts: FontSet, face: CardFace, box: _Box, node: Node) -> None:
    scale = box.width / (105 * _MM)
    edge = 8 * _MM * scale
    x, width = box.x + edge, box.width - 2 * edge
    y = box.y + edge
    _line(pen, fonts, Type("strong", 46 * scale, 50 * scale), face.number, x, y, width * 0.48, node.add("H1"))
    _stage_bar(pen, face.place, box.x + box.width - edge - width * 0.46, y + 10 * scale, width * 0.46, 7 * scale)
    _line(
        pen, fonts, Type("strong", 25 * scale, 28 * scale), face.stage.upper(), x + width * 0.54, y + 20 * scale,
        width * 0.46, node.add("P"),
    )  # fmt: skip
    y += 52 * scale
    title = Type("strong", 15 * scale, 18.5 * scale)
    named = node.add("P")
    for line in clamped(fonts, spans_of(title, face.title.replace("\n", " ")), width, title.pitch, 2).lines:
        pen.line(line, x, y, named)
        y += title.pitch
    if face.zone:
        zone = Type("text", 13 * scale, 16.5 * scale)
        (line, *_rest) = clamped(fonts, spans_of(zone, face.zone), width, zone.pitch, 1).lines
        pen.line(line, x, y, node.add("P"))
        y += zone.pitch
    foot = Type("text", 8.5 * scale, 11 * scale, QUIET)
    low = box.y + box.height - edge - foot.pitch
    side = min(width, low - y - 6 * scale)
    code = QrCode(face.code, side, node.add("Figure", alt=_("QR code: {code}").format(code=face.code)))
    quiet = _QUIET_CELLS * side / (len(code.rows) + 2 * _QUIET_CELLS)
    code.side = side - 2 * quiet
    left = box.x + (box.width - code.side) / 2
    top = y + 3 * scale + (low - y - 3 * scale - code.side) / 2
    pen.fill(left - quiet, top - quiet, code.side + 2 * quiet, code.side + 2 * quiet, WHITE)
    code.draw(pen, left, top)
    _line(pen, fonts, foot, f"{face.job}  ·  {face.foot}", x, low, width, node.add("P"))


def _line(pen: Pen, fonts: FontSet, type_: Type, text: str, x: float, y: float, width: float, node: Node) -> None:
    """One line, set smaller where it would not fit."""
    spans = spans_of(type_, text)
    wide = natural_width(fonts, spans)
    if wide > width:
        type_ = Type(type_.face, type_.size * width / wide * 0.995, type_.pitch, type_.colour)
    (line, *_rest) = fitted(fonts, spans_of(type_, text), width, type_.pitch)
    pen.line(line, x, y, node)


def _stage_bar(pen: Pen, place: int, x: float, y: float, width: float, height: float) -> None:
    """Three fields, the card's own filled: before, during and after told apart across a workshop."""
    gap = 3.0
    one = (width - 2 * gap) / 3
    for index in range(3):
        pen.fill(x + index * (one + gap), y, one, height, INK if index == place else HAIR)
