"""Lines from runs of text: where to break, how wide, what stands where. No page, no drawing."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from buildbook.render.pdf.breaks import COMMAS, DOT, HASH, INSIDE, PARTABLE, bound, joins
from buildbook.render.pdf.fonts import FontSet, Shaped
from buildbook.render.pdf.style import LEAST_SIZE, Face, Type


@dataclass(frozen=True, slots=True)
class Span:
    """Text in one face, size and colour; link: the anchor it leads to, or nothing."""

    text: str
    face: Face
    size: float
    colour: str
    link: str = ""
    shows: bool = True  # whether a link is coloured as one


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of a line: shaped runs of one span. x: from the line's start, in points; gap: a space follows."""

    x: float
    width: float
    runs: tuple[Shaped, ...]
    span: Span
    gap: bool


@dataclass(frozen=True, slots=True)
class Line:
    """One line. width: of its ink; pitch: distance to the next baseline; size: of its largest type."""

    pieces: tuple[Piece, ...]
    width: float
    pitch: float
    size: float


@dataclass(slots=True)
class _Atom:
    """What is never broken unless it alone is wider than the line."""

    span: Span
    text: str
    gap: bool  # a space follows in the source
    breaks: bool  # a line may end after it
    ends: bool = False  # a line must end after it
    context: str = ""


def lines_of(
    fonts: FontSet, spans: Sequence[Span], width: float, pitch: float, *, whole: bool = False
) -> tuple[Line, ...]:
    """Break spans into lines no wider than `width` points. whole: words only break when they alone are too wide."""
    atoms = _bound(list(_atoms(fonts, spans, whole)), whole)
    lines: list[Line] = []
    held: list[Piece] = []
    x = 0.0

    def close() -> None:
        nonlocal held, x
        ink = max((piece.x + piece.width for piece in held), default=0.0)
        size = max((piece.span.size for piece in held), default=pitch / 1.4)
        lines.append(Line(tuple(held), ink, pitch, size))
        held, x = [], 0.0

    groups = list(_groups(atoms))
    for number, group in enumerate(groups, 1):
        ink = _ink(fonts, group)
        if ink > width + 0.01:  # what is bound is parted where its words are
            groups[number - 1 : number] = _words(group)
            group = groups[number - 1]
            ink = _ink(fonts, group)
        dotted = len(group) > 1 and group[-1].text == DOT and not group[-1].ends and number < len(groups)
        if dotted:  # a dot at the end of a line may hang over its edge
            ink = _ink(fonts, group[:-1])
        if held and x + ink > width + 0.01:
            close()
        for atom in group:
            too_wide = ink > width + 0.01 and _ink(fonts, [atom]) > width + 0.01
            for part in _fitting(fonts, atom, width, width - x) if too_wide else (atom,):
                runs = fonts.shape(part.span.face, part.text, part.context)
                wide = sum(run.width for run in runs) * part.span.size / 1000
                if held and x + wide > width + 0.01 and not (dotted and atom is group[-1]):
                    close()
                if part.text or part.gap:
                    held.append(Piece(x, wide, runs, part.span, part.gap))
                x += wide + (_space(fonts, part.span) if part.gap else 0.0)
        if group and group[-1].ends:
            close()
    if held or not lines:
        close()
    return tuple(lines)


def fitted(fonts: FontSet, spans: Sequence[Span], width: float, pitch: float) -> tuple[Line, ...]:
    """Lines for text that should not break: set a little smaller if that keeps it on one line, else broken."""
    natural = natural_width(fonts, spans)
    if natural > width + 0.01 > 0 and spans:
        least = min(LEAST_SIZE / span.size for span in spans)
        scale = width / natural * 0.999
        if least <= scale < 1:
            spans = [replace(span, size=span.size * scale) for span in spans]
    return lines_of(fonts, spans, width, pitch, whole=True)


def natural_width(fonts: FontSet, spans: Sequence[Span]) -> float:
    """Width in points of the widest line of the spans, broken only where their text is."""
    widest = used = 0.0
    for span in spans:
        for index, part in enumerate(fonts.clean(span.text).split("\n")):
            if index:
                widest, used = max(widest, used), 0.0
            used += fonts.width(span.face, span.size, part)
    return max(widest, used)


def longest_word(fonts: FontSet, spans: Sequence[Span]) -> float:
    """Width in points of the widest stretch that only breaks by force."""
    return max((_ink(fonts, group) for group in _groups(list(_atoms(fonts, spans, False)))), default=0.0)


def spans_of(type_: Type, text: str, link: str = "") -> tuple[Span, ...]:
    """Plain text as one span."""
    return (Span(text, type_.face, type_.size, type_.colour, link),)


def _space(fonts: FontSet, span: Span) -> float:
    return fonts.width(span.face, span.size, " ")


def _atoms(fonts: FontSet, spans: Sequence[Span], whole: bool) -> Iterator[_Atom]:
    context = "".join(span.text for span in spans)
    for span in spans:
        paragraphs = fonts.clean(span.text).split("\n")
        for index, paragraph in enumerate(paragraphs):
            last: _Atom | None = None
            for match in re.finditer(r"([^ ]*)( *)", paragraph):
                word, gap = match[1], bool(match[2])
                if not word and not gap:
                    continue
                parts = [word] if whole or not word else [part for part in INSIDE.split(word) if part]
                for number, part in enumerate(parts):
                    end = number == len(parts) - 1
                    if last is not None:
                        yield last
                    comma = not whole and part.endswith(COMMAS)  # of a list whose items are spans of their own
                    last = _Atom(span, part, gap and end, (gap and end) or not end or comma, context=context)
            ends = index < len(paragraphs) - 1
            if last is None and ends:
                last = _Atom(span, "", False, True, context=context)
            if last is not None:
                last.ends = ends
                last.breaks = last.breaks or ends
                yield last


def _bound(atoms: list[_Atom], whole: bool) -> list[_Atom]:
    """Atoms of which those keep the next that belong with it: a word may be of several atoms, in several spans.

    Between spans without a space a line may end where the script allows it.
    """
    words: list[str] = []
    last: list[_Atom] = []  # of each word the atom the space follows
    held = ""
    for atom in atoms:
        held += atom.text
        if atom.ends or (atom.gap and held):
            words.append("" if atom.ends else held)
            last.append(atom)
            held = ""
    words.append(held)
    for atom, keeps in zip(last, bound(words), strict=False):
        if keeps and not atom.ends:
            atom.breaks = False
    for atom, after in pairwise(atoms):
        if not whole and not atom.gap and atom.span is not after.span and joins(atom.text, after.text):
            atom.breaks = True
    return atoms


def _words(group: Sequence[_Atom]) -> list[list[_Atom]]:
    """A group parted at its spaces; a dot stays with the word before it."""
    parts: list[list[_Atom]] = [[]]
    for index, atom in enumerate(group):
        parts[-1].append(atom)
        rest = group[index + 1 :]
        if atom.gap and rest and rest[0].text != DOT:
            parts.append([])
    return parts


def _groups(atoms: list[_Atom]) -> Iterator[list[_Atom]]:
    held: list[_Atom] = []
    for atom in atoms:
        held.append(atom)
        if atom.breaks:
            yield held
            held = []
    if held:
        yield held


def _ink(fonts: FontSet, group: list[_Atom]) -> float:
    wide = 0.0
    for atom in group:
        wide += sum(run.width for run in fonts.shape(atom.span.face, atom.text, atom.context)) * atom.span.size / 1000
        if atom.gap and atom is not group[-1]:
            wide += _space(fonts, atom.span)
    return wide


def _fitting(fonts: FontSet, atom: _Atom, width: float, room: float) -> Iterator[_Atom]:
    """An atom cut between characters so that each part fits; the first part uses what is left of the line."""
    held, used = "", 0.0
    if (atom.span.face == "mono" or HASH.fullmatch(atom.text)) and room >= width - 0.01:  # hashes break evenly
        total = fonts.width(atom.span.face, atom.span.size, atom.text)
        width = room = min(width, total / max(math.ceil(total / width), 1) + 0.6)
    for cluster in _clusters(atom.text):
        wide = fonts.width(atom.span.face, atom.span.size, cluster)
        while held and used + wide > room - 0.5:  # again, where what is left of it is too wide with this one
            cut = _parted(held)
            yield replace(atom, text=held[:cut], gap=False, ends=False)
            held = held[cut:]
            used, room = fonts.width(atom.span.face, atom.span.size, held), width
        held += cluster
        used += wide
    yield replace(atom, text=held)


def _parted(held: str) -> int:
    """Where to part what fits on a line: after a hyphen or the like in its second half, else at its end."""
    return next((at for at in range(len(held) - 1, len(held) // 2, -1) if held[at - 1] in PARTABLE), len(held))


def _clusters(text: str) -> Iterator[str]:
    held = ""
    for char in text:
        if held and unicodedata.category(char) not in ("Mn", "Me", "Mc") and char != "\u0e33":
            yield held
            held = ""
        held += char
    if held:
        yield held


@dataclass(slots=True)
class Clamped:
    """The first lines of a text; rest: whether lines were left off."""

    lines: tuple[Line, ...]
    rest: bool = field(default=False)


def clamped(fonts: FontSet, spans: Sequence[Span], width: float, pitch: float, most: int) -> Clamped:
    """At most `most` lines; when more were needed the last one kept ends in an ellipsis."""
    lines = lines_of(fonts, spans, width, pitch)
    if len(lines) <= most:
        return Clamped(lines)
    kept = list(lines[:most])
    last = kept[-1].pieces[-1].span if kept[-1].pieces else spans[0]
    mark = replace(last, text="…", link="")
    runs = fonts.shape(mark.face, "…")
    wide = sum(run.width for run in runs) * mark.size / 1000
    pieces = list(kept[-1].pieces)
    cut: Piece | None = None
    while pieces and pieces[-1].x + pieces[-1].width + wide > width:
        cut = pieces.pop()
    if cut is not None and not pieces:  # a single long word: as much of it as there is room for
        pieces = [_shortened(fonts, cut, width - wide)]
    x = pieces[-1].x + pieces[-1].width if pieces else 0.0
    if pieces:
        pieces[-1] = replace(pieces[-1], gap=False)
    pieces.append(Piece(x, wide, runs, mark, False))
    kept[-1] = replace(kept[-1], pieces=tuple(pieces), width=x + wide)
    return Clamped(tuple(kept), True)


def _shortened(fonts: FontSet, piece: Piece, width: float) -> Piece:
    held, used = "", 0.0
    for cluster in _clusters("".join(run.text for run in piece.runs)):
        wide = fonts.width(piece.span.face, piece.span.size, cluster)
        if used + wide > width:
            break
        held, used = held + cluster, used + wide
    runs = fonts.shape(piece.span.face, held)
    return Piece(0.0, sum(run.width for run in runs) * piece.span.size / 1000, runs, piece.span, False)
