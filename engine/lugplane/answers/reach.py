"""Which setups the records that changed come into.

A setup is judged from the records that it is put together of and from nothing else: its platform
and parts, what a floating caliper was designed for, and the bolts and washers to choose from. The
sheet of a whole car rests on all that the platform leads to besides, both axles' stock parts among
it. Too much is never wrong here; too little would be.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lugplane.facts.base import Base
from lugplane.facts.reach import UNREAD, Reach
from lugplane.facts.records import Axle, Caliper, Platform, Trial
from lugplane.links.candidates import Candidate

_CHOSEN_FROM = ("bolt", "washer")
"""Kinds of hardware that every setup chooses from."""


class Reached:
    """Tells of one base, before or after, whether a change can reach a setup."""

    def __init__(self, base: Base, changed: Iterable[str], everything: bool = False) -> None:
        """`changed`: ids of records that are otherwise, added or gone."""
        self._base = base
        kinds = {id_: base.kind_of(id_) for id_ in changed}
        self._changed = frozenset(i for i, kind in kinds.items() if kind not in UNREAD)
        trials = [base.get(Trial, i) for i, kind in kinds.items() if kind == "trial"]
        self._tried = frozenset(t.platform.text for t in trials)
        self._everything = everything or any(k in _CHOSEN_FROM for k in kinds.values())
        self._reach = Reach(base)
        self._parts: dict[str, bool] = {}
        self._axles: dict[tuple[str, str], bool] = {}

    def candidate(self, candidate: Candidate) -> bool:
        """Whether a change can reach the brake of a candidate, or a wheel offered with it."""
        return (
            self._everything
            or self._axle(candidate.platform, candidate.axle)
            or any(self._part(id_) for id_ in candidate.parts)
        )

    def sheet(self, platform: str, parts: Iterable[str] = ()) -> bool:
        """Whether a change can reach the sheet of a whole car with these parts, or its trials."""
        if self._everything or platform in self._tried:
            return True
        # The carrier of a caliper that is named alone is looked for among all carriers.
        seats = self._base.ids("carrier")
        return any(self._leads(id_) for id_ in (platform, *parts, *seats))

    def _leads(self, word: str) -> bool:
        """Whether a part, or a member of the family that is named, leads to what changed."""
        ids = [word] if self._base.kind_of(word) is not None else self._base.members(word)
        if not ids:
            return word in self._changed
        return any(self._changed & self._reach.ids(id_) for id_ in ids)

    def _axle(self, platform: str, axle: str) -> bool:
        key = platform, axle
        if key not in self._axles:
            self._axles[key] = not self._changed.isdisjoint(self._around(platform, axle))
        return self._axles[key]

    def _around(self, platform: str, axle: str) -> Iterator[str]:
        """The platform, and what of it meets the brake without being a part of a candidate."""
        car = self._base.get(Platform, platform)
        fitted: Axle = car.rear if axle == "rear" else car.front
        named = (car.master.text, fitted.knuckle.text, fitted.stock.hose.text)
        yield platform
        for word in (*named, fitted.stock.wheel.text, *fitted.wheels.items):
            if word:
                # A family of one may be named in its member's stead.
                yield from (word, *self._base.members(word))

    def _part(self, id_: str) -> bool:
        if id_ not in self._parts:
            self._parts[id_] = not self._changed.isdisjoint(self._behind(id_))
        return self._parts[id_]

    def _behind(self, id_: str) -> Iterator[str]:
        yield id_
        if self._base.kind_of(id_) != "caliper":
            return
        caliper = self._base.get(Caliper, id_)
        # Only a body that slides is reckoned from the parts that it was designed for.
        if caliper.body.text != "fixed":
            for word in (caliper.designed_for.disc.text, caliper.designed_for.pad.text):
                if word:
                    yield from (word, *self._base.members(word))
