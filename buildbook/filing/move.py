"""Moving files of the inbox so that no interruption loses one, and a second run finishes.

For each file: copy into a temporary name in the target folder while hashing, flush to the disk, read the copy back and
compare its hash; give it its name by a link that fails if the name is taken; only then remove the original, if it is
still the file that was read. Whatever the moment a run is cut off, the original or its verified copy is there, or both;
if both, the next run sees the same bytes under the same name and removes the original. Temporary names are ones that
the loader takes for litter.

The name is kept. Other bytes under the same name: the new file gets `-2`, `-3`, … before its ending.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import secrets
import stat
import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from buildbook.durable import sync_folder
from buildbook.errors import AnswerIsNo, BuildbookError, InputUnreadable
from buildbook.filing.plan import Left, Move, Plan
from buildbook.photos import hash_file
from buildbook.photos.files import NotAFile, open_file, stamp_of

_PREFIX, _SUFFIX = "._filing-", ".part"
_CHUNK = 1 << 18
_RENAMED = "other bytes of that name were there: now {name}"
_SAME = "the same bytes were there already; verified, and the inbox's copy removed"
_NAME_MAX = 255  # bytes, on the file systems in common use
_NO_LINKS = frozenset({errno.EPERM, errno.EOPNOTSUPP, errno.ENOTSUP, errno.ENOSYS, errno.EMLINK, errno.EINVAL})

Progress = Callable[[int, int, str], None]
Tell = Callable[["Filed"], None]


@dataclass(frozen=True, slots=True)
class Filed:
    """A file that was moved. to: its path now. note: what was out of the ordinary, or ""."""

    path: str
    to: str
    why: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Done:
    """What moving gave: files moved, and files that stay after all."""

    filed: tuple[Filed, ...]
    left: tuple[Left, ...]


class _Stays(Exception):
    """This file stays in the inbox; the text says why."""


def carry_out(root: Path, plan: Plan, progress: Progress | None = None, tell: Tell | None = None) -> Done:
    """Carry out a plan. root: the job folder. One run at a time; leftovers of a run that was cut off are removed.

    tell: called with each file when it has been moved whole; the same are in what is returned.
    Raises AnswerIsNo if another run is filing, InputUnreadable if nothing can be taken out of the inbox,
    BuildbookError if the disk refuses (what was moved so far is whole).
    """
    filed: list[Filed] = []
    left = list(plan.left)
    if not (root / "inbox").is_dir():
        return Done((), tuple(left))
    with _lock(root):
        remove_leftovers(root)
        _hold_rights(root, plan)
        for number, move in enumerate(plan.moves, 1):
            try:
                filed.append(_move(root, move))
                if tell is not None:
                    tell(filed[-1])
            except _Stays as reason:
                left.append(Left(move.path, str(reason)))
            except OSError as error:
                raise BuildbookError(
                    f"Filing stopped at {move.path}, to go to {move.folder}: {error.strerror or error}. "
                    f"{moved_so_far(len(filed), len(plan.moves))}",
                    "Make room or mend the rights, then call this again: it goes on where it stopped.",
                ) from error
            if progress is not None:
                progress(number, len(plan.moves), "filing")
    return Done(tuple(filed), tuple(left))


def moved_so_far(count: int, total: int) -> str:
    """What is said of a run that ended before its end."""
    return f"{count} of {total} {'file was' if total == 1 else 'files were'} moved whole; the rest lie in the inbox."


def _hold_rights(root: Path, plan: Plan) -> None:
    """Raises InputUnreadable if a folder of the inbox gives nothing away: its files would lie in two places."""
    for folder in sorted({(root / move.path).parent for move in plan.moves}):
        if not os.access(folder, os.W_OK | os.X_OK):
            raise InputUnreadable(
                f"Nothing can be taken out of {folder}: it is not to be written to. Nothing was moved.",
                "Mend the folder's rights, then call this again.",
            )


def remove_leftovers(root: Path) -> int:
    """Remove the temporary copies of a run that was cut off; their originals are still in the inbox. How many."""
    count = 0
    for top in ("steps", "documents"):
        for path in (root / top).rglob(f"{_PREFIX}*{_SUFFIX}"):
            if path.is_file() and not path.is_symlink():
                path.unlink()
                count += 1
    return count


@contextlib.contextmanager
def _lock(root: Path) -> Iterator[None]:
    try:
        import fcntl
    except ImportError:  # not on this system: names that are never overwritten still keep runs apart
        yield
        return
    descriptor = os.open(root / "inbox", os.O_RDONLY)
    try:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            raise AnswerIsNo(
                "Another run is filing this inbox.", "Wait until it has finished, then call this again."
            ) from error
        yield
    finally:
        os.close(descriptor)


def _move(root: Path, move: Move) -> Filed:
    source, folder = root / move.path, root / move.folder
    _make_folder(root, move.folder)
    part = folder / f"{_PREFIX}{secrets.token_hex(8)}{_SUFFIX}"
    try:
        try:
            stamp, sha256 = _copy(source, part)
        except (FileNotFoundError, NotAFile) as reason:
            raise _Stays("it is not there any more, or no file any more") from reason
        if sha256 != move.sha256:
            raise _Stays("it was changed after the plan was made; call this again")
        if hash_file(part)[1] != sha256:
            raise _Stays("its copy could not be read back as it was written; the disk may be failing")
        name, note = _name(folder, part, source.name, sha256)
    finally:
        part.unlink(missing_ok=True)
    sync_folder(folder)
    # The copy is on the disk under its name: only now may the original go, and only if it is what was copied.
    if stamp_of(source.lstat()) != stamp:
        raise _Stays(f"it was changed while it was being copied; the copy is {move.folder}{name}")
    if hash_file(folder / name)[1] != sha256:
        raise _Stays(f"{move.folder}{name} was changed while this ran; look at both")
    try:
        source.unlink()
    except PermissionError:  # it must not lie in two places, if it lies there still
        if note != _SAME and stamp_of(source.lstat()) == stamp:
            (folder / name).unlink(missing_ok=True)
        raise
    sync_folder(source.parent)
    return Filed(move.path, move.folder + name, move.why, note)


def _make_folder(root: Path, folder: str) -> None:
    """Make the target folder. Raises _Stays if a link or a file is in its way: nothing is written through a link."""
    at = root
    for part in folder.strip("/").split("/"):
        at = at / part
        with contextlib.suppress(FileExistsError):
            at.mkdir()
        if not stat.S_ISDIR(at.lstat().st_mode):
            raise _Stays(f"{at.relative_to(root).as_posix()} is in the way: it is no folder")


def _copy(source: Path, part: Path) -> tuple[object, str]:
    """Copy to a new file, flushed to the disk, with the original's time. The original's stamp, and the hash read."""
    if not stat.S_ISREG(source.lstat().st_mode):
        raise NotAFile("is no regular file")
    digest = hashlib.sha256()
    with open_file(source) as reading, part.open("xb") as writing:
        status = os.fstat(reading.fileno())
        while chunk := reading.read(_CHUNK):
            digest.update(chunk)
            writing.write(chunk)
        writing.flush()
        os.utime(part, ns=(status.st_atime_ns, status.st_mtime_ns))
        os.fsync(writing.fileno())
    return stamp_of(status), digest.hexdigest()


def foresee(root: Path, plan: Plan) -> tuple[Filed, ...]:
    """What carrying out a plan would come to, as the folders stand now. Moves nothing."""
    taken = {folder: _names(root / folder) for folder in {move.folder for move in plan.moves}}
    return tuple(_foreseen(root, move, taken[move.folder]) for move in plan.moves)


def _foreseen(root: Path, move: Move, names: dict[str, tuple[str, str]]) -> Filed:
    for number in range(1, 10_000):
        name = _numbered(PurePosixPath(move.path).name, number)
        if _folded(name) not in names:
            names[_folded(name)] = (name, move.sha256)
            return Filed(move.path, move.folder + name, move.why, _RENAMED.format(name=name) if number > 1 else "")
        there, sha256 = names[_folded(name)]
        if sha256 == move.sha256 or (not sha256 and _same(root / move.folder / there, move.sha256)):
            return Filed(move.path, move.folder + there, move.why, "the same bytes are there already")
    return Filed(move.path, move.folder, move.why, "thousands of files of that name are there already: it will stay")


def _names(folder: Path) -> dict[str, tuple[str, str]]:
    """Folded name -> (name, "": its SHA-256 is read where it is needed) of what lies in a folder."""
    try:
        return {_folded(entry): (entry, "") for entry in os.listdir(folder)}  # noqa: PTH208 - names only
    except OSError:
        return {}


def _name(folder: Path, part: Path, wanted: str, sha256: str) -> tuple[str, str]:
    """Give the copy its name, or find the same bytes under it already. The name, and what was out of the ordinary."""
    for number in range(1, 10_000):
        name = _numbered(wanted, number)
        taken = {_folded(entry): entry for entry in os.listdir(folder)}  # noqa: PTH208 - names only
        there = taken.get(_folded(name))
        if there is not None:
            if _same(folder / there, sha256):
                return there, _SAME
            continue
        try:
            _link(part, folder / name)
        except FileExistsError:  # somebody else has just taken it
            continue
        return name, _RENAMED.format(name=name) if number > 1 else ""
    raise _Stays("thousands of files of that name are there already")


def _link(part: Path, target: Path) -> None:
    """Name the copy, never over another file. Raises FileExistsError."""
    try:
        os.link(part, target)
    except OSError as error:
        if error.errno not in _NO_LINKS:
            raise
        if os.path.lexists(target):
            raise FileExistsError(target) from error
        part.rename(target)  # a file system without links: the look before is the best there is


def _same(path: Path, sha256: str) -> bool:
    try:
        return stat.S_ISREG(path.lstat().st_mode) and hash_file(path)[1] == sha256
    except OSError:
        return False


def _numbered(name: str, number: int) -> str:
    """The name, with `-2` and so on before its ending; the stem is cut where the whole would be too long."""
    if number == 1:
        return name
    stem, dot, ending = name.rpartition(".")
    if not stem:
        stem, dot, ending = name, "", ""
    tail = f"-{number}{dot}{ending}"
    while len((stem + tail).encode("utf-8", "surrogateescape")) > _NAME_MAX and len(stem) > 1:
        stem = stem[:-1]
    return stem + tail


def _folded(name: str) -> str:
    """The form in which names collide on systems that ignore capitals or how accents are stored."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFD", name).casefold())
