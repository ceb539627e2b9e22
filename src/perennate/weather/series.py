"""A WeatherSeries: the daily weather of one file, checked."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

import numpy as np
from numpy.typing import NDArray

from perennate.terms import BadInput, Problem, Text, text

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Days = NDArray[np.datetime64]

COLDEST_C, WARMEST_C = -75.0, 60.0
"""No gardened place has read lower or higher on a screen thermometer [degC] (from memory: -68 in
the coldest valleys of Siberia, 57 in the hottest desert)."""
WETTEST_MM = 1900.0
"""No gauge has caught more in a day [mm] (from memory: 1825 mm)."""
BRIGHTEST_MJ = 50.0
"""No day brings more sun to the top of the air [MJ m-2 day-1] (FAO-56, equation 21: 48 at the
south pole in December)."""
WINDIEST_M_S = 40.0
"""No day's mean wind is stronger at a place that is gardened [m s-1] (assumed)."""
MAST_M = 10.0
"""Wind of weather stations is read this high [m] (common practice)."""
TYPICAL_YEAR = 2001
"""The year that stands in for a typical year's own, which come from many years."""


@dataclass(frozen=True)
class Place:
    """Where a file says that it was measured; None where it does not say."""

    name: str = ""
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    elevation_m: float | None = None


@dataclass(frozen=True)
class WeatherSeries:
    """Daily weather of one file: `days` ascending, each once; NaN where nothing is known.

    tmin, tmax [degC], rain [mm], each of shape (days,). `others` may hold `radiation`
    [MJ m-2 day-1], `humidity` [%], `wind` [m s-1], read `wind_height_m` above the ground.
    `forecast` marks days that are foretold. A `typical` year is put together from several years
    and is no record: its dates stand in the year 2001. `notes` say what was read, dropped and
    missing.
    """

    file: str
    layout: str
    days: Days
    tmin: Floats
    tmax: Floats
    rain: Floats
    forecast: Bools
    place: Place = Place()
    typical: bool = False
    others: Mapping[str, Floats] = field(default_factory=dict)
    notes: tuple[Text, ...] = ()
    wind_height_m: float = 2.0


@dataclass(frozen=True)
class RawDays:
    """What a reader hands over to be checked: values by row of the file, in any order.

    `columns` holds at least one of tmin, tmax, rain in SI units, and perhaps the others.
    """

    file: str
    layout: str
    days: Days
    columns: Mapping[str, Floats]
    place: Place = Place()
    typical: bool = False
    forecast: Bools | None = None
    notes: tuple[Text, ...] = ()
    wind_height_m: float = 2.0


def checked(raw: RawDays) -> WeatherSeries:
    """The raw days in order, with what cannot be true taken out and told in notes.

    Raises BadInput when nothing is left, or when so much is out of range that the unit is wrong.
    """
    notes: list[Text] = []
    values = {name: np.array(column) for name, column in raw.columns.items()}
    forecast = np.zeros(len(raw.days), dtype=np.bool_) if raw.forecast is None else raw.forecast
    problems = _drop_out_of_range(raw, values, notes)
    if problems:
        raise BadInput(problems)
    days, values, forecast = _one_row_a_day(raw, values, forecast, notes)
    _drop_crossed(raw, days, values, notes)
    none = np.full(len(days), np.nan)
    known = {name: values.get(name, none) for name in ("tmin", "tmax", "rain")}
    if not any(np.isfinite(column).any() for column in known.values()):
        raise BadInput([Problem(raw.file, None, None, "no value", "tmin, tmax or rain by day")])
    _tell_missing(raw, days, known, notes)
    first, last = _date(days[0]), _date(days[-1])
    read = text(
        "weather.read", file=raw.file, layout=raw.layout, days=len(days), first=first, last=last
    )
    if raw.typical:
        read = text("weather.typical_year", file=raw.file, layout=raw.layout, days=len(days))
    others = {name: column for name, column in values.items() if name not in known}
    if "humidity" in others:
        others["humidity"] = np.minimum(
            others["humidity"], 100.0
        )  # a wet sensor reads a little over
    return WeatherSeries(
        raw.file,
        raw.layout,
        days,
        known["tmin"],
        known["tmax"],
        known["rain"],
        forecast,
        raw.place,
        raw.typical,
        others,
        (read, *raw.notes, *notes),
        raw.wind_height_m,
    )


def _drop_out_of_range(raw: RawDays, values: dict[str, Floats], notes: list[Text]) -> list[Problem]:
    problems = []
    for name, low, high in (
        ("tmin", COLDEST_C, WARMEST_C),
        ("tmax", COLDEST_C, WARMEST_C),
        ("rain", 0.0, WETTEST_MM),
        ("radiation", 0.0, BRIGHTEST_MJ),
        ("humidity", 0.0, 105.0),
        ("wind", 0.0, WINDIEST_M_S),
    ):
        column = values.get(name)
        if column is None or not column.size:
            continue
        least, most = np.fmin.reduce(column), np.fmax.reduce(column)
        if not (least < low or most > high):
            continue
        wrong = (column < low) | (column > high)
        count, known = int(wrong.sum()), int(np.isfinite(column).sum())
        if count > 10 and count * 3 > known:
            problems.append(
                Problem(
                    raw.file,
                    None,
                    name,
                    f"{count} of {known} values outside {low:g} to {high:g}",
                    "another unit, or another column",
                )
            )
        at = int(np.flatnonzero(wrong)[0])
        notes.append(
            text(
                "weather.impossible",
                file=raw.file,
                column=name,
                count=count,
                value=round(float(column[at]), 1),
                first=_date(raw.days[at]),
            )
        )
        column[wrong] = np.nan
    return problems


def _one_row_a_day(
    raw: RawDays, values: dict[str, Floats], forecast: Bools, notes: list[Text]
) -> tuple[Days, dict[str, Floats], Bools]:
    """Ascending days, each once. What two rows of one day contradict each other in is dropped."""
    days = raw.days
    steps = np.diff(days).astype(np.int64)
    if np.all(steps > 0):
        return days, values, forecast
    if np.any(steps < 0):
        order = np.lexsort((forecast, days))
        days, forecast = days[order], forecast[order]
        values = {name: column[order] for name, column in values.items()}
        steps = np.diff(days).astype(np.int64)
    starts = np.flatnonzero(np.concatenate(([True], steps > 0)))
    if len(starts) == len(days):
        return days, values, forecast
    observed_days = np.zeros(len(days), dtype=np.bool_)
    group = np.cumsum(np.concatenate(([0], (steps > 0).astype(np.int64))))
    observed_days = np.bincount(group, weights=~forecast, minlength=len(starts))[group] > 0
    outdated = forecast & observed_days
    merged: dict[str, Floats] = {}
    contradicted = np.zeros(len(starts), dtype=np.bool_)
    for name, column in values.items():
        usable = np.where(outdated, np.nan, column)
        low = np.fmin.reduceat(usable, starts)
        high = np.fmax.reduceat(usable, starts)
        differ = high > low
        contradicted |= differ
        merged[name] = np.where(differ, np.nan, low)
    notes.append(text("weather.duplicates", file=raw.file, rows=int(len(days) - len(starts))))
    if contradicted.any():
        first = _date(days[starts][np.flatnonzero(contradicted)[0]])
        count = int(contradicted.sum())
        notes.append(text("weather.contradicted", file=raw.file, days=count, first=first))
    return days[starts], merged, np.logical_and.reduceat(forecast, starts)


def _drop_crossed(raw: RawDays, days: Days, values: dict[str, Floats], notes: list[Text]) -> None:
    if "tmin" not in values or "tmax" not in values:
        return
    crossed = values["tmax"] < values["tmin"]
    if crossed.any():
        first = _date(days[np.flatnonzero(crossed)[0]])
        count = int(crossed.sum())
        if count > 10 and count * 3 > len(days):
            found = f"tmax below tmin on {count} of {len(days)} days"
            raise BadInput([Problem(raw.file, None, "tmax", found, "tmin and tmax not swapped")])
        notes.append(text("weather.crossed", file=raw.file, days=count, first=first))
        values["tmin"][crossed] = np.nan
        values["tmax"][crossed] = np.nan


def _tell_missing(raw: RawDays, days: Days, known: Mapping[str, Floats], notes: list[Text]) -> None:
    for name, column in known.items():
        missing = int(np.isnan(column).sum())
        if missing:
            notes.append(
                text("weather.missing", file=raw.file, column=name, days=missing, of=len(days))
            )
    span = int((days[-1] - days[0]).astype(np.int64)) + 1
    if span > len(days):
        steps = np.diff(days).astype(np.int64)
        widest = int(np.argmax(steps))
        notes.append(
            text(
                "weather.gaps",
                file=raw.file,
                days=span - len(days),
                longest=int(steps[widest]) - 1,
                after=_date(days[widest]),
            )
        )


def _date(day: np.datetime64) -> date:
    whole: date = day.astype("datetime64[D]").astype(object)
    return whole
