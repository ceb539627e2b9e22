"""Stretches of days across new year and leap days, and what a climate says of them."""

from datetime import date, timedelta

import made
import numpy as np
import pytest

from perennate.planning.nights import (
    chance_of_hot_spell,
    chance_of_night,
    heat_between,
    last_cold_night,
    mean_by_day,
    stretch,
)

CLIMATE = made.climate()


def test_a_stretch_runs_over_new_year_and_reads_the_leap_day_as_the_day_before() -> None:
    assert stretch(date(2027, 12, 30), date(2028, 1, 2)).tolist() == [363, 364, 0, 1]
    assert stretch(date(2028, 2, 28), date(2028, 3, 1)).tolist() == [58, 59]
    assert len(stretch(date(2027, 1, 1), date(2030, 1, 1))) == 365


def test_no_days_have_no_night_and_a_longer_stretch_never_a_smaller_chance() -> None:
    first = date(2027, 2, 20)
    assert chance_of_night(CLIMATE, first, first - timedelta(1), 0.0) == 0.0
    chances = [chance_of_night(CLIMATE, first, first + timedelta(n), 0.0) for n in range(0, 60, 5)]
    assert chances == sorted(chances)
    assert 0 < chances[-1] <= 1


def test_frost_comes_in_the_other_half_of_the_year_in_the_south() -> None:
    july = date(2027, 7, 1), date(2027, 7, 31)
    assert chance_of_night(made.climate(south=True), *july, 0.0) == 1.0
    assert chance_of_night(CLIMATE, *july, 0.0) == 0.0


def test_after_the_last_cold_night_the_chance_is_small_and_before_it_is_not() -> None:
    first, end = date(2027, 2, 1), date(2027, 6, 30)
    last = last_cold_night(CLIMATE, first, end, 0.0, 0.1)
    assert last is not None
    assert chance_of_night(CLIMATE, last + timedelta(1), end, 0.0) <= 0.1
    assert chance_of_night(CLIMATE, last, end, 0.0) > 0.1
    assert last_cold_night(CLIMATE, date(2027, 7, 1), date(2027, 8, 1), 0.0, 0.1) is None


def test_a_hot_spell_is_days_on_end() -> None:
    hot = made.climate()
    hot.tmax[:, 200:202] = 45.0
    days = date(2027, 7, 1), date(2027, 8, 10)
    assert chance_of_hot_spell(hot, *days, 40.0, 3) == 0.0
    hot.tmax[:15, 202] = 45.0
    assert chance_of_hot_spell(hot, *days, 40.0, 3) == pytest.approx(0.5)


def test_degree_days_of_two_stretches_add_up() -> None:
    mean = mean_by_day(CLIMATE)
    assert mean.shape == (365,)
    assert np.ptp(mean) < np.ptp((CLIMATE.tmax + CLIMATE.tmin).mean(axis=0) / 2)
    a, b, c = date(2027, 3, 1), date(2027, 5, 1), date(2027, 8, 1)
    whole = heat_between(mean, a, c, 5.0)
    assert whole == pytest.approx(heat_between(mean, a, b, 5.0) + heat_between(mean, b, c, 5.0))
    assert heat_between(mean, c, a, 5.0) == 0.0
