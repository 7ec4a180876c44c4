"""PDFs with signatures, and issues with signature files, from somebody who means harm: a clear answer each, no end missed.

Form fields and revisions after ISO 32000-1, 7.5 and 12.7; signatures after its 12.8 and RFC 5652; limits are our own.
"""

import faulthandler
import shutil
import sys
import zlib
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

pytest.importorskip("pyhanko", reason="the extra `sign` is not installed")

from buildbook.compile import Archiving, compile_job
from buildbook.photos import Library
from buildbook.seal.keys import CERTIFICATE, KEY, load_signer, new_keys
from buildbook.seal.signing import Signing
from buildbook.verify import report_text, verify_path
from buildbook.verify.limits import MOST_TAG_BYTES
from buildbook.verify.pdfsigned import last_signature
from buildbook.verify.stamped import stamped_steps, unstamped

GOOD = Path(__file__).parents[2] / "jobs" / "good" / "minimal"
STEP = "The PDF's signature holds over the whole file"
PAGES = {2: b"<</Type/Pages/Kids[3 0 R]/Count 1>>", 3: b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]>>"}
SIGNED = b"<</Type/Sig/Filter/Adobe.PPKLite/SubFilter/ETSI.CAdES.detached/ByteRange[0 20 40 60]/Contents<3000>>>"
FIELD = {4: b"<</FT/Sig/T(a)/V 5 0 R>>", 5: SIGNED}
FREE = b"0000000000 00000 f \n"


@pytest.fixture(autouse=True)
def _no_end_missed():
    """Far beyond what any of this takes: what hangs is shown where it hangs, rather than waited for."""
    faulthandler.dump_traceback_later(300, exit=True, file=sys.__stderr__)
    yield
    faulthandler.cancel_dump_traceback_later()


def written(objects, extra=b""):
    """A PDF with a plain table of objects. extra: goes into the trailer, HERE being the place of the table."""
    out, places = bytearray(b"%PDF-1.7\n"), {}
    for number, body in objects.items():
        places[number] = len(out)
        out += b"%d 0 obj\n%s\nendobj\n" % (number, body)
    here, size = len(out), max(objects) + 1
    rows = [b"%010d 00000 n \n" % places[n] if n in places else FREE for n in range(1, size)]
    table = b"xref\n0 %d\n0000000000 65535 f \n" % size + b"".join(rows)
    trailer = b"trailer\n<</Size %d/Root 1 0 R%s>>\n" % (size, extra.replace(b"HERE", b"%d" % here))
    return bytes(out) + table + trailer + b"startxref\n%d\n%%%%EOF\n" % here


def catalogue(fields):
    return {1: b"<</Type/Catalog/Pages 2 0 R/AcroForm<</Fields[%s]/SigFlags 3>>>>" % fields, **PAGES}


def form(more, fields=b"4 0 R", extra=b""):
    return written(catalogue(fields) | more, extra)


def refs(numbers):
    return b" ".join(b"%d 0 R" % n for n in numbers)


def packed(count):
    """Fields and their signatures in one object stream: none stands in the open."""
    inner = catalogue(refs(range(10, 10 + 2 * count, 2)))
    for n in range(10, 10 + 2 * count, 2):
        inner |= {n: b"<</FT/Sig/T(f%d)/V %d 0 R>>" % (n, n + 1), n + 1: SIGNED}
    head, body = bytearray(), bytearray()  # of megabytes: bytes would be copied at each step
    for number, text in inner.items():
        head += b"%d %d " % (number, len(body))
        body += text + b" "
    data = zlib.compress(bytes(head + body))
    out = b"%PDF-1.7\n"
    said = b"<</Type/ObjStm/N %d/First %d/Filter/FlateDecode/Length %d>>" % (len(inner), len(head), len(data))
    stream = b"4 0 obj\n%s\nstream\n%s\nendstream\nendobj\n" % (said, data)
    here, index = len(out) + len(stream), {number: at for at, number in enumerate(inner)}
    size = max(*inner, 5) + 1

    def row(n):
        kind, where, place = (2, 4, index[n]) if n in index else (1, len(out), 0) if n == 4 else (0, 0, 0)
        kind, where = (1, here) if n == 5 else (kind, where)
        return bytes([kind]) + where.to_bytes(4, "big") + place.to_bytes(4, "big")

    return out + stream + table_stream(5, size, b"/W[1 4 4]", b"".join(map(row, range(size))), here)


def table_stream(number, size, more, rows, here):
    said = b"<</Type/XRef/Size %d%s/Root 1 0 R/Length %d>>" % (size, more, len(rows))
    return b"%d 0 obj\n%s\nstream\n%s\nendstream\nendobj\nstartxref\n%d\n%%%%EOF\n" % (number, said, rows, here)


def with_table(more, rows, size):
    data = form(FIELD)
    data = data[: data.index(b"xref\n0")]
    return data + table_stream(6, size, more, rows, len(data))


def in_two_circles():
    """Two revisions, each said to come before the other."""
    data = form(FIELD, extra=b"/Prev 00000")
    first, second = int(data.rsplit(b"startxref\n", 1)[1].split()[0]), len(data)
    data = data.replace(b"/Prev 00000", b"/Prev %05d" % second)
    trailer = b"trailer\n<</Size 6/Root 1 0 R/Prev %d>>\n" % first
    return data + b"xref\n0 0\n" + trailer + b"startxref\n%d\n%%%%EOF\n" % second


def revised(times):
    data = form(FIELD)
    parts, length, before = [data], len(data), int(data.rsplit(b"startxref\n", 1)[1].split()[0])
    for _ in range(times):
        trailer = b"trailer\n<</Size 6/Root 1 0 R/Prev %d>>\n" % before
        parts.append(b"xref\n0 0\n" + trailer + b"startxref\n%d\n%%%%EOF\n" % length)
        before, length = length, length + len(parts[-1])
    return b"".join(parts)


def ladder(steps):
    """Each field has the next as both its kids: 2 to the power of `steps` ways down."""
    rungs = {n: b"<</T(f)/FT/Sig/Kids[%d 0 R %d 0 R]>>" % (n + 1, n + 1) for n in range(4, 4 + steps)}
    return form({**rungs, 4 + steps: b"<</T(f)>>", 5 + steps: SIGNED})


def chain(steps):
    rungs = {n: b"<</T(f)/FT/Sig/Kids[%d 0 R]>>" % (n + 1) for n in range(4, 4 + steps)}
    return form({**rungs, 4 + steps: b"<</T(f)/V %d 0 R>>" % (5 + steps), 5 + steps: SIGNED})


def contents(digits):
    """A signature whose signed range is right and whose value is not."""
    ranged = b"/ByteRange[0 %06d %06d %06d]"
    value = SIGNED.replace(b"/ByteRange[0 20 40 60]", ranged % (0, 0, 0)).replace(b"<3000>", b"<%s>" % digits)
    data = form({**FIELD, 5: value})
    start = data.index(b"/Contents<") + len(b"/Contents")
    end = data.index(b">", start) + 1
    return data.replace(ranged % (0, 0, 0), ranged % (start, end, len(data) - end))


def ranged(text):
    return form({**FIELD, 5: SIGNED.replace(b"[0 20 40 60]", text)})


def wide(count, value):
    fields = {n: b"<</T(f%d)/FT/Sig%s>>" % (n, value) for n in range(5, 5 + count)}
    return form({4: SIGNED, **fields}, refs(fields))


CIRCLE, DAMAGED, MANY = "its form goes in circles", "its table of objects cannot be followed", "more than 16 signatures"
REFUSED = {
    "a field that is its own kid": (form({4: b"<</FT/Sig/T(a)/Kids[4 0 R]/Parent 4 0 R/V 5 0 R>>", 5: SIGNED}), CIRCLE),
    "two fields, each the other's kid": (form({
        4: b"<</FT/Sig/T(a)/Kids[5 0 R]/Parent 5 0 R>>", 5: b"<</T(b)/Kids[4 0 R]/Parent 4 0 R/V 6 0 R>>", 6: SIGNED,
    }), CIRCLE),
    "2 to the power of 40 ways through a form": (ladder(40), CIRCLE),
    "5,000 fields below one another": (chain(5000), "more than 1,000 fields"),
    "20,000 fields": (wide(20_000, b""), "more than 1,000 fields"),
    "20,000 fields with one signature": (wide(20_000, b"/V 4 0 R"), MANY),
    "30,000 signatures in an object stream": (packed(30_000), MANY),
    "a signature in an object stream": (packed(1), "no range of bytes that is signed stands open"),
    "a revision that comes before itself": (form(FIELD, extra=b"/Prev HERE"), DAMAGED),
    "two revisions before each other": (in_two_circles(), DAMAGED),
    "a revision outside the file": (form(FIELD, extra=b"/Prev 99999999"), DAMAGED),
    "a revision before the file": (form(FIELD, extra=b"/Prev -5"), DAMAGED),
    "20,000 revisions": (revised(20_000), "more than 64 revisions"),
    "4,000,000,000 objects in a table without width": (
        with_table(b"/W[0 0 0]/Index[0 4000000000]", b"", 4_000_000_000), DAMAGED),
    "4,000,000,000 objects in a table of six": (form(FIELD).replace(b"xref\n0 6", b"xref\n0 4000000000"), DAMAGED),
    "a range over nothing that is a signature": (contents(b"3000").replace(b"/Contents", b"/Contentz"), "malformed"),
}  # fmt: skip
MALFORMED = {
    **{f"contents: {name}": contents(digits) for name, digits in {
        "none": b"", "half a byte": b"3", "no digits": b"zz", "longer than the file": b"3084ffffffff",
        "5,000 deep": b"3080" * 5000, "naught": b"00" * 9000, "no content": b"300b06092a864886f70d010701",
        "signed data without any": b"300f06092a864886f70d010702a0023000",
    }.items()},
    **{f"range: {text.decode()}": ranged(text) for text in (
        b"[/a /b /c /d]", b"[0 1]", b"[0 99999999999999999999 5 6]", b"[0 -1 -1 -1]", b"null", b"<</A 1>>")},
    "a value that is text": form({4: b"<</FT/Sig/T(a)/V(x/ByteRange)>>"}),
    "objects that stand for each other": form({4: b"5 0 R", 5: b"4 0 R", 6: SIGNED}),
}  # fmt: skip
UNSIGNED = {
    "parents in a circle": form({4: b"<</T(a)/Parent 5 0 R/V 6 0 R>>", 5: b"<</T(b)/Parent 4 0 R>>", 6: SIGNED}),
    "fields that are no list": form(FIELD).replace(b"[4 0 R]", b"(4 0 R)"),
}


def step_of(path):
    report = verify_path(path)
    assert not report.ok  # none carries a record
    assert "Traceback" not in report_text(report)
    return next(step for step in report.steps if step.name == STEP)


@pytest.mark.parametrize("name", REFUSED)
def test_what_would_be_walked_without_end_is_refused_and_says_why(name, tmp_path):
    data, says = REFUSED[name]
    (tmp_path / "a.pdf").write_bytes(data)
    step = step_of(tmp_path / "a.pdf")
    assert step.ok is False
    assert says in step.says
    assert unstamped(data) is None
    (copy,) = stamped_steps(data, None, data)
    assert copy.ok is False


@pytest.mark.parametrize("name", MALFORMED)
def test_a_malformed_signature_is_said_to_be_that(name, tmp_path):
    (tmp_path / "a.pdf").write_bytes(MALFORMED[name])
    step = step_of(tmp_path / "a.pdf")
    assert step.ok is False
    assert step.says.startswith("it cannot be checked: ")
    assert step.details == ("changed: 'dossier.pdf'",)


@pytest.mark.parametrize("name", UNSIGNED)
def test_what_no_field_holds_is_no_signature(name, tmp_path):
    (tmp_path / "a.pdf").write_bytes(UNSIGNED[name])
    assert step_of(tmp_path / "a.pdf").says == "it is not signed"


# Files of an issue ---------------------------------------------------------------------------------------------------
@pytest.fixture(scope="module")
def made(tmp_path_factory):
    root = tmp_path_factory.mktemp("signed")
    now = datetime.now(UTC).replace(microsecond=0)
    new_keys(root / "keys", "Northquay Coachworks", "correct horse", now, ec=True)
    signer = load_signer(root / "keys" / KEY, root / "keys" / CERTIFICATE, "correct horse", "Maren Oduya", now)
    shutil.copytree(GOOD, root / "job")
    library = Library(root / "cache", workers=1)
    how = {"signing": Signing(signer), "archiving": Archiving(), "library": library}
    return compile_job(root / "job", root / "out", date(2027, 1, 1), **how).folder


@pytest.fixture
def issue(made, tmp_path):
    shutil.copytree(made, tmp_path / "issue-01")
    return tmp_path / "issue-01"


@pytest.mark.parametrize("where", [".", "archive"])
@pytest.mark.parametrize("name", ["signer.pem", "manifest-sha256.txt.sig"])
def test_a_signature_file_over_the_limit_is_refused_by_name_and_not_called_missing(issue, where, name):
    folder = issue / where
    assert verify_path(folder).ok
    with (folder / name).open("ab") as stream:
        stream.truncate(MOST_TAG_BYTES + 1)
    report = verify_path(folder)
    assert not report.ok
    assert f"unreadable: '{name}' (it is no plain file of at most 1,048,576 bytes" in report_text(report)
    assert f"missing: '{name}'" not in report_text(report)
    (folder / name).unlink()
    assert f"missing: '{name}'" in report_text(verify_path(folder))


@pytest.mark.parametrize(("size", "says"), [
    (MOST_TAG_BYTES + 1, "more than 1,048,576 bytes are not read"), (MOST_TAG_BYTES, "it is no reply after RFC 3161")])  # fmt: skip
def test_a_reply_about_the_limit(issue, size, says):
    (issue / "timestamp.tsr").write_bytes(b"0" * size)
    report = verify_path(issue)
    (step,) = (s for s in report.steps if s.name == "The time stamp is on this seal")
    assert step.ok is False
    assert says in step.says
    assert step.details == ("changed: 'timestamp.tsr'",)


def test_the_signed_range_must_leave_out_the_signature_itself(issue, tmp_path):
    """A sound value, and a range that leaves out something else: whatever lies there would go unsigned."""
    held = last_signature((issue / "dossier.pdf").read_bytes())
    value = held.signature.pkcs7_content.hex().encode()
    room = b"/ByteRange[0 %06d %06d %06d]"
    sound = SIGNED.replace(b"/ByteRange[0 20 40 60]", room % (0, 0, 0)).replace(b"<3000>", b"<%s>" % value)
    data = form({4: b"<</FT/Sig/T(a)/V 5 0 R/TU<feff>>>", 5: sound})
    for mark, says in ((b"/TU", "is not the signature"), (b"/Contents", "does not hold")):
        start = data.index(mark + b"<") + len(mark)
        end = data.index(b">", start) + 1
        (tmp_path / "a.pdf").write_bytes(data.replace(room % (0, 0, 0), room % (start, end, len(data) - end)))
        step = step_of(tmp_path / "a.pdf")
        assert step.ok is False
        assert says in step.says
