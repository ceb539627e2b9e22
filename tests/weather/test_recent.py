"""Readings and forecasts beside the climate, and the rules for the day itself."""

from datetime import date, timedelta

import numpy as np
import pytest

from perennate.weather import NearTerm, climate_from, read_weather, update_with_readings
from perennate.weather.climate import day_index
from perennate.weather.recent import chance_of_frost, soil_warm_since
from perennate.weather.rules import forecast_night_rule, soil_warm_rule

CLIMATE = climate_from([], 51.0, 100.0, seed=4)
TODAY = date(2026, 5, 4)


def near(rows: str, as_of: date = TODAY, **more: int) -> NearTerm:
    data = "date,tmin_c,tmax_c,rain_mm,kind\n" + rows
    return update_with_readings(CLIMATE, [read_weather(data.encode())], as_of, **more)


def usual(name: str, day: date) -> float:
    return float(np.median(getattr(CLIMATE, name)[:, day_index(day)]))


def test_nothing_known_is_the_climate_itself() -> None:
    term = update_with_readings(CLIMATE, [], TODAY)
    assert set(term.kind) == {"climate"}
    assert len(term.kind) == 44
    assert term.tmin[term.index(TODAY)] == pytest.approx(usual("tmin", TODAY), abs=0.051)
    assert np.all(term.tmin_low <= term.tmin)
    assert np.all(term.tmin <= term.tmin_high)


def test_a_reading_is_certain_and_a_forecast_is_not() -> None:
    term = near("2026-05-03,1.5,12,0,observed\n2026-05-05,-1,9,2,forecast\n")
    yesterday, tomorrow = term.index(date(2026, 5, 3)), term.index(date(2026, 5, 5))
    assert (term.kind[yesterday], term.kind[tomorrow]) == ("observed", "forecast")
    assert term.tmin_low[yesterday] == term.tmin[yesterday] == term.tmin_high[yesterday] == 1.5
    assert term.tmin_low[tomorrow] < -1 < term.tmin_high[tomorrow]
    assert 0.5 < chance_of_frost(term)[tomorrow] < 1.0
    assert chance_of_frost(term)[yesterday] == 0.0


def test_a_forecast_is_worth_less_with_every_day() -> None:
    rows = "".join(f"{TODAY + timedelta(i)},3,12,0,forecast\n" for i in range(10))
    term = near(rows)
    width = (term.tmin_high - term.tmin_low)[term.index(TODAY) :][:10]
    assert np.all(np.diff(width) > 0)


def test_a_cold_spell_wears_off_into_the_climate() -> None:
    rows = "".join(f"{TODAY - timedelta(i)},-6,2,0,observed\n" for i in range(1, 4))
    term = near(rows)
    off = [
        term.tmin[term.index(day)] - usual("tmin", day)
        for day in (TODAY, TODAY + timedelta(3), TODAY + timedelta(13))
    ]
    assert off[0] < off[1] < off[2] < 0.1
    narrow, wide = (
        term.tmin_high[term.index(day)] - term.tmin_low[term.index(day)]
        for day in (TODAY, TODAY + timedelta(10))
    )
    assert narrow < wide


def test_readings_outweigh_forecasts_whatever_the_order() -> None:
    forecast = read_weather(b"date,tmin_c,tmax_c,kind\n2026-05-03,-4,3,forecast\n", "f.csv")
    reading = read_weather(b"date,tmin_c,tmax_c\n2026-05-03,2,9\n", "r.csv")
    for series in ([forecast, reading], [reading, forecast]):
        term = update_with_readings(CLIMATE, series, TODAY)
        assert term.tmin[term.index(date(2026, 5, 3))] == 2.0
        assert term.kind[term.index(date(2026, 5, 3))] == "observed"


def test_the_newer_forecast_counts() -> None:
    old = read_weather(b"date,tmin_c,tmax_c,kind\n2026-05-06,-4,3,forecast\n", "old.csv")
    new = read_weather(b"date,tmin_c,tmax_c,kind\n2026-05-06,1,8,forecast\n", "new.csv")
    term = update_with_readings(CLIMATE, [old, new], TODAY)
    assert term.tmin[term.index(date(2026, 5, 6))] == 1.0


def test_unmarked_days_to_come_are_foretold() -> None:
    series = read_weather(b"date,tmin_c,tmax_c\n2026-05-03,2,9\n2026-05-04,3,9\n")
    term = update_with_readings(CLIMATE, [series], TODAY)
    kinds = [term.kind[term.index(date(2026, 5, d))] for d in (3, 4)]
    assert kinds == ["observed", "forecast"]


def test_a_rain_gauge_alone_is_enough() -> None:
    series = read_weather(b"date,rain_mm\n2026-05-02,14.5\n")
    term = update_with_readings(CLIMATE, [series], TODAY)
    assert term.rain[term.index(date(2026, 5, 2))] == 14.5
    assert set(term.kind) == {"climate"}


def test_soil_answers_to_a_warm_forecast() -> None:
    warm = near("".join(f"{TODAY + timedelta(i)},14,27,0,forecast\n" for i in range(14)))
    cool = near("".join(f"{TODAY + timedelta(i)},2,9,0,forecast\n" for i in range(14)))
    day = soil_warm_since(warm, 15.0)
    assert day is not None
    assert TODAY <= day <= TODAY + timedelta(13)
    assert soil_warm_since(cool, 15.0) is None


def test_over_the_new_year_and_the_leap_day() -> None:
    term = update_with_readings(CLIMATE, [], date(2028, 2, 25), days_ahead=10)
    assert term.index(date(2028, 2, 29)) == 34
    assert term.first == date(2028, 1, 26)
    assert len(update_with_readings(CLIMATE, [], date(2026, 12, 28)).tmin) == 44
    with pytest.raises(KeyError):
        term.index(date(2028, 6, 1))


def test_the_rules_for_the_day_carry_their_figures() -> None:
    assert dict(soil_warm_rule(15.56).params) == {"minimum": 15.6, "mornings": 3, "depth": 5}
    rule = dict(forecast_night_rule(1.0).params)
    assert (rule["limit"], rule["foretold"], rule["nights"]) == (1.0, 3.0, 7)
