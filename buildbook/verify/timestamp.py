"""Time stamps (RFC 3161), checked offline, against roots that the reader gives."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from buildbook.verify.limits import MOST_TAG_BYTES
from buildbook.verify.parts import read_file
from buildbook.verify.pdfsigned import Refused, check_certificates
from buildbook.verify.report import Step

REPLY = "timestamp.tsr"
_MOST_ROOTS = 4 << 20  # own limit: all roots a system knows take about 0.3 MiB
_TITLE = "The time stamp is on this seal"
TOO_LARGE = f"it is too large to be a time stamp: more than {MOST_TAG_BYTES:,} bytes are not read"


def timestamp_step(reply: bytes | None, seal: str, roots: Path | None, *, there: bool = False) -> Step:
    """reply: timestamp.tsr, None if there is none, or (`there`) it is larger than the limit. roots: PEM file of
    certificates the reader relies on.
    """
    changed = (f"changed: {REPLY!r}",)
    if reply is None and there:
        return Step(_TITLE, False, TOO_LARGE, changed)
    if reply is None:
        return Step(_TITLE, None, f"there is none ({REPLY}): when the seal was made is the workshop's word")
    try:
        from asn1crypto import tsp
    except ImportError:
        return Step(_TITLE, None, "checking it needs the extra `sign`; `openssl ts -verify` does the same")
    try:
        token = tsp.TimeStampResp.load(reply, strict=True)["time_stamp_token"]
    except Exception:  # whatever a stranger's bytes do to the parser
        return Step(_TITLE, False, "it is no reply after RFC 3161", changed)
    return token_step(_TITLE, token, seal, "the seal", roots, changed)


def token_step(title: str, token: Any, digest: str, what: str, roots: Path | None, changed: tuple[str, ...]) -> Step:
    """Check a token offline. digest: the SHA-256 it must be on; what: what that is of, "the seal"."""
    try:
        from pyhanko.sign.validation import settings  # noqa: F401
    except ImportError:
        return Step(title, None, "checking it needs the extra `sign`; `openssl ts -verify` does the same")
    try:
        stamped = token["content"]["encap_content_info"]["content"].parsed
        imprint, when = stamped["message_imprint"], stamped["gen_time"].native
        got = imprint["hashed_message"].native.hex()
        algorithm = imprint["hash_algorithm"]["algorithm"].native
    except Exception:  # whatever a stranger's bytes do to the parser
        return Step(title, False, "it is no time stamp after RFC 3161", changed)
    if algorithm != "sha256" or got != digest:
        return Step(title, False, f"it stamps {got}, expected {digest}", changed)
    held: list[Any] = []
    try:
        held = _roots(roots) if roots else []
    except Exception:  # whatever lies in that file
        held = []
    if roots and not held:
        return Step(title, False, f"{roots} holds no certificate in PEM form, or is larger than {_MOST_ROOTS:,} bytes")
    try:
        check_certificates(token["content"])
        status = _check(token, held, when, bytes.fromhex(digest))
    except Refused as refused:
        return Step(title, False, str(refused), changed)
    except Exception as error:
        return Step(title, False, f"its signature cannot be checked ({type(error).__name__})", changed)
    if not (status["intact"] and status["valid"]):
        return Step(title, False, "its signature does not hold", changed)
    said = f"{what} existed on {when:%Y-%m-%d %H:%M:%S} UTC, says an authority"
    if not held:
        return Step(title, None, f"{said} that nothing here vouches for: give its roots with --tsa-roots")
    if not status["trusted"]:
        return Step(title, False, "the authority does not lead to the roots given", changed)
    return Step(title, True, f"{said} that leads to the roots given")


def _roots(path: Path) -> list[Any]:
    from asn1crypto import pem, x509

    data = read_file(path.resolve(), _MOST_ROOTS)
    blocks: Iterable[Any] = pem.unarmor(data or b"", multiple=True)
    return [x509.Certificate.load(der) for kind, _, der in blocks if kind == "CERTIFICATE"]


def _check(token: Any, roots: list[Any], when: Any, imprint: bytes) -> dict[str, Any]:
    import asyncio  # late, as in signature.py

    from pyhanko.sign.validation.generic_cms import validate_tst_signed_data
    from pyhanko_certvalidator import ValidationContext

    context = ValidationContext(trust_roots=roots, moment=when, allow_fetching=False, revocation_mode="soft-fail")
    status = asyncio.run(validate_tst_signed_data(token["content"], context, lambda _: imprint))
    return {"intact": status["intact"], "valid": status["valid"], "trusted": status["trust_problem_indic"] is None}
