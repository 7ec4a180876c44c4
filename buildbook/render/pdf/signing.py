"""The field for the document's signature: it lies over the block that names who signs, and is filled when it is signed.

What it shows of its own is a frame. The words in it are drawn with the page, in its fonts and its structure, so that
PDF/A and PDF/UA hold for them too; a program that signs need not draw anything.
"""

from __future__ import annotations

from collections.abc import Sequence

import pikepdf
from pikepdf import Array, Dictionary, Name, Pdf, Stream, String

from buildbook.render.pdf.flow import Flow
from buildbook.render.pdf.pen import Link, Pen, num, rgb
from buildbook.render.pdf.structure import Node
from buildbook.render.pdf.style import ACCENT, UNIT

FIELD = "Signature"  # its name, by which it is filled
_PRINTED, _LOCKED = 4, 128
_OUT = 1.5 * UNIT  # how far the frame stands off its words
_LINE = 0.9


class SignatureBlock(Flow):
    """Rows on one page with the field over them."""

    def __init__(self, flows: Sequence[Flow], width: float, says: str, node: Node) -> None:
        self.flows = tuple(flows)
        self.width = width
        self.says = says
        self.node = node
        self.before = max(flows[0].before, 6 * UNIT)

    def height(self) -> float:
        first, *rest = self.flows
        return first.height() + sum(flow.before + flow.height() for flow in rest)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        below = y
        for index, flow in enumerate(self.flows):
            below += flow.before if index else 0.0
            flow.draw(pen, x, below)
            below += flow.height()
        pen.field(x - _OUT, y - _OUT, self.width + 2 * _OUT, self.height() + 2 * _OUT, self.says, self.node)


def field_annotation(pdf: Pdf, link: Link) -> pikepdf.Object:
    """The field, which is its own annotation (ISO 32000-1, 12.7.4.5 and 12.5.6.19), entered in the form."""
    left, low, right, high = (round(value, 2) for value in link.rect)
    wide, tall = right - left, high - low
    inner = f"{num(_LINE / 2)} {num(_LINE / 2)} {num(wide - _LINE)} {num(tall - _LINE)} re S"
    frame = Stream(pdf, f"q {rgb(ACCENT)} RG {num(_LINE)} w {inner} Q".encode("ascii"))
    frame.Type, frame.Subtype = Name.XObject, Name.Form
    frame.BBox = Array([0, 0, round(wide, 2), round(tall, 2)])
    frame.Resources = Dictionary()
    annot = pdf.make_indirect(
        Dictionary(
            Type=Name.Annot,
            Subtype=Name.Widget,
            FT=Name.Sig,
            T=String(FIELD),
            TU=String(link.says),
            Contents=String(link.says),
            Rect=Array([left, low, right, high]),
            F=_PRINTED | _LOCKED,
            P=pdf.pages[link.page].obj,
            AP=Dictionary(N=pdf.make_indirect(frame)),
        )
    )
    signatures_exist, append_only = 1, 2
    form = Dictionary(Fields=Array([annot]), SigFlags=signatures_exist | append_only)
    pdf.Root.AcroForm = pdf.make_indirect(form)
    return annot
