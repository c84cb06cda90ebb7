"""What has to be at hand for a setup: its parts and the hardware that its sheet asks for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from lugplane.answers.prices import Price, Prices
from lugplane.answers.sheet import BoltLine, Buying, Judged, Sheet, StackLine
from lugplane.facts.base import Base
from lugplane.facts.records import Hose, Spacer, Washer
from lugplane.links.candidates import KINDS, Candidate
from lugplane.measure.mount import read_thread
from lugplane.quantity.form import extent
from lugplane.quantity.judge import judge
from lugplane.setup.parts import family

PIECES = {"caliper": 2, "carrier": 2, "disc": 2, "pad": 1}
"""Pieces of a part for an axle; pads are counted in sets."""
PADS_IN_SET = 4
_WHEEL = ("wheel", "wheel-ring", "wheel-spacer")
_SEAT = "hub-bore"
"""The limit that a bore on what centres it is held against."""
_GRAIN = 1e-6


@dataclass(frozen=True, slots=True)
class Good:
    """A thing of one setup, or of several, that is bought once and serves all of them.

    `ids` are the parts any of which serves; none: it is made, or no record says what it is.
    `at` is a stop whose sheet shows it, `stack` and `bolts` what of that sheet it is. `made` tells
    that it is made for this one setup.
    """

    key: str
    at: str
    item: Buying
    ids: tuple[str, ...]
    price: Price | None
    stack: tuple[StackLine, ...] = ()
    bolts: tuple[BoltLine, ...] = ()
    made: bool = False


def goods_of(
    base: Base,
    prices: Prices,
    judged: Judged,
    candidate: Candidate,
    at: str,
    texts: Mapping[str, str],
) -> tuple[Good, ...]:
    """The goods of a setup; `texts` are the words of things to buy, by their ids."""
    return tuple(
        {
            g.key: g
            for g in (
                *_parts(base, prices, judged.sheet, candidate, at, texts),
                *_hardware(base, prices, judged, at),
            )
        }.values()
    )


def _parts(
    base: Base,
    prices: Prices,
    sheet: Sheet,
    candidate: Candidate,
    at: str,
    texts: Mapping[str, str],
) -> Iterator[Good]:
    alike = dict(candidate.alike)
    for part in sheet.parts:
        if part.kind not in KINDS:
            continue
        pieces = PIECES[part.kind]
        sides = "" if pieces == 1 else "one left, one right" if part.sided else "both sides alike"
        ids = (part.id, *alike.get(part.kind, ()))
        if part.kind == "pad":
            # A shape without its compound serves only where any compound does.
            shapes = dict.fromkeys(family(i) for i in ids)
            ids = (*ids, *(s for s in shapes if set(ids) >= set(base.members(s))))
        price = prices.of(ids, pieces, set_=PADS_IN_SET if part.kind == "pad" else 0)
        item = Buying(part.kind, texts.get(part.kind, part.kind), part.id, pieces, sides)
        yield Good(f"{part.kind} {part.id}", at, item, ids, price)


def _hardware(base: Base, prices: Prices, judged: Judged, at: str) -> Iterator[Good]:
    sheet, setup = judged.sheet, judged.deduction.bench.setup
    for item in sheet.buy:
        what = item.what
        if what in KINDS or what in _WHEEL:
            continue
        if what in ("washers", "ring", "stack"):
            yield _stack(base, prices, judged, item, at)
        elif what == "bolt":
            yield _bolts(prices, sheet, item, at)
        elif what == "hose" and item.id:
            yield Good(f"hose {item.id}", at, item, (item.id,), prices.of((item.id,), item.count))
        elif what == "hose":
            port = setup.caliper.hose.text or "", setup.caliper.hose_seat.text or ""
            ids = tuple(h.id for h in base.all(Hose) if (h.thread.text, h.seat.text) == port)
            # The sheet names the hose that is on the car, which is the one that does not meet.
            yield Good(
                " ".join(("hose", *port)), at, replace(item, id=""), ids, prices.of(ids, item.count)
            )
        elif what == "spigot-ring":
            ids = _spigot_rings(base, judged)
            key = f"{what} for {setup.disc.id}"
            yield Good(key, at, item, ids, prices.of(ids, item.count))
        else:
            yield Good(f"{what} for {at}", at, item, (), None, made=True)


def _spigot_rings(base: Base, judged: Judged) -> tuple[str, ...]:
    """The rings known that surely sit on the spigot, and the disc on them, as a bore should."""
    setup, limit = judged.deduction.bench.setup, judged.deduction.bench.limits[_SEAT]
    bore, spigot = setup.disc.bore_mm, setup.knuckle.hub.spigot_mm
    found: list[str] = []
    for ring in base.all(Spacer):
        sizes = (bore, ring.outside_mm), (ring.inside_mm, spigot)
        if ring.use.text == "spigot-ring" and all(a.known and b.known for a, b in sizes):
            plays = [extent(a.form - b.form) for a, b in sizes]
            if all(judge(play, limit).state == "holds" for play in plays):
                found.append(ring.id)
    return tuple(found)


def _stack(base: Base, prices: Prices, judged: Judged, item: Buying, at: str) -> Good:
    options = judged.sheet.stack
    only = options[0] if len(options) == 1 else None
    if only is None or only.thickness_mm is None:
        return Good(f"{item.what} for {at}", at, item, (), None, options, made=True)
    size = f"{only.count} x {only.thickness_mm / only.count:g} mm"
    if only.kind == "ring":
        mounted = judged.deduction.bench.setup.mounted.id
        return Good(f"ring {size} for {mounted}", at, item, (), None, options)
    ids = _washers(base, judged.sheet, only)
    return Good(f"washers {size}", at, item, ids, prices.of(ids, item.count), options)


def _washers(base: Base, sheet: Sheet, stack: StackLine) -> tuple[str, ...]:
    """The standard washers of the bolt's size and the thickness chosen."""
    each = (stack.thickness_mm or 0.0) / stack.count
    thread = next((b.thread for b in sheet.bolts), "")
    try:
        bolt_mm = read_thread(thread).nominal_mm
    except ValueError:
        return ()
    return tuple(
        w.id
        for w in base.all(Washer)
        if w.bolt_mm.value == bolt_mm
        and w.thickness_mm.known
        and abs(w.thickness_mm.reading.nominal - each) < _GRAIN
    )


def _bolts(prices: Prices, sheet: Sheet, item: Buying, at: str) -> Good:
    """Where the measured gap decides between several, no price is known before it is measured."""
    bought = tuple(b for b in sheet.bolts if b.record)
    size = " or ".join(f"{b.record} {b.length_mm:g} {b.class_}" for b in bought)
    settled = len(sheet.bolts) > 1
    ids = tuple(dict.fromkeys(b.record for b in bought))
    return Good(
        f"bolt {size}" + (f" for {at}" if settled else ""),
        at,
        item,
        ids,
        None if settled else prices.of(ids, item.count),
        bolts=bought,
        made=settled,
    )
