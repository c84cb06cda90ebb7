"""The checks of the whole car: its brakes as they are to be, beside those of stock.

Every figure is a function of all that is in doubt at once, and its bounds are looked for over the
whole box of that (`search`): a friction shared by two axles, or by new pads and old ones, is one.
Forces are those of both wheels of an axle for 1 MPa in its line, at the tyres: ``4 μ A r_eff / R``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from .axle_brake import Brake, one_friction, one_shape, pairs, same_parts, tyre_radius
from .bands import constant, unit
from .boxes import Aff, Span, Var, span, total
from .braking import G, line_pressure
from .geometry import Array
from .heating import DENSITY, IRON, Type1, snubs_over_one
from .read_kb import EMPTY, Part
from .search import beside, corners, extremes, greatest_of_least, lower, upper


@dataclass(frozen=True)
class Box:
    """Rows of ends, spans of what may turn, and the columns that make each brake's force."""

    ends: Array
    turning: list[Span]
    factors: Mapping[str, tuple[float, int, int]]  # name: 4 A/R, column of μ, column of r_eff

    def force(self, rows: Array, name: str) -> Array:
        factor, mu, r = self.factors[name]
        return np.asarray(factor * rows[:, mu] * rows[:, r])

    def beside(self, ends: Array) -> Box:
        """The same forces over rows of more: ends of other facts stand behind its own."""
        at, many = self.ends.shape[1], ends.shape[1]
        moved = {n: (f, mu + many * (mu >= at), r) for n, (f, mu, r) in self.factors.items()}
        return Box(beside(self.ends, ends), self.turning, moved)


@dataclass(frozen=True)
class WholeCar:
    """The changed axle as built and as stock, and the other one, which is as it was."""

    platform: Part
    master: Part | None
    axle: str
    new: Brake
    stock: Brake | None
    other: Brake | None

    # --- forces --------------------------------------------------------------------------------
    def box(self, *names: str, at_road: bool = True) -> Box | None:
        """What the forces of some of `new`, `stock` and `other` hang on; None: not known.

        Not `at_road`: the torques of a wheel instead, which no tyre weighs on.
        """
        brakes = {name: getattr(self, name) for name in names}
        if any(b is None or b.area is None or b.lengths is None for b in brakes.values()):
            return None
        radius = {name: self.rolling(name) if at_road else 1.0 for name in names}
        frictions = dict(zip(names, one_friction(list(brakes.values())), strict=True))
        if None in frictions.values() or None in radius.values():
            return None
        unique = list(dict.fromkeys(f for f in frictions.values() if f is not None))
        ends, r_column = self._lengths(brakes)
        if len(unique) > 2:  # new and stock pads run one way, each for itself
            fixed = [f for n, f in frictions.items() if n in ("new", "stock") and f is not None]
            ends = beside(ends, corners([span(f) for f in fixed]))
            order = [*fixed, *(f for f in unique if f not in fixed)]
        else:
            fixed, order = [], unique
        first_mu = ends.shape[1] - len(fixed)
        factors: dict[str, tuple[float, int, int]] = {}
        for name, brake in brakes.items():
            area, reach = brake.area, radius[name]
            assert area is not None
            assert reach is not None
            column = first_mu + order.index(frictions[name])  # type: ignore[arg-type]
            factors[name] = 4 * area / reach, column, r_column[name]
        return Box(ends, [span(f) for f in order[len(fixed) :]], factors)

    @staticmethod
    def _lengths(brakes: Mapping[str, Brake]) -> tuple[Array, dict[str, int]]:
        ends, column = np.zeros((1, 0)), dict[str, int]()
        if "new" in brakes and "stock" in brakes:
            both = pairs(brakes["new"], brakes["stock"])
            assert both is not None
            ends, column = both, {"new": 0, "stock": 1}
        for name, brake in brakes.items():
            if name not in column:
                column[name] = ends.shape[1]
                assert brake.lengths is not None
                ends = beside(ends, corners([brake.lengths]))
        return ends, column

    def rolling(self, name: str) -> float | None:
        """Rolling radius of the tyres over a brake, mm."""
        other = {"front": "rear", "rear": "front"}[self.axle]
        return tyre_radius(self.platform.get(f"{other if name == 'other' else self.axle}.tyre"))

    def front_rear(self, box: Box, rows: Array, name: str) -> tuple[Array, Array]:
        """Forces of the front and the rear axle, with the brake called so on the changed one."""
        this, other = box.force(rows, name), box.force(rows, "other")
        return (this, other) if self.axle == "front" else (other, this)

    def share(self, box: Box, rows: Array, name: str) -> Array:
        front, rear = self.front_rear(box, rows, name)
        return front / (front + rear)

    # --- balance -------------------------------------------------------------------------------
    def front_share(self) -> Span | None:
        """Percentage points that the front share gains."""
        box = self.box("new", "stock", "other")
        if box is None:
            return None

        def gained(rows: Array) -> Array:
            new, stock = (self.share(box, rows, name) for name in ("new", "stock"))
            return unit("front-share") * (new - stock)

        return extremes(gained, box.ends, box.turning)

    def pedal_effort(self) -> Span | None:
        box = self.box("new", "stock", "other")
        if box is None:
            return None

        def gain(rows: Array) -> Array:
            new, stock = (sum(self.front_rear(box, rows, name)) for name in ("new", "stock"))
            return np.asarray(new / stock)

        return extremes(gain, box.ends, box.turning)

    def torque_change(self) -> Span | None:
        box = self.box("new", "stock", at_road=False)
        if box is None:
            return None
        return extremes(
            lambda rows: np.abs(box.force(rows, "new") / box.force(rows, "stock") - 1),
            box.ends,
            box.turning,
        )

    def loads(self, state: str) -> list[Span] | None:
        """Spans of static front share, height, wheelbase and mass in `kerb` or `gross` state."""
        paths = (f"{state}_front_share", "cog_height_mm", "wheelbase_mm", f"{state}_kg")
        forms = [self.platform.num(path) for path in paths]
        return None if None in forms else [span(f) for f in forms if f is not None]

    def valve(self, state: str) -> list[Span] | None:
        """Spans of the knee in MPa and of the slope behind it; no valve: a slope of 1."""
        kind = self.platform.get("valve")
        if kind in ("none", "electronic"):
            return [(0.0, 0.0), (1.0, 1.0)]
        knee = self.platform.num(f"valve_knee_{state}_bar")
        if kind == "fixed":  # it minds no load: one knee, whichever it is stated for
            stated = [self.platform.num(f"valve_knee_{s}_bar") for s in ("kerb", "gross")]
            knee = next((k for k in stated if k is not None), None)
        slope = self.platform.num("valve_slope")
        if kind not in ("fixed", "load-sensing") or knee is None or slope is None:
            return None
        low, high = span(knee)
        return [(low / 10, high / 10), span(slope)]

    def states(self, name: str) -> list[State] | None:
        """The car ready to drive and fully laden with a brake; None: something is not known."""
        box = self.box(name, "other")
        if box is None:
            return None
        found: list[State] = []
        for state in ("kerb", "gross"):
            loads, valve = self.loads(state), self.valve(state)
            if loads is None or valve is None:
                return None
            ends = beside(box.ends, corners([*loads, *valve]))
            ends = beside(ends, corners(box.turning))
            at = box.ends.shape[1]
            rows = np.hstack([ends[:, :at], ends[:, at + 6 :]])
            front, rear = self.front_rear(box, rows, name)
            columns = [ends[:, at + i] for i in range(6)]
            found.append(State(front, rear, *columns))
        return found

    def front_first(self) -> Span | None:
        """Points of front share over that at which both axles use the same adhesion, the least."""
        states = self.states("new")
        if states is None:
            return None
        # Every fact runs one way, and the same way at every z and load: ends are enough.
        least = [unit("front-first") * s.least_margin() for s in states]
        return min(float(x.min()) for x in least), min(float(x.max()) for x in least)

    def grip_use(self) -> Span | None:
        """Deceleration beyond what the second condition asks for, the least over k and load."""
        states = self.states("new")
        if states is None:
            return None
        least = [s.least_use() for s in states]
        return min(float(x.min()) for x in least), min(float(x.max()) for x in least)

    def first_lock(self) -> str:
        """TRADE §4 "first axle to lock at μ": the tyre's greatest friction, in either state.

        Holds where the front surely locks first, or the rear only where it does with stock.
        """
        found = [self._first_lock(state) for state in ("kerb", "gross")]
        return next(s for s in ("cannot tell", "care", "holds") if s in found)

    def _first_lock(self, state: str) -> str:
        loads, valve, mu = self.loads(state), self.valve(state), constant("friction_tyre")
        own, box = self.box("new", "other"), self.box("new", "stock", "other")
        if loads is None or valve is None or own is None:
            return "cannot tell"
        (share, height, base, mass), need = loads, [0.0, 0.0]
        for i in (0, 1):  # front shares of the braking over this lock the front first
            need[i] = share[i] + mu * height[i] / base[1 - i]

        def shares(box: Box, rows: Array, name: str) -> Array:
            at = box.ends.shape[1] - 3
            weight, knee, slope = (rows[:, at + i] for i in range(3))
            front, rear = self.front_rear(box, rows, name)
            return front_share_at(front, rear, knee, slope, mu * G * weight)

        ends = corners([mass, *valve])
        own = own.beside(ends)
        new = extremes(lambda r: shares(own, r, "new"), own.ends, own.turning)
        if new[0] > need[1]:
            return "holds"
        if box is None:
            return "care" if new[1] < need[0] else "cannot tell"
        box = box.beside(ends)

        def worse_than_stock(r: Array) -> Array:
            """Over nought where the rear locks first and with stock it would not."""
            n, s = shares(box, r, "new"), shares(box, r, "stock")
            return np.asarray(np.minimum(np.minimum(need[1] - n, s - need[0]), s - n))

        if upper(worse_than_stock, box.ends, box.turning) <= 1e-12:
            return "holds"
        return "care"  # in front, as stock, or neither: the worst of what all passes

    # --- pedal ---------------------------------------------------------------------------------
    def pedal_spans(self, *paths: str) -> list[Span] | None:
        """Spans of facts `master.…` or of the platform."""
        found: list[Span] = []
        for path in paths:
            kind, _, rest = path.partition(".")
            part = self.master if kind == "master" else self.platform
            form = None if part is None else part.num(rest if kind == "master" else path)
            if form is None:
                return None
            found.append(span(form))
        return found

    def stop(self) -> Span | None:
        """m/s² of the laden car at the line pressure of the given force of the foot."""
        box, mass = self.box("new", "other"), self.platform.num("gross_kg")
        pedal = self.pedal_spans(
            "pedal.ratio", "pedal.booster_gain", "pedal.run_out_n", "master.bore_mm"
        )
        valve = self.valve("gross")
        if box is None or mass is None or pedal is None or valve is None:
            return None
        at = box.ends.shape[1]
        wide = box.beside(corners([*pedal, span(mass), *valve]))

        def slowing(rows: Array) -> Array:
            front, rear = self.front_rear(wide, rows, "new")
            foot = np.full(len(rows), constant("pedal_force_n"))
            p = line_pressure(foot, *(rows[:, at + i] for i in range(4)))
            held = behind(p, rows[:, at + 5], rows[:, at + 6])
            return np.asarray((front * p + rear * held) / rows[:, at + 4])

        return extremes(slowing, wide.ends, wide.turning)

    def pedal_travel(self) -> Span | None:
        """mm that the foot goes further than with stock; a caliper that stays adds nothing."""
        spans = self.pedal_spans("pedal.ratio", "master.bore_mm")
        if self.stock is None or spans is None:
            return None
        areas = self.new.area, self.stock.area
        if self.new.case.caliper is self.stock.case.caliper:
            areas = 0.0, 0.0
        if areas[0] is None or areas[1] is None:
            return None
        volume = 2 * (areas[0] - areas[1]) * _closing()
        return extremes(lambda r: volume / (np.pi / 4 * r[:, 1] ** 2) * r[:, 0], spans)

    def pedal_reserve(self) -> Span | None:
        spans = self.pedal_spans(
            "master.bore_mm", "master.stroke_mm", "pedal.travel_mm", "pedal.ratio"
        )
        if spans is None or self.other is None or self.new.area is None or self.other.area is None:
            return None
        volume = 2 * (self.new.area + self.other.area) * _closing()

        def left(r: Array) -> Array:
            has = np.minimum(r[:, 1], r[:, 2] / r[:, 3])
            return np.asarray(1 - volume / (np.pi / 4 * r[:, 0] ** 2) / has)

        return extremes(left, spans)

    def master_stroke(self) -> Span | None:
        """The worse circuit. Split front and rear: whichever way they are joined, if not known."""
        spans = self.pedal_spans(
            "master.bore_mm", "master.first_stroke_mm", "master.second_stroke_mm"
        )
        split, a = self.platform.get("split"), self.new.area
        b = None if self.other is None else self.other.area
        if spans is None or split is None or a is None or b is None:
            return None
        volumes = (a + b, a + b) if split == "diagonal" else (2 * a, 2 * b)

        def left(first: float, second: float) -> Callable[[Array], Array]:
            def of(r: Array) -> Array:
                full = np.pi / 4 * r[:, 0] ** 2
                used = first / full / r[:, 1], second / full / r[:, 2]
                return np.asarray(1 - _closing() * np.maximum(*used))

            return of

        found = [x for ways in (volumes, volumes[::-1]) for x in extremes(left(*ways), spans)]
        return min(found), max(found)

    # --- heat ----------------------------------------------------------------------------------
    def ring_masses(self) -> Array | None:
        """Rows of ends of the ring masses of the changed axle, new and stock, kg."""
        if self.stock is None:
            return None
        stated = [b.case.disc.num("ring_mass_kg") for b in (self.new, self.stock)]
        rings = [ring_of(b.case.disc) for b in (self.new, self.stock)]
        if rings[0] is None or rings[1] is None:
            return None
        new, old = (of_forms(weigh, forms) for weigh, forms in (rings[0], rings[1]))
        if stated[0] is not None and stated[0] is stated[1]:
            return np.array([[m, m] for m in new])
        return corners([new, old])

    def hotter(self, ring: Span | None, z: float) -> Span | None:
        """The hotter axle: ring's factor times the gain in share; of the other axle the gain.

        The shares are those of the laden car at `z`, with what its valve lets through.
        """
        if self.stock is not None and same_parts(self.new, self.stock):
            known = self.box("new", "stock", "other")
            return None if known is None else (0.0, 0.0)  # whatever the valve does
        gains = self.gains(z)
        if gains is None or ring is None:
            return None
        box, of = gains

        def worse(factor: float) -> Callable[[Array], Array]:
            return lambda rows: unit("heat") * (np.maximum(*self._scaled(of(rows), factor)) - 1)

        low, high = ring
        return (
            lower(worse(low), box.ends, box.turning),
            upper(worse(high), box.ends, box.turning),
        )

    def _scaled(self, both: tuple[Array, Array], factor: float) -> tuple[Array, Array]:
        """Front and rear, the changed axle's times a factor."""
        front, rear = both
        return (front * factor, rear) if self.axle == "front" else (front, rear * factor)

    def gains(self, z: float) -> tuple[Box, Callable[[Array], tuple[Array, Array]]] | None:
        """Share of the braking over that of stock, in front and behind, at `z` g when laden."""
        box, valve = self.box("new", "stock", "other"), self.valve("gross")
        if box is None or valve is None:
            return None
        # Without a valve the shares do not hang on how hard it brakes.
        mass = Aff(1.0) if valve[1] == (1.0, 1.0) else self.platform.num("gross_kg")
        if mass is None:
            return None
        at = box.ends.shape[1]
        wide = box.beside(corners([span(mass), valve[1]]))
        wide = Box(wide.ends, [*box.turning, valve[0]], wide.factors)

        def of(rows: Array) -> tuple[Array, Array]:
            need = rows[:, at] * G * z
            shares = [
                front_share_at(*self.front_rear(wide, rows, n), rows[:, -1], rows[:, at + 1], need)
                for n in ("new", "stock")
            ]
            return shares[0] / shares[1], (1 - shares[0]) / (1 - shares[1])

        return wide, of

    def heat_stop(self) -> Span | None:
        return self.hotter(self.ring_factor(None), constant("heat_z"))

    def heat_repeated(self) -> Span | None:
        kind = self.platform.get("vehicle_class")
        every = {"car": 45.0, "light-van": 55.0}.get(str(kind))
        if every is None:
            return None

        def rise(m: Array, u: Array) -> Array:
            return snubs_over_one(np.exp(-u * every / m), Type1().count) / m

        return self.hotter(self.ring_factor(rise), Type1().slowing / G)

    def heat_descent(self) -> Span | None:
        seconds = constant("descent_km") / constant("descent_kmh") * 3600
        slope = float(np.sin(np.arctan(constant("descent_grade"))))

        def rise(m: Array, u: Array) -> Array:
            return (1 - np.exp(-u * seconds / m)) / u

        return self.hotter(self.ring_factor(rise), slope)

    def ring_factor(self, rise: Callable[[Array, Array], Array] | None) -> Span | None:
        """Warming for a share of the heat, new disc over stock; u = hA/c in kg/s turns it."""
        if self.stock is None:
            return None
        if self.new.case.disc is self.stock.case.disc:
            return 1.0, 1.0
        ends = self.ring_masses()
        if ends is None:
            return None
        if rise is None:
            return extremes(lambda r: r[:, 1] / r[:, 0], ends)
        cooling, better = self.platform.num(f"cooling_{self.axle}_wk"), self.better_cooled()
        if cooling is None or better is None:
            return None
        u = span(cooling)[0] / IRON[1], span(cooling)[1] / IRON[0]
        return extremes(
            lambda r: rise(r[:, 0], r[:, 2] * r[:, 3]) / rise(r[:, 1], r[:, 3]),
            beside(ends, corners([better])),
            [u],
        )

    def better_cooled(self) -> Span | None:
        """Cooling of the new disc over that of stock, of which alone it is known.

        Anything from the same to what its faces have more or less; a solid ring in place of a
        vented one cools worse than that, nobody knows how much.
        """
        assert self.stock is not None
        discs = [b.case.disc for b in (self.new, self.stock)]
        kinds = [d.get("ring") for d in discs]
        forms = [d.num(f) for d in discs for f in ("diameter_mm", "band_inner_inboard_mm")]
        if None in forms or None in kinds or kinds == ["solid", "vented"]:
            return None

        def gain(values: Sequence[Array]) -> Array:
            d, i, d0, i0 = values
            return (d**2 / 4 - i**2) / (d0**2 / 4 - i0**2)

        low, high = of_forms(gain, [f for f in forms if f is not None])
        return min(low, 1.0), max(high, 1.0)

    # --- mass, inertia, wear -------------------------------------------------------------------
    def unsprung(self) -> Span | None:
        """kg that the brake of one wheel gains; a part that stays adds nothing, known or not."""
        if self.stock is None:
            return None
        terms: list[tuple[float, Aff | None]] = []
        new, stock = self.new.case, self.stock.case
        for kind, many in (("caliper", 1.0), ("carrier", 1.0), ("disc", 1.0), ("pad", 2.0)):
            parts = getattr(new, kind), getattr(stock, kind)
            if parts[0] is not parts[1]:
                terms += [
                    (sign * many, part.num("mass_kg"))
                    for sign, part in zip((1.0, -1.0), parts, strict=True)
                    if part is not EMPTY
                ]
        form = total(*terms)
        return None if form is None else span(form)

    def ring_inertia(self) -> Span | None:
        if self.stock is None:
            return None
        if self.new.case.disc is self.stock.case.disc:
            return 0.0, 0.0
        sizes: list[Aff] = []
        masses: list[Weighed] = []
        for disc in (self.new.case.disc, self.stock.case.disc):
            size, ring = [disc.num(path) for path in FACE], ring_of(disc)
            if ring is None or None in size:
                return None
            sizes += [f for f in size if f is not None]
            masses.append(ring)
        (new, own), (old, others) = masses

        def gain(values: Sequence[Array]) -> Array:
            d, i, d0, i0 = values[:4]
            m, m0 = new(values[4 : 4 + len(own)]), old(values[4 + len(own) :])
            return m * (d**2 + 4 * i**2) / (m0 * (d0**2 + 4 * i0**2)) - 1

        return of_forms(gain, [*sizes, *own, *others])

    def pad_life(self) -> Span | None:
        box, wear = self.box("new", "stock", "other"), self.wear_ratio()
        if box is None or wear is None:
            return None

        def life(axle: int, factor: float) -> Callable[[Array], Array]:
            def of(rows: Array) -> Array:
                new, stock = self.share(box, rows, "new"), self.share(box, rows, "stock")
                return self._scaled((stock / new, (1 - stock) / (1 - new)), factor)[axle]

            return of

        def lesser(rows: Array) -> Array:
            return np.asarray(np.minimum(life(0, wear[0])(rows), life(1, wear[0])(rows)))

        low = lower(lesser, box.ends, box.turning)
        most = [life(axle, wear[1]) for axle in (0, 1)]
        return low, greatest_of_least(*most, box.ends, box.turning)

    def wear_ratio(self) -> Span | None:
        """Volume that may wear off the pad that has less of it, new over stock."""
        thick = self.wear_depths()
        areas = None if self.stock is None else areas_left(self.new, self.stock)
        if thick is None or areas is None:
            return None
        return thick[0] * areas[0], thick[1] * areas[1]

    def wear_depths(self) -> Span | None:
        """Depth that may wear off, new over stock."""
        if self.stock is None:
            return None
        if self.new.case.pad is self.stock.case.pad:
            return 1.0, 1.0
        spans: list[list[Aff]] = []
        for case in (self.new.case, self.stock.case):
            least = case.pad.num("min_lining_mm")
            given = [case.pad_side(case.pad, "lining_mm", out) for out in (False, True)]
            forms = [total((1, x), (-1, least)) for x in given]
            if None in forms:
                return None
            spans.append([f for f in forms if f is not None])
        names = list(dict.fromkeys(v for group in spans for f in group for v in f.t))
        rows = corners([(v.lo, v.hi) for v in names])

        def value(f: Aff) -> Array:
            return np.asarray(f.c + sum(q * rows[:, names.index(v)] for v, q in f.t.items()))

        new, old = (np.min([value(f) + np.zeros(len(rows)) for f in g], axis=0) for g in spans)
        if float(old.min()) <= 0:
            return None
        return float((new / old).min()), float((new / old).max())


def areas_left(new: Brake, stock: Brake) -> Span | None:
    """Area of lining left, new over stock; the same lining uncut is the same."""
    uncut = new.whole and stock.whole and one_shape(new.case.pad, stock.case.pad)
    if uncut or same_parts(new, stock):
        return 1.0, 1.0
    spans = [b.case.answer.area_left for b in (new, stock)]
    if spans[0] is None or spans[1] is None or min(spans[1]) <= 0:
        return None
    return spans[0][0] / spans[1][1], spans[0][1] / spans[1][0]


FACE = ("diameter_mm", "band_inner_inboard_mm")
Weighed = tuple[Callable[[Sequence[Array]], Array], list[Aff]]


def ring_of(disc: Part) -> Weighed | None:
    """A ring's mass in kg and what it hangs on: as stated, else a solid one's from its size."""
    stated = disc.num("ring_mass_kg")
    if stated is not None:
        return lambda values: values[0], [stated]
    size = [disc.num(path) for path in (*FACE, "thickness_mm")]
    if disc.get("ring") != "solid" or None in size:
        return None

    def weigh(values: Sequence[Array]) -> Array:
        d, i, t = values
        return DENSITY * np.pi * (d**2 / 4 - i**2) * t * 1e-9

    return weigh, [f for f in size if f is not None]


def _closing() -> float:
    """mm that one side's pistons (floating: all) go from rest to a hard stop."""
    return constant("pad_gap_mm") + constant("pad_give_mm")


def of_forms(of: Callable[[Sequence[Array]], Array], forms: Sequence[Aff]) -> Span:
    """Bounds of a function of forms that runs one way in each fact, a shared one counted once."""
    names: list[Var] = list(dict.fromkeys(v for f in forms for v in f.t))
    rows = corners([(v.lo, v.hi) for v in names])

    def value(f: Aff) -> Array:
        return np.full(len(rows), f.c) + sum(
            (q * rows[:, names.index(v)] for v, q in f.t.items()), np.zeros(len(rows))
        )

    got = of([value(f) for f in forms])
    return float(got.min()), float(got.max())


def behind(p: Array, knee: Array, slope: Array) -> Array:
    """Pressure behind a valve that lets only a share of a further rise through."""
    return np.minimum(p, knee + slope * (p - knee)) if np.any(slope < 1) else p


def front_share_at(front: Array, rear: Array, knee: Array, slope: Array, need: Array) -> Array:
    """Front share of the braking where both axles together brake with `need` N."""
    p = need / (front + rear)
    late = (need - rear * knee * (1 - slope)) / (front + slope * rear)
    return np.asarray(front * np.where((p > knee) & (slope < 1), late, p) / need)


@dataclass(frozen=True)
class State:
    """A car in one state of load: a row a corner of the box."""

    front: Array  # N of both wheels a MPa
    rear: Array
    share: Array
    height: Array
    base: Array
    mass: Array
    knee: Array  # MPa
    slope: Array

    @property
    def chi(self) -> Array:
        return self.height / self.base

    def margin(self, z: Array) -> Array:
        """``φ - s - z h/L``, a row a corner, a column a deceleration."""
        front, rear, knee, slope = (
            x[:, None] for x in (self.front, self.rear, self.knee, self.slope)
        )
        share = front_share_at(front, rear, knee, slope, (self.mass * G)[:, None] * z)
        return np.asarray(share - self.share[:, None] - z * self.chi[:, None])

    def least_margin(self) -> Array:
        """Least over z, a row each: at the ends or where the valve begins, for it is concave."""
        low, high = constant("z_low"), constant("z_high")
        knees = (self.front + self.rear) * self.knee / (self.mass * G)
        ends = [np.full_like(knees, low), np.clip(knees, low, high), np.full_like(knees, high)]
        return np.asarray(self.margin(np.column_stack(ends)).min(axis=1))

    def least_use(self) -> Array:
        """Least of ``z - 0.1 - C (k - 0.2)`` over k and both axles, a row each."""
        steep = max(constant("adhesion_slope_r13"), constant("adhesion_slope_r13h"))
        k = np.linspace(constant("adhesion_low"), constant("adhesion_high"), 121)[None]
        weight = (self.mass * G)[:, None]
        f, r = self.front[:, None], self.rear[:, None]
        knee, slope = self.knee[:, None], self.slope[:, None]
        chi, share = self.chi[:, None], self.share[:, None]
        plain = np.full_like(knee, np.inf)
        rest = np.where(slope < 1, knee * (1 - slope), 0.0)
        knee = np.where(slope < 1, knee, plain)
        worst = np.full((len(f), k.shape[1]), np.inf)
        # Below and behind the knee the rear force is r (a + b p); k is reached at a pressure p.
        for a, b, low, high in (
            (np.zeros_like(slope), np.ones_like(slope), np.zeros_like(knee), knee),
            (rest, slope, knee, plain),
        ):
            with np.errstate(invalid="ignore", divide="ignore"):
                # front: f p = k (s W + χ (f p + r (a + b p)))
                one = k * (share * weight + chi * r * a) / (f - k * chi * (f + r * b))
                # rear: r (a + b p) = k ((1 - s) W - χ (f p + r (a + b p)))
                two = (k * ((1 - share) * weight - chi * r * a) - r * a) / (
                    r * b + k * chi * (f + r * b)
                )
            for p in (one, two):
                fits = (p >= low - 1e-12) & (p <= high + 1e-12) & np.isfinite(p)
                z = (f * p + r * (a + b * p)) / weight
                worst = np.where(fits & (p > 0), np.minimum(worst, z), worst)
        return np.asarray((worst - 0.1 - steep * (k - 0.2)).min(axis=1))
