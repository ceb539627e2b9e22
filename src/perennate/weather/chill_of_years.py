"""Winter cold by year of a climate: how much chill a place brings, and by when it is met.

A winter is the half of the year about its coldest time, whichever hemisphere; its days before and
after the new year are taken from the same row. Hours come from daily extremes and the sun, so they
miss what a front does in the night; the figures of years and their spread stand, single days do
not.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from perennate.science import chill
from perennate.weather.climate import Climate, coldest_day

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Count = Literal["portions", "utah", "hours"]
"""Chill portions (Dynamic Model), Utah units, or hours from 0 to 7.2 degC."""

COUNTS: tuple[Count, ...] = ("portions", "utah", "hours")
WINTER_DAYS = 183
_YEAR = 365
_SURE = 1e-9


@dataclass(frozen=True)
class Chill:
    """Chill of each winter of a climate.

    `days`: the winter's day indices in order, shape (183,); `hours`, `hours_with_frost`, `utah`
    and `portions`: one figure a winter, shape (n,); `by_day`: running counts by the end of each
    day, by name of the count, shape (n, 183).
    """

    days: Ints
    hours: Floats
    hours_with_frost: Floats
    utah: Floats
    portions: Floats
    by_day: dict[Count, Floats]


def winter_days(climate: Climate) -> Ints:
    """Day indices of the half year about the coldest time, in order, shape (183,)."""
    middle = coldest_day(climate.tmin, climate.latitude_deg)
    return np.asarray((middle - WINTER_DAYS // 2 + np.arange(WINTER_DAYS)) % _YEAR)


def winter_hours(climate: Climate) -> Floats:
    """Hourly temperatures of each winter [degC], shape (n, 183 * 24)."""
    days = winter_days(climate)
    return chill.hourly_from_daily(
        climate.tmin[:, days], climate.tmax[:, days], climate.latitude_deg, days + 1
    )


def chill_of_years(climate: Climate) -> Chill:
    """The chill of each winter of the climate by all counts."""
    hourly = winter_hours(climate)
    shape = (len(hourly), WINTER_DAYS, chill.HOURS)
    counted = (hourly >= 0.0) & (hourly <= chill.CHILLING_LIMIT)
    utah = np.cumsum(chill.utah_weights(hourly), axis=1)
    # what warm days took away before the turn of autumn does not count against the winter
    utah = utah - np.minimum(np.minimum.accumulate(utah, axis=1), 0.0)
    by_day: dict[Count, Floats] = {
        "portions": chill.chill_portions_by_day(hourly),
        "utah": utah[:, chill.HOURS - 1 :: chill.HOURS],
        "hours": np.cumsum(counted.reshape(shape).sum(axis=2), axis=1).astype(np.float64),
    }
    return Chill(
        winter_days(climate),
        chill.chilling_hours(hourly).astype(np.float64),
        chill.chilling_hours(hourly, low=-np.inf).astype(np.float64),
        chill.utah_units_of_winter(hourly),
        by_day["portions"][:, -1],
        by_day,
    )


def chill_met_by(
    found: Chill, wanted: float, count: Count = "portions", share_of_years: float = 0.5
) -> int | None:
    """Day index by whose end `wanted` chill is met in at least this share of the winters.

    None where fewer winters than that bring it. Raises ValueError for chill of 0 or less, or a
    share out of 0 to 1.
    """
    if wanted <= 0.0:
        raise ValueError(f"wanted chill must be above 0, not {wanted:g}")
    if not 0.0 < share_of_years <= 1.0:
        raise ValueError(f"a share of years lies above 0 and up to 1, not {share_of_years:g}")
    met = found.by_day[count] >= wanted
    day = np.sort(np.where(met.any(axis=1), met.argmax(axis=1), WINTER_DAYS))
    needed = int(np.ceil(share_of_years * len(day) - _SURE))
    latest = int(day[max(needed, 1) - 1])
    return None if latest == WINTER_DAYS else int(found.days[latest])
