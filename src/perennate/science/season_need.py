"""The water that a planting wants from a tap, by day and year, beside what falls as rain.

Water in mm, shares from 0 to 1. Arrays by year and day have shape (years, days); what is alike in
all years (days,).

References
----------
.. [1] Allen, R.G., Pereira, L.S., Raes, D., Smith, M. (1998), Crop evapotranspiration, FAO
   Irrigation and Drainage Paper 56, equations 58, 82, 83 and 85, chapter 10 (mulch: the part of
   Kc beyond Kcb is what evaporates from the soil).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perennate.science.crop_water import depletion_fraction

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SeasonNeed:
    """Water [mm] by year and day (years, days): `asked` by crop and soil, `given` from the tap,
    `drained` below the roots; and `left_dry` (years,): what the ground lacks on the last day."""

    asked: Floats
    given: Floats
    drained: Floats
    left_dry: Floats


def season_need(
    et0: ArrayLike,
    rain: ArrayLike,
    kc: ArrayLike,
    kcb: ArrayLike,
    available_mm: ArrayLike,
    fraction: ArrayLike,
    evaporation_left: float = 1.0,
) -> SeasonNeed:
    """Water given whenever the roots have used what they may, back to field capacity [1]_.

    `kc`, `kcb`, `available_mm` (water between field capacity and wilting point within reach of
    the roots) by day; `fraction`: the table's p, moved by each day's demand; `evaporation_left`:
    share of the soil's evaporation that a mulch leaves. The ground is full on the first day. In
    every year asked = rain + given - drained + left_dry. Raises ValueError on negative rain or
    demand, or where no water is available.
    """
    demand, falls = np.asarray(et0, np.float64), np.asarray(rain, np.float64)
    if np.any(falls < 0.0):
        raise ValueError(f"rain must not be negative, found {np.nanmin(falls):g} mm")
    if np.any(demand < 0.0):
        raise ValueError(f"evapotranspiration must not be negative, found {np.nanmin(demand):g} mm")
    whole, crop = np.asarray(kc, np.float64), np.asarray(kcb, np.float64)
    asked = demand * (crop + evaporation_left * np.maximum(whole - crop, 0.0))
    years, days = asked.shape
    reach = np.broadcast_to(np.asarray(available_mm, np.float64), (days,))
    if not np.all(reach > 0.0):
        raise ValueError("the ground must hold some water for the roots")
    allowed = depletion_fraction(fraction, asked) * reach
    given, drained = np.zeros((years, days)), np.zeros((years, days))
    lacking = np.zeros(years)
    for day in range(days):
        lacking = lacking - falls[:, day]
        drained[:, day] = np.maximum(-lacking, 0.0)
        lacking = np.maximum(lacking, 0.0) + asked[:, day]
        dry = lacking > allowed[:, day]
        given[:, day] = np.where(dry, lacking, 0.0)
        lacking = np.where(dry, 0.0, lacking)
    return SeasonNeed(asked, given, drained, lacking)
