"""Compiled facts are what the files say: the same as without them, whatever was done to either."""

from __future__ import annotations

import os
import random
import sqlite3
from collections.abc import Callable
from pathlib import Path
from shutil import copytree, rmtree
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lugplane.errors import BadFacts, LugplaneError
from lugplane.facts import cache_folder, compiling, fingerprint, kept, program, scan, store
from lugplane.facts.base import Base, load
from lugplane.facts.decode import fact_paths
from lugplane.facts.fingerprint import Seen
from lugplane.facts.records import RECORDS, Disc
from lugplane.facts.store import stored_parts
from lugplane.quantity.limits import Assumed

ROOT = Path(__file__).parents[2]
BASES = ("measured", "drawing", "catalogue", "standard", "report", "inferred", "invented")
ASSUMED = {basis: Assumed(mm=0.5, percent=5.0) for basis in BASES}

Ask = Callable[..., Any]


def facts_of(base: Base) -> dict[str, str]:
    """All records of a base, with every value and place, as text."""
    return {record.id: repr(record) for cls in RECORDS.values() for record in base.all(cls)}


def diameter(kb: Path, id_: str = "plain") -> float:
    return load([kb], ASSUMED).get(Disc, id_).diameter_mm.reading.nominal


def rewrite(path: Path, old: str, new: str) -> None:
    """Change a file in place, as an editor may."""
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))


def the_store(cache: Path) -> Path:
    (file,) = cache.glob("facts-*.sqlite")
    return file


# The same with as without.


def test_every_record_and_every_place_of_the_shipped_facts(cache: Path) -> None:
    folders = [ROOT / "kb"]
    cold = stored_parts(folders, ASSUMED)
    warm = stored_parts(folders, ASSUMED)
    assert type(warm) is kept.StoredParts
    assert type(cold) is not kept.StoredParts
    assert sorted(warm.kinds) == sorted(cold.kinds)
    ids = [id_ for kind in cold.kinds for id_ in cold.ids(kind)]
    assert ids == [id_ for kind in cold.kinds for id_ in warm.ids(kind)]
    assert len(ids) > 50
    places = 0
    for id_ in ids:
        a, b = cold.single(id_), warm.single(id_)
        assert repr(a.data) == repr(b.data)  # order and types too
        assert (a.id, a.kind, a.member, a.family) == (b.id, b.kind, b.member, b.family)
        assert cold.kind_of(id_) == warm.kind_of(id_) == a.kind
        assert list(cold.members(a.family)) == list(warm.members(a.family))
        assert (id_ in warm.members(a.family)) is bool(a.family)
        assert (a.raw.file, a.raw.shown, a.raw.id) == (b.raw.file, b.raw.shown, b.raw.id)
        assert a.raw.positions.values == dict(b.raw.positions.values)
        paths = [tuple(path.split(".")[1:]) for path in fact_paths(a.kind)]
        for path in [*a.raw.positions.values, *paths, *((*p, 1) for p in paths)]:
            assert a.place(path) == b.place(path)
            places += 1
    assert places > 5000
    told = [facts_of(Base(parts, ASSUMED)) for parts in (cold, warm)]
    assert told[0] == told[1]


def test_a_warm_start_reads_no_file(kb: Path, answer: Ask, parsed: list[str]) -> None:
    first = answer(kb)
    assert sorted(parsed) == ["older.yaml", "plain.yaml", "sheet.yaml", "sized.yaml"]
    parsed.clear()
    assert answer(kb) == first
    assert parsed == []


def test_off_keeps_nothing(kb: Path, cache: Path, truth: Ask, parsed: list[str]) -> None:
    truth(kb)
    truth(kb)
    assert len(parsed) == 8
    assert not cache.exists()


def test_places_are_told_from_the_folder_that_asks(
    kb: Path, answer: Ask, parsed: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    answer(kb)
    parsed.clear()
    monkeypatch.chdir(kb.parent)
    near = load([Path("kb")], ASSUMED).get(Disc, "plain")
    assert near.diameter_mm.at == "kb/discs/plain.yaml:7:14"
    monkeypatch.chdir("/")
    far = load([kb], ASSUMED).get(Disc, "plain")
    assert far.diameter_mm.at.endswith("/kb/discs/plain.yaml:7:14")
    assert parsed == []


def test_an_added_folder_replaces_records(kb: Path, tmp_path: Path, answer: Ask) -> None:
    own = tmp_path / "own" / "discs" / "plain.yaml"
    own.parent.mkdir(parents=True)
    own.write_text("kind: disc\nid: plain\ntitle: Ours\ndiameter_mm: 333 ±1\n")
    folders = (kb, tmp_path / "own")
    first = answer(*folders)
    assert answer(*folders) == first
    assert "333" in first[1]["plain"]
    assert "own/discs" in first[1]["plain"]
    assert "333" not in answer(kb)[1]["plain"]
    assert "333" not in answer(*reversed(folders))[1]["plain"]
    own.unlink()
    assert answer(*folders) == answer(kb)


def test_a_replaced_record_counts_again_with_all_its_problems(
    kb: Path, tmp_path: Path, answer: Ask, truth: Ask
) -> None:
    rewrite(kb / "discs" / "plain.yaml", "diameter_mm: 300", "diameter_mm: 300 (gone)")
    own = tmp_path / "own" / "discs" / "plain.yaml"
    own.parent.mkdir(parents=True)
    own.write_text("kind: disc\nid: plain\ntitle: Ours\n")
    folders = (kb, tmp_path / "own")
    assert "plain" in answer(*folders)[0]
    own.unlink()
    assert "unknown-reading" in answer(*folders)
    assert answer(*folders) == truth(*folders)


# Changes are noticed.


def same_size(kb: Path) -> None:
    rewrite(kb / "discs" / "plain.yaml", "diameter_mm: 300", "diameter_mm: 301")


def same_size_and_times(kb: Path) -> None:
    path = kb / "discs" / "plain.yaml"
    found = path.stat()
    same_size(kb)
    os.utime(path, ns=(found.st_atime_ns, found.st_mtime_ns))


def replaced(kb: Path) -> None:
    path = kb / "discs" / "plain.yaml"
    found = path.stat()
    other = kb.parent / "other"
    other.write_text(path.read_text().replace("300", "301"))
    os.utime(other, ns=(found.st_atime_ns, found.st_mtime_ns))
    other.replace(path)


def exchanged(kb: Path) -> None:
    a, b = kb / "discs" / "plain.yaml", kb / "discs" / "sized.yaml"
    a.rename(kb.parent / "a")
    b.rename(a)
    (kb.parent / "a").rename(b)


def added(kb: Path) -> None:
    text = (kb / "discs" / "plain.yaml").read_text()
    (kb / "discs" / "more.yaml").write_text(text.replace("id: plain", "id: more"))


def old_and_added(kb: Path) -> None:
    added(kb)
    os.utime(kb / "discs" / "more.yaml", (0, 0))


def deleted(kb: Path) -> None:
    (kb / "discs" / "sized.yaml").unlink()


def deleted_but_named(kb: Path) -> None:
    (kb / "sources" / "sheet.yaml").unlink()


def renamed(kb: Path) -> None:
    (kb / "discs" / "sized.yaml").rename(kb / "discs" / "sizes.yaml")


def renamed_folder(kb: Path) -> None:
    (kb / "discs").rename(kb / "wheels")


def stray(kb: Path) -> None:
    (kb / "discs" / "notes.txt").write_text("")


def stray_folder(kb: Path) -> None:
    (kb / "disks").mkdir()


def hidden_fact(kb: Path) -> None:
    (kb / "discs" / ".plain.yaml").write_text("")


def broken(kb: Path) -> None:
    rewrite(kb / "discs" / "plain.yaml", "title:", "tittle:")


def unreadable_value(kb: Path) -> None:
    rewrite(kb / "discs" / "plain.yaml", "51 ±0.2", "51 (nn)")


def pointed_elsewhere(kb: Path) -> None:
    (kb / "discs" / "more.yaml").symlink_to("plain.yaml")


def moved_out(kb: Path) -> None:
    (kb / "discs").rename(kb.parent / "away")
    (kb / "discs").symlink_to(kb.parent / "away")


def emptied(kb: Path) -> None:
    for path in sorted(kb.rglob("*"), reverse=True):
        path.unlink() if path.is_file() else path.rmdir()


CHANGES = [
    *(same_size, same_size_and_times, replaced, exchanged, added, old_and_added, deleted),
    *(deleted_but_named, renamed, renamed_folder, stray, stray_folder, hidden_fact, broken),
    *(unreadable_value, pointed_elsewhere, moved_out, emptied),
]


@pytest.mark.parametrize("change", CHANGES)
def test_a_change_is_noticed(kb: Path, answer: Ask, truth: Ask, change: Ask) -> None:
    before = answer(kb)
    assert answer(kb) == before
    change(kb)
    after = answer(kb)
    assert after != before
    assert answer(kb) == after == truth(kb)


EDITS = [c for c in CHANGES if c not in (exchanged, renamed_folder, moved_out, emptied)]


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(changes=st.lists(st.sampled_from([*EDITS, "undo"]), min_size=1, max_size=5))
def test_any_changes_one_after_another(
    changes: list[Any], kb: Path, tmp_path: Path, answer: Ask, truth: Ask
) -> None:
    good = tmp_path / "good"
    if not good.exists():
        copytree(kb, good)
    for change in ["undo", *changes]:
        try:
            if change == "undo":
                rmtree(kb)
                copytree(good, kb)  # with the times of the files, but not their inodes
            else:
                change(kb)
        except (OSError, AssertionError):
            continue  # done already, or what it is done to is gone
        assert answer(kb) == truth(kb)


def test_a_file_touched_but_the_same_is_not_parsed_again(
    kb: Path, answer: Ask, parsed: list[str]
) -> None:
    first = answer(kb)
    parsed.clear()
    for path in kb.rglob("*.yaml"):
        os.utime(path, (1, 1))
    assert answer(kb) == first
    assert parsed == []


@pytest.mark.parametrize("change", [same_size, broken, unreadable_value])
def test_only_what_changed_is_parsed_again(
    kb: Path, answer: Ask, parsed: list[str], change: Ask
) -> None:
    answer(kb)
    parsed.clear()
    change(kb)
    answer(kb)
    assert parsed == ["plain.yaml"]


def test_references_are_checked_again_without_parsing(
    kb: Path, answer: Ask, parsed: list[str]
) -> None:
    answer(kb)
    parsed.clear()
    deleted_but_named(kb)
    assert answer(kb).count("unknown-id") == 2
    assert parsed == []


def test_an_editors_own_files_are_passed_over(kb: Path, answer: Ask, parsed: list[str]) -> None:
    answer(kb)
    parsed.clear()
    (kb / ".git").mkdir()
    (kb / "discs" / ".plain.swp").write_text("x")
    assert isinstance(stored_parts([kb], ASSUMED), kept.StoredParts)


def test_broken_facts_are_never_sound(kb: Path, answer: Ask, parsed: list[str]) -> None:
    broken(kb)
    first = answer(kb)
    assert isinstance(first, str)
    assert len(parsed) == 4
    parsed.clear()
    assert answer(kb) == first
    assert parsed == ["plain.yaml"]  # the sound ones are known by now
    rewrite(kb / "discs" / "plain.yaml", "tittle:", "title:")
    assert answer(kb)[0] == ["older", "plain", "sheet", "sized/a", "sized/b"]


# Clocks.


class CoarseClock:
    """A file system that knows sizes and times of change in steps of 2 s, and the clock beside."""

    def __init__(self, now: float) -> None:
        self.now = now
        self.changed: dict[str, float] = {}

    def write(self, path: Path, old: str, new: str) -> None:
        rewrite(path, old, new)
        self.changed[str(path)] = self.now // 2 * 2

    def look(self, facts: Any, others: Any = (), words: Any = ()) -> Seen:
        names: list[str] = []
        stamps: list[int] = []
        fresh = set()
        for folder in facts:
            for path in map(str, sorted(folder.rglob("*.yaml"))):
                at = self.changed.get(path, 0.0)
                names.append(path)
                stamps += [0, Path(path).stat().st_size, int(at * 1e9), int(at * 1e9), 0]
                if at > self.now - 5:
                    fresh.add(path)
        return Seen(int(self.now * 1e9), [("", names, stamps)], (), frozenset(fresh))


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> CoarseClock:
    clock = CoarseClock(1000.0)
    monkeypatch.setattr(store, "look", clock.look)
    return clock


def test_a_change_within_one_tick_of_the_clock(kb: Path, clock: CoarseClock) -> None:
    path = kb / "discs" / "plain.yaml"
    clock.write(path, "diameter_mm: 300", "diameter_mm: 301")
    assert diameter(kb) == 301
    clock.now += 0.5
    clock.write(path, "diameter_mm: 301", "diameter_mm: 302")
    assert diameter(kb) == 302
    clock.now += 1000
    assert diameter(kb) == 302


def test_a_change_after_the_clock_was_set_back(kb: Path, clock: CoarseClock) -> None:
    path = kb / "discs" / "plain.yaml"
    clock.write(path, "diameter_mm: 300", "diameter_mm: 301")
    clock.now += 100
    assert diameter(kb) == 301
    clock.now -= 100
    clock.write(path, "diameter_mm: 301", "diameter_mm: 302")
    clock.now += 10
    assert diameter(kb) == 302


def test_files_of_the_future_are_compared_by_content(
    kb: Path, clock: CoarseClock, parsed: list[str]
) -> None:
    path = kb / "discs" / "plain.yaml"
    clock.now += 10_000
    clock.write(path, "diameter_mm: 300", "diameter_mm: 301")
    clock.now -= 9_000
    assert diameter(kb) == 301
    parsed.clear()
    assert diameter(kb) == 301
    assert parsed == []
    clock.now += 9_000
    clock.write(path, "diameter_mm: 301", "diameter_mm: 302")
    clock.now -= 8_000
    assert diameter(kb) == 302


def test_files_are_fresh_for_a_while_only(
    kb: Path, cache: Path, clock: CoarseClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    read: list[str] = []
    digest = fingerprint.content_digest

    def noted(path: str) -> str:
        if path.startswith(str(kb)):
            read.append(path)
        found: str = digest(path)
        return found

    monkeypatch.setattr(fingerprint, "content_digest", noted)
    clock.write(kb / "discs" / "plain.yaml", "300", "301")
    diameter(kb)
    read.clear()
    diameter(kb)
    assert [Path(path).name for path in read] == ["plain.yaml"]
    clock.now += 10
    diameter(kb)  # compared once more, and then known to be past
    read.clear()
    assert diameter(kb) == 301
    assert read == []


# What else facts depend on.


def test_another_table_of_assumed_doubts(kb: Path, parsed: list[str]) -> None:
    other = {basis: Assumed(mm=0.75, percent=5.0) for basis in BASES}
    assert load([kb], ASSUMED).get(Disc, "sized/a").diameter_mm.reading.hi == 280.5
    parsed.clear()
    assert load([kb], other).get(Disc, "sized/a").diameter_mm.reading.hi == 280.75
    assert len(parsed) == 4


def test_other_schemas(
    kb: Path, tmp_path: Path, answer: Ask, parsed: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path / "home"
    copytree(ROOT / "schemas", home / "schemas")
    monkeypatch.setattr(store, "data_folder", lambda: home)
    first = answer(kb)
    rewrite(home / "schemas" / "disc.json", '"unless_said"', '"unless_sayd"')
    assert "unknown-key" in answer(kb)
    rewrite(home / "schemas" / "disc.json", '"unless_sayd"', '"unless_said"')
    assert answer(kb) == first


def test_schemas_changed_while_files_are_read(
    kb: Path, tmp_path: Path, answer: Ask, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path / "home"
    copytree(ROOT / "schemas", home / "schemas")
    monkeypatch.setattr(store, "data_folder", lambda: home)
    content = scan.content

    def edited(source: scan.SourceFile) -> bytes:
        schema = home / "schemas" / "disc.json"
        if source.id == "sheet" and '"unless_said"' in schema.read_text():  # it is read last
            rewrite(schema, '"unless_said"', '"unless_sayd"')
        return content(source)

    with monkeypatch.context() as patch:
        patch.setattr(scan, "content", edited)
        answer(kb)
    assert "unknown-key" in answer(kb)


def test_another_program(
    kb: Path, tmp_path: Path, answer: Ask, parsed: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path / "engine"
    for room in ("facts", "quantity"):
        (home / room).mkdir(parents=True)
        (home / room / "code.py").write_text("1\n")
    monkeypatch.setattr(program, "_HOME", home)

    def restart() -> None:
        program.program_seen.cache_clear()
        parsed.clear()

    restart()
    try:
        first = answer(kb)
        restart()
        answer(kb)
        assert parsed == []
        (home / "quantity" / "code.py").write_text("2\n")
        broken(kb)
        answer(kb)  # by code that is no longer there: not to be used again
        rewrite(kb / "discs" / "plain.yaml", "tittle:", "title:")
        answer(kb)
        restart()
        assert answer(kb) == first
        assert len(parsed) == 4
        restart()
        assert answer(kb) == first
        assert parsed == []
    finally:
        restart()


# Damaged, foreign and missing stores.


@pytest.mark.parametrize("seed", range(8))
def test_flipped_bits_never_give_another_answer(
    kb: Path, cache: Path, answer: Ask, truth: Ask, seed: int
) -> None:
    right = answer(kb)
    assert right == truth(kb)
    file = the_store(cache)
    good = file.read_bytes()
    chance = random.Random(seed)
    for _ in range(20):
        bad = bytearray(good)
        for _ in range(chance.choice([1, 1, 1, 4, 64])):
            bad[chance.randrange(len(bad))] ^= 1 << chance.randrange(8)
        file.write_bytes(bad)
        assert answer(kb) == right


def test_any_byte_of_what_is_kept_counts(kb: Path, cache: Path, answer: Ask) -> None:
    """Damage exactly where the facts stand, so that only digests can tell."""
    right = answer(kb)
    file = the_store(cache)
    good = file.read_bytes()
    for told, lie in ((b'"diameter_mm":300', b'"diameter_mm":310'), (b"sized", b"seized"[:5])):
        assert told in good
        file.write_bytes(good.replace(told, lie))
        assert answer(kb) == right


@pytest.mark.parametrize("part", [0, 1, 50, 99, 100, 101])
def test_a_store_cut_short(kb: Path, cache: Path, answer: Ask, part: int) -> None:
    right = answer(kb)
    file = the_store(cache)
    good = file.read_bytes()
    file.write_bytes(good[: len(good) * part // 100] if part <= 100 else good + b"more")
    assert answer(kb) == right
    assert answer(kb) == right


def test_something_else_in_the_place_of_a_store(kb: Path, cache: Path, answer: Ask) -> None:
    right = answer(kb)
    file = the_store(cache)
    file.write_text("a text")
    assert answer(kb) == right
    file.unlink()
    other = sqlite3.connect(file)
    other.execute("CREATE TABLE numbered(n, body)")
    other.execute("CREATE TABLE named(name, digest, body)")
    other.execute("INSERT INTO named VALUES('head', 5, 'x')")
    other.commit()
    other.close()
    assert answer(kb) == right
    assert isinstance(stored_parts([kb], ASSUMED), kept.StoredParts)
    file.unlink()
    file.mkdir()
    assert answer(kb) == right
    file.rmdir()
    os.mkfifo(file)
    assert answer(kb) == right


def test_a_store_of_another_form(
    kb: Path, cache: Path, answer: Ask, parsed: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    right = answer(kb)
    monkeypatch.setattr(kept, "FORMAT", 999)
    parsed.clear()
    assert answer(kb) == right
    assert len(parsed) == 4


def overwritten(file: Path) -> None:
    """Damage a file in place, under whoever has it open."""
    with file.open("r+b") as stream:
        stream.write(b"\xff" * file.stat().st_size)


def test_a_store_damaged_while_in_use(kb: Path, cache: Path, answer: Ask) -> None:
    right = answer(kb)
    base = load([kb], ASSUMED)
    overwritten(the_store(cache))
    assert repr(base.get(Disc, "plain")) == right[1]["plain"]
    assert answer(kb) == right
    assert isinstance(stored_parts([kb], ASSUMED), kept.StoredParts)  # a whole one is there again


def spoilt(cache: Path) -> None:
    """Damage the text of one record."""
    connection = sqlite3.connect(the_store(cache), isolation_level=None)
    told = connection.execute(
        "UPDATE numbered SET body = CAST(replace(body, '300', '310') AS BLOB) "
        'WHERE CAST(body AS TEXT) LIKE \'["disc","plain",%\''
    )
    assert told.rowcount == 1
    connection.close()


def test_a_damaged_record_is_read_from_its_file(kb: Path, cache: Path, answer: Ask) -> None:
    right = answer(kb)
    spoilt(cache)
    base = load([kb], ASSUMED)
    assert repr(base.get(Disc, "plain")) == right[1]["plain"]
    assert not list(cache.glob("*.sqlite"))
    assert answer(kb) == right


def test_a_damaged_record_and_its_file_changed(kb: Path, cache: Path) -> None:
    load([kb], ASSUMED)
    spoilt(cache)
    base = load([kb], ASSUMED)
    same_size(kb)
    with pytest.raises(LugplaneError, match=r"plain\.yaml was changed while .*: start again"):
        base.get(Disc, "plain")
    assert diameter(kb) == 301


# One answer in one run.


def test_a_base_stays_what_it_was(kb: Path, answer: Ask) -> None:
    load([kb], ASSUMED)
    cold_or_warm = [load([kb], ASSUMED)]
    same_size(kb)
    cold_or_warm.append(load([kb], ASSUMED))
    rewrite(kb / "discs" / "plain.yaml", "diameter_mm: 301", "diameter_mm: 3")
    load([kb], ASSUMED)
    found = [base.get(Disc, "plain").diameter_mm.reading.nominal for base in cold_or_warm]
    assert found == [300, 301]


def test_a_file_changed_while_others_are_read(
    kb: Path, answer: Ask, truth: Ask, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two files changed between the readings of the two: never the one old and the other new."""
    done: list[str] = []
    content = scan.content

    def edited(source: scan.SourceFile) -> bytes:
        found = content(source)
        if source.id == "plain" and not done:  # it is read before the family
            done.append("yes")
            rewrite(kb / "discs" / "plain.yaml", "diameter_mm: 300", "diameter_mm: 301")
            rewrite(kb / "discs" / "sized.yaml", "diameter_mm: 280", "diameter_mm: 281")
        return found

    monkeypatch.setattr(scan, "content", edited)
    base = load([kb], ASSUMED)
    found = [base.get(Disc, id_).diameter_mm.reading.nominal for id_ in ("plain", "sized/a")]
    assert found == [301, 281]
    assert answer(kb) == truth(kb)


def test_files_that_never_stand_still_are_not_kept(
    kb: Path, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = scan.content
    path = kb / "discs" / "plain.yaml"

    def edited(source: scan.SourceFile) -> bytes:
        found = content(source)
        if source.id == "plain":
            path.write_text(path.read_text() + "#\n")
        return found

    monkeypatch.setattr(scan, "content", edited)
    assert diameter(kb) == 300
    assert path.read_text().count("#") == compiling.ROUNDS
    assert not cache.exists()


# A cache that cannot be written.


@pytest.mark.parametrize("where", ["/proc/lugplane", "/dev/null/lugplane", "\0", "x" * 300])
def test_a_folder_that_cannot_be(
    kb: Path, answer: Ask, truth: Ask, where: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    if where != "\0":
        monkeypatch.setenv("LUGPLANE_CACHE", where)
    else:
        monkeypatch.setattr(store, "cache_file", lambda *_: Path("/tmp/a\0b/c"))
    right = truth(kb)
    assert answer(kb) == right
    same_size(kb)
    assert answer(kb) == truth(kb) != right


def test_a_store_that_can_only_be_read(
    kb: Path, cache: Path, answer: Ask, truth: Ask, monkeypatch: pytest.MonkeyPatch
) -> None:
    answer(kb)
    before = the_store(cache).read_bytes()

    def refused(*_: object) -> None:
        raise PermissionError(13, "no")

    monkeypatch.setattr(cache_folder, "new_file", refused)
    assert isinstance(stored_parts([kb], ASSUMED), kept.StoredParts)
    for change in (same_size, added, deleted_but_named):
        change(kb)
        assert answer(kb) == truth(kb)
    assert the_store(cache).read_bytes() == before


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="all is allowed")
def test_a_folder_without_rights(kb: Path, cache: Path, answer: Ask, truth: Ask) -> None:
    cache.mkdir()
    cache.chmod(0o500)
    assert answer(kb) == truth(kb)
    assert list(cache.iterdir()) == []


@pytest.mark.parametrize("limit", [0, 1, 4096, 9000, 12_288])
def test_a_full_disk(
    kb: Path, cache: Path, truth: Ask, answer: Ask, forked: Ask, limit: int
) -> None:
    import resource

    def within() -> Any:
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
        return answer(kb)

    right = truth(kb)
    assert forked(within)() == right
    assert list(cache.iterdir()) == []
    assert answer(kb) == right


def test_a_full_disk_leaves_the_store_that_is_there(
    kb: Path, cache: Path, truth: Ask, answer: Ask, forked: Ask
) -> None:
    import resource

    answer(kb)
    before = the_store(cache).read_bytes()
    same_size(kb)

    def within() -> Any:
        resource.setrlimit(resource.RLIMIT_FSIZE, (9000, 9000))
        return answer(kb)

    assert forked(within)() == truth(kb)
    assert the_store(cache).read_bytes() == before
    assert [path.name for path in cache.iterdir()] == [the_store(cache).name]


def test_a_python_without_sqlite(
    kb: Path, cache: Path, answer: Ask, truth: Ask, monkeypatch: pytest.MonkeyPatch
) -> None:
    import sys

    monkeypatch.setitem(sys.modules, "sqlite3", None)
    assert answer(kb) == truth(kb)
    assert not cache.exists()


def test_another_users_store_is_not_believed(
    kb: Path, answer: Ask, parsed: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    answer(kb)
    owner = os.geteuid()
    parsed.clear()
    monkeypatch.setattr(os, "geteuid", lambda: owner + 1)
    answer(kb)
    assert (len(parsed) == 4) is (owner != 0)  # what the system's owner made is believed


def test_all_classes_can_be_asked_for(kb: Path) -> None:
    load([kb], ASSUMED)
    base = load([kb], ASSUMED)
    assert {kind: len(base.all(cls)) for kind, cls in RECORDS.items() if base.all(cls)} == {
        "disc": 3,
        "moved": 1,
        "source": 1,
    }
    assert base.members("sized") == ["sized/a", "sized/b"]
    assert base.find("older") == "plain"
    assert base.kind_of("sized/b") == "disc"
    assert base.kind_of("sized") is None


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("source: sheet", "source: shet", ("unknown-id", 5, 34)),
        ("51 ±0.2", "51 (nn)", ("unknown-reading", 8, 17)),
        ("plain disc", "plain: disc", ("syntax", 3, 15)),
    ],
)
def test_problems_are_told_each_time(
    kb: Path, old: str, new: str, expected: tuple[str, int, int]
) -> None:
    rewrite(kb / "discs" / "plain.yaml", old, new)
    for _ in range(3):
        with pytest.raises(BadFacts) as caught:
            load([kb], ASSUMED)
        (problem,) = caught.value.problems
        assert (problem.code, problem.line, problem.column) == expected
