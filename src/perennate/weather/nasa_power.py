"""Daily CSV of NASA POWER: a block of free text, then YEAR,MO,DY or YEAR,DOY and parameters.

The figures are means of a grid cell of about half a degree, so a mountain or coast is off.
"""

import re

import numpy as np

from perennate.terms import BadInput, Problem, Text, text
from perennate.weather.series import Bools, Days, Floats, Place, RawDays
from perennate.weather.table import Table, coded, line_at, numbers, read_table

_PARAMETERS = {
    "T2M_MIN": "tmin",
    "T2M_MAX": "tmax",
    "PRECTOTCORR": "rain",
    "PRECTOT": "rain",
    "RH2M": "humidity",
    "WS2M": "wind",
    "ALLSKY_SFC_SW_DWN": "radiation",
}
_HEADER_END = b"-END HEADER-"
_MJ_PER_KWH = 3.6


def read_nasa_power(data: bytes, file: str) -> RawDays:
    """The cell's days; the missing code is the one that the header names, -999 as a rule."""
    start, preamble = 0, ""
    at = data.find(_HEADER_END)
    if at >= 0:
        preamble = data[:at].decode()
        _, start = line_at(data, at)
    wanted = ["YEAR", "MO", "DY", "DOY", *_PARAMETERS]
    table = read_table(data, file, start, wanted, measures=wanted)
    found = [name for name in _PARAMETERS if name in table.columns]
    problems: list[Problem] = []
    when, unreadable = _days(table, problems)
    code = _number(r"-?\d+(?:\.\d+)?", preamble.partition("value for missing")[2])
    missing = (-999.0, -999.0 if code is None else code, -99.0)
    values: dict[str, Floats] = {}
    for parameter in found:
        column, faulty = numbers(table.columns[parameter])
        if faulty is not None:
            problems.extend(table.problems(parameter, faulty, "a number"))
        column = coded(column, missing)
        if parameter == "ALLSKY_SFC_SW_DWN" and _hours(preamble, parameter):
            column *= _MJ_PER_KWH
        values.setdefault(_PARAMETERS[parameter], column)
    if not values.keys() & {"tmin", "tmax", "rain"}:
        expected = "T2M_MIN, T2M_MAX and PRECTOTCORR"
        problems.append(Problem(file, table.first_row - 1, None, "none of these", expected))
    if problems:
        raise BadInput(problems)
    usable = ~unreadable
    place = Place(
        "",
        _number(r"-?\d+\.?\d*", preamble.partition("atitude")[2]),
        _number(r"-?\d+\.?\d*", preamble.partition("ongitude")[2]),
        _number(r"-?\d+\.?\d*(?= *meters)", preamble),
    )
    notes = (text("weather.grid_cell", file=file), *_newest(file, when, values))
    kept = {name: column[usable] for name, column in values.items()}
    return RawDays(file, "NASA POWER", when[usable], kept, place, notes=notes)


def _days(table: Table, problems: list[Problem]) -> tuple[Days, Bools]:
    parts: dict[str, Floats] = {}
    names = ("YEAR", "DOY") if "DOY" in table.columns else ("YEAR", "MO", "DY")
    for name in names:
        if name not in table.columns:
            wanted = "YEAR, MO, DY or YEAR, DOY, of daily data"
            raise BadInput(
                [Problem(table.file, table.first_row - 1, name, "no such column", wanted)]
            )
        parts[name], faulty = numbers(table.columns[name])
        odd = np.isnan(parts[name]) if faulty is None else np.isnan(parts[name]) | faulty
        if odd.any():
            blank = table.columns["YEAR"].is_null().to_numpy()
            problems.extend(table.problems(name, odd & ~blank, "a whole number"))
    year = np.nan_to_num(parts["YEAR"], nan=1970.0).astype(np.int64)
    years = (year - 1970).astype("datetime64[Y]")
    if "DOY" in parts:
        number = np.nan_to_num(parts["DOY"], nan=1.0).astype(np.int64)
        when = years.astype("datetime64[D]") + (number - 1)
        wrong = when.astype("datetime64[Y]") != years
        where = "DOY"
    else:
        month = np.nan_to_num(parts["MO"], nan=1.0).astype(np.int64)
        number = np.nan_to_num(parts["DY"], nan=1.0).astype(np.int64)
        months = years.astype("datetime64[M]") + (month - 1)
        when = months.astype("datetime64[D]") + (number - 1)
        wrong = (when.astype("datetime64[M]") != months) | (month < 1) | (month > 12)
        where = "DY"
    problems.extend(table.problems(where, wrong, "a day of that year"))
    return np.asarray(when, dtype="datetime64[D]"), np.isnan(parts["YEAR"])


def _newest(file: str, when: Days, values: dict[str, Floats]) -> tuple[Text, ...]:
    """The newest days come filled with the missing code until the satellites catch up."""
    known = np.zeros(len(when), dtype=np.bool_)
    for name in ("tmin", "tmax", "rain"):
        if name in values:
            known |= np.isfinite(values[name])
    at = np.flatnonzero(known)
    if not at.size or at[-1] == len(when) - 1:
        return ()
    return (text("weather.not_yet_there", file=file, days=len(when) - 1 - int(at[-1])),)


def _number(pattern: str, where: str) -> float | None:
    found = re.search(pattern, where)
    return None if found is None else float(found[0])


def _hours(preamble: str, parameter: str) -> bool:
    line = next((row for row in preamble.splitlines() if row.startswith(parameter)), "")
    return re.search(r"kW-?h", line, re.IGNORECASE) is not None


def looks_like_power(header: str) -> bool:
    """Whether the text is a POWER heading line or the beginning of its block of text."""
    names = {name.strip() for name in header.split(",")}
    dated = "YEAR" in names and bool(names & {"DOY", "DY"})
    return "-BEGIN HEADER-" in header or (dated and bool(names & set(_PARAMETERS)))
