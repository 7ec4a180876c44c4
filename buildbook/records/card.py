"""Marker cards: what the code on a card says, and how it is written.

A card is photographed before the work it names; a clock card shows the present second. The text of its QR code is

    BBK1:<job>:<step>:<stage>:<zone>:<made>:<check>      BBK1:<job>:CLOCK:::<shown>:<check>

in the characters of QR's alphanumeric mode (ISO/IEC 18004), others as %XX of their UTF-8 bytes. The check is part of
a SHA-256 over the job number exactly as job.toml has it and the other fields, so that a card of another job, or a
misread, is refused. It guards against mistakes, not against forgery.
"""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from urllib.parse import unquote

from buildbook.records.said import said
from buildbook.records.words import Stage

PREFIX = "BBK1"
FOLDER = "documents/cards/"  # where photos of cards are kept
CODE_MAX = 400  # characters; no card of ours has a longer code
_CLOCK = "CLOCK"
_INSTANT = "%Y%m%dT%H%M%SZ"
_PLAIN = re.compile(r"[0-9A-Z .\-+/$*]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """job: its number. step, stage: None on a clock card. made: UTC; when it was printed, or the second it shows."""

    job: str
    step: int | None = None
    stage: Stage | None = None
    zone: str = ""
    made: datetime

    @property
    def is_clock(self) -> bool:
        return self.step is None


class CardRefused(ValueError):
    """A card's code that must not be followed: its text says why, as a clause."""

    def __init__(self, says: str) -> None:
        super().__init__(says)
        self.says = says


def code_of(card: Card) -> str:
    """The text of the card's QR code. Raises ValueError if its job has no number."""
    if not card.job.strip():
        raise ValueError("a card needs a job number")
    step = _CLOCK if card.step is None else f"{card.step:03d}"
    stage = card.stage.value if card.stage else ""
    fields = [_coded(part) for part in (card.job, step, stage, card.zone)]
    fields.append(card.made.astimezone(UTC).strftime(_INSTANT))
    return ":".join([PREFIX, *fields, _check(card.job, fields[1:])])


@lru_cache(maxsize=4096)
def read_code(text: str, job: str) -> Card:
    """The card of a code read from a photo, for the job of that number. Raises CardRefused."""
    parts = text.split(":")
    if len(parts) != 7 or parts[0] != PREFIX or len(text) > CODE_MAX:
        raise CardRefused(said("its code is no card's"))
    _, owner, step, stage, zone, made, check = parts
    if owner != _coded(job):
        raise CardRefused(said("it is a card of another job, {job}", job=unquote(owner)))
    if check != _check(job, [step, stage, zone, made]):
        raise CardRefused(said("its code does not add up: misread, or of a job whose number is written otherwise"))
    try:
        moment = datetime.strptime(made, _INSTANT).replace(tzinfo=UTC)
        if step == _CLOCK:
            return Card(job=job, made=moment)
        return Card(
            job=job, step=int(step), stage=Stage(stage.casefold()), zone=unquote(zone).casefold(), made=moment
        )  # fmt: skip
    except ValueError as reason:
        raise CardRefused(said("its code holds a step, stage or time that cannot be")) from reason


def _coded(text: str) -> str:
    return "".join(
        c if _PLAIN.fullmatch(c) else "".join(f"%{byte:02X}" for byte in c.encode("utf-8", "backslashreplace"))
        for c in text.upper()
    )


def _check(job: str, fields: list[str]) -> str:
    digest = hashlib.sha256("\n".join([PREFIX, job, *fields]).encode("utf-8", "backslashreplace")).digest()
    return base64.b32encode(digest[:5]).decode("ascii")
