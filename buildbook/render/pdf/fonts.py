"""Which font draws which character: faces, fallback by run, shaping, and what to print for what no font has."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from io import BytesIO
from typing import Any

import uharfbuzz
from reportlab.pdfbase.ttfonts import TTFont

from buildbook.render.pdf import fontfiles
from buildbook.render.pdf.fontfiles import FontFile
from buildbook.render.pdf.style import Face

_SHAPING = {"kern": True, "liga": False, "clig": False, "calt": False, "dlig": False}
_NO_GLYPH = {"Cc", "Cf", "Cs", "Co", "Cn"}
_MARKS = {"Mn", "Me"}
_HIGHEST, _LOWEST = 620.0, -420.0  # thousandths of an em a stacked mark may leave the line by
_SHAPED_INTO = {0x0E32, 0x0E4D}  # what shaping makes of Thai sara am (U+0E33)
_KANA = re.compile("[\u3041-\u30ff\u31f0-\u31ff]")
_HANGUL = re.compile("[\u1100-\u11ff\u3131-\u318e\uac00-\ud7a3]")
_HAN = re.compile("[\u3005\u3007\u3400-\u4dbf\u4e00-\u9fff\uf900-\ufaff\U00020000-\U0003ffff]")
_THAI = re.compile("[\u0e01-\u0e5b]")
_GREEK = re.compile("[\u0391-\u03a1\u03a3-\u03b5\u03b7-\u03bb\u03bd-\u03c9\u1f00-\u1fff]{2}")  # not a lone Δ or µ
_BETWEEN_THAI = re.compile("(?<=[\u0e00-\u0e7f])\u200b(?=[\u0e00-\u0e7f])")


@dataclass(frozen=True, slots=True)
class Unit:
    """A glyph placed: the code it is written by, its advance and offset, and the width the PDF says it has."""

    code: int
    advance: float  # all in thousandths of an em
    dx: float
    dy: float
    nominal: float


@dataclass(frozen=True, slots=True)
class Shaped:
    """Text in one font, shaped. plain: every glyph stands on the line and means its own character."""

    font: EmbeddedFont
    text: str
    units: tuple[Unit, ...]
    width: float  # thousandths of an em
    plain: bool


class EmbeddedFont(TTFont):  # type: ignore[misc]
    """A static font, embedded as subsets, whose text can be copied out of the PDF again."""

    def __init__(self, name: str, data: bytes) -> None:
        super().__init__(name, BytesIO(data), asciiReadable=False)
        self._means: dict[int, str] = {}
        self._shaper = uharfbuzz.Font(uharfbuzz.Face(data))
        self._scale = 1000.0 / self._shaper.face.upem
        self._code_of = {gid: min(codes) for gid, codes in self.face.glyphToChar.items()}
        self._forms: dict[int, int] | None = None
        self._data = data
        self._units: dict[tuple[int, float, float, float], Unit] = {}

    def shape(self, text: str) -> Shaped:
        """Shape `text`, every character of which this font has."""
        drawn = text.replace("\u00a0", " ")
        buffer = uharfbuzz.Buffer()
        buffer.add_str(drawn)
        buffer.guess_segment_properties()
        buffer.direction = "ltr"
        flags = uharfbuzz.BufferFlags
        buffer.flags = flags.DO_NOT_INSERT_DOTTED_CIRCLE | flags.PRESERVE_DEFAULT_IGNORABLES
        uharfbuzz.shape(self._shaper, buffer, _SHAPING)
        units: list[Unit] = []
        plain = True
        for info, at in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
            code = ord(drawn[info.cluster])
            if self.face.charToGlyph.get(code) != info.codepoint:
                code = self._code_of[info.codepoint]
                if fontfiles.PRIVATE <= code < 0xF900:
                    self._means.setdefault(code, self._meaning(info.codepoint))
                    plain = False
            dx, dy = at.x_offset * self._scale, min(max(at.y_offset * self._scale, _LOWEST), _HIGHEST)
            plain = plain and not dx and not dy
            units.append(self._unit(code, at.x_advance * self._scale, dx, dy))
        plain = plain and [unit.code for unit in units] == [ord(char) for char in drawn]
        return Shaped(self, text, tuple(units), sum(unit.advance for unit in units), plain)

    def _unit(self, code: int, advance: float, dx: float, dy: float) -> Unit:
        """One object for all places where a glyph stands alike: a long document has far more of them than glyphs."""
        key = (code, advance, dx, dy)
        found = self._units.get(key)
        if found is None:
            found = self._units[key] = Unit(*key, float(self.face.getCharWidth(code)))
        return found

    def _meaning(self, gid: int) -> str:
        """The character a contextual form stands for."""
        if self._forms is None:
            self._forms = fontfiles.contextual_forms(self._data)
        seen: set[int] = set()
        while gid in self._forms and gid not in seen:
            seen.add(gid)
            gid = self._forms[gid]
            code = self._code_of.get(gid, fontfiles.PRIVATE)
            if not fontfiles.PRIVATE <= code < 0xF900:
                return chr(code)
        return ""

    def addObjects(self, doc: Any) -> None:
        """Write the font's subsets; replace each ToUnicode map by one that also names characters beyond U+FFFF."""
        subsets = [list(part) for part in self.state[doc].subsets] if doc in self.state else []
        super().addObjects(doc)
        for number, codes in enumerate(subsets):
            font = doc.idToObject["BasicFonts"].dict[doc.fontMapping[self.fontName][1:] + f"+{number}"]
            stream = doc.idToObject["toUnicodeCMap:" + font.BaseFont]
            stream.content = _to_unicode(font.BaseFont, [self._means.get(code, chr(code)) for code in codes])


def _to_unicode(name: str, texts: list[str]) -> str:
    rows = [
        f"<{code:02X}> <{text.encode('utf-16-be').hex().upper()}>"
        for code, text in enumerate(texts)
        if text and text != "\x00"
    ]
    blocks: list[str] = []
    for start in range(0, len(rows), 100):
        part = rows[start : start + 100]
        blocks += [f"{len(part)} beginbfchar", *part, "endbfchar"]
    return "\n".join(
        [
            "/CIDInit /ProcSet findresource begin 12 dict begin begincmap",
            f"/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def /CMapName /{name} def",
            "/CMapType 2 def 1 begincodespacerange <00> <FF> endcodespacerange",
            *blocks,
            "endcmap CMapName currentdict /CMap defineresource pop end end",
        ]
    )


def characters_of(texts: Iterable[str]) -> frozenset[int]:
    """Every code point of the texts in the form they are drawn in, and all of ASCII."""
    found: set[int] = set(range(0x20, 0x7F))
    for text in set(texts):
        if not (text.isascii() and text.isprintable()):  # of ASCII all that is printable is in already
            found.update(map(ord, normal(text)))
    return frozenset(found)


def normal(text: str) -> str:
    """The form text is drawn in: composed (NFC), every kind of space a space, every kind of line end a newline."""
    composed = unicodedata.normalize("NFC", text.replace("\r\n", "\n"))
    composed = _BETWEEN_THAI.sub("", composed)  # an invisible hint where Thai may break
    return "".join(_space(char) for char in composed)


def _space(char: str) -> str:
    if char in "\r\n\x0b\x0c\x85\u2028\u2029":
        return "\n"
    if char == "\t" or (char != "\u00a0" and unicodedata.category(char) == "Zs"):
        return " "
    return char


def spoken(text: str, context: str) -> str:
    """The language a script alone tells (BCP 47), or nothing: Thai, Korean and Greek letters; Japanese by the kana
    in or beside it. Latin, Cyrillic and Han letters serve many languages.
    """
    if _THAI.search(text):
        return "th"
    if _HANGUL.search(text):
        return "ko"
    if _GREEK.search(text):
        return "el"
    if _KANA.search(text) or (_HAN.search(text) and _KANA.search(context)):
        return "ja"
    return ""


class FontSet:
    """The fonts of one document. characters: all it may draw; language: BCP 47, decides between forms of Han."""

    def __init__(self, characters: frozenset[int], language: str) -> None:
        self._characters = characters
        self._language = language.casefold()
        self._made: dict[FontFile, EmbeddedFont] = {}
        self._shaped: dict[tuple[Face, str, str], tuple[Shaped, ...]] = {}
        self._regions: dict[str, str] = {}
        self._chains: dict[tuple[Face, str], tuple[FontFile, ...]] = {}

    def clean(self, text: str) -> str:
        """`text` as it is drawn: normal form, and what no font can show replaced by its code point, `[U+XXXX]`."""
        drawn = normal(text)
        if drawn.isascii() and drawn.isprintable():
            return drawn
        return "".join(char if char == "\n" or self._drawable(char) else f"[U+{ord(char):04X}]" for char in drawn)

    def _drawable(self, char: str) -> bool:
        if unicodedata.category(char) in _NO_GLYPH:
            return False
        return any(ord(char) in _covers(file) for file in self._chain("text", "JP"))

    def shape(self, face: Face, text: str, context: str = "") -> tuple[Shaped, ...]:
        """Cleaned text as runs of one font each. context: the text it stands in, for the choice of Han forms."""
        region = "" if text.isascii() else self.region(context or text)
        key = (face, region, text)
        found = self._shaped.get(key)
        if found is None:
            found = self._shaped[key] = tuple(self._runs(face, text, region or "JP"))
        return found

    def _runs(self, face: Face, text: str, region: str) -> Iterable[Shaped]:
        chain = self._chain(face, region)
        start, current = 0, None
        for index, char in enumerate(text):
            keeps = current is not None and (unicodedata.category(char) in _MARKS or char in " \u00a0")
            if keeps and current is not None and ord(char) in _covers(current):
                continue
            file = next(file for file in chain if ord(char) in _covers(file))
            if file is not current:
                if current is not None:
                    yield self._font(current).shape(text[start:index])
                start, current = index, file
        if current is not None:
            yield self._font(current).shape(text[start:])

    def width(self, face: Face, size: float, text: str) -> float:
        """Width in points of cleaned text on one line."""
        return sum(run.width for run in self.shape(face, text)) * size / 1000

    def region(self, text: str) -> str:
        """Whose form of Han the text wants: the script beside it, else the document's language, else Japanese;
        where that font lacks one of its characters, the first that has them all, so that a name is never mixed.
        """
        if text not in self._regions:
            self._regions[text] = self._region(text)
        return self._regions[text]

    def _region(self, text: str) -> str:
        wanted = self._preferred(text)
        han = {ord(char) for char in text if _HAN.match(char)}
        for region in (wanted, *fontfiles.CJK):
            if han <= coverage_of(fontfiles.cjk(region, 400)):
                return region
        return wanted

    def _preferred(self, text: str) -> str:
        if _KANA.search(text):
            return "JP"
        if _HANGUL.search(text):
            return "KR"
        language = self._language
        if language.startswith("ko"):
            return "KR"
        if language.startswith("zh"):
            return "TC" if any(mark in language for mark in ("hant", "-tw", "-hk", "-mo")) else "SC"
        return "JP"

    def initial(self) -> EmbeddedFont:
        """The body font, for libraries that insist on one before any text is drawn."""
        return self._font(fontfiles.sans(400))

    def _font(self, file: FontFile) -> EmbeddedFont:
        if file not in self._made:
            wanted = (self._characters | _SHAPED_INTO) & coverage_of(file)
            self._made[file] = EmbeddedFont(file.name, fontfiles.static_font(file, frozenset(wanted)))
        return self._made[file]

    def _chain(self, face: Face, region: str) -> tuple[FontFile, ...]:
        key = (face, region)
        if key not in self._chains:
            weight = 600 if face in ("strong", "display") else 400
            first = {"display": (fontfiles.serif(560, 24),), "mono": (fontfiles.mono(400),)}.get(face, ())
            regions = (region, *(other for other in fontfiles.CJK if other != region))
            rest = (fontfiles.sans(weight), fontfiles.thai(weight), *(fontfiles.cjk(one, weight) for one in regions))
            self._chains[key] = (*first, *rest)
        return self._chains[key]


def coverage_of(file: FontFile) -> frozenset[int]:
    """Code points a font file has."""
    return fontfiles.coverage(file.package, file.path)


def _covers(file: FontFile) -> frozenset[int]:
    return coverage_of(file)
