"""Judging the candidates of an axle, each as a row of the list of what fits."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property

from lugplane.answers.fit_row import VERDICTS as VERDICTS
from lugplane.answers.fit_row import Ask as Ask
from lugplane.answers.fit_row import CarLook as CarLook
from lugplane.answers.fit_row import Fit as Fit
from lugplane.answers.fit_row import WheelLook as WheelLook
from lugplane.answers.parts import Part
from lugplane.answers.rows import Row, limiting, verdict, walk
from lugplane.answers.sheet import bolt_lines, detail, parts_of, stack_lines
from lugplane.deduce.deduction import DOES_NOT_APPLY
from lugplane.facts.records import Axle, Caliper, Carrier, Disc, Knuckle, Pad, Platform, Wheel
from lugplane.links.candidates import KINDS, Candidate
from lugplane.links.fact import all_worth
from lugplane.links.fold import fold
from lugplane.links.partial import Some
from lugplane.links.sieve import Sieve
from lugplane.measure.bench import Bolts, Stack
from lugplane.quantity.judge import CANNOT_TELL, FAILS
from lugplane.setup.assemble import assemble
from lugplane.setup.parts import Setup, family
from lugplane.setup.shared import Shared
from lugplane.workshop import Workshop

_GAP, _TRIM = "wheel-gap", "trim"

Key = tuple[str, str, tuple[str, ...], bool]


@dataclass(slots=True)
class Memo:
    """What was judged before, of one base and rulebook; whoever asks more than once keeps one.

    Everything is found under the platform, the axle, the parts and whether an adapter was asked
    for; wheels under their id besides.
    """

    fits: dict[Key, Fit] = field(default_factory=dict)
    sieved: dict[Key, str] = field(default_factory=dict)
    looks: dict[tuple[Key, str], WheelLook] = field(default_factory=dict)
    cars: dict[Key, CarLook] = field(default_factory=dict)


def key_of(candidate: Candidate) -> Key:
    """What a candidate is judged by: its parts, not those that are like them."""
    return candidate.platform, candidate.axle, candidate.parts, candidate.adapter


class FitBench:
    """Judges candidates against one rulebook; what a question asks again and again is kept."""

    def __init__(
        self,
        workshop: Workshop,
        wheels: tuple[str, ...] | None = None,
        memo: Memo | None = None,
    ) -> None:
        """`wheels`: those to look at instead of the ones that the factory offers."""
        rulebook = workshop.rulebook
        self._base = workshop.base
        self._wheels = wheels
        self._memo = memo if memo is not None else Memo()
        self._rulebook = rulebook
        self._shared = Shared()
        self._close = frozenset(n for n, limit in rulebook.limits.limits.items() if limit.close)

    @cached_property
    def _sieve(self) -> Sieve:
        return Sieve(self._rulebook, self._shared)

    @cached_property
    def _brake_checks(self) -> Some:
        return self._checks("brake")

    @cached_property
    def _wheel_checks(self) -> Some:
        return self._checks("wheel")

    @cached_property
    def _car_checks(self) -> Some:
        return self._checks("car")

    def _checks(self, scope: str) -> Some:
        """The checks of a scope; put together only where something is judged."""
        checks = [c.id for c in self._rulebook.checks if c.scope == scope]
        return Some(self._rulebook, checks, self._shared)

    def sieved(self, candidate: Candidate) -> str:
        """A check that shows beforehand that a candidate does not fit; empty: it may."""
        kept, key = self._memo.sieved, key_of(candidate)
        if key not in kept:
            kept[key] = self._too_far(candidate) or self._sieve.failing(self._setup(candidate))
        return kept[key]

    def _too_far(self, candidate: Candidate) -> str:
        """What the spacing says, before the setup is put together: most fail by it."""
        base = self._base
        car = base.get(Platform, candidate.platform)
        fitted: Axle = car.rear if candidate.axle == "rear" else car.front
        caliper = base.get(Caliper, candidate.caliper)
        carrier = base.get(Carrier, candidate.carrier) if candidate.carrier else None
        return self._sieve.too_far(
            base.get(Knuckle, fitted.knuckle.word),
            caliper,
            carrier or caliper,
            base.get(Disc, candidate.disc),
            candidate.adapter,
        )

    def fit(self, candidate: Candidate) -> Fit:
        """Judge one candidate, without its wheels. Raises `EngineError`."""
        kept, key = self._memo.fits, key_of(candidate)
        if key not in kept:
            kept[key] = self._judged(candidate)
        return replace(kept[key], alike=dict(candidate.alike))

    def _judged(self, candidate: Candidate) -> Fit:
        setup = self._setup(candidate)
        deduced = self._brake_checks.deduce(setup)
        rows = tuple(r for r in walk(deduced, brief=True) if r.state != DOES_NOT_APPLY)
        states = [r.state for r in rows]
        check = limiting(rows, "brake", self._close)
        first = next(r for r in rows if r.check == check)
        stack, bolts = detail(deduced, "stack"), detail(deduced, "bolt")
        parts = _parts(setup)
        return Fit(
            verdict(rows, "brake"),
            first.check,
            first.title,
            first.margin,
            first.unit if first.margin is not None else "",
            parts,
            candidate.adapter,
            states.count("work"),
            states.count("care"),
            states.count(CANNOT_TELL),
            states.count(FAILS),
            max((r.value.hi for r in rows if r.check == _TRIM and r.value), default=0.0),
            sum(not p.stock for p in parts),
            stack_lines(stack) if isinstance(stack, Stack) else (),
            bolt_lines(setup, bolts) if isinstance(bolts, Bolts) else (),
            tuple(ask_of(r) for r in rows if r.state != "holds"),
        )

    def wheels(self, platform: str, axle: str) -> tuple[str, ...]:
        """The wheels that are looked at on an axle."""
        if self._wheels is not None:
            return self._wheels
        car = self._base.get(Platform, platform)
        fitted: Axle = car.rear if axle == "rear" else car.front
        stock = fitted.stock.wheel.text
        return tuple(dict.fromkeys([*([stock] if stock else []), *fitted.wheels.items]))

    def looks(self, candidate: Candidate) -> tuple[WheelLook, ...]:
        """Each wheel over one candidate."""
        ids = self.wheels(candidate.platform, candidate.axle)
        return tuple(self._look(candidate, id_) for id_ in ids)

    def _look(self, candidate: Candidate, id_: str) -> WheelLook:
        kept, key = self._memo.looks, (key_of(candidate), id_)
        if key not in kept:
            kept[key] = self._looked(candidate, id_)
        return kept[key]

    def _looked(self, candidate: Candidate, id_: str) -> WheelLook:
        rows = self._wheel_checks.rows(self._setup(candidate, id_), brief=True)
        check = limiting(rows, "wheel")
        titles = {r.check: r.title for r in rows}
        gap = next((r.value for r in rows if r.check == _GAP), None)
        wheel = self._base.get(Wheel, id_)
        return WheelLook(
            wheel.id, wheel.title, verdict(rows, "wheel"), check, titles.get(check, ""), gap
        )

    def cars(self, candidate: Candidate) -> tuple[CarLook, ...]:
        """The whole car with each compound that the candidate stands for, alike ones together.

        The other parts that it stands for are as the one named is. Raises `EngineError`.
        """
        found: dict[CarLook, list[str]] = {}
        for pads in self._compounds(candidate):
            look = self._car(replace(candidate, pad=pads[0]))
            found.setdefault(look, []).extend(pads)
        return tuple(replace(look, pads=tuple(sorted(pads))) for look, pads in found.items())

    def _compounds(self, candidate: Candidate) -> tuple[tuple[str, ...], ...]:
        """The pads that a candidate stands for, those of one compound together."""
        pads = (candidate.pad, *dict(candidate.alike).get("pad", ()))
        return fold(pads, lambda id_: all_worth(self._base.get(Pad, id_)))

    def _car(self, candidate: Candidate) -> CarLook:
        kept, key = self._memo.cars, key_of(candidate)
        if key not in kept:
            kept[key] = self._looked_at(candidate)
        return kept[key]

    def _looked_at(self, candidate: Candidate) -> CarLook:
        rows = self._car_checks.rows(self._setup(candidate), brief=True)
        check = limiting(rows, "car", self._close)
        title = next((r.title for r in rows if r.check == check), "")
        doubts = [r for r in rows if r.state == CANNOT_TELL]
        facts = dict.fromkeys(f for r in doubts for f in r.missing or [s.fact for s in r.settles])
        return CarLook((), verdict(rows, "car"), check, title, tuple(facts))

    def _setup(self, candidate: Candidate, *more: str) -> Setup:
        return assemble(self._base, candidate.wanted(*more))


def _parts(setup: Setup) -> tuple[Part, ...]:
    """Caliper, carrier, disc and pad; a pad is stock whichever compound of the shape it is of."""
    stock = setup.axle.stock
    found: list[Part] = []
    for part in parts_of(setup):
        if part.kind not in KINDS:
            continue
        named = getattr(stock, part.kind).text
        same = part.id == named or (part.kind == "pad" and family(part.id) == named)
        found.append(Part(part.kind, part.id, part.title, same, part.sided))
    return tuple(found)


def ask_of(row: Row) -> Ask:
    """What a list shows of a row of the sheet."""
    return Ask(
        row.check,
        row.title,
        row.state,
        row.band,
        row.because,
        row.unit,
        row.value,
        row.margin,
        row.bands,
        row.missing,
        row.settles,
    )
