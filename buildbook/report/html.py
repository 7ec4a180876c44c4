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
from buildbook.report.worklist import worklist

_PHOTOS_SHOWN = 3  # of one finding; the rest are counted
_TEMPLATES = files("buildbook.report") / "templates"


def findings_html(job: Job, gate: Gate, findings: Sequence[Finding], rendition: Callable[[str], bytes]) -> str:
    """The page. rendition: SHA-256 of a photo -> a small JPEG of it, which is put into the page itself."""
    pictures: dict[str, str] = {}

    def picture(digest: str) -> str:
        if digest not in pictures:
            pictures[digest] = "data:image/jpeg;base64," + b64encode(rendition(digest)).decode("ascii")
        return pictures[digest]

    style = (_TEMPLATES / "findings.css").read_text("utf-8")
    page = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    page.filters["printable"] = printable
    template = page.from_string((_TEMPLATES / "findings.html").read_text("utf-8"))
    return template.render(
        job=job, gate=gate.value, counts=counts(findings), sections=worklist(job, findings), picture=picture,
        most=_PHOTOS_SHOWN, style=style,
        style_hash=b64encode(sha256(style.encode()).digest()).decode("ascii"),
    )  # fmt: skip
