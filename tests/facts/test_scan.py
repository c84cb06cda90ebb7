"""Finding the files, what must not stand among them, and reading several folders."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from lugplane.errors import LugplaneError, Problem
from lugplane.facts.kinds import FOLDER_OF, KIND_OF, is_id, nearest_id
from lugplane.facts.scan import read_all, scan, shown_path, survey
from lugplane.facts.schema import Schemas
from lugplane.facts.yaml12 import MAX_BYTES

SCHEMAS = Schemas(Path(__file__).parents[2] / "schemas")


def source(name: str, extra: str = "") -> str:
    return f"kind: source\nid: {name}\ntitle: A sheet\nsort: bench\n{extra}"


def put(path: Path, text: str | bytes) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


@pytest.fixture
def kb(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    put(tmp_path / "kb" / "sources" / "one.yaml", source("one"))
    return Path("kb")


def codes(problems: list[Problem]) -> list[tuple[str, str]]:
    return [(problem.file, problem.code) for problem in problems]


def test_kinds_and_folders_are_one_to_one() -> None:
    assert len(FOLDER_OF) == 16
    assert {KIND_OF[folder]: folder for folder in FOLDER_OF.values()} == FOLDER_OF


@pytest.mark.parametrize("text", ["a", "0", "iso-4762-m12x1.5", "a.b-c.d", "tovan-q4"])
def test_ids(text: str) -> None:
    assert is_id(text)


@pytest.mark.parametrize(
    "text", ["", "A", "a_b", "a--b", "-a", "a-", "a.", "a b", "a\n", "ä", "a/b", "a.-b", "٣"]
)
def test_no_ids(text: str) -> None:
    assert not is_id(text)


def test_the_nearest_id() -> None:
    assert nearest_id("Sorrel_300") == "sorrel-300"
    assert nearest_id(" -M12 x1.5- ") == "m12-x1.5"
    assert nearest_id("a.-b") == "a-b"
    assert nearest_id("ÄÖ") is None


def test_files_come_in_the_order_of_their_names(kb: Path) -> None:
    for name in ("two", "three", "a.b", "a-b"):
        put(kb / "sources" / f"{name}.yaml", source(name))
    put(kb / "bolts" / "iso-4762-m12x1.5.yaml", "kind: bolt\n")
    found = scan(kb)
    assert found.problems == []
    assert [(file.kind, file.id) for file in found.files] == [
        ("bolt", "iso-4762-m12x1.5"),
        *[("source", name) for name in ("a-b", "a.b", "one", "three", "two")],
    ]
    assert found.files[0].shown == "kb/bolts/iso-4762-m12x1.5.yaml"


def test_records_of_an_empty_folder(tmp_path: Path) -> None:
    assert read_all([tmp_path], SCHEMAS) == ([], [])
    assert read_all([], SCHEMAS) == ([], [])


def test_what_a_record_carries(kb: Path) -> None:
    (record,) = read_all([kb], SCHEMAS)[0]
    assert (record.kind, record.id) == ("source", "one")
    assert record.data["sort"] == "bench"
    assert record.positions.values[("sort",)] == (4, 7)
    assert record.file == (kb / "sources" / "one.yaml").resolve()
    assert record.shown == "kb/sources/one.yaml"


def test_no_folder(kb: Path) -> None:
    assert codes(scan(Path("kp")).problems) == [("kp", "unreadable")]
    assert codes(scan(kb / "sources" / "one.yaml").problems) == [
        ("kb/sources/one.yaml", "unreadable")
    ]


def test_links_out_of_the_folder_are_refused(kb: Path, tmp_path: Path) -> None:
    outside = put(tmp_path / "secret" / "two.yaml", source("two"))
    (kb / "sources" / "two.yaml").symlink_to(outside)
    (kb / "sources" / "up.yaml").symlink_to("../../secret/two.yaml")
    (kb / "discs").symlink_to(outside.parent)
    records, problems = read_all([kb], SCHEMAS)
    assert [record.id for record in records] == ["one"]
    assert codes(problems) == [
        ("kb/discs", "link-outside"),
        ("kb/sources/two.yaml", "link-outside"),
        ("kb/sources/up.yaml", "link-outside"),
    ]


def test_a_sibling_whose_name_begins_alike_is_outside(kb: Path, tmp_path: Path) -> None:
    put(tmp_path / "kb-old" / "two.yaml", source("two"))
    (kb / "sources" / "two.yaml").symlink_to("../../kb-old/two.yaml")
    assert codes(scan(kb).problems) == [("kb/sources/two.yaml", "link-outside")]


def test_links_that_lead_nowhere(kb: Path) -> None:
    (kb / "sources" / "gone.yaml").symlink_to("nothing.yaml")
    (kb / "sources" / "loop.yaml").symlink_to("loop.yaml")
    assert codes(scan(kb).problems) == [
        ("kb/sources/gone.yaml", "unreadable"),
        ("kb/sources/loop.yaml", "unreadable"),
    ]


def test_a_link_within_and_a_folder_that_is_itself_a_link(kb: Path, tmp_path: Path) -> None:
    put(kb / "sources" / "two.yaml", source("two"))
    (tmp_path / "also").symlink_to(kb.absolute())
    (kb / "sources" / "three.yaml").symlink_to("two.yaml")
    records, problems = read_all([Path("also")], SCHEMAS)
    assert [record.id for record in records] == ["one", "two"]
    assert codes(problems) == [("also/sources/three.yaml", "id-not-file")]


def test_pipes_are_not_opened(kb: Path) -> None:
    os.mkfifo(kb / "sources" / "pipe.yaml")
    records, problems = read_all([kb], SCHEMAS)
    assert [record.id for record in records] == ["one"]
    assert codes(problems) == [("kb/sources/pipe.yaml", "not-a-file")]


def test_a_file_that_cannot_be_opened_is_one_problem(
    kb: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(kb / "sources" / "two.yaml", source("two"))
    opened = Path.open

    def refuse(self: Path, mode: str = "r") -> object:
        if self.name == "one.yaml":
            raise PermissionError(13, "Permission denied")
        return opened(self, mode)

    monkeypatch.setattr(Path, "open", refuse)
    records, problems = read_all([kb], SCHEMAS)
    assert [record.id for record in records] == ["two"]
    assert [str(problem) for problem in problems] == [
        "kb/sources/one.yaml:1:1: unreadable: cannot be read: permission denied; needed: something "
        "that can be read; mend the link or the permissions, or delete it"
    ]


def test_a_folder_that_looks_like_a_file(kb: Path) -> None:
    put(kb / "sources" / "two.yaml" / "three.yaml", source("three"))
    assert codes(scan(kb).problems) == [("kb/sources/two.yaml", "nested-folder")]


def test_a_large_file_is_refused(kb: Path) -> None:
    put(kb / "sources" / "two.yaml", b"# " + b"x" * 10_000_000)
    put(kb / "sources" / "three.yaml", source("three", "#").ljust(MAX_BYTES, "x"))
    records, problems = read_all([kb], SCHEMAS)
    assert [record.id for record in records] == ["one", "three"]
    assert codes(problems) == [("kb/sources/two.yaml", "too-big")]


def test_names_are_shown_on_one_visible_line(kb: Path) -> None:
    put(kb / "sources" / "a\nb\x1b.yaml", "x")
    put(kb / "sources" / "\udcff.yaml", "x")
    for problem in read_all([kb], SCHEMAS)[1]:
        assert str(problem).isprintable()
    assert codes(scan(kb).problems) == [
        ("kb/sources/\\udcff.yaml", "bad-id"),
        ("kb/sources/a\\nb\\x1b.yaml", "bad-id"),
    ]


def test_keepers_are_passed_over_but_hidden_facts_are_not(kb: Path) -> None:
    put(kb / ".gitkeep", "")
    put(kb / "sources" / ".one.yaml.swp", "")
    assert scan(kb).problems == []
    put(kb / "sources" / ".two.yaml", source("two"))
    put(kb / "sources" / ".yaml", source("three"))
    assert codes(scan(kb).problems) == [
        ("kb/sources/.two.yaml", "bad-id"),
        ("kb/sources/.yaml", "wrong-extension"),
    ]


@pytest.mark.parametrize(
    ("name", "meant"),
    [("source", "sources"), ("Sources", "sources"), ("souces", "sources"), ("disk", "discs")],
)
def test_misspelt_folders(kb: Path, name: str, meant: str) -> None:
    put(kb / name / "two.yaml", source("two"))
    records, problems = read_all([kb], SCHEMAS)
    assert [record.id for record in records] == ["one"]
    (folder,) = (problem for problem in problems if problem.code == "unknown-folder")
    assert folder.file == f"kb/{name}"
    assert folder.mend == f"rename it to {meant}"


def test_a_file_is_looked_into_even_where_it_stands_wrongly(kb: Path) -> None:
    put(kb / "souces" / "two.yml", source("zwei", "sort: [\n"))
    assert codes(read_all([kb], SCHEMAS)[1]) == [
        ("kb/souces", "unknown-folder"),
        ("kb/souces/two.yml", "wrong-extension"),
        ("kb/souces/two.yml", "duplicate-key"),
        ("kb/souces/two.yml", "syntax"),
    ]


def test_a_kind_that_belongs_elsewhere_is_checked_as_what_it_is(kb: Path) -> None:
    put(kb / "discs" / "two.yaml", source("two", "locater: shelf\n"))
    problems = read_all([kb], SCHEMAS)[1]
    assert codes(problems) == [
        ("kb/discs/two.yaml", "kind-not-folder"),
        ("kb/discs/two.yaml", "unknown-key"),
    ]
    assert problems[0].mend == "write disc, or move the file to sources/"


@pytest.mark.parametrize("kind", ["5", "[source]", "~", '"source "', "sources"])
def test_a_kind_that_is_none(kb: Path, kind: str) -> None:
    text = source("two").replace("kind: source", f"kind: {kind}")
    put(kb / "sources" / "two.yaml", text)
    assert codes(read_all([kb], SCHEMAS)[1]) == [("kb/sources/two.yaml", "kind-not-folder")]


def test_neither_kind_nor_id_can_be_left_out(kb: Path) -> None:
    put(kb / "sources" / "two.yaml", "title: A sheet\nsort: bench\n")
    records, problems = read_all([kb], SCHEMAS)
    assert [record.id for record in records] == ["one"]
    assert codes(problems) == [("kb/sources/two.yaml", "missing-key")] * 2


def test_every_schema_asks_for_kind_and_id() -> None:
    assert set(SCHEMAS.kinds) == set(FOLDER_OF)
    for kind in FOLDER_OF:
        text = b"title: x\n"
        found = [problem.found for problem in _checked(kind, text)]
        assert any("`kind`" in said for said in found), kind
        assert any("`id`" in said for said in found), kind


def _checked(kind: str, text: bytes) -> list[Problem]:
    from lugplane.facts.yaml12 import Document, read

    document = read(text, "f")
    assert isinstance(document, Document)
    return SCHEMAS.check(kind, document.data, document.positions, "f")


def test_a_later_folder_replaces_the_whole_record(kb: Path) -> None:
    put(Path("mine") / "sources" / "one.yaml", source("one", "locator: my shelf\n"))
    put(Path("mine") / "sources" / "two.yaml", source("two"))
    records, problems = read_all([kb, Path("mine")], SCHEMAS)
    assert problems == []
    assert [(record.id, record.shown) for record in records] == [
        ("one", "mine/sources/one.yaml"),
        ("two", "mine/sources/two.yaml"),
    ]
    records, _ = read_all([Path("mine"), kb], SCHEMAS)
    assert records[0].shown == "kb/sources/one.yaml"


@pytest.mark.parametrize("text", ["kind: [", source("other"), source("one", "sort: bench\n")])
def test_a_broken_record_does_not_bring_back_what_it_replaces(kb: Path, text: str) -> None:
    put(Path("mine") / "sources" / "one.yaml", text)
    found = survey([kb, Path("mine")], SCHEMAS)
    assert found.records == []
    assert found.broken == {("source", "one")}
    assert {problem.file for problem in found.problems} == {"mine/sources/one.yaml"}


def test_two_kinds_may_use_one_id(kb: Path) -> None:
    put(kb / "discs" / "one.yaml", "kind: disc\nid: one\ntitle: A disc\n")
    records, problems = read_all([kb], SCHEMAS)
    assert problems == []
    assert [(record.kind, record.id) for record in records] == [("disc", "one"), ("source", "one")]


def test_paths_are_shown_from_the_current_folder(kb: Path, tmp_path: Path) -> None:
    assert shown_path(kb.absolute()) == "kb"
    assert shown_path(Path("kb")) == "kb"
    assert shown_path(Path("..") / "elsewhere") == "../elsewhere"
    assert shown_path(Path("/elsewhere")) == "/elsewhere"


def test_a_fault_of_the_schemas_is_not_blamed_on_the_facts(kb: Path, tmp_path: Path) -> None:
    put(
        tmp_path / "schemas" / "disc.json",
        '{"$schema": "https://json-schema.org/draft/2020-12/schema"}',
    )
    with pytest.raises(LugplaneError, match="no schema for the kind source"):
        read_all([kb], Schemas(tmp_path / "schemas"))
