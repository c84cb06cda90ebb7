"""Each measurement of a list: how well it must be taken, and what follows from what it reads."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lugplane.answers.ask_ranges import Crossing, Stretch, stretches
from lugplane.answers.ask_scoped import Doubts, joint_verdict, paths_of, reach_of
from lugplane.answers.ask_supposed import SPACING, Candidate, Taken, View, said, whose
from lugplane.answers.evidence import find_fact
from lugplane.answers.rows import DOES_NOT_FIT, Span
from lugplane.facts.value import Fact, Value, Word
from lugplane.facts.words import allowed
from lugplane.quantity.judge import CANNOT_TELL, FAILS
from lugplane.setup.override import KINDS, MEASURED, SIGNED

_HALVINGS = 9
_COARSEST = 64.0
"""An accuracy is never told as more than this many times what the instrument reaches."""
_MOST_WORDS = 8
_MOST_TOLD = 3
_GRAIN_SHARE = 1 / 2000
_STRIDES = 8
_SPACINGS = (-5.0, 15.0)
FITS = "fits"
"""What a range says of a single check that holds, or asks for care or work."""


@dataclass(frozen=True, slots=True)
class Range:
    """What comes out where the fact reads from `from_` to `to` (None: no end), or `word`.

    `verdict` is that of the list's scopes, `checks` those that fail, or that are still in doubt.
    """

    from_: float | None
    to: float | None
    word: str
    verdict: str
    checks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Item:
    """One measurement.

    `facts` are what it gives; `now` what the first of them reads, None where it is not known.
    `needs` is the ± it must have, None where there is none to have; `reaches` that of its
    instrument, `finer` tells that less than that is needed. `set_` is what `--set` takes for the
    best guess, empty where nothing is guessed or it has to be written into a folder of facts.
    `settles` are the checks in doubt that read it, `narrows` the share of their doubt that it takes
    away, summed over them. `ranges` tell, all other measurements of the list reading as guessed,
    which readings lead to what; `share` is the share of the readings that are possible now that
    decide. A range without `from_` or `to` was looked at as far as `looked` goes.
    """

    facts: tuple[str, ...]
    unit: str
    known: bool
    now: Span | None
    needs: float | None
    reaches: float | None
    finer: bool
    tool: str
    how: str
    ask: str
    set_: tuple[str, ...]
    settles: tuple[str, ...]
    narrows: float
    at_the_car: bool
    ranges: tuple[Range, ...] = ()
    share: float | None = None
    looked: tuple[float, float] | None = None


def accuracies(doubts: Doubts, names: frozenset[str]) -> dict[str, float]:
    """The coarsest ± with which a set of candidates still settles what it settles.

    First all are made coarser by one factor, then each for itself, in the order of their names.
    What is not known keeps the ± of its instrument: how well it must be known depends on what it
    reads. Rounded down to what can be written.
    """
    taken = dict(doubts.taken(names))
    free = [n for n in sorted(names) if doubts.candidates[n].known and taken[n] > 0]

    def settles(tried: Taken) -> bool:
        return not doubts.standing_of(doubts.view(tried), names)

    def grown(who: Sequence[str], factor: float) -> dict[str, float]:
        return taken | {n: _most(doubts.candidates[n], taken[n] * factor) for n in who}

    if not settles(taken):
        return taken
    for who in ([free] if len(free) > 1 else []) + [[n] for n in free]:
        low, high = 1.0, _COARSEST
        if settles(grown(who, high)):
            low = high
        for _ in range(_HALVINGS if low < high else 0):
            middle = math.sqrt(low * high)
            low, high = (middle, high) if settles(grown(who, middle)) else (low, middle)
        taken = grown(who, low)
    rounded = taken | {n: _down(taken[n], reach_of(doubts.candidates[n])) for n in free}
    return rounded if settles(rounded) else taken


def _most(candidate: Candidate, plus_minus: float) -> float:
    """No coarser than the fact is now."""
    return plus_minus if candidate.now is None else min(plus_minus, candidate.now)


def _down(plus_minus: float, least: float) -> float:
    """Rounded down to two figures, but not below what the instrument reaches."""
    places = 1 - math.floor(math.log10(plus_minus)) if plus_minus > 0 else 3
    scale: float = 10.0 ** min(places, 3)
    return max(math.floor(plus_minus * scale + 1e-6) / scale, min(least, plus_minus))


def items_of(doubts: Doubts, names: frozenset[str], *, ranges: bool = True) -> tuple[Item, ...]:
    """The measurements of a set, best first: what is not known, then what narrows most.

    Their ranges are told only with `ranges`, and of short lists.
    """
    taken = accuracies(doubts, names)
    shares = doubts.narrowing()
    told = ranges and len(names) <= _MOST_TOLD
    items = [_item(doubts, doubts.candidates[n], taken, shares, told) for n in sorted(names)]
    return tuple(sorted(items, key=lambda i: (i.known, -i.narrows, i.facts)))


def _item(
    doubts: Doubts,
    candidate: Candidate,
    taken: Taken,
    shares: Mapping[str, Mapping[str, float]],
    ranges: bool,
) -> Item:
    name = candidate.name
    settles = tuple(r.check for r in doubts.told if name in doubts.hangs_on(r))
    narrows = sum(s.get(name, 0.0) for s in shares.values())
    return described(doubts, candidate, taken, settles, narrows, alone=ranges)


def described(
    doubts: Doubts,
    candidate: Candidate,
    taken: Taken,
    settles: tuple[str, ...],
    narrows: float,
    only: str = "",
    alone: bool = True,
) -> Item:
    """An item of a candidate measured as in `taken`; with `only`, its ranges are of that check.

    Without `alone` it is told without ranges.
    """
    supposed, fact = doubts.supposed, candidate.facts[0]
    named = find_fact(supposed.setup, fact)
    held = named[1] if named else None
    needs = taken[candidate.name] if candidate.way.reaches or isinstance(held, Value) else None
    guess = supposed.guess(fact, needs or 0.0)
    sure = candidate.known or (candidate.name == SPACING and _all_known(doubts, taken))
    span = None
    if isinstance(held, Value) and held.known:
        r = held.reading
        span = Span(r.lo, r.hi, r.nominal)
    settable = fact in MEASURED or fact.split(".", 1)[0] in KINDS
    text = f"{fact}={said(guess, needs)}" if guess is not None and needs is not None else ""
    ranges, share, looked = _ranges(doubts, candidate, taken, only) if alone else ((), None, None)
    return Item(
        candidate.facts,
        fact.rsplit("_", 1)[-1] if "_" in fact else "",
        candidate.known,
        span,
        needs or None,
        candidate.way.reaches,
        bool(needs and candidate.way.reaches and needs < candidate.way.reaches - 1e-9),
        candidate.way.tool,
        candidate.way.how or _how(doubts, settles),
        candidate.way.ask,
        (text,) if text and sure and settable else (),
        settles,
        narrows,
        candidate.at_car,
        ranges,
        share,
        looked,
    )


def _all_known(doubts: Doubts, taken: Taken) -> bool:
    """Whether no fact of the list, nor any other that a check lacks, had to be supposed."""
    return all(c.known or n == SPACING for n, c in doubts.candidates.items())


def _how(doubts: Doubts, settles: tuple[str, ...]) -> str:
    """The check's own word on how it is settled, where no way of measuring is on record."""
    return next((r.how for r in doubts.rows if r.check in settles and r.how), "")


# --- what follows from which reading -------------------------------------------------------------

Label = tuple[str, tuple[str, ...]]
_Ranges = tuple[tuple[Range, ...], float | None, tuple[float, float] | None]


def _ranges(doubts: Doubts, candidate: Candidate, taken: Taken, only: str) -> _Ranges:
    fact = candidate.facts[0]
    named = find_fact(doubts.supposed.setup, fact)
    held = named[1] if named else None
    if isinstance(held, Word) and not held.known:
        return _by_word(doubts, fact, taken, only), None, None
    if len(candidate.facts) > 1 or doubts.supposed.guess(fact, 0.0) is None:
        return (), None, None
    now = _now(doubts, fact, held)
    if now is not None:
        found = _walked(doubts, fact, taken, only, now, 2)
        decided = sum(s.high - s.low for s in found if s.label[0] != CANNOT_TELL)
        share = decided / (now[1] - now[0])
        return tuple(Range(s.low, s.high, "", *s.label) for s in found), share, None
    looked = _looked(doubts, fact)
    if looked is None:
        return (), None, None
    found = _walked(doubts, fact, taken, only, looked, _STRIDES)
    ranges = (
        Range(
            None if s.low == looked[0] else s.low,
            None if s.high == looked[1] else s.high,
            "",
            *s.label,
        )
        for s in found
    )
    return tuple(ranges), None, looked


def _now(doubts: Doubts, fact: str, held: Fact | None) -> tuple[float, float] | None:
    """Between which readings a number is now; None where it is not known."""
    if isinstance(held, Value) and held.known:
        return (held.reading.lo, held.reading.hi)
    view = doubts.supposed.view({})
    row = next((r for r in view.rows if r.check == "spacing"), None) if view else None
    if fact == SPACING and row is not None and row.value is not None:
        return (row.value.lo, row.value.hi) if row.value.hi > row.value.lo else None
    return None


def _looked(doubts: Doubts, fact: str) -> tuple[float, float] | None:
    """How far readings of a number that is not known are looked at: about as parts have it."""
    if fact == SPACING:
        return _SPACINGS
    seen = doubts.supposed.looked_over(fact)
    if not seen:
        return None
    room = max(seen[-1] - seen[0], abs(seen[-1]) * 0.1, 1.0)
    low, high = seen[0] - room / 2, seen[-1] + room / 2
    return (low if fact.rsplit(".", 1)[-1] in SIGNED else max(low, 0.0), high)


def _walked(
    doubts: Doubts, fact: str, taken: Taken, only: str, within: tuple[float, float], strides: int
) -> tuple[Stretch[Label], ...]:
    """The stretches of one verdict, each with the checks that are named all along it."""

    def at(reading: float) -> tuple[Label, Sequence[Crossing]]:
        view = at_reading(doubts, fact, taken, only, round(reading, 4))
        return _label(doubts, view, only), _crossings(doubts, view, fact, only)

    low, high = within
    grain = max((high - low) * _GRAIN_SHARE, 0.002)
    merged: list[Stretch[Label]] = []
    for s in stretches(low, high, at, grain, (high - low) / strides, _alike):
        before = merged[-1] if merged else None
        if before is not None and before.label[0] == s.label[0]:
            shared = tuple(c for c in before.label[1] if c in s.label[1])
            merged[-1] = Stretch(before.low, s.high, (s.label[0], shared or before.label[1]))
        else:
            merged.append(s)
    return tuple(merged)


def at_reading(doubts: Doubts, fact: str, taken: Taken, only: str, reading: float) -> View | None:
    """As it would be judged at a reading; what does not read the fact is judged but once."""
    supposed, at = doubts.supposed, {fact: reading}
    if only:
        return supposed.view(taken, at, frozenset({only}))
    guessed = supposed.view(taken)
    if guessed is None or fact in MEASURED or not doubts.candidates[fact].known:
        return supposed.view(taken, at)
    reading_it = frozenset(r.check for r in guessed.rows if fact in paths_of(r))
    some = supposed.view(taken, at, reading_it)
    if some is None:
        return None
    now = {r.check: r for r in some.rows}
    return View(
        tuple(now.get(r.check, r) for r in guessed.rows), {**guessed.extents, **some.extents}
    )


def _alike(one: Label, other: Label) -> bool:
    """One verdict; and of two that do not fit, for a reason that both have."""
    if one[0] != other[0]:
        return False
    return one[0] != DOES_NOT_FIT or bool(set(one[1]) & set(other[1]))


def _by_word(doubts: Doubts, fact: str, taken: Taken, only: str) -> tuple[Range, ...]:
    try:
        takes = allowed(whose(fact)[1])
    except KeyError:
        return ()
    words = ("true", "false") if takes.yes_no else takes.words[:_MOST_WORDS]
    views = ((w, doubts.supposed.view(taken, {fact: w})) for w in words)
    return tuple(Range(None, None, w, *_label(doubts, v, only)) for w, v in views)


def _label(doubts: Doubts, view: View | None, only: str) -> Label:
    """The verdict without what nothing settles, and the checks that fail or are in doubt."""
    if view is None:
        return CANNOT_TELL, ()
    if only:
        row = next(r for r in view.rows if r.check == only)
        return {FAILS: DOES_NOT_FIT, CANNOT_TELL: CANNOT_TELL}.get(row.state, FITS), (only,)
    left = {r.check for r in (*doubts.close, *doubts.beyond)} | set(doubts.open_)
    rows = tuple(r for r in view.rows if r.check not in left)
    said = joint_verdict(rows, doubts.scopes)
    state = {CANNOT_TELL: CANNOT_TELL, DOES_NOT_FIT: FAILS}.get(said, "")
    return said, tuple(r.check for r in rows if r.scope in doubts.scopes and r.state == state)


def _crossings(doubts: Doubts, view: View | None, fact: str, only: str) -> list[Crossing]:
    if view is None:
        return []
    found: list[Crossing] = []
    for row in view.rows:
        if row.scope not in doubts.scopes or (only and row.check != only):
            continue
        extent = view.extents.get(row.check)
        effect = extent.effects.get(fact) if extent else None
        if extent is None or effect is None or not row.limit:
            continue
        edges = doubts.supposed.rulebook.limits.limits[row.limit].edges()
        found += [Crossing(b, effect.slope, edges) for b in (extent.lo, extent.hi)]
    return found
