"""Trials against the deduction: agreement, what is solved from them, and who is suspect."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from random import Random
from typing import Any

import pytest
from trials.making import Altered, Pool, given, moved, trial_of, unknown

from lugplane.answers.trials import Checked, TrialLine, check_trials, look, trials_of
from lugplane.facts.records import Trial
from lugplane.facts.value import Value
from lugplane.render.trial_words import trial_words
from lugplane.render.trial_yaml import jotted, reading_yaml
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.parts import Setup
from lugplane.setup.swap import exactly, number_at, with_number
from lugplane.workshop import Workshop

KESSARIN = {
    "platform": "kessarin-estate",
    "parts": {"caliper": "tovan-q4/44", "disc": "tansy-300", "pad": "kite-120"},
}


def setup_of(shop: Workshop, data: dict[str, Any]) -> Setup:
    parts = tuple(data.get("parts", {}).values())
    return assemble(shop.base, Wanted(data["platform"], data.get("axle", "front"), parts))


def check(shop: Workshop, *trials: Trial, **changes: Any) -> Checked:
    base = Altered(shop.base, changes.get("changes", {}), trials)
    return check_trials(base, shop.rulebook)


def one(shop: Workshop, data: dict[str, Any], changes: dict[str, Any] | None = None) -> TrialLine:
    (line,) = check(shop, trial_of(shop, data), changes=changes or {}).trials
    return line


def place(setup: Setup, path: str) -> str:
    value = number_at(setup, path)
    assert value is not None
    assert value.known
    return value.at


# --- agreement ------------------------------------------------------------------------------------


def test_the_shipped_trials_agree(shipped: Workshop) -> None:
    checked = check_trials(shipped.base, shipped.rulebook)
    assert {t.state for t in checked.trials} == {"agrees"}
    assert len(checked.trials) == len(shipped.base.ids("trial"))
    assert checked.state == "agrees"
    assert checked.cases == ()


@pytest.mark.parametrize(
    ("measured", "state", "beyond"),
    [
        ("0 ±0.2", "agrees", 0.0),
        ("0.425 ±0.2", "agrees", 0.0),
        ("0.44 ±0.2", "disagrees", 0.015),
        ("-1 ±0.2", "disagrees", 0.575),
    ],
)
def test_agreement_ends_where_the_two_intervals_part(
    shipped: Workshop, measured: str, state: str, beyond: float
) -> None:
    """The facts give 0 ±0.225 for this spacing."""
    line = one(shipped, {"id": "a", **KESSARIN, "measured": {"spacing": measured}})
    (seen,) = line.observed
    assert (line.state, seen.state) == (state, state)
    assert seen.beyond == pytest.approx(beyond, abs=1e-9)
    assert seen.combined == pytest.approx(0.425)


def test_a_trial_is_reckoned_on_the_stack_that_it_states(shipped: Workshop) -> None:
    tammick = {
        "platform": "tammick-van",
        "parts": {
            "caliper": "tovan-q4/44",
            "disc": "sorrel-300",
            "pad": "kite-120",
            "wheel": "tammick-16-cast",
        },
        "measured": {"wheel_gap": "4 ±0.1", "centring": "0 ±0.1"},
    }
    by_stack = {}
    for stack in (3.0, 5.0):
        line = one(shipped, {"id": "a", **tammick, "stack_mm": f"{stack} ±0.05"})
        by_stack[stack] = {o.measure: o.reckoned for o in line.observed}
    for stack, e in ((3.0, 2.0), (5.0, 0.0)):
        found = by_stack[stack]["centring"]
        assert found is not None
        assert found.nominal == pytest.approx(e, abs=1e-6)
    gaps = [by_stack[s]["wheel_gap"] for s in (3.0, 5.0)]
    assert gaps[0] is not None
    assert gaps[1] is not None
    assert gaps[0].nominal > gaps[1].nominal + 0.5  # outboard, the spokes come nearer


def test_what_cannot_be_compared_is_never_a_pass(shipped: Workshop) -> None:
    for measured, said in (
        ({"spacings": "5 ±0.1"}, "no measure is called spacings; close to it: spacing"),
        ({"lift": "5 ±0.1"}, "an axially mounted caliper is not spaced radially"),
        ({"engagement": "14 ±0.5"}, "does not say which were in it"),
        ({}, "nothing was measured"),
    ):
        line = one(shipped, {"id": "a", **KESSARIN, "measured": measured})
        assert line.state == "tells nothing"
        assert said in line.because + "".join(o.because for o in line.observed)
    line = one(shipped, {"id": "a", **KESSARIN, "measured": {"tilt": "0.1 ±0.05"}})
    assert (line.state, line.observed[0].state) == ("tells nothing", "only measured")
    mixed = {"spacing": "0 ±0.1", "spacings": "5 ±0.1"}
    assert one(shipped, {"id": "a", **KESSARIN, "measured": mixed}).state == "tells nothing"


def test_parts_that_cannot_be_put_together_are_said(shipped: Workshop) -> None:
    data = {"id": "a", "platform": "kessarin-estate", "parts": {"caliper": "hasket-s1/51"}}
    line = one(shipped, {**data, "measured": {"spacing": "0 ±0.1"}})
    assert line.state == "tells nothing"
    assert "carrier" in line.because


def test_a_bare_figure_is_in_doubt_by_millimetres_not_by_percent(shipped: Workshop) -> None:
    assumed = shipped.rulebook.limits.assumed
    line = one(shipped, {"id": "a", **KESSARIN, "measured": {"spacing": 0}})
    assert line.observed[0].assumed
    assert line.observed[0].measured.hi == assumed["measured"].mm


# --- the four gaps --------------------------------------------------------------------------------


def gaps(*figures: float) -> dict[str, str]:
    names = ("end_1_outboard", "end_1_inboard", "end_2_outboard", "end_2_inboard")
    return {n: f"{x} ±0.05" for n, x in zip(names, figures, strict=True)}


def test_four_gaps_give_the_spacing_and_the_tilt(shipped: Workshop) -> None:
    """Outboard of the ear: e = (2.9 - 3.1) / 2 = -0.1, s = k - e; tilt half of -0.25 less 0.15."""
    brake = {"caliper": "tovan-q4/44", "disc": "sorrel-300"}
    data = {"id": "a", "platform": "tammick-van", "parts": brake}
    data |= {"stack_mm": "5 ±0.05", "gaps_mm": gaps(2.85, 3.1, 2.95, 3.1)}
    line = one(shipped, data)
    assert line.gaps is not None
    assert line.gaps.spacing is not None
    assert line.gaps.spacing.nominal == pytest.approx(5.1)
    assert (line.gaps.spacing.lo, line.gaps.spacing.hi) == pytest.approx((5.0, 5.2))
    assert line.gaps.tilt.nominal == pytest.approx(0.05)
    assert [o.measure for o in line.observed] == ["spacing"]
    assert line.gaps.spacing_agrees is None


def test_gaps_inboard_of_the_ear_count_the_other_way(shipped: Workshop) -> None:
    """Askel-d2 sits outboard on a Wessock; the side of the ear turns the sign, so it is turned."""
    data = {"platform": "wessock-van", "parts": {"caliper": "askel-d2", "disc": "medick-302"}}
    data |= {"stack_mm": "2 ±0.05", "gaps_mm": gaps(2.0, 3.0, 2.0, 3.0)}
    trial = trial_of(shipped, {"id": "a", **data})
    knuckle = setup_of(shipped, {**data}).knuckle

    class Turned(Altered):
        def get(self, cls: type[Any], id_: str) -> Any:
            found = super().get(cls, id_)
            if id_ != knuckle.id:
                return found
            other = "inboard" if knuckle.side.text == "outboard" else "outboard"
            return replace(found, side=replace(found.side, text=other))

    found = []
    for kind in (Altered, Turned):
        (line,) = check_trials(kind(shipped.base, {}, [trial]), shipped.rulebook).trials
        assert line.gaps is not None
        assert line.gaps.spacing is not None
        found.append(line.gaps.spacing.nominal)
    assert sorted(found) == pytest.approx([1.5, 2.5])  # e = -0.5, s = 2 ± e


def test_a_trial_that_contradicts_itself_disagrees(shipped: Workshop) -> None:
    brake = {"caliper": "tovan-q4/44", "disc": "sorrel-300"}
    data = {"id": "a", "platform": "tammick-van", "parts": brake}
    data |= {"stack_mm": "5 ±0.05", "gaps_mm": gaps(2.85, 3.1, 2.95, 3.1)}
    line = one(shipped, {**data, "measured": {"spacing": "4.8 ±0.1"}})
    assert line.observed[0].state == "agrees"
    assert line.gaps is not None
    assert line.gaps.spacing_agrees is False
    assert line.state == "disagrees"


# --- solved from a trial --------------------------------------------------------------------------

SOLVED = {
    "spacing": ("knuckle.ear_face_mm", "mounted.face_to_centre_mm", "disc.height_mm"),
    "plate_hat": ("mounted.line_to_lining_top_mm", "disc.hat_radius_mm", "pad.plate_depth_mm"),
    "bridge": ("caliper.line_to_bridge_mm",),
    "shield_face": ("knuckle.shield.face_mm", "disc.height_mm"),
    "wheel_spigot": ("disc.plate_mm",),
}


def removals(shop: Workshop) -> list[tuple[dict[str, Any], str, str]]:
    """Setups drawn at random over all axial axles, each with a measure and the facts it solves."""
    pool, rnd = Pool.of(shop), Random(7)
    found = []
    for platform, axle in pool.axles:
        seat, disc = rnd.choice(pool.seats), rnd.choice(pool.discs)
        parts = {**dict(zip(("caliper", "carrier"), seat, strict=False)), "disc": disc}
        data = {"platform": platform, "axle": axle, "parts": parts}
        for measure, paths in SOLVED.items():
            for path in paths:
                mounted = "carrier" if len(seat) == 2 else "caliper"
                found.append((data, measure, path.replace("mounted", mounted)))
    return found


def test_a_fact_taken_away_comes_back_from_a_trial(shipped: Workshop) -> None:
    """Measured of the true parts, solved without the fact: the truth lies within its ±, and the
    ± is that of the measurement and of every other fact, no more."""
    solved = 0
    for data, measure, path in removals(shipped):
        setup = setup_of(shipped, data)
        value = number_at(setup, path)
        truth = given(shipped, setup, measure)
        if value is None or not value.known or truth is None:
            continue
        figure = {measure: f"{truth + 0.05:.6f} ±0.1"}
        whole = one(shipped, {"id": "a", **data, "measured": figure})
        line = one(shipped, {"id": "a", **data, "measured": figure}, {value.at: unknown})
        assert line.state == "tells"
        (found,) = line.inferred
        assert (found.fact, found.record) == (path, getattr(setup, path.split(".")[0]).id)
        assert found.value.lo <= value.reading.nominal <= found.value.hi, (data, path)
        pulls = {p.fact.path: p for p in whole.observed[0].pulls}
        slope = abs(pulls[path].slope)
        others = sum(abs(p.slope) * p.half for k, p in pulls.items() if k != path)
        half = (found.value.hi - found.value.lo) / 2
        assert half == pytest.approx((others + whole.observed[0].own) / slope, abs=2e-6)
        assert sum(s.half for s in found.shares) == pytest.approx(half, abs=1e-3)
        solved += 1
    assert solved >= 150


def test_a_wrong_measurement_does_not_come_back_as_the_truth(shipped: Workshop) -> None:
    setup = setup_of(shipped, KESSARIN)
    at = place(setup, "knuckle.ear_face_mm")
    data = {"id": "a", **KESSARIN, "measured": {"spacing": "2 ±0.1"}}
    (found,) = one(shipped, data, {at: unknown}).inferred
    assert not found.value.lo <= setup.knuckle.ear_face_mm.reading.nominal <= found.value.hi


def test_a_radial_lift_gives_the_disc_diameter(shipped: Workshop) -> None:
    """Half the diameter goes into the lift, so that it is known to twice the ±."""
    data = {"platform": "throssel-saloon", "axle": "front"}
    setup = assemble(shipped.base, Wanted("throssel-saloon"))
    assert setup.knuckle.mount.text == "radial"
    truth = given(shipped, setup, "lift")
    at = place(setup, "disc.diameter_mm")
    measured = {"lift": f"{truth} ±0.1"}
    (found,) = one(shipped, {"id": "a", **data, "measured": measured}, {at: unknown}).inferred
    nominal = setup.disc.diameter_mm.reading.nominal
    assert found.value.nominal == pytest.approx(nominal, abs=0.5)
    assert found.value.lo <= nominal <= found.value.hi
    assert found.shares[0].half >= 0.2


@pytest.mark.parametrize("path", ["disc.plate_mm", "caliper.face_to_centre_mm"])
def test_a_gap_to_the_spokes_is_solved(shipped: Workshop, path: str) -> None:
    """Over a Kessarin's wheel the spokes are nearest and stand square to the axle."""
    setup = assemble(shipped.base, Wanted("kessarin-estate"))
    assert setup.wheel is not None
    data = {"platform": "kessarin-estate", "parts": {"wheel": setup.wheel.id}, "stack_mm": "0 ±0"}
    truth = given(shipped, setup, "wheel_gap")
    value = number_at(setup, path)
    assert value is not None
    gone = {"id": "a", **data, "measured": {"wheel_gap": f"{truth} ±0.2"}}
    (found,) = one(shipped, gone, {value.at: unknown}).inferred
    assert found.value.nominal == pytest.approx(value.reading.nominal, abs=0.05)
    assert found.value.hi - found.value.lo > 2.0  # outlines in doubt by half a millimetre each


def test_a_gap_to_the_barrel_gives_no_place_along_the_axle(shipped: Workshop) -> None:
    """Over a Tammick's the barrel is nearest: moving the caliper along it changes nothing."""
    setup = assemble(shipped.base, Wanted("tammick-van"))
    assert setup.wheel is not None
    data = {"platform": "tammick-van", "parts": {"wheel": setup.wheel.id}, "stack_mm": "0 ±0"}
    truth = given(shipped, setup, "wheel_gap")
    at = place(setup, "disc.plate_mm")
    gone = {"id": "a", **data, "measured": {"wheel_gap": f"{truth} ±0.2"}}
    line = one(shipped, gone, {at: unknown})
    assert line.inferred == ()
    assert "in proportion" in line.unsolved[0].because


def test_what_has_two_answers_is_not_solved(shipped: Workshop) -> None:
    """`(opening - T)/2 - |e|`: the caliper may stand as far inboard as outboard."""
    setup = setup_of(shipped, KESSARIN)
    at = place(setup, "knuckle.ear_face_mm")
    data = {"id": "a", **KESSARIN, "stack_mm": "0 ±0"}
    line = one(shipped, {**data, "measured": {"cheek": "1.5 ±0.1"}}, {at: unknown})
    assert line.inferred == ()
    assert line.unsolved[0].because == "more than one knuckle.ear_face_mm would give it"


@pytest.mark.parametrize(
    ("paths", "said"),
    [
        (("knuckle.ear_face_mm", "disc.height_mm"), "more than one fact is not known"),
        (("caliper.face_to_centre_mm", "disc.thickness_mm"), "more than one fact is not known"),
        (("knuckle.ear.hole_1_radius_mm",), "in proportion"),
    ],
)
def test_two_unknowns_and_crooked_ones_are_not_solved(
    shipped: Workshop, paths: tuple[str, ...], said: str
) -> None:
    setup = setup_of(shipped, KESSARIN)
    measure = "bridge" if "ear.hole" in paths[0] else "spacing"
    changes = {place(setup, p): unknown for p in paths}
    line = one(shipped, {"id": "a", **KESSARIN, "measured": {measure: "5 ±0.2"}}, changes)
    assert line.inferred == ()
    assert line.state == "tells nothing"
    assert said in line.unsolved[0].because
    assert set(line.unsolved[0].missing) == set(paths)


def test_an_unknown_word_is_not_solved(shipped: Workshop) -> None:
    trial = trial_of(shipped, {"id": "a", **KESSARIN, "measured": {"spacing": "0 ±0.1"}})

    class Sideless(Altered):
        def get(self, cls: type[Any], id_: str) -> Any:
            found = super().get(cls, id_)
            if id_ == "kessarin-front":
                return replace(found, side=replace(found.side, text=None))
            return found

    (line,) = check_trials(Sideless(shipped.base, {}, [trial]), shipped.rulebook).trials
    assert line.state == "tells nothing"
    assert "no number" in line.unsolved[0].because


def test_what_is_below_zero_is_not_offered(shipped: Workshop) -> None:
    setup = setup_of(shipped, KESSARIN)
    at = place(setup, "disc.thickness_mm")
    line = one(shipped, {"id": "a", **KESSARIN, "measured": {"spacing": "-40 ±0.1"}}, {at: unknown})
    assert line.inferred == ()
    assert "below zero" in line.unsolved[0].because


def test_nothing_is_lost_where_a_reading_is_rounded() -> None:
    for lo, hi in ((24.51712, 24.82349), (-101.3001, -100.7), (0.0, 0.0), (-0.0004, 0.0004)):
        at, half = (float(x) for x in jotted(lo, hi).split(" ±"))
        assert at - half <= lo + 1e-9
        assert at + half >= hi - 1e-9
        assert half <= (hi - lo) / 2 + 0.0021


def pasted(folder: Path, text: str, record: str, yaml: str) -> None:
    """A record's file with the lines of a reading put in where they belong."""
    _, _, rest = yaml.partition("readings:\n")
    reading = re.match(r"(?:  .*\n)+", rest)
    assert reading is not None
    text = text.replace("readings:\n", f"readings:\n{reading[0]}", 1) + rest[reading.end() :] + "\n"
    file = folder / f"{record}.yaml"
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text, "utf-8")


def test_what_is_printed_can_be_pasted_and_proves_nothing_for_its_own_trial(
    shipped: Workshop, tmp_path: Path
) -> None:
    kb = Path(__file__).resolve().parents[2] / "kb"
    file = kb / "knuckles" / "hobbrin-front.yaml"
    text = re.sub(r"(?m)^ear_face_mm:.*\n", "", file.read_text("utf-8"))
    (tmp_path / "knuckles").mkdir()
    (tmp_path / "knuckles" / "hobbrin-front.yaml").write_text(text, "utf-8")
    without = Workshop.open((tmp_path,), None)
    ids = ("hobbrin-q6-first", "hobbrin-q6-second")
    before = check_trials(without.base, without.rulebook, ids)
    assert [t.state for t in before.trials] == ["tells", "tells"]
    (each,) = before.trials[0].inferred
    pasted(tmp_path / "knuckles", text, "hobbrin-front", reading_yaml(each))
    with_it = Workshop.open((tmp_path,), None)
    first, second = check_trials(with_it.base, with_it.rulebook, ids).trials
    assert first.state == "tells nothing"
    assert "inferred from this very trial" in first.observed[0].because
    assert second.state == "agrees"
    fact = assemble(with_it.base, Wanted("hobbrin-van")).knuckle.ear_face_mm.reading
    assert (fact.basis, fact.locator) == ("inferred", "trial hobbrin-q6-first")
    assert (fact.lo, fact.hi) == pytest.approx((each.value.lo, each.value.hi), abs=0.002)


# --- suspects -------------------------------------------------------------------------------------


def test_one_trial_alone_accuses_all_its_facts_alike(shipped: Workshop) -> None:
    trial = trial_of(shipped, {"id": "a", **KESSARIN, "measured": {"spacing": "2 ±0.1"}})
    (case,) = check(shipped, trial).cases
    assert {s.group for s in case.suspects} == {1}
    assert {s.likelihood for s in case.suspects} == {1.0}
    facts = {s.fact for s in case.suspects}
    assert {"knuckle.ear_face_mm", "caliper.face_to_centre_mm", "disc.height_mm"} <= facts
    # A vernier's figure is weaker evidence than what the demonstration data claim of theirs.
    assert case.suspects[0].fact == "measured.spacing"
    assert all(s.explained for s in case.suspects)
    off = {s.fact: s.off for s in case.suspects}
    assert off["measured.spacing"] == pytest.approx(-2.0)
    assert abs(off["disc.thickness_mm"]) == pytest.approx(4.0)


def test_trials_that_share_a_fact_tell_it_apart(shipped: Workshop) -> None:
    """The knuckle is wrong: three brakes on it disagree alike, and one of them elsewhere agrees."""
    brakes = [
        ("tovan-q4/44", "tansy-300"),
        ("tovan-q4/44", "sorrel-300"),
        ("tovan-q4/41", "sorrel-316"),
    ]
    trials = []
    for n, (caliper, disc) in enumerate(brakes):
        data = {"platform": "kessarin-estate", "parts": {"caliper": caliper, "disc": disc}}
        truth = given(shipped, setup_of(shipped, data), "spacing")
        figure = {"spacing": f"{truth} ±0.1"}
        trials.append(trial_of(shipped, {"id": f"k{n}", **data, "measured": figure}))
    data = {"platform": "tammick-van", "parts": {"caliper": "tovan-q4/44", "disc": "sorrel-300"}}
    truth = given(shipped, setup_of(shipped, data), "spacing")
    trials.append(trial_of(shipped, {"id": "t", **data, "measured": {"spacing": f"{truth} ±0.1"}}))
    at = place(setup_of(shipped, KESSARIN), "knuckle.ear_face_mm")
    (case,) = check(shipped, *trials, changes={at: moved(1.5)}).cases
    first = case.suspects[0]
    assert first.at == at
    assert first.off == pytest.approx(-1.5, abs=0.1)
    assert first.explained
    assert case.disagree == ("k0", "k1", "k2")
    assert case.suspects[1].likelihood < 0.1
    # The same fault of the caliper would show on the other car as well.
    caliper = next(s for s in case.suspects if s.fact == "caliper.face_to_centre_mm")
    assert not caliper.explained


def test_cases_that_share_nothing_are_told_apart(shipped: Workshop) -> None:
    other = {"platform": "wessock-van", "parts": {"caliper": "askel-d2", "disc": "medick-302"}}
    trials = [
        trial_of(shipped, {"id": "a", **KESSARIN, "measured": {"spacing": "3 ±0.1"}}),
        trial_of(shipped, {"id": "b", **other, "measured": {"spacing": "9 ±0.1"}}),
    ]
    checked = check(shipped, *trials)
    assert [c.trials for c in checked.cases] == [("a",), ("b",)]
    base = Altered(shipped.base, {}, trials)
    assert len(check_trials(base, shipped.rulebook, ["a"]).cases) == 1


def test_slopes_of_what_is_no_form_are_those_of_geometry(shipped: Workshop) -> None:
    line = one(shipped, {"id": "a", **KESSARIN, "measured": {"overhang": "1 ±0.1"}})
    pulls = {p.fact.path: p for p in line.observed[0].pulls}
    setup = setup_of(shipped, KESSARIN)
    for path in ("disc.diameter_mm", "caliper.line_to_lining_top_mm", "knuckle.ear.spacing_mm"):
        value = number_at(setup, path)
        assert isinstance(value, Value)
        ends = [
            given(
                shipped,
                with_number(setup, path, exactly(value, value.reading.nominal + d)),
                "overhang",
            )
            for d in (-0.02, 0.02)
        ]
        assert ends[0] is not None
        assert ends[1] is not None
        assert pulls[path].slope == pytest.approx((ends[1] - ends[0]) / 0.04, abs=1e-3)
    assert pulls["disc.diameter_mm"].slope == pytest.approx(0.5)


# --- rivals ---------------------------------------------------------------------------------------


def test_rivals_stay_and_say_what_is_recorded_otherwise(shipped: Workshop) -> None:
    ids = ("hobbrin-q6-first", "hobbrin-q6-second")
    first, second = check_trials(shipped.base, shipped.rulebook, ids).trials
    (rival,) = first.rivals
    assert (rival.trial, rival.measure) == ("hobbrin-q6-second", "spacing")
    assert rival.apart == pytest.approx(0.6)
    assert rival.beyond == pytest.approx(0.1)
    differs = {d.what: (d.here, d.there) for d in rival.differs}
    assert differs["instrument"] == ("depth gauge and feeler gauges", "steel rule")
    assert differs["±"] == ("±0.1", "±0.4")
    assert differs["date"] == ("2026-05-02", "2026-05-16")
    assert differs["wheel"] == ("clunder-17-cast", "")
    assert "one wheel nut" in differs["notes"][1]
    assert second.rivals[0].apart == pytest.approx(-0.6)
    kessarin = check_trials(shipped.base, shipped.rulebook, ["kessarin-thin"]).trials[0]
    assert kessarin.rivals == ()


def test_a_sheet_shows_the_trials_of_its_very_setup(shipped: Workshop) -> None:
    brake = ("tovan-q4/44", "sorrel-300", "kite-120")

    def told(*parts: str, **more: Any) -> tuple[Any, ...]:
        return shipped.judge(Wanted("tammick-van", "front", parts, **more), "plain").sheet.trials

    (one_,) = told(*brake, "tammick-16-cast")
    assert (one_.id, one_.state) == ("tammick-q4-first", "agrees")
    assert {f.measure for f in one_.figures} == {"spacing", "overhang", "tilt", "wheel_gap"}
    (bare,) = told(*brake)
    assert {f.measure for f in bare.figures} == {"spacing", "overhang", "tilt"}
    assert told(*brake, wheel_spacer_mm=5.0) == ()
    assert told(*brake, adapter=True) == ()
    assert told("tovan-q4/44", "sorrel-290", "kite-120") == ()
    assert told() == ()


def test_a_sheet_says_that_a_trial_disagrees(shipped: Workshop) -> None:
    data = {**KESSARIN, "id": "a", "measured": {"spacing": "3 ±0.1"}}
    setup = setup_of(shipped, data)
    base = Altered(shipped.base, {}, [trial_of(shipped, data)])
    (told,) = trials_of(base, shipped.rulebook, setup)
    assert told.state == "disagrees"
    said = trial_words(told).replace("\u00a0", " ")
    assert "disagrees; spacing 3 ±0.1 mm" in said
    assert "`lugplane trial check a`" in said


def test_a_case_takes_in_only_what_shares_a_number_with_what_disagrees(shipped: Workshop) -> None:
    """A third car shares its disc with the second, but nothing with the first."""
    third = {"platform": "tammick-van", "parts": {"caliper": "tovan-q2/42", "disc": "sorrel-316"}}
    second = {"platform": "tammick-van", "parts": {"caliper": "tovan-q4/44", "disc": "sorrel-300"}}
    trials = [trial_of(shipped, {"id": "a", **KESSARIN, "measured": {"spacing": "3 ±0.1"}})]
    for id_, data in (("b", second), ("c", third)):
        truth = given(shipped, setup_of(shipped, data), "spacing")
        figure = {"spacing": f"{truth} ±0.1"}
        trials.append(trial_of(shipped, {"id": id_, **data, "measured": figure}))
    (case,) = check(shipped, *trials).cases
    assert case.trials == ("a", "b")
    assert case.disagree == ("a",)


def test_a_sheet_looks_at_the_trials_of_its_own_brake_alone(
    shipped: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Parts are compared before anything is measured; what is told is what the whole look tells."""
    looked: list[str] = []

    def noted(base: Any, rulebook: Any, trial: Trial, **how: bool) -> Any:
        looked.append(trial.id)
        return look(base, rulebook, trial, **how)

    monkeypatch.setattr("lugplane.answers.trials.look", noted)
    base, rulebook = shipped.base, shipped.rulebook
    for trial in base.all(Trial):
        own = assemble(base, trial_wanted(trial))
        looked.clear()
        told = trials_of(base, rulebook, own)
        assert looked == [t.id for t in told]
        assert trial.id in looked
        whole = {t.id: t.state for t in check_trials(base, rulebook, looked[:]).trials}
        assert {t.id: t.state for t in told} == whole
        looked.clear()
        assert trials_of(base, rulebook, assemble(base, Wanted(trial.platform.word))) == ()
        assert looked == []


def trial_wanted(trial: Trial) -> Wanted:
    kinds = ("caliper", "carrier", "disc", "pad", "wheel")
    named = (getattr(trial.parts, kind).text for kind in kinds)
    return Wanted(trial.platform.word, trial.axle.word, tuple(i for i in named if i))
