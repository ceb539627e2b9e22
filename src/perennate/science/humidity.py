"""Water vapour in the air: how much it can hold, and how much it holds.

Temperatures in degC, vapour pressure and air pressure in kPa, relative humidity in per cent,
elevation in m above the sea. Arguments may be arrays and broadcast; NaN stays NaN.

References
----------
.. [1] Allen, R.G., Pereira, L.S., Raes, D., Smith, M. (1998), Crop evapotranspiration, FAO
   Irrigation and Drainage Paper 56, chapter 3, equations 7, 8, 11 to 19 and annex 3.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

VENTILATED_PSYCHROMETER = 0.000662
"""Coefficient of a psychrometer with 5 m s-1 of air over the bulbs [degC-1], equation 16 [1]_."""


def atmospheric_pressure(elevation_m: ArrayLike) -> Floats:
    """Mean air pressure at an elevation [kPa], equation 7 [1]_."""
    z = np.asarray(elevation_m, dtype=np.float64)
    return np.asarray(101.3 * ((293.0 - 0.0065 * z) / 293.0) ** 5.26)


def psychrometric_constant(pressure: ArrayLike) -> Floats:
    """gamma [kPa degC-1], equation 8 [1]_: 0.665e-3 times the air pressure [kPa]."""
    return np.asarray(0.665e-3 * np.asarray(pressure, dtype=np.float64))


def saturation_vapour_pressure(temperature: ArrayLike) -> Floats:
    """The vapour pressure of air that can hold no more [kPa], e0(T), equation 11 [1]_."""
    t = np.asarray(temperature, dtype=np.float64)
    return np.asarray(0.6108 * np.exp(17.27 * t / (t + 237.3)))


def mean_saturation_vapour_pressure(tmin: ArrayLike, tmax: ArrayLike) -> Floats:
    """es of a day [kPa], equation 12 [1]_: the mean of both ends, not e0 of the mean."""
    return np.asarray((saturation_vapour_pressure(tmin) + saturation_vapour_pressure(tmax)) / 2.0)


def vapour_pressure_slope(temperature: ArrayLike) -> Floats:
    """Slope of the saturation curve, delta [kPa degC-1], equation 13 [1]_."""
    t = np.asarray(temperature, dtype=np.float64)
    above = t + 237.3
    return np.asarray((4098.0 * 0.6108) * np.exp(17.27 * t / above) / (above * above))


def vapour_pressure_from_dew_point(dew_point_c: ArrayLike) -> Floats:
    """ea [kPa] from the dew point, equation 14 [1]_."""
    return saturation_vapour_pressure(dew_point_c)


def vapour_pressure_from_psychrometer(
    dry_bulb: ArrayLike,
    wet_bulb: ArrayLike,
    pressure: ArrayLike,
    coefficient: float = VENTILATED_PSYCHROMETER,
) -> Floats:
    """ea [kPa] from dry and wet bulb, equations 15 and 16 [1]_.

    Raises ValueError where the wet bulb is warmer than the dry one.
    """
    dry, wet = np.asarray(dry_bulb, np.float64), np.asarray(wet_bulb, np.float64)
    if np.any(wet > dry):
        raise ValueError("the wet bulb cannot be warmer than the dry bulb; are they exchanged?")
    return np.asarray(
        saturation_vapour_pressure(wet) - coefficient * np.asarray(pressure) * (dry - wet)
    )


def vapour_pressure_from_humidity(
    tmin: ArrayLike, tmax: ArrayLike, rhmax: ArrayLike, rhmin: ArrayLike
) -> Floats:
    """ea [kPa] from the greatest and the least humidity of a day [%], equation 17 [1]_."""
    at_dawn = saturation_vapour_pressure(tmin) * np.asarray(rhmax, np.float64)
    by_day = saturation_vapour_pressure(tmax) * np.asarray(rhmin, np.float64)
    return np.asarray((at_dawn + by_day) / 200.0)


def vapour_pressure_from_greatest_humidity(tmin: ArrayLike, rhmax: ArrayLike) -> Floats:
    """ea [kPa] from the greatest humidity of a day alone [%], equation 18 [1]_."""
    return np.asarray(saturation_vapour_pressure(tmin) * np.asarray(rhmax, np.float64) / 100.0)


def vapour_pressure_from_mean_humidity(
    tmin: ArrayLike, tmax: ArrayLike, rhmean: ArrayLike
) -> Floats:
    """ea [kPa] from the mean humidity of a day [%], equation 19 [1]_."""
    es = mean_saturation_vapour_pressure(tmin, tmax)
    return np.asarray(es * np.asarray(rhmean, np.float64) / 100.0)


def dew_point(vapour_pressure: ArrayLike) -> Floats:
    """The dew point [degC] of air with a vapour pressure [kPa]: equation 14 turned round.

    Raises ValueError where the vapour pressure is not above 0.
    """
    ea = np.asarray(vapour_pressure, dtype=np.float64)
    if np.any(ea <= 0):
        raise ValueError(f"vapour pressure must be above 0 kPa, found {np.nanmin(ea):g}")
    log = np.log(ea / 0.6108)
    return np.asarray(237.3 * log / (17.27 - log))
