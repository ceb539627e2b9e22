"""What a climate says of a stretch of days of one season: nights, heat, warmth to grow in.

Days of the plan are read as days of the year of the climate; 29 February as the 28th.
"""

from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from perennate.weather.climate import Climate, chance_of_frost_between, day_index, tmean

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def stretch(first: date, last: date) -> Ints:
    """Indices of the days from `first` to `last`, both counted, at most one year of them."""
    start = day_index(first)
    if (last - first).days >= 364:
        return (start + np.arange(365)) % 365
    return (start + np.arange((day_index(last) - start) % 365 + 1)) % 365


def chance_of_night(climate: Climate, first: date, last: date, limit_c: float) -> float:
    """Share of the climate's years with a night at or below the limit from `first` to `last`."""
    if last < first:
        return 0.0
    days = stretch(first, last)
    return chance_of_frost_between(climate, int(days[0]), int(days[-1]), limit_c)


def chance_of_hot_spell(
    climate: Climate, first: date, last: date, limit_c: float, days: int = 3
) -> float:
    """Share of the years with so many days on end above the limit from `first` to `last`."""
    if (last - first).days + 1 < days:
        return 0.0
    hot = (climate.tmax[:, stretch(first, last)] > limit_c).astype(np.int64)
    runs = np.lib.stride_tricks.sliding_window_view(hot, days, axis=1).sum(axis=2)
    return float((runs == days).any(axis=1).mean())


def mean_by_day(climate: Climate) -> Floats:
    """Mean temperature by day of year over all years, smoothed over a fortnight. Shape (365,).

    Rounded, since processors sum in different orders.
    """
    daily = tmean(climate).mean(axis=0)
    around = np.concatenate([daily[-7:], daily, daily[:7]])
    return np.asarray(np.convolve(around, np.ones(15) / 15, mode="valid").round(4))


def heat_between(mean: Floats, first: date, last: date, base_c: float) -> float:
    """Degree days above the base from `first` up to `last`, at the mean temperatures."""
    if last <= first:
        return 0.0
    warmth = mean[stretch(first, last - timedelta(1))]
    return round(float(np.maximum(warmth - base_c, 0.0).sum()), 3)


def last_cold_night(
    climate: Climate, first: date, last: date, limit_c: float, chance: float
) -> date | None:
    """The last day from which on a night at or below the limit comes with more than the chance.

    None where the whole stretch has such a night with no more than that chance.
    """
    if last < first:
        return None
    cold = climate.tmin[:, stretch(first, last)] <= limit_c
    later = np.cumsum(cold[:, ::-1], axis=1)[:, ::-1] > 0
    risky = np.flatnonzero(later.mean(axis=0) > chance)
    return first + timedelta(int(risky[-1])) if len(risky) else None
