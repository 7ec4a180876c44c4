"""PDFs that hold far more than they weigh: refused by name, and never unpacked whole.

Cross-reference and object streams after ISO 32000-1, 7.5.7 and 7.5.8, filters after 7.4; limits are our own.
"""

import subprocess
import sys
import zlib
from functools import cache

import pytest

from buildbook.verify import verify_path
from buildbook.verify.limits import MOST_LIST_BYTES
from buildbook.verify.opening import opened

pytestmark = pytest.mark.slow
MEBIBYTE = 1 << 20
HOLDS = 600 * MEBIBYTE
MOST = 400 * MEBIBYTE  # of memory in all, the program itself taking about 100
ROOT = (
    b"%PDF-1.7\n1 0 obj\n<</Type/Catalog/Pages 2 0 R>>\nendobj\n"
    b"2 0 obj\n<</Type/Pages/Kids[3 0 R]/Count 1>>\nendobj\n"
    b"3 0 obj\n<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]>>\nendobj\n"
)
PEAK = """
import re, resource, sys
from pathlib import Path
from buildbook.verify import opening, verify_path
opening.ROOM = 200 << 20
step = verify_path(Path(sys.argv[1])).steps[0]
assert step.ok is False, step
print(step.says)
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
if sys.platform == "linux":  # there that number begins with what the starting process held
    peak = 1024 * int(re.search(r"VmHWM:\\s+(\\d+) kB", Path("/proc/self/status").read_text())[1])
print(peak)
"""


@cache
def deflated(size):
    packer = zlib.compressobj(9)
    return b"".join(packer.compress(bytes(MEBIBYTE)) for _ in range(size // MEBIBYTE)) + packer.flush()


@cache
def run_lengths(size):
    return b"\x81\0" * (size // 128) + b"\x80"  # 128 times the byte that follows; end of data


@cache
def lzw(size):
    """Zeros packed by LZW (7.4.4.2): each code is the last one's string and one byte more, so the table fills fastest."""
    codes, total = [], 0
    while total < size:
        codes += [256, 0, *range(258, 4093)]
        total += sum(range(1, 4093 - 258 + 2))
    made, held, bits, width, known = bytearray(), 0, 0, 9, 257
    for code in [*codes, 257]:
        held, bits = (held << width) | code, bits + width
        while bits >= 8:
            bits -= 8
            made.append(held >> bits & 255)
        held &= (1 << bits) - 1
        known = 257 if code == 256 else known + 1
        width = 9 if known < 511 else 10 if known < 1023 else 11 if known < 2047 else 12
    return bytes(made) + bytes([held << (8 - bits) & 255])


def in_table(filters, data):
    """The bomb is the table of objects itself."""
    said = b"<</Type/XRef/Size %d/W[1 2 1]/Root 1 0 R/Filter%s/Length %d>>" % (HOLDS // 4, filters, len(data))
    return ROOT + b"4 0 obj\n%s\nstream\n%s\nendstream\nendobj\nstartxref\n%d\n%%%%EOF\n" % (said, data, len(ROOT))


def in_object_stream(filters, data):
    """The bomb holds the catalogue."""
    said = b"<</Type/ObjStm/N 1/First 4/Filter%s/Length %d>>" % (filters, len(data))
    body = b"%PDF-1.7\n" + b"4 0 obj\n%s\nstream\n%s\nendstream\nendobj\n" % (said, data)
    rows = [(0, 0, 255), (2, 4, 0), (0, 0, 0), (0, 0, 0), (1, 9, 0), (1, len(body), 0)]
    table = b"".join(bytes([a]) + b.to_bytes(4, "big") + bytes([c]) for a, b, c in rows)
    said = b"<</Type/XRef/Size 6/W[1 4 1]/Root 1 0 R/Length %d>>" % len(table)
    return body + b"5 0 obj\n%s\nstream\n%s\nendstream\nendobj\nstartxref\n%d\n%%%%EOF\n" % (said, table, len(body))


SPELLINGS = [b"/LZWDecode", b"/LZ#57Decode", b"[/L#5aWDecod#65]", b"/RunLengthDecode", b"[/Run#4cengthDecode]"]
LINUX = pytest.mark.skipif(sys.platform != "linux", reason="the system sets no limit to memory")


@pytest.mark.skipif(sys.platform == "win32", reason="peak memory is asked of POSIX")
@pytest.mark.parametrize("place", [in_table, in_object_stream])
@pytest.mark.parametrize("kind", ["once", "twice", "three times", "run lengths", "LZW"])
def test_a_bomb_fills_no_memory(tmp_path, place, kind):
    filters, data = {
        "once": lambda: (b"/FlateDecode", deflated(HOLDS)),
        "twice": lambda: (b"[/FlateDecode/FlateDecode]", zlib.compress(deflated(HOLDS), 9)),
        "three times": lambda: (b"[/Fl/Fl/Fl]", zlib.compress(zlib.compress(deflated(HOLDS), 9), 9)),
        "run lengths": lambda: (b"/RunLengthDecode", run_lengths(HOLDS)),
        "LZW": lambda: (b"/LZWDecode", lzw(HOLDS)),
    }[kind]()
    said_and_peak(tmp_path, place(filters, data))


@LINUX
@pytest.mark.parametrize("place", [in_table, in_object_stream])
@pytest.mark.parametrize(("name", "pack"), [(b"/RL", run_lengths), (b"/LZW", lzw), (b"[/LZW ]", lzw)])
def test_a_short_name_does_not_help_it(tmp_path, place, name, pack):
    """The PDF library knows the names of inline images (8.9.7) everywhere."""
    said_and_peak(tmp_path, place(name, pack(HOLDS)))


def said_and_peak(tmp_path, pdf):
    (tmp_path / "a.pdf").write_bytes(pdf)
    words = [sys.executable, "-c", PEAK, str(tmp_path / "a.pdf")]
    ran = subprocess.run(words, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    says, peak = ran.stdout.strip().rsplit("\n", 1)
    assert says.startswith(("it cannot be read as a PDF", "attachments are missing"))  # damaged, or mended by recovery
    assert int(peak) < MOST


@pytest.mark.parametrize("spelling", SPELLINGS)
def test_a_way_of_packing_without_a_limit_is_not_unpacked_however_it_is_spelled(tmp_path, spelling):
    (tmp_path / "a.pdf").write_bytes(in_table(spelling, b"\x80"))
    assert "packed in a way that is not unpacked" in verify_path(tmp_path / "a.pdf").steps[0].says


def memory_limit():
    if sys.platform != "linux":
        return None
    import resource

    return resource.getrlimit(resource.RLIMIT_AS)


def test_the_limits_are_put_back():
    from pikepdf import PdfError
    from pikepdf.settings import get_qpdf_limits

    before, room = get_qpdf_limits(), memory_limit()
    with pytest.raises(ValueError, match="not unpacked"), opened(in_table(b"/LZWDecode", b"")):
        pass
    with pytest.raises(PdfError), opened(b"%PDF-1.7"):
        pass
    with opened(ROOT + b"trailer\n<</Root 1 0 R>>\nstartxref\n0\n%%EOF\n"):
        assert get_qpdf_limits() != before
        assert sys.platform != "linux" or memory_limit() != room
    assert (get_qpdf_limits(), memory_limit()) == (before, room)
    assert MOST_LIST_BYTES <= 64 * MEBIBYTE
