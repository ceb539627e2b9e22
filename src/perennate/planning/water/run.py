"""The plan's plantings run through every year of weather, watered as the holding waters."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perennate.catalogue.model import Catalogue
from perennate.holding.model import Holding
from perennate.planning.water.asked import DRIP_WETS, Asked, asked
from perennate.planning.water.grounds import grounds
from perennate.planning.water.stands import LEAD_DAYS, Days, Stand
from perennate.science.soil_water import NO_WATERING, SoilWaterRun, Watering, soil_water_run
from perennate.weather.climate import Climate, et0

Floats = NDArray[np.float64]

MOST_YEARS = 60
"""Years of weather that are run: spread evenly over those there are; more change no figure that is
shown."""
REFILL = 0.9
"""Share of what is gone that a watering brings back: room is left for rain; assumed."""
SETTLING_DAYS = 14
"""Days for which what was sown or set out is watered whatever the holding's way; common practice.
"""
YOUNG_DAYS = 21
"""The same for sparing watering."""


@dataclass(frozen=True)
class Ran:
    """A run, with what it was made of."""

    stands: tuple[Stand, ...]
    asked: Asked
    days: Days
    run: SoilWaterRun


def weather_of(climate: Climate, days: Days, most_years: int = MOST_YEARS) -> tuple[Floats, Floats]:
    """Rain and reference evapotranspiration [mm] of the days, each (years, days)."""
    years = len(climate.rain)
    chosen = np.unique(np.linspace(0, years - 1, min(years, most_years)).round().astype(int))
    return climate.rain[chosen][:, days.of_year], et0(climate)[chosen][:, days.of_year]


def watered(
    stands: Sequence[Stand],
    days: Days,
    holding: Holding,
    catalogue: Catalogue,
    climate: Climate,
    *,
    rain_only: bool = False,
    most_years: int = MOST_YEARS,
    by_bed: bool = True,
) -> Ran:
    """Every planting through the years: watered by the holding's habit, or on rain alone. Where
    nothing is watered once it has settled in, roots go as deep as they can. `by_bed`: all of a bed
    on the same occasions, else each for itself."""
    deep = rain_only or holding.habits.watering == "none"
    demand = asked(stands, days, catalogue, climate, deep_roots=deep)
    rain, air = weather_of(climate, days, most_years)
    run = soil_water_run(
        rain,
        air,
        demand.crop,
        grounds(stands, demand.roots_m, days, climate),
        np.array([stand.first for stand in stands]),
        np.array([stand.days for stand in stands]),
        NO_WATERING if rain_only else watering_of(stands, demand, days, holding, by_bed),
        wraps=False,
        keep_weeks=((days.count - LEAD_DAYS) // 7, LEAD_DAYS),
    )
    return Ran(tuple(stands), demand, days, run)


def watering_of(
    stands: Sequence[Stand], demand: Asked, days: Days, holding: Holding, by_bed: bool = True
) -> Watering:
    """The rule by which the holding waters: bed by bed, as seldom as its plantings allow."""
    beds = sorted({stand.bed.key for stand in stands})
    places = np.array([stand.first for stand in stands])[:, None] + np.arange(demand.day.shape[1])
    every = holding.habits.watering_every_days
    open_days = (places - LEAD_DAYS) % every == 0
    return Watering(
        at_share=at_share(every),
        refill_share=REFILL,
        allowed=(open_days & _by_habit(stands, demand, holding)).astype(float),
        wetted_share=np.array(
            [DRIP_WETS if stand.bed.watering == "drip" else 1.0 for stand in stands]
        )[:, None],
        group=np.array([beds.index(stand.bed.key) for stand in stands]) if by_bed else None,
    )


def at_share(every_days: int) -> float:
    """How far the readily available water may be gone on a watering day: a little short of all,
    since hot days draw on it beyond the table's share, and the longer until the next watering the
    earlier. Each day takes about a tenth of it in summer; assumed."""
    return max(0.9 - 0.1 * (every_days - 1), 0.3)


def _by_habit(stands: Sequence[Stand], demand: Asked, holding: Holding) -> NDArray[np.bool_]:
    """Days on which the holding's way of watering gives water at all, (plantings, days)."""
    way = holding.habits.watering
    if way == "full":
        return demand.day > 0
    young = (demand.day > 0) & (demand.day <= (SETTLING_DAYS if way == "none" else YOUNG_DAYS))
    if way == "none":
        return young
    sensitive = np.zeros(demand.day.shape, bool)
    for row, stand in enumerate(stands):
        # what no table says counts as sensitive while it grows to its full size and holds it
        stages = stand.water.sensitive_stages() or (1, 2)
        sensitive[row] = np.isin(demand.stage[row], stages)
    return np.asarray(young | sensitive)
