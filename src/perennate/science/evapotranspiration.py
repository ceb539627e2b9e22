"""Reference evapotranspiration: the water that short, well-watered grass gives off in a day.

Temperatures in degC, radiation in MJ m-2 day-1, water in mm day-1. Arguments may be arrays.

References
----------
.. [1] Allen, R.G., Pereira, L.S., Raes, D., Smith, M. (1998), Crop evapotranspiration, FAO
   Irrigation and Drainage Paper 56, equations 20 and 52.
.. [2] Hargreaves, G.H., Samani, Z.A. (1985), Reference crop evapotranspiration from temperature,
   Applied Engineering in Agriculture 1(2):96-99.
.. [3] McMahon, T.A., Peel, M.C., Lowe, L., Srikanthan, R., McVicar, T.R. (2013), Hydrology and
   Earth System Sciences 17:1331-1363, supplement S19.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

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
