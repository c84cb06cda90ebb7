"""What can go wrong, said once and clearly.

Every error that a user may meet is a `LugplaneError`: the command line prints it and exits 2,
without a traceback. Anything else that escapes is a defect of ours.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing wrong in one place of a file, and how to mend it."""

    file: str
    line: int
    column: int
    code: str
    found: str
    allowed: str = ""
    mend: str = ""

    def __str__(self) -> str:
        said = "; ".join(part for part in (self.found, self.allowed, self.mend) if part)
        return f"{self.file}:{self.line}:{self.column}: {self.code}: {said}"


class LugplaneError(Exception):
    """Something to tell the user in one clear line; the command line exits 2."""


class BadInput(LugplaneError):
    """What the user typed cannot be taken."""


class BadFacts(LugplaneError):
    """Facts, rules or limits that cannot be trusted: all problems at once."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        self.problems = tuple(sorted(problems))
        count = len(self.problems)
        noun = "problem" if count == 1 else "problems"
        super().__init__(
            "\n".join([*(str(p) for p in self.problems), f"{count} {noun}: no answer given"])
        )


class EngineError(LugplaneError):
    """A rule or measure of ours failed; the text carries the rule's id."""
