"""A Climate from whatever is known: records, a typical year, normals, memory, or the place alone.

Ten complete years of record are taken as they are. With fewer, the record's law is fitted and
years are generated until there are forty. Then come monthly normals, then what is remembered,
then the position alone; each step says in its notes what it did and what it does not know.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from perennate.science.evapotranspiration import wind_at_2m
from perennate.terms import Text, text
from perennate.weather.air import READINGS, Air, Surroundings, air_of
from perennate.weather.climate import Basis, Climate, day_index, frost_dates
from perennate.weather.generate import (
    DailyLaw,
    generate,
    in_order,
    law_of_normals,
    law_of_record,
)
from perennate.weather.normals import MONTH_OF_DAY, MonthlyNormals
from perennate.weather.position import LAPSE_K_PER_M, POSITION_SPREAD_K, normals_of_position
from perennate.weather.remembered import Memory, Remembered, bent_to_memory, is_blank
from perennate.weather.series import WeatherSeries

Floats = NDArray[np.float64]

YEARS = 40
LEAST_RECORDED_YEARS = 10
_MOST_MISSING = 18
_LEAST_DAYS_KNOWN = 330
_LEAST_DAYS_ANCHOR = 30
_REMEMBERED_SPREAD_K = 1.5
_LEAST_HEIGHT_M = 50.0
_FAR_DEG = 1.0
_DIFFERS_DAYS = 14
_UNMET = {
    "last frost": "weather.unmet_last_frost",
    "first frost": "weather.unmet_first_frost",
    "coldest night": "weather.unmet_coldest_night",
}


def climate_from(
    series: Sequence[WeatherSeries],
    latitude_deg: float,
    elevation_m: float,
    *,
    longitude_deg: float | None = None,
    remembered: Memory | None = None,
    normals: MonthlyNormals | None = None,
    seed: int = 0,
    wind_told: float | None = None,
    coast: bool = False,
) -> Climate:
    """The climate of a site [deg, m] from what there is; the better source wins.

    `series`: weather files, the nearest first: a day that two of them know is the first's. Days
    that are foretold are left out; a typical year serves as normals. Station temperatures are
    brought to the site's height by 6.5 K/km where the file tells its own. `wind_told` [m s-1 at 2
    m] and `coast` help where wind or sun were not read (see `weather.air`). The same arguments
    give the same climate anywhere: numbers are rounded to 0.1.

    Raises ValueError for a position that is none.
    """
    around = Surroundings(wind_told, coast)
    memory: Memory = Remembered() if remembered is None else remembered
    guessed = normals_of_position(latitude_deg, elevation_m, memory.wet_months)
    notes = [note for one in series for note in one.notes]
    moved = [_moved(one, latitude_deg, longitude_deg, elevation_m, notes) for one in series]
    record = _record([one for one in moved if not one.typical])
    typical = [one for one in moved if one.typical]
    base = normals
    if base is None and typical:
        base = _normals_of_typical(typical[0], guessed, notes)
    blank = is_blank(memory)
    spread = POSITION_SPREAD_K if blank else _REMEMBERED_SPREAD_K
    law = law_of_normals(guessed, spread) if base is None else law_of_normals(base)
    if record is not None and record.days_known() >= _LEAST_DAYS_KNOWN:
        if base is None and not np.isfinite(record.rain).any():
            notes.append(text("weather.rain_guessed"))
        law = law_of_record(record.tmin, record.tmax, record.rain, law)
        air = record.air(latitude_deg, elevation_m, around, notes)
        known = _recorded(record, law, latitude_deg, elevation_m, notes, seed, air, around)
        return _held_against(known, memory)
    if base is not None:
        if record is not None:
            notes.append(text("weather.too_short", days=record.days()))
        notes += [text("weather.generated", years=YEARS), text("weather.wgen")]
        tmin, tmax, rain = generate(law, YEARS, seed)
        air = _air_of_typical(typical, latitude_deg, elevation_m, around, notes)
        told = tuple(notes), air, wind_told
        made = Climate(latitude_deg, elevation_m, tmax, tmin, rain, "normals", 0, *told)
        return _held_against(made, memory)
    tmin, tmax, rain = generate(law, YEARS, seed)
    if record is not None:
        tmin, tmax = _anchored(record, tmin, tmax, notes)
    basis: Basis = "position only" if blank else "remembered"
    if not blank:
        bent = bent_to_memory(tmin, tmax, latitude_deg, memory)
        tmin, tmax = bent.tmin, bent.tmax
        notes += [text(_UNMET[part]) for part in bent.unmet]
    code = "weather.position_only" if blank else "weather.remembered"
    notes += [
        text(code, latitude=latitude_deg, elevation=elevation_m),
        text("weather.generated", years=YEARS),
        text("weather.wgen"),
    ]
    told = tuple(notes), None, wind_told
    return Climate(latitude_deg, elevation_m, tmax, tmin, rain, basis, 0, *told)


def _held_against(climate: Climate, memory: Memory) -> Climate:
    """The climate with a note where its middle frost dates are far from the remembered ones."""
    dates = frost_dates(climate)
    notes: list[Text] = []
    for part, own, month_day in (
        ("last_frost", dates.spring[0.5], memory.last_frost),
        ("first_frost", dates.autumn[0.5], memory.first_frost),
    ):
        if own is None or month_day is None:
            continue
        later = (day_index(date(2000, *month_day)) - own + 182) % 365 - 182
        if abs(later) >= _DIFFERS_DAYS:
            way = "later" if later > 0 else "earlier"
            notes.append(text(f"weather.{part}_{way}", days=abs(later)))
    return replace(climate, notes=(*climate.notes, *notes))


@dataclass(frozen=True)
class _Record:
    """Recorded days laid out by year, shape (years, 365), NaN where nothing is known."""

    years: NDArray[np.int64]
    tmin: Floats
    tmax: Floats
    rain: Floats
    readings: Mapping[str, Floats]

    def air(
        self, latitude_deg: float, elevation_m: float, around: Surroundings, notes: list[Text]
    ) -> Air | None:
        return air_of(self.tmin, self.tmax, self.readings, latitude_deg, elevation_m, around, notes)

    def known(self) -> NDArray[np.bool_]:
        return np.isfinite(self.tmin) & np.isfinite(self.tmax)

    def days(self) -> int:
        return int(self.known().sum())

    def days_known(self) -> int:
        """Days of the year of which some year knows the temperature."""
        return int(self.known().any(axis=0).sum())

    def complete(self) -> NDArray[np.bool_]:
        return np.asarray((~self.known()).sum(axis=1) <= _MOST_MISSING)


def _record(series: Sequence[WeatherSeries]) -> _Record | None:
    observed = [(one, ~one.forecast) for one in series if (~one.forecast).any()]
    if not observed:
        return None
    years = [one.days[seen].astype("datetime64[Y]").astype(np.int64) for one, seen in observed]
    first, last = min(int(y.min()) for y in years), max(int(y.max()) for y in years)
    shape = (last - first + 1, 365)
    laid = {name: np.full(shape, np.nan) for name in ("tmin", "tmax", "rain", *READINGS)}
    for (one, seen), year in zip(observed, years, strict=True):
        days = one.days[seen]
        month = days.astype("datetime64[M]")
        in_month = (days - month).astype(np.int64)
        month_number = month.astype(np.int64) % 12
        plain = ~((month_number == 1) & (in_month == 28))
        start = np.searchsorted(MONTH_OF_DAY, np.arange(12))
        index = start[month_number[plain]] + in_month[plain]
        row = year[plain] - first
        for name, target in laid.items():
            values = _values(one, name)[seen][plain]
            free = np.isnan(target[row, index])
            target[row[free], index[free]] = values[free]
    some = np.isfinite(laid["tmin"]).any(axis=1) | np.isfinite(laid["rain"]).any(axis=1)
    numbers = np.arange(first, last + 1) + 1970
    kept = {name: values[some] for name, values in laid.items()}
    readings = {name: kept[name] for name in READINGS}
    return _Record(numbers[some], kept["tmin"], kept["tmax"], kept["rain"], readings)


def _values(one: WeatherSeries, name: str) -> Floats:
    """A column of a series, NaN where it has none; wind as it would be read at 2 m."""
    if name not in READINGS:
        return np.asarray(getattr(one, name))
    values = one.others.get(name)
    if values is None:
        return np.full(len(one.days), np.nan)
    return wind_at_2m(values, one.wind_height_m) if name == "wind" else values


def _recorded(
    record: _Record,
    law: DailyLaw,
    latitude_deg: float,
    elevation_m: float,
    notes: list[Text],
    seed: int,
    air: Air | None,
    around: Surroundings,
) -> Climate:
    """Complete years as recorded, gaps filled; generated ones behind when they are few."""
    complete = record.complete()
    kept = int(complete.sum())
    more = 0 if kept >= LEAST_RECORDED_YEARS else YEARS - kept
    made = generate(law, kept + more, seed)
    filled = []
    gaps = 0
    for recorded, generated in zip((record.tmin, record.tmax, record.rain), made, strict=True):
        own = recorded[complete]
        hole = np.isnan(own)
        gaps += int(hole.sum()) if recorded is not record.rain else 0
        whole = generated.copy()
        whole[:kept] = np.where(hole, generated[:kept], own)
        filled.append(whole)
    tmin, tmax = in_order(filled[0], filled[1])
    rain = filled[2].round(1)
    if kept:
        years = record.years[complete]
        notes.append(text("weather.recorded", years=kept, first=int(years[0]), last=int(years[-1])))
        holes = np.isnan(record.tmin[complete]) | np.isnan(record.tmax[complete])
        if holes.any():
            notes.append(text("weather.filled", days=int(holes.sum())))
        no_rain = int(np.isnan(record.rain[complete]).sum())
        if no_rain:
            notes.append(text("weather.rain_filled", days=no_rain))
    left_out = len(complete) - kept
    if left_out:
        notes.append(text("weather.years_left_out", years=left_out))
    if more:
        notes += [
            text("weather.few_years", years=kept, needed=LEAST_RECORDED_YEARS),
            text("weather.generated", years=more),
            text("weather.wgen"),
        ]
    if air is not None:
        air = air.of_years(complete, len(tmin))
    told = tuple(notes), air, around.wind_told
    return Climate(latitude_deg, elevation_m, tmax, tmin, rain, "recorded", kept, *told)


def _moved(
    one: WeatherSeries,
    latitude_deg: float,
    longitude_deg: float | None,
    elevation_m: float,
    notes: list[Text],
) -> WeatherSeries:
    """The series as it would be at the site's height; tells when its place lies far off."""
    place = one.place
    off = [0.0 if place.latitude_deg is None else abs(place.latitude_deg - latitude_deg)]
    if place.longitude_deg is not None and longitude_deg is not None:
        turn = abs((place.longitude_deg - longitude_deg + 180.0) % 360.0 - 180.0)
        off.append(turn * float(np.cos(np.radians(latitude_deg))))
    if max(off) > _FAR_DEG:
        notes.append(text("weather.far_away", file=one.file, degrees=round(max(off), 1)))
    if place.elevation_m is None or abs(place.elevation_m - elevation_m) < _LEAST_HEIGHT_M:
        return one
    change = (place.elevation_m - elevation_m) * LAPSE_K_PER_M
    notes.append(
        text(
            "weather.height",
            file=one.file,
            station=round(place.elevation_m),
            site=round(elevation_m),
            change=round(change, 1),
        )
    )
    return replace(one, tmin=one.tmin + change, tmax=one.tmax + change)


def _normals_of_typical(
    one: WeatherSeries, guessed: MonthlyNormals, notes: list[Text]
) -> MonthlyNormals:
    """Monthly means of a typical year; a month it lacks, and its rain, are guessed."""
    month = one.days.astype("datetime64[M]").astype(np.int64) % 12
    columns = {"tmin": guessed.tmin.copy(), "tmax": guessed.tmax.copy()}
    for number in range(12):
        days = (month == number) & np.isfinite(one.tmin) & np.isfinite(one.tmax)
        if days.sum() >= _LEAST_DAYS_ANCHOR // 2:
            for name, column in columns.items():
                column[number] = getattr(one, name)[days].mean()
    notes.append(text("weather.rain_guessed"))
    return MonthlyNormals(columns["tmin"], columns["tmax"], guessed.rain)


def _air_of_typical(
    typical: Sequence[WeatherSeries],
    latitude_deg: float,
    elevation_m: float,
    around: Surroundings,
    notes: list[Text],
) -> Air | None:
    """What a typical year tells of the air, for years that are all generated."""
    if not typical:
        return None
    record = _record([replace(typical[0], typical=False)])
    air = None if record is None else record.air(latitude_deg, elevation_m, around, notes)
    return None if air is None else air.of_years(np.zeros(len(air.wind), dtype=np.bool_), YEARS)


def _anchored(
    record: _Record, tmin: Floats, tmax: Floats, notes: list[Text]
) -> tuple[Floats, Floats]:
    """A guessed climate moved by what a record of less than a year is warmer or colder."""
    known = record.known()
    if known.sum() < _LEAST_DAYS_ANCHOR:
        notes.append(text("weather.too_short", days=record.days()))
        return tmin, tmax
    off = {}
    for name, values, guess in (("tmin", record.tmin, tmin), ("tmax", record.tmax, tmax)):
        expected = np.broadcast_to(guess.mean(axis=0), values.shape)
        off[name] = float((values[known] - expected[known]).mean())
    change = (off["tmin"] + off["tmax"]) / 2.0
    notes.append(text("weather.anchored", days=record.days(), change=round(change, 1)))
    return in_order(tmin + off["tmin"], tmax + off["tmax"])
