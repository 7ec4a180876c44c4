"""The one door for the dossier's fixed strings, so that a catalogue of translations can stand behind it later.

`_` marks and looks up one string; `plural` picks the form for a number; `phrase` fills named places with runs and
links. User text only ever goes into the places, never into the template.
"""

from __future__ import annotations

from string import Formatter

from buildbook.dossier.model import Ref, Run, Text, text

LANGUAGE = "en"  # the language the fixed strings are written in


def _(message: str) -> str:
    """The message in the language of the dossier: English until there are catalogues."""
    return message


def plural(one: str, many: str, n: int) -> str:
    """The form that goes with n; `{n}` in it becomes the number."""
    return (one if n == 1 else many).format(n=n)


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


def together(parts: list[Text], between: str = ", ") -> Text:
    """Texts joined by a separator; empty ones are left out."""
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
