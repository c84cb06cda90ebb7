"""A store that was opened: what it knows of files, and the parts in it.

It stays what it is for as long as it is used, even when another one takes its place.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from lugplane.data import data_folder
from lugplane.errors import LugplaneError
from lugplane.facts.cache import Pack, open_pack
from lugplane.facts.families import Single, singles
from lugplane.facts.fingerprint import Seen, Witness, digest
from lugplane.facts.folders import shown_path
from lugplane.facts.kinds import FOLDER_OF
from lugplane.facts.packed import unpack
from lugplane.facts.parts import Entry, Parts

if TYPE_CHECKING:
    from lugplane.facts.raw import Raw

FORMAT: Final = 1
"""Number of the form that a store has; another one is not read."""


@dataclass(frozen=True, slots=True)
class Head:
    """What a store says of itself.

    `key` is the digest of all that the rows depend on besides their files, `at` the clock when
    these were looked at, ns; `sound` is there only if all of the facts were without a problem.
    """

    key: str
    at: int
    sound: Witness | None

    def text(self) -> bytes:
        """As it is kept."""
        return plain([FORMAT, self.key, self.at, self.sound and self.sound.plain()])

    @classmethod
    def read(cls, text: bytes) -> Head | None:
        """The reverse of `text`; None for another form."""
        form, *rest = json.loads(text)
        if form != FORMAT:
            return None
        key, at, sound = rest
        return cls(key, at, sound and Witness.from_plain(sound))


class Row(NamedTuple):
    """A file whose record is sound by its schema.

    `stamp` is empty where it proves nothing; `content` is the digest of what the file held;
    `checked` tells that all values can be read; `number` and `body` are those of its text.
    """

    path: str
    stamp: str
    content: str
    checked: bool
    number: int
    body: str


class Line(NamedTuple):
    """A record of the index of parts.

    `folder` is the number of its folder, `content` the digest of what its file held, `number` and
    `body` are those of its text, `members` its family's, or None.
    """

    kind: str
    id: str
    folder: int
    content: str
    number: int
    body: str
    members: Sequence[str] | None

    @property
    def ids(self) -> list[str]:
        """The ids of its parts."""
        if self.members is None:
            return [self.id]
        return [f"{self.id}/{member}" for member in self.members]


class Store:
    """A store as it was opened."""

    def __init__(self, pack: Pack, head: Head) -> None:
        self.head = head
        self._pack = pack

    @classmethod
    def open(cls, file: Path) -> Store | None:
        """Open a store; None where none of this form is."""
        pack = open_pack(file)
        text = None if pack is None else pack.named("head")
        head = None if text is None else Head.read(text)
        return None if pack is None or head is None else cls(pack, head)

    def parts(self, folders: Sequence[Path], seen: Seen) -> Parts | None:
        """Its parts, if they are what would be read from the files that were seen."""
        sound = self.head.sound
        if sound is None or not sound.holds(seen):
            return None
        index = self._pack.named("index")
        if index is None:
            return None
        if len(seen.fresh) < len(sound.fresh):
            later = Head(self.head.key, seen.at, Witness.of(seen, sound.fresh))
            self._pack.renew({"head": later.text()})
        lines = [Line(*line) for line in json.loads(index)]
        return StoredParts(self, folders, lines, digest(index))

    def rows(self) -> Mapping[str, Row] | None:
        """The rows by the paths of their files; None where they are damaged."""
        listed = self._pack.named("files")
        if listed is None:
            return None
        return {row[0]: Row(*row) for row in json.loads(listed)}

    def text(self, number: int, expected: str) -> bytes | None:
        """A packed record by its number, if its digest is the expected one."""
        return self._pack.numbered(number, expected)

    def drop(self) -> None:
        """See to it that another one is made next time."""
        self._pack.drop()


class StoredParts:
    """Parts of a store, each unpacked when it is first asked for."""

    def __init__(
        self, store: Store, folders: Sequence[Path], lines: Sequence[Line], mark: str
    ) -> None:
        self._store = store
        self._mark = mark
        self._folders = [(folder.resolve(), shown_path(folder)) for folder in folders]
        self._lines = lines
        self._line_of = {id_: line for line in lines for id_ in line.ids}
        self._singles: dict[str, Single] = {}

    @property
    def mark(self) -> str:
        return self._mark

    @property
    def entries(self) -> Sequence[Entry]:
        return [
            Entry(id_, line.kind, "" if line.members is None else line.id)
            for line in self._lines
            for id_ in line.ids
        ]

    def single(self, id_: str) -> Single:
        if id_ not in self._singles:
            raw = self._raw(self._line_of[id_])
            self._singles.update((s.id, s) for s in singles(raw))
        return self._singles[id_]

    def _raw(self, line: Line) -> Raw:
        root, above = self._folders[line.folder]
        within = f"{FOLDER_OF[line.kind]}/{line.id}.yaml"
        file, shown = root / within, f"{above}/{within}"
        text = self._store.text(line.number, line.body)
        return self._again(line, file, shown) if text is None else unpack(text, file, shown)

    def _again(self, line: Line, file: Path, shown: str) -> Raw:
        """The record from its file, where the store was damaged after it was opened.

        Raises `LugplaneError` if that file has been changed too.
        """
        from lugplane.facts import scan
        from lugplane.facts.schema import Schemas

        self._store.drop()
        source = scan.SourceFile(line.kind, line.id, file, shown)
        try:
            content = scan.content(source)
        except OSError:
            content = b""
        raw = None
        if digest(content) == line.content:
            raw, _ = scan.record(source, content, Schemas(data_folder() / "schemas"))
        if raw is None:
            raise LugplaneError(f"{shown} was changed while the facts were in use: start again")
        return raw


def plain(data: Any) -> bytes:
    """Data as a short text."""
    return json.dumps(data, separators=(",", ":")).encode()
