"""Both pages on paper: A4 whole, nothing cut off, ticks printed"""

from __future__ import annotations

import io
import re
import shutil
import subprocess

import pytest
from PIL import Image, ImageChops
from pypdf import PdfReader

pytestmark = pytest.mark.browser
A4 = (595, 842)  # ISO 216: 210 mm by 297 mm, in points
MARGINS = {"web": 16, "findings": 15}  # millimetres left and right, from each page's own style

CLIPPED = """() => [...document.querySelectorAll("body *")].filter(e => {
    const s = getComputedStyle(e);
    if (!e.checkVisibility() || e.closest(".hidden, .unseen, svg") || s.display === "inline") return false;
    return e.getBoundingClientRect().right > innerWidth + 1 || (s.overflow !== "visible" && e.tagName !== "IMG" && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1));
}).map(e => `${e.tagName} ${e.className} ${e.textContent.trim().slice(0, 40)}`)"""


def squeezed(text):
    """Without spaces and without CJK: those come from a font of the reader's machine, and pypdf may not read them back."""
    return re.sub(r"[^!-~\u00a1-\u2fff]+", "", text)


def starts(sheet):
    """Where each piece of text begins, in points from the left."""
    found = []

    def visit(text, cm, tm, *_):
        if text.strip():
            found.append(tm[4] * cm[0] + tm[5] * cm[2] + cm[4])

    sheet.extract_text(visitor_text=visit)
    return found


@pytest.mark.parametrize("name", ["web", "findings"])
def test_each_page_is_a4_and_nothing_is_cut_off(open_page, made, name):
    page = open_page(getattr(made, name))
    data = page.pdf(format="A4", print_background=False)
    reader = PdfReader(io.BytesIO(data))
    for sheet in reader.pages:  # to whole pixels, rounded up
        assert abs(float(sheet.mediabox.width) - A4[0]) < 1.5
        assert abs(float(sheet.mediabox.height) - A4[1]) < 1.5
        assert all(0 < x < A4[0] for x in starts(sheet))
    page.emulate_media(media="print")
    page.set_viewport_size({"width": round((210 - 2 * MARGINS[name]) / 25.4 * 96), "height": 900})
    assert page.evaluate(CLIPPED) == []
    said = squeezed("".join(p.extract_text() for p in reader.pages))
    wanted = page.evaluate("[...document.querySelectorAll('h1, h2, h3, h4, td, dd, label span, figcaption')].filter(e => e.checkVisibility()).map(e => e.innerText)")
    missing = [one for one in wanted if one.strip() and squeezed(one) not in said]
    # Words parted by the end of a page have the running head between them.
    assert len(wanted) > 20
    assert len(missing) <= len(reader.pages), missing[:5]


def test_what_only_serves_the_screen_stays_off_the_paper(open_page, made):
    page = open_page(made.web)
    page.emulate_media(media="print")
    for name in (".contents", ".skip", ".search", ".pair-range", ".pair-knob", ".check-tools"):
        assert page.locator(f"{name}:visible").count() == 0, name
    assert page.locator(".place").count() == page.locator(".place:visible").count() > 0  # all places, not the chosen one
    for pair in page.locator("main .pair").all():
        left, right = pair.locator(".pair-before").bounding_box(), pair.locator(".pair-after").bounding_box()
        assert left["x"] + left["width"] <= right["x"] + 1


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="pdftoppm (poppler) is not installed")
def test_a_tick_is_printed(open_page, made, tmp_path):
    page = open_page(made.findings)

    def printed(name):
        (tmp_path / f"{name}.pdf").write_bytes(page.pdf(format="A4", print_background=False))
        subprocess.run(["pdftoppm", "-r", "72", "-gray", "-png", tmp_path / f"{name}.pdf", tmp_path / name], check=True)
        return [Image.open(path) for path in sorted(tmp_path.glob(f"{name}-*.png"))]

    before = printed("before")
    page.locator("input[type=checkbox]").first.check()
    after = printed("after")
    assert len(before) == len(after)
    boxes = [ImageChops.difference(a, b).point(lambda v: 255 * (v > 40)).getbbox() for a, b in zip(before, after, strict=True)]
    (box,) = [b for b in boxes if b]
    assert 4 <= box[2] - box[0] <= 14  # points: the inside of a box of 1.15 rem, and nothing else
    assert 4 <= box[3] - box[1] <= 14
