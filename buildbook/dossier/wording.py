"""The one door for the dossier's fixed strings: behind it stand the catalogues of translations.

`_` looks up one string in the language being spoken (`language.speaking`); `plural` picks the form for a number;
`phrase` fills named places with runs and links. `N_` and `forms` only mark strings, for tables made at import time;
whoever prints them looks them up. User text only ever goes into the places, never into the template.
"""

from __future__ import annotations

from collections.abc import Sequence
from string import Formatter

from buildbook.dossier.language import voice
from buildbook.dossier.model import Ref, Run, Text, text
from buildbook.marking import N_, forms

__all__ = [
    "N_", "_", "beside", "bracketed", "comma", "forms", "given", "lines", "lowered", "named_value", "not_recorded",
    "phrase", "plural", "semicolon", "sentences", "together",
]  # fmt: skip


def _(message: str, context: str = "") -> str:
    """The message in the language of the dossier. context: tells apart what English says with one word."""
    catalogue = voice().catalogue
    return catalogue.pgettext(context, message) if context else catalogue.gettext(message) if message else ""


def plural(one: str, many: str, n: int) -> str:
    """The form that goes with n; `{n}` in it becomes the number."""
    return voice().catalogue.ngettext(one, many, n).format(n=n)


def phrase(template: str, **parts: str | Run | Ref | Text) -> Text:
    """Text from a template with named places, each filled with plain text, a run, a link or a whole text."""
    made: list[str | Run | Ref] = []
    for literal, name, _spec, _conversion in Formatter().parse(template):
        if literal:
            made.append(literal)
        if name:
            part = parts[name]
            made.extend(part if isinstance(part, tuple) else (part,))
    return text(*made)


def comma() -> str:
    """What stands between the items of a list."""
    return _(", ")


def semicolon() -> str:
    """What stands between the items of a list where they hold commas themselves."""
    return _("; ")


def sentences(*told: str) -> str:
    """Sentences, or other things said, one after the other the language's way; empty ones are left out."""
    joined = ""
    for one in told:
        joined = _("{before} {after}").format(before=joined, after=one) if joined and one else joined or one
    return joined


def beside(said: str | Text, more: str | Text) -> Text:
    """The same with links: a sentence, and what stands behind it."""
    return phrase(_("{before} {after}"), before=said, after=more)


def named_value(name: str, value: str) -> str:
    """`name: value`."""
    return _("{name}: {value}").format(name=name, value=value)


def bracketed(said: str, more: str) -> str:
    """`said (more)`."""
    return _("{said} ({more})").format(said=said, more=more)


def lowered(title: str) -> str:
    """A title within a sentence: its first letter small, except where nouns keep their capital."""
    return title if voice().language == "de" else title[:1].lower() + title[1:]


def together(parts: Sequence[Text], between: str | None = None) -> Text:
    """Texts joined by a separator, that of lists where none is given; empty ones are left out."""
    between = comma() if between is None else between
    made: list[Run] = []
    for part in parts:
        if not part:
            continue
        if made and between:
            made.append(Run(between))
        made.extend(part)
    return tuple(made)


def lines(*parts: str | Text) -> Text:
    """Texts one under the other within a cell; empty ones are left out."""
    return together([text(p) if isinstance(p, str) else p for p in parts], "\n")


def not_recorded() -> Text:
    """What is printed where the record is silent."""
    return (Run(_("not recorded"), "quiet"),)


def given(value: str) -> Text:
    """User text, or "not recorded" where it is empty."""
    return text(value) if value.strip() else not_recorded()
