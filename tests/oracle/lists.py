"""What a list has to say, from the oracle alone: every combination of parts, judged.

Of an axle the full product of caliper, carrier, disc and pad; of a part the best of it on every
axle; of two parts whether their facts of an interface agree. Nothing of the engine is used.

Most of the product fails by a pair: seat on knuckle, disc on hub, pad in seat, caliper in carrier.
Such a check is asked with the two parts alone and every other one unknown. What fails then fails
whatever the others are, since nothing unknown ever decides; so the pair speaks for all combinations
with it, and only the rest is judged in full, once.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

from .boxes import span
from .oracle import CHECKS, Answer, Kb, verdict_of
from .read_kb import EMPTY, Part
from .whole_car import Case

VERDICTS = ("bolts on", "fits with work", "cannot tell", "does not fit")
"""Best first."""
EARS = ("mount", "joint", "lug-spacing", "bolt-hole")
HUB = ("stud-count", "bolt-circle", "hub-bore", "hat-flange", "hat-shoes", "drum")
WHEEL = ("wheel-count", "wheel-circle", "wheel-bore")
PARTS = ("caliper", "carrier", "disc", "pad")
States = Mapping[str, str]


class Combination(NamedTuple):
    """Caliper, carrier (empty where the caliper stands alone), disc and pad, by their ids."""

    caliper: str
    carrier: str
    disc: str
    pad: str

    def __str__(self) -> str:
        return " ".join(filter(None, self))


@dataclass(frozen=True, slots=True)
class Listed:
    """A combination of an axle as the oracle has it: the brake's verdict and what fails.

    `answer` tells spacing, stack and bolt; None where a pair settles it and no more was looked at.
    """

    verdict: str
    fails: frozenset[str]
    answer: Answer | None


def fails(states: States) -> frozenset[str]:
    """The checks that fail."""
    return frozenset(check for check, state in states.items() if state == "fails")


def members(kb: Kb, kind: str, named: str) -> tuple[str, ...]:
    """The parts that a word stands for: one, or all of a family."""
    return tuple(p.id for p in kb.of(kind) if named in (p.id, p.family))


def seats(kb: Kb) -> list[tuple[str, str]]:
    """Calipers with every carrier: a fixed one alone, one that floats in each there is.

    One of which that is not known is taken alone, and in the carriers that name it.
    """
    found: list[tuple[str, str]] = []
    for caliper in kb.of("caliper"):
        body, names = caliper.get("body"), {caliper.id, caliper.family}
        if body != "floating":
            found.append((caliper.id, ""))
        if body != "fixed":
            found += [
                (caliper.id, carrier.id)
                for carrier in kb.of("carrier")
                if body == "floating" or names & set(carrier.get("calipers") or ())
            ]
    return found


class AxleList:
    """All combinations on one axle. `plates`: adapter plates may be made where lugs are apart."""

    def __init__(
        self,
        kb: Kb,
        platform: str,
        axle: str,
        *,
        plates: bool = False,
        like: AxleList | None = None,
    ) -> None:
        """`like`: a list of the same axle, whose judgements are shared. Raises KeyError."""
        self.kb, self.axle, self.plates = kb, axle, plates
        self.platform = kb.need("platform", platform)
        self.knuckle = kb.find("knuckle", self.platform.get(f"{axle}.knuckle")) or EMPTY
        self.hose = kb.find("hose", self.platform.get(f"{axle}.stock.hose")) or EMPTY
        self._cases: dict[tuple[Combination, bool], Case] = like._cases if like else {}
        self._open: list[Combination] | None = None

    def product(self) -> Iterator[Combination]:
        """Every combination; compounds each by themselves."""
        discs, pads = [d.id for d in self.kb.of("disc")], [p.id for p in self.kb.of("pad")]
        for caliper, carrier in seats(self.kb):
            for disc in discs:
                for pad in pads:
                    yield Combination(caliper, carrier, disc, pad)

    # --- pairs ---------------------------------------------------------------------------------

    def ears(self, caliper: str, carrier: str, plate: bool = False) -> States:
        """How a seat meets the knuckle's ears; of a carrier whatever it holds."""
        parts = {"carrier": carrier} if carrier else {"caliper": caliper}
        return self._pair(parts, EARS, plate, self.knuckle)

    def hub(self, disc: str) -> States:
        """How a disc meets the hub."""
        return self._pair({"disc": disc}, HUB, knuckle=self.knuckle)

    def carried(self, caliper: str, carrier: str) -> States:
        """Whether a carrier takes a caliper; nothing where there is none."""
        if not carrier:
            return MappingProxyType({})
        return self._pair({"caliper": caliper, "carrier": carrier}, ("carrier-takes",))

    def padded(self, caliper: str, carrier: str, pad: str) -> States:
        """Whether the seat takes a pad."""
        parts = {"carrier": carrier} if carrier else {"caliper": caliper}
        return self._pair({**parts, "pad": pad}, ("pad-shape",))

    def on_hub(self, wheel: str) -> States:
        """How a wheel meets the hub."""
        return self._pair({"wheel": wheel}, WHEEL, knuckle=self.knuckle)

    def plate(self, caliper: str, carrier: str) -> bool:
        """Whether a seat comes into question with an adapter plate, and not without one."""
        return bool(fails(self.ears(caliper, carrier))) and not fails(
            self.ears(caliper, carrier, plate=True)
        )

    def pair_fails(self, c: Combination) -> frozenset[str]:
        """The pair checks that fail; none: the combination has to be judged."""
        plate = self.plates and self.plate(c.caliper, c.carrier)
        return (
            fails(self.ears(c.caliper, c.carrier, plate))
            | fails(self.carried(c.caliper, c.carrier))
            | fails(self.padded(c.caliper, c.carrier, c.pad))
            | fails(self.hub(c.disc))
        )

    def _pair(
        self,
        parts: Mapping[str, str],
        checks: tuple[str, ...],
        plate: bool = False,
        knuckle: Part = EMPTY,
    ) -> States:
        """The checks of a pair, the same on every axle with this knuckle; kept with the facts."""
        key = "pair", knuckle.id, *parts.values(), checks[0], plate
        if key not in self.kb.cache:
            alone = {kind: self.kb.need(kind, id_) for kind, id_ in parts.items()}
            case = self._placed({"knuckle": knuckle, **alone}, plate)
            self.kb.cache[key] = {check: case.states[check] for check in checks}
        states: States = self.kb.cache[key]
        return states

    # --- in full -------------------------------------------------------------------------------

    def listed(self, c: Combination) -> Listed:
        """A combination as far as it has to be looked at."""
        by_pair = self.pair_fails(c)
        if by_pair:
            return Listed("does not fit", by_pair, None)
        answer = self.judged(c)
        return Listed(answer.verdict["brake"], fails(brake_states(answer.states)), answer)

    def judged(self, c: Combination, wheel: str = "") -> Answer:
        """The oracle's answer in full, with a wheel if one is named; the whole car is left out."""
        plate = self.plates and self.plate(c.caliper, c.carrier)
        if (c, plate) not in self._cases:
            named = ((kind, id_) for kind, id_ in zip(PARTS, c, strict=True) if id_)
            parts = {kind: self.kb.need(kind, id_) for kind, id_ in named}
            here = {"platform": self.platform, "knuckle": self.knuckle, "hose": self.hose}
            self._cases[c, plate] = self._placed({**here, **parts}, plate)
        case = self._cases[c, plate]
        if wheel:
            case.wheel = self.kb.need("wheel", wheel)
            case.wheels()
        states = dict(case.states)
        if wheel:
            case.wheel = None
            case.wheels()
        for check, scope in CHECKS.items():
            if scope == "car":
                states[check] = "n/a"
        verdicts = {
            scope: verdict_of(states[check] for check, of in CHECKS.items() if of == scope)
            for scope in ("brake", "wheel", "car")
        }
        have = {check: values for check, values in case.have.items() if CHECKS[check] != "car"}
        told = case.answer
        s = getattr(case, "s", None)  # nothing is placed where mounts differ
        return Answer(
            states,
            verdicts,
            spacing=None if s is None else span(s),
            stack=told.stack,
            stack_range=told.stack_range,
            bolt=told.bolt,
            have=have,
        )

    def _placed(self, parts: Mapping[str, Part], plate: bool) -> Case:
        """Parts judged for brake and wheel; what is not named is not known."""
        unknown = dict.fromkeys(("platform", "knuckle", "hose", "caliper", "disc", "pad"), EMPTY)
        case = Case(self.kb, {**unknown, **parts}, self.axle, plate, 0.0, {})
        case.place()
        case.bolting()
        case.pads()
        case.radial_fit()
        case.hub()
        case.sides()
        case.wheels()
        return case

    # --- of one part ---------------------------------------------------------------------------

    def having(self, parts: Collection[str]) -> list[Combination]:
        """The combinations with one of some parts that no pair check turns down."""
        return [c for c in self.open() if not set(parts).isdisjoint(c)]

    def open(self) -> list[Combination]:
        """All combinations that no pair check turns down; the same as by `pair_fails` of each."""
        if self._open is None:
            self._open = list(self._meeting())
        return self._open

    def _meeting(self) -> Iterator[Combination]:
        discs = [d.id for d in self.kb.of("disc") if not fails(self.hub(d.id))]
        for caliper, carrier in seats(self.kb):
            plate = self.plates and self.plate(caliper, carrier)
            if fails(self.ears(caliper, carrier, plate)) or fails(self.carried(caliper, carrier)):
                continue
            for pad in self.kb.of("pad"):
                if not fails(self.padded(caliper, carrier, pad.id)):
                    yield from (Combination(caliper, carrier, disc, pad.id) for disc in discs)

    def best(self, kind: str, parts: Collection[str]) -> str:
        """The best verdict with one of some parts; empty: none comes into a combination.

        Of wheels that on the hub, over what the factory fitted.
        """
        if kind == "wheel":
            found = {self.wheel_verdict(w) for w in parts if not fails(self.on_hub(w))}
        else:
            found = {self.listed(c).verdict for c in self.having(parts)}
        return next((verdict for verdict in VERDICTS if verdict in found), "")

    def wheel_verdict(self, wheel: str) -> str:
        """A wheel over what the factory fitted; *cannot tell* where that is not known."""
        c = self.stock()
        return "cannot tell" if c is None else self.judged(c, wheel).verdict["wheel"]

    def stock(self) -> Combination | None:
        """What the factory fitted; of the pads of a shape the first."""
        fitted = {k: self.platform.get(f"{self.axle}.stock.{k}") for k in PARTS}
        if not (fitted["caliper"] and fitted["disc"] and fitted["pad"]):
            return None
        pad = min(p.id for p in self.kb.of("pad") if fitted["pad"] in (p.id, p.family))
        return Combination(fitted["caliper"], fitted["carrier"] or "", fitted["disc"], pad)

    def keeping(self, kind: str, part: str) -> list[frozenset[str]]:
        """What keeps a part from the axle, seat by seat that might hold it; none: no such seat."""
        if kind == "disc":
            return [fails(self.hub(part))]
        if kind == "carrier":
            return [fails(self.ears("", part))]
        if kind == "wheel":
            return [fails(self.on_hub(part))]
        found = []
        for caliper, carrier in seats(self.kb):
            if kind == "caliper":
                held = part == caliper and not fails(self.carried(caliper, carrier))
            else:
                held = not fails(self.padded(caliper, carrier, part))
                held = held and not fails(self.carried(caliper, carrier))
            if held:
                found.append(fails(self.ears(caliper, carrier)))
        return found


def brake_states(states: States) -> States:
    """The states of the brake's checks."""
    return {check: state for check, state in states.items() if CHECKS.get(check) == "brake"}
