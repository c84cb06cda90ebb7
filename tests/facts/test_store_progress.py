"""One line on a terminal after a second, and nothing anywhere else."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from lugplane.facts import progress
from lugplane.facts.base import load
from lugplane.facts.progress import Progress
from lugplane.quantity.limits import Assumed


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True

    def screen(self) -> str:
        """The line as it is seen; a second one is an error."""
        line = ""
        at = 0
        for char in self.getvalue():
            assert char != "\n"
            if char == "\r":
                at = 0
            else:
                line = line[:at] + char + line[at + 1 :]
                at += 1
        return line.rstrip()


def steps(stream: io.StringIO | None, times: list[float], total: int = 9) -> Progress:
    """So many steps, each at its time, s."""
    now = 0.0
    done = Progress("checking", total, stream, lambda: now)
    for now in times:  # noqa: B007  (the clock shows it)
        done.step()
    return done


def test_nothing_within_the_first_second() -> None:
    terminal = Terminal()
    with steps(terminal, [0.2, 0.4, 0.9]):
        pass
    assert terminal.getvalue() == ""


def test_one_line_that_goes_again() -> None:
    terminal = Terminal()
    with steps(terminal, [0.5, 1.5]):
        assert "checking: " in terminal.screen()
        assert " of 9" in terminal.screen()
    assert terminal.screen() == ""


def test_no_more_than_the_total_is_done() -> None:
    terminal = Terminal()
    steps(terminal, [2.0, 4.0, 6.0], total=1)
    assert terminal.screen() == "checking: 1 of 1"


def test_nothing_in_a_pipe() -> None:
    pipe = io.StringIO()
    with steps(pipe, [2.0, 4.0, 6.0]):
        pass
    assert pipe.getvalue() == ""


def test_no_standard_error(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stderr", None)
    with steps(None, [2.0, 4.0]):
        pass
    closed = Terminal()
    closed.close()
    with steps(closed, [2.0, 4.0]):
        pass


def test_while_facts_are_checked(
    kb: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assumed = {"invented": Assumed(0.5, 5.0), "report": Assumed(0.5, 5.0)}
    monkeypatch.setattr(progress, "PATIENCE_S", -1.0)
    monkeypatch.setattr(progress, "STEP_S", 0.0)
    load([kb], assumed)
    assert capsys.readouterr().err == ""
    terminal = Terminal()
    monkeypatch.setattr("sys.stderr", terminal)
    (kb / "sources" / "sheet.yaml").touch()
    load([kb], {**assumed, "drawing": Assumed(0.5, 5.0)})
    assert "lugplane: checking the facts: 4 of 4" in terminal.getvalue()
    assert terminal.screen() == ""
    said = terminal.getvalue()
    load([kb], {**assumed, "drawing": Assumed(0.5, 5.0)})
    assert terminal.getvalue() == said  # warm: nothing to wait for
