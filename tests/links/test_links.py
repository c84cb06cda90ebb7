"""Pair checks: windows drop nothing that the check does not fail; the rows are those of a sheet."""

from __future__ import annotations

from collections import Counter

import pytest

from lugplane.errors import EngineError
from lugplane.facts.base import Base
from lugplane.facts.records import RECORDS, Caliper, Knuckle, Record
from lugplane.links import links as links_module
from lugplane.links.candidates import _Generator, candidates
from lugplane.links.links import ALONE, Links
from lugplane.links.pair import Judge
from lugplane.links.partial import Some, pair_setup
from lugplane.links.relation import (
    CARRIED,
    EARS,
    HUB,
    PAD_IN_CALIPER,
    RELATIONS,
    WHEEL,
    Relation,
)
from lugplane.quantity.judge import CANNOT_TELL, FAILS
from lugplane.setup.assemble import Wanted
from lugplane.workshop import Workshop


def first_failing(some: Some, host: Record, guest: Record, adapter: bool) -> str:
    """The check that turns a pair down, nothing kept and nothing left out."""
    rows = some.rows(pair_setup(host, guest, adapter))
    return next((r.check for r in rows if r.state == FAILS), "")


@pytest.mark.parametrize(
    ("relation", "adapter"),
    [*((r, False) for r in RELATIONS), (EARS, True)],
    ids=lambda x: getattr(x, "name", str(x)),
)
def test_a_host_meets_exactly_the_guests_that_fail_no_check(
    generated: Links, relation: Relation, adapter: bool
) -> None:
    base = generated.base
    some = Some(generated.rulebook, relation.checks)
    hosts = base.all(RECORDS[relation.host])[:8]
    left_out = kept = 0
    for host in hosts:
        for kind in relation.guests:
            guests = base.all(RECORDS[kind])
            if relation is CARRIED:  # a fixed caliper is no guest of a carrier
                guests = [g for g in guests if isinstance(g, Caliper) and g.body.text != "fixed"]
            checks = {g.id: first_failing(some, host, g, adapter) for g in guests}
            met = generated.met(relation, host, kind, adapter)
            assert list(met.kept) == sorted(i for i, check in checks.items() if not check)
            assert met.turned_down == Counter(c for c in checks.values() if c)
            left_out += met.left_out
            kept += len(met.kept)
    assert kept > 0
    assert left_out > 0, "no window left anything out: nothing was tried"


def test_a_window_that_is_too_narrow_is_noticed(
    generated: Links, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = links_module.window

    def narrower(*args: object) -> tuple[float, float] | None:
        stretch = real(*args)  # type: ignore[arg-type]
        return (stretch[0] + 1, stretch[1] - 1) if stretch else None

    monkeypatch.setattr(links_module, "window", narrower)
    fresh = Links(generated.base, generated.rulebook)
    wrong = 0
    for relation in (EARS, HUB, WHEEL):
        some = Some(fresh.rulebook, relation.checks)
        for host in fresh.base.all(RECORDS[relation.host]):
            for kind in relation.guests:
                kept = set(fresh.met(relation, host, kind).kept)
                for guest in fresh.base.all(RECORDS[kind]):
                    good = not first_failing(some, host, guest, False)
                    wrong += good and guest.id not in kept
    assert wrong > 0


def test_two_plain_holes_that_no_bolt_passes_turn_a_pair_down(shipped: Links) -> None:
    knuckle = shipped.base.get(Knuckle, "kessarin-front")  # ears 142 apart, plain as these lugs
    far, near = "corm-bracket-86", "hasket-bracket-120/256"
    met = shipped.met(EARS, knuckle, "carrier")
    assert shipped.graded(EARS, knuckle, "carrier", far)[2].state == FAILS
    assert far not in met.kept
    assert far not in shipped.near(EARS, knuckle, "carrier", False)[0], "no window left it out"
    assert near in met.kept
    assert shipped.graded(EARS, knuckle, "carrier", near)[1].state == CANNOT_TELL
    assert {far, near} <= set(shipped.met(EARS, knuckle, "carrier", adapter=True).kept)


def test_what_is_not_known_turns_no_pair_down(generated: Links) -> None:
    base = generated.base
    for relation in RELATIONS:
        some = Some(generated.rulebook, relation.checks)
        for host in base.all(RECORDS[relation.host])[:4]:
            for kind in relation.guests:
                for guest in base.all(RECORDS[kind])[:12]:
                    grades = generated.judge(relation).grades(host, guest)
                    if not any(g.state == FAILS for g in grades):
                        continue
                    rows = {r.check: r for r in some.rows(pair_setup(host, guest))}
                    check = generated.failing(relation, host, guest)
                    assert rows[check].missing == ()


def test_a_pair_is_kept_while_it_cannot_be_told(generated: Links) -> None:
    doubtful = [row for row in generated.rows(HUB) if row.state == CANNOT_TELL]
    assert doubtful
    for row in doubtful:
        host = generated.record("knuckle", row.host)
        failing = generated.failing(HUB, host, generated.record("disc", row.guest))
        met = generated.met(HUB, host, "disc")
        assert (row.guest in met.kept) == (not failing)


def test_rows_hold_every_check_of_every_pair_that_no_window_leaves_out(generated: Links) -> None:
    rows = list(generated.rows(EARS))
    assert {r.check for r in rows} == set(EARS.checks)
    pairs = Counter((r.host, r.guest) for r in rows)
    assert set(pairs.values()) == {len(EARS.checks)}
    total = 0
    for host in generated.base.all(RECORDS["knuckle"]):
        for kind in EARS.guests:
            met = generated.met(EARS, host, kind)
            total += len(generated.base.ids(kind)) - met.left_out
            assert {(host.id, g) for g in met.kept} <= set(pairs)
    assert len(pairs) == total


def test_narrowing_to_some_guests_gives_the_same_pairs(generated: Links) -> None:
    for host in generated.base.all(RECORDS["knuckle"]):
        ids = generated.base.ids("disc")[::3]
        whole, some = generated.met(HUB, host, "disc"), generated.met(HUB, host, "disc", only=ids)
        assert set(some.kept) == set(whole.kept) & set(ids)
        assert some.left_out == 0
        assert sum(some.turned_down.values()) == len(ids) - len(some.kept)


# --- the shipped base -----------------------------------------------------------------------------


def test_pair_rows_are_the_rows_of_a_whole_sheet(shop: Workshop, shipped: Links) -> None:
    base: Base = shipped.base
    for platform, parts in (
        ("tammick-van", ["tovan-q4/44", "sorrel-316", "kite-120", "wambry-16-cast"]),
        ("wessock-van", ["hasket-f1/57", "hasket-bracket-142", "burnet-288", "kite-120"]),
    ):
        sheet = shop.judge(Wanted(platform, "front", parts)).sheet
        knuckle = base.get(RECORDS["knuckle"], f"{platform.split('-')[0]}-front")
        found = {base.kind_of(base.find(p)) if not base.members(p) else "pad": p for p in parts}
        mounted = found.get("carrier") or found["caliper"]
        pairs = [(EARS, knuckle, mounted), (HUB, knuckle, found["disc"])]
        pairs += [(WHEEL, knuckle, found["wheel"])] if "wheel" in found else []
        for relation, host, guest in pairs:
            record = base.get(RECORDS[base.kind_of(guest) or ""], guest)
            for row in shipped.judge(relation).rows(host, record):
                whole = sheet.row(row.check)
                assert (row.state, row.band, row.value, row.facts) == (
                    whole.state,
                    whole.band,
                    whole.value,
                    whole.facts,
                )


def test_a_check_that_reads_another_fact_is_an_error(shipped: Links) -> None:
    narrow = Relation("hub", "knuckle", ("disc",), ("hub.spigot_mm",), (), others=("hub-bore",))
    judge = Judge(narrow, shipped.rulebook)
    base = shipped.base
    with pytest.raises(EngineError, match=r"disc\.bore_mm"):
        judge.rows(
            base.get(RECORDS["knuckle"], "tammick-front"), base.get(RECORDS["disc"], "sorrel-300")
        )


def test_pads_and_carriers_are_told_by_what_they_name(shipped: Links) -> None:
    base = shipped.base
    caliper = base.get(RECORDS["caliper"], "tovan-q4/44")
    met = shipped.met(PAD_IN_CALIPER, caliper, "pad")
    assert met.kept == ("kite-120/street", "kite-120/tow", "kite-120/track")
    carrier = base.get(RECORDS["carrier"], "hasket-bracket-142")
    assert shipped.met(CARRIED, carrier, "caliper").kept == ("hasket-f1/54", "hasket-f1/57")
    both = shipped.met(CARRIED, carrier, "caliper", only=["hasket-f1/54", "tovan-q6"])
    assert both.kept == ("hasket-f1/54",)
    assert both.turned_down == {}, "a fixed caliper is no guest of a carrier"


@pytest.mark.parametrize("adapter", [False, True])
def test_one_guest_speaks_only_for_those_that_come_out_alike(
    generated: Links, adapter: bool
) -> None:
    asked = 0
    for knuckle in generated.base.all(Knuckle)[:12]:
        for kind in (ALONE, "carrier"):
            met = generated.met(EARS, knuckle, kind, adapter)
            assert sorted(generated.not_failing(EARS, knuckle, kind, adapter)) == list(met.kept)
            asked += len(met.kept)
    assert asked > 0


@pytest.mark.parametrize("relation", [r for r in RELATIONS if r.names], ids=lambda r: r.name)
def test_pairs_told_by_names_come_out_as_their_own_rows(
    generated: Links, relation: Relation
) -> None:
    judge = Judge(relation, generated.rulebook)
    seen: set[str] = set()
    for host in generated.base.all(RECORDS[relation.host])[:20]:
        for guest in generated.base.all(RECORDS[relation.guests[0]])[:40]:
            rows = judge.rows(host, guest)
            told = [(g.check, g.state, g.band, g.margin) for g in judge.grades(host, guest)]
            assert told == [(r.check, r.state, r.band, r.margin) for r in rows]
            seen |= {r.state for r in rows}
    assert len(seen) > 1, "all came out alike: nothing was tried"


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_seats_for_an_adapter_are_counted_as_they_would_be_listed(
    shipped: Links, axle: str
) -> None:
    counted = 0
    for platform in shipped.base.ids("platform"):
        seats = _Generator(shipped, platform, axle, {}, False)
        plates = {s.ids for s in seats._seats(True)} - {s.ids for s in seats._seats(False)}
        assert candidates(shipped, platform, axle).for_adapter == len(plates)
        counted += len(plates)
    assert counted > 0
