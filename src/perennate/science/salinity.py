"""What salt in the soil costs, and the water that washes it out.

ECe is the conductivity of the saturated soil extract, ECw that of the water given [dS/m, 25 °C].

References
----------
.. [1] Maas, E.V., Hoffman, G.J. (1977), Crop salt tolerance: current assessment, J. Irrig. Drain.
   Div. ASCE 103:115.
.. [2] Ayers, R.S., Westcot, D.W. (1985), Water quality for agriculture, FAO Irrigation and
   Drainage Paper 29 rev. 1: soil water at field capacity is twice the extract; crops take 40, 30,
   20 and 10 % of their water from the quarters of the root zone; table 3, equations of leaching
   (from memory).
.. [3] Rhoades, J.D. (1974), Drainage for salinity control, in Drainage for Agriculture, American
   Society of Agronomy 17:433.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

UPTAKE_OF_QUARTERS = (0.4, 0.3, 0.2, 0.1)
"""Share of the crop's water from each quarter of the root zone, from the top [2]_."""
SOIL_WATER_PER_EXTRACT = 2.0
"""Conductivity of soil water at field capacity over that of the saturated extract [2]_."""
EXTRACT_PER_WATER = 1.5
"""ECe over ECw at 15 to 20 % leaching [2]_."""


def relative_yield(ece_ds_m: ArrayLike, threshold_ds_m: ArrayLike, slope_pct: ArrayLike) -> Floats:
    """Share of the yield that salt leaves, 0 to 1 [1]_.

    `slope_pct`: loss for each dS/m above the threshold [%]. It holds from the late seedling stage
    on; sowings are more tender. Raises ValueError for a slope of 0 or less or a threshold below 0.
    """
    ece, threshold, slope = _tolerance(ece_ds_m, threshold_ds_m, slope_pct)
    return np.clip(1.0 - slope / 100.0 * (ece - threshold), 0.0, 1.0)


def ece_at_loss(loss_pct: ArrayLike, threshold_ds_m: ArrayLike, slope_pct: ArrayLike) -> Floats:
    """ECe [dS/m] at which a share of the yield is lost [%], 0 to 100 [1]_. Raises ValueError."""
    loss, threshold, slope = _tolerance(loss_pct, threshold_ds_m, slope_pct)
    if np.any((loss < 0.0) | (loss > 100.0)):
        raise ValueError("a loss lies between 0 and 100 %")
    return np.asarray(threshold + loss / slope)


def _tolerance(
    first: ArrayLike, threshold_ds_m: ArrayLike, slope_pct: ArrayLike
) -> tuple[Floats, Floats, Floats]:
    one, threshold, slope = (
        np.asarray(each, dtype=np.float64) for each in (first, threshold_ds_m, slope_pct)
    )
    if np.any(threshold < 0.0):
        raise ValueError(f"a threshold is 0 dS/m or more, not {threshold.min():g}")
    if np.any(slope <= 0.0):
        raise ValueError(f"a slope is more than 0 % for each dS/m, not {slope.min():g}")
    return one, threshold, slope


def concentration_factor(leaching_fraction: ArrayLike) -> Floats:
    """ECe of the root zone over ECw in the long run, by the share of water that drains [2]_.

    The mean of soil water at the surface and below each quarter, halved: table 3 to its last
    digit but for rounding. Raises ValueError outside 0 (not counted) to 1.
    """
    drains = np.asarray(leaching_fraction, dtype=np.float64)
    if np.any((drains <= 0.0) | (drains > 1.0)):
        raise ValueError("a leaching fraction lies above 0 and up to 1")
    taken = np.concatenate(([0.0], np.cumsum(UPTAKE_OF_QUARTERS)))
    passes = 1.0 - taken * (1.0 - drains[..., np.newaxis])
    return np.asarray((1.0 / passes).mean(axis=-1) / SOIL_WATER_PER_EXTRACT)


def leaching_requirement(ecw_ds_m: ArrayLike, ece_ds_m: ArrayLike) -> Floats:
    """Least share of the water that must drain to keep the root zone at `ece_ds_m` [2]_ [3]_.

    ECw / (5 ECe - ECw), for water given now and then. nan where it would be 1 or more (ECw at
    least 2.5 ECe): then no leaching fits this crop to this water, and from 5 ECe on the equation
    itself means nothing. Raises ValueError for negatives.
    """
    ecw, ece = _waters(ecw_ds_m, ece_ds_m)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = ecw / (5.0 * ece - ecw)
    return np.where((ecw < 2.5 * ece) | (ecw == 0.0), np.where(ecw == 0.0, 0.0, share), np.nan)


def leaching_requirement_often_watered(ecw_ds_m: ArrayLike, ece_at_no_yield: ArrayLike) -> Floats:
    """The same for water given nearly every day, as by drip: ECw / (2 ECe at no yield) [2]_.

    nan where it would be 1 or more. Raises ValueError for negatives.
    """
    ecw, ece = _waters(ecw_ds_m, ece_at_no_yield)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = ecw / (2.0 * ece)
    return np.where((ecw < 2.0 * ece) | (ecw == 0.0), np.where(ecw == 0.0, 0.0, share), np.nan)


def _waters(ecw_ds_m: ArrayLike, ece_ds_m: ArrayLike) -> tuple[Floats, Floats]:
    ecw, ece = (np.asarray(one, dtype=np.float64) for one in (ecw_ds_m, ece_ds_m))
    for name, one in (("water", ecw), ("soil", ece)):
        if np.any(one < 0.0):
            raise ValueError(f"conductivity of {name} is 0 dS/m or more, not {one.min():g}")
    return ecw, ece


def water_to_apply(
    etc_mm: ArrayLike, leaching_share: ArrayLike, efficiency: ArrayLike = 1.0
) -> Floats:
    """Water to give [mm] for a need of `etc_mm` and a leaching share, at an efficiency above 0
    and up to 1 [2]_. nan passes through. Raises ValueError."""
    need, share, efficient = (
        np.asarray(one, dtype=np.float64) for one in (etc_mm, leaching_share, efficiency)
    )
    if np.any((share < 0.0) | (share >= 1.0)):
        raise ValueError("a leaching share lies from 0 to below 1")
    if np.any((efficient <= 0.0) | (efficient > 1.0)):
        raise ValueError("an efficiency lies above 0 and up to 1")
    return np.asarray(need / (1.0 - share) / efficient)


def mixed(values: ArrayLike, volumes: ArrayLike) -> Floats:
    """Conductivity or concentration of waters mixed, by volume, along the last axis.

    Exact for what is dissolved and near enough for conductivity; pH does not mix so.
    Raises ValueError for negative volumes or none at all.
    """
    found, parts = (np.asarray(one, dtype=np.float64) for one in (values, volumes))
    if np.any(parts < 0.0) or np.any(parts.sum(axis=-1) <= 0.0):
        raise ValueError("volumes are 0 or more, and some water must be there")
    return np.asarray((found * parts).sum(axis=-1) / parts.sum(axis=-1))


def share_of_second(first: ArrayLike, second: ArrayLike, wanted: ArrayLike) -> Floats:
    """Share of a second source in a mixture that is to have the value `wanted`, 0 to 1.

    nan where no mixture has it; 0 where the first source has it already.
    """
    one, other, goal = (np.asarray(each, dtype=np.float64) for each in (first, second, wanted))
    low, high = np.minimum(one, other), np.maximum(one, other)
    slack = 1e-12 * (1.0 + high)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.clip(np.where(goal == one, 0.0, (goal - one) / (other - one)), 0.0, 1.0)
    between = (goal >= low - slack) & (goal <= high + slack)
    return np.where(between, np.where(low == high, 0.0, share), np.nan)


def free_leaching_share(needed_mm: ArrayLike, surplus_rain_mm: ArrayLike) -> Floats:
    """Share of the water needed for leaching that rain beyond the soil's fill brings, 0 to 1."""
    needed, surplus = (np.asarray(one, dtype=np.float64) for one in (needed_mm, surplus_rain_mm))
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(needed > 0.0, surplus / needed, 1.0)
    return np.clip(share, 0.0, 1.0)
