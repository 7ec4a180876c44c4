"""Small pieces that several sections print: prose as paragraphs, a day or that it is not recorded."""

from __future__ import annotations

import re
from datetime import date
from typing import Literal

from buildbook.dossier.formats import Formats
from buildbook.dossier.model import Paragraph, Text, text
from buildbook.dossier.wording import not_recorded


def paragraphs(prose: str, style: Literal["body", "lead", "quiet"] = "body") -> list[Paragraph]:
    """The paragraphs of a text, parted by blank lines; none for a text without any visible character."""
    parts = re.split(r"\n\s*\n", prose.replace("\r\n", "\n").strip("\n"))
    return [Paragraph(text=text(part.strip("\n")), style=style) for part in parts if part.strip()]


def day_or_silence(formats: Formats, on: date | None) -> Text:
    """The day, or "not recorded"."""
    return text(formats.day(on)) if on is not None else not_recorded()


def brief_in_summary(brief: str) -> bool:
    """Whether the brief is short enough for the summary, which is one page; a longer one stands in section 2."""
    return len(brief) <= 480 and "\n" not in brief.strip()
