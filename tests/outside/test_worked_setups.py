"""The worked setups of CHECKS.md (by hand, independent of any code here), through the command line.

Their knowledge base is `worked/`: the base values of CHECKS, and the facts it leaves open.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

KB = Path(__file__).parent / "worked"


@pytest.fixture(scope="module")
def sheet(lugplane: Any) -> Any:
    def ask(*words: str) -> tuple[int, dict[str, Any]]:
        done = lugplane("sheet", "bench-car", *words, "--json", "--only-kb", str(KB))
        assert done.returncode in (0, 1, 3), done.stderr
        return done.returncode, json.loads(done.stdout)

    return ask


def row(answer: dict[str, Any], check: str) -> dict[str, Any]:
    found: dict[str, Any] = next(r for r in answer["rows"] if r["check"] == check)
    return found


def span(value: dict[str, float]) -> tuple[float, float]:
    return value["lo"], value["hi"]


def verdict(answer: dict[str, Any], scope: str) -> str:
    found: str = next(s["verdict"] for s in answer["scopes"] if s["name"] == scope)
    return found


def test_s1_two_washers_a_longer_bolt_and_a_wheel(sheet: Any) -> None:
    code, s1 = sheet("bench-disc/s1", "bench-wheel")
    assert code == 0
    assert verdict(s1, "brake") == "fits with work"
    assert span(row(s1, "spacing")["value"]) == pytest.approx((4.9, 5.1))
    assert [(o["kind"], o["count"], o["thickness_mm"]) for o in s1["stack"]] == [
        ("washers", 2, 5.0)
    ]
    centring = row(s1, "centring")
    assert span(centring["value"]) == pytest.approx((0.0, 0.2))
    engagement = row(s1, "engagement")
    assert span(engagement["need"]) == pytest.approx((24.0, 24.0))
    assert engagement["notes"]["by_rule_mm"]["lo"] == pytest.approx(24.0)
    assert engagement["notes"]["by_stripping_mm"]["hi"] == pytest.approx(14.1, abs=0.05)
    assert [(b["thread"], b["length_mm"], b["class"]) for b in s1["bolts"]] == [
        ("M12x1.5", 45.0, "10.9")
    ]
    assert "too short" in s1["bolt_reason"]
    tip = row(s1, "tip")
    assert tip["value"]["lo"] == pytest.approx(3.9)
    assert tip["margin"] == pytest.approx(1.9)
    assert span(row(s1, "worn-travel")["have"]) == pytest.approx((11.5, 11.7))
    assert span(row(s1, "wheel-gap")["value"]) == pytest.approx((3.4, 3.6))
    assert verdict(s1, "wheel") == "bolts on"


@pytest.mark.parametrize(
    ("disc", "expected"),
    [
        ("s2-hub-face", (4.9, 5.1)),
        ("s2-wheel-face", (3.9, 6.1)),
        ("s2-misread", (-2.0, -2.0)),
    ],
)
def test_s2_the_height_and_the_face_it_runs_to(
    sheet: Any, disc: str, expected: tuple[float, float]
) -> None:
    _, s2 = sheet(f"bench-disc/{disc}")
    assert span(row(s2, "spacing")["value"]) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("caliper", "state", "code"),
    [("s3-13", "holds", 0), ("s3-12.52", "cannot tell", 3), ("s3-12", "fails", 1)],
)
def test_s3_a_thinner_disc_worn_down(sheet: Any, caliper: str, state: str, code: int) -> None:
    got, s3 = sheet("bench-disc/s3", f"bench-caliper/{caliper}")
    assert got == code
    assert span(row(s3, "spacing")["value"]) == pytest.approx((3.0, 3.0))
    worn = row(s3, "worn-travel")
    assert span(worn["have"]) == pytest.approx((12.5, 12.55))
    assert worn["state"] == state


def test_s4_two_millimetres_of_trim(sheet: Any) -> None:
    _, s4 = sheet("bench-disc/s4", "bench-pad/s4")
    trim = row(s4, "trim")
    notes = {k: v["nominal"] for k, v in trim["notes"].items()}
    for depth in ("inner_depth_mid_mm", "inner_depth_end_1_mm", "inner_depth_end_2_mm"):
        assert notes[depth] == pytest.approx(2.0, abs=1e-6)
    assert trim["value"]["nominal"] == pytest.approx(0.02554, abs=5e-6)
    assert notes["area_left_mm2"] == pytest.approx(8310.0, abs=0.1)
    assert notes["mean_radius_mm"] == pytest.approx(136.66, abs=0.005)
    assert notes["centroid_radius_mm"] == pytest.approx(130.50, abs=0.005)
    assert trim["state"] == "work"
    assert verdict(s4, "brake") == "fits with work"


def test_one_opening_for_cheeks_and_abutments_would_fail(lugplane: Any) -> None:
    """CHECKS gives one opening of 40; TRADE's abutment check then lacks 2.25 mm (see the facts)."""
    done = lugplane(
        "sheet",
        "bench-car",
        "bench-disc/base",
        "--json",
        "--only-kb",
        str(KB),
        "--set",
        "caliper.abutment_opening_mm=40±0",
    )
    abutment = row(json.loads(done.stdout), "abutment")
    assert abutment["state"] == "fails"
    assert abutment["value"]["hi"] == pytest.approx(-2.25)
