"""Checks of a tagged PDF after ISO 14289-1 and ISO 32000-1, 14.6 to 14.8, each a function that yields what is wrong.

Where a condition of the Matterhorn Protocol 1.1 (PDF Association) says the same, its number stands beside it; these
numbers are from memory. An independent validator judges the same files in tests/outside/test_pdf_ua.py.
"""

from __future__ import annotations

from collections import Counter as Count
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pikepdf
from pikepdf import Array, Dictionary, Pdf
from unit.render.reading import elements, kids

Faults = Iterator[str]
Check = Callable[[Pdf], Faults]

# Standard structure types (ISO 32000-1, 14.8.4) and where the renderer may put them: type -> types of its parent.
_GROUPS = {"Document", "Sect", "Div"}
_PARENTS: dict[str, set[str]] = {
    "Document": {"StructTreeRoot"}, "Sect": {"Document"}, "Div": _GROUPS, "P": _GROUPS, "Figure": _GROUPS,
    "Caption": {"Div", "Table", "TOC"}, "TOC": {"Sect", "TOCI"}, "TOCI": {"TOC"}, "Reference": {"TOCI"},
    "Lbl": {"TOCI", "LI"}, "L": _GROUPS, "LI": {"L"}, "LBody": {"LI"}, "Table": _GROUPS, "TR": {"Table"}, "TH": {"TR"},
    "TD": {"TR"}, "Code": {"P"}, "Form": _GROUPS,
    "Link": {"P", "Caption", "Reference", "LBody", "TH", "TD", "H1", "H2", "H3"},
    "H1": {"Sect"}, "H2": {"Sect"}, "H3": {"Sect"},
}  # fmt: skip
_PAINTS = {"TJ", "Tj", "'", '"', "f", "F", "f*", "S", "s", "B", "B*", "b", "b*", "Do", "sh", "EI"}


@dataclass(frozen=True)
class Mark:
    """A marked-content sequence with a number: where its first ink is (None for pictures and shapes), its tag."""

    number: int
    tag: str
    x: float | None
    y: float | None


def role(element: pikepdf.Object) -> str:
    return str(element.get("/S", element.get("/Type")))[1:]


def marks(page: pikepdf.Page) -> tuple[list[Mark], list[str]]:
    """The numbered marks of a page in drawing order, and what is wrong with the marking (01-003, 01-004, 01-005)."""
    found: list[Mark] = []
    wrong: list[str] = []
    open_: list[str] = []
    for instruction in pikepdf.parse_content_stream(page):
        operator = str(instruction.operator)
        if operator in ("BDC", "BMC"):
            tag = str(instruction.operands[0])
            numbered = operator == "BDC" and "/MCID" in instruction.operands[1]
            if (numbered or tag == "/Artifact") and any(one != "/Span" for one in open_):
                wrong.append(f"{tag} inside {open_}")
            if tag == "/Artifact" and (
                operator == "BMC" or str(instruction.operands[1].get("/Type")) not in ("/Layout", "/Pagination")
            ):
                wrong.append("an artifact of no type")
            if numbered:
                found.append(Mark(int(instruction.operands[1].MCID), tag[1:], None, None))
            open_.append(tag)
        elif operator == "EMC":
            open_.pop()
        elif operator == "Tm" and found and found[-1].x is None and open_ and open_[0] != "/Artifact":
            x, y = (float(value) for value in instruction.operands[4:6])
            found[-1] = Mark(found[-1].number, found[-1].tag, x, y)
        elif operator in _PAINTS and not open_:
            wrong.append(f"{operator} outside structure and artifacts")
    if open_:
        wrong.append("marked content left open")
    return found, wrong


def references(pdf: Pdf) -> list[tuple[int, int, pikepdf.Object]]:
    """Every marked content the tree names, in reading order: page, number, element."""
    pages = {page.obj.objgen: number for number, page in enumerate(pdf.pages)}
    found = []

    def walk(element: pikepdf.Object) -> None:
        for kid in kids(element):
            if isinstance(kid, Dictionary) and kid.get("/Type") == "/MCR":
                found.append((pages[kid.Pg.objgen], int(kid.MCID), element))
            elif isinstance(kid, Dictionary) and "/S" in kid:
                walk(kid)

    walk(pdf.Root.StructTreeRoot)
    return found


def content_is_marked(pdf: Pdf) -> Faults:
    """Everything painted is in the structure or an artifact, never both (01-003, 01-004, 01-005)."""
    for number, page in enumerate(pdf.pages):
        for wrong in marks(page)[1]:
            yield f"page {number + 1}: {wrong}"


def marks_are_reached_once(pdf: Pdf) -> Faults:
    """The tree names each mark of each page once, and no other (ISO 32000-1, 14.7.4)."""
    named = Count((page, number) for page, number, _ in references(pdf))
    drawn = Count((page, mark.number) for page, one in enumerate(pdf.pages) for mark in marks(one)[0])
    for where, times in (named - drawn).items():
        yield f"page {where[0] + 1}: mark {where[1]} is named {times} times more than drawn"
    for where, _ in (drawn - named).items():
        yield f"page {where[0] + 1}: mark {where[1]} is not in the tree"


def tags_agree(pdf: Pdf) -> Faults:
    """A mark's tag is its element's type."""
    tags = {(page, mark.number): mark.tag for page, one in enumerate(pdf.pages) for mark in marks(one)[0]}
    for page, number, element in references(pdf):
        if tags.get((page, number)) != role(element):
            yield f"page {page + 1}: mark {number} is drawn as {tags.get((page, number))}, listed as {role(element)}"


def reads_as_laid_out(pdf: Pdf) -> Faults:
    """In reading order a page is read downwards: text that begins higher than the text before it stands to its right
    (the next cell, column or picture). What is inside a figure is read as its alternative text (09-001).
    """
    seen: dict[int, tuple[float, float]] = {}
    places = {(page, mark.number): mark for page, one in enumerate(pdf.pages) for mark in marks(one)[0]}
    for page, number, element in references(pdf):
        mark = places.get((page, number))
        if mark is None or mark.x is None or mark.y is None or role(element) == "Figure":
            continue
        x, y = seen.get(page, (-1.0, 1e9))
        if mark.y > y + 1.0 and mark.x < x + 1.0:
            yield f"page {page + 1}: mark {number} at {mark.x:.0f}, {mark.y:.0f} is read after {x:.0f}, {y:.0f}"
        seen[page] = (mark.x, mark.y)


def types_are_standard(pdf: Pdf) -> Faults:
    """Every type is a standard one in a place it may have, and none is mapped anew (02-001, 02-004, 09-004 to 09-006)."""
    for name in pdf.Root.StructTreeRoot.get("/RoleMap", {}):
        yield f"{name} is mapped"
    for element in elements(pdf.Root.StructTreeRoot):
        kind, above = role(element), role(element.P)
        if kind not in _PARENTS:
            yield f"{kind} is no standard type"
        elif above not in _PARENTS[kind]:
            yield f"{kind} inside {above}"


def parents_are_right(pdf: Pdf) -> Faults:
    """Each element's P is the element that lists it."""
    for element in [pdf.Root.StructTreeRoot, *elements(pdf.Root.StructTreeRoot)]:
        for kid in kids(element):
            if isinstance(kid, Dictionary) and "/S" in kid and kid.P.objgen != element.objgen:
                yield f"{role(kid)} says its parent is {role(kid.P)}, but {role(element)} lists it"


def captions_stand_at_an_end(pdf: Pdf) -> Faults:
    """A caption is the first or last of what it belongs to, of a table or contents the first, and one only."""
    for element in elements(pdf.Root.StructTreeRoot):
        inside = [role(kid) for kid in kids(element) if isinstance(kid, Dictionary) and "/S" in kid]
        if inside.count("Caption") > 1:
            yield f"{role(element)} has {inside.count('Caption')} captions"
        elif "Caption" in inside and "Caption" not in (inside[0], inside[-1]):
            yield f"a caption amid {role(element)}"


def headings_nest(pdf: Pdf) -> Faults:
    """The first heading is of level 1, and none skips a level (14-002, 14-003)."""
    depth = 0
    for element in elements(pdf.Root.StructTreeRoot):
        kind = role(element)
        if kind in ("H1", "H2", "H3", "H4", "H5", "H6"):
            if int(kind[1]) > depth + 1:
                yield f"{kind} after H{depth}" if depth else f"the first heading is {kind}"
            depth = int(kind[1])


def figures_say_what_they_show(pdf: Pdf) -> Faults:
    """Each figure has alternative text (13-004) and a box within its page (ISO 32000-1, 14.8.5.4.3)."""
    for element in elements(pdf.Root.StructTreeRoot):
        if role(element) != "Figure":
            continue
        name = str(element.get("/Alt", ""))
        if not name.strip():
            yield "a figure without alternative text"
        pages = [kid.Pg for kid in kids(element) if isinstance(kid, Dictionary) and kid.get("/Type") == "/MCR"]
        layout = element.get("/A", Dictionary())
        if "/BBox" not in layout or layout.get("/O") != "/Layout":
            yield f"figure {name!r} without a box"
            continue
        if len({page.objgen for page in pages}) != 1:
            yield f"figure {name!r} on {len(pages)} pages"
            continue
        left, low, right, high = (float(value) for value in layout.BBox)
        _, _, wide, tall = (float(value) for value in pages[0].MediaBox)
        if not (0 <= left < right <= wide + 0.01 and 0 <= low < high <= tall + 0.01):
            yield f"figure {name!r}: box {left, low, right, high} not within {wide, tall}"


def tables_are_regular(pdf: Pdf) -> Faults:
    """Each table has header cells, each with a scope (15-003), and rows of one number of columns (ISO 14289-1, 7.5)."""
    for element in elements(pdf.Root.StructTreeRoot):
        if role(element) != "Table":
            continue
        rows = [kid for kid in kids(element) if role(kid) == "TR"]
        cells = [cell for row in rows for cell in kids(row)]
        heads = [cell for cell in cells if role(cell) == "TH"]
        if not heads:
            yield "a table without header cells"
        for head in heads:
            if str(head.get("/A", Dictionary()).get("/Scope")) not in ("/Column", "/Row", "/Both"):
                yield "a header cell without scope"
        widths = {sum(int(cell.get("/A", Dictionary()).get("/ColSpan", 1)) for cell in kids(row)) for row in rows}
        if len(widths) != 1:
            yield f"a table with rows of {sorted(widths)} columns"


def lists_are_whole(pdf: Pdf) -> Faults:
    """Each entry of a list has its body, and its mark is announced (ISO 14289-1, 7.6)."""
    for element in elements(pdf.Root.StructTreeRoot):
        if role(element) == "LI" and [role(kid) for kid in kids(element)] != ["Lbl", "LBody"]:
            yield "a list entry that is not label and body"
        if role(element) == "L" and str(element.get("/A", Dictionary()).get("/ListNumbering")) == "None":
            yield "a list that does not say how it is marked"


def annotations_are_tagged(pdf: Pdf) -> Faults:
    """Each link is in a Link, each field in a Form; both say what they are; pages with any are tabbed by structure
    (28-002, 28-004, 28-005, 28-008 to 28-012).
    """
    tree = parent_tree(pdf)
    for number, page in enumerate(pdf.pages):
        annots = list(page.get("/Annots", []))
        if annots and page.obj.get("/Tabs") != "/S":
            yield f"page {number + 1}: not tabbed by structure"
        for annot in annots:
            wanted, said = {"/Link": ("Link", "/Contents"), "/Widget": ("Form", "/TU")}[str(annot.Subtype)]
            owner = tree.get(int(annot.get("/StructParent", -1)))
            if owner is None or role(owner) != wanted:
                yield f"page {number + 1}: {annot.Subtype} not inside {wanted}"
            elif not any(
                isinstance(k, Dictionary) and "/Obj" in k and k.Obj.objgen == annot.objgen for k in kids(owner)
            ):
                yield f"page {number + 1}: {wanted} does not name its annotation"
            if not str(annot.get(said, "")).strip():
                yield f"page {number + 1}: {annot.Subtype} says nothing"
            if int(annot.get("/F", 0)) & 0b10111 != 0b100:
                yield f"page {number + 1}: {annot.Subtype} is hidden or not printed"


def parent_tree(pdf: Pdf) -> dict[int, pikepdf.Object]:
    flat = list(pdf.Root.StructTreeRoot.ParentTree.Nums)
    return {int(flat[at]): flat[at + 1] for at in range(0, len(flat), 2)}


def parent_tree_leads_back(pdf: Pdf) -> Faults:
    """StructParents and ParentTree agree both ways (ISO 32000-1, 14.7.4.4)."""
    tree = parent_tree(pdf)
    if list(tree) != sorted(tree) or int(pdf.Root.StructTreeRoot.ParentTreeNextKey) <= max(tree, default=-1):
        yield "the parent tree is not in order"
    owners = {(page, number): element.objgen for page, number, element in references(pdf)}
    used: set[int] = set()
    for number, page in enumerate(pdf.pages):
        key = int(page.obj.get("/StructParents", -1))
        used.add(key)
        slots = tree.get(key)
        held = list(slots) if isinstance(slots, Array) else []
        for mark, element in enumerate(held):
            if element is not None and owners.get((number, mark)) != element.objgen:
                yield f"page {number + 1}: mark {mark} belongs to another element"
        for page_number, mark in owners:
            if page_number == number and mark >= len(held):
                yield f"page {number + 1}: mark {mark} is not in the parent tree"
        used.update(int(annot.StructParent) for annot in page.get("/Annots", []) if "/StructParent" in annot)
    if used != set(tree):
        yield f"the parent tree has {sorted(set(tree) ^ used)[:5]} that nothing points at, or lacks them"


def document_says_what_it_is(pdf: Pdf) -> Faults:
    """Tagged, not suspect, a language, a title in the window, page labels, an outline (06-003, 07-001, 07-002, 11-006)."""
    root = pdf.Root
    if not bool(root.get("/MarkInfo", Dictionary()).get("/Marked", False)):
        yield "not marked as tagged"
    if bool(root.get("/MarkInfo", Dictionary()).get("/Suspects", False)):
        yield "marked as suspect"
    if not str(root.get("/Lang", "")).strip():
        yield "no language"
    if not bool(root.get("/ViewerPreferences", Dictionary()).get("/DisplayDocTitle", False)):
        yield "the title is not shown"
    if "/PageLabels" not in root:
        yield "no page labels"
    with pdf.open_outline() as outline:
        if not outline.root:
            yield "no outline"
    with pdf.open_metadata() as meta:
        if not meta.get("dc:title"):
            yield "no title in the metadata"
        claims = [meta.get("{http://www.aiim.org/pdfa/ns/id/}part"), meta.get("{http://www.aiim.org/pdfa/ns/id/}conformance"),
                  meta.get("{http://www.aiim.org/pdfua/ns/id/}part")]  # fmt: skip
        if claims != ["3", "A", "1"]:
            yield f"claims {claims}"


def attachments_are_described(pdf: Pdf) -> Faults:
    """Each attached file has both names, a description, a type and a relationship, and is listed (21-001; ISO 19005-3, 6.8)."""
    listed = {one.objgen for one in pdf.Root.get("/AF", [])}
    names = pdf.Root.get("/Names", Dictionary()).get("/EmbeddedFiles", Dictionary()).get("/Names", [])
    for spec in list(names)[1::2]:
        for key in ("/F", "/UF", "/Desc", "/AFRelationship"):
            if not str(spec.get(key, "")).strip("/"):
                yield f"an attachment without {key}"
        if spec.objgen not in listed:
            yield "an attachment that is not listed"
        if "/Subtype" not in spec.EF.F:
            yield "an attachment of no type"


def text_can_be_read_out(pdf: Pdf) -> Faults:
    """Each font maps its codes to Unicode (31-027)."""
    for one in pdf.objects:
        if isinstance(one, Dictionary) and one.get("/Type") == "/Font" and "/ToUnicode" not in one:
            yield f"{one.get('/BaseFont')} has no ToUnicode"


CHECKS: tuple[Check, ...] = (
    content_is_marked, marks_are_reached_once, tags_agree, reads_as_laid_out, types_are_standard, parents_are_right,
    captions_stand_at_an_end, headings_nest, figures_say_what_they_show, tables_are_regular, lists_are_whole,
    annotations_are_tagged, parent_tree_leads_back, document_says_what_it_is, attachments_are_described,
    text_can_be_read_out,
)  # fmt: skip
