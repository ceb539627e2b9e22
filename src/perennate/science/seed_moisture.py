"""How moist seed is in the air it lies in, and what it takes to dry it.

Moisture in per cent of the fresh (wet) weight unless said otherwise, humidity of the air in per
cent, temperatures in degC, oil as a share of the dry weight, masses in g. Arguments may be arrays
and broadcast.

References
----------
.. [1] Cromarty, Ellis and Roberts 1982, The Design of Seed Storage Facilities for Genetic
   Conservation, IBPGR (equilibrium of moisture, oil and humidity; measured from 10 to 70 %
   humidity, at 0 to 40 degC for starchy and at 15 to 25 degC for oily seed).
.. [2] Harrington 1972, Seed storage and longevity, in Seed Biology 3 (greatest warmth of drying
   air, from memory).
.. [3] University of Washington, course page on seed storage (no ice forms under 14 % moisture).
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

LEAST_HUMIDITY, GREATEST_HUMIDITY = 10.0, 70.0
LEAST_WARMTH, GREATEST_WARMTH = 0.0, 40.0
OILY_SHARE = 0.15
"""From this share of oil on a seed is called oily here; the authors give no border (assumed)."""
OILY_WARMTH = (15.0, 25.0)
GREATEST_OIL = 0.7

NO_ICE_UNDER_PCT = 14.0
"""Seed drier than this holds no water that could freeze [3]_."""

BEAD_CAPACITY = 0.20
"""Water that molecular-sieve drying beads take up at any humidity, share of their mass (memory)."""
_GEL_HUMIDITY = (0.0, 22.5, 40.0)
_GEL_CAPACITY = (0.0, 0.10, 0.22)


def wet_from_dry(moisture_dry: ArrayLike) -> Floats:
    """Moisture of the fresh weight [%] from that of the dry weight [%]: 30 gives 23.08."""
    dry = np.asarray(moisture_dry, dtype=np.float64)
    if np.any(dry < 0):
        raise ValueError(f"moisture is not below 0 %, found {np.min(dry):g}")
    return np.asarray(100.0 * dry / (100.0 + dry))


def dry_from_wet(moisture: ArrayLike) -> Floats:
    """Moisture of the dry weight [%] from that of the fresh weight [%]: 25 gives 33.33."""
    wet = _moisture(moisture)
    return np.asarray(100.0 * wet / (100.0 - wet))


def equilibrium_moisture(humidity: ArrayLike, temperature: ArrayLike, oil: ArrayLike) -> Floats:
    """Moisture [%] that seed comes to in air of a humidity and temperature [1]_.

    Dry-weight moisture is (1 - oil) sqrt(-440 ln(1 - humidity)) / (1.1 + temperature / 90).
    Raises ValueError outside 10 to 70 % and 0 to 40 degC. Oily seed was measured from 15 to
    25 degC alone: see `measured_for_oily`.
    """
    air = _within(humidity, LEAST_HUMIDITY, GREATEST_HUMIDITY, "humidity", "%")
    warmth = _within(temperature, LEAST_WARMTH, GREATEST_WARMTH, "temperature", "degC")
    lean = 1.0 - _within(oil, 0.0, GREATEST_OIL, "share of oil", "")
    dry = lean * np.sqrt(-440.0 * np.log1p(-air / 100.0)) / (1.1 + warmth / 90.0)
    return wet_from_dry(dry)


def equilibrium_humidity(moisture: ArrayLike, temperature: ArrayLike, oil: ArrayLike) -> Floats:
    """Humidity [%] of the air about seed of a moisture [%], shut in with it [1]_.

    Raises ValueError where the answer lies outside 10 to 70 %, at which nothing was measured.
    """
    warmth = _within(temperature, LEAST_WARMTH, GREATEST_WARMTH, "temperature", "degC")
    lean = 1.0 - _within(oil, 0.0, GREATEST_OIL, "share of oil", "")
    bracket = dry_from_wet(moisture) * (1.1 + warmth / 90.0) / lean
    found = -100.0 * np.expm1(-(bracket**2) / 440.0)
    # a hair of room, so that what equilibrium_moisture returns at either end is taken back
    room = 1e-9
    if np.any((found < LEAST_HUMIDITY - room) | (found > GREATEST_HUMIDITY + room)):
        least, most = float(np.min(found)), float(np.max(found))
        air = least if least < LEAST_HUMIDITY else most
        raise ValueError(
            f"such seed stands with air of {air:.0f} % humidity; the law holds from 10 to 70 %"
        )
    return np.asarray(np.clip(found, LEAST_HUMIDITY, GREATEST_HUMIDITY))


def measured_for_oily(temperature: float, oil: float) -> bool:
    """Whether the equilibrium was measured for seed of this oil share at this temperature [1]_."""
    return oil < OILY_SHARE or OILY_WARMTH[0] <= temperature <= OILY_WARMTH[1]


def water_to_remove(seed_g: ArrayLike, moisture: ArrayLike, target: ArrayLike) -> Floats:
    """Water [g] that leaves seed of `seed_g` when it dries from `moisture` to `target` [%].

    A balance of mass: seed (moisture - target) / (100 - target). Raises ValueError where the
    target is the moister one.
    """
    seed = np.asarray(seed_g, dtype=np.float64)
    have, wanted = _moisture(moisture), _moisture(target)
    if np.any(seed < 0):
        raise ValueError(f"a mass is not below 0 g, found {np.min(seed):g}")
    if np.any(wanted > have):
        raise ValueError("a target of drying is no moister than the seed is now")
    return np.asarray(seed * (have - wanted) / (100.0 - wanted))


def silica_gel_capacity(humidity: ArrayLike) -> Floats:
    """Water that dry silica gel holds at a humidity [%], share of its own mass.

    Straight between 0, 0.10 at 22.5 % and 0.22 at 40 %, and no more beyond (all from memory).
    """
    air = _within(humidity, 0.0, 100.0, "humidity", "%")
    return np.asarray(np.interp(air, _GEL_HUMIDITY, _GEL_CAPACITY), dtype=np.float64)


def desiccant(water_g: ArrayLike, capacity: ArrayLike) -> Floats:
    """Dry desiccant [g] that takes up `water_g` when it holds `capacity`, a share of its mass."""
    water, share = np.asarray(water_g, np.float64), np.asarray(capacity, np.float64)
    if np.any(share <= 0):
        raise ValueError(f"a desiccant holds more than nothing, found a share of {np.min(share):g}")
    if np.any(water < 0):
        raise ValueError(f"a mass is not below 0 g, found {np.min(water):g}")
    return np.asarray(water / share)


def warmest_drying_air(moisture: ArrayLike) -> Floats:
    """Greatest warmth [degC] of air that dries seed of a moisture [%] without harm [2]_.

    32 above 18 %, 38 down to 10 %, 43 below.
    """
    wet = _moisture(moisture)
    return np.asarray(np.select([wet > 18.0, wet >= 10.0], [32.0, 38.0], 43.0))


def _moisture(moisture: ArrayLike) -> Floats:
    wet = np.asarray(moisture, dtype=np.float64)
    if np.any((wet < 0) | (wet >= 100)):
        raise ValueError("moisture of the fresh weight lies from 0 to below 100 %")
    return wet


def _within(value: ArrayLike, low: float, high: float, what: str, unit: str) -> Floats:
    found = np.asarray(value, dtype=np.float64)
    outside = ~((found >= low) & (found <= high))
    if np.any(outside):
        first = float(found[outside][0]) if found.ndim else float(found)
        raise ValueError(
            f"{what} lies from {low:g} to {high:g} {unit}".rstrip() + f", not {first:g}"
        )
    return found
