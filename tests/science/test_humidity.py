import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science import humidity, open_water, radiation
from perennate.science.hourly_evapotranspiration import extraterrestrial_radiation_hour
from perennate.science.sun import extraterrestrial_radiation


@given(dew=st.floats(-40, 40))
def test_the_dew_point_comes_back_from_its_vapour_pressure(dew: float) -> None:
    vapour = humidity.vapour_pressure_from_dew_point(dew)
    assert float(humidity.dew_point(vapour)) == pytest.approx(dew, abs=1e-9)


@given(temperature=st.floats(-40, 45))
def test_the_slope_is_that_of_the_curve(temperature: float) -> None:
    step = 0.001
    above, below = (
        float(humidity.saturation_vapour_pressure(temperature + off)) for off in (step, -step)
    )
    slope = float(humidity.vapour_pressure_slope(temperature))
    assert slope == pytest.approx((above - below) / (2 * step), rel=1e-4)


@given(tmin=st.floats(-20, 30), range_=st.floats(0, 25))
def test_the_mean_of_both_ends_is_never_under_the_curve_at_the_mean(
    tmin: float, range_: float
) -> None:
    """FAO-56, example 3: e0 of the mean temperature understates es."""
    es = float(humidity.mean_saturation_vapour_pressure(tmin, tmin + range_))
    assert es >= float(humidity.saturation_vapour_pressure(tmin + range_ / 2)) - 1e-12


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="are they exchanged"):
        humidity.vapour_pressure_from_psychrometer(19.5, 25.6, 87.9)
    with pytest.raises(ValueError, match="must be above 0 kPa"):
        humidity.dew_point(0.0)
    with pytest.raises(ValueError, match="a pan coefficient lies between"):
        open_water.et0_from_pan(7.9, 8.5)


@pytest.mark.parametrize(("latitude", "day"), [(16.2, 274), (52.0, 172), (-33.0, 20), (70.0, 172)])
def test_the_hours_of_a_day_add_to_the_day(latitude: float, day: int) -> None:
    middles = np.pi / 12.0 * (np.arange(24) + 0.5 - 12.0)
    hours = extraterrestrial_radiation_hour(latitude, day, middles)
    assert hours.min() >= 0.0
    assert hours.sum() == pytest.approx(float(extraterrestrial_radiation(latitude, day)), rel=1e-6)


@given(rs=st.floats(0, 35), vapour=st.floats(0.05, 4), tmin=st.floats(-30, 30))
def test_a_clearer_sky_takes_more_warmth(rs: float, vapour: float, tmin: float) -> None:
    cloudy, clear = (
        float(radiation.net_longwave(tmin, tmin + 8.0, vapour, sun, 30.0))
        for sun in (min(rs, 30.0) * 0.8, min(rs, 30.0))
    )
    assert cloudy <= clear + 1e-12
