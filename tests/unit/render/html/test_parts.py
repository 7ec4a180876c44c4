"""The parts of the page: what is joined, what is folded, how drawings are written, which words are there."""

from __future__ import annotations

import re
from pathlib import Path

from unit.render import sample

from buildbook.dossier.drawing import Drawing, Label, rect
from buildbook.dossier.model import (
    CautionBox,
    Claim,
    Column,
    Counter,
    Counters,
    Figure,
    Heading,
    KeyValues,
    NewPage,
    Paragraph,
    Section,
    Table,
    TableRow,
    Together,
    text,
)  # fmt: skip
from buildbook.render.html import render_html, words
from buildbook.render.html.assets import digits_needed
from buildbook.render.html.flow import part_of
from buildbook.render.html.page import fill, pieces
from buildbook.render.html.svg import image, num, outline, qr_code, shared_outlines

HERE = Path(render_html.__code__.co_filename).parent
CLAIM = Claim(text=text("Done."), evidence=())
CAUTION = CautionBox(title="Brakes", text="Dust.", source="law")


def kinds(*blocks, hoisted=False, mapped=False):
    part = part_of(Section(anchor="s", number="1", title="T", blocks=blocks), hoisted=hoisted, mapped=mapped)
    return [(n.kind, len(n.blocks)) for n in part.nodes]


def table(rows=5, *, dense=False, group=False, columns=1):
    cells = tuple(TableRow(cells=(text(str(n)),), group=group and not n) for n in range(rows))
    return Table(columns=(Column(title="A"),) * columns, rows=cells, caption="T", dense=dense)


def figure(caption="", anchor=""):
    return Figure(drawing=sample.plan(), caption=text(caption), anchor=anchor)


def test_neighbours_of_a_kind_are_one_node():
    assert kinds(CLAIM, CLAIM, CAUTION, CLAIM) == [("claims", 2), ("cautions", 1), ("claims", 1)]
    assert kinds(Together(blocks=(CLAIM, CLAIM)), NewPage(), CLAIM) == [("claims", 3)]


def test_a_sketch_stands_beside_the_facts_before_it_once():
    facts = KeyValues(rows=(("a", text("b")),))
    assert kinds(facts, figure(), figure()) == [("facts", 2), ("sketch", 1)]
    assert kinds(facts, figure("A chart")) == [("facts", 1), ("chart", 1)]


def test_the_plan_of_the_map_is_not_drawn_twice():
    assert kinds(figure("Plan", "plan-condition"), mapped=True) == [("map", 1)]
    assert kinds(figure("Plan", "plan-condition")) == [("chart", 1)]


def test_key_figures_stand_at_the_top_only():
    counters = Counters(items=(Counter(value="1", label="a", target="b"),))
    assert kinds(counters, hoisted=True) == []
    assert kinds(counters) == [("counters", 1)]


def test_ranks_go_down_by_one():
    heads = [Heading(level=level, text="h", anchor=f"a{n}") for n, level in enumerate((3, 2, 3, 3, 2))]
    part = part_of(Section(anchor="s", number="", title="T", blocks=tuple(heads)), hoisted=False, mapped=False)
    assert [n.rank for n in part.nodes] == [3, 3, 4, 4, 3]
    assert [h.anchor for h in part.subs] == ["a1", "a4"]


def test_what_is_folded_sorted_and_searched():
    def first(*blocks):
        return part_of(Section(anchor="s", number="", title="T", blocks=blocks), hoisted=False, mapped=False)

    head = Heading(level=2, text="h", anchor="h")
    assert [n.fold for n in first(figure("Chart"), table()).nodes] == [False, True]  # the table behind a chart
    assert [n.fold for n in first(figure("Chart"), head, table()).nodes] == [False, False, False]
    assert first(table(13, dense=True)).nodes[0].fold
    assert not first(table(12, dense=True)).nodes[0].fold
    assert [first(table(rows)).nodes[0].sorts for rows in (3, 4)] == [False, True]
    assert not first(table(9, group=True)).nodes[0].sorts
    assert first(table(), Paragraph(text=text("x"))).searches
    assert not first(table(), CLAIM).searches
    assert not first(table(2)).searches
    assert first(table(4, columns=0)).nodes == ()


def test_runs_of_one_tone_and_place_are_one_piece():
    found = pieces(text("a", "b", *text("c\nd")))
    assert [(p.lines, p.tone) for p in found] == [(("abc", "d"), "plain")]


def test_what_is_filled_in_is_no_template():
    assert fill("{who} said {what}", who="{what}", what="{who}") == "{what} said {who}"


def test_names_of_pictures_tell_them_apart():
    one = "a" * 64
    assert digits_needed([one]) == 12
    assert digits_needed([one, one]) == 12
    assert digits_needed([one, "a" * 20 + "b" * 44]) == 21
    assert digits_needed([]) == 12


def test_numbers_are_written_short():
    assert [num(v) for v in (1.0, 1.234, -2.5, 10.5, 100, 0.001)] == ["1", "1.23", "-2.5", "10.5", "100", "0"]


def test_an_outline_drawn_twice_is_written_once():
    shape = rect(1000.25, 1000.25, 500.55, 500.55, link="zone-roof", title="Roof")
    short = rect(1, 1, 2, 2)
    again = Drawing(width=10, height=10, items=(shape, short, shape, short), alt="x")
    shared = shared_outlines([again])
    assert list(shared) == [outline(shape)]
    found = image(again, {"zone-roof"}, shared)
    assert [s.use for s in found.shapes] == ["o1", "", "o1", ""]
    assert [(s.target, s.first) for s in found.shapes] == [("zone-roof", True), ("", True), ("zone-roof", False), ("", False)]
    assert [s.target for s in image(again, set(), shared).shapes] == [""] * 4  # a link to nowhere is none
    assert found.marks


def test_labels_keep_their_words_and_sides():
    drawing = Drawing(width=5, height=5, items=(rect(0, 0, 1, 1), Label(x=1, y=2, text="<a>", anchor="end")), alt="x")
    found = image(drawing, set(), {})
    assert [(w.text, w.anchor, w.x, w.y) for w in found.words] == [("<a>", "end", "1", "2")]
    assert not found.marks


def test_the_code_can_be_read(tmp_path):
    """By a reader of another project (zxing), from the path as a picture of 4 pixels a module."""
    import zxingcpp
    from PIL import Image, ImageDraw

    payload = "buildbook 2026-014 issue 2 " + "a1" * 32
    code = qr_code(payload)
    picture = Image.new("L", (code.side * 4, code.side * 4), 255)
    draw = ImageDraw.Draw(picture)
    for x, y, run in re.findall(r"M(\d+) (\d+)h(\d+)v1", code.d):
        draw.rectangle((int(x) * 4, int(y) * 4, (int(x) + int(run)) * 4 - 1, int(y) * 4 + 3), fill=0)
    (found,) = zxingcpp.read_barcodes(picture)
    assert found.text == payload


def test_each_word_is_used_and_each_used_word_is_there():
    script = (HERE / "static" / "edition.js").read_text("utf-8")
    assert set(re.findall(r"\bwords\.(\w+)", script)) == set(words.script_words())
    templates = "".join(p.read_text("utf-8") for p in sorted((HERE / "templates").iterdir()))
    used = set(re.findall(r"\bw\.(\w+)", templates))
    lists = {f"{name}_list" for name in ("changed", "missing", "added", "unread", "ok")}
    assert used | lists == set(words.page_words())


def test_each_place_in_the_scripts_words_is_filled_by_it():
    script = (HERE / "static" / "edition.js").read_text("utf-8")
    for name, said in words.script_words().items():
        for place in re.findall(r"\{(\w+)\}", said):
            assert re.search(rf"words\.{name}\b[^;]*\b{place}\b", script) or name == "not_ok", (name, place)
