"""Dependable rain by FAO's rule (Smith 1992); values worked out from it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science.effective_rain import dependable_rain


@pytest.mark.parametrize(("rain", "counted"), [(40.0, 14.0), (100.0, 56.0), (10.0, 0.0)])
def test_a_months_rain(rain: float, counted: float) -> None:
    assert dependable_rain(rain) == pytest.approx(counted, abs=0.01)


@given(st.lists(st.floats(0.0, 800.0), min_size=2, max_size=12))
def test_never_more_than_falls_and_more_where_more_falls(rain: list[float]) -> None:
    months = np.sort(np.array(rain))
    counted = dependable_rain(months)
    assert (counted <= months).all()
    assert (np.diff(counted) >= -1e-9).all()


def test_negative_rain_is_refused() -> None:
    with pytest.raises(ValueError, match="0 mm or more"):
        dependable_rain([30.0, -2.0])
