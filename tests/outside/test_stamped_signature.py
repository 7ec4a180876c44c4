"""A time stamp put on the PDF's signature later (PAdES B-T, ETSI EN 319 142-1; RFC 3161, appendix A): by pyHanko's
validation, `openssl ts -verify` and rfc3161-client, with a local authority made by `openssl ts`.
"""

import asyncio
import shutil
import subprocess
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

pytest.importorskip("pyhanko", reason="the extra `sign` is not installed")
if shutil.which("openssl") is None:
    pytest.skip("openssl is not installed", allow_module_level=True)

from asn1crypto import pem, x509
from outside.test_timestamp import authority, openssl
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.validation import async_validate_pdf_signature
from pyhanko_certvalidator import ValidationContext

from buildbook.cli import run
from buildbook.compile import compile_job
from buildbook.errors import AnswerIsNo
from buildbook.photos import Library
from buildbook.seal import pades
from buildbook.seal.keys import CERTIFICATE, KEY, load_signer, new_keys
from buildbook.seal.signing import Signing
from buildbook.seal.timestamp import attach, queries
from buildbook.verify import Given, report_text, verify_path

GOOD = Path(__file__).parents[1] / "jobs" / "good" / "minimal"
NOW = datetime.now(UTC).replace(microsecond=0)
COPY = "dossier-timestamped.pdf"
STEP = "The time stamp is on the PDF's signature"


def reply_to(tsa, query, reply):
    openssl("ts", "-reply", "-config", "c", "-queryfile", query, "-signer", "tsa.pem", "-inkey", "tsa.key",
            "-out", reply, cwd=tsa)  # fmt: skip


@pytest.fixture(scope="module", params=["rsa", "ec"])
def made(request, tmp_path_factory):
    root = tmp_path_factory.mktemp(f"b-t-{request.param}")
    for name in ("tsa", "other"):
        authority(root / name, f"{name} authority")
    new_keys(root / "keys", "Northquay Coachworks", "correct horse", NOW, ec=request.param == "ec")
    signer = load_signer(root / "keys" / KEY, root / "keys" / CERTIFICATE, "correct horse", "Maren Oduya", NOW)
    shutil.copytree(GOOD, root / "job")
    library = Library(root / "cache", workers=1)
    made = compile_job(root / "job", root / "out", date(2027, 1, 1), signing=Signing(signer), library=library)
    assert run(["timestamp", "request", str(made.folder), "--out", str(root / "q.tsq")]) == 0
    for name in ("q", "q-signature"):
        reply_to(root / "tsa", root / f"{name}.tsq", root / f"{name}.tsr")
    words = ["timestamp", "attach", str(made.folder), str(root / "q-signature.tsr"), str(root / "q.tsr")]
    assert run(words) == 0
    return root, made.folder


@pytest.fixture
def issue(made, tmp_path):
    shutil.copytree(made[1], tmp_path / "issue-01")
    return tmp_path / "issue-01"


def step_of(report):
    return next(step for step in report.steps if step.name == STEP)


def stamp_status(pdf, root):
    with pdf.open("rb") as stream:
        (held,) = PdfFileReader(stream).embedded_regular_signatures
        (_, _, der) = pem.unarmor(root.read_bytes())
        own = ValidationContext(trust_roots=[held.signer_cert], allow_fetching=False)
        theirs = ValidationContext(trust_roots=[x509.Certificate.load(der)], allow_fetching=False)
        return asyncio.run(async_validate_pdf_signature(held, own, ts_validation_context=theirs))


def test_it_differs_from_the_dossier_within_the_signature_alone(made):
    before, after = ((made[1] / name).read_bytes() for name in ("dossier.pdf", COPY))
    assert len(before) == len(after)
    with (made[1] / "dossier.pdf").open("rb") as stream:
        _, length, behind, _ = PdfFileReader(stream).embedded_regular_signatures[0].byte_range
    different = [at for at in range(len(before)) if before[at] != after[at]]
    assert length < different[0]
    assert different[-1] < behind - 1


def test_pyhanko_accepts_it_and_rejects_another_root_or_a_changed_byte(made, issue):
    root = made[0]
    status = stamp_status(issue / COPY, root / "tsa/root.pem")
    assert status.intact
    assert status.valid
    assert status.timestamp_validity.intact
    assert status.timestamp_validity.valid
    assert status.timestamp_validity.trusted
    assert not stamp_status(issue / COPY, root / "other/root.pem").timestamp_validity.trusted
    data = bytearray((issue / COPY).read_bytes())
    data[9000] ^= 1
    (issue / COPY).write_bytes(bytes(data))
    assert not stamp_status(issue / COPY, root / "tsa/root.pem").intact


def test_openssl_accepts_the_token_taken_out_and_rejects_another_value(made, tmp_path):
    with (made[1] / COPY).open("rb") as stream:
        (held,) = PdfFileReader(stream).embedded_regular_signatures
        (attribute,) = held.signer_info["unsigned_attrs"]
        (tmp_path / "token").write_bytes(attribute["values"][0].dump())
        value = held.signer_info["signature"].native
    (tmp_path / "value").write_bytes(value)
    words = ("ts", "-verify", "-data", "value", "-in", "token", "-token_in", "-CAfile", made[0] / "tsa/root.pem")
    openssl(*words, cwd=tmp_path)
    (tmp_path / "value").write_bytes(value[::-1])
    openssl(*words, cwd=tmp_path, ok=False)


def test_rfc3161_client_accepts_the_reply_on_the_signature_and_rejects_another_value(made):
    client = pytest.importorskip("rfc3161_client", reason="rfc3161-client is not installed")
    from cryptography import x509 as certificates

    root, folder = made
    reply = client.decode_timestamp_response((root / "q-signature.tsr").read_bytes())
    held = certificates.load_pem_x509_certificate((root / "tsa/root.pem").read_bytes())
    verifier = client.VerifierBuilder().add_root_certificate(held).build()
    with (folder / COPY).open("rb") as stream:
        value = PdfFileReader(stream).embedded_regular_signatures[0].signer_info["signature"].native
    assert verifier.verify_message(reply, value)
    with pytest.raises(client.VerificationError):
        verifier.verify_message(reply, value[::-1])


def test_the_stamped_copy_is_pdf_a_3a_and_pdf_ua_1_for_an_independent_validator(made):
    """ISO 19005-3 and ISO 14289-1 by page-validation."""
    pytest.importorskip("page", reason="page-validation is not installed")
    from outside.test_pdf_ua import faults

    assert faults(made[1] / COPY) == []


def test_qpdf_and_pdfsig_find_the_stamped_copy_whole(made):
    for words in (("qpdf", "--check"), ("pdfsig",)):
        if shutil.which(words[0]) is None:
            pytest.skip(f"{words[0]} is not installed")
        told = subprocess.run([*words, str(made[1] / COPY)], capture_output=True, text=True, check=False)
        assert told.returncode == 0, told.stdout + told.stderr
        assert told.stderr == ""
    assert "Signature is Valid" in told.stdout
    assert "Total document signed" in told.stdout


def test_verify_checks_it_offline_and_calls_nobody_trusted(made, issue):
    given = Given(roots=made[0] / "tsa/root.pem")
    report = verify_path(issue, made[0] / "job", given)
    assert report.ok, report_text(report)
    assert step_of(report).ok is True
    assert "trusted" not in report_text(report).lower()
    bare = verify_path(issue)
    assert bare.ok
    assert step_of(bare).ok is None
    assert step_of(verify_path(issue, given=Given(roots=made[0] / "other/root.pem"))).ok is False
    alone = verify_path(issue / COPY, given=given)
    assert alone.ok, report_text(alone)
    assert step_of(alone).ok is True
    import hashlib

    assert hashlib.sha256((issue / "dossier.pdf").read_bytes()).hexdigest() in report_text(alone)


@pytest.mark.parametrize("where", [0.1, 0.5, 0.9, "room", "case", "token", "padding"])
def test_any_other_difference_is_named(made, issue, where):
    data = bytearray((issue / COPY).read_bytes())
    with (issue / COPY).open("rb") as stream:
        _, length, behind, _ = PdfFileReader(stream).embedded_regular_signatures[0].byte_range
    token = data.index(b"2A864886F70D0109100104", length)  # id-ct-TSTInfo, 1.2.840.113549.1.9.16.1.4
    place = {"room": length + 400, "case": data.index(b"A", length), "token": token + 90, "padding": behind - 40}
    at = place[where] if isinstance(where, str) else int(len(data) * where)
    data[at] ^= 0x20 if where == "case" else 1
    (issue / COPY).write_bytes(bytes(data))
    report = verify_path(issue, given=Given(roots=made[0] / "tsa/root.pem"))
    assert not report.ok
    assert any(COPY in line for step in report.steps if step.ok is False for line in step.details)


def test_a_stamped_copy_of_another_dossier_is_no_copy(made, issue):
    other = issue.parent / "other.pdf"
    shutil.copy(issue / COPY, other)
    shutil.copy(issue / "dossier.pdf", issue / COPY)  # not stamped at all
    assert "is not" in report_text(verify_path(issue))
    assert not verify_path(issue).ok
    shutil.copy(issue / "record.json", issue / COPY)
    assert not verify_path(issue).ok


def test_the_same_reply_again_changes_nothing_and_another_is_not_put_over_it(made, issue):
    root = made[0]
    before = (issue / COPY).read_bytes()
    assert attach(issue, (root / "q-signature.tsr").read_bytes())[0] == COPY
    reply_to(root / "other", root / "q-signature.tsq", issue.parent / "late.tsr")
    with pytest.raises(AnswerIsNo, match="already says something else"):
        attach(issue, (issue.parent / "late.tsr").read_bytes())
    assert (issue / COPY).read_bytes() == before
    assert list(queries(issue)) == ["seal", "signature"]


def test_a_reply_for_which_there_is_no_room_is_refused(made, issue):
    from asn1crypto import tsp

    pdf = (issue / "dossier.pdf").read_bytes()
    token = tsp.TimeStampResp.load((made[0] / "q-signature.tsr").read_bytes())["time_stamp_token"]
    certificates = token["content"]["certificates"]
    for _ in range(40):
        certificates.append(certificates[0].copy())
    with pytest.raises(AnswerIsNo, match="has room for"):
        pades.with_token(pdf, pades.signature_of(pdf), token)


def test_compiled_again_the_issue_keeps_its_stamps(made):
    root, folder = made
    before = {name: (folder / name).read_bytes() for name in (COPY, "timestamp.tsr", "dossier.pdf")}
    assert compile_job(root / "job", root / "out", date(2027, 1, 1), library=Library(root / "cache", workers=1)).already
    assert {name: (folder / name).read_bytes() for name in before} == before


@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="sha256sum is not installed")
def test_what_was_added_is_listed_and_sha256sum_agrees(made, issue):
    words = ["sha256sum", "--check", "--strict", "timestamps-sha256.txt"]
    assert subprocess.run(words, cwd=issue, capture_output=True, check=False).returncode == 0
    (issue / "timestamp.tsr").unlink()
    assert subprocess.run(words, cwd=issue, capture_output=True, check=False).returncode != 0


@pytest.mark.parametrize("name", [COPY, "timestamp.tsr", "timestamps-sha256.txt"])
def test_whichever_is_taken_away_is_named(issue, name):
    assert verify_path(issue).ok
    (issue / name).unlink()
    report = verify_path(issue)
    assert [step.details for step in report.steps if step.ok is False] == [(f"missing: {name!r}",)]


@pytest.mark.parametrize("data", [b"", b"not a list\n", b"0" * 64 + b"  dossier.pdf\n"])
def test_a_list_of_something_else_is_no_list(issue, data):
    (issue / "timestamps-sha256.txt").write_bytes(data)
    report = verify_path(issue)
    told = [step for step in report.steps if step.ok is False]
    assert [step.details for step in told] == [("changed: 'timestamps-sha256.txt'",)]


def test_a_stamp_taken_out_of_its_list_is_named(issue):
    listed = (issue / "timestamps-sha256.txt").read_bytes().splitlines(keepends=True)
    (issue / "timestamps-sha256.txt").write_bytes(listed[0])
    report = verify_path(issue)
    assert any("'timestamp.tsr'" in line for step in report.steps if step.ok is False for line in step.details)


def test_without_any_of_them_it_is_the_issue_as_it_was_made(issue):
    for name in (COPY, "timestamp.tsr", "timestamps-sha256.txt"):
        (issue / name).unlink()
    report = verify_path(issue)
    assert report.ok
    assert "timestamps-sha256.txt" not in report_text(report)


def test_cut_off_before_the_list_the_same_reply_finishes(made, issue):
    for name in ("timestamp.tsr", "timestamps-sha256.txt"):
        (issue / name).unlink()
    assert not verify_path(issue).ok
    attach(issue, (made[0] / "q-signature.tsr").read_bytes())
    assert verify_path(issue).ok
    attach(issue, (made[0] / "q.tsr").read_bytes())
    assert verify_path(issue).ok
    assert (issue / "timestamps-sha256.txt").read_bytes() == (made[1] / "timestamps-sha256.txt").read_bytes()
