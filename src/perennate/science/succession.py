"""When to sow again so that picking goes on.

Days are indices into a run of daily degree days; heat in degC d.

References
----------
.. [1] Katz 1952, Agron. J. 44:74-78 (heat units between sowings and harvests of peas).
"""

from math import ceil

import numpy as np
from numpy.typing import ArrayLike, NDArray

Ints = NDArray[np.int64]

SLOW_AUTUMN_DAYS = 14
"""Days that growth into autumn takes longer than the listed days (common practice)."""


def number_of_sowings(first_harvest: float, last_useful_harvest: float, window_days: float) -> int:
    """Sowings for picking without a gap, each picked for `window_days`.

    ceil((last - first) / window) + 1, harvest days in days from any origin. The last sowing
    begins to be picked on or after the last day wanted, so supply does not end early.
    """
    if window_days <= 0:
        raise ValueError("a harvest window is above 0 days")
    if last_useful_harvest < first_harvest:
        raise ValueError("the last harvest is not before the first")
    return ceil((last_useful_harvest - first_harvest) / window_days - 1e-9) + 1


def interval_of_equal_heat(
    harvest_interval_days: float, heat_at_harvest: float, heat_at_sowing: float
) -> float:
    """Days between sowings so that harvests lie `harvest_interval_days` apart [1]_.

    Heats are degree days per day [degC] at harvest and at sowing time. Seven days at 12 in July
    are 84 degree days, which take 16.8 days at 5 in May. Raises ValueError without heat at
    sowing.
    """
    if harvest_interval_days < 0 or heat_at_harvest < 0 or heat_at_sowing <= 0:
        raise ValueError("intervals and heat are not negative, and sowing needs some heat")
    return harvest_interval_days * heat_at_harvest / heat_at_sowing


def sowing_days(degree_days: ArrayLike, harvest_days: ArrayLike, needed: float) -> Ints:
    """The latest day to sow so that a heat sum is reached by each harvest day [1]_.

    `degree_days` (n,) of consecutive days; `harvest_days` (k,) indices into them, up to n;
    `needed` in degC d. Returns (k,) indices of sowing, -1 where the run does not bring enough
    heat before that day.
    """
    daily = np.asarray(degree_days, dtype=np.float64)
    harvest = np.atleast_1d(np.asarray(harvest_days, dtype=np.int64))
    if not np.all(daily >= 0) or needed < 0:
        raise ValueError("heat is not negative")
    if harvest.size and (harvest.min() < 0 or harvest.max() > daily.size):
        raise ValueError("harvest days lie within the run of days")
    total = np.concatenate([[0.0], np.cumsum(daily)])
    latest = np.searchsorted(total, total[harvest] - needed + 1e-9, side="right") - 1
    return np.minimum(latest, harvest).astype(np.int64)


def weeks_before_first_frost(
    days_to_first_harvest: float,
    harvest_window_days: float,
    frost_credit_days: float,
    nursery_weeks: float = 0.0,
) -> int:
    """Weeks before the first frost for the last sowing, or planting out after `nursery_weeks`.

    ceil((D + 14 + min(window, 28)/2 - credit) / 7), less 0.7 of the nursery time for plants set
    out (common practice). `frost_credit_days`: how long the crop goes on after the first frost.
    Not below 0.
    """
    days = days_to_first_harvest + SLOW_AUTUMN_DAYS + min(harvest_window_days, 28.0) / 2
    days -= frost_credit_days + 0.7 * 7 * nursery_weeks
    return max(0, ceil(days / 7 - 1e-9))
