"""Every setup of an axle that may come into a way, judged."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

from lugplane.answers.fit import FitBench, WheelLook
from lugplane.answers.goods import goods_of
from lugplane.answers.prices import Prices
from lugplane.answers.rows import BOLTS_ON, DOES_NOT_FIT, FITS_WITH_WORK
from lugplane.answers.sheet import Judged, Sheet, judge_setup
from lugplane.answers.steps import Standing
from lugplane.answers.told_apart import Members, ids_of, members_of, told_apart
from lugplane.links.candidates import KINDS, Candidate, Candidates, candidates
from lugplane.links.links import Links
from lugplane.quantity.judge import CANNOT_TELL
from lugplane.setup.assemble import Wanted, assemble
from lugplane.workshop import Workshop

DRIVABLE = (BOLTS_ON, FITS_WITH_WORK)
Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Standings:
    """Setups by their keys: those that may be driven, and those whose brake cannot be told.

    `stock` is what the factory fitted, whatever its verdict. `failing` are those whose brake fits
    and that fail as a car. `counts` are the brake's verdicts of all combinations, parts that fit
    alike taken as one.
    """

    stock: Standing
    drivable: Mapping[str, Standing]
    doubtful: Mapping[str, Standing]
    failing: Mapping[str, Standing]
    counts: Mapping[str, int]
    for_adapter: int


class Judging:
    """Judges the candidates of one axle."""

    def __init__(self, workshop: Workshop, prices: Prices) -> None:
        self._workshop, self._prices = workshop, prices
        self._bench = FitBench(workshop)
        self._texts = {s.id: s.text for s in workshop.rulebook.steps.buy}

    def all(
        self,
        links: Links,
        platform: str,
        axle: str,
        *,
        adapters: bool = False,
        progress: Progress | None = None,
    ) -> Standings:
        """All of an axle. Raises `BadInput` where stock is not known, `EngineError`."""
        stock = _stock(self._workshop, platform, axle)
        found = candidates(links, platform, axle, adapters=adapters)
        items = with_stock(list(unfolded(found, stock.parts)), stock)
        counts: Counter[str] = Counter()
        judged: list[Members[Judged]] = []
        for n, item in enumerate(items):
            if progress is not None:
                progress(n, len(items))
            is_stock = item.parts == stock.parts
            if not is_stock and self._bench.sieved(item):
                counts[DOES_NOT_FIT] += 1
                continue
            own = self._judged(item)
            verdict = own.sheet.verdict_of("brake")
            counts[verdict] += 1
            if verdict != DOES_NOT_FIT or is_stock:
                judged.append(self._members(item, own, stock.parts))
        standings = [self._standing(c, j) for c, j in told_apart(judged, stock.parts, _outcome)]
        if progress is not None:
            progress(len(items), len(items))
        return _sorted_out(standings, stock, dict(counts), found.for_adapter)

    def _members(self, item: Candidate, own: Judged, stock: Sequence[str]) -> Members[Judged]:
        base = self._workshop.base
        return members_of(
            item, base, stock, lambda c: own if c.parts == item.parts else self._judged(c)
        )

    def _judged(self, candidate: Candidate) -> Judged:
        workshop = self._workshop
        return judge_setup(assemble(workshop.base, candidate.wanted()), workshop.rulebook)

    def _standing(self, candidate: Candidate, judged: Judged) -> Standing:
        """One candidate with its sheet and its goods."""
        base, setup = self._workshop.base, judged.deduction.bench.setup
        key = " ".join(candidate.parts)
        goods = goods_of(base, self._prices, judged, candidate, key, self._texts)
        return Standing(key, candidate, setup, judged.sheet, goods)

    def wheels(self, standing: Standing) -> tuple[WheelLook, ...]:
        """Each wheel that the factory offers over a setup."""
        return self._bench.looks(standing.candidate)


def _outcome(judged: Judged) -> tuple[object, ...]:
    """What a stop tells of its verdicts: parts that differ in it are no longer one."""
    sheet = judged.sheet
    told = tuple((s.verdict, s.limiting) for s in sheet.scopes if s.name in ("brake", "car"))
    return told, car_doubts(sheet)


def car_doubts(sheet: Sheet) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The checks of the car that cannot tell, and the facts to measure for them."""
    rows = [r for r in sheet.rows if r.scope == "car" and r.state == CANNOT_TELL]
    facts = dict.fromkeys(f for r in rows for f in r.missing or [s.fact for s in r.settles])
    return tuple(r.check for r in rows), tuple(facts)


def _sorted_out(
    standings: Sequence[Standing], stock: Candidate, counts: Mapping[str, int], for_adapter: int
) -> Standings:
    """Setups by what may be done with them; a brake that does not fit is stock's own at most."""
    at_first: Standing | None = None
    drivable: dict[str, Standing] = {}
    doubtful: dict[str, Standing] = {}
    failing: dict[str, Standing] = {}
    for standing in standings:
        if standing.candidate.parts == stock.parts:
            at_first = standing
        verdict = standing.sheet.verdict_of("brake")
        if verdict == CANNOT_TELL:
            doubtful[standing.key] = standing
        elif verdict in DRIVABLE:
            fails = standing.sheet.verdict_of("car") == DOES_NOT_FIT
            (failing if fails else drivable)[standing.key] = standing
    if at_first is None:
        raise LookupError("stock was not judged")
    return Standings(at_first, drivable, doubtful, failing, counts, for_adapter)


def _stock(workshop: Workshop, platform: str, axle: str) -> Candidate:
    setup = assemble(workshop.base, Wanted(platform, axle))
    carrier = setup.carrier.id if setup.carrier else None
    return Candidate(
        setup.platform.id, axle, setup.caliper.id, carrier, setup.disc.id, setup.pad.id
    )


def with_stock(items: Sequence[Candidate], stock: Candidate) -> list[Candidate]:
    """The candidates, the stock setup among them even if a pair check turns it down."""
    if any(item.parts == stock.parts for item in items):
        return list(items)
    return [stock, *items]


def unfolded(found: Candidates, stock: Sequence[str]) -> Iterator[Candidate]:
    """Candidates folded so that a part always stands for the same others.

    The generator folds what no check tells apart in one candidate. Two parts that are alike there
    may be told apart elsewhere, where a floating caliper was designed for one of them; here parts
    are one only if they are in every candidate, so that a change of parts is a change wherever it
    is made.
    """
    groups = {kind: _groups(found.items, kind, stock) for kind in KINDS}
    for item in found.items:
        choices = [
            dict.fromkeys(groups[kind][i] for i in ids_of(item, kind)) or {"": None}
            for kind in KINDS
        ]
        for caliper, carrier, disc, pad in product(*choices):
            chosen = (caliper, carrier, disc, pad)
            rest = {
                kind: tuple(i for i in ids_of(item, kind) if groups[kind][i] == own and i != own)
                for kind, own in zip(KINDS, chosen, strict=True)
            }
            yield replace(
                item,
                caliper=caliper,
                carrier=carrier or None,
                disc=disc,
                pad=pad,
                alike=tuple((kind, ids) for kind, ids in rest.items() if ids),
            )


def _groups(items: Sequence[Candidate], kind: str, stock: Sequence[str]) -> dict[str, str]:
    """The one part that each part of a kind stands under: stock, or the first by name."""
    where: dict[str, list[int]] = {}
    for n, item in enumerate(items):
        for id_ in ids_of(item, kind):
            where.setdefault(id_, []).append(n)
    together: dict[tuple[int, ...], list[str]] = {}
    for id_ in sorted(where, key=lambda i: (i not in stock, i)):
        together.setdefault(tuple(where[id_]), []).append(id_)
    return {id_: ids[0] for ids in together.values() for id_ in ids}
