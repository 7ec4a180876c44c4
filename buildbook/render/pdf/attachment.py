"""A file carried inside the dossier."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Relationship = Literal["Data", "Supplement", "Source", "Alternative", "Unspecified"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Attachment:
    """name: file name shown; mime: its media type; relationship: to the dossier (AFRelationship, ISO 19005-3)."""

    name: str
    data: bytes
    mime: str
    relationship: Relationship
    description: str
