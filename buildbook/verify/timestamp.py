"""The time stamp on a seal, checked offline, against roots that the reader gives."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from buildbook.verify.report import Step

REPLY = "timestamp.tsr"
_TITLE = "The time stamp is on this seal"


def timestamp_step(reply: bytes | None, seal: str, roots: Path | None) -> Step:
    """reply: timestamp.tsr, None if there is none. roots: PEM file of certificates the reader relies on."""
    if reply is None:
        return Step(_TITLE, None, f"there is none ({REPLY}): when the seal was made is the workshop's word")
    try:
        from asn1crypto import tsp
        from pyhanko.sign.validation import settings  # noqa: F401
    except ImportError:
        return Step(_TITLE, None, "checking it needs the extra `sign`; `openssl ts -verify` does the same")
    changed = (f"changed: {REPLY!r}",)
    try:
        token = tsp.TimeStampResp.load(reply, strict=True)["time_stamp_token"]
        stamped = token["content"]["encap_content_info"]["content"].parsed
        imprint, when = stamped["message_imprint"], stamped["gen_time"].native
        got = imprint["hashed_message"].native.hex()
        algorithm = imprint["hash_algorithm"]["algorithm"].native
    except Exception:  # whatever a stranger's bytes do to the parser
        return Step(_TITLE, False, "it is no reply after RFC 3161", changed)
    if algorithm != "sha256" or got != seal:
        return Step(_TITLE, False, f"it stamps {got}, expected {seal}", changed)
    try:
        held = _roots(roots) if roots else []
    except (OSError, ValueError):
        return Step(_TITLE, False, f"{roots} holds no certificate in PEM form")
    try:
        status = _check(token, held, when, bytes.fromhex(seal))
    except Exception as error:
        return Step(_TITLE, False, f"its signature cannot be checked ({type(error).__name__})", changed)
    if not (status["intact"] and status["valid"]):
        return Step(_TITLE, False, "its signature does not hold", changed)
    said = f"the seal existed on {when:%Y-%m-%d %H:%M:%S} UTC, says an authority"
    if not held:
        return Step(_TITLE, None, f"{said} that nothing here vouches for: give its roots with --tsa-roots")
    if not status["trusted"]:
        return Step(_TITLE, False, "the authority does not lead to the roots given", changed)
    return Step(_TITLE, True, f"{said} that leads to the roots given")


def _roots(path: Path) -> list[Any]:
    from asn1crypto import pem, x509

    blocks: Iterable[Any] = pem.unarmor(path.read_bytes(), multiple=True)
    return [x509.Certificate.load(der) for kind, _, der in blocks if kind == "CERTIFICATE"]


def _check(token: Any, roots: list[Any], when: Any, imprint: bytes) -> dict[str, Any]:
    from pyhanko.sign.validation.generic_cms import validate_tst_signed_data
    from pyhanko_certvalidator import ValidationContext

    context = ValidationContext(trust_roots=roots, moment=when, allow_fetching=False, revocation_mode="soft-fail")
    status = asyncio.run(validate_tst_signed_data(token["content"], context, lambda _: imprint))
    return {"intact": status["intact"], "valid": status["valid"], "trusted": status["trust_problem_indic"] is None}
