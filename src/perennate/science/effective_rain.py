"""How much of a month's rain a grower may count on, where days are not known.

References
----------
.. [1] Smith, M. (1992), FAO Irrigation and Drainage Paper 46: the empirical rule for dependable
   rain, four years in five, made for dry and half-dry places (from memory).
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def dependable_rain(monthly_mm: ArrayLike) -> Floats:
    """Rain of a month that comes in four years of five and stays in the ground [mm], from its mean
    rain [mm]: 0.6 P - 10 up to 70 mm, 0.8 P - 24 beyond, never below 0 [1]_.

    Raises ValueError for negative rain.
    """
    rain = np.asarray(monthly_mm, dtype=np.float64)
    if not np.all(rain >= 0.0):
        raise ValueError(f"rain of a month is 0 mm or more, not {np.min(rain):g}")
    return np.maximum(np.where(rain <= 70.0, 0.6 * rain - 10.0, 0.8 * rain - 24.0), 0.0)
