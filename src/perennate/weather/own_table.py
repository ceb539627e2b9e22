"""Daily weather in a plain table: our own weather.csv, a station's export, a spreadsheet.

Ours has the columns date, tmin_c, tmax_c, rain_mm and perhaps kind (observed or forecast). Other
headings are known by their name; the unit stands in the heading or must be told. NCEI daily
summaries come here too: their unit is the one that was chosen at download, and not in the file.
"""

import re
from typing import Literal

import numpy as np

from perennate.terms import BadInput, Problem, Text, text
from perennate.weather.series import Bools, Days, Floats, Place, RawDays
from perennate.weather.table import (
    Table,
    coded,
    days,
    fields_of,
    line_at,
    number,
    numbers,
    read_table,
    separator_of,
)
from perennate.weather.units import Told, question, to_si, unit_in

_HEADINGS = {
    "date": ("date", "day", "time", "datum", "fecha", "data", "obs_date"),
    "tmin": ("tmin", "t_min", "temp_min", "min_temp", "mintemp", "temperature_min", "min", "tn"),
    "tmax": ("tmax", "t_max", "temp_max", "max_temp", "maxtemp", "temperature_max", "max", "tx"),
    "rain": ("rain", "rainfall", "precipitation", "precip", "prec", "prcp", "ppt", "rr"),
    "kind": ("kind",),
    "name": ("name",),
    "latitude": ("latitude", "lat"),
    "longitude": ("longitude", "lon"),
    "elevation": ("elevation",),
}
_MEANS = {word: meaning for meaning, words in _HEADINGS.items() for word in words}
_CODES = (-9999.0, -999.9, -999.0, -99.9, -99.0, 999.0, 999.9, 9999.0, 9999.9, -9999.9)
_CODES_BY_UNIT = {"degC": (99.9,), "degF": (), "mm": (), "in": (99.99,), "cm": ()}
_KINDS = ("", "observed", "forecast")


def meanings(header: str) -> dict[str, tuple[str, str | None]]:
    """What the columns of a header line mean: meaning to (heading, unit or None)."""
    found: dict[str, tuple[str, str | None]] = {}
    for heading in fields_of(header, separator_of(header)):
        name, unit = unit_in(heading)
        key = re.sub(r"[\s.-]+", "_", name.strip().casefold())
        meaning = _MEANS.get(key) or (_MEANS.get(heading.casefold()))
        if meaning is not None and meaning not in found:
            found[meaning] = (heading, unit)
    return found


def read_own_table(data: bytes, file: str, told: Told) -> RawDays:
    """The table's days. Raises BadInput with everything that cannot be used."""
    start = 0
    header, after = line_at(data, 0)
    while after < len(data) and _is_no_header(header):
        start = after
        header, after = line_at(data, start)
    columns = meanings(header)
    measures = [name for name in ("tmin", "tmax", "rain") if name in columns]
    if "date" not in columns or not measures:
        raise BadInput(
            [
                Problem(
                    file,
                    data.count(b"\n", 0, start) + 1,
                    None,
                    f"the columns {header[:120]!r}",
                    "a heading line with date and tmin_c, tmax_c or rain_mm,"
                    " or another of the known weather formats",
                )
            ]
        )
    table = read_table(
        data,
        file,
        start,
        [heading for heading, _ in columns.values()],
        measures=[columns[name][0] for name in measures],
        dated=columns["date"][0],
    )
    problems: list[Problem] = []
    notes: list[Text] = []
    values: dict[str, Floats] = {}
    usable, when = _usable_days(table, columns["date"][0], told, problems, notes)
    for name in measures:
        heading, unit = columns[name]
        column = _measure(table, name, heading, unit, told, usable, problems)
        if column is not None:
            values[name] = column
    forecast = np.zeros(len(when), dtype=np.bool_)
    if "kind" in columns:
        forecast = _forecast(table, columns["kind"][0], usable, problems)
    if problems:
        raise BadInput(problems)
    keep = {name: column[usable] for name, column in values.items()}
    place = _place(table, {name: heading for name, (heading, _) in columns.items()})
    layout = "ncei daily summaries" if "STATION" in header else "weather.csv"
    return RawDays(
        file, layout, when[usable], keep, place, forecast=forecast[usable], notes=tuple(notes)
    )


def _is_no_header(line: str) -> bool:
    """A remark, an empty line, or the line that tells a spreadsheet the separator."""
    bare = line.strip('" \t,;').casefold()
    return not bare or bare.startswith(("#", "sep="))


def _usable_days(
    table: Table, heading: str, told: Told, problems: list[Problem], notes: list[Text]
) -> tuple[Bools, Days]:
    column = table.columns[heading]
    read = days(column, told.dates)
    if read.order_unknown:
        found = f"dates such as {column.drop_nulls()[0]!r} that may be day or month first"
        fault = Problem(table.file, None, heading, found, "date_order day first or month first")
        problems.append(fault)
        return np.zeros(len(column), dtype=np.bool_), read.days
    problems.extend(table.problems(heading, read.faulty, "a day as yyyy-mm-dd"))
    usable = ~np.isnat(read.days)
    if not usable.any() and not problems:
        problems.append(Problem(table.file, table.first_row, heading, "no days", "one row a day"))
    if read.monthly.any():
        first = int(np.flatnonzero(read.monthly)[0])
        notes.append(
            text(
                "weather.monthly_rows",
                file=table.file,
                rows=int(read.monthly.sum()),
                row=table.row(first),
                value=str(column[first]),
            )
        )
    return usable, read.days


def _measure(
    table: Table,
    name: str,
    heading: str,
    unit: str | None,
    told: Told,
    usable: Bools,
    problems: list[Problem],
) -> Floats | None:
    values, faulty = numbers(table.columns[heading])
    if faulty is not None and (faulty & usable).any():
        problems.extend(table.problems(heading, faulty & usable, "a number, or empty"))
    values = coded(values, _CODES)
    unit = unit or (told.rain if name == "rain" else told.temperature)
    if unit is None:
        if usable.any() and np.isfinite(values[usable]).any():
            what: Literal["rain", "temperature"] = "rain" if name == "rain" else "temperature"
            problems.append(question(table.file, heading, values[usable], what))
        return None
    if (unit in ("degC", "degF")) != (name != "rain"):
        expected = "mm or in" if name == "rain" else "degC or degF"
        problems.append(Problem(table.file, None, heading, f"the unit {unit}", expected))
        return None
    return to_si(coded(values, _CODES_BY_UNIT[unit]), unit)


def _forecast(table: Table, heading: str, usable: Bools, problems: list[Problem]) -> Bools:
    kind = table.columns[heading].fill_null("").str.strip_chars().str.to_lowercase()
    known = kind.is_in(list(_KINDS)).to_numpy()
    problems.extend(table.problems(heading, ~known & usable, "observed or forecast"))
    return np.array((kind == "forecast").to_numpy(), dtype=np.bool_)


def _place(table: Table, headings: dict[str, str]) -> Place:
    """Where the station stands, from the first row of the file."""
    latitude, longitude, elevation = (
        number(table.first(headings.get(name))) for name in ("latitude", "longitude", "elevation")
    )
    return Place(table.first(headings.get("name")), latitude, longitude, elevation)
