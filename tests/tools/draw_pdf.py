"""A drawing on a page of its own, to look at: `python tests/tools/draw_pdf.py` writes a PDF of every body and chart."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path as File

from reportlab.lib.colors import HexColor
from reportlab.pdfgen.canvas import Canvas

from buildbook.dossier.drawing import Drawing, Label


def put(canvas: Canvas, drawing: Drawing, left: float, top: float) -> None:
    """Draw at left, with the drawing's top at `top` (PDF coordinates)."""
    for item in drawing.items:
        if isinstance(item, Label):
            canvas.setFillColor(HexColor(item.colour))
            canvas.setFont("Helvetica-Bold" if item.bold else "Helvetica", item.size)
            draw = {"start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString}
            draw[item.anchor](left + item.x, top - item.y, item.text)
            continue
        path = canvas.beginPath()
        for name, *v in item.commands:
            p = [left + float(n) if i % 2 == 0 else top - float(n) for i, n in enumerate(v)]
            {"M": path.moveTo, "L": path.lineTo, "C": path.curveTo, "Z": path.close}[name](*p)
        canvas.setLineWidth(item.width)
        canvas.setLineJoin(1)
        canvas.setLineCap(1)
        canvas.setDash(list(item.dash))
        if item.fill:
            canvas.setFillColor(HexColor(item.fill))
        if item.stroke:
            canvas.setStrokeColor(HexColor(item.stroke))
        canvas.drawPath(path, fill=bool(item.fill), stroke=bool(item.stroke))


def sheet(out: File, drawings: Sequence[Drawing]) -> None:
    """A page for each drawing."""
    canvas = Canvas(str(out), invariant=1)
    for drawing in drawings:
        canvas.setPageSize((drawing.width + 40, drawing.height + 40))
        put(canvas, drawing, 20, drawing.height + 20)
        canvas.showPage()
    canvas.save()
