"""How the braking force is shared between the axles, and which of them locks first (TRADE §4).

`z` is the deceleration in g, `s` the front axle's share of the weight at rest, `η = h/L` (see
`loads.Loading`), `φ` the front axle's share of the braking force. Everything is closed form: with
or without a valve the braking force of each axle, over the weight, is a broken line in `z` with
one knee. A valve's share of the force depends on the weight, that of bare lines does not.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, sqrt
from typing import Literal

from lugplane.measure.arguments import not_negative, positive
from lugplane.measure.loads import Loading
from lugplane.measure.valve import Valve

Axle = Literal["front", "rear", "both"]

# What lies nearer to a knee or to the lift than this share of it lies at it.
_SAME = 1e-12


@dataclass(frozen=True, slots=True)
class Brakes:
    """The brakes of a car: torque of one wheel for each bar of line pressure (N·m, see
    `hydraulics.torque_per_bar_nm`) and rolling radius (mm) of each axle; the rear line's valve.

    Raises ValueError for a torque or radius not above zero.
    """

    front_torque_nm: float
    rear_torque_nm: float
    front_radius_mm: float
    rear_radius_mm: float
    valve: Valve | None = None

    def __post_init__(self) -> None:
        positive("front_torque_nm", self.front_torque_nm)
        positive("rear_torque_nm", self.rear_torque_nm)
        positive("front_radius_mm", self.front_radius_mm)
        positive("rear_radius_mm", self.rear_radius_mm)

    @property
    def front_n_per_bar(self) -> float:
        """Braking force at the road of the front axle's two wheels for each bar, N."""
        return axle_force_n(self.front_torque_nm, self.front_radius_mm)

    @property
    def rear_n_per_bar(self) -> float:
        """The same of the rear axle, for each bar in its own line, N."""
        return axle_force_n(self.rear_torque_nm, self.rear_radius_mm)


@dataclass(frozen=True, slots=True)
class Adhesion:
    """Adhesion used by the axles: braking force over load, the friction they need not to lock."""

    front: float
    rear: float


@dataclass(frozen=True, slots=True)
class FirstLock:
    """The axle that locks first, and the deceleration in g at which it does."""

    axle: Axle
    z: float


def axle_force_n(wheel_torque_nm: float, rolling_radius_mm: float) -> float:
    """Braking force at the road of the two wheels of an axle, N: `2 M / R` (mechanics).

    Raises ValueError for a negative torque or a radius not above zero.
    """
    torque_nmm = 1000.0 * not_negative("wheel_torque_nm", wheel_torque_nm)
    return 2.0 * torque_nmm / positive("rolling_radius_mm", rolling_radius_mm)


def front_share(
    front_torque_nm: float, rear_torque_nm: float, front_radius_mm: float, rear_radius_mm: float
) -> float:
    """`φ`, the front axle's share of the braking force at equal line pressure, 0 to 1.

    Torques of one wheel, in any one unit and at one pressure; rolling radii in any one unit
    (mechanics). Raises ValueError for a negative torque, both zero, or a radius not above zero.
    """
    front = axle_force_n(front_torque_nm, front_radius_mm)
    rear = axle_force_n(rear_torque_nm, rear_radius_mm)
    return front / positive("the braking force", front + rear)


@dataclass(frozen=True, slots=True)
class ForceLines:
    """Front braking force over weight, in z: `share · z` up to the knee, `over · z - drop` beyond.

    The rest of `z` is the rear axle's. `over >= share` and `drop >= 0`: a valve only ever moves
    force to the front.
    """

    share: float
    knee_z: float = inf
    over: float = 1.0
    drop: float = 0.0

    def front(self, z: float) -> float:
        """Front braking force over the weight at `z` g."""
        return self.share * z if z <= self.knee_z else self.over * z - self.drop


def force_lines(brakes: Brakes, loading: Loading) -> ForceLines:
    """The lines of this car in this state of loading (mechanics: pressure times N per bar)."""
    return lines_of(brakes.front_n_per_bar, brakes.rear_n_per_bar, brakes.valve, loading)


def lines_of(front: float, rear: float, valve: Valve | None, loading: Loading) -> ForceLines:
    """The same of the forces of front and rear axle for each bar, N, both above zero."""
    share = front / (front + rear)
    if valve is None or valve.slope == 1.0:
        return ForceLines(share)
    knee_z = valve.knee_bar * (front + rear) / loading.weight_n
    over = front / (front + valve.slope * rear)
    # Both lines give share · knee_z at the knee.
    return ForceLines(share, knee_z, over, (over - share) * knee_z)


def pressure_for_z_bar(brakes: Brakes, loading: Loading, z: float) -> float:
    """Pressure in the front line that brakes the car with `z` g, bar: force is weight times z.

    Raises ValueError for a negative `z`. Rolling resistance, drag and engine are left out.
    """
    lines = force_lines(brakes, loading)
    force_n = loading.weight_n * lines.front(not_negative("z", z))
    return force_n / brakes.front_n_per_bar


def front_share_at(brakes: Brakes, loading: Loading, z: float) -> float:
    """`φ` at a deceleration of `z` g; without a valve it is the same at every `z`.

    At `z` 0 the share just above it. Raises ValueError for a negative `z`.
    """
    lines = force_lines(brakes, loading)
    if not_negative("z", z) == 0.0:
        return lines.share if lines.knee_z > 0.0 else lines.over
    return lines.front(z) / z


def adhesion_used(brakes: Brakes, loading: Loading, z: float) -> Adhesion:
    """Adhesion used by each axle at `z` g (UN R13 annex 10: `f = braking force / axle load`).

    `f1 = z φ / (s + z η)`, `f2 = z (1 - φ) / (1 - s - z η)`. Raises ValueError for a negative `z`,
    and from the one on at which the rear axle carries nothing.
    """
    load = loading.front_load_share(z)
    if load >= 1.0:
        raise ValueError(f"the rear axle lifts at {loading.lift_z:g} g: no adhesion at {z:g} g")
    front = force_lines(brakes, loading).front(z)
    return Adhesion(front / load, (z - front) / (1.0 - load))


def equal_z(brakes: Brakes, loading: Loading) -> tuple[float, ...]:
    """Decelerations in g above 0 at which both axles use the same adhesion, rising.

    There `φ = s + z η`, and the adhesion used is `z` itself. Bare lines have one, `(φ - s) / η`, or
    none where the rear uses more from the start; a valve can make it three. From `lift_z` on there
    is none: `φ` would be above 1, or at it the rear axle neither brakes nor carries anything.
    """
    s, eta = loading.front_share, loading.height_ratio
    lines = force_lines(brakes, loading)
    knee_z = lines.knee_z * (1.0 + _SAME)
    found = [z for z in ((lines.share - s) / eta,) if 0.0 < z <= knee_z]
    # Past the knee: over - drop/z = s + η z, so η z² + (s - over) z + drop = 0.
    half = (lines.over - s) / (2.0 * eta)
    under_root = half * half - lines.drop / eta
    if knee_z < inf and under_root >= 0.0:
        root = sqrt(under_root)
        found += [z for z in {half - root, half + root} if z > knee_z]
    lift_z = loading.lift_z * (1.0 - _SAME)
    return tuple(sorted(z for z in found if z < lift_z))


def front_locks_z(lines: ForceLines, loading: Loading, friction: float) -> float:
    """`z` at which the front axle uses `friction`: front(z) = μ (s + η z). Infinite: never."""
    s, eta = loading.front_share, loading.height_ratio
    for slope, drop, low, high in (
        (lines.share, 0.0, 0.0, lines.knee_z),
        (lines.over, lines.drop, lines.knee_z, inf),
    ):
        left = slope - friction * eta
        if left > 0.0:
            z = (friction * s + drop) / left
            # The force line is convex and starts below the load's: it crosses once at most. At the
            # knee rounding may put either piece's crossing just on the other side.
            if z <= high:
                return max(z, low)
    return inf


def rear_locks_z(lines: ForceLines, loading: Loading, friction: float) -> float:
    """`z` at which the rear axle uses `friction`: z - front(z) = μ (1 - s - η z)."""
    rest, eta = 1.0 - loading.front_share, loading.height_ratio
    z = friction * rest / (1.0 - lines.share + friction * eta)
    if z <= lines.knee_z:
        return z
    z = (friction * rest - lines.drop) / (1.0 - lines.over + friction * eta)
    return max(z, lines.knee_z)


def first_lock(brakes: Brakes, loading: Loading, tyre_friction: float) -> FirstLock:
    """The axle that locks first on a road of this tyre friction, and the deceleration then.

    The axle whose adhesion used reaches `tyre_friction` at the lower `z`: `μ s / (φ - μ η)` in
    front, `μ (1 - s) / (1 - φ + μ η)` behind (mechanics); the pedal may not reach it. Its `z` over
    the friction is the share of the road's grip that is used. Raises ValueError for a friction not
    above zero.
    """
    lines = force_lines(brakes, loading)
    mu = positive("tyre_friction", tyre_friction)
    front, rear = front_locks_z(lines, loading, mu), rear_locks_z(lines, loading, mu)
    if front == rear:
        return FirstLock("both", front)
    return FirstLock("front", front) if front < rear else FirstLock("rear", rear)
