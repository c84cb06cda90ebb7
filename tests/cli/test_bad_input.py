"""Bad input: one clear message on stderr, exit 2, nothing on stdout, no traceback, nothing lost."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

DEMO = ("tammick-van", "front", "tovan-q4/44", "sorrel-300")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("sheet",), "Missing argument 'PLATFORM"),
        (("fits",), "'PLATFORM'. `lugplane facts show platform` lists them."),
        (("sheet", "zzzz"), "there are clunder-4x4, dorrimet-estate, "),
        (("facts", "show", "zzzz"), "`lugplane facts show` lists what there is"),
        (("sheet", "tamick-van"), "close to it: tammick-van"),
        (("sheet", "tammick-van", "tovan-q4/45"), "close to it: tovan-q4/4"),
        (("sheet", "tammick-van", "tovan-q4"), "is a family: name one of tovan-q4/41"),
        (("sheet", "tammick-van", "tovan-q4/44", "tovan-q6"), "two calipers are named"),
        (("why", "spacing", "tammick-van", "front", "rear"), "one axle a sheet"),
        (("sheet", "tammick-van", "tammick-front"), "is a knuckle"),
        (("sheet", "sorrel-300"), "is a disc, not a platform"),
        (("sheet", "tammick-van", "--set", "disc.hight_mm=50"), "close to it: disc.height_mm"),
        (("sheet", "tammick-van", "--set", "disc.height_mm"), "write FACT=VALUE"),
        (("sheet", "tammick-van", "--set", "disc.height_mm=50,1"), "is not a value"),
        (("sheet", "tammick-van", "--set", "disc.height_mm=52..50"), "runs backwards"),
        (("sheet", "tammick-van", "--set", "spaceing_mm=5"), "not a fact"),
        (
            ("sheet", "tammick-van", "--set", "caliper.outline.points_x_r_y=1"),
            "a list cannot be set",
        ),
        (("sheet", "tammick-van", "tovan-q4/44", "--set", "carrier.lift_mm=1"), "has no carrier"),
        (("sheet", "tammick-van", "--wheel-spacer", "-3"), "a thickness in mm"),
        (("sheet", "tammick-van", "--wheel-spacer", "nan"), "a thickness in mm"),
        (("sheet", "tammick-van", "--wheel-spacer", "x"), "not a valid float"),
        (("sheet", "tammick-van", "--json", "--markdown"), "one of them"),
        (("sheet", "tammick-van", "--kb", "nowhere"), "no folder of facts is there"),
        (("sheet", "tammick-van", "--only-kb", "nowhere"), "no folder of facts is there"),
        (("sheet", "tammick-van", "--nonsense"), "No such option"),
        (("why", "spaceing", "tammick-van"), "close to it: spacing"),
        (("wy", "spacing"), "No such command"),
        (("sheet", ""), "no platform is called ''"),
        (("sheet", "a" * 5000), "no platform is called"),
        (("sheet", "\u202e\n"), "no platform is called '\\u202e\\n'"),
    ],
)
def test_one_clear_message(lugplane: Any, words: tuple[str, ...], said: str) -> None:
    done = lugplane(*words)
    assert done.returncode == 2, (done.stdout[:200], done.stderr)
    assert done.stdout == ""
    assert said in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stderr.startswith("lugplane: ")


def test_one_clear_line(lugplane: Any) -> None:
    done = lugplane("sheet", "tamick-van")
    assert len(done.stderr.strip().splitlines()) == 1


def test_broken_facts_are_all_told_and_nothing_answered(lugplane: Any, tmp_path: Path) -> None:
    kb = tmp_path / "kb"
    (kb / "discs").mkdir(parents=True)
    (kb / "discs" / "one.yaml").write_text("kind: disc\nid: one\ntitle: One\nheigth_mm: 50\n")
    (kb / "discs" / "two.yaml").write_text("kind: disc\nid: two\ntitle: Two\nheight_mm: 50,1\n")
    for words in (("sheet", "tammick-van"), ("why", "spacing", "tammick-van")):
        done = lugplane(*words, "--kb", str(kb))
        assert done.returncode == 2
        assert done.stdout == ""
        assert "one.yaml:4:1: unknown-key" in done.stderr
        assert "height_mm" in done.stderr
        assert "two.yaml:4:" in done.stderr
        assert "2 problems: no answer given" in done.stderr


def test_an_added_folder_replaces_the_whole_record(lugplane: Any, tmp_path: Path) -> None:
    kb = tmp_path / "kb"
    (kb / "discs").mkdir(parents=True)
    (kb / "discs" / "sorrel-300.yaml").write_text(
        "kind: disc\nid: sorrel-300\ntitle: Only a diameter\ndiameter_mm: 300\n"
    )
    done = lugplane("sheet", *DEMO, "--kb", str(kb))
    assert done.returncode == 3
    assert "disc.thickness_mm" in done.stdout
    assert "Only a diameter" in done.stdout
    by_variable = lugplane("sheet", *DEMO, LUGPLANE_KB=str(kb))
    assert by_variable.stdout == done.stdout


def test_a_drawing_that_is_there_is_not_written_over(lugplane: Any, tmp_path: Path) -> None:
    file = tmp_path / "section.svg"
    file.write_text("mine")
    done = lugplane("sheet", *DEMO, "--drawing", str(file))
    assert done.returncode == 2
    assert "is there already" in done.stderr
    assert file.read_text() == "mine"
    assert lugplane("sheet", *DEMO, "--drawing", str(file), "--replace").returncode == 0
    assert file.read_text().startswith("<?xml")
    assert list(tmp_path.iterdir()) == [file]
    lost = lugplane("sheet", *DEMO, "--drawing", str(tmp_path / "no" / "where.svg"))
    assert lost.returncode == 2
    assert "cannot be written" in lost.stderr


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("tammick-van", "front"), 0),
        ((*DEMO,), 0),
        (("tammick-van", "front", "tovan-q4/44", "sorrel-300", "tammick-15-steel"), 1),
        (("tammick-van", "front", "tovan-q4/44", "sorrel-300", "kessarin-17-cast"), 3),
        (("tammick-van", "front", "nettick-q4", "--set", "caliper.plate_mm=1"), 2),
    ],
)
def test_exit_codes(lugplane: Any, words: tuple[str, ...], code: int) -> None:
    assert lugplane("sheet", *words).returncode == code


def test_a_matcher_that_is_not_there_is_said(lugplane: Any) -> None:
    done = lugplane("sheet", *DEMO, LUGPLANE_MATCHER="abacus")
    assert done.returncode == 2
    assert "abacus" in done.stderr


def test_the_matchers_give_the_same_sheet(lugplane: Any) -> None:
    sheets = {
        name: lugplane("sheet", *DEMO, "--json", LUGPLANE_MATCHER=name).stdout
        for name in ("durable", "clips", "plain")
    }
    assert len(set(sheets.values())) == 1
    assert len(sheets["plain"]) > 1000


def test_a_measured_spacing_solves_what_is_not_known(lugplane: Any) -> None:
    """`nettick-q4` has no face-to-centre fact: nothing is told until the spacing is measured."""
    words = ("sheet", "kessarin-estate", "front", "nettick-q4", "--json")
    blind = lugplane(*words)
    assert '"caliper.face_to_centre_mm"' in blind.stdout
    assert blind.returncode != 0
    seen = lugplane(*words, "--set", "spacing_mm=0.2±0.1")
    assert "spacing" in seen.stdout
    assert seen.returncode != 2
