"""What fits an axle: every candidate judged, best first, and what was turned down by which check.

The verdict is that of the brake. The wheel is a column beside it: of the wheel that was named, or
of each that the factory offers.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from lugplane.answers.donors import donors
from lugplane.answers.fit import FitBench, Memo, ask_of
from lugplane.answers.fit_row import VERDICTS, Fit
from lugplane.answers.fits_list import DONATED, VERSION
from lugplane.answers.fits_list import Fits as Fits
from lugplane.answers.fits_list import Refused as Refused
from lugplane.answers.found import BOLTS_ON, DOES_NOT_FIT, FITS_WITH_WORK
from lugplane.answers.rims import rim_asked, wheels_asked
from lugplane.answers.untold import Group, Telling, counted
from lugplane.errors import BadInput
from lugplane.facts.records import Axle, Caliper, Knuckle, Platform
from lugplane.links.candidates import Candidate, candidates, named
from lugplane.links.links import Links
from lugplane.links.relation import EARS, HUB
from lugplane.links.stored import keep_links, open_links
from lugplane.quantity.judge import CANNOT_TELL, FAILS
from lugplane.workshop import Workshop

if TYPE_CHECKING:
    from lugplane.answers.kept import Kept

Progress = Callable[[int, int], None]
"""Told how many candidates of how many are judged."""


def fits(
    workshop: Workshop,
    platform: str,
    axle: str,
    *,
    wheel: str | None = None,
    with_: Sequence[str] = (),
    verdicts: Collection[str] = (),
    adapters: bool = False,
    fold: bool = False,
    links: Links | None = None,
    memo: Memo | None = None,
    kept: Kept | None = None,
    progress: Progress | None = None,
) -> Fits:
    """Judge the candidates of an axle.

    `with_` narrows them to named parts (a family stands for its members; of several parts of one
    kind any will do), `verdicts` chooses the rows that are given (none: all). `fold`: of many
    candidates with a seat or disc of which nothing can be told, judge one. `links` and `memo` hold
    what earlier questions found out, `kept` what earlier runs did; it has its own memo. `wheel` is
    the id of one, or a rim diameter in inches: every wheel of it that goes onto the hub. Raises
    `BadInput`, `EngineError`.
    """
    links = links or open_links(workshop)
    asked = asked_verdicts(verdicts)
    car = workshop.base.get(Platform, platform)
    found = candidates(links, car.id, axle, with_=with_, adapters=adapters)
    fitted: Axle = car.rear if axle == "rear" else car.front
    knuckle = workshop.base.get(Knuckle, fitted.knuckle.word)
    wheels = None if wheel is None else wheels_asked(links, knuckle, wheel)
    bench = FitBench(workshop, wheels, kept.memo if kept is not None else memo)
    if kept is not None:
        kept.load(car.id, axle)
    items = found.items
    groups: list[Group] = []
    if fold and items:
        told, groups = Telling(links, car.id, axle).split(items)
        items = tuple(told)
    rows, counts, unfit = judged(bench, items, asked, progress)
    tried: dict[tuple[str, ...], int] = {}
    for group in groups:
        for n, candidate in enumerate(group.items, 1):
            more, some, fails = judged(bench, [candidate], asked)
            tried[group.parts] = n
            rows = tuple(sorted([*rows, *more], key=lambda r: r.rank))
            counts.update(some)
            unfit.update(fails)
            if some[CANNOT_TELL]:
                break
    untold = counted(groups, tried)
    if kept is not None:
        kept.keep()
    keep_links(links)
    titles = {c.id: c.title for c in workshop.rulebook.checks}
    checks = {*unfit, *(t.check for t in found.turned_down), *(u.check for u in untold)}
    return Fits(
        VERSION,
        car.id,
        car.title,
        axle,
        bench.wheels(car.id, axle),
        tuple(with_),
        asked,
        adapters,
        rows,
        {v: counts[v] for v in VERDICTS},
        dict(unfit.most_common()),
        found.turned_down,
        found.for_adapter,
        refused(links, car.id, axle, with_, adapters),
        untold,
        {check: titles[check] for check in sorted(checks)},
        None if wheel is None or wheels == (wheel,) else rim_asked(wheel),
        donors(workshop, _foreign(rows, fitted)),
    )


def _foreign(rows: Sequence[Fit], own: Axle) -> set[str]:
    """The calipers, carriers and discs of some rows that the axle has not from the factory."""
    found: set[str] = set()
    for row in rows:
        for kind in DONATED:
            found |= {row.part(kind), *row.alike.get(kind, ())}
    return found - {"", *(getattr(own.stock, kind).text for kind in DONATED)}


def judged(
    bench: FitBench,
    items: Sequence[Candidate],
    asked: Collection[str],
    progress: Progress | None = None,
) -> tuple[tuple[Fit, ...], Counter[str], Counter[str]]:
    """Candidates as rows of the verdicts asked for, best first, with their wheels.

    With them, how many there are of each verdict, and how many fail by which check.
    """
    counts: Counter[str] = Counter()
    unfit: Counter[str] = Counter()
    rows: list[Fit] = []
    for n, candidate in enumerate(items):
        if progress is not None:
            progress(n, len(items))
        check = bench.sieved(candidate) if DOES_NOT_FIT not in asked else ""
        if check:
            counts[DOES_NOT_FIT] += 1
            unfit[check] += 1
            continue
        row = bench.fit(candidate)
        counts[row.verdict] += 1
        if row.verdict == DOES_NOT_FIT:
            unfit[row.limiting] += 1
        if row.verdict in asked:
            # Over a brake that does not fit there is nothing for a wheel to clear.
            looks = () if row.verdict == DOES_NOT_FIT else bench.looks(candidate)
            cars = bench.cars(candidate) if row.verdict in (BOLTS_ON, FITS_WITH_WORK) else ()
            rows.append(replace(row, wheels=looks, cars=cars))
    if progress is not None:
        progress(len(items), len(items))
    return tuple(sorted(rows, key=lambda r: r.rank)), counts, unfit


def refused(
    links: Links, platform: str, axle: str, with_: Sequence[str], adapters: bool = False
) -> tuple[Refused, ...]:
    """The named parts that the axle's knuckle turns down, each with the check that it fails."""
    car = links.base.get(Platform, platform)
    knuckle = links.base.get(Knuckle, (car.rear if axle == "rear" else car.front).knuckle.word)
    found: list[Refused] = []
    for kind, ids in named(links, with_).items():
        relation = {"caliper": EARS, "carrier": EARS, "disc": HUB}.get(kind)
        if relation is None:
            continue
        for id_ in ids:
            part = links.record(kind, id_)
            if isinstance(part, Caliper) and part.body.text == "floating":
                continue  # its carrier is what meets the knuckle
            rows = links.judge(relation, adapters).rows(knuckle, part)
            row = next((r for r in rows if r.state == FAILS), None)
            if row is not None:
                found.append(Refused(part.id, knuckle.id, ask_of(row)))
    return tuple(found)


def asked_verdicts(words: Collection[str]) -> tuple[str, ...]:
    """Verdicts by their words, `bolts-on` as well as `bolts on`; none: all. Raises `BadInput`."""
    asked = {w.strip().lower().replace("-", " ") for w in words}
    unknown = sorted(asked.difference(VERDICTS))
    if unknown:
        said = ", ".join(v.replace(" ", "-") for v in VERDICTS)
        raise BadInput(f"there is no verdict '{unknown[0]}': {said}")
    return tuple(v for v in VERDICTS if not asked or v in asked)
