"""The wheel over hub and caliper."""

from __future__ import annotations

import numpy as np

from .bolts import thread
from .boxes import span, total
from .corner import Cornered
from .geometry import WheelInside
from .read_kb import Part
from .setup import CHECKS


class Wheeled(Cornered):
    """The wheel over hub and caliper."""

    def wheels(self) -> None:
        w, k = self.wheel, self.knuckle
        if w is None:
            for check, scope in CHECKS.items():
                if scope == "wheel":
                    self.word(check, "n/a")
            return
        count = total((1, self.count(w, "bolts.count")), (-1, self.count(k, "hub.bolts.count")))
        self.put_abs("wheel-count", count, "same-count")
        circle = total((1, w.num("bolts.circle_mm")), (-1, k.num("hub.bolts.circle_mm")))
        self.put_abs("wheel-circle", circle, "same-length")
        centring, plate, spacer = w.get("centring"), self.plate, self.wheel_spacer
        bore = total((1, w.num("bore_mm")), (-1, k.num("hub.spigot_mm")))
        if centring is None:
            self.word("wheel-bore", "cannot tell")
            if bore is not None and span(bore)[1] < 0:
                self.word("wheel-bore", "fails")
        elif centring == "bolts":  # only has to pass over
            self.put_form("wheel-bore", bore, "margin")
        else:
            self.put_form("wheel-bore", bore, "wheel-bore")
        left = total((1, k.num("hub.spigot_length_mm")), (-1, plate), (-spacer, 1.0))
        if centring == "hub":
            self.put_form("wheel-spigot", left, "wheel-spigot")
        else:
            self.word("wheel-spigot", "n/a" if centring == "bolts" else "cannot tell")
        name = k.get("hub.fixing_thread")
        studs = total(
            (1, k.num("hub.fixing_length_mm")),
            (-1, plate),
            (-spacer, 1.0),
            (-1, w.num("seat_thickness_mm")),
            (-1, None if name is None else thread(name)[0]),
        )
        self.put_form("stud-engagement", studs, "margin")
        self.wheel_gap(w)

    def wheel_gap(self, w: Part) -> None:
        swept = self.swept()
        shift = total((1, self.x_c), (-1, self.plate), (-self.wheel_spacer, 1.0))
        self.word("wheel-gap", "cannot tell")
        if swept is None or shift is None:
            return
        points = np.array(self.caliper.get("outline.points_x_r_y"), dtype=float)
        pm = float(self.caliper.get("outline.plus_minus_mm") or 0.0)
        lo, hi = span(shift)
        x_lo, x_hi = points[:, 0] + lo - pm, points[:, 0] + hi + pm
        barrel, spokes = w.get("outline.barrel_x_r"), w.get("outline.spoke_x_r")
        if barrel and spokes:
            inside = w.cache.get("inside")
            if inside is None:
                inside = w.cache["inside"] = WheelInside(barrel, spokes)
            own = float(w.get("outline.plus_minus_mm") or 0.0)
            least = np.column_stack([x_lo - own, swept[0] - own])
            most = np.column_stack([x_hi + own, swept[1] + own])
            self.put("wheel-gap", inside.gap(least, most), "wheel-gap")
            return
        # The rim's diameter alone: only a certain clash under the barrel is told.
        rim, width, offset = w.num("rim_in"), w.num("width_in"), w.num("offset_mm")
        if rim is None or width is None or offset is None:
            return
        half = 25.4 / 2 * span(width)[0]
        inner_edge, outer_edge = -span(offset)[0] - half, -span(offset)[1] + half
        under = (x_lo >= inner_edge) & (x_hi <= outer_edge)
        room = span(rim)[1] * 25.4 / 2 - swept[0][under]
        if len(room) and float(room.min()) < 0:
            self.word("wheel-gap", "fails")
