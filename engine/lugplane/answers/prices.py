"""Prices seen: what a thing of a list costs by the cheapest offer there is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from lugplane.facts.base import Base
from lugplane.facts.records import Offer

EACH, PAIR = "each", "pair"
_WHOLE = ("set", "axle")


@dataclass(frozen=True, slots=True)
class Price:
    """What all pieces of a thing cost together, by one offer.

    `per` is what the offer's own figure buys and `times` how often it is taken. The figures are
    those of the offer times that; `at` is the value as given, or the middle of a span.
    """

    lo: float
    hi: float
    at: float
    currency: str
    offer: str
    part: str
    per: str
    times: int
    condition: str
    date: str


class Prices:
    """The offers of a base in the currency that most of them are made in.

    Sums of money in several currencies would need a rate that nobody stated, so that offers in
    any other count as not there.
    """

    def __init__(self, base: Base) -> None:
        offers = [o for o in base.all(Offer) if o.price.known and o.currency.known]
        used = Counter(o.currency.word for o in offers)
        self.currency = min(used, key=lambda c: (-used[c], c)) if used else ""
        self.others = sum(used.values()) - used[self.currency]
        self._by_part: dict[str, list[Offer]] = {}
        for offer in offers:
            if offer.currency.word == self.currency:
                self._by_part.setdefault(offer.part.text or "", []).append(offer)

    def of(self, ids: Iterable[str], pieces: int, *, set_: int = 0) -> Price | None:
        """The cheapest offer of any of these parts for so many pieces; None: none is known.

        An offer `per` set or axle covers all that one axle needs. `set_` is for what is counted in
        sets (pads): so many single pieces make one. Offers that do not say what they are for are
        passed over.
        """
        found = [
            price
            for id_ in ids
            for offer in self._by_part.get(id_, ())
            if (price := self._price(offer, pieces * (set_ or 1)))
        ]
        return min(found, key=lambda p: (p.at, p.offer), default=None)

    def _price(self, offer: Offer, pieces: int) -> Price | None:
        per = offer.per.text or ""
        if per in _WHOLE:
            times = 1
        elif per == PAIR:
            times = -(-pieces // 2)
        elif per == EACH:
            times = pieces
        else:
            return None
        r = offer.price.reading
        return Price(
            r.lo * times,
            r.hi * times,
            r.nominal * times,
            self.currency,
            offer.id,
            offer.part.text or "",
            per,
            times,
            offer.condition.text or "",
            offer.date.text or "",
        )
