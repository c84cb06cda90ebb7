"""Where the parts lie in the section frame (TRADE §1-2), as forms over the facts.

`x` axial, outboard positive, zero at the hub seat; `r` from the hub axis; `y` along the bolt line,
from the foot of the hub's perpendicular, growing towards hole 1. Every property raises `Missing`
with the facts that are not known.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from lugplane.facts.value import Value
from lugplane.quantity.form import Form, Missing, hull, smooth
from lugplane.setup.parts import Setup
from lugplane.setup.shared import Shared
from lugplane.setup.trace import Tracer, placed


class Place(Tracer):
    """The placed parts of one setup, before anything is put between ear and lug."""

    def __init__(self, setup: Setup, shared: Shared | None = None) -> None:
        super().__init__(shared)
        self.parts = setup
        self.setup = setup if self.reads is None else self.reads.of(setup)

    def read(self, name: str) -> object:
        """What a read of that name, as `Reads` has it, gives here; nobody is told of it."""
        return getattr(self.parts, name)

    # --- the disc --------------------------------------------------------------------------
    @placed
    def plate(self) -> Form:
        """`p`, thickness of the hat's plate."""
        return self.q(self.setup.disc.plate_mm)

    @placed
    def ring(self) -> Form:
        """`T`, ring thickness new."""
        return self.q(self.setup.disc.thickness_mm)

    @placed
    def ring_worn(self) -> Form:
        """`T_min`. Raises `ValueError` where it is above the thickness when new."""
        worn, new = self.q(self.setup.disc.min_thickness_mm), self.setup.disc.thickness_mm
        if new.known and worn.lo > new.form.hi:
            raise ValueError("the disc's least thickness is above its thickness when new")
        return worn

    @placed
    def disc_radius(self) -> Form:
        """`D/2`."""
        return self.q(self.setup.disc.diameter_mm) / 2

    @placed
    def middle_by_disc(self) -> Form:
        """`x_mid` from the disc's own facts: `p - H + T/2` or, to the hub face, `-H + T/2`."""
        disc = self.setup.disc
        if self.word(self.setup.knuckle.hub.disc_from) == "behind":
            # Outside the frame: the hub seat is not where this disc's plate comes to lie.
            raise Missing("knuckle.hub.disc_from")
        below = self.ring / 2 - self.q(disc.height_mm)
        return below + self.plate if self.word(disc.height_to) == "wheel-face" else below

    # --- the mount -------------------------------------------------------------------------
    @placed
    def sigma(self) -> int:
        """+1: caliper outboard of the ear; -1: inboard."""
        return 1 if self.word(self.setup.knuckle.side) == "outboard" else -1

    @placed
    def mount(self) -> str:
        """`axial` or `radial`, as the knuckle has it."""
        return self.word(self.setup.knuckle.mount)

    @placed
    def floating(self) -> bool:
        return self.word(self.setup.caliper.body) == "floating"

    @placed
    def ear_face_by_facts(self) -> Form:
        return self.q(self.setup.knuckle.ear_face_mm)

    @placed
    def to_centre_by_facts(self) -> Form:
        """`d` from the seating face, whichever lug face the fact counts from."""
        mounted = self.setup.mounted
        stated = self.q(mounted.face_to_centre_mm)
        if self.mount == "radial":
            return stated
        seating = "inboard" if self.sigma == 1 else "outboard"
        if self.word(mounted.lug_face) == seating:
            return stated
        return stated + self.q(mounted.lug.thickness_mm) * self.sigma

    @placed
    def measured_spacing(self) -> Form | None:
        """The spacing taken at a mock-up, if one was."""
        value = self.setup.measured.get("spacing_mm")
        return self.q(value) if isinstance(value, Value) and value.known else None

    @placed
    def solved(self) -> str | None:
        """The place that a measured spacing is used to solve for.

        `s = σ (x_mid - x_e - d)` ties three places together: the one not known, else the one in
        the widest doubt, follows from the other two. None without a measurement, where two are
        not known, or where the measurement is no better than the facts.
        """
        s = self.measured_spacing
        if s is None or self.mount != "axial" or self.contradicted:
            return None
        found: dict[str, Form] = {}
        for name in ("ear_face", "to_centre", "middle"):
            try:
                found[name] = getattr(self, _BY_FACTS[name])
            except Missing:
                continue
        if len(found) == 3:
            widths = {n: f.hi - f.lo for n, f in found.items()}
            name = max(widths, key=lambda n: widths[n])
            others = sum(w for n, w in widths.items() if n != name) + s.hi - s.lo
            return name if others < widths[name] else None
        if len(found) == 2:
            return next(n for n in _BY_FACTS if n not in found)
        return None

    @placed
    def contradicted(self) -> bool:
        """Whether a measured spacing lies wholly outside what the facts allow."""
        s = self.measured_spacing
        if s is None or self.mount != "axial":
            return False
        try:
            facts = (
                self.middle_by_disc - self.ear_face_by_facts - self.to_centre_by_facts
            ) * self.sigma
        except Missing:
            return False
        return s.lo > facts.hi or s.hi < facts.lo

    def _settled(self, name: str, by_others: Callable[[], Form]) -> Form:
        """One of the three places a spacing ties together.

        Where the measurement contradicts the facts nobody knows which of the three is wrong: each
        may be what its fact says, or what follows from the other two.
        """
        if self.solved == name:
            return by_others()
        by_fact: Form = getattr(self, _BY_FACTS[name])
        if not self.contradicted:
            return by_fact
        return hull(f"({name}: facts and measurement disagree)", [by_fact, by_others()])

    @placed
    def middle(self) -> Form:
        """`x_mid`, the disc's mid-plane."""
        return self.common("x_mid", self.read, self._middle)

    def _middle(self) -> Form:
        return self._settled(
            "middle",
            lambda: (
                self._other("ear_face")
                + self._other("to_centre")
                + self._spacing_measured * self.sigma
            ),
        )

    @placed
    def ear_face(self) -> Form:
        """`x_e`."""
        return self._settled(
            "ear_face",
            lambda: (
                self._other("middle")
                - self._other("to_centre")
                - self._spacing_measured * self.sigma
            ),
        )

    @placed
    def to_centre(self) -> Form:
        """`d`."""
        return self.common("d", self.read, self._to_centre)

    def _to_centre(self) -> Form:
        return self._settled(
            "to_centre",
            lambda: (
                self._other("middle")
                - self._other("ear_face")
                - self._spacing_measured * self.sigma
            ),
        )

    def _other(self, name: str) -> Form:
        """A place by its own facts, for solving another."""
        form: Form = getattr(self, _BY_FACTS[name])
        return form

    @property
    def _spacing_measured(self) -> Form:
        s = self.measured_spacing
        if s is None:
            raise Missing("spacing_mm")
        return s

    @placed
    def spacing(self) -> Form:
        """`s = σ (x_mid - x_e - d)`; a measured one stands above it."""
        return self.common("s", self.read, self._spacing)

    def _spacing(self) -> Form:
        measured = self.measured_spacing
        if measured is not None:
            return measured
        return (self.middle - self.ear_face - self.to_centre) * self.sigma

    @placed
    def bolt_line_offset(self) -> Form:
        """`y_0 = (R_1² - R_2²) / 2 c_e`; zero for a radial mount."""
        return self.common("y_0", self.read, self._bolt_line_offset)

    def _bolt_line_offset(self) -> Form:
        if self.mount == "radial":
            return Form()
        ear = self.setup.knuckle.ear
        return smooth(
            "y_0",
            lambda r1, r2, c: (r1 * r1 - r2 * r2) / (2 * c),
            self.q(ear.hole_1_radius_mm),
            self.q(ear.hole_2_radius_mm),
            self.q(ear.spacing_mm),
        )

    @placed
    def bolt_line_bare(self) -> Form:
        """`R_b` without a stack: the bolt line, or the seat of a radial mount."""
        return self.common("R_b", self.read, self._bolt_line_bare)

    def _bolt_line_bare(self) -> Form:
        if self.mount == "radial":
            return self.q(self.setup.knuckle.seat_radius_mm)
        ear = self.setup.knuckle.ear
        return smooth(
            "R_b",
            _foot,
            self.q(ear.hole_1_radius_mm),
            self.q(ear.hole_2_radius_mm),
            self.q(ear.spacing_mm),
        )

    @placed
    def lift(self) -> Form:
        """How much further out the carrier holds the caliper than its own radii say."""
        carrier = self.setup.carrier
        return Form() if carrier is None else self.q(carrier.lift_mm)

    @placed
    def lining_top_bare(self) -> Form:
        """Hub axis to the lining's outer edge at mid-pad, without a stack."""
        return self.bolt_line_bare + self.q(self.setup.mounted.line_to_lining_top_mm)


_BY_FACTS = {
    "ear_face": "ear_face_by_facts",
    "to_centre": "to_centre_by_facts",
    "middle": "middle_by_disc",
}


def _foot(r1: float, r2: float, c: float) -> float:
    """Distance of the line through two points at radii `r1`, `r2`, `c` apart, from the axis.

    Raises `ValueError` where no two points are so.
    """
    along = (r1 * r1 - r2 * r2) / (2 * c) + c / 2
    square = r1 * r1 - along * along
    if square < 0:
        raise ValueError("the two holes cannot be so far apart at these radii from the axis")
    return math.sqrt(square)
