"""The language a dossier is being made in: its catalogue and its way to write numbers. Held by context, not globally.

The catalogues are `buildbook/locale/<language>/LC_MESSAGES/buildbook.po`, read as they lie there, so that nothing has
to be compiled. English is what the strings are written in and has none.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import lru_cache
from gettext import GNUTranslations, NullTranslations
from importlib.resources import files
from io import BytesIO

from babel import Locale

from buildbook.records.languages import DEFAULT, LANGUAGES, regional, spoken

DOMAIN = "buildbook"


@dataclass(frozen=True, slots=True)
class Voice:
    """tag: BCP 47, as PDF and page name it. language: of the words. locale: of dates and numbers."""

    tag: str
    language: str
    locale: Locale
    catalogue: NullTranslations


@lru_cache(maxsize=8)
def catalogue(language: str) -> NullTranslations:
    """The translations of a language; English has none."""
    if language == DEFAULT:
        return NullTranslations()
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    source = files("buildbook") / "locale" / language / "LC_MESSAGES" / f"{DOMAIN}.po"
    compiled = BytesIO()
    with source.open("rb") as file:
        write_mo(compiled, read_po(file, locale=language, ignore_obsolete=True))
    compiled.seek(0)
    return GNUTranslations(compiled)


def tag_of(tag: str) -> str:
    """The tag a dossier is made in: the job's, without a region that is not known; English where no words are."""
    language = spoken(tag)
    if not language:
        return DEFAULT
    return tag.strip() if regional(tag) else language


def locale_of(tag: str) -> Locale:
    """The locale for figures and dates of a language tag. English without a region is British."""
    known = tag_of(tag)
    return Locale.parse("en-GB" if known.casefold() == DEFAULT else known, sep="-")


def voice_of(tag: str) -> Voice:
    known = tag_of(tag)
    language = spoken(known)
    return Voice(known, language, locale_of(known), catalogue(language))


_VOICE: ContextVar[Voice | None] = ContextVar("voice", default=None)


@contextmanager
def speaking(tag: str) -> Iterator[Voice]:
    """Everything within is said in the language of the tag."""
    before = _VOICE.set(voice_of(tag))
    try:
        yield voice()
    finally:
        _VOICE.reset(before)


def voice() -> Voice:
    """The language spoken here; English outside of `speaking`."""
    return _VOICE.get() or _english()


@lru_cache(maxsize=1)
def _english() -> Voice:
    return voice_of(DEFAULT)


@lru_cache(maxsize=1)
def month_names() -> frozenset[str]:
    """Names of months, long and short, of every language a dossier can be in, in small letters and without a point."""
    names = (
        name
        for tag in LANGUAGES
        for width in ("wide", "abbreviated")
        for name in Locale.parse(tag).months["format"][width].values()
    )
    return frozenset(str(name).rstrip(".").casefold() for name in names if str(name)[0].isalpha())
