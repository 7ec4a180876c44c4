"""Findings as one page that can be printed and ticked off: no script, nothing from outside the file."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Callable, Sequence
from hashlib import sha256
from importlib.resources import files

from jinja2 import Environment, StrictUndefined

from buildbook.records.finding import Finding, Gate
from buildbook.records.job import Job
from buildbook.report.text import counts, printable
from buildbook.report.worklist import people, worklist

PHOTOS_OF_ONE = 3  # shown with one finding; the rest are counted
MOST_PICTURES = 400  # in the whole page: about 10 MB
_TEMPLATES = files("buildbook.report") / "templates"


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

    head = f"Job {job.number or '(no number)'}: before {gate.value}"
    style = _printed(head, f"As of {job.as_of}") + (_TEMPLATES / "findings.css").read_text("utf-8")
    page = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    page.filters["printable"] = printable
    template = page.from_string((_TEMPLATES / "findings.html").read_text("utf-8"))
    sections = worklist(job, findings)
    return template.render(
        job=job, gate=gate.value, counts=counts(findings), sections=sections, people=people(sections), picture=picture,
        most=PHOTOS_OF_ONE, style=style, vehicle=_vehicle(job),
        style_hash=b64encode(sha256(style.encode()).digest()).decode("ascii"),
    )  # fmt: skip


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
