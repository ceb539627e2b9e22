"""Years of daily weather from the law of a place, and that law from normals or a record."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from perennate.science import weather_generator as wgen
from perennate.weather.normals import (
    MONTH_DAYS,
    MONTH_OF_DAY,
    MonthlyNormals,
    smooth_year,
    waves,
)

Floats = NDArray[np.float64]

_WET_DAY_COOLER_K = 2.0
_LEAST_SD_K = 0.5
_LEAST_RANGE_K = 0.5
_LEAST_WET_DAYS = 10


@dataclass(frozen=True)
class DailyLaw:
    """What the generator draws from, each of shape (365,).

    Means of tmin and tmax on dry and wet days [degC], standard deviations about them [K], the
    chance that a day is wet after a dry or wet one, and shape and scale [mm] of rain on wet
    days. `year_sd` [K] sets whole years apart beyond that, where the place is not known well.
    """

    tmin_dry: Floats
    tmin_wet: Floats
    tmax_dry: Floats
    tmax_wet: Floats
    tmin_sd: Floats
    tmax_sd: Floats
    wet_after_dry: Floats
    wet_after_wet: Floats
    rain_shape: Floats
    rain_scale: Floats
    year_sd: float = 0.0


def generate(law: DailyLaw, years: int, seed: int) -> tuple[Floats, Floats, Floats]:
    """tmin, tmax [degC] and rain [mm] of `years` years on end, each of shape (years, 365).

    The same law, years and seed give the same numbers anywhere: rounded to 0.1.
    """
    random = np.random.Generator(np.random.PCG64(seed))
    days = years * 365

    def each_day(yearly: Floats) -> Floats:
        return np.tile(yearly, years)

    wet = wgen.wet_days(
        each_day(law.wet_after_dry), each_day(law.wet_after_wet), random.random(days)
    )
    amounts = random.standard_gamma(each_day(law.rain_shape)) * each_day(law.rain_scale)
    off = wgen.departures(random.standard_normal((days, 3)))
    apart = np.repeat(random.standard_normal(years) * law.year_sd, 365)
    tmax = np.where(wet, each_day(law.tmax_wet), each_day(law.tmax_dry))
    tmin = np.where(wet, each_day(law.tmin_wet), each_day(law.tmin_dry))
    tmax = tmax + each_day(law.tmax_sd) * off[:, 0] + apart
    tmin = tmin + each_day(law.tmin_sd) * off[:, 1] + apart
    tmin, tmax = in_order(tmin, tmax)
    rain = np.where(wet, np.maximum(amounts, 0.1), 0.0)
    shape = (years, 365)
    return tmin.reshape(shape), tmax.reshape(shape), rain.round(1).reshape(shape)


def in_order(tmin: Floats, tmax: Floats) -> tuple[Floats, Floats]:
    """tmin and tmax rounded to 0.1, with tmax above tmin by half a degree at least."""
    middle, half = (tmin + tmax) / 2.0, np.maximum((tmax - tmin) / 2.0, _LEAST_RANGE_K / 2.0)
    low = (middle - half).round(1)
    high = np.maximum((middle + half).round(1), (low + _LEAST_RANGE_K).round(1))
    return low + 0.0, high + 0.0


def law_of_normals(normals: MonthlyNormals, year_sd: float = 0.0) -> DailyLaw:
    """The law that keeps the normals, with day-to-day spread guessed from the yearly swing.

    Rain: chances of wet days by Geng and others (1986), gamma law by the same. Spread: standard
    deviation 1.2 K + 0.3 of half the yearly swing, 15 % more in the coldest month and 25 % less
    in the warmest (from memory); wet days have a tmax 2 K lower (from memory).
    """
    mean = (normals.tmin + normals.tmax) / 2.0
    half_swing = (mean.max() - mean.min()) / 2.0
    warmth = (mean - mean.min()) / max(2.0 * half_swing, 1e-9)
    sd = smooth_year((1.2 + 0.3 * half_swing) * (1.15 - 0.40 * warmth), 2)
    share = normals.wet_share()
    wet_rain = np.where(share > 0, normals.rain / np.where(share > 0, share * MONTH_DAYS, 1), 1.0)
    shape, scale = wgen.gamma_from_mean(np.maximum(wet_rain, 0.1))
    after_dry, after_wet = wgen.chances_from_wet_share(share)
    tmin, tmax = smooth_year(normals.tmin), smooth_year(normals.tmax)
    daily_share = share[MONTH_OF_DAY]
    return DailyLaw(
        tmin_dry=tmin,
        tmin_wet=tmin,
        tmax_dry=tmax + daily_share * _WET_DAY_COOLER_K,
        tmax_wet=tmax - (1.0 - daily_share) * _WET_DAY_COOLER_K,
        tmin_sd=sd,
        tmax_sd=sd,
        wet_after_dry=after_dry[MONTH_OF_DAY],
        wet_after_wet=after_wet[MONTH_OF_DAY],
        rain_shape=shape[MONTH_OF_DAY],
        rain_scale=scale[MONTH_OF_DAY],
        year_sd=year_sd,
    )


def law_of_record(tmin: Floats, tmax: Floats, rain: Floats, guess: DailyLaw) -> DailyLaw:
    """The law fitted to a record, arrays of shape (years, 365) with NaN where nothing is known.

    Means: three yearly waves, and one for what wet days add, by least squares over all days.
    Spread: by month about those means. Rain: chances and Thom's gamma law by month. Where a
    month has too little, the rain of `guess` stands in.
    """
    law = _rain_fitted(rain, guess)
    wet = np.where(np.isnan(rain), np.nan, (rain >= wgen.WET_DAY_MM).astype(np.float64))
    share = np.nanmean(wet) if np.isfinite(wet).any() else 0.0
    wet = np.where(np.isnan(wet), share, wet)
    fitted: dict[str, Floats] = {}
    for name, values in (("tmin", tmin), ("tmax", tmax)):
        dry_mean, wet_mean, sd = _means_fitted(values, wet)
        fitted |= {f"{name}_dry": dry_mean, f"{name}_wet": wet_mean, f"{name}_sd": sd}
    return replace(
        law,
        tmin_dry=fitted["tmin_dry"],
        tmin_wet=fitted["tmin_wet"],
        tmin_sd=fitted["tmin_sd"],
        tmax_dry=fitted["tmax_dry"],
        tmax_wet=fitted["tmax_wet"],
        tmax_sd=fitted["tmax_sd"],
        year_sd=0.0,
    )


def _means_fitted(values: Floats, wet: Floats) -> tuple[Floats, Floats, Floats]:
    known = np.isfinite(values)
    course = np.broadcast_to(waves(3), (*values.shape, 7))[known]
    added = np.broadcast_to(waves(1), (*values.shape, 3))[known] * wet[known][:, None]
    if not added.any():
        added = np.zeros((len(course), 0))
    weights, *_ = np.linalg.lstsq(np.hstack((course, added)), values[known], rcond=None)
    dry_mean = waves(3) @ weights[:7]
    wet_mean = dry_mean + (waves(1) @ weights[7:] if len(weights) > 7 else 0.0)
    left = values - np.where(wet > 0.5, wet_mean, dry_mean)
    overall = float(np.nanstd(left))
    monthly = np.full(12, overall)
    for month in range(12):
        of_month = left[:, month == MONTH_OF_DAY]
        if np.isfinite(of_month).sum() >= 20:
            monthly[month] = np.nanstd(of_month)
    return dry_mean, wet_mean, np.maximum(smooth_year(monthly, 2), _LEAST_SD_K)


def _rain_fitted(rain: Floats, guess: DailyLaw) -> DailyLaw:
    after_dry, after_wet = guess.wet_after_dry.copy(), guess.wet_after_wet.copy()
    shape, scale = guess.rain_shape.copy(), guess.rain_scale.copy()
    wet = rain >= wgen.WET_DAY_MM
    today_known = np.isfinite(rain)
    before = np.hstack((np.full((len(rain), 1), np.nan), rain[:, :-1]))
    for month in range(12):
        days = month == MONTH_OF_DAY
        known = today_known[:, days] & np.isfinite(before[:, days])
        was_wet = before[:, days] >= wgen.WET_DAY_MM
        if known.sum() < 2 * _LEAST_WET_DAYS:
            continue
        for start, chances in ((known & ~was_wet, after_dry), (known & was_wet, after_wet)):
            tries, wets = start.sum(), (start & wet[:, days]).sum()
            if tries >= _LEAST_WET_DAYS or chances is after_dry:
                chances[days] = wets / max(tries, 1)
        amounts = rain[:, days][wet[:, days]]
        if amounts.size >= _LEAST_WET_DAYS and np.ptp(amounts) > 0.5:
            shape[days], scale[days] = wgen.gamma_from_rain(amounts)
        elif amounts.size:
            mean = wgen.gamma_from_mean(amounts.mean())
            shape[days], scale[days] = mean[0], mean[1]
    return replace(
        guess,
        wet_after_dry=after_dry,
        wet_after_wet=after_wet,
        rain_shape=shape,
        rain_scale=scale,
    )
