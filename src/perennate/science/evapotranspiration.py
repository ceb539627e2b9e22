"""Reference evapotranspiration: the water that short, well-watered grass gives off in a day.

The equations, one function each; `science.reference_evapotranspiration` feeds them with whatever
was measured. Temperatures in degC, radiation in MJ m-2 day-1, wind in m s-1, vapour pressure in
kPa, water in mm day-1. Arguments may be arrays and broadcast; NaN stays NaN.

References
----------
.. [1] Allen, R.G., Pereira, L.S., Raes, D., Smith, M. (1998), Crop evapotranspiration, FAO
   Irrigation and Drainage Paper 56, equations 6, 20, 47 and 52.
.. [2] Hargreaves, G.H., Samani, Z.A. (1985), Reference crop evapotranspiration from temperature,
   Applied Engineering in Agriculture 1(2):96-99.
.. [3] McMahon, T.A., Peel, M.C., Lowe, L., Srikanthan, R., McVicar, T.R. (2013), Hydrology and
   Earth System Sciences 17:1331-1363, supplement S19.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perennate.science import humidity

Floats = NDArray[np.float64]

EVAPORATION_PER_MJ = 0.408
"""Water that 1 MJ m-2 turns to vapour [mm], equation 20 [1]_ (1 / 2.45 MJ kg-1)."""


def evaporation_equivalent(radiation: ArrayLike) -> Floats:
    """Radiation [MJ m-2 day-1] as the depth of water it would evaporate [mm day-1] [1]_."""
    return np.asarray(EVAPORATION_PER_MJ * np.asarray(radiation, dtype=np.float64))


def et0_hargreaves(
    tmin: ArrayLike, tmax: ArrayLike, extraterrestrial_radiation: ArrayLike
) -> Floats:
    """Reference evapotranspiration from temperature alone [mm day-1], equation 52 [1]_ [2]_.

    ET0 = 0.0023 (T + 17.8) sqrt(Tmax - Tmin) 0.408 Ra, with T the mean of tmin and tmax; never
    below 0. Meant for sums of a week or more: on a still winter day in a dry place it can be
    a third too high [3]_. Raises ValueError where tmax is below tmin.
    """
    low = np.asarray(tmin, dtype=np.float64)
    high = np.asarray(tmax, dtype=np.float64)
    if np.any(high < low):
        raise ValueError("tmax must not be below tmin")
    warmth = (low + high) / 2.0 + 17.8
    water = evaporation_equivalent(extraterrestrial_radiation)
    return np.asarray(np.maximum(0.0023 * warmth * np.sqrt(high - low) * water, 0.0))


def et0_hargreaves_by_range(
    tmin: ArrayLike, tmax: ArrayLike, extraterrestrial_radiation: ArrayLike
) -> Floats:
    """Hargreaves with a coefficient that follows the day's range of temperature [3]_.

    It is meant for places far drier or damper than those of equation 52.
    """
    low = np.asarray(tmin, dtype=np.float64)
    high = np.asarray(tmax, dtype=np.float64)
    if np.any(high < low):
        raise ValueError("tmax must not be below tmin")
    swing = high - low
    coefficient = 0.00185 * swing**2 - 0.0433 * swing + 0.4023
    water = np.asarray(extraterrestrial_radiation, dtype=np.float64) / 2.45
    warmth = (low + high) / 2.0 + 17.8
    return np.asarray(np.maximum(0.0135 * coefficient * water * np.sqrt(swing) * warmth, 0.0))


def wind_at_2m(wind: ArrayLike, height_m: ArrayLike) -> Floats:
    """Wind over short grass brought from the height of its reading to 2 m, equation 47 [1]_.

    Raises ValueError for a height under 0.5 m and for wind below 0.
    """
    speed = np.asarray(wind, dtype=np.float64)
    height = np.asarray(height_m, dtype=np.float64)
    if not np.all(height >= 0.5):
        raise ValueError(f"wind is read at 0.5 m or higher, found {np.min(height):g} m")
    if np.any(speed < 0):
        raise ValueError(f"wind must not be negative, found {np.nanmin(speed):g} m/s")
    if np.all(height == 2.0):
        return speed
    return np.asarray(speed * (4.87 / np.log(67.8 * height - 5.42)))


def et0_penman_monteith(
    tmin: ArrayLike,
    tmax: ArrayLike,
    vapour_pressure: ArrayLike,
    net_radiation: ArrayLike,
    wind_2m: ArrayLike,
    gamma: ArrayLike,
    heat_flux: ArrayLike = 0.0,
) -> Floats:
    """The FAO Penman-Monteith equation itself [mm day-1], equation 6 [1]_.

    `gamma`: psychrometric constant [kPa degC-1]; `heat_flux`: G, 0 for single days. The mean
    temperature is the mean of tmin and tmax.
    """
    low, high = np.asarray(tmin, np.float64), np.asarray(tmax, np.float64)
    mean = (low + high) * 0.5
    g = np.asarray(gamma, np.float64)
    u2 = np.asarray(wind_2m, np.float64)
    delta = humidity.vapour_pressure_slope(mean)
    deficit = humidity.mean_saturation_vapour_pressure(low, high) - np.asarray(vapour_pressure)
    kept = np.asarray(net_radiation, np.float64)
    if np.ndim(heat_flux) or heat_flux:
        kept = kept - np.asarray(heat_flux, np.float64)
    sunny = EVAPORATION_PER_MJ * delta * kept
    drying = (900.0 * g) * u2 * deficit / (mean + 273.0)
    return np.asarray((sunny + drying) / (delta + g + (0.34 * g) * u2))
