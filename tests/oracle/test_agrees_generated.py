"""Engine and oracle agree on setups drawn at random, with facts measured, widened and taken away.

The numbers are fixed, so the setups are; `tools/sweep` draws thousands.
"""

from __future__ import annotations

from collections import Counter

import pytest
from oracle.agree import differences
from oracle.both_sides import BothSides
from oracle.generated import draw

BLOCK, BLOCKS = 30, 10


# A known defect of the engine, not mended yet: with a plate asked for under a *radial* mount, and
# its need in doubt, the rest is judged as bolted together directly (drawn setup 123).
PLATE_UNDER_A_SEAT = 4
OPEN = pytest.mark.xfail(strict=True, reason="a plate under a radial mount, in doubt")


@pytest.mark.parametrize(
    "block",
    [pytest.param(n, marks=OPEN) if n == PLATE_UNDER_A_SEAT else n for n in range(BLOCKS)],
)
def test_drawn_setups_agree(both: BothSides, block: int) -> None:
    found: list[str] = []
    edges: set[int] = set()
    for number in range(block * BLOCK, (block + 1) * BLOCK):
        asked = draw(both, number)
        for difference in differences(both.engine(asked).sheet, both.oracle(asked)):
            if difference.sort == "edge":  # a hair's breadth at a limit, the engine more careful
                edges.add(number)
            else:
                found.append(f"{number}: {difference}\n    {asked}")
    assert not found, "\n".join(found)
    assert len(edges) <= 1, edges


def test_what_is_drawn_is_of_every_sort(both: BothSides) -> None:
    drawn = [draw(both, number) for number in range(60)]
    assert len(set(drawn)) == len(drawn)
    assert drawn[7] == draw(both, 7)
    said = Counter(
        "away" if value == "unknown" else "measured" if "±" in value else "word"
        for asked in drawn
        for _, value in asked.set_
    )
    assert said.keys() == {"away", "measured", "word"}
    assert any(path == "spacing_mm" for asked in drawn for path, _ in asked.set_)
    assert any(asked.adapter for asked in drawn)
    assert any(asked.wheel_spacer_mm for asked in drawn)
    verdicts = Counter(both.oracle(asked).verdict["brake"] for asked in drawn)
    assert verdicts.keys() == {"bolts on", "fits with work", "cannot tell", "does not fit"}
    assert verdicts["does not fit"] < 50
