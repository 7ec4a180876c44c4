"""Printed cards against readers that are not ours: zxing-cpp reads what segno wrote and poppler drew.

Aim (common practice, no source): 99 % of shots read. `python tests/bench/cards.py` takes 200; here the first 24 of them.
"""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pikepdf
import pypdf
import pytest
from bench.card_shots import card_pages, shots
from bench.cards import SEED, read, sample
from PIL import Image
from unit.render.accessible import CHECKS
from unit.render.reading import level_b_faults

from buildbook.photos.codes import card_codes
from buildbook.render.pdf.cards import render_cards

needs_poppler = pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="needs pdftoppm (poppler-utils)")


@needs_poppler
@pytest.mark.slow
def test_shots_of_cards_are_read() -> None:
    cards = sample()
    taken = list(shots(cards, card_pages(cards), 24, SEED))
    good, missed, wrong = read(taken)
    assert wrong == 0
    assert good / len(taken) >= 0.95, [shot.how for shot in missed]


@needs_poppler
def test_every_card_of_the_print_is_read_from_the_page(tmp_path: Path) -> None:
    cards = sample()
    pdf = tmp_path / "cards.pdf"
    assert render_cards(cards, pdf) == 5  # 18 cards, four to a sheet
    subprocess.run(["pdftoppm", "-r", "120", "-png", pdf, tmp_path / "page"], check=True)
    found = [code for page in sorted(tmp_path.glob("page-*.png")) for code in card_codes(Image.open(page))]
    assert sorted(found) == sorted(face.code for face in cards.faces)


@needs_poppler
def test_two_prints_are_the_same_bytes_and_all_fonts_are_embedded(tmp_path: Path) -> None:
    for name in ("a.pdf", "b.pdf"):
        render_cards(sample(), tmp_path / name, four=False)
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()
    told = subprocess.run(["pdffonts", tmp_path / "a.pdf"], capture_output=True, text=True, check=True).stdout
    rows = told.splitlines()[2:]
    assert rows
    assert all(row.split()[-5] == "yes" for row in rows), told


def test_the_words_on_the_cards_can_be_read_as_text(tmp_path: Path) -> None:
    pdf = tmp_path / "cards.pdf"
    assert render_cards(sample(), pdf, four=False) == 18
    pages = pypdf.PdfReader(pdf).pages
    assert [round(float(n)) for n in pages[0].mediabox[2:]] == [421, 595]  # A5, ISO 216, in points
    text = pages[3].extract_text()
    for said in ("020", "BEFORE", "Work on bonnet", "Bonnet", "2026-014", "Printed 2026-03-02"):
        assert said in text


def test_the_print_is_archivable(tmp_path: Path) -> None:
    """PDF/A-3b by pikepdf's own validator."""
    pytest.importorskip("pikepdf.pdfa")
    pdf = tmp_path / "cards.pdf"
    render_cards(sample(), pdf)
    assert level_b_faults(pdf) == []
    with pikepdf.open(pdf) as opened:
        assert [fault for check in CHECKS for fault in check(opened)] == []


@pytest.mark.parametrize("four", [True, False])
def test_the_print_is_pdf_a_3a_and_pdf_ua_1_for_an_independent_validator(four: bool, tmp_path: Path) -> None:
    pytest.importorskip("page", reason="page-validation is not installed")
    from outside.test_pdf_ua import faults

    render_cards(sample(), tmp_path / "cards.pdf", four=four)
    assert faults(tmp_path / "cards.pdf") == []
