"""The commands `trial check` and `trial new`: what they print, write and refuse, their codes."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

KB = Path(__file__).resolve().parents[2] / "kb"
SETUP = ("tammick-van", "tovan-q4/44", "sorrel-300", "tammick-16-cast")


def changed(folder: Path, path: str, line: str, new: str) -> str:
    """A folder with one shipped file, one line of it put otherwise (empty: left out)."""
    text = (KB / path).read_text("utf-8")
    text, count = re.subn(rf"(?m)^{line}:.*\n", f"{line}: {new}\n" if new else "", text)
    assert count == 1
    (folder / path).parent.mkdir(parents=True)
    (folder / path).write_text(text, "utf-8")
    return str(folder)


def test_all_shipped_trials_agree_within_eighty_columns(lugplane: Any) -> None:
    done = lugplane("trial", "check")
    assert (done.returncode, done.stderr) == (0, "")
    assert max(map(len, done.stdout.splitlines())) <= 80
    assert done.stdout.startswith("Trials against the facts: 6 agree\n")
    assert "hobbrin-q6-second: spacing 3.9 ±0.4 mm, 0.6 mm apart" in done.stdout
    assert "steel rule" in done.stdout
    few = lugplane("trial", "check", "kessarin-thin")
    assert few.returncode == 0
    assert "hobbrin" not in few.stdout


def test_a_wrong_fact_ends_with_one_and_names_suspects(lugplane: Any, tmp_path: Path) -> None:
    folder = changed(tmp_path, "knuckles/hobbrin-front.yaml", "ear_face_mm", "-99.5 ±0.1")
    done = lugplane("trial", "check", "--kb", folder)
    assert (done.returncode, done.stderr) == (1, "")
    assert max(map(len, done.stdout.splitlines())) <= 80
    assert "Suspects" in done.stdout
    assert "knuckle.ear_face_mm of hobbrin-front" in done.stdout
    assert "too much" in done.stdout
    data = json.loads(lugplane("trial", "check", "--kb", folder, "--json").stdout)
    assert data["state"] == "disagrees"
    assert "hobbrin-q6-first" in data["cases"][0]["disagree"]
    assert lugplane("trial", "check", "kessarin-thin", "--kb", folder).returncode == 0


def test_an_unknown_fact_ends_with_three_and_is_printed_to_paste(
    lugplane: Any, tmp_path: Path
) -> None:
    folder = changed(tmp_path, "knuckles/hobbrin-front.yaml", "ear_face_mm", "")
    done = lugplane("trial", "check", "hobbrin-q6-first", "--kb", folder)
    assert (done.returncode, done.stderr) == (3, "")
    assert max(map(len, done.stdout.splitlines())) <= 80
    assert "\nreadings:\n  hobbrin-q6-first:\n    basis: inferred\n" in done.stdout
    assert re.search(r"^ear_face_mm: -\d+\.\d+ ±0\.\d+ \(hobbrin-q6-first\)$", done.stdout, re.M)


def test_a_blank_sheet_fits_a_page(lugplane: Any) -> None:
    done = lugplane("trial", "new", *SETUP)
    assert (done.returncode, done.stderr) == (0, "")
    sheet, _, record = done.stdout.partition("\n# Fill in the blanks")
    lines = sheet.splitlines()
    assert max(map(len, done.stdout.splitlines())) <= 80
    assert len(lines) <= 60
    for said in ("spacing", "wheel_gap", "Full lock", "Date", "By", "Measured with", "tilt"):
        assert said in sheet
    assert sheet.count("outboard        ________") == 1
    assert "caliper: tovan-q4/44" in record
    without = lugplane("trial", "new", *SETUP[:-1])
    assert "wheel_gap" not in without.stdout
    radial = lugplane("trial", "new", "throssel-saloon")
    assert "   overhang  " in radial.stdout
    assert "spacing = " not in radial.stdout


def test_a_record_is_written_and_counts_once_it_is_filled(lugplane: Any, tmp_path: Path) -> None:
    folder = tmp_path / "trials"
    folder.mkdir()
    file = folder / "own-trial.yaml"
    done = lugplane("trial", "new", *SETUP, "--output", str(file))
    assert done.returncode == 0
    assert done.stdout.endswith(f"Record to fill in: {file}\n")
    assert "kind: trial" not in done.stdout
    blank = file.read_text("utf-8")
    unfilled = lugplane("trial", "check", "own-trial", "--kb", str(tmp_path))
    assert unfilled.returncode == 2
    assert "own-trial.yaml" in unfilled.stderr
    again = lugplane("trial", "new", *SETUP, "--output", str(file))
    assert (again.returncode, again.stdout) == (2, "")
    assert "is there already" in again.stderr
    assert file.read_text("utf-8") == blank
    # With the day alone the two other blanks are wanting, and both are named.
    file.write_text(re.sub("YYYY-MM-DD", "2026-06-01", blank), "utf-8")
    wanting = lugplane("facts", "check", str(tmp_path))
    assert wanting.returncode == 1
    places = [blank.splitlines().index(x) + 1 for x in blank.splitlines() if ":  #" in x]
    assert len(places) == 2
    for place in places:
        assert f"own-trial.yaml:{place}:" in wanting.stdout
    values = iter(["5.0 ±0.05", "2.85 ±0.05", "3.1 ±0.05", "2.95 ±0.05", "3.1 ±0.05", "5.1 ±0.1",
                   "0.05 ±0.05", "1.3 ±0.3", "5.2 ±0.5", "3 ±1", "7 ±1", "4.5 ±0.4"])  # fmt: skip
    filled = re.sub(r"____ ±____", lambda _: next(values), blank).replace(
        "YYYY-MM-DD", "2026-06-01"
    )
    filled = re.sub(r"(?m)^# (?=(?:  )?[a-z0-9_]+:)", "", filled)
    filled = filled.replace("one of fits, fits-with-work, does-not-fit, open", "fits-with-work")
    assert next(values, None) is None
    filled = re.sub(r"(?m)^    source:  #.*$", "    source: own-sheet", filled)
    filled = re.sub(r"(?m)^measured_with:  #.*$", "measured_with: depth gauge", filled)
    file.write_text(filled, "utf-8")
    (tmp_path / "sources").mkdir()
    (tmp_path / "sources" / "own-sheet.yaml").write_text(
        "kind: source\nid: own-sheet\ntitle: Own sheet\nsort: bench\n", "utf-8"
    )
    checked = lugplane("facts", "check", str(tmp_path))
    assert (checked.returncode, checked.stderr) == (0, ""), checked.stdout
    assert "own-trial" not in checked.stdout
    data = json.loads(
        lugplane("trial", "check", "own-trial", "--kb", str(tmp_path), "--json").stdout
    )
    (trial,) = data["trials"]
    assert trial["notes"] == "wheel nuts on, side of the car, what was in the way"
    assert len(trial["observed"]) == 7
    assert trial["gaps"]["spacing"]["nominal"] == pytest.approx(5.1)
    assert {o["measure"]: o["state"] for o in trial["observed"]}["spacing"] == "agrees"
    assert [r["trial"] for r in trial["rivals"]].count("tammick-q4-first") == 4


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("check", "hobbrin-q6-frist"), "close to it: hobbrin-q6-first"),
        (("check", "tovan-q6"), "is a caliper, not a trial"),
        (("check", "--kb", "nowhere"), "no folder of facts is there"),
        (("check", "--csv"), "No such option"),
        (("new",), "Missing argument"),
        (("new", "tamick-van"), "close to it: tammick-van"),
        (("new", "tammick-van", "front", "rear"), "front or rear"),
        (("new", "tammick-van", "sorrel-300", "sorrel-316"), "two discs are named"),
        (("new", "tammick-van", "--output", "Trial.yaml"), "the trial's id"),
        (("new", "tammick-van", "--output", "trial.txt"), "the trial's id"),
        (("new", "tammick-van", "--output", "no/such/trial.yaml"), "cannot be written"),
    ],
)
def test_bad_input_is_one_clear_message(lugplane: Any, words: tuple[str, ...], said: str) -> None:
    done = lugplane("trial", *words)
    assert done.returncode == 2, (done.stdout[:200], done.stderr)
    assert done.stdout == ""
    assert said in done.stderr
    assert "Traceback" not in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


def test_a_base_without_trials_tells_nothing(lugplane: Any, tmp_path: Path) -> None:
    (tmp_path / "discs").mkdir()
    done = lugplane("trial", "check", "--only-kb", str(tmp_path))
    assert done.returncode == 3
    assert done.stdout.startswith("There are no trials")
