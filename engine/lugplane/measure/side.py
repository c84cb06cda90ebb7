"""Left or right, ahead or behind, and what hangs on it: bleeders, pistons, vanes, parking brake."""

from __future__ import annotations

from lugplane.measure.bench import Bench, Choice, Undecided, choice


@choice
def hand(b: Bench) -> Choice:
    """Which side's caliper goes where, so that a bleeder is uppermost (TRADE §2, hand)."""
    p, caliper = b.place, b.setup.caliper
    designed = p.word(caliper.designed_for.behind_axle)
    here = p.word(b.setup.knuckle.behind_axle)
    if designed == here:
        if caliper.hand.text == "either":
            return Choice("either", "one caliper serves both sides")
        return Choice("as-designed", "left on the left, right on the right")
    if p.word(caliper.bleeders) == "both-ends":
        return Choice("either", "bleeders at both ends: no swap is needed")
    if p.word(caliper.hand) == "either":
        raise Undecided(
            "one caliper for both sides with one bleeder, turned over: look whether it comes "
            "uppermost"
        )
    ahead, behind = "ahead of the axle", "behind the axle"
    carried, designed = (behind, ahead) if here == "true" else (ahead, behind)
    return Choice(
        "swap",
        f"the car carries it {carried}, it was designed to sit {designed}: the left caliper "
        "goes on the right and the right one on the left, so that the bleeder is uppermost",
    )


@choice
def piston_order(b: Bench) -> Choice:
    """Whether swapped calipers meet the disc with their pistons in the wrong order."""
    bores = b.place.numbers(b.setup.caliper.pistons.bores_mm)
    if len(set(bores)) == 1:
        return Choice("even", "all pistons of a side are alike")
    return Choice("reversed", "the large piston leads where the small one should")


@choice
def vanes(b: Bench) -> Choice:
    """Whether the disc has a side of its own."""
    kind = b.place.word(b.setup.disc.vanes)
    if kind == "directional":
        return Choice("sided", "a left and a right disc: the vanes follow the car's side")
    return Choice("either", "the same disc on both sides")


@choice
def parking_brake(b: Bench) -> Choice:
    """Whether the car keeps its parking brake (TRADE §2, hand)."""
    p, s = b.place, b.setup
    where = p.word(s.axle.parking_brake)
    if where == "in-caliper":
        if p.word(s.caliper.parking_brake) == "in-caliper":
            return Choice("kept", "in the caliper, as before")
        return Choice("lost", "it works in the caliper that is taken off")
    if where == "drum-in-hat":
        if p.word(s.disc.drum.fitted) == "true":
            return Choice("kept", "shoes in the hat")
        return Choice("lost", "its shoes work in a drum that this disc has not")
    return Choice("kept", "it works elsewhere")
