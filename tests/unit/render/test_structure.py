"""The structure tree, walked as a reader for the blind would walk it (ISO 32000-1, 14.7 and 14.8; ISO 14289-1), and
each check shown to fail on a file with that one fault.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name, Pdf, String
from unit.render import accessible
from unit.render.accessible import CHECKS, Check, role
from unit.render.reading import elements, kids


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.__name__)
@pytest.mark.parametrize("which", ["rendered", "draft", "awkward"])
def test_accessible(which: str, check: Check, request: pytest.FixtureRequest) -> None:
    with pikepdf.open(request.getfixturevalue(which)) as pdf:
        assert list(check(pdf)) == []


def _first(pdf: Pdf, kind: str, holds: str = "") -> pikepdf.Object:
    for element in elements(pdf.Root.StructTreeRoot):
        if role(element) == kind and (not holds or holds in element):
            return element
    raise LookupError(kind)


def _content(pdf: Pdf, old: bytes, new: bytes) -> None:
    """The first page whose content has `old` gets `new` in its place, once."""
    for page in pdf.pages:
        code = page.Contents.read_bytes()
        if re.search(old, code):
            page.Contents = pdf.make_stream(re.sub(old, new, code, count=1))
            return
    raise LookupError(old)


def _swap_marks(pdf: Pdf) -> None:
    """Two paragraphs of one page change places in the tree: what is drawn stays."""
    for group in (one for one in elements(pdf.Root.StructTreeRoot) if role(one) == "Sect"):
        plain = [at for at, kid in enumerate(kids(group)) if role(kid) == "P" and all("/MCID" in k for k in kids(kid))]
        for before, after in pairwise(plain):
            one, two = group.K[before], group.K[after]
            if after == before + 1 and kids(one)[0].Pg.objgen == kids(two)[-1].Pg.objgen and len(group.K) > 6:
                group.K[before], group.K[after] = two, one
                return
    raise LookupError("two paragraphs")


def _drop_from_tree(pdf: Pdf) -> None:
    group = _first(pdf, "Sect")
    del group.K[0]


def _twice(pdf: Pdf) -> None:
    element = _first(pdf, "P")
    element.K = Array([*kids(element), kids(element)[0]])


def _skip_level(pdf: Pdf) -> None:
    _first(pdf, "H2").S = Name.H3


def _box(pdf: Pdf) -> None:
    _first(pdf, "Figure").A.BBox = Array([-40, 0, 100, 100])


def _no_box(pdf: Pdf) -> None:
    del _first(pdf, "Figure").A


def _no_alt(pdf: Pdf) -> None:
    _first(pdf, "Figure").Alt = String(" ")


def _no_scope(pdf: Pdf) -> None:
    del _first(pdf, "TH").A


def _ragged(pdf: Pdf) -> None:
    del _first(pdf, "TR").K[0]


def _headless(pdf: Pdf) -> None:
    for element in elements(_first(pdf, "Table")):
        if role(element) == "TH":
            element.S = Name.TD


def _loose_link(pdf: Pdf) -> None:
    link = next(annot for page in pdf.pages for annot in page.get("/Annots", []))
    del link.StructParent


def _silent_link(pdf: Pdf) -> None:
    next(annot for page in pdf.pages for annot in page.get("/Annots", [])).Contents = String("")


def _untabbed(pdf: Pdf) -> None:
    for page in pdf.pages:
        del page.obj.Tabs


def _wrong_owner(pdf: Pdf) -> None:
    tree = accessible.parent_tree(pdf)
    slots = tree[int(pdf.pages[3].obj.StructParents)]
    slots[0], slots[len(slots) - 1] = slots[len(slots) - 1], slots[0]


def _wrong_parent(pdf: Pdf) -> None:
    element = _first(pdf, "TD")
    element.P = element.P.P


def _caption_amid(pdf: Pdf) -> None:
    table = next(
        one for one in elements(pdf.Root.StructTreeRoot) if role(one) == "Table" and role(one.K[0]) == "Caption"
    )
    table.K[0], table.K[1] = table.K[1], table.K[0]


def _invented(pdf: Pdf) -> None:
    pdf.Root.StructTreeRoot.RoleMap = Dictionary(Gauge=Name.P)
    _first(pdf, "P").S = Name.Gauge


def _entry(pdf: Pdf) -> None:
    del _first(pdf, "LI").K[1]


def _unnumbered(pdf: Pdf) -> None:
    del _first(pdf, "L").A


def _level_b(pdf: Pdf) -> None:
    pdf.Root.Metadata.write(pdf.Root.Metadata.read_bytes().replace(b"conformance>A<", b"conformance>B<"))


def _no_ua(pdf: Pdf) -> None:
    pdf.Root.Metadata.write(pdf.Root.Metadata.read_bytes().replace(b"<pdfuaid:part>1</pdfuaid:part>", b""))


def _no_language(pdf: Pdf) -> None:
    del pdf.Root.Lang


def _no_title(pdf: Pdf) -> None:
    pdf.Root.ViewerPreferences.DisplayDocTitle = False


def _suspect(pdf: Pdf) -> None:
    pdf.Root.MarkInfo.Suspects = True


def _undescribed(pdf: Pdf) -> None:
    spec = pdf.Root.AF[0]
    del spec.Desc


def _unlisted(pdf: Pdf) -> None:
    del pdf.Root.AF


def _no_unicode(pdf: Pdf) -> None:
    font = next(o for o in pdf.objects if isinstance(o, Dictionary) and o.get("/Type") == "/Font")
    del font.ToUnicode


_FAULTS: list[tuple[Callable[[Pdf], None], str]] = [
    (lambda pdf: _content(pdf, rb"EMC\s", b"EMC 0 0 9 9 re f "), "content_is_marked"),
    (lambda pdf: _content(pdf, rb"/Artifact <<[^>]*>> BDC", b"/Artifact BMC"), "content_is_marked"),
    (lambda pdf: _content(pdf, rb"(?s)/Artifact <</Type /Layout>> BDC(.*?)EMC", rb"\1"), "content_is_marked"),
    (lambda pdf: _content(pdf, rb"/P <</MCID \d+>> BDC", b"/Artifact <</Type /Layout>> BDC"), "marks_are_reached_once"),
    (lambda pdf: _content(pdf, rb"/P <</MCID (\d+)>> BDC", rb"/H1 <</MCID \1>> BDC"), "tags_agree"),
    (_drop_from_tree, "marks_are_reached_once"), (_twice, "marks_are_reached_once"), (_swap_marks, "reads_as_laid_out"),
    (_skip_level, "headings_nest"), (_box, "figures_say_what_they_show"), (_no_box, "figures_say_what_they_show"),
    (_no_alt, "figures_say_what_they_show"), (_no_scope, "tables_are_regular"), (_ragged, "tables_are_regular"),
    (_headless, "tables_are_regular"), (_loose_link, "annotations_are_tagged"), (_silent_link, "annotations_are_tagged"),
    (_untabbed, "annotations_are_tagged"), (_loose_link, "parent_tree_leads_back"),
    (_wrong_owner, "parent_tree_leads_back"), (_wrong_parent, "parents_are_right"),
    (_caption_amid, "captions_stand_at_an_end"), (_invented, "types_are_standard"), (_entry, "lists_are_whole"),
    (_unnumbered, "lists_are_whole"), (_level_b, "document_says_what_it_is"), (_no_ua, "document_says_what_it_is"),
    (_no_language, "document_says_what_it_is"), (_no_title, "document_says_what_it_is"),
    (_suspect, "document_says_what_it_is"), (_undescribed, "attachments_are_described"),
    (_unlisted, "attachments_are_described"), (_no_unicode, "text_can_be_read_out"),
]  # fmt: skip


@pytest.mark.parametrize(("spoil", "name"), _FAULTS, ids=[f"{n}-{name}" for n, (_, name) in enumerate(_FAULTS)])
def test_each_check_fails_on_its_fault(spoil: Callable[[Pdf], None], name: str, rendered: Path) -> None:
    check: Check = getattr(accessible, name)
    with pikepdf.open(rendered) as pdf:
        spoil(pdf)
        assert list(check(pdf))


def test_each_check_is_shown_to_fail() -> None:
    assert {name for _, name in _FAULTS} == {check.__name__ for check in CHECKS}


def test_there_is_enough_to_check(rendered: Path) -> None:
    with pikepdf.open(rendered) as pdf:
        kinds = [role(element) for element in elements(pdf.Root.StructTreeRoot)]
        assert kinds.count("Table") >= 6
        assert kinds.count("Figure") >= 20
        assert kinds.count("Link") > 100
        assert {"H1", "H2", "H3", "L", "Code", "TOC"} <= set(kinds)


def test_a_table_over_pages_is_one_table_and_its_repeated_header_an_artifact(rendered: Path) -> None:
    with pikepdf.open(rendered) as pdf:
        long = [
            element
            for element in elements(pdf.Root.StructTreeRoot)
            if role(element) == "Table" and len([row for row in kids(element) if role(row) == "TR"]) > 50
        ]
        assert len(long) == 1  # the register of 48 lines with its group rows and header


def test_running_matter_says_so(rendered: Path) -> None:
    with pikepdf.open(rendered) as pdf:
        for number, page in enumerate(pdf.pages):
            code = page.Contents.read_bytes()
            assert b"/Type /Pagination /Subtype /Footer" in code
            assert (b"/Type /Pagination /Subtype /Header" in code) == (number > 0)


def test_a_script_that_tells_its_language_is_marked_with_it(rendered: Path) -> None:
    with pikepdf.open(rendered) as pdf:
        said = {
            str(instruction.operands[1].Lang)
            for page in pdf.pages
            for instruction in pikepdf.parse_content_stream(page)
            if str(instruction.operator) == "BDC" and "/Lang" in instruction.operands[1]
        }
        assert said == {"th", "ja", "ko", "el"}
        assert str(pdf.Root.Lang) == "en"


def test_links_of_a_drawing_stand_beside_it(rendered: Path) -> None:
    """What is inside a figure is read as its alternative text alone; links must be reached."""
    with pikepdf.open(rendered) as pdf:
        for element in elements(pdf.Root.StructTreeRoot):
            if role(element) == "Figure":
                assert all("/MCID" in kid for kid in kids(element))
