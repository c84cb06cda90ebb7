"""Texts by name in a plain file of the user's cache: one comes back as it was, or not at all.

    lugplane texts 1 DIGEST LENGTH
    NAME DIGEST LENGTH
    ...

Below the first line stands the list of the texts, `LENGTH` bytes long, which has the `DIGEST` of
the first line; the texts follow it in the order of the list. So whatever has happened to the file
is found out, a text is read without the others, and no library is needed.
"""

from __future__ import annotations

import os

from lugplane.facts.cache_folder import believed, replace_file
from lugplane.facts.digest import digest
from lugplane.facts.fingerprint import AT_ONCE

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Mapping
    from typing import Final

ENDING: Final = ".texts"
_MARK: Final = b"lugplane texts 1"
_FIRST_LINE: Final = 100
"""The first line is shorter than so many bytes."""


class Texts:
    """A file of texts, open for reading: it stays what it is even when it is replaced."""

    def __init__(self, handle: int, places: Mapping[str, tuple[str, int, int]]) -> None:
        """`places`: digest, offset and length of each text, by name."""
        self._handle: int | None = handle
        self._places = places

    def __del__(self) -> None:
        self.close()

    def close(self) -> None:
        """Nothing is read after this; not every system replaces a file that is open."""
        if self._handle is not None:
            os.close(self._handle)
            self._handle = None

    def __len__(self) -> int:
        return len(self._places)

    def named(self, name: str) -> bytes | None:
        """The text of a name, as it was written; None: there is none, or not as it was."""
        if name not in self._places or self._handle is None:
            return None
        expected, offset, length = self._places[name]
        try:
            found = _read(self._handle, offset, length)
        except OSError:
            return None
        return found if digest(found) == expected else None

    def all(self) -> dict[str, bytes]:
        """All texts that are as they were written."""
        found = {name: self.named(name) for name in self._places}
        return {name: text for name, text in found.items() if text is not None}


def open_texts(file: str) -> Texts | None:
    """Open a file of texts; None where none is that could be ours."""
    try:
        handle = os.open(file, AT_ONCE)
    except (OSError, ValueError):
        return None
    try:
        places = _places(handle)
    except (OSError, ValueError):
        places = None
    if places is None:
        os.close(handle)
        return None
    return Texts(handle, places)


def write_texts(file: str, named: Mapping[str, bytes]) -> bool:
    """Write a file of texts in one step; names have no blanks. Whether it could be written."""
    lines = [f"{name} {digest(text)} {len(text)}\n".encode() for name, text in named.items()]
    table = b"".join(lines)
    head = b"%s %s %d\n" % (_MARK, digest(table).encode(), len(table))

    def fill(path: str) -> None:
        # Whether it was written to the end is proved by digests, not by the file system.
        with open(path, "wb") as stream:
            stream.writelines((head, table, *named.values()))

    try:
        replace_file(file, fill)
    except (OSError, ValueError):
        return False
    return True


def _places(handle: int) -> dict[str, tuple[str, int, int]] | None:
    """Where the texts of a file stand; None where it is none of ours, or is damaged."""
    if not believed(os.fstat(handle)):
        return None
    head, end, _ = _read(handle, 0, _FIRST_LINE).partition(b"\n")
    mark, _, said = head.rpartition(_MARK + b" ")
    expected, _, length = said.partition(b" ")
    if mark or not end or not length.isdigit():
        return None
    offset = len(head) + 1
    table = _read(handle, offset, int(length))
    if digest(table).encode() != expected:
        return None
    offset += len(table)
    found: dict[str, tuple[str, int, int]] = {}
    for line in table.decode().splitlines():
        name, of, size = line.split(" ")
        found[name] = of, offset, int(size)
        offset += int(size)
    return found


def _read(handle: int, offset: int, length: int) -> bytes:
    """So many bytes, or as many as there are. Raises `OSError`."""
    length = min(length, os.fstat(handle).st_size)  # a length that is damaged may be any number
    os.lseek(handle, offset, os.SEEK_SET)
    parts: list[bytes] = []
    while length > 0 and (part := os.read(handle, length)):
        parts.append(part)
        length -= len(part)
    return b"".join(parts)
