"""The ground of plantings by day: what the soil of each bed holds for roots that deepen.

The profile of a bed is made of layers with one soil: loosened ground on top, the ground as it
lies, and a pan (a compacted layer) where there is one. Roots stop at a pan, and water passes it
slowly. Organic matter is that of the topsoil; deeper ground has less.

References
----------
.. [1] Allen, R.G., Pereira, L.S., Raes, D., Smith, M. (1998), Crop evapotranspiration, FAO
   Irrigation and Drainage Paper 56, equations 73 and 82.
.. [2] Saxton, K.E., Rawls, W.J. (2006), Soil Science Society of America Journal 70:1569-1578
   (density factor: 0.9 loose to 1.3 hard).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perennate.science.soil_hydraulics import (
    LEAST_CONDUCTIVITY_MM_H,
    Hydraulics,
    air_limit,
    daily_drainage_share,
    hydraulics,
    readily_evaporable_water,
    runoff_storage,
    total_evaporable_water,
)
from perennate.science.soil_water import Ground

Floats = NDArray[np.float64]

TOPSOIL_M = 0.30
"""Depth to which organic matter is that of a sample from a bed [m] (assumed)."""

SUBSOIL_ORGANIC_SHARE = 0.4
"""Organic matter under the topsoil beside that in it (assumed)."""

LOOSENED, PAN = 0.9, 1.2
"""Density factors [2]_ of loosened ground and of a pan (assumed within the range)."""

PROFILE_M = 1.5
"""Depth of the ground that is kept account of where roots stay above it [m] (assumed)."""

PAN_REACH_M = 0.2
"""How near above a pan roots begin to feel the water that stands on it [m] (assumed)."""

LEAST_ROOTS_M = 0.05


@dataclass(frozen=True, slots=True)
class Profile:
    """Layers of ground, top first: edges (plantings, layers + 1) [m], the rest (plantings, layers).

    Shares of the whole soil's room; `pan_at` [m], infinite for none; `pan_drains`: share of the
    water above field capacity that passes the pan in a day; `sand` and `clay` as given.
    """

    edges: Floats
    soil: Hydraulics
    pan_at: Floats
    pan_drains: Floats
    sand: Floats
    clay: Floats

    def held(self, share: Floats, depth_m: Floats) -> Floats:
        """Depth of water [mm] that a share (plantings, layers) makes down to a depth by day."""
        top, bottom = self.edges[:, None, :-1], self.edges[:, None, 1:]
        within = np.clip(depth_m[:, :, None] - top, 0.0, bottom - top)
        return np.asarray(1000.0 * np.einsum("pdl,pl->pd", within, share))


def profile(
    sand: ArrayLike,
    clay: ArrayLike,
    organic_matter_percent: ArrayLike = 2.5,
    gravel_weight_share: ArrayLike = 0.0,
    *,
    loosened_to_m: ArrayLike = 0.0,
    pan_at_m: ArrayLike = np.inf,
    bottom_m: ArrayLike = PROFILE_M,
    known: Hydraulics | None = None,
) -> Profile:
    """Layers of each planting's ground, every argument (plantings,) or one value for all.

    `known`: figures that stand in the place of the reckoned ones in all layers, such as those of
    a peat, each (plantings,) or one value, NaN where there is none. Raises ValueError as
    `soil_hydraulics.hydraulics` does, and on a pan or bottom at 0 or above.
    """
    given = (sand, clay, organic_matter_percent, gravel_weight_share)
    depths = (loosened_to_m, pan_at_m, bottom_m)
    wide = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(value, np.float64)) for value in (*given, *depths))
    )
    s, c, om, stones, loose, pan, bottom = (np.asarray(value) for value in wide)
    if not np.all((pan > 0.0) & (bottom > 0.0) & (loose >= 0.0)):
        raise ValueError("a pan and the profile's end lie below the surface")
    # what is loosened is loosened through: no pan lies within it
    loose = np.minimum(np.minimum(loose, pan), bottom)
    inner = np.sort(np.stack([loose, np.minimum(np.full_like(loose, TOPSOIL_M), bottom)]), axis=0)
    edges = np.stack([np.zeros_like(loose), inner[0], inner[1], bottom], axis=1)
    middle = 0.5 * (edges[:, 1:] + edges[:, :-1])
    organic = np.where(middle < TOPSOIL_M, om[:, None], SUBSOIL_ORGANIC_SHARE * om[:, None])
    packing = np.where(middle < loose[:, None], LOOSENED, 1.0)
    soil = hydraulics(s[:, None], c[:, None], organic, stones[:, None], packing)
    if known is not None:
        soil = _laid_over(soil, known)
    hard = hydraulics(s, c, SUBSOIL_ORGANIC_SHARE * om, stones, PAN)
    slow = daily_drainage_share(np.maximum(hard.conductivity_mm_h, LEAST_CONDUCTIVITY_MM_H))
    return Profile(edges, soil, pan, np.where(np.isfinite(pan), slow, 1.0), s, c)


def ground_days(
    ground: Profile,
    root_depth_m: ArrayLike,
    soil_temperature_c: ArrayLike = 20.0,
    *,
    wants_air: ArrayLike = True,
    curve_number: ArrayLike | None = None,
    rain_share: ArrayLike = 1.0,
) -> Ground:
    """`Ground` of plantings by day.

    `root_depth_m`: (plantings, days), never shrinking; cut at a pan. `soil_temperature_c`: of the
    root zone, (plantings, days) or broadcasting to it. `wants_air`: whether roots go short of air,
    false for wet-land crops; (plantings, 1). `curve_number`: of the ground, (plantings, 1); None:
    level beds with edges, from which nothing runs off that the pores can take. `rain_share`: of
    the cover. Raises ValueError where roots shrink or are missing, or reach beyond the profile.
    """
    roots = np.atleast_2d(np.asarray(root_depth_m, np.float64))
    if not np.all(roots >= 0.0) or np.any(np.diff(roots, axis=1) < -1e-9):
        raise ValueError("root depths must be known on every day, not negative and never shrink")
    shape = (len(ground.pan_at), roots.shape[1])
    roots = np.maximum(np.broadcast_to(roots, shape), LEAST_ROOTS_M)
    roots = np.minimum(roots, ground.pan_at[:, None])
    end = ground.edges[:, -1:]
    if np.any(roots >= end):
        raise ValueError(f"roots reach {roots.max():g} m, beyond the profile of {end.min():g} m")
    soil = ground.soil
    water, air = soil.field_capacity - soil.wilting_point, soil.saturation - soil.field_capacity
    drains = daily_drainage_share(np.maximum(soil.conductivity_mm_h, LEAST_CONDUCTIVITY_MM_H))
    available, empty = ground.held(water, roots), ground.held(air, roots)
    whole = np.broadcast_to(end, shape)
    below = np.maximum(ground.held(water, whole) - available, 0.0)
    grown = np.zeros(shape)
    # by water held, not by depth, so that ground at field capacity stays so as roots deepen
    grown[:, 1:] = np.diff(available, axis=1) / np.maximum(below[:, :-1], 1e-9)
    thickness = 1000.0 * roots
    limit = air_limit(
        ground.held(soil.field_capacity, roots) / thickness,
        ground.held(soil.saturation, roots) / thickness,
        soil_temperature_c,
    )
    leaves = ground.held(drains, roots) / thickness
    near = np.clip(1.0 - (ground.pan_at[:, None] - roots) / PAN_REACH_M, 0.0, 1.0)
    leaves = leaves * np.minimum(ground.pan_drains[:, None] / leaves, 1.0) ** near
    storage = np.inf if curve_number is None else runoff_storage(curve_number)
    top = soil.field_capacity[:, :1], soil.wilting_point[:, :1]
    total = total_evaporable_water(*top)
    readily = np.minimum(readily_evaporable_water(ground.sand, ground.clay)[:, None], 0.9 * total)
    return Ground(
        available_mm=available,
        drained_air_mm=empty,
        airless_under_mm=limit * thickness * np.asarray(wants_air, np.float64),
        drains=leaves,
        below_available_mm=below,
        below_air_mm=np.maximum(ground.held(air, whole) - empty, 0.0),
        below_drains=drains[:, -1:],
        rooted_share=grown,
        total_evaporable_mm=total,
        readily_evaporable_mm=readily,
        runoff_storage_mm=np.atleast_2d(storage),
        rain_share=np.atleast_2d(np.asarray(rain_share, np.float64)),
    )


def _laid_over(soil: Hydraulics, known: Hydraulics) -> Hydraulics:
    """Layers (plantings, layers) with a planting's known figures in place of the reckoned."""

    def one(name: str) -> Floats:
        given = np.atleast_1d(np.asarray(getattr(known, name), np.float64))[:, None]
        return np.where(np.isnan(given), getattr(soil, name), given)

    laid = Hydraulics(
        one("wilting_point"),
        one("field_capacity"),
        one("saturation"),
        one("conductivity_mm_h"),
        one("bulk_density"),
        soil.clamped,
    )
    rising = (laid.wilting_point < laid.field_capacity) & (laid.field_capacity < laid.saturation)
    if not np.all(rising):
        raise ValueError("a soil holds less at wilting than at field capacity than when full")
    return laid
