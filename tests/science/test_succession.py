import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science import succession


def test_beans_picked_weekly_are_sown_seventeen_days_apart_in_spring():
    # Base 10: July brings 12 a day, May 5; 84 degree days take 16.8 days.
    assert succession.interval_of_equal_heat(7, 12, 5) == pytest.approx(16.8)


def test_sowings_to_cover_a_season():
    assert succession.number_of_sowings(100, 160, 20) == 4
    assert succession.number_of_sowings(100, 161, 20) == 5
    assert succession.number_of_sowings(100, 100, 20) == 1


def test_sowing_days_lie_further_apart_where_it_is_cool():
    heat = np.concatenate([np.full(60, 5.0), np.full(60, 12.0)])
    days = succession.sowing_days(heat, [88, 95, 102], 600)
    assert np.diff(days).tolist() == [17, 16]


@given(
    st.lists(st.floats(0, 20), min_size=30, max_size=120),
    st.integers(0, 30),
    st.floats(0, 300),
)
def test_the_sowing_day_is_the_latest_that_brings_the_heat(heat, harvest, needed):
    day = int(succession.sowing_days(heat, harvest, needed)[0])
    if day >= 0:
        assert sum(heat[day:harvest]) >= needed - 1e-6
        assert day == harvest or sum(heat[day + 1 : harvest]) < needed + 1e-6
    else:
        assert sum(heat[:harvest]) < needed


@pytest.mark.parametrize(
    ("days", "window", "credit", "weeks"), [(55.5, 21, 0, 12), (62.5, 28, 60, 5)]
)
def test_last_sowing_of_snap_bean_and_kale(days, window, credit, weeks):
    assert succession.weeks_before_first_frost(days, window, credit) == weeks


def test_plants_raised_in_the_nursery_may_be_set_out_later():
    assert succession.weeks_before_first_frost(62.5, 28, 0, nursery_weeks=5) < (
        succession.weeks_before_first_frost(62.5, 28, 0)
    )


def test_impossible_wishes_are_refused():
    with pytest.raises(ValueError, match="window"):
        succession.number_of_sowings(1, 2, 0)
    with pytest.raises(ValueError, match="before"):
        succession.number_of_sowings(3, 2, 5)
    with pytest.raises(ValueError, match="heat"):
        succession.interval_of_equal_heat(7, 12, 0)
