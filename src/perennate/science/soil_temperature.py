"""Soil temperature: how a wave of warmth at the surface dies out and lags with depth.

Depth in m, diffusivity in m2 s-1, temperatures in degC. The soil is taken as even in depth; the
temperature at its surface is the caller's to give. Mean air temperature stands in for it where
nothing better is known: bare dark soil in the sun is warmer by day, mulched soil swings less.

References
----------
.. [1] Hillel, D. (1982), Introduction to Soil Physics, Academic Press, chapter 9.
.. [2] Van Wijk, W.R., de Vries, D.A. (1963), Periodic temperature variations in a homogeneous
   soil, in Physics of Plant Environment, North-Holland: any course of surface temperature is a
   sum of waves, each of which goes down on its own.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

DAY_S = 86400.0
YEAR_DAYS = 365.0

MOIST_SOIL_DIFFUSIVITY = 0.5e-6
"""Diffusivity of moist soil [m2 s-1], usual range 0.4e-6 to 0.8e-6, dry 0.2e-6 to 0.3e-6
(from memory)."""


def diffusivity(conductivity: ArrayLike, heat_capacity: ArrayLike) -> Floats:
    """Thermal diffusivity [m2 s-1] of conductivity [W m-1 K-1] and heat capacity [J m-3 K-1]."""
    return np.asarray(
        np.asarray(conductivity, dtype=np.float64) / np.asarray(heat_capacity, dtype=np.float64)
    )


def damping_depth(
    diffusivity_m2_s: ArrayLike = MOIST_SOIL_DIFFUSIVITY, period_days: ArrayLike = YEAR_DAYS
) -> Floats:
    """Depth [m] at which a wave is down to 37 %, sqrt(2 D / omega) [1]_."""
    d = np.asarray(diffusivity_m2_s, dtype=np.float64)
    if np.any(d <= 0):
        raise ValueError("diffusivity must be above 0")
    omega = 2.0 * np.pi / (np.asarray(period_days, dtype=np.float64) * DAY_S)
    return np.asarray(np.sqrt(2.0 * d / omega))


def yearly_wave(
    day: ArrayLike,
    depth_m: ArrayLike,
    mean: ArrayLike,
    half_range: ArrayLike,
    coldest_day: ArrayLike,
    diffusivity_m2_s: ArrayLike = MOIST_SOIL_DIFFUSIVITY,
) -> Floats:
    """Temperature [degC] at a depth on a day, from a yearly cosine at the surface [1]_.

    `coldest_day`: when the surface is coldest, on the same count of days as `day`. Mulch or snow
    change the half range at the surface, not the damping depth.
    """
    z = _depth(depth_m) / damping_depth(diffusivity_m2_s)
    since_coldest = np.asarray(day, dtype=np.float64) - np.asarray(coldest_day, dtype=np.float64)
    swing = np.asarray(half_range, dtype=np.float64) * np.exp(-z)
    wave = swing * np.cos(2.0 * np.pi * since_coldest / YEAR_DAYS - z)
    return np.asarray(np.asarray(mean, dtype=np.float64) - wave)


def soil_from_surface(
    surface: ArrayLike,
    depth_m: float,
    diffusivity_m2_s: float = MOIST_SOIL_DIFFUSIVITY,
) -> Floats:
    """Daily temperature at a depth from daily temperature at the surface, shape (days,) [2]_.

    The series is split into its waves, and each is damped by exp(-z/d) and delayed by z/d with
    its own damping depth d. The series is taken as closing on itself, so its first weeks answer
    to its last; give whole years. For one yearly cosine it equals `yearly_wave`.
    """
    series = np.asarray(surface, dtype=np.float64)
    if series.ndim != 1 or series.size < 2:
        raise ValueError("surface temperatures must be one row of two days or more")
    if diffusivity_m2_s <= 0:
        raise ValueError("diffusivity must be above 0")
    waves = np.fft.rfft(series)
    turns_per_day = np.fft.rfftfreq(series.size)
    omega = 2.0 * np.pi * turns_per_day / DAY_S
    ratio = float(_depth(depth_m)) * np.sqrt(omega / (2.0 * diffusivity_m2_s))
    return np.asarray(np.fft.irfft(waves * np.exp(-(1.0 + 1.0j) * ratio), n=series.size))


def _depth(depth_m: ArrayLike) -> Floats:
    depth = np.asarray(depth_m, dtype=np.float64)
    if np.any(depth < 0):
        raise ValueError("depth is counted downwards and must not be negative")
    return depth
