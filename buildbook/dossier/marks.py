"""The marks that sources carry in the tables said in words that a reader of the dossier knows."""

from __future__ import annotations

import re

from buildbook.dossier.wording import N_, _, bracketed

_WORDS = {
    "PUB-A": N_("official text"),
    "PUB-B": N_("maker or handbook"),
    "PUB-C": N_("secondary page"),
    "MEM": N_("from memory"),
    "PRAC": N_("common practice"),
    "DER": N_("worked out"),
    "OWN": N_("our own"),
}
_MARK = "|".join(_WORDS)
_SAID_ALREADY = re.compile(rf"(common practice[^();,]*(?:, no source)?|secondary page) ?\((?:{_MARK})\)|"
                           rf"(secondary page), PUB-C(?=\))")  # fmt: skip
_TOKEN = re.compile(rf"\b({_MARK})\b", re.ASCII)
# Brackets of either width: a translation has its own.
_BRACKETED = re.compile(rf"(\S*?) ?[\[(（]([^\[\]()（）]*\b(?:{_MARK})\b[^\[\]()（）]*)[\])）]", re.ASCII)


def in_words(source: str) -> str:
    """A source with its marks as words: "ISO 2813 [PUB-C]" -> "ISO 2813 (secondary page)". Other text is left alone."""
    said = _SAID_ALREADY.sub(lambda m: m.group(1) or m.group(2), source)
    return _BRACKETED.sub(lambda m: bracketed(m.group(1), _TOKEN.sub(_word, m.group(2))), said)


def _word(mark: re.Match[str]) -> str:
    return _(_WORDS[mark.group(1)])
