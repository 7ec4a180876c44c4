"""The progress bar: on a terminal only, after two seconds, wiped at the end of each thing that is counted."""

from __future__ import annotations

import io
import sys

import pytest

from buildbook.cli import progress


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


class Clock:
    def __init__(self) -> None:
        self.now = 100.0

    def monotonic(self) -> float:
        return self.now


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    made = Clock()
    monkeypatch.setattr(progress, "time", made)
    return made


def test_what_is_quick_shows_no_bar(clock: Clock, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", Terminal())
    show = progress.progress_bar()
    for done in range(1, 11):
        clock.now += 0.19
        show(done, 10, "pages")
    assert sys.stderr.getvalue() == ""  # type: ignore[attr-defined]


def test_no_bar_goes_into_a_file(clock: Clock, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", io.StringIO())
    show = progress.progress_bar()
    clock.now += 5
    show(1, 10, "pages")
    assert sys.stderr.getvalue() == ""  # type: ignore[attr-defined]


def test_the_bar_is_wiped_at_the_end_and_the_next_one_comes_at_once(
    clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stderr", Terminal())
    show = progress.progress_bar()
    clock.now += 2.5
    show(14, 28, "pages")
    clock.now += 0.01
    show(15, 28, "pages")  # too soon to be drawn again
    show(28, 28, "pages")
    show(0, 1, "writing the PDF")
    show(1, 1, "writing the PDF")
    assert sys.stderr.getvalue().split("\r\033[K") == [  # type: ignore[attr-defined]
        "", f"pages [{'#' * 14}{'.' * 14}] 14/28", "", f"writing the PDF [{'.' * 28}] 0/1", "",
    ]  # fmt: skip
