"""The fixed words the pages add of their own, in one place. Each is looked up when it is asked for."""

from __future__ import annotations

from datetime import date

from babel.dates import format_date, get_month_names

from buildbook.dossier.language import voice
from buildbook.dossier.wording import N_, _

_WORDS = {
    "CONTENTS": N_("Contents"),
    "DRAFT": N_("DRAFT"),
    "DRAFT_LINE": N_("DRAFT · not an issued record"),
    "SEAL": N_("Seal"),
    "PREVIOUS": N_("Seal of the issue before"),
    "BEFORE": N_("Before"),
    "AFTER": N_("After"),
    "NO_EVIDENCE": N_("no evidence on file"),
    "CAUTION": N_("Caution"),
    "NO_PICTURE": N_("No picture"),
}
_SIGNS = "•…·–—[]U+0123456789ABCDEF"


def __getattr__(name: str) -> str:
    """`words.SEAL` in the language being spoken."""
    if name not in _WORDS:
        raise AttributeError(name)
    return _(_WORDS[name])


def page_of(number: int, total: int) -> str:
    """`page n of N`."""
    return _("page {n} of {all}").format(n=number, all=total)


def job(number: str) -> str:
    return _("Job {number}").format(number=number)


def issue(number: int) -> str:
    return _("Issue {n}").format(n=number)


def stated_by(who: str) -> str:
    return _("stated by {who}").format(who=who)


def source(said: str) -> str:
    return _("Source: {source}").format(source=said)


def day(when: date) -> str:
    """A date as printed on the cover: 2 March 2026."""
    return str(format_date(when, "long", locale=voice().locale))


def fixed() -> tuple[str, ...]:
    """All of it, to know which characters are drawn."""
    months = (str(name) for name in get_month_names("wide", locale=voice().locale).values())
    said = (page_of(0, 0), job(""), issue(0), stated_by(""), source(""), day(date(2026, 1, 1)))
    return (*(_(word) for word in _WORDS.values()), *said, *months, _SIGNS)
