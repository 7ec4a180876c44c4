"""What the release of a dossier is called: given to the builder, never found out by it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class IssueInfo:
    """number: 0 for a draft. seal, previous_seal: 64 hex digits, "" where there is none."""

    number: int
    issued_on: date
    draft: bool
    seal: str
    previous_seal: str
