"""What setups share is what each would find by itself, whatever it is that they have not in common.

A tree of reads that forgot one of them would hand one setup the figures of another.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import product
from pathlib import Path

import pytest

from lugplane.deduce.deduction import Deduction
from lugplane.links.partial import Some
from lugplane.measure.bench import Bench, Finding, run
from lugplane.quantity.form import Extent
from lugplane.setup import shared as module
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.car import car_of
from lugplane.setup.parts import Setup
from lugplane.setup.shared import PREMISES, Reads, Shared
from lugplane.workshop import Workshop

KB = Path(__file__).resolve().parents[2] / "kb"
CAR = "kessarin-estate"
CALIPERS, DISCS, PADS = (
    ("tovan-q4/41", "tovan-q4/44"),
    ("sorrel-300", "medick-302"),
    ("street", "tow"),
)


@cache
def shop() -> Workshop:
    return Workshop.open(only=KB)


def setup(*parts: str, set_: tuple[str, ...] = (), adapter: bool = False) -> Setup:
    return assemble(shop().base, Wanted(CAR, "front", parts, set_, adapter))


def several() -> Iterator[Setup]:
    """Setups that differ in one thing or in several, each of which some check reads."""
    for caliper, disc, compound in product(CALIPERS, DISCS, PADS):
        yield setup(caliper, disc, f"kite-120/{compound}")
    yield setup("tovan-q4/44", "kessarin-17-cast")
    yield setup("tovan-q4/44", adapter=True)
    for set_ in (
        "spacing_mm=1.4±0.1",
        "tilt_mm=0.05",
        "disc.height_mm=46.1±0.1",
        "disc.thickness_mm=unknown",
        "pad.plate_mm=9",
        "knuckle.ear_face_mm=unknown",
        "knuckle.bolt.length_mm=61±0.1",
        "caliper.slot_mm=41",
        "platform.gross_kg=2900",
    ):
        yield setup("tovan-q4/44", set_=(set_,))
    for bracket in ("corm-bracket-92/286", "corm-bracket-104"):
        ids = [i for i in shop().base.ids("carrier") if i.startswith(bracket)]
        yield setup("corm-p1/41", ids[0], "tansy-286", "pipit-74")
    short = setup("tovan-q4/44", set_=("knuckle.bolt.length_mm=31±0.1",))
    yield from (short, replace(short, bolts=()))
    yield replace(setup(), wheel_spacer_mm=12.0)
    rear = assemble(shop().base, Wanted(CAR, "rear", (), ("pad.lining_mm=2.5",)))
    yield car_of(setup(), rear).front


def told(finding: Finding) -> Finding:
    """A finding with its effects worked out: some are put off until they are asked for."""
    r = finding.reckoned
    if r is None:
        return finding
    plain = replace(r.judged, effects=dict(r.judged.effects))
    return replace(finding, reckoned=replace(r, judged=plain, have=_plain(r.have)))


def _plain(e: Extent | None) -> Extent | None:
    return None if e is None else replace(e, effects=dict(e.effects))


def everything(d: Deduction) -> dict[str, object]:
    return {name: (told(j.finding), j.judgement, j.rule.id) for name, j in d.judged.items()}


@cache
def alone() -> tuple[dict[str, object], ...]:
    some = Some(shop().rulebook, [c.id for c in shop().rulebook.checks])
    return tuple(everything(some.deduce(s)) for s in several())


@pytest.mark.parametrize("way", [1, -1])
def test_each_finds_what_it_finds_by_itself(way: int) -> None:
    rulebook = shop().rulebook
    some = Some(rulebook, [c.id for c in rulebook.checks], Shared())
    found = [everything(some.deduce(s)) for s in list(several())[::way]]
    for one, other in zip(found[::way], alone(), strict=True):
        assert one == other
    assert len({repr(x) for x in found}) == len(found)  # or nothing could be mistaken


def test_whatever_checks_were_looked_at_before() -> None:
    rulebook, shared = shop().rulebook, Shared()
    for scope in ("brake", "wheel", "car"):
        some = Some(rulebook, [c.id for c in rulebook.checks if c.scope == scope], shared)
        for one, other in zip(
            (everything(some.deduce(s)) for s in several()), alone(), strict=True
        ):
            assert one
            assert one == {name: other[name] for name in one}


def bench(of: Setup, shared: Shared) -> Bench:
    limits = shop().rulebook.limits
    found = Bench(of, limits.numbers, limits.limits, shared)
    for kind, name in (("choice", "mount"), ("choice", "joint"), ("measure", "lug_misfit")):
        run(found, kind, name)
    return found


def test_a_finding_is_shared_where_what_it_reads_is_the_same_and_only_there() -> None:
    shared = Shared()
    first = run(bench(setup("tovan-q4/44", "sorrel-300"), shared), "measure", "spacing")
    again = run(bench(setup("tovan-q4/44", "kite-120/tow"), shared), "measure", "spacing")
    assert again is first  # it reads no pad
    for other in (setup("tovan-q4/44", "medick-302"), setup(set_=("disc.plate_mm=7.1",))):
        assert run(bench(other, shared), "measure", "spacing") is not first


def test_an_equal_copy_is_another_part() -> None:
    shared, own = Shared(), setup()
    first = run(bench(own, shared), "measure", "spacing")
    other = replace(own, disc=replace(own.disc))
    assert other.disc == own.disc
    assert run(bench(other, shared), "measure", "spacing") is not first


def test_what_hangs_on_the_bench_s_own_memory_is_not_shared() -> None:
    shared = Shared()
    own = bench(setup(), shared)
    reads = own.place.reads
    assert reads is not None
    seen = reads.begin()
    own.car["pair"] = 1
    reads.end()
    shared.keep("measure x", seen, "result")
    assert shared.find("measure x", own.read, reads) is None


def test_what_a_shared_finding_was_read_from_counts_as_read() -> None:
    shared = Shared()
    run(bench(setup("tovan-q4/44", "sorrel-300"), shared), "measure", "spacing")
    other = bench(setup("tovan-q4/44", "kite-120/tow", "sorrel-300"), shared)
    reads = other.place.reads
    assert reads is not None
    seen = reads.begin()
    run(other, "measure", "spacing")
    reads.end()
    assert seen["disc"] is other.place.parts.disc
    assert "pad" not in seen


def test_what_is_not_there_yet_is_asked_for_again() -> None:
    reads, there = Reads(), dict[str, object]()
    assert reads.held("found stack", there.get) == (None, None)
    there["found stack"] = "washers"
    assert reads.held("found stack", there.get) == ("washers", "washers")
    for words in ("of one rule", "of another"):
        there[PREMISES] = words
        assert reads.held(PREMISES, there.get) == (words, words)


def test_other_constants_are_refused() -> None:
    shared, limits = Shared(), shop().rulebook.limits
    Bench(setup(), limits.numbers, limits.limits, shared)
    with pytest.raises(ValueError, match="one set of constants"):
        Bench(setup(), {**limits.numbers, "running_gap_mm": 9.0}, limits.limits, shared)
    with pytest.raises(ValueError, match="one set of constants"):
        Bench(setup(), limits.numbers, dict(limits.limits), shared)


def test_a_read_within_a_read_is_told_to_both() -> None:
    reads, own = Reads(), setup()
    watched = reads.of(own)
    outer = reads.begin()
    inner = reads.begin()
    assert watched.disc is own.disc
    reads.end()
    assert watched.pad is own.pad
    reads.end()
    assert list(inner) == ["disc"]
    assert list(outer) == ["disc", "pad"]
    assert watched.hose is own.hose  # nobody watches
    assert "hose" not in outer


def test_it_starts_anew_when_it_is_full(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST", 40)
    some = Some(shop().rulebook, [c.id for c in shop().rulebook.checks], Shared())
    for one, other in zip((everything(some.deduce(s)) for s in several()), alone(), strict=True):
        assert one == other
