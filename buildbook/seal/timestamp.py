"""Time stamps on an issue (RFC 3161): queries, the authority's replies, and fetching one from a URL that is given.

Two things of an issue can be stamped: its seal, which is the SHA-256 of manifest-sha256.txt, so that
`openssl ts -verify -data` takes that file; and, of a signed one, the value of the PDF's signature (PAdES B-T). The
second token lies in a copy of the dossier, beside it: the dossier itself is named by its digest and stays as issued.
What is added to an issue is listed in `timestamps-sha256.txt`, so that neither it nor the list goes away unnoticed.
"""

from __future__ import annotations

import urllib.error
import urllib.request
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from buildbook.errors import AnswerIsNo, InputUnreadable, WrongUsage
from buildbook.seal.digest import MANIFEST_NAME, NotAManifest, manifest_bytes, parse_manifest, seal_of, sha256_file
from buildbook.seal.pades import Signature, signature_of, with_token
from buildbook.seal.publish import write_new

DOSSIER, STAMPED = "dossier.pdf", "dossier-timestamped.pdf"
REPLY = "timestamp.tsr"
LIST = "timestamps-sha256.txt"
MOST = 1 << 20
_AGAIN = "Ask again with `buildbook timestamp request`, and give the reply to that."
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


def queries(issue: Path) -> dict[str, bytes]:
    """What there is to be stamped -> the query for it, DER: "seal", and "signature" where the PDF has a bare one.

    Each asks for the authority's certificate. The same issue gives the same queries.
    """
    wanted = {"seal": seal_of_issue(issue)}
    signature = _signature(issue)
    if signature is not None and not signature.stamped:
        wanted["signature"] = signature.value_sha256
    return {what: query(digest) for what, digest in wanted.items()}


def query(digest: str) -> bytes:
    """A query for a SHA-256, DER."""
    tsp = _tsp()
    imprint = {"hash_algorithm": {"algorithm": "sha256"}, "hashed_message": bytes.fromhex(digest)}
    made: bytes = tsp.TimeStampReq({"version": 1, "message_imprint": imprint, "cert_req": True}).dump()
    return made


@dataclass(frozen=True, slots=True)
class Reply:
    """A reply that grants a stamp. digest: the SHA-256 it is on. at: when, as the authority says."""

    digest: str
    at: datetime
    token: Any


def read_reply(reply: bytes) -> Reply:
    """A reply, read. Raises AnswerIsNo, saying what is wrong.

    Who signed it is for verify to say, against roots the reader has.
    """
    tsp = _tsp()
    try:
        read = tsp.TimeStampResp.load(reply, strict=True)
        status = read["status"]["status"].native
        if status not in ("granted", "granted_with_mods"):
            raise AnswerIsNo(f"The authority refused: {status}.", _AGAIN)
        token = read["time_stamp_token"]
        stamped = token["content"]["encap_content_info"]["content"].parsed
        imprint = stamped["message_imprint"]
        same = imprint["hash_algorithm"]["algorithm"].native == "sha256"
        digest = imprint["hashed_message"].native.hex() if same else ""
        return Reply(digest, stamped["gen_time"].native, token)
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        raise AnswerIsNo("The reply is no time stamp reply after RFC 3161.", _AGAIN) from error


def attach(issue: Path, reply: bytes) -> tuple[str, datetime]:
    """Put a reply into an issue folder, whole or not at all; another one there is not replaced. Gives the name of the
    file it made, and the time: timestamp.tsr for a stamp on the seal, dossier-timestamped.pdf for one on the signature.
    The list of what was added is written last; the same reply given again finishes what was cut off.

    Raises AnswerIsNo if it stamps neither.
    """
    if len(reply) > MOST:
        raise AnswerIsNo(f"The reply holds more than {MOST:,} bytes.", _AGAIN)
    read = read_reply(reply)
    if read.digest == seal_of_issue(issue):
        write_new(issue / REPLY, reply)
        _list(issue, REPLY)
        return REPLY, read.at
    signature = _signature(issue)
    if signature is None or read.digest != signature.value_sha256:
        what = "the seal" if signature is None else "the seal or the signature"
        raise AnswerIsNo(f"The reply stamps something else than {what} of this issue.", _AGAIN)
    write_new(issue / STAMPED, with_token((issue / DOSSIER).read_bytes(), signature, read.token))
    _list(issue, STAMPED)
    return STAMPED, read.at


def _list(issue: Path, name: str) -> None:
    """Name a file in the list of what was added, as `sha256sum` writes it; what it named before stays named."""
    try:
        named = parse_manifest((issue / LIST).read_bytes())
    except (FileNotFoundError, NotAManifest):
        named = {}
    write_new(issue / LIST, manifest_bytes({**named, name: sha256_file(issue / name)}.items()), replace=True)


def _signature(issue: Path) -> Signature | None:
    try:
        return signature_of((issue / DOSSIER).read_bytes())
    except OSError as error:
        raise InputUnreadable(f"{issue} holds no {DOSSIER}.", "Give an issue folder.") from error


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
