import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from perennate.science.development import (
    NEVER,
    days_to_reach,
    heat_needed,
    mean_days_at,
    spread_over_years,
)


def _three_years(seed):
    draws = np.random.default_rng(seed)
    cold = draws.uniform(0, 15)
    return np.maximum(0.0, draws.uniform(0, 25, (3, 365)) - cold).round(1)


years = st.integers(0, 10**6).map(_three_years)


def test_days_at_one_warmth_become_a_heat_sum():
    assert heat_needed(75, 21, 10) == pytest.approx(825)
    assert heat_needed(75, 35, 10, ceiling=30) == pytest.approx(1500)
    with pytest.raises(ValueError, match="above the base"):
        heat_needed(75, 10, 10)


def test_steady_warmth_takes_the_sum_divided_by_it():
    assert days_to_reach(np.full((2, 365), 10.0), [0, 100], 100).tolist() == [[10, 10]] * 2
    assert mean_days_at(825, [20, 10], 10).tolist() == [82.5, np.inf]


def test_sweet_corn_at_steady_warmth():
    # Oregon State University EM 9305: 855 degC d above 10 degC, ceiling 30, to fresh harvest.
    assert int(days_to_reach(np.full((1, 365), 12.0), [130], 855)[0, 0]) == 72


def test_a_stand_crosses_into_the_next_year_and_the_last_into_the_first():
    heat = np.zeros((3, 365))
    heat[:, 10] = [1.0, 2.0, 3.0]
    assert days_to_reach(heat, [360], 1.0).ravel().tolist() == [16, 16, 16]
    # Three are needed: years 2 and 3 get them from the next row at once or after another year.
    assert days_to_reach(heat, [360], 3.0).ravel().tolist() == [381, 16, 381]


def test_where_the_heat_does_not_come_the_answer_is_never():
    assert days_to_reach(np.zeros((2, 365)), [5], 1.0).tolist() == [[NEVER], [NEVER]]
    assert days_to_reach(np.full((1, 365), 1.0), [5], 101.0, max_days=100).tolist() == [[NEVER]]
    assert days_to_reach(np.full((1, 365), 1.0), [5], 100.0, max_days=100).tolist() == [[100]]
    assert days_to_reach(np.zeros((1, 365)), [5], 0.0).tolist() == [[0]]


@settings(max_examples=60, deadline=None)
@given(years, st.integers(0, 364), st.floats(0.1, 4000))
def test_the_sum_is_reached_on_the_day_and_not_before(heat, start, needed):
    days = days_to_reach(heat, [start], needed)
    run = np.concatenate([heat.ravel(), heat.ravel(), heat.ravel()])
    for year, found in enumerate(days[:, 0]):
        begin = year * 365 + start
        if found == NEVER:
            assert run[begin : begin + 730].sum() < needed
        else:
            assert run[begin : begin + found].sum() >= needed - 1e-3
            assert run[begin : begin + found - 1].sum() < needed


@settings(max_examples=30, deadline=None)
@given(years, st.floats(1, 2000))
def test_a_warmer_world_is_never_slower(heat, needed):
    starts = np.arange(0, 365, 30)
    cool, warm = days_to_reach(heat, starts, needed), days_to_reach(heat + 1.0, starts, needed)
    late = np.where(cool == NEVER, 10_000, cool)
    assert np.all(np.where(warm == NEVER, 10_000, warm) <= late)


def test_each_start_may_need_its_own_sum():
    heat = np.full((1, 365), 5.0)
    assert days_to_reach(heat, [0, 0, 0], [5, 50, 500]).tolist() == [[1, 10, 100]]


def test_the_spread_over_years_counts_never_as_latest():
    days = np.array([[50], [60], [70], [80], [NEVER]])
    spread = spread_over_years(days)
    assert (spread.low[0], spread.median[0], spread.high[0]) == (50, 70, NEVER)
    assert spread.never_share[0] == pytest.approx(0.2)


def test_a_season_of_crops_takes_less_than_half_a_second():
    heat = np.random.default_rng(1).uniform(0, 20, (40, 365))
    starts = np.arange(0, 365, 7)
    best = min(_seconds(heat, starts) for _ in range(3))
    assert best < 0.5


def _seconds(heat, starts):
    begun = time.perf_counter()
    for crop in range(80):
        days_to_reach(heat, starts, 300.0 + 20 * crop)
    return time.perf_counter() - begun


@pytest.mark.parametrize(
    ("heat", "starts", "says"),
    [
        (np.zeros((1, 366)), [0], "365"),
        (np.zeros((1, 365)), [365], "0 to 364"),
        (np.full((1, 365), np.nan), [0], "numbers"),
        (np.full((1, 365), -1.0), [0], "numbers"),
    ],
)
def test_impossible_input_is_refused(heat, starts, says):
    with pytest.raises(ValueError, match=says):
        days_to_reach(heat, starts, 10.0)
