"""The days at hand: readings, a forecast, and what the climate says where both end.

A forecast's error and the way a warm or cold spell wears off are taken as usual values, from
memory: 1.5 K on the first day, half a degree more each day; a spell loses a third a day.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from perennate.science.soil_temperature import soil_from_surface
from perennate.terms import Text, text
from perennate.weather.climate import Climate, day_index, tmean
from perennate.weather.series import WeatherSeries

Floats = NDArray[np.float64]
Kind = Literal["observed", "forecast", "climate"]

DAYS_BACK = 30
DAYS_AHEAD = 14
FORECAST_ERROR_K = 1.5
FORECAST_ERROR_GROWTH_K = 0.5
SPELL_LEFT_NEXT_DAY = 0.65
_TENTH_Z = 1.2816
_WARM_UP_DAYS = 365


@dataclass(frozen=True)
class NearTerm:
    """Weather of some days back and ahead of `as_of`, day by day, each of shape (days,).

    tmin and tmax [degC] with the ends of their usual range (one in ten lies beyond each), rain
    [mm] (what was caught, foretold, or the climate's mean), soil at 5 cm [degC], and `kind`: what
    each day's temperatures rest on. Observed values have no spread.
    """

    as_of: date
    first: date
    kind: tuple[Kind, ...]
    tmin: Floats
    tmin_low: Floats
    tmin_high: Floats
    tmax: Floats
    tmax_low: Floats
    tmax_high: Floats
    rain: Floats
    soil: Floats
    notes: tuple[Text, ...] = ()

    def index(self, day: date) -> int:
        """Place of a day in the arrays; raises KeyError for a day that is not among them."""
        at = (day - self.first).days
        if not 0 <= at < len(self.kind):
            raise KeyError(day)
        return at


def update_with_readings(
    climate: Climate,
    series: Sequence[WeatherSeries],
    as_of: date,
    days_ahead: int = DAYS_AHEAD,
    days_back: int = DAYS_BACK,
) -> NearTerm:
    """What is known of the coming days from readings and forecasts over the climate.

    `series`: weather.csv with kind observed or forecast, a station's file, a forecast file; what
    comes later in the sequence is the newer word on a day that is foretold, and a reading always
    outweighs a forecast. Days from `as_of` on without a mark count as foretold. Where nothing is
    known the climate's own day stands, warmer or colder by what is left of the last known spell.
    """
    if days_ahead < 1 or days_back < 0:
        raise ValueError("at least one day ahead, none or more back")
    count = days_back + days_ahead
    first = as_of - timedelta(days=days_back)
    span = [first + timedelta(days=i) for i in range(count)]
    index = np.array([day_index(day) for day in span])
    known = {name: np.full(count, np.nan) for name in ("tmin", "tmax", "rain")}
    foretold = np.zeros(count, dtype=np.bool_)
    for one in series:
        _lay_over(one, first, days_back, known, foretold)
    touched = np.isfinite(known["tmin"]) | np.isfinite(known["tmax"])
    kind: tuple[Kind, ...] = tuple(
        "climate" if not touched[i] else "forecast" if foretold[i] else "observed"
        for i in range(count)
    )
    lead = np.maximum(np.arange(count) - days_back, 0)
    error = np.where(foretold, FORECAST_ERROR_K + FORECAST_ERROR_GROWTH_K * lead, 0.0)
    bands = {
        name: _band(getattr(climate, name)[:, index], known[name], error)
        for name in ("tmin", "tmax")
    }
    usual_rain = climate.rain[:, index].mean(axis=0)
    rain = np.where(np.isfinite(known["rain"]), known["rain"], usual_rain).round(1)
    low, high = bands["tmin"][0], np.maximum(bands["tmax"][0], bands["tmin"][0])
    soil = _soil(climate, (low + high) / 2.0, day_index(first))
    notes = (
        text(
            "weather.near_term",
            observed=kind.count("observed"),
            forecast=kind.count("forecast"),
            climate=kind.count("climate"),
        ),
    )
    return NearTerm(as_of, first, kind, *bands["tmin"], high, *bands["tmax"][1:], rain, soil, notes)


def chance_of_frost(near: NearTerm, temp_c: float = 0.0) -> Floats:
    """Chance of a night at or below `temp_c`, day by day, the usual range read as normal."""
    sd = np.maximum((near.tmin_high - near.tmin_low) / (2.0 * _TENTH_Z), 1e-6)
    return np.asarray(ndtr((temp_c - near.tmin) / sd)).round(4)


def soil_warm_since(near: NearTerm, minimum_c: float, mornings: int = 3) -> date | None:
    """First day from `as_of` on that closes a run of days with the soil at the minimum.

    The soil is computed from air temperatures, so it says when to begin to measure.
    """
    warm = near.soil >= minimum_c
    start = near.index(near.as_of)
    for at in range(start, len(warm)):
        if at - mornings + 1 >= 0 and warm[at - mornings + 1 : at + 1].all():
            return near.first + timedelta(days=at)
    return None


def _lay_over(
    one: WeatherSeries,
    first: date,
    days_back: int,
    known: dict[str, Floats],
    foretold: NDArray[np.bool_],
) -> None:
    at = (one.days - np.datetime64(first, "D")).astype(np.int64)
    within = (at >= 0) & (at < len(foretold))
    at = at[within]
    forecast = one.forecast[within] | (at >= days_back)
    settled = np.isfinite(known["tmin"]) | np.isfinite(known["tmax"])
    settled &= ~foretold
    for name, target in known.items():
        values = getattr(one, name)[within]
        # A reading stays; a forecast gives way to a reading and to a newer forecast.
        free = np.isfinite(values) & (~forecast | ~settled[at] | np.isnan(target[at]))
        target[at[free]] = values[free]
        if name != "rain":
            foretold[at[free]] = forecast[free]


def _band(climate: Floats, known: Floats, error: Floats) -> tuple[Floats, Floats, Floats]:
    """Value with the ends of its usual range: known, or the climate's with the spell's rest."""
    usual = np.median(climate, axis=0)
    low, high = np.quantile(climate, (0.1, 0.9), axis=0)
    value, left = np.empty_like(usual), 0.0
    share = np.ones_like(usual)
    since = np.inf
    for i in range(len(usual)):
        if np.isfinite(known[i]):
            value[i], left, since = known[i], known[i] - usual[i], 0.0
            continue
        left, since = left * SPELL_LEFT_NEXT_DAY, since + 1.0
        value[i] = usual[i] + left
        # What the last known day tells of this one narrows the range, less with each day.
        share[i] = np.sqrt(1.0 - SPELL_LEFT_NEXT_DAY ** (2.0 * since))
    told = np.isfinite(known)
    below = np.where(told, _TENTH_Z * error, (usual - low) * share)
    above = np.where(told, _TENTH_Z * error, (high - usual) * share)
    return value.round(1), (value - below).round(1), (value + above).round(1)


def _soil(climate: Climate, course: Floats, first_index: int) -> Floats:
    """Soil at 5 cm under the course, the climate's mean year standing before it."""
    mean = tmean(climate).mean(axis=0)
    before = mean[(first_index - _WARM_UP_DAYS + np.arange(_WARM_UP_DAYS)) % 365]
    whole = soil_from_surface(np.concatenate((before, course)), 0.05)
    return np.asarray(whole[_WARM_UP_DAYS:].round(1))
