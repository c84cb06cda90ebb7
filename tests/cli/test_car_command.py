"""`car` at the command line: exit codes, one clear message, plots that are never written over."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

ROOT = Path(__file__).resolve().parents[2]
CAR = ("car", "tammick-van")
FRONT = (*CAR, "--front", "tovan-q4/44,sorrel-300")
STOPS = "stops: [{from_kmh: 100, to_kmh: 40, rest_s: 20, times: 5}]\n"
PLOTS = {"adhesion.svg", "heat-type-one.svg", "share.svg"}


@pytest.fixture
def stops(tmp_path: Path) -> Path:
    file = tmp_path / "stops.yaml"
    file.write_text(STOPS, encoding="utf-8")
    return file


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("car",), "Missing argument"),
        (("car", "tamick-van"), "close to it: tammick-van"),
        ((*CAR, "--front", "tovan-q5"), "close to it: tovan-q"),
        ((*CAR, "--front", "sorrel-300,sorrel-316"), "two discs are named"),
        ((*CAR, "--front", "sorrel-300,,tovan-q4/44"), "a part's id is missing"),
        ((*CAR, "--rear", ""), "a part's id is missing"),
        ((*CAR, "--front", "tammick-front"), "is a knuckle"),
        ((*CAR, "sorrel-300"), "unexpected extra argument"),
        ((*CAR, "--set", "disc.height_mm=50"), "say whose fact it is"),
        ((*CAR, "--set", "front.disc.heigth_mm=50"), "close to it: disc.height_mm"),
        ((*CAR, "--set", "front.disc.height_mm=fifty"), "is not a value"),
        ((*CAR, "--json", "--markdown"), "one of them"),
        ((*CAR, "--replace"), "belongs to --plots"),
        ((*CAR, "--stops", "none.yaml"), "none.yaml: cannot be read"),
        ((*CAR, "--kb", "nowhere"), "nowhere: no folder of facts is there"),
    ],
)
def test_a_bad_question_is_one_clear_message(
    lugplane: Any, words: tuple[str, ...], said: str
) -> None:
    done = lugplane(*words)
    assert done.returncode == 2, (done.stdout[:200], done.stderr)
    assert done.stdout == ""
    assert said in done.stderr
    assert "Traceback" not in done.stderr
    assert "a defect of ours" not in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


def test_a_bad_list_of_stops_is_told_with_its_places(lugplane: Any, tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    file.write_text("stops:\n- {from_kmh: 50, to_kmh: 60, rest_s: 1}\n", encoding="utf-8")
    done = lugplane(*CAR, "--stops", str(file), "--plots", str(tmp_path / "plots"))
    assert done.returncode == 2
    assert f"{file}:2:26: not-a-value: braking from 50 to 60 km/h" in done.stderr
    assert not (tmp_path / "plots").exists()


def test_json_is_as_its_schema_says(lugplane: Any, stops: Path) -> None:
    schema = json.loads((ROOT / "schemas" / "answers" / "car.json").read_text("utf-8"))
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    for words in (
        (*CAR, "--json"),
        (*FRONT, "--rear", "tansy-280", "--stops", str(stops), "--json"),
        (*CAR, "--set", "platform.valve=unknown", "--set", "platform.gross_kg=unknown", "--json"),
    ):
        done = lugplane(*words)
        found = json.loads(done.stdout)
        assert [f"{list(e.path)}: {e.message}" for e in validator.iter_errors(found)] == []
        assert found["answer"] == "car"


@pytest.mark.parametrize(
    ("words", "verdict", "code"),
    [
        ((*CAR, "--front", "sorrel-316"), "does not fit", 1),
        ((*CAR, "--set", "platform.gross_kg=unknown"), "cannot tell", 3),
    ],
)
def test_the_exit_code_follows_the_worst_verdict(
    lugplane: Any, words: tuple[str, ...], verdict: str, code: int
) -> None:
    done = lugplane(*words)
    assert done.returncode == code
    assert f"Proposed: {verdict}." in done.stdout


def test_no_stock_car_fails(lugplane: Any) -> None:
    """One that cannot tell says which fact is not known."""
    platforms = sorted(p.stem for p in (ROOT / "kb" / "platforms").glob("*.yaml"))
    assert len(platforms) > 5
    for platform in [*platforms[::5], "hobbrin-van"]:
        done = lugplane("car", platform, "--markdown")
        assert done.returncode in (0, 3), (platform, done.stdout[:800], done.stderr)
        said = " ".join(done.stdout.replace("\xa0", " ").split())
        doubtful = "both cannot tell: note 1" in said and ", not known: " in said
        assert (done.returncode == 3) == (doubtful and "(platform." in said), platform


def test_the_page_keeps_to_its_width(lugplane: Any, stops: Path) -> None:
    done = lugplane(*FRONT, "--stops", str(stops))
    assert max(len(line) for line in done.stdout.splitlines()) <= 80
    page = lugplane(*FRONT, "--stops", str(stops), "--markdown").stdout
    for said in (
        "front share of the braking",
        "torque per bar",
        "line pressure for 6.43 m/s²",
        "pedal stroke in a hard stop",
        "first axle to lock",
        "adhesion used at 0.8 g",
        "one stop from 100 km/h",
        "Type-I",
        "unsprung mass",
        "pad life beside stock",
        "(pedal-reserve)",
    ):
        assert said in page, said


def test_what_cannot_be_told_names_the_fact(lugplane: Any) -> None:
    done = lugplane(*CAR, "--set", "platform.gross_kg=unknown", "--markdown")
    rows = [line for line in done.stdout.splitlines() if "line pressure for" in line]
    assert rows
    assert all("both cannot tell: note 1" in row.replace("\xa0", " ") for row in rows)
    assert "(platform.gross_kg)" in done.stdout


def test_commas_and_repeated_options_say_the_same(lugplane: Any) -> None:
    one = lugplane(*FRONT, "--json").stdout
    two = lugplane(*CAR, "--front", "tovan-q4/44", "--front", " sorrel-300", "--json").stdout
    assert one == two


def test_plots_are_written_and_not_written_over(lugplane: Any, tmp_path: Path, stops: Path) -> None:
    folder = tmp_path / "new" / "plots"
    done = lugplane(*FRONT, "--plots", str(folder))
    assert {p.name for p in folder.iterdir()} == PLOTS
    assert f"Plots: {folder}" in done.stdout
    before = {p.name: p.read_bytes() for p in folder.iterdir()}
    for name, svg in before.items():
        root = ElementTree.fromstring(svg)
        assert root.tag.endswith("svg"), name
    again = lugplane(*FRONT, "--plots", str(folder))
    assert again.returncode == 2
    assert again.stdout == ""
    assert "is there already" in again.stderr
    lugplane(*FRONT, "--plots", str(folder), "--replace", "--stops", str(stops))
    after = {p.name: p.read_bytes() for p in folder.iterdir()}
    assert set(after) == PLOTS | {"heat-own.svg"}
    assert {n: after[n] for n in before} == before


def test_plots_that_cannot_be_written_are_refused(lugplane: Any, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    for folder in (tmp_path / "file", tmp_path / "file" / "within"):
        done = lugplane(*CAR, "--plots", str(folder))
        assert done.returncode == 2, done.stderr
        assert done.stdout == ""
        assert "a defect of ours" not in done.stderr


# --- the sheets of both axles ---------------------------------------------------------------------

BOTH = ("sheet", "tammick-van", "front", "tovan-q4/44", "sorrel-300", "rear")


def schemas(*names: str) -> dict[str, Any]:
    folder = ROOT / "schemas" / "answers"
    return {name: json.loads((folder / name).read_text("utf-8")) for name in names}


def test_both_sheets_are_as_their_schema_says_and_rest_on_one_car(lugplane: Any) -> None:
    known = schemas("sheet.json", "sheets.json")
    registry: Registry[Any] = Registry().with_resources(
        [(name, Resource.from_contents(s)) for name, s in known.items()]
    )
    validator = Draft202012Validator(known["sheets.json"], registry=registry)
    found = json.loads(lugplane(*BOTH, "corm-p1/41", "--json").stdout)
    assert [f"{list(e.path)}: {e.message}" for e in validator.iter_errors(found)] == []
    front, rear = (
        {r["check"]: r["value"] for r in found[axle]["rows"] if r["scope"] == "car"}
        for axle in ("front", "rear")
    )
    assert front["front-share"] == rear["front-share"]
    alone = json.loads(lugplane("sheet", "tammick-van", "front", *BOTH[3:5], "--json").stdout)
    [share] = [r["value"] for r in alone["rows"] if r["check"] == "front-share"]
    assert share != front["front-share"]


def test_the_car_is_told_once(lugplane: Any) -> None:
    done = lugplane(*BOTH)
    assert done.stdout.count("(front-share)") <= 1
    assert done.stdout.count("  front-share:") == 1
    assert "front axle\n---" in done.stdout
    assert "rear axle\n---" in done.stdout
    assert "judged on the front axle's sheet above" in done.stdout
    assert max(len(line) for line in done.stdout.splitlines()) <= 80


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("sheet", "tammick-van", "sorrel-300", "front", "rear"), "say front or rear before it"),
        ((*BOTH, "tansy-280", "front"), "front stands twice"),
        ((*BOTH, "--set", "disc.height_mm=50"), "say whose fact it is"),
        ((*BOTH, "--drawing", "x.svg"), "one axle a drawing"),
        ((*BOTH, "--wheel-spacer", "3"), "one axle a sheet for that"),
        ((*BOTH, "tovan-q5"), "close to it: tovan-q"),
    ],
)
def test_a_bad_question_about_both_is_one_clear_message(
    lugplane: Any, words: tuple[str, ...], said: str
) -> None:
    done = lugplane(*words)
    assert done.returncode == 2
    assert done.stdout == ""
    assert said in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
