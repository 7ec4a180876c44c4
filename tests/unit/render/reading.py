"""Reading a PDF back with pikepdf: what is placed where."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

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


def type_sizes(pdf: pikepdf.Pdf) -> set[float]:
    """Every size text is set in."""
    return {
        float(instruction.operands[1])
        for page in pdf.pages
        for instruction in pikepdf.parse_content_stream(page)
        if str(instruction.operator) == "Tf"
    }


def kids(element: pikepdf.Object) -> list[pikepdf.Object]:
    """Children of a structure element or of the tree's root."""
    held = element.get("/K")
    if held is None:
        return []
    return list(held) if isinstance(held, pikepdf.Array) else [held]


def elements(element: pikepdf.Object) -> Iterator[pikepdf.Object]:
    """Structure elements below, in reading order."""
    for kid in kids(element):
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield kid
            yield from elements(kid)
