"""What a user names, a folder or a file of facts, as folders to load and findings to tell."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from lugplane.check.run import Asked
from lugplane.data import fact_folders
from lugplane.errors import BadInput
from lugplane.facts.folders import shown_path
from lugplane.facts.kinds import KIND_OF


def asked(targets: Sequence[Path], alone: bool) -> Asked:
    """Folders of facts (`kb`), folders of a kind (`kb/discs`) and files; nothing named: all.

    What is named is looked at on top of the shipped facts and those of `LUGPLANE_KB`, or `alone`.
    Raises `BadInput` for what is not there or stands in no folder of facts.
    """
    if not targets:
        if alone:
            raise BadInput("--alone: name the folder to check")
        return Asked(tuple(fact_folders()))
    files: set[str] = set()
    within: list[str] = []
    named: list[Path] = []
    for target in targets:
        folder = _folder(target)
        named.append(folder)
        if target.is_dir():
            above = "" if target is folder else f"/{target.resolve().name}"
            within.append(shown_path(folder) + above)
        else:
            kind = target.absolute().parent.name
            files.add(f"{shown_path(folder)}/{kind}/{target.name}")
    folders: list[Path] = []
    under = [] if alone else fact_folders()
    there = {folder.resolve() for folder in named}
    for folder in [*(f for f in under if f.resolve() not in there), *named]:
        if folder not in folders:
            folders.append(folder)
    return Asked(tuple(folders), frozenset(files), tuple(within))


def _folder(target: Path) -> Path:
    """The folder of facts that a target is, or lies in."""
    if not target.exists():
        raise BadInput(f"{target}: nothing is there")
    if target.is_dir():
        if target.resolve().name in KIND_OF and not any(_kinds_in(target)):
            return target.resolve().parent
        return target
    parent = target.absolute().parent
    if parent.name not in KIND_OF:
        raise BadInput(
            f"{target}: a fact stands in the folder of its kind, as in kb/discs/{target.name}"
        )
    return parent.parent


def _kinds_in(folder: Path) -> list[Path]:
    return [each for each in folder.iterdir() if each.is_dir() and each.name in KIND_OF]
