"""Readings and a forecast speak on the jobs of the coming fortnight, and only there."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from perennate.holding import example_folder
from perennate.planning.near import with_near_term
from perennate.planning.plan import Job
from perennate.season_files import near_term, read_season
from perennate.terms import Estimate, text
from perennate.weather import read_weather
from perennate.weather.rules import forecast_night_rule, soil_warm_rule
from perennate.words import say

TODAY = date(2026, 5, 4)


def job(best: date) -> Job:
    minutes = Estimate(5.0, 3.0, 9.0, "min", "memory", "memory")
    return Job(
        key="j",
        kind="sow",
        planting="p",
        place="S1",
        earliest=best,
        best=best,
        latest=best + timedelta(14),
        quantity=30.0,
        unit="seeds",
        minutes=minutes,
        why=text("planting.dates", first=best, early=best, late=best),
        go=(soil_warm_rule(12.0), forecast_night_rule(0.0)),
        cautions=(),
        lost_if_missed=True,
    )


@pytest.fixture(scope="module")
def season():
    return read_season(example_folder("demo"))


def with_forecast(season, tmin: float, tmax: float):
    rows = ["date,tmin_c,tmax_c,rain_mm,kind"]
    for day in range(-20, 14):
        kind = "observed" if day < 0 else "forecast"
        rows.append(f"{TODAY + timedelta(day)},{tmin},{tmax},0,{kind}")
    series = read_weather("\n".join(rows).encode())
    return near_term(replace(season, series=(series,)), TODAY)


def told(season, tmin: float, tmax: float, best: date) -> dict[str, dict[str, object]]:
    near = with_forecast(season, tmin, tmax)
    assert near is not None
    (known,) = with_near_term([job(best)], near)
    assert all(say(rule) for rule in known.go)
    return {rule.code: dict(rule.params) for rule in known.go if rule.code.startswith("near.")}


def test_without_readings_nothing_is_said(season) -> None:
    assert near_term(season, TODAY) is None


def test_a_warm_forecast_says_from_when_the_soil_holds(season) -> None:
    found = told(season, 11.0, 24.0, TODAY + timedelta(3))
    assert found["near.soil_warm"]["first"] == TODAY
    assert int(str(found["near.nights"]["percent"])) <= 5


def test_a_cold_forecast_says_wait_and_names_the_night(season) -> None:
    found = told(season, -3.0, 6.0, TODAY + timedelta(3))
    assert "near.soil_cold" in found
    assert int(str(found["near.nights"]["percent"])) > 80


def test_a_job_beyond_the_fortnight_is_left_as_it_is(season) -> None:
    assert told(season, 11.0, 24.0, TODAY + timedelta(60)) == {}


def test_readings_reach_the_plan_by_way_of_the_folder(tmp_path: Path) -> None:
    from perennate.holding import write_holding

    season = read_season(example_folder("demo"))
    folder = tmp_path / "holding"
    write_holding(season.holding, folder, weather_from=example_folder("demo"))
    rows = "date,tmin_c,tmax_c,rain_mm,kind\n2026-02-15,-2,6,0,observed\n"
    (folder / "weather_readings.csv").write_text(rows, encoding="utf-8")
    assert near_term(read_season(folder), date(2026, 2, 16)) is not None
