"""A signature as it lies in a PDF that may come from a stranger: where it is, and the time stamp in it."""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from math import factorial, prod
from typing import Any

from buildbook.seal.digest import sha256_bytes
from buildbook.verify.opening import opened

TOKEN = "signature_time_stamp_token"
_STAMPS = (TOKEN, "content_time_stamp")
MOST_SIGNATURES = 16  # own limits, as those below: a dossier has one signature, in one field, and two revisions
MOST_FIELDS = 1000
MOST_REVISIONS = 64
MOST_CERTIFICATES, MOST_WAYS = 64, 720  # in a signature with its time stamps; from one of them to another, up to a root
MOST_TABLE = 4 << 20  # of a packed table of objects: 20,000 of them take 0.2 MB


class Refused(ValueError):
    """A PDF whose signature is not looked at any further; the message says why."""


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

        Raises Refused if anything but a time stamp was put in: then it would be another file.
        """
        from asn1crypto import cms

        digits = pdf[self.start : self.end].decode("ascii")
        message = cms.ContentInfo.load(bytes.fromhex(digits))
        if _padded(message, digits) != digits:
            raise Refused("the room of the signature holds more than the signature")
        signer = message["content"]["signer_infos"][0]
        if [a["type"].native for a in signer["unsigned_attrs"]] != [TOKEN] or len(self.tokens) != 1:
            raise Refused("the signature holds more than one time stamp")
        del signer["unsigned_attrs"]
        return pdf[: self.start] + _padded(message, digits).encode("ascii") + pdf[self.end :]


def _padded(message: Any, digits: str) -> str:
    made: str = message.dump().hex().ljust(len(digits), "0")
    return made.upper() if digits == digits.upper() else made


def check_certificates(*messages: Any) -> None:
    """Raises Refused for signed data (CMS) whose certificates lead on in more ways than are tried.

    Each certificate names its issuer, and of n of one name each may be the one: the library tries up to n! orders.
    """
    held = {c.chosen.dump(): c.chosen for m in messages for c in m["certificates"] or () if c.name == "certificate"}
    if len(held) > MOST_CERTIFICATES:
        raise Refused(f"it brings more than {MOST_CERTIFICATES} certificates, and no more are read")
    names = Counter(c.subject.dump() for c in held.values())
    if prod(map(factorial, names.values())) > MOST_WAYS:
        raise Refused(f"its certificates lead on in more than {MOST_WAYS} ways, and no more are tried")


def last_signature(pdf: bytes) -> Held | None:
    """The last signature of a PDF, None if there is none. Raises Refused and whatever the PDF libraries do."""
    plain = pdf.count(b"/ByteRange")
    if not plain:
        if _packed(pdf):
            raise Refused("a field of it is filled, but no range of bytes that is signed stands open in the file")
        return None
    if plain > MOST_SIGNATURES:
        raise Refused(f"it names more than {MOST_SIGNATURES} signatures, and no more are read")
    if max(pdf.count(mark) for mark in (b"startxref", b"trailer", b"/XRef")) > MOST_REVISIONS:
        raise Refused(f"it has more than {MOST_REVISIONS} revisions, and no more are read")
    import pikepdf
    from pyhanko.pdf_utils import decode_limits as bounds
    from pyhanko.pdf_utils.reader import PdfFileReader

    try:  # the library that checks signatures believes a table of objects that has four thousand million empty rows
        with opened(pdf, recover=False):
            pass
    except (pikepdf.PdfError, ValueError, RuntimeError, MemoryError) as error:
        raise Refused("the PDF is damaged: its table of objects cannot be followed") from error
    table = {bounds.DecodePurpose.XREF_STREAM: bounds.StreamDecodeLimits(max_output_size=MOST_TABLE)}
    limits = bounds.DecodeLimits(per_purpose={**bounds.DEFAULT_PURPOSE_LIMITS, **table})
    reader = PdfFileReader(io.BytesIO(pdf), decode_limits=limits)
    _count_filled(_fields_of_reader(reader), _look_by_reader)
    signatures = reader.embedded_regular_signatures
    if not signatures:
        return None
    last = signatures[-1]
    zero, length, after, _rest = (int(n) for n in last.byte_range)
    if zero or not 0 < length < after <= len(pdf) or pdf[length : length + 1] + pdf[after - 1 : after] != b"<>":
        raise Refused("the range of bytes that is signed makes no sense")
    try:
        left_out = bytes.fromhex(pdf[length + 1 : after - 1].decode("ascii"))
    except ValueError as error:
        raise Refused("what the signed range leaves out is no signature") from error
    if left_out != last.pkcs7_content:
        raise Refused("what the signed range leaves out is not the signature")
    attributes = [a for key in ("signed_attrs", "unsigned_attrs") for a in last.signer_info[key] or ()]
    tokens = [value for a in attributes if a["type"].native in _STAMPS for value in a["values"]]
    check_certificates(last.signed_data, *(token["content"] for token in tokens))
    return Held(last, length + 1, after - 1)


def _packed(pdf: bytes) -> bool:
    """True if a field is filled in a PDF that has no signature in the open."""
    import pikepdf

    def listed(value: Any) -> list[Any]:
        return list(value) if isinstance(value, pikepdf.Array) else []

    def look(field: Any) -> tuple[Any, bool, list[Any]]:
        mark = field.objgen if isinstance(field, pikepdf.Object) and field.is_indirect else None
        if not isinstance(field, pikepdf.Dictionary):
            return mark, False, []
        return mark, "/V" in field, listed(field.get("/Kids"))

    try:
        with opened(pdf) as found:
            form = found.Root.get("/AcroForm")
            fields = listed(form.get("/Fields")) if isinstance(form, pikepdf.Dictionary) else []
            return _count_filled(fields, look) > 0
    except Refused:
        raise
    except (pikepdf.PdfError, ValueError, RuntimeError, AttributeError, TypeError, MemoryError):
        return False  # whatever it is, an earlier step says that it is no PDF


def _fields_of_reader(reader: Any) -> list[Any]:
    form = reader.root.get("/AcroForm")
    fields = form.get("/Fields") if isinstance(form, dict) else None
    return fields if isinstance(fields, list) else []


def _look_by_reader(field: Any) -> tuple[Any, bool, list[Any]]:
    mark = getattr(field, "reference", None)
    held = field.get_object()
    if not isinstance(held, dict):
        return mark, False, []
    kids = held.get("/Kids")
    return mark, "/V" in held, kids if isinstance(kids, list) else []


def _count_filled(fields: list[Any], look: Callable[[Any], tuple[Any, bool, list[Any]]]) -> int:
    """How many fields of a form hold something. look: (which object a field is, None if it stands in the list itself;
    whether it holds something; the fields below it).

    Raises Refused for a form that would be walked without end, or for too long.
    """
    seen: set[Any] = set()
    filled, walked = 0, 0
    left = list(fields)
    while left:
        mark, holds, below = look(left.pop())
        if mark is not None and mark in seen:
            raise Refused("its form goes in circles: a field is reached twice")
        seen.add(mark)
        walked += 1
        filled += holds
        if walked > MOST_FIELDS:
            raise Refused(f"its form has more than {MOST_FIELDS:,} fields, and no more are read")
        if filled > MOST_SIGNATURES:
            raise Refused(f"it names more than {MOST_SIGNATURES} signatures, and no more are read")
        left.extend(below)
    return filled
