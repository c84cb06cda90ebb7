"""One record as it is known: its facts with their readings, and who relies on it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import prod
from typing import Any

from lugplane.answers.evidence import FactLine
from lugplane.answers.part_shown_facts import fact_line, facts_of
from lugplane.facts.base import Base
from lugplane.facts.families import Single
from lugplane.facts.raw import Path
from lugplane.facts.records import RECORDS, Axle, Platform, Record
from lugplane.facts.value import Fact, Value
from lugplane.links.candidates import KINDS, Candidate, candidates
from lugplane.links.links import Links
from lugplane.links.stored import keep_links, open_links
from lugplane.setup.parts import family
from lugplane.workshop import Workshop

VERSION = 1
AXLES = ("front", "rear")
_CHOSEN_FROM = ("bolt", "washer")
_UNREAD_TEXT = frozenset({"kind", "id", "title", "notes", "locator", "date"})
_GRAIN = 1e-9


@dataclass(frozen=True, slots=True)
class FactShown:
    """A fact with all its readings, the first one counting.

    `beyond` tells of each rival how far its bounds stay away from those of the first, in the fact's
    own unit; 0: they overlap.
    """

    line: FactLine
    beyond: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Referring:
    """A record that names this one, or its family, at a place of its own."""

    id: str
    kind: str
    title: str
    path: str
    at: str


@dataclass(frozen=True, slots=True)
class StandsIn:
    """An axle, and in how many of the setups that come into question there the part stands."""

    platform: str
    platform_title: str
    axle: str
    setups: int
    of: int


@dataclass(frozen=True, slots=True)
class PartShown:
    """The answer. `family` is empty outside families, `members` are the other ones of it.

    `at` is `file:line:column`. `moved` names retired ids that lead here. `stands_in` is None for
    kinds that come into no setup.
    """

    version: int
    id: str
    kind: str
    title: str
    at: str
    notes: str
    family: str
    members: tuple[str, ...]
    moved: tuple[str, ...]
    facts: tuple[FactShown, ...]
    referring: tuple[Referring, ...]
    stands_in: tuple[StandsIn, ...] | None


def part_shown(workshop: Workshop, part: str) -> PartShown:
    """A record of any kind, a retired id leading to its successor.

    Raises `BadInput` with close matches, or for a family of several members.
    """
    base = workshop.base
    id_ = base.find(part)
    single = base.single(id_)
    record = base.get(RECORDS[single.kind], id_)
    found = tuple(referring(base, single))
    return PartShown(
        VERSION,
        id_,
        single.kind,
        record.title,
        _at(single, ()),
        str(single.data.get("notes") or ""),
        single.family,
        tuple(i for i in base.members(single.family) if i != id_),
        tuple(r.id for r in found if r.kind == "moved"),
        tuple(_shown(id_, path, fact) for path, fact in facts_of(record).items()),
        tuple(r for r in found if r.kind != "moved"),
        _stands_in(workshop, record),
    )


def _shown(id_: str, path: str, fact: Fact) -> FactShown:
    line = fact_line(path, id_, fact)
    if not isinstance(fact, Value) or not fact.known:
        return FactShown(line)
    first, *rivals = fact.readings
    apart = (max(r.lo - first.hi, first.lo - r.hi, 0.0) for r in rivals)
    return FactShown(line, tuple(a * (a > _GRAIN) for a in apart))


def _at(single: Single, path: Path) -> str:
    return ":".join(str(x) for x in single.place(path))


# --- who names it ---------------------------------------------------------------------------------


def referring(base: Base, named: Single) -> Iterator[Referring]:
    """Every record that names a part or its family, once a place of its file."""
    names = {named.id, named.family} - {""}
    seen: set[tuple[str, Path]] = set()
    for id_ in base.ids():
        single = base.single(id_)
        if id_ == named.id:
            continue
        for path, text in _texts(single.data, ()):
            place = _at(single, path)
            # Members have their family's references, and those are said of the family once.
            key = place, path
            if text in names and key not in seen:
                seen.add(key)
                stated = single.family and place == _at(base.single(id_), path)
                whose = single.family if stated and _shared(single, path) else id_
                title = str(single.data.get("title", id_)) if whose == id_ else ""
                words = ".".join(str(p) for p in path if isinstance(p, str))
                yield Referring(whose, single.kind, title, f"{single.kind}.{words}", place)


def _shared(single: Single, path: Path) -> bool:
    """Whether a member has a fact from its family."""
    return ("members", single.member, *path) not in single.raw.positions.values


def _texts(data: Any, path: Path) -> Iterator[tuple[Path, str]]:
    if isinstance(data, str):
        yield path, data
    elif isinstance(data, Mapping):
        for key, inner in data.items():
            if key not in _UNREAD_TEXT:
                yield from _texts(inner, (*path, key))
    elif isinstance(data, list):
        for n, inner in enumerate(data):
            yield from _texts(inner, (*path, n))


# --- setups that it stands in ---------------------------------------------------------------------


def _stands_in(workshop: Workshop, record: Record) -> tuple[StandsIn, ...] | None:
    if record.kind not in (*KINDS, *_CHOSEN_FROM, "wheel", "hose", "knuckle", "master", "platform"):
        return None
    links = open_links(workshop)
    names = {record.id, family(record.id)}
    found: list[StandsIn] = []
    for car in workshop.base.all(Platform):
        for axle in AXLES:
            fitted: Axle = car.rear if axle == "rear" else car.front
            if fitted.knuckle.text is None:
                continue
            if record.kind in KINDS:
                n = _count(candidates(links, car.id, axle, with_=[record.id]).items)
            elif record.kind in _CHOSEN_FROM or not names.isdisjoint(_around(car, fitted)):
                n = _all(links, car, axle)
            else:
                continue
            if n:
                found.append(StandsIn(car.id, car.title, axle, n, _all(links, car, axle)))
    keep_links(links)
    return tuple(found)


def _all(links: Links, car: Platform, axle: str) -> int:
    return _count(candidates(links, car.id, axle).items)


def _around(car: Platform, axle: Axle) -> tuple[str | None, ...]:
    """What every setup of an axle has besides caliper, disc and pad, the wheels offered with it."""
    wheels = (axle.stock.wheel.text, *axle.wheels.items)
    return (car.id, car.master.text, axle.knuckle.text, axle.stock.hose.text, *wheels)


def _count(items: tuple[Candidate, ...]) -> int:
    """How many setups candidates stand for, those of parts that are alike among them."""
    return sum(prod(1 + len(ids) for _, ids in c.alike) for c in items)
