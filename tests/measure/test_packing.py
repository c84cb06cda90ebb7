"""The packing factor beyond its outside values."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lugplane.measure.packing import packing_factor


@settings(deadline=None)
@given(st.floats(5.0, 20.0), st.floats(0.0, 30.0), st.floats(0.0, 5.0))
def test_more_packing_never_helps(d: float, t: float, more: float) -> None:
    assert 0.0 < packing_factor(d, t + more) <= packing_factor(d, t) <= 1.0


@settings(deadline=None)
@given(st.floats(5.0, 20.0))
def test_no_step_at_a_third_of_the_diameter(d: float) -> None:
    assert packing_factor(d, d / 3.0) == 1.0
    assert packing_factor(d, d / 3.0 + 1e-9) == pytest.approx(1.0, abs=1e-9)
    assert packing_factor(d, d / 3.0 + 0.5) < 1.0


@pytest.mark.parametrize(("d", "t"), [(0.0, 1.0), (12.0, -0.1), (12.0, float("nan"))])
def test_values_that_are_none_are_refused(d: float, t: float) -> None:
    with pytest.raises(ValueError, match=r"nominal_mm|packing_mm"):
        packing_factor(d, t)
