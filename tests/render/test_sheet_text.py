"""The fit sheet as text: complete, within its width, and honest about what it does not know."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from lugplane.answers.sheet import Judged, Sheet
from lugplane.render.layout import columns
from lugplane.render.text import sheet_text

WIDTHS = (80, 60, 40)
Golden = Callable[[str, str], None]


def flat(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("name", ["bolts-on", "fits-with-work", "does-not-fit", "not-known"])
def test_golden(name: str, sheets: dict[str, Sheet], same_as_golden: Golden) -> None:
    same_as_golden(f"sheet-{name}.txt", sheet_text(sheets[name]))


def test_golden_of_a_telephone(sheets: dict[str, Sheet], same_as_golden: Golden) -> None:
    same_as_golden("sheet-settle-40.txt", sheet_text(sheets["settle"], width=40))


@pytest.mark.parametrize("width", [*WIDTHS, 24])
def test_no_line_is_wider(judged: Judged, width: int) -> None:
    lines = sheet_text(judged.sheet, width=width).split("\n")
    assert [x for x in lines if columns(x) > width] == []


@pytest.mark.parametrize("width", WIDTHS)
def test_no_line_is_wider_whatever_the_titles(hostile: Sheet, width: int) -> None:
    text = sheet_text(hostile, width=width)
    assert [x for x in text.split("\n") if columns(x) > width] == []
    assert "\x1b" not in text
    assert "\u202e" not in text


@pytest.mark.parametrize("width", WIDTHS)
def test_every_check_is_named(judged: Judged, width: int) -> None:
    text = sheet_text(judged.sheet, width=width)
    checks = flat(text[text.index("Checks") : text.index("To buy")])
    for row in judged.sheet.rows:
        assert re.search(rf"(?<![\w-]){re.escape(row.check)}[:,]", checks), row.check


def test_every_check_has_its_title_and_state(judged: Judged) -> None:
    """A check stands under the heading of its state and under no other."""
    text = sheet_text(judged.sheet, width=200)
    table = text[text.index("Checks\n") : text.index("To buy\n")]
    heads = {"Fails": "fails", "Cannot tell": "cannot tell", "Work": "work", "Care": "care",
             "Holds": "holds", "Cannot tell, not judged yet": "cannot tell",
             "Not measured yet, and not judged": "does not apply",
             "Does not apply": "does not apply"}  # fmt: skip
    state, found = "", {}
    for line in table.split("\n"):
        if line in heads:
            state = heads[line]
        for check in re.findall(r"(?:^  |^  - |, )([a-z0-9-]+)(?=[:,])", line):
            if any(r.check == check for r in judged.sheet.rows):
                found[check] = state
    assert found == {r.check: r.state for r in judged.sheet.rows}


def test_a_verdict_comes_first_for_every_scope(judged: Judged) -> None:
    top = sheet_text(judged.sheet).split("Parts\n")[0]
    for scope in judged.sheet.scopes:
        assert f"{scope.name.capitalize()}: {scope.verdict}." in top
        if scope.limiting and judged.sheet.row(scope.limiting).because != "not judged yet":
            assert f"({scope.limiting})" in flat(top)


@pytest.mark.parametrize("name", ["not-known", "wide-doubt", "body-not-known"])
def test_cannot_tell_says_what_to_measure(name: str, sheets: dict[str, Sheet]) -> None:
    sheet = sheets[name]
    assert sheet.verdict_of("brake") == "cannot tell"
    top = flat(sheet_text(sheet).split("Parts\n")[0])
    brake = top[: top.index("Wheel:")]
    assert "Measure this" in brake
    wanted = {
        "not-known": "(knuckle.ear_face_mm): not known",
        "wide-doubt": "(disc.height_mm) to ±",
        "body-not-known": "(caliper.body): not known",
    }
    assert wanted[name] in brake


def test_the_finest_doubt_of_all_checks_is_asked(sheets: dict[str, Sheet]) -> None:
    sheet = sheets["wide-doubt"]
    needs = [s.needs for r in sheet.rows for s in r.settles
             if s.fact == "disc.height_mm" and s.needs and r.scope == "brake"]  # fmt: skip
    top = flat(sheet_text(sheet).split("Parts\n")[0])
    asked = re.search(r"\(disc\.height_mm\) to ±([\d.]+) mm", top)
    assert asked is not None
    assert float(asked[1]) <= min(needs) < float(asked[1]) + 0.01


def test_a_measurement_is_asked_for_once(sheets: dict[str, Sheet]) -> None:
    top = flat(sheet_text(sheets["not-known"]).split("Parts\n")[0])
    assert top.count("(knuckle.ear_face_mm): not known") == 1
    assert "Measure this, as for the brake:" in top


@pytest.mark.parametrize(
    ("name", "warning"),
    [("does-not-fit", "buy nothing on this sheet"), ("not-known", "buy nothing before")],
)
def test_nobody_is_told_to_buy_for_what_does_not_fit(
    name: str, warning: str, sheets: dict[str, Sheet]
) -> None:
    text = sheet_text(sheets[name])
    assert warning in flat(text[text.index("To buy") :])
    assert "start no work" in flat(text)


def test_what_fits_is_not_warned_of(sheets: dict[str, Sheet]) -> None:
    text = flat(sheet_text(sheets["fits-with-work"]))
    assert "see above" not in text


def test_stack_bolt_torque_and_trim_are_always_answered(judged: Judged) -> None:
    text = sheet_text(judged.sheet)
    takes = flat(text[text.index("What it takes") : text.index("Checks\n")])
    for check, words in {
        "stack": ("between ear and lug", "Space the caliper", "Mock up, measure, then make"),
        "bolt": (
            *("bolt to the knuckle", "bolt stays", "bolt is replaced"),
            *("decides the bolt", "Adapter"),
        ),
        "trim": ("lining",),
    }.items():
        assert any(w.lower() in takes.lower() for w in words), (check, takes)


def test_a_hold_point_stands_where_it_stops_the_work(sheets: dict[str, Sheet]) -> None:
    text = sheet_text(sheets["fits-with-work"], width=300)
    work = text[text.index("Work, in this order") : text.index("Look at the used parts")]
    order = ["Mock up with the bare caliper", "  | Stop before spacers", "Put the stack between",
             "  | Stop before the lining is cut", "Trim the lining by", "Fit the caliper",
             "Tighten the bolts of the caliper", "Fit the pads, trimmed ones too", "Bleed",
             "  | Stop before the first drive", "Prove it at walking pace"]  # fmt: skip
    places = [work.index(x) for x in order]
    assert places == sorted(places)
    assert work.count("  | ") == len(sheets["fits-with-work"].hold)


def test_a_hold_point_that_names_no_work_stops_all(sheets: dict[str, Sheet]) -> None:
    sheet = sheets["fits-with-work"]
    first = replace(sheet.hold[0], id="new-one", text="Stop and think.", before=())
    odd = replace(sheet, hold=(first,))
    work = sheet_text(odd).split("Work, in this order")[1]
    assert work.split("\n")[2] == "  | Stop and think."


def test_every_step_caution_and_purchase_is_there(judged: Judged) -> None:
    text = flat(sheet_text(judged.sheet, width=400))
    sheet = judged.sheet
    if sheet.as_built:
        assert "Nothing to do: this is how the factory built it." in text
        assert "Stop before" not in text
    done = () if sheet.as_built else (*sheet.work, *sheet.hold)
    for line in (*done, *sheet.caution, *sheet.inspect):
        assert (line.text.rstrip(".") in text) != (sheet.as_built and line.id == "slip-low")
    for item in judged.sheet.buy:
        assert f"{item.count} × {item.text}" in text


def test_every_fact_is_there_with_its_line(judged: Judged) -> None:
    text = flat(sheet_text(judged.sheet, width=400))
    rests = text[text.index("What it rests on") :]
    for line in judged.sheet.evidence:
        assert f"({line.path})" in rests
    assert "line 11" in rests
    assert "kb/knuckles/harrow-front.yaml" in rests


def test_rival_readings_and_assumed_doubts_are_shown(sheets: dict[str, Sheet]) -> None:
    rests = flat(sheet_text(sheets["fits-with-work"]).split("What it rests on")[1])
    assert "Another reading, not used: 47 ±0.3 mm; invented, made-up, caliper list." in rests
    assert "2150 ±43 kg (± assumed)" in rests


def test_what_was_given_with_the_question_is_named(sheets: dict[str, Sheet]) -> None:
    text = flat(sheet_text(sheets["settle"]))
    given = text[text.index("Given with this question") : text.index("What it takes")]
    assert "(spacing_mm): 3.2 ±0.5 mm" in given


def test_colour_adds_nothing_but_weight(judged: Judged) -> None:
    plain, coloured = sheet_text(judged.sheet), sheet_text(judged.sheet, colour=True)
    assert "\x1b[1m" in coloured
    assert set(re.findall(r"\x1b\[(\d+)m", coloured)) <= {"0", "1", "2"}
    assert re.sub(r"\x1b\[\d+m", "", coloured) == plain


def test_the_language_is_plain(judged: Judged) -> None:
    text = sheet_text(judged.sheet)
    assert "!" not in text
    assert not re.search(r"\b(None(?! of)|True|False|nan|inf|null|tuple|dataclass)\b", text)
    assert "{" not in text
    assert "\xa0" not in text
