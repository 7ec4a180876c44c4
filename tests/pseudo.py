"""A pseudo-language: every string that is looked up stands in brackets, so what stands outside bypassed the catalogues.

What may stand outside: text of the record, names of files, codes, numbers and units.
"""

import re
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache
from gettext import NullTranslations
from string import Formatter

from babel.dates import get_month_names

from buildbook.dossier import language, verify_how
from buildbook.dossier.model import Ref, Run
from buildbook.records import languages

MONTHS = "|".join(get_month_names("wide", locale="de").values())
# Not words of a sentence: letters of series, units, signs, anchors' and tools' own spelling.
PLAIN = re.compile(
    r"(?<!\w)(?:\d{1,2}\. (?:" + MONTHS + r")(?: \d{4})?|[A-Z]{1,3}\d+|\d+(?:[.,:]\d+)*|ΔE00|GU|µm|mm|km|mi|kPa|bar|psi|ppm|kB|MB|GB|B|N·m"
    r"|lbf·ft|V|°C|°F|%RH|h|min|n|[A-Z]{3}|[0-9a-f]{4,64}|A4|Letter|SHA-256)(?!\w)"
)
PLACE = re.compile(r"\{\w+\}")  # filled in by the script of the page
# A separator beside a fixed word, put there by the code: other languages write others.
GLUED = re.compile(r"⟧(?:[,;:]|\.(?!\w)|\) | \()|(?:[,;:.)] | \()⟦|⟧ ⟦")  # in what `bared` gives
# Names of tools and what is typed.
COMMANDS = "\n".join([*verify_how.COMMANDS, *(c for row in verify_how.ELSEWHERE for c in row)])
# Fields of the model that no reader sees.
UNSEEN = {
    "anchor", "target", "link", "asset", "seal", "previous_seal", "language", "paper", "style", "align", "tone", "fill",
    "stroke", "colour", "commands", "payload", "field", "heading", "path",
}  # fmt: skip


def bracketed(message):
    """The words of a template in brackets, its places outside: what is put there must have been looked up itself."""
    made = []
    for literal, name, _spec, _conversion in Formatter().parse(message):
        made.append("⟦" + literal.replace("{", "{{").replace("}", "}}") + "⟧" if literal else "")
        made.append("" if name is None else "{" + name + "}")
    return "".join(made)


class Bracketed(NullTranslations):
    def gettext(self, message):
        return bracketed(message)

    def pgettext(self, context, message):
        return bracketed(message)

    def ngettext(self, msgid1, msgid2, n):
        return bracketed(msgid1 if n == 1 else msgid2)


def speak(monkeypatch):
    """German, for its way of writing zones whole, with every string bracketed instead of translated."""
    monkeypatch.setattr(languages, "LANGUAGES", {"en": "English", "de": "Deutsch"})
    monkeypatch.setattr(language, "catalogue", lambda _language: Bracketed())


def texts(value, name=""):
    """Every text a reader sees; runs of one text joined."""
    if name in UNSEEN or value is None or (isinstance(value, bool | Enum) and not isinstance(value, str)):
        return
    if isinstance(value, str):
        yield name, value
    elif isinstance(value, tuple) and value and all(isinstance(v, Run | Ref) for v in value):
        yield name, "".join(
            f"\n{v.label}\n" if isinstance(v, Ref) else f"\n{v.text}\n" if v.target else v.text for v in value
        )
    elif isinstance(value, dict):
        for key, one in value.items():
            yield from texts(one, str(key))
    elif isinstance(value, tuple | list | frozenset):
        for one in value:
            yield from texts(one, name)
    elif is_dataclass(value):
        for field in fields(value):
            yield from texts(getattr(value, field.name), field.name)


@cache
def outside(said):
    """What lies in no brackets."""
    made, depth = [], 0
    for c in said:
        depth += c == "⟦"
        if depth == 0:
            made.append(c)
        elif c == "⟧":
            depth -= 1
            if depth == 0:
                made.append("\n")
    return "".join(made)


@cache
def bared(said):
    """What was looked up as empty brackets, however much lies in them."""
    while (less := re.sub(r"⟦[^⟦⟧]*(?:⟦⟧[^⟦⟧]*)+⟧|⟦[^⟦⟧]+⟧", "⟦⟧", said)) != said:
        said = less
    return said


def written(job):
    """All text of a record, in its order, so that what is printed as one (maker and model) is found as one."""
    found = []

    def walk(value):
        if isinstance(value, str):
            found.append(str(value))
        elif isinstance(value, dict):
            for key, one in value.items():
                walk(key)
                walk(one)
        elif isinstance(value, tuple | list | frozenset):
            for one in value:
                walk(one)
        elif is_dataclass(value):
            for field in fields(value):
                walk(getattr(value, field.name))

    walk(job)
    return fold("\n".join(found))


def fold(said):
    """The letters alone, a blank between words."""
    return " ".join(re.findall(r"[^\W\d_]+", said.casefold()))


@cache
def pieces(said):
    """(piece, its letters, these without what is plain) of what lies in no brackets."""
    made = []
    for piece in re.split(r"[\n·:;,()/“”→–±=+|]+", outside(said)):
        bare = fold(PLAIN.sub(" ", piece.replace("\u00a0", " ")))
        if len(bare) > 1:
            made.append((piece.strip(), fold(piece), bare))
    return made


def strays(said, record):
    for piece, letters, bare in pieces(said):
        if letters not in record and bare not in record:
            yield piece
