"""Where the sun stands: day length and the radiation that reaches the top of the air.

Latitude in degrees, north positive; day of year 1 to 366. Arguments may be arrays and broadcast.
`daylight_hours` counts the sun's centre on a flat horizon; `day_length_cbm` lets the reader say
what counts as day and is 7 to 26 minutes longer at 30 to 50 degrees, so the two are never mixed.

References
----------
.. [1] Allen, R.G., Pereira, L.S., Raes, D., Smith, M. (1998), Crop evapotranspiration, FAO
   Irrigation and Drainage Paper 56, equations 21 to 25 and 34.
.. [2] Forsythe, W.C., Rykiel, E.J., Stahl, R.S., Wu, H., Schoolfield, R.M. (1995), A model
   comparison for daylength as a function of latitude and day of year, Ecological Modelling
   80:87-95, the CBM model.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

SOLAR_CONSTANT = 0.0820
"""Radiation on a plane that faces the sun outside the air [MJ m-2 min-1] [1]_."""

SUNRISE_DEG = 0.8333
"""Sun this far below the horizon: upper edge seen, with refraction [deg] [2]_."""

CIVIL_TWILIGHT_DEG = 6.0
"""Sun this far below the horizon: the light to which many plants still answer [deg] [2]_."""


def relative_distance(day_of_year: ArrayLike) -> Floats:
    """Inverse relative distance earth to sun [-], equation 23 [1]_."""
    return np.asarray(1.0 + 0.033 * np.cos(2.0 * np.pi / 365.0 * _day(day_of_year)))


def declination(day_of_year: ArrayLike) -> Floats:
    """Solar declination [rad], equation 24 [1]_."""
    return np.asarray(0.409 * np.sin(2.0 * np.pi / 365.0 * _day(day_of_year) - 1.39))


def sunset_hour_angle(latitude_deg: ArrayLike, day_of_year: ArrayLike) -> Floats:
    """Sunset hour angle [rad], equation 25 [1]_; 0 in polar night, pi in polar day."""
    tangent = np.tan(np.radians(_latitude(latitude_deg))) * np.tan(declination(day_of_year))
    return np.asarray(np.arccos(np.clip(-tangent, -1.0, 1.0)))


def extraterrestrial_radiation(latitude_deg: ArrayLike, day_of_year: ArrayLike) -> Floats:
    """Daily radiation on level ground outside the air, Ra [MJ m-2 day-1], equation 21 [1]_.

    The paper warns that in winter beyond 55 degrees the figure has limited worth.
    """
    latitude = np.radians(_latitude(latitude_deg))
    sun = declination(day_of_year)
    sunset = sunset_hour_angle(latitude_deg, day_of_year)
    height = sunset * np.sin(latitude) * np.sin(sun)
    swing = np.cos(latitude) * np.cos(sun) * np.sin(sunset)
    whole = 24.0 * 60.0 / np.pi * SOLAR_CONSTANT * relative_distance(day_of_year)
    return np.asarray(np.maximum(whole * (height + swing), 0.0))


def daylight_hours(latitude_deg: ArrayLike, day_of_year: ArrayLike) -> Floats:
    """Longest possible sunshine, N [h], equation 34 [1]_: the sun's centre above the horizon."""
    return np.asarray(24.0 / np.pi * sunset_hour_angle(latitude_deg, day_of_year))


def day_length_cbm(
    latitude_deg: ArrayLike, day_of_year: ArrayLike, sun_below_deg: ArrayLike = SUNRISE_DEG
) -> Floats:
    """Day length [h] by the CBM model [2]_; 0 in polar night, 24 in polar day.

    `sun_below_deg`: how far below the horizon the sun's centre still counts as day [deg];
    0.8333 for sunrise and sunset, 0 for the geometric day, 6 for civil twilight.
    """
    angle = 0.2163108 + 2.0 * np.arctan(0.9671396 * np.tan(0.00860 * (_day(day_of_year) - 186.0)))
    sun = np.arcsin(0.39795 * np.cos(angle))
    latitude = np.radians(_latitude(latitude_deg))
    below = np.radians(np.asarray(sun_below_deg, dtype=np.float64))
    reach = (np.sin(below) + np.sin(latitude) * np.sin(sun)) / (np.cos(latitude) * np.cos(sun))
    return np.asarray(24.0 - 24.0 / np.pi * np.arccos(np.clip(reach, -1.0, 1.0)))


def _latitude(latitude_deg: ArrayLike) -> Floats:
    latitude = np.asarray(latitude_deg, dtype=np.float64)
    if not np.all(np.abs(latitude) <= 90.0):
        raise ValueError("latitude must lie between -90 and 90 degrees")
    return latitude


def _day(day_of_year: ArrayLike) -> Floats:
    day = np.asarray(day_of_year, dtype=np.float64)
    if not np.all((day >= 1.0) & (day <= 366.0)):
        raise ValueError("day of year must lie between 1 and 366")
    return day
