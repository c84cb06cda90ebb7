"""What a check finds: a problem, and whether it stops a pull request."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from lugplane.errors import Problem

ERROR: Final = "error"
WARNING: Final = "warning"


@dataclass(frozen=True, slots=True, order=True)
class Finding:
    """A problem and its level, `error` or `warning`."""

    problem: Problem
    level: str = ERROR


def is_error(finding: Finding) -> bool:
    return finding.level == ERROR
