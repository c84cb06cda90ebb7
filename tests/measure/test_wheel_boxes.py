"""The paths along which a caliper's boxes are held against a wheel: no place in them is nearer."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from lugplane.measure.sweep import Inside, wheel_gaps
from lugplane.measure.wheel import Box, paths_of

BARREL = [(-120.0, 192.0), (-80.0, 190.0), (-60.0, 184.0), (2.5, 184.0)]
SPOKE = [(2.5, 184.0), (12.0, 150.0), (4.0, 80.0)]


@st.composite
def boxes(draw: st.DrawFn) -> list[Box]:
    """Boxes alike in width, as the same doubt makes them, and of several heights."""
    width = draw(st.floats(0.0, 3.0))
    found = []
    for _ in range(draw(st.integers(1, 5))):
        x, r = draw(st.floats(-110.0, -8.0)), draw(st.floats(60.0, 176.0))
        found.append(Box(x, x + width, r, r + draw(st.floats(0.0, 3.0))))
    return found


@settings(max_examples=150, deadline=None)
@given(boxes(), st.floats(0.0, 1.0), st.lists(st.floats(0.0, 1.0), min_size=5, max_size=5))
def test_no_caliper_in_its_boxes_comes_nearer_than_the_paths(
    found: list[Box], across: float, up: list[float]
) -> None:
    points = [
        (b.x0 + across * (b.x1 - b.x0), b.r0 + v * (b.r1 - b.r0))
        for b, v in zip(found, up, strict=False)
    ]
    inside = Inside.of(BARREL, SPOKE)
    gaps = wheel_gaps(points, BARREL, SPOKE)
    least = inside.least(paths_of(found), inside.gaps([(b.x0, b.r0) for b in found]))
    assert gaps.barrel.gap_mm >= least.barrel.gap_mm - 1e-9
    assert gaps.spoke.gap_mm >= least.spoke.gap_mm - 1e-9


def test_the_paths_run_along_every_box_and_from_corner_to_corner() -> None:
    one, two = Box(-60.0, -58.0, 150.0, 151.0), Box(-20.0, -18.0, 140.0, 143.0)
    edges = {frozenset(edge) for path in paths_of([one, two]) for edge in pairwise(path)}
    for a, b in zip(one.loop(), two.loop(), strict=True):
        assert frozenset((a, b)) in edges
    for box in (one, two):
        assert all(frozenset(e) in edges for e in pairwise(box.loop()))
    assert paths_of([one]) == [one.loop()]
