"""One bed of one crop in invented weather, to see what one thing changes of its water."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import small

from perennate.holding.model import Bed, Holding, WaterSource
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.plan import PlannedPlanting
from perennate.planning.sample import sample_planting
from perennate.planning.water.season_water import season_water
from perennate.planning.water_plan import PlantingWater, WaterPlan
from perennate.weather.climate import Climate

START = date(2026, 4, 6)


def climate(rain_mm: float, rain_every: int = 7, warm: float = 18.0) -> Climate:
    """Even weather, with all of a week's rain on one day."""
    whole = small.weather(mean=warm, swing=4.0)
    day = np.arange(365) % rain_every == 0
    return replace(whole, rain=np.where(day, rain_mm * rain_every / 7, 0.0) + np.zeros((4, 365)))


DRY, MOIST = climate(3.0), climate(20.0)


def planting(
    crop: str, bed: str = "a", days: int = 90, key: str = "one", sown: date = START
) -> PlannedPlanting:
    sample = sample_planting(small.shipped().crops[crop], "direct", 40, 0, days, 4.0)
    return replace(
        sample, key=key, bed=bed, sow=sown, ground_from=sown, ground_to=sown + timedelta(days)
    )


def holding(
    beds: tuple[Bed, ...] = (Bed("a", 4.0, 1.0, soil="loam"),),
    sources: tuple[WaterSource, ...] = (),
    **habits: object,
) -> Holding:
    plain = small.holding(beds=beds, water_sources=sources, plantings=(), aims=())
    return replace(plain, habits=replace(plain.habits, **habits))


def bed(**others: object) -> Bed:
    return replace(Bed("a", 4.0, 1.0, soil="loam"), **others)


def water(
    crop: str = "cabbage",
    weather: Climate = DRY,
    of: Holding | None = None,
    plantings: tuple[PlannedPlanting, ...] | None = None,
    weeks: int = 26,
) -> WaterPlan:
    found = season_water(
        (planting(crop),) if plantings is None else plantings,
        of or holding(),
        small.shipped(),
        weather,
        Weeks(START, weeks),
    )
    assert found is not None
    return found


def one(crop: str = "cabbage", weather: Climate = DRY, of: Holding | None = None) -> PlantingWater:
    return water(crop, weather, of).plantings[0]
