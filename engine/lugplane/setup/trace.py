"""Which facts an answer was reckoned from, noted as they are read.

A `Tracer` keeps a stack of open notes: reading a fact writes its path into the topmost one. A
quantity that is reckoned once and used often (`placed`) keeps its own note and copies it to
whoever asks, so that a proof names every fact behind a number, exact ones too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, Generic, TypeVar, overload

from lugplane.facts.value import Number, Numbers, Points, Value, Word, Words
from lugplane.quantity.form import Form, Missing

T = TypeVar("T")


class Tracer:
    """Reads facts and notes them. Every reader raises `Missing` for a fact that is not known."""

    def __init__(self) -> None:
        self._open: list[dict[str, None]] = []
        self._kept: dict[str, tuple[Any, dict[str, None], Missing | None]] = {}

    @contextmanager
    def noting(self) -> Iterator[dict[str, None]]:
        """Open a note; its keys are the paths read until it closes, in order."""
        note: dict[str, None] = {}
        self._open.append(note)
        try:
            yield note
        finally:
            self._open.pop()

    def note(self, *paths: str) -> None:
        """Write paths into the open note."""
        if self._open:
            self._open[-1].update(dict.fromkeys(paths))

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
        if name not in self._kept:
            with self.noting() as note:
                try:
                    self._kept[name] = (make(), note, None)
                except Missing as missing:
                    self._kept[name] = (None, note, missing)
        value, note, absent = self._kept[name]
        self.note(*note)
        if absent is not None:
            raise Missing(*absent.facts)
        return value  # type: ignore[no-any-return]


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
        return owner.keep(self._name, lambda: self._make(owner))
