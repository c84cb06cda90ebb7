"""What was judged of an axle's candidates, kept in the user's cache beside the compiled facts.

A verdict is kept under a digest of everything that it was reckoned from: the records that the
platform and the parts lead to (both axles' stock parts among them), the hardware to choose from,
the rulebook, and the program. It is believed only where this digest is the same again, so nothing
here goes out of date. Which matcher was used does not matter: all deduce the same.
"""

from __future__ import annotations

import json
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
from lugplane.facts.cache import cache_file, open_pack, write_pack
from lugplane.facts.fingerprint import digest
from lugplane.facts.program import all_rooms, program_digest
from lugplane.facts.reach import Reach
from lugplane.workshop import Workshop

MOST: Final = 20_000
"""So many verdicts are kept of one axle."""


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

    def load(self, platform: str, axle: str) -> None:
        """Put into the memo what is known of an axle and holds still."""
        memo = self.memo
        pack = None if self._file is None else open_pack(self._file)
        if pack is not None and pack.named("head") == self._head.encode():
            body = pack.named(_name(platform, axle))
            for row in json.loads(body) if body is not None else ():
                parts, adapter, proof, check, fit, looks, car = row
                key: Key = (platform, axle, tuple(parts), adapter)
                if self._proof(key) != proof:
                    continue
                if check is not None:
                    memo.sieved[key] = check
                if fit is not None:
                    memo.fits[key] = fit_from_plain(fit)
                if car is not None:
                    memo.cars[key] = car_from_plain(car)
                for wheel, wheel_proof, look in looks:
                    if self._proof(key, wheel) == wheel_proof:
                        memo.looks[key, wheel] = look_from_plain(look)
        self._axles[platform, axle] = self._size(platform, axle)

    def keep(self) -> None:
        """Take from the memo what is new of the axles that were loaded."""
        named: dict[str, bytes] = {}
        for (platform, axle), before in self._axles.items():
            if self._size(platform, axle) != before:
                named[_name(platform, axle)] = self._text(platform, axle)
        if self._file is None or not named:
            return
        pack = open_pack(self._file)  # perhaps another process has put something there
        if pack is not None and pack.named("head") == self._head.encode():
            pack.renew(named)
        else:
            write_pack(self._file, {"head": self._head.encode(), **named}, ())

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
