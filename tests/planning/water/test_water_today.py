"""What beds want of water today, from the last days' weather and what was written down."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
import small
import wet

from perennate.holding.model import Record
from perennate.planning.plan import Plan
from perennate.planning.water.today import BedToday, water_today
from perennate.weather import read_weather
from perennate.weather.recent import NearTerm, update_with_readings
from perennate.words import say

TODAY = date(2026, 6, 15)
OFTEN = (2, 8, 14, 20, 26)
"""Days ago."""


@pytest.fixture(scope="module")
def plan() -> Plan:
    made = small.plan(climate=wet.DRY)
    grown = (wet.planting("cabbage", days=120),)
    return replace(made, plantings=grown, water=wet.water(plantings=grown))


def near(rain: dict[int, float], ahead: float = 0.0) -> NearTerm:
    """Four weeks of readings and a week's forecast; rain by days from today, negative before."""
    rows = ["date,tmin_c,tmax_c,rain_mm,kind"]
    for day in range(-28, 7):
        kind = "observed" if day < 0 else "forecast"
        fallen = rain.get(day, ahead if day >= 0 else 0.0)
        rows.append(f"{TODAY + timedelta(day)},12,26,{fallen},{kind}")
    series = read_weather("\n".join(rows).encode())
    return update_with_readings(wet.DRY, (series,), TODAY, days_ahead=7)


def today(plan: Plan, about: NearTerm, *records: Record, **bed: object) -> BedToday:
    of = replace(wet.holding((wet.bed(**bed),)), records=records)
    (found,) = water_today(plan, of, small.shipped(), wet.DRY, about)
    assert "{" not in say(found.text)
    return found


def watered(days_ago: int, amount: float, unit: str = "mm", place: str = "a") -> Record:
    day = TODAY - timedelta(days_ago)
    return Record(f"w{days_ago}", day, "watered", "", place, amount, unit, None)


def test_after_four_dry_weeks_the_bed_wants_water_today(plan) -> None:
    found = today(plan, near({}))
    assert (found.text.code, found.due) == ("water.today.now", TODAY)
    assert found.litres == pytest.approx(found.mm * 4.0)
    assert found.mm > 15
    assert found.held < 0.5


def test_what_was_written_down_as_watered_counts(plan) -> None:
    by_depth = today(plan, near({}), *(watered(days, 40.0) for days in OFTEN))
    by_litres = today(plan, near({}), *(watered(days, 160.0, "l") for days in OFTEN))
    assert by_depth.due is None or by_depth.due > TODAY
    assert by_litres == by_depth
    elsewhere = today(plan, near({}), *(watered(days, 40.0, place="b") for days in OFTEN))
    assert elsewhere.due == TODAY


def test_rain_counts_and_the_growers_own_gauge_outweighs_the_stations(plan) -> None:
    rained = near({-days: 40.0 for days in OFTEN})
    assert today(plan, rained).due != TODAY
    gauge = [
        Record(f"g{days}", TODAY - timedelta(days), "rain", "", "", 0.0, "mm", None)
        for days in OFTEN
    ]
    assert today(plan, rained, *gauge).due == TODAY


def test_rain_in_the_forecast_puts_a_watering_off(plan) -> None:
    fallen = {-days: 40.0 for days in OFTEN}
    dry = today(plan, near(fallen))
    wet_ahead = today(plan, near(fallen, ahead=8.0))
    assert dry.text.code == "water.today.later"
    assert wet_ahead.text.code == "water.today.enough"
    assert wet_ahead.due is None


def test_a_drowned_bed_is_to_be_left_alone(plan) -> None:
    flood = near({-day: 60.0 for day in range(1, 6)})
    found = today(plan, flood, soil="clay", pan_cm=25.0)
    assert found.airless
    assert found.text.code == "water.today.airless"
    assert found.litres == 0.0


def test_nothing_is_said_of_beds_in_which_nothing_stands(plan) -> None:
    before = replace(plan, plantings=(wet.planting("cabbage", sown=TODAY + timedelta(2)),))
    assert water_today(before, wet.holding(), small.shipped(), wet.DRY, near({})) == ()
