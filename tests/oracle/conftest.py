"""Lets the oracle be imported as ``oracle.oracle``, apart from the engine's path."""

import sys
from pathlib import Path

TESTS = str(Path(__file__).resolve().parents[1])
if TESTS not in sys.path:
    sys.path.append(TESTS)
