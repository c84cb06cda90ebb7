"""Lets the scenarios' helpers be imported, and prints what the scenarios showed, where."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

TESTS = str(Path(__file__).resolve().parents[1])
if TESTS not in sys.path:
    sys.path.append(TESTS)

SEEN = "scenario coverage"
"""The name of the property under which the coverage test hands its table to the summary."""


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """The table, once; a run with several processes hands it over in the report."""
    for report in terminalreporter.stats.get("passed", []):
        for name, table in getattr(report, "user_properties", ()):
            if name == SEEN:
                terminalreporter.section("what the scenarios show")
                terminalreporter.write_line(str(table))
