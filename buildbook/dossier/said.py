"""Sentences of the check in the language of the dossier, figures with its marks."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from babel.numbers import format_decimal

from buildbook.dossier.formats import Formats
from buildbook.dossier.language import voice
from buildbook.dossier.terms import is_term, term
from buildbook.dossier.trade_words import trade_word
from buildbook.dossier.wording import _, lowered
from buildbook.records.languages import DEFAULT
from buildbook.records.said import Day, Figure, Row, Said, Sayable, Starting, Term, Within, day


def in_language(said: str) -> str:
    """The sentence as the dossier says it; a text that does not know how it was made stays as it is."""
    if voice().language == DEFAULT:
        return str(said)
    if isinstance(said, Row):
        return (_(said.between) if said.between else "").join(in_language(part) for part in said.parts)
    if isinstance(said, Day):
        return Formats(voice().tag).when(said.when)
    if isinstance(said, Within):
        return lowered(_(said.heading))
    if isinstance(said, Starting):
        begun = in_language(said.text)
        return begun[:1].upper() + begun[1:]
    if isinstance(said, Term):
        return term(said.member) if is_term(said.member) else trade_word(said.member)
    if isinstance(said, Said):
        catalogue = voice().catalogue
        template = catalogue.ngettext(said.template, said.many, said.n) if said.many else _(said.template)
        return template.format(**{name: _value(value) for name, value in said.values.items()})
    return _value(said.value if isinstance(said, Figure) else said, said)


def _value(value: object, shown: str = "") -> str:
    """What stands in a place: a sentence again, a number with as many digits in the language's way, or text."""
    if isinstance(value, str):
        return in_language(value) if isinstance(value, Sayable) else value
    if isinstance(value, date):
        return in_language(day(value))
    if isinstance(value, Decimal | float) or (shown and isinstance(value, int)):
        text = shown or str(value)
        places = len(text.partition(".")[2])
        if not text.replace(".", "").replace(",", "").lstrip("-").isdigit():
            return text
        pattern = ("#,##0" if "," in text else "0") + ("." + "0" * places if places else "")
        return format_decimal(Decimal(text.replace(",", "")), format=pattern, locale=voice().locale)
    return in_language(str(value))  # what has a sentence for its text
