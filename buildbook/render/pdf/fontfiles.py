"""Font files to small static TrueType fonts holding just the characters a dossier uses.

The families ship as variable fonts under the SIL Open Font License in font packages; nothing is looked for on the
machine, so the same dossier gives the same bytes everywhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from io import BytesIO
from pathlib import Path

import uharfbuzz
from fontTools.ttLib import TTFont
from fontTools.ttLib.scaleUpem import scale_upem

_FEATURES = ("ccmp", "locl", "mark", "mkmk", "kern", "abvm", "blwm")
PRIVATE = 0xE000  # first private-use code point, given to glyphs that shaping needs and no character names


@dataclass(frozen=True, slots=True)
class FontFile:
    """A font of one family at one place of its design space. name: PostScript name, unique to it."""

    name: str
    package: str
    path: str
    axes: tuple[tuple[str, float], ...]

    def located(self) -> Path:
        """The font's file in its installed package."""
        return Path(str(files(self.package).joinpath(*self.path.split("/"))))


def _noto(script: str, package: str, path: str, weight: float) -> FontFile:
    return FontFile(f"NotoSans{script}-w{weight:.0f}", package, path, (("wght", weight),))


SANS_PATH = "files/NotoSans[wdth,wght].ttf"
SERIF_PATH = "files/SourceSerif4[opsz,wght].ttf"
MONO_PATH = "files/RobotoMono[wght].ttf"
CJK = ("JP", "KR", "SC", "TC")


def sans(weight: float) -> FontFile:
    """Latin, Greek and Cyrillic text."""
    return _noto("", "fontpkg_noto_sans", SANS_PATH, weight)


def serif(weight: float, optical: float) -> FontFile:
    """Latin, Greek and Cyrillic display type; optical: the size in points its drawing is meant for."""
    axes = (("opsz", optical), ("wght", weight))
    return FontFile(f"SourceSerif4-w{weight:.0f}o{optical:.0f}", "fontpkg_source_serif_4", SERIF_PATH, axes)


def mono(weight: float) -> FontFile:
    """Fixed-width type for hashes and commands."""
    return FontFile(f"RobotoMono-w{weight:.0f}", "fontpkg_roboto_mono", MONO_PATH, (("wght", weight),))


def thai(weight: float) -> FontFile:
    """Thai."""
    return _noto("Thai", "fontpkg_noto_sans_thai", "files/NotoSansThai[wdth,wght].ttf", weight)


def cjk(region: str, weight: float) -> FontFile:
    """Han with kana (JP), hangul (KR), or in simplified (SC) or traditional (TC) form."""
    path = f"fonts/ofl/notosans{region.lower()}/NotoSans{region}[wght].ttf"
    return _noto(region, "justmytype_intl_cjk", path, weight)


@lru_cache(maxsize=32)
def _face(package: str, path: str) -> uharfbuzz.Face:
    return uharfbuzz.Face(uharfbuzz.Blob.from_file_path(str(FontFile("", package, path, ()).located())))


@lru_cache(maxsize=32)
def coverage(package: str, path: str) -> frozenset[int]:
    """Every code point a font file has a glyph for."""
    return frozenset(_face(package, path).unicodes)


@lru_cache(maxsize=64)
def static_font(file: FontFile, characters: frozenset[int]) -> bytes:
    """A static TrueType font with the glyphs of `characters`, and private code points for the rest; 1000 units an em.

    The glyphs that mark positioning and contextual forms need are kept; ligatures are not, so that one character stays
    one glyph wherever a script allows it. The result depends on the arguments alone.
    """
    face = _face(file.package, file.path)
    plan = uharfbuzz.SubsetInput()
    plan.unicode_set.update(characters)
    plan.pin_all_axes_to_default(face)
    for tag, value in file.axes:
        plan.pin_axis_location(face, tag, value)
    plan.flags = uharfbuzz.SubsetFlags.NO_HINTING | uharfbuzz.SubsetFlags.NOTDEF_OUTLINE
    features = plan.layout_feature_tag_set
    features.clear()
    features.update(_tag(name) for name in _FEATURES)
    plan.drop_table_tag_set.update(_tag(name) for name in ("BASE", "STAT", "vhea", "vmtx", "gasp", "DSIG", "meta"))
    font = TTFont(BytesIO(bytes(plan.subset(face).blob.data)), recalcTimestamp=False)
    if font["head"].unitsPerEm != 1000:  # so that widths in the PDF and in the font are the same whole numbers
        scale_upem(font, 1000)
    for record in font["name"].names:
        record.string = {2: "Regular"}.get(record.nameID, file.name)
    _name_every_glyph(font)
    made = BytesIO()
    font.save(made)
    return made.getvalue()


def _tag(name: str) -> int:
    return int.from_bytes(name.encode("ascii"), "big")


def _name_every_glyph(font: TTFont) -> None:
    """Give each glyph without a character a private code point, so that shaped text can be written by code."""
    cmap = font["cmap"]
    known = set(font.getBestCmap().values())
    free = iter(range(PRIVATE, 0xF800))
    extra = {next(free): name for name in font.getGlyphOrder()[1:] if name not in known}
    for table in cmap.tables:
        if table.isUnicode():
            table.cmap.update(extra)


def contextual_forms(data: bytes) -> dict[int, int]:
    """Glyph of a contextual form -> glyph it is a form of, by the font's single substitutions."""
    with TTFont(BytesIO(data)) as font:
        if "GSUB" not in font or font["GSUB"].table.LookupList is None:
            return {}
        forms: dict[int, int] = {}
        for lookup in font["GSUB"].table.LookupList.Lookup:
            for table in lookup.SubTable:
                table = getattr(table, "ExtSubTable", table)
                if table.LookupType == 1:
                    for source, form in table.mapping.items():
                        forms.setdefault(font.getGlyphID(form), font.getGlyphID(source))
        return forms
