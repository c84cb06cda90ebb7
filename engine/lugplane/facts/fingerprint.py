"""Telling without reading them whether files are still what they were.

A file's stamp is its size, times and inode, as the system tells them. Whoever changes a file
changes its stamp, with two exceptions, and in both of them contents are compared: a file touched
within the last seconds may change again within the same tick of the clock, and where the clock
was set back a new stamp may be like an old one.

This is on the way of every answer, so it imports next to nothing and does little for each file.
"""

from __future__ import annotations

import marshal
import os
import stat
import time
from contextvars import ContextVar

from lugplane.facts.digest import digest as digest
from lugplane.facts.folders import passed_over

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from typing import Any, Final

    from lugplane.facts.folders import Folder

    Listed = tuple[str, list[str], list[int]]

SECONDS: Final = 5
"""A file touched so short a time ago, or in the future, is fresh: its stamp proves nothing. The
coarsest clock of a file system in use has steps of 2 s."""

STAMP: Final = 5
"""So many numbers are a stamp: kind and rights, size, times of change of content and of all, and
inode."""

_AS_IT_IS: Final = 2
"""The version of `marshal` that writes no references, so that alike data give alike bytes."""

AT_ONCE: Final = (
    os.O_RDONLY
    | getattr(os, "O_BINARY", 0)
    | getattr(os, "O_NONBLOCK", 0)
    | getattr(os, "O_NOCTTY", 0)
)
"""How a file is opened whose sort is asked for afterwards: nobody waits for who fills a pipe."""

_BY_HANDLE: Final = os.scandir in os.supports_fd and os.stat in os.supports_dir_fd
"""Whether a folder may be looked at without its path being followed for each file."""


class Seen:
    """What files and folders looked like at a time.

    `at` is the clock before looking, ns. `listed`: of each folder its path, the names of files in
    it and their stamps, one after another. `marks`: all else that was met, such as links, and what
    cannot be looked at. `fresh`: paths of files whose stamps prove nothing yet.
    """

    __slots__ = ("_digest", "at", "fresh", "listed", "marks")

    def __init__(
        self, at: int, listed: Sequence[Listed], marks: Sequence[str], fresh: frozenset[str]
    ) -> None:
        self.at = at
        self.listed = list(listed)
        self.marks = list(marks)
        self.fresh = fresh
        self._digest = ""

    def along(self, other: Seen) -> Seen:
        """What was seen together with what had been seen before."""
        both = self.listed + other.listed, self.marks + other.marks
        return Seen(self.at, *both, self.fresh | other.fresh)

    @property
    def digest(self) -> str:
        """A short text that is another one as soon as any stamp, name or mark is."""
        if not self._digest:
            self._digest = digest(marshal.dumps([self.listed, self.marks], _AS_IT_IS))
        return self._digest

    @property
    def stamps(self) -> Mapping[str, str]:
        """The stamps of all files by their paths."""
        return {
            os.path.join(folder, name): " ".join(map(str, numbers[STAMP * n : STAMP * (n + 1)]))
            for folder, names, numbers in self.listed
            for n, name in enumerate(names)
        }


def look(
    facts: Iterable[Folder], others: Iterable[tuple[Folder, str]] = (), words: Iterable[str] = ()
) -> Seen:
    """Look at folders of facts, and at the files of other folders whose names end in a suffix.

    `words` are marks to begin with. Raises nothing: what cannot be looked at leaves a mark.
    """
    looking = _Looking(time.time_ns(), list(words))
    for folder in facts:
        looking.facts(os.path.realpath(folder))
    for folder, suffix in others:
        looking.folder(os.path.realpath(folder), suffix)
    return Seen(looking.at, looking.listed, looking.marks, frozenset(looking.fresh))


class just_seen:
    """Within this, folders of facts that were looked at a moment ago are not looked at again.

    For one question, and the first look only: whatever is to be kept of it needs a look of its own
    afterwards.
    """

    def __init__(self, facts: Iterable[Folder], seen: Seen) -> None:
        self._told = _names(facts), seen

    def __enter__(self) -> None:
        self._before = _JUST_SEEN.set(self._told)

    def __exit__(self, *_: object) -> None:
        _JUST_SEEN.reset(self._before)


def seen_just_now(facts: Iterable[Folder]) -> Seen | None:
    """What was seen of these folders of facts a moment ago, if that is told (`just_seen`)."""
    told = _JUST_SEEN.get()
    return told[1] if told is not None and told[0] == _names(facts) else None


_JUST_SEEN: ContextVar[tuple[tuple[str, ...], Seen] | None] = ContextVar("just", default=None)


def _names(folders: Iterable[Folder]) -> tuple[str, ...]:
    return tuple(os.path.realpath(folder) for folder in folders)


def content_digest(path: str) -> str:
    """The digest of a file's content; empty where it cannot be read, or is a pipe or a device."""
    try:
        with open(path, "rb", opener=lambda path, _: os.open(path, AT_ONCE)) as stream:
            if not stat.S_ISREG(os.fstat(stream.fileno()).st_mode):
                return ""
            return digest(stream.read())
    except OSError:
        return ""


class Witness:
    """What must still hold for something made from files to be what it would be made again.

    `at` and `seen` are the time and the digest of what was seen. `fresh`: path -> digest of the
    content, of the files that were fresh when looked at.
    """

    __slots__ = ("at", "fresh", "seen")

    def __init__(self, at: int, seen: str, fresh: Mapping[str, str]) -> None:
        self.at = at
        self.seen = seen
        self.fresh = fresh

    @classmethod
    def of(cls, seen: Seen, contents: Mapping[str, str] | None = None) -> Witness:
        """The witness of what was seen. `contents`: digests of what was read, where known."""
        known = contents or {}
        return cls(
            seen.at,
            seen.digest,
            {path: known.get(path) or content_digest(path) for path in sorted(seen.fresh)},
        )

    def holds(self, seen: Seen) -> bool:
        """Whether nothing has changed up to now. Reads the contents of fresh files only."""
        return (
            self.at <= seen.at
            and self.seen == seen.digest
            and all(found and found == content_digest(path) for path, found in self.fresh.items())
        )

    def agrees(self, other: Witness) -> bool:
        """Whether both saw the same, and the same in fresh files, whatever is in them now."""
        return self.seen == other.seen and all(
            self.fresh.get(path, found) == found for path, found in other.fresh.items()
        )

    def along(self, other: Witness) -> Witness:
        """The witness that holds only where both hold. They saw the same, and agree."""
        return Witness(max(self.at, other.at), self.seen, {**self.fresh, **other.fresh})

    def plain(self) -> list[Any]:
        """As JSON takes it."""
        return [self.at, self.seen, dict(self.fresh)]

    @classmethod
    def from_plain(cls, plain: Sequence[Any]) -> Witness:
        """The reverse of `plain`."""
        return cls(*plain)

    def text(self) -> bytes:
        """As a text, for those who do without JSON."""
        words = [str(self.at), self.seen]
        for path, content in self.fresh.items():
            words += [path, content]
        return "\0".join(words).encode("utf-8", "surrogateescape")

    @classmethod
    def read(cls, text: bytes) -> Witness:
        """The reverse of `text`."""
        at, seen, *fresh = text.decode("utf-8", "surrogateescape").split("\0")
        return cls(int(at), seen, dict(zip(fresh[::2], fresh[1::2], strict=True)))


class _Looking:
    def __init__(self, at: int, marks: list[str]) -> None:
        self.at = at
        self.marks = marks
        self.listed: list[Listed] = []
        self.fresh: list[str] = []

    def facts(self, root: str) -> None:
        """A folder of facts: the files in it, and the folders in it and the files in those."""
        for inner in self.folder(root, apart=True):
            self.folder(inner)

    def folder(self, folder: str, suffix: str = "", apart: bool = False) -> list[str]:
        """The files of a folder whose names end in `suffix`; without one, all that may be facts.

        `apart`: without the folders in it, whose paths are given back.
        """
        self.marks.append(folder)
        inner: list[str] = []
        handle = None
        try:
            if _BY_HANDLE:
                handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
            with os.scandir(folder if handle is None else handle) as found:
                names = self.names(folder, found, suffix, inner if apart else None)
            self.files(folder, handle, sorted(names))
        except OSError as error:
            self.marks.append(f"{folder}\0{error.errno}")
        finally:
            if handle is not None:
                os.close(handle)
        return sorted(inner)

    def names(
        self,
        folder: str,
        found: Iterable[os.DirEntry[str]],
        suffix: str,
        inner: list[str] | None,
    ) -> list[str]:
        """The names of files in a folder; the paths of folders in it go to `inner`, if given."""
        names: list[str] = []
        links: list[str] = []
        for entry in found:
            name = entry.name
            if suffix:
                if not name.endswith(suffix):
                    continue
            elif name[0] == "." and passed_over(name):
                continue
            if entry.is_symlink():
                path = os.path.join(folder, name)
                links.append(f"{path}\0{os.path.realpath(path)}")
            if inner is not None and _is_folder(entry):
                inner.append(os.path.join(folder, name))
            else:
                names.append(name)
        self.marks += sorted(links)
        return names

    def files(self, folder: str, handle: int | None, names: Sequence[str]) -> None:
        """Stamp files. There may be many thousands, so this does little for each."""
        there: list[str] = []
        stamps: list[int] = []
        young = self.at - SECONDS * 1_000_000_000
        paths = names if handle is not None else [os.path.join(folder, name) for name in names]
        stat = os.stat
        for name, path in zip(names, paths, strict=True):
            try:
                found = stat(path, dir_fd=handle)
            except OSError as error:
                self.marks.append(f"{os.path.join(folder, name)}\0{error.errno}")
                continue
            modified, changed = found.st_mtime_ns, found.st_ctime_ns
            there.append(name)
            stamps += found.st_mode, found.st_size, modified, changed, found.st_ino
            if modified > young or changed > young:
                self.fresh.append(os.path.join(folder, name))
        self.listed.append((folder, there, stamps))


def _is_folder(entry: os.DirEntry[str]) -> bool:
    try:
        return entry.is_dir()
    except OSError:
        return False
