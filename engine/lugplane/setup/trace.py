"""Which facts an answer was reckoned from, noted as they are read.

A `Tracer` keeps a stack of open notes: reading a fact writes its path into the topmost one. A
quantity that is reckoned once and used often (`placed`) keeps its own note and copies it to
whoever asks, so that a proof names every fact behind a number, exact ones too. What was `read` at
all, whether or not a proof names it, is another matter: see `setup.shared`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Generic, Self, TypeVar, overload

from lugplane.facts.value import Number, Numbers, Points, Value, Word, Words
from lugplane.quantity.form import Form, Missing
from lugplane.setup.shared import Reads, Shared

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class _Kept:
    """What was reckoned once, the facts it names, the objects it read, and what was missing."""

    value: Any
    note: Mapping[str, None]
    missing: Missing | None
    seen: Mapping[str, object]


class Note(dict[str, None]):
    """The paths read while it is open, in order; a context in which it is the topmost one."""

    __slots__ = ("_open",)

    def __init__(self, among: list[dict[str, None]]) -> None:
        super().__init__()
        self._open = among

    def __enter__(self) -> Self:
        self._open.append(self)
        return self

    def __exit__(self, *_: object) -> None:
        self._open.pop()


class Tracer:
    """Reads facts and notes them. Every reader raises `Missing` for a fact that is not known."""

    def __init__(self, shared: Shared | None = None) -> None:
        """`shared`: what was reckoned of other setups, for what is this one's too."""
        self._open: list[dict[str, None]] = []
        self._kept: dict[str, _Kept] = {}
        self.shared = shared
        self.reads = None if shared is None else Reads()

    def noting(self) -> Note:
        """A note to be opened; its keys are the paths read until it closes, in order."""
        return Note(self._open)

    def note(self, *paths: str) -> None:
        """Write paths into the open note."""
        if self._open:
            note = self._open[-1]
            for path in paths:
                note[path] = None

    def q(self, value: Value) -> Form:
        """A number with its doubt."""
        self.note(value.path)
        return value.form

    def word(self, word: Word) -> str:
        """A word."""
        self.note(word.path)
        return word.word

    def number(self, number: Number) -> float:
        """A counted or nominal number."""
        self.note(number.path)
        return number.number

    def numbers(self, numbers: Numbers) -> tuple[float, ...]:
        """A list of numbers."""
        self.note(numbers.path)
        return numbers.numbers

    def points(self, points: Points) -> tuple[tuple[float, ...], ...]:
        """A list of points."""
        self.note(points.path)
        return points.points

    def words(self, words: Words) -> tuple[str, ...]:
        """A list of words; raises `Missing` when there is none."""
        self.note(words.path)
        if not words.items:
            raise Missing(words.path)
        return words.items

    def keep(self, name: str, make: Callable[[], T]) -> T:
        """Reckon once under a name; facts read, and `Missing`, are passed on each time."""
        kept = self._kept.get(name)
        if kept is None:
            kept = self._kept[name] = self._made(make)
        return self._used(kept)  # type: ignore[no-any-return]

    def common(self, name: str, read: Callable[[str], object], make: Callable[[], T]) -> T:
        """As `keep`, once for all that share; `make` hangs on nothing but what it reads itself."""
        kept = self._kept.get(name)
        if kept is None:
            kept = self._kept[name] = self._made_once(name, read, make)
        return self._used(kept)  # type: ignore[no-any-return]

    def _made_once(
        self, name: str, read: Callable[[str], object], make: Callable[[], Any]
    ) -> _Kept:
        if self.shared is None or self.reads is None:
            return self._made(make)
        kept: _Kept | None = self.shared.find(name, read, self.reads)
        if kept is None:
            kept = self._made(make)
            self.shared.keep(name, kept.seen, kept)
        return kept

    def _made(self, make: Callable[[], Any]) -> _Kept:
        reads = self.reads
        seen = {} if reads is None else reads.begin()
        note: dict[str, None] = {}
        self._open.append(note)
        try:
            return _Kept(make(), note, None, seen)
        except Missing as missing:
            return _Kept(None, note, missing, seen)
        except Exception:
            # It is not kept, but what was read up to here is why it was raised.
            for outer in self._open[-2:-1]:
                outer.update(note)
            raise
        finally:
            self._open.pop()
            if reads is not None:
                reads.end()

    def _used(self, kept: _Kept) -> Any:
        if self.reads is not None:
            self.reads.again(kept.seen)
        if self._open:
            self._open[-1].update(kept.note)
        if kept.missing is not None:
            raise Missing(*kept.missing.facts)
        return kept.value


class placed(Generic[T]):
    """A property of a `Tracer` that is reckoned once and keeps its note of facts."""

    def __init__(self, make: Callable[[Any], T]) -> None:
        self._make = make
        self._name = make.__name__
        self.__doc__ = make.__doc__

    @overload
    def __get__(self, owner: None, cls: type[Any]) -> placed[T]: ...
    @overload
    def __get__(self, owner: Tracer, cls: type[Any]) -> T: ...
    def __get__(self, owner: Tracer | None, cls: type[Any]) -> T | placed[T]:
        if owner is None:
            return self
        kept = owner._kept.get(self._name)
        if kept is None:
            kept = owner._kept[self._name] = owner._made(lambda: self._make(owner))
        return owner._used(kept)  # type: ignore[no-any-return]
