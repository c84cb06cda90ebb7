"""Small wording of the ways up from stock: what changes, what is bought, what it costs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from lugplane.answers.goods import Good
from lugplane.answers.paths import FailsAsCar, Mapped, Paths, Stop
from lugplane.answers.prices import Price
from lugplane.answers.steps import Step
from lugplane.answers.ways import Way
from lugplane.quantity.text import number
from lugplane.render.hardware import buying_words
from lugplane.render.layout import clean
from lugplane.render.names import fact_title
from lugplane.render.words import join
from lugplane.setup.car import OTHER_AXLE, OTHER_STOCK, STOCK
from lugplane.setup.parts import family

_MOST_FACTS = 3
_MANY = {
    "caliper": "calipers",
    "carrier": "carriers",
    "disc": "discs",
    "pad": "pads",
    "bolt": "bolts",
    "washers": "washers",
    "ring": "spacer rings",
    "stack": "stack",
    "hose": "hoses",
    "spigot-ring": "spigot rings",
    "adapter": "adapter plates",
}


Named = Stop | FailsAsCar


def part_word(stop: Named, kind: str) -> str:
    """The id of a part; of pads the shape where its compound makes no difference.

    Where it does, every compound that comes out the same: `kite-120/street or kite-120/tow`.
    """
    own = stop.part(kind)
    if kind != "pad":
        return clean(own)
    if stop.any_compound:
        return clean(family(own))
    others = [p for p in stop.alike.get("pad", ()) if family(p) == family(own)]
    return " or ".join(map(clean, (own, *others)))


def parts_words(stop: Named, kinds: Iterable[str]) -> str:
    """`caliper tovan-q4/48, pads kite-120`: parts of some kinds."""
    said = [
        join("pads" if kind == "pad" else kind, part_word(stop, kind))
        for kind in kinds
        if stop.part(kind)
    ]
    return ", ".join(said)


def setup_words(stop: Named) -> str:
    """The parts in which a setup differs from stock; `stock` where it does not."""
    kinds = [p.kind for p in stop.parts if not p.stock]
    plate = ", with an adapter plate" if stop.adapter else ""
    return (parts_words(stop, kinds) or "stock") + plate


def mechanical_words(stop: Stop) -> str:
    """What is said of a setup whose car cannot be told; empty where it can."""
    if not stop.mechanical_only:
        return ""
    what = listed_facts(stop.car_settles) or clean(stop.car_limiting_title)
    return f"mechanical only: the car cannot be told, {what}"


def listed_facts(paths: Sequence[str]) -> str:
    """`bore and circuit split not known well enough`: at most three of them, in words."""
    facts = list(dict.fromkeys(_titled(p) for p in paths))
    named = facts[:_MOST_FACTS]
    more = len(facts) - len(named)
    if more:
        named.append(f"{more} more facts")
    if not named:
        return ""
    said = named[0] if len(named) == 1 else f"{', '.join(named[:-1])} and {named[-1]}"
    return f"{said} not known well enough"


def _titled(path: str) -> str:
    """A fact in words, whichever axle or part of it is meant: the sheet names it whole."""
    plain = path.rpartition(":")[2] if path.startswith((STOCK, OTHER_AXLE, OTHER_STOCK)) else path
    return clean(fact_title(plain).partition(",")[0] or path)


def step_words(stop: Stop, step: Step) -> str:
    """`caliper tovan-q4/48 with pads kite-120`; several kinds at one go are joined by a plus."""
    new = [p.kind for p in stop.parts if p.id in step.on]
    said: list[str] = []
    for kind in step.kinds:
        if kind not in new:  # pads that only their wear renews
            continue
        rides = [k for k in new if k not in step.kinds] if kind in ("caliper", "carrier") else []
        with_ = parts_words(stop, rides)
        said.append(parts_words(stop, [kind]) + (f" with {with_}" if with_ else ""))
        new = [k for k in new if k not in rides]
    return " + ".join(said)


def way_words(found: Paths, way: Way) -> str:
    """The steps of a way in one line."""
    steps = [step_words(found.stop(leg.there), found.step(leg.here, leg.there)) for leg in way.legs]
    return "; then ".join(steps)


def kinds_words(kinds: Sequence[str]) -> str:
    """`caliper, disc and pads`."""
    said = ["pads" if k == "pad" else k for k in kinds]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"


# --- goods and prices -----------------------------------------------------------------------------


def good_words(mapped: Mapped, good: Good) -> str:
    """`2 × caliper: Four-piston caliper (tovan-q4/41), one left, one right`.

    Parts that no check tells from the one named are named too.
    """
    said = buying_words(mapped.sheets[good.at], good.item)
    others = [i for i in good.ids if i != good.item.id and i != family(i or "")]
    if good.item.id:
        others = [i for i in others if i != family(good.item.id)]
        return f"{said} (or {', '.join(map(clean, others))})" if others else said
    if good.item.what in ("hose", "spigot-ring") and good.ids:
        return f"{said}; of those known: {', '.join(map(clean, good.ids))}"
    return said


def good_count(good: Good) -> str:
    """`2 calipers`, `pad set`, `4 bolts`: a thing to buy in a word or two."""
    what, n = good.item.what, good.item.count
    if what == "pad":
        return "pad set"
    return join(str(n), clean(good.item.text) if n == 1 else _MANY.get(what, clean(good.item.text)))


def price_words(price: Price) -> str:
    """`EUR 180..240 a pair, used, seen 2026-05-20`."""
    times = f"{price.times} × " if price.times > 1 else ""
    one = _span(price.lo / price.times, price.hi / price.times)
    per = {"each": "each", "pair": "a pair", "set": "a set", "axle": "for the axle"}[price.per]
    said = [join(f"{times}{price.currency}", one, per), clean(price.condition)]
    said.append(join("seen", clean(price.date)) if price.date else "")
    return ", ".join(x for x in said if x)


def _span(lo: float, hi: float) -> str:
    low, high = number(lo), number(hi)
    return low if low == high else f"{low}..{high}"


@dataclass(frozen=True, slots=True)
class Sum:
    """What goods cost together: bounds of those with a known price, when seen, how many not."""

    currency: str
    lo: float
    hi: float
    known: int
    unknown: int
    first: str
    last: str

    @property
    def words(self) -> str:
        """`EUR 444..628`, `EUR 128 + 2 unpriced`, `not known`."""
        if not self.known:
            return "not known" if self.unknown else "nothing"
        said = join(self.currency, _span(self.lo, self.hi))
        return f"{said} + {join(str(self.unknown), 'unpriced')}" if self.unknown else said

    @property
    def dates(self) -> str:
        """When the prices were seen."""
        if not self.first:
            return ""
        if self.first == self.last:
            return join("seen", self.first)
        return f"{join('seen', self.first)} to {join(self.last)}"


def sum_of(found: Paths, keys: Iterable[str]) -> Sum:
    """What some goods cost together."""
    goods = [found.good(key) for key in keys]
    prices = [g.price for g in goods if g.price is not None]
    dates = sorted(p.date for p in prices if p.date)
    return Sum(
        found.currency,
        sum(p.lo for p in prices),
        sum(p.hi for p in prices),
        len(prices),
        len(goods) - len(prices),
        dates[0] if dates else "",
        dates[-1] if dates else "",
    )


def things(count: int) -> str:
    """`1 thing`, `4 things`."""
    return join(str(count), "thing" if count == 1 else "things")


def steps_count(count: int) -> str:
    """`1 step`, `2 steps`."""
    return join(str(count), "step" if count == 1 else "steps")
