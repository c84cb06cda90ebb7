"""The section drawing against places worked out by hand from the facts beside this file."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from typing import Any

import pytest

from lugplane.answers.sheet import Judged
from lugplane.errors import BadInput
from lugplane.facts.decode import fact_paths
from lugplane.quantity.text import number
from lugplane.render.drawing.section import section_svg

Judge = Callable[..., Judged]
Read = Callable[[str], Any]

# marl-front: two hole radii 137.6 and 135.5, 142 apart.
_Y0 = (137.6**2 - 135.5**2) / (2 * 142)
FRONT_LINE = math.sqrt(137.6**2 - (_Y0 + 71) ** 2)
REAR_LINE = math.sqrt(116.6**2 - 60**2)

SETUPS: dict[str, tuple[tuple[Any, ...], dict[str, Any]]] = {
    "spacer and trim": (("marl-estate", "front", ["fen-16"]), {}),
    "floating, inboard of the ear": (("marl-estate", "rear"), {}),
    "radial with a ring": (("chalk-coupe", "front"), {}),
    "no wheel": (("chalk-coupe", "rear"), {}),
    "through the barrel": (("marl-estate", "front", ["fen-15"]), {}),
    "off centre": (("marl-estate", "front", ["fen-16"], ["caliper.face_to_centre_mm=52.1"]), {}),
    "adapter": (
        (
            "marl-estate",
            "front",
            ["fen-16"],
            ["caliper.lug.spacing_mm=150", "caliper.face_to_centre_mm=34"],
        ),
        {"adapter": True},
    ),
    "mounts differ": (("marl-estate", "front", ["flint-r4", "fen-16"]), {}),
    "wheel spacer": (("marl-estate", "front", ["fen-16"]), {"wheel_spacer_mm": 8.0}),
    "ear not known": (("marl-estate", "front", ["fen-16"], ["knuckle.ear_face_mm=unknown"]), {}),
    "disc not known": (("marl-estate", "front", ["fen-16"], ["disc.height_mm=unknown"]), {}),
    "from behind": (("marl-estate", "front", ["fen-16"], ["knuckle.hub.disc_from=behind"]), {}),
    "in doubt": (
        ("marl-estate", "front", ["fen-16"], ["caliper.face_to_centre_mm=44±0.9"]),
        {},
    ),
}
SCALES = (1.0, 0.5, 0.2, 2.0)


@pytest.fixture(params=list(SETUPS))
def judged(request: pytest.FixtureRequest, judge: Judge) -> Judged:
    args, more = SETUPS[request.param]
    return judge(*args, **more)


def near(value: float) -> Any:
    return pytest.approx(value, abs=0.001)


# --- places ------------------------------------------------------------------------------------
def test_fixed_caliper_on_washers(judge: Judge, read: Read) -> None:
    d = read(section_svg(judge("marl-estate", "front", ["fen-16"])))
    # x_mid = -48 + 14; ring 28 thick, 300 across, bands from 102.5 and 101.5
    assert d.outline("ring") == near_box(-48, 101.5, -20, 150)
    assert d.outline("hat") == near_box(-29.333, 32.525, 7, 94)
    assert d.outline("ear")[::2] == (near(-97.4), near(-85.4))
    assert d.outline("stack")[::2] == (near(-85.4), near(-80.4))
    assert d.outline("lug")[::2] == (near(-80.4), near(-54.4))
    # head on the ear's far face, 45 long, its thread beginning at the lug's face
    bolt = d.data("bolt")
    assert (bolt["head"], bolt["tip"], bolt["mouth"]) == (near(-97.4), near(-52.4), near(-80.4))
    assert bolt["engaged"] == near(-54.4), "26 mm of lug, less than 45 - 17 - 1.5"
    head = 0.64 * 12
    assert d.outline("bolt") == near_box(
        -97.4 - head, FRONT_LINE - 8.315, -52.4, FRONT_LINE + 8.315
    )


def test_linings_lie_on_the_disc(judge: Judge, read: Read) -> None:
    d = read(section_svg(judge("marl-estate", "front", ["fen-16"])))
    top = FRONT_LINE + 32.5
    for side, x0, x1, circle in (
        ("inboard", -64.5, -48, 103.5),
        ("outboard", -20, -3.5, 102.5),
    ):
        pad = d.data(f"pad {side}")
        assert (pad["x0"], pad["x1"]) == (near(x0), near(x1))
        assert (pad["r0"], pad["r1"]) == (near(top - 46), near(top))
        assert pad["kept0"] == near(max(circle, top - 46))
        assert d.outline(f"pad {side}") == near_box(x0, top - 49, x1, top)


def test_body_is_the_swept_outline(judge: Judge, read: Read) -> None:
    d = read(section_svg(judge("marl-estate", "front", ["fen-16"])))
    x0, _, x1, top = d.outline("body")
    assert (x0, x1) == (near(-34 - 59.7), near(-34 + 53.7))
    # the point 28 mm along the bolt line passes the wheel furthest out
    assert top == near(math.hypot(FRONT_LINE + 52.5, _Y0 + 28))
    bridge = d.data("bridge")
    assert bridge == {
        "x0": near(-34 - 31.7),
        "x1": near(-34 + 31.7),
        "r0": near(FRONT_LINE + 36.5),
    }
    assert d.data("cheeks") == {"x0": near(-51), "x1": near(-17)}
    assert d.data("caliper centre plane") == {"x0": near(-34)}
    assert d.data("disc mid-plane") == {"x0": near(-34)}


def test_wheel_and_shield(judge: Judge, read: Read) -> None:
    d = read(section_svg(judge("marl-estate", "front", ["fen-16"])))
    assert d.outline("wheel") == near_box(-136 + 7, 72, 20 + 7, 193)
    assert d.data("shield") == {"x0": near(-54), "r1": near(145)}
    d = read(section_svg(judge("marl-estate", "front", ["fen-16"], wheel_spacer_mm=8.0)))
    assert d.outline("wheel") == near_box(-136 + 15, 72, 20 + 15, 193)
    assert d.outline("wheel spacer")[::2] == (near(7), near(15))


def test_floating_caliper_inboard_of_the_ear(judge: Judge, read: Read) -> None:
    d = read(section_svg(judge("marl-estate", "rear")))
    assert d.outline("ring") == near_box(-40, 83, -20, 120)
    assert d.outline("ear")[::2] == (near(-72), near(-44))
    assert d.outline("lug")[::2] == (near(-86), near(-72))
    assert "stack" not in d.parts
    bolt = d.data("bolt")
    assert (bolt["head"], bolt["tip"], bolt["mouth"]) == (near(-86), near(-51), near(-72))
    assert bolt["engaged"] == near(-72 + 35 - 14 - 1.5)
    # unlike pads; the body rests with its finger on the outboard plate
    assert d.data("pad inboard")["x0"] == near(-40 - 16.5)
    assert d.data("pad outboard")["x1"] == near(-20 + 15)
    assert d.data("bridge") == {
        "x0": near(-5 - 53.2),
        "x1": near(-5),
        "r0": near(REAR_LINE + 23),
    }
    assert "shield" not in d.parts


def test_radial_mount_on_a_ring(judge: Judge, read: Read) -> None:
    d = read(section_svg(judge("chalk-coupe", "front")))
    # the lining's top 4.25 mm inside the edge, 1.25 wanted: a ring of 3 mm under the lugs
    assert d.outline("ear")[1::2] == (near(98), near(128))
    assert d.outline("stack")[1::2] == (near(128), near(131))
    assert d.outline("lug")[1::2] == (near(131), near(171))
    bolt = d.data("bolt")
    assert (bolt["head"], bolt["tip"], bolt["mouth"]) == (near(171), near(106), near(128))
    assert d.data("caliper centre plane")["x0"] - d.data("disc mid-plane")["x0"] == near(0.4)
    assert d.data("bridge corner")["r0"] == near(math.hypot(131 + 24, 60))
    assert d.data("rim")["r0"] == near(17 * 25.4 / 2)


def test_gaps_are_drawn_as_the_rows_say(judge: Judge, read: Read) -> None:
    judged = judge("marl-estate", "front", ["fen-16"])
    d = read(section_svg(judged))

    def length(name: str) -> float:
        m = d.data(f"dimension {name}")
        return math.dist((m["x0"], m["r0"]), (m["x1"], m["r1"]))

    for check in ("tip", "bridge", "wheel-gap", "overhang"):
        value = judged.sheet.row(check).value
        assert value is not None
        # the row's wheel gap is taken at the middle of the doubt, the drawing's at nominal
        wide = 0.3 if check == "wheel-gap" else 0.002
        assert length(check) == pytest.approx(abs(value.nominal), abs=wide), check
    assert length("stack") == near(5)
    assert length("engagement") == near(26)


def test_caliper_through_the_barrel(judge: Judge, read: Read) -> None:
    judged = judge("marl-estate", "front", ["fen-15"])
    d = read(section_svg(judged))
    m = d.data("dimension wheel-gap")
    assert m["r0"] > m["r1"], "the caliper's point lies outside the barrel's foot"
    said = d.said("callout wheel-gap")
    assert "limits the wheel" in said
    assert "fails" in said
    assert "stands in the wheel" in said


def near_box(x0: float, r0: float, x1: float, r1: float) -> Any:
    return pytest.approx((x0, r0, x1, r1), abs=0.001)


# --- the sheet ---------------------------------------------------------------------------------
@pytest.mark.parametrize("scale", SCALES)
def test_true_to_scale(judged: Judged, read: Read, scale: float) -> None:
    d = read(section_svg(judged, scale=scale))
    x0, r0, x1, r1 = d.view
    wide, high = d.paper_mm
    assert wide / (x1 - x0) == pytest.approx(scale, rel=1e-5)
    assert high / (r1 - r0) == pytest.approx(scale, rel=1e-5)
    bar, up = d.outline("check bar x"), d.outline("check bar r")
    assert bar[2] - bar[0] == pytest.approx(50 / scale, abs=0.002)
    assert up[3] - up[1] == pytest.approx(50 / scale, abs=0.002)


@pytest.mark.parametrize("scale", SCALES)
def test_texts_keep_apart_and_on_the_sheet(judged: Judged, read: Read, scale: float) -> None:
    d = read(section_svg(judged, scale=scale, date="2026-04-01"))
    texts = d.texts()
    assert len(texts) > 15
    for t in texts:
        assert t.size * 0.714 * scale >= 2.5 - 0.01, f"too small: {t.text}"
    for a, b in combinations(texts, 2):
        apart = (
            a.box[2] <= b.box[0]
            or b.box[2] <= a.box[0]
            or a.box[3] <= b.box[1]
            or b.box[3] <= a.box[1]
        )
        assert apart, f"'{a.text}' runs into '{b.text}'"
    x0, r0, x1, r1 = d.outline("frame")
    for t in texts:
        assert x0 <= t.box[0], t
        assert t.box[2] <= x1, t
        assert r0 <= t.box[1], t
        assert t.box[3] <= r1, t


def test_everything_on_the_sheet(judged: Judged, read: Read) -> None:
    d = read(section_svg(judged))
    x0, r0, x1, r1 = d.outline("frame")
    view = d.view
    assert view[0] + 9 < x0
    assert x1 < view[2] - 9
    for x, r in d.all_points():
        assert x0 <= x <= x1
        assert r0 <= r <= r1


def test_columns_stand_clear_of_the_section(judged: Judged, read: Read) -> None:
    d = read(section_svg(judged))
    drawn = {"callout", "title", "notes", "frame", "check"}
    points = [
        (x, r)
        for g in d.root.iter("{http://www.w3.org/2000/svg}g")
        if g.attrib["data-part"].split()[0] not in drawn
        for p in g.iter("{http://www.w3.org/2000/svg}path")
        for x, r in _points(p)
    ]
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    for part in d.parts:
        if part.startswith("callout"):
            for t in d.group(part).iter("{http://www.w3.org/2000/svg}text"):
                x = float(t.attrib["x"])
                assert x < left or x > right, part


def _points(element: Any) -> list[tuple[float, float]]:
    numbers = element.attrib["d"].replace("M", " ").replace("L", " ").replace("Z", " ").split()
    return [(float(x), -float(y)) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]


def test_plain_svg_only(judged: Judged, read: Read) -> None:
    source = section_svg(judged)
    d = read(source)
    tags = {e.tag.split("}")[1] for e in d.root.iter()}
    assert tags <= {"svg", "title", "desc", "rect", "g", "path", "circle", "text"}
    for e in d.root.iter():
        for name, value in e.attrib.items():
            assert not name.startswith("on")
            assert name not in {"style", "class", "href", "id", "filter"}
            assert "url(" not in value
    assert set(d.root.attrib["font-family"].split()) == {"sans-serif"}
    assert d.root[0].tag.endswith("title")
    assert d.root[1].tag.endswith("desc")
    colours = {e.get(k) for e in d.root.iter() for k in ("fill", "stroke")} - {None}
    assert colours <= {"none", "#000", "#fff"}


def test_same_text_each_time(judge: Judge) -> None:
    for args, more in SETUPS.values():
        assert section_svg(judge(*args, **more)) == section_svg(judge(*args, **more))


@pytest.mark.parametrize("scale", [0.0, -1.0, math.inf, math.nan, 0.01, 50.0])
def test_senseless_scale_is_refused(judge: Judge, scale: float) -> None:
    with pytest.raises(BadInput, match="scale"):
        section_svg(judge("marl-estate"), scale=scale)


def test_half_scale_goes_on_a4(judge: Judge, read: Read) -> None:
    d = read(section_svg(judge("marl-estate", "front", ["fen-16"]), scale=0.5))
    assert d.paper_mm == (297.0, 210.0)
    assert "scale 1:2, sheet A4" in d.said("title block")


# --- words -------------------------------------------------------------------------------------
def test_title_block(judge: Judge, read: Read) -> None:
    judged = judge("marl-estate", "front", ["fen-16"])
    said = read(section_svg(judged, date="2026-04-01")).said("title block")
    for words in (
        "Marl estate (marl-estate), front axle",
        "caliper: flint-q4",
        "disc: loam-300",
        "wheel: fen-16",
        "scale 1:1",
        f"brake: {judged.sheet.verdict_of('brake')}",
        f"wheel: {judged.sheet.verdict_of('wheel')}",
        "date 2026-04-01",
        "Made from recorded facts: mock up before making anything.",
        "x_e −85.4 ±0.1",
        "d 46.4 ±0.05",
        "D/2 150 ±0.05",
        "k 5 ±0.1",
    ):
        assert words in said, words
    assert "undated" in read(section_svg(judged)).said("title block")


def test_limiting_check_is_framed(judge: Judge, read: Read) -> None:
    for args, more in SETUPS.values():
        judged = judge(*args, **more)
        d = read(section_svg(judged))
        for scope in judged.sheet.scopes:
            if scope.name == "car" or not scope.limiting:
                continue
            callout = f"callout {scope.limiting}"
            said = d.said(callout)
            assert f"limits the {scope.name}" in said or f"and the {scope.name}" in said
            row = judged.sheet.row(scope.limiting)
            assert row.title in said
            if row.value is not None and row.unit == "mm":
                shown = row.value if row.need is None or row.have is None else row.have
                nominal = {number(shown.nominal, n) for n in (1, 2)}
                assert any(n in said for n in nominal), (nominal, said)
            wide = [float(p.get("stroke-width", 0)) for p in d.group(callout)]
            assert 1.0 in wide, "a bold frame"


def test_what_is_left_out_is_said(judge: Judge, read: Read) -> None:
    facts = {
        "disc.hat_radius_mm": "hat",
        "disc.height_mm": "ring",
        "caliper.slot_mm": "bridge",
        "caliper.outline.points_x_r_y": "body",
        "knuckle.shield.face_mm": "shield",
        "knuckle.hub.spigot_mm": "hub spigot",
        "knuckle.hub.flange_radius_mm": "hub flange",
        "pad.lining_mm": "pad outboard",
        "caliper.opening_mm": "cheeks",
        "knuckle.ear_face_mm": "lug",
    }
    whole = read(section_svg(judge("marl-estate", "front", ["fen-16"])))
    for fact, part in facts.items():
        d = read(section_svg(judge("marl-estate", "front", ["fen-16"], [f"{fact}=unknown"])))
        assert part in whole.parts
        assert part not in d.parts, fact
        notes = d.said("notes")
        assert "Left out" in notes
        assert fact in notes, fact


def test_any_one_fact_may_be_missing(judge: Judge, read: Read) -> None:
    facts = {
        "front": (
            "knuckle.mount",
            "knuckle.ear.hole",
            "knuckle.ear.thickness_mm",
            "knuckle.ear.hole_1_radius_mm",
            "knuckle.bolt.length_mm",
            "knuckle.bolt.class",
            "knuckle.hub.bolts.circle_mm",
            "knuckle.shield.fitted",
            "caliper.mount",
            "caliper.lug.thread",
            "caliper.lug.thickness_mm",
            "caliper.lug.tensile_mpa",
            "caliper.line_to_lining_top_mm",
            "caliper.line_to_bridge_mm",
            "caliper.bridge_form",
            "caliper.pistons.bores_mm",
            "disc.thickness_mm",
            "disc.diameter_mm",
            "disc.plate_mm",
            "disc.ring",
            "disc.pieces",
            "disc.band_inner_inboard_mm",
            "disc.band_inner_outboard_mm",
            "pad.plate_mm",
            "pad.plate_depth_mm",
            "pad.lining.sector.inner_mm",
            "wheel.outline.barrel_x_r",
            "wheel.rim_in",
        ),
        "rear": ("carrier.lift_mm", "carrier.lug.hole", "caliper.slot_mm", "pad.outboard.plate_mm"),
    }
    for axle, paths in facts.items():
        for fact in paths:
            assert fact in fact_paths(fact.split(".")[0])
            parts = ["fen-16"] if axle == "front" else []
            d = read(section_svg(judge("marl-estate", axle, parts, [f"{fact}=unknown"])))
            assert "title block" in d.parts, fact
            assert "hub flange" in d.parts, fact


def test_no_brake_lies_a_mile_away(judge: Judge, read: Read) -> None:
    d = read(section_svg(judge("marl-estate", "front", ["fen-16"], ["disc.height_mm=48000"])))
    assert "further than 1500 mm" in d.said("notes")
    assert d.paper_mm[0] <= 600


@pytest.mark.parametrize(
    "title",
    [
        "<b>&amp;</b> ]]> \"'",
        "\u202eturned round\u0000\u0007\ufffe\ud800 \u2028 line",
        "wide " * 500,
        "unbroken" * 300,
        "--><svg onload='x()'>",
        "😀漢字" * 60,
    ],
)
def test_hostile_titles(judge: Judge, read: Read, title: str) -> None:
    judged = judge("marl-estate", "front", ["fen-16"])
    rows = tuple(replace(r, title=title) for r in judged.sheet.rows)
    parts = tuple(replace(p, id=title) for p in judged.sheet.parts)
    sheet = replace(judged.sheet, platform_title=title, rows=rows, parts=parts)
    d = read(section_svg(Judged(sheet, judged.deduction), date=title))
    assert d.root[0].text is not None
    x0, r0, x1, r1 = d.outline("frame")
    for t in d.texts():
        assert x0 <= t.box[0]
        assert t.box[2] <= x1
        assert r0 <= t.box[1]
        assert t.box[3] <= r1
    assert "\u202e" not in d.source
