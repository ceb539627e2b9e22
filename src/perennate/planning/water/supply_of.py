"""What water the holding has for a plan, week by week, as the allocation reckons with it."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from perennate.catalogue.model import Catalogue
from perennate.holding.model import Holding
from perennate.planning.allocate.supply import WaterSupply
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.plan import PlannedPlanting
from perennate.planning.water.of_offers import YEARS
from perennate.planning.water.run import watered, weather_of
from perennate.planning.water.sources import in_order, inflow_by_week, level_at_start
from perennate.planning.water.stands import LEAD_DAYS, days_of, stands_on
from perennate.weather.climate import Climate

Floats = NDArray[np.float64]


def water_supply(
    own_rows: Sequence[PlannedPlanting],
    holding: Holding,
    catalogue: Catalogue,
    climate: Climate,
    weeks: Weeks,
) -> WaterSupply | None:
    """Tanks taken together, the mean year's rain running into them, and what else may be drawn;
    what the grower's own rows will be given is spoken for. None where there is always enough.

    That some beds name a source of their own is left out here: the checks look at each source.
    """
    weekly, tank, level = 0.0, 0.0, 0.0
    inflow = np.zeros(weeks.count)
    season: list[float] = []
    rain = weather_of(climate, days_of(weeks))[0]
    sources = in_order(holding)
    for source in sources:
        if source.kind == "roof":
            held = source.tank_l or 0.0
            tank += held
            level += float(np.mean(level_at_start(source, rain))) if held else 0.0
            inflow += inflow_by_week(source, rain)[:, LEAD_DAYS // 7 :].mean(axis=0)
            continue
        weekly += np.inf if source.per_week_l is None else source.per_week_l
        season.append(np.inf if source.per_season_l is None else source.per_season_l)
    if not sources:
        weekly = np.inf
    limit = np.inf if holding.limits.water_l is None else holding.limits.water_l
    if season and np.isfinite(sum(season)):
        limit = min(limit, sum(season) + level + float(inflow.sum()))
    if not np.isfinite(weekly) and not np.isfinite(limit):
        return None
    supply = WaterSupply(
        round(tank, 1),
        round(min(level, tank), 1),
        tuple(inflow.round(1).tolist()),
        (weekly,) * weeks.count,
        round(float(limit), 1),
    )
    return supply.with_spoken_for(_spoken_for(own_rows, holding, catalogue, climate, weeks))


def _spoken_for(
    own_rows: Sequence[PlannedPlanting],
    holding: Holding,
    catalogue: Catalogue,
    climate: Climate,
    weeks: Weeks,
) -> Floats:
    """Litres by week that the grower's own rows are given, mean of the years."""
    days = days_of(weeks)
    stands = stands_on(own_rows, holding, days)
    if not stands:
        return np.zeros(weeks.count)
    ran = watered(stands, days, holding, catalogue, climate, most_years=YEARS)
    area = np.array([stand.planting.area_m2 for stand in stands])
    by_week = ran.run.by_week["watering"].astype(np.float64).mean(axis=1)
    return np.asarray((by_week * area[:, None]).sum(axis=0).round(1))
