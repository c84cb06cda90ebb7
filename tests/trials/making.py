"""Trials made up from facts, and knowledge bases with a fact taken away or put wrong."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from random import Random
from types import SimpleNamespace
from typing import Any

from lugplane.answers.observed import have_of
from lugplane.errors import BadInput
from lugplane.facts.base import Base
from lugplane.facts.decode import Decoder
from lugplane.facts.records import Caliper, Carrier, Disc, Platform, Record, Trial
from lugplane.facts.value import Number, Numbers, Points, Value, Word, Words
from lugplane.measure.put_together import put_together, taken
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.parts import Setup, family
from lugplane.setup.swap import number_at, shifted, with_number
from lugplane.workshop import Workshop

Change = Callable[[Value], Value]
_LEAVES = (Word, Number, Numbers, Words, Points)


def unknown(value: Value) -> Value:
    """The fact without a reading."""
    return Value(value.path, value.unit)


def moved(by: float) -> Change:
    """A change that shifts the reading that counts."""
    return lambda value: shifted(value, by)


class Altered(Base):
    """A base with the facts at some places (`file:line:column`) changed and with other trials."""

    def __init__(
        self, under: Base, changes: Mapping[str, Change], trials: Iterable[Trial] = ()
    ) -> None:
        super().__init__(under._parts, under._assumed)
        self._under, self._changes = under, changes
        self._trials = {t.id: t for t in trials}
        self._got: dict[tuple[type[Record], str], Any] = {}
        self._all: dict[type[Record], list[Any]] = {}

    def ids(self, kind: str | None = None) -> Sequence[str]:
        return sorted(self._trials) if kind == "trial" else self._under.ids(kind)

    def all(self, cls: type[Any]) -> list[Any]:
        if cls is Trial:
            return [self._trials[i] for i in sorted(self._trials)]
        if cls not in self._all:
            self._all[cls] = [self.get(cls, r.id) for r in self._under.all(cls)]
        return self._all[cls]

    def get(self, cls: type[Any], id_: str) -> Any:
        if cls is Trial:
            return self._trials[id_]
        if (cls, id_) not in self._got:
            self._got[cls, id_] = self._changed(self._under.get(cls, id_))
        return self._got[cls, id_]

    def find(self, id_: str, kinds: Sequence[str] = ()) -> str:
        return self._under.find(id_, kinds)

    def single(self, id_: str) -> Any:
        return SimpleNamespace(data={}) if id_ in self._trials else self._under.single(id_)

    def kind_of(self, id_: str) -> str | None:
        return self._under.kind_of(id_)

    def members(self, family: str) -> Sequence[str]:
        return self._under.members(family)

    @property
    def assumed_measured(self) -> Any:
        return self._under.assumed_measured

    def _changed(self, owner: Any) -> Any:
        if isinstance(owner, Value):
            change = self._changes.get(owner.at) if owner.known else None
            return owner if change is None else change(owner)
        if not is_dataclass(owner) or isinstance(owner, _LEAVES):
            return owner
        held = {f.name: getattr(owner, f.name) for f in fields(owner)}
        new = {k: self._changed(v) for k, v in held.items()}
        altered = {k: v for k, v in new.items() if v is not held[k]}
        return replace(owner, **altered) if altered else owner  # type: ignore[type-var]


def trial_of(shop: Workshop, data: Mapping[str, Any]) -> Trial:
    """A trial from what its file would say; values rest on a reading that was measured."""
    said = {
        "kind": "trial",
        "title": "A trial",
        "date": "2026-06-01",
        "readings": {"gauge": {"basis": "measured", "source": "demo-bench"}},
        "unless_said": "gauge",
        "axle": "front",
        **data,
    }
    decoder = Decoder(
        shop.rulebook.limits.assumed,
        lambda path: (f"trials/{said['id']}.yaml", 1 + len(path), sum(map(len, map(str, path)))),
    )
    made = decoder.record("trial", said["id"], said)
    assert not decoder.problems
    assert isinstance(made, Trial)
    return made


def given(shop: Workshop, setup: Setup, measure: str) -> float | None:
    """What the facts give for a measure, as given; None where they do not."""
    limits = shop.rulebook.limits
    have = have_of(taken(put_together(setup, limits.numbers, limits.limits), measure))
    return None if have is None else have.nominal


# --- plants ---------------------------------------------------------------------------------------

MEASURES = ("spacing", "shield_face", "bridge", "plate_hat", "wheel_spigot")
"""What a trial of a plant records: among them they tell height, plate and thickness apart."""
TARGETS = (
    "knuckle.ear_face_mm",
    "mounted.face_to_centre_mm",
    "disc.height_mm",
    "disc.thickness_mm",
    "disc.plate_mm",
    "disc.diameter_mm",
    "caliper.line_to_bridge_mm",
    "mounted.line_to_lining_top_mm",
)
TRIALS = 6
GAUGE_MM = 0.1
"""A measurement is off by at most this much."""

Axle = tuple[str, str]


@dataclass(frozen=True)
class Pool:
    """Axles, seats (caliper, and carrier) and discs that are put together, axial mounts alone."""

    shop: Workshop
    axles: tuple[Axle, ...]
    seats: tuple[tuple[str, ...], ...]
    discs: tuple[str, ...]

    @classmethod
    def of(cls, shop: Workshop) -> Pool:
        base = shop.base
        axles: list[Axle] = []
        for platform in base.all(Platform):
            for axle in ("front", "rear"):
                try:
                    setup = assemble(base, Wanted(platform.id, axle))
                except BadInput:
                    continue
                if setup.knuckle.mount.text == "axial":
                    axles.append((platform.id, axle))
        seats: list[tuple[str, ...]] = []
        for caliper in base.all(Caliper):
            if caliper.body.text == "fixed":
                seats += [(caliper.id,)] * (caliper.mount.text == "axial")
                continue
            seats += [
                (caliper.id, carrier.id)
                for carrier in base.all(Carrier)
                if carrier.mount.text == "axial"
                and {caliper.id, family(caliper.id)} & set(carrier.calipers.items)
            ]
        return cls(shop, tuple(axles), tuple(seats), tuple(d.id for d in base.all(Disc)))


@dataclass(frozen=True)
class Plant:
    """A base in which the fact at `at` is wrong by `by`, with trials made from the truth."""

    path: str
    at: str
    by: float
    trials: tuple[Trial, ...]
    base: Base


def plant(pool: Pool, rnd: Random) -> Plant | None:
    """One wrong fact and a handful of trials that it is part of; None where it is not known.

    The truth of every fact lies anywhere within its ±, that of the planted one too; each
    measurement is off by up to `GAUGE_MM`. Then the record of one fact is put off by 5 to 30 times
    its ±.
    """
    target = rnd.choice(TARGETS)
    fixed = rnd.choice(pool.axles), rnd.choice(pool.seats), rnd.choice(pool.discs)
    of_kind = {"knuckle": 0, "disc": 2}.get(target.split(".")[0], 1)
    truth: dict[str, float] = {}
    trials: list[Trial] = []
    planted: Value | None = None
    for n in range(TRIALS):
        drawn = [rnd.choice(pool.axles), rnd.choice(pool.seats), rnd.choice(pool.discs)]
        drawn[of_kind] = fixed[of_kind]
        (platform, axle), seat, disc = drawn
        setup = assemble(pool.shop.base, Wanted(str(platform), str(axle), (*seat, str(disc))))
        planted = number_at(setup, _path(target, setup))
        if planted is None or not planted.known or planted.reading.lo == planted.reading.hi:
            return None
        real = _real(pool.shop, setup, truth, rnd)
        figures = {m: given(pool.shop, real, m) for m in MEASURES}
        data = {
            "id": f"trial-{n}",
            "platform": platform,
            "axle": axle,
            "parts": {**dict(zip(("caliper", "carrier"), seat, strict=False)), "disc": disc},
            "measured": {
                m: f"{x + rnd.uniform(-GAUGE_MM, GAUGE_MM):.4f} ±{GAUGE_MM + 0.0001}"
                for m, x in figures.items()
                if x is not None
            },
        }
        trials.append(trial_of(pool.shop, data))
    assert planted is not None
    half = (planted.reading.hi - planted.reading.lo) / 2
    by = rnd.choice((-1, 1)) * rnd.uniform(5, 30) * half
    base = Altered(pool.shop.base, {planted.at: moved(by)}, trials)
    return Plant(target, planted.at, by, tuple(trials), base)


def _path(target: str, setup: Setup) -> str:
    mounted = "carrier" if setup.carrier is not None else "caliper"
    return target.replace("mounted", mounted, 1)


def _real(shop: Workshop, setup: Setup, truth: dict[str, float], rnd: Random) -> Setup:
    """The setup as it truly is: every fact somewhere within its ±, the same in all trials."""
    limits = shop.rulebook.limits
    bench = put_together(setup, limits.numbers, limits.limits)
    read = dict.fromkeys(p for m in MEASURES for p in taken(bench, m).inputs)
    real = setup
    for path in read:
        value = number_at(setup, path)
        if value is None or not value.known or number_at(real, path) != value:
            continue
        half = (value.reading.hi - value.reading.lo) / 2
        off = truth.setdefault(value.at, rnd.uniform(-half, half))
        real = with_number(real, path, shifted(value, off))
    return real
