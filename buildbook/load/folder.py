"""The walk over a job folder: which files belong to the record, and which names or kinds of file cannot."""

from __future__ import annotations

import os
import stat
import unicodedata
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from buildbook.load.refused import listed, reason, shown
from buildbook.marking import N_
from buildbook.records.finding import Raised
from buildbook.records.litter import is_litter
from buildbook.records.place import Place
from buildbook.records.said import said, said_of, tallied
from buildbook.records.script import is_control

# Names that one common system cannot hold: its published naming rules (device names, characters, endings).
_DEVICES = frozenset(
    {"con", "prn", "aux", "nul", "conin$", "conout$", *(f"{d}{n}" for d in ("com", "lpt") for n in "123456789¹²³")}
)
_NOT_ON_WINDOWS = frozenset('<>:"|?*')

_DEVICE = N_("It is a device, not a file with something in it.")
_ODD = N_("It is no ordinary file, not a file with something in it.")
_KINDS = (
    (stat.S_ISFIFO, N_("It is a pipe, not a file with something in it.")),
    (stat.S_ISSOCK, N_("It is a socket, not a file with something in it.")),
    (stat.S_ISCHR, _DEVICE),
    (stat.S_ISBLK, _DEVICE),
)


@dataclass(frozen=True, slots=True)
class Walk:
    """What was found. files, folders: relative paths, `/` separated, sorted by their bytes."""

    files: tuple[str, ...]
    folders: tuple[str, ...]
    raised: tuple[Raised, ...]


def by_bytes(path: str) -> bytes:
    """Sort key of paths."""
    return path.encode("utf-8", "surrogateescape")


def walk(root: Path) -> Walk:
    """Every regular file under `root`. Nothing is opened and no link is followed.

    Left out, each with a finding: links, pipes, devices, sockets, names with control characters or that are not
    UTF-8, folders that cannot be listed. Litter of operating systems is left out with one note for all of it.
    """
    files: list[str] = []
    folders: list[str] = []
    litter: list[str] = []
    raised: list[Raised] = []
    waiting = [""]
    while waiting:
        folder = waiting.pop()
        try:
            with os.scandir(root / folder) as entries:
                found = sorted(entries, key=lambda e: by_bytes(e.name))
        except OSError as error:
            says = said("The folder cannot be listed: {why}.", why=reason(error))
            raised.append(Raised("load.unreadable", Place(folder), says))
            continue
        alike: dict[str, list[str]] = defaultdict(list)
        for entry in found:
            path = f"{folder}/{entry.name}" if folder else entry.name
            if is_litter(entry.name):
                litter.append(path)
                continue
            if odd := _odd_name(entry.name):
                raised.append(Raised("load.odd-name", Place(_spelt(path)), odd))
                continue
            alike[_folded(entry.name)].append(entry.name)
            if entry.is_symlink():
                raised.append(Raised("load.link", Place(path), _link(root, path)))
                continue
            if hard := _not_portable(entry.name):
                raised.append(Raised("load.unportable-name", Place(path), hard))
            try:
                mode = entry.stat(follow_symlinks=False).st_mode
            except OSError as error:
                raised.append(
                    Raised("load.unreadable", Place(path), said("It cannot be read: {why}.", why=reason(error)))
                )
                continue
            if stat.S_ISDIR(mode):
                folders.append(path)
                waiting.append(path)
            elif stat.S_ISREG(mode):
                files.append(path)
            else:
                kind = next((sentence for test, sentence in _KINDS if test(mode)), _ODD)
                raised.append(Raised("load.odd-file", Place(path), said_of(kind)))
        for names in alike.values():
            if len(names) > 1:
                says = said(
                    "{names} differ only in capitals or in how accents are stored: one name on many systems.",
                    names=_all(shown(n) for n in names),
                )
                place = Place(f"{folder}/{names[0]}" if folder else names[0])
                raised.append(Raised("load.name-collision", place, says))
    if litter:
        some = listed(sorted(litter, key=by_bytes), 3)
        says = tallied(
            "{n} file or folder that the operating system or version control left behind: not part of the record "
            "({some}).",
            "{n} files and folders that the operating system or version control left behind: not part of the record "
            "({some}).",
            len(litter), some=some,
        )  # fmt: skip
        raised.append(Raised("load.litter", Place(""), says))
    return Walk(tuple(sorted(files, key=by_bytes)), tuple(sorted(folders, key=by_bytes)), tuple(raised))


def _spelt(path: str) -> str:
    """A path that is not printable, made so."""
    spelt = path.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")
    return "".join(f"\\u{ord(c):04x}" if is_control(c) or c in "\t\n\r" else c for c in spelt)


def _odd_name(name: str) -> str:
    try:
        name.encode("utf-8")
    except UnicodeEncodeError:
        return said("Its name is not UTF-8, so it cannot be written into a list of files.")
    odd = [c for c in name if is_control(c) or c in "\t\n\r"]
    if odd:
        return said(
            "Its name holds the invisible character {character}, so that what one reads is not what is stored.",
            character=f"U+{ord(odd[0]):04X}",
        )
    if "\\" in name:
        return said("Its name holds a backslash, which separates folders on some systems.")
    return ""


def _not_portable(name: str) -> str:
    if name.split(".")[0].rstrip(" ").casefold() in _DEVICES:
        return said(
            "Its name is that of a device on Windows ({device}): it cannot be copied there.", device=name.split(".")[0]
        )
    if name[-1] == ".":
        return said("Its name ends with a dot, which Windows drops.")
    if name[-1] == " ":
        return said("Its name ends with a blank, which Windows drops.")
    if bad := sorted(set(name) & _NOT_ON_WINDOWS):
        return said("Its name holds {characters}, which Windows does not allow in a name.", characters=" ".join(bad))
    return ""


def _all(names: Iterable[str]) -> str:
    first, *more = names
    for other in more:
        first = said("{one} and {other}", one=first, other=other)
    return first


def _folded(name: str) -> str:
    """The form in which names collide: composed, capitals ignored (Unicode caseless matching)."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFD", name).casefold())


def _link(root: Path, path: str) -> str:
    try:
        target = (root / path).resolve(strict=True)
    except (OSError, RuntimeError):
        return said("It is a link to something that is not there.")
    if not target.is_relative_to(root.resolve()):
        return said("It is a link that leaves the job folder: what it points at is not part of the record.")
    return said("It is a link to another place in the job folder: the same file would stand in the record twice.")
