"""What needs the whole car: the slip reserve, and the brakes beside those of stock."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product

import numpy as np

from .axle_brake import Brake, brake_of, tyre_radius
from .bands import constant
from .beside_stock import WholeCar
from .bolts import preload_and_torque_factor
from .boxes import Span, span, span_abs, total
from .braking import G
from .read_kb import EMPTY, Kb, Part
from .wheels import Wheeled

JUDGED = {  # check: limit
    "front-share": "front-share",
    "front-first": "front-first",
    "grip-use": "grip-use",
    "pedal-effort": "pedal-effort",
    "stop": "stop",
    "torque-change": "torque-change",
    "pedal-travel": "pedal-travel",
    "pedal-reserve": "stroke-reserve",
    "master-stroke": "stroke-reserve",
    "heat-stop": "heat",
    "heat-repeated": "heat",
    "heat-descent": "heat",
    "unsprung": "unsprung",
    "ring-inertia": "ring-inertia",
    "pad-life": "pad-life",
}


KINDS = ("caliper", "carrier", "disc", "pad")


def stock_brake(
    kb: Kb, platform: Part, axle: str, knuckle: Part, kept: Mapping[str, Part]
) -> Brake | None:
    """The brake that the factory fitted to an axle, on a knuckle; None: a part is not known.

    `kept`: stock parts that stay, as they were measured; what is measured of one that stays is no
    difference to stock.
    """
    named = {
        kind: kept.get(kind) or kb.find(kind, platform.get(f"{axle}.stock.{kind}"))
        for kind in KINDS
    }
    caliper, disc, pad = named["caliper"], named["disc"], named["pad"]
    if caliper is None or disc is None or pad is None:
        return None
    parts = {"platform": platform, "knuckle": knuckle, "hose": EMPTY}
    parts |= {"caliper": caliper, "disc": disc, "pad": pad}
    if named["carrier"] is not None:
        parts["carrier"] = named["carrier"]
    case = Case(kb, parts, axle, False, 0.0, {})
    case.place()
    case.bolting()
    case.pads()
    case.radial_fit()
    return brake_of(case)


class Case(Wheeled):
    """What needs the whole car: the slip reserve, and the brakes beside those of stock."""

    def car(self, whole: bool = True) -> None:
        if whole:
            self.beside_stock()
        else:
            for check in (*JUDGED, "first-lock"):
                self.word(check, "cannot tell")
        if self.states["adapter"] == "work":
            self.word("slip-reserve", "n/a")  # as all of the plate's bolts
        else:
            self.put("slip-reserve", self.slip_reserve(), "slip-reserve")

    def beside_stock(self) -> None:
        """All checks that compare the car's brakes with those of stock."""
        car, platform = self.whole_car(), self.platform
        for check, limit in JUDGED.items():
            self.put(check, getattr(car, check.replace("-", "_"))(), limit)
        self.word("first-lock", car.first_lock())
        left_out: list[str] = []
        if platform.get("electronics") == "none":
            left_out.append("torque-change")
        if platform.get("valve") == "electronic":  # the unit holds the rear back, not a valve
            left_out += ["front-first", "grip-use", "first-lock"]
        for check in left_out:
            self.word(check, "n/a")
            self.have.pop(check, None)
        if platform.get("electronics") is None:  # whether there is anything to mind
            self.word("torque-change", "cannot tell")

    def whole_car(self) -> WholeCar:
        """This axle as built and as stock, and the other one as stock."""
        kb, platform = self.kb, self.platform
        there = {"front": "rear", "rear": "front"}[self.axle]
        other = kb.find("knuckle", platform.get(f"{there}.knuckle"))
        stay = {k: p for k in KINDS if (p := self.measured_stock(k)) is not None}
        return WholeCar(
            platform,
            kb.find("master", platform.get("master")),
            self.axle,
            brake_of(self),
            self.stock_of(self.axle, self.knuckle, stay),
            None if other is None else self.stock_of(there, other, {}),
        )

    def measured_stock(self, kind: str) -> Part | None:
        """A fitted part that is the stock one and has been measured anew."""
        part: Part = getattr(self, kind)
        stays = part.id == self.platform.get(f"{self.axle}.stock.{kind}")
        return part if stays and part is not self.kb.find(kind, part.id) else None

    def stock_of(self, axle: str, knuckle: Part, kept: Mapping[str, Part]) -> Brake | None:
        """A stock brake, reckoned once where all is as the facts have it."""
        key = ("stock brake", self.platform.id, axle)
        if kept or knuckle is not self.kb.find("knuckle", knuckle.id):  # measured anew
            return stock_brake(self.kb, self.platform, axle, knuckle, kept)
        if key not in self.kb.cache:
            self.kb.cache[key] = stock_brake(self.kb, self.platform, axle, knuckle, kept)
        return self.kb.cache[key]  # type: ignore[no-any-return]

    def tyre_force(self) -> Span | None:
        """Friction force at the ring times its radius, N·mm a wheel: greatest the tyre allows."""
        p = self.platform
        radius = tyre_radius(p.get(f"{self.axle}.tyre"))
        mass, share = p.num("gross_kg"), p.num("gross_front_share")
        base, high = p.num("wheelbase_mm"), p.num("cog_height_mm")
        if radius is None or mass is None or share is None or base is None or high is None:
            return None
        z, grip = constant("braking_greatest"), constant("friction_tyre")
        loads = []
        for m, f, b, h in product(span(mass), span(share), span(base), span(high)):
            front = f + z * h / b
            loads.append(m * G * (front if self.axle == "front" else 1 - front) / 2)
        return grip * min(loads) * radius, grip * max(loads) * radius

    def slip_reserve(self) -> Span | None:
        moment, reff, torque = self.tyre_force(), self.trim_left, self.torque
        arm = total((1, self.x_mid), (-1, self.x_ear))
        if moment is None or reff is None or torque is None or arm is None:
            return None
        if not self.bolts or self.thread is None or self.c_ear is None:
            return None
        rb, cs = self.v_rb, self.v_c
        if self.mount == "radial":  # about the seat, whatever lies on it; the arms swap
            rb, cs = self.rb, self.rb_c
        doubt = constant("torque_plus_minus")
        friction, grip = constant("friction_thread"), constant("friction_joint")
        out: list[float] = []
        reach = span_abs(arm)
        for bolt in self.bolts:
            wide = self.bearing(bolt)
            if wide is None:
                return None
            factors = [
                preload_and_torque_factor(self.thread, bolt.cls, friction, w)[1] for w in wide
            ]
            loads = (
                torque[0] * (1 - doubt) / factors[1] * 1000,
                torque[1] * (1 + doubt) / factors[0] * 1000,
            )
            rows = np.array(list(product(loads, moment, reff, reach)))
            load_n, mo, r, x = (rows[:, i][:, None] for i in range(4))
            force, lever = mo / r, r - rb
            level, upright = (x, lever) if self.mount == "radial" else (lever, x)
            share = force * np.hypot(0.5, level / cs)
            reserve = (load_n - force * np.abs(upright) / cs) * grip / share
            out += [float(reserve.min()), float(reserve.max())]
        return min(out), max(out)
