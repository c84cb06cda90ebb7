"""Lets the oracle be imported as ``oracle.oracle``, apart from the engine's path."""

import sys
from pathlib import Path

import pytest

TESTS = str(Path(__file__).resolve().parents[1])
if TESTS not in sys.path:
    sys.path.append(TESTS)

from oracle.both_sides import BothSides  # noqa: E402


@pytest.fixture(scope="session")
def both() -> BothSides:
    """The shipped facts, read by engine and oracle."""
    return BothSides.open()


@pytest.fixture(scope="session")
def with_cars(tmp_path_factory: pytest.TempPathFactory) -> BothSides:
    """The shipped facts and cars drawn at random, read by engine and oracle."""
    return BothSides.with_drawn_cars(tmp_path_factory.mktemp("cars") / "kb")
