"""The worked setups S1-S4 (by hand, independent of any code; *practice* limits) by the oracle."""

from pathlib import Path

import numpy as np
import pytest
from oracle.bolts import stripping_length
from oracle.geometry import linings, polygon_in_disc
from oracle.oracle import CHECKS, Answer, Kb, judge, load
from shapely.geometry import Polygon

FOLDER = Path(__file__).parent / "kb_worked"
STATES = {"holds", "care", "work", "fails", "cannot tell", "n/a"}


@pytest.fixture(scope="module")
def kb() -> Kb:
    return load(FOLDER)


def run(
    kb: Kb,
    disc: str,
    caliper: str = "worked-four/15",
    pad: str = "worked-pad/base",
    **more: object,
) -> Answer:
    answer = judge(kb, "worked-car", "front", caliper, disc, pad, wheel="worked-wheel", **more)  # type: ignore[arg-type]
    assert answer.states.keys() == CHECKS.keys()
    assert set(answer.states.values()) <= STATES
    return answer


def span(lo: float, hi: float) -> object:
    return pytest.approx((lo, hi), abs=1e-9)


def test_s1_spacing_washers_and_centring(kb: Kb) -> None:
    got = run(kb, "worked-disc/s1")
    assert got.spacing == span(4.9, 5.1)
    assert got.stack == [("washer", 2.5), ("washer", 2.5)]
    assert got.have["centring"] == span(0.0, 0.2)
    assert got.states["centring"] == "holds"


def test_s1_bolt_of_45_and_class_10_9(kb: Kb) -> None:
    got = run(kb, "worked-disc/s1")
    assert stripping_length("M12x1.5", "10.9", 310) == pytest.approx(14.1, abs=0.05)
    # Engagement is the lug's 26 mm of thread; needed 24 (2.0 d), so 2 mm are left.
    assert got.have["engagement"] == span(2.0, 2.0)
    assert got.bolt == "M12x1.5x45 10.9"  # neither the original 40 nor a standard 40
    assert got.states["class"] == "work"
    assert got.have["tip"] == span(3.9, 4.1)  # least 3.9, 1.9 over its limit


def test_s1_a_bolt_of_40_would_be_too_short(kb: Kb) -> None:
    longer = run(kb, "worked-disc/s1", overrides={"knuckle.bolt.class": "10.9"})
    assert longer.bolt == "M12x1.5x45 10.9"
    stays = run(
        kb,
        "worked-disc/s1",
        overrides={
            "knuckle.bolt.class": "10.9",
            "knuckle.bolt.length_mm": "45..45",
            "knuckle.bolt.thread_length_mm": "45..45",
        },
    )
    assert stays.bolt == "original"


def test_s1_travel_gap_and_verdict(kb: Kb) -> None:
    got = run(kb, "worked-disc/s1")
    # 15 of safe travel less 11.5..11.7.
    assert got.have["worn-travel"] == span(15 - 11.7, 15 - 11.5)
    assert got.have["wheel-gap"] == span(3.4, 3.6)
    assert got.verdict["brake"] == "fits with work"
    assert got.verdict["wheel"] == "bolts on"
    assert got.verdict["car"] == "cannot tell"


def test_s1_one_opening_for_cheeks_and_abutments_fails_by_2_25(kb: Kb) -> None:
    got = run(kb, "worked-disc/base", "worked-four/one-opening")
    assert got.have["abutment"] == span(-2.35, -2.25)  # |e| up to 0.1: two washers
    assert got.states["abutment"] == "fails"


def test_s2_height_to_the_hub_face_does_not_feel_the_plate(kb: Kb) -> None:
    assert run(kb, "worked-disc/s2-hub").spacing == span(4.9, 5.1)
    assert run(kb, "worked-disc/s2-wheel").spacing == span(3.9, 6.1)
    assert run(kb, "worked-disc/s2-misread").spacing == span(-2.0, -2.0)


@pytest.mark.parametrize(
    ("travel", "state"), [("13", "holds"), ("12.52", "cannot tell"), ("12", "fails")]
)
def test_s3_thin_disc_and_safe_travel(kb: Kb, travel: str, state: str) -> None:
    got = run(kb, "worked-disc/s3", f"worked-four/{travel}")
    assert got.spacing == span(3.0, 3.0)
    assert got.stack == [("ring", 3.0)]
    safe = float(travel)
    assert got.have["worn-travel"] == span(safe - 12.55, safe - 12.5)
    assert got.states["worn-travel"] == state
    wanted = {"holds": "fits with work", "fails": "does not fit"}
    assert got.verdict["brake"] == wanted.get(state, state)


def test_s4_trim_share_area_and_radii(kb: Kb) -> None:
    got = run(kb, "worked-disc/s4", pad="worked-pad/s4")
    assert got.trim_share is not None
    assert got.area_left is not None
    assert got.r_eff is not None
    assert got.trim_share == pytest.approx((0.02554, 0.02554), abs=5e-6)
    assert got.area_left == pytest.approx((8310.0, 8310.0), abs=0.1)
    assert got.r_eff == pytest.approx((136.66, 136.66), abs=0.005)
    assert got.have["trim-depth"] == span(6 - 2, 6 - 2)
    assert got.states["trim"] == "work"
    assert got.verdict["brake"] == "fits with work"


def test_s4_centroid_of_what_is_left(kb: Kb) -> None:
    form = linings(kb.need("pad", "worked-pad/s4").get("lining"))[0]
    placed = Polygon(form.points + np.array([0.0, 164.0]))
    hub = Polygon([(np.sin(a) * 105, np.cos(a) * 105) for a in np.linspace(-1, 1, 4001)] + [(0, 0)])
    left = placed.difference(hub)
    assert left.centroid.y == pytest.approx(130.50, abs=0.005)
    big, small = (
        polygon_in_disc(np.array(placed.exterior.coords)[:-1], radius)[0] for radius in (165, 105)
    )
    assert abs(big - small) == pytest.approx(left.area, abs=0.01)


@pytest.mark.parametrize(
    "fact",
    [
        "knuckle.bolt.single_use",
        "knuckle.shoes.fitted",
        "knuckle.shield.fitted",
        "caliper.lug.tensile_mpa",
        "caliper.abutment_opening_mm",
        "caliper.lug_face",
        "caliper.bridge_form",
        "disc.height_to",
        "disc.min_thickness_mm",
        "pad.alike",
        "knuckle.hub.disc_from",
    ],
)
def test_a_missing_fact_is_no_pass(kb: Kb, fact: str) -> None:
    once = {"knuckle.bolt.length_mm": "45..45", "knuckle.bolt.thread_length_mm": "45..45"}
    once |= {"knuckle.bolt.class": "10.9"}
    full = run(kb, "worked-disc/base", overrides=once)
    less = run(kb, "worked-disc/base", overrides=once | {fact: None})
    assert full.verdict["brake"] == "fits with work"
    assert less.verdict["brake"] == "cannot tell"


def test_how_deep_may_be_trimmed_is_asked_only_where_something_comes_off(kb: Kb) -> None:
    unknown = {"pad.trimmable_mm": None}
    whole = run(kb, "worked-disc/base", overrides=unknown)
    cut = run(kb, "worked-disc/s4", pad="worked-pad/s4", overrides=unknown)
    assert whole.trim_share == (0.0, 0.0)
    assert whole.states["trim-depth"] == "holds"
    assert cut.states["trim-depth"] == "cannot tell"
    assert cut.verdict["brake"] == "cannot tell"


def test_a_fitted_disc_measured_anew_is_not_the_disc_designed_for(kb: Kb) -> None:
    disc = kb.need("disc", "worked-disc/base")
    anew = kb.changed(disc, {"thickness_mm": "28 ±0.5"})
    assert anew.values["height_mm"] is disc.values["height_mm"]
    assert anew.values["thickness_mm"] is not disc.values["thickness_mm"]


def test_an_adapter_that_suits_is_work_and_its_bolts_are_the_engineers(kb: Kb) -> None:
    far = {"caliper.lug.spacing_mm": "160..160", "caliper.face_to_centre_mm": "36..36"}
    got = run(kb, "worked-disc/base", adapter=True, overrides=far)
    assert got.spacing == span(15.0, 15.0)
    assert {got.states[c] for c in ("adapter", "spacing")} == {"work"}
    assert {got.states[c] for c in ("bolt", "class", "engagement", "torque", "slip-reserve")} == {
        "n/a"
    }
    assert got.verdict["brake"] == "fits with work"


def test_a_hole_whose_place_is_unknown_may_be_inside_the_disc(kb: Kb) -> None:
    far = {"knuckle.ear.hole_1_radius_mm": None, "knuckle.ear.hole_2_radius_mm": "190..190"}
    assert "tip" in run(kb, "worked-disc/base", overrides=far).have
