"""Checks whose best guess lies so close to a limit that no instrument settles them there.

What is measured may come out other than guessed. So the fewest measurements are chosen that settle
the check for at least half of the readings that are possible now, all of them taken as equally
likely and each for itself (all that help where none reach a half, none where they hardly help); and
the ± is told that would settle it even at the guess.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from lugplane.answers.ask_items import Item, described
from lugplane.answers.ask_scoped import Doubts, doubtful, reach_of
from lugplane.answers.ask_supposed import SPACING, Candidate, Taken, View
from lugplane.answers.rows import Row
from lugplane.quantity.judge import CANNOT_TELL

ENOUGH, LEAST = 0.5, 0.1
"""From which share of the readings on nothing more is measured, and below which it is no use."""
_MOST = 8
_RECKONED, _JUDGED = 400, 16
_EXACT, _EXACT_SHARE = 0.0005, 0.001
_HALVINGS = 7
_BASES = (2, 3, 5, 7, 11, 13, 17, 19)


@dataclass(frozen=True, slots=True)
class Close:
    """Checks that hang on the same facts, close to a limit.

    `items` settle the first of them for about `share` of the readings that are possible now, each
    item's own ranges and share being those with all others as guessed. `all_to` is the ± that would
    settle it at the best guess if every fact in doubt had it; where those are of several units
    `finer` tells instead how many times as well as now they would have to be known. Both None: the
    guess lies on the limit itself, or part of the doubt is in no fact.
    """

    checks: tuple[str, ...]
    items: tuple[Item, ...]
    share: float
    all_to: float | None
    finer: float | None = None


def closest(doubts: Doubts, names: frozenset[str]) -> tuple[tuple[Close, ...], tuple[Row, ...]]:
    """The close checks, beside what is measured anyway; and those that no reading settles."""
    groups: dict[tuple[str, ...], list[Row]] = {}
    for row in doubts.close:
        groups.setdefault(row.missing or (row.check,), []).append(row)
    found: list[Close] = []
    lost: list[Row] = []
    for rows in groups.values():
        items, share = _helping(doubts, rows[0], names)
        all_to, finer = _known_well_enough(doubts, rows[0])
        if items or all_to or finer:
            found.append(Close(tuple(r.check for r in rows), items, share, all_to, finer))
        else:
            lost += rows
    return tuple(found), tuple(lost)


def _helping(doubts: Doubts, row: Row, names: frozenset[str]) -> tuple[tuple[Item, ...], float]:
    """What may settle a check, and for which share of the readings; none where it hardly helps."""
    chosen, share = _chosen(doubts, row, names)
    if share < LEAST:
        return (), share
    taken = {**doubts.taken(names), **{n: reach_of(doubts.candidates[n]) for n in chosen}}
    items = tuple(
        described(
            doubts,
            doubts.candidates[n],
            taken,
            (row.check,),
            0.0,
            only=row.check,
            alone=len(chosen) == 1,
        )
        for n in chosen
    )
    return items, share


def _chosen(doubts: Doubts, row: Row, names: frozenset[str]) -> tuple[list[str], float]:
    """The fewest measurements, widest first, that settle a check for `ENOUGH` of the readings."""
    base = doubts.taken(names)
    order = widest_first(doubts, row, names)[:_MOST]
    best: tuple[list[str], float] = ([], 0.0)
    if row.value is None:
        share = _share_judged(doubts, row, base, order)
        return (order, share) if share else best
    for count in range(1, len(order) + 1):
        chosen = order[:count]
        taken = {**base, **{n: reach_of(doubts.candidates[n]) for n in chosen}}
        view = doubts.supposed.view(taken, checks=frozenset({row.check}))
        share = _share_reckoned(doubts, row, view, chosen)
        if share > best[1] + 0.01:
            best = (chosen, share)
        if share >= ENOUGH:
            break
    return best


def widest_first(doubts: Doubts, row: Row, without: frozenset[str]) -> list[str]:
    """The known candidates of a check that tell more, by how far their doubt moves it."""
    able = {n for n in doubts.hangs_on(row) if doubts.candidates[n].known} - without - {SPACING}
    view = doubts.supposed.view({})
    extent = view.extents.get(row.check) if view else None
    if extent is None:
        named = [c.name for p in row.missing if (c := doubts.supposed.candidate(p)) is not None]
        return [n for n in dict.fromkeys(named) if n in able] or sorted(able)
    found: dict[str, float] = {}
    for path, effect in extent.effects.items():
        candidate = doubts.supposed.candidate(path)
        if candidate is not None and candidate.name in able:
            found[candidate.name] = found.get(candidate.name, 0.0) + effect.reach
    return sorted(found, key=lambda n: (-found[n], n))


def _share_reckoned(doubts: Doubts, row: Row, view: View | None, chosen: Sequence[str]) -> float:
    """The share of readings that decide a quantity, by its slopes."""
    extent = view.extents.get(row.check) if view else None
    now = next((r for r in view.rows if r.check == row.check), None) if view else None
    if extent is None or now is None or not now.limit:
        return 0.0
    edges = doubts.supposed.rulebook.limits.limits[now.limit].edges()
    moves: list[tuple[float, float]] = []
    for name in chosen:
        candidate = doubts.candidates[name]
        effect = extent.effects.get(candidate.facts[0])
        slope = effect.slope if effect else 0.0
        moves.append((slope, max((candidate.now or 0.0) - reach_of(candidate), 0.0)))
    decided = 0
    for n in range(1, _RECKONED + 1):
        off = sum(
            k * half * (2 * spread(n, base) - 1)
            for (k, half), base in zip(moves, _BASES, strict=False)
        )
        decided += not any(extent.lo + off <= e <= extent.hi + off for e in edges)
    return decided / _RECKONED


def _share_judged(
    doubts: Doubts, row: Row, base: Mapping[str, float], chosen: Sequence[str]
) -> float:
    """The share of readings that decide a choice, by judging some that lie evenly spread."""
    if not chosen:
        return 0.0
    supposed = doubts.supposed
    taken = {**base, **{n: reach_of(doubts.candidates[n]) for n in chosen}}
    decided = 0
    for n in range(1, _JUDGED + 1):
        at: dict[str, float | str] = {}
        for name, prime in zip(chosen, _BASES, strict=False):
            candidate = doubts.candidates[name]
            fact, half = candidate.facts[0], (candidate.now or 0.0) - reach_of(candidate)
            guess = supposed.guess(fact, candidate.now or 0.0)
            if guess is not None:
                at[fact] = guess + half * (2 * spread(n, prime) - 1)
        view = supposed.view(taken, at, frozenset({row.check}))
        state = next((r.state for r in view.rows if r.check == row.check), "") if view else ""
        decided += state not in ("", CANNOT_TELL)
    return decided / _JUDGED


def spread(n: int, base: int) -> float:
    """The `n`th number between 0 and 1 of a sequence that fills it evenly (van der Corput)."""
    found, step = 0.0, 1.0
    while n:
        step /= base
        n, digit = divmod(n, base)
        found += step * digit
    return found


def _known_well_enough(doubts: Doubts, row: Row) -> tuple[float | None, float | None]:
    """How well all facts in doubt must be known to settle a check at the best guess.

    The coarsest common ± of facts of one unit, else how many times as well as now or, of what is
    not known, as an instrument reaches. Neither: known exactly they would not settle it.
    """
    supposed = doubts.supposed
    read = doubts.reads(row) - {SPACING}
    behind = {n: c for n, c in doubts.candidates.items() if n in read}

    def settles(taken: Taken) -> bool:
        view = supposed.view(taken, checks=frozenset({row.check}))
        return view is not None and row.check not in {
            r.check for r in doubtful(view, doubts.scopes, supposed)
        }

    def common(plus_minus: float) -> Taken:
        return {
            n: plus_minus if c.now is None else min(plus_minus, c.now) for n, c in behind.items()
        }

    def finer(factor: float) -> Taken:
        return {n: (reach_of(c) if c.now is None else c.now) * factor for n, c in behind.items()}

    units = {_unit(c) for c in behind.values()}
    if len(units) == 1:
        most = max((c.now or 0.0 for c in behind.values()), default=0.0)
        return _coarsest(lambda p: settles(common(p)), _EXACT, max(most, 0.1)), None
    least = _coarsest(lambda f: settles(finer(f)), _EXACT_SHARE, 1.0)
    return None, None if least is None else 1.0 / least


def _unit(candidate: Candidate) -> str:
    """The unit of what is measured; outlines and other figures taken together are lengths."""
    return "mm" if len(candidate.facts) > 1 else candidate.facts[0].rsplit("_", 1)[-1]


def _coarsest(holds: Callable[[float], bool], low: float, high: float) -> float | None:
    """The largest number, to some percent, for which something holds; None: not even the least."""
    if not holds(low):
        return None
    for _ in range(_HALVINGS):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low
