"""`--fix` changes what is mechanical and nothing else: same numbers, same comments, same bytes."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.check.fixing import Fixed, fix
from lugplane.check.one import value_problems
from lugplane.check.yardsticks import assumed, schemas
from lugplane.errors import Problem
from lugplane.facts import scan
from lugplane.facts.families import singles

HEAD = "kind: disc\nid: d\ntitle: A ± disc\nreadings:\n  r: {basis: invented}\nunless_said: r\n"


def problems(content: bytes) -> list[Problem]:
    source = scan.SourceFile("disc", "d", Path("d.yaml"), "kb/discs/d.yaml")
    raw, wrong = scan.record(source, content, schemas())
    return wrong if raw is None else value_problems(list(singles(raw)), assumed())


def mended(text: str | bytes, **moved: str) -> tuple[str, list[Fixed]]:
    content = text if isinstance(text, bytes) else text.encode()
    done, fixed = fix("f", content, problems, moved)
    return done.decode(), fixed


@pytest.mark.parametrize(
    ("line", "becomes"),
    [
        ("height_mm: 48,5  # keep ± me", "height_mm: 48.5  # keep ± me"),
        ("height_mm: 48,5 ±0,15 (r)", "height_mm: 48.5 ±0.15 (r)"),
        ("height_mm: '48,5'", "height_mm: 48.5"),
        ("height_mm: [48, '48,5']", "height_mm: [48, 48.5]"),
        ("height_mm: 48.5 mm", "height_mm: 48.5"),
        ("height_mm: 48.5mm ±0.1 mm", "height_mm: 48.5 ±0.1"),
        ("mass_kg: 7.1 kg", "mass_kg: 7.1"),
        ("runout_mm: 0,03 mm", "runout_mm: 0.03"),
        ("height_mm: 48–48.5", None),
        ("height_mm: −48", "height_mm: -48"),
        ('bolts: {count: "5"}', "bolts: {count: 5}"),
        ("cracked: no", "cracked: false"),
        ('cracked: "true"', "cracked: true"),
        ("ring: Vented", "ring: vented"),
        ("height_to: wheel_face", "height_to: wheel-face"),
        ("Height_MM: 48", "height_mm: 48"),
        ("height-mm: 48,5", "height_mm: 48.5"),
        # What follows is not a matter of form, or could be meant in two ways.
        ("height_mm: 1,200", None),
        ("height_mm: 1.89 in", None),
        ("height_mm: 48 kg", None),
        ("heigth_mm: 48", None),
        ("ring: solidd", None),
        ("height_mm: 48 49", None),
        ("height_mm: {a: 48,5}", None),
        ("notes: 48,5 mm", "notes: 48,5 mm"),
    ],
)
def test_what_is_mended_and_what_is_left(line: str, becomes: str | None) -> None:
    text = f"{HEAD}# before\n{line}\n# after\n"
    done, fixed = mended(text)
    assert done == (text if becomes is None else text.replace(line, becomes))
    if becomes is None:
        assert fixed == []
        assert problems(text.encode())
    else:
        assert problems(done.encode()) == []
        assert bool(fixed) is (becomes != line)


def test_it_says_exactly_what_it_changed() -> None:
    _, fixed = mended(f"{HEAD}height_mm: 48,5\nring: Vented\n")
    assert fixed == [
        Fixed("f", 7, 12, "bad-form", "`48,5`", "`48.5`"),
        Fixed("f", 8, 7, "wrong-word", "`Vented`", "`vented`"),
    ]


def test_line_ends_and_a_byte_order_mark() -> None:
    text = (HEAD + "height_mm: 48,5\n").replace("\n", "\r\n")
    done, fixed = mended(b"\xef\xbb\xbf" + text.encode())
    assert done == text.replace("48,5", "48.5")
    assert [each.code for each in fixed] == ["bom", "bad-form"]


def test_what_cannot_be_read_is_left_alone() -> None:
    for text in ("height_mm: [48,5\n", "", "a: *b\n", "- 1\n", "\x00", "{" * 5000, "a: &a 1\n"):
        assert mended(text) == (text, [])


def test_a_mended_key_never_runs_into_another() -> None:
    text = f"{HEAD}height_mm: 48\nHeight_mm: 49\n"
    assert mended(text) == (text, [])


def test_references_follow_a_retired_id() -> None:
    text = (
        "kind: offer\nid: old  # mine\ntitle: old\npart: old # theirs\nprice: 5\n"
        'currency: EUR\ndate: "2026-01-01"\n'
    )

    def recheck(content: bytes) -> list[Problem]:
        source = scan.SourceFile("offer", "old", Path("old.yaml"), "kb/offers/old.yaml")
        return scan.record(source, content, schemas())[1]

    done, fixed = fix("f", text.encode(), recheck, {"old": "newer"})
    assert done.decode() == text.replace("part: old", "part: newer")
    assert fixed == [Fixed("f", 4, 7, "moved-id", "`old`", "`newer`")]


@given(st.integers(0, 999), st.integers(0, 99), st.sampled_from(["mm", " mm", ""]))
def test_the_number_stays_the_number(whole: int, cents: int, unit: str) -> None:
    written = f"{whole},{cents:02d}{unit}"
    done, fixed = mended(f"{HEAD}height_mm: {written}\n")
    assert done == f"{HEAD}height_mm: {whole}.{cents:02d}\n"
    assert len(fixed) == 1


def test_mending_twice_changes_nothing_more() -> None:
    once, _ = mended(f"{HEAD}height_mm: 48,5 mm\nring: Vented\nBore-mm: 65,05\n")
    assert mended(once) == (once, [])
