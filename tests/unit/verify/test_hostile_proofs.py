"""Signatures and time stamps from a stranger: too many or too large is answered before it is read."""

import pytest

from buildbook.verify.pdfsigned import MOST_SIGNATURES, last_signature
from buildbook.verify.signature import signature_steps
from buildbook.verify.timestamp import timestamp_step

pytest.importorskip("pyhanko", reason="the extra `sign` is not installed")
MANY = b"%PDF-1.7\n" + b"1 0 obj<</ByteRange[0 1 2 3]>>endobj\n" * 10_000


def test_a_pdf_with_ten_thousand_signatures_is_not_read_on():
    with pytest.raises(ValueError, match=f"more than {MOST_SIGNATURES}"):
        last_signature(MANY)
    (step,) = signature_steps(MANY, None, None, None)
    assert step.ok is False


def test_a_reply_over_the_limit_is_refused_by_name():
    step = timestamp_step(None, "0" * 64, None, there=True)
    assert step.ok is False
    assert "too large" in step.says


@pytest.mark.parametrize("data", [b"", b"0", b"0\x84\xff\xff\xff\xff", b"0\x80" * 5000])
def test_malformed_der_is_no_reply(data):
    assert timestamp_step(data, "0" * 64, None).ok is False
