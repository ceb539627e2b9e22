"""Daily weather as Open-Meteo serves it, CSV or JSON: blocks of columns with units in brackets.

Days follow the time zone chosen at download, GMT by default, which cuts the local day elsewhere.
"""

import json
from collections.abc import Mapping
from typing import Any

import numpy as np

from perennate.terms import BadInput, Problem, Text, text
from perennate.weather.series import Bools, Days, Floats, Place, RawDays
from perennate.weather.table import Table, days, fields_of, line_at, number, numbers, read_table
from perennate.weather.units import to_si, unit_in

_MEASURES = {
    "temperature_2m_min": "tmin",
    "temperature_2m_max": "tmax",
    "precipitation_sum": "rain",
    "shortwave_radiation_sum": "radiation",
    "relative_humidity_2m_mean": "humidity",
}
_MOST_OFF_DEG = 22.5
"""A day that begins more than an hour and a half from local midnight is told of."""


def read_open_meteo_csv(data: bytes, file: str) -> RawDays:
    """The daily block of the file. Raises BadInput for several places in one file."""
    head, after = line_at(data, 0)
    site, _ = line_at(data, after)
    about = dict(zip(fields_of(head, ","), fields_of(site, ","), strict=False))
    if "location_id" in about:
        raise BadInput([Problem(file, 1, "location_id", "several places", "one place a file")])
    start, end = _daily_block(data, file)
    header, _ = line_at(data, start)
    headings = fields_of(header, ",")
    table = read_table(data, file, start, end=end, measures=headings[1:], dated="time")
    units = {unit_in(heading)[0]: heading for heading in table.columns}
    columns, problems = {}, []
    for measure in _MEASURES:
        if measure in units:
            heading = units[measure]
            values, faulty = numbers(table.columns[heading])
            if faulty is not None:
                problems.extend(table.problems(heading, faulty, "a number, or empty"))
            columns[measure] = (values, _bracketed(heading))
    return _raw(table, about, columns, problems)


def read_open_meteo_json(data: bytes, file: str) -> RawDays:
    """The daily object of the file. Raises BadInput where it is no such JSON."""
    import polars as pl

    expected = "an object with daily and daily_units"
    try:
        whole = json.loads(data)
    except ValueError as error:
        raise BadInput([Problem(file, None, None, f"no JSON ({error})", expected)]) from error
    if isinstance(whole, list):
        if len(whole) != 1:
            raise BadInput([Problem(file, None, None, f"{len(whole)} places", "one place a file")])
        whole = whole[0]
    daily = whole.get("daily") if isinstance(whole, dict) else None
    told = whole.get("daily_units", {}) if isinstance(whole, dict) else {}
    if not isinstance(daily, dict) or not isinstance(daily.get("time"), list):
        raise BadInput([Problem(file, None, "daily", "no daily values", expected)])
    many = len(daily["time"])
    problems: list[Problem] = []
    columns: dict[str, tuple[Floats, str]] = {}
    for measure in _MEASURES:
        if measure not in daily:
            continue
        try:
            values = np.array(daily[measure], dtype=np.float64)
        except (TypeError, ValueError):
            values = np.empty(0)
        if values.shape != (many,):
            problems.append(Problem(file, None, measure, "other values", f"{many} numbers or null"))
            continue
        columns[measure] = (values, str(told.get(measure, "")))
    time = pl.Series("time", [str(moment) for moment in daily["time"]], dtype=pl.String)
    return _raw(Table(file, {"time": time}, 1), whole, columns, problems)


def _daily_block(data: bytes, file: str) -> tuple[int, int | None]:
    """Where the block of columns with daily values begins and ends."""
    at = 0
    while at < len(data):
        line, after = line_at(data, at)
        if line.startswith("time,") and any(measure in line for measure in _MEASURES):
            blank = min(
                (e for e in (data.find(m, after) for m in (b"\n\n", b"\n\r\n")) if e >= 0),
                default=-1,
            )
            return at, None if blank < 0 else blank + 1
        blank = data.find(b"\n\n", at)
        blank = data.find(b"\n\r\n", at) if blank < 0 else blank
        if blank < 0:
            break
        at = blank + 2 if data[blank + 1 : blank + 2] == b"\n" else blank + 3
    expected = "a block with time, temperature_2m_max, temperature_2m_min, precipitation_sum"
    raise BadInput([Problem(file, None, None, "no daily values", expected)])


def _bracketed(heading: str) -> str:
    return heading.rpartition(" (")[2].rstrip(")")


def _raw(
    table: Table,
    about: Mapping[str, Any],
    columns: Mapping[str, tuple[Floats, str]],
    problems: list[Problem],
) -> RawDays:
    values: dict[str, Floats] = {}
    for measure, (column, unit) in columns.items():
        name = _MEASURES[measure]
        if name in ("tmin", "tmax", "rain"):
            known = unit_in(f"x ({unit})")[1]
            fits = ("degC", "degF") if name != "rain" else ("mm", "in", "cm")
            if known is None or known not in fits:
                found = f"the unit {unit!r}"
                problems.append(Problem(table.file, None, measure, found, " or ".join(fits)))
                continue
            column = to_si(column, known)
        values[name] = column
    when, unreadable = _time(table, about, problems)
    if not values.keys() & {"tmin", "tmax", "rain"} and not problems:
        problems.append(Problem(table.file, None, None, "none of them", ", ".join(_MEASURES)))
    if problems:
        raise BadInput(problems)
    place = Place("", *(number(about.get(key)) for key in ("latitude", "longitude", "elevation")))
    notes = (text("weather.grid_cell", file=table.file), *_cut_days(table.file, about, place))
    usable = ~unreadable
    kept = {name: column[usable] for name, column in values.items()}
    return RawDays(table.file, "Open-Meteo", when[usable], kept, place, notes=notes)


def _time(table: Table, about: Mapping[str, Any], problems: list[Problem]) -> tuple[Days, Bools]:
    column = table.columns["time"]
    if len(column) and str(column[0]).strip().isdigit() and len(str(column[0]).strip()) > 8:
        seconds, faulty = numbers(column)
        offset = number(about.get("utc_offset_seconds")) or 0.0
        odd = np.isnan(seconds) if faulty is None else faulty | np.isnan(seconds)
        problems.extend(table.problems("time", odd, "unix seconds"))
        whole = np.floor((np.nan_to_num(seconds) + offset) / 86400.0).astype(np.int64)
        return whole.astype("datetime64[D]"), odd
    read = days(column)
    problems.extend(table.problems("time", read.faulty | read.monthly, "a day as yyyy-mm-dd"))
    return read.days, np.isnat(read.days)


def _cut_days(file: str, about: Mapping[str, Any], place: Place) -> tuple[Text, ...]:
    offset, longitude = number(about.get("utc_offset_seconds")), place.longitude_deg
    if offset is None or longitude is None:
        return ()
    off = abs((longitude - offset / 240.0 + 180.0) % 360.0 - 180.0)
    if off <= _MOST_OFF_DEG:
        return ()
    return (text("weather.days_cut", file=file, hours=round(off / 15.0, 1)),)
