"""SHA-256 digests, the manifest and the seal: the one piece that verify shares with the writing side.

A manifest is what `sha256sum` prints for the files of the record: `<hex>  <path>`, one a line, sorted by the
bytes of the path, LF at each end. The seal is the SHA-256 of the manifest's bytes. FIPS 180-4 names SHA-256;
the line format and its escapes are those of GNU coreutils.
"""

from __future__ import annotations

import hashlib
import re
import stat
from collections.abc import Iterable, Mapping
from pathlib import Path

MANIFEST_NAME = "manifest-sha256.txt"
_CHUNK = 1 << 20
_LINE = re.compile(r"(?P<escaped>\\?)(?P<hex>[0-9a-f]{64})  (?P<path>.+)", re.DOTALL)
_ESCAPE = {"\\": "\\\\", "\n": "\\n", "\r": "\\r"}
_UNESCAPE = re.compile(r"\\(.)", re.DOTALL)


class NotAManifest(ValueError):
    """The bytes are not a manifest; the message names the line."""


def sha256_bytes(data: bytes) -> str:
    """SHA-256 of bytes, lower-case hex."""
    return hashlib.sha256(data).hexdigest()


def sha256_file(path: Path) -> str:
    """SHA-256 of a regular file's bytes, lower-case hex.

    Raises OSError if it cannot be read or is not a regular file (a pipe or a device would block for ever).
    """
    if not stat.S_ISREG(path.lstat().st_mode):
        raise OSError(f"{path.name} is not a regular file")
    digest = hashlib.sha256()
    with path.open("rb", buffering=0) as stream:
        while chunk := stream.read(_CHUNK):
            digest.update(chunk)
    return digest.hexdigest()


def manifest_bytes(digests: Iterable[tuple[str, str]]) -> bytes:
    """The manifest of (path, hex) pairs. Paths are relative, `/` separated, in any order, without repeats.

    Raises ValueError on a repeated path.
    """
    lines: list[tuple[bytes, str]] = []
    for path, digest in digests:
        written = "".join(_ESCAPE.get(c, c) for c in path)
        mark = "\\" if written != path else ""
        lines.append((path.encode("utf-8"), f"{mark}{digest}  {written}\n"))
    lines.sort()
    if len({key for key, _ in lines}) != len(lines):
        raise ValueError("a path stands twice in the manifest")
    return "".join(line for _, line in lines).encode("utf-8")


def parse_manifest(data: bytes) -> dict[str, str]:
    """Path -> hex of a manifest. Raises NotAManifest, naming the line, on anything that is not exactly one."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise NotAManifest(f"byte {error.start} is not UTF-8") from error
    if text and not text.endswith("\n"):
        raise NotAManifest("the last line is cut off")
    found: dict[str, str] = {}
    for number, line in enumerate(text.split("\n")[:-1], start=1):
        match = _LINE.fullmatch(line)
        if match is None:
            raise NotAManifest(f"line {number} is not `<64 hex digits>  <path>`")
        path = match["path"]
        if match["escaped"]:
            path = _UNESCAPE.sub(lambda m: {"n": "\n", "r": "\r"}.get(m[1], m[1]), path)
        if path in found:
            raise NotAManifest(f"line {number} names {path!r} a second time")
        if path.startswith("/") or ".." in path.split("/"):
            raise NotAManifest(f"line {number} names a path outside the job folder: {path!r}")
        found[path] = match["hex"]
    return found


def seal_of(manifest: bytes) -> str:
    """The seal: SHA-256 of the manifest's bytes."""
    return sha256_bytes(manifest)


def compare(wanted: Mapping[str, str], found: Mapping[str, str]) -> tuple[list[str], list[str], list[str]]:
    """(changed, missing, added) paths, each sorted, of what is found against what is wanted."""
    changed = sorted(p for p, digest in wanted.items() if p in found and found[p] != digest)
    return changed, sorted(wanted.keys() - found.keys()), sorted(found.keys() - wanted.keys())
