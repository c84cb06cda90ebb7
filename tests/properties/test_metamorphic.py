"""What must not change an answer does not; what makes facts vaguer never makes an answer better."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from properties.changing import (
    changed,
    figures,
    plus_minus,
    points,
    setup_of,
    sheet_of,
    told,
    unlike,
    values_of,
)
from properties.rewriting import all_ids, read, renamed, shuffled, split, write
from scenarios.judging import JUDGED, KB, deduced, judged, quick
from scenarios.reading import Scenario

from lugplane.answers.sheet import Sheet
from lugplane.deduce import clips, durable, plain
from lugplane.deduce.choose import matcher
from lugplane.facts.value import Value
from lugplane.setup.assemble import Wanted
from lugplane.setup.parts import Setup
from lugplane.workshop import Workshop

FRONTS = ("plain-car", "threaded-car", "inboard-car", "radial-car")
SOUND = tuple(s for s in JUDGED if not s.defect)
some = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])


def near(value: float, spread: float) -> st.SearchStrategy[float]:
    """Values about one, in hundredths: what anybody can measure."""
    steps = round(spread * 100)
    return st.integers(-steps, steps).map(lambda n: round(value + n / 100, 2))


def doubt(most: float) -> st.SearchStrategy[float]:
    return st.integers(0, round(most * 100)).map(lambda n: n / 100)


# --- left and right ---------------------------------------------------------------------------


@st.composite
def lopsided(draw: st.DrawFn) -> Setup:
    """A front brake that is not the same about its middle: holes, outline, lining."""
    platform = draw(st.sampled_from(FRONTS))
    setup = setup_of(Wanted(platform, parts=("seventeen/stock",)))
    if platform != "radial-car":
        for hole in ("hole_1_radius_mm", "hole_2_radius_mm"):
            change = plus_minus(draw(near(142.9, 2)), draw(doubt(0.2)))
            setup = changed(setup, f"knuckle.ear.{hole}", change)
    top = setup.mounted.line_to_lining_top_mm.reading.nominal
    mounted = "carrier" if setup.carrier is not None else "caliper"
    change = plus_minus(draw(near(top, 3)), draw(doubt(0.3)))
    setup = changed(setup, f"{mounted}.line_to_lining_top_mm", change)
    band = plus_minus(draw(near(112, 6)), draw(doubt(0.3)))
    setup = changed(setup, "disc.band_inner_inboard_mm", band)
    if draw(st.booleans()):
        width = st.integers(25, 45)
        a, b = draw(width), draw(width)
        c, d = draw(st.integers(20, a)), draw(st.integers(20, b))
        heights = [draw(st.integers(0, 3)) for _ in range(2)]
        depths = [draw(st.integers(35, 50)) for _ in range(2)]
        lining = ((-a, -heights[0]), (b, -heights[1]), (d, -depths[1]), (-c, -depths[0]))
        setup = changed(setup, "pad.lining.points_u_v", points(lining, draw(doubt(0.3))))
    corner = st.tuples(st.integers(-60, 40), st.integers(10, 60), st.integers(-70, 70))
    outline = tuple(draw(st.lists(corner, min_size=1, max_size=5)))
    setup = changed(setup, "caliper.outline.points_x_r_y", points(outline, draw(doubt(0.5))))
    arched = draw(st.booleans())
    if arched:
        setup = changed(setup, "caliper.bridge_form", lambda w: replace(w, text="arched"))
        setup = changed(setup, "caliper.bridge_half_width_mm", plus_minus(40, 0.2))
        setup = changed(setup, "caliper.line_to_bridge_corner_mm", plus_minus(42, 0.2))
    return setup


def mirrored(setup: Setup) -> Setup:
    """The brake of the car's other side, drawn as if it were this side's."""
    ear = setup.knuckle.ear
    one, two = ear.hole_1_radius_mm.readings, ear.hole_2_radius_mm.readings
    setup = changed(setup, "knuckle.ear.hole_1_radius_mm", lambda v: replace(v, readings=two))
    setup = changed(setup, "knuckle.ear.hole_2_radius_mm", lambda v: replace(v, readings=one))
    outline = tuple((x, r, -y) for x, r, y in setup.caliper.outline.points_x_r_y.items)
    setup = changed(setup, "caliper.outline.points_x_r_y", lambda p: replace(p, items=outline))
    lining = tuple((-u, v) for u, v in reversed(setup.pad.lining.points_u_v.items))
    return changed(setup, "pad.lining.points_u_v", lambda p: replace(p, items=lining))


OTHER_SIDE = {
    f"{edge}_depth_end_{a}_mm": f"{edge}_depth_end_{b}_mm"
    for edge in ("inner", "outer")
    for a, b in ((1, 2), (2, 1))
} | {
    f"knuckle.ear.hole_{a}_radius_mm": f"knuckle.ear.hole_{b}_radius_mm"
    for a, b in ((1, 2), (2, 1))
}


@settings(some, max_examples=60)
@given(lopsided())
def test_left_and_right_are_alike(setup: Setup) -> None:
    assert unlike(sheet_of(setup), sheet_of(mirrored(setup)), OTHER_SIDE) == []


# --- where lengths are counted from -----------------------------------------------------------


@settings(some, max_examples=30)
@given(
    st.sampled_from(FRONTS),
    near(50, 12),
    doubt(0.6),
    near(7, 1),
    st.booleans(),
    near(0, 1.5),
)
def test_the_face_a_height_runs_to_does_not_matter(
    platform: str, height: float, spread: float, plate: float, mirror: bool, off: float
) -> None:
    """`H` to the wheel face is `H - p` to the hub face, for a plate that is known."""
    setup = setup_of(Wanted(platform, parts=("seventeen/stock",)))
    setup = changed(setup, "disc.plate_mm", plus_minus(plate, 0))
    mounted = "carrier" if setup.carrier is not None else "caliper"
    was = setup.mounted.face_to_centre_mm.reading.nominal
    setup = changed(setup, f"{mounted}.face_to_centre_mm", plus_minus(was + off, 0.1 * mirror))
    to_wheel = changed(setup, "disc.height_mm", plus_minus(height, spread))
    to_hub = changed(setup, "disc.height_mm", plus_minus(height - plate, spread))
    to_hub = changed(to_hub, "disc.height_to", lambda w: replace(w, text="hub-face"))
    assert unlike(sheet_of(to_wheel), sheet_of(to_hub)) == []


@settings(some, max_examples=20)
@given(st.sampled_from(FRONTS[:3]), near(0, 6), doubt(0.6), near(20, 4))
def test_the_lug_face_does_not_matter(
    platform: str, off: float, spread: float, thickness: float
) -> None:
    """A centre counted from the other face of a lug that is known lies where it lay."""
    setup = setup_of(Wanted(platform, parts=("seventeen/stock",)))
    mounted = "carrier" if setup.carrier is not None else "caliper"
    setup = changed(setup, f"{mounted}.lug.thickness_mm", plus_minus(thickness, 0))
    was = setup.mounted.face_to_centre_mm.reading.nominal + off
    inboard = changed(setup, f"{mounted}.lug_face", lambda w: replace(w, text="inboard"))
    inboard = changed(inboard, f"{mounted}.face_to_centre_mm", plus_minus(was, spread))
    outboard = changed(setup, f"{mounted}.lug_face", lambda w: replace(w, text="outboard"))
    outboard = changed(
        outboard, f"{mounted}.face_to_centre_mm", plus_minus(was - thickness, spread)
    )
    assert unlike(sheet_of(inboard), sheet_of(outboard)) == []


@settings(some, max_examples=20)
@given(near(50, 10), doubt(0.4), near(7, 1), doubt(0.5))
def test_a_doubtful_plate_hurts_no_height_to_the_hub_face(
    height: float, spread: float, plate: float, loose: float
) -> None:
    """A height to the hub face places the disc as well whatever the plate is."""
    setup = setup_of(Wanted("plain-car", parts=("ring/to-hub-face", "seventeen/stock")))
    setup = changed(setup, "disc.height_mm", plus_minus(height - 7, spread))
    sure = sheet_of(changed(setup, "disc.plate_mm", plus_minus(plate, 0)))
    vague = sheet_of(changed(setup, "disc.plate_mm", plus_minus(plate, loose)))
    for check in ("spacing", "centring", "stack", "tip", "worn-travel"):
        assert figures(sure)[check] == figures(vague)[check]


# --- names and files --------------------------------------------------------------------------

CHOSEN = SOUND[:: max(len(SOUND) // 24, 1)]
"""Scenarios from all over: each file gives some."""


def answers(shop_: Workshop, names: dict[str, str]) -> list[Sheet]:
    found = []
    for scenario in CHOSEN:
        w = scenario.wanted
        wanted = replace(
            w,
            platform=names.get(w.platform, w.platform),
            parts=[names.get(p, p) for p in w.parts],
        )
        found.append(shop_.judge(wanted).sheet)
    return found


@pytest.mark.parametrize("seed", [1, 2])
@pytest.mark.parametrize("way", ["renamed", "split", "shuffled"])
def test_names_families_and_order_do_not_matter(way: str, seed: int, tmp_path: Path) -> None:
    records, random = read(KB), Random(seed)
    names: dict[str, str] = {}
    if way == "renamed":
        records, names = renamed(records, random)
    elif way == "split":
        records, names = split(records)
    records = shuffled(records, random)
    write(records, tmp_path / "kb")
    other = Workshop.open(only=tmp_path / "kb")
    assert len(other.base.ids()) == len(all_ids(records)) - sum(
        1 for r in records.values() if "members" in r
    )
    swapped = {a: names.get(a, a) for a in names}
    for scenario, sheet in zip(CHOSEN, answers(other, names), strict=True):
        assert unlike(judged(scenario).sheet, sheet, swapped) == [], scenario.id


# --- vaguer facts -----------------------------------------------------------------------------

WORSE = {
    "holds": {"holds", "care", "work", "cannot tell"},
    "care": {"care", "work", "cannot tell"},
    "work": {"work", "cannot tell"},
    "cannot tell": {"cannot tell"},
    "fails": {"fails", "cannot tell"},
    "does not apply": {"does not apply", "holds", "care", "work", "cannot tell"},
}
BY_THE_BOLT = frozenset({"engagement", "shank", "bottoming", "tip", "slip-reserve"})
"""Checks whose quantity is that of the bolt chosen: in doubt another may be chosen."""
WORSE_VERDICT = {
    "bolts on": {"bolts on", "fits with work", "cannot tell"},
    "fits with work": {"fits with work", "cannot tell"},
    "cannot tell": {"cannot tell"},
    "does not fit": {"does not fit", "cannot tell"},
    "not asked": {"not asked"},
}


def contradicted(scenario: Scenario) -> bool:
    """Whether the scenario is about a measurement that the facts contradict."""
    return any(
        e.about == "measured-spacing" and "contradicts" in e.value for e in scenario.expected
    )


DIRECT = tuple(s for s in SOUND if not s.wanted.adapter and not contradicted(s))
"""Without adapter plates: one in doubt fails outright (see the defects in mount.yaml). Without a
measurement that the facts contradict: vaguer facts take the contradiction away, as they should."""


@st.composite
def vaguer(draw: st.DrawFn) -> tuple[Scenario, Setup, Setup, str]:
    """A scenario's setup, and the same with some of its facts in wider doubt."""
    scenario = draw(st.sampled_from(DIRECT))
    setup = setup_of(scenario.wanted)
    values = values_of(setup)
    paths = draw(st.lists(st.sampled_from(sorted(values)), min_size=1, max_size=4, unique=True))
    wide, said = setup, []
    for path in paths:
        down, up = draw(doubt(1.5)), draw(doubt(1.5))
        wide = changed(wide, path, widened(values[path], down, up))
        said.append(f"{path} -{down:g} +{up:g}")
    return scenario, setup, wide, ", ".join(said)


def widened(value: Value, down: float, up: float):  # type: ignore[no-untyped-def]
    r = value.reading
    scale = 1.0 if value.unit == "mm" else 0.02 * abs(r.nominal)
    low = r.lo - down * scale
    if r.lo > 0:
        low = max(low, min(r.lo, 1e-3))
    return told(low, r.hi + up * scale, r.nominal)


@settings(some, max_examples=150)
@given(vaguer())
def test_vaguer_facts_never_make_an_answer_better(
    case: tuple[Scenario, Setup, Setup, str],
) -> None:
    scenario, setup, wide, said = case
    before, after = sheet_of(setup), sheet_of(wide)
    for scope in before.scopes:
        assert after.verdict_of(scope.name) in WORSE_VERDICT[scope.verdict], (
            f"{scenario.id}: {scope.name} {scope.verdict}, by {said}: "
            f"{after.verdict_of(scope.name)}"
        )
    was, now = figures(before), figures(after)
    for check, figure in was.items():
        if check in ("torque", "slip-reserve") and was["class"] != now["class"]:
            continue  # a stack in doubt asks for a stronger bolt, which bears more
        assert now[check].state in WORSE[figure.state], (
            f"{scenario.id}: {check} {figure.state}, by {said}: {now[check].state}"
        )
        a, b = figure.spans.get("value"), now[check].spans.get("value")
        if a and b and check not in BY_THE_BOLT:
            assert max(b.lo - a.lo, a.hi - b.hi) <= 1e-6, (
                f"{scenario.id}: {check} {a}, by {said}: {b}"
            )


MATCHERS = (plain.match, clips.match, *([durable.match] if durable.available() else []))
OTHERS = tuple(match for match in MATCHERS if match is not matcher())
"""Matchers besides the one that answers where none is named, which judged the scenarios."""


@pytest.mark.parametrize("scenario", SOUND, ids=lambda s: s.id)
def test_the_matchers_agree(scenario: Scenario) -> None:
    one = judged(scenario).deduction.facts
    for match in (*OTHERS, quick()):
        assert deduced(scenario, match) == one, match
