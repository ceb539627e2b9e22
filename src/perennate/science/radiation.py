"""Radiation at the ground: what comes through the air, what stays, what is given back.

All fluxes in MJ m-2 day-1 unless a name says otherwise, temperatures in degC, vapour pressure in
kPa. Radiation outside the air (Ra) and the possible sunshine come from `science.sun`. Arguments
may be arrays and broadcast; NaN stays NaN.

References
----------
.. [1] Allen, R.G., Pereira, L.S., Raes, D., Smith, M. (1998), Crop evapotranspiration, FAO
   Irrigation and Drainage Paper 56, equations 35 to 44 and 50.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

GRASS_ALBEDO = 0.23
"""Share of sunlight that the reference grass throws back [1]_."""

INLAND_KRS = 0.16
"""Adjustment of equation 50 for places inland [degC-0.5] [1]_."""

COAST_KRS = 0.19
"""Adjustment of equation 50 for places on or near a coast [degC-0.5] [1]_."""

STEFAN_BOLTZMANN = 4.903e-9
"""[MJ K-4 m-2 day-1] [1]_."""

ABOVE_CLEAR_SKY = 1.2
"""Radiation beyond the clear sky's by more than this factor is taken for a mistake (assumed)."""

LEAST_CLEARNESS = 0.3
"""Rs/Rso is never taken as lower: below it equation 39 leaves what it was fitted to."""


def clear_sky_radiation(extraterrestrial: ArrayLike, elevation_m: ArrayLike) -> Floats:
    """Rso, what a cloudless day brings to the ground, equation 37 [1]_."""
    z = np.asarray(elevation_m, dtype=np.float64)
    return np.asarray((0.75 + 2e-5 * z) * np.asarray(extraterrestrial, dtype=np.float64))


def refuse_above_clear_sky(radiation: ArrayLike, clear_sky: ArrayLike) -> None:
    """Raises ValueError for radiation below 0 or far above the clear sky's; NaN passes.

    A fifth and 1 MJ above are let pass: clouds at the sun's side throw light down, and the clear
    sky is itself a rule of thumb.
    """
    found, most = np.asarray(radiation, np.float64), np.asarray(clear_sky, np.float64)
    if not found.min() >= 0.0 and np.any(found < 0.0):
        raise ValueError(f"radiation must not be negative, found {np.nanmin(found):g} MJ/m2")
    if np.any(found > most * ABOVE_CLEAR_SKY + 1.0):
        found, most = np.broadcast_arrays(found, most)
        worst = np.nanargmax(found - most)
        raise ValueError(
            f"radiation of {found.flat[worst]:.1f} MJ/m2 is far above the {most.flat[worst]:.1f}"
            " that a clear sky lets through that day; is it in W/m2 (divide by 11.57), or is the"
            " latitude another?"
        )


def radiation_from_sunshine(
    extraterrestrial: ArrayLike,
    sunshine_h: ArrayLike,
    daylight_h: ArrayLike,
    a: float = 0.25,
    b: float = 0.50,
) -> Floats:
    """Rs from hours of bright sunshine, equation 35 [1]_; `a` and `b` after Angstrom.

    Sunshine up to half an hour beyond the possible is read as the possible; more is refused
    with ValueError.
    """
    hours = np.asarray(sunshine_h, dtype=np.float64)
    possible = np.asarray(daylight_h, dtype=np.float64)
    if np.any(hours < 0):
        raise ValueError(f"sunshine must not be negative, found {np.nanmin(hours):g} h")
    if np.any(hours > possible + 0.5):
        raise ValueError(
            f"{np.nanmax(hours - possible):.1f} h more sunshine than the day is long;"
            " are these minutes, or another latitude?"
        )
    with np.errstate(invalid="ignore", divide="ignore"):
        share = np.where(possible > 0, np.minimum(hours / possible, 1.0), hours * 0.0)
    return np.asarray((a + b * share) * np.asarray(extraterrestrial, dtype=np.float64))


def radiation_from_temperature(
    extraterrestrial: ArrayLike, tmin: ArrayLike, tmax: ArrayLike, krs: ArrayLike = INLAND_KRS
) -> Floats:
    """Rs from the day's range of temperature, equation 50 [1]_; best as a mean of five days."""
    range_k = np.asarray(tmax, np.float64) - np.asarray(tmin, np.float64)
    ra = np.asarray(extraterrestrial, dtype=np.float64)
    return np.asarray(np.asarray(krs, np.float64) * np.sqrt(range_k) * ra)


def net_shortwave(radiation: ArrayLike, albedo: ArrayLike = GRASS_ALBEDO) -> Floats:
    """Rns, the sunlight that is kept, equation 38 [1]_."""
    return np.asarray((1.0 - np.asarray(albedo)) * np.asarray(radiation, dtype=np.float64))


def net_longwave(
    tmin: ArrayLike,
    tmax: ArrayLike,
    vapour_pressure: ArrayLike,
    radiation: ArrayLike,
    clear_sky: ArrayLike,
) -> Floats:
    """Rnl, the warmth given off to the sky, equation 39 [1]_, Rs/Rso held between 0.3 and 1.

    In polar night, where no clear sky is left to compare with, the sky counts as half clouded.
    """
    low = np.asarray(tmin, np.float64) + 273.16
    high = np.asarray(tmax, np.float64) + 273.16
    low *= low
    low *= low
    high *= high
    high *= high
    warmth = low + high
    rso = np.asarray(clear_sky, dtype=np.float64)
    with np.errstate(invalid="ignore", divide="ignore"):
        clearness = np.asarray(radiation, np.float64) / rso
    if not rso.min() > 0:
        clearness = np.where(rso > 0, clearness, 0.65)
    clearness = np.minimum(np.maximum(clearness, LEAST_CLEARNESS), 1.0)
    half = STEFAN_BOLTZMANN / 2.0
    air = 0.34 * half - (0.14 * half) * np.sqrt(np.asarray(vapour_pressure, np.float64))
    return np.asarray(warmth * air * (1.35 * clearness - 0.35))


def heat_flux_of_month(previous_c: ArrayLike, next_c: ArrayLike) -> Floats:
    """G of a month from the means of the months about it, equation 43 [1]_."""
    return np.asarray(0.07 * (np.asarray(next_c, np.float64) - np.asarray(previous_c, np.float64)))


def heat_flux_of_month_so_far(previous_c: ArrayLike, month_c: ArrayLike) -> Floats:
    """G of a month when the next one is not known yet, equation 44 [1]_."""
    return np.asarray(0.14 * (np.asarray(month_c, np.float64) - np.asarray(previous_c, np.float64)))


def monthly_heat_flux(month_means: ArrayLike) -> Floats:
    """G of all twelve months from their mean temperatures, the year closing on itself, (..., 12).

    Equation 43 [1]_. Raises ValueError when the last axis is not of twelve months.
    """
    means = np.asarray(month_means, dtype=np.float64)
    if means.ndim == 0 or means.shape[-1] != 12:
        raise ValueError(f"twelve months are expected on the last axis, found shape {means.shape}")
    return heat_flux_of_month(np.roll(means, 1, axis=-1), np.roll(means, -1, axis=-1))
