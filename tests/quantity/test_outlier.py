"""The test of one outlier, against plain linear algebra and what must hold of it."""

from __future__ import annotations

import math
from random import Random

import numpy as np
import pytest

from lugplane.quantity.outlier import Observation, suspects

NAMES = ("ear", "disc", "caliper", "other")


def drawn(rnd: Random, count: int) -> tuple[list[Observation], dict[str, float]]:
    observations = [
        Observation(
            rnd.uniform(-2, 2),
            rnd.uniform(0.05, 0.5),
            {n: rnd.choice((-1.0, 0.5, 1.0, 2.0)) for n in NAMES if rnd.random() < 0.7},
        )
        for _ in range(count)
    ]
    return observations, {n: rnd.uniform(0.02, 0.5) for n in NAMES}


@pytest.mark.parametrize("seed", range(20))
def test_values_are_those_of_the_inverse_covariance(seed: int) -> None:
    observations, halves = drawn(Random(seed), 5)
    r = np.array([o.residual for o in observations])
    s = {n: np.array([o.slopes.get(n, 0.0) for o in observations]) for n in NAMES}
    c = np.diag([o.half**2 / 3 for o in observations])
    for n in NAMES:
        c = c + np.outer(s[n], s[n]) * halves[n] ** 2 / 3
    inverse = np.linalg.inv(c)
    found = {x.name: x for x in suspects(observations, halves)}
    for n, x in found.items():
        along, size = float(s[n] @ inverse @ r), float(s[n] @ inverse @ s[n])
        assert x.w == pytest.approx(abs(along) / math.sqrt(size))
        assert x.error == pytest.approx(along / size)
        before = float(r @ inverse @ r)
        left = r - s[n] * x.error
        assert before - float(left @ inverse @ left) == pytest.approx(x.w**2)
    top = max(x.w for x in found.values())
    assert all(
        x.likelihood == pytest.approx(math.exp((x.w**2 - top**2) / 2)) for x in found.values()
    )


def test_the_order_is_that_of_the_test_value() -> None:
    observations, halves = drawn(Random(99), 6)
    ranked = [x.w for x in suspects(observations, halves)]
    assert ranked == sorted(ranked, reverse=True)


def test_one_wrong_number_is_found_and_measured() -> None:
    """Two sums share `ear`; only `ear` is in both, so that both residuals point to it."""
    observations = [
        Observation(0.8, 0.1, {"ear": -1.0, "disc": 1.0}),
        Observation(0.8, 0.1, {"ear": -1.0, "caliper": 1.0}),
        Observation(0.0, 0.1, {"disc": 1.0, "caliper": 1.0}),
    ]
    first, *others = suspects(observations, {"ear": 0.1, "disc": 0.1, "caliper": 0.1})
    assert first.name == "ear"
    assert first.error == pytest.approx(-0.8)
    assert first.likelihood == 1.0
    assert all(o.likelihood < 0.01 for o in others)


def test_what_is_always_in_the_same_sum_is_told_as_alike() -> None:
    observations = [
        Observation(0.5, 0.1, {"plate": 1.0, "height": -1.0, "ear": 1.0}),
        Observation(0.5, 0.1, {"plate": 2.0, "height": -2.0}),
    ]
    found = {
        x.name: x for x in suspects(observations, dict.fromkeys(("plate", "height", "ear"), 1))
    }
    assert found["plate"].alike == ("height",)
    assert found["height"].alike == ("plate",)
    assert found["ear"].alike == ()
    assert found["plate"].w == pytest.approx(found["height"].w)
    assert found["plate"].error == pytest.approx(-found["height"].error)


def test_a_wide_number_is_not_the_wider_suspect_for_its_width() -> None:
    """Its ± is taken as told: what lies within it needs no error."""
    wide = {"loose": 2.0, "tight": 0.05}
    tight, loose = suspects([Observation(1.0, 0.1, {"loose": 1.0}),
                             Observation(1.0, 0.1, {"tight": 1.0})], wide)  # fmt: skip
    assert (tight.name, loose.name) == ("tight", "loose")
    assert loose.w < 1.0 < tight.w


def test_nothing_observed_accuses_nobody_and_a_number_needs_its_doubt() -> None:
    assert suspects([], {}) == ()
    with pytest.raises(KeyError):
        suspects([Observation(1.0, 0.1, {"ear": 1.0})], {})


def test_exact_measurements_of_exact_numbers_do_not_divide_by_nought() -> None:
    (only,) = suspects([Observation(1.0, 0.0, {"ear": 1.0})], {"ear": 0.0})
    assert only.error == pytest.approx(1.0)
    assert only.likelihood == 1.0
