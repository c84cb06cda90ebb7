"""The one generator of candidates: what of a base comes into question on an axle.

A candidate is a seat (a fixed caliper, or a floating one with its carrier), a disc and a pad of
the shape that the seat takes. Whatever fails a pair check is turned down by that check and counted;
what cannot be told stays. Parts that no check can tell apart are folded into one candidate.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from lugplane.errors import BadInput
from lugplane.facts.records import Axle, Caliper, Carrier, Disc, Knuckle, Pad, Platform
from lugplane.facts.value import Value
from lugplane.links.combination import KINDS as KINDS
from lugplane.links.combination import TurnedDown as TurnedDown
from lugplane.links.fold import caliper_key, carrier_key, disc_key, fold, pad_key
from lugplane.links.links import ALONE, Links
from lugplane.links.relation import EARS, HUB, PAD_IN_CALIPER, PAD_IN_CARRIER
from lugplane.setup.assemble import Wanted
from lugplane.setup.parts import family


@dataclass(frozen=True, slots=True)
class Candidate:
    """One combination that no pair check turns down, by the ids of its parts.

    `adapter` tells that it comes into question with an adapter plate only. `alike` names, by kind,
    further parts that no check can tell from the one that stands here.
    """

    platform: str
    axle: str
    caliper: str
    carrier: str | None
    disc: str
    pad: str
    adapter: bool = False
    alike: tuple[tuple[str, tuple[str, ...]], ...] = ()

    @property
    def parts(self) -> tuple[str, ...]:
        """The ids of caliper, carrier, disc and pad."""
        return tuple(p for p in (self.caliper, self.carrier, self.disc, self.pad) if p)

    def wanted(self, *more: str) -> Wanted:
        """The question that a sheet answers of it, with further parts (a wheel, a hose)."""
        return Wanted(self.platform, self.axle, (*self.parts, *more), (), self.adapter)


@dataclass(frozen=True, slots=True)
class Candidates:
    """The candidates of an axle, in the order of their parts' ids.

    `for_adapter` counts the seats whose lugs do not meet the ears and that an adapter plate would
    bring into question, where none was asked for.
    """

    items: tuple[Candidate, ...]
    turned_down: tuple[TurnedDown, ...]
    for_adapter: int = 0


@dataclass(frozen=True, slots=True)
class _Seat:
    caliper: Caliper
    carrier: Carrier | None
    adapter: bool

    @property
    def mounted(self) -> Caliper | Carrier:
        return self.carrier if self.carrier is not None else self.caliper

    @property
    def ids(self) -> tuple[str, str]:
        return self.caliper.id, self.carrier.id if self.carrier else ""


def candidates(
    links: Links,
    platform: str,
    axle: str,
    *,
    with_: Sequence[str] = (),
    adapters: bool = False,
) -> Candidates:
    """All candidates of an axle, or those with the named parts.

    Of several named parts of one kind, any will do. Raises `BadInput` for an unknown platform,
    axle or part, and where the axle's knuckle is not known.
    """
    return _Generator(links, platform, axle, named(links, with_), adapters).all()


def named(links: Links, with_: Sequence[str]) -> Mapping[str, tuple[str, ...]]:
    """Ids by kind of what was named; a family stands for all its members. Raises `BadInput`."""
    found: dict[str, dict[str, None]] = {}
    for word in with_:
        ids = links.base.members(word) or (links.base.find(word, KINDS),)
        for id_ in ids:
            kind = links.base.kind_of(id_) or ""
            if kind not in KINDS:
                raise BadInput(f"'{word}' is a {kind}: name {', '.join(KINDS)}")
            found.setdefault(kind, {})[id_] = None
    return {kind: tuple(ids) for kind, ids in found.items()}


class _Generator:
    def __init__(
        self,
        links: Links,
        platform: str,
        axle: str,
        only: Mapping[str, tuple[str, ...]],
        adapters: bool,
    ) -> None:
        self.links, self.base, self.only, self.adapters = links, links.base, only, adapters
        self.platform = self.base.get(Platform, platform)
        if axle not in ("front", "rear"):
            raise BadInput(f"axle '{axle}': say front or rear")
        self.axle_name = axle
        self.axle: Axle = self.platform.rear if axle == "rear" else self.platform.front
        if self.axle.knuckle.text is None:
            raise BadInput(f"{self.platform.id}: the {axle} knuckle is not known")
        self.knuckle = self.base.get(Knuckle, self.axle.knuckle.word)
        self.down: Counter[tuple[str, str]] = Counter()

    def all(self) -> Candidates:
        direct = list(self._seats(False))
        # Nothing but the distance of the lugs is judged otherwise where an adapter is asked for.
        without = {s.ids for s in direct}
        plates = [s for s in self._seats(True) if s.ids not in without] if self.adapters else []
        discs = self._discs()
        items: list[Candidate] = []
        for alike in _fold_seats([*direct, *plates]):
            seat = self._first_seat(alike)
            for pads in self._pads(seat):
                for group in discs:
                    items += self._candidates(seat, alike, group, pads)
        self._count_pads(items)
        turned_down = tuple(
            TurnedDown(kind, check, n) for (kind, check), n in sorted(self.down.items())
        )
        items.sort(key=lambda c: (c.adapter, c.caliper, c.carrier or "", c.disc, c.pad))
        for_adapter = 0 if self.adapters else self._count_plates(without)
        return Candidates(tuple(items), turned_down, for_adapter)

    # --- seats ---------------------------------------------------------------------------------

    def _seats(self, adapter: bool) -> Iterator[_Seat]:
        """What may be bolted to the ears; an adapter's seats beside those that need none."""
        alone, carriers = self._mounts()
        for kind, ids in (("caliper", alone), ("carrier", carriers)):
            whole = ALONE if kind == "caliper" else kind
            if self._narrowed:
                met = self.links.met(EARS, self.knuckle, kind, adapter, ids)
            else:
                met = self.links.met(EARS, self.knuckle, whole, adapter)
            if not adapter:
                for check, n in met.turned_down.items():
                    self.down[kind, check] += n
            for id_ in met.kept:
                if kind == "caliper":
                    yield _Seat(self.base.get(Caliper, id_), None, adapter)
                else:
                    carrier = self.base.get(Carrier, id_)
                    for caliper in self._taken_by(id_):
                        yield _Seat(self.base.get(Caliper, caliper), carrier, adapter)

    def _count_plates(self, without: Collection[tuple[str, str]]) -> int:
        """How many seats but these an adapter plate would bring in; their parts are not decoded."""
        alone, carriers = self._mounts()
        plates: list[tuple[str, str]] = []
        for kind, ids in (("caliper", alone), ("carrier", carriers)):
            whole = ALONE if kind == "caliper" else kind
            kept = set(self.links.not_failing(EARS, self.knuckle, whole, True))
            for id_ in kept.intersection(ids) if self._narrowed else kept:
                if kind == "caliper":
                    plates.append((id_, ""))
                else:
                    plates += [(caliper, id_) for caliper in self._taken_by(id_)]
        return sum(ids not in without for ids in plates)

    @property
    def _narrowed(self) -> bool:
        return "caliper" in self.only or "carrier" in self.only

    def _mounts(self) -> tuple[Sequence[str], Sequence[str]]:
        """Calipers that are bolted on by themselves, and carriers, as far as they were named."""
        if not self._narrowed:
            return (), ()
        carriers = [i for i in self._ids("carrier") if self._carries(i)]
        if "carrier" in self.only:
            return (), carriers
        alone = self.links.alone()
        return [i for i in self._ids("caliper") if i in alone], carriers

    def _carries(self, carrier: str) -> bool:
        """Whether a carrier may take one of the calipers that were named, if any was."""
        if "caliper" not in self.only or "carrier" in self.only:
            return True
        return bool(self._taken_by(carrier))

    def _ids(self, kind: str) -> Sequence[str]:
        return self.only[kind] if kind in self.only else self.base.ids(kind)

    def _taken_by(self, carrier: str) -> Sequence[str]:
        """The calipers that may go into a carrier, of those that were named if any was."""
        only = self.only.get("caliper")
        return [i for i in self.links.carriers()[carrier] if only is None or i in only]

    def _first_seat(self, alike: tuple[_Seat, ...]) -> _Seat:
        stock = self.axle.stock

        def rank(seat: _Seat) -> tuple[int, str, str]:
            carrier = seat.carrier.id if seat.carrier else ""
            same = (seat.caliper.id == stock.caliper.text) + (carrier == stock.carrier.text)
            return -same, seat.caliper.id, carrier

        return min(alike, key=rank)

    # --- discs and pads ------------------------------------------------------------------------

    def _discs(self) -> tuple[tuple[Disc, ...], ...]:
        met = self.links.met(HUB, self.knuckle, "disc", only=self.only.get("disc"))
        for check, n in met.turned_down.items():
            self.down["disc", check] += n
        return fold((self.base.get(Disc, i) for i in met.kept), disc_key)

    def _pads(self, seat: _Seat) -> tuple[tuple[Pad, ...], ...]:
        relation = PAD_IN_CARRIER if seat.carrier is not None else PAD_IN_CALIPER
        met = self.links.met(relation, seat.mounted, "pad", only=self.only.get("pad"))
        pads = (self.base.get(Pad, i) for i in met.kept)
        return fold(pads, lambda pad: (family(pad.id), pad_key(pad)))

    def _count_pads(self, items: Iterable[Candidate]) -> None:
        """Pads that no seat of a candidate takes are turned down by their shape."""
        taken = {p for c in items for p in (c.pad, *dict(c.alike).get("pad", ()))}
        ids = self._ids("pad")
        if taken and len(ids) > len(taken):
            self.down["pad", PAD_IN_CALIPER.checks[0]] += sum(i not in taken for i in ids)

    def _candidates(
        self,
        seat: _Seat,
        seats: tuple[_Seat, ...],
        discs: tuple[Disc, ...],
        pads: tuple[Pad, ...],
    ) -> Iterator[Candidate]:
        for disc_group, pad_group in self._by_design(seat, discs, pads):
            disc = _stock_first(disc_group, self.axle.stock.disc.text)
            pad = _stock_first(pad_group, self.axle.stock.pad.text)
            also = {
                "caliper": dict.fromkeys(s.caliper.id for s in seats),
                "carrier": dict.fromkeys(s.carrier.id for s in seats if s.carrier),
                "disc": dict.fromkeys(disc_group),
                "pad": dict.fromkeys(pad_group),
            }
            own = {seat.caliper.id, seat.carrier.id if seat.carrier else "", disc, pad}
            yield Candidate(
                self.platform.id,
                self.axle_name,
                seat.caliper.id,
                seat.carrier.id if seat.carrier else None,
                disc,
                pad,
                seat.adapter,
                tuple(
                    (kind, rest)
                    for kind, ids in also.items()
                    if (rest := tuple(sorted(i for i in ids if i not in own)))
                ),
            )

    def _by_design(
        self, seat: _Seat, discs: tuple[Disc, ...], pads: tuple[Pad, ...]
    ) -> Iterator[tuple[tuple[str, ...], tuple[str, ...]]]:
        """Alike discs and pads, those that a floating caliper was designed for kept apart.

        Its slide is reckoned from their thickness, and a fact is in no doubt against itself.
        """
        design = seat.caliper.designed_for
        disc = pad = None
        if seat.caliper.body.text == "floating" and design.disc.text and design.pad.text:
            disc = self.base.get(Disc, design.disc.text)
            compounds = sorted(self.base.members(design.pad.text))
            pad = self.base.get(Pad, compounds[0] if compounds else design.pad.text)
        for some_discs in fold(discs, lambda d: disc and d.thickness_mm == disc.thickness_mm):
            for some_pads in fold(pads, lambda p: pad and _linings(p) == _linings(pad)):
                yield tuple(d.id for d in some_discs), tuple(p.id for p in some_pads)


def _fold_seats(seats: Iterable[_Seat]) -> Iterator[tuple[_Seat, ...]]:
    """Seats that no check can tell apart; any caliper of a group goes with any of its carriers."""
    in_one = fold(seats, lambda s: (caliper_key(s.caliper), s.carrier and s.carrier.id, s.adapter))
    for groups in fold(
        in_one,
        lambda g: (tuple(s.caliper.id for s in g), carrier_key(g[0].carrier), g[0].adapter),
    ):
        yield tuple(seat for group in groups for seat in group)


def _linings(pad: Pad) -> tuple[Value, Value]:
    return pad.lining_mm, pad.outboard.lining_mm


def _stock_first(ids: Sequence[str], stock: str | None) -> str:
    """The stock part where it is among them (a shape stands for all its compounds)."""
    first = sorted(ids)
    same = [i for i in first if stock is not None and stock in (i, family(i))]
    return (same or first)[0]
