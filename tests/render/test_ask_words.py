"""What is said of measurements: to the workshop and to a customer."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from lugplane.answers.ask import Ask, AskList, InDoubt
from lugplane.answers.ask_close import Close
from lugplane.answers.ask_items import Item, Range
from lugplane.answers.rows import Span
from lugplane.answers.sheet import Part
from lugplane.render.ask import ask_blocks, ask_text, item_words, ranges_words
from lugplane.render.ask_message import NO_FIT, NOT_SURE, NOTHING, exactness, message_text

TITLES = {
    "bridge": "disc edge to the bridge",
    "wheel-gap": "caliper inside the wheel",
    "joint": "what the bolt screws into",
}
BRIDGE = Item(
    ("caliper.line_to_bridge_mm",),
    "mm",
    True,
    Span(36.0, 40.0, 37.5),
    0.4,
    0.1,
    False,
    "height gauge",
    "Measure from the line to the bridge.",
    "Measure the inside of the caliper.",
    ("caliper.line_to_bridge_mm=37.5 ±0.4",),
    ("bridge",),
    0.9,
    False,
    (
        Range(36.0, 36.6, "", "does not fit", ("bridge",)),
        Range(36.6, 37.4, "", "cannot tell", ("bridge",)),
        Range(37.4, 40.0, "", "fits with work", ()),
    ),
    0.8,
)
HEIGHT = replace(
    BRIDGE,
    facts=("disc.height_mm",),
    known=False,
    now=None,
    set_=(),
    share=None,
    ask="Measure how high the disc is.",
    ranges=(Range(None, 41.2, "", "does not fit", ()), Range(41.2, None, "", "bolts on", ())),
)
SEAT = replace(
    HEIGHT,
    facts=("hose.seat",),
    unit="",
    needs=None,
    reaches=None,
    tool="",
    ask="Photograph the end of the hose.",
    ranges=(
        Range(None, None, "banjo", "bolts on", ()),
        Range(None, None, "convex", "fits with work", ()),
    ),
)
WHEEL = replace(
    HEIGHT,
    facts=("wheel.outline.barrel_x_r", "wheel.outline.spoke_x_r"),
    unit="r",
    needs=0.5,
    ask="Measure the inside of the wheel.",
    ranges=(),
)
SPACING = replace(HEIGHT, facts=("spacing_mm",), at_the_car=True, ask="Measure the gaps.")


def asked(*items: Item, **changed: object) -> Ask:
    found = AskList(
        "fit",
        ("brake", "wheel"),
        "cannot tell",
        (InDoubt("bridge", TITLES["bridge"]),),
        items,
        (),
        (),
        (),
        "fits with work",
        True,
    )
    part = Part("caliper", "tovan-q4/44", "Four-piston caliper", False)
    verdicts = {"brake": "cannot tell", "wheel": "not asked", "car": "bolts on"}
    lists = (replace(found, **changed),) if items or changed else ()  # type: ignore[arg-type]
    return Ask(1, "tammick-van", "Tammick light van", "front", (part,), verdicts, lists, TITLES)


def flat(text: str) -> str:
    return " ".join(text.split())


def test_a_measurement_says_how_well_it_must_be_taken() -> None:
    said = flat(ask_text(asked(BRIDGE)))
    assert "This one measurement settles: disc edge to the bridge." in said
    assert "1. bolt line to the inside of the bridge (caliper.line_to_bridge_mm) to ±0.4 mm" in said
    assert "Now 36..40 mm." in said
    assert "With: height gauge (reaches ±0.1 mm)." in said
    assert "It decides for about 80 % of the readings now possible." in said
    assert "--set 'caliper.line_to_bridge_mm=37.5 ±0.4'" in said
    assert "If all reads as it does now: fits with work." in said


def test_what_follows_from_which_reading_is_told() -> None:
    assert [x.replace("\u00a0", " ") for x in ranges_words(BRIDGE, TITLES)] == [
        "36 to 36.6 mm: does not fit (disc edge to the bridge)",
        "36.6 to 37.4 mm: cannot tell (disc edge to the bridge)",
        "37.4 to 40 mm: fits with work",
    ]
    said = flat(ask_text(asked(HEIGHT, SEAT)))
    assert "up to 41.2 mm: does not fit; from 41.2 mm: bolts on." in said
    assert "banjo: bolts on; convex: fits with work." in said
    assert said.count("Not known.") == 2
    assert "These 2 measurements settle" in said


def test_one_outcome_for_all_readings_says_nothing() -> None:
    same = replace(HEIGHT, ranges=(Range(None, None, "", "bolts on", ()),))
    assert list(ranges_words(same, TITLES)) == []


def test_what_is_taken_together_is_named_together() -> None:
    assert item_words(WHEEL).replace("\u00a0", " ") == (
        "inside of the wheel, from its seat: barrel, inboard end first, back of the spokes "
        "(wheel.outline.barrel_x_r, wheel.outline.spoke_x_r) to ±0.5 mm"
    )


def test_a_list_that_may_not_be_the_shortest_says_so() -> None:
    assert "a shorter list may exist" in flat(ask_text(asked(BRIDGE, proven=False)))
    assert "a shorter list" not in flat(ask_text(asked(BRIDGE)))


def test_more_than_the_instrument_reaches_is_told() -> None:
    fine = replace(BRIDGE, needs=0.05, finer=True)
    assert "finer than the instrument commonly reaches" in flat(ask_text(asked(fine)))


def test_the_mock_up_is_offered_beside() -> None:
    said = flat(ask_text(asked(HEIGHT, at_the_car=(SPACING,))))
    assert said.index("disc.height_mm") < said.index("Or at the car, with the parts at hand")
    assert said.index("Or at the car") < said.index("spacing_mm")


def test_close_and_hopeless_checks_are_told_apart() -> None:
    close = Close(("bridge",), (replace(BRIDGE, share=None),), 0.62, 0.02)
    said = flat(ask_text(asked(close=(close,))))
    assert "Close: disc edge to the bridge" in said
    assert "Every fact behind it known to ±0.02 of its own unit would." in said
    assert "This settles it for about 62 % of the readings now possible:" in said
    bare = Close(("bridge",), (), 0.04, None)
    said = flat(ask_text(asked(close=(bare,))))
    assert "Measuring hardly helps." in said
    assert "would." not in said.replace("would every", "")
    lost = (InDoubt("joint", TITLES["joint"], "both plain"), InDoubt("bridge", TITLES["bridge"]))
    said = flat(ask_text(asked(beyond=lost)))
    assert "What the bolt screws into (joint): both plain." in said
    assert "(bridge): what is left of the doubt is nothing" in said


def test_nothing_to_measure_says_why() -> None:
    nothing = asked()
    assert "nothing is in doubt" in flat(ask_text(nothing))
    unfit = replace(nothing, verdicts={**nothing.verdicts, "brake": "does not fit"})
    assert "it does not fit, whatever is measured" in flat(ask_text(unfit))
    settled = replace(nothing, verdicts=dict.fromkeys(nothing.verdicts, "bolts on"))
    assert message_text(settled) == NOTHING


@pytest.mark.parametrize(
    ("scope", "verdict", "words"),
    [
        ("brake", "does not fit", NO_FIT),
        ("car", "does not fit", NO_FIT),
        ("brake", "cannot tell", NOT_SURE),
        ("wheel", "cannot tell", NOT_SURE),
    ],
)
def test_a_message_that_asks_nothing_is_no_yes(scope: str, verdict: str, words: str) -> None:
    """Somebody who is told that nothing is to be measured must not take it for a fit."""
    nothing = asked()
    others = dict.fromkeys(nothing.verdicts, "bolts on")
    nothing = replace(nothing, verdicts={**others, scope: verdict})
    assert flat(message_text(nothing)) == words


def test_reasons_that_no_measurement_settles_are_said_once() -> None:
    lost = tuple(InDoubt(check, TITLES[check], "both plain") for check in ("joint", "bridge"))
    assert flat(ask_text(asked(beyond=lost))).count("both plain") == 1


def test_what_stays_open_says_what_it_hangs_on() -> None:
    heights = tuple(f"disc.{name}_mm" for name in ("height", "plate", "thickness", "bore", "hat"))
    lost = (InDoubt("bridge", TITLES["bridge"], "", heights),)
    said = flat(ask_text(asked(beyond=lost)))
    assert "disc.height_mm" in said
    assert "and 1 more" in said
    assert "nothing that can be measured" not in said


def test_pads_named_by_their_shape_are_asked_for_by_name() -> None:
    lost = (InDoubt("bridge", TITLES["bridge"], "", ("disc.height_mm", "pad.friction_ratio")),)
    pad = Part("pad", "kite-120/street", "Street", False)
    named = asked(beyond=lost)
    open_ = replace(named, open_pads=("kite-120/street", "kite-120/tow"), parts=(pad,))
    said = flat(ask_text(open_))
    assert "kite-120 (compound not named)" in said
    assert "name the pads' compound, kite-120/street or kite-120/tow" in said
    assert "name the pads' compound" not in flat(ask_text(replace(open_, open_pads=())))


@pytest.mark.parametrize("width", [24, 40, 80])
def test_lines_are_no_wider_than_asked(width: int) -> None:
    for text in (
        ask_text(asked(BRIDGE, HEIGHT, WHEEL), width=width),
        message_text(asked(BRIDGE, HEIGHT, WHEEL), width=width),
    ):
        assert max(map(len, text.splitlines())) <= width


def test_blocks_are_the_same_without_colour() -> None:
    coloured = ask_text(asked(BRIDGE), colour=True)
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == ask_text(asked(BRIDGE))
    assert list(ask_blocks(asked(BRIDGE)))


def test_a_message_asks_one_thing_after_the_other() -> None:
    said = message_text(asked(HEIGHT, SEAT, at_the_car=(SPACING,)))
    assert said.startswith("Hello,\n")
    assert "two things" in said
    assert said.index("1. Measure how high the disc is.") < said.index("2. Photograph")
    assert "Measure the gaps." not in said
    assert "_mm" not in said
    assert "(" not in said
    assert "tovan" not in said
    assert "front axle of your" in flat(said)
    assert "Measure each twice" in said
    looked = replace(SEAT, needs=None, tool="")
    assert "Measure each twice" not in message_text(asked(looked))


def test_a_message_asks_for_the_compound_that_a_doubt_hangs_on() -> None:
    alone = replace(asked(), ask_compound="Which pads are fitted?")
    assert "one thing from you" in flat(message_text(alone))
    assert "1. Which pads are fitted?" in message_text(alone)
    said = message_text(replace(asked(HEIGHT), ask_compound="Which pads are fitted?"))
    assert said.index("1. Measure how high") < said.index("2. Which pads are fitted?")
    again = replace(asked(SEAT), ask_compound=SEAT.ask)
    assert message_text(again).count(SEAT.ask) == 1


def test_a_message_asks_for_what_may_settle_the_rest() -> None:
    said = message_text(asked(close=(Close(("bridge",), (BRIDGE, BRIDGE), 0.6, None),)))
    assert said.count("Measure the inside of the caliper.") == 1


@pytest.mark.parametrize(
    ("plus_minus", "said"),
    [
        (1.4, "nearest millimetre"),
        (0.5, "half a millimetre"),
        (0.37, "3 tenths of a millimetre"),
        (0.1, "a tenth of a millimetre"),
        (0.04, "0.04 mm: a digital caliper does it"),
        (0.03, "0.03 mm: a digital caliper does it"),
        (0.02, "0.02 mm: that takes a micrometer"),
        (0.004, "0.005 mm"),
    ],
)
def test_exactness_is_said_in_plain_words(plus_minus: float, said: str) -> None:
    assert said in exactness(plus_minus, "mm", 0.03)
    assert exactness(2, "kg", 0.03) == "To about 2 kg, please."
