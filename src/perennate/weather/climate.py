"""A Climate: what the weather of a site is like, by day of year and by year.

Day indices run from 0 (1 January) to 364 (31 December); 29 February is read as 28 February.
Stretches of days are given by their first and last index, both counted, and may run over the new
year: what stands before it is then taken from the same row as what stands behind it.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from perennate.science import degree_days as _degree_days
from perennate.science import soil_temperature as _soil
from perennate.science import sun
from perennate.science.covers import COVERS
from perennate.terms import Text
from perennate.weather import air as _air
from perennate.weather.air import Air

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Basis = Literal["recorded", "normals", "remembered", "position only"]

CHANCES = (0.1, 0.2, 0.5, 0.8, 0.9)
_YEAR = 365
_HALF = 183
_LEAST_SWING_K = 0.5
_DAYS_AROUND = 11


@dataclass(frozen=True)
class Climate:
    """Daily weather of `n` years (recorded, generated, or both), 365 days each.

    29 February is dropped from the record and read as 28 February (index 58). Arrays have shape
    (n, 365), no NaN; temperatures in degC, rain in mm. `basis` says what it rests on; `notes`
    say in full what was done (files read, years used, gaps filled, generated years). `air` holds
    what was read of sun, moisture and wind; None where files held nothing of it. `wind_told`: the
    mean wind at 2 m [m s-1] that someone gave for the place.
    """

    latitude_deg: float
    elevation_m: float
    tmax: Floats
    tmin: Floats
    rain: Floats
    basis: Basis
    recorded_years: int
    notes: tuple[Text, ...] = ()
    air: Air | None = None
    wind_told: float | None = None


@dataclass(frozen=True, slots=True)
class FrostDates:
    """When frost at or below `threshold_c` ends and begins, as day indices by chance.

    `spring[p]`: the day after which frost still comes in a share p of the years; `autumn[p]`: the
    day before which it has come in a share p. None where fewer years than that have any frost.
    `frost_free_days`: the middle year's days from its last frost to its first.
    """

    threshold_c: float
    share_of_years: float
    spring: dict[float, int | None]
    autumn: dict[float, int | None]
    frost_free_days: int


def day_index(day: date) -> int:
    """Index of a day in the year, 0 to 364; 29 February is 58, as 28 February is."""
    if (day.month, day.day) == (2, 29):
        return 58
    return (date(2001, day.month, day.day) - date(2001, 1, 1)).days


def index_date(index: int, year: int) -> date:
    """The day of a year that has the index; never 29 February."""
    plain = date(2001, 1, 1) + timedelta(days=index % _YEAR)
    return plain.replace(year=year)


def tmean(climate: Climate) -> Floats:
    """Mean of the day's lowest and highest temperature [degC], shape (n, 365)."""
    return (climate.tmin + climate.tmax) / 2.0


def day_length(climate: Climate, sun_below_deg: float = sun.SUNRISE_DEG) -> Floats:
    """Hours of day by the CBM model, shape (365,); see `science.sun.day_length_cbm`."""
    return sun.day_length_cbm(climate.latitude_deg, np.arange(1.0, 366.0), sun_below_deg).round(3)


def et0(climate: Climate, cover: str = "open") -> Floats:
    """Reference evapotranspiration [mm day-1], shape (n, 365).

    `cover`: what stands over the bed, one of `science.covers.COVERS`. By FAO Penman-Monteith on
    days with readings of radiation or humidity; else by Hargreaves, brought to the level of those
    days where there are any (`et0_notes` says which). Raises KeyError for an unknown cover.
    """
    return _air.et0_of_years(
        climate.tmin,
        climate.tmax,
        climate.latitude_deg,
        climate.elevation_m,
        climate.air,
        COVERS[cover],
    ).round(3)


def et0_notes(climate: Climate) -> tuple[Text, ...]:
    """By what `et0` was reckoned, what stood in for what was not read, and how sure it is."""
    return _air.told(climate.air)


def wind(climate: Climate) -> Floats:
    """The usual year's wind at 2 m [m s-1], shape (365,).

    As read, else as told of the place, else 2 m/s (FAO-56).
    """
    return _air.wind_of(climate.air, climate.wind_told)


def least_humidity(climate: Climate) -> Floats:
    """The usual year's least humidity of the day [%], shape (365,).

    Where no humidity was read, the lowest temperature stands for the dew point (FAO-56).
    """
    return _air.least_humidity_of(climate.tmin, climate.tmax, climate.air).round(1)


def degree_days(
    climate: Climate,
    base: float,
    ceiling: float | None = None,
    method: _degree_days.Method = "sine",
) -> Floats:
    """Degree days of each day [degC d], shape (n, 365); see `science.degree_days`."""
    daily = _degree_days.degree_days(climate.tmin, climate.tmax, base, ceiling, method)
    return daily.round(3)


def soil_temperature_by_year(
    climate: Climate,
    depth_m: float = 0.05,
    diffusivity_m2_s: float = _soil.MOIST_SOIL_DIFFUSIVITY,
) -> Floats:
    """Temperature of bare moist soil at a depth [degC], shape (n, 365).

    The air's mean temperature stands in for the surface's, so soil under snow or a cover is
    warmer in winter than this, and dark bare soil in the sun is warmer in spring.
    """
    course = tmean(climate)
    soil = _soil.soil_from_surface(course.ravel(), depth_m, diffusivity_m2_s)
    return np.asarray(soil.reshape(course.shape).round(2))


def soil_temperature(
    climate: Climate,
    depth_m: float = 0.05,
    diffusivity_m2_s: float = _soil.MOIST_SOIL_DIFFUSIVITY,
) -> Floats:
    """Mean over the years of `soil_temperature_by_year`, shape (365,)."""
    years = soil_temperature_by_year(climate, depth_m, diffusivity_m2_s)
    return np.asarray(years.mean(axis=0).round(2))


def chance_below(climate: Climate, temp_c: float, days_around: int = _DAYS_AROUND) -> Floats:
    """Chance that a day's lowest temperature is at or below `temp_c`, shape (365,).

    The share of years, evened over `days_around` days centred on each, as single days of some
    tens of years are no more than a throw of dice.
    """
    return _evened((climate.tmin <= temp_c).mean(axis=0), days_around)


def chance_above(climate: Climate, temp_c: float, days_around: int = _DAYS_AROUND) -> Floats:
    """Chance that a day's highest temperature is at or above `temp_c`, shape (365,)."""
    return _evened((climate.tmax >= temp_c).mean(axis=0), days_around)


def chance_of_frost_between(
    climate: Climate, from_index: int, to_index: int, temp_c: float = 0.0
) -> float:
    """Share of the years with a night at or below `temp_c` in the stretch of days."""
    return float((climate.tmin[:, _stretch(from_index, to_index)] <= temp_c).any(axis=1).mean())


def heat_days(climate: Climate, from_index: int, to_index: int, temp_c: float) -> Ints:
    """Days at or above `temp_c` in the stretch, by year, shape (n,)."""
    hot = climate.tmax[:, _stretch(from_index, to_index)] >= temp_c
    return np.asarray(hot.sum(axis=1), dtype=np.int64)


def warm_nights(climate: Climate, from_index: int, to_index: int, temp_c: float) -> Ints:
    """Nights that stay at or above `temp_c` in the stretch, by year, shape (n,)."""
    warm = climate.tmin[:, _stretch(from_index, to_index)] >= temp_c
    return np.asarray(warm.sum(axis=1), dtype=np.int64)


def coldest_day(tmin: Floats, latitude_deg: float) -> int:
    """Index of the middle of the cold season: the trough of the yearly wave in tmin (n, 365).

    Where the wave is flatter than half a degree it is mid January in the north, mid July in the
    south.
    """
    mean = tmin.mean(axis=0)
    wave = (mean * np.exp(2j * np.pi * np.arange(_YEAR) / _YEAR)).sum()
    if 2.0 * abs(wave) / _YEAR < _LEAST_SWING_K:
        return 15 if latitude_deg >= 0 else 197
    warmest = np.angle(wave) / (2.0 * np.pi) * _YEAR
    return int(np.rint(warmest + _YEAR / 2.0 - 1e-6)) % _YEAR


def frost_dates(
    climate: Climate, threshold_c: float = 0.0, chances: tuple[float, ...] = CHANCES
) -> FrostDates:
    """Last and first frost by chance, the year being cut in its coldest and warmest season.

    Counted, not fitted: with 40 years the 10 % date is the fifth latest, so that four years in
    forty had frost later. So the dates agree with `chance_of_frost_between` of the same years.
    """
    start = coldest_day(climate.tmin, climate.latitude_deg)
    order = (start + np.arange(_YEAR)) % _YEAR
    frost = climate.tmin[:, order] <= threshold_c
    last, in_spring = last_of(frost[:, :_HALF])
    first, in_autumn = first_of(frost[:, _HALF:])
    years = len(frost)
    latest = np.sort(last[in_spring])[::-1]
    earliest = np.sort(first[in_autumn])
    spring: dict[float, int | None] = {}
    autumn: dict[float, int | None] = {}
    for chance in chances:
        beyond = int(chance * years + 1e-9)
        spring[chance] = int(order[latest[beyond]]) if beyond < len(latest) else None
        autumn[chance] = int(order[_HALF + earliest[beyond]]) if beyond < len(earliest) else None
    free = np.where(in_autumn, first + _HALF, _YEAR) - np.where(in_spring, last, -1) - 1
    free = np.where(frost.any(axis=1), free, _YEAR)
    return FrostDates(
        threshold_c, float(frost.any(axis=1).mean()), spring, autumn, int(np.median(free))
    )


def last_of(events: Bools) -> tuple[Ints, Bools]:
    """Column of the last event of each row, and whether the row has any."""
    column = events.shape[1] - 1 - np.argmax(events[:, ::-1], axis=1)
    return np.asarray(column), np.asarray(events.any(axis=1))


def first_of(events: Bools) -> tuple[Ints, Bools]:
    """Column of the first event of each row, and whether the row has any."""
    return np.asarray(np.argmax(events, axis=1)), np.asarray(events.any(axis=1))


def _stretch(from_index: int, to_index: int) -> Ints:
    if not (0 <= from_index < _YEAR and 0 <= to_index < _YEAR):
        raise ValueError("day indices run from 0 to 364")
    return (from_index + np.arange((to_index - from_index) % _YEAR + 1)) % _YEAR


def _evened(share: Floats, days_around: int) -> Floats:
    if not 1 <= days_around <= _YEAR or days_around % 2 == 0:
        raise ValueError("days around must be an odd number of days of a year")
    side = days_around // 2
    around = np.concatenate((share[_YEAR - side :], share, share[:side]))
    sums = np.concatenate(([0.0], np.cumsum(around)))
    return np.clip((sums[days_around:] - sums[:-days_around]) / days_around, 0.0, 1.0).round(6)
