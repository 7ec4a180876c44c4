"""Steps over any BagIt bag: RFC 8493 (1.0), and its drafts 0.93 to 0.97 as far as old bags follow them.

Every list there is is checked, each file is read once, nothing is fetched.
"""

from __future__ import annotations

import hashlib
import os
import re
import unicodedata
from collections.abc import Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from functools import cached_property

from buildbook.archive.form import BAG_INFO, BAGIT, PAYLOAD, decode_path
from buildbook.verify import limits
from buildbook.verify.holder import FolderHolder, Holder, Unreadable, outside, read
from buildbook.verify.report import Step

VERSIONS = ("0.93", "0.94", "0.95", "0.96", "0.97", "1.0")
FETCH = "fetch.txt"
_WEAK = frozenset({"md5", "sha1"})
_KNOWN = frozenset({"md5", "sha1", "sha224", "sha256", "sha384", "sha512"})
_ENCODINGS = frozenset(
    {"utf-8", "utf8", "us-ascii", "ascii", "iso-8859-1", "latin-1", "iso-8859-15", "windows-1252", "cp1252",
     "utf-16", "utf-16le", "utf-16be", "utf-32", "shift_jis", "euc-jp", "gb18030", "big5", "euc-kr", "tis-620"}
)  # fmt: skip
_LIST = re.compile(r"(tag)?manifest-([A-Za-z0-9-]+)\.txt")
_LINE = re.compile(r"([0-9A-Fa-f]+)[ \t]+(.+)")
_BREAK = re.compile("\r\n|\n|\r")
_VERSION = re.compile(r"([0-9]+\.[0-9]+)")


@dataclass
class Listed:
    """One list of digests: path as it lies in the bag -> hex. name: of the list's file."""

    name: str
    algorithm: str
    of_tags: bool
    digests: dict[str, str] = field(default_factory=dict)


@dataclass
class Found:
    """What the steps over a bag found out. found: path -> algorithm -> hex, as the bytes are."""

    steps: list[Step] = field(default_factory=list)
    version: str = ""
    lists: list[Listed] = field(default_factory=list)
    found: dict[str, dict[str, str]] = field(default_factory=dict)

    def sha256(self, path: str) -> str:
        """The SHA-256 of a file as it is, "" if it was not read."""
        return self.found.get(path, {}).get("sha256", "")


class _Checker:
    def __init__(self, holder: Holder, where: str) -> None:
        self.holder, self.where = holder, where
        self.result = Found()
        self.encoding = "utf-8"
        self.notes: list[str] = []

    def name(self, path: str) -> str:
        """A path as it is printed: with what stands before it."""
        return repr(f"{self.where}{path}")

    def step(self, name: str, says: str, wrong: Iterable[str], notes: Iterable[str] = ()) -> None:
        lines = tuple(wrong)
        self.result.steps.append(Step(name, not lines, says if not lines else "it is not so", (*lines, *notes)))

    # 1 ----------------------------------------------------------------------------------------------------------------
    def layout(self) -> None:
        wrong = [f"unreadable: {self.name(path)} ({why})" for path, why in self.holder.odd]
        wrong += self._bagit()
        if not any(path.startswith(f"{PAYLOAD}/") for path in self.holder.sizes) and not self._empty_payload():
            wrong.append(f"missing: {self.name(PAYLOAD + '/')}")
        size = sum(self.holder.sizes.values())
        says = f"BagIt {self.result.version}, {len(self.holder.sizes):,} files, {size:,} bytes"
        self.step("The bag is laid out as BagIt asks", says, wrong)

    def _empty_payload(self) -> bool:
        return isinstance(self.holder, FolderHolder) and (self.holder.root / PAYLOAD).is_dir()

    def _bagit(self) -> list[str]:
        name = self.name(BAGIT)
        try:
            data = read(self.holder, BAGIT, limits.MOST_TAG_BYTES)
        except Unreadable as error:
            return [f"missing: {name} ({error})"]
        if data.startswith(b"\xef\xbb\xbf"):
            return [f"changed: {name} begins with a byte order mark"]
        try:
            lines = _BREAK.split(data.decode("utf-8"))
        except UnicodeDecodeError:
            return [f"changed: {name} is not UTF-8"]
        if lines and not lines[-1]:
            lines.pop()
        fields = [tuple(line.split(":", 1)) for line in lines]
        if [f[0].strip() for f in fields] != ["BagIt-Version", "Tag-File-Character-Encoding"] or any(
            len(f) != 2 for f in fields
        ):
            return [f"changed: {name} must hold two lines, BagIt-Version and Tag-File-Character-Encoding"]
        version, encoding = fields[0][1].strip(), fields[1][1].strip()
        if not _VERSION.fullmatch(version) or version not in VERSIONS:
            return [f"changed: {name} names the version {version!r}; known are {', '.join(VERSIONS)}"]
        self.result.version = version
        # RFC 8493, 2.1.1: from 1.0 on no white space stands before the colon, and one space behind it.
        strict = [f"BagIt-Version: {version}", f"Tag-File-Character-Encoding: {encoding}"]
        if version == "1.0" and lines != strict:
            return [f"changed: {name} has white space where BagIt 1.0 allows none"]
        if encoding.casefold() not in _ENCODINGS:
            return [f"changed: {name} names the encoding {encoding!r}, which is not read here"]
        self.encoding = encoding
        return []

    # 2 ----------------------------------------------------------------------------------------------------------------
    def lists(self) -> None:
        wrong: list[str] = []
        for path in sorted(p for p in self.holder.sizes if "/" not in p):
            match = _LIST.fullmatch(path)
            if match is None:
                continue
            algorithm = match[2].casefold().replace("-", "")
            if algorithm not in _KNOWN:
                wrong.append(f"unreadable: {self.name(path)} (digests by {match[2]!r} are not known here)")
                continue
            listed = Listed(path, algorithm, bool(match[1]))
            self.result.lists.append(listed)
            wrong += self._read_list(listed)
        kinds = sorted({one.algorithm for one in self.result.lists if not one.of_tags})
        if not kinds:
            wrong.append(f"missing: {self.name('manifest-sha256.txt')} or another list of payload digests")
        says = ", ".join(f"{k} (weak: shows accidents, not intent)" if k in _WEAK else k for k in kinds)
        self.step("Its lists of digests are well formed", says, wrong, self.notes)

    def _read_list(self, listed: Listed) -> list[str]:
        name = self.name(listed.name)
        try:
            text = read(self.holder, listed.name, limits.MOST_LIST_BYTES).decode(self.encoding)
        except Unreadable as error:
            return [f"unreadable: {name} ({error})"]
        except (UnicodeError, LookupError) as error:
            return [f"changed: {name} is not {self.encoding} ({error})"]
        wrong: list[str] = []
        length = hashlib.new(listed.algorithm).digest_size * 2
        for number, line in enumerate(_BREAK.split(text.removeprefix("\ufeff")), start=1):
            if not line:
                continue
            match = _LINE.fullmatch(line)
            if match is None or len(match[1]) != length:
                wrong.append(f"changed: {name}, line {number} is not `<{length} hex digits> <path>`")
                continue
            path = self._path(match[2])
            if outside(match[2]) or outside(path):
                wrong.append(f"changed: {name}, line {number} names a path outside the bag: {match[2]!r}")
            elif path.startswith(f"{PAYLOAD}/") is listed.of_tags:
                wrong.append(f"changed: {name}, line {number} names {path!r}, which belongs to the other kind of list")
            elif path in listed.digests:
                same = listed.digests[path] == match[1].lower()
                said = f"{name}, line {number} names {path!r} a second time"
                if same and self.result.version != "1.0":
                    self.notes.append(f"note: {said}")
                else:
                    wrong.append(f"changed: {said}")
            else:
                listed.digests[path] = match[1].lower()
            if len(wrong) > 50:
                wrong.append(f"changed: {name} has more such lines")
                break
        return wrong

    def _path(self, written: str) -> str:
        """The path a list means, in the spelling that lies in the bag if one of them does."""
        sizes = self.holder.sizes
        plain = written.removeprefix("./")
        tries = [decode_path(plain), plain, decode_path(plain.removeprefix("*").removeprefix("./"))]
        for path in tries:
            if path in sizes:
                if path != tries[0] or plain != written:
                    self.notes.append(f"note: {self.name(path)} is listed as {written!r}")
                return path
        if not tries[0].isascii():
            # RFC 8493, 6.1: file systems may change the normal form of names; digests still hold them apart.
            form = unicodedata.normalize("NFC", tries[0])
            alike = self._normal.get(form, [])
            if len(alike) == 1:
                self.notes.append(f"note: {self.name(alike[0])} is listed in another Unicode normal form")
                return alike[0]
        return tries[0]

    @cached_property
    def _normal(self) -> dict[str, list[str]]:
        forms: dict[str, list[str]] = {}
        for path in self.holder.sizes:
            if not path.isascii():
                forms.setdefault(unicodedata.normalize("NFC", path), []).append(path)
        return forms

    # 3 ----------------------------------------------------------------------------------------------------------------
    def complete(self) -> None:
        payload = {p for p in self.holder.sizes if p.startswith(f"{PAYLOAD}/")}
        lists = [one for one in self.result.lists if not one.of_tags]
        fetch, wrong = self._fetch()
        gone: dict[str, list[str]] = {}
        for one in lists:
            for path in one.digests.keys() - payload:
                gone.setdefault(path, []).append(one.name)
        for path, names in sorted(gone.items()):
            why = f"listed in {', '.join(names)}" + (
                "; fetch.txt says where it is to be fetched, which is not done here" if path in fetch else ""
            )
            wrong.append(f"missing: {self.name(path)} ({why})")
        if self.result.version == "1.0":
            for one in lists:
                more = sorted(payload - one.digests.keys())
                wrong += [f"added: {self.name(path)} (not listed in {one.name})" for path in more]
        else:
            anywhere = {path for one in lists for path in one.digests}
            wrong += [f"added: {self.name(path)} (not listed)" for path in sorted(payload - anywhere)]
        notes = [f"note: {self.name(FETCH)} names {len(fetch)} files; nothing was fetched"] if fetch else []
        self.step("Payload and lists name the same files", f"{len(payload):,} files", wrong, notes)

    def _fetch(self) -> tuple[set[str], list[str]]:
        if FETCH not in self.holder.sizes:
            return set(), []
        name = self.name(FETCH)
        try:
            text = read(self.holder, FETCH, limits.MOST_LIST_BYTES).decode(self.encoding)
        except (Unreadable, UnicodeError) as error:
            return set(), [f"unreadable: {name} ({error})"]
        paths, wrong = set(), []
        for number, line in enumerate(_BREAK.split(text), start=1):
            parts = line.split(None, 2)
            if not parts:
                continue
            path = decode_path(parts[2]) if len(parts) == 3 else ""
            if not path or not (parts[1] == "-" or parts[1].isdecimal()):
                wrong.append(f"changed: {name}, line {number} is not `<url> <bytes or -> <path>`")
            elif outside(path) or not path.removeprefix("./").startswith(f"{PAYLOAD}/"):
                wrong.append(f"changed: {name}, line {number} names a path outside the payload: {path!r}")
            else:
                paths.add(path.removeprefix("./"))
        return paths, wrong

    # 4, 5 -------------------------------------------------------------------------------------------------------------
    def digests(self) -> None:
        wanted: dict[str, set[str]] = {}
        for one in self.result.lists:
            for path in one.digests:
                if path in self.holder.sizes:
                    wanted.setdefault(path, set()).add(one.algorithm)
        wrong: dict[bool, list[str]] = {False: [], True: []}
        for path, got in self._hashed(wanted):
            if isinstance(got, str):
                wrong[not path.startswith(f"{PAYLOAD}/")].append(f"changed: {self.name(path)} cannot be read ({got})")
                continue
            self.result.found[path] = got
        for one in self.result.lists:
            for path, digest in sorted(one.digests.items()):
                got_one = self.result.found.get(path, {}).get(one.algorithm)
                if got_one is not None and got_one != digest:
                    by = self.name(one.name)
                    wrong[one.of_tags].append(f"changed: {self.name(path)} (got {got_one}, {by} says {digest})")
                elif one.of_tags and path not in self.holder.sizes:
                    wrong[True].append(f"missing: {self.name(path)} (listed in {one.name})")
        payload = sum(path.startswith(f"{PAYLOAD}/") for path in self.result.found)
        self.step("Each payload file has the digest that is listed", f"{payload:,} files", wrong[False])
        tags = len(self.result.found) - payload
        says = f"{tags} files" if tags else "no list of tag files: nothing guards them"
        self.step("Each tag file has the digest that is listed", says, wrong[True])

    def _hashed(self, wanted: Mapping[str, set[str]]) -> Iterable[tuple[str, dict[str, str] | str]]:
        def one(path: str) -> tuple[str, dict[str, str] | str]:
            hashes = {algorithm: hashlib.new(algorithm, usedforsecurity=False) for algorithm in wanted[path]}
            try:
                with self.holder.open(path) as stream:
                    while chunk := stream.read(limits.CHUNK):
                        for each in hashes.values():
                            each.update(chunk)
            except Unreadable as error:
                return path, str(error)
            return path, {algorithm: each.hexdigest() for algorithm, each in hashes.items()}

        if isinstance(self.holder, FolderHolder):
            with ThreadPoolExecutor(max_workers=min(4, os.cpu_count() or 1)) as pool:
                yield from pool.map(one, sorted(wanted))
        else:
            yield from map(one, sorted(wanted))

    # 6 ----------------------------------------------------------------------------------------------------------------
    def info(self) -> None:
        name = "bag-info.txt says how much the payload is"
        if BAG_INFO not in self.holder.sizes:
            self.result.steps.append(Step(name, None, "there is no bag-info.txt"))
            return
        try:
            text = read(self.holder, BAG_INFO, limits.MOST_TAG_BYTES).decode(self.encoding)
        except (Unreadable, UnicodeError) as error:
            self.step(name, "", [f"changed: {self.name(BAG_INFO)} cannot be read ({error})"])
            return
        wrong, sums = [], []
        for number, line in enumerate(_BREAK.split(text.removeprefix("\ufeff")), start=1):
            if not line.strip() or line[0] in " \t":
                continue
            label, colon, value = line.partition(":")
            if not colon:
                wrong.append(f"changed: {self.name(BAG_INFO)}, line {number} is not `<label>: <value>`")
            elif label.strip().casefold() == "payload-oxum":
                sums.append(value.strip())
        payload = [size for path, size in self.holder.sizes.items() if path.startswith(f"{PAYLOAD}/")]
        have = f"{sum(payload)}.{len(payload)}"
        wrong += [
            f"changed: {self.name(BAG_INFO)}, Payload-Oxum says {said!r}, the payload is {have}"
            for said in sums
            if said != have
        ]
        self.step(name, f"Payload-Oxum {have}" if sums else "it names no Payload-Oxum", wrong)


def check_bag(holder: Holder, where: str = "") -> Found:
    """All steps over one bag. where: what stands before its paths in messages ("archive/")."""
    checker = _Checker(holder, where)
    checker.layout()
    if not checker.result.version:
        return checker.result
    checker.lists()
    checker.complete()
    checker.digests()
    checker.info()
    return checker.result
