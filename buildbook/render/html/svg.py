"""Drawings and the QR code as what an SVG template needs: numbers written out, shapes that are links told apart."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from buildbook.dossier.drawing import Drawing, Label, Path
from buildbook.render.qr import dark_runs

_LEAST_STROKE = 0.35
_WORTH = 48  # characters; a shorter outline is written out each time


@dataclass(frozen=True, slots=True)
class Shape:
    """A path of a drawing. target: anchor it leads to, "" for none. first: no shape before leads there too."""

    d: str
    fill: str
    stroke: str
    width: str
    dash: str
    title: str
    target: str
    first: bool
    use: str  # id of the same outline among the shared ones, "" where it is drawn once


@dataclass(frozen=True, slots=True)
class Words:
    """A line of text of a drawing."""

    x: str
    y: str
    size: str
    text: str
    colour: str
    anchor: str
    bold: bool


@dataclass(frozen=True, slots=True)
class Image:
    """A drawing, or a code, ready to be written as SVG."""

    width: str
    height: str
    alt: str
    shapes: tuple[Shape, ...]
    words: tuple[Words, ...]
    marks: bool  # whether any shape has a value to tell


def num(value: float) -> str:
    """A coordinate with two decimals at most."""
    return f"{value:.2f}".rstrip("0").rstrip(".") or "0"


def shared_outlines(drawings: Iterable[Drawing]) -> dict[str, str]:
    """Outlines that several drawings repeat (the small plan stands with each step), by a short id."""
    counts = Counter(outline(i) for d in drawings for i in d.items if isinstance(i, Path))
    repeated = [d for d, n in counts.items() if n > 1 and len(d) > _WORTH]
    return {d: f"o{number}" for number, d in enumerate(repeated, 1)}


def image(drawing: Drawing, anchors: Collection[str], shared: Mapping[str, str]) -> Image:
    """anchors: places of the page; a link that leads to none of them is left out."""
    shapes: list[Shape] = []
    seen: set[str] = set()
    for item in drawing.items:
        if isinstance(item, Path):
            target = item.link if item.link in anchors else ""
            shapes.append(_shape(item, target, target not in seen, shared))
            seen.add(target)
    words = tuple(
        Words(num(i.x), num(i.y), num(i.size), i.text, i.colour, i.anchor, i.bold)
        for i in drawing.items
        if isinstance(i, Label)
    )
    marks = any(shape.title for shape in shapes)
    return Image(num(drawing.width), num(drawing.height), drawing.alt, tuple(shapes), words, marks)


def outline(path: Path) -> str:
    """The commands as SVG 1.1 writes them."""
    return "".join(str(name) + " ".join(num(float(value)) for value in values) for name, *values in path.commands)


def _shape(path: Path, target: str, first: bool, shared: Mapping[str, str]) -> Shape:
    d = outline(path)
    return Shape(
        use=shared.get(d, ""),
        d=d,
        fill=path.fill or "none",
        stroke=path.stroke or "none",
        width=num(max(path.width, _LEAST_STROKE)) if path.stroke else "",
        dash=" ".join(num(part) for part in path.dash),
        title=path.title,
        target=target,
        first=first,
    )


@dataclass(frozen=True, slots=True)
class Code:
    """A QR code (ISO/IEC 18004): modules to a side with the quiet zone, and its dark runs as one path."""

    side: int
    d: str


def qr_code(payload: str) -> Code:
    rows = dark_runs(payload, border=4)
    d = "".join(f"M{x} {y}h{run}v1h-{run}z" for y, row in enumerate(rows) for x, run in row)
    return Code(len(rows), d)
