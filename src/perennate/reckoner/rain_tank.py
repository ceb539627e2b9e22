"""What a roof and a tank give through all weather years, and how big a tank is worth."""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from perennate.reckoner.registry import Answer, Input, reckoner, refuse
from perennate.reckoner.site import ELEVATION, MonthDay, latitude, told, twelve_months
from perennate.reckoner.year_days import DAYS, day_of
from perennate.science.rain_tank import ROOF_RUNOFF, TankRun, collected, size_for, tank_run
from perennate.terms import BadInput, Problem, Text, text
from perennate.weather.assemble import climate_from
from perennate.weather.climate import Climate
from perennate.weather.normals import MonthlyNormals
from perennate.weather.position import normals_of_position

NAME = "rain-tank"
INPUTS = (
    latitude(optional=False),
    ELEVATION,
    Input("monthly_rain", "text", "mm", optional=True),
    Input("roof_area", "float", "m2", 0.1, 100_000),
    Input("roof", "choice", default="unknown", choices=tuple(ROOF_RUNOFF)),
    Input("first_flush", "float", "mm", 0, 20, default="0.5"),
    Input("demand", "float", "l", 0.1, 1_000_000),
    Input("first_day", "month-day", optional=True),
    Input("last_day", "month-day", optional=True),
    Input("tank", "float", "l", optional=True),
    Input("reliability", "float", "%", 1, 100, default="90"),
)
_SOURCES = ("farreny-2011", "fewkes-butler-2000")
_GREATEST_L = 1_000_000.0
_IN_TEN = 0.8


@reckoner(NAME, INPUTS)
def rain_tank(
    latitude: float,
    elevation: float,
    monthly_rain: str | None,
    roof_area: float,
    roof: str,
    first_flush: float,
    demand: float,
    first_day: MonthDay | None,
    last_day: MonthDay | None,
    tank: float | None,
    reliability: float,
) -> list[Answer]:
    """Water that the roof brings, what a tank of it serves, and the smallest tank that serves a
    share; low and high are those of one year in ten.

    Raises BadInput for a tank of nothing, half a season, or months that are not twelve.
    """
    if tank is not None and not 0 < tank <= _GREATEST_L:
        expected = "more than 0 l and up to 1,000 m3; leave it out to learn what size is worth"
        raise refuse(NAME, "tank", f"a tank of {tank:g} l", expected)
    if (first_day is None) != (last_day is None):
        column = "last_day" if last_day is None else "first_day"
        raise refuse(NAME, column, "nothing", "both ends of the season, or neither for all year")
    climate = _climate(latitude, elevation, monthly_rain)
    share, low, high = ROOF_RUNOFF[roof]
    asked = _demand(demand, first_day, last_day)
    inflow = collected(climate.rain, roof_area, share, first_flush)
    base = (
        told(climate),
        text("reckoner.tank.roof", roof=roof, share=share, low=low, high=high, flush=first_flush),
    )
    answers = [_spread("rain from the roof in a year", inflow.sum(axis=1), "l", base)]
    if tank is not None:
        answers += _served(tank_run(inflow, asked, tank), tank, reliability / 100.0, base)
    return answers + _sizes(inflow, asked, reliability / 100.0, base)


def _spread(name: str, years: NDArray[np.float64], unit: str, working: tuple[Text, ...]) -> Answer:
    low, middle, high = (float(one) for one in np.quantile(years, (0.1, 0.5, 0.9)))
    cautions = (text("reckoner.tank.not_drunk"),)
    return Answer(name, middle, low, high, unit, working, _SOURCES, cautions)


def _served(run: TankRun, tank: float, wanted: float, base: tuple[Text, ...]) -> list[Answer]:
    order = text("reckoner.tank.order", tank=tank)
    of_all = float(run.drawn.sum() / run.demand.sum())
    reach = float((run.share_of_demand >= wanted - 1e-9).mean())
    working = (
        *base,
        order,
        text("reckoner.tank.of_all", share=of_all),
        text("reckoner.tank.reach", share=reach, wanted=wanted),
    )
    spilled = float(run.spilled.sum() / max(run.inflow.sum(), 1e-9))
    spills = (*base, order, text("reckoner.tank.spilled", share=spilled))
    return [
        _spread("demand that the tank serves", run.share_of_demand * 100.0, "%", working),
        _spread("days served in full", run.share_of_days * 100.0, "%", working),
        _spread("water spilled in a year", run.spilled.sum(axis=1), "l", spills),
    ]


def _sizes(
    inflow: NDArray[np.float64],
    asked: NDArray[np.float64],
    wanted: float,
    base: tuple[Text, ...],
) -> list[Answer]:
    answers = []
    for name, chance in (("over all years", None), ("in 8 years of 10", _IN_TEN)):
        size = size_for(inflow, asked, wanted, chance, _GREATEST_L)
        told_size = text("reckoner.tank.size", wanted=wanted)
        if size is None:
            most = float(inflow.sum() / (asked.sum() * len(inflow)))
            too_little = text("reckoner.tank.too_little", wanted=wanted, share=most)
            answers.append(
                Answer(
                    f"tank that serves it {name}",
                    "none does",
                    None,
                    None,
                    "",
                    (*base, too_little),
                    _SOURCES,
                )
            )
            continue
        answers.append(
            Answer(
                f"tank that serves it {name}",
                size,
                None,
                None,
                "l",
                (*base, told_size),
                _SOURCES,
                (text("reckoner.tank.heavy"),),
            )
        )
    return answers


def _demand(
    litres: float, first_day: MonthDay | None, last_day: MonthDay | None
) -> NDArray[np.float64]:
    asked = np.zeros(DAYS)
    if first_day is None or last_day is None:
        asked[:] = litres
        return asked
    first, last = day_of(first_day) - 1, day_of(last_day) - 1
    asked[(first + np.arange((last - first) % DAYS + 1)) % DAYS] = litres
    return asked


@lru_cache(maxsize=16)
def _climate(latitude_deg: float, elevation_m: float, monthly_rain: str | None) -> Climate:
    if monthly_rain is None:
        return climate_from([], latitude_deg, elevation_m)
    problems: list[Problem] = []
    rain = twelve_months(NAME, "monthly_rain", monthly_rain, problems, "mm")
    if rain is None or rain.min() < 0.0:
        raise BadInput(problems or [_dry(monthly_rain)])
    guessed = normals_of_position(latitude_deg, elevation_m)
    normals = MonthlyNormals(guessed.tmin, guessed.tmax, rain)
    return climate_from([], latitude_deg, elevation_m, normals=normals)


def _dry(monthly_rain: str) -> Problem:
    return Problem(NAME, None, "monthly_rain", monthly_rain, "no rain below 0 mm")
