"""Line types and widths of technical drawings.

Types and their numbers after ISO 128-2 (lines), group 0.5: wide 0.5 mm, narrow 0.25 mm; dash
lengths are multiples of the width: long dash 24, dash 12, gap 3, dot at most 0.5 (from memory, to
be confirmed in the standard). Lengths in mm on paper.
"""

from __future__ import annotations

from dataclasses import dataclass

WIDE_MM, NARROW_MM = 0.5, 0.25


@dataclass(frozen=True, slots=True)
class Pen:
    """A line type: width and dashes (mark, gap, ...) in mm on paper; no dashes: continuous."""

    name: str
    width_mm: float
    dashes_mm: tuple[float, ...] = ()


def _dashes(width: float, *lengths: float) -> tuple[float, ...]:
    return tuple(round(width * n, 3) for n in lengths)


WIDE = Pen("wide", WIDE_MM)
"""01.2: visible outlines that stand on recorded facts."""
NARROW = Pen("narrow", NARROW_MM)
"""01.1: dimension, extension and leader lines, hatching, and forms that are not recorded."""
HIDDEN = Pen("hidden", NARROW_MM, _dashes(NARROW_MM, 12, 3))
"""02.1: outlines behind what is drawn in front."""
CENTRE = Pen("centre", NARROW_MM, _dashes(NARROW_MM, 24, 3, 0.5, 3))
"""04.1: axes and middle planes."""
PHANTOM = Pen("phantom", NARROW_MM, _dashes(NARROW_MM, 24, 3, 0.5, 3, 0.5, 3))
"""05.1: outlines of adjacent parts and of extreme places."""
BOLD = Pen("bold", 1.0)
"""Twice the wide line: only the frame round the limiting check."""
