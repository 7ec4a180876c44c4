"""A signature as it lies in a PDF that may come from a stranger: where it is, and the time stamp in it."""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import Any

from buildbook.seal.digest import sha256_bytes

TOKEN = "signature_time_stamp_token"
MOST_SIGNATURES = 16  # own limit: a dossier has one


@dataclass(frozen=True, slots=True)
class Held:
    """The last signature of a PDF. start, end: where its hexadecimal digits are, between < and >."""

    signature: Any
    start: int
    end: int

    @property
    def value_sha256(self) -> str:
        """SHA-256 of the signature's value, which a time stamp on it is over."""
        return sha256_bytes(self.signature.signer_info["signature"].native)

    @property
    def tokens(self) -> list[Any]:
        """The time stamps in it."""
        found = self.signature.signer_info["unsigned_attrs"] or ()
        return [value for a in found if a["type"].native == TOKEN for value in a["values"]]

    def without_token(self, pdf: bytes) -> bytes:
        """The PDF as it was before a time stamp was put in.

        Raises ValueError if anything but a time stamp was put in: then it would be another file.
        """
        from asn1crypto import cms

        digits = pdf[self.start : self.end].decode("ascii")
        message = cms.ContentInfo.load(bytes.fromhex(digits))
        if _padded(message, digits) != digits:
            raise ValueError("the room of the signature holds more than the signature")
        signer = message["content"]["signer_infos"][0]
        if [a["type"].native for a in signer["unsigned_attrs"]] != [TOKEN] or len(self.tokens) != 1:
            raise ValueError("the signature holds more than one time stamp")
        del signer["unsigned_attrs"]
        return pdf[: self.start] + _padded(message, digits).encode("ascii") + pdf[self.end :]


def _padded(message: Any, digits: str) -> str:
    made: str = message.dump().hex().ljust(len(digits), "0")
    return made.upper() if digits == digits.upper() else made


def last_signature(pdf: bytes) -> Held | None:
    """The last signature of a PDF, None if there is none. Raises ValueError and whatever the PDF library does."""
    if b"/ByteRange" not in pdf:
        return None
    if pdf.count(b"/ByteRange") > MOST_SIGNATURES:
        raise ValueError(f"it names more than {MOST_SIGNATURES} signatures, and no more are read")
    from pyhanko.pdf_utils.reader import PdfFileReader

    signatures = PdfFileReader(io.BytesIO(pdf)).embedded_regular_signatures
    if not signatures:
        return None
    last = signatures[-1]
    zero, length, after, _rest = (int(n) for n in last.byte_range)
    if zero or not 0 < length < after <= len(pdf) or pdf[length : length + 1] + pdf[after - 1 : after] != b"<>":
        raise ValueError("the range of bytes that is signed makes no sense")
    return Held(last, length + 1, after - 1)
