"""The plan's plantings run through every year of weather, watered as the holding waters."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from perennate.catalogue.model import Catalogue
from perennate.holding.model import Holding
from perennate.planning.water.asked import Asked, asked, wetted
from perennate.planning.water.grounds import grounds
from perennate.planning.water.stands import LEAD_DAYS, Days, Stand
from perennate.planning.water_plan import Way
from perennate.science.soil_water import SoilWaterRun, Watering, soil_water_run
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


MOST_AT_ONCE = 2_000_000
"""Plantings times years times weeks that are run together; beyond, ways are run one by one."""


@dataclass(frozen=True)
class Ran:
    """A run, with what it was made of."""

    stands: tuple[Stand, ...]
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
    most_years: int = MOST_YEARS,
    by_bed: bool = True,
) -> Ran:
    """Every planting through the years, watered in its own way. `by_bed`: all of a bed on the same
    occasions, else each for itself."""
    demand = asked(stands, days, catalogue, climate)
    rain, air = weather_of(climate, days, most_years)
    run = soil_water_run(
        rain,
        air,
        demand.crop,
        grounds(stands, demand.roots_m, days, climate),
        np.array([stand.first for stand in stands]),
        np.array([stand.days for stand in stands]),
        _watering(stands, demand, days, holding.habits.watering_every_days, by_bed),
        wraps=False,
        keep_weeks=((days.count - LEAD_DAYS) // 7, LEAD_DAYS),
    )
    return Ran(tuple(stands), days, run)


def watered_in_ways(
    ways: Sequence[Way],
    stands: Sequence[Stand],
    days: Days,
    holding: Holding,
    catalogue: Catalogue,
    climate: Climate,
) -> dict[Way, Ran]:
    """The same plantings in several ways, run side by side as far as memory allows: what a step
    costs hardly depends on how many plantings take it."""
    size = len(stands) * min(len(climate.rain), MOST_YEARS) * (days.count // 7)
    at_once = max(MOST_AT_ONCE // max(size, 1), 1)
    found: dict[Way, Ran] = {}
    for first in range(0, len(ways), at_once):
        some = ways[first : first + at_once]
        side_by_side = [replace(stand, way=way) for way in some for stand in stands]
        ran = watered(side_by_side, days, holding, catalogue, climate)
        for number, way in enumerate(some):
            rows = slice(number * len(stands), (number + 1) * len(stands))
            found[way] = Ran(ran.stands[rows], days, ran.run.part(rows))
    return found


def _watering(
    stands: Sequence[Stand], demand: Asked, days: Days, every: int, by_bed: bool
) -> Watering:
    """The rule by which plantings are watered: bed by bed, as seldom as they allow."""
    together = sorted({(stand.way, stand.bed.key) for stand in stands})
    places = np.array([stand.first for stand in stands])[:, None] + np.arange(demand.day.shape[1])
    open_days = (places - LEAD_DAYS) % every == 0
    return Watering(
        at_share=at_share(every),
        refill_share=REFILL,
        allowed=(open_days & _by_way(stands, demand)).astype(float),
        wetted_share=np.array([wetted(stand.bed) for stand in stands])[:, None],
        group=np.array([together.index((stand.way, stand.bed.key)) for stand in stands])
        if by_bed
        else None,
    )


def at_share(every_days: int) -> float:
    """How far the readily available water may be gone on a watering day: a little short of all,
    since hot days draw on it beyond the table's share, and the longer until the next watering the
    earlier. Each day takes about a tenth of it in summer; assumed."""
    return max(0.9 - 0.1 * (every_days - 1), 0.3)


def _by_way(stands: Sequence[Stand], demand: Asked) -> NDArray[np.bool_]:
    """Days on which a planting's way of watering gives water at all, (plantings, days)."""
    allowed = np.zeros(demand.day.shape, bool)
    for row, stand in enumerate(stands):
        day = demand.day[row]
        if stand.way == "full":
            allowed[row] = day > 0
        elif stand.way == "none":
            allowed[row] = (day > 0) & (day <= SETTLING_DAYS)
        elif stand.way == "sparing":
            # what no table says counts as sensitive while it grows to its full size and holds it
            stages = stand.water.sensitive_stages() or (1, 2)
            young = (day > 0) & (day <= YOUNG_DAYS)
            allowed[row] = young | np.isin(demand.stage[row], stages)
    return allowed
