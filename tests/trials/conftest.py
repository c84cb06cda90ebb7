"""Lets the trials' helpers be imported, and gives the shipped facts."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from lugplane.workshop import Workshop

TESTS = str(Path(__file__).resolve().parents[1])
if TESTS not in sys.path:
    sys.path.append(TESTS)


@pytest.fixture(scope="session")
def shipped() -> Workshop:
    return Workshop.open(only=Path(TESTS).parent / "kb")
