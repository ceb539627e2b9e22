"""How many days a plant takes, from the heat it needs and the heat the days bring.

Heat in degree days [degC d]; years are rows of 365 days.

References
----------
.. [1] McMaster and Wilhelm 1997, Agric. For. Meteorol. 87:291-300 (degree days).
.. [2] Trudgill, Honek, Li and van Straalen 2005, Ann. Appl. Biol. 146:1-14 (thermal time).
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

NEVER = -1
"""Stands for "not reached within the days allowed"."""

_ROUNDING = 1e-9


def heat_needed(
    days: ArrayLike, reference_temp: ArrayLike, base: ArrayLike, ceiling: ArrayLike = np.inf
) -> Floats:
    """Heat [degC d] that `days` at a reference temperature bring above a base [2]_.

    Turns days known at one warmth into a heat sum, days x (min(T, ceiling) - base). Raises
    ValueError where the reference lies at or under the base.
    """
    warmth = np.minimum(reference_temp, ceiling) - np.asarray(base, dtype=np.float64)
    if not np.all(warmth > 0):
        raise ValueError("the reference temperature must lie above the base")
    span = np.asarray(days, dtype=np.float64)
    if np.any(span < 0):
        raise ValueError("days are not negative")
    return np.asarray(span * warmth, dtype=np.float64)


def days_to_reach(
    degree_days: ArrayLike, starts: ArrayLike, needed: ArrayLike, max_days: int = 730
) -> Ints:
    """Whole days from each start until the heat sum is reached, in each year.

    `degree_days` (n, 365) per day, not negative; `starts` (m,) day indices 0 to 364, the start
    day's heat counting as the first; `needed` a sum [degC d] or (m,) sums. A stand that crosses
    the end of a year goes on in the next row, and from the last row into the first. Returns
    (n, m) days, 0 where nothing is needed, `NEVER` where `max_days` do not suffice: a stand
    started on day s that takes d days is ready on day s + d.
    """
    daily = np.atleast_2d(np.asarray(degree_days, dtype=np.float64))
    first = np.atleast_1d(np.asarray(starts, dtype=np.int64))
    sums = np.broadcast_to(np.asarray(needed, dtype=np.float64), first.shape)
    if daily.shape[1] != 365:
        raise ValueError(f"years have 365 days, not {daily.shape[1]}")
    if not np.all(daily >= 0):
        raise ValueError("degree days are numbers from 0 up")
    if first.size and (first.min() < 0 or first.max() > 364):
        raise ValueError("start days are indices from 0 to 364")
    if max_days < 0 or not np.all(sums >= 0):
        raise ValueError("the heat needed and the days allowed are not negative")
    years = daily.shape[0]
    around = -(-max_days // daily.size) + 1
    run = np.tile(daily.ravel(), around)[: daily.size + max_days]
    total = np.concatenate([[0.0], np.cumsum(run)])
    begin = np.arange(years)[:, None] * 365 + first[None, :]
    target = total[begin] + sums[None, :]
    slack = _ROUNDING * np.maximum(1.0, np.abs(target))
    days = np.searchsorted(total, target - slack, side="left") - begin
    days = np.maximum(days, 0)
    return np.where(days > max_days, NEVER, days).astype(np.int64)


def mean_days_at(needed: ArrayLike, temperature: ArrayLike, base: ArrayLike) -> Floats:
    """Days [d] that a heat sum takes at one steady temperature; infinite at or under the base."""
    warmth = np.asarray(temperature, dtype=np.float64) - np.asarray(base, dtype=np.float64)
    with np.errstate(divide="ignore"):
        return np.where(warmth > 0, np.asarray(needed, dtype=np.float64) / warmth, np.inf)


class DaysOverYears(NamedTuple):
    """Days by start over many years, each (m,): early, middle and late, and how often never."""

    low: Ints
    median: Ints
    high: Ints
    never_share: Floats


def spread_over_years(days: ArrayLike, share: float = 0.1) -> DaysOverYears:
    """Low, median and high days of each start over the years, from `days_to_reach` (n, m).

    Years in which the sum is never reached count as later than all others, so a high of `NEVER`
    says that at least a tenth of years fail. Low and high leave `share` of years beyond them;
    each is a year that occurs, none is interpolated.
    """
    found = np.atleast_2d(np.asarray(days, dtype=np.int64))
    if not 0 < share < 0.5:
        raise ValueError("the share beyond each end lies between 0 and 0.5")
    late = np.iinfo(np.int64).max
    ordered = np.sort(np.where(found == NEVER, late, found), axis=0)
    last = found.shape[0] - 1
    rows = [int(np.floor(share * last)), last // 2 + last % 2, int(np.ceil((1 - share) * last))]
    low, median, high = (
        np.where(ordered[row] == late, NEVER, ordered[row]).astype(np.int64) for row in rows
    )
    return DaysOverYears(low, median, high, np.mean(found == NEVER, axis=0))
