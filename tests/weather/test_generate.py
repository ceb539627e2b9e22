"""Generated weather has the moments of its law, and fitting finds the law again."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from perennate.science import weather_generator as wgen
from perennate.weather.generate import generate, in_order, law_of_normals, law_of_record
from perennate.weather.normals import MONTH_OF_DAY, smooth_year
from perennate.weather.position import normals_of_position

YEARS = 200
LAW = law_of_normals(normals_of_position(50.0, 100.0))
TMIN, TMAX, RAIN = generate(LAW, YEARS, 17)


def test_means_and_spread_are_those_of_the_law() -> None:
    wet = RAIN > 0
    for month in range(12):
        days = month == MONTH_OF_DAY
        for values, dry_mean, wet_mean, sd in (
            (TMIN, LAW.tmin_dry, LAW.tmin_wet, LAW.tmin_sd),
            (TMAX, LAW.tmax_dry, LAW.tmax_wet, LAW.tmax_sd),
        ):
            off = values[:, days] - np.where(wet, wet_mean, dry_mean)[:, days]
            assert off.mean() == pytest.approx(0.0, abs=0.5)
            assert off.std() == pytest.approx(sd[days].mean(), rel=0.08)


def test_wet_days_and_rain_are_those_of_the_law() -> None:
    wet = RAIN > 0
    share = wgen.long_run_wet_share(LAW.wet_after_dry, LAW.wet_after_wet)
    assert wet.mean() == pytest.approx(share.mean(), abs=0.01)
    expected = (share * LAW.rain_shape * LAW.rain_scale).sum()
    assert RAIN.sum(axis=1).mean() == pytest.approx(expected, rel=0.03)
    after_wet = wet[:, 1:][wet[:, :-1]].mean()
    after_dry = wet[:, 1:][~wet[:, :-1]].mean()
    assert after_wet == pytest.approx(LAW.wet_after_wet.mean(), abs=0.02)
    assert after_dry == pytest.approx(LAW.wet_after_dry.mean(), abs=0.02)


def test_a_cold_spell_lasts_as_the_matrices_say() -> None:
    wet = RAIN > 0
    off = (TMIN - np.where(wet, LAW.tmin_wet, LAW.tmin_dry)) / LAW.tmin_sd
    _, m1 = wgen.lag_correlations()
    assert np.mean(off[:, 1:] * off[:, :-1]) == pytest.approx(m1[1, 1], abs=0.03)


def test_the_law_is_found_again_in_its_own_weather() -> None:
    fitted = law_of_record(TMIN, TMAX, RAIN, LAW)
    assert fitted.tmin_dry == pytest.approx(LAW.tmin_dry, abs=0.6)
    assert fitted.tmax_wet == pytest.approx(LAW.tmax_wet, abs=0.7)
    assert fitted.tmin_sd == pytest.approx(LAW.tmin_sd, rel=0.1)
    assert fitted.wet_after_dry == pytest.approx(LAW.wet_after_dry, abs=0.04)
    assert fitted.rain_shape * fitted.rain_scale == pytest.approx(
        LAW.rain_shape * LAW.rain_scale, rel=0.2
    )


def test_a_month_without_rain_stays_dry() -> None:
    normals = normals_of_position(15.0, 100.0)
    normals.rain[[0, 1]] = 0.0
    _, _, rain = generate(law_of_normals(normals), 20, 1)
    assert rain[:, MONTH_OF_DAY == 1].sum() == 0.0
    assert rain[:, MONTH_OF_DAY == 6].sum() > 0.0


@given(st.lists(st.floats(-30, 40), min_size=12, max_size=12))
def test_a_smooth_year_keeps_its_monthly_means(monthly: list[float]) -> None:
    """Eleven weights for twelve means: what is left is the fastest wiggle, shared by all."""
    months = np.array(monthly)
    year = smooth_year(months)
    back = np.bincount(MONTH_OF_DAY, weights=year) / np.bincount(MONTH_OF_DAY)
    wiggle = np.abs(np.mean(months * np.array([1, -1] * 6)))
    assert back == pytest.approx(months, abs=1.2 * wiggle + 0.01 * np.ptp(months) + 1e-9)


def test_a_season_of_normals_comes_back_within_a_twentieth_of_a_degree() -> None:
    months = 10 - 9 * np.cos(2 * np.pi * (np.arange(12) - 0.3) / 12) + 0.2 * np.arange(12) % 3
    year = smooth_year(months)
    back = np.bincount(MONTH_OF_DAY, weights=year) / np.bincount(MONTH_OF_DAY)
    assert back == pytest.approx(months, abs=0.25)


@settings(max_examples=50)
@given(st.floats(-40, 40), st.floats(-5, 20))
def test_the_highest_lies_above_the_lowest(low: float, range_: float) -> None:
    tmin, tmax = in_order(np.array([low]), np.array([low + range_]))
    assert tmax[0] - tmin[0] >= 0.5 - 1e-9
