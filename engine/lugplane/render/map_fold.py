"""A map of setups in few boxes: those that differ only in one kind of part share a box.

Folding goes by one kind at a time, always that which leaves the fewest boxes, until they are few
enough. What shares a box is as far from stock, and all its kinds go with all others of the box;
stock and the stops of the chosen way stay by themselves. First only setups of one verdict share a
box; where that leaves too many, those that bolt on and those that fit with work do, and the box
tells how many of each. What cannot be told is never mixed with what fits, nor one whose car is not
told with one whose car is. A line stands for every
step between the setups of two boxes; no step is left out.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from lugplane.answers.fit import VERDICTS
from lugplane.answers.paths import Paths, Stop
from lugplane.answers.steps import Step
from lugplane.answers.ways import Way
from lugplane.errors import EngineError
from lugplane.links.candidates import KINDS
from lugplane.quantity.judge import CANNOT_TELL

MOST_BOXES = 14
MOST_LINES = 24
"""Folding goes on while there are more boxes or more lines."""
_KINDS = ("disc", "pad", "caliper", "carrier")
"""The order in which kinds are folded where that makes no difference to the number of boxes."""


@dataclass(frozen=True, slots=True)
class Box:
    """Setups that are drawn as one; `folded` are the kinds in which they differ."""

    name: str
    stops: tuple[Stop, ...]
    level: int
    chosen: bool

    @property
    def verdict(self) -> str:
        """The worst verdict of its setups."""
        return max((s.verdict for s in self.stops), key=VERDICTS.index)

    @property
    def verdicts(self) -> tuple[tuple[str, int], ...]:
        """How many setups there are of each verdict, best first."""
        counts = Counter(s.verdict for s in self.stops)
        return tuple((v, counts[v]) for v in VERDICTS if counts[v])

    @property
    def stock(self) -> bool:
        return self.stops[0].changed == 0 and len(self.stops) == 1

    @property
    def folded(self) -> tuple[str, ...]:
        return tuple(k for k in KINDS if len(self.ids(k)) > 1)

    def ids(self, kind: str) -> tuple[str, ...]:
        """The parts of a kind in this box, in their order."""
        return tuple(sorted({s.part(kind) for s in self.stops}))


@dataclass(frozen=True, slots=True)
class Line:
    """All steps between two boxes: up from `tail` to `head`, and those back."""

    tail: str
    head: str
    up: tuple[Step, ...]
    back: tuple[Step, ...]
    chosen: bool


@dataclass(frozen=True, slots=True)
class Folded:
    """The map: boxes by their names, lines, and how many steps stay inside boxes."""

    boxes: tuple[Box, ...]
    lines: tuple[Line, ...]
    inside: int

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds that any box folds."""
        return tuple(k for k in KINDS if any(k in b.folded for b in self.boxes))


Group = tuple[Stop, ...]


def folded(found: Paths, way: Way | None = None) -> Folded:
    """The map of an answer with one way that stands out. Raises `EngineError`."""
    steps = (*found.steps, *found.doubtful_steps)
    levels = _levels(found)
    alone = {found.stock.key, *(way.stops if way else ())}
    groups = _folded(found, steps, levels, alone, mixed=False)
    if _too_many(groups, steps):
        groups = min(groups, _folded(found, steps, levels, alone, mixed=True), key=len)
    return _drawn(groups, steps, levels, way)


def _folded(
    found: Paths, steps: Sequence[Step], levels: Mapping[str, int], alone: set[str], *, mixed: bool
) -> list[Group]:
    groups: list[Group] = [(s,) for s in (*found.stops, *found.doubtful)]
    while _too_many(groups, steps):
        fewer = min((_fold(groups, kind, levels, alone, mixed) for kind in _KINDS), key=len)
        if len(fewer) == len(groups):
            break
        groups = fewer
    return groups


def _levels(found: Paths) -> dict[str, int]:
    """Steps from stock; what cannot be told stands one step beyond the nearest stop."""
    levels = {s.key: s.steps or 0 for s in found.stops}
    rim: dict[str, int] = {}
    for step in found.doubtful_steps:
        level = levels[step.here] + 1
        rim[step.there] = min(rim.get(step.there, level), level)
    return levels | rim


def _too_many(groups: list[Group], steps: Iterable[Step]) -> bool:
    if len(groups) > MOST_BOXES:
        return True
    of = {s.key: n for n, group in enumerate(groups) for s in group}
    pairs = {frozenset((of[s.here], of[s.there])) for s in steps}
    return sum(len(p) > 1 for p in pairs) > MOST_LINES


def _fold(
    groups: list[Group], kind: str, levels: Mapping[str, int], alone: set[str], mixed: bool
) -> list[Group]:
    """Groups that differ only in one kind, together."""
    made: dict[Hashable, Group] = {}
    for group in groups:
        first = group[0]
        key: Hashable = first.key
        if first.key not in alone:
            sure = first.verdict != CANNOT_TELL
            verdict = sure if mixed else frozenset(s.verdict for s in group)
            # All that the groups hold of other kinds is the same: so all go with all once more.
            others = frozenset(tuple(s.part(k) for k in KINDS if k != kind) for s in group)
            kind_of = first.adapter, first.mechanical_only
            key = verdict, sure, kind_of, levels[first.key], others
        made[key] = (*made.get(key, ()), *group)
    return list(made.values())


def _drawn(
    groups: list[Group], steps: Iterable[Step], levels: Mapping[str, int], way: Way | None
) -> Folded:
    on_way = set(way.stops) if way else set()
    legs = {(leg.here, leg.there) for leg in way.legs} if way else set()
    order = sorted(groups, key=lambda g: (levels[g[0].key], *g[0].rank))
    boxes = tuple(
        Box(f"b{n}", group, levels[group[0].key], any(s.key in on_way for s in group))
        for n, group in enumerate(order)
    )
    of = {s.key: box for box in boxes for s in box.stops}
    up: dict[tuple[str, str], list[Step]] = {}
    back: dict[tuple[str, str], list[Step]] = {}
    count = inside = 0
    for step in steps:
        count += 1
        a, b = of[step.here], of[step.there]
        if a is b:
            inside += 1
        elif (a.level, int(a.name[1:])) < (b.level, int(b.name[1:])):
            up.setdefault((a.name, b.name), []).append(step)
        else:
            back.setdefault((b.name, a.name), []).append(step)
    lines = tuple(
        Line(
            *pair,
            tuple(up.get(pair, ())),
            tuple(back.get(pair, ())),
            any((s.here, s.there) in legs for s in (*up.get(pair, ()), *back.get(pair, ()))),
        )
        for pair in sorted({*up, *back}, key=lambda p: (int(p[0][1:]), int(p[1][1:])))
    )
    if inside + sum(len(x.up) + len(x.back) for x in lines) != count:
        raise EngineError("the map has lost a step")
    return Folded(boxes, lines, inside)
