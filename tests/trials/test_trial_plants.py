"""A wrong fact among many is found by the trials that it is part of."""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest
from trials.making import Altered, Pool, plant

from lugplane.answers.trials import check_trials
from lugplane.workshop import Workshop

PARTS, PLANTS = 2, 100
SEED = 20260601


@pytest.mark.parametrize("part", range(PARTS))
def test_a_planted_fact_is_the_first_suspect(
    shipped: Workshop, capsys: pytest.CaptureFixture[str], part: int
) -> None:
    """In nine of ten; a plant that no trial notices, or that comes second, counts as a miss."""
    pool, rnd = Pool.of(shipped), Random(SEED + 10 * part)
    of: Counter[str] = Counter()
    first: Counter[str] = Counter()
    unnoticed = 0
    while sum(of.values()) < PLANTS:
        made = plant(pool, rnd)
        if made is None:
            continue
        cases = check_trials(made.base, shipped.rulebook).cases
        of[made.path] += 1
        unnoticed += not cases
        if len(cases) == 1 and cases[0].suspects[0].at == made.at:
            first[made.path] += 1
    share = sum(first.values()) / PLANTS
    with capsys.disabled():
        said = ", ".join(f"{p} {first[p]}/{of[p]}" for p in sorted(of))
        print(f"\nplanted fact first: {share:.3f} of {PLANTS} ({unnoticed} unnoticed): {said}")
    assert share >= 0.90
    assert len(of) == 8


def test_without_a_plant_there_is_no_suspect(shipped: Workshop) -> None:
    """What lies within its ± accuses nobody."""
    pool, rnd = Pool.of(shipped), Random(SEED + 1)
    seen = 0
    while seen < 20:
        made = plant(pool, rnd)
        if made is None:
            continue
        seen += 1
        checked = check_trials(Altered(shipped.base, {}, made.trials), shipped.rulebook)
        assert checked.cases == ()
        assert not any(o.state == "disagrees" for t in checked.trials for o in t.observed)
