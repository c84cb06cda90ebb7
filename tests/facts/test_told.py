"""Answers as data are told again while all that they rest on is the same, and never otherwise."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest

from lugplane.facts import cache_folder, fingerprint, program
from lugplane.facts.again import said_again, said_before, said_on_ground
from lugplane.facts.ground import Ground
from lugplane.facts.texts import open_texts, write_texts
from lugplane.facts.told import tell, told

ONE, OTHER = ("fits", "tammick-van", "front"), ("fits", "tammick-van", "rear")


def now(*folders: Path) -> Ground:
    ground = Ground.of(folders)
    assert ground is not None
    return ground


def work(kb: Path, *questions: tuple[str, ...], during: Callable[[], object] = lambda: 0) -> bool:
    """Every byte of the facts is the answer to each question, with the question."""
    ground = now(kb)
    with ground.working():
        answers = {question: answer(kb, question) for question in questions}
        during()
    return tell(ground, answers)


def answer(kb: Path, question: Sequence[str]) -> str:
    return f"{question} {[p.read_text() for p in sorted(kb.rglob('*.yaml'))]} \udcff"


def edit(kb: Path) -> None:
    path = kb / "discs" / "plain.yaml"
    path.write_text(path.read_text().replace("300", "301"))


def test_many_are_told_in_one_step(kb: Path, cache: Path) -> None:
    assert told(now(kb), ONE) is None
    assert work(kb, ONE, OTHER)
    assert len(list(cache.iterdir())) == 1
    for question in (ONE, OTHER):
        assert told(now(kb), question) == answer(kb, question)
    assert told(now(kb), ("fits", "tammick-van")) is None
    assert told(now(kb, kb), ONE) is None


def test_answers_that_hold_stay(kb: Path) -> None:
    assert work(kb, ONE)
    assert work(kb, OTHER)
    assert told(now(kb), ONE) == answer(kb, ONE)
    edit(kb)
    assert told(now(kb), ONE) is None
    assert work(kb, OTHER)
    assert told(now(kb), ONE) is None
    assert told(now(kb), OTHER) == answer(kb, OTHER)


def test_a_fact_edited_meanwhile(kb: Path, cache: Path) -> None:
    assert not work(kb, ONE, during=lambda: edit(kb))
    assert not cache.exists()
    assert work(kb, ONE)
    assert told(now(kb), ONE) == answer(kb, ONE)


def test_what_was_worked_out_without_a_second_look_is_not_kept(kb: Path, cache: Path) -> None:
    assert not tell(now(kb), {ONE: "x"})
    assert work(kb, ONE)
    ground = now(kb)
    told(ground, ONE)  # a proof of what is made from this answer
    told(ground, OTHER)  # and of this there is none
    assert not tell(ground, {OTHER: "x"})
    with pytest.raises(KeyError), ground.working():
        raise KeyError
    assert not tell(ground, {OTHER: "x"})
    with ground.working():
        told(ground, ONE)
        edit(kb)
    assert not tell(ground, {OTHER: "x"})
    assert told(now(kb), OTHER) is None


def test_contents_that_came_and_went_are_not_put_beside_others(kb: Path) -> None:
    """Within one tick of the clock a file may be another one and then the same again."""
    assert work(kb, ONE)
    ground = now(kb)
    with ground.working():
        pass
    assert ground.proof is not None
    path = str(kb / "discs" / "plain.yaml")
    contents = {**ground.proof.fresh, path: "another"}
    ground.proof = fingerprint.Witness(ground.proof.at, ground.proof.seen, contents)
    assert tell(ground, {OTHER: "of the other content"})
    assert told(now(kb), OTHER) is None
    assert told(now(kb), ONE) is None


def test_what_another_finished_meanwhile_stays(kb: Path) -> None:
    """It began later and was done earlier, so its witness is later than the longer one's look."""

    def shorter() -> None:
        assert work(kb, OTHER)

    assert work(kb, ONE, during=shorter)
    assert told(now(kb), OTHER) == answer(kb, OTHER)
    assert told(now(kb), ONE) == answer(kb, ONE)
    edit(kb)
    assert told(now(kb), OTHER) is None
    assert told(now(kb), ONE) is None


def test_what_another_finished_before_an_edit_goes(kb: Path) -> None:
    """Facts that changed and came back bring no text back that was of neither."""
    before = (kb / "discs" / "plain.yaml").read_text()
    long = now(kb)
    with long.working():
        edit(kb)
        assert work(kb, OTHER)  # of the edited facts
        (kb / "discs" / "plain.yaml").write_text(before)
    assert not tell(long, {ONE: "of facts that came and went"})
    assert told(now(kb), ONE) is None
    assert told(now(kb), OTHER) is None
    assert work(kb, ONE)
    assert told(now(kb), OTHER) is None


def test_texts_together_are_believed_only_where_each_would_be_alone(
    kb: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What stamps prove to the later one, contents still have to prove to the earlier one."""
    clock, seen = fingerprint.time.time_ns, fingerprint.content_digest
    long = now(kb)
    with long.working():
        monkeypatch.setattr(fingerprint.time, "time_ns", lambda: clock() + 3600 * 10**9)
        assert work(kb, OTHER)
    assert tell(long, {ONE: answer(kb, ONE)})
    monkeypatch.setattr(fingerprint, "content_digest", lambda _: "another")
    assert told(now(kb), ONE) is None
    monkeypatch.setattr(fingerprint, "content_digest", seen)
    monkeypatch.setattr(fingerprint.time, "time_ns", clock)
    assert told(now(kb), OTHER) is None  # the clock was set back
    monkeypatch.setattr(fingerprint.time, "time_ns", lambda: clock() + 7200 * 10**9)
    assert told(now(kb), ONE) == answer(kb, ONE)
    assert told(now(kb), OTHER) == answer(kb, OTHER)


def test_another_spelling_of_the_same_folder(kb: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (kb.parent / "link").symlink_to(kb)
    monkeypatch.chdir(kb.parent)
    assert work(kb, ONE)
    for spelled in (Path("kb"), kb.parent / "link", Path("kb/../link")):
        assert told(now(spelled), ONE) == answer(kb, ONE)
    assert work(Path("link"), OTHER)
    assert told(now(kb), ONE) == answer(kb, ONE)
    assert told(now(kb), OTHER) == answer(kb, OTHER)
    edit(kb)
    assert told(now(Path("link")), ONE) is None


def test_a_text_that_may_name_the_folder_is_of_one_spelling(
    kb: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(kb.parent)
    for spelled in (kb, Path("kb")):
        assert said_again([spelled], ["where"], spelled.__str__) == str(spelled)
    for spelled in (kb, Path("kb")):
        assert said_before([spelled], ["where"]) == str(spelled)


def test_a_link_to_another_folder_is_another_ground(kb: Path, tmp_path: Path) -> None:
    link = tmp_path / "link"
    link.symlink_to(kb)
    assert work(link, ONE)
    (tmp_path / "other").mkdir()
    link.unlink()
    link.symlink_to(tmp_path / "other")
    assert told(now(link), ONE) is None


@pytest.mark.parametrize("place", ["discs/zzz.yaml", "zzz"])
def test_a_pipe_among_the_facts_keeps_nobody_waiting(
    kb: Path, place: str, answer: Callable[..., Any], forked: Callable[..., Callable[[], Any]]
) -> None:
    os.mkfifo(kb / place)

    def ask() -> tuple[bool, str]:
        signal.alarm(20)  # whoever waits is ended
        ground = now(kb)
        with ground.working():
            said = str(answer(kb))
        return tell(ground, {ONE: said}), said

    kept, said = forked(ask)()
    assert not kept
    assert "neither a file nor a folder" in said


def test_a_pipe_in_the_cache_keeps_nobody_waiting(
    kb: Path, cache: Path, forked: Callable[..., Callable[[], Any]]
) -> None:
    assert work(kb, ONE)
    (file,) = cache.iterdir()
    file.unlink()
    os.mkfifo(file)

    def ask() -> bool:
        signal.alarm(20)
        return told(now(kb), ONE) is None and work(kb, ONE)

    assert forked(ask)() is True
    assert told(now(kb), ONE)


@pytest.mark.parametrize("named", [".", "inner", "./inner/"])
def test_a_cache_named_from_the_current_folder(
    kb: Path, named: str, answer: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    here = kb.parent / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    monkeypatch.setenv("LUGPLANE_CACHE", named)
    assert work(kb, ONE)
    answer(kb)
    found = {path.name.partition("-")[0] for path in (here / named).iterdir()}
    assert {"facts", "told"} <= found
    assert told(now(kb), ONE)


@pytest.mark.parametrize("what", ["facts", "rules", "schemas", "program"])
def test_everything_that_it_rests_on(
    kb: Path, tmp_path: Path, what: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("rules/limits.yaml", "schemas/disc.json", "code/inner/code.py"):
        (tmp_path / name).parent.mkdir(parents=True)
        (tmp_path / name).write_text("1")
    monkeypatch.setattr("lugplane.facts.ground.data_home", lambda: str(tmp_path))
    monkeypatch.setattr(program, "_HOME", str(tmp_path / "code"))
    assert work(kb, ONE)
    assert told(now(kb), ONE)
    file = {
        "facts": kb / "discs" / "plain.yaml",
        "rules": tmp_path / "rules" / "limits.yaml",
        "schemas": tmp_path / "schemas" / "disc.json",
        "program": tmp_path / "code" / "inner" / "code.py",
    }[what]
    file.write_text("2")
    program.program_seen.cache_clear()  # the next process
    assert told(now(kb), ONE) is None
    program.program_seen.cache_clear()


def test_contents_are_compared_until_stamps_prove_something(
    kb: Path, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert work(kb, ONE)
    (file,) = cache.iterdir()
    young = file.read_bytes()
    assert told(now(kb), ONE)
    assert file.read_bytes() == young
    clock = fingerprint.time.time_ns
    monkeypatch.setattr(fingerprint.time, "time_ns", lambda: clock() + 3600 * 10**9)
    assert told(now(kb), ONE)
    assert len(file.read_bytes()) < len(young)  # it names no fresh files any more
    assert told(now(kb), ONE)
    monkeypatch.setattr(fingerprint.time, "time_ns", lambda: clock() - 3600 * 10**9)
    assert told(now(kb), ONE) is None  # the clock was set back


def test_a_text_made_of_what_was_told_needs_no_second_look(
    kb: Path, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    work(kb, ONE)

    def render(ground: Ground | None) -> str:
        assert ground is not None
        monkeypatch.setattr("lugplane.facts.ground.look", refused)
        return f"rendered {told(ground, ONE)}"

    def refused(*_: Any) -> Any:
        raise AssertionError("looked once more")

    text = said_on_ground([kb], ["fits", "--width"], render)
    monkeypatch.undo()
    monkeypatch.setenv("LUGPLANE_CACHE", str(cache))
    assert said_before([kb], ["fits", "--width"]) == text == f"rendered {answer(kb, ONE)}"
    edit(kb)
    assert said_before([kb], ["fits", "--width"]) is None


def test_nothing_is_looked_at_where_nothing_is_kept(
    kb: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("LUGPLANE_CACHE", "off")
    assert Ground.of([kb]) is None


def test_several_at_once(kb: Path, cache: Path, forked: Callable[..., Callable[[], Any]]) -> None:
    """One may put its file in the place of another's: an answer is lost, and none is wrong."""

    def ask(n: int) -> Callable[[], list[bool]]:
        return lambda: [work(kb, ("fits", str(n), str(k))) for k in range(4)]

    started = [forked(ask(n)) for n in range(4)]
    assert [wait() for wait in started] == [[True] * 4] * 4
    questions = [("fits", str(n), str(k)) for n in range(4) for k in range(4)]
    found = {q: told(now(kb), q) for q in questions}
    assert any(found.values())
    assert all(text in (None, answer(kb, q)) for q, text in found.items())
    assert len(list(cache.iterdir())) == 1


def test_where_nothing_can_be_written(kb: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(_: str) -> None:
        raise PermissionError(13, "no")

    monkeypatch.setattr(cache_folder, "new_file", refused)
    assert not work(kb, ONE)
    assert told(now(kb), ONE) is None


# The file they are in.

TEXTS = {"head": b"x", "a": b"", "b": b"\0\n" * 700, "c": b"last"}


def test_texts_come_back_as_they_were(tmp_path: Path) -> None:
    file = str(tmp_path / "deeper" / "still" / "some.texts")
    assert open_texts(file) is None
    assert write_texts(file, TEXTS)
    texts = open_texts(file)
    assert texts is not None
    assert texts.all() == TEXTS
    assert len(texts) == 4
    assert texts.named("d") is None
    assert Path(file).stat().st_mode & 0o777 == 0o600
    write_texts(file, {"a": b"new"})
    assert texts.named("c") == b"last"  # it stays what it was
    texts.close()
    assert texts.named("c") is None


def test_no_damage_gives_another_text(tmp_path: Path) -> None:
    file = tmp_path / "some.texts"
    write_texts(str(file), TEXTS)
    whole = file.read_bytes()
    table = whole.index(b"\n" + b"x" + b"\0") + 1
    places = [*range(table), *range(table, len(whole), 97)]
    missed = 0
    for n in places:
        for damaged in (whole[:n] + bytes([whole[n] ^ 0x11]) + whole[n + 1 :], whole[:n]):
            file.write_bytes(damaged)
            texts = open_texts(str(file))
            found = {} if texts is None else texts.all()
            assert found.items() <= TEXTS.items()
            missed += found != TEXTS
    assert missed == 2 * len(places)


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"lugplane texts 1",
        b"lugplane texts 1 x 99999999999999999999999999\n",
        b"lugplane texts 1 x -1\n",
        b"SQLite format 3\0" + b"\0" * 4096,
    ],
)
def test_something_else_in_its_place(tmp_path: Path, content: bytes) -> None:
    file = tmp_path / "some.texts"
    file.write_bytes(content)
    assert open_texts(str(file)) is None


def test_a_folder_or_another_users_file_is_not_believed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert open_texts(str(tmp_path)) is None
    file = str(tmp_path / "some.texts")
    write_texts(file, TEXTS)
    owner = os.geteuid()
    os.chown(file, 12345, -1) if owner == 0 else monkeypatch.setattr(
        os, "geteuid", lambda: owner + 1
    )
    assert open_texts(file) is None
