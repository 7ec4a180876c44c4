"""Reading a PDF back with pikepdf: what is placed where."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pikepdf


@dataclass(frozen=True)
class PlacedImage:
    """An image on a page: its name, its pixels and its size in points."""

    page: int
    name: str
    pixels: tuple[int, int]
    points: tuple[float, float]


def images(pdf: pikepdf.Pdf) -> Iterator[PlacedImage]:
    """Every image drawn, by the transformation in force when it is drawn."""
    for number, page in enumerate(pdf.pages):
        matrix: list[float] = []
        for instruction in pikepdf.parse_content_stream(page):
            operator = str(instruction.operator)
            if operator == "cm":
                matrix = [float(value) for value in instruction.operands]
            elif operator == "Do":
                name = str(instruction.operands[0])
                image = page.Resources.XObject[name]
                yield PlacedImage(number, name, (int(image.Width), int(image.Height)), (matrix[0], matrix[3]))


def level_b_faults(path: Path) -> list[str]:
    """What pikepdf's validator finds against PDF/A-3b; what it did not check counts.

    It knows level B alone and refuses the description of another standard's claim in the metadata, so it is shown the
    file with these lines of the metadata packet taken out and the level said as B, and nothing else changed.
    """
    from pikepdf import pdfa

    with pikepdf.open(path) as pdf:
        packet = pdf.Root.Metadata.read_bytes()
        held, told = re.subn(rb"(?s)  <rdf:Description rdf:about=\"\"\s+xmlns:pdfaExtension.*?</rdf:Description>\n", b"", packet)
        held, ua = re.subn(rb"\s+<pdfuaid:part>1</pdfuaid:part>|\s+xmlns:pdfuaid=\"[^\"]*\"", b"", held)
        held, level = re.subn(rb"conformance>A<", b"conformance>B<", held)
        assert (told, ua, level) == (1, 2, 1), "the metadata claims something else"
        pdf.Root.Metadata.write(held)
        shown = path.with_name(f".{path.name}.level-b")
        pdf.save(
            shown, object_stream_mode=pikepdf.ObjectStreamMode.generate, deterministic_id=True, force_version="1.7",
            fix_metadata_version=False,
        )  # fmt: skip
    try:
        report = pdfa.validate_written(shown, "3b")
        return [] if report.verdict == "pass" else [report.summary()]
    finally:
        shown.unlink()


def type_sizes(pdf: pikepdf.Pdf) -> set[float]:
    """Every size text is set in."""
    return {
        float(instruction.operands[1])
        for page in pdf.pages
        for instruction in pikepdf.parse_content_stream(page)
        if str(instruction.operator) == "Tf"
    }


def kids(element: pikepdf.Object) -> list[pikepdf.Object]:
    """Children of a structure element or of the tree's root; a plain number is a mark on the element's own page (ISO
    32000-1, 14.7.4.2) and comes as the reference it stands for."""
    held = element.get("/K")
    if held is None:
        return []
    found = list(held) if isinstance(held, pikepdf.Array) else [held]
    return [
        pikepdf.Dictionary(Type=pikepdf.Name.MCR, Pg=element.Pg, MCID=kid) if isinstance(kid, int) else kid
        for kid in found
    ]


def elements(element: pikepdf.Object) -> Iterator[pikepdf.Object]:
    """Structure elements below, in reading order."""
    for kid in kids(element):
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield kid
            yield from elements(kid)
