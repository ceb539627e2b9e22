"""The soil water of 200 plantings over 1,000 years of weather, beside a plain loop in Python.

The loop goes through days, plantings and years one by one, with the same steps written out. It is
run on a slice, and must come to the same sums there; its seconds are scaled to the whole.
"""

import resource
import sys
import time
from dataclasses import fields, replace
from pathlib import Path
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

sys.path.insert(0, str(Path(__file__).parent.parent / "tests" / "science"))

import plain_soil_water

PLANTINGS, YEARS, DAYS = 200, 1000, 365
SLICE = (6, 4)
RUNS = 5
DEPLETION = 0.45

Floats = NDArray[np.float64]


def report() -> tuple[str, float, str]:
    """Name, how many times as fast as the plain loop, and a sentence."""
    weather, crop, ground, first = made()
    days = np.full(PLANTINGS, DAYS)
    best, half, run = float("inf"), float("inf"), None
    for _ in range(RUNS):
        started = time.perf_counter()
        run = soil_water_run(weather[0], weather[1], crop, ground, first, days, Watering())
        best = min(best, time.perf_counter() - started)
        started = time.perf_counter()
        soil_water_run(
            weather[0], weather[1], crop, ground, first, days, Watering(), precision=np.float32
        )
        half = min(half, time.perf_counter() - started)
    assert run is not None
    plantings, years = SLICE
    rain, et0 = (table[:years] for table in weather)
    few = _first(crop, plantings), _first(ground, plantings), first[:plantings], days[:plantings]
    started = time.perf_counter()
    sums = plain_soil_water.plain_run(rain, et0, *few)
    seconds = (time.perf_counter() - started) * PLANTINGS * YEARS / (plantings * years)
    same(run, sums, plantings, years)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    ratio = seconds / best
    return (
        "soil water",
        ratio,
        f"{PLANTINGS} plantings over {YEARS} years in {best:.2f} s, {half:.2f} s in float32 (aim: "
        f"at most 2 on two free cores), peak {peak:.0f} MiB (under 2048); a plain loop would take "
        f"{seconds:.0f} s, "
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


def same(run: SoilWaterRun, sums: dict[str, Floats], plantings: int, years: int) -> None:
    """Raise where the loop's sums are not those of the run."""
    for name, values in sums.items():
        ours = getattr(run, name)[:plantings, :years]
        if not np.allclose(ours, values, rtol=1e-9, atol=1e-6):
            raise AssertionError(f"{name}: not the same as by the plain loop")


if __name__ == "__main__":
    print(*report(), sep="\n")
