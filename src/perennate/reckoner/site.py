"""The weather of a place from what was typed: position, remembered frosts, monthly normals."""

import re
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from perennate.reckoner.quantities import UnreadableError, read_quantity
from perennate.reckoner.registry import Input, refuse
from perennate.terms import BadInput, Problem, Text, text
from perennate.weather.assemble import climate_from
from perennate.weather.climate import Climate, frost_dates
from perennate.weather.normals import MonthlyNormals
from perennate.weather.position import normals_of_position
from perennate.weather.remembered import Remembered

MonthDay = tuple[int, int]
YesNo = Literal["no", "yes"]

ELEVATION = Input("elevation", "float", "m", -430, 6000, default="0")
LAST_FROST = Input("last_frost", "month-day", optional=True)
FIRST_FROST = Input("first_frost", "month-day", optional=True)
NO_FROST = Input("no_frost", "choice", default="no", choices=("no", "yes"))
MONTHLY_MIN = Input("monthly_min", "text", "degC", optional=True)
MONTHLY_MAX = Input("monthly_max", "text", "degC", optional=True)

PLACE_SPREAD_K = {"recorded": 0.3, "normals": 0.7, "remembered": 1.0, "position only": 2.5}
"""How far a place's nights may lie from the figure, by what it rests on [K] (assumed)."""


def latitude(*, optional: bool) -> Input:
    return Input("latitude", "float", "deg", -90, 90, optional=optional)


@lru_cache(maxsize=32)
def site_climate(
    reckoner: str,
    latitude_deg: float,
    elevation_m: float,
    last_frost: MonthDay | None,
    first_frost: MonthDay | None,
    no_frost: YesNo,
    monthly_min: str | None,
    monthly_max: str | None,
    monthly_rain: str | None = None,
) -> Climate:
    """The best climate that the inputs allow; normals win over memory, memory over position.

    The last few are kept, since to make forty years takes longer than to answer from them.
    Raises BadInput when they contradict each other or a month is missing.
    """
    if no_frost == "yes" and (last_frost is not None or first_frost is not None):
        raise refuse(reckoner, "no_frost", "yes", "no, where frosts are remembered")
    normals = _normals(reckoner, latitude_deg, elevation_m, monthly_min, monthly_max, monthly_rain)
    memory = Remembered(last_frost=last_frost, first_frost=first_frost, no_frost=no_frost == "yes")
    return climate_from([], latitude_deg, elevation_m, remembered=memory, normals=normals)


def spring_and_autumn(
    climate: Climate, chance: float, threshold: float = 0.0
) -> tuple[int | None, int | None]:
    """Day indices after which frost comes in a share of years, and before which it has come."""
    dates = frost_dates(climate, threshold, (chance,))
    return dates.spring[chance], dates.autumn[chance]


def told(climate: Climate) -> Text:
    """What the weather rests on."""
    return text(
        f"reckoner.site.{climate.basis.replace(' ', '_')}",
        latitude=climate.latitude_deg,
        elevation=climate.elevation_m,
        years=len(climate.tmin),
    )


def _normals(
    reckoner: str,
    latitude_deg: float,
    elevation_m: float,
    monthly_min: str | None,
    monthly_max: str | None,
    monthly_rain: str | None,
) -> MonthlyNormals | None:
    if monthly_min is None and monthly_max is None and monthly_rain is None:
        return None
    problems: list[Problem] = []
    low = twelve_months(reckoner, "monthly_min", monthly_min, problems)
    high = twelve_months(reckoner, "monthly_max", monthly_max, problems)
    rain = normals_of_position(latitude_deg, elevation_m).rain
    if monthly_rain is not None:
        told_rain = twelve_months(reckoner, "monthly_rain", monthly_rain, problems, "mm")
        if told_rain is not None and (told_rain < 0.0).any():
            problems.append(
                Problem(reckoner, None, "monthly_rain", monthly_rain, "no rain below 0 mm")
            )
        rain = rain if told_rain is None else told_rain
    if problems or low is None or high is None:
        raise BadInput(problems)
    try:
        return MonthlyNormals(low, high, rain)
    except ValueError as wrong:
        raise refuse(reckoner, "monthly_max", monthly_max or "", str(wrong)) from None


def twelve_months(
    reckoner: str, column: str, typed: str | None, problems: list[Problem], unit: str = "degC"
) -> NDArray[np.float64] | None:
    """Twelve figures typed in one cell, in `unit`; None, with a problem, where they are not."""
    what = "temperatures" if unit == "degC" else "depths"
    expected = f"twelve {what}, January to December, apart by semicolons"
    parts = [] if typed is None else re.split(r"\s*;\s*|\s+(?=[-+\d])", typed.strip().strip(";"))
    try:
        values = [read_quantity(part, unit) for part in parts]
    except UnreadableError:
        values = []
    if len(values) != 12:
        problems.append(Problem(reckoner, None, column, typed or "nothing", expected))
        return None
    return np.array(values)
