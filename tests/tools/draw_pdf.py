"""A drawing on a page of its own, to look at: `python tests/tools/draw_pdf.py OUT.pdf` draws the plan of every body."""

from __future__ import annotations

import sys
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


def main(out: File) -> None:
    """The plan of every body, empty and as a film map, and the small plan of a step."""
    from decimal import Decimal

    from buildbook.dossier.drawings.film_map import film_map
    from buildbook.dossier.drawings.plan import lit_plan, plan
    from buildbook.records.words import Body
    from buildbook.records.zones import zones_of
    from buildbook.trade.statistics import summarise

    drawings: list[Drawing] = []
    for body in Body:
        panels = [z.name for z in zones_of(body) if z.group == "panel"][:-2]
        values = {name: summarise([Decimal(100 + 7 * n), Decimal(104 + 7 * n)]) for n, name in enumerate(panels)}
        small = lit_plan(body, frozenset(panels[:2]))
        drawings += [plan(body), film_map(body, values, title="example"), *([small] if small else [])]
    sheet(out, drawings)


if __name__ == "__main__":
    main(File(sys.argv[1]))
