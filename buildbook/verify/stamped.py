"""The time stamp on the PDF's signature (PAdES B-T), and the copy of the dossier that holds it."""

from __future__ import annotations

from pathlib import Path

from buildbook.verify.limits import MOST_PDF_BYTES
from buildbook.verify.pdfsigned import Held, Refused, last_signature
from buildbook.verify.report import Step
from buildbook.verify.timestamp import token_step

STAMPED = "dossier-timestamped.pdf"
_COPY = f"{STAMPED} is the dossier with a time stamp, and nothing else"
_LARGE = f"it is too large to be that: more than {MOST_PDF_BYTES:,} bytes are not read"
_STAMP = "The time stamp is on the PDF's signature"


def stamped_steps(
    pdf: bytes | None, roots: Path | None, copy: bytes | None = None, *, there: bool = False
) -> list[Step]:
    """pdf: the dossier. copy: dossier-timestamped.pdf, None if there is none, or (`there`) it is too large. Without a
    signature there are no steps.
    """
    changed = (f"changed: {STAMPED!r}",)
    try:
        held = last_signature(pdf) if pdf is not None else None
    except ImportError:
        return [Step(_STAMP, None, "checking it needs the extra `sign`; a PDF reader does the same")]
    except Exception:  # whatever a stranger's bytes do to the parser; the step over the signature has said so
        held = None
    if copy is None and there:
        return [Step(_COPY, False, _LARGE, changed)]
    if held is None:
        return [Step(_COPY, False, "the dossier has no signature to be stamped", changed)] if copy is not None else []
    if copy is None:
        return [_stamp(held, roots, "dossier.pdf")]
    try:
        stamped = last_signature(copy)
        if stamped is None or stamped.without_token(copy) != pdf:
            raise Refused("without its time stamp it is not dossier.pdf")
    except Exception as error:
        says = str(error) if isinstance(error, Refused) else type(error).__name__
        return [Step(_COPY, False, f"it is not: {says}", changed)]
    steps = [Step(_COPY, True, "without the time stamp it is dossier.pdf, byte for byte")]
    return [*steps, _stamp(stamped, roots, STAMPED)]


def _stamp(held: Held, roots: Path | None, name: str) -> Step:
    try:
        tokens = held.tokens
        digest = held.value_sha256
    except Exception as error:
        return Step(_STAMP, False, f"it cannot be read ({type(error).__name__})", (f"changed: {name!r}",))
    if not tokens:
        return Step(_STAMP, None, "there is none: when it was signed is the workshop's word")
    return token_step(_STAMP, tokens[0], digest, "the signature", roots, (f"changed: {name!r}",))


def unstamped(pdf: bytes) -> bytes | None:
    """A PDF without the time stamp in its signature; None if there is none in it, or it cannot be told."""
    try:
        held = last_signature(pdf)
        return held.without_token(pdf) if held is not None and held.tokens else None
    except Exception:
        return None
