"""The structure tree, walked as a reader for the blind would walk it (ISO 32000-1, 14.7 and 14.8; ISO 14289-1)."""

from __future__ import annotations

from collections import Counter as Count
from pathlib import Path

import pikepdf
import pytest
from unit.render.reading import elements, kids

# Standard structure types of ISO 32000-1, 14.8.4, that the renderer uses.
_STANDARD = {
    "Document", "Sect", "Div", "Caption", "TOC", "TOCI", "P", "H1", "H2", "H3", "L", "LI", "Lbl", "LBody", "Table", "TR",
    "TH", "TD", "Link", "Figure", "Code",
}  # fmt: skip


def content(page: pikepdf.Page) -> tuple[list[int], int]:
    """Marked-content numbers of a page in drawing order, and how much is drawn outside any mark."""
    numbers: list[int] = []
    depth = stray = 0
    for instruction in pikepdf.parse_content_stream(page):
        operator = str(instruction.operator)
        if operator in ("BDC", "BMC"):
            depth += 1
            if operator == "BDC" and "/MCID" in instruction.operands[1]:
                assert depth == 1, "content marked inside content"
                numbers.append(int(instruction.operands[1].MCID))
            if str(instruction.operands[0]) == "/Artifact":
                assert depth == 1, "an artifact inside content"
        elif operator == "EMC":
            depth -= 1
        elif operator in ("TJ", "Tj", "f", "S", "B", "Do") and depth == 0:
            stray += 1
    assert depth == 0
    return numbers, stray


@pytest.mark.parametrize("which", ["rendered", "draft", "awkward"])
def test_every_mark_is_reached_once(which: str, request: pytest.FixtureRequest) -> None:
    with pikepdf.open(request.getfixturevalue(which)) as pdf:
        pages = {page.obj.objgen: number for number, page in enumerate(pdf.pages)}
        reached: Count[tuple[int, int]] = Count()
        order: list[tuple[int, int]] = []
        for element in elements(pdf.Root.StructTreeRoot):
            for kid in kids(element):
                if isinstance(kid, pikepdf.Dictionary) and kid.get("/Type") == "/MCR":
                    where = (pages[kid.Pg.objgen], int(kid.MCID))
                    reached[where] += 1
                    order.append(where)
        drawn: set[tuple[int, int]] = set()
        for number, page in enumerate(pdf.pages):
            numbers, stray = content(page)
            assert stray == 0, f"page {number + 1} draws outside structure and artifacts"
            assert numbers == list(range(len(numbers)))
            drawn |= {(number, mark) for mark in numbers}
        assert set(reached.values()) == {1}
        assert set(reached) == drawn


def test_parent_tree_leads_back(rendered: Path) -> None:
    with pikepdf.open(rendered) as pdf:
        flat = list(pdf.Root.StructTreeRoot.ParentTree.Nums)
        tree = {int(flat[at]): flat[at + 1] for at in range(0, len(flat), 2)}
        for page in pdf.pages:
            slots = tree[int(page.obj.StructParents)]
            for number, element in enumerate(slots):
                assert any(
                    isinstance(kid, pikepdf.Dictionary)
                    and kid.get("/Type") == "/MCR"
                    and int(kid.MCID) == number
                    and kid.Pg.objgen == page.obj.objgen
                    for kid in kids(element)
                )
            for link in page.get("/Annots", []):
                element = tree[int(link.StructParent)]
                assert element.S == "/Link"
                assert any(kid.get("/Obj") is not None and kid.Obj.objgen == link.objgen for kid in kids(element)
                           if isinstance(kid, pikepdf.Dictionary))  # fmt: skip


@pytest.mark.parametrize("which", ["rendered", "awkward"])
def test_roles_headings_figures_and_tables(which: str, request: pytest.FixtureRequest) -> None:
    with pikepdf.open(request.getfixturevalue(which)) as pdf:
        depth = 0
        tables = figures = 0
        for element in elements(pdf.Root.StructTreeRoot):
            role = str(element.S)[1:]
            assert role in _STANDARD
            if role in ("H1", "H2", "H3"):
                assert int(role[1]) <= depth + 1, "a level of heading is skipped"
                depth = int(role[1])
            if role == "Figure":
                figures += 1
                assert str(element.Alt).strip()
            if role == "Table":
                tables += 1
                inner = [str(one.S) for one in elements(element)]
                assert "/TH" in inner
                for one in elements(element):
                    if one.S == "/TH":
                        assert str(one.A.Scope) in ("/Column", "/Row")
        assert tables >= 6
        assert figures >= 20


def test_rows_of_a_table_are_of_one_length(rendered: Path) -> None:
    with pikepdf.open(rendered) as pdf:
        for element in elements(pdf.Root.StructTreeRoot):
            if element.S != "/Table":
                continue
            lengths = set()
            for row in kids(element):
                if row.get("/S") == "/TR":
                    spans = [int(cell.A.get("/ColSpan", 1)) if "/A" in cell else 1 for cell in kids(row)]
                    lengths.add(sum(spans))
            assert len(lengths) == 1


def test_a_table_over_pages_is_one_table_and_its_repeated_header_an_artifact(rendered: Path) -> None:
    with pikepdf.open(rendered) as pdf:
        captions = [
            element
            for element in elements(pdf.Root.StructTreeRoot)
            if element.S == "/Table" and len([row for row in kids(element) if row.get("/S") == "/TR"]) > 50
        ]
        assert len(captions) == 1  # the register of 48 lines with its group rows and header


def test_document_says_it_is_tagged_and_in_which_language(rendered: Path) -> None:
    with pikepdf.open(rendered) as pdf:
        assert bool(pdf.Root.MarkInfo.Marked) is True
        assert bool(pdf.Root.ViewerPreferences.DisplayDocTitle) is True
        assert str(pdf.Root.Lang) == "en"
        assert all(page.obj.Tabs == "/S" for page in pdf.pages)
