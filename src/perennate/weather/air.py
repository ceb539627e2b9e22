"""What is known of sun, moisture and wind beside temperature and rain, and what the air asks.

Days with readings of radiation or humidity are reckoned by FAO Penman-Monteith with what stands in
for the rest; wind alone does not help, since the moisture of the air would be a guess. All other
days are reckoned by Hargreaves and brought to the level of the days with readings, month by month.

References
----------
.. [1] Allen, R.G., Pereira, L.S., Raes, D., Smith, M. (1998), FAO Irrigation and Drainage Paper
   56, chapter 3: Hargreaves asks for calibration where Penman-Monteith is known, equation 53.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from perennate.science import evapotranspiration, humidity, radiation, sun
from perennate.science.covers import Cover
from perennate.science.reference_evapotranspiration import (
    WIND_UNKNOWN,
    reference_evapotranspiration,
)
from perennate.terms import Text, text
from perennate.weather.normals import MONTH_OF_DAY, smooth_year

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
READINGS: tuple[str, ...] = ("radiation", "humidity", "wind")
DAYS = np.arange(1.0, 366.0)
_LEAST_DAYS = 60
_LEAST_DAYS_OF_MONTH = 10
_SCALE = (0.4, 2.5)
_WAVES = 2


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What is told of a place: its mean wind at 2 m [m s-1], used where none was read, and whether
    large water is near."""

    wind_told: float | None = None
    coast: bool = False


@dataclass(frozen=True)
class Air:
    """Readings of a climate's years, (n, 365), NaN on days without: radiation [MJ m-2 day-1],
    mean humidity [%], wind at 2 m [m s-1].

    `scale` (365,): how far Penman-Monteith lay above (over 1) or below Hargreaves where both are
    known. `wind_course` [m s-1] and `vapour_course` [kPa] (365,): the usual year; None where
    nothing was read. `wind` holds what was told of the place where it was not read. `coast`: the
    sun is taken from the range of temperature as near the sea, where it was not read.
    """

    radiation: Floats
    humidity: Floats
    wind: Floats
    scale: Floats
    wind_course: Floats | None
    vapour_course: Floats | None
    coast: bool = False

    def known(self) -> Bools:
        """Days that Penman-Monteith is used for, (n, 365)."""
        return np.asarray(np.isfinite(self.radiation) | np.isfinite(self.humidity))

    def of_years(self, kept: Bools, years: int) -> "Air":
        """The readings of the kept years, and none in as many behind them as make `years`."""

        def rows(of_years: Floats) -> Floats:
            own = of_years[kept]
            return np.vstack((own, np.full((years - len(own), 365), np.nan)))

        return replace(
            self,
            radiation=rows(self.radiation),
            humidity=rows(self.humidity),
            wind=rows(self.wind),
        )


def air_of(
    tmin: Floats,
    tmax: Floats,
    readings: Mapping[str, Floats],
    latitude_deg: float,
    elevation_m: float,
    around: Surroundings,
    notes: list[Text],
) -> Air | None:
    """The air of a record, all arrays (years, 365); None where too little was read.

    Radiation far above the clear sky's is left out and told; where that is a third of all, the
    unit or place is wrong and no radiation is used.
    """
    none = np.full(tmin.shape, np.nan)
    given = {name: np.array(readings.get(name, none)) for name in READINGS}
    given["radiation"] = _below_the_clear_sky(given["radiation"], latitude_deg, elevation_m, notes)
    both = np.isfinite(tmin) & np.isfinite(tmax)
    known = both & (np.isfinite(given["radiation"]) | np.isfinite(given["humidity"]))
    windy = np.isfinite(given["wind"])
    if known.sum() < _LEAST_DAYS and windy.sum() < _LEAST_DAYS:
        return None
    wind_course = _course(given["wind"])
    if around.wind_told is not None:
        given["wind"] = np.where(windy, given["wind"], around.wind_told)
    scale = np.ones(365)
    if known.sum() >= _LEAST_DAYS:
        full = _penman_monteith(tmin, tmax, given, latitude_deg, elevation_m, around.coast)
        plain = _hargreaves(tmin, tmax, latitude_deg)
        scale = _scale(np.where(known, full, np.nan), np.where(known, plain, np.nan))
    vapour = humidity.vapour_pressure_from_mean_humidity(tmin, tmax, given["humidity"])
    return Air(
        given["radiation"],
        given["humidity"],
        given["wind"],
        scale,
        wind_course,
        _course(vapour),
        around.coast,
    )


def et0_of_years(
    tmin: Floats,
    tmax: Floats,
    latitude_deg: float,
    elevation_m: float,
    air: Air | None,
    cover: Cover,
) -> Floats:
    """Reference evapotranspiration under a cover [mm day-1], (n, 365)."""
    plain = _hargreaves(tmin, tmax, latitude_deg)
    if air is None:
        return np.asarray(plain * cover.et0)
    found = np.asarray(plain * air.scale * cover.et0)
    rows = air.known().any(axis=1)
    if rows.any():
        given = {name: getattr(air, name)[rows] for name in READINGS}
        under = None if cover.own_air else cover
        days = (tmin[rows], tmax[rows], given, latitude_deg, elevation_m, air.coast)
        full = _penman_monteith(*days, under)
        if cover.own_air:
            full = full * cover.et0
        found[rows] = np.where(air.known()[rows], full, found[rows])
    return found


def wind_of(air: Air | None, wind_told: float | None) -> Floats:
    """The usual year's wind at 2 m [m s-1], (365,): as read, else as told, else 2 m/s [1]_."""
    if air is None or air.wind_course is None:
        return np.full(365, WIND_UNKNOWN if wind_told is None else wind_told)
    return air.wind_course


def least_humidity_of(tmin: Floats, tmax: Floats, air: Air | None) -> Floats:
    """The usual year's least humidity of the day [%], (365,), by the vapour that was read.

    Where none was, the lowest temperature stands for the dew point [1]_.
    """
    low, high = tmin.mean(axis=0), tmax.mean(axis=0)
    if air is None or air.vapour_course is None:
        vapour = humidity.vapour_pressure_from_dew_point(low)
    else:
        vapour = air.vapour_course
    return np.minimum(100.0 * vapour / humidity.saturation_vapour_pressure(high), 100.0)


def told(air: Air | None) -> tuple[Text, ...]:
    """By what the demand of the air was reckoned, and how sure that is."""
    if air is None or not (air.known().any() or np.any(air.scale != 1.0)):
        return (text("weather.demand_hargreaves"),)
    share = float(air.known().mean())
    notes = [text("weather.demand_penman_monteith", share=round(share, 2))] if share > 0 else []
    if share < 1.0:
        notes.append(text("weather.demand_scaled", factor=round(float(air.scale.mean()), 2)))
    lacking = (
        (text("weather.no_radiation"), not np.isfinite(air.radiation).any()),
        (text("weather.no_humidity"), not np.isfinite(air.humidity).any()),
        (text("weather.no_wind"), not np.isfinite(air.wind).any()),
    )
    if share > 0:
        notes += [note for note, lacks in lacking if lacks]
    return tuple(notes)


def _penman_monteith(
    tmin: Floats,
    tmax: Floats,
    given: Mapping[str, Floats],
    latitude_deg: float,
    elevation_m: float,
    coast: bool,
    cover: Cover | None = None,
) -> Floats:
    return reference_evapotranspiration(
        tmin,
        tmax,
        latitude_deg,
        DAYS,
        elevation_m,
        solar_radiation=given["radiation"],
        rhmean=given["humidity"],
        wind=given["wind"],
        coast=coast,
        light_share=1.0 if cover is None else cover.light,
        wind_share=1.0 if cover is None else cover.wind,
    ).et0


def _hargreaves(tmin: Floats, tmax: Floats, latitude_deg: float) -> Floats:
    ra = sun.extraterrestrial_radiation(latitude_deg, DAYS)
    return evapotranspiration.et0_hargreaves(tmin, tmax, ra)


def _below_the_clear_sky(
    read: Floats, latitude_deg: float, elevation_m: float, notes: list[Text]
) -> Floats:
    ra = sun.extraterrestrial_radiation(latitude_deg, DAYS)
    most = radiation.clear_sky_radiation(ra, elevation_m) * radiation.ABOVE_CLEAR_SKY + 1.0
    bright = read > most
    days, of = int(bright.sum()), int(np.isfinite(read).sum())
    if not days:
        return read
    if days > 10 and days * 3 > of:
        notes.append(text("weather.radiation_unit", days=days, of=of))
        return np.full(read.shape, np.nan)
    notes.append(text("weather.too_bright", days=days))
    return np.where(bright, np.nan, read)


def _scale(full: Floats, plain: Floats) -> Floats:
    """Penman-Monteith over Hargreaves by month, as a smooth course."""
    overall = float(np.nansum(full) / max(np.nansum(plain), 1e-9))
    monthly = np.full(12, overall)
    for month in range(12):
        days = month == MONTH_OF_DAY
        below = float(np.nansum(plain[:, days]))
        if np.isfinite(plain[:, days]).sum() >= _LEAST_DAYS_OF_MONTH and below > 1.0:
            monthly[month] = float(np.nansum(full[:, days])) / below
    return np.clip(smooth_year(np.clip(monthly, *_SCALE), _WAVES), *_SCALE).round(4)


def _course(values: Floats) -> Floats | None:
    """A smooth usual year of monthly means; None where less than two months' days are known."""
    if np.isfinite(values).sum() < _LEAST_DAYS:
        return None
    monthly = np.full(12, float(np.nanmean(values)))
    for month in range(12):
        of_month = values[:, month == MONTH_OF_DAY]
        if np.isfinite(of_month).sum() >= _LEAST_DAYS_OF_MONTH:
            monthly[month] = float(np.nanmean(of_month))
    least = float(monthly.min()) / 2.0
    return np.maximum(smooth_year(monthly, _WAVES), least).round(3)
