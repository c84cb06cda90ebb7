"""Whether what made something was this very program."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from functools import cache
from pathlib import Path

from lugplane import __version__
from lugplane.facts.fingerprint import Seen, content_digest, digest, look

Rooms = tuple[str, ...]
_HOME = Path(__file__).parent.parent


@cache
def program_seen(rooms: Rooms) -> Seen:
    """The program's own files in some rooms.

    Looked at once a process: the code that runs is that of its beginning.
    """
    return look((), _folders(rooms), (_versions(),))


def program_digest(rooms: Rooms) -> str:
    """The digest of what the program's files in some rooms hold; empty where it is unknown.

    That is so where they were changed since the process began: what runs is not what is there.
    """
    found = folders_digest(_folders(rooms))
    if look((), _folders(rooms), (_versions(),)).digest != program_seen(rooms).digest:
        return ""
    return digest(f"{_versions()} {found}".encode())


def folders_digest(folders: Iterable[tuple[Path, str]]) -> str:
    """The digest of the contents of folders, of the files whose names end in a suffix."""
    found = [content_digest(path) for path in look((), folders).stamps]
    return digest(" ".join(found).encode())


def _folders(rooms: Rooms) -> list[tuple[Path, str]]:
    return [(_HOME / room, ".py") for room in rooms]


def _versions() -> str:
    return f"{__version__} {sys.version_info[0]}.{sys.version_info[1]}"
