"""Hose to caliper: thread and seat."""

from __future__ import annotations

from lugplane.measure.bench import Bench, Choice, choice
from lugplane.measure.mount import read_thread
from lugplane.measure.threads import lookalike
from lugplane.quantity.form import Missing


@choice
def hose_thread(b: Bench, *, lookalike_diameter_mm: float, lookalike_pitch_mm: float) -> Choice:
    """Whether the car's hose screws into the caliper; a look-alike is refused (CHECKS F2)."""
    p, hose = b.place, b.setup.hose
    if hose is None:
        raise Missing(f"platform.{b.setup.axle_name}.stock.hose")
    has, needs = p.word(hose.thread), p.word(b.setup.caliper.hose)
    a, z = read_thread(has), read_thread(needs)
    if a == z:
        return Choice("same", has)
    near = lookalike(
        a, z, diameter_within_mm=lookalike_diameter_mm, pitch_within_mm=lookalike_pitch_mm
    )
    said = f"hose {has}, caliper {needs}"
    if near:
        return Choice("lookalike", f"{said}: they look alike and do not meet")
    return Choice("other", f"{said}: another hose")


@choice
def hose_seat(b: Bench) -> Choice:
    """Whether the hose's end seals on the caliper's seat."""
    p, hose = b.place, b.setup.hose
    if hose is None:
        raise Missing(f"platform.{b.setup.axle_name}.stock.hose")
    has, needs = p.word(hose.seat), p.word(b.setup.caliper.hose_seat)
    if has == needs:
        return Choice("same", has)
    return Choice("other", f"hose {has}, caliper {needs}: another hose")
