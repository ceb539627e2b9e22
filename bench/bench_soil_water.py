"""The soil water of 200 plantings over 1,000 years of weather, beside a plain loop in Python.

The loop goes through days, plantings and years one by one, with the same steps written out. It is
run on a slice, and must come to the same sums there; its seconds are scaled to the whole.
"""

import resource
import time
from dataclasses import fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from perennate.science.crop_water import root_depth_course
from perennate.science.ground_days import ground_days, profile
from perennate.science.soil_water import (
    CropDays,
    Ground,
    SoilWaterRun,
    Watering,
    crop_days,
    soil_water_run,
)

PLANTINGS, YEARS, DAYS = 200, 1000, 365
SLICE = (6, 4)
RUNS = 5
DEPLETION = 0.45

Floats = NDArray[np.float64]


def report() -> tuple[str, float, str]:
    """Name, how many times as fast as the plain loop, and a sentence."""
    weather, crop, ground, first = made()
    days = np.full(PLANTINGS, DAYS)
    best, run = float("inf"), None
    for _ in range(RUNS):
        started = time.perf_counter()
        run = soil_water_run(weather[0], weather[1], crop, ground, first, days, Watering())
        best = min(best, time.perf_counter() - started)
    assert run is not None
    plantings, years = SLICE
    rain, et0 = (table[:years] for table in weather)
    few = _first(crop, plantings), _first(ground, plantings), first[:plantings]
    started = time.perf_counter()
    sums = plain(rain, et0, *few)
    seconds = (time.perf_counter() - started) * PLANTINGS * YEARS / (plantings * years)
    same(run, sums, plantings, years)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    ratio = seconds / best
    return (
        "soil water",
        ratio,
        f"{PLANTINGS} plantings over {YEARS} years in {best:.2f} s (aim: at most 2 on two free "
        f"cores), peak {peak:.0f} MiB (under 2048); a plain loop would take {seconds:.0f} s, "
        f"{ratio:.0f} times as long (aim: 50); same sums on {plantings} plantings by {years} years",
    )


def made() -> tuple[tuple[Floats, Floats], CropDays, Ground, NDArray[np.int64]]:
    """Invented weather, and plantings that stand all year on soils from sand to clay."""
    rng = np.random.default_rng(5)
    shape = (YEARS, DAYS)
    rain = np.where(rng.random(shape) < 0.3, rng.gamma(0.7, 10.0, shape), 0.0)
    et0 = 1.0 + 4.0 * rng.random(shape)
    course = np.linspace(0.0, 1.0, DAYS)[None, :] ** rng.uniform(0.4, 2.0, (PLANTINGS, 1))
    basal = 0.15 + 0.95 * course
    crop = crop_days(basal, 1.2, 0.5, np.full((1, 1), DEPLETION))
    sand = rng.uniform(0.1, 0.9, PLANTINGS)
    clay = (1.0 - sand) * rng.uniform(0.1, 0.7, PLANTINGS)
    roots = root_depth_course(basal, 0.15, 1.1, 0.2, rng.uniform(0.3, 1.0, PLANTINGS))
    ground = ground_days(profile(sand, clay, 3.0), roots, 18.0, curve_number=np.full((1, 1), 75.0))
    return (rain, et0), crop, ground, rng.integers(0, 365, PLANTINGS)


def _first(table: Any, plantings: int) -> Any:
    """The first plantings of a `CropDays` or `Ground`, every part (plantings, days)."""
    parts = {
        field.name: np.broadcast_to(
            np.atleast_2d(getattr(table, field.name))[:plantings], (plantings, DAYS)
        )
        for field in fields(table)
    }
    return replace(table, **parts)


def plain(
    rain: Floats, et0: Floats, crop: CropDays, ground: Ground, first: NDArray[np.int64]
) -> dict[str, Floats]:
    """Sums of each planting and year, by loops over plantings, years and days."""
    names = ("crop_used", "soil_lost", "watering", "drained", "runoff", "airless_days")
    sums = {name: np.zeros((len(first), len(rain))) for name in names}
    columns = [
        [np.asarray(getattr(table, field.name)).tolist() for field in fields(table)]
        for table in (crop, ground)
    ]
    rain_rows, et0_rows = rain.tolist(), et0.tolist()
    for planting in range(len(first)):
        crops = [column[planting] for column in columns[0]]
        grounds = [column[planting] for column in columns[1]]
        for year in range(len(rain_rows)):
            found = _one(crops, grounds, rain_rows[year], et0_rows[year], int(first[planting]))
            for name, value in zip(names, found, strict=True):
                sums[name][planting, year] = value
    return sums


def _one(
    crops: list[list[float]],
    grounds: list[list[float]],
    rain: list[float],
    et0: list[float],
    first: int,
) -> tuple[float, ...]:
    used = lost = given = drained = off = airless = 0.0
    root, below, dried = grounds[0][0], grounds[4][0], 0.0
    for day in range(DAYS):
        basal, most, exposed, left, p, et0_share, caught = (column[day] for column in crops)
        (taw, air, limit, drains, below_taw, below_air, below_drains, rooted, tew, rew, s, let) = (
            column[day] for column in grounds
        )
        place = (first + day) % len(rain)
        water, air_wants = max(rain[place] * let - caught, 0.0), et0[place] * et0_share
        if day:
            root, below = root + below * rooted, below * (1.0 - rooted)
        if water > 0.2 * s:
            runs = (water - 0.2 * s) ** 2 / (water + 0.8 * s)
            water, off = water - runs, off + runs
        if root < taw * (1.0 - p):
            given += taw - root
            dried = dried - (taw - root)
            root = taw
        root += water
        dried = max(dried - water, 0.0)
        reduction = min((tew - dried) / (tew - rew), 1.0)
        energy = reduction * (most - basal)
        soil = min(energy, exposed * most) * left * air_wants
        wanted = basal * air_wants
        moved = min(max(p + 0.04 * (5.0 - wanted - soil), 0.1), 0.8)
        crop = min(wanted * min(root / ((1.0 - moved) * taw), 1.0), root)
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
        airless += root > taw + air - limit
    return used, lost, given, drained, off, airless


def same(run: SoilWaterRun, sums: dict[str, Floats], plantings: int, years: int) -> None:
    """Raise where the loop's sums are not those of the run."""
    for name, values in sums.items():
        ours = getattr(run, name)[:plantings, :years]
        if not np.allclose(ours, values, rtol=1e-9, atol=1e-6):
            raise AssertionError(f"{name}: not the same as by the plain loop")


if __name__ == "__main__":
    print(*report(), sep="\n")
