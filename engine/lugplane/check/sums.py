"""Facts of one part against each other: only what no ± can reconcile is told.

Numbers that are out of their own range are left out: what is wrong with them is told already.
"""

from __future__ import annotations

from collections.abc import Iterator

from lugplane.check.finding import Finding
from lugplane.check.friction import friction_findings
from lugplane.check.numbers import Noted, Numbers
from lugplane.check.plausible import Order, Plausible
from lugplane.check.values import EXCEPT, problem
from lugplane.check.yardsticks import friction_window_c
from lugplane.measure.heat import ring_mass_kg
from lugplane.quantity.text import number, span

_MM_PER_IN = 25.4
_GRAIN_MM = 1e-9
_HOLES = {"knuckle": "ear", "caliper": "lug", "carrier": "lug"}


def sum_findings(numbers: Numbers, plausible: Plausible) -> Iterator[Finding]:
    """All that does not agree within one part."""
    numbers = numbers.within(lambda noted: _likely(noted, plausible))
    for order in plausible.orders:
        if order.kind == numbers.single.kind:
            yield from _order(numbers, order)
    kind = numbers.single.kind
    if kind in _HOLES:
        yield from _holes(numbers, _HOLES[kind], plausible.sums["circle_plus_minus_mm"])
    if kind == "disc":
        yield from _ring_mass(numbers, plausible)
    elif kind == "caliper":
        yield from _pistons(numbers)
    elif kind == "wheel":
        yield from _barrel(numbers)
    elif kind == "pad":
        yield from friction_findings(numbers, friction_window_c())
    elif kind == "spacer" and numbers.single.data.get("use") == "spigot-ring":
        yield from _wall(numbers, plausible.sums["ring_least_wall_mm"])


def _likely(noted: Noted, plausible: Plausible) -> bool:
    fact = plausible.facts.get(noted.fact)
    return fact is None or fact.holds(noted.nominal)


def _order(numbers: Numbers, order: Order) -> Iterator[Finding]:
    small, large = numbers.first(order.small), numbers.first(order.large)
    if small is None or large is None or small.lo * order.times <= large.hi:
        return
    times = "" if order.times == 1 else f"{number(order.times)} times "
    yield Finding(
        problem(
            numbers.single,
            small.path,
            "facts-disagree",
            f"{order.said}: {order.small} {_said(small)}, {order.large} {_said(large)}",
            f"expected: {times}{order.small} at most {order.large}",
            f"measure both again; {EXCEPT}",
        )
    )


def _holes(numbers: Numbers, group: str, spare_mm: float) -> Iterator[Finding]:
    """Two holes and the hub axis make a triangle: `|R1 - R2| <= c <= R1 + R2` (geometry)."""
    r_1, r_2 = (numbers.first(f"{group}.hole_{n}_radius_mm") for n in (1, 2))
    apart = numbers.first(f"{group}.spacing_mm")
    if r_1 is None or r_2 is None or apart is None:
        return
    least = max(r_1.lo - r_2.hi, r_2.lo - r_1.hi, 0.0)
    most = r_1.hi + r_2.hi
    if least - spare_mm <= apart.hi and apart.lo <= most + spare_mm:
        return
    yield Finding(
        problem(
            numbers.single,
            apart.path,
            "sum-disagrees",
            f"{group}.spacing_mm {_said(apart)} with holes at {_said(r_1)} and {_said(r_2)}",
            f"expected: {number(least)} to {number(most)}, as hub axis and holes make a triangle",
            f"measure the three again; {EXCEPT}",
        )
    )


def _ring_mass(numbers: Numbers, plausible: Plausible) -> Iterator[Finding]:
    """`ring_mass_kg` against ring and iron; the ring may run in as far as the hat."""
    mass, outer, thick = map(numbers.first, ("ring_mass_kg", "diameter_mm", "thickness_mm"))
    bands = [
        found
        for side in ("inboard", "outboard")
        if (found := numbers.first(f"band_inner_{side}_mm")) is not None
    ]
    if mass is None or outer is None or thick is None or not bands:
        return
    hat = numbers.first("hat_radius_mm")
    innermost = min(each.lo for each in ([*bands, hat] if hat else bands))
    outermost = max(each.hi for each in bands)
    constants = plausible.sums
    solid = numbers.single.data.get("ring") == "solid"
    share = 1.0 if solid else constants["vented_least_share"]
    try:
        least = ring_mass_kg(
            outer.lo, 2 * outermost, thick.lo, constants["iron_least_kg_m3"], share
        )
        most = ring_mass_kg(outer.hi, 2 * innermost, thick.hi, constants["iron_most_kg_m3"])
    except ValueError:
        return  # no ring at all: the bands against the diameter tell it
    if mass.hi >= least and mass.lo <= most:
        return
    yield Finding(
        problem(
            numbers.single,
            mass.path,
            "sum-disagrees",
            f"ring_mass_kg {_said(mass)}",
            f"expected: {number(least)} to {number(most)} kg of iron from its diameters and "
            "thickness",
            f"weigh it again, or measure the ring again; {EXCEPT}",
        )
    )


def _pistons(numbers: Numbers) -> Iterator[Finding]:
    count, leading = numbers.first("pistons.a_side"), numbers.first("pistons.leading_mm")
    bores = numbers.get("pistons.bores_mm", ())
    if not bores:
        return
    if count is not None and len(bores) != count.nominal:
        yield Finding(
            problem(
                numbers.single,
                count.path,
                "sum-disagrees",
                f"{number(count.nominal)} pistons and {len(bores)} bores",
                "expected: one bore a piston of that side",
                "count them and write them in the order of rotation",
            )
        )
    if leading is not None and leading.nominal not in [bore.nominal for bore in bores]:
        listed = ", ".join(number(bore.nominal) for bore in bores)
        yield Finding(
            problem(
                numbers.single,
                leading.path,
                "sum-disagrees",
                f"a leading bore of {number(leading.nominal)}",
                f"expected: one of its bores, {listed}",
                "write the bore of the piston that the disc meets first",
            )
        )


def _barrel(numbers: Numbers) -> Iterator[Finding]:
    """The inside of a barrel lies within the rim's nominal radius (an inch is 25.4 mm)."""
    rim = numbers.first("rim_in")
    if rim is None:
        return
    most = rim.hi * _MM_PER_IN / 2
    for point in numbers.get("outline.barrel_x_r.r", ()):
        if point.nominal > most:
            yield Finding(
                problem(
                    numbers.single,
                    point.path,
                    "sum-disagrees",
                    f"the barrel at {number(point.nominal)} mm within a rim of "
                    f"{number(rim.nominal)} in",
                    f"expected: at most {number(most)} mm, the nominal radius of the rim",
                    "measure from the axis to the inside of the barrel",
                )
            )
            return


def _wall(numbers: Numbers, least_mm: float) -> Iterator[Finding]:
    """A spigot ring's wall, half of what its diameters differ by, can be no thinner than is made.

    A hole as wide as the ring, or wider, is told by itself.
    """
    inner, outer = numbers.first("inside_mm"), numbers.first("outside_mm")
    if inner is None or outer is None or inner.lo > outer.hi:
        return
    if outer.hi - inner.lo >= 2 * least_mm - _GRAIN_MM:
        return
    wall = span(
        (outer.lo - inner.hi) / 2, (outer.hi - inner.lo) / 2, (outer.nominal - inner.nominal) / 2
    )
    yield Finding(
        problem(
            numbers.single,
            outer.path,
            "sum-disagrees",
            f"a ring with a wall of {wall} mm: outside_mm {_said(outer)}, inside_mm {_said(inner)}",
            f"expected: a wall of at least {number(least_mm)} mm, as thinner rings are not made",
            f"measure both again; {EXCEPT}",
        )
    )


def _said(noted: Noted) -> str:
    return span(noted.lo, noted.hi, noted.nominal)
