"""Putting a finished folder in place: whole or not at all, and never over an issue that says something else."""

from __future__ import annotations

import contextlib
import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

from buildbook.durable import sync_folder
from buildbook.errors import AnswerIsNo, BuildbookError, WrongUsage
from buildbook.seal.digest import sha256_file

_PART = ".part"


@contextlib.contextmanager
def workplace(parent: Path, name: str) -> Iterator[Path]:
    """A new folder beside the final one, on the same file system; gone at the end unless it was published.

    Only one run at a time works in `parent`: leftovers of killed runs are removed once the lock is held.
    """
    try:
        parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise WrongUsage(
            f"The output folder {parent} cannot be made: {error.strerror}.", "Choose another with --out."
        ) from error
    with _lock(parent):
        for stale in parent.glob(f".*{_PART}"):
            shutil.rmtree(stale, ignore_errors=True)
        try:
            made = Path(tempfile.mkdtemp(prefix=f".{name}-", suffix=_PART, dir=parent))
        except OSError as error:
            raise WrongUsage(
                f"Nothing can be written in {parent}: {error.strerror}.", "Choose another with --out."
            ) from error
        made.chmod(0o755)
        try:
            yield made
        finally:
            shutil.rmtree(made, ignore_errors=True)


@contextlib.contextmanager
def _lock(parent: Path) -> Iterator[None]:
    try:
        import fcntl
    except ImportError:  # not on this system: the temporary names still keep runs apart
        yield
        return
    descriptor = os.open(parent / ".lock", os.O_CREAT | os.O_RDWR, 0o644)
    try:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            raise AnswerIsNo(
                f"Another run is writing in {parent}.", "Wait until it has finished, then call this again."
            ) from error
        yield
    finally:
        os.close(descriptor)


def publish_issue(made: Path, final: Path, beside: frozenset[str] = frozenset()) -> bool:
    """Rename a finished issue folder to its final name. False if the same issue already stands there.

    beside: names of what may be added to an issue later (its archive): moved in, whole, where it is not there yet.
    Raises AnswerIsNo if something else stands there: an issue, once out, is never overwritten.
    """
    _sync(made)
    if final.exists():
        if same_tree(made, final, beside):
            for name in sorted(beside):
                if (made / name).exists() and not (final / name).exists():
                    (made / name).rename(final / name)
            sync_folder(final)
            return False
        raise AnswerIsNo(
            f"{final} already holds other contents than this issue would have.",
            "An issue is never overwritten: verify what is there. A record that has changed makes a new issue; another "
            "job of the same number needs a place of its own, with --out.",
        )
    made.rename(final)
    sync_folder(final.parent)
    return True


def mend_folder(made: Path, final: Path, name: str) -> bool:
    """Put a folder of an issue that stands right where its bytes were changed or lost. True if it was put right.

    made, final: issue folders, the one just made and the one that stands, which agree on what the folder must hold.
    Raises AnswerIsNo where files were added to it: those are somebody's own, and are not thrown away.
    """
    fresh, standing = made / name, final / name
    if not fresh.exists() or not os.path.lexists(standing):
        return False
    whole = standing.is_dir() and not standing.is_symlink()
    if whole and not any(path.is_symlink() for path in standing.rglob("*")) and same_tree(fresh, standing):
        return False
    added = sorted(_files(standing, frozenset()) - _files(fresh, frozenset())) if whole else []
    if not whole or added:
        says = f"It holds {added[0]}, which is no part of it." if added else "It is no folder."
        raise AnswerIsNo(f"{standing} is not what this issue wrote. {says}", f"Move it away from {final}, call again.")
    _swap(fresh, standing, final.parent)
    return True


def publish_draft(made: Path, final: Path) -> None:
    """Put a draft in place of the last one."""
    _sync(made)
    if final.exists():
        _swap(made, final, final.parent)
    else:
        made.rename(final)
        sync_folder(final.parent)
    for old in final.parent.glob(f".old-*{_PART}"):  # what killed runs left
        shutil.rmtree(old, ignore_errors=True)


def _swap(fresh: Path, standing: Path, aside: Path) -> None:
    """Put a folder in place of the one that stands there, which waits in `aside` until that is done."""
    old = Path(tempfile.mkdtemp(prefix=".old-", suffix=_PART, dir=aside))
    standing.rename(old / standing.name)
    fresh.rename(standing)
    sync_folder(standing.parent)
    shutil.rmtree(old, ignore_errors=True)


def same_tree(left: Path, right: Path, but: frozenset[str] = frozenset()) -> bool:
    """True if both folders hold the same files with the same bytes; names in `but` are not looked at."""
    names = _files(left, but)
    return names == _files(right, but) and all(sha256_file(left / n) == sha256_file(right / n) for n in names)


def _files(folder: Path, but: frozenset[str]) -> set[str]:
    found = {p.name for p in folder.iterdir() if p.name not in but and p.is_file()}
    for inner in (p for p in folder.iterdir() if p.name not in but and p.is_dir()):
        found |= {p.relative_to(folder).as_posix() for p in inner.rglob("*") if p.is_file()}
    return found


def write_new(path: Path, data: bytes, *, replace: bool = False) -> None:
    """Write a small file whole or not at all; the same bytes already there are left alone.

    replace: other bytes may be replaced (what a killed run of ours left). Raises AnswerIsNo if they may not.
    """
    if path.exists():
        if path.read_bytes() == data:
            return
        if not replace:
            fix = "It belongs to an earlier issue: leave it as it is."
            raise AnswerIsNo(f"{path} already says something else.", fix)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        # A name that the loader takes for litter, so that a killed run leaves no trace in the record.
        part = path.with_name(f"._{path.name}{_PART}")
        with part.open("wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        part.replace(path)
    except OSError as error:
        raise BuildbookError(f"{path} cannot be written: {error.strerror}.", "Make room or mend the rights.") from error


def _sync(folder: Path) -> None:
    for path in folder.rglob("*"):
        if path.is_file():
            with path.open("rb") as stream:
                os.fsync(stream.fileno())
    sync_folder(folder)
