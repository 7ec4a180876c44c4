"""Streams whose packed data ends like a line end are mended; nothing else in the file moves (ISO 19005-3, 6.1.7.1)."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pikepdf
import pytest

from buildbook.render.pdf import streamends
from buildbook.render.pdf.streamends import mend_stream_ends

AMBIGUOUS = b"\r\nendstream"


def write(path: Path, count: int, *, packed: bool = True) -> list[bytes]:
    """A PDF with `count` streams of its own, and what they hold; about one in 256 ends in a carriage return."""
    held = [b"%d %d" % (number, number * number) * (number % 90 + 1) for number in range(count)]
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        pdf.Root.Held = pdf.make_indirect(pikepdf.Array([pdf.make_stream(data) for data in held]))
        pdf.save(
            path, object_stream_mode=pikepdf.ObjectStreamMode.generate, compress_streams=packed, deterministic_id=True
        )
    return held


def check(path: Path, held: list[bytes]) -> None:
    with pikepdf.open(path) as pdf:
        assert [stream.read_bytes() for stream in pdf.Root.Held] == held
    if shutil.which("qpdf"):
        assert subprocess.run(["qpdf", "--check", str(path)], capture_output=True, check=False).returncode == 0


@pytest.mark.parametrize("part", [64, 1 << 22])
def test_every_such_stream_is_mended_and_reads_the_same(
    part: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(streamends, "_PART", part)  # also where the mark lies across two parts
    path = tmp_path / "held.pdf"
    held = write(path, 2000)
    before = path.read_bytes()
    found = before.count(AMBIGUOUS)
    assert found >= 3
    assert mend_stream_ends(path) == found
    after = path.read_bytes()
    assert len(after) == len(before)
    assert AMBIGUOUS not in after
    assert re.search(rb"\nstartxref\n(\d+)", after)[1] == re.search(rb"\nstartxref\n(\d+)", before)[1]
    check(path, held)
    assert mend_stream_ends(path) == 0
    assert path.read_bytes() == after


def test_a_length_that_gains_a_digit(tmp_path: Path) -> None:
    path = tmp_path / "one.pdf"
    body = b"%PDF-1.7\n1 0 obj\n<< /Length 9 /Filter /FlateDecode >>\nstream\n12345678\r\nendstream\nendobj\n2 0 obj\n"
    path.write_bytes(body)
    assert mend_stream_ends(path) == 1
    made = path.read_bytes()
    assert b"<</Length 10 /Filter /FlateDecode>>\nstream\n12345678\r \nendstream\nendobj\n2 0 obj\n" in made
    assert made.index(b"2 0 obj") == body.index(b"2 0 obj")


def test_what_only_looks_like_an_end_stays(tmp_path: Path) -> None:
    path = tmp_path / "looks.pdf"
    for body in (
        b"<< /Length 99 /Filter /FlateDecode >>\nstream\n12345678\r\nendstream\nendobj\n",
        b"<< /Length 9 /Filter /DCTDecode >>\nstream\n12345678\r\nendstream\nendobj\n",
        b"\r\nendstream\nendobj\n",
    ):
        path.write_bytes(body)
        assert mend_stream_ends(path) == 0
        assert path.read_bytes() == body
