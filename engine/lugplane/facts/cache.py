"""Files in the user's cache folder: written whole or not at all, believed only when proved.

One file holds named texts and numbered ones. Every text comes back as it was written or not at
all, whatever has happened to the file: its digest is compared. Nothing here is ever an error for
the user; a cache that cannot be used is a cache that is not there.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING, Any, Final

from lugplane.facts.cache_folder import KEPT as KEPT
from lugplane.facts.cache_folder import VARIABLE as VARIABLE
from lugplane.facts.cache_folder import believed, cache_home, file_in_cache, replace_file
from lugplane.facts.digest import digest

if TYPE_CHECKING:
    import sqlite3

_DAMAGE: Final = (ValueError, MemoryError, OverflowError)
"""What a damaged file can lead the library to besides its own errors."""

_TABLES: Final = (
    "CREATE TABLE named(name TEXT PRIMARY KEY, digest TEXT, body BLOB)",
    "CREATE TABLE numbered(n INTEGER PRIMARY KEY, body BLOB)",
)


def cache_folder() -> Path | None:
    """The folder that is ours within the user's cache folder; None where there is to be none."""
    home = cache_home()
    return None if home is None else Path(home)


def cache_file(sort: str, folders: Iterable[Path]) -> Path | None:
    """The file for what is made of these folders; `sort` is one of `SORTS`."""
    file = file_in_cache(sort, folders, ".sqlite")
    return None if file is None else Path(file)


class Pack:
    """A file of the cache, open for reading: it stays what it is even when it is replaced."""

    def __init__(self, file: Path, connection: sqlite3.Connection, errors: tuple[Any, ...]) -> None:
        self.file = file
        self._connection = connection
        self._errors = errors
        self._lock = threading.Lock()

    def __del__(self) -> None:
        with suppress(Exception):
            self._connection.close()

    def named(self, name: str) -> bytes | None:
        """The text of a name, as it was written; None: there is none, or not as it was."""
        row = self._row("SELECT digest, body FROM named WHERE name = ?", name)
        if row is None or not isinstance(row[1], bytes) or digest(row[1]) != row[0]:
            return None
        return row[1]

    def numbered(self, n: int, expected: str) -> bytes | None:
        """The text of a number, if its digest is the expected one."""
        row = self._row("SELECT body FROM numbered WHERE n = ?", n)
        if row is None or not isinstance(row[0], bytes) or digest(row[0]) != expected:
            return None
        return row[0]

    def count(self) -> int | None:
        """How many texts have names; None where the file is damaged."""
        row = self._row("SELECT count(*) FROM named")
        return None if row is None else int(row[0])

    def rows(self, query: str, *keys: object) -> list[tuple[Any, ...]] | None:
        """All rows of a statement; None where the file is damaged. Nothing proves them."""
        try:
            with self._lock:
                return list(self._connection.execute(query, keys))
        except self._errors:
            return None

    def _row(self, query: str, *keys: object) -> tuple[Any, ...] | None:
        try:
            with self._lock:
                found: tuple[Any, ...] | None = self._connection.execute(query, keys).fetchone()
        except self._errors:
            return None
        return found

    def renew(
        self,
        named: Mapping[str, bytes],
        more: Callable[[sqlite3.Connection], None] | None = None,
    ) -> bool:
        """Put a copy in the file's place in which some names have other texts.

        `more` adds to tables of its own sort. Whether it could be written.
        """

        def fill(connection: sqlite3.Connection) -> None:
            with self._lock:
                self._connection.backup(connection)
            _put(connection, named)
            if more is not None:
                more(connection)

        return _replace(self.file, fill)

    def drop(self) -> None:
        """Delete the file, so that it is made again next time."""
        with suppress(OSError):
            self.file.unlink()


def open_pack(file: Path) -> Pack | None:
    """Open a file of the cache; None where none is that could be ours."""
    library = _library()
    if library is None or not _believed(file):
        return None
    try:
        # It is never changed in place, so no locks are needed, nor rights to write.
        uri = f"{file.absolute().as_uri()}?mode=ro&immutable=1"
        connection = library.connect(uri, uri=True, check_same_thread=False, isolation_level=None)
    except (OSError, library.Error, *_DAMAGE):
        return None
    return Pack(file, connection, (library.Error, *_DAMAGE))


def write_pack(
    file: Path,
    named: Mapping[str, bytes],
    numbered: Iterable[bytes],
    more: Callable[[sqlite3.Connection], None] | None = None,
) -> bool:
    """Write a file of the cache in one step, `more` being tables of its own sort.

    Whether it could be written.
    """

    def fill(connection: sqlite3.Connection) -> None:
        for table in _TABLES:
            connection.execute(table)
        _put(connection, named)
        connection.executemany("INSERT INTO numbered VALUES(?, ?)", enumerate(numbered))
        if more is not None:
            more(connection)

    return _replace(file, fill)


def _put(connection: sqlite3.Connection, named: Mapping[str, bytes]) -> None:
    rows = [(name, digest(body), body) for name, body in named.items()]
    connection.executemany("INSERT OR REPLACE INTO named VALUES(?, ?, ?)", rows)


def _replace(file: Path, fill: Callable[[sqlite3.Connection], None]) -> bool:
    """Have a new file filled, then put it in the place of `file`."""
    library = _library()
    if library is None:
        return False

    def made(name: str) -> None:
        connection = library.connect(name, isolation_level=None)
        try:
            # Whether it was written to the end is proved by digests, not by the file system.
            connection.execute("PRAGMA journal_mode = OFF")
            connection.execute("PRAGMA synchronous = OFF")
            connection.execute("BEGIN")
            fill(connection)
            connection.execute("COMMIT")
        finally:
            connection.close()

    try:
        replace_file(str(file), made)
    except (OSError, library.Error, *_DAMAGE):
        return False
    return True


def _believed(file: Path) -> bool:
    """Whether there is a file that may be ours."""
    try:
        return believed(file.stat())
    except (OSError, ValueError):
        return False


def _library() -> ModuleType | None:
    """SQLite, which some builds of Python lack."""
    try:
        import sqlite3
    except ImportError:
        return None
    return sqlite3
