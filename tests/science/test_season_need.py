import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from perennate.science.season_need import season_need

YEARS, DAYS = 3, 40
demands = arrays(np.float64, (YEARS, DAYS), elements=st.floats(0, 10))
rains = arrays(np.float64, (YEARS, DAYS), elements=st.sampled_from([0.0, 0.0, 0.0, 2.5, 18.0, 60]))


@given(et0=demands, rain=rains, reach=st.floats(10, 150), fraction=st.floats(0.1, 0.8),
       left=st.floats(0, 1))  # fmt: skip
def test_what_comes_and_what_goes_close(
    et0: np.ndarray, rain: np.ndarray, reach: float, fraction: float, left: float
) -> None:
    need = season_need(et0, rain, 1.1, 0.9, reach, fraction, left)
    came = rain.sum(axis=1) + need.given.sum(axis=1)
    went = need.asked.sum(axis=1) + need.drained.sum(axis=1)
    assert came + need.left_dry == pytest.approx(went, abs=1e-9)
    assert (need.given >= 0).all()
    assert (need.drained >= 0).all()


@given(et0=demands, reach=st.floats(30, 150))
def test_more_rain_never_asks_for_more_from_the_tap(et0: np.ndarray, reach: float) -> None:
    """Over a season, to within one filling: single days may be put off by rain."""
    dry = season_need(et0, np.zeros((YEARS, DAYS)), 1.1, 0.9, reach, 0.5)
    wet = season_need(et0, np.full((YEARS, DAYS), 3.0), 1.1, 0.9, reach, 0.5)
    assert (wet.given.sum(axis=1) <= dry.given.sum(axis=1) + reach).all()


def test_an_ordinary_fortnight_by_hand() -> None:
    """5 mm a day from 40 mm that may be half used: 25 > 20 on the fifth day, then again."""
    need = season_need(np.full((1, 14), 5.0), np.zeros((1, 14)), 1.0, 0.9, 40.0, 0.5)
    assert np.flatnonzero(need.given[0]).tolist() == [4, 9]
    assert need.given[0, 4] == 25.0
    assert need.left_dry[0] == 20.0


def test_mulch_takes_from_the_soils_share_alone() -> None:
    et0, rain = np.full((1, 10), 4.0), np.zeros((1, 10))
    open_ground = season_need(et0, rain, 1.0, 0.8, 60.0, 0.5).asked.sum()
    mulched = season_need(et0, rain, 1.0, 0.8, 60.0, 0.5, 0.5).asked.sum()
    assert open_ground - mulched == pytest.approx(0.5 * 0.2 * 40.0)


def test_what_cannot_be_is_refused() -> None:
    some = np.ones((1, 5))
    with pytest.raises(ValueError, match="rain must not be negative, found -3"):
        season_need(some, -3.0 * some, 1.0, 0.9, 50.0, 0.5)
    with pytest.raises(ValueError, match="evapotranspiration must not be negative"):
        season_need(-some, some, 1.0, 0.9, 50.0, 0.5)
    with pytest.raises(ValueError, match="hold some water"):
        season_need(some, some, 1.0, 0.9, 0.0, 0.5)
