"""The measure of the layout finds what is set wrong: each fault it names, made on purpose."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from unit.render import sample
from unit.render.traced import Box, SetLine, Trace, faults, ill_parted, strays, traced

from buildbook.render.pdf import render_pdf, tables
from buildbook.render.pdf.fonts import FontSet, characters_of
from buildbook.render.pdf.style import BODY
from buildbook.render.pdf.typeset import Span, lines_of


def line(left: float, top: float, right: float, said: str = "word", cell: tuple[float, float] | None = None) -> SetLine:
    return SetLine(Box(left, top, right, top + 8), said, 7.25, cell)


@pytest.mark.parametrize(
    ("lines", "kind"),
    [
        ([line(10, 10, 50, cell=(10, 49))], "out of its cell"),
        ([line(9, 10, 50, cell=(10, 90))], "out of its cell"),
        ([line(190, 10, 201)], "out of the sheet"),
        ([line(10, 10, 50), line(49, 12, 90)], "upon another"),
        ([line(10, 96, 50)], "upon a rule"),
        ([line(10, 150, 50)], "upon a picture"),
        ([SetLine(Box(10, 10, 50, 18), "word", 6.9, None)], "too small"),
    ],
)
def test_each_fault_is_named(lines: list[SetLine], kind: str) -> None:
    trace = Trace()
    trace.lines[0] = lines
    trace.rules[0] = [Box(0, 100, 200, 100.4)]
    trace.pictures[0] = [Box(0, 140, 200, 160)]
    assert [found for _page, found, _said in faults(trace, 200, 300)] == [kind]


def test_what_is_set_right_has_none() -> None:
    trace = Trace()
    trace.lines[0] = [line(10, 10, 50, "a ·", (10, 47)), line(50, 10, 90), line(10, 18, 50), line(10, 91.9, 50)]
    trace.rules[0] = [Box(0, 100, 200, 100.4)]
    assert list(faults(trace, 200, 300)) == []


def test_marks_and_letters_at_the_ends_of_lines() -> None:
    fonts = FontSet(characters_of(["a(「、"]), "ja")

    def set_(*texts: str) -> list[Any]:
        return [lines_of(fonts, [Span(text, "text", 8, "#000000")], 400, BODY.pitch)[0] for text in texts]

    trace = Trace()
    trace.cells = [(0, set_("a「", "a")), (0, set_("a", "、a")), (0, set_("a", "a「"))]
    assert [kind for _page, kind, _said in ill_parted(trace)] == ["mark", "mark"]
    trace.cells = [(0, list(lines_of(fonts, [Span("a" * 40, "text", 8, "#000000")], 60, BODY.pitch)))]
    assert "word" in {kind for _page, kind, _said in ill_parted(trace)}


def test_columns_that_run_into_each_other_are_found(
    tmp_path: Path, renditions: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "x.pdf"
    with traced(monkeypatch) as trace:
        render_pdf(sample.sample(), renditions, [], out)
    assert [kind for _page, kind, _said in faults(trace, 595.3, 841.9)] == []
    assert list(strays(trace, out)) == []
    monkeypatch.setattr(tables, "_PAD", -12.0)
    with traced(monkeypatch) as trace:
        render_pdf(sample.sample(), renditions, [], out)
    assert "upon another" in {kind for _page, kind, _said in faults(trace, 595.3, 841.9)}
    trace.lines[1] = []
    assert 2 in {page for page, _word in strays(trace, out)}
