"""The compiled facts: checked once, kept in the user's cache, and used while nothing has changed.

A store is one file for each list of folders. It holds the record of every sound file, packed, and
an index of the parts if all of the facts were without a problem; both are read as far as they are
asked for. It is never changed in place, so that it can be built, replaced or deleted by anybody at
any time. What cannot be proved to be what would be read from the files now is read from the files.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal, overload

from lugplane.data import data_folder
from lugplane.errors import BadFacts
from lugplane.facts.cache import cache_file, write_pack
from lugplane.facts.fingerprint import Seen, Witness, digest, look, seen_just_now
from lugplane.facts.index import Line, index_of, plain
from lugplane.facts.kept import Head, Row, Store
from lugplane.facts.parts import Listed, Parts, mark_of_all
from lugplane.facts.program import folders_digest, program_digest, program_seen

if TYPE_CHECKING:
    from lugplane.facts.compiling import Compiled
    from lugplane.facts.families import Single
    from lugplane.quantity.limits import Assumed

_ROOMS: Final = ("facts", "quantity")
"""Where the code is that rows depend on."""


def stored_parts(folders: Sequence[Path], assumed: Mapping[str, Assumed]) -> Parts:
    """The parts of folders of facts; later folders replace records of earlier ones.

    Raises `BadFacts` with every problem of every file: no answer comes from a broken base.
    """
    return _stored(folders, assumed, whole=False)


def checked_facts(folders: Sequence[Path], assumed: Mapping[str, Assumed]) -> Compiled:
    """All parts of folders of facts with the places of their facts, and all problems of all files.

    Files that are known and have not changed are not checked again. Raises no `BadFacts`.
    """
    return _stored(folders, assumed, whole=True)


@overload
def _stored(
    folders: Sequence[Path], assumed: Mapping[str, Assumed], *, whole: Literal[False]
) -> Parts: ...
@overload
def _stored(
    folders: Sequence[Path], assumed: Mapping[str, Assumed], *, whole: Literal[True]
) -> Compiled: ...
def _stored(
    folders: Sequence[Path], assumed: Mapping[str, Assumed], *, whole: bool
) -> Parts | Compiled:
    sources = _Sources(folders, assumed)
    store = sources.store()
    seen = sources.view(seen_just_now(folders))
    parts = None if store is None or whole else store.parts(folders, seen, sources.pieces)
    if parts is not None:
        return parts
    made, mark, _ = sources.compiled(store, seen)
    if whole:
        return made
    if made.problems:
        raise BadFacts(tuple(dict.fromkeys(made.problems)))
    return Listed(made.parts, mark)


class _Sources:
    """Folders of facts, and all else that parts are made from."""

    def __init__(self, folders: Sequence[Path], assumed: Mapping[str, Assumed]) -> None:
        self._folders, self._assumed = folders, assumed
        self._schemas = (data_folder() / "schemas", ".json")
        self._table = repr(sorted((basis, a.mm, a.percent) for basis, a in assumed.items()))
        self._file = cache_file("facts", folders)

    def store(self) -> Store | None:
        """What is kept of these folders, of whatever time."""
        return None if self._file is None else Store.open(self._file)

    def view(self, facts: Seen | None = None) -> Seen:
        """What all of it looks like; `facts` where these were looked at already."""
        beside = look((), [self._schemas], [self._table]).along(program_seen(_ROOMS))
        return (facts or look(self._folders)).along(beside)

    def pieces(self) -> Sequence[bytes]:
        """The pieces of the index as it is now; none where there are problems."""
        return self.compiled(self.store(), self.view())[2]

    def compiled(self, store: Store | None, seen: Seen) -> tuple[Compiled, str, Sequence[bytes]]:
        """The facts from their files, what is known taken from a store, and kept in its place.

        With them the mark of the parts, empty where they cannot be kept, and the pieces of their
        index.
        """
        from lugplane.facts.compiling import Before, compile_facts

        asked = self._key()
        usable = store if store is not None and store.head.key == asked else None
        rows = (usable and usable.rows()) or {}
        # Where the clock was set back, stamps prove nothing.
        in_order = usable is not None and usable.head.at <= seen.at
        before = Before(rows, usable.text if usable is not None else None, in_order)
        made = compile_facts(
            self._folders, self._assumed, self._schemas[0], seen, self.view, before
        )
        if self._file is None or made.seen is None or not asked or self._key() != asked:
            return made, "", ()
        return made, *_write(self._file, asked, self._folders, made, made.seen, rows)

    def _key(self) -> str:
        """The digest of all that rows depend on besides their files; empty where it is unknown."""
        program = program_digest(_ROOMS)
        return program and digest(
            f"{program} {folders_digest([self._schemas])} {self._table}".encode()
        )


def _write(
    file: Path,
    key: str,
    folders: Sequence[Path],
    made: Compiled,
    seen: Seen,
    before: Mapping[str, Row],
) -> tuple[str, Sequence[bytes]]:
    """Keep what was found; the mark of the parts and the pieces of their index, if all is sound."""
    rows = {
        path: Row(path, found.stamp, found.content, found.checked, number, digest(found.text))
        for number, (path, found) in enumerate(made.files.items())
    }
    texts = [found.text for found in made.files.values()]
    named = {"files": plain(list(rows.values()))}
    if made.problems:
        if rows != before:
            write_pack(file, {"head": Head(key, seen.at, None).text(), **named}, texts)
        return "", ()
    sound = Witness.of(seen, {path: row.content for path, row in rows.items()})
    directory, pieces = index_of(_lines(folders, made, rows), _marks(made.parts), len(texts))
    named |= {"head": Head(key, seen.at, sound).text(), "index": directory}
    write_pack(file, named, [*texts, *pieces])
    return digest(directory), pieces


def _lines(folders: Sequence[Path], made: Compiled, rows: Mapping[str, Row]) -> list[Line]:
    number = {folder.resolve(): n for n, folder in enumerate(folders)}
    members: dict[Path, list[str]] = {}
    for single in made.parts:
        if single.member:
            members.setdefault(single.raw.file, []).append(single.member)
    lines = []
    for raw in made.records:
        row, folder = rows[str(raw.file)], number[raw.file.parent.parent]
        own = members.get(raw.file)
        lines.append(Line(raw.kind, raw.id, folder, row.content, row.number, row.body, own))
    return lines


def _marks(parts: Sequence[Single]) -> Mapping[str, str]:
    kinds: dict[str, list[Single]] = {}
    for single in parts:
        kinds.setdefault(single.kind, []).append(single)
    return {kind: mark_of_all(found) for kind, found in kinds.items()}
