import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science import frost

CHANCES = st.floats(0.01, 0.99)


@pytest.mark.parametrize(
    ("chance", "day"), [(0.1, 125.4), (0.2, 120.1), (0.5, 110.0), (0.8, 99.9), (0.9, 94.6)]
)
def test_last_frost_later_than_this_day_in_a_share_of_years(chance: float, day: float) -> None:
    """The normal rule, mean day 110, standard deviation 12 days: z 1.2816, 0.8416, 0."""
    assert float(frost.frost_date_normal(110, 12, chance)) == pytest.approx(day, abs=0.1)


def test_where_only_some_years_have_frost() -> None:
    """NOAA freeze tables' mixed law: 0.60 (1 - F(x)) = 0.10, mean 40, sd 15 days."""
    assert float(frost.frost_date_mixed(0.6, 40, 15, 0.1)) == pytest.approx(54.5, abs=0.1)


def test_no_date_where_frost_is_rarer_than_the_chance_asked_for() -> None:
    assert np.isnan(frost.frost_date_mixed(0.05, 40, 15, 0.1))
    assert np.isnan(frost.frost_date_mixed(0.0, 40, 15, 0.5))


@given(chance=CHANCES, mean=st.floats(60, 150), sd=st.floats(1, 30))
def test_autumn_mirrors_spring(chance: float, mean: float, sd: float) -> None:
    spring = float(frost.frost_date_normal(mean, sd, chance, "spring"))
    autumn = float(frost.frost_date_normal(-mean, sd, chance, "autumn"))
    assert autumn == pytest.approx(-spring)


@given(share=st.floats(0.05, 1.0), chance=CHANCES)
def test_fewer_frost_years_never_make_the_date_later(share: float, chance: float) -> None:
    mixed = float(frost.frost_date_mixed(share, 110, 12, chance))
    assert np.isnan(mixed) or mixed <= float(frost.frost_date_normal(110, 12, chance)) + 1e-9


def test_the_standard_error_of_a_ten_year_record() -> None:
    """Standard error about 1.35 sd / sqrt n for the 10 % date: ten years, 12 days, 5 days."""
    assert float(frost.frost_date_error(12, 10, 0.1)) == pytest.approx(5.1, abs=0.1)


@pytest.mark.parametrize(
    ("lowest_c", "zone"),
    [
        (-51.0, "1a"),
        (-45.5, "2a"),
        (-40.0, "3a"),
        (-28.8, "5a"),
        (-23.2, "6a"),
        (-17.7, "7a"),
        (-12.1, "8a"),
        (-9.4, "8b"),
        (-6.6, "9a"),
        (-1.0, "10a"),
        (4.5, "11a"),
        (10.0, "12a"),
        (15.7, "13a"),
        (20.0, "13b"),
        (-60.0, "1a"),
    ],
)
def test_hardiness_zones_begin_where_the_map_says(lowest_c: float, zone: str) -> None:
    """USDA plant hardiness zones: lower bounds of 1a to 13a in Celsius, from 5 degF half zones."""
    assert frost.hardiness_zone(lowest_c) == zone


def test_the_mean_is_classed_and_not_each_year() -> None:
    assert frost.hardiness_zone([-20.0, -20.0, -5.0]) == "7b"


def test_it_refuses_what_is_no_chance() -> None:
    with pytest.raises(ValueError, match="chance must lie between"):
        frost.frost_date_normal(110, 12, 1.0)
    with pytest.raises(ValueError, match="share of years"):
        frost.frost_date_mixed(1.2, 110, 12, 0.1)
    with pytest.raises(ValueError, match="two years"):
        frost.frost_date_error(12, 1, 0.1)
    with pytest.raises(ValueError, match="must be numbers"):
        frost.hardiness_zone([float("nan")])
