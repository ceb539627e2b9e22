"""How long chill portions take, beside xclim on the same hours in the same process.

One station's two hundred winters, as a generated climate has them, and a grid of stations of one
winter each, which xclim too takes as a whole. The best of some runs counts for each.
"""

import time
import warnings
from collections.abc import Callable, Iterator

import numpy as np
import pandas as pd
import xarray as xr
from numpy.typing import NDArray

from perennate.science.chill import chill_portions

WINTERS = 200
STATIONS = 200
OUR_RUNS, THEIR_RUNS = 12, 2
_YEAR_HOURS = 365 * 24
_TOLERANCE = 1e-9

Floats = NDArray[np.float64]


def ratios() -> Iterator[tuple[str, float, str]]:
    """Name, xclim's seconds over ours, and a sentence."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from xclim import indices

        years = _invented(WINTERS)
        first = pd.Timestamp("1950-07-01")
        hours = pd.date_range(first, first + pd.DateOffset(years=WINTERS), freq="h")[:-1]
        leap = (hours.month == 2) & (hours.day == 29)
        station = xr.DataArray(
            years.ravel(),
            dims=("time",),
            coords={"time": hours[~leap]},
            attrs={"units": "degC"},
        )
        yield _ratio(
            f"one station, {WINTERS} winters",
            lambda: chill_portions(years),
            lambda: np.asarray(indices.chill_portions(station, freq="YS-JUL").values),
            years.size,
        )
        winter = _invented(STATIONS)
        grid = xr.DataArray(
            winter,
            dims=("station", "time"),
            coords={"time": hours[:_YEAR_HOURS]},
            attrs={"units": "degC"},
        )
        yield _ratio(
            f"{STATIONS} stations at once, one winter",
            lambda: chill_portions(winter),
            lambda: np.asarray(indices.chill_portions(grid, freq="YS-JUL").values).ravel(),
            winter.size,
        )


def _ratio(
    name: str, ours: Callable[[], Floats], theirs: Callable[[], Floats], hours: int
) -> tuple[str, float, str]:
    our_seconds, found = _best(ours, OUR_RUNS)
    their_seconds, expected = _best(theirs, THEIR_RUNS)
    if not np.allclose(found, expected, rtol=0.0, atol=_TOLERANCE):
        raise AssertionError(f"{name}: not the same portions")
    statement = (
        f"{hours / 1000:.0f} thousand hours: {1000 * our_seconds:.0f} ms, "
        f"xclim.indices.chill_portions {1000 * their_seconds:.0f} ms"
    )
    return name, their_seconds / our_seconds, statement


def _best(run: Callable[[], Floats], runs: int) -> tuple[float, Floats]:
    best = float("inf")
    for _ in range(runs):
        started = time.perf_counter()
        found = run()
        best = min(best, time.perf_counter() - started)
    return best, found


def _invented(winters: int) -> Floats:
    """Hours of years from July on [degC], shape (winters, 8760)."""
    rng = np.random.default_rng(1)
    hour = np.arange(_YEAR_HOURS)
    season = 10.0 + 8.0 * np.cos(2.0 * np.pi * hour / _YEAR_HOURS)
    day = 4.0 * np.sin(2.0 * np.pi * (hour - 8) / 24.0)
    spells = rng.normal(0.0, 3.0, (winters, 365)).repeat(24, axis=1)
    return np.asarray(season + day + spells)


if __name__ == "__main__":
    for name, ratio, statement in ratios():
        print(f"chill portions, {name}: {ratio:.1f} times as fast as xclim ({statement})")
