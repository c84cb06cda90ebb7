"""Facts read from their files, checked and joined; what was found out before is not done again."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Final

from lugplane.errors import Problem
from lugplane.facts import scan
from lugplane.facts.decode import Decoder
from lugplane.facts.families import Single, singles
from lugplane.facts.fingerprint import Seen, digest
from lugplane.facts.kept import Row
from lugplane.facts.packed import pack, unpack
from lugplane.facts.progress import Progress
from lugplane.facts.raw import Raw
from lugplane.facts.references import reference_problems
from lugplane.facts.scan import SourceFile
from lugplane.facts.schema import Schemas
from lugplane.quantity.limits import Assumed

ROUNDS: Final = 3
"""So often the files are read while somebody keeps changing them."""


@dataclass(frozen=True, slots=True)
class Found:
    """A file whose record is sound by its schema.

    `stamp` is empty where it proves nothing; `content` is the digest of what the file held;
    `checked` tells that all values can be read; `text` is the packed record.
    """

    stamp: str
    content: str
    checked: bool
    text: bytes


@dataclass(frozen=True, slots=True)
class Before:
    """What was found out at an earlier time: rows by the paths of their files, and their texts.

    `in_order`: the clock has gone on since then.
    """

    rows: Mapping[str, Row]
    text: Callable[[int, str], bytes | None] | None
    in_order: bool

    def found(self, path: str) -> Found | None:
        """What is known of a file."""
        row = self.rows.get(path)
        text = None if row is None or self.text is None else self.text(row.number, row.body)
        if row is None or text is None:
            return None
        return Found(row.stamp if self.in_order else "", row.content, row.checked, text)


@dataclass(frozen=True)
class Compiled:
    """Facts as they were at one time, and what to keep for another.

    `files`: path -> what was found, of all files with a sound record. `seen` is None where the
    files would not stand still: then nothing is to be kept.
    """

    records: Sequence[Raw]
    parts: Sequence[Single]
    problems: Sequence[Problem]
    files: Mapping[str, Found]
    seen: Seen | None


def compile_facts(
    folders: Sequence[Path],
    assumed: Mapping[str, Assumed],
    schemas: Path,
    seen: Seen,
    view: Callable[[], Seen],
    before: Before,
) -> Compiled:
    """Read, check and join folders of facts; later folders replace records of earlier ones.

    `schemas` is their folder; `view` looks at all files that the outcome depends on, which were
    last `seen` so. Raises `LugplaneError` only for faults of the schemas.
    """
    settled: Seen | None = None
    total = sum(path.endswith(".yaml") for path in seen.stamps)
    with Progress("lugplane: checking the facts", total) as progress:
        reading = _Reading(schemas, before, progress)
        for _ in range(ROUNDS):
            reading.begin(seen)
            survey = scan.gather(folders, reading)
            again = view()
            if again.digest == seen.digest:
                settled = seen
                break
            seen = again
    files = {path: done.found for (path, _), done in reading.done.items() if done.found}
    problems = list(survey.problems)
    parts: list[Single] = []
    for raw in survey.records:
        own = list(singles(raw))
        parts += own
        found = files[str(raw.file)]
        if not found.checked:
            wrong = _value_problems(own, assumed)
            problems += wrong
            files[str(raw.file)] = replace(found, checked=not wrong)
    problems += reference_problems(parts, survey.broken)
    return Compiled(survey.records, parts, problems, files, settled)


def _value_problems(parts: Sequence[Single], assumed: Mapping[str, Assumed]) -> list[Problem]:
    problems: list[Problem] = []
    for s in parts:
        decoder = Decoder(assumed, s.place)
        decoder.record(s.kind, s.id, s.data)
        problems += decoder.problems
    return problems


@dataclass(frozen=True, slots=True)
class _Done:
    """A file that was read: `found` is None where it has no sound record."""

    stamp: str
    content: str
    raw: Raw | None
    problems: list[Problem]
    found: Found | None


class _Reading:
    """Gives the record of a file, from its text only where nothing else tells it."""

    def __init__(self, schemas: Path, before: Before, progress: Progress) -> None:
        self.done: dict[tuple[str, str], _Done] = {}
        self._last = self.done
        self._stamps: dict[str, str] = {}
        self._folder = schemas
        self._before = before
        self._progress = progress

    def begin(self, seen: Seen) -> None:
        """Begin another round, in which the files look so."""
        self._last, self.done = self.done, {}
        self._stamps = {p: s for p, s in seen.stamps.items() if p not in seen.fresh}

    @cached_property
    def _schemas(self) -> Schemas:
        return Schemas(self._folder)

    def __call__(self, source: SourceFile) -> tuple[Raw | None, list[Problem]]:
        self._progress.step()
        key = (str(source.path), source.shown)
        done = self.done[key] = self._read(source, self._last.get(key))
        return done.raw, done.problems

    def _read(self, source: SourceFile, last: _Done | None) -> _Done:
        path = str(source.path)
        stamp = self._stamps.get(path, "")
        if last is not None and stamp and last.stamp == stamp:
            return last
        known = self._before.found(path) if last is None else None
        if known is not None and stamp and known.stamp == stamp:
            return _again(known, stamp, source)
        try:
            content = scan.content(source)
        except OSError as error:
            return _Done("", "", None, [scan.unreadable(source.shown, error)], None)
        same = digest(content)
        if last is not None and last.content == same:
            found = last.found and replace(last.found, stamp=stamp)
            return replace(last, stamp=stamp, found=found)
        if known is not None and known.content == same:
            return _again(known, stamp, source)
        raw, problems = scan.record(source, content, self._schemas)
        found = None if raw is None else Found(stamp, same, False, pack(raw))
        return _Done(stamp, same, raw, problems, found)


def _again(known: Found, stamp: str, source: SourceFile) -> _Done:
    """What is known already, of a file that was touched since or not even that."""
    raw = unpack(known.text, source.path, source.shown)
    same = known if known.stamp == stamp else replace(known, stamp=stamp)
    return _Done(stamp, known.content, raw, [], same)
