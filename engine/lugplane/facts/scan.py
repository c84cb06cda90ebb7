"""The files of a folder of facts, `<folder>/<plural kind>/<id>.yaml`, found and read.

Whatever stands where no fact belongs is a problem, not something to pass over: a file that was
meant to be a fact and is not read would be missed by nobody.
"""

from __future__ import annotations

import stat
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final, NamedTuple, TypeAlias

from lugplane.errors import Problem
from lugplane.facts import show, yaml12
from lugplane.facts.folders import EXCEPTIONS, NEARLY, passed_over
from lugplane.facts.folders import shown_path as shown_path
from lugplane.facts.kinds import FOLDER_OF, KIND_OF, is_id, nearest_id
from lugplane.facts.raw import Positions
from lugplane.facts.raw import Raw as Raw
from lugplane.facts.schema import Schemas
from lugplane.facts.yaml12 import Damaged, Plain

_SUFFIX: Final = ".yaml"
_FOLDERS: Final = tuple(KIND_OF)


@dataclass(frozen=True, slots=True)
class SourceFile:
    """A file that is to be read as a record: what its place says of it."""

    kind: str
    id: str
    path: Path
    shown: str


class Scanned(NamedTuple):
    """The files found, in the order of their names, and what is wrong with the places."""

    files: list[SourceFile]
    problems: list[Problem]


@dataclass(frozen=True, slots=True)
class Survey:
    """All records of some folders and all their problems.

    `broken`: (kind, id) of the records that are there but have problems. They are not among
    `records`, and a reference to one of them is not a reference to nothing.
    """

    records: list[Raw]
    problems: list[Problem]
    broken: frozenset[tuple[str, str]]


def scan(folder: Path) -> Scanned:
    """Find the files of one folder of facts. Raises nothing."""
    walk = _Walk(shown_path(folder))
    walk.top(folder)
    return Scanned(sorted(walk.files, key=lambda file: file.shown), sorted(walk.problems))


Reader: TypeAlias = Callable[[SourceFile], tuple[Raw | None, list[Problem]]]
"""Gives the record of a file, or None with all that is wrong with it."""


def read_all(folders: Iterable[Path], schemas: Schemas) -> tuple[list[Raw], list[Problem]]:
    """The sound records of all folders, and all problems, sorted. See `survey`."""
    result = survey(folders, schemas)
    return result.records, result.problems


def survey(folders: Iterable[Path], schemas: Schemas) -> Survey:
    """Read the folders in turn; see `gather`. Raises `LugplaneError` for faults of the schemas."""

    def read(source: SourceFile) -> tuple[Raw | None, list[Problem]]:
        try:
            return record(source, content(source), schemas)
        except OSError as error:
            return None, [unreadable(source.shown, error)]

    return gather(folders, read)


def gather(folders: Iterable[Path], read: Reader) -> Survey:
    """Read the folders in turn; a record of a later one replaces that of the same kind and id.

    A broken record replaces too: what it was to replace must not come back in its stead.
    Records are in the order of kind and id, problems in the order of their places. Raises what
    `read` raises.
    """
    records: dict[tuple[str, str], Raw | None] = {}
    problems: list[Problem] = []
    for folder in folders:
        found = scan(folder)
        problems += found.problems
        suspect = {problem.file for problem in found.problems}
        for source in found.files:
            raw, wrong = read(source)
            problems += wrong
            misplaced = not suspect.isdisjoint({source.shown, source.shown.rpartition("/")[0]})
            records[(source.kind, source.id)] = None if wrong or misplaced else raw
    return Survey(
        [raw for _, raw in sorted(records.items()) if raw is not None],
        sorted(set(problems)),
        frozenset(key for key, raw in records.items() if raw is None),
    )


# Finding.


@dataclass(slots=True)
class _Walk:
    shown: str
    files: list[SourceFile] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    def report(self, shown: str, code: str, found: str, allowed: str, mend: str) -> None:
        self.problems.append(Problem(shown, 1, 1, code, found, allowed, mend))

    def top(self, folder: Path) -> None:
        try:
            root = folder.resolve(strict=True)
        except (OSError, RuntimeError):
            self.report(
                self.shown,
                "unreadable",
                "no folder here",
                "needed: a folder of facts",
                "name one that is there",
            )
            return
        for path, shown, mode in self.entries(root, root, self.shown):
            if not stat.S_ISDIR(mode):
                if path.name == EXCEPTIONS:
                    continue
                self.report(
                    shown,
                    "stray-file",
                    "a file outside the folders of the kinds",
                    f"allowed: {self.shown}/<kind>/<id>{_SUFFIX}",
                    "move it into the folder of its kind",
                )
                continue
            kind = KIND_OF.get(path.name) or self.unknown_folder(path.name, shown)
            if kind is not None:
                self.kind(path, root, kind, shown)

    def unknown_folder(self, name: str, shown: str) -> str | None:
        """The kind that was probably meant."""
        near = show.closest(name, _FOLDERS)
        self.report(
            shown,
            "unknown-folder",
            f"the folder {show.quoted(name)}",
            f"allowed: {show.listing(name, _FOLDERS)}",
            f"rename it to {near}" if near else "move its files into the folders of their kinds",
        )
        return KIND_OF[near] if near else None

    def kind(self, folder: Path, root: Path, kind: str, above: str) -> None:
        for path, shown, mode in self.entries(folder, root, above):
            if stat.S_ISDIR(mode):
                self.report(
                    shown,
                    "nested-folder",
                    "a folder within the folder of a kind",
                    f"allowed: files {above}/<id>{_SUFFIX}",
                    "move its files one level up",
                )
            elif path.suffix.lower() not in NEARLY:
                self.report(
                    shown,
                    "wrong-extension",
                    f"a file that is not called {_SUFFIX}",
                    f"allowed: <id>{_SUFFIX}",
                    "move it out of the facts",
                )
            else:
                self.file(path, kind, shown)

    def file(self, path: Path, kind: str, shown: str) -> None:
        if path.suffix != _SUFFIX:
            self.report(
                shown,
                "wrong-extension",
                f"the extension {show.quoted(path.suffix)}",
                f"allowed: {_SUFFIX}",
                f"rename it to {show.plain(path.stem)}{_SUFFIX}",
            )
        if not is_id(path.stem):
            near = nearest_id(path.stem)
            self.report(
                shown,
                "bad-id",
                f"the name {show.quoted(path.stem)}",
                "allowed: small letters and digits, parted by single - or .",
                f"rename it to {near}{_SUFFIX}" if near else "rename it",
            )
        self.files.append(SourceFile(kind, path.stem, path, shown))

    def entries(self, folder: Path, root: Path, above: str) -> Iterator[tuple[Path, str, int]]:
        """(path, shown, mode) of what is in a folder, by name; links are followed within root."""
        try:
            paths = sorted(folder.iterdir())
        except OSError as error:
            self.unreadable(above, error)
            return
        for path in paths:
            shown = f"{above}/{show.plain(path.name)}"
            if passed_over(path.name):
                continue
            try:
                mode = path.lstat().st_mode
                inside = True
                if stat.S_ISLNK(mode):
                    target = path.resolve(strict=True)
                    mode = target.stat().st_mode
                    inside = target.is_relative_to(root)
            except (OSError, RuntimeError) as error:
                self.unreadable(shown, error)
                continue
            if not inside:
                self.report(
                    shown,
                    "link-outside",
                    "a link to something outside this folder of facts",
                    f"allowed: links within {self.shown}",
                    "put the file itself here",
                )
            elif not (stat.S_ISDIR(mode) or stat.S_ISREG(mode)):
                self.report(
                    shown,
                    "not-a-file",
                    "something that is neither a file nor a folder",
                    "allowed: files and folders",
                    "move it out of the facts",
                )
            else:
                yield path, shown, mode

    def unreadable(self, shown: str, error: OSError | RuntimeError) -> None:
        self.problems.append(unreadable(shown, error))


# Reading.


def content(source: SourceFile) -> bytes:
    """What a file holds, cut where it is too large to be taken. Raises `OSError`."""
    with source.path.open("rb") as stream:
        return stream.read(yaml12.MAX_BYTES + 1)


def record(
    source: SourceFile, content: bytes, schemas: Schemas
) -> tuple[Raw | None, list[Problem]]:
    """The record that a file's content is, or None with all that is wrong with it."""
    document = yaml12.read(content, source.shown)
    problems: list[Problem] = []
    holes: set[yaml12.Path] = set()
    if isinstance(document, Damaged):
        problems += document.problems
        holes |= document.holes
        if not document.complete:
            return None, problems
    data = document.data
    if not isinstance(data, dict):
        found = f"{show.value(data)} instead of a record"
        place = document.positions.of_value(())
        if () not in holes:
            problems.append(
                Problem(
                    source.shown,
                    *place,
                    "not-a-record",
                    found,
                    "allowed: one mapping",
                    "begin with `kind: ...` and `id: ...`",
                )
            )
        return None, problems
    problems += _heading(source, data, document.positions, holes)
    stated = data.get("kind")
    kind = stated if isinstance(stated, str) and stated in FOLDER_OF else source.kind
    problems += schemas.check(kind, data, document.positions, source.shown, holes)
    if problems:
        return None, problems
    return Raw(kind, source.id, data, document.positions, source.path, source.shown), []


def _heading(
    source: SourceFile, data: dict[str, Plain], positions: Positions, holes: set[yaml12.Path]
) -> Iterator[Problem]:
    """Kind and id against the place of the file; what is told here the schema need not tell."""
    kind, record_id = data.get("kind"), data.get("id")
    if ("kind",) not in holes and "kind" in data and kind != source.kind:
        elsewhere = FOLDER_OF.get(kind) if isinstance(kind, str) else None
        move = f", or move the file to {elsewhere}/" if elsewhere else ""
        holes.add(("kind",))
        yield Problem(
            source.shown,
            *positions.of_value(("kind",)),
            "kind-not-folder",
            f"the kind {show.quoted(kind) if isinstance(kind, str) else show.value(kind)}",
            f"allowed in {FOLDER_OF[source.kind]}/: {source.kind}",
            f"write {source.kind}{move}",
        )
    if not is_id(source.id):
        holes.add(("id",))  # the file has to be renamed first, and that is told already
    elif ("id",) not in holes and isinstance(record_id, str) and record_id != source.id:
        holes.add(("id",))
        yield Problem(
            source.shown,
            *positions.of_value(("id",)),
            "id-not-file",
            f"the id {show.quoted(record_id)}",
            f"allowed: {source.id}, as the file is called",
            f"write {source.id}, or rename the file",
        )


def unreadable(shown: str, error: OSError | RuntimeError) -> Problem:
    """The problem of something that cannot be read."""
    reason = error.strerror if isinstance(error, OSError) and error.strerror else "a loop of links"
    return Problem(
        shown,
        1,
        1,
        "unreadable",
        f"cannot be read: {reason.lower()}",
        "needed: something that can be read",
        "mend the link or the permissions, or delete it",
    )
