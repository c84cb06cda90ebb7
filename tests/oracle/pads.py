"""Pads along the axle: room, worn travel, cheeks, abutments, slide."""

from __future__ import annotations

from .bands import constant
from .bolting import Bolted
from .boxes import Aff, less_abs, span_least, total
from .read_kb import EMPTY, Part


class Padded(Bolted):
    """Pads along the axle: room, worn travel, cheeks, abutments, slide."""

    def pad_side(self, pad: Part, key: str, outboard: bool) -> Aff | None:
        """Plate or lining of the inner or the outer pad; unknown where they may differ unsaid."""
        if not outboard or pad.get("alike") is True:
            return pad.num(key)
        return pad.num(f"outboard.{key}") if pad.get("alike") is False else None

    def takes(self, named: str | None, part: Part, kind: str) -> bool:
        """Whether a reference names this part, or the family it belongs to."""
        if named is None:
            return False
        family = named.split("/")[0]
        return named == part.id or (
            family == part.family and (kind == "pad" or named == part.family)
        )

    def pads(self) -> None:
        pad, cal, seat = self.pad, self.caliper, self.seat
        shape = seat.get("pad")
        if shape is None:
            self.word("pad-shape", "cannot tell")
        else:
            self.word("pad-shape", "holds" if self.takes(shape, pad, "pad") else "fails")
        if self.body == "fixed":
            self.word("carrier-takes", "n/a")
        else:
            listed = self.carrier.get("calipers")
            if listed is None or self.body is None:
                self.word("carrier-takes", "cannot tell")
            else:
                fine = any(self.takes(named, cal, "caliper") for named in listed)
                self.word("carrier-takes", "holds" if fine else "fails")
        slot, gap = cal.num("slot_mm"), constant("pad_gap_mm")
        thin, least = self.disc.num("min_thickness_mm"), pad.num("min_lining_mm")
        shim, t = pad.num("shim_mm"), self.thickness
        plates = [
            total((1, self.pad_side(pad, "plate_mm", out)), (1, shim)) for out in (False, True)
        ]
        fresh = [self.pad_side(pad, "lining_mm", out) for out in (False, True)]
        travel, kept = cal.num("pistons.safe_travel_mm"), cal.num("pistons.length_mm")
        guided = travel if kept is None else kept
        if self.body == "fixed":
            both = list(zip(plates, fresh, strict=True))
            room = [
                total((0.5, slot), (-0.5, t), (-1, p), (-1, q), (-gap / 2, 1.0)) for p, q in both
            ]
            worn = [
                total((1, travel), (-0.5, slot), (0.5, thin), (1, least), (1, p)) for p in plates
            ]
            zero = [total((1, guided), (-0.5, slot), (0.5, thin), (1, p)) for p in plates]
            self.put("room-new", less_abs(room, self.e), "margin")
            self.put("worn-travel", less_abs(worn, self.e), "margin")
            self.put("piston-kept", less_abs(zero, self.e), "margin")
        elif self.body == "floating":
            both_plates = total((1, plates[0]), (1, plates[1]))
            fresh_sum = total((1, fresh[0]), (1, fresh[1]))
            self.put_form(
                "room-new",
                total((1, slot), (-1, t), (-1, both_plates), (-1, fresh_sum), (-1, gap)),
                "margin",
            )
            out = total((-1, slot), (1, thin), (1, both_plates))
            self.put_form("worn-travel", total((1, travel), (1, out), (2, least)), "margin")
            self.put_form("piston-kept", total((1, guided), (1, out)), "margin")
        else:
            for check in ("room-new", "worn-travel", "piston-kept"):
                self.word(check, "cannot tell")
        if kept is None and self.states["piston-kept"] == "fails":
            # The safe travel stands for the guided length, which is longer: too little of it proves
            # nothing.
            self.word("piston-kept", "cannot tell")
        cheek = total((0.5, seat.num("opening_mm")), (-0.5, t))
        self.put("cheek", less_abs([cheek], self.e), "cheek")
        opening = seat.num("abutment_opening_mm")
        keep = [total((0.5, thin), (1, least), (0.5, p), (-0.5, opening)) for p in plates]
        self.put("abutment", less_abs(keep, self.e), "margin")
        self.slides(fresh[1], least)

    def slides(self, lining: Aff | None, least: Aff | None) -> None:
        if self.body == "fixed":
            self.word("slide-new", "n/a")
            self.word("slide-worn", "n/a")
            return
        for_disc = self.kb.find("disc", self.caliper.get("designed_for.disc")) or EMPTY
        for_pad = self.kb.find("pad", self.caliper.get("designed_for.pad")) or EMPTY
        # The very part that is fitted shares its facts with itself; what was measured anew on the
        # fitted one says nothing of the design.
        new = total(
            (-1, self.e),
            (0.5, self.thickness),
            (-0.5, for_disc.num("thickness_mm")),
            (1, lining),
            (-1, self.pad_side(for_pad, "lining_mm", True)),
        )
        worn = total(
            (1, new),
            (-0.5, self.thickness),
            (0.5, self.disc.num("min_thickness_mm")),
            (-1, lining),
            (1, least),
        )
        out, inn = self.caliper.num("slide.outboard_mm"), self.caliper.num("slide.inboard_mm")
        for check, delta in (("slide-new", new), ("slide-worn", worn)):
            left = total((1, out), (-1, delta)), total((1, inn), (1, delta))
            known_both = left[0] is not None and left[1] is not None
            values = span_least([left[0], left[1]]) if known_both else None  # type: ignore[list-item]
            self.put(check, values if self.body == "floating" else None, "margin")
