import numpy as np
import pytest

from perennate.weather.chill_of_years import (
    WINTER_DAYS,
    chill_met_by,
    chill_of_years,
    winter_days,
)
from perennate.weather.climate import Climate


def climate(latitude: float, mean: float, swing: float, years: int = 20) -> Climate:
    """Invented years of a yearly wave, coldest in mid January or mid July, each a little other."""
    rng = np.random.default_rng(3)
    coldest = 15 if latitude >= 0 else 197
    wave = mean - swing * np.cos(2 * np.pi * (np.arange(365) - coldest) / 365)
    days = wave + rng.normal(0, 2, (years, 365)) + rng.normal(0, 1, (years, 1))
    return Climate(latitude, 50.0, days + 4.0, days - 4.0, np.zeros((years, 365)), "recorded", 20)


COOL = climate(50.0, 10.0, 8.0)


def test_a_winter_is_the_half_year_about_the_coldest_day() -> None:
    north = winter_days(COOL)
    south = winter_days(climate(-50.0, 10.0, 8.0))
    assert len(north) == len(south) == WINTER_DAYS
    assert north[WINTER_DAYS // 2] == pytest.approx(15, abs=4)
    assert south[WINTER_DAYS // 2] == pytest.approx(197, abs=4)
    assert north[0] > north[-1]  # over the new year
    assert south[0] < south[-1]


def test_both_hemispheres_bring_the_same_chill() -> None:
    north, south = chill_of_years(COOL), chill_of_years(climate(-50.0, 10.0, 8.0))
    for count in ("portions", "utah", "hours"):
        assert np.median(getattr(north, count)) == pytest.approx(
            np.median(getattr(south, count)), rel=0.1
        )
    assert 60.0 < np.median(north.portions) < 150.0


def test_the_tropics_bring_none() -> None:
    found = chill_of_years(climate(5.0, 27.0, 0.2))
    assert found.portions.max() == 0.0
    assert found.utah.max() == 0.0
    assert found.hours.max() == 0.0
    assert chill_met_by(found, 10.0) is None


def test_frost_counts_in_one_count_of_hours_and_not_in_the_other() -> None:
    cold = chill_of_years(climate(62.0, -2.0, 14.0))
    assert np.all(cold.hours_with_frost > cold.hours)


def test_running_counts_end_at_the_sum_of_the_winter() -> None:
    found = chill_of_years(COOL)
    assert found.by_day["portions"][:, -1] == pytest.approx(found.portions)
    assert found.by_day["hours"][:, -1] == pytest.approx(found.hours)
    assert np.all(found.by_day["utah"].max(axis=1) <= found.utah + 1e-9)
    assert np.all(np.diff(found.by_day["portions"], axis=1) >= 0.0)


def test_nine_years_in_ten_take_longer_than_five() -> None:
    found = chill_of_years(COOL)
    order = {int(day): place for place, day in enumerate(found.days)}
    half, nearly_all = (chill_met_by(found, 40.0, share_of_years=p) for p in (0.5, 0.9))
    assert half is not None
    assert nearly_all is not None
    assert order[half] < order[nearly_all]
    met = (found.by_day["portions"][:, order[half]] >= 40.0).mean()
    assert met >= 0.5
    assert (found.by_day["portions"][:, order[half] - 1] >= 40.0).mean() < 0.5


def test_chill_that_most_winters_do_not_bring_has_no_date() -> None:
    found = chill_of_years(COOL)
    assert chill_met_by(found, float(found.portions.max()) + 1.0) is None
    assert chill_met_by(found, float(np.sort(found.portions)[-2]), share_of_years=0.9) is None


def test_no_chill_is_no_question() -> None:
    found = chill_of_years(COOL)
    with pytest.raises(ValueError, match="above 0"):
        chill_met_by(found, 0.0)
    with pytest.raises(ValueError, match="share"):
        chill_met_by(found, 10.0, share_of_years=1.5)
