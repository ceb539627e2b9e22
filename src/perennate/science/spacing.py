"""How many plants stand on a piece of ground, and when they stand too close.

Lengths in metres, densities in plants per square metre. Arguments may be arrays and broadcast;
results are arrays (zero-dimensional for plain numbers, so that `int()` and `float()` work).

References
----------
.. [1] Plane geometry: equidistant points of distance s each take s^2 sqrt(3)/2 of ground.
.. [2] A planting guide's table of plants per area: offset rows at 12 in lie 10.4 in apart and
   100 plants in square rows become 115.
"""

from math import sqrt
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Layout = Literal["square", "offset"]

LAYOUTS: tuple[Layout, ...] = ("square", "offset")
_ROW_PER_SPACING: dict[Layout, float] = {"square": 1.0, "offset": sqrt(3.0) / 2.0}
_WHOLE = 1e-9  # keeps 0.9 / 0.3 from counting as 2.9999...

TIGHT_SHARE = 0.8
"""Below this share of the closest usual spacing plants count as too tight (assumed)."""


def row_distance(spacing_m: ArrayLike, layout: Layout) -> Floats:
    """Distance between rows [m]: the spacing itself, or 0.866 of it when rows are offset [1]_."""
    return _positive(spacing_m, "spacing") * _ROW_PER_SPACING[layout]


def plants_per_m2(spacing_m: ArrayLike, layout: Layout) -> Floats:
    """Density on ground without edges [1/m2]: 1/s^2 in squares, 1.1547/s^2 offset [1]_."""
    spacing = _positive(spacing_m, "spacing")
    return 1.0 / (spacing * row_distance(spacing, layout))


def spacing_of_density(density_per_m2: ArrayLike, layout: Layout) -> Floats:
    """Mutual distance of plants [m] that gives a density [1/m2]; undoes `plants_per_m2`."""
    density = _positive(density_per_m2, "density")
    return np.asarray(1.0 / np.sqrt(density * _ROW_PER_SPACING[layout]), dtype=np.float64)


def equal_density_spacing(row_m: ArrayLike, in_row_m: ArrayLike, layout: Layout) -> Floats:
    """Mutual distance [m] with as many plants per m2 as rows `row_m` apart, plants `in_row_m`.

    Offset: s = sqrt(1.1547 r d). Rows 45 cm apart with 8 cm in the row, 27.8 plants/m2, become
    20.4 cm each way in offset rows.
    """
    ground = _positive(row_m, "row distance") * _positive(in_row_m, "distance in the row")
    return spacing_of_density(1.0 / ground, layout)


def rows_in_bed(
    width_m: ArrayLike, spacing_m: ArrayLike, margin_m: ArrayLike, layout: Layout
) -> Ints:
    """Whole rows that fit across a bed with a clear margin at both edges; 0 where none does."""
    clear = np.asarray(width_m, dtype=np.float64) - 2 * _margin(margin_m)
    return _fit(clear, row_distance(spacing_m, layout))


def plants_in_bed(
    width_m: ArrayLike,
    length_m: ArrayLike,
    spacing_m: ArrayLike,
    margin_m: ArrayLike,
    layout: Layout,
) -> Ints:
    """Plants in whole rows that run along the length of a real bed, edges counted.

    `margin_m` is the clear ground between the outermost plants and every edge. In the offset
    layout each second row starts half a spacing in, and so may hold one plant less: in a narrow
    bed it can hold fewer plants than square rows do.
    """
    spacing = _positive(spacing_m, "spacing")
    rows = rows_in_bed(width_m, spacing, margin_m, layout)
    clear = np.asarray(length_m, dtype=np.float64) - 2 * _margin(margin_m)
    full = _fit(clear, spacing)
    if layout == "square":
        return rows * full
    shifted = _fit(clear - spacing / 2, spacing)
    return np.asarray((rows + 1) // 2 * full + rows // 2 * shifted, dtype=np.int64)


def most_plants_in_bed(
    width_m: ArrayLike,
    length_m: ArrayLike,
    spacing_m: ArrayLike,
    margin_m: ArrayLike,
    layout: Layout,
) -> Ints:
    """The better of rows along the bed and rows across it."""
    return np.maximum(
        plants_in_bed(width_m, length_m, spacing_m, margin_m, layout),
        plants_in_bed(length_m, width_m, spacing_m, margin_m, layout),
    )


def canopy_share(canopy_m: ArrayLike, spacing_m: ArrayLike, layout: Layout) -> Floats:
    """Share of the ground under round canopies of diameter `canopy_m`, up to where they touch.

    Touching circles cover pi/(2 sqrt(3)) = 0.907 of the ground offset and pi/4 = 0.785 in
    squares. Raises ValueError for canopies wider than the spacing, which overlap.
    """
    canopy, spacing = _positive(canopy_m, "canopy"), _positive(spacing_m, "spacing")
    if np.any(canopy > spacing * (1 + _WHOLE)):
        raise ValueError("canopies wider than the spacing overlap; the share is then not pi d^2/4")
    return np.asarray(np.pi / 4 * canopy**2 * plants_per_m2(spacing, layout), dtype=np.float64)


def light_caught(leaf_area_index: ArrayLike, extinction: ArrayLike = 0.65) -> Floats:
    """Share of light caught by a closed stand, 1 - exp(-k LAI) (Beer's law; Monsi and Saeki 1953).

    k is 0.5 to 0.7 for most crops; LAI 3 and k 0.65 give 0.858.
    """
    lai = np.asarray(leaf_area_index, dtype=np.float64)
    if np.any(lai < 0):
        raise ValueError("a leaf area index is not negative")
    return np.asarray(1 - np.exp(-_positive(extinction, "extinction") * lai), dtype=np.float64)


def closeness(spacing_m: ArrayLike, closest_usual_m: ArrayLike) -> Ints:
    """How tight a spacing is against the closest usual one: 0 usual, 1 close, 2 too tight.

    1: smaller heads and roots, about the same weight per m2, more disease. 2: under 0.8 of the
    closest usual spacing; grain, fruit and graded heads then lose yield. The two bounds are our
    own, chosen after the density trials of Bleasdale 1966 and Brewster and Salter 1980.
    """
    share = _positive(spacing_m, "spacing") / _positive(closest_usual_m, "closest usual spacing")
    close = (share < 1 - _WHOLE).astype(np.int64)
    return close + (share < TIGHT_SHARE - _WHOLE).astype(np.int64)


def weight_share_on_plateau(spacing_m: ArrayLike, reference_m: ArrayLike) -> Floats:
    """Weight of a plant against one at the reference spacing, once yield per m2 is constant.

    (s/s_ref)^2, the law of constant final yield (Shinozaki and Kira 1956); never above 1, since
    it holds only for stands closer than the reference.
    """
    share = _positive(spacing_m, "spacing") / _positive(reference_m, "reference spacing")
    return np.minimum(1.0, share**2)


def _fit(clear_m: Floats, step_m: Floats) -> Ints:
    count = np.floor(clear_m / step_m + _WHOLE) + 1
    return np.asarray(np.where(clear_m > -_WHOLE, np.maximum(count, 0), 0), dtype=np.int64)


def _positive(number: ArrayLike, name: str) -> Floats:
    value = np.asarray(number, dtype=np.float64)
    if not np.all(value > 0):
        raise ValueError(f"{name} must be above 0")
    return value


def _margin(margin_m: ArrayLike) -> Floats:
    value = np.asarray(margin_m, dtype=np.float64)
    if not np.all(value >= 0):
        raise ValueError("a margin is not negative")
    return value
