"""Parts that are the same for a purpose: by their facts, never by way of a third part."""

from __future__ import annotations

from pathlib import Path

import pytest

from lugplane.answers.same import SAME, Other, Same, same
from lugplane.errors import BadInput
from lugplane.facts.decode import fact_paths
from lugplane.render.tables_same import same_text
from lugplane.workshop import Workshop

HEAD = """kind: {kind}
id: {id}
title: {id}
readings:
  made: {{basis: invented, plus_minus_mm: 0.1}}
unless_said: made
"""


@pytest.fixture
def made(tmp_path: Path) -> Workshop:
    """Discs in a row, each overlapping with the next; calipers and carriers with like lugs."""
    write(tmp_path, "disc", "disc-a", "bolts: {count: 5, circle_mm: 112}\nbore_mm: 65 ±0.1\n")
    write(tmp_path, "disc", "disc-b", "bolts: {count: 5, circle_mm: 112}\nbore_mm: 65.15 ±0.1\n")
    write(tmp_path, "disc", "disc-c", "bolts: {count: 5, circle_mm: 112}\nbore_mm: 65.3 ±0.1\n")
    write(tmp_path, "disc", "disc-four", "bolts: {count: 4, circle_mm: 112}\nbore_mm: 65 ±0.1\n")
    write(tmp_path, "disc", "disc-open", "bolts: {count: 5}\nbore_mm: 65 ±0.1\ndiameter_mm: 300\n")
    write(tmp_path, "disc", "disc-bare", "diameter_mm: 300\n")
    threaded = (
        "lug: {spacing_mm: 142 ±0.1, hole: threaded, thread: M12x1.5, hole_diameter_mm: 12}\n"
    )
    plain = "lug: {spacing_mm: 142 ±0.1, hole: plain, hole_diameter_mm: 12.5 ±0.1}\n"
    fixed = "mount: axial\nbody: fixed\n"
    write(tmp_path, "caliper", "four", f"{fixed}pad: pad-1\n{threaded}slot_mm: 64 ±0.2\n")
    write(tmp_path, "caliper", "six", f"{fixed}pad: pad-2\n{threaded}slot_mm: 66 ±0.2\n")
    write(tmp_path, "caliper", "open", f"{fixed}pad: pad-1\n{plain}")
    write(tmp_path, "caliper", "one", "mount: axial\nbody: floating\npad: pad-1\n")
    write(tmp_path, "caliper", "two", "mount: axial\nbody: floating\n")
    write(tmp_path, "carrier", "bracket", f"mount: axial\ncalipers: [one, two]\n{threaded}")
    write(tmp_path, "pad", "pad-1", "members:\n  street: {}\n  tow: {friction_letters: GG}\n")
    write(tmp_path, "pad", "pad-2", "")
    return Workshop.open(only=tmp_path)


def write(folder: Path, kind: str, id_: str, body: str) -> None:
    place = folder / f"{kind}s" / f"{id_}.yaml"
    place.parent.mkdir(exist_ok=True)
    place.write_text(HEAD.format(kind=kind, id=id_) + body, "utf-8")


def others(answer: Same, purpose: str) -> dict[str, Other]:
    return {o.id: o for p in answer.purposes if p.purpose == purpose for o in p.others}


def test_nothing_follows_by_way_of_a_third_part(made: Workshop) -> None:
    assert set(others(same(made, "disc-a"), "hub")) == {"disc-b", "disc-open"}
    assert set(others(same(made, "disc-b"), "hub")) == {"disc-a", "disc-c", "disc-open"}
    assert set(others(same(made, "disc-c"), "hub")) == {"disc-b"}


def test_what_is_not_known_leaves_it_open(made: Workshop) -> None:
    found = others(same(made, "disc-a"), "hub")
    assert found["disc-b"].state == SAME
    assert found["disc-open"].state == "cannot tell"
    assert found["disc-open"].missing == ("disc.bolts.circle_mm",)
    assert list(found) == ["disc-b", "disc-open"], "what is sure comes first"


def test_what_speaks_for_nothing_is_not_listed(made: Workshop) -> None:
    assert "disc-bare" not in others(same(made, "disc-a"), "hub")


def test_it_is_mutual(made: Workshop) -> None:
    pairs = set()
    for part in made.base.ids("disc"):
        for purpose in same(made, part).purposes:
            pairs |= {(purpose.purpose, part, o.id, o.state) for o in purpose.others}
    assert pairs
    # A part of which nothing is known has no purpose to be asked for.
    assert {(p, b, a, s) for p, a, b, s in pairs if b != "disc-bare"} <= pairs


def test_lugs_are_compared_by_thread_or_by_hole_as_they_are(made: Workshop) -> None:
    found = others(same(made, "four"), "mount")
    assert set(found) == {"six", "bracket"}
    assert {o.kind for o in found.values()} == {"caliper", "carrier"}
    (mount,) = [p for p in same(made, "four").purposes if p.purpose == "mount"]
    assert "caliper.lug.thread" in mount.facts
    assert "caliper.lug.hole_diameter_mm" not in mount.facts


def test_a_floating_caliper_is_compared_by_its_carriers(made: Workshop) -> None:
    answer = same(made, "one")
    assert [p.purpose for p in answer.purposes] == ["carrier"]
    assert set(others(answer, "carrier")) == {"two"}


def test_it_tells_in_what_the_others_differ_with_both_values(made: Workshop) -> None:
    six = others(same(made, "four"), "mount")["six"]
    differs = {d.fact: d for d in six.differs}
    assert set(differs) == {"caliper.pad", "caliper.slot_mm"}
    slot = differs["caliper.slot_mm"]
    assert slot.asked.span is not None
    assert slot.other.span is not None
    assert (slot.asked.span.nominal, slot.other.span.nominal) == (64, 66)
    assert (differs["caliper.pad"].asked.text, differs["caliper.pad"].other.text) == (
        "pad-1",
        "pad-2",
    )


def test_pads_are_the_same_in_shape_by_their_family(made: Workshop) -> None:
    found = others(same(made, "pad-1/street"), "shape")
    assert set(found) == {"pad-1/tow"}
    assert set(others(same(made, "four"), "pad")) == {"open"}


def test_on_the_shipped_base_values_within_their_doubt_are_the_same(shipped: Workshop) -> None:
    found = others(same(shipped, "sorrel-300"), "hub")
    assert found["sorrel-300-used/b17"].differs == ()
    assert {d.fact for d in found["sedge-300/late"].differs} == {"disc.height_mm"}
    assert "burnet-288" not in found


def test_facts_that_only_one_of_the_two_has_are_named_with_their_values(shipped: Workshop) -> None:
    used = others(same(shipped, "sorrel-300"), "hub")["sorrel-300-used/b22"]
    told = {d.fact: d for d in used.one_sided}
    assert used.open == len(told) == 4
    cracked = told["disc.cracked"]
    assert (cracked.asked.text, cracked.other.text) == ("", "true")
    worn = told["disc.measured_thickness_mm"]
    assert worn.asked.span is None
    assert worn.other.span is not None
    back = others(same(shipped, "sorrel-300-used/b22"), "hub")["sorrel-300"]
    assert {d.fact: (d.other, d.asked) for d in back.one_sided} == {
        fact: (d.asked, d.other) for fact, d in told.items()
    }


def test_a_cracked_disc_is_not_put_down_as_no_other(shipped: Workshop) -> None:
    text = " ".join(same_text(same(shipped, "sorrel-300"), width=200).replace("\xa0", " ").split())
    group, _, row = text.partition("Used front disc 300 x 28, cracked")
    assert "Nothing else differs of what is known of both" in group
    assert "cracked yes." in row
    assert "cannot be compared" not in text
    asked = same_text(same(shipped, "sorrel-300-used/b22"), width=200).replace("\xa0", " ")
    assert "known of sorrel-300-used/b22 only: " in " ".join(asked.split())


@pytest.mark.parametrize(
    ("points", "agree"),
    [
        ("[[0, 90], [10, 90]]", True),
        ("[[0, 91], [10, 89]]", True),
        ("[[0, 91.1], [10, 90]]", False),
    ],
)
def test_outlines_agree_point_by_point_within_both_doubts(
    tmp_path: Path, points: str, agree: bool
) -> None:
    for name, spoke in (("one", "[[0, 90], [10, 90]]"), ("two", points)):
        outline = f"{{plus_minus_mm: 0.5, spoke_x_r: {spoke}}}"
        write(tmp_path, "wheel", name, f"bolts: {{count: 5, circle_mm: 112}}\noutline: {outline}\n")
    answer = same(Workshop.open(only=tmp_path), "one")
    told = {d.fact for p in answer.purposes for o in p.others for d in o.differs}
    assert ("wheel.outline.spoke_x_r" not in told) is agree
    assert any(p.others for p in answer.purposes)


def test_facts_are_named_as_files_write_them(shipped: Workshop) -> None:
    for part in ("tammick-front", "tovan-q4/44", "sorrel-300", "tammick-15-steel"):
        answer = same(shipped, part)
        told = [d.fact for p in answer.purposes for o in p.others for d in o.differs]
        told += [f for p in answer.purposes for f in p.facts]
        assert told
        assert set(told) <= set(fact_paths(answer.kind)), part


@pytest.mark.parametrize(
    ("part", "said"),
    [("sorel-300", "close to it: sorrel-300"), ("tammick-van", "is a platform")],
)
def test_bad_questions_are_told(shipped: Workshop, part: str, said: str) -> None:
    with pytest.raises(BadInput, match=said):
        same(shipped, part)
