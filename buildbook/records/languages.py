"""The languages a dossier can be written in, and what a language tag of the record means."""

from __future__ import annotations

from buildbook.marking import N_

# Those with a whole catalogue; English, which the strings are written in, needs none.
LANGUAGES = {"en": N_("English"), "de": N_("German"), "es": N_("Spanish"), "ja": N_("Japanese")}
DEFAULT = "en"


def spoken(tag: str) -> str:
    """The language of a BCP 47 tag (`de-CH` -> `de`); "" where there are no words for it."""
    language = tag.strip().replace("_", "-").split("-")[0].casefold()
    return language if language in LANGUAGES else ""


def regional(tag: str) -> bool:
    """Whether dates and numbers of exactly this tag are known, region and all (CLDR, through Babel)."""
    from babel import Locale, UnknownLocaleError

    try:
        found = Locale.parse(tag.strip(), sep="-")
    except (UnknownLocaleError, ValueError, TypeError):
        return False
    return "-" not in tag.strip() or bool(found.territory or found.script)
