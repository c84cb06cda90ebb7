"""Stamps tell every change to files, names and links, and contents where stamps prove nothing."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from lugplane.facts import fingerprint
from lugplane.facts.fingerprint import SECONDS, Seen, Witness, content_digest, look

ENGINE = str(Path(__file__).parents[2] / "engine")


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch) -> None:
    """The clock of this program goes an hour ahead of that of the files."""
    now = fingerprint.time.time_ns
    monkeypatch.setattr(fingerprint.time, "time_ns", lambda: now() + 3600 * 10**9)


def test_the_same_looks_the_same(kb: Path) -> None:
    assert look([kb]).digest == look([kb]).digest == look([kb / ".." / "kb"]).digest
    assert {Path(path).name for path in look([kb]).stamps} == {
        "sheet.yaml",
        "plain.yaml",
        "sized.yaml",
        "older.yaml",
    }


@pytest.mark.usefixtures("later")
def test_links_are_told_by_where_they_lead(kb: Path) -> None:
    seen = [look([kb]).digest]
    link = kb / "discs" / "more.yaml"
    for target in ("plain.yaml", "sized.yaml", "nowhere.yaml", "more.yaml", "../../made.yaml"):
        link.unlink(missing_ok=True)
        link.symlink_to(target)
        seen.append(look([kb]).digest)
    (kb.parent / "made.yaml").write_text("")
    seen.append(look([kb]).digest)
    link.unlink()
    (kb / "pads").symlink_to("discs")
    seen.append(look([kb]).digest)
    (kb / "pads").unlink()
    (kb / "pads").symlink_to("sources")
    seen.append(look([kb]).digest)
    assert len(set(seen)) == len(seen)


def test_what_a_chain_of_links_leads_to(kb: Path, tmp_path: Path) -> None:
    """The file is the same one, but now it lies outside."""
    (kb / "discs" / "more.yaml").symlink_to("../../way")
    (tmp_path / "way").symlink_to(kb / "discs" / "plain.yaml")
    before = look([kb]).digest
    os.link(kb / "discs" / "plain.yaml", tmp_path / "same")
    with_link = look([kb]).digest  # a further name changes the time of the last change
    (tmp_path / "way").unlink()
    (tmp_path / "way").symlink_to(tmp_path / "same")
    assert len({before, with_link, look([kb]).digest}) == 3


def test_folders_that_are_not_there(kb: Path) -> None:
    before = look([kb / "none"]).digest
    (kb / "none").mkdir()
    assert look([kb / "none"]).digest != before
    assert look([kb / "discs" / "plain.yaml"]).stamps == {}


def test_the_order_of_folders_and_the_words_count(kb: Path, tmp_path: Path) -> None:
    (tmp_path / "own").mkdir()
    a, b = kb, tmp_path / "own"
    digests = {look(f, (), w).digest for f in ([a, b], [b, a], [a]) for w in ([], ["x"], ["y"])}
    assert len(digests) == 9


def test_files_of_one_suffix(tmp_path: Path) -> None:
    for name in ("a.json", "b.json", "c.py"):
        (tmp_path / name).write_text("")
    seen = look((), [(tmp_path, ".json")])
    assert [Path(path).name for path in seen.stamps] == ["a.json", "b.json"]


def test_fresh_are_those_of_the_last_seconds(kb: Path) -> None:
    seen = look([kb])
    assert seen.fresh == set(seen.stamps)


@pytest.mark.usefixtures("later")
def test_fresh_are_those_of_the_future(kb: Path) -> None:
    assert look([kb]).fresh == set()
    path = kb / "discs" / "plain.yaml"
    ahead = fingerprint.time.time_ns() - (SECONDS - 2) * 10**9
    os.utime(path, ns=(ahead, ahead))
    assert look([kb]).fresh == {str(path)}
    os.utime(path, ns=(ahead * 2, ahead * 2))
    assert look([kb]).fresh == {str(path)}


def seen(at: int, stamps: dict[str, int], marks: tuple[str, ...] = (), fresh: str = "") -> Seen:
    """Files of one folder that differ in size."""
    numbers = [n for size in stamps.values() for n in (0, size, 0, 0, 0)]
    listed = [("", list(stamps), numbers)]
    return Seen(at, listed, marks, frozenset({fresh} if fresh else ()))


def test_a_witness_of_fresh_files_reads_them(kb: Path) -> None:
    path = str(kb / "discs" / "plain.yaml")
    one = seen(5, {path: 1}, fresh=path)
    for witness in (
        Witness.from_plain(Witness.of(one).plain()),
        Witness.read(Witness.of(one).text()),
    ):
        assert witness.fresh == {path: content_digest(path)}
        assert witness.holds(seen(9, {path: 1}))
        assert not witness.holds(seen(4, {path: 1}))  # the clock was set back
        assert not witness.holds(seen(9, {path: 2}))
        assert not witness.holds(seen(9, {path: 1}, ("x",)))
    Path(path).write_text("x")
    assert not witness.holds(seen(9, {path: 1}))
    assert Witness.of(seen(5, {path: 1})).holds(one)
    Path(path).unlink()
    assert not Witness.of(one).holds(one)


def test_names_stamps_and_marks_are_told_apart() -> None:
    looks = [
        seen(0, {"a": 1}, ("c",)),
        seen(0, {"a": 1, "c": 0}),
        seen(0, {"a": 0, "c": 1}),
        seen(0, {}, ("a", "c")),
        seen(0, {"a": 11}),
        seen(0, {"ac": 1}),
        seen(0, {"a": 1}).along(seen(0, {"c": 0})),
        seen(0, {"c": 0}).along(seen(0, {"a": 1})),
    ]
    assert len({one.digest for one in looks}) == len(looks)


def test_the_digest_is_the_same_in_every_process(kb: Path) -> None:
    code = f"from lugplane.facts.fingerprint import look; print(look([{str(kb)!r}]).digest)"
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "PYTHONHASHSEED": "7", "PYTHONPATH": ENGINE},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == look([kb]).digest


def test_a_name_that_is_no_text(kb: Path) -> None:
    path = os.fsencode(kb / "discs") + b"/\xff.yaml"
    Path(os.fsdecode(path)).write_text("")
    one = look([kb])
    assert os.fsdecode(path) in one.fresh
    assert Witness.read(Witness.of(one).text()).holds(one)
