"""The disc on its hub, in section."""

from __future__ import annotations

from dataclasses import dataclass

from lugplane.measure.bench import Bench
from lugplane.quantity.form import Missing
from lugplane.render.drawing.hatch import IRON, Hatch, Point, of_material
from lugplane.render.drawing.marks import broken, corners
from lugplane.render.drawing.pens import CENTRE, NARROW
from lugplane.render.drawing.scene import Hatched, Shape, area, path
from lugplane.render.drawing.sketch import Sketch
from lugplane.render.drawing.values import lacking, millimetres

_FLANGE_SHOWN_MM = 9.0
"""How much of the hub's flange is shown on paper: its thickness is not recorded."""


@dataclass(frozen=True, slots=True)
class Ring:
    """Nominal place of the ring, mm: faces, outer radius, where the friction bands begin.

    `inner_inboard`, `inner_outboard` are None where not recorded. `channel` is the vane channel,
    drawn as the middle third of a vented ring.
    """

    inboard: float
    outboard: float
    outer: float
    inner_inboard: float | None
    inner_outboard: float | None
    vented: bool

    @property
    def middle(self) -> float:
        return (self.inboard + self.outboard) / 2

    @property
    def channel(self) -> tuple[float, float]:
        third = (self.outboard - self.inboard) / 3
        return self.inboard + third, self.outboard - third


def ring(b: Bench) -> Ring:
    """The ring as placed. Raises `Missing`."""
    p, disc = b.place, b.setup.disc
    half, middle = p.ring.nominal / 2, p.middle.nominal
    inner_in, inner_out = disc.band_inner_inboard_mm, disc.band_inner_outboard_mm
    return Ring(
        middle - half,
        middle + half,
        p.disc_radius.nominal,
        inner_in.form.nominal if inner_in.known else None,
        inner_out.form.nominal if inner_out.known else None,
        disc.ring.text == "vented",
    )


def draw_disc(s: Sketch, b: Bench) -> None:
    """Hub, hat and ring."""
    _draw_hub(s, b)
    with s.part("disc"):
        _draw_ring(s, b, ring(b))
    with s.part("disc hat"):
        _draw_hat(s, b)


def _draw_ring(s: Sketch, b: Bench, at: Ring) -> None:
    shown = at.outer * 0.7
    low_in = shown if at.inner_inboard is None else at.inner_inboard
    low_out = shown if at.inner_outboard is None else at.inner_outboard
    foot_in, foot_out = (at.inboard, low_in), (at.outboard, low_out)
    # Where the bands of the two faces begin at different radii the foot is stepped in the middle.
    foot = (foot_out, (at.middle, low_out), (at.middle, low_in), foot_in)
    whole = (*foot[1:], (at.inboard, at.outer), (at.outboard, at.outer), foot_out)
    shapes: list[Shape] = [area(whole, None)]
    if at.vented:
        c0, c1 = at.channel
        for box in (
            corners(at.inboard, low_in, c0, at.outer),
            corners(c1, low_out, at.outboard, at.outer),
        ):
            shapes.append(Hatched(box, IRON))
        shapes += [
            path([(c, low), (c, at.outer)], NARROW) for c, low in ((c0, low_in), (c1, low_out))
        ]
    else:
        shapes.append(Hatched(whole, IRON))
    shapes.append(path(whole[2:]))
    if b.setup.disc.ring.text is None:
        s.left_out["vane channel, if there is one"] = "not recorded: disc.ring"
    if at.inner_inboard is None or at.inner_outboard is None:
        shapes.append(broken(foot_in, foot_out, s.unit))
        disc = b.setup.disc
        bands = (disc.band_inner_inboard_mm.path, disc.band_inner_outboard_mm.path)
        s.left_out["inner end of the friction band"] = lacking(bands, s.known)
    else:
        shapes.append(path(foot))
    data = {"x0": at.inboard, "x1": at.outboard, "r0": min(low_in, low_out), "r1": at.outer}
    s.add("ring", shapes, data)
    thick = millimetres(b.place.ring)
    inside = at.outboard - (at.outboard - at.inboard) / 6
    s.call(
        "disc",
        f"disc {b.setup.disc.id}, ring {thick} thick",
        at=[(inside, low_out + (at.outer - low_out) * 0.12)],
        end="dot",
    )
    s.spot((at.outboard, at.outer), "disc-worn", "disc-runout", "disc-variation", "disc-cracks")


def _draw_hat(s: Sketch, b: Bench) -> None:
    p, disc = b.place, b.setup.disc
    plate, bore = p.plate.nominal, p.q(disc.bore_mm).nominal / 2
    outer, inner = p.q(disc.hat_radius_mm).nominal, p.q(disc.hat_inside_radius_mm).nominal
    try:
        at: Ring | None = ring(b)
    except Missing:
        at = None
    pieces = disc.pieces.text
    hatch: Hatch = IRON if pieces != "two" else of_material(None).turned()
    wall = _wall(s, at, pieces, outer)
    shapes: list[Shape] = []
    open_end: tuple[Point, ...] = ()
    if wall is None:
        body: tuple[Point, ...] = corners(0.0, bore, plate, outer)
        edge: tuple[Point, ...] = (*body, body[0])
    else:
        body = ((plate, bore), (plate, outer), (wall.near, outer), (wall.near, wall.foot))
        body += ((wall.far, wall.foot), (wall.far, inner), (0.0, inner), (0.0, bore))
        edge = ((wall.far, inner), (0.0, inner), (0.0, bore), (plate, bore), (plate, outer))
        edge += ((wall.near, outer),)
        open_end = ((wall.near, outer), (wall.near, wall.foot), (wall.far, wall.foot))
        open_end += ((wall.far, inner),)
    shapes[:0] = [area(body, None), Hatched(body, hatch)]
    shapes.append(path(edge))
    if open_end:
        shapes.append(path(open_end, NARROW))
    s.add("hat", shapes, {"x0": 0.0, "x1": plate, "r0": bore, "r1": outer})
    s.call("plate", f"hat plate p = {millimetres(p.plate)}", at=[(plate, outer * 0.9)], end="arrow")
    s.spot((plate / 2, bore), "hub-bore")
    s.spot((plate, bore + 4.0 * s.unit), "wheel-bore", "wheel-spigot")
    s.spot((-1.0, inner), "hat-flange", "hat-shoes", "drum")
    if disc.bolts.circle_mm.known:
        circle = p.q(disc.bolts.circle_mm).nominal / 2
        reach = 5.0 * s.unit
        s.add("wheel-hole axis", [path([(-reach, circle), (plate + reach, circle)], CENTRE)])
        s.spot((plate, circle), "bolt-circle", "stud-count", "wheel-count", "wheel-circle")
        s.spot((plate, circle), "stud-engagement")


@dataclass(frozen=True, slots=True)
class _Wall:
    """How far the hat's wall is shown: from x `far` (inner side) and `near` (outer side), up to
    the radius `foot` where the ring begins."""

    far: float
    near: float
    foot: float


def _wall(s: Sketch, at: Ring | None, pieces: str | None, outer: float) -> _Wall | None:
    """The wall between plate and ring; None where the ring's place is not known or beside it."""
    if at is None or at.outboard >= 0:
        return None
    if pieces == "two":
        s.note("Two-piece disc: what holds the ring is not recorded.")
        return _Wall(at.outboard, at.outboard, outer)
    if at.inner_outboard is None:
        return None
    return _Wall(at.channel[1] if at.vented else at.inboard, at.outboard, at.inner_outboard)


def _draw_hub(s: Sketch, b: Bench) -> None:
    p, hub = b.place, b.setup.knuckle.hub
    shown = _FLANGE_SHOWN_MM * s.unit
    hatch = IRON.turned()
    with s.part("hub flange"):
        radius = p.q(hub.flange_radius_mm).nominal
        core = hub.spigot_mm.form.nominal / 2 if hub.spigot_mm.known else 0.0
        box = corners(-shown, 0.0, 0.0, radius)
        edge = path([(-shown, radius), (0.0, radius), (0.0, core)])
        cut = broken((-shown, 0.0), (-shown, radius), s.unit)
        s.add("hub flange", [area(box, None), Hatched(box, hatch), edge, cut], {"r1": radius})
        s.call("seat", "hub seat, x = 0", at=[(0.0, radius * 0.96)], end="arrow")
    with s.part("hub spigot"):
        radius, long = p.q(hub.spigot_mm).nominal / 2, p.q(hub.spigot_length_mm).nominal
        box = corners(0.0, 0.0, long, radius)
        edge = path([(0.0, radius), (long, radius), (long, 0.0)])
        s.add(
            "hub spigot", [area(box, None), Hatched(box, hatch), edge], {"x1": long, "r1": radius}
        )
        s.call(
            "spigot",
            f"spigot ⌀ {millimetres(p.q(hub.spigot_mm))}",
            at=[(long * 0.7, radius * 0.5)],
            end="dot",
        )
