"""The PDF's signature after PAdES (ETSI EN 319 142-1), baseline B-B or B-T, appended to what was drawn.

The file stays PDF 1.7, on which PDF/A-3 rests, whatever the key: PAdES allows ECDSA there by its own tables
(ETSI TS 119 312; from memory), while PDF 2.0 would be another format than the one the pages claim.
"""

from __future__ import annotations

import io
from typing import Any

from buildbook.errors import BuildbookError
from buildbook.seal.keys import Signer

FIELD = "Signature"
# Room for the signature, DER: an RSA-3072 one takes 2 KiB, a time stamp with its certificates 3 to 10 KiB. It stays
# below the longest string that PDF/A-3 allows, 32,767 bytes (ISO 19005-3, 6.1.13; from memory).
ROOM = 24 << 10


class NoStamp(Exception):
    """The authority gave no time stamp."""


def sign_pdf(data: bytes, signer: Signer, authority: Any = None) -> bytes:
    """The PDF with a signature appended.

    authority: a time stamper of the PDF library, for B-T. The signature has no appearance of its own: a drawn one
    would bring in a font by a program that knows nothing of the document's structure.
    """
    from asn1crypto import keys as asn1_keys
    from asn1crypto import x509 as asn1_x509
    from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
    from pyhanko.sign import fields, signers
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
    pdf = signers.PdfSigner(
        wanted, simple, timestamper=authority, new_field_spec=fields.SigFieldSpec(FIELD, on_page=-1)
    )
    out = io.BytesIO()
    try:
        pdf.sign_pdf(_writer(data), output=out, bytes_reserved=2 * ROOM)  # as hexadecimal digits
    except Exception as error:
        if authority is not None:
            raise NoStamp(getattr(error, "says", str(error)).rstrip(".")) from error
        raise BuildbookError(f"The dossier cannot be signed: {error}.", "Report this, with the key's kind.") from error
    made = out.getvalue()
    if not made.startswith(data):
        raise BuildbookError("Signing rewrote the drawn pages. Nothing was issued.", "Report this fault.")
    return made


def _writer(data: bytes) -> Any:
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

    class Writer(IncrementalPdfFileWriter):
        """Appends to a PDF 1.7 that stays one: what declares PDF 2.0 is left out."""

        def ensure_output_version(self, version: Any) -> None:
            if version < (2, 0):
                super().ensure_output_version(version)  # type: ignore[no-untyped-call]

        def register_extension(self, ext: Any) -> None:
            if ext.base_version < "/2.0":
                super().register_extension(ext)

    return Writer(io.BytesIO(data))
