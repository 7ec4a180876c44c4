"""Signing an issue: the PDF after PAdES baseline B-B (ETSI EN 319 142-1) or B-T, the manifest by a detached signature.

The file that was drawn stays an exact prefix of the signed one: what a signature adds is appended.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from buildbook.errors import AnswerIsNo, BuildbookError
from buildbook.seal.digest import sha256_bytes
from buildbook.seal.keys import Signer
from buildbook.seal.pades import sign_pdf, signature_of, with_token
from buildbook.seal.timestamp import REPLY, fetch, query, read_reply

SIGNATURE, SIGNER = "manifest-sha256.txt.sig", "signer.pem"


def sign_bytes(data: bytes, signer: Signer) -> bytes:
    """A detached signature over data, as `openssl dgst -sha256 -verify` takes it."""
    from cryptography.hazmat.primitives.asymmetric import ec, padding, rsa
    from cryptography.hazmat.primitives.hashes import SHA256

    if isinstance(signer.key, rsa.RSAPrivateKey):
        return signer.key.sign(data, padding.PKCS1v15(), SHA256())
    made: bytes = signer.key.sign(data, ec.ECDSA(SHA256()))
    return made


def signature_note(signer: Signer, drawn: bytes, signature: bytes) -> dict[str, object]:
    """What an issue's JSON says of its signature."""
    return {
        "by": signer.person,
        "fingerprint": signer.fingerprint,
        "unsigned_size": len(drawn),
        "unsigned_sha256": sha256_bytes(drawn),
        "manifest_signature_sha256": sha256_bytes(signature),
        "signer_sha256": sha256_bytes(signer.pem),
    }


@dataclass(frozen=True, slots=True)
class Signing:
    """How an issue is signed: anew by a signer, or as the published issue was. url: of a time stamp authority."""

    signer: Signer | None = None
    url: str = ""
    published: Path | None = None
    said: tuple[tuple[str, Any], ...] = ()
    told: list[str] = field(default_factory=list)  # what went otherwise than asked for

    @property
    def person(self) -> str:
        """Who signs."""
        return self.signer.person if self.signer else str(dict(self.said).get("by", ""))

    @property
    def fingerprint(self) -> str:
        """Of the certificate."""
        return self.signer.fingerprint if self.signer else str(dict(self.said).get("fingerprint", ""))


def signing_of(published: Path, noted: Path, wanted: Signing | None) -> Signing | None:
    """How the issue of that folder is to be signed. One that is out stays as it is: signed once, or not at all.

    noted: its JSON in the job folder. Raises AnswerIsNo where that cannot be.
    """
    for place in (published / "issue.json", noted):
        try:
            said = json.loads(place.read_bytes()).get("signature")
        except (OSError, ValueError, AttributeError):
            continue
        if isinstance(said, dict) and not (published / "dossier.pdf").is_file():
            raise AnswerIsNo(
                f"{noted.stem} was issued with a signature, which cannot be made again byte for byte.",
                "Copy its issue folder from where it is, or issue anew under another date.",
            )
        if isinstance(said, dict):
            return Signing(published=published, said=tuple(said.items()))
        if wanted is not None:
            raise AnswerIsNo(
                f"Issue {noted.stem} was made without a signature, and an issue is never changed.",
                "Issue anew under another date (--issued-on) to sign it.",
            )
        return None
    return wanted


def sign_issue(made: Path, signing: Signing, manifest: bytes) -> dict[str, Any]:
    """Sign the issue being made in the folder `made`; gives what its JSON says of it.

    Raises AnswerIsNo if a published signature is not over what was drawn now.
    """
    drawn = (made / "dossier.pdf").read_bytes()
    if signing.signer is None:
        said = dict(signing.said)
        assert signing.published is not None
        whole = (signing.published / "dossier.pdf").read_bytes()
        if not whole.startswith(drawn) or said.get("unsigned_sha256") != sha256_bytes(drawn):
            raise AnswerIsNo(
                f"{signing.published} is signed, and its dossier is not what would be drawn now.",
                "An issue is never overwritten. Verify what is there; issue again under another date.",
            )
        (made / "dossier.pdf").write_bytes(whole)
        for name in (SIGNATURE, SIGNER):
            (made / name).write_bytes((signing.published / name).read_bytes())
        return said
    (made / "dossier.pdf").write_bytes(_signed(drawn, signing.signer, signing))
    signature = sign_bytes(manifest, signing.signer)
    (made / SIGNATURE).write_bytes(signature)
    (made / SIGNER).write_bytes(signing.signer.pem)
    return signature_note(signing.signer, drawn, signature)


def proofs(made: Path, published: Path) -> dict[str, bytes]:
    """What of an issue's proofs goes into its archive, beside the payload: the detached signature with its certificate,
    and the time stamp if the published issue has one by now.
    """
    places = (made / SIGNATURE, made / SIGNER, published / REPLY)
    return {place.name: place.read_bytes() for place in places if place.is_file()}


def _signed(drawn: bytes, signer: Signer, signing: Signing) -> bytes:
    """Signed, with a time stamp if one was asked for and can be had; without it the dossier is whole all the same."""
    signed = sign_pdf(drawn, signer)
    if not signing.url:
        return signed
    try:
        return _stamped(signed, signing.url)
    except BuildbookError as error:
        why = error.says.rstrip(".")
        signing.told.append(f"The authority at {signing.url} gave no time stamp ({why}): signed without it.")
        return signed


def _stamped(signed: bytes, url: str) -> bytes:
    """With a time stamp on the signature (B-T). Raises AnswerIsNo if none can be had.

    The signing library could ask for it too, but takes half a minute to encode the tokens of some authorities.
    """
    signature = signature_of(signed)
    assert signature is not None  # just made
    reply = read_reply(fetch(url, query(signature.value_sha256)))
    if reply.digest != signature.value_sha256:
        raise AnswerIsNo("The reply stamps something else than the signature.", "Ask another authority.")
    return with_token(signed, signature, reply.token)
