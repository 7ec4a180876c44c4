"""The time stamp on the PDF's signature (PAdES B-T), and the copy of the dossier that holds it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from buildbook.seal.digest import NotAManifest, compare, parse_manifest, sha256_bytes
from buildbook.verify.limits import MOST_PDF_BYTES
from buildbook.verify.pdfsigned import Held, Refused, last_signature
from buildbook.verify.report import Step
from buildbook.verify.timestamp import REPLY, token_step

STAMPED = "dossier-timestamped.pdf"
LIST = "timestamps-sha256.txt"
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
        # Of a signature that does not stand open in the file the step over the signature speaks.
        held = last_signature(pdf) if pdf is not None and b"/ByteRange" in pdf else None
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


def list_step(read: Callable[[str], bytes | None], there: Callable[[str], bool]) -> Step | None:
    """What was added to an issue after it was made is what its list names; None where nothing was added.

    read, there: as of `proof_steps`. Whoever takes all of it away, with the list, makes the issue as it was made.
    """
    title = "The time stamps added are those listed"
    added = [name for name in (REPLY, STAMPED) if there(name)]
    if not there(LIST):
        return Step(title, False, f"there is no {LIST}", (f"missing: {LIST!r}",)) if added else None
    unread = (f"changed: {LIST!r}",)
    try:
        listed = parse_manifest(read(LIST) or b"")
    except NotAManifest as error:
        return Step(title, False, f"{LIST} is no list: {error}", unread)
    if not listed or set(listed) - {REPLY, STAMPED}:
        return Step(title, False, f"{LIST} names other files than time stamps, or none", unread)
    found = {name: sha256_bytes(read(name) or b"") for name in added}
    changed, missing, more = compare(listed, found)
    lines = [f"changed: {n!r} or its line in {LIST!r}" for n in changed]
    lines += [f"missing: {n!r}" for n in missing] + [f"added: {n!r}, or taken out of {LIST!r}" for n in more]
    return Step(title, not lines, ", ".join(sorted(listed)) if not lines else "they differ", tuple(lines))


def unstamped(pdf: bytes) -> bytes | None:
    """A PDF without the time stamp in its signature; None if there is none in it, or it cannot be told."""
    try:
        held = last_signature(pdf)
        return held.without_token(pdf) if held is not None and held.tokens else None
    except Exception:
        return None
