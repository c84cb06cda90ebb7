"""Where parts come to lie, and what a measured spacing solves."""

from __future__ import annotations

from pathlib import Path

import pytest

from lugplane.quantity.form import Missing
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.place import Place
from lugplane.workshop import Workshop

KB = Path(__file__).parent.parent / "outside" / "worked"


@pytest.fixture(scope="module")
def shop() -> Workshop:
    return Workshop.open(only=KB)


def place(shop: Workshop, *set_: str, parts: tuple[str, ...] = ()) -> Place:
    return Place(assemble(shop.base, Wanted("bench-car", "front", parts, set_)))


def test_the_middle_plane_by_either_datum(shop: Workshop) -> None:
    """x_mid = p - H + T/2 to the wheel face, -H + T/2 to the hub face (TRADE §2)."""
    assert place(shop).middle.nominal == pytest.approx(7 - 50 + 14)
    hub = place(shop, "disc.height_to=hub-face", "disc.height_mm=43±0")
    assert hub.middle.nominal == pytest.approx(-43 + 14)


def test_same_height_and_a_ring_six_thinner_moves_three_inboard(shop: Workshop) -> None:
    thin = place(shop, "disc.thickness_mm=22±0")
    assert place(shop).middle.nominal - thin.middle.nominal == pytest.approx(3.0)


def test_the_bolt_line_from_two_hole_radii(shop: Workshop) -> None:
    """R_b 124 and y_0 = (R_1² - R_2²) / 2c (TRADE §2); unlike radii shift the line."""
    even = place(shop)
    assert even.bolt_line_bare.nominal == pytest.approx(124.0, abs=1e-6)
    assert even.bolt_line_offset.nominal == pytest.approx(0.0, abs=1e-9)
    y0, rb = 2.2, 120.0
    one, two = (71 + y0, 71 - y0)
    odd = place(
        shop,
        f"knuckle.ear.hole_1_radius_mm={(rb**2 + one**2) ** 0.5:.9f}±0",
        f"knuckle.ear.hole_2_radius_mm={(rb**2 + two**2) ** 0.5:.9f}±0",
    )
    assert odd.bolt_line_offset.nominal == pytest.approx(y0, abs=1e-6)
    assert odd.bolt_line_bare.nominal == pytest.approx(rb, abs=1e-6)


def test_holes_that_cannot_be_so_far_apart_are_not_placed(shop: Workshop) -> None:
    with pytest.raises(ValueError, match="so far apart"):
        _ = place(shop, "knuckle.ear.hole_1_radius_mm=0.3±0").bolt_line_bare


@pytest.mark.parametrize(
    ("side", "face", "stated", "expected"),
    [
        ("outboard", "inboard", 46.0, 46.0),
        ("outboard", "outboard", 20.0, 46.0),
        ("inboard", "outboard", 46.0, 46.0),
        ("inboard", "inboard", 20.0, -6.0),
    ],
)
def test_the_centre_from_the_face_that_sits_on_the_ear(
    shop: Workshop, side: str, face: str, stated: float, expected: float
) -> None:
    """The lug is 26 thick: its other face is 26 further out (σ = +1) or in (σ = -1)."""
    p = place(
        shop,
        f"knuckle.side={side}",
        f"caliper.lug_face={face}",
        f"caliper.face_to_centre_mm={stated}±0",
    )
    assert p.to_centre.nominal == pytest.approx(expected)


def test_inboard_spacing_has_the_other_sign(shop: Workshop) -> None:
    """s = σ (x_mid - x_e - d), with the ear face at 22 and d -46."""
    p = place(
        shop,
        "knuckle.side=inboard",
        "caliper.lug_face=outboard",
        "knuckle.ear_face_mm=22±0",
        "caliper.face_to_centre_mm=-46±0",
    )
    assert p.spacing.nominal == pytest.approx(-(-29 - 22 + 46))


def test_a_measured_spacing_stands_above_the_facts(shop: Workshop) -> None:
    p = place(shop, "disc.height_mm=50±1", "spacing_mm=5.2±0.1")
    assert (p.spacing.lo, p.spacing.hi) == pytest.approx((5.1, 5.3))
    assert p.solved == "middle"
    assert (p.middle.lo, p.middle.hi) == pytest.approx((-28.9, -28.7))


def test_a_measured_spacing_solves_the_unknown_place(shop: Workshop) -> None:
    p = place(shop, "caliper.face_to_centre_mm=unknown", "spacing_mm=5.0±0.1")
    assert p.solved == "to_centre"
    assert (p.to_centre.lo, p.to_centre.hi) == pytest.approx((45.9, 46.1))
    q = place(shop, "knuckle.ear_face_mm=unknown", "spacing_mm=5.0±0.1")
    assert (q.ear_face.lo, q.ear_face.hi) == pytest.approx((-80.1, -79.9))


def test_two_unknown_places_stay_unknown(shop: Workshop) -> None:
    p = place(
        shop, "caliper.face_to_centre_mm=unknown", "knuckle.ear_face_mm=unknown", "spacing_mm=5±0"
    )
    assert p.solved is None
    assert p.spacing.nominal == 5.0
    with pytest.raises(Missing) as missing:
        _ = p.ear_face
    assert missing.value.facts == ("knuckle.ear_face_mm",)


def test_a_disc_from_behind_the_flange_is_not_placed(shop: Workshop) -> None:
    with pytest.raises(Missing) as missing:
        _ = place(shop, "knuckle.hub.disc_from=behind").middle
    assert missing.value.facts == ("knuckle.hub.disc_from",)


def test_facts_are_noted_also_when_kept(shop: Workshop) -> None:
    p = place(shop)
    with p.noting() as first:
        _ = p.middle
    with p.noting() as second:
        _ = p.middle
    assert list(first) == list(second)
    assert "disc.height_mm" in first
    assert "disc.height_to" in first
