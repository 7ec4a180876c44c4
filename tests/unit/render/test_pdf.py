"""The finished file, read by parties that know nothing of this program: pikepdf, pypdf and a PDF/A validator."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import textwrap
from pathlib import Path

import pikepdf
import pypdf
import pytest
from unit.render import sample
from unit.render.reading import images, level_b_faults, type_sizes

from buildbook.dossier.language import speaking
from buildbook.dossier.model import Section
from buildbook.errors import BuildbookError
from buildbook.render.pdf import dangling_targets, render_pdf, words
from buildbook.render.pdf.style import LEAST_DPI, LEAST_SIZE


@pytest.mark.parametrize("which", ["rendered", "draft", "awkward"])
def test_is_pdf_a_3b(which: str, request: pytest.FixtureRequest) -> None:
    """ISO 19005-3 level B by pikepdf's validator, which approves only what it knows to conform (also: no .notdef)."""
    assert level_b_faults(request.getfixturevalue(which)) == []


@pytest.mark.parametrize("which", ["rendered", "draft", "awkward"])
def test_every_font_is_embedded_as_a_subset(which: str, request: pytest.FixtureRequest) -> None:
    with pikepdf.open(request.getfixturevalue(which)) as pdf:
        fonts = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/Type") == "/Font"]
        assert len(fonts) >= 8
        for font in fonts:
            assert "/FontFile2" in font.FontDescriptor, font.BaseFont
            assert str(font.BaseFont)[7:8] == "+"
            assert "/ToUnicode" in font


@pytest.mark.parametrize("which", ["rendered", "draft", "awkward"])
def test_no_text_is_smaller_than_seven_points(which: str, request: pytest.FixtureRequest) -> None:
    with pikepdf.open(request.getfixturevalue(which)) as pdf:
        assert min(type_sizes(pdf)) >= LEAST_SIZE


def test_few_type_sizes(rendered: Path) -> None:
    with pikepdf.open(rendered) as pdf:
        assert len(type_sizes(pdf)) <= 10


@pytest.mark.parametrize("which", ["rendered", "draft", "awkward"])
def test_no_picture_is_stretched_or_enlarged(which: str, request: pytest.FixtureRequest) -> None:
    with pikepdf.open(request.getfixturevalue(which)) as pdf:
        placed = list(images(pdf))
        assert len(placed) >= 20
        for one in placed:
            across = one.pixels[0] / one.points[0] * 72
            down = one.pixels[1] / one.points[1] * 72
            assert across >= LEAST_DPI - 0.1, one
            assert across == pytest.approx(down, rel=0.005), one


def test_pairs_stand_at_one_height(rendered: Path) -> None:
    with pikepdf.open(rendered) as pdf:
        by_name = {one.name[3:27]: one for one in images(pdf) if one.name.endswith("p")}
    before, after = by_name[sample.asset(3)[:24]], by_name[sample.asset(5)[:24]]
    assert before.points[1] == pytest.approx(after.points[1])
    assert before.points[0] > after.points[0]  # landscape beside upright, each in its own proportion


def test_each_rendition_is_embedded_once_and_byte_for_byte(
    rendered: Path, pictures: dict[str, tuple[Path, Path]]
) -> None:
    with pikepdf.open(rendered) as pdf:
        held = [
            o.read_raw_bytes() for o in pdf.objects if isinstance(o, pikepdf.Stream) and o.get("/Subtype") == "/Image"
        ]
    known = {path.read_bytes() for both in pictures.values() for path in both}
    assert len(held) == len(set(held)) >= 20
    assert set(held) <= known


def test_links_lead_to_pages(rendered: Path) -> None:
    with pikepdf.open(rendered) as pdf:
        pages = {page.obj.objgen: number for number, page in enumerate(pdf.pages)}
        links = [annot for page in pdf.pages for annot in page.get("/Annots", [])]
        assert len(links) > 100
        for link in links:
            assert link.Subtype == "/Link"
            assert link.F == 4
            assert link.Dest[0].objgen in pages
            assert str(link.Contents)
            assert "/A" not in link  # nothing leads out of the file
        said = [str(link.Contents) for link in links]
        assert "P012" in said
        assert "P999" not in said


def test_a_link_leads_to_its_picture(rendered: Path) -> None:
    with pikepdf.open(rendered) as pdf:
        shown = {one.name: one.page for one in images(pdf)}
        pages = {page.obj.objgen: number for number, page in enumerate(pdf.pages)}
        found = 0
        for page in pdf.pages:
            for link in page.get("/Annots", []):
                says = str(link.Contents)
                if says.startswith("P0") and says != "P002":  # which is on the cover too, without an anchor
                    asset = sample.asset(int(says[1:]))[:24]
                    homes = {page for name, page in shown.items() if name[3:27] == asset}
                    assert pages[link.Dest[0].objgen] in homes, says
                    found += 1
        assert found > 50


def test_dangling_targets_are_named_and_printed_as_text(rendered: Path) -> None:
    assert dangling_targets(sample.sample()) == ("photo-999", "obs-O04")
    assert "P999" in "".join(page.extract_text() for page in pypdf.PdfReader(rendered).pages)


def test_bookmarks_are_the_headings_and_the_contents_agree_with_them(rendered: Path) -> None:
    reader = pypdf.PdfReader(rendered)
    found: list[tuple[str, int]] = []

    def walk(items: list[object]) -> None:
        for item in items:
            if isinstance(item, list):
                walk(item)
            else:
                number = reader.get_destination_page_number(item)  # type: ignore[arg-type]
                found.append((str(item.title), int(number) + 1))  # type: ignore[attr-defined]

    walk(reader.outline)
    titles = [title for title, _ in found]
    assert titles[:3] == ["1 Summary", "What was done", "What is open"]
    assert "S040 Rear brakes rebuilt" in titles
    assert "A small heading: Προέλευση и происхождение 南空" not in titles  # level 3
    contents = reader.pages[1].extract_text().splitlines()
    for title, page in found:
        assert f"{title} {page}" in contents


def test_running_matter_and_page_count(rendered: Path, draft: Path) -> None:
    for path, language in ((rendered, "en"), (draft, "ja")):
        with speaking(language):
            mark = words.issue(2) if path == rendered else words.DRAFT
        reader = pypdf.PdfReader(path)
        total = len(reader.pages)
        assert total > 8
        for number, page in enumerate(reader.pages, 1):
            text = page.extract_text()
            with speaking(language):
                assert words.page_of(number, total) in text
            assert mark in text
            assert sample.sample().short_seal in text


def test_paper(rendered: Path, draft: Path) -> None:
    """Sizes of ISO 216 A4 (210 x 297 mm) and of US Letter (8.5 x 11 in), in points."""
    for path, (width, height) in ((rendered, (210 / 25.4 * 72, 297 / 25.4 * 72)), (draft, (612, 792))):
        box = pypdf.PdfReader(path).pages[0].mediabox
        assert (float(box.width), float(box.height)) == pytest.approx((width, height), abs=0.01)


def test_attachments(rendered: Path) -> None:
    with pikepdf.open(rendered) as pdf:
        assert pdf.attachments["record.json"].get_file().read_bytes() == b'{"job": "2026-014"}'
        assert [str(spec.AFRelationship) for spec in pdf.Root.AF] == ["/Data", "/Supplement"]
        assert str(pdf.Root.AF[0].EF.F.Params.ModDate) == "D:20260328000000Z"


def test_metadata_agrees_with_the_information_dictionary(rendered: Path) -> None:
    with pikepdf.open(rendered) as pdf:
        assert str(pdf.docinfo.CreationDate) == str(pdf.docinfo.ModDate) == "D:20260328000000Z"
        assert str(pdf.docinfo.Title) == "Talvard 1800 Touring Estate: dossier of work"
        with pdf.open_metadata() as xmp:
            assert xmp["dc:title"] == str(pdf.docinfo.Title)
            assert xmp["dc:creator"] == [str(pdf.docinfo.Author)]
            assert xmp["xmp:CreateDate"] == "2026-03-28T00:00:00Z"
            assert xmp["pdf:Producer"] == str(pdf.docinfo.Producer)
        assert pdf.pdf_version == "1.7"
        assert str(pdf.Root.Lang) == "en"
        assert pdf.trailer.ID[0] == pdf.trailer.ID[1]


def test_nothing_runs_or_reaches_out(awkward: Path) -> None:
    with pikepdf.open(awkward) as pdf:
        for held in pdf.objects:
            if isinstance(held, pikepdf.Dictionary):
                assert held.get("/S") not in ("/URI", "/JavaScript", "/Launch", "/GoToR", "/SubmitForm")
                assert "/OpenAction" not in held


_ELSEWHERE = """
import sys
from pathlib import Path
from unit.render import sample
from buildbook.render.pdf import Attachment, render_pdf

folder = Path(sys.argv[1])
numbers = {sample.asset(n): n for n in range(1, 21)}
record = Attachment(name="record.json", data=b"{}", mime="application/json", relationship="Data", description="Record")
render_pdf(sample.sample(), lambda a, e: folder / f"{numbers[a]}-{e}.jpg", [record], Path(sys.argv[2]))
"""


def test_same_bytes_in_another_place_time_zone_locale_and_hash_seed(
    tmp_path: Path, pictures: dict[str, tuple[Path, Path]]
) -> None:
    made: list[bytes] = []
    folder = next(iter(pictures.values()))[0].parent
    for number, (zone, seed, locale) in enumerate((("UTC", "1", "C"), ("Asia/Tokyo", "77", "de_DE.UTF-8"))):
        work = tmp_path / f"place-{number}" / ("deeper" * number or "flat")
        shutil.copytree(folder, work / "pictures")
        out = work / f"out-{number}.pdf"
        env = {**os.environ, "TZ": zone, "PYTHONHASHSEED": seed, "LC_ALL": locale, "PYTHONPATH": str(_tests())}
        script = textwrap.dedent(_ELSEWHERE)
        subprocess.run(
            [sys.executable, "-W", "error", "-c", script, str(work / "pictures"), str(out)],
            check=True,
            env=env,
            cwd=work,
        )
        made.append(out.read_bytes())
    assert made[0] == made[1]
    assert b"place-0" not in made[0]


def _tests() -> Path:
    return Path(__file__).parents[2]


def test_a_rendition_that_is_no_jpeg_is_refused_by_name(tmp_path: Path) -> None:
    broken = tmp_path / "broken.jpg"
    broken.write_bytes(b"\xff\xd8\xff\xe0 nothing more")
    section = Section(anchor="s", number="1", title="One", blocks=(sample.picture(3),))
    dossier = sample.sample()
    object.__setattr__(dossier, "sections", (section,))
    cover = dossier.cover
    object.__setattr__(cover, "picture", None)
    with pytest.raises(BuildbookError, match="P003"):
        render_pdf(dossier, lambda asset, edge: broken, [], tmp_path / "out.pdf")
    assert not (tmp_path / "out.pdf").exists()


@pytest.mark.parametrize("which", ["rendered", "draft"])
def test_the_cover_keeps_to_one_page_and_its_picture_to_its_proportion(
    which: str, request: pytest.FixtureRequest
) -> None:
    """On A4 and on Letter, which is lower: the picture gives way, not the facts."""
    reader = pypdf.PdfReader(request.getfixturevalue(which))
    cover = sample.sample().cover
    front = reader.pages[0].extract_text()
    assert all(value in " ".join(front.split()) for _label, value in cover.facts)
    assert cover.workshop in front
    assert cover.facts[-1][1] not in " ".join(reader.pages[1].extract_text().split())


def test_progress_counts_what_is_laid_out_and_pages(tmp_path: Path, pictures: dict[str, tuple[Path, Path]]) -> None:
    seen: list[tuple[int, int, str]] = []
    dossier = sample.sample()
    out = tmp_path / "out.pdf"
    render_pdf(dossier, lambda a, e: pictures[a][e == "small"], [], out, lambda *call: seen.append(call))
    total = len(pypdf.PdfReader(out).pages)
    laid = [call for call in seen if call[2] == "layout"]
    assert [done for done, _all, _what in laid] == sorted({done for done, _all, _what in laid})
    assert laid[-1][:2] == (sum(len(section.blocks) for section in dossier.sections),) * 2
    pages = [(number, total, "pages") for number in range(1, total + 1)]
    assert seen == [*laid, *pages, (0, 1, "writing the PDF"), (1, 1, "writing the PDF")]
