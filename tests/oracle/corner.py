"""Hub, shield, surroundings, side of the car, parking brake, hose and used disc."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from .boxes import Aff, span, total
from .geometry import Array
from .lining_fit import Fitted

SHIELD_ROOM = 2.0  # TRADE §2 "Hub"


class Cornered(Fitted):
    """Hub, shield, surroundings, side of the car, parking brake, hose and used disc."""

    def hub(self) -> None:
        k, d = self.knuckle, self.disc
        spigot = k.num("hub.spigot_mm")
        self.put_form("hub-bore", total((1, d.num("bore_mm")), (-1, spigot)), "hub-bore")
        count = total((1, self.count(d, "bolts.count")), (-1, self.count(k, "hub.bolts.count")))
        self.put_abs("stud-count", count, "same-count")
        circle = total((1, d.num("bolts.circle_mm")), (-1, k.num("hub.bolts.circle_mm")))
        self.put_abs("bolt-circle", circle, "same-length")
        inside = d.num("hat_inside_radius_mm")
        self.put_form(
            "hat-flange", total((1, inside), (-1, k.num("hub.flange_radius_mm"))), "hat-room"
        )
        shoes = k.get("shoes.fitted")
        if shoes is False:
            self.word("hat-shoes", "n/a")
            self.word("drum", "n/a")
        elif shoes is None:
            self.word("hat-shoes", "cannot tell")
            self.word("drum", "cannot tell")
        else:
            self.put_form(
                "hat-shoes", total((1, inside), (-1, k.num("shoes.radius_mm"))), "hat-room"
            )
            drum = d.get("drum.fitted")
            if drum is False:
                self.word("drum", "fails")
            elif drum is None:
                self.word("drum", "cannot tell")
            else:
                off = total((1, d.num("drum.diameter_mm")), (-1, k.num("shoes.diameter_mm")))
                self.put_abs("drum", off, "same-length")
        shield = k.get("shield.fitted")
        if shield is True:
            lip = total(
                (1, k.num("shield.lip_radius_mm")), (-0.5, self.diameter), (-SHIELD_ROOM, 1.0)
            )
            self.put_form("shield-lip", lip, "shield-lip")
            face = total((1, self.x_mid), (-0.5, self.thickness), (-1, k.num("shield.face_mm")))
            self.put_form("shield-face", face, "shield-face")
        else:
            state = "n/a" if shield is False else "cannot tell"
            self.word("shield-lip", state)
            self.word("shield-face", state)
        self.surroundings()

    def swept(self) -> tuple[Array, Array] | None:
        """Least and greatest swept radius of each outline point (TRADE §2 Wheel)."""
        raw = self.caliper.get("outline.points_x_r_y")
        lift = Aff(0.0) if self.body == "fixed" else self.carrier.num("lift_mm")
        if not raw or not len(self.v_rb) or lift is None or self.body is None:
            return None
        pm = float(self.caliper.get("outline.plus_minus_mm") or 0.0)
        points = np.array(raw, dtype=float)
        low, high = span(lift)
        place = np.unique(np.round(np.column_stack([self.v_rb, self.v_y0]), 9), axis=0)
        across = np.abs(place[:, 1][:, None] + points[None, :, 2])
        up = place[:, 0][:, None] + points[None, :, 1]
        least = np.hypot(np.maximum(across - pm, 0.0), up + low - pm).min(axis=0)
        most = np.hypot(across + pm, up + high + pm).max(axis=0)
        return least, most

    def surroundings(self) -> None:
        free, swept = self.knuckle.num("surroundings.clear_radius_mm"), self.swept()
        if free is None or swept is None or self.diameter is None:
            self.word("surroundings", "work")  # looked at on the mock-up
            return
        ring = span(self.diameter)
        (lo, hi) = span(free)
        room = (
            lo - max(ring[1] / 2, float(swept[1].max())),
            hi - max(ring[0] / 2, float(swept[0].max())),
        )
        self.have["surroundings"] = room
        self.word("surroundings", "holds" if room[0] >= -1e-9 else "work")

    def sides(self) -> None:
        here, there = (
            self.knuckle.get("behind_axle"),
            self.caliper.get("designed_for.behind_axle"),
        )
        bleeders = self.caliper.get("bleeders")
        swap = False
        if here is None or there is None:
            self.word("hand", "cannot tell")
        elif here == there or bleeders == "both-ends":
            self.word("hand", "holds")
        elif bleeders is None or self.caliper.get("hand") != "pair":
            # One for both sides with one bleeder, turned over: its bleeder may come undermost.
            self.word("hand", "cannot tell")
        else:
            swap = True
            self.word("hand", "work")
        bores = self.caliper.get("pistons.bores_mm")
        if self.states["hand"] == "cannot tell":
            self.word("piston-order", "cannot tell")
        elif not swap:
            self.word("piston-order", "n/a")
        elif bores is None:
            self.word("piston-order", "cannot tell")
        else:
            self.word("piston-order", "holds" if bores == bores[::-1] else "care")
        vanes = self.disc.get("vanes")
        self.word("vanes", "cannot tell" if vanes is None else "holds")
        self.word("parking-brake", self.parking_brake())
        ours, port = self.hose.get("thread"), self.caliper.get("hose")
        if ours is None or port is None:
            self.word("hose-thread", "cannot tell")
        elif ours == port:
            self.word("hose-thread", "holds")
        else:
            alike = {ours, port} == {"M10x1", "3/8-24 UNF"}
            self.word("hose-thread", "fails" if alike else "work")
        seat, form = self.hose.get("seat"), self.caliper.get("hose_seat")
        if seat is None or form is None:
            self.word("hose-seat", "cannot tell")
        else:
            self.word("hose-seat", "holds" if seat == form else "work")
        self.used_disc()

    def parking_brake(self) -> str:
        if self.axle != "rear":
            return "n/a"
        where = self.platform.get("rear.parking_brake")
        if where in ("none", "separate"):
            return "holds"
        if where == "in-caliper":
            here = self.caliper.get("parking_brake")
            kept: bool | None = None if here is None else here == "in-caliper"
        elif where == "drum-in-hat":
            kept = self.disc.get("drum.fitted")
        else:
            kept = None
        return "cannot tell" if kept is None else ("holds" if kept else "fails")

    def used_disc(self) -> None:
        d = self.disc
        rows: list[tuple[str, str, Callable[[], Aff | None], str]] = [
            (
                "disc-worn",
                "measured_thickness_mm",
                lambda: total((1, d.num("measured_thickness_mm")), (-1, d.num("min_thickness_mm"))),
                "disc-worn",
            ),
            ("disc-runout", "runout_mm", lambda: d.num("runout_mm"), "runout"),
            (
                "disc-variation",
                "thickness_variation_mm",
                lambda: d.num("thickness_variation_mm"),
                "thickness-variation",
            ),
        ]
        for check, path, form, limit in rows:
            if d.get(path) is None:
                self.word(check, "n/a")
            else:
                self.put_form(check, form(), limit)
        cracked = d.get("cracked")
        self.word("disc-cracks", {None: "n/a", True: "fails", False: "holds"}[cracked])
