"""The scenarios' own reader and comparison: strict, and telling file, line, expected and found."""

from __future__ import annotations

import pytest
from scenarios.covering import impossible
from scenarios.judging import differences, shop
from scenarios.reading import Scenario, Unreadable, number_of, read_text

FILE = """\
group: A group
setup: {platform: plain-car}
scenarios:
  - name: stock
    expect:
      %s
"""


def one(expect: str) -> Scenario:
    (scenario,) = read_text(FILE % expect, "tried.yaml")
    return scenario


@pytest.mark.parametrize(
    ("expect", "told"),
    [
        ("verdicts: {brake: bolts on}", ""),
        ("verdicts: {brake: does not fit}", "expected does not fit, found bolts on"),
        ("limiting: {brake: drum}", "expected drum, found "),
        ("checks: {spacing: holds}", ""),
        ("checks: {spacing: 'holds, none'}", ""),
        ("checks: {spacing: work}", "check spacing: expected work, found holds (none); 0..0 mm"),
        ("checks: {spacing: 'holds, spacer'}", "expected holds (spacer), found holds (none)"),
        ("checks: {spacings: holds}", "there is no check spacings"),
        ("numbers: {cheek: 6}", ""),
        ("numbers: {cheek: 6.002}", "cheek: expected 6.002, found 6..6"),
        ("numbers: {cheek: 5..6}", "cheek: expected 5..6, found 6..6"),
        ("numbers: {cheek: from 5}", "cheek: expected from 5, found 6..6"),
        ("numbers: {cheek: up to 6}", ""),
        ("numbers: {cheek: 6.1 within 0.2}", ""),
        ("numbers: {cheek.depth: 6}", "found no such number"),
        ("numbers: {torque: 72.25..97.75}", ""),
        ("stack: none", ""),
        ("stack: 2 washers", "stack: expected 2 washers, found none"),
        ("bolt: original", ""),
        ("bolt: M12x1.5x40 8.8", "bolt: expected M12x1.5x40 8.8, found original"),
        (
            "missing: {spacing: [disc.height_mm]}",
            "missing for spacing: expected ['disc.height_mm']",
        ),
        ("settles: {spacing: {disc.height_mm: 0.1}}", "spacing is settled by disc.height_mm"),
        ("work: [bleed]", ""),
        ("work: [not bleed]", "work: expected not bleed, found"),
        ("buy: [caliper]", "buy: expected caliper, found nothing"),
        ("buy: [not caliper]", ""),
        ("words: [The original bolt stays.]", ""),
        ("words: [The bolt is golden.]", "the sheet does not say: The bolt is golden."),
        ("no_words: [The original bolt stays.]", "the sheet says: The original bolt stays."),
    ],
)
def test_what_is_not_as_expected_is_told(expect: str, told: str) -> None:
    scenario = one(expect)
    wrong = differences(scenario, shop().judge(scenario.wanted))
    assert len(wrong) == (1 if told else 0), wrong
    for line in wrong:
        assert line.startswith("tried.yaml:6: stock: ")
        assert told in line


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (FILE % "verdict: {brake: bolts on}", "tried.yaml:6: verdict: no such key"),
        (FILE % "verdicts: {brakes: bolts on}", "tried.yaml:6: brakes: scopes are"),
        (FILE % "checks: {spacing: holding}", "tried.yaml:6: spacing: holding: states are"),
        (FILE % "numbers: {spacing: about 5}", "tried.yaml:6: spacing: about 5: a number"),
        (FILE % "words: twice", "words: a list of texts"),
        (FILE % "missing: {spacing: disc.height_mm}", "a list of facts"),
        (FILE % "{refused: [a], stack: none}", "refused stands alone"),
        ("group: A\nscenarios:\n  - {name: n, expect: {stack: none}}\n", "n: no platform"),
        ("group: A\nscenarios:\n  - {expect: {stack: none}}\n", "a scenario needs a name"),
        ("group: A\nscenarios:\n  - {name: n, setup: {car: c}}\n", "car: no such key"),
        ("group: A\nscenarios: none\n", "a list"),
        ("group: A\ngroup: B\nscenarios: []\n", "group"),
    ],
)
def test_a_file_is_read_strictly(text: str, told: str) -> None:
    with pytest.raises(Unreadable) as error:
        read_text(text, "tried.yaml")
    assert told in str(error.value)


def test_how_near_a_number_must_be() -> None:
    for text, within in (("5", 0.001), ("4.9..5.1", 0.001), ("0.02554", 5e-6), ("1 within 2", 2)):
        number = number_of(text)
        assert number is not None
        assert number.within == pytest.approx(within)
    assert number_of("five") is None
    assert number_of("from 1..2") is None


def test_what_cannot_be_says_why() -> None:
    assert all(len(reason) > 20 for reason in impossible().values())
