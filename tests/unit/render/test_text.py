"""What was written can be read back: every field of the dossier, by pypdf and, where it is installed, by pdftotext."""

from __future__ import annotations

import re
import shutil
import subprocess
import unicodedata
from collections import Counter as Count
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path

import pypdf
import pytest
from unit.render import sample

from buildbook.dossier.drawing import Drawing, Label
from buildbook.dossier.model import Dossier, Figure
from buildbook.render.pdf.fonts import FontSet, characters_of
from buildbook.render.pdf.links import texts

# Fields that are not printed as text: links, hashes that name pictures, alternative texts, codes of layout.
_NOT_PRINTED = {
    "anchor", "target", "asset", "assets", "alt", "tone", "style", "align", "paper", "language", "seal", "payload",
    "previous_seal", "subject", "author", "keys",
}  # fmt: skip


def printed(value: object) -> Iterator[str]:
    """Every string of the model that stands on the page."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from printed(item)
    elif isinstance(value, Figure):
        yield from printed(value.caption)
        yield from (item.text for item in value.drawing.items if isinstance(item, Label))
    elif is_dataclass(value) and not isinstance(value, Drawing | type):
        for one in fields(value):
            top = isinstance(value, Dossier) and one.name == "title"
            if one.name not in _NOT_PRINTED and not top:
                yield from printed(getattr(value, one.name))


def fold(text: str) -> str:
    """NFC, no white space; Thai sara am as its two parts are drawn, the nikhahit left out (a reader sees it apart)."""
    composed = unicodedata.normalize("NFC", text)
    return "".join(composed.replace("\u0e33", "\u0e32").replace("\u0e4d", "").split())


def by_pypdf(path: Path) -> str:
    """All text, without running matter."""
    pages = []
    for page in pypdf.PdfReader(path).pages:
        lines = page.extract_text().splitlines()
        pages.append(
            "\n".join(line for line in lines if not re.match(r"Seal [0-9a-f ]{19} page|Job 2026-014 · ", line))
        )
    return fold("\n".join(pages))


def cleaned(dossier: Dossier) -> FontSet:
    """The fonts the dossier is drawn with, for the form its text is drawn in."""
    return FontSet(characters_of(texts(dossier)), dossier.language)


def test_every_field_is_found_by_pypdf(rendered: Path) -> None:
    dossier = sample.sample()
    fonts = cleaned(dossier)
    text = by_pypdf(rendered)
    wanted = {fold(fonts.clean(one)) for one in printed(dossier)}
    assert len(wanted) > 250
    assert [one for one in sorted(wanted) if one not in text] == []


def test_every_field_is_found_by_pdftotext(rendered: Path) -> None:
    tool = shutil.which("pdftotext")
    if tool is None:
        pytest.skip("pdftotext (poppler) is not installed")
    made = subprocess.run([tool, "-raw", rendered, "-"], check=True, capture_output=True).stdout.decode("utf-8")
    text = fold(made)
    for script, name in sample.NAMES.items():
        if script not in ("Japanese text",):  # which breaks over two lines of a table
            assert "".join(name.split()) in "".join(unicodedata.normalize("NFC", made).split()), script
    assert fold("Both rear brake callipers were replaced; the old ones went back to the owner.") in text


def test_scripts_by_name(rendered: Path) -> None:
    text = by_pypdf(rendered)
    for name in sample.NAMES.values():
        assert fold(name) in text


def test_awkward_strings_come_back(awkward: Path, strings: list[str]) -> None:
    """Each string as often as it was written, once its form is composed and its white space is folded; characters no
    font has come back as their code points."""
    dossier = sample.sample(strings)
    fonts = cleaned(dossier)
    text = by_pypdf(awkward)
    missing = []
    for one in strings:
        drawn = fold(fonts.clean(one))
        if len(drawn) > 1000:  # runs over pages beside other columns: counted below
            continue
        marks = [char for char in drawn if unicodedata.category(char) == "Mn"]
        if len(marks) > 20:  # a stack of marks: a reader puts them in an order of its own
            assert not Count(marks) - Count(text)
            continue
        if drawn not in text:
            missing.append(drawn)
    assert missing == []
    assert text.count("W") >= 5000 * 12


def test_user_text_is_never_markup(awkward: Path) -> None:
    text = by_pypdf(awkward)
    assert fold('<link href="file:///etc/passwd">x</link>') in text
    assert "root:x:0" not in text


def test_what_no_font_has_is_shown_by_its_code_point() -> None:
    fonts = FontSet(characters_of(["é"]), "en")
    assert fonts.clean("a\u202eb") == "a[U+202E]b"
    assert fonts.clean("lone \ud83d") == "lone [U+D83D]"
    assert fonts.clean("👍") == "[U+1F44D]"
    assert fonts.clean("\ue000") == "[U+E000]"
    assert fonts.clean("e\u0301\t1\u30002\r\n3") == "é 1 2\n3"


@pytest.mark.parametrize(
    ("text", "language", "region"),
    [
        ("南 空", "en", "JP"),
        ("南 空", "ja", "JP"),
        ("王小明", "zh-Hans", "SC"),
        ("王小明", "zh-TW", "TC"),
        ("金哲洙", "ko", "KR"),
        ("直す", "zh-Hans", "JP"),  # kana beside it
        ("直 김", "zh-Hans", "KR"),  # hangul beside it
        ("张红绿", "en", "SC"),  # a character the Japanese font lacks
    ],
)
def test_form_of_han(text: str, language: str, region: str) -> None:
    assert FontSet(characters_of([text]), language).region(text) == region


def test_thai_marks_are_stacked_not_side_by_side() -> None:
    """A tone mark above a vowel stands higher than alone or takes a form of its own, and neither takes width."""
    fonts = FontSet(characters_of(["ที่"]), "th")
    (alone,) = fonts.shape("text", "ท")
    (stacked,) = fonts.shape("text", "ที่")
    assert stacked.width == pytest.approx(alone.width)
    assert len(stacked.units) == 3
    assert not stacked.plain
