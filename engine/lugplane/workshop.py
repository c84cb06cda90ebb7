"""The front door for programs: facts and rules loaded once, setups judged one after another."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from lugplane.answers.sheet import Judged, judge_setup
from lugplane.data import data_folder
from lugplane.deduce.choose import matcher
from lugplane.deduce.rulebook import Rulebook, read_rulebook
from lugplane.errors import BadInput
from lugplane.facts.base import Base, load
from lugplane.setup.assemble import Wanted, assemble

VARIABLE = "LUGPLANE_KB"


@dataclass(frozen=True)
class Workshop:
    """A knowledge base and the rules that go with it."""

    base: Base
    rulebook: Rulebook

    @classmethod
    def open(cls, added: Sequence[Path] = (), only: Path | None = None) -> Workshop:
        """Load the shipped facts, then those of `LUGPLANE_KB`, then `added`; or `only` a folder.

        Raises `BadInput` for a folder that is not there, `BadFacts` with every problem of all.
        """
        home = data_folder()
        folders = [home / "kb"] if only is None else [only]
        if only is None and os.environ.get(VARIABLE):
            folders += [Path(p) for p in os.environ[VARIABLE].split(os.pathsep) if p]
        folders += added
        for folder in folders:
            if not folder.is_dir():
                raise BadInput(f"{folder}: no folder of facts is there")
        rulebook = read_rulebook(home / "rules")
        return cls(load(folders, rulebook.limits.assumed), rulebook)

    def judge(self, wanted: Wanted, matcher_name: str | None = None) -> Judged:
        """The sheet of a setup and its deduction. Raises `BadInput`, `EngineError`."""
        setup = assemble(self.base, wanted)
        return judge_setup(setup, self.rulebook, matcher(matcher_name))
