"""The cache folder: where it is, and what is kept there and what is not."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from lugplane.facts.cache import KEPT, cache_file, cache_folder, open_pack, write_pack
from lugplane.facts.fingerprint import digest


@pytest.mark.parametrize("said", ["off", "OFF"])
def test_off(said: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LUGPLANE_CACHE", said)
    assert cache_folder() is None
    assert cache_file("facts", [Path("kb")]) is None


@pytest.mark.parametrize(
    ("platform", "named", "expected"),
    [
        ("linux", "", "/home/joan/.cache/lugplane"),
        ("linux", "/var/joan", "/var/joan/lugplane"),
        ("linux", "var/joan", "/home/joan/.cache/lugplane"),
        ("darwin", "", "/home/joan/Library/Caches/lugplane"),
        ("win32", "", "/home/joan/AppData/Local/lugplane/cache"),
    ],
)
def test_where_it_is(
    platform: str, named: str, expected: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "platform", platform)
    monkeypatch.delenv("LUGPLANE_CACHE")
    monkeypatch.delenv("LOCALAPPDATA", raising=False)
    monkeypatch.setenv("HOME", "/home/joan")
    monkeypatch.setenv("XDG_CACHE_HOME", named)
    assert cache_folder() == Path(expected)
    monkeypatch.setenv("LUGPLANE_CACHE", "/elsewhere")
    assert cache_folder() == Path("/elsewhere")


def test_nobodys_home(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("LUGPLANE_CACHE")
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    monkeypatch.setattr(os.path, "expanduser", lambda path: path)
    assert cache_folder() is None


def test_each_list_of_folders_has_a_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    a, b = Path("a"), Path("b")
    lists = [[a], [b], [a, b], [b, a], [a, a]]
    assert len({cache_file("facts", folders) for folders in lists}) == 5
    assert cache_file("facts", [a]) == cache_file("facts", [tmp_path / "b" / ".." / "a"])
    assert cache_file("facts", [a]) != cache_file("rules", [a])


def test_texts_come_back_as_they_were(cache: Path) -> None:
    file = cache / "deeper" / "facts-0.sqlite"
    texts = [b"", b"\0\xff", b"x" * 100_000]
    assert write_pack(file, {"a": b"1", "b": b""}, texts)
    pack = open_pack(file)
    assert pack is not None
    assert (pack.named("a"), pack.named("b"), pack.named("c")) == (b"1", b"", None)
    assert [pack.numbered(n, digest(text)) for n, text in enumerate(texts)] == texts
    assert pack.numbered(0, digest(b"1")) is None
    assert pack.numbered(3, digest(b"")) is None
    assert file.stat().st_mode & 0o777 == 0o600


def test_a_renewed_file_is_another_one(cache: Path) -> None:
    file = cache / "facts-0.sqlite"
    write_pack(file, {"a": b"1", "b": b"2"}, [b"text"])
    old = open_pack(file)
    assert old is not None
    assert old.renew({"a": b"3"})
    new = open_pack(file)
    assert new is not None
    assert [old.named("a"), new.named("a"), new.named("b")] == [b"1", b"3", b"2"]
    assert new.numbered(0, digest(b"text")) == b"text"


def test_a_replaced_file_is_read_on(cache: Path) -> None:
    file = cache / "facts-0.sqlite"
    write_pack(file, {}, [b"old" * 5000, b"older" * 5000])
    pack = open_pack(file)
    assert pack is not None
    assert pack.numbered(0, digest(b"old" * 5000)) is not None
    write_pack(file, {}, [b"new"] * 2)
    assert pack.numbered(1, digest(b"older" * 5000)) == b"older" * 5000


def test_no_file(cache: Path) -> None:
    assert open_pack(cache / "facts-0.sqlite") is None
    assert not cache.exists()


def test_old_files_make_room(cache: Path) -> None:
    cache.mkdir()
    ours = [cache / f"facts-{n:032x}.sqlite" for n in range(KEPT + 5)]
    for n, path in enumerate(ours):
        path.write_text("x")
        os.utime(path, (n, n))
    strange = [cache / "facts-notes.txt", cache / "facts-00.sqlite", cache / "other.tmp"]
    for path in strange:
        path.write_text("x")
        os.utime(path, (0, 0))
    left_behind = cache / f"{ours[0].name}.abc.tmp"
    at_work = cache / f"{ours[1].name}.abc.tmp"
    for path in (left_behind, at_work):
        path.write_text("x")
    os.utime(left_behind, (0, 0))
    file = cache / f"rules-{0:032x}.sqlite"
    assert write_pack(file, {}, [])
    assert write_pack(file, {}, [])
    assert set(cache.iterdir()) == {file, at_work, *strange, *ours[-KEPT + 1 :]}
