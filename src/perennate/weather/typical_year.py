"""Hourly typical years, EPW and TMY3, as daily weather.

Their months come from different years, so they are no record: they tell what a month is like,
not how years differ, nor how cold a night can get. Their rain is left out: it is absent from most
and in some stands in tenths under a heading that says mm. Days stand in the year 2001.
"""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from perennate.terms import BadInput, Problem, text
from perennate.weather.series import MAST_M, TYPICAL_YEAR, Days, Floats, Place, RawDays
from perennate.weather.table import Table, fields_of, line_at, number, numbers, read_table

Ints = NDArray[np.int64]

_MJ_PER_WH = 0.0036
_LEAST_HOURS = 22
_EPW_HEADER_LINES = 8
_EPW_COLUMNS = {
    "month": 1,
    "day": 2,
    "temperature": 6,
    "humidity": 8,
    "radiation": 13,
    "wind": 21,
}
_EPW_MISSING = {
    "temperature": 99.9,
    "humidity": 999.0,
    "radiation": 9999.0,
    "wind": 999.0,
}
_TMY3_COLUMNS = {
    "Dry-bulb (C)": "temperature",
    "RHum (%)": "humidity",
    "GHI (W/m^2)": "radiation",
    "Wspd (m/s)": "wind",
}
_TMY3_DATE = "Date (MM/DD/YYYY)"


def read_epw(data: bytes, file: str) -> RawDays:
    """An EnergyPlus weather file: eight heading lines, then one row an hour."""
    head, at = line_at(data, 0)
    site = fields_of(head, ",")
    for _ in range(_EPW_HEADER_LINES - 1):
        _, at = line_at(data, at)
    names = ",".join(f"c{i}" for i in range(35)).encode() + b"\n"
    wanted = [f"c{i}" for i in _EPW_COLUMNS.values()]
    table = read_table(names + data[at:], file, 0, wanted, measures=wanted)
    table = Table(
        file,
        {name: table.columns[f"c{i}"] for name, i in _EPW_COLUMNS.items()},
        _EPW_HEADER_LINES + 1,
    )
    problems: list[Problem] = []
    month = _whole(table, "month", problems)
    day = _whole(table, "day", problems)
    hourly = _hourly(table, {name: name for name in _EPW_MISSING}, problems)
    for name, code in _EPW_MISSING.items():
        hourly[name][hourly[name] >= code] = np.nan
    if problems:
        raise BadInput(problems)
    place = Place(site[1] if len(site) > 1 else "", *_coordinates(site, 6, 7, 9))
    return _daily(table, "EPW", month, day, hourly, place)


def read_tmy3(data: bytes, file: str) -> RawDays:
    """A TMY3 file: a line about the station, a line of headings, then one row an hour."""
    head, at = line_at(data, 0)
    site = fields_of(head, ",")
    measures = list(_TMY3_COLUMNS)
    table = read_table(data, file, at, [_TMY3_DATE, *measures], measures=measures)
    problems: list[Problem] = []
    # Whole file in one form, so the month and day are cut out by place and not parsed as dates.
    stamp = table.columns[_TMY3_DATE].str.strip_chars()
    parts = {"month": stamp.str.slice(0, 2), "day": stamp.str.slice(3, 2)}
    dates = Table(file, parts, table.first_row)
    month, day = _whole(dates, "month", problems), _whole(dates, "day", problems)
    present = {h: name for h, name in _TMY3_COLUMNS.items() if h in table.columns}
    hourly = _hourly(table, present, problems)
    for column in hourly.values():
        column[column <= -900.0] = np.nan
    if problems:
        raise BadInput(problems)
    if "temperature" not in hourly:
        raise BadInput([Problem(file, 2, "Dry-bulb (C)", "no such column", "hourly temperature")])
    place = Place(site[1] if len(site) > 1 else "", *_coordinates(site, 4, 5, 6))
    return _daily(table, "TMY3", month, day, hourly, place)


def _hourly(
    table: Table, headings: Mapping[str, str], problems: list[Problem]
) -> dict[str, Floats]:
    values = {}
    for heading, name in headings.items():
        values[name], faulty = numbers(table.columns[heading])
        if faulty is not None:
            problems.extend(table.problems(heading, faulty, "a number"))
    return values


def _whole(table: Table, name: str, problems: list[Problem]) -> Ints:
    import polars as pl

    column = table.columns[name].cast(pl.Int64, strict=False)
    if column.null_count():
        problems.extend(table.problems(name, column.is_null().to_numpy(), "a whole number"))
    return np.array(column.fill_null(1).to_numpy(), dtype=np.int64)


def _daily(
    table: Table,
    layout: str,
    month: Ints,
    day: Ints,
    hourly: dict[str, Floats],
    place: Place,
) -> RawDays:
    """Hours gathered by day. A day with fewer than 22 hours of temperature is left out."""
    nominal = np.datetime64(f"{TYPICAL_YEAR}-01", "M") + (month - 1)
    when: Days = np.asarray(nominal.astype("datetime64[D]") + (day - 1), dtype="datetime64[D]")
    wrong = (month < 1) | (month > 12) | (day < 1) | (when.astype("datetime64[M]") != nominal)
    leap = wrong & (month == 2) & (day == 29)
    faults = table.problems(next(iter(table.columns)), wrong & ~leap, "a month and day")
    if faults:
        raise BadInput(faults)
    if leap.any():
        when, hourly = when[~leap], {name: column[~leap] for name, column in hourly.items()}
    if not len(when):
        raise BadInput([Problem(table.file, None, None, "no hours", "one row an hour")])
    if np.any(np.diff(when).astype(np.int64) < 0):
        order = np.argsort(when, kind="stable")
        when, hourly = when[order], {name: column[order] for name, column in hourly.items()}
    starts = np.flatnonzero(np.concatenate(([True], np.diff(when).astype(np.int64) > 0)))
    temperature = hourly["temperature"]
    enough = np.add.reduceat(np.isfinite(temperature).astype(np.int64), starts) >= _LEAST_HOURS
    values = {
        "tmin": np.where(enough, np.fmin.reduceat(temperature, starts), np.nan),
        "tmax": np.where(enough, np.fmax.reduceat(temperature, starts), np.nan),
    }
    hours = np.diff(np.append(starts, len(when)))
    for name in ("humidity", "wind"):
        if name in hourly:
            values[name] = np.add.reduceat(hourly[name], starts) / hours
    if "radiation" in hourly:
        values["radiation"] = np.add.reduceat(hourly["radiation"], starts) * _MJ_PER_WH
    notes = (
        text("weather.hours_to_days", file=table.file, hours=len(when)),
        text("weather.typical_rain", file=table.file),
    )
    return RawDays(
        table.file, layout, when[starts], values, place, True, notes=notes, wind_height_m=MAST_M
    )


def _coordinates(site: list[str], *places: int) -> tuple[float | None, float | None, float | None]:
    found = [number(site[i]) if i < len(site) else None for i in places]
    return found[0], found[1], found[2]


def looks_like_tmy3(second_line: str) -> bool:
    """Whether the second line of a file holds the headings of TMY3."""
    return second_line.startswith(_TMY3_DATE)
