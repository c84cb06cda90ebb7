"""Why a check came out as it did: for every check of every setup, down to file and line."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from lugplane.answers.sheet import Judged
from lugplane.render.layout import columns
from lugplane.render.proof import why_text
from lugplane.render.reasons import reasons
from lugplane.render.text import sheet_text

Golden = Callable[[str, str], None]


def flat(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize(
    ("setup", "check"),
    [("fits-with-work", "engagement"), ("wide-doubt", "spacing"), ("bolts-on", "lift")],
)
def test_golden(
    setup: str, check: str, judged_setups: dict[str, Judged], same_as_golden: Golden
) -> None:
    same_as_golden(f"why-{check}-{setup}.txt", why_text(judged_setups[setup], check))


def test_every_check_has_reasons_within_the_width(judged: Judged) -> None:
    for row in judged.sheet.rows:
        for width in (80, 40):
            text = why_text(judged, row.check, width=width)
            assert [x for x in text.split("\n") if columns(x) > width] == []
        assert f"({row.check}): {row.state}" in flat(text)
        assert "!" not in text


def test_an_unknown_check_is_the_callers_business(judged_setups: dict[str, Judged]) -> None:
    with pytest.raises(KeyError):
        why_text(judged_setups["bolts-on"], "no-such-check")


def test_the_doubts_of_the_inputs_add_up(judged: Judged) -> None:
    """For what is linear in its facts the pushes are the half width, no more and no less."""
    for check in ("spacing", "hat-flange", "hub-bore"):
        why = reasons(judged, check)
        if why.row.value is not None:
            half = (why.row.value.hi - why.row.value.lo) / 2
            assert sum(p.reach for p in why.pushes) == pytest.approx(half, abs=1e-9)


def test_each_fact_has_its_reading_and_its_line(judged_setups: dict[str, Judged]) -> None:
    text = flat(why_text(judged_setups["fits-with-work"], "spacing", width=300))
    assert re.search(
        r"\(caliper\.face_to_centre_mm\) 46\.4 ±0\.05 mm ±0\.05 mm invented, made-up, "
        r"caliper sheet 2, 2026-04-03; brindle-4, kb/calipers/brindle-4\.yaml:\d+\. "
        r"Another reading, not used: 47 ±0\.3 mm; invented, made-up, caliper list\.",
        text,
    )


def test_limit_and_constants_name_their_sources(judged_setups: dict[str, Judged]) -> None:
    text = flat(why_text(judged_setups["fits-with-work"], "room-new"))
    assert "Limit" in text
    assert "Source:" in text
    assert "(pad_gap_mm); source:" in text


def test_the_rules_lead_from_the_row_to_what_was_given(judged_setups: dict[str, Judged]) -> None:
    why = reasons(judged_setups["fits-with-work"], "engagement")
    assert why.proof[0].rule == "engagement"
    assert why.proof[-1].depth > 0
    assert any(not b.rule for b in why.proof)
    words = [b.words for b in why.proof]
    assert len(set(words)) == len(words)
    text = flat(why_text(judged_setups["fits-with-work"], "engagement"))
    assert re.search(r"by rule bolt \(rules/bolts\.yaml:\d+\)", text)
    assert "rest on it" in text


def test_of_what_was_given_only_what_the_rules_asked_is_shown(
    judged_setups: dict[str, Judged],
) -> None:
    why = reasons(judged_setups["fits-with-work"], "spacing")
    given = next(dict(b.words) for b in why.proof if not b.rule)
    assert given["kind"] == "setup"
    assert given["body"] == "fixed"
    assert "wheel" not in given


def test_what_does_not_apply_says_why(judged_setups: dict[str, Judged]) -> None:
    text = flat(why_text(judged_setups["settle"], "wheel-gap"))
    assert "Does not apply, because no wheel was named." in text
    assert "It applies where there is this: setup: wheel named." in text


def test_symbols_of_a_formula_are_named_and_no_others(judged_setups: dict[str, Judged]) -> None:
    text = flat(why_text(judged_setups["fits-with-work"], "spacing"))
    assert "In it: x_mid the disc's mid-plane; x_e the ear's face;" in text
    assert "d lug face to the caliper's centre plane" in text
    assert "R_b" not in text
    assert "In it:" not in flat(why_text(judged_setups["fits-with-work"], "engagement"))


def test_the_ends_of_a_trim_are_those_of_the_sheet(judged_setups: dict[str, Judged]) -> None:
    """Hole 1 lies further out than hole 2 in this setup, so more comes off by hole 2."""
    judged = judged_setups["fits-with-work"]
    text = flat(why_text(judged, "trim"))
    found = re.findall(r"Inner edge off by hole ([12]): ([0-9.]+) mm", text)
    deep = {hole: float(mm) for hole, mm in found}
    assert deep["2"] > deep["1"]
    assert f"{deep['2']:.1f} mm by hole 2" in flat(sheet_text(judged.sheet))


def test_what_has_no_answer_names_the_missing_fact(judged_setups: dict[str, Judged]) -> None:
    text = flat(why_text(judged_setups["body-not-known"], "slide-new"))
    assert "Not known: caliper.body." in text
    assert "(caliper.body): not known" in text
    assert "what it lacks first" in text


def test_a_measurement_that_settles_it_alone_is_told_from_the_rest(
    judged_setups: dict[str, Judged],
) -> None:
    text = flat(why_text(judged_setups["wide-doubt"], "spacing"))
    alone, others = text.split("None of these settles it alone:")
    assert re.search(r"\(disc\.height_mm\) to ±[\d.]+ mm \(now ±2 mm\)", alone)
    assert "(knuckle.ear_face_mm), now ±0.1 mm" in others
