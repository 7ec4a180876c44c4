"""Lines and pages, by property: nothing wider than its column, nothing lost, nothing over the foot of the page."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildbook.render.pdf.flow import Area, Flow, paginate
from buildbook.render.pdf.fonts import FontSet, characters_of
from buildbook.render.pdf.pen import Pen
from buildbook.render.pdf.rows import Cell, Row
from buildbook.render.pdf.stacks import halfway
from buildbook.render.pdf.style import BODY, INK, SHEETS, TABLE, UNIT
from buildbook.render.pdf.typeset import Line, Span, clamped, fitted, lines_of, spans_of

_LETTERS = "abcW.,-/ 0123µm南空のท่ีАα\n(「」"
_FONTS = FontSet(characters_of([_LETTERS, "…"]), "en")
_TEXT = st.text(st.sampled_from(_LETTERS), max_size=120)


def text_of(lines: tuple[Line, ...]) -> str:
    """What the lines say, spaces left out."""
    return "".join(run.text for line in lines for piece in line.pieces for run in piece.runs).replace(" ", "")


@settings(max_examples=150, deadline=None)
@given(_TEXT, st.floats(20, 300))
def test_lines_fit_and_lose_nothing(text: str, width: float) -> None:
    lines = lines_of(_FONTS, spans_of(BODY, text), width, BODY.pitch)
    assert all(line.width <= width + 0.02 for line in lines)
    assert text_of(lines) == "".join(_FONTS.clean(text).split())


@settings(max_examples=60, deadline=None)
@given(st.lists(_TEXT, min_size=1, max_size=5), st.floats(30, 200))
def test_spans_join_without_loss(texts: list[str], width: float) -> None:
    spans = [Span(text, "text" if index % 2 else "strong", 8.0, INK) for index, text in enumerate(texts)]
    lines = lines_of(_FONTS, spans, width, TABLE.pitch)
    assert all(line.width <= width + 0.02 for line in lines)
    assert text_of(lines) == "".join("".join(_FONTS.clean(text) for text in texts).split())


@settings(max_examples=60, deadline=None)
@given(_TEXT.filter(str.strip), st.floats(12, 120))
def test_codes_shrink_or_break_but_never_overflow(text: str, width: float) -> None:
    lines = fitted(_FONTS, spans_of(TABLE, text.replace("\n", " ")), width, TABLE.pitch)
    assert all(line.width <= width + 0.02 for line in lines)
    assert all(piece.span.size >= 7.0 for line in lines for piece in line.pieces)


def test_a_clamped_text_says_that_it_goes_on() -> None:
    set_ = clamped(_FONTS, spans_of(BODY, "a" * 500), 100, BODY.pitch, 2)
    assert set_.rest
    assert len(set_.lines) == 2
    assert text_of(set_.lines).endswith("…")
    assert all(line.width <= 100.02 for line in set_.lines)


def test_a_number_keeps_its_unit() -> None:
    for width in range(40, 200, 5):
        lines = lines_of(_FONTS, spans_of(BODY, "aaa bb 112 µm aa ± 0.5 µm bbb"), width, BODY.pitch)
        for line in lines:
            said = [run.text for piece in line.pieces for run in piece.runs]
            assert said[-1] not in ("112", "±", "0.5"), (width, said)


def test_a_number_is_never_parted_at_its_point() -> None:
    for width in range(70, 200, 3):
        lines = lines_of(_FONTS, spans_of(BODY, "abc abc 10.152\u00a0µm; abca 10.500\u00a0µm"), width, BODY.pitch)
        assert not any(text_of((line,)).endswith("10.") for line in lines), width


def test_no_line_begins_with_a_closing_mark() -> None:
    """Line breaking of Japanese (JIS X 4051, from memory): a closing bracket or full stop does not begin a line."""
    fonts = FontSet(characters_of(["「記録」は、写真と一致しています。"]), "ja")
    for width in range(20, 160, 3):
        for line in lines_of(fonts, spans_of(BODY, "「記録」は、写真と一致しています。" * 3), width, BODY.pitch)[1:]:
            first = line.pieces[0].runs[0].text[0]
            last = line.pieces[-1].runs[-1].text[-1]
            assert first not in "」、。", width
            assert last != "「", width


def test_a_list_of_links_breaks_after_its_comma() -> None:
    """As JLReq 3.1.7 (line-start prohibition), also where each item and each separator is a span of its own."""
    labels = [f"P-{n:02d}" for n in range(1, 12)]
    fonts = FontSet(characters_of([*labels, "、"]), "ja")
    spans = [Span(text, "text", 8.0, INK) for label in labels for text in (label, "、")][:-1]
    for width in range(30, 140, 5):
        lines = lines_of(fonts, spans, width, TABLE.pitch)
        said = ["".join(run.text for piece in line.pieces for run in piece.runs) for line in lines]
        assert not [line for line in said if line.startswith("、")], (width, said)
        assert "".join(said) == "、".join(labels)


def test_thai_breaks_before_a_leading_vowel() -> None:
    text = "ทำความสะอาดเครื่องยนต์และระบบเบรก"
    fonts = FontSet(characters_of([text]), "th")
    lines = lines_of(fonts, spans_of(BODY, text), 90, BODY.pitch)
    assert len(lines) > 1
    assert all(line.pieces[0].runs[0].text[0] in "ทเแโใไ" for line in lines)


class Block(Flow):
    """A block of a height, for the page maker."""

    def __init__(self, name: int, height: float, before: float, keep: bool) -> None:
        self.name, self._height, self.before, self.keep_next = name, height, before, keep

    def height(self) -> float:
        return self._height

    def draw(self, pen: Pen, x: float, y: float) -> None:
        raise AssertionError("not drawn here")


_DEPTH = 500.0


@settings(max_examples=200, deadline=None)
@given(st.lists(st.tuples(st.floats(1, _DEPTH), st.floats(0, 40), st.booleans()), max_size=40))
def test_pages_hold_everything_in_order(sizes: list[tuple[float, float, bool]]) -> None:
    blocks = [Block(number, *size) for number, size in enumerate(sizes)]
    pages = paginate(blocks, Area(_DEPTH))
    assert [put.flow.name for page in pages for put in page] == list(range(len(blocks)))  # type: ignore[attr-defined]
    for page in pages:
        for put in page:
            assert put.y + put.flow.height() <= _DEPTH + 0.05
        for one, other in pairwise(page):
            assert other.y >= one.y + one.flow.height() - 0.01


def test_a_heading_is_never_last_on_its_page() -> None:
    for above in range(0, 490, 7):
        filler, heading, text = Block(0, above or 1, 0, False), Block(1, 20, 10, True), _text_row(40)
        pages = paginate([filler, heading, text], Area(_DEPTH))
        for page in pages[:-1]:
            assert page[-1].flow is not heading, above


def test_a_heading_before_what_is_higher_than_a_page_takes_some_of_it_along() -> None:
    for above in range(1, 490, 7):
        rows = [Block(number, 20, 0, True) for number in range(2, 40)]
        pages = paginate([Block(0, above, 0, False), Block(1, 20, 10, True), *rows], Area(_DEPTH))
        where = next(index for index, page in enumerate(pages) if any(put.flow.name == 1 for put in page))  # type: ignore[attr-defined]
        after = [put for put in pages[where] if put.flow.name > 1]  # type: ignore[attr-defined]
        assert len(after) >= 2, above


def _text_row(count: int) -> Row:
    lines = lines_of(_FONTS, spans_of(BODY, "\n".join(["abc"] * count)), 200, BODY.pitch)
    return Row([Cell(lines, 0, 200, None)], 200)


@pytest.mark.parametrize("count", [1, 3, 4, 39, 200])
def test_a_text_is_cut_between_lines_and_never_leaves_one_alone(count: int) -> None:
    for above in range(1, 490, 11):
        pages = paginate([Block(0, above, 0, False), _text_row(count)], Area(_DEPTH))
        parts = [len(put.flow.cells[0].lines) for page in pages for put in page if isinstance(put.flow, Row)]
        assert sum(parts) == count
        assert count == 1 or min(parts) >= 2
        for page in pages:
            assert all(put.y + put.flow.height() <= _DEPTH + 0.05 for put in page)


def test_sheets_are_set_on_the_unit() -> None:
    for sheet in SHEETS.values():
        assert sheet.columns(12) == pytest.approx(sheet.measure)
        assert sheet.columns(8) + sheet.columns(4) + 13 == pytest.approx(sheet.measure)
    assert BODY.pitch == 4 * UNIT


@given(st.lists(st.floats(10, 200), min_size=4, max_size=20))
def test_two_columns_of_facts_are_as_low_as_can_be(heights: list[float]) -> None:
    cut = halfway(heights)
    lowest = min(max(sum(heights[:at]), sum(heights[at:])) for at in range(1, len(heights) + 1))
    assert max(sum(heights[:cut]), sum(heights[cut:])) <= lowest + 0.1
    assert halfway([10.0] * 7) == 4
    assert halfway([10.0] * 6) == 3
