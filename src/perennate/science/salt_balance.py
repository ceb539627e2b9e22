"""Salt in the root zone of a bed, step by step through the years.

Salt is reckoned as conductivity times water [dS/m mm]; 1 dS/m in 1 mm is about 0.64 g/m2.

What is left out: salts of compost, manure and feed; salt that rises from a water table; lime and
gypsum that dissolve or settle; water that runs past the soil in cracks and washes out less. So it
is a balance of what comes in water.

References
----------
.. [1] Ayers, R.S., Westcot, D.W. (1985), Water quality for agriculture, FAO Irrigation and
   Drainage Paper 29 rev. 1 (uptake by quarters of the root zone; soil water twice the extract).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perennate.science.salinity import SOIL_WATER_PER_EXTRACT, UPTAKE_OF_QUARTERS
from perennate.science.water_units import RAIN_EC, TDS_PER_EC

Floats = NDArray[np.float64]

GRAMS_PER_EC_MM = TDS_PER_EC / 1000.0
"""Grams of salt on a square metre in 1 mm of water of 1 dS/m."""

_LAYERS_A_QUARTER = 2
_LAYERS = 4 * _LAYERS_A_QUARTER


@dataclass(frozen=True, slots=True)
class SaltBalance:
    """Salt in a root zone at the end of each step; arrays (..., steps) but where said.

    `ece`: mean of the root zone [dS/m]; `quarters`: the same of each quarter from the top,
    (..., 4, steps); `stored`, `brought`, `leached` [dS/m mm]; `start`: stored before the first
    step, shape (...). start + sum(brought) - sum(leached) = stored.
    """

    ece: Floats
    quarters: Floats
    stored: Floats
    brought: Floats
    leached: Floats
    start: Floats


def salt_balance(
    irrigation_mm: ArrayLike,
    irrigation_ec: ArrayLike,
    rain_mm: ArrayLike,
    drainage_mm: ArrayLike,
    water_held_mm: ArrayLike,
    start_ece: ArrayLike = 0.5,
    rain_ec: float = RAIN_EC,
) -> SaltBalance:
    """The salt balance of root zones by steps of a week, a month or a season.

    Arrays broadcast to (..., steps): water given [mm] and its conductivity [dS/m], rain that enters
    the soil, water that drains below the root zone [mm] (from the soil-water run, or `drainage`).
    `water_held_mm`: water in the root zone at field capacity, shape (...). `start_ece` [dS/m]:
    ECe at the start, shape (...).

    The root zone is eight equal layers; each is well mixed while water passes, which is solved
    exactly for an even flow in the step, so that a long step stays sound (one season in a single
    step is within a tenth of the same in weeks). The crop takes water from the quarters by 40, 30,
    20 and 10 % [1]_ and leaves the salt. Raises ValueError.
    """
    given, ec, rain, drained = np.broadcast_arrays(
        *(
            np.asarray(one, np.float64)
            for one in (irrigation_mm, irrigation_ec, rain_mm, drainage_mm)
        )
    )
    for name, one in (("irrigation", given), ("EC", ec), ("rain", rain), ("drainage", drained)):
        if np.any(one < 0.0) or not np.all(np.isfinite(one)):
            raise ValueError(f"{name} of a step is 0 or more, not {one.min():g}")
    held = np.broadcast_to(np.asarray(water_held_mm, np.float64), given.shape[:-1])
    begun = np.broadcast_to(np.asarray(start_ece, np.float64), given.shape[:-1])
    if np.any(held <= 0.0):
        raise ValueError("a root zone holds more than 0 mm of water")
    if np.any(begun < 0.0) or rain_ec < 0.0:
        raise ValueError("a conductivity is 0 dS/m or more")

    steps = given.shape[-1]
    layer_mm = held / _LAYERS
    salt = np.repeat((begun * SOIL_WATER_PER_EXTRACT * layer_mm)[np.newaxis], _LAYERS, axis=0)
    start = salt.sum(axis=0)
    brought = given * ec + rain * rain_ec
    leached = np.zeros_like(brought)
    stored = np.zeros_like(brought)
    quarters = np.zeros((*given.shape[:-1], 4, steps))
    taken = np.cumsum(np.repeat(UPTAKE_OF_QUARTERS, _LAYERS_A_QUARTER) / _LAYERS_A_QUARTER)
    taken[-1] = 1.0
    for step in range(steps):
        enters, drains = given[..., step] + rain[..., step], drained[..., step]
        moving = brought[..., step]
        for layer in range(_LAYERS):
            passes = enters * (1.0 - taken[layer]) + drains * taken[layer]
            salt[layer], moving = _mixed_through(salt[layer], moving, passes / layer_mm)
        leached[..., step] = moving
        stored[..., step] = salt.sum(axis=0)
        of_quarters = salt.reshape(4, _LAYERS_A_QUARTER, *salt.shape[1:]).sum(axis=1)
        water = held / 4.0 * SOIL_WATER_PER_EXTRACT
        quarters[..., step] = np.moveaxis(of_quarters / water, 0, -1)
    ece = stored / (held * SOIL_WATER_PER_EXTRACT)[..., np.newaxis]
    return SaltBalance(ece, quarters, stored, brought, leached, start)


def _mixed_through(salt: Floats, comes: Floats, fills: Floats) -> tuple[Floats, Floats]:
    """Salt that stays in a mixed layer and salt that leaves it, when `fills` times its water
    passes and `comes` enters evenly: the solution of dS/dt = comes - fills S."""
    kept = np.exp(-fills)
    with np.errstate(divide="ignore", invalid="ignore"):
        kept_of_new = np.where(fills > 1e-9, -np.expm1(-fills) / fills, 1.0 - fills / 2.0)
    stays = salt * kept + comes * kept_of_new
    return stays, salt + comes - stays


def drainage(
    applied_mm: ArrayLike, et_mm: ArrayLike, available_mm: ArrayLike, start_share: float = 1.0
) -> Floats:
    """Water that drains below the root zone in each step [mm], where no soil-water run is at hand.

    `applied_mm`: water and rain (..., steps); `et_mm`: what crop and air would take;
    `available_mm`: water that the root zone holds between wilting point and field capacity, shape
    (...). What does not fit in drains; what is not there is not taken. Raises ValueError.
    """
    applied, et = np.broadcast_arrays(
        np.asarray(applied_mm, np.float64), np.asarray(et_mm, np.float64)
    )
    available = np.broadcast_to(np.asarray(available_mm, np.float64), applied.shape[:-1])
    if np.any(applied < 0.0) or np.any(et < 0.0) or np.any(available < 0.0):
        raise ValueError("water, evapotranspiration and what soil holds are 0 mm or more")
    if not 0.0 <= start_share <= 1.0:
        raise ValueError(
            f"the share of water held at the start lies in 0 to 1, not {start_share:g}"
        )
    drained = np.zeros_like(applied)
    water = available * start_share
    for step in range(applied.shape[-1]):
        water = np.maximum(water + applied[..., step] - et[..., step], 0.0)
        drained[..., step] = np.maximum(water - available, 0.0)
        water = np.minimum(water, available)
    return drained
