"""Which cars take a part: on each axle the best candidate that it is part of, as judged.

The reverse of `fits`: an axle's row is the first row of `fits` with that part. A wheel is looked at
over what the factory fitted.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from lugplane.answers.donors import carriers_of
from lugplane.answers.fit import VERDICTS, Fit, FitBench, Memo
from lugplane.answers.fits import Progress, judged
from lugplane.answers.fits_list import VERSION
from lugplane.answers.rows import BOLTS_ON, DOES_NOT_FIT, FITS_WITH_WORK
from lugplane.answers.untold import Telling, counted
from lugplane.errors import BadInput
from lugplane.facts.base import Base
from lugplane.facts.records import Axle, Caliper, Carrier, Knuckle, Pad, Platform, Record
from lugplane.links.candidates import KINDS, Candidate, candidates
from lugplane.links.links import Links
from lugplane.links.relation import (
    CARRIED,
    EARS,
    HUB,
    PAD_IN_CALIPER,
    PAD_IN_CARRIER,
    WHEEL,
    Relation,
)
from lugplane.links.stored import keep_links, open_links
from lugplane.quantity.judge import CANNOT_TELL
from lugplane.workshop import Workshop

if TYPE_CHECKING:
    from lugplane.answers.kept import Kept

AXLES = ("front", "rear")
TAKEN = (*KINDS, "wheel")
"""The kinds of parts that can be asked for."""
_MOST_NAMED = 10
"""So many axles are named at the most that have a knuckle."""


@dataclass(frozen=True, slots=True)
class Take:
    """An axle and the best that can be made of the part on it.

    `verdict` is the brake's, of a wheel the wheel's. `counts` tells how many candidates came to
    which verdict. `fit` is not there where none fits and the whole was not asked for; `failing`
    then names a check that fails. `untold` counts candidates that were not judged, since a pair
    check of the seat or the disc cannot tell.
    """

    platform: str
    platform_title: str
    axle: str
    verdict: str
    fit: Fit | None
    failing: str
    counts: Mapping[str, int] = field(default_factory=dict)
    untold: int = 0


@dataclass(frozen=True, slots=True)
class Takes:
    """The answer, best first; `title` is empty where a family was asked for.

    `turned_down` counts the axles on which the part comes into no candidate, by the pair check that
    it fails there; under an empty name those where other parts are wanting. `skipped` names the
    axles of which nothing can be asked, since their knuckle is not known.
    """

    version: int
    part: str
    kind: str
    title: str
    rows: tuple[Take, ...]
    turned_down: Mapping[str, int]
    skipped: tuple[str, ...] = ()
    titles: Mapping[str, str] = field(default_factory=dict)


def takes(
    workshop: Workshop,
    part: str,
    *,
    whole: bool = False,
    links: Links | None = None,
    memo: Memo | None = None,
    kept: Kept | None = None,
    progress: Progress | None = None,
) -> Takes:
    """Every axle of every platform that takes a part, or one of a family's members.

    `whole`: where none fits, judge all the same, to tell the best of them. `links` and `memo` hold
    what earlier questions found out. Raises `BadInput` for an unknown part or one of a kind that no
    axle takes, `EngineError`. `kept` holds what earlier runs found out; it has its own memo.
    """
    links = links or open_links(workshop)
    memo = kept.memo if kept is not None else memo if memo is not None else Memo()
    asked = _Asked(workshop, links, part, whole, memo)
    rows: list[Take] = []
    turned_down: Counter[str] = Counter()
    skipped: list[str] = []
    axles = [(p, a) for p in workshop.base.all(Platform) for a in AXLES]
    for n, (platform, axle) in enumerate(axles):
        if progress is not None:
            progress(n, len(axles))
        fitted = _axle(platform, axle)
        if fitted.knuckle.text is None:
            skipped.append(f"{platform.id} {axle}")
            continue
        if kept is not None:
            kept.load(platform.id, axle)
        take = asked.take(platform, axle)
        if take is None:
            turned_down[asked.failing(workshop.base.get(Knuckle, fitted.knuckle.word))] += 1
        else:
            rows.append(take)
    if kept is not None:
        kept.keep()
    keep_links(links)
    if progress is not None:
        progress(len(axles), len(axles))
    rows.sort(key=_rank)
    titles = {c.id: c.title for c in workshop.rulebook.checks}
    counted = {*turned_down, *(r.failing for r in rows)} - {""}
    return Takes(
        VERSION,
        part,
        asked.kind,
        asked.title,
        tuple(rows),
        dict(turned_down.most_common()),
        tuple(skipped),
        {check: titles[check] for check in sorted(counted)},
    )


def _rank(take: Take) -> tuple[object, ...]:
    """Best first by the same order as on one axle, without the parts' names."""
    rank = take.fit.rank[1 : -len(KINDS)] if take.fit is not None else ()
    return VERDICTS.index(take.verdict), rank, take.platform, take.axle


def _axle(platform: Platform, axle: str) -> Axle:
    return platform.rear if axle == "rear" else platform.front


class _Asked:
    """One part, or the members of a family, asked of one axle after another."""

    def __init__(
        self, workshop: Workshop, links: Links, part: str, whole: bool, memo: Memo
    ) -> None:
        self.base, self.links = workshop.base, links
        self.ids = tuple(self.base.members(part)) or (self.base.find(part, TAKEN),)
        self.kind = self.base.kind_of(self.ids[0]) or ""
        if self.kind not in TAKEN:
            raise BadInput(f"'{part}' is a {self.kind}: {_instead(self.base, self.ids[0])}")
        self.records = tuple(links.record(self.kind, i) for i in self.ids)
        self.title = self.records[0].title if len(self.ids) == 1 else ""
        self.whole = whole
        self._bench = FitBench(workshop, memo=memo)
        self._wheels = {i: FitBench(workshop, (i,), memo) for i in self.ids if self.kind == "wheel"}

    def take(self, platform: Platform, axle: str) -> Take | None:
        """The best on an axle; None: the part comes into no candidate there."""
        if self.kind == "wheel":
            return self._take_wheel(platform, axle)
        found = candidates(self.links, platform.id, axle, with_=self.ids).items
        if not found:
            return None
        better = (BOLTS_ON, FITS_WITH_WORK, CANNOT_TELL)
        asked = VERDICTS if self.whole else better
        told, groups = Telling(self.links, platform.id, axle).split(found)
        rows, counts, unfit = judged(self._bench, told, asked)
        tried: dict[tuple[str, ...], int] = {}
        for group in groups:
            # Where nothing may be told, one that does not plainly fail is shown.
            for n, candidate in enumerate(group.items, 1):
                if any(r.verdict in better for r in rows):
                    break
                more, some, fails = judged(self._bench, [candidate], asked)
                rows, tried[group.parts] = tuple(sorted([*rows, *more], key=lambda r: r.rank)), n
                counts.update(some)
                unfit.update(fails)
        best = rows[0] if rows else None
        verdict = best.verdict if best is not None else DOES_NOT_FIT
        failing = "" if verdict != DOES_NOT_FIT else next(iter(dict(unfit.most_common())), "")
        if best is not None and verdict == DOES_NOT_FIT:
            failing = best.limiting
        each = {v: counts[v] for v in VERDICTS}
        left = sum(u.count for u in counted(groups, tried))
        return Take(platform.id, platform.title, axle, verdict, best, failing, each, left)

    def _take_wheel(self, platform: Platform, axle: str) -> Take | None:
        """The wheel over what the factory fitted; *cannot tell* where that is not known."""
        fitted = _axle(platform, axle)
        knuckle = self.base.get(Knuckle, fitted.knuckle.word)
        ids = [r.id for r in self.records if not self.links.failing(WHEEL, knuckle, r)]
        if not ids:
            return None
        candidate = self._stock(platform, axle)
        if candidate is None:
            return Take(platform.id, platform.title, axle, CANNOT_TELL, None, "")
        fit = self._bench.fit(candidate)
        looks = [look for i in ids for look in self._wheels[i].looks(candidate)]
        best = min(looks, key=lambda look: (VERDICTS.index(look.verdict), look.id))
        failing = best.limiting if best.verdict == DOES_NOT_FIT else ""
        counts = Counter(look.verdict for look in looks)
        fit = replace(fit, wheels=(best,))
        told = {v: counts[v] for v in VERDICTS}
        return Take(platform.id, platform.title, axle, best.verdict, fit, failing, told)

    def _stock(self, platform: Platform, axle: str) -> Candidate | None:
        stock = _axle(platform, axle).stock
        if not (stock.caliper.text and stock.disc.text and stock.pad.text):
            return None
        caliper = self.base.get(Caliper, stock.caliper.text)
        if caliper.body.text == "floating" and stock.carrier.text is None:
            return None
        compounds = sorted(self.base.members(stock.pad.text))
        return Candidate(
            platform.id,
            axle,
            caliper.id,
            stock.carrier.text if caliper.body.text != "fixed" else None,
            stock.disc.text,
            compounds[0] if compounds else stock.pad.text,
        )

    # --- why not -------------------------------------------------------------------------------

    def failing(self, knuckle: Knuckle) -> str:
        """The pair check that keeps the part from an axle; empty: other parts are wanting."""
        checks = [check for r in self.records for check in self._failing(knuckle, r)]
        return checks[0] if checks and all(checks) else ""

    def _failing(self, knuckle: Knuckle, part: Record) -> Iterator[str]:
        relation = {"disc": HUB, "wheel": WHEEL, "carrier": EARS}.get(self.kind)
        if isinstance(part, Caliper) and part.body.text != "floating":
            relation = EARS
        if relation is not None:
            yield self.links.failing(relation, knuckle, part)
            return
        hosts = list(_hosts(self.links, part))
        if not hosts:
            yield CARRIED.checks[0] if self.kind == "caliper" else PAD_IN_CALIPER.checks[0]
        for host in hosts:
            yield self.links.failing(EARS, knuckle, host)


def _instead(base: Base, id_: str) -> str:
    """What answers where a part was asked for that no axle takes: of a knuckle, what it takes."""
    kind = base.kind_of(id_)
    if kind == "platform":
        return f"`lugplane fits {id_}` lists what goes on it"
    if kind != "knuckle":
        return f"name {', '.join(TAKEN)}"
    those = [f"{d.platform} {d.axle}" for d in carriers_of(base, id_)]
    if not those:
        return f"no platform has it, so nothing is listed for it; name {', '.join(TAKEN)}"
    more = f" and {len(those) - _MOST_NAMED} more" if len(those) > _MOST_NAMED else ""
    return (
        "`lugplane fits PLATFORM front|rear` lists what goes on it, and off which cars; "
        f"it stands in {', '.join(those[:_MOST_NAMED])}{more}"
    )


def _hosts(links: Links, part: Record) -> Iterator[Record]:
    """What holds a part that does not meet the knuckle itself: a floating caliper, a pad."""
    relations: Sequence[tuple[Relation, type[Caliper | Carrier]]]
    if isinstance(part, Pad):
        relations = ((PAD_IN_CALIPER, Caliper), (PAD_IN_CARRIER, Carrier))
    else:
        relations = ((CARRIED, Carrier),)
    for relation, cls in relations:
        for host in links.base.all(cls):
            alone = isinstance(host, Caliper) and host.body.text == "floating"
            if not alone and not links.failing(relation, host, part):
                yield host
