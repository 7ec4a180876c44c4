"""Dossiers at the edge: nothing in them, or far too much of one thing."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pikepdf
import pypdf
import pytest
from PIL import Image
from unit.render import sample
from unit.render.reading import level_b_faults

from buildbook.dossier.drawing import Drawing
from buildbook.dossier.model import (
    Block,
    Column,
    Cover,
    Dossier,
    Figure,
    Heading,
    KeyValues,
    NewPage,
    Paragraph,
    PictureGrid,
    Section,
    Table,
    TableRow,
    Together,
    text,
)
from buildbook.errors import BuildbookError
from buildbook.render.pdf import render_pdf

Rendition = Callable[[str, str], Path]


def draw(tmp_path: Path, renditions: Rendition, *blocks: Block, cover: Cover | None = None) -> list[str]:
    """The text of each page of a dossier with one section of these blocks."""
    dossier = with_blocks(*blocks)
    if cover is not None:
        dossier = replace(dossier, cover=cover)
    out = tmp_path / "out.pdf"
    render_pdf(dossier, renditions, [], out)
    return [page.extract_text() for page in pypdf.PdfReader(out).pages]


def with_blocks(*blocks: Block) -> Dossier:
    """The sample with one section."""
    section = Section(anchor="only", number="1", title="Only section", blocks=tuple(blocks))
    return replace(sample.sample(), sections=(section,))


def test_nothing_at_all(tmp_path: Path, renditions: Rendition) -> None:
    cover = Cover(vehicle="", subtitle="", facts=(), workshop="", workshop_address="")
    dossier = replace(sample.sample(), sections=(), cover=cover, title="", author="", subject="", language="")
    out = tmp_path / "out.pdf"
    render_pdf(dossier, renditions, [], out)
    assert len(pypdf.PdfReader(out).pages) == 2  # cover and an empty table of contents
    assert level_b_faults(out) == []


def test_blocks_without_anything_in_them(tmp_path: Path, renditions: Rendition) -> None:
    pages = draw(
        tmp_path,
        renditions,
        Paragraph(text=()),
        KeyValues(rows=()),
        PictureGrid(pictures=()),
        Together(blocks=()),
        Table(columns=(), rows=(), caption=""),
        Table(columns=(Column(title=""),), rows=(TableRow(cells=()), TableRow(cells=(), group=True)), caption=""),
        Figure(drawing=Drawing(width=0, height=0, items=(), alt="nothing"), caption=()),
        NewPage(),
        Paragraph(text=text("after all")),
    )
    assert "after all" in pages[-1]


def test_a_cover_with_far_too_much_text_runs_on(tmp_path: Path, renditions: Rendition) -> None:
    cover = replace(
        sample.sample().cover,
        vehicle="Longname " * 300,
        statement="said " * 900,
        facts=tuple((f"label {n}", f"value {n}") for n in range(90)),
    )
    pages = draw(tmp_path, renditions, Paragraph(text=text("body")), cover=cover)
    whole = "".join(pages)
    assert whole.count("Longname") == 300
    assert whole.count("said") == 900
    assert all(f"value {n}" in whole for n in range(90))
    assert "Werkhof Ostermann" in whole


@pytest.mark.parametrize("across", [2, 25])
def test_a_table_with_cells_of_a_thousand_words(tmp_path: Path, renditions: Rendition, across: int) -> None:
    columns = tuple(Column(title=f"Column{n}", nowrap=n % 2 == 0) for n in range(across))
    cells = tuple(text("word " * 1000) if n < 2 else text(f"c{n}") for n in range(across))
    pages = draw(tmp_path, renditions, Table(columns=columns, rows=(TableRow(cells=cells),), caption="Wide"))
    assert "".join("".join(pages).split()).count("word") == 2000 or across > 2  # narrow columns break inside words
    assert "".join("".join(pages).split()).count("w") >= 2000


def test_short_sections_share_a_page_and_long_ones_open_their_own(tmp_path: Path, renditions: Rendition) -> None:
    def section(name: str, lines: int) -> Section:
        return Section(
            anchor=name, number="", title=f"Title {name}", blocks=(Paragraph(text=text("line\n" * lines)),)
        )  # fmt: skip

    dossier = replace(sample.sample(), sections=(section("a", 14), section("b", 8), section("c", 45), section("d", 2)))
    out = tmp_path / "out.pdf"
    render_pdf(dossier, renditions, [], out)
    pages = [page.extract_text() for page in pypdf.PdfReader(out).pages]
    homes = {name: next(n for n, page in enumerate(pages[2:]) if f"Title {name}" in page) for name in "abcd"}
    assert homes["a"] == homes["b"] == 0
    assert homes["c"] == 1


def test_headings_alone_do_not_hang_the_page_maker(tmp_path: Path, renditions: Rendition) -> None:
    headings = tuple(Heading(level=2, text=f"Heading {n}", anchor=f"h{n}") for n in range(120))
    whole = "".join(draw(tmp_path, renditions, *headings))
    assert all(f"Heading {n}" in whole for n in range(120))


def test_together_larger_than_a_page_is_parted(tmp_path: Path, renditions: Rendition) -> None:
    blocks = tuple(Paragraph(text=text(f"paragraph {n} " * 40)) for n in range(40))
    pages = draw(tmp_path, renditions, Together(blocks=blocks))
    assert len(pages) > 4
    assert "".join("".join(pages).split()).count("paragraph39") == 40


def test_importing_the_renderer_loads_no_drawing_library() -> None:
    """Commands that draw nothing start fast."""
    script = "import sys, buildbook.render.pdf; print([m for m in ('reportlab', 'pikepdf', 'uharfbuzz') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", script], check=True, capture_output=True, text=True)
    assert done.stdout.strip() == "[]"


def test_grey_and_progressive_renditions(tmp_path: Path, renditions: Rendition) -> None:
    grey = tmp_path / "grey.jpg"
    with Image.open(renditions(sample.asset(1), "print")) as image:
        image.convert("L").save(grey, progressive=True)
    out = tmp_path / "out.pdf"
    render_pdf(with_blocks(sample.picture(1)), lambda asset, edge: grey, [], out)
    assert level_b_faults(out) == []
    with pikepdf.open(out) as pdf:
        held, *_ = [o for o in pdf.objects if isinstance(o, pikepdf.Stream) and o.get("/ColorSpace") == "/DeviceGray"]
        assert pikepdf.PdfImage(held).as_pil_image().mode == "L"


def test_a_rendition_in_print_colours_is_refused(tmp_path: Path, renditions: Rendition) -> None:
    """CMYK would break the sRGB output intent."""
    cmyk = tmp_path / "cmyk.jpg"
    with Image.open(renditions(sample.asset(1), "print")) as image:
        image.convert("CMYK").save(cmyk)
    with pytest.raises(BuildbookError, match="neither RGB nor grey"):
        render_pdf(with_blocks(sample.picture(1)), lambda asset, edge: cmyk, [], tmp_path / "out.pdf")
