"""The front axle's share of the braking against stock, on the bands of its limit."""

from __future__ import annotations

from collections.abc import Sequence

from lugplane.answers.curves import Doubt
from lugplane.answers.rows import BandLine, Span
from lugplane.quantity.text import span
from lugplane.render.drawing.lettering import width
from lugplane.render.drawing.marks import corners
from lugplane.render.drawing.pens import NARROW, WIDE, Pen
from lugplane.render.drawing.scene import Dot, Group, Hatched, Path, Shape, Text, path
from lugplane.render.plots.axis import Axis, axis_over
from lugplane.render.plots.page import Drawn, lay_out, page_svg
from lugplane.render.plots.panel import LETTER_MM, Panel
from lugplane.render.plots.pens import GREY, HATCH
from lugplane.render.plots.series import doubt_words

_HIGH_MM = 40.0
_BEYOND = 1.0
_ZERO = Pen("stock", 0.35)


def share_svg(
    title: str,
    change: Span | Doubt,
    bands: Sequence[BandLine],
    source: str,
    notes: Sequence[str] = (),
) -> str:
    """The change of the front share in points of a percent, as SVG.

    `change` is in points (3: three hundredths more in front), as `bands` are, those of its limit.
    """
    said = [
        "Grey: what the doubts of the facts leave open; the spot is the value as "
        "given. Hatched: fails.",
        f"Bands: {source}." if source else "",
        *notes,
    ]
    if isinstance(change, Doubt):
        said.append(f"Left out: the change. Cannot tell: {doubt_words(change)}.")
    layout = lay_out(title, [_HIGH_MM], [n for n in said if n])
    x = _axis(change, bands)
    size = (layout.wide, _HIGH_MM)
    panel = Panel("share", "", layout.corners[0], size, x, Axis("", 0.0, 1.0, 0.0))
    shapes: list[Shape] = [*_bands(panel, bands)]
    zero = panel.at(0.0, 0.0)[0]
    shapes.append(path([(zero, panel.corner[1]), (zero, panel.top)], _ZERO))
    shapes.append(Text((zero + 1.0, panel.corner[1] + 2.0), "stock"))
    if isinstance(change, Span):
        shapes += _bar(panel, change)
    return page_svg(
        layout, [Drawn(panel, (Group("share", tuple(shapes)),), ())], " ".join((title, *said))
    )


def _axis(change: Span | Doubt, bands: Sequence[BandLine]) -> Axis:
    edges = [b.to for b in bands if b.to is not None]
    if isinstance(change, Span):
        edges += [change.lo, change.hi]
    low, high = min([0.0, *edges]), max([0.0, *edges])
    return axis_over("front share less that of stock, points", low - _BEYOND, high + _BEYOND, 14)


def _bands(panel: Panel, bands: Sequence[BandLine]) -> list[Shape]:
    """Each band's stretch with its name above; failing ones hatched."""
    shapes: list[Shape] = []
    low = panel.x.low
    for band in bands:
        high = panel.x.high if band.to is None else min(band.to, panel.x.high)
        a, b = panel.at(low, 0.0), panel.at(high, 1.0)
        if band.state == "fails":
            shapes.append(Hatched(corners(*a, *b), HATCH))
        if band.to is not None:
            shapes.append(path([(b[0], a[1]), b], NARROW))
        # A word cut short says less than the hatching alone, which the page explains.
        words = band.state if width(band.state, LETTER_MM) <= b[0] - a[0] - 1.0 else ""
        half = width(words, LETTER_MM) / 2 + 0.8
        middle, base = (a[0] + b[0]) / 2, panel.top - 2.0 - LETTER_MM
        if words:
            under = corners(middle - half, base - 1.0, middle + half, base + LETTER_MM + 1.0)
            shapes.append(Path(under, None, True, "#fff"))
            shapes.append(Text((middle, base), words, "middle"))
        low = high
    return shapes


def _bar(panel: Panel, change: Span) -> list[Shape]:
    (x0, y0), (x1, y1) = panel.at(change.lo, 0.3), panel.at(change.hi, 0.5)
    middle = (y0 + y1) / 2
    words = f"{span(change.lo, change.hi, change.nominal, 1)} points"
    half = width(words, LETTER_MM) / 2 + 1.0
    centre = min(max((x0 + x1) / 2, panel.corner[0] + half), panel.right - half)
    under = corners(centre - half, y0 - 6.0, centre + half, y0 - 1.5)
    return [
        Path(corners(x0, y0, x1, y1), WIDE, True, GREY),
        Dot((panel.at(change.nominal, 0.0)[0], middle), 1.2),
        Path(under, None, True, "#fff"),
        Text((centre, y0 - 5.0), words, "middle"),
    ]
