"""Time stamps on a seal (RFC 3161): the query, the authority's reply, and fetching one from a URL that is given.

What is stamped is the SHA-256 of manifest-sha256.txt, which is the seal: `openssl ts -verify -data` takes that file.
"""

from __future__ import annotations

import urllib.error
import urllib.request
from datetime import datetime
from pathlib import Path
from typing import Any

from buildbook.errors import AnswerIsNo, InputUnreadable, WrongUsage
from buildbook.seal.digest import MANIFEST_NAME, seal_of
from buildbook.seal.publish import write_new

REPLY = "timestamp.tsr"
MOST = 1 << 20
_SECONDS = 20


def _tsp() -> Any:
    try:
        from asn1crypto import tsp
    except ImportError as error:
        raise WrongUsage("Time stamps need the extra `sign`.", "pip install 'buildbook[sign]'") from error
    return tsp


def seal_of_issue(issue: Path) -> str:
    """The seal of an issue folder. Raises InputUnreadable if it is none."""
    try:
        return seal_of((issue / MANIFEST_NAME).read_bytes())
    except OSError as error:
        raise InputUnreadable(f"{issue} holds no {MANIFEST_NAME}.", "Give an issue folder.") from error


def query(seal: str) -> bytes:
    """A query for a seal, DER; asks for the authority's certificate. The same seal gives the same query."""
    tsp = _tsp()
    imprint = {"hash_algorithm": {"algorithm": "sha256"}, "hashed_message": bytes.fromhex(seal)}
    made: bytes = tsp.TimeStampReq({"version": 1, "message_imprint": imprint, "cert_req": True}).dump()
    return made


def check_reply(reply: bytes, seal: str) -> datetime:
    """The time in a reply that grants a stamp on this seal. Raises AnswerIsNo, saying what is wrong.

    Who signed it is for verify to say, against roots the reader has.
    """
    tsp = _tsp()
    fix = "Ask again with `buildbook timestamp request`, and give the reply to that."
    try:
        read = tsp.TimeStampResp.load(reply, strict=True)
        status = read["status"]["status"].native
        if status not in ("granted", "granted_with_mods"):
            raise AnswerIsNo(f"The authority refused: {status}.", fix)
        stamped = read["time_stamp_token"]["content"]["encap_content_info"]["content"].parsed
        imprint = stamped["message_imprint"]
        same = imprint["hash_algorithm"]["algorithm"].native == "sha256"
        if not same or imprint["hashed_message"].native.hex() != seal:
            raise AnswerIsNo("The reply stamps something else than the seal of this issue.", fix)
        when: datetime = stamped["gen_time"].native
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        raise AnswerIsNo("The reply is no time stamp reply after RFC 3161.", fix) from error
    return when


def attach(issue: Path, reply: bytes) -> datetime:
    """Put a reply into an issue folder as timestamp.tsr, whole or not at all; another one there is not replaced."""
    when = check_reply(reply, seal_of_issue(issue))
    write_new(issue / REPLY, reply)
    return when


def fetch(url: str, asked: bytes) -> bytes:
    """The authority's reply. Raises AnswerIsNo if it cannot be had: nothing of the issue is changed by that."""
    if not url.startswith(("https://", "http://")):
        raise WrongUsage(f"{url} is no http address.", "Give the address of a time stamp authority.")
    request = urllib.request.Request(url, asked, {"Content-Type": "application/timestamp-query"})
    try:
        with urllib.request.urlopen(request, timeout=_SECONDS) as answer:
            data: bytes = answer.read(MOST + 1)
    except (urllib.error.URLError, OSError, ValueError) as error:
        raise AnswerIsNo(
            f"The authority at {url} cannot be reached: {getattr(error, 'reason', error)}.",
            "The issue is as it was. Try again later, or send the query by other means.",
        ) from error
    if len(data) > MOST:
        raise AnswerIsNo(f"The authority at {url} answered with more than {MOST:,} bytes.", "Choose another.")
    return data
