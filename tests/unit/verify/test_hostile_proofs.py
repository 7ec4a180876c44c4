"""Signatures and time stamps from a stranger: too many or too large is answered before it is read."""

from datetime import UTC, datetime, timedelta

import pytest

pytest.importorskip("pyhanko", reason="the extra `sign` is not installed")

from asn1crypto import cms, tsp, x509
from cryptography import x509 as certificates
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509.oid import NameOID

from buildbook.verify.pdfsigned import MOST_SIGNATURES, last_signature
from buildbook.verify.signature import signature_steps
from buildbook.verify.timestamp import timestamp_step

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


def forged(count, names=1):
    """Certificates of which each says that one of the same name issued it."""
    moment = datetime(2026, 1, 1, tzinfo=UTC)
    key = ec.generate_private_key(ec.SECP256R1())
    made = []
    for n in range(count):
        name = certificates.Name([certificates.NameAttribute(NameOID.COMMON_NAME, f"Authority {n % names}")])
        made.append(
            certificates.CertificateBuilder(name, name, key.public_key(), n + 1, moment, moment + timedelta(days=9))
            .sign(key, SHA256())
            .public_bytes(Encoding.DER)
        )
    return made


def reply_with(held, digest):
    stamp = tsp.TSTInfo({
        "version": "v1", "policy": "1.2.3", "serial_number": 1, "gen_time": datetime(2026, 1, 2, tzinfo=UTC),
        "message_imprint": {"hash_algorithm": {"algorithm": "sha256"}, "hashed_message": bytes.fromhex(digest)},
    })  # fmt: skip
    signed = cms.SignedData({
        "version": "v3", "digest_algorithms": [{"algorithm": "sha256"}], "signer_infos": [],
        "encap_content_info": {"content_type": "tst_info", "content": cms.ParsableOctetString(stamp.dump())},
        "certificates": [x509.Certificate.load(der) for der in held],
    })  # fmt: skip
    token = cms.ContentInfo({"content_type": "signed_data", "content": signed})
    return tsp.TimeStampResp({"status": {"status": "granted"}, "time_stamp_token": token}).dump()


@pytest.mark.parametrize(("count", "names", "says"), [(9, 1, "more than 720 ways"), (30, 10, "more than 720 ways"),
                                                      (65, 65, "more than 64 certificates")])  # fmt: skip
def test_certificates_that_lead_on_without_end_are_not_followed(count, names, says):
    """Nine of one name took the library more than 40 seconds; each more, ten times that."""
    step = timestamp_step(reply_with(forged(count, names), "ab" * 32), "ab" * 32, None)
    assert step.ok is False
    assert says in step.says
    assert step.details == ("changed: 'timestamp.tsr'",)


def test_a_few_certificates_are_read_on():
    step = timestamp_step(reply_with(forged(6), "ab" * 32), "ab" * 32, None)
    assert step.ok is False
    assert "its signature cannot be checked" in step.says  # nobody signed it
