"""The soil water of plantings by loops over plantings, years and days, written out in plain Python.

The second opinion that `science.soil_water` is held against, and what its speed is measured by.
"""

from dataclasses import fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from perennate.science.soil_water import CropDays, Ground

Floats = NDArray[np.float64]

SUMS = (
    "crop_used",
    "soil_lost",
    "watering",
    "waterings",
    "drained",
    "runoff",
    "stress_days",
    "airless_days",
)


def plain_run(
    rain: Floats,
    et0: Floats,
    crop: CropDays,
    ground: Ground,
    first: NDArray[np.int64],
    days: NDArray[np.int64],
    wetted_share: float = 1.0,
) -> dict[str, Floats]:
    """Sums by name, (plantings, years), each planting watered by the usual rule of `Watering`."""
    sums = {name: np.zeros((len(first), len(rain))) for name in SUMS}
    shape = (len(first), int(days.max()))
    columns = [_columns(table, shape) for table in (crop, ground)]
    rain_rows, et0_rows = rain.tolist(), et0.tolist()
    for planting in range(len(first)):
        crops = [column[planting] for column in columns[0]]
        grounds = [column[planting] for column in columns[1]]
        for year in range(len(rain_rows)):
            span = range(int(first[planting]), int(first[planting] + days[planting]))
            found = _one(crops, grounds, rain_rows[year], et0_rows[year], span, wetted_share)
            for name, value in zip(SUMS, found, strict=True):
                sums[name][planting, year] = value
    return sums


def _columns(table: Any, shape: tuple[int, int]) -> list[list[list[float]]]:
    parts = (np.atleast_2d(getattr(table, field.name)) for field in fields(table))
    return [np.broadcast_to(part[:, : shape[1]], shape).tolist() for part in parts]


def _one(
    crops: list[list[float]],
    grounds: list[list[float]],
    rain: list[float],
    et0: list[float],
    span: range,
    wetted_share: float,
) -> tuple[float, ...]:
    used = lost = given = drained = off = 0.0
    times = stress = airless = 0
    root, below, dried = grounds[0][0], grounds[4][0], 0.0
    for day in range(len(span)):
        basal, most, exposed, left, p, et0_share, caught = (column[day] for column in crops)
        (taw, air, limit, drains, below_taw, below_air, below_drains, rooted, tew, rew, s, let) = (
            column[day] for column in grounds
        )
        place = span[day] % len(rain)
        water, air_wants = max(rain[place] * let - caught, 0.0), et0[place] * et0_share
        if day:
            root, below = root + below * rooted, below * (1.0 - rooted)
        if water > 0.2 * s:
            runs = (water - 0.2 * s) ** 2 / (water + 0.8 * s)
            water, off = water - runs, off + runs
        if basal > 0.0 and root < taw * (1.0 - p):
            given, times = given + taw - root, times + 1
            dried = dried - (taw - root) / wetted_share
            root = taw
        root += water
        dried = max(dried - water, 0.0)
        reduction = min((tew - dried) / (tew - rew), 1.0)
        energy = reduction * max(most - basal, 0.0)
        soil = min(energy, exposed * most) * left * air_wants
        wanted = basal * air_wants
        moved = min(max(p + 0.04 * (5.0 - wanted - soil), 0.1), 0.8)
        enough = min(root / ((1.0 - moved) * taw), 1.0)
        stress += basal > 0.0 and enough < 1.0
        crop = min(wanted * enough, root)
        root -= crop
        soil = min(soil, root)
        root -= soil
        used, lost = used + crop, lost + soil
        dried = min(dried + soil / exposed, tew)
        leaves = max(below - below_taw, 0.0) * below_drains
        below, drained = below - leaves, drained + leaves
        sinks = min(max(root - taw, 0.0) * drains, below_taw + below_air - below)
        root, below = root - sinks, below + sinks
        over = max(root - taw - air, 0.0)
        root, off = root - over, off + over
        airless += basal > 0.0 and limit > 0.0 and root > taw + air - limit
    return used, lost, given, times, drained, off, stress, airless
