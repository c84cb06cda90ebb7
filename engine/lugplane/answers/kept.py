"""What was judged of an axle's candidates, kept in the user's cache beside the compiled facts.

A verdict is kept under a digest of everything that it was reckoned from: the records that the
platform and the parts lead to (both axles' stock parts among them), the hardware to choose from,
the rulebook, and the program. It is believed only where this digest is the same again, so nothing
here goes out of date. Which matcher was used does not matter: all deduce the same.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from copy import copy
from typing import Any, Final

from lugplane.answers.fit import Key, Memo
from lugplane.answers.fit_plain import (
    car_from_plain,
    car_to_plain,
    fit_from_plain,
    fit_to_plain,
    look_from_plain,
    look_to_plain,
)
from lugplane.facts.cache import Pack, cache_file, open_pack, write_pack
from lugplane.facts.fingerprint import digest
from lugplane.facts.program import all_rooms, program_digest
from lugplane.facts.reach import Reach
from lugplane.workshop import Workshop

MOST: Final = 20_000
"""So many verdicts are kept of one axle."""

_Kept = tuple[Key, Any, list[tuple[str, Any]]]
"""A candidate, its row as it is kept, and of its wheels those that hold."""


class Kept:
    """Verdicts of one workshop, put into a memo before it is asked and taken from it afterwards."""

    def __init__(self, workshop: Workshop, memo: Memo) -> None:
        self.memo = memo
        self._reach = Reach(workshop.base)
        folders = workshop.folders
        self._file = cache_file("judged", folders) if folders else None
        program = program_digest(all_rooms())
        if not program:
            self._file = None  # what runs is not what is there
        self._head = digest(f"{program} {workshop.rulebook!r}".encode())
        self._axles: dict[tuple[str, str], int] = {}

    @property
    def head(self) -> str:
        """The digest of rulebook and program; verdicts under another one are not believed."""
        return self._head

    def alone(self) -> Kept:
        """One of the same workshop with an empty memo of its own."""
        other = copy(self)
        other.memo, other._axles = Memo(), {}
        return other

    def load(self, platform: str, axle: str) -> None:
        """Put into the memo what is known of an axle and holds still."""
        memo = self.memo
        for key, (_, _, _, check, fit, _, car), looks in self._rows(platform, axle) or ():
            if check is not None:
                memo.sieved[key] = check
            if fit is not None:
                memo.fits[key] = fit_from_plain(fit)
            if car is not None:
                memo.cars[key] = car_from_plain(car)
            for wheel, look in looks:
                memo.looks[key, wheel] = look_from_plain(look)
        self._axles[platform, axle] = self._size(platform, axle)

    def keep(self) -> None:
        """Keep what is new in the memo of the axles that were loaded."""
        named = self.new()
        if named:
            self.write(named)

    def new(self) -> dict[str, bytes]:
        """By their names the texts to be kept of the axles that were loaded and know more now."""
        return {
            _name(platform, axle): self._text(platform, axle)
            for (platform, axle), before in self._axles.items()
            if self._size(platform, axle) != before
        }

    def write(self, named: Mapping[str, bytes]) -> bool:
        """Keep texts that `new` gave under the same head. Whether they could be written."""
        if self._file is None:
            return False
        pack = self._pack()  # perhaps another process has put something there
        if pack is not None:
            return pack.renew(named)
        return write_pack(self._file, {"head": self._head.encode(), **named}, ())

    def in_memo(self, platform: str, axle: str) -> int:
        """How many verdicts the memo has of an axle: of brakes, of wheels over them, of cars."""
        memo, of = self.memo, (platform, axle)
        brakes = {key for key, check in memo.sieved.items() if check} | set(memo.fits)
        return (
            sum(key[:2] == of for key in brakes)
            + sum(key[:2] == of for key, _ in memo.looks)
            + sum(key[:2] == of for key in memo.cars)
        )

    def in_file(self, platform: str, axle: str) -> int | None:
        """How many verdicts of an axle are kept and hold still; None where none ever were."""
        rows = self._rows(platform, axle)
        if rows is None:
            return None
        return sum(
            int(bool(check) or fit is not None) + len(looks) + int(car is not None)
            for _, (_, _, _, check, fit, _, car), looks in rows
        )

    def _pack(self) -> Pack | None:
        """What is kept under this rulebook and program."""
        pack = None if self._file is None else open_pack(self._file)
        return pack if pack is not None and pack.named("head") == self._head.encode() else None

    def _rows(self, platform: str, axle: str) -> Iterator[_Kept] | None:
        """The rows kept of an axle, those that hold; None where none ever were."""
        pack = self._pack()
        body = None if pack is None else pack.named(_name(platform, axle))
        return None if body is None else self._holding(platform, axle, json.loads(body))

    def _holding(self, platform: str, axle: str, rows: Any) -> Iterator[_Kept]:
        for row in rows:
            parts, adapter, proof, _, _, looks, _ = row
            key: Key = (platform, axle, tuple(parts), adapter)
            if self._proof(key) == proof:
                yield key, row, [(w, look) for w, p, look in looks if self._proof(key, w) == p]

    def _size(self, platform: str, axle: str) -> int:
        memo, of = self.memo, (platform, axle)
        return (
            sum(key[:2] == of for key in memo.sieved)
            + sum(key[:2] == of for key in memo.fits)
            + sum(key[:2] == of for key, _ in memo.looks)
            + sum(key[:2] == of for key in memo.cars)
        )

    def _text(self, platform: str, axle: str) -> bytes:
        memo = self.memo
        looks: dict[Key, list[Any]] = {}
        for (key, wheel), look in memo.looks.items():
            looks.setdefault(key, []).append([wheel, self._proof(key, wheel), look_to_plain(look)])
        keys = dict.fromkeys([*memo.sieved, *memo.fits, *looks, *memo.cars])
        rows: list[Any] = []
        for key in keys:
            if key[:2] == (platform, axle):
                fit, whole = memo.fits.get(key), memo.cars.get(key)
                told = None if fit is None else fit_to_plain(fit)
                car = None if whole is None else car_to_plain(whole)
                head = [key[2], key[3], self._proof(key), memo.sieved.get(key)]
                rows.append([*head, told, looks.get(key, []), car])
        return json.dumps(rows[-MOST:], separators=(",", ":")).encode()

    def _proof(self, key: Key, wheel: str = "") -> str:
        """The digest of the records that a verdict is reckoned from; empty: a part is not there."""
        platform, _, parts, _ = key
        try:
            return self._reach.digest([platform, *parts, *([wheel] if wheel else [])])
        except KeyError:
            return ""


def _name(platform: str, axle: str) -> str:
    return f"{axle} {platform}"
