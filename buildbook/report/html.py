"""Findings as one page that can be printed and ticked off: no script, nothing from outside the file.

It speaks the language of the job, as the dossier does.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Callable, Sequence
from hashlib import sha256
from importlib.resources import files

from jinja2 import Environment, StrictUndefined, Template

from buildbook.dossier.formats import Formats
from buildbook.dossier.language import speaking
from buildbook.dossier.places import place_words
from buildbook.dossier.said import in_language
from buildbook.dossier.terms import term
from buildbook.dossier.wording import N_, _, semicolon
from buildbook.records.finding import Finding, Gate, Grade
from buildbook.records.job import Job
from buildbook.report.text import counts, printable
from buildbook.report.worklist import people, worklist

PHOTOS_OF_ONE = 3  # shown with one finding; the rest are counted
MOST_PICTURES = 400  # in the whole page: about 10 MB
_TEMPLATES = files("buildbook.report") / "templates"
_TITLES = {
    Gate.INTAKE: N_("Before intake"),
    Gate.PROGRESS: N_("Before progress"),
    Gate.HANDOVER: N_("Before handover"),
}
_HEADS = {
    Gate.INTAKE: N_("Job {number}: before intake"),
    Gate.PROGRESS: N_("Job {number}: before progress"),
    Gate.HANDOVER: N_("Job {number}: before handover"),
}


def findings_html(job: Job, gate: Gate, findings: Sequence[Finding], rendition: Callable[[str], bytes]) -> str:
    """The page. rendition: SHA-256 of a photo -> a small JPEG of it, which is put into the page itself.

    Beyond MOST_PICTURES a photo is named only.
    """
    shown: list[str] = []

    def picture(digest: str) -> str:
        if len(shown) == MOST_PICTURES:
            return ""
        shown.append(digest)
        return "data:image/jpeg;base64," + b64encode(rendition(digest)).decode("ascii")

    with speaking(job.language) as voice:
        day = Formats(voice.tag).day(job.as_of)
        head = _(_HEADS[gate]).format(number=job.number or _("(no number)"))
        style = _printed(head, _("As of {day}").format(day=day)) + (_TEMPLATES / "findings.css").read_text("utf-8")
        sections = worklist(job, findings)
        return _template().render(
            job=job, language=voice.tag, title=_(_TITLES[gate]), head=head, day=day, counts=counts(findings),
            sections=sections, people=people(sections), picture=picture, most=PHOTOS_OF_ONE, style=style,
            vehicle=_vehicle(job), style_hash=b64encode(sha256(style.encode()).digest()).decode("ascii"),
        )  # fmt: skip


def _template() -> Template:
    page = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    page.filters.update(printable=printable, said=in_language, place=place_words)
    page.globals.update(_=_, semicolon=semicolon, grade_word=lambda grade: term(Grade(grade)))
    return page.from_string((_TEMPLATES / "findings.html").read_text("utf-8"))


def _vehicle(job: Job) -> str:
    car = job.vehicle
    return " ".join(part for part in (car.marque, car.model, str(car.built or "")) if part)


def _printed(left: str, right: str) -> str:
    """The running head of each printed page, as CSS (Paged Media Module Level 3)."""
    return (
        f"@page {{ @top-left {{ content: {_css_text(left)}; }} @top-right {{ content: {_css_text(right)}; }}"
        ' @bottom-right { content: counter(page) " / " counter(pages); } }\n'
    )


def _css_text(text: str) -> str:
    """A CSS string; whatever is not a plain letter or digit is escaped by its number (CSS Syntax Level 3, 4.3.7)."""
    return '"' + "".join(c if c.isascii() and c.isalnum() else f"\\{ord(c):06x}" for c in printable(text)) + '"'
