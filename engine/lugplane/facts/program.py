"""Whether what made something was this very program."""

from __future__ import annotations

import os
import sys

from lugplane import __version__
from lugplane.facts.fingerprint import Seen, content_digest, digest, look
from lugplane.once import once

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable
    from typing import Final

    from lugplane.facts.folders import Folder

Rooms = tuple[str, ...]
_HOME = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
_NO_ROOMS: Final = frozenset({"__pycache__", "_data"})


def all_rooms() -> Rooms:
    """Every room of the program, rooms within rooms too: what an answer may come from."""
    found: list[str] = [""]
    for room in found:  # grows while it is walked
        with os.scandir(os.path.join(_HOME, room)) as entries:
            inner = sorted(e.name for e in entries if e.is_dir() and e.name not in _NO_ROOMS)
        found += [f"{room}/{name}".lstrip("/") for name in inner]
    return tuple(found)


@once
def program_seen(rooms: Rooms) -> Seen:
    """The program's own files in some rooms.

    Looked at once a process: the code that runs is that of its beginning.
    """
    return program_now(rooms)


def program_now(rooms: Rooms) -> Seen:
    """The program's own files in some rooms, looked at once more."""
    return look((), _folders(rooms), (_versions(),))


def program_digest(rooms: Rooms) -> str:
    """The digest of what the program's files in some rooms hold; empty where it is unknown.

    That is so where they were changed since the process began: what runs is not what is there.
    """
    found = _contents(rooms, program_seen(rooms).digest)
    if program_now(rooms).digest != program_seen(rooms).digest:
        return ""
    return digest(f"{_versions()} {found}".encode())


@once
def _contents(rooms: Rooms, seen: str) -> str:
    """The digest of contents that looked like `seen` before they were read; read once.

    Whether they still look so is asked each time.
    """
    return folders_digest(_folders(rooms))


def folders_digest(folders: Iterable[tuple[Folder, str]]) -> str:
    """The digest of the contents of folders, of the files whose names end in a suffix."""
    found = [content_digest(path) for path in look((), folders).stamps]
    return digest(" ".join(found).encode())


def _folders(rooms: Rooms) -> list[tuple[Folder, str]]:
    return [(os.path.join(_HOME, room), ".py") for room in rooms]


def _versions() -> str:
    return f"{__version__} {sys.version_info[0]}.{sys.version_info[1]}"
