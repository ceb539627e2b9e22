"""How fast reference evapotranspiration is reckoned, beside pyet and refet on the same days.

A million station-days, invented: 100 series one at a time, and whole arrays at once. All three are
given temperature, vapour pressure, radiation and wind, and must agree before any time is taken;
each is fed in the form that it likes best (pyet: pandas series, or one xarray block; refet and
ours: NumPy). The best of several runs, taken in turn, counts for each.
"""

import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pandas as pd
import pyet
import refet
import xarray as xr
from numpy.typing import NDArray

from perennate.science import humidity, sun
from perennate.science.reference_evapotranspiration import reference_evapotranspiration

Floats = NDArray[np.float64]
STATIONS, DAYS, RUNS = 100, 10_000, 5
LATITUDE, ELEVATION = 45.0, 100.0
RADIANS = float(np.radians(LATITUDE))


@dataclass(frozen=True)
class _Weather:
    """Arrays (stations, days); the days themselves, and their number in the year."""

    tmin: Floats
    tmax: Floats
    vapour: Floats
    radiation: Floats
    wind: Floats
    index: pd.DatetimeIndex
    day: NDArray[np.int64]


def ratios() -> list[tuple[str, float, float, str]]:
    """Name, their seconds over ours, the least that is aimed at, and a sentence."""
    weather = _invented()
    found = []
    one_by_one = _best(
        {
            "ours": lambda: [_ours(weather, row) for row in range(STATIONS)],
            "pyet": _pyet_series(weather),
        }
    )
    found.append(_told("100 series of 10,000 days, one at a time", "pyet", one_by_one, 10.0))
    whole = _best(
        {
            "ours": lambda: _ours(weather, slice(None)),
            "pyet": _pyet_block(weather),
            "refet": lambda: _refet(weather),
        }
    )
    for other in ("pyet", "refet"):
        found.append(_told("a million station-days at once", other, whole, 2.0))
    return found


def _invented() -> _Weather:
    chance = np.random.default_rng(1)
    shape = (STATIONS, DAYS)
    index = pd.date_range("1990-01-01", periods=DAYS)
    tmin = 8.0 + 5.0 * chance.standard_normal(shape)
    tmax = tmin + 3.0 + 10.0 * chance.random(shape)
    moist = humidity.mean_saturation_vapour_pressure(tmin, tmax) * (
        0.4 + 0.5 * chance.random(shape)
    )
    day = np.asarray(index.dayofyear, dtype=np.int64)
    ra = sun.extraterrestrial_radiation(LATITUDE, day)
    radiation = ra * (0.2 + 0.5 * chance.random(shape))
    return _Weather(tmin, tmax, moist, radiation, 0.6 + 4.0 * chance.random(shape), index, day)


def _ours(weather: _Weather, rows: int | slice) -> Floats:
    return reference_evapotranspiration(
        weather.tmin[rows],
        weather.tmax[rows],
        LATITUDE,
        weather.day,
        ELEVATION,
        solar_radiation=weather.radiation[rows],
        vapour_pressure=weather.vapour[rows],
        wind=weather.wind[rows],
    ).et0


def _refet(weather: _Weather) -> Floats:
    return np.asarray(
        refet.Daily(
            tmin=weather.tmin,
            tmax=weather.tmax,
            rs=weather.radiation,
            ea=weather.vapour,
            uz=weather.wind,
            zw=2,
            elev=ELEVATION,
            lat=LATITUDE,
            doy=weather.day,
            method="asce",
        ).eto()
    )


def _pyet_series(weather: _Weather) -> Callable[[], list[pd.Series]]:
    mean = (weather.tmin + weather.tmax) / 2.0
    columns = (mean, weather.wind, weather.radiation, weather.tmax, weather.tmin, weather.vapour)
    series = [
        [pd.Series(column[row], index=weather.index) for column in columns]
        for row in range(STATIONS)
    ]
    _agree(_ours(weather, 0), _pyet(series[0], ELEVATION, RADIANS).to_numpy(), "pyet")
    return lambda: [_pyet(one, ELEVATION, RADIANS) for one in series]


def _pyet_block(weather: _Weather) -> Callable[[], xr.DataArray]:
    mean = (weather.tmin + weather.tmax) / 2.0
    columns = (mean, weather.wind, weather.radiation, weather.tmax, weather.tmin, weather.vapour)
    block = [
        xr.DataArray(column.T, dims=("time", "station"), coords={"time": weather.index})
        for column in columns
    ]
    height = xr.DataArray(np.full(STATIONS, ELEVATION), dims="station")
    place = xr.DataArray(np.full(STATIONS, RADIANS), dims="station")
    ours = _ours(weather, slice(None))
    _agree(ours, _pyet(block, height, place).to_numpy().T, "pyet")
    _agree(ours, _refet(weather), "refet")
    return lambda: _pyet(block, height, place)


def _pyet(given: list, elevation: object, latitude: object):  # type: ignore[no-untyped-def,type-arg]
    mean, wind, radiation, tmax, tmin, vapour = given
    return pyet.pm_fao56(
        mean,
        wind,
        rs=radiation,
        tmax=tmax,
        tmin=tmin,
        ea=vapour,
        elevation=elevation,
        lat=latitude,
    )


def _agree(ours: Floats, theirs: Floats, name: str) -> None:
    off = float(np.abs(ours - theirs).mean())
    if not off < 0.01:
        raise AssertionError(f"{name}: {off:.3f} mm/day apart")


def _best(runs: dict[str, Callable[[], object]]) -> dict[str, float]:
    best = dict.fromkeys(runs, float("inf"))
    for _ in range(RUNS):
        for name, run in runs.items():
            start = time.perf_counter()
            run()
            best[name] = min(best[name], time.perf_counter() - start)
    return best


def _told(
    what: str, other: str, seconds: dict[str, float], least: float
) -> tuple[str, float, float, str]:
    statement = f"ours {1000 * seconds['ours']:.0f} ms, {other} {1000 * seconds[other]:.0f} ms"
    ratio = seconds[other] / seconds["ours"]
    return f"evapotranspiration, {what}, beside {other}", ratio, least, statement


if __name__ == "__main__":
    for name, ratio, least, statement in ratios():
        print(f"{name}: {ratio:.1f} times as fast (at least {least:.0f}; {statement})")
