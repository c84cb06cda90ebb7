"""A store that was opened: what it knows of files, and the parts in it.

It stays what it is for as long as it is used, even when another one takes its place.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple

from lugplane.data import data_folder
from lugplane.errors import LugplaneError
from lugplane.facts.cache import Pack, open_pack
from lugplane.facts.families import Single, singles
from lugplane.facts.fingerprint import Seen, Witness, digest
from lugplane.facts.folders import shown_path
from lugplane.facts.index import Index, Line, plain
from lugplane.facts.kinds import FOLDER_OF
from lugplane.facts.packed import unpack
from lugplane.facts.parts import Parts, mark_of_all

if TYPE_CHECKING:
    from lugplane.facts.raw import Raw

FORMAT: Final = 2
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

    def parts(
        self, folders: Sequence[Path], seen: Seen, anew: Callable[[], Sequence[bytes]]
    ) -> Parts | None:
        """Its parts, if they are what would be read from the files that were seen.

        `anew` writes the store as it would be now, and gives the pieces of its index.
        """
        sound = self.head.sound
        if sound is None or not sound.holds(seen):
            return None
        directory = self._pack.named("index")
        if directory is None:
            return None
        if len(seen.fresh) < len(sound.fresh):
            later = Head(self.head.key, seen.at, Witness.of(seen, sound.fresh))
            self._pack.renew({"head": later.text()})
        return StoredParts(self, folders, directory, anew)

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
    """Parts of a store; index and records are read, and unpacked, as far as they are asked for."""

    def __init__(
        self,
        store: Store,
        folders: Sequence[Path],
        directory: bytes,
        anew: Callable[[], Sequence[bytes]],
    ) -> None:
        self._store = store
        self._index = Index(directory, self._piece)
        self._anew = anew
        self._mended: dict[str, bytes] = {}
        self._folders = [(folder.resolve(), shown_path(folder)) for folder in folders]
        self._singles: dict[str, Single] = {}
        self._kinds: dict[str, str | None] = {}

    @property
    def mark(self) -> str:
        return self._index.mark

    @property
    def kinds(self) -> Collection[str]:
        return self._index.kinds

    def ids(self, kind: str) -> Sequence[str]:
        return self._index.ids(kind)

    def mark_of(self, kind: str) -> str:
        mark = self._index.mark_of(kind)
        return mark_of_all(()) if mark is None else mark

    def kind_of(self, id_: str) -> str | None:
        if id_ not in self._kinds:
            line = self._index.line_of(id_)
            self._kinds[id_] = None if line is None else line.kind
        return self._kinds[id_]

    def members(self, family: str) -> Sequence[str]:
        line = self._index.line(family)
        return () if line is None or line.members is None else line.ids

    def single(self, id_: str) -> Single:
        if id_ not in self._singles:
            line = self._index.line_of(id_)
            if line is None:
                raise KeyError(id_)
            self._singles.update((s.id, s) for s in singles(self._raw(line)))
        return self._singles[id_]

    def _piece(self, number: int, expected: str) -> bytes:
        """A piece of the index; made anew, with a store that is whole, where this one is damaged.

        Raises `LugplaneError` if what the piece tells of has been changed since.
        """
        text = self._store.text(number, expected) or self._mended.get(expected)
        if text is None:
            self._mended.update((digest(piece), piece) for piece in self._anew())
            text = self._mended.get(expected)
        if text is None:
            raise LugplaneError("facts were changed while they were in use: start again")
        return text

    def _raw(self, line: Line) -> Raw:
        root, above = self._folders[line.folder]
        within = f"{FOLDER_OF[line.kind]}/{line.id}.yaml"
        file, shown = root / within, f"{above}/{within}"
        text = self._store.text(line.number, line.body)
        return self._again(line, file, shown) if text is None else unpack(text, file, shown)

    def _again(self, line: Line, file: Path, shown: str) -> Raw:
        """The record from its file, where its text in the store is damaged.

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
