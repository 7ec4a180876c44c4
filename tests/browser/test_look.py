"""How the web edition looks at three widths, against small references in `tests/golden/web`.

Compared are grey pictures of 96 pixels across, blurred: where things stand and how dark they are, not how a letter is
drawn. The page's own fonts are taken from the packages the PDF uses, so that line ends are alike on each machine.
`WEB_GOLDEN=write pytest tests/browser/test_look.py` writes the references anew; look at them before they are kept.
"""

from __future__ import annotations

import io
import os
from base64 import b64encode
from importlib.resources import files
from pathlib import Path

import pytest
from PIL import Image, ImageChops, ImageFilter

from buildbook.render.pdf.fontfiles import MONO_PATH, SANS_PATH, SERIF_PATH

pytestmark = pytest.mark.browser
GOLDEN = Path(__file__).parents[1] / "golden" / "web"
ACROSS = 96  # pixels of a reference
APART = 12  # of 255: a pixel that differs by more counts
MOST = 0.01  # share of such pixels; measured: see test_a_broken_layout_is_seen
VIEWS = ("opening", "pair", "register", "map", "viewer", "check")
SIZES = {360: 740, 768: 1024, 1440: 900}


@pytest.fixture(scope="session")
def fonts():
    """The three families as CSS, put into the page by the test alone."""
    made = []
    for family, package, path in (
        ("Noto Sans", "fontpkg_noto_sans", SANS_PATH),
        ("Source Serif 4", "fontpkg_source_serif_4", SERIF_PATH),
        ("Roboto Mono", "fontpkg_roboto_mono", MONO_PATH),
    ):
        data = b64encode((files(package) / path).read_bytes()).decode()
        made.append(f'@font-face {{ font-family: "{family}"; font-weight: 100 900; src: url(data:font/ttf;base64,{data}); }}')
    return "\n".join(made)


@pytest.fixture
def window(open_page, made, fonts):
    """`window(width)`: the page with the fonts of the test, opened once."""

    def opened(width):
        page = open_page(made.web, width, SIZES[width], bypass_csp=True)
        page.add_style_tag(content=fonts)
        page.evaluate("Promise.all([...document.fonts].map(f => f.load()))")
        return page

    return opened


def picture(page, name):
    """A view as a small grey picture."""
    show(page, name)
    page.wait_for_function(IMAGES)
    page.evaluate("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
    shot = Image.open(io.BytesIO(page.screenshot())).convert("L")
    return shot.resize((ACROSS, round(shot.height * ACROSS / shot.width)), Image.Resampling.BOX)


IMAGES = """[...document.images].filter(i => { const b = i.getBoundingClientRect(); return i.checkVisibility() && b.bottom > 0 && b.top < innerHeight; })
            .every(i => i.complete && i.naturalWidth)"""


def show(page, name):
    if name == "opening":
        page.evaluate("scrollTo(0, 0)")
    elif name == "viewer":
        if not page.locator("#viewer").is_visible():
            page.locator("main .photo a.photo-open:visible").first.click()
    else:
        if name == "map":
            page.locator(".place-link").first.evaluate("link => link.click()")  # on a phone the list is folded
        where = {"pair": "main .pair", "register": "#section-parts", "map": "#map", "check": "#check"}[name]
        page.evaluate("q => { document.getElementById('viewer').close(); document.querySelector(q).scrollIntoView(); }", where)


def apart(one, other):
    if one.size != other.size:
        return 1.0
    blurred = [picture.filter(ImageFilter.GaussianBlur(1.5)) for picture in (one, other)]
    difference = ImageChops.difference(*blurred).histogram()
    return sum(difference[APART:]) / (one.width * one.height)


@pytest.mark.parametrize("width", SIZES)
def test_it_looks_as_it_did(window, width):
    writing = os.environ.get("WEB_GOLDEN") == "write"
    page, far = window(width), {}
    for name in VIEWS:
        seen, path = picture(page, name), GOLDEN / f"{name}-{width}.png"
        if writing:
            GOLDEN.mkdir(parents=True, exist_ok=True)
            seen.save(path, optimize=True)
        with Image.open(path) as kept:
            far[name] = round(apart(seen, kept), 4)
    assert {name: share for name, share in far.items() if share > MOST} == {}


BROKEN = {
    "opening": [".hero { display: block !important }", ".hero h1 { font-size: 8rem !important }", ".hero-picture { display: none }"],
    "pair": [".pair-stage { display: none !important }", ".pair.is-live .pair-after { position: static !important }"],
    "register": ["tbody { display: none !important }", "table { font-size: 2rem !important }"],
    "map": [".map-board { display: block !important } .map-plan svg { width: 30% !important }", ".map-panels { display: none !important }"],
    "viewer": [".viewer-side { display: none }", ".viewer { height: 50vh !important }"],
    "check": [".check { background: black !important }", ".check p { margin-top: 5rem !important }"],
}  # fmt: skip


def test_a_broken_layout_is_seen(window):
    """Each is a fault put in on purpose; the same view without it is as the reference."""
    page, unseen = window(1440), []
    for name in VIEWS:
        with Image.open(GOLDEN / f"{name}-1440.png") as kept:
            assert apart(picture(page, name), kept) <= MOST, name
            for style in BROKEN[name]:
                fault = page.add_style_tag(content=style)
                share = apart(picture(page, name), kept)
                fault.evaluate("e => e.remove()")
                if share <= 2 * MOST:
                    unseen.append((name, style, round(share, 4)))
    assert unseen == []


def test_the_references_are_small():
    sizes = [path.stat().st_size for path in GOLDEN.glob("*.png")]
    assert len(sizes) == len(VIEWS) * len(SIZES)
    assert sum(sizes) < 250_000
