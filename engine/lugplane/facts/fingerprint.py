"""Telling without reading them whether files are still what they were.

A file's stamp is its size, times and inode, as the system tells them. Whoever changes a file
changes its stamp, with two exceptions, and in both of them contents are compared: a file touched
within the last seconds may change again within the same tick of the clock, and where the clock
was set back a new stamp may be like an old one.
"""

from __future__ import annotations

import os
import stat
import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cached_property
from hashlib import blake2b
from itertools import chain
from operator import attrgetter
from pathlib import Path
from typing import Any, Final

from lugplane.facts.folders import passed_over

SECONDS: Final = 5
"""A file touched so short a time ago, or in the future, is fresh: its stamp proves nothing. The
coarsest clock of a file system in use has steps of 2 s."""


@dataclass(frozen=True)
class Seen:
    """What files and folders looked like at a time.

    `at` is the clock before looking, ns. `stamps`: path -> stamp, of every file. `marks`: all
    else that was met, such as links, and what cannot be looked at. `fresh`: paths of files whose
    stamps prove nothing yet.
    """

    at: int
    stamps: Mapping[str, str]
    marks: tuple[str, ...]
    fresh: frozenset[str]

    def along(self, other: Seen) -> Seen:
        """What was seen together with what had been seen before."""
        return Seen(
            self.at,
            {**self.stamps, **other.stamps},
            (*self.marks, *other.marks),
            self.fresh | other.fresh,
        )

    @cached_property
    def digest(self) -> str:
        """A short text that is another one as soon as any stamp, name or mark is."""
        stamped = chain.from_iterable(self.stamps.items())
        return digest("\0".join([*stamped, "", *self.marks]).encode("utf-8", "surrogateescape"))


def look(
    facts: Iterable[Path], others: Iterable[tuple[Path, str]] = (), words: Iterable[str] = ()
) -> Seen:
    """Look at folders of facts, and at the files of other folders whose names end in a suffix.

    `words` are marks to begin with. Raises nothing: what cannot be looked at leaves a mark.
    """
    looking = _Looking(time.time_ns(), list(words))
    for folder in facts:
        looking.facts(os.path.realpath(folder))
    for folder, suffix in others:
        looking.flat(os.path.realpath(folder), suffix)
    return Seen(looking.at, looking.stamps, tuple(looking.marks), frozenset(looking.fresh))


@contextmanager
def just_seen(facts: Iterable[Path], seen: Seen) -> Iterator[None]:
    """Within this, folders of facts that were looked at a moment ago are not looked at again.

    For one question, and the first look only: whatever is to be kept of it needs a look of its own
    afterwards.
    """
    before = _JUST_SEEN.set((tuple(facts), seen))
    try:
        yield
    finally:
        _JUST_SEEN.reset(before)


def seen_just_now(facts: Iterable[Path]) -> Seen | None:
    """What was seen of these folders of facts a moment ago, if that is told (`just_seen`)."""
    told = _JUST_SEEN.get()
    return told[1] if told is not None and told[0] == tuple(facts) else None


_JUST_SEEN: ContextVar[tuple[tuple[Path, ...], Seen] | None] = ContextVar("just", default=None)


def digest(content: bytes) -> str:
    """The digest that contents are known by; 128 bits, so that no two of them share one."""
    return blake2b(content, digest_size=16).hexdigest()


def content_digest(path: str) -> str:
    """The digest of a file's content; empty where it cannot be read."""
    try:
        with open(path, "rb") as stream:  # noqa: PTH123  (a thousand of them: no objects)
            return digest(stream.read())
    except OSError:
        return ""


@dataclass(frozen=True, slots=True)
class Witness:
    """What must still hold for something made from files to be what it would be made again.

    `fresh`: path -> digest of the content, of the files that were fresh when looked at.
    """

    at: int
    seen: str
    fresh: Mapping[str, str]

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

    def plain(self) -> list[Any]:
        """As JSON takes it."""
        return [self.at, self.seen, dict(self.fresh)]

    @classmethod
    def from_plain(cls, plain: Sequence[Any]) -> Witness:
        """The reverse of `plain`."""
        return cls(*plain)


class _Looking:
    def __init__(self, at: int, marks: list[str]) -> None:
        self.at = at
        self.marks = marks
        self.stamps: dict[str, str] = {}
        self.fresh: set[str] = set()

    def facts(self, root: str) -> None:
        """A folder of facts: the folders in it and the files in those."""
        for entry in self.entries(root):
            if passed_over(entry.name):
                continue
            if self.is_folder(entry):
                self.link(entry)
                self.files(e for e in self.entries(entry.path) if not passed_over(e.name))
            else:
                self.files([entry])

    def flat(self, root: str, suffix: str) -> None:
        """The files of one folder whose names end in `suffix`."""
        self.files(e for e in self.entries(root) if e.name.endswith(suffix))

    def entries(self, folder: str) -> list[os.DirEntry[str]]:
        """What is in a folder, by name."""
        self.marks.append(folder)
        try:
            with os.scandir(folder) as found:
                return sorted(found, key=attrgetter("name"))
        except OSError as error:
            self.marks.append(f"{folder}\0{error.errno}")
            return []

    def is_folder(self, entry: os.DirEntry[str]) -> bool:
        try:
            return entry.is_dir()
        except OSError:
            return False

    def link(self, entry: os.DirEntry[str]) -> None:
        if entry.is_symlink():
            self.marks.append(f"{entry.path}\0{os.path.realpath(entry.path)}")

    def files(self, entries: Iterable[os.DirEntry[str]]) -> None:
        """Stamp files. There may be many thousands, so this does little for each."""
        stamps, young = self.stamps, self.at - SECONDS * 1_000_000_000
        kind_of = stat.S_IFMT
        for entry in entries:
            path = entry.path
            if entry.is_symlink():
                self.link(entry)
            try:
                found = entry.stat()
            except OSError as error:
                self.marks.append(f"{path}\0{error.errno}")
                continue
            # Any rights to read are told by the time of the last change too.
            modified, changed = found.st_mtime_ns, found.st_ctime_ns
            stamps[path] = (
                f"{kind_of(found.st_mode)} {found.st_size} {modified} {changed} {found.st_ino}"
            )
            if modified > young or changed > young:
                self.fresh.add(path)
