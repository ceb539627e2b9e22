"""Monthly normals: twelve rows that say what a month is like, and the smooth year through them."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from perennate.terms import BadInput, Problem
from perennate.weather.table import decoded, line_at, numbers, read_table
from perennate.weather.units import to_si, unit_in

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MONTH_DAYS = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
MONTH_OF_DAY: Ints = np.repeat(np.arange(12), MONTH_DAYS)
"""Month (0 to 11) of each day index."""
_RAIN_OF_A_WET_DAY_MM = 6.0


@dataclass(frozen=True)
class MonthlyNormals:
    """Mean tmin and tmax [degC], rain [mm] and wet days [d] of each month, shape (12,).

    Wet days may be left out: then a wet day is taken to bring 6 mm (from memory).
    """

    tmin: Floats
    tmax: Floats
    rain: Floats
    wet_days: Floats | None = None

    def __post_init__(self) -> None:
        for name in ("tmin", "tmax", "rain", "wet_days"):
            column = getattr(self, name)
            if column is None:
                continue
            if column.shape != (12,) or not np.all(np.isfinite(column)):
                raise ValueError(f"{name} must hold twelve numbers")
        if np.any(self.tmax <= self.tmin):
            raise ValueError("tmax must lie above tmin in every month")
        if np.any(self.rain < 0):
            raise ValueError("rain must not be negative")
        if self.wet_days is not None and (
            np.any(self.wet_days < 0) or np.any(self.wet_days > MONTH_DAYS)
        ):
            raise ValueError("wet days must fit in their month")

    def wet_share(self) -> Floats:
        """Share of wet days, shape (12,); none in a month without rain."""
        days = self.rain / _RAIN_OF_A_WET_DAY_MM if self.wet_days is None else self.wet_days
        return np.where(self.rain > 0, np.clip(days / MONTH_DAYS, 0.02, 0.95), 0.0)


def read_normals(source: bytes | str | Path, file: str = "normals.csv") -> MonthlyNormals:
    """Monthly normals from a table: month, tmin_c, tmax_c, rain_mm and perhaps wet_days.

    Temperatures may stand under tmin_f, tmax_f, rain under rain_in. Raises BadInput.
    """
    if not isinstance(source, bytes):
        path = Path(source)
        file, source = path.name, path.read_bytes()
    data = decoded(source, file)
    table = read_table(data, file, 0)
    named = {unit_in(heading)[0].strip().casefold(): heading for heading in table.columns}
    missing = [name for name in ("month", "tmin", "tmax", "rain") if name not in named]
    if missing:
        header, _ = line_at(data, 0)
        expected = "the columns month, tmin_c, tmax_c, rain_mm, wet_days"
        raise BadInput([Problem(file, 1, None, repr(header[:120]), expected)])
    values: dict[str, Floats] = {}
    problems: list[Problem] = []
    for name in ("month", "tmin", "tmax", "rain", "wet_days"):
        if name not in named:
            continue
        heading = named[name]
        column, _ = numbers(table.columns[heading])
        problems.extend(table.problems(heading, np.isnan(column), "a number"))
        unit = unit_in(heading)[1]
        if name in ("tmin", "tmax", "rain"):
            fits = ("mm", "in", "cm") if name == "rain" else ("degC", "degF")
            if unit is None or unit not in fits:
                expected = "tmin_c, tmax_c, rain_mm, or tmin_f, tmax_f, rain_in"
                problems.append(Problem(file, 1, heading, "no unit", expected))
            else:
                column = to_si(column, unit)
        values[name] = column
    order = np.argsort(values["month"], kind="stable")
    if not problems and not np.array_equal(values["month"][order], np.arange(1.0, 13.0)):
        found = ", ".join(f"{month:g}" for month in values["month"][:14])
        problems.append(Problem(file, None, "month", f"the months {found}", "1 to 12, each once"))
    if problems:
        raise BadInput(problems)
    columns = {name: column[order] for name, column in values.items() if name != "month"}
    try:
        return MonthlyNormals(**columns)
    except ValueError as error:
        raise BadInput([Problem(file, None, None, str(error), "normals that can be")]) from error


def smooth_year(monthly: Floats, harmonics: int = 5) -> Floats:
    """A smooth yearly course whose monthly means are those given, shape (365,).

    Five waves and a mean bring twelve means back to within hundredths; fewer waves even out the
    chance in short records.
    """
    basis = waves(harmonics)
    means = _month_means() @ basis
    weights, *_ = np.linalg.lstsq(means, np.asarray(monthly, dtype=np.float64), rcond=None)
    return np.asarray(basis @ weights)


@cache
def waves(harmonics: int) -> Floats:
    """A constant and the cosine and sine of each yearly wave, shape (365, 1 + 2 harmonics)."""
    turn = 2.0 * np.pi * np.arange(365.0)[:, None] / 365.0 * np.arange(1, harmonics + 1)
    return np.hstack((np.ones((365, 1)), np.cos(turn), np.sin(turn)))


@cache
def _month_means() -> Floats:
    return np.asarray((np.arange(12)[:, None] == MONTH_OF_DAY) / MONTH_DAYS[:, None])
