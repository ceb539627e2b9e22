"""A run's weeks gathered by bed: what a bed of several plantings needs, gets and holds."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perennate.planning.water.asked import cover_of
from perennate.planning.water.run import Ran, weather_of
from perennate.planning.water.stands import LEAD_DAYS
from perennate.planning.water_plan import BedWater
from perennate.weather.climate import Climate

Floats = NDArray[np.float64]

DRY = 0.8
"""A dry year: this share of the years is wetter."""


@dataclass(frozen=True)
class BedWeeks:
    """A bed by week of the plan: `area_m2` (weeks,), `litres` given (years, weeks), and what is
    shown of it."""

    bed: str
    area_m2: Floats
    litres: Floats
    shown: BedWater


def stands_in_week(ran: Ran) -> NDArray[np.bool_]:
    """Which plantings stand in which weeks of the plan, (plantings, weeks)."""
    weeks = (ran.days.count - LEAD_DAYS) // 7
    first = np.array([(stand.settled - LEAD_DAYS) // 7 for stand in ran.stands])[:, None]
    last = np.array([(s.first + s.days - 1 - LEAD_DAYS) // 7 for s in ran.stands])[:, None]
    week = np.arange(weeks)[None, :]
    return np.asarray((first <= week) & (week <= last))


def litres_by_planting(ran: Ran) -> Floats:
    """Litres given to each planting, (plantings, years, weeks)."""
    area = np.array([stand.planting.area_m2 for stand in ran.stands])
    return np.asarray(ran.run.by_week["watering"] * area[:, None, None], np.float64)


def beds_by_week(ran: Ran, climate: Climate, sources: dict[str, str]) -> tuple[BedWeeks, ...]:
    """Every bed with a planting, in order of key; `sources`: what feeds each."""
    rain = weather_of(climate, ran.days)[0][:, LEAD_DAYS:]
    weekly_rain = rain.reshape(len(rain), -1, 7).sum(axis=2).mean(axis=0)
    standing = stands_in_week(ran)
    litres = litres_by_planting(ran)
    keys = sorted({stand.bed.key for stand in ran.stands})
    return tuple(
        _bed(
            [row for row, stand in enumerate(ran.stands) if stand.bed.key == key],
            ran,
            standing,
            litres,
            weekly_rain,
            sources.get(key, ""),
        )
        for key in keys
    )


def _bed(
    rows: Sequence[int],
    ran: Ran,
    standing: NDArray[np.bool_],
    litres: Floats,
    rain: Floats,
    source: str,
) -> BedWeeks:
    bed = ran.stands[rows[0]].bed
    share = standing[rows] * np.array([ran.stands[row].planting.area_m2 for row in rows])[:, None]
    area = share.sum(axis=0)
    weight = share / np.where(area > 0, area, 1.0)

    def mean_over_area(name: str) -> Floats:
        """(years, weeks)"""
        values = np.nan_to_num(ran.run.by_week[name][rows].astype(np.float64))
        return np.asarray(np.einsum("pyw,pw->yw", values, weight))

    given = litres[rows].sum(axis=0)
    depth = given / np.where(area > 0, area, 1.0)
    held = 1.0 - np.clip(mean_over_area("depletion"), 0.0, 1.0)
    bare = area <= 0
    occasions = ran.run.by_week["waterings"][rows].max(axis=0).mean(axis=0)
    shown = BedWater(
        bed.key,
        source,
        _row(area),
        _row(rain * cover_of(bed).rain, bare),
        _row((mean_over_area("crop_wanted") + mean_over_area("soil_lost")).mean(axis=0), bare),
        _row(depth.mean(axis=0), bare),
        _row(np.quantile(depth, DRY, axis=0), bare),
        _row(occasions, bare),
        _row(np.median(held, axis=0), bare),
        _row(np.quantile(held, 1 - DRY, axis=0), bare),
        _row(mean_over_area("airless_days").mean(axis=0), bare),
        _row(mean_over_area("stress_days").mean(axis=0), bare),
    )
    return BedWeeks(bed.key, area, given, shown)


def _row(values: Floats, bare: NDArray[np.bool_] | None = None) -> tuple[float, ...]:
    shown = values if bare is None else np.where(bare, 0.0, values)
    return tuple(round(float(value), 3) for value in shown)
