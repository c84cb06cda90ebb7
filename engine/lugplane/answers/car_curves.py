"""The curves of a car: adhesion used against deceleration, disc temperatures over stops.

`b` is the bench of the front axle throughout: from it the facts get their names. A bound is a value
at a corner of the box, as `measure.car_balance` shows for the front share and `measure.heat_band`
for a stop's heat. Where the anti-lock unit holds the rear pressure back, the curves are those of
the bare lines: what the unit starts from.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import inf

from lugplane.answers.car_facts import named
from lugplane.answers.curves import AdhesionCurves, Curve, Doubt, HeatCurves, Sample
from lugplane.answers.rows import Span
from lugplane.measure.balance import adhesion_used
from lugplane.measure.bench import Bench, DoesNotApply, Undecided
from lugplane.measure.car_balance import State, States, states
from lugplane.measure.car_share import ready, share
from lugplane.measure.fade import OwnStop, VehicleClass, at_once, stop_list_c, type_one
from lugplane.measure.heat import GREY_IRON_SPECIFIC_HEAT_J_KGK, BrakedMass, Ring
from lugplane.measure.heat_band import stop_peaks_bounds_c
from lugplane.measure.stopping import KMH_PER_MS
from lugplane.measure.whole_car import AxleBrake, CarBrake, Pair, brakes_of, use, word
from lugplane.quantity.form import Missing

LOADINGS = {"kerb": "ready to drive", "gross": "fully laden"}
"""States of loading by their names in the facts, and what they are called."""
SETUPS = ("stock", "proposed")
_AXLES = ("front", "rear")
_LAST_Z, _STEP = 0.9, 0.01
_AIR_C = (0.0, 0.0)
"""Everything is told as excess over the air."""


def doubt_of(make: Callable[[], None]) -> Doubt | None:
    """Why something cannot be told, or None where it can; `make` raises what stands in the way."""
    try:
        make()
    except Missing as error:
        return Doubt(error.facts)
    except (Undecided, DoesNotApply) as error:
        return Doubt(because=str(error))
    except ValueError as error:
        return Doubt(because=f"these facts contradict each other: {error}")
    except ZeroDivisionError:
        return Doubt(because="a fact that must be above zero may be zero")
    return None


def cars(pair: Pair) -> tuple[tuple[str, CarBrake], ...]:
    """Both cars by their names, stock first."""
    return tuple(zip(SETUPS, (pair.stock, pair.new), strict=True))


# --- adhesion -------------------------------------------------------------------------------------


def adhesion_curves(b: Bench) -> tuple[AdhesionCurves, ...]:
    """Both axles of both cars in both states of loading."""
    pair = brakes_of(b)
    found = []
    for load, title in LOADINGS.items():
        curves: list[Curve] = []
        for setup, car in cars(pair):
            curves += _adhesion(b, setup, car, load)
        found.append(AdhesionCurves(title, tuple(curves)))
    return tuple(found)


def _adhesion(b: Bench, setup: str, car: CarBrake, load: str) -> list[Curve]:
    held: list[States] = []

    def make() -> None:
        held.append(states(b, car, getattr(car, load)))

    doubt = doubt_of(make)
    if doubt is not None:
        return [Curve(setup, axle, (), named(doubt, "front")) for axle in _AXLES]
    s = held[0]
    places = [round(n * _STEP, 6) for n in range(round(_LAST_Z / _STEP) + 1)]
    return [
        Curve(setup, axle, tuple(Sample(z, adhesion_span(s, axle, z)) for z in places))
        for axle in _AXLES
    ]


def adhesion_span(s: States, axle: str, z: float) -> Span:
    """Bounds of the adhesion that an axle uses at z g; infinite where the rear axle lifts.

    In front `f1 = zφ/(s + zη)` is least where the share is least and the load greatest, which is
    the corner `least`; behind `f2 = z(1 - φ)/(1 - s - zη)` is greatest there.
    """
    least, most, nominal = (_used(at, axle, z) for at in (s.least, s.most, s.nominal))
    low, high = (least, most) if axle == "front" else (most, least)
    return Span(low, high, min(max(nominal, low), high))


def _used(at: State, axle: str, z: float) -> float:
    if at.loading.front_load_share(z) >= 1.0:
        # The rear axle carries nothing: whatever it brakes is more than it can hold.
        return inf if axle == "rear" else z
    used = adhesion_used(at.brakes, at.loading, z)
    return used.front if axle == "front" else used.rear


# --- heat -----------------------------------------------------------------------------------------


def type_one_curves(b: Bench) -> HeatCurves:
    """The Type-I test of the car's class and top speed, heat at once."""
    car = brakes_of(b).new
    held: list[tuple[Sequence[OwnStop], Span, str]] = []

    def make() -> None:
        kind = word(b, "platform.vehicle_class", car.vehicle_class)
        use(b, car.top_speed_kmh)
        top = car.top_speed_kmh
        plan: VehicleClass = "light-van" if kind == "light-van" else "car"
        nominal, *ends = (type_one(plan, v) for v in (top.nominal, top.lo, top.hi))
        said = (
            f"{nominal.count} brakings from {nominal.from_kmh:.0f} to {nominal.to_kmh:.0f} km/h, "
            f"one every {nominal.period_s:.0f} s (Type-I, 71/320/EEC annex II 1.3.1)"
        )
        # Energy goes with the square of the speed: what is in doubt of it is laid on the mass.
        low, high = ((e.from_kmh / nominal.from_kmh) ** 2 for e in ends)
        held.append((at_once(nominal), Span(low, high, 1.0), said))

    doubt = doubt_of(make)
    if doubt is not None:
        doubt = named(doubt, "front")
        curves = tuple(Curve(setup, axle, (), doubt) for axle in _AXLES for setup in SETUPS)
        return HeatCurves("type-one", "repeated stops (Type-I)", curves)
    stops, factor, said = held[0]
    return HeatCurves("type-one", said, _heat(b, stops, factor))


def own_curves(b: Bench, title: str, stops: Sequence[OwnStop]) -> HeatCurves:
    """The user's list of stops."""
    said = title or "the list of stops"
    return HeatCurves("own", said, _heat(b, stops, Span(1.0, 1.0, 1.0)))


def _heat(b: Bench, stops: Sequence[OwnStop], factor: Span) -> tuple[Curve, ...]:
    return tuple(
        _heat_of(b, setup, car, brake, stops, factor)
        for axle in _AXLES
        for setup, car in cars(brakes_of(b))
        for brake in car.axles
        if brake.axle == axle
    )


def _heat_of(
    b: Bench,
    setup: str,
    car: CarBrake,
    brake: AxleBrake,
    stops: Sequence[OwnStop],
    factor: Span,
) -> Curve:
    found: list[Sample] = []

    def make() -> None:
        ready(b, car)
        use(b, car.gross.mass_kg, brake.ring_mass_kg, brake.cooling_wk)
        found.extend(_samples(car, brake, stops, factor))

    doubt = doubt_of(make)
    return Curve(setup, brake.axle, tuple(found), named(doubt, "front"))


def _samples(
    car: CarBrake, brake: AxleBrake, stops: Sequence[OwnStop], factor: Span
) -> list[Sample]:
    """Excess over the air in each stop; all of the heat enters the discs."""
    phi, kg, heat = share(car), car.gross.mass_kg, GREY_IRON_SPECIFIC_HEAT_J_KGK
    front = brake.axle == "front"
    part = (phi.lo, phi.hi) if front else (1 - phi.hi, 1 - phi.lo)
    mass = (kg.lo * factor.lo, kg.hi * factor.hi)
    ring, cooling = brake.ring_mass_kg, brake.cooling_wk
    bounds = stop_peaks_bounds_c(
        stops, mass, part, (1.0, 1.0), ring.span, heat, cooling.span, _AIR_C
    )
    braked = BrakedMass(kg.nominal, phi.nominal if front else 1 - phi.nominal)
    middle = Ring(ring.nominal, sum(heat) / 2, cooling.nominal)
    peaks = [r.peak_c for r in stop_list_c(stops, braked, middle, 0.0)]
    found, seconds = [], 0.0
    for stop, (low, high), peak in zip(stops, bounds, peaks, strict=True):
        if stop.deceleration_ms2 is not None:
            seconds += (stop.from_kmh - stop.to_kmh) / KMH_PER_MS / stop.deceleration_ms2
        found.append(Sample(seconds, Span(low, high, min(max(peak, low), high))))
        seconds += stop.rest_s
    return found


def hottest(curve: Curve) -> Span | None:
    """The hottest of a course; None where it cannot be told."""
    spans = [s.span for s in curve.samples]
    if not spans:
        return None
    return Span(max(s.lo for s in spans), max(s.hi for s in spans), max(s.nominal for s in spans))
