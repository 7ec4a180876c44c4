"""The signatures of an issue: of the PDF, and the detached one of the manifest.

It says whose certificate it is and whether that is the one the reader was given; whom to believe, nobody can compute.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from buildbook.seal.digest import sha256_bytes
from buildbook.verify.limits import MOST_TAG_BYTES
from buildbook.verify.pdfsigned import Refused, last_signature
from buildbook.verify.report import Step

SIGNATURE, SIGNER = "manifest-sha256.txt.sig", "signer.pem"
SIGNED_FILES = (SIGNATURE, SIGNER)
NAMED = {SIGNATURE: "manifest_signature_sha256", SIGNER: "signer_sha256"}  # where issue.json names their digests
NOT_READ = f"it is no plain file of at most {MOST_TAG_BYTES:,} bytes, and no more is read"
_PDF = "The PDF's signature holds over the whole file"
_MANIFEST = "The manifest's detached signature holds"


def signature_steps(
    pdf: bytes | None,
    issue: Mapping[str, Any] | None,
    read: Callable[[str], bytes | None] | None,
    manifest: bytes | None,
    fingerprint: str = "",
    there: Callable[[str], bool] = lambda _: False,
) -> list[Step]:
    """issue: issue.json, None for a PDF alone. read: a file beside the PDF, None if there is none or (`there`) it is
    larger than the limit. fingerprint: as given to the reader.
    """
    wanted = "".join(c for c in fingerprint.casefold() if c in "0123456789abcdef")
    said = issue.get("signature") if issue is not None else None
    said = said if isinstance(said, dict) else None
    steps = [_pdf_step(pdf, said, wanted, known=issue is not None)]
    if said is not None and read is not None:
        steps.append(_manifest_step(said, read, manifest, there))
    return steps


def _pdf_step(pdf: bytes | None, said: dict[str, Any] | None, wanted: str, *, known: bool) -> Step:
    unsigned = Step(_PDF, False if wanted or said else None, "it is not signed")
    changed = ("changed: 'dossier.pdf'",)
    if pdf is None:
        return unsigned
    if said is None and known and b"/ByteRange" in pdf:
        return Step(_PDF, False, "it is signed, but issue.json knows of no signature", changed)
    try:
        held = last_signature(pdf)
        if held is None:
            return unsigned
        status, certificate = _check(held.signature)
    except ImportError:
        return Step(_PDF, None, "checking it needs the extra `sign`; `pdfsig` or a PDF reader does the same")
    except Refused as refused:
        return Step(_PDF, False, f"it cannot be checked: {refused}", changed)
    except Exception as error:  # whatever a stranger's bytes do to the parser
        return Step(_PDF, False, f"it cannot be checked: it is malformed ({type(error).__name__})", changed)
    if not (status.intact and status.valid):
        return Step(_PDF, False, "it does not hold: the PDF was changed", changed)
    if status.coverage.name != "ENTIRE_FILE":
        return Step(_PDF, False, "something was added to the PDF after it was signed", changed)
    mark = sha256_bytes(certificate.dump())
    if said is not None:
        size = said.get("unsigned_size")
        drawn = sha256_bytes(pdf[:size]) if isinstance(size, int) and 0 < size < len(pdf) else ""
        if mark != said.get("fingerprint") or drawn != said.get("unsigned_sha256"):
            return Step(_PDF, False, "it is not the signature that issue.json names", changed)
    who = f"by the key of {certificate.subject.human_friendly}"
    if not wanted:
        return Step(_PDF, True, f"{who}; compare its fingerprint with one from the workshop itself: {mark}")
    if wanted != mark:
        return Step(_PDF, False, f"the certificate is not the one given: got {mark}, expected {wanted}", changed)
    return Step(_PDF, True, f"{who}; its fingerprint is the one given")


def _check(signature: Any) -> tuple[Any, Any]:
    import asyncio  # as late as the libraries that need it: 0.04 s

    from pyhanko.sign.validation import async_validate_pdf_signature
    from pyhanko_certvalidator import ValidationContext

    certificate = signature.signer_cert
    context = ValidationContext(trust_roots=[certificate], allow_fetching=False)
    return asyncio.run(async_validate_pdf_signature(signature, context, skip_diff=True)), certificate


def _manifest_step(
    said: dict[str, Any], read: Callable[[str], bytes | None], manifest: bytes | None, there: Callable[[str], bool]
) -> Step:
    lines = []
    held: dict[str, bytes] = {}
    for name, key in NAMED.items():
        data = read(name)
        if data is None:
            lines.append(f"unreadable: {name!r} ({NOT_READ})" if there(name) else f"missing: {name!r}")
        elif sha256_bytes(data) != said.get(key):
            lines.append(f"changed: {name!r} is not what 'issue.json' names")
        held[name] = data or b""
    if lines or manifest is None:
        return Step(_MANIFEST, False, "its files are not as issued", tuple(lines))
    try:
        from cryptography import x509
        from cryptography.hazmat.primitives.asymmetric import ec, padding, rsa
        from cryptography.hazmat.primitives.hashes import SHA256
    except ImportError:
        return Step(_MANIFEST, None, "checking it needs the extra `sign`; `openssl dgst -verify` does the same")
    try:
        certificate = x509.load_pem_x509_certificate(held[SIGNER])
        public = certificate.public_key()
        if isinstance(public, rsa.RSAPublicKey):
            public.verify(held[SIGNATURE], manifest, padding.PKCS1v15(), SHA256())
        elif isinstance(public, ec.EllipticCurvePublicKey):
            public.verify(held[SIGNATURE], manifest, ec.ECDSA(SHA256()))
        else:
            return Step(_MANIFEST, False, "the certificate holds no RSA or ECDSA key")
        same = certificate.fingerprint(SHA256()).hex() == said.get("fingerprint")
    except Exception:
        return Step(_MANIFEST, False, "it does not hold", (f"changed: {SIGNATURE!r}",))
    return Step(_MANIFEST, same, "by the same key" if same else "by another key than issue.json names")
