"""The caliper bolts: spacing of the holes, class, length, engagement, torque."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from .bands import constant
from .bolts import (
    CLASSES,
    YIELD,
    Bolt,
    Joint,
    Margin,
    Stack,
    margin_span,
    margins,
    needed,
    original_bolt,
    preload_and_torque_factor,
    serves_all,
    standard_bolts,
)
from .boxes import Span, span, total
from .placing import Placed


class Bolted(Placed):
    """The caliper bolts: spacing of the holes, class, length, engagement, torque."""

    def bolting(self) -> None:
        self.bolts: list[Bolt] = []
        self.torque: Span | None = None
        self.put("lug-spacing", self.lug_misfit(), "fit-in-clearance")
        if self.both_plain:
            self.two_plain_holes()
        elif self.adapter and self.have.get("lug-spacing", (0.0, 0.0))[1] > 1e-9:
            # A plate with both pairs of holes bridges them; whether one can be made is told apart.
            self.word("lug-spacing", "work")
        self.put_form(
            "bolt-hole", total((1, self.hole_diameter()), (-1, self.bolt_d)), "hole-clearance"
        )
        group = ("bolt", "class", "engagement", "shank", "bottoming", "tip", "torque")
        for check in group:
            self.word(check, "cannot tell")
        if self.states["adapter"] == "work":
            for check in group:  # the plate's bolts are the engineer's (TRADE §2, adapter)
                self.word(check, "n/a")
            return
        if self.open_plate:  # the engineer's by one way, these bolts by the other
            return
        joint = self.make_joint()
        least = self.class_word()
        if joint is not None:
            self.choose_bolt(joint, least)
            if self.maybe_outside():
                self.chosen_either_way(joint, least)
        self.torque_word()

    def two_plain_holes(self) -> None:
        """Both plain: the distances fail where no bolt of any size passes, else tell nothing."""
        off = self.holes_off()
        if off is None:
            self.word("lug-spacing", "cannot tell")
            return
        self.have["lug-spacing"] = off
        if off[0] >= -1e-9:
            self.word("lug-spacing", "work" if self.adapter else "fails")
        else:
            self.word("lug-spacing", "n/a" if off[1] < -1e-9 else "cannot tell")

    def maybe_outside(self) -> bool:
        """Whether, for want of a fact, the bolt is taken to stand inside D/2 and may not."""
        if self.asked_mount == "radial" or self.bolt_d is None:
            return False
        radii = [self.knuckle.num(f"ear.hole_{i}_radius_mm") for i in (1, 2)]
        stated = [span(r)[0] for r in radii if r is not None]
        if self.diameter is None:
            return True
        reach = span(self.diameter)[1] / 2 + self.bolt_d / 2
        return len(stated) < 2 and all(r >= reach for r in stated)

    def chosen_either_way(self, joint: Joint, least: str | None) -> None:
        """Nothing is told of the bolt unless it is the same with the disc before its tip or not."""
        group = ("bolt", "engagement", "shank", "bottoming", "tip")
        states, have = dict(self.states), dict(self.have)
        kept, named = list(self.bolts), self.answer.bolt
        self.bolts, self.answer.bolt = [], None
        for check in group:
            self.word(check, "cannot tell")
        self.choose_bolt(replace(joint, tip_counts=False), least)
        same = (states["bolt"], named) == (self.states["bolt"], self.answer.bolt)
        self.states.update({check: states[check] for check in group})
        for check in group:
            self.have.pop(check, None)
        self.have.update(have)
        self.bolts, self.answer.bolt = kept, named
        if not same:
            self.bolts, self.answer.bolt = [], None
            for check in group:
                self.word(check, "cannot tell")

    def make_joint(self) -> Joint | None:
        if self.thread is None or self.threaded is None or self.plain is None:
            return None
        member, name = self.threaded
        plain, plain_name = self.plain
        clamped = plain.num(f"{plain_name}.thickness_mm")
        washer = self.knuckle.num("bolt.head_washer_mm")
        raw = member.get(f"{name}.depth_mm")
        through = None if raw is None else raw == "through"
        own = member.num(f"{name}.thickness_mm")
        face = total((1, self.x_mid), (-0.5, self.thickness))
        counts = self.inside_disc()
        if self.asked_mount == "radial":
            half = None if self.bolt_d is None else self.bolt_d / 2
            tip, length, stack = total((1, face), (-1, self.x_ear), (-1, half)), 0.0, 0.0
        elif self.sigma is None:
            tip, length, stack = None, 0.0, 0.0
        elif self.joint == "lug":  # head behind the ear, pointing to the caliper's side
            g = self.sigma
            tip = total((1, face), (-1, self.x_ear), (g, clamped), (g, washer))
            length, stack = -g, 0.0
        else:  # head on the lug, pointing away from the caliper's side
            g = self.sigma
            tip = total((1, face), (-1, self.x_ear), (-g, clamped), (-g, washer))
            length, stack = g, -g
        return Joint(
            thread=self.thread,
            grip=total((1, clamped), (1, washer)),
            depth=own if through else member.num(f"{name}.depth_mm"),
            through=through,
            material=member.get(f"{name}.material"),
            tensile=member.num(f"{name}.tensile_mpa"),
            tip=tip,
            tip_length=length,
            tip_stack=stack,
            tip_counts=counts,
        )

    def inside_disc(self) -> bool:
        """Whether a bolt may stand inside D/2; surely outside, its tip cannot meet the disc."""
        if self.asked_mount == "radial" or self.diameter is None or self.bolt_d is None:
            return True
        holes = [self.knuckle.num(f"ear.hole_{i}_radius_mm") for i in (1, 2)]
        nearest = min(0.0 if h is None else span(h)[0] for h in holes)
        return nearest - self.bolt_d / 2 < span(self.diameter)[1] / 2

    def class_word(self) -> str | None:
        """Least class: the original's, 8.8, and 10.9 under a stack over d/3."""
        cls: str | None = self.knuckle.get("bolt.class")
        if cls is None or self.option is None or self.joint not in ("lug", "ear"):
            return None
        least, thickest = max(cls, "8.8", key=CLASSES.index), self.option.pieces[-1][1]
        if self.bolt_d is None:
            if thickest > 0.0:  # bare is no long stack, whatever the bolt
                return None
        elif thickest > self.bolt_d / 3 + 1e-9:
            least = max(least, "10.9", key=CLASSES.index)
        self.word("class", "holds" if least == cls else "work")
        return least

    def choose_bolt(self, joint: Joint, least: str | None) -> None:
        if least is None or self.option is None:
            return
        settles = self.option.state == "settle"
        stack = Stack(self.option.pieces, settles, self.tied, self.tied_spaced)
        original = original_bolt(self.knuckle)
        tried: list[tuple[Bolt, dict[str, Any]]] = []
        own = self.original_state(joint, original, least, stack)
        if own is None:
            return  # not known whether the car's own bolt may stay
        if own and original is not None:
            tried.append((original, margins(joint, original)))
        if needed(joint, "8.8" if least == "8.8" else "10.9") is None:
            return
        # Never below the original and never above 10.9: for a stronger original none is bought.
        if least != "12.9":
            bought = "8.8" if least == "8.8" else "10.9"
            for bolt in standard_bolts(self.kb, joint.thread, bought):
                tried.append((bolt, margins(joint, bolt)))
        served: list[tuple[Span, Bolt]] = []
        gaps = False
        for piece in stack.pieces:
            found, gap = self.sweep(tried, stack, piece)
            served += found
            gaps |= gap
        if gaps:
            each = [m for _, m in tried]
            if not own and original is not None and self.may_stay(joint, original, least):
                each.append(margins(joint, original))  # it does not surely serve, and may
            if not served and all(self.impossible(m, stack) for m in each):
                self.word("bolt", "fails")
            return
        names = list(dict.fromkeys(b.name for _, b in served))
        self.bolts = list({b.name: b for _, b in served}.values())
        self.answer.bolt = names[0] if len(names) == 1 else names
        self.word("bolt", "holds" if names == ["original"] else "work")
        each_of = {id(bolt): m for bolt, m in tried}
        for check in ("engagement", "shank", "bottoming", "tip"):
            spans = [margin_span(each_of[id(b)][check], stack, part) for part, b in served]
            lo, hi = min(s[0] for s in spans), max(s[1] for s in spans)
            if lo == float("inf"):
                self.word(check, "holds")  # nothing to meet: a through hole, outside the disc
                continue
            off = 2.0 if check == "tip" else 0.0
            self.put(check, (lo + off, hi + off), "tip" if check == "tip" else "margin")

    def original_state(
        self, joint: Joint, bolt: Bolt | None, least: str, stack: Stack
    ) -> bool | None:
        """Whether the car's own bolt is among those tried; None when that cannot be known."""
        name, once = self.knuckle.get("bolt.thread"), self.knuckle.get("bolt.single_use")
        if bolt is None:
            return None
        if once is True or (name is not None and name != joint.thread):
            return False
        if CLASSES.index(bolt.cls) < CLASSES.index(least):
            return False
        each = margins(joint, bolt)
        known_ones: dict[str, Margin | None] = {key: m for key, m in each.items() if m is not None}
        found = [serves_all(known_ones, stack, piece) for piece in stack.pieces]
        whole = stack.settles or found == list(stack.pieces)
        if not whole or not any(found):
            return False
        if len(known_ones) < len(each) or name is None or once is None:
            return None
        return True

    def may_stay(self, joint: Joint, bolt: Bolt, least: str) -> bool:
        """Whether nothing but its length can rule the car's own bolt out."""
        name, once = self.knuckle.get("bolt.thread"), self.knuckle.get("bolt.single_use")
        enough = CLASSES.index(bolt.cls) >= CLASSES.index(least)
        return name in (None, joint.thread) and once is not True and enough

    @staticmethod
    def sweep(
        tried: list[tuple[Bolt, dict[str, Any]]], stack: Stack, piece: Span
    ) -> tuple[list[tuple[Span, Bolt]], bool]:
        """The first bolt in order that serves at each thickness of a piece; and any gap."""
        if not stack.settles:
            for bolt, each in tried:
                if serves_all(each, stack, piece) == piece:
                    return [(piece, bolt)], False
            return [], True
        ranges: list[tuple[Bolt, Span]] = []
        edges = {piece[0], piece[1]}
        for bolt, each in tried:
            found = serves_all(each, stack, piece)
            if found is not None:
                ranges.append((bolt, found))
                edges |= {x for x in found if piece[0] < x < piece[1]}
                if found[0] <= piece[0] and found[1] >= piece[1]:
                    break
        cuts = sorted(edges)
        out: list[tuple[Span, Bolt]] = []
        gap = False
        for a, b in zip(cuts, cuts[1:] or cuts, strict=False):
            if b - a < 1e-9 and len(cuts) > 2:
                continue
            mid = (a + b) / 2
            first = next((bolt for bolt, r in ranges if r[0] - 1e-9 <= mid <= r[1] + 1e-9), None)
            if first is None:
                gap = True
            elif out and out[-1][1].name == first.name and out[-1][0][1] == a:
                out[-1] = ((out[-1][0][0], b), first)
            else:
                out.append(((a, b), first))
        return out, gap

    @staticmethod
    def impossible(each: dict[str, Any], stack: Stack) -> bool:
        """Whether a bolt surely falls short over all of the stack's range."""
        return all(
            any(m is not None and margin_span(m, stack, p)[1] < -1e-9 for m in each.values())
            for p in stack.pieces
        )

    def torque_word(self) -> None:
        """The car's figure; where the threaded member changes, the lower of the two joints'."""
        own = self.knuckle.num("bolt.torque_nm")
        if own is None or self.threaded is None:
            return
        stock = self.platform.get(f"{self.axle}.stock") or {}
        if self.joint == "ear":
            changed = False
        else:
            kept = stock.get("carrier") or stock.get("caliper")
            if kept is None:
                return
            changed = kept != self.seat.id
        if not changed:
            self.torque = span(own)
            self.word("torque", "holds")
            return
        if not self.bolts:
            return
        figures = [self.joint_torque(bolt) for bolt in self.bolts]
        if any(f is None for f in figures):
            return
        low = min(f[0] for f in figures if f is not None)
        high = min(f[1] for f in figures if f is not None)
        mine = span(own)
        self.torque = min(low, mine[0]), min(high, mine[1])
        self.word("torque", "care" if low < mine[1] - 1e-9 else "holds")

    def bearing(self, bolt: Bolt) -> Span | None:
        """Mean bearing diameter of head over hole; None too where the head may bear on nothing."""
        hole = self.hole_diameter()
        mean, face = total((0.5, bolt.head), (0.5, hole)), total((1, bolt.head), (-1, hole))
        return None if mean is None or face is None or span(face)[0] <= 0 else span(mean)

    def joint_torque(self, bolt: Bolt) -> Span | None:
        wide = self.bearing(bolt)
        if wide is None or self.thread is None or bolt.cls not in YIELD:
            return None
        friction = constant("friction_thread")
        both = [preload_and_torque_factor(self.thread, bolt.cls, friction, w) for w in wide]
        return both[0][0] * both[0][1], both[1][0] * both[1][1]
