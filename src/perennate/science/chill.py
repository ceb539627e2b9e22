"""Winter cold that fruit trees and bulbs count: chilling hours, Utah units, chill portions.

Temperatures are hourly, in degC; the last axis is time and every other axis holds series of their
own, such as years. The counts are not to be converted into each other: a requirement holds for
the count that it was found with. Series have no gap; ValueError otherwise.

References
----------
.. [1] Weinberger, J.H. (1950), Chilling requirements of peach varieties, Proceedings of the
   American Society for Horticultural Science 56:122-128: every hour up to 45 degF (7.2 degC).
   The count that leaves out hours of frost came into use later.
.. [2] Richardson, E.A., Seeley, S.D., Walker, D.R. (1974), A model for estimating the completion
   of rest for Redhaven and Elberta peach trees, HortScience 9:331-332 (Utah).
.. [3] Fishman, S., Erez, A., Couvillon, G.A. (1987), The temperature dependence of dormancy
   breaking in plants, Journal of Theoretical Biology 124:473-483; Erez, A., Fishman, S.,
   Linsley-Noakes, G.C., Allan, P. (1990), The dynamic model for rest completion in peach buds,
   Acta Horticulturae 276:165-174.
.. [4] Luedeling, E., Zhang, M., McGranahan, G., Leslie, C. (2009), Validation of winter chill
   models using historic records of walnut phenology, Agricultural and Forest Meteorology
   149:1854-1864 (constants).
.. [5] Linvill, D.E. (1990), Calculating chilling hours and chill units from daily maximum and
   minimum temperature observations, HortScience 25:14-16.
.. [6] Anderson, J.L., Richardson, E.A., Kesner, C.D. (1986), Validation of chill unit and flower
   bud phenology models for Montmorency sour cherry, Acta Horticulturae 184:71-78.
"""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perennate.science.sun import daylight_hours

Floats = NDArray[np.float64]
UtahSteps = Literal["celsius", "fahrenheit"]

HOURS = 24

CHILLING_LIMIT = 7.2
"""Warmest hour that counts as a chilling hour [degC] [1]_."""

KELVIN = 273.15
"""Offset from degC [K]. The model was published with 273, which moves the sum by 0.4 to 4 %."""

_E0, _E1 = 4153.5, 12888.8
_A0, _A1 = 139500.0, 2.567e18
_SLOPE, _FREEZE_K = 1.6, 277.0

_UTAH_CELSIUS = np.array([1.4, 2.4, 9.1, 12.4, 15.9, 18.0])
_UTAH_FAHRENHEIT = np.array([34.5, 36.5, 48.5, 54.5, 60.5, 65.5])
_UTAH_WEIGHTS = np.array([0.0, 0.5, 1.0, 0.5, 0.0, -0.5, -1.0])

_LOWEST_C, _HIGHEST_C = -90.0, 70.0
_SERIES_AT_ONCE = 512
_HOURS_AT_ONCE = 240
_FEW_SERIES = 8


def chilling_hours(
    hourly: ArrayLike, low: float = 0.0, high: float = CHILLING_LIMIT
) -> NDArray[np.int64]:
    """Hours from `low` to `high` [degC], both counted; shape without the last axis.

    Frost does not count. With `low=-inf` it does, as first defined [1]_.
    """
    course = _hourly(hourly)
    return np.asarray(((course >= low) & (course <= high)).sum(axis=-1))


def utah_weights(hourly: ArrayLike, steps: UtahSteps = "celsius") -> Floats:
    """Utah units of each hour [2]_, from 1 (about 2.5 to 9.1 degC) to -1 (above 18 degC).

    The table was printed in whole degrees Fahrenheit and in tenths of degC. Records kept in whole
    degF belong to "fahrenheit", whose steps lie at the half degrees between; 65 degF is 18.3 degC
    and weighs -0.5 there, -1 by "celsius".
    """
    course = _hourly(hourly)
    if steps == "fahrenheit":
        # a whole degree survives the way to degC and back only to within rounding
        found = np.searchsorted(_UTAH_FAHRENHEIT, course * 1.8 + 32.0, side="left")
    else:
        found = np.searchsorted(_UTAH_CELSIUS, course, side="left")
    return np.asarray(_UTAH_WEIGHTS[found])


def utah_units(hourly: ArrayLike, steps: UtahSteps = "celsius") -> Floats:
    """Utah units of each series [2]_; warm hours take away and a sum may be negative."""
    return np.asarray(utah_weights(hourly, steps).sum(axis=-1))


def utah_units_of_winter(hourly: ArrayLike, steps: UtahSteps = "celsius") -> Floats:
    """Utah units from where warmth has taken most away to the most that is reached after it [2]_.

    So warm weeks before and after winter do not count against it; never negative.
    """
    sums = np.cumsum(utah_weights(hourly, steps), axis=-1)
    sums = np.concatenate((np.zeros_like(sums[..., :1]), sums), axis=-1)
    lowest = np.minimum.accumulate(sums, axis=-1)
    return np.asarray((sums - lowest).max(axis=-1))


def chill_portions(hourly: ArrayLike, kelvin: float = KELVIN) -> Floats:
    """Chill portions of each series by the Dynamic Model [3]_ [4]_.

    Cold builds an intermediate that warmth undoes; once it reaches one, a share of it becomes a
    portion that nothing undoes. The first hour starts with none. `kelvin` is the offset from degC.
    A series is one winter: the state may not start anew in its midst.
    """
    course = _hourly(hourly)
    return np.asarray(_portions(course, kelvin, max(course.shape[-1], 1))[..., -1])


def chill_portions_by_day(hourly: ArrayLike, kelvin: float = KELVIN) -> Floats:
    """Portions reached by the end of each day of 24 hours, shape (..., days).

    Raises ValueError unless the series are of whole days.
    """
    course = _hourly(hourly)
    if course.shape[-1] == 0 or course.shape[-1] % HOURS:
        raise ValueError(f"{course.shape[-1]} hours are not whole days")
    return _portions(course, kelvin, HOURS)


def growing_degree_hours(hourly: ArrayLike) -> Floats:
    """Warmth of each hour after rest [degC h] [6]_: base 4, optimum 25, ceiling 36 degC."""
    course = _hourly(hourly)
    rising = 10.5 * (1.0 + np.cos(np.pi + np.pi * (course - 4.0) / 21.0))
    falling = 21.0 * (1.0 + np.cos(np.pi / 2.0 + np.pi * (course - 25.0) / 22.0))
    grown = np.where(course <= 25.0, rising, falling)
    return np.asarray(np.where((course < 4.0) | (course > 36.0), 0.0, grown))


def hourly_from_daily(
    tmin: ArrayLike, tmax: ArrayLike, latitude_deg: float, day_of_year: ArrayLike
) -> Floats:
    """Hourly temperatures [degC] of days that follow each other, shape (..., days * 24) [5]_.

    By day T = tmin + (tmax - tmin) sin(pi h/(daylight + 4)) with h hours after sunrise; by night
    it falls from sunset with the logarithm of the hours until the next day's tmin. `tmin`, `tmax`
    have shape (..., days), `day_of_year` (days,). Hours are solar time. Where the sun does not
    set or rise the day counts as 23 or 1 hours. Raises ValueError where tmax is below tmin.
    """
    low, high = np.broadcast_arrays(
        np.asarray(tmin, dtype=np.float64), np.asarray(tmax, dtype=np.float64)
    )
    if np.any(high < low):
        raise ValueError("tmax must not be below tmin")
    light = np.clip(daylight_hours(latitude_deg, day_of_year), 1.0, 23.0)
    hour = np.arange(float(HOURS))
    rise, sunset = 12.0 - light / 2.0, 12.0 + light / 2.0
    wave = np.sin(np.pi * (hour - rise[:, None]) / (light[:, None] + 4.0))
    by_day = low[..., None] + (high - low)[..., None] * wave
    at_sunset = low + (high - low) * np.sin(np.pi * light / (light + 4.0))
    earlier = np.concatenate((at_sunset[..., :1], at_sunset[..., :-1]), axis=-1)
    later = np.concatenate((low[..., 1:], low[..., -1:]), axis=-1)
    dark = np.log(np.maximum(HOURS - light, 1.0 + 1e-6))[:, None]

    def falls(start: Floats, end: Floats, hours_dark: Floats) -> Floats:
        share = np.log(np.maximum(hours_dark, 1.0)) / np.maximum(dark, 1e-9)
        return np.asarray(start[..., None] - (start - end)[..., None] * np.minimum(share, 1.0))

    before = falls(earlier, low, hour + HOURS - sunset[:, None])
    after = falls(at_sunset, later, hour - sunset[:, None])
    night = np.where(hour < rise[:, None], before, after)
    is_day = (hour >= rise[:, None]) & (hour <= sunset[:, None])
    found = np.where(is_day, by_day, night)
    return np.asarray(found.reshape(*low.shape[:-1], low.shape[-1] * HOURS))


def _hourly(hourly: ArrayLike) -> Floats:
    course = np.asarray(hourly, dtype=np.float64)
    if course.ndim == 0:
        raise ValueError("hourly temperatures need an axis of hours")
    if not np.isfinite(course).all():
        raise ValueError("hourly temperatures must have no gap")
    if course.size and (course.min() < _LOWEST_C or course.max() > _HIGHEST_C):
        found = course.min() if course.min() < _LOWEST_C else course.max()
        raise ValueError(
            f"hourly temperatures must lie between -90 and 70 degC; {found:g} was found, "
            "perhaps in degF or K"
        )
    return course


def _portions(course: Floats, kelvin: float, every: int) -> Floats:
    """Running sums after each `every` hours, shape (..., hours // every), at least one."""
    series = course.reshape(-1, course.shape[-1])
    if len(series) <= _FEW_SERIES:
        found = [_portions_of_one(one, kelvin, every) for one in series]
    else:
        parts = range(0, len(series), _SERIES_AT_ONCE)
        found = [_portions_of_many(series[i : i + _SERIES_AT_ONCE], kelvin, every) for i in parts]
    sums = max(course.shape[-1] // every, 1)
    return np.concatenate(found or [np.zeros((0, sums))]).reshape(*course.shape[:-1], sums)


def _steps(course: Floats, kelvin: float) -> tuple[Floats, Floats, Floats]:
    """Of each hour: share kept of the state, what is added to it, share that becomes a portion."""
    inverse = 1.0 / (course + kelvin)
    kept = np.exp(-np.exp(np.log(_A1) - _E1 * inverse))
    added = np.exp(np.log(_A0 / _A1) + (_E1 - _E0) * inverse)
    added *= 1.0 - kept
    hold = _SLOPE * _FREEZE_K
    share = 1.0 / (1.0 + np.exp(hold * _FREEZE_K * inverse - hold))
    return kept, added, share


def _portions_of_many(series: Floats, kelvin: float, every: int) -> Floats:
    count, hours = series.shape
    sums = np.zeros((max(-(-hours // every), 1), count))
    state, short = np.zeros(count), np.zeros(count, dtype=np.bool_)
    reached = np.zeros((min(_HOURS_AT_ONCE, hours), count))
    rows = list(reached)
    for start in range(0, hours, _HOURS_AT_ONCE):
        block = np.ascontiguousarray(series[:, start : start + _HOURS_AT_ONCE].T)
        kept, added, share = _steps(block, kelvin)
        if start == 0:
            added[0] = 0.0
        # five calls an hour, each on all series; anything more is felt
        for keep, add, stay, row in zip(kept, added, 1.0 - share, rows, strict=False):
            np.multiply(state, keep, row)
            np.add(row, add, row)
            np.less(row, 1.0, short)
            np.multiply(row, stay, state)
            np.putmask(state, short, row)
        before = reached[: len(block)]
        share *= before
        share *= before >= 1.0
        part = np.arange(start, start + len(block)) // every
        first = np.flatnonzero(np.diff(part, prepend=-1))
        sums[part[first]] += np.add.reduceat(share, first, axis=0)
    return np.asarray(np.cumsum(sums, axis=0)[: max(hours // every, 1)].T)


def _portions_of_one(series: Floats, kelvin: float, every: int) -> Floats:
    kept, added, share = _steps(series[1:], kelvin)
    state = 0.0
    gained = np.zeros(len(series))
    # bare numbers are several times as fast as arrays of one
    steps = zip(kept.tolist(), added.tolist(), share.tolist(), strict=True)
    for hour, (keep, add, part) in enumerate(steps, start=1):
        state = state * keep + add
        if state >= 1.0:
            gained[hour] = gone = state * part
            state -= gone
    sums = np.cumsum(gained)[every - 1 :: every]
    return sums[None, :] if len(sums) else np.zeros((1, 1))
