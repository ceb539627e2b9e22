"""What mulch, shade, rain covers and greenhouses change in the water that a bed loses and gets.

Shares from 0 to 1, depths in cm. Arguments may be arrays.

References
----------
.. [1] Allen, R.G., Pereira, L.S., Raes, D., Smith, M. (1998), FAO Irrigation and Drainage Paper
   56, chapter 10 and table 25 (from memory).
.. [2] Diaz, F., Jimenez, C.C., Tejedor, M. (2005), Influence of the thickness and grain size of
   tephra mulch on soil water evaporation, Agricultural Water Management 74:47-55: 2, 5 and 10 cm
   of volcanic gravel cut evaporation by 52, 83 and 92 %.
.. [3] Tanny, J., Cohen, S. (2003): a shade net took about 40 % of the wind; Mahmood, A. and others
   (2018): screens cut evapotranspiration by 17 to 50 %. Both as quoted by a review of shading.
.. [4] Amiri, M.J., Abedi-Koupai, J., Eslamian, S. (2018), International Journal of Global
   Environmental Issues 17(4): grass in a glasshouse needed 64 % of the outdoor water (abstract).
.. [5] New England and Pennsylvania extension pages on floating row covers: a medium weight lets
   70 to 85 % of the light through, and rain.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Mulch = Literal["none", "organic", "plastic", "gravel"]

MULCHES: tuple[Mulch, ...] = ("none", "organic", "plastic", "gravel")

FULL_ORGANIC_CM = 5.0
"""Depth from which a mulch of plant matter counts as a full cover [cm] (common practice)."""

ORGANIC_SAVES = 0.50
"""Share of evaporation that a full cover of plant matter saves: 5 % for each 10 % [1]_."""

PLASTIC_SAVES = (0.50, 0.65, 0.80)
"""Least, usual (their middle) and greatest share of evaporation that plastic over drip saves
[1]_, table 25."""

GRAVEL_CM = (0.0, 2.0, 5.0, 10.0)
GRAVEL_SAVES = (0.0, 0.52, 0.83, 0.92)


@dataclass(frozen=True, slots=True)
class Cover:
    """Shares of sunlight, wind and rain that reach a bed under a cover, and of the open ET0.

    `et0` serves where the air's demand is known from temperature alone. Where radiation and wind
    are known, `light` and `wind` go to `reference_evapotranspiration` in its stead, never both;
    but not under a cover with an air of its own, warmer than outside, where `et0` alone holds.
    """

    light: float
    wind: float
    rain: float
    et0: float
    own_air: bool = False


COVERS: Mapping[str, Cover] = MappingProxyType(
    {
        "open": Cover(1.0, 1.0, 1.0, 1.0),
        "shade": Cover(0.65, 0.6, 1.0, 0.65),
        "fleece": Cover(0.80, 0.3, 0.9, 0.75),
        "rain cover": Cover(0.80, 0.6, 0.0, 0.75),
        "greenhouse": Cover(0.65, 0.1, 0.0, 0.64, own_air=True),
    }
)
"""Usual covers: shade cloth of about a third (wind and ET0 [3]_, light its trade name), row cover
(light [5]_, else from memory), an open roof against rain (from memory), a house of plastic or
glass kept clean (ET0 [4]_, light and wind from memory). A measured share of light is better."""


def evaporation_under_mulch(
    kind: str, ground_share: ArrayLike = 1.0, depth_cm: ArrayLike = FULL_ORGANIC_CM
) -> Floats:
    """Share of the soil's evaporation that a mulch leaves.

    "organic": half is saved where all ground lies under a full depth, less under less, in
    proportion to both [1]_ (the depth: assumed); "plastic": 65 % of that under it [1]_, whatever
    its depth; "gravel": by depth [2]_. Transpiration is not changed. Raises ValueError on an
    unknown kind, a share outside 0 to 1, or a negative depth.
    """
    share = np.asarray(ground_share, np.float64)
    depth = np.asarray(depth_cm, np.float64)
    if not np.all((share >= 0.0) & (share <= 1.0)):
        raise ValueError("the share of ground under mulch lies between 0 and 1; is it in per cent?")
    if not np.all(depth >= 0.0):
        raise ValueError("the depth of a mulch must not be negative")
    saved: ArrayLike
    if kind == "none":
        saved = 0.0 * share * depth
    elif kind == "organic":
        saved = ORGANIC_SAVES * np.minimum(depth / FULL_ORGANIC_CM, 1.0) * share
    elif kind == "plastic":
        saved = PLASTIC_SAVES[1] * share + 0.0 * depth
    elif kind == "gravel":
        saved = np.interp(depth, GRAVEL_CM, GRAVEL_SAVES) * share
    else:
        raise ValueError(f"no such mulch: {kind}; known are {', '.join(MULCHES)}")
    return np.asarray(1.0 - np.asarray(saved))
