"""Running matter: job and issue above, seal and page below. Artifacts, not part of the text."""

from __future__ import annotations

from buildbook.dossier.model import Dossier
from buildbook.render.pdf import words
from buildbook.render.pdf.pen import Pen
from buildbook.render.pdf.setter import Setter
from buildbook.render.pdf.style import BAD, HAIR, INK, QUIET, SMALL, UNIT, WHITE
from buildbook.render.pdf.typeset import Span, clamped

_HEAD_Y = 32.5
_FOOT_UP = 39.0
_BAND = 16.25  # of a draft, across the top edge


def _one(setter: Setter, pen: Pen, spans: list[Span], x: float, y: float, width: float, align: str) -> None:
    set_ = clamped(setter.fonts, spans, width, SMALL.pitch, 1)
    pen.lines(set_.lines, x, y, width, align, None)


def running_matter(
    setter: Setter, pen: Pen, dossier: Dossier, total: int, section: str, *, cover: bool, opens: bool
) -> None:
    """Header (not on the cover, but the draft mark is) and footer of the pen's page."""
    with pen.running("Header"):
        _header(setter, pen, dossier, section, cover=cover, opens=opens)
    with pen.running("Footer"):
        _footer(setter, pen, dossier, total)


def _header(setter: Setter, pen: Pen, dossier: Dossier, section: str, *, cover: bool, opens: bool) -> None:
    sheet = setter.sheet
    left, width = sheet.left, sheet.measure
    small = SMALL.size
    if dossier.draft:
        pen.fill(0, 0, sheet.width, _BAND, BAD)
        mark = [Span(words.DRAFT_LINE, "strong", small, WHITE)]
        _one(setter, pen, mark, left, (_BAND - SMALL.pitch) / 2, width, "centre")
    if not cover:
        issue = words.DRAFT if dossier.draft else words.issue(dossier.issue)
        job = dossier.job_number.replace("\n", " ")
        head = [
            Span(words.job(job), "strong", small, INK),
            Span(" · ", "text", small, QUIET),
            Span(issue, "strong" if dossier.draft else "text", small, BAD if dossier.draft else QUIET),
        ]
        _one(setter, pen, head, left, _HEAD_Y, width * 0.5, "left")
        named = [Span(section.replace("\n", " "), "text", small, QUIET)]
        _one(setter, pen, named, left + width * 0.5, _HEAD_Y, width * 0.5, "right")
        if not opens:  # a section opening brings its own rule
            pen.rule(left, _HEAD_Y + 4 * UNIT, width, 0.4, HAIR)


def _footer(setter: Setter, pen: Pen, dossier: Dossier, total: int) -> None:
    sheet = setter.sheet
    left, width = sheet.left, sheet.measure
    small = SMALL.size
    foot = sheet.height - _FOOT_UP
    seal = [Span(f"{words.SEAL}\u00a0 ", "text", small, QUIET), Span(dossier.short_seal, "mono", 7.0, QUIET)]
    _one(setter, pen, seal, left, foot, width * 0.6, "left")
    number = words.page_of(pen.page + 1, total)
    _one(setter, pen, [Span(number, "text", small, QUIET)], left + width * 0.6, foot, width * 0.4, "right")
