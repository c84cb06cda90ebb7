"""Where the user's cache is, and how a file is put there: written whole or not at all.

Nothing here is ever an error for the user; a cache that cannot be used is one that is not there.
This is on the way of an answer that is said again, so it imports next to nothing.
"""

from __future__ import annotations

import os
import stat
import sys
import time

from lugplane.facts.digest import digest

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from typing import Final

    from lugplane.facts.folders import Folder

VARIABLE: Final = "LUGPLANE_CACHE"
"""Names the folder to use, or says `off`."""

KEPT: Final = 48
"""So many files are kept; each set of folders has one of each sort. The oldest make room."""

SORTS: Final = ("facts", "rules", "links", "stock", "judged", "answers", "told")
"""Sorts of files; each is made from the ones before it."""

_ENDINGS: Final = (".sqlite", ".texts")
_HALF: Final = ".tmp"
_DIGITS: Final = frozenset("0123456789abcdef")
_LEFT_BEHIND_S: Final = 3600
"""A file half written so long ago belongs to a process that is no more."""


def cache_home() -> str | None:
    """The folder that is ours within the user's cache folder; None where there is to be none."""
    said = os.environ.get(VARIABLE, "")
    if said:
        return None if said.lower() == "off" else said
    named = os.environ.get("XDG_CACHE_HOME", "")
    if os.path.isabs(named):  # others are to be ignored (XDG Base Directory Specification)
        return os.path.join(named, "lugplane")
    home = os.path.expanduser("~")
    if not os.path.isabs(home):
        return None
    if sys.platform == "win32":
        local = os.environ.get("LOCALAPPDATA") or os.path.join(home, "AppData", "Local")
        return os.path.join(local, "lugplane", "cache")
    if sys.platform == "darwin":
        return os.path.join(home, "Library", "Caches", "lugplane")
    return os.path.join(home, ".cache", "lugplane")


def file_in_cache(sort: str, folders: Iterable[Folder], ending: str) -> str | None:
    """The path of the file for what is made of these folders; `sort` is one of `SORTS`."""
    within = cache_home()
    if within is None:
        return None
    of = "\0".join(os.path.realpath(folder) for folder in folders)
    return os.path.join(within, f"{sort}-{digest(os.fsencode(of))}{ending}")


def believed(found: os.stat_result) -> bool:
    """Whether this is a file, and its owner is who runs this, or the system itself."""
    if not stat.S_ISREG(found.st_mode):
        return False
    return not hasattr(os, "geteuid") or found.st_uid in (0, os.geteuid())


def replace_file(file: str, fill: Callable[[str], None]) -> None:
    """Have a new file filled, by its path, and put it in the place of `file`.

    Raises what `fill` raises, and `OSError`; then all is as it was.
    """
    within = _folder_of(file)
    if not os.path.isdir(within):
        os.makedirs(os.path.dirname(within) or ".", exist_ok=True)
        os.makedirs(within, mode=0o700, exist_ok=True)
    _make_room(file)
    made = f"{file}.{os.urandom(8).hex()}{_HALF}"
    try:
        new_file(made)
        fill(made)
        os.replace(made, file)
    except BaseException:
        _forget(made)
        raise


def new_file(path: str) -> None:
    """Make an empty file that nobody else may read. Raises `OSError`, also where there is one."""
    os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))


def _make_room(file: str) -> None:
    """Delete what killed processes left behind, and the oldest files over `KEPT`."""
    now = time.time()
    kept: list[tuple[float, str]] = []
    own = os.path.basename(file)
    with os.scandir(_folder_of(file)) as entries:
        for entry in entries:
            whole = _is_ours(entry.name)
            if whole is None or entry.name == own:
                continue
            try:
                changed = entry.stat(follow_symlinks=False).st_mtime
            except OSError:
                continue
            if whole:
                kept.append((changed, entry.path))
            elif abs(now - changed) > _LEFT_BEHIND_S:
                _forget(entry.path)
    kept.sort(reverse=True)
    for _, path in kept[KEPT - 1 :]:
        _forget(path)


def _folder_of(file: str) -> str:
    return os.path.dirname(file) or os.curdir


def _is_ours(name: str) -> bool | None:
    """Whether a name is that of a whole file of ours, or of a half one; None: it is not ours."""
    sort, _, rest = name.partition("-")
    of, ending = rest[:32], rest[32:]
    if sort not in SORTS or len(of) < 32 or not _DIGITS.issuperset(of):
        return None
    if ending in _ENDINGS:
        return True
    half = ending.endswith(_HALF) and ending.startswith(_ENDINGS)
    return False if half else None


def _forget(path: str) -> None:
    try:
        os.unlink(path)
    except OSError:
        pass
