"""Degree days: warmth above a base, summed by day.

Temperatures in degC (or all in degF), results in degree days of the same unit: turn Fahrenheit
degree days into Celsius ones by 5/9 alone. A sum means nothing without its base, ceiling and
method, since the methods differ most in spring and autumn, when nights lie below the base.

References
----------
.. [1] McMaster, G.S., Wilhelm, W.W. (1997), Growing degree-days: one equation, two
   interpretations, Agricultural and Forest Meteorology 87:291-300, table 1.
.. [2] Zalom, F.G., Goodell, P.B., Wilson, L.T., Barnett, W.W., Bentley, W.J. (1983),
   Degree-days: the calculation and use of heat units in pest management, University of
   California leaflet 21373, table 7.
.. [3] Baskerville, G.L., Emin, P. (1969), Rapid estimation of heat accumulation from maximum
   and minimum temperatures, Ecology 50:514-517.
"""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Method = Literal["mean", "floored", "sine"]

METHODS: tuple[Method, ...] = ("mean", "floored", "sine")


def degree_days(
    tmin: ArrayLike,
    tmax: ArrayLike,
    base: float,
    ceiling: float | None = None,
    method: Method = "sine",
) -> Floats:
    """Degree days of each day by the named method, one of `METHODS`."""
    if method == "mean":
        return degree_days_mean(tmin, tmax, base, ceiling)
    if method == "floored":
        return degree_days_floored(tmin, tmax, base, ceiling)
    if method == "sine":
        return degree_days_sine(tmin, tmax, base, ceiling)
    raise ValueError(f"unknown method {method!r}; known: {', '.join(METHODS)}")


def degree_days_mean(
    tmin: ArrayLike, tmax: ArrayLike, base: float, ceiling: float | None = None
) -> Floats:
    """Method 1 [1]_: the day's mean, held between base and ceiling, less the base."""
    low, high = _temperatures(tmin, tmax, base, ceiling)
    return np.asarray(np.clip((low + high) / 2.0, base, ceiling) - base)


def degree_days_floored(
    tmin: ArrayLike, tmax: ArrayLike, base: float, ceiling: float | None = None
) -> Floats:
    """Method 2 [1]_: tmin and tmax each held between base and ceiling first, then their mean."""
    low, high = _temperatures(tmin, tmax, base, ceiling)
    return np.asarray((np.clip(low, base, ceiling) + np.clip(high, base, ceiling)) / 2.0 - base)


def degree_days_sine(
    tmin: ArrayLike, tmax: ArrayLike, base: float, ceiling: float | None = None
) -> Floats:
    """Single sine [2]_ [3]_: the area under a sine between tmin and tmax above the base.

    With a ceiling, the horizontal cutoff: warmth above the ceiling counts as the ceiling.
    """
    low, high = _temperatures(tmin, tmax, base, ceiling)
    above = _area_above(low, high, base)
    if ceiling is None:
        return above
    return np.asarray(above - _area_above(low, high, ceiling))


def _area_above(low: Floats, high: Floats, threshold: float) -> Floats:
    """Mean over the day of the part of the sine that lies above the threshold."""
    mean = (low + high) / 2.0
    half = (high - low) / 2.0
    crosses = (low < threshold) & (high > threshold)
    safe = np.where(crosses, half, 1.0)
    angle = np.arcsin(np.where(crosses, (threshold - mean) / safe, 0.0))
    part = ((mean - threshold) * (np.pi / 2.0 - angle) + half * np.cos(angle)) / np.pi
    return np.asarray(np.where(crosses, part, np.maximum(mean - threshold, 0.0)))


def _temperatures(
    tmin: ArrayLike, tmax: ArrayLike, base: float, ceiling: float | None
) -> tuple[Floats, Floats]:
    low = np.asarray(tmin, dtype=np.float64)
    high = np.asarray(tmax, dtype=np.float64)
    if np.any(high < low):
        raise ValueError("tmax must not be below tmin")
    if ceiling is not None and ceiling <= base:
        raise ValueError("the ceiling must lie above the base")
    return low, high
