"""What takes a part: the exact inverse of what fits."""

from __future__ import annotations

from pathlib import Path

import pytest

from lugplane.answers.fit import Memo
from lugplane.answers.fits import fits
from lugplane.answers.takes import AXLES, takes
from lugplane.errors import BadInput
from lugplane.facts.records import Knuckle, Platform
from lugplane.links.candidates import candidates
from lugplane.links.links import Links
from lugplane.links.relation import CARRIED, EARS, HUB, PAD_IN_CALIPER, PAD_IN_CARRIER, WHEEL
from lugplane.setup.assemble import Wanted
from lugplane.workshop import Workshop

PAIR_CHECKS = {
    c for r in (EARS, HUB, CARRIED, PAD_IN_CALIPER, PAD_IN_CARRIER, WHEEL) for c in r.checks
}


@pytest.fixture(scope="module")
def two_axles(small_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Workshop:
    """The small base and a second car whose front takes other lugs, and none of whose rear."""
    added = tmp_path_factory.mktemp("two") / "kb"
    for kind in ("platforms", "knuckles"):
        (added / kind).mkdir(parents=True)
    car = (small_folder / "platforms" / "kessarin-estate.yaml").read_text("utf-8")
    car = car.replace("id: kessarin-estate", "id: other-estate")
    car = car.replace("knuckle: kessarin-front", "knuckle: other-front")
    (added / "platforms" / "other-estate.yaml").write_text(car, "utf-8")
    knuckle = (small_folder / "knuckles" / "kessarin-front.yaml").read_text("utf-8")
    knuckle = knuckle.replace("id: kessarin-front", "id: other-front")
    knuckle = knuckle.replace("spacing_mm: 142", "spacing_mm: 120")
    (added / "knuckles" / "other-front.yaml").write_text(knuckle, "utf-8")
    return Workshop.open(only=small_folder, added=[added])


def test_it_is_the_inverse_of_what_fits(two_axles: Workshop) -> None:
    base = two_axles.base
    links, memo = Links(base, two_axles.rulebook), Memo()
    rows = {
        (p.id, axle): fits(two_axles, p.id, axle, links=links, memo=memo).rows
        for p in base.all(Platform)
        for axle in AXLES
        if (p.rear if axle == "rear" else p.front).knuckle.known
    }
    assert set(rows) == {("kessarin-estate", "front"), ("other-estate", "front")}
    parts = [i for kind in ("caliper", "carrier", "disc", "pad") for i in base.ids(kind)]
    taken = 0
    for part in parts[::2]:
        found = takes(two_axles, part, links=links, memo=memo, whole=True)
        takers = {(t.platform, t.axle): t for t in found.rows}
        for where, listed in rows.items():
            having = [
                r for r in listed
                if part in {p.id for p in r.parts} or any(part in a for a in r.alike.values())
            ]  # fmt: skip
            assert (where in takers) == bool(having), (part, where)
            if having:
                take = takers[where]
                assert take.fit is not None
                assert take.verdict == having[0].verdict == take.fit.verdict
                assert take.fit.rank[:8] == having[0].rank[:8]
                assert sum(take.counts.values()) == len(having)
                taken += 1
        assert len(found.rows) + sum(found.turned_down.values()) == len(rows)
        assert len(found.skipped) == 2
    assert taken > len(parts) // 4


@pytest.mark.parametrize("part", ["tovan-q4/44", "hasket-bracket-142"])
def test_on_the_shipped_base_each_axle_has_the_first_row_of_its_list(
    shipped: Workshop, part: str
) -> None:
    links, memo = Links(shipped.base, shipped.rulebook), Memo()
    found = takes(shipped, part, links=links, memo=memo)
    assert {t.platform for t in found.rows} >= {"tammick-van", "kessarin-estate"}
    for take in found.rows:
        listed = fits(
            shipped, take.platform, take.axle, with_=(part,), links=links, memo=memo,
            verdicts=("bolts on", "fits with work", "cannot tell"),
        )  # fmt: skip
        first = listed.rows[0] if listed.rows else None
        assert take.fit == first
        assert take.counts == listed.counts
    others = {(p.id, a) for p in shipped.base.all(Platform) for a in AXLES}
    others -= {(t.platform, t.axle) for t in found.rows}
    for platform, axle in others:
        assert candidates(links, platform, axle, with_=(part,)).items == ()


def test_axles_that_turn_a_part_down_are_counted_by_the_check_that_fails(
    shipped: Workshop,
) -> None:
    links = Links(shipped.base, shipped.rulebook)
    found = takes(shipped, "sorrel-316", links=links)
    counted = dict.fromkeys(found.turned_down, 0)
    disc = links.record("disc", "sorrel-316")
    for platform in shipped.base.all(Platform):
        for axle in (platform.front, platform.rear):
            knuckle = shipped.base.get(Knuckle, axle.knuckle.word)
            check = links.failing(HUB, knuckle, disc)
            if check:
                counted[check] += 1
    counted.pop("", None)
    assert counted == {k: n for k, n in found.turned_down.items() if k}
    assert set(counted) <= PAIR_CHECKS


def test_a_wheel_is_looked_at_over_what_the_factory_fitted(shipped: Workshop) -> None:
    found = takes(shipped, "tammick-16-cast")
    assert {t.platform for t in found.rows} == {"tammick-van", "kessarin-estate"}
    for take in found.rows:
        assert take.fit is not None
        parts = [p.id for p in take.fit.parts]
        assert all(p.stock for p in take.fit.parts)
        asked = Wanted(take.platform, take.axle, [*parts, "tammick-16-cast"])
        assert shipped.judge(asked).sheet.verdict_of("wheel") == take.verdict
    assert sum(found.turned_down.values()) + len(found.rows) == 28
    assert set(found.turned_down) <= set(WHEEL.checks)


def test_the_best_comes_first(shipped: Workshop) -> None:
    order = ("bolts on", "fits with work", "cannot tell", "does not fit")
    found = takes(shipped, "tovan-q4/44", whole=True)
    verdicts = [order.index(t.verdict) for t in found.rows]
    assert verdicts == sorted(verdicts)
    assert verdicts[0] == 0


@pytest.mark.parametrize(
    ("part", "said"),
    [("tovan-q7", "close to it: tovan-q6"), ("lathe-430", "is a hose"), ("", "no part is called")],
)
def test_bad_questions_are_told(shipped: Workshop, part: str, said: str) -> None:
    with pytest.raises(BadInput, match=said):
        takes(shipped, part)
