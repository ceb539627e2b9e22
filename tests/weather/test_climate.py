"""What a Climate answers, in both hemispheres, with and without frost."""

import time
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.weather import Climate, climate_from
from perennate.weather import climate as questions
from perennate.weather.climate import (
    chance_above,
    chance_below,
    chance_of_frost_between,
    coldest_day,
    day_index,
    degree_days,
    et0,
    frost_dates,
    heat_days,
    index_date,
    soil_temperature,
    soil_temperature_by_year,
    tmean,
    warm_nights,
)

NORTH = climate_from([], 48.0, 200.0, seed=3)
INDICES = st.integers(0, 364)


def made(tmin: np.ndarray, latitude: float = 50.0, range_: float = 8.0) -> Climate:
    tmin = np.atleast_2d(tmin).astype(float)
    return Climate(
        latitude, 100.0, tmin + range_, tmin, np.zeros_like(tmin), "recorded", len(tmin), ()
    )


def season(mean: float, swing: float, coldest: int = 19) -> np.ndarray:
    return mean - swing * np.cos(2 * np.pi * (np.arange(365) - coldest) / 365)


def rolled(climate: Climate, days: int) -> Climate:
    return Climate(
        -climate.latitude_deg,
        climate.elevation_m,
        np.roll(climate.tmax, days, axis=1),
        np.roll(climate.tmin, days, axis=1),
        np.roll(climate.rain, days, axis=1),
        climate.basis,
        climate.recorded_years,
    )


@pytest.mark.parametrize(
    ("day", "index"),
    [
        (date(2027, 1, 1), 0),
        (date(2027, 2, 28), 58),
        (date(2028, 2, 28), 58),
        (date(2028, 2, 29), 58),
        (date(2027, 3, 1), 59),
        (date(2028, 3, 1), 59),
        (date(2028, 12, 31), 364),
    ],
)
def test_the_leap_day_is_read_as_the_28th(day: date, index: int) -> None:
    assert day_index(day) == index


@given(index=INDICES, year=st.integers(1999, 2100))
def test_an_index_and_its_date_belong_together(index: int, year: int) -> None:
    assert day_index(index_date(index, year)) == index


def test_frost_dates_are_counted_over_the_years() -> None:
    """Ten years whose last frost falls on days 91 to 100 and first on days 280 to 289."""
    years = np.full((10, 365), 5.0)
    for year in range(10):
        years[year, : 91 + year + 1] = -2.0
        years[year, 280 + year :] = -2.0
    dates = frost_dates(made(years))
    assert dates.share_of_years == 1.0
    assert dates.spring == {0.1: 99, 0.2: 98, 0.5: 95, 0.8: 92, 0.9: 91}
    assert dates.autumn == {0.1: 281, 0.2: 282, 0.5: 285, 0.8: 288, 0.9: 289}
    assert dates.frost_free_days == 188


def test_where_frost_is_rare_there_is_no_date_for_the_common_chances() -> None:
    years = np.full((10, 365), 9.0) + season(0, 3)
    years[:3, 10:14] = -1.0
    dates = frost_dates(made(years))
    assert dates.share_of_years == 0.3
    assert dates.spring[0.5] is None
    assert dates.autumn[0.1] is not None or dates.spring[0.2] is not None


def test_the_tropics_have_no_frost_dates() -> None:
    dates = frost_dates(climate_from([], 3.0, 50.0))
    assert dates.share_of_years == 0.0
    assert set(dates.spring.values()) == set(dates.autumn.values()) == {None}
    assert dates.frost_free_days == 365


def test_frost_in_every_month_leaves_no_season() -> None:
    dates = frost_dates(made(season(-8, 6)))
    assert dates.share_of_years == 1.0
    assert dates.frost_free_days == 0


@given(threshold=st.sampled_from([2.2, 0.0, -2.2]), chance=st.sampled_from(questions.CHANCES))
def test_after_the_date_frost_comes_in_no_more_than_the_share_of_years(
    threshold: float, chance: float
) -> None:
    dates = frost_dates(NORTH, threshold)
    last, first = dates.spring[chance], dates.autumn[chance]
    assert last is not None
    assert first is not None
    warmest = coldest_day(NORTH.tmin, NORTH.latitude_deg) + 182
    after = chance_of_frost_between(NORTH, last + 1, warmest, threshold)
    from_it_on = chance_of_frost_between(NORTH, last, warmest, threshold)
    assert after <= chance < from_it_on
    before = chance_of_frost_between(NORTH, warmest + 1, first - 1, threshold)
    up_to_it = chance_of_frost_between(NORTH, warmest + 1, first, threshold)
    assert before <= chance < up_to_it


@given(days=st.sampled_from([182, 183]), threshold=st.sampled_from([2.0, 0.0, -3.0]))
def test_half_a_year_and_the_other_hemisphere_mirror_the_frost_dates(
    days: int, threshold: float
) -> None:
    here, there = frost_dates(NORTH, threshold), frost_dates(rolled(NORTH, days), threshold)
    for chance in questions.CHANCES:
        for ours, theirs in (
            (here.spring[chance], there.spring[chance]),
            (here.autumn[chance], there.autumn[chance]),
        ):
            assert ours is not None
            assert theirs == (ours + days) % 365
    assert here.frost_free_days == there.frost_free_days
    assert here.share_of_years == there.share_of_years


@given(start=INDICES, length=st.integers(0, 364), more=st.integers(0, 20), limit=st.floats(-15, 15))
def test_a_longer_stretch_never_has_less_frost(
    start: int, length: int, more: int, limit: float
) -> None:
    """Over the new year as well."""
    end = (start + length) % 365
    longer = (start + min(length + more, 364)) % 365
    assert chance_of_frost_between(NORTH, start, end, limit) <= chance_of_frost_between(
        NORTH, start, longer, limit
    )


def test_a_stretch_over_the_new_year() -> None:
    years = np.full((2, 365), 5.0)
    years[0, 2] = -1.0
    climate = made(years)
    assert chance_of_frost_between(climate, 360, 5) == 0.5
    assert chance_of_frost_between(climate, 5, 360) == 0.0
    assert heat_days(climate, 360, 5, 13.0).tolist() == [10, 11]
    assert warm_nights(climate, 360, 5, 5.0).tolist() == [10, 11]
    with pytest.raises(ValueError, match="0 to 364"):
        chance_of_frost_between(climate, 360, 365)


@given(low=st.floats(-20, 20), more=st.floats(0, 5))
def test_a_higher_limit_is_never_less_likely_undercut(low: float, more: float) -> None:
    assert np.all(chance_below(NORTH, low) <= chance_below(NORTH, low + more) + 1e-9)
    assert np.all(chance_above(NORTH, low + more) <= chance_above(NORTH, low) + 1e-9)


def test_the_chance_of_a_day_is_evened_over_the_days_around() -> None:
    years = np.full((4, 365), 5.0)
    years[0, 0] = -1.0
    assert chance_below(made(years), 0.0, 1)[0] == 0.25
    evened = chance_below(made(years), 0.0, 5)
    assert evened[[363, 364, 0, 1, 2, 3]].tolist() == [0.05, 0.05, 0.05, 0.05, 0.05, 0.0]
    assert evened.mean() == pytest.approx(0.25 / 365, abs=1e-6)


def test_soil_lags_behind_the_air_and_swings_less() -> None:
    climate = made(np.tile(season(6, 12), (3, 1)))
    air = tmean(climate).mean(axis=0)
    shallow, deep = soil_temperature(climate, 0.05), soil_temperature(climate, 1.0)
    assert np.ptp(deep) < np.ptp(shallow) < np.ptp(air)
    assert abs(shallow.argmin() - air.argmin()) <= 3
    assert 20 <= deep.argmin() - air.argmin() <= 32  # 365 / (2 pi) days at a depth of 2.24 m
    assert shallow.mean() == pytest.approx(air.mean(), abs=0.01)
    assert soil_temperature_by_year(climate, 0.05).shape == (3, 365)


def test_warmth_and_water_of_a_year_are_those_of_its_days() -> None:
    warm = made(np.full((1, 365), 15.0), latitude=0.0, range_=10.0)
    assert degree_days(warm, 10.0).sum() == pytest.approx(3650)
    assert degree_days(warm, 10.0, 18.0).sum() < 3650
    assert degree_days(warm, 10.0, method="mean").sum() == pytest.approx(3650)
    assert 4.0 < et0(warm).mean() < 6.0


def test_day_length_follows_the_hemisphere() -> None:
    north, south = questions.day_length(NORTH), questions.day_length(rolled(NORTH, 182))
    assert north[171] > 15.5
    assert south[171] < 9.0


def test_all_of_it_for_forty_years_takes_a_fifth_of_a_second_at_most() -> None:
    best = float("inf")
    for _ in range(5):
        start = time.perf_counter()
        tmean(NORTH)
        et0(NORTH)
        questions.day_length(NORTH)
        soil_temperature(NORTH, 0.05)
        degree_days(NORTH, 10.0, 30.0)
        chance_below(NORTH, 0.0)
        frost_dates(NORTH)
        chance_of_frost_between(NORTH, 120, 250)
        heat_days(NORTH, 120, 250, 32.0)
        best = min(best, time.perf_counter() - start)
    assert best < 0.2
