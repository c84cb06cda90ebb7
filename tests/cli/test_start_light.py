"""What is known already costs no import that it could do without."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from lugplane.cli.told import _asked

ROOT = Path(__file__).resolve().parents[2]
PLATFORM = "kessarin-estate"
SHOW = """
import sys
before = set(sys.modules)
from lugplane.cli.start import main
main()
print(*sorted(set(sys.modules) - before), sep="\\n", file=sys.stderr)
"""
AT_ONCE = {
    "lugplane",
    "lugplane.cli",
    "lugplane.cli.start",
    "lugplane.cli.terminal",
    "lugplane.cli.told",
    "lugplane.data",
    "lugplane.facts",
    "lugplane.facts.again",
    "lugplane.facts.cache_folder",
    "lugplane.facts.digest",
    "lugplane.facts.fingerprint",
    "lugplane.facts.folders",
    "lugplane.facts.ground",
    "lugplane.facts.kept_texts",
    "lugplane.facts.program",
    "lugplane.facts.texts",
    "lugplane.once",
}
"""All of the program that an answer needs which was given to the same words."""
AS_DATA = AT_ONCE | {
    "lugplane.answers",
    "lugplane.answers.fit_plain",
    "lugplane.answers.fit_row",
    "lugplane.answers.fits_list",
    "lugplane.answers.found",
    "lugplane.answers.parts",
    "lugplane.facts.ids",
    "lugplane.facts.kinds",
    "lugplane.facts.show",
    "lugplane.facts.told",
    "lugplane.frozen",
    "lugplane.links",
    "lugplane.links.combination",
    "lugplane.quantity",
    "lugplane.quantity.printed",
    "lugplane.quantity.states",
    "lugplane.render",
    "lugplane.render.blocks",
    "lugplane.render.hardware",
    "lugplane.render.layout",
    "lugplane.render.names",
    "lugplane.render.plain_json",
    "lugplane.render.tables",
    "lugplane.render.tables_fits",
    "lugplane.render.text",
    "lugplane.render.words",
    "lugplane.setup",
    "lugplane.setup.roles",
}
"""All of it that an answer needs which is known as data."""
NEVER = {
    "click",
    "datetime",
    "hashlib",
    "jsonschema",
    "logging",
    "networkx",
    "pathlib",
    "shutil",
    "sqlite3",
    "subprocess",
    "tempfile",
    "threading",
    "urllib",
    "yaml",
}
NOT_AT_ONCE = NEVER | {
    "ast",
    "collections",
    "contextlib",
    "dataclasses",
    "enum",
    "functools",
    "inspect",
    "json",
    "random",
    "re",
    "typing",
}


def run(cache: Path, *words: str) -> tuple[str, set[str]]:
    """What a command prints, and the modules that it imported; told only where it was at once."""
    done = subprocess.run(
        [sys.executable, "-c", SHOW, *words],
        env={
            **{k: v for k, v in os.environ.items() if k not in ("LUGPLANE_KB", "LUGPLANE_MATCHER")},
            "PYTHONPATH": str(ROOT / "engine"),
            "LUGPLANE_CACHE": str(cache),
        },
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    )
    return done.stdout, set(done.stderr.split())


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A cache in which the list is known."""
    folder = tmp_path_factory.mktemp("cache")
    text, imported = run(folder, "fits", PLATFORM)
    assert "What fits" in text
    assert imported == set()  # a command that is worked out ends the process itself
    return folder


def ours(modules: set[str]) -> set[str]:
    return {m for m in modules if m.split(".")[0] == "lugplane"}


def test_the_same_words(cache: Path) -> None:
    text, imported = run(cache, "fits", PLATFORM)
    assert "What fits" in text
    assert ours(imported) == AT_ONCE
    assert not imported & NOT_AT_ONCE


@pytest.mark.parametrize("words", [("front",), ("--csv",), ("--json",)])
def test_other_words_for_a_list_that_is_known(cache: Path, words: tuple[str, ...]) -> None:
    text, imported = run(cache, "fits", PLATFORM, *words)
    json_only = {"lugplane.render.plain_json"}
    assert ours(imported) == (AS_DATA if "--json" in words else AS_DATA - json_only)
    assert not imported & NEVER
    assert ("csv" in imported) is ("--csv" in words)
    again, imported = run(cache, "fits", PLATFORM, *words)
    assert again == text
    assert ours(imported) == AT_ONCE


def test_a_list_of_other_facts_is_not_known(cache: Path, tmp_path: Path) -> None:
    text, imported = run(cache, "fits", PLATFORM, "--kb", str(tmp_path))
    assert imported == set()
    told, imported = run(cache, "fits", f"--kb={tmp_path}", PLATFORM)
    assert ours(imported) == AS_DATA - {"lugplane.render.plain_json"}
    assert told == text


def test_it_prints_what_the_command_would(cache: Path, tmp_path: Path) -> None:
    for words in ((), ("--csv",), ("--json",)):
        told, imported = run(cache, "fits", PLATFORM, "front", *words)
        assert ours(imported)
        worked_out, imported = run(
            tmp_path / "".join(("x", *words)), "fits", PLATFORM, "front", *words
        )
        assert not imported
        assert told == worked_out


@pytest.mark.parametrize(
    ("words", "question", "form"),
    [
        ("fits car", "car front", ""),
        ("fits car rear", "car rear", ""),
        ("fits --csv car", "car front", "--csv"),
        ("fits --kb own car --json rear", "car rear", "--json"),
        ("fits --only-kb=own car", "car front", ""),
    ],
)
def test_plain_words_are_read(words: str, question: str, form: str) -> None:
    assert _asked(words.split()) == (("fits", *question.split()), form)


@pytest.mark.parametrize(
    "words",
    [
        "fits",
        "fits car front more",
        "fits car --csv --json",
        "fits car --all",
        "fits car --with part",
        "fits car --wheel=16",
        "fits car --help",
        "fits car -h",
        "fits -- car",
        "fits car --kb",
        "fits car --kb --csv",
        "fits car --csv=1",
        "takes car",
    ],
)
def test_all_others_are_left_to_the_command(words: str) -> None:
    assert _asked(words.split()) is None


def test_who_names_a_matcher_wants_it_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LUGPLANE_MATCHER", "plain")
    assert _asked(["fits", "car"]) is None
