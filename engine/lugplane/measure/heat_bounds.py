"""Bounds of what a stop, the Type-I test, a list of stops and a descent heat a disc to.

Each over a box of doubts, and each begun at the temperature of the air: begun hotter, a heavier
ring could also be the hotter one, since it keeps its heat.
"""

from __future__ import annotations

from collections.abc import Sequence

from lugplane.measure.corners import Span, corner_bounds
from lugplane.measure.fade import OwnStop, VehicleClass, course, type_one
from lugplane.measure.heat import (
    BrakedMass,
    Ring,
    descent_c,
    descent_power_w,
    repeated_peak_c,
    stop_rise_k,
)
from lugplane.measure.heat_course import hottest_c
from lugplane.measure.stopping import KMH_PER_MS


def stop_rise_bounds_k(
    mass_kg: Span,
    from_ms: Span,
    to_ms: Span,
    axle_share: Span,
    disc_share: Span,
    ring_kg: Span,
    specific_heat_j_kgk: Span,
    discs: int = 2,
) -> Span:
    """Bounds of `stop_rise_k`, K, over the box of its arguments.

    `share φ ½ m (v² - w²)/(n m_ring c)` rises with both shares, the mass and v, falls with w, the
    ring's mass and c: products and quotients of what is not negative. Errors as there.
    """

    def rise(
        mass_kg: float,
        from_ms: float,
        to_ms: float,
        axle_share: float,
        disc_share: float,
        ring_kg: float,
        specific_heat_j_kgk: float,
    ) -> float:
        braked = BrakedMass(mass_kg, axle_share, disc_share, discs)
        return stop_rise_k(braked, Ring(ring_kg, specific_heat_j_kgk, 0.0), from_ms, to_ms)

    return corner_bounds(
        rise,
        rises={
            "mass_kg": mass_kg,
            "from_ms": from_ms,
            "axle_share": axle_share,
            "disc_share": disc_share,
        },
        falls={"to_ms": to_ms, "ring_kg": ring_kg, "specific_heat_j_kgk": specific_heat_j_kgk},
    )


def type_one_bounds_c(
    vehicle_class: VehicleClass,
    top_speed_kmh: Span,
    mass_kg: Span,
    axle_share: Span,
    disc_share: Span,
    ring_kg: Span,
    specific_heat_j_kgk: Span,
    cooling_wk: Span,
    ambient_c: Span,
) -> Span:
    """Bounds of the hottest of a Type-I test, heat at once, begun at the air's temperature, °C.

    With C = m_ring c, h = hA and a stop's energy E, the last peak is `T_a + Σ E/C exp(-j h Δt/C)`,
    j from 0. It rises with T_a and E, and E with mass, shares and the first speed, of which the
    second is a fixed share; it falls with h. With `y = hΔt/C` the sum is `E/(hΔt)` times
    `y/(1 - e^-y)` times `1 - e^-ky`, both rising in y: so it falls with C. Errors as `type_one`,
    `heat.Ring` and `heat.BrakedMass`.
    """

    def last_peak(
        top_speed_kmh: float,
        mass_kg: float,
        axle_share: float,
        disc_share: float,
        ring_kg: float,
        specific_heat_j_kgk: float,
        cooling_wk: float,
        ambient_c: float,
    ) -> float:
        snubs = type_one(vehicle_class, top_speed_kmh)
        ring = Ring(ring_kg, specific_heat_j_kgk, cooling_wk)
        rise_k = stop_rise_k(
            BrakedMass(mass_kg, axle_share, disc_share),
            ring,
            snubs.from_kmh / KMH_PER_MS,
            snubs.to_kmh / KMH_PER_MS,
        )
        return repeated_peak_c(snubs.count, rise_k, ring, snubs.period_s, ambient_c)

    return corner_bounds(
        last_peak,
        rises={
            "top_speed_kmh": top_speed_kmh,
            "mass_kg": mass_kg,
            "axle_share": axle_share,
            "disc_share": disc_share,
            "ambient_c": ambient_c,
        },
        falls={
            "ring_kg": ring_kg,
            "specific_heat_j_kgk": specific_heat_j_kgk,
            "cooling_wk": cooling_wk,
        },
    )


def stop_list_bounds_c(
    stops: Sequence[OwnStop],
    mass_kg: Span,
    axle_share: Span,
    disc_share: Span,
    ring_kg: Span,
    specific_heat_j_kgk: Span,
    cooling_wk: Span,
    ambient_c: Span,
) -> Span:
    """Bounds of the hottest of a list of stops, begun at the air's temperature, °C.

    The excess θ over the air obeys `C θ' = P - h θ`, θ(0) = 0, P >= 0. It is P's convolution with
    `e^(-ht/C)/C >= 0`: it rises with P at every moment, and P with mass and shares. A larger h
    only ever takes away, θ being never below 0. A larger C, C2 for C1, gives
    `θ2 = r θ1 + (1 - r) (θ1 averaged over its past with the weight e^(-ht/C2) h/C2)`, r = C1/C2:
    an average of what θ1 has been, so its greatest is no greater. (At one moment a heavier ring may
    be the hotter: it keeps its heat.) Without cooling θ is P's integral over C. Errors as
    `heat.Ring` and `heat.BrakedMass`.
    """

    def hottest(
        mass_kg: float,
        axle_share: float,
        disc_share: float,
        ring_kg: float,
        specific_heat_j_kgk: float,
        cooling_wk: float,
        ambient_c: float,
    ) -> float:
        steps = course(stops, BrakedMass(mass_kg, axle_share, disc_share))
        return hottest_c(steps, Ring(ring_kg, specific_heat_j_kgk, cooling_wk), ambient_c)

    return corner_bounds(
        hottest,
        rises={
            "mass_kg": mass_kg,
            "axle_share": axle_share,
            "disc_share": disc_share,
            "ambient_c": ambient_c,
        },
        falls={
            "ring_kg": ring_kg,
            "specific_heat_j_kgk": specific_heat_j_kgk,
            "cooling_wk": cooling_wk,
        },
    )


def descent_bounds_c(
    seconds: Span,
    mass_kg: Span,
    grade: Span,
    speed_ms: Span,
    other_force_n: Span,
    axle_share: Span,
    disc_share: Span,
    ring_kg: Span,
    specific_heat_j_kgk: Span,
    cooling_wk: Span,
    ambient_c: Span,
) -> Span:
    """Bounds of `heat.descent_c` at the end of a descent, begun at the air's temperature, °C.

    `T_a + P/hA (1 - e^(-hA t/C))` rises with T_a, with P, and with t for P >= 0; it falls with
    C = m_ring c, and with hA, since `(1 - e^-x)/x` falls. P rises with the car's mass, the grade,
    the speed and both shares and falls with the other force. Errors as there.
    """

    def at_the_end(
        seconds: float,
        mass_kg: float,
        grade: float,
        speed_ms: float,
        other_force_n: float,
        axle_share: float,
        disc_share: float,
        ring_kg: float,
        specific_heat_j_kgk: float,
        cooling_wk: float,
        ambient_c: float,
    ) -> float:
        braked = BrakedMass(mass_kg, axle_share, disc_share)
        power_w = descent_power_w(braked, grade, speed_ms, other_force_n)
        ring = Ring(ring_kg, specific_heat_j_kgk, cooling_wk)
        return descent_c(power_w, seconds, ring, ambient_c)

    return corner_bounds(
        at_the_end,
        rises={
            "seconds": seconds,
            "mass_kg": mass_kg,
            "grade": grade,
            "speed_ms": speed_ms,
            "axle_share": axle_share,
            "disc_share": disc_share,
            "ambient_c": ambient_c,
        },
        falls={
            "other_force_n": other_force_n,
            "ring_kg": ring_kg,
            "specific_heat_j_kgk": specific_heat_j_kgk,
            "cooling_wk": cooling_wk,
        },
    )
