"""The PDF's signature after PAdES (ETSI EN 319 142-1), baseline B-B or B-T, appended to what was drawn.

The file stays PDF 1.7, on which PDF/A-3 rests, whatever the key: PAdES allows ECDSA there by its own tables
(ETSI TS 119 312; from memory), while PDF 2.0 would be another format than the one the pages claim.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import Any

from buildbook.errors import AnswerIsNo, BuildbookError
from buildbook.seal.digest import sha256_bytes
from buildbook.seal.keys import Signer, need_extra

FIELD = "Signature"
TOKEN = "signature_time_stamp_token"  # id-aa-signatureTimeStampToken, RFC 3161, appendix A
# Room for the signature, DER: an RSA-3072 one takes 2 KiB, a time stamp with its certificates 3 to 10 KiB. It stays
# below the longest string that PDF/A-3 allows, 32,767 bytes (ISO 19005-3, 6.1.13; from memory).
ROOM = 24 << 10


def sign_pdf(data: bytes, signer: Signer) -> bytes:
    """The PDF with a signature appended.

    It fills the field that the pages were drawn with, and leaves how that looks alone: the library would bring in a
    font, and knows nothing of the document's structure.
    """
    from asn1crypto import keys as asn1_keys
    from asn1crypto import x509 as asn1_x509
    from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
    from pyhanko.sign import fields, signers
    from pyhanko.stamp import BaseStampStyle
    from pyhanko_certvalidator.registry import SimpleCertificateStore

    key = signer.key.private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption())
    simple = signers.SimpleSigner(
        signing_cert=asn1_x509.Certificate.load(signer.certificate.public_bytes(Encoding.DER)),
        signing_key=asn1_keys.PrivateKeyInfo.load(key),
        cert_registry=SimpleCertificateStore(),  # type: ignore[no-untyped-call]
    )
    wanted = signers.PdfSignatureMetadata(
        field_name=FIELD, md_algorithm="sha256", subfilter=fields.SigSeedSubFilter.PADES, name=signer.person,
    )  # fmt: skip

    class AsDrawn(BaseStampStyle):
        """The field stays as it looks."""

        def create_stamp(self, writer: Any, box: Any, text_params: Any) -> None:
            return None

    pdf = signers.PdfSigner(wanted, simple, stamp_style=AsDrawn())
    out = io.BytesIO()
    try:
        pdf.sign_pdf(
            _writer(data), output=out, existing_fields_only=True, bytes_reserved=2 * ROOM
        )  # as hexadecimal digits
    except Exception as error:
        raise BuildbookError(f"The dossier cannot be signed: {error}.", "Report this, with the key's kind.") from error
    made = out.getvalue()
    if not made.startswith(data):
        raise BuildbookError("Signing rewrote the drawn pages. Nothing was issued.", "Report this fault.")
    return made


def _writer(data: bytes) -> Any:
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

    class Writer(IncrementalPdfFileWriter):
        """Appends the signature and no more: PDF 1.7 stays that, and the metadata stay as they were written.

        The library would name itself in them, and leave of their extension schema what PDF/A does not know.
        """

        def _update_meta(self) -> None:
            pass

        def ensure_output_version(self, version: Any) -> None:
            if version < (2, 0):
                super().ensure_output_version(version)  # type: ignore[no-untyped-call]

        def register_extension(self, ext: Any) -> None:
            if ext.base_version < "/2.0":
                super().register_extension(ext)

    return Writer(io.BytesIO(data))


@dataclass(frozen=True, slots=True)
class Signature:
    """A signature as it lies in a PDF. start, end: where its hexadecimal digits are, between < and >."""

    start: int
    end: int
    message: Any

    @property
    def signer_info(self) -> Any:
        """Of the one who signed."""
        return self.message["content"]["signer_infos"][0]

    @property
    def value_sha256(self) -> str:
        """SHA-256 of the signature's value: what a time stamp on it is over (RFC 5126, 6.1.1)."""
        return sha256_bytes(self.signer_info["signature"].native)

    @property
    def stamped(self) -> bool:
        """True if a time stamp lies in it already."""
        return any(a["type"].native == TOKEN for a in self.signer_info["unsigned_attrs"] or ())


def signature_of(pdf: bytes) -> Signature | None:
    """The signature of a dossier of ours, None if it has none. Raises AnswerIsNo if it cannot be read."""
    if b"/ByteRange" not in pdf:
        return None
    need_extra()
    from asn1crypto import cms
    from pyhanko.pdf_utils.reader import PdfFileReader

    try:
        held = PdfFileReader(io.BytesIO(pdf)).embedded_regular_signatures[-1]
        _, length, after, _ = (int(n) for n in held.byte_range)
        start, end = length + 1, after - 1
        message = cms.ContentInfo.load(bytes.fromhex(pdf[start:end].decode("ascii")))
        found = Signature(start, end, message)
        found.signer_info["signature"].native  # noqa: B018  whatever is wrong with it is wrong now
    except Exception as error:  # the library raises of many kinds
        says = f"The dossier's signature cannot be read ({type(error).__name__})."
        raise AnswerIsNo(says, "Verify the issue first.") from error
    return found


def with_token(pdf: bytes, signature: Signature, token: Any) -> bytes:
    """The PDF with a time stamp's token in its signature (B-T): not a byte outside the signature's room is another.

    Raises AnswerIsNo if there is one already, or no room for it.
    """
    from asn1crypto import cms

    if signature.stamped:
        raise AnswerIsNo("The dossier's signature holds a time stamp already.", "Nothing is left to be done.")
    message = cms.ContentInfo.load(signature.message.dump())
    message["content"]["signer_infos"][0]["unsigned_attrs"] = [{"type": TOKEN, "values": [token]}]
    digits = message.dump().hex().upper()  # as the library writes them
    room = signature.end - signature.start
    if len(digits) > room:
        raise AnswerIsNo(
            f"The signature has room for {room // 2:,} bytes; with this time stamp it takes {len(digits) // 2:,}.",
            "Ask another authority, one that sends fewer certificates.",
        )
    filled: bytes = digits.ljust(room, "0").encode("ascii")
    return pdf[: signature.start] + filled + pdf[signature.end :]
