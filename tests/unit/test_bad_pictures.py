"""A folder full of unreadable, truncated, empty, huge and misnamed pictures: findings, never a crash or a hang."""

import io
import json
import os
import resource
import shutil
import struct
import subprocess
import sys
import zlib
from pathlib import Path

from PIL import Image

GOOD = Path(__file__).parents[1] / "jobs" / "good" / "minimal"


def jpeg(size=(1600, 1200), colour="teal", **save):
    data = io.BytesIO()
    Image.new("RGB", size, colour).save(data, "JPEG", **save)
    return data.getvalue()


def png_header(width, height):
    def chunk(kind, body):
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 1000)) + chunk(b"IEND", b"")


def gif():
    data = io.BytesIO()
    Image.new("P", (1600, 1200)).save(data, "GIF")
    return data.getvalue()


PICTURES = {
    "empty.jpg": b"",
    "one-byte.jpg": b"\xff",
    "text.jpg": b"this is a text\n" * 100,
    "truncated.jpg": jpeg()[:3000],
    "header-only.jpg": jpeg()[:30],
    "garbage-exif.jpg": b"\xff\xd8\xff\xe1\x00\x40Exif\x00\x00" + b"\xff" * 54 + jpeg()[2:],
    "huge-bomb.png": png_header(60_000, 60_000),
    "claims-more.png": png_header(4_000, 4_000),
    "gif-inside.jpg": gif(),
    "png-inside.jpg": (lambda b: (Image.new("RGB", (1600, 1200), "red").save(b, "PNG"), b.getvalue())[1])(io.BytesIO()),
    "pdf-inside.jpg": b"%PDF-1.7\n%nothing",
    "tiny.jpg": jpeg((20, 10)),
    "zeros.heic": b"\0" * 5000,
    "noise.webp": b"RIFF\xff\xff\xff\xffWEBPVP8 " + bytes(range(256)) * 20,
    "odd.tif": b"II*\x00\x08\x00\x00\x00\xff\xff" + b"\x01" * 400,
}


def test_findings_and_exit_1_never_a_traceback(tmp_path):
    job = tmp_path / "job"
    shutil.copytree(GOOD, job)
    place = next(job.glob("steps/*/during"), None) or next(job.glob("steps/*")) / "during"
    place.mkdir(exist_ok=True)
    for name, data in PICTURES.items():
        (place / name).write_bytes(data)
    os.mkfifo(place / "pipe.jpg")
    (place / "link.jpg").symlink_to("/etc/hostname")
    (place / "nowhere.jpg").symlink_to("nowhere")
    (place / "folder.jpg").mkdir()
    told = subprocess.run(
        [sys.executable, "-m", "buildbook", "check", str(job), "--format", "json"],
        capture_output=True, text=True, check=False, timeout=120,
        env={**os.environ, "BUILDBOOK_CACHE": str(tmp_path / "cache")},
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (3 << 30, 3 << 30)),  # address space, not memory
    )  # fmt: skip
    assert told.returncode == 1, told.stderr
    assert "Traceback" not in told.stderr
    findings = json.loads(told.stdout)["findings"]
    named = {Path(f["file"]).name for f in findings if f["file"]}
    spared = {"garbage-exif.jpg"}  # its picture is whole; that it has no time is a finding of its own
    assert set(PICTURES) - named <= spared, set(PICTURES) - named
    for name in ("pipe.jpg", "link.jpg", "nowhere.jpg"):
        assert name in named
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss * 1024
    assert peak < 1 << 30, f"{peak >> 20} MiB"


def test_a_folder_that_is_no_job_is_exit_3(tmp_path):
    (tmp_path / "x.jpg").write_bytes(b"")
    for where in (tmp_path, tmp_path / "x.jpg", tmp_path / "absent"):
        told = subprocess.run(
            [sys.executable, "-m", "buildbook", "check", str(where)], capture_output=True, text=True, check=False
        )
        assert told.returncode == 3
        assert "What to do" in told.stderr
        assert "Traceback" not in told.stderr
