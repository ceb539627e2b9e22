"""Evaporation from ponds, tanks and pans, and older estimates for grass from few readings.

Temperatures in degC, radiation in MJ m-2 day-1, vapour pressure in kPa, wind in m s-1 at 2 m,
results in mm day-1. Arguments may be arrays.

References
----------
.. [1] McMahon, T.A., Peel, M.C., Lowe, L., Srikanthan, R., McVicar, T.R. (2013), Hydrology and
   Earth System Sciences 17:1331-1363, supplement.
.. [2] Allen, R.G., Pereira, L.S., Raes, D., Smith, M. (1998), FAO Irrigation and Drainage Paper
   56, equation 55 (pan evaporation).
.. [3] Turc, L. (1961), Annales Agronomiques 12:13-49 (as given in [1]_).
.. [4] Priestley, C.H.B., Taylor, R.J. (1972), Monthly Weather Review 100:81-92.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

LATENT_HEAT = 2.45
"""Heat that turns 1 kg of water to vapour [MJ kg-1]."""

WATER_ALBEDO = 0.08
"""Share of sunlight that open water throws back [1]_."""


def evaporation_open_water(
    net_radiation: ArrayLike,
    slope: ArrayLike,
    gamma: ArrayLike,
    deficit: ArrayLike,
    wind_2m: ArrayLike,
) -> Floats:
    """Penman for open water with the wind function of 1956 [1]_; `deficit` is es - ea [kPa].

    `net_radiation` is that of water (albedo 0.08).
    """
    delta, g = np.asarray(slope, np.float64), np.asarray(gamma, np.float64)
    drying = (1.313 + 1.381 * np.asarray(wind_2m, np.float64)) * np.asarray(deficit, np.float64)
    sun = np.asarray(net_radiation, np.float64) / LATENT_HEAT
    return np.asarray((delta * sun + g * drying) / (delta + g))


def evaporation_priestley_taylor(
    net_radiation: ArrayLike, slope: ArrayLike, gamma: ArrayLike
) -> Floats:
    """Evaporation from wet ground and still, moist air [4]_, with 1.26."""
    delta = np.asarray(slope, np.float64)
    share = delta / (delta + np.asarray(gamma, np.float64))
    return np.asarray(1.26 * share * np.asarray(net_radiation, np.float64) / LATENT_HEAT)


def et0_turc(tmean: ArrayLike, radiation: ArrayLike, rhmean: ArrayLike) -> Floats:
    """Turc's estimate for grass from warmth, sun and humidity [3]_; 0 at and below 0 degC."""
    t = np.asarray(tmean, np.float64)
    dry = 1.0 + np.maximum(50.0 - np.asarray(rhmean, np.float64), 0.0) / 70.0
    warm = np.maximum(t, 0.0)
    return np.asarray(
        0.013 * warm / (warm + 15.0) * (23.88 * np.asarray(radiation, np.float64) + 50.0) * dry
    )


def et0_from_pan(pan_evaporation: ArrayLike, pan_coefficient: ArrayLike) -> Floats:
    """ET0 from a pan, equation 55 [2]_; the coefficient (0.35 to 0.85) is the pan's setting.

    Raises ValueError on a coefficient outside 0.3 to 1.1.
    """
    kp = np.asarray(pan_coefficient, np.float64)
    if np.any((kp < 0.3) | (kp > 1.1)):
        raise ValueError(f"a pan coefficient lies between 0.3 and 1.1, found {kp!s}")
    return np.asarray(kp * np.asarray(pan_evaporation, np.float64))
