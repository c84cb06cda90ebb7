"""The compiled facts: checked once, kept in the user's cache, and used while nothing has changed.

A store is one file for each list of folders. It holds the record of every sound file, packed, and
an index of the parts if all of the facts were without a problem. It is never changed in place, so
that it can be built, replaced or deleted by anybody at any time. What cannot be proved to be what
would be read from the files now is read from the files.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal, overload

from lugplane.data import data_folder
from lugplane.errors import BadFacts
from lugplane.facts.cache import cache_file, write_pack
from lugplane.facts.fingerprint import Seen, Witness, digest, look, seen_just_now
from lugplane.facts.kept import Head, Line, Row, Store, plain
from lugplane.facts.parts import Listed, Parts
from lugplane.facts.program import folders_digest, program_digest, program_seen

if TYPE_CHECKING:
    from lugplane.facts.compiling import Compiled
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
    schemas = (data_folder() / "schemas", ".json")
    table = repr(sorted((basis, a.mm, a.percent) for basis, a in assumed.items()))

    def view(facts: Seen | None = None) -> Seen:
        beside = look((), [schemas], [table]).along(program_seen(_ROOMS))
        return (facts or look(folders)).along(beside)

    file = cache_file("facts", folders)
    store = None if file is None else Store.open(file)
    seen = view(seen_just_now(folders))
    parts = None if store is None or whole else store.parts(folders, seen)
    if parts is not None:
        return parts

    from lugplane.facts.compiling import Before, compile_facts

    def key() -> str:
        program = program_digest(_ROOMS)
        return program and digest(f"{program} {folders_digest([schemas])} {table}".encode())

    asked = key()
    usable = store if store is not None and store.head.key == asked else None
    rows = (usable and usable.rows()) or {}
    # Where the clock was set back, stamps prove nothing.
    in_order = usable is not None and usable.head.at <= seen.at
    before = Before(rows, usable.text if usable is not None else None, in_order)
    made = compile_facts(folders, assumed, schemas[0], seen, view, before)
    mark = ""
    if file is not None and made.seen is not None and asked and key() == asked:
        mark = _write(file, asked, folders, made, made.seen, rows)
    if whole:
        return made
    if made.problems:
        raise BadFacts(tuple(dict.fromkeys(made.problems)))
    return Listed(made.parts, mark)


def _write(
    file: Path,
    key: str,
    folders: Sequence[Path],
    made: Compiled,
    seen: Seen,
    before: Mapping[str, Row],
) -> str:
    """Keep what was found; the mark of the parts, empty where there were problems."""
    rows = {
        path: Row(path, found.stamp, found.content, found.checked, number, digest(found.text))
        for number, (path, found) in enumerate(made.files.items())
    }
    sound = None
    if not made.problems:
        sound = Witness.of(seen, {path: row.content for path, row in rows.items()})
    elif rows == before:
        return ""
    index = plain(_index(folders, made, rows) if sound is not None else [])
    named = {
        "head": Head(key, seen.at, sound).text(),
        "index": index,
        "files": plain(list(rows.values())),
    }
    write_pack(file, named, (found.text for found in made.files.values()))
    return digest(index) if sound is not None else ""


def _index(folders: Sequence[Path], made: Compiled, rows: Mapping[str, Row]) -> list[Line]:
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
