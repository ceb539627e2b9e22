"""What the weather may be where nothing but the position is known: broad guesses, from memory.

Sea-level means and yearly swings over land by latitude, and the usual fall of temperature with
height. Two places of one latitude differ by several degrees, which the spread says.
"""

import numpy as np
from numpy.typing import NDArray

from perennate.weather.normals import MONTH_DAYS, MONTH_OF_DAY, MonthlyNormals

Floats = NDArray[np.float64]

LAPSE_K_PER_M = 0.0065
"""Fall of temperature with height [K m-1] (standard atmosphere; from memory)."""
POSITION_SPREAD_K = 2.5
"""How far a place's mean may lie from its latitude's, one standard deviation [K] (memory)."""

_LATITUDE = np.array([0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0])
_MEAN_C = np.array([26.5, 26.5, 25.0, 20.5, 14.0, 9.0, 2.0, -9.0, -16.0, -20.0])
_SWING_NORTH_K = np.array([1.0, 2.0, 4.5, 8.5, 11.0, 10.5, 13.0, 15.0, 15.0, 15.0])
_SWING_SOUTH_K = np.array([1.0, 2.0, 4.5, 6.5, 6.0, 5.0, 7.0, 12.0, 15.0, 15.0])
_RAIN_MM_A_MONTH = np.array([170.0, 140.0, 90.0, 60.0, 65.0, 60.0, 55.0, 35.0, 20.0, 10.0])
_DAILY_RANGE_K = 10.0
_COLDEST_NORTH = 19.0
_WET_MONTH_FACTOR = 2.5


def normals_of_position(
    latitude_deg: float, elevation_m: float, wet_months: tuple[int, ...] = ()
) -> MonthlyNormals:
    """Guessed normals. `wet_months` (1 to 12) get more of the same year's rain than the others."""
    if not -90.0 <= latitude_deg <= 90.0:
        raise ValueError("latitude must lie between -90 and 90 degrees")
    distance = abs(latitude_deg)
    mean = np.interp(distance, _LATITUDE, _MEAN_C) - LAPSE_K_PER_M * elevation_m
    north = latitude_deg >= 0
    swing = np.interp(distance, _LATITUDE, _SWING_NORTH_K if north else _SWING_SOUTH_K)
    coldest = _COLDEST_NORTH if north else _COLDEST_NORTH + 182.5
    day = np.arange(365.0)
    daily = mean - swing * np.cos(2.0 * np.pi * (day - coldest) / 365.0)
    monthly = np.bincount(MONTH_OF_DAY, weights=daily) / MONTH_DAYS
    rain = np.interp(distance, _LATITUDE, _RAIN_MM_A_MONTH) * MONTH_DAYS / 30.4
    if wet_months:
        wet = np.isin(np.arange(1, 13), wet_months)
        weight = np.where(wet, _WET_MONTH_FACTOR, 1.0 / _WET_MONTH_FACTOR)
        rain = rain * weight * (rain.sum() / (rain * weight).sum())
    half = _DAILY_RANGE_K / 2.0
    return MonthlyNormals(monthly - half, monthly + half, rain)
