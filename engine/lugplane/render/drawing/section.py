"""The section drawing of a fit setup: the placed parts that the checks judge, true to scale."""

from __future__ import annotations

import math
from dataclasses import replace

from lugplane.answers.evidence import find_fact
from lugplane.answers.sheet import Judged
from lugplane.errors import BadInput
from lugplane.render.drawing.around import draw_shield, draw_wheel
from lugplane.render.drawing.block import limiting_words
from lugplane.render.drawing.body import draw_body
from lugplane.render.drawing.datum import draw_datum
from lugplane.render.drawing.dimensions import draw_dimensions
from lugplane.render.drawing.disc import draw_disc
from lugplane.render.drawing.joint import draw_joint
from lugplane.render.drawing.pads import draw_pads
from lugplane.render.drawing.paper import compose
from lugplane.render.drawing.scene import Scene, svg
from lugplane.render.drawing.sketch import Callout, Sketch
from lugplane.render.drawing.values import row_of, told

LEAST_SCALE, GREATEST_SCALE = 0.1, 5.0


def section_svg(judged: Judged, *, scale: float = 1.0, date: str = "") -> str:
    """The half section in the plane of hub axis and caliper, as an SVG file's text.

    `scale` is paper over parts (0.5: 1:2, which fits A4 landscape; 1.0 takes A3 or A2); `date` is
    printed as given. One picture unit is one millimetre of the parts. Raises `BadInput` for a
    scale that is not between 1:10 and 5:1.
    """
    return svg(section_scene(judged, scale=scale, date=date))


def section_scene(judged: Judged, *, scale: float = 1.0, date: str = "") -> Scene:
    """The same as a scene. Raises `BadInput`."""
    if not (math.isfinite(scale) and LEAST_SCALE <= scale <= GREATEST_SCALE):
        raise BadInput(f"scale {scale:g}: give one from {LEAST_SCALE:g} to {GREATEST_SCALE:g}")
    bench, sheet = judged.deduction.bench, judged.sheet
    limiting = limiting_words(sheet)
    s = Sketch(1.0 / scale, lambda path: _known(judged, path))
    draw_body(s, bench)
    draw_disc(s, bench)
    draw_pads(s, bench)
    draw_joint(s, bench)
    draw_shield(s, bench)
    draw_wheel(s, bench)
    draw_dimensions(s, bench, sheet, limiting)
    draw_datum(s, bench, sheet, limiting)
    for check, scopes in limiting.items():
        _limit(s, judged, check, scopes)
    return compose(s, judged, scale, date)


def _known(judged: Judged, path: str) -> bool:
    """Whether a fact is recorded; a list counts as known where it has anything in it."""
    found = find_fact(judged.deduction.bench.setup, path)
    return found is not None and found[1].known


def _limit(s: Sketch, judged: Judged, check: str, scopes: list[str]) -> None:
    """The limiting check in a bold frame: its dimension's text, or one of its own."""
    row = row_of(judged.sheet, check)
    if row is None:
        return
    head = f"limits the {' and the '.join(scopes)}"
    for n, call in enumerate(s.calls):
        if call.key == check:
            named = "" if row.title in call.lines[0] else f", {row.title}"
            s.calls[n] = replace(call, lines=(f"{head}{named}:", *call.lines), bold=True)
            return
    place = s.spots.get(check)
    lines = (f"{head}:", told(row, s.known))
    s.calls.append(Callout(check, lines, (place,) if place else (), "arrow", True))
