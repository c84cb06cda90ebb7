"""The margin columns: texts apart, in their span, leaders uncrossed where that can be."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from lugplane.render.drawing.lettering import width
from lugplane.render.drawing.margin import Margins, margin_groups
from lugplane.render.drawing.scene import Group, Path, Text
from lugplane.render.drawing.sketch import Callout

COLUMNS = Margins(left=-100.0, right=50.0, room=70.0, low=0.0, high=200.0, unit=1.0)
Box = tuple[float, float, float, float]


def boxes(group: Group) -> list[Box]:
    found = []
    for s in group.shapes:
        if isinstance(s, Text):
            long = width(s.text, s.height_mm, s.bold)
            left = s.at[0] - (long if s.anchor == "end" else 0.0)
            found.append((left, s.at[1] - 0.8, left + long, s.at[1] + s.height_mm))
    return found


def leader(group: Group) -> Path:
    return next(s for s in group.shapes if isinstance(s, Path) and len(s.points) == 3)


def test_nearer_column_and_own_height() -> None:
    calls = [Callout("a", ("inboard",), ((-80.0, 120.0),)), Callout("b", ("out",), ((20.0, 60.0),))]
    groups = margin_groups(calls, COLUMNS)
    assert groups is not None
    left, right = groups
    assert leader(left).points[0] == (-100.0, 120.0)
    assert leader(left).points[-1] == (-80.0, 120.0)
    assert leader(right).points[0] == (50.0, 60.0)


def test_too_many_for_both_columns() -> None:
    calls = [Callout(str(n), ("text",), ((0.0, 10.0),)) for n in range(100)]
    assert margin_groups(calls, COLUMNS) is None


def test_full_column_gives_to_the_other() -> None:
    calls = [Callout(str(n), ("text",), ((-90.0 + n, 100.0),)) for n in range(40)]
    groups = margin_groups(calls, COLUMNS)
    assert groups is not None
    sides = [leader(g).points[0][0] for g in groups]
    assert set(sides) == {-100.0, 50.0}
    moved = max(leader(g).points[-1][0] for g in groups if leader(g).points[0][0] == 50.0)
    assert moved == -51.0, "those nearest the middle move"


def test_leaders_do_not_cross() -> None:
    # by height alone these two would cross: the lower place lies further from the column
    calls = [
        Callout("near", ("near",), ((-95.0, 100.0),)),
        Callout("far", ("far",), ((-40.0, 101.0),)),
        Callout("low", ("low",), ((-95.0, 99.0),)),
    ]
    groups = margin_groups(calls, COLUMNS)
    assert groups is not None
    lines = [leader(g).points[1:] for g in groups]
    for (a, b), (c, d) in combinations(lines, 2):
        assert not crossing(a, b, c, d)


def crossing(a: object, b: object, c: object, d: object) -> bool:
    def side(p: tuple[float, float], q: tuple[float, float], s: tuple[float, float]) -> float:
        return (q[0] - p[0]) * (s[1] - p[1]) - (q[1] - p[1]) * (s[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0  # type: ignore[arg-type]


places = st.tuples(st.floats(-95, 45), st.floats(-20, 220))
given_texts = st.lists(
    st.tuples(st.text("abcm ", min_size=1, max_size=90), st.lists(places, max_size=2)), max_size=24
)


@given(given_texts, st.integers(0, 2))
def test_texts_keep_apart(texts: list[tuple[str, list[tuple[float, float]]]], bold: int) -> None:
    calls = [Callout(str(n), (t,), tuple(at), bold=n < bold) for n, (t, at) in enumerate(texts)]
    groups = margin_groups(calls, COLUMNS)
    if groups is None:
        return
    assert len(groups) == sum(bool(t.strip()) for t, _ in texts)
    found = [b for g in groups for b in boxes(g)]
    for a, b in combinations(found, 2):
        assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] + 1e-6 or b[3] <= a[1] + 1e-6
    for x0, r0, x1, r1 in found:
        assert r0 >= COLUMNS.low - 1e-6
        assert r1 <= COLUMNS.high + 1e-6
        assert x1 <= COLUMNS.left or x0 >= COLUMNS.right
        assert x1 - x0 <= COLUMNS.room + 1e-6
