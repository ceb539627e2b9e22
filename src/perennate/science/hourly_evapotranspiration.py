"""Reference evapotranspiration of single hours.

Temperatures in degC, radiation in MJ m-2 h-1, water in mm h-1. Arguments may be arrays.

References
----------
.. [1] Allen, R.G., Pereira, L.S., Raes, D., Smith, M. (1998), Crop evapotranspiration, FAO
   Irrigation and Drainage Paper 56, equations 28 to 33, 45, 46 and 53 and table 19's example.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perennate.science import humidity, sun
from perennate.science.evapotranspiration import EVAPORATION_PER_MJ
from perennate.science.radiation import STEFAN_BOLTZMANN

Floats = NDArray[np.float64]


def hour_angle(
    clock_hour_mid: ArrayLike,
    day_of_year: ArrayLike,
    longitude_west_deg: ArrayLike,
    zone_west_deg: ArrayLike,
) -> Floats:
    """Solar time angle at the middle of an hour [rad], equations 31 to 33 [1]_.

    `clock_hour_mid`: 14.5 for 14 to 15 h. Longitudes are counted west of Greenwich.
    """
    b = 2.0 * np.pi * (np.asarray(day_of_year, np.float64) - 81.0) / 364.0
    season = 0.1645 * np.sin(2.0 * b) - 0.1255 * np.cos(b) - 0.025 * np.sin(b)
    shift = np.asarray(zone_west_deg, np.float64) - np.asarray(longitude_west_deg, np.float64)
    hour = np.asarray(clock_hour_mid, np.float64) + 0.06667 * shift + season
    return np.asarray(np.pi / 12.0 * (hour - 12.0))


def extraterrestrial_radiation_hour(
    latitude_deg: ArrayLike, day_of_year: ArrayLike, angle_mid: ArrayLike, hours: float = 1.0
) -> Floats:
    """Ra of a stretch of `hours` about an hour angle [MJ m-2 per stretch], equation 28 [1]_.

    0 while the sun is down; the stretch is cut at sunrise and at sunset.
    """
    latitude = np.radians(np.asarray(latitude_deg, np.float64))
    set_angle = sun.sunset_hour_angle(latitude_deg, day_of_year)
    half = np.pi * hours / 24.0
    mid = np.asarray(angle_mid, np.float64)
    start = np.clip(mid - half, -set_angle, set_angle)
    end = np.clip(mid + half, -set_angle, set_angle)
    declination = sun.declination(day_of_year)
    light = (end - start) * np.sin(latitude) * np.sin(declination)
    light = light + np.cos(latitude) * np.cos(declination) * (np.sin(end) - np.sin(start))
    whole = 12.0 * 60.0 / np.pi * sun.SOLAR_CONSTANT * sun.relative_distance(day_of_year)
    return np.asarray(np.maximum(whole * light, 0.0))


def net_longwave_hour(
    temperature: ArrayLike, vapour_pressure: ArrayLike, clearness: ArrayLike
) -> Floats:
    """Rnl of an hour, equation 39 by the hour [1]_; `clearness` is Rs/Rso, at night that of the
    hours before sunset."""
    warmth = (np.asarray(temperature, np.float64) + 273.16) ** 4 * STEFAN_BOLTZMANN / 24.0
    air = 0.34 - 0.14 * np.sqrt(np.asarray(vapour_pressure, np.float64))
    return np.asarray(warmth * air * (1.35 * np.asarray(clearness, np.float64) - 0.35))


def heat_flux_hour(net_radiation: ArrayLike, daylight: ArrayLike) -> Floats:
    """G of an hour, equations 45 and 46 [1]_: a tenth of Rn by day, half of it at night."""
    share = np.where(np.asarray(daylight, dtype=bool), 0.1, 0.5)
    return np.asarray(share * np.asarray(net_radiation, np.float64))


def et0_hour(
    temperature: ArrayLike,
    vapour_pressure: ArrayLike,
    net_radiation: ArrayLike,
    heat_flux: ArrayLike,
    wind_2m: ArrayLike,
    elevation_m: ArrayLike = 0.0,
) -> Floats:
    """ET0 of an hour [mm h-1], equation 53 [1]_; below 0 where dew falls."""
    t = np.asarray(temperature, np.float64)
    delta = humidity.vapour_pressure_slope(t)
    gamma = humidity.psychrometric_constant(humidity.atmospheric_pressure(elevation_m))
    u2 = np.asarray(wind_2m, np.float64)
    deficit = humidity.saturation_vapour_pressure(t) - np.asarray(vapour_pressure, np.float64)
    sunny = EVAPORATION_PER_MJ * delta * (np.asarray(net_radiation) - np.asarray(heat_flux))
    windy = gamma * 37.0 / (t + 273.0) * u2 * deficit
    return np.asarray((sunny + windy) / (delta + gamma * (1.0 + 0.34 * u2)))
