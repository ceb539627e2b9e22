"""What a crop asks of the water: coefficients by stage, canopy and climate.

Coefficients multiply reference evapotranspiration: Kc for crop and soil in one, Kcb for the crop
alone ("basal") and Ke for the soil. Heights and depths in m, wind in m s-1 at 2 m, humidity in per
cent, covers and shares from 0 to 1. Arguments may be arrays and broadcast.

References
----------
.. [1] Allen, R.G., Pereira, L.S., Raes, D., Smith, M. (1998), Crop evapotranspiration, FAO
   Irrigation and Drainage Paper 56, equations 62, 65, 66, 70 to 76, 97, 98 and annex 8.
.. [2] Allen, R.G., Pereira, L.S. (2009), Estimating crop coefficients from fraction of ground
   cover and height, Irrigation Science 28:17-34 (typical error 0.13; equations from memory).
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

KC_BARE = 0.15
"""Kcb of dry bare ground with hardly a leaf [1]_, table 17."""

CLIMATE_FLOOR = 0.45
"""Coefficients below this are not changed for climate [1]_, equations 65 and 70."""


def scaled_stages(lengths_d: ArrayLike, days: ArrayLike) -> Floats:
    """Lengths of the four stages [d], (..., 4), stretched to last `days` together.

    The table's lengths belong to its own place and date of planting; their shares are kept.
    Raises ValueError on a negative length, or where all four are 0, or days below 1.
    """
    lengths = np.asarray(lengths_d, np.float64)
    whole = np.asarray(days, np.float64)
    if lengths.shape[-1:] != (4,) or np.any(lengths < 0) or np.any(lengths.sum(axis=-1) <= 0):
        raise ValueError("four stage lengths are expected, none negative and not all 0")
    if np.any(whole < 1):
        raise ValueError("a planting lasts a day or more")
    return np.asarray(lengths * (whole / lengths.sum(axis=-1))[..., None])


def stage_course(
    day: ArrayLike, lengths_d: ArrayLike, initial: ArrayLike, mid: ArrayLike, end: ArrayLike
) -> Floats:
    """A coefficient on a day since planting: level, rising, level, falling, equation 66 [1]_.

    `day` counts from 1: one day, or days along its last axis. The other arguments hold one value
    (the lengths four, on their last axis) for each row of days, (n,) or none. The result has shape
    (n, days), or (days,), or (n,) and () for a single day. Days before the first and behind the
    last keep the end's value.
    """
    bounds = np.cumsum(np.asarray(lengths_d, np.float64), axis=-1)
    t = np.asarray(day, np.float64)
    first, grown, ripe, last = (bounds[..., stage, None] for stage in range(4))
    start, middle, stop = (np.asarray(x, np.float64)[..., None] for x in (initial, mid, end))
    rising = np.clip((t - first) / np.maximum(grown - first, 1e-9), 0.0, 1.0)
    falling = np.clip((t - ripe) / np.maximum(last - ripe, 1e-9), 0.0, 1.0)
    course = np.asarray(start + (middle - start) * rising + (stop - middle) * falling)
    return course if t.ndim else np.asarray(course[..., 0])


def stage_of_day(day: ArrayLike, lengths_d: ArrayLike) -> NDArray[np.int64]:
    """Stage 0 to 3 on a day since planting (from 1); the last stage goes on after its end.

    Shapes as in `stage_course`.
    """
    bounds = np.cumsum(np.asarray(lengths_d, np.float64), axis=-1)[..., None, :3]
    t = np.asarray(day, np.float64)
    stage = np.asarray((t[..., None] > bounds).sum(axis=-1), dtype=np.int64)
    return stage if t.ndim else np.asarray(stage[..., 0])


def climate_term(wind_2m: ArrayLike, rhmin: ArrayLike, height_m: ArrayLike) -> Floats:
    """What wind and dry air add to a coefficient over its table value, equations 62 and 70 [1]_.

    Inputs are held to the equation's range: wind 1 to 6 m/s, RHmin 20 to 80 %, height 0.1-10 m.
    """
    u2 = np.clip(np.asarray(wind_2m, np.float64), 1.0, 6.0)
    dry = np.clip(np.asarray(rhmin, np.float64), 20.0, 80.0)
    h = np.clip(np.asarray(height_m, np.float64), 0.1, 10.0)
    return np.asarray((0.04 * (u2 - 2.0) - 0.004 * (dry - 45.0)) * (h / 3.0) ** 0.3)


def kc_for_climate(
    coefficient: ArrayLike, wind_2m: ArrayLike, rhmin: ArrayLike, height_m: ArrayLike
) -> Floats:
    """Kc or Kcb of the mid or the end stage for a climate, equations 62, 65 and 70 [1]_.

    Only coefficients of 0.45 and more are changed.
    """
    kc = np.asarray(coefficient, np.float64)
    moved = kc + climate_term(wind_2m, rhmin, height_m)
    return np.asarray(np.where(kc >= CLIMATE_FLOOR, moved, kc))


def kc_max(basal: ArrayLike, wind_2m: ArrayLike, rhmin: ArrayLike, height_m: ArrayLike) -> Floats:
    """The most that crop and wet soil can give off, equation 72 [1]_."""
    most = 1.2 + climate_term(wind_2m, rhmin, height_m)
    return np.asarray(np.maximum(most, np.asarray(basal, np.float64) + 0.05))


def cover_from_kcb(basal: ArrayLike, most: ArrayLike, height_m: ArrayLike) -> Floats:
    """Share of the ground under leaves, fc, from the basal coefficient, equation 76 [1]_.

    Never below 0.01 nor above 0.99.
    """
    above = np.asarray(basal, np.float64) - KC_BARE
    room = np.maximum(np.asarray(most, np.float64) - KC_BARE, 1e-9)
    power = 1.0 + 0.5 * np.asarray(height_m, np.float64)
    return np.asarray(np.clip(np.maximum(above / room, 0.01) ** power, 0.01, 0.99))


def density_coefficient(
    cover: ArrayLike, height_m: ArrayLike, multiplier: ArrayLike = 2.0
) -> Floats:
    """Kd: how near a stand of this cover comes to a closed one, equation 98 [1]_ [2]_.

    min(1, ML fc, fc^(1/(1+h))); `multiplier` ML 2 for vegetables in equation 98, 1.5 to 2 in [2]_.
    """
    fc = np.asarray(cover, np.float64)
    if np.any((fc < 0.0) | (fc > 1.0)):
        worst = fc.flat[np.argmax(np.abs(fc - 0.5))]
        raise ValueError(f"cover is a share from 0 to 1, found {worst:g}; is it in per cent?")
    tall = fc ** (1.0 / (1.0 + np.asarray(height_m, np.float64)))
    return np.asarray(np.minimum(np.minimum(1.0, np.asarray(multiplier) * fc), tall))


def kcb_for_cover(full: ArrayLike, cover: ArrayLike, height_m: ArrayLike) -> Floats:
    """Kcb of a stand that does not close, equation 97 [1]_ [2]_.

    `full`: Kcb of the same crop where it closes (the table's mid value).
    """
    whole = np.asarray(full, np.float64)
    return np.asarray(KC_BARE + density_coefficient(cover, height_m) * (whole - KC_BARE))


def root_depth_course(
    basal: ArrayLike,
    basal_initial: ArrayLike,
    basal_mid: ArrayLike,
    first: ArrayLike,
    deepest: ArrayLike,
) -> Floats:
    """Depth of roots [m] that deepen as the crop grows, annex 8 [1]_, and then stay.

    The last axis runs along the days; `first` and `deepest` have one value for each row.
    """
    kcb = np.asarray(basal, np.float64)
    start, mid = (np.asarray(x, np.float64)[..., None] for x in (basal_initial, basal_mid))
    low, deep = (np.asarray(x, np.float64)[..., None] for x in (first, deepest))
    grown = np.clip((kcb - start) / np.maximum(mid - start, 1e-9), 0.0, 1.0)
    grown = np.maximum.accumulate(grown, axis=-1)
    return np.asarray(low + (deep - low) * grown)


def exposed_wet_share(cover: ArrayLike, wetted: ArrayLike = 1.0) -> Floats:
    """few: share of the ground that is both bare to the sun and wetted, equation 75 [1]_."""
    bare = 1.0 - np.asarray(cover, np.float64)
    return np.asarray(np.clip(np.minimum(bare, np.asarray(wetted, np.float64)), 0.01, 1.0))


def depletion_fraction(table: ArrayLike, etc_mm: ArrayLike) -> Floats:
    """p for the day's ETc: the table's p + 0.04 (5 - ETc), within 0.1 to 0.8 [1]_, table 22."""
    moved = np.asarray(table, np.float64) + 0.04 * (5.0 - np.asarray(etc_mm, np.float64))
    return np.asarray(np.clip(moved, 0.1, 0.8))


def yield_share(et_share: ArrayLike, ky: ArrayLike) -> Floats:
    """Share of the yield that a share of the full ET leaves: 1 - ky (1 - ETa/ETm), at least 0.

    Doorenbos, J., Kassam, A.H. (1979), Yield response to water, FAO Irrigation and Drainage
    Paper 33. Meant for shortfalls up to half.
    """
    short = 1.0 - np.clip(np.asarray(et_share, np.float64), 0.0, 1.0)
    return np.asarray(np.clip(1.0 - np.asarray(ky, np.float64) * short, 0.0, 1.0))
