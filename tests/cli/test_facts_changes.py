"""`facts changes` as it is called: revisions and folders, the exits, the forms it prints."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

from lugplane.cli.facts import facts
from lugplane.errors import BadFacts, BadInput

ROOT = Path(__file__).parents[2]
DISC = Path("kb") / "discs" / "sorrel-300.yaml"
NAMED = (
    *("calipers/tovan-q4", "calipers/hasket-f1", "carriers/hasket-bracket-142"),
    *("discs/sorrel-300", "discs/sorrel-316", "discs/tansy-280", "hoses/lathe-430"),
    *("knuckles/kessarin-front", "masters/plumb-25.4", "pads/kite-120", "pads/plover-116"),
    *("sources/demo-bench", "sources/demo-catalogue"),
    *("wheels/kessarin-16-cast", "wheels/kessarin-17-cast"),
)
Run = Callable[..., subprocess.CompletedProcess[str]]


def call(*args: str) -> Result:
    return CliRunner().invoke(facts, ["changes", *args], standalone_mode=False)


def refused(*args: str) -> str:
    result = call(*args)
    assert isinstance(result.exception, BadInput), (result.output, result.exception)
    said = str(result.exception)
    assert "\n" not in said
    return said


def git(folder: Path, *words: str) -> str:
    who = ("-c", "user.name=A", "-c", "user.email=a@example.org", "-c", "commit.gpgsign=false")
    done = subprocess.run(
        ["git", *who, *words], cwd=folder, capture_output=True, text=True, check=True
    )
    return done.stdout.strip()


@pytest.fixture(scope="module")
def original(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A checkout of a few parts and the rules: the first revision `one`, then a higher disc."""
    checkout = tmp_path_factory.mktemp("checkout") / "checkout"
    for name in NAMED:
        file = checkout / "kb" / f"{name}.yaml"
        file.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(ROOT / "kb" / f"{name}.yaml", file)
    car = (ROOT / "kb" / "platforms" / "kessarin-estate.yaml").read_text("utf-8")
    front, _, rest = car.partition("rear:\n")
    (checkout / "kb" / "platforms").mkdir()
    (checkout / "kb" / "platforms" / "kessarin-estate.yaml").write_text(
        front + rest[rest.index("wheelbase_mm") :], "utf-8"
    )
    shutil.copytree(ROOT / "rules", checkout / "rules")
    git(checkout, "init", "-q", "-b", "main")
    git(checkout, "add", ".")
    git(checkout, "commit", "-q", "-m", "One")
    git(checkout, "tag", "one")
    edit(checkout, "height_mm: 48\n", "height_mm: 48.6\n")
    git(checkout, "commit", "-q", "-a", "-m", "Two")
    return checkout


@pytest.fixture
def checkout(original: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of it to change, which is the current folder."""
    copy = tmp_path / "checkout"
    shutil.copytree(original, copy)
    monkeypatch.chdir(copy)
    return copy


def edit(checkout: Path, old: str, new: str, file: Path = DISC) -> None:
    text = (checkout / file).read_text("utf-8")
    assert text.count(old) == 1
    (checkout / file).write_text(text.replace(old, new), "utf-8")


def test_between_two_revisions(checkout: Path) -> None:
    before = git(checkout, "status", "--porcelain")
    result = call("one", "HEAD")
    assert result.return_value == 1
    said = result.stdout
    assert max(map(len, said.splitlines())) <= 80
    assert said.startswith("What changes from one (")
    assert "48 ±0.1 mm → 48.6 ±0.1 mm" in " ".join(said.split())
    assert "Was: bolts on; now: fits with work" in said
    assert "as the factory fitted it" in said
    assert "Rules changed" not in said
    assert git(checkout, "status", "--porcelain") == before


def test_without_new_the_working_tree(checkout: Path) -> None:
    assert call("HEAD").return_value == 0
    edit(checkout, "height_mm: 48.6\n", "height_mm: 48\n")
    result = call("HEAD")
    assert result.return_value == 1
    assert "to the working tree" in result.stdout
    assert call("one").return_value == 0


def test_a_fact_that_no_answer_rests_on(checkout: Path) -> None:
    edit(checkout, "title: ", "notes: Looked at.\ntitle: ")
    result = call("HEAD")
    assert result.return_value == 0
    assert "No answer changes." in result.stdout
    assert "no fact" in result.stdout


def test_folders(checkout: Path, tmp_path: Path) -> None:
    shutil.copytree(checkout / "kb", tmp_path / "other")
    assert call("kb", str(tmp_path / "other")).return_value == 0
    assert call("one", "kb").return_value == 1


def test_a_private_folder_over_the_shipped_facts(checkout: Path, tmp_path: Path) -> None:
    for name, height in (("a", "48"), ("b", "48.6")):
        file = tmp_path / name / "discs" / "sorrel-300.yaml"
        file.parent.mkdir(parents=True)
        text = (ROOT / "kb" / "discs" / "sorrel-300.yaml").read_text("utf-8")
        file.write_text(text.replace("height_mm: 48\n", f"height_mm: {height}\n"), "utf-8")
    result = call(str(tmp_path / "a"), str(tmp_path / "b"), "--over-shipped")
    assert result.return_value == 1, result.exception
    assert "tammick-van" in result.stdout
    alone = call(str(tmp_path / "a"), str(tmp_path / "b"))
    assert isinstance(alone.exception, BadFacts)


def test_other_rules(checkout: Path) -> None:
    limits = Path("rules") / "limits.yaml"
    edit(
        checkout, "engagement_aluminium: {value: 2.0,", "engagement_aluminium: {value: 9.0,", limits
    )
    result = call("HEAD")
    assert result.return_value == 1
    assert "Rules changed: everything is judged again, each side by its own rules." in " ".join(
        result.stdout.split()
    )
    assert "No longer fits" in result.stdout


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("checks.yaml", "- {id: mount,", "- {name: mount,"),
        ("pads.yaml", "measure: room_new", "measure: room_once"),
        ("limits.yaml", "  pad_gap_mm:", "  gap_of_the_pads_mm:"),
    ],
)
def test_rules_of_another_time(checkout: Path, file: str, old: str, new: str) -> None:
    """Where the rules of a revision cannot be used, that is said, and facts are compared."""
    edit(checkout, old, new, Path("rules") / file)
    git(checkout, "commit", "-q", "-a", "-m", "Three")
    git(checkout, "checkout", "-q", "HEAD~1", "--", "rules")
    same = call("HEAD", "--json")
    assert same.return_value == 0, same.exception
    assert json.loads(same.stdout)["rules"] == "not compared"
    edit(checkout, "height_mm: 48.6\n", "height_mm: 48\n")
    result = call("HEAD")
    assert result.return_value == 1
    assert "only facts are compared" in " ".join(result.stdout.split())
    assert "48.6 ±0.1 mm → 48 ±0.1 mm" in " ".join(result.stdout.split())


def test_a_bad_question_is_one_line(checkout: Path, tmp_path: Path) -> None:
    assert refused("nowhere") == "no revision and no folder is called 'nowhere'"
    assert "no revision and no folder" in refused("one", "-x/y".replace("-", "~"))
    assert "no revision and no folder" in refused("")
    assert refused("one", "--json", "--markdown").endswith("one of them")
    git(checkout, "rm", "-q", "-r", "--cached", "kb")
    git(checkout, "commit", "-q", "-m", "Gone")
    assert "has no folder kb" in refused("HEAD")


def test_a_folder_that_is_no_checkout(
    checkout: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.rmtree(checkout / ".git")
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    assert "is no git checkout" in refused("HEAD")


def test_without_git(checkout: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    assert refused("HEAD").startswith("git cannot be run")


def test_a_revision_with_broken_facts(checkout: Path) -> None:
    edit(checkout, "ring: vented\n", "rings: vented\n")
    assert isinstance(call("one").exception, BadFacts)
    git(checkout, "commit", "-q", "-a", "-m", "Broken")
    said = refused("HEAD", "one")
    assert "does not take its facts: 1 problem, the first: unknown-key" in said


def test_the_exit_of_a_bad_revision(lugplane: Run, checkout: Path) -> None:
    done = lugplane("facts", "changes", "nowhere", cwd=checkout)
    assert (done.returncode, done.stdout) == (2, "")
    assert len(done.stderr.splitlines()) == 1


def test_json_by_its_schema(checkout: Path) -> None:
    def schema(name: str) -> Any:
        return json.loads((ROOT / "schemas" / "answers" / f"{name}.json").read_text("utf-8"))

    registry: Registry[Any] = Registry().with_resources(
        [(f"{n}.json", Resource.from_contents(schema(n))) for n in ("fits", "changes")]
    )
    Draft202012Validator.check_schema(schema("changes"))
    validator = Draft202012Validator(schema("changes"), registry=registry)
    shutil.copy(checkout / DISC, checkout / "kb" / "discs" / "new.yaml")
    edit(checkout, "id: sorrel-300", "id: new", Path("kb") / "discs" / "new.yaml")
    found = json.loads(call("one", "--json").stdout)
    assert list(validator.iter_errors(found)) == []
    assert {r["id"]: r["how"] for r in found["records"]} == {
        "new": "added",
        "sorrel-300": "changed",
    }
    assert {s["change"] for s in found["setups"]} >= {"fits now", "other figures"}
    assert any(s["before"] is None for s in found["setups"])
    checks = {s["check"] for x in found["setups"] if x["after"] for s in x["after"]["scopes"]}
    assert checks <= set(found["titles"])


def test_a_comment_folds_what_is_long(checkout: Path) -> None:
    result = call("one", "HEAD", "--markdown")
    assert result.return_value == 1
    said = result.stdout
    assert said.startswith("## What changes from one")
    assert "### Facts (1)" in said
    assert "<details>" not in said
    for n in range(9):
        shutil.copy(checkout / DISC, checkout / "kb" / "discs" / f"new-{n}.yaml")
        edit(checkout, "id: sorrel-300", f"id: new-{n}", Path("kb") / "discs" / f"new-{n}.yaml")
    said = call("one", "--markdown").stdout
    assert said.count("<details>") == said.count("</details>") >= 2
    assert "<details><summary>Facts (10)</summary>\n\n" in said
    assert "<summary>Fits now" in said
