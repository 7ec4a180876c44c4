"""From the model's runs to spans and lines: the tone of a run, its link, its face."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from buildbook.dossier.model import Ref, Run, Text
from buildbook.render.pdf.fonts import FontSet
from buildbook.render.pdf.style import GUTTER, TONES, Sheet, Type
from buildbook.render.pdf.typeset import Line, Span, lines_of, spans_of


@dataclass(frozen=True, slots=True)
class Setter:
    """What every block needs to be set: fonts and sheet."""

    fonts: FontSet
    sheet: Sheet

    @property
    def measure(self) -> float:
        """Width of the type area."""
        return self.sheet.measure

    @property
    def text_width(self) -> float:
        """Width of running text: eight of the twelve columns."""
        return self.sheet.columns(8)

    @property
    def side_x(self) -> float:
        """Left edge of the side column (the last four)."""
        return self.text_width + GUTTER

    @property
    def side_width(self) -> float:
        """Width of the side column."""
        return self.sheet.columns(4)

    def plain(self, type_: Type, text: str, width: float) -> tuple[Line, ...]:
        """Plain text in lines."""
        return lines_of(self.fonts, spans_of(type_, text), width, type_.pitch)

    def lines(self, type_: Type, text: Text, width: float) -> tuple[Line, ...]:
        """Runs in lines."""
        return lines_of(self.fonts, spans(type_, text), width, type_.pitch)


def spans(type_: Type, text: Text) -> tuple[Span, ...]:
    """Runs as spans of a type."""
    return tuple(_span(type_, run) for run in text)


def _span(type_: Type, run: Run) -> Span:
    bold = run.tone in ("strong", "warn", "bad")
    face = "strong" if bold and type_.face == "text" else type_.face
    colour = type_.colour if run.tone == "plain" else TONES.get(run.tone, type_.colour)
    return Span(run.text, face, type_.size, colour, run.target)


def refs(type_: Type, evidence: Sequence[Ref]) -> tuple[Span, ...]:
    """References one after the other, each a link."""
    made: list[Span] = []
    for index, ref in enumerate(evidence):
        if index:
            made.append(Span("\u00a0 ", type_.face, type_.size, type_.colour))
        made.append(Span(ref.label, type_.face, type_.size, type_.colour, ref.target))
    return tuple(made)
