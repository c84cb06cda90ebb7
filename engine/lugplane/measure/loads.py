"""Axle loads at rest and under braking, of a car in one state of loading (TRADE §4)."""

from __future__ import annotations

from dataclasses import dataclass

from lugplane.measure.arguments import not_negative, positive

# Standard acceleration of free fall, m/s² (ISO 80000-3).
STANDARD_GRAVITY = 9.80665


@dataclass(frozen=True, slots=True)
class AxleLoads:
    """Loads of the two axles, N."""

    front_n: float
    rear_n: float


@dataclass(frozen=True, slots=True)
class Loading:
    """One state of loading of a car: mass in kg, the front axle's share of it at rest (0 to 1),
    and height of the centre of gravity and wheelbase in mm.

    Raises ValueError for a mass or length not above zero, or a share outside 0 to 1.
    """

    mass_kg: float
    front_share: float
    cog_height_mm: float
    wheelbase_mm: float

    def __post_init__(self) -> None:
        positive("mass_kg", self.mass_kg)
        positive("cog_height_mm", self.cog_height_mm)
        positive("wheelbase_mm", self.wheelbase_mm)
        if not 0.0 < self.front_share < 1.0:
            raise ValueError(f"front_share must lie between 0 and 1, not {self.front_share!r}")

    @property
    def weight_n(self) -> float:
        """Weight, N."""
        return self.mass_kg * STANDARD_GRAVITY

    @property
    def height_ratio(self) -> float:
        """`h/L`, share of the weight that moves to the front axle for each g of braking."""
        return self.cog_height_mm / self.wheelbase_mm

    @property
    def lift_z(self) -> float:
        """Deceleration in g at which the rear axle carries nothing: `(1 - share) / (h/L)`."""
        return (1.0 - self.front_share) / self.height_ratio

    def front_load_share(self, z: float) -> float:
        """The front axle's share of the weight while braking at `z` g: `share + z h/L`.

        Moments about the rear tyres' contact, level road, no aerodynamic lift (mechanics). Raises
        ValueError for a negative `z`. Above 1 beyond `lift_z`, where no such balance exists.
        """
        return self.front_share + not_negative("z", z) * self.height_ratio


def axle_loads_n(loading: Loading, z: float = 0.0) -> AxleLoads:
    """Axle loads at a deceleration of `z` g, 0 for those at rest, N (mechanics).

    They sum to the weight. Raises ValueError for a negative `z`, and beyond the one at which the
    rear axle lifts: the car is then no longer in balance.
    """
    share = loading.front_load_share(z)
    if share > 1.0:
        raise ValueError(f"the rear axle lifts at {loading.lift_z:g} g, before {z:g} g")
    return AxleLoads(loading.weight_n * share, loading.weight_n * (1.0 - share))
