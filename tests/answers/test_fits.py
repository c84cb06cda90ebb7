"""What fits: the same as every combination judged without links, in order, nothing lost."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from lugplane.answers.fit import VERDICTS, CarLook, Fit, FitBench
from lugplane.answers.fits import Fits, fits
from lugplane.answers.sheet import Sheet
from lugplane.errors import BadInput
from lugplane.facts.records import Caliper, Carrier, Disc, Knuckle, Pad, Platform
from lugplane.links.candidates import candidates
from lugplane.links.links import Links
from lugplane.links.relation import CARRIED, EARS, HUB, PAD_IN_CALIPER, PAD_IN_CARRIER
from lugplane.quantity.judge import FAILS
from lugplane.render.tables import cars_words, needs
from lugplane.setup.assemble import Wanted
from lugplane.setup.parts import family
from lugplane.workshop import Workshop

if TYPE_CHECKING:
    from .conftest import Brute

PLATFORM, AXLE = "kessarin-estate", "front"
FITTING = ("bolts on", "fits with work", "cannot tell")
KINDS = ("caliper", "carrier", "disc", "pad")


@pytest.fixture(scope="module")
def whole(small: Workshop) -> Fits:
    return fits(small, PLATFORM, AXLE)


def stands_for(row: Fit) -> set[tuple[str, str, str, str]]:
    """All combinations that a row stands for; of pads only the shape."""
    return spread({kind: row.part(kind) for kind in KINDS}, row.alike)


def spread(
    parts: Mapping[str, str], alike: Mapping[str, tuple[str, ...]]
) -> set[tuple[str, str, str, str]]:
    sets = [{parts[kind], *alike.get(kind, ())} for kind in KINDS]
    return {
        (caliper, carrier, disc, family(pad))
        for caliper in sets[0]
        for carrier in sets[1]
        for disc in sets[2]
        for pad in sets[3]
    }


def turning_down(
    links: Links, platform: str, axle: str, caliper: str, carrier: str, disc: str, pad: str
) -> set[str]:
    """The pair checks that turn a combination down, each pair by itself."""
    base = links.base
    car = base.get(Platform, platform)
    knuckle = base.get(Knuckle, (car.rear if axle == "rear" else car.front).knuckle.word)
    c, d, p = base.get(Caliper, caliper), base.get(Disc, disc), base.get(Pad, pad)
    k = base.get(Carrier, carrier) if carrier else None
    found = [links.failing(EARS, knuckle, k or c), links.failing(HUB, knuckle, d)]
    if k is not None:
        found += [links.failing(CARRIED, k, c), links.failing(PAD_IN_CARRIER, k, p)]
    else:
        found.append(links.failing(PAD_IN_CALIPER, c, p))
    return {check for check in found if check}


# --- against every combination judged by itself ---------------------------------------------------


def test_every_combination_is_a_row_or_fails_the_check_that_turned_it_down(
    small: Workshop, brute: Brute, whole: Fits
) -> None:
    rows = {c: row for row in whole.rows for c in stands_for(row)}
    links = Links(small.base, small.rulebook)
    seen: Counter[str] = Counter()
    for c, sheet in brute.items():
        key = (c.caliper, c.carrier, c.disc, family(c.pad))
        down = turning_down(links, PLATFORM, AXLE, c.caliper, c.carrier, c.disc, c.pad)
        if key in rows:
            assert not down, (c, down)
            assert rows.pop(key).verdict == sheet.verdict_of("brake"), c
            seen["row"] += 1
        else:
            assert down, f"{c} is no candidate and no pair check says why"
            for check in down:
                assert sheet.row(check).state == FAILS, (c, check)
                seen[check] += 1
    assert not rows, f"rows of no combination: {sorted(rows)[:3]}"
    assert seen["row"] > 20
    assert {"pad-shape", "lug-spacing", "bolt-circle"} <= set(seen), seen


def test_rows_say_what_the_sheet_says(brute: Brute, whole: Fits) -> None:
    judged = {(c.caliper, c.carrier, c.disc, family(c.pad)): s for c, s in brute.items()}
    for row in whole.rows:
        sheet = judged[row.part("caliper"), row.part("carrier"), row.part("disc"),
                       family(row.part("pad"))]  # fmt: skip
        brake = next(s for s in sheet.scopes if s.name == "brake")
        assert (row.verdict, row.limiting) == (brake.verdict, brake.limiting)
        assert row.stack == sheet.stack
        assert row.bolts == sheet.bolts
        states = {a.check: a.state for a in row.asks}
        for r in sheet.rows:
            if r.scope == "brake" and r.state not in ("holds", "does not apply"):
                assert states.pop(r.check) == r.state
        assert not states


def test_the_order_is_verdict_then_work_then_new_parts(whole: Fits) -> None:
    ranks = [
        (
            VERDICTS.index(r.verdict),
            sum(a.state == "fails" for a in r.asks),
            sum(a.state == "cannot tell" for a in r.asks),
            sum(a.state == "work" for a in r.asks),
            sum(a.state == "care" for a in r.asks),
        )
        for r in whole.rows
    ]
    assert ranks == sorted(ranks)
    assert len(set(ranks)) > 5
    first = whole.rows[0]
    assert (first.verdict, first.changed) == ("bolts on", 0)
    alike = [r for r in whole.rows if r.rank[:8] == first.rank[:8]]
    assert [r.changed for r in alike] == sorted(r.changed for r in alike)


def test_the_stock_parts_stand_for_those_that_no_check_can_tell_from_them(whole: Fits) -> None:
    first = whole.rows[0]
    assert first.part("disc") == "sorrel-300"
    assert first.alike["disc"] == ("aaa-300-coated",)
    assert {family(p) for p in first.alike["pad"]} == {"kite-120"}
    assert all(p.stock for p in first.parts)


def test_parts_folded_into_a_row_have_the_same_sheet(small: Workshop, whole: Fits) -> None:
    folded = [r for r in whole.rows if r.alike]
    assert len(folded) > 5
    for row in folded[:: len(folded) // 6]:
        for kind, ids in row.alike.items():
            own = states(small, row, {})
            for id_ in ids:
                assert states(small, row, {kind: id_}) == own, (row.part(kind), id_)


def states(shop: Workshop, row: Fit, other: dict[str, str]) -> list[tuple[str, str, str]]:
    parts = [other.get(kind) or row.part(kind) for kind in KINDS]
    sheet = shop.judge(Wanted(PLATFORM, AXLE, [p for p in parts if p])).sheet
    return [(r.check, r.state, str(r.value)) for r in sheet.rows if r.scope != "car"]


def test_a_caliper_that_nobody_measured_stays_with_every_disc_and_pad(whole: Fits) -> None:
    vague = [r for r in whole.rows if r.part("caliper") == "vague"]
    assert {r.verdict for r in vague} <= {"cannot tell", "does not fit"}
    others = {(r.part("disc"), r.part("pad")) for r in whole.rows}
    assert {r.part("disc") for r in vague} == {disc for disc, _ in others}
    assert len({family(r.part("pad")) for r in vague}) == 3


def test_a_sample_of_the_shipped_base_agrees_on_two_axles(shipped: Workshop) -> None:
    links = Links(shipped.base, shipped.rulebook)
    base = shipped.base
    luck = random.Random(20)
    failed: Counter[str] = Counter()
    for platform, axle in (("tammick-van", "front"), ("ullathor-saloon", "rear")):
        known = {
            combination
            for c in candidates(links, platform, axle).items
            for combination in spread(
                {"caliper": c.caliper, "carrier": c.carrier or "", "disc": c.disc, "pad": c.pad},
                dict(c.alike),
            )
        }
        for _ in range(25):
            caliper = luck.choice(base.all(Caliper))
            floats = caliper.body.text == "floating"
            carrier = luck.choice(base.ids("carrier")) if floats else ""
            taken = base.get(Carrier, carrier).pad.text if carrier else caliper.pad.text
            shape = luck.choice([taken, family(luck.choice(base.ids("pad")))])
            pad = sorted(base.members(shape or ""))[0] if base.members(shape or "") else shape or ""
            disc = luck.choice(base.ids("disc"))
            parts = [p for p in (caliper.id, carrier, disc, pad) if p]
            sheet = shipped.judge(Wanted(platform, axle, parts)).sheet
            down = turning_down(links, platform, axle, caliper.id, carrier, disc, pad)
            for check in down:
                assert sheet.row(check).state == FAILS, (platform, parts, check)
            failed.update(down)
            assert ((caliper.id, carrier, disc, family(pad)) in known) == (not down), parts
    assert len(failed) >= 4, failed


# --- what is left out -----------------------------------------------------------------------------


def test_leaving_out_what_does_not_fit_changes_no_other_row(small: Workshop, whole: Fits) -> None:
    fitting = fits(small, PLATFORM, AXLE, verdicts=FITTING)
    assert fitting.rows == tuple(r for r in whole.rows if r.verdict != "does not fit")
    assert fitting.counts == whole.counts
    assert sum(fitting.unfit.values()) == whole.counts["does not fit"] > 0


def test_what_the_sieve_turns_down_fails_that_check_on_the_whole_sheet(small: Workshop) -> None:
    bench = FitBench(small)
    items = candidates(Links(small.base, small.rulebook), PLATFORM, AXLE).items
    found: Counter[str] = Counter()
    for c in items:
        check = bench.sieved(c)
        if check:
            assert small.judge(c.wanted()).sheet.row(check).state == FAILS, (c, check)
            found[check] += 1
    assert len(found) >= 2, found


def test_the_sieve_lets_pass_whatever_may_fit(small: Workshop, whole: Fits) -> None:
    bench = FitBench(small)
    items = candidates(Links(small.base, small.rulebook), PLATFORM, AXLE).items
    verdicts = {tuple(p.id for p in r.parts): r.verdict for r in whole.rows}
    passed = [c for c in items if not bench.sieved(c)]
    assert len(passed) < len(items)
    assert {c.parts for c in items if verdicts[c.parts] != "does not fit"} <= {
        c.parts for c in passed
    }


def test_an_unrelated_part_changes_no_row(small_folder: Path, whole: Fits, tmp_path: Path) -> None:
    added = tmp_path / "kb"
    (added / "discs").mkdir(parents=True)
    disc = (small_folder / "discs" / "sorrel-300.yaml").read_text("utf-8")
    disc = disc.replace("circle_mm: 112", "circle_mm: 130").replace(
        "id: sorrel-300", "id: other-hub"
    )
    (added / "discs" / "other-hub.yaml").write_text(disc, "utf-8")
    (added / "calipers").mkdir()
    (added / "calipers" / "other-mount.yaml").write_text(
        "kind: caliper\nid: other-mount\ntitle: Of another mount\nmount: radial\nbody: fixed\n",
        "utf-8",
    )
    shop = Workshop.open(only=small_folder, added=[added])
    more = fits(shop, PLATFORM, AXLE)
    assert [(r.rank, r.asks, r.wheels) for r in more.rows] == [
        (r.rank, r.asks, r.wheels) for r in whole.rows
    ]
    extra = Counter({(t.kind, t.check): t.count for t in more.turned_down})
    extra.subtract({(t.kind, t.check): t.count for t in whole.turned_down})
    assert +extra == Counter({("disc", "bolt-circle"): 1, ("caliper", "mount"): 1})


# --- narrowing ------------------------------------------------------------------------------------


@pytest.mark.parametrize("part", ["tovan-q4/44", "tansy-280", "kite-120", "hasket-bracket-142"])
def test_naming_a_part_gives_the_rows_that_have_it(small: Workshop, whole: Fits, part: str) -> None:
    narrowed = fits(small, PLATFORM, AXLE, with_=(part,))
    ids = {part, *small.base.members(part)}
    having = [r for r in whole.rows if any(ids & {r.part(k), *r.alike.get(k, ())} for k in KINDS)]
    assert [r.rank[:9] for r in narrowed.rows] == [r.rank[:9] for r in having]
    assert narrowed.rows


def test_two_parts_of_one_kind_are_either_and_of_two_kinds_both(small: Workshop) -> None:
    either = fits(small, PLATFORM, AXLE, with_=("tovan-q4/44", "tovan-q4/48", "sorrel-316"))
    assert {r.part("caliper") for r in either.rows} == {"tovan-q4/44", "tovan-q4/48"}
    assert {r.part("disc") for r in either.rows} == {"sorrel-316"}


def test_a_named_part_that_is_turned_down_is_told_why(shipped: Workshop) -> None:
    found = fits(shipped, "tammick-van", "front", with_=("tovan-q6",))
    assert found.rows == ()
    (refused,) = found.refused
    assert (refused.part, refused.host, refused.ask.check) == (
        "tovan-q6",
        "tammick-front",
        "lug-spacing",
    )
    assert refused.ask.state == FAILS
    assert refused.ask.value is not None
    assert refused.ask.value.lo > 0


# --- wheels and adapters --------------------------------------------------------------------------


def test_the_wheels_column_is_that_of_the_sheet(small: Workshop, whole: Fits) -> None:
    car = small.base.get(Platform, PLATFORM)
    assert whole.wheels == (car.front.stock.wheel.word, *car.front.wheels.items[1:])
    looked = [r for r in whole.rows if r.wheels]
    assert all(r.verdict != "does not fit" for r in looked)
    seen = set()
    for row in looked[:: max(1, len(looked) // 6)]:
        for look in row.wheels:
            parts = [row.part(k) for k in KINDS if row.part(k)]
            sheet = small.judge(Wanted(PLATFORM, AXLE, [*parts, look.id])).sheet
            assert sheet.verdict_of("wheel") == look.verdict
            assert sheet.row("wheel-gap").value == look.gap
            seen.add(look.verdict)
    assert len(seen) > 1, seen


def test_a_named_wheel_takes_the_place_of_the_factorys(shipped: Workshop) -> None:
    found = fits(
        shipped, "tammick-van", "front", wheel="tammick-16-cast", with_=("tovan-q4/44",),
        verdicts=("fits with work",),
    )  # fmt: skip
    assert found.wheels == ("tammick-16-cast",)
    assert {tuple(look.id for look in r.wheels) for r in found.rows} == {("tammick-16-cast",)}


def test_adapters_are_counted_until_asked_for(shipped: Workshop) -> None:
    asked = ("thimbrel-saloon", "rear")
    without = fits(shipped, *asked, verdicts=("bolts on", "fits with work"))
    with_ = fits(shipped, *asked, verdicts=("bolts on", "fits with work"), adapters=True)
    assert without.for_adapter > 0
    assert with_.for_adapter == 0
    assert [r for r in with_.rows if not r.adapter] == list(without.rows)
    assert sum(with_.counts.values()) > sum(without.counts.values())


def test_an_adapters_row_is_the_sheet_with_an_adapter(shipped: Workshop) -> None:
    links = Links(shipped.base, shipped.rulebook)
    axle = ("hobbrin-van", "front")
    items = [c for c in candidates(links, *axle, adapters=True).items if c.adapter]
    direct = {c.parts for c in candidates(links, *axle).items}
    assert items
    for c in items[:: max(1, len(items) // 4)]:
        assert c.parts not in direct
        bare = shipped.judge(Wanted(*axle, c.parts)).sheet
        assert bare.row("lug-spacing").state == FAILS
        row = FitBench(shipped).fit(c)
        said = needs(row)
        assert row.verdict == "does not fit" or any("an adapter plate" in n for n in said)
        assert not any("washer" in n or "lug spacing" in n for n in said)
        sheet: Sheet = shipped.judge(Wanted(*axle, c.parts, adapter=True)).sheet
        assert row.verdict == sheet.verdict_of("brake")


# --- bad questions --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ({"platform": "kesarin-estate"}, "close to it: kessarin-estate"),
        ({"axle": "middle"}, "say front or rear"),
        ({"with_": ("tovan-q4/4",)}, "close to it: tovan-q4/4"),
        ({"with_": ("kessarin-16-cast",)}, "is a wheel"),
        ({"wheel": "sorrel-300"}, "is a disc"),
        ({"verdicts": ("perfect",)}, "bolts-on, fits-with-work, cannot-tell, does-not-fit"),
    ],
)
def test_bad_questions_are_told(small: Workshop, words: dict[str, object], said: str) -> None:
    asked: dict[str, object] = {"platform": PLATFORM, "axle": AXLE, **words}
    with pytest.raises(BadInput, match=said):
        fits(small, **asked)  # type: ignore[arg-type]


def test_an_axle_without_a_known_knuckle_is_told(small_folder: Path, tmp_path: Path) -> None:
    added = tmp_path / "kb" / "platforms"
    added.mkdir(parents=True)
    (added / "bare.yaml").write_text(
        "kind: platform\nid: bare\ntitle: A bare car\nmaker: Yeldrun\n", "utf-8"
    )
    shop = Workshop.open(only=small_folder, added=[added.parent])
    with pytest.raises(BadInput, match="the front knuckle is not known"):
        fits(shop, "bare", "front")


def test_a_row_tells_the_whole_car_compound_by_compound(small: Workshop, whole: Fits) -> None:
    """As the sheet of each pad by itself has it; of a brake that does not fit nothing is told."""
    rows = [r for r in whole.rows if r.verdict in ("bolts on", "fits with work")]
    assert rows
    assert all(r.cars == () for r in whole.rows if r not in rows)
    for row in rows[:4]:
        pads = {row.part("pad"), *row.alike.get("pad", ())}
        assert sorted(p for c in row.cars for p in c.pads) == sorted(pads)
        others = [row.part(k) for k in KINDS if k != "pad" and row.part(k)]
        for car in row.cars:
            for pad in car.pads:
                sheet = small.judge(Wanted(PLATFORM, AXLE, (*others, pad))).sheet
                scope = next(s for s in sheet.scopes if s.name == "car")
                assert (car.verdict, car.limiting) == (scope.verdict, scope.limiting), pad
            assert bool(car.settles) <= (car.verdict in ("cannot tell", "does not fit"))
            assert cars_words(row).startswith("as a car: ")


def test_the_words_of_a_car_name_the_compounds_that_differ(whole: Fits) -> None:
    row = next(r for r in whole.rows if r.cars)
    said = (
        CarLook(("kite-120/street", "kite-120/tow"), "bolts on", "stop", "a stop"),
        CarLook(("kite-120/track",), "does not fit", "front-share", "front share"),
    )
    told = cars_words(replace(row, cars=said))
    assert told == "as a car: street, tow holds; track fails: front share"
    assert cars_words(replace(row, cars=said[:1])) == "as a car: holds"
    assert cars_words(replace(row, cars=())) == ""
