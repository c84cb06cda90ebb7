"""Disc, knuckle and caliper placed in the section frame; spacing, stack and centring."""

from __future__ import annotations

from itertools import product

import numpy as np

from .bands import constant, judge_span
from .bolts import thread
from .boxes import Aff, Span, Var, known, span, span_abs, total
from .geometry import Array, Lining, bolt_line, linings
from .read_kb import Part
from .setup import Setup
from .stack import WINDOW, Option, choose_stack

# TRADE §2 "Radial fit": 0.5-2 holds, so its middle and half its width.
RADIAL_TARGET, RADIAL_WINDOW = 1.25, 0.75


class Placed(Setup):
    """Disc, knuckle and caliper placed in the section frame; spacing, stack and centring."""

    def place(self) -> None:
        k, d = self.knuckle, self.disc
        self.mount_word()
        side = k.get("side")
        self.sigma = {"outboard": 1.0, "inboard": -1.0}.get(side)
        self.diameter, self.thickness = d.num("diameter_mm"), d.num("thickness_mm")
        self.plate = d.num("plate_mm")
        self.x_mid: Aff | None = None
        if k.get("hub.disc_from") == "outside":  # from behind: outside the frame (TRADE §1)
            high, to = d.num("height_mm"), d.get("height_to")
            if to == "wheel-face":
                self.x_mid = total((1, self.plate), (-1, high), (0.5, self.thickness))
            elif to == "hub-face":
                self.x_mid = total((-1, high), (0.5, self.thickness))
        self.x_ear = k.num("ear_face_mm")
        self.to_centre = self.face_to_centre()
        self.joint_word()
        self.bolt_line_vertices()
        self.word("measured-spacing", "n/a")
        self.open_plate = False
        if self.mount == "axial":
            self.axial_stack()
        elif self.mount == "radial":
            self.radial_stack()
        else:
            self.no_stack()
        if self.adapter:
            self.adapter_plate()
        else:
            self.word("adapter", "n/a")
        self.centre()

    def mount_word(self) -> None:
        ours, theirs = self.knuckle.get("mount"), self.seat.get("mount")
        self.mount: str | None = ours if ours is not None and ours == theirs else None
        self.asked_mount = ours
        if ours is None or theirs is None:
            self.word("mount", "cannot tell")
        elif ours != theirs:
            self.word("mount", "fails")
        else:
            outside = self.knuckle.get("hub.disc_from") == "outside"
            self.word("mount", "holds" if outside else "cannot tell")

    def face_to_centre(self) -> Aff | None:
        """d from the seating face; from the other face, less or plus the lug's thickness."""
        given, face = self.seat.num("face_to_centre_mm"), self.seat.get("lug_face")
        if self.asked_mount == "radial":
            return given  # from the plane of the bolt row
        if face is None or self.sigma is None:
            return None
        seating = "inboard" if self.sigma > 0 else "outboard"
        if face == seating:
            return given
        return total((1, given), (self.sigma, self.seat.num("lug.thickness_mm")))

    def joint_word(self) -> None:
        ear, lug = self.knuckle.get("ear.hole"), self.seat.get("lug.hole")
        kinds = {
            ("plain", "threaded"): "lug",
            ("threaded", "plain"): "ear",
            ("threaded", "threaded"): "both",
        }
        self.joint = kinds.get((ear, lug))
        self.both_plain = ear == lug == "plain"
        states = {"lug": "holds", "ear": "holds", "both": "fails"}
        self.word("joint", states.get(self.joint or "", "cannot tell"))
        self.threaded: tuple[Part, str] | None = None
        self.plain: tuple[Part, str] | None = None
        if self.joint == "lug":
            self.threaded, self.plain = (self.seat, "lug"), (self.knuckle, "ear")
        elif self.joint == "ear":
            self.threaded, self.plain = (self.knuckle, "ear"), (self.seat, "lug")
        name = self.threaded[0].get(f"{self.threaded[1]}.thread") if self.threaded else None
        self.thread: str | None = name
        self.bolt_d: float | None = None if name is None else thread(name)[0]

    def bolt_line_vertices(self) -> None:
        """Vertices of (R_b, y_0, c_e) over the box of hole radii and distance."""
        k = self.knuckle
        self.c_ear = k.num("ear.spacing_mm")
        self.rb = self.y0 = self.rb_c = np.array([])
        if self.asked_mount == "radial":
            seat = k.num("seat_radius_mm")
            if seat is not None:
                self.rb = np.array(sorted(set(span(seat))))
                self.y0 = np.zeros_like(self.rb)
                c = np.nan if self.c_ear is None else sum(span(self.c_ear)) / 2
                self.rb_c = np.full_like(self.rb, c)
            return
        cached = k.cache.get("bolt-line")
        if cached is None:
            r1, r2 = k.num("ear.hole_1_radius_mm"), k.num("ear.hole_2_radius_mm")
            if r1 is None or r2 is None or self.c_ear is None:
                return
            s1, s2, sc = span(r1), span(r2), span(self.c_ear)
            pairs = set(product(s1, s2))
            low, high = max(s1[0], s2[0]), min(s1[1], s2[1])
            if low <= high:  # y_0 = 0 lies inside: the kink of |y_0|
                pairs |= {(low, low), (high, high)}
            rows = np.array([(a, b, c) for a, b in sorted(pairs) for c in sorted(set(sc))])
            with np.errstate(invalid="ignore"):
                rb, y0 = bolt_line(rows[:, 0], rows[:, 1], rows[:, 2])
            cached = k.cache["bolt-line"] = (rb, y0, rows[:, 2])
        if not np.isnan(cached[0]).any():
            self.rb, self.y0, self.rb_c = cached

    def lining(self) -> list[Lining]:
        """The pad's lining in its greatest and least forms."""
        found = self.pad.cache.get("linings")
        if found is None:
            found = self.pad.cache["linings"] = linings(self.pad.get("lining"))
        return list(found)

    def vertices(self, a: Aff | None) -> tuple[Array, Array, Array, Array, Array]:
        """Vertices of (R_b, y_0, a, D, c_e); nan where a or D is unknown."""
        nan = (float("nan"),)
        tops = nan if a is None else tuple(sorted(set(span(a))))
        rims = nan if self.diameter is None else tuple(sorted(set(span(self.diameter))))
        n, m = len(self.rb), len(tops) * len(rims)
        pair = np.array(list(product(tops, rims)))
        return (
            np.repeat(self.rb, m),
            np.repeat(self.y0, m),
            np.tile(pair[:, 0], n),
            np.tile(pair[:, 1], n),
            np.repeat(self.rb_c, m),
        )

    def no_stack(self) -> None:
        """Mounts differ or are unknown: nothing can be placed."""
        for check, mount in (("spacing", "axial"), ("lift", "radial")):
            applies = self.asked_mount in (None, mount)
            self.word(check, "cannot tell" if applies else "n/a")
        self.word("stack", "cannot tell")
        measured = self.bench.get("spacing_mm") is not None
        self.word("measured-spacing", "cannot tell" if measured else "n/a")
        self.s: Aff | None = None
        self.option: Option | None = None
        self.v_rb = self.v_y0 = self.v_a = self.v_d = self.v_c = np.array([])
        self.k: Aff | None = None
        self.s_span: Span | None = None

    def set_option(self, s: Span | None, bare: float, window: float) -> None:
        self.s_span = s
        self.answer.spacing = s
        self.option = None if s is None else choose_stack(self.kb, s, self.bolt_d, bare, window)
        if self.option is None:
            self.word("stack", "cannot tell")
            self.k = None
            return
        self.word("stack", "holds" if self.option.state == "none" else "work")
        self.answer.stack = list(self.option.parts)
        pieces = self.option.pieces
        self.answer.stack_range = (pieces[0][0], pieces[-1][1])
        if self.option.state != "settle":
            o = self.option
            self.k = known("stack", o.nominal - o.tolerance, o.nominal + o.tolerance)
        else:
            self.k = None  # tied to s and e below, or free within its pieces

    def axial_stack(self) -> None:
        g, measured = self.sigma, self.bench.get("spacing_mm")
        told: Aff | None = None
        if g is not None:
            told = total((g, self.x_mid), (-g, self.x_ear), (-g, self.to_centre))
        self.s = told if measured is None else measured
        if measured is None or told is None:  # without facts there is nothing to compare it with
            self.word("measured-spacing", "n/a")
        else:
            (lo, hi), (low, high) = span(measured), span(told)
            apart = lo > high + 1e-9 or hi < low - 1e-9  # a fact is wrong, not said which
            self.word("measured-spacing", "care" if apart else "holds")
        floating = self.body == "floating"
        self.put_form("spacing", self.s, "spacing-floating" if floating else "spacing")
        self.word("lift", "n/a")
        bare = constant("floating_window_mm") if floating else WINDOW
        self.set_option(None if self.s is None else span(self.s), bare, WINDOW)
        if self.body is None:  # how far it may be off bare is another for a floating one
            self.word("spacing", "cannot tell")
            self.word("stack", "cannot tell")
            self.option = self.k = None
            self.answer.stack, self.answer.stack_range = [], None
        self.bare_window = bare
        a = self.seat.num("line_to_lining_top_mm")
        self.v_rb, self.v_y0, self.v_a, self.v_d, self.v_c = self.vertices(a)

    def radial_stack(self) -> None:
        self.word("spacing", "n/a")
        self.word("measured-spacing", "n/a")
        a = self.seat.num("line_to_lining_top_mm")
        rb, y0, tops, rims, c = self.vertices(a)
        forms = self.lining()
        lift: Span | None = None
        bare = np.array([])
        if len(rb) and forms and not np.isnan(tops + rims).any():
            outer = [form.outermost(y0, rb + tops) for form in forms]
            bare = np.min([rims / 2 - o - RADIAL_TARGET for o in outer], axis=0)
            top = np.max([rims / 2 - o - RADIAL_TARGET for o in outer], axis=0)
            lift = float(bare.min()), float(top.max())
        measured = self.bench.get("lift_mm") or self.bench.get("spacing_mm")
        if measured is not None:
            lift = span(measured)
        self.put("lift", lift, "lift")
        self.s = None
        self.set_option(lift, RADIAL_WINDOW, RADIAL_WINDOW)
        self.bare_window = RADIAL_WINDOW
        none = np.array([])
        self.v_rb = self.v_y0 = self.v_a = self.v_d = self.v_c = none
        if self.option is None or not len(rb):
            return
        rows: list[tuple[float, ...]] = []
        self.bare_lifts, self.bare_rows = bare, list(zip(rb, y0, tops, rims, c, strict=True))
        if self.option.state == "settle" and measured is None:
            self.lifted_by(RADIAL_WINDOW)
            return
        ks = {x for piece in self.option.pieces for x in piece}
        for i in range(len(rb)):
            rows += [(rb[i] + k, y0[i], tops[i], rims[i], c[i]) for k in sorted(ks)]
        table = np.array(rows)
        self.v_rb, self.v_y0, self.v_a, self.v_d, self.v_c = table.T

    def lifted_by(self, window: float) -> None:
        """What is made brings the lining's top to its target within a window, whatever the facts.

        The mock-up measures how much that takes.
        """
        rows = [
            (r + max(0.0, float(bare) + off), *rest)
            for bare, (r, *rest) in zip(self.bare_lifts, self.bare_rows, strict=True)
            for off in (-window, window)
        ]
        self.v_rb, self.v_y0, self.v_a, self.v_d, self.v_c = np.array(rows).T

    def adapter_plate(self) -> None:
        """TRADE §2 Adapter: at least one bolt diameter thick and no thicker than s allows.

        Under a radial mount s is what lifts the caliper. A plate is made only where the lugs are
        apart; where no plate can be made the parts are bolted together, whether or not they meet.
        """
        misfit, room, least = self.lug_misfit(), self.s_span, self.bolt_d
        self.word("adapter", "cannot tell")
        if misfit is not None and misfit[1] <= 1e-9:
            self.word("adapter", "holds")
        elif self.joint not in ("lug", "ear"):
            # Of two holes alike no bolt clamps anything that a plate could take the place of; but
            # a plate goes between plain ones that no bolt passes, however thick it must be.
            if self.both_plain:
                self.plate_between_plain_holes()
            elif None in (self.knuckle.get("ear.hole"), self.seat.get("lug.hole")):
                self.either_way()
        elif room is None or least is None:
            self.either_way()
        elif room[1] < least - 1e-9:
            if misfit is not None and misfit[0] > 1e-9:
                self.word("adapter", "fails")
        elif misfit is not None and misfit[0] > 1e-9 and room[0] >= least - 1e-9:
            self.word("adapter", "work")
            self.put(self.spaced_by(), room, "spacing-by-adapter")
            self.made_by_plate(room)
        else:
            self.either_way()

    def plate_between_plain_holes(self) -> None:
        gap, room = self.holes_off(), self.s_span
        if gap is not None and gap[1] < -1e-9:
            return
        if room is None or room[1] >= -1e-9:
            self.either_way()
        elif gap is not None and gap[0] >= -1e-9:  # no bolt passes, and no plate has room
            self.word("adapter", "fails")

    def spaced_by(self) -> str:
        return "lift" if self.mount == "radial" else "spacing"

    def either_way(self) -> None:
        """With or without a plate: what goes between cannot be told, nor what hangs on it.

        The spacing fails only where it fails with a plate and without one.
        """
        self.open_plate = True
        self.option = self.k = None
        self.answer.stack, self.answer.stack_range = [], None
        self.word("stack", "cannot tell")
        if self.mount == "radial":
            self.v_rb = self.v_y0 = self.v_a = self.v_d = self.v_c = np.array([])
        if self.mount is None:
            return
        check, room = self.spaced_by(), self.s_span
        bare = self.states[check]
        if room is None:
            by_plate = "cannot tell"
        else:
            thinnest = 1e-6 if self.bolt_d is None else self.bolt_d
            plates = max(room[0], thinnest), max(room[1], thinnest)
            by_plate = judge_span(plates, "spacing-by-adapter")
        both = {bare, by_plate}
        if both == {"fails"}:
            self.word(check, "fails")
        elif both & {"fails", "cannot tell"}:
            self.word(check, "cannot tell")
        else:
            self.word(check, "work")

    def made_by_plate(self, s: Span) -> None:
        """The plate takes up the whole spacing, as well as it is machined."""
        tol = constant("ring_plus_minus_mm")
        parts = tuple(("plate", x) for x in s)
        self.option = Option("plate", parts, ((s[0] - tol, s[1] + tol),), 0.0, tol)
        self.answer.stack = list(parts)
        self.answer.stack_range = self.option.pieces[0]
        self.word("stack", "work")
        if self.mount == "radial":
            self.lifted_by(tol)

    def centre(self) -> None:
        """e and the caliper's centre plane."""
        self.e: Aff | None = None
        self.x_c: Aff | None = None
        self.tied: Aff | None = None
        self.tied_spaced: Aff | None = None
        floating = self.body == "floating"
        limit = "centring-floating" if floating else "centring"
        bench = self.bench.get("spacing_mm") is not None
        if self.mount == "radial":
            self.x_c = total((1, self.x_ear), (1, self.to_centre))
            self.e = total((1, self.x_c), (-1, self.x_mid))
        elif self.option is not None and self.sigma is not None and self.s is not None:
            g = self.sigma
            if self.option.state == "plate":
                self.e = Aff(
                    0.0, {Var("plate", -self.option.tolerance, self.option.tolerance): 1.0}
                )
                self.k = self.tied = total((1, self.s), (g, self.e))
                self.x_c = total((1, self.x_mid), (1, self.e))
            elif self.option.state == "settle":
                s = span(self.s)
                # Bare, e = -σ s: from the bare window down to where s begins. Spaced: the window.
                thin = self.bare_window if s[0] <= self.bare_window else WINDOW
                low, high = sorted((-g * max(thin, WINDOW), g * max(WINDOW, -s[0])))
                self.e = Aff(0.0, {Var("e", low, high): 1.0})
                self.k = self.tied = total((1, self.s), (g, self.e))
                over = Aff(0.0, {Var("e spaced", -WINDOW, WINDOW): 1.0})
                self.tied_spaced = total((1, self.s), (g, over))
                self.x_c = total((1, self.x_mid), (1, self.e))
            elif bench:
                self.e = total((g, self.k), (-g, self.s))
                self.x_c = total((1, self.x_mid), (1, self.e))
            else:
                self.x_c = total((1, self.x_ear), (1, self.to_centre), (g, self.k))
                self.e = total((1, self.x_c), (-1, self.x_mid))
        elif self.option is not None and self.option.state == "none" and self.s is not None:
            self.e = self.s  # bare, side unknown: |e| = |s| all the same
        self.put_abs("centring", self.e, limit)
        tilt = self.bench.get("tilt_mm")
        if tilt is None:
            self.word("tilt", "n/a")
        else:
            self.put_abs("tilt", tilt, "tilt")

    def hole_diameter(self) -> Aff | None:
        return self.plain[0].num(f"{self.plain[1]}.hole_diameter_mm") if self.plain else None

    def holes_off(self) -> Span | None:
        """How far from leaving an opening the plain holes of ear and lug lie, at the nearest.

        Pushed about until both ends are off by the same, each end is off by half of what the
        distances differ by; two circles share a piece of their areas only below half the sum of
        their diameters. So |c_l - c_e| less both diameters; from nought on there is no opening.
        """
        holes = [self.knuckle.num("ear.hole_diameter_mm"), self.seat.num("lug.hole_diameter_mm")]
        apart = total((1, self.seat.num("lug.spacing_mm")), (-1, self.c_ear))
        if apart is None or holes[0] is None or holes[1] is None:
            return None
        (near, far), ear, lug = span_abs(apart), span(holes[0]), span(holes[1])
        return 2 * (near / 2 - (ear[1] + lug[1]) / 2), 2 * (far / 2 - (ear[0] + lug[0]) / 2)

    def lug_misfit(self) -> Span | None:
        apart = total((1, self.seat.num("lug.spacing_mm")), (-1, self.c_ear))
        play = total((1, self.hole_diameter()), (-1, self.bolt_d))
        if apart is None or play is None:
            return None
        (a, b), (p, q) = span_abs(apart), span(play)
        return a - q, b - p
