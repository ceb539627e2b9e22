"""Reference evapotranspiration from whatever was measured, and from what stands in for the rest.

Temperatures in degC, radiation in MJ m-2 day-1, wind in m s-1, vapour pressure in kPa, humidity in
per cent, elevation in m, water in mm day-1. Arguments may be arrays and broadcast.

References
----------
.. [1] Allen, R.G., Pereira, L.S., Raes, D., Smith, M. (1998), Crop evapotranspiration, FAO
   Irrigation and Drainage Paper 56, chapter 3 (missing data) and chapter 4.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perennate.science import humidity, radiation, sun
from perennate.science.evapotranspiration import et0_penman_monteith, wind_at_2m
from perennate.science.in_pieces import each_piece

Floats = NDArray[np.float64]
Codes = NDArray[np.uint8]

HUMIDITY_PATHS = (
    "vapour pressure",
    "dew point",
    "greatest and least humidity",
    "greatest humidity",
    "mean humidity",
    "dew point taken as the lowest temperature",
)
WIND_PATHS = ("measured", "taken as 2 m/s")
RADIATION_PATHS = ("measured", "hours of sunshine", "range of temperature")

WIND_UNKNOWN = 2.0
"""Wind where none was measured [m s-1 at 2 m], the mean of 2000 stations [1]_."""

LEAST_WIND = 0.5
"""Wind at grass is not taken as lower [m s-1] [1]_."""

_MOST_WIND = 40.0
_MOST_VAPOUR_KPA = 8.0

DRY_PLACE_K = 2.0
"""How far the dew point of a dry place stays under the lowest temperature [K] [1]_, annex 6."""


@dataclass(frozen=True, slots=True)
class Reference:
    """ET0 [mm day-1], and by which path humidity, wind and radiation came to be, day by day.

    Paths are codes: places in HUMIDITY_PATHS, WIND_PATHS and RADIATION_PATHS. An array of one
    code without an axis holds for every day.
    """

    et0: Floats
    humidity_path: Codes
    wind_path: Codes
    radiation_path: Codes

    def shares(self) -> Mapping[str, Mapping[str, float]]:
        """By "humidity", "wind" and "radiation": each path taken, and its share of the days."""
        of = (
            ("humidity", self.humidity_path, HUMIDITY_PATHS),
            ("wind", self.wind_path, WIND_PATHS),
            ("radiation", self.radiation_path, RADIATION_PATHS),
        )
        return {
            name: {
                path: float(np.mean(codes == code))
                for code, path in enumerate(paths)
                if np.any(codes == code)
            }
            for name, codes, paths in of
        }


def reference_evapotranspiration(
    tmin: ArrayLike,
    tmax: ArrayLike,
    latitude_deg: ArrayLike,
    day_of_year: ArrayLike,
    elevation_m: ArrayLike = 0.0,
    *,
    solar_radiation: ArrayLike | None = None,
    sunshine_h: ArrayLike | None = None,
    vapour_pressure: ArrayLike | None = None,
    dew_point: ArrayLike | None = None,
    rhmax: ArrayLike | None = None,
    rhmin: ArrayLike | None = None,
    rhmean: ArrayLike | None = None,
    wind: ArrayLike | None = None,
    wind_height_m: ArrayLike = 2.0,
    coast: bool = False,
    dry_place: bool = False,
    heat_flux: ArrayLike = 0.0,
    light_share: ArrayLike = 1.0,
    wind_share: ArrayLike = 1.0,
) -> Reference:
    """FAO Penman-Monteith with what was measured, and [1]_'s way round what was not.

    A reading that is missing (not given, or NaN on a day) sends that day down the next path of
    HUMIDITY_PATHS, WIND_PATHS or RADIATION_PATHS. Where humidity is unknown the dew point is
    the lowest temperature, 2 K lower in a `dry_place`; where radiation is unknown, kRs is that of
    a `coast` or of inland. A day without temperature is NaN. ET0 is never below 0.

    `light_share` and `wind_share`: what a shade, cover or shelter lets through of the sunlight
    and of the wind; the sky's warmth is reckoned from the open sky all the same. `heat_flux`: G
    for steps longer than a day.

    Raises ValueError, in one sentence with the likely mistake, where tmax is below tmin, humidity
    outside 0 to 100 %, vapour pressure above what air can hold, wind or radiation below 0, wind of
    a hurricane all day, radiation far above the clear sky, a place or day that is none.
    """
    ra = _extraterrestrial(latitude_deg, day_of_year)
    given = {
        "tmin": tmin,
        "tmax": tmax,
        "solar_radiation": solar_radiation,
        "sunshine_h": sunshine_h,
        "vapour_pressure": vapour_pressure,
        "dew_point": dew_point,
        "rhmax": rhmax,
        "rhmin": rhmin,
        "rhmean": rhmean,
        "wind": None if wind is None else wind_at_2m(wind, wind_height_m),
        "rso": radiation.clear_sky_radiation(ra, elevation_m),
        "gamma": humidity.psychrometric_constant(humidity.atmospheric_pressure(elevation_m)),
        "heat_flux": None if np.all(np.equal(heat_flux, 0.0)) else heat_flux,
        "light_share": None if np.all(np.equal(light_share, 1.0)) else light_share,
        "wind_share": None if np.all(np.equal(wind_share, 1.0)) else wind_share,
    }
    if solar_radiation is None or np.isnan(np.asarray(solar_radiation, np.float64)).any():
        given["ra"] = ra
    if sunshine_h is not None:
        given["daylight"] = sun.daylight_hours(latitude_deg, day_of_year)
    arrays = {k: np.asarray(v, np.float64) for k, v in given.items() if v is not None}
    shape = np.broadcast_shapes(*(a.shape for a in arrays.values()))
    et0 = np.empty(shape)
    whole = et0.reshape(-1)
    flat = {
        name: np.asarray(a.reshape(-1)[0]) if a.size == 1 else np.broadcast_to(a, shape).reshape(-1)
        for name, a in arrays.items()
    }
    krs = radiation.COAST_KRS if coast else radiation.INLAND_KRS
    below = DRY_PLACE_K if dry_place else 0.0
    paths = _Paths(
        _codes(flat, _HUMIDITY_READINGS, whole.size),
        _codes(flat, (("wind",),), whole.size),
        _codes(flat, (("solar_radiation",), ("sunshine_h",)), whole.size),
    )

    def piece(part: slice) -> None:
        here = {name: a if a.ndim == 0 else a[part] for name, a in flat.items()}
        whole[part] = _days(here, paths.of(part), krs, below)

    each_piece(whole.size, piece)
    return Reference(et0, *(_shaped(codes, shape) for codes in paths.all()))


def reference_evapotranspiration_monthly(
    tmin: ArrayLike,
    tmax: ArrayLike,
    latitude_deg: ArrayLike,
    elevation_m: ArrayLike = 0.0,
    **readings: ArrayLike | bool | None,
) -> Reference:
    """ET0 of mean days of the twelve months [mm day-1], last axis the months.

    As `reference_evapotranspiration` on the month's middle day, with the heat that the ground
    takes up from month to month (equation 43 [1]_, the year closing on itself).
    """
    low, high = np.asarray(tmin, np.float64), np.asarray(tmax, np.float64)
    flux = radiation.monthly_heat_flux((low + high) / 2.0)
    return reference_evapotranspiration(
        low,
        high,
        latitude_deg,
        MIDDLE_DAYS,
        elevation_m,
        heat_flux=flux,
        **readings,  # type: ignore[arg-type]
    )


MIDDLE_DAYS = np.array([15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349])
"""Day of the year in the middle of each month (30.4 M - 15, table 2.5 of [1]_ rounded)."""

_HUMIDITY_READINGS = (
    ("vapour_pressure",),
    ("dew_point",),
    ("rhmax", "rhmin"),
    ("rhmax",),
    ("rhmean",),
)


@dataclass(frozen=True, slots=True)
class _Paths:
    humidity: Codes
    wind: Codes
    radiation: Codes

    def all(self) -> tuple[Codes, Codes, Codes]:
        return self.humidity, self.wind, self.radiation

    def of(self, part: slice) -> "_Paths":
        return _Paths(*(codes if codes.ndim == 0 else codes[part] for codes in self.all()))


def _codes(flat: Mapping[str, Floats], readings: tuple[tuple[str, ...], ...], size: int) -> Codes:
    """Which of the readings each day has first; the place after the last where it has none."""
    codes = np.asarray(len(readings), np.uint8)
    for code in reversed(range(len(readings))):
        if not all(name in flat for name in readings[code]):
            continue
        lacking = [np.isnan(flat[name]) for name in readings[code]]
        if not any(lack.any() for lack in lacking):
            codes = np.asarray(code, np.uint8)
            continue
        lack = np.logical_or.reduce(np.broadcast_arrays(*lacking))
        codes = np.where(np.broadcast_to(lack, size), codes, np.uint8(code))
    return codes


def _days(here: Mapping[str, Floats], paths: _Paths, krs: float, below: float) -> Floats:
    _refuse_what_cannot_be(here)
    low, high = here["tmin"], here["tmax"]
    solar = _chosen(paths.radiation, lambda code: _radiation(code, here, krs))
    wind = _chosen(paths.wind, lambda code: here["wind"] if code == 0 else np.asarray(WIND_UNKNOWN))
    wind = np.maximum(wind, LEAST_WIND)
    air = _chosen(paths.humidity, lambda code: _vapour(code, here, below))
    lost = radiation.net_longwave(low, high, air, solar, here["rso"])
    if "light_share" in here:
        solar = solar * here["light_share"]
    if "wind_share" in here:
        wind = wind * here["wind_share"]
    kept = radiation.net_shortwave(solar) - lost
    if "heat_flux" in here:
        kept = kept - here["heat_flux"]
    return np.maximum(et0_penman_monteith(low, high, air, kept, wind, here["gamma"]), 0.0)


def _radiation(code: int, here: Mapping[str, Floats], krs: float) -> Floats:
    if code == 0:
        return here["solar_radiation"]
    if code == 1:
        return radiation.radiation_from_sunshine(here["ra"], here["sunshine_h"], here["daylight"])
    return radiation.radiation_from_temperature(here["ra"], here["tmin"], here["tmax"], krs)


def _vapour(code: int, here: Mapping[str, Floats], below: float) -> Floats:
    low, high = here["tmin"], here["tmax"]
    if code == 0:
        return here["vapour_pressure"]
    if code == 1:
        return humidity.vapour_pressure_from_dew_point(here["dew_point"])
    if code == 2:
        return humidity.vapour_pressure_from_humidity(low, high, here["rhmax"], here["rhmin"])
    if code == 3:
        return humidity.vapour_pressure_from_greatest_humidity(low, here["rhmax"])
    if code == 4:
        return humidity.vapour_pressure_from_mean_humidity(low, high, here["rhmean"])
    return humidity.vapour_pressure_from_dew_point(low - below)


def _chosen(codes: Codes, by_code: Callable[[int], Floats]) -> Floats:
    """What each day's path gives; no path is reckoned that no day takes."""
    if codes.ndim == 0:
        return by_code(int(codes))
    found: Floats = np.full(codes.shape, np.nan)
    for code in np.unique(codes):
        found = np.where(codes == code, by_code(int(code)), found)
    return found


def _refuse_what_cannot_be(here: Mapping[str, Floats]) -> None:
    low, high = here["tmin"], here["tmax"]
    if np.any(high < low):
        raise ValueError(
            f"tmax must not be below tmin, found {np.nanmax(low - high):.1f} K below;"
            " are the two columns exchanged?"
        )
    for name in ("rhmax", "rhmin", "rhmean"):
        worst = _outside(here.get(name), 0.0, 100.0)
        if worst is not None:
            raise ValueError(f"humidity ({name}) lies between 0 and 100 %, found {worst:g}")
    if "rhmean" in here and here["rhmean"].size > 1 and here["rhmean"].max() <= 1.0:
        raise ValueError(
            f"humidity (rhmean) is in per cent, found none above {here['rhmean'].max():g};"
            " is it a share?"
        )
    worst = _outside(here.get("vapour_pressure"), 0.0, _MOST_VAPOUR_KPA)
    if worst is not None:
        raise ValueError(
            f"vapour pressure lies between 0 and {_MOST_VAPOUR_KPA:g} kPa, found {worst:g};"
            " is it in hPa?"
        )
    worst = _outside(here.get("wind"), 0.0, _MOST_WIND)
    if worst is not None:
        raise ValueError(
            f"the mean wind of a day lies between 0 and {_MOST_WIND:g} m/s, found {worst:g};"
            " is it in km/h or miles an hour?"
        )
    if "solar_radiation" in here:
        radiation.refuse_above_clear_sky(here["solar_radiation"], here["rso"])


def _outside(values: Floats | None, low: float, high: float) -> float | None:
    """The value farthest outside; None where there is none. NaN is not outside."""
    if values is None or (values.min() >= low and values.max() <= high):
        return None
    least, most = np.fmin.reduce(values, axis=None), np.fmax.reduce(values, axis=None)
    if least < low:
        return float(least)
    return float(most) if most > high else None


def _shaped(codes: Codes, shape: tuple[int, ...]) -> Codes:
    return codes if codes.ndim == 0 else codes.reshape(shape)


_FEW_LATITUDES = 4096


def _extraterrestrial(latitude_deg: ArrayLike, day_of_year: ArrayLike) -> Floats:
    """Ra, from one table of 366 days by latitude where that spares much work."""
    latitude, day = np.asarray(latitude_deg, np.float64), np.asarray(day_of_year)
    many = int(np.prod(np.broadcast_shapes(latitude.shape, day.shape))) > 366 * latitude.size
    if latitude.size > _FEW_LATITUDES or not many or not _whole_days(day):
        return sun.extraterrestrial_radiation(latitude, day)
    table = sun.extraterrestrial_radiation(latitude.reshape(-1, 1), np.arange(1, 367))
    place = np.arange(latitude.size).reshape(latitude.shape)
    return np.asarray(table.reshape(-1)[place * 366 + (day.astype(np.intp) - 1)])


def _whole_days(day: NDArray[np.generic]) -> bool:
    counted = day.astype(np.int64)
    return bool(np.all((counted == day) & (counted >= 1) & (counted <= 366)))
