"""The user's list of stops: what is read, and where what is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from lugplane.answers.stops import MOST_STOPS, read_stops
from lugplane.errors import BadFacts, BadInput
from lugplane.measure.fade import OwnStop


def written(folder: Path, text: str) -> Path:
    file = folder / "stops.yaml"
    file.write_text(text, encoding="utf-8")
    return file


def test_a_list_is_written_out(tmp_path: Path) -> None:
    text = """title: down the pass
stops:
  - {from_kmh: 100, to_kmh: 40, rest_s: 20, deceleration_ms2: 3, times: 2}
  - {from_kmh: 60.5, rest_s: 0}
"""
    found = read_stops(written(tmp_path, text))
    hard = OwnStop(100.0, 40.0, 20.0, 3.0)
    assert found.title == "down the pass"
    assert found.stops == (hard, hard, OwnStop(60.5, 0.0, 0.0))


def test_a_title_is_not_needed(tmp_path: Path) -> None:
    assert read_stops(written(tmp_path, "stops: [{from_kmh: 9, rest_s: 1}]")).title == ""


@pytest.mark.parametrize(
    ("marked", "code"),
    [
        ("stops:\n- {from_kmh: 100, to_kmh: @100, rest_s: 1}", "not-a-value"),
        ("stops:\n- {from_kmh: 100, @rest: 1}", "unknown-key"),
        ("stops:\n- @{from_kmh: 100}", "missing-key"),
        ("stops:\n- {from_kmh: @fast, rest_s: 1}", "wrong-type"),
        ("stops:\n- {from_kmh: @-5, rest_s: 1}", "out-of-range"),
        ("stops:\n- {from_kmh: 50, rest_s: 1, deceleration_ms2: @0}", "out-of-range"),
        ("stops:\n- {from_kmh: 50, rest_s: @.inf}", "not-finite"),
        ("stops:\n- {from_kmh: 50, rest_s: 1, times: @1.5}", "wrong-type"),
        ("stops: @[]", "wrong-count"),
        ("@title: x", "missing-key"),
        ("stops: @&a [{from_kmh: 50, rest_s: 1}]", "anchor"),
        ("stops: @[{from_kmh: 50, rest_s: 1}", "syntax"),
        ("@", "empty"),
        ("@- 1", "wrong-type"),
    ],
)
def test_what_is_wrong_is_said_where_it_stands(tmp_path: Path, marked: str, code: str) -> None:
    """The sign @ marks the place and is no part of the file."""
    before = marked[: marked.index("@")]
    place = before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1
    file = written(tmp_path, marked.replace("@", ""))
    with pytest.raises(BadFacts) as caught:
        read_stops(file)
    found = [(p.file, p.line, p.column, p.code) for p in caught.value.problems]
    assert (str(file), *place, code) in found
    assert all(p.mend for p in caught.value.problems)


def test_every_problem_is_told_at_once(tmp_path: Path) -> None:
    text = "stops:\n- {from_kmh: 0, rest_s: 1}\n- {from_kmh: 10, rest_s: -1}\n"
    with pytest.raises(BadFacts) as caught:
        read_stops(written(tmp_path, text))
    assert [p.line for p in caught.value.problems] == [2, 3]


def test_repetitions_count(tmp_path: Path) -> None:
    full = MOST_STOPS // 200
    entry = "- {from_kmh: 50, rest_s: 1, times: 200}\n"
    assert len(read_stops(written(tmp_path, "stops:\n" + entry * full)).stops) == MOST_STOPS
    with pytest.raises(BadFacts, match=f"{MOST_STOPS + 200} stops"):
        read_stops(written(tmp_path, "stops:\n" + entry * (full + 1)))


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="cannot be read"):
        read_stops(tmp_path / "none.yaml")
    with pytest.raises(BadInput, match="cannot be read"):
        read_stops(tmp_path)
