"""The access form of GHCN-Daily: one CSV a station, temperatures in tenths of a degree Celsius,
rain in tenths of a millimetre, each value with its flags.

Reference: National Centers for Environmental Information, readme of the Global Historical
Climatology Network daily data.
"""

import re

import numpy as np

from perennate.terms import BadInput, Problem, Text, text
from perennate.weather.series import MAST_M, Bools, Floats, Place, RawDays
from perennate.weather.table import Table, days, number, numbers, read_table

_ELEMENTS = {"TMIN": "tmin", "TMAX": "tmax", "PRCP": "rain", "AWND": "wind"}
_FLAGS = "_ATTRIBUTES"
_PLACE = ("LATITUDE", "LONGITUDE", "ELEVATION", "NAME")
_MISSING = -9999.0
_FAILED = re.compile(r"[^,]*,\s*[^,\s]")


def read_ghcn(data: bytes, file: str) -> RawDays:
    """The station's days. Values that failed the network's quality checks are left out."""
    flags = [element + _FLAGS for element in _ELEMENTS]
    wanted = ["DATE", *_ELEMENTS, *flags, *_PLACE]
    table = read_table(data, file, 0, wanted, measures=list(_ELEMENTS), dated="DATE")
    read = days(table.columns["DATE"])
    problems = table.problems("DATE", read.faulty, "a day as yyyy-mm-dd")
    usable = ~np.isnat(read.days)
    notes: list[Text] = []
    values: dict[str, Floats] = {}
    for element, name in _ELEMENTS.items():
        if element not in table.columns:
            continue
        column, faulty = numbers(table.columns[element])
        if faulty is not None:
            problems.extend(table.problems(element, faulty, "a whole number, or empty"))
        column[column == _MISSING] = np.nan
        if np.nanmax(np.abs(np.append(column % 1.0, 0.0))) > 0.0:
            found, expected = "decimals", "whole tenths of a degree or millimetre"
            problems.append(Problem(file, None, element, found, expected))
        failed = _failed(table, element)
        if failed is not None:
            failed &= np.isfinite(column)
            if failed.any():
                count = int(failed.sum())
                notes.append(text("weather.flagged", file=file, column=name, days=count))
                column[failed] = np.nan
        values[name] = (column / 10.0)[usable]
    if not values.keys() & {"tmin", "tmax", "rain"}:
        problems.append(Problem(file, 1, None, "no TMIN, TMAX or PRCP", "one of these columns"))
    if problems:
        raise BadInput(problems)
    return RawDays(
        file,
        "GHCN-Daily",
        read.days[usable],
        values,
        _station(table),
        notes=tuple(notes),
        wind_height_m=MAST_M,
    )


def _failed(table: Table, element: str) -> Bools | None:
    """Which values carry a quality flag: the second of the comma-parted flags is not empty."""
    flags = table.columns.get(element + _FLAGS)
    if flags is None:
        return None
    # A station has a handful of flag combinations, so each is judged once.
    bad = [kind for kind in flags.unique().to_list() if kind and _FAILED.match(kind)]
    if not bad:
        return None
    return np.array(flags.is_in(bad).fill_null(False).to_numpy(), dtype=np.bool_)


def _station(table: Table) -> Place:
    height = number(table.first("ELEVATION"))
    return Place(
        table.first("NAME"),
        number(table.first("LATITUDE")),
        number(table.first("LONGITUDE")),
        None if height is None or height <= -999.0 else height,
    )
