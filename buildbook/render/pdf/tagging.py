"""The structure tree as PDF objects (ISO 32000-1, 14.7): elements, parent tree, links as object references."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

import pikepdf
from pikepdf import Array, Dictionary, Name, Pdf, String

from buildbook.render.pdf.pen import Link
from buildbook.render.pdf.structure import Content, LinkMark, Node

Annots = Sequence[tuple[Link, pikepdf.Object | None]]


def write_structure(pdf: Pdf, root: Node, annots: Annots, clean: Callable[[str], str]) -> None:
    """Add StructTreeRoot, ParentTree, StructParents and MarkInfo; elements with nothing in them are left out."""
    tree = pdf.make_indirect(Dictionary(Type=Name.StructTreeRoot))
    # Lists of Python, made arrays once whole: adding to an array of the library copies what it holds.
    pages = [page.obj for page in pdf.pages]
    writer = _Writer(pdf, pages, annots, clean)
    top = writer.element(root, tree)
    tree.K = top if top is not None else Array()
    numbers: list[Any] = []
    for page, obj in enumerate(pages):
        obj.StructParents = page
        held = writer.owners.get(page, {})
        slots = Array([held.get(number) for number in range(max(held, default=-1) + 1)])
        numbers.extend([page, pdf.make_indirect(slots)])
    for key, (number, element) in enumerate(sorted(writer.links.items()), len(pages)):
        annot = annots[number][1]
        assert annot is not None
        annot.StructParent = key
        numbers.extend([key, element])
    tree.ParentTree = pdf.make_indirect(Dictionary(Nums=Array(numbers)))
    tree.ParentTreeNextKey = len(pages) + len(writer.links)
    pdf.Root.StructTreeRoot = tree
    pdf.Root.MarkInfo = Dictionary(Marked=True)  # Suspects, false unless said, stays unsaid: poppler warns of any false


@dataclass(slots=True)
class _Writer:
    """owners: page -> marked-content number -> element; links: number of a link -> element."""

    pdf: Pdf
    pages: Sequence[pikepdf.Object]
    annots: Annots
    clean: Callable[[str], str]
    owners: dict[int, dict[int, pikepdf.Object]] = field(default_factory=dict)
    links: dict[int, pikepdf.Object] = field(default_factory=dict)

    def element(self, node: Node, parent: pikepdf.Object) -> pikepdf.Object | None:
        """An element with all below it, or None where there is nothing."""
        if not _filled(node):
            return None
        made = self.pdf.make_indirect(Dictionary(Type=Name.StructElem, S=Name("/" + node.role), P=parent))
        if node.alt:
            made.Alt = String(self.clean(node.alt))
        attributes = _attributes(node)
        if attributes is not None:
            made.A = attributes
        # Marks on the page that the element names are plain numbers: a document has more of them than of all else.
        page = next((kid.page for kid in node.kids if isinstance(kid, Content)), None)
        if page is not None:
            made.Pg = self.pages[page]
        kids: list[Any] = []
        for kid in node.kids:
            self._kid(kid, page, made, kids)
        made.K = kids[0] if len(kids) == 1 and isinstance(kids[0], int) else Array(kids)
        return made

    def _kid(self, kid: Node | Content | LinkMark, page: int | None, made: pikepdf.Object, kids: list[Any]) -> None:
        if isinstance(kid, Content):
            self.owners.setdefault(kid.page, {})[kid.number] = made
            if kid.page == page:
                kids.append(kid.number)
            else:
                kids.append(Dictionary(Type=Name.MCR, Pg=self.pages[kid.page], MCID=kid.number))
        elif isinstance(kid, LinkMark):
            link, annot = self.annots[kid.number]
            if annot is not None:
                self.links[kid.number] = made
                kids.append(Dictionary(Type=Name.OBJR, Pg=self.pages[link.page], Obj=annot))
        else:
            child = self.element(kid, made)
            if child is not None:
                kids.append(child)


def _attributes(node: Node) -> Dictionary | None:
    """Scope and span of a cell, the box of a figure, the marks of a list (ISO 32000-1, 14.8.5)."""
    if node.area is not None:
        area = node.area
        box = Array([round(value, 2) for value in (area.left, area.low, area.right, area.high)])
        return Dictionary(O=Name.Layout, Placement=Name.Block, BBox=box)
    if node.role == "L":
        return Dictionary(O=Name.List, ListNumbering=Name.Disc)
    if node.scope and node.span > 1:
        return Dictionary(O=Name.Table, Scope=Name("/" + node.scope), ColSpan=node.span)
    if node.scope:
        return Dictionary(O=Name.Table, Scope=Name("/" + node.scope))
    return None


def _filled(node: Node) -> bool:
    if node.role in ("TD", "TH"):  # an empty cell still holds its column
        return True
    return any(not isinstance(kid, Node) or _filled(kid) for kid in node.kids)
