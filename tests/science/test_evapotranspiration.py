import numpy as np
import pandas as pd
import pyet
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science import evapotranspiration, sun


def test_fao56_example_20_hargreaves_at_lyon_in_july() -> None:
    """Allen and others 1998, FAO-56, example 20: 5.0 mm/day (5.03 before rounding)."""
    ra = sun.extraterrestrial_radiation(45.72, 196)
    assert float(evapotranspiration.et0_hargreaves(14.8, 26.6, ra)) == pytest.approx(
        5.03, abs=0.005
    )


def test_hargreaves_can_be_a_third_too_high_on_a_still_winter_day() -> None:
    """McMahon and others 2013, Alice Springs, 20 July 1980: 2.08 mm by Penman-Monteith."""
    ra = sun.extraterrestrial_radiation(-23.7951, 202)
    assert float(evapotranspiration.et0_hargreaves(2.0, 21.0, ra)) == pytest.approx(2.83, abs=0.01)


def test_fao56_examples_8_and_10_radiation_as_water() -> None:
    """Allen and others 1998, FAO-56, examples 8 and 10."""
    assert float(evapotranspiration.evaporation_equivalent(32.2)) == pytest.approx(13.1, abs=0.1)
    assert float(evapotranspiration.evaporation_equivalent(14.5)) == pytest.approx(5.9, abs=0.05)


@pytest.mark.parametrize("latitude", [-43.0, -5.0, 0.0, 36.1, 52.0])
def test_it_agrees_with_pyet_on_the_same_days(latitude: float) -> None:
    """pyet lets the latent heat follow the temperature where FAO-56 holds it at 2.45 MJ/kg, so
    its result is brought to that first."""
    days = pd.date_range("2021-01-01", "2021-12-31", freq="D")
    chance = np.random.default_rng(7)
    tmin = pd.Series(10 + 8 * chance.standard_normal(365), index=days)
    tmax = tmin + 12 * chance.random(365)
    tmean = (tmin + tmax) / 2
    theirs = pyet.hargreaves(tmean, tmax, tmin, np.radians(latitude)) * pyet.calc_lambda(tmean)
    ra = sun.extraterrestrial_radiation(latitude, np.arange(1, 366))
    ours = evapotranspiration.et0_hargreaves(tmin.to_numpy(), tmax.to_numpy(), ra)
    assert ours == pytest.approx(theirs.to_numpy() * 0.408, abs=0.01)


@given(tmin=st.floats(-60, 40), range_=st.floats(0, 30), ra=st.floats(0, 50), more=st.floats(0, 5))
def test_more_sun_never_means_less_water(
    tmin: float, range_: float, ra: float, more: float
) -> None:
    less = float(evapotranspiration.et0_hargreaves(tmin, tmin + range_, ra))
    assert 0.0 <= less <= float(evapotranspiration.et0_hargreaves(tmin, tmin + range_, ra + more))


def test_it_refuses_crossed_temperatures() -> None:
    with pytest.raises(ValueError, match="tmax must not be below tmin"):
        evapotranspiration.et0_hargreaves(10, 9, 20)
