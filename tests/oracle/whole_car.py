"""What needs the whole car: only the slip reserve is reckoned."""

from __future__ import annotations

import re
from itertools import product
from math import pi

import numpy as np

from .bands import constant
from .bolts import preload_and_torque_factor
from .boxes import Span, span, span_abs, total
from .wheels import Wheeled

G = 9.80665  # m/s², standard gravity
_TYRE = re.compile(r"(\d+)\s*/\s*(\d+)\s*Z?R\s*(\d+(?:\.\d+)?)")


class Case(Wheeled):
    """What needs the whole car: only the slip reserve is reckoned."""

    def car(self) -> None:
        for check in ("balance", "pedal", "heat"):
            self.word(check, "cannot tell")
        if self.states["adapter"] == "work":
            self.word("slip-reserve", "n/a")  # as all of the plate's bolts
        else:
            self.put("slip-reserve", self.slip_reserve(), "slip-reserve")

    def tyre_force(self) -> Span | None:
        """Friction force at the ring times its radius, N·mm a wheel: greatest the tyre allows."""
        p = self.platform
        match = _TYRE.search(str(p.get(f"{self.axle}.tyre") or ""))
        mass, share = p.num("gross_kg"), p.num("gross_front_share")
        base, high = p.num("wheelbase_mm"), p.num("cog_height_mm")
        if match is None or mass is None or share is None or base is None or high is None:
            return None
        across = float(match[3]) * 25.4 + 2 * float(match[1]) * float(match[2]) / 100
        radius = constant("tyre_radius_factor") * across / (2 * pi)
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
