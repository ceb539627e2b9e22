"""When frost still comes or has come already, and how cold a winter gets.

A "10 % date" means opposite things in different books. Here `chance` is always the chance of
frost on the harmful side: in spring of a frost after the date, in autumn of one before it.

References
----------
.. [1] National Oceanic and Atmospheric Administration, freeze and frost probability tables of
   the United States: the share of years with frost mixed with the distribution of the dates,
   thresholds 36, 32 and 28 degF.
.. [2] United States Department of Agriculture, Plant Hardiness Zone Map: the mean of the yearly
   lowest temperatures in steps of 5 degF from -60 degF.
.. [3] Normal order: the standard error of a quantile estimated from mean and standard deviation,
   sd sqrt((1 + z^2 / 2) / n).
"""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri

Floats = NDArray[np.float64]
Season = Literal["spring", "autumn"]

THRESHOLDS_C = (2.2, 0.0, -2.2)
"""Light frost, frost, hard frost on the screen thermometer [degC]: 36, 32, 28 degF [1]_."""


def frost_date_normal(
    mean_day: ArrayLike, sd_days: ArrayLike, chance: ArrayLike, season: Season = "spring"
) -> Floats:
    """Date after (spring) or before (autumn) which frost comes with `chance` [day of year].

    The dates of last or first frost are taken as normal with the mean and standard deviation
    given: mean + z sd in spring, mean - z sd in autumn, z the normal deviate of 1 - chance.
    """
    p = _share(chance, "chance")
    sign = {"spring": 1.0, "autumn": -1.0}[season]
    sd = np.asarray(sd_days, dtype=np.float64)
    if np.any(sd < 0):
        raise ValueError("the standard deviation must not be negative")
    return np.asarray(np.asarray(mean_day, dtype=np.float64) + sign * ndtri(1.0 - p) * sd)


def frost_date_mixed(
    share_of_years: ArrayLike,
    mean_day: ArrayLike,
    sd_days: ArrayLike,
    chance: ArrayLike,
    season: Season = "spring",
) -> Floats:
    """As `frost_date_normal` where only a share of the years has any frost [1]_.

    Solves share (1 - F(x)) = chance; NaN where the share does not reach the chance, for then
    there is no such date.
    """
    share = np.asarray(share_of_years, dtype=np.float64)
    if not np.all((share >= 0) & (share <= 1)):
        raise ValueError("the share of years must lie between 0 and 1")
    p = _share(chance, "chance")
    known = share > p
    within = np.where(known, p / np.where(known, share, 1.0), 0.5)
    return np.asarray(np.where(known, frost_date_normal(mean_day, sd_days, within, season), np.nan))


def frost_date_error(sd_days: ArrayLike, years: ArrayLike, chance: ArrayLike) -> Floats:
    """Standard error [d] of a frost date from `years` of record [3]_."""
    z = ndtri(1.0 - _share(chance, "chance"))
    n = np.asarray(years, dtype=np.float64)
    if np.any(n < 2):
        raise ValueError("two years of record at least")
    return np.asarray(np.asarray(sd_days, dtype=np.float64) * np.sqrt((1.0 + z**2 / 2.0) / n))


def hardiness_zone(yearly_lowest_c: ArrayLike) -> str:
    """Hardiness zone, "1a" to "13b", of the mean of the yearly lowest temperatures [degC] [2]_.

    Averages first and classes then; classing each year first would be wrong. What lies below
    zone 1 or above zone 13 is given the outermost zone's name.
    """
    lowest = np.atleast_1d(np.asarray(yearly_lowest_c, dtype=np.float64))
    if lowest.size == 0 or not np.all(np.isfinite(lowest)):
        raise ValueError("yearly lowest temperatures must be numbers")
    fahrenheit = round(float(np.mean(lowest)) * 1.8 + 32.0, 6)
    step = int(np.clip((fahrenheit + 60.0) // 5.0, 0, 25))
    return f"{step // 2 + 1}{'ab'[step % 2]}"


def _share(value: ArrayLike, name: str) -> Floats:
    share = np.asarray(value, dtype=np.float64)
    if not np.all((share > 0) & (share < 1)):
        raise ValueError(f"{name} must lie between 0 and 1, ends left out")
    return share
