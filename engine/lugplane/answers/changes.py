"""What a change of facts or rules changes: setups that fit now or no longer, verdicts, figures.

Both sides' records are compared, and only the setups that a changed one comes into are judged
again, on either side: all candidates of every axle, those that need an adapter plate told apart,
what the factory fitted, and the trials. What does not fit before and after is not told apart
further.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import product

from lugplane.answers.changes_records import RecordChange, record_changes
from lugplane.answers.changes_told import Teller, Told
from lugplane.answers.reach import Reached
from lugplane.answers.rows import DOES_NOT_FIT
from lugplane.errors import BadInput
from lugplane.facts.base import Base
from lugplane.facts.records import Platform, Trial
from lugplane.links.candidates import KINDS, Candidate, candidates
from lugplane.links.links import Links
from lugplane.setup.assemble import Wanted
from lugplane.workshop import Workshop

VERSION = 1
AXLES = ("front", "rear")
SAME, JUDGED_AGAIN, NOT_COMPARED = "same", "changed", "not compared"
"""What became of the rules; `not compared`: those of one side cannot be read by this program."""
GAINED, LOST, VERDICT, FIGURES = "fits now", "no longer fits", "other verdict", "other figures"
"""What became of a setup; to fit is to bolt on or to fit with work."""

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Side:
    """The facts and rules before or after; `name` is what they are called."""

    name: str
    workshop: Workshop


@dataclass(frozen=True, slots=True)
class SetupChange:
    """A candidate of an axle before and after; `pads` are all those that it holds for alike.

    `adapter`: with an adapter plate. None: it cannot be put together on that side, or needs no
    plate there.
    """

    platform: str
    platform_title: str
    axle: str
    caliper: str
    carrier: str
    disc: str
    pads: tuple[str, ...]
    adapter: bool
    change: str
    before: Told | None
    after: Told | None


@dataclass(frozen=True, slots=True)
class SheetChange:
    """A whole car's sheet before and after: of what the factory fitted (no `trials`), or of trials.

    None: it cannot be put together on that side.
    """

    platform: str
    platform_title: str
    axle: str
    parts: tuple[str, ...]
    trials: tuple[str, ...]
    change: str
    before: Told | None
    after: Told | None


@dataclass(frozen=True, slots=True)
class Changes:
    """The answer.

    `rules` is one of *same*, *changed* and *not compared*. Counts are of setups on either side,
    each once: all there are, and those that a change reaches. `judged` counts judgements made.
    `titles` are those of the checks that are named.
    """

    version: int
    old: str
    new: str
    rules: str
    records: tuple[RecordChange, ...]
    setups: tuple[SetupChange, ...]
    sheets: tuple[SheetChange, ...]
    setups_total: int
    setups_reached: int
    sheets_total: int
    sheets_reached: int
    judged: int
    titles: Mapping[str, str] = field(default_factory=dict)

    @property
    def any(self) -> bool:
        """Whether any answer changes; a fact may change and none with it."""
        return bool(self.setups or self.sheets)


Key = tuple[str, str, str, str, str, str, bool]
"""Platform, axle, caliper, carrier (empty without), disc, pad, whether with an adapter plate."""
SheetKey = tuple[str, str, tuple[str, ...]]


def changes(old: Side, new: Side, rules: str, progress: Progress | None = None) -> Changes:
    """Compare two sides. `rules` other than *same* has everything judged again.

    Raises `EngineError`, `BadFacts`.
    """
    records = record_changes(old.workshop.base, new.workshop.base)
    both = _Both(old, new, (r.id for r in records), rules == JUDGED_AGAIN)
    keys, sheets = both.setups(), both.sheets()
    reached = [k for k in keys if both.reaches(k)]
    reached_sheets = [k for k in sheets if both.reaches_sheet(k)]
    total = len(reached) + len(reached_sheets)
    setups: list[SetupChange] = []
    seen: list[SheetChange] = []
    for n, key in enumerate(reached):
        if progress is not None:
            progress(n, total)
        setups += both.setup(key)
    for n, sheet in enumerate(reached_sheets, len(reached)):
        if progress is not None:
            progress(n, total)
        seen += both.sheet(sheet, sheets[sheet])
    if progress is not None:
        progress(total, total)
    return Changes(
        VERSION,
        old.name,
        new.name,
        rules,
        records,
        tuple(_in_one(setups)),
        tuple(seen),
        len(keys),
        len(reached),
        len(sheets),
        len(reached_sheets),
        sum(h.teller.judged for h in both.halves),
        both.titles((*setups, *seen)),
    )


class _Half:
    """One side: its candidates by their keys, what reaches them, and who judges them."""

    def __init__(self, side: Side, changed: frozenset[str], everything: bool) -> None:
        workshop = side.workshop
        self.base: Base = workshop.base
        self.reach = Reached(self.base, changed, everything)
        self.teller = Teller(workshop)
        self.checks = {c.id: c.title for c in workshop.rulebook.checks}
        links = Links(self.base, workshop.rulebook)
        self.candidates: dict[Key, Candidate] = {}
        for car in self.base.all(Platform):
            for axle in AXLES:
                if (car.rear if axle == "rear" else car.front).knuckle.text is None:
                    continue
                for found in candidates(links, car.id, axle, adapters=True).items:
                    self.candidates.update(_spread(found))

    def setup(self, key: Key) -> Told | None:
        """A setup, whether it is a candidate on this side or a pair check turns it down."""
        return self.teller.candidate(self.candidates.get(key) or candidate_of(key))

    def there(self, key: Key) -> bool:
        """Whether all parts of a setup are there, and a plate only where one is needed."""
        *parts, adapter = key
        if adapter and (*parts, False) in self.candidates:
            return False
        return all(self.base.kind_of(i) is not None for i in (parts[0], *parts[2:]) if i)

    def unfit(self, key: Key) -> bool:
        """Whether it is known without judging that a setup does not fit."""
        found = self.candidates.get(key)
        return found is None or self.teller.surely_unfit(found)


class _Both:
    def __init__(self, old: Side, new: Side, changed: Iterable[str], everything: bool) -> None:
        ids = frozenset(changed)
        self.halves = (_Half(old, ids, everything), _Half(new, ids, everything))

    def setups(self) -> list[Key]:
        """The candidates of either side."""
        old, new = self.halves
        return sorted({**old.candidates, **new.candidates})

    def sheets(self) -> dict[SheetKey, tuple[str, ...]]:
        """What the factory fitted on each axle, and each trial's setup: the trials by their keys.

        A trial of what the factory fitted, by the same parts, has a sheet of its own.
        """
        found: dict[SheetKey, dict[str, None]] = {}
        for half in self.halves:
            for car in half.base.all(Platform):
                for axle in AXLES:
                    found.setdefault((car.id, axle, ()), {})
            for trial in half.base.all(Trial):
                parts = trial.parts
                words = (parts.caliper, parts.carrier, parts.disc, parts.pad, parts.wheel)
                named = tuple(w.text for w in words if w.text)
                if trial.platform.text and trial.axle.text:
                    key = trial.platform.text, trial.axle.text, named
                    found.setdefault(key, {})[trial.id] = None
        return {key: tuple(sorted(found[key])) for key in sorted(found)}

    def reaches(self, key: Key) -> bool:
        one = candidate_of(key)
        return any(h.there(key) and h.reach.candidate(one) for h in self.halves) or not all(
            key in h.candidates for h in self.halves
        )

    def reaches_sheet(self, key: SheetKey) -> bool:
        platform, _, parts = key
        return any(
            h.base.kind_of(platform) is not None and h.reach.sheet(platform, parts)
            for h in self.halves
        )

    def setup(self, key: Key) -> Iterator[SetupChange]:
        """A setup that is otherwise on either side."""
        if all(h.unfit(key) for h in self.halves):
            return
        before, after = (h.setup(key) if h.there(key) else None for h in self.halves)
        change = changed(before, after)
        if change:
            platform, axle, caliper, carrier, disc, pad, adapter = key
            title = self._title(platform)
            parts = (caliper, carrier, disc, (pad,), adapter)
            yield SetupChange(platform, title, axle, *parts, change, before, after)

    def sheet(self, key: SheetKey, trials: tuple[str, ...]) -> Iterator[SheetChange]:
        """A whole car's sheet that is otherwise on either side."""
        platform, axle, parts = key
        wanted = Wanted(platform, axle, parts)
        before, after = (
            h.teller.sheet(wanted) if h.base.kind_of(platform) is not None else None
            for h in self.halves
        )
        if before != after:
            change = changed(before, after) or FIGURES
            title = self._title(platform)
            yield SheetChange(platform, title, axle, parts, trials, change, before, after)

    def _title(self, platform: str) -> str:
        for half in reversed(self.halves):
            try:
                return half.base.get(Platform, platform).title
            except BadInput:
                continue
        return platform

    def titles(self, found: Iterable[SetupChange | SheetChange]) -> dict[str, str]:
        """The titles of the checks that are named."""
        told = [t for c in found for t in (c.before, c.after) if t is not None]
        named = {s.check for t in told for s in t.scopes}
        named |= {a.check for t in told for a in t.asking}
        named |= {w.check for t in told for w in t.wheels}
        known = {**self.halves[0].checks, **self.halves[1].checks}
        return {check: known[check] for check in sorted(named) if check}


def changed(before: Told | None, after: Told | None) -> str:
    """What became of a setup; empty: nothing, or it does not fit before and after."""
    if before == after:
        return ""
    was, is_ = _verdict(before), _verdict(after)
    fitted, fits = before is not None and before.fits, after is not None and after.fits
    if fitted != fits:
        return GAINED if fits else LOST
    if was != is_:
        return VERDICT
    return "" if was == DOES_NOT_FIT else FIGURES


def _verdict(told: Told | None) -> str:
    return DOES_NOT_FIT if told is None else told.verdict


def candidate_of(key: Key) -> Candidate:
    """The candidate of a key by itself, with nothing that is like it."""
    platform, axle, caliper, carrier, disc, pad, adapter = key
    return Candidate(platform, axle, caliper, carrier or None, disc, pad, adapter)


def _spread(candidate: Candidate) -> Iterator[tuple[Key, Candidate]]:
    """All setups that a candidate stands for."""
    alike = dict(candidate.alike)
    own = (candidate.caliper, candidate.carrier or "", candidate.disc, candidate.pad)
    pools = [(id_, *alike.get(kind, ())) for kind, id_ in zip(KINDS, own, strict=True)]
    for caliper, carrier, disc, pad in product(*pools):
        ids = (caliper, carrier, disc, pad)
        yield (candidate.platform, candidate.axle, *ids, candidate.adapter), candidate


def _in_one(found: Iterable[SetupChange]) -> Iterator[SetupChange]:
    """Setups that differ in nothing but the pad told as one."""
    groups: dict[str, list[SetupChange]] = {}
    for each in found:
        groups.setdefault(repr(replace(each, pads=())), []).append(each)
    for group in groups.values():
        yield replace(group[0], pads=tuple(p for each in group for p in each.pads))
