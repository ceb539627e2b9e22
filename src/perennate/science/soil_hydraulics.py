"""What a soil holds and lets through, from its texture, organic matter, stones and packing.

Shares of sand and clay are of the fine earth by weight (0 to 1), organic matter in % by weight,
gravel as a share of the whole soil by weight. Water contents in m3 m-3 of the whole soil, stones
counted. Arguments may be arrays and broadcast.

References
----------
.. [1] Saxton, K.E., Rawls, W.J. (2006), Soil water characteristic estimates by texture and organic
   matter for hydrologic solutions, Soil Science Society of America Journal 70:1569-1578,
   table 1 (equations 1 to 5, 15 to 18 read in a second print; 6 to 10 and 19 to 22 from memory).
.. [2] Allen, R.G., Pereira, L.S., Raes, D., Smith, M. (1998), FAO Irrigation and Drainage Paper
   56, equation 73 and table 19.
.. [3] Allen, R.G., Pereira, L.S., Smith, M., Raes, D., Wright, J.L. (2005), FAO-56 dual crop
   coefficient method for estimating evaporation from soil and application extensions, Journal of
   Irrigation and Drainage Engineering 131:2-13 (readily evaporable water, from memory).
.. [4] Raes, D., Steduto, P., Hsiao, T.C., Fereres, E. (2009), Agronomy Journal 101:438-447 (share
   that drains in a day by conductivity, from memory).
.. [5] Vomocil, J.A., Flocker, W.J. (1961), Transactions of the ASAE 4:242-246 (10 % of air, from
   memory); Cook, F.J., Knight, J.H. (2003), Soil Science Society of America Journal 67:20-31 (no
   single limit holds for all soils: warmth and breathing move it).
.. [6] Natural Resources Conservation Service (2004), National Engineering Handbook, part 630,
   chapters 7, 9 and 10: soil groups by conductivity, curve numbers, storage (groups and numbers
   from memory, the equation seen).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

GREATEST_CLAY = 0.60
GREATEST_ORGANIC_MATTER = 8.0
"""Ends of what the equations were fitted to [1]_: beyond them the end is taken."""

PARTICLE_DENSITY = 2.65
"""Of the mineral grains [g cm-3] [1]_."""

EVAPORATING_LAYER_M = 0.10
"""Depth of the layer that dries by evaporation [m], 0.10 to 0.15 [2]_."""

LEAST_CONDUCTIVITY_MM_H = 0.1
"""What cracks and worm holes let through any pan or clay [mm h-1] (assumed)."""

USUAL_AIR_LIMIT = 0.10
"""Air that roots in mineral soil are usually said to want [m3 m-3] [5]_."""

BREATHING_REFERENCE_C = 20.0
BREATHING_Q10 = 2.0
"""Roots and soil life breathe twice as fast for every 10 K of warmth (from memory)."""

ROOTS_REST_UNDER_C = 5.0
"""Soil warmth under which roots hardly grow or breathe [degC] (assumed)."""


@dataclass(frozen=True, slots=True)
class Hydraulics:
    """Water contents [m3 m-3], conductivity when saturated [mm h-1], bulk density [g cm-3].

    `clamped`: where clay or organic matter lay beyond the equations' range and the end of it was
    taken instead.
    """

    wilting_point: Floats
    field_capacity: Floats
    saturation: Floats
    conductivity_mm_h: Floats
    bulk_density: Floats
    clamped: Bools


def hydraulics(
    sand: ArrayLike,
    clay: ArrayLike,
    organic_matter_percent: ArrayLike = 2.5,
    gravel_weight_share: ArrayLike = 0.0,
    density_factor: ArrayLike = 1.0,
) -> Hydraulics:
    """The soil's water contents and conductivity by the equations of Saxton and Rawls [1]_.

    `density_factor`: 1 as the texture would lie, 0.9 loosened, 1.1 to 1.3 compacted. Raises
    ValueError where shares lie outside 0 to 1 or sand and clay add to more than 1, organic matter
    outside 0 to 100 %, gravel of 0.9 or more, density factor outside 0.8 to 1.4.
    """
    s, c = _share(sand, "sand"), _share(clay, "clay")
    if np.any(s + c > 1.0 + 1e-9):
        raise ValueError(
            f"sand and clay add to {100 * float(np.max(s + c)):.0f} %; with the silt they make"
            " 100 % together"
        )
    om = np.asarray(organic_matter_percent, np.float64)
    if not np.all((om >= 0) & (om <= 100)):
        raise ValueError("organic matter lies between 0 and 100 % by weight")
    gravel = np.asarray(gravel_weight_share, np.float64)
    if not np.all((gravel >= 0) & (gravel < 0.9)):
        raise ValueError("gravel is a share by weight from 0 to under 0.9")
    packing = np.asarray(density_factor, np.float64)
    if not np.all((packing >= 0.8) & (packing <= 1.4)):
        raise ValueError("the density factor lies between 0.8 (loose) and 1.4 (compacted)")
    clamped = np.asarray((c > GREATEST_CLAY) | (om > GREATEST_ORGANIC_MATTER))
    c = np.minimum(c, GREATEST_CLAY)
    om = np.minimum(om, GREATEST_ORGANIC_MATTER)

    wilting = _wilting_point(s, c, om)
    capacity = _field_capacity(s, c, om)
    saturation = capacity + _drained_pores(s, c, om) - 0.097 * s + 0.043
    density = (1.0 - saturation) * PARTICLE_DENSITY * packing
    packed = np.asarray(1.0 - density / PARTICLE_DENSITY)
    capacity = capacity - 0.2 * (saturation - packed)
    # a soil packed so tight that nothing drains would divide by nothing further on
    packed = np.maximum(packed, wilting + 0.03)
    capacity = np.clip(capacity, wilting + 0.01, packed - 0.01)
    slope = np.log(1500.0 / 33.0) / np.log(capacity / wilting)
    conductivity = 1930.0 * (packed - capacity) ** (3.0 - 1.0 / slope)

    stones = _stone_volume(gravel, density)
    fine = 1.0 - stones
    alpha = density / PARTICLE_DENSITY
    passable = (1.0 - gravel) / (1.0 - gravel * (1.0 - 1.5 * alpha))
    shape = np.broadcast_shapes(packed.shape, fine.shape, clamped.shape)
    return Hydraulics(
        np.asarray(wilting * fine),
        np.asarray(capacity * fine),
        np.asarray(packed * fine),
        np.asarray(conductivity * passable),
        np.asarray(density * fine + stones * PARTICLE_DENSITY),
        np.broadcast_to(clamped, shape),
    )


def readily_evaporable_water(sand: ArrayLike, clay: ArrayLike) -> Floats:
    """REW [mm]: what a wet surface gives off before it holds back, by texture [3]_."""
    s, c = _share(sand, "sand"), _share(clay, "clay")
    coarse = 20.0 - 15.0 * s
    heavy = 11.0 - 6.0 * c
    rest = 8.0 + 8.0 * c
    return np.asarray(np.where(s > 0.80, coarse, np.where(c > 0.50, heavy, rest)))


def total_evaporable_water(
    field_capacity: ArrayLike, wilting_point: ArrayLike, layer_m: ArrayLike = EVAPORATING_LAYER_M
) -> Floats:
    """TEW [mm]: what the surface layer can lose to the air, equation 73 [2]_."""
    fc, wp = np.asarray(field_capacity, np.float64), np.asarray(wilting_point, np.float64)
    return np.asarray(1000.0 * (fc - 0.5 * wp) * np.asarray(layer_m, np.float64))


def daily_drainage_share(conductivity_mm_h: ArrayLike) -> Floats:
    """Share of the water above field capacity that leaves a soil in a day [4]_.

    0.0866 K^0.35 with K in mm a day, at most 1: about a day in sand, two or three in loam, four
    to eight in clay until nine tenths are gone.
    """
    k = np.asarray(conductivity_mm_h, np.float64)
    return np.asarray(np.minimum(0.0866 * (24.0 * k) ** 0.35, 1.0))


def days_to_drain(share: ArrayLike, left: float = 0.1) -> Floats:
    """Days until only `left` of the water above field capacity is there, at a daily share."""
    stays = np.clip(1.0 - np.asarray(share, np.float64), 1e-9, 1.0 - 1e-9)
    return np.asarray(np.maximum(np.log(left) / np.log(stays), 1.0))


def runoff_storage(curve_number: ArrayLike) -> Floats:
    """S [mm] of a curve number from 1 to 100: 25400 / CN - 254 [6]_."""
    number = np.asarray(curve_number, np.float64)
    if not np.all((number >= 1.0) & (number <= 100.0)):
        raise ValueError("a curve number lies between 1 and 100")
    return np.asarray(25400.0 / number - 254.0)


def runoff(rain_mm: ArrayLike, curve_number: ArrayLike) -> Floats:
    """Runoff of a day's rain [mm]: (P - 0.2 S)^2 / (P + 0.8 S) past 0.2 S [6]_."""
    rain, storage = np.asarray(rain_mm, np.float64), runoff_storage(curve_number)
    past = np.maximum(rain - 0.2 * storage, 0.0)
    return np.asarray(past**2 / np.maximum(rain + 0.8 * storage, 1e-9))


def air_limit(
    field_capacity: ArrayLike, saturation: ArrayLike, soil_temperature_c: ArrayLike = 20.0
) -> Floats:
    """Air-filled pores under which roots go short [m3 m-3], for a soil and its warmth.

    The usual 10 % [5]_ at 20 degC, but never more than half of what the soil holds once it has
    drained: a drained clay has little more than 5 % and roots live in it. The colder the soil, the
    less air its roots and its life use; as air gets through by the square of the pores that are
    open, the limit falls with the square root of their breathing; under 5 degC roots are at rest
    and the limit is 0. Assumed; no single limit holds for all soils [5]_.
    """
    drained = np.asarray(saturation, np.float64) - np.asarray(field_capacity, np.float64)
    limit = np.minimum(USUAL_AIR_LIMIT, 0.5 * drained)
    warmth = np.asarray(soil_temperature_c, np.float64)
    breathing = BREATHING_Q10 ** ((warmth - BREATHING_REFERENCE_C) / 10.0)
    active = warmth >= ROOTS_REST_UNDER_C
    return np.asarray(np.where(active, limit * np.sqrt(np.minimum(breathing, 1.0)), 0.0))


def _wilting_point(s: Floats, c: Floats, om: Floats) -> Floats:
    first = -0.024 * s + 0.487 * c + 0.006 * om + 0.005 * s * om - 0.013 * c * om
    first = first + 0.068 * s * c + 0.031
    return np.asarray(np.maximum(first + 0.14 * first - 0.02, 0.005))


def _field_capacity(s: Floats, c: Floats, om: Floats) -> Floats:
    first = -0.251 * s + 0.195 * c + 0.011 * om + 0.006 * s * om - 0.027 * c * om
    first = first + 0.452 * s * c + 0.299
    return np.asarray(first + 1.283 * first**2 - 0.374 * first - 0.015)


def _drained_pores(s: Floats, c: Floats, om: Floats) -> Floats:
    """Water between saturation and 33 kPa [m3 m-3]."""
    first = 0.278 * s + 0.034 * c + 0.022 * om - 0.018 * s * om - 0.027 * c * om
    first = first - 0.584 * s * c + 0.078
    return np.asarray(first + 0.636 * first - 0.107)


def _stone_volume(gravel: Floats, density: Floats) -> Floats:
    """Share of the soil's room that stones take, from their share of its weight [1]_."""
    alpha = density / PARTICLE_DENSITY
    return np.asarray(alpha * gravel / (1.0 - gravel * (1.0 - alpha)))


def _share(value: ArrayLike, name: str) -> Floats:
    share = np.asarray(value, np.float64)
    if not np.all((share >= 0.0) & (share <= 1.0)):
        raise ValueError(f"{name} is a share from 0 to 1; {np.max(share):g} looks like per cent")
    return share
