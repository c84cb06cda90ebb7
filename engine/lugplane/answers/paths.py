"""The way up from stock: every setup of an axle that single changes of parts lead to.

A stop is a setup that may be driven as it stands: its brake bolts on or fits with work. What cannot
be told is never passed through.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from lugplane.answers.fit import VERDICTS, WheelLook
from lugplane.answers.fits import Refused
from lugplane.answers.goods import Good
from lugplane.answers.parts import OfParts
from lugplane.answers.rows import BOLTS_ON, FITS_WITH_WORK
from lugplane.answers.sheet import Part, Sheet
from lugplane.answers.steps import Step
from lugplane.answers.ways import Way
from lugplane.links.candidates import KINDS
from lugplane.quantity.judge import CANNOT_TELL

if TYPE_CHECKING:
    from networkx import DiGraph

VERSION = 1
REACHED, IN_DOUBT, NOT_REACHED = "reached", "in doubt", "not reached"
OWNED_KINDS = (*KINDS, "hose", "bolt", "washer")
"""The kinds of parts that a customer may have already."""


@dataclass(frozen=True, slots=True)
class Stop(OfParts):
    """A setup of the axle by the ids of its parts.

    `steps` is the least number of steps from stock; None: no way leads there. `verdict` and
    `limiting` are the brake's, `wheels` are those of the factory over this brake. `changed` counts
    the parts that are not stock. `doubts` are the brake's checks that cannot tell, `settles` the
    facts to measure for them. `car` is the verdict of the whole car, `car_limiting` the check that
    decides it, `car_doubts` its checks that cannot tell, and `car_settles` the facts not known or
    to be measured for them: where there are any, the setup is judged mechanically only. `alike`
    names by kind the parts that come out as those listed do; `any_compound` tells that these are
    all compounds there are of the pad's shape.
    """

    key: str
    parts: tuple[Part, ...]
    adapter: bool
    verdict: str
    limiting: str
    limiting_title: str
    car: str
    work: int
    care: int
    changed: int
    goods: tuple[str, ...]
    wheels: tuple[WheelLook, ...] = ()
    doubts: tuple[str, ...] = ()
    settles: tuple[str, ...] = ()
    alike: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    steps: int | None = None
    car_limiting: str = ""
    car_limiting_title: str = ""
    car_doubts: tuple[str, ...] = ()
    car_settles: tuple[str, ...] = ()
    any_compound: bool = False

    @property
    def mechanical_only(self) -> bool:
        """Whether the brake may be driven by its own checks and the car cannot be told."""
        return self.verdict in (BOLTS_ON, FITS_WITH_WORK) and self.car == CANNOT_TELL

    @property
    def rank(self) -> tuple[int | str, ...]:
        """Best first: verdict, a car that is judged, no adapter, least work and care, fewest parts
        changed, names.
        """
        first = VERDICTS.index(self.verdict), int(self.mechanical_only), int(self.adapter)
        work = self.work, self.care, self.changed
        return (*first, *work, *(self.part(kind) for kind in KINDS))


@dataclass(frozen=True, slots=True)
class FailsAsCar(OfParts):
    """A setup whose brake has this verdict and that fails as a car, by the check `limiting`."""

    key: str
    parts: tuple[Part, ...]
    adapter: bool
    verdict: str
    limiting: str
    limiting_title: str
    alike: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    any_compound: bool = False


@dataclass(frozen=True, slots=True)
class Apart:
    """A setup that fits and that no single changes lead to.

    From the stop `nearest` it takes a change of all these `kinds` at one go.
    """

    stop: Stop
    nearest: str
    kinds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Found:
    """A way and the aims that it is the best for."""

    aims: tuple[str, ...]
    way: Way


@dataclass(frozen=True, slots=True)
class Target:
    """The parts named with `--to` and `--through`, and whether they can be had.

    `state`: reached, in doubt (only by setups that cannot be told) or not reached. `ways` are the
    best ones to the parts in `to`. `unpriced` are the things on the way with the fewest of them
    that have no known price, where for want of it no way is the cheapest. `apart` are the keys of
    setups with these parts that fit and are not reached, `car_fails` of those whose brake fits and
    that fail as a car, `refused` the named parts that the knuckle turns down.
    """

    to: tuple[str, ...]
    through: tuple[str, ...]
    state: str
    ways: tuple[Found, ...] = ()
    unpriced: tuple[str, ...] = ()
    apart: tuple[str, ...] = ()
    car_fails: tuple[str, ...] = ()
    refused: tuple[Refused, ...] = ()


@dataclass(frozen=True, slots=True)
class Paths:
    """The answer.

    `stops` are the setups that ways lead to, best first, the stock setup among them unless its own
    verdict is in doubt or bad; `steps` are all steps between them. `doubtful` are the setups one
    step further that cannot be told, with the `doubtful_steps` to them, if they were asked for;
    `doubts` is their number. `apart` are setups that fit and are not reached. `ways` lead to each
    stop by `aim`; stops without one lie off the parts in `through`, or cannot be priced. `counts`
    tells the brake's verdicts of all combinations, `car_fails` the setups that fit and fail as a
    car: no stop is one. `for_adapter` tells the seats that only an adapter plate would bring in,
    `other_currencies` the offers in another currency, which are not used. `reuse` is what the
    customer owns, `unused` what of it is in no setup. `widened`: single changes lead nowhere at
    all, so that the answer took several kinds at one go unasked.
    """

    version: int
    platform: str
    platform_title: str
    axle: str
    adapters: bool
    at_once: bool
    stock: Stop
    stops: tuple[Stop, ...]
    steps: tuple[Step, ...]
    goods: tuple[Good, ...]
    aim: str
    through: tuple[str, ...]
    ways: tuple[Way, ...]
    target: Target | None
    doubtful: tuple[Stop, ...]
    doubtful_steps: tuple[Step, ...]
    doubts: int
    apart: tuple[Apart, ...]
    counts: Mapping[str, int]
    car_fails: tuple[FailsAsCar, ...]
    for_adapter: int
    currency: str
    other_currencies: int
    reuse: tuple[str, ...]
    unused: tuple[str, ...]
    widened: bool = False

    @property
    def nowhere(self) -> bool:
        """Whether no way leads anywhere from stock, while there are setups that fit."""
        return len(self.stops) == 1 and bool(self.apart)

    def stop(self, key: str) -> Stop:
        """The setup of a key. Raises `KeyError`."""
        for stop in (*self.stops, *self.doubtful, *(a.stop for a in self.apart), self.stock):
            if stop.key == key:
                return stop
        raise KeyError(key)

    def good(self, key: str) -> Good:
        """The good of a key. Raises `KeyError`."""
        for good in self.goods:
            if good.key == key:
                return good
        raise KeyError(key)

    def step(self, here: str, there: str) -> Step:
        """The step between two setups. Raises `KeyError`."""
        for step in (*self.steps, *self.doubtful_steps):
            if (step.here, step.there) == (here, there):
                return step
        raise KeyError((here, there))

    def way_to(self, key: str) -> Way | None:
        """The way to a stop by `aim`; None: there is none."""
        return next((w for w in self.ways if w.end == key), None)


@dataclass(frozen=True, slots=True)
class Mapped:
    """The answer, and the sheets of its setups by their keys."""

    paths: Paths
    sheets: Mapping[str, Sheet]


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked: an axle, and the parts named. `to` and `through` take families as well."""

    platform: str
    axle: str = "front"
    to: Sequence[str] = ()
    through: Sequence[str] = ()
    reuse: Sequence[str] = ()
    aim: str = ""
    adapters: bool = False
    at_once: bool = False
    doubtful: bool = False


def graph(found: Paths) -> DiGraph:
    """The stops and steps as a networkx graph; nodes carry `stop`, edges `step`.

    Doubtful setups at the rim are in it too, where they were asked for.
    """
    import networkx as nx

    made = nx.DiGraph()
    for stop in (*found.stops, *found.doubtful):
        made.add_node(stop.key, stop=stop)
    for step in (*found.steps, *found.doubtful_steps):
        made.add_edge(step.here, step.there, step=step)
    return made
