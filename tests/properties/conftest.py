"""Lets the scenarios' helpers be imported; compiled facts stay out of the user's cache."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

TESTS = str(Path(__file__).resolve().parents[1])
if TESTS not in sys.path:
    sys.path.append(TESTS)


@pytest.fixture(scope="session", autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    before = os.environ.get("LUGPLANE_CACHE")
    os.environ["LUGPLANE_CACHE"] = str(tmp_path_factory.mktemp("property-cache"))
    yield
    if before is None:
        del os.environ["LUGPLANE_CACHE"]
    else:
        os.environ["LUGPLANE_CACHE"] = before
