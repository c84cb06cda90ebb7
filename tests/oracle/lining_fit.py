"""Pads in the disc's face: overhang, bridge, trim, hat, pistons over lining."""

from __future__ import annotations

import numpy as np

from .boxes import Span, span, total
from .geometry import BEYOND, Array, Lining, turned
from .pads import Padded

RUNNING_GAP = 1.0  # TRADE §2 "Trim"


class Fitted(Padded):
    """Pads in the disc's face: overhang, bridge, trim, hat, pistons over lining."""

    def radial_fit(self) -> None:
        forms = self.lining()
        rb, y0, a, rim = self.v_rb, self.v_y0, self.v_a, self.v_d
        there = len(rb) > 0
        height = rb + a
        known_all = there and bool(forms) and not np.isnan(height + rim).any()
        if known_all:
            outs = [rim / 2 - f.outermost(y0, height) for f in forms]
            values = float(np.min(outs)), float(np.max(outs))
            self.put("overhang", values, "overhang")
        else:
            self.word("overhang", "cannot tell")
        self.bridge(there)
        self.trimming(forms, known_all)
        hat = total((-1, self.pad.num("plate_depth_mm")), (-1, self.disc.num("hat_radius_mm")))
        if there and hat is not None and not np.isnan(height).any():
            lo, hi = span(hat)
            self.put("plate-hat", (float(height.min()) + lo, float(height.max()) + hi), "plate-hat")
        else:
            self.word("plate-hat", "cannot tell")
        self.piston_cover(forms, known_all)

    def bridge(self, there: bool) -> None:
        form, b = self.caliper.get("bridge_form"), self.lifted("line_to_bridge_mm")
        rb, y0, rim = self.v_rb, self.v_y0, self.v_d
        values: Span | None = None
        if there and b is not None and form is not None and not np.isnan(rim).any():
            lo, hi = span(b)
            lows, highs = rb + lo - rim / 2, rb + hi - rim / 2
            if form == "arched":
                wide = self.caliper.num("bridge_half_width_mm")
                corner = self.lifted("line_to_bridge_corner_mm")
                if wide is None or corner is None:
                    lows = highs = np.full_like(rb, np.nan)
                else:
                    for turn in (-1.0, 1.0):
                        ends = [
                            np.hypot(y0 + turn * w, rb + c) - rim / 2
                            for w in span(wide)
                            for c in span(corner)
                        ]
                        lows = np.minimum(lows, np.min(ends, axis=0))
                        highs = np.minimum(highs, np.max(ends, axis=0))
            values = float(np.min(lows)), float(np.max(highs))
        self.put("bridge", values, "bridge")

    def band(self) -> tuple[Span, float, float] | None:
        """Inner ends of both friction bands: bounds of the worse one."""
        faces = [self.disc.num(f"band_inner_{side}_mm") for side in ("inboard", "outboard")]
        if faces[0] is None or faces[1] is None:
            return None
        spans = [span(f) for f in faces if f is not None]
        worse = max(s[0] for s in spans), max(s[1] for s in spans)
        return worse, min(s[0] for s in spans), min(s[1] for s in spans)

    def places(self) -> list[tuple[float, float, float]]:
        """Few vertices (y_0, height, D) that bound the trim: its extremes of place and rim."""
        rows = np.round(np.column_stack([self.v_y0, self.v_rb + self.v_a, self.v_d]), 9)
        rows = np.unique(rows, axis=0)
        if len(rows) <= 4:
            return [tuple(row) for row in rows]
        picks = set()
        for column in range(2):
            picks |= {int(rows[:, column].argmin()), int(rows[:, column].argmax())}
        for rim in np.unique(rows[:, 2]):
            at = np.flatnonzero(rows[:, 2] == rim)
            picks |= {int(at[rows[at, 1].argmin()]), int(at[rows[at, 1].argmax()])}
        return [tuple(rows[i]) for i in sorted(picks)]

    def trimming(self, forms: list[Lining], known_all: bool) -> None:
        band = self.band()
        self.trim_left: Span | None = None
        y0, height, rim = self.v_y0, self.v_rb + self.v_a, self.v_d
        self.word("trim", "cannot tell")
        self.word("trim-depth", "cannot tell")
        if band is None or not forms or not len(height) or np.isnan(height).any():
            return
        (worse_lo, worse_hi), *_ = band
        inner = [f.innermost(y0, height) for f in forms]
        near_lo, near_hi = float(np.min(inner)), float(np.max(inner))
        depth = (
            max(0.0, worse_lo + RUNNING_GAP - near_hi),
            max(0.0, worse_hi + RUNNING_GAP - near_lo),
        )
        allowed = self.pad.num("trimmable_mm")
        if allowed is not None:
            lo, hi = span(allowed)
            self.put("trim-depth", (lo - depth[1], hi - depth[0]), "margin")
        elif depth[1] <= 1e-9:
            self.word("trim-depth", "holds")  # nothing comes off
        if not known_all:
            return
        outer = [f.outermost(y0, height) for f in forms]
        over_hi = float(np.max([o - rim / 2 for o in outer]))
        over_lo = float(np.min([o - rim / 2 for o in outer]))
        tiny = 1e-9
        surely_whole = depth[1] <= tiny and over_hi <= tiny
        may_be_whole = any(
            bool(((i >= worse_lo + RUNNING_GAP - tiny) & (o <= rim / 2 + tiny)).any())
            for i, o in zip(inner, outer, strict=True)
        )
        shares: list[float] = []
        areas: list[float] = []
        means: list[float] = []
        both_ends = depth[1] > tiny and over_hi > tiny and over_lo < over_hi
        places = self.more_places(both_ends)
        if surely_whole:  # nothing is cut, wherever it stands: only the mean radius moves
            places = [min(places, key=lambda p: p[1]), max(places, key=lambda p: p[1])]
        raw = self.pad.get("lining")
        for y, h, d in places:
            for low in {worse_lo, worse_hi}:
                cut = (0.0, BEYOND) if surely_whole else (low + RUNNING_GAP, d / 2)
                for form in [*forms, *turned(raw, (y, h), *cut, self.pad.cache)]:
                    clip = form.clipped(y, h, *cut)
                    shares.append(max(0.0, clip.share))
                    areas.append(clip.area)
                    means.append(clip.mean_radius)
        share = (0.0, 0.0) if surely_whole else (min(shares), max(shares))
        if may_be_whole:
            share = 0.0, share[1]
        self.put("trim", share, "trim")
        self.answer.trim_share = share
        self.answer.area_left = min(areas), max(areas)
        if min(areas) > 1e-9 * max(1.0, max(areas)):  # nothing left has no mean radius
            self.answer.r_eff = self.trim_left = min(means), max(means)

    def more_places(self, both_ends: bool) -> list[tuple[float, float, float]]:
        places = self.places()
        if not both_ends:
            return places
        # Lost at both edges: the share is not monotone in height, so look in between as well.
        heights = [h for _, h, _ in places]
        mid = [
            (y, float(h), d)
            for y, _, d in places
            for h in np.linspace(min(heights), max(heights), 9)
        ]
        return places + mid

    def piston_cover(self, forms: list[Lining], known_all: bool) -> None:
        """Piston-centre radius within the lining left at mid-pad: least way to each end."""
        line = self.lifted("line_to_piston_mm")
        band = self.band()
        if not known_all or line is None or band is None:
            self.word("piston-cover", "cannot tell")
            return
        (worse_lo, worse_hi), *_ = band
        rb, y0, a, rim = self.v_rb, self.v_y0, self.v_a, self.v_d
        lp = span(line)
        lows: list[Array] = []
        highs: list[Array] = []
        for form in forms:
            for inner, out in ((worse_hi, lows), (worse_lo, highs)):
                top = np.minimum(np.hypot(y0, rb + a), rim / 2)
                bottom = np.maximum(np.hypot(y0, rb + a - form.depth), inner + RUNNING_GAP)
                tries = [np.hypot(y0, rb + x) for x in lp]
                if out is highs:
                    tries.append(np.clip((top + bottom) / 2, tries[0], tries[1]))
                each = [np.minimum(top - p, p - bottom) for p in tries]
                out.append(np.min(each, axis=0) if out is lows else np.max(each, axis=0))
        self.put("piston-cover", (float(np.min(lows)), float(np.max(highs))), "margin")
