"""The archive of an issue: a BagIt bag as a folder, as one ZIP file, or both.

    bagit.txt  bag-info.txt  issue.json  (and what else is said about the issue)
    manifest-sha256.txt  manifest-sha512.txt  tagmanifest-sha256.txt  tagmanifest-sha512.txt
    data/dossier.pdf  data/record.json  data/manifest-sha256.txt  data/VERIFY.txt  data/job/...

`issue.json` names the digest of the bag's manifest-sha256.txt, so it lies beside the payload, not in it.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import IO

from buildbook.archive import form
from buildbook.archive.copying import Copied, Item, copy_hashed, copy_to_file
from buildbook.archive.zipform import Entry, write_zip
from buildbook.errors import BuildbookError
from buildbook.records.photo import FileEntry
from buildbook.seal.digest import sha256_bytes, sha256_file

FOLDER = "archive"
Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bag:
    """What goes into an archive. items: the payload, sorted by the bytes of their paths."""

    job: str
    number: int
    issued_on: date
    seal: str
    organisation: str
    program: str
    items: tuple[Item, ...]
    edition: str = ""  # "" for the owner's

    @property
    def size(self) -> int:
        """Bytes of the payload."""
        return sum(item.size for item in self.items)

    @property
    def payload_list(self) -> bytes:
        """The bag's manifest-sha256.txt, known before anything is copied."""
        return form.digest_list({item.path: item.sha256 for item in self.items})

    @property
    def sha256(self) -> str:
        """SHA-256 of the bag's manifest-sha256.txt, the `archive_sha256` of the issue's JSON."""
        return sha256_bytes(self.payload_list)

    @property
    def info(self) -> bytes:
        """bag-info.txt."""
        return form.bag_info(
            organisation=self.organisation,
            job=self.job,
            number=self.number,
            issued_on=self.issued_on,
            seal=self.seal,
            program=self.program,
            size=self.size,
            files=len(self.items),
            edition=self.edition,
        )

    @property
    def zip_name(self) -> str:
        """Name of the ZIP file."""
        return form.zip_name(self.job, self.number, self.edition)


def payload(folder: Path, files: Iterable[FileEntry], made: Mapping[str, Path | bytes]) -> tuple[Item, ...]:
    """The items of a bag: the sealed files of a job folder, and what was made from them (name -> file or bytes)."""
    items = [Item(f"{form.JOB}/{e.path}", folder / e.path, e.size, e.sha256) for e in files]
    for name, source in made.items():
        path = f"{form.PAYLOAD}/{name}"
        if isinstance(source, bytes):
            items.append(Item(path, source, len(source), sha256_bytes(source)))
        else:
            items.append(Item(path, source, source.stat().st_size, sha256_file(source)))
    return tuple(sorted(items, key=lambda item: item.path.encode("utf-8")))


def write_folder(
    bag: Bag, tags: Mapping[str, bytes], target: Path, *, link: bool = False, progress: Progress | None = None
) -> None:
    """Write the bag as a folder, which must not exist; `bagit.txt`, without which it is no bag, comes last.

    tags: further tag files by name (issue.json). link: share bytes with the job folder where that is possible.
    Raises BuildbookError if there is no room, AnswerIsNo if an original was changed or lost; OSError otherwise.
    """
    target.mkdir()
    if not link:
        _room(bag, target)
    for folder in sorted({target / item.path for item in bag.items}):
        folder.parent.mkdir(parents=True, exist_ok=True)

    def copy(item: Item) -> tuple[str, Copied]:
        own = isinstance(item.source, Path) and item.path.startswith(f"{form.JOB}/")
        return item.path, copy_to_file(item, target / item.path, link and own)

    digests: dict[str, Copied] = {}
    with ThreadPoolExecutor(max_workers=min(4, os.cpu_count() or 1)) as pool:
        pending = [pool.submit(copy, item) for item in bag.items]
        try:
            for done, future in enumerate(pending, start=1):
                path, copied = future.result()
                digests[path] = copied
                if progress:
                    progress(done, len(bag.items), "archive")
        except BaseException:
            pool.shutdown(cancel_futures=True)
            raise
    for name, data in _tag_files(bag, tags, digests).items():
        (target / name).write_bytes(data)
    (target / form.BAGIT).write_bytes(form.BAGIT_TEXT)


def write_zipped(
    bag: Bag, tags: Mapping[str, bytes], target: Path, *, folder: Path | None = None, progress: Progress | None = None
) -> None:
    """Write the bag as one ZIP file, which must not exist. folder: the same bag as a folder, if there is one: it is
    then read instead of the job folder. Raises as `write_folder`.
    """
    items = bag.items
    if folder is not None:
        items = tuple(Item(i.path, folder / i.path, i.size, i.sha256) for i in items)
    _room(bag, target.parent)
    base = bag.zip_name.removesuffix(".zip")
    digests: dict[str, Copied] = {}

    def copier(item: Item) -> Callable[[IO[bytes]], None]:
        def copy(out: IO[bytes]) -> None:
            digests[item.path] = copy_hashed(item, out)
            if progress:
                progress(len(digests), len(items), "archive")

        return copy

    # The lists stand behind data/ in the order of names, so their text is known when their turn comes. Their sizes
    # must be said before: a digest is as long as any other.
    blank = {item.path: Copied("0" * 64, "0" * 128) for item in items}
    tagged = _tag_files(bag, tags, blank)

    def late(name: str) -> Callable[[IO[bytes]], int]:
        return lambda out: out.write(_tag_files(bag, tags, digests)[name] if name not in early else tagged[name])

    early = {name for name in tagged if name.encode() < f"{form.PAYLOAD}/".encode()}
    entries: list[Entry] = [(f"{base}/{i.path}", i.size, copier(i)) for i in items]
    entries += [(f"{base}/{name}", len(data), late(name)) for name, data in tagged.items()]
    entries.append((f"{base}/{form.BAGIT}", len(form.BAGIT_TEXT), lambda out: out.write(form.BAGIT_TEXT)))
    try:
        with target.open("xb") as out:
            write_zip(entries, out)
    except BaseException:
        target.unlink(missing_ok=True)  # what is closed half-way still looks like a ZIP file
        raise


def _tag_files(bag: Bag, tags: Mapping[str, bytes], digests: Mapping[str, Copied]) -> dict[str, bytes]:
    """Every tag file but bagit.txt: name -> bytes."""
    made = {
        form.BAG_INFO: bag.info,
        form.manifest_name("sha256"): form.digest_list({path: d.sha256 for path, d in digests.items()}),
        form.manifest_name("sha512"): form.digest_list({path: d.sha512 for path, d in digests.items()}),
        **tags,
    }
    return made | form.tag_lists({**made, form.BAGIT: form.BAGIT_TEXT})


def _room(bag: Bag, place: Path) -> None:
    """Say beforehand that the disk is too small, rather than find out after minutes."""
    free = shutil.disk_usage(place).free
    if free < bag.size:
        raise BuildbookError(
            f"The archive takes {bag.size:,} bytes, and {place.parent} has {free:,} left. Nothing was issued.",
            "Make room, choose another place with --out, or leave the archive out with --no-archive.",
        )
