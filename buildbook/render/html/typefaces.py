"""The type of the dossier within the page: the letters it uses and no others, so that it looks alike on each machine.

The families are those of the PDF (SIL Open Font License). What a reader's machine has for Han, kana and hangul goes
before ours, which holds one weight.
"""

from __future__ import annotations

from base64 import b64encode

from buildbook.render.pdf.fontfiles import FontFile, cjk, coverage, mono, sans, serif, static_font, thai

# Family, the weights it stands for, font. The names are used in edition.css.
_FACES = (
    ("Dossier Serif", "400", serif(400, 24)),
    ("Dossier Serif", "600 900", serif(600, 36)),
    ("Dossier Sans", "400", sans(400)),
    ("Dossier Sans", "600 900", sans(600)),
    ("Dossier Mono", "400 900", mono(400)),
)
_REGIONS = {"ko": "KR", "zh": "SC", "zh-tw": "TC", "zh-hk": "TC", "zh-hant": "TC"}


def typefaces(text: str, language: str) -> str:
    """`@font-face` rules with the letters of `text`; the same text gives the same bytes. language: BCP 47."""
    wanted = frozenset(map(ord, text))
    faces = [_face(family, weights, font, wanted) for family, weights, font in _FACES]
    left = wanted - _covered(sans(400))
    tag = language.lower()
    region = _REGIONS.get(tag) or _REGIONS.get(tag[:2], "JP")
    for family, font in (("Dossier Thai", thai(400)), ("Dossier Han", cjk(region, 400))):
        faces.append(_face(family, "400", font, left))
        left -= _covered(font)
    return "\n".join(face for face in faces if face)


def _covered(font: FontFile) -> frozenset[int]:
    return coverage(font.package, font.path)


def _face(family: str, weights: str, font: FontFile, wanted: frozenset[int]) -> str:
    letters = wanted & _covered(font)
    if not letters:
        return ""
    data = b64encode(static_font(font, letters)).decode("ascii")
    said = f'font-family: "{family}"; font-weight: {weights}; src: url(data:font/ttf;base64,{data}) format("truetype");'
    return f"@font-face {{ {said} }}"
