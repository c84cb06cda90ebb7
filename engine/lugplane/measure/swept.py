"""The caliper's outline as it sweeps past: axial place and hub radius of each point, as forms."""

from __future__ import annotations

from collections.abc import Sequence

from lugplane.measure.bench import Bench
from lugplane.quantity.form import Form, hypot_of, within


def swept_points(b: Bench, points: Sequence[tuple[float, ...]]) -> tuple[tuple[float, Form], ...]:
    """Each point's `x` from the caliper's centre plane, and the hub radius at which it sweeps by.

    `hypot(R_b + r, y_0 + y)` (TRADE §2, wheel). The outline's ± is one of each coordinate; that of
    `x` is left to the caller.
    """
    p = b.place
    base, y0 = b.bolt_line + p.lift, p.bolt_line_offset
    spread = b.setup.caliper.outline.points_x_r_y.plus_minus
    own_r = within("caliper.outline.points_x_r_y", -spread, spread, 0.0) if spread else Form()
    own_y = within("(outline along the bolt line)", -spread, spread, 0.0) if spread else Form()
    return tuple((x, hypot_of("swept", base + r + own_r, y0 + y + own_y)) for x, r, y in points)
