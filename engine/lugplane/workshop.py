"""The front door for programs: facts and rules loaded once, setups judged one after another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from lugplane.answers.sheet import Judged, judge_setup
from lugplane.data import data_folder, fact_folders
from lugplane.deduce.choose import matcher
from lugplane.deduce.rulebook import Rulebook, read_rulebook
from lugplane.facts.base import Base, load
from lugplane.setup.assemble import Wanted, assemble


@dataclass(frozen=True)
class Workshop:
    """A knowledge base and the rules that go with it; `folders` are those it was read from."""

    base: Base
    rulebook: Rulebook
    folders: tuple[Path, ...] = ()

    @classmethod
    def open(cls, added: Sequence[Path] = (), only: Path | None = None) -> Workshop:
        """Load the shipped facts, then those of `LUGPLANE_KB`, then `added`; or `only` a folder.

        Raises `BadInput` for a folder that is not there, `BadFacts` with every problem of all.
        """
        folders = fact_folders(added, only)
        rulebook = read_rulebook(data_folder() / "rules")
        return cls(load(folders, rulebook.limits.assumed), rulebook, tuple(folders))

    def judge(self, wanted: Wanted, matcher_name: str | None = None) -> Judged:
        """The sheet of a setup and its deduction. Raises `BadInput`, `EngineError`."""
        setup = assemble(self.base, wanted)
        judged = judge_setup(setup, self.rulebook, matcher(matcher_name))
        if not self.base.ids("trial"):
            return judged
        from lugplane.answers.trials import trials_of

        told = trials_of(self.base, self.rulebook, setup)
        return replace(judged, sheet=replace(judged.sheet, trials=told)) if told else judged
