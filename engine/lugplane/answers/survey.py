"""The setups of an axle judged once, and the ways up from stock asked of them again and again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from lugplane.answers.fit import WheelLook
from lugplane.answers.fits import Refused, refused
from lugplane.answers.goods import Good
from lugplane.answers.network import nearest, network, steps_from
from lugplane.answers.paths import (
    IN_DOUBT,
    NOT_REACHED,
    OWNED_KINDS,
    REACHED,
    VERSION,
    Apart,
    FailsAsCar,
    Found,
    Mapped,
    Paths,
    Question,
    Stop,
    Target,
)
from lugplane.answers.prices import Prices
from lugplane.answers.sheet import Part, Sheet
from lugplane.answers.standings import DRIVABLE, Judging, Progress, Standings, car_doubts
from lugplane.answers.steps import Standing, Step, Stepper, kinds_changed, spoiled
from lugplane.answers.told_apart import ids_of
from lugplane.answers.ways import AIMS, GOODS, PRICE, STEPS, Asked, Way, best_way
from lugplane.errors import BadInput
from lugplane.facts.records import Platform
from lugplane.links.candidates import KINDS, named
from lugplane.links.links import Links
from lugplane.links.stored import keep_links, open_links
from lugplane.quantity.judge import CANNOT_TELL
from lugplane.setup.parts import family
from lugplane.workshop import Workshop

if TYPE_CHECKING:
    from networkx import DiGraph


def paths(
    workshop: Workshop,
    question: Question,
    *,
    links: Links | None = None,
    progress: Progress | None = None,
) -> Mapped:
    """Judge an axle's setups and find the ways up from stock.

    Where single changes lead nowhere at all, several kinds are changed at one go. Raises `BadInput`
    for unknown names or where the stock parts are not known, `EngineError`, and `TooManyWays` where
    a way through many parts cannot be searched for.
    """
    links = links or open_links(workshop)
    _Names(links, question)  # a slip is told before anything is judged
    survey = Survey(
        workshop,
        question.platform,
        question.axle,
        adapters=question.adapters,
        links=links,
        progress=progress,
    )
    mapped = survey.ask(question)
    if question.at_once or not mapped.paths.nowhere:
        return mapped
    mapped = survey.ask(replace(question, at_once=True))
    return replace(mapped, paths=replace(mapped.paths, widened=True))


class Survey:
    """All setups of one axle, judged."""

    def __init__(
        self,
        workshop: Workshop,
        platform: str,
        axle: str,
        *,
        adapters: bool = False,
        links: Links | None = None,
        progress: Progress | None = None,
    ) -> None:
        """Raises `BadInput` where the stock parts are not known, `EngineError`."""
        self.links = links or open_links(workshop)
        self.platform = workshop.base.get(Platform, platform).id
        self.axle, self.adapters = axle, adapters
        self.prices = Prices(workshop.base)
        self._judging = Judging(workshop, self.prices)
        self.standings = self._judging.all(
            self.links, self.platform, axle, adapters=adapters, progress=progress
        )
        keep_links(self.links)
        self.stepper = Stepper(workshop.rulebook, self.standings.stock)
        self._wheels: dict[str, tuple[WheelLook, ...]] = {}

    def ask(self, question: Question) -> Mapped:
        """The answer to a question about this axle. Raises `BadInput`, `TooManyWays`."""
        names = _Names(self.links, question)
        asked = self.links.base.get(Platform, question.platform).id, question.axle
        if (*asked, question.adapters) != (self.platform, self.axle, self.adapters):
            raise BadInput(f"the {self.axle} axle of {self.platform} was judged, not this one")
        return _Chart(self, question, names).answer()

    def wheels(self, standing: Standing) -> tuple[WheelLook, ...]:
        """Each wheel that the factory offers over a setup."""
        if standing.key not in self._wheels:
            self._wheels[standing.key] = self._judging.wheels(standing)
        return self._wheels[standing.key]


class _Names:
    """The parts that a question names, by their ids. Raises `BadInput`, with close matches."""

    def __init__(self, links: Links, question: Question) -> None:
        if question.aim not in ("", *AIMS):
            raise BadInput(f"there is no aim '{question.aim}': {', '.join(AIMS)}")
        links.base.get(Platform, question.platform)
        self.to = [_ids(links, word) for word in question.to]
        self.through = [_ids(links, word) for word in question.through]
        self.owned = {word: _owned(links, word) for word in question.reuse}


def _ids(links: Links, word: str) -> tuple[str, ...]:
    """The parts that a word stands for. Raises `BadInput`, with close matches."""
    return tuple(id_ for ids in named(links, [word]).values() for id_ in ids)


def _owned(links: Links, word: str) -> tuple[str, ...]:
    base = links.base
    ids = tuple(base.members(word)) or (base.find(word, OWNED_KINDS),)
    for id_ in ids:
        kind = base.kind_of(id_) or ""
        if kind not in OWNED_KINDS:
            raise BadInput(f"'{word}' is a {kind}: name {', '.join(OWNED_KINDS)}")
    return ids


class _Net:
    """The ways over judged setups (`answers.ways.Net`)."""

    def __init__(self, graph: DiGraph, standings: Mapping[str, Standing]) -> None:
        self._standings = standings
        self._goods = {key: standings[key].keys for key in graph}
        self._onward = {key: tuple(sorted(graph.successors(key))) for key in graph}
        self._spoils: dict[tuple[str, str], frozenset[str]] = {}

    def onward(self, stop: str) -> Sequence[str]:
        return self._onward[stop]

    def goods(self, stop: str) -> frozenset[str]:
        return self._goods[stop]

    def spoils(self, here: str, there: str) -> frozenset[str]:
        if (here, there) not in self._spoils:
            self._spoils[here, there] = spoiled(self._standings[here], self._standings[there])
        return self._spoils[here, there]


class _Chart:
    """The graph of one question and what is read off it."""

    def __init__(self, survey: Survey, question: Question, names: _Names) -> None:
        standings: Standings = survey.standings
        self.survey, self.question, self.names = survey, question, names
        self.standings, self.links = standings, survey.links
        self.start = standings.stock.key
        self.every = {**standings.doubtful, **standings.drivable}
        self.known = self.start in standings.drivable
        self.graph = network(
            self.start,
            sorted(standings.drivable) if self.known else [],
            self._change,
            at_once=question.at_once,
        )
        self.far = steps_from(self.graph, self.start)
        self.failing = self._failing()
        self.net = _Net(self.graph, {**self.every, self.start: standings.stock})

    def _change(self, here: str, there: str) -> tuple[str, ...]:
        return kinds_changed(self.every[here], self.every[there])

    def answer(self) -> Mapped:
        to, through, owned = self.names.to, self.names.through, self.names.owned
        prices = self.survey.prices
        q, standings = self.question, self.standings
        reached = sorted(self.far) if self.known else []
        stops = sorted(
            (self._stop(self.every[key], self.far[key]) for key in reached), key=lambda s: s.rank
        )
        rim = self._rim(reached)
        shown = sorted({there for _, there in rim}) if q.doubtful else []
        doubtful = sorted((self._stop(self.every[k], None) for k in shown), key=lambda s: s.rank)
        apart = self._apart(reached)
        goods = _merged(self.every[s.key] for s in (*stops, *doubtful, *(a.stop for a in apart)))
        at_hand = frozenset(g.key for g in goods for ids in owned.values() if set(g.ids) & {*ids})
        cents = {g.key: round(g.price.at * 100) for g in goods if g.price is not None}
        passed = tuple(frozenset(s.key for s in stops if s.has(ids)) for ids in through)
        aim = q.aim or STEPS
        ways = [
            way
            for stop in stops
            if (way := self._best(frozenset({stop.key}), aim, passed, at_hand, cents))
        ]
        target = None
        if to or through:
            target = self._target(to, through, stops, apart, at_hand, cents)
        used = {i for g in goods for i in g.ids}
        answer = Paths(
            VERSION,
            standings.stock.setup.platform.id,
            standings.stock.setup.platform.title,
            q.axle,
            q.adapters,
            q.at_once,
            self._stop(standings.stock, 0 if self.known else None),
            tuple(stops),
            tuple(self._step(a, b) for a, b in sorted(self.graph.edges) if self.known),
            goods,
            aim,
            tuple(q.through),
            tuple(ways),
            target,
            tuple(doubtful),
            tuple(self._step(a, b) for a, b in rim if q.doubtful),
            len({there for _, there in rim}),
            apart,
            standings.counts,
            self.failing,
            standings.for_adapter,
            prices.currency,
            prices.others,
            tuple(q.reuse),
            tuple(word for word, ids in owned.items() if not used & {*ids}),
        )
        sheets = {key: self.every[key].sheet for key in (*reached, *shown)}
        sheets |= {a.stop.key: self.every[a.stop.key].sheet for a in apart}
        return Mapped(answer, {**sheets, self.start: standings.stock.sheet})

    # --- stops and steps -----------------------------------------------------------------------

    def _stop(self, standing: Standing, steps: int | None) -> Stop:
        sheet, stock = standing.sheet, self.standings.stock.candidate.parts
        brake = [r for r in sheet.rows if r.scope == "brake"]
        doubts = [r for r in brake if r.state == CANNOT_TELL]
        scope = next(s for s in sheet.scopes if s.name == "brake")
        parts = _parts(sheet, stock)
        states = [r.state for r in brake]
        car = next(s for s in sheet.scopes if s.name == "car")
        return Stop(
            standing.key,
            parts,
            standing.candidate.adapter,
            scope.verdict,
            scope.limiting,
            next((r.title for r in brake if r.check == scope.limiting), ""),
            car.verdict,
            states.count("work"),
            states.count("care"),
            sum(not p.stock for p in parts),
            tuple(g.key for g in standing.goods),
            self.survey.wheels(standing) if scope.verdict in DRIVABLE else (),
            tuple(r.check for r in doubts),
            tuple(dict.fromkeys(s.fact for r in doubts for s in r.settles)),
            dict(standing.candidate.alike),
            steps,
            car.limiting,
            _title(sheet, car.limiting),
            *car_doubts(sheet),
            self._any_compound(standing),
        )

    def _failing(self) -> tuple[FailsAsCar, ...]:
        found: list[FailsAsCar] = []
        for key, standing in sorted(self.standings.failing.items()):
            sheet = standing.sheet
            check = next(s.limiting for s in sheet.scopes if s.name == "car")
            found.append(
                FailsAsCar(
                    key,
                    _parts(sheet, self.standings.stock.candidate.parts),
                    standing.candidate.adapter,
                    sheet.verdict_of("brake"),
                    check,
                    _title(sheet, check),
                    dict(standing.candidate.alike),
                    self._any_compound(standing),
                )
            )
        return tuple(found)

    def _any_compound(self, standing: Standing) -> bool:
        """Whether a setup stands for every compound of its pad's shape."""
        pads = set(ids_of(standing.candidate, "pad"))
        return pads >= set(self.links.base.members(family(standing.candidate.pad)))

    def _step(self, here: str, there: str) -> Step:
        return self.survey.stepper.step(self.every[here], self.every[there])

    def _rim(self, reached: Sequence[str]) -> list[tuple[str, str]]:
        """The single changes from reached setups to such as cannot be told."""
        return [
            (here, there)
            for here in reached
            for there in sorted(self.standings.doubtful)
            if len(self._change(here, there)) == 1
        ]

    def _apart(self, reached: Sequence[str]) -> tuple[Apart, ...]:
        if not reached:
            return ()
        found: list[Apart] = []
        for key in self.standings.drivable:
            if key not in self.far:
                here, kinds = nearest(reached, key, self._change, self.far)
                found.append(Apart(self._stop(self.every[key], None), here, kinds))
        return tuple(sorted(found, key=lambda a: a.stop.rank))

    # --- ways ----------------------------------------------------------------------------------

    def _best(
        self,
        goals: frozenset[str],
        aim: str,
        passed: tuple[frozenset[str], ...],
        owned: frozenset[str],
        cents: Mapping[str, int],
    ) -> Way | None:
        return best_way(self.net, self.start, Asked(goals, aim, passed, owned, cents))

    def _target(
        self,
        to: Sequence[tuple[str, ...]],
        through: Sequence[tuple[str, ...]],
        stops: Sequence[Stop],
        apart: Sequence[Apart],
        owned: frozenset[str],
        cents: Mapping[str, int],
    ) -> Target:
        q = self.question
        goals = frozenset(s.key for s in stops if all(s.has(ids) for ids in to))
        passed = tuple(frozenset(s.key for s in stops if s.has(ids)) for ids in through)
        aims = (q.aim,) if q.aim else AIMS
        ways = {aim: self._best(goals, aim, passed, owned, cents) for aim in aims} if goals else {}
        by_stops: dict[tuple[str, ...], list[str]] = {}
        for aim, way in ways.items():
            if way is not None:
                by_stops.setdefault(way.stops, []).append(aim)
        found = tuple(
            Found(tuple(of_it), way)
            for of_it in by_stops.values()
            if (way := ways[of_it[0]]) is not None
        )
        state = REACHED
        if not any(w is not None for w in ways.values()) and (
            q.aim != PRICE or self._best(goals, GOODS, passed, owned, cents) is None
        ):
            state = IN_DOUBT if self._by_doubt(to, through) else NOT_REACHED
        unpriced: tuple[str, ...] = ()
        if state == REACHED and PRICE in aims and ways.get(PRICE) is None:
            fewest = self._best(goals, GOODS, passed, owned, cents)
            unpriced = tuple(g for g in (fewest.buys if fewest else ()) if g not in cents)
        wanted = (*to, *through)
        turned_down: tuple[Refused, ...] = ()
        if state != REACHED:
            turned_down = refused(self.links, q.platform, q.axle, (*q.to, *q.through), q.adapters)
        return Target(
            tuple(q.to),
            tuple(q.through),
            state,
            found if to else (),
            tuple(dict.fromkeys(unpriced)),
            tuple(a.stop.key for a in apart if all(a.stop.has(ids) for ids in wanted)),
            tuple(f.key for f in self.failing if all(f.has(ids) for ids in wanted)),
            turned_down,
        )

    def _by_doubt(self, to: Sequence[tuple[str, ...]], through: Sequence[tuple[str, ...]]) -> bool:
        """Whether the parts could be had if setups that cannot be told were passed through."""
        if not self.known and self.standings.stock.sheet.verdict_of("brake") != CANNOT_TELL:
            return False
        everything = network(
            self.start, sorted(self.every), self._change, at_once=self.question.at_once
        )
        has = {key: frozenset(_all_ids(self.every[key])) for key in everything}
        goals = frozenset(k for k, own in has.items() if all(own & {*ids} for ids in to))
        passed = tuple(frozenset(k for k, own in has.items() if own & {*ids}) for ids in through)
        return (
            bool(goals)
            and best_way(_Bare(everything), self.start, Asked(goals, STEPS, passed)) is not None
        )


def _parts(sheet: Sheet, stock: Sequence[str]) -> tuple[Part, ...]:
    return tuple(replace(p, stock=p.id in stock) for p in sheet.parts if p.kind in KINDS)


def _title(sheet: Sheet, check: str) -> str:
    return sheet.row(check).title if check else ""


class _Bare:
    """A graph as a net where nothing is needed."""

    def __init__(self, graph: DiGraph) -> None:
        self._graph = graph

    def onward(self, stop: str) -> Sequence[str]:
        return tuple(self._graph.successors(stop))

    def goods(self, stop: str) -> frozenset[str]:
        return frozenset()

    def spoils(self, here: str, there: str) -> frozenset[str]:
        return frozenset()


def _all_ids(standing: Standing) -> Iterator[str]:
    yield from standing.candidate.parts
    for _, ids in standing.candidate.alike:
        yield from ids


def _merged(standings: Iterable[Standing]) -> tuple[Good, ...]:
    """Every good once, under the first setup that shows it."""
    found: dict[str, Good] = {}
    for standing in standings:
        for good in standing.goods:
            found.setdefault(good.key, good)
    return tuple(found[key] for key in sorted(found))
